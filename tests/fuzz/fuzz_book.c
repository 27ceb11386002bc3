/* SPDX-License-Identifier: MIT
 *
 * Books that somebody changed: the input is a list of changes to a valid book (tests/book/schemas,
 * a season as schema 7 wrote it), to its pages or, mostly, to its rows and tables by SQL. Each such
 * book is opened, checked and asked what everyday commands ask, and merged into a small book of
 * one's own.
 *
 * Promised: no crash; an error is one of ours; no step takes over two seconds of the processor; a
 * merge that is refused leaves the own book as it was to the byte; after one that is not, the own
 * ground is judged as strictly as before and every list still works.
 *
 *   first byte   0-63: pages; else rows
 *   pages        offset (3), value (1), kind of change (1), again and again
 *   rows         table, column, kind of change, which rows (1 each), value (1 and more), again
 */
#include <glib/gstdio.h>
#include <math.h>
#include <sqlite3.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "fuzz.h"
#include "simpling/batch.h"
#include "simpling/carry.h"
#include "simpling/check.h"
#include "simpling/error.h"
#include "simpling/harvest.h"
#include "simpling/site.h"
#include "simpling/today.h"

#define SECONDS_MOST 2.0
#define CHANGES_MOST 24
#define OWN "Own Ground"

static char *folder, *mutant, *own, *data;
static char *base_bytes, *own_bytes;
static gsize base_size, own_size;
static int own_verdict;
static GPtrArray *columns; /* char **: table, column */

static struct {
    int books, opened, merged;
    double slowest;
} seen;

static double processor_seconds(void)
{
    struct timespec now;

    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

static void tell(void)
{
    fprintf(stderr, "%d books, %d opened (%d %%), %d merged, slowest step %.2f s\n", seen.books,
            seen.opened, seen.books > 0 ? 100 * seen.opened / seen.books : 0, seen.merged,
            seen.slowest);
    g_unlink(mutant);
    g_unlink(own);
    g_rmdir(folder);
}

/* ---- the books that all begin with ---- */

static struct spl_house *house_of(const char *book, enum spl_house_access access, GError **error)
{
    const struct spl_house_options options = {
        .book = book,
        .data = data,
        .today = spl_day_from_ymd(2027, 6, 20),
        .now_us = G_GINT64_CONSTANT(1813492800000000), /* that day at noon */
    };

    return spl_house_open(&options, access, error);
}

static void must(gboolean ok, GError *error)
{
    if (ok)
        return;
    fprintf(stderr, "the fuzzer's own book: %s\n", error != NULL ? error->message : "?");
    abort();
}

static void execute(sqlite3 *db, const char *sql)
{
    (void)sqlite3_exec(db, sql, NULL, NULL, NULL);
}

static void gather_columns(sqlite3 *db)
{
    sqlite3_stmt *rows;

    columns = g_ptr_array_new();
    fuzz_check(sqlite3_prepare_v2(db,
                                  "SELECT t.name, c.name FROM pragma_table_list t JOIN"
                                  " pragma_table_info(t.name) c WHERE t.type = 'table' AND"
                                  " t.schema = 'main' ORDER BY 1, c.cid",
                                  -1, &rows, NULL) == SQLITE_OK);
    while (sqlite3_step(rows) == SQLITE_ROW) {
        char **column = g_new(char *, 2);

        column[0] = g_strdup((const char *)sqlite3_column_text(rows, 0));
        column[1] = g_strdup((const char *)sqlite3_column_text(rows, 1));
        g_ptr_array_add(columns, column);
    }
    sqlite3_finalize(rows);
}

static void make_base(void)
{
    g_autofree char *dump = NULL;
    g_autoptr(GError) error = NULL;
    struct spl_house *house;
    sqlite3 *db;

    must(g_file_get_contents(SPL_SOURCE_DIR "/tests/book/schemas/0007.sql", &dump, NULL, &error),
         error);
    fuzz_check(sqlite3_open(mutant, &db) == SQLITE_OK);
    execute(db, "PRAGMA synchronous = OFF");
    fuzz_check(sqlite3_exec(db, dump, NULL, NULL, NULL) == SQLITE_OK);
    sqlite3_close(db);
    house = house_of(mutant, SPL_HOUSE_WRITE, &error); /* brings it to this program's schema */
    must(house != NULL, error);
    spl_house_close(house);
    fuzz_check(sqlite3_open(mutant, &db) == SQLITE_OK);
    gather_columns(db);
    sqlite3_close(db);
    must(g_file_get_contents(mutant, &base_bytes, &base_size, &error), error);
}

static int verdict_of_own(struct spl_house *house, GError **error)
{
    const struct spl_check_question question = {.site = OWN, .on = SPL_DAY_NONE, .near_m = NAN};
    struct spl_check check;
    int status;

    if (!spl_check_site(house, &question, &check, error))
        return -1;
    status = spl_check_exit_status(&check);
    spl_record_clear(&spl_check_shape, &check);
    return status;
}

static void make_own(void)
{
    const struct spl_house_options options = {.book = own, .data = data};
    const struct spl_site_words words = {
        .name = OWN, .at = {54.6, -2.6}, .elevation_m = 200, .accuracy_m = 10, .own = 1};
    struct spl_book_info info;
    struct spl_site site;
    char *caution = NULL;
    GError *error = NULL;
    struct spl_house *house;

    must(spl_book_make(&options, "OWN", &info, &error), error);
    spl_record_clear(&spl_book_info_shape, &info);
    house = house_of(own, SPL_HOUSE_WRITE, &error);
    must(house != NULL && spl_site_new(house, &words, &site, &caution, &error), error);
    g_free(caution);
    spl_record_clear(&spl_site_shape, &site);
    own_verdict = verdict_of_own(house, &error);
    must(own_verdict >= 0, error);
    spl_house_close(house);
    must(g_file_get_contents(own, &own_bytes, &own_size, &error), error);
}

static void set_up(void)
{
    g_autofree char *pattern = g_strdup_printf(
        "%s/simpling-fuzz-XXXXXX", g_access("/dev/shm", 2) == 0 ? "/dev/shm" : g_get_tmp_dir());

    /* SQLite's small blocks from a pool: half of the time went into the sanitizer's malloc, and
     * what SQLite does with its own memory is not looked at here anyway. */
    fuzz_check(sqlite3_config(SQLITE_CONFIG_LOOKASIDE, 1200, 4000) == SQLITE_OK);
    folder = g_strdup(g_mkdtemp(pattern));
    fuzz_check(folder != NULL);
    mutant = g_build_filename(folder, "theirs.db", NULL);
    own = g_build_filename(folder, "own.db", NULL);
    data = g_strdup(SPL_SOURCE_DIR "/data");
    make_base();
    make_own();
    atexit(tell);
}

static void put_file(const char *path, const char *bytes, gsize size)
{
    FILE *file = fopen(path, "w");

    fuzz_check(file != NULL && fwrite(bytes, 1, size, file) == size && fclose(file) == 0);
}

/* ---- changes ---- */

struct script {
    const uint8_t *at, *end;
};

static guint take(struct script *script, int n)
{
    guint value = 0;

    while (n-- > 0)
        value = value << 8 | (script->at < script->end ? *script->at++ : 0);
    return value;
}

static void change_pages(struct script *script, guint8 *bytes, gsize *size)
{
    static const guint8 limits[] = {0, 1, 0x7f, 0x80, 0xff};
    const guint page = 4096;

    while (script->at<script->end && * size> 2 * page) {
        gsize at = take(script, 3) % *size;
        guint value = take(script, 1), kind = take(script, 1) % 8;
        gsize start = at / page * page, other = value * page % (*size / page * page);

        if (kind < 3)
            bytes[at] = (guint8)value;
        else if (kind == 3) /* into a page's head, where its cells are counted */
            bytes[start + value % 12] = limits[at % G_N_ELEMENTS(limits)];
        else if (kind == 4)
            memset(bytes + at, limits[value % G_N_ELEMENTS(limits)], MIN(*size - at, 16));
        else if (kind == 5 && start + page <= *size)
            memcpy(bytes + start, bytes + other, page);
        else if (kind == 6 && start + page <= *size)
            memset(bytes + start, 0, page);
        else if (kind == 7 && value > 200)
            *size = at;
    }
}

/* A value as SQL; some are taken from the input. Free with g_free. */
static char *value_of(struct script *script)
{
    static const char *const values[] = {
        "NULL",
        "0",
        "-1",
        "1",
        "2",
        "9223372036854775807",
        "-9223372036854775808",
        "2147483648",
        "4294967296",
        "20990",
        "25000",
        "-719163",
        "1813492800000000",
        "9000000000000000",
        "''",
        "'x'",
        "'Own Ground'",
        "'OWN'",
        "'sprayed'",
        "'unsprayed'",
        "'closed'",
        "'nettle/leaf'",
        "'a' || char(27) || '[2J'",
        "'a' || char(8238) || 'b'",
        "'a' || char(0) || 'b'",
        "CAST(x'c328ff' AS TEXT)",
        "hex(zeroblob(150000))",
        "zeroblob(76)",
        "x'00'",
        "9e999",
        "-9e999",
        "1e300",
        "0.0001",
        "'[{\"what\":'",
        "(SELECT uuid FROM thing ORDER BY id LIMIT 1)",
        "(SELECT uuid FROM site ORDER BY id LIMIT 1)",
        "(SELECT max(id) FROM thing)",
        "(SELECT min(id) FROM site)",
        "'6ba7b810-9dad-11d1-80b4-00c04fd430c8'",
    };
    guint which = take(script, 1);

    if (which < G_N_ELEMENTS(values))
        return g_strdup(values[which]);
    if (which < 128)
        return g_strdup_printf("%d", (int)take(script, 3) - 0x800000);
    if (which < 192)
        return g_strdup_printf("%g", ((int)take(script, 2) - 0x8000) / 64.0);
    return g_strdup_printf("CAST(x'%08x%08x' AS TEXT)", take(script, 4), take(script, 4));
}

static void change_row(struct script *script, sqlite3 *db)
{
    char *const *column = g_ptr_array_index(columns, take(script, 2) % columns->len);
    guint kind = take(script, 1) % 16, rows = take(script, 1);
    g_autofree char *value = value_of(script);
    g_autofree char *order =
        g_strdup_printf("\"%s\" IN (SELECT \"%s\" FROM \"%s\" ORDER BY 1 LIMIT %u OFFSET %u)",
                        column[1], column[1], column[0], 1 + rows % 4, rows / 4);
    g_autofree char *sql = NULL;

    if (kind < 10)
        sql = g_strdup_printf("UPDATE OR IGNORE \"%s\" SET \"%s\" = %s WHERE %s", column[0],
                              column[1], value, order);
    else if (kind == 10)
        sql =
            g_strdup_printf("UPDATE OR IGNORE \"%s\" SET \"%s\" = %s", column[0], column[1], value);
    else if (kind == 11)
        sql = g_strdup_printf("DELETE FROM \"%s\" WHERE %s", column[0], order);
    else if (kind == 12)
        sql = g_strdup_printf("DELETE FROM \"%s\"", column[0]);
    else if (kind == 13)
        sql = g_strdup_printf("INSERT OR IGNORE INTO strike (subject, uuid, at, why) SELECT uuid,"
                              " 's' || uuid, %u, 'struck' FROM site LIMIT 1",
                              1 + rows);
    else if (kind == 14)
        sql = g_strdup_printf("INSERT OR IGNORE INTO amendment (uuid, subject, field, value, at,"
                              " why) SELECT 'a%u' || uuid, uuid, '%s', %s, %u, 'x' FROM %s",
                              rows, column[1], value, 1 + rows, rows % 2 == 0 ? "site" : "thing");
    else /* that of another row */
        sql = g_strdup_printf("UPDATE OR IGNORE \"%s\" SET \"%s\" = (SELECT x.\"%s\" FROM \"%s\" x"
                              " ORDER BY 1 LIMIT 1 OFFSET %u) WHERE %s",
                              column[0], column[1], column[1], column[0], rows % 16, order);
    execute(db, sql);
}

static void change_rows(struct script *script)
{
    sqlite3 *db;
    guint how = take(script, 1);
    int changes = 0;

    fuzz_check(sqlite3_open(mutant, &db) == SQLITE_OK);
    execute(db,
            "PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY; PRAGMA foreign_keys = OFF");
    if (how % 4 == 0)
        execute(db, "PRAGMA ignore_check_constraints = ON");
    execute(db, "BEGIN");
    while (script->at < script->end && changes++ < CHANGES_MOST)
        change_row(script, db);
    /* Now and then the tables themselves. */
    if (how == 1)
        execute(db, "CREATE TRIGGER t AFTER INSERT ON site BEGIN DELETE FROM thing; END");
    else if (how == 2)
        execute(db, "DROP VIEW site_now; CREATE VIEW site_now AS WITH RECURSIVE n (i) AS (SELECT 1"
                    " UNION ALL SELECT i + 1 FROM n) SELECT i FROM n");
    else if (how == 3)
        execute(db, "DROP TABLE permission");
    execute(db, "COMMIT");
    sqlite3_close(db);
}

/* ---- what is asked of it ---- */

static gboolean nothing_site(const struct spl_check *check, gpointer ignored, GError **error)
{
    (void)check, (void)ignored, (void)error;
    return TRUE;
}

static gboolean nothing_harvest(const struct spl_harvest *harvest, gpointer ignored, GError **error)
{
    (void)harvest, (void)ignored, (void)error;
    return TRUE;
}

static gboolean nothing_lot(const struct spl_lot *lot, gpointer ignored, GError **error)
{
    (void)lot, (void)ignored, (void)error;
    return TRUE;
}

static char *unanswered; /* what the last question failed with */

static gboolean answered(gboolean done, GError *error)
{
    if (!done && error != NULL) {
        g_free(unanswered);
        unanswered = g_strdup(error->message);
    }
    fuzz_promise(done, error);
    return done;
}

/* Every list; whether all of it could be answered. */
static gboolean ask(struct spl_house *house)
{
    const struct spl_harvest_question question = {.from = SPL_DAY_NONE, .to = SPL_DAY_NONE};
    const struct spl_lot_question lots = {.all = TRUE};
    GError *error = NULL;
    const struct spl_check_question every = {.on = SPL_DAY_NONE, .all = TRUE, .near_m = NAN};
    GPtrArray *findings = spl_book_examine(house, &error);
    struct spl_today today;
    gboolean all = answered(findings != NULL, error), done;

    g_clear_pointer(&findings, g_ptr_array_unref);
    error = NULL;
    done = spl_check_all(house, &every, nothing_site, NULL, NULL, &error);
    all = answered(done, error) && all;
    error = NULL;
    done = spl_harvest_entries(house, &question, nothing_harvest, NULL, &error);
    all = answered(done, error) && all;
    error = NULL;
    done = spl_lot_lines(house, &lots, nothing_lot, NULL, &error);
    all = answered(done, error) && all;
    error = NULL;
    done = spl_today(house, &today, &error);
    all = answered(done, error) && all;
    if (done)
        spl_record_clear(&spl_today_shape, &today);
    return all;
}

static void step(double *since)
{
    double now = processor_seconds();

    seen.slowest = MAX(seen.slowest, now - *since);
    fuzz_check(now - *since <= SECONDS_MOST);
    *since = now;
}

static void open_and_ask(double *since)
{
    GError *error = NULL;
    struct spl_house *house = house_of(mutant, SPL_HOUSE_READ, &error);

    fuzz_promise(house != NULL, error);
    step(since);
    if (house == NULL)
        return;
    seen.opened++;
    (void)ask(house);
    spl_house_close(house);
    step(since);
}

static void merge_into_own(double *since)
{
    GError *error = NULL;
    const struct spl_merge_words words = {.path = mutant};
    struct spl_merged merged;
    struct spl_house *house;
    gboolean done;

    put_file(own, own_bytes, own_size);
    house = house_of(own, SPL_HOUSE_WRITE, &error);
    must(house != NULL, error);
    done = spl_merge(house, &words, &merged, &error);
    fuzz_promise(done, error);
    error = NULL;
    if (done) {
        spl_record_clear(&spl_merged_shape, &merged);
        if (!ask(house)) {
            fprintf(stderr, "after a merge: %s\n", unanswered);
            abort();
        }
        fuzz_check(verdict_of_own(house, &error) >= own_verdict);
        seen.merged++;
    }
    spl_house_close(house);
    if (!done) {
        g_autofree char *now = NULL;
        gsize size;

        must(g_file_get_contents(own, &now, &size, &error), error);
        fuzz_check(size == own_size && memcmp(now, own_bytes, size) == 0);
    }
    step(since);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    struct script script = {bytes, bytes + size};
    double since;

    if (folder == NULL)
        set_up();
    if (take(&script, 1) < 64) {
        g_autofree guint8 *changed = g_memdup2(base_bytes, base_size);
        gsize left = base_size;

        change_pages(&script, changed, &left);
        put_file(mutant, (const char *)changed, left);
    } else {
        put_file(mutant, base_bytes, base_size);
        change_rows(&script);
    }
    seen.books++;
    since = processor_seconds();
    open_and_ask(&since);
    merge_into_own(&since);
    return 0;
}

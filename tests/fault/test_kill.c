/* SPDX-License-Identifier: MIT
 *
 * Two processes write into one book and are killed at random moments: harvests and purchases are
 * logged, batches begun and pressed, map layers read again, old books migrated. What a command had
 * printed as done, by the list that its parent keeps and syncs, must be in the book; a layer is the
 * whole old or the whole new one; the book passes its own check, so nothing is there in half.
 *
 * SIMPLING_KILLS is the number of kills, 40 if unset; no new one begins after MOST_SECONDS.
 */
#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include "../exchange/shape_make.h"
#include "expect.h"
#include "fault_loop.h"
#include "fault_program.h"
#include "old_book.h"

#define WORKERS 2
#define MOST_SECONDS 110 /* of the writers; the migrations have a third of it */

/* What is killed. HARVEST to PRESS make a record with a code. */
enum kind { HARVEST, PURCHASE, START, PRESS, IMPORT, KINDS };

#define BEGIN_BATCH                                                                                \
    "batch start tincture --from H27-001:5g --jar 100mL --menstruum 'spirit 40%, Ash Beck Still, " \
    "7' --json"

static const struct maker {
    const char *words; /* PRESS and IMPORT make their own */
    const char *list;  /* shows its codes */
    char letter;
    int share; /* of the tries */
} makers[KINDS] = {
    {"harvest add 'Fell Side' nettle/leaf --weight 100g --stage 35 --by Ann --json",
     "harvest list --json", 'H', 2},
    {"purchase add calendula/flower --weight 50g --garden --json", "purchase list --json", 'P', 1},
    {BEGIN_BATCH, "batch list --all --json", 'B', 1},
    {NULL, "lot list --all --json", 'L', 3},
    {NULL, NULL, 'i', 3},
};

static const char *const set_up_words[] = {
    "book init --mark ANN",
    "book set who Ann",
    "site add 'Fell Side' --at 54.6012,-2.5871 --elevation 210 --accuracy 10",
    "site permit 'Fell Side' --given --by Ann --parts any",
    "spray note 'Fell Side' --kind unsprayed --source Ann --since 2019-01-01",
    "harvest add 'Fell Side' nettle/leaf --weight 90kg --sure --stage 35 --by Ann",
};

/* The layer is read from one file of two in turn; they differ in every record. */
static const int layer_records[2] = {120, 210};

static int kills_wanted(void)
{
    const char *wanted = g_getenv("SIMPLING_KILLS");
    return wanted != NULL ? (int)g_ascii_strtoll(wanted, NULL, 10) : 40;
}

/* The first code with this letter in a JSON answer, or NULL if no whole one is there. g_free. */
static char *code_in(const char *json, char letter)
{
    g_autofree char *pattern = g_strdup_printf("\"code\": *\"(%c[0-9]{2}-[0-9]{3,})\"", letter);
    g_autoptr(GRegex) regex = g_regex_new(pattern, 0, 0, NULL);
    g_autoptr(GMatchInfo) match = NULL;
    return g_regex_match(regex, json, 0, &match) ? g_match_info_fetch(match, 1) : NULL;
}

/* A line of the list of what was tried and done: it is on the disk when this returns. */
static void note(const char *acks, const char *line)
{
    int fd = open(acks, O_WRONLY | O_APPEND | O_CREAT, 0600);
    if (fd < 0 || write(fd, line, strlen(line)) != (ssize_t)strlen(line) || fsync(fd) != 0)
        abort();
    close(fd);
}

static void run_well(const char *words, const char *book)
{
    struct fault_run run;
    fault_program_run(words, book, -1, NULL, -1, &run);
    if (run.status != 0)
        fail_msg("%s: status %d: %s", words, run.status, run.err);
    fault_run_clear(&run);
}

/* A batch to be pressed, begun in peace. */
static char *begin_batch(const char *book)
{
    struct fault_run run;
    fault_program_run(BEGIN_BATCH, book, -1, NULL, -1, &run);
    char *code = run.status == 0 ? code_in(run.out, 'B') : NULL;
    if (code == NULL) {
        fprintf(stderr, "%s: status %d: %s\n", BEGIN_BATCH, run.status, run.err);
        _exit(1);
    }
    fault_run_clear(&run);
    return code;
}

static char *layer_file(int version)
{
    g_autofree char *name = g_strdup_printf("layer-%d.shp", version);
    return g_build_filename(fault_scratch(), name, NULL);
}

/* The command line of one try; `version` is that of a layer. */
static char *words_of(enum kind kind, const char *book, int worker, int version)
{
    if (kind == PRESS) {
        g_autofree char *code = begin_batch(book);
        return g_strdup_printf("batch press %s --yield 60mL --json", code);
    }
    if (kind == IMPORT) {
        g_autofree char *path = layer_file(version);
        return g_strdup_printf("hazard import '%s' --layer 'layer %d' --method road "
                               "--product-field NAME --json",
                               path, worker);
    }
    return g_strdup(makers[kind].words);
}

static enum kind any_kind(GRand *rand)
{
    int all = 0, at;
    for (int i = 0; i < KINDS; i++)
        all += makers[i].share;
    at = g_rand_int_range(rand, 0, all);
    for (int i = 0; i < KINDS; i++)
        if ((at -= makers[i].share) < 0)
            return (enum kind)i;
    return HARVEST;
}

struct work {
    const char *book, *acks;
    const int *longest_us; /* of each kind */
    gint64 until_us;
    int number, kills;
};

/* One command, killed after a random while; whether it was. */
static gboolean try_one(const struct work *work, GRand *rand)
{
    enum kind kind = any_kind(rand);
    int version = g_rand_int_range(rand, 0, 2);
    g_autofree char *words = words_of(kind, work->book, work->number, version);
    g_autofree char *layer = g_strdup_printf("%d %d\n", work->number, version);
    struct fault_run run;

    if (kind == IMPORT) {
        g_autofree char *line = g_strconcat("tried ", layer, NULL);
        note(work->acks, line);
    }
    fault_program_run(words, work->book, g_rand_int_range(rand, 0, work->longest_us[kind]), NULL,
                      -1, &run);
    gboolean killed = run.status == 128 + SIGKILL;
    if (!killed && run.status != 0) {
        fprintf(stderr, "%s: status %d: %s\n", words, run.status, run.err);
        _exit(1);
    }
    if (kind == IMPORT && run.status == 0) {
        g_autofree char *line = g_strconcat("done ", layer, NULL);
        note(work->acks, line);
    } else if (kind != IMPORT) {
        g_autofree char *code = code_in(run.out, makers[kind].letter);
        if (code == NULL && !killed) {
            fprintf(stderr, "%s: done without a code: %s\n", words, run.out);
            _exit(1);
        }
        if (code != NULL) {
            g_autofree char *line = g_strconcat("code ", code, "\n", NULL);
            note(work->acks, line);
        }
    }
    if (killed) {
        g_autofree char *line = g_strdup_printf("killed %d\n", (int)kind);
        note(work->acks, line);
    }
    fault_run_clear(&run);
    return killed;
}

static void do_work(const struct work *work)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed((guint32)(1027 + work->number));
    for (int killed = 0; killed < work->kills && g_get_monotonic_time() < work->until_us;)
        killed += try_one(work, rand);
    _exit(0);
}

/* Forks both; they begin together. */
static void let_work(struct work *work)
{
    pid_t workers[WORKERS];
    for (int i = 0; i < WORKERS; i++) {
        fflush(NULL);
        work->number = i;
        workers[i] = fork();
        assert_true(workers[i] >= 0);
        if (workers[i] == 0)
            do_work(work);
    }
    for (int i = 0; i < WORKERS; i++) {
        int status;
        assert_int_equal(waitpid(workers[i], &status, 0), workers[i]);
        assert_int_equal(status, 0);
    }
}

static void put_layer(int version)
{
    g_autofree char *stem = g_strdup_printf("layer-%d", version);
    struct make make;

    make_begin(&make, 3);
    make_field(&make, "NAME", 'C', 20, 0);
    for (int i = 0; i < layer_records[version]; i++) {
        const double lat = 54.7 + 0.001 * i + 0.0003 * version;
        const double xy[] = {-2.60, lat, -2.59, lat};
        const int start = 0;
        make_add(&make, xy, 2, &start, 1);
        make_row(&make, ' ', version == 0 ? "the old survey" : "the new survey");
    }
    g_free(make_write(&make, fault_scratch(), stem));
    make_end(&make);
}

/* Three times what each takes in peace, in microseconds: beside another writer it takes longer. */
static void measure(const char *book, int *longest_us)
{
    for (int kind = 0; kind < KINDS; kind++) {
        g_autofree char *words = words_of((enum kind)kind, book, 0, 0);
        gint64 begin = g_get_monotonic_time();
        run_well(words, book);
        longest_us[kind] = (int)(3 * (g_get_monotonic_time() - begin));
    }
    run_well("hazard drop 'layer 0'", book);
}

/* Every code of the list is shown by its command; how many there are. */
static int expect_codes(char **lines, const char *book)
{
    int acked = 0, missing = 0;
    for (int kind = 0; kind < IMPORT; kind++) {
        struct fault_run run;
        fault_program_run(makers[kind].list, book, -1, NULL, -1, &run);
        assert_int_equal(run.status, 0);
        for (char **line = lines; *line != NULL; line++) {
            if (!g_str_has_prefix(*line, "code ") || (*line)[5] != makers[kind].letter)
                continue;
            g_autofree char *quoted = g_strdup_printf("\"%s\"", *line + 5);
            acked++;
            if (strstr(run.out, quoted) == NULL) {
                print_error("acknowledged and lost: %s\n", *line + 5);
                missing++;
            }
        }
        fault_run_clear(&run);
    }
    assert_int_equal(missing, 0);
    return acked;
}

/* The version that a layer is in, whole; -1: it is not there. */
static int version_of(const char *book, int worker)
{
    g_autofree char *sql = g_strdup_printf(
        "SELECT count(*), sum(h.product = 'the old survey'), sum(h.product = 'the new survey'),"
        " max(l.records) FROM hazard h JOIN hazard_layer l ON l.id = h.layer_id"
        " WHERE l.name = 'layer %d'",
        worker);
    sqlite3_stmt *row;
    sqlite3 *db;
    int version = -1;

    assert_int_equal(sqlite3_open(book, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &row, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    int n = sqlite3_column_int(row, 0);
    for (int v = 0; v < 2 && n > 0; v++)
        if (n == layer_records[v] && sqlite3_column_int(row, 1 + v) == n &&
            sqlite3_column_int(row, 3) == n)
            version = v;
    if (n > 0 && version < 0)
        fail_msg("layer %d: %d records, %d old, %d new, of %d", worker, n,
                 sqlite3_column_int(row, 1), sqlite3_column_int(row, 2),
                 sqlite3_column_int(row, 3));
    sqlite3_finalize(row);
    sqlite3_close(db);
    return version;
}

/* What a worker's layer may be: the last that was done, or any that was tried after that. */
static void expect_layer(char **lines, const char *book, int worker)
{
    gboolean may[3] = {TRUE, FALSE, FALSE}; /* not there, old, new */
    g_autofree char *tried = g_strdup_printf("tried %d ", worker);
    g_autofree char *done = g_strdup_printf("done %d ", worker);

    for (char **line = lines; *line != NULL; line++) {
        if (g_str_has_prefix(*line, done))
            may[0] = may[1] = may[2] = FALSE;
        if (g_str_has_prefix(*line, done) || g_str_has_prefix(*line, tried))
            may[1 + atoi(strrchr(*line, ' '))] = TRUE;
    }
    int version = version_of(book, worker);
    if (!may[1 + version])
        fail_msg("layer %d: is in version %d, which was not the last", worker, version);
}

static void nothing_acknowledged_is_lost_when_writers_are_killed(void **state)
{
    int longest_us[KINDS], kills = kills_wanted() * 4 / 5, killed[KINDS] = {0}, all = 0;
    g_autofree char *book = g_build_filename(fault_scratch(), "book.db", NULL);
    g_autofree char *acks = g_build_filename(fault_scratch(), "acks", NULL);
    g_autofree char *text = NULL;
    GError *error = NULL;
    (void)state;

    for (size_t i = 0; i < G_N_ELEMENTS(set_up_words); i++)
        run_well(set_up_words[i], book);
    put_layer(0);
    put_layer(1);
    measure(book, longest_us);
    struct work work = {.book = book,
                        .acks = acks,
                        .longest_us = longest_us,
                        .until_us = g_get_monotonic_time() + MOST_SECONDS * G_USEC_PER_SEC,
                        .kills = kills / WORKERS};
    let_work(&work);

    if (!fault_program_check(book, &error))
        fail_msg("the book's check: %s", error->message);
    g_file_get_contents(acks, &text, NULL, &error);
    expect_ok(error);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    int acked = expect_codes(lines, book);
    for (int i = 0; i < WORKERS; i++)
        expect_layer(lines, book, i);
    for (char **line = lines; *line != NULL; line++)
        if (g_str_has_prefix(*line, "killed ") && ++all > 0)
            killed[atoi(*line + 7)]++;
    print_message("%d kills (harvest %d, purchase %d, batch %d, press %d, layer %d), "
                  "%d acknowledged, none lost\n",
                  all, killed[HARVEST], killed[PURCHASE], killed[START], killed[PRESS],
                  killed[IMPORT], acked);
    assert_true(all >= kills / 4); /* a slow machine may not come to all of them */
    assert_true(acked >= all / 10);
    assert_true(killed[PRESS] > 0 && killed[IMPORT] > 0);
}

/* Migrations ----------------------------------------------------------------------------------- */

/* One of the two that open the same old book for writing: it says who writes, and how it ended. */
static void migrate_and_die(const char *book, const char *acks, const char *who, int kill_us)
{
    g_autofree char *words = g_strdup_printf("book set who %s", who);
    struct fault_run run;

    fault_program_run(words, book, kill_us, NULL, -1, &run);
    if (run.status != 0 && run.status != 128 + SIGKILL) {
        fprintf(stderr, "%s: status %d: %s\n", words, run.status, run.err);
        _exit(1);
    }
    g_autofree char *line = g_strdup_printf("%s %s\n", run.status == 0 ? "done" : "killed", who);
    note(acks, line);
    fault_run_clear(&run);
    _exit(0);
}

static void let_migrate(const char *book, const char *acks, const int *kill_us)
{
    static const char *const names[WORKERS] = {"Bea", "Cid"};
    pid_t workers[WORKERS];

    for (int i = 0; i < WORKERS; i++) {
        fflush(NULL);
        workers[i] = fork();
        assert_true(workers[i] >= 0);
        if (workers[i] == 0)
            migrate_and_die(book, acks, names[i], kill_us[i]);
    }
    for (int i = 0; i < WORKERS; i++) {
        int status;
        assert_int_equal(waitpid(workers[i], &status, 0), workers[i]);
        assert_int_equal(status, 0);
    }
}

/* The schema that the file is in, and who is said to write. */
static int schema_of(const char *book, char **who)
{
    sqlite3 *db;
    sqlite3_stmt *row;

    assert_int_equal(sqlite3_open(book, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db,
                                        "SELECT user_version, (SELECT value FROM setting WHERE key"
                                        " = 'who') FROM pragma_user_version",
                                        -1, &row, NULL),
                     SQLITE_OK);
    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    int schema = sqlite3_column_int(row, 0);
    *who = g_strdup((const char *)sqlite3_column_text(row, 1));
    sqlite3_finalize(row);
    sqlite3_close(db);
    return schema;
}

/* After both are gone: the old book or the new one, nothing between, with what was acknowledged. */
static void expect_migrated(int schema, const char *book, const char *acks, int *killed)
{
    g_autofree char *text = NULL, *who = NULL;
    int found = schema_of(book, &who), done = 0;
    GError *error = NULL;

    assert_true(g_file_get_contents(acks, &text, NULL, NULL));
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    g_autofree char *as_done = g_strconcat("done ", who, NULL);
    for (char **line = lines; *line != NULL; line++) {
        done += g_str_has_prefix(*line, "done ");
        *killed += g_str_has_prefix(*line, "killed ");
    }
    if (found != schema && found != spl_n_migrations)
        fail_msg("a book of schema %d was left in schema %d", schema, found);
    if (done > 0 && (found != spl_n_migrations || g_str_equal(who, "Ann")))
        fail_msg("schema %d: acknowledged, and in schema %d by %s", schema, found, who);
    if (done == WORKERS && strstr(text, as_done) == NULL)
        fail_msg("schema %d: is by %s", schema, who);
    old_book_expect(schema, book);
    if (!fault_program_check(book, &error))
        fail_msg("schema %d: %s", schema, error->message);
    /* Who comes next writes into a sound book of the newest schema. */
    run_well("book set who Dot", book);
    g_free(who);
    assert_int_equal(schema_of(book, &who), spl_n_migrations);
    assert_string_equal(who, "Dot");
    old_book_expect(schema, book);
}

/* A copy of the old book that was kept before is whole, and old. */
static void expect_kept_copy(int schema, const char *book)
{
    g_autofree char *copy = g_strdup_printf("%s.before-schema-%d", book, spl_n_migrations);
    g_autofree char *who = NULL;
    GError *error = NULL;

    assert_true(g_file_test(copy, G_FILE_TEST_EXISTS));
    assert_int_equal(schema_of(copy, &who), schema);
    assert_string_equal(who, "Ann");
    if (!fault_program_check(copy, &error))
        fail_msg("the copy: %s", error->message);
    old_book_expect(schema, copy);
    g_remove(copy);
}

static void a_migration_is_done_or_not_when_two_migrate_and_are_killed(void **state)
{
    int kills = kills_wanted() / 5, killed = 0, rounds = 0;
    g_autoptr(GRand) rand = g_rand_new_with_seed(1031);
    g_autofree char *book = g_build_filename(fault_scratch(), "old.db", NULL);
    g_autofree char *journal = g_strconcat(book, "-journal", NULL);
    g_autofree char *acks = g_build_filename(fault_scratch(), "migrated", NULL);
    gint64 until = g_get_monotonic_time() + MOST_SECONDS / 3 * G_USEC_PER_SEC, longest_us;
    (void)state;

    old_book_make(1, book);
    gint64 begin = g_get_monotonic_time();
    run_well("book set who Ann", book);
    longest_us = g_get_monotonic_time() - begin;
    for (; killed < kills && g_get_monotonic_time() < until; rounds++) {
        int schema = 1 + rounds % (spl_n_migrations - 1), kill_us[WORKERS];
        g_autofree char *copy = g_strdup_printf("%s.before-schema-%d", book, spl_n_migrations);

        g_remove(acks);
        g_remove(copy);
        g_remove(journal);
        old_book_make(schema, book);
        for (int i = 0; i < WORKERS; i++)
            kill_us[i] = g_rand_int_range(rand, 0, (int)(3 * longest_us));
        let_migrate(book, acks, kill_us);
        expect_migrated(schema, book, acks, &killed);
        expect_kept_copy(schema, book);
    }
    print_message("%d kills in %d migrations\n", killed, rounds);
    assert_true(killed >= MAX(kills / 4, 1));
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_acknowledged_is_lost_when_writers_are_killed),
        cmocka_unit_test(a_migration_is_done_or_not_when_two_migrate_and_are_killed),
    };
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

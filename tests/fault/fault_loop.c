/* SPDX-License-Identifier: MIT
 *
 * Every fault in turn, until the action passes.
 */
#include "fault_loop.h"

#include "expect.h"
#include <glib/gstdio.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#define MOST_RUNS 3000000 /* of one fault; more means that the action never passes */

static char *scratch;

static void empty_scratch(void)
{
    g_autoptr(GDir) folder = g_dir_open(scratch, 0, NULL);
    const char *name;
    while (folder != NULL && (name = g_dir_read_name(folder)) != NULL) {
        g_autofree char *path = g_build_filename(scratch, name, NULL);
        g_chmod(path, 0600);
        g_remove(path);
    }
}

static void remove_scratch(void)
{
    empty_scratch();
    g_rmdir(scratch);
}

const char *fault_scratch(void)
{
    if (scratch == NULL) {
        g_autofree char *pattern = g_build_filename(
            access("/dev/shm", W_OK) == 0 ? "/dev/shm" : g_get_tmp_dir(), "simpling-XXXXXX", NULL);
        scratch = g_mkdtemp(g_steal_pointer(&pattern));
        assert_non_null(scratch);
        atexit(remove_scratch);
    }
    return scratch;
}

static void hash_row(sqlite3_stmt *row, GChecksum *sum)
{
    for (int i = 0; i < sqlite3_column_count(row); i++) {
        const void *bytes = sqlite3_column_blob(row, i); /* numbers as their text */
        int n = sqlite3_column_bytes(row, i);
        g_autofree char *head = g_strdup_printf("%d %d:", sqlite3_column_type(row, i), n);
        g_checksum_update(sum, (const guchar *)head, -1);
        if (n > 0)
            g_checksum_update(sum, bytes, n);
    }
}

static void count_table(sqlite3 *db, const char *table, GString *text, GChecksum *sum)
{
    g_autofree char *sql = g_strdup_printf("SELECT * FROM \"%s\"", table);
    sqlite3_stmt *rows = NULL;
    int n = 0;
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &rows, NULL), SQLITE_OK);
    for (; sqlite3_step(rows) == SQLITE_ROW; n++)
        hash_row(rows, sum);
    assert_int_equal(sqlite3_finalize(rows), SQLITE_OK);
    g_string_append_printf(text, "%s %d\n", table, n);
}

char *fault_fingerprint(const char *book)
{
    g_autoptr(GString) text = g_string_new(NULL);
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
    sqlite3 *db = NULL;
    sqlite3_stmt *tables = NULL;

    if (!g_file_test(book, G_FILE_TEST_EXISTS))
        return g_strdup("absent");
    if (sqlite3_open_v2(book, &db, SQLITE_OPEN_READWRITE, NULL) != SQLITE_OK)
        fail_msg("%s does not open: %s", book, sqlite3_errmsg(db));
    if (sqlite3_prepare_v2(db, "PRAGMA integrity_check", -1, &tables, NULL) != SQLITE_OK ||
        sqlite3_step(tables) != SQLITE_ROW ||
        strcmp((const char *)sqlite3_column_text(tables, 0), "ok") != 0)
        fail_msg("%s is damaged: %s", book, sqlite3_errmsg(db));
    sqlite3_finalize(tables);
    assert_int_equal(sqlite3_prepare_v2(db,
                                        "SELECT name FROM sqlite_schema WHERE type = 'table'"
                                        " ORDER BY name",
                                        -1, &tables, NULL),
                     SQLITE_OK);
    while (sqlite3_step(tables) == SQLITE_ROW)
        count_table(db, (const char *)sqlite3_column_text(tables, 0), text, sum);
    sqlite3_finalize(tables);
    /* A migration may add an index only. */
    assert_int_equal(sqlite3_prepare_v2(db,
                                        "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL"
                                        " ORDER BY name",
                                        -1, &tables, NULL),
                     SQLITE_OK);
    while (sqlite3_step(tables) == SQLITE_ROW)
        g_checksum_update(sum, sqlite3_column_text(tables, 0), -1);
    sqlite3_finalize(tables);
    sqlite3_close(db);
    if (text->len == 0)
        return g_strdup("absent");
    g_string_append_printf(text, "\n%s", g_checksum_get_string(sum));
    return g_string_free(g_steal_pointer(&text), FALSE);
}

/* The rows of a fingerprint without its checksum. */
static char *counts_of(const char *fingerprint)
{
    const char *end = strstr(fingerprint, "\n\n");
    return end != NULL ? g_strndup(fingerprint, (gsize)(end - fingerprint)) : g_strdup(fingerprint);
}

/* One action under trial. */
struct trial {
    const struct fault_action *action;
    char *book;
    char *before;       /* fingerprint */
    char *after_counts; /* of the book when all went well */
    int runs;
    gboolean checked; /* the book as it was */
    gboolean tried_again;
    char *bytes; /* of the book that it begins with; NULL: none */
    gsize n_bytes;
    char *beside; /* what else it may leave something in, as it was */
};

static int by_text(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* The files of a folder with their sizes and the moments of their last change. */
static char *listing_of(const char *path)
{
    g_autoptr(GDir) folder = g_dir_open(path, 0, NULL);
    g_autoptr(GPtrArray) lines = g_ptr_array_new_with_free_func(g_free);
    const char *name;
    while (folder != NULL && (name = g_dir_read_name(folder)) != NULL) {
        g_autofree char *file = g_build_filename(path, name, NULL);
        struct stat is = {0};
        assert_int_equal(lstat(file, &is), 0);
        g_ptr_array_add(lines, g_strdup_printf("%s %lld %lld.%09ld %lld.%09ld", name,
                                               (long long)is.st_size, (long long)is.st_mtim.tv_sec,
                                               is.st_mtim.tv_nsec, (long long)is.st_ctim.tv_sec,
                                               is.st_ctim.tv_nsec));
    }
    g_ptr_array_sort(lines, by_text);
    g_ptr_array_add(lines, NULL);
    return g_strjoinv("\n", (char **)lines->pdata);
}

static void lay_out(struct trial *trial)
{
    empty_scratch();
    if (trial->action->beside != NULL) {
        g_free(trial->beside);
        trial->beside = listing_of(trial->action->beside);
    }
    if (trial->action->start == NULL)
        return;
    GError *error = NULL;
    if (trial->bytes == NULL)
        g_file_get_contents(trial->action->start, &trial->bytes, &trial->n_bytes, &error);
    expect_ok(error);
    /* Not g_file_set_contents: it syncs. */
    FILE *file = fopen(trial->book, "w");
    assert_non_null(file);
    assert_int_equal(fwrite(trial->bytes, 1, trial->n_bytes, file), trial->n_bytes);
    assert_int_equal(fclose(file), 0);
}

/* Whether all that the next act would see is as it was laid out: then the book is as it was too. */
static gboolean is_as_laid_out(const struct trial *trial)
{
    g_autoptr(GDir) folder = g_dir_open(scratch, 0, NULL);
    g_autofree char *bytes = NULL, *now = NULL;
    const char *name;
    gsize n;

    if (trial->action->beside == NULL)
        return FALSE;
    while (folder != NULL && (name = g_dir_read_name(folder)) != NULL)
        if (trial->bytes == NULL || strcmp(name, "book.db") != 0)
            return FALSE;
    now = listing_of(trial->action->beside);
    if (strcmp(now, trial->beside) != 0)
        return FALSE;
    return trial->bytes == NULL || (g_file_get_contents(trial->book, &bytes, &n, NULL) &&
                                    n == trial->n_bytes && memcmp(bytes, trial->bytes, n) == 0);
}

static void check_book(const struct trial *trial, const char *where)
{
    GError *error = NULL;
    if (trial->action->check != NULL && !trial->action->check(trial->book, &error))
        fail_msg("%s: the book's check: %s", where, error->message);
}

/* The book is as it was: fails otherwise. Row by row, so that what the check said of it holds. */
static void expect_unchanged(struct trial *trial, const char *where)
{
    g_autofree char *now = fault_fingerprint(trial->book);
    if (strcmp(now, trial->before) != 0)
        fail_msg("%s: failed, but the book changed from\n%s\nto\n%s", where, trial->before, now);
    if ((fault_all() || !trial->checked) && strcmp(now, "absent") != 0)
        check_book(trial, where);
    trial->checked = TRUE;
}

/* The book holds all that the action writes: fails otherwise. Without the check. */
static void expect_written(const struct trial *trial, const char *where)
{
    g_autofree char *now = fault_fingerprint(trial->book);
    g_autofree char *counts = counts_of(now);
    if (strcmp(counts, trial->after_counts) != 0 ||
        (!trial->action->reads_only && strcmp(now, trial->before) == 0))
        fail_msg("%s: reported as done, but the book holds\n%s\nand not\n%s", where, now,
                 trial->after_counts);
}

static void expect_done(const struct trial *trial, const char *where)
{
    expect_written(trial, where);
    check_book(trial, where);
}

static void expect_clean(const GError *error, const char *where)
{
    if (error == NULL)
        fail_msg("%s: failed without a word", where);
    else if (error->message == NULL || error->message[0] == '\0' ||
             strchr(error->message, '\n') != NULL)
        fail_msg("%s: not one clean line: '%s'", where, error->message);
}

/* One run with an error at the nth operation. TRUE if the fault happened. */
static gboolean run_error(struct trial *trial, enum fault_kind kind, int nth, gboolean lasting)
{
    const struct fault_action *action = trial->action;
    g_autofree char *where = g_strdup_printf("%s, %s %d%s", action->name, fault_name(kind), nth,
                                             lasting ? " and all later" : "");
    GError *error = NULL;

    lay_out(trial);
    fault_arm(kind, nth, lasting, 0);
    gboolean done = action->act(trial->book, action->data, &error);
    gboolean fired = fault_disarm();
    trial->runs++;
    if (done) {
        if (error != NULL)
            fail_msg("%s: done, yet said '%s'", where, error->message);
        expect_done(trial, where);
        return fired;
    }
    expect_clean(error, where);
    g_clear_error(&error);
    if (!fired)
        fail_msg("%s: failed without a fault", where);
    if (trial->tried_again && !fault_all() && is_as_laid_out(trial))
        return TRUE;
    expect_unchanged(trial, where);
    trial->tried_again = TRUE;
    if (!action->act(trial->book, action->data, &error))
        fail_msg("%s: fails for good afterwards: %s", where, error->message);
    /* On a book that is as it was, as it went without a fault; only the long run checks it again.
     */
    if (fault_all())
        expect_done(trial, where);
    else
        expect_written(trial, where);
    return TRUE;
}

/* One run in a child whose power goes out at the nth change. TRUE if it was done before that. */
static gboolean run_power(struct trial *trial, enum fault_kind kind, int nth, guint32 seed)
{
    const struct fault_action *action = trial->action;
    g_autofree char *where =
        g_strdup_printf("%s, %s %d, seed %u", action->name, fault_name(kind), nth, seed);
    int pipe_ends[2], status;
    char word;

    lay_out(trial);
    assert_int_equal(pipe(pipe_ends), 0);
    fflush(NULL);
    pid_t child = fork();
    if (child == 0) {
        fault_arm(kind, nth, FALSE, seed);
        gboolean done = action->act(trial->book, action->data, NULL);
        if (write(pipe_ends[1], done ? "y" : "n", 1) != 1)
            _exit(1);
        fault_power_out();
    }
    assert_true(child > 0);
    close(pipe_ends[1]);
    gboolean answered = read(pipe_ends[0], &word, 1) == 1;
    close(pipe_ends[0]);
    assert_int_equal(waitpid(child, &status, 0), child);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != FAULT_POWER_OUT)
        fail_msg("%s: the process ended with status %d", where, status);
    if (answered && word != 'y')
        fail_msg("%s: failed without a fault", where);
    trial->runs++;

    if (answered) {
        expect_done(trial, where);
        return TRUE;
    }
    g_autofree char *now = fault_fingerprint(trial->book);
    if (strcmp(now, trial->before) == 0)
        expect_unchanged(trial, where);
    else
        expect_done(trial, where);
    return FALSE;
}

gboolean fault_wide(void)
{
    return fault_all() || g_strcmp0(g_getenv("SIMPLING_FAULT"), "wide") == 0;
}

gboolean fault_all(void)
{
    return g_strcmp0(g_getenv("SIMPLING_FAULT"), "all") == 0;
}

/* The next number to try: the first ones all, then by a step that grows with the number;
 * allocations, which are very many, by one that grows faster. */
static int next_number(enum fault_kind kind, int nth)
{
    if (fault_all())
        return kind == FAULT_MEMORY ? nth + 1 + nth / 10 : nth < 100 ? nth + 1 : nth + nth / 25;
    return nth + 1 + (kind == FAULT_MEMORY ? 2 * nth : nth);
}

static void try_kind(struct trial *trial, enum fault_kind kind)
{
    gboolean power = kind == FAULT_DROP || kind == FAULT_TEAR;
    for (int lasting = 0; lasting < (power || !fault_all() ? 1 : 2); lasting++)
        for (int nth = 1;; nth = next_number(kind, nth)) {
            gboolean passed;
            if (nth > MOST_RUNS)
                fail_msg("%s never passes with %s", trial->action->name, fault_name(kind));
            if (!power) {
                passed = !run_error(trial, kind, nth, lasting);
            } else {
                passed = run_power(trial, kind, nth, 1);
                for (guint32 seed = 2; seed <= (kind == FAULT_TEAR && fault_all() ? 4 : 1); seed++)
                    passed = run_power(trial, kind, nth, seed);
            }
            if (passed)
                break;
        }
}

int fault_loop(const struct fault_action *action, const enum fault_kind *kinds)
{
    struct trial trial = {.action = action};
    GError *error = NULL;

    trial.book = g_build_filename(fault_scratch(), "book.db", NULL);
    lay_out(&trial);
    trial.before = fault_fingerprint(trial.book);
    if (!action->act(trial.book, action->data, &error))
        fail_msg("%s fails without any fault: %s", action->name, error->message);
    g_autofree char *after = fault_fingerprint(trial.book);
    trial.after_counts = counts_of(after);
    expect_done(&trial, action->name);

    if (kinds != NULL) {
        for (; *kinds != FAULT_NONE; kinds++)
            try_kind(&trial, *kinds);
    } else {
        for (int kind = FAULT_NONE + 1; kind < FAULT_KINDS; kind++)
            try_kind(&trial, (enum fault_kind)kind);
    }
    g_free(trial.book);
    g_free(trial.before);
    g_free(trial.after_counts);
    g_free(trial.bytes);
    g_free(trial.beside);
    empty_scratch();
    return trial.runs;
}

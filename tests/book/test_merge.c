/* SPDX-License-Identifier: MIT
 *
 * Two and three people, one season: books that began as one go their own ways at random and are
 * merged in every order. The result is the union of their rows, the same in any order and again;
 * what two did with one thing is listed, exactly that.
 */
#include "shelf.h"

#include <sqlite3.h>

#include "base/text.h"
#include "book/amendment.h"
#include "book/batch.h"
#include "book/check.h"
#include "book/code.h"
#include "book/draw.h"
#include "book/hold.h"
#include "book/lot.h"
#include "book/merge.h"
#include "book/statement.h"

#define DAY0 20577 /* 2026-05-04 */
#define SEEDS 8
#define PEOPLE 3

static const char *const marks[PEOPLE] = {"ANN", "BOB", "CID"};

/* One person, and what they did since the books parted: "take UUID", "strike UUID", … */
struct person {
    struct spl_book *book;
    char *path;
    const char *mark;
    GRand *rand;
    GHashTable *did;
    int day, names;
};

static void must(gboolean ok, GError *const *error)
{
    if (!ok)
        fail_msg("%s", *error != NULL ? (*error)->message : "failed");
}

static void open_book(struct person *person, enum spl_book_mode mode)
{
    g_autoptr(GError) error = NULL;

    person->book = spl_book_open(person->path, mode, &error);
    expect_ok(error);
    must(spl_book_script(person->book, "PRAGMA synchronous = OFF", &error), &error);
}

static void did(struct person *person, const char *what, const char *uuid)
{
    g_hash_table_add(person->did, g_strdup_printf("%s %s", what, uuid));
}

/* A thing at random of which more than `least` is left; 0: none. */
static gint64 any_thing(struct person *person, const char *kind, double least, char **uuid,
                        double *left)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(person->book, NULL,
                           "SELECT b.id, t.uuid, b.left FROM balance b JOIN thing t ON t.id = b.id"
                           " WHERE b.kind = ? AND b.left > ? ORDER BY t.mark, t.year, t.number",
                           "tr", kind, least);
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GPtrArray) uuids = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GArray) lefts = g_array_new(FALSE, FALSE, sizeof(double));
    guint i;

    *uuid = NULL;
    while (spl_statement_row(rows, NULL)) {
        gint64 id = spl_column_long(rows, 0);
        double is = spl_column_real(rows, 2);

        g_array_append_val(ids, id);
        g_ptr_array_add(uuids, spl_column_text(rows, 1));
        g_array_append_val(lefts, is);
    }
    if (ids->len == 0)
        return 0;
    i = (guint)g_rand_int_range(person->rand, 0, (gint32)ids->len);
    *uuid = g_strdup(g_ptr_array_index(uuids, i));
    *left = g_array_index(lefts, double, i);
    return g_array_index(ids, gint64, i);
}

static gint64 any_site(struct person *person)
{
    gint64 n = spl_book_number(person->book, 0, NULL, "SELECT count(*) FROM site", "");

    return spl_book_number(person->book, 0, NULL,
                           "SELECT id FROM site ORDER BY id LIMIT 1 OFFSET ?", "i",
                           g_rand_int_range(person->rand, 0, (gint32)n));
}

static void gather(struct person *person)
{
    g_free(shelf_harvest(person->book, any_site(person), (struct spl_day){person->day},
                         g_rand_int_range(person->rand, 50, 400)));
}

static void begin_batch(struct person *person)
{
    g_autofree char *uuid = NULL;
    g_autoptr(GError) error = NULL;
    struct spl_day day = {person->day};
    double left;
    gint64 source = any_thing(person, "H", 30, &uuid, &left);
    struct spl_batch_row row = {.preparation = g_strdup("tincture"),
                                .keeping = g_strdup("table"),
                                .day = day,
                                .jar_ml = NAN,
                                .brimful_ml = NAN};
    struct spl_charge_row herb = {.kind = SPL_CHARGE_HERB,
                                  .source_id = source,
                                  .day = day,
                                  .material = (char *)"nettle/leaf",
                                  .state = (char *)"fresh",
                                  .grams = 20,
                                  .moisture_frac = 0.8,
                                  .volume_ml_per_g = 1,
                                  .kept_ml_per_g = {1, 0.5, 1.5, NULL},
                                  .strength_frac = NAN};
    struct spl_charge_row liquid = {.kind = SPL_CHARGE_LIQUID,
                                    .day = day,
                                    .grams = NAN,
                                    .moisture_frac = NAN,
                                    .volume_ml_per_g = NAN,
                                    .kept_ml_per_g = {NAN, NAN, NAN, NULL},
                                    .blend = {100, 94, 31, 0, 0, 0},
                                    .strength_frac = 0.4};

    if (source != 0) {
        must(spl_book_begin(person->book, &error), &error);
        must(spl_batch_add(person->book, &row, &error) &&
                 spl_charge_add(person->book, row.id, &herb, &error) &&
                 spl_charge_add(person->book, row.id, &liquid, &error) &&
                 spl_book_commit(person->book, &error),
             &error);
        did(person, "take", uuid);
    }
    spl_batch_row_clear(&row);
}

/* A batch that nobody pressed here yet. */
static void press(struct person *person)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *uuid = NULL;
    struct spl_day day = {person->day};
    struct spl_lot lot = {.preparation = g_strdup("tincture"),
                          .materials = g_strdup("nettle/leaf"),
                          .made = day,
                          .made_ml = 90,
                          .made_g = NAN,
                          .use_by = {person->day + 700},
                          .ratio = 5};
    const struct spl_blend blend = {90, 85, 28, 0, 0, 0};
    gint64 batch = 0;
    g_autoptr(spl_statement) row = spl_statement_open(
        person->book, NULL,
        "SELECT b.id, b.uuid FROM batch_now b WHERE b.pressed IS NULL ORDER BY b.mark, b.year,"
        " b.number LIMIT 1",
        "");

    if (spl_statement_row(row, NULL)) {
        batch = spl_column_long(row, 0);
        uuid = spl_column_text(row, 1);
    }
    g_clear_pointer(&row, spl_statement_done);
    if (batch != 0) {
        must(spl_book_begin(person->book, &error), &error);
        must(spl_lot_add(person->book, &lot, &blend, NULL, &error) &&
                 spl_draw_add(person->book, lot.id, batch, day, NAN, 90, &error) &&
                 spl_book_commit(person->book, &error),
             &error);
        did(person, "take", uuid);
    }
    spl_record_clear(&spl_lot_shape, &lot);
}

/* Out of a lot: used, counted or thrown away. */
static void take_of_lot(struct person *person)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *uuid = NULL, *call = spl_uuid_new();
    struct spl_day day = {person->day};
    double left;
    gint64 lot = any_thing(person, "L", 15, &uuid, &left);
    gboolean ok;

    if (lot == 0)
        return;
    must(spl_book_begin(person->book, &error), &error);
    switch (g_rand_int_range(person->rand, 0, 3)) {
    case 0:
        ok = spl_lot_use_add(person->book, lot, call, day, 7, "7", NULL, &error);
        break;
    case 1:
        ok = spl_lot_event_add(person->book, lot, "count", day, NULL, left - 2, -2, NULL, &error);
        break;
    default:
        ok = spl_discard_add(person->book, lot, day, NAN, 3, "a broken bottle", NULL, &error);
        break;
    }
    must(ok && spl_book_commit(person->book, &error), &error);
    did(person, "take", uuid);
}

/* A weight is only ever corrected upward, so that no balance falls below nothing. */
static void correct(struct person *person)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *uuid = NULL;
    double left;
    gint64 id = any_thing(person, "H", -1, &uuid, &left);

    if (id == 0)
        return;
    must(spl_book_begin(person->book, &error), &error);
    must(spl_amendment_add_real(person->book, uuid, "weight_g",
                                500 + g_rand_double_range(person->rand, 0, 500), person->mark,
                                "the scales", &error) &&
             spl_book_commit(person->book, &error),
         &error);
    did(person, "amend", uuid);
}

static void strike(struct person *person)
{
    g_autoptr(GError) error = NULL;
    struct spl_thing thing = {.kind = 'H', .code = (char *)"a harvest"};
    g_autofree char *uuid = NULL;
    double left;

    thing.id = any_thing(person, "H", -1, &uuid, &left);
    thing.uuid = uuid;
    if (thing.id == 0 || spl_thing_takers(person->book, thing.id, NULL) > 0)
        return;
    must(spl_book_begin(person->book, &error), &error);
    must(spl_strike_add(person->book, &thing, person->mark, "logged twice", &error) &&
             spl_book_commit(person->book, &error),
         &error);
    did(person, "strike", uuid);
}

static void name_site(struct person *person)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *name = g_strdup_printf("%s's place %d", person->mark, person->names++);
    struct spl_site site;

    if (g_rand_boolean(person->rand)) {
        (void)shelf_site(person->book, name);
        return;
    }
    must(spl_site_load(person->book, any_site(person), &site, &error), &error);
    must(spl_book_begin(person->book, &error), &error);
    must(spl_site_rename(person->book, &site, name, person->mark, "it is called so", &error) &&
             spl_book_commit(person->book, &error),
         &error);
    did(person, "name", site.uuid);
    spl_record_clear(&spl_site_shape, &site);
}

static void keep_back(struct person *person)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *uuid = NULL;
    double left;
    gint64 id = any_thing(person, "H", -1, &uuid, &left);

    if (id == 0)
        return;
    must(spl_book_begin(person->book, &error), &error);
    must(spl_hold_add(person->book, id, (struct spl_day){person->day}, "sprayed?", NULL, &error) &&
             spl_book_commit(person->book, &error),
         &error);
}

static void work(struct person *person, int actions)
{
    static void (*const all[])(struct person *) = {gather, gather,      begin_batch, press,
                                                   press,  take_of_lot, take_of_lot, correct,
                                                   strike, name_site,   keep_back};

    for (int i = 0; i < actions; i++) {
        person->day++;
        /* Clocks that differ, and meet. */
        spl_book_set_now(person->book, (gint64)person->day * 86400 * G_USEC_PER_SEC);
        all[g_rand_int_range(person->rand, 0, G_N_ELEMENTS(all))](person);
    }
}

/* Merging --------------------------------------------------------------------------------------
 */

/* Brings the book at `from` into that at `into`; its notes as "CODE what". */
static GPtrArray *merge(const char *into, const char *from, gint64 *added)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = spl_book_open(into, SPL_BOOK_WRITE, &error);
    g_autoptr(spl_book) other = spl_book_open(from, SPL_BOOK_READ, &error);
    GPtrArray *notes = g_ptr_array_new_with_free_func(g_free);
    struct spl_merge merged;

    expect_ok(error);
    must(spl_book_script(book, "PRAGMA synchronous = OFF", &error) &&
             spl_book_begin(book, &error) && spl_book_merge(book, other, &merged, &error) &&
             spl_book_commit(book, &error),
         &error);
    for (guint i = 0; i < merged.notes->len; i++) {
        const struct spl_merge_note *note = g_ptr_array_index(merged.notes, i);

        g_ptr_array_add(notes, g_strdup_printf("%s %s", note->code, note->what));
    }
    *added = merged.added;
    spl_merge_clear(&merged);
    return notes;
}

static char *copy_of(struct shelf *shelf, const char *from, const char *name)
{
    char *path = g_build_filename(shelf->folder, name, NULL);
    g_autofree char *bytes = NULL;
    gsize size;

    assert_true(g_file_get_contents(from, &bytes, &size, NULL));
    assert_true(
        g_file_set_contents_full(path, bytes, (gssize)size, G_FILE_SET_CONTENTS_NONE, 0600, NULL));
    return path;
}

static int compare_texts(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* The columns of a table with every id in the words of what it points to: the same in two books
 * whatever their row ids. NULL: it belongs to one person's desk. */
static char *select_of(sqlite3 *db, const char *table)
{
    static const char *const of_things[] = {"batch", "drying", "harvest", "lot", "purchase", NULL};
    GString *sql = g_string_new("SELECT 1");
    sqlite3_stmt *columns;

    assert_int_equal(
        sqlite3_prepare_v2(db,
                           "SELECT c.name, (SELECT f.\"table\" FROM pragma_foreign_key_list(?1) f"
                           " WHERE f.\"from\" = c.name) FROM pragma_table_info(?1) c",
                           -1, &columns, NULL),
        SQLITE_OK);
    sqlite3_bind_text(columns, 1, table, -1, SQLITE_STATIC);
    while (sqlite3_step(columns) == SQLITE_ROW) {
        const char *name = (const char *)sqlite3_column_text(columns, 0);
        const char *to = (const char *)sqlite3_column_text(columns, 1);

        if (to != NULL)
            g_string_append_printf(sql, ", (SELECT p.uuid FROM \"%s\" p WHERE p.id = x.\"%s\")",
                                   g_strv_contains(of_things, to) ? "thing" : to, name);
        else if (strcmp(name, "id") != 0)
            g_string_append_printf(sql, ", quote(x.\"%s\")", name);
    }
    sqlite3_finalize(columns);
    g_string_append_printf(sql, " FROM \"%s\" x", table);
    return g_string_free(sql, FALSE);
}

static char *content_of(const char *path)
{
    g_autoptr(GPtrArray) lines = g_ptr_array_new_with_free_func(g_free);
    sqlite3_stmt *tables, *rows;
    sqlite3 *db;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db,
                                        "SELECT name FROM pragma_table_list WHERE type = 'table'"
                                        " AND schema = 'main' AND name NOT LIKE 'sqlite_%'"
                                        " AND name NOT LIKE 'calendar_%'"
                                        " AND name NOT IN ('setting', 'site_key')",
                                        -1, &tables, NULL),
                     SQLITE_OK);
    while (sqlite3_step(tables) == SQLITE_ROW) {
        const char *table = (const char *)sqlite3_column_text(tables, 0);
        g_autofree char *sql = select_of(db, table);

        assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &rows, NULL), SQLITE_OK);
        while (sqlite3_step(rows) == SQLITE_ROW) {
            GString *line = g_string_new(table);

            for (int i = 1; i < sqlite3_column_count(rows); i++)
                g_string_append_printf(line, " %s",
                                       sqlite3_column_text(rows, i) != NULL
                                           ? (const char *)sqlite3_column_text(rows, i)
                                           : "-");
            g_ptr_array_add(lines, g_string_free(line, FALSE));
        }
        sqlite3_finalize(rows);
    }
    sqlite3_finalize(tables);
    sqlite3_close(db);
    g_ptr_array_sort(lines, compare_texts);
    g_ptr_array_add(lines, NULL);
    return g_strjoinv("\n", (char **)lines->pdata);
}

/* Says the first line that one has and the other has not. */
static void expect_same(const char *a, const char *b)
{
    g_auto(GStrv) in_a = g_strsplit(a, "\n", -1), in_b = g_strsplit(b, "\n", -1);

    for (char **line = in_a; *line != NULL; line++)
        if (!g_strv_contains((const char *const *)in_b, *line))
            fail_msg("only in one: %s", *line);
    assert_string_equal(a, b);
}

/* Every line of either is in both, and no other: a union. */
static void expect_union(const char *a, const char *b, const char *both)
{
    g_autoptr(GHashTable) lines = g_hash_table_new(g_str_hash, g_str_equal);
    g_auto(GStrv) in_a = g_strsplit(a, "\n", -1), in_b = g_strsplit(b, "\n", -1);
    g_auto(GStrv) in_both = g_strsplit(both, "\n", -1);
    guint distinct = 0;

    for (char **line = in_a; *line != NULL; line++)
        g_hash_table_add(lines, *line);
    for (char **line = in_b; *line != NULL; line++)
        g_hash_table_add(lines, *line);
    for (char **line = in_both; *line != NULL; line++) {
        if (!g_hash_table_contains(lines, *line))
            fail_msg("came from nowhere: %s", *line);
        distinct++;
    }
    /* Of a thing struck in both, this book's strike stays. */
    for (char **line = in_b; *line != NULL; line++)
        if (!g_str_has_prefix(*line, "strike ") &&
            !g_strv_contains((const char *const *)in_both, *line))
            fail_msg("was lost: %s", *line);
    for (char **line = in_a; *line != NULL; line++)
        if (!g_strv_contains((const char *const *)in_both, *line))
            fail_msg("was lost: %s", *line);
    assert_true(distinct > 0);
}

/* How many of the notes say this of the thing with that UUID. */
static guint notes_of(const char *path, GPtrArray *notes, const char *uuid, const char *what)
{
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_READ, NULL);
    g_autoptr(spl_statement) row = spl_statement_open(
        book, NULL, "SELECT kind, mark, year, number FROM thing WHERE uuid = ?", "t", uuid);
    g_autofree char *code = NULL, *start = NULL;
    guint n = 0;

    assert_true(spl_statement_row(row, NULL));
    code = spl_code_format(book, *spl_column_peek(row, 0), spl_column_peek(row, 1),
                           spl_column_int(row, 2), spl_column_int(row, 3));
    start = g_strconcat(code, " ", NULL);
    g_clear_pointer(&row, spl_statement_done);

    for (guint i = 0; i < notes->len; i++)
        n += g_str_has_prefix(g_ptr_array_index(notes, i), start) &&
             strstr(g_ptr_array_index(notes, i), what) != NULL;
    return n;
}

/* The notes are just what both did, by what each remembers; how many are expected. */
static guint expect_notes(const char *path, struct person *a, struct person *b, GPtrArray *notes)
{
    GHashTableIter iter;
    gpointer key;
    guint expected = 0;

    g_hash_table_iter_init(&iter, a->did);
    while (g_hash_table_iter_next(&iter, &key, NULL)) {
        const char *uuid = strchr(key, ' ') + 1;
        g_autofree char *took = g_strconcat("take ", uuid, NULL);
        g_autofree char *struck = g_strconcat("strike ", uuid, NULL);
        const char *what = NULL;

        if (g_str_has_prefix(key, "take ") && g_hash_table_contains(b->did, key))
            what = "was drawn on in both books";
        else if ((g_str_has_prefix(key, "take ") && g_hash_table_contains(b->did, struck)) ||
                 (g_str_has_prefix(key, "strike ") && g_hash_table_contains(b->did, took)))
            what = "is struck in one book";
        else if (g_str_has_prefix(key, "amend ") && g_hash_table_contains(b->did, key))
            what = "weight_g was corrected in both books";
        else if (g_str_has_prefix(key, "name ") && g_hash_table_contains(b->did, key))
            expected++;
        if (what != NULL && notes_of(path, notes, uuid, what) != 1)
            fail_msg("not listed once: %s '%s'", (char *)key, what);
        expected += what != NULL;
    }
    if (notes->len != expected) {
        for (guint i = 0; i < notes->len; i++)
            print_error("  noted: %s\n", (char *)g_ptr_array_index(notes, i));
        fail_msg("%u notes, %u expected", notes->len, expected);
    }
    return expected;
}

static gboolean both_did(struct person *a, struct person *b, const char *what)
{
    GHashTableIter iter;
    gpointer key;

    g_hash_table_iter_init(&iter, a->did);
    while (g_hash_table_iter_next(&iter, &key, NULL))
        if (g_str_has_prefix(key, what) && g_hash_table_contains(b->did, key))
            return TRUE;
    return FALSE;
}

static void expect_sound(const char *path)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_READ, &error);
    g_autoptr(GPtrArray) findings = spl_book_check(book, &error);

    expect_ok(error);
    if (findings->len > 0)
        fail_msg("%s", (char *)g_ptr_array_index(findings, 0));
}

/* Two books in either order, and again. */
static guint expect_pair(struct shelf *shelf, struct person *a, struct person *b)
{
    g_autofree char *ab = copy_of(shelf, a->path, "ab.db"), *ba = copy_of(shelf, b->path, "ba.db");
    g_autofree char *in_a = content_of(a->path), *in_b = content_of(b->path);
    g_autofree char *in_ab = NULL, *in_ba = NULL, *again = NULL;
    g_autoptr(GPtrArray) notes = NULL, other_notes = NULL, no_notes = NULL;
    gint64 added;
    guint conflicts;

    notes = merge(ab, b->path, &added);
    other_notes = merge(ba, a->path, &added);
    in_ab = content_of(ab);
    in_ba = content_of(ba);
    if (!both_did(a, b, "strike "))
        expect_same(in_ab, in_ba);
    expect_union(in_a, in_b, in_ab);
    conflicts = expect_notes(ab, a, b, notes);
    assert_int_equal(expect_notes(ba, b, a, other_notes), conflicts);
    if (conflicts == 0) {
        expect_sound(ab);
        expect_sound(ba);
    }
    no_notes = merge(ab, b->path, &added);
    assert_int_equal(added, 0);
    assert_int_equal(no_notes->len, 0);
    again = content_of(ab);
    assert_string_equal(in_ab, again);
    return conflicts;
}

/* All three in every order end in the same rows. */
static void expect_any_order(struct shelf *shelf, struct person *people)
{
    static const int orders[][PEOPLE] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {2, 1, 0}};
    g_autofree char *first = NULL;

    for (guint i = 0; i < G_N_ELEMENTS(orders); i++) {
        g_autofree char *path = copy_of(shelf, people[orders[i][0]].path, "all.db");
        g_autofree char *content = NULL;
        gint64 added;

        for (int k = 1; k < PEOPLE; k++)
            g_ptr_array_unref(merge(path, people[orders[i][k]].path, &added));
        content = content_of(path);
        if (first == NULL)
            first = g_steal_pointer(&content);
        else
            expect_same(first, content);
    }
}

/* The first has a book; the others make theirs and bring it in. */
static void begin(struct shelf *shelf, struct person *people, guint32 seed)
{
    for (int i = 0; i < PEOPLE; i++) {
        g_autoptr(GError) error = NULL;
        g_autofree char *name = g_strdup_printf("%s-%u.db", marks[i], seed);
        gint64 added;

        people[i] =
            (struct person){.path = g_build_filename(shelf->folder, name, NULL),
                            .mark = marks[i],
                            .rand = g_rand_new_with_seed(seed * 10 + (guint32)i),
                            .did = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL),
                            .day = DAY0};
        open_book(&people[i], SPL_BOOK_MAKE);
        must(spl_book_begin(people[i].book, &error) &&
                 spl_setting_set(people[i].book, "mark", marks[i], &error) &&
                 spl_book_commit(people[i].book, &error),
             &error);
        spl_book_set_now(people[i].book, (gint64)(DAY0 - 1) * 86400 * G_USEC_PER_SEC);
        if (i == 0) {
            (void)shelf_site(people[0].book, "Withy Gill");
            (void)shelf_site(people[0].book, "Kell Moss");
            work(&people[0], 12);
            g_hash_table_remove_all(people[0].did);
        }
        spl_book_close(people[i].book);
        if (i > 0)
            g_ptr_array_unref(merge(people[i].path, people[0].path, &added));
    }
}

static void end(struct person *people)
{
    for (int i = 0; i < PEOPLE; i++) {
        g_unlink(people[i].path);
        g_free(people[i].path);
        g_rand_free(people[i].rand);
        g_hash_table_unref(people[i].did);
    }
}

static void books_merge_alike_in_any_order_and_again(void **state)
{
    struct shelf *shelf = *state;
    guint conflicts = 0, pairs_without = 0;

    for (guint32 seed = 1; seed <= SEEDS; seed++) {
        struct person people[PEOPLE];
        gboolean both_struck = FALSE;

        begin(shelf, people, seed);
        for (int i = 0; i < PEOPLE; i++) {
            open_book(&people[i], SPL_BOOK_WRITE);
            /* Few actions leave no conflict, many do. */
            people[i].day = DAY0 + 20;
            work(&people[i], seed % 3 == 0 ? 3 : 12);
            spl_book_close(people[i].book);
        }
        for (int i = 0; i < PEOPLE; i++)
            for (int k = i + 1; k < PEOPLE; k++) {
                guint n = expect_pair(shelf, &people[i], &people[k]);

                conflicts += n;
                pairs_without += n == 0;
                both_struck = both_struck || both_did(&people[i], &people[k], "strike ");
            }
        if (!both_struck)
            expect_any_order(shelf, people);
        end(people);
    }
    print_message("%u conflicts listed, %u pairs without\n", conflicts, pairs_without);
    assert_true(conflicts > 10 && pairs_without > 5);
}

/* One harvest drawn, one lot used and one weight corrected in both, by hand: all three are listed,
 * the later correction holds in both orders. */
static void what_both_did_is_listed_and_the_later_correction_holds(void **state)
{
    struct shelf *shelf = *state;
    struct person people[PEOPLE];
    gint64 added;

    begin(shelf, people, 77);
    for (int i = 0; i < 2; i++) {
        g_autoptr(GError) error = NULL;
        g_autofree char *uuid = NULL;

        open_book(&people[i], SPL_BOOK_WRITE);
        uuid = g_strdup("");
        spl_book_set_now(people[i].book, (gint64)(DAY0 + 100 + i) * 86400 * G_USEC_PER_SEC);
        must(spl_book_begin(people[i].book, &error), &error);
        must(spl_book_execute(people[i].book, &error,
                              "INSERT INTO amendment (uuid, subject, field, value, at, why) SELECT"
                              " ?, uuid, 'weight_g', ?, ?, 'scales' FROM thing WHERE kind = 'H' AND"
                              " mark = 'ANN' AND number = 1",
                              "trl", marks[i], 1000.0 + i,
                              spl_book_stamp(people[i].book, &error)) &&
                 spl_book_execute(people[i].book, &error,
                                  "INSERT INTO discard (uuid, thing_id, day, grams, why, at) SELECT"
                                  " ?, id, 20700, 1, 'mould', ? FROM thing WHERE kind = 'H' AND"
                                  " mark = 'ANN' AND number = 1",
                                  "tl", marks[i], spl_book_stamp(people[i].book, &error)) &&
                 spl_book_commit(people[i].book, &error),
             &error);
        spl_book_close(people[i].book);
    }
    for (int i = 0; i < 2; i++) {
        g_autoptr(GPtrArray) notes = NULL;
        g_autofree char *path = copy_of(shelf, people[i].path, "two.db");
        g_autoptr(spl_book) book = NULL;
        g_autofree char *all = NULL;

        notes = merge(path, people[1 - i].path, &added);
        assert_int_equal(notes->len, 2);
        assert_non_null(strstr(g_ptr_array_index(notes, 0), "was drawn on in both books"));
        assert_non_null(strstr(g_ptr_array_index(notes, 1), "to 1000.0 and 1001.0; the later, "
                                                            "1001.0, holds"));
        book = spl_book_open(path, SPL_BOOK_READ, NULL);
        assert_int_equal(spl_book_number(book, 0, NULL,
                                         "SELECT weight_g FROM harvest_now WHERE mark = 'ANN' AND"
                                         " number = 1",
                                         ""),
                         1001);
    }
    end(people);
}

/* A colleague's new name for a place we share: it answers to that, and to ours no more. */
static void a_renamed_place_answers_to_its_new_name_after_a_merge(void **state)
{
    struct shelf *shelf = *state;
    struct person people[PEOPLE];
    g_autoptr(GError) error = NULL;
    g_autoptr(GPtrArray) notes = NULL;
    g_autofree char *old = NULL;
    struct spl_site site;
    gint64 added;

    begin(shelf, people, 78);
    open_book(&people[1], SPL_BOOK_WRITE);
    must(spl_site_load(people[1].book, 2, &site, &error), &error);
    must(spl_book_begin(people[1].book, &error) &&
             spl_site_rename(people[1].book, &site, "Long Moss", "Bob", "on the map", &error) &&
             spl_book_commit(people[1].book, &error),
         &error);
    old = g_strdup(site.name);
    spl_record_clear(&spl_site_shape, &site);
    spl_book_close(people[1].book);
    notes = merge(people[0].path, people[1].path, &added);
    assert_int_equal(notes->len, 0);
    expect_sound(people[0].path);
    open_book(&people[0], SPL_BOOK_WRITE);
    assert_true(spl_site_known(people[0].book, "long moss", &error) > 0);
    assert_int_equal(spl_site_known(people[0].book, old, &error), 0);
    spl_book_close(people[0].book);
    end(people);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, shelf_set_up, shelf_tear_down)

static const struct CMUnitTest tests[] = {
    TEST(books_merge_alike_in_any_order_and_again),
    TEST(what_both_did_is_listed_and_the_later_correction_holds),
    TEST(a_renamed_place_answers_to_its_new_name_after_a_merge),
};
expect_main(tests)

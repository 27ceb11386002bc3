/* SPDX-License-Identifier: MIT
 *
 * Two and three people, one season: books that began as one go their own ways at random and are
 * merged in every order. The result is the union of their rows, the same in any order and again;
 * what two did with one thing is listed, exactly that.
 */
#include "people.h"

#include <sqlite3.h>

#include "book/check.h"
#include "book/derive.h"
#include "book/revision.h"
#include "book/trust.h"

#ifdef __SANITIZE_ADDRESS__
#define SEEDS 3 /* the build that counts what is covered has all */
#else
#define SEEDS 8
#endif

static int compare_texts(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* The columns of a table with every id in the words of what it points to: the same in two books
 * whatever their row ids. NULL: it belongs to one person's desk. */
static char *select_of(sqlite3 *db, const char *table)
{
    static const char *const of_things[] = {"batch",    "drying", "harvest", "lot",
                                            "purchase", "use",    NULL};
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
                                        " AND name NOT LIKE 'judged_%'"
                                        " AND name NOT IN ('setting', 'site_key', 'baseline',"
                                        "   'live', 'amended')",
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
    for (char **line = in_b; *line != NULL; line++)
        if (!g_strv_contains((const char *const *)in_both, *line))
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
        book, NULL, "SELECT kind, mark, year, number FROM thing WHERE uuid = ?", SPL_WITH(uuid));
    g_autofree char *code = NULL, *start = NULL;
    struct spl_coded coded;
    guint n = 0;

    assert_true(spl_statement_next(row, NULL, SPL_INTO(&coded)));
    code = spl_coded_format(book, &coded);
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
    for (guint i = 0; i < notes->len; i++) /* what went over comes with what both took */
        expected += strstr(g_ptr_array_index(notes, i), "more went out of it") != NULL;
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

static guint waited; /* corrections by others, in all books */

/* What is kept of whose corrections count is what the rows make of it, in either book. */
static guint waiting(const char *path)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_READ, &error);
    GArray *faults;
    guint wrong = 1;

    expect_ok(error);
    must(spl_revision_faults(book, &wrong, &error), &error);
    assert_int_equal(wrong, 0);
    faults = spl_derived_faults(book, &error);
    expect_ok(error);
    if (faults->len > 0)
        fail_msg("%s: %s", g_array_index(faults, struct spl_mending, 0).thing,
                 g_array_index(faults, struct spl_mending, 0).was);
    spl_list_free(&spl_mending_shape, faults);
    return (guint)spl_book_number(book, 0, NULL, "SELECT count(*) FROM judged_revision WHERE off",
                                  SPL_NONE);
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
    waited += waiting(ab) + waiting(ba);
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
    assert_true(conflicts >= SEEDS && pairs_without >= SEEDS / 2);
    assert_true(waited >= SEEDS);
}

static void say_trust(struct spl_book *book, const char *whom, gboolean trusted)
{
    g_autoptr(GError) error = NULL;

    must(spl_book_begin(book, &error) &&
             spl_trust_add(book, whom, trusted, (struct spl_day){DAY0 + 200}, "Edda", &error) &&
             spl_book_commit(book, &error),
         &error);
}

static gint64 first_weight(struct spl_book *book)
{
    return spl_book_number(book, 0, NULL,
                           "SELECT weight_g FROM harvest_now WHERE mark = 'ANN' AND number = 1",
                           SPL_NONE);
}

/* One harvest drawn and one weight corrected in both, by hand: both are listed. The harvest is
 * Ann's: her correction holds in her book and his, later one in his own, where he settled it; once
 * either trusts the other the later one holds in both. */
static void what_both_did_is_listed_and_whose_correction_counts_holds(void **state)
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
        must(spl_book_execute(
                 people[i].book, &error,
                 "INSERT INTO amendment (uuid, subject, field, value, at, why) SELECT"
                 " ?, uuid, 'weight_g', ?, ?, 'scales' FROM thing WHERE kind = 'H' AND"
                 " mark = 'ANN' AND number = 1",
                 SPL_WITH(marks[i], 1000.0 + i, spl_book_stamp(people[i].book, &error))) &&
                 spl_book_execute(people[i].book, &error,
                                  "INSERT INTO discard (uuid, thing_id, day, grams, why, at) SELECT"
                                  " ?, id, 20700, 1, 'mould', ? FROM thing WHERE kind = 'H' AND"
                                  " mark = 'ANN' AND number = 1",
                                  SPL_WITH(marks[i], spl_book_stamp(people[i].book, &error))) &&
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
        assert_non_null(strstr(g_ptr_array_index(notes, 1), "to 1000.0 and 1001.0; look which"));
        book = spl_book_open(path, SPL_BOOK_READ, NULL);
        assert_int_equal(first_weight(book), i == 0 ? 1000 : 1001);
        g_clear_pointer(&book, spl_book_close);
        book = spl_book_open(path, SPL_BOOK_WRITE, NULL);
        say_trust(book, marks[1 - i], TRUE);
        assert_int_equal(first_weight(book), 1001);
        say_trust(book, marks[1 - i], FALSE);
        assert_int_equal(first_weight(book), i == 0 ? 1000 : 1001);
    }
    end(people);
}

/* A colleague's new name for a place we share: once it counts, the place answers to that, and to
 * ours no more. */
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
    /* The place is Ann's: his name waits, till she trusts him. */
    assert_true(spl_site_known(people[0].book, old, &error) > 0);
    assert_int_equal(spl_site_known(people[0].book, "long moss", &error), 0);
    say_trust(people[0].book, "BOB", TRUE);
    assert_true(spl_site_known(people[0].book, "long moss", &error) > 0);
    assert_int_equal(spl_site_known(people[0].book, old, &error), 0);
    spl_book_close(people[0].book);
    end(people);
}

/* A stranger may keep what he likes of which rows hold: what is said of his book, and what comes of
 * it, is by its rows. */
static void what_another_book_keeps_of_its_rows_is_not_believed(void **state)
{
    static const char *const forged[] = {
        "DELETE FROM live; DELETE FROM amended",
        "INSERT INTO live SELECT uuid, 1, 'forged ' || uuid, 'BOB', NULL, 'so I say' FROM thing"
        " UNION ALL SELECT uuid, 1, 'forged ' || uuid, 'BOB', NULL, 'so I say' FROM draw",
        "INSERT OR REPLACE INTO amended SELECT uuid, 'weight_g', 9.0 FROM thing",
    };
    struct shelf *shelf = *state;
    struct person people[PEOPLE];
    g_autofree char *honest = NULL, *by_rows = NULL;

    begin(shelf, people, 81);
    for (int i = 0; i < 2; i++) {
        open_book(&people[i], SPL_BOOK_WRITE);
        work(&people[i], 40);
        spl_book_close(people[i].book);
    }
    for (guint i = 0; i <= G_N_ELEMENTS(forged); i++) {
        g_autofree char *here = copy_of(shelf, people[0].path, "here.db");
        g_autofree char *theirs = copy_of(shelf, people[1].path, "theirs.db");
        g_autofree char *content = NULL, *words = NULL;
        g_autoptr(GPtrArray) notes = NULL;
        gint64 added;

        if (i > 0) {
            g_autoptr(GError) error = NULL;
            g_autoptr(spl_book) book = spl_book_open(theirs, SPL_BOOK_WRITE, &error);

            must(spl_book_script(book, forged[i - 1], &error), &error);
        }
        notes = merge(here, theirs, &added);
        assert_true(notes->len > 0);
        g_ptr_array_add(notes, NULL);
        words = g_strjoinv("\n", (char **)notes->pdata);
        content = content_of(here);
        (void)waiting(here);
        if (i == 0) {
            honest = g_steal_pointer(&words);
            by_rows = g_steal_pointer(&content);
            continue;
        }
        assert_string_equal(words, honest);
        assert_string_equal(content, by_rows);
    }
    end(people);
}

static gint64 first_harvest(struct spl_book *book)
{
    return spl_book_number(book, 0, NULL,
                           "SELECT id FROM thing WHERE kind = 'H' AND mark = 'ANN' AND number = 1",
                           SPL_NONE);
}

/* One weighs again, less; the other draws most of it: only together is it too much. */
static void what_is_too_much_only_together_is_listed(void **state)
{
    static const char weigh[] =
        "INSERT INTO amendment (uuid, subject, field, value, at, why) SELECT 'less', uuid,"
        " 'weight_g', 200.0, ?, 'scales' FROM thing WHERE id = ?";
    struct shelf *shelf = *state;
    g_autofree char *ann = g_build_filename(shelf->folder, "ann.db", NULL);
    g_autofree char *bob = NULL;
    g_autoptr(GPtrArray) notes = NULL, again = NULL;
    g_autoptr(GError) error = NULL;
    struct person person = {.path = ann};
    gint64 added;

    open_book(&person, SPL_BOOK_MAKE);
    must(spl_book_begin(person.book, &error) &&
             spl_setting_set(person.book, "mark", "ANN", &error) &&
             spl_book_commit(person.book, &error),
         &error);
    g_free(shelf_harvest(person.book, shelf_site(person.book, "Withy Gill"), (struct spl_day){DAY0},
                         300));
    spl_book_close(person.book);
    bob = copy_of(shelf, ann, "bob.db");
    for (int i = 0; i < 2; i++) {
        person.path = i == 0 ? ann : bob;
        open_book(&person, SPL_BOOK_WRITE);
        must(spl_book_begin(person.book, &error), &error);
        must((i == 0 ? spl_book_execute(person.book, &error, weigh,
                                        SPL_WITH(spl_book_stamp(person.book, &error),
                                                 first_harvest(person.book)))
                     : spl_discard_add(person.book, first_harvest(person.book),
                                       (struct spl_day){DAY0}, 250, NAN, "mould", NULL, &error)) &&
                 spl_book_commit(person.book, &error),
             &error);
        spl_book_close(person.book);
        expect_sound(person.path);
    }
    notes = merge(ann, bob, &added);
    assert_int_equal(notes->len, 1);
    assert_non_null(strstr(g_ptr_array_index(notes, 0), "H26-001 50.0 g more went out of it"));
    again = merge(ann, bob, &added);
    assert_int_equal(again->len, 0);
}

/* Ann's clock ran years ahead when she held a harvest; Bob's book comes in with earlier rows, and
 * her clock is put right. The release that she writes then still comes after the hold. */
static void what_is_written_after_a_merge_comes_last(void **state)
{
    struct shelf *shelf = *state;
    struct person people[PEOPLE];
    g_autoptr(GError) error = NULL;
    gint64 added, harvest;

    begin(shelf, people, 79);
    for (int i = 0; i < 2; i++) {
        open_book(&people[i], SPL_BOOK_WRITE);
        spl_book_set_now(people[i].book,
                         (gint64)(DAY0 + (i == 0 ? 2000 : 10)) * 86400 * G_USEC_PER_SEC);
        harvest = first_harvest(people[i].book);
        must(spl_book_begin(people[i].book, &error) &&
                 spl_hold_add(people[i].book, i == 0 ? harvest : harvest + 1,
                              (struct spl_day){DAY0}, "sprayed?", NULL, &error) &&
                 spl_book_commit(people[i].book, &error),
             &error);
        if (i == 1) /* every table ends in a row of Bob's */
            work(&people[1], 40);
        spl_book_close(people[i].book);
    }
    g_ptr_array_unref(merge(people[0].path, people[1].path, &added));
    open_book(&people[0], SPL_BOOK_WRITE);
    spl_book_set_now(people[0].book, (gint64)(DAY0 + 100) * 86400 * G_USEC_PER_SEC);
    harvest = first_harvest(people[0].book);
    must(spl_book_begin(people[0].book, &error) &&
             spl_release_add(people[0].book, harvest, (struct spl_day){DAY0 + 100}, NULL,
                             "it was another verge", NULL, &error) &&
             spl_book_commit(people[0].book, &error),
         &error);
    assert_int_equal(spl_book_number(people[0].book, 0, &error,
                                     "SELECT held IS NULL FROM harvest_now WHERE id = ?",
                                     SPL_WITH(harvest)),
                     1);
    spl_book_close(people[0].book);
    end(people);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, shelf_set_up, shelf_tear_down)

static const struct CMUnitTest tests[] = {
    TEST(books_merge_alike_in_any_order_and_again),
    TEST(what_both_did_is_listed_and_whose_correction_counts_holds),
    TEST(a_renamed_place_answers_to_its_new_name_after_a_merge),
    TEST(what_another_book_keeps_of_its_rows_is_not_believed),
    TEST(what_is_too_much_only_together_is_listed),
    TEST(what_is_written_after_a_merge_comes_last),
};
expect_main(tests)

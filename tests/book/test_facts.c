/* SPDX-License-Identifier: MIT
 *
 * Rows of fact: whose each is, strikes of any row and of strikes, uses with their codes, what a
 * release names, answers, trust, reactions, a weight that is missing; and what an upgrade makes of
 * an earlier book, and the way back.
 */
#include "shelf.h"

#include <math.h>

#include "book/amendment.h"
#include "book/answer.h"
#include "book/draw.h"
#include "book/hold.h"
#include "book/lot.h"
#include "book/migrations.h"
#include "book/noun.h"
#include "book/reaction.h"
#include "book/restore.h"
#include "book/state.h"
#include "book/trust.h"

#define DAY ((struct spl_day){20990})

static char *text_of(struct spl_book *book, const char *sql, const struct spl_value *values)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_statement) row = spl_statement_open(book, &error, sql, values);
    char *text = NULL;

    if (row != NULL)
        (void)spl_statement_next(row, &error, SPL_INTO(&text));
    expect_ok(error);
    return text;
}

static double left_of(struct spl_book *book, gint64 id)
{
    g_autoptr(spl_statement) row =
        spl_statement_open(book, NULL, "SELECT left FROM balance WHERE id = ?", SPL_WITH(id));
    double left;

    return row != NULL && spl_statement_next(row, NULL, SPL_INTO(&left)) ? left : (double)NAN;
}

/* A lot of 280 mL, its site, harvest and batch left out: what is looked at here needs none. */
static gint64 put_lot(struct spl_book *book)
{
    struct spl_lot lot = {.preparation = g_strdup("tincture"),
                          .materials = g_strdup("nettle/leaf"),
                          .made = DAY,
                          .made_ml = 280,
                          .made_g = NAN,
                          .use_by = SPL_DAY_NONE,
                          .ratio = NAN,
                          .bottles = g_strdup("2x100 1x80"),
                          .place = g_strdup("shelf B3")};
    g_autoptr(GError) error = NULL;
    gint64 id;

    spl_lot_add(book, &lot, NULL, NULL, &error);
    expect_ok(error);
    id = lot.id;
    spl_record_clear(&spl_lot_shape, &lot);
    return id;
}

static void a_strike_of_any_row_counts_until_it_is_struck_itself(void **state)
{
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    g_autofree char *row = NULL;
    gint64 lot;

    assert_true(spl_book_begin(book, &error));
    lot = put_lot(book);
    assert_true(spl_discard_add(book, lot, DAY, NAN, 30, "a broken bottle", NULL, &error));
    assert_true(left_of(book, lot) == 250);
    row = text_of(book, "SELECT uuid FROM discard", SPL_NONE);
    /* Struck, taken back, and so on: each strike turns it over. */
    for (int n = 0; n < 5; n++) {
        char *strike;

        assert_true(spl_strike_row(book, row, "Ann", "again", &error));
        expect_ok(error);
        assert_true(left_of(book, lot) == (n % 2 == 0 ? 280 : 250));
        strike = text_of(book, "SELECT uuid FROM strike WHERE subject = ?", SPL_WITH(row));
        g_free(row);
        row = strike;
    }
    /* What the views do not follow is not written. */
    assert_false(spl_strike_row(book, row, "Ann", "again", &error));
    expect_error(error, SPL_ERROR_LIMIT, "too often");
    g_clear_error(&error);
    assert_true(spl_book_commit(book, &error));
    expect_ok(error);
}

/* One book strikes what the other struck: of two strikes one must be left to count. */
static void a_row_stands_again_only_when_no_strike_of_it_is_left(void **state)
{
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    g_autofree char *row = NULL, *first = NULL, *second = NULL;
    const char *mark = "BEN", *why = "typo too", *uuid = "5e0a0000-0000-4000-8000-000000000001";
    gint64 lot, at = 5;

    assert_true(spl_book_begin(book, &error));
    lot = put_lot(book);
    assert_true(spl_discard_add(book, lot, DAY, NAN, 30, "a broken bottle", NULL, &error));
    row = text_of(book, "SELECT uuid FROM discard", SPL_NONE);
    assert_true(spl_strike_row(book, row, NULL, "typo", &error));
    first = text_of(book, "SELECT uuid FROM strike WHERE subject = ?", SPL_WITH(row));
    assert_false(spl_strike_row(book, row, NULL, "typo", &error));
    expect_error(error, SPL_ERROR_EXISTS, "struck already");
    g_clear_error(&error);
    /* As a merge brings it. */
    assert_true(spl_book_execute(book, &error,
                                 "INSERT INTO strike (uuid, mark, subject, at, why) VALUES"
                                 " (?, ?, ?, ?, ?)",
                                 SPL_WITH(uuid, mark, row, at, why)));
    assert_true(spl_strike_row(book, first, NULL, "it was no typo", &error));
    assert_true(left_of(book, lot) == 280); /* BEN's counts still */
    assert_true(spl_strike_row(book, uuid, NULL, "nor was that", &error));
    assert_true(left_of(book, lot) == 250);
    second = text_of(book, "SELECT count(*) FROM live", SPL_NONE);
    assert_string_equal(second, "2");
    assert_true(spl_book_commit(book, &error));
}

static void a_struck_correction_gives_the_value_before_it(void **state)
{
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    g_autofree char *uuid = NULL, *amendment = NULL, *now = NULL, *then = NULL;
    gint64 lot;

    assert_true(spl_book_begin(book, &error));
    lot = put_lot(book);
    uuid = text_of(book, "SELECT uuid FROM thing WHERE id = ?", SPL_WITH(lot));
    assert_true(spl_amendment_add_text(book, uuid, "place", "cellar", NULL, "moved", &error));
    now = text_of(book, "SELECT place FROM lot_now", SPL_NONE);
    assert_string_equal(now, "cellar");
    amendment = text_of(book, "SELECT uuid FROM amendment", SPL_NONE);
    assert_true(spl_strike_row(book, amendment, NULL, "it was not", &error));
    then = text_of(book, "SELECT place FROM lot_now", SPL_NONE);
    assert_string_equal(then, "shelf B3");
    assert_true(spl_book_commit(book, &error));
}

static void every_row_of_fact_bears_the_mark_of_its_book(void **state)
{
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    struct spl_use use = {.day = DAY, .ref = g_strdup("1042")};
    gint64 lot;
    int tables = 0;

    assert_true(spl_book_begin(book, &error));
    lot = put_lot(book);
    assert_true(spl_use_add(book, &use, &error) && spl_lot_use_add(book, lot, &use, 7, &error));
    assert_true(
        spl_lot_event_add(book, lot, SPL_LOT_WAS_HELD, DAY, "mould", NAN, NAN, NULL, &error));
    assert_true(spl_hold_add(book, lot, DAY, "mould", NULL, &error));
    assert_true(spl_release_add(book, lot, DAY, "Ann", "looked at", NULL, &error));
    assert_true(spl_discard_add(book, lot, DAY, NAN, 3, "spilt", NULL, &error));
    assert_true(spl_trust_add(book, "BEN", TRUE, DAY, NULL, &error));
    assert_true(spl_book_commit(book, &error));
    expect_ok(error);
    for (gsize i = 0; spl_nouns[i] != NULL; i++) {
        g_autofree char *sql = NULL, *other = NULL;

        if (spl_nouns[i]->table == NULL || !spl_nouns[i]->fact)
            continue;
        sql =
            g_strdup_printf("SELECT count(*) FROM \"%s\" WHERE mark <> 'ANN'", spl_nouns[i]->table);
        other = text_of(book, sql, SPL_NONE);
        assert_string_equal(other, "0");
        tables++;
    }
    assert_true(tables > 10);
    spl_use_clear(&use);
}

static void what_goes_out_has_one_code_for_all_its_lots(void **state)
{
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    struct spl_use use = {.day = DAY,
                          .ref = g_strdup("1042"),
                          .directions = g_strdup("20 drops at night")},
                   found;
    struct spl_thing thing;
    const struct spl_lot_use *line;
    GArray *lines;
    gint64 one, other;

    assert_true(spl_book_begin(book, &error));
    one = put_lot(book);
    other = put_lot(book);
    assert_true(spl_use_add(book, &use, &error) && spl_lot_use_add(book, one, &use, 40, &error) &&
                spl_lot_use_add(book, other, &use, 20, &error));
    assert_true(spl_book_commit(book, &error));
    expect_ok(error);
    assert_string_equal(use.code, "U27-001");
    lines = spl_lot_uses(book, other, &error);
    assert_int_equal(lines->len, 1);
    line = &g_array_index(lines, struct spl_lot_use, 0);
    assert_string_equal(line->use, "U27-001");
    assert_string_equal(line->directions, "20 drops at night");
    assert_true(line->ml == 20);
    spl_list_free(&spl_lot_use_shape, lines);
    assert_true(left_of(book, one) == 240);

    /* Taken back, none of its lots lost anything. */
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_code_find(book, "u27-1", "U", "a use", &thing, &error));
    assert_true(spl_strike_add(book, &thing, NULL, "never fetched", &error));
    assert_true(spl_book_commit(book, &error));
    assert_true(left_of(book, one) == 280);
    assert_true(left_of(book, other) == 280);
    assert_true(spl_use_find(book, "U27-001", &found, &error));
    assert_string_equal(found.struck, "never fetched");
    spl_use_clear(&found);
    spl_thing_clear(&thing);
    spl_use_clear(&use);
}

static void a_harvest_may_wait_for_its_weight(void **state)
{
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    struct spl_site site = {.name = (char *)"Scarth Wood",
                            .lat = 54.6,
                            .lon = -2.6,
                            .elevation_m = NAN,
                            .accuracy_m = NAN,
                            .contaminated_on = SPL_DAY_NONE};
    struct spl_harvest harvest = {.material = (char *)"nettle/leaf",
                                  .date = DAY,
                                  .bags = 2,
                                  .weight_g = NAN,
                                  .garbled_g = NAN,
                                  .verdict = SPL_VERDICT_CLEAR,
                                  .reasons_json = (char *)"[]"};
    struct spl_harvest found;

    assert_true(spl_book_begin(book, &error));
    assert_true(spl_site_add(book, &site, &error));
    harvest.site_id = site.id;
    assert_true(spl_harvest_add(book, &harvest, &error));
    expect_ok(error);
    assert_true(spl_book_commit(book, &error));
    assert_true(spl_harvest_find(book, harvest.code, &found, &error));
    assert_int_equal(found.bags, 2);
    assert_true(isnan(found.weight_g) && isnan(found.left_g));
    spl_record_clear(&spl_harvest_shape, &found);

    assert_true(spl_book_begin(book, &error));
    assert_true(
        spl_amendment_add_real(book, harvest.uuid, "weight_g", 640, NULL, "weighed", &error));
    assert_true(spl_book_commit(book, &error));
    assert_true(spl_harvest_find(book, harvest.code, &found, &error));
    assert_true(found.weight_g == 640 && found.left_g == 640);
    spl_record_clear(&spl_harvest_shape, &found);

    /* Neither weighed nor counted is nothing. */
    harvest.bags = 0;
    assert_true(spl_book_begin(book, &error));
    assert_false(spl_harvest_add(book, &harvest, &error));
    spl_book_rollback(book);
    g_free(harvest.uuid);
    g_free(harvest.code);
    g_free(site.uuid);
}

static void answers_trust_and_reactions_are_read_as_they_were_said(void **state)
{
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    struct spl_answer later = {.question = (char *)"q1",
                               .kind = (char *)"word_old",
                               .fact = (char *)"5e0a0000-0000-4000-8000-000000000002",
                               .version = 77,
                               .grade = SPL_STATE_DOUBT,
                               .how = SPL_ANSWER_LATER,
                               .until = {20995},
                               .by = (char *)"Ann",
                               .day = DAY};
    struct spl_answer mine = later;
    struct spl_reaction rash = {.ref = (char *)"1042",
                                .kind = SPL_REACTION_REACTION,
                                .day = DAY,
                                .words = (char *)"a rash on the arms"};
    const struct spl_answer *said;
    GArray *list;

    assert_true(spl_book_begin(book, &error));
    assert_true(spl_answer_add(book, &later, &error));
    /* A stop is taken on by nobody. */
    mine.id = 0;
    mine.uuid = NULL;
    mine.until = SPL_DAY_NONE;
    mine.how = SPL_ANSWER_MINE;
    mine.words = (char *)"known ground";
    assert_true(spl_answer_add(book, &mine, &error));
    assert_true(spl_trust_add(book, "BEN", TRUE, DAY, "Ann", &error));
    assert_true(spl_trust_add(book, "BEN", FALSE, DAY, "Ann", &error));
    assert_true(spl_trust_add(book, "CAT", TRUE, DAY, "Ann", &error));
    rash.lot_id = put_lot(book);
    assert_true(spl_reaction_add(book, &rash, &error));
    assert_true(spl_book_commit(book, &error));
    expect_ok(error);

    list = spl_answer_list(book, "q1", &error);
    assert_int_equal(list->len, 2);
    said = &g_array_index(list, struct spl_answer, 0);
    assert_int_equal(said->how, SPL_ANSWER_LATER);
    assert_int_equal(said->until.n, 20995);
    assert_int_equal(said->version, 77);
    assert_int_equal(said->grade, SPL_STATE_DOUBT);
    assert_string_equal(said->mark, "ANN");
    spl_list_free(&spl_answer_shape, list);

    list = spl_trust_list(book, &error);
    assert_int_equal(list->len, 2);
    assert_string_equal(g_array_index(list, struct spl_trust, 0).whom, "BEN");
    assert_false(g_array_index(list, struct spl_trust, 0).trusted);
    assert_true(g_array_index(list, struct spl_trust, 1).trusted);
    spl_list_free(&spl_trust_shape, list);

    list = spl_reaction_list(book, 0, "1042", &error);
    assert_int_equal(list->len, 1);
    assert_string_equal(g_array_index(list, struct spl_reaction, 0).code, "L27-001");
    spl_list_free(&spl_reaction_shape, list);
    list = spl_reaction_list(book, 0, "1043", &error);
    assert_int_equal(list->len, 0);
    spl_list_free(&spl_reaction_shape, list);

    assert_true(spl_book_begin(book, &error));
    mine.grade = SPL_STATE_STOP;
    assert_false(spl_answer_add(book, &mine, &error));
    spl_book_rollback(book);
    g_free(later.uuid);
    g_free(mine.uuid);
    g_free(rash.uuid);
}

static void a_release_names_what_it_answers(void **state)
{
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    const struct spl_release_of of = {"held", "5e0a0000-0000-4000-8000-000000000003", 12, "doubt"};
    g_autofree char *row = NULL;
    gint64 lot;

    assert_true(spl_book_begin(book, &error));
    lot = put_lot(book);
    assert_true(spl_release_add(book, lot, DAY, "Ann", "seen the field", &of, &error));
    assert_true(spl_book_commit(book, &error));
    row = text_of(book,
                  "SELECT kind || ' ' || fact || ' ' || version || ' ' || grade FROM release_now",
                  SPL_NONE);
    assert_string_equal(row, "held 5e0a0000-0000-4000-8000-000000000003 12 doubt");
}

/* ---- from an earlier book, and back ---- */

static void put_dump(const char *path, const char *name)
{
    g_autofree char *dump =
        g_build_filename(SPL_SOURCE_DIR, "tests", "book", "schemas", name, NULL);
    g_autofree char *sql = NULL;
    sqlite3 *db = NULL;

    g_remove(path);
    assert_true(g_file_get_contents(dump, &sql, NULL, NULL));
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
}

static char *octets_of(const char *path)
{
    g_autofree char *bytes = NULL;
    gsize size;

    assert_true(g_file_get_contents(path, &bytes, &size, NULL));
    return g_compute_checksum_for_data(G_CHECKSUM_SHA256, (const guchar *)bytes, size);
}

static void an_upgrade_gives_codes_and_a_dated_baseline(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = NULL;
    g_autofree char *calls = NULL, *codes = NULL, *baseline = NULL, *marks = NULL;

    put_dump(shelf->path, "0007.sql");
    book = spl_book_open(shelf->path, SPL_BOOK_WRITE, &error);
    expect_ok(error);
    calls = text_of(book, "SELECT count(DISTINCT call) FROM lot_use", SPL_NONE);
    codes = text_of(book,
                    "SELECT count(*) FROM use_now u WHERE EXISTS (SELECT 1 FROM lot_use_now l"
                    " WHERE l.use_id = u.id AND l.call = u.uuid AND l.ref IS u.ref)",
                    SPL_NONE);
    assert_string_equal(codes, calls);
    assert_string_not_equal(calls, "0");
    baseline = text_of(book,
                       "SELECT count(*) FROM baseline WHERE schema = 9 AND at > (SELECT max(at)"
                       " FROM thing)",
                       SPL_NONE);
    assert_string_equal(baseline, "1");
    marks = text_of(book, "SELECT count(*) FROM draw WHERE mark <> ''", SPL_NONE);
    assert_string_equal(marks, "0");
}

/* Rows that lost their place before are no reason not to open the book; they stay and are named. */
static void an_upgrade_takes_a_book_with_rows_astray(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = NULL;
    g_autofree char *before = NULL, *after = NULL, *pointing = NULL;
    sqlite3 *db = NULL;

    put_dump(shelf->path, "0007.sql");
    book = spl_book_open(shelf->path, SPL_BOOK_READ, &error);
    expect_ok(error);
    before = text_of(book, "SELECT count(*) FROM harvest", SPL_NONE);
    assert_string_not_equal(before, "0");
    g_clear_pointer(&book, spl_book_close);
    assert_int_equal(sqlite3_open(shelf->path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db,
                                  "PRAGMA foreign_keys = OFF; DELETE FROM site WHERE id ="
                                  " (SELECT site_id FROM harvest LIMIT 1)",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
    sqlite3_close(db);
    book = spl_book_open(shelf->path, SPL_BOOK_WRITE, &error);
    expect_ok(error);
    after = text_of(book, "SELECT count(*) FROM harvest", SPL_NONE);
    assert_string_equal(after, before);
    pointing = text_of(book, "SELECT count(*) FROM pragma_foreign_key_check", SPL_NONE);
    assert_string_not_equal(pointing, "0");
}

static void the_way_back_leads_to_the_book_before_the_upgrade(void **state)
{
    struct shelf *shelf = *state;
    g_autofree char *copy = g_strdup_printf("%s.before-schema-%d", shelf->path, spl_n_migrations);
    g_autofree char *from = NULL, *aside = NULL, *kept = NULL, *now = NULL, *upgraded = NULL;
    g_autofree char *set_aside = NULL, *none_from = NULL, *none_aside = NULL;
    g_autoptr(GError) error = NULL;
    struct spl_book *book;

    put_dump(shelf->path, "0007.sql");
    book = spl_book_open(shelf->path, SPL_BOOK_WRITE, &error);
    expect_ok(error);
    assert_string_equal(spl_book_kept_copy(book), copy);
    spl_book_close(book);
    kept = octets_of(copy);
    upgraded = octets_of(shelf->path);

    /* Not while somebody writes. */
    book = shelf_open(shelf, SPL_BOOK_READ);
    spl_book_close(book);
    assert_true(spl_book_restore(shelf->path, &from, &aside, &error));
    expect_ok(error);
    assert_string_equal(from, copy);
    now = octets_of(shelf->path);
    assert_string_equal(now, kept);
    set_aside = octets_of(aside);
    assert_string_equal(set_aside, upgraded);
    assert_false(g_file_test(copy, G_FILE_TEST_EXISTS));

    /* Nothing is left to go back to, and the book stays. */
    assert_false(spl_book_restore(shelf->path, &none_from, &none_aside, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "no copy from before an upgrade");
    g_clear_error(&error);
    assert_null(none_from);
    assert_null(none_aside);
    book = spl_book_open(shelf->path, SPL_BOOK_READ, &error);
    expect_ok(error);
    assert_int_equal(spl_book_schema_found(book), 7);
    spl_book_close(book);
}

static void no_way_back_while_somebody_writes_or_to_a_damaged_copy(void **state)
{
    struct shelf *shelf = *state;
    g_autofree char *copy = g_strdup_printf("%s.before-schema-%d", shelf->path, spl_n_migrations);
    g_autofree char *from = NULL, *aside = NULL, *before = NULL, *after = NULL;
    g_autoptr(GError) error = NULL;
    struct spl_book *book;

    book = shelf_open(shelf, SPL_BOOK_WRITE);
    assert_true(spl_book_backup(book, copy, &error));
    spl_book_close(book);
    before = octets_of(shelf->path);
    assert_true(
        g_file_set_contents(copy, "no book at all, but long enough to be looked at", -1, NULL));
    assert_false(spl_book_restore(shelf->path, &from, &aside, &error));
    assert_non_null(error);
    g_clear_error(&error);
    after = octets_of(shelf->path);
    assert_string_equal(after, before);
}

static gint64 said_of(struct spl_book *book, gint64 site_id)
{
    g_autoptr(GError) error = NULL;
    gint64 stamp = -1;

    assert_true(spl_state_said(book, site_id, &stamp, &error));
    expect_ok(error);
    return stamp;
}

/* Stamps by hand; what another place is told, and what else is corrected, plays no part. */
static void the_last_that_was_said_of_a_place_is_found_whatever_became_of_it(void **state)
{
    struct spl_book *book = shelf_open(*state, SPL_BOOK_WRITE);
    static const struct {
        const char *sql;
        gint64 said; /* of the first place from then on */
    } steps[] = {
        {"INSERT INTO site (id, uuid, name, lat, lon, at) VALUES (1, 's1', 'Gill', 54, -2, 5),"
         " (2, 's2', 'Holme', 54, -2, 5)",
         0},
        {"INSERT INTO permission (uuid, site_id, given, by, day, written, at)"
         " VALUES ('p1', 1, 1, 'x', 20990, 0, 10)",
         10},
        {"INSERT INTO thing (id, uuid, kind, mark, year, number, at) VALUES"
         " (11, 'n1', 'N', 'ANN', 2027, 1, 20), (12, 'n2', 'N', 'ANN', 2027, 2, 90);"
         "INSERT INTO spray_note (id, site_id, kind, day, source) VALUES"
         " (11, 1, 'sprayed', 20990, 'x'), (12, 2, 'sprayed', 20990, 'x')",
         20},
        {"INSERT INTO amendment (uuid, subject, field, value, at, why)"
         " VALUES ('a1', 'n1', 'day', 20991, 30, 'y'), ('a2', 's1', 'name', 'Gyll', 95, 'y')",
         30},
        {"INSERT INTO strike (uuid, subject, at, why) VALUES ('k1', 'n1', 40, 'y'),"
         " ('k2', 'n2', 96, 'y')",
         40},
        {"INSERT INTO strike (uuid, subject, at, why) VALUES ('k3', 'k1', 50, 'y')", 50},
        {"INSERT INTO strike (uuid, subject, at, why) VALUES ('k4', 'p1', 45, 'y')", 50},
        {"INSERT INTO strike (uuid, subject, at, why) VALUES ('k5', 'p1', 60, 'y')", 60},
    };
    g_autoptr(GError) error = NULL;

    assert_true(spl_book_begin(book, &error));
    for (gsize i = 0; i < G_N_ELEMENTS(steps); i++) {
        assert_true(spl_book_script(book, steps[i].sql, &error));
        assert_int_equal(said_of(book, 1), steps[i].said);
    }
    assert_int_equal(said_of(book, 2), 96);
    assert_int_equal(said_of(book, 3), 0);
    assert_true(spl_book_commit(book, &error));
    spl_book_close(book);
}

int main(void)
{
#define T(name) cmocka_unit_test_setup_teardown(name, shelf_set_up, shelf_tear_down)
    const struct CMUnitTest tests[] = {
        T(a_strike_of_any_row_counts_until_it_is_struck_itself),
        T(a_row_stands_again_only_when_no_strike_of_it_is_left),
        T(a_struck_correction_gives_the_value_before_it),
        T(every_row_of_fact_bears_the_mark_of_its_book),
        T(what_goes_out_has_one_code_for_all_its_lots),
        T(a_harvest_may_wait_for_its_weight),
        T(answers_trust_and_reactions_are_read_as_they_were_said),
        T(a_release_names_what_it_answers),
        T(the_last_that_was_said_of_a_place_is_found_whatever_became_of_it),
        T(an_upgrade_gives_codes_and_a_dated_baseline),
        T(an_upgrade_takes_a_book_with_rows_astray),
        T(the_way_back_leads_to_the_book_before_the_upgrade),
        T(no_way_back_while_somebody_writes_or_to_a_damaged_copy),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* SPDX-License-Identifier: MIT
 *
 * Every rule of the book's check: each fault is planted by raw SQL in a book of a whole season (the
 * dump of an earlier program's demo) and must be named, with the thing's code or name. What can be
 * derived is mended; the rest is left as it was.
 */
#include "shelf.h"

#include <sqlite3.h>

#include "base/file.h"
#include "book/check.h"
#include "book/derive.h"
#include "book/hazard.h"
#include "book/statement.h"

/* What to plant, the finding's beginning and a part of it. Constraints are off, as for a fault. */
struct plant {
    const char *sql, *thing, *says;
};

#define SITE1 "(SELECT uuid FROM site WHERE id = 1)"
#define AMEND(subject, field, value)                                                               \
    "INSERT INTO amendment (uuid, subject, field, value, at, why) VALUES ('planted', " subject     \
    ", '" field "', " value ", 1900000000000000, 'planted')"
#define UUID(id) "(SELECT uuid FROM thing WHERE id = " #id ")"
#define STRIKE(id)                                                                                 \
    "INSERT INTO strike (subject, uuid, at, why) SELECT uuid, 'planted', 1, 'planted' FROM thing"  \
    " WHERE id = " #id
#define DRAW(taker, source, day, grams)                                                            \
    "INSERT INTO draw (uuid, taker_id, source_id, day, grams, at)"                                 \
    " VALUES ('planted', " #taker ", " #source ", " day ", " #grams ", 1900000000000000)"

/* Things of the dump: H25-001 is 3 (20259), B25-001 is 4, L25-001 is 5, D26-001 is 24, P27-001 is
 * 33, H27-005 is 51, B27-004 is 52, N25-001 is 1. */
static const struct plant left_to_the_person[] = {
    /* the file */
    {"UPDATE harvest SET stage = 150 WHERE id = 3", "file:", "CHECK constraint failed in harvest"},
    {"UPDATE hazard_box_node SET data = zeroblob(3)", "file:", "damaged"},
    /* references and identity */
    {"UPDATE harvest SET site_id = 999 WHERE id = 3", "harvest 3",
     "points to a row of site that is not here"},
    {"UPDATE thing SET kind = 'P', number = 99 WHERE id = 3", "P25-099", "is a harvest by its row"},
    {"UPDATE thing SET kind = 'H', number = 99 WHERE id = 33", "H27-099", "is a purchase"},
    {"UPDATE thing SET kind = 'H', number = 99 WHERE id = 24", "H26-099", "is a drying"},
    {"UPDATE thing SET kind = 'H', number = 99 WHERE id = 52", "H27-099", "is a batch"},
    {"UPDATE thing SET kind = 'H', number = 99 WHERE id = 41", "H27-099", "is a lot"},
    {"UPDATE thing SET kind = 'H', number = 99 WHERE id = 1", "H25-099", "is a spray_note"},
    {"INSERT INTO stage_note SELECT 3, 1, 'nettle/leaf', 35, 20259, NULL, NULL", "H25-001",
     "is a stage_note"},
    {"INSERT INTO thing (uuid, kind, mark, year, number, at) VALUES ('planted', 'H', 'TBD', 2027,"
     " 777, 1)",
     "H27-777", "has a code and nothing else"},
    {"UPDATE thing SET year = 2024 WHERE id = 3", "H24-001", "of another year"},
    /* corrections */
    {AMEND("'nobody'", "day", "20000"), "amendment planted", "corrects nothing"},
    {"INSERT INTO strike (subject, uuid, at, why) VALUES ('nobody', 'planted', 1, 'x')",
     "strike planted", "strikes nothing"},
    {"INSERT INTO answer (uuid, question, kind, fact, version, grade, how, words, day, at)"
     " VALUES ('planted', 'q', 'word_old', 'nobody', 1, 'doubt', 'evidence', 'x', 20990, 1)",
     "answer planted", "is about nothing that is here"},
    {"UPDATE lot_use SET use_id = NULL", "L", "went out of it without a code"},
    {"INSERT INTO thing (id, uuid, kind, mark, year, number, at) VALUES (9999, 'planted', 'U',"
     " 'TBD', 2027, 999, 1); INSERT INTO use (id, day) VALUES (9999, 20990)",
     "U27-999", "is a use of no lot"},
    {AMEND(UUID(3), "colour", "'green'"), "H25-001", "'colour'"},
    {AMEND(SITE1, "colour", "'green'"), "site Withy Gill", "'colour'"},
    {AMEND(UUID(3), "weight_g", "-5.0"), "H25-001", "weight_g was corrected to -5.0"},
    {AMEND(UUID(3), "day", "'May'"), "H25-001", "day was corrected to 'May'"},
    {AMEND(UUID(3), "stage", "100"), "H25-001", "stage was corrected to 100"},
    {AMEND(UUID(4), "due:strain", "'May'"), "B25-001", "due:strain was corrected"},
    {AMEND(SITE1, "lat", "91.0"), "site Withy Gill", "lat was corrected to 91.0"},
    {AMEND(SITE1, "lon", "181.0"), "site Withy Gill", "lon was corrected"},
    {AMEND(SITE1, "elevation_m", "90000.0"), "site Withy Gill", "elevation_m was corrected"},
    {AMEND(SITE1, "accuracy_m", "-1.0"), "site Withy Gill", "accuracy_m was corrected"},
    {AMEND(SITE1, "outline", "'round'"), "site Withy Gill", "outline was corrected"},
    {AMEND(SITE1, "own", "2"), "site Withy Gill", "own was corrected"},
    {AMEND(SITE1, "outline", "x'0102'"), "site Withy Gill", "outline is damaged"},
    {AMEND(UUID(3), "garbled_g", "900000.0"), "H25-001", "garbled"},
    {STRIKE(3), "H25-001", "is struck, and B25-001 draws on it"},
    /* what was taken from what */
    {DRAW(18, 3, "20600", 1), "H26-001", "cannot have been made of H25-001"},
    {DRAW(5, 3, "20600", 1), "L25-001", "cannot have been made of H25-001"},
    {DRAW(24, 4, "20622", 1), "D26-001", "cannot have been made of B25-001"},
    {DRAW(4, 5, "20300", 1), "B25-001", "went into itself"},
    {DRAW(52, 3, "20986", 5000), "H25-001", "went out of it"},
    {DRAW(52, 33, "20986", 5000), "P27-001", "went out of it"},
    {DRAW(52, 24, "20986", 5000), "D26-001", "went out of it"},
    {DRAW(52, 4, "20986", 5000), "B25-001", "went out of it"},
    {"INSERT INTO lot_use (uuid, lot_id, call, day, amount, at) VALUES ('planted', 41, 'x', 20990,"
     " 9000, 1)",
     "L27-001", "went out of it"},
    {"UPDATE lot SET amount = amount + 10 WHERE id = 41", "L27-001", "were bottled"},
    {"UPDATE draw SET ml = 5000 WHERE taker_id = 41", "B27-001", "were pressed out of it"},
    {"UPDATE charge SET grams = grams + 1 WHERE batch_id = 52 AND kind = 'herb'", "B27-004",
     "does not say what was drawn"},
    {"DELETE FROM charge WHERE batch_id = 52 AND kind = 'herb'", "B27-004",
     "took of H27-005 and no charge"},
    {"DELETE FROM draw WHERE taker_id = 24", "D26-001", "dries nothing"},
    /* dates */
    {AMEND(UUID(51), "day", "20995"), "B27-004", "H27-005 that went into it"},
    {AMEND(UUID(22), "day", "20630"), "D26-001", "H26-003 that went into it"},
    {AMEND(UUID(34), "day", "20954"), "L27-001", "B27-001 that went into it"},
    {AMEND(UUID(41), "day", "20900"), "L27-001", "B27-001 that went into it"},
    {"UPDATE batch_step SET day = 20000 WHERE id = (SELECT min(id) FROM batch_step)", "B",
     "was noted on 2024-10-04, before its own day"},
    {"UPDATE drying_event SET day = 20621 WHERE drying_id = 24", "D26-001",
     "was seen to on 2026-06-17, before its own day"},
    {"UPDATE lot_event SET day = 20000", "L", "before its own day"},
    {"UPDATE lot_use SET day = 20000", "L", "was used on 2024-10-04"},
    {"UPDATE discard SET day = 20000", "", "was thrown away on 2024-10-04"},
    {"INSERT INTO release (uuid, thing_id, day, evidence, at) VALUES ('planted', 3, 20258, 'x', 1)",
     "H25-001", "was released on 2025-06-19"},
    {"UPDATE drying_event SET kind = 'finish', weight_g = 50 WHERE drying_id = 24", "D26-001",
     "taken down twice"},
    {AMEND(UUID(1), "since", "25000"), "N25-001", "after the statement itself"},
    /* the plan */
    {"DELETE FROM planned_part WHERE planned_id = 1", "planned batch ", "of no material"},
    {"DELETE FROM outing_take; DELETE FROM outing_stop; DELETE FROM outing_version", "outing ",
     "on no day"},
    {"DELETE FROM outing_stop", "outing of ", "where it does not stop"},
    /* ground */
    {"DELETE FROM hazard WHERE layer_id = 3; DELETE FROM hazard_box WHERE id = 6",
     "layer the old tip", "1 records to show and 0 on the map"},
    {"UPDATE hazard SET shape = zeroblob(76) WHERE id = 1", "layer the valley road, record 1",
     "its shape is damaged"},
    {"INSERT INTO hazard_layer (id, uuid, name, name_key, source,"
     " checksum, crs, methods, records, unread, accuracy_m, min_lon, min_lat, max_lon, max_lat, "
     "day,"
     " at) SELECT 9, 'planted', 'The Old Tip', 'tip', source, checksum, crs,"
     " methods, 0, 0, accuracy_m, min_lon, min_lat, max_lon, max_lat, day, at FROM hazard_layer"
     " WHERE id = 3",
     "layer The Old Tip", "another one answers to its name"},
};

/* What a repair makes again from the facts. */
static const struct plant derived[] = {
    {"DELETE FROM site_key WHERE site_id = 3", "site Hag Bank", "does not lead to it"},
    {"UPDATE site_key SET name_key = 'elsewhere' WHERE site_id = 3", "site Hag Bank",
     "does not lead to it"},
    {"UPDATE site_key SET name_key = 'hag bankside' WHERE site_id = 3", "site Hag Bank",
     "does not lead to it"},
    {"UPDATE site_key SET site_id = CASE site_id WHEN 1 THEN 2 WHEN 2 THEN -1 ELSE site_id END"
     " WHERE site_id IN (2); UPDATE site_key SET site_id = 2 WHERE site_id = 1;"
     " UPDATE site_key SET site_id = 1 WHERE site_id = -1",
     "site Withy Gill", "does not lead to it"},
    {AMEND(SITE1, "name", "'Upper Gill'"), "site Upper Gill", "does not lead to it"},
    {AMEND(SITE1, "name", "'HAG-BANK'"), "site HAG-BANK", "does not lead to it"},
    {AMEND(SITE1, "remark", "'wet'") "; DELETE FROM amended", "corrections", "in 1 rows"},
    {AMEND(SITE1, "lat", "54.0") "; UPDATE amended SET value = 54", "corrections", "in 2 rows"},
    {"INSERT INTO amended VALUES (" SITE1 ", 'own', 1)", "corrections", "in 1 rows"},
    {STRIKE(1) "; DELETE FROM live", "strikes", "in 1 rows"},
    {"INSERT INTO live VALUES (" SITE1 ", 1, 'planted', '', NULL, 'x')", "strikes", "in 1 rows"},
    {"INSERT INTO site_key VALUES ('gone', 99)", "name 'gone'", "leads to a site that is gone"},
    {"UPDATE station SET name_key = 'elsewhere'", "station ", "does not lead to it"},
    {"UPDATE hazard_layer SET name_key = 'elsewhere' WHERE id = 3", "layer the old tip",
     "does not lead to it"},
    {"INSERT INTO almanac (id, uuid, name, name_key, at) VALUES (1, 'planted', 'Dales', "
     "'elsewhere', 1)",
     "almanac Dales", "does not lead to it"},
    {"DELETE FROM hazard_box WHERE id = 2", "layer the valley road",
     "record 1 is not on the map where it lies"},
    {"UPDATE hazard_box SET min_lon = 10, max_lon = 11 WHERE id = 4", "layer Mill Field",
     "record 1 is not on the map where it lies"},
    /* Too small by a hair: single precision rounded the wrong way. */
    {"UPDATE hazard_box SET max_lat = max_lat - 0.00001 WHERE id = 6", "layer the old tip",
     "record 1 is not on the map where it lies"},
    {"INSERT INTO hazard_box VALUES (7, 1, 2, 1, 2)", "layer the old tip", "not on the map"},
    {"INSERT INTO hazard_box VALUES (998, 1, 2, 1, 2)", "map of hazards", "shows 1 that is gone"},
    {"DELETE FROM hazard_box_rowid WHERE rowid = 4", "map of hazards", "is damaged"},
    {"UPDATE hazard_layer SET max_lon = min_lon WHERE id = 3", "layer the old tip",
     "its bounds leave out 1"},
};

static char *season_path(struct shelf *shelf)
{
    return g_build_filename(shelf->folder, "season.db", NULL);
}

static void execute(const char *path, const char *sql)
{
    sqlite3 *db;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    sqlite3_exec(db, "PRAGMA synchronous = OFF; PRAGMA ignore_check_constraints = ON", NULL, NULL,
                 NULL);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK)
        fail_msg("%.200s: %s", sql, sqlite3_errmsg(db));
    sqlite3_close(db);
}

/* The season as a book of this program's schema. */
static void put_season(struct shelf *shelf)
{
    g_autofree char *dump =
        g_build_filename(SPL_SOURCE_DIR, "tests", "book", "schemas", "0007.sql", NULL);
    g_autofree char *path = season_path(shelf), *sql = NULL;
    g_autoptr(GError) error = NULL;
    struct spl_book *book;

    assert_true(g_file_get_contents(dump, &sql, NULL, NULL));
    execute(path, sql);
    book = spl_book_open(path, SPL_BOOK_WRITE, &error);
    expect_ok(error);
    spl_book_close(book);
}

/* A copy of the season with a fault in it. */
static void plant(struct shelf *shelf, const char *sql)
{
    g_autofree char *path = season_path(shelf), *bytes = NULL;
    gsize size;

    assert_true(g_file_get_contents(path, &bytes, &size, NULL));
    assert_true(g_file_set_contents_full(shelf->path, bytes, (gssize)size, G_FILE_SET_CONTENTS_NONE,
                                         0600, NULL));
    execute(shelf->path, sql);
}

static GPtrArray *check(struct shelf *shelf)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = shelf_open(shelf, SPL_BOOK_READ);
    GPtrArray *findings = spl_book_check(book, &error);

    expect_ok(error);
    assert_non_null(findings);
    return findings;
}

static void expect_named(GPtrArray *findings, const struct plant *plant)
{
    for (guint i = 0; i < findings->len; i++) {
        const char *line = g_ptr_array_index(findings, i);

        assert_null(strchr(line, '\n'));
        assert_non_null(strstr(line, "; ")); /* what to do */
        if (g_str_has_prefix(line, plant->thing) && strstr(line, plant->says) != NULL)
            return;
    }
    for (guint i = 0; i < findings->len; i++)
        print_error("  found: %s\n", (char *)g_ptr_array_index(findings, i));
    fail_msg("%s: not named as '%s … %s'", plant->sql, plant->thing, plant->says);
}

static void a_sound_season_has_no_findings(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GPtrArray) findings = NULL;

    put_season(shelf);
    plant(shelf, "");
    findings = check(shelf);
    for (guint i = 0; i < findings->len; i++)
        print_error("  found: %s\n", (char *)g_ptr_array_index(findings, i));
    assert_int_equal(findings->len, 0);
}

/* Mends what can be; how many mendings were done. */
static guint mend(struct shelf *shelf, guint *left)
{
    g_autoptr(GError) error = NULL;
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    GArray *mendings;
    guint done = 0;

    /* A hundred commits that nobody needs on a disk. */
    assert_true(spl_book_script(book, "PRAGMA synchronous = OFF", &error));
    assert_true(spl_book_begin(book, &error));
    mendings = spl_derived_mend(book, &error);
    expect_ok(error);
    assert_true(spl_book_commit(book, &error));
    spl_book_close(book);
    for (guint i = 0; i < mendings->len; i++)
        done += g_array_index(mendings, struct spl_mending, i).done != NULL;
    *left = mendings->len - done;
    spl_list_free(&spl_mending_shape, mendings);
    return done;
}

static void every_fault_in_the_facts_is_named_and_left(void **state)
{
    struct shelf *shelf = *state;

    put_season(shelf);
    for (gsize i = 0; i < G_N_ELEMENTS(left_to_the_person); i++) {
        g_autoptr(GPtrArray) findings = NULL, after = NULL;
        guint left;

        plant(shelf, left_to_the_person[i].sql);
        findings = check(shelf);
        expect_named(findings, &left_to_the_person[i]);
        if (g_str_equal(left_to_the_person[i].says, "damaged"))
            continue; /* nothing can be opened to be mended */
        mend(shelf, &left);
        after = check(shelf);
        expect_named(after, &left_to_the_person[i]);
    }
}

static void every_fault_in_what_is_derived_is_named_and_mended(void **state)
{
    struct shelf *shelf = *state;

    put_season(shelf);
    for (gsize i = 0; i < G_N_ELEMENTS(derived); i++) {
        g_autoptr(GPtrArray) findings = NULL, after = NULL;
        guint left;

        plant(shelf, derived[i].sql);
        findings = check(shelf);
        expect_named(findings, &derived[i]);
        if (strstr(g_ptr_array_index(findings, findings->len - 1), "repair") == NULL)
            fail_msg("%s: does not send to the repair", derived[i].sql);
        if (mend(shelf, &left) == 0 || left > 0)
            fail_msg("%s: %u left", derived[i].sql, left);
        after = check(shelf);
        if (after->len > 0)
            fail_msg("%s: still '%s'", derived[i].sql, (char *)g_ptr_array_index(after, 0));
        /* A second time there is nothing to do. */
        assert_int_equal(mend(shelf, &left), 0);
        assert_int_equal(left, 0);
    }
}

static void mending_makes_the_table_of_the_map_as_it_was(void **state)
{
    static const char sql[] = "SELECT sql FROM sqlite_schema WHERE name = 'hazard_box'";
    struct shelf *shelf = *state;
    g_autofree char *before = NULL, *after = NULL;
    guint left;

    put_season(shelf);
    for (int round = 0; round < 2; round++) {
        g_autoptr(spl_book) book = NULL;
        g_autoptr(spl_statement) row = NULL;

        if (round == 0)
            plant(shelf, "");
        else
            plant(shelf, "DELETE FROM hazard_box_rowid WHERE rowid = 4");
        if (round == 1)
            assert_true(mend(shelf, &left) > 0);
        book = shelf_open(shelf, SPL_BOOK_READ);
        row = spl_statement_open(book, NULL, sql, SPL_NONE);
        assert_true(spl_statement_next(row, NULL, SPL_INTO(round == 0 ? &before : &after)));
    }
    assert_string_equal(before, after);
}

/* One box east, one west of the 180th meridian: both must be there. */
static void a_hazard_across_the_180th_meridian_keeps_both_boxes(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_geometry) line = spl_geometry_new(SPL_GEOMETRY_LINE);
    struct spl_hazard_layer layer = {.name = g_strdup("far road"),
                                     .source = g_strdup("by hand"),
                                     .methods = g_strdup("road"),
                                     .imported = {20577},
                                     .records = 1,
                                     .accuracy_m = 5,
                                     .min_lon = -180,
                                     .max_lon = 180,
                                     .min_lat = -17,
                                     .max_lat = -16};
    struct spl_hazard_put put = {.record = 1, .method = "road", .on = SPL_DAY_NONE, .shape = line};
    struct spl_book *book = shelf_open(shelf, SPL_BOOK_WRITE);
    g_autoptr(GPtrArray) none = NULL, one = NULL, mended = NULL;
    guint left;

    spl_geometry_begin(line, FALSE);
    spl_geometry_append(line, 179.999, -16.5);
    spl_geometry_append(line, -179.999, -16.5);
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_hazard_layer_begin(book, &layer, TRUE, &error));
    assert_true(spl_hazard_put(book, &layer, &put, &error));
    assert_true(spl_hazard_layer_end(book, &layer, &error));
    assert_true(spl_book_commit(book, &error));
    spl_book_close(book);
    spl_record_clear(&spl_hazard_layer_shape, &layer);
    none = check(shelf);
    assert_int_equal(none->len, 0);
    execute(shelf->path, "DELETE FROM hazard_box WHERE id = 3");
    one = check(shelf);
    assert_int_equal(one->len, 1);
    assert_non_null(strstr(g_ptr_array_index(one, 0), "far road"));
    assert_int_equal(mend(shelf, &left), 1);
    mended = check(shelf);
    assert_int_equal(mended->len, 0);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, shelf_set_up, shelf_tear_down)

static const struct CMUnitTest tests[] = {
    TEST(a_sound_season_has_no_findings),
    TEST(every_fault_in_the_facts_is_named_and_left),
    TEST(every_fault_in_what_is_derived_is_named_and_mended),
    TEST(mending_makes_the_table_of_the_map_as_it_was),
    TEST(a_hazard_across_the_180th_meridian_keeps_both_boxes),
};
expect_main(tests)

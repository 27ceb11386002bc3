/* SPDX-License-Identifier: MIT
 *
 * The almanacs that are shipped: sound calendars, wholly understood, with the dates they promise.
 */
#include "expect.h"

#include "core/shift.h"
#include "core/stage.h"
#include "core/window.h"
#include "exchange/almanac.h"
#include "exchange/ical_check.h"
#include "exchange/table_files.h"

#define CALENDARS SPL_SOURCE_DIR "/calendars/"

static const char *const files[] = {"central-europe.ics", "britain.ics", "northeast-america.ics"};

static spl_tables *load(void)
{
    g_autoptr(GError) error = NULL;
    spl_tables *tables = spl_tables_load(SPL_SOURCE_DIR "/data", NULL, &error);

    expect_ok(error);
    return tables;
}

static void read_almanac(const char *file, const spl_tables *tables, struct spl_almanac_read *read)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *path = g_strconcat(CALENDARS, file, NULL);

    memset(read, 0, sizeof *read);
    if (!spl_almanac_read_file(path, tables, read, &error))
        fail_msg("%s: %s", file, error->message);
}

static void every_almanac_passes_the_rules_of_icalendar(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(files); i++) {
        struct spl_ical_checked checked = {NULL};
        g_autoptr(GError) error = NULL;
        g_autofree char *path = g_strconcat(CALENDARS, files[i], NULL);

        assert_true(spl_ical_check_file(path, &checked, &error));
        if (!checked.ok) {
            const struct spl_ical_finding *first =
                &g_array_index(checked.findings, struct spl_ical_finding, 0);
            fail_msg("%s:%d: %s: %s", files[i], first->line, first->rule, first->message);
        }
        assert_true(checked.events >= 21);
        spl_record_clear(&spl_ical_checked_shape, &checked);
    }
}

static void every_event_is_understood_with_place_and_normals(void **state)
{
    g_autoptr(spl_tables) tables = load();

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(files); i++) {
        struct spl_almanac_read read;
        g_autoptr(GHashTable) materials = g_hash_table_new(g_str_hash, g_str_equal);
        g_autoptr(GHashTable) plants = g_hash_table_new(NULL, NULL);
        g_autoptr(GHashTable) uids = g_hash_table_new(g_str_hash, g_str_equal);

        read_almanac(files[i], tables, &read);
        if (read.not_understood != NULL && read.not_understood->len > 0) {
            const struct spl_ical_left *left =
                &g_array_index(read.not_understood, struct spl_ical_left, 0);
            fail_msg("%s:%d: %s: %s", files[i], left->line, left->what, left->why);
        }
        assert_int_equal(read.rows->len, read.events);
        assert_non_null(strstr(read.normals_source, "without a source"));
        for (guint j = 0; j < read.rows->len; j++) {
            const struct spl_almanac_row *row =
                &g_array_index(read.rows, struct spl_almanac_row, j);
            const struct spl_material *material =
                spl_tables_material_by_slug(tables, row->material);
            g_autoptr(GError) error = NULL;

            if (!spl_almanac_row_check(row, &error))
                fail_msg("%s: %s", files[i], error->message);
            assert_non_null(material);
            g_hash_table_add(materials, row->material);
            g_hash_table_add(plants, (gpointer)material->plant);
            assert_true(g_hash_table_add(uids, row->uid));
            assert_true(g_uuid_string_is_valid(row->uid));
            assert_true(spl_almanac_row_has_place(row) && spl_almanac_row_has_normals(row));
            assert_true(spl_stage_is_valid((int)row->stage_from));
            assert_true(spl_stage_is_valid((int)row->stage_to));
            assert_true(row->source != NULL && row->source[0] != '\0');
            assert_true(row->elevation_m > 0 && row->elevation_m < 500);
        }
        print_message("%s: %u rows, %u materials, %u plants\n", files[i], read.rows->len,
                      g_hash_table_size(materials), g_hash_table_size(plants));
        assert_true(g_hash_table_size(plants) >= 21);
        spl_record_clear(&spl_almanac_read_shape, &read);
    }
}

static const struct spl_almanac_row *row_of(const struct spl_almanac_read *read,
                                            const char *material, const char *use, int flush)
{
    for (guint i = 0; i < read->rows->len; i++) {
        const struct spl_almanac_row *row = &g_array_index(read->rows, struct spl_almanac_row, i);
        if (strcmp(row->material, material) == 0 && strcmp(row->use, use) == 0 &&
            row->flush == flush)
            return row;
    }
    fail_msg("no row %s %s %d", material, use, flush);
    return NULL;
}

static void expect_within(struct spl_day day, int from_month, int from_day, int to_month,
                          int to_day)
{
    int month = 0, dom = 0;

    spl_day_to_ymd(day, NULL, &month, &dom);
    if (month * 100 + dom < from_month * 100 + from_day ||
        month * 100 + dom > to_month * 100 + to_day)
        fail_msg("%d-%d is not between %d-%d and %d-%d", month, dom, from_month, from_day, to_month,
                 to_day);
}

/* Common practice, no source: 43-44 N in continental north-eastern North America. */
static void dandelion_in_the_north_east_of_america_is_as_practised(void **state)
{
    g_autoptr(spl_tables) tables = load();
    struct spl_almanac_read read;

    (void)state;
    read_almanac("northeast-america.ics", tables, &read);
    const struct spl_almanac_row *flower = row_of(&read, "dandelion/flower", "medicine", 1);
    /* Late April to early May, at the beginning of flowering. */
    expect_within(flower->start, 4, 20, 4, 30);
    expect_within(flower->end, 5, 1, 5, 10);
    assert_true(flower->stage_from >= 59 && flower->stage_to <= 63);
    const struct spl_almanac_row *leaf = row_of(&read, "dandelion/leaf", "medicine", 1);
    /* Mid-June to early July, when bitter. */
    expect_within(leaf->start, 6, 10, 6, 20);
    expect_within(leaf->end, 7, 1, 7, 10);
    assert_true(leaf->stage_from >= 67 && leaf->stage_to <= 79);
    /* For salad in spring. */
    const struct spl_almanac_row *salad = row_of(&read, "dandelion/leaf", "food", 1);
    expect_within(salad->start, 3, 21, 5, 31);
    assert_true(salad->stage_to <= 55);
    assert_non_null(strstr(flower->source, "common practice no source"));
    assert_true(flower->lat >= 43 && flower->lat <= 44);
    spl_record_clear(&spl_almanac_read_shape, &read);
}

/* Months of published collecting calendars for Central Europe, sources beside each row. */
static void central_european_rows_lie_in_the_published_months(void **state)
{
    static const struct {
        const char *material;
        int flush;
        int from_month, to_month; /* first and last month that the source gives */
    } published[] = {
        {"dandelion/flower", 1, 4, 5},         /* collectors' handbook: April-May */
        {"elder/flower", 1, 5, 6},             /* May-June (plant page), June (handbook) */
        {"elder/fruit", 1, 8, 10},             /* August-September, end of September-October */
        {"hawthorn/fruit", 1, 9, 10},          /* Kneipp plant lexicon */
        {"st-johns-wort/tops", 1, 6, 7},       /* handbook: June-July */
        {"lime/flower", 1, 6, 7},              /* handbook: June to early July */
        {"nettle/tops", 1, 4, 5},              /* handbook: April to early May */
        {"nettle/seed", 1, 8, 9},              /* handbook: August-September */
        {"horsetail/herb", 1, 5, 7},           /* 1917 leaflets: end of May to July */
        {"mullein/flower", 1, 7, 8},           /* handbook: July-August */
        {"coltsfoot/flower", 1, 2, 3},         /* handbook: end of February-March */
        {"dandelion/root", 1, 9, 11},          /* handbook: September-November */
        {"dandelion/root-with-herb", 1, 3, 4}, /* 1917 leaflets: spring, rosette and buds */
        {"chamomile/flower", 1, 5, 8},         /* handbook: mid-May to August */
    };
    g_autoptr(spl_tables) tables = load();
    struct spl_almanac_read read;

    (void)state;
    read_almanac("central-europe.ics", tables, &read);
    for (gsize i = 0; i < G_N_ELEMENTS(published); i++) {
        const struct spl_almanac_row *row =
            row_of(&read, published[i].material, "medicine", published[i].flush);
        /* The sources are of the climate of 1970 and before; the rows, of 1991-2020, come up to a
         * week earlier. */
        expect_within(row->start, published[i].from_month - 1, 25, published[i].to_month, 31);
        expect_within(row->end, published[i].from_month - 1, 25, published[i].to_month, 31);
    }
    spl_record_clear(&spl_almanac_read_shape, &read);
}

static void a_material_with_two_uses_or_two_flushes_has_a_row_for_each(void **state)
{
    g_autoptr(spl_tables) tables = load();

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(files); i++) {
        struct spl_almanac_read read;

        read_almanac(files[i], tables, &read);
        const struct spl_almanac_row *first = row_of(&read, "dandelion/flower", "medicine", 1);
        const struct spl_almanac_row *second = row_of(&read, "dandelion/flower", "medicine", 2);
        assert_true(spl_day_diff(second->start, first->end) > 60);
        row_of(&read, "dandelion/leaf", "food", 1);
        row_of(&read, "dandelion/leaf", "medicine", 1);
        /* Flowers open day after day: the almanac says how often to come back. */
        assert_true(row_of(&read, "calendula/flower", "medicine", 1)->every_days > 0);
        spl_record_clear(&spl_almanac_read_shape, &read);
    }
}

/* Spring comes later in the north of Britain than on low ground at 50 N on the continent. */
static void britain_is_later_in_spring_and_at_bloom(void **state)
{
    static const char *const materials[] = {"dandelion/flower", "hawthorn/tops", "elder/flower",
                                            "ramsons/leaf",     "birch/leaf",    "lime/flower"};
    g_autoptr(spl_tables) tables = load();
    struct spl_almanac_read britain, continent;

    (void)state;
    read_almanac("britain.ics", tables, &britain);
    read_almanac("central-europe.ics", tables, &continent);
    for (gsize i = 0; i < G_N_ELEMENTS(materials); i++) {
        int later = spl_day_diff(row_of(&britain, materials[i], "medicine", 1)->start,
                                 row_of(&continent, materials[i], "medicine", 1)->start);
        /* +2.5 days a degree over 4.5 degrees is 11 days; what is observed spreads about it. */
        expect_near(later, 11, 6, "days");
    }
    spl_record_clear(&spl_almanac_read_shape, &britain);
    spl_record_clear(&spl_almanac_read_shape, &continent);
}

/* A row with its years is of ours; one without says nothing of them. The full flower of dandelions
 * at Liestal (47.5 N, 350 m) was on 6 April in the mean of 1993-2022 (MeteoSwiss): the Central
 * European row, moved there, is within 5 days of it. */
static void dates_say_their_years(void **state)
{
    g_autoptr(spl_tables) tables = load();
    struct spl_almanac_read read;
    gboolean seen = FALSE;
    int dated = 0;

    (void)state;
    read_almanac("central-europe.ics", tables, &read);
    for (guint i = 0; i < read.rows->len; i++) {
        const struct spl_almanac_row *row = &g_array_index(read.rows, struct spl_almanac_row, i);
        struct spl_shift_place from = {row->lat, row->lon, row->elevation_m, NAN};
        struct spl_shift_place liestal = {47.48, 7.73, 350, NAN};
        double full;

        assert_int_equal(row->normals_from, 1991);
        assert_int_equal(row->normals_to, 2020);
        dated += row->period_from != 0;
        assert_int_equal(spl_almanac_row_stands_frost(row),
                         strcmp(row->material, "dog-rose/fruit") == 0 ||
                             strcmp(row->material, "hawthorn/fruit") == 0 ||
                             g_str_has_suffix(row->material, "root") ||
                             g_str_has_suffix(row->material, "/root-with-herb") ||
                             g_str_has_suffix(row->material, "/bark") ||
                             g_str_has_suffix(row->material, "/sap") ||
                             g_str_has_suffix(row->material, "/seed"));
        if (strcmp(row->material, "dandelion/flower") != 0 || row->flush != 1)
            continue;
        seen = TRUE;
        full = spl_day_of_year(row->start) +
               spl_day_diff(row->end, row->start) * (65 - row->stage_from) /
                   (row->stage_to - row->stage_from) +
               spl_shift_event_days(SPL_EVENT_GROWTH, &from, &liestal);
        expect_near(full, 96, 5, "d");
    }
    assert_true(seen);
    assert_true(dated >= 25);
    spl_record_clear(&spl_almanac_read_shape, &read);
}

/* How often a text stands in a calendar, its lines unfolded. */
static guint count_in_file(const char *file, const char *what)
{
    g_autofree char *path = g_strconcat(CALENDARS, file, NULL);
    g_autofree char *text = NULL, *whole = NULL;
    g_auto(GStrv) lines = NULL, parts = NULL;

    assert_true(g_file_get_contents(path, &text, NULL, NULL));
    lines = g_strsplit(text, "\r\n ", -1);
    whole = g_strjoinv("", lines);
    parts = g_strsplit(whole, what, -1);
    return g_strv_length(parts) - 1;
}

/* The standard deviation of the start fifty kilometres north of the almanac's place. */
static double start_sd(const struct spl_almanac_row *row)
{
    const struct spl_reference reference = {.known = FALSE};
    const struct spl_window_site site = {.name = "North of it",
                                         .lat = row->lat + 0.45,
                                         .lon = row->lon,
                                         .elevation_m = row->elevation_m,
                                         .station_km = NAN,
                                         .station_elevation_m = NAN,
                                         .almanac_km = 50};
    struct spl_row_season base;
    struct spl_forecast forecast;

    assert_true(spl_row_season_init(row, 2027, site.lat, &reference, &base));
    spl_window_forecast(&base, &site, SPL_DAY_NONE, NULL, &forecast);
    assert_int_equal(forecast.undated, row->period_from == 0);
    return forecast.start_sd_d;
}

/* A source of years names them, and from what they were moved; where no dated source could be had
 * the entry says so to whoever opens the calendar, and its band is wider by 5 days squared. */
static void every_row_is_dated_or_says_that_it_is_not_and_is_wider(void **state)
{
    static const char *const years[] = {"1888-1902", "2009-2020", "1881-1910", "1941-1970",
                                        "in 2023"};
    g_autoptr(spl_tables) tables = load();
    guint dated = 0, all = 0;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(files); i++) {
        struct spl_almanac_read read;
        guint undated = 0;

        read_almanac(files[i], tables, &read);
        for (guint j = 0; j < read.rows->len; j++) {
            struct spl_almanac_row *row = &g_array_index(read.rows, struct spl_almanac_row, j);
            gboolean named = FALSE;
            double sd, wide;

            all++;
            assert_int_equal(row->normals_from, 1991);
            if (row->period_from == 0) {
                undated++;
                wide = start_sd(row);
                row->period_from = row->normals_from;
                row->period_to = row->normals_to;
                sd = start_sd(row);
                expect_near(wide * wide - sd * sd, 25, 1e-6, "d^2");
                continue;
            }
            for (gsize y = 0; y < G_N_ELEMENTS(years); y++)
                named |= strstr(row->source, years[y]) != NULL;
            if (!named)
                fail_msg("%s: %s has a period, but '%s' names no years", files[i], row->material,
                         row->source);
            /* What is of other years than its normals was moved, and says by how much. */
            if (row->period_from == 1991 && strstr(row->source, "moved by") == NULL &&
                strstr(row->source, "added for") == NULL)
                fail_msg("%s: %s does not say how it was moved", files[i], row->material);
            dated++;
        }
        assert_int_equal(count_in_file(files[i], "No dated source: these days are taken wider."),
                         undated);
        spl_record_clear(&spl_almanac_read_shape, &read);
    }
    print_message("%u of %u rows are dated\n", dated, all);
    assert_int_equal(dated, 26 + 9);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_row_is_dated_or_says_that_it_is_not_and_is_wider),
    cmocka_unit_test(dates_say_their_years),
    cmocka_unit_test(every_almanac_passes_the_rules_of_icalendar),
    cmocka_unit_test(every_event_is_understood_with_place_and_normals),
    cmocka_unit_test(dandelion_in_the_north_east_of_america_is_as_practised),
    cmocka_unit_test(central_european_rows_lie_in_the_published_months),
    cmocka_unit_test(a_material_with_two_uses_or_two_flushes_has_a_row_for_each),
    cmocka_unit_test(britain_is_later_in_spring_and_at_bloom),
};
expect_main(tests)

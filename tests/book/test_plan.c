/* SPDX-License-Identifier: MIT
 *
 * Planned batches, kept outings, days off and stand notes in the book.
 */
#include "book/plan.h"
#include "book/stand.h"
#include "shelf.h"

static gint64 add_site(struct spl_book *book, const char *name)
{
    g_autoptr(GError) error = NULL;
    struct spl_site site = {.name = g_strdup(name),
                            .lat = 54.6,
                            .lon = -2.6,
                            .elevation_m = NAN,
                            .accuracy_m = NAN,
                            .contaminated_on = SPL_DAY_NONE};
    gint64 id;

    assert_true(spl_site_add(book, &site, &error));
    id = site.id;
    spl_record_clear(&spl_site_shape, &site);
    return id;
}

static void planned_batches_are_listed_until_they_are_struck(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    struct spl_planned planned = {.season = 2027,
                                  .name = g_strdup("winter tincture"),
                                  .preparation = g_strdup("tincture"),
                                  .yield_ml = 800,
                                  .yield_g = NAN,
                                  .dry = TRUE,
                                  .ratio = 5,
                                  .strength_frac = NAN,
                                  .by = spl_day_from_ymd(2027, 11, 1)};
    struct spl_planned_part part = {g_strdup("nettle/leaf"), 2};
    g_autoptr(GArray) list = NULL, none = NULL, other = NULL;
    const struct spl_planned *read;

    planned.parts = g_array_new(FALSE, FALSE, sizeof part);
    g_array_append_val(planned.parts, part);
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_planned_add(book, &planned, &error));
    assert_true(spl_book_commit(book, &error));
    list = spl_planned_list(book, 2027, &error);
    assert_int_equal(list->len, 1);
    read = &g_array_index(list, struct spl_planned, 0);
    assert_string_equal(read->name, "winter tincture");
    expect_near(read->yield_ml, 800, 0, "mL");
    assert_true(isnan(read->yield_g));
    assert_true(read->dry && isnan(read->strength_frac));
    expect_near(read->ratio, 5, 0, "");
    assert_int_equal(read->by.n, spl_day_from_ymd(2027, 11, 1).n);
    assert_int_equal(read->parts->len, 1);
    expect_near(g_array_index(read->parts, struct spl_planned_part, 0).parts, 2, 0, "");
    other = spl_planned_list(book, 2028, &error);
    assert_int_equal(other->len, 0);
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_plan_strike(book, read->uuid, "Edda", "enough", &error));
    assert_true(spl_book_commit(book, &error));
    none = spl_planned_list(book, 2027, &error);
    assert_int_equal(none->len, 0);
    g_free(part.material);
    spl_planned_clear(&planned);
}

static void an_outing_keeps_its_identity_through_its_versions(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    struct spl_kept_outing outing = {.season = 2027,
                                     .day = spl_day_from_ymd(2027, 5, 8),
                                     .reserve = SPL_DAY_NONE,
                                     .hours = 3,
                                     .km = 20};
    struct spl_kept_stop stop = {.verdict = SPL_VERDICT_ASK};
    struct spl_kept_take take = {
        .material = g_strdup("nettle/leaf"), .grams = 400, .what_for = g_strdup("a\nb")};
    g_autofree char *uuid = NULL;
    g_autoptr(GArray) list = NULL, none = NULL;
    const struct spl_kept_outing *read;

    spl_kept_outing_begin(&outing);
    assert_true(spl_book_begin(book, &error));
    stop.site_id = take.site_id = add_site(book, "Withy Gill");
    g_array_append_val(outing.stops, stop);
    g_array_append_val(outing.takes, take);
    assert_true(spl_kept_outing_put(book, &outing, &error));
    uuid = g_strdup(outing.uuid);
    outing.day = spl_day_from_ymd(2027, 5, 15);
    outing.fixed = TRUE;
    assert_true(spl_kept_outing_put(book, &outing, &error));
    assert_true(spl_book_commit(book, &error));
    list = spl_kept_outing_list(book, 2027, &error);
    assert_int_equal(list->len, 1);
    read = &g_array_index(list, struct spl_kept_outing, 0);
    assert_string_equal(read->uuid, uuid);
    assert_int_equal(read->day.n, spl_day_from_ymd(2027, 5, 15).n);
    assert_true(read->fixed);
    assert_int_equal(read->stops->len, 1);
    assert_string_equal(g_array_index(read->takes, struct spl_kept_take, 0).what_for, "a\nb");
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_plan_strike(book, uuid, NULL, "planned anew", &error));
    assert_true(spl_book_commit(book, &error));
    none = spl_kept_outing_list(book, 2027, &error);
    assert_int_equal(none->len, 0);
    spl_kept_outing_clear(&outing);
}

static void a_day_off_is_noted_once(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    g_autoptr(GArray) days = NULL;

    assert_true(spl_book_begin(book, &error));
    for (int i = 0; i < 2; i++)
        assert_true(spl_day_off_add(book, spl_day_from_ymd(2027, 5, 8), &error));
    assert_true(spl_book_commit(book, &error));
    days = spl_day_off_list(book, &error);
    assert_int_equal(days->len, 1);
}

static void the_last_note_of_a_stand_holds(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = shelf_open(*state, SPL_BOOK_WRITE);
    struct spl_stand_note notes[] = {
        {.kind = SPL_STAND_PLANTS, .plants = 120, .on = spl_day_from_ymd(2026, 5, 1)},
        {.kind = SPL_STAND_AREA,
         .area_m2 = 40,
         .cover_frac = 0.3,
         .on = spl_day_from_ymd(2027, 5, 1)},
        {.kind = SPL_STAND_REST, .until = 2029, .on = spl_day_from_ymd(2027, 6, 1)},
        {.kind = SPL_STAND_MARK, .seen = (char *)"flower", .on = spl_day_from_ymd(2027, 6, 2)},
        {.kind = SPL_STAND_REST, .until = 0, .on = spl_day_from_ymd(2027, 7, 1)},
    };
    g_autoptr(GArray) list = NULL;
    struct spl_stand stand;
    gint64 site;

    assert_true(spl_book_begin(book, &error));
    site = add_site(book, "Withy Gill");
    for (gsize i = 0; i < G_N_ELEMENTS(notes); i++) {
        notes[i].site_id = site;
        notes[i].plant = (char *)"nettle";
        assert_true(spl_stand_note_add(book, &notes[i], &error));
    }
    assert_true(spl_book_commit(book, &error));
    list = spl_stand_notes(book, site, "nettle", &error);
    assert_int_equal(list->len, 5);
    stand = spl_stand_of_notes(list, "nettle", spl_day_from_ymd(2026, 12, 31));
    assert_int_equal(stand.plants, 120);
    stand = spl_stand_of_notes(list, "nettle", spl_day_from_ymd(2027, 6, 15));
    assert_int_equal(stand.plants, -1);
    expect_near(stand.area_m2, 40, 0, "m2");
    assert_int_equal(stand.rest_until, 2029);
    stand = spl_stand_of_notes(list, "nettle", spl_day_from_ymd(2027, 7, 2));
    assert_int_equal(stand.rest_until, 0);
    assert_null(spl_stand_mark_of(list, "nettle", spl_day_from_ymd(2027, 6, 1)));
    assert_string_equal(spl_stand_mark_of(list, "nettle", spl_day_from_ymd(2027, 6, 2))->seen,
                        "flower");
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, shelf_set_up, shelf_tear_down)
static const struct CMUnitTest tests[] = {
    TEST(planned_batches_are_listed_until_they_are_struck),
    TEST(an_outing_keeps_its_identity_through_its_versions),
    TEST(a_day_off_is_noted_once),
    TEST(the_last_note_of_a_stand_holds),
};
expect_main(tests)

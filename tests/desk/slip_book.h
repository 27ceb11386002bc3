/* SPDX-License-Identifier: MIT
 *
 * Books for the tests of slips: places of which something is known, and stands in season.
 */
#ifndef SPL_TESTS_SLIP_BOOK_H
#define SPL_TESTS_SLIP_BOOK_H

#include "desk/slip.h"
#include "expect.h"

#include <glib/gstdio.h>

#include "simpling/check.h"
#include "simpling/hazard.h"
#include "simpling/site.h"
#include "simpling/stand.h"

#define TODAY 20989 /* 2027-06-20 */
#define SITES 3
#define DAYS 10

static inline struct spl_house *new_book(const char *path, const char *country)
{
    const struct spl_house_options options = {.book = path,
                                              .data = SPL_SOURCE_DIR "/data",
                                              .calendars = SPL_SOURCE_DIR "/calendars",
                                              .today = {TODAY}};
    const struct spl_setting_words words = {"country", country};
    struct spl_house *house;
    GError *error = NULL;

    assert_true(spl_book_make(&options, "ANN", NULL, &error));
    house = spl_house_open(&options, SPL_HOUSE_WRITE, &error);
    expect_ok(error);
    assert_true(spl_book_set(house, &words, &error));
    return house;
}

static inline struct spl_day before(GRand *rand, int least, int most)
{
    return (struct spl_day){TODAY - g_rand_int_range(rand, least, most)};
}

/* One place of which something is known, or nothing. */
static inline void add_place(GRand *rand, struct spl_house *house, const char *name, int number)
{
    struct spl_site_words place = {.name = name,
                                   .at = {54.60 + 0.01 * number, -2.58},
                                   .elevation_m = 120,
                                   .accuracy_m = g_rand_double_range(rand, 2, 15),
                                   .own = g_rand_int_range(rand, 0, 4) == 0 ? 1 : -1};
    struct spl_permission_words leave = {.site = name,
                                         .given = TRUE,
                                         .by = "the farmer",
                                         .on = before(rand, 1, 300),
                                         .until = SPL_DAY_NONE};
    struct spl_spray_words word = {.site = name,
                                   .kind = "unsprayed",
                                   .source = "the farmer",
                                   .on = before(rand, 0, 70),
                                   .since = {TODAY - 2500},
                                   .until = SPL_DAY_NONE};
    struct spl_site site;
    struct spl_permission_note note;
    struct spl_spray_record record;
    GPtrArray *touched = NULL;
    char *caution = NULL;
    GError *error = NULL;

    assert_true(spl_site_new(house, &place, &site, &caution, &error));
    g_free(caution);
    spl_record_clear(&spl_site_shape, &site);
    if (g_rand_int_range(rand, 0, 5) != 0) {
        static const char *const parts[] = {NULL, "leaf", "any"};

        leave.parts = parts[g_rand_int_range(rand, 0, 3)];
        if (g_rand_int_range(rand, 0, 3) == 0)
            leave.until = (struct spl_day){TODAY + g_rand_int_range(rand, 0, DAYS)};
        assert_true(spl_site_permit(house, &leave, &note, &error));
        spl_record_clear(&spl_permission_note_shape, &note);
    }
    if (g_rand_int_range(rand, 0, 5) != 0) {
        assert_true(spl_spray_note_add(house, &word, &record, &touched, &error));
        spl_record_clear(&spl_spray_record_shape, &record);
        g_clear_pointer(&touched, g_ptr_array_unref);
    }
    if (g_rand_int_range(rand, 0, 4) == 0) {
        word.kind = "planned";
        word.on = (struct spl_day){TODAY + g_rand_int_range(rand, 1, 25)};
        word.since = SPL_DAY_NONE;
        assert_true(spl_spray_note_add(house, &word, &record, &touched, &error));
        spl_record_clear(&spl_spray_record_shape, &record);
        g_clear_pointer(&touched, g_ptr_array_unref);
    }
    if (g_rand_int_range(rand, 0, 3) == 0) {
        const struct spl_hazard_words hazard = {
            .name = name,
            .method = g_rand_boolean(rand) ? "boom" : "grazed-water",
            .at = {place.at.lat + g_rand_double_range(rand, 0, 0.0006), place.at.lon},
            .radius_m = NAN,
            .on = before(rand, 340, 380),
            .accuracy_m = 3};
        struct spl_hazard_layer layer;

        if (spl_hazard_new(house, &hazard, &layer, &touched, &error))
            spl_record_clear(&spl_hazard_layer_shape, &layer);
        g_clear_error(&error);
        g_clear_pointer(&touched, g_ptr_array_unref);
    }
    /* Yarrow has hardly a rule, meadowsweet stands in water, burdock and dandelion have roots and
     * leaves; each is in season somewhere about midsummer. */
    for (const char *const *plant =
             (const char *const[]){"yarrow", "meadowsweet", "burdock", "dandelion", "nettle", NULL};
         *plant != NULL; plant++) {
        const struct spl_stand_words stand = {.site = name,
                                              .plant = *plant,
                                              .on = SPL_DAY_NONE,
                                              .plants = 400,
                                              .area_m2 = NAN,
                                              .cover_frac = NAN,
                                              .grams = NAN,
                                              .share_frac = NAN};
        struct spl_stand_record set;

        assert_true(spl_stand_set(house, &stand, &set, &error));
        spl_record_clear(&spl_stand_record_shape, &set);
    }
}

#endif

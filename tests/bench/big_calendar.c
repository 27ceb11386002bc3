/* SPDX-License-Identifier: MIT
 *
 * Makes a book whose calendar is large: invented places with harvests, whose windows are written,
 * and tinctures that stand, each with its steps.
 *
 *   big_calendar FILE PLACES BATCHES      FILE must not exist
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "book/batch.h"
#include "book/book.h"
#include "book/harvest.h"
#include "book/setting.h"
#include "book/site.h"

static void need(gboolean done, const GError *error)
{
    if (done)
        return;
    fprintf(stderr, "big_calendar: %s\n", error != NULL ? error->message : "failed");
    exit(1);
}

static gint64 add_site(struct spl_book *book, int i)
{
    GError *error = NULL;
    struct spl_site site = {.name = g_strdup_printf("Place %d", i),
                            .lat = 54 + i % 100 * 0.005,
                            .lon = -3 + i / 100 * 0.008,
                            .elevation_m = 100 + i % 300,
                            .accuracy_m = 10,
                            .contaminated_on = SPL_DAY_NONE};
    need(spl_site_add(book, &site, &error), error);
    struct spl_permission_note given = {.given = TRUE,
                                        .by = g_strdup("the owner"),
                                        .on = spl_day_from_ymd(2027, 1, 1),
                                        .until = SPL_DAY_NONE,
                                        .parts = g_strdup("any")};
    need(spl_permission_add(book, site.id, &given, &error), error);
    struct spl_spray_record word = {.kind = SPL_SPRAY_UNSPRAYED,
                                    .on = spl_day_from_ymd(2027, 3, 1),
                                    .since = spl_day_from_ymd(2015, 1, 1),
                                    .until = SPL_DAY_NONE,
                                    .source = g_strdup("the owner")};
    struct spl_thing thing = {0};
    need(spl_spray_add(book, site.id, word.on, &word, &thing, &error), error);
    gint64 id = site.id;
    spl_thing_clear(&thing);
    spl_record_clear(&spl_site_shape, &site);
    spl_record_clear(&spl_permission_note_shape, &given);
    spl_record_clear(&spl_spray_record_shape, &word);
    return id;
}

static const char *const materials[] = {"nettle/leaf", "dandelion/leaf", "hawthorn/tops",
                                        "elder/flower"};

static gint64 add_harvest(struct spl_book *book, int i, gint64 site_id)
{
    GError *error = NULL;
    struct spl_harvest harvest = {.site_id = site_id,
                                  .material = g_strdup(materials[i % 4]),
                                  .stage = 41,
                                  .date = spl_day_add(spl_day_from_ymd(2027, 5, 1), i % 50),
                                  .weight_g = 900,
                                  .garbled_g = NAN,
                                  .by = g_strdup("Ann"),
                                  .verdict = SPL_VERDICT_CLEAR,
                                  .reasons_json = g_strdup("[]")};
    need(spl_harvest_add(book, &harvest, &error), error);
    gint64 id = harvest.id;
    spl_record_clear(&spl_harvest_shape, &harvest);
    return id;
}

static void add_batch(struct spl_book *book, int i, int harvest, gint64 harvest_id)
{
    GError *error = NULL;
    struct spl_day day = spl_day_add(spl_day_from_ymd(2027, 5, 1), harvest % 50);
    struct spl_batch_row row = {.preparation = g_strdup("tincture"),
                                .keeping = g_strdup("table"),
                                .day = day,
                                .jars = 1,
                                .jar_ml = 500,
                                .brimful_ml = 520,
                                .by = g_strdup(i % 2 == 0 ? "Ann" : "Edda")};
    need(spl_batch_add(book, &row, &error), error);
    struct spl_charge_row herb = {.kind = SPL_CHARGE_HERB,
                                  .source_id = harvest_id,
                                  .day = day,
                                  .titrated_on = SPL_DAY_NONE,
                                  .material = (char *)materials[harvest % 4],
                                  .state = SPL_HERB_FRESH,
                                  .grams = 87,
                                  .moisture_frac = 0.85,
                                  .volume_ml_per_g = 1,
                                  .kept_ml_per_g = {1.25, 1.0, 1.5, NULL},
                                  .strength_frac = NAN};
    struct spl_charge_row spirit = {.kind = SPL_CHARGE_LIQUID,
                                    .day = day,
                                    .titrated_on = SPL_DAY_NONE,
                                    .grams = NAN,
                                    .moisture_frac = NAN,
                                    .volume_ml_per_g = NAN,
                                    .kept_ml_per_g = {NAN, NAN, NAN, NULL},
                                    .blend = spl_blend_of(SPL_LIQUID_SPIRIT, 435, 0.4, 0),
                                    .strength_frac = 0.4,
                                    .words = (char *)"spirit 40%",
                                    .supplier = (char *)"Ash Beck Still",
                                    .number = (char *)"98"};
    need(spl_charge_add(book, row.id, &herb, &error), error);
    need(spl_charge_add(book, row.id, &spirit, &error), error);
    spl_batch_row_clear(&row);
}

int main(int argc, char **argv)
{
    GError *error = NULL;
    int places = argc == 4 ? atoi(argv[2]) : 0, batches = argc == 4 ? atoi(argv[3]) : 0;
    if (places < 1 || batches < 0) {
        fprintf(stderr, "usage: big_calendar FILE PLACES BATCHES\n");
        return 2;
    }
    g_autoptr(spl_book) book = spl_book_open(argv[1], SPL_BOOK_MAKE, &error);
    need(book != NULL && spl_book_begin(book, &error), error);
    need(spl_setting_set(book, "mark", "BIG", &error) &&
             spl_setting_set(book, "uuid", "6f0b5d0e-5a51-4b0e-9a0c-7d8b2f6f1c10", &error),
         error);
    g_autofree gint64 *ids = g_new(gint64, places);
    for (int i = 0; i < places; i++)
        ids[i] = add_site(book, i);
    gint64 harvest_id = 0;
    for (int i = 0; i < batches; i++) {
        if (i % 10 == 0)
            harvest_id = add_harvest(book, i / 10, ids[i / 10 % places]);
        add_batch(book, i, i / 10, harvest_id);
    }
    need(spl_book_commit(book, &error), error);
    return 0;
}

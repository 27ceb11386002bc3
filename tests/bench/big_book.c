/* SPDX-License-Identifier: MIT
 *
 * Makes a large book for the benches: invented places a few hundred metres apart, each asked about
 * and permitted, with harvests spread over ten years; with USES what was picked in the last season
 * but one stands in 120 bottles, of which so many uses went out since.
 *
 *   big_book FILE SITES HARVESTS [USES]      FILE must not exist
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "book/book.h"
#include "book/harvest.h"
#include "book/setting.h"
#include "book/site.h"
#include "book/statement.h"

static void need(gboolean done, const GError *error)
{
    if (done)
        return;
    fprintf(stderr, "big_book: %s\n", error != NULL ? error->message : "failed");
    exit(1);
}

static void add_site(struct spl_book *book, int i, gint64 *id)
{
    GError *error = NULL;
    struct spl_site site = {.name = g_strdup_printf("Place %d", i),
                            .lat = 54 + i % 100 * 0.005,
                            .lon = -3 + i / 100 * 0.008,
                            .elevation_m = 100 + i % 300,
                            .accuracy_m = 10,
                            .contaminated_on = SPL_DAY_NONE};
    need(spl_site_add(book, &site, &error), error);
    *id = site.id;

    struct spl_permission_note given = {.given = TRUE,
                                        .by = g_strdup("the owner"),
                                        .on = spl_day_from_ymd(2017, 1, 1),
                                        .until = SPL_DAY_NONE,
                                        .parts = g_strdup("any")};
    need(spl_permission_add(book, site.id, &given, &error), error);
    struct spl_spray_record word = {.kind = SPL_SPRAY_UNSPRAYED,
                                    .on = spl_day_from_ymd(2027, 6, 1),
                                    .since = spl_day_from_ymd(2015, 1, 1),
                                    .until = SPL_DAY_NONE,
                                    .source = g_strdup("the owner")};
    struct spl_thing thing = {0};
    need(spl_spray_add(book, site.id, word.on, &word, &thing, &error), error);
    spl_thing_clear(&thing);
    spl_record_clear(&spl_site_shape, &site);
    spl_record_clear(&spl_permission_note_shape, &given);
    spl_record_clear(&spl_spray_record_shape, &word);
}

static void add_harvest(struct spl_book *book, int i, gint64 site_id)
{
    static const char *const materials[] = {"nettle/leaf", "dandelion/leaf", "hawthorn/tops",
                                            "elder/flower"};
    GError *error = NULL;
    struct spl_harvest harvest = {.site_id = site_id,
                                  .material = g_strdup(materials[i % 4]),
                                  .stage = 41,
                                  .date = spl_day_add(spl_day_from_ymd(2018, 1, 1), i % 3400),
                                  .weight_g = 100 + i % 900,
                                  .garbled_g = NAN,
                                  .by = g_strdup("Ann"),
                                  .named_by = g_strdup("Ann"),
                                  .signs = g_strdup("all of them"),
                                  .verdict = SPL_VERDICT_CLEAR,
                                  .reasons_json = g_strdup("[]")};
    need(spl_harvest_add(book, &harvest, &error), error);
    spl_record_clear(&spl_harvest_shape, &harvest);
}

int main(int argc, char **argv)
{
    GError *error = NULL;
    int sites = argc > 3 ? atoi(argv[2]) : 0, harvests = argc > 3 ? atoi(argv[3]) : 0;
    if (argc > 5 || sites < 1 || harvests < 0) {
        fprintf(stderr, "usage: big_book FILE SITES HARVESTS [USES]\n");
        return 2;
    }
    g_autoptr(spl_book) book = spl_book_open(argv[1], SPL_BOOK_MAKE, &error);
    need(book != NULL && spl_book_begin(book, &error), error);
    need(spl_setting_set(book, "mark", "BIG", &error) &&
             spl_setting_set(book, "uuid", "6f0b5d0e-5a51-4b0e-9a0c-7d8b2f6f1c10", &error),
         error);
    g_autofree gint64 *ids = g_new(gint64, sites);
    for (int i = 0; i < sites; i++)
        add_site(book, i, &ids[i]);
    for (int i = 0; i < harvests; i++)
        add_harvest(book, i, ids[(gint64)i * 7919 % sites]);
    if (argc == 5) {
        g_autofree char *bottles = NULL;

        need(g_file_get_contents(SPL_SOURCE_DIR "/tests/bench/bottles.sql", &bottles, NULL,
                                 &error) &&
                 spl_setting_set(book, "test_uses", argv[4], &error) &&
                 spl_book_script(book, bottles, &error),
             error);
    }
    need(spl_book_commit(book, &error), error);
    return 0;
}

/* SPDX-License-Identifier: MIT
 *
 * simpling draw …, simpling label …: the insides, linked by the helper simpling-draw alone.
 */
#include "command/draw_run.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "simpling/picture.h"

static gboolean file_words(const struct spl_call *call, struct spl_picture_words *words,
                           GError **error)
{
    *words = (struct spl_picture_words){.out = spl_call_demand(call, "out", error),
                                        .paper = spl_call_get(call, "paper"),
                                        .force = spl_call_has(call, "force")};
    return words->out != NULL && spl_call_count(call, "dpi", 36, 600, 0, &words->dpi, error);
}

/* Says what was drawn; the warnings go to stderr. */
static int drawn(struct spl_call *call, gboolean ok, struct spl_picture *picture)
{
    if (!ok)
        return -1;
    spl_call_caution(call, picture->warnings);
    spl_call_print(call, picture);
    spl_record_clear(&spl_picture_shape, picture);
    return 0;
}

static int run_season(struct spl_call *call, GError **error)
{
    struct spl_picture_words words;
    struct spl_picture picture;
    struct spl_picture_season what = {.site = spl_call_get(call, "site"),
                                      .material = spl_call_get(call, "material"),
                                      .all = spl_call_has(call, "all")};

    if (!file_words(call, &words, error) ||
        !spl_call_count(call, "year", 1, 9998, 0, &what.year, error))
        return -1;
    return drawn(call, spl_picture_draw_season(call->house, &what, &words, &picture, error),
                 &picture);
}

static int run_map(struct spl_call *call, GError **error)
{
    struct spl_picture_words words;
    struct spl_picture picture;
    struct spl_day on;

    if (!file_words(call, &words, error) ||
        !spl_call_day(call, "on", spl_house_today(call->house), &on, error))
        return -1;
    return drawn(call, spl_picture_draw_map(call->house, on, &words, &picture, error), &picture);
}

static int run_shelf(struct spl_call *call, GError **error)
{
    struct spl_picture_words words;
    struct spl_picture picture;

    if (!file_words(call, &words, error))
        return -1;
    return drawn(
        call,
        spl_picture_draw_shelf(call->house, spl_call_has(call, "all"), &words, &picture, error),
        &picture);
}

static int run_outing(struct spl_call *call, GError **error)
{
    struct spl_picture_words words;
    struct spl_picture picture;
    struct spl_day day = SPL_DAY_NONE;

    if (!file_words(call, &words, error) ||
        (call->n_places > 0 && !spl_day_parse(call->places[0], "DATE", &day, error)))
        return -1;
    return drawn(call, spl_picture_draw_outing(call->house, day, &words, &picture, error),
                 &picture);
}

static int run_batch(struct spl_call *call, GError **error)
{
    struct spl_picture_words words;
    struct spl_picture picture;

    if (!file_words(call, &words, error))
        return -1;
    return drawn(call,
                 spl_picture_draw_batch(call->house, call->places[0], &words, &picture, error),
                 &picture);
}

static int run_year(struct spl_call *call, GError **error)
{
    struct spl_picture_words words;
    struct spl_picture picture;
    int year;

    if (!file_words(call, &words, error) ||
        !spl_count_parse(call->places[0], "YEAR", 1, 9998, &year, error))
        return -1;
    return drawn(call, spl_picture_draw_year(call->house, year, &words, &picture, error), &picture);
}

static gboolean bottle_of(const struct spl_call *call, struct spl_label_words *labels,
                          GError **error)
{
    const char *typed = spl_call_get(call, "bottle");

    labels->bottle_ml = labels->bottle_g = NAN;
    if (typed == NULL)
        return TRUE;
    if (spl_volume_parse(typed, "--bottle", &labels->bottle_ml, NULL) ||
        spl_mass_parse(typed, "--bottle", &labels->bottle_g, NULL))
        return TRUE;
    return spl_volume_parse(typed, "--bottle", &labels->bottle_ml, error);
}

static int run_label(struct spl_call *call, GError **error)
{
    struct spl_picture_words words;
    struct spl_picture picture;
    struct spl_label_words labels = {.codes = (const char *const *)call->places,
                                     .n_codes = call->n_places,
                                     .sheet = spl_call_get(call, "sheet"),
                                     .ref = spl_call_get(call, "for"),
                                     .dispensary = spl_call_get(call, "dispensary"),
                                     .place = spl_call_has(call, "place")};

    if (!file_words(call, &words, error) ||
        !spl_call_count(call, "copies", 1, 1000, 1, &labels.copies, error) ||
        !spl_call_count(call, "skip", 0, 2499, 0, &labels.skip, error) ||
        !bottle_of(call, &labels, error))
        return -1;
    return drawn(call, spl_picture_draw_labels(call->house, &labels, &words, &picture, error),
                 &picture);
}

const struct spl_helper_run spl_draw_runs[] = {
    {"draw season", run_season}, {"draw map", run_map},
    {"draw shelf", run_shelf},   {"draw outing", run_outing},
    {"draw batch", run_batch},   {"draw year", run_year},
    {"label", run_label},        {NULL, NULL},
};

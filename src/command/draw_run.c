/* SPDX-License-Identifier: MIT
 *
 * simpling draw …, simpling label …: the insides, linked by the helper simpling-draw alone.
 */
#include "command/draw_run.h"

#include "simpling/picture.h"

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
    struct spl_picture picture;

    return drawn(call, spl_picture_draw_season(call->house, call->said, &picture, error), &picture);
}

static int run_map(struct spl_call *call, GError **error)
{
    struct spl_picture picture;

    return drawn(call, spl_picture_draw_map(call->house, call->said, &picture, error), &picture);
}

static int run_shelf(struct spl_call *call, GError **error)
{
    struct spl_picture picture;

    return drawn(call, spl_picture_draw_shelf(call->house, call->said, &picture, error), &picture);
}

static int run_outing(struct spl_call *call, GError **error)
{
    struct spl_picture picture;

    return drawn(call, spl_picture_draw_outing(call->house, call->said, &picture, error), &picture);
}

static int run_batch(struct spl_call *call, GError **error)
{
    struct spl_picture picture;

    return drawn(call, spl_picture_draw_batch(call->house, call->said, &picture, error), &picture);
}

static int run_recall(struct spl_call *call, GError **error)
{
    struct spl_picture picture;

    return drawn(call, spl_picture_draw_recall(call->house, call->said, &picture, error), &picture);
}

static int run_lot(struct spl_call *call, GError **error)
{
    struct spl_picture picture;

    return drawn(call, spl_picture_draw_lot(call->house, call->said, &picture, error), &picture);
}

static int run_year(struct spl_call *call, GError **error)
{
    struct spl_picture picture;

    return drawn(call, spl_picture_draw_year(call->house, call->said, &picture, error), &picture);
}

static int run_labels(struct spl_call *call, GError **error)
{
    struct spl_picture picture;

    return drawn(call, spl_picture_draw_labels(call->house, call->said, &picture, error), &picture);
}

const struct spl_helper_run spl_draw_runs[] = {
    {"draw season", run_season}, {"draw map", run_map},
    {"draw shelf", run_shelf},   {"draw outing", run_outing},
    {"draw batch", run_batch},   {"draw year", run_year},
    {"draw recall", run_recall}, {"draw lot", run_lot},
    {"label", run_labels},       {NULL, NULL},
};

/* SPDX-License-Identifier: MIT
 *
 * What the files of the season's plan share: the wants of the planned batches with what was done
 * already taken off, and the sources that could serve them.
 */
#ifndef SPL_SEASON_PLAN_PRIVATE_H
#define SPL_SEASON_PLAN_PRIVATE_H

#include "book/plan.h"
#include "book/site.h"
#include "core/outing_problem.h"
#include "core/shortfall.h"
#include "season/house_private.h"
#include "simpling/plan.h"
#include "simpling/record/reason.h"

/* One material of one planned batch. */
struct spl_plan_want {
    guint planned; /* index */
    const struct spl_material *material;
    double share;       /* of the batch's yield */
    double yield;       /* its part of it, mL or g */
    double need_g;      /* fresh, as picked, for all of it */
    double covered;     /* of `yield`, by lots and standing batches */
    double gathered_g;  /* of what is still needed */
    double stock_g;     /* bought or dried herb on hand, in fresh grams' worth */
    double remaining_g; /* still to be picked: the rest */
    struct spl_day gather_by;
    int steeping_days; /* from picking to bottling, at least */
    gboolean dry;      /* goes in dried */
};

struct spl_plan_state {
    int season;
    struct spl_day first, last; /* of the season */
    double lat;                 /* of home: turns the seasons */
    GArray *planned;            /* struct spl_planned */
    GArray *wants;              /* struct spl_plan_want, by planned batch */
    GArray *lines;              /* struct spl_plan_line, one for each planned batch */
};

/* Reads the plan of a season (0: that of today) and takes off what was done. */
gboolean spl_plan_state_load(struct spl_house *house, int season, struct spl_plan_state *state,
                             GError **error);
void spl_plan_state_clear(struct spl_plan_state *state);

/* The season of today where home is (north of the equator without a home). */
int spl_plan_season(struct spl_house *house, double *lat);

/* What one planned part needs: fresh grams as picked, its yield, whether it goes in dried.
 * `planned` without an id may be checked with it before it is written. */
gboolean spl_plan_need(struct spl_house *house, const struct spl_planned *planned, guint part,
                       struct spl_plan_want *want, GError **error);

/* One window of a material at a site. */
struct spl_plan_source {
    gint64 site_id;
    char *site;
    double lat, lon;
    const struct spl_material *material;
    int stand; /* the same for all parts of a plant at a site */
    double left_g;
    int plants;      /* counted; -1: not */
    char *small;     /* "only 85 plants: …"; NULL: not a small stand */
    gboolean spoils; /* what comes after the window is no good */
    enum spl_supply_state state;
    struct spl_day earliest, likely_start, likely_end, latest; /* the whole window */
    struct spl_day open_from, open_to; /* first and last day that can still be used; or none */
    GArray *asks; /* guint8 a day from earliest to latest: how many things must be asked about, or
                     SPL_OUTING_CLOSED; NULL: no day can be used */
    int every_days;
    struct spl_day last_picked; /* none: not in this season */
};

/* All sources of the wanted materials; a GArray that clears its elements. `clear_only`: days on
 * which somebody must be asked do not count. */
GArray *spl_plan_sources(struct spl_house *house, const struct spl_plan_state *state,
                         gboolean clear_only, GError **error);

/*
 * What `check` would say of ground for a material on an outing's day and on its reserve day (none:
 * no such), with nothing new noted: the worse verdict, and every reason of that grade that is not
 * among those of `stop` is added to them.
 */
gboolean spl_plan_ground(struct spl_house *house, const struct spl_site *site,
                         const struct spl_material *material, struct spl_day day,
                         struct spl_day reserve, enum spl_verdict *verdict,
                         struct spl_plan_stop *stop, GError **error);

/* Who is to be asked about a place: who gave or refused leave last, else who spoke of spraying
 * last. Free with g_free; NULL with an error. */
char *spl_plan_whom_to_ask(struct spl_house *house, const struct spl_site *site, GError **error);

/* Fills `out->call` from its outings that are still to come. */
gboolean spl_plan_add_calls(struct spl_house *house, struct spl_plan_outings *out, GError **error);

/* The last day to pick for each want is put inside the windows: the last usable day that is in
 * time. A want that no window serves in time keeps its day. The lines follow. */
void spl_plan_narrow(struct spl_plan_state *state, const GArray *sources);

/* Shortfall of the wants against the sources; materials of `spl_shortfall.material` are indices
 * into `materials` (const struct spl_material *), which is filled. */
GArray *spl_plan_reckon_short(const struct spl_plan_state *state, const GArray *sources,
                              GPtrArray *materials, GError **error);

#endif

/* SPDX-License-Identifier: MIT
 *
 * A case of the verdict that is clear until something is added to it; shared by its tests.
 */
#ifndef SPL_TESTS_VERDICT_SET_H
#define SPL_TESTS_VERDICT_SET_H

#include "core/verdict.h"
#include "expect.h"

static const struct spl_method boom = {.slug = "boom",
                                       .name = "field boom",
                                       .closed_m = 10,
                                       .ask_m = 31,
                                       .hold_on_days = 1095,
                                       .hold_near_days = 365,
                                       .source = "Soil Association 9.1.4"};
static const struct spl_method road = {.slug = "road",
                                       .name = "road",
                                       .lasting = TRUE,
                                       .closed_m = 10,
                                       .ask_m = 50,
                                       .source = "measured"};
static const struct spl_method tip = {.slug = "tip",
                                      .name = "tip",
                                      .lasting = TRUE,
                                      .closed_m = 0,
                                      .ask_m = 0,
                                      .source = "WHO GACP 2003"};
static const struct spl_method grazed = {.slug = "grazed-water",
                                         .name = "grazed water",
                                         .lasting = TRUE,
                                         .water_only = TRUE,
                                         .closed_m = 0,
                                         .ask_m = 100,
                                         .source = "common practice"};

/* A case that is clear unless something is added: asked yesterday, leave given, well known
 * position. */
struct set {
    struct spl_verdict_case ground;
    GArray *hazards, *layers, *notes, *permissions;
};

static inline struct spl_day ymd(int y, int m, int d)
{
    return spl_day_from_ymd(y, m, d);
}

static inline struct spl_day before(const struct set *set, int days)
{
    return spl_day_add(set->ground.day, -days);
}

static inline void add_word(struct set *set, struct spl_day on, struct spl_day since,
                            struct spl_day until)
{
    const struct spl_spray_note note = {.kind = SPL_SPRAY_UNSPRAYED,
                                        .on = on,
                                        .since = since,
                                        .until = until,
                                        .source = "the farmer"};

    g_array_append_val(set->notes, note);
}

static inline void add_note(struct set *set, enum spl_spray_kind kind, struct spl_day on)
{
    const struct spl_spray_note note = {.kind = kind,
                                        .on = on,
                                        .since = SPL_DAY_NONE,
                                        .until = SPL_DAY_NONE,
                                        .source = "the farmer"};

    g_array_append_val(set->notes, note);
}

static inline struct spl_permission *add_leave(struct set *set, gboolean given, struct spl_day on)
{
    const struct spl_permission leave = {
        .given = given, .on = on, .until = SPL_DAY_NONE, .by = "the farmer"};

    g_array_append_val(set->permissions, leave);
    return &g_array_index(set->permissions, struct spl_permission, set->permissions->len - 1);
}

static inline struct spl_hazard_near *add_hazard(struct set *set, const struct spl_method *method,
                                                 double m, struct spl_day on)
{
    const struct spl_hazard_near hazard = {.method = method,
                                           .distance_m = m,
                                           .on = on,
                                           .method_changed = SPL_DAY_NONE,
                                           .source = "layer parcels"};

    g_array_append_val(set->hazards, hazard);
    return &g_array_index(set->hazards, struct spl_hazard_near, set->hazards->len - 1);
}

static inline void bare(struct set *set, struct spl_day day)
{
    *set = (struct set){.hazards = g_array_new(FALSE, FALSE, sizeof(struct spl_hazard_near)),
                        .layers = g_array_new(FALSE, FALSE, sizeof(struct spl_layer_near)),
                        .notes = g_array_new(FALSE, FALSE, sizeof(struct spl_spray_note)),
                        .permissions = g_array_new(FALSE, FALSE, sizeof(struct spl_permission))};
    set->ground = (struct spl_verdict_case){.day = day,
                                            .lat = 54.9,
                                            .contaminated_on = SPL_DAY_NONE,
                                            .hazards = set->hazards,
                                            .layers = set->layers,
                                            .notes = set->notes,
                                            .permissions = set->permissions};
}

static inline void begin(struct set *set)
{
    bare(set, ymd(2027, 5, 4));
    add_word(set, before(set, 1), before(set, 2000), SPL_DAY_NONE);
    add_leave(set, TRUE, before(set, 30));
}

static inline void end(struct set *set)
{
    g_array_unref(set->hazards);
    g_array_unref(set->layers);
    g_array_unref(set->notes);
    g_array_unref(set->permissions);
}

static inline struct spl_day until_of(struct set *set)
{
    struct spl_verdict_result result;

    spl_verdict_judge(&set->ground, &result);
    spl_verdict_result_clear(&result);
    return result.until;
}

#endif

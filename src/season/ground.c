/* SPDX-License-Identifier: MIT
 *
 * Gathers what the book knows about a site and lets core judge it. See season/ground.h.
 */
#include "season/ground.h"

#include <string.h>

#include "base/text.h"
#include "season/ground_map.h"
#include "season/readings.h"
#include "simpling/error.h"

/* "leaf,flower" as bits; names that the tables no longer know count for nothing. */
static guint part_bits(const char *parts)
{
    g_auto(GStrv) words = g_strsplit(parts != NULL ? parts : "", ",", 20);
    guint bits = 0;

    for (guint i = 0; words[i] != NULL; i++) {
        enum spl_part part;

        if (strcmp(words[i], "any") == 0)
            bits |= SPL_PART_BIT(SPL_PART_ANY);
        else if (*words[i] != '\0' && spl_part_parse(words[i], "parts", &part, NULL))
            bits |= SPL_PART_BIT(part);
    }
    return bits;
}

static GArray *verdict_notes(const GArray *records)
{
    GArray *notes = g_array_new(FALSE, TRUE, sizeof(struct spl_spray_note));

    for (guint i = 0; i < records->len; i++) {
        const struct spl_spray_record *record = &g_array_index(records, struct spl_spray_record, i);
        struct spl_spray_note note = {
            .kind = record->kind,
            .on = record->on,
            .since = record->since,
            .until = record->until,
            .source = record->source,
            .method = record->method,
            .product = record->product,
            .code = record->code,
            .evidence = record->uuid,
        };

        g_array_append_val(notes, note);
    }
    return notes;
}

static GArray *verdict_permissions(const GArray *records)
{
    GArray *permissions = g_array_new(FALSE, TRUE, sizeof(struct spl_permission));

    for (guint i = 0; i < records->len; i++) {
        const struct spl_permission_note *record =
            &g_array_index(records, struct spl_permission_note, i);
        struct spl_permission permission = {
            .given = record->given,
            .on = record->on,
            .until = record->until,
            .written = record->written,
            .by = record->by,
            .parts = part_bits(record->parts),
            .teaching = g_strcmp0(record->parts, SPL_PERMISSION_TEACHING) == 0,
            .evidence = record->uuid,
        };

        g_array_append_val(permissions, permission);
    }
    return permissions;
}

struct spl_ground {
    const struct spl_site *site; /* borrowed */
    struct spl_day today;
    GArray *records, *leaves; /* what the notes and permissions below point into */
    struct spl_ground_near near;
    GArray *notes, *permissions;
    GArray *sites; /* struct spl_site: the place as colleagues correct it, while that waits */
    GArray *nears; /* struct spl_ground_near of each */
};

void spl_ground_free(struct spl_ground *ground)
{
    if (ground == NULL)
        return;
    spl_ground_near_clear(&ground->near);
    for (guint i = 0; ground->nears != NULL && i < ground->nears->len; i++)
        spl_ground_near_clear(&g_array_index(ground->nears, struct spl_ground_near, i));
    g_clear_pointer(&ground->nears, g_array_unref);
    spl_list_free(&spl_site_shape, ground->sites);
    g_clear_pointer(&ground->notes, g_array_unref);
    g_clear_pointer(&ground->permissions, g_array_unref);
    spl_list_free(&spl_spray_record_shape, ground->records);
    spl_list_free(&spl_permission_note_shape, ground->leaves);
    g_free(ground);
}

/* Where the place also may be, and what lies near it there. */
static gboolean load_other_sites(struct spl_ground *ground, struct spl_ground_map *map,
                                 struct spl_house *house, GError **error)
{
    const GArray *readings = spl_ground_map_readings(map);

    if (readings->len == 0)
        return TRUE;
    spl_readings_of_notes(readings, ground->records);
    ground->sites = spl_readings_of_site(readings, ground->site);
    ground->nears = g_array_new(FALSE, TRUE, sizeof(struct spl_ground_near));
    for (guint i = 0; i < ground->sites->len; i++) {
        struct spl_ground_near near;

        if (!spl_ground_map_near(map, house, &g_array_index(ground->sites, struct spl_site, i), 0,
                                 &near, error))
            return FALSE;
        g_array_append_val(ground->nears, near);
    }
    return TRUE;
}

struct spl_ground *spl_ground_load(struct spl_house *house, const struct spl_site *site,
                                   GError **error)
{
    g_autoptr(spl_ground) ground = g_new0(struct spl_ground, 1);
    struct spl_ground_map *map;

    ground->site = site;
    ground->today = house->today;
    ground->records = spl_spray_list(house->book, site->id, FALSE, error);
    if (ground->records == NULL)
        return NULL;
    ground->leaves = spl_permission_list(house->book, site->id, error);
    if (ground->leaves == NULL)
        return NULL;
    map = spl_ground_map_of(house, error);
    if (map == NULL || !spl_ground_map_near(map, house, site, 0, &ground->near, error) ||
        !load_other_sites(ground, map, house, error))
        return NULL;
    ground->notes = verdict_notes(ground->records);
    ground->permissions = verdict_permissions(ground->leaves);
    return g_steal_pointer(&ground);
}

static struct spl_verdict_case case_of(const struct spl_ground *ground, struct spl_day on,
                                       struct spl_day seen_from,
                                       const struct spl_material *material)
{
    const struct spl_site *site = ground->site;
    return (struct spl_verdict_case){
        .day = on,
        .seen_from = seen_from,
        .today = ground->today,
        .site = site->name,
        .evidence = site->uuid,
        .lat = site->lat,
        .uncertainty_m = site->accuracy_m,
        .own = site->own,
        .contaminated = site->contaminated,
        .contaminated_on = site->contaminated_on,
        .part = material != NULL ? material->part : SPL_PART_ANY,
        .water_plant = material != NULL && material->plant->water_plant,
        .hazards = ground->near.hazards,
        .layers = ground->near.layers,
        .notes = ground->notes,
        .permissions = ground->permissions,
    };
}

/* The same of the place as a colleague corrects it. */
static struct spl_verdict_case other_case(const struct spl_ground *ground, guint i,
                                          const struct spl_verdict_case *asked)
{
    const struct spl_site *site = &g_array_index(ground->sites, struct spl_site, i);
    const struct spl_ground_near *near = &g_array_index(ground->nears, struct spl_ground_near, i);
    struct spl_verdict_case other = *asked;

    other.lat = site->lat;
    other.uncertainty_m = site->accuracy_m;
    other.own = site->own;
    other.hazards = near->hazards;
    other.layers = near->layers;
    return other;
}

static guint n_others(const struct spl_ground *ground)
{
    return ground->sites != NULL ? ground->sites->len : 0;
}

static gboolean is_told(const GArray *reasons, const struct spl_reason *reason)
{
    for (guint i = 0; i < reasons->len; i++) {
        const struct spl_reason *one = &g_array_index(reasons, struct spl_reason, i);

        if (one->kind == reason->kind && one->verdict == reason->verdict &&
            g_strcmp0(one->evidence, reason->evidence) == 0)
            return TRUE;
    }
    return FALSE;
}

/* Of several readings of the place the worst counts, with what speaks against each. */
static void judge_worst(const struct spl_ground *ground, const struct spl_verdict_case *asked,
                        struct spl_verdict_result *result)
{
    spl_verdict_judge(asked, result);
    for (guint i = 0; i < n_others(ground); i++) {
        struct spl_verdict_case other = other_case(ground, i, asked);
        struct spl_verdict_result judged;

        spl_verdict_judge(&other, &judged);
        if (judged.verdict > result->verdict) {
            struct spl_verdict_result milder = *result;

            *result = judged;
            judged = milder;
        }
        for (guint k = 0; k < judged.reasons->len; k++) {
            struct spl_reason *reason = &g_array_index(judged.reasons, struct spl_reason, k);
            struct spl_reason copy;

            if (reason->verdict == SPL_VERDICT_CLEAR || is_told(result->reasons, reason))
                continue;
            spl_record_copy(&spl_reason_shape, reason, &copy);
            g_array_append_val(result->reasons, copy);
        }
        spl_verdict_result_clear(&judged);
    }
}

static enum spl_verdict worst_grade(const struct spl_ground *ground,
                                    const struct spl_verdict_case *asked)
{
    enum spl_verdict worst = spl_verdict_grade(asked);

    for (guint i = 0; i < n_others(ground); i++) {
        struct spl_verdict_case other = other_case(ground, i, asked);

        worst = MAX(worst, spl_verdict_grade(&other));
    }
    return worst;
}

void spl_ground_verdict(const struct spl_ground *ground, struct spl_day on,
                        const struct spl_material *material, struct spl_verdict_result *result)
{
    struct spl_verdict_case asked = case_of(ground, on, SPL_DAY_NONE, material);

    judge_worst(ground, &asked, result);
}

void spl_ground_look_back(const struct spl_ground *ground, struct spl_day on,
                          const struct spl_material *material, struct spl_verdict_result *result)
{
    struct spl_verdict_case asked = case_of(ground, on, ground->today, material);

    judge_worst(ground, &asked, result);
}

enum spl_verdict spl_ground_look_back_grade(const struct spl_ground *ground, struct spl_day on,
                                            const struct spl_material *material)
{
    struct spl_verdict_case asked = case_of(ground, on, ground->today, material);

    return worst_grade(ground, &asked);
}

char *spl_ground_speaker(const struct spl_ground *ground, gboolean of_leave)
{
    const GArray *notes = ground->notes, *leaves = ground->permissions;
    const char *who = NULL;

    for (guint i = notes->len; i > 0 && !of_leave && who == NULL; i--)
        who = g_array_index(notes, struct spl_spray_note, i - 1).source;
    for (guint i = leaves->len; i > 0 && who == NULL; i--)
        who = g_array_index(leaves, struct spl_permission, i - 1).by;
    return g_strdup(who);
}

char *spl_ground_whom(const struct spl_ground *ground)
{
    const GArray *notes = ground->notes;

    for (guint i = notes->len; i > 0; i--) {
        const struct spl_spray_note *note = &g_array_index(notes, struct spl_spray_note, i - 1);

        if (note->kind != SPL_SPRAY_SPRAYED)
            return g_strdup(note->source);
    }
    return spl_ground_speaker(ground, TRUE);
}

enum spl_verdict spl_ground_worst_grade(const struct spl_ground *ground, struct spl_day on,
                                        const struct spl_material *material)
{
    struct spl_verdict_case asked = case_of(ground, on, SPL_DAY_NONE, material);

    return worst_grade(ground, &asked);
}

gboolean spl_ground_judge(struct spl_house *house, const struct spl_site *site, struct spl_day on,
                          const struct spl_material *material, struct spl_verdict_result *result,
                          GError **error)
{
    g_autoptr(spl_ground) ground = spl_ground_load(house, site, error);

    if (ground == NULL)
        return FALSE;
    spl_ground_verdict(ground, on, material, result);
    return TRUE;
}

char *spl_ground_reasons_json(const struct spl_verdict_result *result)
{
    return spl_list_json(&spl_reason_shape, result->reasons);
}

GArray *spl_ground_reasons_read(const char *json)
{
    return spl_list_read_json(&spl_reason_shape, json);
}

char *spl_ground_why(const struct spl_verdict_result *result)
{
    GString *why = g_string_new(NULL);

    for (guint i = 0; i < result->reasons->len; i++) {
        const struct spl_reason *reason = &g_array_index(result->reasons, struct spl_reason, i);

        if (reason->verdict != SPL_VERDICT_CLEAR)
            g_string_append_printf(why, "%s%s", why->len > 0 ? "; " : "", reason->what);
    }
    if (why->len == 0)
        g_string_append(why, spl_verdict_words(result->verdict));
    return g_string_free(why, FALSE);
}

/* Of the worst reason that has one; NULL: none has. */
static struct spl_next *first_next(const GArray *reasons)
{
    for (guint i = 0; i < reasons->len; i++) {
        const struct spl_next *next = g_array_index(reasons, struct spl_reason, i).next;

        if (next != NULL)
            return spl_next_copy(next);
    }
    return NULL;
}

void spl_ground_refuse(GError **error, struct spl_verdict_result *result, const char *format, ...)
{
    g_autofree char *why = spl_ground_why(result), *sentence = NULL;
    struct spl_next *next;
    va_list values;

    va_start(values, format);
    sentence = g_strdup_vprintf(format, values);
    va_end(values);
    g_set_error(error, SPL_ERROR, SPL_ERROR_CLOSED, "%s: %s", sentence, why);
    next = first_next(result->reasons);
    spl_error_explain(error, NULL, next, g_steal_pointer(&result->reasons));
}

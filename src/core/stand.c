/* SPDX-License-Identifier: MIT
 *
 * Allowances of stands.
 */
#include "core/stand.h"

#include <math.h>

#include "base/amount.h"

/* What one plant, and one fully covered m2, bear of a part, fresh: from memory, rough on purpose;
 * who knows the stand says its grams. */
struct bearing {
    enum spl_part part;
    gboolean woody; /* shrubs, climbers and trees */
    double plant_g, m2_g;
};
static const struct bearing bearings[] = {
    {SPL_PART_LEAF, FALSE, 15, 500},
    {SPL_PART_LEAF, TRUE, 1000, 400},
    {SPL_PART_FLOWER, FALSE, 8, 150},
    {SPL_PART_FLOWER, TRUE, 1500, 300},
    {SPL_PART_HERB, FALSE, 40, 1000},
    {SPL_PART_HERB, TRUE, 1500, 600},
    {SPL_PART_TOPS, FALSE, 10, 300},
    {SPL_PART_TOPS, TRUE, 800, 300},
    {SPL_PART_ROOT, FALSE, 30, 600},
    {SPL_PART_ROOT, TRUE, 500, 500},
    {SPL_PART_FRUIT, FALSE, 20, 200},
    {SPL_PART_FRUIT, TRUE, 2000, 500},
    {SPL_PART_SEED, FALSE, 3, 40},
    {SPL_PART_SEED, TRUE, 500, 100},
    {SPL_PART_BARK, FALSE, 0, 0},
    {SPL_PART_BARK, TRUE, 500, 200},
    {SPL_PART_BUD, FALSE, 2, 30},
    {SPL_PART_BUD, TRUE, 200, 60},
    {SPL_PART_SPRING_ROOT, FALSE, 30, 600},
    {SPL_PART_SPRING_ROOT, TRUE, 500, 500},
    {SPL_PART_WHOLE, FALSE, 60, 1200},
    {SPL_PART_WHOLE, TRUE, 500, 500},
    {SPL_PART_SAP, FALSE, 0, 0},
    {SPL_PART_SAP, TRUE, 3000, 100},
};

/* One in twenty: Wagner 1995. Used where the table gives no share. */
#define SHARE_UNKNOWN 0.05

static const struct bearing *bearing_of(const struct spl_material *material)
{
    gboolean woody = material->plant != NULL && material->plant->habit >= SPL_HABIT_CLIMBER;

    for (gsize i = 0; i < G_N_ELEMENTS(bearings); i++) {
        if (bearings[i].part == material->part && bearings[i].woody == woody)
            return &bearings[i];
    }
    return &bearings[0];
}

double spl_stand_plant_g(const struct spl_material *material)
{
    if (spl_part_is_dug(material->part) && spl_figure_is_set(material->piece_g))
        return material->piece_g.value;
    return bearing_of(material)->plant_g;
}

double spl_stand_m2_g(const struct spl_material *material)
{
    return bearing_of(material)->m2_g;
}

gboolean spl_stand_part_ends_plant(const struct spl_material *material)
{
    return spl_part_is_dug(material->part);
}

struct spl_stand spl_stand_unknown(void)
{
    struct spl_stand stand = {.plants = -1, .area_m2 = NAN, .cover_frac = NAN, .share_frac = NAN};

    for (int p = 0; p < SPL_PARTS; p++)
        stand.grams[p] = NAN;
    return stand;
}

gboolean spl_stand_is_bed(const struct spl_stand *stand)
{
    return isfinite(stand->share_frac) && stand->share_frac >= 1;
}

static double share_of(const struct spl_stand *stand, const struct spl_material *material)
{
    if (isfinite(stand->share_frac))
        return stand->share_frac;
    return spl_figure_is_set(material->share_frac) ? material->share_frac.value : SHARE_UNKNOWN;
}

/* Fresh g of the part on a stand that has lost `gone` of its plants to the spade. */
static double bears(const struct spl_stand *stand, const struct spl_material *material, double gone,
                    char **basis)
{
    double said = stand->grams[material->part];
    char *text = NULL;
    double grams = NAN;

    if (isfinite(said)) {
        g_autofree char *mass = spl_mass_format(said);

        grams = said;
        text = g_strdup_printf("%s said of the stand", mass);
    } else if (stand->plants >= 0) {
        g_autofree char *each = spl_mass_exact(spl_stand_plant_g(material));

        grams = stand->plants * spl_stand_plant_g(material);
        text = g_strdup_printf("%d plants x %s", stand->plants, each);
    } else if (isfinite(stand->area_m2) && isfinite(stand->cover_frac)) {
        g_autofree char *area = spl_area_format(stand->area_m2 * stand->cover_frac);
        g_autofree char *one = spl_area_format(1);
        g_autofree char *each = spl_mass_format(spl_stand_m2_g(material));

        grams = stand->area_m2 * stand->cover_frac * spl_stand_m2_g(material);
        text = g_strdup_printf("%s covered, %s on each %s", area, each, one);
    }
    if (basis != NULL && text != NULL && gone > 0)
        *basis = g_strdup_printf("%s, less %.0f %% dug before", text, 100 * MIN(gone, 1));
    else if (basis != NULL)
        *basis = g_strdup(text);
    g_free(text);
    return isnan(grams) ? NAN : grams * MAX(1 - gone, 0);
}

/* The fraction of the plants that was dug before `season`. */
static double dug_before(const struct spl_stand *stand, const GArray *takings, int season)
{
    double gone = 0;

    for (guint i = 0; takings != NULL && i < takings->len; i++) {
        const struct spl_stand_taking *taking = &g_array_index(takings, struct spl_stand_taking, i);
        double all;

        if (taking->material == NULL || taking->season >= season ||
            !spl_stand_part_ends_plant(taking->material))
            continue;
        all = bears(stand, taking->material, 0, NULL);
        if (all > 0)
            gone += taking->grams / all;
    }
    return MIN(gone, 1);
}

/* The most that may be taken of the part alone in a season. */
static double allowance_of(const struct spl_stand *stand, const struct spl_material *material,
                           double gone)
{
    double grams = bears(stand, material, gone, NULL), share = share_of(stand, material);

    if (isnan(grams))
        return 0;
    /* Whole plants go to the spade: one of twenty may, one of nineteen may not. */
    if (spl_stand_part_ends_plant(material) && stand->plants >= 0 &&
        isnan(stand->grams[material->part]))
        return floor(stand->plants * (1 - gone) * share + 1e-9) * spl_stand_plant_g(material);
    return grams * share;
}

static void refuse(struct spl_stand_allowance *a, enum spl_stand_refusal refusal, char *reason)
{
    a->refusal = refusal;
    a->allowance_g = 0;
    a->left_g = 0;
    g_free(a->reason);
    a->reason = reason;
}

/* The first season in which a part that comes back slowly may be taken again; 0: at once. What is
 * taken on several days of one season is one taking. */
static int back_in(const struct spl_material *material, const GArray *takings, int season,
                   int *taken_in)
{
    int last = 0;

    if (!spl_figure_is_set(material->return_years))
        return 0;
    for (guint i = 0; takings != NULL && i < takings->len; i++) {
        const struct spl_stand_taking *taking = &g_array_index(takings, struct spl_stand_taking, i);

        if (taking->material == material && taking->season < season && taking->grams > 0)
            last = MAX(last, taking->season);
    }
    *taken_in = last;
    return last > 0 ? last + (int)ceil(material->return_years.value) : 0;
}

/* Behind what is said already: that not all is weighed (`unsure` grams of it), that others picked.
 */
static void tell_takings(struct spl_stand_allowance *a, double unsure, double others)
{
    g_autoptr(GString) words = g_string_new(a->reason);

    if (unsure > 0) {
        g_autofree char *least = spl_mass_format(a->taken_g - unsure);
        g_autofree char *most = spl_mass_format(a->taken_g);

        g_string_append_printf(words,
                               "%staken: %s to %s, as not all of it is weighed; the most counts "
                               "until it is",
                               words->len > 0 ? "; " : "", least, most);
    }
    if (others > 0)
        g_string_append_printf(words, "%sothers picked %.0f %% of what may be taken",
                               words->len > 0 ? "; " : "", 100 * others);
    g_free(a->reason);
    a->reason = words->len > 0 ? g_string_free(g_steal_pointer(&words), FALSE) : NULL;
}

void spl_stand_allowance(const struct spl_stand *stand, const struct spl_material *material,
                         const GArray *takings, int season, struct spl_stand_allowance *allowance)
{
    struct spl_stand_allowance *a = allowance;
    double gone = dug_before(stand, takings, season);
    gboolean woody = material->plant != NULL && (material->plant->habit == SPL_HABIT_SHRUB ||
                                                 material->plant->habit == SPL_HABIT_TREE);
    gboolean bed = spl_stand_is_bed(stand);
    int fewest = bed ? 0 : woody ? SPL_STAND_WOODY_FEWEST : SPL_STAND_PLANTS_FEWEST;
    double unsure = 0, others = 0;
    int taken_in = 0, again = bed ? 0 : back_in(material, takings, season, &taken_in);

    *a = (struct spl_stand_allowance){.plants = -1};
    a->share_frac = share_of(stand, material);
    a->bears_g = bears(stand, material, gone, &a->basis);
    a->allowance_g = allowance_of(stand, material, gone);
    for (guint i = 0; takings != NULL && i < takings->len; i++) {
        const struct spl_stand_taking *taking = &g_array_index(takings, struct spl_stand_taking, i);
        double most;

        if (taking->season != season)
            continue;
        if (taking->material == NULL) {
            a->used_frac += taking->share;
            others += taking->share;
            continue;
        }
        if (taking->material == material) {
            a->taken_g += taking->grams;
            unsure += taking->unsure_g;
        }
        most = allowance_of(stand, taking->material, gone);
        if (taking->grams > 0)
            a->used_frac += most > 0 ? taking->grams / most : 1;
    }
    a->left_g = MAX(1 - a->used_frac, 0) * a->allowance_g;
    if (stand->plants >= 0)
        a->plants = (int)floor(stand->plants * (1 - gone) + 1e-9);
    if (!bed && a->plants >= 0 &&
        a->plants < (woody ? SPL_STAND_WOODY_CAUTION : SPL_STAND_PLANTS_CAUTION)) {
        a->caution = TRUE;
        a->reason = g_strdup_printf("only %d plants: take less than the share, and look for a "
                                    "larger stand",
                                    a->plants);
    }
    tell_takings(a, unsure, others);
    if (isnan(a->bears_g))
        refuse(a, SPL_STAND_UNSIZED, g_strdup("nobody has said how large the stand is: count it"));
    else if (a->plants >= 0 && a->plants < fewest)
        refuse(a, stand->plants < fewest ? SPL_STAND_FEW : SPL_STAND_DUG,
               g_strdup_printf("%d plants are fewer than %d: leave them", a->plants, fewest));
    if (again > season)
        refuse(a, SPL_STAND_RESTS,
               g_strdup_printf("taken in %d; what comes back slowly rests: again in %d (%s)",
                               taken_in, again, material->return_years.source));
    if (stand->rest_until > season)
        refuse(a, SPL_STAND_RESTS, g_strdup_printf("rests until %d", stand->rest_until));
}

void spl_stand_allowance_clear(struct spl_stand_allowance *allowance)
{
    g_clear_pointer(&allowance->basis, g_free);
    g_clear_pointer(&allowance->reason, g_free);
}

/* SPDX-License-Identifier: MIT
 *
 * Whether a preparation keeps. The limits of strength are those of the preparation's row; what only
 * words can tell (denatured spirit, fresh herb in oil) is judged here.
 */
#include "core/keeping.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/amount.h"
#include "core/water.h"
#include "simpling/error.h"

/* Acid of 4 % keeps alone (US FDA CPG 525.825), sugar of 65 % by mass keeps alone (USP syrup). That
 * shares of the two add up is common practice, no source. */
#define OXYMEL_ACID 0.04
#define OXYMEL_SUGAR 0.65

static const struct spl_field finding_fields[] = {
    SPL_FIELD(spl_finding, text, SPL_TEXT, "text", "keeping"),
};
const struct spl_shape spl_finding_shape = SPL_SHAPE("finding", spl_finding, finding_fields);

void spl_keeping_ask_init(struct spl_keeping_ask *ask)
{
    memset(ask, 0, sizeof *ask);
    ask->poured_frac = ask->final_frac = ask->acid_frac = ask->sugar_frac = NAN;
    ask->water_frac = ask->water_activity = ask->honey_room_g = NAN;
    ask->days_since_picked = -1;
}

static void add(GArray *findings, enum spl_finding_grade grade, const char *format, ...)
    G_GNUC_PRINTF(3, 4);
static void add(GArray *findings, enum spl_finding_grade grade, const char *format, ...)
{
    struct spl_finding finding = {.grade = grade};
    va_list args;

    va_start(args, format);
    finding.text = g_strdup_vprintf(format, args);
    va_end(args);
    g_array_append_val(findings, finding);
}

static void judge_poison(const struct spl_keeping_ask *ask, GArray *findings)
{
    if (ask->poison == NULL)
        return;
    if (ask->outside_use)
        add(findings, SPL_FINDING_CAUTION,
            "made with %s spirit: for outside use only, never by mouth; the label must say so",
            ask->poison);
    else if (ask->poison_close)
        add(findings, SPL_FINDING_REFUSED,
            "'%s' is spelt like '%s', which must not be drunk: take drinkable spirit and name it "
            "otherwise, or say that it is for outside use",
            ask->poison_in, ask->poison);
    else
        add(findings, SPL_FINDING_REFUSED,
            "'%s' names spirit that must not be drunk (%s): take drinkable spirit, or say that it "
            "is for outside use",
            ask->poison_in, ask->poison);
}

static void judge_home_made(const struct spl_keeping_ask *ask, GArray *findings)
{
    if (ask->home_made == NULL ||
        (ask->liquid != SPL_LIQUID_VINEGAR && ask->liquid != SPL_LIQUID_OXYMEL))
        return;
    add(findings, SPL_FINDING_REFUSED,
        "'%s' %s (%s), and its strength is only known when its acid was titrated: say how "
        "(titrated), on which day and who did it, or take a bought vinegar that states 5 %% or "
        "more",
        ask->home_made_in,
        ask->home_made_close ? "is spelt like one's own making" : "is of one's own making",
        ask->home_made);
}

/* What the strength counts and how to make it stronger, for the messages. */
static const char *of_what(enum spl_liquid liquid)
{
    switch (liquid) {
    case SPL_LIQUID_SPIRIT:
        return "vol alcohol";
    case SPL_LIQUID_VINEGAR:
    case SPL_LIQUID_OXYMEL:
        return "acid";
    case SPL_LIQUID_GLYCEROL:
        return "vol glycerol";
    case SPL_LIQUID_SYRUP:
        return "sugar by mass";
    default:
        return "";
    }
}

static const char *cure(enum spl_liquid liquid)
{
    switch (liquid) {
    case SPL_LIQUID_SPIRIT:
        return "take stronger spirit, less herb, or wilt it first";
    case SPL_LIQUID_VINEGAR:
    case SPL_LIQUID_OXYMEL:
        return "take less herb, stronger vinegar, or wilted herb";
    case SPL_LIQUID_GLYCEROL:
        return "take undiluted glycerol, less herb, or dried herb";
    case SPL_LIQUID_SYRUP:
        return "dissolve more sugar, or add alcohol by the free-water rule";
    default:
        return "";
    }
}

static void judge_strength(const struct spl_keeping_ask *ask, GArray *findings)
{
    const struct spl_preparation *row = ask->preparation;
    double final = ask->liquid == SPL_LIQUID_OXYMEL ? (double)NAN : ask->final_frac;

    if (row == NULL)
        return;
    if (ask->poured_frac < row->poured_floor_frac.value)
        add(findings, SPL_FINDING_REFUSED,
            "%.1f %% %s poured on is too weak for %s, which needs at least %.0f %%: take a "
            "stronger "
            "one",
            ask->poured_frac * 100.0, of_what(ask->liquid), row->name,
            row->poured_floor_frac.value * 100.0);
    if (ask->liquid == SPL_LIQUID_SYRUP && ask->ethanol_missing_ml <= 0.0 &&
        !isnan(ask->ethanol_missing_ml) && ask->final_frac < row->final_floor_frac.value)
        return; /* the free water holds enough alcohol */
    if (final < row->final_floor_frac.value) {
        g_autofree char *missing = spl_volume_format(ask->ethanol_missing_ml);
        g_autofree char *more = ask->liquid == SPL_LIQUID_SYRUP && ask->ethanol_missing_ml > 0.0
                                    ? g_strdup_printf(" (%s of pure alcohol)", missing)
                                    : g_strdup("");

        add(findings, SPL_FINDING_OVERRIDE,
            "it ends at %.1f %% %s; under %.0f %% %s is not taken to keep: %s%s", final * 100.0,
            of_what(ask->liquid), row->final_floor_frac.value * 100.0, row->name, cure(ask->liquid),
            more);
    } else if (final < row->final_caution_frac.value) {
        add(findings, SPL_FINDING_CAUTION,
            "it ends at %.1f %% %s, which keeps only just (%.0f %% is on the safe side): %s",
            final * 100.0, of_what(ask->liquid), row->final_caution_frac.value * 100.0,
            cure(ask->liquid));
    }
}

static void judge_oxymel(const struct spl_keeping_ask *ask, GArray *findings)
{
    double keeps = ask->acid_frac / OXYMEL_ACID + ask->sugar_frac / OXYMEL_SUGAR;

    if (keeps < 1.0)
        add(findings, SPL_FINDING_OVERRIDE,
            "acid of %.1f %% and sugar of %.0f %% together do not keep an oxymel: take less herb, "
            "more honey, or stronger vinegar",
            ask->acid_frac * 100.0, ask->sugar_frac * 100.0);
    if (ask->fresh)
        add(findings, SPL_FINDING_CAUTION,
            "an oxymel of fresh herb is kept cold and used within three months (no source: check "
            "it)");
}

/* What is kept by sugar or glycerol and would be a danger closed up is refused; else what its water
 * means is said. Vinegar's acid keeps botulism out of an oxymel (pH under 4.6), not yeasts. */
static void judge_water(const struct spl_keeping_ask *ask, GArray *findings)
{
    double activity = ask->water_activity;
    const char *words;

    if (isnan(activity))
        return;
    words = spl_water_activity_words(activity);
    if (ask->liquid == SPL_LIQUID_OXYMEL)
        add(findings, SPL_FINDING_CAUTION, "acid %.1f %%, water activity %.2f: %s",
            ask->acid_frac * 100.0, activity,
            activity > SPL_WATER_COLD
                ? "the acid keeps bacteria down, yeasts can still grow: keep it cold"
                : "acid and sugar keep it");
    else if (activity > SPL_WATER_DANGER)
        add(findings, SPL_FINDING_REFUSED, "its water activity comes to %.2f: %s; %s", activity,
            words,
            ask->liquid == SPL_LIQUID_HONEY ? "take dried herb, or make an oxymel of it"
                                            : cure(ask->liquid));
    else if (ask->liquid != SPL_LIQUID_HONEY)
        add(findings, SPL_FINDING_CAUTION, "its water activity comes to %.2f: %s", activity, words);
}

/* Honey keeps by having no water to spare (core/water.h); garlic kin, roots and fruit never go into
 * it fresh (K-State, You Asked It, 15 October 2020: garlic in honey is not judged safe). */
static void judge_honey(const struct spl_keeping_ask *ask, GArray *findings)
{
    g_autofree char *room = NULL;

    if (ask->fresh && ask->dry_only != NULL)
        add(findings, SPL_FINDING_REFUSED,
            "%s: fresh or wilted it can breed botulism in honey that it has wetted; it goes into "
            "honey only dried through, or into an oxymel",
            ask->dry_only);
    if (isnan(ask->water_frac))
        return;
    room = !ask->fresh || isnan(ask->honey_room_g) ? g_strdup("")
           : ask->honey_room_g < 0.05
               ? g_strdup("; this honey bears no fresh herb at all")
               : g_strdup_printf("; of this herb fresh it bears %.1f g up to %.0f %%",
                                 ask->honey_room_g, SPL_HONEY_KEEPS_FRAC * 100.0);
    if (ask->water_frac > SPL_HONEY_MOST_FRAC)
        add(findings, SPL_FINDING_REFUSED,
            "the honey comes to %.1f %% water (water activity %.2f) and ferments over %.0f %%%s: "
            "dry the herb, take less of it, or make an oxymel or a syrup",
            ask->water_frac * 100.0, ask->water_activity, SPL_HONEY_MOST_FRAC * 100.0, room);
    else if (ask->water_frac > SPL_HONEY_KEEPS_FRAC)
        add(findings, SPL_FINDING_CAUTION,
            "the honey comes to %.1f %% water (water activity %.2f): up to %.0f %% it keeps, over "
            "that yeasts can begin%s; keep it cold and use it within two months",
            ask->water_frac * 100.0, ask->water_activity, SPL_HONEY_KEEPS_FRAC * 100.0, room);
    else
        add(findings, SPL_FINDING_CAUTION,
            "the honey comes to %.1f %% water (water activity %.2f): %s%s", ask->water_frac * 100.0,
            ask->water_activity, spl_water_activity_words(ask->water_activity), room);
}

char *spl_keeping_stale(int days_since_picked)
{
    if (days_since_picked <= SPL_FRESH_DAYS_MOST)
        return NULL;
    return g_strdup_printf("was picked %d days before and is not fresh any more: only what was "
                           "dried, wilted on the rack, frozen or heated within %d days is put up "
                           "so late; where that was done, note it with its day",
                           days_since_picked, SPL_FRESH_DAYS_MOST);
}

gboolean spl_keeping_dry_only(const struct spl_material *material)
{
    switch (material->part) {
    case SPL_PART_ROOT:
    case SPL_PART_SPRING_ROOT:
    case SPL_PART_WHOLE:
    case SPL_PART_SAP:
    case SPL_PART_BARK:
    case SPL_PART_FRUIT:
    case SPL_PART_SEED:
        return TRUE;
    default:
        return strcmp(material->plant->family, "Amaryllidaceae") == 0;
    }
}

static void judge_oil(const struct spl_keeping_ask *ask, GArray *findings)
{
    if (!ask->fresh)
        return;
    if (ask->oil_exception != NULL && ask->oil_exception[0] != '\0')
        add(findings, SPL_FINDING_CAUTION,
            "%s go fresh into oil by tradition only: cover with cloth, not a lid, decant from the "
            "water, keep cold, and use it within four months of straining; fresh herb under oil "
            "can breed botulism",
            ask->oil_exception);
    else if (ask->dry_only != NULL)
        add(findings, SPL_FINDING_REFUSED,
            "%s: fresh or wilted it can breed botulism under oil (no air, no acid); it goes into "
            "oil only dried through",
            ask->dry_only);
    else
        add(findings, SPL_FINDING_OVERRIDE,
            "herb that is not dried through can breed botulism under oil (no air, no acid): dry it "
            "first; else the jar stands in the refrigerator from the first hour, is strained "
            "within 4 days of being put up, and what is not used by then is thrown away");
}

static gint compare_findings(gconstpointer a, gconstpointer b)
{
    const struct spl_finding *left = a, *right = b;

    return (gint)right->grade - (gint)left->grade;
}

/* The list clears its elements with itself. */
static void finding_clear(gpointer element)
{
    spl_record_clear(&spl_finding_shape, element);
}

GArray *spl_keeping_judge(const struct spl_keeping_ask *ask)
{
    GArray *findings = spl_list_new(&spl_finding_shape);

    g_array_set_clear_func(findings, finding_clear);
    judge_poison(ask, findings);
    judge_home_made(ask, findings);
    judge_strength(ask, findings);
    if (ask->liquid == SPL_LIQUID_OXYMEL)
        judge_oxymel(ask, findings);
    if (spl_liquid_is_oil(ask->liquid))
        judge_oil(ask, findings);
    if (ask->liquid == SPL_LIQUID_WATER)
        add(findings, SPL_FINDING_CAUTION,
            "nothing in it keeps it: 12 hours at room temperature, two days cold from the first "
            "hour, then it is thrown away");
    judge_water(ask, findings);
    if (ask->liquid == SPL_LIQUID_HONEY)
        judge_honey(ask, findings);
    if (ask->fresh && ask->days_since_picked > SPL_FRESH_DAYS)
        add(findings, SPL_FINDING_CAUTION,
            "put up %d days after picking with no wilting or drying noted: fresh herb is covered "
            "within a day",
            ask->days_since_picked);
    /* A stable order: GLib's array sort keeps equal elements as they were. */
    g_array_sort(findings, compare_findings);
    return findings;
}

gboolean spl_keeping_allow(const GArray *findings, const char *hold, GError **error)
{
    gboolean held = hold != NULL && hold[0] != '\0';

    for (guint i = 0; findings != NULL && i < findings->len; i++) {
        const struct spl_finding *finding = &g_array_index(findings, struct spl_finding, i);

        if (finding->grade == SPL_FINDING_REFUSED) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s", finding->text);
            return FALSE;
        }
        if (finding->grade == SPL_FINDING_OVERRIDE && !held) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                        "%s; or keep it on your own judgement and say why (hold)", finding->text);
            return FALSE;
        }
    }
    return TRUE;
}

struct spl_day spl_keeping_use_by(struct spl_day made, double days, struct spl_day earliest_parent)
{
    struct spl_day own =
        days > 0.0 && days < 1e6 ? spl_day_add(made, (int)floor(days)) : SPL_DAY_NONE;

    /* No day sorts last, so the earlier of the two is the one that is set. */
    return spl_day_compare(own, earliest_parent) <= 0 ? own : earliest_parent;
}

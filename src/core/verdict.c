/* SPDX-License-Identifier: MIT
 *
 * The verdict rules of core/verdict.h. One function for each kind of evidence; each tells a grade,
 * and, where somebody reads it, the words. The same functions give the grade on a later day, and so
 * the day on which the verdict next changes.
 */
#include "core/verdict.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/amount.h"
#include "core/drift.h"

/* A position known worse than this is doubtful: it closes no further out, but asks further out. */
#define DOUBTFUL_M 100.0
/* What a position that nobody has put a figure to counts as when it is asked about. */
#define UNKNOWN_M 1000.0
/* The days before a planned spraying in which one asks: it may be done early. */
#define PLANNED_AHEAD_DAYS 14
#define HOLD_DEFAULT_DAYS 1095
/* How long a word that nothing was sprayed holds (common practice, no source). */
#define WORD_GROWING_DAYS 60
#define WORD_RESTING_DAYS 180
#define WORD_OWN_DAYS 365

#define ORGANIC_RULE "7 CFR 205.207(a); Regulation (EU) 2018/848 Annex II: three years without"

static const struct spl_field reason_fields[] = {
    SPL_FIELD(spl_reason, verdict, SPL_TEXT, "verdict", "verdict"),
    SPL_FIELD(spl_reason, what, SPL_TEXT, "what", "why"),
    SPL_FIELD_NUM(spl_reason, distance_m, 1, "distance_m", "m away"),
    SPL_FIELD(spl_reason, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_reason, rule, SPL_TEXT, "rule", "rule"),
    SPL_FIELD(spl_reason, source, SPL_TEXT, "source", "source"),
};
const struct spl_shape spl_reason_shape = SPL_SHAPE("reason", spl_reason, reason_fields);

const char *spl_verdict_name(enum spl_verdict verdict)
{
    switch (verdict) {
    case SPL_VERDICT_CLEAR:
        return "clear";
    case SPL_VERDICT_ASK:
        return "ask";
    case SPL_VERDICT_CLOSED:
        break;
    }
    return "closed";
}

gboolean spl_verdict_parse(const char *name, enum spl_verdict *verdict)
{
    for (int v = SPL_VERDICT_CLEAR; v <= SPL_VERDICT_CLOSED; v++)
        if (g_strcmp0(name, spl_verdict_name((enum spl_verdict)v)) == 0) {
            *verdict = (enum spl_verdict)v;
            return TRUE;
        }
    return FALSE;
}

const char *spl_verdict_words(enum spl_verdict verdict)
{
    switch (verdict) {
    case SPL_VERDICT_CLEAR:
        return "nothing known against it";
    case SPL_VERDICT_ASK:
        return "ask first";
    case SPL_VERDICT_CLOSED:
        break;
    }
    return "closed";
}

/* ---- judging ---- */

struct judge {
    const struct spl_verdict_case *ground;
    struct spl_day day;
    int hold_days;
    enum spl_verdict worst;
    GArray *reasons; /* NULL: the grade is all that is wanted */
};

/* Notes the grade. The texts are taken over; they are made only when judge->reasons is set. */
static void tell(struct judge *judge, enum spl_verdict grade, double distance_m,
                 struct spl_day date, char *what, char *rule, char *source)
{
    struct spl_reason reason = {.verdict = g_strdup(spl_verdict_name(grade)),
                                .what = what,
                                .distance_m = distance_m,
                                .date = date,
                                .rule = rule,
                                .source = source,
                                .grade = grade};

    g_array_append_val(judge->reasons, reason);
}

static void grade(struct judge *judge, enum spl_verdict verdict)
{
    judge->worst = MAX(judge->worst, verdict);
}

static gboolean is_text(const char *text)
{
    return text != NULL && text[0] != '\0';
}

static char *source_or_unknown(const char *source)
{
    return g_strdup(is_text(source) ? source : "source not noted");
}

static void judge_contamination(struct judge *judge)
{
    const struct spl_verdict_case *ground = judge->ground;

    if (ground->contaminated == NULL)
        return;
    grade(judge, SPL_VERDICT_CLOSED);
    if (judge->reasons != NULL)
        tell(judge, SPL_VERDICT_CLOSED, NAN, ground->contaminated_on,
             g_strdup_printf("marked contaminated: %s", ground->contaminated),
             g_strdup("contaminated ground is closed until the mark is taken off"),
             g_strdup("the site's own record"));
}

/* The last permission noted by the day asked about. */
static const struct spl_permission *current_permission(const struct judge *judge)
{
    const GArray *list = judge->ground->permissions;
    const struct spl_permission *current = NULL;

    for (guint i = 0; list != NULL && i < list->len; i++) {
        const struct spl_permission *one = &g_array_index(list, struct spl_permission, i);

        if (spl_day_is_set(one->on) && one->on.n > judge->day.n)
            continue;
        if (current == NULL || !spl_day_is_set(current->on) ||
            (spl_day_is_set(one->on) && one->on.n >= current->on.n))
            current = one;
    }
    return current;
}

static void judge_permission(struct judge *judge)
{
    const struct spl_verdict_case *ground = judge->ground;
    const struct spl_permission *leave = current_permission(judge);
    enum spl_verdict verdict = SPL_VERDICT_CLEAR;
    gboolean dug = ground->part == SPL_PART_ROOT, over, named, all;
    char until[SPL_DAY_TEXT_SIZE];
    g_autofree char *what = NULL;
    const char *rule;

    over = leave != NULL && leave->given && spl_day_is_set(leave->until) &&
           leave->until.n < judge->day.n;
    all = leave != NULL && (leave->parts & SPL_PART_BIT(SPL_PART_ANY)) != 0;
    named = leave != NULL && (all || (leave->parts & SPL_PART_BIT(ground->part)) != 0);
    if (leave != NULL && !leave->given) {
        verdict = SPL_VERDICT_CLOSED;
        rule = "where gathering is refused the site is closed";
    } else if (dug && !ground->own && (leave == NULL || over || !named)) {
        verdict = SPL_VERDICT_CLOSED;
        rule = "roots are dug only with leave that names roots";
    } else if (ground->own) {
        rule = "ground of one's own needs no leave";
    } else if (leave == NULL || over) {
        verdict = SPL_VERDICT_ASK;
        rule = "without leave that still holds one asks first";
    } else if (ground->part != SPL_PART_ANY && leave->parts != 0 && !named) {
        verdict = SPL_VERDICT_ASK;
        rule = "leave holds for the parts that it names";
    } else {
        rule = "leave to gather holds";
    }
    grade(judge, verdict);
    if (judge->reasons == NULL)
        return;
    if (leave == NULL && ground->own)
        what = g_strdup("ground of one's own");
    else if (leave == NULL)
        what = g_strdup(dug ? "nobody has given leave to dig" : "nobody has given leave to gather");
    else if (!leave->given)
        what = g_strdup_printf("gathering refused by %s",
                               is_text(leave->by) ? leave->by : "the owner");
    else if (over)
        what = g_strdup_printf("leave given by %s ran out on %s",
                               is_text(leave->by) ? leave->by : "the owner",
                               spl_day_format(leave->until, until));
    else if (verdict != SPL_VERDICT_CLEAR)
        what = g_strdup_printf("leave given by %s does not name %s",
                               is_text(leave->by) ? leave->by : "the owner",
                               spl_part_name(ground->part));
    else
        what = g_strdup_printf("%sleave to gather given by %s", leave->written ? "written " : "",
                               is_text(leave->by) ? leave->by : "the owner");
    tell(judge, verdict, NAN, leave != NULL ? leave->on : SPL_DAY_NONE, g_steal_pointer(&what),
         g_strdup(rule),
         g_strdup(leave == NULL
                      ? "no permission noted"
                      : (leave->written ? "permission, in writing" : "permission, by word")));
}

/* ---- what was said about spraying ---- */

/* Does a later word say that nothing was done on this day? */
static const struct spl_spray_note *word_against(const struct judge *judge, struct spl_day planned)
{
    const GArray *notes = judge->ground->notes;

    for (guint i = 0; notes != NULL && i < notes->len; i++) {
        const struct spl_spray_note *note = &g_array_index(notes, struct spl_spray_note, i);

        if (note->kind == SPL_SPRAY_UNSPRAYED && spl_day_is_set(note->since) &&
            spl_day_is_set(note->on) && note->since.n <= planned.n && note->on.n >= planned.n)
            return note;
    }
    return NULL;
}

static char *note_words(const struct spl_spray_note *note, const char *begin)
{
    GString *words = g_string_new(begin);

    if (is_text(note->method))
        g_string_append_printf(words, ", %s", note->method);
    if (is_text(note->product))
        g_string_append_printf(words, ", %s", note->product);
    if (!spl_day_is_set(note->on))
        g_string_append(words, ", nobody knows when");
    return g_string_free(words, FALSE);
}

static void judge_sprayed(struct judge *judge, const struct spl_spray_note *note)
{
    gboolean dated = spl_day_is_set(note->on);

    if (dated && (note->on.n > judge->day.n || judge->day.n - note->on.n > judge->hold_days))
        return; /* not yet, or long enough ago */
    grade(judge, SPL_VERDICT_CLOSED);
    if (judge->reasons != NULL)
        tell(judge, SPL_VERDICT_CLOSED, 0, note->on, note_words(note, "sprayed on the site"),
             dated ? g_strdup_printf("sprayed ground is closed for %d days", judge->hold_days)
                   : g_strdup("ground sprayed at an unknown time is closed"),
             g_strdup_printf("%s; figure: " ORGANIC_RULE,
                             is_text(note->source) ? note->source : "source not noted"));
}

static void judge_planned(struct judge *judge, const struct spl_spray_note *note)
{
    int age;

    if (!spl_day_is_set(note->on)) {
        grade(judge, SPL_VERDICT_CLOSED);
        if (judge->reasons != NULL)
            tell(judge, SPL_VERDICT_CLOSED, 0, SPL_DAY_NONE,
                 note_words(note, "a spraying of the site is planned"),
                 g_strdup("a spraying planned for an unknown day may have been done"),
                 source_or_unknown(note->source));
        return;
    }
    age = judge->day.n - note->on.n;
    if (age < -PLANNED_AHEAD_DAYS || age > judge->hold_days ||
        word_against(judge, note->on) != NULL)
        return;
    grade(judge, age < 0 ? SPL_VERDICT_ASK : SPL_VERDICT_CLOSED);
    if (judge->reasons == NULL)
        return;
    if (age < 0)
        tell(judge, SPL_VERDICT_ASK, 0, note->on,
             note_words(note, "a spraying of the site is planned"),
             g_strdup_printf("%d days before a planned spraying one asks whether it was done early",
                             PLANNED_AHEAD_DAYS),
             source_or_unknown(note->source));
    else
        tell(judge, SPL_VERDICT_CLOSED, 0, note->on,
             note_words(note, "a spraying of the site was planned and nobody has said that it was "
                              "not done"),
             g_strdup_printf("a planned spraying counts as done from its day on, for %d days",
                             judge->hold_days),
             source_or_unknown(note->source));
}

/* The last day on which a word given on `on` holds, for a day in this month. */
static int word_days(const struct judge *judge, struct spl_day day)
{
    int month;

    if (judge->ground->own)
        return WORD_OWN_DAYS;
    spl_day_to_ymd(day, NULL, &month, NULL);
    if (judge->ground->lat < 0)
        month = (month + 5) % 12 + 1; /* half a year on */
    return month >= 3 && month <= 10 ? WORD_GROWING_DAYS : WORD_RESTING_DAYS;
}

static gboolean word_is_in_time(const struct judge *judge, const struct spl_spray_note *note)
{
    if (!spl_day_is_set(note->on))
        return FALSE;
    if (spl_day_is_set(note->until) && note->until.n < judge->day.n)
        return FALSE;
    if (note->on.n >= judge->day.n) /* said later, about a time that holds the day */
        return spl_day_is_set(note->since) && note->since.n <= judge->day.n;
    return judge->day.n - note->on.n <= word_days(judge, judge->day);
}

/* The first day that this word vouches for, with the earlier words that join on to it. */
static struct spl_day word_reach(const struct judge *judge, const struct spl_spray_note *word)
{
    const GArray *notes = judge->ground->notes;
    struct spl_day reach = word->since;
    gboolean joined = TRUE;

    while (joined) {
        joined = FALSE;
        for (guint i = 0; i < notes->len; i++) {
            const struct spl_spray_note *note = &g_array_index(notes, struct spl_spray_note, i);

            if (note->kind == SPL_SPRAY_UNSPRAYED && spl_day_is_set(note->since) &&
                spl_day_is_set(note->on) && note->since.n < reach.n && note->on.n >= reach.n - 1) {
                reach = note->since;
                joined = TRUE;
            }
        }
    }
    return reach;
}

enum word_state { WORD_NONE, WORD_OLD, WORD_OPEN, WORD_SHORT, WORD_GOOD };

static void judge_word(struct judge *judge)
{
    const GArray *notes = judge->ground->notes;
    const struct spl_spray_note *best = NULL;
    enum word_state best_state = WORD_NONE;
    struct spl_day best_reach = SPL_DAY_NONE;
    char first[SPL_DAY_TEXT_SIZE], back[SPL_DAY_TEXT_SIZE];
    g_autofree char *what = NULL;
    g_autofree char *rule = NULL;

    for (guint i = 0; notes != NULL && i < notes->len; i++) {
        const struct spl_spray_note *note = &g_array_index(notes, struct spl_spray_note, i);
        enum word_state state;
        struct spl_day reach = SPL_DAY_NONE;

        if (note->kind != SPL_SPRAY_UNSPRAYED)
            continue;
        if (!word_is_in_time(judge, note))
            state = spl_day_is_set(note->on) && note->on.n > judge->day.n ? WORD_NONE : WORD_OLD;
        else if (!spl_day_is_set(note->since))
            state = WORD_OPEN;
        else {
            reach = word_reach(judge, note);
            state = reach.n <= judge->day.n - judge->hold_days ? WORD_GOOD : WORD_SHORT;
        }
        if (state > best_state || (state == best_state && best != NULL &&
                                   spl_day_is_set(note->on) && note->on.n > best->on.n)) {
            best = state == WORD_NONE ? NULL : note;
            best_state = state;
            best_reach = reach;
        }
    }
    grade(judge, best_state == WORD_GOOD ? SPL_VERDICT_CLEAR : SPL_VERDICT_ASK);
    if (judge->reasons == NULL)
        return;
    switch (best_state) {
    case WORD_NONE:
        what = g_strdup("nobody has said whether it is sprayed");
        rule = g_strdup("unknown is never clear");
        break;
    case WORD_OLD:
        what = g_strdup("the word that it is not sprayed is too old");
        rule = g_strdup_printf(
            "such a word holds %d days in %s, %d otherwise, %d on ground of one's "
            "own, never longer than it says",
            WORD_GROWING_DAYS, judge->ground->lat < 0 ? "September to April" : "March to October",
            WORD_RESTING_DAYS, WORD_OWN_DAYS);
        break;
    case WORD_OPEN:
        what = g_strdup("the word that it is not sprayed does not say since when");
        rule = g_strdup("a word must say since when it holds");
        break;
    case WORD_SHORT:
        what = g_strdup_printf("the word that it is not sprayed reaches back to %s only",
                               spl_day_format(best_reach, first));
        rule = g_strdup_printf("the words must reach back %d days, to %s", judge->hold_days,
                               spl_day_format(spl_day_add(judge->day, -judge->hold_days), back));
        break;
    case WORD_GOOD:
        what =
            g_strdup_printf("said not to be sprayed since %s", spl_day_format(best_reach, first));
        rule = g_strdup_printf("a word in time that reaches back %d days", judge->hold_days);
        break;
    }
    tell(judge, best_state == WORD_GOOD ? SPL_VERDICT_CLEAR : SPL_VERDICT_ASK, NAN,
         best != NULL ? best->on : SPL_DAY_NONE, g_steal_pointer(&what), g_steal_pointer(&rule),
         best != NULL ? source_or_unknown(best->source) : g_strdup("no word noted"));
}

/* ---- what lies near ---- */

/* Of an uncertainty: how much it may close, and how far out it asks. */
static double closing_m(double uncertainty_m)
{
    return isnan(uncertainty_m) ? DOUBTFUL_M : CLAMP(uncertainty_m, 0, DOUBTFUL_M);
}
static double asking_m(double uncertainty_m)
{
    return isnan(uncertainty_m) ? UNKNOWN_M : CLAMP(uncertainty_m, 0, UNKNOWN_M);
}

static char *hazard_words(const struct spl_hazard_near *hazard, double reduced_m, gboolean planned)
{
    const struct spl_method *method = hazard->method;
    GString *words = g_string_new(is_text(hazard->name) ? hazard->name : method->name);
    double raw_m = isnan(hazard->distance_m) ? 0 : hazard->distance_m;
    g_autofree char *raw = spl_number_format(raw_m, raw_m < 10 ? 1 : 0);
    g_autofree char *reduced = spl_number_format(reduced_m, reduced_m < 10 ? 1 : 0);
    enum spl_drift_crop crop;
    enum spl_spray_manner manner;

    if (is_text(hazard->name) && is_text(method->name) && strcmp(hazard->name, method->name) != 0)
        g_string_append_printf(words, " (%s)", method->name);
    if (!method->lasting)
        g_string_append(words, planned                      ? ", planned to be sprayed"
                               : spl_day_is_set(hazard->on) ? ", sprayed"
                                                            : ", sprayed at an unknown time");
    if (is_text(hazard->product))
        g_string_append_printf(words, " with %s", hazard->product);
    if (raw_m <= 0)
        g_string_append(words, ", on the site");
    else
        g_string_append_printf(words, ", %s m away", raw);
    if (raw_m > 0 && strcmp(raw, reduced) != 0)
        g_string_append_printf(words, " (reckoned as %s m, the positions being uncertain)",
                               reduced);
    if (!method->lasting && raw_m > 0 && spl_drift_crop_of(method->slug, &crop)) {
        g_autofree char *share = spl_number_format(spl_drift_pct(crop, reduced_m), 2);

        g_string_append_printf(words, "; drift there in ordinary spraying: %s %% of the dose%s",
                               share,
                               spl_drift_is_extrapolated(crop, reduced_m) ? ", extrapolated" : "");
    }
    if (planned && spl_spray_manner_of(method->slug, &manner)) {
        g_autofree char *zone = spl_number_format(spl_exclusion_zone_m(manner, TRUE, 1), 1);

        g_string_append_printf(words, "; nobody within %s m while it is sprayed", zone);
    }
    return g_string_free(words, FALSE);
}

static char *hazard_source(const struct spl_hazard_near *hazard)
{
    char changed[SPL_DAY_TEXT_SIZE];
    GString *source = g_string_new(is_text(hazard->source) ? hazard->source : "source not noted");

    if (spl_day_is_set(hazard->method_changed))
        g_string_append_printf(source, "; figures of '%s' changed in this book on %s",
                               hazard->method->slug,
                               spl_day_format(hazard->method_changed, changed));
    else if (is_text(hazard->method->source))
        g_string_append_printf(source, "; figures: %s", hazard->method->source);
    return g_string_free(source, FALSE);
}

static void judge_hazard(struct judge *judge, const struct spl_hazard_near *hazard)
{
    const struct spl_method *method = hazard->method;
    double site_m = judge->ground->uncertainty_m;
    double raw_m = isnan(hazard->distance_m) ? 0 : MAX(hazard->distance_m, 0);
    double near_m = MAX(raw_m - closing_m(site_m) - closing_m(hazard->uncertainty_m), 0);
    double maybe_m = MAX(raw_m - asking_m(site_m) - asking_m(hazard->uncertainty_m), 0);
    double closed_m = isnan(method->closed_m) ? G_MAXDOUBLE : method->closed_m;
    double ask_m = isnan(method->ask_m) ? G_MAXDOUBLE : MAX(method->ask_m, closed_m);
    int hold_on = MAX(method->hold_on_days, method->hold_near_days);
    gboolean dated = !method->lasting && spl_day_is_set(hazard->on);
    gboolean planned = dated && hazard->on.n > judge->day.n;
    int age = dated ? judge->day.n - hazard->on.n : 0;
    enum spl_verdict verdict = SPL_VERDICT_CLEAR;
    g_autofree char *rule = NULL;
    g_autofree char *limit = NULL;
    const char *lead = "";

    if (method->water_only && !judge->ground->water_plant)
        return;
    if (dated && (age > hold_on || age < -PLANNED_AHEAD_DAYS))
        return;
    if (method->lasting ? near_m < closed_m || near_m <= 0
        : planned       ? FALSE
        : near_m <= 0   ? TRUE
                        : dated && age <= method->hold_near_days && near_m < closed_m)
        verdict = SPL_VERDICT_CLOSED;
    else if (maybe_m < ask_m || maybe_m <= 0)
        verdict = SPL_VERDICT_ASK;
    if (verdict == SPL_VERDICT_CLEAR)
        return;
    grade(judge, verdict);
    if (judge->reasons == NULL)
        return;
    limit = spl_number_format(verdict == SPL_VERDICT_CLOSED ? closed_m : ask_m, 1);
    if (verdict == SPL_VERDICT_CLOSED && near_m <= 0)
        rule = method->lasting ? g_strdup("on the site itself it is closed, whatever the date")
               : dated         ? g_strdup_printf("sprayed ground is closed for %d days", hold_on)
                               : g_strdup("ground sprayed at an unknown time is closed");
    else if (verdict == SPL_VERDICT_CLOSED)
        rule = method->lasting
                   ? g_strdup_printf("nearer than %s m is closed, whatever the date", limit)
                   : g_strdup_printf("nearer than %s m is closed for %d days", limit,
                                     method->hold_near_days);
    else {
        if (near_m >= ask_m)
            lead = "the position is doubtful; ";
        else if (planned)
            lead = "14 days before a planned spraying; ";
        rule = method->lasting || !dated
                   ? g_strdup_printf("%snearer than %s m is to be asked about", lead, limit)
                   : g_strdup_printf("%snearer than %s m is to be asked about for %d days", lead,
                                     limit, hold_on);
    }
    tell(judge, verdict, raw_m, method->lasting ? SPL_DAY_NONE : hazard->on,
         hazard_words(hazard, near_m, planned), g_steal_pointer(&rule), hazard_source(hazard));
}

static void judge_layer(struct judge *judge, const struct spl_layer_near *layer)
{
    double raw_m = isnan(layer->distance_m) ? 0 : layer->distance_m;
    double maybe_m = raw_m - asking_m(judge->ground->uncertainty_m);
    g_autofree char *what = NULL;

    if (layer->doubtful)
        maybe_m -= UNKNOWN_M;
    if ((!layer->incomplete && !layer->doubtful) ||
        (maybe_m > 0 && !(maybe_m < layer->reach_m) && !isnan(layer->reach_m)))
        return;
    grade(judge, SPL_VERDICT_ASK);
    if (judge->reasons == NULL)
        return;
    if (!layer->incomplete)
        what = g_strdup_printf("the positions in layer '%s' are doubtful", layer->name);
    else if (layer->unread > 0)
        what = g_strdup_printf("layer '%s' is incomplete: %d record%s could not be read%s",
                               layer->name, layer->unread, layer->unread == 1 ? "" : "s",
                               layer->doubtful ? ", and its positions are doubtful" : "");
    else
        what = g_strdup_printf("layer '%s' is incomplete%s", layer->name,
                               layer->doubtful ? ", and its positions are doubtful" : "");
    tell(judge, SPL_VERDICT_ASK, raw_m, layer->imported, g_steal_pointer(&what),
         g_strdup("within reach of a layer with gaps or doubtful positions one asks"),
         source_or_unknown(layer->source));
}

static void judge_position(struct judge *judge)
{
    double uncertainty_m = judge->ground->uncertainty_m;
    g_autofree char *limit = NULL;

    if (uncertainty_m <= DOUBTFUL_M) /* FALSE for NAN */
        return;
    grade(judge, SPL_VERDICT_ASK);
    if (judge->reasons == NULL)
        return;
    limit = spl_number_format(DOUBTFUL_M, 0);
    tell(judge, SPL_VERDICT_ASK, NAN, SPL_DAY_NONE,
         g_strdup(isnan(uncertainty_m) ? "how exact the site's position is has not been noted"
                                       : "the site's position is not known well enough"),
         g_strdup_printf("a position must be known to %s m", limit),
         g_strdup("the site's own record"));
}

static void judge_all(struct judge *judge)
{
    const struct spl_verdict_case *ground = judge->ground;

    judge_contamination(judge);
    judge_permission(judge);
    for (guint i = 0; ground->notes != NULL && i < ground->notes->len; i++) {
        const struct spl_spray_note *note = &g_array_index(ground->notes, struct spl_spray_note, i);

        if (note->kind == SPL_SPRAY_SPRAYED)
            judge_sprayed(judge, note);
        else if (note->kind == SPL_SPRAY_PLANNED)
            judge_planned(judge, note);
    }
    judge_word(judge);
    for (guint i = 0; ground->hazards != NULL && i < ground->hazards->len; i++)
        judge_hazard(judge, &g_array_index(ground->hazards, struct spl_hazard_near, i));
    for (guint i = 0; ground->layers != NULL && i < ground->layers->len; i++)
        judge_layer(judge, &g_array_index(ground->layers, struct spl_layer_near, i));
    judge_position(judge);
}

static struct judge judge_begin(const struct spl_verdict_case *ground, struct spl_day day)
{
    return (struct judge){.ground = ground,
                          .day = day,
                          .hold_days =
                              ground->hold_on_days > 0 ? ground->hold_on_days : HOLD_DEFAULT_DAYS,
                          .worst = SPL_VERDICT_CLEAR};
}

static enum spl_verdict grade_on(const struct spl_verdict_case *ground, struct spl_day day)
{
    struct judge judge = judge_begin(ground, day);

    judge_all(&judge);
    return judge.worst;
}

enum spl_verdict spl_verdict_grade(const struct spl_verdict_case *ground)
{
    return grade_on(ground, ground->day);
}

/* ---- when it next changes ---- */

static void turn(GArray *days, struct spl_day from, struct spl_day base, int after)
{
    struct spl_day day;

    if (!spl_day_is_set(base))
        return;
    day = spl_day_add(base, after);
    if (spl_day_is_set(day) && day.n > from.n)
        g_array_append_val(days, day);
}

/* Every day after this one on which any rule may turn. */
static GArray *turning_days(const struct spl_verdict_case *ground, int hold_days)
{
    GArray *days = g_array_new(FALSE, FALSE, sizeof(struct spl_day));
    struct spl_day from = ground->day;
    int year;

    for (guint i = 0; ground->permissions != NULL && i < ground->permissions->len; i++) {
        const struct spl_permission *leave =
            &g_array_index(ground->permissions, struct spl_permission, i);

        turn(days, from, leave->on, 0);
        turn(days, from, leave->until, 1);
    }
    for (guint i = 0; ground->notes != NULL && i < ground->notes->len; i++) {
        const struct spl_spray_note *note = &g_array_index(ground->notes, struct spl_spray_note, i);

        if (note->kind == SPL_SPRAY_UNSPRAYED) {
            turn(days, from, note->on, 0);
            turn(days, from, note->on, WORD_GROWING_DAYS + 1);
            turn(days, from, note->on, WORD_RESTING_DAYS + 1);
            turn(days, from, note->on, WORD_OWN_DAYS + 1);
            turn(days, from, note->until, 1);
            turn(days, from, note->since, 0);
            turn(days, from, note->since, hold_days);
        } else {
            turn(days, from, note->on, -PLANNED_AHEAD_DAYS);
            turn(days, from, note->on, 0);
            turn(days, from, note->on, hold_days + 1);
        }
    }
    for (guint i = 0; ground->hazards != NULL && i < ground->hazards->len; i++) {
        const struct spl_hazard_near *hazard =
            &g_array_index(ground->hazards, struct spl_hazard_near, i);

        if (hazard->method->lasting)
            continue;
        turn(days, from, hazard->on, -PLANNED_AHEAD_DAYS);
        turn(days, from, hazard->on, 0);
        turn(days, from, hazard->on, hazard->method->hold_near_days + 1);
        turn(days, from, hazard->on,
             MAX(hazard->method->hold_on_days, hazard->method->hold_near_days) + 1);
    }
    /* A word's life turns with the months, north and south; one year of them is enough, as no word
     * outlives it. */
    spl_day_to_ymd(from, &year, NULL, NULL);
    for (int y = year; y <= year + 1 && y <= 9999; y++) {
        turn(days, from, spl_day_from_ymd(y, 3, 1), 0);
        turn(days, from, spl_day_from_ymd(y, 5, 1), 0);
        turn(days, from, spl_day_from_ymd(y, 9, 1), 0);
        turn(days, from, spl_day_from_ymd(y, 11, 1), 0);
    }
    return days;
}

static int compare_days(gconstpointer a, gconstpointer b)
{
    const struct spl_day *first = a, *second = b;

    return spl_day_compare(*first, *second);
}

static struct spl_day next_change(const struct spl_verdict_case *ground, enum spl_verdict now)
{
    g_autoptr(GArray) days = turning_days(ground, judge_begin(ground, ground->day).hold_days);

    g_array_sort(days, compare_days);
    for (guint i = 0; i < days->len; i++) {
        struct spl_day day = g_array_index(days, struct spl_day, i);

        if (i > 0 && day.n == g_array_index(days, struct spl_day, i - 1).n)
            continue;
        if (grade_on(ground, day) != now)
            return day;
    }
    return SPL_DAY_NONE;
}

/* Worst first; among equals what has a distance before what has none, nearest first, newest first,
 * then by the words, so that the order never depends on that of the input. */
static int compare_reasons(gconstpointer a, gconstpointer b)
{
    const struct spl_reason *first = a, *second = b;

    if (first->grade != second->grade)
        return first->grade > second->grade ? -1 : 1;
    if (isnan(first->distance_m) != isnan(second->distance_m))
        return isnan(first->distance_m) ? 1 : -1;
    if (first->distance_m < second->distance_m)
        return -1;
    if (first->distance_m > second->distance_m)
        return 1;
    if (first->date.n != second->date.n)
        return spl_day_compare(second->date, first->date);
    return strcmp(first->what, second->what);
}

void spl_verdict_judge(const struct spl_verdict_case *ground, struct spl_verdict_result *result)
{
    struct judge judge = judge_begin(ground, ground->day);

    judge.reasons = spl_list_new(&spl_reason_shape);
    judge_all(&judge);
    g_array_sort(judge.reasons, compare_reasons);
    *result = (struct spl_verdict_result){.verdict = judge.worst,
                                          .until = next_change(ground, judge.worst),
                                          .reasons = judge.reasons};
}

void spl_verdict_result_clear(struct spl_verdict_result *result)
{
    g_clear_pointer(&result->reasons, g_array_unref);
}

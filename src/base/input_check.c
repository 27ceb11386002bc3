/* SPDX-License-Identifier: MIT
 *
 * Tables of inputs: what is needed, bounds, choices, what goes with what. See simpling/input.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/input_walk.h"
#include "simpling/error.h"
#include "simpling/input.h"

#define LEAST 0.05 /* g or mL, as for what is typed (base/amount.h) */

/* Of a kind where its row says none. `open`: the lower bound itself is out. */
struct bounds {
    double min, max;
    gboolean open;
    const char *unit;
};

static struct bounds bounds_of(const struct spl_input *row)
{
    static const struct bounds kinds[] = {
        [SPL_INPUT_MASS] = {LEAST, 1e6, FALSE, " g"},
        [SPL_INPUT_VOLUME] = {LEAST, 1e6, FALSE, " mL"},
        [SPL_INPUT_STRENGTH] = {0, 1, FALSE, ""},
        [SPL_INPUT_SHARE] = {0, 1, FALSE, ""},
        [SPL_INPUT_RATIO] = {0, 1000, TRUE, " mL per g"},
        [SPL_INPUT_LENGTH] = {0, 2e7, FALSE, " m"},
        [SPL_INPUT_AREA] = {0, 1e10, TRUE, " m2"},
        [SPL_INPUT_NUMBER] = {0, 1e9, FALSE, ""},
        [SPL_INPUT_HOURS] = {0, 24, FALSE, " h"},
        [SPL_INPUT_COUNT] = {0, 1e6, FALSE, ""},
    };
    struct bounds bounds = row->kind < G_N_ELEMENTS(kinds) ? kinds[row->kind] : (struct bounds){0};

    if (row->min != 0 || row->max != 0) {
        bounds.min = row->min;
        bounds.max = row->max;
        bounds.open = bounds.open && row->min == 0;
    }
    return bounds;
}

static gboolean check_number(const char *what, double number, struct bounds bounds, GError **error)
{
    g_autofree char *min = NULL, *max = NULL;

    if ((bounds.open ? number > bounds.min : number >= bounds.min) && number <= bounds.max)
        return TRUE;
    min = spl_number_format(bounds.min, 3);
    max = spl_number_format(bounds.max, 3);
    spl_error_set_input(error, SPL_ERROR_INVALID, what, "is out of range: %s%s to %s%s",
                        bounds.open ? "more than " : "", min, max, bounds.unit);
    return FALSE;
}

static gboolean check_day(const char *what, struct spl_day day, GError **error)
{
    if (day.n >= spl_day_from_ymd(1, 1, 1).n && day.n <= spl_day_from_ymd(9999, 12, 31).n)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, what, "is no day of the years 1 to 9999");
    return FALSE;
}

static gboolean check_choice(const struct spl_input *row, const char *what, const char *text,
                             GError **error)
{
    g_auto(GStrv) words = g_strsplit(row->words, " ", -1);
    g_autofree char *all = NULL;

    if (g_strv_contains((const char *const *)words, text))
        return TRUE;
    all = g_strjoinv(", ", words);
    spl_error_set_input(error, SPL_ERROR_INVALID, what, "'%.40s' is none of these: %s", text, all);
    return FALSE;
}

static gboolean check_place(const char *what, struct spl_coordinates place, GError **error)
{
    if (fabs(place.lat) <= 90 && fabs(place.lon) <= 180)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, what,
                        "is out of range (latitude 90, longitude 180 degrees)");
    return FALSE;
}

static gboolean check_all(const struct spl_inputs *inputs, const char *prefix, const void *record,
                          GError **error);

/* A member that was said. */
static gboolean check_member(const struct spl_input *row, const char *prefix, const char *what,
                             const void *record, GError **error)
{
    const spl_member_at *member = spl_input_member(row, record);

    if (spl_input_is_number(row))
        return check_number(what, member->number, bounds_of(row), error);
    switch (row->kind) {
    case SPL_INPUT_AMOUNT:
        if (!isnan(member->amount.g) && !isnan(member->amount.ml)) {
            spl_error_set_input(error, SPL_ERROR_INVALID, what,
                                "is said in grams and in millilitres; say one of them");
            return FALSE;
        }
        return check_number(what, isnan(member->amount.g) ? member->amount.ml : member->amount.g,
                            (struct bounds){row->zero ? 0 : LEAST, 1e6, FALSE,
                                            isnan(member->amount.g) ? " mL" : " g"},
                            error);
    case SPL_INPUT_COUNT:
        return check_number(what, member->count, bounds_of(row), error);
    case SPL_INPUT_DAY:
    case SPL_INPUT_MONTH:
        return check_day(what, member->day, error);
    case SPL_INPUT_CHOICE:
        return check_choice(row, what, member->text, error);
    case SPL_INPUT_COORDINATES:
        return check_place(what, member->place, error);
    case SPL_INPUT_YES:
        return check_number(what, member->count, (struct bounds){0, 1, FALSE, ""}, error);
    case SPL_INPUT_LIST:
        for (guint i = 0; i < member->list->len; i++) {
            g_autofree char *below = spl_input_path(prefix, row, i);

            if (!check_all(row->item, below, spl_input_element(row->item, member->list, i), error))
                return FALSE;
        }
        return TRUE;
    default:
        return TRUE;
    }
}

/* Rules -----------------------------------------------------------------------------------------
 */

static gboolean is_said(const struct spl_inputs *inputs, const char *key, const void *record)
{
    const char *dot = strchr(key, '.');
    g_autofree char *first = dot != NULL ? g_strndup(key, (gsize)(dot - key)) : g_strdup(key);
    const struct spl_input *row = spl_inputs_row(inputs, first);
    const GArray *list;

    if (row == NULL || !spl_input_is_said(row, record))
        return FALSE;
    if (dot == NULL)
        return TRUE;
    list = spl_input_member(row, record)->list;
    for (guint i = 0; i < list->len; i++) {
        if (is_said(row->item, dot + 1, spl_input_element(row->item, list, i)))
            return TRUE;
    }
    return FALSE;
}

/* "jars.yield" is spoken of as "yield". */
static char *in_words(const char *key)
{
    const char *dot = strrchr(key, '.');

    return g_strdelimit(g_strdup(dot != NULL ? dot + 1 : key), "_", ' ');
}

/* "yield, herb or jars": those of the rule from `i` on. */
static char *others_in_words(const struct spl_rule *rule, guint i)
{
    GString *all = g_string_new(NULL);

    for (; i < G_N_ELEMENTS(rule->keys) && rule->keys[i] != NULL; i++) {
        g_autofree char *word = in_words(rule->keys[i]);
        gboolean last = i + 1 == G_N_ELEMENTS(rule->keys) || rule->keys[i + 1] == NULL;

        g_string_append_printf(all, "%s%s", all->len == 0 ? "" : last ? " or " : ", ", word);
    }
    return g_string_free(all, FALSE);
}

static gboolean check_rule(const struct spl_inputs *inputs, const struct spl_rule *rule,
                           const void *record, GError **error)
{
    const char *said[G_N_ELEMENTS(rule->keys)];
    g_autofree char *others = NULL, *other = NULL;
    guint n = 0;

    for (guint i = 0; i < G_N_ELEMENTS(rule->keys) && rule->keys[i] != NULL; i++) {
        if (is_said(inputs, rule->keys[i], record))
            said[n++] = rule->keys[i];
    }
    if (rule->kind == SPL_RULE_WITH) {
        if (n != 1 || said[0] != rule->keys[0])
            return TRUE;
        others = others_in_words(rule, 1);
        spl_error_set_input(error, SPL_ERROR_USAGE, said[0], "goes only with %s", others);
        return FALSE;
    }
    if (rule->kind != SPL_RULE_MOST && n == 0) {
        others = others_in_words(rule, 1);
        spl_error_set_input(error, SPL_ERROR_USAGE, rule->keys[0], "is missing%s%s",
                            *others != '\0' ? "; say it, or " : "", others);
        return FALSE;
    }
    if (rule->kind != SPL_RULE_SOME && n > 1) {
        other = in_words(said[1]);
        spl_error_set_input(error, SPL_ERROR_USAGE, said[0],
                            "does not go together with %s; say one of them", other);
        return FALSE;
    }
    return TRUE;
}

static gboolean check_all(const struct spl_inputs *inputs, const char *prefix, const void *record,
                          GError **error)
{
    for (gsize i = 0; i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];
        g_autofree char *what = g_strconcat(prefix, row->key, NULL);

        if (!spl_input_is_said(row, record)) {
            if (!row->needed)
                continue;
            spl_error_set_input(error, SPL_ERROR_USAGE, what, "is missing: %s", row->help);
            return FALSE;
        }
        if (!check_member(row, prefix, what, record, error))
            return FALSE;
    }
    for (gsize i = 0; i < inputs->n_rules; i++) {
        if (!check_rule(inputs, &inputs->rules[i], record, error))
            return FALSE;
    }
    return inputs->check == NULL || inputs->check(record, error);
}

gboolean spl_inputs_check(const struct spl_inputs *inputs, const void *record, GError **error)
{
    return check_all(inputs, "", record, error);
}

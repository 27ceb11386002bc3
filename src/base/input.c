/* SPDX-License-Identifier: MIT
 *
 * Tables of inputs: beginning, reading, copying, clearing. See simpling/input.h.
 */
#include "simpling/input.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/input_walk.h"
#include "base/text.h"
#include "simpling/customs.h"
#include "simpling/error.h"

#define LIST_MAX 1000 /* elements: more than anybody fills in one evening */

gboolean spl_input_is_number(const struct spl_input *row)
{
    return row->kind == SPL_INPUT_MASS || row->kind == SPL_INPUT_VOLUME ||
           (row->kind >= SPL_INPUT_STRENGTH && row->kind <= SPL_INPUT_HOURS);
}

gboolean spl_input_is_text(const struct spl_input *row)
{
    return (row->kind >= SPL_INPUT_NAME && row->kind <= SPL_INPUT_CODE) ||
           row->kind == SPL_INPUT_FILE;
}

static void init_member(const struct spl_input *row, void *record)
{
    spl_member_at *member = spl_input_member(row, record);

    if (spl_input_is_number(row))
        member->number = NAN;
    else if (spl_input_is_text(row))
        member->text = NULL; /* of a table of some rows of a record only the rows are cleared */
    else if (row->kind == SPL_INPUT_AMOUNT)
        member->amount = (struct spl_amount){NAN, NAN};
    else if (row->kind == SPL_INPUT_COUNT)
        member->count = SPL_COUNT_NONE;
    else if (row->kind == SPL_INPUT_YES)
        member->count = -1;
    else if (row->kind == SPL_INPUT_DAY || row->kind == SPL_INPUT_MONTH)
        member->day = SPL_DAY_NONE;
    else if (row->kind == SPL_INPUT_COORDINATES)
        member->place = (struct spl_coordinates){NAN, NAN};
}

void spl_inputs_init(const struct spl_inputs *inputs, void *record)
{
    memset(record, 0, inputs->size);
    for (gsize i = 0; i < inputs->n; i++)
        init_member(&inputs->rows[i], record);
}

GArray *spl_inputs_list(const struct spl_inputs *item)
{
    return g_array_new(FALSE, TRUE, (guint)item->size);
}

static void clear_list(const struct spl_inputs *item, GArray *list)
{
    for (guint i = 0; i < list->len; i++)
        spl_inputs_clear(item, spl_input_element(item, list, i));
    g_array_unref(list);
}

void spl_inputs_clear(const struct spl_inputs *inputs, void *record)
{
    for (gsize i = 0; i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];
        spl_member_at *member = spl_input_member(row, record);

        if (spl_input_is_text(row))
            g_free((char *)member->text);
        else if (row->kind == SPL_INPUT_LIST && member->list != NULL)
            clear_list(row->item, member->list);
    }
    spl_inputs_init(inputs, record);
}

const struct spl_input *spl_inputs_row(const struct spl_inputs *inputs, const char *key)
{
    for (gsize i = 0; i < inputs->n; i++) {
        if (strcmp(inputs->rows[i].key, key) == 0)
            return &inputs->rows[i];
    }
    return NULL;
}

gboolean spl_input_is_said(const struct spl_input *row, const void *record)
{
    const spl_member_at *member = spl_input_member(row, record);

    if (spl_input_is_number(row))
        return !isnan(member->number);
    if (spl_input_is_text(row))
        return member->text != NULL;
    switch (row->kind) {
    case SPL_INPUT_AMOUNT:
        return !isnan(member->amount.g) || !isnan(member->amount.ml);
    case SPL_INPUT_COUNT:
        return member->count != SPL_COUNT_NONE;
    case SPL_INPUT_YES:
        return member->count >= 0;
    case SPL_INPUT_DAY:
    case SPL_INPUT_MONTH:
        return spl_day_is_set(member->day);
    case SPL_INPUT_COORDINATES:
        return !isnan(member->place.lat) || !isnan(member->place.lon);
    case SPL_INPUT_LIST:
        return member->list != NULL && member->list->len > 0;
    default:
        return member->count != 0;
    }
}

const char *spl_input_value(const struct spl_input *row)
{
    static const char *const values[] = {
        [SPL_INPUT_MASS] = "WEIGHT",
        [SPL_INPUT_VOLUME] = "VOLUME",
        [SPL_INPUT_AMOUNT] = "AMOUNT",
        [SPL_INPUT_STRENGTH] = "PERCENT",
        [SPL_INPUT_SHARE] = "SHARE",
        [SPL_INPUT_RATIO] = "1:N",
        [SPL_INPUT_LENGTH] = "LENGTH",
        [SPL_INPUT_AREA] = "AREA",
        [SPL_INPUT_NUMBER] = "NUMBER",
        [SPL_INPUT_HOURS] = "HOURS",
        [SPL_INPUT_COUNT] = "N",
        [SPL_INPUT_DAY] = "DATE",
        [SPL_INPUT_MONTH] = "DATE",
        [SPL_INPUT_NAME] = "NAME",
        [SPL_INPUT_TEXT] = "TEXT",
        [SPL_INPUT_CHOICE] = "WORD",
        [SPL_INPUT_SITE] = "SITE",
        [SPL_INPUT_PLANT] = "PLANT",
        [SPL_INPUT_MATERIAL] = "MATERIAL",
        [SPL_INPUT_PREPARATION] = "PREPARATION",
        [SPL_INPUT_METHOD] = "METHOD",
        [SPL_INPUT_PRESS] = "PRESS",
        [SPL_INPUT_STAGE] = "STAGE",
        [SPL_INPUT_CODE] = "CODE",
        [SPL_INPUT_COORDINATES] = "LAT,LON",
        [SPL_INPUT_FILE] = "FILE",
        [SPL_INPUT_LIST] = NULL,
    };

    if (row->value != NULL)
        return row->value;
    if (row->kind == SPL_INPUT_LIST)
        return row->item->line_value != NULL ? row->item->line_value
                                             : spl_input_value(&row->item->rows[0]);
    return values[row->kind];
}

/* Reading ---------------------------------------------------------------------------------------
 */

/* "1" is a number of 1, and "1.5 km" none; a sign may lead. */
static gboolean is_bare(const char *text)
{
    gsize length = strlen(text);

    return length > 0 && g_ascii_isdigit(text[length - 1]);
}

static gboolean read_flag(const char *text, const char *what, int *flag, GError **error)
{
    static const char *const yes[] = {"yes", "on", "1", "true"}, *const no[] = {"no", "0", "false"};

    for (gsize i = 0; i < G_N_ELEMENTS(yes); i++) {
        if (g_ascii_strcasecmp(text, yes[i]) == 0) {
            *flag = 1;
            return TRUE;
        }
    }
    for (gsize i = 0; i < G_N_ELEMENTS(no); i++) {
        if (g_ascii_strcasecmp(text, no[i]) == 0) {
            *flag = 0;
            return TRUE;
        }
    }
    spl_error_set_input(error, SPL_ERROR_INVALID, what, "say yes or no");
    return FALSE;
}

static gboolean read_share(const char *text, const char *what, double *frac, GError **error)
{
    if (strchr(text, '%') != NULL)
        return spl_share_parse(text, what, frac, error);
    return spl_number_parse(text, what, 0.0, 1.0, frac, error);
}

/* Texts are only kept: spl_inputs_copy cleans them. Several may be joined. */
static gboolean read_text(const struct spl_input *row, const char *text, const char *what,
                          const char **target, GError **error)
{
    g_autofree char *blank = g_strstrip(g_strdup(text));
    char *kept;

    if (*blank == '\0') {
        spl_error_set_input(error, SPL_ERROR_INVALID, what, "is empty; leave it out or say it");
        return FALSE;
    }
    kept =
        row->joins && *target != NULL ? g_strdup_printf("%s, %s", *target, text) : g_strdup(text);
    g_free((char *)*target);
    *target = kept;
    return TRUE;
}

static gboolean read_number(const struct spl_input *row, const char *text, const char *what,
                            double *number, GError **error)
{
    gboolean bounded = row->min != 0 || row->max != 0;

    switch (row->kind) {
    case SPL_INPUT_MASS:
        if (row->bare && is_bare(text))
            return spl_number_parse(text, what, 0.0, 1e6, number, error);
        return spl_mass_parse(text, what, number, error);
    case SPL_INPUT_VOLUME:
        return spl_volume_parse(text, what, number, error);
    case SPL_INPUT_STRENGTH:
        return spl_strength_parse(text, what, number, error);
    case SPL_INPUT_SHARE:
        return read_share(text, what, number, error);
    case SPL_INPUT_RATIO:
        return spl_ratio_parse(text, what, number, error);
    case SPL_INPUT_LENGTH:
        if (row->bare && is_bare(text) && spl_customs()->read == SPL_UNITS_METRIC)
            return spl_number_parse(text, what, bounded ? row->min : 0, bounded ? row->max : 2e7,
                                    number, error);
        return spl_length_parse(text, what, number, error);
    case SPL_INPUT_AREA:
        return spl_area_parse(text, what, number, error);
    default:
        return spl_number_parse(text, what, bounded ? row->min : 0, bounded ? row->max : 1e9,
                                number, error);
    }
}

/* "0", "0mL", "0 g": what an empty bottle holds. */
static gboolean read_nothing(const char *text, struct spl_amount *amount)
{
    char *unit;

    if (!g_ascii_isdigit(*text) || g_ascii_strtod(text, &unit) > 0)
        return FALSE;
    while (g_ascii_isspace(*unit))
        unit++;
    if (strcmp(unit, "g") == 0)
        *amount = (struct spl_amount){0, NAN};
    else if (*unit == '\0' || g_ascii_strcasecmp(unit, "ml") == 0)
        *amount = (struct spl_amount){NAN, 0};
    else
        return FALSE;
    return TRUE;
}

static gboolean read_member(const struct spl_input *row, const char *text, const char *what,
                            void *record, GError **error)
{
    spl_member_at *member = spl_input_member(row, record);

    if (spl_input_is_number(row))
        return read_number(row, text, what, &member->number, error);
    if (spl_input_is_text(row))
        return read_text(row, text, what, &member->text, error);
    switch (row->kind) {
    case SPL_INPUT_AMOUNT:
        return (row->zero && read_nothing(text, &member->amount)) ||
               spl_amount_parse(text, what, &member->amount, error);
    case SPL_INPUT_COUNT:
        return spl_count_parse(text, what, (int)row->min, row->max > 0 ? (int)row->max : 1000000,
                               &member->count, error);
    case SPL_INPUT_DAY:
    case SPL_INPUT_MONTH:
        return spl_day_read(text, what,
                            row->past    ? SPL_DAY_PAST
                            : row->ahead ? SPL_DAY_AHEAD
                                         : SPL_DAY_NEAR,
                            row->kind == SPL_INPUT_MONTH, &member->day, error);
    case SPL_INPUT_COORDINATES:
        return spl_coordinates_parse(text, what, &member->place.lat, &member->place.lon, error);
    default:
        return read_flag(text, what, &member->count, error);
    }
}

static GArray *list_of(const struct spl_input *row, void *record)
{
    spl_member_at *member = spl_input_member(row, record);

    if (member->list == NULL)
        member->list = spl_inputs_list(row->item);
    return member->list;
}

/* Grows the list to hold element `i`. */
static gboolean reach(const struct spl_input *row, void *record, guint64 i, const char *path,
                      GError **error)
{
    GArray *list = list_of(row, record);

    if (i >= LIST_MAX) {
        spl_error_set_input(error, SPL_ERROR_INVALID, path, "are more than %d; say fewer",
                            LIST_MAX);
        return FALSE;
    }
    while (list->len <= i) {
        g_array_set_size(list, list->len + 1);
        spl_inputs_init(row->item, spl_input_element(row->item, list, list->len - 1));
    }
    return TRUE;
}

/* One more element, from its line. */
static gboolean read_line(const struct spl_input *row, const char *text, const char *path,
                          void *record, GError **error)
{
    const struct spl_inputs *item = row->item;
    GArray *list = list_of(row, record);
    guint i = list->len;
    void *element;
    gboolean ok;

    if (!reach(row, record, i, path, error))
        return FALSE;
    element = spl_input_element(item, list, i);
    if (item->line != NULL)
        ok = item->line(text, path, element, error);
    else
        ok = read_member(&item->rows[0], text, path, element, error);
    if (!ok) {
        spl_inputs_clear(item, element);
        g_array_set_size(list, i);
    }
    return ok;
}

static gboolean no_input(const char *path, GError **error)
{
    spl_error_set_input(error, SPL_ERROR_USAGE, path, "there is no such input here");
    return FALSE;
}

/* `rest` is the path below `inputs`, `path` the whole one. */
static gboolean read_at(const struct spl_inputs *inputs, const char *rest, const char *path,
                        const char *text, void *record, GError **error)
{
    const char *dot = strchr(rest, '.');
    g_autofree char *key = dot != NULL ? g_strndup(rest, (gsize)(dot - rest)) : g_strdup(rest);
    const struct spl_input *row = spl_inputs_row(inputs, key);
    guint64 i;
    char *end;

    if (row == NULL || (dot != NULL && row->kind != SPL_INPUT_LIST))
        return no_input(path, error);
    if (dot == NULL && row->kind == SPL_INPUT_LIST) {
        if (row->item->line == NULL && row->item->n != 1)
            return no_input(path, error);
        return read_line(row, text, path, record, error);
    }
    if (dot == NULL)
        return read_member(row, text, path, record, error);
    i = g_ascii_isdigit(dot[1]) ? g_ascii_strtoull(dot + 1, &end, 10) : G_MAXUINT64;
    if (i == G_MAXUINT64 || *end != '.')
        return no_input(path, error);
    return reach(row, record, i, path, error) &&
           read_at(row->item, end + 1, path, text,
                   spl_input_element(row->item, list_of(row, record), (guint)i), error);
}

gboolean spl_inputs_read(const struct spl_inputs *inputs, const char *path, const char *text,
                         void *record, GError **error)
{
    gboolean ok = read_at(inputs, path, path, text, record, error);

    if (!ok)
        spl_error_about(error, path);
    return ok;
}

/* Copying ---------------------------------------------------------------------------------------
 */

static gboolean copy_into(const struct spl_inputs *inputs, const char *prefix, const void *said,
                          void *own, GError **error);

/* The word of the choice in its own spelling; what is none of them stays, for the check. */
static void spell_choice(const struct spl_input *row, const char **text)
{
    g_auto(GStrv) words = g_strsplit(row->words, " ", -1);

    for (guint i = 0; words[i] != NULL; i++) {
        if (g_ascii_strcasecmp(words[i], *text) != 0)
            continue;
        g_free((char *)*text);
        *text = g_strdup(words[i]);
        return;
    }
}

static gboolean copy_text(const struct spl_input *row, const char *what, const char *text,
                          const char **own, GError **error)
{
    gboolean lines = row->kind == SPL_INPUT_TEXT;
    gsize most = lines || row->kind == SPL_INPUT_FILE || row->joins ? SPL_REMARK_MAX : SPL_NAME_MAX;
    const char *p = text;

    if (row->max > 0)
        most = (gsize)row->max;
    *own = NULL;
    while (p != NULL && g_ascii_isspace(*p))
        p++;
    if (p == NULL || *p == '\0') /* a field of a form that was left empty */
        return TRUE;
    if (row->kind == SPL_INPUT_FILE) { /* bytes, as the system has them */
        *own = g_strdup(text);
        return TRUE;
    }
    *own = spl_text_clean(text, what, most, lines, error);
    if (*own == NULL)
        spl_error_about(error, what);
    else if (row->kind == SPL_INPUT_CHOICE)
        spell_choice(row, own);
    return *own != NULL;
}

static gboolean copy_list(const struct spl_input *row, const char *prefix, const GArray *said,
                          GArray **own, GError **error)
{
    const struct spl_inputs *item = row->item;

    *own = NULL;
    if (said == NULL || said->len == 0)
        return TRUE;
    if (g_array_get_element_size((GArray *)(guintptr)said) != item->size || said->len > LIST_MAX) {
        g_autofree char *what = g_strconcat(prefix, row->key, NULL);

        spl_error_set_input(error, SPL_ERROR_INVALID, what,
                            "is no list of at most %d such elements", LIST_MAX);
        return FALSE;
    }
    *own = spl_inputs_list(item);
    for (guint i = 0; i < said->len; i++) {
        g_autofree char *below = spl_input_path(prefix, row, i);

        g_array_set_size(*own, i + 1);
        if (!copy_into(item, below, spl_input_element(item, said, i),
                       spl_input_element(item, *own, i), error))
            return FALSE;
    }
    return TRUE;
}

/* On failure `own` holds what there is of it, for the caller to clear. */
static gboolean copy_into(const struct spl_inputs *inputs, const char *prefix, const void *said,
                          void *own, GError **error)
{
    gboolean ok = TRUE;

    spl_inputs_init(inputs, own);
    for (gsize i = 0; ok && i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];
        const spl_member_at *from = spl_input_member(row, said);
        spl_member_at *to = spl_input_member(row, own);

        if (spl_input_is_text(row)) {
            g_autofree char *what = g_strconcat(prefix, row->key, NULL);

            ok = copy_text(row, what, from->text, &to->text, error);
        } else if (row->kind == SPL_INPUT_LIST) {
            ok = copy_list(row, prefix, from->list, &to->list, error);
        } else if (spl_input_is_number(row)) {
            to->number = from->number;
        } else if (row->kind == SPL_INPUT_AMOUNT || row->kind == SPL_INPUT_COORDINATES) {
            to->amount = from->amount; /* two doubles either way */
        } else if (row->kind == SPL_INPUT_DAY || row->kind == SPL_INPUT_MONTH) {
            to->day = from->day;
        } else if (row->kind == SPL_INPUT_FLAG) {
            to->count = from->count != 0;
        } else {
            to->count = from->count;
        }
    }
    return ok;
}

gboolean spl_inputs_copy(const struct spl_inputs *inputs, const void *said, void *own,
                         GError **error)
{
    gboolean ok = copy_into(inputs, "", said, own, error);

    if (!ok)
        spl_inputs_clear(inputs, own);
    return ok;
}

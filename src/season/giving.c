/* SPDX-License-Identifier: MIT
 *
 * Giving out: what went out of which lots to whom, with the words of its label. See
 * simpling/batch.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/lot.h"
#include "book/setting.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "season/label_words.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define SAME_RATIO 0.02 /* 1:5.06 is 1:5: jars are not filled to the millilitre */
#define HARDLY_POURED                                                                              \
    1.0              /* mL or g: so little is left in the bottle when the same goes out again */
#define SAME_ABV 5.0 /* % vol; more is another strength of spirit */

static const struct spl_field given_fields[] = {
    SPL_FIELD(spl_dispensed, code, SPL_TEXT, "code", "use"),
    SPL_FIELD(spl_dispensed, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_dispensed, ref, SPL_TEXT, "ref", "for"),
    SPL_FIELD_LIST(spl_dispensed, lots, &spl_lot_use_shape, "lots", "went out"),
    SPL_FIELD_NUM(spl_dispensed, ml, 1, "ml", NULL),
    SPL_FIELD_NUM(spl_dispensed, g, 1, "g", NULL),
    SPL_FIELD_NUM(spl_dispensed, abv, 1, "abv", NULL),
    SPL_FIELD(spl_dispensed, use_by, SPL_DAY, "use_by", NULL),
    SPL_FIELD(spl_dispensed, outside, SPL_BOOL, "outside", NULL),
    SPL_FIELD(spl_dispensed, directions, SPL_TEXT, "directions", NULL),
    SPL_FIELD(spl_dispensed, by, SPL_TEXT, "by", NULL),
    SPL_FIELD(spl_dispensed, label, SPL_TEXTS, "label", NULL),
};
const struct spl_shape spl_dispensed_shape = SPL_SHAPE("dispensed", spl_dispensed, given_fields);

static const struct spl_input use_rows[] = {
    SPL_INPUT(spl_lot_use_words, lots, LIST, "lots",
              "what went out, and how much of each: 50mL, 2x100mL", .value = "CODE:AMOUNT",
              .item = &spl_source_inputs),
    SPL_INPUT(spl_lot_use_words, ref, NAME, "for", "your reference: a number, never a name",
              .value = "NUMBER"),
    SPL_INPUT(spl_lot_use_words, again, FLAG, "again", "the same as went to that number last"),
    SPL_INPUT(spl_lot_use_words, directions, TEXT, "directions",
              "how it is to be taken, as it was told or written down"),
    SPL_INPUT(spl_lot_use_words, on, DAY, "on", "the day", .past = 1, .today = 1),
    SPL_INPUT(spl_lot_use_words, by, NAME, "by", "who gave it out", .value = "WHO",
              .setting = "who"),
};
static const struct spl_rule use_rules[] = {{SPL_RULE_SOME, {"lots", "again"}},
                                            {SPL_RULE_MOST, {"lots", "again"}},
                                            {SPL_RULE_WITH, {"again", "for"}}};

static gboolean check_use(const void *record, GError **error)
{
    const struct spl_lot_use_words *words = record;

    for (guint i = 0; words->lots != NULL && i < words->lots->len; i++) {
        const struct spl_source_words *lot =
            &g_array_index(words->lots, struct spl_source_words, i);
        g_autofree char *path = g_strdup_printf("lots.%u.amount", i);

        if (!isnan(lot->amount.ml) || !isnan(lot->amount.g))
            continue;
        spl_error_set_input(error, SPL_ERROR_USAGE, path, "say how much goes out, as %s:50mL",
                            lot->code);
        return FALSE;
    }
    return spl_lot_ref_check(words->ref, error);
}

const struct spl_inputs spl_lot_use_inputs =
    SPL_INPUTS("lot_use", spl_lot_use_words, use_rows, SPL_RULES(use_rules), .check = check_use);

gboolean spl_lot_ref_check(const char *ref, GError **error)
{
    guint digits = 0, letters = 0, others = 0;

    if (ref == NULL)
        return TRUE;
    for (const char *p = ref; *p != '\0'; p++) {
        if (g_ascii_isdigit(*p))
            digits++;
        else if (g_ascii_isalpha(*p))
            letters++;
        else if (strchr("-/.", *p) == NULL)
            others++;
    }
    if (digits > 0 && letters <= 4 && others == 0 && strlen(ref) <= 40)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "for",
                        "is a number, as 1042 or P-1042, never a name");
    return FALSE;
}

/* ---- one call ---- */

/* What goes out together, as it comes together. */
struct giving {
    struct spl_house *house;
    const struct spl_tables *tables;
    const struct spl_lot_use_words *words;
    struct spl_use use;
    struct spl_dispensed *given;
    GArray *lots; /* struct spl_lot beside given->lots; of the shelf before it went out */
    struct spl_blend blend;
    GPtrArray *cautions;
};

/* What goes out in one call is one mixture: all of it for inside, or all for outside. */
static gboolean check_mixture(const struct giving *giving, const struct spl_lot *lot,
                              GError **error)
{
    const struct spl_lot *first;

    if (giving->lots->len == 0)
        return TRUE;
    first = &g_array_index(giving->lots, struct spl_lot, 0);
    if (!lot->outside == !first->outside)
        return TRUE;
    g_set_error(
        error, SPL_ERROR, SPL_ERROR_REFUSED,
        "%s: is for outside use only and %s is not; they do not go out in one mixture, give "
        "each out by itself",
        lot->outside ? lot->code : first->code, lot->outside ? first->code : lot->code);
    return FALSE;
}

static void blend_in(struct giving *giving, const struct spl_lot *lot, double ml)
{
    struct spl_blend one = spl_lot_blend(lot);

    one = (struct spl_blend){.ml = one.ml * ml,
                             .mass_g = one.mass_g * ml,
                             .ethanol_g = one.ethanol_g * ml,
                             .acid_g = one.acid_g * ml,
                             .glycerol_ml = one.glycerol_ml * ml,
                             .sugar_g = one.sugar_g * ml};
    giving->blend = spl_blend_mix(giving->blend, one);
}

/* Gives out of one lot, which is taken over. */
static gboolean use_lot(struct giving *giving, struct spl_lot *lot, const struct spl_amount *wanted,
                        GError **error)
{
    struct spl_dispensed *given = giving->given;
    gboolean weighed = !isnan(lot->left_g);
    struct spl_lot_use use;
    double amount;

    if (!spl_lot_may_go(lot, FALSE, wanted->ml, wanted->g, giving->use.day, &amount, error) ||
        !check_mixture(giving, lot, error) ||
        !spl_lot_use_add(giving->house->book, lot->id, &giving->use, amount, error)) {
        spl_record_clear(&spl_lot_shape, lot);
        return FALSE;
    }
    use = (struct spl_lot_use){.code = g_strdup(lot->code),
                               .date = giving->use.day,
                               .ml = weighed ? (double)NAN : amount,
                               .g = weighed ? amount : (double)NAN,
                               .ref = g_strdup(giving->use.ref),
                               .by = g_strdup(giving->use.by),
                               .use = g_strdup(giving->use.code),
                               .directions = g_strdup(giving->use.directions)};
    if (weighed) {
        given->g = isnan(given->g) ? amount : given->g + amount;
    } else {
        given->ml = isnan(given->ml) ? amount : given->ml + amount;
        blend_in(giving, lot, amount);
    }
    if (spl_day_is_set(lot->use_by) &&
        (!spl_day_is_set(given->use_by) || spl_day_compare(lot->use_by, given->use_by) < 0))
        given->use_by = lot->use_by;
    given->outside = lot->outside;
    g_array_append_val(given->lots, use);
    g_array_append_vals(giving->lots, lot, 1);
    return TRUE;
}

static gboolean use_said(struct giving *giving, const struct spl_source_words *said, GError **error)
{
    struct spl_lot lot;

    return spl_shelf_find(giving->house, said->code, &lot, NULL, error) &&
           use_lot(giving, &lot, &said->amount, error);
}

/* ---- the same again ---- */

/* The same medicine: made the same way of the same herb, as strong, for the same use. */
static gboolean is_same(const struct spl_lot *a, const struct spl_lot *b)
{
    gboolean as_strong =
        (isnan(a->ratio) && isnan(b->ratio)) || fabs(a->ratio - b->ratio) <= SAME_RATIO * a->ratio;
    gboolean as_much_spirit = (isnan(a->abv) && isnan(b->abv)) || fabs(a->abv - b->abv) <= SAME_ABV;

    return as_strong && as_much_spirit && a->unit == b->unit && !a->outside == !b->outside &&
           strcmp(a->preparation, b->preparation) == 0 && strcmp(a->materials, b->materials) == 0;
}

struct search {
    const struct spl_lot *like;
    struct spl_amount wanted;
    struct spl_day on;
    char *found; /* code */
};

/* The oldest that may go out, so that none grows out of date behind a younger one. */
static gboolean look_at(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct search *search = data;
    double amount;

    (void)error;
    if (search->found == NULL && lot->id != search->like->id && is_same(search->like, lot) &&
        spl_lot_may_go(lot, FALSE, search->wanted.ml, search->wanted.g, search->on, &amount, NULL))
        search->found = g_strdup(lot->code);
    return TRUE;
}

/* What is left of a lot that may go out, as far as it is worth pouring; else 0. */
static double left_to_go(const struct spl_lot *lot, struct spl_day on)
{
    double left = isnan(lot->left_g) ? lot->left_ml : lot->left_g, amount;

    return left >= HARDLY_POURED &&
                   spl_lot_may_go(lot, FALSE, isnan(lot->left_g) ? left : (double)NAN,
                                  isnan(lot->left_g) ? (double)NAN : left, on, &amount, NULL)
               ? left
               : 0.0;
}

static struct spl_amount less(const struct spl_amount *amount, double taken)
{
    return (struct spl_amount){.g = amount->g - taken, .ml = amount->ml - taken};
}

/* The rest of `wanted`, or all of it, out of the next lot like that one; `taken`: what that one
 * gave itself. */
static gboolean use_next(struct giving *giving, const struct spl_lot *like,
                         const struct spl_amount *wanted, double taken, const char *why,
                         GError **error)
{
    struct search search = {.like = like, .wanted = less(wanted, taken), .on = giving->use.day};
    g_autofree char *what = spl_label_materials(giving->tables, like->materials);
    const char *unit = isnan(wanted->g) ? "mL" : "g";
    struct spl_lot next;
    gboolean ok = spl_shelf_each(giving->house, FALSE, look_at, &search, error);

    if (ok && search.found == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s, and no other lot of %s %s has %s; say what goes out in its place", why,
                    what, like->preparation, taken > 0.0 ? "the rest" : "as much");
        ok = FALSE;
    }
    if (ok && taken > 0.0)
        spl_caution_add(giving->cautions,
                        "%s has no more than %.4g %s: the other %.4g %s are of %s, of the same %s",
                        like->code, taken, unit,
                        isnan(wanted->g) ? search.wanted.ml : search.wanted.g, unit, search.found,
                        like->preparation);
    else if (ok)
        spl_caution_add(giving->cautions, "in place of %s (%s): %s, of the same %s", like->code,
                        spl_state_names[like->state], search.found, like->preparation);
    ok = ok && spl_shelf_find(giving->house, search.found, &next, NULL, error) &&
         use_lot(giving, &next, &search.wanted, error);
    g_free(search.found);
    return ok;
}

/* That which went out before, as far as it reaches, and the next of the same medicine. */
static gboolean use_again(struct giving *giving, const struct spl_lot_use *before, GError **error)
{
    const struct spl_amount wanted = {.g = before->g, .ml = before->ml};
    g_autoptr(GError) why = NULL;
    struct spl_amount there;
    struct spl_lot lot, like;
    double amount, left;
    gboolean ok = TRUE;

    if (!spl_shelf_find(giving->house, before->code, &lot, NULL, error))
        return FALSE;
    if (spl_lot_may_go(&lot, FALSE, before->ml, before->g, giving->use.day, &amount, &why))
        return use_lot(giving, &lot, &wanted, error);
    spl_record_copy(&spl_lot_shape, &lot, &like);
    like.id = lot.id;
    like.unit = lot.unit;
    left = left_to_go(&lot, giving->use.day);
    there = less(&wanted, (isnan(wanted.g) ? wanted.ml : wanted.g) - left);
    if (left > 0.0)
        ok = use_lot(giving, &lot, &there, error);
    else
        spl_record_clear(&spl_lot_shape, &lot);
    ok = ok && use_next(giving, &like, &wanted, left, why->message, error);
    spl_record_clear(&spl_lot_shape, &like);
    return ok;
}

/* What went to the reference last; `uses` is a list of spl_lot_use_shape. */
static gboolean find_last(struct giving *giving, GArray **uses, GError **error)
{
    const char *ref = giving->words->ref;
    struct spl_use last;

    if (!spl_use_last_of_ref(giving->house->book, ref, giving->use.day, &last, error)) {
        if (error == NULL || *error == NULL)
            spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "for",
                                "nothing went to %s by this book; look at the number, or say what "
                                "goes out",
                                ref);
        return FALSE;
    }
    if (giving->use.directions == NULL)
        giving->use.directions = g_strdup(last.directions);
    *uses = spl_lot_uses_of(giving->house->book, last.id, error);
    spl_use_clear(&last);
    return *uses != NULL;
}

static gboolean use_last(struct giving *giving, const GArray *last, GError **error)
{
    for (guint i = 0; i < last->len; i++)
        if (!use_again(giving, &g_array_index(last, struct spl_lot_use, i), error))
            return FALSE;
    return TRUE;
}

/* ---- the label ---- */

static void add_line(GPtrArray *label, const char *format, ...) G_GNUC_PRINTF(2, 3);
static void add_line(GPtrArray *label, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    g_ptr_array_add(label, g_strdup_vprintf(format, args));
    va_end(args);
}

/* "Nettle leaf tincture (Urtica dioica), 50 mL, L27-001, 1:5, spirit 60 %". */
static void add_medicine(struct giving *giving, const struct spl_lot *lot,
                         const struct spl_lot_use *use, GPtrArray *label)
{
    const struct spl_preparation *row =
        spl_tables_preparation_by_slug(giving->tables, lot->preparation);
    g_autofree char *what = spl_label_materials(giving->tables, lot->materials);
    g_autofree char *latin = spl_label_latin(giving->tables, lot->materials);
    g_autofree char *amount = NULL;
    g_autoptr(GString) line = g_string_new(what);

    g_string_append_printf(line, " %s", row != NULL ? row->name : lot->preparation);
    if (latin != NULL)
        g_string_append_printf(line, " (%s)", latin);
    amount = spl_amount_format(isnan(use->ml) ? use->g : use->ml, isnan(use->ml) ? "g" : "mL");
    g_string_append_printf(line, ", %s, %s", amount, use->code);
    if (!isnan(lot->ratio)) {
        g_autofree char *ratio = spl_ratio_format(lot->ratio);

        g_string_append_printf(line, ", %s", ratio);
    }
    if (lot->menstruum != NULL)
        g_string_append_printf(line, ", %s", lot->menstruum);
    add_line(label, "%s", line->str);
}

/* Each way of keeping once. */
static void add_keeping(const struct giving *giving, GPtrArray *label)
{
    g_autoptr(GPtrArray) ways = g_ptr_array_new();
    g_autofree char *keep = NULL, *use_by = spl_day_words(giving->given->use_by);

    for (guint i = 0; i < giving->lots->len; i++) {
        char *storage = g_array_index(giving->lots, struct spl_lot, i).storage;

        if (storage != NULL && *storage != '\0' &&
            !g_ptr_array_find_with_equal_func(ways, storage, g_str_equal, NULL))
            g_ptr_array_add(ways, storage);
    }
    g_ptr_array_add(ways, NULL);
    keep = g_strjoinv("; ", (char **)ways->pdata);
    if (*use_by != '\0' || *keep != '\0')
        add_line(label, "%s%s%s%s%s", *use_by != '\0' ? "Use by " : "", use_by,
                 *use_by != '\0' && *keep != '\0' ? ". " : "", *keep != '\0' ? "Keep: " : "", keep);
}

/* Who must not take any of the herbs. */
static void add_care(const struct giving *giving, GPtrArray *label)
{
    g_autoptr(GPtrArray) slugs = g_ptr_array_new();
    g_autofree char *all = NULL;

    for (guint i = 0; i < giving->lots->len; i++)
        g_ptr_array_add(slugs, g_array_index(giving->lots, struct spl_lot, i).materials);
    g_ptr_array_add(slugs, NULL);
    all = g_strjoinv(", ", (char **)slugs->pdata);
    spl_label_add_care(giving->tables, all, label);
}

static void write_label(struct giving *giving)
{
    struct spl_dispensed *given = giving->given;
    GPtrArray *label = given->label;
    g_autofree char *day = spl_day_words(given->date);
    guint n = giving->lots->len;

    add_line(label, "%s%s%s, %s", given->ref != NULL ? "For " : "",
             given->ref != NULL ? given->ref : "", given->ref != NULL ? "" : "Given out", day);
    for (guint i = 0; i < n; i++)
        add_medicine(giving, &g_array_index(giving->lots, struct spl_lot, i),
                     &g_array_index(given->lots, struct spl_lot_use, i), label);
    if (n > 1 && !isnan(given->ml)) {
        g_autofree char *together = spl_volume_format(given->ml);

        add_line(label, "Together %s", together);
    }
    if (given->directions != NULL)
        add_line(label, "%s", given->directions);
    if (given->outside)
        add_line(label, "For external use only.");
    add_keeping(giving, label);
    for (guint i = 0; i < n; i++) {
        const struct spl_lot *lot = &g_array_index(giving->lots, struct spl_lot, i);

        /* The alcohol is that of the mixture: said once, by the first. */
        spl_label_add_own(giving->tables, lot->preparation, lot->raw, given->outside, lot->sugar,
                          i == 0 ? given->abv : (double)NAN, given->ml, label);
    }
    add_care(giving, label);
    add_line(label, "%s", SPL_LABEL_CHILDREN);
    add_line(label, "%s%s%s",
             strchr(given->code, ':') == NULL ? spl_setting_mark(giving->house->book) : "",
             strchr(given->code, ':') == NULL ? ":" : "", given->code);
}

/* ---- all of it ---- */

/* Inside the transaction. */
static gboolean give(struct giving *giving, GError **error)
{
    const struct spl_lot_use_words *words = giving->words;
    struct spl_dispensed *given = giving->given;
    GArray *last = NULL;
    gboolean ok;

    if (words->again && !find_last(giving, &last, error))
        return FALSE;
    ok = spl_use_add(giving->house->book, &giving->use, error);
    for (guint i = 0; ok && last == NULL && i < words->lots->len; i++) {
        g_autofree char *path = g_strdup_printf("lots.%u", i);

        ok = use_said(giving, &g_array_index(words->lots, struct spl_source_words, i), error);
        if (!ok)
            spl_error_about(error, path);
    }
    ok = ok && (last == NULL || use_last(giving, last, error));
    if (last != NULL)
        spl_list_free(&spl_lot_use_shape, last);
    if (!ok)
        return FALSE;
    given->code = g_strdup(giving->use.code);
    given->directions = g_strdup(giving->use.directions);
    given->abv =
        giving->blend.ethanol_g > 0.0 ? spl_blend_abv(&giving->blend) * 100.0 : (double)NAN;
    write_label(giving);
    return TRUE;
}

static void clear_lot(gpointer lot)
{
    spl_record_clear(&spl_lot_shape, lot);
}

gboolean spl_lot_give(struct spl_house *house, const struct spl_lot_use_words *said,
                      struct spl_dispensed *given, GPtrArray **cautions, GError **error)
{
    g_autoptr(GPtrArray) told = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GArray) lots = g_array_new(FALSE, FALSE, sizeof(struct spl_lot));
    struct spl_lot_use_words words;
    struct spl_dispensed made;
    struct giving giving = {
        .house = house, .words = &words, .given = &made, .lots = lots, .cautions = told};
    gboolean ok;

    giving.tables = spl_house_tables(house, error);
    if (giving.tables == NULL || !spl_entry_take(house, &spl_lot_use_inputs, said, &words, error))
        return FALSE;
    g_array_set_clear_func(lots, clear_lot);
    made = (struct spl_dispensed){.date = words.on,
                                  .ref = g_strdup(words.ref),
                                  .by = g_strdup(words.by),
                                  .lots = spl_list_new(&spl_lot_use_shape),
                                  .ml = NAN,
                                  .g = NAN,
                                  .abv = NAN,
                                  .use_by = SPL_DAY_NONE,
                                  .label = g_ptr_array_new_with_free_func(g_free)};
    giving.use = (struct spl_use){.day = words.on,
                                  .ref = g_strdup(words.ref),
                                  .directions = g_strdup(words.directions),
                                  .by = g_strdup(words.by)};
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, give(&giving, error), error);
    if (ok) {
        *given = made;
        *cautions = g_steal_pointer(&told);
    } else {
        spl_record_clear(&spl_dispensed_shape, &made);
    }
    spl_use_clear(&giving.use);
    spl_inputs_clear(&spl_lot_use_inputs, &words);
    return ok;
}

/* SPDX-License-Identifier: MIT
 *
 * The stock of what is poured. Its ledger is in liquid_ledger.c. See simpling/liquid.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "book/liquid.h"
#include "core/alcohol.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/liquid.h"
#include "simpling/need.h"
#include "simpling/plan.h"

static const struct spl_field line_fields[] = {
    SPL_FIELD(spl_liquid_line, kind, SPL_WORD, "kind", "what", .names = spl_liquid_kind_names),
    SPL_FIELD(spl_liquid_line, supplier, SPL_TEXT, "supplier", "supplier"),
    SPL_FIELD(spl_liquid_line, number, SPL_TEXT, "number", "number"),
    SPL_FIELD_NUM(spl_liquid_line, strength_pct, 1, "strength_pct", "%"),
    SPL_FIELD_NUM(spl_liquid_line, bought, 0, "bought", "bought", .by_unit = 1),
    SPL_FIELD_NUM(spl_liquid_line, drawn, 0, "drawn", "in jars", .by_unit = 1),
    SPL_FIELD_NUM(spl_liquid_line, other, 0, "other", "otherwise", .by_unit = 1),
    SPL_FIELD_NUM(spl_liquid_line, left, 0, "left", "left", .by_unit = 1),
    SPL_FIELD(spl_liquid_line, unit, SPL_TEXT, "unit", "unit"),
    SPL_FIELD(spl_liquid_line, note, SPL_TEXT, "note", "note"),
};
const struct spl_shape spl_liquid_line_shape =
    SPL_SHAPE("liquid_line", spl_liquid_line, line_fields);

static const struct spl_field need_fields[] = {
    SPL_FIELD(spl_liquid_need, kind, SPL_WORD, "kind", "what", .names = spl_liquid_kind_names),
    SPL_FIELD_NUM(spl_liquid_need, strength_pct, 1, "strength_pct", "%"),
    SPL_FIELD_NUM(spl_liquid_need, amount, 0, "amount", "needed", .by_unit = 1),
    SPL_FIELD(spl_liquid_need, unit, SPL_TEXT, "unit", "unit"),
    SPL_FIELD(spl_liquid_need, by, SPL_DAY, "by", "by"),
    SPL_FIELD_NUM(spl_liquid_need, left, 0, "left", "in stock", .by_unit = 1),
    SPL_FIELD_NUM(spl_liquid_need, to_buy, 0, "to_buy", "to buy", .by_unit = 1),
    SPL_FIELD(spl_liquid_need, what_for, SPL_TEXTS, "for", "for"),
};
const struct spl_shape spl_liquid_need_shape =
    SPL_SHAPE("liquid_need", spl_liquid_need, need_fields);

static const struct spl_field stock_fields[] = {
    SPL_FIELD_LIST(spl_liquid_stock, liquids, &spl_liquid_line_shape, "liquids", "in stock"),
    SPL_FIELD_LIST(spl_liquid_stock, needs, &spl_liquid_need_shape, "needs", "the plan wants"),
};
const struct spl_shape spl_liquid_stock_shape =
    SPL_SHAPE("liquid_stock", spl_liquid_stock, stock_fields);

#define KINDS "spirit vinegar honey oil glycerol sugar wax"
#define COMMON_ROWS                                                                                \
    SPL_INPUT(spl_liquid_words, kind, CHOICE, "kind", "spirit, vinegar, honey …", .needed = 1,     \
              .value = "KIND", .words = KINDS),                                                    \
        SPL_INPUT(spl_liquid_words, amount, AMOUNT, "amount", "how much: 5L, 2x1L, 3kg",           \
                  .needed = 1),                                                                    \
        SPL_INPUT(spl_liquid_words, supplier, NAME, "supplier", "who it is from", .needed = 1),    \
        SPL_INPUT(spl_liquid_words, number, NAME, "number", "the supplier's own batch number",     \
                  .value = "TEXT"),                                                                \
        SPL_INPUT(spl_liquid_words, on, DAY, "on", "the day", .past = 1, .today = 1),              \
        SPL_INPUT(spl_liquid_words, by, NAME, "by", "who", .value = "WHO", .setting = "who")

static const struct spl_input add_rows[] = {
    COMMON_ROWS,
    SPL_INPUT(spl_liquid_words, strength_frac, STRENGTH, "strength",
              "of spirit and glycerol by volume, of vinegar its acid"),
};
static const struct spl_input use_rows[] = {
    COMMON_ROWS,
    SPL_INPUT(spl_liquid_words, why, TEXT, "why", "what it went for: cleaning, spilt …",
              .needed = 1),
};

static enum spl_liquid_kind kind_of(const char *name)
{
    enum spl_liquid_kind kind = SPL_STOCK_SPIRIT;

    for (guint i = 0; spl_liquid_kind_names[i] != NULL; i++)
        if (strcmp(spl_liquid_kind_names[i], name) == 0)
            kind = (enum spl_liquid_kind)i;
    return kind;
}

static gboolean is_weighed(enum spl_liquid_kind kind)
{
    return kind == SPL_STOCK_HONEY || kind == SPL_STOCK_SUGAR || kind == SPL_STOCK_WAX;
}

static gboolean check_amount(const void *record, GError **error)
{
    const struct spl_liquid_words *words = record;
    gboolean weighed = is_weighed(kind_of(words->kind));

    if (!isnan(weighed ? words->amount.g : words->amount.ml))
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "amount", "%s is kept in %s; say it so",
                        words->kind, weighed ? "grams" : "millilitres");
    return FALSE;
}

static gboolean check_add(const void *record, GError **error)
{
    const struct spl_liquid_words *words = record;
    enum spl_liquid_kind kind = kind_of(words->kind);
    gboolean has =
        kind == SPL_STOCK_SPIRIT || kind == SPL_STOCK_VINEGAR || kind == SPL_STOCK_GLYCEROL;

    if (!check_amount(record, error))
        return FALSE;
    if (has && !(words->strength_frac > 0.0)) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "strength",
                            "%s has one, and it stands on the bottle; say it, as %s", words->kind,
                            kind == SPL_STOCK_VINEGAR ? "5%" : "96%");
        return FALSE;
    }
    if (!has && !isnan(words->strength_frac)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "strength", "%s has none; leave it out",
                            words->kind);
        return FALSE;
    }
    return TRUE;
}

const struct spl_inputs spl_liquid_add_inputs =
    SPL_INPUTS("liquid_add", spl_liquid_words, add_rows, .check = check_add);
const struct spl_inputs spl_liquid_use_inputs =
    SPL_INPUTS("liquid_use", spl_liquid_words, use_rows, .check = check_amount);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_liquid_question, season, COUNT, "year",
              "what the plan of this growing year wants (default this one)", .value = "Y",
              .min = 1900, .max = 9999),
};
const struct spl_inputs spl_liquid_question_inputs =
    SPL_INPUTS("liquid_question", spl_liquid_question, question_rows);

/* ---- what came under one number, and what went of it ---- */

struct stock {
    GArray *lines;  /* struct spl_liquid_line */
    GHashTable *at; /* key -> index + 1 */
};

static struct spl_liquid_line *line_at(const struct stock *stock, const char *supplier,
                                       const char *number)
{
    g_autofree char *key = spl_liquid_key(supplier, number);
    guint at = GPOINTER_TO_UINT(g_hash_table_lookup(stock->at, key));

    return at > 0 ? &g_array_index(stock->lines, struct spl_liquid_line, at - 1) : NULL;
}

static void take_row(const struct stock *stock, const struct spl_liquid_row *row)
{
    struct spl_liquid_line *line = line_at(stock, row->supplier, row->number);
    double amount = isnan(row->ml) ? row->g : row->ml;

    if (line == NULL) {
        struct spl_liquid_line fresh = {.kind = row->kind,
                                        .supplier = g_strdup(row->supplier),
                                        .number = g_strdup(row->number),
                                        .strength_pct = row->strength_frac * 100.0,
                                        .unit = g_strdup(isnan(row->ml) ? "g" : "mL")};

        g_array_append_val(stock->lines, fresh);
        g_hash_table_insert(stock->at, spl_liquid_key(row->supplier, row->number),
                            GUINT_TO_POINTER(stock->lines->len));
        line = &g_array_index(stock->lines, struct spl_liquid_line, stock->lines->len - 1);
    }
    if (row->why == NULL)
        line->bought += amount;
    else
        line->other += amount;
}

/* How much of the stock itself a jar's liquid took, which may have been let down with water: what
 * draws is counted. */
static double of_stock(const struct spl_liquid_line *line, const struct spl_liquid_charge *charge)
{
    double strength = line->strength_pct / 100.0;

    switch (line->kind) {
    case SPL_STOCK_SPIRIT:
        return charge->blend.ethanol_g / SPL_ETHANOL_G_PER_ML / strength;
    case SPL_STOCK_VINEGAR:
        return charge->blend.acid_g / strength;
    case SPL_STOCK_GLYCEROL:
        return charge->blend.glycerol_ml / strength;
    case SPL_STOCK_SUGAR:
        return charge->blend.sugar_g;
    case SPL_STOCK_HONEY:
    case SPL_STOCK_WAX:
        return charge->blend.mass_g;
    case SPL_STOCK_OIL:
        break;
    }
    return charge->blend.ml;
}

static gboolean take_charge(const struct spl_liquid_charge *charge, gpointer data, GError **error)
{
    const struct stock *stock = data;
    struct spl_liquid_line *line =
        charge->supplier != NULL ? line_at(stock, charge->supplier, charge->number) : NULL;

    (void)error;
    if (line != NULL)
        line->drawn += of_stock(line, charge);
    return TRUE;
}

/* A list of spl_liquid_line_shape; NULL with an error. */
static GArray *stock_lines(struct spl_house *house, GError **error)
{
    g_autoptr(GHashTable) at = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    struct stock stock = {.at = at};
    GArray *rows = spl_liquid_rows(house->book, error);

    if (rows == NULL)
        return NULL;
    stock.lines = spl_list_new(&spl_liquid_line_shape);
    for (guint i = 0; i < rows->len; i++)
        take_row(&stock, &g_array_index(rows, struct spl_liquid_row, i));
    spl_list_free(&spl_liquid_row_shape, rows);
    if (!spl_liquid_each_charge(house->book, take_charge, &stock, error)) {
        spl_list_free(&spl_liquid_line_shape, stock.lines);
        return NULL;
    }
    for (guint i = 0; i < stock.lines->len; i++) {
        struct spl_liquid_line *line = &g_array_index(stock.lines, struct spl_liquid_line, i);

        line->left = line->bought - line->drawn - line->other;
        if (line->left < -SPL_CRUMB)
            line->note = g_strdup("more went than came in: something was not entered");
        else if (line->number == NULL)
            line->note = g_strdup("no number of theirs: a recall could not be followed");
    }
    return stock.lines;
}

/* ---- in, and out otherwise ---- */

static struct spl_liquid_row row_of(const struct spl_liquid_words *words)
{
    return (struct spl_liquid_row){.kind = kind_of(words->kind),
                                   .day = words->on,
                                   .ml = words->amount.ml,
                                   .g = words->amount.g,
                                   .strength_frac = words->strength_frac,
                                   .supplier = g_strdup(words->supplier),
                                   .number = g_strdup(words->number),
                                   .why = g_strdup(words->why),
                                   .by = g_strdup(words->by)};
}

/* The line that a row goes on; `there` is NULL when there is none yet. */
static const struct spl_liquid_line *find_line(const GArray *lines,
                                               const struct spl_liquid_words *words)
{
    g_autofree char *key = spl_liquid_key(words->supplier, words->number);

    for (guint i = 0; i < lines->len; i++) {
        const struct spl_liquid_line *line = &g_array_index(lines, struct spl_liquid_line, i);
        g_autofree char *other = spl_liquid_key(line->supplier, line->number);

        if (strcmp(key, other) == 0)
            return line;
    }
    return NULL;
}

/* One number of one supplier is one thing. */
static gboolean check_same(const struct spl_liquid_line *line, const struct spl_liquid_row *row,
                           GError **error)
{
    double strength = row->strength_frac * 100.0;

    if (line->kind != row->kind) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "kind",
                            "%s of %s is %s by this book; look at the number",
                            line->number != NULL ? line->number : "what has no number",
                            line->supplier, spl_liquid_kind_names[line->kind]);
        return FALSE;
    }
    if (row->why == NULL && !isnan(strength) && fabs(strength - line->strength_pct) > 0.05) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "strength",
                            "under that number it is %.1f %% by this book; look at the bottle",
                            line->strength_pct);
        return FALSE;
    }
    return TRUE;
}

static gboolean check_left(const struct spl_liquid_line *line, const struct spl_liquid_words *words,
                           GError **error)
{
    double amount = isnan(words->amount.ml) ? words->amount.g : words->amount.ml;
    g_autofree char *left = NULL;

    if (line == NULL) {
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "number",
                            "nothing of %s with that number came in by this book", words->supplier);
        return FALSE;
    }
    if (amount <= line->left + SPL_CRUMB)
        return TRUE;
    left = spl_amount_format(MAX(line->left, 0.0), line->unit);
    spl_error_set_input(error, SPL_ERROR_REFUSED, "amount", "%s are left of it by this book", left);
    return FALSE;
}

/* Inside the transaction. */
static gboolean write_row(struct spl_house *house, const struct spl_liquid_words *words,
                          struct spl_liquid_row *row, GError **error)
{
    GArray *lines = stock_lines(house, error);
    const struct spl_liquid_line *line;
    gboolean ok;

    if (lines == NULL)
        return FALSE;
    line = find_line(lines, words);
    ok = (line == NULL || check_same(line, row, error)) &&
         (words->why == NULL || check_left(line, words, error));
    if (ok && line != NULL && isnan(row->strength_frac))
        row->strength_frac = line->strength_pct / 100.0;
    spl_list_free(&spl_liquid_line_shape, lines);
    return ok && spl_liquid_row_add(house->book, row, error);
}

static gboolean enter(struct spl_house *house, const struct spl_inputs *inputs,
                      const struct spl_liquid_words *said, struct spl_liquid_row *row,
                      GPtrArray **cautions, GError **error)
{
    struct spl_liquid_words words;
    struct spl_liquid_row made;
    gboolean ok;

    if (!spl_entry_take(house, inputs, said, &words, error))
        return FALSE;
    if (inputs == &spl_liquid_use_inputs)
        words.strength_frac = NAN; /* that which it came with */
    else
        words.why = NULL;
    made = row_of(&words);
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, write_row(house, &words, &made, error), error);
    if (ok) {
        *cautions = g_ptr_array_new_with_free_func(g_free);
        if (made.number == NULL)
            spl_caution_add(*cautions,
                            "no number of theirs: a recall could not be followed, and jars draw "
                            "on it by the supplier alone");
        if (made.kind == SPL_STOCK_SPIRIT)
            spl_caution_add(*cautions, "keep the papers of spirit as your licence asks");
        *row = made;
    } else {
        spl_record_clear(&spl_liquid_row_shape, &made);
    }
    spl_inputs_clear(inputs, &words);
    return ok;
}

gboolean spl_liquid_add(struct spl_house *house, const struct spl_liquid_words *words,
                        struct spl_liquid_row *row, GPtrArray **cautions, GError **error)
{
    return enter(house, &spl_liquid_add_inputs, words, row, cautions, error);
}

gboolean spl_liquid_use(struct spl_house *house, const struct spl_liquid_words *words,
                        struct spl_liquid_row *row, GPtrArray **cautions, GError **error)
{
    return enter(house, &spl_liquid_use_inputs, words, row, cautions, error);
}

/* ---- what the plan wants ---- */

#define STRENGTH_ROUND 0.0005 /* of what is told to a tenth of a per cent */

/* Of each kind, what draws: pure alcohol and glycerol in mL, acid in g, the others as they are. */
struct wants {
    double pure[SPL_STOCK_WAX + 1], strength[SPL_STOCK_WAX + 1];
    struct spl_day by[SPL_STOCK_WAX + 1];
    GPtrArray *what_for[SPL_STOCK_WAX + 1]; /* borrowed names */
};

static void want(struct wants *wants, enum spl_liquid_kind kind, double pure, double strength,
                 const struct spl_plan_line *line)
{
    if (!(pure > 0.0))
        return;
    wants->pure[kind] += pure;
    wants->strength[kind] = fmax(wants->strength[kind], strength);
    if (spl_day_is_set(line->gather_by) &&
        (!spl_day_is_set(wants->by[kind]) || spl_day_compare(line->gather_by, wants->by[kind]) < 0))
        wants->by[kind] = line->gather_by;
    if (!g_ptr_array_find(wants->what_for[kind], line->name, NULL))
        g_ptr_array_add(wants->what_for[kind], line->name);
}

static void want_of(struct wants *wants, enum spl_liquid liquid, const struct spl_need_result *need,
                    double share, const struct spl_plan_line *line)
{
    double ml = need->menstruum_ml * share, strength = need->menstruum_pct / 100.0;

    switch (liquid) {
    case SPL_LIQUID_SPIRIT:
        want(wants, SPL_STOCK_SPIRIT, ml * strength, strength, line);
        break;
    case SPL_LIQUID_VINEGAR:
        want(wants, SPL_STOCK_VINEGAR, ml * strength, strength, line);
        break;
    case SPL_LIQUID_GLYCEROL:
        want(wants, SPL_STOCK_GLYCEROL, ml * strength, strength, line);
        break;
    case SPL_LIQUID_OIL:
        want(wants, SPL_STOCK_OIL, ml, NAN, line);
        break;
    case SPL_LIQUID_OXYMEL:
        want(wants, SPL_STOCK_VINEGAR, need->vinegar_ml * share * strength, strength, line);
        want(wants, SPL_STOCK_HONEY, need->honey_g * share, NAN, line);
        break;
    case SPL_LIQUID_SYRUP:
        want(wants, SPL_STOCK_SUGAR, need->sugar_g * share, NAN, line);
        break;
    case SPL_LIQUID_HONEY:
        want(wants, SPL_STOCK_HONEY, need->honey_g * share, NAN, line);
        break;
    case SPL_LIQUID_SALVE:
        want(wants, SPL_STOCK_OIL, ml, NAN, line);
        want(wants, SPL_STOCK_WAX, need->wax_g * share, NAN, line);
        break;
    case SPL_LIQUID_WATER:
    case SPL_LIQUID_NONE:
        break;
    }
}

/* What is still to be made of one planned batch, by the tables' figures of its first material. */
static void take_planned(struct spl_house *house, const struct spl_plan_line *line,
                         struct wants *wants)
{
    const struct spl_preparation *preparation =
        spl_tables_preparation_by_slug(house->tables, line->preparation);
    double share = line->need_g > 0.0 ? (line->to_come_g + line->gathered_g) / line->need_g : 0.0;
    guint n = line->materials->len;

    if (preparation == NULL || isnan(line->yield_ml) || !(share > 0.0))
        return;
    for (guint i = 0; i < n; i++) {
        g_autofree char *material = g_strdup(g_ptr_array_index(line->materials, i));
        struct spl_need_words words;
        struct spl_need_result need;
        char *colon = strchr(material, ':');

        if (colon != NULL)
            *colon = '\0';
        spl_need_words_init(&words);
        words.material = material;
        words.preparation = line->preparation;
        words.yield.ml = line->yield_ml / n;
        words.dry = !preparation->takes_fresh;
        if (!spl_need_answer(house, &words, &need, NULL))
            continue;
        want_of(wants, preparation->liquid, &need, MIN(share, 1.0), line);
        spl_record_clear(&spl_need_result_shape, &need);
    }
}

/* At the strength of the strongest that stands, since that is what one buys again. What is weaker
 * than what is to be poured stands for nothing: water takes strength away, and nothing gives it. */
static void add_need(const struct wants *wants, enum spl_liquid_kind kind,
                     struct spl_liquid_stock *stock)
{
    double strength = 0.0, left = 0.0, pure = wants->pure[kind];
    struct spl_liquid_need need = {.kind = kind,
                                   .unit = g_strdup(is_weighed(kind) ? "g" : "mL"),
                                   .by = wants->by[kind],
                                   .what_for = g_ptr_array_new_with_free_func(g_free)};

    for (guint i = 0; i < stock->liquids->len; i++) {
        const struct spl_liquid_line *line =
            &g_array_index(stock->liquids, struct spl_liquid_line, i);

        if (line->kind != kind || !(line->left > 0.0) ||
            line->strength_pct / 100.0 < wants->strength[kind] - STRENGTH_ROUND)
            continue;
        left += isnan(line->strength_pct) ? line->left : line->left * line->strength_pct / 100.0;
        strength = fmax(strength, line->strength_pct / 100.0);
    }
    if (!(strength > 0.0))
        strength = wants->strength[kind];
    need.strength_pct = strength > 0.0 ? strength * 100.0 : (double)NAN;
    need.amount = strength > 0.0 ? pure / strength : pure;
    need.left = strength > 0.0 ? left / strength : left;
    need.to_buy = MAX(need.amount - need.left, 0.0);
    for (guint i = 0; i < wants->what_for[kind]->len; i++)
        g_ptr_array_add(need.what_for, g_strdup(g_ptr_array_index(wants->what_for[kind], i)));
    g_array_append_val(stock->needs, need);
}

static gboolean take_plan(struct spl_house *house, int season, struct spl_liquid_stock *stock,
                          GError **error)
{
    GArray *lines = spl_plan_lines(house, &(struct spl_plan_question){season}, error);
    struct wants wants = {.pure = {0}};

    if (lines == NULL)
        return FALSE;
    for (int kind = 0; kind <= SPL_STOCK_WAX; kind++) {
        wants.by[kind] = SPL_DAY_NONE;
        wants.what_for[kind] = g_ptr_array_new();
    }
    for (guint i = 0; i < lines->len; i++)
        take_planned(house, &g_array_index(lines, struct spl_plan_line, i), &wants);
    for (int kind = 0; kind <= SPL_STOCK_WAX; kind++) {
        if (wants.pure[kind] > 0.0)
            add_need(&wants, (enum spl_liquid_kind)kind, stock);
        g_ptr_array_unref(wants.what_for[kind]);
    }
    spl_list_free(&spl_plan_line_shape, lines);
    return TRUE;
}

gboolean spl_liquid_stock(struct spl_house *house, const struct spl_liquid_question *question,
                          struct spl_liquid_stock *stock, GError **error)
{
    struct spl_liquid_stock made = {NULL, NULL};

    if (!spl_entry_check(house, &spl_liquid_question_inputs, question, error) ||
        spl_house_tables(house, error) == NULL ||
        (made.liquids = stock_lines(house, error)) == NULL)
        return FALSE;
    made.needs = spl_list_new(&spl_liquid_need_shape);
    if (!take_plan(house, question->season, &made, error)) {
        spl_record_clear(&spl_liquid_stock_shape, &made);
        return FALSE;
    }
    *stock = made;
    return TRUE;
}

/* SPDX-License-Identifier: MIT
 *
 * Stock-taking: one lot, or all that stands by a sheet: bottled lots, herb in jars, on racks and in
 * the freezer, jars that draw. See simpling/batch.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/file.h"
#include "book/draw.h"
#include "book/drying.h"
#include "book/lot.h"
#include "book/purchase.h"
#include "exchange/csv.h"
#include "exchange/csv_write.h"
#include "season/batch_private.h"
#include "season/label_words.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"

/* What measuring and drying away explain: more than this asks why. */
#define FOUND_MORE 0.02
#define FOUND_LESS 0.10
#define FOUND_LEAST 5.0 /* mL or g */

static const struct spl_field counted_fields[] = {
    SPL_FIELD(spl_counted, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_counted, what, SPL_TEXT, "what", "what"),
    SPL_FIELD(spl_counted, place, SPL_TEXT, "place", "stands"),
    SPL_FIELD_NUM(spl_counted, book, 1, "book", "by the book", .by_unit = 1),
    SPL_FIELD_NUM(spl_counted, counted, 1, "counted", "counted", .by_unit = 1),
    SPL_FIELD_NUM(spl_counted, difference, 1, "difference", "difference", .by_unit = 1),
    SPL_FIELD(spl_counted, unit, SPL_TEXT, "unit", "unit"),
    SPL_FIELD(spl_counted, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_counted, taken, SPL_BOOL, "taken", "taken"),
    SPL_FIELD(spl_counted, note, SPL_TEXT, "note", "note"),
};
const struct spl_shape spl_counted_shape = SPL_SHAPE("counted", spl_counted, counted_fields);

static const struct spl_input count_rows[] = {
    SPL_INPUT(spl_lot_count_words, code, CODE, "code", "the lot", .words = "L"),
    SPL_INPUT(spl_lot_count_words, counted, AMOUNT, "amount",
              "what stands there: 640mL, 3x100mL+40mL", .zero = 1),
    SPL_INPUT(spl_lot_count_words, why, TEXT, "why", "why it differs from the book"),
    SPL_INPUT(spl_lot_count_words, all, FILE, "all", "everything, from the filled sheet"),
    SPL_INPUT(spl_lot_count_words, sheet, FILE, "sheet",
              "write the sheet to count by: a table of all that stands"),
    SPL_INPUT(spl_lot_count_words, force, FLAG, "force", "replace a file that is there"),
    SPL_INPUT(spl_lot_count_words, on, DAY, "on", "the day", .past = 1, .today = 1),
    SPL_INPUT(spl_lot_count_words, by, NAME, "by", "who counted", .value = "WHO", .setting = "who"),
};
static const struct spl_rule count_rules[] = {
    {SPL_RULE_SOME, {"code", "all", "sheet"}}, {SPL_RULE_MOST, {"code", "all", "sheet"}},
    {SPL_RULE_WITH, {"amount", "code"}},       {SPL_RULE_WITH, {"code", "amount"}},
    {SPL_RULE_WITH, {"why", "code"}},          {SPL_RULE_WITH, {"force", "sheet"}}};
const struct spl_inputs spl_lot_count_inputs =
    SPL_INPUTS("lot_count", spl_lot_count_words, count_rows, SPL_RULES(count_rules));

static const struct spl_input line_rows[] = {
    SPL_INPUT(spl_count_line, code, CODE, "code", "what was counted", .needed = 1, .words = "LBDP"),
    SPL_INPUT(spl_count_line, counted, NAME, "counted",
              "what stands there: 640mL, 3x100mL+40mL; a bare number in its own unit"),
    SPL_INPUT(spl_count_line, why, TEXT, "why", "why it differs from the book"),
};
static const struct spl_inputs line_inputs = SPL_INPUTS("count_line", spl_count_line, line_rows);

static const struct spl_input lines_rows[] = {
    SPL_INPUT(spl_count_words, lines, LIST, "lines", "what was counted", .needed = 1,
              .item = &line_inputs),
    SPL_INPUT(spl_count_words, on, DAY, "on", "the day", .past = 1, .today = 1),
    SPL_INPUT(spl_count_words, by, NAME, "by", "who counted", .value = "WHO", .setting = "who"),
};
const struct spl_inputs spl_count_inputs = SPL_INPUTS("count", spl_count_words, lines_rows);

/* What a count says of one thing. */
struct count {
    struct spl_amount amount;
    const char *why; /* NULL */
    struct spl_day on;
    const char *by;
};

/* Whether a difference may pass without a word; `unit` names it. */
static gboolean explained(const char *code, double book, double counted, const char *unit,
                          const char *why, GError **error)
{
    double more = counted - book;

    if (why != NULL || fabs(more) <= FOUND_LEAST ||
        (more <= FOUND_MORE * book && -more <= FOUND_LESS * book))
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_REFUSED, "why",
                        "%s: the book has %.4g %s and %.4g are counted, %.4g %s; count again, or "
                        "say why",
                        code, book, unit, counted, fabs(more), more > 0 ? "more" : "less");
    return FALSE;
}

static double amount_in(const struct spl_amount *amount, gboolean weighed)
{
    /* Nothing is nothing in any unit. */
    if (amount->g == 0 || amount->ml == 0)
        return 0.0;
    return weighed ? amount->g : amount->ml;
}

/* ---- one lot ---- */

static gboolean count_lot(struct spl_house *house, const struct count *count,
                          const struct spl_lot *lot, GError **error)
{
    gboolean weighed = !isnan(lot->left_g);
    double book = weighed ? lot->left_g : lot->left_ml;
    double counted = amount_in(&count->amount, weighed);

    if (isnan(counted)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "amount", "%s is kept in %s; count it so",
                            lot->code, weighed ? "grams" : "millilitres");
        return FALSE;
    }
    return spl_lot_stands_on(lot, count->on, error) &&
           explained(lot->code, book, counted, weighed ? "g" : "mL", count->why, error) &&
           spl_lot_event_add(house->book, lot->id, SPL_LOT_COUNTED, count->on, count->why, counted,
                             counted - book, count->by, error);
}

/* Inside the transaction. */
static gboolean count_one(struct spl_house *house, const struct spl_lot_count_words *words,
                          struct spl_lot *lot, GError **error)
{
    const struct count count = {words->counted, words->why, words->on, words->by};
    struct spl_lot found;
    gboolean ok;

    if (!spl_shelf_find(house, words->code, &found, NULL, error)) {
        spl_error_about(error, "code");
        return FALSE;
    }
    ok = count_lot(house, &count, &found, error) &&
         spl_shelf_find(house, found.code, lot, NULL, error);
    spl_record_clear(&spl_lot_shape, &found);
    return ok;
}

gboolean spl_lot_count(struct spl_house *house, const struct spl_lot_count_words *said,
                       struct spl_lot *lot, GError **error)
{
    struct spl_lot_count_words words;
    struct spl_lot found = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_lot_count_inputs, said, &words, error))
        return FALSE;
    if (words.code == NULL) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "code", "is missing");
        spl_inputs_clear(&spl_lot_count_inputs, &words);
        return FALSE;
    }
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, count_one(house, &words, &found, error), error);
    if (ok)
        *lot = found;
    else
        spl_record_clear(&spl_lot_shape, &found);
    spl_inputs_clear(&spl_lot_count_inputs, &words);
    return ok;
}

/* ---- all that stands ---- */

/* One thing that can be counted. */
struct standing {
    gint64 id;
    char kind; /* of its code */
    struct spl_counted line;
    char *bottles;
    struct spl_day since;
    gboolean seen; /* on the sheet that was read */
};

static void clear_standing(gpointer data)
{
    struct standing *standing = data;

    spl_record_clear(&spl_counted_shape, &standing->line);
    g_free(standing->bottles);
}

struct gather {
    struct spl_house *house;
    const struct spl_tables *tables;
    GArray *all; /* struct standing */
};

static char *what_of(const struct gather *gather, const char *materials, const char *made)
{
    g_autofree char *words = spl_label_materials(gather->tables, materials);

    return g_strdup_printf("%s, %s", words, made);
}

static gboolean gather_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct gather *gather = data;
    gboolean weighed = !isnan(lot->left_g);
    struct standing one = {.id = lot->id,
                           .kind = 'L',
                           .bottles = g_strdup(lot->full),
                           .since = lot->made,
                           .line = {.code = g_strdup(lot->code),
                                    .what = what_of(gather, lot->materials, lot->preparation),
                                    .place = g_strdup(lot->place),
                                    .book = weighed ? lot->left_g : lot->left_ml,
                                    .counted = NAN,
                                    .difference = NAN,
                                    .unit = g_strdup(weighed ? "g" : "mL")}};

    (void)error;
    g_array_append_val(gather->all, one);
    return TRUE;
}

static void gather_herb(struct gather *gather, char kind, gint64 id, const char *code, char *what,
                        const char *place, double left_g, struct spl_day since)
{
    struct standing one = {.id = id,
                           .kind = kind,
                           .since = since,
                           .line = {.code = g_strdup(code),
                                    .what = what,
                                    .place = g_strdup(place),
                                    .book = left_g,
                                    .counted = NAN,
                                    .difference = NAN,
                                    .unit = g_strdup("g")}};

    g_array_append_val(gather->all, one);
}

static gboolean gather_drying(const struct spl_drying *drying, gpointer data, GError **error)
{
    struct gather *gather = data;

    (void)error;
    if (drying->left_g > SPL_CRUMB)
        gather_herb(gather, 'D', drying->id, drying->code,
                    what_of(gather, drying->material,
                            drying->kind == SPL_DRYING_FROZEN  ? "frozen"
                            : spl_day_is_set(drying->finished) ? "dried"
                                                               : "on the rack"),
                    drying->kind == SPL_DRYING_FROZEN  ? "freezer"
                    : spl_day_is_set(drying->finished) ? NULL
                                                       : "rack",
                    drying->left_g, drying->started);
    return TRUE;
}

static gboolean gather_purchase(const struct spl_purchase *purchase, gpointer data, GError **error)
{
    struct gather *gather = data;

    (void)error;
    if (purchase->left_g > SPL_CRUMB)
        gather_herb(gather, 'P', purchase->id, purchase->code,
                    what_of(gather, purchase->material, purchase->supplier), NULL, purchase->left_g,
                    purchase->date);
    return TRUE;
}

static gboolean gather_jar(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct gather *gather = data;
    struct standing one = {.id = batch->id,
                           .kind = 'B',
                           .since = batch->started,
                           .line = {.code = g_strdup(batch->code),
                                    .what = what_of(gather, batch->materials, batch->preparation),
                                    .book = MAX(batch->jars, 1),
                                    .counted = NAN,
                                    .difference = NAN,
                                    .unit = g_strdup("jars")}};

    (void)error;
    if (!isnan(batch->jar_ml)) {
        g_autofree char *size = spl_volume_format(batch->jar_ml / MAX(batch->jars, 1));

        one.bottles = g_strdup_printf("%d × %s", MAX(batch->jars, 1), size);
    }
    g_array_append_val(gather->all, one);
    return TRUE;
}

/* NULL with an error. */
static GArray *all_that_stands(struct spl_house *house, GError **error)
{
    g_autoptr(GArray) all = g_array_new(FALSE, TRUE, sizeof(struct standing));
    struct gather gather = {.house = house, .all = all};

    g_array_set_clear_func(all, clear_standing);
    gather.tables = spl_house_tables(house, error);
    if (gather.tables == NULL || !spl_shelf_each(house, FALSE, gather_lot, &gather, error) ||
        !spl_batch_each_full(house, FALSE, gather_jar, &gather, error) ||
        !spl_drying_each(house->book, FALSE, FALSE, gather_drying, &gather, error) ||
        !spl_purchase_each(house->book, FALSE, gather_purchase, &gather, error))
        return NULL;
    return g_steal_pointer(&all);
}

static void add_line(GArray *lines, const struct spl_counted *line)
{
    struct spl_counted own;

    spl_record_copy(&spl_counted_shape, line, &own);
    g_array_append_val(lines, own);
}

/* ---- the sheet ---- */

static gboolean write_sheet(const char *path, const GArray *all, GError **error)
{
    static const char *const head[] = {"code", "what", "place",   "bottles",
                                       "book", "unit", "counted", "why"};
    g_autoptr(spl_file_writer) writer = spl_file_writer_open(path, error);

    if (writer == NULL || !spl_csv_write_row(writer, head, G_N_ELEMENTS(head), error))
        return FALSE;
    for (guint i = 0; i < all->len; i++) {
        const struct standing *one = &g_array_index(all, struct standing, i);
        g_autofree char *book = spl_number_format(one->line.book, 1);
        const char *const cells[] = {one->line.code,
                                     one->line.what,
                                     one->line.place != NULL ? one->line.place : "",
                                     one->bottles != NULL ? one->bottles : "",
                                     book,
                                     one->line.unit,
                                     "",
                                     ""};

        if (!spl_csv_write_row(writer, cells, G_N_ELEMENTS(cells), error))
            return FALSE;
    }
    return spl_file_writer_commit(writer, error);
}

GArray *spl_lot_count_sheet(struct spl_house *house, const struct spl_lot_count_words *said,
                            GError **error)
{
    g_autoptr(GArray) all = NULL;
    struct spl_lot_count_words words;
    GArray *lines = NULL;

    if (!spl_entry_take(house, &spl_lot_count_inputs, said, &words, error))
        return NULL;
    if (words.sheet == NULL)
        spl_error_set_input(error, SPL_ERROR_USAGE, "sheet", "is missing");
    else if (!words.force && g_file_test(words.sheet, G_FILE_TEST_EXISTS))
        spl_error_set_input(error, SPL_ERROR_EXISTS, "force",
                            "%s is there already; name another file, or say that it is to be "
                            "replaced",
                            words.sheet);
    else if (spl_file_is_target(words.sheet, error) &&
             (all = all_that_stands(house, error)) != NULL &&
             write_sheet(words.sheet, all, error)) {
        lines = spl_list_new(&spl_counted_shape);
        for (guint i = 0; i < all->len; i++)
            add_line(lines, &g_array_index(all, struct standing, i).line);
    }
    spl_inputs_clear(&spl_lot_count_inputs, &words);
    return lines;
}

/* ---- the filled sheet ---- */

struct columns {
    int code, counted, why;
};

static struct standing *find_standing(const GArray *all, const char *code)
{
    for (guint i = 0; i < all->len; i++) {
        struct standing *one = &g_array_index(all, struct standing, i);

        if (g_ascii_strcasecmp(one->line.code, code) == 0)
            return one;
    }
    return NULL;
}

/* "340 mL", "3x100mL+40mL", or a bare number in the unit of the line. */
static gboolean read_counted(const char *text, const struct standing *one,
                             struct spl_amount *amount, GError **error)
{
    gboolean weighed = strcmp(one->line.unit, "g") == 0;
    double number;

    if (spl_number_parse(text, "counted", 0.0, 1e6, &number, NULL)) {
        *amount = weighed ? (struct spl_amount){.g = number, .ml = NAN}
                          : (struct spl_amount){.g = NAN, .ml = number};
        return TRUE;
    }
    return spl_amount_parse(text, "counted", amount, error);
}

/* Herb that is not found was lost; more than was weighed is a question for the scales. */
static gboolean count_herb(struct spl_house *house, const struct count *count,
                           const struct standing *one, double counted, GError **error)
{
    double less = one->line.book - counted;
    g_autofree char *why = NULL;

    if (!explained(one->line.code, one->line.book, counted, "g", count->why, error))
        return FALSE;
    if (-less > FOUND_MORE * one->line.book && -less > FOUND_LEAST) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: more than was weighed; correct its weight", one->line.code);
        return FALSE;
    }
    if (less < SPL_CRUMB)
        return TRUE;
    why = g_strdup_printf("counted: %s", count->why != NULL ? count->why : "less was there");
    return spl_discard_add(house->book, one->id, count->on, less, NAN, why, count->by, error);
}

static gboolean count_jars(const struct standing *one, double counted, GError **error)
{
    if (fabs(counted - one->line.book) < 0.5)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s: %.4g of %.4g jars stand there; throw away what broke, and say why",
                one->line.code, counted, one->line.book);
    return FALSE;
}

static gboolean count_standing(struct spl_house *house, const struct count *count,
                               struct standing *one, GError **error)
{
    double counted = amount_in(&count->amount, one->kind == 'D' || one->kind == 'P');
    struct spl_lot lot;
    gboolean ok;

    one->line.counted = counted;
    one->line.difference = counted - one->line.book;
    if (one->kind == 'B')
        return count_jars(one, counted, error);
    if (one->kind != 'L') {
        if (isnan(counted)) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: is weighed; count it in grams",
                        one->line.code);
            return FALSE;
        }
        return count_herb(house, count, one, counted, error);
    }
    if (!spl_shelf_get(house, one->id, &lot, error))
        return FALSE;
    one->line.counted = amount_in(&count->amount, !isnan(lot.left_g));
    one->line.difference = one->line.counted - one->line.book;
    ok = count_lot(house, count, &lot, error);
    spl_record_clear(&spl_lot_shape, &lot);
    return ok;
}

/* The disk or the program failed, and not what the row says. */
static gboolean is_failure(const GError *error)
{
    return error->domain != SPL_ERROR || error->code == SPL_ERROR_BUSY ||
           error->code == SPL_ERROR_READ_ONLY || error->code == SPL_ERROR_IO ||
           error->code == SPL_ERROR_CORRUPT || error->code == SPL_ERROR_INTERNAL;
}

static void leave_out(GArray *lines, const char *code, const char *note)
{
    const struct spl_counted line = {
        .code = (char *)code, .book = NAN, .counted = NAN, .difference = NAN, .note = (char *)note};

    add_line(lines, &line);
}

/* What is being counted. */
struct taking {
    struct spl_house *house;
    GArray *all;   /* struct standing */
    GArray *lines; /* of spl_counted_shape: what came of it */
    struct spl_day on;
    const char *by;
};

/* One line; one without a figure was not counted. `at`: where it stands, for messages. */
static gboolean take_line(struct taking *taking, const struct spl_count_line *said, const char *at,
                          GError **error)
{
    struct standing *one = find_standing(taking->all, said->code);
    struct count count = {{NAN, NAN}, said->why, taking->on, taking->by};
    GError *failed = NULL;

    if (said->counted == NULL)
        return TRUE;
    if (one == NULL || one->seen) {
        g_autofree char *note = g_strdup_printf(
            one == NULL ? "%snothing of that code stands" : "%scounted already", at);

        leave_out(taking->lines, said->code, note);
        return TRUE;
    }
    one->seen = TRUE;
    one->line.taken = read_counted(said->counted, one, &count.amount, &failed) &&
                      count_standing(taking->house, &count, one, &failed);
    if (failed != NULL && is_failure(failed)) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (failed != NULL)
        one->line.note = g_strdup(failed->message);
    g_clear_error(&failed);
    one->line.why = g_strdup(count.why);
    add_line(taking->lines, &one->line);
    return TRUE;
}

static const char *said_or_null(const char *text)
{
    return *text != '\0' ? text : NULL;
}

static gboolean take_row(struct taking *taking, const struct spl_csv *csv, const struct columns *at,
                         GError **error)
{
    const struct spl_count_line said = {spl_csv_text(csv, at->code),
                                        said_or_null(spl_csv_text(csv, at->counted)),
                                        said_or_null(spl_csv_text(csv, at->why))};
    g_autofree char *where = g_strdup_printf("line %d: ", spl_csv_line(csv));

    return take_line(taking, &said, where, error);
}

/* Inside the transaction. */
static gboolean take_sheet(struct spl_house *house, const struct spl_lot_count_words *words,
                           struct spl_csv *csv, GArray *lines, GError **error)
{
    g_autoptr(GArray) all = all_that_stands(house, error);
    struct taking taking = {house, all, lines, words->on, words->by};
    struct columns at = {.why = spl_csv_column(csv, "why")};
    GError *failed = NULL;

    if (all == NULL || !spl_csv_column_required(csv, "code", &at.code, error) ||
        !spl_csv_column_required(csv, "counted", &at.counted, error))
        return FALSE;
    for (;;) {
        if (spl_csv_next(csv, &failed)) {
            if (!take_row(&taking, csv, &at, error))
                return FALSE;
        } else if (failed == NULL) {
            break;
        } else if (spl_csv_broken(csv)) {
            g_propagate_error(error, failed);
            return FALSE;
        } else {
            leave_out(lines, NULL, failed->message);
            g_clear_error(&failed);
        }
    }
    for (guint i = 0; i < all->len; i++) {
        struct standing *one = &g_array_index(all, struct standing, i);

        if (one->seen)
            continue;
        one->line.note = g_strdup("not counted");
        add_line(lines, &one->line);
    }
    return TRUE;
}

GArray *spl_lot_count_all(struct spl_house *house, const struct spl_lot_count_words *said,
                          GError **error)
{
    g_autoptr(spl_csv) csv = NULL;
    struct spl_lot_count_words words;
    GArray *lines = NULL;

    if (!spl_entry_take(house, &spl_lot_count_inputs, said, &words, error))
        return NULL;
    if (words.all == NULL)
        spl_error_set_input(error, SPL_ERROR_USAGE, "all", "is missing");
    else
        csv = spl_csv_open(words.all, error);
    if (csv != NULL && spl_book_begin(house->book, error)) {
        lines = spl_list_new(&spl_counted_shape);
        if (!spl_book_finish(house->book, take_sheet(house, &words, csv, lines, error), error)) {
            spl_list_free(&spl_counted_shape, lines);
            lines = NULL;
        }
    }
    spl_inputs_clear(&spl_lot_count_inputs, &words);
    return lines;
}

/* ---- by lines ---- */

GArray *spl_count_standing(struct spl_house *house, GError **error)
{
    g_autoptr(GArray) all = all_that_stands(house, error);
    GArray *lines;

    if (all == NULL)
        return NULL;
    lines = spl_list_new(&spl_counted_shape);
    for (guint i = 0; i < all->len; i++)
        add_line(lines, &g_array_index(all, struct standing, i).line);
    return lines;
}

/* Inside the transaction. */
static gboolean take_lines(struct spl_house *house, const struct spl_count_words *words,
                           GArray *lines, GError **error)
{
    g_autoptr(GArray) all = all_that_stands(house, error);
    struct taking taking = {house, all, lines, words->on, words->by};

    if (all == NULL)
        return FALSE;
    for (guint i = 0; i < words->lines->len; i++)
        if (!take_line(&taking, &g_array_index(words->lines, struct spl_count_line, i), "", error))
            return FALSE;
    return TRUE;
}

GArray *spl_count_lines(struct spl_house *house, const struct spl_count_words *said, GError **error)
{
    struct spl_count_words words;
    GArray *lines = NULL;

    if (!spl_entry_take(house, &spl_count_inputs, said, &words, error))
        return NULL;
    if (spl_book_begin(house->book, error)) {
        lines = spl_list_new(&spl_counted_shape);
        if (!spl_book_finish(house->book, take_lines(house, &words, lines, error), error)) {
            spl_list_free(&spl_counted_shape, lines);
            lines = NULL;
        }
    }
    spl_inputs_clear(&spl_count_inputs, &words);
    return lines;
}

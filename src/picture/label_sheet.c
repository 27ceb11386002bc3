/* SPDX-License-Identifier: MIT
 *
 * Label sheets. The words of a label are the rows below that go with its size, each with its rank;
 * the largest size at which all fit is taken. Where none does, the highest rank gives way: it is
 * printed on a sheet behind the labels, which the label names.
 */
#include "picture/label_sheet.h"

#include <math.h>
#include <string.h>

#include "picture/flow.h"
#include "picture/qr.h"
#include "picture/words.h"

#define PAD SPL_MM(1.8)
#define CODE_MOST 11.0        /* pt: below its QR code */
#define LOW SPL_MM(28.0)      /* within its padding: a tag's code is smaller on it */
#define QR_LEAST SPL_MM(11.0) /* smaller ones are not read from a bottle */
#define QR_MOST SPL_MM(18.0)  /* larger ones only take room from the words */
#define STEP 0.2              /* between the sizes that are tried, pt */
#define ROOMY 9.0             /* words under it run on: more room to read them is better */

char *spl_label_qr_text(const char *mark, const char *code)
{
    return mark != NULL && mark[0] != '\0' ? g_strdup_printf("%s:%s", mark, code) : g_strdup(code);
}

/* ---- the words of a label ------------------------------------------------------------------- */

enum role { TITLE, LATIN, PLAIN, STRONG, ALARM, FINE, CODE };

struct paragraph {
    char *text;
    enum role role;
    int rank; /* 0 stays; the highest is the first to go to the sheet */
};

static void paragraph_clear(gpointer paragraph)
{
    g_free(((struct paragraph *)paragraph)->text);
}

static char *joined(const char *between, const char *a, const char *b)
{
    const char *both[] = {a, b};
    return spl_words_join(between, both, 2);
}

/* ---- one function for each row; NULL or "": it does not apply ---- */

static char *state_of(const struct spl_label *label)
{
    return g_strdup(label->state);
}

static char *code_of(const struct spl_label *label)
{
    return g_strdup(label->code);
}

/* On a tag with what becomes of it: "Elderflower, tincture 1:8". */
static char *name_of(const struct spl_label *label)
{
    char *name = joined(" ", label->common, label->part);

    if (label->size != SPL_LABEL_TAG || label->preparation == NULL)
        return name;
    g_autofree char *herb = name;
    g_autofree char *preparation = g_utf8_strdown(label->preparation, -1);
    g_autofree char *made = joined(" ", preparation, label->ratio);
    return joined(", ", herb, made);
}

static char *latin_of(const struct spl_label *label)
{
    return g_strdup(label->latin);
}

/* On a small bottle with its alcohol: "Tincture 1:5, 34.2 % vol alcohol". */
static char *preparation_of(const struct spl_label *label)
{
    g_autofree char *abv = spl_words_percent(label->final_abv_frac);
    char *words = joined(" ", label->preparation, label->ratio);

    if (label->size != SPL_LABEL_SMALL || abv[0] == '\0')
        return words;
    g_autofree char *what = words;
    return g_strdup_printf("%s, %s alcohol", what, abv);
}

static char *shares_of(const struct spl_label *label)
{
    return g_strdup(label->shares);
}

static char *menstruum_of(const struct spl_label *label)
{
    return label->menstruum != NULL ? g_strdup_printf("in %s", label->menstruum) : NULL;
}

static char *alcohol_of(const struct spl_label *label)
{
    g_autofree char *abv = spl_words_percent(label->final_abv_frac);
    return abv[0] != '\0' ? g_strdup_printf("alcohol about %s", abv) : NULL;
}

static char *directions_of(const struct spl_label *label)
{
    return g_strdup(label->directions);
}

static char *dated(const char *as, const char *usual, struct spl_day day)
{
    g_autofree char *words = spl_words_date(day);
    return words[0] != '\0' ? g_strdup_printf("%s %s", as != NULL ? as : usual, words) : NULL;
}

static char *made_of(const struct spl_label *label)
{
    return dated(label->made_as, "made", label->made);
}

static char *use_by_of(const struct spl_label *label)
{
    return dated(label->use_as, "use by", label->use_by);
}

/* "gathered 24 July 2027 to 2 August 2027", whose blanks do not break. */
static char *gathered_of(const struct spl_label *label)
{
    g_autofree char *from = spl_words_date(label->gathered_from);
    g_autofree char *to = spl_words_date(label->gathered_to);
    g_autofree char *words = strcmp(from, to) == 0 ? g_strdup_printf("gathered %s", from)
                                                   : g_strdup_printf("gathered %s to %s", from, to);
    g_auto(GStrv) parts = g_strsplit(words, " ", -1);

    return from[0] != '\0' ? g_strjoinv("\u00a0", parts) : NULL;
}

static char *amount_of(const struct spl_label *label)
{
    return spl_words_amount(label->amount, label->unit);
}

static char *place_of(const struct spl_label *label)
{
    return label->place != NULL ? g_strdup_printf("from %s", label->place) : NULL;
}

static char *lid_of(const struct spl_label *label)
{
    return g_strdup(label->lid);
}

static char *storage_of(const struct spl_label *label)
{
    return g_strdup(label->storage);
}

static char *shelf_of(const struct spl_label *label)
{
    return g_strdup(label->shelf);
}

static char *outside_of(const struct spl_label *label)
{
    if (!label->outside_use)
        return NULL;
    return g_strdup(label->size == SPL_LABEL_LARGE ? "OUTSIDE: for external use only"
                                                   : "For external use only");
}

static char *inside_of(const struct spl_label *label)
{
    return label->inside ? g_strdup("INSIDE") : NULL;
}

static char *reference_of(const struct spl_label *label)
{
    g_autofree char *day = spl_words_date(label->handed_out);
    g_autofree char *on = day[0] != '\0' ? g_strdup_printf("handed out %s", day) : NULL;
    g_autofree char *number =
        label->reference != NULL ? g_strdup_printf("for no. %s", label->reference) : NULL;
    return number != NULL ? joined(", ", number, on) : NULL;
}

static char *dispensary_of(const struct spl_label *label)
{
    return g_strdup(label->dispensary);
}

static char *children_of(const struct spl_label *label)
{
    return g_strdup(label->children);
}

static char *warning_of(const struct spl_label *label)
{
    return g_strdup(label->warning);
}

static char *opened_of(const struct spl_label *label)
{
    (void)label;
    return g_strdup("opened on ____________");
}

static char *left_of(const struct spl_label *label)
{
    (void)label;
    return g_strdup("left: ________ on ________\nleft: ________ on ________");
}

static char *boxes_of(const struct spl_label *label)
{
    (void)label;
    return g_strdup("shaken \u25a1 \u25a1 \u25a1 \u25a1 \u25a1 \u25a1 \u25a1");
}

#define ON(size) (1U << (size))
#define S ON(SPL_LABEL_SMALL)
#define M ON(SPL_LABEL_MIDDLE)
#define L ON(SPL_LABEL_LARGE)
#define T ON(SPL_LABEL_TAG)

/* In the order in which they are printed. Cautions follow the rows, with ranks from CAUTION_RANK
 * on, the first the last to go. */
static const struct {
    unsigned on;
    enum role role;
    int rank;
    char *(*words)(const struct spl_label *label);
} rows[] = {
    {S | M | L | T, ALARM, 0, state_of},
    {T, CODE, 0, code_of},
    {S | M | L, STRONG, 0, reference_of},
    {S | M | L | T, TITLE, 0, name_of},
    {M | L, LATIN, 6, latin_of},
    {S | M | L, PLAIN, 0, preparation_of},
    {M | L, PLAIN, 4, shares_of},
    {L, PLAIN, 7, menstruum_of},
    {M | L, PLAIN, 0, alcohol_of},
    {S | M, STRONG, 0, directions_of},
    {L | T, PLAIN, 5, made_of},
    {S | M | L | T, STRONG, 0, use_by_of},
    {S | M | L | T, ALARM, 0, outside_of},
    {L, STRONG, 2, inside_of},
    {L | T, PLAIN, 5, gathered_of},
    {S | M | L, PLAIN, 3, amount_of},
    {M | L | T, PLAIN, 4, place_of},
    {L | T, PLAIN, 3, lid_of},
    {L, PLAIN, 3, shelf_of},
    {S | M | L, PLAIN, 3, storage_of},
    {S, FINE, 2, warning_of},
    {S | M | L, FINE, 1, children_of},
    {S | M | L, FINE, 1, dispensary_of},
    {M, PLAIN, 8, opened_of},
    {L, PLAIN, 9, left_of},
    {T, PLAIN, 2, boxes_of},
};
#define CAUTION_RANK 10

#undef S
#undef M
#undef L
#undef T

/* `joined`: small words run on after those before them, which saves lines. */
static void add(GArray *words, enum role role, int rank, char *text, gboolean joined)
{
    struct paragraph paragraph = {text, role, rank};
    struct paragraph *last =
        words->len > 0 ? &g_array_index(words, struct paragraph, words->len - 1) : NULL;

    if (text == NULL || text[0] == '\0') {
        g_free(text);
        return;
    }
    if (joined && last != NULL && last->role == role && (role == PLAIN || role == FINE)) {
        char *both =
            g_strdup_printf(role == FINE ? "%s %s" : "%s\302\240\302\267 %s", last->text, text);

        g_free(last->text);
        g_free(text);
        last->text = both;
        return;
    }
    g_array_append_val(words, paragraph);
}

static gboolean is_on(const struct spl_label *label, gsize row)
{
    return (rows[row].on & ON(label->size)) != 0;
}

/* The highest rank that there is. */
static int highest_rank(const struct spl_label *label)
{
    int highest = CAUTION_RANK + (int)label->n_cautions - 1;

    for (gsize i = 0; label->n_cautions == 0 && i < G_N_ELEMENTS(rows); i++)
        highest = MAX(highest, is_on(label, i) ? rows[i].rank : 0);
    return highest;
}

/* Lines to write on mean nothing on a sheet. */
static gboolean is_blank_line(gsize row)
{
    return rows[row].words == opened_of || rows[row].words == left_of ||
           rows[row].words == boxes_of;
}

/* The words of a row that went to the sheet; NULL: they stand on the label, or there are none. */
static char *gone(const struct spl_label *label, gsize row, int most)
{
    char *words;

    if (!is_on(label, row) || rows[row].rank <= most || is_blank_line(row))
        return NULL;
    words = rows[row].words(label);
    if (words != NULL && words[0] != '\0')
        return words;
    g_free(words);
    return NULL;
}

/* What the label says of what it has no room for; NULL: it has room for all. */
static char *pointer_of(const struct spl_label *label, int most)
{
    gsize cautions = most < CAUTION_RANK ? 0 : (gsize)(most - CAUTION_RANK) + 1;

    if (cautions < label->n_cautions)
        return g_strdup_printf("%s: read the sheet for %s",
                               cautions > 0 ? "More cautions" : "Cautions", label->code);
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *words = gone(label, i, most);

        if (words != NULL)
            return g_strdup_printf("More: read the sheet for %s", label->code);
    }
    return NULL;
}

/* The words of a label whose rank is `most` at most, and where the others are. `coded`: its code
 * too, which else stands below the QR code. */
static GArray *words_of(const struct spl_label *label, int most, gboolean coded, gboolean run_on)
{
    GArray *all = g_array_new(FALSE, FALSE, sizeof(struct paragraph));
    gsize cautions = most < CAUTION_RANK ? 0 : (gsize)(most - CAUTION_RANK) + 1;

    g_array_set_clear_func(all, paragraph_clear);
    if (coded)
        add(all, STRONG, 0, spl_label_qr_text(label->mark, label->code), FALSE);
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        if (is_on(label, i) && rows[i].rank <= most)
            add(all, rows[i].role, rows[i].rank, rows[i].words(label), run_on && !is_blank_line(i));
    }
    if (cautions > 0)
        add(all, FINE, CAUTION_RANK,
            spl_words_join(" ", label->cautions, MIN(cautions, label->n_cautions)), run_on);
    add(all, STRONG, 0, pointer_of(label, most), FALSE);
    return all;
}

static struct spl_type type_of(enum role role, double size)
{
    struct spl_type type = {.face = SPL_FACE_SANS, .size = size};
    switch (role) {
    case TITLE:
        type.face = SPL_FACE_SERIF;
        type.bold = TRUE;
        /* The smaller the words, the less the name stands out: it must fit too. */
        type.size = size * (1.0 + 0.35 * CLAMP((size - SPL_LABEL_SMALLEST) / 1.5, 0.0, 1.0));
        break;
    case LATIN:
        type.face = SPL_FACE_SERIF;
        type.italic = TRUE;
        break;
    case STRONG:
        type.bold = TRUE;
        break;
    case ALARM:
        type.bold = TRUE;
        type.size = size * 1.15;
        type.tone = SPL_TONE_MADDER;
        break;
    case FINE:
        type.size = MAX(SPL_LABEL_SMALLEST, size * 0.9);
        break;
    case CODE:
        type.bold = TRUE;
        type.size = 24.0;
        break;
    case PLAIN:
        break;
    }
    return type;
}

struct box {
    double x, y, w, h; /* of the label within its padding */
    double qr;         /* side of the QR code at its right top; 0: there is no room for one */
    double code_h;     /* of the code's words below it */
};

/* Sets the paragraphs from the top, beside the code first and below it in full width. Returns the
 * height; draws when asked to. */
static double set_words(struct spl_page *page, const struct box *box, const GArray *words,
                        double size, gboolean draw)
{
    double y = box->y, beside = box->qr > 0.0 ? box->y + box->qr + box->code_h + 1.0 : box->y;
    for (guint i = 0; i < words->len; i++) {
        const struct paragraph *paragraph = &g_array_index(words, struct paragraph, i);
        struct spl_type type = type_of(paragraph->role, size);
        if (paragraph->role == CODE && box->h < LOW)
            type.size = MAX(CODE_MOST, box->h / 4.0);
        double w = box->qr > 0.0 && y < beside ? box->w - box->qr - 2.0 : box->w, h;
        spl_page_measure(page, w, &type, paragraph->text, NULL, &h);
        if (draw)
            spl_page_text(page, box->x, y, w, &type, paragraph->text);
        y += h;
    }
    return y - box->y;
}

/* The code is read aloud and typed: it stays on one line as long as that can be read. */
static struct spl_type code_type(struct spl_page *page, double side, const char *text)
{
    struct spl_type type = {
        .face = SPL_FACE_SANS, .size = 8.0, .bold = TRUE, .align = SPL_ALIGN_CENTRE};
    double w;
    spl_page_measure(page, 0.0, &type, text, &w, NULL);
    /* Width grows as the size does; half a per cent for rounding. */
    type.size = CLAMP(type.size * side * 0.995 / w, SPL_LABEL_SMALLEST, MIN(side * 0.2, CODE_MOST));
    return type;
}

static struct box box_of(struct spl_page *page, const struct spl_label *label, double x, double y,
                         double w, double h)
{
    struct box box = {.x = x + PAD, .y = y + PAD, .w = w - 2.0 * PAD, .h = h - 2.0 * PAD};
    box.qr = MIN(MIN(box.h * 0.5, box.w * 0.26), QR_MOST);
    box.qr = MAX(box.qr, QR_LEAST);
    g_autofree char *text = spl_label_qr_text(label->mark, label->code);
    struct spl_type type = code_type(page, box.qr, text);
    spl_page_measure(page, box.qr, &type, text, NULL, &box.code_h);
    if (box.qr + box.code_h > box.h || box.qr >= box.w / 2.0)
        box.qr = box.code_h = 0.0;
    return box;
}

/* The largest size that fits, 0: none. Sizes are steps above the smallest, the same for all labels:
 * a size that was used before is quick to measure. */
static double fitting(struct spl_page *page, const struct box *box, const GArray *words,
                      double from, double least)
{
    int low = (int)ceil((least - SPL_LABEL_SMALLEST) / STEP - 1e-9);
    int high = MAX(low, (int)floor((from - SPL_LABEL_SMALLEST) / STEP));
    if (set_words(page, box, words, SPL_LABEL_SMALLEST + low * STEP, FALSE) > box->h)
        return 0.0;
    while (low < high) {
        int middle = (low + high + 1) / 2;
        if (set_words(page, box, words, SPL_LABEL_SMALLEST + middle * STEP, FALSE) <= box->h)
            low = middle;
        else
            high = middle - 1;
    }
    return SPL_LABEL_SMALLEST + low * STEP;
}

/* Where all has room it stands on lines of its own. Else words run on; and what has no room even so
 * goes off the label, the least needed first. `*most` is the highest rank that stayed; the size of
 * the words, 0: they fit at no size. */
static double fit(struct spl_page *page, const struct box *box, const struct spl_label *label,
                  int *most, GArray **words)
{
    double largest = CLAMP(box->h / 11.0, SPL_LABEL_SMALLEST, 22.0);
    int highest = highest_rank(label);

    for (int rank = highest + 1; rank >= 0; rank--) {
        gboolean run_on = rank <= highest;
        GArray *some = words_of(label, MIN(rank, highest), box->qr <= 0.0, run_on);
        double size = fitting(page, box, some, largest, run_on ? SPL_LABEL_SMALLEST : ROOMY);

        if (size > 0.0) {
            *most = MIN(rank, highest);
            *words = some;
            return size;
        }
        g_array_unref(some);
    }
    return 0.0;
}

static gboolean draw_code(struct spl_page *page, const struct spl_label *label,
                          const struct box *box, GError **error)
{
    g_autofree char *text = spl_label_qr_text(label->mark, label->code);
    struct spl_type type = code_type(page, box->qr, text);
    double x = box->x + box->w - box->qr;

    if (!spl_qr_draw(page, x, box->y, box->qr, text, error))
        return FALSE;
    spl_page_text(page, x, box->y + box->qr, box->qr, &type, text);
    return TRUE;
}

/* `*most`: the highest rank that stands on the label; what is above it goes to the sheet. */
static gboolean draw_label(struct spl_page *page, const struct spl_label *label, double x, double y,
                           double w, double h, int *most, GError **error)
{
    struct box box = box_of(page, label, x, y, w, h);
    g_autoptr(GArray) words = NULL;
    double size = fit(page, &box, label, most, &words);

    if (size <= 0.0 || words == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "the words for %s do not fit a label of %.0f x %.0f mm even at %.0f pt; use a "
                    "sheet with larger labels, or one label per page",
                    label->code, w * 25.4 / 72.0, h * 25.4 / 72.0, SPL_LABEL_SMALLEST);
        return FALSE;
    }
    if (box.qr > 0.0 && !draw_code(page, label, &box, error))
        return FALSE;
    set_words(page, &box, words, size, TRUE);
    g_autofree char *text = spl_label_qr_text(label->mark, label->code);
    g_autofree char *said = g_strdup_printf("Label %s: %s", text, label->common);
    spl_page_say(page, x, y, w, h, said);
    return TRUE;
}

/* ---- sheets ---------------------------------------------------------------------------------- */

/* A label that had no room for all of its words. */
struct overflow {
    const struct spl_label *label;
    int most;
};

static void cautions_head(struct spl_flow *flow, gpointer data)
{
    (void)data;
    spl_flow_title(flow, "To go with the labels",
                   "Each label names its part. For a practitioner; local codes and licensed "
                   "practice come first.");
}

static void draw_sheet(struct spl_page *page, const GArray *overflows)
{
    struct spl_flow flow;
    struct spl_type words = {.face = SPL_FACE_SANS, .size = 9.0};
    g_autoptr(GHashTable) done = g_hash_table_new(g_str_hash, g_str_equal);
    spl_page_next(page);
    spl_flow_begin(&flow, page, cautions_head, NULL);
    for (guint i = 0; i < overflows->len; i++) {
        const struct overflow *over = &g_array_index(overflows, struct overflow, i);
        const struct spl_label *label = over->label;
        if (!g_hash_table_add(done, (gpointer)label->code)) /* many labels of one lot */
            continue;
        const char *bits[] = {label->common, label->part, label->preparation};
        g_autofree char *what = spl_words_join(" ", bits, G_N_ELEMENTS(bits));
        g_autofree char *head = g_strdup_printf("%s  %s", label->code, what);
        spl_flow_section(&flow, head, 24.0);
        for (gsize k = 0; k < G_N_ELEMENTS(rows); k++) {
            g_autofree char *text = gone(label, k, over->most);
            if (text != NULL)
                spl_flow_text(&flow, &words, text, 2.0);
        }
        for (gsize k = 0; k < label->n_cautions; k++)
            spl_flow_text(&flow, &words, label->cautions[k], 2.0);
    }
}

GBytes *spl_label_sheet_draw(const struct spl_label_sheet *sheet,
                             const struct spl_page_options *options, struct spl_page_report *report,
                             GError **error)
{
    struct spl_label_stock one = {.name = (char *)"one per page", .across = 1, .down = 1};
    const struct spl_label_stock *stock = sheet->stock;
    if (stock == NULL) {
        double page_w, page_h;
        spl_page_paper_size(options->paper, &page_w, &page_h);
        one.page_w = page_w * 25.4 / 72.0;
        one.page_h = page_h * 25.4 / 72.0;
        one.left = one.top = 20.0;
        one.label_w = one.step_x = one.page_w - 40.0;
        one.label_h = one.step_y = one.page_h / 2.0 - 40.0;
        stock = &one;
    }
    if (!spl_label_stock_check(stock, error))
        return NULL;
    int per_page = stock->across * stock->down;
    if (sheet->skip < 0 || sheet->skip >= per_page) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%d used labels cannot be left out of a sheet of %d; give 0 to %d", sheet->skip,
                    per_page, per_page - 1);
        return NULL;
    }
    struct spl_page_setup setup = {.options = *options,
                                   .width = SPL_MM(stock->page_w),
                                   .height = SPL_MM(stock->page_h),
                                   .title = "Labels",
                                   .about = "Labels for bottles and jars."};
    struct spl_page *page = spl_page_open(&setup, error);
    if (page == NULL)
        return NULL;
    g_autoptr(GArray) overflows = g_array_new(FALSE, FALSE, sizeof(struct overflow));
    for (gsize i = 0; i < sheet->n_labels; i++) {
        const struct spl_label *label = &sheet->labels[i];
        int place = (sheet->skip + (int)(i % (gsize)per_page)) % per_page;
        if (i > 0 && place == 0)
            spl_page_next(page);
        struct overflow over = {label, 0};
        gboolean ok = TRUE;
        if (label->code == NULL || label->code[0] == '\0') {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "a label for '%s' has no code; labels are printed for codes",
                        label->common != NULL ? label->common : "");
            ok = FALSE;
        }
        int column = place % stock->across, row = place / stock->across;
        double x = SPL_MM(stock->left + column * stock->step_x);
        double y = SPL_MM(stock->top + row * stock->step_y);
        spl_label_stock_mark(page, stock, x, y);
        ok = ok && draw_label(page, label, x, y, SPL_MM(stock->label_w), SPL_MM(stock->label_h),
                              &over.most, error);
        if (!ok) {
            spl_page_free(page);
            return NULL;
        }
        g_autofree char *more = pointer_of(label, over.most);
        if (more != NULL)
            g_array_append_val(overflows, over);
    }
    if (overflows->len > 0)
        draw_sheet(page, overflows);
    return spl_page_finish(page, report, error);
}

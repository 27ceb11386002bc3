/* SPDX-License-Identifier: MIT
 *
 * Label sheets. The words of a label are a list of paragraphs; the largest size at which all fit is
 * taken. Cautions are the first to give way: then the label names the sheet that carries them.
 */
#include "picture/label_sheet.h"

#include <math.h>
#include <string.h>

#include "picture/flow.h"
#include "picture/qr.h"
#include "picture/words.h"

#define PAD SPL_MM(1.8)
#define CAUTIONS_FROM 5.5 /* smaller than this, cautions go on their sheet */
#define STEP 0.2          /* between the sizes that are tried, pt */

void spl_label_stock_clear(struct spl_label_stock *stock)
{
    g_free(stock->name);
    g_free(stock->source);
    memset(stock, 0, sizeof *stock);
}

gboolean spl_label_stock_check(const struct spl_label_stock *s, GError **error)
{
    const char *wrong = NULL;
    double right = s->left + (s->across - 1) * s->step_x + s->label_w;
    double bottom = s->top + (s->down - 1) * s->step_y + s->label_h;
    if (s->across < 1 || s->down < 1 || s->across > 50 || s->down > 50)
        wrong = "has no labels or more than 50 in a row";
    else if (!(s->page_w >= 20.0 && s->page_h >= 15.0 && s->page_w <= 1200.0 &&
               s->page_h <= 1200.0))
        wrong = "has a page that no printer takes (20 x 15 to 1200 mm)";
    else if (!(s->label_w >= 30.0 && s->label_h >= 15.0))
        wrong = "has labels too small to read (at least 30 x 15 mm)";
    else if ((s->across > 1 && s->step_x < s->label_w - 1e-6) ||
             (s->down > 1 && s->step_y < s->label_h - 1e-6))
        wrong = "has labels that overlap; its steps must be at least the label";
    else if (!(s->left >= 0.0 && s->top >= 0.0 && right <= s->page_w + 1e-6 &&
               bottom <= s->page_h + 1e-6))
        wrong = "has labels that leave the page";
    if (wrong == NULL)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "label sheet '%s' %s; correct its row",
                s->name != NULL ? s->name : "", wrong);
    return FALSE;
}

char *spl_label_qr_text(const char *mark, const char *code)
{
    return mark != NULL && mark[0] != '\0' ? g_strdup_printf("%s:%s", mark, code) : g_strdup(code);
}

/* ---- the words of a label ------------------------------------------------------------------- */

enum role { TITLE, LATIN, PLAIN, STRONG, ALARM, FINE };

struct paragraph {
    char *text;
    enum role role;
};

static void paragraph_clear(gpointer paragraph)
{
    g_free(((struct paragraph *)paragraph)->text);
}

/* Takes `text`; empty ones are left out. */
static void add(GArray *paragraphs, enum role role, char *text)
{
    if (text == NULL || text[0] == '\0') {
        g_free(text);
        return;
    }
    struct paragraph paragraph = {text, role};
    g_array_append_val(paragraphs, paragraph);
}

static char *joined(const char *between, const char *a, const char *b)
{
    const char *both[] = {a, b};
    return spl_words_join(between, both, 2);
}

static void add_dates(GArray *all, const struct spl_label *label)
{
    g_autofree char *made = spl_words_date(label->made);
    g_autofree char *use_by = spl_words_date(label->use_by);
    g_autofree char *made_words = made[0] != '\0' ? g_strdup_printf("made %s", made) : NULL;
    g_autofree char *use_words = use_by[0] != '\0' ? g_strdup_printf("use by %s", use_by) : NULL;
    /* Each on a line of its own, so that no date is broken. */
    add(all, PLAIN, g_steal_pointer(&made_words));
    add(all, STRONG, g_steal_pointer(&use_words));
}

/* "gathered 24 July 2027": in a line with other words, so its blanks do not break. NULL: unset. */
static char *gathered_words(const struct spl_label *label)
{
    g_autofree char *from = spl_words_date(label->gathered_from);
    g_autofree char *to = spl_words_date(label->gathered_to);
    g_autofree char *words = strcmp(from, to) == 0 ? g_strdup_printf("gathered %s", from)
                                                   : g_strdup_printf("gathered %s to %s", from, to);
    g_auto(GStrv) parts = g_strsplit(words, " ", -1);

    return from[0] != '\0' ? g_strjoinv("\u00a0", parts) : NULL;
}

/* All words of a label with the first `cautions` of its cautions; when that is not all, with the
 * name of the sheet that has them. */
static GArray *words_of(const struct spl_label *label, gsize cautions)
{
    GArray *all = g_array_new(FALSE, FALSE, sizeof(struct paragraph));
    g_array_set_clear_func(all, paragraph_clear);
    add(all, ALARM, g_strdup(label->state));
    add(all, TITLE, joined(" ", label->common, label->part));
    add(all, LATIN, g_strdup(label->latin));
    add(all, PLAIN, joined(" ", label->preparation, label->ratio));
    g_autofree char *abv = spl_words_percent(label->final_abv_frac);
    g_autofree char *alcohol = abv[0] != '\0' ? g_strdup_printf("alcohol about %s", abv) : NULL;
    g_autofree char *in =
        label->menstruum != NULL ? g_strdup_printf("in %s", label->menstruum) : NULL;
    add(all, PLAIN, joined("; ", in, alcohol));
    add_dates(all, label);
    g_autofree char *amount = spl_words_amount(label->amount, label->unit);
    g_autofree char *place = label->place != NULL ? g_strdup_printf("from %s", label->place) : NULL;
    g_autofree char *gathered = gathered_words(label);
    const char *bits[] = {gathered, amount, place, label->lid, label->storage};
    add(all, PLAIN, spl_words_join("; ", bits, G_N_ELEMENTS(bits)));
    if (label->outside_use)
        add(all, ALARM, g_strdup("For external use only"));
    if (label->reference != NULL) {
        g_autofree char *day = spl_words_date(label->handed_out);
        g_autofree char *on = day[0] != '\0' ? g_strdup_printf("handed out %s", day) : NULL;
        g_autofree char *number = g_strdup_printf("for no. %s", label->reference);
        add(all, STRONG, joined(", ", number, on));
    }
    add(all, FINE, g_strdup(label->dispensary));
    if (cautions > 0)
        add(all, FINE, spl_words_join(" ", label->cautions, cautions));
    if (cautions < label->n_cautions)
        add(all, STRONG,
            g_strdup_printf("%s: read the sheet for %s",
                            cautions > 0 ? "More cautions" : "Cautions", label->code));
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
    case PLAIN:
        break;
    }
    return type;
}

struct box {
    double x, y, w, h; /* of the label within its padding */
    double qr;         /* side of the QR code at its right top */
    double code_h;     /* of the code's words below it */
};

/* Sets the paragraphs from the top, beside the code first and below it in full width. Returns the
 * height; draws when asked to. */
static double set_words(struct spl_page *page, const struct box *box, const GArray *words,
                        double size, gboolean draw)
{
    double y = box->y, beside = box->y + box->qr + box->code_h + 1.0;
    for (guint i = 0; i < words->len; i++) {
        const struct paragraph *paragraph = &g_array_index(words, struct paragraph, i);
        struct spl_type type = type_of(paragraph->role, size);
        double w = y < beside ? box->w - box->qr - 2.0 : box->w, h;
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
    type.size = CLAMP(type.size * side * 0.995 / w, SPL_LABEL_SMALLEST, side * 0.2);
    return type;
}

static struct box box_of(struct spl_page *page, const struct spl_label *label, double x, double y,
                         double w, double h)
{
    struct box box = {.x = x + PAD, .y = y + PAD, .w = w - 2.0 * PAD, .h = h - 2.0 * PAD};
    box.qr = MIN(MIN(box.h * 0.5, box.w * 0.26), SPL_MM(30.0));
    box.qr = MAX(box.qr, MIN(SPL_MM(11.0), box.h));
    g_autofree char *text = spl_label_qr_text(label->mark, label->code);
    struct spl_type type = code_type(page, box.qr, text);
    spl_page_measure(page, box.qr, &type, text, NULL, &box.code_h);
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

/* TRUE in `sheet`: the cautions are still to be printed. */
static gboolean draw_label(struct spl_page *page, const struct spl_label *label, double x, double y,
                           double w, double h, gboolean *sheet, GError **error)
{
    struct box box = box_of(page, label, x, y, w, h);
    double largest = CLAMP(box.h / 11.0, 6.0, 22.0);
    /* As many cautions as leave the words readable; the first are the most important. */
    gsize cautions = label->n_cautions;
    g_autoptr(GArray) words = words_of(label, cautions);
    double size;
    for (;;) {
        size =
            fitting(page, &box, words, largest, cautions > 0 ? CAUTIONS_FROM : SPL_LABEL_SMALLEST);
        if (size > 0.0 || cautions == 0)
            break;
        g_clear_pointer(&words, g_array_unref);
        words = words_of(label, --cautions);
    }
    *sheet = cautions < label->n_cautions;
    if (size <= 0.0 || box.qr + box.code_h > box.h) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "the words for %s do not fit a label of %.0f x %.0f mm even at %.0f pt; use a "
                    "sheet with larger labels, or one label per page",
                    label->code, w * 25.4 / 72.0, h * 25.4 / 72.0, SPL_LABEL_SMALLEST);
        return FALSE;
    }
    g_autofree char *text = spl_label_qr_text(label->mark, label->code);
    double qr_x = box.x + box.w - box.qr;
    if (!spl_qr_draw(page, qr_x, box.y, box.qr, text, error))
        return FALSE;
    struct spl_type type = code_type(page, box.qr, text);
    spl_page_text(page, qr_x, box.y + box.qr, box.qr, &type, text);
    set_words(page, &box, words, size, TRUE);
    g_autofree char *said = g_strdup_printf("Label %s: %s", text, label->common);
    spl_page_say(page, x, y, w, h, said);
    return TRUE;
}

/* ---- sheets ---------------------------------------------------------------------------------- */

static void cautions_head(struct spl_flow *flow, gpointer data)
{
    (void)data;
    spl_flow_title(flow, "Cautions to go with the labels",
                   "Each label names its part. For a practitioner; local codes and licensed "
                   "practice come first.");
}

static void draw_cautions(struct spl_page *page, const GPtrArray *labels)
{
    struct spl_flow flow;
    struct spl_type words = {.face = SPL_FACE_SANS, .size = 9.0};
    g_autoptr(GHashTable) done = g_hash_table_new(g_str_hash, g_str_equal);
    spl_page_next(page);
    spl_flow_begin(&flow, page, cautions_head, NULL);
    for (guint i = 0; i < labels->len; i++) {
        const struct spl_label *label = g_ptr_array_index(labels, i);
        if (!g_hash_table_add(done, (gpointer)label->code)) /* many labels of one lot */
            continue;
        const char *bits[] = {label->common, label->part, label->preparation};
        g_autofree char *what = spl_words_join(" ", bits, G_N_ELEMENTS(bits));
        g_autofree char *head = g_strdup_printf("%s  %s", label->code, what);
        spl_flow_section(&flow, head, 24.0);
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
    g_autoptr(GPtrArray) overflowing = g_ptr_array_new();
    for (gsize i = 0; i < sheet->n_labels; i++) {
        const struct spl_label *label = &sheet->labels[i];
        int place = (sheet->skip + (int)(i % (gsize)per_page)) % per_page;
        if (i > 0 && place == 0)
            spl_page_next(page);
        gboolean ok = TRUE, more = FALSE;
        if (label->code == NULL || label->code[0] == '\0') {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "a label for '%s' has no code; labels are printed for codes",
                        label->common != NULL ? label->common : "");
            ok = FALSE;
        }
        int column = place % stock->across, row = place / stock->across;
        double x = SPL_MM(stock->left + column * stock->step_x);
        double y = SPL_MM(stock->top + row * stock->step_y);
        ok = ok && draw_label(page, label, x, y, SPL_MM(stock->label_w), SPL_MM(stock->label_h),
                              &more, error);
        if (!ok) {
            spl_page_free(page);
            return NULL;
        }
        if (more)
            g_ptr_array_add(overflowing, (gpointer)label);
    }
    if (overflowing->len > 0)
        draw_cautions(page, overflowing);
    return spl_page_finish(page, report, error);
}

/* SPDX-License-Identifier: MIT
 *
 * The record of a batch, by the items of 21 CFR 111.260 (a)-(n), in their order. What the page has
 * left over goes to the lines to write on.
 */
#include "picture/batch_record.h"

#include <math.h>

#include "base/amount.h"
#include "picture/flow.h"
#include "picture/label_sheet.h"
#include "picture/qr.h"
#include "picture/words.h"

#define QR_SIDE SPL_MM(20.0)
#define SIZE 7.6
#define CAPTION 8.0
#define LINE 15.0 /* between two lines to write on */
#define MOST_LINES 4

struct record {
    const struct spl_batch_record *batch;
    char *title;
    int lines; /* to write on, under each item that the book says nothing of */
    GError *error;
};

static void draw_head(struct spl_flow *flow, gpointer data)
{
    struct record *record = data;
    const struct spl_batch_record *batch = record->batch;
    g_autofree char *name = spl_label_qr_text(batch->mark, batch->code);
    if (spl_page_number(flow->page) > 0) {
        struct spl_type small = {.face = SPL_FACE_SERIF, .size = 9.0, .bold = TRUE};
        flow->y +=
            spl_page_text(flow->page, flow->x, flow->y, flow->w, &small, record->title) + 3.0;
        return;
    }
    double top = flow->y, whole = flow->w;
    if (record->error == NULL)
        spl_qr_draw(flow->page, flow->x + flow->w - QR_SIDE, top, QR_SIDE, name, &record->error);
    flow->w = whole - QR_SIDE - 6.0;
    g_autofree char *printed = spl_words_date(batch->printed);
    g_autofree char *stood =
        printed[0] != '\0' ? g_strdup_printf("as the book stood on %s", printed) : NULL;
    const char *bits[] = {batch->latin, stood};
    g_autofree char *below = spl_words_join("; ", bits, G_N_ELEMENTS(bits));
    spl_flow_title(flow, record->title, below);
    flow->w = whole;
    flow->y = MAX(flow->y, top + QR_SIDE + 2.0);
}

static void item(struct spl_flow *flow, char letter, const char *name, double with)
{
    struct spl_type type = {.face = SPL_FACE_SERIF, .size = 8.6, .bold = TRUE};
    g_autofree char *words = g_strdup_printf("(%c) %s", letter, name);
    spl_flow_need(flow, 14.0 + with);
    flow->y += 3.0;
    flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &type, words) + 0.5;
}

static void line_of(struct spl_flow *flow, const char *words)
{
    struct spl_type type = {.face = SPL_FACE_SANS, .size = SIZE};
    spl_flow_text(flow, &type, words, 0.5);
}

/* The book's remarks under one item, and ruled lines when there is none. */
static void remarks(struct spl_flow *flow, const struct record *record, char letter, gboolean rule)
{
    const struct spl_batch_record *batch = record->batch;
    gboolean any = FALSE;
    for (gsize i = 0; i < batch->n_notes; i++) {
        if (batch->notes[i].item != letter)
            continue;
        g_autofree char *day = spl_words_date(batch->notes[i].day);
        g_autofree char *words =
            g_strdup_printf("%s%s%s", day, day[0] != '\0' ? ": " : "", batch->notes[i].text);
        line_of(flow, words);
        any = TRUE;
    }
    for (int i = 0; !any && rule && i < record->lines; i++) {
        spl_flow_need(flow, LINE);
        spl_page_line(flow->page, flow->x, flow->y + LINE - 1.0, flow->x + flow->w,
                      flow->y + LINE - 1.0, 0.4, SPL_TONE_RULE, 0.0);
        flow->y += LINE;
    }
}

/* One item over the whole width. */
static void whole(struct spl_flow *flow, const struct record *record, char letter, const char *name)
{
    item(flow, letter, name, LINE);
    remarks(flow, record, letter, TRUE);
}

/* Two items side by side, both for handwriting unless the book knows. */
static void pair(struct spl_flow *flow, const struct record *record, char left,
                 const char *left_name, char right, const char *right_name)
{
    const struct spl_batch_record *batch = record->batch;
    double x = flow->x, w = flow->w, half = (w - 12.0) / 2.0;
    gboolean book_knows = FALSE;
    for (gsize i = 0; i < batch->n_notes; i++)
        book_knows = book_knows || batch->notes[i].item == left || batch->notes[i].item == right;
    if (book_knows) { /* remarks may run over a page: one after the other */
        whole(flow, record, left, left_name);
        whole(flow, record, right, right_name);
        return;
    }
    spl_flow_need(flow, 18.0 + record->lines * LINE);
    double y = flow->y;
    flow->w = half;
    whole(flow, record, left, left_name);
    double end = flow->y;
    flow->x = x + half + 12.0;
    flow->y = y;
    whole(flow, record, right, right_name);
    flow->y = MAX(flow->y, end);
    flow->x = x;
    flow->w = w;
}

static void draw_facts(struct spl_flow *flow, const struct spl_batch_record *batch)
{
    item(flow, 'a', "batch number, what it is, and the numbers of its packaged lots", 20.0);
    g_autofree char *started = spl_words_date(batch->started);
    g_autofree char *pressed = spl_words_date(batch->pressed);
    g_autofree char *name = spl_label_qr_text(batch->mark, batch->code);
    g_autofree char *first =
        g_strdup_printf("%s: %s; %s %s; started %s; %s%s", name, batch->what, batch->preparation,
                        batch->ratio != NULL ? batch->ratio : "", started,
                        pressed[0] != '\0' ? "pressed "
                        : batch->gone      ? "thrown away"
                                           : "still stands",
                        pressed);
    line_of(flow, first);
    if (batch->n_lots == 0) {
        line_of(flow, "Packaged lots: none yet.");
        return;
    }
    GString *lots = g_string_new("Packaged lots: ");
    for (gsize i = 0; i < batch->n_lots; i++) {
        const struct spl_batch_record_lot *lot = &batch->lots[i];
        g_autofree char *amount = spl_words_amount(lot->amount, lot->unit);
        g_autofree char *made = spl_words_date(lot->made);
        g_autofree char *use_by = spl_words_date(lot->use_by);
        g_string_append_printf(lots, "%s%s (%s, bottled %s%s%s)", i > 0 ? "; " : "", lot->code,
                               amount, made, use_by[0] != '\0' ? ", use by " : "", use_by);
    }
    line_of(flow, lots->str);
    g_string_free(lots, TRUE);
}

static void draw_components(struct spl_flow *flow, const struct spl_batch_record *batch)
{
    static const struct spl_table_column columns[] = {
        {"identifier", 18, SPL_ALIGN_LEFT, TRUE},         {"what", 42, SPL_ALIGN_LEFT, FALSE},
        {"weight or measure", 14, SPL_ALIGN_RIGHT, TRUE}, {"added", 13, SPL_ALIGN_LEFT, FALSE},
        {"weighed by", 16, SPL_ALIGN_LEFT, FALSE},        {"checked by", 16, SPL_ALIGN_LEFT, FALSE},
    };
    struct spl_table table = {.flow = flow,
                              .columns = columns,
                              .n_columns = G_N_ELEMENTS(columns),
                              .size = SIZE,
                              .least = 11.0,
                              .upright = TRUE,
                              .shown_on = -1};
    spl_flow_need(flow, 60.0);
    flow->y += 3.0;
    struct spl_type type = {.face = SPL_FACE_SERIF, .size = 8.6, .bold = TRUE};
    flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &type,
                             "(d) (e) identity, unique identifier and weight or measure of each "
                             "component") +
               1.0;
    for (gsize i = 0; i < batch->n_components; i++) {
        const struct spl_batch_record_component *c = &batch->components[i];
        g_autofree char *amount = spl_words_amount(c->amount, c->unit);
        g_autofree char *added = spl_words_date(c->added);
        const char *cells[] = {c->identifier, c->what, amount, added, c->by, NULL};
        spl_table_row(&table, cells);
    }
    g_autofree char *herb = spl_words_amount(batch->herb_g, "g");
    g_autofree char *liquid = spl_words_amount(batch->menstruum_ml, "mL");
    g_autofree char *in = spl_words_percent(batch->menstruum_abv_frac);
    g_autofree char *out = spl_words_percent(batch->final_abv_frac);
    g_autofree char *acid = isnan(batch->final_acid_frac)
                                ? g_strdup("")
                                : spl_number_format(batch->final_acid_frac * 100.0, 1);
    g_autofree char *jar = spl_words_amount(batch->jar_ml, "mL");
    GString *sum = g_string_new(NULL);
    g_string_append_printf(sum, "In all: herb %s, menstruum %s", herb, liquid);
    if (in[0] != '\0')
        g_string_append_printf(sum, " of %s", in);
    if (out[0] != '\0')
        g_string_append_printf(sum, "; reckoned final strength %s", out);
    if (acid[0] != '\0')
        g_string_append_printf(sum, "; reckoned final acid %s %%", acid);
    if (jar[0] != '\0')
        g_string_append_printf(sum, "; jar %s", jar);
    flow->y += 1.5;
    line_of(flow, sum->str);
    g_string_free(sum, TRUE);
}

static void draw_yield(struct spl_flow *flow, const struct spl_batch_record *batch)
{
    item(flow, 'f', "actual yield, and as a share of the theoretical yield", 14.0);
    g_autofree char *yield = spl_words_amount(batch->yield_ml, "mL");
    g_autofree char *expected = spl_words_amount(batch->expected_ml, "mL");
    if (yield[0] == '\0') {
        g_autofree char *words = g_strdup_printf("Not pressed yet; reckoned with %s.",
                                                 expected[0] != '\0' ? expected : "not known");
        line_of(flow, words);
        return;
    }
    GString *words = g_string_new(NULL);
    g_string_append_printf(words, "Actual %s", yield);
    if (expected[0] != '\0') {
        g_autofree char *share = spl_number_format(batch->yield_ml / batch->expected_ml * 100.0, 0);
        g_string_append_printf(words, "; reckoned with %s; that is %s %% of it", expected, share);
    }
    if (!isnan(batch->low_ml) && !isnan(batch->high_ml)) {
        gboolean within = batch->yield_ml >= batch->low_ml && batch->yield_ml <= batch->high_ml;
        g_autofree char *low = spl_volume_format(batch->low_ml);
        g_autofree char *high = spl_volume_format(batch->high_ml);
        g_string_append_printf(words, "; %s the likely range of %s to %s",
                               within ? "within" : "OUTSIDE", low, high);
    }
    line_of(flow, words->str);
    g_string_free(words, TRUE);
}

static void draw_steps(struct spl_flow *flow, const struct spl_batch_record *batch)
{
    static const struct spl_table_column columns[] = {
        {"step", 44, SPL_ALIGN_LEFT, FALSE},       {"due", 14, SPL_ALIGN_LEFT, FALSE},
        {"done", 14, SPL_ALIGN_LEFT, TRUE},        {"done by", 20, SPL_ALIGN_LEFT, FALSE},
        {"checked by", 20, SPL_ALIGN_LEFT, FALSE},
    };
    struct spl_table table = {.flow = flow,
                              .columns = columns,
                              .n_columns = G_N_ELEMENTS(columns),
                              .size = SIZE,
                              .least = 11.0,
                              .upright = TRUE,
                              .shown_on = -1};
    item(flow, 'j', "who did and who checked each step, with the day", 40.0);
    for (gsize i = 0; i < batch->n_steps; i++) {
        g_autofree char *due = spl_words_date(batch->steps[i].due);
        g_autofree char *done = spl_words_date(batch->steps[i].done);
        const char *cells[] = {batch->steps[i].what, due, done, batch->steps[i].by, NULL};
        spl_table_row(&table, cells);
    }
}

static void draw_review(struct spl_flow *flow, const struct record *record)
{
    const struct spl_batch_record *batch = record->batch;
    item(flow, 'l', "quality review: approved, released or rejected, by whom and when", 14.0);
    for (gsize i = 0; i < batch->n_lots; i++) {
        g_autofree char *words = g_strdup_printf("%s: %s", batch->lots[i].code,
                                                 batch->lots[i].state != NULL ? batch->lots[i].state
                                                                              : "not yet released");
        line_of(flow, words);
    }
    remarks(flow, record, 'l', FALSE);
    static const char *const names[] = {"reviewed by", "day", "decision"};
    struct spl_type small = {.face = SPL_FACE_SANS, .size = CAPTION};
    spl_flow_need(flow, 26.0);
    for (int i = 0; i < 3; i++) {
        double part = flow->w / 3.0, x = flow->x + part * i;
        spl_page_text(flow->page, x, flow->y + 1.0, part - 6.0, &small, names[i]);
        spl_page_line(flow->page, x, flow->y + 24.0, x + part - 8.0, flow->y + 24.0, 0.5,
                      SPL_TONE_BLACK, 0.0);
    }
    flow->y += 26.0;
}

static void draw_cautions(struct spl_flow *flow, const struct spl_batch_record *batch)
{
    struct spl_type bold = {
        .face = SPL_FACE_SANS, .size = SIZE, .bold = TRUE, .tone = SPL_TONE_MADDER};
    if (batch->n_cautions == 0)
        return;
    flow->y += 4.0;
    for (gsize i = 0; i < batch->n_cautions; i++)
        spl_flow_text(flow, &bold, batch->cautions[i], 0.5);
}

static void draw_all(struct spl_page *page, struct record *record)
{
    const struct spl_batch_record *batch = record->batch;
    struct spl_flow flow;

    spl_flow_begin(&flow, page, draw_head, record);
    if (record->error != NULL)
        return;
    draw_facts(&flow, batch);
    pair(&flow, record, 'b', "equipment and lines used", 'c',
         "cleaned: day, time or log reference");
    draw_components(&flow, batch);
    draw_yield(&flow, batch);
    pair(&flow, record, 'g', "monitoring", 'h', "tests and their results");
    whole(&flow, record, 'i', "proof that specifications are met");
    draw_steps(&flow, batch);
    whole(&flow, record, 'k', "packaging and labels: issued, used, returned");
    draw_review(&flow, record);
    pair(&flow, record, 'm', "reprocessing", 'n', "departures from the plan");
    draw_cautions(&flow, batch);
}

GBytes *spl_batch_record_draw(const struct spl_batch_record *batch,
                              const struct spl_page_options *options,
                              struct spl_page_report *report, GError **error)
{
    g_autofree char *title = g_strdup_printf("Batch record %s: %s", batch->code, batch->what);
    struct spl_page_setup setup = {
        .options = *options,
        .title = title,
        .about = "One-page record of a batch by the items of 21 CFR 111.260.",
        .foot = "Items as in 21 CFR 111.260. The sheet is a form; what it attests is attested by "
                "those who sign it."};
    struct spl_page *page;

    for (int lines = MOST_LINES;; lines--) {
        struct record record = {.batch = batch, .title = title, .lines = lines};

        page = spl_page_open(&setup, error);
        if (page == NULL)
            return NULL;
        draw_all(page, &record);
        if (record.error != NULL) {
            g_propagate_error(error, record.error);
            spl_page_free(page);
            return NULL;
        }
        if (lines == 1 || spl_page_number(page) == 0)
            break;
        spl_page_free(page);
    }
    return spl_page_finish(page, report, error);
}

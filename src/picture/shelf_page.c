/* SPDX-License-Identifier: MIT
 *
 * The shelf as a ledger.
 */
#include "picture/shelf_page.h"

#include <math.h>

#include "picture/flow.h"
#include "picture/words.h"

static void draw_head(struct spl_flow *flow, gpointer data)
{
    const struct spl_shelf_page *shelf = data;
    const char *title = shelf->title != NULL ? shelf->title : "The shelf";
    if (spl_page_number(flow->page) > 0) {
        struct spl_type small = {.face = SPL_FACE_SERIF, .size = 9.0, .bold = TRUE};
        flow->y += spl_page_text(flow->page, flow->x, flow->y, flow->w, &small, title) + 3.0;
        return;
    }
    g_autofree char *today = spl_words_date(shelf->today);
    g_autofree char *day = today[0] != '\0' ? g_strdup_printf("as it stood on %s", today) : NULL;
    const char *bits[] = {shelf->subtitle, day};
    g_autofree char *below = spl_words_join("; ", bits, G_N_ELEMENTS(bits));
    spl_flow_title(flow, title, below);
}

/* "15 June 2027", with "past" when the day lies behind. */
static char *due_words(struct spl_day day, struct spl_day today)
{
    g_autofree char *words = spl_words_date(day);
    if (words[0] == '\0' || !spl_day_is_set(today) || day.n >= today.n)
        return g_steal_pointer(&words);
    return g_strdup_printf("%s (past)", words);
}

static void say_row(struct spl_flow *flow, double top, int page, const char *const *cells, gsize n)
{
    if (spl_page_number(flow->page) != page)
        top = flow->top;
    g_autofree char *words = spl_words_join("; ", cells, n);
    spl_page_say(flow->page, flow->x, top, flow->w, MAX(flow->y - top, 1.0), words);
}

/* Columns that may be empty from top to bottom. */
enum { JAR_REMARKS = 9, LOT_STRENGTH = 5, LOT_WHY = 8 };

static void draw_jars(struct spl_flow *flow, const struct spl_shelf_page *shelf)
{
    static const struct spl_table_column columns[] = {
        {"jar", 9, SPL_ALIGN_LEFT, TRUE},         {"what", 25, SPL_ALIGN_LEFT, FALSE},
        {"from", 18, SPL_ALIGN_LEFT, FALSE},      {"how", 14, SPL_ALIGN_LEFT, FALSE},
        {"size", 8, SPL_ALIGN_RIGHT, FALSE},      {"stands since", 12, SPL_ALIGN_LEFT, FALSE},
        {"ready from", 13, SPL_ALIGN_LEFT, TRUE}, {"strain by", 13, SPL_ALIGN_LEFT, TRUE},
        {"next step", 16, SPL_ALIGN_LEFT, FALSE}, {"remarks", 20, SPL_ALIGN_LEFT, FALSE},
    };
    struct spl_table table = {.flow = flow,
                              .columns = columns,
                              .n_columns = G_N_ELEMENTS(columns),
                              .size = 7.6,
                              .shown_on = -1};
    spl_flow_section(flow, "Jars that stand", 40.0);
    if (shelf->n_jars == 0) {
        struct spl_type none = {.face = SPL_FACE_SERIF, .size = 8.5, .italic = TRUE};
        spl_flow_text(flow, &none, "No jar stands.", 2.0);
    }
    gboolean remarks = FALSE;
    for (gsize i = 0; i < shelf->n_jars; i++)
        remarks = remarks || shelf->jars[i].remark != NULL;
    if (!remarks)
        spl_table_leave_out(&table, JAR_REMARKS);
    for (gsize i = 0; i < shelf->n_jars; i++) {
        const struct spl_shelf_page_jar *jar = &shelf->jars[i];
        g_autofree char *size = spl_words_amount(jar->jar_ml, "mL");
        g_autofree char *since = spl_words_date(jar->since);
        g_autofree char *ready = spl_words_date(jar->ready_from);
        if (ready[0] != '\0' && spl_day_is_set(shelf->today) &&
            jar->ready_from.n <= shelf->today.n) {
            char *now = g_strdup_printf("%s, ready", ready);
            g_free(ready);
            ready = now;
        }
        g_autofree char *strain = due_words(jar->strain_by, shelf->today);
        g_autofree char *due = due_words(jar->next_due, shelf->today);
        const char *steps[] = {jar->next_step, due};
        g_autofree char *next = spl_words_join(", ", steps, G_N_ELEMENTS(steps));
        const char *cells[] = {jar->code, jar->what, jar->from, jar->ratio, size,
                               since,     ready,     strain,    next,       jar->remark};
        int page = spl_page_number(flow->page);
        double top = flow->y;
        spl_table_row(&table, cells);
        say_row(flow, top, page, cells, G_N_ELEMENTS(cells));
    }
}

static void draw_lots(struct spl_flow *flow, const struct spl_shelf_page *shelf)
{
    static const struct spl_table_column columns[] = {
        {"lot", 9, SPL_ALIGN_LEFT, TRUE},       {"what", 26, SPL_ALIGN_LEFT, FALSE},
        {"bottled", 12, SPL_ALIGN_LEFT, FALSE}, {"made", 9, SPL_ALIGN_RIGHT, FALSE},
        {"left", 9, SPL_ALIGN_RIGHT, TRUE},     {"strength", 10, SPL_ALIGN_LEFT, FALSE},
        {"use by", 14, SPL_ALIGN_LEFT, TRUE},   {"state", 11, SPL_ALIGN_LEFT, TRUE},
        {"why", 20, SPL_ALIGN_LEFT, FALSE},     {"stands, keep", 18, SPL_ALIGN_LEFT, FALSE},
    };
    struct spl_table table = {.flow = flow,
                              .columns = columns,
                              .n_columns = G_N_ELEMENTS(columns),
                              .size = 7.6,
                              .shown_on = -1};
    spl_flow_section(flow, "Bottled lots", 40.0);
    if (shelf->n_lots == 0) {
        struct spl_type none = {.face = SPL_FACE_SERIF, .size = 8.5, .italic = TRUE};
        spl_flow_text(flow, &none, "No lot is bottled.", 2.0);
    }
    gboolean strengths = FALSE, reasons = FALSE;
    for (gsize i = 0; i < shelf->n_lots; i++) {
        strengths = strengths || !isnan(shelf->lots[i].final_abv_frac);
        reasons = reasons || shelf->lots[i].reason != NULL;
    }
    if (!strengths)
        spl_table_leave_out(&table, LOT_STRENGTH);
    if (!reasons)
        spl_table_leave_out(&table, LOT_WHY);
    for (gsize i = 0; i < shelf->n_lots; i++) {
        const struct spl_shelf_page_lot *lot = &shelf->lots[i];
        g_autofree char *bottled = spl_words_date(lot->made);
        g_autofree char *made = spl_words_amount(lot->made_amount, lot->unit);
        g_autofree char *left = spl_words_amount(lot->left, lot->unit);
        g_autofree char *strength = spl_words_percent(lot->final_abv_frac);
        g_autofree char *use_by =
            due_words(lot->use_by, lot->left > 0.0 ? shelf->today : SPL_DAY_NONE);
        gboolean barred = lot->state == SPL_STATE_WITHDRAWN || lot->state == SPL_STATE_DESTROYED;
        g_autofree char *state = barred ? g_utf8_strup(spl_state_names[lot->state], -1)
                                        : g_strdup(spl_state_names[lot->state]);
        const char *cells[] = {lot->code, lot->what, bottled, made,        left,
                               strength,  use_by,    state,   lot->reason, lot->keep};
        int page = spl_page_number(flow->page);
        double top = flow->y;
        spl_table_row_toned(&table, cells, barred ? SPL_TONE_MADDER : SPL_TONE_BLACK);
        say_row(flow, top, page, cells, G_N_ELEMENTS(cells));
    }
}

GBytes *spl_shelf_page_draw(const struct spl_shelf_page *shelf,
                            const struct spl_page_options *options, struct spl_page_report *report,
                            GError **error)
{
    const char *title = shelf->title != NULL ? shelf->title : "The shelf";
    g_autofree char *about = g_strdup_printf(
        "Ledger of %" G_GSIZE_FORMAT " jars that stand and %" G_GSIZE_FORMAT " bottled lots.",
        shelf->n_jars, shelf->n_lots);
    struct spl_page_setup setup = {
        .options = *options, .landscape = TRUE, .title = title, .about = about, .foot = title};
    struct spl_page *page = spl_page_open(&setup, error);
    if (page == NULL)
        return NULL;
    struct spl_flow flow;
    spl_flow_begin(&flow, page, draw_head, (gpointer)shelf);
    draw_jars(&flow, shelf);
    draw_lots(&flow, shelf);
    return spl_page_finish(page, report, error);
}

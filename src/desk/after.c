/* SPDX-License-Identifier: MIT
 *
 * What one does next when something was written: the label of what was bottled, the jar for what
 * was picked, the recall behind what was sprayed. See desk/act.h.
 */
#include <math.h>
#include <string.h>

#include "desk/act.h"
#include "desk/page.h"
#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/harvest.h"
#include "simpling/site.h"
#include "simpling/trace.h"
#include "simpling/trust.h"

/* A photo as evidence: the form for its file, with the code. */
static void put_photo(struct spl_html *html, const char *code)
{
    const char *query[] = {"code", code, NULL};

    if (code != NULL)
        spl_desk_go(html, "/files/photo", query, "A photo that goes with it");
}

static void put_stage(struct spl_html *html, const void *record)
{
    put_photo(html, ((const struct spl_stage_record *)record)->code);
}

static void put_harvest(struct spl_html *html, const void *record)
{
    const struct spl_harvest *harvest = record;
    const char *from[] = {"from", harvest->code, NULL}, *code[] = {"code", harvest->code, NULL};

    if (isnan(harvest->weight_g)) {
        spl_desk_act(html, "harvest-weigh", "Weigh it", code);
    } else {
        spl_desk_act(html, "batch-start", "Into a jar", from);
        spl_desk_act(html, "drying-start", "Onto a rack", from);
    }
    put_photo(html, harvest->code);
}

static void put_lot(struct spl_html *html, const void *record)
{
    const struct spl_lot *lot = record;
    const char *label[] = {"what", "labels", "codes", lot->code, NULL};
    const char *more[] = {"what", "labels", "codes", lot->code, "form", "yes", NULL};
    const char *code[] = {"code", lot->code, NULL};

    spl_desk_print(html, "Its label, to print", label);
    spl_desk_print(html, "Several, or on other paper", more);
    if (lot->full == NULL)
        spl_desk_act(html, "lot-bottle", "Bottled, and where it stands", code);
}

static void put_batch(struct spl_html *html, const void *record)
{
    const struct spl_batch *batch = record;
    const char *label[] = {"what", "labels", "codes", batch->code, NULL};

    spl_desk_print(html, "Its label, to print", label);
}

static void put_dispensed(struct spl_html *html, const void *record)
{
    const struct spl_dispensed *given = record;

    for (guint i = 0; given->ref != NULL && given->lots != NULL && i < given->lots->len; i++) {
        const struct spl_lot_use *use = &g_array_index(given->lots, struct spl_lot_use, i);
        const char *label[] = {"what", "labels", "codes", use->code, "for", given->ref, NULL};
        g_autofree char *words = g_strdup_printf("The label of %s, to print", use->code);

        spl_desk_print(html, words, label);
    }
}

/* Whatever was sprayed: what came of it. */
static void put_spraying(struct spl_html *html, const void *record)
{
    const struct spl_spray_record *note = record;
    char day[SPL_DAY_TEXT_SIZE];
    const char *of[] = {"of", note->site, "sprayed", day, NULL};

    put_photo(html, note->code);
    if (note->kind != SPL_SPRAY_SPRAYED || !spl_day_is_set(note->on))
        return;
    spl_day_format(note->on, day);
    spl_desk_go(html, "/recall", of, "What came of that ground, and to whom it went");
}

/* What a count could not take: again, with why. */
static void put_counted(struct spl_html *html, const void *record)
{
    const struct spl_counted *line = record;
    g_autofree char *amount = NULL, *words = NULL;

    if (line->taken || line->code == NULL || isnan(line->counted) || line->code[0] != 'L')
        return;
    amount = g_strdup_printf("%.1f%s", line->counted, line->unit);
    words = g_strdup_printf("Count %s again, or say why", line->code);
    {
        const char *query[] = {"code", line->code, "amount", amount, NULL};

        spl_desk_act(html, "lot-count", words, query);
    }
}

/* A setting, or whose corrections count: back to all of them. */
static void put_settings(struct spl_html *html, const void *record)
{
    (void)record;
    spl_desk_go(html, "/settings", NULL, "All settings");
}

static const struct {
    const struct spl_shape *shape;
    void (*put)(struct spl_html *html, const void *record);
} nexts[] = {
    {&spl_harvest_shape, put_harvest},       {&spl_lot_shape, put_lot},
    {&spl_batch_shape, put_batch},           {&spl_dispensed_shape, put_dispensed},
    {&spl_spray_record_shape, put_spraying}, {&spl_counted_shape, put_counted},
    {&spl_stage_record_shape, put_stage},    {&spl_book_info_shape, put_settings},
    {&spl_trust_shape, put_settings},
};

void spl_act_after(struct spl_html *html, const struct spl_done *done)
{
    spl_html_open(html, "div");
    spl_html_attr(html, "class", "acts after");
    if (done->asked != NULL && done->shape == &spl_trace_shape) {
        g_autoptr(GPtrArray) sheet = g_ptr_array_new();

        spl_desk_go(html, "/recall", (const char *const *)done->asked, "Back to the recall");
        g_ptr_array_add(sheet, (char *)"what");
        g_ptr_array_add(sheet, (char *)"recall");
        for (char **at = done->asked; *at != NULL; at++)
            g_ptr_array_add(sheet, *at);
        g_ptr_array_add(sheet, NULL);
        spl_desk_print(html, "The sheet, to print", (const char *const *)sheet->pdata);
    }
    for (gsize i = 0; i < G_N_ELEMENTS(nexts); i++) {
        if (done->shape != nexts[i].shape || done->records == NULL)
            continue;
        for (guint k = 0; k < done->records->len; k++)
            nexts[i].put(html, done->records->data + (gsize)k * done->shape->size);
    }
    spl_html_close(html, "div");
}

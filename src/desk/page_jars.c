/* SPDX-License-Identifier: MIT
 *
 * The jars, and one batch of them with its steps. See desk/page.h.
 */
#include "desk/look.h"
#include "desk/page.h"
#include "simpling/batch.h"
#include "simpling/error.h"

static gboolean keep_line(const struct spl_batch_line *line, gpointer data, GError **error)
{
    (void)error;
    spl_desk_keep(data, &spl_batch_line_shape, line);
    return TRUE;
}

static void put_jar_acts(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_batch_line *line = record;
    const char *step[] = {"code", line->code, "step", line->next_step, NULL};
    const char *jar[] = {"jars.0.code", line->code, NULL};

    (void)data;
    if (line->state != SPL_BATCH_STANDS)
        return;
    spl_desk_act(html, "batch-step", "A step", step);
    spl_desk_act(html, "batch-press", "Press", jar);
}

SPL_PAGE(jars)
{
    struct spl_batch_question question = {.standing = spl_visit_asked(visit, "all") == NULL};
    GArray *list = spl_list_new(&spl_batch_line_shape);
    gboolean done = spl_batch_lines(house, &question, keep_line, list, error);

    if (done) {
        static const char *const query[] = {"all", "1", NULL};
        struct spl_html *html = spl_desk_begin(visit, "Jars", "/jars");

        spl_html_open(html, "p");
        spl_desk_act(html, "batch-start", "A new jar", NULL);
        spl_desk_act(html, "batch-steps", "One step of many jars", NULL);
        spl_html_close(html, "p");
        if (list->len == 0)
            spl_desk_say(html, question.standing ? "No jar stands." : "No jar was put up yet.");
        spl_desk_table_acts(html, NULL, &spl_batch_line_shape, list, NULL, put_jar_acts, NULL);
        if (question.standing) {
            spl_desk_go(html, "/jars", query, "What was pressed too");
        }
        spl_look_links(html, "/jars");
        spl_visit_page(visit, 200, spl_desk_end(html));
    }
    spl_list_free(&spl_batch_line_shape, list);
    return done;
}

struct stepping {
    const char *code;
};

static void put_step_act(struct spl_html *html, const void *record, gpointer data)
{
    const struct spl_batch_step *step = record;
    const struct stepping *stepping = data;
    const char *query[] = {"code", stepping->code, "step", step->step, NULL};

    if (step->open && g_strcmp0(step->step, "strain") != 0 && g_strcmp0(step->step, "use-by") != 0)
        spl_desk_act(html, "batch-step", "Done", query);
}

SPL_PAGE(batch)
{
    struct spl_batch batch;
    struct spl_html *html;
    struct stepping stepping;
    g_autofree char *title = NULL;

    if (!spl_batch_show(house, spl_visit_of(visit), &batch, error))
        return FALSE;
    title = g_strdup_printf("%s, %s of %s", batch.code, batch.preparation, batch.materials);
    html = spl_desk_begin(visit, title, "/jars");
    spl_desk_values(html, &spl_batch_shape, &batch);
    spl_desk_table(html, "What went in", &spl_batch_part_shape, batch.from, NULL);
    stepping = (struct stepping){batch.code};
    spl_desk_table_acts(html, "Steps", &spl_batch_step_shape, batch.steps, NULL,
                        batch.state == SPL_BATCH_STANDS ? put_step_act : NULL, &stepping);
    spl_desk_causes(html, batch.because);
    {
        const char *code[] = {"code", batch.code, NULL}, *jar[] = {"jars.0.code", batch.code, NULL};
        const char *labels[] = {"what", "labels", "codes", batch.code, "form", "yes", NULL};
        const char *sheet[] = {"what", "batch", "code", batch.code, NULL};

        spl_desk_acts_begin(html);
        spl_desk_print(html, "Labels", labels);
        spl_desk_print(html, "Its record, to print", sheet);
        if (batch.state == SPL_BATCH_STANDS) {
            spl_desk_act(html, "batch-step", "A step", code);
            spl_desk_act(html, "batch-add", "More herb or liquid", code);
            spl_desk_act(html, "batch-press", "Strain and press", jar);
        }
        spl_desk_act(html, "recipe-keep", "Keep how it was made", code);
        spl_desk_act(html, "discard", "Thrown away", code);
        spl_desk_act(html, "amend", "Correct it", code);
        spl_desk_act(html, "strike", "Strike it", code);
        spl_desk_acts_end(html);
    }
    spl_record_clear(&spl_batch_shape, &batch);
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}

/* SPDX-License-Identifier: MIT
 *
 * Questions that only a person can answer, joined by whom to ask. See desk/page.h.
 */
#include "desk/look.h"
#include "desk/page.h"
#include "simpling/error.h"
#include "simpling/question.h"

static void put_question(struct spl_html *html, const struct spl_question *question)
{
    const char *answer[] = {"id", question->id, NULL};

    spl_html_open(html, "li");
    spl_html_line(html, "span", "grade", spl_state_grade_names[question->grade]);
    spl_html_text(html, " ");
    spl_desk_text(html, question->about);
    spl_html_text(html, ": ");
    spl_desk_text(html, question->why);
    spl_html_text(html, question->holds ? "; it holds " : "; it asks about ");
    for (guint i = 0; question->touches != NULL && i < question->touches->len; i++) {
        if (i > 0)
            spl_html_text(html, ", ");
        spl_desk_code(html, g_ptr_array_index(question->touches, i));
    }
    spl_html_text(html, " ");
    spl_desk_next(html, question->next);
    spl_desk_act(html, "answer", "Answer it", answer);
    spl_html_close(html, "li");
}

SPL_PAGE(questions)
{
    struct spl_questions_question asked = {.all = spl_visit_asked(visit, "all") != NULL};
    GArray *questions = spl_questions(house, &asked, error);
    struct spl_html *html;
    const char *whom = NULL;

    if (questions == NULL)
        return FALSE;
    html = spl_desk_begin(visit, "Questions", "/questions");
    if (questions->len == 0)
        spl_desk_say(html, "Nothing is to be answered.");
    for (guint i = 0; i < questions->len; i++) {
        const struct spl_question *question = &g_array_index(questions, struct spl_question, i);
        const char *ask = question->ask != NULL ? question->ask : "";

        if (whom == NULL || g_strcmp0(whom, ask) != 0) {
            g_autofree char *settled = spl_questions_settled(questions, question->ask);

            if (whom != NULL)
                spl_html_close(html, "ul");
            spl_html_open(html, "h2");
            if (*ask != '\0')
                spl_html_name(html, ask);
            else
                spl_html_text(html, "Whoever knows");
            spl_html_close(html, "h2");
            spl_html_open(html, "p");
            spl_html_printf(html, "Asked once, it settles %s.", settled);
            spl_html_close(html, "p");
            spl_html_open(html, "ul");
            spl_html_attr(html, "class", "why");
            whom = ask;
        }
        put_question(html, question);
    }
    if (whom != NULL)
        spl_html_close(html, "ul");
    spl_list_free(&spl_question_shape, questions);
    spl_look_links(html, "/questions");
    spl_visit_page(visit, 200, spl_desk_end(html));
    return TRUE;
}

/* SPDX-License-Identifier: MIT
 *
 * simpling questions, simpling answer: what only a person can say.
 */
#include "simpling/question.h"

#include <string.h>

#include "base/layout.h"
#include "command/rows.h"

#define INDENT 10 /* under the question's short name */

/* As much of its name as tells it from the others. */
static guint short_name(const GArray *list, const char *id)
{
    guint length = 4;

    for (guint i = 0; i < list->len; i++) {
        const char *other = g_array_index(list, struct spl_question, i).id;

        while (strcmp(other, id) != 0 && length < strlen(id) && strncmp(other, id, length) == 0)
            length++;
    }
    return length;
}

static void print_question(const struct spl_call *call, const GArray *list,
                           const struct spl_question *question)
{
    char day[SPL_DAY_TEXT_SIZE];
    g_autofree char *codes = NULL, *text = NULL, *line = NULL;
    g_autoptr(GPtrArray) touches = g_ptr_array_new();

    for (guint i = 0; i < question->touches->len; i++)
        g_ptr_array_add(touches, g_ptr_array_index(question->touches, i));
    g_ptr_array_add(touches, NULL);
    codes = g_strjoinv(", ", (char **)touches->pdata);
    text = g_strdup_printf(
        "%s%s%s (%s, %s, since %s)", question->about != NULL ? question->about : "",
        question->about != NULL ? ": " : "", question->why, spl_state_grade_names[question->grade],
        spl_state_urgency_names[question->urgency], spl_day_format(question->since, day));
    fprintf(call->out, "  %-*.*s", INDENT - 2, (int)short_name(list, question->id), question->id);
    spl_text_print_folded(text, INDENT, call->width, call->out);
    if (*codes != '\0') {
        fprintf(call->out, "%*s", INDENT, "");
        spl_text_print_folded(codes, INDENT, call->width, call->out);
    }
    if (question->next != NULL)
        line = spl_next_line(question->next);
    if (line != NULL)
        fprintf(call->out, "%*s%s\n", INDENT, "", line);
}

static int run_questions(struct spl_call *call, GError **error)
{
    GArray *list = spl_questions(call->house, call->said, error);
    const char *ask = NULL;
    int status = 0;

    if (list == NULL)
        return -1;
    if (call->json || list->len == 0)
        status = spl_call_print_list(call, list, "nothing to ask");
    for (guint i = 0; !call->json && i < list->len; i++) {
        const struct spl_question *one = &g_array_index(list, struct spl_question, i);

        if (ask == NULL || strcmp(ask, one->ask) != 0) {
            g_autofree char *settled = spl_questions_settled(list, one->ask);
            g_autofree char *head = g_strdup_printf("%s: asked once, it settles %s", one->ask,
                                                    *settled != '\0' ? settled : "this");

            if (ask != NULL)
                fputc('\n', call->out);
            spl_text_print_folded(head, 2, call->width, call->out);
            ask = one->ask;
        }
        print_question(call, list, one);
    }
    spl_list_free(&spl_question_shape, list);
    return status;
}

static int run_answer(struct spl_call *call, GError **error)
{
    struct spl_answered answered;

    if (!spl_answer(call->house, call->said, &answered, error))
        return -1;
    return spl_call_tell(call, &answered, NULL);
}

static int run_answers(struct spl_call *call, GError **error)
{
    GArray *list = spl_answers(call->house, error);

    if (list == NULL)
        return -1;
    (void)spl_call_print_list(call, list, "nothing was answered");
    spl_list_free(&spl_answer_given_shape, list);
    return 0;
}

const struct spl_command spl_command_answers = {
    .words = "answers",
    .summary = "What was answered and stands, the last first",
    .places = "",
    .about =
        "Also what was accepted with a merge, and what was refused. 'answer ID --back WHY' takes "
        "one back, by as\nmuch of its name as tells it from the others; then it is asked "
        "again.",
    .examples = (const char *const[]){"simpling answers", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_answer_given_shape,
    .array = TRUE,
    .run = run_answers,
};

const struct spl_command spl_command_questions = {
    .words = "questions",
    .summary = "What only a person can answer, joined by whom to ask",
    .inputs = &spl_questions_question_inputs,
    .about = "First what went out to people, then the shelf, jars, what was picked, paper. A "
             "statement that covers the day of picking\nanswers for all that came of it ('spray "
             "note', 'site "
             "permit'); so does a correction. 'answer' is for what no\nrecord can say.",
    .examples =
        (const char *const[]){"simpling questions", "simpling questions --all --json", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_question_shape,
    .array = TRUE,
    .run = run_questions,
};

const struct spl_command spl_command_answer = {
    .words = "answer",
    .summary = "Answer a question: with evidence, later, or that it cannot be known",
    .inputs = &spl_answer_inputs,
    .at = "id",
    .about =
        "It answers for all that hung on the question on that day; what is picked there later "
        "is asked about anew, and\nso is anything worse. A stop (sprayed, withdrawn, a wrong "
        "plant) goes by no statement: strike or correct the note\nthat is wrong, or release each "
        "record with evidence. What cannot be known is destroyed, kept for outside use,\nor, a "
        "doubt only, taken upon oneself. What a colleague struck or corrected of another's record "
        "is agreed to\nwith --evidence, which counts here, and in every book when the record is "
        "your own; or it is refused. What was\nanswered ('answers') is taken back with --back.",
    .examples =
        (const char *const[]){"simpling answer L26-003 --later 2027-10-01",
                              "simpling answer L25-002 --unknowable destroy --why \"spoilt\"",
                              NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_answered_shape,
    .run = run_answer,
};

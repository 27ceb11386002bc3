/* SPDX-License-Identifier: MIT
 *
 * simpling start: a short interview that makes a book. Every question can be skipped with an empty
 * line and answered beforehand by an option; the end of the input skips the rest.
 */
#include "simpling/start.h"

#include <stdio.h>
#include <string.h>

#include "command/rows.h"

/* What came out of it, and what comes next in the words of the command line. */
struct told {
    struct spl_started made;
    GPtrArray *next;
};

static const struct spl_field told_fields[] = {
    SPL_FIELD(told, made.book, SPL_TEXT, "book", "book"),
    SPL_FIELD(told, made.mark, SPL_TEXT, "mark", "mark"),
    SPL_FIELD(told, made.said, SPL_TEXTS, "said", "said"),
    SPL_FIELD(told, made.cautions, SPL_TEXTS, "cautions", NULL),
    SPL_FIELD(told, next, SPL_TEXTS, "next", NULL),
};
static const struct spl_shape told_shape = SPL_SHAPE("started", told, told_fields);

/* In the order in which they are asked; `with` is asked right behind it. */
static const struct {
    const char *key, *question;
    const char *with, *question_with;
} questions[] = {
    {"mark",
     "Your mark: 2 to 8 letters that others see before your codes, your initials for example "
     "(empty: ME)",
     NULL, NULL},
    {"who", "What name goes into your log? (empty: none)", NULL, NULL},
    {"home",
     "Where do your outings begin? Latitude and longitude, as 54.5903,-2.6021 (empty: not yet)",
     NULL, NULL},
    {"country", "Which country's protected plants count? Its two letters, as GB (empty: none)",
     NULL, NULL},
    {"press", "How do you press: drained, hand, screw or hydraulic? (empty: by hand)", NULL, NULL},
    {"site", "A place where you gather: what do you call it? (empty: later)", "at",
     "And where is it? Latitude and longitude, as 54.6012,-2.5871"},
    {"accuracy",
     "How exactly do you know that? 10m from a phone outdoors, 100m from a map (empty: not known, "
     "and the place stays one to ask about)",
     NULL, NULL},
    {"keeping",
     "How long do things keep on your shelf? table: a tincture 3 years pressed, 2 on the herb; "
     "house, one house's custom: 1 to 2 years pressed, up to 10 on the herb (empty: table)",
     NULL, NULL},
    {"spirits", "Which spirits do you pour? As 40% 96% (empty: not yet)", NULL, NULL},
    {"units", "In which units do you weigh and measure: metric, us or imp? (empty: metric)", NULL,
     NULL},
};

static gboolean is_said(const struct spl_call *call, const char *key)
{
    return spl_input_is_said(spl_inputs_row(&spl_start_inputs, key), call->said);
}

static void forget(struct spl_call *call, const char *key)
{
    const struct spl_inputs one = {.rows = spl_inputs_row(&spl_start_inputs, key), .n = 1};

    spl_inputs_clear(&one, call->said);
}

/* Asks for one input that no option said; FALSE: it was skipped, or is refused. */
static gboolean answer(struct spl_call *call, const char *key, const char *question,
                       GError **refused)
{
    g_autofree char *typed = is_said(call, key) ? NULL : spl_terminal_ask(question);

    if (typed != NULL && !spl_inputs_read(&spl_start_inputs, key, typed, call->said, refused))
        return FALSE;
    return is_said(call, key);
}

/* Whether an option is refused, which nobody is asked for again. */
static gboolean is_option(const struct spl_call *call, const GError *refused)
{
    const char *key = spl_error_input(refused);

    return key == NULL || spl_call_has(call, key);
}

/* One question with what belongs to it, until it is answered well or skipped. */
static gboolean put(struct spl_call *call, gsize i, GError **error)
{
    const char *key = questions[i].key, *with = questions[i].with;
    gboolean given = spl_call_has(call, key), with_given = with != NULL && spl_call_has(call, with);

    for (;;) {
        GError *refused = NULL;

        if (given && (with == NULL || with_given))
            return TRUE;
        if (!answer(call, key, questions[i].question, &refused) && refused == NULL)
            return TRUE;
        if (refused == NULL && with != NULL &&
            !answer(call, with, questions[i].question_with, &refused) && refused == NULL) {
            if (!given)
                forget(call, key); /* a place without its position is none */
            return TRUE;
        }
        if (refused == NULL && spl_start_check(call->where, call->said, &refused))
            return TRUE;
        if (feof(stdin) || is_option(call, refused)) {
            g_propagate_error(error, refused);
            return FALSE;
        }
        fprintf(stderr, "%s\n", refused->message);
        g_error_free(refused);
        if (!given)
            forget(call, key);
        if (with != NULL && !with_given)
            forget(call, with);
    }
}

static gboolean interview(struct spl_call *call, GError **error)
{
    /* A place may be said without its position, which is asked for then. */
    if (is_said(call, "site") == is_said(call, "at") &&
        !spl_start_check(call->where, call->said, error))
        return FALSE;
    for (gsize i = 0; i < G_N_ELEMENTS(questions); i++) {
        if (strcmp(questions[i].key, "accuracy") == 0 && !is_said(call, "site"))
            continue; /* of no place */
        if (!put(call, i, error))
            return FALSE;
    }
    return TRUE;
}

/* What stands between the book and its first harvest, of the place that was named. */
static void add_next(const struct spl_start_words *said, struct told *told)
{
    g_autofree char *site = said->site != NULL ? g_shell_quote(said->site) : NULL;

    told->next = g_ptr_array_new_with_free_func(g_free);
    if (site == NULL)
        g_ptr_array_add(told->next, g_strdup("simpling site add NAME --at LAT,LON --accuracy 10m"));
    g_ptr_array_add(told->next, g_strdup_printf("simpling site permit %s --given --by WHO",
                                                site != NULL ? site : "NAME"));
    g_ptr_array_add(told->next, g_strdup_printf("simpling spray note %s --kind unsprayed --since "
                                                "2020-01-01 --source WHO",
                                                site != NULL ? site : "NAME"));
    g_ptr_array_add(told->next, g_strdup("simpling window list"));
    g_ptr_array_add(told->next, g_strdup("simpling help"));
}

static int run(struct spl_call *call, GError **error)
{
    struct told told;

    if ((!spl_call_has(call, "quiet") && !interview(call, error)) ||
        !spl_start(call->where, call->said, &told.made, error))
        return -1;
    add_next(call->said, &told);
    spl_call_caution(call, told.made.cautions);
    spl_call_print(call, &told);
    if (!call->json)
        fputs("\nwhat comes next:\n", call->out);
    for (guint i = 0; !call->json && i < told.next->len; i++)
        fprintf(call->out, "  %s\n", (char *)g_ptr_array_index(told.next, i));
    spl_record_clear(&told_shape, &told);
    return 0;
}

const struct spl_command spl_command_start = {
    .words = "start",
    .summary = "Make a book by answering a few questions",
    .inputs = &spl_start_inputs,
    .options =
        (const struct spl_option[]){
            {"quiet", SPL_OPTION_FLAG, NULL, "ask nothing: what no option says is skipped"},
            {NULL, SPL_OPTION_FLAG, NULL, NULL},
        },
    .about =
        "An empty line skips a question. The almanacs that come with the program are used from "
        "the start;\n'almanac add' brings your own.",
    .examples = (const char *const[]){"simpling start --quiet --mark EDD --who Edda --home "
                                      "54.5903,-2.6021 --country GB --book first.db",
                                      NULL},
    .needs = SPL_NEEDS_NOTHING,
    .shape = &told_shape,
    .run = run,
};

/* SPDX-License-Identifier: MIT
 *
 * simpling start: a short interview that makes a book. Every question can be skipped with an empty
 * line and answered beforehand by an option; the end of the input skips the rest.
 */
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "command/rows.h"
#include "simpling/site.h"

/* What came out of it. */
struct started {
    char *book;
    char *mark;
    GPtrArray *said; /* "home: 54.5903,-2.6021" */
    GPtrArray *next; /* what to do next */
};

static const struct spl_field started_fields[] = {
    SPL_FIELD(started, book, SPL_TEXT, "book", "book"),
    SPL_FIELD(started, mark, SPL_TEXT, "mark", "mark"),
    SPL_FIELD(started, said, SPL_TEXTS, "said", "said"),
    SPL_FIELD(started, next, SPL_TEXTS, "next", NULL),
};
static const struct spl_shape started_shape = SPL_SHAPE("started", started, started_fields);

#define LINE_MAX_BYTES 1000

/*
 * The answer to a question: the option's, else the next line of the input. NULL: skipped. Questions
 * go to stderr, so that stdout holds the result alone.
 */
static char *ask(const struct spl_call *call, const char *option, const char *question)
{
    const char *said = spl_call_get(call, option);
    char line[LINE_MAX_BYTES];

    if (said != NULL)
        return g_strdup(said);
    if (spl_call_has(call, "quiet") || feof(stdin))
        return NULL;
    fprintf(stderr, "%s\n> ", question);
    fflush(stderr);
    if (fgets(line, sizeof line, stdin) == NULL)
        return NULL;
    g_strstrip(line);
    return *line != '\0' && g_utf8_validate(line, -1, NULL) ? g_strdup(line) : NULL;
}

/* An answer that is refused is asked for again on a terminal of questions; an option's is an error.
 */
static gboolean is_final(const struct spl_call *call, const char *option, GError *refused,
                         GError **error)
{
    if (spl_call_has(call, option) || feof(stdin)) {
        g_propagate_error(error, refused);
        return TRUE;
    }
    fprintf(stderr, "%s\n", refused->message);
    g_error_free(refused);
    return FALSE;
}

static const struct {
    const char *key, *question;
} settings[] = {
    {"who", "What name goes into your log? (empty: none)"},
    {"home", "Where do your outings begin? Latitude and longitude, as 54.5903,-2.6021 (empty: not "
             "yet)"},
    {"country", "Which country's protected plants count? Its two letters, as GB (empty: none)"},
    {"press", "How do you press: drained, hand, screw or hydraulic? (empty: by hand)"},
};

static gboolean ask_settings(struct spl_call *call, struct spl_house *house,
                             struct started *started, GError **error)
{
    for (gsize i = 0; i < G_N_ELEMENTS(settings); i++) {
        for (;;) {
            g_autofree char *answer = ask(call, settings[i].key, settings[i].question);
            GError *refused = NULL;

            if (answer == NULL)
                break;
            if (spl_book_set(house, &(struct spl_setting_words){settings[i].key, answer},
                             &refused)) {
                g_ptr_array_add(started->said, g_strdup_printf("%s: %s", settings[i].key, answer));
                break;
            }
            if (is_final(call, settings[i].key, refused, error))
                return FALSE;
        }
    }
    return TRUE;
}

static gboolean new_site(struct spl_house *house, const char *name, const char *at,
                         struct spl_site *site, GError **error)
{
    g_autofree char *caution = NULL; /* far from home: it was just typed beside it */
    struct spl_site_words words;
    gboolean ok;

    spl_inputs_init(&spl_site_inputs, &words);
    ok = spl_inputs_read(&spl_site_inputs, "name", name, &words, error) &&
         spl_inputs_read(&spl_site_inputs, "at", at, &words, error) &&
         spl_site_new(house, &words, site, &caution, error);
    spl_inputs_clear(&spl_site_inputs, &words);
    return ok;
}

static gboolean ask_site(struct spl_call *call, struct spl_house *house, struct started *started,
                         GError **error)
{
    g_autofree char *name =
        ask(call, "site", "A place where you gather: what do you call it? (empty: later)");

    while (name != NULL) {
        g_autofree char *at =
            ask(call, "at", "And where is it? Latitude and longitude, as 54.6012,-2.5871");
        GError *refused = NULL;
        struct spl_site site;

        if (at == NULL)
            break;
        if (new_site(house, name, at, &site, &refused)) {
            g_ptr_array_add(started->said, g_strdup_printf("site: %s", site.name));
            spl_record_clear(&spl_site_shape, &site);
            break;
        }
        if (is_final(call, "at", refused, error))
            return FALSE;
    }
    return TRUE;
}

/* The mark makes the book; without one it is "ME". */
static gboolean make_book(struct spl_call *call, struct started *started, GError **error)
{
    for (;;) {
        g_autofree char *answer =
            ask(call, "mark",
                "Your mark: 2 to 8 letters that others see before your codes, your initials for "
                "example (empty: ME)");
        struct spl_book_info info;
        GError *refused = NULL;

        if (spl_book_make(call->where, answer != NULL ? answer : "ME", &info, &refused)) {
            started->book = g_strdup(info.path);
            started->mark = g_strdup(info.mark);
            spl_record_clear(&spl_book_info_shape, &info);
            return TRUE;
        }
        if (!g_error_matches(refused, SPL_ERROR, SPL_ERROR_INVALID)) {
            g_propagate_error(error, refused);
            return FALSE;
        }
        if (is_final(call, "mark", refused, error))
            return FALSE;
    }
}

static int run(struct spl_call *call, GError **error)
{
    struct started started = {.said = g_ptr_array_new_with_free_func(g_free),
                              .next = g_ptr_array_new_with_free_func(g_free)};
    struct spl_house *house = NULL;
    int status = -1;
    gboolean made = FALSE;

    if (make_book(call, &started, error)) {
        made = TRUE;
        house = spl_house_open(call->where, SPL_HOUSE_WRITE, error);
        if (house != NULL && ask_settings(call, house, &started, error) &&
            ask_site(call, house, &started, error)) {
            g_ptr_array_add(started.next, g_strdup("simpling site add \"NAME\" --at LAT,LON"));
            g_ptr_array_add(started.next,
                            g_strdup("simpling site permit \"NAME\" --given --by WHO"));
            g_ptr_array_add(started.next, g_strdup("simpling window list"));
            g_ptr_array_add(started.next, g_strdup("simpling help"));
            status = spl_call_print(call, &started);
            if (!call->json)
                fputs("\nwhat comes next:\n", call->out);
            for (guint i = 0; !call->json && i < started.next->len; i++)
                fprintf(call->out, "  %s\n", (char *)g_ptr_array_index(started.next, i));
        }
    }
    spl_house_close(house);
    if (made && status != 0)
        g_unlink(call->where->book); /* made a moment ago: a second start begins anew */
    spl_record_clear(&started_shape, &started);
    return status;
}

const struct spl_command spl_command_start = {
    .words = "start",
    .summary = "Make a book by answering a few questions",
    .places = "",
    .options =
        (const struct spl_option[]){
            {"mark", SPL_OPTION_ONE, "MARK", "your mark"},
            {"who", SPL_OPTION_ONE, "NAME", "your name, for the log"},
            {"home", SPL_OPTION_ONE, "LAT,LON", "where outings begin"},
            {"country", SPL_OPTION_ONE, "CC", "whose protected plants count"},
            {"press", SPL_OPTION_ONE, "PRESS", "drained, hand, screw or hydraulic"},
            {"site", SPL_OPTION_ONE, "NAME", "a place where you gather"},
            {"at", SPL_OPTION_ONE, "LAT,LON", "where that is"},
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
    .shape = &started_shape,
    .run = run,
};

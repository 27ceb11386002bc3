/* SPDX-License-Identifier: MIT
 *
 * What would settle a reason, as a line to paste. The words of the command line for an action stand
 * here alone.
 */
#include <string.h>

#include "base/amount.h"
#include "base/layout.h"
#include "command/command.h"
#include "simpling/record/reason.h"

struct wording {
    const char *words;    /* of the command; NULL: none does it */
    const char *at;       /* keys of what follows its words, in order, with blanks */
    const char *lead;     /* what a person does first */
    gboolean of_evidence; /* it is done about one thing, which the lead names */
};

static const struct wording wordings[SPL_ACTIONS] = {
    [SPL_ACTION_WAIT] = {NULL, "", "wait until", TRUE},
    [SPL_ACTION_SPRAY_NOTE] = {"spray note", "site",
                               "ask the owner or tenant, then note the answer", FALSE},
    [SPL_ACTION_SITE_PERMIT] = {"site permit", "site",
                                "ask the owner or tenant, then note the answer", FALSE},
    [SPL_ACTION_SITE_EDIT] = {"site edit", "site", "correct what is known of the place", FALSE},
    [SPL_ACTION_SITE_ADD] = {"site add", "name", "go farther off, and note that place", TRUE},
    [SPL_ACTION_HAZARD_DROP] = {"hazard drop", "name", "if it is wrong, take it off the map", TRUE},
    [SPL_ACTION_HAZARD_IMPORT] = {"hazard import", "file",
                                  "ask for the layer, mended, and read it in again", TRUE},
    [SPL_ACTION_AMEND] = {"amend", "code", "find out, and correct the note", TRUE},
    [SPL_ACTION_STRIKE] = {"strike", "code", "if it is wrong, strike the note", TRUE},
    [SPL_ACTION_SITE_LIST] = {"site list", "", "look which places there are", FALSE},
    [SPL_ACTION_BOOK_MAKE] = {"book init", "",
                              "begin a book, or answer the questions of 'simpling start'", FALSE},
    [SPL_ACTION_BOOK_SET] = {"book set", "key value", "say it once", FALSE},
    [SPL_ACTION_DRYING_WEIGH] = {"dry weigh", "code weight", "weigh what is on the rack", FALSE},
    [SPL_ACTION_STAND_MARK] = {"stand mark", "site plant",
                               "if it was seen in leaf or flower before, say so", FALSE},
    [SPL_ACTION_LOT_RELEASE] = {"lot release", "code", "when that is settled, let it out", FALSE},
    [SPL_ACTION_LOT_COUNT] = {"lot count", "code amount", "count what stands there", FALSE},
    [SPL_ACTION_PLAN_ADD] = {"plan add", "name preparation materials", "plan a batch", FALSE},
    [SPL_ACTION_HEAT] = {"dry start", "", "heat it, and note it", FALSE},
    [SPL_ACTION_DRYING_START] = {"dry start", "",
                                 "if it was dried, wilted or frozen in time, note it", FALSE},
    [SPL_ACTION_HARVEST_RELEASE] = {"harvest release", "code", "when that is settled, let it out",
                                    FALSE},
    [SPL_ACTION_ANSWER] = {"answer", "id", "look at it again, and answer", FALSE},
    [SPL_ACTION_DRY_TEST] = {"dry test", "code", "try it by hand, and note what you found", FALSE},
};

/* A word that a shell would take as it stands. */
static gboolean is_plain(const char *word)
{
    return *word != '\0' && strspn(word, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                         "0123456789_@%+=:,./-") == strlen(word);
}

static void append_quoted(GString *line, const char *value)
{
    g_autofree char *quoted = is_plain(value) ? g_strdup(value) : g_shell_quote(value);

    g_string_append(line, quoted);
}

static const struct spl_option *find_option(const struct spl_command *command, const char *key)
{
    g_autofree char *name = g_strdelimit(g_strdup(key), "_", '-');

    for (const struct spl_option *option = spl_command_options(command);
         option != NULL && option->name != NULL; option++)
        if (strcmp(option->name, name) == 0)
            return option;
    return NULL;
}

static const struct spl_command *find_command(const char *words)
{
    for (gsize i = 0; i < spl_n_commands; i++)
        if (strcmp(spl_commands[i]->words, words) == 0)
            return spl_commands[i];
    return NULL;
}

/* What the person is to fill in: "WHO". */
static char *blank(const struct spl_option *option, const char *key)
{
    return option != NULL && option->value != NULL ? g_strdup(option->value)
                                                   : g_ascii_strup(key, -1);
}

static void append_option(GString *line, const struct spl_command *command,
                          const struct spl_given *given)
{
    const struct spl_option *option = find_option(command, given->key);
    g_autofree char *empty = blank(option, given->key);
    const char *value = given->value != NULL ? given->value : empty;

    if (option == NULL)
        return; /* a test walks all actions for it */
    g_string_append_printf(line, " --%s", option->name);
    if (option->kind == SPL_OPTION_FLAG)
        return;
    g_string_append_c(line, *value == '-' ? '=' : ' ');
    append_quoted(line, value);
}

/* What follows the command's words; behind the options, and marked, where it looks like one. */
static gboolean append_places(GString *line, const struct spl_next *next, const char *at,
                              gboolean behind)
{
    g_auto(GStrv) keys = g_strsplit(at, " ", -1);
    gboolean dashed = FALSE;
    GString *places = g_string_new(NULL);

    for (guint k = 0; keys[k] != NULL; k++) {
        for (guint i = 0; i < next->inputs->len; i++) {
            const struct spl_given *given = &g_array_index(next->inputs, struct spl_given, i);
            g_autofree char *empty = NULL;

            if (strcmp(given->key, keys[k]) != 0)
                continue;
            empty = blank(NULL, given->key);
            dashed = dashed || (given->value != NULL && *given->value == '-');
            g_string_append_c(places, ' ');
            append_quoted(places, given->value != NULL ? given->value : empty);
        }
    }
    if (dashed == behind)
        g_string_append_printf(line, "%s%s", dashed ? " --" : "", places->str);
    g_string_free(places, TRUE);
    return dashed;
}

static gboolean is_place(const char *at, const char *key)
{
    g_auto(GStrv) keys = g_strsplit(at, " ", -1);

    return g_strv_contains((const char *const *)keys, key);
}

char *spl_next_line(const struct spl_next *next)
{
    const struct wording *wording = &wordings[next->action];
    const struct spl_command *command =
        wording->words != NULL ? find_command(wording->words) : NULL;
    GString *line;

    if (command == NULL)
        return NULL;
    line = g_string_new("simpling ");
    g_string_append(line, command->words);
    append_places(line, next, wording->at, FALSE);
    for (guint i = 0; i < next->inputs->len; i++) {
        const struct spl_given *given = &g_array_index(next->inputs, struct spl_given, i);

        if (!is_place(wording->at, given->key))
            append_option(line, command, given);
    }
    append_places(line, next, wording->at, TRUE);
    return g_string_free(line, FALSE);
}

char *spl_next_lead(const struct spl_next *next, const char *about)
{
    const struct wording *wording = &wordings[next->action];
    GString *lead = g_string_new(wording->lead != NULL ? wording->lead : "");
    char day[SPL_DAY_TEXT_SIZE];

    if (next->action == SPL_ACTION_WAIT)
        g_string_append_printf(lead, " %s", spl_day_format(next->until, day));
    else if (spl_day_is_set(next->until))
        g_string_append_printf(lead, ", not before %s", spl_day_format(next->until, day));
    if (next->farther_m > 0) {
        g_autofree char *far = spl_length_format(next->farther_m);

        g_string_append_printf(lead, ", at least %s", far);
    }
    if (wording->of_evidence && about != NULL)
        g_string_append_printf(lead, " (%s)", about);
    return g_string_free(lead, FALSE);
}

/* One thing to do, with its lines below, each once. */
struct step {
    char *lead;
    GPtrArray *lines;
    GHashTable *known; /* the lines */
};

/* In the order in which they came. A whole season may be held for one cause each, so what is there
 * already is looked up. */
struct steps {
    GPtrArray *list;     /* struct step * */
    GHashTable *by_lead; /* lead to struct step * */
};

static void step_free(gpointer data)
{
    struct step *step = data;

    g_free(step->lead);
    g_hash_table_unref(step->known);
    g_ptr_array_unref(step->lines);
    g_free(step);
}

static struct steps steps_new(void)
{
    return (struct steps){g_ptr_array_new_with_free_func(step_free),
                          g_hash_table_new(g_str_hash, g_str_equal)};
}

static void steps_clear(struct steps *steps)
{
    g_hash_table_unref(steps->by_lead);
    g_ptr_array_unref(steps->list);
}

static struct step *find_step(struct steps *steps, char *lead)
{
    struct step *step = g_hash_table_lookup(steps->by_lead, lead);

    if (step != NULL) {
        g_free(lead);
        return step;
    }
    step = g_new(struct step, 1);
    *step = (struct step){lead, g_ptr_array_new_with_free_func(g_free),
                          g_hash_table_new(g_str_hash, g_str_equal)};
    g_ptr_array_add(steps->list, step);
    g_hash_table_insert(steps->by_lead, lead, step);
    return step;
}

static void add_step(struct steps *steps, const struct spl_next *next, const char *about)
{
    struct step *step = find_step(steps, spl_next_lead(next, about));
    char *line = spl_next_line(next);

    if (line == NULL || g_hash_table_contains(step->known, line)) {
        g_free(line);
        return;
    }
    g_ptr_array_add(step->lines, line);
    g_hash_table_add(step->known, line); /* lines own it */
}

static void add_steps_of(struct steps *steps, const GArray *reasons)
{
    for (guint i = 0; reasons != NULL && i < reasons->len; i++) {
        const struct spl_reason *reason = &g_array_index(reasons, struct spl_reason, i);

        if (reason->next != NULL)
            add_step(steps, reason->next, reason->about);
    }
}

static void print_steps(const struct steps *steps, int width, FILE *out)
{
    for (guint i = 0; i < steps->list->len; i++) {
        const struct step *step = g_ptr_array_index(steps->list, i);

        spl_call_say("next: ", step->lead, width, out);
        for (guint k = 0; k < step->lines->len; k++)
            fprintf(out, "  %s\n", (char *)g_ptr_array_index(step->lines, k));
    }
}

void spl_call_tell_next(const struct spl_call *call, const GArray *reasons)
{
    struct steps steps = steps_new();

    add_steps_of(&steps, reasons);
    if (steps.list->len > 0)
        fputc('\n', call->out);
    print_steps(&steps, call->width, call->out);
    steps_clear(&steps);
}

void spl_call_tell_causes(const struct spl_call *call, const GArray *causes)
{
    struct steps steps;

    if (call->json)
        return;
    steps = steps_new();
    for (guint i = 0; causes != NULL && i < causes->len; i++) {
        const struct spl_cause *cause = &g_array_index(causes, struct spl_cause, i);

        if (cause->next != NULL)
            add_step(&steps, cause->next, cause->about);
    }
    if (steps.list->len > 0)
        fputc('\n', call->out);
    print_steps(&steps, call->width, call->out);
    steps_clear(&steps);
}

void spl_tell_error_next(const GError *error, FILE *out)
{
    struct steps steps = steps_new();
    const struct spl_next *next = spl_error_next(error);

    add_steps_of(&steps, spl_error_reasons(error));
    if (steps.list->len == 0 &&
        next != NULL) /* it is the first of the reasons', if those have any */
        add_step(&steps, next, NULL);
    print_steps(&steps, 0, out);
    steps_clear(&steps);
}

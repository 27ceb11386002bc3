/* SPDX-License-Identifier: MIT
 *
 * simpling check: may I pick here?
 */
#include "simpling/check.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/layout.h"
#include "command/rows.h"
#include "simpling/record/hazard.h"
#include "simpling/record/reason.h"
#include "simpling/record/window.h"

/* check --all ------------------------------------------------------------------------------------
 *
 * People get a short list: the reasons against each, in one cell. */
struct check_line {
    char *site;
    enum spl_verdict verdict;
    char *why;
    struct spl_day until;
};

static const struct spl_field line_fields[] = {
    SPL_FIELD(check_line, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(check_line, verdict, SPL_WORD, "verdict", "verdict", .names = spl_verdict_names),
    SPL_FIELD(check_line, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(check_line, until, SPL_DAY, "until", "may change"),
};
static const struct spl_shape line_shape = SPL_SHAPE("check_line", check_line, line_fields);

static gboolean stream_check(const struct spl_check *check, gpointer data, GError **error)
{
    struct spl_call_stream *stream = data;
    const GArray *reasons = check->reasons;
    struct check_line line = {check->site, check->verdict, NULL, check->until};
    g_autoptr(GString) why = g_string_new(NULL);

    if (stream->call->json)
        return spl_call_stream_item(stream, check, error);
    for (guint i = 0; reasons != NULL && i < reasons->len; i++) {
        const struct spl_reason *reason = &g_array_index(reasons, struct spl_reason, i);

        if (reason->verdict != SPL_VERDICT_CLEAR || why->len == 0)
            g_string_append_printf(why, "%s%s", why->len > 0 ? "; " : "", reason->what);
    }
    line.why = why->str;
    return spl_call_stream_item(stream, &line, error);
}

static int run_all(struct spl_call *call, GError **error)
{
    struct spl_call_stream stream;
    int counts[3];

    spl_call_stream_begin_as(&stream, call, call->json ? &spl_check_shape : &line_shape);
    if (!spl_check_all(call->house, call->said, stream_check, &stream, counts, error))
        return -1;
    spl_call_stream_end(&stream, "no sites yet; add one with 'site add NAME --at LAT,LON'");
    if (!call->json && counts[0] + counts[1] + counts[2] > 0)
        fprintf(call->out,
                "%d clear, %d to ask about, %d closed; 'simpling check SITE' gives every reason\n",
                counts[0], counts[1], counts[2]);
    return 0;
}

/* One site for people ----------------------------------------------------------------------------
 */

#define INDENT 8 /* under the verdict's word */

static void print_reason(const struct spl_call *call, const struct spl_reason *reason)
{
    GString *from = g_string_new(NULL);
    char day[SPL_DAY_TEXT_SIZE];

    fprintf(call->out, "%-*s", INDENT, spl_verdict_names[reason->verdict]);
    spl_text_print_folded(reason->what, INDENT, call->width, call->out);
    if (spl_day_is_set(reason->date))
        g_string_append_printf(from, "%s, ", spl_day_format(reason->date, day));
    g_string_append(from, reason->source != NULL ? reason->source : "source not noted");
    fprintf(call->out, "%*s", INDENT, "");
    spl_text_print_folded(from->str, INDENT, call->width, call->out);
    if (reason->verdict != SPL_VERDICT_CLEAR && reason->rule != NULL) {
        g_autofree char *rule = g_strconcat("rule: ", reason->rule, NULL);

        fprintf(call->out, "%*s", INDENT, "");
        spl_text_print_folded(rule, INDENT, call->width, call->out);
    }
    g_string_free(from, TRUE);
}

static gboolean is_within(const struct spl_window *window, struct spl_day day)
{
    return spl_day_compare(window->earliest, day) <= 0 && spl_day_compare(day, window->latest) <= 0;
}

/* The windows of the year, and whether the day lies in one of them. */
static gboolean print_windows(const struct spl_call *call, const struct spl_check *check)
{
    gboolean in_one = FALSE;

    for (guint i = 0; check->window != NULL && i < check->window->len; i++) {
        const struct spl_window *window = &g_array_index(check->window, struct spl_window, i);
        char earliest[SPL_DAY_TEXT_SIZE], start[SPL_DAY_TEXT_SIZE], end[SPL_DAY_TEXT_SIZE];
        char latest[SPL_DAY_TEXT_SIZE];
        gboolean noted =
            spl_call_has(call, "full") && window->note != NULL && *window->note != '\0';
        g_autofree char *text = g_strdup_printf(
            "%s: may begin %s, likely %s to %s, mostly over %s (%s%s%s)", window->use,
            spl_day_format(window->earliest, earliest), spl_day_format(window->likely_start, start),
            spl_day_format(window->likely_end, end), spl_day_format(window->latest, latest),
            spl_basis_names[window->basis], noted ? ": " : "", noted ? window->note : "");

        fprintf(call->out, "%-*s", INDENT, i == 0 ? "window" : "");
        spl_text_print_folded(text, INDENT, call->width, call->out);
        in_one = in_one || is_within(window, check->date);
    }
    if (check->material != NULL && (check->window == NULL || check->window->len == 0))
        fputs("window  no almanac of this book has it\n", call->out);
    else if (check->material != NULL && !in_one)
        fputs("        this day is outside its windows\n", call->out);
    return in_one;
}

/* At the hedge what the picker must know; who must not take it, and where a window comes from, are
 * asked for. */
static void print_cautions(struct spl_call *call, const struct spl_check *check)
{
    gboolean full = spl_call_has(call, "full");
    guint n = check->cautions->len - (full ? 0 : MIN(check->for_taker, check->cautions->len));

    if (n > 0)
        fputs("\ncautions\n", call->out);
    for (guint i = 0; i < n; i++) {
        fputs("- ", call->out);
        spl_text_print_folded(g_ptr_array_index(check->cautions, i), 2, call->width, call->out);
    }
    if (!full && check->material != NULL)
        fputs("who must not take it, and how the windows are reckoned: --full\n", call->out);
}

static void print_check(struct spl_call *call, const struct spl_check *check)
{
    const char *verdict = spl_verdict_names[check->verdict];
    char day[SPL_DAY_TEXT_SIZE], until[SPL_DAY_TEXT_SIZE];
    gboolean in_window;

    fprintf(call->out, "%s%s%s, %s\n", check->site, check->material != NULL ? ", " : "",
            check->material != NULL ? check->material : "", spl_day_format(check->date, day));
    /* "clear: nothing known against it", "ask first", "closed". */
    fprintf(
        call->out, "verdict: %s%s%s", verdict, g_str_has_prefix(check->words, verdict) ? "" : ", ",
        g_str_has_prefix(check->words, verdict) ? check->words + strlen(verdict) : check->words);
    if (spl_day_is_set(check->until))
        fprintf(call->out, "; may change on %s", spl_day_format(check->until, until));
    fprintf(call->out, "\nreckoned from %s\n\n", check->reckoned_from);
    for (guint i = 0; check->reasons != NULL && i < check->reasons->len; i++)
        print_reason(call, &g_array_index(check->reasons, struct spl_reason, i));
    if (check->material != NULL)
        fputc('\n', call->out);
    in_window = print_windows(call, check);
    if (check->stage != NULL)
        fprintf(call->out, "seen    %s\n", check->stage);
    if (!isnan(check->allowance_g)) {
        g_autofree char *spare = spl_mass_format(check->allowance_g);

        fprintf(call->out, "spare   the stand can still spare %s\n", spare);
    }
    if (check->picking != NULL && in_window && check->verdict != SPL_VERDICT_CLOSED) {
        fputs("hours   ", call->out);
        spl_text_print_folded(check->picking, INDENT, call->width, call->out);
    }
    if (check->near != NULL) {
        fputs("\nhazards near\n", call->out);
        spl_list_write_table(&spl_hazard_line_shape, check->near, call->width, call->out);
    }
    print_cautions(call, check);
    spl_call_tell_next(call, check->reasons);
}

static int run(struct spl_call *call, GError **error)
{
    const struct spl_check_question *question = call->said;
    struct spl_check check;
    int status;

    if (question->all && question->site == NULL)
        return run_all(call, error);
    if (!spl_check_site(call->house, question, &check, error))
        return -1;
    if (call->json)
        spl_record_write_json(&spl_check_shape, &check, call->out);
    else
        print_check(call, &check);
    status = spl_check_exit_status(&check);
    spl_record_clear(&spl_check_shape, &check);
    return status;
}

static const struct spl_option check_options[] = {
    {"full", SPL_OPTION_FLAG, NULL,
     "also who must not take the herb, and how its windows are reckoned"},
    {NULL, SPL_OPTION_FLAG, NULL, NULL},
};

const struct spl_command spl_command_check = {
    .words = "check",
    .summary = "May I pick here? The verdict, with its reasons",
    .inputs = &spl_check_inputs,
    .at = "site? material?",
    .options = check_options,
    .about = "The exit status is 0 for 'clear' (nothing known against it), 3 for 'ask', 4 for "
             "'closed'; --all\nends 0. With a material also its window, the stage last seen, what "
             "the stand can spare, and the\ncautions. No verdict makes a place safe: look again "
             "before you pick.",
    .examples = (const char *const[]){"simpling check --all",
                                      "simpling check 'Withy Gill' --near 500", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_check_shape,
    .other = &spl_check_shape,
    .run = run,
};

/* SPDX-License-Identifier: MIT
 *
 * simpling window …: when a material is right at a place, and how good past forecasts were.
 */
#include "simpling/window.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "command/rows.h"

/* A window for people: its likely days in one cell, without the year, which the list begins with.
 */
struct window_line {
    char *site, *material, *use, *verdict, *spare, *way, *earliest, *likely, *latest, *basis,
        *almanac;
};

static const struct spl_field line_fields[] = {
    SPL_FIELD(window_line, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(window_line, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(window_line, use, SPL_TEXT, "use", "use"),
    SPL_FIELD(window_line, verdict, SPL_TEXT, "verdict", "verdict"),
    SPL_FIELD(window_line, spare, SPL_TEXT, "spare", "can spare"),
    SPL_FIELD(window_line, way, SPL_TEXT, "way", "from home"),
    SPL_FIELD(window_line, earliest, SPL_TEXT, "earliest", "may begin"),
    SPL_FIELD(window_line, likely, SPL_TEXT, "likely", "likely"),
    SPL_FIELD(window_line, latest, SPL_TEXT, "latest", "mostly over"),
    SPL_FIELD(window_line, basis, SPL_TEXT, "basis", "basis"),
    SPL_FIELD(window_line, almanac, SPL_TEXT, "almanac", "almanac"),
};
static const struct spl_shape line_shape = SPL_SHAPE("window_line", window_line, line_fields);

struct listing {
    struct spl_call_stream stream;
    int year;      /* of the first window */
    char *almanac; /* its almanac, which the head of the list names */
};

/* "northern Britain", of "Almanac of northern Britain". Borrowed. */
static const char *short_almanac(const struct spl_window *window)
{
    static const char lead[] = "Almanac of ";
    const char *name = window->almanac != NULL ? window->almanac : "";

    return g_str_has_prefix(name, lead) ? name + strlen(lead) : name;
}

/* The list is headed by the growing year of its first window; a day of another calendar year, as in
 * the south half of them are, says its own. */
static char *dated(const struct listing *list, struct spl_day day)
{
    char *text = spl_call_short_day(day), *with;
    int year;

    spl_day_to_ymd(day, &year, NULL, NULL);
    if (year == list->year)
        return text;
    with = g_strdup_printf("%s %d", text, year);
    g_free(text);
    return with;
}

/* Both days with their year where it differs from the list's, once where it is the same for both.
 */
static char *dated_span(const struct listing *list, struct spl_day first, struct spl_day last)
{
    g_autofree char *from = NULL, *to = dated(list, last);
    int first_year, last_year;

    spl_day_to_ymd(first, &first_year, NULL, NULL);
    spl_day_to_ymd(last, &last_year, NULL, NULL);
    from = first_year == last_year ? spl_call_short_day(first) : dated(list, first);
    return g_strdup_printf("%s to %s", from, to);
}

/* U+00A0 keeps a day on one line of a folded table. Takes `text`. */
static char *glued(const struct listing *list, char *text)
{
    g_auto(GStrv) words = g_strsplit(text, " ", -1);

    g_free(text);
    return g_strjoinv(list->stream.call->width > 0 ? "\xc2\xa0" : " ", words);
}

/* Where and when, and from which almanac: what is the same for nearly all lines stands above them.
 */
static void print_head(struct listing *list, const struct spl_window *window, gboolean one_site)
{
    g_autoptr(GString) head = g_string_new(NULL);
    g_autofree char *away = spl_distance_format(window->almanac_km);

    list->year = window->year;
    list->almanac = g_strdup(short_almanac(window));
    if (one_site && window->site != NULL)
        g_string_append_printf(head, "%s, ", window->site);
    g_string_append_printf(head, "growing year %d", window->year);
    if (*list->almanac != '\0')
        g_string_append_printf(head, ", by the almanac %s%s",
                               isnan(window->almanac_km) ? "" : "of ", list->almanac);
    if (one_site && !isnan(window->almanac_km))
        g_string_append_printf(head, ", %s away", away);
    spl_call_say("", head->str, list->stream.call->width, list->stream.call->out);
}

static gboolean stream_window(const struct spl_window_told *told, gpointer data, GError **error)
{
    struct listing *list = data;
    struct spl_call_stream *stream = &list->stream;
    const struct spl_window *window = &told->window;
    g_autofree char *earliest = NULL, *likely = NULL, *latest = NULL, *spare = NULL, *way = NULL;
    const gboolean open = spl_call_has(stream->call, "open");
    struct window_line line;
    gboolean one_site;

    if (stream->shape == &spl_window_shape)
        return spl_call_stream_item(stream, window, error);
    if (stream->shape != &line_shape)
        return spl_call_stream_item(stream, told, error);
    one_site = spl_call_has(stream->call, "site") || spl_call_has(stream->call, "near");
    if (!stream->any)
        print_head(list, window, one_site);
    earliest = glued(list, dated(list, window->earliest));
    likely = glued(list, dated_span(list, window->likely_start, window->likely_end));
    latest = glued(list, dated(list, window->latest));
    if (!isnan(window->way_min))
        way = g_strdup_printf("%.0f min", window->way_min);
    if (!isnan(window->spare_g))
        spare = spl_mass_format(window->spare_g);
    line = (struct window_line){
        one_site ? NULL : window->site,
        window->material,
        window->use,
        window->verdict,
        spare,
        way,
        open ? NULL : earliest,
        likely,
        latest,
        open ? NULL : (char *)spl_basis_names[window->basis],
        strcmp(short_almanac(window), list->almanac) != 0 ? (char *)short_almanac(window) : NULL};
    return spl_call_stream_item(stream, &line, error);
}

/* A table has no room for accounts: each window as lines, with its account below. */
static gboolean print_told(const struct spl_window_told *told, gpointer data, GError **error)
{
    struct spl_call *call = data;

    (void)error;
    spl_record_write_lines(&spl_window_shape, &told->window, call->width, call->out);
    spl_record_write_lines(&spl_window_account_shape, told->explain, call->width, call->out);
    fputc('\n', call->out);
    return TRUE;
}

/* Places without windows, and why. */
static void say_unfit(const struct spl_call *call, const GPtrArray *unfit)
{
    for (guint i = 0; i < unfit->len; i++)
        fprintf(call->json ? stderr : call->out, "%s\n", (const char *)g_ptr_array_index(unfit, i));
}

static int run_list(struct spl_call *call, GError **error)
{
    static const char none[] =
        "no windows; add a place with 'site add' or name one with --near LAT,LON";
    static const char nothing_open[] =
        "nothing can be gathered then where a stand was noted ('stand set' notes one); 'window "
        "list' says when";
    g_autoptr(GPtrArray) unfit = g_ptr_array_new_with_free_func(g_free);
    struct spl_window_words *words = call->said;
    struct listing list = {.year = 0};
    int status;

    words->unfit = unfit;
    if (words->explain && !call->json) {
        if (!spl_window_list(call->house, words, print_told, call, error))
            return -1;
        say_unfit(call, unfit);
        return 0;
    }
    spl_call_stream_begin_as(&list.stream, call,
                             !call->json      ? &line_shape
                             : words->explain ? &spl_window_told_shape
                                              : &spl_window_shape);
    if (!spl_window_list(call->house, words, stream_window, &list, error))
        status = -1;
    else
        status = spl_call_stream_end(&list.stream, unfit->len > 0 ? NULL
                                                   : words->open  ? nothing_open
                                                                  : none);
    g_free(list.almanac);
    if (status >= 0)
        say_unfit(call, unfit);
    return status;
}

static int run_check(struct spl_call *call, GError **error)
{
    struct spl_window_errors errors;

    if (!spl_window_check(call->house, call->said, &errors, error))
        return -1;
    spl_call_print(call, &errors);
    spl_record_clear(&spl_window_errors_shape, &errors);
    return 0;
}

const struct spl_command spl_command_window_list = {
    .words = "window list",
    .summary = "When materials are right for gathering, place by place",
    .inputs = &spl_window_inputs,
    .said_as = (const struct spl_input_word[]){{"use", "purpose"}, {NULL, NULL}},
    .about = "'May begin' is the day by which a start has come in one year of ten, 'mostly over' "
             "the day after which\nonly one year of ten still has it. The basis says what a window "
             "rests on: the almanac's own dates,\nmoved by place (shifted), by the usual warmth "
             "(normals), by this year's weather, corrected by what was\nseen (observed), or set by "
             "you (fixed). Over 45 days ahead a forecast is little better than the usual date.",
    .examples =
        (const char *const[]){
            "simpling window list --site 'Withy Gill' --material dandelion/flower",
            "simpling window list --open --within 20min",
            "simpling window list --open --on saturday",
            "simpling window list --near 54.6012,-2.5871 --purpose food --year 2027",
            "simpling window list --site 'Withy Gill' --material nettle/leaf --explain", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_window_shape,
    .array = TRUE,
    .other = &spl_window_told_shape,
    .run = run_list,
};

const struct spl_command spl_command_window_check = {
    .words = "window check",
    .summary = "How far off the forecasts of past years were from what was seen",
    .inputs = &spl_window_check_inputs,
    .about =
        "Each sighting is foretold again with what was known then: no later sightings, weather or "
        "days set in the\ncalendar (the weather is that which the book holds today). A stage note "
        "is compared with the day of that stage;\ndays are + where the forecast was too late. The "
        "range from 'may begin' on should hold 80 of 100. A picking says\nonly that the window was "
        "open, so pickings are counted apart: inside the window as foretold, or not.",
    .examples = (const char *const[]){"simpling window check --year 2027",
                                      "simpling window check --year 2020 --to 2027 --site 'Withy "
                                      "Gill'",
                                      NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_window_errors_shape,
    .run = run_check,
};

/* SPDX-License-Identifier: MIT
 *
 * From argv to an exit status: finds the command, splits options with GOption, opens what the
 * command needs, runs it or the helper that does, says in one line what went wrong.
 *
 * GOption only splits. Every option and place is a file name to it (bytes, in any locale), checked
 * as UTF-8 here and read by our own parsers, since GOption's numbers take nan, 0x10 and octal.
 */
#include <errno.h>
#include <langinfo.h>
#include <locale.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/layout.h"
#include "base/text.h"
#include "command/command.h"
#include "simpling/customs.h"

const struct spl_option spl_shared_options[] = {
    {"book", SPL_OPTION_ONE, "FILE", "the book (else $SIMPLING_BOOK, else your own data folder)"},
    {"today", SPL_OPTION_ONE, "DATE", "take this for today (else $SIMPLING_TODAY, else the clock)"},
    {"json", SPL_OPTION_FLAG, NULL, "one JSON document instead of words"},
    {"metric", SPL_OPTION_FLAG, NULL, "grams, millilitres and metres, for this call"},
    {"us", SPL_OPTION_FLAG, NULL, "US units, for this call ('book set units us': always)"},
    {"imp", SPL_OPTION_FLAG, NULL, "imperial units, for this call"},
    {"help", SPL_OPTION_FLAG, NULL, "this text"},
    {"version", SPL_OPTION_FLAG, NULL, "the version of the program"},
    {NULL, SPL_OPTION_FLAG, NULL, NULL},
};

/* Where things are ------------------------------------------------------------------------------
 */

struct places {
    char *book, *data, *own_data, *calendars, *helpers;
};

static void places_clear(struct places *places)
{
    g_free(places->book);
    g_free(places->data);
    g_free(places->own_data);
    g_free(places->calendars);
    g_free(places->helpers);
}

/* PREFIX of the running program: it is PREFIX/bin/simpling or PREFIX/libexec/simpling/NAME. */
static char *find_prefix(void)
{
    g_autofree char *program = g_file_read_link("/proc/self/exe", NULL);
    g_autofree char *folder = program != NULL ? g_path_get_dirname(program) : g_strdup(".");
    g_autofree char *above = g_path_get_dirname(folder);
    g_autofree char *name = g_path_get_basename(above);

    if (strcmp(name, "libexec") == 0)
        return g_path_get_dirname(above);
    return g_steal_pointer(&above);
}

static void find_places(const char *book, struct places *places)
{
    g_autofree char *prefix = find_prefix();
    const char *data = g_getenv("SIMPLING_DATA"), *env = g_getenv("SIMPLING_BOOK");

    if (book != NULL)
        places->book = g_strdup(book);
    else if (env != NULL && *env != '\0')
        places->book = g_strdup(env);
    else
        places->book = g_build_filename(g_get_user_data_dir(), "simpling", "book.db", NULL);
    places->data = data != NULL && *data != '\0'
                       ? g_strdup(data)
                       : g_build_filename(prefix, "share", "simpling", "data", NULL);
    places->own_data = g_build_filename(g_get_user_config_dir(), "simpling", NULL);
    places->calendars = g_build_filename(prefix, "share", "simpling", "calendars", NULL);
    places->helpers = g_build_filename(prefix, "libexec", "simpling", NULL);
}

/* Finding the command ---------------------------------------------------------------------------
 */

static gboolean says(char **argv, const char *option)
{
    for (; *argv != NULL && strcmp(*argv, "--") != 0; argv++)
        if (g_str_has_prefix(*argv, "--") && strcmp(*argv + 2, option) == 0)
            return TRUE;
    return FALSE;
}

/* The words of argv that can name a command: those before the first option that is not shared. */
static const struct spl_command *find_command(char **argv, int *n_words)
{
    const struct spl_command *best = NULL;
    int best_words = -1;

    for (gsize i = 0; i < spl_n_commands; i++) {
        g_auto(GStrv) words = g_strsplit(spl_commands[i]->words, " ", 4);
        int n = (int)g_strv_length(words), matched = 0;

        while (matched < n && argv[matched] != NULL && strcmp(argv[matched], words[matched]) == 0)
            matched++;
        if (matched == n && n > best_words) {
            best = spl_commands[i];
            best_words = n;
        }
    }
    *n_words = MAX(best_words, 0);
    return best != NULL && best->becomes != NULL && says(argv, best->becomes_with) ? best->becomes
                                                                                   : best;
}

/* "simpling: site ad: no such command; did you mean 'site add'?" */
static void set_no_command(char **argv, GError **error)
{
    g_autoptr(GPtrArray) names = g_ptr_array_new();
    g_autofree char *typed = argv[1] != NULL && argv[1][0] != '-'
                                 ? g_strjoin(" ", argv[0], argv[1], NULL)
                                 : g_strdup(argv[0]);
    g_autofree char *shown = spl_text_scrub(typed, FALSE), *offer = NULL;

    if (*g_strstrip(shown) == '\0') {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "the first word is empty; name a command, 'simpling help' lists them");
        return;
    }
    for (gsize i = 0; i < spl_n_commands; i++)
        g_ptr_array_add(names, (gpointer)spl_commands[i]->words);
    offer = spl_names_offer(shown, names);
    if (*offer == '\0') {
        g_free(offer);
        offer = spl_names_offer(argv[0], names);
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "%.60s: there is no such command%s%s", shown,
                offer, *offer == '\0' ? "; 'simpling help' lists them" : "");
}

/* "simpling site", "simpling site --help", with shared options or without: the group's commands.
 * FALSE: it is no group. */
static gboolean told_group(char **words, const struct spl_call *call)
{
    g_autofree char *text = NULL;

    if (words[0] == NULL || (words[1] != NULL && !g_str_has_prefix(words[1], "--")))
        return FALSE;
    text = spl_help_group(words[0], call->width);
    if (text != NULL)
        fputs(text, call->out);
    return text != NULL;
}

/* Options ---------------------------------------------------------------------------------------
 */

static guint count_options(const struct spl_option *options)
{
    guint n = 0;

    while (options != NULL && options[n].name != NULL)
        n++;
    return n;
}

/* One typed value: bytes must be UTF-8, since everything in the book is. */
static gboolean check_utf8(const char *value, const char *what, GError **error)
{
    if (g_utf8_validate(value, -1, NULL))
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "%s: the text is not valid UTF-8; set the terminal to UTF-8 and type it again",
                what);
    return FALSE;
}

struct slot {
    const struct spl_option *option;
    char **values; /* GOption's array for options with a value */
    gboolean flag;
};

static gboolean keep_values(struct slot *slots, guint n_slots, GHashTable *values, GError **error)
{
    for (guint i = 0; i < n_slots; i++) {
        const struct spl_option *option = slots[i].option;
        g_autofree char *what = g_strconcat("--", option->name, NULL);
        GPtrArray *kept = g_ptr_array_new_with_free_func(g_free);

        if (slots[i].flag)
            g_ptr_array_add(kept, g_strdup(""));
        for (guint j = 0; slots[i].values != NULL && slots[i].values[j] != NULL; j++) {
            if (!check_utf8(slots[i].values[j], what, error)) {
                g_ptr_array_unref(kept);
                return FALSE;
            }
            g_ptr_array_add(kept, g_strdup(slots[i].values[j]));
        }
        if (option->kind == SPL_OPTION_ONE && kept->len > 1) {
            g_ptr_array_unref(kept);
            g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "%s: is given twice; give it once",
                        what);
            return FALSE;
        }
        if (kept->len > 0)
            g_hash_table_insert(values, (gpointer)option->name, kept);
        else
            g_ptr_array_unref(kept);
    }
    return TRUE;
}

/* GOption takes "-42.8821,147.3272" for options: the minus of a number hides behind a sign that no
 * argument begins with while it splits. */
#define HIDDEN '\x01'

static char *hide_minus(const struct spl_command *command, const char *arg)
{
    gboolean number = arg[0] == '-' && (g_ascii_isdigit(arg[1]) || arg[1] == '.');

    return number ? g_strdup_printf("%c%s", HIDDEN, arg) : spl_command_renamed(command, arg);
}

static void show_minus(char **args)
{
    for (; args != NULL && *args != NULL; args++) {
        if (**args == HIDDEN && (*args)[1] == '-')
            memmove(*args, *args + 1, strlen(*args));
    }
}

/* Splits argv (after the command's words) into call->values and call->places. */
static gboolean split(struct spl_call *call, char **argv, GError **error)
{
    const struct spl_option *own = spl_command_options(call->command);
    guint n_own = count_options(own);
    guint n_slots = n_own + count_options(spl_shared_options);
    g_autofree struct slot *slots = g_new0(struct slot, n_slots);
    g_autofree GOptionEntry *entries = g_new0(GOptionEntry, n_slots + 2);
    g_autoptr(GOptionContext) context = g_option_context_new(NULL);
    g_auto(GStrv) args = NULL;
    g_autoptr(GPtrArray) list = g_ptr_array_new();
    GError *failed = NULL;
    gboolean ok;

    for (guint i = 0; i < n_slots; i++) {
        const struct spl_option *option = i < n_own ? &own[i] : &spl_shared_options[i - n_own];

        slots[i].option = option;
        entries[i] = (GOptionEntry){
            .long_name = option->name,
            .arg =
                option->kind == SPL_OPTION_FLAG ? G_OPTION_ARG_NONE : G_OPTION_ARG_FILENAME_ARRAY,
            .arg_data = option->kind == SPL_OPTION_FLAG ? (gpointer)&slots[i].flag
                                                        : (gpointer)&slots[i].values,
        };
    }
    entries[n_slots] = (GOptionEntry){.long_name = G_OPTION_REMAINING,
                                      .arg = G_OPTION_ARG_FILENAME_ARRAY,
                                      .arg_data = &call->places};
    g_option_context_add_main_entries(context, entries, NULL);
    g_option_context_set_help_enabled(context, FALSE);
    g_ptr_array_add(list, g_strdup("simpling"));
    for (guint i = 0; argv[i] != NULL; i++)
        g_ptr_array_add(list, hide_minus(call->command, argv[i]));
    g_ptr_array_add(list, NULL);
    args = (char **)g_ptr_array_free(g_steal_pointer(&list), FALSE);
    ok = g_option_context_parse_strv(context, &args, &failed);
    show_minus(call->places);
    for (guint i = 0; i < n_slots; i++)
        show_minus(slots[i].values);
    if (!ok) {
        g_autofree char *usage = spl_usage_line(call->command);
        g_autofree char *said = spl_text_scrub(failed->message, FALSE);

        *said = g_ascii_tolower(*said);
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "%s: %s; %s (--help tells more)",
                    *call->command->words != '\0' ? call->command->words : "the options", said,
                    usage);
        g_error_free(failed);
    }
    ok = ok && keep_values(slots, n_slots, call->values, error);
    for (guint i = 0; i < n_slots; i++)
        g_strfreev(slots[i].values);
    call->n_places = call->places != NULL ? g_strv_length(call->places) : 0;
    for (guint i = 0; ok && i < call->n_places; i++)
        ok = check_utf8(call->places[i], "the command line", error);
    return ok;
}

static gboolean count_places(const struct spl_call *call, GError **error)
{
    const struct spl_command *command = call->command;
    g_autofree char *usage = NULL, *wrong = NULL;
    int min, max;
    const char *places = spl_command_places(command, &min, &max);

    if ((int)call->n_places >= min && (max < 0 || (int)call->n_places <= max))
        return TRUE;
    usage = spl_usage_line(command);
    if ((int)call->n_places < min) {
        g_auto(GStrv) names = g_strsplit(places, " ", -1);

        wrong = g_strdup_printf("%s is missing", call->n_places < g_strv_length(names)
                                                     ? names[call->n_places]
                                                     : "something");
    } else {
        g_autofree char *extra = spl_text_scrub(call->places[max], FALSE);

        wrong = g_strdup_printf("'%.40s' is one word too many (quote names with spaces)", extra);
    }
    g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE, "%s: %s; %s",
                *command->words != '\0' ? command->words : "simpling", wrong, usage);
    return FALSE;
}

static gboolean find_today(struct spl_call *call, struct spl_house_options *where, GError **error)
{
    const char *said = spl_call_get(call, "today"), *env = g_getenv("SIMPLING_TODAY");
    const char *what = "--today";
    g_autofree char *told = NULL;
    time_t seconds = time(NULL);
    struct tm now;

    if (said == NULL && env != NULL && *env != '\0') {
        said = env;
        what = "SIMPLING_TODAY";
    }
    if (said != NULL) {
        if (!spl_day_parse(said, what, &where->today, error))
            return FALSE;
        told = g_strdup_printf("today is taken to be %s (%s)", said, what);
        spl_call_say("simpling: ", told, call->width, stderr);
        /* Noon UTC of that day, so that the same words give the same book. */
        where->now_us = ((gint64)where->today.n * 86400 + 43200) * G_USEC_PER_SEC;
        return TRUE;
    }
    /* Not GLib's: it complains aloud of a TZ that names no zone file, where libc takes UTC. */
    if (seconds == (time_t)-1 || localtime_r(&seconds, &now) == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "the clock: cannot be read; give --today");
        return FALSE;
    }
    where->today = spl_day_from_ymd(now.tm_year + 1900, now.tm_mon + 1, now.tm_mday);
    return TRUE;
}

/* Running ---------------------------------------------------------------------------------------
 */

static int run_helper(const struct spl_call *call, char **argv, GError **error)
{
    g_autofree char *path = g_build_filename(call->where->helpers, call->command->helper, NULL);
    g_autofree char **args = NULL;
    guint n = g_strv_length(argv);

    args = g_new0(char *, n + 2);
    args[0] = path;
    for (guint i = 0; i < n; i++)
        args[i + 1] = argv[i];
    fflush(NULL);
    execv(path, args);
    g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                "%s: cannot be started: %s; install simpling whole", path, g_strerror(errno));
    return -1;
}

static gboolean was_named(const struct spl_call *call, const char *code)
{
    for (guint i = 0; i < call->n_places; i++) {
        if (g_str_has_prefix(call->places[i], code))
            return TRUE;
    }
    return FALSE;
}

/* What is in the book already must not be noted twice. */
static void set_unshown(const struct spl_call *call, gboolean kept, int number, GError **error)
{
    const char *what = "what was asked";

    if (call->reported != NULL && !was_named(call, call->reported))
        what = call->reported;
    if (kept)
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                    "%s is in the book; only its report could not be shown: the output cannot be "
                    "written: %s",
                    what, g_strerror(number));
    else
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "the output: cannot be written: %s",
                    g_strerror(number));
}

/* Where there is no book, or something else stands in its place. */
static void say_how_to_begin(const struct spl_house_options *where, GError **error)
{
    char *said;

    if (error == NULL || *error == NULL ||
        !g_error_matches(*error, SPL_ERROR, SPL_ERROR_NOT_FOUND) ||
        g_file_test(where->book, G_FILE_TEST_EXISTS))
        return;
    said = g_strconcat((*error)->message, " (--book FILE, or $SIMPLING_BOOK, names yours)", NULL);
    g_free((*error)->message);
    (*error)->message = said;
}

/* What of the person's own tables could not be used; the command went on without it. */
static void tell_left_out(const GPtrArray *lines)
{
    for (guint i = 0; lines != NULL && i < lines->len; i++)
        fprintf(stderr, "simpling: of your own tables is left out: %s\n",
                (const char *)g_ptr_array_index(lines, i));
}

/* The units of this call, where it says some; what machines read is metric. */
static void settle_units(const struct spl_call *call)
{
    struct spl_customs customs = *spl_customs();

    customs.today = call->where->today;
    for (unsigned i = 0; spl_units_names[i] != NULL; i++) {
        if (spl_call_has(call, spl_units_names[i]))
            customs.read = customs.print = (enum spl_units)i;
    }
    if (call->json)
        customs.print = SPL_UNITS_METRIC;
    spl_customs_set(&customs);
}

static enum spl_house_access access_of(const struct spl_call *call,
                                       const struct spl_house_options *where)
{
    const struct spl_command *command = call->command;

    if (command->needs == SPL_NEEDS_WRITE ||
        (command->writes_with != NULL && spl_call_has(call, command->writes_with)))
        return SPL_HOUSE_WRITE;
    if (command->needs == SPL_NEEDS_BOOK ||
        (command->needs == SPL_NEEDS_BOOK_IF_ANY && g_file_test(where->book, G_FILE_TEST_EXISTS)))
        return SPL_HOUSE_READ;
    return SPL_HOUSE_TABLES;
}

static gboolean read_said(struct spl_call *call, GError **error)
{
    if (call->command->inputs == NULL)
        return TRUE;
    call->said = g_malloc0(call->command->inputs->size);
    spl_inputs_init(call->command->inputs, call->said);
    return spl_call_read(call, error);
}

static int run_command(struct spl_call *call, struct spl_house_options *where,
                       int (*run)(struct spl_call *call, GError **error), GError **error)
{
    enum spl_house_access access = access_of(call, where);
    g_autoptr(GError) shut = NULL;
    int status = -1;

    /* The book says in which units words are read; what is wrong with them is said first. */
    if (call->command->needs != SPL_NEEDS_NOTHING)
        call->house = spl_house_open(where, access, &shut);
    settle_units(call);
    if (read_said(call, error)) {
        if (shut == NULL) {
            status = run(call, error);
        } else {
            g_propagate_error(error, g_steal_pointer(&shut));
            say_how_to_begin(where, error);
        }
    }
    if (call->house != NULL)
        tell_left_out(spl_house_left_out(call->house));
    spl_house_close(call->house);
    call->house = NULL;
    if (status >= 0 && (fflush(call->out) != 0 || ferror(call->out))) {
        set_unshown(call, access == SPL_HOUSE_WRITE, errno, error);
        return -1;
    }
    if (status >= 0)
        spl_call_tell_cautions(call);
    return status;
}

/* The program's version and that of the tables, which a person may renew by themselves. */
static void print_version(const struct spl_call *call)
{
    struct places places = {0};
    g_autofree char *path = NULL, *tables = NULL;

    find_places(NULL, &places);
    path = g_build_filename(places.data, "VERSION", NULL);
    fprintf(call->out, "simpling %s\n", SPL_VERSION);
    if (g_file_get_contents(path, &tables, NULL, NULL))
        fprintf(call->out, "tables of %s\n", g_strstrip(tables));
    places_clear(&places);
}

static int dispatch(struct spl_call *call, char **argv, char **rest,
                    const struct spl_helper_run *runs, GError **error)
{
    int (*run)(struct spl_call *, GError **) = call->command->run;
    struct spl_house_options where = {0};
    struct places places = {0};
    int status = -1;

    if (!split(call, rest, error))
        return -1;
    if (spl_call_has(call, "version")) {
        print_version(call);
        return 0;
    }
    if (spl_call_has(call, "help")) {
        g_autofree char *text =
            spl_help_text(*call->command->words != '\0' ? call->command : NULL, call->width);

        fputs(text, call->out);
        return 0;
    }
    find_places(spl_call_get(call, "book"), &places);
    where = (struct spl_house_options){
        .book = places.book,
        .data = places.data,
        .own_data = places.own_data,
        .calendars = places.calendars,
        .helpers = places.helpers,
        .as_it_is = call->command->as_it_is,
        .tell = isatty(STDERR_FILENO) ? spl_terminal_tell : NULL,
    };
    call->where = &where;
    call->json = spl_call_has(call, "json");
    for (guint i = 0; run == NULL && runs != NULL && runs[i].words != NULL; i++) {
        if (strcmp(runs[i].words, call->command->words) == 0)
            run = runs[i].run;
    }
    if (spl_terminal_asks(call) || count_places(call, error)) {
        if (run == NULL)
            status = run_helper(call, argv, error);
        else if (find_today(call, &where, error))
            status = run_command(call, &where, run, error);
    }
    places_clear(&places);
    call->where = NULL;
    return status;
}

/* Shared options with a value may stand before the command: they move behind it. */
static char **words_first(char **argv)
{
    GPtrArray *moved = g_ptr_array_new(), *early = g_ptr_array_new();
    guint i = 0;

    for (; argv[i] != NULL && g_str_has_prefix(argv[i], "--"); i++) {
        gboolean takes_value = strcmp(argv[i], "--book") == 0 || strcmp(argv[i], "--today") == 0;

        g_ptr_array_add(early, argv[i]);
        if (takes_value && argv[i + 1] != NULL)
            g_ptr_array_add(early, argv[++i]);
    }
    for (; argv[i] != NULL; i++)
        g_ptr_array_add(moved, argv[i]);
    for (guint j = 0; j < early->len; j++)
        g_ptr_array_add(moved, g_ptr_array_index(early, j));
    g_ptr_array_add(moved, NULL);
    g_ptr_array_free(early, TRUE);
    return (char **)g_ptr_array_free(moved, FALSE);
}

int spl_run(int argc, char **argv, const struct spl_helper_run *runs)
{
    struct spl_call call = {.out = stdout};
    g_autofree char **words = words_first(argc > 0 ? argv + 1 : argv);
    GError *error = NULL;
    FILE *folded = NULL;
    int n_words, status = -1;

    /* Only the character set: numbers and dates are the same everywhere. */
    setlocale(LC_CTYPE, "");
    if (strcmp(nl_langinfo(CODESET), "UTF-8") != 0)
        setlocale(LC_CTYPE, "C.UTF-8");
    call.command = find_command(words, &n_words);
    call.values =
        g_hash_table_new_full(g_str_hash, g_str_equal, NULL, (GDestroyNotify)g_ptr_array_unref);
    call.width = spl_terminal_width();
    if (call.width > 0 && !says(words, "json"))
        folded = spl_fold_stream(stdout, call.width, spl_terminal_wipe);
    if (folded != NULL)
        call.out = folded;
    if (call.command == NULL || (n_words == 0 && words[0] != NULL && words[0][0] != '-')) {
        status = told_group(words, &call) ? 0 : -1;
        if (status < 0)
            set_no_command(words, &error);
    } else {
        status = dispatch(&call, argv + 1, words + n_words, runs, &error);
    }
    spl_terminal_wipe();
    if (status < 0) {
        fflush(call.out);
        if (error == NULL)
            g_set_error(&error, SPL_ERROR, SPL_ERROR_INTERNAL, "it could not be done");
        spl_tell_failure(call.command, error, says(words, "json"));
        status = spl_error_exit_status(error);
        g_clear_error(&error);
    }
    if (call.said != NULL)
        spl_inputs_clear(call.command->inputs, call.said);
    g_free(call.said);
    g_clear_pointer(&call.cautions, g_ptr_array_unref);
    g_strfreev(call.places);
    g_free(call.reported);
    g_hash_table_unref(call.values);
    if (folded != NULL)
        fclose(folded);
    return status;
}

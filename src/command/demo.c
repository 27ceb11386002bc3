/* SPDX-License-Identifier: MIT
 *
 * simpling demo DIR: an invented dispensary's season, kept by the program itself.
 *
 * The season is a text of command lines (data/demo/season.txt), so that it reads as a herbalist
 * would type it; each runs as a program of its own, in DIR and on its own day:
 *
 *     @ 2027-04-24                what follows happens on this day
 *     harvest add "Withy Gill" …  a command line without the word simpling, split as a shell does
 *     ? 4 harvest add …           one that must end with this exit status
 *     > text                      told at the end; a command, set in by four more, with the demo's
 *                                 book and day, so that it can be pasted
 *     # …                         a comment
 *
 * A word that begins with data/demo/ is a file beside the text.
 *
 * What a demo made stands in DIR/demo.sha256, a line a file as sha256sum(1) writes and checks it.
 * --again replaces just these files, and only while each is as the demo left it: whatever else is
 * in the folder, or was changed, is somebody's, and nothing is removed then.
 */
#include <errno.h>
#include <glib/gstdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include "base/file.h"
#include "command/rows.h"

/* What is said. The table stands here and not in season: what a demo does is to call commands. */
struct demo_words {
    const char *folder;
    gboolean again;
};

static const struct spl_input demo_rows[] = {
    SPL_INPUT(demo_words, folder, FILE, "folder", "where it is made", .value = "DIR", .needed = 1),
    SPL_INPUT(demo_words, again, FLAG, "again",
              "replace what an earlier demo made there, as long as it is as the demo left it"),
};
static const struct spl_inputs demo_inputs = SPL_INPUTS("demo", demo_words, demo_rows);

struct demo {
    char *folder, *book;
    const char *data; /* the folder of the data tables */
    struct spl_day today;
    int commands;
    GPtrArray *look;
};

static const struct spl_field demo_fields[] = {
    SPL_FIELD(demo, folder, SPL_TEXT, "folder", "folder"),
    SPL_FIELD(demo, book, SPL_TEXT, "book", "book"),
    SPL_FIELD(demo, today, SPL_DAY, "today", "its today"),
    SPL_FIELD(demo, commands, SPL_INT, "commands", "commands run"),
    SPL_FIELD(demo, look, SPL_TEXTS, "look", NULL),
};
static const struct spl_shape demo_shape = SPL_SHAPE("demo", demo, demo_fields);

#define SEASON_MAX (1024 * 1024)

/* The environment of a line: the demo's own book and day, the person's own tables kept out. */
static char **environment(const struct demo *demo)
{
    char today[SPL_DAY_TEXT_SIZE];
    char **env = g_get_environ();

    env = g_environ_setenv(env, "SIMPLING_BOOK", demo->book, TRUE);
    env = g_environ_setenv(env, "SIMPLING_TODAY", spl_day_format(demo->today, today), TRUE);
    env = g_environ_setenv(env, "XDG_CONFIG_HOME", demo->folder, TRUE);
    return env;
}

/* The word, or the file beside the season's text that it names. */
static char *beside(const struct demo *demo, char **word)
{
    if (g_str_has_prefix(*word, "data/demo/")) {
        char *path = g_build_filename(demo->data, *word + strlen("data/"), NULL);

        g_free(*word);
        *word = path;
    }
    return *word;
}

/* Runs one line; a status other than the expected one is an error that shows what it said. */
static gboolean run_line(struct demo *demo, const char *line, int number, GError **error)
{
    g_autofree char *program = g_file_read_link("/proc/self/exe", NULL);
    g_auto(GStrv) env = environment(demo);
    g_auto(GStrv) args = NULL;
    g_autoptr(GPtrArray) argv = g_ptr_array_new();
    g_autofree char *out = NULL, *err = NULL;
    GError *failed = NULL;
    int status, expected = 0;

    if (*line == '?') {
        expected = (int)g_ascii_strtoll(line + 1, (char **)&line, 10);
        while (*line == ' ')
            line++;
    }
    g_ptr_array_add(argv, program);
    if (g_shell_parse_argv(line, NULL, &args, &failed)) {
        for (guint i = 0; args[i] != NULL; i++)
            g_ptr_array_add(argv, beside(demo, &args[i]));
        g_ptr_array_add(argv, NULL);
        g_spawn_sync(demo->folder, (char **)argv->pdata, env, G_SPAWN_DEFAULT, NULL, NULL, &out,
                     &err, &status, &failed);
    }
    if (failed != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "season.txt:%d: %s", number, failed->message);
        g_error_free(failed);
        return FALSE;
    }
    if (!WIFEXITED(status) || WEXITSTATUS(status) != expected) {
        const char *last;

        g_strchomp(err);
        last = strrchr(err, '\n') != NULL ? strrchr(err, '\n') + 1 : err;
        g_set_error(error, SPL_ERROR, SPL_ERROR_INTERNAL, "season.txt:%d: '%s' ended with %d: %s",
                    number, line, WIFEXITED(status) ? WEXITSTATUS(status) : -1, last);
        return FALSE;
    }
    demo->commands++;
    return TRUE;
}

/* As one word of a shell's line. g_free. */
static char *shell_word(const char *text)
{
    static const char plain[] =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789/._-+,";

    return text[strspn(text, plain)] == '\0' ? g_strdup(text) : g_shell_quote(text);
}

/* How a shell calls this very program: by its name where PATH leads to it, else by its path.
 * g_free. */
static char *program_word(void)
{
    g_autofree char *self = g_file_read_link("/proc/self/exe", NULL);
    g_autofree char *found = g_find_program_in_path("simpling");
    g_autofree char *real = found != NULL ? realpath(found, NULL) : NULL;

    return g_strcmp0(self, real) == 0 || self == NULL ? g_strdup("simpling") : shell_word(self);
}

/* What is told at the end: a text, or, set in, a command that can be pasted as it stands. */
static char *told(const struct demo *demo, const char *line)
{
    static const char begin[] = "    simpling";
    char today[SPL_DAY_TEXT_SIZE];

    if (!g_str_has_prefix(line, begin))
        return g_strdup(line);
    g_autofree char *program = program_word();
    g_autofree char *book = shell_word(demo->book);
    return g_strdup_printf("    %s%s --book %s --today %s", program, line + strlen(begin), book,
                           spl_day_format(demo->today, today));
}

static gboolean run_season(struct demo *demo, const char *text, GError **error)
{
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);

    for (guint i = 0; lines[i] != NULL; i++) {
        char *line = g_strstrip(lines[i]);

        if (*line == '\0' || *line == '#')
            continue;
        if (*line == '@') {
            if (!spl_day_parse(g_strstrip(line + 1), "season.txt", &demo->today, error))
                return FALSE;
        } else if (*line == '>') {
            g_ptr_array_add(demo->look, told(demo, line[1] == ' ' ? line + 2 : line + 1));
        } else if (!run_line(demo, line, (int)i + 1, error)) {
            return FALSE;
        }
    }
    return TRUE;
}

/* What a demo made ------------------------------------------------------------------------------
 */

#define MADE "demo.sha256"
#define SUM_LENGTH 64 /* a SHA-256 in hex */

/* The files in the folder, by name; a folder in it, as no demo makes one, is left out. */
static GHashTable *files_in(const char *folder)
{
    GHashTable *files = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    GDir *dir = g_dir_open(folder, 0, NULL);
    const char *name;

    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(folder, name, NULL);

        if (g_file_test(path, G_FILE_TEST_IS_REGULAR))
            g_hash_table_add(files, g_strdup(name));
    }
    if (dir != NULL)
        g_dir_close(dir);
    return files;
}

/* Writes down what is there now and was not before; also of a demo that failed half-way. */
static gboolean note_made(const struct demo *demo, GHashTable *before, GError **error)
{
    g_autoptr(GHashTable) now = files_in(demo->folder);
    g_autofree char *path = g_build_filename(demo->folder, MADE, NULL);
    g_autoptr(GString) text = g_string_new(NULL);
    g_autoptr(GList) names = g_list_sort(g_hash_table_get_keys(now), (GCompareFunc)strcmp);

    for (GList *at = names; at != NULL; at = at->next) {
        g_autofree char *file = g_build_filename(demo->folder, at->data, NULL);
        g_autofree char *sum = NULL;

        if (g_hash_table_contains(before, at->data))
            continue;
        sum = spl_file_checksum(file, error);
        if (sum == NULL)
            return FALSE;
        g_string_append_printf(text, "%s  %s\n", sum, (char *)at->data);
    }
    return spl_file_write(path, text->str, text->len, error);
}

/* The name on a line of the list, NULL when it is none; a name in the folder itself, not a way out
 * of it. */
static const char *name_on(const char *line)
{
    if (strspn(line, "0123456789abcdef") != SUM_LENGTH ||
        !g_str_has_prefix(line + SUM_LENGTH, "  ") || line[SUM_LENGTH + 2] == '\0' ||
        strchr(line + SUM_LENGTH + 2, '/') != NULL)
        return NULL;
    return line + SUM_LENGTH + 2;
}

/* Removes what an earlier demo made, all or nothing. */
static gboolean take_away(const struct demo *demo, GError **error)
{
    g_autofree char *list = g_build_filename(demo->folder, MADE, NULL);
    g_autofree char *text = NULL;
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    g_auto(GStrv) lines = NULL;

    if (!g_file_test(list, G_FILE_TEST_EXISTS))
        return TRUE;
    text = spl_file_read(list, SEASON_MAX, NULL, error);
    if (text == NULL)
        return FALSE;
    lines = g_strsplit(text, "\n", -1);
    for (char **line = lines; *line != NULL; line++) {
        const char *name = name_on(*line);
        g_autofree char *path = name != NULL ? g_build_filename(demo->folder, name, NULL) : NULL;
        g_autofree char *sum = NULL;

        if (path == NULL || !g_file_test(path, G_FILE_TEST_EXISTS))
            continue;
        sum = spl_file_checksum(path, error);
        if (sum == NULL)
            return FALSE;
        if (strncmp(sum, *line, SUM_LENGTH) != 0) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                        "%s: was changed since the demo made it, so it stays and nothing was "
                        "removed; name another folder, or take it away yourself",
                        path);
            return FALSE;
        }
        g_ptr_array_add(paths, g_steal_pointer(&path));
    }
    for (guint i = 0; i < paths->len; i++)
        g_unlink(g_ptr_array_index(paths, i));
    g_unlink(list);
    return TRUE;
}

/* The season in a folder that has no book. */
static gboolean keep_season(struct demo *demo, const char *text, GError **error)
{
    g_autoptr(GHashTable) before = NULL;
    gboolean ok;

    if (g_file_test(demo->book, G_FILE_TEST_EXISTS)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: there is a book already, and it is none that a demo made; name another "
                    "folder",
                    demo->book);
        return FALSE;
    }
    before = files_in(demo->folder);
    ok = run_season(demo, text, error);
    return note_made(demo, before, ok ? error : NULL) && ok;
}

static int run(struct spl_call *call, GError **error)
{
    const struct demo_words *words = call->said;
    g_autofree char *season = g_build_filename(call->where->data, "demo", "season.txt", NULL);
    g_autofree char *text = spl_file_read(season, SEASON_MAX, NULL, error);
    struct demo demo = {.data = call->where->data, .today = call->where->today};
    int status = -1;

    if (text == NULL || !spl_inputs_check(&demo_inputs, words, error))
        return -1;
    if (g_mkdir_with_parents(words->folder, 0755) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_READ_ONLY, "%s: cannot make the folder: %s",
                    words->folder, g_strerror(errno));
        return -1;
    }
    demo.folder = g_canonicalize_filename(words->folder, NULL);
    demo.book = g_build_filename(demo.folder, "book.db", NULL);
    demo.look = g_ptr_array_new_with_free_func(g_free);
    if ((!words->again || take_away(&demo, error)) && keep_season(&demo, text, error))
        status = spl_call_print(call, &demo);
    for (guint i = 0; status == 0 && !call->json && i < demo.look->len; i++)
        fprintf(call->out, "%s\n", (char *)g_ptr_array_index(demo.look, i));
    spl_record_clear(&demo_shape, &demo);
    return status;
}

const struct spl_command spl_command_demo = {
    .words = "demo",
    .summary = "A whole invented season in a folder: book, calendars, pictures, labels",
    .inputs = &demo_inputs,
    .at = "folder",
    .about = "The dispensary, its valley, its people and all figures are invented. Use the book "
             "with --book\nDIR/book.db and the day that is printed with --today. What was made "
             "stands in\nDIR/demo.sha256; a book "
             "that is no demo's, or was written to since, is never replaced.",
    .examples = (const char *const[]){"simpling demo a-season", NULL},
    .needs = SPL_NEEDS_NOTHING,
    .shape = &demo_shape,
    .run = run,
};

/* SPDX-License-Identifier: MIT
 *
 * What the tests of calendars at the command line share: a book to write from, a file taken apart,
 * a file changed as an application would.
 */
#ifndef SPL_TESTS_COMMAND_CALENDAR_FILE_H
#define SPL_TESTS_COMMAND_CALENDAR_FILE_H

#include "cli.h"

static inline char *path_in(const struct cli *cli, const char *name)
{
    return g_build_filename(cli->folder, name, NULL);
}

static inline char *read_file(const struct cli *cli, const char *name)
{
    g_autofree char *path = path_in(cli, name);
    g_autoptr(GError) error = NULL;
    char *text = spl_file_read(path, 1 << 24, NULL, &error);

    expect_ok(error);
    return text;
}

static inline void write_text(const struct cli *cli, const char *name, const char *text)
{
    g_autofree char *path = path_in(cli, name);

    assert_true(g_file_set_contents(path, text, -1, NULL));
}

/* A book with a window, steps and a check day. */
static inline void season(struct cli *cli)
{
    cli_ok(cli, "book set zone Europe/London");
    cli_ok(cli, "book set who Edda");
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "stage note 'Withy Gill' elder/flower 61 --on 2027-06-12");
    cli_ok(cli, "harvest add 'Withy Gill' elder/flower --weight 300g --stage 61 --on 2027-06-19 "
                "--named-by Edda --signs 'woody shrub, corky bark'");
    cli_ok(cli, "batch start tincture --from H27-001:80g --jar 500mL --menstruum 'spirit 40%, Ash "
                "Beck Still, 98' --on 2027-06-19");
}

/* The unfolded text of the entry whose title begins so; free it. */
static inline char *entry_of(const char *calendar, const char *title)
{
    g_auto(GStrv) folds = g_strsplit(calendar, "\r\n ", -1);
    g_autofree char *unfolded = g_strjoinv("", folds);
    g_autofree char *wanted = g_strconcat("SUMMARY:", title, NULL);
    const char *found = strstr(unfolded, wanted);
    const char *begin = found;

    if (found == NULL)
        fail_msg("no entry '%s' in\n%s", title, calendar);
    while (strncmp(begin, "BEGIN:VEVENT", 12) != 0 && strncmp(begin, "BEGIN:VTODO", 11) != 0)
        begin--;
    found = strstr(begin, strncmp(begin, "BEGIN:VEVENT", 12) == 0 ? "END:VEVENT" : "END:VTODO");
    return g_strndup(begin, (gsize)(found - begin) + 10);
}

/* The value of a property in an entry; free it. */
static inline char *value_of(const char *entry, const char *name)
{
    g_autofree char *wanted = g_strconcat("\r\n", name, NULL);
    const char *found = strstr(entry, wanted);

    if (found == NULL)
        fail_msg("no %s in\n%s", name, entry);
    found = strchr(found, ':') + 1;
    return g_strndup(found, strcspn(found, "\r"));
}

/* Writes FILE again with the entry of this title changed as an application would. */
static inline void change(const struct cli *cli, const char *file, const char *title,
                          const char *from, const char *to)
{
    g_autofree char *text = read_file(cli, file);
    g_auto(GStrv) folds = g_strsplit(text, "\r\n ", -1);
    g_autofree char *unfolded = g_strjoinv("", folds);
    g_autofree char *entry = entry_of(text, title);
    g_auto(GStrv) around = g_strsplit(unfolded, entry, 2);
    g_auto(GStrv) parts = g_strsplit(entry, from, 2);
    g_autofree char *whole = NULL;

    if (parts[1] == NULL)
        fail_msg("'%s' does not stand in\n%s", from, entry);
    whole = g_strconcat(around[0], parts[0], to, parts[1], around[1], NULL);
    write_text(cli, file, whole);
}

static inline json_t *only(json_t *object, const char *key)
{
    json_t *list = json_object_get(object, key);

    if (json_array_size(list) != 1)
        fail_msg("%d of %s: %s", (int)json_array_size(list), key,
                 json_dumps(object, JSON_INDENT(1)));
    return json_array_get(list, 0);
}

static inline void expect_counts(struct cli *cli, const char *line, int fresh, int changed,
                                 int cancelled)
{
    json_t *json = cli_json(cli, line);

    if ((int)json_number(json, "new") != fresh || (int)json_number(json, "changed") != changed ||
        (int)json_number(json, "cancelled") != cancelled)
        fail_msg("%s: expected %d new, %d changed, %d cancelled, got %s", line, fresh, changed,
                 cancelled, json_dumps(json, JSON_INDENT(1)));
    json_decref(json);
}

#endif

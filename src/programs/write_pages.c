/* SPDX-License-Identifier: MIT
 *
 * Used while building, not installed: writes what is made of the command table.
 *
 *   write_pages DIR VERSION DATE      man page and completion into DIR (man/, bash/, zsh/)
 *   write_pages --schemas DIR         one JSON schema for each command that answers, one for what
 *                                     went wrong, one in input/ for each that takes inputs by a
 *                                     table, and no others
 *   write_pages --manual MANUAL DIR VERSION DATE
 *                                     of the folder data/manual: the man page simpling-manual(7)
 * and a plain site of one page into DIR (man/, site/)
 */
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "base/manual.h"
#include "command/pages.h"
#include "desk/html.h"

/* Takes `text`. */
static gboolean put(const char *dir, const char *name, char *text)
{
    g_autofree char *path = g_build_filename(dir, name, NULL);
    g_autofree char *folder = g_path_get_dirname(path);
    g_autoptr(GError) error = NULL;
    gboolean done = FALSE;

    if (g_mkdir_with_parents(folder, 0777) == 0)
        done = spl_file_write(path, text, strlen(text), &error);
    if (!done)
        fprintf(stderr, "write_pages: %s\n", error != NULL ? error->message : path);
    g_free(text);
    return done;
}

/* Schemas of commands that are no longer there go. */
static void remove_others(const char *folder, GHashTable *names)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    const char *name;

    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(folder, name, NULL);

        if (g_str_has_suffix(name, ".json") && !g_hash_table_contains(names, name))
            g_remove(path);
    }
}

/* `failures`: the schema of what went wrong stands among them. */
static gboolean put_schemas(const char *dir, gboolean failures,
                            char *(*schema_of)(const struct spl_command *command))
{
    g_autoptr(GHashTable) names = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);

    for (gsize i = 0; i < spl_n_commands; i++) {
        char *schema = schema_of(spl_commands[i]);
        char *name;

        if (schema == NULL)
            continue;
        name = spl_schema_name(spl_commands[i]);
        g_hash_table_add(names, name);
        if (!put(dir, name, schema))
            return FALSE;
    }
    g_hash_table_add(names, g_strdup("error.json"));
    if (failures && !put(dir, "error.json", spl_shape_schema(&spl_failure_shape, FALSE, NULL)))
        return FALSE;
    remove_others(dir, names);
    return TRUE;
}

/* The manual ----------------------------------------------------------------------------------- */

struct manual {
    GPtrArray *names; /* of the pages, in the order of the first, manual.md */
    GPtrArray *pages; /* their blocks */
};

/* NULL with an error. */
static GArray *read_page(const char *folder, const char *name, GError **error)
{
    g_autofree char *file = g_strconcat(name, ".md", NULL);
    g_autofree char *path = g_build_filename(folder, file, NULL), *text = NULL;

    return g_file_get_contents(path, &text, NULL, error) ? spl_manual_read(text, file, error)
                                                         : NULL;
}

/* The first page and those that its list names. */
static gboolean read_manual(const char *folder, struct manual *manual, GError **error)
{
    g_ptr_array_add(manual->names, g_strdup("manual"));
    for (guint i = 0; i < manual->names->len; i++) {
        GArray *page = read_page(folder, g_ptr_array_index(manual->names, i), error);

        if (page == NULL)
            return FALSE;
        g_ptr_array_add(manual->pages, page);
        for (guint b = 0; i == 0 && b < page->len; b++) {
            const struct spl_manual_block *block = &g_array_index(page, struct spl_manual_block, b);
            g_autoptr(GArray) spans = spl_manual_spans(g_ptr_array_index(block->texts, 0));

            for (guint s = 0; block->kind == SPL_MANUAL_ITEM && s < spans->len; s++) {
                const struct spl_manual_span *span =
                    &g_array_index(spans, struct spl_manual_span, s);

                if (span->page != NULL)
                    g_ptr_array_add(manual->names, g_strdup(span->page));
            }
        }
    }
    return TRUE;
}

/* The id of a section in the one page of the site: "words", "words-the-book". */
static char *place_of(const char *page, const char *id)
{
    return id == NULL ? g_strdup(page) : g_strdup_printf("%s-%s", page, id);
}

static void write_marked(spl_html *html, const char *page, const char *text)
{
    static const char *const elements[] = {NULL, "code", "strong", "a"};
    g_autoptr(GArray) spans = spl_manual_spans(text);

    for (guint i = 0; i < spans->len; i++) {
        const struct spl_manual_span *span = &g_array_index(spans, struct spl_manual_span, i);

        if (elements[span->mark] != NULL)
            spl_html_open(html, elements[span->mark]);
        if (span->mark == SPL_MANUAL_LINK) {
            g_autofree char *place = place_of(span->page != NULL ? span->page : page, span->id);

            spl_html_place(html, place);
        }
        spl_html_text(html, span->text);
        if (elements[span->mark] != NULL)
            spl_html_close(html, elements[span->mark]);
    }
}

static void write_element(spl_html *html, const char *element, const char *page, const char *text)
{
    spl_html_open(html, element);
    write_marked(html, page, text);
    spl_html_close(html, element);
}

static void write_heading(spl_html *html, const char *page, const struct spl_manual_block *block)
{
    static const char *const elements[] = {NULL, "h1", "h2", "h3"};
    const char *text = g_ptr_array_index(block->texts, 0);
    g_autofree char *id = block->level > 1 ? spl_manual_id(text) : NULL;
    g_autofree char *place = place_of(page, id);

    spl_html_open(html, elements[block->level]);
    spl_html_attr(html, "id", place);
    write_marked(html, page, text);
    spl_html_close(html, elements[block->level]);
}

static void write_row(spl_html *html, const char *page, const struct spl_manual_block *block)
{
    spl_html_open(html, "tr");
    for (guint i = 0; i < block->texts->len; i++)
        write_element(html, block->kind == SPL_MANUAL_HEAD ? "th" : "td", page,
                      g_ptr_array_index(block->texts, i));
    spl_html_close(html, "tr");
}

/* What holds a block, as items a list: NULL, "ul" or "table". */
static const char *holder_of(enum spl_manual_kind kind)
{
    return kind == SPL_MANUAL_ITEM ? "ul" : kind >= SPL_MANUAL_HEAD ? "table" : NULL;
}

static void write_block(spl_html *html, const char *page, const struct spl_manual_block *block)
{
    const char *text = g_ptr_array_index(block->texts, 0);

    switch (block->kind) {
    case SPL_MANUAL_HEADING:
        write_heading(html, page, block);
        break;
    case SPL_MANUAL_TEXT:
        write_element(html, "p", page, text);
        break;
    case SPL_MANUAL_ITEM:
        write_element(html, "li", page, text);
        break;
    case SPL_MANUAL_CODE:
        spl_html_line(html, "pre", NULL, text);
        break;
    case SPL_MANUAL_HEAD:
    case SPL_MANUAL_ROW:
        write_row(html, page, block);
        break;
    }
}

static void write_page(spl_html *html, const char *name, const GArray *blocks)
{
    const char *holder = NULL;

    for (guint i = 0; i < blocks->len; i++) {
        const struct spl_manual_block *block = &g_array_index(blocks, struct spl_manual_block, i);
        const char *wanted = holder_of(block->kind);

        if (holder != NULL &&
            (wanted == NULL || block->kind == SPL_MANUAL_HEAD || strcmp(wanted, holder) != 0)) {
            spl_html_close(html, holder);
            holder = NULL;
        }
        if (wanted != NULL && holder == NULL) {
            spl_html_open(html, wanted);
            holder = wanted;
        }
        write_block(html, name, block);
    }
    if (holder != NULL)
        spl_html_close(html, holder);
}

static char *write_site(const struct manual *manual)
{
    spl_html *html = spl_html_new();

    spl_html_open(html, "html");
    spl_html_attr(html, "lang", "en");
    spl_html_open(html, "head");
    spl_html_line(html, "title", NULL, "simpling: the manual");
    spl_html_open(html, "meta");
    spl_html_attr(html, "name", "viewport");
    spl_html_attr(html, "content", "width=device-width, initial-scale=1");
    spl_html_open(html, "style");
    spl_html_raw(html, "body{max-width:42rem;margin:auto;padding:1rem;font:1rem/1.5 serif}"
                       "pre{overflow:auto}table{border-collapse:collapse}"
                       "th,td{text-align:left;vertical-align:top;padding:.2rem .6rem .2rem 0;"
                       "border-bottom:1px solid}");
    spl_html_close(html, "style");
    spl_html_close(html, "head");
    spl_html_open(html, "body");
    spl_html_open(html, "main");
    for (guint i = 0; i < manual->pages->len; i++)
        write_page(html, g_ptr_array_index(manual->names, i), g_ptr_array_index(manual->pages, i));
    spl_html_close(html, "main");
    spl_html_close(html, "body");
    spl_html_close(html, "html");
    return spl_html_finish(html);
}

static int put_manual(char **args)
{
    struct manual manual = {g_ptr_array_new_with_free_func(g_free),
                            g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref)};
    g_autoptr(GError) error = NULL;
    gboolean ok = read_manual(args[0], &manual, &error);

    if (!ok)
        fprintf(stderr, "write_pages: %s\n", error->message);
    ok = ok &&
         put(args[1], "man/simpling-manual.7", spl_man_manual(manual.pages, args[2], args[3])) &&
         put(args[1], "site/manual.html", write_site(&manual));
    g_ptr_array_unref(manual.names);
    g_ptr_array_unref(manual.pages);
    return ok ? 0 : 1;
}

int main(int argc, char **argv)
{
    gboolean schemas = argc == 3 && strcmp(argv[1], "--schemas") == 0;

    if (argc == 6 && strcmp(argv[1], "--manual") == 0)
        return put_manual(argv + 2);
    if (!schemas && argc != 4) {
        fprintf(stderr, "usage: write_pages DIR VERSION DATE | --schemas DIR | --manual MANUAL DIR "
                        "VERSION DATE\n");
        return 2;
    }
    if (schemas) {
        g_autofree char *inputs = g_build_filename(argv[2], "input", NULL);

        return put_schemas(argv[2], TRUE, spl_command_schema) &&
                       put_schemas(inputs, FALSE, spl_command_input_schema)
                   ? 0
                   : 1;
    }
    return put(argv[1], "man/simpling.1", spl_man_page(argv[2], argv[3])) &&
                   put(argv[1], "bash/simpling", spl_completion_bash()) &&
                   put(argv[1], "zsh/_simpling", spl_completion_zsh())
               ? 0
               : 1;
}

/* SPDX-License-Identifier: MIT
 *
 * Reading a page of the manual. See base/manual.h.
 */
#include "base/manual.h"

#include <string.h>

#include "simpling/error.h"

#define CODE_INDENT 4
#define ITEM_INDENT 2

static void clear_block(gpointer data)
{
    struct spl_manual_block *block = data;

    g_ptr_array_unref(block->texts);
}

static void clear_span(gpointer data)
{
    struct spl_manual_span *span = data;

    g_free(span->text);
    g_free(span->page);
    g_free(span->id);
}

/* Blocks ----------------------------------------------------------------------------------------
 */

struct reader {
    GArray *blocks;
    const char *what;
    guint line; /* from 1 */
    gboolean after_empty;
};

static struct spl_manual_block *last_block(const struct reader *reader)
{
    return reader->blocks->len == 0
               ? NULL
               : &g_array_index(reader->blocks, struct spl_manual_block, reader->blocks->len - 1);
}

static struct spl_manual_block *add_block(struct reader *reader, enum spl_manual_kind kind,
                                          const char *text)
{
    struct spl_manual_block block = {kind, 0, g_ptr_array_new_with_free_func(g_free)};

    if (text != NULL)
        g_ptr_array_add(block.texts, g_strdup(text));
    g_array_append_val(reader->blocks, block);
    return last_block(reader);
}

/* The line goes on with the block's text. */
static void go_on(struct spl_manual_block *block, const char *line, const char *between)
{
    char **text = (char **)&block->texts->pdata[block->texts->len - 1];
    char *longer = g_strconcat(*text, between, line, NULL);

    g_free(*text);
    *text = longer;
}

static gboolean refuse(const struct reader *reader, const char *why, GError **error)
{
    g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT, "%s, line %u: %s", reader->what, reader->line,
                why);
    return FALSE;
}

static gboolean read_heading(struct reader *reader, const char *line, GError **error)
{
    const int level = (int)strspn(line, "#");

    if (level > 3 || line[level] != ' ')
        return refuse(reader, "a heading is #, ## or ### and a blank", error);
    if ((level == 1) != (reader->blocks->len == 0))
        return refuse(reader, "the title is the first line, and no other", error);
    add_block(reader, SPL_MANUAL_HEADING, line + level + 1)->level = level;
    return TRUE;
}

/* "|--|:-:|": what parts a table's head from its rows. */
static gboolean is_rule(const char *line)
{
    return strspn(line, "|-: ") == strlen(line);
}

static gboolean read_row(struct reader *reader, const char *line, GError **error)
{
    struct spl_manual_block *before = reader->after_empty ? NULL : last_block(reader);
    const gboolean in_table = before != NULL && before->kind >= SPL_MANUAL_HEAD;
    const guint n_before = in_table ? before->texts->len : 0;
    g_autofree char *inner = g_strndup(line + 1, strlen(line) - 1);
    struct spl_manual_block *row;
    g_auto(GStrv) cells = NULL;

    g_strchomp(inner);
    if (!g_str_has_suffix(inner, "|"))
        return refuse(reader, "a row ends with |", error);
    if (is_rule(line))
        return in_table && before->kind == SPL_MANUAL_HEAD
                   ? TRUE
                   : refuse(reader, "this stands below the first row of a table", error);
    inner[strlen(inner) - 1] = '\0';
    cells = g_strsplit(inner, "|", -1);
    row = add_block(reader, in_table ? SPL_MANUAL_ROW : SPL_MANUAL_HEAD, NULL);
    for (guint i = 0; cells[i] != NULL; i++)
        g_ptr_array_add(row->texts, g_strdup(g_strstrip(cells[i])));
    return !in_table || row->texts->len == n_before
               ? TRUE
               : refuse(reader, "a row has as many cells as the one above", error);
}

static gboolean read_indented(struct reader *reader, const char *line, gsize indent, GError **error)
{
    struct spl_manual_block *block = last_block(reader);

    if (block != NULL && block->kind == SPL_MANUAL_CODE && indent >= CODE_INDENT)
        go_on(block, line + CODE_INDENT, reader->after_empty ? "\n\n" : "\n");
    else if (reader->after_empty && indent >= CODE_INDENT)
        add_block(reader, SPL_MANUAL_CODE, line + CODE_INDENT);
    else if (block != NULL && block->kind == SPL_MANUAL_ITEM && indent == ITEM_INDENT)
        go_on(block, line + ITEM_INDENT, " ");
    else
        return refuse(reader,
                      "set in by four behind an empty line it is code, by two it goes on "
                      "with an item",
                      error);
    return TRUE;
}

static gboolean read_line(struct reader *reader, const char *line, GError **error)
{
    const gsize indent = strspn(line, " ");
    struct spl_manual_block *block = reader->after_empty ? NULL : last_block(reader);

    if (indent > 0)
        return read_indented(reader, line, indent, error);
    if (*line == '#')
        return read_heading(reader, line, error);
    if (reader->blocks->len == 0)
        return refuse(reader, "a page begins with its title, # and a blank", error);
    if (*line == '|')
        return read_row(reader, line, error);
    if (*line == '<' || *line == '>' || g_str_has_prefix(line, "```") ||
        g_str_has_prefix(line, "* "))
        return refuse(reader, "this mark is not one of the manual's (base/manual.h)", error);
    if (g_str_has_prefix(line, "- "))
        add_block(reader, SPL_MANUAL_ITEM, line + ITEM_INDENT);
    else if (block != NULL && block->kind == SPL_MANUAL_TEXT)
        go_on(block, line, " ");
    else
        add_block(reader, SPL_MANUAL_TEXT, line);
    return TRUE;
}

GArray *spl_manual_read(const char *text, const char *what, GError **error)
{
    struct reader reader = {g_array_new(FALSE, FALSE, sizeof(struct spl_manual_block)), what, 0,
                            TRUE};
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    gboolean ok = TRUE;

    g_array_set_clear_func(reader.blocks, clear_block);
    for (guint i = 0; ok && lines[i] != NULL; i++) {
        reader.line = i + 1;
        g_strchomp(lines[i]);
        if (*lines[i] != '\0')
            ok = read_line(&reader, lines[i], error);
        reader.after_empty = *lines[i] == '\0';
    }
    if (ok && reader.blocks->len == 0)
        ok = refuse(&reader, "there is nothing in it", error);
    if (ok)
        return reader.blocks;
    g_array_unref(reader.blocks);
    return NULL;
}

/* Spans -----------------------------------------------------------------------------------------
 */

static void add_span(GArray *spans, enum spl_manual_mark mark, const char *from, gsize length)
{
    struct spl_manual_span span = {mark, g_strndup(from, length), NULL, NULL};

    if (length > 0)
        g_array_append_val(spans, span);
    else
        clear_span(&span);
}

/* "[text](page.md#id)" at `text`; what stands behind it, or NULL: it is none. */
static const char *read_link(GArray *spans, const char *text)
{
    const char *middle = strstr(text, "]("), *end = middle != NULL ? strchr(middle, ')') : NULL;
    g_autofree char *target = NULL;
    g_auto(GStrv) parts = NULL;
    struct spl_manual_span *span;

    if (end == NULL)
        return NULL;
    target = g_strndup(middle + 2, (gsize)(end - middle - 2));
    parts = g_strsplit(target, "#", 2);
    if (parts[0] == NULL || (*parts[0] != '\0' && !g_str_has_suffix(parts[0], ".md")))
        return NULL;
    add_span(spans, SPL_MANUAL_LINK, text + 1, (gsize)(middle - text - 1));
    span = &g_array_index(spans, struct spl_manual_span, spans->len - 1);
    if (*parts[0] != '\0')
        span->page = g_strndup(parts[0], strlen(parts[0]) - strlen(".md"));
    span->id = g_strdup(parts[1]);
    return end + 1;
}

/* The piece that begins at a mark; what stands behind it, or NULL: the mark is plain. */
static const char *read_marked(GArray *spans, const char *text)
{
    const gboolean strong = g_str_has_prefix(text, "**");
    const char *mark = strong ? "**" : "`";
    const char *from = text + strlen(mark), *end;

    if (*text == '[')
        return text[1] == ']' ? NULL : read_link(spans, text);
    end = strstr(from, mark);
    if (end == NULL || end == from)
        return NULL;
    add_span(spans, strong ? SPL_MANUAL_STRONG : SPL_MANUAL_LITERAL, from, (gsize)(end - from));
    return end + strlen(mark);
}

GArray *spl_manual_spans(const char *text)
{
    GArray *spans = g_array_new(FALSE, FALSE, sizeof(struct spl_manual_span));
    const char *plain = text;

    g_array_set_clear_func(spans, clear_span);
    while (*text != '\0') {
        g_autoptr(GArray) marked = NULL;
        const char *behind;

        if (*text != '`' && *text != '[' && !g_str_has_prefix(text, "**")) {
            text++;
            continue;
        }
        marked = g_array_new(FALSE, FALSE, sizeof(struct spl_manual_span));
        behind = read_marked(marked, text);
        if (behind == NULL) {
            text++;
            continue;
        }
        add_span(spans, SPL_MANUAL_PLAIN, plain, (gsize)(text - plain));
        g_array_append_vals(spans, marked->data, marked->len); /* which owns nothing */
        plain = text = behind;
    }
    add_span(spans, SPL_MANUAL_PLAIN, plain, (gsize)(text - plain));
    return spans;
}

char *spl_manual_id(const char *heading)
{
    GString *id = g_string_new(NULL);

    for (; *heading != '\0'; heading++) {
        if (g_ascii_isalnum(*heading))
            g_string_append_c(id, g_ascii_tolower(*heading));
        else if (id->len > 0 && id->str[id->len - 1] != '-')
            g_string_append_c(id, '-');
    }
    if (id->len > 0 && id->str[id->len - 1] == '-')
        g_string_truncate(id, id->len - 1);
    return g_string_free(id, FALSE);
}

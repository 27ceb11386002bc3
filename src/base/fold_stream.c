/* SPDX-License-Identifier: MIT
 *
 * A stream whose lines fit a terminal, whoever writes them. See base/layout.h.
 *
 * Words go out as they are complete, so that a question without a line break is seen before its
 * answer is waited for.
 */
#define _GNU_SOURCE /* fopencookie */
#include "base/layout.h"

#include <string.h>

#define HANG 2        /* further in than its line begins, a continued line */
#define INDENT_MAX 24 /* a narrow terminal must leave room for words */
#define BUFFER_SIZE 4096

struct folder {
    FILE *out;
    void (*before)(void);
    int width;
    int used, indent;   /* columns of the line so far; the blanks that it began with */
    gboolean in_indent; /* nothing but blanks yet */
    gboolean pasted;    /* a command to paste: broken as a shell joins it again */
    char quote;         /* inside one of a command's words */
    int blanks;         /* before the word at hand, not printed yet */
    GString *word;
};

static void begin_line(struct folder *folder)
{
    folder->used = folder->indent = folder->blanks = 0;
    folder->in_indent = TRUE;
    folder->pasted = FALSE;
    folder->quote = '\0';
}

static void put_blanks(const struct folder *folder, int n)
{
    fprintf(folder->out, "%*s", n, "");
}

/* The word at hand, on a line of its own where it does not fit behind the last. */
static void put_word(struct folder *folder)
{
    const int width = spl_text_width(folder->word->str);
    const int room = folder->pasted ? 2 : 0; /* for the mark of a line that goes on */
    const int indent = MIN(folder->indent, INDENT_MAX) + (folder->pasted ? 2 * HANG : HANG);

    if (folder->word->len == 0)
        return;
    if (folder->used > folder->indent && indent < folder->used + folder->blanks &&
        folder->used + folder->blanks + width + room > folder->width) {
        fputs(folder->pasted ? " \\\n" : "\n", folder->out);
        put_blanks(folder, indent);
        folder->used = indent;
    } else {
        put_blanks(folder, folder->blanks);
        folder->used += folder->blanks;
    }
    folder->blanks = 0;
    fputs(folder->word->str, folder->out);
    folder->used += width;
    g_string_truncate(folder->word, 0);
}

static void end_word(struct folder *folder)
{
    if (folder->in_indent && folder->word->len > 0) {
        folder->indent = folder->blanks;
        folder->in_indent = FALSE;
        folder->pasted = folder->indent > 0 && strcmp(folder->word->str, "simpling") == 0;
    }
    put_word(folder);
}

static void take(struct folder *folder, char octet)
{
    if (octet == '\n') {
        end_word(folder);
        fputc('\n', folder->out);
        begin_line(folder);
    } else if (octet == ' ' && folder->quote == '\0') {
        end_word(folder);
        folder->blanks++;
    } else {
        if (folder->pasted && folder->quote == octet)
            folder->quote = '\0';
        else if (folder->pasted && folder->quote == '\0' && (octet == '\'' || octet == '"'))
            folder->quote = octet;
        g_string_append_c(folder->word, octet);
    }
}

static ssize_t fold_write(void *cookie, const char *text, size_t size)
{
    struct folder *folder = cookie;

    if (folder->before != NULL)
        folder->before();
    for (size_t i = 0; i < size; i++)
        take(folder, text[i]);
    if (folder->quote == '\0') { /* a question ends without a line break */
        end_word(folder);
        if (!folder->in_indent) {
            put_blanks(folder, folder->blanks);
            folder->used += folder->blanks;
            folder->blanks = 0;
        }
    }
    return fflush(folder->out) == 0 && !ferror(folder->out) ? (ssize_t)size : 0;
}

static int fold_close(void *cookie)
{
    struct folder *folder = cookie;

    g_string_free(folder->word, TRUE);
    g_free(folder);
    return 0;
}

FILE *spl_fold_stream(FILE *out, int width, void (*before)(void))
{
    const cookie_io_functions_t functions = {.write = fold_write, .close = fold_close};
    struct folder *folder = g_new0(struct folder, 1);
    FILE *stream;

    folder->out = out;
    folder->before = before;
    folder->width = width;
    folder->word = g_string_new(NULL);
    begin_line(folder);
    stream = fopencookie(folder, "w", functions);
    if (stream == NULL)
        fold_close(folder);
    else
        setvbuf(stream, NULL, _IOLBF, BUFFER_SIZE);
    return stream;
}

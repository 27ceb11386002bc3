/* SPDX-License-Identifier: MIT
 *
 * What the words of a liquid say it is. See core/menstrua.h.
 */
#include "core/menstrua.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"

#define CLOSE_FROM 6 /* letters of a word whose close spellings are asked about */
#define LONGEST 40   /* letters of a word that is compared */

/* Letters and digits as words with one blank between and at both ends. */
static char *words_of(const char *text)
{
    g_autofree char *key = spl_name_key(text);
    GString *words = g_string_new(" ");

    for (const char *p = key; *p != '\0'; p = g_utf8_next_char(p)) {
        gunichar c = g_utf8_get_char(p);

        if (g_unichar_isalnum(c))
            g_string_append_unichar(words, c);
        else if (words->str[words->len - 1] != ' ')
            g_string_append_c(words, ' ');
    }
    if (words->str[words->len - 1] != ' ')
        g_string_append_c(words, ' ');
    return g_string_free(words, FALSE);
}

/* One letter more, less or other, or two neighbours changed. */
static gboolean is_close(const char *a, const char *b)
{
    gsize n = strlen(a), m = strlen(b), same = 0, end = 0;

    if (n > LONGEST || m > LONGEST || (n > m ? n - m : m - n) > 1)
        return FALSE;
    while (same < n && same < m && a[same] == b[same])
        same++;
    while (end < n - same && end < m - same && a[n - 1 - end] == b[m - 1 - end])
        end++;
    n -= same + end;
    m -= same + end;
    return (n <= 1 && m <= 1) ||
           (n == 2 && m == 2 && a[same] == b[same + 1] && a[same + 1] == b[same]);
}

const struct spl_menstruum_word *spl_menstruum_find(const struct spl_tables *tables,
                                                    const char *text,
                                                    enum spl_menstruum_meaning meaning,
                                                    gboolean *close)
{
    const GPtrArray *rows = spl_tables_menstruum_words(tables);
    g_autofree char *words = NULL;
    g_auto(GStrv) single = NULL;
    const struct spl_menstruum_word *near = NULL;

    *close = FALSE;
    if (text == NULL)
        return NULL;
    words = words_of(text);
    single = g_strsplit(words, " ", -1);
    for (guint i = 0; i < rows->len; i++) {
        const struct spl_menstruum_word *row = g_ptr_array_index(rows, i);
        g_autofree char *wanted = NULL;

        if (row->meaning != meaning)
            continue;
        wanted = words_of(row->word);
        if (strstr(words, wanted) != NULL)
            return row;
        g_strstrip(wanted);
        if (near != NULL || strlen(wanted) < CLOSE_FROM || strchr(wanted, ' ') != NULL)
            continue;
        for (guint k = 0; single[k] != NULL; k++)
            if (single[k][0] == wanted[0] && is_close(single[k], wanted))
                near = row;
    }
    *close = near != NULL;
    return near;
}

const struct spl_menstruum_word *spl_menstruum_is(const struct spl_tables *tables, const char *text,
                                                  enum spl_menstruum_meaning meaning)
{
    const GPtrArray *rows = spl_tables_menstruum_words(tables);
    g_autofree char *words = text != NULL ? words_of(text) : NULL;

    for (guint i = 0; words != NULL && i < rows->len; i++) {
        const struct spl_menstruum_word *row = g_ptr_array_index(rows, i);
        g_autofree char *wanted = words_of(row->word);

        if (row->meaning == meaning && strcmp(words, wanted) == 0)
            return row;
    }
    return NULL;
}

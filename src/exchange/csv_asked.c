/* SPDX-License-Identifier: MIT
 *
 * Columns asked for by name. See csv_asked.h.
 */
#include "exchange/csv_asked.h"

#include <string.h>

struct answer {
    char *name;
    int column;
};

struct spl_csv_asked {
    GArray *answers; /* of struct answer */
    guint next;      /* behind the last that was given */
};

static void answer_clear(gpointer answer)
{
    g_free(((struct answer *)answer)->name);
}

struct spl_csv_asked *spl_csv_asked_new(void)
{
    struct spl_csv_asked *asked = g_new0(struct spl_csv_asked, 1);

    asked->answers = g_array_new(FALSE, FALSE, sizeof(struct answer));
    g_array_set_clear_func(asked->answers, answer_clear);
    return asked;
}

void spl_csv_asked_free(struct spl_csv_asked *asked)
{
    g_array_unref(asked->answers);
    g_free(asked);
}

gboolean spl_csv_asked_before(struct spl_csv_asked *asked, const char *name, int *column)
{
    guint n = asked->answers->len;

    if (n == 0)
        return FALSE;
    /* The one behind the last, or the last once more, or the nearest behind. */
    for (guint i = 0; i <= n; i++) {
        guint at = (asked->next + (i < 2 ? n - i : i - 1)) % n;
        const struct answer *answer = &g_array_index(asked->answers, struct answer, at);

        if (answer->name[0] == name[0] && strcmp(answer->name, name) == 0) {
            asked->next = at + 1;
            *column = answer->column;
            return TRUE;
        }
    }
    return FALSE;
}

void spl_csv_asked_keep(struct spl_csv_asked *asked, const char *name, int column)
{
    struct answer answer = {g_strdup(name), column};

    g_array_append_val(asked->answers, answer);
    asked->next = asked->answers->len;
}

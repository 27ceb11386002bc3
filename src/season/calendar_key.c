/* SPDX-License-Identifier: MIT
 *
 * Natural keys of calendar entries. See season/calendar_key.h.
 */
#include "season/calendar_key.h"

#include <string.h>

gboolean spl_calendar_key_parse(const char *text, struct spl_calendar_key *key)
{
    g_auto(GStrv) parts = NULL;
    guint n;

    *key = (struct spl_calendar_key){0};
    if (g_str_has_prefix(text, "task;")) {
        key->task = TRUE;
        text += strlen("task;");
    }
    parts = g_strsplit(text, ";", 7);
    n = g_strv_length(parts);
    if (n < 2)
        return FALSE;
    if (strcmp(parts[0], "window") == 0 && n == 7) {
        key->material = g_strdup(parts[2]);
        key->use = g_strdup(parts[3]);
        key->flush = (int)g_ascii_strtoll(parts[4], NULL, 10);
        key->year = (int)g_ascii_strtoll(parts[5], NULL, 10);
    } else if (strcmp(parts[0], "step") == 0 && n == 3) {
        key->step = g_strdup(parts[2]);
    } else if (strcmp(parts[0], "check") == 0 && n == 4) {
        key->year = (int)g_ascii_strtoll(parts[2], NULL, 10);
    } else if ((strcmp(parts[0], "lot") != 0 && strcmp(parts[0], "outing") != 0) || n != 2) {
        return FALSE;
    }
    key->kind = g_strdup(parts[0]);
    key->subject = g_strdup(parts[1]);
    return TRUE;
}

void spl_calendar_key_clear(struct spl_calendar_key *key)
{
    g_free(key->kind);
    g_free(key->subject);
    g_free(key->material);
    g_free(key->use);
    g_free(key->step);
    *key = (struct spl_calendar_key){0};
}

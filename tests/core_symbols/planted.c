/* SPDX-License-Identifier: MIT
 *
 * Calls that core may not make, each of which tests/core_symbols/test.sh must find; and one that it
 * may.
 */
#include <glib.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

int spl_planted_call(char *text, size_t size);

int spl_planted_call(char *text, size_t size)
{
    g_autoptr(GString) fine = g_string_new(text);
    g_autoptr(GDateTime) now = g_date_time_new_now_local();
    g_autofree char *content = NULL;
    time_t clock = time(NULL);
    struct tm parts;
    FILE *file = fopen(getenv("HOME"), "r");
    if (file != NULL)
        fclose(file);
    if (!g_file_get_contents(fine->str, &content, NULL, NULL))
        return -1;
    return (int)strftime(text, size, "%F", gmtime_r(&clock, &parts)) + (int)g_random_int() +
           g_date_time_get_year(now);
}

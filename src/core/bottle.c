/* SPDX-License-Identifier: MIT
 *
 * Bottles that still stand full. See core/bottle.h.
 */
#include "core/bottle.h"

#include <stdlib.h>

#include "base/amount.h"
#include "simpling/customs.h"

#define KINDS_MAX 50
#define CRUMB 0.05 /* mL or g: nothing */

struct kind {
    int count;
    double size;
};

/* How many kinds; 0: none, or it is no list of bottles. */
static gsize read_kinds(const char *text, struct kind kinds[KINDS_MAX])
{
    gsize n = 0;

    while (text != NULL && *text != '\0') {
        char *end;
        guint64 count = g_ascii_strtoull(text, &end, 10);
        double size;

        if (end == text || *end != 'x' || count < 1 || count > 100000 || n == KINDS_MAX)
            return 0;
        text = end + 1;
        size = g_ascii_strtod(text, &end);
        if (end == text || !(size > 0.0) || (*end != ' ' && *end != '\0'))
            return 0;
        kinds[n++] = (struct kind){(int)count, size};
        text = *end == ' ' ? end + 1 : end;
    }
    return n;
}

static int by_size(const void *a, const void *b)
{
    const struct kind *x = a, *y = b;

    return (x->size > y->size) - (x->size < y->size);
}

/* Grams and millilitres are said once, behind all; other units with each. */
static char *size_words(double size, const char *unit)
{
    return spl_customs()->print == SPL_UNITS_METRIC ? g_strdup_printf("%.4g", size)
                                                    : spl_amount_format(size, unit);
}

static void add(GString *words, const char *what)
{
    g_string_append_printf(words, "%s%s", words->len > 0 ? " + " : "", what);
}

char *spl_bottles_left(const char *bottles, double left, const char *unit)
{
    struct kind kinds[KINDS_MAX];
    gsize n = read_kinds(bottles, kinds);
    g_autoptr(GString) words = g_string_new(NULL);
    double gone = -left, open = 0.0;

    if (n == 0 || left < CRUMB)
        return NULL;
    for (gsize i = 0; i < n; i++)
        gone += kinds[i].count * kinds[i].size;
    qsort(kinds, n, sizeof *kinds, by_size);
    for (gsize i = 0; i < n && gone > CRUMB; i++) {
        while (kinds[i].count > 0 && gone > CRUMB) {
            kinds[i].count--;
            open = gone < kinds[i].size - CRUMB ? kinds[i].size - gone : 0.0;
            gone -= kinds[i].size;
        }
    }
    for (gsize i = 0; i < n; i++) {
        g_autofree char *size = size_words(kinds[i].size, unit);
        g_autofree char *full = g_strdup_printf("%d × %s", kinds[i].count, size);

        if (kinds[i].count > 0)
            add(words, full);
    }
    if (open > 0.0 || gone < -CRUMB) {
        g_autofree char *size = size_words(open > 0.0 ? open : -gone, unit);
        g_autofree char *rest = g_strdup_printf(open > 0.0 ? "open %s" : "%s not bottled", size);

        add(words, rest);
    }
    if (spl_customs()->print == SPL_UNITS_METRIC)
        g_string_append_printf(words, " %s", unit);
    return g_string_free(g_steal_pointer(&words), FALSE);
}

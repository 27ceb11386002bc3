/* SPDX-License-Identifier: MIT
 *
 * Paths, queries and forms taken apart. See desk/target.h.
 */
#include "desk/target.h"

#include <string.h>

static void pair_clear(gpointer data)
{
    struct spl_pair *pair = data;

    g_free(pair->key);
    g_free(pair->value);
}

static char *decode_step(const char *step)
{
    g_autofree char *text = g_uri_unescape_string(step, NULL);

    if (text == NULL || *text == '\0' || strcmp(text, ".") == 0 || strcmp(text, "..") == 0 ||
        !g_utf8_validate(text, -1, NULL))
        return NULL;
    for (const char *p = text; *p != '\0'; p++)
        if ((guchar)*p < 0x20 || *p == 0x7F)
            return NULL;
    return g_steal_pointer(&text);
}

char **spl_target_steps(const char *target)
{
    g_autofree char *path = g_strndup(target, strcspn(target, "?"));
    g_auto(GStrv) raw = NULL;
    g_autoptr(GPtrArray) steps = g_ptr_array_new_with_free_func(g_free);

    if (path[0] != '/' || path[1] == '/' || strchr(path, '#') != NULL)
        return NULL;
    raw = g_strsplit(path + 1, "/", SPL_TARGET_STEPS + 1);
    for (guint i = 0; raw[i] != NULL && path[1] != '\0'; i++) {
        char *step = i < SPL_TARGET_STEPS ? decode_step(raw[i]) : NULL;

        if (step == NULL)
            return NULL;
        g_ptr_array_add(steps, step);
    }
    g_ptr_array_add(steps, NULL);
    return (char **)g_ptr_array_free(g_steal_pointer(&steps), FALSE);
}

GArray *spl_target_pairs(const char *target)
{
    const char *query = strchr(target, '?');

    return query != NULL ? spl_pairs_read(query + 1, strlen(query + 1)) : spl_pairs_read("", 0);
}

/* '+' is a space, %XX a byte; a '%' without two digits stays as it is, as browsers read it. */
static char *decode_form(const char *text, gsize length)
{
    GString *out = g_string_sized_new(length);

    for (gsize i = 0; i < length; i++) {
        if (text[i] == '%' && i + 2 < length && g_ascii_isxdigit(text[i + 1]) &&
            g_ascii_isxdigit(text[i + 2])) {
            int byte = 16 * g_ascii_xdigit_value(text[i + 1]) + g_ascii_xdigit_value(text[i + 2]);

            g_string_append_c(out, (char)byte);
            i += 2;
        } else {
            g_string_append_c(out, text[i] == '+' ? ' ' : text[i]);
        }
    }
    if (strlen(out->str) != out->len || !g_utf8_validate(out->str, (gssize)out->len, NULL)) {
        g_string_free(out, TRUE);
        return NULL;
    }
    return g_string_free(out, FALSE);
}

GArray *spl_pairs_read(const char *text, gsize length)
{
    g_autoptr(GArray) pairs = g_array_new(FALSE, FALSE, sizeof(struct spl_pair));
    const char *end = text + length;

    g_array_set_clear_func(pairs, pair_clear);
    while (text < end) {
        const char *stop = memchr(text, '&', (gsize)(end - text));
        gsize n = (gsize)((stop != NULL ? stop : end) - text);
        const char *is = memchr(text, '=', n);
        gsize key = is != NULL ? (gsize)(is - text) : n;

        if (n > 0) {
            struct spl_pair pair = {decode_form(text, key),
                                    is != NULL ? decode_form(is + 1, n - key - 1) : g_strdup("")};

            if (pair.key == NULL || pair.value == NULL || pairs->len == SPL_TARGET_PAIRS) {
                pair_clear(&pair);
                return NULL;
            }
            g_array_append_val(pairs, pair);
        }
        text += n + 1;
    }
    return g_steal_pointer(&pairs);
}

const char *spl_pairs_get(const GArray *pairs, const char *key)
{
    for (guint i = 0; i < pairs->len; i++) {
        const struct spl_pair *pair = &g_array_index(pairs, struct spl_pair, i);

        if (strcmp(pair->key, key) == 0)
            return pair->value;
    }
    return NULL;
}

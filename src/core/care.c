/* SPDX-License-Identifier: MIT
 *
 * Safety words in their order. See core/care.h.
 */
#include <string.h>

#include "core/care.h"

static void add(GPtrArray *words, const char *head, const char *text)
{
    if (text != NULL && *text != '\0')
        g_ptr_array_add(words, g_strconcat(head, text, NULL));
}

/* What nobody has found out enough of, in one sentence; NULL: nothing. */
static char *unknown_words(const struct spl_plant *plant)
{
    const struct {
        const char *text, *of;
    } asked[] = {{plant->pregnancy, "pregnancy and breast-feeding"},
                 {plant->children, "children under 12 years"},
                 {plant->not_with, "its use with other medicines"}};
    GString *words = g_string_new(NULL);
    guint left = 0;

    for (gsize i = 0; i < G_N_ELEMENTS(asked); i++)
        left += *asked[i].text == '\0';
    for (gsize i = 0; i < G_N_ELEMENTS(asked); i++) {
        if (*asked[i].text != '\0')
            continue;
        left--;
        g_string_append_printf(words, "%s%s",
                               words->len == 0 ? "not enough is known of "
                               : left == 0     ? " or of "
                                               : ", of ",
                               asked[i].of);
    }
    if (words->len > 0)
        g_string_append(words, ": not recommended without advice");
    return g_string_free(words, words->len == 0);
}

GPtrArray *spl_care_of_taker(const struct spl_material *material)
{
    const struct spl_plant *plant = material->plant;
    GPtrArray *words = g_ptr_array_new_with_free_func(g_free);
    g_autofree char *unknown = unknown_words(plant);
    const struct {
        const char *head, *text;
        gboolean asked; /* said as not known when it is empty */
    } rows[] = {{"pregnancy and breast-feeding: ", plant->pregnancy, TRUE},
                {"children: ", plant->children, TRUE},
                {"not for: ", plant->contraindications, FALSE},
                {"with other medicines: ", plant->not_with, TRUE},
                {"", material->cautions, FALSE},
                {"", plant->cautions, FALSE}};

    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        if (*rows[i].text == '\0' && rows[i].asked && unknown != NULL)
            g_ptr_array_add(words, g_steal_pointer(&unknown));
        else
            add(words, rows[i].head, rows[i].text);
    }
    return words;
}

/* How common a plant is, which is no caution: only what follows from it is said. */
static void add_status(GPtrArray *words, const char *status)
{
    static const char common[] = "Common.";

    if (g_str_has_prefix(status, common))
        status += strlen(common);
    while (*status == ' ')
        status++;
    add(words, "in the wild: ", status);
}

GPtrArray *spl_care_of_picker(const struct spl_material *material)
{
    GPtrArray *words = g_ptr_array_new_with_free_func(g_free);

    add(words, "", material->picking);
    add(words, "", material->plant->picking);
    add_status(words, material->plant->status);
    return words;
}

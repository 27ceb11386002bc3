/* SPDX-License-Identifier: MIT
 *
 * What a label says, in words. See season/label_words.h.
 */
#include "season/label_words.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "core/care.h"

#define LEAST_SUGAR_PCT 0.5  /* by mass: less is no spoon of syrup in a bottle */
#define SMALL_BOTTLE_ML 50.0 /* a dropper bottle: its label takes the short form */

char *spl_label_capital(const char *text)
{
    g_autofree char *first = NULL;

    if (text == NULL || *text == '\0')
        return g_strdup(text);
    first = g_utf8_strup(text, g_utf8_next_char(text) - text);
    return g_strconcat(first, g_utf8_next_char(text), NULL);
}

static char **split_slugs(const char *slugs)
{
    return g_strsplit(slugs != NULL ? slugs : "", ", ", -1);
}

char *spl_label_materials(const struct spl_tables *tables, const char *slugs)
{
    g_auto(GStrv) all = split_slugs(slugs);
    g_autoptr(GString) words = g_string_new(NULL);
    const struct spl_plant *plant = NULL;
    guint n = g_strv_length(all);

    for (guint i = 0; i < n; i++) {
        const struct spl_material *material = spl_tables_material_by_slug(tables, all[i]);
        const char *spoken = material != NULL ? material->spoken : all[i];
        gboolean named;

        g_string_append(words, i == 0 ? "" : i + 1 < n ? ", " : " and ");
        /* Another part of the plant that was just named: its name need not be said again. */
        named = material != NULL && g_str_has_prefix(spoken, material->plant->common) &&
                spoken[strlen(material->plant->common)] == ' ';
        g_string_append(words, named && plant == material->plant
                                   ? spoken + strlen(material->plant->common) + 1
                                   : spoken);
        plant = named ? material->plant : NULL;
    }
    return spl_label_capital(words->str);
}

char *spl_label_latin(const struct spl_tables *tables, const char *slugs)
{
    g_auto(GStrv) all = split_slugs(slugs);
    g_autoptr(GPtrArray) latin = g_ptr_array_new();

    for (guint i = 0; all[i] != NULL; i++) {
        const struct spl_material *material = spl_tables_material_by_slug(tables, all[i]);

        if (material != NULL &&
            !g_ptr_array_find_with_equal_func(latin, material->plant->latin, g_str_equal, NULL))
            g_ptr_array_add(latin, (gpointer)material->plant->latin);
    }
    if (latin->len == 0)
        return NULL;
    g_ptr_array_add(latin, NULL);
    return g_strjoinv(", ", (char **)latin->pdata);
}

/* ---- sentences ---- */

/* Each once; takes it. */
static void add_once(GPtrArray *sentences, char *sentence)
{
    if (g_ptr_array_find_with_equal_func(sentences, sentence, g_str_equal, NULL))
        g_free(sentence);
    else
        g_ptr_array_add(sentences, sentence);
}

static void add_caution(GPtrArray *sentences, const char *plant, const char *words)
{
    gsize n = words != NULL ? strlen(words) : 0;
    g_autofree char *alone = NULL;

    if (n == 0)
        return;
    if (plant == NULL)
        words = alone = spl_label_capital(words);
    add_once(sentences,
             g_strdup_printf("%s%s%s%s", plant != NULL ? plant : "", plant != NULL ? ": " : "",
                             words, strchr(".!?", words[n - 1]) != NULL ? "" : "."));
}

/* Whether they are of more than one plant. */
static gboolean are_plants(const struct spl_tables *tables, char *const *slugs)
{
    const struct spl_plant *first = NULL;

    for (guint i = 0; slugs[i] != NULL; i++) {
        const struct spl_material *material = spl_tables_material_by_slug(tables, slugs[i]);

        if (material == NULL || (first != NULL && material->plant != first))
            return TRUE;
        first = material->plant;
    }
    return FALSE;
}

void spl_label_add_care(const struct spl_tables *tables, const char *slugs, GPtrArray *sentences)
{
    g_auto(GStrv) each = split_slugs(slugs);
    gboolean several = are_plants(tables, each);

    for (guint i = 0; each[i] != NULL; i++) {
        const struct spl_material *material = spl_tables_material_by_slug(tables, each[i]);
        g_autoptr(GPtrArray) words = NULL;
        g_autofree char *plant = NULL;

        if (material == NULL)
            continue;
        words = spl_care_of_taker(material);
        if (several)
            plant = spl_label_capital(material->plant->common);
        for (guint k = 0; k < words->len; k++)
            add_caution(sentences, plant, g_ptr_array_index(words, k));
    }
}

/* What every label of a liquid with alcohol says, in substance after the European Commission's
 * annex on excipients (EMA/CHMP/302620/2017 Rev. 1, ethanol): how much of it there is and for whom
 * it is not. On a small bottle the short form. */
static void add_ethanol(double abv, double bottle_ml, GPtrArray *sentences)
{
    if (!(abv > 0.5))
        return;
    if (isnan(bottle_ml))
        add_once(sentences, g_strdup_printf("Holds %.0f %% vol alcohol.", abv));
    else {
        g_autofree char *alcohol = spl_volume_exact(bottle_ml * abv / 100.0);
        g_autofree char *bottle = spl_volume_format(bottle_ml);

        add_once(sentences, g_strdup_printf("Holds %.0f %% vol alcohol: %s of it in %s.", abv,
                                            alcohol, bottle));
    }
    add_once(sentences,
             g_strdup(bottle_ml <= SMALL_BOTTLE_ML
                          ? SPL_LABEL_ALCOHOL
                          : "Because of the alcohol: not for children without advice, nor in "
                            "pregnancy or while breast-feeding; not with liver disease, epilepsy "
                            "or alcohol dependence; not with metronidazole or disulfiram; it may "
                            "add to what makes sleepy: mind driving."));
}

void spl_label_add_own(const struct spl_tables *tables, const char *preparation, const char *raw,
                       gboolean outside, double sugar, double abv, double bottle_ml,
                       GPtrArray *sentences)
{
    const struct spl_preparation *row = spl_tables_preparation_by_slug(tables, preparation);

    if (raw != NULL)
        add_once(sentences,
                 g_strdup_printf("Of raw %s: not for children, nor in pregnancy; stop if it makes "
                                 "sick.",
                                 raw));
    if (row != NULL && row->label[0] != '\0')
        add_once(sentences, g_strdup(row->label));
    else if (!outside && sugar > LEAST_SUGAR_PCT)
        add_once(sentences, g_strdup("Holds sugar: not for people who must keep off it."));
    if (!outside)
        add_ethanol(abv, bottle_ml, sentences);
}

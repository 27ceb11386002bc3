/* SPDX-License-Identifier: MIT
 *
 * Pressed when needed: a jar keeps longer than what is pressed of it, so one is pressed when its
 * medicine runs out on the shelf, and not because it is ready. See season/today_press.h.
 */
#include "season/today_press.h"

#include <string.h>

#include "season/medicine.h"

#define RATE_DAYS 90  /* a medicine's rate is that of three months */
#define AHEAD_DAYS 30 /* so long before it is used up a jar is looked for */

/* The jar of this herb that has stood ready longest; -1: none is ready. */
static int ready_jar(const struct spl_medicine *medicine, struct spl_day today)
{
    int best = -1;

    for (guint i = 0; i < medicine->to_come->len; i++) {
        struct spl_day from = g_array_index(medicine->to_come, struct spl_lasting_lot, i).from;

        if (!spl_day_is_set(from) || spl_day_compare(from, today) > 0)
            continue;
        if (best < 0 ||
            spl_day_compare(
                from, g_array_index(medicine->to_come, struct spl_lasting_lot, (guint)best).from) <
                0)
            best = (int)i;
    }
    return best;
}

/* The code of a ready jar of one herb in one preparation; NULL. */
static const char *jar_of(const GArray *medicines, const struct spl_medicine *like,
                          const char *materials, struct spl_day today)
{
    for (guint i = 0; i < medicines->len; i++) {
        const struct spl_medicine *one = &g_array_index(medicines, struct spl_medicine, i);
        int at;

        if (strcmp(one->materials, materials) != 0 || !one->outside != !like->outside ||
            strcmp(one->preparation, like->preparation) != 0)
            continue;
        at = ready_jar(one, today);
        if (at >= 0)
            return g_ptr_array_index(one->jars, (guint)at);
    }
    return NULL;
}

/* "B27-003", or of a mixture a jar of each herb: "B27-003, B27-004"; NULL: one is not ready. */
static char *jars_for(const GArray *medicines, const struct spl_medicine *medicine,
                      struct spl_day today)
{
    g_auto(GStrv) slugs = g_strsplit(medicine->materials, ", ", -1);
    g_autoptr(GPtrArray) codes = g_ptr_array_new();
    const char *whole = jar_of(medicines, medicine, medicine->materials, today);

    if (whole != NULL)
        return g_strdup(whole);
    for (guint i = 0; slugs[i] != NULL; i++) {
        const char *code = jar_of(medicines, medicine, slugs[i], today);

        if (code == NULL)
            return NULL;
        g_ptr_array_add(codes, (gpointer)code);
    }
    g_ptr_array_add(codes, NULL);
    return g_strjoinv(", ", (char **)codes->pdata);
}

static int by_day(gconstpointer a, gconstpointer b)
{
    const struct spl_today_press *x = a, *y = b;
    int order = spl_day_compare(x->used_up, y->used_up);

    return order != 0 ? order : strcmp(x->medicine, y->medicine);
}

GArray *spl_today_to_press(struct spl_house *house, GError **error)
{
    struct spl_day today = spl_house_today(house);
    g_autoptr(GArray) medicines = spl_medicines(house, spl_day_add(today, -RATE_DAYS), error);
    GArray *lines;

    if (medicines == NULL)
        return NULL;
    lines = spl_list_new(&spl_today_press_shape);
    for (guint i = 0; i < medicines->len; i++) {
        const struct spl_medicine *medicine = &g_array_index(medicines, struct spl_medicine, i);
        struct spl_today_press line;
        struct spl_lasting lasting;
        char *jars;

        if (!(medicine->out > 0.0))
            continue;
        lasting = spl_lasting_reckon((struct spl_lasting_lot *)(void *)medicine->stock->data,
                                     medicine->stock->len, medicine->out / RATE_DAYS, today,
                                     spl_day_add(today, AHEAD_DAYS));
        if (!spl_day_is_set(lasting.lasts_until))
            continue;
        jars = jars_for(medicines, medicine, today);
        if (jars == NULL)
            continue;
        line = (struct spl_today_press){.medicine = g_strdup(medicine->name),
                                        .used_up = spl_day_add(lasting.lasts_until, 1),
                                        .jars = jars};
        g_array_append_val(lines, line);
    }
    g_array_sort(lines, by_day);
    return lines;
}

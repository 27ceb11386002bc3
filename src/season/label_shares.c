/* SPDX-License-Identifier: MIT
 *
 * Shares of a mixture. See season/label_shares.h.
 */
#include "season/label_shares.h"

#include <math.h>
#include <string.h>

#include "book/draw.h"
#include "season/house_private.h"
#include "season/label_words.h"
#include "simpling/batch.h"

#define MOST_PARTS 20
#define NEAR 0.03 /* of a share: what a measuring glass is good for */

static void share_clear(gpointer share)
{
    g_free(((struct spl_label_share *)share)->what);
}

static GArray *shares_new(void)
{
    GArray *shares = g_array_new(FALSE, FALSE, sizeof(struct spl_label_share));

    g_array_set_clear_func(shares, share_clear);
    return shares;
}

/* What is the same is one part; takes `what`. */
static void add_share(GArray *shares, char *what, double amount)
{
    struct spl_label_share share = {what, amount};

    for (guint i = 0; i < shares->len; i++) {
        struct spl_label_share *known = &g_array_index(shares, struct spl_label_share, i);

        if (strcmp(known->what, what) == 0) {
            known->amount += amount;
            g_free(what);
            return;
        }
    }
    g_array_append_val(shares, share);
}

static const struct spl_label_share *share_at(const GArray *shares, guint i)
{
    return &g_array_index(shares, struct spl_label_share, i);
}

/* The least whole number of parts for the smallest share at which all others are whole too; 0:
 * none.
 */
static int parts_of_smallest(const GArray *shares)
{
    double least = INFINITY, most = 0.0;

    for (guint i = 0; i < shares->len; i++) {
        least = MIN(least, share_at(shares, i)->amount);
        most = MAX(most, share_at(shares, i)->amount);
    }
    for (int parts = 1; parts * most / least <= MOST_PARTS; parts++) {
        gboolean whole = TRUE;

        for (guint i = 0; i < shares->len; i++) {
            double n = share_at(shares, i)->amount / least * parts;

            whole = whole && fabs(n - round(n)) <= NEAR * n;
        }
        if (whole)
            return parts;
    }
    return 0;
}

char *spl_label_share_words(const GArray *shares, gboolean by_weight)
{
    g_autoptr(GString) ratio = g_string_new(NULL), names = g_string_new(NULL);
    double least = INFINITY, all = 0.0;
    int parts;

    if (shares->len < 2)
        return NULL;
    parts = parts_of_smallest(shares);
    for (guint i = 0; i < shares->len; i++) {
        least = MIN(least, share_at(shares, i)->amount);
        all += share_at(shares, i)->amount;
    }
    for (guint i = 0; i < shares->len; i++) {
        const struct spl_label_share *share = share_at(shares, i);

        if (parts == 0) {
            g_string_append_printf(ratio, "%s%s %.0f %%", i > 0 ? ", " : "", share->what,
                                   share->amount / all * 100.0);
            continue;
        }
        g_string_append_printf(ratio, "%s%.0f", i > 0 ? ":" : "",
                               round(share->amount / least * parts));
        g_string_append_printf(names, "%s%s",
                               i == 0                ? ""
                               : i + 1 < shares->len ? ", "
                                                     : " and ",
                               share->what);
    }
    return g_strdup_printf("%s%s%s%s", ratio->str, by_weight ? " by weight" : "",
                           parts > 0 ? " of " : "", names->str);
}

struct sources {
    GPtrArray *codes;
    GArray *ml; /* of double */
};

static void note_source(const char *code, double ml, gpointer data)
{
    struct sources *sources = data;

    g_ptr_array_add(sources->codes, g_strdup(code));
    g_array_append_val(sources->ml, ml);
}

/* Jars that were pressed together. */
static gboolean add_jars(struct spl_house *house, const struct spl_tables *tables,
                         const struct spl_lot *lot, GArray *shares, GError **error)
{
    g_autoptr(GPtrArray) codes = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GArray) ml = g_array_new(FALSE, FALSE, sizeof(double));
    struct sources sources = {codes, ml};

    if (!spl_draw_each_source(house->book, lot->id, note_source, &sources, error))
        return FALSE;
    for (guint i = 0; i < codes->len; i++) {
        struct spl_batch batch = {0};
        double amount = g_array_index(ml, double, i);

        if (!(amount > 0.0)) { /* not measured, or weighed: no share is known */
            g_array_set_size(shares, 0);
            return TRUE;
        }
        if (!spl_batch_show(house, g_ptr_array_index(codes, i), &batch, error))
            return FALSE;
        add_share(shares, spl_label_materials(tables, batch.materials), amount);
        spl_record_clear(&spl_batch_shape, &batch);
    }
    return TRUE;
}

static gboolean is_lot(const char *code)
{
    const char *colon = code != NULL ? strrchr(code, ':') : NULL;

    return code != NULL && (colon != NULL ? colon[1] : code[0]) == 'L';
}

/* What went into one jar: lots by volume, else herbs by weight. */
static gboolean add_parts(struct spl_house *house, const struct spl_tables *tables,
                          const char *code, GArray *shares, gboolean *by_weight, GError **error)
{
    struct spl_batch batch = {0};
    gboolean lots = FALSE, ok = spl_batch_show(house, code, &batch, error);

    for (guint i = 0; ok && i < batch.from->len; i++)
        lots = lots || is_lot(g_array_index(batch.from, struct spl_batch_part, i).code);
    *by_weight = !lots;
    for (guint i = 0; ok && i < batch.from->len; i++) {
        const struct spl_batch_part *part = &g_array_index(batch.from, struct spl_batch_part, i);
        struct spl_lot from = {0};

        if (lots && is_lot(part->code) && part->ml > 0.0) {
            ok = spl_lot_show(house, part->code, &from, error);
            if (ok)
                add_share(shares, spl_label_materials(tables, from.materials), part->ml);
            spl_record_clear(&spl_lot_shape, &from);
        } else if (!lots && part->material != NULL && part->grams > 0.0) {
            add_share(shares, spl_label_materials(tables, part->material), part->grams);
        }
    }
    spl_record_clear(&spl_batch_shape, &batch);
    return ok;
}

gboolean spl_label_shares(struct spl_house *house, const struct spl_tables *tables,
                          const struct spl_lot *lot, char **words, GError **error)
{
    g_autoptr(GArray) shares = shares_new();
    gboolean by_weight = FALSE;

    *words = NULL;
    if (lot->from == NULL || lot->from->len == 0)
        return TRUE;
    if (lot->from->len > 1
            ? !add_jars(house, tables, lot, shares, error)
            : !add_parts(house, tables, g_ptr_array_index(lot->from, 0), shares, &by_weight, error))
        return FALSE;
    *words = spl_label_share_words(shares, by_weight);
    return TRUE;
}

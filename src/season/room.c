/* SPDX-License-Identifier: MIT
 *
 * Racks, freezer and jars: what is taken and what is free. See simpling/room.h.
 */
#include "season/room.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/drying.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "simpling/batch.h"
#include "simpling/error.h"

#define SAME_ML 1.0 /* so near are two sizes of jars one */

static const struct spl_field room_fields[] = {
    SPL_FIELD(spl_room, what, SPL_TEXT, "what", "what"),
    SPL_FIELD_NUM(spl_room, all, 2, "all", "in all", .by_unit = 1),
    SPL_FIELD_NUM(spl_room, taken, 2, "taken", "taken", .by_unit = 1),
    SPL_FIELD_NUM(spl_room, left, 2, "left", "free", .by_unit = 1),
    SPL_FIELD(spl_room, unit, SPL_TEXT, "unit", "unit"),
    SPL_FIELD(spl_room, note, SPL_TEXT, "note", "note"),
};
const struct spl_shape spl_room_shape = SPL_SHAPE("room", spl_room, room_fields);

/* ---- jars ---- */

struct size {
    double ml;
    int all; /* 0: nobody has said how many */
    int taken;
};

char *spl_room_jars_clean(const char *value, const char *key, GError **error)
{
    g_auto(GStrv) words = g_strsplit(value, ",", 50);
    g_autoptr(GString) list = g_string_new(NULL);

    for (guint i = 0; words[i] != NULL; i++) {
        g_autofree char *number = NULL;
        gboolean counted;
        int count;
        double ml;

        g_strstrip(words[i]);
        if (!spl_jars_parse(words[i], key, &count, &ml, error))
            return NULL;
        counted = strpbrk(words[i], "xX") != NULL;
        number = spl_number_format(ml, 1);
        g_string_append(list, i > 0 ? "," : "");
        if (counted)
            g_string_append_printf(list, "%dx", count);
        g_string_append_printf(list, "%smL", number);
    }
    return g_string_free(g_steal_pointer(&list), FALSE);
}

static struct size *size_of(GArray *sizes, double ml)
{
    struct size fresh = {.ml = ml};

    for (guint i = 0; i < sizes->len; i++) {
        struct size *size = &g_array_index(sizes, struct size, i);

        if (fabs(size->ml - ml) < SAME_ML)
            return size;
    }
    g_array_append_val(sizes, fresh);
    return &g_array_index(sizes, struct size, sizes->len - 1);
}

/* A batch keeps how many jars it stands in and their sum. */
static gboolean take_jars(const struct spl_batch *batch, gpointer data, GError **error)
{
    (void)error;
    if (!isnan(batch->jar_ml) && batch->jars > 0)
        size_of(data, batch->jar_ml / batch->jars)->taken += batch->jars;
    return TRUE;
}

static int by_ml(gconstpointer a, gconstpointer b)
{
    const struct size *x = a, *y = b;

    return (x->ml > y->ml) - (x->ml < y->ml);
}

/* Those of the setting, and what stands. NULL with an error. */
static GArray *jar_sizes(struct spl_house *house, GError **error)
{
    g_autoptr(GArray) sizes = g_array_new(FALSE, FALSE, sizeof(struct size));
    g_autofree char *own = spl_house_setting_text(house, "jars");
    g_auto(GStrv) words = g_strsplit(own != NULL ? own : "", ",", -1);

    for (guint i = 0; words[i] != NULL; i++) {
        int count;
        double ml;

        if (spl_jars_parse(g_strstrip(words[i]), "jars", &count, &ml, NULL))
            size_of(sizes, ml)->all += strpbrk(words[i], "xX") != NULL ? count : 0;
    }
    if (!spl_batch_each_full(house, FALSE, take_jars, sizes, error))
        return NULL;
    g_array_sort(sizes, by_ml);
    return g_steal_pointer(&sizes);
}

/* "3 of your 8 jars of 1 L are free". */
static char *jars_words(const struct size *size)
{
    g_autofree char *ml = spl_volume_format(size->ml);
    int left = size->all - size->taken;

    if (left > 0)
        return g_strdup_printf("%d of your %d jars of %s %s free", left, size->all, ml,
                               left == 1 ? "is" : "are");
    if (left == 0)
        return g_strdup_printf("all %d of your jars of %s stand; none is free", size->all, ml);
    return g_strdup_printf("%d jars of %s stand, and you have %d of them by the setting jars",
                           size->taken, ml, size->all);
}

gboolean spl_room_caution_jars(struct spl_house *house, double ml, GPtrArray *cautions,
                               GError **error)
{
    g_autofree char *own = spl_house_setting_text(house, "jars");
    g_autoptr(GArray) sizes = NULL;
    const struct size *size;

    if (own == NULL || strpbrk(own, "xX") == NULL)
        return TRUE;
    sizes = jar_sizes(house, error);
    if (sizes == NULL)
        return FALSE;
    size = size_of(sizes, ml);
    if (size->all > 0 && size->taken >= size->all) {
        g_autofree char *words = jars_words(size);

        spl_caution_add(cautions, "%s", words);
    }
    return TRUE;
}

/* ---- the freezer ---- */

static gboolean add_frozen(const struct spl_drying *drying, gpointer data, GError **error)
{
    (void)error;
    if (drying->kind == SPL_DRYING_FROZEN && drying->left_g > SPL_CRUMB)
        *(double *)data += drying->left_g;
    return TRUE;
}

gboolean spl_room_check_freezer(struct spl_house *house, double grams, GError **error)
{
    double all_g, taken_g = 0.0;

    if (!spl_house_setting_number(house, "freezer", &all_g))
        return TRUE;
    if (!spl_drying_each(house->book, FALSE, FALSE, add_frozen, &taken_g, error))
        return FALSE;
    if (taken_g <= all_g + 1e-9)
        return TRUE;
    g_autofree char *wanted = spl_mass_format(grams), *all = spl_mass_format(all_g);
    g_autofree char *before = spl_mass_format(taken_g - grams);
    spl_error_set_input(error, SPL_ERROR_REFUSED, "from",
                        "%s are to be frozen, and of %s of freezer %s are taken; take something "
                        "out first, or correct the setting freezer",
                        wanted, all, before);
    return FALSE;
}

/* ---- all of it ---- */

static void add_place(GArray *rooms, const char *what, double all, double taken, const char *unit)
{
    struct spl_room room = {.what = g_strdup(what),
                            .all = all,
                            .taken = taken,
                            .left = all - taken,
                            .unit = g_strdup(unit)};

    if (room.left < -1e-9)
        room.note = g_strdup("more is in it than there is by the setting");
    else if (isnan(all))
        room.note = g_strdup_printf("how much there is, is the setting %s", what);
    g_array_append_val(rooms, room);
}

GArray *spl_rooms(struct spl_house *house, GError **error)
{
    g_autoptr(GArray) sizes = jar_sizes(house, error);
    double racks_m2 = NAN, freezer_g = NAN, hangs_m2, frozen_g = 0.0;
    GError *failed = NULL;
    GArray *rooms;

    if (sizes == NULL)
        return NULL;
    hangs_m2 = spl_drying_rack_taken_m2(house->book, &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return NULL;
    }
    if (!spl_drying_each(house->book, FALSE, FALSE, add_frozen, &frozen_g, error))
        return NULL;
    rooms = spl_list_new(&spl_room_shape);
    if (spl_house_setting_number(house, "racks", &racks_m2) || hangs_m2 > 0.0)
        add_place(rooms, "racks", racks_m2, hangs_m2, "m2");
    if (spl_house_setting_number(house, "freezer", &freezer_g) || frozen_g > 0.0)
        add_place(rooms, "freezer", freezer_g, frozen_g, "g");
    for (guint i = 0; i < sizes->len; i++) {
        const struct size *size = &g_array_index(sizes, struct size, i);
        g_autofree char *ml = spl_volume_format(size->ml);
        struct spl_room room = {.what = g_strdup_printf("jars of %s", ml),
                                .all = size->all > 0 ? size->all : (double)NAN,
                                .taken = size->taken,
                                .left = size->all > 0 ? size->all - size->taken : (double)NAN,
                                .unit = g_strdup("jars"),
                                .note = size->all > 0 ? jars_words(size) : NULL};

        g_array_append_val(rooms, room);
    }
    return rooms;
}

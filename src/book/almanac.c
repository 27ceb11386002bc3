/* SPDX-License-Identifier: MIT
 *
 * Almanacs in the book. See book/almanac.h.
 */
#include "book/almanac.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/noun.h"
#include "book/setting.h"

/* Twelve numbers with blanks between them; NULL: none. */
static char *normals_text(const struct spl_almanac_row *row)
{
    GString *text;

    if (!spl_almanac_row_has_normals(row))
        return NULL;
    text = g_string_new(NULL);
    for (int m = 0; m < 12; m++) {
        char number[G_ASCII_DTOSTR_BUF_SIZE];

        g_string_append_printf(text, "%s%s", m == 0 ? "" : " ",
                               g_ascii_dtostr(number, sizeof number, row->normals_c[m]));
    }
    return g_string_free(text, FALSE);
}

static void normals_read(const char *text, double normals_c[12])
{
    const char *at = text;

    for (int m = 0; m < 12; m++)
        normals_c[m] = NAN;
    for (int m = 0; at != NULL && m < 12; m++) {
        char *end;

        normals_c[m] = g_ascii_strtod(at, &end);
        at = end;
    }
}

/* The row as one text, to see whether it changed. */
static char *row_print(const struct spl_almanac_row *row)
{
    g_autofree char *normals = normals_text(row);

    return g_strdup_printf("%s|%s|%d|%d|%d|%g|%g|%d|%s|%g|%g|%g|%s|%d|%d|%d", row->material,
                           row->use, row->flush, row->start.n, row->end.n, row->stage_from,
                           row->stage_to, row->every_days, row->source != NULL ? row->source : "",
                           row->lat, row->lon, row->elevation_m, normals != NULL ? normals : "",
                           row->period_from, row->normals_from, row->stands_frost);
}

static const struct spl_field row_fields[] = {
    SPL_FIELD_KEPT(spl_almanac_row, almanac, SPL_TEXT, SPL_READ("a.name"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_almanac_row, uid, SPL_TEXT, SPL_STORED("uid"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_almanac_row, material, SPL_TEXT, SPL_STORED("material")),
    SPL_FIELD_KEPT(spl_almanac_row, use, SPL_TEXT, SPL_STORED("use")),
    SPL_FIELD_KEPT(spl_almanac_row, flush, SPL_INT, SPL_STORED("flush")),
    SPL_FIELD_KEPT(spl_almanac_row, start, SPL_DAY, SPL_STORED("start")),
    SPL_FIELD_KEPT(spl_almanac_row, end, SPL_DAY, SPL_STORED("end")),
    SPL_FIELD_KEPT(spl_almanac_row, stage_from, SPL_NUM, SPL_STORED("stage_from")),
    SPL_FIELD_KEPT(spl_almanac_row, stage_to, SPL_NUM, SPL_STORED("stage_to")),
    SPL_FIELD_KEPT(spl_almanac_row, every_days, SPL_INT, SPL_STORED("every_days")),
    SPL_FIELD_KEPT(spl_almanac_row, source, SPL_TEXT, SPL_STORED("source")),
    SPL_FIELD_KEPT(spl_almanac_row, lat, SPL_NUM, SPL_STORED("lat")),
    SPL_FIELD_KEPT(spl_almanac_row, lon, SPL_NUM, SPL_STORED("lon")),
    SPL_FIELD_KEPT(spl_almanac_row, elevation_m, SPL_NUM, SPL_STORED("elevation_m")),
    SPL_FIELD_KEPT(spl_almanac_row, period_from, SPL_INT, SPL_STORED("period_from")),
    SPL_FIELD_KEPT(spl_almanac_row, period_to, SPL_INT, SPL_STORED("period_to")),
    SPL_FIELD_KEPT(spl_almanac_row, normals_from, SPL_INT, SPL_STORED("normals_from")),
    SPL_FIELD_KEPT(spl_almanac_row, normals_to, SPL_INT, SPL_STORED("normals_to")),
    SPL_FIELD_KEPT(spl_almanac_row, stands_frost, SPL_INT, SPL_STORED("stands_frost")),
};
static const struct spl_shape row_shape = SPL_SHAPE("almanac_row", spl_almanac_row, row_fields);

const struct spl_noun spl_almanac_row_noun = {
    .shape = &row_shape,
    .table = "almanac_row",
    .from = "almanac_row t JOIN almanac a ON a.id = t.almanac_id",
};

static gboolean put_row(struct spl_book *book, gint64 almanac_id, const struct spl_almanac_row *row,
                        GError **error)
{
    g_autofree char *normals = normals_text(row);
    struct spl_almanac_row written = *row;

    /* Of two rows of one UID the later holds. */
    return spl_book_execute(book, error, "DELETE FROM almanac_row WHERE almanac_id = ? AND uid = ?",
                            SPL_WITH(almanac_id, row->uid)) &&
           spl_noun_add(book, &spl_almanac_row_noun, &written, row->start,
                        SPL_NAMED(almanac_id, normals), error);
}

/* What the calendar held: UID -> the row as text. */
static GHashTable *before(struct spl_book *book, const char *key, GError **error)
{
    GArray *all = spl_almanac_all(book, error);
    GHashTable *held;

    if (all == NULL)
        return NULL;
    held = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    for (guint i = 0; i < all->len; i++) {
        const struct spl_almanac_row *row = &g_array_index(all, struct spl_almanac_row, i);
        g_autofree char *own = spl_name_key(row->almanac);

        if (strcmp(own, key) == 0)
            g_hash_table_replace(held, g_strdup(row->uid), row_print(row));
    }
    spl_list_free(&spl_almanac_row_shape, all);
    return held;
}

gboolean spl_almanac_put(struct spl_book *book, const char *name, const GArray *rows, int *fresh,
                         int *changed, GError **error)
{
    g_autofree char *key = spl_name_key(name);
    g_autofree char *uuid = spl_uuid_new();
    g_autoptr(GHashTable) held = before(book, key, error);
    int n_fresh = 0, n_changed = 0;
    gint64 at, id;

    if (held == NULL)
        return FALSE;
    at = spl_book_stamp(book, error);
    if (!spl_book_execute(book, error,
                          "INSERT INTO almanac (uuid, mark, name, name_key, at)"
                          " VALUES (?, ?, ?, ?, ?)"
                          " ON CONFLICT (name_key) DO UPDATE SET at = excluded.at",
                          SPL_WITH(uuid, spl_setting_mark(book), name, key, at)))
        return FALSE;
    id =
        spl_book_number(book, 0, error, "SELECT id FROM almanac WHERE name_key = ?", SPL_WITH(key));
    if (id == 0 || !spl_book_execute(book, error, "DELETE FROM almanac_row WHERE almanac_id = ?",
                                     SPL_WITH(id)))
        return FALSE;
    for (guint i = 0; i < rows->len; i++) {
        const struct spl_almanac_row *row = &g_array_index(rows, struct spl_almanac_row, i);
        g_autofree char *print = row_print(row);
        const char *old = g_hash_table_lookup(held, row->uid);

        if (!put_row(book, id, row, error))
            return FALSE;
        n_fresh += old == NULL;
        n_changed += old != NULL && strcmp(old, print) != 0;
    }
    *fresh = n_fresh;
    *changed = n_changed;
    return TRUE;
}

GArray *spl_almanac_all(struct spl_book *book, GError **error)
{
    GArray *list = spl_list_new(&spl_almanac_row_shape);
    g_autoptr(spl_statement) rows =
        spl_noun_open_with(book, &spl_almanac_row_noun, "t.normals",
                           "ORDER BY a.name_key, t.start, t.material, t.uid", SPL_NONE, error);
    struct spl_almanac_row row;
    const char *normals;
    GError *failed = NULL;

    while (rows != NULL && spl_noun_next_with(rows, &row, SPL_INTO(&normals), &failed)) {
        normals_read(normals, row.normals_c);
        g_array_append_val(list, row);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_almanac_row_shape, list);
        return NULL;
    }
    return list;
}

/* SPDX-License-Identifier: MIT
 *
 * Almanacs in the book. See book/almanac.h.
 */
#include "book/almanac.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/statement.h"

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

    return g_strdup_printf("%s|%s|%d|%d|%d|%g|%g|%d|%s|%g|%g|%g|%s", row->material, row->use,
                           row->flush, row->start.n, row->end.n, row->stage_from, row->stage_to,
                           row->every_days, row->source != NULL ? row->source : "", row->lat,
                           row->lon, row->elevation_m, normals != NULL ? normals : "");
}

static gboolean put_row(struct spl_book *book, gint64 almanac_id, const struct spl_almanac_row *row,
                        GError **error)
{
    g_autofree char *normals = normals_text(row);

    return spl_book_execute(
        book, error,
        "INSERT OR REPLACE INTO almanac_row (almanac_id, uid, material, use, flush, start, end,"
        " stage_from, stage_to, every_days, source, lat, lon, elevation_m, normals)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        "ltttiddrritrrrt", almanac_id, row->uid, row->material, row->use, row->flush, row->start,
        row->end, row->stage_from, row->stage_to, row->every_days, row->source, row->lat, row->lon,
        row->elevation_m, normals);
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
    gint64 at, id;

    *fresh = *changed = 0;
    if (held == NULL)
        return FALSE;
    at = spl_book_stamp(book, error);
    if (!spl_book_execute(book, error,
                          "INSERT INTO almanac (uuid, name, name_key, at) VALUES (?, ?, ?, ?)"
                          " ON CONFLICT (name_key) DO UPDATE SET at = excluded.at",
                          "tttl", uuid, name, key, at))
        return FALSE;
    id = spl_book_number(book, 0, error, "SELECT id FROM almanac WHERE name_key = ?", "t", key);
    if (id == 0 ||
        !spl_book_execute(book, error, "DELETE FROM almanac_row WHERE almanac_id = ?", "l", id))
        return FALSE;
    for (guint i = 0; i < rows->len; i++) {
        const struct spl_almanac_row *row = &g_array_index(rows, struct spl_almanac_row, i);
        g_autofree char *print = row_print(row);
        const char *old = g_hash_table_lookup(held, row->uid);

        if (!put_row(book, id, row, error))
            return FALSE;
        *fresh += old == NULL;
        *changed += old != NULL && strcmp(old, print) != 0;
    }
    return TRUE;
}

GArray *spl_almanac_all(struct spl_book *book, GError **error)
{
    GArray *list = spl_list_new(&spl_almanac_row_shape);
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT a.name, r.uid, r.material, r.use, r.flush, r.start, r.end, "
                           "r.stage_from, r.stage_to,"
                           " r.every_days, r.source, r.lat, r.lon, r.elevation_m, r.normals"
                           " FROM almanac_row r JOIN almanac a ON a.id = r.almanac_id"
                           " ORDER BY a.name_key, r.start, r.material, r.uid",
                           "");
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_almanac_row row;

        spl_almanac_row_init(&row);
        row.almanac = spl_column_text(rows, 0);
        row.uid = spl_column_text(rows, 1);
        row.material = spl_column_text(rows, 2);
        row.use = spl_column_text(rows, 3);
        row.flush = spl_column_int(rows, 4);
        row.start = spl_column_day(rows, 5);
        row.end = spl_column_day(rows, 6);
        row.stage_from = spl_column_real(rows, 7);
        row.stage_to = spl_column_real(rows, 8);
        row.every_days = spl_column_int(rows, 9);
        row.source = spl_column_text(rows, 10);
        row.lat = spl_column_real(rows, 11);
        row.lon = spl_column_real(rows, 12);
        row.elevation_m = spl_column_real(rows, 13);
        normals_read(spl_column_peek(rows, 14), row.normals_c);
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

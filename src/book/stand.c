/* SPDX-License-Identifier: MIT
 *
 * Stands in the book. See book/stand.h.
 */
#include "book/stand.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/harvest.h"
#include "book/statement.h"

void spl_stand_note_clear(struct spl_stand_note *note)
{
    g_free(note->plant);
    g_free(note->kind);
    g_free(note->part);
    g_free(note->seen);
    g_free(note->by);
    g_free(note->remark);
    memset(note, 0, sizeof *note);
}

static void clear_note(gpointer note)
{
    spl_stand_note_clear(note);
}

/* A number that the kind does not have is NULL in the book. */
static double only(const struct spl_stand_note *note, const char *kind, double value)
{
    return strcmp(note->kind, kind) == 0 ? value : NAN;
}

gboolean spl_stand_note_add(struct spl_book *book, const struct spl_stand_note *note,
                            GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    if (at == 0)
        return FALSE;
    /* Whole numbers are bound as text so that "none" can be NULL; the column makes them whole. */
    g_autofree char *plants =
        strcmp(note->kind, "plants") == 0 ? g_strdup_printf("%d", note->plants) : NULL;
    g_autofree char *until = strcmp(note->kind, "rest") == 0 && note->until > 0
                                 ? g_strdup_printf("%d", note->until)
                                 : NULL;
    g_autofree char *growth =
        note->growth_year > 0 ? g_strdup_printf("%d", note->growth_year) : NULL;

    return spl_book_execute(
        book, error,
        "INSERT INTO stand_note (uuid, site_id, plant, kind, part, plants, area_m2, cover_frac,"
        " grams, share_frac, until, seen, growth_year, day, by, remark, at)"
        " VALUES (?, ?, ?, ?, ?, CAST(? AS INTEGER), ?, ?, ?, ?, CAST(? AS INTEGER), ?,"
        " CAST(? AS INTEGER), ?, ?, ?, ?)",
        "tlttttrrrrtttdttl", uuid, note->site_id, note->plant, note->kind, note->part, plants,
        only(note, "area", note->area_m2), only(note, "area", note->cover_frac),
        only(note, "grams", note->grams), only(note, "share", note->share_frac), until, note->seen,
        growth, note->on, note->by, note->remark, at);
}

GArray *spl_stand_notes(struct spl_book *book, gint64 site_id, const char *plant, GError **error)
{
    GArray *list = g_array_new(FALSE, TRUE, sizeof(struct spl_stand_note));
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT site_id, plant, kind, part, plants, area_m2, cover_frac, grams, share_frac, until,"
        " seen, growth_year, day, by, remark FROM stand_note"
        " WHERE site_id = ? AND (?2 IS NULL OR plant = ?2) ORDER BY plant, day, at, uuid",
        "lt", site_id, plant);
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_note);
    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_stand_note note = {
            .site_id = spl_column_long(rows, 0),
            .plant = spl_column_text(rows, 1),
            .kind = spl_column_text(rows, 2),
            .part = spl_column_text(rows, 3),
            .plants = spl_column_int(rows, 4),
            .area_m2 = spl_column_real(rows, 5),
            .cover_frac = spl_column_real(rows, 6),
            .grams = spl_column_real(rows, 7),
            .share_frac = spl_column_real(rows, 8),
            .until = spl_column_int(rows, 9),
            .seen = spl_column_text(rows, 10),
            .growth_year = spl_column_int(rows, 11),
            .on = spl_column_day(rows, 12),
            .by = spl_column_text(rows, 13),
            .remark = spl_column_text(rows, 14),
        };

        g_array_append_val(list, note);
    }
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        g_array_unref(list);
        return NULL;
    }
    return list;
}

struct spl_stand spl_stand_of_notes(const GArray *notes, const char *plant, struct spl_day on)
{
    struct spl_stand stand = spl_stand_unknown();

    for (guint i = 0; i < notes->len; i++) {
        const struct spl_stand_note *note = &g_array_index(notes, struct spl_stand_note, i);
        enum spl_part part;

        if (strcmp(note->plant, plant) != 0 || spl_day_compare(note->on, on) > 0)
            continue;
        if (strcmp(note->kind, "plants") == 0) {
            stand.plants = note->plants;
            stand.area_m2 = stand.cover_frac = NAN;
        } else if (strcmp(note->kind, "area") == 0) {
            stand.plants = -1;
            stand.area_m2 = note->area_m2;
            stand.cover_frac = note->cover_frac;
        } else if (strcmp(note->kind, "grams") == 0 && note->part != NULL &&
                   spl_part_parse(note->part, "part", &part, NULL)) {
            stand.grams[part] = note->grams;
        } else if (strcmp(note->kind, "share") == 0) {
            stand.share_frac = note->share_frac;
        } else if (strcmp(note->kind, "rest") == 0) {
            stand.rest_until = note->until;
        }
    }
    return stand;
}

const struct spl_stand_note *spl_stand_mark_of(const GArray *notes, const char *plant,
                                               struct spl_day on)
{
    const struct spl_stand_note *last = NULL;

    for (guint i = 0; i < notes->len; i++) {
        const struct spl_stand_note *note = &g_array_index(notes, struct spl_stand_note, i);

        if (strcmp(note->plant, plant) == 0 && strcmp(note->kind, "mark") == 0 &&
            spl_day_compare(note->on, on) <= 0)
            last = note;
    }
    return last;
}

struct taking_walk {
    const struct spl_tables *tables;
    const char *plant;
    double lat;
    GArray *takings;
};

static gboolean add_taking(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    struct taking_walk *walk = data;
    const struct spl_material *material =
        spl_tables_material_by_slug(walk->tables, harvest->material);
    struct spl_stand_taking taking = {material, harvest->weight_g,
                                      spl_day_season(harvest->date, walk->lat)};

    (void)error;
    if (material != NULL && strcmp(material->plant->slug, walk->plant) == 0)
        g_array_append_val(walk->takings, taking);
    return TRUE;
}

GArray *spl_stand_takings(struct spl_book *book, const struct spl_tables *tables, gint64 site_id,
                          const char *plant, double lat, GError **error)
{
    struct spl_harvest_filter filter = {
        .site_id = site_id, .from = SPL_DAY_NONE, .to = SPL_DAY_NONE};
    struct taking_walk walk = {tables, plant, lat, NULL};

    walk.takings = g_array_new(FALSE, FALSE, sizeof(struct spl_stand_taking));
    if (!spl_harvest_each(book, &filter, add_taking, &walk, error)) {
        g_array_unref(walk.takings);
        return NULL;
    }
    return walk.takings;
}

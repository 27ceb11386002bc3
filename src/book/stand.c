/* SPDX-License-Identifier: MIT
 *
 * Stands in the book. See book/stand.h.
 */
#include "book/stand.h"

#include <math.h>
#include <string.h>

#include "book/noun.h"
#include "book/statement.h"

static const struct spl_field note_fields[] = {
    SPL_FIELD_KEPT(spl_stand_note, site_id, SPL_LONG, SPL_STORED("site_id")),
    SPL_FIELD_KEPT(spl_stand_note, plant, SPL_TEXT, SPL_STORED("plant"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_stand_note, kind, SPL_WORD, SPL_STORED("kind"),
                   .names = spl_stand_kind_names),
    SPL_FIELD_KEPT(spl_stand_note, part, SPL_TEXT, SPL_STORED("part")),
    SPL_FIELD_KEPT(spl_stand_note, plants, SPL_INT, SPL_STORED("plants"), .none_is_0 = TRUE),
    SPL_FIELD_KEPT(spl_stand_note, area_m2, SPL_NUM, SPL_STORED("area_m2")),
    SPL_FIELD_KEPT(spl_stand_note, cover_frac, SPL_NUM, SPL_STORED("cover_frac")),
    SPL_FIELD_KEPT(spl_stand_note, grams, SPL_NUM, SPL_STORED("grams")),
    SPL_FIELD_KEPT(spl_stand_note, share_frac, SPL_NUM, SPL_STORED("share_frac")),
    SPL_FIELD_KEPT(spl_stand_note, until, SPL_INT, SPL_STORED("until"), .none_is_0 = TRUE),
    SPL_FIELD_KEPT(spl_stand_note, seen, SPL_TEXT, SPL_STORED("seen")),
    SPL_FIELD_KEPT(spl_stand_note, growth_year, SPL_INT, SPL_STORED("growth_year"),
                   .none_is_0 = TRUE),
    SPL_FIELD_KEPT(spl_stand_note, on, SPL_DAY, SPL_STORED("day")),
    SPL_FIELD_KEPT(spl_stand_note, by, SPL_TEXT, SPL_STORED("by")),
    SPL_FIELD_KEPT(spl_stand_note, remark, SPL_TEXT, SPL_STORED("remark")),
};
static const struct spl_shape note_shape = SPL_SHAPE("stand_note", spl_stand_note, note_fields);

const struct spl_noun spl_stand_noun = {
    .shape = &note_shape,
    .table = "stand_note",
    .from = "stand_note_now t",
    .fact = TRUE,
};

void spl_stand_note_clear(struct spl_stand_note *note)
{
    spl_record_clear(&note_shape, note);
}

static void clear_note(gpointer note)
{
    spl_stand_note_clear(note);
}

/* A number that the kind does not have is NULL in the book. */
static double only(const struct spl_stand_note *note, enum spl_stand_kind kind, double value)
{
    return note->kind == kind ? value : NAN;
}

gboolean spl_stand_note_add(struct spl_book *book, const struct spl_stand_note *note,
                            GError **error)
{
    struct spl_stand_note written = *note;

    written.plants = note->kind == SPL_STAND_PLANTS ? note->plants : 0;
    written.area_m2 = only(note, SPL_STAND_AREA, note->area_m2);
    written.cover_frac = only(note, SPL_STAND_AREA, note->cover_frac);
    if (note->kind != SPL_STAND_TAKEN) {
        written.grams = only(note, SPL_STAND_GRAMS, note->grams);
        written.share_frac = only(note, SPL_STAND_SHARE, note->share_frac);
    }
    written.until = note->kind == SPL_STAND_REST ? MAX(0, note->until) : 0;
    written.growth_year = MAX(0, note->growth_year);
    return spl_noun_add(book, &spl_stand_noun, &written, note->on, SPL_NONE, error);
}

GArray *spl_stand_notes(struct spl_book *book, gint64 site_id, const char *plant, GError **error)
{
    GArray *list = g_array_new(FALSE, TRUE, sizeof(struct spl_stand_note));
    g_autoptr(spl_statement) rows = spl_noun_open(book, &spl_stand_noun, NULL,
                                                  "WHERE t.site_id = ?1 AND (?2 IS NULL OR t.plant "
                                                  "= ?2) ORDER BY t.plant, t.day, t.at, t.uuid",
                                                  SPL_WITH(site_id, plant), error);
    struct spl_stand_note note;
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_note);
    while (rows != NULL && spl_noun_next(rows, &note, &failed))
        g_array_append_val(list, note);
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
        if (note->kind == SPL_STAND_PLANTS) {
            stand.plants = note->plants;
            stand.area_m2 = stand.cover_frac = NAN;
        } else if (note->kind == SPL_STAND_AREA) {
            stand.plants = -1;
            stand.area_m2 = note->area_m2;
            stand.cover_frac = note->cover_frac;
        } else if (note->kind == SPL_STAND_GRAMS && note->part != NULL &&
                   spl_part_parse(note->part, "part", &part, NULL)) {
            stand.grams[part] = note->grams;
        } else if (note->kind == SPL_STAND_SHARE) {
            stand.share_frac = note->share_frac;
        } else if (note->kind == SPL_STAND_REST) {
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

        if (strcmp(note->plant, plant) == 0 && note->kind == SPL_STAND_MARK &&
            spl_day_compare(note->on, on) <= 0)
            last = note;
    }
    return last;
}

/* What one bag or handful of that material weighs: as own ones did that were weighed, three at the
 * least, else as the tables have it. */
static gboolean weight_of_one(struct spl_book *book, const char *material, gboolean handfuls,
                              double *least, double *most, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error,
        "SELECT count(*), min(weight_g / bags), max(weight_g / bags) FROM harvest_now WHERE"
        " material = ? AND handfuls = ? AND bags > 0 AND weight_g IS NOT NULL AND struck IS NULL",
        SPL_WITH(material, handfuls));
    double low = NAN, high = NAN;
    GError *failed = NULL;
    int n = 0;

    if (row == NULL || !spl_statement_next(row, &failed, SPL_INTO(&n, &low, &high))) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        return FALSE;
    }
    *least = n >= 3 ? low : handfuls ? SPL_STAND_HANDFUL_LEAST_G : SPL_STAND_BAG_LEAST_G;
    *most = n >= 3 ? high : handfuls ? SPL_STAND_HANDFUL_MOST_G : SPL_STAND_BAG_MOST_G;
    return TRUE;
}

/* A harvest that is not weighed: the most that it may be, and by how much it may be less. */
static gboolean guess(struct spl_book *book, const char *material, int bags, gboolean handfuls,
                      struct spl_stand_taking *taking, GError **error)
{
    double least, most;

    if (!weight_of_one(book, material, handfuls, &least, &most, error))
        return FALSE;
    taking->grams = bags * most;
    taking->unsure_g = bags * (most - least);
    return TRUE;
}

/* What others took, as somebody noted it. */
static gboolean add_others(struct spl_book *book, const struct spl_tables *tables, gint64 site_id,
                           const char *plant, double lat, GArray *takings, GError **error)
{
    g_autoptr(GArray) notes = spl_stand_notes(book, site_id, plant, error);

    for (guint i = 0; notes != NULL && i < notes->len; i++) {
        const struct spl_stand_note *note = &g_array_index(notes, struct spl_stand_note, i);
        g_autofree char *slug = g_strdup_printf("%s/%s", plant, note->part);
        struct spl_stand_taking taking = {.season = spl_day_season(note->on, lat)};

        if (note->kind != SPL_STAND_TAKEN)
            continue;
        if (isnan(note->grams))
            taking.share = note->share_frac;
        else if ((taking.material = spl_tables_material_by_slug(tables, slug)) == NULL)
            continue;
        else
            taking.grams = note->grams;
        g_array_append_val(takings, taking);
    }
    return notes != NULL;
}

/* Reads rows of material, weight, day, bags and whether they are handfuls. */
static gboolean add_harvests(struct spl_book *book, const struct spl_tables *tables, double lat,
                             spl_statement *rows, GArray *takings, GError **error)
{
    GError *failed = NULL;
    const char *slug;
    double weight_g;
    struct spl_day day;
    int bags, handfuls;

    while (rows != NULL && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&slug, &weight_g, &day, &bags, &handfuls))) {
        const struct spl_material *material = spl_tables_material_by_slug(tables, slug);
        struct spl_stand_taking taking = {
            .material = material, .grams = weight_g, .season = spl_day_season(day, lat)};

        if (material != NULL &&
            (!isnan(weight_g) || guess(book, slug, bags, handfuls != 0, &taking, &failed)))
            g_array_append_val(takings, taking);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

/* What earlier seasons took counts where the plant is gone by it, or its part slow to return. */
static gboolean is_remembered(const struct spl_material *material)
{
    return spl_stand_part_ends_plant(material) || spl_figure_is_set(material->return_years);
}

#define TAKEN "SELECT material, weight_g, day, coalesce(bags, 0), handfuls FROM harvest_now"

GArray *spl_stand_takings(struct spl_book *book, const struct spl_tables *tables, gint64 site_id,
                          const char *plant, int season, double lat, GError **error)
{
    static const char of_season[] = TAKEN
        " WHERE id IN (SELECT h.id FROM harvest h JOIN thing t USING (id) WHERE h.site_id = ?1"
        "   AND substr(h.material, 1, length(?2) + 1) = ?2 || '/' AND (h.day BETWEEN ?3 AND ?4"
        "     OR EXISTS (SELECT 1 FROM amended a WHERE a.subject = t.uuid"
        "       AND a.field = 'day')))"
        " AND day BETWEEN ?3 AND ?4 AND struck IS NULL";
    static const char before[] =
        TAKEN " WHERE site_id = ? AND material = ? AND day < ? AND struck IS NULL";
    GPtrArray *materials = spl_tables_materials(tables);
    GArray *takings = g_array_new(FALSE, FALSE, sizeof(struct spl_stand_taking));
    g_autoptr(spl_statement) rows = NULL;
    struct spl_day first, last;
    gboolean ok;

    spl_day_season_bounds(season, lat, &first, &last);
    rows = spl_statement_open(book, error, of_season, SPL_WITH(site_id, plant, first, last));
    ok = add_harvests(book, tables, lat, rows, takings, error);
    for (guint i = 0; ok && i < materials->len; i++) {
        const struct spl_material *material = g_ptr_array_index(materials, i);

        if (strcmp(material->plant->slug, plant) != 0 || !is_remembered(material))
            continue;
        g_autoptr(spl_statement) earlier =
            spl_statement_open(book, error, before, SPL_WITH(site_id, material->slug, first));
        ok = add_harvests(book, tables, lat, earlier, takings, error);
    }
    if (ok && add_others(book, tables, site_id, plant, lat, takings, error))
        return takings;
    g_array_unref(takings);
    return NULL;
}

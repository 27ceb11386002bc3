/* SPDX-License-Identifier: MIT
 *
 * The plan in the book. See book/plan.h.
 */
#include "book/plan.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/statement.h"

/* Hands the failure on and frees what was read so far. */
static GArray *listed(GArray *list, gboolean opened, GError *failed, GError **error)
{
    if (opened && failed == NULL)
        return list;
    if (failed != NULL)
        g_propagate_error(error, failed);
    g_array_unref(list);
    return NULL;
}

/* ---- planned batches ----------------------------------------------------------------------- */

static void clear_part(gpointer part)
{
    g_free(((struct spl_planned_part *)part)->material);
}

void spl_planned_clear(struct spl_planned *planned)
{
    g_free(planned->uuid);
    g_free(planned->name);
    g_free(planned->preparation);
    g_free(planned->jars);
    g_free(planned->remark);
    g_clear_pointer(&planned->parts, g_array_unref);
    memset(planned, 0, sizeof *planned);
}

static void clear_planned(gpointer planned)
{
    spl_planned_clear(planned);
}

gboolean spl_planned_add(struct spl_book *book, struct spl_planned *planned, GError **error)
{
    gint64 at = spl_book_stamp(book, error);

    if (at == 0)
        return FALSE;
    g_free(planned->uuid);
    planned->uuid = spl_uuid_new();
    if (!spl_book_execute(book, error,
                          "INSERT INTO planned (uuid, season, name, preparation, yield_ml, yield_g,"
                          " jars, by, remark, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                          "tittrrtdtl", planned->uuid, planned->season, planned->name,
                          planned->preparation, planned->yield_ml, planned->yield_g, planned->jars,
                          planned->by, planned->remark, at))
        return FALSE;
    planned->id = spl_book_last_id(book);
    for (guint i = 0; i < planned->parts->len; i++) {
        const struct spl_planned_part *part =
            &g_array_index(planned->parts, struct spl_planned_part, i);

        if (!spl_book_execute(book, error,
                              "INSERT INTO planned_part (planned_id, seq, material, parts)"
                              " VALUES (?, ?, ?, ?)",
                              "litr", planned->id, (int)i, part->material, part->parts))
            return FALSE;
    }
    return TRUE;
}

static GArray *planned_parts(struct spl_book *book, gint64 id, GError **error)
{
    GArray *list = g_array_new(FALSE, TRUE, sizeof(struct spl_planned_part));
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error, "SELECT material, parts FROM planned_part WHERE planned_id = ? ORDER BY seq",
        "l", id);
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_part);
    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_planned_part part = {spl_column_text(rows, 0), spl_column_real(rows, 1)};

        g_array_append_val(list, part);
    }
    return listed(list, rows != NULL, failed, error);
}

GArray *spl_planned_list(struct spl_book *book, int season, GError **error)
{
    GArray *list = g_array_new(FALSE, TRUE, sizeof(struct spl_planned));
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT p.id, p.uuid, p.season, p.name, p.preparation, p.yield_ml, p.yield_g, p.jars, p.by,"
        " p.remark FROM planned p WHERE p.season = ?"
        " AND NOT EXISTS (SELECT 1 FROM strike s WHERE s.subject = p.uuid) ORDER BY p.id",
        "i", season);
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_planned);
    while (failed == NULL && rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_planned planned = {
            .id = spl_column_long(rows, 0),
            .uuid = spl_column_text(rows, 1),
            .season = spl_column_int(rows, 2),
            .name = spl_column_text(rows, 3),
            .preparation = spl_column_text(rows, 4),
            .yield_ml = spl_column_real(rows, 5),
            .yield_g = spl_column_real(rows, 6),
            .jars = spl_column_text(rows, 7),
            .by = spl_column_day(rows, 8),
            .remark = spl_column_text(rows, 9),
        };

        planned.parts = planned_parts(book, planned.id, &failed);
        g_array_append_val(list, planned);
    }
    return listed(list, rows != NULL, failed, error);
}

/* ---- kept outings -------------------------------------------------------------------------- */

static void clear_stop(gpointer stop)
{
    g_free(((struct spl_kept_stop *)stop)->verdict);
}

static void clear_take(gpointer data)
{
    struct spl_kept_take *take = data;

    g_free(take->material);
    g_free(take->what_for);
}

void spl_kept_outing_clear(struct spl_kept_outing *outing)
{
    g_free(outing->uuid);
    g_clear_pointer(&outing->stops, g_array_unref);
    g_clear_pointer(&outing->takes, g_array_unref);
    memset(outing, 0, sizeof *outing);
}

void spl_kept_outing_begin(struct spl_kept_outing *outing)
{
    outing->stops = g_array_new(FALSE, TRUE, sizeof(struct spl_kept_stop));
    g_array_set_clear_func(outing->stops, clear_stop);
    outing->takes = g_array_new(FALSE, TRUE, sizeof(struct spl_kept_take));
    g_array_set_clear_func(outing->takes, clear_take);
}

static void clear_outing(gpointer outing)
{
    spl_kept_outing_clear(outing);
}

GArray *spl_kept_outings_new(void)
{
    GArray *list = g_array_new(FALSE, TRUE, sizeof(struct spl_kept_outing));

    g_array_set_clear_func(list, clear_outing);
    return list;
}

static gboolean put_load(struct spl_book *book, gint64 version,
                         const struct spl_kept_outing *outing, GError **error)
{
    for (guint i = 0; i < outing->stops->len; i++) {
        const struct spl_kept_stop *stop = &g_array_index(outing->stops, struct spl_kept_stop, i);

        if (!spl_book_execute(book, error,
                              "INSERT INTO outing_stop (version_id, seq, site_id, verdict)"
                              " VALUES (?, ?, ?, ?)",
                              "lilt", version, (int)i, stop->site_id, stop->verdict))
            return FALSE;
    }
    for (guint i = 0; i < outing->takes->len; i++) {
        const struct spl_kept_take *take = &g_array_index(outing->takes, struct spl_kept_take, i);

        if (!spl_book_execute(book, error,
                              "INSERT INTO outing_take (version_id, seq, site_id, material, grams,"
                              " what_for) VALUES (?, ?, ?, ?, ?, ?)",
                              "liltrt", version, (int)i, take->site_id, take->material, take->grams,
                              take->what_for))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_kept_outing_put(struct spl_book *book, struct spl_kept_outing *outing, GError **error)
{
    g_autofree char *version = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    if (at == 0)
        return FALSE;
    if (outing->id == 0) {
        g_free(outing->uuid);
        outing->uuid = spl_uuid_new();
        if (!spl_book_execute(book, error, "INSERT INTO outing (uuid, season, at) VALUES (?, ?, ?)",
                              "til", outing->uuid, outing->season, at))
            return FALSE;
        outing->id = spl_book_last_id(book);
    }
    if (!spl_book_execute(book, error,
                          "INSERT INTO outing_version (uuid, outing_id, day, reserve, hours, km,"
                          " fixed, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                          "tlddrril", version, outing->id, outing->day, outing->reserve,
                          outing->hours, outing->km, outing->fixed ? 1 : 0, at))
        return FALSE;
    return put_load(book, spl_book_last_id(book), outing, error);
}

static gboolean read_load(struct spl_book *book, gint64 version, struct spl_kept_outing *outing,
                          GError **error)
{
    GError *failed = NULL;

    spl_kept_outing_begin(outing);
    {
        g_autoptr(spl_statement) rows = spl_statement_open(
            book, &failed,
            "SELECT site_id, verdict FROM outing_stop WHERE version_id = ? ORDER BY seq", "l",
            version);

        while (rows != NULL && spl_statement_row(rows, &failed)) {
            struct spl_kept_stop stop = {spl_column_long(rows, 0), spl_column_text(rows, 1)};

            g_array_append_val(outing->stops, stop);
        }
    }
    if (failed == NULL) {
        g_autoptr(spl_statement) rows = spl_statement_open(
            book, &failed,
            "SELECT site_id, material, grams, what_for FROM outing_take WHERE version_id = ?"
            " ORDER BY seq",
            "l", version);

        while (rows != NULL && spl_statement_row(rows, &failed)) {
            struct spl_kept_take take = {spl_column_long(rows, 0), spl_column_text(rows, 1),
                                         spl_column_real(rows, 2), spl_column_text(rows, 3)};

            g_array_append_val(outing->takes, take);
        }
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

static int compare_days(gconstpointer a, gconstpointer b)
{
    const struct spl_kept_outing *one = a, *other = b;
    int order = spl_day_compare(one->day, other->day);

    return order != 0 ? order : one->id < other->id ? -1 : one->id > other->id;
}

GArray *spl_kept_outing_list(struct spl_book *book, int season, GError **error)
{
    GArray *list = spl_kept_outings_new();
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT o.id, o.uuid, o.season, v.id, v.day, v.reserve, v.hours, v.km, v.fixed"
        " FROM outing o JOIN outing_version v ON v.id = (SELECT w.id FROM outing_version w"
        " WHERE w.outing_id = o.id ORDER BY w.at DESC, w.uuid DESC LIMIT 1)"
        " WHERE o.season = ? AND NOT EXISTS (SELECT 1 FROM strike s WHERE s.subject = o.uuid)",
        "i", season);
    GError *failed = NULL;

    while (failed == NULL && rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_kept_outing outing = {
            .id = spl_column_long(rows, 0),
            .uuid = spl_column_text(rows, 1),
            .season = spl_column_int(rows, 2),
            .day = spl_column_day(rows, 4),
            .reserve = spl_column_day(rows, 5),
            .hours = spl_column_real(rows, 6),
            .km = spl_column_real(rows, 7),
            .fixed = spl_column_int(rows, 8) != 0,
        };

        read_load(book, spl_column_long(rows, 3), &outing, &failed);
        g_array_append_val(list, outing);
    }
    list = listed(list, rows != NULL, failed, error);
    if (list != NULL)
        g_array_sort(list, compare_days);
    return list;
}

/* ---- both ---------------------------------------------------------------------------------- */

gboolean spl_plan_strike(struct spl_book *book, const char *uuid, const char *by, const char *why,
                         GError **error)
{
    g_autofree char *own = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    return at != 0 && spl_book_execute(book, error,
                                       "INSERT OR IGNORE INTO strike (subject, uuid, at, by, why)"
                                       " VALUES (?, ?, ?, ?, ?)",
                                       "ttltt", uuid, own, at, by, why);
}

gboolean spl_day_off_add(struct spl_book *book, struct spl_day day, GError **error)
{
    g_autofree char *uuid = spl_uuid_new();
    gint64 at = spl_book_stamp(book, error);

    return at != 0 &&
           spl_book_execute(book, error,
                            "INSERT OR IGNORE INTO day_off (uuid, day, at) VALUES (?, ?, ?)", "tdl",
                            uuid, day, at);
}

GArray *spl_day_off_list(struct spl_book *book, GError **error)
{
    GArray *list = g_array_new(FALSE, TRUE, sizeof(struct spl_day));
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error, "SELECT day FROM day_off ORDER BY day", "");
    GError *failed = NULL;

    while (rows != NULL && spl_statement_row(rows, &failed)) {
        struct spl_day day = spl_column_day(rows, 0);

        g_array_append_val(list, day);
    }
    return listed(list, rows != NULL, failed, error);
}

/* SPDX-License-Identifier: MIT
 *
 * The plan in the book. See book/plan.h.
 */
#include "book/plan.h"

#include "base/text.h"
#include "book/noun.h"

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

static const struct spl_field part_fields[] = {
    SPL_FIELD_KEPT(spl_planned_part, material, SPL_TEXT, SPL_STORED("material"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_planned_part, parts, SPL_NUM, SPL_STORED("parts")),
};
static const struct spl_shape part_shape = SPL_SHAPE("part", spl_planned_part, part_fields);

const struct spl_noun spl_planned_part_noun = {
    .shape = &part_shape,
    .table = "planned_part",
    .from = "planned_part t",
};

static const struct spl_field planned_fields[] = {
    SPL_FIELD_KEPT(spl_planned, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_planned, uuid, SPL_TEXT, SPL_READ("uuid"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_planned, season, SPL_INT, SPL_STORED("season")),
    SPL_FIELD_KEPT(spl_planned, name, SPL_TEXT, SPL_STORED("name"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_planned, preparation, SPL_TEXT, SPL_STORED("preparation")),
    SPL_FIELD_KEPT(spl_planned, yield_ml, SPL_NUM, SPL_STORED("yield_ml")),
    SPL_FIELD_KEPT(spl_planned, yield_g, SPL_NUM, SPL_STORED("yield_g")),
    SPL_FIELD_KEPT(spl_planned, jars, SPL_TEXT, SPL_STORED("jars")),
    SPL_FIELD_KEPT(spl_planned, by, SPL_DAY, SPL_STORED("by")),
    SPL_FIELD_KEPT(spl_planned, dry, SPL_BOOL, SPL_STORED("dry")),
    SPL_FIELD_KEPT(spl_planned, ratio, SPL_NUM, SPL_STORED("ratio")),
    SPL_FIELD_KEPT(spl_planned, strength_frac, SPL_NUM, SPL_STORED("strength_frac")),
    SPL_FIELD_KEPT(spl_planned, recipe, SPL_TEXT, SPL_STORED("recipe")),
    SPL_FIELD_KEPT(spl_planned, remark, SPL_TEXT, SPL_STORED("remark")),
};
static const struct spl_shape planned_shape = SPL_SHAPE("planned", spl_planned, planned_fields);

const struct spl_noun spl_planned_noun = {
    .shape = &planned_shape,
    .table = "planned",
    .from = "planned t",
    .fact = TRUE,
};

void spl_planned_clear(struct spl_planned *planned)
{
    g_clear_pointer(&planned->parts, g_array_unref);
    spl_record_clear(&planned_shape, planned);
}

static void clear_planned(gpointer planned)
{
    spl_planned_clear(planned);
}

gboolean spl_planned_add(struct spl_book *book, struct spl_planned *planned, GError **error)
{
    if (!spl_noun_add(book, &spl_planned_noun, planned, planned->by, SPL_NONE, error))
        return FALSE;
    for (guint seq = 0; seq < planned->parts->len; seq++) {
        struct spl_planned_part part = g_array_index(planned->parts, struct spl_planned_part, seq);
        gint64 planned_id = planned->id;

        if (!spl_noun_add(book, &spl_planned_part_noun, &part, planned->by,
                          SPL_NAMED(planned_id, seq), error))
            return FALSE;
    }
    return TRUE;
}

static GArray *planned_parts(struct spl_book *book, gint64 id, GError **error)
{
    GArray *list = g_array_new(FALSE, TRUE, sizeof(struct spl_planned_part));
    g_autoptr(spl_statement) rows =
        spl_noun_open(book, &spl_planned_part_noun, NULL, "WHERE t.planned_id = ? ORDER BY t.seq",
                      SPL_WITH(id), error);
    struct spl_planned_part part;
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_part);
    while (rows != NULL && spl_noun_next(rows, &part, &failed))
        g_array_append_val(list, part);
    return listed(list, rows != NULL, failed, error);
}

GArray *spl_planned_list(struct spl_book *book, int season, GError **error)
{
    GArray *list = g_array_new(FALSE, TRUE, sizeof(struct spl_planned));
    g_autoptr(spl_statement) rows = spl_noun_open(
        book, &spl_planned_noun, NULL,
        "WHERE t.season = ? AND NOT EXISTS (SELECT 1 FROM live s WHERE s.subject = t.uuid)"
        " ORDER BY t.id",
        SPL_WITH(season), error);
    struct spl_planned planned;
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_planned);
    while (failed == NULL && rows != NULL && spl_noun_next(rows, &planned, &failed)) {
        planned.parts = planned_parts(book, planned.id, &failed);
        g_array_append_val(list, planned);
    }
    return listed(list, rows != NULL, failed, error);
}

/* ---- kept outings -------------------------------------------------------------------------- */

static const struct spl_field stop_fields[] = {
    SPL_FIELD_KEPT(spl_kept_stop, site_id, SPL_LONG, SPL_STORED("site_id")),
    SPL_FIELD_KEPT(spl_kept_stop, verdict, SPL_WORD, SPL_STORED("verdict"),
                   .names = spl_verdict_names),
};
static const struct spl_shape stop_shape = SPL_SHAPE("stop", spl_kept_stop, stop_fields);

const struct spl_noun spl_kept_stop_noun = {
    .shape = &stop_shape,
    .table = "outing_stop",
    .from = "outing_stop t",
};

static const struct spl_field take_fields[] = {
    SPL_FIELD_KEPT(spl_kept_take, site_id, SPL_LONG, SPL_STORED("site_id")),
    SPL_FIELD_KEPT(spl_kept_take, material, SPL_TEXT, SPL_STORED("material"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_kept_take, grams, SPL_NUM, SPL_STORED("grams")),
    SPL_FIELD_KEPT(spl_kept_take, what_for, SPL_TEXT, SPL_STORED("what_for"), .empty = TRUE),
};
static const struct spl_shape take_shape = SPL_SHAPE("take", spl_kept_take, take_fields);

const struct spl_noun spl_kept_take_noun = {
    .shape = &take_shape,
    .table = "outing_take",
    .from = "outing_take t",
};

/* What is kept is a version; the outing is what stays when its day moves. */
static const struct spl_field outing_fields[] = {
    SPL_FIELD_KEPT(spl_kept_outing, id, SPL_LONG, SPL_READ("t.outing_id")),
    SPL_FIELD_KEPT(spl_kept_outing, uuid, SPL_TEXT, SPL_READ("o.uuid")),
    SPL_FIELD_KEPT(spl_kept_outing, season, SPL_INT, SPL_READ("o.season")),
    SPL_FIELD_KEPT(spl_kept_outing, day, SPL_DAY, SPL_STORED("day")),
    SPL_FIELD_KEPT(spl_kept_outing, reserve, SPL_DAY, SPL_STORED("reserve")),
    SPL_FIELD_KEPT(spl_kept_outing, hours, SPL_NUM, SPL_STORED("hours")),
    SPL_FIELD_KEPT(spl_kept_outing, km, SPL_NUM, SPL_STORED("km")),
    SPL_FIELD_KEPT(spl_kept_outing, fixed, SPL_BOOL, SPL_STORED("fixed")),
    SPL_FIELD_KEPT(spl_kept_outing, why, SPL_TEXT, SPL_STORED("why")),
};
static const struct spl_shape outing_shape = SPL_SHAPE("outing", spl_kept_outing, outing_fields);

const struct spl_noun spl_kept_outing_noun = {
    .shape = &outing_shape,
    .table = "outing_version",
    .from = "outing o JOIN outing_version t ON t.id = (SELECT w.id FROM outing_version_now w"
            " WHERE w.outing_id = o.id ORDER BY w.at DESC, w.uuid DESC LIMIT 1)",
    .fact = TRUE,
};

static void clear_stop(gpointer stop)
{
    spl_record_clear(&stop_shape, stop);
}

static void clear_take(gpointer take)
{
    spl_record_clear(&take_shape, take);
}

void spl_kept_outing_clear(struct spl_kept_outing *outing)
{
    g_clear_pointer(&outing->stops, g_array_unref);
    g_clear_pointer(&outing->takes, g_array_unref);
    spl_record_clear(&outing_shape, outing);
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

static gboolean put_load(struct spl_book *book, gint64 version_id,
                         const struct spl_kept_outing *outing, GError **error)
{
    for (guint seq = 0; seq < outing->stops->len; seq++) {
        struct spl_kept_stop stop = g_array_index(outing->stops, struct spl_kept_stop, seq);

        if (!spl_noun_add(book, &spl_kept_stop_noun, &stop, outing->day, SPL_NAMED(version_id, seq),
                          error))
            return FALSE;
    }
    for (guint seq = 0; seq < outing->takes->len; seq++) {
        struct spl_kept_take take = g_array_index(outing->takes, struct spl_kept_take, seq);

        if (!spl_noun_add(book, &spl_kept_take_noun, &take, outing->day, SPL_NAMED(version_id, seq),
                          error))
            return FALSE;
    }
    return TRUE;
}

static gboolean put_version(struct spl_book *book, gint64 outing_id,
                            const struct spl_kept_outing *outing, GError **error)
{
    struct spl_kept_outing version = *outing;

    return spl_noun_add(book, &spl_kept_outing_noun, &version, outing->day, SPL_NAMED(outing_id),
                        error) &&
           put_load(book, spl_book_last_id(book), outing, error);
}

gboolean spl_kept_outing_put(struct spl_book *book, struct spl_kept_outing *outing, GError **error)
{
    g_autofree char *uuid = NULL;
    int season = outing->season;
    gint64 id;

    if (outing->id != 0)
        return put_version(book, outing->id, outing, error);
    uuid = spl_fact_add_uuid(book, "outing", SPL_NAMED(season), error);
    if (uuid == NULL)
        return FALSE;
    id = spl_book_last_id(book);
    if (!put_version(book, id, outing, error))
        return FALSE;
    outing->id = id;
    g_free(outing->uuid);
    outing->uuid = g_steal_pointer(&uuid);
    return TRUE;
}

static gboolean read_load(struct spl_book *book, gint64 version, struct spl_kept_outing *outing,
                          GError **error)
{
    g_autoptr(spl_statement) stops =
        spl_noun_open(book, &spl_kept_stop_noun, NULL, "WHERE t.version_id = ? ORDER BY t.seq",
                      SPL_WITH(version), error);
    g_autoptr(spl_statement) takes =
        stops != NULL
            ? spl_noun_open(book, &spl_kept_take_noun, NULL,
                            "WHERE t.version_id = ? ORDER BY t.seq", SPL_WITH(version), error)
            : NULL;
    struct spl_kept_stop stop;
    struct spl_kept_take take;
    GError *failed = NULL;

    spl_kept_outing_begin(outing);
    if (takes == NULL)
        return FALSE;
    while (spl_noun_next(stops, &stop, &failed))
        g_array_append_val(outing->stops, stop);
    while (failed == NULL && spl_noun_next(takes, &take, &failed))
        g_array_append_val(outing->takes, take);
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
    g_autoptr(spl_statement) rows = spl_noun_open_with(
        book, &spl_kept_outing_noun, "t.id",
        "WHERE o.season = ? AND NOT EXISTS (SELECT 1 FROM live s WHERE s.subject = o.uuid)",
        SPL_WITH(season), error);
    struct spl_kept_outing outing;
    GError *failed = NULL;
    gint64 version;

    while (failed == NULL && rows != NULL &&
           spl_noun_next_with(rows, &outing, SPL_INTO(&version), &failed)) {
        (void)read_load(book, version, &outing, &failed);
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
    const char *subject = uuid;
    GError *failed = NULL;
    gint64 struck = spl_book_number(book, 0, &failed, "SELECT count(*) FROM live WHERE subject = ?",
                                    SPL_WITH(uuid));

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return struck > 0 || spl_fact_add(book, "strike", SPL_NAMED(subject, by, why), error);
}

gboolean spl_day_off_add(struct spl_book *book, struct spl_day day, GError **error)
{
    GError *failed = NULL;
    gint64 there = spl_book_number(book, 0, &failed, "SELECT count(*) FROM day_off WHERE day = ?",
                                   SPL_WITH(day));

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return there > 0 || spl_fact_add(book, "day_off", SPL_NAMED(day), error);
}

GArray *spl_day_off_list(struct spl_book *book, GError **error)
{
    GArray *list = g_array_new(FALSE, TRUE, sizeof(struct spl_day));
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error, "SELECT day FROM day_off_now ORDER BY day", SPL_NONE);
    struct spl_day day;
    GError *failed = NULL;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&day)))
        g_array_append_val(list, day);
    return listed(list, rows != NULL, failed, error);
}

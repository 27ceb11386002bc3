/* SPDX-License-Identifier: MIT
 *
 * Sites as rows. See book/site.h.
 */
#include "book/site.h"

#include <string.h>

#include <math.h>

#include "base/text.h"
#include "book/amendment.h"
#include "book/noun.h"
#include "core/geometry.h"
#include "simpling/error.h"

static const struct spl_field site_fields[] = {
    SPL_FIELD(spl_site, name, SPL_TEXT, "name", "site", SPL_STORED("name"), .empty = TRUE),
    SPL_FIELD_NUM(spl_site, lat, 6, "lat", "lat", SPL_STORED("lat")),
    SPL_FIELD_NUM(spl_site, lon, 6, "lon", "lon", SPL_STORED("lon")),
    SPL_FIELD_NUM(spl_site, elevation_m, 0, "elevation_m", "elevation m",
                  SPL_STORED("elevation_m")),
    SPL_FIELD_NUM(spl_site, accuracy_m, 0, "accuracy_m", NULL, SPL_STORED("accuracy_m")),
    SPL_FIELD(spl_site, own, SPL_BOOL, "own", "own", SPL_STORED("own")),
    /* An empty text is the mark taken off: it reads as none. */
    SPL_FIELD(spl_site, contaminated, SPL_TEXT, "contaminated", NULL, SPL_STORED("contaminated")),
    SPL_FIELD(spl_site, contaminated_on, SPL_DAY, "contaminated_on", NULL,
              SPL_STORED("contaminated_on")),
    SPL_FIELD(spl_site, remark, SPL_TEXT, "remark", "remark", SPL_STORED("remark"), .empty = TRUE),
    SPL_FIELD(spl_site, outline_wkt, SPL_TEXT, "outline", NULL),
    SPL_FIELD(spl_site, uuid, SPL_TEXT, "uuid", NULL, SPL_READ("uuid"), .empty = TRUE),
    SPL_FIELD_LIST(spl_site, touched, &spl_touched_shape, "touched", NULL),
    SPL_FIELD_KEPT(spl_site, id, SPL_LONG, SPL_ID("id")),
};
const struct spl_shape spl_site_shape = SPL_SHAPE("site", spl_site, site_fields);

const struct spl_noun spl_site_noun = {
    .shape = &spl_site_shape,
    .table = "site",
    .from = "site_now t",
    .fact = TRUE,
};

/* The outline stands behind the record's columns: it is bytes there and words here; and what a name
 * that another place has is told apart by. */
#define WITH_OUTLINE "t.outline, (SELECT k.name_key FROM site_key k WHERE k.site_id = t.id), t.mark"

/* A place that answers to its name and a mark, since another has its name, is shown so. Takes the
 * name over. */
static char *told_apart(char *name, const char *key, const char *mark)
{
    g_autofree char *plain = NULL, *longer = NULL, *as_key = NULL;

    if (name == NULL || key == NULL || *mark == '\0' || !g_str_has_suffix(key, ")"))
        return name;
    plain = spl_name_key(name);
    longer = g_strdup_printf("%s (%s)", name, mark);
    as_key = spl_name_key(longer);
    if (strcmp(key, plain) == 0 || strcmp(key, as_key) != 0)
        return name;
    g_free(name);
    return g_steal_pointer(&longer);
}

/* The next site. FALSE: no more, or *error is set. */
static gboolean next_site(struct spl_statement *rows, struct spl_site *site, GError **error)
{
    g_autoptr(spl_geometry) geometry = NULL;
    struct spl_site read;
    struct spl_blob outline;
    const char *key, *mark;

    if (!spl_noun_next_with(rows, &read, SPL_INTO(&outline, &key, &mark), error))
        return FALSE;
    read.name = told_apart(read.name, key, mark);
    if (outline.size > 0) {
        geometry = spl_geometry_new(SPL_GEOMETRY_POINT);
        /* One damaged place must not stop the others: it goes on as a point that is asked about. */
        read.damaged = !spl_geometry_from_bytes(geometry, outline.data, outline.size, NULL);
        if (!read.damaged)
            read.outline_wkt = spl_geometry_to_wkt(geometry);
    }
    *site = read;
    return TRUE;
}

gboolean spl_site_add(struct spl_book *book, struct spl_site *site, GError **error)
{
    g_autofree char *key = spl_name_key(site->name);
    g_autoptr(GBytes) outline = NULL;
    gint64 taken = spl_site_known(book, site->name, error);

    if (taken < 0)
        return FALSE;
    if (site->outline_wkt != NULL) {
        g_autoptr(spl_geometry) geometry =
            spl_geometry_from_wkt(site->outline_wkt, site->name, error);

        if (geometry == NULL)
            return FALSE;
        outline = spl_geometry_to_bytes(geometry);
    }
    if (taken != 0) {
        struct spl_site there = {0};
        const char *name = site->name;

        /* Case and accents aside it is the same name, which is said as it stands in the book. */
        if (spl_site_load(book, taken, &there, NULL) && there.name != NULL)
            name = there.name;
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: there is a site of that name%s%s%s; choose another, or edit that one",
                    site->name, strcmp(name, site->name) != 0 ? ", '" : "",
                    strcmp(name, site->name) != 0 ? name : "",
                    strcmp(name, site->name) != 0 ? "'" : "");
        spl_error_explain(error, NULL, spl_next_new(SPL_ACTION_SITE_EDIT, "site", name, NULL),
                          NULL);
        spl_record_clear(&spl_site_shape, &there);
        return FALSE;
    }
    return spl_noun_add(book, &spl_site_noun, site, SPL_DAY_NONE, SPL_NAMED(outline), error) &&
           spl_book_execute(book, error, "INSERT INTO site_key (name_key, site_id) VALUES (?, ?)",
                            SPL_WITH(key, site->id));
}

gint64 spl_site_known(struct spl_book *book, const char *name, GError **error)
{
    g_autofree char *key = spl_name_key(name);
    GError *failed = NULL;
    gint64 id = spl_book_number(book, 0, &failed, "SELECT site_id FROM site_key WHERE name_key = ?",
                                SPL_WITH(key));

    if (failed == NULL)
        return id;
    g_propagate_error(error, failed);
    return -1;
}

gboolean spl_site_load(struct spl_book *book, gint64 id, struct spl_site *site, GError **error)
{
    g_autoptr(spl_statement) row = spl_noun_open_with(book, &spl_site_noun, WITH_OUTLINE,
                                                      "WHERE t.id = ?", SPL_WITH(id), error);
    GError *failed = NULL;

    if (row == NULL)
        return FALSE;
    if (next_site(row, site, &failed))
        return TRUE;
    if (failed != NULL)
        g_propagate_error(error, failed);
    else
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "site number %" G_GINT64_FORMAT ": is gone; look at the list of places", id);
    return FALSE;
}

/* What is left of a place: its row if it was struck, else that there was one. */
static gboolean take_remains(struct spl_book *book, gint64 id, struct spl_site *site,
                             GError **error)
{
    struct spl_site remains = {.id = id,
                               .lat = NAN,
                               .lon = NAN,
                               .elevation_m = NAN,
                               .accuracy_m = NAN,
                               .contaminated_on = SPL_DAY_NONE,
                               .gone = TRUE};
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error, "SELECT name, uuid, lat, lon FROM site WHERE id = ?", SPL_WITH(id));
    GError *failed = NULL;

    if (row == NULL)
        return FALSE;
    if (!spl_statement_next(row, &failed,
                            SPL_INTO(&remains.name, &remains.uuid, &remains.lat, &remains.lon))) {
        if (failed != NULL) {
            g_propagate_error(error, failed);
            return FALSE;
        }
        remains.name = g_strdup_printf("place number %" G_GINT64_FORMAT, id);
        remains.uuid = g_strdup_printf("place %" G_GINT64_FORMAT, id);
    }
    *site = remains;
    return TRUE;
}

gboolean spl_site_named(struct spl_book *book, gint64 id, struct spl_site *site, GError **error)
{
    GError *failed = NULL;

    if (spl_site_load(book, id, site, &failed))
        return TRUE;
    if (!g_error_matches(failed, SPL_ERROR, SPL_ERROR_NOT_FOUND)) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    g_clear_error(&failed);
    return take_remains(book, id, site, error);
}

/* Names that begin with the key, then all names: for offers. */
static GPtrArray *names_like(struct spl_book *book, const char *key, gboolean prefix, gint64 *id,
                             GError **error)
{
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    /* Keys are compared by bytes, so those with the prefix lie between it and it + U+10FFFF. */
    g_autofree char *after = g_strconcat(key, "\xf4\x8f\xbf\xbf", NULL);
    const char *own_key, *mark;
    char *name;
    g_autoptr(spl_statement) rows =
        prefix ? spl_statement_open(
                     book, error,
                     "SELECT s.name, s.id, k.name_key, s.mark FROM site_key k JOIN site_now s"
                     " ON s.id = k.site_id WHERE k.name_key >= ? AND k.name_key < ?"
                     " ORDER BY k.name_key LIMIT 20",
                     SPL_WITH(key, after))
               : spl_statement_open(
                     book, error,
                     "SELECT s.name, s.id, k.name_key, s.mark FROM site_key k JOIN site_now s"
                     " ON s.id = k.site_id ORDER BY k.name_key LIMIT 5000",
                     SPL_NONE);

    while (rows != NULL && spl_statement_next(rows, error, SPL_INTO(&name, id, &own_key, &mark)))
        g_ptr_array_add(names, told_apart(name, own_key, mark));
    return g_steal_pointer(&names);
}

/* The one place that has the key as a word of its name ("verge" of "Station Verge"); 0: none, or
 * several. */
static gint64 only_holding(struct spl_book *book, const char *key, GError **error)
{
    g_autofree char *word = g_strconcat(" ", key, " ", NULL);
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT min(site_id) FROM site_key WHERE instr(' ' || name_key || ' ',"
                           " ?) > 0 HAVING count(DISTINCT site_id) = 1",
                           SPL_WITH(word));
    gint64 id = 0;

    if (rows == NULL || !spl_statement_next(rows, error, SPL_INTO(&id)))
        return 0;
    return id;
}

gboolean spl_site_find(struct spl_book *book, const char *name, struct spl_site *site,
                       GError **error)
{
    g_autofree char *clean = spl_text_clean(name, "the site's name", SPL_NAME_MAX, FALSE, error);
    g_autofree char *key = NULL, *offer = NULL;
    g_autoptr(GPtrArray) names = NULL;
    GError *failed = NULL;
    gint64 id;

    if (clean == NULL)
        return FALSE;
    key = spl_name_key(clean);
    id = spl_book_number(book, 0, &failed, "SELECT site_id FROM site_key WHERE name_key = ?",
                         SPL_WITH(key));
    if (failed == NULL && id == 0) {
        names = names_like(book, key, TRUE, &id, &failed);
        if (failed == NULL && names->len > 1) {
            offer = g_strjoinv("', '", (char *[]){names->pdata[0], names->pdata[1],
                                                  names->len > 2 ? names->pdata[2] : NULL, NULL});
            g_set_error(error, SPL_ERROR, SPL_ERROR_AMBIGUOUS,
                        "%s: several sites begin so: '%s'%s; write more of the name", clean, offer,
                        names->len > 3 ? " and others" : "");
            return FALSE;
        }
        if (names->len == 0)
            id = 0;
    }
    if (failed == NULL && id == 0)
        id = only_holding(book, key, &failed);
    if (failed == NULL && id == 0) {
        g_clear_pointer(&names, g_ptr_array_unref);
        names = names_like(book, "", FALSE, &id, &failed);
        if (failed == NULL) {
            offer = spl_names_offer(clean, names);
            g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "%s: there is no such site%s%s",
                        clean, offer,
                        *offer == '\0' ? "; look at the list of places, or add it" : "");
            if (*offer == '\0')
                spl_error_explain(error, NULL, spl_next_new(SPL_ACTION_SITE_LIST, NULL, NULL),
                                  NULL);
            return FALSE;
        }
    }
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    return spl_site_load(book, id, site, error);
}

GArray *spl_site_all(struct spl_book *book, GError **error)
{
    GArray *sites = spl_list_new(&spl_site_shape);
    g_autoptr(spl_statement) rows = spl_noun_open_with(book, &spl_site_noun, WITH_OUTLINE,
                                                       "ORDER BY t.name, t.id", SPL_NONE, error);
    struct spl_site site;
    GError *failed = NULL;

    while (rows != NULL && next_site(rows, &site, &failed))
        g_array_append_val(sites, site);
    if (rows == NULL || failed != NULL) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        spl_list_free(&spl_site_shape, sites);
        return NULL;
    }
    return sites;
}

gboolean spl_site_each(struct spl_book *book,
                       gboolean (*each)(const struct spl_site *site, gpointer data, GError **error),
                       gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_noun_open_with(book, &spl_site_noun, WITH_OUTLINE, "ORDER BY t.id", SPL_NONE, error);
    struct spl_site site;
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && next_site(rows, &site, &failed)) {
        more = each(&site, data, &failed);
        spl_record_clear(&spl_site_shape, &site);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_site_each_known(struct spl_book *book, gint64 since,
                             gboolean (*each)(const struct spl_site *site, gint64 at, gpointer data,
                                              GError **error),
                             gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT id, at FROM site WHERE id IN (SELECT site_id FROM stand_note_now) OR at >= ?1"
        " ORDER BY id",
        SPL_WITH(since));
    struct spl_site site;
    GError *failed = NULL;
    gboolean more = TRUE;
    gint64 id, at;

    while (rows != NULL && more && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&id, &at))) {
        /* One that is struck is no place any more. */
        if (spl_book_number(book, 0, &failed, "SELECT EXISTS (SELECT 1 FROM site_now WHERE id = ?)",
                            SPL_WITH(id)) == 0 ||
            !spl_site_load(book, id, &site, &failed))
            continue;
        more = each(&site, at, data, &failed);
        spl_record_clear(&spl_site_shape, &site);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_site_rename(struct spl_book *book, const struct spl_site *site, const char *name,
                         const char *by, const char *why, GError **error)
{
    g_autofree char *key = spl_name_key(name);
    GError *failed = NULL;
    gint64 taken = spl_book_number(
        book, 0, &failed, "SELECT site_id FROM site_key WHERE name_key = ?", SPL_WITH(key));

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (taken != 0 && taken != site->id) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: there is another site of that name; choose another", name);
        return FALSE;
    }
    return spl_amendment_add_text(book, site->uuid, "name", name, by, why, error) &&
           spl_book_execute(book, error, "UPDATE site_key SET name_key = ? WHERE site_id = ?",
                            SPL_WITH(key, site->id));
}

/* SPDX-License-Identifier: MIT
 *
 * Keys of names made again from the names. See book/derive.h; the map of hazards is in
 * hazard_map.c.
 */
#include "book/derive.h"

#include <string.h>

#include "base/text.h"
#include "book/over.h"
#include "book/revision.h"
#include "book/statement.h"
#include "simpling/error.h"

static const struct spl_field mending_fields[] = {
    SPL_FIELD(spl_mending, thing, SPL_TEXT, "thing", "what"),
    SPL_FIELD(spl_mending, was, SPL_TEXT, "was", "was wrong"),
    SPL_FIELD(spl_mending, done, SPL_TEXT, "done", "mended"),
    SPL_FIELD(spl_mending, cure, SPL_TEXT, "cure", "to do"),
};
const struct spl_shape spl_mending_shape = SPL_SHAPE("mending", spl_mending, mending_fields);

void spl_mending_add(GArray *mendings, char *thing, char *was, char *done, char *cure)
{
    struct spl_mending mending = {thing, was, done, cure};

    g_array_append_val(mendings, mending);
}

/* Sites ----------------------------------------------------------------------------------------
 */

/* Where its name was taken, a site answers to its name and something in brackets. */
static gboolean fits(const char *key, const char *wanted)
{
    gsize length = strlen(wanted);

    return g_str_has_prefix(key, wanted) &&
           (key[length] == '\0' ||
            (g_str_has_prefix(key + length, " (") && g_str_has_suffix(key, ")")));
}

static gint64 key_owner(struct spl_book *book, const char *key, GError **error)
{
    return spl_book_number(book, 0, error, "SELECT site_id FROM site_key WHERE name_key = ?",
                           SPL_WITH(key));
}

/* Keys of sites that are gone, and those that do not fit the site's name. */
static gboolean look_at_keys(struct spl_book *book, gboolean mend, GArray *mendings, GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT k.name_key, k.site_id, s.name FROM site_key k"
                           " LEFT JOIN site_now s ON s.id = k.site_id ORDER BY k.site_id",
                           SPL_NONE);
    g_autoptr(GPtrArray) stale = g_ptr_array_new_with_free_func(g_free);
    const char *key, *name;
    gint64 site_id;
    GError *failed = NULL;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&key, &site_id, &name))) {
        g_autofree char *wanted = name != NULL ? spl_name_key(name) : NULL;

        if (wanted != NULL && fits(key, wanted))
            continue;
        g_ptr_array_add(stale, g_strdup(key));
        if (wanted == NULL)
            spl_mending_add(mendings, g_strdup_printf("name '%s'", key),
                            g_strdup("leads to a site that is gone"),
                            g_strdup("taken off the list of names"), NULL);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    if (rows == NULL || failed != NULL)
        return FALSE;
    g_clear_pointer(&rows, spl_statement_done);
    for (guint i = 0; mend && i < stale->len; i++) {
        if (!spl_book_execute(book, error, "DELETE FROM site_key WHERE name_key = ?",
                              SPL_WITH((const char *)g_ptr_array_index(stale, i))))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_site_keys_drop_stale(struct spl_book *book, GError **error)
{
    GArray *mendings = spl_list_new(&spl_mending_shape);
    gboolean ok = look_at_keys(book, TRUE, mendings, error);

    spl_list_free(&spl_mending_shape, mendings);
    return ok;
}

/* The name itself, or it with the first number that is free. */
static char *free_key(struct spl_book *book, const char *name, GError **error)
{
    GError *failed = NULL;

    for (int n = 1; n < 1000; n++) {
        g_autofree char *longer = n > 1 ? g_strdup_printf("%s (%d)", name, n) : g_strdup(name);
        g_autofree char *key = spl_name_key(longer);

        if (key_owner(book, key, &failed) == 0 && failed == NULL)
            return g_steal_pointer(&key);
        if (failed != NULL)
            break;
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    else
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "site %s: a thousand sites have that name; rename some", name);
    return NULL;
}

static gboolean give_key(struct spl_book *book, gint64 id, const char *name, gboolean mend,
                         GArray *mendings, GError **error)
{
    g_autofree char *wanted = spl_name_key(name);
    g_autofree char *key = free_key(book, name, error);

    if (key == NULL)
        return FALSE;
    spl_mending_add(
        mendings, g_strdup_printf("site %s", name), g_strdup("its name does not lead to it"),
        strcmp(key, wanted) == 0
            ? g_strdup("answers to its name again")
            : g_strdup_printf("answers to '%s', as another site has its name; rename one", key),
        NULL);
    return !mend ||
           spl_book_execute(book, error, "INSERT INTO site_key (name_key, site_id) VALUES (?, ?)",
                            SPL_WITH(key, id));
}

/* Sites to which no key that fits leads. */
static gboolean look_at_sites(struct spl_book *book, gboolean mend, GArray *mendings,
                              GError **error)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, error,
                           "SELECT s.id, s.name, k.name_key FROM site_now s"
                           " LEFT JOIN site_key k ON k.site_id = s.id ORDER BY s.id",
                           SPL_NONE);
    const char *name, *key;
    gint64 id;
    GError *failed = NULL;

    while (rows != NULL && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&id, &name, &key))) {
        g_autofree char *wanted = spl_name_key(name);

        if (key == NULL || !fits(key, wanted))
            (void)give_key(book, id, name, mend, mendings, &failed);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_site_keys_look(struct spl_book *book, gboolean mend, GArray *mendings, GError **error)
{
    return look_at_keys(book, mend, mendings, error) && look_at_sites(book, mend, mendings, error);
}

/* Other names ----------------------------------------------------------------------------------
 */

/* A table whose rows have a name and its key. */
struct named {
    const char *what, *read, *find, *write;
    gboolean apart; /* of two of one name one may answer to it and a mark */
};

#define NAMED(what, table, apart)                                                                  \
    {                                                                                              \
        what, "SELECT id, name, name_key FROM " table " ORDER BY id",                              \
            "SELECT count(*) FROM " table " WHERE name_key = ?",                                   \
            "UPDATE " table " SET name_key = ? WHERE id = ?", apart                                \
    }

static const struct named named_tables[] = {
    NAMED("station", "station", FALSE),
    NAMED("almanac", "almanac", FALSE),
    NAMED("layer", "hazard_layer", TRUE),
};

static gboolean look_at_name(struct spl_book *book, const struct named *named, gint64 id,
                             const char *name, const char *wanted, gboolean mend, GArray *mendings,
                             GError **error)
{
    GError *failed = NULL;
    gboolean taken = spl_book_number(book, 0, &failed, named->find, SPL_WITH(wanted)) > 0;

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    spl_mending_add(
        mendings, g_strdup_printf("%s %s", named->what, name),
        g_strdup(taken ? "another one answers to its name" : "its name does not lead to it"),
        taken ? NULL : g_strdup("answers to its name again"),
        taken ? g_strdup("drop one and import it again under another name") : NULL);
    return taken || !mend || spl_book_execute(book, error, named->write, SPL_WITH(wanted, id));
}

static gboolean look_at_names(struct spl_book *book, const struct named *named, gboolean mend,
                              GArray *mendings, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(book, error, named->read, SPL_NONE);
    const char *name, *key;
    gint64 id;
    GError *failed = NULL;

    while (rows != NULL && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&id, &name, &key))) {
        g_autofree char *wanted = spl_name_key(name);

        if (strcmp(wanted, key) != 0 && !(named->apart && fits(key, wanted)))
            (void)look_at_name(book, named, id, name, wanted, mend, mendings, &failed);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

/* Strikes and corrections ------------------------------------------------------------------------
 */

/* What a table keeps beside the view that says it from the rows; the type too, as 1 is no '1'. */
struct kept {
    const char *thing, *count, *empty, *fill;
};

#define KEPT(thing, table, columns)                                                                \
    {                                                                                              \
        thing,                                                                                     \
            "SELECT (SELECT count(*) FROM (SELECT " columns " FROM " table                         \
            "_by_rows EXCEPT SELECT " columns " FROM " table                                       \
            ")) + (SELECT count(*) FROM (SELECT " columns " FROM " table " EXCEPT SELECT " columns \
            " FROM " table "_by_rows))",                                                           \
            "DELETE FROM " table, "INSERT INTO " table " SELECT * FROM " table "_by_rows"          \
    }

/* The values hang on which strikes stand. */
static const struct kept kept_tables[] = {
    KEPT("strikes", "live", "subject, at, uuid, mark, by, why"),
    KEPT("corrections", "amended", "subject, field, value, typeof(value)"),
};

static gboolean keep_anew(struct spl_book *book, const struct kept *kept, GError **error)
{
    return spl_book_execute(book, error, kept->empty, SPL_NONE) &&
           spl_book_execute(book, error, kept->fill, SPL_NONE);
}

static gboolean look_at_kept(struct spl_book *book, const struct kept *kept, gboolean mend,
                             GArray *mendings, GError **error)
{
    GError *failed = NULL;
    gint64 wrong = spl_book_number(book, 0, &failed, kept->count, SPL_NONE);

    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    if (wrong == 0)
        return TRUE;
    spl_mending_add(mendings, g_strdup(kept->thing),
                    g_strdup_printf("what is kept of which hold is not what the records say, in "
                                    "%" G_GINT64_FORMAT " rows",
                                    wrong),
                    g_strdup("read from the records again"), NULL);
    return !mend || keep_anew(book, kept, error);
}

/* All of it ------------------------------------------------------------------------------------
 */

/* Whose corrections count, before the names that they give. */
static gboolean look_at_revisions(struct spl_book *book, gboolean mend, GArray *mendings,
                                  GError **error)
{
    guint wrong;

    if (!spl_revision_faults(book, &wrong, error))
        return FALSE;
    if (wrong == 0)
        return TRUE;
    spl_mending_add(mendings, g_strdup("corrections by others"),
                    g_strdup_printf("of %u it is not kept rightly whether they count", wrong),
                    g_strdup("weighed again"), NULL);
    return !mend || spl_revision_weigh(book, error);
}

/* What is over, by what counts. */
static gboolean look_at_over(struct spl_book *book, gboolean mend, GArray *mendings, GError **error)
{
    guint wrong;

    if (!spl_over_faults(book, &wrong, error))
        return FALSE;
    if (wrong == 0)
        return TRUE;
    spl_mending_add(mendings, g_strdup("lots and jars"),
                    g_strdup_printf("of %u it is not kept rightly whether they are over", wrong),
                    g_strdup("looked at again"), NULL);
    return !mend || spl_over_again(book, error);
}

static GArray *look(struct spl_book *book, gboolean mend, GError **error)
{
    GArray *mendings = spl_list_new(&spl_mending_shape);
    gboolean ok = look_at_revisions(book, mend, mendings, error);

    for (gsize i = 0; ok && i < G_N_ELEMENTS(kept_tables); i++)
        ok = look_at_kept(book, &kept_tables[i], mend, mendings, error);
    ok = ok && look_at_over(book, mend, mendings, error) &&
         spl_site_keys_look(book, mend, mendings, error);
    for (gsize i = 0; ok && i < G_N_ELEMENTS(named_tables); i++)
        ok = look_at_names(book, &named_tables[i], mend, mendings, error);
    if (ok && spl_hazard_map_look(book, mend, mendings, error))
        return mendings;
    spl_list_free(&spl_mending_shape, mendings);
    return NULL;
}

GArray *spl_derived_faults(struct spl_book *book, GError **error)
{
    return look(book, FALSE, error);
}

GArray *spl_derived_mend(struct spl_book *book, GError **error)
{
    return look(book, TRUE, error);
}

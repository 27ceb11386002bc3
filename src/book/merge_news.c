/* SPDX-License-Identifier: MIT
 *
 * What a merge brought. See book/merge_news.h.
 *
 * Rows are only ever added, with rising ids: what is beyond the last id of before came.
 */
#include "book/merge_news.h"

#include <string.h>

#include "book/code.h"
#include "book/statement.h"

static gboolean pass_on(GError *failed, GError **error)
{
    if (failed != NULL)
        g_propagate_error(error, failed);
    return failed == NULL;
}

/* ---- what came ---- */

static const struct counted {
    const char *what, *table, *kind; /* kind: of a thing; NULL: it is none */
} counted[] = {
    {"harvests", "thing", "H"},
    {"purchases", "thing", "P"},
    {"dryings", "thing", "D"},
    {"batches", "thing", "B"},
    {"lots", "thing", "L"},
    {"uses", "thing", "U"},
    {"notes", "thing", "N"},
    {"places", "site", NULL},
    {"statements about leave", "permission", NULL},
    {"layers of contaminated ground", "hazard_layer", NULL},
    {"notes of stands", "stand_note", NULL},
    {"holds", "hold", NULL},
    {"releases", "release", NULL},
    {"decisions and counts of lots", "lot_event", NULL},
    {"weighings and turnings", "drying_event", NULL},
    {"steps", "batch_step", NULL},
    {"discards", "discard", NULL},
    {"reactions", "reaction", NULL},
    {"recipes", "recipe", NULL},
    {"planned batches", "planned", NULL},
    {"plans of outings", "outing_version", NULL},
    {"almanacs", "almanac", NULL},
    {"weather stations", "station", NULL},
    {"entries of what is poured", "liquid", NULL},
    {"corrections", "amendment", NULL},
    {"strikes", "strike", NULL},
    {"answers", "answer", NULL},
};

static gint64 last_of(struct spl_book *book, const char *table, GError **error)
{
    g_autofree char *sql = g_strdup_printf("SELECT coalesce(max(id), 0) FROM \"%s\"", table);

    return spl_book_number(book, 0, error, sql, SPL_NONE);
}

GArray *spl_news_came(struct spl_book *before, struct spl_book *now, GError **error)
{
    g_autoptr(GArray) came = g_array_new(FALSE, FALSE, sizeof(struct spl_news_rows));
    GError *failed = NULL;

    for (gsize i = 0; failed == NULL && i < G_N_ELEMENTS(counted); i++) {
        const struct counted *one = &counted[i];
        g_autofree char *sql =
            g_strdup_printf("SELECT count(*) FROM \"%s\" WHERE id > ?1 AND (?2 IS NULL OR %s = ?2)",
                            one->table, one->kind != NULL ? "kind" : "?2");
        const gint64 last = last_of(before, one->table, &failed);
        struct spl_news_rows rows = {.what = one->what};

        if (failed == NULL)
            rows.rows = spl_book_number(now, 0, &failed, sql, SPL_WITH(last, one->kind));
        if (failed == NULL && rows.rows > 0)
            g_array_append_val(came, rows);
    }
    return pass_on(failed, error) ? g_steal_pointer(&came) : NULL;
}

gboolean spl_news_last(struct spl_book *book, gint64 *thing, gint64 *site, GError **error)
{
    GError *failed = NULL;
    gint64 last_thing = last_of(book, "thing", &failed);
    gint64 last_site = failed == NULL ? last_of(book, "site", &failed) : 0;

    if (!pass_on(failed, error))
        return FALSE;
    *thing = last_thing;
    *site = last_site;
    return TRUE;
}

gboolean spl_news_has_revision(struct spl_book *book, const char *uuid, gboolean *has,
                               GError **error)
{
    GError *failed = NULL;

    *has = spl_book_number(book, 0, &failed,
                           "SELECT EXISTS (SELECT 1 FROM strike WHERE uuid = ?1)"
                           " OR EXISTS (SELECT 1 FROM amendment WHERE uuid = ?1)",
                           SPL_WITH(uuid)) != 0;
    return pass_on(failed, error);
}

/* ---- what reads otherwise ---- */

static void clear_revised(gpointer data)
{
    struct spl_news_revised *one = data;

    g_free(one->about);
    g_free(one->note);
    g_free(one->field);
    g_free(one->before);
    g_free(one->after);
    g_free(one->mark);
    g_free(one->why);
}

struct revised {
    struct spl_book *before, *now;
    GArray *list;
    gint64 last_thing, last_site;
};

/* Takes the record in when it was there before. */
static gboolean add_revised(struct revised *revised, const char *subject,
                            struct spl_news_revised *one, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        revised->now, error,
        "SELECT t.id, 0, t.kind, t.mark, t.year, t.number, NULL, n.kind FROM thing t"
        " LEFT JOIN spray_note n ON n.id = t.id WHERE t.uuid = ?1"
        " UNION ALL SELECT 0, s.id, NULL, NULL, NULL, NULL, s.name, NULL FROM site s"
        " WHERE s.uuid = ?1",
        SPL_WITH(subject));
    struct spl_coded coded = {0};
    const char *site, *note;
    GError *failed = NULL;
    gint64 place;

    if (row != NULL &&
        spl_statement_next(row, &failed, SPL_INTO(&one->thing, &place, &coded, &site, &note)) &&
        one->thing <= revised->last_thing && place <= revised->last_site) {
        one->about = coded.kind != 0 ? spl_coded_format(revised->now, &coded) : g_strdup(site);
        one->note = g_strdup(note);
        g_array_append_val(revised->list, *one);
    } else {
        clear_revised(one);
    }
    return row != NULL && pass_on(failed, error);
}

/* Strikes that stand in the one book and not in the other. */
static gboolean look_at_strikes(struct revised *revised, gboolean gone, GError **error)
{
    struct spl_book *there = gone ? revised->before : revised->now;
    struct spl_book *missing = gone ? revised->now : revised->before;
    g_autoptr(spl_statement) rows = spl_statement_open(
        there, error, "SELECT subject, mark, why FROM live ORDER BY at, uuid", SPL_NONE);
    const char *subject, *mark, *why;
    GError *failed = NULL;

    while (rows != NULL && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&subject, &mark, &why))) {
        struct spl_news_revised one = {.mark = g_strdup(mark), .why = g_strdup(why)};
        const gint64 stands = spl_book_number(
            missing, 0, &failed, "SELECT count(*) FROM live WHERE subject = ?", SPL_WITH(subject));

        if (gone)
            one.before = g_strdup("struck");
        else
            one.after = g_strdup("struck");
        if (failed != NULL || stands > 0)
            clear_revised(&one);
        else
            (void)add_revised(revised, subject, &one, &failed);
    }
    return rows != NULL && pass_on(failed, error);
}

#define VALUE_IN_WORDS                                                                             \
    "CASE WHEN field IN ('day', 'since', 'until', 'use_by', 'contaminated_on') OR field LIKE"      \
    " 'due:%' THEN date(value * 86400, 'unixepoch') WHEN typeof(value) = 'blob' THEN"              \
    " 'another outline' ELSE CAST(value AS TEXT) END"

/* The value of the other book; NULL: none was put there. */
static char *value_in(struct spl_book *book, const char *subject, const char *field, GError **error)
{
    g_autoptr(spl_statement) row = spl_statement_open(
        book, error, "SELECT " VALUE_IN_WORDS " FROM amended WHERE subject = ? AND field = ?",
        SPL_WITH(subject, field));
    char *value = NULL;

    if (row != NULL)
        (void)spl_statement_next(row, error, SPL_INTO(&value));
    return value;
}

static gboolean add_correction(struct revised *revised, const char *subject, const char *field,
                               const char *value, const char *before, GError **error)
{
    struct spl_news_revised one = {
        .field = g_strdup(field), .before = g_strdup(before), .after = g_strdup(value)};
    g_autoptr(spl_statement) row =
        spl_statement_open(revised->now, error,
                           "SELECT mark, why FROM amendment_now WHERE subject = ? AND field = ?"
                           " ORDER BY at DESC, uuid DESC LIMIT 1",
                           SPL_WITH(subject, field));
    GError *failed = NULL;

    if (row != NULL)
        (void)spl_statement_next(row, &failed, SPL_INTO(&one.mark, &one.why));
    if (row == NULL || failed != NULL) {
        clear_revised(&one);
        return row != NULL && pass_on(failed, error);
    }
    return add_revised(revised, subject, &one, error);
}

static gboolean look_at_corrections(struct revised *revised, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        revised->now, error,
        "SELECT subject, field, " VALUE_IN_WORDS " FROM amended ORDER BY subject, field", SPL_NONE);
    const char *subject, *field, *value;
    GError *failed = NULL;

    while (rows != NULL && failed == NULL &&
           spl_statement_next(rows, &failed, SPL_INTO(&subject, &field, &value))) {
        g_autofree char *before = value_in(revised->before, subject, field, &failed);

        if (failed == NULL && g_strcmp0(before, value) != 0)
            (void)add_correction(revised, subject, field, value, before, &failed);
    }
    return rows != NULL && pass_on(failed, error);
}

GArray *spl_news_revised(struct spl_book *before, struct spl_book *now, GError **error)
{
    g_autoptr(GArray) list = g_array_new(FALSE, TRUE, sizeof(struct spl_news_revised));
    struct revised revised = {.before = before, .now = now, .list = list};

    g_array_set_clear_func(list, clear_revised);
    if (!spl_news_last(before, &revised.last_thing, &revised.last_site, error) ||
        !look_at_strikes(&revised, FALSE, error) || !look_at_strikes(&revised, TRUE, error) ||
        !look_at_corrections(&revised, error))
        return NULL;
    return g_steal_pointer(&list);
}

/* SPDX-License-Identifier: MIT
 *
 * Codes and the things behind them. See book/code.h.
 */
#include "book/code.h"

#include <string.h>

#include "base/text.h"
#include "book/setting.h"
#include "book/statement.h"
#include "simpling/error.h"

void spl_thing_clear(struct spl_thing *thing)
{
    g_free(thing->uuid);
    g_free(thing->code);
    *thing = (struct spl_thing){0};
}

struct parsed {
    char kind;
    char *mark; /* NULL: none given */
    int year;   /* two digits */
    int number;
};

/* [MARK:]Kyy-n… ; FALSE if not so shaped. `mark` is to be freed. */
static gboolean parse(const char *text, struct parsed *parsed)
{
    const char *colon = strrchr(text, ':');
    const char *p = colon != NULL ? colon + 1 : text;
    int digits = 0;

    *parsed = (struct parsed){.kind = g_ascii_toupper(*p)};
    if (*p == '\0' || strchr("HPDBLNU", parsed->kind) == NULL || colon == text)
        return FALSE;
    p++;
    if (!g_ascii_isdigit(p[0]) || !g_ascii_isdigit(p[1]) || p[2] != '-')
        return FALSE;
    parsed->year = (p[0] - '0') * 10 + (p[1] - '0');
    for (p += 3; g_ascii_isdigit(*p); p++, digits++)
        parsed->number = parsed->number * 10 + (*p - '0');
    if (*p != '\0' || digits == 0 || digits > 8)
        return FALSE;
    if (colon != NULL)
        parsed->mark = g_ascii_strup(text, (gssize)(colon - text));
    return TRUE;
}

gboolean spl_code_is_shaped(const char *text)
{
    struct parsed parsed;

    if (strlen(text) > 100 || !parse(text, &parsed))
        return FALSE;
    g_free(parsed.mark);
    return TRUE;
}

char *spl_code_format(struct spl_book *book, char kind, const char *mark, int year, int number)
{
    const char *own = spl_setting_mark(book);

    if (g_strcmp0(own, mark) == 0)
        return g_strdup_printf("%c%02d-%03d", kind, year % 100, number);
    return g_strdup_printf("%s:%c%02d-%03d", mark, kind, year % 100, number);
}

char *spl_coded_format(struct spl_book *book, const struct spl_coded *coded)
{
    return coded->kind != '\0'
               ? spl_code_format(book, coded->kind, coded->mark, coded->year, coded->number)
               : NULL;
}

static void set_not_found(struct spl_book *book, const char *text, const char *what,
                          const char *kinds, GError **error)
{
    g_autoptr(GPtrArray) codes = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(spl_statement) rows =
        spl_statement_open(book, NULL,
                           "SELECT kind, mark, year, number FROM thing WHERE instr(?, kind) > 0"
                           " ORDER BY id DESC LIMIT 200",
                           SPL_WITH(kinds));
    g_autofree char *offer = NULL;
    struct spl_coded coded;

    while (rows != NULL && spl_statement_next(rows, NULL, SPL_INTO(&coded)))
        g_ptr_array_add(codes, spl_coded_format(book, &coded));
    offer = spl_names_offer(text, codes);
    g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND, "%s: there is no such code for %s%s", text,
                what, offer);
}

gboolean spl_code_find(struct spl_book *book, const char *text, const char *kinds, const char *what,
                       struct spl_thing *thing, GError **error)
{
    g_autoptr(spl_statement) row = NULL;
    g_autofree char *shown = spl_text_scrub(text, FALSE);
    g_autofree char *mark = NULL;
    struct parsed parsed;
    GError *failed = NULL;
    char letter[2] = "", *uuid;
    gint64 id;
    int year, number;

    if (strlen(text) > 100 || !parse(text, &parsed)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%.60s: is not a code of %s; codes look like %c27-001", shown, what, *kinds);
        return FALSE;
    }
    letter[0] = parsed.kind;
    mark = parsed.mark != NULL ? parsed.mark : g_strdup(spl_setting_mark(book));
    if (strchr(kinds, parsed.kind) == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: is not the code of %s; those begin with %s", shown, what, kinds);
        return FALSE;
    }
    /* Two digits stand for the year in which such a code was given: the century does not matter
     * for a number that is never used again. One look-up a century, ours first. */
    row =
        spl_statement_open(book, error,
                           "WITH RECURSIVE century (n) AS (SELECT 2000 UNION ALL SELECT CASE"
                           " WHEN n >= 2000 AND n < 9900 THEN n + 100 WHEN n = 9900 THEN 1900"
                           " ELSE n - 100 END FROM century WHERE n > 0)"
                           " SELECT t.id, t.uuid, t.year, t.number FROM century CROSS JOIN thing t"
                           " ON t.kind = ? AND t.mark = ? AND t.year = century.n + ?"
                           " AND t.number = ? LIMIT 1",
                           SPL_WITH(letter, mark, parsed.year, parsed.number));
    if (row == NULL)
        return FALSE;
    if (!spl_statement_next(row, &failed, SPL_INTO(&id, &uuid, &year, &number))) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        else
            set_not_found(book, shown, what, kinds, error);
        return FALSE;
    }
    *thing = (struct spl_thing){
        .id = id,
        .kind = parsed.kind,
        .uuid = uuid,
        .code = spl_code_format(book, parsed.kind, mark, year, number),
    };
    return TRUE;
}

gboolean spl_thing_add(struct spl_book *book, char kind, struct spl_day day,
                       struct spl_thing *thing, GError **error)
{
    const char *mark = spl_setting_mark(book);
    const char letter[] = {kind, '\0'};
    struct spl_thing own;
    GError *failed = NULL;
    gint64 number, at;
    int year;

    spl_day_to_ymd(day, &year, NULL, NULL);
    number = spl_book_number(book, 0, &failed,
                             "SELECT max(number) FROM thing WHERE kind = ? AND mark = ? AND"
                             " year = ?",
                             SPL_WITH(letter, mark, year)) +
             1;
    at = failed == NULL ? spl_book_stamp(book, &failed) : 0;
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    own = (struct spl_thing){
        .kind = kind,
        .uuid = spl_book_uuid(book),
        .code = spl_code_format(book, kind, mark, year, (int)number),
    };
    if (!spl_book_execute(book, error,
                          "INSERT INTO thing (uuid, kind, mark, year, number, at)"
                          " VALUES (?, ?, ?, ?, ?, ?)",
                          SPL_WITH(own.uuid, letter, mark, year, number, at))) {
        spl_thing_clear(&own);
        return FALSE;
    }
    own.id = spl_book_last_id(book);
    *thing = own;
    return TRUE;
}

gboolean spl_thing_struck(struct spl_book *book, const struct spl_thing *thing, char **why,
                          GError **error)
{
    GError *failed = NULL;
    g_autoptr(spl_statement) row = spl_statement_open(
        book, &failed, "SELECT why FROM live WHERE subject = ? ORDER BY at, uuid LIMIT 1",
        SPL_WITH(thing->uuid));

    char *struck = NULL;

    if (row != NULL)
        (void)spl_statement_next(row, &failed, SPL_INTO(&struck));
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return FALSE;
    }
    *why = struck;
    return TRUE;
}

gboolean spl_thing_stands(struct spl_book *book, const struct spl_thing *thing, GError **error)
{
    g_autofree char *why = NULL;

    if (!spl_thing_struck(book, thing, &why, error))
        return FALSE;
    if (why != NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is struck (%s)", thing->code, why);
    return why == NULL;
}

gint64 spl_thing_takers(struct spl_book *book, gint64 id, GError **error)
{
    return spl_book_number(book, 0, error, "SELECT count(*) FROM draw_now WHERE source_id = ?",
                           SPL_WITH(id));
}

/* SPDX-License-Identifier: MIT
 *
 * Opening the house, and what a person may say and ask of the book itself. See simpling/house.h.
 */
#include "simpling/house.h"

#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "book/check.h"
#include "book/over.h"
#include "book/photo.h"
#include "book/restore.h"
#include "book/setting.h"
#include "book/trust.h"
#include "exchange/table_files.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/judged.h"
#include "season/tables_kept.h"
#include "simpling/customs.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/row.h"

static gboolean refresh_judged(gpointer house, GError **error)
{
    return spl_judged_refresh(house, error) &&
           spl_over_settle(((struct spl_house *)house)->book, error);
}

/* Those of the book; without one, or where it is not said, metric. */
static void take_customs(struct spl_house *house)
{
    g_autofree char *units = spl_house_setting_text(house, "units");
    g_autofree char *country = spl_house_setting_text(house, "country");
    int said = spl_word_value(spl_units_names, units);
    enum spl_units own = said < 0 ? SPL_UNITS_METRIC : (enum spl_units)said;

    spl_customs_set(&(struct spl_customs){
        .read = own, .print = own, .slash = spl_customs_slash(country), .today = house->today});
}

struct spl_house *spl_house_open(const struct spl_house_options *options,
                                 enum spl_house_access access, GError **error)
{
    g_autoptr(spl_house) house = g_new0(struct spl_house, 1);

    house->data = g_strdup(options->data);
    house->own_data = g_strdup(options->own_data);
    house->calendars = g_strdup(options->calendars);
    house->helpers = g_strdup(options->helpers);
    house->today = options->today;
    house->progress = (struct spl_progress){options->tell, options->tell_data};
    if (access != SPL_HOUSE_TABLES) {
        const enum spl_book_mode reading = options->as_it_is ? SPL_BOOK_EXAMINE : SPL_BOOK_READ;
        const enum spl_book_mode writing = options->as_it_is ? SPL_BOOK_MEND : SPL_BOOK_WRITE;

        house->book =
            spl_book_open(options->book, access == SPL_HOUSE_READ ? reading : writing, error);
        if (house->book == NULL) {
            if (error != NULL && g_error_matches(*error, SPL_ERROR, SPL_ERROR_NOT_FOUND))
                spl_error_explain(error, NULL,
                                  spl_next_new(SPL_ACTION_BOOK_MAKE, "mark", NULL, NULL), NULL);
            return NULL;
        }
        spl_book_set_now(house->book, options->now_us);
        if (access == SPL_HOUSE_WRITE && !options->as_it_is)
            spl_book_on_commit(house->book, refresh_judged, house);
    }
    take_customs(house);
    return g_steal_pointer(&house);
}

void spl_house_close(struct spl_house *house)
{
    if (house == NULL)
        return;
    spl_ground_map_forget(house);
    spl_book_close(house->book);
    spl_kept_tables_give(house->tables);
    spl_tables_free(house->methods);
    g_free(house->data);
    g_free(house->own_data);
    g_free(house->calendars);
    g_free(house->helpers);
    g_free(house);
}

struct spl_day spl_house_today(const struct spl_house *house)
{
    return house->today;
}

const struct spl_tables *spl_house_tables(struct spl_house *house, GError **error)
{
    if (house->tables == NULL)
        house->tables = spl_kept_tables_take(house->data, house->own_data, error);
    return house->tables;
}

GPtrArray *spl_house_left_out(struct spl_house *house)
{
    const struct spl_tables *tables = house->tables != NULL ? house->tables : house->methods;

    return tables != NULL ? spl_tables_left_out(tables) : NULL;
}

const struct spl_tables *spl_house_methods(struct spl_house *house, GError **error)
{
    if (house->tables != NULL || spl_kept_tables_on())
        return spl_house_tables(house, error);
    if (house->methods == NULL)
        house->methods = spl_tables_load_methods(house->data, house->own_data, error);
    return house->methods;
}

#define AGES_AGO_DAYS (90 * 365)

gboolean spl_house_past(const struct spl_house *house, struct spl_day day, const char *what,
                        GError **error)
{
    char text[SPL_DAY_TEXT_SIZE], today[SPL_DAY_TEXT_SIZE];

    /* Two digits of the year stand in a code, so that those of a century ago would look like those
     * of today: a day so long past is a slip of the pen. */
    if (spl_day_compare(day, house->today) <= 0 && day.n < house->today.n - AGES_AGO_DAYS) {
        struct spl_day meant = day;
        int year, month, of_month, this_year;

        spl_day_to_ymd(day, &year, &month, &of_month);
        spl_day_to_ymd(house->today, &this_year, NULL, NULL);
        for (int y = this_year; y >= this_year - 1; y--) {
            meant = spl_day_from_ymd(y, month, MIN(of_month, 28));
            if (spl_day_compare(meant, house->today) <= 0)
                break;
        }
        meant = spl_day_add(meant, of_month - MIN(of_month, 28));
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: %s lies %d years back; write the year in full, as %s (older than 90 "
                    "years is not taken)",
                    what, spl_day_format(day, text), this_year - year,
                    spl_day_format(meant, today));
        return FALSE;
    }
    if (spl_day_compare(day, house->today) <= 0)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "%s: %s lies after today (%s); give the day on which it happened", what,
                spl_day_format(day, text), spl_day_format(house->today, today));
    spl_error_about(error, what);
    return FALSE;
}

gboolean spl_house_site(struct spl_house *house, const char *key, const char *name,
                        struct spl_site *site, GError **error)
{
    if (spl_site_find(house->book, name, site, error))
        return TRUE;
    spl_error_about(error, key);
    return FALSE;
}

/* The book ------------------------------------------------------------------------------------- */

static const struct spl_field info_fields[] = {
    SPL_FIELD(spl_book_info, path, SPL_TEXT, "path", "book"),
    SPL_FIELD(spl_book_info, schema, SPL_INT, "schema", "schema"),
    SPL_FIELD(spl_book_info, mark, SPL_TEXT, "mark", "mark"),
    SPL_FIELD(spl_book_info, sites, SPL_INT, "sites", "sites"),
    SPL_FIELD(spl_book_info, harvests, SPL_INT, "harvests", "harvests"),
    SPL_FIELD(spl_book_info, batches, SPL_INT, "batches", "batches"),
    SPL_FIELD(spl_book_info, lots, SPL_INT, "lots", "lots"),
    SPL_FIELD_LIST(spl_book_info, trusts, &spl_trust_shape, "trusts", "trusts"),
    SPL_FIELD_LIST(spl_book_info, settings, &spl_setting_line_shape, "settings", "settings"),
};
const struct spl_shape spl_book_info_shape = SPL_SHAPE("book", spl_book_info, info_fields);

static gboolean describe(struct spl_book *book, struct spl_book_info *info, GError **error)
{
    struct spl_book_counts counts;

    GArray *trusts;

    if (!spl_book_count(book, &counts, error) || (trusts = spl_trust_list(book, error)) == NULL)
        return FALSE;
    *info = (struct spl_book_info){
        .path = g_strdup(spl_book_path(book)),
        .schema = spl_book_schema_found(book),
        .mark = g_strdup(spl_setting_mark(book)),
        .sites = (int)counts.sites,
        .harvests = (int)counts.harvests,
        .batches = (int)counts.batches,
        .lots = (int)counts.lots,
        .trusts = trusts,
        .settings = spl_setting_lines(book),
    };
    return TRUE;
}

gboolean spl_book_describe(struct spl_house *house, struct spl_book_info *info, GError **error)
{
    return describe(house->book, info, error);
}

struct beginning {
    const char *mark;
    struct spl_book_info *info; /* NULL: nobody asks */
};

/* What a new book begins with. Its description is read before the commit, after which nothing may
 * fail any more. */
static gboolean begin_book(struct spl_book *book, gpointer data, GError **error)
{
    const struct beginning *beginning = data;
    g_autofree char *uuid = spl_uuid_new();

    return spl_setting_set(book, "mark", beginning->mark, error) &&
           spl_setting_set(book, "uuid", uuid, error) &&
           (beginning->info == NULL || describe(book, beginning->info, error));
}

static const struct spl_input book_rows[] = {
    SPL_INPUT(spl_book_words, mark, NAME, "mark",
              "2 to 8 letters for this book, before the codes that others see: ANN",
              .value = "MARK", .needed = 1),
};

gboolean spl_mark_check(const char *mark, GError **error)
{
    gsize length = strlen(mark);
    gboolean ok = length >= 2 && length <= 8;

    for (gsize i = 0; ok && i < length; i++)
        ok = g_ascii_isalpha(mark[i]) || (i > 0 && g_ascii_isdigit(mark[i]));
    if (!ok)
        spl_error_set_input(error, SPL_ERROR_INVALID, "mark",
                            "'%.20s' is not a mark; take 2 to 8 letters, your initials for example",
                            mark);
    return ok;
}

static gboolean check_book(const void *record, GError **error)
{
    return spl_mark_check(((const struct spl_book_words *)record)->mark, error);
}
const struct spl_inputs spl_book_inputs =
    SPL_INPUTS("book", spl_book_words, book_rows, .check = check_book);

gboolean spl_book_make(const struct spl_house_options *options, const char *mark,
                       struct spl_book_info *info, GError **error)
{
    struct spl_book_words said = {mark}, words;
    struct spl_book_info made = {.path = NULL};
    g_autoptr(spl_book) book = NULL;

    if (!spl_inputs_copy(&spl_book_inputs, &said, &words, error))
        return FALSE;
    if (spl_inputs_check(&spl_book_inputs, &words, error)) {
        g_autofree char *upper = g_ascii_strup(words.mark, -1);
        struct beginning beginning = {upper, info != NULL ? &made : NULL};

        book = spl_book_open_new(options->book, begin_book, &beginning, error);
    }
    spl_inputs_clear(&spl_book_inputs, &words);
    if (book != NULL && info != NULL)
        *info = made;
    else
        spl_record_clear(&spl_book_info_shape, &made);
    return book != NULL;
}

static const struct spl_input copy_rows[] = {
    SPL_INPUT(spl_book_place, path, FILE, "file", "the copy", .needed = 1),
};
const struct spl_inputs spl_book_copy_inputs = SPL_INPUTS("book_copy", spl_book_place, copy_rows);

gboolean spl_book_copy(struct spl_house *house, const char *path, GError **error)
{
    struct spl_book_place said = {path};
    gint64 copied;

    /* What is missing here is missing there too, and both say so when they are checked. */
    return spl_entry_check(house, &spl_book_copy_inputs, &said, error) &&
           spl_book_backup(house->book, path, error) &&
           spl_photo_copy_all(house->book, spl_book_path(house->book), path, &copied, error);
}

gboolean spl_book_is_before_upgrade(const struct spl_house_options *where)
{
    return where->book != NULL && spl_book_is_older(where->book);
}

static const struct spl_field restored_fields[] = {
    SPL_FIELD(spl_book_restored, path, SPL_TEXT, "path", "book"),
    SPL_FIELD(spl_book_restored, from, SPL_TEXT, "from", "is again"),
    SPL_FIELD(spl_book_restored, aside, SPL_TEXT, "aside", "what it was"),
};
const struct spl_shape spl_book_restored_shape =
    SPL_SHAPE("restored", spl_book_restored, restored_fields);

gboolean spl_book_go_back(const struct spl_house_options *where, struct spl_book_restored *restored,
                          GError **error)
{
    char *from, *aside;

    if (!spl_book_restore(where->book, &from, &aside, error))
        return FALSE;
    *restored = (struct spl_book_restored){g_strdup(where->book), from, aside};
    return TRUE;
}

GPtrArray *spl_book_examine(struct spl_house *house, GError **error)
{
    GPtrArray *findings = spl_book_check(house->book, error);
    guint missing = 0, surplus = 0;

    /* What is derived is held against what it is derived from, where that is right. */
    if (findings == NULL || findings->len > 0)
        return findings;
    if (!spl_judged_compare(house, &missing, &surplus, error)) {
        g_ptr_array_unref(findings);
        return NULL;
    }
    if (missing > 0)
        g_ptr_array_add(findings,
                        g_strdup_printf("judged ground: %u harvests are taken for free that are "
                                        "not; it is mended when the book is repaired",
                                        missing));
    if (surplus > 0)
        g_ptr_array_add(findings,
                        g_strdup_printf("judged ground: %u harvests are looked at that are free; "
                                        "it is mended when the book is repaired",
                                        surplus));
    return findings;
}

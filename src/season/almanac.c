/* SPDX-License-Identifier: MIT
 *
 * Adding and listing almanacs. See simpling/almanac.h.
 */
#include "simpling/almanac.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "book/almanac.h"
#include "exchange/almanac.h"
#include "season/almanac_rows.h"
#include "season/house_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"

/* The space of UIDs for events that have none of their own: a UUID made for this purpose. */
#define UID_SPACE "6b2d9d1c-0d0f-4f3c-9a53-2f1f4a1f6c07"

static const struct spl_field added_fields[] = {
    SPL_FIELD(spl_almanac_added, almanac, SPL_TEXT, "almanac", "almanac"),
    SPL_FIELD(spl_almanac_added, events, SPL_INT, "events", "events in the file"),
    SPL_FIELD(spl_almanac_added, rows, SPL_INT, "rows", "understood"),
    SPL_FIELD(spl_almanac_added, fresh, SPL_INT, "fresh", "new"),
    SPL_FIELD(spl_almanac_added, changed, SPL_INT, "changed", "changed"),
    SPL_FIELD(spl_almanac_added, truncated, SPL_BOOL, "truncated", "file cut short"),
    SPL_FIELD(spl_almanac_added, place, SPL_TEXT, "place", "days of"),
    SPL_FIELD(spl_almanac_added, replaces, SPL_TEXTS, "replaces", "replaces"),
    SPL_FIELD(spl_almanac_added, cautions, SPL_TEXTS, "cautions", "cautions"),
    SPL_FIELD_LIST(spl_almanac_added, not_understood, &spl_ical_left_shape, "not_understood",
                   "not understood"),
    SPL_FIELD(spl_almanac_added, dry_run, SPL_BOOL, "dry_run", "looked at only"),
};
const struct spl_shape spl_almanac_added_shape =
    SPL_SHAPE("almanac_added", spl_almanac_added, added_fields);

static const struct spl_input almanac_rows[] = {
    SPL_INPUT(spl_almanac_words, path, FILE, "file", "the calendar", .value = "FILE.ics",
              .needed = 1),
    SPL_INPUT(spl_almanac_words, at, COORDINATES, "at",
              "where its days are from (default your home)"),
    SPL_INPUT(spl_almanac_words, elevation_m, LENGTH, "elevation", "how high that is, in metres",
              .bare = 1, .min = -500, .max = 9000),
    SPL_INPUT(spl_almanac_words, dry_run, FLAG, "dry_run", "show what is in it and write nothing"),
};
const struct spl_inputs spl_almanac_inputs = SPL_INPUTS("almanac", spl_almanac_words, almanac_rows);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_almanac_question, almanac, NAME, "almanac", "of one almanac"),
};
const struct spl_inputs spl_almanac_question_inputs =
    SPL_INPUTS("almanac_question", spl_almanac_question, question_rows);

/* Where rows without a place of their own are from: what was said, else the home; NAN: nobody
 * knows. In words too; NULL then. Free with g_free. */
static char *reference_place(struct spl_house *house, const struct spl_almanac_words *words,
                             double *lat, double *lon)
{
    g_autofree char *north = NULL, *east = NULL;
    gboolean said = !isnan(words->at.lat);

    *lat = words->at.lat;
    *lon = words->at.lon;
    if (!said && !spl_house_setting_place(house, lat, lon))
        *lat = *lon = NAN;
    if (isnan(*lat))
        return NULL;
    north = spl_number_format(*lat, 4);
    east = spl_number_format(*lon, 4);
    return g_strdup_printf("%s,%s%s", north, east, said ? "" : " (your home)");
}

/* Says which windows of the program's almanac the rows stand for from now on. */
static gboolean say_replaced(struct spl_house *house, const GArray *rows, double lat, double lon,
                             struct spl_almanac_added *added, GError **error)
{
    const struct spl_reach_place here = {lat, lon, NULL};
    g_autoptr(spl_almanac_shelf) shelf = NULL;
    g_autoptr(GPtrArray) old = NULL;

    if (isnan(lat))
        return TRUE;
    shelf = spl_almanac_shelf_load(house, error);
    if (shelf == NULL)
        return FALSE;
    old = spl_almanac_shelf_replaced(shelf, &here, rows, error);
    if (old == NULL)
        return FALSE;
    for (guint i = 0; i < rows->len; i++) {
        const struct spl_almanac_row *row = &g_array_index(rows, struct spl_almanac_row, i);
        const struct spl_almanac_row *instead = g_ptr_array_index(old, i);
        g_autofree char *from = NULL, *to = NULL;

        if (instead == NULL) {
            g_ptr_array_add(added->replaces, g_strdup_printf("%s for %s: nothing, it stands beside",
                                                             row->material, row->use));
            continue;
        }
        from = spl_day_words(instead->start);
        to = spl_day_words(instead->end);
        g_ptr_array_add(added->replaces,
                        g_strdup_printf("%s for %s: %.*s to %.*s of '%s'", row->material, row->use,
                                        (int)(strlen(from) - 5), from, (int)(strlen(to) - 5), to,
                                        instead->almanac));
    }
    return TRUE;
}

/* Rows without a place get this one, rows without a UID one of their own. TRUE: some got a place.
 */
static gboolean complete_rows(const char *name, GArray *rows, double lat, double lon,
                              double elevation_m)
{
    gboolean placed = FALSE;

    for (guint i = 0; i < rows->len; i++) {
        struct spl_almanac_row *row = &g_array_index(rows, struct spl_almanac_row, i);

        if (!spl_almanac_row_has_place(row) && !isnan(lat)) {
            row->lat = lat;
            row->lon = lon;
            row->elevation_m = isnan(row->elevation_m) ? elevation_m : row->elevation_m;
            placed = TRUE;
        }
        if (row->uid == NULL || *row->uid == '\0') {
            g_autofree char *key =
                g_strdup_printf("%s|%s|%s|%d", name, row->material, row->use, row->flush);

            g_free(row->uid);
            row->uid = spl_uuid_v5(UID_SPACE, key);
        }
    }
    return placed;
}

/* Whole or not at all; of a dry run nothing stays. */
static gboolean put_rows(struct spl_house *house, const struct spl_almanac_read *read,
                         struct spl_almanac_added *added, GError **error)
{
    gboolean ok;

    if (!spl_book_begin(house->book, error))
        return FALSE;
    ok =
        spl_almanac_put(house->book, read->name, read->rows, &added->fresh, &added->changed, error);
    if (ok && added->dry_run) {
        spl_book_rollback(house->book);
        return TRUE;
    }
    return spl_book_finish(house->book, ok, error);
}

static gboolean add_rows(struct spl_house *house, const struct spl_almanac_words *words,
                         struct spl_almanac_read *read, struct spl_almanac_added *added,
                         GError **error)
{
    double lat, lon;
    g_autofree char *place = reference_place(house, words, &lat, &lon);

    if (read->rows->len == 0) {
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "file",
                            "%s: none of its %d events is titled like a known material; title them "
                            "like 'Nettle leaf'",
                            words->path, read->events);
        return FALSE;
    }
    if (complete_rows(read->name, read->rows, lat, lon, words->elevation_m))
        added->place = g_steal_pointer(&place);
    if (!say_replaced(house, read->rows, lat, lon, added, error) ||
        !put_rows(house, read, added, error))
        return FALSE;
    added->almanac = g_strdup(read->name);
    added->events = read->events;
    added->rows = (int)read->rows->len;
    added->truncated = read->truncated;
    added->not_understood = g_steal_pointer(&read->not_understood);
    if (isnan(lat))
        g_ptr_array_add(added->cautions,
                        g_strdup("nobody knows where its days are from, so they are not moved to "
                                 "your places; say it, or set your home and add it again"));
    return TRUE;
}

gboolean spl_almanac_add(struct spl_house *house, const struct spl_almanac_words *said,
                         struct spl_almanac_added *added, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    struct spl_almanac_added made = {.almanac = NULL};
    struct spl_almanac_words words;
    struct spl_almanac_read read;
    gboolean ok;

    if (tables == NULL || !spl_entry_take(house, &spl_almanac_inputs, said, &words, error))
        return FALSE;
    ok = spl_almanac_read_file(words.path, tables, &read, error);
    if (ok) {
        made.dry_run = words.dry_run;
        made.replaces = g_ptr_array_new_with_free_func(g_free);
        made.cautions = g_ptr_array_new_with_free_func(g_free);
        ok = add_rows(house, &words, &read, &made, error);
        spl_record_clear(&spl_almanac_read_shape, &read);
    }
    spl_inputs_clear(&spl_almanac_inputs, &words);
    if (ok)
        *added = made;
    else
        spl_record_clear(&spl_almanac_added_shape, &made);
    return ok;
}

static GArray *list_rows(struct spl_house *house, const char *almanac, GError **error)
{
    g_autoptr(spl_almanac_shelf) shelf = spl_almanac_shelf_load(house, error);
    g_autoptr(GPtrArray) names = g_ptr_array_new();
    g_autofree char *wanted = almanac == NULL ? NULL : spl_name_key(almanac);
    GArray *list;

    if (shelf == NULL || !spl_almanac_shelf_read_all(shelf, error))
        return NULL;
    list = spl_list_new(&spl_almanac_row_shape);
    for (guint i = 0; i < spl_almanac_shelf_size(shelf); i++) {
        const GArray *rows = spl_almanac_shelf_rows(shelf, i);
        char *name = g_array_index(rows, struct spl_almanac_row, 0).almanac;
        g_autofree char *key = spl_name_key(name);

        g_ptr_array_add(names, name);
        if (wanted != NULL && strstr(key, wanted) == NULL)
            continue;
        for (guint r = 0; r < rows->len; r++) {
            g_array_set_size(list, list->len + 1);
            spl_record_copy(&spl_almanac_row_shape, &g_array_index(rows, struct spl_almanac_row, r),
                            &g_array_index(list, struct spl_almanac_row, list->len - 1));
        }
    }
    if (wanted != NULL && list->len == 0) {
        g_autofree char *all = NULL;

        g_ptr_array_add(names, NULL);
        all = g_strjoinv("', '", (char **)names->pdata);
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "almanac",
                            "there is no almanac '%s'; there are '%s'", almanac, all);
        spl_list_free(&spl_almanac_row_shape, list);
        return NULL;
    }
    return list;
}

GArray *spl_almanac_list(struct spl_house *house, const struct spl_almanac_question *said,
                         GError **error)
{
    struct spl_almanac_question question;
    GArray *list;

    if (!spl_entry_take(house, &spl_almanac_question_inputs, said, &question, error))
        return NULL;
    list = list_rows(house, question.almanac, error);
    spl_inputs_clear(&spl_almanac_question_inputs, &question);
    return list;
}

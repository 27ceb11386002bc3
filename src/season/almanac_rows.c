/* SPDX-License-Identifier: MIT
 *
 * Almanacs for a place. See season/almanac_rows.h.
 */
#include "season/almanac_rows.h"

#include <math.h>
#include <string.h>

#include "book/almanac.h"
#include "core/geodesic.h"
#include "exchange/almanac.h"

struct calendar {
    gboolean own;
    GArray *rows;    /* of struct spl_almanac_row */
    double lat, lon; /* of its first row that has a place; NAN */
};

struct spl_almanac_shelf {
    GPtrArray *calendars; /* of struct calendar */
    GPtrArray *choices;   /* per calendar: GPtrArray of rows when it is the nearest; or NULL */
};

static void calendar_free(gpointer data)
{
    struct calendar *calendar = data;

    spl_list_free(&spl_almanac_row_shape, calendar->rows);
    g_free(calendar);
}

static void choice_free(gpointer data)
{
    if (data != NULL)
        g_ptr_array_unref(data);
}

static void add_calendar(struct spl_almanac_shelf *shelf, GArray *rows, gboolean own)
{
    struct calendar *calendar = g_new0(struct calendar, 1);

    calendar->own = own;
    calendar->rows = rows;
    calendar->lat = calendar->lon = NAN;
    for (guint i = 0; i < rows->len && isnan(calendar->lat); i++) {
        const struct spl_almanac_row *row = &g_array_index(rows, struct spl_almanac_row, i);

        calendar->lat = row->lat;
        calendar->lon = row->lon;
    }
    g_ptr_array_add(shelf->calendars, calendar);
}

/* The book's rows come by calendar. */
static gboolean add_own(struct spl_almanac_shelf *shelf, struct spl_book *book, GError **error)
{
    GArray *all = spl_almanac_all(book, error);
    GArray *rows = NULL;

    if (all == NULL)
        return FALSE;
    for (guint i = 0; i < all->len; i++) {
        struct spl_almanac_row *row = &g_array_index(all, struct spl_almanac_row, i);

        if (rows != NULL &&
            strcmp(g_array_index(rows, struct spl_almanac_row, 0).almanac, row->almanac) != 0) {
            add_calendar(shelf, rows, TRUE);
            rows = NULL;
        }
        if (rows == NULL)
            rows = spl_list_new(&spl_almanac_row_shape);
        g_array_append_vals(rows, row, 1); /* what it owns moves along */
    }
    if (rows != NULL)
        add_calendar(shelf, rows, TRUE);
    g_array_unref(all);
    return TRUE;
}

static int by_name(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static gboolean add_program(struct spl_almanac_shelf *shelf, struct spl_house *house,
                            GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GDir) folder = NULL;
    const char *name;

    if (tables == NULL)
        return FALSE;
    if (house->calendars == NULL)
        return TRUE;
    folder = g_dir_open(house->calendars, 0, NULL);
    while (folder != NULL && (name = g_dir_read_name(folder)) != NULL) {
        if (g_str_has_suffix(name, ".ics"))
            g_ptr_array_add(names, g_build_filename(house->calendars, name, NULL));
    }
    g_ptr_array_sort(names, by_name);
    for (guint i = 0; i < names->len; i++) {
        struct spl_almanac_read read;

        if (!spl_almanac_read_file(g_ptr_array_index(names, i), tables, &read, error))
            return FALSE;
        if (read.rows->len > 0)
            add_calendar(shelf, g_steal_pointer(&read.rows), FALSE);
        spl_record_clear(&spl_almanac_read_shape, &read);
    }
    return TRUE;
}

struct spl_almanac_shelf *spl_almanac_shelf_load(struct spl_house *house, GError **error)
{
    g_autoptr(spl_almanac_shelf) shelf = g_new0(struct spl_almanac_shelf, 1);

    shelf->calendars = g_ptr_array_new_with_free_func(calendar_free);
    shelf->choices = g_ptr_array_new_with_free_func(choice_free);
    if ((house->book != NULL && !add_own(shelf, house->book, error)) ||
        !add_program(shelf, house, error))
        return NULL;
    g_ptr_array_set_size(shelf->choices, (int)shelf->calendars->len + 1);
    return g_steal_pointer(&shelf);
}

void spl_almanac_shelf_free(struct spl_almanac_shelf *shelf)
{
    if (shelf == NULL)
        return;
    g_ptr_array_unref(shelf->choices);
    g_ptr_array_unref(shelf->calendars);
    g_free(shelf);
}

guint spl_almanac_shelf_size(const struct spl_almanac_shelf *shelf)
{
    return shelf->calendars->len;
}

const GArray *spl_almanac_shelf_rows(const struct spl_almanac_shelf *shelf, guint i)
{
    const struct calendar *calendar = g_ptr_array_index(shelf->calendars, i);

    return calendar->rows;
}

/* The program almanac for a place; the number of calendars: there is none. Another hemisphere's is
 * as good as half the world away. */
static guint nearest(const struct spl_almanac_shelf *shelf, double lat, double lon)
{
    guint best = shelf->calendars->len;
    double least = INFINITY;

    for (guint i = 0; i < shelf->calendars->len; i++) {
        const struct calendar *calendar = g_ptr_array_index(shelf->calendars, i);
        double metres = 0;

        if (calendar->own)
            continue;
        if (!isnan(lat) && !isnan(calendar->lat))
            metres = spl_geodesic_inverse(
                (struct spl_position){.lat = calendar->lat, .lon = calendar->lon},
                (struct spl_position){.lat = lat, .lon = lon}, NULL, NULL);
        if (metres < least) {
            least = metres;
            best = i;
        }
    }
    return best;
}

static gboolean same_window(const struct spl_almanac_row *a, const struct spl_almanac_row *b)
{
    return a->flush == b->flush && strcmp(a->material, b->material) == 0 &&
           g_strcmp0(a->use, b->use) == 0;
}

static gboolean has_own(const GPtrArray *rows, guint n_own, const struct spl_almanac_row *row)
{
    for (guint i = 0; i < n_own; i++) {
        if (same_window(g_ptr_array_index(rows, i), row))
            return TRUE;
    }
    return FALSE;
}

static GPtrArray *choose(const struct spl_almanac_shelf *shelf, guint program)
{
    GPtrArray *rows = g_ptr_array_new();
    guint n_own;

    for (guint i = 0; i < shelf->calendars->len; i++) {
        struct calendar *calendar = g_ptr_array_index(shelf->calendars, i);

        for (guint r = 0; calendar->own && r < calendar->rows->len; r++)
            g_ptr_array_add(rows, &g_array_index(calendar->rows, struct spl_almanac_row, r));
    }
    n_own = rows->len;
    if (program < shelf->calendars->len) {
        struct calendar *calendar = g_ptr_array_index(shelf->calendars, program);

        for (guint r = 0; r < calendar->rows->len; r++) {
            struct spl_almanac_row *row = &g_array_index(calendar->rows, struct spl_almanac_row, r);

            if (!has_own(rows, n_own, row))
                g_ptr_array_add(rows, row);
        }
    }
    return rows;
}

const GPtrArray *spl_almanac_shelf_at(struct spl_almanac_shelf *shelf, double lat, double lon)
{
    guint program = nearest(shelf, lat, lon);
    GPtrArray **choice = (GPtrArray **)&g_ptr_array_index(shelf->choices, program);

    if (*choice == NULL)
        *choice = choose(shelf, program);
    return *choice;
}

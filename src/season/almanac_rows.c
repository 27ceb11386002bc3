/* SPDX-License-Identifier: MIT
 *
 * Almanacs for a place. See season/almanac_rows.h.
 */
#include "season/almanac_rows.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/almanac.h"
#include "exchange/almanac.h"

/* An own row stands for a program's row whose middle is no farther away. */
#define SAME_WINDOW_DAYS 75

struct calendar {
    gboolean own;
    char *unread;    /* the file, of which only the head was read so far; NULL: none */
    GArray *rows;    /* of struct spl_almanac_row */
    double lat, lon; /* of its first row that has a place; NAN */
};

struct spl_almanac_shelf {
    const struct spl_tables *tables; /* the house's */
    GPtrArray *calendars;            /* of struct calendar */
    GPtrArray *choices; /* per calendar: struct spl_almanac_choice when it reaches best; or NULL */
};

static void calendar_free(gpointer data)
{
    struct calendar *calendar = data;

    spl_list_free(&spl_almanac_row_shape, calendar->rows);
    g_free(calendar->unread);
    g_free(calendar);
}

static void choice_free(gpointer data);

static void add_calendar(struct spl_almanac_shelf *shelf, GArray *rows, gboolean own,
                         const char *unread)
{
    struct calendar *calendar = g_new0(struct calendar, 1);

    calendar->own = own;
    calendar->unread = g_strdup(unread);
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
            add_calendar(shelf, rows, TRUE, NULL);
            rows = NULL;
        }
        if (rows == NULL)
            rows = spl_list_new(&spl_almanac_row_shape);
        g_array_append_vals(rows, row, 1); /* what it owns moves along */
    }
    if (rows != NULL)
        add_calendar(shelf, rows, TRUE, NULL);
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
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GDir) folder = NULL;
    const char *name;

    shelf->tables = spl_house_tables(house, error);
    if (shelf->tables == NULL)
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
        const char *path = g_ptr_array_index(names, i);
        struct spl_almanac_read read;

        if (!spl_almanac_read_head(path, shelf->tables, &read, error))
            return FALSE;
        if (read.rows->len > 0)
            add_calendar(shelf, g_steal_pointer(&read.rows), FALSE, path);
        spl_record_clear(&spl_almanac_read_shape, &read);
    }
    return TRUE;
}

/* A place has need of one of the program's calendars: the others are not read whole. */
static gboolean read_whole(const struct spl_almanac_shelf *shelf, struct calendar *calendar,
                           GError **error)
{
    struct spl_almanac_read read;

    if (calendar->unread == NULL)
        return TRUE;
    if (!spl_almanac_read_file(calendar->unread, shelf->tables, &read, error))
        return FALSE;
    g_clear_pointer(&calendar->unread, g_free);
    spl_list_free(&spl_almanac_row_shape, calendar->rows);
    calendar->rows = g_steal_pointer(&read.rows);
    spl_record_clear(&spl_almanac_read_shape, &read);
    return TRUE;
}

gboolean spl_almanac_shelf_read_all(struct spl_almanac_shelf *shelf, GError **error)
{
    for (guint i = 0; i < shelf->calendars->len; i++) {
        if (!read_whole(shelf, g_ptr_array_index(shelf->calendars, i), error))
            return FALSE;
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

static struct spl_reach_place calendar_place(const struct calendar *calendar)
{
    const struct spl_almanac_row *row = &g_array_index(calendar->rows, struct spl_almanac_row, 0);

    return (struct spl_reach_place){calendar->lat, calendar->lon,
                                    spl_almanac_row_has_normals(row) ? row->normals_c : NULL};
}

/* The program almanac that reaches a place best; the number of calendars: there is none. */
static guint best_of(const struct spl_almanac_shelf *shelf, const struct spl_reach_place *place,
                     struct spl_reach *reach)
{
    guint best = shelf->calendars->len;
    double least = INFINITY;

    for (guint i = 0; i < shelf->calendars->len; i++) {
        const struct calendar *calendar = g_ptr_array_index(shelf->calendars, i);
        struct spl_reach_place own;
        struct spl_reach one;
        double cost;

        if (calendar->own)
            continue;
        own = calendar_place(calendar);
        spl_reach_of(&own, place, &one);
        cost = spl_reach_cost(&own, &one);
        if (!one.fits || cost >= least)
            continue;
        least = cost;
        best = i;
        *reach = one;
    }
    return best;
}

/* Days between the middles of two rows, whatever their years and hemispheres. */
static int days_apart(const struct spl_almanac_row *a, const struct spl_almanac_row *b)
{
    struct spl_day a_start, a_end, b_start, b_end;
    double lat = spl_almanac_row_has_place(b) ? b->lat : 50;
    int apart;

    spl_almanac_row_days(a, 2026, lat, &a_start, &a_end);
    spl_almanac_row_days(b, 2026, lat, &b_start, &b_end);
    apart = abs(a_start.n + a_end.n - b_start.n - b_end.n) / 2;
    return MIN(apart, 365 - apart);
}

/* The program's row that an own one stands for, among those that no own row took yet: of its
 * material and use, the nearest in date. -1: none. */
static int stands_for(const struct spl_almanac_row *own, const GArray *rows, const gboolean *taken)
{
    int best = -1;

    for (guint r = 0; r < rows->len; r++) {
        const struct spl_almanac_row *row = &g_array_index(rows, struct spl_almanac_row, r);

        if (taken[r] || strcmp(row->material, own->material) != 0 ||
            g_strcmp0(row->use, own->use) != 0 || days_apart(own, row) > SAME_WINDOW_DAYS)
            continue;
        if (best < 0 ||
            days_apart(own, row) <
                days_apart(own, &g_array_index(rows, struct spl_almanac_row, (guint)best)))
            best = (int)r;
    }
    return best;
}

/* The flushes of a material and use are told apart by number: one that is taken goes to the next
 * free one. */
static void free_flush(const GPtrArray *rows, struct spl_almanac_row *row)
{
    for (guint i = 0; i < rows->len; i++) {
        const struct spl_almanac_row *other = g_ptr_array_index(rows, i);

        if (other != row && other->flush == row->flush &&
            strcmp(other->material, row->material) == 0 && g_strcmp0(other->use, row->use) == 0) {
            row->flush++;
            i = (guint)-1; /* look again from the start */
        }
    }
}

static void choice_free(gpointer data)
{
    struct spl_almanac_choice *choice = data;

    if (choice == NULL)
        return;
    g_ptr_array_unref(choice->rows);
    g_ptr_array_unref(choice->copies);
    g_free(choice);
}

static struct spl_almanac_choice *choose(const struct spl_almanac_shelf *shelf, guint program)
{
    struct spl_almanac_choice *choice = g_new0(struct spl_almanac_choice, 1);
    const struct calendar *calendar =
        program < shelf->calendars->len ? g_ptr_array_index(shelf->calendars, program) : NULL;
    g_autofree gboolean *taken = g_new0(gboolean, calendar != NULL ? calendar->rows->len : 1);

    choice->rows = g_ptr_array_new();
    choice->copies = g_ptr_array_new_with_free_func(g_free); /* their texts stay the shelf's */
    for (guint i = 0; i < shelf->calendars->len; i++) {
        const struct calendar *own = g_ptr_array_index(shelf->calendars, i);

        for (guint r = 0; own->own && r < own->rows->len; r++) {
            const struct spl_almanac_row *row =
                &g_array_index(own->rows, struct spl_almanac_row, r);
            struct spl_almanac_row *copy = g_memdup2(row, sizeof *row);
            int instead = calendar == NULL ? -1 : stands_for(row, calendar->rows, taken);

            if (instead >= 0) {
                const struct spl_almanac_row *old =
                    &g_array_index(calendar->rows, struct spl_almanac_row, (guint)instead);

                taken[instead] = TRUE;
                copy->flush = old->flush;
                if (copy->stands_frost < 0)
                    copy->stands_frost = old->stands_frost;
                if (isnan(copy->stage_from) && isnan(copy->stage_to)) {
                    copy->stage_from = old->stage_from;
                    copy->stage_to = old->stage_to;
                }
            }
            g_ptr_array_add(choice->copies, copy);
            g_ptr_array_add(choice->rows, copy);
        }
    }
    choice->n_own = choice->rows->len;
    for (guint r = 0; calendar != NULL && r < calendar->rows->len; r++) {
        if (!taken[r])
            g_ptr_array_add(choice->rows,
                            &g_array_index(calendar->rows, struct spl_almanac_row, r));
    }
    for (guint i = 0; i < choice->n_own; i++)
        free_flush(choice->rows, g_ptr_array_index(choice->copies, i));
    if (calendar != NULL)
        choice->name = g_array_index(calendar->rows, struct spl_almanac_row, 0).almanac;
    return choice;
}

const struct spl_almanac_choice *spl_almanac_shelf_at(struct spl_almanac_shelf *shelf,
                                                      const struct spl_reach_place *place,
                                                      struct spl_reach *reach, GError **error)
{
    guint program;
    struct spl_almanac_choice **choice;

    *reach = (struct spl_reach){.rms_k = NAN, .range_k = NAN, .km = NAN};
    program = best_of(shelf, place, reach);
    if (program < shelf->calendars->len &&
        !read_whole(shelf, g_ptr_array_index(shelf->calendars, program), error))
        return NULL;
    choice = (struct spl_almanac_choice **)&g_ptr_array_index(shelf->choices, program);
    if (*choice == NULL)
        *choice = choose(shelf, program);
    return *choice;
}

gboolean spl_almanac_choice_is_own(const struct spl_almanac_choice *choice,
                                   const struct spl_almanac_row *row)
{
    for (guint i = 0; i < choice->n_own; i++) {
        if (g_ptr_array_index(choice->rows, i) == row)
            return TRUE;
    }
    return FALSE;
}

char *spl_almanac_shelf_unfit(const struct spl_almanac_shelf *shelf,
                              const struct spl_reach_place *place)
{
    const char *name = NULL;
    struct spl_reach least = {.lat_d = INFINITY};

    for (guint i = 0; i < shelf->calendars->len; i++) {
        const struct calendar *calendar = g_ptr_array_index(shelf->calendars, i);
        struct spl_reach_place own = calendar_place(calendar);
        struct spl_reach one;

        if (calendar->own)
            continue;
        spl_reach_of(&own, place, &one);
        if (name != NULL && fabs(one.lat_d) >= fabs(least.lat_d))
            continue;
        least = one;
        name = g_array_index(calendar->rows, struct spl_almanac_row, 0).almanac;
    }
    if (name == NULL)
        return g_strdup("no almanac fits here: there is none; note the stages that you see, or add "
                        "an almanac of your own");
    if (fabs(least.lat_d) > SPL_REACH_LAT)
        return g_strdup_printf(
            "no almanac fits here: the nearest in latitude, '%s', is %.0f degrees "
            "away; note the stages that you see, or add an almanac of your own",
            name, fabs(least.lat_d));
    if (place->mean_c != NULL)
        return g_strdup_printf("no almanac fits here: the climate is too far from that of '%s'%s; "
                               "note the stages that "
                               "you see, or add an almanac of your own",
                               name, least.mirror ? ", turned by half a year" : "");
    return g_strdup_printf("no almanac fits here: '%s' lies in another part of the world, and the "
                           "climate here is not known; read a station's monthly normals into the "
                           "book, note the stages that you see, or add an almanac of your own",
                           name);
}

GPtrArray *spl_almanac_shelf_replaced(struct spl_almanac_shelf *shelf,
                                      const struct spl_reach_place *place, const GArray *rows,
                                      GError **error)
{
    GPtrArray *replaced;
    struct spl_reach reach;
    guint program = best_of(shelf, place, &reach);
    struct calendar *best =
        program < shelf->calendars->len ? g_ptr_array_index(shelf->calendars, program) : NULL;
    const GArray *there;
    g_autofree gboolean *taken = NULL;

    if (best != NULL && !read_whole(shelf, best, error))
        return NULL;
    there = best != NULL ? best->rows : NULL;
    taken = g_new0(gboolean, there != NULL ? there->len : 1);
    replaced = g_ptr_array_new();
    for (guint r = 0; r < rows->len; r++) {
        int instead = there == NULL ? -1
                                    : stands_for(&g_array_index(rows, struct spl_almanac_row, r),
                                                 there, taken);

        if (instead >= 0)
            taken[instead] = TRUE;
        g_ptr_array_add(
            replaced,
            instead < 0 ? NULL : &g_array_index(there, struct spl_almanac_row, (guint)instead));
    }
    return replaced;
}

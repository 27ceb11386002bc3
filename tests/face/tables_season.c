/* SPDX-License-Identifier: MIT
 *
 * The tables of inputs of pictures, labels, liquids, the outings, the first questions and what
 * follows the weather. See tables.h.
 */
#include "tables.h"

#include "simpling/error.h"
#include "simpling/liquid.h"
#include "simpling/outing.h"
#include "simpling/photo.h"
#include "simpling/picture.h"
#include "simpling/plan.h"
#include "simpling/slip.h"
#include "simpling/start.h"
#include "simpling/weather.h"

#include <glib/gstdio.h>
#include <string.h>

#include "photo_png.h"

/* A path of its own for each call that writes; NULL: none was said. */
static char *own_path(const char *said, char **folder)
{
    if (said == NULL || *said == '\0' || *said == ' ')
        return NULL;
    *folder = g_dir_make_tmp("spl-face-out-XXXXXX", NULL);
    return g_build_filename(*folder, said, NULL);
}

static void take_away(const char *path, const char *folder)
{
    if (path != NULL) {
        g_unlink(path);
        g_rmdir(folder);
    }
}

#define DRAWER(name, words_, draw_)                                                                \
    static gboolean name(struct spl_house *house, const void *said, GError **error)                \
    {                                                                                              \
        struct words_ words = *(const struct words_ *)said;                                        \
        g_autofree char *folder = NULL, *path = own_path(words.to.out, &folder);                   \
        struct spl_picture picture;                                                                \
        gboolean ok;                                                                               \
                                                                                                   \
        words.to.out = path;                                                                       \
        ok = draw_(house, &words, &picture, error);                                                \
        if (ok)                                                                                    \
            spl_record_clear(&spl_picture_shape, &picture);                                        \
        take_away(path, folder);                                                                   \
        return ok;                                                                                 \
    }
DRAWER(draw_season, spl_picture_season_words, spl_picture_draw_season)
DRAWER(draw_map, spl_picture_map_words, spl_picture_draw_map)
DRAWER(draw_shelf, spl_picture_shelf_words, spl_picture_draw_shelf)
DRAWER(draw_batch, spl_picture_batch_words, spl_picture_draw_batch)
DRAWER(draw_recall, spl_picture_recall_words, spl_picture_draw_recall)
DRAWER(draw_a_lot, spl_picture_lot_words, spl_picture_draw_lot)
DRAWER(draw_year, spl_picture_year_words, spl_picture_draw_year)
DRAWER(draw_labels, spl_label_words, spl_picture_draw_labels)
DRAWER(draw_kept, spl_picture_outing_words, spl_picture_draw_outing)

/* Slips ---------------------------------------------------------------------------------------- */

static gboolean make_slip(struct spl_house *house, const void *said, GError **error)
{
    struct spl_slip slip;

    face_mark(&slip, sizeof slip);
    if (!spl_slip_make(house, said, &slip, error))
        return face_untouched(&slip, sizeof slip);
    spl_record_clear(&spl_slip_shape, &slip);
    return TRUE;
}

/* Outings -------------------------------------------------------------------------------------- */

#define SOME_DAY "2028-02-01" /* in the tables below, for that of the outing that is kept */

/* The planner chose the day: what is said of SOME_DAY is said of that. */
static struct spl_day kept_day(struct spl_house *house, struct spl_day said)
{
    struct spl_plan_outings plan;

    if (said.n != spl_day_from_ymd(2028, 2, 1).n || !spl_plan_kept(house, 2028, &plan, NULL))
        return said;
    if (plan.outings->len > 0)
        said = g_array_index(plan.outings, struct spl_plan_outing, 0).date;
    spl_record_clear(&spl_plan_outings_shape, &plan);
    return said;
}

static gboolean draw_outing(struct spl_house *house, const void *said, GError **error)
{
    struct spl_picture_outing_words words = *(const struct spl_picture_outing_words *)said;

    /* Of the year that is planned: without a day there is none to come this year. */
    words.on = kept_day(house, spl_day_is_set(words.on) ? words.on : spl_day_from_ymd(2028, 2, 1));
    return draw_kept(house, &words, error);
}

static gboolean plan_outings(struct spl_house *house, const void *said, GError **error)
{
    struct spl_plan_wish words = *(const struct spl_plan_wish *)said;
    g_autofree char *folder = NULL, *path = own_path(words.lp, &folder);
    struct spl_plan_outings plan;
    gboolean ok;

    words.lp = path;
    words.no_solver = TRUE; /* else it is looked for at each of a thousand calls */
    if (words.season == SPL_COUNT_NONE)
        words.season = 2028;
    face_mark(&plan, sizeof plan);
    ok = spl_plan_search(house, &words, NULL, NULL, &plan, error);
    if (ok)
        spl_record_clear(&spl_plan_outings_shape, &plan);
    else
        face_untouched(&plan, sizeof plan);
    take_away(path, folder);
    return ok;
}

#define CHANGER(name, words_, change_)                                                             \
    static gboolean name(struct spl_house *house, const void *said, GError **error)                \
    {                                                                                              \
        struct words_ words = *(const struct words_ *)said;                                        \
        struct spl_plan_outing outing;                                                             \
        GPtrArray *cautions;                                                                       \
                                                                                                   \
        words.day = kept_day(house, words.day);                                                    \
        face_mark(&outing, sizeof outing);                                                         \
        if (!change_(house, &words, &outing, &cautions, error))                                    \
            return face_untouched(&outing, sizeof outing);                                         \
        if (cautions != NULL)                                                                      \
            g_ptr_array_unref(cautions);                                                           \
        spl_record_clear(&spl_plan_outing_shape, &outing);                                         \
        return TRUE;                                                                               \
    }
CHANGER(move_outing, spl_outing_move_words, spl_outing_move)
CHANGER(pin_outing, spl_outing_pin_words, spl_outing_pin)
CHANGER(take_at_outing, spl_outing_take_words, spl_outing_take)
CHANGER(drop_outing, spl_outing_drop_words, spl_outing_drop)

/* Beginnings and hosts ------------------------------------------------------------------------- */

static gboolean start(struct spl_house *house, const void *said, GError **error)
{
    g_autofree char *folder = NULL, *path = own_path("new.db", &folder);
    struct spl_house_options options = {
        .book = path, .data = SPL_SOURCE_DIR "/data", .today = spl_house_today(house)};
    struct spl_started started;
    gboolean ok = spl_start(&options, said, &started, error);

    if (ok)
        spl_record_clear(&spl_started_shape, &started);
    else if (g_file_test(path, G_FILE_TEST_EXISTS))
        g_error("a start that failed left a book");
    take_away(path, folder);
    return ok;
}

/* No host is asked here: tests/command/test_follow.c has one. */
static gboolean follow(struct spl_house *house, const void *said, GError **error)
{
    return spl_entry_check(house, &spl_follow_inputs, said, error);
}

static gboolean refresh(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_refresh_words *words = said;
    GArray *list = spl_weather_refresh(house, words->station, error);

    if (list != NULL)
        spl_list_free(&spl_weather_fetched_shape, list);
    else if (g_error_matches(*error, SPL_ERROR, SPL_ERROR_NOT_FOUND)) /* none is followed */
        g_clear_error(error);
    else
        return FALSE;
    return TRUE;
}

#define SAMPLES SPL_SOURCE_DIR "/tests/command/samples/"

/* A photo of two pixels in a folder of its own; NULL: not said. */
static char *own_photo(const char *said, char **folder)
{
    char *path = own_path(said, folder);

    if (path != NULL)
        g_file_set_contents(path, (const char *)photo_png, sizeof photo_png, NULL);
    return path;
}

/* And what was put beside the book for it. */
static void drop_kept(const char *kept)
{
    g_autofree char *inner = g_path_get_dirname(kept), *folder = g_path_get_dirname(inner);

    g_unlink(kept);
    g_rmdir(inner);
    g_rmdir(folder);
}

static gboolean take_photo(struct spl_house *house, const void *said, GError **error)
{
    struct spl_photo_words words = *(const struct spl_photo_words *)said;
    g_autofree char *folder = NULL, *path = own_photo(words.file, &folder);
    struct spl_photo photo;
    gboolean ok;

    words.file = path;
    face_mark(&photo, sizeof photo);
    ok = spl_photo_take_in(house, &words, &photo, error);
    take_away(path, folder);
    if (!ok)
        return face_untouched(&photo, sizeof photo);
    drop_kept(photo.file);
    spl_record_clear(&spl_photo_shape, &photo);
    return TRUE;
}

static gboolean look_at_photo(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_photo_file *words = said;
    g_autofree char *folder = NULL, *path = own_photo(words->path, &folder);
    const struct spl_photo_file own = {path};
    struct spl_photo_offer offer;
    gboolean ok;

    face_mark(&offer, sizeof offer);
    ok = spl_photo_look_at(house, &own, &offer, error);
    take_away(path, folder);
    if (!ok)
        return face_untouched(&offer, sizeof offer);
    spl_record_clear(&spl_photo_offer_shape, &offer);
    return TRUE;
}

static gboolean list_photos(struct spl_house *house, const void *said, GError **error)
{
    GArray *list = spl_photos(house, said, error);

    if (list != NULL)
        spl_list_free(&spl_photo_shape, list);
    return list != NULL;
}

static gboolean add_liquid(struct spl_house *house, const void *said, GError **error)
{
    struct spl_liquid_row row;
    GPtrArray *cautions;

    face_mark(&row, sizeof row);
    if (!spl_liquid_add(house, said, &row, &cautions, error))
        return face_untouched(&row, sizeof row);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_liquid_row_shape, &row);
    return TRUE;
}

static gboolean use_liquid(struct spl_house *house, const void *said, GError **error)
{
    struct spl_liquid_row row;
    GPtrArray *cautions;

    face_mark(&row, sizeof row);
    if (!spl_liquid_use(house, said, &row, &cautions, error))
        return face_untouched(&row, sizeof row);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_liquid_row_shape, &row);
    return TRUE;
}

static gboolean list_liquids(struct spl_house *house, const void *said, GError **error)
{
    struct spl_liquid_stock stock;

    face_mark(&stock, sizeof stock);
    if (!spl_liquid_stock(house, said, &stock, error))
        return face_untouched(&stock, sizeof stock);
    spl_record_clear(&spl_liquid_stock_shape, &stock);
    return TRUE;
}

static gboolean ledger_of_liquids(struct spl_house *house, const void *said, GError **error)
{
    struct spl_liquid_ledger ledger;

    face_mark(&ledger, sizeof ledger);
    if (!spl_liquid_ledger(house, said, &ledger, error))
        return face_untouched(&ledger, sizeof ledger);
    spl_record_clear(&spl_liquid_ledger_shape, &ledger);
    return TRUE;
}

const struct face_table face_season_tables[] = {
    {&spl_photo_inputs, take_photo, {"photo", "two.png", "code", "H27-001", NULL}},
    {&spl_photo_question_inputs, list_photos, {"code", "H27-001", NULL}},
    {&spl_photo_file_inputs, look_at_photo, {"photo", "two.png", NULL}},
    {&spl_picture_season_inputs,
     draw_season,
     {"out", "season.svg", "paper", "letter", "dpi", "72", "force", "yes", "year", "2027", "site",
      "Withy Gill", "material", "nettle/leaf", "all", "yes", NULL}},
    {&spl_slip_inputs,
     make_slip,
     {"out", "slip.html", "site", "Withy Gill", "days", "3", "group", "yes", "without_places",
      "yes", "force", "yes", NULL}},
    {&spl_picture_map_inputs, draw_map, {"out", "map.pdf", "on", "2027-07-01", NULL}},
    {&spl_picture_outing_inputs, draw_outing, {"out", "outing.pdf", "on", SOME_DAY, NULL}},
    {&spl_picture_shelf_inputs,
     draw_shelf,
     {"out", "shelf.png", "dpi", "36", "paper", "a4", "all", "yes", NULL}},
    {&spl_picture_batch_inputs, draw_batch, {"out", "batch.pdf", "code", "B27-001", NULL}},
    {&spl_picture_recall_inputs,
     draw_recall,
     {"out", "recall.pdf", "of", "Withy Gill", "sprayed", "2027-05", "within", "100m", NULL}},
    {&spl_picture_lot_inputs, draw_a_lot, {"out", "lot.pdf", "code", "L27-001", NULL}},
    {&spl_picture_year_inputs, draw_year, {"out", "year.svg", "year", "2027", NULL}},
    {&spl_label_inputs,
     draw_labels,
     {"out", "labels.pdf", "codes", "L27-001", "codes", "B27-001", "sheet", "3x8", "copies", "2",
      "skip", "3", "bottle", "100mL", "place", "yes", "dispensary", "Gill", NULL}},
    {&spl_label_inputs,
     draw_labels,
     {"out", "labels.pdf", "codes", "L27-001", "for", "1042", NULL}},
    {&spl_plan_wish_inputs,
     plan_outings,
     {"days",    "sat,sun",    "hours",     "4",
      "pickers", "2",          "home",      "54.59,-2.6",
      "speed",   "30",         "sites",     "2",
      "off",     "2028-04-01", "busy",      SAMPLES "our-dale.ics",
      "seconds", "1",          "gap",       "1",
      "nodes",   "5",          "no_solver", "yes",
      "lp",      "model.lp",   "keep",      "yes",
      "year",    "2028",       NULL}},
    {&spl_plan_wish_inputs, plan_outings, {"clear_only", "yes", NULL}},
    {&spl_outing_move_inputs,
     move_outing,
     {"day", SOME_DAY, "to", "2028-04-09", "why", "rained off", NULL}},
    {&spl_outing_pin_inputs, pin_outing, {"day", SOME_DAY, "loose", "yes", NULL}},
    {&spl_outing_take_inputs,
     take_at_outing,
     {"day", SOME_DAY, "site", "Withy Gill", "material", "nettle/leaf", "weight", "20g", NULL}},
    {&spl_outing_drop_inputs,
     drop_outing,
     {"day", SOME_DAY, "why", "the car is away", "by", "Edda", NULL}},
    {&spl_start_inputs,
     start,
     {"mark", "edd", "who", "Edda", "home", "54.5903,-2.6021", "country", "gb", "press", "hand",
      "site", "Withy Gill", "at", "54.6012,-2.5871", "units", "metric", NULL}},
    {&spl_follow_inputs,
     follow,
     {"station", "Low Croft", "address", "https://weather.example/daily.csv", "at",
      "54.5889,-2.6104", "elevation", "160m", "unit", "C", NULL}},
    {&spl_refresh_inputs, refresh, {"station", "Low Croft", NULL}},
    {&spl_liquid_add_inputs,
     add_liquid,
     {"kind", "spirit", "amount", "5L", "strength", "96%", "supplier", "Ash Beck Still", "number",
      "114", "on", "2027-06-19", "by", "Edda", NULL}},
    {&spl_liquid_use_inputs,
     use_liquid,
     {"kind", "spirit", "amount", "100mL", "supplier", "Ash Beck Still", "number", "96", "why",
      "cleaning", "on", "2027-06-19", "by", "Edda", NULL}},
    {&spl_liquid_question_inputs, list_liquids, {"year", "2027", NULL}},
    {&spl_liquid_period_inputs,
     ledger_of_liquids,
     {"from", "2027-01-01", "to", "2027-06-19", NULL}},
};
const gsize face_n_season_tables = G_N_ELEMENTS(face_season_tables);

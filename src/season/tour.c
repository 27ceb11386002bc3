/* SPDX-License-Identifier: MIT
 *
 * The first steps of a book, and which of them it has. See simpling/tour.h.
 */
#include "simpling/tour.h"

#include <string.h>

#include "season/house_private.h"
#include "simpling/batch.h"
#include "simpling/error.h"
#include "simpling/hazard.h"
#include "simpling/plan.h"
#include "simpling/site.h"
#include "simpling/stand.h"

static const struct spl_field step_fields[] = {
    SPL_FIELD(spl_tour_step, key, SPL_TEXT, "key", "step"),
    SPL_FIELD(spl_tour_step, done, SPL_BOOL, "done", "done"),
    SPL_FIELD(spl_tour_step, words, SPL_TEXT, "words", "what there is"),
};
const struct spl_shape spl_tour_step_shape = SPL_SHAPE("tour_step", spl_tour_step, step_fields);

/* "1 place", "3 places". */
static void add_count(GArray *steps, const char *key, guint n, const char *one, const char *many)
{
    struct spl_tour_step step = {
        .key = g_strdup(key),
        .done = n > 0,
        .words = n > 0 ? g_strdup_printf("%u %s", n, n == 1 ? one : many) : NULL,
    };

    g_array_append_val(steps, step);
}

static void add_home(GArray *steps, struct spl_house *house)
{
    g_autofree char *who = spl_house_setting_text(house, "who"),
                    *home = spl_house_setting_text(house, "home");
    gboolean done = who != NULL && home != NULL;
    struct spl_tour_step step = {
        .key = g_strdup("home"),
        .done = done,
        .words = done ? g_strdup_printf("%s, at %s", who, home) : NULL,
    };

    g_array_append_val(steps, step);
}

static gboolean keep_name(const struct spl_site_line *line, gpointer names, GError **error)
{
    (void)error;
    g_ptr_array_add(names, g_strdup(line->name));
    return TRUE;
}

/* What was said of the places: of so many there is leave, of so many a word on spraying. */
static gboolean count_words(struct spl_house *house, const GPtrArray *names, guint *leave,
                            guint *spraying, GError **error)
{
    *leave = *spraying = 0;
    for (guint i = 0; i < names->len; i++) {
        struct spl_site_sheet sheet;

        if (!spl_site_sheet(house, g_ptr_array_index(names, i), &sheet, error))
            return FALSE;
        *leave += sheet.permissions != NULL && sheet.permissions->len > 0 ? 1 : 0;
        *spraying += sheet.notes != NULL && sheet.notes->len > 0 ? 1 : 0;
        spl_record_clear(&spl_site_sheet_shape, &sheet);
    }
    return TRUE;
}

static gboolean add_places(struct spl_house *house, GArray *steps, GError **error)
{
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    struct spl_site_question question = {.on = SPL_DAY_NONE};
    guint leave, spraying;

    if (!spl_site_lines(house, &question, keep_name, names, error) ||
        !count_words(house, names, &leave, &spraying, error))
        return FALSE;
    add_count(steps, "place", names->len, "place", "places");
    add_count(steps, "leave", leave, "place with a word on leave", "places with a word on leave");
    add_count(steps, "spraying", spraying, "place with a word on spraying",
              "places with a word on spraying");
    return TRUE;
}

static gboolean add_ground(struct spl_house *house, GArray *steps, GError **error)
{
    struct spl_stand_question question = {.year = SPL_COUNT_NONE};
    GArray *hazards = spl_hazard_list(house, error),
           *stands = hazards != NULL ? spl_stand_lines(house, &question, error) : NULL;

    if (stands != NULL) {
        add_count(steps, "hazard", hazards->len, "layer of hazards", "layers of hazards");
        add_count(steps, "stand", stands->len, "stand", "stands");
    }
    spl_list_free(&spl_hazard_layer_shape, hazards);
    spl_list_free(&spl_stand_line_shape, stands);
    return stands != NULL;
}

static gboolean add_work(struct spl_house *house, GArray *steps, GError **error)
{
    struct spl_book_info info;

    if (!spl_book_describe(house, &info, error))
        return FALSE;
    add_count(steps, "harvest", (guint)info.harvests, "harvest", "harvests");
    add_count(steps, "jar", (guint)info.batches, "batch", "batches");
    add_count(steps, "lot", (guint)info.lots, "lot", "lots");
    spl_record_clear(&spl_book_info_shape, &info);
    return TRUE;
}

static gboolean add_shelf(struct spl_house *house, GArray *steps, GError **error)
{
    struct spl_handed_question ever = {.from = spl_day_from_ymd(1900, 1, 1), .to = house->today};
    struct spl_plan_question question = {.season = SPL_COUNT_NONE};
    struct spl_handed handed;
    GArray *planned;

    if (!spl_handed_between(house, &ever, &handed, error))
        return FALSE;
    add_count(steps, "given", handed.lines->len, "bottle given out", "bottles given out");
    spl_record_clear(&spl_handed_shape, &handed);
    planned = spl_plan_lines(house, &question, error);
    if (planned == NULL)
        return FALSE;
    add_count(steps, "plan", planned->len, "batch planned", "batches planned");
    spl_list_free(&spl_plan_line_shape, planned);
    return TRUE;
}

GArray *spl_tour(struct spl_house *house, GError **error)
{
    GArray *steps = spl_list_new(&spl_tour_step_shape);

    add_home(steps, house);
    if (add_places(house, steps, error) && add_ground(house, steps, error) &&
        add_work(house, steps, error) && add_shelf(house, steps, error))
        return steps;
    spl_list_free(&spl_tour_step_shape, steps);
    return NULL;
}

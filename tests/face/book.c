/* SPDX-License-Identifier: MIT
 *
 * The book that the tables of inputs are tried on. See tables.h.
 */
#include "tables.h"

#include <string.h>

#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/harvest.h"
#include "simpling/hazard.h"
#include "simpling/liquid.h"
#include "simpling/plan.h"
#include "simpling/purchase.h"
#include "simpling/recipe.h"
#include "simpling/site.h"
#include "simpling/stand.h"

static gboolean (*call_of(const struct spl_inputs *inputs))(struct spl_house *, const void *,
                                                            GError **)
{
    for (gsize i = 0; i < face_count(); i++) {
        if (face_at(i)->inputs == inputs)
            return face_at(i)->call;
    }
    g_assert_not_reached();
}

#define UNTOUCHED 0xa5

static gboolean touched;

void face_mark(void *record, gsize size)
{
    memset(record, UNTOUCHED, size);
}

gboolean face_untouched(const void *record, gsize size)
{
    const unsigned char *bytes = record;

    for (gsize i = 0; i < size; i++)
        touched |= bytes[i] != UNTOUCHED;
    return FALSE;
}

gboolean face_was_touched(void)
{
    gboolean was = touched;

    touched = FALSE;
    return was;
}

/* One entry: pairs of a path and a text, NULL at the end. */
static gboolean enter(struct spl_house *house, const struct spl_inputs *inputs,
                      const char *const *said, GError **error)
{
    g_autofree void *words = g_malloc0(inputs->size);
    gboolean ok = TRUE;

    spl_inputs_init(inputs, words);
    for (; ok && said[0] != NULL; said += 2)
        ok = spl_inputs_read(inputs, said[0], said[1], words, error);
    ok = ok && call_of(inputs)(house, words, error);
    spl_inputs_clear(inputs, words);
    return ok;
}

gboolean face_prepare(struct spl_house *house, GError **error)
{
    static const char *const place[] = {"name",     "Withy Gill", "at", "54.6012,-2.5871",
                                        "accuracy", "10m",        NULL};
    static const char *const leave[] = {"site",       "Withy Gill", "given",      "yes", "by",
                                        "the tenant", "on",         "2027-04-01", NULL};
    static const char *const word[] = {"site",   "Withy Gill", "kind",  "unsprayed",
                                       "source", "the tenant", "since", "2020-01-01",
                                       "on",     "2027-04-20", NULL};
    static const char *const harvest[] = {"site",   "Withy Gill", "material", "nettle/leaf",
                                          "weight", "900g",       "stage",    "35",
                                          "on",     "2027-05-01", NULL};
    static const char *const batch[] = {"preparation", "tincture",   "from",      "H27-001:50g",
                                        "jar",         "500mL",      "menstruum", "spirit 60%",
                                        "on",          "2027-05-01", NULL};
    static const char *const bought[] = {"material", "nettle/leaf", "weight",     "400g", "garden",
                                         "yes",      "on",          "2027-05-01", NULL};
    static const char *const rack[] = {"from", "H27-001:100g", "on", "2027-05-02", NULL};
    static const char *const first[] = {"name",      "the first one", "preparation", "tincture",
                                        "materials", "nettle/leaf",   "yield",       "250mL",
                                        "year",      "2027",          NULL};
    static const char *const lane[] = {"name", "the old lane", "method", "lane",
                                       "at",   "54.7,-2.7",    NULL};
    static const char *const jar[] = {"jars.0.code", "B27-003", "jars.0.yield", "200mL", "on",
                                      "2027-06-10",  NULL};
    static const char *const seen[] = {"site", "Withy Gill", "material",   "nettle/leaf", "stage",
                                       "35",   "on",         "2027-05-01", NULL};
    static const char *const held[] = {
        "site",     "Withy Gill", "material", "nettle/leaf",    "weight", "100g",
        "stage",    "35",         "on",       "2027-05-01",     "hold",   "until asked",
        "named_by", "Edda",       "signs",    "stinging hairs", NULL};
    static const char *const bags[] = {"site",     "Withy Gill", "material", "nettle/leaf",
                                       "handfuls", "2",          "stage",    "35",
                                       "on",       "2027-05-01", NULL};
    static const char *const sour[] = {"preparation", "vinegar",    "from",      "H27-001:50g",
                                       "jar",         "500mL",      "menstruum", "vinegar 5%",
                                       "on",          "2027-05-01", NULL};
    static const char *const recipe[] = {"code", "B27-004", "name", "nettle of May", NULL};
    static const char *const used[] = {"lots", "L27-001:10mL", "for", "1042",
                                       "on",   "2027-06-11",   NULL};

    static const char *const spirit[] = {
        "kind",           "spirit", "amount", "1L", "strength",   "96%", "supplier",
        "Ash Beck Still", "number", "96",     "on", "2027-06-01", NULL};
    static const char *const croft[] = {"name",     "High Croft", "at", "54.6212,-2.5671",
                                        "accuracy", "10m",        NULL};
    static const char *const unasked[] = {"site",   "High Croft", "material", "nettle/leaf",
                                          "weight", "50g",        "stage",    "35",
                                          "on",     "2027-05-01", NULL};
    static const char *const home[] = {"key", "home", "value", "54.59,-2.6", NULL};
    static const char *const stand[] = {"site", "Withy Gill", "plant", "nettle", "area",
                                        "60m2", "cover",      "50%",   NULL};
    static const char *const next_year[] = {"name",      "the next one", "preparation", "tincture",
                                            "materials", "nettle/leaf",  "yield",       "3L",
                                            "year",      "2028",         NULL};
    static const char *const outings[] = {"no_solver", "yes", "keep", "yes", "year", "2028", NULL};

    return enter(house, &spl_site_inputs, place, error) &&
           enter(house, &spl_permission_inputs, leave, error) &&
           enter(house, &spl_spray_inputs, word, error) &&
           enter(house, &spl_hazard_inputs, lane, error) &&
           enter(house, &spl_plan_inputs, first, error) &&
           enter(house, &spl_harvest_inputs, harvest, error) &&
           enter(house, &spl_harvest_inputs, held, error) &&
           enter(house, &spl_harvest_inputs, bags, error) &&
           enter(house, &spl_purchase_inputs, bought, error) &&
           enter(house, &spl_drying_inputs, rack, error) &&
           enter(house, &spl_batch_inputs, batch, error) &&
           enter(house, &spl_batch_inputs, batch, error) &&
           enter(house, &spl_batch_inputs, batch, error) &&
           enter(house, &spl_press_inputs, jar, error) &&
           enter(house, &spl_lot_use_inputs, used, error) &&
           enter(house, &spl_liquid_add_inputs, spirit, error) &&
           enter(house, &spl_setting_inputs, home, error) &&
           enter(house, &spl_stand_inputs, stand, error) &&
           enter(house, &spl_plan_inputs, next_year, error) &&
           enter(house, &spl_plan_wish_inputs, outings, error) &&
           enter(house, &spl_batch_inputs, sour, error) &&
           enter(house, &spl_recipe_inputs, recipe, error) &&
           enter(house, &spl_site_inputs, croft, error) && /* where nobody has been asked */
           enter(house, &spl_harvest_inputs, unasked, error) &&
           /* The last entry is one that can be struck. */
           enter(house, &spl_stage_inputs, seen, error);
}

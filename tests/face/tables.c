/* The tables of inputs with words that season takes. See tables.h.
 */
#include "tables.h"

#include "simpling/harvest.h"
#include "simpling/site.h"

/* Entries -------------------------------------------------------------------------------------- */

static gboolean log_harvest(struct spl_house *house, const void *said, GError **error)
{
    struct spl_harvest harvest;
    GPtrArray *cautions;

    if (!spl_harvest_log(house, said, &harvest, &cautions, error))
        return FALSE;
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return TRUE;
}

static gboolean show_harvest(struct spl_house *house, const void *said, GError **error)
{
    const struct spl_harvest_pick *pick = said;
    struct spl_harvest harvest;

    if (!spl_harvest_show(house, pick->code, &harvest, error))
        return FALSE;
    spl_record_clear(&spl_harvest_shape, &harvest);
    return TRUE;
}

static gboolean see_harvest(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    (void)harvest;
    (void)data;
    (void)error;
    return TRUE;
}

static gboolean list_harvests(struct spl_house *house, const void *said, GError **error)
{
    return spl_harvest_entries(house, said, see_harvest, NULL, error);
}

static gboolean release_harvest(struct spl_house *house, const void *said, GError **error)
{
    struct spl_harvest harvest;

    if (!spl_harvest_let_out(house, said, &harvest, error))
        return FALSE;
    spl_record_clear(&spl_harvest_shape, &harvest);
    return TRUE;
}

const struct face_table face_tables[] = {
    {&spl_harvest_inputs,
     log_harvest,
     {"site",     "Withy Gill", "material", "nettle/leaf", "weight", "420g",
      "garbled",  "380g",       "stage",    "35",          "on",     "2027-05-02",
      "by",       "Edda",       "by",       "Wynn",        "signs",  "stinging hairs",
      "named_by", "Edda",       "weather",  "dry",         "remark", "two bags",
      "hold",     "for a test", NULL}},
    {&spl_harvest_pick_inputs, show_harvest, {"code", "H27-001", NULL}},
    {&spl_harvest_question_inputs,
     list_harvests,
     {"site", "Withy Gill", "material", "nettle/leaf", "from", "2027-01-01", "to", "2027-12-31",
      "all", "yes", NULL}},
    {&spl_harvest_release_inputs,
     release_harvest,
     {"code", "H27-001", "evidence", "the tenant: never sprayed", "by", "Edda", "on", "2027-05-03",
      NULL}},
};
const gsize face_n_tables = G_N_ELEMENTS(face_tables);

/* The book ------------------------------------------------------------------------------------- */

/* One entry: pairs of a path and a text, NULL at the end. */
static gboolean enter(struct spl_house *house, const struct spl_inputs *inputs,
                      gboolean (*call)(struct spl_house *, const void *, GError **),
                      const char *const *said, GError **error)
{
    g_autofree void *words = g_malloc0(inputs->size);
    gboolean ok = TRUE;

    spl_inputs_init(inputs, words);
    for (; ok && said[0] != NULL; said += 2)
        ok = spl_inputs_read(inputs, said[0], said[1], words, error);
    ok = ok && call(house, words, error);
    spl_inputs_clear(inputs, words);
    return ok;
}

gboolean face_prepare(struct spl_house *house, GError **error)
{
    static const char *const harvest[] = {
        "site", "Withy Gill", "material",   "nettle/leaf", "weight",      "900g", "stage",
        "35",   "on",         "2027-05-01", "hold",        "until asked", NULL};
    struct spl_site_words place = {.name = "Withy Gill", .at = "54.6012,-2.5871", .own = -1};
    struct spl_site site;

    if (!spl_site_new(house, &place, &site, error))
        return FALSE;
    spl_record_clear(&spl_site_shape, &site);
    return enter(house, &spl_harvest_inputs, log_harvest, harvest, error);
}

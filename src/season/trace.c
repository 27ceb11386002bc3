/* SPDX-License-Identifier: MIT
 *
 * From the ground to the bottles and back. See simpling/trace.h.
 */
#include "simpling/trace.h"

#include <math.h>
#include <string.h>

#include "book/code.h"
#include "book/drying.h"
#include "book/harvest.h"
#include "book/lot.h"
#include "book/purchase.h"
#include "book/reaction.h"
#include "book/site.h"
#include "book/trace.h"
#include "core/geodesic.h"
#include "core/geometry.h"
#include "season/batch_private.h"
#include "season/check_private.h"
#include "season/state.h"
#include "season/trace_withdraw.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/record/reason.h"

static const struct spl_field harvest_fields[] = {
    SPL_FIELD(spl_trace_harvest, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_trace_harvest, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_trace_harvest, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_trace_harvest, date, SPL_DAY, "date", "date"),
    SPL_FIELD_NUM(spl_trace_harvest, weight_g, 1, "weight_g", "weight g"),
    SPL_FIELD(spl_trace_harvest, verdict, SPL_WORD, "verdict", "verdict",
              .names = spl_verdict_names),
    SPL_FIELD(spl_trace_harvest, permission, SPL_TEXT, "permission", "permission"),
    SPL_FIELD(spl_trace_harvest, struck, SPL_TEXT, "struck", "struck"),
};
const struct spl_shape spl_trace_harvest_shape =
    SPL_SHAPE("trace_harvest", spl_trace_harvest, harvest_fields);

static const struct spl_field other_fields[] = {
    SPL_FIELD(spl_trace_other, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_trace_other, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_trace_other, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_trace_other, supplier, SPL_TEXT, "supplier", "supplier"),
    SPL_FIELD(spl_trace_other, number, SPL_TEXT, "number", "number"),
};
const struct spl_shape spl_trace_other_shape =
    SPL_SHAPE("trace_other", spl_trace_other, other_fields);

static const struct spl_field batch_fields[] = {
    SPL_FIELD(spl_trace_batch, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_trace_batch, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD(spl_trace_batch, started, SPL_DAY, "started", "started"),
    SPL_FIELD(spl_trace_batch, state, SPL_WORD, "state", "state", .names = spl_batch_state_names),
    SPL_FIELD(spl_trace_batch, held, SPL_TEXT, "held", "held"),
    SPL_FIELD_LIST(spl_trace_batch, because, &spl_cause_shape, "because", NULL),
};
const struct spl_shape spl_trace_batch_shape =
    SPL_SHAPE("trace_batch", spl_trace_batch, batch_fields);

static const struct spl_field lot_fields[] = {
    SPL_FIELD(spl_trace_lot, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_trace_lot, preparation, SPL_TEXT, "preparation", "preparation"),
    SPL_FIELD(spl_trace_lot, materials, SPL_TEXT, "materials", NULL),
    SPL_FIELD(spl_trace_lot, made, SPL_DAY, "made", "made"),
    SPL_FIELD(spl_trace_lot, use_by, SPL_DAY, "use_by", NULL),
    SPL_FIELD_NUM(spl_trace_lot, left_ml, 1, "left_ml", "left mL"),
    SPL_FIELD_NUM(spl_trace_lot, left_g, 1, "left_g", "left g"),
    SPL_FIELD(spl_trace_lot, state, SPL_WORD, "state", "state", .names = spl_state_names),
    SPL_FIELD_LIST(spl_trace_lot, because, &spl_cause_shape, "because", NULL),
    SPL_FIELD(spl_trace_lot, why, SPL_TEXT, "why", NULL),
    SPL_FIELD(spl_trace_lot, unit, SPL_TEXT, "unit", NULL),
    SPL_FIELD_NUM(spl_trace_lot, made_amount, 1, "made_amount", NULL),
    SPL_FIELD_NUM(spl_trace_lot, left, 1, "left", NULL),
    SPL_FIELD_NUM(spl_trace_lot, out, 1, "out", "out", .by_unit = 1),
    SPL_FIELD_NUM(spl_trace_lot, drawn, 1, "drawn", "in other jars", .by_unit = 1),
    SPL_FIELD_NUM(spl_trace_lot, thrown, 1, "thrown", "thrown away", .by_unit = 1),
    SPL_FIELD_NUM(spl_trace_lot, unaccounted, 1, "unaccounted", "unaccounted", .by_unit = 1),
    SPL_FIELD(spl_trace_lot, bottles, SPL_TEXT, "bottles", NULL),
    SPL_FIELD(spl_trace_lot, full, SPL_TEXT, "full", "bottles"),
    SPL_FIELD(spl_trace_lot, place, SPL_TEXT, "place", "stands"),
    SPL_FIELD_LIST(spl_trace_lot, used, &spl_lot_use_shape, "used", NULL),
};
const struct spl_shape spl_trace_lot_shape = SPL_SHAPE("trace_lot", spl_trace_lot, lot_fields);

static const struct spl_field said_fields[] = {
    SPL_FIELD(spl_trace_said, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_trace_said, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_trace_said, kind, SPL_WORD, "kind", "kind", .names = spl_spray_kind_names),
    SPL_FIELD(spl_trace_said, on, SPL_DAY, "on", "on"),
    SPL_FIELD(spl_trace_said, source, SPL_TEXT, "source", "said by"),
    SPL_FIELD(spl_trace_said, noted, SPL_DAY, "noted", "noted"),
    SPL_FIELD(spl_trace_said, method, SPL_TEXT, "method", NULL),
    SPL_FIELD(spl_trace_said, product, SPL_TEXT, "product", "product"),
};
const struct spl_shape spl_trace_said_shape = SPL_SHAPE("trace_said", spl_trace_said, said_fields);

static const struct spl_field trace_fields[] = {
    SPL_FIELD(spl_trace, of, SPL_TEXT, "of", "trace of"),
    SPL_FIELD(spl_trace, sites, SPL_TEXTS, "sites", "places"),
    SPL_FIELD_LIST(spl_trace, said, &spl_trace_said_shape, "said", "was said"),
    SPL_FIELD_LIST(spl_trace, harvests, &spl_trace_harvest_shape, "harvests", "harvests"),
    SPL_FIELD_LIST(spl_trace, purchases, &spl_trace_other_shape, "purchases", "purchases"),
    SPL_FIELD_LIST(spl_trace, dryings, &spl_trace_other_shape, "dryings", "dryings"),
    SPL_FIELD_LIST(spl_trace, batches, &spl_trace_batch_shape, "batches", "batches"),
    SPL_FIELD_LIST(spl_trace, lots, &spl_trace_lot_shape, "lots", "lots"),
    SPL_FIELD_LIST(spl_trace, uses, &spl_lot_use_shape, "uses", "went out"),
    SPL_FIELD_LIST(spl_trace, reactions, &spl_reaction_shape, "reactions", "complaints, reactions"),
    SPL_FIELD(spl_trace, withdrawn, SPL_TEXTS, "withdrawn", "withdrawn now"),
    SPL_FIELD(spl_trace, held, SPL_TEXTS, "held", "held from now on"),
};
const struct spl_shape spl_trace_shape = SPL_SHAPE("trace", spl_trace, trace_fields);

static void begin(struct spl_trace *trace)
{
    *trace = (struct spl_trace){
        .sites = g_ptr_array_new_with_free_func(g_free),
        .said = spl_list_new(&spl_trace_said_shape),
        .reactions = spl_list_new(&spl_reaction_shape),
        .harvests = spl_list_new(&spl_trace_harvest_shape),
        .purchases = spl_list_new(&spl_trace_other_shape),
        .dryings = spl_list_new(&spl_trace_other_shape),
        .batches = spl_list_new(&spl_trace_batch_shape),
        .lots = spl_list_new(&spl_trace_lot_shape),
        .uses = spl_list_new(&spl_lot_use_shape),
        .withdrawn = g_ptr_array_new_with_free_func(g_free),
        .held = g_ptr_array_new_with_free_func(g_free),
    };
}

/* What held on the day of the harvest: the last word noted until then. NULL: none. */
static char *permission_on(struct spl_book *book, gint64 site_id, struct spl_day day,
                           GError **error)
{
    GArray *notes = spl_permission_list(book, site_id, error);
    char *words = NULL;

    for (guint i = 0; notes != NULL && i < notes->len; i++) {
        const struct spl_permission_note *note =
            &g_array_index(notes, struct spl_permission_note, i);
        g_autofree char *on = spl_day_words(note->on);

        if (spl_day_compare(note->on, day) > 0)
            continue;
        g_free(words);
        words = g_strdup_printf("%s by %s on %s%s", note->given ? "given" : "refused", note->by, on,
                                note->written ? ", written" : "");
    }
    if (notes != NULL)
        spl_list_free(&spl_permission_note_shape, notes);
    return words;
}

static gboolean add_harvest(struct spl_house *house, const char *code, struct spl_trace *trace,
                            GError **error)
{
    struct spl_harvest harvest;
    struct spl_trace_harvest one;

    if (!spl_harvest_find(house->book, code, &harvest, error))
        return FALSE;
    one = (struct spl_trace_harvest){
        .code = g_strdup(code),
        .site = g_strdup(harvest.site),
        .material = g_strdup(harvest.material),
        .date = harvest.date,
        .verdict = harvest.verdict,
        .weight_g = harvest.weight_g,
        .struck = g_strdup(harvest.struck),
        .permission = permission_on(house->book, harvest.site_id, harvest.date, NULL),
    };
    g_array_append_val(trace->harvests, one);
    if (!g_ptr_array_find_with_equal_func(trace->sites, harvest.site, g_str_equal, NULL))
        g_ptr_array_add(trace->sites, g_strdup(harvest.site));
    spl_record_clear(&spl_harvest_shape, &harvest);
    return TRUE;
}

static gboolean add_purchase(struct spl_house *house, const char *code, struct spl_trace *trace,
                             GError **error)
{
    struct spl_purchase purchase;
    struct spl_trace_other one;

    if (!spl_purchase_find(house->book, code, &purchase, error))
        return FALSE;
    one = (struct spl_trace_other){.code = g_strdup(code),
                                   .material = g_strdup(purchase.material),
                                   .date = purchase.date,
                                   .supplier = g_strdup(purchase.supplier),
                                   .number = g_strdup(purchase.number)};
    g_array_append_val(trace->purchases, one);
    spl_record_clear(&spl_purchase_shape, &purchase);
    return TRUE;
}

static gboolean add_drying(struct spl_house *house, const char *code, struct spl_trace *trace,
                           GError **error)
{
    struct spl_drying drying;
    struct spl_trace_other one;

    if (!spl_drying_find(house->book, code, &drying, error))
        return FALSE;
    one = (struct spl_trace_other){
        .code = g_strdup(code), .material = g_strdup(drying.material), .date = drying.started};
    g_array_append_val(trace->dryings, one);
    spl_record_clear(&spl_drying_shape, &drying);
    return TRUE;
}

static gboolean add_batch(struct spl_house *house, const char *code, struct spl_trace *trace,
                          GError **error)
{
    struct spl_batch_row row;
    struct spl_trace_batch one;
    gboolean ok;

    if (!spl_batch_find(house->book, code, &row, error))
        return FALSE;
    one = (struct spl_trace_batch){
        .code = g_strdup(code),
        .preparation = g_strdup(row.preparation),
        .started = row.day,
        .state = row.struck != NULL            ? SPL_BATCH_STRUCK
                 : spl_day_is_set(row.pressed) ? SPL_BATCH_PRESSED
                                               : SPL_BATCH_STANDS,
    };
    ok = spl_standing_say(house, NULL, row.id, &one.held, &one.because, error);
    g_array_append_val(trace->batches, one);
    spl_batch_row_clear(&row);
    return ok;
}

static gboolean add_lot(struct spl_house *house, gint64 id, struct spl_trace *trace, GError **error)
{
    struct spl_lot lot;
    struct spl_trace_lot one;

    if (!spl_shelf_get(house, id, &lot, error))
        return FALSE;
    one = (struct spl_trace_lot){.code = g_strdup(lot.code),
                                 .preparation = g_strdup(lot.preparation),
                                 .made = lot.made,
                                 .left_ml = lot.left_ml,
                                 .left_g = lot.left_g,
                                 .materials = g_strdup(lot.materials),
                                 .use_by = lot.use_by,
                                 .state = lot.state,
                                 .why = g_strdup(lot.why),
                                 .unit = g_strdup(lot.unit == SPL_LOT_G ? "g" : "mL"),
                                 .made_amount = lot.amount,
                                 .left = lot.unit == SPL_LOT_G ? lot.left_g : lot.left_ml,
                                 .out = lot.out,
                                 .drawn = lot.drawn,
                                 .thrown = lot.thrown,
                                 .unaccounted = -lot.counted,
                                 .bottles = g_strdup(lot.bottles),
                                 .full = g_strdup(lot.full),
                                 .place = g_strdup(lot.place),
                                 .because = g_steal_pointer(&lot.because)};
    one.used = spl_lot_uses(house->book, id, error);
    g_array_append_val(trace->lots, one);
    spl_record_clear(&spl_lot_shape, &lot);
    return one.used != NULL;
}

static gboolean add_reached(struct spl_house *house, const struct spl_reached *reached,
                            struct spl_trace *trace, GError **error)
{
    switch (reached->kind) {
    case 'H':
        return add_harvest(house, reached->code, trace, error);
    case 'P':
        return add_purchase(house, reached->code, trace, error);
    case 'D':
        return add_drying(house, reached->code, trace, error);
    case 'B':
        return add_batch(house, reached->code, trace, error);
    case 'L':
        return add_lot(house, reached->id, trace, error);
    default:
        return TRUE;
    }
}

/* To whom it went: of all lots in one list, as one rings them up. */
static void gather_uses(struct spl_trace *trace)
{
    for (guint i = 0; i < trace->lots->len; i++) {
        const GArray *used = g_array_index(trace->lots, struct spl_trace_lot, i).used;

        for (guint k = 0; k < used->len; k++) {
            struct spl_lot_use use;

            spl_record_copy(&spl_lot_use_shape, &g_array_index(used, struct spl_lot_use, k), &use);
            g_array_append_val(trace->uses, use);
        }
    }
}

/* What was said of spraying at those places and stands. */
static gboolean gather_said(struct spl_house *house, struct spl_trace *trace, GError **error)
{
    for (guint i = 0; i < trace->sites->len; i++) {
        struct spl_site site;
        GArray *notes;

        if (!spl_site_find(house->book, trace->sites->pdata[i], &site, error))
            return FALSE;
        notes = spl_spray_list(house->book, site.id, FALSE, error);
        spl_record_clear(&spl_site_shape, &site);
        if (notes == NULL)
            return FALSE;
        for (guint k = 0; k < notes->len; k++) {
            const struct spl_spray_record *note = &g_array_index(notes, struct spl_spray_record, k);
            struct spl_trace_said said = {.on = note->on, .noted = note->noted};

            if (note->kind == SPL_SPRAY_UNSPRAYED)
                continue;
            said.code = g_strdup(note->code);
            said.site = g_strdup(note->site);
            said.kind = note->kind;
            said.source = g_strdup(note->source);
            said.method = g_strdup(note->method);
            said.product = g_strdup(note->product);
            g_array_append_val(trace->said, said);
        }
        spl_list_free(&spl_spray_record_shape, notes);
    }
    return TRUE;
}

/* Is it of one of those lots, or of somebody to whom they went? */
static gboolean concerns(const struct spl_trace *trace, const struct spl_reaction *reaction)
{
    for (guint i = 0; reaction->code != NULL && i < trace->lots->len; i++) {
        if (strcmp(g_array_index(trace->lots, struct spl_trace_lot, i).code, reaction->code) == 0)
            return TRUE;
    }
    for (guint i = 0; reaction->code == NULL && i < trace->uses->len; i++) {
        if (g_strcmp0(g_array_index(trace->uses, struct spl_lot_use, i).ref, reaction->ref) == 0)
            return TRUE;
    }
    return FALSE;
}

static gboolean gather_reactions(struct spl_house *house, struct spl_trace *trace, GError **error)
{
    GArray *all = spl_reaction_list(house->book, 0, NULL, error);

    if (all == NULL)
        return FALSE;
    for (guint i = 0; i < all->len; i++) {
        const struct spl_reaction *one = &g_array_index(all, struct spl_reaction, i);
        struct spl_reaction own;

        if (!concerns(trace, one))
            continue;
        spl_record_copy(&spl_reaction_shape, one, &own);
        g_array_append_val(trace->reactions, own);
    }
    spl_list_free(&spl_reaction_shape, all);
    return TRUE;
}

/* Adds all that is reached one way, but for what `seen` holds already. */
static gboolean add_way(struct spl_house *house, const GArray *seeds, gboolean forward,
                        GHashTable *seen, struct spl_trace *trace, GError **error)
{
    g_autoptr(GArray) reached = spl_trace_reach(house->book, seeds, forward, error);

    if (reached == NULL)
        return FALSE;
    for (guint i = 0; i < reached->len; i++) {
        const struct spl_reached *one = &g_array_index(reached, struct spl_reached, i);

        if (!g_hash_table_add(seen, g_memdup2(&one->id, sizeof one->id)))
            continue;
        if (!add_reached(house, one, trace, error))
            return FALSE;
    }
    return TRUE;
}

static gboolean trace_code(struct spl_house *house, const char *code, struct spl_trace *trace,
                           GError **error)
{
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GHashTable) seen = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    struct spl_thing thing;

    if (!spl_code_is_shaped(code)) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "sprayed",
                            "is missing: '%s' is no code; to trace a place, say when it was "
                            "sprayed, a day or a month",
                            code);
        return FALSE;
    }
    if (!spl_code_find(house->book, code, "HPDBL", "anything to trace", &thing, error)) {
        spl_error_about(error, "of");
        return FALSE;
    }
    trace->of = g_strdup(thing.code);
    g_array_append_val(seeds, thing.id);
    spl_thing_clear(&thing);
    return add_way(house, seeds, FALSE, seen, trace, error) &&
           add_way(house, seeds, TRUE, seen, trace, error);
}

/* ---- from a place -------------------------------------------------------------------------- */

static struct spl_geometry *geometry_of(const struct spl_site *site, GError **error)
{
    return site->outline_wkt != NULL ? spl_geometry_from_wkt(site->outline_wkt, site->name, error)
                                     : spl_geometry_new_point(site->lat, site->lon);
}

struct neighbours {
    struct spl_ranger *ranger; /* NULL: only the site itself */
    gint64 site_id;
    double within_m, accuracy_m;
    GArray *ids; /* gint64 */
};

/* Keeps the site itself and those that may lie so near: positions are uncertain. */
static gboolean keep_near(const struct spl_site *site, gpointer data, GError **error)
{
    struct neighbours *near = data;
    g_autoptr(spl_geometry) ground = NULL;
    double distance_m;

    if (site->id != near->site_id) {
        ground = geometry_of(site, error);
        if (ground == NULL)
            return FALSE;
        distance_m = spl_ranger_distance_m(near->ranger, ground) - near->accuracy_m -
                     (isnan(site->accuracy_m) ? 0.0 : site->accuracy_m);
        if (!(distance_m <= near->within_m))
            return TRUE;
    }
    g_array_append_val(near->ids, site->id);
    return TRUE;
}

static gboolean find_sites(struct spl_house *house, const struct spl_site *site, double within_m,
                           GArray *ids, GError **error)
{
    struct neighbours near = {.site_id = site->id,
                              .within_m = within_m,
                              .accuracy_m = isnan(site->accuracy_m) ? 0.0 : site->accuracy_m,
                              .ids = ids};
    g_autoptr(spl_geometry) ground = NULL;
    gboolean ok;

    if (!(within_m > 0.0)) {
        g_array_append_val(ids, site->id);
        return TRUE;
    }
    ground = geometry_of(site, error);
    if (ground == NULL)
        return FALSE;
    near.ranger = spl_ranger_new(ground);
    ok = spl_site_each(house->book, keep_near, &near, error);
    spl_ranger_free(near.ranger);
    return ok;
}

/* Every harvest on those grounds in the days of the hold. */
static gboolean find_harvests(struct spl_house *house, const GArray *sites, struct spl_day sprayed,
                              GArray *seeds, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_method *method;

    if (tables == NULL || !spl_tables_method(tables, SPL_METHOD_UNKNOWN, &method, error))
        return FALSE;
    for (guint i = 0; i < sites->len; i++) {
        if (!spl_trace_harvests(house->book, g_array_index(sites, gint64, i), sprayed,
                                spl_day_add(sprayed, method->hold_on_days), seeds, error))
            return FALSE;
    }
    return TRUE;
}

static gboolean trace_site(struct spl_house *house, const struct spl_trace_words *words,
                           struct spl_trace *trace, GError **error)
{
    g_autoptr(GArray) sites = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GHashTable) seen = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    double within_m = isnan(words->within_m) ? 0.0 : words->within_m;
    struct spl_site site;
    g_autofree char *sprayed = spl_day_words(words->sprayed);
    gboolean ok;

    if (!spl_house_site(house, "of", words->of, &site, error))
        return FALSE;
    trace->of = g_strdup_printf("%s, sprayed on or after %s", site.name, sprayed);
    ok = find_sites(house, &site, within_m, sites, error) &&
         find_harvests(house, sites, words->sprayed, seeds, error) &&
         add_way(house, seeds, TRUE, seen, trace, error) &&
         (!words->withdraw || spl_trace_withdraw(house, trace, words->sprayed, words->by, error));
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

/* ---- what is said -------------------------------------------------------------------------- */

static const struct spl_input trace_rows[] = {
    SPL_INPUT(spl_trace_words, of, NAME, "of", "a code, or the name of a place that was sprayed",
              .value = "CODE|SITE", .needed = 1),
    SPL_INPUT(spl_trace_words, sprayed, MONTH, "sprayed",
              "the place was sprayed then: 2027-05-12, or a month 2027-05", .past = 1),
    SPL_INPUT(spl_trace_words, within_m, LENGTH, "within", "places so near to it too: 100m",
              .value = "DISTANCE"),
    SPL_INPUT(spl_trace_words, withdraw, FLAG, "withdraw", "withdraw every lot that is reached"),
    SPL_INPUT(spl_trace_words, by, NAME, "by", "who withdraws", .value = "WHO", .setting = "who"),
};
static const struct spl_rule trace_rules[] = {{SPL_RULE_WITH, {"within", "sprayed"}},
                                              {SPL_RULE_WITH, {"withdraw", "sprayed"}}};
const struct spl_inputs spl_trace_inputs =
    SPL_INPUTS("trace", spl_trace_words, trace_rows, SPL_RULES(trace_rules));

gboolean spl_trace_follow(struct spl_house *house, const struct spl_trace_words *said,
                          struct spl_trace *trace, GError **error)
{
    struct spl_trace_words words;
    struct spl_trace made;
    gboolean ok;

    if (!spl_entry_take(house, &spl_trace_inputs, said, &words, error))
        return FALSE;
    begin(&made);
    if (!spl_day_is_set(words.sprayed))
        ok = trace_code(house, words.of, &made, error);
    else if (!words.withdraw)
        ok = trace_site(house, &words, &made, error);
    else
        ok = spl_book_begin(house->book, error) &&
             spl_book_finish(house->book, trace_site(house, &words, &made, error), error);
    if (ok) {
        gather_uses(&made);
        ok = gather_said(house, &made, error) && gather_reactions(house, &made, error);
    }
    if (ok) {
        *trace = made;
    } else {
        spl_record_clear(&spl_trace_shape, &made);
    }
    spl_inputs_clear(&spl_trace_inputs, &words);
    return ok;
}

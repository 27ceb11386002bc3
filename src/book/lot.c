/* SPDX-License-Identifier: MIT
 *
 * Lots as rows. See book/lot.h.
 */
#include "book/lot.h"

#include <math.h>
#include <string.h>

#include "book/code.h"
#include "book/draw.h"
#include "book/noun.h"
#include "book/over.h"
#include "book/reaction.h"
#include "core/alcohol.h"
#include "core/bottle.h"
#include "simpling/record/reason.h"

static const struct spl_field event_fields[] = {
    SPL_FIELD(spl_lot_event, date, SPL_DAY, "date", "date", SPL_STORED("day")),
    SPL_FIELD(spl_lot_event, kind, SPL_WORD, "kind", "what", SPL_STORED("kind"),
              .names = spl_lot_act_names),
    SPL_FIELD(spl_lot_event, why, SPL_TEXT, "why", "why", SPL_STORED("why")),
    SPL_FIELD_NUM(spl_lot_event, counted, 1, "counted", "counted", SPL_STORED("counted")),
    SPL_FIELD_NUM(spl_lot_event, difference, 1, "difference", "difference",
                  SPL_STORED("difference")),
    SPL_FIELD(spl_lot_event, by, SPL_TEXT, "by", "by", SPL_STORED("by")),
};
const struct spl_shape spl_lot_event_shape = SPL_SHAPE("lot_event", spl_lot_event, event_fields);

const struct spl_noun spl_lot_event_noun = {
    .shape = &spl_lot_event_shape,
    .table = "lot_event",
    .from = "lot_event_now t",
    .fact = TRUE,
};

/* Of the use that it was a part of. Asked for by its id: joined, all uses of the book would be gone
 * through for one lot. */
#define OF_USE(field, else_)                                                                       \
    "CASE WHEN EXISTS (SELECT 1 FROM use x WHERE x.id = t.use_id)"                                 \
    " THEN (SELECT w." field " FROM use_now w WHERE w.id = t.use_id) ELSE " else_ " END"

static const struct spl_field use_fields[] = {
    SPL_FIELD(spl_lot_use, code, SPL_TEXT, "code", "lot",
              SPL_CODE("'L', h.mark, h.year, h.number")),
    SPL_FIELD(spl_lot_use, date, SPL_DAY, "date", "date", SPL_READ("t.day")),
    SPL_FIELD_NUM(spl_lot_use, ml, 1, "ml", "mL", SPL_READ("iif(l.unit = 'mL', t.amount, NULL)")),
    SPL_FIELD_NUM(spl_lot_use, g, 1, "g", "g", SPL_READ("iif(l.unit = 'g', t.amount, NULL)")),
    SPL_FIELD(spl_lot_use, ref, SPL_TEXT, "ref", "for", SPL_READ(OF_USE("ref", "t.ref"))),
    SPL_FIELD(spl_lot_use, by, SPL_TEXT, "by", "by", SPL_READ(OF_USE("by", "t.by"))),
    SPL_FIELD(spl_lot_use, use, SPL_TEXT, "use", "use",
              SPL_CODE("g.kind, g.mark, g.year, g.number")),
    SPL_FIELD(spl_lot_use, directions, SPL_TEXT, "directions", NULL,
              SPL_READ(OF_USE("directions", "NULL"))),
    SPL_FIELD(spl_lot_use, with, SPL_TEXT, "with", "with"),
};
const struct spl_shape spl_lot_use_shape = SPL_SHAPE("lot_use", spl_lot_use, use_fields);

const struct spl_noun spl_lot_use_noun = {
    .shape = &spl_lot_use_shape,
    .from = "lot_use_now t JOIN lot l ON l.id = t.lot_id JOIN thing h ON h.id = t.lot_id"
            " LEFT JOIN thing g ON g.id = t.use_id",
};

static const char *const unit_names[] = {"mL", "g", NULL};

static const struct spl_field lot_fields[] = {
    SPL_FIELD(spl_lot, code, SPL_TEXT, "code", "code", SPL_CODE("'L', t.mark, t.year, t.number")),
    SPL_FIELD(spl_lot, materials, SPL_TEXT, "materials", "materials", SPL_STORED("materials"),
              .empty = TRUE),
    SPL_FIELD(spl_lot, preparation, SPL_TEXT, "preparation", "preparation",
              SPL_STORED("preparation"), .empty = TRUE),
    SPL_FIELD(spl_lot, made, SPL_DAY, "made", "made", SPL_STORED("day")),
    SPL_FIELD(spl_lot, use_by, SPL_DAY, "use_by", "use by", SPL_STORED("use_by")),
    SPL_FIELD_NUM(spl_lot, left_ml, 1, "left_ml", "left mL"),
    SPL_FIELD_NUM(spl_lot, left_g, 1, "left_g", "left g"),
    SPL_FIELD(spl_lot, state, SPL_WORD, "state", "state", .names = spl_state_names),
    SPL_FIELD_SHOW(spl_lot, why, SPL_TEXT, "why", "why"),
    SPL_FIELD_LIST(spl_lot, because, &spl_cause_shape, "because", NULL),
    SPL_FIELD_NUM(spl_lot, made_ml, 1, "made_ml", NULL),
    SPL_FIELD_NUM(spl_lot, made_g, 1, "made_g", NULL),
    SPL_FIELD_NUM(spl_lot, ratio, 2, "ratio", NULL, SPL_STORED("ratio")),
    SPL_FIELD_NUM(spl_lot, abv, 1, "abv", "% vol"),
    SPL_FIELD_NUM(spl_lot, acid, 2, "acid", NULL),
    SPL_FIELD_NUM(spl_lot, glycerol, 1, "glycerol", NULL),
    SPL_FIELD_NUM(spl_lot, sugar, 1, "sugar", NULL),
    SPL_FIELD_SHOW(spl_lot, menstruum, SPL_TEXT, "menstruum", "liquid", SPL_STORED("menstruum")),
    SPL_FIELD_SHOW(spl_lot, storage, SPL_TEXT, "storage", "keep", SPL_STORED("storage")),
    SPL_FIELD(spl_lot, outside, SPL_BOOL, "outside", NULL, SPL_STORED("outside")),
    SPL_FIELD_SHOW(spl_lot, raw, SPL_TEXT, "raw", "of raw", SPL_STORED("raw")),
    SPL_FIELD_SHOW(spl_lot, from, SPL_TEXTS, "from", "from", .if_known = TRUE),
    SPL_FIELD(spl_lot, taken, SPL_TEXTS, "taken", NULL, .if_known = TRUE),
    SPL_FIELD_LIST(spl_lot, events, &spl_lot_event_shape, "events", NULL, .if_known = TRUE),
    SPL_FIELD_LIST(spl_lot, used, &spl_lot_use_shape, "used", NULL, .if_known = TRUE),
    SPL_FIELD_LIST(spl_lot, reactions, &spl_reaction_shape, "reactions", NULL, .if_known = TRUE),
    SPL_FIELD_LIST(spl_lot, answered, &spl_cause_shape, "answered", "answered", .if_known = TRUE),
    SPL_FIELD_SHOW(spl_lot, bottles, SPL_TEXT, "bottles", "bottles", SPL_STORED("bottles")),
    SPL_FIELD_SHOW(spl_lot, full, SPL_TEXT, "full", "of these full"),
    SPL_FIELD_SHOW(spl_lot, place, SPL_TEXT, "place", "stands", SPL_STORED("place")),
    SPL_FIELD_SHOW(spl_lot, by, SPL_TEXT, "by", "by", SPL_STORED("by")),
    SPL_FIELD_SHOW(spl_lot, remark, SPL_TEXT, "remark", "remark", SPL_STORED("remark")),
    SPL_FIELD_SHOW(spl_lot, struck, SPL_TEXT, "struck", "struck", SPL_READ("struck"),
                   .empty = TRUE),
    SPL_FIELD(spl_lot, uuid, SPL_TEXT, "uuid", NULL, SPL_READ("uuid")),
    SPL_FIELD_KEPT(spl_lot, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_lot, unit, SPL_WORD, SPL_STORED("unit"), .names = unit_names),
    SPL_FIELD_KEPT(spl_lot, amount, SPL_NUM, SPL_STORED("amount")),
    SPL_FIELD_KEPT(spl_lot, gone, SPL_NUM, SPL_READ("t.drawn + t.used + t.discarded - t.counted")),
    SPL_FIELD_KEPT(spl_lot, drawn, SPL_NUM, SPL_READ("t.drawn")),
    SPL_FIELD_KEPT(spl_lot, out, SPL_NUM, SPL_READ("t.used")),
    SPL_FIELD_KEPT(spl_lot, thrown, SPL_NUM, SPL_READ("t.discarded")),
    SPL_FIELD_KEPT(spl_lot, counted, SPL_NUM, SPL_READ("t.counted")),
    SPL_FIELD_KEPT(spl_lot, mass_g, SPL_NUM, SPL_STORED("mass_g")),
    SPL_FIELD_KEPT(spl_lot, ethanol_g, SPL_NUM, SPL_STORED("ethanol_g")),
    SPL_FIELD_KEPT(spl_lot, acid_g, SPL_NUM, SPL_STORED("acid_g")),
    SPL_FIELD_KEPT(spl_lot, glycerol_ml, SPL_NUM, SPL_STORED("glycerol_ml")),
    SPL_FIELD_KEPT(spl_lot, sugar_g, SPL_NUM, SPL_STORED("sugar_g")),
    SPL_FIELD_KEPT(spl_lot, hold, SPL_TEXT, SPL_STORED("hold")),
    SPL_FIELD_KEPT(spl_lot, decided, SPL_WORD, SPL_READ("decided"), .names = spl_lot_act_names),
    SPL_FIELD_KEPT(spl_lot, decided_why, SPL_TEXT, SPL_READ("decided_why")),
};
const struct spl_shape spl_lot_shape = SPL_SHAPE("lot", spl_lot, lot_fields);

const struct spl_noun spl_lot_noun = {
    .shape = &spl_lot_shape,
    .table = "lot",
    .from = "lot_now t",
    .thing = 'L',
};

#define CRUMB 0.05 /* mL or g: nothing */

/* Which state holds: taken back, destroyed, withdrawn, used up, held, out of date, released. */
static void settle_state(struct spl_lot *lot, double left, struct spl_day today)
{
    enum spl_lot_act decided = lot->decided;
    const char *why = lot->decided_why;

    lot->state = SPL_STATE_ON_SHELF;
    if (lot->struck != NULL) {
        lot->state = SPL_STATE_STRUCK;
        why = lot->struck;
    } else if (decided == SPL_LOT_WAS_DESTROYED || decided == SPL_LOT_WAS_WITHDRAWN) {
        lot->state = decided == SPL_LOT_WAS_DESTROYED ? SPL_STATE_DESTROYED : SPL_STATE_WITHDRAWN;
    } else if (left < CRUMB) {
        lot->state = SPL_STATE_USED_UP;
        why = NULL;
    } else if (decided != SPL_LOT_UNSAID ? decided == SPL_LOT_WAS_HELD : lot->hold != NULL) {
        lot->state = SPL_STATE_IS_HELD;
        why = decided != SPL_LOT_UNSAID ? why : lot->hold;
    } else if (spl_day_is_set(lot->use_by) && spl_day_compare(lot->use_by, today) < 0) {
        lot->state = SPL_STATE_OUT_OF_DATE;
        why = NULL;
    }
    lot->why = g_strdup(why);
}

/* What follows from what is kept. */
static void settle(struct spl_lot *lot, struct spl_day today)
{
    gboolean weighed = lot->unit == SPL_LOT_G;
    double left = lot->amount - lot->gone;
    const struct spl_blend one = spl_lot_blend(lot);

    lot->made_ml = weighed ? (double)NAN : lot->amount;
    lot->made_g = weighed ? lot->amount : (double)NAN;
    lot->left_ml = weighed ? (double)NAN : MAX(0.0, left);
    lot->left_g = weighed ? MAX(0.0, left) : (double)NAN;
    if (one.ethanol_g > 0.0)
        lot->abv = spl_blend_abv(&one) * 100.0;
    if (one.acid_g > 0.0)
        lot->acid = spl_blend_acid(&one) * 100.0;
    if (one.glycerol_ml > 0.0)
        lot->glycerol = one.glycerol_ml * 100.0;
    if (one.sugar_g > 0.0)
        lot->sugar = spl_blend_sugar(&one) * 100.0;
    lot->full = spl_bottles_left(lot->bottles, left, weighed ? "g" : "mL");
    settle_state(lot, left, today);
}

struct spl_blend spl_lot_blend(const struct spl_lot *lot)
{
    if (isnan(lot->mass_g))
        return (struct spl_blend){0};
    return (struct spl_blend){.ml = 1.0,
                              .mass_g = lot->mass_g,
                              .ethanol_g = lot->ethanol_g,
                              .acid_g = lot->acid_g,
                              .glycerol_ml = lot->glycerol_ml,
                              .sugar_g = lot->sugar_g};
}

gboolean spl_lot_add(struct spl_book *book, struct spl_lot *lot, const struct spl_blend *blend,
                     const char *hold, GError **error)
{
    gboolean weighed = !isnan(lot->made_g), liquid = blend != NULL && blend->ml > 0.0;
    double per = liquid ? 1.0 / blend->ml : (double)NAN;
    struct spl_lot row = *lot;

    row.unit = weighed ? SPL_LOT_G : SPL_LOT_ML;
    row.amount = weighed ? lot->made_g : lot->made_ml;
    row.mass_g = liquid ? blend->mass_g * per : (double)NAN;
    row.ethanol_g = liquid ? blend->ethanol_g * per : (double)NAN;
    row.acid_g = liquid ? blend->acid_g * per : (double)NAN;
    row.glycerol_ml = liquid ? blend->glycerol_ml * per : (double)NAN;
    row.sugar_g = liquid ? blend->sugar_g * per : (double)NAN;
    row.hold = (char *)hold;
    if (!spl_noun_add(book, &spl_lot_noun, &row, row.made, SPL_NONE, error))
        return FALSE;
    lot->id = row.id;
    lot->uuid = row.uuid;
    lot->code = row.code;
    return TRUE;
}

gboolean spl_lot_event_add(struct spl_book *book, gint64 lot_id, enum spl_lot_act act,
                           struct spl_day day, const char *why, double counted, double difference,
                           const char *by, GError **error)
{
    const char *kind = spl_lot_act_names[act];

    return spl_fact_add(book, "lot_event",
                        SPL_NAMED(lot_id, kind, day, why, counted, difference, by), error);
}

gboolean spl_lot_use_add(struct spl_book *book, gint64 lot_id, const struct spl_use *use,
                         double amount, GError **error)
{
    const char *call = use->uuid, *ref = use->ref, *by = use->by;
    struct spl_day day = use->day;
    gint64 use_id = use->id;

    return spl_fact_add(book, "lot_use", SPL_NAMED(lot_id, use_id, call, day, amount, ref, by),
                        error);
}

/* What else went out with a use of this lot, in words; NULL: nothing. */
static char *went_with(const GArray *all, const struct spl_lot_use *use)
{
    g_autoptr(GString) with = g_string_new(NULL);

    for (guint i = 0; i < all->len; i++) {
        const struct spl_lot_use *other = &g_array_index(all, struct spl_lot_use, i);

        if (g_strcmp0(other->use, use->use) == 0 && strcmp(other->code, use->code) != 0)
            g_string_append_printf(with, "%s%s %.4g %s", with->len > 0 ? ", " : "", other->code,
                                   isnan(other->ml) ? other->g : other->ml,
                                   isnan(other->ml) ? "g" : "mL");
    }
    return with->len > 0 ? g_string_free(g_steal_pointer(&with), FALSE) : NULL;
}

GArray *spl_lot_uses(struct spl_book *book, gint64 lot_id, GError **error)
{
    GArray *uses = spl_noun_list(book, &spl_lot_use_noun, "WHERE t.lot_id = ? ORDER BY t.day, t.at",
                                 SPL_WITH(lot_id), error);
    GArray *all = uses != NULL
                      ? spl_noun_list(book, &spl_lot_use_noun,
                                      "WHERE t.use_id IN (SELECT u.use_id FROM lot_use_now u"
                                      " WHERE u.lot_id = ?) ORDER BY t.day, t.at",
                                      SPL_WITH(lot_id), error)
                      : NULL;

    if (all == NULL) {
        spl_list_free(&spl_lot_use_shape, uses);
        return NULL;
    }
    for (guint i = 0; i < uses->len; i++) {
        struct spl_lot_use *use = &g_array_index(uses, struct spl_lot_use, i);

        use->with = went_with(all, use);
    }
    spl_list_free(&spl_lot_use_shape, all);
    return uses;
}

GHashTable *spl_lot_out_between(struct spl_book *book, struct spl_day since, struct spl_day until,
                                GError **error)
{
    g_autoptr(GHashTable) out = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free);
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT lot_id, total(amount) FROM lot_use_now WHERE day > ? AND day <= ? GROUP BY lot_id",
        SPL_WITH(since, until));
    GError *failed = NULL;
    double amount;
    gint64 id;

    while (rows != NULL && spl_statement_next(rows, &failed, SPL_INTO(&id, &amount)))
        g_hash_table_insert(out, g_memdup2(&id, sizeof id), g_memdup2(&amount, sizeof amount));
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL ? g_steal_pointer(&out) : NULL;
}

GArray *spl_lot_uses_of(struct spl_book *book, gint64 use_id, GError **error)
{
    return spl_noun_list(book, &spl_lot_use_noun, "WHERE t.use_id = ? ORDER BY t.at, t.id",
                         SPL_WITH(use_id), error);
}

gboolean spl_lot_get(struct spl_book *book, gint64 id, struct spl_day today, struct spl_lot *lot,
                     GError **error)
{
    if (!spl_noun_get(book, &spl_lot_noun, "WHERE t.id = ?", SPL_WITH(id), lot, error))
        return FALSE;
    settle(lot, today);
    return TRUE;
}

gboolean spl_lot_find(struct spl_book *book, const char *code, struct spl_day today,
                      struct spl_lot *lot, struct spl_blend *blend, GError **error)
{
    struct spl_thing thing;
    struct spl_lot found;
    gboolean ok;

    if (!spl_code_find(book, code, "L", "a lot", &thing, error))
        return FALSE;
    ok = spl_lot_get(book, thing.id, today, &found, error);
    spl_thing_clear(&thing);
    if (!ok)
        return FALSE;
    if ((found.from = spl_draw_sources(book, found.id, error)) == NULL ||
        (found.taken = spl_draw_takers(book, found.id, error)) == NULL ||
        (found.events = spl_noun_list(book, &spl_lot_event_noun, "WHERE t.lot_id = ? ORDER BY t.at",
                                      SPL_WITH(found.id), error)) == NULL ||
        (found.used = spl_lot_uses(book, found.id, error)) == NULL ||
        (found.reactions = spl_reaction_list(book, found.id, NULL, error)) == NULL) {
        spl_record_clear(&spl_lot_shape, &found);
        return FALSE;
    }
    *lot = found;
    if (blend != NULL)
        *blend = spl_lot_blend(lot);
    return TRUE;
}

gboolean spl_lot_is_gone(const struct spl_lot *lot)
{
    return lot->state == SPL_STATE_STRUCK || lot->state == SPL_STATE_USED_UP ||
           lot->state == SPL_STATE_DESTROYED;
}

/* Of `rows`, which it ends. */
static gboolean lot_each(spl_statement *opened, struct spl_day today, gboolean all,
                         gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                         gpointer data, GError **error)
{
    g_autoptr(spl_statement) rows = opened;
    struct spl_lot lot;
    GError *failed = NULL;
    gboolean more = TRUE;

    while (rows != NULL && more && failed == NULL && spl_noun_next(rows, &lot, &failed)) {
        settle(&lot, today);
        if (all || !spl_lot_is_gone(&lot))
            more = each(&lot, data, &failed);
        spl_record_clear(&spl_lot_shape, &lot);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL;
}

gboolean spl_lot_each(struct spl_book *book, struct spl_day today, gboolean all,
                      gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                      gpointer data, GError **error)
{
    return lot_each(
        spl_noun_open(book, &spl_lot_noun, NULL, "ORDER BY t.day, t.id", SPL_NONE, error), today,
        all, each, data, error);
}

gboolean spl_lot_each_open(struct spl_book *book, struct spl_day today, const GArray *also,
                           gboolean (*each)(const struct spl_lot *lot, gpointer data,
                                            GError **error),
                           gpointer data, GError **error)
{
    g_autofree char *ids = also != NULL ? spl_ids_json(also) : NULL;

    return lot_each(spl_noun_open(book, &spl_lot_noun, NULL,
                                  "WHERE t.id IN (" SPL_NOT_OVER
                                  " UNION SELECT value FROM json_each(?1)) ORDER BY t.day, t.id",
                                  SPL_WITH(ids), error),
                    today, TRUE, each, data, error);
}

gboolean spl_lot_made_between(struct spl_book *book, struct spl_day first, struct spl_day last,
                              GArray *ids, GError **error)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT id FROM lot WHERE day BETWEEN ?1 AND ?2 UNION SELECT h.id FROM amendment a"
        " JOIN thing h ON h.uuid = a.subject WHERE a.field = 'day' AND h.kind = 'L'",
        SPL_WITH(first, last));

    return spl_statement_ids(rows, ids, error);
}

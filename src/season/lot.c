/* SPDX-License-Identifier: MIT
 *
 * The shelf: what stands there, stock-taking, decisions, what goes out. See simpling/batch.h.
 */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/lot.h"
#include "season/batch_private.h"
#include "season/state.h"
#include "simpling/error.h"

gboolean spl_lot_may_go(const struct spl_lot *lot, gboolean work, double ml, double g,
                        struct spl_day on, double *amount, GError **error)
{
    gboolean weighed = !isnan(lot->left_g);
    double left = weighed ? lot->left_g : lot->left_ml;
    const char *unit = weighed ? "g" : "mL";
    char text[SPL_DAY_TEXT_SIZE];

    if (!g_str_equal(lot->state, "released") && !(work && g_str_equal(lot->state, "held"))) {
        if (g_str_equal(lot->state, "out of date"))
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: was to be used by %s", lot->code,
                        spl_day_format(lot->use_by, text));
        else
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is %s%s%s%s", lot->code,
                        lot->state, lot->why != NULL ? " (" : "", lot->why != NULL ? lot->why : "",
                        lot->why != NULL ? ")" : "");
        return FALSE;
    }
    if (weighed ? !isnan(ml) : !isnan(g)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: is kept in %s; say it so, as %s:50%s",
                    lot->code, unit, lot->code, unit);
        return FALSE;
    }
    if (spl_day_compare(on, lot->made) < 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: was made on %s, later than that day",
                    lot->code, spl_day_format(lot->made, text));
        return FALSE;
    }
    if (spl_day_is_set(lot->use_by) && spl_day_compare(lot->use_by, on) < 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: was to be used by %s", lot->code,
                    spl_day_format(lot->use_by, text));
        return FALSE;
    }
    *amount = weighed ? g : ml;
    if (isnan(*amount))
        *amount = left;
    if (*amount > left + SPL_CRUMB) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: %.1f %s are wanted, %.1f %s are left; count the shelf: lot count %s …",
                    lot->code, *amount, unit, left, unit, lot->code);
        return FALSE;
    }
    *amount = MIN(*amount, left);
    return TRUE;
}

gboolean spl_lot_show(struct spl_house *house, const char *code, struct spl_lot *lot,
                      GError **error)
{
    return spl_shelf_find(house, code, lot, NULL, error);
}

gboolean spl_lot_lines(struct spl_house *house, gboolean all,
                       gboolean (*each)(const struct spl_lot *lot, gpointer data, GError **error),
                       gpointer data, GError **error)
{
    return spl_shelf_each(house, all, each, data, error);
}

static gboolean check_standing(const struct spl_lot *lot, struct spl_day on, GError **error)
{
    char text[SPL_DAY_TEXT_SIZE];

    if (lot->struck != NULL || g_str_equal(lot->state, "destroyed")) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is %s (%s)", lot->code, lot->state,
                    lot->why != NULL ? lot->why : "");
        return FALSE;
    }
    if (spl_day_compare(on, lot->made) < 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "--on: %s was made on %s, later than that",
                    lot->code, spl_day_format(lot->made, text));
        return FALSE;
    }
    return TRUE;
}

/* The lot as it stands after what was done. */
static gboolean reread(struct spl_house *house, struct spl_lot *lot, GError **error)
{
    g_autofree char *code = g_strdup(lot->code);

    spl_record_clear(&spl_lot_shape, lot);
    return spl_shelf_find(house, code, lot, NULL, error);
}

gboolean spl_lot_count(struct spl_house *house, const char *code, double counted_ml,
                       double counted_g, struct spl_day on, const char *by, struct spl_lot *lot,
                       GError **error)
{
    g_autofree char *who = spl_house_who(house, by);
    gboolean ok, found;

    if (!spl_house_past(house, on, "--on", error) || !spl_book_begin(house->book, error))
        return FALSE;
    ok = found = spl_shelf_find(house, code, lot, NULL, error);
    ok = ok && check_standing(lot, on, error);
    if (ok) {
        gboolean weighed = !isnan(lot->left_g);
        double counted = weighed ? counted_g : counted_ml;

        if (isnan(counted)) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: is kept in %s; count it so",
                        lot->code, weighed ? "grams" : "millilitres");
            ok = FALSE;
        }
        ok = ok &&
             spl_lot_event_add(house->book, lot->id, "count", on, NULL, counted,
                               counted - (weighed ? lot->left_g : lot->left_ml), who, error) &&
             reread(house, lot, error);
    }
    if (!spl_book_finish(house->book, ok, error)) {
        if (found)
            spl_record_clear(&spl_lot_shape, lot);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_lot_decide(struct spl_house *house, const char *code, const char *kind,
                        const char *why, struct spl_day on, const char *by, struct spl_lot *lot,
                        GPtrArray **with, GError **error)
{
    g_autofree char *reason = spl_text_clean(why, "--why", SPL_REMARK_MAX, TRUE, error);
    g_autofree char *who = spl_house_who(house, by);
    gboolean ok, found;

    *with = NULL;
    if (reason == NULL || !spl_house_past(house, on, "--on", error) ||
        !spl_book_begin(house->book, error))
        return FALSE;
    ok = found = spl_shelf_find(house, code, lot, NULL, error);
    ok = ok && check_standing(lot, on, error);
    if (ok) {
        gboolean free_already =
            !g_str_equal(lot->state, "held") && !g_str_equal(lot->state, "withdrawn");

        if (g_str_equal(kind, "release") && free_already) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED, "%s: is %s; nothing to release",
                        lot->code, lot->state);
            ok = FALSE;
        } else if (g_str_equal(kind, "withdraw") && g_str_equal(lot->state, "withdrawn")) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS, "%s: is withdrawn already (%s)",
                        lot->code, lot->why);
            ok = FALSE;
        }
        ok = ok &&
             spl_lot_event_add(house->book, lot->id, kind, on, reason, NAN, NAN, who, error) &&
             reread(house, lot, error);
    }
    if (ok) {
        *with = g_str_equal(kind, "release") ? g_ptr_array_new()
                                             : spl_standing_downstream(house, lot->id, error);
        ok = *with != NULL;
    }
    if (!spl_book_finish(house->book, ok, error)) {
        if (found)
            spl_record_clear(&spl_lot_shape, lot);
        g_clear_pointer(with, g_ptr_array_unref);
        return FALSE;
    }
    return TRUE;
}

gboolean spl_lot_ref_check(const char *ref, GError **error)
{
    guint digits = 0, letters = 0, others = 0;

    if (ref == NULL)
        return TRUE;
    for (const char *p = ref; *p != '\0'; p++) {
        if (g_ascii_isdigit(*p))
            digits++;
        else if (g_ascii_isalpha(*p))
            letters++;
        else if (strchr("-/.", *p) == NULL)
            others++;
    }
    if (digits > 0 && letters <= 4 && others == 0 && strlen(ref) <= 40)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "--for: is a number, as 1042 or P-1042, never a name");
    return FALSE;
}

static gboolean use_one(struct spl_house *house, const struct spl_source_words *words,
                        const char *call, const char *ref, struct spl_day on, const char *who,
                        GArray *uses, GError **error)
{
    struct spl_lot lot;
    double amount;
    gboolean ok;

    if (!spl_shelf_find(house, words->code, &lot, NULL, error))
        return FALSE;
    ok = spl_lot_may_go(&lot, FALSE, words->amount.ml, words->amount.g, on, &amount, error) &&
         spl_lot_use_add(house->book, lot.id, call, on, amount, ref, who, error);
    if (ok) {
        gboolean weighed = !isnan(lot.left_g);
        struct spl_lot_use use = {.code = g_strdup(lot.code),
                                  .date = on,
                                  .ml = weighed ? (double)NAN : amount,
                                  .g = weighed ? amount : (double)NAN,
                                  .ref = g_strdup(ref),
                                  .by = g_strdup(who)};

        g_array_append_val(uses, use);
    }
    spl_record_clear(&spl_lot_shape, &lot);
    return ok;
}

GArray *spl_lot_use(struct spl_house *house, const struct spl_source_words *lots, guint n_lots,
                    const char *ref, struct spl_day on, const char *by, GError **error)
{
    g_autofree char *who = spl_house_who(house, by);
    g_autofree char *call = spl_uuid_new();
    GArray *uses;
    gboolean ok = TRUE;

    if (!spl_lot_ref_check(ref, error) || !spl_house_past(house, on, "--on", error) ||
        !spl_book_begin(house->book, error))
        return NULL;
    uses = spl_list_new(&spl_lot_use_shape);
    for (guint i = 0; ok && i < n_lots; i++)
        ok = use_one(house, &lots[i], call, ref, on, who, uses, error);
    if (!spl_book_finish(house->book, ok, error)) {
        spl_list_free(&spl_lot_use_shape, uses);
        return NULL;
    }
    return uses;
}

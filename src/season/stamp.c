/* SPDX-License-Identifier: MIT
 *
 * What stood when it was shown. See simpling/stamp.h.
 */
#include "simpling/stamp.h"

#include <string.h>

#include "base/digest.h"
#include "book/last.h"
#include "season/house_private.h"
#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/error.h"
#include "simpling/harvest.h"
#include "simpling/purchase.h"
#include "simpling/row.h"

union any {
    struct spl_harvest harvest;
    struct spl_purchase purchase;
    struct spl_drying drying;
    struct spl_batch batch;
    struct spl_lot lot;
};

static char *stamp_of(const struct spl_shape *shape, void *record)
{
    g_autofree char *json = spl_record_json(shape, record);
    g_autoptr(spl_digest) digest = spl_digest_new();

    spl_digest_add(digest, json, strlen(json));
    spl_record_clear(shape, record);
    return spl_digest_hex(digest);
}

char *spl_stamp(struct spl_house *house, const char *code, GError **error)
{
    const char *colon = strrchr(code, ':');
    union any is;

    switch (g_ascii_toupper(colon != NULL ? colon[1] : code[0])) {
    case 'P':
        return spl_purchase_show(house, code, &is.purchase, error)
                   ? stamp_of(&spl_purchase_shape, &is)
                   : NULL;
    case 'D':
        return spl_drying_show(house, code, &is.drying, error) ? stamp_of(&spl_drying_shape, &is)
                                                               : NULL;
    case 'B':
        return spl_batch_show(house, code, &is.batch, error) ? stamp_of(&spl_batch_shape, &is)
                                                             : NULL;
    case 'L':
        return spl_lot_show(house, code, &is.lot, error) ? stamp_of(&spl_lot_shape, &is) : NULL;
    default: /* says what is wrong with any other */
        return spl_harvest_show(house, code, &is.harvest, error) ? stamp_of(&spl_harvest_shape, &is)
                                                                 : NULL;
    }
}

static gboolean stands_as_shown(struct spl_house *house, const char *code, const char *stamp,
                                GError **error)
{
    g_autofree char *now = NULL;

    if (code == NULL || stamp == NULL)
        return TRUE;
    now = spl_stamp(house, code, error);
    if (now == NULL)
        return FALSE;
    if (strcmp(now, stamp) == 0)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_CONFLICT,
                "%s: was changed since it was shown, in another window or by another program; look "
                "at it again, then say whether this still holds",
                code);
    return FALSE;
}

/* The first row of what was written later than that; NULL: nothing was. */
static gboolean find_written(struct spl_house *house, gint64 before, char **entry, GError **error)
{
    gint64 last;
    g_autoptr(GArray) rows = NULL;

    *entry = NULL;
    if (!spl_book_stamped(house->book, &last, error))
        return FALSE;
    if (last == before)
        return TRUE;
    rows = spl_last_entry(house->book, before, error);
    if (rows != NULL && rows->len > 0)
        *entry = g_strdup(g_array_index(rows, struct spl_last_row, 0).uuid);
    return rows != NULL;
}

static gboolean is_new(struct spl_house *house, const char *form, GError **error)
{
    gboolean known = FALSE;

    if (form == NULL)
        return TRUE;
    if (!spl_entry_is_known(house->book, form, &known, error))
        return FALSE;
    if (known) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS, "what was sent is in the book already");
        spl_error_explain(error, SPL_STAMP_SENT_BEFORE, NULL, NULL);
    }
    return !known;
}

static gboolean write_stamped(struct spl_house *house, const struct spl_stamped *stamped,
                              spl_stamp_write write, gpointer data, char **entry, GError **error)
{
    gint64 before;
    gboolean done;

    if (!is_new(house, stamped->form, error) ||
        !stands_as_shown(house, stamped->code, stamped->stamp, error) ||
        !spl_book_stamped(house->book, &before, error))
        return FALSE;
    spl_book_bring(house->book, stamped->form);
    done = write(data, error);
    spl_book_bring(house->book, NULL);
    return done && find_written(house, before, entry, error);
}

gboolean spl_stamp_hold(struct spl_house *house, const struct spl_stamped *stamped,
                        spl_stamp_write write, gpointer data, char **entry, GError **error)
{
    g_autofree char *made = NULL;

    if (!spl_book_begin(house->book, error) ||
        !spl_book_finish(house->book, write_stamped(house, stamped, write, data, &made, error),
                         error))
        return FALSE;
    *entry = g_steal_pointer(&made);
    return TRUE;
}

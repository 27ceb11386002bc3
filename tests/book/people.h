/* SPDX-License-Identifier: MIT
 *
 * People who share a season: each with a book, doing at random what is done in one, and remembering
 * what they did with which thing. For the tests of merging.
 */
#ifndef SPL_TESTS_BOOK_PEOPLE_H
#define SPL_TESTS_BOOK_PEOPLE_H

#include "shelf.h"

#include "base/text.h"
#include "book/amendment.h"
#include "book/batch.h"
#include "book/check.h"
#include "book/code.h"
#include "book/draw.h"
#include "book/hold.h"
#include "book/lot.h"
#include "book/merge.h"
#include "book/statement.h"

#define DAY0 20577 /* 2026-05-04 */
#define PEOPLE 3

static const char *const marks[PEOPLE] = {"ANN", "BOB", "CID"};

/* One person, and what they did since the books parted: "take UUID", "strike UUID", … */
struct person {
    struct spl_book *book;
    char *path;
    const char *mark;
    GRand *rand;
    GHashTable *did;
    int day, names;
};

static inline void must(gboolean ok, GError *const *error)
{
    if (!ok)
        fail_msg("%s", *error != NULL ? (*error)->message : "failed");
}

static inline void open_book(struct person *person, enum spl_book_mode mode)
{
    g_autoptr(GError) error = NULL;

    person->book = spl_book_open(person->path, mode, &error);
    expect_ok(error);
    must(spl_book_script(person->book, "PRAGMA synchronous = OFF", &error), &error);
}

static inline void did(struct person *person, const char *what, const char *uuid)
{
    g_hash_table_add(person->did, g_strdup_printf("%s %s", what, uuid));
}

/* A thing at random of which more than `least` is left; 0: none. */
static inline gint64 any_thing(struct person *person, const char *kind, double least, char **uuid,
                               double *left)
{
    g_autoptr(spl_statement) rows =
        spl_statement_open(person->book, NULL,
                           "SELECT b.id, t.uuid, b.left FROM balance b JOIN thing t ON t.id = b.id"
                           " WHERE b.kind = ? AND b.left > ? ORDER BY t.mark, t.year, t.number",
                           SPL_WITH(kind, least));
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GPtrArray) uuids = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GArray) lefts = g_array_new(FALSE, FALSE, sizeof(double));
    char *own;
    gint64 id;
    double is;
    guint i;

    *uuid = NULL;
    while (spl_statement_next(rows, NULL, SPL_INTO(&id, &own, &is))) {
        g_array_append_val(ids, id);
        g_ptr_array_add(uuids, own);
        g_array_append_val(lefts, is);
    }
    if (ids->len == 0)
        return 0;
    i = (guint)g_rand_int_range(person->rand, 0, (gint32)ids->len);
    *uuid = g_strdup(g_ptr_array_index(uuids, i));
    *left = g_array_index(lefts, double, i);
    return g_array_index(ids, gint64, i);
}

static inline gint64 any_site(struct person *person)
{
    gint64 n = spl_book_number(person->book, 0, NULL, "SELECT count(*) FROM site", SPL_NONE);

    return spl_book_number(person->book, 0, NULL,
                           "SELECT id FROM site ORDER BY id LIMIT 1 OFFSET ?",
                           SPL_WITH(g_rand_int_range(person->rand, 0, (gint32)n)));
}

static inline void gather(struct person *person)
{
    g_free(shelf_harvest(person->book, any_site(person), (struct spl_day){person->day},
                         g_rand_int_range(person->rand, 50, 400)));
}

static inline void begin_batch(struct person *person)
{
    g_autofree char *uuid = NULL;
    g_autoptr(GError) error = NULL;
    struct spl_day day = {person->day};
    double left;
    gint64 source = any_thing(person, "H", 30, &uuid, &left);
    struct spl_batch_row row = {.preparation = g_strdup("tincture"),
                                .keeping = g_strdup("table"),
                                .day = day,
                                .jar_ml = NAN,
                                .brimful_ml = NAN};
    struct spl_charge_row herb = {.kind = SPL_CHARGE_HERB,
                                  .source_id = source,
                                  .day = day,
                                  .titrated_on = SPL_DAY_NONE,
                                  .material = (char *)"nettle/leaf",
                                  .state = SPL_HERB_FRESH,
                                  .grams = 20,
                                  .moisture_frac = 0.8,
                                  .volume_ml_per_g = 1,
                                  .kept_ml_per_g = {1, 0.5, 1.5, NULL},
                                  .strength_frac = NAN};
    struct spl_charge_row liquid = {.kind = SPL_CHARGE_LIQUID,
                                    .day = day,
                                    .titrated_on = SPL_DAY_NONE,
                                    .grams = NAN,
                                    .moisture_frac = NAN,
                                    .volume_ml_per_g = NAN,
                                    .kept_ml_per_g = {NAN, NAN, NAN, NULL},
                                    .blend = {100, 94, 31, 0, 0, 0},
                                    .strength_frac = 0.4};

    if (source != 0) {
        must(spl_book_begin(person->book, &error), &error);
        must(spl_batch_add(person->book, &row, &error) &&
                 spl_charge_add(person->book, row.id, &herb, &error) &&
                 spl_charge_add(person->book, row.id, &liquid, &error) &&
                 spl_book_commit(person->book, &error),
             &error);
        did(person, "take", uuid);
    }
    spl_batch_row_clear(&row);
}

/* A batch that nobody pressed here yet. */
static inline void press(struct person *person)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *uuid = NULL;
    struct spl_day day = {person->day};
    struct spl_lot lot = {.preparation = g_strdup("tincture"),
                          .materials = g_strdup("nettle/leaf"),
                          .made = day,
                          .made_ml = 90,
                          .made_g = NAN,
                          .use_by = {person->day + 700},
                          .ratio = 5};
    const struct spl_blend blend = {90, 85, 28, 0, 0, 0};
    gint64 batch = 0;
    g_autoptr(spl_statement) row = spl_statement_open(
        person->book, NULL,
        "SELECT b.id, b.uuid FROM batch_now b WHERE b.pressed IS NULL ORDER BY b.mark, b.year,"
        " b.number LIMIT 1",
        SPL_NONE);

    (void)spl_statement_next(row, NULL, SPL_INTO(&batch, &uuid));
    g_clear_pointer(&row, spl_statement_done);
    if (batch != 0) {
        must(spl_book_begin(person->book, &error), &error);
        must(spl_lot_add(person->book, &lot, &blend, NULL, &error) &&
                 spl_draw_add(person->book, lot.id, batch, day, NAN, 90, &error) &&
                 spl_book_commit(person->book, &error),
             &error);
        did(person, "take", uuid);
    }
    spl_record_clear(&spl_lot_shape, &lot);
}

/* Out of a lot: used, counted or thrown away. */
static inline void take_of_lot(struct person *person)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *uuid = NULL;
    struct spl_day day = {person->day};
    struct spl_use use = {.day = day};
    double left;
    gint64 lot = any_thing(person, "L", 15, &uuid, &left);
    gboolean ok;

    if (lot == 0)
        return;
    use.ref = g_strdup("7");
    must(spl_book_begin(person->book, &error), &error);
    switch (g_rand_int_range(person->rand, 0, 3)) {
    case 0:
        ok = spl_use_add(person->book, &use, &error) &&
             spl_lot_use_add(person->book, lot, &use, 7, &error);
        break;
    case 1:
        ok = spl_lot_event_add(person->book, lot, SPL_LOT_COUNTED, day, NULL, left - 2, -2, NULL,
                               &error);
        break;
    default:
        ok = spl_discard_add(person->book, lot, day, NAN, 3, "a broken bottle", NULL, &error);
        break;
    }
    must(ok && spl_book_commit(person->book, &error), &error);
    did(person, "take", uuid);
    spl_use_clear(&use);
}

/* A weight is only ever corrected upward, so that no balance falls below nothing. */
static inline void correct(struct person *person)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *uuid = NULL;
    double left;
    gint64 id = any_thing(person, "H", -1, &uuid, &left);

    if (id == 0)
        return;
    must(spl_book_begin(person->book, &error), &error);
    must(spl_amendment_add_real(person->book, uuid, "weight_g",
                                500 + g_rand_double_range(person->rand, 0, 500), person->mark,
                                "the scales", &error) &&
             spl_book_commit(person->book, &error),
         &error);
    did(person, "amend", uuid);
}

static inline void strike(struct person *person)
{
    g_autoptr(GError) error = NULL;
    struct spl_thing thing = {.kind = 'H', .code = (char *)"a harvest"};
    g_autofree char *uuid = NULL;
    double left;

    thing.id = any_thing(person, "H", -1, &uuid, &left);
    thing.uuid = uuid;
    if (thing.id == 0 || spl_thing_takers(person->book, thing.id, NULL) > 0)
        return;
    must(spl_book_begin(person->book, &error), &error);
    must(spl_strike_add(person->book, &thing, person->mark, "logged twice", &error) &&
             spl_book_commit(person->book, &error),
         &error);
    did(person, "strike", uuid);
}

static inline void name_site(struct person *person)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *name = g_strdup_printf("%s's place %d", person->mark, person->names++);
    struct spl_site site;

    if (g_rand_boolean(person->rand)) {
        (void)shelf_site(person->book, name);
        return;
    }
    must(spl_site_load(person->book, any_site(person), &site, &error), &error);
    must(spl_book_begin(person->book, &error), &error);
    must(spl_site_rename(person->book, &site, name, person->mark, "it is called so", &error) &&
             spl_book_commit(person->book, &error),
         &error);
    did(person, "name", site.uuid);
    spl_record_clear(&spl_site_shape, &site);
}

static inline void keep_back(struct person *person)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *uuid = NULL;
    double left;
    gint64 id = any_thing(person, "H", -1, &uuid, &left);

    if (id == 0)
        return;
    must(spl_book_begin(person->book, &error), &error);
    must(spl_hold_add(person->book, id, (struct spl_day){person->day}, "sprayed?", NULL, &error) &&
             spl_book_commit(person->book, &error),
         &error);
}

static inline void work(struct person *person, int actions)
{
    static void (*const all[])(struct person *) = {gather, gather,      begin_batch, press,
                                                   press,  take_of_lot, take_of_lot, correct,
                                                   strike, name_site,   keep_back};

    for (int i = 0; i < actions; i++) {
        person->day++;
        /* Clocks that differ, and meet. */
        spl_book_set_now(person->book, (gint64)person->day * 86400 * G_USEC_PER_SEC);
        all[g_rand_int_range(person->rand, 0, G_N_ELEMENTS(all))](person);
    }
}

/* Merging --------------------------------------------------------------------------------------
 */

/* Brings the book at `from` into that at `into`; its notes as "CODE what". */
static inline GPtrArray *merge(const char *into, const char *from, gint64 *added)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = spl_book_open(into, SPL_BOOK_WRITE, &error);
    g_autoptr(spl_book) other = spl_book_open(from, SPL_BOOK_READ, &error);
    GPtrArray *notes = g_ptr_array_new_with_free_func(g_free);
    struct spl_merge merged;
    struct spl_look look = {0};

    expect_ok(error);
    must(spl_look_at_stranger(other, SPL_STAMP_MAX, 60, &look, &error), &error);
    assert_int_equal(look.strays->len, 0);
    must(spl_book_script(book, "PRAGMA synchronous = OFF", &error) &&
             spl_book_begin(book, &error) && spl_book_merge(book, other, &look, &merged, &error) &&
             spl_book_commit(book, &error),
         &error);
    for (guint i = 0; i < merged.notes->len; i++) {
        const struct spl_merge_note *note = g_ptr_array_index(merged.notes, i);

        g_ptr_array_add(notes, g_strdup_printf("%s %s", note->code, note->what));
    }
    *added = merged.added;
    spl_merge_clear(&merged);
    spl_look_clear(&look);
    return notes;
}

static inline char *copy_of(struct shelf *shelf, const char *from, const char *name)
{
    char *path = g_build_filename(shelf->folder, name, NULL);
    g_autofree char *bytes = NULL;
    gsize size;

    assert_true(g_file_get_contents(from, &bytes, &size, NULL));
    assert_true(
        g_file_set_contents_full(path, bytes, (gssize)size, G_FILE_SET_CONTENTS_NONE, 0600, NULL));
    return path;
}

#endif

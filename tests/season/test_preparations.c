/* SPDX-License-Identifier: MIT
 *
 * Preparations that are more than herb under one liquid, from the herb to the bottle: what goes
 * into which, how long it keeps, what is refused.
 */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "expect.h"
#include "season/house_private.h"
#include "season/label_shares.h"
#include "season/label_words.h"
#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/house.h"
#include "simpling/liquid.h"
#include "simpling/purchase.h"

struct making {
    char *folder, *path;
    struct spl_house_options options;
    struct spl_house *house;
};

#define SAID(...) ((const char *const[]){__VA_ARGS__, NULL})

static void read_into(const struct spl_inputs *inputs, void *words, const char *const *said)
{
    g_autoptr(GError) error = NULL;

    spl_inputs_init(inputs, words);
    for (guint i = 0; said[i] != NULL; i += 2)
        if (!spl_inputs_read(inputs, said[i], said[i + 1], words, &error))
            fail_msg("%s: %s", said[i], error->message);
}

static void today(struct making *making, int month, int day)
{
    g_autoptr(GError) error = NULL;

    g_clear_pointer(&making->house, spl_house_close);
    making->options.today = spl_day_from_ymd(2027, month, day);
    making->house = spl_house_open(&making->options, SPL_HOUSE_WRITE, &error);
    expect_ok(error);
}

static void buy(struct making *making, const char *material, const char *dry)
{
    struct spl_purchase_words words;
    struct spl_purchase purchase;
    GPtrArray *cautions;
    g_autoptr(GError) error = NULL;

    read_into(&spl_purchase_inputs, &words,
              SAID("supplier", "Skirra Stores", "number", "7", "material", material, "dry", dry,
                   "weight", "2kg", "named_by", "Edda", "signs", "as labelled"));
    if (!spl_purchase_log(making->house, &words, &purchase, &cautions, &error))
        fail_msg("%s", error->message);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_purchase_shape, &purchase);
    spl_inputs_clear(&spl_purchase_inputs, &words);
}

static int set_up(void **state)
{
    struct making *making = g_new0(struct making, 1);
    struct spl_book_info info;

    making->folder = g_dir_make_tmp("spl-making-XXXXXX", NULL);
    making->path = g_build_filename(making->folder, "book.db", NULL);
    making->options = (struct spl_house_options){
        .book = making->path,
        .data = SPL_SOURCE_DIR "/data",
        .calendars = SPL_SOURCE_DIR "/calendars",
        .today = spl_day_from_ymd(2027, 6, 1),
    };
    if (!spl_book_make(&making->options, "ANN", &info, NULL))
        return -1;
    spl_record_clear(&spl_book_info_shape, &info);
    today(making, 6, 1);
    buy(making, "calendula flower", "yes"); /* P27-001 … */
    buy(making, "nettle leaf", "no");
    buy(making, "nettle root", "yes");
    buy(making, "lime flower", "yes");
    *state = making;
    return 0;
}

static int tear_down(void **state)
{
    struct making *making = *state;

    g_clear_pointer(&making->house, spl_house_close);
    g_unlink(making->path);
    g_rmdir(making->folder);
    g_free(making->path);
    g_free(making->folder);
    g_free(making);
    return 0;
}

static gboolean try_start(struct making *making, const char *const *said, struct spl_batch *batch,
                          GPtrArray **cautions, GError **error)
{
    struct spl_batch_words words;
    gboolean ok;

    read_into(&spl_batch_inputs, &words, said);
    ok = spl_batch_begin(making->house, &words, batch, cautions, error);
    spl_inputs_clear(&spl_batch_inputs, &words);
    return ok;
}

static void start(struct making *making, const char *const *said, struct spl_batch *batch,
                  const char *told)
{
    g_autoptr(GError) error = NULL;
    GPtrArray *cautions = NULL;
    gboolean found = told == NULL;

    if (!try_start(making, said, batch, &cautions, &error))
        fail_msg("%s", error->message);
    for (guint i = 0; i < cautions->len; i++)
        found |= told != NULL && strstr(g_ptr_array_index(cautions, i), told) != NULL;
    g_ptr_array_unref(cautions);
    if (!found)
        fail_msg("nothing says '%s'", told);
}

static void refused(struct making *making, const char *const *said, const char *part)
{
    struct spl_batch batch;
    GPtrArray *cautions = NULL;
    GError *error = NULL;

    assert_false(try_start(making, said, &batch, &cautions, &error));
    expect_error(error, SPL_ERROR_REFUSED, part);
}

static void press_as(struct making *making, const char *const *said, struct spl_lot *lot)
{
    struct spl_press_words words;
    GPtrArray *cautions;
    g_autoptr(GError) error = NULL;
    GArray *lots;

    read_into(&spl_press_inputs, &words, said);
    lots = spl_batch_press(making->house, &words, &cautions, &error);
    if (lots == NULL)
        fail_msg("%s", error->message);
    *lot = g_array_index(lots, struct spl_lot, 0);
    g_array_unref(lots);
    g_ptr_array_unref(cautions);
    spl_inputs_clear(&spl_press_inputs, &words);
}

static void press(struct making *making, const char *code, const char *yield, struct spl_lot *lot)
{
    press_as(making, SAID("jars.0.code", code, "jars.0.yield", yield), lot);
}

static void show(struct making *making, const char *code, struct spl_batch *batch)
{
    g_autoptr(GError) error = NULL;

    if (!spl_batch_show(making->house, code, batch, &error))
        fail_msg("%s", error->message);
}

#define end(batch) spl_record_clear(&spl_batch_shape, &(batch))
#define done(lot) spl_record_clear(&spl_lot_shape, &(lot))
#define expect_day(day, year, month, of_month)                                                     \
    assert_int_equal((day).n, spl_day_from_ymd(year, month, of_month).n)

/* Wax 22.9 g on 100 mL (91.5 g) of oil, by hand. Its days are six months (USP 795, 2012), but never
 * longer than the oil's own 180 days from pressing. */
static void a_salve_is_of_oil_of_dried_herb_and_for_the_skin(void **state)
{
    struct making *making = *state;
    struct spl_batch batch;
    struct spl_lot lot;

    start(making,
          SAID("preparation", "infused-oil", "from", "P27-001:50g", "liquid", "375mL", "menstruum",
               "olive oil, Skirra Stores, 3"),
          &batch, NULL);
    end(batch);
    start(making,
          SAID("preparation", "succus", "from", "P27-002:1kg", "juice", "480mL", "liquid", "160mL",
               "menstruum", "spirit 90%, Ash Beck Still, 9"),
          &batch, NULL);
    /* 3 measures to 1: 22.84 % by R 22. Fresh herb under oil, on somebody's own judgement. */
    expect_near(batch.final_abv, 22.84, 0.005, "% vol");
    expect_near(batch.yield_ml, 394.0 / 400.0 * 640.0, 1.0, "mL");
    end(batch);
    start(making,
          SAID("preparation", "infused-oil", "from", "P27-002:50g", "liquid", "175mL", "menstruum",
               "olive oil, Skirra Stores, 3", "hold", "for a test, thrown away after"),
          &batch, NULL);
    end(batch);
    today(making, 6, 3);
    press(making, "B27-003", "150mL", &lot);
    done(lot);
    refused(making, SAID("preparation", "salve", "from", "L27-001:50mL"), "was not dried");
    today(making, 7, 10);
    press(making, "B27-001", "300mL", &lot);
    expect_day(lot.use_by, 2028, 1, 6);
    done(lot);
    press(making, "B27-002", "620mL", &lot);
    done(lot);
    refused(making, SAID("preparation", "salve", "from", "L27-003:100mL"), "holds water");
    refused(making, SAID("preparation", "salve", "from", "P27-002:100g"), "not made of fresh herb");
    today(making, 12, 20);
    start(making,
          SAID("preparation", "salve", "from", "L27-002:100mL", "menstruum",
               "beeswax 20%, Skirra Stores, 5"),
          &batch, "no water, juice or tincture");
    assert_true(batch.outside);
    expect_near(batch.wax_g, 22.9, 0.05, "g");
    assert_true(isnan(batch.sugar_g));
    end(batch);
    press(making, "B27-004", "120mL", &lot);
    assert_true(lot.outside);
    expect_day(lot.use_by, 2028, 1, 6); /* the oil's, before the six months are over */
    done(lot);
}

/* 950 mL and then 450 mL: a decoction keeps two days, as syrup of 65 % (834 g of sugar to 450 mL,
 * by hand: 450 x 0.998 x 0.65 / 0.35) or with 30.8 % of alcohol as long as these do. Boiled away:
 * 750 and the 5 of the herb's own, less 50 x 1.4 that stay in the marc, less 650. */
static void what_is_drawn_with_water_is_drunk_or_kept_by_what_it_goes_into(void **state)
{
    struct making *making = *state;
    struct spl_batch batch;
    struct spl_lot lot;
    double drained;

    start(making, SAID("preparation", "infusion", "from", "P27-004:20g", "liquid", "1L"), &batch,
          "nothing in it keeps it");
    expect_near(batch.ratio, 50.0, 1e-9, "");
    assert_true(isnan(batch.final_abv));
    end(batch);
    press(making, "B27-001", "950mL", &lot);
    expect_day(lot.use_by, 2027, 6, 3);
    done(lot);
    start(making, SAID("preparation", "decoction", "from", "P27-003:50g", "liquid", "750mL"),
          &batch, NULL);
    end(batch);
    show(making, "B27-002", &batch);
    assert_true(isnan(batch.boiled_ml)); /* nobody has measured it yet */
    drained = batch.yield_ml;
    end(batch);
    press(making, "B27-002", "650mL", &lot);
    expect_day(lot.use_by, 2027, 6, 3);
    done(lot);
    show(making, "B27-002", &batch);
    expect_near(batch.boiled_ml, drained - 650.0, 1e-6, "mL");
    expect_near(batch.boiled_ml, 35.0, 0.1, "mL");
    end(batch);
    start(making, SAID("preparation", "syrup", "from", "L27-002:450mL"), &batch, NULL);
    expect_near(batch.sugar_g, 834.0, 0.5, "g");
    expect_near(batch.final_sugar, 65.0, 1e-9, "%");
    end(batch);
    press(making, "B27-003", "980mL", &lot);
    expect_day(lot.use_by, 2027, 9, 29); /* 120 days from 1 June */
    done(lot);
    start(making,
          SAID("preparation", "tincture", "from", "P27-003:60g", "liquid", "300mL", "menstruum",
               "spirit 95%, Ash Beck Still, 2"),
          &batch, NULL);
    end(batch);
    press(making, "B27-004", "200mL", &lot);
    done(lot);
    refused(making,
            SAID("preparation", "dual-extract", "from", "L27-004:20mL", "from", "L27-002:100mL"),
            "under 20 %");
    refused(making, SAID("preparation", "dual-extract", "from", "P27-003:20g"), "draw on lots");
    start(making,
          SAID("preparation", "dual-extract", "from", "L27-004:95mL", "from", "L27-002:200mL"),
          &batch, NULL);
    expect_near(batch.final_abv, 30.8, 0.1, "% vol");
    end(batch);
    press(making, "B27-005", "285mL", &lot);
    assert_true(lot.use_by.n > spl_day_from_ymd(2029, 1, 1).n);
    done(lot);
    today(making, 6, 10);
    refused(making, SAID("preparation", "syrup", "from", "L27-001:450mL"), "L27-001");
}

/* 200 g of herb with 85 % water: 400 mL of 95 %, then 340 mL of that; wine 1 L of 12 % with 80 mL
 * of 96 %: 18.3 % in 1073 mL. R 22, by mass. */
static void a_second_dose_and_a_second_solvent(void **state)
{
    struct making *making = *state;
    struct spl_batch batch;
    struct spl_lot lot;

    start(making,
          SAID("preparation", "tincture", "from", "P27-002:200g", "liquid", "400mL", "menstruum",
               "spirit 95%, Ash Beck Still, 2"),
          &batch, NULL);
    end(batch);
    press(making, "B27-001", "360mL", &lot);
    expect_near(lot.ratio, 2.0, 1e-9, "");
    done(lot);
    start(making, SAID("preparation", "tincture", "from", "P27-002:200g", "from", "L27-001:340mL"),
          &batch, "second dose of herb in what a first was drawn with: 1:0.919 of both");
    end(batch);
    press(making, "B27-002", "300mL", &lot);
    expect_near(lot.ratio, 340.0 / (200.0 + 170.0), 1e-6, "");
    done(lot);
    refused(making,
            SAID("preparation", "wine", "from", "P27-004:80g", "liquid", "1L", "menstruum",
                 "wine 12%, Skirra Stores, 4"),
            "under 16 %");
    start(making,
          SAID("preparation", "wine", "from", "P27-004:80g", "liquid", "1L", "menstruum",
               "wine 12%, Skirra Stores, 4", "second", "spirit 96%, Ash Beck Still, 9",
               "second_liquid", "80mL"),
          &batch, "sulphite");
    expect_near(batch.menstruum_abv, 18.3, 0.05, "% vol");
    expect_near(batch.menstruum_ml, 1073.0, 0.5, "mL");
    end(batch);
}

/* Frozen herb is neither fresh nor dried; a blend is of dried herb and keeps as its shortest. */
static void what_is_only_kept(void **state)
{
    struct making *making = *state;
    struct spl_batch batch;
    struct spl_lot lot;

    refused(making, SAID("preparation", "tea-blend", "from", "P27-002:100g"), "fresh");
    start(making, SAID("preparation", "tea-blend", "from", "P27-001:50g", "from", "P27-003:50g"),
          &batch, NULL);
    end(batch);
    press(making, "B27-001", "99g", &lot);
    expect_day(lot.use_by, 2028, 5, 31);
    done(lot);
    refused(making, SAID("preparation", "frozen-herb", "from", "P27-001:100g"), "dried");
    start(making, SAID("preparation", "frozen-herb", "from", "P27-002:1kg"), &batch, NULL);
    end(batch);
    press(making, "B27-002", "990g", &lot);
    expect_near(lot.left_g, 990.0, 1e-9, "g");
    done(lot);
}

static double left_of(struct making *making, const char *number)
{
    const struct spl_liquid_question question = {.season = SPL_COUNT_NONE};
    struct spl_liquid_stock stock;
    g_autoptr(GError) error = NULL;
    double left = NAN;

    if (!spl_liquid_stock(making->house, &question, &stock, &error))
        fail_msg("%s", error->message);
    for (guint i = 0; i < stock.liquids->len; i++) {
        const struct spl_liquid_line *line =
            &g_array_index(stock.liquids, struct spl_liquid_line, i);

        if (g_strcmp0(line->number, number) == 0)
            left = line->left;
    }
    spl_record_clear(&spl_liquid_stock_shape, &stock);
    return left;
}

/* A pot of 430 g with 20 g of wax to 100 g: 86 g of wax, 344 g of oil. At 0.915 and 0.96 g a mL
 * that is 376.0 and 89.6 mL, 465.5 in all; by hand. */
static void a_salve_is_weighed_and_its_wax_leaves_the_shelf(void **state)
{
    struct making *making = *state;
    struct spl_batch batch;
    struct spl_liquid_words wax;
    struct spl_liquid_row row;
    struct spl_lot lot;
    GPtrArray *cautions;
    g_autoptr(GError) error = NULL;

    read_into(&spl_liquid_add_inputs, &wax,
              SAID("kind", "wax", "amount", "500g", "supplier", "Hive", "number", "W2"));
    if (!spl_liquid_add(making->house, &wax, &row, &cautions, &error))
        fail_msg("%s", error->message);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_liquid_row_shape, &row);
    spl_inputs_clear(&spl_liquid_add_inputs, &wax);
    start(making,
          SAID("preparation", "infused-oil", "from", "P27-001:60g", "liquid", "450mL", "menstruum",
               "olive oil, Skirra Stores, 3"),
          &batch, NULL);
    end(batch);
    today(making, 7, 10);
    press(making, "B27-001", "376mL", &lot);
    done(lot);
    start(making, SAID("preparation", "salve", "from", "L27-001:376mL"), &batch, NULL);
    expect_near(batch.wax_g, 86.0, 0.05, "g");
    end(batch);
    expect_near(left_of(making, "W2"), 500.0, 1e-9, "g");
    press_as(making,
             SAID("jars.0.code", "B27-002", "jars.0.yield", "430g", "wax", "beeswax, Hive, W2"),
             &lot);
    expect_near(lot.left_ml, 465.5, 0.1, "mL");
    assert_string_equal(lot.menstruum, "olive oil; Skirra Stores 3 + beeswax; Hive W2");
    done(lot);
    expect_near(left_of(making, "W2"), 414.0, 0.05, "g");
}

/* The sentence about sugar on the label of such a preparation; NULL: none. */
static void expect_sugar_on_label(struct making *making, const char *preparation, double sugar,
                                  const char *wanted)
{
    g_autoptr(GPtrArray) sentences = g_ptr_array_new_with_free_func(g_free);
    const struct spl_tables *tables = spl_house_tables(making->house, NULL);
    const char *found = NULL;

    assert_non_null(tables);
    spl_label_add_own(tables, preparation, NULL, FALSE, sugar, 34.0, 100.0, sentences);
    for (guint i = 0; i < sentences->len; i++)
        if (strstr(g_ptr_array_index(sentences, i), "sugar") != NULL)
            found = g_ptr_array_index(sentences, i);
    if (wanted == NULL ? found != NULL : found == NULL || !g_str_has_prefix(found, wanted))
        fail_msg("the label of %s says '%s'", preparation, found);
}

/* What the tincture was drawn with; the water that thins it draws nothing. */
static void an_elixir_says_what_it_is_drawn_with(void **state)
{
    struct making *making = *state;
    struct spl_batch batch;
    struct spl_lot lot;

    start(making,
          SAID("preparation", "tincture", "from", "P27-003:60g", "liquid", "300mL", "menstruum",
               "spirit 60%, Ash Beck Still, 2"),
          &batch, NULL);
    end(batch);
    press(making, "B27-001", "200mL", &lot);
    done(lot);
    start(making,
          SAID("preparation", "elixir", "from", "L27-001:150mL", "liquid", "50mL", "menstruum",
               "water"),
          &batch, NULL);
    end(batch);
    press(making, "B27-002", "190mL", &lot);
    assert_string_equal(lot.menstruum, "spirit 60%; Ash Beck Still 2");
    /* Without a spoon of syrup its label does not speak of sugar; with one it does. */
    expect_sugar_on_label(making, lot.preparation, lot.sugar, NULL);
    expect_sugar_on_label(making, "elixir", 21.0, "Holds sugar: not for people who");
    expect_sugar_on_label(making, "syrup", NAN, "Holds much sugar: not for people who");
    done(lot);
}

/* By hand: what whole parts come near, and what do not. */
static void shares_are_told_in_whole_parts_or_per_cent(void **state)
{
    static const struct {
        double amounts[3];
        gboolean by_weight;
        const char *words;
    } rows[] = {{{100, 100, 0}, FALSE, "1:1 of A and B"},
                {{101, 199, 0}, FALSE, "1:2 of A and B"},
                {{150, 100, 0}, TRUE, "3:2 by weight of A and B"},
                {{50, 25, 25}, FALSE, "2:1:1 of A, B and C"},
                {{97, 3, 0}, FALSE, "A 97 %, B 3 %"},
                {{100, 0, 0}, FALSE, NULL}};

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GArray) shares = g_array_new(FALSE, FALSE, sizeof(struct spl_label_share));
        g_autofree char *words = NULL;

        for (int k = 0; k < 3 && rows[i].amounts[k] > 0; k++) {
            static char *names[] = {(char *)"A", (char *)"B", (char *)"C"};
            struct spl_label_share share = {names[k], rows[i].amounts[k]};

            g_array_append_val(shares, share);
        }
        words = spl_label_share_words(shares, rows[i].by_weight);
        if (g_strcmp0(words, rows[i].words) != 0)
            fail_msg("'%s', wanted '%s'", words, rows[i].words);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_salve_is_of_oil_of_dried_herb_and_for_the_skin, set_up,
                                    tear_down),
    cmocka_unit_test_setup_teardown(what_is_drawn_with_water_is_drunk_or_kept_by_what_it_goes_into,
                                    set_up, tear_down),
    cmocka_unit_test_setup_teardown(a_second_dose_and_a_second_solvent, set_up, tear_down),
    cmocka_unit_test_setup_teardown(what_is_only_kept, set_up, tear_down),
    cmocka_unit_test_setup_teardown(a_salve_is_weighed_and_its_wax_leaves_the_shelf, set_up,
                                    tear_down),
    cmocka_unit_test(shares_are_told_in_whole_parts_or_per_cent),
    cmocka_unit_test_setup_teardown(an_elixir_says_what_it_is_drawn_with, set_up, tear_down),
};
expect_main(tests)

/* SPDX-License-Identifier: MIT
 *
 * Recipes of one's own: kept of a batch, followed by name, as the last, and by default.
 */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "expect.h"
#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/entry.h"
#include "simpling/house.h"
#include "simpling/need.h"
#include "simpling/plan.h"
#include "simpling/purchase.h"
#include "simpling/recipe.h"

struct kept {
    char *folder, *path;
    struct spl_house_options options;
    struct spl_house *house;
};

static void open_book(struct kept *kept, int year, int month, int day)
{
    g_autoptr(GError) error = NULL;

    g_clear_pointer(&kept->house, spl_house_close);
    kept->options.today = spl_day_from_ymd(year, month, day);
    kept->house = spl_house_open(&kept->options, SPL_HOUSE_WRITE, &error);
    expect_ok(error);
}

static int set_up(void **state)
{
    struct kept *kept = g_new0(struct kept, 1);
    struct spl_book_info info;

    kept->folder = g_dir_make_tmp("spl-recipe-XXXXXX", NULL);
    kept->path = g_build_filename(kept->folder, "book.db", NULL);
    kept->options = (struct spl_house_options){
        .book = kept->path,
        .data = SPL_SOURCE_DIR "/data",
        .calendars = SPL_SOURCE_DIR "/calendars",
        .today = spl_day_from_ymd(2026, 5, 1),
    };
    if (!spl_book_make(&kept->options, "ANN", &info, NULL))
        return -1;
    spl_record_clear(&spl_book_info_shape, &info);
    *state = kept;
    return 0;
}

static int tear_down(void **state)
{
    struct kept *kept = *state;

    g_clear_pointer(&kept->house, spl_house_close);
    g_unlink(kept->path);
    g_rmdir(kept->folder);
    g_free(kept->path);
    g_free(kept->folder);
    g_free(kept);
    return 0;
}

/* Reads pairs of a path and a text, as a face does. */
static void read_into(const struct spl_inputs *inputs, void *words, const char *const *said)
{
    g_autoptr(GError) error = NULL;

    spl_inputs_init(inputs, words);
    for (guint i = 0; said[i] != NULL; i += 2)
        if (!spl_inputs_read(inputs, said[i], said[i + 1], words, &error))
            fail_msg("%s: %s", said[i], error->message);
}

#define SAID(...) ((const char *const[]){__VA_ARGS__, NULL})

static void buy_dried(struct kept *kept, const char *material)
{
    struct spl_purchase_words words;
    struct spl_purchase purchase;
    GPtrArray *cautions;
    g_autoptr(GError) error = NULL;

    read_into(&spl_purchase_inputs, &words,
              SAID("supplier", "Skirra Stores", "number", "7", "material", material, "dry", "yes",
                   "weight", "1kg", "named_by", "Edda", "signs", "as on the label"));
    if (!spl_purchase_log(kept->house, &words, &purchase, &cautions, &error))
        fail_msg("%s", error->message);
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_purchase_shape, &purchase);
    spl_inputs_clear(&spl_purchase_inputs, &words);
}

static gboolean try_start(struct kept *kept, const char *const *said, struct spl_batch *batch,
                          GPtrArray **cautions, GError **error)
{
    struct spl_batch_words words;
    gboolean ok;

    read_into(&spl_batch_inputs, &words, said);
    ok = spl_batch_begin(kept->house, &words, batch, cautions, error);
    spl_inputs_clear(&spl_batch_inputs, &words);
    return ok;
}

static GPtrArray *start(struct kept *kept, const char *const *said, struct spl_batch *batch)
{
    g_autoptr(GError) error = NULL;
    GPtrArray *cautions = NULL;

    if (!try_start(kept, said, batch, &cautions, &error))
        fail_msg("%s", error->message);
    return cautions;
}

static void press(struct kept *kept, const char *code, const char *yield)
{
    struct spl_press_words words;
    GPtrArray *cautions;
    g_autoptr(GError) error = NULL;
    GArray *lots;

    read_into(&spl_press_inputs, &words, SAID("jars.0.code", code, "jars.0.yield", yield));
    lots = spl_batch_press(kept->house, &words, &cautions, &error);
    if (lots == NULL)
        fail_msg("%s", error->message);
    g_ptr_array_unref(cautions);
    spl_list_free(&spl_lot_shape, lots);
    spl_inputs_clear(&spl_press_inputs, &words);
}

static GPtrArray *keep(struct kept *kept, const char *code, const char *name,
                       struct spl_recipe *recipe, GError **error)
{
    const struct spl_recipe_words words = {.code = code, .name = name, .on = SPL_DAY_NONE};
    GPtrArray *cautions = NULL;

    return spl_recipe_keep(kept->house, &words, recipe, &cautions, error) ? cautions : NULL;
}

static gboolean tells(const GPtrArray *cautions, const char *words)
{
    for (guint i = 0; i < cautions->len; i++) {
        if (strstr(g_ptr_array_index(cautions, i), words) != NULL)
            return TRUE;
    }
    return FALSE;
}

static const struct spl_batch_step *step_of(const struct spl_batch *batch, const char *name)
{
    for (guint i = 0; i < batch->steps->len; i++) {
        const struct spl_batch_step *step = &g_array_index(batch->steps, struct spl_batch_step, i);

        if (strcmp(step->step, name) == 0)
            return step;
    }
    fail_msg("no step %s", name);
    return NULL;
}

/* What was made once: 80 g of dried nettle leaf, 1:6 in spirit of 55 %, pressed after 21 days. */
static void make_first(struct kept *kept)
{
    struct spl_batch batch;

    open_book(kept, 2026, 5, 1);
    buy_dried(kept, "nettle leaf");
    buy_dried(kept, "dandelion leaf");
    g_ptr_array_unref(start(kept,
                            SAID("preparation", "tincture", "from", "P26-001:80g", "jar", "1L",
                                 "ratio", "1:6", "menstruum", "spirit 55%, Ash Beck Still, 130"),
                            &batch));
    spl_record_clear(&spl_batch_shape, &batch);
    open_book(kept, 2026, 5, 22);
    press(kept, "B26-001", "320mL");
}

/* 80 g x 6 mL; 1 May and 21 days: by hand. */
static void what_was_made_is_made_again(void **state)
{
    struct kept *kept = *state;
    struct spl_recipe recipe;
    struct spl_batch batch;
    g_autoptr(GPtrArray) cautions = NULL;
    g_autoptr(GError) error = NULL;

    make_first(kept);
    cautions = keep(kept, "B26-001", "Nettle, strong", &recipe, &error);
    expect_ok(error);
    assert_string_equal(recipe.preparation, "tincture");
    assert_string_equal(recipe.materials, "nettle/leaf");
    assert_true(recipe.dry);
    assert_float_equal(recipe.ratio, 6.0, 1e-9);
    assert_float_equal(recipe.strength_pct, 55.0, 1e-9);
    assert_string_equal(recipe.menstruum, "spirit 55%");
    assert_float_equal(recipe.jar_ml, 1000.0, 1e-9);
    assert_int_equal(recipe.days, 21);
    spl_record_clear(&spl_recipe_shape, &recipe);

    /* Next year by itself, and said. */
    open_book(kept, 2027, 5, 1);
    g_clear_pointer(&cautions, g_ptr_array_unref);
    cautions = start(kept, SAID("preparation", "tincture", "from", "P26-001:50g"), &batch);
    assert_true(tells(cautions, "by your recipe 'Nettle, strong' (B26-001): 1:6, spirit 55%, 21 "
                                "days"));
    assert_float_equal(batch.menstruum_ml, 300.0, 1e-6);
    assert_float_equal(batch.menstruum_abv, 55.0, 1e-6);
    assert_int_equal(step_of(&batch, "strain")->due.n, spl_day_from_ymd(2027, 5, 22).n);
    assert_int_equal(step_of(&batch, "ready")->due.n, spl_day_from_ymd(2027, 5, 22).n);
    assert_true(isnan(batch.jar_ml));
    spl_record_clear(&spl_batch_shape, &batch);

    /* By name with its jar; what is said goes before it. */
    g_clear_pointer(&cautions, g_ptr_array_unref);
    cautions = start(kept,
                     SAID("preparation", "tincture", "from", "P26-001:50g", "as", "nettle, STRONG",
                          "ratio", "1:4"),
                     &batch);
    assert_float_equal(batch.menstruum_ml, 200.0, 1e-6);
    assert_float_equal(batch.menstruum_abv, 55.0, 1e-6);
    assert_float_equal(batch.jar_ml, 1000.0, 1e-9);
    spl_record_clear(&spl_batch_shape, &batch);

    /* By the tables: 1:5 in 45 % (EMEA/HMPC/170261/2006). */
    g_clear_pointer(&cautions, g_ptr_array_unref);
    cautions =
        start(kept, SAID("preparation", "tincture", "from", "P26-001:50g", "as", "none"), &batch);
    assert_false(tells(cautions, "recipe"));
    assert_float_equal(batch.menstruum_ml, 250.0, 1e-6);
    assert_float_equal(batch.menstruum_abv, 45.0, 1e-6);
    spl_record_clear(&spl_batch_shape, &batch);

    /* As the last one, which was by the tables. */
    g_clear_pointer(&cautions, g_ptr_array_unref);
    cautions =
        start(kept, SAID("preparation", "tincture", "from", "P26-001:40g", "as", "last"), &batch);
    assert_true(tells(cautions, "as B27-003 was made: 1:5, "));
    assert_float_equal(batch.menstruum_ml, 200.0, 1e-6);
    spl_record_clear(&spl_batch_shape, &batch);
}

static void need_follows_it_too(void **state)
{
    struct kept *kept = *state;
    struct spl_recipe recipe;
    struct spl_need_words words;
    struct spl_need_result result;
    g_autoptr(GPtrArray) cautions = NULL;
    g_autoptr(GError) error = NULL;

    make_first(kept);
    cautions = keep(kept, "B26-001", "nettle", &recipe, &error);
    expect_ok(error);
    spl_record_clear(&spl_recipe_shape, &recipe);
    spl_need_words_init(&words);
    words.material = "nettle/leaf";
    words.preparation = "tincture";
    words.herb_g = 50.0;
    words.dry = TRUE;
    assert_true(spl_need_answer(kept->house, &words, &result, &error));
    assert_float_equal(result.menstruum_ml, 300.0, 1e-6);
    assert_float_equal(result.menstruum_abv, 55.0, 1e-6);
    assert_true(tells(result.cautions, "by your recipe 'nettle' (B26-001)"));
    spl_record_clear(&spl_need_result_shape, &result);
    /* Of fresh herb nothing was kept: the tables. */
    words.dry = FALSE;
    assert_true(spl_need_answer(kept->house, &words, &result, &error));
    assert_float_equal(result.menstruum_ml, 250.0, 1e-6);
    assert_false(tells(result.cautions, "by your recipe"));
    spl_record_clear(&spl_need_result_shape, &result);
}

static gboolean plan(struct kept *kept, const char *const *said, struct spl_plan_line *line,
                     GPtrArray **cautions, GError **error)
{
    struct spl_plan_words words;
    gboolean ok;

    read_into(&spl_plan_inputs, &words, said);
    ok = spl_plan_add(kept->house, &words, line, cautions, error);
    spl_inputs_clear(&spl_plan_inputs, &words);
    return ok;
}

static double planned_need(struct kept *kept)
{
    const struct spl_plan_question question = {.season = SPL_COUNT_NONE};
    GArray *lines = spl_plan_lines(kept->house, &question, NULL);
    double g;

    assert_non_null(lines);
    assert_int_equal(lines->len, 1);
    g = g_array_index(lines, struct spl_plan_line, 0).need_g;
    spl_list_free(&spl_plan_line_shape, lines);
    return g;
}

/* 300 mL at 1:6 want five sixths of the herb that 1:5 wants. A later recipe for the same does not
 * move the plan; with the recipe dropped the plan stands, by the tables. */
static void a_plan_says_by_which_recipe(void **state)
{
    struct kept *kept = *state;
    struct spl_recipe recipe;
    struct spl_recipe_drop_words drop = {.name = "strong"};
    struct spl_plan_line line;
    g_autoptr(GPtrArray) cautions = NULL;
    GPtrArray *said = NULL;
    g_autoptr(GError) error = NULL;
    double by_recipe;

    make_first(kept);
    cautions = keep(kept, "B26-001", "strong", &recipe, &error);
    expect_ok(error);
    spl_record_clear(&spl_recipe_shape, &recipe);
    assert_false(plan(kept,
                      SAID("name", "winter", "preparation", "tincture", "materials.0.material",
                           "nettle leaf", "yield", "300mL", "dry", "yes", "as", "strnog"),
                      &line, &said, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "strong");
    if (!plan(kept,
              SAID("name", "winter", "preparation", "tincture", "materials.0.material",
                   "nettle leaf", "yield", "300mL", "dry", "yes", "as", "Strong"),
              &line, &said, &error))
        fail_msg("%s", error->message);
    assert_true(tells(said, "by your recipe 'strong' (B26-001): 1:6"));
    assert_non_null(strstr(line.making, "by the recipe 'Strong'"));
    g_ptr_array_unref(said);
    spl_record_clear(&spl_plan_line_shape, &line);
    by_recipe = planned_need(kept);
    if (!spl_recipe_drop(kept->house, &drop, &recipe, &error))
        fail_msg("%s", error->message);
    spl_record_clear(&spl_recipe_shape, &recipe);
    assert_true(by_recipe < 0.95 * planned_need(kept));
}

static void what_does_not_fit_is_refused(void **state)
{
    struct kept *kept = *state;
    struct spl_recipe recipe;
    struct spl_batch batch;
    struct spl_recipe_drop_words drop = {.name = "nettle"};
    g_autoptr(GPtrArray) cautions = NULL;
    GPtrArray *other = NULL;
    g_autoptr(GError) error = NULL;
    GArray *list;

    make_first(kept);
    assert_null(keep(kept, "B26-001", "last", &recipe, &error));
    expect_error(error, SPL_ERROR_INVALID, "call the recipe otherwise");
    assert_null(keep(kept, "B26-001", "B26-002", &recipe, &error));
    expect_error(error, SPL_ERROR_INVALID, "call the recipe otherwise");
    cautions = keep(kept, "B26-001", "nettle", &recipe, &error);
    spl_record_clear(&spl_recipe_shape, &recipe);

    assert_false(try_start(kept,
                           SAID("preparation", "tincture", "from", "P26-001:40g", "as", "netle"),
                           &batch, &other, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "did you mean 'nettle'");
    assert_false(try_start(kept,
                           SAID("preparation", "vinegar", "from", "P26-001:40g", "as", "nettle"),
                           &batch, &other, &error));
    expect_error(error, SPL_ERROR_REFUSED, "is a recipe for tincture, not for vinegar");
    assert_false(try_start(kept,
                           SAID("preparation", "tincture", "from", "P26-002:40g", "as", "last"),
                           &batch, &other, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "no tincture of dandelion/leaf was made before");
    /* For another herb it serves by name, and that is said. */
    other =
        start(kept, SAID("preparation", "tincture", "from", "P26-002:40g", "as", "nettle"), &batch);
    assert_true(tells(other, "which is of nettle/leaf"));
    spl_record_clear(&spl_batch_shape, &batch);
    g_ptr_array_unref(other);

    assert_true(spl_recipe_drop(kept->house, &drop, &recipe, &error));
    spl_record_clear(&spl_recipe_shape, &recipe);
    assert_false(spl_recipe_drop(kept->house, &drop, &recipe, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "no recipe is called nettle");
    list = spl_recipe_lines(kept->house, &(struct spl_recipe_question){0}, NULL);
    assert_int_equal(list->len, 0);
    spl_list_free(&spl_recipe_shape, list);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(what_was_made_is_made_again, set_up, tear_down),
    cmocka_unit_test_setup_teardown(need_follows_it_too, set_up, tear_down),
    cmocka_unit_test_setup_teardown(a_plan_says_by_which_recipe, set_up, tear_down),
    cmocka_unit_test_setup_teardown(what_does_not_fit_is_refused, set_up, tear_down),
};
expect_main(tests)

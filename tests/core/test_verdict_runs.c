/* SPDX-License-Identifier: MIT
 *
 * Runs of days judged alike say of each day just what its own verdict says.
 */
#include "core/verdict_runs.h"
#include "verdict_some.h"

static void judge(struct spl_day day, gpointer data, struct spl_verdict_result *result)
{
    struct spl_verdict_case asked = *(const struct spl_verdict_case *)data;

    asked.day = day;
    spl_verdict_judge(&asked, result);
}

static char *words(const struct spl_reason *reason)
{
    return g_strdup(reason->what);
}

/* Every reason of the day's own verdict stands in the run, in its order, each once. */
static void expect_reasons(const struct spl_slip_run *run, const GPtrArray *reasons,
                           const struct spl_verdict_result *result, int number)
{
    guint at = 0;
    g_autoptr(GHashTable) told = g_hash_table_new(g_str_hash, g_str_equal);

    for (guint i = 0; i < result->reasons->len; i++) {
        const char *what = g_array_index(result->reasons, struct spl_reason, i).what;

        if (!g_hash_table_add(told, (gpointer)what))
            continue;
        if (at >= run->why->len)
            fail_msg("case %d: '%s' is missing", number, what);
        assert_string_equal(
            g_ptr_array_index(reasons, g_array_index(run->why, struct spl_slip_why, at).reason),
            what);
        at++;
    }
    assert_int_equal(at, run->why->len);
}

/* Ten thousand random grounds, each for one of three classes of plant and ten days. */
static void a_run_says_what_each_of_its_days_says(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(20270704);
    int turned = 0, longest = 0;

    (void)state;
    for (int i = 0; i < 10000; i++) {
        g_autoptr(GPtrArray) reasons = g_ptr_array_new_with_free_func(g_free);
        struct spl_day first, next;
        struct set set;
        GArray *runs;

        some_case(rand, &set);
        first = set.ground.day;
        next = first;
        set.ground.part = i % 3 == 1 ? SPL_PART_ROOT : SPL_PART_LEAF;
        set.ground.water_plant = i % 3 == 2;
        runs = spl_verdict_runs(first, 10, judge, &set.ground, words, reasons);
        turned += runs->len > 1;
        for (guint k = 0; k < runs->len; k++) {
            const struct spl_slip_run *run = &g_array_index(runs, struct spl_slip_run, k);

            assert_int_equal(run->first.n, next.n);
            longest = MAX(longest, run->last.n - run->first.n + 1);
            for (; next.n <= run->last.n; next = spl_day_add(next, 1)) {
                struct spl_verdict_result result;

                judge(next, &set.ground, &result);
                if (result.verdict != run->verdict)
                    fail_msg("case %d: %s, the run says %s", i, spl_verdict_names[result.verdict],
                             spl_verdict_names[run->verdict]);
                expect_reasons(run, reasons, &result, i);
                spl_verdict_result_clear(&result);
            }
        }
        assert_int_equal(next.n, first.n + 10);
        assert_true(spl_verdict_runs_equal(runs, runs));
        spl_list_free(&spl_slip_run_shape, runs);
        end(&set);
    }
    /* Else this would prove little. */
    assert_true(turned > 300 && longest == 10);
}

/* Said on 4 May to hold until 8 May: five days clear, then to be asked. By hand. */
static void a_word_that_ends_ends_a_run(void **state)
{
    g_autoptr(GPtrArray) reasons = g_ptr_array_new_with_free_func(g_free);
    struct set set;
    GArray *runs, *shorter;

    (void)state;
    bare(&set, ymd(2027, 5, 4));
    add_word(&set, ymd(2027, 5, 4), ymd(2020, 1, 1), ymd(2027, 5, 8));
    add_leave(&set, TRUE, ymd(2027, 1, 1));
    runs = spl_verdict_runs(ymd(2027, 5, 4), 10, judge, &set.ground, words, reasons);
    assert_int_equal(runs->len, 2);
    assert_int_equal(g_array_index(runs, struct spl_slip_run, 0).verdict, SPL_VERDICT_CLEAR);
    assert_int_equal(g_array_index(runs, struct spl_slip_run, 0).last.n, ymd(2027, 5, 8).n);
    assert_int_equal(g_array_index(runs, struct spl_slip_run, 1).verdict, SPL_VERDICT_ASK);
    assert_int_equal(g_array_index(runs, struct spl_slip_run, 1).last.n, ymd(2027, 5, 13).n);
    shorter = spl_verdict_runs(ymd(2027, 5, 4), 5, judge, &set.ground, words, reasons);
    assert_int_equal(shorter->len, 1);
    assert_false(spl_verdict_runs_equal(runs, shorter));
    spl_list_free(&spl_slip_run_shape, runs);
    spl_list_free(&spl_slip_run_shape, shorter);
    end(&set);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_run_says_what_each_of_its_days_says),
    cmocka_unit_test(a_word_that_ends_ends_a_run),
};
expect_main(tests)

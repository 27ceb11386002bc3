/* SPDX-License-Identifier: MIT
 *
 * The slip: it is small enough to send, names of any kind stay names, days are said with their
 * weekdays, and it is asked for well or refused. */
#include "simpling/customs.h"
#include "slip_book.h"

/* ---- size ---- */

static void add_run(GArray *runs, int from, int to, enum spl_verdict verdict, int reason)
{
    struct spl_slip_run run = {.first = {TODAY + from},
                               .last = {TODAY + to},
                               .verdict = verdict,
                               .why = spl_list_new(&spl_slip_why_shape)};
    const struct spl_slip_why first = {reason}, second = {reason + 1};

    g_array_append_val(run.why, first);
    g_array_append_val(run.why, second);
    g_array_append_val(runs, run);
}

/* A big one: 50 places, 12 plants at each, 10 days with a change within; texts of the length that
 * the demo has. */
static void fill_big(struct spl_slip *slip, const char *name)
{
    static const char *const four[] = {"early flower", "full flower", "in bud", "first flowers"};

    *slip = (struct spl_slip){.id = g_strdup("a7k3"),
                              .mark = g_strdup("ANN"),
                              .of = g_strdup(name),
                              .first = {TODAY},
                              .last = {TODAY + DAYS - 1},
                              .today = {TODAY},
                              .zone = g_strdup("Europe/London"),
                              .who = g_strdup("Edda"),
                              .positions = TRUE,
                              .outing = SPL_DAY_NONE,
                              .reserve = SPL_DAY_NONE,
                              .places = spl_list_new(&spl_slip_place_shape),
                              .plants = spl_list_new(&spl_slip_plant_shape),
                              .steps = spl_list_new(&spl_slip_step_shape),
                              .cautions = g_ptr_array_new_with_free_func(g_free)};
    for (int i = 0; i < 12; i++) {
        struct spl_slip_plant plant = {.plant = g_strdup_printf("plant-%d", i),
                                       .common = g_strdup("water dropwort"),
                                       .latin = g_strdup("Filipendula ulmaria"),
                                       .deadly = i < 6,
                                       .lookalikes = g_strnfill(700, 'x')};

        g_array_append_val(slip->plants, plant);
    }
    for (int i = 0; i < 50; i++) {
        struct spl_slip_place place = {
            .name = g_strdup_printf("%s %d", name, i),
            .lat = 54.12345,
            .lon = -2.54321,
            .km = 12.3,
            .reckoned_from = g_strdup("2 hazards set by hand; roads among them"),
            .leave =
                g_strdup("written leave given by the tenant of Low Croft Farm for any until 2028"),
            .ask = g_strdup("the tenant, at the gate"),
            .reasons = g_ptr_array_new_with_free_func(g_free),
            .classes = spl_list_new(&spl_slip_class_shape),
            .materials = spl_list_new(&spl_slip_material_shape)};

        for (int k = 0; k < 4; k++)
            g_ptr_array_add(place.reasons, g_strnfill(80, 'y'));
        for (int k = 0; k < 3; k++) {
            struct spl_slip_class class = {.runs = spl_list_new(&spl_slip_run_shape)};

            add_run(class.runs, 0, 4, SPL_VERDICT_CLEAR, 0);
            add_run(class.runs, 5, DAYS - 1, k == 0 ? SPL_VERDICT_ASK : SPL_VERDICT_CLOSED, 1);
            g_array_append_val(place.classes, class);
        }
        for (int k = 0; k < 12; k++) {
            struct spl_slip_material one = {
                .material = g_strdup("water-dropwort/flower"),
                .spoken = g_strdup("water dropwort flower"),
                .plant = k,
                .class = k % 3,
                .earliest = {TODAY - 20},
                .likely_start = {TODAY - 10},
                .likely_end = {TODAY + 20},
                .latest = {TODAY + 30},
                .stages = g_ptr_array_new_with_free_func(g_free),
                .stage = g_strdup("early flower to full flower"),
                .hours = g_strdup("from 07:34, when the dew is off, to 21:50"),
                .left_g = 1680,
                .wanted_g = 400,
                .what_for = g_strdup("winter tincture"),
                .care = g_ptr_array_new_with_free_func(g_free)};

            for (gsize j = 0; j < G_N_ELEMENTS(four); j++)
                g_ptr_array_add(one.stages, g_strdup(four[j]));
            g_ptr_array_add(one.care, g_strnfill(200, 'z'));
            g_array_append_val(place.materials, one);
        }
        g_array_append_val(slip->places, place);
    }
}

static void a_big_slip_is_small_enough_to_send(void **state)
{
    struct spl_slip slip;
    g_autofree char *page = NULL, *text = NULL;

    (void)state;
    fill_big(&slip, "Scarth Wood");
    page = spl_slip_page(&slip);
    text = spl_slip_text(&slip);
    if (strlen(page) >= 300000)
        fail_msg("%zu bytes", strlen(page));
    assert_true(strlen(text) < 300000);
    spl_record_clear(&spl_slip_shape, &slip);
}

/* ---- words ---- */

static void names_stay_names(void **state)
{
    struct spl_slip slip;
    g_autofree char *page = NULL;

    (void)state;
    fill_big(&slip, "<script>\"'&\xe2\x80\xaegill");
    spl_customs_set(
        &(struct spl_customs){.read = SPL_UNITS_US, .print = SPL_UNITS_US, .today = {TODAY}});
    page = spl_slip_page(&slip);
    spl_customs_set(&(struct spl_customs){.read = SPL_UNITS_METRIC, .today = {TODAY}});
    assert_null(strstr(page, "gill\""));
    assert_non_null(strstr(page, "data-place=\"&lt;script&gt;&quot;&#39;&amp;&#xFFFD;gill 7\""));
    assert_non_null(strstr(page, "<bdi>&lt;script&gt;&quot;&#39;&amp;&#xFFFD;gill 7</bdi>"));
    assert_true(g_str_is_ascii(page));
    /* 1680 g are 3 lb 11 oz: 3.7038 lb. */
    assert_non_null(strstr(page, "may take 3 lb 11"));
    spl_record_clear(&spl_slip_shape, &slip);
}

static void days_are_said_with_their_weekdays(void **state)
{
    static const struct {
        const char *first, *last, *wanted;
    } rows[] = {
        /* 4 July 2027 is a Sunday, 29 February 2028 a Tuesday (ISO 8601 weekdays, date -d). */
        {"2027-07-04", "2027-07-04", "Sun 4 July"},
        {"2027-07-04", "2027-07-13", "Sun 4 to Tue 13 July"},
        {"2027-06-30", "2027-07-02", "Wed 30 June to Fri 2 July"},
        {"2028-02-29", "2028-03-01", "Tue 29 February to Wed 1 March"},
        {"2027-07-14", "2028-07-13", "Wed 14 July to Thu 13 July"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        struct spl_day first, last;
        g_autofree char *words = NULL;

        assert_true(spl_day_parse(rows[i].first, "first", &first, NULL) &&
                    spl_day_parse(rows[i].last, "last", &last, NULL));
        words = spl_slip_run_words(first, last);
        assert_string_equal(words, rows[i].wanted);
    }
}

/* ---- the file, and what is asked ---- */

static void expect_refused(struct spl_house *house, const struct spl_slip_words *words,
                           enum spl_error_code code, const char *part)
{
    struct spl_slip_written written;
    GError *error = NULL;

    assert_false(spl_slip_write(house, words, &written, &error));
    expect_error(error, code, part);
}

static void a_slip_is_asked_for_well_or_refused(void **state)
{
    g_autofree char *folder = g_dir_make_tmp("spl-slip-XXXXXX", NULL);
    g_autofree char *path = g_build_filename(folder, "book.db", NULL);
    g_autofree char *out = g_build_filename(folder, "slip.html", NULL);
    g_autofree char *text = g_build_filename(folder, "slip.txt", NULL), *kept = NULL;
    g_autoptr(GRand) rand = g_rand_new_with_seed(3);
    struct spl_house *house = new_book(path, "GB");
    struct spl_slip_words words = {
        .out = out, .outing = SPL_DAY_NONE, .days = SPL_COUNT_NONE, .from = SPL_DAY_NONE};
    struct spl_slip_written written;
    GError *error = NULL;

    (void)state;
    expect_refused(house, &words, SPL_ERROR_NOT_FOUND, "no place yet");
    add_place(rand, house, "Withy Gill", 0);
    add_place(rand, house, "Low Croft", 1);
    words.group = TRUE;
    expect_refused(house, &words, SPL_ERROR_USAGE, "group");
    words.site = "Withy Gill";
    assert_true(spl_slip_write(house, &words, &written, &error));
    assert_int_equal(written.places, 1);
    spl_record_clear(&spl_slip_written_shape, &written);
    words.group = FALSE;
    words.site = NULL;
    words.out = "slip.pdf";
    expect_refused(house, &words, SPL_ERROR_USAGE, "FILE.html");
    words.out = out;
    words.days = 32;
    expect_refused(house, &words, SPL_ERROR_INVALID, "31");
    words.days = 3;
    words.from = (struct spl_day){TODAY - 1};
    expect_refused(house, &words, SPL_ERROR_INVALID, "before today");
    words.from = SPL_DAY_NONE;
    words.outing = (struct spl_day){TODAY + 2};
    expect_refused(house, &words, SPL_ERROR_NOT_FOUND, "no outing is kept for 2027-06-22");
    words.outing = SPL_DAY_NONE;
    /* A slip is replaced, another file is not. */
    assert_true(spl_slip_write(house, &words, &written, &error));
    assert_int_equal(spl_day_diff(written.last, written.first), 2);
    spl_record_clear(&spl_slip_written_shape, &written);
    assert_true(g_file_set_contents(text, "my own", -1, NULL));
    words.out = text;
    expect_refused(house, &words, SPL_ERROR_CONFLICT, "no slip of simpling's");
    words.force = TRUE;
    assert_true(spl_slip_write(house, &words, &written, &error));
    spl_record_clear(&spl_slip_written_shape, &written);
    words.force = FALSE;
    assert_true(spl_slip_write(house, &words, &written, &error));
    assert_true(g_file_get_contents(text, &kept, NULL, NULL));
    assert_non_null(strstr(kept, "On any other day nothing here is clear."));
    g_autofree char *blank = g_strdup_printf(" ____ g, ____ [%s-01]\n", written.slip);
    assert_non_null(strstr(kept, blank));
    spl_record_clear(&spl_slip_written_shape, &written);
    spl_house_close(house);
    g_unlink(path);
    g_unlink(out);
    g_unlink(text);
    g_rmdir(folder);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_big_slip_is_small_enough_to_send),
    cmocka_unit_test(names_stay_names),
    cmocka_unit_test(days_are_said_with_their_weekdays),
    cmocka_unit_test(a_slip_is_asked_for_well_or_refused),
};
expect_main(tests)

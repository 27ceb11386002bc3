/* SPDX-License-Identifier: MIT
 *
 * Which harvests have anything against their ground: what the book keeps of it equals what its
 * facts make of it, after any history, whoever wrote them.
 */
#include <glib/gstdio.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/judged.h"
#include "expect.h"
#include "season/judged.h"
#include "simpling/amend.h"
#include "simpling/harvest.h"
#include "simpling/hazard.h"
#include "simpling/house.h"
#include "simpling/site.h"

#define PLACES 8
#define HISTORIES 12
#define STEPS 45

struct many {
    char *folder, *path;
    struct spl_house_options options;
    struct spl_house *house;
    GRand *rand;
    guint harvests, notes, layers;
};

static void open_book(struct many *many)
{
    g_autoptr(GError) error = NULL;

    many->house = spl_house_open(&many->options, SPL_HOUSE_WRITE, &error);
    expect_ok(error);
}

static int set_up(void **state)
{
    struct many *many = g_new0(struct many, 1);
    g_autoptr(GError) error = NULL;

    many->folder = g_dir_make_tmp("spl-judged-XXXXXX", NULL);
    many->path = g_build_filename(many->folder, "book.db", NULL);
    many->options = (struct spl_house_options){
        .book = many->path,
        .data = SPL_SOURCE_DIR "/data",
        .calendars = SPL_SOURCE_DIR "/calendars",
        .today = spl_day_from_ymd(2027, 6, 20),
    };
    *state = many;
    return 0;
}

static void remove_book(struct many *many)
{
    g_clear_pointer(&many->house, spl_house_close);
    g_unlink(many->path);
}

static int tear_down(void **state)
{
    struct many *many = *state;

    remove_book(many);
    g_rmdir(many->folder);
    g_free(many->path);
    g_free(many->folder);
    g_free(many);
    return 0;
}

static gint32 below(struct many *many, gint32 n)
{
    return g_rand_int_range(many->rand, 0, n);
}

/* Of the last three years: a hold is three years long. */
static struct spl_day some_day(struct many *many)
{
    return spl_day_add(many->options.today, -below(many, 1100));
}

static char *some_place(struct many *many)
{
    return g_strdup_printf("Place %d", below(many, PLACES));
}

/* ---- what may happen: whether it is refused is all the same ---- */

static void speak_of_spraying(struct many *many)
{
    static const char *const kinds[] = {"unsprayed", "unsprayed", "unsprayed", "sprayed",
                                        "planned"};
    g_autofree char *site = some_place(many);
    struct spl_spray_words words = {.site = site,
                                    .kind = kinds[below(many, G_N_ELEMENTS(kinds))],
                                    .source = "the tenant",
                                    .on = some_day(many),
                                    .since = SPL_DAY_NONE,
                                    .until = SPL_DAY_NONE};
    struct spl_spray_record note;
    GPtrArray *touched;

    if (g_str_equal(words.kind, "unsprayed"))
        words.since = spl_day_add(words.on, -1500);
    if (g_str_equal(words.kind, "planned"))
        words.on = spl_day_add(words.on, below(many, 60));
    if (!spl_spray_note_add(many->house, &words, &note, &touched, NULL))
        return;
    many->notes++;
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_spray_record_shape, &note);
}

static void give_leave(struct many *many)
{
    g_autofree char *site = some_place(many);
    const gboolean given = below(many, 4) > 0;
    const struct spl_permission_words words = {.site = site,
                                               .given = given,
                                               .refused = !given,
                                               .by = "the owner",
                                               .parts = below(many, 3) > 0 ? "any" : "flower",
                                               .on = some_day(many),
                                               .until = SPL_DAY_NONE};
    struct spl_permission_note note;

    if (spl_site_permit(many->house, &words, &note, NULL))
        spl_record_clear(&spl_permission_note_shape, &note);
}

static void move_place(struct many *many)
{
    g_autofree char *site = some_place(many);
    struct spl_site_edit_words words;
    struct spl_site changed;
    char *caution;
    GPtrArray *touched;

    spl_inputs_init(&spl_site_edit_inputs, &words);
    words.site = site;
    words.why = "tried";
    switch (below(many, 4)) {
    case 0:
        words.to.contaminated = "an old tip";
        break;
    case 1:
        words.not_contaminated = TRUE;
        break;
    case 2:
        words.to.accuracy_m = 5 + below(many, 60);
        break;
    default: /* among the others, or away from them all */
        words.to.at =
            (struct spl_coordinates){54.6 + below(many, 10) * 0.0003 + below(many, 2), -2.5};
    }
    if (!spl_site_change(many->house, &words, &changed, &touched, &caution, NULL))
        return;
    g_free(caution);
    if (touched != NULL)
        g_ptr_array_unref(touched);
    spl_record_clear(&spl_site_shape, &changed);
}

static void add_hazard(struct many *many)
{
    static const char *const methods[] = {"boom", "road", "handheld"};
    g_autofree char *name = g_strdup_printf("ground %u", many->layers);
    struct spl_hazard_words words;
    struct spl_hazard_layer layer;
    GPtrArray *touched;

    spl_inputs_init(&spl_hazard_inputs, &words);
    words.name = name;
    words.method = methods[below(many, G_N_ELEMENTS(methods))];
    words.at = (struct spl_coordinates){54.6 + below(many, 20) * 0.0003, -2.5};
    words.radius_m = 5 + below(many, 40);
    if (!g_str_equal(words.method, "road"))
        words.on = some_day(many);
    words.source = "seen";
    if (!spl_hazard_new(many->house, &words, &layer, &touched, NULL))
        return;
    many->layers++;
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_hazard_layer_shape, &layer);
}

static void drop_hazard(struct many *many)
{
    g_autofree char *name = g_strdup_printf("ground %d", below(many, (gint32)many->layers + 1));

    (void)spl_hazard_drop(many->house, &(struct spl_hazard_pick){name}, NULL);
}

static void change_method(struct many *many)
{
    struct spl_method_words words;
    struct spl_method_line line;

    spl_inputs_init(&spl_method_inputs, &words);
    words.method = "boom";
    words.ask_m = 500 + below(many, 500);
    words.hold_on_days = 900 + below(many, 600);
    words.why = "tried";
    if (spl_hazard_method_change(many->house, &words, &line, NULL))
        spl_record_clear(&spl_method_line_shape, &line);
}

static void harvest(struct many *many)
{
    static const char *const materials[] = {"nettle/leaf", "elder/flower", "yarrow/flower"};
    g_autofree char *site = some_place(many);
    const gboolean named = below(many, 2) > 0;
    struct spl_harvest_words words;
    struct spl_harvest logged;
    GPtrArray *cautions;

    spl_inputs_init(&spl_harvest_inputs, &words);
    words.site = site;
    words.material = materials[below(many, G_N_ELEMENTS(materials))];
    words.stage = "35";
    words.weight_g = 100 + below(many, 900);
    words.on = some_day(many);
    words.named_by = named ? "Edda" : NULL;
    words.signs = named ? "flower, leaf and scent" : NULL;
    words.hold = below(many, 3) == 0 ? "to be looked at" : NULL;
    if (!spl_harvest_log(many->house, &words, &logged, &cautions, NULL))
        return;
    many->harvests++;
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_harvest_shape, &logged);
}

static void correct(struct many *many, const char *code, const char *key, const char *text)
{
    struct spl_change_words change = {key, text};
    g_autoptr(GArray) changes = g_array_new(FALSE, FALSE, sizeof change);
    GArray *list;

    g_array_append_val(changes, change);
    list = spl_record_amend(many->house,
                            &(struct spl_amend_words){code, changes, "tried", NULL, FALSE}, NULL);
    if (list != NULL)
        spl_list_free(&spl_correction_shape, list);
}

/* Codes carry the year of their day; any may be meant. */
static char *some_code(struct many *many, char kind, guint n)
{
    return g_strdup_printf("%c%d-%03d", kind, 24 + below(many, 4), 1 + below(many, (gint32)n + 1));
}

static void correct_something(struct many *many)
{
    g_autofree char *harvest = some_code(many, 'H', many->harvests);
    g_autofree char *note = some_code(many, 'N', many->notes);
    char day[SPL_DAY_TEXT_SIZE];

    spl_day_format(some_day(many), day);
    switch (below(many, 3)) {
    case 0:
        correct(many, harvest, "on", day);
        break;
    case 1:
        correct(many, harvest, "named_by", "Edda");
        break;
    default:
        correct(many, note, "on", day);
    }
}

static void strike(struct many *many, const char *code)
{
    struct spl_correction struck;

    if (spl_record_strike(many->house, &(struct spl_strike_words){.code = code, .why = "tried"},
                          &struck, NULL))
        spl_record_clear(&spl_correction_shape, &struck);
}

static void strike_something(struct many *many)
{
    g_autofree char *code = below(many, 2) == 0 ? some_code(many, 'H', many->harvests)
                                                : some_code(many, 'N', many->notes);

    strike(many, code);
}

static void go_on(struct many *many)
{
    static void (*const ways[])(struct many *) = {
        harvest,    harvest,    harvest,           harvest,           speak_of_spraying,
        give_leave, add_hazard, speak_of_spraying, correct_something, correct_something,
        move_place, give_leave, strike_something,  drop_hazard,       change_method,
    };

    ways[below(many, G_N_ELEMENTS(ways))](many);
}

/* ---- what must hold ---- */

static gint by_text(gconstpointer a, gconstpointer b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

/* The reasons in words, sorted, with whose kept reasons no longer count. */
static char *print(GArray *reasons, GHashTable *judged, GArray *held)
{
    g_autoptr(GPtrArray) lines = g_ptr_array_new_with_free_func(g_free);

    for (guint i = 0; i < reasons->len; i++) {
        const struct spl_state_reason *one = &g_array_index(reasons, struct spl_state_reason, i);

        g_ptr_array_add(lines,
                        g_strdup_printf("%" G_GINT64_FORMAT " %s %d %s %" G_GINT64_FORMAT " %s",
                                        one->root.thing, spl_judged_kind_name(one->root.kind),
                                        one->root.grade, one->fact, one->root.stamp, one->why));
    }
    for (guint i = 0; i < held->len; i++)
        g_ptr_array_add(
            lines,
            g_strdup_printf("%" G_GINT64_FORMAT " settled %d", g_array_index(held, gint64, i),
                            g_hash_table_contains(judged, &g_array_index(held, gint64, i))));
    g_ptr_array_sort(lines, by_text);
    g_ptr_array_add(lines, NULL);
    return g_strjoinv("\n", (char **)lines->pdata);
}

static void expect_derived(struct many *many, gint seed)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) held = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) quick = spl_state_reasons_new(), whole = spl_state_reasons_new();
    g_autoptr(GHashTable) one = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    g_autoptr(GHashTable) other = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    g_autofree char *by_table = NULL, *by_function = NULL;
    guint missing, surplus;
    gboolean stale;

    assert_true(spl_judged_stale(many->house->book, &stale, &error));
    assert_false(stale);
    assert_true(spl_judged_compare(many->house, &missing, &surplus, &error));
    expect_ok(error);
    if (missing + surplus > 0)
        fail_msg("history %d: %u are taken for free, %u for not", seed, missing, surplus);
    assert_true(spl_judged_all(many->house, seeds, quick, one, &error));
    assert_true(spl_judged_reasons(many->house, NULL, whole, other, &error));
    assert_true(spl_judged_held(many->house->book, held, held, &error));
    by_table = print(quick, one, held);
    by_function = print(whole, other, held);
    if (strcmp(by_table, by_function) != 0) {
        gsize same = 0;

        while (by_table[same] == by_function[same])
            same++;
        while (same > 0 && by_table[same - 1] != '\n')
            same--;
        fail_msg("history %d: by what is kept %.300s\nby all facts %.300s", seed, by_table + same,
                 by_function + same);
    }
}

/* Leave, and a word that reaches far back: what speaks against its harvests is a neighbour's. */
static void vouch(struct many *many, const char *site)
{
    g_autoptr(GError) error = NULL;
    const struct spl_permission_words leave = {.site = site,
                                               .given = TRUE,
                                               .by = "the owner",
                                               .parts = "any",
                                               .on = spl_day_from_ymd(2020, 1, 1),
                                               .until = SPL_DAY_NONE};
    const struct spl_spray_words word = {.site = site,
                                         .kind = "unsprayed",
                                         .source = "the tenant",
                                         .on = many->options.today,
                                         .since = spl_day_from_ymd(2015, 1, 1),
                                         .until = SPL_DAY_NONE};
    struct spl_permission_note note;
    struct spl_spray_record said;
    GPtrArray *touched;

    assert_true(spl_site_permit(many->house, &leave, &note, &error));
    spl_record_clear(&spl_permission_note_shape, &note);
    assert_true(spl_spray_note_add(many->house, &word, &said, &touched, &error));
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_spray_record_shape, &said);
}

static void begin(struct many *many, gint seed)
{
    g_autoptr(GError) error = NULL;

    assert_true(spl_book_make(&many->options, "ANN", NULL, &error));
    open_book(many);
    many->rand = g_rand_new_with_seed((guint32)seed);
    many->harvests = many->notes = many->layers = 0;
    for (int i = 0; i < PLACES; i++) {
        g_autofree char *name = g_strdup_printf("Place %d", i);
        struct spl_site_words words;
        struct spl_site site;
        char *caution;

        spl_inputs_init(&spl_site_inputs, &words);
        words.name = name;
        words.at = (struct spl_coordinates){54.6 + i * 0.0003, -2.5}; /* 33 m apart */
        words.accuracy_m = 5;
        assert_true(spl_site_new(many->house, &words, &site, &caution, &error));
        g_free(caution);
        spl_record_clear(&spl_site_shape, &site);
        if (seed % 2 == 0)
            vouch(many, name);
    }
}

static void what_is_kept_is_what_the_facts_make_after_any_history(void **state)
{
    struct many *many = *state;
    guint harvests = 0;

    for (gint seed = 1; seed <= HISTORIES; seed++) {
        begin(many, seed);
        for (int step = 0; step < STEPS; step++) {
            go_on(many);
            if (step % 5 == 4)
                expect_derived(many, seed);
        }
        harvests += many->harvests;
        g_rand_free(many->rand);
        remove_book(many);
    }
    assert_true(harvests > HISTORIES); /* something was tried */
}

/* What the triggers miss or a stranger spoils is found, and mended. */
static void wrong_rows_are_found_and_made_again(void **state)
{
    static const char *const spoil[] = {
        "DELETE FROM judged_harvest",
        "INSERT INTO judged_harvest SELECT id, 1 FROM harvest WHERE id NOT IN"
        " (SELECT harvest_id FROM judged_harvest)",
    };
    struct many *many = *state;
    g_autoptr(GError) error = NULL;

    begin(many, 8);
    for (int step = 0; step < 60; step++)
        go_on(many);
    for (gsize i = 0; i < G_N_ELEMENTS(spoil); i++) {
        struct spl_repaired repaired;
        struct spl_book *raw;
        GPtrArray *findings;

        g_clear_pointer(&many->house, spl_house_close);
        raw = spl_book_open(many->path, SPL_BOOK_WRITE, &error);
        assert_true(spl_book_begin(raw, &error) && spl_book_script(raw, spoil[i], &error) &&
                    spl_book_commit(raw, &error));
        expect_ok(error);
        spl_book_close(raw);
        many->options.as_it_is = TRUE;
        open_book(many);
        findings = spl_book_examine(many->house, &error);
        expect_ok(error);
        assert_int_equal(findings->len, 1);
        assert_true(g_str_has_prefix(g_ptr_array_index(findings, 0), "judged ground: "));
        g_ptr_array_unref(findings);
        assert_true(spl_book_repair(many->house, &repaired, &error));
        expect_ok(error);
        assert_true(repaired.ok);
        assert_int_equal(repaired.mended->len, 1);
        g_unlink(repaired.copy);
        spl_record_clear(&spl_repaired_shape, &repaired);
        expect_derived(many, 8);
        g_clear_pointer(&many->house, spl_house_close);
        many->options.as_it_is = FALSE;
        open_book(many);
    }
    g_rand_free(many->rand);
}

/* Of how many harvests the book keeps that something is against their ground. */
static guint kept_against(struct many *many)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));

    assert_true(spl_judged_list(many->house->book, FALSE, ids, &error));
    expect_ok(error);
    return ids->len;
}

static void put_place(struct many *many, const char *name, double lat)
{
    g_autoptr(GError) error = NULL;
    struct spl_site_edit_words words;
    struct spl_site changed;
    char *caution;
    GPtrArray *touched;

    spl_inputs_init(&spl_site_edit_inputs, &words);
    words.site = name;
    words.why = "it lies there";
    words.to.at = (struct spl_coordinates){lat, -2.5};
    assert_true(spl_site_change(many->house, &words, &changed, &touched, &caution, &error));
    expect_ok(error);
    g_free(caution);
    if (touched != NULL)
        g_ptr_array_unref(touched);
    spl_record_clear(&spl_site_shape, &changed);
}

/* A sprayed place that is moved leaves old neighbours free and has new ones; they are the places
 * that are judged again. */
static void a_sprayed_place_takes_its_reach_along(void **state)
{
    struct many *many = *state;
    g_autoptr(GError) error = NULL;
    const struct spl_spray_words sprayed = {.site = "Place 0",
                                            .kind = "sprayed",
                                            .source = "a neighbour",
                                            .method = "handheld", /* asks as far as 31 m */
                                            .on = spl_day_from_ymd(2027, 5, 1),
                                            .since = SPL_DAY_NONE,
                                            .until = SPL_DAY_NONE};
    struct spl_spray_record note;
    GPtrArray *touched;

    begin(many, 2);
    for (int i = 1; i < 4; i++) {
        g_autofree char *name = g_strdup_printf("Place %d", i);
        struct spl_harvest_words words;
        struct spl_harvest logged;
        GPtrArray *cautions;

        spl_inputs_init(&spl_harvest_inputs, &words);
        words.site = name;
        words.material = "nettle/leaf";
        words.stage = "35";
        words.weight_g = 500;
        words.on = spl_day_from_ymd(2027, 5, 20);
        assert_true(spl_harvest_log(many->house, &words, &logged, &cautions, &error));
        expect_ok(error);
        g_ptr_array_unref(cautions);
        spl_record_clear(&spl_harvest_shape, &logged);
    }
    expect_derived(many, 0);
    assert_int_equal(kept_against(many), 0);
    /* 33 m from Place 1, both known to 5 m: 23 m at the least. */
    assert_true(spl_spray_note_add(many->house, &sprayed, &note, &touched, &error));
    expect_ok(error);
    g_ptr_array_unref(touched);
    expect_derived(many, 0);
    assert_int_equal(kept_against(many), 1);
    put_place(many, "Place 0", 55.6);
    expect_derived(many, 0);
    assert_int_equal(kept_against(many), 0);
    put_place(many, "Place 0", 54.60075); /* between Place 2 and Place 3 */
    expect_derived(many, 0);
    assert_int_equal(kept_against(many), 2);
    put_place(many, "Place 2", 55.6);
    expect_derived(many, 0);
    assert_int_equal(kept_against(many), 1);
    strike(many, note.code);
    spl_record_clear(&spl_spray_record_shape, &note);
    expect_derived(many, 0);
    assert_int_equal(kept_against(many), 0);
    g_rand_free(many->rand);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_sprayed_place_takes_its_reach_along, set_up, tear_down),
    cmocka_unit_test_setup_teardown(what_is_kept_is_what_the_facts_make_after_any_history, set_up,
                                    tear_down),
    cmocka_unit_test_setup_teardown(wrong_rows_are_found_and_made_again, set_up, tear_down),
};
expect_main(tests)

/* SPDX-License-Identifier: MIT
 *
 * Three people with a book each, who share places and merge: whatever each wrote and whenever they
 * merged, the order of the last merges never shows; where nobody changed another's records, all
 * three books say the same; and what a stranger strikes, corrects and moves makes nothing milder.
 *
 *     season_between                      some histories
 *     HISTORIES=100 season_between        so many
 */
#include <glib/gstdio.h>

#include "book/statement.h"
#include "expect.h"
#include "season/judged.h"
#include "season/state.h"
#include "simpling/amend.h"
#include "simpling/carry.h"
#include "simpling/check.h"
#include "simpling/harvest.h"
#include "simpling/hazard.h"
#include "simpling/question.h"
#include "simpling/site.h"

#define HISTORIES 4
#define PEOPLE 3
#define PLACES 3
#define STEPS 18

static const char *const marks[PEOPLE] = {"ANN", "BOB", "CID"};

struct people {
    char *folder, *paths[PEOPLE];
    struct spl_house *houses[PEOPLE];
    GRand *rand;
    const char *word; /* how the others' codes are said: by whose mark */
    gboolean strangers;
    int seed, came, turned;
    guint layers;
};

static struct spl_day today(void)
{
    return spl_day_from_ymd(2027, 6, 20);
}

static struct spl_house_options options_of(const char *path)
{
    return (struct spl_house_options){.book = path,
                                      .data = SPL_SOURCE_DIR "/data",
                                      .calendars = SPL_SOURCE_DIR "/calendars",
                                      .today = today()};
}

static struct spl_house *open_book(const char *path)
{
    const struct spl_house_options options = options_of(path);
    g_autoptr(GError) error = NULL;
    struct spl_house *house = spl_house_open(&options, SPL_HOUSE_WRITE, &error);

    expect_ok(error);
    assert_true(spl_book_script(house->book, "PRAGMA synchronous = OFF", &error));
    return house;
}

static gint32 below(struct people *people, gint32 n)
{
    return g_rand_int_range(people->rand, 0, n);
}

/* ---- what may happen: whether it is refused is all the same ---- */

static char *some_place(struct people *people)
{
    return g_strdup_printf("Place %d", below(people, PLACES));
}

/* Of the last two months: words and dangers of one day meet. */
static struct spl_day some_day(struct people *people)
{
    return spl_day_add(today(), -below(people, 60));
}

static void speak(struct people *people, struct spl_house *house)
{
    static const char *const kinds[] = {"unsprayed", "unsprayed", "sprayed", "planned"};
    g_autofree char *site = some_place(people);
    struct spl_spray_words words = {.site = site,
                                    .kind = kinds[below(people, G_N_ELEMENTS(kinds))],
                                    .source = "the tenant",
                                    .on = some_day(people),
                                    .since = SPL_DAY_NONE,
                                    .until = SPL_DAY_NONE};
    struct spl_spray_record note;
    GPtrArray *touched;

    if (g_str_equal(words.kind, "unsprayed"))
        words.since = spl_day_add(words.on, -1500);
    if (!spl_spray_note_add(house, &words, &note, &touched, NULL))
        return;
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_spray_record_shape, &note);
}

static void give_leave(struct people *people, struct spl_house *house)
{
    g_autofree char *site = some_place(people);
    const gboolean given = below(people, 4) > 0;
    const struct spl_permission_words words = {.site = site,
                                               .given = given,
                                               .refused = !given,
                                               .by = "the owner",
                                               .parts = "any",
                                               .on = some_day(people),
                                               .until = SPL_DAY_NONE};
    struct spl_permission_note note;

    if (spl_site_permit(house, &words, &note, NULL))
        spl_record_clear(&spl_permission_note_shape, &note);
}

static void harvest(struct people *people, struct spl_house *house)
{
    g_autofree char *site = some_place(people);
    struct spl_harvest_words words;
    struct spl_harvest logged;
    GPtrArray *cautions;

    spl_inputs_init(&spl_harvest_inputs, &words);
    words.site = site;
    words.material = "nettle/leaf";
    words.stage = "35";
    words.weight_g = 100 + below(people, 900);
    words.on = some_day(people);
    words.named_by = "Edda";
    words.signs = "stings";
    words.hold = below(people, 3) == 0 ? "to be looked at" : NULL;
    if (!spl_harvest_log(house, &words, &logged, &cautions, NULL))
        return;
    g_ptr_array_unref(cautions);
    spl_record_clear(&spl_harvest_shape, &logged);
}

static void add_hazard(struct people *people, struct spl_house *house)
{
    static const char *const methods[] = {"boom", "road", "handheld"};
    g_autofree char *name = g_strdup_printf("ground %u", people->layers++);
    struct spl_hazard_words words;
    struct spl_hazard_layer layer;
    GPtrArray *touched;

    spl_inputs_init(&spl_hazard_inputs, &words);
    words.name = name;
    words.method = methods[below(people, G_N_ELEMENTS(methods))];
    words.at = (struct spl_coordinates){54.6 + below(people, 20) * 0.0003, -2.5};
    words.radius_m = 5 + below(people, 40);
    if (!g_str_equal(words.method, "road"))
        words.on = some_day(people);
    words.source = "seen";
    if (!spl_hazard_new(house, &words, &layer, &touched, NULL))
        return;
    g_ptr_array_unref(touched);
    spl_record_clear(&spl_hazard_layer_shape, &layer);
}

/* ---- one's own records, and where that is tried, others' ---- */

static char *some_code(struct people *people, int writer, char kind)
{
    if (people->word != NULL)
        return g_strdup_printf("%s:%c27-%03d", people->word, kind, 1 + below(people, 6));
    if (people->strangers && below(people, 2) == 0)
        writer = below(people, PEOPLE);
    return g_strdup_printf("%s:%c27-%03d", marks[writer], kind, 1 + below(people, 6));
}

static void strike(struct people *people, struct spl_house *house, int writer)
{
    g_autofree char *code = some_code(people, writer, "HNN"[below(people, 3)]);
    struct spl_correction struck;

    if (spl_record_strike(house, &(struct spl_strike_words){.code = code, .why = "tried"}, &struck,
                          NULL))
        spl_record_clear(&spl_correction_shape, &struck);
}

static void correct(struct people *people, struct spl_house *house, int writer)
{
    g_autofree char *code = some_code(people, writer, "HN"[below(people, 2)]);
    char day[SPL_DAY_TEXT_SIZE];
    struct spl_change_words change = {"on", day};
    g_autoptr(GArray) changes = g_array_new(FALSE, FALSE, sizeof change);
    GArray *list;

    spl_day_format(some_day(people), day);
    g_array_append_val(changes, change);
    list = spl_record_amend(
        house, &(struct spl_amend_words){.code = code, .changes = changes, .why = "tried"}, NULL);
    if (list != NULL)
        spl_list_free(&spl_correction_shape, list);
}

static void move_place(struct people *people, struct spl_house *house)
{
    g_autofree char *site = some_place(people);
    struct spl_site_edit_words words;
    struct spl_site changed;
    char *caution;
    GPtrArray *touched;

    spl_inputs_init(&spl_site_edit_inputs, &words);
    words.site = site;
    words.why = "tried";
    words.to.at = (struct spl_coordinates){54.6 + below(people, 10) * 0.0003, -2.5};
    if (!spl_site_change(house, &words, &changed, &touched, &caution, NULL))
        return;
    g_free(caution);
    if (touched != NULL)
        g_ptr_array_unref(touched);
    spl_record_clear(&spl_site_shape, &changed);
}

static void bring(struct people *people, struct spl_house *house, const char *path)
{
    const struct spl_merge_words words = {.path = path};
    g_autoptr(GError) error = NULL;
    struct spl_merged merged;

    if (!spl_merge(house, &words, &merged, &error))
        fail_msg("history %d: %s", people->seed, error->message);
    /* Two who corrected one value are told of it, where strangers do. */
    for (guint i = 0; i < merged.conflicts->len; i++) {
        const struct spl_merge_conflict *one =
            &g_array_index(merged.conflicts, struct spl_merge_conflict, i);

        if (!people->strangers || strstr(one->what, "e+01") != NULL) /* a latitude is 54.6018 */
            fail_msg("history %d: to settle: %s: %s", people->seed, one->code, one->what);
    }
    assert_int_equal(merged.left_out, 0);
    people->came += (int)merged.added;
    spl_record_clear(&spl_merged_shape, &merged);
}

static void go_on(struct people *people)
{
    const int writer = below(people, PEOPLE);
    struct spl_house *house = people->houses[writer];

    switch (below(people, 12)) {
    case 0:
    case 1:
    case 2:
        harvest(people, house);
        break;
    case 3:
    case 4:
    case 5:
        speak(people, house);
        break;
    case 6:
        give_leave(people, house);
        break;
    case 7:
        add_hazard(people, house);
        break;
    case 8:
        strike(people, house, writer);
        break;
    case 9:
        correct(people, house, writer);
        break;
    case 10: /* the places are the first one's */
        if (writer == 0 || people->strangers)
            move_place(people, house);
        break;
    default:
        bring(people, house, people->paths[(writer + 1 + below(people, 2)) % PEOPLE]);
    }
}

/* ---- what a book says, without ids and without whose it is ---- */

static gint by_text(gconstpointer a, gconstpointer b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static gboolean take_verdict(const struct spl_check *check, gpointer lines, GError **error)
{
    (void)error;
    g_ptr_array_add(lines,
                    g_strdup_printf("%s: %s", check->site, spl_verdict_names[check->verdict]));
    for (guint i = 0; i < check->reasons->len; i++) {
        const struct spl_reason *reason = &g_array_index(check->reasons, struct spl_reason, i);

        g_ptr_array_add(lines, g_strdup_printf("%s because %s", check->site,
                                               spl_reason_kind_names[reason->kind]));
    }
    return TRUE;
}

static void look_at_all(struct spl_house *house,
                        gboolean (*each)(const struct spl_check *check, gpointer data,
                                         GError **error),
                        gpointer data)
{
    g_autoptr(GError) error = NULL;
    struct spl_check_question question;

    spl_inputs_init(&spl_check_inputs, &question);
    question.all = TRUE;
    if (!spl_check_all(house, &question, each, data, NULL, &error))
        fail_msg("%s", error->message);
}

static void tell_rows(struct spl_house *house, GPtrArray *lines)
{
    static const char *const tables[] = {"thing",        "site",      "permission",
                                         "hazard_layer", "amendment", "strike"};

    for (gsize i = 0; i < G_N_ELEMENTS(tables); i++) {
        g_autofree char *sql = g_strdup_printf("SELECT uuid FROM %s", tables[i]);
        g_autoptr(spl_statement) rows = spl_statement_open(house->book, NULL, sql, SPL_NONE);
        char *uuid;

        assert_non_null(rows);
        while (spl_statement_next(rows, NULL, SPL_INTO(&uuid))) {
            g_ptr_array_add(lines, g_strdup_printf("%s %s", tables[i], uuid));
            g_free(uuid);
        }
    }
}

/* Which of them count here, as the book keeps it. */
static void tell_revisions(struct spl_house *house, GPtrArray *lines)
{
    g_autoptr(spl_statement) rows = spl_statement_open(
        house->book, NULL, "SELECT uuid, off, asked FROM judged_revision", SPL_NONE);
    gint64 off, asked;
    char *uuid;

    assert_non_null(rows);
    while (spl_statement_next(rows, NULL, SPL_INTO(&uuid, &off, &asked))) {
        g_ptr_array_add(lines, g_strdup_printf("revision %s %d%d", uuid, (int)off, (int)asked));
        g_free(uuid);
    }
}

static void tell_states(struct spl_house *house, GPtrArray *lines)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_standings) standings = spl_standings_load(house, &error);
    g_autoptr(GArray) ids = NULL;

    expect_ok(error);
    ids = spl_standings_ids(standings, FALSE);
    for (guint i = 0; i < ids->len; i++) {
        const gint64 id = g_array_index(ids, gint64, i);
        g_autofree char *uuid = NULL, *code = NULL;
        struct spl_standing standing;

        spl_standings_get(standings, id, &standing);
        assert_true(spl_state_thing_named(house->book, id, &uuid, &code, &error));
        if (standing.held || standing.asked || standing.outside || standing.withdrawn)
            g_ptr_array_add(lines,
                            g_strdup_printf("state %s %d%d%d%d", uuid, standing.held,
                                            standing.asked, standing.outside, standing.withdrawn));
        spl_standing_clear(&standing);
    }
}

static void tell_questions(struct spl_house *house, GPtrArray *lines)
{
    g_autoptr(GError) error = NULL;
    GArray *questions = spl_questions(house, &(struct spl_questions_question){.all = TRUE}, &error);

    expect_ok(error);
    for (guint i = 0; i < questions->len; i++) {
        const struct spl_question *one = &g_array_index(questions, struct spl_question, i);

        g_ptr_array_add(lines, g_strdup_printf("question %s %s %d %d, of %u", one->id, one->kind,
                                               (int)one->grade, one->holds,
                                               one->touches != NULL ? one->touches->len : 0));
    }
    spl_list_free(&spl_question_shape, questions);
}

static char *told(struct people *people, struct spl_house *house)
{
    g_autoptr(GPtrArray) lines = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GError) error = NULL;
    guint missing, surplus;

    assert_true(spl_judged_compare(house, &missing, &surplus, &error));
    if (missing + surplus > 0)
        fail_msg("history %d: %u are taken for free, %u for not", people->seed, missing, surplus);
    look_at_all(house, take_verdict, lines);
    tell_rows(house, lines);
    tell_revisions(house, lines);
    tell_states(house, lines);
    tell_questions(house, lines);
    g_ptr_array_sort(lines, by_text);
    g_ptr_array_add(lines, NULL);
    return g_strjoinv("\n", (char **)lines->pdata);
}

static void expect_same(const struct people *people, const char *what, const char *one,
                        const char *other)
{
    gsize same = 0;

    if (strcmp(one, other) == 0)
        return;
    while (one[same] == other[same])
        same++;
    while (same > 0 && one[same - 1] != '\n')
        same--;
    fail_msg("history %d, %s: %.200s\nthe other way %.200s", people->seed, what, one + same,
             other + same);
}

/* ---- a history ---- */

static void close_books(struct people *people)
{
    for (int i = 0; i < PEOPLE; i++)
        g_clear_pointer(&people->houses[i], spl_house_close);
}

static void begin(struct people *people, int seed)
{
    g_autoptr(GError) error = NULL;

    people->seed = seed;
    people->rand = g_rand_new_with_seed((guint32)seed);
    people->layers = 0;
    people->strangers = seed % 2 == 0;
    for (int i = 0; i < PEOPLE; i++) {
        const struct spl_house_options options = options_of(people->paths[i]);

        assert_true(spl_book_make(&options, marks[i], NULL, &error));
        people->houses[i] = open_book(people->paths[i]);
    }
    for (int i = 0; i < PLACES; i++) {
        g_autofree char *name = g_strdup_printf("Place %d", i);
        struct spl_site_words words;
        struct spl_site site;
        char *caution;

        spl_inputs_init(&spl_site_inputs, &words);
        words.name = name;
        words.at = (struct spl_coordinates){54.6 + i * 0.0003, -2.5}; /* 33 m apart */
        words.accuracy_m = 5;
        assert_true(spl_site_new(people->houses[0], &words, &site, &caution, &error));
        g_free(caution);
        spl_record_clear(&spl_site_shape, &site);
    }
    for (int i = 1; i < PEOPLE; i++)
        bring(people, people->houses[i], people->paths[0]);
    for (int step = 0; step < STEPS; step++)
        go_on(people);
}

static void end(struct people *people)
{
    close_books(people);
    for (int i = 0; i < PEOPLE; i++)
        g_unlink(people->paths[i]);
    g_rand_free(people->rand);
}

/* A copy of what one reads in now, into which these are brought in turn. */
static char *after(struct people *people, int reader, const char *first, const char *second)
{
    g_autofree char *path = g_build_filename(people->folder, "copy.db", NULL);
    g_autoptr(GError) error = NULL;
    struct spl_house *house;
    char *text;

    if (!spl_book_copy(people->houses[reader], path, &error))
        fail_msg("%s", error->message);
    house = open_book(path);
    bring(people, house, first);
    if (second != NULL)
        bring(people, house, second);
    text = told(people, house);
    spl_house_close(house);
    g_unlink(path);
    return text;
}

/* The second of the others after it got the third's. */
static char *after_both(struct people *people, int reader, int second, int third)
{
    g_autofree char *path = g_build_filename(people->folder, "both.db", NULL);
    g_autoptr(GError) error = NULL;
    struct spl_house *house;
    char *text;

    if (!spl_book_copy(people->houses[second], path, &error))
        fail_msg("%s", error->message);
    house = open_book(path);
    bring(people, house, people->paths[third]);
    spl_house_close(house);
    text = after(people, reader, path, NULL);
    g_unlink(path);
    return text;
}

static int histories(void)
{
    const char *said = g_getenv("HISTORIES");

    return said != NULL ? (int)g_ascii_strtoll(said, NULL, 10) : HISTORIES;
}

static void no_order_of_merging_shows(void **state)
{
    struct people *people = *state;

    people->word = NULL;
    for (int seed = 1; seed <= histories(); seed++) {
        g_autofree char *first = NULL;

        begin(people, seed);
        for (int reader = 0; reader < PEOPLE; reader++) {
            const int one = (reader + 1) % PEOPLE, other = (reader + 2) % PEOPLE;
            g_autofree char *forth =
                after(people, reader, people->paths[one], people->paths[other]);
            g_autofree char *back = after(people, reader, people->paths[other], people->paths[one]);
            g_autofree char *both = after_both(people, reader, one, other);
            g_autofree char *again = after_both(people, reader, other, one);

            expect_same(people, marks[reader], forth, back);
            expect_same(people, marks[reader], forth, both);
            expect_same(people, marks[reader], forth, again);
            if (first == NULL)
                first = g_steal_pointer(&forth);
            else if (!people->strangers) /* what one changed of another's is settled with oneself */
                expect_same(people, "two readers", first, forth);
        }
        end(people);
    }
    assert_true(people->came > histories() * 20); /* something was brought in */
}

/* ---- a stranger ---- */

static gboolean take_grade(const struct spl_check *check, gpointer grades, GError **error)
{
    int verdict = (int)check->verdict;

    (void)error;
    g_array_append_val((GArray *)grades, verdict);
    return TRUE;
}

static GArray *grades_of(struct spl_house *house)
{
    GArray *grades = g_array_new(FALSE, FALSE, sizeof(int));

    look_at_all(house, take_grade, grades);
    return grades;
}

static gint64 held_by(struct spl_house *house, GHashTable *held)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_standings) standings = spl_standings_load(house, &error);
    g_autoptr(GArray) ids = NULL;

    expect_ok(error);
    ids = spl_standings_ids(standings, FALSE);
    for (guint i = 0; i < ids->len; i++) {
        gint64 id = g_array_index(ids, gint64, i);
        struct spl_standing standing;

        spl_standings_get(standings, id, &standing);
        if (standing.held)
            g_hash_table_add(held, g_memdup2(&id, sizeof id));
        spl_standing_clear(&standing);
    }
    return g_hash_table_size(held);
}

/* The second reads the first's, strikes, corrects and moves what is there, and brings it back. */
static void a_strangers_changes_make_nothing_milder(void **state)
{
    struct people *people = *state;

    for (int seed = 1001; seed <= 1000 + histories(); seed++) {
        g_autoptr(GHashTable) was =
            g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
        g_autoptr(GHashTable) is = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
        g_autoptr(GArray) before = NULL, then = NULL;
        GHashTableIter iter;
        gpointer id;

        people->word = NULL;
        begin(people, seed);
        bring(people, people->houses[0], people->paths[1]);
        bring(people, people->houses[1], people->paths[0]);
        before = grades_of(people->houses[0]);
        held_by(people->houses[0], was);
        people->word = marks[0];
        for (int i = 0; i < 12; i++) {
            if (i % 4 == 3)
                move_place(people, people->houses[1]);
            else if (i % 4 == 2)
                correct(people, people->houses[1], 1);
            else
                strike(people, people->houses[1], 1);
        }
        bring(people, people->houses[0], people->paths[1]);
        then = grades_of(people->houses[0]);
        held_by(people->houses[0], is);
        assert_int_equal(then->len, before->len);
        for (guint i = 0; i < then->len; i++) {
            const int a = g_array_index(before, int, i), b = g_array_index(then, int, i);

            if (b < a)
                fail_msg("history %d: place %u was %s, and is %s", seed, i, spl_verdict_names[a],
                         spl_verdict_names[b]);
            people->turned += b > a;
        }
        g_hash_table_iter_init(&iter, was);
        while (g_hash_table_iter_next(&iter, &id, NULL))
            if (!g_hash_table_contains(is, id))
                fail_msg("history %d: a record came free", seed);
        end(people);
    }
}

static int set_up(void **state)
{
    struct people *people = g_new0(struct people, 1);

    people->folder = g_dir_make_tmp("spl-between-XXXXXX", NULL);
    for (int i = 0; i < PEOPLE; i++) {
        g_autofree char *name = g_strdup_printf("%s.db", marks[i]);

        people->paths[i] = g_build_filename(people->folder, name, NULL);
    }
    *state = people;
    return 0;
}

static int tear_down(void **state)
{
    struct people *people = *state;

    close_books(people);
    for (int i = 0; i < PEOPLE; i++) {
        g_unlink(people->paths[i]);
        g_free(people->paths[i]);
    }
    g_rmdir(people->folder);
    g_free(people->folder);
    g_free(people);
    return 0;
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(no_order_of_merging_shows, set_up, tear_down),
    cmocka_unit_test_setup_teardown(a_strangers_changes_make_nothing_milder, set_up, tear_down),
};
expect_main(tests)

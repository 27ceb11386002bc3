/* SPDX-License-Identifier: MIT
 *
 * What holds of every state, tried on random sets of rows with fixed seeds: things of all kinds,
 * draws in any direction with circles, reasons and answers that meet often. */
#include "state_set.h"

#define CASES 10000
#define THINGS 14

static gint64 some_thing(GRand *rand)
{
    return g_rand_int_range(rand, 1, THINGS + 1);
}

static gint64 some_stamp(GRand *rand)
{
    return g_rand_int_range(rand, 1, 40);
}

static void add_draw(GRand *rand, struct set *set)
{
    struct spl_state_draw draw = {some_thing(rand), some_thing(rand), some_stamp(rand)};

    g_array_append_val(set->draws, draw);
}

static void add_root(GRand *rand, struct set *set)
{
    struct spl_state_root root = {.thing = some_thing(rand),
                                  .grade = (enum spl_state_grade)g_rand_int_range(rand, 0, 3),
                                  .stamp = some_stamp(rand),
                                  .kind = g_rand_int_range(rand, 0, 2),
                                  .evidence = g_rand_int_range(rand, 0, 2),
                                  .version = g_rand_int_range(rand, 0, 2),
                                  .asks_only = g_rand_int_range(rand, 0, 8) == 0,
                                  .bars_start = g_rand_boolean(rand)};

    root.withdraws = root.grade == SPL_STATE_STOP && g_rand_int_range(rand, 0, 4) == 0;
    g_array_append_val(set->roots, root);
}

static void add_answer(GRand *rand, struct set *set)
{
    struct spl_state_answer answer = {.thing = some_thing(rand),
                                      .kind = g_rand_int_range(rand, 0, 2),
                                      .evidence = g_rand_int_range(rand, 0, 2),
                                      .version = g_rand_int_range(rand, 0, 2),
                                      .grade = (enum spl_state_grade)g_rand_int_range(rand, 0, 3),
                                      .outside = g_rand_int_range(rand, 0, 4) == 0};

    /* Most answers answer something. */
    if (g_rand_int_range(rand, 0, 8) == 0)
        answer.names_none = some_stamp(rand);
    else if (set->roots->len > 0 && g_rand_int_range(rand, 0, 3) > 0) {
        const struct spl_state_root *root = &g_array_index(
            set->roots, struct spl_state_root, g_rand_int_range(rand, 0, (gint32)set->roots->len));

        answer.kind = root->kind;
        answer.evidence = root->evidence;
        answer.version = root->version;
        answer.grade = root->grade;
        if (g_rand_boolean(rand))
            answer.thing = root->thing;
    }
    g_array_append_val(set->answers, answer);
}

static void some_set(GRand *rand, struct set *set)
{
    begin(set);
    for (gint64 id = 1; id <= THINGS; id++) {
        struct spl_state_thing thing = {.id = id,
                                        .stamp = some_stamp(rand),
                                        .kind = "HPDBLL"[g_rand_int_range(rand, 0, 6)],
                                        .over = g_rand_int_range(rand, 0, 4) == 0};

        thing.went_out = thing.kind == 'L' && g_rand_int_range(rand, 0, 3) == 0;
        g_array_append_val(set->things, thing);
    }
    for (int i = g_rand_int_range(rand, 0, 22); i > 0; i--)
        add_draw(rand, set);
    for (int i = g_rand_int_range(rand, 0, 6); i > 0; i--)
        add_root(rand, set);
    for (int i = g_rand_int_range(rand, 0, 5); i > 0; i--)
        add_answer(rand, set);
}

static void shuffle(GRand *rand, GArray *rows)
{
    guint size = g_array_get_element_size(rows);
    g_autofree char *spare = g_malloc(size);

    for (guint i = rows->len; i > 1; i--) {
        guint j = (guint)g_rand_int_range(rand, 0, (gint32)i);
        char *a = rows->data + (i - 1) * size, *b = rows->data + j * size;

        memcpy(spare, a, size);
        memcpy(a, b, size);
        memcpy(b, spare, size);
    }
}

static void come_twice(GArray *rows)
{
    guint size = g_array_get_element_size(rows);
    g_autofree char *first = rows->len > 0 ? g_memdup2(rows->data, size) : NULL;

    if (first != NULL)
        g_array_append_vals(rows, first, 1);
}

/* Every byte of what people see of a set: marks, sums, questions. */
static char *told(const struct set *set)
{
    struct spl_state_spread spread;
    GArray *questions;
    GString *text = g_string_new(NULL);

    spl_state_spread(&set->facts, &spread);
    for (guint i = 0; i < spread.marks->len; i++) {
        const struct spl_state_mark *mark = &g_array_index(spread.marks, struct spl_state_mark, i);
        const struct spl_state_root *root =
            &g_array_index(spread.roots, struct spl_state_root, mark->root);

        g_string_append_printf(text, "%d:%d.%d@%d %d/%d/%d %d ", (int)mark->thing, (int)root->thing,
                               (int)root->grade, (int)root->stamp, root->kind, (int)root->evidence,
                               (int)root->version, (int)mark->modes);
    }
    questions = spl_state_questions(&set->facts, &spread, NULL, (struct spl_day){0});
    for (guint i = 0; i < questions->len; i++) {
        const struct spl_state_question *one =
            &g_array_index(questions, struct spl_state_question, i);

        g_string_append_printf(text, "| %d/%d/%d %d %d %d:", one->kind, (int)one->evidence,
                               (int)one->version, (int)one->grade, (int)one->urgency,
                               (int)one->since);
        for (guint k = 0; k < one->things->len; k++)
            g_string_append_printf(text, " %d", (int)g_array_index(one->things, gint64, k));
    }
    g_array_unref(questions);
    spl_state_spread_clear(&spread);
    return g_string_free(text, FALSE);
}

static void any_order_of_the_rows_gives_the_same_state_and_questions(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(20270801);
    int telling = 0;

    (void)state;
    for (int i = 0; i < CASES; i++) {
        g_autofree char *first = NULL;
        g_autofree char *second = NULL;
        struct set set;

        some_set(rand, &set);
        first = told(&set);
        shuffle(rand, set.things);
        shuffle(rand, set.draws);
        shuffle(rand, set.roots);
        shuffle(rand, set.answers);
        come_twice(set.roots); /* and a row that came twice is one row */
        come_twice(set.draws);
        second = told(&set);
        if (strcmp(first, second) != 0)
            fail_msg("case %d: '%s', shuffled '%s'", i, first, second);
        telling += *first != '\0';
        end(&set);
    }
    assert_true(telling > CASES / 2);
}

/* ---- the same rules, said in another way ---- */

/* May `root` come to `thing` in this mode? By the definition: along some walk of draws, with every
 * answer on the way minded. Grows a set until it does not grow. */
static void reach(const struct set *set, const struct spl_state_root *root,
                  gboolean reached[THINGS + 1][8])
{
    gboolean grew = TRUE;

    memset(reached, 0, sizeof(gboolean) * (THINGS + 1) * 8);
    for (gboolean start = TRUE; grew; start = FALSE) {
        grew = FALSE;
        for (guint d = 0; d < (start ? 1 : set->draws->len); d++) {
            const struct spl_state_draw *draw =
                start ? NULL : &g_array_index(set->draws, struct spl_state_draw, d);
            gint64 to = start ? root->thing : draw->taker;
            const struct spl_state_thing *thing = NULL;
            gboolean settled = FALSE, outside = FALSE, marked = FALSE;

            if (!start && root->grade == SPL_STATE_PAPER && !root->asks_only)
                continue;
            for (guint i = 0; i < set->things->len; i++)
                if (g_array_index(set->things, struct spl_state_thing, i).id == to)
                    thing = &g_array_index(set->things, struct spl_state_thing, i);
            for (guint i = 0; i < set->answers->len; i++) {
                const struct spl_state_answer *answer =
                    &g_array_index(set->answers, struct spl_state_answer, i);

                if (answer->thing == to && answer->names_none > root->stamp)
                    settled = TRUE;
                if (answer->names_none > 0)
                    continue;
                if (answer->thing != to || answer->kind != root->kind ||
                    answer->evidence != root->evidence || answer->version != root->version)
                    continue;
                marked |= answer->outside;
                if (answer->grade < root->grade)
                    continue;
                settled |= !answer->outside;
                outside |= answer->outside && root->grade != SPL_STATE_STOP;
            }
            for (int mode = 1; mode <= SPL_STATE_OUTSIDE; mode <<= 1) {
                gint64 stamp = start ? thing->stamp : draw->stamp;
                int then = mode;

                if (start ? mode != (root->asks_only || root->grade == SPL_STATE_PAPER
                                         ? SPL_STATE_ASKED
                                         : SPL_STATE_HELD)
                          : !reached[draw->source][mode])
                    continue;
                if (then == SPL_STATE_HELD && root->grade == SPL_STATE_DOUBT &&
                    thing->kind == 'L' && stamp < root->stamp)
                    then = SPL_STATE_ASKED;
                if (settled)
                    continue;
                if (marked && !reached[to][SPL_STATE_OUTSIDE])
                    grew = reached[to][SPL_STATE_OUTSIDE] = TRUE;
                if (outside)
                    continue;
                if (!reached[to][then])
                    grew = reached[to][then] = TRUE;
            }
        }
        grew |= start;
    }
}

static void the_spread_is_what_the_definition_says(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(4);
    int held = 0, asked = 0, outside = 0;

    (void)state;
    for (int i = 0; i < CASES; i++) {
        gboolean wanted[THINGS + 1][8] = {{0}}, reached[THINGS + 1][8];
        struct spl_state_spread spread;
        struct set set;

        some_set(rand, &set);
        for (guint r = 0; r < set.roots->len; r++) {
            reach(&set, &g_array_index(set.roots, struct spl_state_root, r), reached);
            for (int id = 1; id <= THINGS; id++)
                for (int mode = 1; mode < 8; mode++)
                    wanted[id][mode] |= reached[id][mode];
        }
        spl_state_spread(&set.facts, &spread);
        for (int id = 1; id <= THINGS; id++) {
            struct spl_state_sum sum = spl_state_sum(&spread, id);

            if (sum.held != wanted[id][SPL_STATE_HELD] ||
                sum.outside != wanted[id][SPL_STATE_OUTSIDE] ||
                sum.asked != (wanted[id][SPL_STATE_HELD] || wanted[id][SPL_STATE_ASKED]))
                fail_msg("case %d, thing %d: held %d, asked %d, outside %d", i, id, sum.held,
                         sum.asked, sum.outside);
            held += sum.held;
            asked += sum.asked && !sum.held;
            outside += sum.outside;
        }
        spl_state_spread_clear(&spread);
        end(&set);
    }
    assert_true(held > CASES && asked > CASES / 10 && outside > CASES / 10);
}

/* ---- milder and stricter ---- */

struct look { /* of all things, and of the questions by kind, evidence and version */
    struct spl_state_sum sums[THINGS + 1];
    int urgency[2][2][2]; /* -1: not asked */
};

static void look(const struct set *set, struct look *look)
{
    struct spl_state_spread spread;
    GArray *questions;

    memset(look, 0, sizeof *look); /* what is compared whole has no holes */
    memset(look->urgency, -1, sizeof look->urgency);
    spl_state_spread(&set->facts, &spread);
    for (int id = 1; id <= THINGS; id++)
        look->sums[id] = spl_state_sum(&spread, id);
    questions = spl_state_questions(&set->facts, &spread, NULL, (struct spl_day){0});
    for (guint i = 0; i < questions->len; i++) {
        const struct spl_state_question *one =
            &g_array_index(questions, struct spl_state_question, i);

        look->urgency[one->kind][one->evidence][one->version] = (int)one->urgency;
    }
    g_array_unref(questions);
    spl_state_spread_clear(&spread);
}

/* Is the second anywhere milder than the first? */
static const char *milder(const struct look *first, const struct look *second)
{
    for (int id = 1; id <= THINGS; id++) {
        const struct spl_state_sum *was = &first->sums[id], *is = &second->sums[id];

        if (was->held && !is->held)
            return "not held any more";
        if (was->bars_start && !is->bars_start)
            return "may be started from again";
        if (was->withdrawn && !is->withdrawn)
            return "not withdrawn any more";
        if (was->asked && !is->asked)
            return "not asked about any more";
        if (was->outside && !is->outside)
            return "not outside only any more";
    }
    for (int i = 0; i < 8; i++) {
        int was = first->urgency[i / 4][i / 2 % 2][i % 2];
        int is = second->urgency[i / 4][i / 2 % 2][i % 2];

        if (was >= 0 && (is < 0 || is > was))
            return "a question less, or a less urgent one";
    }
    return NULL;
}

static const char *add_danger(GRand *rand, struct set *set)
{
    struct spl_state_root *root = NULL;
    guint n = set->roots->len;

    if (n > 0)
        root =
            &g_array_index(set->roots, struct spl_state_root, g_rand_int_range(rand, 0, (gint32)n));
    switch (g_rand_int_range(rand, 0, 6)) {
    case 0:
        add_root(rand, set);
        return "a root";
    case 1:
        add_draw(rand, set);
        return "a draw";
    case 2:
        if (root == NULL || root->grade == SPL_STATE_STOP)
            return NULL;
        root->grade++;
        return "a worse grade";
    case 3: /* answers of old go by the stamp, the other way round */
        for (guint i = 0; i < set->answers->len; i++)
            if (g_array_index(set->answers, struct spl_state_answer, i).names_none > 0)
                return NULL;
        if (root == NULL)
            return NULL;
        root->stamp -= g_rand_int_range(rand, 1, 20);
        return "an earlier stamp";
    case 4:
        if (root == NULL || root->grade == SPL_STATE_PAPER) /* a paper stays on its record */
            return NULL;
        root->asks_only = FALSE;
        return "a root that holds";
    default:
        /* an answer for outside only narrows as well: taking it away is no danger */
        for (guint i = 0; i < set->answers->len; i++)
            if (!g_array_index(set->answers, struct spl_state_answer, i).outside ||
                g_array_index(set->answers, struct spl_state_answer, i).names_none > 0) {
                g_array_remove_index(set->answers, i);
                return "an answer less";
            }
        return NULL;
    }
}

static void adding_danger_never_makes_anything_milder(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(11);
    int worse = 0;

    (void)state;
    for (int i = 0; i < CASES; i++) {
        struct look first, second;
        struct set set;

        some_set(rand, &set);
        look(&set, &first);
        for (int k = 0; k < 4; k++) {
            const char *what = add_danger(rand, &set);
            const char *wrong;

            look(&set, &second);
            wrong = milder(&first, &second);
            if (wrong != NULL)
                fail_msg("case %d: %s made something %s", i, what, wrong);
            worse += memcmp(&first, &second, sizeof first) != 0;
            first = second;
        }
        end(&set);
    }
    assert_true(worse > CASES);
}

static void a_good_word_never_makes_anything_stricter(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(12);
    int better = 0;

    (void)state;
    for (int i = 0; i < CASES; i++) {
        struct look first, second;
        struct set set;
        const char *wrong;

        some_set(rand, &set);
        look(&set, &first);
        if (set.roots->len > 0 && g_rand_boolean(rand)) {
            /* the word took the reason away: the ground is judged anew without it */
            g_array_remove_index(set.roots,
                                 (guint)g_rand_int_range(rand, 0, (gint32)set.roots->len));
        } else {
            add_answer(rand, &set);
            g_array_index(set.answers, struct spl_state_answer, set.answers->len - 1).outside =
                FALSE;
        }
        look(&set, &second);
        wrong = milder(&second, &first); /* looking back from then */
        if (wrong != NULL)
            fail_msg("case %d: before the word something was %s", i, wrong);
        better += memcmp(&first, &second, sizeof first) != 0;
        end(&set);
    }
    assert_true(better > CASES / 4);
}

static void an_answer_for_outside_only_lets_nothing_out_for_the_inside(void **state)
{
    g_autoptr(GRand) rand = g_rand_new_with_seed(13);
    int narrowed = 0;

    (void)state;
    for (int i = 0; i < CASES; i++) {
        struct look first, second;
        struct set set;

        some_set(rand, &set);
        look(&set, &first);
        add_answer(rand, &set);
        g_array_index(set.answers, struct spl_state_answer, set.answers->len - 1).outside = TRUE;
        g_array_index(set.answers, struct spl_state_answer, set.answers->len - 1).names_none = 0;
        look(&set, &second);
        for (int id = 1; id <= THINGS; id++) {
            if (first.sums[id].held && !second.sums[id].held && !second.sums[id].outside)
                fail_msg("case %d, thing %d: came free", i, id);
            if (first.sums[id].outside && !second.sums[id].outside)
                fail_msg("case %d, thing %d: its mark went", i, id);
            narrowed += !first.sums[id].outside && second.sums[id].outside;
        }
        end(&set);
    }
    assert_true(narrowed > CASES / 10);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(any_order_of_the_rows_gives_the_same_state_and_questions),
    cmocka_unit_test(the_spread_is_what_the_definition_says),
    cmocka_unit_test(adding_danger_never_makes_anything_milder),
    cmocka_unit_test(a_good_word_never_makes_anything_stricter),
    cmocka_unit_test(an_answer_for_outside_only_lets_nothing_out_for_the_inside),
};
expect_main(tests)

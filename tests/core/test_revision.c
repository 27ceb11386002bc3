/* SPDX-License-Identifier: MIT
 *
 * Whose word counts about whose rows. Expected values follow from the rules in core/revision.h, by
 * hand; what holds of any three people's rows is tried on random sets with fixed seeds. */
#include "core/revision.h"

#include <string.h>

#include "expect.h"

enum { ANN = 1, BOB, CAT, MARKS };

struct set {
    GArray *rows, *revisions, *trusts, *agreements;
    struct spl_revision_facts facts;
};

static void begin(struct set *set, int reader)
{
    set->rows = g_array_new(FALSE, FALSE, sizeof(struct spl_revised_row));
    set->revisions = g_array_new(FALSE, FALSE, sizeof(struct spl_revision));
    set->trusts = g_array_new(FALSE, FALSE, sizeof(struct spl_trust_word));
    set->agreements = g_array_new(FALSE, FALSE, sizeof(struct spl_agreement));
    set->facts = (struct spl_revision_facts){set->rows,       set->revisions, set->trusts,
                                             set->agreements, reader,         0};
}

static void end(struct set *set)
{
    g_array_unref(set->rows);
    g_array_unref(set->revisions);
    g_array_unref(set->trusts);
    g_array_unref(set->agreements);
}

static void row(struct set *set, gint64 id, int mark, gint64 stamp, enum spl_revised_says says)
{
    struct spl_revised_row one = {id, mark, stamp, says};

    g_array_append_val(set->rows, one);
}

static void revise(struct set *set, gint64 id, int mark, gint64 stamp, gint64 subject,
                   gboolean strike)
{
    struct spl_revision one = {id, subject, mark, stamp, strike, FALSE};

    g_array_append_val(set->revisions, one);
}

static void trust(struct set *set, int whom, gboolean trusted, gint64 stamp)
{
    struct spl_trust_word one = {whom, trusted, stamp, set->trusts->len};

    g_array_append_val(set->trusts, one);
}

static void agree(struct set *set, gint64 revision, int mark)
{
    struct spl_agreement one = {revision, mark};

    g_array_append_val(set->agreements, one);
}

static enum spl_revision_grade grade(const struct set *set, gint64 id)
{
    g_autoptr(GArray) judged = spl_revision_judge(&set->facts);

    for (guint i = 0; i < judged->len; i++)
        if (g_array_index(judged, struct spl_revision_judged, i).id == id)
            return g_array_index(judged, struct spl_revision_judged, i).grade;
    fail_msg("revision %d is not judged", (int)id);
    return SPL_REVISION_VOID;
}

static gboolean stands(const struct set *set, gint64 id)
{
    g_autoptr(GArray) judged = spl_revision_judge(&set->facts);

    return !spl_revision_struck(&set->facts, judged, id);
}

/* ---- by hand ---- */

static void a_strangers_strike_of_a_danger_waits_and_of_a_good_word_counts(void **state)
{
    struct set set;

    (void)state;
    begin(&set, ANN);
    row(&set, 1, ANN, 10, SPL_SAYS_DANGER);
    row(&set, 2, ANN, 10, SPL_SAYS_SAFE);
    row(&set, 3, ANN, 10, SPL_SAYS_OTHER);
    revise(&set, 11, BOB, 20, 1, TRUE);
    revise(&set, 12, BOB, 20, 2, TRUE);
    revise(&set, 13, BOB, 20, 3, TRUE);
    revise(&set, 14, BOB, 20, 1, FALSE);
    assert_int_equal(grade(&set, 11), SPL_REVISION_WAITS);
    assert_int_equal(grade(&set, 12), SPL_REVISION_HARDENS);
    assert_int_equal(grade(&set, 13), SPL_REVISION_WAITS);
    assert_int_equal(grade(&set, 14), SPL_REVISION_WAITS);
    revise(&set, 15, BOB, 20, 3, FALSE);
    g_array_index(set.revisions, struct spl_revision, 4).warns = TRUE;
    assert_int_equal(grade(&set, 15), SPL_REVISION_HARDENS);
    assert_true(stands(&set, 1));
    assert_false(stands(&set, 2));
    assert_true(stands(&set, 3));
    end(&set);
}

static void who_wrote_the_row_and_who_reads_it_settle_it(void **state)
{
    struct set set;

    (void)state;
    begin(&set, CAT);
    row(&set, 1, ANN, 10, SPL_SAYS_DANGER);
    revise(&set, 11, ANN, 20, 1, TRUE); /* her own */
    assert_int_equal(grade(&set, 11), SPL_REVISION_COUNTS);
    revise(&set, 12, CAT, 20, 1, FALSE); /* settled here */
    assert_int_equal(grade(&set, 12), SPL_REVISION_COUNTS);
    revise(&set, 13, BOB, 20, 1, FALSE);
    assert_int_equal(grade(&set, 13), SPL_REVISION_WAITS);
    agree(&set, 13, BOB); /* one does not agree to one's own */
    assert_int_equal(grade(&set, 13), SPL_REVISION_WAITS);
    agree(&set, 13, ANN);
    assert_int_equal(grade(&set, 13), SPL_REVISION_COUNTS);
    revise(&set, 14, BOB, 21, 1, FALSE);
    agree(&set, 14, CAT);
    assert_int_equal(grade(&set, 14), SPL_REVISION_COUNTS);
    end(&set);
}

static void the_last_word_of_trust_holds(void **state)
{
    struct set set;

    (void)state;
    begin(&set, ANN);
    row(&set, 1, ANN, 10, SPL_SAYS_DANGER);
    revise(&set, 11, BOB, 20, 1, TRUE);
    trust(&set, BOB, FALSE, 40);
    trust(&set, BOB, TRUE, 30);
    assert_int_equal(grade(&set, 11), SPL_REVISION_WAITS);
    trust(&set, BOB, TRUE, 50);
    assert_int_equal(grade(&set, 11), SPL_REVISION_COUNTS);
    assert_false(stands(&set, 1));
    trust(&set, CAT, FALSE, 60);
    assert_int_equal(grade(&set, 11), SPL_REVISION_COUNTS);
    end(&set);
}

/* Who is trusted could have struck it as well. */
static void what_a_trusted_one_agreed_to_counts(void **state)
{
    struct set set;

    (void)state;
    begin(&set, ANN);
    row(&set, 1, ANN, 10, SPL_SAYS_DANGER);
    revise(&set, 11, BOB, 20, 1, TRUE);
    agree(&set, 11, CAT);
    assert_int_equal(grade(&set, 11), SPL_REVISION_WAITS);
    trust(&set, CAT, TRUE, 30);
    assert_int_equal(grade(&set, 11), SPL_REVISION_COUNTS);
    trust(&set, CAT, FALSE, 40);
    assert_int_equal(grade(&set, 11), SPL_REVISION_WAITS);
    end(&set);
}

static void a_strike_no_later_than_what_it_strikes_is_void(void **state)
{
    struct set set;

    (void)state;
    begin(&set, ANN);
    row(&set, 1, ANN, 10, SPL_SAYS_SAFE);
    revise(&set, 11, ANN, 10, 1, TRUE);
    revise(&set, 12, BOB, 9, 1, TRUE);
    revise(&set, 13, ANN, 9, 1, FALSE); /* a correction has an order of its own */
    assert_int_equal(grade(&set, 11), SPL_REVISION_VOID);
    assert_int_equal(grade(&set, 12), SPL_REVISION_VOID);
    assert_int_equal(grade(&set, 13), SPL_REVISION_COUNTS);
    assert_true(stands(&set, 1));
    end(&set);
}

static void a_strike_of_a_strike_turns_it_round(void **state)
{
    struct set set;

    (void)state;
    begin(&set, ANN);
    row(&set, 1, ANN, 10, SPL_SAYS_DANGER);
    revise(&set, 11, ANN, 20, 1, TRUE);  /* her note was wrong */
    revise(&set, 12, BOB, 30, 11, TRUE); /* it was right, says he: the danger is back */
    assert_int_equal(grade(&set, 12), SPL_REVISION_HARDENS);
    assert_true(stands(&set, 1));
    revise(&set, 13, CAT, 40, 12, TRUE); /* and that goes by no third one's word */
    assert_int_equal(grade(&set, 13), SPL_REVISION_WAITS);
    assert_true(stands(&set, 1));
    agree(&set, 13, BOB);
    assert_false(stands(&set, 1));
    end(&set);
}

static void what_was_there_before_trust_was_kept_counts(void **state)
{
    struct set set;

    (void)state;
    begin(&set, ANN);
    set.facts.kept = 20;
    row(&set, 1, ANN, 10, SPL_SAYS_DANGER);
    revise(&set, 11, BOB, 20, 1, TRUE);
    revise(&set, 12, BOB, 21, 1, TRUE);
    assert_int_equal(grade(&set, 11), SPL_REVISION_COUNTS);
    assert_int_equal(grade(&set, 12), SPL_REVISION_WAITS);
    end(&set);
}

/* ---- any rows of three people ---- */

#define CASES 10000
#define ROWS 4
#define REVISIONS 7

static void some_set(GRand *rand, struct set *set)
{
    gint64 last = ROWS;

    begin(set, ANN);
    for (gint64 id = 1; id <= ROWS; id++)
        row(set, id, g_rand_int_range(rand, ANN, MARKS), g_rand_int_range(rand, 1, 10),
            (enum spl_revised_says)g_rand_int_range(rand, 0, 3));
    for (int i = 0; i < REVISIONS; i++) {
        revise(set, last + 1, g_rand_int_range(rand, ANN, MARKS), g_rand_int_range(rand, 5, 30),
               g_rand_int_range(rand, 1, (gint32)last + 1), g_rand_int_range(rand, 0, 4) > 0);
        last++;
    }
    for (int i = g_rand_int_range(rand, 0, 3); i > 0; i--)
        trust(set, g_rand_int_range(rand, BOB, MARKS), g_rand_boolean(rand),
              g_rand_int_range(rand, 1, 100));
    for (int i = g_rand_int_range(rand, 0, 3); i > 0; i--)
        agree(set, g_rand_int_range(rand, ROWS + 1, (gint32)last + 1),
              g_rand_int_range(rand, ANN, MARKS));
}

static void shuffle(GRand *rand, GArray *array, gsize size)
{
    char spare[64];

    for (guint i = array->len; i > 1; i--) {
        char *one = array->data + size * (i - 1);
        char *other = array->data + size * (gsize)g_rand_int_range(rand, 0, (gint32)i);

        memcpy(spare, one, size);
        memmove(one, other, size);
        memcpy(other, spare, size);
    }
}

static void no_order_of_merging_makes_a_difference(void **state)
{
    GRand *rand = g_rand_new_with_seed(20270514);

    (void)state;
    for (int n = 0; n < CASES; n++) {
        g_autoptr(GArray) first = NULL, again = NULL;
        struct spl_revision revision;
        struct spl_revised_row revised;
        struct set set;
        gboolean stood[ROWS + 1];

        some_set(rand, &set);
        first = spl_revision_judge(&set.facts);
        for (gint64 id = 1; id <= ROWS; id++)
            stood[id] = stands(&set, id);
        /* A merge brings rows that are there already, too. */
        revision = g_array_index(set.revisions, struct spl_revision, 0);
        revised = g_array_index(set.rows, struct spl_revised_row, 0);
        g_array_append_val(set.revisions, revision);
        g_array_append_val(set.rows, revised);
        shuffle(rand, set.rows, sizeof(struct spl_revised_row));
        shuffle(rand, set.revisions, sizeof(struct spl_revision));
        shuffle(rand, set.trusts, sizeof(struct spl_trust_word));
        shuffle(rand, set.agreements, sizeof(struct spl_agreement));
        again = spl_revision_judge(&set.facts);
        assert_int_equal(again->len, first->len);
        for (guint i = 0; i < first->len; i++) {
            const struct spl_revision_judged *a = &g_array_index(first, struct spl_revision_judged,
                                                                 i),
                                             *b = &g_array_index(again, struct spl_revision_judged,
                                                                 i);

            assert_true(a->id == b->id && a->grade == b->grade);
        }
        for (gint64 id = 1; id <= ROWS; id++)
            assert_int_equal(stands(&set, id), stood[id]);
        end(&set);
    }
    g_rand_free(rand);
}

static int writer_of(const struct set *set, gint64 id)
{
    for (guint i = 0; i < set->rows->len; i++)
        if (g_array_index(set->rows, struct spl_revised_row, i).id == id)
            return g_array_index(set->rows, struct spl_revised_row, i).mark;
    return g_array_index(set->revisions, struct spl_revision, id - ROWS - 1).mark;
}

/* A mark that wrote none of it and is not trusted takes no danger away and brings no good word
 * back, whatever it strikes or corrects. */
static void a_stranger_makes_nothing_milder(void **state)
{
    GRand *rand = g_rand_new_with_seed(20270515);
    guint harder = 0;

    (void)state;
    for (int n = 0; n < CASES; n++) {
        const int stranger = MARKS;
        struct set set;
        gboolean stood[ROWS + 1];

        some_set(rand, &set);
        for (gint64 id = 1; id <= ROWS; id++)
            stood[id] = stands(&set, id);
        for (gint64 i = 0; i < 3; i++) { /* strikes of what was there, never of its own */
            const gint64 subject = g_rand_int_range(rand, 1, ROWS + REVISIONS + 1);

            assert_int_not_equal(writer_of(&set, subject), stranger);
            revise(&set, 100 + i, stranger, g_rand_int_range(rand, 20, 60), subject,
                   g_rand_int_range(rand, 0, 4) > 0);
        }
        for (gint64 id = 1; id <= ROWS; id++) {
            const enum spl_revised_says says =
                g_array_index(set.rows, struct spl_revised_row, id - 1).says;
            const gboolean now = stands(&set, id);

            if (says == SPL_SAYS_DANGER)
                assert_true(now || !stood[id]);
            else if (says == SPL_SAYS_SAFE)
                assert_true(stood[id] || !now);
            else
                assert_int_equal(now, stood[id]);
            harder += now != stood[id];
        }
        end(&set);
    }
    assert_in_range(harder, CASES / 20, CASES * ROWS); /* it does speak, and it is heard */
    g_rand_free(rand);
}

/* What the writer of a row has agreed to counts for every reader alike. */
static void what_its_writer_agreed_to_counts_everywhere(void **state)
{
    GRand *rand = g_rand_new_with_seed(20270516);

    (void)state;
    for (int n = 0; n < CASES / 10; n++) {
        struct set set;

        some_set(rand, &set);
        for (gint64 id = ROWS + 1; id <= ROWS + REVISIONS; id++)
            agree(&set, id,
                  writer_of(
                      &set,
                      g_array_index(set.revisions, struct spl_revision, id - ROWS - 1).subject));
        for (int reader = ANN; reader < MARKS; reader++) {
            set.facts.reader = reader;
            for (gint64 id = ROWS + 1; id <= ROWS + REVISIONS; id++) {
                enum spl_revision_grade is = grade(&set, id);

                assert_true(is == SPL_REVISION_COUNTS || is == SPL_REVISION_VOID);
            }
        }
        end(&set);
    }
    g_rand_free(rand);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_strangers_strike_of_a_danger_waits_and_of_a_good_word_counts),
        cmocka_unit_test(who_wrote_the_row_and_who_reads_it_settle_it),
        cmocka_unit_test(the_last_word_of_trust_holds),
        cmocka_unit_test(what_a_trusted_one_agreed_to_counts),
        cmocka_unit_test(a_strike_no_later_than_what_it_strikes_is_void),
        cmocka_unit_test(a_strike_of_a_strike_turns_it_round),
        cmocka_unit_test(what_was_there_before_trust_was_kept_counts),
        cmocka_unit_test(no_order_of_merging_makes_a_difference),
        cmocka_unit_test(a_stranger_makes_nothing_milder),
        cmocka_unit_test(what_its_writer_agreed_to_counts_everywhere),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* SPDX-License-Identifier: MIT
 *
 * Which strikes stand and what a field was put right to, as the book keeps it, beside what this
 * file makes of the rows by itself: after each of many writes in any order, strikes of strikes and
 * corrections, in chains and in circles, of rows that are there and that are not, with rows that
 * were changed or taken out again and with those that do not count.
 */
#include "shelf.h"

#include "book/derive.h"
#include "book/statement.h"

#ifdef __SANITIZE_ADDRESS__
#define HISTORIES 4 /* the build that counts what is covered has all */
#else
#define HISTORIES 30
#endif
#define WRITES 40
#define NAMES 14 /* UUIDs of strikes and corrections, so few that they meet */
#define DEEP 4   /* strikes of strikes are followed so far */

struct strike {
    int uuid, subject, at, off; /* uuid < 0: none */
};
struct amendment {
    int uuid, subject, field, value, at, off;
};
struct rows {
    struct strike strikes[NAMES];
    struct amendment amendments[NAMES];
    int n_strikes, n_amendments;
};

static void read_rows(struct spl_book *book, struct rows *rows)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_statement) strikes = spl_statement_open(
        book, &error,
        "SELECT CAST(uuid AS INTEGER), CAST(subject AS INTEGER), at, EXISTS (SELECT 1 FROM"
        " judged_revision r WHERE r.uuid = s.uuid AND r.off = 1) FROM strike s",
        SPL_NONE);
    g_autoptr(spl_statement) amendments = spl_statement_open(
        book, &error,
        "SELECT CAST(uuid AS INTEGER), CAST(subject AS INTEGER), CAST(field AS INTEGER), value, at,"
        " EXISTS (SELECT 1 FROM judged_revision r WHERE r.uuid = a.uuid AND r.off = 1)"
        " FROM amendment a",
        SPL_NONE);
    struct strike *s = rows->strikes;
    struct amendment *a = rows->amendments;

    while (spl_statement_next(strikes, &error, SPL_INTO(&s->uuid, &s->subject, &s->at, &s->off)))
        s++;
    while (spl_statement_next(
        amendments, &error, SPL_INTO(&a->uuid, &a->subject, &a->field, &a->value, &a->at, &a->off)))
        a++;
    expect_ok(error);
    rows->n_strikes = (int)(s - rows->strikes);
    rows->n_amendments = (int)(a - rows->amendments);
}

/* Whether a strike counts and nothing that counts takes it back; the deepest is not asked about. */
static gboolean stands(const struct rows *rows, const struct strike *strike, int depth)
{
    if (strike->off)
        return FALSE;
    for (int i = 0; i < rows->n_strikes && depth < DEEP; i++)
        if (rows->strikes[i].subject == strike->uuid && stands(rows, &rows->strikes[i], depth + 1))
            return FALSE;
    return TRUE;
}

static gboolean is_struck(const struct rows *rows, int uuid)
{
    for (int i = 0; i < rows->n_strikes; i++)
        if (rows->strikes[i].subject == uuid && stands(rows, &rows->strikes[i], 0))
            return TRUE;
    return FALSE;
}

/* The last of its field that counts and stands; by the name where two are of one moment. */
static gboolean holds(const struct rows *rows, const struct amendment *one)
{
    if (one->off || is_struck(rows, one->uuid))
        return FALSE;
    for (int i = 0; i < rows->n_amendments; i++) {
        const struct amendment *other = &rows->amendments[i];

        if (other->subject == one->subject && other->field == one->field && !other->off &&
            !is_struck(rows, other->uuid) &&
            (other->at > one->at || (other->at == one->at && other->uuid > one->uuid)))
            return FALSE;
    }
    return TRUE;
}

static gint64 count(struct spl_book *book, const char *sql, const struct spl_value *values)
{
    g_autoptr(GError) error = NULL;
    gint64 n = spl_book_number(book, -1, &error, sql, values);

    expect_ok(error);
    return n;
}

/* `last` is what was written last, for who reads the failure. */
static void expect_kept(struct spl_book *book, const char *last, guint *struck, guint *corrected)
{
    struct rows rows;
    gint64 live = 0, amended = 0;

    read_rows(book, &rows);
    for (int i = 0; i < rows.n_strikes; i++) {
        const struct strike *s = &rows.strikes[i];
        gboolean kept = count(book,
                              "SELECT count(*) FROM live WHERE CAST(subject AS INTEGER) = ?"
                              " AND CAST(uuid AS INTEGER) = ? AND at = ?",
                              SPL_WITH(s->subject, s->uuid, s->at)) == 1;

        if (kept != stands(&rows, s, 0))
            fail_msg("%s: strike %d of %d %s", last, s->uuid, s->subject,
                     kept ? "is kept and does not stand" : "stands and is not kept");
        live += kept;
    }
    for (int i = 0; i < rows.n_amendments; i++) {
        const struct amendment *a = &rows.amendments[i];

        if (!holds(&rows, a))
            continue;
        amended++;
        if (count(book,
                  "SELECT count(*) FROM amended WHERE CAST(subject AS INTEGER) = ?"
                  " AND CAST(field AS INTEGER) = ? AND value = ?",
                  SPL_WITH(a->subject, a->field, a->value)) != 1)
            fail_msg("%s: %d, field %d is %d", last, a->subject, a->field, a->value);
    }
    assert_int_equal(count(book, "SELECT count(*) FROM live", SPL_NONE), live);
    assert_int_equal(count(book, "SELECT count(*) FROM amended", SPL_NONE), amended);
    *struck += (guint)live;
    *corrected += (guint)amended;
}

/* Two digits, so that they sort as numbers. */
#define SAID "%02d"

static char *any_write(GRand *rand)
{
    int what = g_rand_int_range(rand, 0, 15);
    int uuid = g_rand_int_range(rand, 10, 10 + NAMES), to = g_rand_int_range(rand, 10, 12 + NAMES);
    int at = g_rand_int_range(rand, 1, 6), field = g_rand_int_range(rand, 1, 3);

    if (what < 7)
        return g_strdup_printf("INSERT OR IGNORE INTO strike (uuid, subject, at, why) SELECT '" SAID
                               "', '" SAID "', %d, 'x' WHERE NOT EXISTS (SELECT 1 FROM amendment"
                               " WHERE uuid = '" SAID "')",
                               uuid, to, at, uuid);
    if (what < 10)
        return g_strdup_printf("INSERT OR IGNORE INTO amendment (uuid, subject, field, value, at,"
                               " why) SELECT '" SAID "', '" SAID "', '%d', %d, %d, 'x' WHERE NOT"
                               " EXISTS (SELECT 1 FROM strike WHERE uuid = '" SAID "')",
                               uuid, to, field, g_rand_int_range(rand, 0, 1000), at, uuid);
    switch (what) {
    case 10:
        return g_strdup_printf("DELETE FROM strike WHERE uuid = '" SAID "'", uuid);
    case 11:
        return g_strdup_printf("DELETE FROM amendment WHERE uuid = '" SAID "'", uuid);
    case 12:
        return g_strdup_printf("UPDATE strike SET subject = '" SAID "', at = %d WHERE uuid = '" SAID
                               "'",
                               to, at, uuid);
    case 13:
        return g_strdup_printf("UPDATE amendment SET subject = '" SAID "', value = value + 1,"
                               " at = %d WHERE uuid = '" SAID "'",
                               to, at, uuid);
    default:
        return g_strdup_printf(g_rand_boolean(rand)
                                   ? "INSERT INTO judged_revision (uuid, off, asked) VALUES"
                                     " ('" SAID "', 1, 0) ON CONFLICT (uuid) DO UPDATE SET"
                                     " off = 1 - off, asked = 1"
                                   : "DELETE FROM judged_revision WHERE uuid = '" SAID "'",
                               uuid);
    }
}

static void what_is_kept_is_what_the_rows_say_after_any_writes(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(spl_book) book = shelf_open(shelf, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    guint struck = 0, corrected = 0;

    for (guint32 seed = 1; seed <= HISTORIES; seed++) {
        GRand *rand = g_rand_new_with_seed(seed);
        GArray *faults;

        assert_true(spl_book_begin(book, &error));
        for (int i = 0; i < WRITES; i++) {
            g_autofree char *sql = any_write(rand);

            if (!spl_book_script(book, sql, &error))
                fail_msg("%s: %s", sql, error->message);
            expect_kept(book, sql, &struck, &corrected);
        }
        g_rand_free(rand);
        /* And what is kept is what is held against it by the check; but for the third table, which
         * was written at will here. */
        faults = spl_derived_faults(book, &error);
        expect_ok(error);
        for (guint i = 0; i < faults->len; i++)
            assert_string_equal(g_array_index(faults, struct spl_mending, i).thing,
                                "corrections by others");
        spl_list_free(&spl_mending_shape, faults);
        spl_book_rollback(book);
    }
    print_message("%u strikes and %u corrections held\n", struck, corrected);
    assert_true(struck > HISTORIES * WRITES && corrected > HISTORIES * WRITES);
}

/* A strike far down a chain turns all above it; beyond the fourth it is not followed. */
static void a_chain_of_strikes_turns_at_each_link(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(spl_book) book = shelf_open(shelf, SPL_BOOK_WRITE);
    g_autoptr(GError) error = NULL;
    guint struck = 0, corrected = 0;

    assert_true(spl_book_script(book,
                                "INSERT INTO amendment (uuid, subject, field, value, at, why)"
                                " VALUES ('10', '30', '1', 7, 1, 'x')",
                                &error));
    for (int link = 11; link <= 17; link++) {
        g_autofree char *sql = g_strdup_printf("INSERT INTO strike (uuid, subject, at, why) VALUES"
                                               " ('%d', '%d', 1, 'x')",
                                               link, link - 1);

        assert_true(spl_book_script(book, sql, &error));
        expect_kept(book, sql, &struck, &corrected);
        /* Struck, back, struck, back, struck; two more links are too far away to turn it. */
        assert_int_equal(count(book, "SELECT count(*) FROM amended", SPL_NONE),
                         link > 15 ? 0 : link % 2 == 0);
    }
    for (int link = 12; link <= 17; link += 2) {
        g_autofree char *sql = g_strdup_printf("DELETE FROM strike WHERE uuid = '%d'", link);

        assert_true(spl_book_script(book, sql, &error));
        expect_kept(book, sql, &struck, &corrected);
    }
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, shelf_set_up, shelf_tear_down)

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        TEST(what_is_kept_is_what_the_rows_say_after_any_writes),
        TEST(a_chain_of_strikes_turns_at_each_link),
    };

    cmocka_set_test_filter(argc > 1 ? argv[1] : NULL);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

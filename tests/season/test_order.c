/* SPDX-License-Identifier: MIT
 *
 * State and questions are a function of the rows: the same stamped facts, put into real books in
 * any order, once judged when they are looked at and once by what a writer kept, give the same
 * states and the same questions, with the same names.
 */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "book/statement.h"
#include "expect.h"
#include "season/house_private.h"
#include "simpling/batch.h"
#include "simpling/harvest.h"
#include "simpling/house.h"
#include "simpling/question.h"

#define SETS 100
#define SITES 3
#define HARVESTS 5
#define JARS 4
#define LOTS 5
#define DAY 20980 /* 2027-06-11 */
#define MARK "ANN"

struct orders {
    char *folder, *empty;
    struct spl_house_options options;
};

static int set_up(void **state)
{
    struct orders *orders = g_new0(struct orders, 1);
    g_autoptr(GError) error = NULL;

    orders->folder = g_dir_make_tmp("spl-order-XXXXXX", NULL);
    orders->empty = g_build_filename(orders->folder, "empty.db", NULL);
    orders->options = (struct spl_house_options){.book = orders->empty,
                                                 .data = SPL_SOURCE_DIR "/data",
                                                 .calendars = SPL_SOURCE_DIR "/calendars",
                                                 .today = {DAY + 9}};
    assert_true(spl_book_make(&orders->options, MARK, NULL, &error));
    expect_ok(error);
    *state = orders;
    return 0;
}

static int tear_down(void **state)
{
    struct orders *orders = *state;

    g_unlink(orders->empty);
    g_rmdir(orders->folder);
    g_free(orders->empty);
    g_free(orders->folder);
    g_free(orders);
    return 0;
}

/* ---- facts: one statement each, told apart by UUIDs, with stamps of their own ---- */

struct facts {
    GRand *rand;
    GPtrArray *sites, *things, *rest; /* SQL; each list may come in any order */
    GPtrArray *uuids;                 /* of what may be struck */
    int n;                            /* for UUIDs and stamps */
};

static int below(struct facts *facts, int n)
{
    return g_rand_int_range(facts->rand, 0, n);
}

G_GNUC_PRINTF(2, 3)
static void add(GPtrArray *list, const char *format, ...)
{
    va_list values;

    va_start(values, format);
    g_ptr_array_add(list, g_strdup_vprintf(format, values));
    va_end(values);
}

/* A stamp of its own; things of one kind rise with their number, as a book gives them. */
static gint64 stamp(struct facts *facts)
{
    return 1790000000000000 + 1000 * (gint64)below(facts, 900000) + ++facts->n;
}

static char *uuid_of(const char *what, int n)
{
    return g_strdup_printf("%08x-0000-4000-8000-%012x", g_str_hash(what), n);
}

#define ID_OF "(SELECT id FROM thing WHERE uuid = '%s')"

static void add_thing(struct facts *facts, const char *what, char kind, int n, const char *columns,
                      const char *values)
{
    g_autofree char *uuid = uuid_of(what, n);

    add(facts->things,
        "INSERT INTO thing (uuid, kind, mark, year, number, at) VALUES ('%s', '%c', '" MARK
        "', 2027, %d, %" G_GINT64_FORMAT "); INSERT INTO %s (id, %s) VALUES (" ID_OF ", %s);",
        uuid, kind, n + 1, stamp(facts), what, columns, uuid, values);
    g_ptr_array_add(facts->uuids, g_steal_pointer(&uuid));
}

static void add_places(struct facts *facts)
{
    for (int i = 0; i < SITES; i++) {
        g_autofree char *uuid = uuid_of("site", i);

        add(facts->sites,
            "INSERT INTO site (uuid, mark, name, lat, lon, accuracy_m, at) VALUES ('%s', '" MARK
            "', 'Place %d', %.3f, -2.5, 5, %" G_GINT64_FORMAT
            "); INSERT INTO site_key SELECT 'place %d', id FROM site WHERE uuid = '%s';",
            uuid, i, 54.6 + 0.1 * i, stamp(facts), i, uuid);
    }
}

static void add_harvests(struct facts *facts)
{
    static const char *const materials[] = {"nettle/leaf", "ribwort/leaf", "elder/flower"};
    static const char *const held[] = {"NULL", "NULL", "'ask: nobody had been asked'",
                                       "'to be looked at'"};

    for (int i = 0; i < HARVESTS; i++) {
        g_autofree char *site = uuid_of("site", below(facts, SITES));
        const char *why = held[below(facts, G_N_ELEMENTS(held))];
        g_autofree char *values = g_strdup_printf(
            "(SELECT id FROM site WHERE uuid = '%s'), '%s', 35, %d, 900.0, '%s', '[]', %s, %s",
            site, materials[below(facts, G_N_ELEMENTS(materials))], DAY - below(facts, 60),
            *why == '\'' && why[1] == 'a' ? "ask" : "clear", why,
            below(facts, 2) > 0 ? "'Edda', 'leaf and scent'" : "NULL, NULL");

        add_thing(facts, "harvest", 'H', i,
                  "site_id, material, stage, day, weight_g, verdict, reasons, held, named_by, "
                  "signs",
                  values);
    }
}

static void add_jars_and_lots(struct facts *facts)
{
    for (int i = 0; i < JARS; i++) {
        g_autofree char *values =
            g_strdup_printf("'tincture', %d, 0, 'table'", DAY - below(facts, 20));

        add_thing(facts, "batch", 'B', i, "preparation, day, outside, keeping", values);
    }
    for (int i = 0; i < LOTS; i++) {
        g_autofree char *values =
            g_strdup_printf("'tincture', 'nettle/leaf', %d, 'mL', 400.0, %d, 0", DAY - 10,
                            below(facts, 4) == 0 ? DAY - 5 : DAY + 900);

        add_thing(facts, "lot", 'L', i,
                  "preparation, materials, day, unit, amount, use_by, outside", values);
    }
}

static void add_draw(struct facts *facts, const char *from, int source, const char *to, int taker)
{
    g_autofree char *source_uuid = uuid_of(from, source), *taker_uuid = uuid_of(to, taker);
    g_autofree char *uuid = uuid_of("draw", facts->n);
    const gboolean liquid = g_str_equal(to, "lot") || g_str_equal(from, "lot");

    add(facts->rest,
        "INSERT INTO draw (uuid, mark, source_id, taker_id, day, %s, at) VALUES ('%s', '" MARK
        "', " ID_OF ", " ID_OF ", %d, 5.0, %" G_GINT64_FORMAT ");",
        liquid ? "ml" : "grams", uuid, source_uuid, taker_uuid, DAY, stamp(facts));
}

/* A jar takes of harvests and of earlier lots, a lot of jars: some go through several. */
static void add_draws(struct facts *facts)
{
    for (int i = 0; i < JARS; i++) {
        add_draw(facts, "harvest", below(facts, HARVESTS), "batch", i);
        if (below(facts, 2) == 0)
            add_draw(facts, "harvest", below(facts, HARVESTS), "batch", i);
        if (i > 0 && below(facts, 2) == 0)
            add_draw(facts, "lot", below(facts, i), "batch", i);
    }
    for (int i = 0; i < LOTS; i++)
        add_draw(facts, "batch", MIN(i, JARS - 1), "lot", i);
}

static void add_words(struct facts *facts)
{
    static const char *const kinds[] = {"unsprayed", "unsprayed", "sprayed", "planned"};

    for (int i = 0; i < 5; i++) {
        g_autofree char *site = uuid_of("site", below(facts, SITES));
        const char *kind = kinds[below(facts, G_N_ELEMENTS(kinds))];
        const int day = DAY - below(facts, 70);
        g_autofree char *values =
            g_strdup_printf("(SELECT id FROM site WHERE uuid = '%s'), '%s', %d, %s, 'the tenant'",
                            site, kind, day, g_str_equal(kind, "unsprayed") ? "15000" : "NULL");

        add_thing(facts, "spray_note", 'N', i, "site_id, kind, day, since, source", values);
    }
    for (int i = 0; i < 4; i++) {
        g_autofree char *site = uuid_of("site", below(facts, SITES));
        g_autofree char *uuid = uuid_of("permission", i);

        add(facts->rest,
            "INSERT INTO permission (uuid, mark, site_id, given, by, day, written, parts, at)"
            " SELECT '%s', '" MARK "', id, %d, 'the owner', %d, 0, 'any', %" G_GINT64_FORMAT
            " FROM site WHERE uuid = '%s';",
            uuid, below(facts, 4) > 0, DAY - below(facts, 90), stamp(facts), site);
        g_ptr_array_add(facts->uuids, g_steal_pointer(&uuid));
    }
}

/* Holds, what became of lots, what was let out and what went out. */
static void add_decisions(struct facts *facts)
{
    for (int i = 0; i < 2; i++) {
        g_autofree char *thing = uuid_of("harvest", below(facts, HARVESTS));
        g_autofree char *uuid = uuid_of("hold", i);

        if (below(facts, 2) == 0)
            add(facts->rest,
                "INSERT INTO hold (uuid, mark, thing_id, day, why, at) VALUES ('%s', '" MARK
                "', " ID_OF ", %d, '%s', %" G_GINT64_FORMAT ");",
                uuid, thing, DAY, below(facts, 2) == 0 ? "ask: who dried it" : "gone brown",
                stamp(facts));
        g_ptr_array_add(facts->uuids, g_steal_pointer(&uuid));
    }
    for (int i = 0; i < 2; i++) {
        g_autofree char *lot = uuid_of("lot", below(facts, LOTS)), *uuid = uuid_of("event", i);

        add(facts->rest,
            "INSERT INTO lot_event (uuid, mark, lot_id, kind, day, why, at) VALUES ('%s', '" MARK
            "', " ID_OF ", '%s', %d, 'cloudy', %" G_GINT64_FORMAT ");",
            uuid, lot, below(facts, 2) == 0 ? "hold" : "withdraw", DAY, stamp(facts));
        if (below(facts, 2) == 0) {
            g_autofree char *release = uuid_of("release", i);

            /* names the event by its stamp, whenever that comes in */
            add(facts->rest,
                "INSERT INTO release (uuid, mark, thing_id, day, evidence, kind, fact, version,"
                " grade, at) SELECT '%s', '" MARK "', lot_id, %d, 'looked at', CASE kind WHEN"
                " 'hold' THEN 'lot-held' ELSE 'withdrawn' END, uuid, at, 'stop', at + 1 FROM"
                " lot_event WHERE uuid = '%s' AND 1;",
                release, DAY, uuid);
        }
    }
    for (int i = 0; i < 2; i++) {
        g_autofree char *lot = uuid_of("lot", below(facts, LOTS)), *use = uuid_of("use", i);
        g_autofree char *values = g_strdup_printf("%d, '1042'", DAY);
        g_autofree char *uuid = uuid_of("lot_use", i);

        add_thing(facts, "use", 'U', i, "day, ref", values);
        add(facts->rest,
            "INSERT INTO lot_use (uuid, mark, lot_id, call, use_id, day, amount, ref, at) VALUES"
            " ('%s', '" MARK "', " ID_OF ", '%s', " ID_OF ", %d, 10.0, '1042', %" G_GINT64_FORMAT
            ");",
            uuid, lot, use, use, DAY, stamp(facts));
    }
}

static void add_revisions(struct facts *facts)
{
    for (int i = 0; i < 3; i++) {
        g_autofree char *uuid = uuid_of("strike", i), *of = uuid_of("spray_note", below(facts, 5));

        if (below(facts, 2) == 0)
            add(facts->rest,
                "INSERT INTO strike (uuid, mark, subject, at, why) VALUES ('%s', '" MARK
                "', '%s', %" G_GINT64_FORMAT ", 'meant for another verge');",
                uuid, below(facts, 3) > 0 || i == 0 ? of : "", stamp(facts));
    }
    for (int i = 0; i < 3; i++) {
        g_autofree char *uuid = uuid_of("amendment", i);
        g_autofree char *of = below(facts, 2) == 0 ? uuid_of("harvest", below(facts, HARVESTS))
                                                   : uuid_of("spray_note", below(facts, 5));

        add(facts->rest,
            "INSERT INTO amendment (uuid, mark, subject, field, value, at, why) VALUES ('%s', "
            "'" MARK "', '%s', 'day', %d, %" G_GINT64_FORMAT ", 'a slip');",
            uuid, of, DAY - below(facts, 60), stamp(facts));
    }
}

static void facts_begin(struct facts *facts, guint32 seed)
{
    *facts = (struct facts){.rand = g_rand_new_with_seed(seed),
                            .sites = g_ptr_array_new_with_free_func(g_free),
                            .things = g_ptr_array_new_with_free_func(g_free),
                            .rest = g_ptr_array_new_with_free_func(g_free),
                            .uuids = g_ptr_array_new_with_free_func(g_free)};
    add_places(facts);
    add_harvests(facts);
    add_jars_and_lots(facts);
    add_draws(facts);
    add_words(facts);
    add_decisions(facts);
    add_revisions(facts);
}

static void facts_end(struct facts *facts)
{
    g_ptr_array_unref(facts->sites);
    g_ptr_array_unref(facts->things);
    g_ptr_array_unref(facts->rest);
    g_ptr_array_unref(facts->uuids);
    g_rand_free(facts->rand);
}

/* ---- books ---- */

static void shuffle(GPtrArray *list, GRand *rand)
{
    for (guint i = list->len; i > 1; i--) {
        guint k = (guint)g_rand_int_range(rand, 0, (gint32)i);
        gpointer swapped = list->pdata[i - 1];

        list->pdata[i - 1] = list->pdata[k];
        list->pdata[k] = swapped;
    }
}

/* What names another row comes in again, until it is there. */
static void put_in(const char *path, struct facts *facts, guint32 order)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_book) book = spl_book_open(path, SPL_BOOK_WRITE, &error);
    g_autoptr(GRand) rand = g_rand_new_with_seed(order);
    GPtrArray *const lists[] = {facts->sites, facts->things, facts->rest};

    expect_ok(error);
    assert_true(spl_book_script(book, "PRAGMA synchronous = OFF", &error));
    assert_true(spl_book_begin(book, &error));
    for (gsize l = 0; l < G_N_ELEMENTS(lists); l++) {
        g_autoptr(GPtrArray) late = g_ptr_array_new();

        shuffle(lists[l], rand);
        for (guint i = 0; i < lists[l]->len; i++) {
            const char *sql = g_ptr_array_index(lists[l], i);

            if (strstr(sql, " FROM lot_event ") != NULL)
                g_ptr_array_add(late, (gpointer)sql);
            else
                spl_book_script(book, sql, &error);
            expect_ok(error);
        }
        for (guint i = 0; i < late->len; i++)
            spl_book_script(book, g_ptr_array_index(late, i), &error);
        expect_ok(error);
    }
    assert_true(spl_book_commit(book, &error));
    expect_ok(error);
}

static gboolean print_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    (void)error;
    g_ptr_array_add(data,
                    g_strdup_printf("%s %s %s outside %d", lot->code, spl_state_names[lot->state],
                                    lot->why != NULL ? lot->why : "", lot->outside));
    return TRUE;
}

static gboolean print_harvest(const struct spl_harvest *harvest, gpointer data, GError **error)
{
    (void)error;
    g_ptr_array_add(data, g_strdup_printf("%s %s", harvest->code,
                                          harvest->held != NULL ? harvest->held : "free"));
    return TRUE;
}

static int by_text(gconstpointer a, gconstpointer b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static char *told(struct spl_house *house, guint *n_questions)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(GPtrArray) lines = g_ptr_array_new_with_free_func(g_free);
    const struct spl_lot_question lots = {.all = TRUE};
    const struct spl_harvest_question harvests = {
        .from = SPL_DAY_NONE, .to = SPL_DAY_NONE, .all = TRUE};
    GArray *questions = spl_questions(house, &(struct spl_questions_question){TRUE}, &error);

    expect_ok(error);
    *n_questions += questions->len;
    g_ptr_array_add(lines, spl_list_json(&spl_question_shape, questions));
    spl_list_free(&spl_question_shape, questions);
    assert_true(spl_lot_lines(house, &lots, print_lot, lines, &error));
    assert_true(spl_harvest_entries(house, &harvests, print_harvest, lines, &error));
    expect_ok(error);
    g_ptr_array_sort(lines, by_text);
    g_ptr_array_add(lines, NULL);
    return g_strjoinv("\n", (char **)lines->pdata);
}

/* `keeps`: a writer has judged it and put that down before it is looked at. */
static char *look(struct orders *orders, struct facts *facts, guint32 order, gboolean keeps,
                  guint *n_questions)
{
    g_autofree char *path = g_strdup_printf("%s/book.db", orders->folder);
    g_autofree char *bytes = NULL;
    gsize size;
    g_autoptr(GError) error = NULL;
    struct spl_house_options options = orders->options;
    struct spl_house *house;
    char *text;

    assert_true(g_file_get_contents(orders->empty, &bytes, &size, &error) &&
                g_file_set_contents(path, bytes, (gssize)size, &error));
    put_in(path, facts, order);
    options.book = path;
    house = spl_house_open(&options, keeps ? SPL_HOUSE_WRITE : SPL_HOUSE_READ, &error);
    expect_ok(error);
    if (keeps)
        assert_true(spl_book_script(house->book, "PRAGMA synchronous = OFF", &error) &&
                    spl_book_begin(house->book, &error) && spl_book_commit(house->book, &error));
    text = told(house, n_questions);
    spl_house_close(house);
    g_unlink(path);
    return text;
}

static void the_order_of_facts_makes_no_difference(void **state)
{
    struct orders *orders = *state;
    guint asked = 0, different = 0;
    g_autofree char *last = NULL;

    for (guint32 seed = 1; seed <= SETS; seed++) {
        struct facts facts;
        g_autofree char *one = NULL, *other = NULL;

        facts_begin(&facts, seed);
        one = look(orders, &facts, seed, FALSE, &asked);
        other = look(orders, &facts, 7919 * seed, TRUE, &asked);
        if (strcmp(one, other) != 0) {
            gsize same = 0;

            while (one[same] == other[same])
                same++;
            same -= MIN(same, 200);
            fail_msg("set %u: %.600s\nin another order %.600s", seed, one + same, other + same);
        }
        different += g_strcmp0(one, last) != 0;
        g_free(last);
        last = g_steal_pointer(&one);
        facts_end(&facts);
    }
    /* The sets differ, and most ask something. */
    assert_true(different > SETS - 5);
    assert_true(asked > 4 * SETS);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(the_order_of_facts_makes_no_difference, set_up, tear_down),
};
expect_main(tests)

/* SPDX-License-Identifier: MIT
 *
 * Season over a disk that fails on reading and an SQLite that gets no memory, in the middle of each
 * use case: the record of a call that failed is untouched, and its book is as it was. The calls and
 * what they say are those of tests/face.
 */
#include <glib/gstdio.h>

#include "expect.h"
#include "fault_loop.h"
#include "tables.h"

static struct {
    char *prepared, *book, *bytes;
    gsize length;
    GString *touched; /* calls that wrote into a record and failed */
} world;

static struct spl_house *open_house(const char *book, GError **error)
{
    const struct spl_house_options options = {
        .book = book,
        .data = SPL_SOURCE_DIR "/data",
        .calendars = SPL_SOURCE_DIR "/calendars",
        .helpers = SPL_BUILD_DIR "/libexec/simpling",
        .today = spl_day_from_ymd(2027, 6, 20),
    };

    return spl_house_open(&options, SPL_HOUSE_WRITE, error);
}

static int set_up(void **state)
{
    const struct spl_house_options options = {.data = SPL_SOURCE_DIR "/data",
                                              .today = spl_day_from_ymd(2027, 6, 20)};
    struct spl_house_options made = options;
    struct spl_book_info info;
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_house) house = NULL;

    (void)state;
    world.touched = g_string_new(NULL);
    world.prepared = g_build_filename(fault_scratch(), "prepared.db", NULL);
    world.book = g_build_filename(fault_scratch(), "face.db", NULL);
    made.book = world.prepared;
    if (!spl_book_make(&made, "ANN", &info, &error))
        fail_msg("%s", error->message);
    spl_record_clear(&spl_book_info_shape, &info);
    house = open_house(world.prepared, &error);
    if (house == NULL || !face_prepare(house, &error))
        fail_msg("%s", error->message);
    g_clear_pointer(&house, spl_house_close);
    if (!g_file_get_contents(world.prepared, &world.bytes, &world.length, &error))
        fail_msg("%s", error->message);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    g_unlink(world.prepared);
    g_unlink(world.book);
    g_free(world.prepared);
    g_free(world.book);
    g_free(world.bytes);
    g_string_free(world.touched, TRUE);
    return 0;
}

static void *read_said(const struct face_table *table)
{
    void *said = g_malloc0(table->inputs->size);
    g_autoptr(GError) error = NULL;

    spl_inputs_init(table->inputs, said);
    for (guint i = 0; table->said[i] != NULL; i += 2) {
        if (!spl_inputs_read(table->inputs, table->said[i], table->said[i + 1], said, &error))
            fail_msg("%s: %s", table->inputs->name, error->message);
    }
    return said;
}

/* FALSE: no fault came to pass, it was over before. */
static gboolean try(const struct face_table *table, const void *said, enum fault_kind kind, int nth,
                    int *failed)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_house) house = NULL;
    gboolean ok, fired;

    if (!g_file_set_contents(world.book, world.bytes, (gssize)world.length, &error) ||
        (house = open_house(world.book, &error)) == NULL)
        fail_msg("%s", error->message);
    fault_arm(kind, nth, FALSE, 0);
    ok = table->call(house, said, &error);
    fired = fault_disarm();
    if (ok == (error != NULL))
        fail_msg("%s, %s %d: %s", table->inputs->name, fault_name(kind), nth,
                 ok ? error->message : "failed without an error");
    if (face_was_touched())
        g_string_append_printf(world.touched, "\n%s, %s %d", table->inputs->name, fault_name(kind),
                               nth);
    *failed += !ok;
    return fired;
}

static void a_record_of_a_call_that_failed_is_untouched(void **state)
{
    static const enum fault_kind kinds[] = {FAULT_READ, FAULT_MEMORY};
    int failed = 0, runs = 0;

    (void)state;
    for (gsize i = 0; i < face_count(); i++) {
        const struct face_table *table = face_at(i);
        void *said = read_said(table);

        for (gsize k = 0; k < G_N_ELEMENTS(kinds); k++) {
            int nth = 1;

            while (try(table, said, kinds[k], nth, &failed)) {
                runs++;
                nth *= 2; /* each step longer than the one before */
            }
        }
        spl_inputs_clear(table->inputs, said);
        g_free(said);
    }
    print_message("%d faulty runs of %zu calls, %d failed\n", runs, face_count(), failed);
    if (world.touched->len > 0)
        fail_msg("failed and wrote into the record:%s", world.touched->str);
    assert_true(failed > 300);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_record_of_a_call_that_failed_is_untouched, set_up, tear_down),
};

int main(void)
{
    fault_install();
    return cmocka_run_group_tests(tests, NULL, NULL);
}

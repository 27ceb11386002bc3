/* SPDX-License-Identifier: MIT
 *
 * A face that checks nothing: every table of inputs is walked with NULL, NAN, empty and huge in
 * each member, and season answers with an error that names the input, never with a crash or a
 * sentence of the database. On include/simpling alone.
 */
#include <glib/gstdio.h>

#include "expect.h"
#include "simpling/amend.h"
#include "simpling/entry.h"
#include "tables.h"

#define HUGE 1e300

/* The house stays open from call to call, as that of a program that runs all day does, for as long
 * as its book is the prepared one: a call that writes ends it. */
struct world {
    char *folder, *prepared, *book;
    char *bytes; /* of the prepared book */
    gsize length;
    struct spl_house *house; /* on a copy of it; NULL: to be made */
};

static struct spl_house *open_house(const char *book, GError **error)
{
    struct spl_house_options options = {
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
    struct world *world = g_new0(struct world, 1);
    struct spl_house_options options = {.data = SPL_SOURCE_DIR "/data",
                                        .today = spl_day_from_ymd(2027, 6, 20)};
    struct spl_book_info info;
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_house) house = NULL;

    world->folder = g_dir_make_tmp("spl-face-XXXXXX", NULL);
    world->prepared = g_build_filename(world->folder, "prepared.db", NULL);
    world->book = g_build_filename(world->folder, "book.db", NULL);
    options.book = world->prepared;
    if (!spl_book_make(&options, "ANN", &info, &error))
        fail_msg("%s", error->message);
    spl_record_clear(&spl_book_info_shape, &info);
    house = open_house(world->prepared, &error);
    if (house == NULL || !face_prepare(house, &error))
        fail_msg("%s", error->message);
    g_clear_pointer(&house, spl_house_close);
    if (!g_file_get_contents(world->prepared, &world->bytes, &world->length, &error))
        fail_msg("%s", error->message);
    *state = world;
    return 0;
}

static int tear_down(void **state)
{
    struct world *world = *state;

    spl_house_close(world->house);
    g_unlink(world->book);
    g_unlink(world->prepared);
    g_rmdir(world->folder);
    g_free(world->folder);
    g_free(world->bytes);
    g_free(world->prepared);
    g_free(world->book);
    g_free(world);
    return 0;
}

static gboolean is_as_prepared(const struct world *world)
{
    g_autofree char *bytes = NULL;
    gsize length;

    return g_file_get_contents(world->book, &bytes, &length, NULL) && length == world->length &&
           memcmp(bytes, world->bytes, length) == 0;
}

/* Calls on a copy of the prepared book; NULL: it was taken. What is refused leaves the book as it
 * was, to the byte. */
static GError *try(struct world *world, const struct face_table *table, const void *said)
{
    GError *error = NULL;
    gboolean taken;

    if (world->house == NULL &&
        (!g_file_set_contents(world->book, world->bytes, (gssize)world->length, &error) ||
         (world->house = open_house(world->book, &error)) == NULL))
        fail_msg("%s", error->message);
    taken = table->call(world->house, said, &error);
    if (face_was_touched())
        fail_msg("%s was refused and wrote into the record: %s", table->inputs->name,
                 error->message);
    if (!is_as_prepared(world)) {
        if (!taken)
            fail_msg("%s was refused and changed the book: %s", table->inputs->name,
                     error->message);
        g_clear_pointer(&world->house, spl_house_close);
    }
    if (taken) {
        assert_null(error);
        return NULL;
    }
    assert_non_null(error);
    return error;
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

static void free_said(const struct face_table *table, void *said)
{
    spl_inputs_clear(table->inputs, said);
    g_free(said);
}

static void fail_if_ugly(const char *what, const GError *error)
{
    static const char *const ugly[] = {"CHECK",     "constraint", "NOT NULL", "SQL", "datatype",
                                       "simpling ", "(null)",     "nan",      "\n"};

    if (error->domain != SPL_ERROR || error->code == SPL_ERROR_INTERNAL ||
        error->code == SPL_ERROR_IO || error->code == SPL_ERROR_CORRUPT)
        fail_msg("%s: %s", what, error->message);
    for (gsize i = 0; i < G_N_ELEMENTS(ugly); i++) {
        if (strstr(error->message, ugly[i]) != NULL)
            fail_msg("%s: %s", what, error->message);
    }
    if (strstr(error->message, "--") != NULL)
        fail_msg("%s speaks the command line's language: %s", what, error->message);
}

/* The ways in which a member can be wrong. */
enum spoil { GONE, EMPTY, BLANK, UNTYPED, LONG, TOO_MUCH, TOO_LITTLE, INFINITELY, N_SPOILS };

static const char *const spoil_names[] = {"gone", "empty",    "blank",      "no text",
                                          "long", "too much", "too little", "infinite"};

static gboolean is_number(enum spl_input_kind kind)
{
    return kind == SPL_INPUT_MASS || kind == SPL_INPUT_VOLUME ||
           (kind >= SPL_INPUT_STRENGTH && kind <= SPL_INPUT_HOURS);
}

/* Puts a wrong value into the member; FALSE: this way does not apply to its kind. */
static gboolean spoil(const struct spl_input *row, enum spoil how, const char *long_text,
                      void *record)
{
    void *member = (char *)record + row->offset;
    double wrong = how == TOO_MUCH ? HUGE : how == TOO_LITTLE ? -HUGE : INFINITY;

    if (spl_input_is_text(row)) {
        static const char *const texts[] = {NULL, "", " \t", "a\033b\xff"};

        if (how > LONG || (row->kind == SPL_INPUT_FILE && how > BLANK))
            return FALSE;
        *(const char **)member = how == LONG ? long_text : texts[how];
        return TRUE;
    }
    if (is_number(row->kind)) {
        if (how != GONE && how < TOO_MUCH)
            return FALSE;
        *(double *)member = how == GONE ? (double)NAN : wrong;
        return TRUE;
    }
    switch (row->kind) {
    case SPL_INPUT_AMOUNT:
    case SPL_INPUT_COORDINATES:
        if (how != GONE && how < TOO_MUCH)
            return FALSE;
        ((double *)member)[0] = how == GONE ? (double)NAN : wrong;
        ((double *)member)[1] = how == GONE || row->kind == SPL_INPUT_AMOUNT ? (double)NAN : wrong;
        return TRUE;
    case SPL_INPUT_COUNT:
    case SPL_INPUT_YES:
        if (how != GONE && how != TOO_MUCH && (how != TOO_LITTLE || row->kind == SPL_INPUT_YES))
            return FALSE;
        *(int *)member = how == TOO_MUCH              ? G_MAXINT
                         : how == TOO_LITTLE          ? -G_MAXINT
                         : row->kind == SPL_INPUT_YES ? -1
                                                      : SPL_COUNT_NONE;
        return TRUE;
    case SPL_INPUT_DAY:
    case SPL_INPUT_MONTH:
        if (how != GONE && how != TOO_MUCH && how != TOO_LITTLE)
            return FALSE;
        *(struct spl_day *)member = how == GONE       ? SPL_DAY_NONE
                                    : how == TOO_MUCH ? (struct spl_day){G_MAXINT32}
                                                      : (struct spl_day){SPL_DAY_NONE_N + 1};
        return TRUE;
    case SPL_INPUT_FLAG:
        if (how != GONE && how != TOO_MUCH)
            return FALSE;
        *(gboolean *)member = how == GONE ? FALSE : G_MAXINT;
        return TRUE;
    case SPL_INPUT_LIST:
        if (how != GONE)
            return FALSE;
        *(GArray **)member = NULL;
        return TRUE;
    default:
        return FALSE;
    }
}

/* A list that other words of the same table say. */
static gboolean said_elsewhere(const struct face_table *table, const char *key)
{
    for (gsize i = 0; i < face_count(); i++) {
        for (guint k = 0; face_at(i)->inputs == table->inputs && face_at(i)->said[k] != NULL;
             k += 2) {
            g_auto(GStrv) keys = g_strsplit(face_at(i)->said[k], ".", 2);

            if (strcmp(keys[0], key) == 0)
                return TRUE;
        }
    }
    return FALSE;
}

/* Whether a rule speaks of both: what was not said before may break it, and the other is named. */
static gboolean share_rule(const struct spl_inputs *inputs, const char *key, const char *other)
{
    for (gsize i = 0; i < inputs->n_rules; i++) {
        const struct spl_rule *rule = &inputs->rules[i];
        int n = 0;

        for (gsize k = 0; k < G_N_ELEMENTS(rule->keys) && rule->keys[k] != NULL; k++)
            n += strcmp(rule->keys[k], key) == 0 || strcmp(rule->keys[k], other) == 0;
        if (n == 2)
            return TRUE;
    }
    return FALSE;
}

/* The member as it was, kept while it is spoilt. */
#define MEMBER_SIZE (2 * sizeof(double))

static void walk(struct world *world, const struct face_table *table,
                 const struct spl_inputs *inputs, void *at, void *whole, int *tried);

static void walk_row(struct world *world, const struct face_table *table,
                     const struct spl_inputs *inputs, const struct spl_input *row, void *at,
                     void *whole, int *tried)
{
    g_autofree char *long_text = g_strnfill(5000, 'x');
    char kept[MEMBER_SIZE];
    gsize size = MIN(MEMBER_SIZE, inputs->size - row->offset);
    gboolean was_said = spl_input_is_said(row, at);

    for (enum spoil how = GONE; how < N_SPOILS; how++) {
        g_autofree char *what =
            g_strdup_printf("%s, %s: %s", table->inputs->name, row->key, spoil_names[how]);
        gboolean missing = how == GONE || how == EMPTY || how == BLANK;
        GError *error;

        memcpy(kept, (char *)at + row->offset, size);
        if (!spoil(row, how, long_text, at)) {
            continue;
        }
        error = try(world, table, whole);
        memcpy((char *)at + row->offset, kept, size);
        (*tried)++;
        if (error == NULL) {
            if (!missing && row->kind != SPL_INPUT_FLAG)
                fail_msg("%s was taken", what);
            if (row->needed)
                fail_msg("%s was taken though it is needed", what);
            continue;
        }
        fail_if_ugly(what, error);
        if (row->kind != SPL_INPUT_FLAG && (row->needed || !missing)) {
            const char *input = spl_error_input(error);

            if (input == NULL)
                fail_msg("%s: the error names no input: %s", what, error->message);
            if (!g_str_has_suffix(input, row->key) &&
                (was_said || !share_rule(inputs, row->key, input)))
                fail_msg("%s: the error is about '%s': %s", what, input, error->message);
        }
        g_error_free(error);
    }
    if (row->kind == SPL_INPUT_LIST) {
        GArray *list = *(GArray **)(void *)((char *)at + row->offset);

        if (list == NULL && !said_elsewhere(table, row->key))
            fail_msg("%s: the words in tables.c say no %s", table->inputs->name, row->key);
        if (list != NULL)
            walk(world, table, row->item, list->data, whole, tried);
    }
}

static void walk(struct world *world, const struct face_table *table,
                 const struct spl_inputs *inputs, void *at, void *whole, int *tried)
{
    for (gsize i = 0; i < inputs->n; i++)
        walk_row(world, table, inputs, &inputs->rows[i], at, whole, tried);
}

static void no_member_of_any_table_can_be_trusted(void **state)
{
    struct world *world = *state;
    int tried = 0;

    for (gsize i = 0; i < face_count(); i++) {
        const struct face_table *table = face_at(i);
        void *said = read_said(table);
        GError *error = try(world, table, said);

        if (error != NULL)
            fail_msg("%s: %s", table->inputs->name, error->message);
        walk(world, table, table->inputs, said, said, &tried);
        free_said(table, said);
    }
    print_message("%d members of %zu tables were spoilt\n", tried, face_count());
    assert_true(tried > 20);
}

/* Nothing said at all: a record of zeroes, as a careless program makes it. */
static void a_record_of_zeroes_is_refused_or_answered(void **state)
{
    struct world *world = *state;

    for (gsize i = 0; i < face_count(); i++) {
        g_autofree void *zeroes = g_malloc0(face_at(i)->inputs->size);
        g_autoptr(GError) error = try(world, face_at(i), zeroes);

        if (error != NULL) {
            fail_if_ugly(face_at(i)->inputs->name, error);
            if (spl_error_input(error) == NULL)
                fail_msg("%s: %s", face_at(i)->inputs->name, error->message);
        }
    }
}

static void every_table_is_walked(void **state)
{
    (void)state;
    for (gsize i = 0; i < spl_n_all_inputs; i++) {
        gboolean there = FALSE;

        for (gsize k = 0; k < face_count(); k++)
            there |= face_at(k)->inputs == spl_all_inputs[i];
        if (!there)
            fail_msg("the inputs '%s' have no row in tests/face/tables.c", spl_all_inputs[i]->name);
    }
}

/* Each row of the table, said in words, arrives: what init calls "not said" is said afterwards. */
static void
the_words_of_each_table_say_each_of_its_members_or_a_part_that_goes_together(void **state)
{
    (void)state;
    for (gsize i = 0; i < face_count(); i++) {
        const struct face_table *table = face_at(i);
        void *said = read_said(table);

        for (guint k = 0; table->said[k] != NULL; k += 2) {
            g_auto(GStrv) keys = g_strsplit(table->said[k], ".", 2);
            const struct spl_input *row = spl_inputs_row(table->inputs, keys[0]);

            assert_non_null(row);
            if (!spl_input_is_said(row, said))
                fail_msg("%s: %s was read and is not said", table->inputs->name, row->key);
        }
        free_said(table, said);
    }
}

/* Each row that amends lands in a column of its record, and is read as at the entry. */
static void what_amends_can_be_corrected(void **state)
{
    static const struct {
        const char *table, *code, *day;
    } records[] = {{"harvest", "H27-001", "2027-05-01"},    {"purchase", "P27-001", "2027-05-01"},
                   {"drying", "D27-001", "2027-05-02"},     {"batch", "B27-001", "2027-05-01"},
                   {"lot", "L27-001", "2027-06-10"},        {"spray_note", "N27-001", "2027-04-20"},
                   {"stage_note", "N27-002", "2027-05-01"}, {"use", "U27-001", "2027-06-11"}};
    struct world *world = *state;
    const struct face_table amend = {
        .inputs = &spl_amend_inputs, .call = face_amend, .said = {NULL}};
    int tried = 0;

    for (const struct spl_inputs *const *table = spl_amended_inputs; *table != NULL; table++) {
        gsize at = 0;

        while (at < G_N_ELEMENTS(records) && strcmp(records[at].table, (*table)->name) != 0)
            at++;
        assert_true(at < G_N_ELEMENTS(records));
        for (gsize i = 0; i < (*table)->n; i++) {
            const struct spl_input *row = &(*table)->rows[i];
            struct spl_change_words change = {row->key, row->kind == SPL_INPUT_MASS     ? "890g"
                                                        : row->kind == SPL_INPUT_AMOUNT ? "190mL"
                                                        : strcmp(row->key, "for") == 0  ? "1043"
                                                        : row->kind == SPL_INPUT_STAGE  ? "31"
                                                        : row->kind == SPL_INPUT_METHOD ? "boom"
                                                        : row->kind == SPL_INPUT_FLAG   ? "yes"
                                                        : row->kind == SPL_INPUT_DAY ||
                                                                row->kind == SPL_INPUT_MONTH
                                                            ? records[at].day
                                                            : "said again"};
            struct spl_amend_words words = {.code = records[at].code, .why = "looked again"};
            g_autoptr(GError) error = NULL;

            if (!row->amends)
                continue;
            words.changes = spl_inputs_list(&spl_change_inputs);
            g_array_append_val(words.changes, change);
            error = try(world, &amend, &words);
            if (error != NULL)
                fail_msg("%s, %s: %s", records[at].code, row->key, error->message);
            g_clear_error(&error);
            /* As at the entry: what is no text, or far too long, is refused by the same row. */
            g_array_index(words.changes, struct spl_change_words, 0).text =
                row->kind == SPL_INPUT_NAME || row->kind == SPL_INPUT_TEXT ? "a\033b\xff" : "0 x";
            error = try(world, &amend, &words);
            assert_non_null(error);
            fail_if_ugly(row->key, error);
            g_array_unref(words.changes);
            tried++;
        }
    }
    print_message("%d rows that amend were corrected\n", tried);
    assert_true(tried > 30);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_table_is_walked),
    cmocka_unit_test(the_words_of_each_table_say_each_of_its_members_or_a_part_that_goes_together),
    cmocka_unit_test_setup_teardown(no_member_of_any_table_can_be_trusted, set_up, tear_down),
    cmocka_unit_test_setup_teardown(what_amends_can_be_corrected, set_up, tear_down),
    cmocka_unit_test_setup_teardown(a_record_of_zeroes_is_refused_or_answered, set_up, tear_down),
};
expect_main(tests)

/* SPDX-License-Identifier: MIT
 *
 * Notes read: the lines of tests/data/note_lines.csv, each with its reading. The first set goes
 * through the ways in which people, keyboards and dictation write one thing; the second was
 * written, with its readings, before the reader by another hand. Places, plants and people are
 * invented; an ounce is 28.349523125 g (NIST Handbook 44, appendix C). Then: what makes a line the
 * same.
 */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "exchange/csv.h"
#include "expect.h"
#include "simpling/batch.h"
#include "simpling/drying.h"
#include "simpling/entry.h"
#include "simpling/harvest.h"
#include "simpling/house.h"
#include "simpling/note.h"
#include "simpling/purchase.h"
#include "simpling/record/slip.h"
#include "simpling/site.h"

struct notes {
    char *folder, *path, *own, *file;
    struct spl_house_options options;
    struct spl_house *house;
};

static const char plants[] =
    "plant,common,latin,other,family,habit,water_plant,deadly_lookalike,source\n"
    "fellwort,fellwort,Fellia montana,,Invented,perennial,no,no,\n"
    "gillbell,gillbell,Campana rivi,,Invented,perennial,no,no,\n"
    "st-osks-wort,St Osk's wort,Oscaria vera,,Invented,perennial,no,no,\n"
    "thrangberry,thrangberry,Baccus viae,,Invented,shrub,no,no,\n"
    "maycress,maycress,Cresso maialis,,Invented,perennial,no,no,\n";
static const char materials[] =
    "plant,part,spoken,other,moisture_pct,share_pct,source\n"
    "fellwort,flower,fellwort flower,,80,50,\"moisture, share=invented\"\n"
    "fellwort,leaf,fellwort leaf,,80,50,\"moisture, share=invented\"\n"
    "fellwort,root,fellwort root,,80,50,\"moisture, share=invented\"\n"
    "gillbell,flower,gillbell,gillbells,80,50,\"moisture, share=invented\"\n"
    "st-osks-wort,tops,St Osk's wort tops,,80,50,\"moisture, share=invented\"\n"
    "thrangberry,fruit,thrangberries,thrangs,80,50,\"moisture, share=invented\"\n"
    "maycress,flower,maycress flower,may blossom,80,50,\"moisture, share=invented\"\n"
    "hawthorn,tops,hawthorn flower and leaf,hawthorn blossom,75,10,\"moisture, share=invented\"\n";

#define SAID(...) ((const char *const[]){__VA_ARGS__, NULL})

/* Reads pairs of a path and a text, as a face does. */
static void read_into(const struct spl_inputs *inputs, void *words, const char *const *said)
{
    g_autoptr(GError) error = NULL;

    spl_inputs_init(inputs, words);
    for (guint i = 0; said[i] != NULL; i += 2)
        if (!spl_inputs_read(inputs, said[i], said[i + 1], words, &error))
            fail_msg("%s: %s", said[i], error->message);
}

/* What is done must succeed; `error` is looked at afterwards. */
#define need(ok, error)                                                                            \
    do {                                                                                           \
        if (!(ok))                                                                                 \
            fail_msg("%s", (error) != NULL ? (error)->message : "no error");                       \
    } while (0)

static void add_site(struct notes *notes, const char *name, const char *at)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *caution = NULL;
    struct spl_site_words words;
    struct spl_site site;

    read_into(&spl_site_inputs, &words, SAID("name", name, "at", at));
    need(spl_site_new(notes->house, &words, &site, &caution, &error), error);
    spl_inputs_clear(&spl_site_inputs, &words);
    spl_record_clear(&spl_site_shape, &site);
}

static void buy(struct notes *notes, const char *material)
{
    g_autoptr(GError) error = NULL;
    struct spl_purchase_words words;
    struct spl_purchase purchase;
    GPtrArray *cautions;

    read_into(&spl_purchase_inputs, &words,
              SAID("supplier", "Skirra Stores", "number", "7", "material", material, "dry", "yes",
                   "weight", "500g", "named_by", "Edda", "signs", "as on the label", "on",
                   "2027-06-01"));
    need(spl_purchase_log(notes->house, &words, &purchase, &cautions, &error), error);
    g_ptr_array_unref(cautions);
    spl_inputs_clear(&spl_purchase_inputs, &words);
    spl_record_clear(&spl_purchase_shape, &purchase);
}

static void put_up(struct notes *notes, const char *preparation, const char *from)
{
    g_autoptr(GError) error = NULL;
    struct spl_batch_words words;
    struct spl_batch batch;
    GPtrArray *cautions;

    read_into(&spl_batch_inputs, &words,
              SAID("preparation", preparation, "from.0.code", from, "from.0.amount", "60g",
                   "liquid", "950mL", "jar", "1L", "on", "2027-06-20"));
    need(spl_batch_begin(notes->house, &words, &batch, &cautions, &error), error);
    g_ptr_array_unref(cautions);
    spl_inputs_clear(&spl_batch_inputs, &words);
    spl_record_clear(&spl_batch_shape, &batch);
}

static void press(struct notes *notes)
{
    g_autoptr(GError) error = NULL;
    struct spl_press_words words;
    GPtrArray *cautions;
    GArray *lots;

    read_into(&spl_press_inputs, &words,
              SAID("jars.0.code", "B27-001", "jars.0.yield", "500mL", "on", "2027-07-10"));
    lots = spl_batch_press(notes->house, &words, &cautions, &error);
    need(lots != NULL, error);
    g_ptr_array_unref(cautions);
    spl_list_free(&spl_lot_shape, lots);
    spl_inputs_clear(&spl_press_inputs, &words);
}

static void pick(struct notes *notes, const char *key, const char *amount)
{
    g_autoptr(GError) error = NULL;
    struct spl_harvest_words words;
    struct spl_harvest harvest;
    GPtrArray *cautions;

    read_into(&spl_harvest_inputs, &words,
              SAID("site", "Withy Gill", "material", "nettle/leaf", "stage", "in leaf", "on",
                   "2027-07-10", key, amount));
    need(spl_harvest_log(notes->house, &words, &harvest, &cautions, &error), error);
    g_ptr_array_unref(cautions);
    spl_inputs_clear(&spl_harvest_inputs, &words);
    spl_record_clear(&spl_harvest_shape, &harvest);
}

static void rack(struct notes *notes)
{
    g_autoptr(GError) error = NULL;
    struct spl_drying_words words;
    struct spl_drying drying;
    GPtrArray *cautions;

    read_into(&spl_drying_inputs, &words, SAID("from", "H27-002", "on", "2027-07-10"));
    need(spl_drying_begin(notes->house, &words, &drying, &cautions, &error), error);
    g_ptr_array_unref(cautions);
    spl_inputs_clear(&spl_drying_inputs, &words);
    spl_record_clear(&spl_drying_shape, &drying);
}

static void say(struct notes *notes, const char *site)
{
    g_autoptr(GError) error = NULL;
    struct spl_spray_words words;
    struct spl_spray_record note;
    struct spl_permission_words leave;
    struct spl_permission_note given;
    GPtrArray *touched;

    read_into(&spl_spray_inputs, &words,
              SAID("site", site, "kind", "unsprayed", "source", "the tenant", "since", "2020-01-01",
                   "on", "2027-07-01"));
    need(spl_spray_note_add(notes->house, &words, &note, &touched, &error), error);
    g_clear_pointer(&touched, g_ptr_array_unref);
    spl_inputs_clear(&spl_spray_inputs, &words);
    spl_record_clear(&spl_spray_record_shape, &note);
    read_into(
        &spl_permission_inputs, &leave,
        SAID("site", site, "given", "yes", "by", "the tenant", "parts", "any", "on", "2027-04-01"));
    need(spl_site_permit(notes->house, &leave, &given, &error), error);
    spl_inputs_clear(&spl_permission_inputs, &leave);
    spl_record_clear(&spl_permission_note_shape, &given);
}

static void open_book(struct notes *notes, enum spl_house_access access)
{
    g_autoptr(GError) error = NULL;

    g_clear_pointer(&notes->house, spl_house_close);
    notes->house = spl_house_open(&notes->options, access, &error);
    need(notes->house != NULL, error);
}

static void set(struct notes *notes, const char *key, const char *value)
{
    const struct spl_setting_words words = {key, value};
    g_autoptr(GError) error = NULL;

    need(spl_book_set(notes->house, &words, &error), error);
}

static void write_own(const struct notes *notes, const char *name, const char *text)
{
    g_autofree char *path = g_build_filename(notes->own, name, NULL);

    assert_true(g_file_set_contents(path, text, -1, NULL));
}

static int set_up(void **state)
{
    static const char *const sites[][2] = {{"Withy Gill", "54.6012,-2.5871"},
                                           {"Scarth Wood", "54.6101,-2.6310"},
                                           {"Thrang Lane", "54.5818,-2.6405"},
                                           {"Low Croft", "54.5889,-2.6104"},
                                           {"High Croft", "54.5950,-2.6120"}};
    struct notes *notes = g_new0(struct notes, 1);
    struct spl_book_info info;

    notes->folder = g_dir_make_tmp("spl-notes-XXXXXX", NULL);
    notes->path = g_build_filename(notes->folder, "book.db", NULL);
    notes->own = g_build_filename(notes->folder, "own", NULL);
    notes->file = g_build_filename(notes->folder, "notes.txt", NULL);
    assert_int_equal(g_mkdir(notes->own, 0700), 0);
    write_own(notes, "plants.csv", plants);
    write_own(notes, "materials.csv", materials);
    notes->options = (struct spl_house_options){
        .book = notes->path,
        .data = SPL_SOURCE_DIR "/data",
        .own_data = notes->own,
        .calendars = SPL_SOURCE_DIR "/calendars",
        .today = spl_day_from_ymd(2027, 7, 20),
    };
    if (!spl_book_make(&notes->options, "ANN", &info, NULL))
        return -1;
    spl_record_clear(&spl_book_info_shape, &info);
    open_book(notes, SPL_HOUSE_WRITE);
    set(notes, "country", "GB");
    for (guint i = 0; i < G_N_ELEMENTS(sites); i++) {
        add_site(notes, sites[i][0], sites[i][1]);
        say(notes, sites[i][0]);
    }
    buy(notes, "dandelion/leaf");
    buy(notes, "yarrow/herb");
    buy(notes, "elder/flower");
    buy(notes, "nettle/leaf");
    assert_int_equal(spl_house_left_out(notes->house)->len, 0);
    put_up(notes, "tincture", "P27-001");
    put_up(notes, "tincture", "P27-002");
    put_up(notes, "vinegar", "P27-003");
    put_up(notes, "tincture", "P27-004");
    press(notes);
    pick(notes, "bags", "2");
    pick(notes, "weight", "400g");
    rack(notes);
    *state = notes;
    return 0;
}

static int tear_down(void **state)
{
    static const char *const names[] = {"own/plants.csv", "own/materials.csv", "own", "notes.txt",
                                        "book.db"};
    struct notes *notes = *state;

    g_clear_pointer(&notes->house, spl_house_close);
    for (guint i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *path = g_build_filename(notes->folder, names[i], NULL);

        g_remove(path);
    }
    g_rmdir(notes->folder);
    g_free(notes->folder);
    g_free(notes->path);
    g_free(notes->own);
    g_free(notes->file);
    g_free(notes);
    return 0;
}

static GArray *try_read(struct notes *notes, const char *text, gssize size, gboolean apply,
                        struct spl_day written, GError **error)
{
    struct spl_note_words words;
    struct spl_note_file file = {notes->file};
    GArray *rows;

    assert_true(g_file_set_contents(notes->file, text, size, NULL));
    spl_inputs_init(&spl_note_inputs, &words);
    words.files = spl_inputs_list(&spl_note_file_inputs);
    g_array_append_val(words.files, file);
    words.apply = apply;
    words.written = written;
    rows = spl_notes_read(notes->house, &words, NULL, error);
    g_array_unref(words.files);
    return rows;
}

static GArray *read_text(struct notes *notes, const char *text, gboolean apply)
{
    g_autoptr(GError) error = NULL;
    GArray *rows = try_read(notes, text, -1, apply, SPL_DAY_NONE, &error);

    need(rows != NULL, error);
    return rows;
}

static const struct spl_note_row *row_at(const GArray *rows, guint i)
{
    assert_true(i < rows->len);
    return &g_array_index(rows, struct spl_note_row, i);
}

static void done(GArray *rows)
{
    spl_list_free(&spl_note_row_shape, rows);
}

/* Lines -----------------------------------------------------------------------------------------
 */

static const char *or_empty(const char *text)
{
    return text != NULL ? text : "";
}

/* What differs from the reading that is expected, as a line. */
static char *compare(const struct spl_csv *csv, const struct spl_note_row *row)
{
    const char *state = spl_note_state_names[row->state], *kind = spl_note_kind_names[row->kind];
    const char *wanted_kind = spl_csv_text(csv, 4), *wanted_day = spl_csv_text(csv, 5);
    const char *wanted_site = spl_csv_text(csv, 6), *line = spl_csv_text(csv, 2);
    const gboolean open = row->state == SPL_NOTE_REFUSED || row->state == SPL_NOTE_ASKED;
    char day[SPL_DAY_TEXT_SIZE];

    if (strcmp(state, spl_csv_text(csv, 3)) == 0 &&
        (*wanted_kind == '\0' || strcmp(kind, wanted_kind) == 0) &&
        (*wanted_day == '\0' || strcmp(spl_day_format(row->date, day), wanted_day) == 0) &&
        (*wanted_site == '\0' || g_strcmp0(row->site, wanted_site) == 0) &&
        strstr(or_empty(row->record), spl_csv_text(csv, 7)) != NULL &&
        strstr(or_empty(row->reason), spl_csv_text(csv, 8)) != NULL &&
        (!open || strstr(line, "pray") == NULL || row->warning))
        return NULL;
    return g_strdup_printf("%d: %s: %s %s %s '%s' '%s' '%s'%s", spl_csv_line(csv), line, state,
                           kind, spl_day_format(row->date, day), or_empty(row->site),
                           or_empty(row->record), or_empty(row->reason),
                           row->warning ? " warned" : "");
}

/* Each call reads CALLSth line, so that those that say the same do not meet. */
#define CALLS 34
#define CASES 157

static char *file_of(const struct notes *notes, int n)
{
    g_autofree char *name = g_strdup_printf("line-%03d.txt", n);

    return g_build_filename(notes->folder, name, NULL);
}

/* The last line of one case's file. */
static const struct spl_note_row *last_of(const GArray *rows, int n)
{
    g_autofree char *name = g_strdup_printf("line-%03d.txt", n);
    const struct spl_note_row *last = NULL;

    for (guint i = 0; i < rows->len; i++) {
        const struct spl_note_row *row = row_at(rows, i);

        if (strcmp(row->file, name) == 0 && (last == NULL || row->line >= last->line))
            last = row;
    }
    return last;
}

static GArray *read_cases(struct notes *notes, int call, gboolean written)
{
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GError) error = NULL;
    struct spl_note_words words;
    GArray *rows;

    spl_inputs_init(&spl_note_inputs, &words);
    words.files = spl_inputs_list(&spl_note_file_inputs);
    for (int n = call; n < CASES; n += CALLS) {
        struct spl_note_file file = {file_of(notes, n)};

        g_ptr_array_add(paths, (char *)file.path);
        g_array_append_val(words.files, file);
    }
    if (written)
        words.written = spl_day_from_ymd(2027, 7, 20);
    rows = spl_notes_read(notes->house, &words, NULL, &error);
    need(rows != NULL, error);
    g_array_unref(words.files);
    return rows;
}

static void write_case(const struct notes *notes, int n, const struct spl_csv *csv)
{
    g_auto(GStrv) parts = g_strsplit(spl_csv_text(csv, 2), "⏎", -1);
    g_autofree char *lines = g_strjoinv("\n", parts), *path = file_of(notes, n);
    g_autofree char *text = g_strdup_printf(
        "%s%s\n", *spl_csv_text(csv, 1) == 'H' ? "Scarth Wood, 14 July\n" : "", lines);

    assert_true(g_file_set_contents(path, text, -1, NULL));
}

static struct spl_csv *open_cases(void)
{
    g_autoptr(GError) error = NULL;
    struct spl_csv *csv = spl_csv_open(SPL_SOURCE_DIR "/tests/data/note_lines.csv", &error);

    need(csv != NULL, error);
    return csv;
}

/* TRUE of what is said otherwise in the units of the US: a bare fluid ounce is theirs. */
static gboolean is_by_units(const struct spl_csv *csv)
{
    return strstr(spl_csv_text(csv, 2), "2 fl oz") != NULL;
}

static void expect_lines(struct notes *notes, gboolean us)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_csv) written = open_cases(), csv = open_cases();
    GArray *rows[CALLS], *dated = NULL;
    int n = 0, wrong = 0;

    open_book(notes, SPL_HOUSE_READ);
    for (; spl_csv_next(written, &error); n++)
        write_case(notes, n, written);
    expect_ok(error);
    assert_int_equal(n, CASES);
    for (int call = 0; call < CALLS; call++)
        rows[call] = read_cases(notes, call, FALSE);
    for (n = 0; spl_csv_next(csv, &error); n++) {
        g_autofree char *differs = NULL, *path = file_of(notes, n);

        if (*spl_csv_text(csv, 1) == 'W' && dated == NULL)
            dated = read_cases(notes, n % CALLS, TRUE);
        differs = compare(csv, last_of(*spl_csv_text(csv, 1) == 'W' ? dated : rows[n % CALLS], n));
        if (us && is_by_units(csv))
            assert_non_null(strstr(differs, "B27-002 topped up 59.1 mL"));
        else if (differs != NULL)
            print_error("%s\n", differs);
        wrong += differs != NULL && !(us && is_by_units(csv));
        g_remove(path);
    }
    expect_ok(error);
    for (int call = 0; call < CALLS; call++)
        done(rows[call]);
    done(dated);
    assert_int_equal(wrong, 0);
}

static void test_every_line_reads_as_it_is_said(void **state)
{
    expect_lines(*state, FALSE);
}

/* 2 US fluid ounces are 59.147 mL: NIST Handbook 44, appendix C. */
static void test_every_line_reads_the_same_in_a_book_of_us_units(void **state)
{
    struct notes *notes = *state;

    open_book(notes, SPL_HOUSE_WRITE);
    set(notes, "units", "us");
    expect_lines(notes, TRUE);
    open_book(notes, SPL_HOUSE_WRITE);
    set(notes, "units", "metric");
}

/* The manual's own examples ---------------------------------------------------------------------
 */

/* "| `line` | reading |": the two, or FALSE of what is no example. */
static gboolean example_of(const char *row, char **line, char **reading)
{
    g_auto(GStrv) cells = g_strsplit(row, " | ", 3);

    if (!g_str_has_prefix(row, "| `") || g_strv_length(cells) != 2)
        return FALSE;
    *line = g_strndup(cells[0] + 3, strlen(cells[0]) - 4);
    *reading = g_strndup(cells[1], strlen(cells[1]) - 2);
    return TRUE;
}

/* Each in a reading of its own, as the manual says it: kind or state, then what it says. */
static void test_every_example_of_the_manual_reads_so(void **state)
{
    struct notes *notes = *state;
    g_autofree char *page = NULL;
    g_auto(GStrv) rows = NULL;
    int n = 0, wrong = 0;

    open_book(notes, SPL_HOUSE_READ);
    assert_true(g_file_get_contents(SPL_SOURCE_DIR "/data/manual/notes.md", &page, NULL, NULL));
    rows = g_strsplit(page, "\n", -1);
    for (guint i = 0; rows[i] != NULL; i++) {
        g_autofree char *line = NULL, *reading = NULL, *text = NULL, *got = NULL;
        const struct spl_note_row *row;
        GArray *read;

        if (!example_of(rows[i], &line, &reading))
            continue;
        n++;
        text = g_strdup_printf("Scarth Wood, 14 July 2027\n%s\n", line);
        read = read_text(notes, text, FALSE);
        row = row_at(read, 0)->line == 2 ? row_at(read, 0) : row_at(read, read->len - 1);
        got = row->state == SPL_NOTE_READABLE
                  ? g_strdup_printf("%s: %s", spl_note_kind_names[row->kind], row->record)
                  : g_strdup_printf("%s: %s", spl_note_state_names[row->state], row->reason);
        /* Of a refusal the manual may leave the word out that it names first. */
        if (!g_str_has_prefix(got, reading) &&
            (row->state == SPL_NOTE_READABLE || strchr(reading, ' ') == NULL ||
             strncmp(got, reading, (gsize)(strchr(reading, ' ') - reading)) != 0 ||
             strstr(got, strchr(reading, ' ') + 1) == NULL)) {
            print_error("%s: %s, expected %s (%s)\n", line, got, reading, or_empty(row->reason));
            wrong++;
        }
        done(read);
    }
    assert_true(n >= 60);
    assert_int_equal(wrong, 0);
}

/* Once and no more ------------------------------------------------------------------------------
 */

static int harvests(struct notes *notes)
{
    g_autoptr(GError) error = NULL;
    struct spl_book_info info;
    int n;

    need(spl_book_describe(notes->house, &info, &error), error);
    n = info.harvests;
    spl_record_clear(&spl_book_info_shape, &info);
    return n;
}

static void expect_state(const struct spl_note_row *row, enum spl_note_state state)
{
    if (row->state != state)
        fail_msg("line %d (%s) is %s, expected %s: %s", row->line, row->text,
                 spl_note_state_names[row->state], spl_note_state_names[state],
                 or_empty(row->reason));
}

/* Reads, and expects the states of the lines in order ('r' readable, 'w' written, 'a' again, '?'
 * asked, 'x' refused, 'c' context, 'l' left). */
static GArray *expect_read(struct notes *notes, const char *text, gboolean apply,
                           const char *states)
{
    static const char letters[] = "rwa?xcl";
    GArray *rows = read_text(notes, text, apply);

    if (rows->len != strlen(states))
        fail_msg("%u rows, expected '%s'", rows->len, states);
    for (guint i = 0; i < rows->len; i++)
        expect_state(row_at(rows, i), (enum spl_note_state)(strchr(letters, states[i]) - letters));
    return rows;
}

static void test_two_equal_lines_are_two_and_read_again_none(void **state)
{
    struct notes *notes = *state;
    static const char text[] = "Scarth Wood, 14 July\ngillbell 200g full flower\n"
                               "gillbell 200g full flower\n";
    int before;

    open_book(notes, SPL_HOUSE_WRITE);
    before = harvests(notes);
    done(expect_read(notes, text, FALSE, "crr"));
    assert_int_equal(harvests(notes), before);
    done(expect_read(notes, text, TRUE, "cww"));
    assert_int_equal(harvests(notes), before + 2);
    done(expect_read(notes, text, TRUE, "caa"));
    /* Other words of the same lines in another file: no more of them than there are. */
    done(expect_read(notes, "full flower gillbell 0.2 kg, Scarth Wood 14 July 2027; wet\n", TRUE,
                     "a"));
    assert_int_equal(harvests(notes), before + 2);
    done(expect_read(notes, "Scarth Wood 14 July gillbell 200 g full flower (third)\n", TRUE, "w"));
    assert_int_equal(harvests(notes), before + 3);
}

static void test_an_edited_line_is_asked_about(void **state)
{
    struct notes *notes = *state;
    int before;
    GArray *rows;

    open_book(notes, SPL_HOUSE_WRITE);
    done(expect_read(notes, "Withy Gill 13 July thrangs 400g ripe\n", TRUE, "w"));
    before = harvests(notes);
    rows = expect_read(notes, "Withy Gill 13 July thrangs 450g ripe\n", TRUE, "?");
    assert_non_null(strstr(row_at(rows, 0)->reason, "thrangs 400g ripe"));
    done(rows);
    assert_int_equal(harvests(notes), before);
    done(expect_read(notes, "Withy Gill 13 July thrangs 450g ripe (second)\n", TRUE, "w"));
    /* Where the old line still stands in the file, the other is another. */
    done(expect_read(notes,
                     "Withy Gill 13 July thrangs 400g ripe\nWithy Gill 13 July thrangs 90g ripe\n"
                     "Withy Gill 13 July thrangs 450g ripe (second)\n",
                     TRUE, "awa"));
}

static void test_a_line_of_a_slip_is_taken_changed_and_struck_by_its_identity(void **state)
{
    struct notes *notes = *state;
    g_autoptr(GError) error = NULL;
    g_autofree char *code = NULL;
    struct spl_harvest harvest;
    GArray *rows;

    open_book(notes, SPL_HOUSE_WRITE);
    rows = expect_read(notes,
                       "2027-07-14 Scarth Wood: fellwort flower 600 g, full flower [a7k3-q2-05]\n"
                       "2027-07-14 Scarth Wood: fellwort flower 600 g, full flower [a7k3-q2-05]\n"
                       "2027-07-14 Scarth Wood: fellwort flower 600 g, full flower [a7k3-r9-05]\n",
                       TRUE, "waw");
    code = g_strdup(row_at(rows, 0)->code);
    done(rows);
    rows = expect_read(
        notes, "2027-07-14 Scarth Wood: fellwort flower 650 g, full flower [a7k3-q2-05.2]\n", TRUE,
        "w");
    assert_string_equal(row_at(rows, 0)->code, code);
    done(rows);
    need(spl_harvest_show(notes->house, code, &harvest, &error), error);
    expect_near(harvest.weight_g, 650, 1e-9, "g");
    /* RFC 4122 4.3 by Python's uuid.uuid5(UUID('6d0c6c52-3f0e-4f0b-9a57-1f1f0b8e2c41'),
     * 'a7k3-q2-5'). */
    assert_string_equal(harvest.uuid, "271770ab-e2d3-5b53-a89c-a10ba510ffd1");
    spl_record_clear(&spl_harvest_shape, &harvest);
    /* What is older than what is known changes nothing back. */
    done(expect_read(notes,
                     "2027-07-14 Scarth Wood: fellwort flower 600 g, full flower [a7k3-q2-05]\n",
                     TRUE, "a"));
    done(expect_read(notes, "[a7k3-q2-05 struck]\n", TRUE, "w"));
    done(expect_read(notes,
                     "[a7k3-q2-05 struck]\n"
                     "2027-07-14 Scarth Wood: fellwort flower 650 g, full flower [a7k3-q2-05.2]\n"
                     "[a7k3-q2-77 struck]\n",
                     TRUE, "aal"));
    need(spl_harvest_show(notes->house, code, &harvest, &error), error);
    assert_non_null(harvest.struck);
    spl_record_clear(&spl_harvest_shape, &harvest);
}

static void test_what_a_slip_writes_behind_the_semicolon_has_its_place(void **state)
{
    struct notes *notes = *state;
    g_autoptr(GError) error = NULL;
    struct spl_harvest harvest;
    GArray *rows;

    open_book(notes, SPL_HOUSE_WRITE);
    rows = expect_read(notes,
                       "2027-07-13 Withy Gill: gillbell 300 g, full flower; by Corin; signs: five "
                       "petals, milk; 19:42; hot day [a7k3-q2-01]\n",
                       TRUE, "w");
    need(spl_harvest_show(notes->house, row_at(rows, 0)->code, &harvest, &error), error);
    assert_string_equal(harvest.by, "Corin");
    assert_string_equal(harvest.named_by, "Corin");
    assert_string_equal(harvest.signs, "five petals, milk");
    assert_string_equal(harvest.remark, "19:42; hot day");
    spl_record_clear(&spl_harvest_shape, &harvest);
    done(rows);
}

static void test_a_door_that_refuses_leaves_the_other_lines(void **state)
{
    struct notes *notes = *state;
    GArray *rows;

    open_book(notes, SPL_HOUSE_WRITE);
    rows = expect_read(notes,
                       "Low Croft 12 July\nfellwort leaf 100 g rosette\nB27-999 shaken\n"
                       "fellwort leaf 50 g rosette\nHigh Croft sprayed?\n",
                       TRUE, "xcwxw");
    assert_true(row_at(rows, 0)->warning);
    assert_int_equal(row_at(rows, 0)->line, 5);
    assert_non_null(strstr(row_at(rows, 3)->reason, "B27-999"));
    assert_int_equal(row_at(rows, 2)->site_line, 1);
    assert_int_equal(row_at(rows, 2)->date_line, 1);
    done(rows);
}

/* A day is fouled ground's too: the harvest below the spraying is refused, as the command refuses
 * it. */
static void test_closed_ground_is_closed_to_notes_too(void **state)
{
    struct notes *notes = *state;
    GArray *rows;

    open_book(notes, SPL_HOUSE_WRITE);
    rows = expect_read(notes,
                       "Thrang Lane 10 July\nsprayed 9 July, man with a tank\n"
                       "gillbell 70 g full flower\n",
                       FALSE, "crx");
    assert_string_equal(row_at(rows, 1)->record, "sprayed, source: man with a tank");
    assert_non_null(strstr(row_at(rows, 2)->reason, "spray"));
    done(rows);
}

/* Bytes -----------------------------------------------------------------------------------------
 */

static void expect_refused(struct notes *notes, const char *bytes, gsize size, int code,
                           const char *part)
{
    GError *error = NULL;
    GArray *rows = try_read(notes, bytes, (gssize)size, FALSE, SPL_DAY_NONE, &error);

    assert_null(rows);
    expect_error(error, code, part);
}

static void test_what_is_no_text_is_refused_whole(void **state)
{
    struct notes *notes = *state;
    g_autofree char *large = g_strnfill(1024 * 1024 + 1, 'a');
    g_autofree char *lines = g_strnfill(6000, '\n');

    open_book(notes, SPL_HOUSE_READ);
    expect_refused(notes, "%PDF-1.7\n", 9, SPL_ERROR_CORRUPT, "no plain text");
    expect_refused(notes, "PK\x03\x04 zip", 8, SPL_ERROR_CORRUPT, "no plain text");
    expect_refused(notes, "\x89PNG\r\n", 6, SPL_ERROR_CORRUPT, "no plain text");
    expect_refused(notes, "a\0b", 3, SPL_ERROR_CORRUPT, "no plain text");
    expect_refused(notes, large, strlen(large), SPL_ERROR_LIMIT, "notes.txt");
    expect_refused(notes, lines, strlen(lines), SPL_ERROR_LIMIT, "lines");
}

static void test_the_bytes_of_any_phone_are_read(void **state)
{
    struct notes *notes = *state;
    static const char utf16[] = "\xff\xfeW\0i\0t\0h\0y\0 \0G\0i\0l\0l\0";
    g_autofree char *longer = g_strnfill(2100, 'a');
    GArray *rows;

    open_book(notes, SPL_HOUSE_READ);
    /* A mark, each end of a line, and Windows-1252's half and curly quote. */
    done(expect_read(notes, "\xef\xbb\xbfScarth Wood, 14 July\r\ngillbell in bud\rgillbell ripe\f",
                     FALSE, "crr"));
    rows = expect_read(notes,
                       "Scarth Wood, 14 July\nfellwort leaf \xbd lb rosette\n"
                       "St Osk\x92s wort tops 90 g full flower\n",
                       FALSE, "crr");
    assert_non_null(strstr(row_at(rows, 1)->record, "226.8 g"));
    done(rows);
    rows = try_read(notes, utf16, sizeof utf16 - 1, FALSE, SPL_DAY_NONE, NULL);
    assert_non_null(rows);
    expect_state(row_at(rows, 0), SPL_NOTE_CONTEXT);
    done(rows);
    rows = expect_read(notes, longer, FALSE, "x");
    assert_non_null(strstr(row_at(rows, 0)->reason, "2000"));
    done(rows);
}

/* A place called Oak: what the line leaves of its two meanings. */
static void test_a_place_may_be_called_as_a_plant_is(void **state)
{
    struct notes *notes = *state;
    GArray *rows;

    open_book(notes, SPL_HOUSE_WRITE);
    add_site(notes, "Oak", "54.6201,-2.6010");
    add_site(notes, "Kell (north); by the mill", "54.6301,-2.6010");
    rows = expect_read(notes,
                       "2027-07-14 Oak: gillbell 300 g, full flower\n" /* the place */
                       "Oak 15 July\n"                                 /* heads */
                       "gillbell in bud\n"
                       "14 July Withy Gill oak in leaf\n" /* the plant */
                       "14 July oak in leaf\n"            /* either */
                       "2027-07-14 Kell north by the mill: gillbell 300 g, full flower\n",
                       FALSE, "rcrr?r");
    assert_string_equal(row_at(rows, 5)->site, "Kell (north); by the mill");
    assert_string_equal(row_at(rows, 0)->site, "Oak");
    assert_string_equal(row_at(rows, 2)->site, "Oak");
    assert_string_equal(row_at(rows, 3)->site, "Withy Gill");
    assert_non_null(strstr(row_at(rows, 3)->record, "oak/"));
    done(rows);
}

/* What a slip writes of each place is read as that place, however it is called. */
static void test_a_place_may_be_called_as_a_day_or_an_amount_begins(void **state)
{
    static const char *const names[] = {"14 July Field",  "Monday Wood", "2 Bags Wood",
                                        "3 Acre Hag",     "1 May Field", "2 kg Stone",
                                        "Half Mile Gill", "7 Sisters",   "Last Monday Croft"};
    struct notes *notes = *state;

    open_book(notes, SPL_HOUSE_WRITE);
    for (gsize i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *at = g_strdup_printf("54.%d,-2.6010", 6201 + (int)i * 10);

        add_site(notes, names[i], at);
    }
    for (gsize i = 0; i < G_N_ELEMENTS(names); i++) {
        const struct spl_slip_line line = {.day = spl_day_from_ymd(2027, 7, 14),
                                           .place = names[i],
                                           .what = "gillbell flower 2 bags, full flower",
                                           .tag = {"b8m4", "q2", (int)i + 1, 1, FALSE}};
        g_autofree char *text = spl_slip_line_write(&line);
        GArray *rows = expect_read(notes, text, FALSE, "r");

        assert_string_equal(row_at(rows, 0)->site, names[i]);
        assert_int_equal(row_at(rows, 0)->date.n, line.day.n);
        assert_non_null(strstr(row_at(rows, 0)->record, "2 bags"));
        done(rows);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_line_reads_as_it_is_said),
        cmocka_unit_test(test_every_line_reads_the_same_in_a_book_of_us_units),
        cmocka_unit_test(test_every_example_of_the_manual_reads_so),
        cmocka_unit_test(test_two_equal_lines_are_two_and_read_again_none),
        cmocka_unit_test(test_an_edited_line_is_asked_about),
        cmocka_unit_test(test_a_line_of_a_slip_is_taken_changed_and_struck_by_its_identity),
        cmocka_unit_test(test_what_a_slip_writes_behind_the_semicolon_has_its_place),
        cmocka_unit_test(test_a_door_that_refuses_leaves_the_other_lines),
        cmocka_unit_test(test_closed_ground_is_closed_to_notes_too),
        cmocka_unit_test(test_what_is_no_text_is_refused_whole),
        cmocka_unit_test(test_the_bytes_of_any_phone_are_read),
        cmocka_unit_test(test_a_place_may_be_called_as_a_plant_is),
        cmocka_unit_test(test_a_place_may_be_called_as_a_day_or_an_amount_begins),
    };

    return cmocka_run_group_tests(tests, set_up, tear_down);
}

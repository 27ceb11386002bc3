/* SPDX-License-Identifier: MIT
 *
 * Photos as a person adds them: kept beside the book by their hash, small in it, offered and not
 * taken over, missing after a merge and said so. EXIF is written by the program `exif`, HEIC by
 * `heif-enc`, hashes are those of sha256sum.
 */
#include "cli.h"

#include <sys/stat.h>

#include "photo_make.h"

static void put(struct cli *cli, const char *name, const void *bytes, gsize size)
{
    g_autofree char *path = g_build_filename(cli->folder, name, NULL);

    assert_true(g_file_set_contents(path, bytes, (gssize)size, NULL));
}

static void put_jpeg(struct cli *cli, const char *name)
{
    GByteArray *bytes = photo_jpeg(800, 600);

    put(cli, name, bytes->data, bytes->len);
    g_byte_array_unref(bytes);
}

/* Another program in the test's folder; what it printed, free with g_free. NULL: it is not there.
 */
static char *other(struct cli *cli, const char *line)
{
    g_auto(GStrv) args = NULL;
    g_autofree char *found = NULL;
    char *out = NULL;

    assert_true(g_shell_parse_argv(line, NULL, &args, NULL));
    found = g_find_program_in_path(args[0]);
    if (found == NULL)
        return NULL;
    assert_true(g_spawn_sync(cli->folder, args, NULL,
                             G_SPAWN_SEARCH_PATH | G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, &out,
                             NULL, NULL, NULL));
    return out;
}

/* 14 June 2027 in the evening, 40 metres from Withy Gill, as a telephone writes it. */
static gboolean put_said(struct cli *cli, const char *name)
{
    static const char *const tags[] = {
        "--ifd=EXIF -t 0x9003 --set-value='2027:06:14 19:42:10'", "--ifd=GPS -t 1 --set-value=N",
        "--ifd=GPS -t 2 --set-value='54 1 36 1 43 10'",           "--ifd=GPS -t 3 --set-value=W",
        "--ifd=GPS -t 4 --set-value='2 1 35 1 158 10'",
    };
    put_jpeg(cli, name);
    for (gsize i = 0; i < G_N_ELEMENTS(tags); i++) {
        g_autofree char *line = g_strdup_printf("exif -c %s -o %s %s", tags[i], name, name);
        g_autofree char *out = other(cli, line);

        if (out == NULL)
            return FALSE;
    }
    return TRUE;
}

static char *hash_of(struct cli *cli, const char *name)
{
    g_autofree char *line = g_strconcat("sha256sum ", name, NULL);
    char *out = other(cli, line);

    assert_non_null(out);
    out[64] = '\0';
    return out;
}

static void add_harvest(struct cli *cli, const char *photo)
{
    g_autofree char *line = g_strdup_printf(
        "harvest add 'Withy Gill' nettle/leaf --weight 400g --stage 35 --photo %s", photo);

    cli_ok(cli, line);
}

static void a_photo_is_kept_beside_the_book_for_its_owner_alone(void **state)
{
    struct cli *cli = *state;
    g_autofree char *hash = NULL, *file = NULL, *inner = NULL, *folder = NULL, *sum = NULL;
    json_t *shown, *photo;
    struct stat there;

    cli_clear_site(cli, "Withy Gill");
    put_jpeg(cli, "leaf.jpg");
    hash = hash_of(cli, "leaf.jpg");
    add_harvest(cli, "leaf.jpg");
    shown = cli_json(cli, "harvest show H27-001 --json");
    photo = json_array_get(json_object_get(shown, "photos"), 0);
    assert_string_equal(json_text(photo, "of"), "H27-001");
    assert_string_equal(json_text(photo, "kind"), "jpeg");
    assert_string_equal(json_text(photo, "state"), "kept");
    assert_string_equal(json_text(photo, "sha256"), hash);
    expect_near(json_number(photo, "width"), 800, 0, "pixels");
    file = g_strdup(json_text(photo, "file"));
    sum = spl_file_checksum(file, NULL);
    assert_string_equal(sum, hash);
    assert_int_equal(stat(file, &there), 0);
    assert_int_equal(there.st_mode & 0777, 0600);
    inner = g_path_get_dirname(file);
    folder = g_path_get_dirname(inner);
    assert_int_equal(stat(inner, &there), 0);
    assert_int_equal(there.st_mode & 0777, 0700);
    assert_int_equal(stat(folder, &there), 0);
    assert_int_equal(there.st_mode & 0777, 0700);
    assert_true(g_str_has_prefix(folder, cli->book));
    json_decref(shown);
}

static void a_second_time_is_no_second_photo(void **state)
{
    struct cli *cli = *state;
    json_t *list;

    cli_clear_site(cli, "Withy Gill");
    put_jpeg(cli, "leaf.jpg");
    put(cli, "letter.png", photo_png, sizeof photo_png);
    add_harvest(cli, "leaf.jpg");
    cli_ok(cli, "photo add leaf.jpg H27-001");
    cli_ok(cli, "photo add letter.png H27-001");
    cli_ok(cli, "site permit 'Withy Gill' --given --by 'the tenant' --photo letter.png");
    cli_ok(cli, "stage note 'Withy Gill' nettle/leaf 35 --photo leaf.jpg");
    cli_ok(cli, "spray note 'Withy Gill' --kind unsprayed --source 'the tenant' --photo leaf.jpg");
    list = cli_json(cli, "photo list --json");
    assert_int_equal(json_array_size(list), 5);
    assert_string_equal(json_text(json_array_get(list, 2), "of"), "leave at Withy Gill");
    json_decref(list);
    list = cli_json(cli, "photo list H27-001 --json");
    assert_int_equal(json_array_size(list), 2);
    json_decref(list);
}

static void day_and_place_are_offered_and_not_taken_over(void **state)
{
    struct cli *cli = *state;
    json_t *json, *photo;
    g_autofree char *dump = NULL, *line = NULL;

    cli_clear_site(cli, "Withy Gill");
    if (!put_said(cli, "said.jpg"))
        skip();
    json = cli_json(cli, "photo look said.jpg --json");
    assert_string_equal(json_text(json, "taken"), "2027-06-14");
    assert_string_equal(json_text(json, "time"), "19:42");
    expect_near(json_number(json, "lat"), 54.601194, 1e-6, "degrees");
    expect_near(json_number(json, "lon"), -2.587722, 1e-6, "degrees");
    assert_string_equal(json_text(json, "site"), "Withy Gill");
    /* 0.00000556 deg of 111.3 km and 0.000622 deg of 64.5 km. */
    expect_near(json_number(json, "distance_m"), 40.1, 1, "m");
    json_decref(json);
    json = cli_json(cli, "harvest add 'Withy Gill' nettle/leaf --weight 400g --stage 35 --photo "
                         "said.jpg --json");
    assert_string_equal(json_text(json, "date"), CLI_TODAY);
    photo = json_array_get(json_object_get(json, "photos"), 0);
    assert_non_null(strstr(json_text(photo, "says"), "14 June 2027 at 19:42"));
    assert_non_null(strstr(json_text(photo, "says"), "another day"));
    assert_non_null(strstr(json_text(photo, "says"), "40 m from Withy Gill"));
    json_decref(json);
    /* The small picture in the book, by the same program that wrote into the large one. */
    line = g_strdup_printf("sqlite3 %s 'SELECT small FROM photo'", cli->book);
    dump = other(cli, line);
    if (dump != NULL) {
        gsize size;
        g_autofree guint8 *small = g_base64_decode(dump, &size);
        g_autofree char *read = NULL;

        put(cli, "small.jpg", small, size);
        read = other(cli, "exif -m small.jpg");
        assert_true(read == NULL || *read == '\0');
        g_free(read);
        read = other(cli, "exif -m said.jpg");
        assert_non_null(strstr(read, "Latitude"));
    }
}

static void a_heic_is_kept_and_shown_where_it_can_be(void **state)
{
    struct cli *cli = *state;
    g_autofree char *made = NULL;
    json_t *json;

    if (!put_said(cli, "said.jpg") || (made = other(cli, "heif-enc said.jpg -o said.heic")) == NULL)
        skip();
    cli_clear_site(cli, "Withy Gill");
    json = cli_json(cli, "photo look said.heic --json");
    assert_string_equal(json_text(json, "kind"), "heic");
    if (*json_text(json, "unseen") == '\0') {
        assert_string_equal(json_text(json, "taken"), "2027-06-14");
        expect_near(json_number(json, "lat"), 54.601194, 1e-6, "degrees");
        expect_near(json_number(json, "width"), 800, 0, "pixels");
    } else {
        assert_non_null(strstr(json_text(json, "unseen"), "libheif"));
    }
    json_decref(json);
    add_harvest(cli, "said.heic");
    cli_ok(cli, "book check");
}

static void bad_files_are_refused_and_leave_nothing(void **state)
{
    struct cli *cli = *state;
    GByteArray *bytes = photo_jpeg(800, 600);
    g_autofree char *folder = g_strconcat(cli->book, ".photos", NULL);

    cli_clear_site(cli, "Withy Gill");
    put(cli, "short.jpg", bytes->data, bytes->len / 2);
    put(cli, "text.jpg", "no photo\n", 9);
    put(cli, "empty.jpg", "", 0);
    put(cli, "whole.jpg", bytes->data, bytes->len);
    cli_refused(cli, "photo look short.jpg", 2, "short.jpg: is cut short");
    cli_refused(cli, "stage note 'Withy Gill' nettle/leaf 35 --photo text.jpg", 2,
                "text.jpg: is no photo; JPEG, PNG and HEIC are taken");
    cli_refused(cli, "stage note 'Withy Gill' nettle/leaf 35 --photo empty.jpg", 2, "is no photo");
    cli_refused(cli, "stage note 'Withy Gill' nettle/leaf 35 --photo none.jpg", 1, "none.jpg");
    cli_refused(cli, "stage note 'Withy Gill' nettle/leaf 35 --photo .", 2, "folder");
    /* The photo is whole, the entry is not: nothing stays beside the book. */
    cli_refused(cli, "site permit 'Withy Gyll' --given --by 'the tenant' --photo whole.jpg", 1,
                "Withy Gyll");
    cli_refused(cli, "photo add whole.jpg", 1, "no entry has this photo");
    cli_refused(cli, "photo add whole.jpg H27-009", 1, "H27-009");
    if (g_file_test(folder, G_FILE_TEST_EXISTS)) {
        g_autofree char *line = g_strdup_printf("find %s -type f", folder);
        g_autofree char *found = other(cli, line);

        assert_string_equal(found, "");
    }
    g_byte_array_unref(bytes);
}

static char *file_of(struct cli *cli)
{
    json_t *list = cli_json(cli, "photo list --json");
    char *file = g_strdup(json_text(json_array_get(list, 0), "file"));

    json_decref(list);
    return file;
}

static void missing_and_altered_files_are_found_and_put_back(void **state)
{
    struct cli *cli = *state;
    g_autofree char *file = NULL;

    cli_clear_site(cli, "Withy Gill");
    put_jpeg(cli, "leaf.jpg");
    add_harvest(cli, "leaf.jpg");
    cli_ok(cli, "book check");
    file = file_of(cli);
    assert_int_equal(g_unlink(file), 0);
    assert_int_not_equal(cli_run(cli, "book check"), 0);
    assert_non_null(strstr(cli->out, "H27-001: the file of its photo"));
    assert_non_null(strstr(cli->out, "is missing"));
    assert_non_null(strstr(cli_ok(cli, "photo list"), "missing"));
    cli_ok(cli, "photo add leaf.jpg");
    cli_ok(cli, "book check");
    assert_true(g_file_set_contents(file, "another", -1, NULL));
    assert_int_not_equal(cli_run(cli, "book check"), 0);
    assert_non_null(strstr(cli->out, "no longer what was taken in"));
    cli_ok(cli, "photo add leaf.jpg H27-001");
    cli_ok(cli, "book check");
}

static void a_backup_has_the_photos_and_an_export_only_when_said(void **state)
{
    struct cli *cli = *state;
    g_autofree char *beside = g_build_filename(cli->folder, "without", "book.photos", NULL);
    g_autofree char *table = g_build_filename(cli->folder, "without", "photo.csv", NULL);
    g_autofree char *text = NULL;

    cli_clear_site(cli, "Withy Gill");
    put_jpeg(cli, "leaf.jpg");
    add_harvest(cli, "leaf.jpg");
    cli_ok(cli, "book backup copy.db");
    cli_ok(cli, "book check --book copy.db");
    assert_non_null(strstr(cli_ok(cli, "photo list --book copy.db"), "kept"));
    cli_ok(cli, "book export without");
    assert_false(g_file_test(beside, G_FILE_TEST_EXISTS));
    assert_true(g_file_get_contents(table, &text, NULL, NULL));
    assert_null(strstr(text, "/9j/")); /* how every JPEG begins in base64 */
    cli_ok(cli, "book export with --photos");
    cli_ok(cli, "book import with --book again.db");
    assert_non_null(strstr(cli_ok(cli, "photo list --book again.db"), "kept"));
    cli_ok(cli, "book check --book again.db");
    cli_ok(cli, "book import without --book bare.db");
    assert_non_null(strstr(cli_ok(cli, "photo list --book bare.db"), "missing"));
}

static void a_merge_brings_the_small_picture_and_says_so(void **state)
{
    struct cli *cli = *state;

    cli_clear_site(cli, "Withy Gill");
    put_jpeg(cli, "leaf.jpg");
    add_harvest(cli, "leaf.jpg");
    cli_ok(cli, "book init --mark BOB --book bob.db");
    cli_ok(cli, "book merge book.db --book bob.db");
    assert_non_null(strstr(cli->out, "1 came as small pictures"));
    assert_non_null(strstr(cli_ok(cli, "photo list --book bob.db"), "missing"));
    /* Another's file is no fault of this book. */
    cli_ok(cli, "book check --book bob.db");
    cli_ok(cli, "photo add leaf.jpg --book bob.db");
    assert_non_null(strstr(cli_ok(cli, "photo list --book bob.db"), "kept"));
    /* Both let the same photo go with the same entry: it is one. */
    put(cli, "letter.png", photo_png, sizeof photo_png);
    cli_ok(cli, "photo add letter.png ANN:H27-001 --book bob.db");
    cli_ok(cli, "photo add letter.png H27-001");
    cli_ok(cli, "book merge bob.db");
    {
        json_t *list = cli_json(cli, "photo list H27-001 --json");

        assert_int_equal(json_array_size(list), 2);
        json_decref(list);
    }
    cli_ok(cli, "book check");
}

static void a_lots_dossier_shows_them(void **state)
{
    struct cli *cli = *state;
    g_autofree char *path = g_build_filename(cli->folder, "lot.svg", NULL), *svg = NULL;

    cli_ok(cli, "demo season");
    put_jpeg(cli, "leaf.jpg");
    put_jpeg(cli, "other.jpg");
    put(cli, "letter.png", photo_png, sizeof photo_png);
    cli_ok(cli, "photo add leaf.jpg H26-004 --book season/book.db");
    cli_ok(cli, "photo add letter.png N26-008 --book season/book.db");
    cli_ok(cli, "photo add other.jpg H27-001 --book season/book.db");
    cli_ok(cli, "draw lot L26-006 --out lot.svg --book season/book.db");
    assert_true(g_file_get_contents(path, &svg, NULL, NULL));
    assert_non_null(strstr(svg, "<image"));
    cli_ok(cli, "draw lot L26-006 --out lot.pdf --book season/book.db");
    {
        g_autofree char *text = other(cli, "pdftotext lot.pdf -");

        if (text == NULL)
            return;
        assert_non_null(strstr(text, "Photos"));
        assert_non_null(strstr(text, "H26-004; its file is kept"));
        assert_non_null(strstr(text, "N26-008, Fold Lane; its file is kept"));
        assert_null(strstr(text, "H27-001;"));
    }
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cli_test(a_photo_is_kept_beside_the_book_for_its_owner_alone),
        cli_test(a_second_time_is_no_second_photo),
        cli_test(day_and_place_are_offered_and_not_taken_over),
        cli_test(a_heic_is_kept_and_shown_where_it_can_be),
        cli_test(bad_files_are_refused_and_leave_nothing),
        cli_test(missing_and_altered_files_are_found_and_put_back),
        cli_test(a_backup_has_the_photos_and_an_export_only_when_said),
        cli_test(a_merge_brings_the_small_picture_and_says_so),
        cli_test(a_lots_dossier_shows_them),
    };

    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* SPDX-License-Identifier: MIT
 *
 * What stands in the file of a slip is what `check` says of the same book: for each place, class of
 * plant and day, of twenty random books. */
#include "slip_book.h"

/* What the slip's file says of a class of the place on a day: its word; NULL: nothing. The page is
 * read as text here, without what wrote it. */
static char *told(const char *page, const char *place, const char *class, struct spl_day day)
{
    g_autofree char *start = g_strdup_printf("data-place=\"%s\"", place);
    g_autofree char *list = g_strdup_printf("data-class=\"%s\">\n<li data-f=", class);
    const char *at = strstr(page, start), *end;
    char text[SPL_DAY_TEXT_SIZE];

    assert_non_null(at);
    end = strstr(at, "</article>");
    at = strstr(at, list);
    assert_true(at != NULL && at < end);
    end = strstr(at, "</ul>");
    spl_day_format(day, text);
    for (at = strstr(at, "<li data-f=\""); at != NULL && at < end;
         at = strstr(at + 1, "<li data-f=\"")) {
        const char *first = at + strlen("<li data-f=\""), *last = strstr(first, "data-l=\"") + 8;
        const char *verdict = strstr(last, "data-v=\"") + 8;

        if (strncmp(first, text, 10) <= 0 && strncmp(text, last, 10) <= 0)
            return g_strndup(verdict, strcspn(verdict, "\""));
    }
    return NULL;
}

static enum spl_verdict checked(struct spl_house *house, const char *site, const char *material,
                                struct spl_day day)
{
    const struct spl_check_question question = {
        .site = site, .material = material, .on = day, .near_m = NAN};
    struct spl_check check;
    enum spl_verdict verdict;
    GError *error = NULL;

    if (!spl_check_site(house, &question, &check, &error))
        fail_msg("%s", error->message);
    verdict = check.verdict;
    spl_record_clear(&spl_check_shape, &check);
    return verdict;
}

/* One place of a slip against the book: the place itself and a material of each class on each day.
 */
static void compare(struct spl_house *house, const struct spl_slip *slip, const char *page,
                    const struct spl_slip_place *place, int seen[SPL_VERDICT_CLOSED + 1])
{
    guint told_of = 0; /* classes, as bits */

    for (int i = -1; i < (int)place->materials->len; i++) {
        const struct spl_slip_material *one =
            i < 0 ? NULL : &g_array_index(place->materials, struct spl_slip_material, (guint)i);
        g_autofree char *class = g_strdup_printf("%d", one != NULL ? one->class : 0);

        if (one != NULL && (told_of & 1u << one->class) != 0)
            continue;
        if (one != NULL)
            told_of |= 1u << one->class;

        for (struct spl_day day = slip->first; day.n <= slip->last.n; day = spl_day_add(day, 1)) {
            enum spl_verdict wanted =
                checked(house, place->name, one != NULL ? one->material : NULL, day);
            g_autofree char *got = told(page, place->name, class, day);

            if (g_strcmp0(got, spl_verdict_names[wanted]) != 0)
                fail_msg("%s, %s, day %d: the slip says %s, check says %s", place->name,
                         one != NULL ? one->material : "the place", day.n - TODAY, got,
                         spl_verdict_names[wanted]);
            seen[wanted]++;
        }
    }
}

static void a_slip_says_what_check_says(void **state)
{
    g_autofree char *folder = g_dir_make_tmp("spl-slip-XXXXXX", NULL);
    g_autoptr(GRand) rand = g_rand_new_with_seed(270620);
    int seen[SPL_VERDICT_CLOSED + 1] = {0};
    guint materials = 0;

    (void)state;
    for (int book = 0; book < 20; book++) {
        g_autofree char *path = g_strdup_printf("%s/%d.db", folder, book);
        g_autofree char *out = g_strdup_printf("%s/%d.html", folder, book), *page = NULL;
        struct spl_house *house = new_book(path, book % 3 == 0 ? "US-VT" : "GB");
        struct spl_slip_words words = {
            .out = out, .outing = SPL_DAY_NONE, .days = SPL_COUNT_NONE, .from = SPL_DAY_NONE};
        struct spl_slip_written written;
        struct spl_slip slip;
        GError *error = NULL;

        for (int i = 0; i < SITES; i++) {
            g_autofree char *name = g_strdup_printf("Place %c", 'A' + i);

            add_place(rand, house, name, i);
        }
        if (!spl_slip_write(house, &words, &written, &error))
            fail_msg("%s", error->message);
        assert_int_equal(written.places, SITES);
        assert_int_equal(spl_day_diff(written.last, written.first), DAYS - 1);
        spl_record_clear(&spl_slip_written_shape, &written);
        assert_true(g_file_get_contents(out, &page, NULL, NULL));
        assert_true(spl_slip_make(house, &words, &slip, &error));
        for (guint i = 0; i < slip.places->len; i++) {
            const struct spl_slip_place *place =
                &g_array_index(slip.places, struct spl_slip_place, i);

            materials += place->materials->len;
            compare(house, &slip, page, place, seen);
        }
        spl_record_clear(&spl_slip_shape, &slip);
        spl_house_close(house);
        g_unlink(path);
        g_unlink(out);
    }
    g_rmdir(folder);
    /* Else this would prove little. */
    assert_true(materials > 20 * SITES * 3);
    assert_true(seen[SPL_VERDICT_CLEAR] > 300 && seen[SPL_VERDICT_ASK] > 300 &&
                seen[SPL_VERDICT_CLOSED] > 50);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_slip_says_what_check_says),
};
expect_main(tests)

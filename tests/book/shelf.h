/* SPDX-License-Identifier: MIT
 *
 * A book in a folder of its own for each test, with the shortest ways to fill it.
 */
#ifndef SPL_TESTS_BOOK_SHELF_H
#define SPL_TESTS_BOOK_SHELF_H

#include <glib/gstdio.h>
#include <math.h>

#include "book/book.h"
#include "book/harvest.h"
#include "book/setting.h"
#include "book/site.h"
#include "expect.h"

struct shelf {
    char *folder, *path;
};

static inline int shelf_set_up(void **state)
{
    struct shelf *shelf = g_new0(struct shelf, 1);
    g_autoptr(GError) error = NULL;
    struct spl_book *book;

    shelf->folder = g_dir_make_tmp("spl-book-XXXXXX", NULL);
    shelf->path = g_build_filename(shelf->folder, "book.db", NULL);
    book = spl_book_open(shelf->path, SPL_BOOK_MAKE, &error);
    expect_ok(error);
    assert_true(spl_book_begin(book, &error));
    assert_true(spl_setting_set(book, "mark", "ANN", &error));
    assert_true(spl_book_commit(book, &error));
    spl_book_close(book);
    *state = shelf;
    return 0;
}

static inline int shelf_tear_down(void **state)
{
    struct shelf *shelf = *state;
    g_autoptr(GDir) dir = g_dir_open(shelf->folder, 0, NULL);
    const char *name;

    g_chmod(shelf->folder, 0700);
    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(shelf->folder, name, NULL);

        g_unlink(path);
    }
    g_rmdir(shelf->folder);
    g_free(shelf->folder);
    g_free(shelf->path);
    g_free(shelf);
    return 0;
}

static inline struct spl_book *shelf_open(struct shelf *shelf, enum spl_book_mode mode)
{
    g_autoptr(GError) error = NULL;
    struct spl_book *book = spl_book_open(shelf->path, mode, &error);

    expect_ok(error);
    assert_non_null(book);
    return book;
}

/* Adds a site at 54.6 N 2.6 W; returns its id. */
static inline gint64 shelf_site(struct spl_book *book, const char *name)
{
    g_autoptr(GError) error = NULL;
    struct spl_site site = {.name = g_strdup(name),
                            .lat = 54.6,
                            .lon = -2.6,
                            .elevation_m = NAN,
                            .accuracy_m = NAN,
                            .contaminated_on = SPL_DAY_NONE};
    gint64 id;

    assert_true(spl_book_begin(book, &error));
    assert_true(spl_site_add(book, &site, &error));
    assert_true(spl_book_commit(book, &error));
    id = site.id;
    spl_record_clear(&spl_site_shape, &site);
    return id;
}

/* Logs a harvest of nettle leaf; returns its code (free it). */
static inline char *shelf_harvest(struct spl_book *book, gint64 site_id, struct spl_day day,
                                  double weight_g)
{
    g_autoptr(GError) error = NULL;
    struct spl_harvest harvest = {.site_id = site_id,
                                  .material = g_strdup("nettle/leaf"),
                                  .stage = 41,
                                  .date = day,
                                  .weight_g = weight_g,
                                  .garbled_g = NAN,
                                  .verdict = SPL_VERDICT_CLEAR,
                                  .reasons_json = g_strdup("[]")};
    char *code;

    assert_true(spl_book_begin(book, &error));
    spl_harvest_add(book, &harvest, &error);
    expect_ok(error);
    assert_true(spl_book_commit(book, &error));
    code = g_strdup(harvest.code);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return code;
}

#endif

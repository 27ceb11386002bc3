/* SPDX-License-Identifier: MIT
 *
 * Mending what a book derives from its facts. See simpling/house.h.
 */
#include <glib/gstdio.h>

#include "base/file.h"
#include "book/check.h"
#include "book/derive.h"
#include "book/judged.h"
#include "book/mend.h"
#include "season/house_private.h"
#include "season/judged.h"
#include "simpling/error.h"

static const struct spl_field repaired_fields[] = {
    SPL_FIELD(spl_repaired, path, SPL_TEXT, "path", "book"),
    SPL_FIELD(spl_repaired, ok, SPL_BOOL, "ok", "sound"),
    SPL_FIELD(spl_repaired, copy, SPL_TEXT, "copy", "kept before"),
    SPL_FIELD(spl_repaired, aside, SPL_TEXT, "aside", "rows put aside"),
    SPL_FIELD_LIST(spl_repaired, mended, &spl_mending_shape, "mended", "mended"),
    SPL_FIELD(spl_repaired, left, SPL_TEXTS, "left", "left to you"),
};
const struct spl_shape spl_repaired_shape = SPL_SHAPE("repaired", spl_repaired, repaired_fields);

static gboolean judged_is_wrong(struct spl_house *house, gboolean *wrong, GError **error)
{
    guint missing, surplus;

    if (!spl_judged_compare(house, &missing, &surplus, error))
        return FALSE;
    *wrong = missing + surplus > 0;
    return TRUE;
}

/* Judges all ground anew: what it was judged from may have been mended just now. */
static gboolean judge_again(struct spl_house *house, GArray *mendings, GError **error)
{
    gboolean wrong;

    if (!judged_is_wrong(house, &wrong, error) || !spl_judged_forget(house->book, error) ||
        !spl_judged_refresh(house, error))
        return FALSE;
    if (wrong)
        spl_mending_add(mendings, g_strdup("judged ground"),
                        g_strdup("was not what its facts make it"), g_strdup("judged again"), NULL);
    return TRUE;
}

static gboolean anything_to_mend(struct spl_house *house, gboolean *any, GError **error)
{
    struct spl_book *book = house->book;
    GArray *faults;

    /* First the tables: what is derived stands in them. */
    if (!spl_book_needs_mending(book, any, error))
        return FALSE;
    if (*any)
        return TRUE;
    faults = spl_derived_faults(book, error);
    if (faults == NULL)
        return FALSE;
    for (guint i = 0; i < faults->len; i++)
        *any = *any || g_array_index(faults, struct spl_mending, i).done != NULL;
    spl_list_free(&spl_mending_shape, faults);
    return *any || judged_is_wrong(house, any, error);
}

/* Beside the book, under the first name that is free. Free with g_free. */
static char *free_name(struct spl_book *book, const char *suffix, const char *ending)
{
    char *path = g_strconcat(spl_book_path(book), suffix, ending, NULL);

    for (int n = 2; n < 1000 && g_file_test(path, G_FILE_TEST_EXISTS); n++) {
        g_free(path);
        path = g_strdup_printf("%s%s-%d%s", spl_book_path(book), suffix, n, ending);
    }
    return path;
}

static char *keep_copy(struct spl_book *book, GError **error)
{
    g_autofree char *path = free_name(book, ".before-repair", "");

    if (!spl_book_backup(book, path, error)) {
        g_prefix_error(error, "nothing was mended, as no copy could be kept first: ");
        return NULL;
    }
    return g_steal_pointer(&path);
}

/* Only what was mended stays in the list: the rest stands among what is left. */
static void drop_unmended(GArray *mendings)
{
    for (guint i = mendings->len; i > 0; i--) {
        struct spl_mending *mending = &g_array_index(mendings, struct spl_mending, i - 1);

        if (mending->done == NULL) {
            spl_record_clear(&spl_mending_shape, mending);
            g_array_remove_index(mendings, i - 1);
        }
    }
}

/* Mends, and looks at the whole again before anything is kept. */
static gboolean mend(struct spl_house *house, struct spl_repaired *repaired, GError **error)
{
    struct spl_book *book = house->book;
    g_autofree char *file = free_name(book, ".aside", ".sql");
    g_autofree char *name = g_path_get_basename(file);
    g_autoptr(GString) aside = g_string_new(NULL);
    GArray *mendings = NULL;
    gboolean ok;

    if (!spl_mend_begin(book, error))
        return FALSE;
    ok = spl_book_begin(book, error);
    if (ok) {
        ok = spl_book_mend(book, name, aside, repaired->mended, error) &&
             (mendings = spl_derived_mend(book, error)) != NULL &&
             judge_again(house, repaired->mended, error);
        if (ok) {
            drop_unmended(mendings);
            g_array_append_vals(repaired->mended, mendings->data, mendings->len);
            g_array_free(mendings, TRUE); /* its texts live on */
            repaired->left = spl_book_check(book, error);
        }
        ok = ok && repaired->left != NULL;
        /* What leaves the book is on the disk before it has left. */
        if (ok && aside->len > 0) {
            ok = spl_file_write_private(file, aside->str, aside->len, error);
            repaired->aside = ok ? g_strdup(file) : NULL;
        }
        ok = spl_book_finish(book, ok, error);
        if (!ok && repaired->aside != NULL)
            g_unlink(file);
    }
    return spl_mend_end(book, ok ? error : NULL) && ok;
}

gboolean spl_book_repair(struct spl_house *house, struct spl_repaired *repaired, GError **error)
{
    gboolean any = FALSE, ok;

    *repaired = (struct spl_repaired){.path = g_strdup(spl_book_path(house->book)),
                                      .mended = spl_list_new(&spl_mending_shape)};
    ok = anything_to_mend(house, &any, error);
    if (ok && any)
        ok = (repaired->copy = keep_copy(house->book, error)) != NULL &&
             mend(house, repaired, error);
    else if (ok)
        ok = (repaired->left = spl_book_check(house->book, error)) != NULL;
    if (!ok)
        spl_record_clear(&spl_repaired_shape, repaired);
    else
        repaired->ok = repaired->left->len == 0;
    return ok;
}

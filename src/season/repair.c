/* SPDX-License-Identifier: MIT
 *
 * Mending what a book derives from its facts. See simpling/house.h.
 */
#include "book/check.h"
#include "book/derive.h"
#include "season/house_private.h"
#include "simpling/error.h"

static const struct spl_field repaired_fields[] = {
    SPL_FIELD(spl_repaired, path, SPL_TEXT, "path", "book"),
    SPL_FIELD(spl_repaired, ok, SPL_BOOL, "ok", "sound"),
    SPL_FIELD(spl_repaired, copy, SPL_TEXT, "copy", "kept before"),
    SPL_FIELD_LIST(spl_repaired, mended, &spl_mending_shape, "mended", "mended"),
    SPL_FIELD(spl_repaired, left, SPL_TEXTS, "left", "left to you"),
};
const struct spl_shape spl_repaired_shape = SPL_SHAPE("repaired", spl_repaired, repaired_fields);

static gboolean anything_to_mend(struct spl_book *book, gboolean *any, GError **error)
{
    GArray *faults = spl_derived_faults(book, error);

    if (faults == NULL)
        return FALSE;
    *any = FALSE;
    for (guint i = 0; i < faults->len; i++)
        *any = *any || g_array_index(faults, struct spl_mending, i).done != NULL;
    spl_list_free(&spl_mending_shape, faults);
    return TRUE;
}

/* Beside the book, under the first name that is free. */
static char *keep_copy(struct spl_book *book, GError **error)
{
    g_autofree char *path = g_strconcat(spl_book_path(book), ".before-repair", NULL);

    for (int n = 2; n < 1000 && g_file_test(path, G_FILE_TEST_EXISTS); n++) {
        g_free(path);
        path = g_strdup_printf("%s.before-repair-%d", spl_book_path(book), n);
    }
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
static gboolean mend(struct spl_book *book, struct spl_repaired *repaired, GError **error)
{
    GArray *mendings;

    if (!spl_book_begin(book, error))
        return FALSE;
    mendings = spl_derived_mend(book, error);
    if (mendings != NULL) {
        drop_unmended(mendings);
        g_array_append_vals(repaired->mended, mendings->data, mendings->len);
        g_array_free(mendings, TRUE); /* its texts live on */
        repaired->left = spl_book_check(book, error);
    }
    return spl_book_finish(book, repaired->left != NULL, error);
}

gboolean spl_book_repair(struct spl_house *house, struct spl_repaired *repaired, GError **error)
{
    gboolean any = FALSE, ok;

    *repaired = (struct spl_repaired){.path = g_strdup(spl_book_path(house->book)),
                                      .mended = spl_list_new(&spl_mending_shape)};
    ok = anything_to_mend(house->book, &any, error);
    if (ok && any)
        ok = (repaired->copy = keep_copy(house->book, error)) != NULL &&
             mend(house->book, repaired, error);
    else if (ok)
        ok = (repaired->left = spl_book_check(house->book, error)) != NULL;
    if (!ok)
        spl_record_clear(&spl_repaired_shape, repaired);
    else
        repaired->ok = repaired->left->len == 0;
    return ok;
}

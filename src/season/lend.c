/* SPDX-License-Identifier: MIT
 *
 * The book for a second machine. See simpling/trust.h.
 */
#include <glib/gstdio.h>

#include "book/lend.h"
#include "book/setting.h"
#include "book/trust.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/trust.h"

static const struct spl_field lent_fields[] = {
    SPL_FIELD(spl_lent, path, SPL_TEXT, "path", "lent as"),
    SPL_FIELD(spl_lent, mark, SPL_TEXT, "mark", "its mark"),
    SPL_FIELD(spl_lent, home, SPL_TEXT, "home", "the mark here"),
    SPL_FIELD(spl_lent, date, SPL_DAY, "date", "trusted since"),
};
const struct spl_shape spl_lent_shape = SPL_SHAPE("lent", spl_lent, lent_fields);

static const struct spl_input lend_rows[] = {
    SPL_INPUT(spl_lend_words, path, FILE, "file", "the book for the other machine", .needed = 1),
    SPL_INPUT(spl_lend_words, mark, NAME, "mark", "the mark that it writes under", .needed = 1,
              .value = "MARK"),
    SPL_INPUT(spl_lend_words, by, NAME, "by", "who lends it", .value = "WHO", .setting = "who"),
    SPL_INPUT(spl_lend_words, on, DAY, "on", "the day", .past = 1, .today = 1),
};
static gboolean check_lend(const void *record, GError **error)
{
    return spl_mark_check(((const struct spl_lend_words *)record)->mark, error);
}
const struct spl_inputs spl_lend_inputs =
    SPL_INPUTS("book_lend", spl_lend_words, lend_rows, .check = check_lend);

static gboolean is_free(struct spl_house *house, const char *mark, GError **error)
{
    gboolean taken;

    if (*spl_setting_mark(house->book) == '\0') {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: has no mark itself, so nobody could tell whose a record is; begin it anew "
                    "with one",
                    spl_book_path(house->book));
        return FALSE;
    }
    if (!spl_lend_is_taken(house->book, mark, &taken, error))
        return FALSE;
    if (taken)
        spl_error_set_input(error, SPL_ERROR_EXISTS, "mark",
                            "%s is written under already: a book of that mark that is lent goes on "
                            "by merging this one into it; for another machine take another mark",
                            mark);
    return !taken;
}

/* The copy is made and turned first: trust in a book that is not there would help nobody. */
static gboolean lend(struct spl_house *house, const struct spl_lend_words *words, const char *mark,
                     GError **error)
{
    g_autoptr(spl_book) copy = NULL;
    gboolean ok;

    if (!is_free(house, mark, error) || !spl_book_backup(house->book, words->path, error))
        return FALSE;
    copy = spl_book_open(words->path, SPL_BOOK_WRITE, error);
    ok = copy != NULL && spl_lend_begin(copy, mark, words->on, words->by, error);
    g_clear_pointer(&copy, spl_book_close);
    spl_ground_map_forget(house); /* it knows what waits */
    ok =
        ok && spl_book_begin(house->book, error) &&
        spl_book_finish(house->book,
                        spl_trust_add(house->book, mark, TRUE, words->on, words->by, error), error);
    if (!ok)
        (void)g_unlink(words->path);
    return ok;
}

gboolean spl_book_lend(struct spl_house *house, const struct spl_lend_words *said,
                       struct spl_lent *lent, GError **error)
{
    struct spl_lend_words words;
    g_autofree char *mark = NULL;
    gboolean ok;

    if (!spl_entry_take(house, &spl_lend_inputs, said, &words, error))
        return FALSE;
    mark = g_ascii_strup(words.mark, -1);
    ok = lend(house, &words, mark, error);
    if (ok)
        *lent = (struct spl_lent){.path = g_strdup(words.path),
                                  .mark = g_steal_pointer(&mark),
                                  .home = g_strdup(spl_setting_mark(house->book)),
                                  .date = words.on};
    spl_inputs_clear(&spl_lend_inputs, &words);
    return ok;
}

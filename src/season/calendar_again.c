/* SPDX-License-Identifier: MIT
 *
 * What the person dropped in a calendar, and taking it up again. See simpling/calendar.h.
 */
#include <string.h>

#include "base/text.h"
#include "book/calendar_theirs.h"
#include "core/verdict.h"
#include "season/calendar_key.h"
#include "season/house_private.h"
#include "simpling/calendar.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_field dropped_fields[] = {
    SPL_FIELD(spl_calendar_dropped, kind, SPL_TEXT, "kind", "kind"),
    SPL_FIELD(spl_calendar_dropped, what, SPL_TEXT, "what", "entry"),
    SPL_FIELD(spl_calendar_dropped, first, SPL_DAY, "first", "from"),
    SPL_FIELD(spl_calendar_dropped, last, SPL_DAY, "last", "until"),
    SPL_FIELD(spl_calendar_dropped, again, SPL_BOOL, "again", "taken up again"),
};
const struct spl_shape spl_calendar_dropped_shape =
    SPL_SHAPE("calendar_dropped", spl_calendar_dropped, dropped_fields);

static const struct spl_input again_rows[] = {
    SPL_INPUT(spl_calendar_again_words, title, NAME, "title",
              "what was dropped, or a part of its title that nothing else has"),
};
const struct spl_inputs spl_calendar_again_inputs =
    SPL_INPUTS("calendar_again", spl_calendar_again_words, again_rows);

struct search {
    const char *key; /* NULL: all */
    GArray *list;    /* of struct spl_calendar_dropped */
    GArray *ids;     /* gint64, in its order */
    int exact;       /* its title is just that: the place in the list; -1: none */
};

/* Dropping a step of a batch is a fact of the batch, and of an outing one of the plan. */
static gboolean is_of_the_calendar(const struct spl_calendar_key *key)
{
    return strcmp(key->kind, "outing") != 0 &&
           (strcmp(key->kind, "step") != 0 || strcmp(key->step, "use-by") == 0);
}

static gboolean take_row(const struct spl_calendar_row *row, gpointer data, GError **error)
{
    struct search *search = data;
    struct spl_calendar_dropped dropped;
    struct spl_calendar_key key;
    g_autofree char *name = spl_name_key(row->summary);

    (void)error;
    if (row->state != SPL_CALENDAR_DROPPED || !spl_calendar_key_parse(row->key, &key))
        return TRUE;
    if (is_of_the_calendar(&key) && (search->key == NULL || strstr(name, search->key) != NULL)) {
        if (search->key != NULL && strcmp(name, search->key) == 0)
            search->exact = (int)search->list->len;
        dropped = (struct spl_calendar_dropped){.kind = g_strdup(key.kind),
                                                .what = g_strdup(row->summary),
                                                .first = row->first,
                                                .last = row->last};
        g_array_append_val(search->list, dropped);
        g_array_append_val(search->ids, row->id);
    }
    spl_calendar_key_clear(&key);
    return TRUE;
}

static gboolean take_up(struct spl_book *book, gint64 id, GError **error)
{
    struct spl_calendar_row row;
    gboolean ok;

    if (!spl_calendar_row_get(book, id, &row, error))
        return FALSE;
    row.state = SPL_CALENDAR_OPEN;
    row.sequence++;
    ok = spl_calendar_row_update(book, &row, error) && spl_calendar_theirs_show(book, id, error);
    spl_calendar_row_clear(&row);
    return ok;
}

static gboolean search_book(struct spl_house *house, struct search *search, GError **error)
{
    double lat = 50, lon = 0;

    (void)spl_house_setting_place(house, &lat, &lon);
    return spl_calendar_row_each(house->book, spl_day_season(house->today, lat), take_row, search,
                                 error);
}

/* The one that was meant, alone in the list. */
static gboolean choose(struct search *search, const char *title, GError **error)
{
    if (search->exact < 0 && search->list->len == 1)
        search->exact = 0;
    if (search->exact < 0 && search->list->len == 0) {
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "title",
                            "nothing that was dropped in a calendar is called '%s'; leave the "
                            "title out to see what there is",
                            title);
    } else if (search->exact < 0) {
        spl_error_set_input(error, SPL_ERROR_AMBIGUOUS, "title",
                            "'%s' may be '%s' or '%s'; give more of its title", title,
                            g_array_index(search->list, struct spl_calendar_dropped, 0).what,
                            g_array_index(search->list, struct spl_calendar_dropped, 1).what);
    }
    return search->exact >= 0;
}

static GArray *take_again(struct spl_house *house, const char *title, GError **error)
{
    g_autofree char *key = title != NULL ? spl_name_key(title) : NULL;
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    struct search search = {key, spl_list_new(&spl_calendar_dropped_shape), ids, -1};
    GArray *only;

    if (!search_book(house, &search, error) || (title != NULL && !choose(&search, title, error))) {
        spl_list_free(&spl_calendar_dropped_shape, search.list);
        return NULL;
    }
    if (title == NULL)
        return search.list;
    only = spl_list_new(&spl_calendar_dropped_shape);
    {
        struct spl_calendar_dropped copy;

        spl_record_copy(
            &spl_calendar_dropped_shape,
            &g_array_index(search.list, struct spl_calendar_dropped, (guint)search.exact), &copy);
        copy.again = TRUE;
        g_array_append_val(only, copy);
    }
    spl_list_free(&spl_calendar_dropped_shape, search.list);
    if (take_up(house->book, g_array_index(ids, gint64, (guint)search.exact), error))
        return only;
    spl_list_free(&spl_calendar_dropped_shape, only);
    return NULL;
}

GArray *spl_calendar_again(struct spl_house *house, const struct spl_calendar_again_words *said,
                           GError **error)
{
    struct spl_calendar_again_words words;
    GArray *list = NULL;

    if (!spl_entry_take(house, &spl_calendar_again_inputs, said, &words, error))
        return NULL;
    if (words.title == NULL) {
        list = take_again(house, NULL, error);
    } else if (spl_book_begin(house->book, error)) {
        list = take_again(house, words.title, error);
        if (!spl_book_finish(house->book, list != NULL, error) && list != NULL) {
            spl_list_free(&spl_calendar_dropped_shape, list);
            list = NULL;
        }
    }
    spl_inputs_clear(&spl_calendar_again_inputs, &words);
    return list;
}

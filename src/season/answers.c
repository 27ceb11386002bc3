/* SPDX-License-Identifier: MIT
 *
 * What was answered, and taking it back. See simpling/question.h.
 */
#include <string.h>

#include "book/amendment.h"
#include "book/answer.h"
#include "book/revision.h"
#include "book/setting.h"
#include "season/ground_map.h"
#include "season/judged.h"
#include "season/question.h"
#include "simpling/error.h"

static const struct spl_field given_fields[] = {
    SPL_FIELD(spl_answer_given, id, SPL_TEXT, "id", "question"),
    SPL_FIELD(spl_answer_given, kind, SPL_TEXT, "kind", "kind"),
    SPL_FIELD(spl_answer_given, how, SPL_TEXT, "how", "answered by"),
    SPL_FIELD(spl_answer_given, words, SPL_TEXT, "words", "words"),
    SPL_FIELD(spl_answer_given, by, SPL_TEXT, "by", "by"),
    SPL_FIELD(spl_answer_given, mark, SPL_TEXT, "mark", "mark"),
    SPL_FIELD(spl_answer_given, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_answer_given, until, SPL_DAY, "until", "asked again on"),
};
const struct spl_shape spl_answer_given_shape =
    SPL_SHAPE("answer_given", spl_answer_given, given_fields);

#define DAY_US (G_GINT64_CONSTANT(86400) * 1000000)

/* One of either, with the row that is struck when it is taken back. */
struct row {
    struct spl_answer_given given;
    char *uuid;
    gint64 at;
};

static void row_clear(gpointer data)
{
    struct row *row = data;

    spl_record_clear(&spl_answer_given_shape, &row->given);
    g_free(row->uuid);
}

static char *others_mark(struct spl_house *house, const char *mark)
{
    return *mark == '\0' || strcmp(mark, spl_setting_mark(house->book)) == 0 ? NULL
                                                                             : g_strdup(mark);
}

static gboolean add_answers(struct spl_house *house, GArray *rows, GError **error)
{
    static const char *const names[] = {"evidence", "later", "destroy", "outside", "mine"};
    GArray *list = spl_answer_list(house->book, NULL, error);

    for (guint i = 0; list != NULL && i < list->len; i++) {
        const struct spl_answer *one = &g_array_index(list, struct spl_answer, i);
        struct row row = {.given = {.id = g_strdup(one->question),
                                    .kind = g_strdup(one->kind),
                                    .how = g_strdup(names[one->how]),
                                    .words = g_strdup(one->words),
                                    .by = g_strdup(one->by),
                                    .mark = others_mark(house, one->mark),
                                    .date = one->day,
                                    .until = one->until},
                          .uuid = g_strdup(one->uuid),
                          .at = one->at};

        g_array_append_val(rows, row);
    }
    spl_list_free(&spl_answer_shape, list);
    return list != NULL;
}

static gboolean add_refusals(struct spl_house *house, GArray *rows, GError **error)
{
    const char *kind = spl_judged_kind_name(SPL_HELD_REVISED);
    g_autoptr(GArray) list = spl_refusal_list(house->book, error);

    for (guint i = 0; list != NULL && i < list->len; i++) {
        const struct spl_refusal *one = &g_array_index(list, struct spl_refusal, i);
        struct row row = {.given = {.id = spl_state_question_id(kind, one->refused, one->version),
                                    .kind = g_strdup(kind),
                                    .how = g_strdup("refuse"),
                                    .words = g_strdup(one->why),
                                    .by = g_strdup(one->by),
                                    .mark = others_mark(house, one->mark),
                                    .date = {(gint32)(one->at / DAY_US)},
                                    .until = SPL_DAY_NONE},
                          .uuid = g_strdup(one->uuid),
                          .at = one->at};

        g_array_append_val(rows, row);
    }
    return list != NULL;
}

static int last_first(gconstpointer a, gconstpointer b)
{
    const struct row *first = a, *second = b;

    if (first->at != second->at)
        return first->at < second->at ? 1 : -1;
    return strcmp(second->uuid, first->uuid);
}

static GArray *all_given(struct spl_house *house, GError **error)
{
    g_autoptr(GArray) rows = g_array_new(FALSE, TRUE, sizeof(struct row));

    g_array_set_clear_func(rows, row_clear);
    if (!add_answers(house, rows, error) || !add_refusals(house, rows, error))
        return NULL;
    g_array_sort(rows, last_first);
    return g_steal_pointer(&rows);
}

GArray *spl_answers(struct spl_house *house, GError **error)
{
    g_autoptr(GArray) rows = all_given(house, error);
    GArray *list;

    if (rows == NULL)
        return NULL;
    list = spl_list_new(&spl_answer_given_shape);
    for (guint i = 0; i < rows->len; i++) {
        struct row *row = &g_array_index(rows, struct row, i);

        g_array_append_val(list, row->given);
        memset(&row->given, 0, sizeof row->given); /* the list's now */
    }
    return list;
}

/* ---- taken back ---- */

/* The last answer to the one question that is called so. */
static const struct row *find_given(const GArray *rows, const char *id, GError **error)
{
    const struct row *found = NULL;

    for (guint i = 0; i < rows->len; i++) {
        const struct row *row = &g_array_index(rows, struct row, i);

        if (g_ascii_strncasecmp(row->given.id, id, strlen(id)) != 0)
            continue;
        if (found != NULL && strcmp(found->given.id, row->given.id) != 0) {
            spl_error_set_input(error, SPL_ERROR_INVALID, "id",
                                "'%s' is said of several that were answered; give more of the name",
                                id);
            return NULL;
        }
        if (found == NULL)
            found = row;
    }
    if (found == NULL)
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "id",
                            "nothing that was answered is called '%s'; look at the list of answers",
                            id);
    return found;
}

static gboolean take_back(struct spl_house *house, const GArray *rows, const char *id,
                          const struct spl_answer_words *words, GError **error)
{
    for (guint i = 0; i < rows->len; i++) {
        const struct row *row = &g_array_index(rows, struct row, i);

        if (strcmp(row->given.id, id) == 0 &&
            !spl_strike_row(house->book, row->uuid, words->by, words->back, error))
            return FALSE;
    }
    return spl_revision_settle(house->book, error);
}

gboolean spl_answer_back(struct spl_house *house, const struct spl_answer_words *words,
                         struct spl_answered *answered, GError **error)
{
    g_autoptr(GArray) rows = all_given(house, error);
    const struct row *found = rows != NULL ? find_given(rows, words->id, error) : NULL;

    if (found == NULL)
        return FALSE;
    if (strcmp(found->given.how, "destroy") == 0) {
        spl_error_set_input(error, SPL_ERROR_REFUSED, "back",
                            "brings nothing back that was destroyed; strike each discard that "
                            "never was");
        return FALSE;
    }
    spl_ground_map_forget(house); /* whose corrections count may change by it */
    if (!take_back(house, rows, found->given.id, words, error))
        return FALSE;
    *answered = (struct spl_answered){.id = g_strdup(found->given.id),
                                      .kind = g_strdup(found->given.kind),
                                      .how = g_strdup("back"),
                                      .words = g_strdup(words->back),
                                      .by = g_strdup(words->by),
                                      .date = words->on,
                                      .until = SPL_DAY_NONE};
    return TRUE;
}

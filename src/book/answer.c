/* SPDX-License-Identifier: MIT
 *
 * Answers as rows. See book/answer.h.
 */
#include "book/answer.h"

#include "book/noun.h"
#include "book/revision.h"
#include "book/statement.h"

static const char *const grade_names[] = {"paper", "doubt", "stop", NULL};
static const char *const how_names[] = {"evidence", "later", "destroy", "outside", "mine", NULL};

static const struct spl_field answer_fields[] = {
    SPL_FIELD(spl_answer, question, SPL_TEXT, "id", "question", SPL_STORED("question")),
    SPL_FIELD(spl_answer, kind, SPL_TEXT, "kind", "reason", SPL_STORED("kind")),
    SPL_FIELD(spl_answer, grade, SPL_WORD, "grade", NULL, SPL_STORED("grade"),
              .names = grade_names),
    SPL_FIELD(spl_answer, how, SPL_WORD, "how", "how", SPL_STORED("how"), .names = how_names),
    SPL_FIELD(spl_answer, until, SPL_DAY, "until", "until", SPL_STORED("until")),
    SPL_FIELD(spl_answer, words, SPL_TEXT, "words", "words", SPL_STORED("words")),
    SPL_FIELD(spl_answer, by, SPL_TEXT, "by", "by", SPL_STORED("by")),
    SPL_FIELD(spl_answer, day, SPL_DAY, "date", "date", SPL_STORED("day")),
    SPL_FIELD_KEPT(spl_answer, id, SPL_LONG, SPL_ID("id")),
    SPL_FIELD_KEPT(spl_answer, uuid, SPL_TEXT, SPL_READ("uuid")),
    SPL_FIELD_KEPT(spl_answer, mark, SPL_TEXT, SPL_READ("mark"), .empty = TRUE),
    SPL_FIELD_KEPT(spl_answer, fact, SPL_TEXT, SPL_STORED("fact")),
    SPL_FIELD_KEPT(spl_answer, version, SPL_LONG, SPL_STORED("version")),
    SPL_FIELD_KEPT(spl_answer, at, SPL_LONG, SPL_READ("at")),
};
const struct spl_shape spl_answer_shape = SPL_SHAPE("answer", spl_answer, answer_fields);

const struct spl_noun spl_answer_noun = {
    .shape = &spl_answer_shape,
    .table = "answer",
    .from = "answer_now t",
    .fact = TRUE,
};

gboolean spl_answer_add_all(struct spl_book *book, struct spl_answer *answers, guint n,
                            GError **error)
{
    gboolean revision = FALSE;

    for (guint i = 0; i < n; i++) {
        if (!spl_noun_add(book, &spl_answer_noun, &answers[i], answers[i].day, SPL_NONE, error))
            return FALSE;
        revision |= g_strcmp0(answers[i].kind, SPL_REVISION_KIND) == 0;
    }
    return !revision || spl_revision_settle(book, error);
}

gboolean spl_answer_add(struct spl_book *book, struct spl_answer *answer, GError **error)
{
    return spl_answer_add_all(book, answer, 1, error);
}

GArray *spl_answer_list(struct spl_book *book, const char *question, GError **error)
{
    return spl_noun_list(book, &spl_answer_noun,
                         question != NULL ? "WHERE t.question = ?1 ORDER BY t.at, t.uuid"
                                          : "WHERE ?1 IS NULL ORDER BY t.at, t.uuid",
                         SPL_WITH(question), error);
}

static void clear_refusal(gpointer data)
{
    struct spl_refusal *refusal = data;

    g_free(refusal->uuid);
    g_free(refusal->refused);
    g_free(refusal->mark);
    g_free(refusal->why);
    g_free(refusal->by);
}

GArray *spl_refusal_list(struct spl_book *book, GError **error)
{
    g_autoptr(GArray) list = g_array_new(FALSE, TRUE, sizeof(struct spl_refusal));
    g_autoptr(spl_statement) rows = spl_statement_open(
        book, error,
        "SELECT x.uuid, k.uuid, k.at, x.mark, x.why, x.by, x.at FROM live x JOIN (SELECT uuid, "
        "mark,"
        " at FROM strike UNION ALL SELECT uuid, mark, at FROM amendment) k ON k.uuid = x.subject"
        " WHERE k.mark <> x.mark ORDER BY x.at, x.uuid",
        SPL_NONE);
    GError *failed = NULL;

    g_array_set_clear_func(list, clear_refusal);
    while (rows != NULL) {
        struct spl_refusal one = {0};

        if (!spl_statement_next(rows, &failed,
                                SPL_INTO(&one.uuid, &one.refused, &one.version, &one.mark, &one.why,
                                         &one.by, &one.at)))
            break;
        g_array_append_val(list, one);
    }
    if (failed != NULL)
        g_propagate_error(error, failed);
    return rows != NULL && failed == NULL ? g_steal_pointer(&list) : NULL;
}

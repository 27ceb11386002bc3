/* SPDX-License-Identifier: MIT
 *
 * Questions: what hangs on the same evidence is asked about once. See core/state.h.
 */
#include "base/text.h"
#include "core/state.h"

static int compare_numbers(gint64 a, gint64 b)
{
    return (a > b) - (a < b);
}

static int compare_identity(int kind, gint64 evidence, gint64 version, int other_kind,
                            gint64 other_evidence, gint64 other_version)
{
    if (kind != other_kind)
        return compare_numbers(kind, other_kind);
    if (evidence != other_evidence)
        return compare_numbers(evidence, other_evidence);
    return compare_numbers(version, other_version);
}

/* ---- one reason on one thing, so that those of one question lie together ---- */

struct line {
    const struct spl_state_root *root;
    gint64 thing;
};

static int compare_lines(gconstpointer a, gconstpointer b)
{
    const struct line *first = a, *second = b;
    int by = compare_identity(first->root->kind, first->root->evidence, first->root->version,
                              second->root->kind, second->root->evidence, second->root->version);

    return by != 0 ? by : compare_numbers(first->thing, second->thing);
}

static GArray *lines_of(const struct spl_state_spread *spread)
{
    GArray *lines = g_array_new(FALSE, FALSE, sizeof(struct line));

    for (guint i = 0; i < spread->marks->len; i++) {
        const struct spl_state_mark *mark = &g_array_index(spread->marks, struct spl_state_mark, i);
        struct line line = {.root =
                                &g_array_index(spread->roots, struct spl_state_root, mark->root),
                            .thing = mark->thing};

        /* What is kept for outside only was answered; it has its mark for good. */
        if ((mark->modes & (SPL_STATE_HELD | SPL_STATE_ASKED)) != 0)
            g_array_append_val(lines, line);
    }
    g_array_sort(lines, compare_lines);
    return lines;
}

/* ---- how urgent ---- */

static enum spl_state_urgency urgency_of(const struct spl_state_thing *thing,
                                         enum spl_state_grade grade)
{
    if (thing == NULL || thing->went_out)
        return SPL_STATE_GONE_OUT;
    if (grade == SPL_STATE_PAPER)
        return SPL_STATE_RECORD;
    switch (thing->kind) {
    case 'L':
        return SPL_STATE_SHELF;
    case 'B':
        return SPL_STATE_JARS;
    default:
        return SPL_STATE_PICKED;
    }
}

static gboolean sleeps_over(const GArray *sleeps, const struct spl_state_question *question,
                            struct spl_day day)
{
    for (guint i = 0; sleeps != NULL && i < sleeps->len; i++) {
        const struct spl_state_sleep *sleep = &g_array_index(sleeps, struct spl_state_sleep, i);

        if (compare_identity(sleep->kind, sleep->evidence, sleep->version, question->kind,
                             question->evidence, question->version) == 0 &&
            sleep->grade >= question->grade && spl_day_compare(day, sleep->until) < 0)
            return TRUE;
    }
    return FALSE;
}

static void clear_question(gpointer question)
{
    g_array_unref(((struct spl_state_question *)question)->things);
}

static int compare_questions(gconstpointer a, gconstpointer b)
{
    const struct spl_state_question *first = a, *second = b;

    if (first->urgency != second->urgency)
        return compare_numbers(first->urgency, second->urgency);
    if (first->grade != second->grade)
        return compare_numbers(second->grade, first->grade);
    if (first->since != second->since)
        return compare_numbers(first->since, second->since);
    return compare_identity(first->kind, first->evidence, first->version, second->kind,
                            second->evidence, second->version);
}

/* Takes the lines from `from` on that are of one question; returns where the next begins. */
static guint take_question(const GArray *lines, guint from, GHashTable *things,
                           struct spl_state_question *question)
{
    const struct spl_state_root *asked = g_array_index(lines, struct line, from).root;
    guint i;

    *question = (struct spl_state_question){.kind = asked->kind,
                                            .evidence = asked->evidence,
                                            .version = asked->version,
                                            .grade = SPL_STATE_PAPER,
                                            .urgency = SPL_STATE_RECORD,
                                            .since = asked->stamp,
                                            .things = g_array_new(FALSE, FALSE, sizeof(gint64))};
    for (i = from; i < lines->len; i++) {
        const struct line *line = &g_array_index(lines, struct line, i);
        const struct spl_state_root *root = line->root;
        const struct spl_state_thing *thing = g_hash_table_lookup(things, &line->thing);
        enum spl_state_urgency urgency;

        if (compare_identity(root->kind, root->evidence, root->version, asked->kind,
                             asked->evidence, asked->version) != 0)
            break;
        question->grade = MAX(question->grade, root->grade);
        question->since = MIN(question->since, root->stamp);
        if (thing != NULL && thing->over)
            continue;
        urgency = urgency_of(thing, root->grade);
        question->urgency = MIN(question->urgency, urgency);
        if (question->things->len == 0 ||
            g_array_index(question->things, gint64, question->things->len - 1) != line->thing)
            g_array_append_val(question->things, line->thing);
    }
    return i;
}

GArray *spl_state_questions(const struct spl_state_facts *facts,
                            const struct spl_state_spread *spread, const GArray *sleeps,
                            struct spl_day day)
{
    GArray *questions = g_array_new(FALSE, FALSE, sizeof(struct spl_state_question));
    g_autoptr(GArray) lines = lines_of(spread);
    g_autoptr(GHashTable) things = g_hash_table_new(g_int64_hash, g_int64_equal);

    g_array_set_clear_func(questions, clear_question);
    for (guint i = 0; facts->things != NULL && i < facts->things->len; i++) {
        struct spl_state_thing *thing = &g_array_index(facts->things, struct spl_state_thing, i);

        g_hash_table_insert(things, &thing->id, thing);
    }
    for (guint next = 0; next < lines->len;) {
        struct spl_state_question question;

        next = take_question(lines, next, things, &question);
        if (question.things->len == 0 || sleeps_over(sleeps, &question, day))
            clear_question(&question);
        else
            g_array_append_val(questions, question);
    }
    g_array_sort(questions, compare_questions);
    return questions;
}

/* A name space of our own, made once by chance (RFC 9562, section 5.5). */
#define QUESTION_SPACE "d55745ce-2afa-4987-aeca-2bf72e8f09fe"

char *spl_state_question_id(const char *kind, const char *evidence_uuid, gint64 version)
{
    g_autofree char *name =
        g_strdup_printf("%s %s %" G_GINT64_FORMAT, kind, evidence_uuid, version);

    return spl_uuid_v5(QUESTION_SPACE, name);
}

guint spl_state_root_hash(gconstpointer key)
{
    const struct spl_state_root *root = key;

    return ((guint)root->evidence * 31 + (guint)root->version) * 31 + (guint)root->kind;
}

gboolean spl_state_root_equal(gconstpointer a, gconstpointer b)
{
    const struct spl_state_root *one = a, *other = b;

    return one->kind == other->kind && one->evidence == other->evidence &&
           one->version == other->version;
}

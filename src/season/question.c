/* SPDX-License-Identifier: MIT
 *
 * Questions told and answered. See simpling/question.h; what is open follows from the state
 * (season/state.h).
 */
#include "simpling/question.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "book/amendment.h"
#include "book/answer.h"
#include "season/ground_map.h"
#include "season/judged.h"
#include "season/question.h"
#include "season/revision.h"
#include "simpling/batch.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_field question_fields[] = {
    SPL_FIELD(spl_question, id, SPL_TEXT, "id", "question"),
    SPL_FIELD(spl_question, kind, SPL_TEXT, "kind", "kind"),
    SPL_FIELD(spl_question, grade, SPL_WORD, "grade", "grade", .names = spl_state_grade_names),
    SPL_FIELD(spl_question, urgency, SPL_WORD, "urgency", "where",
              .names = spl_state_urgency_names),
    SPL_FIELD(spl_question, since, SPL_DAY, "since", "since"),
    SPL_FIELD(spl_question, about, SPL_TEXT, "about", "about"),
    SPL_FIELD(spl_question, why, SPL_TEXT, "why", "why"),
    SPL_FIELD(spl_question, holds, SPL_BOOL, "holds", NULL),
    SPL_FIELD(spl_question, evidence, SPL_TEXT, "evidence", NULL),
    SPL_FIELD(spl_question, touches, SPL_TEXTS, "touches", "touches"),
    SPL_FIELD(spl_question, ask, SPL_TEXT, "ask", "ask"),
    SPL_FIELD_ONE(spl_question, next, &spl_next_shape, "next"),
};
const struct spl_shape spl_question_shape = SPL_SHAPE("question", spl_question, question_fields);

static const struct spl_field answered_fields[] = {
    SPL_FIELD(spl_answered, id, SPL_TEXT, "id", "question"),
    SPL_FIELD(spl_answered, kind, SPL_TEXT, "kind", "kind"),
    SPL_FIELD(spl_answered, how, SPL_TEXT, "how", "answered by"),
    SPL_FIELD(spl_answered, words, SPL_TEXT, "words", "words"),
    SPL_FIELD(spl_answered, by, SPL_TEXT, "by", "by"),
    SPL_FIELD(spl_answered, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_answered, until, SPL_DAY, "until", "asked again on"),
    SPL_FIELD(spl_answered, touches, SPL_TEXTS, "touches", "touches"),
    SPL_FIELD(spl_answered, held, SPL_TEXTS, "held", "held still"),
};
const struct spl_shape spl_answered_shape = SPL_SHAPE("answered", spl_answered, answered_fields);

static const struct spl_input questions_rows[] = {
    SPL_INPUT(spl_questions_question, all, FLAG, "all", "those that were put off too"),
};
const struct spl_inputs spl_questions_question_inputs =
    SPL_INPUTS("questions", spl_questions_question, questions_rows);

static const struct spl_input answer_rows[] = {
    SPL_INPUT(spl_answer_words, id, NAME, "id",
              "the question: how its name begins, or the place or code that it is about",
              .value = "ID", .needed = 1),
    SPL_INPUT(spl_answer_words, evidence, TEXT, "evidence",
              "who said what, or which test showed it"),
    SPL_INPUT(spl_answer_words, later, DAY, "later", "not known yet: asked again on that day"),
    SPL_INPUT(spl_answer_words, unknowable, CHOICE, "unknowable",
              "it cannot be known: destroy all that it touches, keep it for outside use only, or "
              "take a doubt upon yourself",
              .words = "destroy outside mine"),
    SPL_INPUT(spl_answer_words, why, TEXT, "why", "of what cannot be known"),
    SPL_INPUT(spl_answer_words, refuse, TEXT, "refuse",
              "of a colleague's strike or correction: why it is wrong", .value = "WHY"),
    SPL_INPUT(spl_answer_words, back, TEXT, "back",
              "take back what was answered, by the question's name, and why", .value = "WHY"),
    SPL_INPUT(spl_answer_words, by, NAME, "by", "who decided", .value = "WHO", .setting = "who"),
    SPL_INPUT(spl_answer_words, on, DAY, "on", "the day", .past = 1, .today = 1),
};
static const struct spl_rule answer_rules[] = {
    {SPL_RULE_ONE, {"evidence", "later", "unknowable", "refuse", "back"}},
    {SPL_RULE_WITH, {"why", "later", "unknowable"}},
};

static gboolean is(const char *text, const char *word)
{
    return text != NULL && g_ascii_strcasecmp(text, word) == 0;
}

static gboolean check_answer(const void *record, GError **error)
{
    const struct spl_answer_words *words = record;

    if (spl_day_is_set(words->later) && spl_day_is_set(words->on) &&
        spl_day_compare(words->later, words->on) <= 0) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "later",
                            "is not after the day of the answer; give the day on which to ask");
        return FALSE;
    }
    if (words->unknowable != NULL && words->why == NULL) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "why",
                            "say why it cannot be known, for whoever looks into it later");
        return FALSE;
    }
    if (is(words->unknowable, "mine") && words->by == NULL) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "by", "say who takes it upon themselves");
        return FALSE;
    }
    return TRUE;
}

const struct spl_inputs spl_answer_inputs = SPL_INPUTS(
    "answer", spl_answer_words, answer_rows, SPL_RULES(answer_rules), .check = check_answer);

/* ---- what is asked ---- */

#define DAY_US (G_GINT64_CONSTANT(86400) * 1000000)

static char *whom_to_ask(const struct spl_state_reason *reason)
{
    if (reason->who != NULL)
        return g_strdup(reason->who);
    if (reason->root.kind >= SPL_JUDGED_GROUND && reason->about != NULL)
        return g_strdup_printf("the owner or tenant of %s", reason->about);
    return g_strdup("yourself");
}

static struct spl_question told(const struct spl_asked *asked)
{
    struct spl_question question = {
        .id = g_strdup(asked->id),
        .kind = g_strdup(spl_judged_kind_name(asked->reason.root.kind)),
        .grade = asked->grade,
        .urgency = asked->urgency,
        .since = {(gint32)(asked->since / DAY_US)},
        .about = g_strdup(asked->reason.about),
        .why = g_strdup(asked->reason.why),
        .holds = !asked->reason.root.asks_only,
        .evidence = g_strdup(asked->reason.fact),
        .touches = g_ptr_array_ref(asked->codes),
        .ask = whom_to_ask(&asked->reason),
        .next = spl_next_copy(asked->reason.next),
    };

    if (asked->reason.root.kind == SPL_JUDGED_RULES) {
        g_autofree char *why = question.why;

        question.why = g_strdup_printf("by the rules of today, otherwise than when it was logged: "
                                       "%u would be judged otherwise; one of them %s",
                                       asked->codes->len, why);
    }
    return question;
}

/* Those of one person behind the most urgent of them. */
static void join_by_whom(GArray *questions)
{
    guint n = questions->len;
    g_autofree struct spl_question *sorted = g_new(struct spl_question, MAX(n, 1));
    g_autofree gboolean *taken = g_new0(gboolean, MAX(n, 1));
    guint next = 0;

    for (guint i = 0; i < n; i++) {
        const char *ask = g_array_index(questions, struct spl_question, i).ask;

        for (guint k = i; k < n && !taken[i]; k++) {
            if (k != i && (taken[k] ||
                           strcmp(g_array_index(questions, struct spl_question, k).ask, ask) != 0))
                continue;
            if (k != i)
                taken[k] = TRUE;
            sorted[next++] = g_array_index(questions, struct spl_question, k);
        }
        taken[i] = TRUE;
    }
    if (n > 0)
        memcpy(questions->data, sorted, n * sizeof *sorted);
}

/* Of the state, and what colleagues corrected. */
static GArray *all_asked(struct spl_house *house, struct spl_standings *standings, gboolean asleep,
                         GError **error)
{
    g_autoptr(GArray) asked = spl_standings_asked(house, standings, asleep, error);

    if (asked == NULL || !spl_revisions_ask(house, asleep, asked, error))
        return NULL;
    return g_steal_pointer(&asked);
}

GArray *spl_questions_of(struct spl_house *house, struct spl_standings *standings, gboolean asleep,
                         GError **error)
{
    g_autoptr(GArray) asked = all_asked(house, standings, asleep, error);
    GArray *list;

    if (asked == NULL)
        return NULL;
    list = spl_list_new(&spl_question_shape);
    for (guint i = 0; i < asked->len; i++) {
        struct spl_question one = told(&g_array_index(asked, struct spl_asked, i));

        g_array_append_val(list, one);
    }
    join_by_whom(list);
    return list;
}

GArray *spl_questions(struct spl_house *house, const struct spl_questions_question *said,
                      GError **error)
{
    struct spl_questions_question question;
    g_autoptr(spl_standings) standings = NULL;
    GArray *list;

    if (!spl_entry_take(house, &spl_questions_question_inputs, said, &question, error))
        return NULL;
    standings = spl_standings_load(house, error);
    list = standings != NULL ? spl_questions_of(house, standings, question.all, error) : NULL;
    spl_inputs_clear(&spl_questions_question_inputs, &question);
    return list;
}

char *spl_questions_settled(const GArray *questions, const char *ask)
{
    static const struct {
        char kind;
        const char *one, *many;
    } nouns[] = {{'H', "harvest", "harvests"}, {'P', "purchase", "purchases"},
                 {'D', "drying", "dryings"},   {'B', "jar", "jars"},
                 {'L', "lot", "lots"},         {'N', "note", "notes"},
                 {'U', "use", "uses"}};
    g_autoptr(GHashTable) codes = g_hash_table_new(g_str_hash, g_str_equal);
    guint counts[G_N_ELEMENTS(nouns)] = {0};
    GString *text = g_string_new(NULL);

    for (guint i = 0; i < questions->len; i++) {
        const struct spl_question *one = &g_array_index(questions, struct spl_question, i);

        for (guint k = 0; k < one->touches->len && strcmp(one->ask, ask) == 0; k++) {
            char *code = g_ptr_array_index(one->touches, k);
            const char *bare = strchr(code, ':') != NULL ? strchr(code, ':') + 1 : code;

            for (gsize n = 0; n < G_N_ELEMENTS(nouns); n++)
                if (*bare == nouns[n].kind && g_hash_table_add(codes, code))
                    counts[n]++;
        }
    }
    for (gsize n = 0; n < G_N_ELEMENTS(nouns); n++)
        if (counts[n] > 0)
            g_string_append_printf(text, "%s%u %s", text->len > 0 ? ", " : "", counts[n],
                                   counts[n] == 1 ? nouns[n].one : nouns[n].many);
    return g_string_free(text, FALSE);
}

/* ---- what is answered ---- */

/* By its name, of which the beginning is enough; by the place that it is about, or a code that it
 * touches. */
static gboolean is_called(const struct spl_asked *asked, const char *said)
{
    g_autofree char *key = spl_name_key(said);
    g_autofree char *about = asked->reason.about != NULL ? spl_name_key(asked->reason.about) : NULL;

    if (g_ascii_strncasecmp(asked->id, said, strlen(said)) == 0 || g_strcmp0(about, key) == 0)
        return TRUE;
    for (guint i = 0; i < asked->codes->len; i++)
        if (g_ascii_strcasecmp(g_ptr_array_index(asked->codes, i), said) == 0)
            return TRUE;
    return FALSE;
}

static const struct spl_asked *find_asked(const GArray *asked, const char *id, GError **error)
{
    const struct spl_asked *found = NULL;
    guint n = 0;

    for (guint i = 0; i < asked->len; i++) {
        const struct spl_asked *one = &g_array_index(asked, struct spl_asked, i);

        if (is_called(one, id)) {
            found = one;
            n++;
        }
    }
    if (n == 1)
        return found;
    spl_error_set_input(
        error, n == 0 ? SPL_ERROR_NOT_FOUND : SPL_ERROR_INVALID, "id",
        n == 0 ? "no open question is called or about '%s'; look at the list of questions"
               : "'%s' is said of several questions; give the name of one",
        id);
    return NULL;
}

static enum spl_answer_how how_of(const struct spl_answer_words *words)
{
    if (words->evidence != NULL)
        return SPL_ANSWER_EVIDENCE;
    if (spl_day_is_set(words->later))
        return SPL_ANSWER_LATER;
    if (is(words->unknowable, "destroy"))
        return SPL_ANSWER_DESTROY;
    return is(words->unknowable, "outside") ? SPL_ANSWER_OUTSIDE : SPL_ANSWER_MINE;
}

/* A correction by another is agreed to or refused; it is nothing that cannot be known. */
static gboolean may_answer_revision(const struct spl_asked *asked,
                                    const struct spl_answer_words *words, GError **error)
{
    const gboolean revision = asked->reason.root.kind == SPL_HELD_REVISED;

    if (revision && words->unknowable != NULL)
        spl_error_set_input(error, SPL_ERROR_REFUSED, "unknowable",
                            "does not settle a correction (%s); agree to it with evidence, put it "
                            "off, or refuse it",
                            asked->reason.why);
    else if (!revision && words->refuse != NULL)
        spl_error_set_input(error, SPL_ERROR_REFUSED, "refuse",
                            "is for what a colleague struck or corrected; this asks something else "
                            "(%s)",
                            asked->reason.why);
    else
        return TRUE;
    return FALSE;
}

/* What was sprayed, withdrawn or is deadly goes by no mere word. */
static gboolean may_answer(const struct spl_asked *asked, enum spl_answer_how how, GError **error)
{
    if (asked->grade != SPL_STATE_STOP || asked->reason.root.asks_only ||
        (how != SPL_ANSWER_EVIDENCE && how != SPL_ANSWER_MINE))
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_REFUSED,
                        how == SPL_ANSWER_MINE ? "unknowable" : "evidence",
                        "does not settle what is a stop (%s); correct or strike the note if it is "
                        "wrong, or release each record with its evidence",
                        asked->reason.why);
    spl_error_explain(error, spl_judged_kind_name(asked->reason.root.kind), NULL, NULL);
    return FALSE;
}

static gboolean throw_away(struct spl_house *house, const struct spl_asked *asked,
                           const struct spl_answer_words *words, GError **error)
{
    for (guint i = 0; i < asked->codes->len; i++) {
        const struct spl_discard_words gone = {.code = g_ptr_array_index(asked->codes, i),
                                               .amount = {NAN, NAN},
                                               .why = words->why,
                                               .on = words->on,
                                               .by = words->by};
        struct spl_discarded discarded;
        GError *failed = NULL;

        if (spl_discard(house, &gone, &discarded, &failed)) {
            spl_record_clear(&spl_discarded_shape, &discarded);
        } else {
            g_propagate_error(error, failed);
            return FALSE;
        }
    }
    return TRUE;
}

static gboolean write_answer(struct spl_house *house, const struct spl_asked *asked,
                             const struct spl_answer_words *words, GError **error)
{
    const enum spl_answer_how how = how_of(words);
    struct spl_answer answer = {
        .question = asked->id,
        .kind = (char *)spl_judged_kind_name(asked->reason.root.kind),
        .fact = asked->reason.fact,
        .version = asked->reason.root.version,
        .grade = asked->grade,
        .how = how,
        .until = words->later,
        .words = (char *)(words->evidence != NULL ? words->evidence : words->why),
        .by = (char *)words->by,
        .day = words->on,
    };
    gboolean ok;

    if (!may_answer_revision(asked, words, error))
        return FALSE;
    if (words->refuse != NULL) {
        spl_ground_map_forget(house);
        return spl_strike_row(house->book, asked->reason.fact, words->by, words->refuse, error);
    }
    if (asked->reason.root.kind == SPL_HELD_REVISED)
        spl_ground_map_forget(house); /* it knows what waits */
    ok = may_answer(asked, how, error) &&
         (how != SPL_ANSWER_DESTROY || throw_away(house, asked, words, error)) &&
         spl_answer_add(house->book, &answer, error);

    g_free(answer.uuid);
    g_free(answer.mark);
    return ok;
}

/* Of what the question touched, what its answer did not free. */
static gboolean look_again(struct spl_house *house, const struct spl_asked *asked, GPtrArray *held,
                           GError **error)
{
    for (guint i = 0; i < asked->things->len; i++) {
        struct spl_standing standing;

        if (!spl_standing_of(house, g_array_index(asked->things, gint64, i), &standing, error))
            return FALSE;
        if (standing.held)
            g_ptr_array_add(held, g_strdup(g_ptr_array_index(asked->codes, i)));
        spl_standing_clear(&standing);
    }
    return TRUE;
}

/* Inside the transaction. */
static gboolean answer_one(struct spl_house *house, const struct spl_answer_words *words,
                           struct spl_answered *answered, GError **error)
{
    static const char *const names[] = {"evidence", "later", "destroy", "outside", "mine"};
    const char *said = words->evidence != NULL ? words->evidence
                       : words->refuse != NULL ? words->refuse
                                               : words->why;
    g_autoptr(spl_standings) standings = spl_standings_load(house, error);
    g_autoptr(GArray) asked = standings != NULL ? all_asked(house, standings, TRUE, error) : NULL;
    const struct spl_asked *one = asked != NULL ? find_asked(asked, words->id, error) : NULL;

    if (one == NULL || !write_answer(house, one, words, error))
        return FALSE;
    *answered = (struct spl_answered){
        .id = g_strdup(one->id),
        .kind = g_strdup(spl_judged_kind_name(one->reason.root.kind)),
        .how = g_strdup(words->refuse != NULL ? "refuse" : names[how_of(words)]),
        .words = g_strdup(said),
        .by = g_strdup(words->by),
        .date = words->on,
        .until = words->later,
        .touches = g_ptr_array_ref(one->codes),
        .held = g_ptr_array_new_with_free_func(g_free)};
    return look_again(house, one, answered->held, error);
}

gboolean spl_answer(struct spl_house *house, const struct spl_answer_words *said,
                    struct spl_answered *answered, GError **error)
{
    struct spl_answer_words words;
    struct spl_answered made = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_answer_inputs, said, &words, error))
        return FALSE;
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book,
                         words.back != NULL ? spl_answer_back(house, &words, &made, error)
                                            : answer_one(house, &words, &made, error),
                         error);
    if (ok)
        *answered = made;
    else
        spl_record_clear(&spl_answered_shape, &made);
    spl_inputs_clear(&spl_answer_inputs, &words);
    return ok;
}

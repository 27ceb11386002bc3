/* SPDX-License-Identifier: MIT
 *
 * The state of a thing today. See season/state.h.
 */
#include "season/state.h"

#include <string.h>

#include "book/answer.h"
#include "book/harvest.h"
#include "book/state.h"
#include "book/trace.h"
#include "season/judged.h"

/* ---- the rows of some things, spread ---- */

struct spl_standings {
    GArray *reached;   /* struct spl_reached: all things that are looked at */
    GHashTable *codes; /* of their ids, borrowed from there */
    struct spl_state_rows rows;
    GHashTable *evidence; /* numbers of UUIDs */
    GHashTable *reasons;  /* by what they rest on; borrowed from the rows */
    GArray *roots;        /* struct spl_state_root: of the reasons */
    GArray *answers;      /* struct spl_state_answer: of releases and answers */
    GArray *sleeps;       /* struct spl_state_sleep */
    struct spl_state_spread spread;
};

static void states_clear(struct spl_standings *states)
{
    g_clear_pointer(&states->codes, g_hash_table_unref);
    g_clear_pointer(&states->reasons, g_hash_table_unref);
    g_clear_pointer(&states->evidence, g_hash_table_unref);
    g_clear_pointer(&states->roots, g_array_unref);
    g_clear_pointer(&states->answers, g_array_unref);
    g_clear_pointer(&states->sleeps, g_array_unref);
    g_clear_pointer(&states->reached, g_array_unref);
    spl_state_rows_clear(&states->rows);
    spl_state_spread_clear(&states->spread);
}

static guint hash_reason(gconstpointer key)
{
    const struct spl_state_root *root = key;

    return (guint)(root->thing * 31 + root->evidence * 7 + root->kind);
}

static gboolean equal_reasons(gconstpointer a, gconstpointer b)
{
    const struct spl_state_root *first = a, *second = b;

    return first->thing == second->thing && first->kind == second->kind &&
           first->evidence == second->evidence && first->version == second->version;
}

/* What of the kept reasons still counts, and what the ground says today. */
static void take_reasons(struct spl_standings *states, GArray *judged_reasons, GHashTable *judged)
{
    GArray *kept = states->rows.reasons;

    for (guint i = kept->len; i > 0; i--) {
        const struct spl_state_root *root =
            &g_array_index(kept, struct spl_state_reason, i - 1).root;

        if (root->kind == SPL_HELD_PICKED && g_hash_table_contains(judged, &root->thing))
            g_array_remove_index(kept, i - 1);
    }
    g_array_append_vals(kept, judged_reasons->data, judged_reasons->len);
    g_array_set_clear_func(judged_reasons, NULL); /* they are the rows' now */
}

/* ---- what was answered ---- */

static int by_uuid(gconstpointer a, gconstpointer b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* Each reason on its thing, by what it rests on. Numbers rise with the UUIDs, so that the order in
 * which rows came into the book shows nowhere. */
static void number_reasons(struct spl_standings *states)
{
    GArray *reasons = states->rows.reasons;
    g_autoptr(GPtrArray) facts = g_ptr_array_new();

    for (guint i = 0; i < reasons->len; i++)
        g_ptr_array_add(facts, g_array_index(reasons, struct spl_state_reason, i).fact);
    g_ptr_array_sort(facts, by_uuid);
    for (guint i = 0; i < facts->len; i++)
        spl_judged_number(states->evidence, g_ptr_array_index(facts, i));

    states->reasons = g_hash_table_new(hash_reason, equal_reasons);
    states->roots = g_array_new(FALSE, FALSE, sizeof(struct spl_state_root));
    for (guint i = 0; i < reasons->len; i++) {
        struct spl_state_reason *reason = &g_array_index(reasons, struct spl_state_reason, i);

        reason->root.evidence = spl_judged_number(states->evidence, reason->fact);
        g_array_append_val(states->roots, reason->root);
        g_hash_table_insert(states->reasons, &reason->root, reason);
    }
}

/* What was narrowed to outside is its own answer: for outside only. */
static void take_narrowed(struct spl_standings *states)
{
    for (guint i = 0; i < states->roots->len; i++) {
        const struct spl_state_root *root = &g_array_index(states->roots, struct spl_state_root, i);
        struct spl_state_answer answer = {.thing = root->thing,
                                          .kind = root->kind,
                                          .evidence = root->evidence,
                                          .version = root->version,
                                          .grade = root->grade,
                                          .outside = TRUE};

        if (root->kind == SPL_HELD_NARROWED)
            g_array_append_val(states->answers, answer);
    }
}

static void take_releases(struct spl_standings *states)
{
    for (guint i = 0; i < states->rows.releases->len; i++) {
        const struct spl_state_release *release =
            &g_array_index(states->rows.releases, struct spl_state_release, i);
        struct spl_state_answer answer = {.thing = release->thing};

        if (release->kind == NULL) {
            answer.names_none = release->stamp;
        } else {
            answer.kind = spl_judged_kind(release->kind);
            answer.evidence = spl_judged_number(states->evidence, release->fact);
            answer.version = release->version;
            answer.grade = release->grade;
        }
        g_array_append_val(states->answers, answer);
    }
}

/* An answer is to all that hung on the fact when it was given; what is picked there later is asked
 * about anew. */
static void take_answer(struct spl_standings *states, const struct spl_answer *given)
{
    const int kind = spl_judged_kind(given->kind);
    const gint64 evidence = spl_judged_number(states->evidence, given->fact);

    if (given->how == SPL_ANSWER_LATER) {
        struct spl_state_sleep sleep = {kind, evidence, given->version, given->grade, given->until};

        g_array_append_val(states->sleeps, sleep);
    }
    if (given->how == SPL_ANSWER_LATER || given->how == SPL_ANSWER_DESTROY)
        return;
    for (guint i = 0; i < states->roots->len; i++) {
        const struct spl_state_root *root = &g_array_index(states->roots, struct spl_state_root, i);
        struct spl_state_answer answer = {.thing = root->thing,
                                          .kind = kind,
                                          .evidence = evidence,
                                          .version = given->version,
                                          .grade = given->grade,
                                          .outside = given->how == SPL_ANSWER_OUTSIDE};

        if (root->kind == kind && root->evidence == evidence && root->version == given->version &&
            root->stamp < given->at)
            g_array_append_val(states->answers, answer);
    }
}

static gboolean take_answers(struct spl_house *house, struct spl_standings *states, GError **error)
{
    GArray *given = spl_answer_list(house->book, NULL, error);

    states->answers = g_array_new(FALSE, FALSE, sizeof(struct spl_state_answer));
    states->sleeps = g_array_new(FALSE, FALSE, sizeof(struct spl_state_sleep));
    if (given == NULL)
        return FALSE;
    take_releases(states);
    take_narrowed(states);
    for (guint i = 0; i < given->len; i++)
        take_answer(states, &g_array_index(given, struct spl_answer, i));
    spl_list_free(&spl_answer_shape, given);
    return TRUE;
}

/* ---- put together ---- */

static struct spl_state_facts facts_of(const struct spl_standings *states)
{
    return (struct spl_state_facts){.things = states->rows.things,
                                    .draws = states->rows.draws,
                                    .roots = states->roots,
                                    .answers = states->answers};
}

/* All that these things came from, or all that came of them, with what the book and the ground say
 * of it. Takes `reasons` over: struct spl_state_reason of the harvests in `judged`, NULL: those of
 * the harvests that are reached. */
static gboolean states_read(struct spl_house *house, const GArray *seeds, gboolean forward,
                            GArray *reasons, GHashTable *judged, struct spl_standings *states,
                            GError **error)
{
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) found = reasons;
    g_autoptr(GHashTable) all =
        judged != NULL ? g_hash_table_ref(judged)
                       : g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    struct spl_state_facts facts;
    gboolean ok = TRUE;

    *states =
        (struct spl_standings){.reached = spl_trace_reach(house->book, seeds, forward, error)};
    if (states->reached == NULL)
        return FALSE;
    states->evidence = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    states->codes = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < states->reached->len; i++) {
        struct spl_reached *one = &g_array_index(states->reached, struct spl_reached, i);

        g_array_append_val(ids, one->id);
        g_hash_table_insert(states->codes, &one->id, one->code);
    }
    ok = spl_state_read(house->book, ids, &states->rows, error);
    if (ok && found == NULL) {
        found = spl_state_reasons_new();
        ok = spl_judged_reasons(house, ids, found, all, error) &&
             spl_judged_purchases(house, ids, found, error);
    }
    if (ok) {
        take_reasons(states, found, all);
        number_reasons(states);
        ok = take_answers(house, states, error);
    }
    if (!ok) {
        states_clear(states);
        return FALSE;
    }
    facts = facts_of(states);
    spl_state_spread(&facts, &states->spread);
    return TRUE;
}

/* Of one thing: it and all that it came from. */
static gboolean states_behind(struct spl_house *house, gint64 id, struct spl_standings *states,
                              GError **error)
{
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));

    g_array_append_val(seeds, id);
    return states_read(house, seeds, FALSE, NULL, NULL, states, error);
}

/* Of everything that is not free. */
static gboolean states_of_all(struct spl_house *house, struct spl_standings *states, GError **error)
{
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) reasons = spl_state_reasons_new();
    g_autoptr(GHashTable) judged = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);

    if (!spl_state_seeds(house->book, seeds, error) ||
        !spl_judged_all(house, seeds, reasons, judged, error))
        return FALSE;
    return states_read(house, seeds, TRUE, g_steal_pointer(&reasons), judged, states, error);
}

/* ---- words ---- */

/* The reasons of one thing in one sentence, a verdict that follows itself said once: "ask: A; B".
 * `why` is what is said so far, of which `last` is the last; NULL: nothing. */
static char *with_reason(char *why, const struct spl_state_reason *last,
                         const struct spl_state_reason *more)
{
    g_autofree char *before = why;
    gsize said;

    if (why == NULL)
        return g_strdup(more->why);
    said = more->verdict != SPL_VERDICT_NONE && last->verdict == more->verdict
               ? strlen(spl_verdict_names[more->verdict]) + strlen(": ")
               : 0;
    return g_strdup_printf("%s; %s", before, more->why + said);
}

static const struct spl_state_reason *reason_of(const struct spl_standings *states,
                                                const struct spl_state_root *root)
{
    return g_hash_table_lookup(states->reasons, root);
}

static const char *code_of(const struct spl_standings *states, gint64 thing)
{
    const char *code = g_hash_table_lookup(states->codes, &thing);

    return code != NULL ? code : "";
}

/* Of two roots of one fact the one on the thing that is named first. */
static gboolean goes_before(const struct spl_standings *states, const struct spl_state_root *root,
                            const struct spl_state_root *first)
{
    return root->grade == first->grade && root->stamp == first->stamp &&
           root->kind == first->kind && root->evidence == first->evidence &&
           root->version == first->version &&
           strcmp(code_of(states, root->thing), code_of(states, first->thing)) < 0;
}

/* Does this mark say why a thing is held: of what stands on itself, or of what came from afar? */
static const struct spl_state_root *holding_root(const struct spl_standings *states, guint mark_at,
                                                 const struct spl_state_sum *sum, gint64 id,
                                                 gboolean own)
{
    const struct spl_state_mark *mark =
        &g_array_index(states->spread.marks, struct spl_state_mark, mark_at);
    const struct spl_state_root *root =
        &g_array_index(states->spread.roots, struct spl_state_root, mark->root);

    if ((mark->modes & SPL_STATE_HELD) == 0 || (root->thing == id) != own ||
        (own && sum->withdrawn && !root->withdraws))
        return NULL;
    return root;
}

/* Every reason that reaches a thing; NULL: none does. */
static GArray *because(const struct spl_standings *states, const struct spl_state_sum *sum)
{
    GArray *causes = sum->n > 0 ? spl_list_new(&spl_cause_shape) : NULL;
    g_autoptr(GArray) roots = g_array_new(FALSE, FALSE, sizeof(struct spl_state_root));

    for (guint i = sum->first; i < sum->first + sum->n; i++) {
        const struct spl_state_mark *mark =
            &g_array_index(states->spread.marks, struct spl_state_mark, i);
        const struct spl_state_root *root =
            &g_array_index(states->spread.roots, struct spl_state_root, mark->root);
        const struct spl_state_reason *reason = reason_of(states, root);
        guint at = roots->len;
        struct spl_cause cause = {
            .kind = g_strdup(spl_judged_kind_name(root->kind)),
            .grade = root->grade,
            .holds = (mark->modes & SPL_STATE_HELD) != 0,
            .what = g_strdup(reason->why),
            .of = g_strdup(g_hash_table_lookup(states->codes, &root->thing)),
            .about = g_strdup(reason->about),
            .evidence = g_strdup(reason->fact),
            .ask = g_strdup(reason->who),
            .next = spl_judged_settles(root, reason, code_of(states, root->thing)),
        };

        while (at > 0 &&
               goes_before(states, root, &g_array_index(roots, struct spl_state_root, at - 1)))
            at--;
        g_array_insert_val(roots, at, *root);
        g_array_insert_val(causes, at, cause);
    }
    return causes;
}

/* Behind what stands on the thing itself only a stop from afar is worth its words, and not said
 * twice. */
static gboolean is_worth_saying(const struct spl_standings *states,
                                const struct spl_state_root *root, gboolean own,
                                const GPtrArray *said)
{
    return own || said->len == 0 ||
           (root->grade == SPL_STATE_STOP &&
            !g_ptr_array_find_with_equal_func((GPtrArray *)said, reason_of(states, root)->why,
                                              g_str_equal, NULL));
}

/* Why it is held, by what stands on itself, or by the first thing from which more comes; what was
 * said goes into `said` (borrowed). NULL: there is no more. */
static char *why_held(const struct spl_standings *states, const struct spl_state_sum *sum,
                      gint64 id, gboolean own, GPtrArray *said)
{
    const struct spl_state_root *first = NULL;
    const struct spl_state_reason *last_said = NULL;
    g_autoptr(GPtrArray) now = g_ptr_array_new();
    char *why = NULL;

    for (guint i = sum->first; i < sum->first + sum->n; i++) {
        const struct spl_state_root *root = holding_root(states, i, sum, id, own);

        if (root != NULL && is_worth_saying(states, root, own, said) &&
            (first == NULL || goes_before(states, root, first)))
            first = root;
    }
    for (guint i = sum->first; first != NULL && i < sum->first + sum->n; i++) {
        const struct spl_state_root *root = holding_root(states, i, sum, id, own);

        if (root == NULL || root->thing != first->thing ||
            !is_worth_saying(states, root, own, said))
            continue;
        why = with_reason(why, last_said, reason_of(states, root));
        last_said = reason_of(states, root);
        g_ptr_array_add(now, reason_of(states, root)->why);
    }
    g_ptr_array_extend_and_steal(said, g_steal_pointer(&now));
    if (first != NULL && !own) {
        g_autofree char *reasons = why;

        why = g_strdup_printf("comes of %s, which is %s (%s)", code_of(states, first->thing),
                              first->withdraws ? "withdrawn" : "held", reasons);
    }
    return why;
}

/* NULL: it is not held. */
static char *why_in(const struct spl_standings *states, const struct spl_state_sum *sum, gint64 id)
{
    g_autoptr(GPtrArray) said = g_ptr_array_new();
    g_autofree char *own = NULL, *afar = NULL;

    if (!sum->held)
        return NULL;
    own = why_held(states, sum, id, TRUE, said);
    afar = why_held(states, sum, id, FALSE, said);
    return own != NULL && afar != NULL ? g_strdup_printf("%s; %s", own, afar)
                                       : g_strdup(own != NULL ? own : afar);
}

static void standing_in(const struct spl_standings *states, gint64 id,
                        struct spl_standing *standing)
{
    struct spl_state_sum sum = spl_state_sum(&states->spread, id);

    *standing = (struct spl_standing){.held = sum.held,
                                      .asked = sum.asked,
                                      .outside = sum.outside,
                                      .withdrawn = sum.withdrawn,
                                      .bars_start = sum.bars_start,
                                      .because = because(states, &sum)};
    for (guint i = sum.first; i < sum.first + sum.n; i++) {
        const struct spl_state_mark *mark =
            &g_array_index(states->spread.marks, struct spl_state_mark, i);

        standing->stopped |=
            (mark->modes & SPL_STATE_HELD) != 0 &&
            g_array_index(states->spread.roots, struct spl_state_root, mark->root).grade ==
                SPL_STATE_STOP;
    }
    standing->why = why_in(states, &sum, id);
}

void spl_standing_clear(struct spl_standing *standing)
{
    g_clear_pointer(&standing->why, g_free);
    spl_list_free(&spl_cause_shape, standing->because);
    standing->because = NULL;
}

gboolean spl_standing_of(struct spl_house *house, gint64 id, struct spl_standing *standing,
                         GError **error)
{
    struct spl_standings states;

    if (!states_behind(house, id, &states, error))
        return FALSE;
    standing_in(&states, id, standing);
    states_clear(&states);
    return TRUE;
}

struct spl_standings *spl_standings_load(struct spl_house *house, GError **error)
{
    struct spl_standings *standings = g_new0(struct spl_standings, 1);

    if (states_of_all(house, standings, error))
        return standings;
    g_free(standings);
    return NULL;
}

void spl_standings_free(struct spl_standings *standings)
{
    if (standings == NULL)
        return;
    states_clear(standings);
    g_free(standings);
}

void spl_standings_get(const struct spl_standings *standings, gint64 id,
                       struct spl_standing *standing)
{
    standing_in(standings, id, standing);
}

GArray *spl_standings_ids(const struct spl_standings *standings, gboolean withdrawn)
{
    GArray *ids = g_array_new(FALSE, FALSE, sizeof(gint64));

    for (guint i = 0; i < standings->reached->len; i++) {
        const gint64 id = g_array_index(standings->reached, struct spl_reached, i).id;

        if (!withdrawn || spl_state_sum(&standings->spread, id).withdrawn)
            g_array_append_val(ids, id);
    }
    return ids;
}

char *spl_standings_why(const struct spl_standings *standings, gint64 id)
{
    struct spl_state_sum sum = spl_state_sum(&standings->spread, id);

    return why_in(standings, &sum, id);
}

/* Of the reasons those that hold. */
static GArray *only_holding(GArray *causes)
{
    GArray *holding = spl_list_new(&spl_cause_shape);

    for (guint i = 0; causes != NULL && i < causes->len; i++) {
        struct spl_cause *cause = &g_array_index(causes, struct spl_cause, i);

        if (cause->holds) {
            g_array_append_val(holding, *cause);
            memset(cause, 0, sizeof *cause); /* it is the list's now */
        }
    }
    spl_list_free(&spl_cause_shape, causes);
    return holding;
}

GArray *spl_standing_release(struct spl_house *house, gint64 id, struct spl_day day, const char *by,
                             const char *evidence, GError **error)
{
    struct spl_standings states;
    struct spl_state_sum sum;
    GArray *answered = NULL;
    gboolean ok = TRUE;

    if (!states_behind(house, id, &states, error))
        return NULL;
    sum = spl_state_sum(&states.spread, id);
    for (guint i = sum.first; ok && i < sum.first + sum.n; i++) {
        const struct spl_state_mark *mark =
            &g_array_index(states.spread.marks, struct spl_state_mark, i);
        const struct spl_state_root *root =
            &g_array_index(states.spread.roots, struct spl_state_root, mark->root);
        const struct spl_release_of of = {.kind = spl_judged_kind_name(root->kind),
                                          .fact = reason_of(&states, root)->fact,
                                          .version = root->version,
                                          .grade = spl_state_grade_names[root->grade]};

        if ((mark->modes & SPL_STATE_HELD) != 0)
            ok = spl_release_add(house->book, id, day, by, evidence, &of, error);
    }
    if (ok)
        answered = only_holding(because(&states, &sum));
    states_clear(&states);
    return answered;
}

/* ---- questions ---- */

static void clear_asked(gpointer data)
{
    struct spl_asked *asked = data;

    g_free(asked->id);
    g_clear_pointer(&asked->codes, g_ptr_array_unref);
    g_clear_pointer(&asked->things, g_array_unref);
    spl_state_reason_clear(&asked->reason);
}

/* Of each question the worst of its reasons; what that says holds for all of them. The roots are
 * their own keys. */
static GHashTable *worst_roots(const struct spl_standings *states)
{
    GHashTable *worst = g_hash_table_new(spl_state_root_hash, spl_state_root_equal);

    for (guint i = 0; i < states->spread.roots->len; i++) {
        struct spl_state_root *root =
            &g_array_index(states->spread.roots, struct spl_state_root, i);
        const struct spl_state_root *other = g_hash_table_lookup(worst, root);

        if (other == NULL || goes_before(states, root, other))
            g_hash_table_replace(worst, root, root);
    }
    return worst;
}

static int by_code(gconstpointer a, gconstpointer b, gpointer states)
{
    return strcmp(code_of(states, *(const gint64 *)a), code_of(states, *(const gint64 *)b));
}

static void add_asked(const struct spl_standings *states, GHashTable *roots,
                      const struct spl_state_question *question, GArray *list)
{
    const struct spl_state_root asks = {
        .kind = question->kind, .evidence = question->evidence, .version = question->version};
    const struct spl_state_root *worst = g_hash_table_lookup(roots, &asks);
    struct spl_asked asked = {.grade = question->grade,
                              .urgency = question->urgency,
                              .since = question->since,
                              .codes = g_ptr_array_new_with_free_func(g_free),
                              .things = g_array_ref(question->things)};

    g_array_sort_with_data(asked.things, by_code, (gpointer)states);
    if (worst != NULL) /* it always is */
        spl_state_reason_copy(reason_of(states, worst), &asked.reason);
    if (asked.reason.about == NULL)
        asked.reason.about = g_strdup(code_of(states, asked.reason.root.thing));
    asked.id = spl_state_question_id(spl_judged_kind_name(question->kind), asked.reason.fact,
                                     question->version);
    for (guint i = 0; i < asked.things->len; i++)
        g_ptr_array_add(asked.codes,
                        g_strdup(code_of(states, g_array_index(asked.things, gint64, i))));
    g_array_append_val(list, asked);
}

GArray *spl_standings_asked(struct spl_house *house, struct spl_standings *states, gboolean asleep,
                            GError **error)
{
    const struct spl_state_facts facts = facts_of(states);
    g_autoptr(GArray) questions = NULL;
    g_autoptr(GHashTable) roots = worst_roots(states);
    GArray *list;

    if (!spl_state_over(house->book, house->today, states->rows.things, error))
        return NULL;
    questions =
        spl_state_questions(&facts, &states->spread, asleep ? NULL : states->sleeps, house->today);
    list = g_array_new(FALSE, FALSE, sizeof(struct spl_asked));
    g_array_set_clear_func(list, clear_asked);
    for (guint i = 0; i < questions->len; i++)
        add_asked(states, roots, &g_array_index(questions, struct spl_state_question, i), list);
    return list;
}

GPtrArray *spl_standing_downstream(struct spl_house *house, gint64 id, GError **error)
{
    g_autoptr(GArray) seeds = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autoptr(GArray) reached = NULL;
    GPtrArray *codes;

    g_array_append_val(seeds, id);
    reached = spl_trace_reach(house->book, seeds, TRUE, error);
    if (reached == NULL)
        return NULL;
    codes = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < reached->len; i++) {
        const struct spl_reached *one = &g_array_index(reached, struct spl_reached, i);

        if (one->id != id)
            g_ptr_array_add(codes, g_strdup(one->code));
    }
    return codes;
}

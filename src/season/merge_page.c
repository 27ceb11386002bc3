/* SPDX-License-Identifier: MIT
 *
 * The page of a merge. See season/merge_page.h.
 *
 * The book as it was is read by a second connection, which began before the first row came; what is
 * looked at in both is what the merge touched, so that the page costs no more than that and what is
 * held or asked.
 */
#include "season/merge_page.h"

#include <string.h>

#include "book/answer.h"
#include "book/judged.h"
#include "book/merge_news.h"
#include "book/revision.h"
#include "book/setting.h"
#include "book/state.h"
#include "season/ground.h"
#include "season/ground_map.h"
#include "season/judged_near.h"
#include "season/question.h"
#include "season/revision.h"
#include "simpling/error.h"

const char *const spl_merge_turn_names[] = {"milder", "stricter", "otherwise", NULL};

/* ---- what waits for a word ---- */

static enum spl_merge_turn turn_of(const struct spl_revision_told *told)
{
    return told->counts      ? SPL_MERGE_STRICTER
           : told->of_danger ? SPL_MERGE_MILDER
                             : SPL_MERGE_OTHERWISE;
}

/* Those of one turn, behind the others. */
static void list_turn(const GArray *told, enum spl_merge_turn turn, GArray *revisions)
{
    for (guint i = 0; i < told->len; i++) {
        const struct spl_revision_told *one = &g_array_index(told, struct spl_revision_told, i);

        if (one->uuid != NULL && turn_of(one) == turn) {
            struct spl_merge_revision revision = {.number = (int)revisions->len + 1,
                                                  .id = g_strdup(one->id),
                                                  .turn = turn,
                                                  .about = g_strdup(one->about),
                                                  .what = g_strdup(one->what),
                                                  .accepted = TRUE};

            g_array_append_val(revisions, revision);
        }
    }
}

/* What `but` names is left as it is. */
static gboolean leave_one(GArray *revisions, const char *word, GError **error)
{
    guint64 number;
    guint found = 0;

    for (guint i = 0; i < revisions->len; i++) {
        struct spl_merge_revision *one = &g_array_index(revisions, struct spl_merge_revision, i);
        const gboolean counted =
            g_ascii_string_to_unsigned(word, 10, 1, G_MAXINT, &number, NULL) && strlen(word) < 4;

        if (counted ? (int)number == one->number
                    : g_ascii_strncasecmp(one->id, word, strlen(word)) == 0) {
            one->accepted = FALSE;
            found++;
        }
    }
    if (found != 1)
        spl_error_set_input(error, found == 0 ? SPL_ERROR_NOT_FOUND : SPL_ERROR_INVALID, "but",
                            found == 0 ? "'%s' is none of the %u that are listed"
                                       : "'%s' is said of several of the %u that are listed",
                            word, revisions->len);
    return found == 1;
}

static gboolean leave_those(GArray *revisions, const char *but, GError **error)
{
    g_auto(GStrv) words = but != NULL ? g_strsplit_set(but, ", ", -1) : NULL;

    for (guint i = 0; words != NULL && words[i] != NULL; i++)
        if (*words[i] != '\0' && !leave_one(revisions, words[i], error))
            return FALSE;
    return TRUE;
}

static gint64 stamp_of(const GArray *told, const char *id, const char **uuid)
{
    for (guint i = 0; i < told->len; i++) {
        const struct spl_revision_told *one = &g_array_index(told, struct spl_revision_told, i);

        if (one->uuid != NULL && strcmp(one->id, id) == 0) {
            *uuid = one->uuid;
            return one->at;
        }
    }
    return 0;
}

/* Agrees to those that are not left, each by an answer to its question. */
static gboolean accept(struct spl_house *house, struct spl_book *other, const GArray *told,
                       const GArray *revisions, const struct spl_merge_words *words, GError **error)
{
    g_autoptr(GArray) answers = g_array_new(FALSE, TRUE, sizeof(struct spl_answer));
    g_autofree char *said =
        g_strdup_printf("accepted when the book of %s was merged", spl_setting_mark(other));
    gboolean ok;

    for (guint i = 0; i < revisions->len; i++) {
        const struct spl_merge_revision *one =
            &g_array_index(revisions, struct spl_merge_revision, i);
        const char *uuid = NULL;
        const gint64 stamp = stamp_of(told, one->id, &uuid);
        struct spl_answer answer = {.question = one->id,
                                    .kind = (char *)SPL_REVISION_KIND,
                                    .fact = (char *)uuid,
                                    .version = stamp,
                                    .grade = SPL_STATE_DOUBT,
                                    .how = SPL_ANSWER_EVIDENCE,
                                    .until = SPL_DAY_NONE,
                                    .words = said,
                                    .by = (char *)words->by,
                                    .day = words->on};

        if (one->accepted)
            g_array_append_val(answers, answer);
    }
    ok = answers->len == 0 ||
         spl_answer_add_all(house->book, (struct spl_answer *)(gpointer)answers->data, answers->len,
                            error);
    for (guint i = 0; i < answers->len; i++) {
        g_free(g_array_index(answers, struct spl_answer, i).uuid);
        g_free(g_array_index(answers, struct spl_answer, i).mark);
    }
    return ok;
}

GArray *spl_merge_revisions(struct spl_house *house, struct spl_book *other,
                            const struct spl_merge_words *words, GError **error)
{
    g_autoptr(GArray) told = spl_revisions_tell(house, error);
    GArray *revisions;
    gboolean ok = told != NULL;

    for (guint i = 0; ok && i < told->len; i++) {
        struct spl_revision_told *one = &g_array_index(told, struct spl_revision_told, i);
        gboolean theirs;

        ok = spl_news_has_revision(other, one->uuid, &theirs, error);
        if (ok && !theirs)
            g_clear_pointer(&one->uuid, g_free);
    }
    if (!ok)
        return NULL;
    revisions = spl_list_new(&spl_merge_revision_shape);
    for (int turn = SPL_MERGE_MILDER; spl_merge_turn_names[turn] != NULL; turn++)
        list_turn(told, (enum spl_merge_turn)turn, revisions);
    if (leave_those(revisions, words->but, error)) {
        for (guint i = 0; !words->accept && i < revisions->len; i++)
            g_array_index(revisions, struct spl_merge_revision, i).accepted = FALSE;
        if (accept(house, other, told, revisions, words, error))
            return revisions;
    }
    spl_list_free(&spl_merge_revision_shape, revisions);
    return NULL;
}

/* ---- both books, side by side ---- */

struct both {
    struct spl_house *house;
    struct spl_book *before, *now;
    spl_standings *stood, *stand;
    GArray *changes; /* struct spl_merge_change */
};

/* What is asked next is asked of this book. */
static void turn_to(const struct both *both, struct spl_book *book)
{
    if (both->house->book == book)
        return;
    spl_ground_map_forget(both->house);
    both->house->book = book;
}

static void add_change(const struct both *both, struct spl_merge_change change)
{
    g_array_append_val(both->changes, change);
}

static enum spl_merge_turn turned(int before, int after)
{
    return after < before ? SPL_MERGE_MILDER : SPL_MERGE_STRICTER;
}

/* ---- places ---- */

static gboolean take_place(const struct spl_site *site, gpointer data, GError **error)
{
    (void)error;
    g_array_append_val((GArray *)data, site->id);
    return TRUE;
}

/* Ids of those of which something was said, or that what was said reaches. */
static GArray *places_touched(const struct both *both, gint64 last, GError **error)
{
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(gint64));
    g_autofree char *basis = NULL;
    gboolean everywhere = FALSE, spreads;
    GError *failed = NULL;

    basis = spl_judged_basis(both->now, &failed);
    if (failed != NULL) {
        g_propagate_error(error, failed);
        return NULL;
    }
    if (!spl_judged_spreads(both->now, &spreads, error) ||
        (basis != NULL && spreads && !spl_judged_mark_near(both->house, &everywhere, error)))
        return NULL;
    if (basis == NULL || everywhere) {
        if (!spl_site_each(both->now, take_place, ids, error))
            return NULL;
    } else if (!spl_judged_places(both->now, ids, error)) {
        return NULL;
    }
    for (guint i = ids->len; i > 0; i--)
        if (g_array_index(ids, gint64, i - 1) > last)
            g_array_remove_index(ids, i - 1); /* it came with the merge */
    return g_steal_pointer(&ids);
}

/* The place in this book; FALSE without an error: there is none. */
static gboolean load_place(struct spl_book *book, gint64 id, struct spl_site *site, GError **error)
{
    GError *failed = NULL;

    if (spl_site_load(book, id, site, &failed))
        return TRUE;
    if (g_error_matches(failed, SPL_ERROR, SPL_ERROR_NOT_FOUND))
        g_error_free(failed);
    else
        g_propagate_error(error, failed);
    return FALSE;
}

/* How a place stands today in the book that is turned to, with its ground read once; NONE: there is
 * no such place. Words only where it stands otherwise than `was`: few do. */
static gboolean look_at_place(const struct both *both, gint64 id, enum spl_verdict was,
                              enum spl_verdict *is, GError **error)
{
    g_autoptr(spl_ground) ground = NULL;
    struct spl_verdict_result result;
    struct spl_site site;
    GError *failed = NULL;

    *is = SPL_VERDICT_NONE;
    if (!load_place(both->house->book, id, &site, &failed)) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        return failed == NULL;
    }
    ground = spl_ground_load(both->house, &site, error);
    if (ground != NULL)
        *is = spl_ground_worst_grade(ground, both->house->today, NULL);
    if (ground != NULL && was != SPL_VERDICT_NONE && *is != was) {
        spl_ground_verdict(ground, both->house->today, NULL, &result);
        add_change(both, (struct spl_merge_change){.turn = turned((int)was, (int)*is),
                                                   .about = g_strdup(site.name),
                                                   .what = g_strdup("verdict"),
                                                   .before = g_strdup(spl_verdict_names[was]),
                                                   .after = g_strdup(spl_verdict_names[*is]),
                                                   .why = spl_ground_why(&result)});
        spl_verdict_result_clear(&result);
    }
    spl_record_clear(&spl_site_shape, &site);
    return ground != NULL;
}

static gboolean compare_places(const struct both *both, gint64 last, GError **error)
{
    g_autoptr(GArray) ids = NULL, before = g_array_new(FALSE, TRUE, sizeof(enum spl_verdict));
    enum spl_verdict now;

    turn_to(both, both->now);
    ids = places_touched(both, last, error);
    if (ids == NULL)
        return FALSE;
    g_array_set_size(before, ids->len);
    turn_to(both, both->before);
    for (guint i = 0; i < ids->len; i++)
        if (!look_at_place(both, g_array_index(ids, gint64, i), SPL_VERDICT_NONE,
                           &g_array_index(before, enum spl_verdict, i), error))
            return FALSE;
    turn_to(both, both->now);
    for (guint i = 0; i < ids->len; i++)
        if (!look_at_place(both, g_array_index(ids, gint64, i),
                           g_array_index(before, enum spl_verdict, i), &now, error))
            return FALSE;
    return TRUE;
}

/* ---- records ---- */

static const char *const state_names[] = {"free", "asked about", "for outside only", "held",
                                          "withdrawn"};

static int state_of(const spl_standings *standings, gint64 id, char **why)
{
    struct spl_standing standing;
    int state;

    spl_standings_get(standings, id, &standing);
    state = standing.withdrawn ? 4
            : standing.held    ? 3
            : standing.outside ? 2
            : standing.asked   ? 1
                               : 0;
    *why = g_steal_pointer(&standing.why);
    spl_standing_clear(&standing);
    return state;
}

static gboolean compare_record(const struct both *both, gint64 id, GError **error)
{
    g_autofree char *why_before = NULL, *why_now = NULL, *uuid = NULL, *code = NULL;
    const int before = state_of(both->stood, id, &why_before);
    const int after = state_of(both->stand, id, &why_now);

    if (before == after)
        return TRUE;
    if (!spl_state_thing_named(both->now, id, &uuid, &code, error))
        return FALSE;
    add_change(both,
               (struct spl_merge_change){.turn = turned(before, after),
                                         .about = g_steal_pointer(&code),
                                         .what = g_strdup("state"),
                                         .before = g_strdup(state_names[before]),
                                         .after = g_strdup(state_names[after]),
                                         .why = g_strdup(why_now != NULL ? why_now : why_before)});
    return TRUE;
}

static gboolean compare_records(const struct both *both, gint64 last, GError **error)
{
    g_autoptr(GArray) ids = spl_standings_ids(both->stood, FALSE);
    g_autoptr(GArray) now = spl_standings_ids(both->stand, FALSE);
    g_autoptr(GHashTable) seen = g_hash_table_new(g_int64_hash, g_int64_equal);

    g_array_append_vals(ids, now->data, now->len);
    for (guint i = 0; i < ids->len; i++) {
        gint64 *id = &g_array_index(ids, gint64, i);

        if (*id <= last && g_hash_table_add(seen, id) && !compare_record(both, *id, error))
            return FALSE;
    }
    return TRUE;
}

/* A strike of what warned makes it milder, one of what vouched stricter. */
static enum spl_merge_turn turn_of_strike(const struct spl_news_revised *one)
{
    const gboolean warned =
        g_strcmp0(one->note, "sprayed") == 0 || g_strcmp0(one->note, "planned") == 0;
    const gboolean struck = one->after != NULL;

    if (one->note == NULL)
        return SPL_MERGE_OTHERWISE;
    return warned == struck ? SPL_MERGE_MILDER : SPL_MERGE_STRICTER;
}

static gboolean compare_revised(const struct both *both, GError **error)
{
    g_autoptr(GArray) list = spl_news_revised(both->before, both->now, error);

    for (guint i = 0; list != NULL && i < list->len; i++) {
        const struct spl_news_revised *one = &g_array_index(list, struct spl_news_revised, i);
        const gboolean strike = one->field == NULL;

        add_change(
            both, (struct spl_merge_change){
                      .turn = strike ? turn_of_strike(one) : SPL_MERGE_OTHERWISE,
                      .about = g_strdup(one->about),
                      .what = g_strdup(strike ? "record" : one->field),
                      .before = g_strdup(strike && one->before == NULL ? "stood" : one->before),
                      .after = g_strdup(strike && one->after == NULL ? "stands again" : one->after),
                      .why = one->mark != NULL && one->why != NULL
                                 ? g_strdup_printf("%s: %s", one->mark, one->why)
                                 : NULL});
    }
    return list != NULL;
}

/* In the order in which they were found, the milder ones first. */
static GArray *milder_first(GArray *changes)
{
    GArray *sorted = spl_list_new(&spl_merge_change_shape);

    for (int turn = SPL_MERGE_MILDER; spl_merge_turn_names[turn] != NULL; turn++)
        for (guint i = 0; i < changes->len; i++) {
            const struct spl_merge_change *one =
                &g_array_index(changes, struct spl_merge_change, i);

            if ((int)one->turn == turn)
                g_array_append_vals(sorted, one, 1);
        }
    g_array_unref(changes); /* its texts are the sorted ones' now */
    return sorted;
}

/* ---- questions ---- */

static GArray *only_new(GArray *before, GArray *now)
{
    g_autoptr(GHashTable) known = g_hash_table_new(g_str_hash, g_str_equal);
    GArray *fresh = spl_list_new(&spl_question_shape);

    for (guint i = 0; i < before->len; i++)
        g_hash_table_add(known, g_array_index(before, struct spl_question, i).id);
    for (guint i = 0; i < now->len; i++) {
        struct spl_question *one = &g_array_index(now, struct spl_question, i);

        if (!g_hash_table_contains(known, one->id)) {
            g_array_append_vals(fresh, one, 1);
            memset(one, 0, sizeof *one);
        }
    }
    return fresh;
}

static GArray *joined(const GArray *questions)
{
    GArray *list = spl_list_new(&spl_merge_asked_shape);
    struct spl_merge_asked *last = NULL;

    for (guint i = 0; i < questions->len; i++) { /* those of one person stand together */
        const char *ask = g_array_index(questions, struct spl_question, i).ask;
        struct spl_merge_asked next = {.questions = 1};

        if (last != NULL && strcmp(last->ask, ask) == 0) {
            last->questions++;
            continue;
        }
        next.ask = g_strdup(ask);
        next.settles = spl_questions_settled(questions, ask);
        g_array_append_val(list, next);
        last = &g_array_index(list, struct spl_merge_asked, list->len - 1);
    }
    return list;
}

static gboolean compare_questions(const struct both *both, GArray **asked, GError **error)
{
    GArray *before, *now = NULL, *fresh;

    turn_to(both, both->before);
    before = spl_questions_of(both->house, both->stood, TRUE, error);
    turn_to(both, both->now);
    if (before != NULL)
        now = spl_questions_of(both->house, both->stand, FALSE, error);
    if (now != NULL) {
        fresh = only_new(before, now);
        *asked = joined(fresh);
        spl_list_free(&spl_question_shape, fresh);
    }
    spl_list_free(&spl_question_shape, before);
    spl_list_free(&spl_question_shape, now);
    return *asked != NULL;
}

/* ---- the page ---- */

GArray *spl_merge_came_list(struct spl_house *house, struct spl_book *before, GError **error)
{
    g_autoptr(GArray) came = spl_news_came(before, house->book, error);
    GArray *list;

    if (came == NULL)
        return NULL;
    list = spl_list_new(&spl_merge_came_shape);
    for (guint i = 0; i < came->len; i++) {
        const struct spl_news_rows *rows = &g_array_index(came, struct spl_news_rows, i);
        struct spl_merge_came one = {g_strdup(rows->what), rows->rows};

        g_array_append_val(list, one);
    }
    return list;
}

static gboolean compare(struct both *both, struct spl_merged *merged, GError **error)
{
    gint64 last_thing, last_site;

    turn_to(both, both->before);
    both->stood = spl_standings_load(both->house, error);
    turn_to(both, both->now);
    both->stand = both->stood != NULL ? spl_standings_load(both->house, error) : NULL;
    return both->stand != NULL && spl_news_last(both->before, &last_thing, &last_site, error) &&
           compare_places(both, last_site, error) && compare_records(both, last_thing, error) &&
           compare_revised(both, error) && compare_questions(both, &merged->questions, error);
}

gboolean spl_merge_page(struct spl_house *house, struct spl_book *before, struct spl_merged *merged,
                        GError **error)
{
    struct both both = {.house = house,
                        .before = before,
                        .now = house->book,
                        .changes = spl_list_new(&spl_merge_change_shape)};
    const gboolean ok = compare(&both, merged, error);

    turn_to(&both, both.now);
    spl_ground_map_forget(house);
    spl_standings_free(both.stood);
    spl_standings_free(both.stand);
    merged->changes = milder_first(both.changes);
    return ok;
}

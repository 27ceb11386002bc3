/* SPDX-License-Identifier: MIT
 *
 * Corrections by others, told and asked about; and whom the book trusts. See season/revision.h and
 * simpling/trust.h; whose word counts is core/revision.h.
 */
#include "season/revision.h"

#include <string.h>

#include "book/revision.h"
#include "book/setting.h"
#include "book/trust.h"
#include "season/ground_map.h"
#include "season/judged.h"
#include "season/state.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/trust.h"

static const struct spl_input trust_rows[] = {
    SPL_INPUT(spl_trust_words, mark, NAME, "mark", "the mark of a colleague's book", .needed = 1,
              .value = "MARK"),
    SPL_INPUT(spl_trust_words, no, FLAG, "no", "no longer"),
    SPL_INPUT(spl_trust_words, by, NAME, "by", "who says so", .value = "WHO", .setting = "who"),
    SPL_INPUT(spl_trust_words, on, DAY, "on", "the day", .past = 1, .today = 1),
};
static gboolean check_trust(const void *record, GError **error)
{
    return spl_mark_check(((const struct spl_trust_words *)record)->mark, error);
}
const struct spl_inputs spl_trust_inputs =
    SPL_INPUTS("book_trust", spl_trust_words, trust_rows, .check = check_trust);

static gboolean say(struct spl_house *house, const struct spl_trust_words *words, const char *mark,
                    GError **error)
{
    if (strcmp(mark, spl_setting_mark(house->book)) == 0) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "mark",
                            "is this book's own: what it corrects counts here; give the mark of a "
                            "colleague's");
        return FALSE;
    }
    return spl_trust_add(house->book, mark, !words->no, words->on, words->by, error);
}

gboolean spl_trust_say(struct spl_house *house, const struct spl_trust_words *said,
                       struct spl_trust *trust, GError **error)
{
    struct spl_trust_words words;
    g_autofree char *mark = NULL;
    gboolean ok;

    if (!spl_entry_take(house, &spl_trust_inputs, said, &words, error))
        return FALSE;
    mark = g_ascii_strup(words.mark, -1);
    spl_ground_map_forget(house); /* it knows what waits */
    ok = spl_book_begin(house->book, error) &&
         spl_book_finish(house->book, say(house, &words, mark, error), error);
    if (ok)
        *trust = (struct spl_trust){.whom = g_steal_pointer(&mark),
                                    .trusted = !words.no,
                                    .day = words.on,
                                    .by = g_strdup(words.by)};
    spl_inputs_clear(&spl_trust_inputs, &words);
    return ok;
}

/* ---- in words ---- */

static const char *noun_of(const struct spl_revision_asked *one)
{
    static const struct {
        const char *table, *noun;
    } nouns[] = {
        {"permission", "the leave"},
        {"hold", "the hold"},
        {"release", "the release"},
        {"site", "the place"},
        {"hazard_layer", "the hazard"},
        {"lot_event", "a decision or count"},
        {"strike", "a strike"},
        {"amendment", "a correction"},
        {"answer", "an answer"},
        {"discard", "a discard"},
        {"drying_event", "a weighing"},
        {"batch_step", "a step"},
        {"stand_note", "a note of a stand"},
        {"draw", "what was taken"},
        {"lot_use", "what went out"},
        {"charge", "an addition"},
    };

    for (gsize i = 0; i < G_N_ELEMENTS(nouns); i++)
        if (g_strcmp0(one->table, nouns[i].table) == 0)
            return nouns[i].noun;
    return one->says != NULL ? "the statement" : "it";
}

/* "BOB struck the statement 'sprayed' (typo)". */
static char *deed_of(const struct spl_revision_asked *one)
{
    GString *deed = g_string_new(one->mark);

    g_string_append_printf(deed, " %s %s", one->strike ? "struck" : "corrected", noun_of(one));
    if (one->says != NULL)
        g_string_append_printf(deed, " '%s'", one->says);
    if (!one->strike)
        g_string_append_printf(deed, ", its %s to %.80s", one->field, one->value);
    g_string_append_printf(deed, " (%s)", one->why);
    return g_string_free(deed, FALSE);
}

static char *what_of(const struct spl_revision_asked *one)
{
    g_autofree char *deed = deed_of(one);

    return g_strdup_printf(
        "%s; %s", deed,
        one->counts ? "it no longer speaks for the ground, until somebody says that this was wrong"
                    : "until somebody agrees, it holds as it was noted");
}

static char *about_of(const struct spl_revision_asked *one)
{
    if (one->code != NULL && one->site != NULL)
        return g_strdup_printf("%s, %s", one->site, one->code);
    return g_strdup(one->code != NULL ? one->code : one->site != NULL ? one->site : "a record");
}

static void clear_told(gpointer data)
{
    struct spl_revision_told *told = data;

    g_free(told->uuid);
    g_free(told->about);
    g_free(told->what);
    g_free(told->id);
}

static gboolean is_of_danger(const struct spl_revision_asked *one)
{
    static const char *const tables[] = {"hold", "permission", "hazard_layer", "lot_event", NULL};

    return g_strcmp0(one->says, "sprayed") == 0 || g_strcmp0(one->says, "planned") == 0 ||
           (one->table != NULL && g_strv_contains(tables, one->table));
}

GArray *spl_revisions_tell(struct spl_house *house, GError **error)
{
    g_autoptr(GArray) list = spl_revision_list(house->book, error);
    GArray *told;

    if (list == NULL)
        return NULL;
    told = g_array_new(FALSE, FALSE, sizeof(struct spl_revision_told));
    g_array_set_clear_func(told, clear_told);
    for (guint i = 0; i < list->len; i++) {
        const struct spl_revision_asked *one = &g_array_index(list, struct spl_revision_asked, i);
        struct spl_revision_told line = {
            .uuid = g_strdup(one->uuid),
            .about = about_of(one),
            .what = what_of(one),
            .id = spl_state_question_id(spl_judged_kind_name(SPL_HELD_REVISED), one->uuid, one->at),
            .at = one->at,
            .counts = one->counts,
            .of_danger = is_of_danger(one)};

        g_array_append_val(told, line);
    }
    return told;
}

/* ---- as questions ---- */

static enum spl_state_urgency urgency_of(const struct spl_revision_asked *one)
{
    switch (one->kind) {
    case 'L':
    case 'U':
        return SPL_STATE_SHELF;
    case 'B':
        return SPL_STATE_JARS;
    default:
        return SPL_STATE_PICKED;
    }
}

static gboolean has(const GArray *asked, const char *id)
{
    for (guint i = 0; i < asked->len; i++)
        if (strcmp(g_array_index(asked, struct spl_asked, i).id, id) == 0)
            return TRUE;
    return FALSE;
}

static struct spl_asked asked_of(struct spl_house *house, const struct spl_revision_asked *one,
                                 char *id)
{
    struct spl_asked asked = {
        .id = id,
        .reason = {.root = {.grade = SPL_STATE_DOUBT,
                            .kind = SPL_HELD_REVISED,
                            .stamp = one->at,
                            .version = one->at,
                            .asks_only = TRUE},
                   .why = what_of(one),
                   .fact = g_strdup(one->uuid),
                   .about = about_of(one),
                   .next = spl_next_new(SPL_ACTION_ANSWER, "id", id, "evidence", NULL, NULL)},
        .grade = SPL_STATE_DOUBT,
        .urgency = urgency_of(one),
        .since = one->at,
        .things = g_array_new(FALSE, FALSE, sizeof(gint64)),
        .codes = g_ptr_array_new_with_free_func(g_free),
    };

    if (one->code != NULL)
        g_ptr_array_add(asked.codes, g_strdup(one->code));
    if (one->of != NULL && *one->of != '\0' && strcmp(one->of, spl_setting_mark(house->book)) != 0)
        asked.reason.who = g_strdup_printf("%s, whose record it is", one->of);
    return asked;
}

gboolean spl_revisions_ask(struct spl_house *house, gboolean asleep, GArray *asked, GError **error)
{
    g_autoptr(GArray) list = spl_revision_list(house->book, error);

    if (list == NULL)
        return FALSE;
    for (guint i = 0; i < list->len; i++) {
        const struct spl_revision_asked *one = &g_array_index(list, struct spl_revision_asked, i);
        char *id =
            spl_state_question_id(spl_judged_kind_name(SPL_HELD_REVISED), one->uuid, one->at);
        gboolean sleeps =
            spl_day_is_set(one->later) && spl_day_compare(house->today, one->later) < 0;

        if ((sleeps && !asleep) || has(asked, id)) {
            g_free(id);
        } else {
            struct spl_asked question = asked_of(house, one, id);

            g_array_append_val(asked, question);
        }
    }
    return TRUE;
}

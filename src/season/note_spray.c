/* SPDX-License-Identifier: MIT
 *
 * Notes that speak of spraying. See season/note_frame.h.
 *
 * What softens is read strictly: who says so, since when, and not a word that is left over. What
 * warns may hold words that nothing is made of; they go into its source. A question, a guess and a
 * "not" that stands by itself are no word at all: such a line is refused, and told first.
 */
#include <string.h>

#include "season/note_done.h"
#include "simpling/record/state.h"

static const struct spl_note_token *at(const struct spl_note_lexed *lexed, guint i)
{
    return &g_array_index(lexed->tokens, struct spl_note_token, i);
}

static gboolean is_context(const struct spl_note_token *token)
{
    return token->word == SPL_NOTE_SITE || token->word == SPL_NOTE_TIME ||
           (token->word == SPL_NOTE_DAY && !token->when.relative);
}

/* Where the words begin that may tell who said it. */
static guint first_word(const struct spl_note_lexed *lexed, guint spray)
{
    guint i = 0;

    while (i < spray && is_context(at(lexed, i)))
        i++;
    return i;
}

static void take_source(const struct spl_note_lexed *lexed, guint spray, guint *behind,
                        struct spl_note_entry *entry)
{
    const guint first = first_word(lexed, spray);

    *behind = first;
    for (guint i = first; i < spray; i++) {
        if (at(lexed, i)->word != SPL_NOTE_SAYS)
            continue;
        if (i > first)
            entry->who = spl_note_typed(entry->line, at(lexed, first)->start, at(lexed, i)->start);
        *behind = i + 1;
        return;
    }
}

/* Nothing but small words between who said it and what was said. */
static void need_plain(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                       guint from, guint to, struct spl_note_entry *entry)
{
    for (guint i = from; i < to; i++) {
        const struct spl_note_token *token = at(lexed, i);

        if (token->fault != NULL)
            spl_note_refuse(entry, token, "%s", token->fault);
        else if (token->word == SPL_NOTE_UNKNOWN)
            spl_note_unknown(context, lexed, token, entry);
        else if (token->word != SPL_NOTE_FILLER && !is_context(token) &&
                 token->word != SPL_NOTE_THIS_YEAR && token->word != SPL_NOTE_SINCE &&
                 token->word != SPL_NOTE_UNTIL && token->word != SPL_NOTE_DAY &&
                 token->word != SPL_NOTE_SAYS)
            spl_note_refuse(entry, token, "is left over; put ; before a remark");
    }
}

/* A guess, a question or a "not" of its own. */
static void need_sure(const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token = at(lexed, i);

        if (token->word != SPL_NOTE_GUARD)
            continue;
        if (lexed->rest[token->start] == '?')
            spl_note_refuse(entry, token, "a question is no statement; ask, and write the answer");
        else
            spl_note_refuse(entry, token,
                            "is not plain: was it sprayed, is it planned, or who "
                            "says that it was not?");
    }
}

/* The days of the line: since, until, and that of the word or the spraying. */
static void take_days(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                      gboolean ahead, struct spl_note_entry *entry)
{
    int year;

    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token = at(lexed, i);

        if (token->word == SPL_NOTE_THIS_YEAR && spl_day_is_set(entry->day)) {
            spl_day_to_ymd(entry->day, &year, NULL, NULL);
            entry->since = spl_day_from_ymd(year, 1, 1);
        }
        if (token->word != SPL_NOTE_DAY)
            continue;
        if (i > 0 && token[-1].word == SPL_NOTE_SINCE)
            (void)spl_note_when_bound(context, token, FALSE, entry, &entry->since);
        else if (i > 0 && token[-1].word == SPL_NOTE_UNTIL)
            (void)spl_note_when_bound(context, token, TRUE, entry, &entry->until);
        else if (spl_note_when_resolve(context, token, ahead, entry, &entry->day))
            entry->own_day = TRUE;
    }
}

/* Words that nothing was made of, as they were typed. */
static char *left_over(const struct spl_note_lexed *lexed, struct spl_note_entry *entry, guint from)
{
    GString *words = g_string_new(NULL);

    for (guint i = from; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token = at(lexed, i);
        g_autofree char *typed = spl_note_typed(entry->line, token->start, token->end);

        if (is_context(token) || token->word == SPL_NOTE_SPRAY || token->word == SPL_NOTE_DAY ||
            (words->len == 0 && token->word == SPL_NOTE_FILLER && !g_ascii_isalnum(typed[0])))
            continue;
        g_string_append_printf(words, "%s%s", words->len > 0 ? " " : "", typed);
    }
    return g_string_free(words, FALSE);
}

static void frame_softening(const struct spl_note_context *context,
                            const struct spl_note_lexed *lexed, guint spray, guint behind,
                            struct spl_note_entry *entry)
{
    need_plain(context, lexed, behind, lexed->tokens->len > spray ? spray : 0, entry);
    need_plain(context, lexed, spray + 1, lexed->tokens->len, entry);
    take_days(context, lexed, FALSE, entry);
    if (entry->reason != NULL || entry->spray == SPL_SPRAY_NOT_DONE)
        return;
    if (entry->who == NULL || !spl_day_is_set(entry->since))
        spl_note_refuse(entry, at(lexed, spray),
                        "%s%s%s? write: the tenant says not sprayed since 2020",
                        entry->who == NULL ? "who says so" : "",
                        entry->who == NULL && !spl_day_is_set(entry->since) ? ", " : "",
                        !spl_day_is_set(entry->since) ? "since when" : "");
}

static void frame_danger(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                         guint spray, guint behind, struct spl_note_entry *entry)
{
    const gboolean planned = entry->spray == SPL_SPRAY_PLANNED;
    g_autofree char *left = NULL;

    for (guint i = 0; i < lexed->tokens->len; i++) {
        if (at(lexed, i)->word == SPL_NOTE_DAY && at(lexed, i)->fault != NULL)
            spl_note_refuse(entry, at(lexed, i), "%s", at(lexed, i)->fault);
    }
    take_days(context, lexed, planned, entry);
    if (planned && !entry->own_day)
        spl_note_refuse(entry, at(lexed, spray), "for which day is it planned?");
    if (!planned && !entry->own_day)
        entry->day = SPL_DAY_NONE; /* on some day before it was noted */
    left = left_over(lexed, entry, entry->who != NULL ? behind : 0);
    if (entry->who == NULL)
        entry->who = g_strdup(*left != '\0'            ? left
                              : lexed->remark->len > 0 ? lexed->remark->str
                                                       : "seen");
    else if (*left != '\0')
        entry->product = planned ? g_strdup_printf("against %s", left) : g_steal_pointer(&left);
}

void spl_note_frame_spray(const struct spl_note_context *context,
                          const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    guint spray = 0, behind;

    entry->kind = SPL_NOTE_KIND_SPRAY;
    entry->day = context->day;
    while (at(lexed, spray)->word != SPL_NOTE_SPRAY)
        spray++;
    for (guint i = spray + 1; i < lexed->tokens->len; i++) {
        if (at(lexed, i)->word == SPL_NOTE_SPRAY && at(lexed, i)->value != at(lexed, spray)->value)
            spl_note_ask(entry,
                         "sprayed, planned or not? it says two things; write a line for each");
    }
    entry->spray = at(lexed, spray)->value;
    need_sure(lexed, entry);
    if (entry->site == NULL)
        spl_note_refuse(entry, NULL, "which place? say it on the line, or on one above it");
    if (entry->reason != NULL)
        return;
    take_source(lexed, spray, &behind, entry);
    if (entry->spray == SPL_SPRAY_UNSPRAYED || entry->spray == SPL_SPRAY_NOT_DONE)
        frame_softening(context, lexed, spray, behind, entry);
    else
        frame_danger(context, lexed, spray, behind, entry);
    if (entry->reason == NULL && !spl_day_is_set(entry->day) && entry->spray == SPL_SPRAY_UNSPRAYED)
        spl_note_refuse(entry, NULL, "said on which day? write it on the line, or on one above it");
}

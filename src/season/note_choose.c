/* SPDX-License-Identifier: MIT
 *
 * Names that may mean several things: which of them a line can only mean. See season/note_frame.h.
 */
#include "season/note_frame.h"

#include "season/note_done.h"

static gboolean may_be(const struct spl_note_token *token, enum spl_note_word word)
{
    for (guint k = 0; token->names != NULL && k < token->names->len; k++)
        if (((const struct spl_note_name *)g_ptr_array_index(token->names, k))->word == word)
            return TRUE;
    return FALSE;
}

/* Is there another name that is the one and cannot be the other? */
static gboolean is_another(const struct spl_note_lexed *lexed, const struct spl_note_token *beside,
                           enum spl_note_word one, enum spl_note_word other)
{
    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token =
            &g_array_index(lexed->tokens, struct spl_note_token, i);

        if (token != beside && may_be(token, one) && !may_be(token, other))
            return TRUE;
    }
    return FALSE;
}

/* Nothing but a day stands beside it: of a plant that would say nothing. */
static gboolean is_heading(const struct spl_note_lexed *lexed, const struct spl_note_token *name)
{
    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token =
            &g_array_index(lexed->tokens, struct spl_note_token, i);

        if (token != name && token->word != SPL_NOTE_DAY && token->word != SPL_NOTE_TIME)
            return FALSE;
    }
    return TRUE;
}

void spl_note_choose(const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    const gboolean until = spl_note_first(lexed, SPL_NOTE_UNTIL) != NULL;
    const gboolean herb = spl_note_first(lexed, SPL_NOTE_HERB) != NULL;

    for (guint i = 0; i < lexed->tokens->len; i++) {
        struct spl_note_token *token = &g_array_index(lexed->tokens, struct spl_note_token, i);
        gboolean site = FALSE, plant = FALSE, done = FALSE, stage = FALSE;

        for (guint k = 0; token->names != NULL && k < token->names->len; k++) {
            const struct spl_note_name *name = g_ptr_array_index(token->names, k);

            site |= name->word == SPL_NOTE_SITE;
            plant |= name->word == SPL_NOTE_HERB;
            done |= name->word == SPL_NOTE_DONE;
            stage |= name->word == SPL_NOTE_STAGE;
            if (name->word == SPL_NOTE_STAGE && !(done && until))
                token->value = name->value;
        }
        if (site && plant) {
            const gboolean herbs = is_another(lexed, token, SPL_NOTE_HERB, SPL_NOTE_SITE);
            const gboolean places = is_another(lexed, token, SPL_NOTE_SITE, SPL_NOTE_HERB);
            const gboolean heads = is_heading(lexed, token);

            site = herbs || heads || !places;
            if (heads)
                token->word = SPL_NOTE_SITE;
            else if (herbs != places)
                token->word = herbs ? SPL_NOTE_SITE : SPL_NOTE_HERB;
            else
                spl_note_ask(entry, "the place or the plant? both are called so; write the place's "
                                    "line above, and the part of the plant");
        }
        if (plant && !site)
            token->word = SPL_NOTE_HERB;
        else if (stage && done)
            token->word = until && herb ? SPL_NOTE_DONE : SPL_NOTE_STAGE;
        else if (stage && !site)
            token->word = SPL_NOTE_STAGE;
        if (stage && done && token->word == SPL_NOTE_DONE)
            token->value = SPL_NOTE_RESTING;
    }
}

/* SPDX-License-Identifier: MIT
 *
 * Notes of what was done. See season/note_done.h.
 */
#include "season/note_done.h"

#include <math.h>
#include <string.h>

#include "core/stage.h"

static const struct spl_note_token *at(const struct spl_note_lexed *lexed, guint i)
{
    return &g_array_index(lexed->tokens, struct spl_note_token, i);
}

/* Which of them tells what the line is, where there are several: "cracked, lost half". */
static const struct spl_note_token *done_of(const struct spl_note_lexed *lexed)
{
    const struct spl_note_token *done = NULL;

    for (guint i = 0; i < lexed->tokens->len; i++) {
        if (at(lexed, i)->word == SPL_NOTE_DONE && (done == NULL || done->value == SPL_NOTE_LOST))
            done = at(lexed, i);
    }
    return done;
}

gboolean spl_note_takes_words(const struct spl_note_lexed *lexed)
{
    const struct spl_note_token *done = done_of(lexed);

    return done != NULL &&
           (done->value == SPL_NOTE_ALLOWED || done->value == SPL_NOTE_TEACHING ||
            done->value == SPL_NOTE_FORBIDDEN || done->value == SPL_NOTE_NOT_REACHED ||
            done->value == SPL_NOTE_REMARKED || done->value == SPL_NOTE_HAD);
}

gboolean spl_note_is_open(const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    if (entry->line->box != SPL_NOTE_BOX_OPEN || (spl_note_first(lexed, SPL_NOTE_DONE) == NULL &&
                                                  spl_note_first(lexed, SPL_NOTE_TODO) == NULL))
        return FALSE;
    entry->kind = SPL_NOTE_KIND_STEP;
    entry->state = SPL_NOTE_LEFT;
    entry->reason = g_strdup("its box is not ticked, so it is not done");
    return TRUE;
}

static const char *name_in(const struct spl_note_token *token, guint i, enum spl_note_word word)
{
    const struct spl_note_name *name = g_ptr_array_index(token->names, i);

    return name->word == word ? name->text : NULL;
}

/* Codes before "but" and behind it, "all", "half", amounts, preparations. */
static void gather(const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    GString *preparations = g_string_new(NULL);
    gboolean but = FALSE;

    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token = at(lexed, i);

        but |= token->word == SPL_NOTE_EXCEPT;
        if (token->word == SPL_NOTE_CODE)
            g_ptr_array_add(but ? entry->but : entry->codes, g_strdup(token->text));
        entry->all |= token->word == SPL_NOTE_ALL;
        entry->half |= token->word == SPL_NOTE_HALF;
        if (token->word == SPL_NOTE_MASS)
            entry->g = token->number;
        if (token->word == SPL_NOTE_VOLUME)
            entry->ml = token->number;
        if (token->word == SPL_NOTE_PLANTS)
            entry->plants = (int)token->number;
        for (guint k = 0;
             token->names != NULL && token->word == SPL_NOTE_PREPARATION && k < token->names->len;
             k++) {
            const char *slug = name_in(token, k, SPL_NOTE_PREPARATION);

            if (slug != NULL)
                g_string_append_printf(preparations, ",%s,", slug);
        }
    }
    entry->all |= but && entry->codes->len == 0;
    entry->preparation = g_string_free(preparations, preparations->len == 0);
}

static void take_herb(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                      struct spl_note_entry *entry)
{
    const struct spl_note_token *herb = spl_note_first(lexed, SPL_NOTE_HERB);
    const struct spl_note_token *part = spl_note_first(lexed, SPL_NOTE_PART);

    if (herb == NULL)
        return;
    if (part == NULL) {
        (void)spl_note_herb(context, herb, SPL_PART_ANY, entry);
        /* "Elder vinegar" is of any part of it. */
        if (entry->material != NULL && strstr(entry->material, "/") != NULL &&
            herb->names != NULL) {
            const struct spl_plant *plant;

            for (guint i = 0; i < herb->names->len; i++) {
                const char *name = name_in(herb, i, SPL_NOTE_HERB);

                if (name != NULL &&
                    spl_tables_plant_in(context->tables, name, context->country, &plant, NULL))
                    g_clear_pointer(&entry->material, g_free);
            }
        }
        return;
    }
    (void)spl_note_herb(context, herb, (enum spl_part)part->value, entry);
}

/* Of the whole line only these words may stand there; what else does is left over. */
static void allow(const struct spl_note_lexed *lexed, struct spl_note_entry *entry, guint64 words)
{
    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token = at(lexed, i);

        if (token->word == SPL_NOTE_NUMBER && (words >> SPL_NOTE_NUMBER & 1) == 0)
            spl_note_refuse(entry, token, "of what? mL, L, g, kg, oz, lb or fl oz");
        else if ((words >> token->word & 1) == 0)
            spl_note_refuse(entry, token, "does not go with the rest; put ; before a remark");
    }
}

#define W(word) (G_GUINT64_CONSTANT(1) << SPL_NOTE_##word)
#define ANYWHERE                                                                                   \
    (W(SITE) | W(DAY) | W(TIME) | W(FILLER) | W(ABOUT) | W(DONE) | W(TODO) | W(UNKNOWN) | W(SAYS))

/* The run of words that mean nothing else; FALSE: there is none. */
static gboolean find_words(const struct spl_note_lexed *lexed, guint *first, guint *last)
{
    const guint n = lexed->tokens->len;

    for (*first = 0; *first < n && at(lexed, *first)->word != SPL_NOTE_UNKNOWN;)
        (*first)++;
    *last = *first;
    for (guint i = *first;
         i < n && (at(lexed, i)->word == SPL_NOTE_UNKNOWN || at(lexed, i)->word == SPL_NOTE_FILLER);
         i++) {
        if (at(lexed, i)->word == SPL_NOTE_UNKNOWN)
            *last = i;
    }
    return *first < n;
}

/* Who: that run, with the small words before and between them. */
static char *words_of(const struct spl_note_lexed *lexed, const struct spl_note_entry *entry)
{
    g_autofree char *words = NULL;
    guint first, last;

    if (!find_words(lexed, &first, &last))
        return g_strdup("");
    while (first > 0 && at(lexed, first - 1)->word == SPL_NOTE_FILLER)
        first--;
    words = spl_note_typed(entry->line, at(lexed, first)->start, at(lexed, last)->end);
    return g_strdup(g_str_has_prefix(words, "by ") ? words + strlen("by ") : words);
}

static void need_codes(struct spl_note_entry *entry, const char *letters, const char *what)
{
    for (guint i = 0; i < entry->codes->len; i++) {
        const char *code = g_ptr_array_index(entry->codes, i);
        const char *colon = strchr(code, ':');

        if (strchr(letters, colon != NULL ? colon[1] : *code) == NULL)
            spl_note_refuse(entry, NULL, "%s is no %s", code, what);
    }
}

static void frame_step(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                       struct spl_note_entry *entry)
{
    guint64 words = ANYWHERE | W(CODE) | W(ALL) | W(EXCEPT) | W(HERB) | W(PART) | W(PREPARATION);

    entry->kind = SPL_NOTE_KIND_STEP;
    if (entry->done == SPL_NOTE_TOPPED)
        words |= W(VOLUME);
    allow(lexed, entry, words);
    if (entry->done == SPL_NOTE_TURNED)
        need_codes(entry, "DB", "rack or jar");
    else
        need_codes(entry, "B", "jar");
    take_herb(context, lexed, entry);
}

static void frame_yield(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                        struct spl_note_entry *entry)
{
    const struct spl_note_token *number = spl_note_first(lexed, SPL_NOTE_NUMBER);

    entry->kind = SPL_NOTE_KIND_YIELD;
    allow(lexed, entry,
          ANYWHERE | W(CODE) | W(HERB) | W(PART) | W(PREPARATION) | W(VOLUME) | W(MASS) |
              W(NUMBER));
    need_codes(entry, "B", "jar");
    take_herb(context, lexed, entry);
    /* What is strained is measured; "820" of a jar of liquid can be nothing but millilitres. */
    if (number != NULL && isnan(entry->ml) && isnan(entry->g) && number->number >= 20)
        entry->ml = number->number;
    else if (number != NULL)
        spl_note_refuse(entry, number, "of what? mL or L");
    if (entry->reason == NULL && isnan(entry->ml) && isnan(entry->g))
        spl_note_ask(entry, "how much came of it? write: strained B27-002 380 ml");
}

static void frame_spoilt(const struct spl_note_lexed *lexed, const struct spl_note_token *done,
                         struct spl_note_entry *entry)
{
    entry->kind = SPL_NOTE_KIND_DISCARD;
    allow(lexed, entry,
          ANYWHERE | W(CODE) | W(ALL) | W(HALF) | W(VOLUME) | W(MASS) | W(PREPARATION));
    entry->why = spl_note_typed(entry->line, done->start, done->end);
    if (entry->codes->len != 1)
        spl_note_refuse(entry, done, "of which jar, lot or rack? write its code");
    if (done->value != SPL_NOTE_SPOILT && isnan(entry->ml) && isnan(entry->g) && !entry->half &&
        !entry->all)
        spl_note_ask(entry, "how much was lost? all, half, or so many mL or g");
}

static void frame_weighed(const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    const char *code = entry->codes->len == 1 ? g_ptr_array_index(entry->codes, 0) : "";
    const char *colon = strchr(code, ':');
    const char kind = colon != NULL ? colon[1] : *code;

    entry->kind = kind == 'D' ? SPL_NOTE_KIND_DRYING : SPL_NOTE_KIND_WEIGHT;
    allow(lexed, entry, ANYWHERE | W(CODE) | W(MASS));
    if (kind != 'D' && kind != 'H')
        spl_note_refuse(entry, NULL, "which harvest or rack was weighed? write its code");
    else if (isnan(entry->g))
        spl_note_refuse(entry, NULL, "how much does it weigh? g, kg, oz, lb");
}

static void frame_had(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                      struct spl_note_entry *entry)
{
    const struct spl_note_token *number = spl_note_first(lexed, SPL_NOTE_NUMBER);

    entry->kind = SPL_NOTE_KIND_GIVEN;
    for (guint i = 0; i < lexed->tokens->len; i++) {
        if (at(lexed, i)->word == SPL_NOTE_UNKNOWN)
            spl_note_refuse(entry, at(lexed, i),
                            "to whom, is told by a number and never by a name: 1042 had 60 ml "
                            "dandelion");
    }
    allow(lexed, entry,
          ANYWHERE | W(CODE) | W(HERB) | W(PART) | W(PREPARATION) | W(VOLUME) | W(MASS) |
              W(NUMBER));
    if (number == NULL || number->number != floor(number->number))
        spl_note_refuse(entry, NULL, "to whom? write the number: 1042 had 60 ml dandelion");
    else
        entry->ref = g_strdup(number->text);
    if (isnan(entry->ml) && isnan(entry->g))
        spl_note_refuse(entry, NULL, "how much? mL or g");
    need_codes(entry, "L", "lot");
    take_herb(context, lexed, entry);
    if (entry->codes->len == 0 && entry->plant == NULL)
        spl_note_refuse(entry, NULL, "of what? a lot's code, or the plant");
}

/* What is said beside who and until when binds the leave: to teach, wherever in the line that
 * stands; anything else is no leave that may be noted as one without it. */
static void bind_leave(const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    static const char *const teaching[] = {"teach", "teaching", "taught", NULL};
    guint first, last;

    if (!find_words(lexed, &first, &last))
        return;
    for (guint i = first; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token = at(lexed, i);
        g_autofree char *typed = NULL, *word = NULL;

        if (token->word != SPL_NOTE_UNKNOWN)
            continue;
        typed = spl_note_typed(entry->line, token->start, token->end);
        word = g_utf8_strdown(typed, -1);
        if (g_strv_contains(teaching, word))
            entry->done = SPL_NOTE_TEACHING;
        else if (i > last)
            spl_note_refuse(entry, token, "leave may hang on that; put ; before it");
    }
}

/* "Owner gave leave till October": who, and until when. */
static void frame_leave(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                        struct spl_note_entry *entry)
{
    const struct spl_note_token *until = spl_note_first(lexed, SPL_NOTE_UNTIL);
    const guint64 given = W(UNTIL) | W(PART) | W(EXCEPT);

    entry->kind = SPL_NOTE_KIND_LEAVE;
    if (entry->done == SPL_NOTE_ALLOWED)
        bind_leave(lexed, entry);
    allow(lexed, entry, ANYWHERE | (entry->done == SPL_NOTE_ALLOWED ? given : W(UNTIL)));
    entry->who = words_of(lexed, entry);
    if (*entry->who == '\0')
        spl_note_refuse(entry, NULL, "who said so? write: the owner gave leave");
    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token = at(lexed, i);

        if (token->word == SPL_NOTE_EXCEPT)
            spl_note_refuse(entry, token, "name the parts that are allowed instead");
        if (token->word == SPL_NOTE_PART) {
            g_autofree char *before = g_steal_pointer(&entry->product);

            entry->product =
                g_strdup_printf("%s%s%s", before != NULL ? before : "", before != NULL ? "," : "",
                                spl_part_name((enum spl_part)token->value));
        }
    }
    if (until == NULL)
        return;
    if (until + 1 < at(lexed, lexed->tokens->len) && until[1].word == SPL_NOTE_DAY)
        (void)spl_note_when_bound(context, until + 1, TRUE, entry, &entry->until);
    else
        spl_note_refuse(entry, until, "until when? a day or a month");
}

static void frame_not_reached(const struct spl_note_context *context,
                              const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    const struct spl_note_token *later = NULL;

    entry->kind = SPL_NOTE_KIND_NOT_REACHED;
    allow(lexed, entry, ANYWHERE | W(UNTIL));
    entry->who = words_of(lexed, entry);
    for (guint i = 0; i < lexed->tokens->len; i++) {
        if (at(lexed, i)->word == SPL_NOTE_DAY && i > 0)
            later = at(lexed, i);
    }
    /* "Will ring back Tuesday": the day behind it is when, not that of the call. */
    if (later != NULL && later->when.relative && later->when.weekday > 0) {
        entry->day = context->day;
        (void)spl_note_when_resolve(context, later, TRUE, entry, &entry->until);
    } else if (spl_day_is_set(entry->day)) {
        entry->until = spl_day_add(entry->day, 3);
    }
}

static void frame_stand(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                        struct spl_note_entry *entry)
{
    const struct spl_note_token *stage = spl_note_first(lexed, SPL_NOTE_STAGE);
    const struct spl_note_token *part = spl_note_first(lexed, SPL_NOTE_PART);
    const struct spl_note_token *until = spl_note_first(lexed, SPL_NOTE_UNTIL);
    const struct spl_note_token *number = spl_note_first(lexed, SPL_NOTE_NUMBER);
    const struct spl_note_token *herb = spl_note_first(lexed, SPL_NOTE_HERB);
    guint64 words = ANYWHERE | W(HERB) | W(PLANTS);

    entry->kind = SPL_NOTE_KIND_STAND;
    if (entry->done == SPL_NOTE_MARKED)
        words |= W(STAGE) | W(PART);
    if (entry->done == SPL_NOTE_COUNTED)
        words |= W(NUMBER);
    if (entry->done == SPL_NOTE_RESTING)
        words |= W(UNTIL) | W(STAGE);
    allow(lexed, entry, words);
    if (herb == NULL)
        spl_note_refuse(entry, NULL, "of which plant?");
    else
        (void)spl_note_herb(context, herb, SPL_PART_ANY, entry);
    g_clear_pointer(&entry->material, g_free); /* a stand is of the whole plant */
    if (entry->done == SPL_NOTE_MARKED) {
        const gboolean flower = (stage != NULL && stage->value >= 50 && stage->value < 70) ||
                                (part != NULL && part->value == SPL_PART_FLOWER);
        const gboolean leaf =
            (stage != NULL && stage->value < 50) || (part != NULL && part->value == SPL_PART_LEAF);

        entry->why = flower ? g_strdup("flower") : leaf ? g_strdup("leaf") : NULL;
        if (entry->why == NULL)
            spl_note_refuse(entry, NULL, "found in leaf or in flower?");
    }
    if (entry->done == SPL_NOTE_COUNTED) {
        if (number != NULL && entry->plants == 0 && number->number == floor(number->number) &&
            number->number < 1e6)
            entry->plants = (int)number->number;
        if (entry->plants == 0)
            spl_note_refuse(entry, NULL, "how many plants?");
    }
    if (entry->done == SPL_NOTE_RESTING && until == NULL)
        spl_note_refuse(entry, NULL, "until which year?");
    else if (entry->done == SPL_NOTE_RESTING) {
        if (until + 1 < at(lexed, lexed->tokens->len) && until[1].word == SPL_NOTE_DAY)
            (void)spl_note_when_bound(context, until + 1, FALSE, entry, &entry->until);
        else
            spl_note_refuse(entry, until, "until which year?");
    }
}

static void frame_remark(const struct spl_note_lexed *lexed, const struct spl_note_token *done,
                         struct spl_note_entry *entry)
{
    entry->kind = SPL_NOTE_KIND_REMARK;
    entry->remark = spl_note_typed(entry->line, done->end, entry->line->text->len);
    if (*entry->remark == '\0' && lexed->remark->len > 0) {
        g_free(entry->remark);
        entry->remark = g_strdup(lexed->remark->str);
    }
    if (*entry->remark == '\0')
        spl_note_refuse(entry, done, "what is to be remembered?");
    if (entry->codes->len > 1)
        spl_note_refuse(entry, NULL, "one record, please");
}

/* A washing without a weight is a remark; with one it is the cleaned weight of that harvest. */
static void frame_washed(const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    entry->kind = SPL_NOTE_KIND_WEIGHT;
    allow(lexed, entry, ANYWHERE | W(CODE) | W(MASS));
    if (entry->codes->len != 1)
        spl_note_refuse(entry, NULL, "which harvest was washed? write its code");
    need_codes(entry, "H", "harvest");
}

gboolean spl_note_frame_done(const struct spl_note_context *context,
                             const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    const struct spl_note_token *done = done_of(lexed);
    const struct spl_note_token *todo = spl_note_first(lexed, SPL_NOTE_TODO);

    if (done == NULL && todo != NULL) {
        if (entry->line->box != SPL_NOTE_BOX_TICKED) {
            spl_note_refuse(entry, todo,
                            "done, or still to be done? write it as done: strained, "
                            "shaken, topped up");
            return TRUE;
        }
        done = todo;
    }
    if (done == NULL && spl_note_first(lexed, SPL_NOTE_MASS) != NULL &&
        spl_note_first(lexed, SPL_NOTE_CODE) != NULL) {
        /* "Rack D27-001 now 95 g". */
        gather(lexed, entry);
        entry->done = SPL_NOTE_WEIGHED;
        frame_weighed(lexed, entry);
        (void)spl_note_needs(entry, FALSE, TRUE);
        return TRUE;
    }
    if (done == NULL)
        return FALSE;
    gather(lexed, entry);
    entry->done = (enum spl_note_done)done->value;
    switch (entry->done) {
    case SPL_NOTE_SHOOK:
    case SPL_NOTE_TOPPED:
    case SPL_NOTE_LOOKED:
    case SPL_NOTE_DECANTED:
    case SPL_NOTE_TURNED:
    case SPL_NOTE_READY:
        frame_step(context, lexed, entry);
        break;
    case SPL_NOTE_STRAINED:
        frame_yield(context, lexed, entry);
        break;
    case SPL_NOTE_SPOILT:
    case SPL_NOTE_BROKEN:
    case SPL_NOTE_LOST:
        frame_spoilt(lexed, done, entry);
        break;
    case SPL_NOTE_WEIGHED:
        frame_weighed(lexed, entry);
        break;
    case SPL_NOTE_WASHED:
        frame_washed(lexed, entry);
        break;
    case SPL_NOTE_HAD:
        frame_had(context, lexed, entry);
        break;
    case SPL_NOTE_ALLOWED:
    case SPL_NOTE_TEACHING:
    case SPL_NOTE_FORBIDDEN:
        frame_leave(context, lexed, entry);
        break;
    case SPL_NOTE_NOT_REACHED:
        frame_not_reached(context, lexed, entry);
        break;
    case SPL_NOTE_REMARKED:
        frame_remark(lexed, done, entry);
        break;
    default:
        frame_stand(context, lexed, entry);
        break;
    }
    (void)spl_note_needs(entry,
                         entry->kind == SPL_NOTE_KIND_LEAVE ||
                             entry->kind == SPL_NOTE_KIND_NOT_REACHED ||
                             entry->kind == SPL_NOTE_KIND_STAND ||
                             (entry->kind == SPL_NOTE_KIND_REMARK && entry->codes->len == 0),
                         TRUE);
    return TRUE;
}

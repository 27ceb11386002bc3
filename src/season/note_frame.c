/* SPDX-License-Identifier: MIT
 *
 * What a note's line says. See season/note_frame.h; a line about spraying is in note_spray.c, what
 * was done with jars, racks and stands in note_done.c.
 */
#include "season/note_frame.h"

#include <math.h>
#include <string.h>

#include "core/stage.h"
#include "season/note_done.h"
#include "simpling/error.h"
#include "simpling/record/slip.h"

#define ASK_ABOVE_G 20000 /* more than anyone carries home */

void spl_note_entry_clear(struct spl_note_entry *entry)
{
    g_free(entry->reason);
    g_free(entry->word);
    g_free(entry->site);
    g_free(entry->material);
    g_free(entry->plant);
    g_free(entry->preparation);
    g_clear_pointer(&entry->codes, g_ptr_array_unref);
    g_clear_pointer(&entry->but, g_ptr_array_unref);
    g_free(entry->who);
    g_free(entry->why);
    g_free(entry->ref);
    g_free(entry->product);
    g_free(entry->signs);
    g_free(entry->by);
    g_free(entry->remark);
    *entry = (struct spl_note_entry){.kind = SPL_NOTE_KIND_NONE};
}

static void settle(struct spl_note_entry *entry, enum spl_note_state state,
                   const struct spl_note_token *token, char *reason)
{
    if (entry->reason != NULL) {
        g_free(reason);
        return;
    }
    entry->state = state;
    entry->reason = reason;
    if (token == NULL)
        return;
    entry->word = spl_note_typed(entry->line, token->start, token->end);
    if (entry->word != NULL && *entry->word == '\0') {
        g_free(entry->word);
        entry->word = g_strndup(entry->line->text->str + token->start, token->end - token->start);
    }
}

void spl_note_refuse(struct spl_note_entry *entry, const struct spl_note_token *token,
                     const char *format, ...)
{
    va_list args;

    va_start(args, format);
    settle(entry, SPL_NOTE_REFUSED, token, g_strdup_vprintf(format, args));
    va_end(args);
}

void spl_note_ask(struct spl_note_entry *entry, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    settle(entry, SPL_NOTE_ASKED, NULL, g_strdup_vprintf(format, args));
    va_end(args);
}

/* Herbs -----------------------------------------------------------------------------------------
 */

static const char *called(const struct spl_note_token *token, enum spl_note_word word)
{
    for (guint i = 0; token->names != NULL && i < token->names->len; i++) {
        const struct spl_note_name *name = g_ptr_array_index(token->names, i);

        if (name->word == word)
            return name->text;
    }
    return NULL;
}

/* "leaf, root or flower": the parts of a plant that the tables know. */
static char *parts_of(const struct spl_note_context *context, const struct spl_plant *plant)
{
    GPtrArray *materials = spl_tables_materials(context->tables);
    GString *parts = g_string_new(NULL);

    for (guint i = 0; i < materials->len; i++) {
        const struct spl_material *material = g_ptr_array_index(materials, i);

        if (material->plant == plant)
            g_string_append_printf(parts, "%s%s", parts->len > 0 ? ", " : "",
                                   spl_part_name(material->part));
    }
    return g_string_free(parts, FALSE);
}

gboolean spl_note_herb(const struct spl_note_context *context, const struct spl_note_token *token,
                       enum spl_part part, struct spl_note_entry *entry)
{
    const char *name = called(token, SPL_NOTE_HERB);
    g_autofree char *whole =
        part != SPL_PART_ANY ? g_strdup_printf("%s %s", name, spl_part_name(part)) : g_strdup(name);
    g_autoptr(GError) error = NULL;
    const struct spl_material *material;
    const struct spl_plant *plant;

    if (spl_tables_material_in(context->tables, whole, context->country, &material, NULL)) {
        entry->material = g_strdup(material->slug);
        entry->plant = g_strdup(material->plant->slug);
        return TRUE;
    }
    if (!spl_tables_plant_in(context->tables, name, context->country, &plant, &error)) {
        spl_note_refuse(entry, token, "%s", spl_error_sentence(error));
        return FALSE;
    }
    if (part != SPL_PART_ANY) {
        g_autofree char *parts = parts_of(context, plant);

        spl_note_refuse(entry, token, "the tables know no %s of it, but: %s", spl_part_name(part),
                        parts);
        return FALSE;
    }
    entry->plant = g_strdup(plant->slug);
    return TRUE;
}

/* Of a plant whose stage was seen, the part that the stage tells of. */
static void material_of_stage(const struct spl_note_context *context, struct spl_note_entry *entry)
{
    static const struct {
        int from, to;
        enum spl_part parts[4];
    } tells[] = {{0, 49, {SPL_PART_LEAF, SPL_PART_HERB, SPL_PART_TOPS, SPL_PART_BUD}},
                 {50, 69, {SPL_PART_FLOWER, SPL_PART_HERB, SPL_PART_TOPS, SPL_PART_ANY}},
                 {70, 90, {SPL_PART_FRUIT, SPL_PART_SEED, SPL_PART_ANY, SPL_PART_ANY}},
                 {91, 99, {SPL_PART_ROOT, SPL_PART_BARK, SPL_PART_ANY, SPL_PART_ANY}}};
    GPtrArray *materials = spl_tables_materials(context->tables);

    for (gsize i = 0; i < G_N_ELEMENTS(tells); i++) {
        if (entry->stage < tells[i].from || entry->stage > tells[i].to)
            continue;
        for (gsize k = 0; k < G_N_ELEMENTS(tells[i].parts); k++) {
            for (guint m = 0; m < materials->len && entry->material == NULL; m++) {
                const struct spl_material *material = g_ptr_array_index(materials, m);

                if (strcmp(material->plant->slug, entry->plant) == 0 &&
                    material->part == tells[i].parts[k])
                    entry->material = g_strdup(material->slug);
            }
        }
    }
}

/* Gathering what stands there -------------------------------------------------------------------
 */

static const struct spl_note_token *only(const struct spl_note_lexed *lexed,
                                         struct spl_note_entry *entry, enum spl_note_word word,
                                         const char *what)
{
    const struct spl_note_token *one = NULL;

    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token =
            &g_array_index(lexed->tokens, struct spl_note_token, i);

        if (token->word != word)
            continue;
        if (one != NULL) {
            g_autofree char *first = spl_note_typed(entry->line, one->start, one->end);

            spl_note_refuse(entry, token, "a second %s beside '%s'; one line, one thing", what,
                            first);
        }
        one = token;
    }
    return one;
}

const struct spl_note_token *spl_note_first(const struct spl_note_lexed *lexed,
                                            enum spl_note_word word)
{
    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token =
            &g_array_index(lexed->tokens, struct spl_note_token, i);

        if (token->word == word)
            return token;
    }
    return NULL;
}

static void take_place(struct spl_note_context *context, const struct spl_note_lexed *lexed,
                       struct spl_note_entry *entry)
{
    const struct spl_note_token *site = only(lexed, entry, SPL_NOTE_SITE, "place");

    entry->own_site = site != NULL;
    entry->site = g_strdup(site != NULL ? called(site, SPL_NOTE_SITE) : context->site);
}

static void take_day(struct spl_note_context *context, const struct spl_note_lexed *lexed,
                     struct spl_note_entry *entry)
{
    const struct spl_note_token *day = NULL;

    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token =
            &g_array_index(lexed->tokens, struct spl_note_token, i);
        const gboolean bound =
            i > 0 && (token[-1].word == SPL_NOTE_UNTIL || token[-1].word == SPL_NOTE_SINCE ||
                      token[-1].word == SPL_NOTE_LATER);

        if (token->word != SPL_NOTE_DAY || bound)
            continue;
        if (day != NULL && (!token->when.relative || token->when.weekday == 0))
            spl_note_refuse(entry, token, "a second day; one line, one day");
        day = token;
    }
    entry->day = context->day;
    if (day == NULL)
        return;
    entry->own_day = TRUE;
    (void)spl_note_when_resolve(context, day, FALSE, entry, &entry->day);
}

static gboolean is_fixed(const struct spl_note_token *token)
{
    return token->word == SPL_NOTE_SITE || token->word == SPL_NOTE_DAY ||
           token->word == SPL_NOTE_TIME;
}

/* Place, day or both, and nothing else. */
static gboolean frame_heading(struct spl_note_context *context, const struct spl_note_lexed *lexed,
                              struct spl_note_entry *entry)
{
    gboolean any = FALSE;

    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token =
            &g_array_index(lexed->tokens, struct spl_note_token, i);

        any |= token->word == SPL_NOTE_SITE || token->word == SPL_NOTE_DAY;
        if (!is_fixed(token) && token->word != SPL_NOTE_FILLER)
            return FALSE;
    }
    if (!any)
        return FALSE;
    entry->kind = SPL_NOTE_KIND_HEADING;
    take_place(context, lexed, entry);
    take_day(context, lexed, entry);
    if (entry->reason != NULL) {
        /* Nothing below it may be taken for what stood above. */
        g_clear_pointer(&context->site, g_free);
        context->day = SPL_DAY_NONE;
        return TRUE;
    }
    entry->state = SPL_NOTE_CONTEXT;
    if (entry->own_site) {
        g_free(context->site);
        context->site = g_strdup(entry->site);
        context->site_line = entry->line->number;
    } else {
        g_clear_pointer(&context->site, g_free);
        g_clear_pointer(&entry->site, g_free);
    }
    if (entry->own_day) {
        context->day = entry->day;
        context->day_line = entry->line->number;
    }
    return TRUE;
}

/* What refuses a line whatever it says ----------------------------------------------------------
 */

static gboolean is_month(const char *word)
{
    static const char *const months[] = {"january",  "february", "march",  "april",     "may",
                                         "june",     "july",     "august", "september", "october",
                                         "november", "december", NULL};

    return g_strv_contains(months, word);
}

void spl_note_unknown(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                      const struct spl_note_token *token, struct spl_note_entry *entry)
{
    g_autofree char *word = g_strndup(lexed->rest + token->start, token->end - token->start);
    g_autofree char *near = spl_note_names_near(context->names, word);
    const struct spl_note_token *next = token + 1;
    const struct spl_note_token *end =
        &g_array_index(lexed->tokens, struct spl_note_token, lexed->tokens->len);

    if (is_month(word))
        spl_note_refuse(entry, token, "is a month here, and has no day%s", near);
    else if (next < end && next->word == SPL_NOTE_HERB && *near == '\0')
        spl_note_refuse(entry, token, "is not known; another plant? Put ; before a remark");
    else
        spl_note_refuse(entry, token, "is not known%s; put ; before a remark", near);
}

/* In the order in which a person would see them: what cannot be, then what is not meant so, then
 * what is not known. */
static void guard(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                  struct spl_note_entry *entry)
{
    static const enum spl_note_word ditto = SPL_NOTE_DITTO;

    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token =
            &g_array_index(lexed->tokens, struct spl_note_token, i);

        if (token->word == SPL_NOTE_VOLUME && spl_note_first(lexed, SPL_NOTE_HERB) != NULL &&
            spl_note_first(lexed, SPL_NOTE_DONE) == NULL)
            spl_note_refuse(entry, token, "a harvest is weighed: g, kg, oz, lb");
        else if (token->fault != NULL)
            spl_note_refuse(entry, token, "%s", token->fault);
        else if (token->word == ditto)
            spl_note_refuse(entry, token, "write it out; which line is meant, nobody can tell");
    }
    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token =
            &g_array_index(lexed->tokens, struct spl_note_token, i);

        if (token->word == SPL_NOTE_GUARD)
            spl_note_refuse(entry, token,
                            "such a line is not taken for something done; write what was done");
    }
    if (spl_note_takes_words(lexed))
        return;
    for (guint i = 0; i < lexed->tokens->len; i++) {
        const struct spl_note_token *token =
            &g_array_index(lexed->tokens, struct spl_note_token, i);

        if (token->word == SPL_NOTE_UNKNOWN)
            spl_note_unknown(context, lexed, token, entry);
    }
}

gboolean spl_note_needs(struct spl_note_entry *entry, gboolean place, gboolean day)
{
    const gboolean no_place = place && entry->site == NULL;
    const gboolean no_day = day && !spl_day_is_set(entry->day);

    if (no_place || no_day)
        spl_note_refuse(entry, NULL, "%s%s%s? say it on the line, or on one above it",
                        no_place ? "which place" : "", no_place && no_day ? ", " : "",
                        no_day ? "which day" : "");
    return entry->reason == NULL;
}

/* Harvests and stages ---------------------------------------------------------------------------
 */

static void frame_herb(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                       struct spl_note_entry *entry)
{
    const struct spl_note_token *herb = only(lexed, entry, SPL_NOTE_HERB, "plant");
    const struct spl_note_token *part = only(lexed, entry, SPL_NOTE_PART, "part");

    if (herb == NULL || entry->reason != NULL)
        return;
    if (!spl_note_herb(context, herb, SPL_PART_ANY, entry))
        return;
    if (part == NULL)
        return;
    if (entry->material != NULL) {
        const char *slash = strchr(entry->material, '/');

        /* "gillbell flower", where gillbell alone is the flower too. */
        if (slash != NULL && strcmp(slash + 1, spl_part_name((enum spl_part)part->value)) == 0)
            return;
    }
    {
        const struct spl_plant *plant;
        const gboolean whole = entry->material != NULL &&
                               !spl_tables_plant_in(context->tables, called(herb, SPL_NOTE_HERB),
                                                    context->country, &plant, NULL);

        g_clear_pointer(&entry->material, g_free);
        g_clear_pointer(&entry->plant, g_free);
        if (!spl_note_herb(context, herb, (enum spl_part)part->value, entry) && whole) {
            g_clear_pointer(&entry->reason, g_free);
            g_clear_pointer(&entry->word, g_free);
            spl_note_refuse(entry, part, "a second part; one line, one part");
        }
    }
}

static void take_stage(const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    const struct spl_note_token *stage = only(lexed, entry, SPL_NOTE_STAGE, "stage");

    if (stage != NULL)
        entry->stage = stage->value;
}

static void need_part(const struct spl_note_context *context, struct spl_note_entry *entry)
{
    const struct spl_plant *plant = spl_tables_plant_by_slug(context->tables, entry->plant);
    g_autofree char *parts = parts_of(context, plant);

    spl_note_refuse(entry, NULL, "which part of %s? %s", plant->common, parts);
}

static void frame_harvest(const struct spl_note_context *context,
                          const struct spl_note_lexed *lexed, struct spl_note_entry *entry)
{
    const struct spl_note_token *mass = only(lexed, entry, SPL_NOTE_MASS, "amount");
    const struct spl_note_token *bags = only(lexed, entry, SPL_NOTE_BAGS, "amount");
    const struct spl_note_token *counted = mass != NULL ? mass : bags;

    entry->kind = SPL_NOTE_KIND_HARVEST;
    if (mass != NULL && bags != NULL)
        spl_note_refuse(entry, bags, "bags or a weight, not both");
    if (mass != NULL) {
        entry->g = mass->number;
    } else {
        entry->bags = (int)bags->number;
        entry->handfuls = bags->value == SPL_NOTE_IN_HANDFULS;
    }
    if (counted->value) {
        g_autofree char *typed = spl_note_typed(entry->line, counted->start, counted->end);

        spl_note_remark(lexed->remark, typed);
    }
    if (entry->reason == NULL && entry->material == NULL)
        need_part(context, entry);
    if (!spl_note_needs(entry, TRUE, TRUE))
        return;
    if (entry->stage == SPL_STAGE_NONE)
        spl_note_ask(entry, "at which stage? rosette, in bud, first flowers, full flower, ripe …");
    else if (entry->g > ASK_ABOVE_G)
        spl_note_ask(entry, "%.0f kg? more than 20 kg in one line is entered by hand",
                     entry->g / 1000);
}

static void frame_plain(const struct spl_note_context *context, const struct spl_note_lexed *lexed,
                        struct spl_note_entry *entry)
{
    const struct spl_note_token *number = spl_note_first(lexed, SPL_NOTE_NUMBER);
    const struct spl_note_token *part = spl_note_first(lexed, SPL_NOTE_PART);
    const struct spl_note_token *about = spl_note_first(lexed, SPL_NOTE_CODE);
    const gboolean amount = spl_note_first(lexed, SPL_NOTE_MASS) != NULL ||
                            spl_note_first(lexed, SPL_NOTE_BAGS) != NULL;

    frame_herb(context, lexed, entry);
    take_stage(lexed, entry);
    if (number != NULL)
        spl_note_refuse(entry, number, "of what? g, kg, oz, lb or bags");
    if (about != NULL)
        spl_note_refuse(entry, about,
                        "what was done with it? shaken, topped up, strained, weighed");
    if (entry->reason != NULL)
        return;
    if (entry->plant == NULL && part != NULL)
        spl_note_refuse(entry, part, "of which plant?");
    else if (entry->plant == NULL && (amount || entry->stage != SPL_STAGE_NONE))
        spl_note_refuse(entry, NULL, "of which plant?");
    else if (entry->plant == NULL)
        spl_note_refuse(entry, NULL, "nothing in it says what was seen or done");
    else if (amount)
        frame_harvest(context, lexed, entry);
    else if (entry->stage == SPL_STAGE_NONE)
        spl_note_refuse(entry, NULL, "an amount or a stage? 200 g, 2 bags; in bud, full flower");
    else {
        entry->kind = SPL_NOTE_KIND_STAGE;
        if (entry->material == NULL)
            material_of_stage(context, entry);
        if (entry->material == NULL)
            need_part(context, entry);
        (void)spl_note_needs(entry, TRUE, TRUE);
    }
}

/* A place in front of a line is that line's own, and what was said on it stays on it. */
static void frame_words(struct spl_note_context *context, const struct spl_note_lexed *lexed,
                        struct spl_note_entry *entry)
{
    spl_note_choose(lexed, entry);
    if (spl_note_first(lexed, SPL_NOTE_SPRAY) != NULL) {
        take_place(context, lexed, entry);
        spl_note_frame_spray(context, lexed, entry);
        return;
    }
    if (frame_heading(context, lexed, entry))
        return;
    if (spl_note_is_open(lexed, entry))
        return;
    guard(context, lexed, entry);
    take_place(context, lexed, entry);
    take_day(context, lexed, entry);
    if (entry->reason != NULL)
        return;
    if (!spl_note_frame_done(context, lexed, entry))
        frame_plain(context, lexed, entry);
}

/* The same as a slip writes it, with semicolons between. */
static void take_tail(struct spl_note_entry *entry)
{
    struct spl_slip_tail tail;

    spl_slip_tail_read(entry->remark, &tail);
    g_free(entry->remark);
    entry->remark = g_steal_pointer(&tail.rest);
    entry->by = g_steal_pointer(&tail.by);
    entry->signs = g_steal_pointer(&tail.signs);
    entry->why = g_steal_pointer(&tail.despite);
}

/* "by Ann, signs: corky bark" and "despite: the owner was there", in the remark of a harvest. */
static void take_said(struct spl_note_entry *entry)
{
    if (strchr(entry->remark, ';') != NULL) {
        take_tail(entry);
        return;
    }

    g_autofree char *remark = g_steal_pointer(&entry->remark);
    char *signs = strstr(remark, "signs: ");
    g_auto(GStrv) parts = NULL;
    GString *rest = g_string_new(NULL);

    if (signs != NULL) {
        entry->signs = g_strdup(signs + strlen("signs: "));
        *signs = '\0';
    }
    parts = g_strsplit(remark, ", ", -1);
    for (guint i = 0; parts[i] != NULL; i++) {
        if (g_str_has_prefix(parts[i], "by ") && entry->by == NULL)
            entry->by = g_strdup(parts[i] + strlen("by "));
        else if (g_str_has_prefix(parts[i], "despite: ") && entry->why == NULL)
            entry->why = g_strdup(parts[i] + strlen("despite: "));
        else if (*parts[i] != '\0')
            g_string_append_printf(rest, "%s%s", rest->len > 0 ? ", " : "", parts[i]);
    }
    entry->remark = g_string_free(rest, rest->len == 0);
}

void spl_note_frame(struct spl_note_context *context, const struct spl_note_line *line,
                    struct spl_note_entry *entry)
{
    static const char *const skipped[] = {
        [SPL_NOTE_READ] = NULL,
        [SPL_NOTE_EMPTY] = NULL,
        [SPL_NOTE_MAIL] = "part of a mail",
        [SPL_NOTE_EXPORT] = "a messenger's export: its days are its own, copy the text itself",
        [SPL_NOTE_LONG] = "longer than 2000 characters; one line, one thing",
        [SPL_NOTE_DIGITS] = "write its numbers with the digits 0 to 9",
    };
    struct spl_note_lexed lexed;

    *entry = (struct spl_note_entry){.stage = SPL_STAGE_NONE,
                                     .day = SPL_DAY_NONE,
                                     .since = SPL_DAY_NONE,
                                     .until = SPL_DAY_NONE,
                                     .g = NAN,
                                     .ml = NAN,
                                     .spray = -1,
                                     .line = line};
    entry->codes = g_ptr_array_new_with_free_func(g_free);
    entry->but = g_ptr_array_new_with_free_func(g_free);
    if (line->skip == SPL_NOTE_MAIL) {
        entry->state = SPL_NOTE_LEFT;
        entry->reason = g_strdup(skipped[line->skip]);
        return;
    }
    if (line->skip != SPL_NOTE_READ) {
        spl_note_refuse(entry, NULL, "%s", skipped[line->skip]);
        return;
    }
    spl_note_lex(context->names, line, &lexed);
    if (line->struck)
        entry->kind = SPL_NOTE_KIND_STRIKE;
    else if (lexed.tokens->len == 0)
        spl_note_refuse(entry, NULL,
                        strchr(lexed.rest, '"') != NULL
                            ? "write it out; which line is meant, nobody can tell"
                            : "nothing in it says what was seen or done");
    else
        frame_words(context, &lexed, entry);
    if (entry->remark == NULL && lexed.remark->len > 0)
        entry->remark = g_strdup(lexed.remark->str);
    if (entry->remark != NULL && entry->kind == SPL_NOTE_KIND_HARVEST)
        take_said(entry);
    spl_note_lexed_clear(&lexed);
}

/* SPDX-License-Identifier: MIT
 *
 * What a person notes about a place: permission, words about spraying, stages seen. See
 * simpling/site.h.
 */
#include <string.h>

#include "base/text.h"
#include "book/site.h"
#include "core/stage.h"
#include "season/ground_map.h"
#include "season/house_private.h"
#include "season/photo.h"
#include "season/touched.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/site.h"

/* "leaf, flowers" -> "leaf,flower"; "any" stays. */
static char *clean_parts(const char *text, GError **error)
{
    g_auto(GStrv) words = g_strsplit(text, ",", 20);
    g_autoptr(GString) parts = g_string_new(NULL);

    for (guint i = 0; words[i] != NULL; i++) {
        enum spl_part part = SPL_PART_ANY;

        g_strstrip(words[i]);
        if (strcmp(words[i], "any") != 0 && !spl_part_parse(words[i], "parts", &part, error)) {
            spl_error_about(error, "parts");
            return NULL;
        }
        g_string_append_printf(parts, "%s%s", i > 0 ? "," : "", spl_part_name(part));
    }
    return g_string_free(g_steal_pointer(&parts), FALSE);
}

/* Permission ------------------------------------------------------------------------------------
 */

static const struct spl_input permission_rows[] = {
    SPL_INPUT(spl_permission_words, site, SITE, "site", "the place", .needed = 1),
    SPL_INPUT(spl_permission_words, given, FLAG, "given", "it was allowed"),
    SPL_INPUT(spl_permission_words, refused, FLAG, "refused",
              "it was refused: the place is closed"),
    SPL_INPUT(spl_permission_words, by, NAME, "by", "who said so", .value = "WHO", .needed = 1),
    SPL_INPUT(spl_permission_words, written, FLAG, "written", "in writing"),
    SPL_INPUT(spl_permission_words, parts, NAME, "parts",
              "which parts: leaf,flower; 'root' allows digging, 'any' everything (default: all "
              "that needs no digging)",
              .value = "PARTS"),
    SPL_INPUT(spl_permission_words, teaching, FLAG, "teaching",
              "to teach there only: nothing is taken for stock"),
    SPL_INPUT(spl_permission_words, amount, NAME, "amount", "how much, in words", .value = "TEXT"),
    SPL_INPUT(spl_permission_words, on, DAY, "on", "the day it was said", .past = 1, .today = 1),
    SPL_INPUT(spl_permission_words, until, DAY, "until", "its last day", .ahead = 1),
    SPL_PHOTO_INPUT(spl_permission_words),
};

static const struct spl_rule permission_rules[] = {{SPL_RULE_ONE, {"given", "refused"}}};

static gboolean check_permission(const void *record, GError **error)
{
    const struct spl_permission_words *words = record;

    if (words->teaching && (words->refused || words->parts != NULL)) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "teaching",
                            "is leave that is given, and no part is taken with it; leave out %s",
                            words->refused ? "that it was refused" : "the parts");
        return FALSE;
    }
    if (!spl_day_is_set(words->until) || spl_day_compare(words->until, words->on) >= 0)
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_INVALID, "until",
                        "the permission would end before it begins; look at the dates");
    return FALSE;
}

const struct spl_inputs spl_permission_inputs =
    SPL_INPUTS("permission", spl_permission_words, permission_rows, SPL_RULES(permission_rules),
               .check = check_permission);

/* Inside the transaction. */
static gboolean write_permission(struct spl_house *house, const char *name,
                                 struct spl_photo_hand *hand, struct spl_permission_note *note,
                                 GError **error)
{
    struct spl_site site;
    gboolean ok;

    if (!spl_house_site(house, "site", name, &site, error))
        return FALSE;
    note->uuid = spl_book_uuid(house->book);
    spl_book_bring(house->book, note->uuid);
    ok = spl_permission_add(house->book, site.id, note, error) &&
         spl_photo_keep(house, hand, note->uuid, &site, note->on, &note->photos, error);
    note->site = g_steal_pointer(&site.name);
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

gboolean spl_site_permit(struct spl_house *house, const struct spl_permission_words *said,
                         struct spl_permission_note *note, GError **error)
{
    struct spl_permission_words words;
    struct spl_permission_note made;
    struct spl_photo_hand hand;
    g_autofree char *parts = NULL;
    gboolean ok;

    if (!spl_entry_take(house, &spl_permission_inputs, said, &words, error))
        return FALSE;
    if (words.teaching)
        parts = g_strdup(SPL_PERMISSION_TEACHING);
    else
        parts = words.parts != NULL ? clean_parts(words.parts, error) : g_strdup("");
    ok = parts != NULL && spl_photo_pick_up(house, words.photo, &hand, error);
    if (ok) {
        made = (struct spl_permission_note){.given = words.given,
                                            .on = words.on,
                                            .until = words.until,
                                            .written = words.written,
                                            .by = g_strdup(words.by),
                                            .amount = g_strdup(words.amount),
                                            .parts = g_steal_pointer(&parts)};
        ok = spl_book_begin(house->book, error) &&
             spl_book_finish(house->book, write_permission(house, words.site, &hand, &made, error),
                             error);
        spl_photo_put_down(&hand, ok);
        if (ok)
            *note = made;
        else
            spl_record_clear(&spl_permission_note_shape, &made);
    }
    spl_inputs_clear(&spl_permission_inputs, &words);
    return ok;
}

/* Spraying --------------------------------------------------------------------------------------
 */

static const struct spl_input spray_rows[] = {
    SPL_INPUT(spl_spray_words, site, SITE, "site", "the place", .needed = 1),
    SPL_INPUT(spl_spray_words, kind, CHOICE, "kind",
              "unsprayed, sprayed, planned, or not-done: what was planned was not", .value = "KIND",
              .needed = 1, .words = "unsprayed sprayed planned not-done"),
    SPL_INPUT(spl_spray_words, source, NAME, "source", "who said it, or what was seen",
              .value = "TEXT", .needed = 1, .amends = 1),
    SPL_INPUT(
        spl_spray_words, on, DAY, "on",
        "the day of the statement (default today), of the spraying (default: not known; of one "
        "that was in some month, note the first and the last day of it), or for which it was "
        "planned",
        .amends = 1),
    SPL_INPUT(spl_spray_words, since, MONTH, "since",
              "unsprayed: since when it holds; a month or a year counts from its first day",
              .amends = 1),
    SPL_INPUT(spl_spray_words, until, DAY, "until",
              "unsprayed: the last day on which it may be relied on", .amends = 1),
    SPL_INPUT(spl_spray_words, method, METHOD, "method", "how: a row of data/hazards.csv",
              .amends = 1),
    SPL_INPUT(spl_spray_words, product, NAME, "product", "what was sprayed", .amends = 1),
    SPL_PHOTO_INPUT(spl_spray_words),
};

/* A text that is none of the names, or nothing, is refused before it counts. */
static enum spl_spray_kind kind_said(const struct spl_spray_words *words)
{
    return (enum spl_spray_kind)MAX(0, spl_word_value(spl_spray_kind_names, words->kind));
}

/* A spraying without a day is one at an unknown time; a word is of the day it was given. */
static void fill_spray(void *record, struct spl_day today)
{
    struct spl_spray_words *words = record;

    if (!spl_day_is_set(words->on) && kind_said(words) == SPL_SPRAY_UNSPRAYED)
        words->on = today;
}

static gboolean check_spray(const void *record, GError **error)
{
    const struct spl_spray_words *words = record;
    gboolean unsprayed = kind_said(words) == SPL_SPRAY_UNSPRAYED;

    if (kind_said(words) == SPL_SPRAY_PLANNED && !spl_day_is_set(words->on))
        spl_error_set_input(error, SPL_ERROR_USAGE, "on",
                            "is missing: the day for which the spraying is planned");
    else if (!unsprayed && spl_day_is_set(words->since))
        spl_error_set_input(error, SPL_ERROR_USAGE, "since",
                            "belongs to an 'unsprayed' statement only; leave it out");
    else if (!unsprayed && spl_day_is_set(words->until))
        spl_error_set_input(error, SPL_ERROR_USAGE, "until",
                            "belongs to an 'unsprayed' statement only; leave it out");
    else if (spl_day_is_set(words->since) && spl_day_compare(words->since, words->on) > 0)
        spl_error_set_input(error, SPL_ERROR_INVALID, "since",
                            "lies after the statement itself; look at the dates");
    else
        return TRUE;
    return FALSE;
}

const struct spl_inputs spl_spray_inputs =
    SPL_INPUTS("spray_note", spl_spray_words, spray_rows, .fill = fill_spray, .check = check_spray);

/* The standing plans to spray a place that nobody has called off, as their days. */
static gboolean planned_days(struct spl_house *house, gint64 site_id, GArray *days, GError **error)
{
    GArray *notes = spl_spray_list(house->book, site_id, FALSE, error);

    if (notes == NULL)
        return FALSE;
    for (guint i = 0; i < notes->len; i++) {
        const struct spl_spray_record *note = &g_array_index(notes, struct spl_spray_record, i);
        gboolean off = note->kind != SPL_SPRAY_PLANNED;

        for (guint k = 0; k < notes->len && !off; k++) {
            const struct spl_spray_record *other =
                &g_array_index(notes, struct spl_spray_record, k);

            off = other->kind == SPL_SPRAY_NOT_DONE && other->on.n == note->on.n;
        }
        if (!off)
            g_array_append_val(days, note->on);
    }
    spl_list_free(&spl_spray_record_shape, notes);
    return TRUE;
}

/* Which planned spraying was not done: the one of that day, or the only one. */
static gboolean find_planned(struct spl_house *house, const struct spl_site *site,
                             struct spl_spray_record *note, GError **error)
{
    g_autoptr(GArray) days = g_array_new(FALSE, FALSE, sizeof(struct spl_day));
    g_autoptr(GString) list = g_string_new(NULL);
    char text[SPL_DAY_TEXT_SIZE];

    if (!planned_days(house, site->id, days, error))
        return FALSE;
    for (guint i = 0; i < days->len; i++) {
        struct spl_day day = g_array_index(days, struct spl_day, i);

        if (spl_day_is_set(note->on) ? day.n == note->on.n : days->len == 1) {
            note->on = day;
            return TRUE;
        }
        g_string_append_printf(list, "%s%s", list->len > 0 ? ", " : "", spl_day_format(day, text));
    }
    if (days->len == 0)
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "kind",
                            "no spraying is planned at %s that could be called off", site->name);
    else
        spl_error_set_input(error, spl_day_is_set(note->on) ? SPL_ERROR_NOT_FOUND : SPL_ERROR_USAGE,
                            "on", "is to be the day for which it was planned: %s", list->str);
    return FALSE;
}

gboolean spl_spray_note_add(struct spl_house *house, const struct spl_spray_words *said,
                            struct spl_spray_record *note, GPtrArray **touched, GError **error)
{
    g_autoptr(GPtrArray) lines = g_ptr_array_new_with_free_func(g_free);
    struct spl_spray_record made = {0};
    struct spl_spray_words words;
    struct spl_photo_hand hand = {0};
    struct spl_thing thing = {0};
    struct spl_site site = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_spray_inputs, said, &words, error))
        return FALSE;
    made.kind = kind_said(&words);
    ok = (made.kind == SPL_SPRAY_PLANNED || made.kind == SPL_SPRAY_NOT_DONE ||
          !spl_day_is_set(words.on) || spl_house_past(house, words.on, "on", error)) &&
         spl_photo_pick_up(house, words.photo, &hand, error) && spl_book_begin(house->book, error);
    if (ok) {
        made = (struct spl_spray_record){.on = words.on,
                                         .since = words.since,
                                         .until = words.until,
                                         .kind = made.kind,
                                         .method = g_strdup(words.method),
                                         .source = g_strdup(words.source),
                                         .product = g_strdup(words.product)};
        /* The code is of the day on which it is written down: a spraying may have no date. */
        ok = spl_house_site(house, "site", words.site, &site, error) &&
             (made.kind != SPL_SPRAY_NOT_DONE || find_planned(house, &site, &made, error)) &&
             spl_spray_add(house->book, site.id, house->today, &made, &thing, error) &&
             spl_photo_keep(house, &hand, thing.uuid, &site, made.on, &made.photos, error);
        if (ok && made.kind == SPL_SPRAY_SPRAYED) {
            spl_ground_map_forget(house);
            ok = spl_touched_by_word(house, &site, thing.code, made.on, lines,
                                     made.touched = spl_list_new(&spl_touched_shape), error);
        }
        ok = spl_book_finish(house->book, ok, error);
        made.code = g_steal_pointer(&thing.code);
        made.site = g_steal_pointer(&site.name);
        spl_thing_clear(&thing);
        spl_record_clear(&spl_site_shape, &site);
    }
    spl_photo_put_down(&hand, ok);
    spl_inputs_clear(&spl_spray_inputs, &words);
    if (ok) {
        *note = made;
        *touched = g_steal_pointer(&lines);
    } else {
        spl_record_clear(&spl_spray_record_shape, &made);
    }
    return ok;
}

/* Stages seen -----------------------------------------------------------------------------------
 */

static const struct spl_input stage_rows[] = {
    SPL_INPUT(spl_stage_words, site, SITE, "site", "where it was seen", .needed = 1),
    SPL_INPUT(spl_stage_words, material, MATERIAL, "material", "of what", .needed = 1),
    SPL_INPUT(spl_stage_words, stage, STAGE, "stage", "growth stage, in words or as a BBCH code",
              .needed = 1, .amends = 1),
    SPL_INPUT(spl_stage_words, on, DAY, "on", "the day it was seen", .past = 1, .today = 1,
              .amends = 1),
    SPL_INPUT(spl_stage_words, by, NAME, "by", "who saw it", .value = "WHO", .setting = "who",
              .amends = 1),
    SPL_INPUT(spl_stage_words, remark, TEXT, "remark", "anything to remember", .amends = 1),
    SPL_PHOTO_INPUT(spl_stage_words),
};
const struct spl_inputs spl_stage_inputs = SPL_INPUTS("stage_note", spl_stage_words, stage_rows);

static const struct spl_input stage_question_rows[] = {
    SPL_INPUT(spl_stage_question, site, SITE, "site", "at one place"),
    SPL_INPUT(spl_stage_question, material, MATERIAL, "material", "of one material"),
};
const struct spl_inputs spl_stage_question_inputs =
    SPL_INPUTS("stage_question", spl_stage_question, stage_question_rows);

/* Inside the transaction. */
static gboolean write_stage(struct spl_house *house, const struct spl_stage_words *words,
                            struct spl_photo_hand *hand, struct spl_stage_record *note,
                            GError **error)
{
    struct spl_thing thing = {0};
    struct spl_site site;
    gboolean ok;

    if (!spl_house_site(house, "site", words->site, &site, error))
        return FALSE;
    ok = spl_stage_add(house->book, site.id, note, &thing, error) &&
         spl_photo_keep(house, hand, thing.uuid, &site, note->on, &note->photos, error);
    note->code = g_steal_pointer(&thing.code);
    note->site = g_steal_pointer(&site.name);
    spl_thing_clear(&thing);
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

gboolean spl_stage_note_add(struct spl_house *house, const struct spl_stage_words *said,
                            struct spl_stage_record *note, GError **error)
{
    struct spl_photo_hand hand = {0};
    struct spl_stage_record made = {0};
    struct spl_stage_words words;
    gboolean ok;

    if (!spl_entry_take(house, &spl_stage_inputs, said, &words, error))
        return FALSE;
    ok = spl_stage_parse(words.stage, "stage", &made.stage, error);
    if (ok) {
        made.material = g_strdup(words.material);
        made.stage_word = g_strdup(spl_stage_word(made.stage));
        made.on = words.on;
        made.by = g_strdup(words.by);
        made.remark = g_strdup(words.remark);
        ok = spl_photo_pick_up(house, words.photo, &hand, error) &&
             spl_book_begin(house->book, error) &&
             spl_book_finish(house->book, write_stage(house, &words, &hand, &made, error), error);
        spl_photo_put_down(&hand, ok);
    }
    if (ok)
        *note = made;
    else
        spl_record_clear(&spl_stage_record_shape, &made);
    spl_inputs_clear(&spl_stage_inputs, &words);
    return ok;
}

/* SPDX-License-Identifier: MIT
 *
 * Notes through the doors. See season/note_enter.h; jars, racks and lots are in note_jars.c.
 */
#include "season/note_enter.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "core/stage.h"
#include "season/house_private.h"
#include "season/note_jars.h"
#include "simpling/amend.h"
#include "simpling/error.h"
#include "simpling/harvest.h"
#include "simpling/question.h"
#include "simpling/site.h"
#include "simpling/stand.h"

/* In words --------------------------------------------------------------------------------------
 */

static void say_amount(GString *words, const struct spl_note_entry *entry)
{
    g_autofree char *number = !isnan(entry->g) || !isnan(entry->ml)
                                  ? spl_number_format(!isnan(entry->g) ? entry->g : entry->ml, 1)
                                  : NULL;

    if (number != NULL)
        g_string_append_printf(words, "%s %s", number, !isnan(entry->g) ? "g" : "mL");
    else if (entry->bags > 0)
        g_string_append_printf(words, "%d %s%s", entry->bags, entry->handfuls ? "handful" : "bag",
                               entry->bags > 1 ? "s" : "");
}

static const char *herb_of(const struct spl_note_entry *entry)
{
    return entry->material != NULL ? entry->material : entry->plant != NULL ? entry->plant : "";
}

static void say_day(GString *words, const char *lead, struct spl_day day)
{
    char text[SPL_DAY_TEXT_SIZE];

    if (spl_day_is_set(day))
        g_string_append_printf(words, "%s%s", lead, spl_day_format(day, text));
}

static void say_spray(GString *words, const struct spl_note_entry *entry)
{
    g_string_append_printf(words, "%s%s%s", spl_spray_kind_names[entry->spray],
                           entry->who != NULL ? ", source: " : "",
                           entry->who != NULL ? entry->who : "");
    say_day(words, ", since ", entry->since);
    say_day(words, ", until ", entry->until);
    if (entry->spray == SPL_SPRAY_SPRAYED && !spl_day_is_set(entry->day))
        g_string_append(words, ", on a day that is not known");
    if (entry->product != NULL)
        g_string_append_printf(words, ", %s", entry->product);
}

static void say_done(GString *words, const struct spl_note_entry *entry)
{
    static const char *const done[] = {[SPL_NOTE_SHOOK] = "shaken",
                                       [SPL_NOTE_TOPPED] = "topped up",
                                       [SPL_NOTE_LOOKED] = "looked at",
                                       [SPL_NOTE_DECANTED] = "decanted",
                                       [SPL_NOTE_TURNED] = "turned",
                                       [SPL_NOTE_READY] = "ready",
                                       [SPL_NOTE_STRAINED] = "strained",
                                       [SPL_NOTE_SPOILT] = "thrown away",
                                       [SPL_NOTE_BROKEN] = "thrown away",
                                       [SPL_NOTE_LOST] = "lost",
                                       [SPL_NOTE_WEIGHED] = "weighs",
                                       [SPL_NOTE_WASHED] = "cleaned",
                                       [SPL_NOTE_HAD] = "had",
                                       [SPL_NOTE_ALLOWED] = "leave given",
                                       [SPL_NOTE_TEACHING] = "leave for teaching",
                                       [SPL_NOTE_FORBIDDEN] = "leave refused",
                                       [SPL_NOTE_NOT_REACHED] = "not reached",
                                       [SPL_NOTE_MARKED] = "marked",
                                       [SPL_NOTE_COUNTED] = "counted",
                                       [SPL_NOTE_CUT] = "cut",
                                       [SPL_NOTE_RESTING] = "rests",
                                       [SPL_NOTE_REMARKED] = "remark"};

    for (guint i = 0; i < entry->codes->len; i++)
        g_string_append_printf(words, "%s%s", i > 0 ? ", " : "",
                               (const char *)g_ptr_array_index(entry->codes, i));
    if (entry->ref != NULL)
        g_string_append_printf(words, "%s%s", words->len > 0 ? " " : "", entry->ref);
    if (entry->codes->len == 0 && *herb_of(entry) != '\0')
        g_string_append_printf(words, "%s%s", words->len > 0 ? " " : "", herb_of(entry));
    g_string_append_printf(words, "%s%s", words->len > 0 ? " " : "", done[entry->done]);
    if (entry->kind == SPL_NOTE_KIND_STAND && entry->why != NULL)
        g_string_append_printf(words, " in %s", entry->why);
    if (entry->plants > 0)
        g_string_append_printf(words, " %d plants", entry->plants);
    if (!isnan(entry->g) || !isnan(entry->ml)) {
        g_string_append_c(words, ' ');
        say_amount(words, entry);
    }
    if (entry->half)
        g_string_append(words, " half");
    if (entry->kind == SPL_NOTE_KIND_DISCARD && entry->why != NULL)
        g_string_append_printf(words, ", why: %s", entry->why);
    if (entry->who != NULL && *entry->who != '\0')
        g_string_append_printf(words, ", by: %s", entry->who);
    if (entry->kind == SPL_NOTE_KIND_LEAVE && entry->product != NULL)
        g_string_append_printf(words, ", parts: %s", entry->product);
    say_day(words, entry->kind == SPL_NOTE_KIND_NOT_REACHED ? ", asked again " : " until ",
            entry->until);
}

char *spl_note_describe(const struct spl_note_entry *entry)
{
    GString *words = g_string_new(NULL);

    switch (entry->kind) {
    case SPL_NOTE_KIND_NONE:
    case SPL_NOTE_KIND_HEADING:
        break;
    case SPL_NOTE_KIND_HARVEST:
        say_amount(words, entry);
        g_string_append_printf(words, " %s%s", herb_of(entry),
                               entry->bags > 0 ? ", weight missing" : "");
        if (entry->stage != SPL_STAGE_NONE)
            g_string_append_printf(words, ", %s", spl_stage_word(entry->stage));
        break;
    case SPL_NOTE_KIND_STAGE:
        g_string_append_printf(words, "%s %s", herb_of(entry), spl_stage_word(entry->stage));
        break;
    case SPL_NOTE_KIND_SPRAY:
        say_spray(words, entry);
        break;
    case SPL_NOTE_KIND_STRIKE:
        g_string_append(words, "taken back");
        break;
    default:
        say_done(words, entry);
        break;
    }
    if (entry->remark != NULL)
        g_string_append_printf(words, "%s%s", words->len > 0 ? "; remark: " : "", entry->remark);
    return g_string_free(words, words->len == 0);
}

/* Doors -----------------------------------------------------------------------------------------
 */

static void caution(struct spl_note_row *row, const GPtrArray *cautions)
{
    for (guint i = 0; cautions != NULL && i < cautions->len; i++)
        g_ptr_array_add(row->cautions, g_strdup(g_ptr_array_index(cautions, i)));
}

static gboolean enter_harvest(struct spl_house *house, const struct spl_note_entry *entry,
                              const char *by, struct spl_note_row *row, GError **error)
{
    g_autofree char *stage = g_strdup_printf("%02d", entry->stage), *who = NULL;
    g_autoptr(GPtrArray) cautions = NULL;
    struct spl_harvest_words words;
    struct spl_harvest harvest;

    spl_inputs_init(&spl_harvest_inputs, &words);
    words.site = entry->site;
    words.material = entry->material;
    words.stage = stage;
    words.weight_g = entry->g;
    words.bags = entry->bags > 0 && !entry->handfuls ? entry->bags : SPL_COUNT_NONE;
    words.handfuls = entry->bags > 0 && entry->handfuls ? entry->bags : SPL_COUNT_NONE;
    words.on = entry->day;
    words.by = entry->by != NULL ? entry->by : by;
    who = entry->signs != NULL ? spl_house_who(house, words.by) : NULL;
    words.named_by = who;
    words.signs = entry->signs;
    words.hold = entry->why;
    words.remark = entry->remark;
    if (!spl_harvest_log(house, &words, &harvest, &cautions, error))
        return FALSE;
    row->code = g_strdup(harvest.code);
    caution(row, cautions);
    spl_record_clear(&spl_harvest_shape, &harvest);
    return TRUE;
}

static gboolean enter_stage(struct spl_house *house, const struct spl_note_entry *entry,
                            const char *by, struct spl_note_row *row, GError **error)
{
    g_autofree char *stage = g_strdup_printf("%02d", entry->stage);
    struct spl_stage_words words;
    struct spl_stage_record note;

    spl_inputs_init(&spl_stage_inputs, &words);
    words.site = entry->site;
    words.material = entry->material;
    words.stage = stage;
    words.on = entry->day;
    words.by = entry->by != NULL ? entry->by : by;
    words.remark = entry->remark;
    if (!spl_stage_note_add(house, &words, &note, error))
        return FALSE;
    row->code = g_strdup(note.code);
    spl_record_clear(&spl_stage_record_shape, &note);
    return TRUE;
}

/* Who says that it was not done, where the line does not say: who planned it. */
static char *planned_by(struct spl_house *house, const char *site, GError **error)
{
    struct spl_site_sheet sheet;
    char *source = NULL;

    if (!spl_site_sheet(house, site, &sheet, error))
        return NULL;
    for (guint i = 0; i < sheet.notes->len; i++) {
        const struct spl_spray_record *note =
            &g_array_index(sheet.notes, struct spl_spray_record, i);

        if (note->kind == SPL_SPRAY_PLANNED && note->struck == NULL && note->source != NULL) {
            g_free(source);
            source = g_strdup(note->source);
        }
    }
    if (source == NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "%s: no spraying was planned there, so none was called off; who says not "
                    "sprayed, and since when?",
                    site);
    spl_record_clear(&spl_site_sheet_shape, &sheet);
    return source;
}

static gboolean enter_spray(struct spl_house *house, const struct spl_note_entry *entry,
                            struct spl_note_row *row, GError **error)
{
    g_autofree char *source = g_strdup(entry->who);
    g_autoptr(GPtrArray) touched = NULL;
    struct spl_spray_words words;
    struct spl_spray_record note;

    if (source == NULL)
        source = planned_by(house, entry->site, error);
    if (source == NULL)
        return FALSE;
    spl_inputs_init(&spl_spray_inputs, &words);
    words.site = entry->site;
    words.kind = spl_spray_kind_names[entry->spray];
    words.source = source;
    words.product = entry->product;
    words.on = entry->spray == SPL_SPRAY_NOT_DONE && !entry->own_day ? SPL_DAY_NONE : entry->day;
    words.since = entry->since;
    words.until = entry->until;
    if (!spl_spray_note_add(house, &words, &note, &touched, error))
        return FALSE;
    row->code = g_strdup(note.code);
    for (guint i = 0; touched != NULL && i < touched->len; i++)
        g_ptr_array_add(row->cautions,
                        g_strdup_printf("touches %s", (char *)g_ptr_array_index(touched, i)));
    spl_record_clear(&spl_spray_record_shape, &note);
    return TRUE;
}

static gboolean enter_leave(struct spl_house *house, const struct spl_note_entry *entry,
                            GError **error)
{
    struct spl_permission_words words;
    struct spl_permission_note note;

    spl_inputs_init(&spl_permission_inputs, &words);
    words.site = entry->site;
    words.teaching = entry->done == SPL_NOTE_TEACHING;
    words.given = entry->done == SPL_NOTE_ALLOWED || words.teaching;
    words.refused = !words.given;
    words.by = entry->who;
    words.on = entry->day;
    words.until = entry->until;
    words.parts = entry->product;
    words.amount = entry->remark;
    if (!spl_site_permit(house, &words, &note, error))
        return FALSE;
    spl_record_clear(&spl_permission_note_shape, &note);
    return TRUE;
}

/* All that is asked about the place sleeps till then. */
static gboolean enter_not_reached(struct spl_house *house, const struct spl_note_entry *entry,
                                  const char *by, struct spl_note_row *row, GError **error)
{
    struct spl_questions_question all = {FALSE};
    GArray *questions = spl_questions(house, &all, error);
    guint n = 0;
    gboolean ok = questions != NULL;

    for (guint i = 0; ok && i < questions->len; i++) {
        const struct spl_question *question = &g_array_index(questions, struct spl_question, i);
        struct spl_answer_words words;
        struct spl_answered answered;

        if (g_strcmp0(question->about, entry->site) != 0)
            continue;
        spl_inputs_init(&spl_answer_inputs, &words);
        words.id = question->id;
        words.later = entry->until;
        words.why = "not reached";
        words.by = by;
        words.on = entry->day;
        ok = spl_answer(house, &words, &answered, error);
        if (ok)
            spl_record_clear(&spl_answered_shape, &answered);
        n += ok ? 1 : 0;
    }
    if (ok && n == 0)
        g_ptr_array_add(row->cautions,
                        g_strdup("nothing is asked about this place today, so nothing sleeps; kept "
                                 "as a remark of the place"));
    if (questions != NULL)
        spl_list_free(&spl_question_shape, questions);
    return ok && (n > 0 || spl_note_place_remark(house, entry, "not reached", error));
}

static gboolean enter_stand(struct spl_house *house, const struct spl_note_entry *entry,
                            const char *by, GError **error)
{
    struct spl_stand_record record;
    int year;
    gboolean ok;

    if (entry->done == SPL_NOTE_MARKED) {
        struct spl_stand_mark_words words;

        spl_inputs_init(&spl_stand_mark_inputs, &words);
        words.site = entry->site;
        words.plant = entry->plant;
        words.on = entry->day;
        words.by = by;
        words.remark = entry->remark;
        words.seen = entry->why;
        ok = spl_stand_mark(house, &words, &record, error);
    } else if (entry->done == SPL_NOTE_COUNTED) {
        struct spl_stand_words words;

        spl_inputs_init(&spl_stand_inputs, &words);
        words.site = entry->site;
        words.plant = entry->plant;
        words.on = entry->day;
        words.by = by;
        words.remark = entry->remark;
        words.plants = entry->plants;
        ok = spl_stand_set(house, &words, &record, error);
    } else {
        struct spl_stand_rest_words words;

        /* What was cut gives nothing more in this season. */
        spl_inputs_init(&spl_stand_rest_inputs, &words);
        spl_day_to_ymd(spl_day_is_set(entry->until) ? entry->until : entry->day, &year, NULL, NULL);
        words.site = entry->site;
        words.plant = entry->plant;
        words.on = entry->day;
        words.by = by;
        words.remark =
            entry->remark != NULL || entry->done == SPL_NOTE_RESTING ? entry->remark : "cut";
        words.until = spl_day_is_set(entry->until) ? year : year + 1;
        ok = spl_stand_rest(house, &words, &record, error);
    }
    if (ok)
        spl_record_clear(&spl_stand_record_shape, &record);
    return ok;
}

gboolean spl_note_enter(struct spl_house *house, const struct spl_note_entry *entry, const char *by,
                        struct spl_note_row *row, GError **error)
{
    switch (entry->kind) {
    case SPL_NOTE_KIND_HARVEST:
        return enter_harvest(house, entry, by, row, error);
    case SPL_NOTE_KIND_STAGE:
        return enter_stage(house, entry, by, row, error);
    case SPL_NOTE_KIND_SPRAY:
        return enter_spray(house, entry, row, error);
    case SPL_NOTE_KIND_LEAVE:
        return enter_leave(house, entry, error);
    case SPL_NOTE_KIND_NOT_REACHED:
        return enter_not_reached(house, entry, by, row, error);
    case SPL_NOTE_KIND_STAND:
        return enter_stand(house, entry, by, error);
    default:
        return spl_note_enter_jars(house, entry, by, row, error);
    }
}

/* One change more: the key of an input and its text. */
static void change(GArray *changes, const char *key, char *text)
{
    struct spl_change_words one = {key, text};

    g_array_append_val(changes, one);
}

gboolean spl_note_amend(struct spl_house *house, const struct spl_note_entry *entry,
                        const char *code, const char *by, struct spl_note_row *row, GError **error)
{
    GArray *changes = g_array_new(FALSE, FALSE, sizeof(struct spl_change_words)), *made;
    g_autofree char *number = spl_number_format(entry->g, 3), *weight = NULL;
    g_autofree char *stage = g_strdup_printf("%02d", entry->stage);
    char day[SPL_DAY_TEXT_SIZE];
    struct spl_amend_words words;

    weight = g_strdup_printf("%sg", number);
    spl_inputs_init(&spl_amend_inputs, &words);
    if (entry->kind == SPL_NOTE_KIND_HARVEST && !isnan(entry->g))
        change(changes, "weight", weight);
    change(changes, "stage", stage);
    change(changes, "on", (char *)spl_day_format(entry->day, day));
    if (entry->remark != NULL)
        change(changes, "remark", entry->remark);
    words.code = code;
    words.changes = changes;
    words.why = "changed on the slip";
    words.by = by;
    made = entry->kind == SPL_NOTE_KIND_HARVEST || entry->kind == SPL_NOTE_KIND_STAGE
               ? spl_record_amend(house, &words, error)
               : NULL;
    if (made == NULL && error != NULL && *error == NULL)
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: the slip has it otherwise now; strike what was taken and enter it anew",
                    code != NULL ? code : "this line");
    for (guint i = 0; made != NULL && i < made->len; i++) {
        const struct spl_correction *one = &g_array_index(made, struct spl_correction, i);

        g_ptr_array_add(row->cautions,
                        g_strdup_printf("%s: was %s, is %s", one->field,
                                        one->was != NULL ? one->was : "nothing", one->became));
    }
    row->code = g_strdup(code);
    if (made != NULL)
        spl_list_free(&spl_correction_shape, made);
    g_array_unref(changes);
    return made != NULL;
}

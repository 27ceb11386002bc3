/* SPDX-License-Identifier: MIT
 *
 * What a person notes about a place: permission, words about spraying, stages seen. See
 * simpling/site.h.
 */
#include <string.h>

#include "base/text.h"
#include "book/site.h"
#include "core/stage.h"
#include "season/house_private.h"
#include "season/touched.h"
#include "simpling/error.h"
#include "simpling/site.h"

/* An optional text cleaned: NULL stays NULL. FALSE with an error. */
static gboolean clean_optional(const char *text, const char *what, gsize max, char **clean,
                               GError **error)
{
    *clean = NULL;
    if (text == NULL)
        return TRUE;
    *clean = spl_text_clean(text, what, max, FALSE, error);
    return *clean != NULL;
}

/* "leaf, flowers" -> "leaf,flower"; "any" stays. */
static char *clean_parts(const char *text, GError **error)
{
    g_auto(GStrv) words = g_strsplit(text, ",", 20);
    g_autoptr(GString) parts = g_string_new(NULL);

    for (guint i = 0; words[i] != NULL; i++) {
        enum spl_part part = SPL_PART_ANY;

        g_strstrip(words[i]);
        if (strcmp(words[i], "any") != 0 && !spl_part_parse(words[i], "--parts", &part, error))
            return NULL;
        g_string_append_printf(parts, "%s%s", i > 0 ? "," : "", spl_part_name(part));
    }
    return g_string_free(g_steal_pointer(&parts), FALSE);
}

gboolean spl_site_permit(struct spl_house *house, const char *name,
                         const struct spl_permission_words *words, struct spl_permission_note *note,
                         GError **error)
{
    struct spl_site site;
    gboolean ok;

    *note = (struct spl_permission_note){
        .given = words->given, .on = words->on, .until = words->until, .written = words->written};
    if (!spl_house_past(house, words->on, "--on", error))
        return FALSE;
    if (spl_day_is_set(words->until) && spl_day_compare(words->until, words->on) < 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--until: the permission would end before it begins; look at the dates");
        return FALSE;
    }
    note->by = spl_text_clean(words->by, "--by", SPL_NAME_MAX, FALSE, error);
    ok = note->by != NULL &&
         clean_optional(words->amount, "--amount", SPL_NAME_MAX, &note->amount, error);
    if (ok) {
        note->parts = words->parts != NULL ? clean_parts(words->parts, error) : g_strdup("");
        ok = note->parts != NULL;
    }
    if (ok && (ok = spl_book_begin(house->book, error))) {
        ok = spl_site_find(house->book, name, &site, error);
        if (ok) {
            ok = spl_permission_add(house->book, site.id, note, error);
            note->site = g_steal_pointer(&site.name);
            spl_record_clear(&spl_site_shape, &site);
        }
        ok = spl_book_finish(house->book, ok, error);
    }
    if (!ok)
        spl_record_clear(&spl_permission_note_shape, note);
    return ok;
}

static gboolean check_spray_words(struct spl_house *house, const struct spl_spray_words *words,
                                  const struct spl_method **method, GError **error)
{
    const struct spl_tables *tables;

    *method = NULL;
    if (strcmp(words->kind, "unsprayed") != 0 && strcmp(words->kind, "sprayed") != 0 &&
        strcmp(words->kind, "planned") != 0) {
        g_autofree char *shown = spl_text_scrub(words->kind, FALSE);

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--kind: '%.40s' is no kind of spray note; say unsprayed, sprayed or planned",
                    shown);
        return FALSE;
    }
    if (strcmp(words->kind, "planned") != 0 && spl_day_is_set(words->on) &&
        !spl_house_past(house, words->on, "--on", error))
        return FALSE;
    if (strcmp(words->kind, "unsprayed") != 0 &&
        (spl_day_is_set(words->since) || spl_day_is_set(words->until))) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "--since, --until: belong to an 'unsprayed' word only; leave them out");
        return FALSE;
    }
    if (spl_day_is_set(words->since) && spl_day_compare(words->since, words->on) > 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--since: lies after the word itself; look at the dates");
        return FALSE;
    }
    if (words->method != NULL) {
        tables = spl_house_tables(house, error);
        if (tables == NULL || !spl_tables_method(tables, words->method, method, error))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_spray_note_add(struct spl_house *house, const char *site_name,
                            const struct spl_spray_words *words, struct spl_spray_record *note,
                            GPtrArray **touched, GError **error)
{
    const struct spl_method *method;
    struct spl_thing thing = {0};
    struct spl_site site = {0};
    gboolean ok;

    *touched = g_ptr_array_new_with_free_func(g_free);
    *note =
        (struct spl_spray_record){.on = words->on, .since = words->since, .until = words->until};
    ok = check_spray_words(house, words, &method, error);
    if (ok) {
        note->kind = g_strdup(words->kind);
        note->method = g_strdup(method != NULL ? method->slug : NULL);
        note->source = spl_text_clean(words->source, "--source", SPL_NAME_MAX, FALSE, error);
        ok = note->source != NULL &&
             clean_optional(words->product, "--product", SPL_NAME_MAX, &note->product, error);
    }
    if (ok && (ok = spl_book_begin(house->book, error))) {
        /* The code is of the day on which it is written down: a spraying may have no date. */
        ok = spl_site_find(house->book, site_name, &site, error) &&
             spl_spray_add(house->book, site.id, house->today, note, &thing, error);
        if (ok && strcmp(note->kind, "sprayed") == 0)
            ok = spl_touched_by_site(house, site.id, note->on, *touched, error);
        ok = spl_book_finish(house->book, ok, error);
        note->code = g_steal_pointer(&thing.code);
        note->site = g_steal_pointer(&site.name);
        spl_thing_clear(&thing);
        spl_record_clear(&spl_site_shape, &site);
    }
    if (!ok) {
        spl_record_clear(&spl_spray_record_shape, note);
        g_clear_pointer(touched, g_ptr_array_unref);
    }
    return ok;
}

gboolean spl_stage_note_add(struct spl_house *house, const char *site_name, const char *material,
                            const char *stage, struct spl_day on, const char *by,
                            const char *remark, struct spl_stage_record *note, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_material *found;
    struct spl_thing thing = {0};
    struct spl_site site = {0};
    gboolean ok;

    *note = (struct spl_stage_record){.on = on};
    ok = tables != NULL && spl_tables_material(tables, material, &found, error) &&
         spl_stage_parse(stage, "the stage", &note->stage, error) &&
         spl_house_past(house, on, "--on", error) &&
         clean_optional(remark, "--remark", SPL_REMARK_MAX, &note->remark, error) &&
         clean_optional(by, "--by", SPL_NAME_MAX, &note->by, error);
    if (ok && note->by == NULL)
        note->by = spl_house_who(house, NULL);
    if (ok && (ok = spl_book_begin(house->book, error))) {
        note->material = g_strdup(found->slug);
        note->stage_word = g_strdup(spl_stage_word(note->stage));
        ok = spl_site_find(house->book, site_name, &site, error) &&
             spl_stage_add(house->book, site.id, note, &thing, error);
        ok = spl_book_finish(house->book, ok, error);
        note->code = g_steal_pointer(&thing.code);
        note->site = g_steal_pointer(&site.name);
        spl_thing_clear(&thing);
        spl_record_clear(&spl_site_shape, &site);
    }
    if (!ok)
        spl_record_clear(&spl_stage_record_shape, note);
    return ok;
}

/* SPDX-License-Identifier: MIT
 *
 * What makes a line of notes the same as another. See season/note_same.h.
 */
#include "season/note_same.h"

#include <math.h>
#include <string.h>

#include "base/digest.h"
#include "base/text.h"
#include "book/site.h"
#include "season/house_private.h"

/* Records of slips' lines are named in this space, those of typed ones in the other. */
#define SLIP_SPACE "6d0c6c52-3f0e-4f0b-9a57-1f1f0b8e2c41"
#define TYPED_SPACE "c1f0a5d4-7a0e-4a39-9b1c-52b8f3e6d07a"

static void append_codes(GString *about, const GPtrArray *codes)
{
    for (guint i = 0; i < codes->len; i++)
        g_string_append_printf(about, "%s,", (const char *)g_ptr_array_index(codes, i));
}

char *spl_note_about(const struct spl_note_entry *entry)
{
    GString *about = g_string_new(spl_note_kind_names[entry->kind]);
    g_autofree char *site = entry->site != NULL ? spl_name_key(entry->site) : g_strdup("");
    const gboolean placed = entry->codes->len == 0 && !entry->all &&
                            entry->kind != SPL_NOTE_KIND_GIVEN &&
                            entry->kind != SPL_NOTE_KIND_YIELD && entry->kind != SPL_NOTE_KIND_STEP;
    char day[SPL_DAY_TEXT_SIZE];

    g_string_append_printf(about, "|%s|%s|", spl_day_format(entry->day, day), placed ? site : "");
    g_string_append_printf(about, "%s|%s|",
                           entry->material != NULL ? entry->material
                           : entry->plant != NULL  ? entry->plant
                                                   : "",
                           entry->preparation != NULL ? entry->preparation : "");
    append_codes(about, entry->codes);
    g_string_append_printf(about, "|%s|", entry->all ? "all" : "");
    append_codes(about, entry->but);
    g_string_append_printf(about, "|%d|%d|%s|%d", (int)entry->done, entry->spray,
                           entry->ref != NULL ? entry->ref : "",
                           entry->kind == SPL_NOTE_KIND_STAGE ? entry->stage : -1);
    if (entry->kind == SPL_NOTE_KIND_REMARK)
        g_string_append_printf(about, "|%s", entry->remark);
    return g_string_free(about, FALSE);
}

static gint64 thousandths(double amount)
{
    return isnan(amount) ? -1 : (gint64)llround(amount * 1000);
}

char *spl_note_key(const struct spl_note_entry *entry, const char *about)
{
    return g_strdup_printf("%s|%" G_GINT64_FORMAT "|%" G_GINT64_FORMAT "|%d|%d|%d", about,
                           thousandths(entry->g), thousandths(entry->ml),
                           entry->handfuls ? -entry->bags : entry->bags, entry->plants,
                           entry->half);
}

char *spl_note_content(const struct spl_note_entry *entry, const char *key)
{
    return g_strdup_printf("%s|%d|%s", key, entry->stage,
                           entry->remark != NULL ? entry->remark : "");
}

int spl_note_said_again(const struct spl_note_entry *entry)
{
    static const char *const words[][3] = {
        {"second", "2nd", "another"}, {"third", "3rd", "third"}, {"fourth", "4th", "fourth"}};
    g_autofree char *remark = g_utf8_strdown(entry->remark != NULL ? entry->remark : "", -1);

    for (guint i = 0; i < G_N_ELEMENTS(words); i++) {
        for (guint k = 0; k < 3; k++) {
            if (strstr(remark, words[i][k]) != NULL)
                return (int)i + 2;
        }
    }
    return 1;
}

gboolean spl_note_is_of_home(const struct spl_note_entry *entry)
{
    return entry->codes->len > 0 || entry->kind == SPL_NOTE_KIND_STEP ||
           entry->kind == SPL_NOTE_KIND_YIELD || entry->kind == SPL_NOTE_KIND_GIVEN ||
           entry->kind == SPL_NOTE_KIND_WEIGHT || entry->kind == SPL_NOTE_KIND_DRYING ||
           entry->kind == SPL_NOTE_KIND_DISCARD;
}

char *spl_note_sum(const struct spl_note_lines *lines)
{
    g_autoptr(spl_digest) digest = spl_digest_new();

    for (guint i = 0; i < lines->lines->len; i++) {
        const struct spl_note_line *line = g_ptr_array_index(lines->lines, i);

        spl_digest_add(digest, line->text->str, line->text->len + 1);
    }
    return spl_digest_hex(digest);
}

char *spl_note_uuid(struct spl_house *house, const char *sum, const struct spl_note_entry *entry,
                    const struct spl_note_taken *taken)
{
    g_autofree char *name = NULL;
    struct spl_site site;

    if (taken->slip != NULL) {
        name = g_strdup_printf("%s-%s-%d", taken->slip, taken->phone != NULL ? taken->phone : "",
                               taken->number);
        return spl_uuid_v5(SLIP_SPACE, name);
    }
    if (entry->site == NULL || spl_note_is_of_home(entry) ||
        !spl_house_site(house, "site", entry->site, &site, NULL))
        return spl_uuid_new();
    name = g_strdup_printf("%s|%s|%d|%s", sum, taken->key, taken->occurrence, site.uuid);
    spl_record_clear(&spl_site_shape, &site);
    return spl_uuid_v5(TYPED_SPACE, name);
}

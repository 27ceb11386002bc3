/* SPDX-License-Identifier: MIT
 *
 * Notes: every line of any bytes is read, asked about or refused with a reason, and said twice it
 * is read the same; what is readable is whole: a place and a day where it needs them, amounts that
 * somebody can carry.
 */
#include <math.h>
#include <string.h>

#include "exchange/note_lines.h"
#include "exchange/table_files.h"
#include "fuzz.h"
#include "season/note_enter.h"

/* Made once for all inputs. */
static const struct spl_note_names *names_of(const struct spl_tables **tables)
{
    static struct spl_tables *kept;
    static struct spl_note_names *names;

    if (names == NULL) {
        g_autoptr(GPtrArray) sites = g_ptr_array_new();

        kept = spl_tables_load(SPL_SOURCE_DIR "/data", NULL, NULL);
        fuzz_check(kept != NULL);
        g_ptr_array_add(sites, (char *)"Scarth Wood");
        g_ptr_array_add(sites, (char *)"Withy Gill");
        g_ptr_array_add(sites, (char *)"Low Croft");
        names = spl_note_names_new(kept, sites);
    }
    *tables = kept;
    return names;
}

static void check_readable(const struct spl_note_entry *entry)
{
    fuzz_check(entry->kind != SPL_NOTE_KIND_NONE && entry->kind != SPL_NOTE_KIND_HEADING);
    fuzz_check(isnan(entry->g) || (entry->g > 0 && entry->g <= 1e6));
    fuzz_check(isnan(entry->ml) || (entry->ml > 0 && entry->ml <= 1e9));
    if (entry->kind != SPL_NOTE_KIND_HARVEST && entry->kind != SPL_NOTE_KIND_STAGE)
        return;
    fuzz_check(entry->site != NULL && spl_day_is_set(entry->day) && entry->material != NULL);
    fuzz_check(entry->stage >= 0 && entry->stage <= 99);
    fuzz_check(entry->kind == SPL_NOTE_KIND_STAGE || !isnan(entry->g) || entry->bags > 0);
}

static char *read_line(struct spl_note_context *context, const struct spl_note_line *line)
{
    struct spl_note_entry entry;
    g_autofree char *words = NULL;
    char *said;

    spl_note_frame(context, line, &entry);
    words = spl_note_describe(&entry);
    if (entry.state == SPL_NOTE_READABLE && entry.reason == NULL)
        check_readable(&entry);
    else
        fuzz_check(entry.state == SPL_NOTE_CONTEXT || entry.reason != NULL);
    said = g_strdup_printf("%d %d %s %s %s", (int)entry.state, (int)entry.kind, words, entry.word,
                           entry.reason);
    fuzz_check(g_utf8_validate(said, -1, NULL));
    spl_note_entry_clear(&entry);
    return said;
}

static char *read_all(const struct spl_note_lines *lines)
{
    struct spl_note_context context = {.today = spl_day_from_ymd(2027, 7, 20),
                                       .written = SPL_DAY_NONE,
                                       .day = SPL_DAY_NONE,
                                       .country = "GB"};
    GString *all = g_string_new(NULL);

    context.names = names_of(&context.tables);
    for (guint i = 0; i < lines->lines->len; i++) {
        const struct spl_note_line *line = g_ptr_array_index(lines->lines, i);
        g_autofree char *said = NULL;

        fuzz_check(line->at->len == line->text->len + 1);
        said = read_line(&context, line);
        g_string_append_printf(all, "%s\n", said);
    }
    g_free(context.site);
    return g_string_free(all, FALSE);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    struct spl_note_lines lines;
    g_autofree char *first = NULL, *second = NULL;
    GError *error = NULL;
    gboolean done = spl_note_lines_take((const char *)bytes, size, "notes.txt", &lines, &error);

    fuzz_promise(done, error);
    if (!done)
        return 0;
    first = read_all(&lines);
    second = read_all(&lines);
    fuzz_check(strcmp(first, second) == 0);
    spl_note_lines_clear(&lines);
    return 0;
}

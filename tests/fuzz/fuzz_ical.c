/* SPDX-License-Identifier: MIT
 *
 * Any octets as a calendar file: the guard, libical below it, the structs that come out, repetition
 * rules, almanac rows, and the checker.
 */
#include <string.h>

#include "exchange/almanac.h"
#include "exchange/ical_check.h"
#include "exchange/ical_read.h"
#include "exchange/ical_repeat.h"
#include "exchange/table_files.h"
#include "fuzz.h"

static void look_at(const struct spl_entry *entry, const struct spl_tables *tables)
{
    g_autofree char *hash = spl_entry_hash(entry);
    struct spl_almanac_row row;

    /* What the reader promises: a day, an end that is not before it, texts that are UTF-8. */
    g_assert_true(spl_day_is_set(entry->first) && spl_day_is_set(entry->last));
    g_assert_cmpint(entry->last.n, >=, entry->first.n);
    g_assert_true(entry->summary == NULL || g_utf8_validate(entry->summary, -1, NULL));
    g_assert_true(entry->description == NULL || g_utf8_validate(entry->description, -1, NULL));
    g_assert_cmpint(entry->sequence, >=, 0);
    if (entry->rule != NULL) {
        gint64 budget = 20000;
        g_autoptr(GArray) days = spl_repeat_days(entry->rule, entry->first, entry->start_min,
                                                 entry->zone, spl_day_from_ymd(2027, 1, 1),
                                                 spl_day_from_ymd(2027, 12, 31), &budget, NULL);

        for (guint i = 1; days != NULL && i < days->len; i++)
            g_assert_cmpint(g_array_index(days, struct spl_day, i).n, >,
                            g_array_index(days, struct spl_day, i - 1).n);
    }
    if (tables != NULL && spl_almanac_row_from_entry(entry, tables, &row, NULL))
        spl_record_clear(&spl_almanac_row_shape, &row);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    static struct spl_tables *tables;
    struct spl_ical_checked checked;
    spl_ical_reader *reader;
    GError *error = NULL;

    if (tables == NULL)
        tables = spl_tables_load(SPL_SOURCE_DIR "/data", NULL, NULL);
    reader = spl_ical_reader_open_bytes((const char *)bytes, size, NULL, &error);
    if (reader == NULL) {
        fuzz_promise(FALSE, error);
    } else {
        struct spl_entry entry;

        spl_entry_init(&entry);
        while (spl_ical_reader_next(reader, &entry, &error)) {
            fuzz_check(error == NULL);
            look_at(&entry, tables);
        }
        if (error != NULL)
            fuzz_promise(FALSE, error);
        spl_entry_clear(&entry);
        (void)spl_ical_scan_property(spl_ical_reader_scan(reader), "NAME");
        spl_ical_reader_free(reader);
    }
    spl_ical_check_bytes((const char *)bytes, size, &checked);
    spl_record_clear(&spl_ical_checked_shape, &checked);
    return 0;
}

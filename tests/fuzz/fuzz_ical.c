/* SPDX-License-Identifier: MIT
 *
 * Calendars: the guarded scan, the reader of entries, the checker. Every entry that is read is
 * shown to the checker's eye for nothing more than that it comes back.
 */
#include "exchange/ical_check.h"
#include "exchange/ical_read.h"
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    GError *error = NULL;
    struct spl_ical_checked checked = {0};
    struct spl_ical_reader *reader =
        spl_ical_reader_open_bytes((const char *)bytes, size, NULL, &error);

    if (reader == NULL) {
        fuzz_promise(FALSE, error);
    } else {
        struct spl_entry entry = {0};
        int n = 0;
        while (spl_ical_reader_next(reader, &entry, &error)) {
            fuzz_check(error == NULL);
            spl_record_clear(&spl_entry_shape, &entry);
            fuzz_check(++n <= 1000000);
        }
        if (error != NULL)
            fuzz_promise(FALSE, error);
        spl_ical_reader_free(reader);
    }
    spl_ical_check_bytes((const char *)bytes, size, &checked);
    spl_record_clear(&spl_ical_checked_shape, &checked);
    return 0;
}

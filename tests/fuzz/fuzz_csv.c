/* SPDX-License-Identifier: MIT
 *
 * Comma-separated tables: every cell as text, number and day.
 */
#include <math.h>

#include "exchange/csv.h"
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    GError *error = NULL;
    struct spl_csv *csv = spl_csv_open_text((const char *)bytes, size, "field.csv", &error);

    if (csv == NULL) {
        fuzz_promise(FALSE, error);
        return 0;
    }
    while (spl_csv_next(csv, &error)) {
        for (int i = -1; i < spl_csv_columns(csv); i++) {
            GError *refused = NULL;
            double number = 0;
            struct spl_day day;
            fuzz_check(g_utf8_validate(spl_csv_text(csv, i), -1, NULL));
            if (i < 0)
                continue;
            gboolean done = spl_csv_number(csv, i, -100, 100, &number, &refused);
            fuzz_promise(done, refused);
            fuzz_check(!done || isnan(number) || (number >= -100 && number <= 100));
            refused = NULL;
            done = spl_csv_day(csv, i, &day, &refused);
            fuzz_promise(done, refused);
        }
    }
    if (error != NULL)
        fuzz_promise(FALSE, error);
    spl_csv_free(csv);
    return 0;
}

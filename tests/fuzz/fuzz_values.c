/* SPDX-License-Identifier: MIT
 *
 * Values of the command line: every parser of amounts, days, coordinates and names on one text.
 * What is accepted lies in the range that the header promises.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "fuzz.h"
#include "simpling/day.h"

/* Runs one parser of a double and checks its range. */
static void one(gboolean (*parse)(const char *, const char *, double *, GError **),
                const char *text, double min, double max)
{
    GError *error = NULL;
    double value = NAN;
    gboolean done = parse(text, "--value", &value, &error);
    fuzz_promise(done, error);
    fuzz_check(!done || (value >= min && value <= max));
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    g_autofree char *text = fuzz_text(bytes, size);
    GError *error = NULL;
    double a = NAN, b = NAN;
    struct spl_day day;
    int n;

    one(spl_mass_parse, text, 0, 1e6);
    one(spl_volume_parse, text, 0, 1e9);
    one(spl_strength_parse, text, 0, 1);
    one(spl_share_parse, text, 0, 1);
    one(spl_ratio_parse, text, 0, 1000);
    one(spl_length_parse, text, 0, 2e7);
    one(spl_area_parse, text, 0, 1e10);

    gboolean done = spl_jars_parse(text, "--jar", &n, &a, &error);
    fuzz_promise(done, error);
    fuzz_check(!done || (n >= 1 && n <= 1000 && a > 0));
    error = NULL;
    done = spl_coordinates_parse(text, "--at", &a, &b, &error);
    fuzz_promise(done, error);
    fuzz_check(!done || (fabs(a) <= 90 && fabs(b) <= 180));
    error = NULL;
    done = spl_count_parse(text, "--pickers", 1, 99, &n, &error);
    fuzz_promise(done, error);
    fuzz_check(!done || (n >= 1 && n <= 99));
    error = NULL;
    done = spl_clock_parse(text, "--at", &n, &error);
    fuzz_promise(done, error);
    fuzz_check(!done || (n >= 0 && n < 24 * 60));
    error = NULL;
    done = spl_day_parse_or_month(text, "--on", &day, &error);
    fuzz_promise(done, error);
    fuzz_check(!done || spl_day_is_set(day));
    error = NULL;
    GArray *parts = spl_parts_parse(text, "--parts", &error);
    fuzz_promise(parts != NULL, error);
    if (parts != NULL)
        g_array_unref(parts);
    error = NULL;
    char *name = spl_text_clean(text, "the name", SPL_NAME_MAX, FALSE, &error);
    fuzz_promise(name != NULL, error);
    if (name != NULL) {
        g_autofree char *key = spl_name_key(name);
        fuzz_check(strlen(name) <= SPL_NAME_MAX && g_utf8_validate(name, -1, NULL));
        fuzz_check(g_utf8_validate(key, -1, NULL));
    }
    g_free(name);
    g_autofree char *scrubbed = spl_text_scrub(text, TRUE);
    fuzz_check(g_utf8_validate(scrubbed, -1, NULL));
    return 0;
}

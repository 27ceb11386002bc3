/* SPDX-License-Identifier: MIT
 *
 * Weather files of every kind: what is read is sorted days with plausible temperatures.
 */
#include "exchange/weather.h"
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    const char *path = fuzz_file(bytes, size, ".csv");
    struct spl_weather_file file = {0};
    GError *error = NULL;
    gboolean done = spl_weather_file_read(path, SPL_WEATHER_UNIT_SAID, NULL, NULL, &file, &error);

    fuzz_promise(done, error);
    if (!done)
        return 0;
    for (guint i = 0; file.days != NULL && i + 1 < file.days->len; i++)
        fuzz_check(spl_day_compare(g_array_index(file.days, struct spl_weather_day, i).day,
                                   g_array_index(file.days, struct spl_weather_day, i + 1).day) <
                   0);
    spl_weather_file_clear(&file);
    return 0;
}

/* SPDX-License-Identifier: MIT
 *
 * simpling weather …: temperatures of stations, which windows are foretold by.
 */
#include "simpling/weather.h"
#include "command/rows.h"

static int run_import(struct spl_call *call, GError **error)
{
    struct spl_weather_import import;

    if (!spl_weather_import_file(call->house, call->said, &import, error))
        return -1;
    spl_call_print(call, &import);
    spl_record_clear(&spl_weather_import_shape, &import);
    return 0;
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *list = spl_weather_list(call->house, error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list, "no weather yet; read some with 'weather import FILE'");
    spl_list_free(&spl_station_shape, list);
    return 0;
}

const struct spl_command spl_command_weather_import = {
    .words = "weather import",
    .summary = "Read a station's temperatures into the book",
    .inputs = &spl_weather_inputs,
    .at = "file",
    .about =
        "FILE is a table (CSV) with a day, a minimum and a maximum in columns that say so; a "
        "GHCN-Daily .dly or\n.csv; or monthly normals: a table of month and mean (or minimum "
        "and maximum), or just twelve numbers.\nTables as spreadsheets write them will do: ';' and "
        "a decimal comma, 4.5.2027, German headings. Rows that\ncannot be read and days that "
        "cannot "
        "be are left out and listed. Reading a day again replaces it.",
    .examples = (const char *const[]){"simpling weather import daily.csv --station \"Low Croft\" "
                                      "--at 54.5889,-2.6104 --elevation 160",
                                      NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_weather_import_shape,
    .run = run_import,
};

const struct spl_command spl_command_weather_list = {
    .words = "weather list",
    .summary = "Stations, and which days of them are known",
    .places = "",
    .examples = (const char *const[]){"simpling weather list", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_station_shape,
    .array = TRUE,
    .run = run_list,
};

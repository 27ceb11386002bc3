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

static int run_follow(struct spl_call *call, GError **error)
{
    struct spl_weather_fetched fetched;

    if (!spl_weather_follow(call->house, call->said, &fetched, error))
        return -1;
    spl_call_print(call, &fetched);
    spl_record_clear(&spl_weather_fetched_shape, &fetched);
    return 0;
}

static int run_refresh(struct spl_call *call, GError **error)
{
    const struct spl_refresh_words *words = call->said;
    GArray *list = spl_weather_refresh(call->house, words->station, error);
    int failed = 0;

    if (list == NULL)
        return -1;
    for (guint i = 0; i < list->len; i++)
        failed += g_array_index(list, struct spl_weather_fetched, i).failed != NULL;
    spl_call_print_list(call, list, "");
    spl_list_free(&spl_weather_fetched_shape, list);
    return failed > 0 ? 1 : 0;
}

const struct spl_command spl_command_weather_follow = {
    .words = "weather follow",
    .summary = "Take a station's temperatures from an address, now and at every refresh",
    .inputs = &spl_follow_inputs,
    .at = "station address",
    .about =
        "ADDRESS begins with https:// and answers days as 'weather import' reads them: a table, "
        "GHCN-Daily or\nJSON (of days or hours), plain, as gzip or as a zip folder. {from}, {to} "
        "and "
        "{today} in it are filled with days.\nIts columns are pinned: an answer with others is "
        "refused. Days to come are kept as forecasts, used for a week,\nand replaced by what is "
        "measured. The address is this desk's own: it goes into no merge and no export.",
    .examples =
        (const char *const[]){"simpling weather follow 'Low Croft' "
                              "'https://weather.example/daily.csv?from={from}&to={to}' --at "
                              "54.5889,-2.6104 --elevation 160",
                              NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_weather_fetched_shape,
    .run = run_follow,
};

const struct spl_command spl_command_weather_refresh = {
    .words = "weather refresh",
    .summary = "Fetch the days of the followed stations",
    .inputs = &spl_refresh_inputs,
    .about = "A station that cannot be had keeps what it has, and the line says why (status 1).",
    .examples = (const char *const[]){"simpling weather refresh", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_weather_fetched_shape,
    .array = TRUE,
    .run = run_refresh,
};

const struct spl_command spl_command_weather_import = {
    .words = "weather import",
    .summary = "Read a station's temperatures into the book",
    .inputs = &spl_weather_inputs,
    .at = "file",
    .about =
        "FILE (or an https:// address) is a table (CSV) with a day, a minimum and a maximum in "
        "columns that say so; a "
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

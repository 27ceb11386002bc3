/* SPDX-License-Identifier: MIT
 *
 * Two first days, each as a script of what is typed and what is shown: one in US units, one with
 * files as a German spreadsheet and weather service write them. What is shown was read line by
 * line; the figures are by hand, with 1 oz = 28.349523125 g, 1 US quart = 32 fl oz, 80 proof = 40 %
 * vol, 1 ft = 0.3048 m (NIST Handbook 44, appendix C).
 */
#include "cli.h"

#include <string.h>

struct scene {
    const char *typed;
    const char *shown[8]; /* each must be in what is printed, in this order */
};

/* The words of a table or lines with one blank between, so that columns may move. Free with g_free.
 */
static char *flat(const char *text)
{
    GString *words = g_string_new(NULL);

    for (; *text != '\0'; text++) {
        if (!g_ascii_isspace(*text))
            g_string_append_c(words, *text);
        else if (words->len > 0 && words->str[words->len - 1] != ' ')
            g_string_append_c(words, ' ');
    }
    return g_string_free(words, FALSE);
}

static void play(struct cli *cli, const struct scene *scenes, gsize n)
{
    for (gsize i = 0; i < n; i++) {
        const char *out = cli_ok(cli, scenes[i].typed);
        g_autofree char *said = flat(out != NULL ? out : "");
        const char *from = said;

        for (const char *const *part = scenes[i].shown; *part != NULL; part++) {
            const char *at = strstr(from, *part);

            if (at == NULL) {
                fail_msg("%s: '%s' is not shown, or not there: %s", scenes[i].typed, *part, said);
                return; /* fail_msg does not return, which clang-tidy does not know */
            }
            from = at + strlen(*part);
        }
    }
}

static void a_first_day_in_us_units(void **state)
{
    static const struct scene scenes[] = {
        {"book set units us", {"units us"}},
        {"book set country US-VT", {"country US-VT"}},
        {"book set home 44.10,-72.60", {"home 44.1,-72.6"}},
        {"site add \"Widow's Pasture\" --at 44.1500,-72.6200 --elevation 980ft --accuracy 30ft",
         {"site Widow's Pasture", "elevation 980 ft",
          "simpling site permit 'Widow'\\''s Pasture' --given --by WHO"}},
        {"site permit widow --given --by 'the widow' --on 6/1/2027", {"on 2027-06-01"}},
        {"spray note widow --kind unsprayed --since 2020 --source 'the widow' --on 'June 1, 2027'",
         {"on 2027-06-01", "since 2020-01-01"}},
        {"stand set widow nettle --area '400 sq ft' --cover 50%", {"400 sq ft, 50 % covered"}},
        {"check widow nettle/leaf",
         {"Widow's Pasture, nettle/leaf", "clear, nothing known against it", "the widow",
          "window medicine", "the stand can still spare 2 lb"}},
        {"harvest add widow nettle/leaf --weight '1 lb 2 oz' --stage 'half grown' --on 6/19",
         {"H27-001", "date 2027-06-19", "picked 1 lb 2 oz", "left 1 lb 2 oz", "verdict clear"}},
        {"need nettle/leaf tincture --jar '1 quart'",
         {"ratio 1:5", "herb", " oz", "liquid", "fl oz", "jars 1 of 32 fl oz"}},
        {"batch start tincture --from H27-001:'6 oz' --jar '1 quart' --menstruum 'spirit 80 proof' "
         "--on 6/19",
         {"B27-001", "jar 32 fl oz", "herb 6 oz", "poured on at % 40"}},
        {"harvest show H27-001", {"picked 1 lb 2 oz", "left 12 oz"}}, /* 18 - 6 */
        {"harvest show H27-001 --metric", {"picked g 510", "left g 340"}},
    };
    struct cli *cli = *state;
    json_t *json;

    play(cli, scenes, G_N_ELEMENTS(scenes));
    json = cli_json(cli, "harvest show H27-001 --json");
    expect_near(json_number(json, "weight_g"), 18 * 28.349523125, 0.01, "g");
    json_decref(json);
    json = cli_json(cli, "site show widow --json");
    expect_near(json_number(json_object_get(json, "site"), "elevation_m"), 298.704, 0.5,
                "m"); /* whole metres in JSON */
    ;
    json_decref(json);
}

/* The same rows as a spreadsheet keeps them: ISO-8859-1, or UTF-8 with a byte order mark. */
static const char weather_text[] = "Datum;Tiefsttemperatur;Höchsttemperatur\r\n"
                                   "01.06.2027;7,5;18,25\r\n"
                                   "02.06.2027;8,5;19\r\n"
                                   "31.06.2027;9;20\r\n" /* there is no such day */
                                   "03.06.2027;-0,5;20,5\r\n";

static void put(const struct cli *cli, const char *name, const char *bytes, gsize length)
{
    g_autofree char *path = g_build_filename(cli->folder, name, NULL);

    assert_true(g_file_set_contents(path, bytes, (gssize)length, NULL));
}

static void a_first_day_with_german_files(void **state)
{
    static const struct scene scenes[] = {
        {"book set country DE", {"country DE"}},
        {"site add 'Größerer Bühel' --at 47.8000,13.0500 --elevation 540m --accuracy 10",
         {"site Größerer Bühel", "lat 47.8", "lon 13.05", "elevation m 540"}},
        {"spray note 'Größerer Bühel' --kind unsprayed --since 2020 --source 'die Bäuerin' --on "
         "1.6.2027",
         {"site Größerer Bühel", "on 2027-06-01", "source die Bäuerin"}},
        {"site permit buhel --given --by 'die Bäuerin' --on 1.6.2027",
         {"by die Bäuerin", "on 2027-06-01"}},
        {"weather import wetter.csv --station Bühel --at 47.81,13.04 --elevation 430m",
         {"station Bühel", "days 3", "first 2027-06-01", "last 2027-06-03", "wetter.csv:4",
          "31.06.2027"}},
        {"weather import marke.csv --station 'Bühel zwei' --at 47.81,13.04 --elevation 430m",
         {"station Bühel zwei", "days 3"}},
        {"weather list", {"Bühel 47.81 13.04 430 3 2027-06-01 2027-06-03"}},
        {"harvest add bühel nettle/leaf --weight 0,5kg --stage 35 --on 19.6.",
         {"H27-001", "date 2027-06-19", "site Größerer Bühel", "picked g 500"}},
        {"harvest list", {"2027-06-19 Größerer Bühel nettle/leaf half grown 500 500"}},
    };
    static const char mark[] = "\xef\xbb\xbf";
    g_autofree char *marked = g_strconcat(mark, weather_text, NULL), *latin = NULL;
    struct cli *cli = *state;
    gsize length;

    latin = g_convert(weather_text, -1, "ISO-8859-1", "UTF-8", NULL, &length, NULL);
    assert_non_null(latin);
    put(cli, "wetter.csv", latin, length);
    put(cli, "marke.csv", marked, strlen(marked));
    play(cli, scenes, G_N_ELEMENTS(scenes));
    cli_refused(cli, "spray note 'Größerer Buhl' --kind unsprayed --source 'die Bäuerin'", 1,
                "did you mean 'Größerer Bühel'?");
}

static const struct CMUnitTest tests[] = {
    cli_test(a_first_day_in_us_units),
    cli_test(a_first_day_with_german_files),
};
expect_main(tests)

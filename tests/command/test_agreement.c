/* SPDX-License-Identifier: MIT
 *
 * Whatever one command says, another may not deny: verdicts, windows, allowances and plans of the
 * demo, asked in every way that there is; and its years add up from the rows.
 */
#define _GNU_SOURCE /* posix_openpt */
#include <math.h>
#include <sqlite3.h>

#include "terminal.h"

static struct cli demo;

static json_t *asked(const char *format, ...) G_GNUC_PRINTF(1, 2);

/* A line for the demo's book; json_decref the answer. */
static json_t *asked(const char *format, ...)
{
    g_autofree char *line = NULL;
    va_list values;

    va_start(values, format);
    line = g_strdup_vprintf(format, values);
    va_end(values);
    return cli_json(&demo, line);
}

static json_t *find(const json_t *list, const char *key, const char *value)
{
    for (size_t i = 0; i < json_array_size(list); i++) {
        if (strcmp(json_text(json_array_get(list, i), key), value) == 0)
            return json_array_get(list, i);
    }
    return NULL;
}

static void check_and_the_lists_give_one_verdict(void **state)
{
    json_t *sites = asked("site list --json"), *all = asked("check --all --json");
    json_t *today = asked("--json"), *ask = json_object_get(today, "ask");

    (void)state;
    assert_true(json_array_size(sites) >= 8);
    assert_int_equal(json_array_size(all), json_array_size(sites));
    for (size_t i = 0; i < json_array_size(sites); i++) {
        json_t *site = json_array_get(sites, i);
        const char *name = json_text(site, "name"), *verdict = json_text(site, "verdict");
        json_t *check = asked("check '%s' --json", name);
        int status = demo.status;

        assert_string_equal(json_text(check, "verdict"), verdict);
        assert_string_equal(json_text(find(all, "site", name), "verdict"), verdict);
        assert_int_equal(status, strcmp(verdict, "clear") == 0 ? 0
                                 : strcmp(verdict, "ask") == 0 ? 3
                                                               : 4);
        /* The worst reason is the verdict's own. */
        assert_string_equal(
            json_text(json_array_get(json_object_get(check, "reasons"), 0), "verdict"), verdict);
        if (find(ask, "site", name) != NULL && strcmp(verdict, "ask") != 0)
            fail_msg("%s: today says ask, check says %s", name, verdict);
        json_decref(check);
    }
    json_decref(sites);
    json_decref(all);
    json_decref(today);
}

static void the_log_takes_what_check_allows(void **state)
{
    json_t *sites = asked("site list --json");

    (void)state;
    for (size_t i = 0; i < json_array_size(sites); i++) {
        const char *name = json_text(json_array_get(sites, i), "name");
        json_t *check = asked("check '%s' ribwort/leaf --json", name);
        const char *verdict = json_text(check, "verdict");
        g_autofree char *line =
            g_strdup_printf("harvest add '%s' ribwort/leaf --weight 5g --stage 35 --json", name);

        cli_run(&demo, line);
        if (strcmp(verdict, "closed") == 0) {
            assert_int_equal(demo.status, 4);
            assert_string_equal(demo.out, "");
        } else {
            json_t *harvest = json_loads(demo.out, 0, NULL);

            assert_int_equal(demo.status, 0);
            assert_string_equal(json_text(harvest, "verdict"), verdict);
            assert_int_equal(json_is_string(json_object_get(harvest, "held")),
                             strcmp(verdict, "ask") == 0);
            json_decref(harvest);
        }
        json_decref(check);
    }
    json_decref(sites);
}

static void check_and_window_list_give_one_window(void **state)
{
    static const char *const materials[] = {"dandelion/leaf", "elder/flower", "nettle/leaf"};
    json_t *sites = asked("site list --json");

    (void)state;
    for (size_t i = 0; i < json_array_size(sites); i++) {
        const char *name = json_text(json_array_get(sites, i), "name");

        for (gsize m = 0; m < G_N_ELEMENTS(materials); m++) {
            json_t *check = asked("check '%s' %s --json", name, materials[m]);
            json_t *list =
                asked("window list --site '%s' --material %s --json", name, materials[m]);

            if (!json_equal(json_object_get(check, "window"), list))
                fail_msg("%s, %s: check and window list differ", name, materials[m]);
            json_decref(check);
            json_decref(list);
        }
    }
    json_decref(sites);
}

static void check_and_stand_list_give_one_allowance(void **state)
{
    json_t *stands = asked("stand list --json");

    (void)state;
    assert_true(json_array_size(stands) > 5);
    for (size_t i = 0; i < json_array_size(stands); i++) {
        json_t *stand = json_array_get(stands, i), *left = json_object_get(stand, "left_g");
        json_t *check =
            asked("check '%s' %s --json", json_text(stand, "site"), json_text(stand, "material"));

        if (!json_equal(json_object_get(check, "allowance_g"), left))
            fail_msg("%s, %s: check says %.0f g, stand list %.0f g", json_text(stand, "site"),
                     json_text(stand, "material"), json_number(check, "allowance_g"),
                     json_number(stand, "left_g"));
        json_decref(check);
    }
    json_decref(stands);
}

/* What can be gathered is open by its window, clear or to be asked about by check, and as much as
 * check says; of the known stands nothing is missing that check would let pick. */
static void what_can_be_gathered_agrees_with_check(void **state)
{
    static const char *const days[] = {"2027-05-01", "2027-06-19", "2027-09-05"};

    (void)state;
    for (gsize d = 0; d < G_N_ELEMENTS(days); d++) {
        json_t *open = asked("window list --open --on %s --json", days[d]);
        json_t *stands = asked("stand list --json");

        assert_true(json_array_size(open) > 3);
        for (size_t i = 0; i < json_array_size(open); i++) {
            json_t *line = json_array_get(open, i), *check;

            check = asked("check '%s' %s --on %s --json", json_text(line, "site"),
                          json_text(line, "material"), days[d]);
            assert_string_equal(json_text(check, "verdict"), json_text(line, "verdict"));
            assert_string_not_equal(json_text(line, "verdict"), "closed");
            assert_true(strcmp(json_text(line, "earliest"), days[d]) <= 0);
            assert_true(strcmp(json_text(line, "latest"), days[d]) >= 0);
            assert_true(json_equal(json_object_get(check, "allowance_g"),
                                   json_object_get(line, "spare_g")));
            json_decref(check);
        }
        for (size_t i = 0; i < json_array_size(stands); i++) {
            json_t *stand = json_array_get(stands, i), *check, *windows;
            gboolean listed = FALSE, now = FALSE;

            check = asked("check '%s' %s --on %s --json", json_text(stand, "site"),
                          json_text(stand, "material"), days[d]);
            windows = json_object_get(check, "window");
            for (size_t w = 0; w < json_array_size(windows); w++)
                now = now ||
                      (strcmp(json_text(json_array_get(windows, w), "earliest"), days[d]) <= 0 &&
                       strcmp(json_text(json_array_get(windows, w), "latest"), days[d]) >= 0);
            for (size_t k = 0; k < json_array_size(open); k++)
                listed = listed || (strcmp(json_text(json_array_get(open, k), "site"),
                                           json_text(stand, "site")) == 0 &&
                                    strcmp(json_text(json_array_get(open, k), "material"),
                                           json_text(stand, "material")) == 0);
            if (listed != (now && strcmp(json_text(check, "verdict"), "closed") != 0 &&
                           json_number(check, "allowance_g") > 0.0))
                fail_msg("%s %s on %s: %s", json_text(stand, "site"), json_text(stand, "material"),
                         days[d], listed ? "is listed" : "is missing");
            json_decref(check);
        }
        json_decref(stands);
        json_decref(open);
    }
}

/* A plan's day, its site's verdict and what it takes, against check on that day. */
static void outing_agrees(const json_t *outing)
{
    const char *date = json_text(outing, "date"), *reserve = json_text(outing, "reserve");
    const json_t *stops = json_object_get(outing, "sites");

    for (size_t s = 0; s < json_array_size(stops); s++) {
        const json_t *stop = json_array_get(stops, s), *takes = json_object_get(stop, "takes");
        gboolean ask = FALSE;

        for (size_t t = 0; t < json_array_size(takes); t++) {
            const json_t *take = json_array_get(takes, t);
            const char *site = json_text(stop, "site"), *material = json_text(take, "material");
            json_t *check = asked("check '%s' %s --on %s --json", site, material, date);
            json_t *then = asked("check '%s' %s --on %s --json", site, material,
                                 *reserve != '\0' ? reserve : date);

            ask = ask || strcmp(json_text(check, "verdict"), "ask") == 0 ||
                  strcmp(json_text(then, "verdict"), "ask") == 0;
            assert_string_not_equal(json_text(check, "verdict"), "closed");
            if (json_number(take, "grams") > json_number(check, "allowance_g") + 1)
                fail_msg("%s, %s: the plan takes %.0f g of %.0f g", site, material,
                         json_number(take, "grams"), json_number(check, "allowance_g"));
            json_decref(check);
            json_decref(then);
        }
        assert_string_equal(json_text(stop, "verdict"), ask ? "ask" : "clear");
    }
}

static void a_plan_says_of_its_days_what_check_says_of_them(void **state)
{
    json_t *plan = asked("plan outings --json"), *outings = json_object_get(plan, "outings");

    (void)state;
    assert_true(json_array_size(outings) >= 1);
    for (size_t i = 0; i < json_array_size(outings); i++)
        if (!json_is_true(json_object_get(json_array_get(outings, i), "past")))
            outing_agrees(json_array_get(outings, i));
    json_decref(plan);
}

static void a_lots_trace_and_its_harvests_trace_meet(void **state)
{
    json_t *back = asked("trace L26-001 --json"), *harvests = json_object_get(back, "harvests");

    (void)state;
    assert_true(json_array_size(harvests) >= 1);
    for (size_t i = 0; i < json_array_size(harvests); i++) {
        json_t *forward = asked("trace %s --json", json_text(json_array_get(harvests, i), "code"));

        assert_non_null(find(json_object_get(forward, "lots"), "code", "L26-001"));
        json_decref(forward);
    }
    json_decref(back);
}

/* What a list says of a record is what its own command says of it; what a list does not look up it
 * does not mention. */
static void lists_say_what_show_says_or_nothing(void **state)
{
    static const char *const nouns[] = {"harvest", "purchase", "dry", "batch", "lot"};
    gsize compared = 0;

    (void)state;
    for (gsize n = 0; n < G_N_ELEMENTS(nouns); n++) {
        json_t *list = asked("%s list --json", nouns[n]), *one, *value;
        const char *key;
        size_t i;

        json_array_foreach(list, i, one)
        {
            const char *code = json_text(one, "code");
            json_t *shown = asked("%s show %s --json", nouns[n], code);

            json_object_foreach(one, key, value)
            {
                const json_t *other = json_object_get(shown, key);

                if (other == NULL && strcmp(nouns[n], "batch") == 0)
                    continue; /* a line of the ledger has words of its own */
                compared++;
                if (!json_equal(value, other)) {
                    g_autofree char *said = json_dumps(value, JSON_ENCODE_ANY);

                    fail_msg("%s list says of %s: %s is %s, show does not", nouns[n], code, key,
                             said);
                }
            }
            json_decref(shown);
            if (i >= 5)
                break; /* a few of each */
        }
        assert_true(i > 0);
        json_decref(list);
    }
    assert_true(compared > 200);
}

/* A terminal of the usual width, and one beside another window. */
static void every_answer_fits_the_terminal(void **state)
{
    static const char *const lines[] = {"",
                                        "check --all",
                                        "check 'Station Verge'",
                                        "check 'Withy Gill' dandelion/flower --full",
                                        "window list",
                                        "window check --year 2027",
                                        "harvest list",
                                        "harvest show H27-001",
                                        "stage list --words",
                                        "batch list",
                                        "batch show B27-003",
                                        "lot list --all",
                                        "lot show L26-001",
                                        "lot year",
                                        "questions",
                                        "site list",
                                        "site show 'Withy Gill'",
                                        "stand list",
                                        "hazard list",
                                        "hazard method",
                                        "almanac list",
                                        "weather list",
                                        "purchase list",
                                        "dry list --all",
                                        "dry show D26-001",
                                        "liquid list",
                                        "liquid ledger",
                                        "room",
                                        "need elder/fruit syrup --yield 1L --explain",
                                        "dilute 95% 40% --make 1L",
                                        "material list",
                                        "preparation list",
                                        "plan list",
                                        "plan year",
                                        "plan shortfall",
                                        "plan outings --kept",
                                        "trace 'Withy Gill' --sprayed 2027-05",
                                        "book info",
                                        "help",
                                        "help harvest add",
                                        "batch"};

    (void)state;
    if (!terminal_is_there())
        skip();
    for (gsize i = 0; i < G_N_ELEMENTS(lines); i++) {
        for (int columns = 80; columns >= 40; columns -= 40) {
            g_autofree char *out = terminal_run(&demo, lines[i], columns, NULL);

            if (demo.status != 0 && demo.status < 3) /* 3 and 4 are verdicts */
                fail_msg("%s: status %d: %s", lines[i], demo.status, out);
            terminal_fits(lines[i], out, columns);
        }
    }
}

static int set_up(void **state)
{
    g_autofree char *line = NULL;

    (void)state;
    demo = (struct cli){.today = CLI_TODAY};
    demo.folder = g_dir_make_tmp("simpling-agree-XXXXXX", NULL);
    demo.book = g_build_filename(demo.folder, "book.db", NULL);
    line = g_strdup_printf("demo '%s'", demo.folder);
    if (cli_run(&demo, line) != 0) {
        print_error("%s: %s\n", line, demo.err);
        return -1;
    }
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    cli_remove(demo.folder);
    return 0;
}

/* ---- the years of the demo add up ---- */

/* What each lot began a year with, got, gave and came to, out of the rows as they were written: no
 * lot of the demo was struck or amended. */
#define IN(what, from, of)                                                                         \
    " (SELECT total(" what ") FROM " from " WHERE " of " AND day BETWEEN ?1 AND ?2)"
#define BEFORE(what, from, of) " (SELECT total(" what ") FROM " from " WHERE " of " AND day < ?1)"
static const char year_rows[] =
    "SELECT printf('L%02d-%03d', t.year % 100, t.number), iif(l.day < ?1, l.amount, 0)"
    " -" BEFORE("amount", "lot_use", "lot_id = l.id")       /**/
    " -" BEFORE("ml", "draw", "source_id = l.id")           /**/
    " -" BEFORE("ml", "discard", "thing_id = l.id")         /**/
    " +" BEFORE("difference", "lot_event", "lot_id = l.id") /**/
    ", iif(l.day < ?1, 0, l.amount)"                        /**/
    "," IN("amount", "lot_use", "lot_id = l.id")            /**/
    "," IN("ml", "draw", "source_id = l.id")                /**/
    "," IN("ml", "discard", "thing_id = l.id")              /**/
    "," IN("difference", "lot_event", "lot_id = l.id")      /**/
    " FROM lot l JOIN thing t ON t.id = l.id WHERE l.day <= ?2 AND l.unit = 'mL'";

enum { AT_FIRST, MADE, OUT, DRAWN, THROWN, COUNTED, AT_LAST, FLOWS };

/* "1.47 L" in mL or "5.13 kg" in g, and what of it the last figure may hide. */
static double amount_of(const char *number, const char *unit, double *blur)
{
    gboolean large = strcmp(unit, "L") == 0 || strcmp(unit, "kg") == 0;
    gboolean negative = g_str_has_prefix(number, "\u2212");

    *blur = large ? 5.0 : 0.05;
    return (negative ? -1.0 : 1.0) * (large ? 1000.0 : 1.0) *
           g_ascii_strtod(negative ? number + strlen("\u2212") : number, NULL);
}

/* The amounts on the line of the page that begins with the code and has so many of them, and each
 * as near as the page says it; how many lines there are of that kind. */
static guint amounts_on(const char *page, const char *code, guint n, double *amounts, double *blurs)
{
    g_autofree char *pattern =
        g_strdup_printf("(?m)^ *%s .*?((?:\\s+\u2212?[0-9.]+ ?(?:mL|L|g|kg)){%u})(?: |$)", code, n);
    g_autoptr(GRegex) line = g_regex_new(pattern, 0, 0, NULL);
    g_autoptr(GRegex) amount = g_regex_new("(\u2212?[0-9.]+) ?(mL|L|g|kg)", 0, 0, NULL);
    g_autoptr(GMatchInfo) match = NULL;
    guint lines = 0;

    g_regex_match(line, page, 0, &match);
    for (; g_match_info_matches(match); g_match_info_next(match, NULL), lines++) {
        g_autofree char *found = g_match_info_fetch(match, 1);
        g_autoptr(GMatchInfo) each = NULL;

        g_regex_match(amount, found, 0, &each);
        for (guint k = 0; amounts != NULL && k < n; k++, g_match_info_next(each, NULL)) {
            g_autofree char *number = NULL, *unit = NULL;

            assert_true(g_match_info_matches(each));
            number = g_match_info_fetch(each, 1);
            unit = g_match_info_fetch(each, 2);
            amounts[k] = amount_of(number, unit, &blurs[k]);
        }
    }
    return lines;
}

static void expect_amount(const char *code, const char *what, double rows, double page, double blur)
{
    if (fabs(rows - page) > blur + 0.01)
        fail_msg("%s, %s: %.1f by the rows, %.1f on the page", code, what, rows, page);
}

/* A query about a year; ?1 is its first day, ?2 its last. */
static sqlite3_stmt *of_year(sqlite3 *db, const char *sql, int year)
{
    sqlite3_stmt *rows;

    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &rows, NULL), SQLITE_OK);
    sqlite3_bind_int(rows, 1, spl_day_from_ymd(year, 1, 1).n);
    sqlite3_bind_int(rows, 2, spl_day_from_ymd(year, 12, 31).n);
    return rows;
}

static double number_of(sqlite3 *db, const char *sql, int year)
{
    sqlite3_stmt *row = of_year(db, sql, year);
    double number;

    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    number = sqlite3_column_double(row, 0);
    sqlite3_finalize(row);
    return number;
}

/* One year: each lot that has anything in it on the page, with what the rows say; the sums. */
static void add_up(sqlite3 *db, const char *page, int year, double sums[FLOWS])
{
    static const char *const names[FLOWS] = {
        "at first", "made", "went out", "in other jars", "thrown away", "by counts", "at last"};
    sqlite3_stmt *rows = of_year(db, year_rows, year);
    guint lots = 0;

    while (sqlite3_step(rows) == SQLITE_ROW) {
        const char *code = (const char *)sqlite3_column_text(rows, 0);
        double by_rows[FLOWS], on_page[FLOWS], blurs[FLOWS], most = 0.0;

        for (int k = AT_FIRST; k < AT_LAST; k++) {
            by_rows[k] = sqlite3_column_double(rows, k + 1);
            most = MAX(most, fabs(by_rows[k]));
        }
        by_rows[AT_LAST] = by_rows[AT_FIRST] + by_rows[MADE] - by_rows[OUT] - by_rows[DRAWN] -
                           by_rows[THROWN] + by_rows[COUNTED];
        for (int k = 0; k < FLOWS; k++)
            sums[k] += by_rows[k];
        if (most < 0.05) /* used up before: nothing to tell */
            continue;
        lots++;
        assert_int_equal(amounts_on(page, code, FLOWS, on_page, blurs), 1);
        for (int k = 0; k < FLOWS; k++)
            expect_amount(code, names[k], by_rows[k], on_page[k], blurs[k]);
    }
    sqlite3_finalize(rows);
    assert_true(lots > 3);
    assert_int_equal(amounts_on(page, "L[0-9]+-[0-9]+", FLOWS, NULL, NULL), lots);
}

/* The text of a PDF in the demo's folder, as it stands on the page. */
static char *text_of(const char *pdf)
{
    const char *argv[] = {"pdftotext", "-layout", "-enc", "UTF-8", pdf, "-", NULL};
    char *out = NULL;
    int status;

    assert_true(g_spawn_sync(demo.folder, (char **)(gpointer)argv, NULL, G_SPAWN_SEARCH_PATH, NULL,
                             NULL, &out, NULL, &status, NULL));
    assert_true(g_spawn_check_wait_status(status, NULL));
    return out;
}

/* Every row of a query has its code on the page with its amount. */
static int expect_each(sqlite3 *db, const char *page, const char *sql, int year)
{
    sqlite3_stmt *rows = of_year(db, sql, year);
    int n = 0;

    for (; sqlite3_step(rows) == SQLITE_ROW; n++) {
        const char *code = (const char *)sqlite3_column_text(rows, 0);
        double amount, blur;

        if (amounts_on(page, code, 1, &amount, &blur) == 0)
            fail_msg("%d: %s is not on the page", year, code);
        expect_amount(code, "amount", sqlite3_column_double(rows, 1), amount, blur);
    }
    sqlite3_finalize(rows);
    return n;
}

#define CODE(kind) "printf('" kind "%02d-%03d', t.year % 100, t.number)"

static void each_year_of_the_demo_adds_up(void **state)
{
    static const char came[] = "SELECT " CODE(
        "P") ", weight_g FROM purchase p JOIN thing t ON t.id = p.id"
             " WHERE day BETWEEN ?1 AND ?2 UNION ALL"
             " SELECT " CODE("D") ", coalesce(e.garbled_g, e.weight_g) FROM drying_event e"
                                  " JOIN thing t ON t.id = e.drying_id WHERE e.kind = 'finish' AND "
                                  "e.day BETWEEN ?1 AND ?2"
                                  " UNION ALL SELECT " CODE(
                                      "D") ", (SELECT total(grams) FROM draw WHERE taker_id = d.id)"
                                           " FROM drying d JOIN thing t ON t.id = d.id WHERE "
                                           "d.kind <> 'dried' AND d.day BETWEEN ?1 AND"
                                           " ?2";
    static const char lost[] = /* of lots the flows have it */
        "SELECT printf('%s%02d-%03d', t.kind, t.year % 100, t.number), grams FROM discard d"
        " JOIN thing t ON t.id = d.thing_id WHERE t.kind <> 'L' AND d.day BETWEEN ?1 AND ?2";
    double last = 0.0, given = 0.0, counted = 0.0, thrown = 0.0, taken = 0.0, blur, sum;
    int n_came = 0, n_lost = 0;
    json_t *shelf;
    sqlite3 *db;

    (void)state;
    assert_int_equal(sqlite3_open_v2(demo.book, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    for (int year = 2025; year <= 2027; year++) {
        g_autofree char *line = g_strdup_printf("draw year %d --out sum.pdf --force", year);
        g_autofree char *page = NULL;
        double sums[FLOWS] = {0};

        cli_ok(&demo, line);
        page = text_of("sum.pdf");
        add_up(db, page, year, sums);
        assert_true(fabs(sums[AT_FIRST] - last) < 0.05); /* as the year before ended */
        /* made + bought = left + out + lost + counted, of a shelf that bought no lots. */
        assert_true(fabs(sums[AT_FIRST] + sums[MADE] -
                         (sums[AT_LAST] + sums[OUT] + sums[DRAWN] + sums[THROWN] - sums[COUNTED])) <
                    0.05);
        last = sums[AT_LAST];
        given += sums[OUT];
        counted += fabs(sums[COUNTED]);
        thrown += sums[THROWN];
        n_came += expect_each(db, page, came, year);
        n_lost += expect_each(db, page, lost, year);
        assert_int_equal(amounts_on(page, "in all", 1, &taken, &blur), 1);
        expect_amount("in all", "taken",
                      number_of(db,
                                "SELECT total(weight_g) FROM harvest"
                                " WHERE day BETWEEN ?1 AND ?2",
                                year),
                      taken, blur);
    }
    /* What was typed in late counts as of its day: the syrup is out of date since, and goes no
     * more. */
    assert_true(number_of(db, "SELECT count(*) FROM use WHERE ?1 < ?2", 2027) == 7 + 122);
    sqlite3_close(db);
    cli_run(&demo, "lot use L27-002:10mL --for 1030");
    assert_int_equal(demo.status, 1);
    assert_non_null(strstr(demo.err, "L27-002: was to be used by 2027-06-14"));
    /* So that the sums are of something. */
    assert_true(given > 5000.0 && counted > 100.0 && thrown > 0.0 && n_came >= 5 && n_lost >= 3);
    shelf = cli_json(&demo, "lot list --all --json");
    sum = 0.0;
    for (size_t i = 0; i < json_array_size(shelf); i++)
        sum += json_number(json_array_get(shelf, i), "left_ml");
    json_decref(shelf);
    assert_true(fabs(sum - last) < 0.05); /* the year is not over: it is what stands today */
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_and_the_lists_give_one_verdict),
        cmocka_unit_test(check_and_window_list_give_one_window),
        cmocka_unit_test(check_and_stand_list_give_one_allowance),
        cmocka_unit_test(what_can_be_gathered_agrees_with_check),
        cmocka_unit_test(a_plan_says_of_its_days_what_check_says_of_them),
        cmocka_unit_test(a_lots_trace_and_its_harvests_trace_meet),
        cmocka_unit_test(lists_say_what_show_says_or_nothing),
        cmocka_unit_test(each_year_of_the_demo_adds_up),
        cmocka_unit_test(every_answer_fits_the_terminal),
        cmocka_unit_test(the_log_takes_what_check_allows),
    };
    g_autofree char *reader = g_find_program_in_path("pdftotext");

    if (reader == NULL) {
        g_print("skipped: pdftotext is not installed (package poppler-utils)\n");
        return 77;
    }
    if (argc > 1)
        cmocka_set_test_filter(argv[1]);
    return cmocka_run_group_tests(tests, set_up, tear_down);
}

/* SPDX-License-Identifier: MIT
 *
 * The stock of what is poured and the ledger of spirit. Litres of pure alcohol are volume times
 * strength at 20 degrees, by hand; what a jar took is read from the batch.
 */
#include "cli.h"

static void a_nettle_place(struct cli *cli)
{
    cli_clear_site(cli, "Withy Gill");
    cli_ok(cli, "harvest add 'Withy Gill' nettle/leaf --weight 1kg --stage 35 --on 2027-05-25");
}

static const json_t *line_of(const json_t *stock, const char *list, const char *key,
                             const char *value)
{
    size_t i;
    json_t *one;

    json_array_foreach(json_object_get(stock, list), i, one)
    {
        if (g_str_equal(json_text(one, key), value))
            return one;
    }
    fail_msg("no %s '%s'", key, value);
    return NULL;
}

/*
 * 5 L of 96 %; 400 mL of 60 % poured of it are 240 mL pure, so 250 mL of the 96 %; 100 mL for
 * cleaning. 5000 - 250 - 100 = 4650 mL. Pure: 4.8 in, 0.240 and 0.096 out, 4.464 left.
 */
static void spirit_is_drawn_by_what_it_holds(void **state)
{
    struct cli *cli = *state;
    json_t *stock, *ledger;
    const json_t *line;

    a_nettle_place(cli);
    cli_ok(cli, "liquid add spirit 5L --strength 96% --supplier 'Ash Beck Still' --number 114 --on "
                "2027-05-01");
    assert_non_null(strstr(cli->err, "as your licence asks"));
    cli_ok(cli, "batch start tincture --from H27-001:80g --liquid 400mL --jar 500mL --menstruum "
                "'spirit 60%, ash beck still, 114' --on 2027-05-25");
    cli_ok(cli, "liquid use spirit 100mL --supplier 'Ash Beck Still' --number 114 --why cleaning "
                "--on 2027-06-01");
    stock = cli_json(cli, "liquid list --json");
    line = line_of(stock, "liquids", "number", "114");
    expect_near(json_number(line, "bought"), 5000.0, 0.001, "mL");
    expect_near(json_number(line, "drawn"), 250.0, 0.01, "mL");
    expect_near(json_number(line, "other"), 100.0, 0.001, "mL");
    expect_near(json_number(line, "left"), 4650.0, 0.01, "mL");
    json_decref(stock);

    ledger = cli_json(cli, "liquid ledger --json");
    expect_near(json_number(ledger, "opening_l"), 0.0, 1e-9, "L");
    expect_near(json_number(ledger, "bought_l"), 4.8, 1e-6, "L");
    expect_near(json_number(ledger, "drawn_l"), 0.240, 1e-5, "L");
    expect_near(json_number(ledger, "other_l"), 0.096, 1e-6, "L");
    expect_near(json_number(ledger, "closing_l"), 4.464, 1e-5, "L");
    expect_near(json_number(ledger, "unknown_l"), 0.0, 1e-9, "L");
    assert_int_equal(json_array_size(json_object_get(ledger, "entries")), 3);
    json_decref(ledger);
    /* Behind the jar: it is in what stood at first. */
    ledger = cli_json(cli, "liquid ledger --from 2027-05-26 --to 2027-06-20 --json");
    expect_near(json_number(ledger, "opening_l"), 4.8 - 0.240, 1e-5, "L");
    expect_near(json_number(ledger, "bought_l"), 0.0, 1e-9, "L");
    expect_near(json_number(ledger, "drawn_l"), 0.0, 1e-9, "L");
    expect_near(json_number(ledger, "closing_l"), 4.464, 1e-5, "L");
    json_decref(ledger);
    /* A jar that is struck took nothing. */
    cli_ok(cli, "strike B27-001 --why 'the wrong jar'");
    stock = cli_json(cli, "liquid list --json");
    expect_near(json_number(line_of(stock, "liquids", "number", "114"), "left"), 4900.0, 0.01,
                "mL");
    json_decref(stock);
    /* And the last entry is taken back. */
    cli_ok(cli, "liquid use spirit 50mL --supplier 'Ash Beck Still' --number 114 --why spilt");
    cli_ok(cli, "strike --last");
    stock = cli_json(cli, "liquid list --json");
    expect_near(json_number(line_of(stock, "liquids", "number", "114"), "left"), 4900.0, 0.01,
                "mL");
    json_decref(stock);
}

static void spirit_that_nobody_bought_is_told_apart(void **state)
{
    struct cli *cli = *state;
    json_t *ledger;

    a_nettle_place(cli);
    cli_ok(cli, "batch start tincture --from H27-001:80g --liquid 400mL --jar 500mL --menstruum "
                "'spirit 60%, Ash Beck Still, 99' --on 2027-05-25");
    ledger = cli_json(cli, "liquid ledger --json");
    expect_near(json_number(ledger, "unknown_l"), 0.240, 1e-5, "L");
    expect_near(json_number(ledger, "drawn_l"), 0.0, 1e-9, "L");
    expect_near(json_number(ledger, "closing_l"), 0.0, 1e-9, "L");
    json_decref(ledger);
}

/* 500 mL at 5 % hold 25 g of acid: 500 mL of the same vinegar. */
static void vinegar_and_oil_are_counted_too(void **state)
{
    struct cli *cli = *state;
    json_t *stock;

    a_nettle_place(cli);
    cli_ok(cli, "liquid add vinegar 5L --strength 5% --supplier 'Skirra Stores' --number 31");
    cli_ok(cli, "liquid add honey 3kg --supplier 'Skirra Stores' --number 32");
    cli_ok(cli, "liquid add oil 2x1L --supplier 'Skirra Stores'");
    assert_non_null(strstr(cli->err, "recall"));
    cli_ok(cli, "batch start vinegar --from H27-001:100g --liquid 500mL --jar 1L --menstruum "
                "'cider vinegar 5%, Skirra Stores, 31' --on 2027-05-25");
    stock = cli_json(cli, "liquid list --json");
    expect_near(json_number(line_of(stock, "liquids", "number", "31"), "left"), 4500.0, 0.05, "mL");
    expect_near(json_number(line_of(stock, "liquids", "number", "32"), "left"), 3000.0, 0.05, "g");
    expect_near(json_number(line_of(stock, "liquids", "kind", "oil"), "left"), 2000.0, 0.05, "mL");
    json_decref(stock);
}

/* What the plan wants is what `need` pours for the same yield, at the strength in stock. */
static void what_the_plan_wants_is_what_need_would_pour(void **state)
{
    struct cli *cli = *state;
    json_t *stock, *need;
    const json_t *wanted;
    double pure;

    a_nettle_place(cli);
    cli_ok(cli, "liquid add spirit 100mL --strength 96% --supplier 'Ash Beck Still' --number 114");
    /* No help for what is poured on stronger. */
    cli_ok(cli, "liquid add spirit 5L --strength 20% --supplier 'Ash Beck Still' --number 115");
    cli_ok(cli, "plan add winter tincture comfrey/leaf --yield 400mL --year 2028");
    need = cli_json(cli, "need comfrey/leaf tincture --yield 400mL --json");
    pure = json_number(need, "menstruum_ml") * json_number(need, "menstruum_abv") / 100.0;
    json_decref(need);
    stock = cli_json(cli, "liquid list --year 2028 --json");
    wanted = line_of(stock, "needs", "kind", "spirit");
    expect_near(json_number(wanted, "strength_pct"), 96.0, 1e-6, "%");
    expect_near(json_number(wanted, "amount"), pure / 0.96, 0.5, "mL");
    expect_near(json_number(wanted, "left"), 100.0, 0.01, "mL");
    expect_near(json_number(wanted, "to_buy"), pure / 0.96 - 100.0, 0.5, "mL");
    json_decref(stock);
}

static void what_cannot_be_is_refused_in_one_line(void **state)
{
    struct cli *cli = *state;

    cli_refused(cli, "liquid add spirit 5L --supplier 'Ash Beck Still'", 2, "strength");
    cli_refused(cli, "liquid add oil 5L --strength 5% --supplier 'Skirra Stores'", 2, "has none");
    cli_refused(cli, "liquid add sugar 5L --supplier 'Skirra Stores'", 2, "grams");
    cli_refused(cli, "liquid add spirit 5kg --strength 96% --supplier x", 2, "millilitres");
    cli_refused(cli, "liquid add beer 5L --supplier x", 2, "beer");
    cli_refused(cli, "liquid add spirit 5L --strength 96%", 2, "--supplier");
    cli_refused(cli, "liquid use spirit 1L --supplier x --number 1", 2, "--why");
    cli_refused(cli, "liquid use spirit 1L --supplier x --number 1 --why spilt", 1, "came in");
    cli_ok(cli, "liquid add spirit 1L --strength 96% --supplier x --number 1");
    cli_refused(cli, "liquid use spirit 2L --supplier x --number 1 --why spilt", 1, "1 L are left");
    cli_refused(cli, "liquid add spirit 1L --strength 40% --supplier x --number 1", 2, "96.0 %");
    cli_refused(cli, "liquid add oil 1L --supplier x --number 1", 2, "is spirit");
    cli_refused(cli, "liquid ledger --from 2027-06-02 --to 2027-06-01", 2, "before the first");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cli_test(spirit_is_drawn_by_what_it_holds),
        cli_test(spirit_that_nobody_bought_is_told_apart),
        cli_test(vinegar_and_oil_are_counted_too),
        cli_test(what_the_plan_wants_is_what_need_would_pour),
        cli_test(what_cannot_be_is_refused_in_one_line),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}

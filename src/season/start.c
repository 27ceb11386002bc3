/* SPDX-License-Identifier: MIT
 *
 * Making a book out of the first answers. See simpling/start.h.
 */
#include "simpling/start.h"

#include <glib/gstdio.h>
#include <math.h>

#include "base/amount.h"
#include "season/house_private.h"
#include "simpling/entry.h"
#include "simpling/error.h"
#include "simpling/site.h"

static const struct spl_input start_rows[] = {
    SPL_INPUT(spl_start_words, mark, NAME, "mark",
              "your initials: they stand in your codes when books meet", .value = "MARK"),
    SPL_INPUT(spl_start_words, who, NAME, "who", "your name, for the log", .value = "NAME"),
    SPL_INPUT(spl_start_words, home, COORDINATES, "home",
              "where outings begin, as latitude and longitude: 54.97,-2.46"),
    SPL_INPUT(spl_start_words, country, NAME, "country",
              "whose protected plants count: GB, DE, US-VT", .value = "CC"),
    SPL_INPUT(spl_start_words, press, PRESS, "press",
              "what you press with: drained, hand, screw or hydraulic"),
    SPL_INPUT(spl_start_words, site, NAME, "site", "the name of a place where you gather"),
    SPL_INPUT(spl_start_words, at, COORDINATES, "at", "where that place is: 54.98,-2.47"),
    SPL_INPUT(spl_start_words, accuracy_m, LENGTH, "accuracy",
              "how exactly that is known: 10m from a phone outdoors", .min = 0.1, .max = 100000,
              .bare = 1),
    SPL_INPUT(spl_start_words, keeping, NAME, "keeping",
              "whose keeping times your shelf follows, if not the table's", .value = "CUSTOM"),
    SPL_INPUT(spl_start_words, spirits, TEXT, "spirits", "the spirits that you pour: 40% 96%",
              .value = "STRENGTHS"),
    SPL_INPUT(spl_start_words, units, CHOICE, "units", "in which units amounts are said and read",
              .value = "UNITS", .words = "metric us imp"),
};
static const struct spl_rule start_rules[] = {{SPL_RULE_WITH, {"site", "at"}},
                                              {SPL_RULE_WITH, {"at", "site"}},
                                              {SPL_RULE_WITH, {"accuracy", "site"}}};

static void fill_start(void *record, struct spl_day today)
{
    struct spl_start_words *words = record;

    (void)today;
    if (words->mark == NULL)
        words->mark = g_strdup("ME");
}

static gboolean check_start(const void *record, GError **error)
{
    const struct spl_start_words *words = record;

    return spl_mark_check(words->mark, error) &&
           (words->country == NULL || spl_setting_check("country", words->country, error)) &&
           (words->spirits == NULL || spl_setting_check("spirits", words->spirits, error));
}
const struct spl_inputs spl_start_inputs =
    SPL_INPUTS("start", spl_start_words, start_rows, SPL_RULES(start_rules), .fill = fill_start,
               .check = check_start);

static const struct spl_field started_fields[] = {
    SPL_FIELD(spl_started, book, SPL_TEXT, "book", "book"),
    SPL_FIELD(spl_started, mark, SPL_TEXT, "mark", "mark"),
    SPL_FIELD(spl_started, said, SPL_TEXTS, "said", "said"),
    SPL_FIELD(spl_started, cautions, SPL_TEXTS, "cautions", NULL),
};
const struct spl_shape spl_started_shape = SPL_SHAPE("started", spl_started, started_fields);

static gboolean check_custom(struct spl_house *house, const struct spl_start_words *words,
                             GError **error)
{
    const struct spl_tables *tables;

    if (words->keeping == NULL)
        return TRUE;
    tables = spl_house_tables(house, error);
    if (tables == NULL || spl_tables_custom_check(tables, words->keeping, error))
        return tables != NULL;
    spl_error_about(error, "keeping");
    return FALSE;
}

/* The tables alone, since there is no book yet. */
static gboolean take(const struct spl_house_options *where, const struct spl_start_words *said,
                     struct spl_start_words *words, GError **error)
{
    struct spl_house *house = spl_house_open(where, SPL_HOUSE_TABLES, error);
    gboolean ok = house != NULL && spl_entry_take(house, &spl_start_inputs, said, words, error);

    if (ok && !check_custom(house, words, error)) {
        spl_inputs_clear(&spl_start_inputs, words);
        ok = FALSE;
    }
    spl_house_close(house);
    return ok;
}

gboolean spl_start_check(const struct spl_house_options *where, const struct spl_start_words *said,
                         GError **error)
{
    struct spl_start_words words;

    if (g_file_test(where->book, G_FILE_TEST_EXISTS)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_EXISTS,
                    "%s: there is a book already; name another file, or go on with this one",
                    where->book);
        return FALSE;
    }
    if (!take(where, said, &words, error))
        return FALSE;
    spl_inputs_clear(&spl_start_inputs, &words);
    return TRUE;
}

/* What a lower entry refused under its own key is said under that of here. */
static void say_as(GError *refused, const char *from, const char *key, GError **error)
{
    if (g_strcmp0(spl_error_input(refused), from) == 0) {
        spl_error_set_input(error, (enum spl_error_code)refused->code, key, "%s",
                            spl_error_sentence(refused));
        g_error_free(refused);
    } else {
        g_propagate_error(error, refused);
    }
}

static gboolean set(struct spl_house *house, const char *key, const char *value,
                    struct spl_started *started, GError **error)
{
    const struct spl_setting_words said = {key, value};
    GError *refused = NULL;

    if (value == NULL)
        return TRUE;
    if (!spl_book_set(house, &said, &refused)) {
        say_as(refused, "value", key, error);
        return FALSE;
    }
    g_ptr_array_add(started->said, g_strdup_printf("%s: %s", key, value));
    return TRUE;
}

static gboolean add_site(struct spl_house *house, const struct spl_start_words *words,
                         struct spl_started *started, GError **error)
{
    g_autofree char *caution = NULL;
    struct spl_site_words said;
    struct spl_site site;
    GError *refused = NULL;

    if (words->site == NULL)
        return TRUE;
    spl_inputs_init(&spl_site_inputs, &said);
    said.name = words->site;
    said.at = words->at;
    said.accuracy_m = words->accuracy_m;
    if (!spl_site_new(house, &said, &site, &caution, &refused)) {
        say_as(refused, "name", "site", error);
        return FALSE;
    }
    g_ptr_array_add(started->said, g_strdup_printf("site: %s", site.name));
    if (caution != NULL)
        g_ptr_array_add(started->cautions, g_steal_pointer(&caution));
    spl_record_clear(&spl_site_shape, &site);
    return TRUE;
}

static gboolean furnish(struct spl_house *house, const struct spl_start_words *words,
                        struct spl_started *started, GError **error)
{
    g_autofree char *lat = spl_number_format(words->home.lat, 6);
    g_autofree char *lon = spl_number_format(words->home.lon, 6);
    g_autofree char *home = isnan(words->home.lat) ? NULL : g_strdup_printf("%s,%s", lat, lon);

    return set(house, "who", words->who, started, error) &&
           set(house, "home", home, started, error) &&
           set(house, "country", words->country, started, error) &&
           set(house, "press", words->press, started, error) &&
           set(house, "keeping", words->keeping, started, error) &&
           set(house, "spirits", words->spirits, started, error) &&
           set(house, "units", words->units, started, error) &&
           add_site(house, words, started, error);
}

static gboolean make(const struct spl_house_options *where, const struct spl_start_words *words,
                     struct spl_started *started, GError **error)
{
    struct spl_book_info info;
    struct spl_house *house;
    gboolean ok;

    if (!spl_book_make(where, words->mark, &info, error))
        return FALSE;
    started->book = g_strdup(info.path);
    started->mark = g_strdup(info.mark);
    spl_record_clear(&spl_book_info_shape, &info);
    house = spl_house_open(where, SPL_HOUSE_WRITE, error);
    ok = house != NULL && furnish(house, words, started, error);
    spl_house_close(house);
    if (!ok)
        g_unlink(where->book); /* made a moment ago: a second start begins anew */
    return ok;
}

gboolean spl_start(const struct spl_house_options *where, const struct spl_start_words *said,
                   struct spl_started *started, GError **error)
{
    struct spl_started made = {.said = g_ptr_array_new_with_free_func(g_free),
                               .cautions = g_ptr_array_new_with_free_func(g_free)};
    struct spl_start_words words;
    gboolean ok = take(where, said, &words, error);

    if (ok) {
        ok = make(where, &words, &made, error);
        spl_inputs_clear(&spl_start_inputs, &words);
    }
    if (ok)
        *started = made;
    else
        spl_record_clear(&spl_started_shape, &made);
    return ok;
}

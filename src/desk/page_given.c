/* SPDX-License-Identifier: MIT
 *
 * The dispensary's two papers: what went out on a day, to which references; the ledger of the
 * spirit in litres of pure alcohol. Both print as they stand. See desk/page.h.
 */
#include <math.h>

#include "desk/form.h"
#include "desk/page.h"
#include "simpling/batch.h"
#include "simpling/error.h"
#include "simpling/liquid.h"

/* Reading what is asked: a form that goes to the same page again, wrong fields told beside them. */
static void put_question(struct spl_html *html, const char *path, const struct spl_reading *reading,
                         const char *button)
{
    const char *parts[] = {path, NULL};

    spl_html_open(html, "form");
    spl_html_attr(html, "method", "get");
    spl_html_attr(html, "class", "ask");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/", parts, NULL);
    spl_form_fields(html, "f", reading, NULL);
    spl_form_end(html, button);
}

static void put_span(struct spl_html *html, struct spl_day from, struct spl_day to)
{
    g_autofree char *first = spl_day_is_set(from) ? spl_day_words(from) : NULL,
                    *last = spl_day_words(to);

    spl_html_open(html, "p");
    if (first == NULL)
        spl_html_printf(html, "From the first entry to %s.", last);
    else if (spl_day_compare(from, to) == 0)
        spl_html_printf(html, "On %s.", last);
    else
        spl_html_printf(html, "From %s to %s.", first, last);
    spl_html_close(html, "p");
}

/* A link to the same page for another span. */
static void put_other(struct spl_html *html, const char *path, struct spl_day from,
                      struct spl_day to, const char *words)
{
    char first[SPL_DAY_TEXT_SIZE], last[SPL_DAY_TEXT_SIZE];
    const char *parts[] = {path, NULL};
    const char *query[] = {"from", spl_day_is_set(from) ? spl_day_format(from, first) : NULL, "to",
                           spl_day_format(to, last), NULL};

    spl_html_open(html, "a");
    spl_html_link(html, "href", "/", parts, query);
    spl_html_attr(html, "class", "act");
    spl_html_text(html, words);
    spl_html_close(html, "a");
}

static void put_given(struct spl_html *html, const struct spl_handed *given)
{
    int days = spl_day_diff(given->to, given->from) + 1;

    put_span(html, given->from, given->to);
    spl_html_open(html, "p");
    put_other(html, "given", spl_day_add(given->from, -days), spl_day_add(given->to, -days),
              days == 1 ? "The day before" : "As many days before");
    put_other(html, "given", spl_day_add(given->from, days), spl_day_add(given->to, days),
              days == 1 ? "The day after" : "As many days after");
    spl_html_close(html, "p");
    if (given->lines->len == 0)
        spl_desk_say(html, "Nothing went out.");
    spl_desk_table(html, "What went out", &spl_handed_line_shape, given->lines,
                   days == 1 ? "date" : NULL);
    spl_desk_table(html, "To whom", &spl_handed_to_shape, given->people, NULL);
    spl_desk_table(html, "Of which lots", &spl_lot_flow_shape, given->lots, "made_on");
    if (given->lines->len > 0) {
        spl_html_open(html, "p");
        spl_html_text(html, "Together ");
        if (!isnan(given->ml))
            spl_html_printf(html, "%.1f mL%s", given->ml, isnan(given->g) ? "" : " and ");
        if (!isnan(given->g))
            spl_html_printf(html, "%.1f g", given->g);
        spl_html_printf(html, " to %u reference%s.", given->people->len,
                        given->people->len == 1 ? "" : "s");
        spl_html_close(html, "p");
    }
}

SPL_PAGE(given)
{
    struct spl_reading reading;
    struct spl_handed given;
    struct spl_html *html;
    GError *failed = NULL;
    gboolean done, wrong;

    (void)error;
    spl_reading_begin(&reading, &spl_handed_inputs, visit->query, NULL);
    done = reading.errors->len == 0 && spl_handed_between(house, reading.said, &given, &failed);
    if (failed != NULL)
        spl_reading_wrong(&reading, failed);
    wrong = reading.errors->len > 0;
    html = spl_desk_begin_bare(visit, wrong ? "Error: What was given out" : "What was given out",
                               "/shelf");
    spl_form_summary(html, "f", &reading);
    spl_desk_heading(html, "What was given out");
    put_question(html, "given", &reading, "Look");
    if (done) {
        put_given(html, &given);
        spl_record_clear(&spl_handed_shape, &given);
    }
    spl_reading_end(&reading);
    spl_visit_page(visit, wrong ? 422 : 200, spl_desk_end(html));
    return TRUE;
}

static void put_years(struct spl_html *html, struct spl_day today)
{
    int year;

    spl_day_to_ymd(today, &year, NULL, NULL);
    spl_html_open(html, "p");
    put_other(html, "ledger", spl_day_from_ymd(year, 1, 1), today, "This year");
    put_other(html, "ledger", spl_day_from_ymd(year - 1, 1, 1), spl_day_from_ymd(year - 1, 12, 31),
              "Last year");
    put_other(html, "ledger", SPL_DAY_NONE, today, "From the first entry");
    spl_html_close(html, "p");
}

static void put_ledger(struct spl_html *html, const struct spl_liquid_ledger *ledger)
{
    put_span(html, ledger->from, ledger->to);
    spl_desk_note(html, "In litres of pure alcohol at 20 \xC2\xB0"
                        "C. What a licence asks to be kept, and for how long, is for it and the "
                        "local law to say.");
    spl_desk_values(html, &spl_liquid_ledger_shape, ledger);
    if (ledger->entries->len == 0)
        spl_desk_say(html, "Nothing came in or went out.");
    spl_desk_table(html, "Entries", &spl_liquid_entry_shape, ledger->entries, NULL);
}

SPL_PAGE(ledger)
{
    static const char *const spirit[] = {"kind", "spirit", NULL};
    struct spl_liquid_ledger ledger;
    struct spl_reading reading;
    struct spl_html *html;
    GError *failed = NULL;
    gboolean done, wrong;

    (void)error;
    spl_reading_begin(&reading, &spl_liquid_period_inputs, visit->query, NULL);
    done = reading.errors->len == 0 && spl_liquid_ledger(house, reading.said, &ledger, &failed);
    if (failed != NULL)
        spl_reading_wrong(&reading, failed);
    wrong = reading.errors->len > 0;
    html = spl_desk_begin_bare(
        visit, wrong ? "Error: The ledger of the spirit" : "The ledger of the spirit", "/shelf");
    spl_form_summary(html, "f", &reading);
    spl_desk_heading(html, "The ledger of the spirit");
    put_question(html, "ledger", &reading, "Look");
    put_years(html, visit->where.today);
    spl_html_open(html, "p");
    spl_desk_act(html, "liquid-add", "Spirit that came in", spirit);
    spl_desk_act(html, "liquid-use", "Spirit that went otherwise", spirit);
    spl_html_close(html, "p");
    if (done) {
        put_ledger(html, &ledger);
        spl_record_clear(&spl_liquid_ledger_shape, &ledger);
    }
    spl_reading_end(&reading);
    spl_visit_page(visit, wrong ? 422 : 200, spl_desk_end(html));
    return TRUE;
}

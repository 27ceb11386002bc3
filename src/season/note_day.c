/* SPDX-License-Identifier: MIT
 *
 * Days in notes. See season/note_scan.h; which day of which year is meant is settled by
 * season/note_frame.h, which knows when the note was read.
 */
#include <stdlib.h>
#include <string.h>

#include "season/note_scan.h"

#define MONTH                                                                                      \
    "(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)(?:uary|ruary|ch|il|e|y|ust|t|tember|ober|"  \
    "ember)?(?![a-z])\\.?"
#define WEEKDAY                                                                                    \
    "(?:(mon|tue|wed|thu|fri|sat|sun)(?:day|s|sday|nesday|nes|r|rs|rsday|urday)?(?![a-z])\\.?,? )"
#define YEAR "(?:,? ((?:19|20)\\d\\d)(?!\\d| ?(?:kg|g|oz|lb|ml)(?![a-z])))?"

static int number_at(const GMatchInfo *match, int n)
{
    g_autofree char *text = g_match_info_fetch(match, n);

    return text != NULL ? (int)g_ascii_strtoll(text, NULL, 10) : 0;
}

static int word_at(const GMatchInfo *match, int n, const char *words)
{
    g_autofree char *text = g_match_info_fetch(match, n);
    const char *found = text != NULL && *text != '\0' ? strstr(words, text) : NULL;

    return found != NULL ? (int)(found - words) / 3 + 1 : 0;
}

static int month_at(const GMatchInfo *match, int n)
{
    return word_at(match, n, "janfebmaraprmayjunjulaugsepoctnovdec");
}

static int weekday_at(const GMatchInfo *match, int n)
{
    return word_at(match, n, "montuewedthufrisatsun");
}

static gboolean fault(struct spl_note_token *token, const GMatchInfo *match, const char *why)
{
    token->word = SPL_NOTE_DAY;
    token->end = spl_note_scan_end(match);
    token->fault = g_strdup(why);
    return TRUE;
}

static gboolean found(struct spl_note_token *token, const GMatchInfo *match,
                      struct spl_note_when when)
{
    token->word = SPL_NOTE_DAY;
    token->end = spl_note_scan_end(match);
    token->when = when;
    if (!when.relative && when.dom > 0 && when.month > 0 &&
        !spl_day_is_set(spl_day_from_ymd(when.year > 0 ? when.year : 2028, when.month, when.dom)))
        token->fault = g_strdup("there is no such day");
    return TRUE;
}

gboolean spl_note_scan_date(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *iso, *eight, *dashes, *clock, *hour;
    g_autoptr(GMatchInfo) match = NULL, other = NULL, third = NULL, time = NULL, hours = NULL;

    if (spl_note_scan(&iso, "(\\d{4})-(\\d{1,2})-(\\d{1,2})(?!\\d)", text, at, &match))
        return found(token, match,
                     (struct spl_note_when){.year = number_at(match, 1),
                                            .month = number_at(match, 2),
                                            .dom = number_at(match, 3)});
    if (spl_note_scan(&eight, "(?:19|20)\\d{6}(?![\\d.,]| ?[kg]?g(?![a-z]))", text, at, &other))
        return fault(token, other, "eight digits: write 2027-07-14");
    if (spl_note_scan(&dashes, "\\d{1,2}-\\d{1,2}-\\d{2,4}(?!\\d)", text, at, &third))
        return fault(token, third, "a day with hyphens is written year first: 2027-07-14");
    if (spl_note_scan(&clock, "(\\d{1,2}):([0-5]\\d)(?::[0-5]\\d)?(?: ?[ap]m)?(?![\\da-z])", text,
                      at, &time) &&
        number_at(time, 1) < 24) {
        token->word = SPL_NOTE_TIME;
        token->end = spl_note_scan_end(time);
        return TRUE;
    }
    if (spl_note_scan(&hour, "(\\d{1,2}) ?[ap]m(?![a-z])", text, at, &hours)) {
        token->word = SPL_NOTE_TIME;
        token->end = spl_note_scan_end(hours);
        return TRUE;
    }
    return FALSE;
}

/* "14/7", "7/14/27": read where it is clear which is the month. */
static gboolean scan_slashes(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *slashes;
    g_autoptr(GMatchInfo) match = NULL;
    struct spl_note_when when = {0};
    int a, b;

    if (!spl_note_scan(&slashes, "(\\d{1,2})/(\\d{1,2})(?:/(\\d{4}|\\d\\d))?(?![\\d/])", text, at,
                       &match))
        return FALSE;
    a = number_at(match, 1);
    b = number_at(match, 2);
    when.year = number_at(match, 3);
    if (when.year > 0 && when.year < 100)
        when.year += 2000;
    when.dom = a > 12 || b <= 12 ? a : b;
    when.month = a > 12 || b <= 12 ? b : a;
    when.either = a <= 12 && b <= 12 && a != b;
    return found(token, match, when);
}

static gboolean scan_relative(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *days, *week;
    g_autoptr(GMatchInfo) match = NULL, other = NULL;
    g_autofree char *word = NULL;

    if (spl_note_scan(&days,
                      "(the day before yesterday|day before yesterday|yesterday|this morning|"
                      "this afternoon|this evening|today|tonight|tomorrow)(?![a-z])",
                      text, at, &match)) {
        word = g_match_info_fetch(match, 1);
        return found(token, match,
                     (struct spl_note_when){.relative = TRUE,
                                            .ago = strstr(word, "before") != NULL   ? 2
                                                   : strcmp(word, "yesterday") == 0 ? 1
                                                   : strcmp(word, "tomorrow") == 0  ? -1
                                                                                    : 0});
    }
    if (spl_note_scan(
            &week,
            "(?:on |(last) |this |next )?(mon|tue|wed|thu|fri|sat|sun)(?:day|s|sday|nesday|"
            "nes|r|rs|rsday|urday)?(?![a-z])",
            text, at, &other))
        return found(token, other,
                     (struct spl_note_when){.relative = TRUE,
                                            .weekday = weekday_at(other, 2),
                                            .ago = text[at] == 'l' ? 7 : 0});
    return FALSE;
}

gboolean spl_note_scan_day(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *day_first, *month_first, *points, *alone;
    g_autoptr(GMatchInfo) match = NULL, other = NULL, dots = NULL, nth = NULL;

    if (spl_note_scan(&day_first,
                      WEEKDAY "?(?:the )?(\\d{1,2})(?:st|nd|rd|th)?\\.?(?: of| ?-)? ?" MONTH YEAR,
                      text, at, &match))
        return found(token, match,
                     (struct spl_note_when){.weekday = weekday_at(match, 1),
                                            .dom = number_at(match, 2),
                                            .month = month_at(match, 3),
                                            .year = number_at(match, 4)});
    if (spl_note_scan(&month_first,
                      WEEKDAY "?" MONTH " ?(\\d{1,2})(?:st|nd|rd|th)?(?![\\da-z.,/]\\d|[\\da-z])"
                              "(?! ?(?:kg|g|oz|lb|ml|bags?)(?![a-z]))" YEAR,
                      text, at, &other))
        return found(token, other,
                     (struct spl_note_when){.weekday = weekday_at(other, 1),
                                            .month = month_at(other, 2),
                                            .dom = number_at(other, 3),
                                            .year = number_at(other, 4)});
    if (spl_note_scan(&points, WEEKDAY "?(\\d{1,2})\\. ?(\\d{1,2})\\.(?: ?(\\d{4}|\\d\\d)(?!\\d))?",
                      text, at, &dots)) {
        const int year = number_at(dots, 4);

        return found(token, dots,
                     (struct spl_note_when){.weekday = weekday_at(dots, 1),
                                            .dom = number_at(dots, 2),
                                            .month = number_at(dots, 3),
                                            .year = year > 0 && year < 100 ? year + 2000 : year});
    }
    if (spl_note_scan(&alone, "(?:the )?\\d{1,2}(?:st|nd|rd|th)(?![a-z])", text, at, &nth))
        return fault(token, nth, "of which month?");
    return scan_slashes(text, at, token) || scan_relative(text, at, token);
}

gboolean spl_note_scan_month(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *month, *year;
    g_autoptr(GMatchInfo) match = NULL, other = NULL;

    if (spl_note_scan(&year, "((?:19|20)\\d\\d)(?![\\d-])", text, at, &other))
        return found(token, other, (struct spl_note_when){.year = number_at(other, 1)});
    if (spl_note_scan(&month, MONTH "(?! ?\\d{1,2}(?!\\d))" YEAR, text, at, &match))
        return found(
            token, match,
            (struct spl_note_when){.month = month_at(match, 1), .year = number_at(match, 2)});
    return FALSE;
}

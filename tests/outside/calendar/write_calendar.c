/* SPDX-License-Identifier: MIT
 *
 * Writes a calendar that uses everything our writer can, and beside it what it means, for readers
 * of other makers to be compared with: FOLDER/season.ics and FOLDER/expected.tsv with one line an
 * entry: uid, kind, first day, last day (inclusive), start time, end time (of the first and last
 * day on London's clock, "-": all-day), title, text, place, category, status, minutes that the
 * alarm is before the start. Line breaks are written \n. FOLDER/split gets each entry as a file of
 * its own.
 */
#include <stdio.h>
#include <string.h>

#include <glib/gstdio.h>

#include "exchange/ical_write.h"

#define COUNT 60

static const char *const titles[] = {
    "Nettle leaf, Low Meadow",
    "Strain B27-001; press by hand",
    "Dandelion flower \xe2\x80\x93 caf\xc3\xa9 verge \xf0\x9f\x8c\xbc",
    "A title that is a good deal longer than seventy-five octets, so that every writer has to fold "
    "it at least once",
    "Colon: and \"quotes\" and a \\ backslash",
};
static const char *const texts[] = {
    "Take at most 400 g.\nReasons: road 61 m away (ask), seen 2027-03-02.\n\nCheck again before "
    "picking.",
    "\xc3\x9c\x62\x65r f\xc3\xbcnfundsiebzig \xe2\x82\xac\xe2\x82\xac\xe2\x82\xac\xe2\x82\xac"
    "\xe2\x82\xac\xe2\x82\xac\xe2\x82\xac\xe2\x82\xac\xe2\x82\xac\xe2\x82\xac\xe2\x82\xac, und so "
    "weiter; bis zum Ende der Zeile.",
    NULL,
    "BEGIN:VEVENT\nEND:VCALENDAR",
};

static void make(struct spl_entry *entry, int i)
{
    spl_entry_init(entry);
    entry->uid = g_strdup_printf("00000000-0000-5000-8000-%012d", i);
    entry->kind = i % 4 == 3 ? SPL_ENTRY_TASK : SPL_ENTRY_EVENT;
    entry->summary = g_strdup(titles[i % 5]);
    entry->description = g_strdup(texts[i % 4]);
    entry->location = i % 3 == 0 ? g_strdup("Low Meadow, by the beck") : NULL;
    entry->category = g_strdup(i % 2 == 0 ? "windows" : "steps");
    entry->first = spl_day_add(spl_day_from_ymd(2027, 2, 20), i * 6);
    entry->last = spl_day_add(entry->first, i % 7);
    if (i % 5 == 2) { /* timed: summer time and winter time both occur */
        entry->start_min = 8 * 60 + i;
        entry->end_min = 10 * 60 + i;
        entry->due_min = entry->end_min;
        entry->last = entry->first;
        entry->zone = g_strdup("Europe/London");
    }
    if (entry->kind == SPL_ENTRY_TASK)
        entry->due = entry->last;
    if (i % 3 != 1)
        entry->alarm_min = i % 2 == 0 ? 15 * 60 : 45;
    entry->status = entry->kind == SPL_ENTRY_TASK ? SPL_ENTRY_NEEDS_ACTION : SPL_ENTRY_CONFIRMED;
    if (i % 11 == 10)
        entry->status = SPL_ENTRY_CANCELLED;
    entry->sequence = i % 4;
    entry->changed_at = 1800432000 + i; /* 20 January 2027: before the first alarm */
    spl_entry_add_x(entry, "X-SIMPLING-MATERIAL", "nettle/leaf");
    if (i % 6 == 0)
        entry->url = g_strdup("https://example.org/season?entry=1");
    if (i % 6 == 1) {
        entry->lat = 54.9712;
        entry->lon = -2.461;
    }
}

static const char *status_word(const struct spl_entry *entry)
{
    return entry->status == SPL_ENTRY_CANCELLED      ? "CANCELLED"
           : entry->status == SPL_ENTRY_NEEDS_ACTION ? "NEEDS-ACTION"
                                                     : "CONFIRMED";
}

static char *one_line(const char *text)
{
    g_auto(GStrv) lines = g_strsplit(text != NULL ? text : "", "\n", -1);

    return g_strjoinv("\\n", lines);
}

static void expect(FILE *out, const struct spl_entry *entry)
{
    char first[SPL_DAY_TEXT_SIZE], last[SPL_DAY_TEXT_SIZE], start[8] = "-", end[8] = "-";
    g_autofree char *text = one_line(entry->description);
    /* A task without a time has the day on which it is due, and no other. */
    struct spl_day begin =
        entry->kind == SPL_ENTRY_TASK && entry->start_min < 0 ? entry->due : entry->first;

    if (entry->start_min >= 0) {
        g_snprintf(start, sizeof start, "%02d:%02d", entry->start_min / 60, entry->start_min % 60);
        g_snprintf(end, sizeof end, "%02d:%02d", entry->end_min / 60, entry->end_min % 60);
    }
    fprintf(out, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%d\n", entry->uid,
            entry->kind == SPL_ENTRY_TASK ? "VTODO" : "VEVENT", spl_day_format(begin, first),
            spl_day_format(entry->last, last), start, end, entry->summary, text,
            entry->location != NULL ? entry->location : "", entry->category, status_word(entry),
            entry->status == SPL_ENTRY_CANCELLED ? 0 : entry->alarm_min);
}

int main(int argc, char **argv)
{
    struct spl_ical_options options = {.name = "Season 2027 of an invented valley",
                                       .zone = "Europe/London",
                                       .year_first = 2027,
                                       .year_last = 2028};
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_ical_writer) writer = NULL;
    g_autofree char *path = NULL;
    g_autofree char *expected = NULL;
    g_autofree char *split = NULL;
    FILE *out;

    if (argc != 2)
        return 2;
    path = g_build_filename(argv[1], "season.ics", NULL);
    expected = g_build_filename(argv[1], "expected.tsv", NULL);
    split = g_build_filename(argv[1], "split", NULL);
    g_mkdir(split, 0700);
    out = fopen(expected, "w");
    writer = spl_ical_writer_open(path, &options, &error);
    for (int i = 0; out != NULL && writer != NULL && error == NULL && i < COUNT; i++) {
        g_autofree char *one = NULL;
        struct spl_entry entry;

        make(&entry, i);
        expect(out, &entry);
        one = g_strdup_printf("%s/%s.ics", split, entry.uid);
        if (spl_ical_writer_add(writer, &entry, &error))
            spl_ical_write_one(one, &options, &entry, &error);
        spl_entry_clear(&entry);
    }
    if (error == NULL && writer != NULL)
        spl_ical_writer_commit(writer, &error);
    if (error != NULL)
        fprintf(stderr, "%s\n", error->message);
    return out == NULL || fclose(out) != 0 || error != NULL;
}

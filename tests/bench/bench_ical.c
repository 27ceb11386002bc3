/* SPDX-License-Identifier: MIT
 *
 * Calendars by the hundred thousand: our writer beside libical alone, our reader beside libical's
 * own parser. One task a process, so that its peak of memory is its own:
 *     bench_ical write N FILE        our writer, N events with alarms
 *     bench_ical write-libical N FILE  libical alone, serialising the same one at a time
 *     bench_ical read FILE           our reader, every entry
 *     bench_ical read-libical FILE   icalparser_parse_string of the whole
 *     bench_ical busy FILE           busy times of a year
 *     bench_ical again FILE OUT  libical alone: every component of FILE serialised to OUT, one at a
 *                                time; reading FILE is left out of the times
 *     bench_ical make-again FILE OUT  the same, with the making of each component within the times
 * Prints: task, count, seconds of wall and processor time, peak memory in MB.
 */
#include <libical/ical.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#include "exchange/busy.h"
#include "exchange/ical_read.h"
#include "exchange/ical_write.h"

static void make(struct spl_entry *entry, int i)
{
    spl_entry_init(entry);
    entry->uid = g_strdup_printf("00000000-0000-5000-8000-%012d", i);
    entry->summary = g_strdup_printf("Nettle leaf at place %d", i % 1000);
    entry->description = g_strdup_printf("Take at most %d g. Reasons: road 61 m away, asked on 2 "
                                         "March.\nCheck again before picking.",
                                         100 + i % 900);
    entry->location = g_strdup_printf("Place %d", i % 1000);
    entry->category = g_strdup("windows");
    entry->first = spl_day_add(spl_day_from_ymd(2027, 1, 1), i % 365);
    entry->last = spl_day_add(entry->first, i % 14);
    entry->alarm_min = 15 * 60;
    entry->status = SPL_ENTRY_CONFIRMED;
    entry->changed_at = 1803888000 + i;
    spl_entry_add_x(entry, "X-SIMPLING-MATERIAL", "nettle/leaf");
}

static int write_ours(int n, const char *path)
{
    struct spl_ical_options options = {.name = "Bench"};
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_ical_writer) writer = spl_ical_writer_open(path, &options, &error);

    for (int i = 0; i < n && error == NULL; i++) {
        struct spl_entry entry;

        make(&entry, i);
        spl_ical_writer_add(writer, &entry, &error);
        spl_entry_clear(&entry);
    }
    if (error == NULL)
        spl_ical_writer_commit(writer, &error);
    return error == NULL ? n : -1;
}

static struct icaltimetype date_of(struct spl_day day)
{
    struct icaltimetype time = icaltime_null_time();

    spl_day_to_ymd(day, &time.year, &time.month, &time.day);
    time.is_date = 1;
    return time;
}

/* The same components, made and serialised by libical alone. */
static int write_libical(int n, const char *path)
{
    FILE *out = fopen(path, "w");

    if (out == NULL)
        return -1;
    fputs("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n", out);
    for (int i = 0; i < n; i++) {
        struct spl_entry entry;
        icalcomponent *event = icalcomponent_new(ICAL_VEVENT_COMPONENT);
        icalcomponent *alarm = icalcomponent_new(ICAL_VALARM_COMPONENT);
        struct icaltriggertype trigger = icaltriggertype_from_string("-PT15H");
        struct icaltimetype stamp = icaltime_from_timet_with_zone((time_t)1803888000 + i, 0,
                                                                  icaltimezone_get_utc_timezone());
        icalproperty *own = icalproperty_new_x("nettle/leaf");
        char *text;

        make(&entry, i);
        icalproperty_set_x_name(own, "X-SIMPLING-MATERIAL");
        icalcomponent_add_property(event, icalproperty_new_uid(entry.uid));
        icalcomponent_add_property(event, icalproperty_new_dtstamp(stamp));
        icalcomponent_add_property(event, icalproperty_new_lastmodified(stamp));
        icalcomponent_add_property(event, icalproperty_new_sequence(0));
        icalcomponent_add_property(event, icalproperty_new_summary(entry.summary));
        icalcomponent_add_property(event, icalproperty_new_dtstart(date_of(entry.first)));
        icalcomponent_add_property(event,
                                   icalproperty_new_dtend(date_of(spl_day_add(entry.last, 1))));
        icalcomponent_add_property(event, icalproperty_new_description(entry.description));
        icalcomponent_add_property(event, icalproperty_new_location(entry.location));
        icalcomponent_add_property(event, icalproperty_new_categories(entry.category));
        icalcomponent_add_property(event, icalproperty_new_status(ICAL_STATUS_CONFIRMED));
        icalcomponent_add_property(event, icalproperty_new_transp(ICAL_TRANSP_TRANSPARENT));
        icalcomponent_add_property(event, own);
        icalcomponent_add_property(alarm, icalproperty_new_action(ICAL_ACTION_DISPLAY));
        icalcomponent_add_property(alarm, icalproperty_new_description(entry.summary));
        icalcomponent_add_property(alarm, icalproperty_new_trigger(trigger));
        icalcomponent_add_component(event, alarm);
        text = icalcomponent_as_ical_string_r(event);
        fputs(text, out);
        icalmemory_free_buffer(text);
        icalcomponent_free(event);
        spl_entry_clear(&entry);
    }
    fputs("END:VCALENDAR\r\n", out);
    return fclose(out) == 0 ? n : -1;
}

static int read_ours(const char *path)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_ical_reader) reader = spl_ical_reader_open(path, NULL, &error);
    struct spl_entry entry;
    int n = 0;

    spl_entry_init(&entry);
    while (reader != NULL && spl_ical_reader_next(reader, &entry, &error))
        n++;
    return error == NULL ? n : -1;
}

static int read_libical(const char *path)
{
    g_autofree char *text = NULL;
    icalcomponent *calendar;
    int n;

    if (!g_file_get_contents(path, &text, NULL, NULL))
        return -1;
    calendar = icalparser_parse_string(text);
    n = calendar != NULL ? icalcomponent_count_components(calendar, ICAL_VEVENT_COMPONENT) : -1;
    icalcomponent_free(calendar);
    return n;
}

static int read_busy(const char *path)
{
    g_autoptr(GError) error = NULL;
    struct spl_busy_read out;
    int n;

    if (!spl_busy_read(path, spl_day_from_ymd(2027, 1, 1), spl_day_from_ymd(2027, 12, 31), NULL,
                       NULL, FALSE, &out, &error))
        return -1;
    n = (int)out.busy->len;
    spl_record_clear(&spl_busy_read_shape, &out);
    return n;
}

static double cpu_seconds(void)
{
    struct rusage usage;

    getrusage(RUSAGE_SELF, &usage);
    return (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
           (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e6;
}

#define SLICE 500 /* components read before the clock runs */

/* The next component of the file, NULL at its end. */
static icalcomponent *next_component(FILE *in)
{
    g_autoptr(GString) text = g_string_new(NULL);
    char line[256];

    while (fgets(line, sizeof line, in) != NULL) {
        if (text->len == 0 && !g_str_has_prefix(line, "BEGIN:VEVENT") &&
            !g_str_has_prefix(line, "BEGIN:VTODO"))
            continue;
        g_string_append(text, line);
        if (g_str_has_prefix(line, "END:VEVENT") || g_str_has_prefix(line, "END:VTODO"))
            return icalparser_parse_string(text->str);
    }
    return NULL;
}

/* Seconds of wall and processor time that serialising took; reading the file is left out. `make`:
 * each component is made (cloned) within that time too. */
static int write_again(const char *path, const char *to, gboolean make, double *wall, double *cpu)
{
    FILE *in = fopen(path, "r"), *out = fopen(to, "w");
    icalcomponent *slice[SLICE];
    int n = 0, held;

    if (in == NULL || out == NULL)
        return -1;
    do {
        for (held = 0; held < SLICE && (slice[held] = next_component(in)) != NULL;)
            held++;
        gint64 began = g_get_monotonic_time();
        double before = cpu_seconds();
        for (int i = 0; i < held; i++) {
            icalcomponent *made = make ? icalcomponent_new_clone(slice[i]) : slice[i];
            char *lines = icalcomponent_as_ical_string_r(made);

            fputs(lines, out);
            icalmemory_free_buffer(lines);
            if (make)
                icalcomponent_free(made);
        }
        *cpu += cpu_seconds() - before;
        *wall += (double)(g_get_monotonic_time() - began) / 1e6;
        for (int i = 0; i < held; i++)
            icalcomponent_free(slice[i]);
        n += held;
    } while (held == SLICE);
    fclose(in);
    return fclose(out) == 0 ? n : -1;
}

int main(int argc, char **argv)
{
    gint64 began = g_get_monotonic_time();
    struct rusage usage;
    double wall = -1, cpu = 0;
    int n = -1;

    if (argc == 4 && strcmp(argv[1], "write") == 0)
        n = write_ours(atoi(argv[2]), argv[3]);
    else if (argc == 4 && strcmp(argv[1], "write-libical") == 0)
        n = write_libical(atoi(argv[2]), argv[3]);
    else if (argc == 3 && strcmp(argv[1], "read") == 0)
        n = read_ours(argv[2]);
    else if (argc == 3 && strcmp(argv[1], "read-libical") == 0)
        n = read_libical(argv[2]);
    else if (argc == 4 && (strcmp(argv[1], "again") == 0 || strcmp(argv[1], "make-again") == 0)) {
        wall = 0;
        n = write_again(argv[2], argv[3], *argv[1] == 'm', &wall, &cpu);
    } else if (argc == 3 && strcmp(argv[1], "busy") == 0)
        n = read_busy(argv[2]);
    getrusage(RUSAGE_SELF, &usage);
    if (wall < 0) {
        wall = (double)(g_get_monotonic_time() - began) / 1e6;
        cpu = cpu_seconds();
    }
    printf("%-14s %7d %6.2f s cpu %6.2f s %5ld MB\n", argc > 1 ? argv[1] : "?", n, wall, cpu,
           usage.ru_maxrss / 1024);
    return n < 0;
}

/* SPDX-License-Identifier: MIT
 *
 * The calendar writer: which lines an entry has, and that each comes out right (reference: RFC 5545
 * 3.1, 3.6, 3.8; RFC 7986 4-5). See ical_write.h.
 */
#include "exchange/ical_write.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "exchange/entry_mark.h"
#include "exchange/ical_line.h"
#include "exchange/ical_value.h"
#include "exchange/ical_zone.h"
#include "simpling/error.h"

#define PRODID "-//simpling//season calendar//EN"
#define END "END:VCALENDAR\r\n"
#define SUMMARY_CHARS 180 /* longer titles are cut by some readers, then better by us */
#define TIMED_MINUTES 30  /* length of a timed reminder */

struct spl_ical_writer {
    spl_file_writer *file; /* NULL: to the stream */
    FILE *stream;
    char *name;
    char *zone; /* NULL: no timed entries but in UTC */
    int year_first, year_last, refresh_days;
    GArray *x;
    GString *text;  /* of the component in the making */
    gboolean begun; /* the head is written */
    gboolean ended; /* and the end */
    int count;
};

static gboolean put(struct spl_ical_writer *writer, const char *text, gsize size, GError **error)
{
    if (writer->file != NULL)
        return spl_file_writer_write(writer->file, text, size, error);
    if (fwrite(text, 1, size, writer->stream) == size)
        return TRUE;
    g_set_error_literal(
        error, SPL_ERROR, SPL_ERROR_IO,
        "the calendar could not be written to the output: it was closed or is full");
    return FALSE;
}

/* TRUE when the text needs no cleaning, as ours never does: one look instead of a copy. */
static gboolean is_clean(const char *text, gboolean lines)
{
    gboolean ascii = TRUE;

    if (*text == '\0' || g_ascii_isspace(*text))
        return FALSE;
    for (const guchar *c = (const guchar *)text; *c != '\0'; c++) {
        if ((*c < 0x20 && !(lines && *c == '\n')) || *c == 0x7f)
            return FALSE;
        ascii = ascii && *c < 0x80;
    }
    return ascii && !g_ascii_isspace(text[strlen(text) - 1]);
}

/* People's text for a TEXT property, NULL when nothing is left; `*copy` holds what had to be
 * cleaned. */
static const char *clean_text(const char *text, gboolean lines, char **copy)
{
    if (text == NULL || is_clean(text, lines))
        return text;
    *copy = g_strstrip(spl_text_scrub(text, lines));
    return **copy != '\0' ? *copy : NULL;
}

/* The same as one line without what would split a list, or what some readers do not unescape in
 * own properties. */
static const char *plain_line(const char *text, char **copy)
{
    if (text == NULL || (is_clean(text, FALSE) && strpbrk(text, ",;\\") == NULL))
        return text;
    *copy = spl_text_scrub(text, FALSE);
    g_strdelimit(*copy, ",;\\", ' ');
    g_strstrip(*copy);
    return **copy != '\0' ? *copy : NULL;
}

static void put_time(GString *text, const char *name, const struct spl_entry *entry,
                     struct spl_day day, int minutes)
{
    if (entry->start_min < 0)
        spl_ical_line_date(text, name, day);
    else
        spl_ical_line_time(text, name, day, minutes, entry->zone);
}

/* The last day of a task, or of an event. */
static struct spl_day last_day(const struct spl_entry *entry)
{
    if (entry->kind == SPL_ENTRY_TASK && spl_day_is_set(entry->due))
        return entry->due;
    return spl_day_is_set(entry->last) ? entry->last : entry->first;
}

/* DTSTART with DTEND, an exclusive end (RFC 5545 3.6.1, 3.8.2.2). A task without a time has its DUE
 * alone, the day itself: by the letter (3.8.2.3) that day's beginning, but every program that was
 * tried shows and writes it as the day on which it is to be done. */
static void put_times(GString *text, const struct spl_entry *entry)
{
    gboolean task = entry->kind == SPL_ENTRY_TASK;
    struct spl_day last = last_day(entry);
    int end_min = task ? entry->due_min : entry->end_min;

    if (task && entry->start_min < 0) {
        put_time(text, "DUE", entry, last, -1);
        return;
    }
    put_time(text, "DTSTART", entry, entry->first, entry->start_min);
    if (entry->start_min < 0)
        last = spl_day_add(last, 1);
    else if (end_min < 0)
        end_min = task ? 24 * 60 - 1 : entry->start_min + TIMED_MINUTES;
    put_time(text, task ? "DUE" : "DTEND", entry, last, end_min);
}

static const char *const statuses[] = {
    [SPL_ENTRY_NO_STATUS] = NULL,          [SPL_ENTRY_TENTATIVE] = "TENTATIVE",
    [SPL_ENTRY_CONFIRMED] = "CONFIRMED",   [SPL_ENTRY_NEEDS_ACTION] = "NEEDS-ACTION",
    [SPL_ENTRY_IN_PROCESS] = "IN-PROCESS", [SPL_ENTRY_COMPLETED] = "COMPLETED",
    [SPL_ENTRY_CANCELLED] = "CANCELLED",
};

static void put_text_property(GString *text, const char *name, const char *value, gboolean lines)
{
    g_autofree char *copy = NULL;
    const char *clean = clean_text(value, lines, &copy);

    if (clean != NULL)
        spl_ical_line_text(text, name, clean);
}

static void put_plain_property(GString *text, const char *name, const char *value)
{
    g_autofree char *copy = NULL;
    const char *clean = plain_line(value, &copy);

    if (clean != NULL)
        spl_ical_line_raw(text, name, clean);
}

static void put_place(GString *text, const struct spl_entry *entry)
{
    char lat[G_ASCII_DTOSTR_BUF_SIZE], lon[G_ASCII_DTOSTR_BUF_SIZE];
    g_autofree char *both = g_strconcat(g_ascii_formatd(lat, sizeof lat, "%.6f", entry->lat), ";",
                                        g_ascii_formatd(lon, sizeof lon, "%.6f", entry->lon), NULL);

    spl_ical_line_raw(text, "GEO", both);
}

/* Whether an alarm still lay ahead when the entry last changed. Its own zone is not asked: a few
 * hours do not matter here. */
static gboolean alarm_is_ahead(const struct spl_entry *entry, gint64 minutes)
{
    struct spl_day day =
        entry->kind == SPL_ENTRY_TASK && entry->start_min < 0 ? last_day(entry) : entry->first;
    gint64 rings = (gint64)day.n * 86400 + 60 * ((gint64)MAX(entry->start_min, 0) - minutes);

    return rings >= entry->changed_at;
}

/* "-P1DT15H" for minutes before, "PT8H" for those after. */
static void trigger_text(gint64 minutes, char text[64])
{
    gint64 size = ABS(minutes), days = size / (24 * 60), hours = size / 60 % 24, rest = size % 60;
    char *at = text + g_snprintf(text, 64, "%sP", minutes > 0 ? "-" : "");

    if (days > 0)
        at += g_snprintf(at, 24, "%" G_GINT64_FORMAT "D", days);
    if (hours > 0 || rest > 0 || days == 0)
        *at++ = 'T';
    if (hours > 0)
        at += g_snprintf(at, 8, "%dH", (int)hours);
    if (rest > 0 || (days == 0 && hours == 0))
        at += g_snprintf(at, 8, "%dM", (int)rest);
    *at = '\0';
}

/* Last in its component: some readers refuse properties after it. */
static void put_alarm(GString *text, const struct spl_entry *entry, const char *summary,
                      gint64 minutes)
{
    gboolean all_day = entry->start_min < 0;
    gint64 days = (minutes - MAX(entry->start_min, 0) + 24 * 60 - 1) / (24 * 60);
    g_autofree char *said = NULL;
    char trigger[64];

    /* What rings on the day before says so: its title alone would be read as today's. */
    if (minutes > MAX(entry->start_min, 0))
        said = days == 1 ? g_strconcat("Tomorrow: ", summary, NULL)
                         : g_strdup_printf("In %d days: %s", (int)days, summary);
    trigger_text(minutes, trigger);
    g_string_append(text, "BEGIN:VALARM\r\nACTION:DISPLAY\r\n");
    spl_ical_line_text(text, "DESCRIPTION", said != NULL ? said : summary);
    spl_ical_line_raw(text,
                      all_day && entry->kind == SPL_ENTRY_TASK ? "TRIGGER;RELATED=END" : "TRIGGER",
                      trigger);
    g_string_append(text, "END:VALARM\r\n");
}

/* The alarms that are written: what is off needs no reminder (RFC 5546 3.2.5 forbids one there),
 * and none rings for what was over when the entry last changed. */
static int alarms_of(const struct spl_entry *entry, gint64 minutes[SPL_ENTRY_ALARMS_MAX])
{
    int n = 0;

    if (entry->status == SPL_ENTRY_CANCELLED || entry->status == SPL_ENTRY_COMPLETED)
        return 0;
    if (entry->n_alarms < 0) {
        minutes[0] = entry->alarm_min;
        return entry->alarm_min > 0 && alarm_is_ahead(entry, entry->alarm_min) ? 1 : 0;
    }
    for (int i = 0; i < entry->n_alarms; i++)
        if (!entry->alarms[i].moment && alarm_is_ahead(entry, entry->alarms[i].minutes))
            minutes[n++] = entry->alarms[i].minutes;
    return n;
}

static const char *short_summary(const struct spl_entry *entry, char **copy)
{
    const char *summary = clean_text(entry->summary, FALSE, copy);

    if (summary != NULL && g_utf8_strlen(summary, -1) > SUMMARY_CHARS) {
        g_autofree char *cut = g_utf8_substring(summary, 0, SUMMARY_CHARS - 1);

        g_free(*copy);
        *copy = g_strconcat(g_strchomp(cut), "\xe2\x80\xa6", NULL); /* an ellipsis */
        summary = *copy;
    }
    return summary;
}

static gboolean entry_is_writable(const struct spl_ical_writer *writer,
                                  const struct spl_entry *entry, GError **error)
{
    const char *what = entry->summary != NULL ? entry->summary : "without a title";
    const char *wrong = NULL;

    if (!spl_ical_uid_is_valid(entry->uid))
        wrong = "its UID is not 1 to 254 letters, digits and hyphens";
    else if (!spl_day_is_set(entry->first))
        wrong = "it has no first day";
    else if (spl_day_is_set(entry->last) && spl_day_compare(entry->last, entry->first) < 0)
        wrong = "its last day is before its first";
    else if (entry->kind == SPL_ENTRY_TASK && spl_day_is_set(entry->due) &&
             spl_day_compare(entry->due, entry->first) < 0)
        wrong = "it is due before its first day";
    else if (!spl_day_is_set(spl_day_add(entry->first, 2)) ||
             (spl_day_is_set(entry->last) && !spl_day_is_set(spl_day_add(entry->last, 2))) ||
             (spl_day_is_set(entry->due) && !spl_day_is_set(spl_day_add(entry->due, 2))))
        wrong = "its end is after the year 9999";
    else if (entry->start_min >= 24 * 60 || entry->end_min > 24 * 60 || entry->due_min > 24 * 60)
        wrong = "its time of day is past midnight";
    else if (entry->start_min >= 0 && entry->zone == NULL)
        wrong = "it has a time of day but no zone";
    else if (entry->start_min >= 0 && strcmp(entry->zone, "UTC") != 0 &&
             g_strcmp0(entry->zone, writer->zone) != 0)
        wrong = "its zone is not the calendar's";
    else if (entry->start_min >= 0 && entry->end_min >= 0 && entry->end_min <= entry->start_min &&
             (!spl_day_is_set(entry->last) || entry->last.n == entry->first.n) &&
             entry->kind == SPL_ENTRY_EVENT)
        wrong = "it ends before it begins";
    /* The library copies a URI as it stands: a line break would begin a property of its own. */
    else if (entry->url != NULL && *entry->url != '\0' && !spl_ical_uri_is_valid(entry->url))
        wrong = "its URL is not an absolute URI";
    else if (entry->related_uid != NULL && !spl_ical_uid_is_valid(entry->related_uid))
        wrong = "the entry it belongs to has no valid UID";
    else if (!isnan(entry->lat) && !(fabs(entry->lat) <= 90 && fabs(entry->lon) <= 180))
        wrong = "its place is not on the globe";
    if (wrong == NULL)
        return TRUE;
    {
        g_autofree char *title = spl_text_scrub(what, FALSE);

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "the calendar entry '%s' cannot be written: %s", title, wrong);
    }
    return FALSE;
}

/* The book's text and what the person added to it. */
static void put_description(GString *text, const struct spl_entry *entry,
                            struct spl_entry_mark *mark)
{
    g_autofree char *copy = NULL, *note_copy = NULL, *both = NULL;
    const char *own = clean_text(entry->description, TRUE, &copy);
    const char *note = clean_text(entry->note, TRUE, &note_copy);

    mark->own = spl_text_mark(own, &mark->own_length);
    mark->note = spl_text_mark(note, NULL);
    if (note != NULL)
        own = both = g_strconcat(own != NULL ? own : "", own != NULL ? "\n\n" : "",
                                 SPL_ENTRY_NOTE_LINE "\n", note, NULL);
    if (own != NULL)
        spl_ical_line_text(text, "DESCRIPTION", own);
}

/* Several of theirs are a list: its commas stay, what would break one of them does not. */
static void put_categories(GString *text, const struct spl_entry *entry,
                           struct spl_entry_mark *mark)
{
    g_autofree char *copy = NULL;
    const char *category = entry->category;

    if (entry->categories != NULL) {
        copy = spl_text_scrub(entry->categories, FALSE);
        category = g_strstrip(g_strdelimit(copy, ";\\", ' '));
    } else {
        category = plain_line(entry->category, &copy);
    }
    mark->category = spl_text_mark(category, NULL);
    if (category != NULL && *category != '\0')
        spl_ical_line_raw(text, "CATEGORIES", category);
}

static void put_mark(GString *text, const struct spl_entry *entry, struct spl_entry_mark *mark,
                     const gint64 *minutes, int n)
{
    char list[24 * SPL_ENTRY_ALARMS_MAX] = "", line[SPL_ENTRY_MARK_SIZE], *at = list;

    for (int i = 0; i < n; i++)
        at += g_snprintf(at, 24, "%s%" G_GINT64_FORMAT, i > 0 ? "," : "", minutes[i]);
    mark->alarms = spl_text_mark(list, NULL);
    mark->start_min = entry->start_min;
    mark->end_min = entry->kind == SPL_ENTRY_TASK ? entry->due_min : entry->end_min;
    if (mark->start_min >= 0 && mark->end_min < 0)
        mark->end_min = entry->kind == SPL_ENTRY_TASK
                            ? 24 * 60 - 1
                            : (mark->start_min + TIMED_MINUTES) % (24 * 60);
    spl_entry_mark_format(mark, line);
    spl_ical_line_raw(text, SPL_ENTRY_MARK_NAME, line);
}

static void put_component(GString *text, const struct spl_entry *entry)
{
    gboolean task = entry->kind == SPL_ENTRY_TASK;
    const char *component = task ? "VTODO" : "VEVENT";
    g_autofree char *copy = NULL;
    const char *summary = short_summary(entry, &copy);
    struct spl_entry_mark mark;
    gint64 minutes[SPL_ENTRY_ALARMS_MAX];
    int n_alarms = alarms_of(entry, minutes);
    char number[16];

    spl_ical_line_raw(text, "BEGIN", component);
    spl_ical_line_raw(text, "UID", entry->uid);
    spl_ical_line_moment(text, "DTSTAMP", entry->changed_at);
    spl_ical_line_moment(text, "LAST-MODIFIED", entry->changed_at);
    g_snprintf(number, sizeof number, "%d", MAX(entry->sequence, 0));
    spl_ical_line_raw(text, "SEQUENCE", number);
    if (summary != NULL)
        spl_ical_line_text(text, "SUMMARY", summary);
    put_times(text, entry);
    mark.title = spl_text_mark(summary, NULL);
    put_description(text, entry, &mark);
    put_text_property(text, "LOCATION", entry->location, FALSE);
    put_categories(text, entry, &mark);
    if (entry->status != SPL_ENTRY_NO_STATUS)
        spl_ical_line_raw(text, "STATUS", statuses[entry->status]);
    if (task && entry->status == SPL_ENTRY_COMPLETED) {
        spl_ical_line_raw(text, "PERCENT-COMPLETE", "100");
        spl_ical_line_moment(text, "COMPLETED",
                             spl_day_is_set(entry->completed)
                                 ? (gint64)entry->completed.n * 86400 +
                                       60 * (gint64)MAX(entry->completed_min, 0)
                                 : entry->changed_at);
    }
    if (!task)
        spl_ical_line_raw(text, "TRANSP", entry->opaque ? "OPAQUE" : "TRANSPARENT");
    if (!isnan(entry->lat) && !isnan(entry->lon))
        put_place(text, entry);
    if (entry->url != NULL && *entry->url != '\0')
        spl_ical_line_raw(text, "URL", entry->url);
    if (entry->related_uid != NULL)
        spl_ical_line_raw(text, "RELATED-TO", entry->related_uid);
    if (entry->color != NULL)
        spl_ical_line_raw(text, "COLOR", entry->color);
    for (guint i = 0; entry->x != NULL && i < entry->x->len; i++) {
        const struct spl_entry_x *own = &g_array_index(entry->x, struct spl_entry_x, i);

        put_plain_property(text, own->name, own->value);
    }
    put_mark(text, entry, &mark, minutes, n_alarms);
    for (int i = 0; i < n_alarms; i++)
        put_alarm(text, entry, summary != NULL ? summary : "Reminder", minutes[i]);
    spl_ical_line_raw(text, "END", component);
}

static gboolean put_head(struct spl_ical_writer *writer, GError **error)
{
    GString *text = writer->text;

    g_string_assign(text, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:" PRODID "\r\n");
    if (writer->name != NULL) {
        spl_ical_line_text(text, "NAME", writer->name);
        spl_ical_line_raw(text, "X-WR-CALNAME", writer->name);
    }
    if (writer->refresh_days > 0) {
        g_autofree char *every = g_strdup_printf("P%dD", writer->refresh_days);

        spl_ical_line_raw(text, "REFRESH-INTERVAL;VALUE=DURATION", every);
        spl_ical_line_raw(text, "X-PUBLISHED-TTL", every);
    }
    for (guint i = 0; writer->x != NULL && i < writer->x->len; i++) {
        const struct spl_entry_x *own = &g_array_index(writer->x, struct spl_entry_x, i);

        put_plain_property(text, own->name, own->value);
    }
    if (writer->zone != NULL) {
        g_autofree char *component =
            spl_zone_component(writer->zone, writer->year_first, writer->year_last, error);

        if (component == NULL)
            return FALSE;
        g_string_append(text, component);
    }
    return put(writer, text->str, text->len, error);
}

static struct spl_ical_writer *writer_new(const struct spl_ical_options *options, GError **error)
{
    struct spl_ical_writer *writer;
    g_autofree char *copy = NULL;

    if (options->zone != NULL && !spl_zone_is_known(options->zone)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "zone '%s' is not known here: write it as Europe/London", options->zone);
        return NULL;
    }
    writer = g_new0(struct spl_ical_writer, 1);
    writer->name = g_strdup(plain_line(options->name, &copy));
    writer->text = g_string_sized_new(2048);
    if (options->zone != NULL && strcmp(options->zone, "UTC") != 0)
        writer->zone = g_strdup(options->zone);
    writer->year_first = options->year_first;
    writer->year_last = options->year_last;
    writer->refresh_days = options->refresh_days;
    if (options->x != NULL)
        writer->x = g_array_ref(options->x);
    return writer;
}

struct spl_ical_writer *spl_ical_writer_open(const char *path,
                                             const struct spl_ical_options *options, GError **error)
{
    g_autoptr(spl_ical_writer) writer = writer_new(options, error);

    if (writer == NULL)
        return NULL;
    writer->file = spl_file_writer_open(path, error);
    if (writer->file == NULL)
        return NULL;
    if (options->with_places)
        spl_file_writer_keep_private(writer->file);
    return g_steal_pointer(&writer);
}

struct spl_ical_writer *
spl_ical_writer_open_stream(FILE *stream, const struct spl_ical_options *options, GError **error)
{
    struct spl_ical_writer *writer = writer_new(options, error);

    if (writer != NULL)
        writer->stream = stream;
    return writer;
}

gboolean spl_ical_writer_add(struct spl_ical_writer *writer, const struct spl_entry *entry,
                             GError **error)
{
    if (!entry_is_writable(writer, entry, error))
        return FALSE;
    if (!writer->begun && !put_head(writer, error))
        return FALSE;
    writer->begun = TRUE;
    g_string_truncate(writer->text, 0);
    put_component(writer->text, entry);
    if (!put(writer, writer->text->str, writer->text->len, error))
        return FALSE;
    writer->count++;
    return TRUE;
}

int spl_ical_writer_count(const struct spl_ical_writer *writer)
{
    return writer->count;
}

static gboolean end(struct spl_ical_writer *writer, GError **error)
{
    if (writer->count == 0) {
        g_set_error_literal(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                            "there is nothing to write: no entry falls into this calendar, and an "
                            "empty one is not allowed (RFC 5545 3.6)");
        return FALSE;
    }
    if (!writer->ended && !put(writer, END, strlen(END), error))
        return FALSE;
    writer->ended = TRUE;
    return TRUE;
}

gboolean spl_ical_writer_changes(struct spl_ical_writer *writer, gboolean *changes, GError **error)
{
    return end(writer, error) && spl_file_writer_changes(writer->file, changes, error);
}

gboolean spl_ical_writer_commit(struct spl_ical_writer *writer, GError **error)
{
    if (!end(writer, error))
        return FALSE;
    if (writer->file != NULL)
        return spl_file_writer_commit(writer->file, error);
    if (fflush(writer->stream) == 0)
        return TRUE;
    g_set_error_literal(
        error, SPL_ERROR, SPL_ERROR_IO,
        "the calendar could not be written to the output: it was closed or is full");
    return FALSE;
}

char *spl_ical_writer_checksum(const struct spl_ical_writer *writer)
{
    return writer->file != NULL ? spl_file_writer_checksum(writer->file) : NULL;
}

void spl_ical_writer_free(struct spl_ical_writer *writer)
{
    if (writer == NULL)
        return;
    spl_file_writer_free(writer->file);
    g_free(writer->name);
    g_free(writer->zone);
    g_string_free(writer->text, TRUE);
    if (writer->x != NULL)
        g_array_unref(writer->x);
    g_free(writer);
}

gboolean spl_ical_write_one(const char *path, const struct spl_ical_options *options,
                            const struct spl_entry *entry, GError **error)
{
    g_autoptr(spl_ical_writer) writer = spl_ical_writer_open(path, options, error);

    return writer != NULL && spl_ical_writer_add(writer, entry, error) &&
           spl_ical_writer_commit(writer, error);
}

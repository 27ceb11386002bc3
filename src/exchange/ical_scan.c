/* SPDX-License-Identifier: MIT
 *
 * The guard before libical. See ical_scan.h; the limits answer the measured weaknesses of libical
 * 3.0: quadratic in line length, parameters and nesting, memory by parameters times values.
 */
#include "exchange/ical_scan.h"

#include <string.h>

#include "base/text.h"
#include "exchange/ical_clock.h"
#include "exchange/ical_source.h"
#include "exchange/ical_value.h"
#include "exchange/ical_zone.h"
#include "simpling/error.h"

#define PROPERTY_BYTES 4000 /* of a calendar's own property that is kept */
#define PROPERTIES_MAX 100
#define LEFT_OUT_MAX 100
#define ZONES_MAX 1000
#define TZID_BYTES 200
#define OBSERVANCE_LINES_MAX 200
#define ALARM_BYTES 200   /* of a TRIGGER line; longer ones say nothing that is read */
#define ALARMS_BYTES 2000 /* of all that are kept of one entry */
#define OPEN_IN_A_ROW 2   /* times the nesting limit: BEGINs without an END between them */

const struct spl_ical_limits spl_ical_limits = {
    .file_bytes = (gsize)256 << 20,
    .line_bytes = (gsize)64 << 10,
    .nesting = 4,
    .parameters = 50,
    .components = 500000,
    .component_bytes = (gsize)1 << 20,
    .component_lines = 10000,
};

static const struct spl_field left_fields[] = {
    SPL_FIELD(spl_ical_left, line, SPL_INT, "line", "line"),
    SPL_FIELD(spl_ical_left, what, SPL_TEXT, "what", "left out"),
    SPL_FIELD(spl_ical_left, why, SPL_TEXT, "why", "why"),
};
const struct spl_shape spl_ical_left_shape = SPL_SHAPE("left_out", spl_ical_left, left_fields);

/* The properties that some reader of ours uses; all others never reach libical. */
static const char *const known_properties[] = {
    "BEGIN",      "END",        "UID",    "SUMMARY",  "DESCRIPTION",   "LOCATION",
    "CATEGORIES", "DTSTART",    "DTEND",  "DURATION", "DUE",           "COMPLETED",
    "STATUS",     "TRANSP",     "GEO",    "SEQUENCE", "DTSTAMP",       "LAST-MODIFIED",
    "RRULE",      "RDATE",      "EXDATE", "CLASS",    "RECURRENCE-ID", "PERCENT-COMPLETE",
    "URL",        "RELATED-TO", "TZID"};

enum depth { OUTSIDE, IN_CALENDAR, IN_SLICE };

struct spl_ical_scan {
    struct spl_ical_limits limits;
    spl_ical_source *source;
    const GString *line; /* the source's */
    int line_at;

    enum depth depth;
    gboolean bare;      /* the slice stands outside any VCALENDAR */
    int inner;          /* components open inside the slice */
    int begins;         /* BEGINs since the last END */
    int skipping;       /* > 0: inside a component within the slice that is not handed out */
    gboolean slice_bad; /* over a limit: read on to its END, then leave it out */
    int slice_lines;
    gboolean slice_known; /* a kind whose lines are kept */
    GString *slice;
    GString *own; /* of the slice: "NAME:value" lines */
    char *kind;
    int slice_at;
    int components;
    gboolean seen, truncated, finished;

    GHashTable *properties; /* upper-case name -> unescaped value */
    GHashTable *zones;      /* TZID -> IANA name or "" */
    char *zone_tzid, *zone_location;
    GHashTable *clocks;    /* TZID -> spl_ical_clock: what the file's VTIMEZONEs say */
    spl_ical_clock *clock; /* of the VTIMEZONE being read */
    gboolean observing;    /* inside its STANDARD or DAYLIGHT: */
    struct spl_ical_observance observance;
    GString *alarms;  /* TRIGGER lines of the slice */
    gboolean alarmed; /* inside one of its alarms: */
    GString *trigger; /* its TRIGGER; empty: none yet */
    gboolean alarm_off;
    GHashTable *known;
    GArray *left_out;
    int n_left_out;
};

static void scan_error(struct spl_ical_scan *scan, GError **error, enum spl_error_code code,
                       const char *format, ...) G_GNUC_PRINTF(4, 5);

static void scan_error(struct spl_ical_scan *scan, GError **error, enum spl_error_code code,
                       const char *format, ...)
{
    g_autofree char *message = NULL;
    va_list arguments;

    va_start(arguments, format);
    message = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    scan->finished = TRUE;
    g_set_error(error, SPL_ERROR, (int)code, "%s: %s", spl_ical_source_name(scan->source), message);
}

void spl_ical_scan_leave_out(struct spl_ical_scan *scan, int line, const char *what,
                             const char *why)
{
    scan->n_left_out++;
    if (scan->left_out->len < LEFT_OUT_MAX) {
        struct spl_ical_left left = {line, spl_text_scrub(what, FALSE), g_strdup(why)};

        g_array_append_val(scan->left_out, left);
    }
}

/* ---- one content line ----------------------------------------------------------------------- */

struct content {
    gsize name_size;
    const char *value;
    gsize value_size;
    int parameters;
};

/* The end of one parameter's value or of a name: the next ';' or ':' outside quotes. */
static const char *next_mark(const char *from, const char *end)
{
    gboolean quoted = FALSE;

    for (; from < end; from++) {
        if (*from == '"')
            quoted = !quoted;
        else if (!quoted && (*from == ';' || *from == ':'))
            break;
    }
    return from;
}

/* Splits the line; FALSE when it is none ("name:value" is missing). */
static gboolean split(const GString *line, struct content *content)
{
    const char *end = line->str + line->len;
    const char *mark = line->str;

    while (mark < end && (g_ascii_isalnum(*mark) || *mark == '-'))
        mark++;
    content->name_size = (gsize)(mark - line->str);
    content->parameters = 0;
    while (mark < end && *mark == ';') {
        content->parameters++;
        mark = next_mark(mark + 1, end);
    }
    if (mark == end || *mark != ':' || content->name_size == 0)
        return FALSE;
    content->value = mark + 1;
    content->value_size = (gsize)(end - mark - 1);
    return TRUE;
}

static gboolean name_is(const GString *line, const struct content *content, const char *name)
{
    return strlen(name) == content->name_size &&
           g_ascii_strncasecmp(line->str, name, content->name_size) == 0;
}

static gboolean property_is_own(const struct spl_ical_scan *scan)
{
    return g_ascii_strncasecmp(scan->line->str, "X-SIMPLING-", strlen("X-SIMPLING-")) == 0;
}

static gboolean property_is_known(struct spl_ical_scan *scan, const struct content *content)
{
    char name[40];

    if (content->name_size >= sizeof name)
        return FALSE;
    for (gsize i = 0; i < content->name_size; i++)
        name[i] = g_ascii_toupper(scan->line->str[i]);
    name[content->name_size] = '\0';
    return g_hash_table_contains(scan->known, name);
}

static void keep_own_line(struct spl_ical_scan *scan, const struct content *content)
{
    g_string_append_printf(scan->own, "%.*s:%s\n", (int)content->name_size, scan->line->str,
                           content->value);
}

/* Copies the line into the slice with only those parameters that a reader uses. */
static void keep_line(struct spl_ical_scan *scan, const struct content *content)
{
    const char *mark = scan->line->str + content->name_size;
    const char *end = content->value - 1;

    g_string_append_len(scan->slice, scan->line->str, (gssize)content->name_size);
    while (mark < end && *mark == ';') {
        const char *next = next_mark(mark + 1, end);

        if (next - mark < TZID_BYTES && (g_ascii_strncasecmp(mark, ";TZID=", 6) == 0 ||
                                         g_ascii_strncasecmp(mark, ";VALUE=", 7) == 0 ||
                                         g_ascii_strncasecmp(mark, ";RELTYPE=", 9) == 0 ||
                                         g_ascii_strncasecmp(mark, ";RANGE=", 7) == 0))
            g_string_append_len(scan->slice, mark, next - mark);
        mark = next;
    }
    g_string_append_c(scan->slice, ':');
    g_string_append_len(scan->slice, content->value, (gssize)content->value_size);
    g_string_append(scan->slice, "\r\n");
}

/* A line of an alarm. */
static void keep_alarm_line(struct spl_ical_scan *scan, const struct content *content)
{
    if (name_is(scan->line, content, "TRIGGER") && scan->trigger->len == 0 &&
        scan->line->len < ALARM_BYTES)
        g_string_append_len(scan->trigger, scan->line->str, (gssize)scan->line->len);
    else if (name_is(scan->line, content, "RELATED-TO") ||
             (name_is(scan->line, content, "ACTION") && content->value_size == 4 &&
              g_ascii_strncasecmp(content->value, "NONE", 4) == 0))
        scan->alarm_off = TRUE;
}

static void keep_alarm(struct spl_ical_scan *scan)
{
    if (!scan->alarm_off && scan->trigger->len > 0 && scan->alarms->len < ALARMS_BYTES) {
        g_string_append_len(scan->alarms, scan->trigger->str, (gssize)scan->trigger->len);
        g_string_append_c(scan->alarms, '\n');
    }
    scan->alarmed = FALSE;
}

/* ---- components ------------------------------------------------------------------------------ */

static void leave_slice_out(struct spl_ical_scan *scan, const char *why)
{
    spl_ical_scan_leave_out(scan, scan->slice_at, scan->kind, why);
}

static void keep_zone(struct spl_ical_scan *scan)
{
    if (scan->zone_tzid != NULL && g_hash_table_size(scan->zones) < ZONES_MAX &&
        scan->zone_location != NULL && spl_zone_is_known(scan->zone_location))
        g_hash_table_insert(scan->zones, g_strdup(scan->zone_tzid), g_strdup(scan->zone_location));
    if (scan->zone_tzid != NULL && scan->clock != NULL && spl_ical_clock_is_usable(scan->clock) &&
        g_hash_table_size(scan->clocks) < ZONES_MAX)
        g_hash_table_insert(scan->clocks, g_strdup(scan->zone_tzid), g_steal_pointer(&scan->clock));
    g_clear_pointer(&scan->clock, spl_ical_clock_free);
    g_clear_pointer(&scan->zone_tzid, g_free);
    g_clear_pointer(&scan->zone_location, g_free);
}

static void keep_zone_line(struct spl_ical_scan *scan, const struct content *content)
{
    char **target = NULL;

    if (name_is(scan->line, content, "TZID"))
        target = &scan->zone_tzid;
    else if (name_is(scan->line, content, "X-LIC-LOCATION"))
        target = &scan->zone_location;
    if (target == NULL || content->value_size >= TZID_BYTES)
        return;
    g_free(*target);
    *target = g_strndup(content->value, content->value_size);
}

/* A line of STANDARD or DAYLIGHT. */
static void keep_observance_line(struct spl_ical_scan *scan, const struct content *content)
{
    struct spl_ical_observance *observance = &scan->observance;
    gboolean more = name_is(scan->line, content, "RDATE");
    char **target = name_is(scan->line, content, "DTSTART")        ? &observance->start
                    : name_is(scan->line, content, "TZOFFSETFROM") ? &observance->from
                    : name_is(scan->line, content, "TZOFFSETTO")   ? &observance->to
                    : name_is(scan->line, content, "RRULE")        ? &observance->rule
                                                                   : NULL;

    if (content->value_size > PROPERTY_BYTES)
        return;
    if (target != NULL && *target == NULL) {
        *target = g_strstrip(g_strndup(content->value, content->value_size));
    } else if (more) {
        if (observance->more == NULL)
            observance->more = g_ptr_array_new_with_free_func(g_free);
        if (observance->more->len < OBSERVANCE_LINES_MAX)
            g_ptr_array_add(observance->more, g_strndup(content->value, content->value_size));
    }
}

static gboolean begin(struct spl_ical_scan *scan, const struct content *content, GError **error)
{
    g_autofree char *name = g_ascii_strup(content->value, (gssize)content->value_size);
    gboolean entry;

    g_strstrip(name);
    if (++scan->begins > scan->limits.nesting * OPEN_IN_A_ROW ||
        (scan->depth == IN_SLICE && scan->inner + 3 > scan->limits.nesting)) {
        scan_error(scan, error, SPL_ERROR_LIMIT,
                   "line %d: components stand more than %d deep in each other, which no calendar "
                   "needs; the file is refused",
                   scan->line_at, scan->limits.nesting);
        return FALSE;
    }
    entry =
        strcmp(name, "VEVENT") == 0 || strcmp(name, "VTODO") == 0 || strcmp(name, "VJOURNAL") == 0;
    if (strcmp(name, "VCALENDAR") == 0) {
        if (scan->depth == IN_SLICE)
            leave_slice_out(scan, "it is not closed before the next calendar begins");
        scan->depth = IN_CALENDAR;
        scan->seen = TRUE;
        return TRUE;
    }
    if (scan->depth == IN_SLICE && !entry) {
        scan->inner++;
        if (scan->skipping == 0)
            scan->skipping = scan->inner;
        scan->observing = scan->clock != NULL && scan->inner == 1;
        scan->alarmed = scan->inner == 1 && strcmp(name, "VALARM") == 0;
        scan->alarm_off = FALSE;
        g_string_truncate(scan->trigger, 0);
        return TRUE;
    }
    if (scan->depth == IN_SLICE)
        leave_slice_out(scan, "it is not closed before the next one begins");
    else if (scan->depth == OUTSIDE && name[0] != 'V' && !entry)
        return TRUE; /* junk before the calendar */
    if (++scan->components > scan->limits.components) {
        scan_error(scan, error, SPL_ERROR_LIMIT,
                   "has more than %d entries; give a part of it, such as one year",
                   scan->limits.components);
        return FALSE;
    }
    if (scan->depth != IN_SLICE)
        scan->bare = scan->depth == OUTSIDE;
    scan->depth = IN_SLICE;
    scan->seen = scan->seen || entry;
    scan->inner = 0;
    scan->skipping = 0;
    scan->slice_bad = FALSE;
    scan->slice_lines = 0;
    scan->slice_at = scan->line_at;
    g_free(scan->kind);
    scan->kind = g_steal_pointer(&name);
    scan->slice_known = entry;
    scan->observing = scan->alarmed = FALSE;
    g_string_truncate(scan->alarms, 0);
    g_string_truncate(scan->own, 0);
    g_clear_pointer(&scan->clock, spl_ical_clock_free);
    if (strcmp(scan->kind, "VTIMEZONE") == 0)
        scan->clock = spl_ical_clock_new();
    g_string_printf(scan->slice, "BEGIN:%s\r\n", scan->kind);
    return TRUE;
}

/* TRUE when the slice is whole now. */
static gboolean end(struct spl_ical_scan *scan, const struct content *content)
{
    g_autofree char *name = g_ascii_strup(content->value, (gssize)content->value_size);

    g_strstrip(name);
    scan->begins = 0;
    if (strcmp(name, "VCALENDAR") == 0) {
        if (scan->depth == IN_SLICE)
            leave_slice_out(scan, "it is not closed before the calendar ends");
        scan->depth = OUTSIDE;
        return FALSE;
    }
    if (scan->depth != IN_SLICE)
        return FALSE;
    if (scan->inner > 0 && strcmp(name, scan->kind) != 0) {
        if (scan->skipping == scan->inner)
            scan->skipping = 0;
        if (scan->observing && scan->inner == 1) {
            spl_ical_clock_add(scan->clock, &scan->observance);
            scan->observing = FALSE;
        }
        if (scan->alarmed && scan->inner == 1)
            keep_alarm(scan);
        scan->inner--;
        return FALSE;
    }
    scan->depth = scan->bare ? OUTSIDE : IN_CALENDAR;
    if (strcmp(name, scan->kind) != 0) {
        leave_slice_out(scan, "its END names another component");
        return FALSE;
    }
    if (strcmp(name, "VTIMEZONE") == 0)
        keep_zone(scan);
    if (scan->slice_bad) {
        leave_slice_out(scan, "it is larger than any entry needs to be");
        return FALSE;
    }
    g_string_append_printf(scan->slice, "END:%s\r\n", scan->kind);
    return TRUE;
}

static void keep_property(struct spl_ical_scan *scan, const struct content *content)
{
    char *name;

    if (content->value_size > PROPERTY_BYTES ||
        g_hash_table_size(scan->properties) >= PROPERTIES_MAX)
        return;
    name = g_ascii_strup(scan->line->str, (gssize)content->name_size);
    if (g_hash_table_contains(scan->properties, name))
        g_free(name);
    else
        g_hash_table_insert(scan->properties, name,
                            spl_ical_unescape(content->value, content->value_size));
}

static gboolean over_long(struct spl_ical_scan *scan, GError **error)
{
    g_autofree char *name = NULL;
    gsize size = strcspn(scan->line->str, ";:");

    name = g_ascii_strup(scan->line->str, (gssize)MIN(size, 40));
    if (g_str_has_prefix(name, "ATTACH") || g_str_has_prefix(name, "IMAGE") ||
        g_str_has_prefix(name, "X-") || g_str_has_prefix(name, "STYLED-DESCRIPTION")) {
        spl_ical_scan_leave_out(scan, scan->line_at, name, "the line is too long");
        return TRUE;
    }
    scan_error(scan, error, SPL_ERROR_LIMIT,
               "line %d is longer than %" G_GSIZE_FORMAT
               " kB, which no calendar needs; the file is refused",
               scan->line_at, scan->limits.line_bytes >> 10);
    return FALSE;
}

/* One line of a slice or calendar. `whole` is set when a slice has become whole. */
static gboolean take_line(struct spl_ical_scan *scan, gboolean *whole, GError **error)
{
    struct content content;

    if (spl_ical_source_line_size(scan->source) > scan->limits.line_bytes)
        return over_long(scan, error);
    if (!split(scan->line, &content)) {
        if (scan->depth == IN_SLICE && scan->line->len > 0 && scan->slice_known &&
            scan->skipping == 0)
            spl_ical_scan_leave_out(scan, scan->line_at, "a line", "it is no \"name:value\"");
        return TRUE;
    }
    if (content.parameters > scan->limits.parameters) {
        scan_error(scan, error, SPL_ERROR_LIMIT,
                   "line %d has more than %d parameters, which no calendar needs; the file is "
                   "refused",
                   scan->line_at, scan->limits.parameters);
        return FALSE;
    }
    if (name_is(scan->line, &content, "BEGIN"))
        return begin(scan, &content, error);
    if (name_is(scan->line, &content, "END")) {
        *whole = end(scan, &content);
        return TRUE;
    }
    if (scan->depth == IN_SLICE && scan->observing && scan->inner == 1) {
        keep_observance_line(scan, &content);
    } else if (scan->depth == IN_SLICE && scan->alarmed && scan->inner == 1) {
        keep_alarm_line(scan, &content);
    } else if (scan->depth == IN_CALENDAR) {
        keep_property(scan, &content);
    } else if (scan->depth == IN_SLICE && scan->skipping == 0 && !scan->slice_bad) {
        if (strcmp(scan->kind, "VTIMEZONE") == 0) {
            keep_zone_line(scan, &content);
        } else if (scan->slice_known) {
            gboolean own = property_is_own(scan);

            if (!own && !property_is_known(scan, &content))
                return TRUE;
            if (++scan->slice_lines > scan->limits.component_lines ||
                scan->slice->len + scan->own->len + scan->line->len > scan->limits.component_bytes)
                scan->slice_bad = TRUE;
            else if (own)
                keep_own_line(scan, &content);
            else
                keep_line(scan, &content);
        }
    }
    return TRUE;
}

gboolean spl_ical_scan_next(struct spl_ical_scan *scan, struct spl_ical_slice *slice,
                            GError **error)
{
    g_autoptr(GError) failure = NULL;
    gboolean whole = FALSE;

    if (scan->finished)
        return FALSE;
    while (!whole && spl_ical_source_next(scan->source, &failure)) {
        scan->line_at = spl_ical_source_line_at(scan->source);
        if (!take_line(scan, &whole, &failure))
            break;
    }
    if (failure != NULL) {
        scan->finished = TRUE;
        g_propagate_error(error, g_steal_pointer(&failure));
        return FALSE;
    }
    if (whole) {
        *slice = (struct spl_ical_slice){scan->kind,     scan->slice->str, scan->slice->len,
                                         scan->slice_at, scan->own->str,   scan->alarms->str};
        return TRUE;
    }
    scan->finished = TRUE;
    if (!scan->seen) {
        scan_error(scan, error, SPL_ERROR_CORRUPT,
                   "is not an iCalendar file: there is no BEGIN:VCALENDAR in it; export the "
                   "calendar as .ics");
        return FALSE;
    }
    scan->truncated = scan->depth != OUTSIDE;
    if (scan->depth == IN_SLICE)
        leave_slice_out(scan, "the file ends in the middle of it");
    return FALSE;
}

/* ---- the rest -------------------------------------------------------------------------------- */

const char *spl_ical_scan_property(const struct spl_ical_scan *scan, const char *name)
{
    g_autofree char *upper = g_ascii_strup(name, -1);

    return g_hash_table_lookup(scan->properties, upper);
}

const char *spl_ical_scan_zone(struct spl_ical_scan *scan, const char *tzid)
{
    const char *found = g_hash_table_lookup(scan->zones, tzid);

    if (found == NULL) {
        g_autofree char *bare = g_strdup(tzid), *spelt = NULL;
        const char *name = g_strstrip(bare);

        /* "/example.org/20050126_1/Europe/Berlin": the longest end that is a name. */
        while (name != NULL && !spl_zone_is_known(name)) {
            name = strchr(name, '/');
            if (name != NULL)
                name++;
        }
        if (name == NULL) { /* "europe/berlin", "tzone://Microsoft/Utc" */
            name = bare;
            while (name != NULL && (spelt = spl_zone_spelling(name)) == NULL) {
                name = strchr(name, '/');
                if (name != NULL)
                    name++;
            }
            name = spelt;
        }
        if (g_hash_table_size(scan->zones) >= ZONES_MAX)
            return NULL;
        g_hash_table_insert(scan->zones, g_strdup(tzid), g_strdup(name != NULL ? name : ""));
        found = g_hash_table_lookup(scan->zones, tzid);
    }
    return *found != '\0' ? found : NULL;
}

const spl_ical_clock *spl_ical_scan_clock(const struct spl_ical_scan *scan, const char *tzid)
{
    return g_hash_table_lookup(scan->clocks, tzid);
}

gboolean spl_ical_scan_truncated(const struct spl_ical_scan *scan)
{
    return scan->truncated;
}

GArray *spl_ical_scan_left_out(struct spl_ical_scan *scan)
{
    return scan->left_out;
}

int spl_ical_scan_n_left_out(const struct spl_ical_scan *scan)
{
    return scan->n_left_out;
}

static struct spl_ical_scan *scan_new(const struct spl_ical_limits *limits, spl_ical_source *source)
{
    struct spl_ical_scan *scan;

    if (source == NULL)
        return NULL;
    scan = g_new0(struct spl_ical_scan, 1);
    scan->limits = *limits;
    scan->source = source;
    scan->line = spl_ical_source_line(source);
    scan->slice = g_string_sized_new(4096);
    scan->alarms = g_string_new(NULL);
    scan->own = g_string_new(NULL);
    scan->trigger = g_string_new(NULL);
    scan->properties = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    scan->zones = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    scan->clocks =
        g_hash_table_new_full(g_str_hash, g_str_equal, g_free, (GDestroyNotify)spl_ical_clock_free);
    scan->known = g_hash_table_new(g_str_hash, g_str_equal);
    for (gsize i = 0; i < G_N_ELEMENTS(known_properties); i++)
        g_hash_table_add(scan->known, (gpointer)known_properties[i]);
    scan->left_out = spl_list_new(&spl_ical_left_shape);
    return scan;
}

void spl_ical_scan_only(struct spl_ical_scan *scan, const char *const *names)
{
    g_hash_table_remove_all(scan->known);
    for (; *names != NULL; names++)
        g_hash_table_add(scan->known, (gpointer)*names);
}

struct spl_ical_scan *spl_ical_scan_open(const char *path, const struct spl_ical_limits *limits,
                                         GError **error)
{
    if (limits == NULL)
        limits = &spl_ical_limits;
    return scan_new(limits,
                    spl_ical_source_open(path, limits->file_bytes, limits->line_bytes, error));
}

struct spl_ical_scan *spl_ical_scan_open_bytes(const char *bytes, gsize size,
                                               const struct spl_ical_limits *limits, GError **error)
{
    if (limits == NULL)
        limits = &spl_ical_limits;
    return scan_new(limits, spl_ical_source_open_bytes(bytes, size, limits->file_bytes,
                                                       limits->line_bytes, error));
}

void spl_ical_scan_free(struct spl_ical_scan *scan)
{
    if (scan == NULL)
        return;
    spl_ical_source_free(scan->source);
    g_free(scan->kind);
    g_free(scan->zone_tzid);
    g_free(scan->zone_location);
    g_string_free(scan->slice, TRUE);
    g_string_free(scan->alarms, TRUE);
    g_string_free(scan->own, TRUE);
    g_string_free(scan->trigger, TRUE);
    g_hash_table_unref(scan->properties);
    g_hash_table_unref(scan->zones);
    g_hash_table_unref(scan->clocks);
    spl_ical_clock_free(scan->clock);
    spl_ical_observance_clear(&scan->observance);
    g_hash_table_unref(scan->known);
    spl_list_free(&spl_ical_left_shape, scan->left_out);
    g_free(scan);
}

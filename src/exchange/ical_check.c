/* SPDX-License-Identifier: MIT
 *
 * The checker: octets, lines and the nesting of components; ical_rules.c knows what must stand in
 * each. See ical_check.h.
 */
#include "exchange/ical_check.h"

#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "exchange/ical_rules.h"
#include "simpling/error.h"

#define FILE_BYTES ((gsize)256 << 20)
#define LINE_OCTETS 75
#define NESTING 8

static const struct spl_field finding_fields[] = {
    SPL_FIELD(spl_ical_finding, line, SPL_INT, "line", "line"),
    SPL_FIELD(spl_ical_finding, grade, SPL_TEXT, "grade", "grade"),
    SPL_FIELD(spl_ical_finding, rule, SPL_TEXT, "rule", "rule"),
    SPL_FIELD(spl_ical_finding, message, SPL_TEXT, "message", "what is wrong"),
    SPL_FIELD(spl_ical_finding, section, SPL_TEXT, "section", "written in"),
};
const struct spl_shape spl_ical_finding_shape =
    SPL_SHAPE("finding", spl_ical_finding, finding_fields);

static const struct spl_field checked_fields[] = {
    SPL_FIELD(spl_ical_checked, file, SPL_TEXT, "file", "file"),
    SPL_FIELD(spl_ical_checked, ok, SPL_BOOL, "ok", "in order"),
    SPL_FIELD(spl_ical_checked, events, SPL_INT, "events", "events"),
    SPL_FIELD(spl_ical_checked, todos, SPL_INT, "todos", "tasks"),
    SPL_FIELD(spl_ical_checked, alarms, SPL_INT, "alarms", "alarms"),
    SPL_FIELD(spl_ical_checked, errors, SPL_INT, "errors", "errors"),
    SPL_FIELD(spl_ical_checked, remarks, SPL_INT, "remarks", "remarks"),
    SPL_FIELD(spl_ical_checked, more, SPL_BOOL, "more", NULL),
    SPL_FIELD_LIST(spl_ical_checked, findings, &spl_ical_finding_shape, "findings", "findings"),
};
const struct spl_shape spl_ical_checked_shape =
    SPL_SHAPE("checked", spl_ical_checked, checked_fields);

/* A component that is open. */
struct open {
    char *kind;
    int line;
    guint first_line; /* of its own in `lines` */
    int children;
    gboolean had_alarm;
};

struct check {
    struct spl_ical_checked *out;
    struct spl_ical_sink sink;
    GArray *lines;       /* of struct spl_ical_line: of all open components, outermost first */
    GStringChunk *texts; /* what the calendar's own point to */
    GStringChunk *inner_texts; /* what those of an entry point to, cleared after each */
    GArray *stack;             /* of struct open */
    int calendars, entries;
    gboolean too_deep;
};

static void add_finding(gpointer data, int line, const char *rule, const char *message)
{
    struct check *check = data;
    struct spl_ical_finding finding = {.line = line, .rule = g_strdup(rule)};
    gboolean remark = FALSE;

    for (gsize i = 0; i < spl_ical_n_rules; i++)
        if (strcmp(spl_ical_rules[i].name, rule) == 0) {
            finding.section = g_strdup(spl_ical_rules[i].section);
            remark = spl_ical_rules[i].remark;
        }
    finding.grade = g_strdup(remark ? "remark" : "error");
    check->out->remarks += remark;
    check->out->errors += !remark;
    if (check->out->findings->len >= SPL_ICAL_FINDINGS_MAX) {
        check->out->more = TRUE;
        spl_record_clear(&spl_ical_finding_shape, &finding);
        return;
    }
    finding.message = spl_text_scrub(message, FALSE);
    if (strlen(finding.message) > 300) { /* a value may be as long as it likes, a message not */
        g_autofree char *whole = finding.message;

        finding.message = g_utf8_substring(whole, 0, MIN(200, g_utf8_strlen(whole, -1)));
    }
    g_array_append_val(check->out->findings, finding);
}

static struct open *top(struct check *check)
{
    return check->stack->len > 0 ? &g_array_index(check->stack, struct open, check->stack->len - 1)
                                 : NULL;
}

static void begin_component(struct check *check, const char *kind, int line)
{
    struct open *around = top(check);
    struct open open = {g_ascii_strup(kind, -1), line, check->lines->len, 0, FALSE};

    if (around != NULL)
        around->children++;
    if (strcmp(open.kind, "VCALENDAR") == 0) {
        if (++check->calendars == 2)
            spl_ical_find(&check->sink, line, "one-calendar",
                          "a second VCALENDAR begins; many readers take only the first");
    } else if (around == NULL) {
        spl_ical_find(&check->sink, line, "begin-end", "%s stands outside a VCALENDAR", open.kind);
    } else if (check->stack->len == 1) {
        check->entries++;
    }
    if (strcmp(open.kind, "VALARM") == 0) {
        check->out->alarms++;
        if (around != NULL)
            around->had_alarm = TRUE;
    }
    check->out->events += strcmp(open.kind, "VEVENT") == 0;
    check->out->todos += strcmp(open.kind, "VTODO") == 0;
    if (check->stack->len >= NESTING) {
        if (!check->too_deep)
            spl_ical_find(&check->sink, line, "begin-end",
                          "components stand more than %d deep in each other", NESTING);
        check->too_deep = TRUE;
        g_free(open.kind);
        return;
    }
    g_array_append_val(check->stack, open);
}

static void check_calendar(struct check *check, const struct spl_ical_component *calendar)
{
    int version = 0, prodid = 0, calscale = 0, good = 0;

    for (guint i = 0; calendar->lines != NULL && i < calendar->n_lines; i++) {
        const struct spl_ical_line *line = &calendar->lines[i];

        version += strcmp(line->name, "VERSION") == 0;
        good += strcmp(line->name, "VERSION") == 0 && strcmp(line->value, "2.0") == 0;
        prodid += strcmp(line->name, "PRODID") == 0;
        calscale += strcmp(line->name, "CALSCALE") == 0;
        if (strcmp(line->name, "METHOD") == 0)
            spl_ical_find(&check->sink, line->line, "method",
                          "METHOD makes it a message with an organiser; a calendar has none");
        if ((strcmp(line->name, "REFRESH-INTERVAL") == 0 || strcmp(line->name, "SOURCE") == 0 ||
             strcmp(line->name, "IMAGE") == 0) &&
            strstr(line->parameters, "VALUE=") == NULL)
            spl_ical_find(&check->sink, line->line, "value-parameter", "%s needs a VALUE parameter",
                          line->name);
    }
    if (version != 1 || good != 1)
        spl_ical_find(&check->sink, calendar->line, "version", "VERSION:2.0 must stand once");
    if (prodid != 1)
        spl_ical_find(&check->sink, calendar->line, "prodid", "PRODID must stand once");
    if (calscale > 1)
        spl_ical_find(&check->sink, calendar->line, "once", "CALSCALE stands more than once");
    if (check->entries == 0)
        spl_ical_find(&check->sink, calendar->line, "empty-calendar",
                      "the calendar holds no component");
    check->entries = 0;
}

/* An empty array has no memory to point into. */
static const struct spl_ical_line *lines_from(const struct check *check, guint first)
{
    return first < check->lines->len ? &g_array_index(check->lines, struct spl_ical_line, first)
                                     : NULL;
}

static void close_component(struct check *check)
{
    struct open *open = top(check);
    struct spl_ical_component component = {
        .kind = open->kind,
        .line = open->line,
        .lines = lines_from(check, open->first_line),
        .n_lines = check->lines->len - open->first_line,
        .children = open->children,
    };

    if (check->stack->len > 1) {
        const struct open *around = open - 1;

        component.parent = around->kind;
        component.parent_lines = lines_from(check, around->first_line);
        component.n_parent_lines = open->first_line - around->first_line;
    }
    if (strcmp(open->kind, "VCALENDAR") == 0)
        check_calendar(check, &component);
    else
        spl_ical_rules_component(&component, &check->sink);
    g_array_set_size(check->lines, open->first_line);
    g_free(open->kind);
    g_array_set_size(check->stack, check->stack->len - 1);
}

static void end_component(struct check *check, const char *kind, int line)
{
    g_autofree char *name = g_ascii_strup(kind, -1);
    guint found = check->stack->len;

    while (found > 0 && strcmp(g_array_index(check->stack, struct open, found - 1).kind, name) != 0)
        found--;
    if (found == 0) {
        if (!check->too_deep)
            spl_ical_find(&check->sink, line, "begin-end", "END:%s has no BEGIN", name);
        return;
    }
    while (check->stack->len > found) {
        struct open *open = top(check);

        spl_ical_find(&check->sink, line, "begin-end", "%s of line %d has no END", open->kind,
                      open->line);
        g_array_set_size(check->lines, open->first_line);
        g_free(open->kind);
        g_array_set_size(check->stack, check->stack->len - 1);
    }
    close_component(check);
    if (check->stack->len <= 1)
        g_string_chunk_clear(check->inner_texts);
}

/* One unfolded line that is valid UTF-8. */
static void take_line(struct check *check, char *line, int at)
{
    struct spl_ical_line content = {.line = at};
    char *mark = line;
    gboolean quoted = FALSE;
    char *value;
    struct open *open;
    GStringChunk *texts = check->stack->len > 1 ? check->inner_texts : check->texts;

    while (g_ascii_isalnum(*mark) || *mark == '-')
        mark++;
    for (value = mark; *value != '\0' && (quoted || *value != ':'); value++)
        if (*value == '"')
            quoted = !quoted;
    if (mark == line || *value != ':' || (*mark != ':' && *mark != ';')) {
        spl_ical_find(&check->sink, at, "content-line", "the line is no \"name:value\"");
        return;
    }
    *value++ = '\0';
    if (*mark == ';')
        content.parameters = g_string_chunk_insert(texts, mark);
    else
        content.parameters = "";
    *mark = '\0';
    for (char *c = line; *c != '\0'; c++)
        *c = g_ascii_toupper(*c);
    if (strcmp(line, "BEGIN") == 0) {
        begin_component(check, value, at);
        return;
    }
    if (strcmp(line, "END") == 0) {
        end_component(check, value, at);
        return;
    }
    open = top(check);
    if (open == NULL) {
        spl_ical_find(&check->sink, at, "begin-end", "%s stands outside a VCALENDAR", line);
        return;
    }
    if (open->had_alarm) {
        spl_ical_find(&check->sink, at, "alarm-last",
                      "%s stands after an alarm; some readers refuse the file", line);
        open->had_alarm = FALSE;
    }
    content.name = g_string_chunk_insert_const(texts, line);
    content.value = g_string_chunk_insert(texts, value);
    g_array_append_val(check->lines, content);
}

/* Octet rules of one physical line. */
static void check_octets(struct check *check, const char *line, gsize size, int at)
{
    if (size > LINE_OCTETS)
        spl_ical_find(&check->sink, at, "line-length",
                      "the line has %" G_GSIZE_FORMAT " octets, more than %d", size, LINE_OCTETS);
    for (gsize i = 0; i < size; i++) {
        unsigned char octet = (unsigned char)line[i];

        if ((octet < 0x20 && octet != '\t' && octet != '\r') || octet == 0x7f) {
            spl_ical_find(&check->sink, at, "control-octet",
                          "the control octet 0x%02X is not allowed", octet);
            break;
        }
    }
}

/* TRUE when the physical line begins or ends inside a UTF-8 character. */
static gboolean is_split(const char *line, gsize size)
{
    gsize back = 0, needed;

    while (back < size && back < 4 && ((unsigned char)line[size - 1 - back] & 0xc0) == 0x80)
        back++;
    if (back == size)
        return FALSE;
    needed = (unsigned char)line[size - 1 - back];
    needed = needed >= 0xf0 ? 3 : needed >= 0xe0 ? 2 : needed >= 0xc0 ? 1 : 0;
    return needed > back;
}

static void run(struct check *check, const char *bytes, gsize size)
{
    g_autoptr(GString) line = g_string_new(NULL);
    gsize at = 0, folded = 0; /* 1: the line begins with the blank of a fold */
    int number = 0, begun = 1;

    if (size >= 3 && memcmp(bytes, "\xef\xbb\xbf", 3) == 0) {
        spl_ical_find(&check->sink, 1, "byte-order-mark",
                      "the file begins with a byte order mark, which some readers refuse");
        at = 3;
    }
    while (at < size) {
        const char *from = bytes + at;
        const char *lf = memchr(from, '\n', size - at);
        gsize whole = lf != NULL ? (gsize)(lf - from) : size - at; /* without the LF */
        gsize part = whole;
        const char *cr;

        number++;
        /* A CR that is not before this LF ends a line of its own in old files. */
        cr = memchr(from, '\r', whole);
        if (cr != NULL) {
            part = (gsize)(cr - from);
            whole = part + 1 < whole ? part : whole;
        }
        if (lf == NULL || cr == NULL || cr + 1 != lf)
            spl_ical_find(&check->sink, number, "line-end", "the line does not end with CR LF");
        check_octets(check, from, part, number);
        if (part == 0)
            spl_ical_find(&check->sink, number, "content-line", "the line is empty");
        at += MIN(whole + 1, size - at);
        g_string_append_len(line, from + folded, (gssize)(part - folded));
        folded = at < size && (bytes[at] == ' ' || bytes[at] == '\t') ? 1 : 0;
        if (folded != 0) {
            if (is_split(from, part))
                spl_ical_find(&check->sink, number, "split-character",
                              "the fold stands inside a UTF-8 character");
            continue;
        }
        if (line->len > 0) {
            if (!g_utf8_validate(line->str, (gssize)line->len, NULL)) {
                g_autofree char *clean = NULL;

                spl_ical_find(&check->sink, begun, "utf-8", "the line is not valid UTF-8");
                /* NULs were named above; what stands before them is still looked at. */
                clean = spl_text_scrub(line->str, TRUE);
                take_line(check, clean, begun);
            } else {
                take_line(check, line->str, begun);
            }
        }
        g_string_truncate(line, 0);
        begun = number + 1;
    }
}

static int compare_findings(gconstpointer a, gconstpointer b)
{
    const struct spl_ical_finding *one = a, *other = b;

    return one->line != other->line ? one->line - other->line : strcmp(one->rule, other->rule);
}

void spl_ical_check_bytes(const char *bytes, gsize size, struct spl_ical_checked *checked)
{
    struct check check = {.out = checked};
    GHashTableIter iter;
    gpointer tzid, line;

    *checked = (struct spl_ical_checked){.findings = spl_list_new(&spl_ical_finding_shape)};
    check.sink.find = add_finding;
    check.sink.data = &check;
    check.sink.uids = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    check.sink.zones_used = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    check.sink.zones = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    check.lines = g_array_new(FALSE, FALSE, sizeof(struct spl_ical_line));
    check.texts = g_string_chunk_new(4096);
    check.inner_texts = g_string_chunk_new(4096);
    check.stack = g_array_new(FALSE, FALSE, sizeof(struct open));
    run(&check, bytes, size);
    while (check.stack->len > 0) {
        struct open *open = top(&check);

        spl_ical_find(&check.sink, open->line, "begin-end", "%s has no END", open->kind);
        g_free(open->kind);
        g_array_set_size(check.stack, check.stack->len - 1);
    }
    if (check.calendars == 0)
        spl_ical_find(&check.sink, 0, "begin-end", "there is no VCALENDAR in it");
    g_hash_table_iter_init(&iter, check.sink.zones_used);
    while (g_hash_table_iter_next(&iter, &tzid, &line))
        if (!g_hash_table_contains(check.sink.zones, tzid))
            spl_ical_find(&check.sink, GPOINTER_TO_INT(line), "tzid-undefined",
                          "TZID=%s has no VTIMEZONE in the file", (const char *)tzid);
    g_array_sort(checked->findings, compare_findings);
    checked->ok = checked->errors == 0;
    g_hash_table_unref(check.sink.uids);
    g_hash_table_unref(check.sink.zones_used);
    g_hash_table_unref(check.sink.zones);
    g_array_unref(check.lines);
    g_string_chunk_free(check.texts);
    g_string_chunk_free(check.inner_texts);
    g_array_unref(check.stack);
}

gboolean spl_ical_check_file(const char *path, struct spl_ical_checked *checked, GError **error)
{
    gsize size = 0;
    g_autofree char *bytes = spl_file_read(path, FILE_BYTES, &size, error);

    if (bytes == NULL)
        return FALSE;
    spl_ical_check_bytes(bytes, size, checked);
    checked->file = g_strdup(path);
    return TRUE;
}

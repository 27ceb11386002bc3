/* SPDX-License-Identifier: MIT
 *
 * Almanacs from calendars. See almanac.h.
 */
#include "exchange/almanac.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "core/period.h"
#include "simpling/error.h"

/* Names the rows of calendars whose events have no UID (a random UUID of our own). */
#define UID_SPACE "6f0b5d0e-5a51-4b0e-9a0c-7d8b2f6f1c10"
#define ROWS_MAX 10000 /* an almanac is a page or two */

static const struct spl_field almanac_read_fields[] = {
    SPL_FIELD(spl_almanac_read, file, SPL_TEXT, "file", "file"),
    SPL_FIELD(spl_almanac_read, name, SPL_TEXT, "almanac", "almanac"),
    SPL_FIELD(spl_almanac_read, normals_source, SPL_TEXT, "normals_source", NULL),
    SPL_FIELD(spl_almanac_read, events, SPL_INT, "events", "events"),
    SPL_FIELD(spl_almanac_read, truncated, SPL_BOOL, "truncated", NULL),
    SPL_FIELD_LIST(spl_almanac_read, rows, &spl_almanac_row_shape, "rows", NULL),
    SPL_FIELD_LIST(spl_almanac_read, not_understood, &spl_ical_left_shape, "not_understood", NULL),
};
const struct spl_shape spl_almanac_read_shape =
    SPL_SHAPE("almanac_read", spl_almanac_read, almanac_read_fields);

/* Where a row's small faults go; NULL `list` drops them. */
struct notes {
    GArray *list; /* of struct spl_ical_left */
    const struct spl_entry *entry;
};

static void note(const struct notes *notes, const char *format, ...) G_GNUC_PRINTF(2, 3);

static void note(const struct notes *notes, const char *format, ...)
{
    struct spl_ical_left left = {notes->entry->line, NULL, NULL};
    va_list arguments;

    if (notes->list == NULL)
        return;
    va_start(arguments, format);
    left.why = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    left.what = g_strdup(notes->entry->summary != NULL ? notes->entry->summary
                                                       : "an event without a title");
    g_array_append_val(notes->list, left);
}

/* "nettle/leaf" and the like, for materials that the tables do not know (any more). */
static gboolean is_slug(const char *text)
{
    const char *slash = strchr(text, '/');

    if (slash == NULL || slash == text || slash[1] == '\0')
        return FALSE;
    for (const char *c = text; *c != '\0'; c++)
        if (c != slash && !g_ascii_islower(*c) && !g_ascii_isdigit(*c) && *c != '-')
            return FALSE;
    return TRUE;
}

/* A title without what people set round it: pictures, and the word for what they will do. */
static char *plain_title(const char *title)
{
    static const char *const doing[] = {"pick ",    "picking ", "gather ", "gathering ",
                                        "harvest ", "collect ", "cut ",    "dig "};
    GString *plain = g_string_new(NULL);
    g_autofree char *lower = NULL;

    for (const char *at = title; *at != '\0'; at = g_utf8_next_char(at)) {
        gunichar c = g_utf8_get_char(at);
        GUnicodeType type = g_unichar_type(c);

        if (type == G_UNICODE_OTHER_SYMBOL || type == G_UNICODE_MODIFIER_SYMBOL ||
            type == G_UNICODE_FORMAT || type == G_UNICODE_PRIVATE_USE ||
            type == G_UNICODE_UNASSIGNED || g_unichar_iszerowidth(c))
            g_string_append_c(plain, ' ');
        else
            g_string_append_unichar(plain, c);
    }
    g_strstrip(plain->str);
    lower = g_ascii_strdown(plain->str, -1);
    for (gsize i = 0; i < G_N_ELEMENTS(doing); i++) {
        if (g_str_has_prefix(lower, doing[i])) {
            char *rest = g_strchug(g_strdup(plain->str + strlen(doing[i])));

            g_string_free(plain, TRUE);
            return rest;
        }
    }
    return g_string_free(plain, FALSE);
}

/* The material of a title: the whole of it, else what stands before a dash, bracket or comma. */
static const struct spl_material *material_of_words(const struct spl_tables *tables,
                                                    const char *title, GError **error)
{
    static const char *const marks[] = {" - ", " \xe2\x80\x93 ", " (", ",", ":", ";", NULL};
    const struct spl_material *material = NULL;
    g_autoptr(GError) first = NULL;

    if (spl_tables_material(tables, title, &material, &first))
        return material;
    for (int i = 0; marks[i] != NULL && g_error_matches(first, SPL_ERROR, SPL_ERROR_NOT_FOUND);
         i++) {
        const char *mark = strstr(title, marks[i]);
        g_autofree char *head =
            mark != NULL && mark > title ? g_strndup(title, (gsize)(mark - title)) : NULL;

        if (head != NULL && spl_tables_material(tables, head, &material, NULL))
            return material;
    }
    g_propagate_error(error, g_steal_pointer(&first));
    return NULL;
}

/* As it stands, else without what people set round it. */
static const struct spl_material *material_of_title(const struct spl_tables *tables,
                                                    const char *title, GError **error)
{
    g_autoptr(GError) first = NULL;
    const struct spl_material *material = material_of_words(tables, title, &first);
    g_autofree char *plain = plain_title(title);

    if (material == NULL && strcmp(plain, title) != 0 && *plain != '\0')
        material = material_of_words(tables, plain, error);
    else if (first != NULL)
        g_propagate_error(error, g_steal_pointer(&first));
    return material;
}

/* The slug, NULL without an error when the entry is no row at all. */
static char *slug_of(const struct spl_entry *entry, const struct spl_tables *tables,
                     const struct notes *notes, GError **error)
{
    const char *own = spl_entry_get_x(entry, "X-SIMPLING-MATERIAL");
    const struct spl_material *material = NULL;
    g_autoptr(GError) failure = NULL;

    if (own != NULL) {
        if (spl_tables_material(tables, own, &material, &failure))
            return g_strdup(material->slug);
        if (is_slug(own)) {
            note(notes, "the material %s is not in the tables; its days are kept", own);
            return g_strdup(own);
        }
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "X-SIMPLING-MATERIAL: %s",
                    failure->message);
        return NULL;
    }
    if (entry->summary == NULL)
        return NULL;
    material = material_of_title(tables, entry->summary, &failure);
    if (material != NULL)
        return g_strdup(material->slug);
    if (failure != NULL && g_error_matches(failure, SPL_ERROR, SPL_ERROR_AMBIGUOUS))
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s", failure->message);
    return NULL;
}

/* The flush that a title of ours says ("Nettle leaf, second time"); 0: none. */
static int flush_of_title(const char *title)
{
    static const char *const times[] = {", first time", ", second time", ", third time",
                                        ", fourth time"};

    for (gsize i = 0; title != NULL && i < G_N_ELEMENTS(times); i++) {
        if (strstr(title, times[i]) != NULL)
            return (int)i + 1;
    }
    return 0;
}

static char *use_of(const struct spl_entry *entry)
{
    const char *own = spl_entry_get_x(entry, "X-SIMPLING-USE");

    if (own != NULL)
        return g_ascii_strdown(own, -1);
    if (entry->category != NULL && (g_ascii_strcasecmp(entry->category, SPL_USE_MEDICINE) == 0 ||
                                    g_ascii_strcasecmp(entry->category, SPL_USE_FOOD) == 0))
        return g_ascii_strdown(entry->category, -1);
    /* As the titles of our own calendars say it: "Elderflower (food)". */
    if (entry->summary != NULL && strstr(entry->summary, "(food)") != NULL)
        return g_strdup(SPL_USE_FOOD);
    return g_strdup(SPL_USE_MEDICINE);
}

/* "1991-2020". */
static void take_period(const struct spl_entry *entry, const char *name, const struct notes *notes,
                        int *from, int *to)
{
    const char *text = spl_entry_get_x(entry, name);
    struct spl_period period;

    if (text == NULL)
        return;
    if (!spl_period_parse(text, &period)) {
        note(notes, "%s is two years, like 1991-2020", name);
        return;
    }
    *from = period.from;
    *to = period.to;
}

/* The smaller properties; what cannot be read is noted and left unset. */
static void take_details(const struct spl_entry *entry, const struct notes *notes,
                         struct spl_almanac_row *row)
{
    const char *stages = spl_entry_get_x(entry, "X-SIMPLING-STAGES");
    const char *flush = spl_entry_get_x(entry, "X-SIMPLING-FLUSH");
    const char *every = spl_entry_get_x(entry, "X-SIMPLING-EVERY");
    const char *elevation = spl_entry_get_x(entry, "X-SIMPLING-ELEVATION");
    const char *source = spl_entry_get_x(entry, "X-SIMPLING-SOURCE");
    const char *frost = spl_entry_get_x(entry, "X-SIMPLING-FROST");
    g_autoptr(GError) error = NULL;
    int from, to;

    row->flush = flush_of_title(entry->summary);
    take_period(entry, "X-SIMPLING-PERIOD", notes, &row->period_from, &row->period_to);
    if (frost != NULL) {
        if (g_ascii_strcasecmp(frost, "stands") == 0 || g_ascii_strcasecmp(frost, "ends") == 0)
            row->stands_frost = g_ascii_strcasecmp(frost, "stands") == 0;
        else
            note(notes, "X-SIMPLING-FROST is 'stands' or 'ends'");
    }
    if (stages != NULL && spl_stage_range_parse(stages, "X-SIMPLING-STAGES", &from, &to, &error)) {
        row->stage_from = from;
        row->stage_to = to;
    }
    if (error != NULL)
        note(notes, "%s", error->message);
    g_clear_error(&error);
    if (flush != NULL && !spl_count_parse(flush, "X-SIMPLING-FLUSH", 1, 20, &row->flush, &error))
        note(notes, "%s", error->message);
    g_clear_error(&error);
    if (every != NULL &&
        !spl_count_parse(every, "X-SIMPLING-EVERY", 0, 366, &row->every_days, &error))
        note(notes, "%s", error->message);
    g_clear_error(&error);
    if (elevation != NULL &&
        !spl_number_parse(elevation, "X-SIMPLING-ELEVATION", -500, 9000, &row->elevation_m, &error))
        note(notes, "%s", error->message);
    g_clear_error(&error);
    row->source = g_strdup(source);
    row->lat = entry->lat;
    row->lon = entry->lon;
}

static gboolean row_of(const struct spl_entry *entry, const struct spl_tables *tables,
                       const struct notes *notes, struct spl_almanac_row *row, GError **error)
{
    char day[SPL_DAY_TEXT_SIZE];
    int flush;

    spl_almanac_row_init(row);
    row->material = slug_of(entry, tables, notes, error);
    if (row->material == NULL)
        return FALSE;
    row->use = use_of(entry);
    row->start = entry->first;
    row->end = spl_day_is_set(entry->last) ? entry->last : entry->first;
    if (entry->uid != NULL) {
        row->uid = g_strdup(entry->uid);
    } else {
        g_autofree char *name =
            g_strdup_printf("%s %s %s", row->material, row->use, spl_day_format(row->start, day));

        row->uid = spl_uuid_v5(UID_SPACE, name);
    }
    take_details(entry, notes, row);
    if (entry->rule != NULL && strstr(entry->rule, "FREQ=YEARLY") == NULL)
        note(notes, "it repeats otherwise than yearly: only its first days are taken");
    flush = row->flush; /* not said is 0, which is counted later and no row by itself */
    row->flush = MAX(flush, 1);
    if (spl_almanac_row_check(row, error)) {
        row->flush = flush;
        return TRUE;
    }
    spl_record_clear(&spl_almanac_row_shape, row);
    return FALSE;
}

gboolean spl_almanac_row_from_entry(const struct spl_entry *entry, const struct spl_tables *tables,
                                    struct spl_almanac_row *row, GError **error)
{
    const struct notes none = {NULL, entry};

    return row_of(entry, tables, &none, row, error);
}

static int compare_days(gconstpointer a, gconstpointer b, gpointer data)
{
    const GArray *rows = data;
    guint one = *(const guint *)a, other = *(const guint *)b;
    int day = spl_day_of_year(g_array_index(rows, struct spl_almanac_row, one).start);
    int other_day = spl_day_of_year(g_array_index(rows, struct spl_almanac_row, other).start);

    return day != other_day ? day - other_day : (one > other) - (one < other);
}

static void free_array(gpointer array)
{
    g_array_unref(array);
}

/* Rows of one material and use that do not say their flush are numbered by their days. */
static void number_flushes(GArray *rows)
{
    g_autoptr(GHashTable) groups =
        g_hash_table_new_full(g_str_hash, g_str_equal, g_free, free_array);
    GHashTableIter iter;
    gpointer group;

    for (guint i = 0; i < rows->len; i++) {
        const struct spl_almanac_row *row = &g_array_index(rows, struct spl_almanac_row, i);
        char *key = g_strconcat(row->material, " ", row->use, NULL);
        GArray *members = g_hash_table_lookup(groups, key);

        if (members == NULL) {
            members = g_array_new(FALSE, FALSE, sizeof(guint));
            g_hash_table_insert(groups, key, members);
        } else {
            g_free(key);
        }
        g_array_append_val(members, i);
    }
    g_hash_table_iter_init(&iter, groups);
    while (g_hash_table_iter_next(&iter, NULL, &group)) {
        GArray *members = group;

        g_array_sort_with_data(members, compare_days, rows);
        for (guint i = 0; i < members->len; i++) {
            struct spl_almanac_row *row =
                &g_array_index(rows, struct spl_almanac_row, g_array_index(members, guint, i));

            if (row->flush == 0)
                row->flush = (int)i + 1;
        }
    }
}

/* "-3.1 -2 1.5 … 12 numbers, then where they are from". */
static gboolean parse_normals(const char *text, double normals[12], char **source)
{
    const char *at = text;

    for (int month = 0; month < 12; month++) {
        char *end;

        at += strspn(at, " ,;\t");
        normals[month] = g_ascii_strtod(at, &end);
        if (end == at || !(fabs(normals[month]) <= 60))
            return FALSE;
        at = end;
    }
    at += strspn(at, " ,;:\t");
    *source = *at != '\0' ? g_strdup(at) : NULL;
    return TRUE;
}

static void take_normals(struct spl_ical_scan *scan, struct spl_almanac_read *out)
{
    const char *text = spl_ical_scan_property(scan, "X-SIMPLING-NORMALS");
    const char *years = spl_ical_scan_property(scan, "X-SIMPLING-PERIOD");
    struct spl_period period = {0, 0};
    double normals[12];

    if (text == NULL)
        return;
    if (!parse_normals(text, normals, &out->normals_source)) {
        struct spl_ical_left left = {
            0, g_strdup("X-SIMPLING-NORMALS"),
            g_strdup("it does not begin with twelve temperatures in degrees Celsius")};

        g_array_append_val(out->not_understood, left);
        return;
    }
    if (years != NULL && !spl_period_parse(years, &period)) {
        struct spl_ical_left left = {0, g_strdup("X-SIMPLING-PERIOD"),
                                     g_strdup("it is two years, like 1991-2020")};

        g_array_append_val(out->not_understood, left);
    }
    for (guint i = 0; i < out->rows->len; i++) {
        struct spl_almanac_row *row = &g_array_index(out->rows, struct spl_almanac_row, i);

        memcpy(row->normals_c, normals, sizeof normals);
        row->normals_from = period.from;
        row->normals_to = period.to;
    }
}

static char *name_of(struct spl_ical_scan *scan, const char *path)
{
    const char *name = spl_ical_scan_property(scan, "NAME");
    char *base;

    if (name == NULL || *name == '\0')
        name = spl_ical_scan_property(scan, "X-WR-CALNAME");
    if (name != NULL && *name != '\0')
        return spl_text_scrub(name, FALSE);
    base = g_path_get_basename(path);
    if (g_str_has_suffix(base, ".ics"))
        base[strlen(base) - 4] = '\0';
    return base;
}

static void take_entry(const struct spl_entry *entry, const struct spl_tables *tables,
                       GHashTable *uids, struct spl_almanac_read *out)
{
    const struct notes notes = {out->not_understood, entry};
    g_autoptr(GError) error = NULL;
    struct spl_almanac_row row;

    if (entry->kind == SPL_ENTRY_TASK) {
        note(&notes, "it is a task; only events give days");
        return;
    }
    out->events++;
    if (entry->status == SPL_ENTRY_CANCELLED) {
        note(&notes, "it is cancelled");
        return;
    }
    if (entry->override) {
        note(&notes, "it changes one instance of a repeating event; only that event is taken");
        return;
    }
    if (out->rows->len >= ROWS_MAX) {
        note(&notes, "the almanac has more than %d rows", ROWS_MAX);
        return;
    }
    if (!row_of(entry, tables, &notes, &row, &error)) {
        note(&notes, "%s",
             error != NULL ? error->message : "its title is not that of a known material");
        return;
    }
    if (!g_hash_table_add(uids, g_strdup(row.uid))) {
        note(&notes, "its UID stands already further up");
        spl_record_clear(&spl_almanac_row_shape, &row);
        return;
    }
    g_array_append_val(out->rows, row);
}

/* What stands before the first row that has a place tells whose the calendar is, if its climate
 * stands there, as RFC 5545 has it: a calendar's properties before its components. */
static gboolean is_told(struct spl_ical_scan *scan, const GArray *rows)
{
    const struct spl_almanac_row *last =
        rows->len > 0 ? &g_array_index(rows, struct spl_almanac_row, rows->len - 1) : NULL;

    return last != NULL && spl_almanac_row_has_place(last) &&
           spl_ical_scan_property(scan, "X-SIMPLING-NORMALS") != NULL;
}

/* What of an event a row is made of, beside our own properties; BEGIN and END make it one. */
static const char *const of_a_row[] = {
    "BEGIN",  "END", "UID",        "SUMMARY", "DTSTART", "DTEND",  "DURATION",      "DUE",
    "STATUS", "GEO", "CATEGORIES", "RRULE",   "RDATE",   "EXDATE", "RECURRENCE-ID", NULL};

static gboolean read_file(const char *path, const struct spl_tables *tables, gboolean head,
                          struct spl_almanac_read *out, GError **error)
{
    g_autoptr(spl_ical_reader) reader = spl_ical_reader_open(path, NULL, error);
    g_autoptr(GHashTable) uids = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GError) failure = NULL;
    struct spl_ical_scan *scan;
    GArray *left;
    struct spl_entry entry;

    if (reader == NULL)
        return FALSE;
    *out = (struct spl_almanac_read){.rows = spl_list_new(&spl_almanac_row_shape),
                                     .not_understood = spl_list_new(&spl_ical_left_shape)};
    spl_ical_scan_only(spl_ical_reader_scan(reader), of_a_row);
    spl_entry_init(&entry);
    while (!(head && is_told(spl_ical_reader_scan(reader), out->rows)) &&
           spl_ical_reader_next(reader, &entry, &failure))
        take_entry(&entry, tables, uids, out);
    spl_entry_clear(&entry);
    if (failure != NULL) {
        g_propagate_error(error, g_steal_pointer(&failure));
        spl_record_clear(&spl_almanac_read_shape, out);
        return FALSE;
    }
    scan = spl_ical_reader_scan(reader);
    left = spl_ical_scan_left_out(scan);
    for (guint i = 0; i < left->len; i++) {
        const struct spl_ical_left *old = &g_array_index(left, struct spl_ical_left, i);
        struct spl_ical_left copy = {old->line, g_strdup(old->what), g_strdup(old->why)};

        g_array_append_val(out->not_understood, copy);
    }
    out->file = g_strdup(path);
    out->name = name_of(scan, path);
    out->truncated = spl_ical_scan_truncated(scan);
    number_flushes(out->rows);
    take_normals(scan, out);
    for (guint i = 0; i < out->rows->len; i++)
        g_array_index(out->rows, struct spl_almanac_row, i).almanac = g_strdup(out->name);
    return TRUE;
}

gboolean spl_almanac_read_file(const char *path, const struct spl_tables *tables,
                               struct spl_almanac_read *out, GError **error)
{
    return read_file(path, tables, FALSE, out, error);
}

gboolean spl_almanac_read_head(const char *path, const struct spl_tables *tables,
                               struct spl_almanac_read *out, GError **error)
{
    return read_file(path, tables, TRUE, out, error);
}

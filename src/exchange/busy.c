/* SPDX-License-Identifier: MIT
 *
 * Busy times. See busy.h.
 */
#include "exchange/busy.h"

#include <string.h>

#include "exchange/entry_mark.h"
#include "exchange/ical_read.h"
#include "exchange/ical_repeat.h"
#include "exchange/ical_zone.h"
#include "exchange/zone_names.h"
#include "simpling/error.h"

#define DAY_MIN (24 * 60)
#define SPAN_DAYS_MAX 1100
#define DAYS_LOOKED_AT_MAX 4000000 /* by all rules of a file together: half a second */
#define PIECES_MAX 200000

static const struct spl_field busy_fields[] = {
    SPL_FIELD(spl_busy, day, SPL_DAY, "date", "day"),
    SPL_FIELD(spl_busy, from_min, SPL_INT, "from_min", "from min"),
    SPL_FIELD(spl_busy, to_min, SPL_INT, "to_min", "to min"),
    SPL_FIELD(spl_busy, what, SPL_TEXT, "what", "what"),
};
const struct spl_shape spl_busy_shape = SPL_SHAPE("busy", spl_busy, busy_fields);

static const struct spl_field busy_read_fields[] = {
    SPL_FIELD(spl_busy_read, file, SPL_TEXT, "file", "file"),
    SPL_FIELD(spl_busy_read, events, SPL_INT, "events", "events"),
    SPL_FIELD(spl_busy_read, truncated, SPL_BOOL, "truncated", NULL),
    SPL_FIELD_LIST(spl_busy_read, busy, &spl_busy_shape, "busy", NULL),
    SPL_FIELD_LIST(spl_busy_read, left_out, &spl_ical_left_shape, "left_out", NULL),
};
const struct spl_shape spl_busy_read_shape =
    SPL_SHAPE("busy_read", spl_busy_read, busy_read_fields);

/* An event, and what a newer version or an instance of its own says of it. */
struct collect {
    gboolean others; /* without entries of a book */
    struct spl_busy_read *out;
    struct spl_ical_scan *scan;
    struct spl_day first, last;
    const char *zone;       /* the person's; NULL: times as they stand */
    const char *names_path; /* of data/zones.csv; NULL: none */
    GHashTable *names;      /* read when first needed */
    GArray *entries;        /* of struct spl_entry: the newest version of each */
    GHashTable *by_key;     /* "UID" or "UID day" -> index in it + 1 */
    GHashTable *futures;    /* UID -> GArray of indices: RANGE=THISANDFUTURE, by day */
    gint64 budget;          /* days that rules may still look at */
    gboolean told;
};

/* A place in time on some clock. */
struct moment {
    struct spl_day day;
    int min;
};

static void leave_out(struct collect *collect, const struct spl_entry *entry, const char *why)
{
    spl_ical_scan_leave_out(collect->scan, entry->line,
                            entry->summary != NULL ? entry->summary : "an event without a title",
                            why);
}

/* ---- clocks ---------------------------------------------------------------------------------- */

static void add_minutes(struct moment *moment, gint64 minutes)
{
    gint64 total = moment->min + minutes;
    gint64 days = total >= 0 ? total / DAY_MIN : (total - DAY_MIN + 1) / DAY_MIN;

    moment->day.n += (gint32)days;
    moment->min = (int)(total - days * DAY_MIN);
}

/* The zone of a name that is none of IANA's, by the table; NULL: not there either. */
static const char *zone_by_name(struct collect *collect, const char *tzid)
{
    if (collect->names == NULL && collect->names_path != NULL) {
        collect->names = spl_zone_names_read(collect->names_path, NULL);
        collect->names_path = NULL; /* once is enough */
    }
    return collect->names != NULL ? spl_zone_names_find(collect->names, tzid) : NULL;
}

enum clock { CLOCK_PERSON, CLOCK_ZONE, CLOCK_FILE, CLOCK_UNKNOWN };

/* Whose clock the entry's times are on: the file's own description of a strange name is believed
 * before the table of names. */
static enum clock clock_of(struct collect *collect, const struct spl_entry *entry,
                           const char **zone, const spl_ical_clock **clock)
{
    *zone = entry->zone;
    *clock = NULL;
    if (entry->start_min < 0 || collect->zone == NULL ||
        (entry->zone == NULL && entry->tzid == NULL))
        return CLOCK_PERSON;
    if (entry->zone != NULL)
        return CLOCK_ZONE;
    *clock = spl_ical_scan_clock(collect->scan, entry->tzid);
    if (*clock != NULL)
        return CLOCK_FILE;
    *zone = zone_by_name(collect, entry->tzid);
    return *zone != NULL ? CLOCK_ZONE : CLOCK_UNKNOWN;
}

/* A time of the entry in UTC, and back to the person's clock. */
static struct moment to_utc(enum clock kind, const char *zone, const spl_ical_clock *clock,
                            struct moment moment)
{
    if (kind == CLOCK_ZONE)
        (void)spl_zone_convert(zone, "UTC", &moment.day.n, &moment.min);
    else if (kind == CLOCK_FILE)
        add_minutes(&moment, -spl_ical_clock_offset(clock, moment.day.n, moment.min) / 60);
    return moment;
}

/* ---- stretches ------------------------------------------------------------------------------- */

/* One stretch on the person's clock, cut to the span, one element for each day. */
static void add_stretch(struct collect *collect, const struct spl_entry *entry, struct moment from,
                        struct moment to)
{
    gboolean any = FALSE;

    if (to.min == 0 && to.day.n > from.day.n) {
        to.day.n--;
        to.min = DAY_MIN;
    }
    for (gint32 n = MAX(from.day.n, collect->first.n); n <= MIN(to.day.n, collect->last.n); n++) {
        struct spl_busy piece = {{n},
                                 n == from.day.n ? from.min : 0,
                                 n == to.day.n ? to.min : DAY_MIN,
                                 entry->confidential ? NULL : g_strdup(entry->summary)};

        if (piece.to_min <= piece.from_min || collect->out->busy->len >= PIECES_MAX) {
            if (piece.to_min > piece.from_min && !collect->told) {
                leave_out(collect, entry, "there are too many busy times; the rest is left out");
                collect->told = TRUE;
            }
            g_free(piece.what);
            continue;
        }
        g_array_append_val(collect->out->busy, piece);
        any = TRUE;
    }
    collect->out->events += any;
}

static void add_days(struct collect *collect, const struct spl_entry *entry, struct spl_day first,
                     struct spl_day last)
{
    add_stretch(collect, entry, (struct moment){first, 0}, (struct moment){last, DAY_MIN});
}

/* An instance on the entry's own clock; `exact_min` >= 0 is its length whatever the clock does. */
static void add_times(struct collect *collect, const struct spl_entry *entry, struct moment from,
                      struct moment to, int exact_min)
{
    const char *zone;
    const spl_ical_clock *clock;
    enum clock kind = clock_of(collect, entry, &zone, &clock);

    if (kind == CLOCK_UNKNOWN) { /* nobody knows when: said once, by take */
        add_days(collect, entry, from.day, to.day);
        return;
    }
    if (kind == CLOCK_PERSON) {
        add_stretch(collect, entry, from, to);
        return;
    }
    from = to_utc(kind, zone, clock, from);
    if (exact_min >= 0) {
        to = from;
        add_minutes(&to, exact_min);
    } else {
        to = to_utc(kind, zone, clock, to);
    }
    (void)spl_zone_convert("UTC", collect->zone, &from.day.n, &from.min);
    (void)spl_zone_convert("UTC", collect->zone, &to.day.n, &to.min);
    add_stretch(collect, entry, from, to);
}

/* The instance of the entry that begins on `day`, as long as the first one. */
static void add_instance(struct collect *collect, const struct spl_entry *entry, struct spl_day day)
{
    struct spl_day last = spl_day_add(day, spl_day_diff(entry->last, entry->first));

    if (!spl_day_is_set(last))
        return;
    if (entry->start_min < 0)
        add_days(collect, entry, day, last);
    else
        add_times(collect, entry, (struct moment){day, entry->start_min},
                  (struct moment){last, entry->end_min >= 0 ? entry->end_min : entry->start_min},
                  entry->exact_min);
}

/* ---- repetition ------------------------------------------------------------------------------ */

static const struct spl_entry *entry_at(const struct collect *collect, guint index)
{
    return &g_array_index(collect->entries, struct spl_entry, index);
}

static char *key_of(const char *uid, struct spl_day day)
{
    return g_strdup_printf("%s %d", uid, day.n);
}

static gboolean is_excepted(const struct collect *collect, const struct spl_entry *entry,
                            struct spl_day day)
{
    g_autofree char *key = NULL;

    for (guint i = 0; entry->except != NULL && i < entry->except->len; i++)
        if (g_array_index(entry->except, struct spl_day, i).n == day.n)
            return TRUE;
    if (entry->uid == NULL)
        return FALSE;
    key = key_of(entry->uid, day);
    return g_hash_table_contains(collect->by_key, key);
}

/* The instance of the series on `day`, unless something else stands for it; after a change that
 * holds for "this and future" ones it is moved as that one was (RFC 5545 3.8.4.4). */
static void add_of_series(struct collect *collect, const struct spl_entry *entry,
                          struct spl_day day)
{
    const GArray *futures =
        entry->uid != NULL ? g_hash_table_lookup(collect->futures, entry->uid) : NULL;
    const struct spl_entry *changed = NULL;

    if (is_excepted(collect, entry, day))
        return;
    for (guint i = 0; futures != NULL && i < futures->len; i++) {
        const struct spl_entry *future = entry_at(collect, g_array_index(futures, guint, i));

        if (future->override_day.n <= day.n &&
            (changed == NULL || future->override_day.n > changed->override_day.n))
            changed = future;
    }
    if (changed == NULL) {
        add_instance(collect, entry, day);
    } else if (changed->opaque && changed->status != SPL_ENTRY_CANCELLED) {
        day = spl_day_add(day, spl_day_diff(changed->first, changed->override_day));
        if (spl_day_is_set(day))
            add_instance(collect, changed, day);
    }
}

/* What cannot be counted out is taken to be there every day: better a free day too few. */
static void add_every_day(struct collect *collect, const struct spl_entry *entry, const char *why)
{
    g_autofree char *said = g_strdup_printf("%s: every day from its first counts as busy", why);

    leave_out(collect, entry, said);
    add_days(collect, entry, entry->first, collect->last);
}

/* Instances after the first; the clock time is the same each day, so days are enough. FALSE: it
 * cannot be counted out, and all is said and done. */
static gboolean expand(struct collect *collect, const struct spl_entry *entry)
{
    /* Instances that begin before the span may still reach into it, or be moved there. */
    struct spl_day from =
        spl_day_add(collect->first, -MIN(spl_day_diff(entry->last, entry->first), 4000) - 1);
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) days =
        spl_repeat_days(entry->rule, entry->first, entry->start_min, entry->zone, from,
                        spl_day_add(collect->last, 1), &collect->budget, &error);

    if (days == NULL) {
        add_every_day(collect, entry, error->message);
        return FALSE;
    }
    for (guint i = 0; i < days->len; i++) {
        struct spl_day day = g_array_index(days, struct spl_day, i);

        if (day.n != entry->first.n)
            add_of_series(collect, entry, day);
    }
    return TRUE;
}

static void add_extra(struct collect *collect, const struct spl_entry *entry,
                      const struct spl_entry_extra *extra)
{
    struct moment from = {extra->first, extra->start_min};

    if (extra->start_min < 0 || entry->start_min < 0 || is_excepted(collect, entry, extra->first)) {
        add_of_series(collect, entry, extra->first);
    } else if (spl_day_is_set(extra->last)) {
        add_times(collect, entry, from, (struct moment){extra->last, extra->end_min}, -1);
    } else {
        struct moment to = from;
        int length = entry->exact_min;

        if (length < 0)
            length = spl_day_diff(entry->last, entry->first) * DAY_MIN +
                     (entry->end_min >= 0 ? entry->end_min : entry->start_min) - entry->start_min;
        add_minutes(&to, length);
        add_times(collect, entry, from, to, entry->exact_min);
    }
}

static void add_entry(struct collect *collect, const struct spl_entry *entry)
{
    const char *zone;
    const spl_ical_clock *clock;

    if (!entry->opaque || entry->status == SPL_ENTRY_CANCELLED)
        return;
    if (clock_of(collect, entry, &zone, &clock) == CLOCK_UNKNOWN) {
        g_autofree char *why = g_strdup_printf(
            "its zone '%s' is not known here: the whole day counts as busy", entry->tzid);

        leave_out(collect, entry, why);
    }
    if (entry->override || (entry->rule == NULL && entry->extra == NULL)) {
        add_instance(collect, entry, entry->first);
        return;
    }
    if (entry->rule != NULL && !expand(collect, entry))
        return;
    add_of_series(collect, entry, entry->first);
    for (guint i = 0; entry->extra != NULL && i < entry->extra->len; i++)
        add_extra(collect, entry, &g_array_index(entry->extra, struct spl_entry_extra, i));
}

/* ---- collecting ------------------------------------------------------------------------------ */

/* Of two versions of one entry: RFC 5546 2.1.5. */
static gboolean is_older(const struct spl_entry *entry, const struct spl_entry *there)
{
    return entry->sequence < there->sequence ||
           (entry->sequence == there->sequence && entry->changed_at < there->changed_at);
}

static void take(struct collect *collect, struct spl_entry *entry)
{
    char *key;
    guint there;

    if (entry->kind != SPL_ENTRY_EVENT)
        return;
    /* Only its times are needed from here on. */
    g_clear_pointer(&entry->description, g_free);
    g_clear_pointer(&entry->location, g_free);
    g_clear_pointer(&entry->x, g_array_unref);
    if (entry->uid == NULL) {
        g_array_append_val(collect->entries, *entry);
        spl_entry_init(entry); /* its texts have moved */
        return;
    }
    key = entry->override && spl_day_is_set(entry->override_day)
              ? key_of(entry->uid, entry->override_day)
              : g_strdup(entry->uid);
    there = GPOINTER_TO_UINT(g_hash_table_lookup(collect->by_key, key));
    if (there == 0) {
        g_array_append_val(collect->entries, *entry);
        g_hash_table_insert(collect->by_key, key, GUINT_TO_POINTER(collect->entries->len));
        spl_entry_init(entry);
        return;
    }
    g_free(key);
    if (!is_older(entry, entry_at(collect, there - 1))) {
        struct spl_entry *old = &g_array_index(collect->entries, struct spl_entry, there - 1);

        spl_entry_clear(old);
        *old = *entry;
        spl_entry_init(entry);
    }
}

static void free_array(gpointer array)
{
    g_array_unref(array);
}

static void note_futures(struct collect *collect)
{
    for (guint i = 0; i < collect->entries->len; i++) {
        const struct spl_entry *entry = entry_at(collect, i);
        GArray *list;

        if (!entry->override_future || entry->uid == NULL || !spl_day_is_set(entry->override_day))
            continue;
        list = g_hash_table_lookup(collect->futures, entry->uid);
        if (list == NULL) {
            list = g_array_new(FALSE, FALSE, sizeof(guint));
            g_hash_table_insert(collect->futures, entry->uid, list);
        }
        g_array_append_val(list, i);
    }
}

static int compare_busy(gconstpointer a, gconstpointer b)
{
    const struct spl_busy *one = a, *other = b;

    if (one->day.n != other->day.n)
        return one->day.n < other->day.n ? -1 : 1;
    if (one->from_min != other->from_min)
        return one->from_min - other->from_min;
    if (one->to_min != other->to_min)
        return one->to_min - other->to_min;
    return g_strcmp0(one->what, other->what);
}

static void entry_clear(gpointer entry)
{
    spl_entry_clear(entry);
}

static gboolean collect_all(struct collect *collect, spl_ical_reader *reader, GError **error)
{
    struct spl_entry entry;
    GError *failure = NULL;

    spl_entry_init(&entry);
    while (spl_ical_reader_next(reader, &entry, &failure))
        if (!collect->others || spl_entry_get_x(&entry, SPL_ENTRY_MARK_NAME) == NULL)
            take(collect, &entry);
    spl_entry_clear(&entry);
    if (failure != NULL) {
        g_propagate_error(error, failure);
        return FALSE;
    }
    note_futures(collect);
    for (guint i = 0; i < collect->entries->len; i++)
        add_entry(collect, entry_at(collect, i));
    g_array_sort(collect->out->busy, compare_busy);
    return TRUE;
}

gboolean spl_busy_read(const char *path, struct spl_day first, struct spl_day last,
                       const char *zone, const char *names, gboolean others,
                       struct spl_busy_read *out, GError **error)
{
    g_autoptr(spl_ical_reader) reader = NULL;
    struct spl_busy_read busy;
    struct collect collect = {.out = &busy,
                              .first = first,
                              .last = last,
                              .zone = zone,
                              .names_path = names,
                              .others = others,
                              .budget = DAYS_LOOKED_AT_MAX};
    GArray *left;
    gboolean ok;

    if (!spl_day_is_set(first) || !spl_day_is_set(last) || spl_day_diff(last, first) < 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "busy times are read from a first day to a later last one");
        return FALSE;
    }
    if (spl_day_diff(last, first) > SPAN_DAYS_MAX) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "busy times are read for at most %d days: the last day is %d days after the "
                    "first",
                    SPAN_DAYS_MAX, spl_day_diff(last, first));
        return FALSE;
    }
    if (zone != NULL && !spl_zone_is_known(zone)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "zone '%s' is not known here: write it as Europe/London", zone);
        return FALSE;
    }
    reader = spl_ical_reader_open(path, NULL, error);
    if (reader == NULL)
        return FALSE;
    busy = (struct spl_busy_read){.busy = spl_list_new(&spl_busy_shape),
                                  .left_out = spl_list_new(&spl_ical_left_shape)};
    collect.scan = spl_ical_reader_scan(reader);
    collect.entries = g_array_new(FALSE, FALSE, sizeof(struct spl_entry));
    g_array_set_clear_func(collect.entries, entry_clear);
    collect.by_key = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    collect.futures = g_hash_table_new_full(g_str_hash, g_str_equal, NULL, free_array);
    ok = collect_all(&collect, reader, error);
    g_hash_table_unref(collect.futures);
    g_hash_table_unref(collect.by_key);
    g_array_unref(collect.entries);
    g_clear_pointer(&collect.names, g_hash_table_unref);
    if (!ok) {
        spl_record_clear(&spl_busy_read_shape, &busy);
        return FALSE;
    }
    busy.file = g_strdup(path);
    busy.truncated = spl_ical_scan_truncated(collect.scan);
    left = spl_ical_scan_left_out(collect.scan);
    g_array_set_size(busy.left_out, left->len);
    for (guint i = 0; i < left->len; i++)
        spl_record_copy(&spl_ical_left_shape, &g_array_index(left, struct spl_ical_left, i),
                        &g_array_index(busy.left_out, struct spl_ical_left, i));
    *out = busy;
    return TRUE;
}

int spl_busy_minutes(const GArray *busy, struct spl_day day, int from_min, int to_min)
{
    int taken = 0, reached = from_min;

    /* They stand by day and start, so each adds what lies beyond those before it. */
    for (guint i = 0; busy != NULL && i < busy->len; i++) {
        const struct spl_busy *piece = &g_array_index(busy, struct spl_busy, i);

        if (piece->day.n != day.n || piece->to_min <= reached || piece->from_min >= to_min)
            continue;
        taken += MIN(piece->to_min, to_min) - MAX(piece->from_min, reached);
        reached = MIN(piece->to_min, to_min);
    }
    return taken;
}

/* SPDX-License-Identifier: MIT
 *
 * Busy times. See busy.h.
 */
#include "exchange/busy.h"

#include <string.h>

#include "exchange/ical_read.h"
#include "exchange/ical_repeat.h"
#include "exchange/ical_zone.h"
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

struct collect {
    struct spl_busy_read *out;
    struct spl_ical_scan *scan;
    struct spl_day first, last;
    const char *zone;
    GArray *repeating;     /* of struct spl_entry */
    GHashTable *overrides; /* "UID day" of instances that an event of their own replaces */
    gint64 budget;         /* days that rules may still look at */
    gboolean told;
};

static void leave_out(struct collect *collect, const struct spl_entry *entry, const char *why)
{
    spl_ical_scan_leave_out(collect->scan, entry->line,
                            entry->summary != NULL ? entry->summary : "an event without a title",
                            why);
}

/* One stretch of days and times, cut to the span, one element for each day. */
static void add_stretch(struct collect *collect, const struct spl_entry *entry, struct spl_day from,
                        int from_min, struct spl_day to, int to_min)
{
    gboolean any = FALSE;

    if (entry->start_min < 0) {
        from_min = 0;
        to_min = DAY_MIN;
    } else if (entry->zone != NULL && collect->zone != NULL) {
        (void)spl_zone_convert(entry->zone, collect->zone, &from.n, &from_min);
        (void)spl_zone_convert(entry->zone, collect->zone, &to.n, &to_min);
    }
    if (to_min == 0 && to.n > from.n) {
        to.n--;
        to_min = DAY_MIN;
    }
    for (gint32 n = MAX(from.n, collect->first.n); n <= MIN(to.n, collect->last.n); n++) {
        struct spl_busy piece = {{n},
                                 n == from.n ? from_min : 0,
                                 n == to.n ? to_min : DAY_MIN,
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

/* The stretch that begins on `day`, as long as the first one. */
static void add_instance(struct collect *collect, const struct spl_entry *entry, struct spl_day day)
{
    struct spl_day last = spl_day_add(day, spl_day_diff(entry->last, entry->first));

    if (spl_day_is_set(last))
        add_stretch(collect, entry, day, entry->start_min, last,
                    entry->end_min >= 0 ? entry->end_min : entry->start_min);
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
    key = g_strdup_printf("%s %d", entry->uid, day.n);
    return g_hash_table_contains(collect->overrides, key);
}

/* Instances after the first; the clock time is the same each day, so days are enough. */
static void expand(struct collect *collect, const struct spl_entry *entry)
{
    /* Instances that begin before the span may still reach into it. */
    struct spl_day from = spl_day_add(collect->first, -spl_day_diff(entry->last, entry->first) - 1);
    g_autoptr(GError) error = NULL;
    g_autoptr(GArray) days =
        spl_repeat_days(entry->rule, entry->first, entry->start_min, entry->zone, from,
                        spl_day_add(collect->last, 1), &collect->budget, &error);

    if (days == NULL) {
        leave_out(collect, entry, error->message);
        return;
    }
    for (guint i = 0; i < days->len; i++) {
        struct spl_day day = g_array_index(days, struct spl_day, i);

        if (day.n != entry->first.n && !is_excepted(collect, entry, day))
            add_instance(collect, entry, day);
    }
}

static void add_repeating(struct collect *collect, const struct spl_entry *entry)
{
    if (!is_excepted(collect, entry, entry->first))
        add_instance(collect, entry, entry->first);
    for (guint i = 0; entry->extra != NULL && i < entry->extra->len; i++) {
        struct spl_day day = g_array_index(entry->extra, struct spl_day, i);

        if (!is_excepted(collect, entry, day))
            add_instance(collect, entry, day);
    }
    if (entry->rule != NULL)
        expand(collect, entry);
}

static void take(struct collect *collect, struct spl_entry *entry)
{
    if (entry->override && entry->uid != NULL && spl_day_is_set(entry->override_day))
        g_hash_table_add(collect->overrides,
                         g_strdup_printf("%s %d", entry->uid, entry->override_day.n));
    if (entry->kind != SPL_ENTRY_EVENT || !entry->opaque || entry->status == SPL_ENTRY_CANCELLED)
        return;
    if ((entry->rule != NULL || entry->extra != NULL) && !entry->override) {
        g_array_append_val(collect->repeating, *entry);
        spl_entry_init(entry); /* its texts have moved */
        return;
    }
    add_instance(collect, entry, entry->first);
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

gboolean spl_busy_read(const char *path, struct spl_day first, struct spl_day last,
                       const char *zone, struct spl_busy_read *out, GError **error)
{
    g_autoptr(spl_ical_reader) reader = NULL;
    g_autoptr(GArray) repeating = g_array_new(FALSE, FALSE, sizeof(struct spl_entry));
    g_autoptr(GHashTable) overrides = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GError) failure = NULL;
    struct collect collect = {
        out, NULL, first, last, zone, repeating, overrides, DAYS_LOOKED_AT_MAX, FALSE};
    struct spl_entry entry;
    GArray *left;

    g_array_set_clear_func(repeating, entry_clear);
    if (!spl_day_is_set(first) || !spl_day_is_set(last) || spl_day_diff(last, first) < 0 ||
        spl_day_diff(last, first) > SPAN_DAYS_MAX) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "busy times are read for 1 to %d days: give a first day and a later last one",
                    SPAN_DAYS_MAX);
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
    *out = (struct spl_busy_read){.busy = spl_list_new(&spl_busy_shape),
                                  .left_out = spl_list_new(&spl_ical_left_shape)};
    collect.scan = spl_ical_reader_scan(reader);
    spl_entry_init(&entry);
    while (spl_ical_reader_next(reader, &entry, &failure))
        take(&collect, &entry);
    if (failure != NULL) {
        g_propagate_error(error, g_steal_pointer(&failure));
        spl_record_clear(&spl_busy_read_shape, out);
        return FALSE;
    }
    for (guint i = 0; i < repeating->len; i++)
        add_repeating(&collect, &g_array_index(repeating, struct spl_entry, i));
    g_array_sort(out->busy, compare_busy);
    out->file = g_strdup(path);
    out->truncated = spl_ical_scan_truncated(collect.scan);
    left = spl_ical_scan_left_out(collect.scan);
    g_array_set_size(out->left_out, left->len);
    for (guint i = 0; i < left->len; i++)
        spl_record_copy(&spl_ical_left_shape, &g_array_index(left, struct spl_ical_left, i),
                        &g_array_index(out->left_out, struct spl_ical_left, i));
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

/* SPDX-License-Identifier: MIT
 *
 * What should stand in the person's calendar, entry by entry: windows, outings, steps of batches,
 * use-by days of lots, days on which a verdict changes. The same book gives the same entries on
 * every day of a season: verdicts are those of the entry's own day, and nothing counts from today
 * but that a place is closed.
 *
 * An entry on its way, and who calls whom:
 *
 *     calendar_write.c, calendar_read.c     fill struct spl_calendar_gather: scope, each, data
 *        │  spl_calendar_gather()
 *        ▼
 *     calendar_gather.c
 *        │  spl_calendar_gather_windows(), _outings(), _steps(), _checks()
 *        ▼
 *     calendar_windows.c, _outings.c, _steps.c, _checks.c, entry by entry:
 *        │  spl_calendar_item_begin()   a key, and its row of the register
 *        │  spl_calendar_remind()       steps and checks: an event, a task or both
 *        │  spl_calendar_hand_on()      windows and outings come here at once
 *        ▼
 *     gather->each(item, data), back where it began: spl_calendar_emit_item() writes it,
 *     take_years() notes its year alone, take_item() holds it against what a calendar says
 */
#ifndef SPL_SEASON_CALENDAR_GATHER_H
#define SPL_SEASON_CALENDAR_GATHER_H

#include "book/calendar_walk.h"
#include "exchange/entry.h"
#include "season/house_private.h"
#include "simpling/calendar.h"

enum spl_calendar_what {
    SPL_CALENDAR_WINDOWS = 1 << 0,
    SPL_CALENDAR_OUTINGS = 1 << 1,
    SPL_CALENDAR_STEPS = 1 << 2,
    SPL_CALENDAR_CHECKS = 1 << 3,
    SPL_CALENDAR_ALL = (1 << 4) - 1
};
/* "windows", "outings", "steps", "checks": the word of each bit, which is the category too. */
#define SPL_CALENDAR_KINDS 4
extern const char *const spl_calendar_kinds[SPL_CALENDAR_KINDS];

enum spl_calendar_tasks {
    SPL_CALENDAR_EVENTS,    /* reminders are events */
    SPL_CALENDAR_TASKS_TOO, /* and each a task beside it */
    SPL_CALENDAR_TASKS_ONLY /* tasks instead */
};

/* Which entries, and in which form. */
struct spl_calendar_scope {
    int what; /* of enum spl_calendar_what */
    enum spl_calendar_tasks tasks;
    int at_min;              /* minutes after midnight for reminders; -1: all-day */
    gboolean with_places;    /* GEO of the sites */
    struct spl_day from, to; /* only entries that touch these days; unset: no bound */
};
#define SPL_CALENDAR_SCOPE                                                                         \
    ((struct spl_calendar_scope){                                                                  \
        .what = SPL_CALENDAR_ALL, .at_min = -1, .from = SPL_DAY_NONE, .to = SPL_DAY_NONE})

struct spl_calendar_item {
    struct spl_entry entry; /* all but sequence and changed_at */
    char *key;
    int year;                               /* in whose file it belongs */
    struct spl_day outer_first, outer_last; /* a window's earliest and latest day */
    gboolean done;
    gboolean in_book;            /* dropping it is a fact of the book, not of the calendar alone */
    gsize lead;                  /* octets of the title that the book must say, whatever else */
    const char *code;            /* of the batch or lot, borrowed; NULL */
    const char *site;            /* its name, borrowed; NULL */
    struct spl_day since;        /* of the batch: nothing is done before; unset else */
    char *before, *before_uid;   /* key and UID of the step before it; NULL */
    gboolean known;              /* the register has it: */
    struct spl_calendar_row row; /* as it stands there */
    gboolean had;                /* where entries are written: the target had it */
    struct spl_calendar_sent sent;
};

typedef gboolean (*spl_calendar_each)(struct spl_calendar_item *item, gpointer data,
                                      GError **error);

struct spl_calendar_gather {
    struct spl_house *house;
    const struct spl_calendar_scope *scope;
    char *zone;  /* of timed reminders; NULL: all-day */
    char *clock; /* zone of outings; NULL: all-day */
    spl_calendar_each each;
    gpointer data;
    guint8 *met; /* SPL_CALENDAR_MET_SIZE zeros for a register that was empty at the start, so that
                    it need not be asked about what was never met before; NULL: always ask */
    spl_calendar_walk *walk; /* the register beside what is written; NULL: nothing is, or it was
                                empty */

    /* Filled by spl_calendar_gather. */
    char *space;                /* the book's UUID */
    GHashTable *sites;          /* name -> struct spl_site */
    GHashTable *years;          /* growing years whose windows were gathered */
    int season;                 /* the growing year of today at home */
    struct spl_day first, last; /* of it */
};

#define SPL_CALENDAR_MET_SIZE (1 << 20)

/* Calls `each` for every entry in the scope. */
gboolean spl_calendar_gather(struct spl_calendar_gather *gather, GError **error);
void spl_calendar_gather_clear(struct spl_calendar_gather *gather);

/* For the files of each kind: begins an item of this key (taken over) and looks it up. */
gboolean spl_calendar_item_begin(struct spl_calendar_gather *gather, struct spl_calendar_item *item,
                                 char *key, GError **error);
void spl_calendar_item_clear(struct spl_calendar_item *item);

/* Hands on an entry as it is, coloured by its kind. */
gboolean spl_calendar_hand_on(struct spl_calendar_gather *gather, struct spl_calendar_item *item,
                              GError **error);

/* Hands on a reminder: as an event, a task or both, with its time and alarm as the scope says. The
 * item has kind, subject and texts; `alarm` FALSE: none. Clears the item. */
gboolean spl_calendar_remind(struct spl_calendar_gather *gather, struct spl_calendar_item *item,
                             gboolean alarm, GError **error);

/* calendar_windows.c, calendar_outings.c, calendar_steps.c, calendar_checks.c */
gboolean spl_calendar_gather_windows(struct spl_calendar_gather *gather, GError **error);
gboolean spl_calendar_gather_outings(struct spl_calendar_gather *gather, GError **error);
gboolean spl_calendar_gather_steps(struct spl_calendar_gather *gather, GError **error);
gboolean spl_calendar_gather_checks(struct spl_calendar_gather *gather, GError **error);

/* "CLOSED: " where the ground is closed today or on the first day of the entry, whose verdict
 * `on_first` is; "CLOSED from 2 June: " where it closes before the last; "" else, and for what is
 * over. What invites to a place begins with it, since on a phone only the title is seen. Free with
 * g_free. */
struct spl_ground;
struct spl_verdict_result;
gboolean spl_calendar_closed_today(const struct spl_calendar_gather *gather,
                                   const struct spl_ground *ground);
char *spl_calendar_closed(const struct spl_calendar_gather *gather, const struct spl_ground *ground,
                          gboolean closed_today, const struct spl_material *material,
                          const struct spl_verdict_result *on_first, struct spl_day first,
                          struct spl_day last);

/* All sites by name: borrowed struct spl_site. Free with g_ptr_array_unref. */
GPtrArray *spl_calendar_sites(const struct spl_calendar_gather *gather);

struct spl_verdict_result;
/* The verdict's reasons, one a line, each with its date. */
void spl_calendar_reason_lines(const struct spl_verdict_result *result, GString *text);
/* The same, then "Check again before picking." */
void spl_calendar_reasons(const struct spl_verdict_result *result, GString *text);

/* "Nettle leaf" for nettle/leaf; the slug itself when the tables no longer know it. */
char *spl_calendar_spoken(const struct spl_tables *tables, const char *slug);

#endif

/* SPDX-License-Identifier: MIT
 *
 * The numbered migrations, and what they leave: there is no second schema, as that of a fresh book
 * is written down from them at build time.
 */
#ifndef SPL_BOOK_MIGRATIONS_H
#define SPL_BOOK_MIGRATIONS_H

#include <glib.h>

struct spl_migration {
    const char *name; /* what it brings */
    const char *sql;
};

/* Number n is spl_migrations[n - 1]. Only ever appended to once a release is out. */
extern const struct spl_migration spl_migrations[];
extern const int spl_n_migrations;

/* fresh.c: what the first `spl_fresh_number` migrations leave in an empty database, row by row as
 * it stands in sqlite_schema; the last has no type. */
struct spl_fresh_part {
    const char *type, *name, *table;
    const char *sql; /* NULL: SQLite's own */
    gboolean made;   /* by a statement; FALSE: comes with another part */
};
extern const struct spl_fresh_part spl_fresh_parts[];
extern const int spl_fresh_number;

extern const char spl_migration_sources[];  /* migration_sources.c */
extern const char spl_migration_calendar[]; /* migration_calendar.c */
extern const char spl_migration_plan[];     /* migration_plan.c */
extern const char spl_migration_batches[];  /* migration_batches.c */

extern const char spl_migration_hazards[]; /* migration_hazards.c */
extern const char spl_migration_facts[];   /* migration_facts.c */
extern const char spl_migration_yield[];   /* migration_yield.c */
extern const char spl_migration_care[];    /* migration_care.c */

extern const char spl_migration_recipes[]; /* migration_recipes.c */
extern const char spl_migration_plan_recipe[];
extern const char spl_migration_liquids[]; /* migration_liquids.c */
extern const char spl_migration_live[];    /* migration_live.c */

extern const char spl_migration_week[];    /* migration_week.c */
extern const char spl_migration_between[]; /* migration_between.c */
extern const char spl_migration_over[];    /* migration_over.c */
extern const char spl_migration_photos[];  /* migration_photos.c */

extern const char spl_migration_notes[];       /* migration_notes.c */
extern const char spl_migration_judged[];      /* migration_judged.c */
extern const char spl_migration_trust[];       /* migration_judged.c */
extern const char spl_migration_judged_area[]; /* migration_judged.c */

extern const char spl_migration_plan_making[]; /* migration_plan.c */

extern const char spl_migration_weather_follow[];  /* migration_weather.c */
extern const char spl_migration_calendar_theirs[]; /* migration_calendar.c */

#endif

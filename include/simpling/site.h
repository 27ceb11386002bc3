/* SPDX-License-Identifier: MIT
 *
 * Places: adding and changing sites, who allowed gathering, what was said about spraying, which
 * growth stages were seen.
 */
#ifndef SIMPLING_SITE_H
#define SIMPLING_SITE_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/record/site.h"
#include "simpling/row.h"

/* A site as `site list` shows it, with the verdict of a day. */
struct spl_site_line {
    char *name;
    double lat, lon;    /* WGS 84 */
    double elevation_m; /* NAN: unknown */
    char *verdict;      /* "clear", "ask", "closed" */
    char *why;          /* the worst reason */
};
extern const struct spl_shape spl_site_line_shape;

/* Everything about one site. */
struct spl_site_sheet {
    struct spl_site *site;
    char *verdict;
    GArray *permissions; /* struct spl_permission_note */
    GArray *notes;       /* struct spl_spray_record */
    GArray *stages;      /* struct spl_stage_record */
};
extern const struct spl_shape spl_site_sheet_shape;

/*
 * What `site add` and `site edit` may say; NULL: not said. `name` of an edit is the new name. A
 * name shaped like a code is refused (SPL_ERROR_INVALID).
 */
struct spl_site_words {
    const char *name;
    const char *at;        /* coordinates */
    const char *elevation; /* metres, bare or with a unit */
    const char *accuracy;  /* metres */
    const char *area;      /* a file with the ground's outline as WKT */
    const char *remark;
    const char *contaminated; /* why; "" takes the mark away (edit only) */
    int own;                  /* 1: ground of one's own, 0: not, -1: not said */
};

gboolean spl_site_new(struct spl_house *house, const struct spl_site_words *words,
                      struct spl_site *site, GError **error);
/* Changes what is said; `why` is kept with the old values. `touched`: a line for each harvest of
 * ground that is marked contaminated now, with what it went into; free it with g_ptr_array_unref.
 * SPL_ERROR_USAGE when nothing is said. */
gboolean spl_site_change(struct spl_house *house, const char *name,
                         const struct spl_site_words *words, const char *why, struct spl_site *site,
                         GPtrArray **touched, GError **error);

/* All sites with today's verdict, by name: calls `each` for one line at a time. */
gboolean spl_site_lines(struct spl_house *house, struct spl_day on,
                        gboolean (*each)(const struct spl_site_line *line, gpointer data,
                                         GError **error),
                        gpointer data, GError **error);

gboolean spl_site_sheet(struct spl_house *house, const char *name, struct spl_site_sheet *sheet,
                        GError **error);

struct spl_permission_words {
    gboolean given; /* FALSE: refused */
    const char *by;
    gboolean written;
    const char *parts;  /* "leaf,flower"; "any" for digging too; NULL: all that need no digging */
    const char *amount; /* in words */
    struct spl_day on, until;
};
gboolean spl_site_permit(struct spl_house *house, const char *name,
                         const struct spl_permission_words *words, struct spl_permission_note *note,
                         GError **error);

struct spl_spray_words {
    const char *kind; /* "unsprayed", "sprayed", "planned" */
    const char *source;
    const char *method, *product; /* NULL: not said */
    struct spl_day on, since, until;
};
/* `note` gets its code. A spraying in the past names what was picked there since. */
gboolean spl_spray_note_add(struct spl_house *house, const char *site,
                            const struct spl_spray_words *words, struct spl_spray_record *note,
                            GPtrArray **touched, GError **error);

gboolean spl_stage_note_add(struct spl_house *house, const char *site, const char *material,
                            const char *stage, struct spl_day on, const char *by,
                            const char *remark, struct spl_stage_record *note, GError **error);
/* Latest first; NULL: any site, any material. A list of spl_stage_record_shape. */
GArray *spl_stage_notes(struct spl_house *house, const char *site, const char *material,
                        GError **error);

#endif

/* SPDX-License-Identifier: MIT
 *
 * Places: adding and changing sites, who allowed gathering, what was said about spraying, which
 * growth stages were seen.
 */
#ifndef SIMPLING_SITE_H
#define SIMPLING_SITE_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/reason.h"
#include "simpling/record/site.h"
#include "simpling/row.h"

/* A site as `site list` shows it, with the verdict of a day. */
struct spl_site_line {
    char *name;
    double lat, lon;    /* WGS 84 */
    double elevation_m; /* NAN: unknown */
    enum spl_verdict verdict;
    char *why;       /* every reason against it, worst first, in words */
    GArray *reasons; /* struct spl_reason */
};
extern const struct spl_shape spl_site_line_shape;

/* Everything about one site. */
struct spl_site_sheet {
    struct spl_site *site;
    enum spl_verdict verdict;
    GArray *permissions; /* struct spl_permission_note */
    GArray *notes;       /* struct spl_spray_record */
    GArray *stages;      /* struct spl_stage_record */
};
extern const struct spl_shape spl_site_sheet_shape;

/* Where a place is and what is known of it; a name shaped like a code is refused. Lengths in m. */
struct spl_site_words {
    const char *name;
    struct spl_coordinates at;
    double elevation_m;
    double accuracy_m; /* how far the position may be off */
    const char *area;  /* a file with the ground's outline as WKT */
    const char *remark;
    const char *contaminated; /* closed for good, and why */
    int own;                  /* 1: ground of one's own, 0: not, -1: not said */
};
extern const struct spl_inputs spl_site_inputs;
/*
 * Without a point of its own, the outline's middle stands for the site. SPL_ERROR_INVALID when it
 * is far from all that the book knows and near with latitude and longitude the other way round. Far
 * either way is a caution: `caution` gets it, NULL when there is none (free with g_free).
 */
gboolean spl_site_new(struct spl_house *house, const struct spl_site_words *words,
                      struct spl_site *site, char **caution, GError **error);

struct spl_site_edit_words {
    const char *site;
    struct spl_site_words to;  /* `name`: the new one */
    gboolean not_contaminated; /* the mark was wrong, or a test cleared it */
    const char *why;           /* kept with the old values; NULL: "edited" */
};
extern const struct spl_inputs spl_site_edit_inputs;
/* Changes what is said. Ground that is contaminated now names what was picked there: `touched`,
 * free with g_ptr_array_unref. `caution` as with spl_site_new. SPL_ERROR_USAGE when nothing is
 * said. */
gboolean spl_site_change(struct spl_house *house, const struct spl_site_edit_words *words,
                         struct spl_site *site, GPtrArray **touched, char **caution,
                         GError **error);

struct spl_site_question {
    struct spl_day on; /* none: today */
};
extern const struct spl_inputs spl_site_question_inputs;
/* All sites with the verdict of that day, by name: calls `each` for one line at a time. */
gboolean spl_site_lines(struct spl_house *house, const struct spl_site_question *question,
                        gboolean (*each)(const struct spl_site_line *line, gpointer data,
                                         GError **error),
                        gpointer data, GError **error);

/* The one place that is asked for. */
struct spl_site_pick {
    const char *site;
};
extern const struct spl_inputs spl_site_pick_inputs;
gboolean spl_site_sheet(struct spl_house *house, const char *name, struct spl_site_sheet *sheet,
                        GError **error);

struct spl_permission_words {
    const char *site;
    gboolean given, refused; /* one of them */
    const char *by;
    gboolean written;
    const char *parts;  /* "leaf,flower"; "any" for digging too; NULL: all that need no digging */
    gboolean teaching;  /* to teach there, and to take nothing for stock: then no parts */
    const char *amount; /* in words */
    struct spl_day on;  /* the day it was said; none: today */
    struct spl_day until;
    const char *photo; /* path of one that goes with it, as of the letter; NULL */
};
extern const struct spl_inputs spl_permission_inputs;
gboolean spl_site_permit(struct spl_house *house, const struct spl_permission_words *words,
                         struct spl_permission_note *note, GError **error);

struct spl_spray_words {
    const char *site;
    const char *kind; /* "unsprayed", "sprayed", "planned" */
    const char *source;
    const char *method, *product; /* NULL: not said */
    /* Of the word (none: today), or of the spraying (none: not known; a planned one needs it). */
    struct spl_day on;
    struct spl_day since, until; /* of an unsprayed word */
    const char *photo;           /* path of one that goes with it; NULL */
};
extern const struct spl_inputs spl_spray_inputs;
/* `note` gets its code. A spraying in the past names what was picked there since. */
gboolean spl_spray_note_add(struct spl_house *house, const struct spl_spray_words *words,
                            struct spl_spray_record *note, GPtrArray **touched, GError **error);

struct spl_stage_words {
    const char *site, *material;
    const char *stage;  /* in words or as a BBCH code */
    struct spl_day on;  /* none: today */
    const char *by;     /* NULL: the setting `who` */
    const char *remark; /* NULL */
    const char *photo;  /* path of one that goes with it; NULL */
};
extern const struct spl_inputs spl_stage_inputs;
gboolean spl_stage_note_add(struct spl_house *house, const struct spl_stage_words *words,
                            struct spl_stage_record *note, GError **error);

struct spl_stage_question {
    const char *site, *material; /* NULL: any */
};
extern const struct spl_inputs spl_stage_question_inputs;
/* Latest first. A list of spl_stage_record_shape. */
GArray *spl_stage_notes(struct spl_house *house, const struct spl_stage_question *question,
                        GError **error);

#endif

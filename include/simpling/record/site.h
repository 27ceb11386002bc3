/* SPDX-License-Identifier: MIT
 *
 * Plain records about places: the site, who allowed gathering there, what was said about spraying,
 * which growth stages were seen. Free what one holds with spl_record_clear and its shape.
 */
#ifndef SIMPLING_RECORD_SITE_H
#define SIMPLING_RECORD_SITE_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/photo.h"
#include "simpling/record/state.h"
#include "simpling/row.h"

/* What a danger that comes to light late touches: a harvest, or what came of one. */
struct spl_touched {
    char *code;
    enum spl_thing_kind kind;
    char *harvest; /* the code of the harvest that it came of */
    double left_g; /* what is still there; NAN: not told in grams */
    double left_ml;
};
extern const struct spl_shape spl_touched_shape;

struct spl_site {
    gint64 id;
    char *uuid;
    char *name;
    double lat, lon;    /* WGS 84, degrees */
    double elevation_m; /* NAN: unknown */
    double accuracy_m;  /* of the position; NAN: unknown */
    gboolean own;       /* ground of one's own */
    char *contaminated; /* why; NULL: not marked */
    struct spl_day contaminated_on;
    char *remark;
    char *outline_wkt; /* the exact ground as WKT; NULL: the point alone */
    gboolean damaged; /* its outline is there and cannot be read: the ground is to be asked about */
    gboolean gone;    /* only records still name it; lat and lon may be NAN. The same holds */
    GArray *touched;  /* struct spl_touched: what was picked there; of ground just marked */
};
extern const struct spl_shape spl_site_shape;

#define SPL_PERMISSION_TEACHING                                                                    \
    "teaching" /* in place of parts: to teach there, nothing for stock */
struct spl_permission_note {
    gint64 id;
    char *uuid; /* when it is read from the book */
    char *site;
    gboolean given;
    char *by;
    struct spl_day on;
    struct spl_day until; /* none: open */
    gboolean written;
    char *parts;  /* part names with commas, "any", or "": all that need no digging; or teaching */
    char *amount; /* in words; NULL */
    GArray *photos; /* struct spl_photo; NULL: not looked up */
};
extern const struct spl_shape spl_permission_note_shape;

struct spl_spray_record {
    char *code;
    char *site;
    enum spl_spray_kind kind;
    struct spl_day on, since, until;
    struct spl_day noted; /* when it was written down; of one read from the book */
    char *source, *method, *product;
    char *struck;    /* why it no longer stands; NULL */
    char *uuid;      /* when it is read from the book */
    GArray *touched; /* struct spl_touched: what was picked there since; of one just noted */
    GArray *photos;  /* struct spl_photo; NULL: not looked up */
};
extern const struct spl_shape spl_spray_record_shape;

struct spl_stage_record {
    gint64 site_id;
    char *code;
    char *site;
    char *material;
    int stage;
    char *stage_word; /* filled by season for output; NULL from the book */
    struct spl_day on;
    char *by, *remark;
    char *struck;
    GArray *photos; /* struct spl_photo; NULL: not looked up */
};
extern const struct spl_shape spl_stage_record_shape;

#endif

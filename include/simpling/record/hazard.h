/* SPDX-License-Identifier: MIT
 *
 * Plain records about hazards: layers of contaminated ground, one hazard near a place, the figures
 * of a method. Free what one holds with spl_record_clear and its shape.
 */
#ifndef SIMPLING_RECORD_HAZARD_H
#define SIMPLING_RECORD_HAZARD_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/row.h"

struct spl_hazard_layer {
    gint64 id;
    char *uuid; /* when it is read from the book */
    char *name;
    char *source;
    char *checksum; /* of the file; NULL: by hand */
    char *crs;
    char *methods; /* slugs with commas */
    gint64 records;
    gint64 unread;     /* more than 0: the layer has gaps */
    double accuracy_m; /* NAN: positions are doubtful */
    double min_lon, min_lat, max_lon, max_lat;
    struct spl_day imported;
    GArray *touched; /* struct spl_touched: what was picked there since; of one just added */
};
extern const struct spl_shape spl_hazard_layer_shape;

/* What `check --near` lists: a hazard and how far it is. */
struct spl_hazard_line {
    char *what; /* its name, or the method's */
    char *method;
    double distance_m;    /* 0: on it */
    double uncertainty_m; /* of the ground's position; NAN: doubtful */
    struct spl_day on;
    char *product;
    char *layer;
    gint64 record;
};
extern const struct spl_shape spl_hazard_line_shape;

/* The figures of one method as this book uses them. */
struct spl_method_line {
    char *method, *name;
    gboolean lasting;
    double closed_m, ask_m;
    int hold_on_days, hold_near_days;
    char *source;           /* of the table's figures */
    struct spl_day changed; /* on which this book changed them; none: the table's */
    char *why;
};
extern const struct spl_shape spl_method_line_shape;

#endif

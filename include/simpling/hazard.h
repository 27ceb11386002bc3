/* SPDX-License-Identifier: MIT
 *
 * Sprayed or otherwise fouled ground: map layers read in, ground added by hand, the figures by
 * which each method is judged.
 */
#ifndef SIMPLING_HAZARD_H
#define SIMPLING_HAZARD_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/hazard.h"

/* A map layer to be read in. */
struct spl_hazard_import_words {
    const char *path;   /* of the .shp, .geojson (.json) or .gpx */
    const char *layer;  /* the name it is kept under; NULL: the file's */
    const char *source; /* who made it; NULL: the file's name */
    const char *method; /* for records whose own is empty or unknown; NULL: method_field is said */
    const char *method_field, *date_field, *product_field, *name_field; /* columns */
    const char *crs, *encoding;
    struct spl_day on; /* of records without a day of their own; none: not known */
    gboolean dry_run;  /* look, and write nothing */
};
extern const struct spl_inputs spl_hazard_import_inputs;

struct spl_hazard_skip {
    gint64 record; /* from 1, as in the file */
    char *reason;
};
extern const struct spl_shape spl_hazard_skip_shape;

struct spl_hazard_column {
    char *name, *type;
    int width;
    GPtrArray *first; /* its first values */
};
extern const struct spl_shape spl_hazard_column_shape;

struct spl_hazard_import {
    char *layer;
    char *kind; /* "polygons" … */
    gint64 records, imported, repaired;
    gint64
        unread; /* could not be had: the layer is incomplete, sites near it are to be asked about */
    gint64 deleted;  /* struck out by the layer's owner */
    GArray *skipped; /* struct spl_hazard_skip: the first of both */
    char *crs, *encoding;
    /* What it covers, in degrees on WGS 84; NAN: nothing could be read. */
    double min_lat, max_lat, min_lon, max_lon;
    double accuracy_m;  /* NAN: positions are doubtful, sites near are to be asked about */
    GArray *fields;     /* struct spl_hazard_column; dry run only */
    GPtrArray *remarks; /* what else was found */
    GPtrArray *touched; /* harvests picked on or beside it since, with what they went into */
    GArray *picked;     /* the same as records: struct spl_touched */
    double seconds;
};
extern const struct spl_shape spl_hazard_import_shape;

/*
 * Reads a layer in, replacing an older one of its name whole or not at all. One that lies far from
 * all that the book knows, or whose numbers cannot be those of its reference system, is
 * SPL_ERROR_INVALID with what it looks like (in a dry run a remark). SPL_ERROR_USAGE when none of
 * method, method_field and dry_run is said; see exchange/shapefile.h for what a file may do. Only
 * in a program that is linked with PROJ.
 */
gboolean spl_hazard_read(struct spl_house *house, const struct spl_hazard_import_words *words,
                         struct spl_hazard_import *import, GError **error);

/* A place of a line. */
struct spl_hazard_corner {
    struct spl_coordinates at;
};

/* Ground added by hand, one of at, wkt and along. Lengths in m. */
struct spl_hazard_words {
    const char *name;
    const char *method;
    struct spl_coordinates at;
    double radius_m; /* around `at`; NAN: the point itself */
    const char *wkt; /* any shape, longitude first */
    GArray *along;   /* struct spl_hazard_corner, two or more: a line; NULL: none */
    struct spl_day on;
    const char *product, *source;
    double accuracy_m; /* NAN: 10 m */
};
extern const struct spl_inputs spl_hazard_inputs;
/* `touched` names harvests on or beside it since; free with g_ptr_array_unref. */
gboolean spl_hazard_new(struct spl_house *house, const struct spl_hazard_words *words,
                        struct spl_hazard_layer *layer, GPtrArray **touched, GError **error);

/* All layers and hazards by name: a list of spl_hazard_layer_shape. */
GArray *spl_hazard_list(struct spl_house *house, GError **error);

/* The one layer or hazard that is meant. */
struct spl_hazard_pick {
    const char *name;
};
extern const struct spl_inputs spl_hazard_pick_inputs;
gboolean spl_hazard_drop(struct spl_house *house, const struct spl_hazard_pick *pick,
                         GError **error);

/* What lies near one place. */
struct spl_hazard_near_question {
    const char *site;
    double within_m; /* 1 m to 100 km */
};
extern const struct spl_inputs spl_hazard_near_inputs;
/* Nearest first: a list of spl_hazard_line_shape. */
GArray *spl_hazard_lines(struct spl_house *house, const struct spl_hazard_near_question *question,
                         GError **error);

/* All methods with this book's figures: a list of spl_method_line_shape. */
GArray *spl_hazard_methods(struct spl_house *house, GError **error);

/* Figures of a method for this book; one of the four at least. */
struct spl_method_words {
    const char *method;
    double closed_m, ask_m;           /* NAN: not said */
    int hold_on_days, hold_near_days; /* SPL_COUNT_NONE: not said */
    const char *why, *by;
};
extern const struct spl_inputs spl_method_inputs;
gboolean spl_hazard_method_change(struct spl_house *house, const struct spl_method_words *words,
                                  struct spl_method_line *line, GError **error);

#endif

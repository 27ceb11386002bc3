/* SPDX-License-Identifier: MIT
 *
 * Well-known text in and out (OGC 06-103r4, 7.2). The reader is a plain walk over the text without
 * recursion, so depth and length cannot hurt it.
 */
#include "core/geometry.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "simpling/error.h"

struct reader {
    const char *text, *at;
    const char *what;
    struct spl_geometry *geometry;
    int coordinates; /* in one position; 0: not yet known */
    GError **error;
};

static gboolean fault(const struct reader *reader, const char *wanted)
{
    if (reader->error != NULL && *reader->error == NULL)
        g_set_error(reader->error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: %s at character %ld; write it as POLYGON((-2.46 54.97, -2.45 54.97, -2.45 "
                    "54.98, -2.46 54.97)), longitude first",
                    reader->what, wanted, (long)(reader->at - reader->text + 1));
    return FALSE;
}

static void skip_space(struct reader *reader)
{
    while (g_ascii_isspace(*reader->at))
        reader->at++;
}

static gboolean take(struct reader *reader, char c)
{
    skip_space(reader);
    if (*reader->at != c)
        return FALSE;
    reader->at++;
    return TRUE;
}

static gboolean take_word(struct reader *reader, const char *word)
{
    gsize n = strlen(word);

    skip_space(reader);
    if (g_ascii_strncasecmp(reader->at, word, n) != 0 || g_ascii_isalnum(reader->at[n]))
        return FALSE;
    reader->at += n;
    return TRUE;
}

static gboolean read_number(struct reader *reader, double *number)
{
    char *end;
    gsize n;

    skip_space(reader);
    n = strspn(reader->at, "+-.0123456789eE"); /* keeps nan, inf and hexadecimal out */
    if (n == 0 || n > 60)
        return fault(reader, "a number is wanted");
    *number = g_ascii_strtod(reader->at, &end);
    if (end != reader->at + n || !isfinite(*number))
        return fault(reader, "a number is wanted");
    reader->at = end;
    return TRUE;
}

static gboolean read_position(struct reader *reader)
{
    double value[4];
    int n = 0;

    do {
        if (n == 4)
            return fault(reader, "a place has more than four numbers");
        if (!read_number(reader, &value[n]))
            return FALSE;
        n++;
        skip_space(reader);
    } while (*reader->at != ',' && *reader->at != ')' && *reader->at != '\0');
    if (n < 2 || (reader->coordinates != 0 && n != reader->coordinates))
        return fault(reader, n < 2 ? "a place needs longitude and latitude"
                                   : "the places have different numbers of coordinates");
    reader->coordinates = n;
    if (spl_geometry_n_points(reader->geometry) >= SPL_GEOMETRY_POINTS_MAX) {
        g_set_error(reader->error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: more than %d places; give a smaller shape", reader->what,
                    SPL_GEOMETRY_POINTS_MAX);
        return FALSE;
    }
    spl_geometry_append(reader->geometry, value[0], value[1]);
    return TRUE;
}

/* "(x y, x y)" as one path. */
static gboolean read_path(struct reader *reader, gboolean hole)
{
    if (!take(reader, '('))
        return fault(reader, "'(' is wanted");
    spl_geometry_begin(reader->geometry, hole);
    do
        if (!read_position(reader))
            return FALSE;
    while (take(reader, ','));
    return take(reader, ')') || fault(reader, "',' or ')' is wanted");
}

static gboolean read_points(struct reader *reader)
{
    if (!take(reader, '('))
        return fault(reader, "'(' is wanted");
    spl_geometry_begin(reader->geometry, FALSE);
    do {
        gboolean wrapped = take(reader, '(');

        if (!read_position(reader))
            return FALSE;
        if (wrapped && !take(reader, ')'))
            return fault(reader, "')' is wanted");
    } while (take(reader, ','));
    return take(reader, ')') || fault(reader, "',' or ')' is wanted");
}

static gboolean read_paths(struct reader *reader, gboolean rings)
{
    gboolean first = TRUE;

    if (!take(reader, '('))
        return fault(reader, "'(' is wanted");
    do {
        if (!read_path(reader, rings && !first))
            return FALSE;
        first = FALSE;
    } while (take(reader, ','));
    return take(reader, ')') || fault(reader, "',' or ')' is wanted");
}

static gboolean read_polygons(struct reader *reader)
{
    if (!take(reader, '('))
        return fault(reader, "'(' is wanted");
    do
        if (!read_paths(reader, TRUE))
            return FALSE;
    while (take(reader, ','));
    return take(reader, ')') || fault(reader, "',' or ')' is wanted");
}

/* The name, perhaps with Z, M or ZM behind it, glued or apart. */
static gboolean take_tag(struct reader *reader, const char *tag)
{
    static const char *const dimensions[] = {"ZM", "Z", "M"};

    for (guint i = 0; i < G_N_ELEMENTS(dimensions); i++) {
        g_autofree char *glued = g_strconcat(tag, dimensions[i], NULL);

        if (take_word(reader, glued)) {
            reader->coordinates = i == 0 ? 4 : 3;
            return TRUE;
        }
    }
    if (!take_word(reader, tag))
        return FALSE;
    for (guint i = 0; i < G_N_ELEMENTS(dimensions); i++)
        if (take_word(reader, dimensions[i])) {
            reader->coordinates = i == 0 ? 4 : 3;
            break;
        }
    return TRUE;
}

static gboolean read_shape(struct reader *reader)
{
    struct spl_geometry *geometry = reader->geometry;

    if (take_tag(reader, "POINT")) {
        geometry->kind = SPL_GEOMETRY_POINT;
        if (!read_path(reader, FALSE))
            return FALSE;
        return spl_geometry_n_points(geometry) == 1 || fault(reader, "a POINT is one place");
    }
    if (take_tag(reader, "MULTIPOINT")) {
        geometry->kind = SPL_GEOMETRY_POINT;
        return read_points(reader);
    }
    if (take_tag(reader, "LINESTRING")) {
        geometry->kind = SPL_GEOMETRY_LINE;
        return read_path(reader, FALSE);
    }
    if (take_tag(reader, "MULTILINESTRING")) {
        geometry->kind = SPL_GEOMETRY_LINE;
        return read_paths(reader, FALSE);
    }
    if (take_tag(reader, "POLYGON")) {
        geometry->kind = SPL_GEOMETRY_POLYGON;
        return read_paths(reader, TRUE);
    }
    if (take_tag(reader, "MULTIPOLYGON")) {
        geometry->kind = SPL_GEOMETRY_POLYGON;
        return read_polygons(reader);
    }
    return fault(reader, "POINT, LINESTRING, POLYGON or their MULTI forms are wanted");
}

struct spl_geometry *spl_geometry_from_wkt(const char *text, const char *what, GError **error)
{
    g_autoptr(spl_geometry) geometry = spl_geometry_new(SPL_GEOMETRY_POINT);
    struct reader reader = {
        .text = text, .at = text, .what = what, .geometry = geometry, .error = error};

    if (!read_shape(&reader))
        return NULL;
    skip_space(&reader);
    if (*reader.at != '\0') {
        fault(&reader, "nothing more is wanted");
        return NULL;
    }
    if (!spl_geometry_check(geometry, what, error) ||
        !spl_geometry_split_edges(geometry, what, error))
        return NULL;
    return g_steal_pointer(&geometry);
}

/* ---- out ---- */

static void write_path(GString *text, const struct spl_geometry *geometry,
                       const struct spl_path *path)
{
    const struct spl_position *p = spl_geometry_points(geometry) + path->first;

    g_string_append_c(text, '(');
    for (guint i = 0; i < path->count; i++) {
        g_autofree char *lon = spl_number_format(p[i].lon, 9);
        g_autofree char *lat = spl_number_format(p[i].lat, 9);

        g_string_append_printf(text, "%s%s %s", i > 0 ? ", " : "", lon, lat);
    }
    g_string_append_c(text, ')');
}

static char *polygon_to_wkt(const struct spl_geometry *geometry)
{
    GString *text = g_string_new(NULL);
    guint outers = 0;

    for (guint i = 0; i < geometry->paths->len; i++) {
        const struct spl_path *path = spl_geometry_path(geometry, i);

        if (!path->hole)
            g_string_append(text, outers++ > 0 ? "), (" : "(");
        else
            g_string_append(text, ", ");
        write_path(text, geometry, path);
    }
    g_string_append_c(text, ')');
    if (outers > 1) {
        g_string_prepend(text, "MULTIPOLYGON(");
        g_string_append_c(text, ')');
    } else
        g_string_prepend(text, "POLYGON");
    return g_string_free(text, FALSE);
}

char *spl_geometry_to_wkt(const struct spl_geometry *geometry)
{
    GString *text;

    if (geometry->kind == SPL_GEOMETRY_POLYGON)
        return polygon_to_wkt(geometry);
    text = g_string_new(NULL);
    if (geometry->kind == SPL_GEOMETRY_POINT)
        g_string_append(text, spl_geometry_n_points(geometry) > 1 ? "MULTIPOINT" : "POINT");
    else
        g_string_append(text, geometry->paths->len > 1 ? "MULTILINESTRING(" : "LINESTRING");
    for (guint i = 0; i < geometry->paths->len; i++) {
        if (i > 0)
            g_string_append(text, ", ");
        write_path(text, geometry, spl_geometry_path(geometry, i));
    }
    if (geometry->kind == SPL_GEOMETRY_LINE && geometry->paths->len > 1)
        g_string_append_c(text, ')');
    return g_string_free(text, FALSE);
}

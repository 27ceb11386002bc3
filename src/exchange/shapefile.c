/* SPDX-License-Identifier: MIT
 *
 * Reading a shapefile: opening its files together, then record by record into sound ground, with a
 * count of everything that was mended, left out or could not be had.
 */
#include "exchange/shapefile.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "base/file.h"
#include "exchange/projection.h"
#include "exchange/shape_rings.h"
#include "exchange/shape_source.h"
#include "exchange/shape_table.h"
#include "simpling/error.h"

#define TELL_EVERY 1000
#define PRJ_MAX 65536
#define BAD_DATES_NAMED 5 /* records, in words */

static const struct spl_field field_fields[] = {
    SPL_FIELD(spl_shapefile_field, name, SPL_TEXT, "name", "column"),
    SPL_FIELD(spl_shapefile_field, type, SPL_TEXT, "type", "holds"),
    SPL_FIELD(spl_shapefile_field, width, SPL_INT, "width", "width"),
    SPL_FIELD(spl_shapefile_field, first, SPL_TEXTS, "first", "first values"),
};
const struct spl_shape spl_shapefile_field_shape =
    SPL_SHAPE("column", spl_shapefile_field, field_fields);

static const struct spl_field skip_fields[] = {
    SPL_FIELD(spl_shapefile_skip, record, SPL_LONG, "record", "record"),
    SPL_FIELD(spl_shapefile_skip, reason, SPL_TEXT, "reason", "why"),
};
const struct spl_shape spl_shapefile_skip_shape =
    SPL_SHAPE("skipped", spl_shapefile_skip, skip_fields);

struct spl_shapefile {
    struct spl_shape_source *source;
    struct spl_projection *projection;
    enum spl_geometry_kind kind;
    DBFHandle table; /* NULL: no table that can be read */
    int rows;        /* that it really holds; -1: no table */
    struct spl_shape_text text;
    int name_column, method_column, date_column, product_column; /* -1: none */
    gboolean degrees_assumed;
    GPtrArray *remarks;
};

/* ---- opening ---- */

static gboolean may_be_degrees(const double bounds[4])
{
    for (int i = 0; i < 4; i++)
        if (!(fabs(bounds[i]) <= (i % 2 == 0 ? 180 : 90)))
            return FALSE;
    return TRUE;
}

/* Degrees in a system of metres would all lie within a few steps of its origin. */
static gboolean numbers_fit(const struct spl_shapefile *file, GError **error)
{
    const double *b = file->source->bounds;

    if (spl_projection_is_degrees(file->projection) || !may_be_degrees(b) ||
        (b[0] == 0 && b[1] == 0 && b[2] == 0 && b[3] == 0))
        return TRUE;
    spl_error_set_input(
        error, SPL_ERROR_INVALID, "crs",
        "%s: its numbers (%.6g, %.6g to %.6g, %.6g) look like degrees and cannot be those of "
        "'%s', which is in metres; if they are longitude and latitude, name EPSG:4326",
        file->source->shp, b[0], b[1], b[2], b[3], spl_projection_name(file->projection));
    return FALSE;
}

static gboolean open_projection(struct spl_shapefile *file, const char *crs, GError **error)
{
    g_autofree char *prj = NULL;

    if (crs != NULL) {
        file->projection = spl_projection_new(crs, "crs", error);
        spl_error_about(error, "crs");
        if (file->source->prj != NULL)
            g_ptr_array_add(file->remarks,
                            g_strdup("the .prj was passed over for the system that was named"));
        return file->projection != NULL;
    }
    if (file->source->prj != NULL) {
        if ((prj = spl_file_read(file->source->prj, PRJ_MAX, NULL, NULL)) == NULL) {
            spl_error_set_input(error, SPL_ERROR_INVALID, "crs",
                                "%s: cannot be read; name the reference system as EPSG:NUMBER",
                                file->source->prj);
            return FALSE;
        }
        if (prj[strspn(prj, " \t\r\n")] != '\0') {
            file->projection = spl_projection_new(prj, file->source->prj, error);
            return file->projection != NULL;
        }
    }
    if (!may_be_degrees(file->source->bounds)) {
        spl_error_set_input(
            error, SPL_ERROR_INVALID, "crs",
            "%s: no .prj tells its reference system, and its numbers (from %.6g, %.6g) are no "
            "degrees; ask whoever made it and name the system as EPSG:NUMBER (British "
            "National Grid: EPSG:27700)",
            file->source->shp, file->source->bounds[0], file->source->bounds[1]);
        return FALSE;
    }
    file->degrees_assumed = TRUE;
    g_ptr_array_add(
        file->remarks,
        g_strdup("no .prj tells the reference system; the numbers were taken for longitude "
                 "and latitude, and the positions are doubtful until it is named"));
    file->projection = spl_projection_new(NULL, file->source->shp, error);
    return file->projection != NULL;
}

/* The rows that lie in the file: its head may state any number. */
static void count_rows(struct spl_shapefile *file)
{
    GStatBuf info;
    gint64 stated = DBFGetRecordCount(file->table), held = 0;

    if (g_stat(file->source->dbf, &info) == 0 && file->table->nRecordLength > 0 &&
        info.st_size > file->table->nHeaderLength)
        /* the last one may be cut: it still says that there should be a shape */
        held = (info.st_size - file->table->nHeaderLength + file->table->nRecordLength - 1) /
               file->table->nRecordLength;
    file->rows = (int)MAX(MIN(stated, held), 0);
    if (stated > held)
        g_ptr_array_add(file->remarks,
                        g_strdup_printf("the table is cut short: it states %" G_GINT64_FORMAT
                                        " rows and holds %" G_GINT64_FORMAT,
                                        stated, held));
}

static gboolean find_column(struct spl_shapefile *file, const char *name, const char *what,
                            int *column, GError **error)
{
    *column = -1;
    if (name == NULL)
        return TRUE;
    if (file->table == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: '%s' cannot be looked up: the shapefile has no table (.dbf)", what, name);
        return FALSE;
    }
    *column = spl_shape_column(file->table, name, what, error);
    return *column >= 0;
}

struct spl_shapefile *
spl_shapefile_open(const char *path, const struct spl_shapefile_request *request, GError **error)
{
    g_autoptr(spl_shapefile) file = g_new0(struct spl_shapefile, 1);
    g_autofree char *encoding = NULL;

    file->remarks = g_ptr_array_new_with_free_func(g_free);
    file->text.convert = (GIConv)-1;
    file->rows = -1;
    file->source = spl_shape_source_open(path, error);
    if (file->source == NULL || !spl_shape_kind(file->source->type, &file->kind) ||
        !open_projection(file, request->crs, error) || !numbers_fit(file, error) ||
        !spl_shape_encoding(request->encoding, file->source->cpg, file->source->dbf, &encoding,
                            error))
        return NULL;
    spl_shape_text_open(&file->text, encoding);
    if (file->source->dbf == NULL)
        g_ptr_array_add(
            file->remarks,
            g_strdup("the .dbf is missing: the shapes have no names, dates or methods"));
    else {
        file->table = spl_shape_source_table(file->source, error);
        if (file->table == NULL)
            return NULL;
        count_rows(file);
    }
    if (!find_column(file, request->name_field, "name_field", &file->name_column, error) ||
        !find_column(file, request->method_field, "method_field", &file->method_column, error) ||
        !find_column(file, request->date_field, "date_field", &file->date_column, error) ||
        !find_column(file, request->product_field, "product_field", &file->product_column, error))
        return NULL;
    if (!spl_shape_source_index(file->source, file->rows, error))
        return NULL;
    return g_steal_pointer(&file);
}

void spl_shapefile_free(struct spl_shapefile *file)
{
    if (file == NULL)
        return;
    if (file->table != NULL)
        DBFClose(file->table);
    spl_shape_text_close(&file->text);
    spl_projection_free(file->projection);
    spl_shape_source_free(file->source);
    g_ptr_array_unref(file->remarks);
    g_free(file);
}

const char *spl_shapefile_path(const struct spl_shapefile *file)
{
    return file->source->shp;
}

/* ---- columns ---- */

GArray *spl_shapefile_fields(struct spl_shapefile *file)
{
    GArray *fields = spl_list_new(&spl_shapefile_field_shape);
    int n = file->table != NULL ? DBFGetFieldCount(file->table) : 0;

    for (int i = 0; i < n; i++) {
        char name[XBASE_FLDNAME_LEN_READ + 2] = "";
        int width = 0, decimals = 0;
        DBFFieldType type = DBFGetFieldInfo(file->table, i, name, &width, &decimals);
        struct spl_shapefile_field field = {.name = spl_shape_text_read(&file->text, name),
                                            .type = g_strdup(type == FTDate      ? "date"
                                                             : type == FTLogical ? "yes/no"
                                                             : type == FTString  ? "text"
                                                                                 : "number"),
                                            .width = width,
                                            .first = g_ptr_array_new_with_free_func(g_free)};

        if (field.name == NULL)
            field.name = g_strdup("(no name)");
        for (int row = 0; row < MIN(file->rows, 1000) && field.first->len < 3; row++) {
            char *value =
                spl_shape_text_read(&file->text, DBFReadStringAttribute(file->table, row, i));

            if (value != NULL &&
                !g_ptr_array_find_with_equal_func(field.first, value, g_str_equal, NULL))
                g_ptr_array_add(field.first, value);
            else
                g_free(value);
        }
        g_array_append_val(fields, field);
    }
    return fields;
}

/* ---- the summary ---- */

void spl_shapefile_summary_clear(struct spl_shapefile_summary *summary)
{
    g_clear_pointer(&summary->kind, g_free);
    g_clear_pointer(&summary->crs, g_free);
    g_clear_pointer(&summary->encoding, g_free);
    spl_list_free(&spl_shapefile_skip_shape, summary->skipped);
    summary->skipped = NULL;
    g_clear_pointer(&summary->remarks, g_ptr_array_unref);
}

static void skip(struct spl_shapefile_summary *summary, gint64 record, gboolean deleted,
                 char *reason)
{
    struct spl_shapefile_skip one = {.record = record, .reason = reason};

    if (deleted)
        summary->deleted++;
    else
        summary->unread++;
    if (summary->skipped->len < SPL_SHAPEFILE_SKIPS_MAX)
        g_array_append_val(summary->skipped, one);
    else
        g_free(reason);
}

struct reading {
    struct spl_shapefile *file;
    struct spl_shapefile_summary *summary;
    struct spl_box bounds;
    gboolean any_bounds;
    gint64 unplaced, bad_dates;
    GString *undated; /* the first records whose dates are bad, in words */
    struct spl_geometry *raw, *ground;
};

static void widen(struct reading *reading, const struct spl_box *box)
{
    struct spl_box *all = &reading->bounds;

    if (!reading->any_bounds)
        *all = *box;
    all->min_lon = fmin(all->min_lon, box->min_lon);
    all->min_lat = fmin(all->min_lat, box->min_lat);
    all->max_lon = fmax(all->max_lon, box->max_lon);
    all->max_lat = fmax(all->max_lat, box->max_lat);
    reading->any_bounds = TRUE;
}

/* The bounds that the head states, turned: a grid of places over them. FALSE: they say nothing. */
static gboolean widen_by_head(struct reading *reading)
{
    const double *b = reading->file->source->bounds;
    struct spl_position grid[81];
    gsize n = 0;

    for (int i = 0; i < 4; i++)
        if (!isfinite(b[i]))
            return FALSE;
    if (b[0] > b[2] || b[1] > b[3])
        return FALSE;
    for (int i = 0; i < 9; i++)
        for (int k = 0; k < 9; k++, n++)
            grid[n] =
                (struct spl_position){b[0] + (b[2] - b[0]) * i / 8, b[1] + (b[3] - b[1]) * k / 8};
    if (spl_projection_apply(reading->file->projection, grid, n) != n)
        return FALSE;
    for (gsize i = 0; i < n; i++)
        widen(reading, &(struct spl_box){grid[i].lon, grid[i].lat, grid[i].lon, grid[i].lat});
    return TRUE;
}

/* ---- reading ---- */

static char *read_text(struct spl_shapefile *file, int row, int column)
{
    if (column < 0 || row >= file->rows)
        return NULL;
    return spl_shape_text_read(&file->text, DBFReadStringAttribute(file->table, row, column));
}

static gboolean read_one(struct reading *reading, SHPHandle shapes, int i,
                         gboolean (*each)(const struct spl_shapefile_record *, gpointer, GError **),
                         gpointer data, GError **error)
{
    struct spl_shapefile *file = reading->file;
    struct spl_shapefile_summary *summary = reading->summary;
    const struct spl_shape_entry *entry =
        &g_array_index(file->source->index, struct spl_shape_entry, i);
    struct spl_shapefile_record record = {.record = i + 1, .geometry = reading->ground};
    g_autofree char *name = NULL, *method = NULL, *product = NULL, *date = NULL;
    char *reason = NULL;
    SHPObject *shape;
    struct spl_box boxes[2];
    gboolean taken;
    int n;

    if (file->table != NULL && i < file->rows && DBFIsRecordDeleted(file->table, i)) {
        skip(summary, i + 1, TRUE, g_strdup("its row is struck out in the table"));
        return TRUE;
    }
    if (entry->cut || entry->length < 4) {
        skip(summary, i + 1, FALSE, g_strdup("the file ends before the record does"));
        return TRUE;
    }
    if (entry->length > SPL_SHAPE_RECORD_MAX) {
        skip(summary, i + 1, FALSE, g_strdup("the record is too large to be read"));
        return TRUE;
    }
    shape = SHPReadObject(shapes, i);
    if (shape == NULL) {
        skip(summary, i + 1, FALSE, g_strdup("the record is damaged"));
        return TRUE;
    }
    taken = spl_shape_parts(shape, file->kind, reading->raw, &record.repaired, &reason);
    SHPDestroyObject(shape);
    if (taken) {
        taken = spl_shape_settle(reading->raw, file->projection, reading->ground, &record.repaired,
                                 &reason);
        reading->unplaced += taken ? 0 : 1;
    }
    if (!taken) {
        skip(summary, i + 1, FALSE, reason);
        return TRUE;
    }
    record.name = name = read_text(file, i, file->name_column);
    record.method = method = read_text(file, i, file->method_column);
    record.product = product = read_text(file, i, file->product_column);
    date = read_text(file, i, file->date_column);
    if (!spl_shape_day(date, &record.on) && reading->bad_dates++ < BAD_DATES_NAMED)
        g_string_append_printf(reading->undated, "%s%d '%s'", reading->bad_dates == 1 ? "" : ", ",
                               i + 1, date);
    n = spl_geometry_boxes(reading->ground, 0, boxes);
    for (int k = 0; k < n; k++)
        widen(reading, &boxes[k]);
    if (!each(&record, data, error))
        return FALSE;
    summary->imported++;
    summary->repaired += record.repaired ? 1 : 0;
    return TRUE;
}

static void remark(struct spl_shapefile_summary *summary, gint64 n, const char *words)
{
    if (n > 0)
        g_ptr_array_add(summary->remarks, g_strdup_printf("%" G_GINT64_FORMAT " %s", n, words));
}

/* What can only be said after the last record. */
static void conclude(struct reading *reading, int rows)
{
    struct spl_shapefile *file = reading->file;
    struct spl_shapefile_summary *summary = reading->summary;
    gint64 n = file->source->index->len;
    gboolean stated;

    if (rows >= 0 && rows < n)
        remark(summary, n - rows, "shapes have no row in the table");
    for (gint64 i = n; i < rows; i++)
        if (!DBFIsRecordDeleted(file->table, (int)i)) {
            summary->records++;
            skip(summary, i + 1, FALSE, g_strdup("the table has a row for it, the .shp no shape"));
        }
    if (file->source->broken && n != rows && summary->unread == 0) {
        summary->records++;
        skip(summary, n + 1, FALSE, g_strdup("the .shp goes on with something that is no record"));
    }
    if (reading->bad_dates > 0)
        g_ptr_array_add(
            summary->remarks,
            g_strdup_printf("%" G_GINT64_FORMAT " dates could not be read (record %s%s); these "
                            "records count as undated; write days as 2027-05-04 or 4.5.2027",
                            reading->bad_dates, reading->undated->str,
                            reading->bad_dates > BAD_DATES_NAMED ? " …" : ""));
    if (file->text.damaged)
        g_ptr_array_add(
            summary->remarks,
            g_strdup("some texts do not fit their stated encoding; name the right one"));
    summary->accuracy_m = file->degrees_assumed ? NAN : spl_projection_accuracy_m(file->projection);
    if (isnan(summary->accuracy_m) && !file->degrees_assumed)
        g_ptr_array_add(
            summary->remarks,
            g_strdup_printf("how exactly '%s' lies on earth is not known; the positions are "
                            "doubtful until a known system is named",
                            summary->crs));
    stated = widen_by_head(reading);
    summary->everywhere = summary->unread > 0 && !stated;
    summary->bounds = reading->any_bounds && !summary->everywhere
                          ? reading->bounds
                          : (struct spl_box){-180, -90, 180, 90};
}

static const char *kind_name(enum spl_geometry_kind kind)
{
    return kind == SPL_GEOMETRY_POINT ? "points" : kind == SPL_GEOMETRY_LINE ? "lines" : "polygons";
}

static int compare_skips(gconstpointer a, gconstpointer b)
{
    gint64 first = ((const struct spl_shapefile_skip *)a)->record;
    gint64 second = ((const struct spl_shapefile_skip *)b)->record;

    return first < second ? -1 : first > second ? 1 : 0;
}

gboolean spl_shapefile_read(struct spl_shapefile *file,
                            gboolean (*each)(const struct spl_shapefile_record *record,
                                             gpointer data, GError **error),
                            gpointer data, const struct spl_progress *progress,
                            struct spl_shapefile_summary *summary, GError **error)
{
    g_autoptr(spl_geometry) raw = spl_geometry_new(file->kind);
    g_autoptr(spl_geometry) ground = spl_geometry_new(file->kind);
    g_autoptr(GString) undated = g_string_new(NULL);
    struct reading reading = {
        .file = file, .summary = summary, .undated = undated, .raw = raw, .ground = ground};
    int n = (int)file->source->index->len, i;
    int rows = file->rows;
    g_autoptr(GArray) order = spl_shape_source_order(file->source);
    SHPHandle shapes;

    *summary = (struct spl_shapefile_summary){
        .kind = g_strdup(kind_name(file->kind)),
        .crs = g_strdup(spl_projection_name(file->projection)),
        .encoding = g_strdup(file->text.encoding),
        .accuracy_m = NAN,
        .records = n,
        .skipped = spl_list_new(&spl_shapefile_skip_shape),
        .remarks = g_ptr_array_new_with_free_func(g_free),
    };
    for (guint k = 0; k < file->source->remarks->len; k++)
        g_ptr_array_add(summary->remarks, g_strdup(file->source->remarks->pdata[k]));
    for (guint k = 0; k < file->remarks->len; k++)
        g_ptr_array_add(summary->remarks, g_strdup(file->remarks->pdata[k]));
    shapes = spl_shape_source_shapes(file->source, error);
    if (shapes == NULL)
        return FALSE;
    SHPSetFastModeReadObject(shapes, TRUE);
    for (i = 0; i < n; i++) {
        if (i % TELL_EVERY == 0)
            spl_progress_tell(progress, "reading shapes", i, n);
        if (!read_one(&reading, shapes, (int)g_array_index(order, guint32, i), each, data, error))
            break;
    }
    SHPClose(shapes);
    if (i < n)
        return FALSE;
    spl_progress_tell(progress, "reading shapes", n, n);
    conclude(&reading, rows);
    g_array_sort(summary->skipped, compare_skips);
    if (summary->imported == 0 && reading.unplaced > 0) {
        spl_error_set_input(
            error, SPL_ERROR_INVALID, "crs",
            "%s: none of its %d records has a place on earth in '%s'; name the right reference "
            "system as EPSG:NUMBER",
            file->source->shp, n, summary->crs);
        return FALSE;
    }
    return TRUE;
}

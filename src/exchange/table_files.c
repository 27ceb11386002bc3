/* SPDX-License-Identifier: MIT
 *
 * The data tables from their files, and the rows of hazards.csv. See table_files.h.
 */
#include "exchange/table_files.h"

#include <math.h>
#include <string.h>

#include "core/tables_build.h"
#include "exchange/table_cells.h"
#include "simpling/error.h"

typedef gboolean (*row_reader)(struct spl_tables *tables, struct spl_table_row *row,
                               GError **error);

gboolean spl_table_read_method(struct spl_tables *tables, struct spl_table_row *row, GError **error)
{
    struct spl_figure closed = spl_figure_none(), ask = spl_figure_none();
    const char *slug = NULL;

    if (!spl_cell_slug(row, "method", &slug, error) || !spl_table_row_key(row, slug, error))
        return FALSE;
    const struct spl_method *old = spl_tables_method_by_slug(tables, slug);
    struct spl_method method =
        old != NULL ? *old : (struct spl_method){.slug = slug, .closed_m = NAN, .ask_m = NAN};
    method.source = spl_table_row_cell(row, "source");
    spl_table_row_text(row, "name", &method.name);
    spl_table_row_text(row, "note", &method.note);
    if (method.name[0] == '\0')
        method.name = method.slug;
    if (!spl_table_row_yes(row, "lasting", &method.lasting, error) ||
        !spl_table_row_yes(row, "water_only", &method.water_only, error) ||
        !spl_table_row_figure(row, "closed", SPL_TABLE_FIGURE("closed", "_m"), 1, 0, 100000,
                              &closed, error) ||
        !spl_table_row_figure(row, "ask", SPL_TABLE_FIGURE("ask", "_m"), 1, 0, 100000, &ask,
                              error) ||
        !spl_table_row_days(row, "hold_on_days", "hold", SPL_TABLE_DAYS_MAX, &method.hold_on_days,
                            error) ||
        !spl_table_row_days(row, "hold_near_days", "hold", SPL_TABLE_DAYS_MAX,
                            &method.hold_near_days, error))
        return FALSE;
    if (spl_figure_is_set(closed))
        method.closed_m = closed.value;
    if (spl_figure_is_set(ask))
        method.ask_m = ask.value;
    if (isnan(method.closed_m) || isnan(method.ask_m))
        return spl_table_row_fail(row, isnan(method.closed_m) ? "closed_m" : "ask_m", error,
                                  "is empty and must be given");
    if (method.ask_m < method.closed_m)
        return spl_table_row_fail(row, "ask_m", error, "%g m is less than closed_m, which is %g m",
                                  method.ask_m, method.closed_m);
    if (!method.lasting && (method.hold_on_days == 0 || method.hold_near_days == 0))
        return spl_table_row_fail(row, "hold_on_days", error,
                                  "a way of spraying needs hold_on_days and hold_near_days");
    if (!spl_table_row_end(row, error))
        return FALSE;
    spl_tables_put_method(tables, &method);
    return TRUE;
}

#define FIGURE SPL_TABLE_FIGURE

static const struct {
    const char *file;
    row_reader read;
    const char *columns[48];
} files[] = {
    {"plants.csv", spl_table_read_plant, {"plant",       "common",
                                          "latin",       "other",
                                          "family",      "habit",
                                          "water_plant", "deadly_lookalike",
                                          "gated_since", "lookalikes",
                                          "picking",     "pregnancy",
                                          "children",    "contraindications",
                                          "not_with",    "cautions",
                                          "status",      "namesake",
                                          "country",     "source",
                                          NULL}},
    {"materials.csv",
     spl_table_read_material,
     {"plant",
      "part",
      "spoken",
      "other",
      "pharmacy",
      FIGURE("moisture", "_pct"),
      FIGURE("trim", "_pct"),
      FIGURE("bulk", "_g_per_ml"),
      FIGURE("volume", "_ml_per_g"),
      "piece",
      FIGURE("piece", "_g"),
      FIGURE("picking", "_g_per_h"),
      FIGURE("share", "_pct"),
      "return_years",
      FIGURE("fresh_per_dry", ""),
      "stage_from",
      "stage_to",
      "outside_only",
      "must_cook",
      "fresh_oil",
      "picking_words",
      "cautions",
      "source",
      NULL}},
    {"preparations.csv",
     spl_table_read_preparation,
     {"preparation",
      "name",
      "liquid",
      "menstruum",
      "fresh",
      "dried",
      FIGURE("ratio_fresh", ""),
      FIGURE("ratio_dry", ""),
      FIGURE("strength", "_pct"),
      FIGURE("fill", "_pct"),
      "headspace_pct",
      "poured_floor_pct",
      "final_floor_pct",
      "final_caution_pct",
      FIGURE("honey", "_ml_per_ml"),
      FIGURE("sugar", "_g_per_ml"),
      FIGURE("juice", "_ml_per_g"),
      "storage",
      "cautions",
      "label",
      "lid",
      "inside_only",
      "outside_only",
      "frozen",
      "cooks",
      "source",
      NULL}},
    {"makings.csv",
     spl_table_read_making,
     {"material", "preparation", "drug_state", FIGURE("ratio_fresh", ""), FIGURE("ratio_dry", ""),
      FIGURE("strength", "_pct"), "strength_means", FIGURE("fill", "_pct"), "note", "source",
      NULL}},
    {"steps.csv",
     spl_table_read_step_rule,
     {"preparation", "material", "part", "state", "step", "earliest_days", "usual_days",
      "latest_days", "repeat_days", "alarm", "words", "source", NULL}},
    {"keeping.csv",
     spl_table_read_keeping,
     {"custom", "preparation", "material", "part", "state", "from_start",
      FIGURE("pressed", "_days"), FIGURE("unpressed", "_days"), "storage", "note", "source", NULL}},
    {"jars.csv", spl_table_read_jar, {"nominal_ml", "brimful_ml", "note", "source", NULL}},
    {"presses.csv",
     spl_table_read_press,
     {"press", "name", FIGURE("retained_fresh", "_ml_per_g"), FIGURE("retained_dry", "_ml_per_g"),
      "source", NULL}},
    {"menstrua.csv",
     spl_table_read_menstruum_word,
     {"word", "language", "meaning", "source", NULL}},
    {"hazards.csv",
     spl_table_read_method,
     {"method", "name", "lasting", "water_only", "closed_m", "ask_m", "hold_on_days",
      "hold_near_days", "source", "note", NULL}},
    {"protected.csv",
     spl_table_read_protected,
     {"country", "latin", "part", "rule", "words", "source", NULL}},
};

/* Reads one file. Of `own`, a person's rows, what cannot be used is left out and noted: a slip of
 * the pen in a table must not stand between somebody and their book. */
static gboolean load_file(struct spl_tables *tables, const char *path, row_reader read,
                          const char *const *columns, gboolean own, GError **error)
{
    g_autoptr(spl_csv) csv = spl_csv_open(path, error);
    struct spl_table_row row = {.csv = csv, .own = own};
    g_autoptr(GError) failure = NULL;

    if (csv == NULL)
        return FALSE;
    if (spl_table_row_init(&row, csv, columns, &failure))
        for (;;) {
            if (spl_table_row_next(&row, &failure) && read(tables, &row, &failure))
                continue;
            if (failure == NULL || !own || spl_csv_broken(csv))
                break;
            spl_tables_leave_out(tables, failure->message);
            g_clear_error(&failure);
        }
    spl_table_row_clear(&row);
    if (failure == NULL)
        return TRUE;
    g_propagate_error(error, g_steal_pointer(&failure));
    return FALSE;
}

static gboolean load_ours(struct spl_tables *tables, const char *data_dir, const char *only,
                          GError **error)
{
    for (gsize i = 0; i < G_N_ELEMENTS(files); i++) {
        g_autofree char *path = g_build_filename(data_dir, files[i].file, NULL);

        if ((only == NULL || strcmp(only, files[i].file) == 0) &&
            !load_file(tables, path, files[i].read, files[i].columns, FALSE, error))
            return FALSE;
    }
    return TRUE;
}

static void load_own(struct spl_tables *tables, const char *user_dir, const char *only)
{
    for (gsize i = 0; i < G_N_ELEMENTS(files); i++) {
        g_autofree char *path = g_build_filename(user_dir, files[i].file, NULL);
        g_autoptr(GError) failure = NULL;

        if ((only == NULL || strcmp(only, files[i].file) == 0) &&
            g_file_test(path, G_FILE_TEST_EXISTS) &&
            !load_file(tables, path, files[i].read, files[i].columns, TRUE, &failure))
            spl_tables_leave_out(tables, failure->message);
    }
}

/* `only`: one of the files; NULL: all. */
static struct spl_tables *load(const char *data_dir, const char *user_dir, const char *only,
                               GError **error)
{
    g_autoptr(spl_tables) tables = spl_tables_new();
    g_autoptr(GError) unlike = NULL;

    if (!load_ours(tables, data_dir, only, error))
        return NULL;
    if (user_dir != NULL)
        load_own(tables, user_dir, only);
    if (spl_tables_finish(tables, &unlike))
        return g_steal_pointer(&tables);
    /* Two rows of one name: with rows of their own, it is those that are too many. */
    if (user_dir != NULL) {
        g_autoptr(spl_tables) ours = load(data_dir, NULL, only, error);

        if (ours == NULL)
            return NULL;
        for (guint i = 0; i < spl_tables_left_out(tables)->len; i++)
            spl_tables_leave_out(ours, g_ptr_array_index(spl_tables_left_out(tables), i));
        spl_tables_leave_out(ours, unlike->message);
        return g_steal_pointer(&ours);
    }
    g_propagate_error(error, g_steal_pointer(&unlike));
    return NULL;
}

struct spl_tables *spl_tables_load(const char *data_dir, const char *user_dir, GError **error)
{
    return load(data_dir, user_dir, NULL, error);
}

struct spl_tables *spl_tables_load_methods(const char *data_dir, const char *user_dir,
                                           GError **error)
{
    return load(data_dir, user_dir, "hazards.csv", error);
}

/* SPDX-License-Identifier: MIT
 *
 * A person's own rows over the shipped data tables, and broken rows of each kind.
 */
#include "expect.h"

#include <glib/gstdio.h>

#include "exchange/table_files.h"

#define DATA SPL_SOURCE_DIR "/data"

static const char *const table_names[] = {
    "plants.csv",  "materials.csv", "preparations.csv", "makings.csv", "steps.csv",
    "keeping.csv", "jars.csv",      "presses.csv",      "hazards.csv", "protected.csv"};

static char *folder_new(void)
{
    g_autoptr(GError) error = NULL;
    char *folder = g_dir_make_tmp("tables-XXXXXX", &error);

    expect_ok(error);
    return folder;
}

static void folder_remove(char *folder)
{
    GDir *dir = g_dir_open(folder, 0, NULL);
    const char *name;

    while ((name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_unlink(path);
    }
    g_dir_close(dir);
    g_rmdir(folder);
    g_free(folder);
}

static void write_file(const char *folder, const char *name, const char *text)
{
    g_autofree char *path = g_build_filename(folder, name, NULL);

    assert_true(g_file_set_contents(path, text, -1, NULL));
}

static char *read_file(const char *name)
{
    g_autofree char *path = g_build_filename(DATA, name, NULL);
    char *text = NULL;

    assert_true(g_file_get_contents(path, &text, NULL, NULL));
    return text;
}

static const struct spl_material *material_of(const spl_tables *tables, const char *name)
{
    g_autoptr(GError) error = NULL;
    const struct spl_material *material = NULL;

    if (!spl_tables_material(tables, name, &material, &error))
        fail_msg("%s", error->message);
    return material;
}

/* ---- a person's own rows -------------------------------------------------------------------- */

static void own_rows_add_and_override_by_key(void **state)
{
    char *folder = folder_new();
    g_autoptr(GError) error = NULL;

    (void)state;
    write_file(folder, "plants.csv",
               "\xef\xbb\xbfplant;common;latin;habit;source\r\n"
               "sweet-cicely;sweet cicely;Myrrhis odorata;perennial;\r\n");
    write_file(folder, "materials.csv",
               "plant,part,moisture_pct,share_pct,source\n"
               "sweet-cicely,seed,70,10,\"moisture, share=own weighing\"\n"
               "nettle,leaf,84,,moisture=own weighing 2027\n");
    write_file(folder, "hazards.csv", "method,closed_m,source\nroad,20,closed=own rule 2027\n");
    write_file(folder, "notes.txt", "not a table");
    g_autoptr(spl_tables) tables = spl_tables_load(DATA, folder, &error);
    if (tables == NULL)
        fail_msg("%s", error->message);
    expect_near(material_of(tables, "sweet cicely seeds")->moisture_frac.value, 0.70, 1e-12, "");
    const struct spl_material *leaf = material_of(tables, "nettle/leaf");
    expect_near(leaf->moisture_frac.value, 0.84, 1e-12, "");
    expect_near(leaf->moisture_frac.low, 0.84, 1e-12, "");
    assert_string_equal(leaf->moisture_frac.source, "own weighing 2027");
    /* What the own row leaves empty stays ours. */
    assert_string_equal(leaf->pharmacy, "Urticae folium");
    assert_true(spl_figure_is_set(leaf->trim_frac));
    const struct spl_method *road = spl_tables_method_by_slug(tables, "road");
    expect_near(road->closed_m, 20, 0, "m");
    expect_near(road->ask_m, 100, 0, "m");
    assert_true(road->lasting);
    folder_remove(folder);
}

static void a_folder_that_is_not_there_is_no_own_table(void **state)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(spl_tables) tables = spl_tables_load(DATA, "/nowhere/simpling", &error);

    (void)state;
    expect_ok(error);
    assert_non_null(tables);
}

static void a_missing_table_of_ours_is_named(void **state)
{
    char *folder = folder_new();
    g_autoptr(GError) error = NULL;

    (void)state;
    assert_null(spl_tables_load(folder, NULL, &error));
    expect_error(error, SPL_ERROR_NOT_FOUND, "plants.csv");
    folder_remove(folder);
}

/* ---- broken rows ---------------------------------------------------------------------------- */

struct broken {
    const char *file;
    const char *text; /* a person's own file */
    enum spl_error_code code;
    const char *part; /* of the message */
};

static const struct broken broken_rows[] = {
    /* the source of a figure */
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,\n", SPL_ERROR_INVALID,
     "materials.csv:2: column 'moisture_pct': has no source"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,moisture=\n",
     SPL_ERROR_INVALID, "gives no source"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,mositure=memory\n",
     SPL_ERROR_INVALID, "has no source; add 'moisture="},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,\"moisture, trim=memory\"\n",
     SPL_ERROR_INVALID, "'trim' is no figure that this row gives"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,USDA 11207\n",
     SPL_ERROR_INVALID, "names no figure"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,moisture=a; moisture=b\n",
     SPL_ERROR_INVALID, "names 'moisture' twice"},
    {"plants.csv", "plant,cautions,source\nnettle,It stings.,\n", SPL_ERROR_INVALID,
     "column 'cautions': has no source"},
    /* ranges */
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,120,moisture=memory\n",
     SPL_ERROR_INVALID, "120 is not between 1 and 98"},
    {"materials.csv",
     "plant,part,moisture_pct,moisture_low_pct,source\nnettle,leaf,84,90,moisture=memory\n",
     SPL_ERROR_INVALID, "column 'moisture_low_pct': 90 is above"},
    {"materials.csv",
     "plant,part,moisture_pct,moisture_high_pct,source\nnettle,leaf,84,80,moisture=memory\n",
     SPL_ERROR_INVALID, "column 'moisture_high_pct': 80 is below"},
    {"materials.csv", "plant,part,moisture_low_pct,source\nnettle,leaf,80,moisture=memory\n",
     SPL_ERROR_INVALID, "is empty but has a range"},
    {"materials.csv", "plant,part,stage_from,stage_to,source\nnettle,leaf,42,49,stages=memory\n",
     SPL_ERROR_INVALID, "column 'stage_from'"},
    {"materials.csv", "plant,part,stage_from,source\nnettle,leaf,in bud,stages=memory\n",
     SPL_ERROR_INVALID, "column 'stage_to': is empty"},
    /* references */
    {"materials.csv",
     "plant,part,moisture_pct,share_pct,source\nnetle,leaf,84,10,\"moisture, "
     "share=memory\"\n",
     SPL_ERROR_INVALID, "column 'plant': 'netle' is in no row of plants.csv"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,twig,84,moisture=memory\n",
     SPL_ERROR_INVALID, "column 'part'"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,any,84,moisture=memory\n",
     SPL_ERROR_INVALID, "one part of a plant"},
    {"makings.csv",
     "material,preparation,strength_pct,source\nnettle/leaf,elixir,40,strength=memory\n",
     SPL_ERROR_INVALID, "column 'preparation': 'elixir' is in no row of preparations.csv"},
    {"makings.csv",
     "material,preparation,strength_pct,source\nnettle/twig,tincture,40,strength=memory\n",
     SPL_ERROR_INVALID, "column 'material': 'nettle/twig' is in no row of materials.csv"},
    {"makings.csv", "material,preparation,strength_pct,source\nany,tincture,40,strength=memory\n",
     SPL_ERROR_INVALID, "must name one material"},
    {"steps.csv", "preparation,step,usual_days,words,source\nelixir,shake,1,Shake.,days=memory\n",
     SPL_ERROR_INVALID, "'elixir' is in no row"},
    {"keeping.csv", "preparation,pressed_days,source\nelixir,100,pressed=memory\n",
     SPL_ERROR_INVALID, "'elixir' is in no row"},
    /* what must be there, and words */
    {"plants.csv", "plant,common,latin,habit,source\nnew-plant,new plant,,perennial,\n",
     SPL_ERROR_INVALID, "column 'latin': is empty"},
    {"plants.csv", "plant,common,latin,habit,source\nnew-plant,new plant,Nova planta,bush,\n",
     SPL_ERROR_INVALID, "'bush' is none of: annual, biennial"},
    {"plants.csv", "plant,common,latin,habit,source\nNew Plant,new plant,Nova planta,shrub,\n",
     SPL_ERROR_INVALID, "small letters"},
    {"plants.csv",
     "plant,common,latin,habit,deadly_lookalike,source\nnew-plant,new plant,Nova "
     "planta,shrub,yes,\n",
     SPL_ERROR_INVALID, "column 'lookalikes': is empty though"},
    {"plants.csv", "plant,deadly_lookalike,source\nnettle,perhaps,\n", SPL_ERROR_INVALID,
     "neither yes nor no"},
    {"plants.csv", "plant,other,source\nramps,nettle,\n", SPL_ERROR_INVALID, "cannot be told"},
    {"materials.csv", "plant,part,source\nnettle,flower,\n", SPL_ERROR_INVALID,
     "column 'moisture_pct': is empty"},
    {"preparations.csv", "preparation,name,liquid,fresh,source\nelixir,elixir,wine,yes,\n",
     SPL_ERROR_INVALID, "'wine' is none of"},
    {"preparations.csv", "preparation,name,liquid,fresh,source\nelixir,elixir,spirit,yes,\n",
     SPL_ERROR_INVALID, "column 'ratio_fresh'"},
    {"steps.csv", "preparation,step,usual_days,words,source\ntincture,stir,1,Stir.,days=memory\n",
     SPL_ERROR_INVALID, "'stir' is none of: top-up"},
    {"steps.csv", "preparation,step,usual_days,words,source\ntincture,shake,1,,days=memory\n",
     SPL_ERROR_INVALID, "column 'words': is empty"},
    {"steps.csv",
     "preparation,step,earliest_days,usual_days,words,source\ntincture,shake,3,1,Turn.,days=m\n",
     SPL_ERROR_INVALID, "do not follow each other"},
    {"steps.csv", "preparation,step,usual_days,words,source\ntincture,shake,1.5,Turn.,days=m\n",
     SPL_ERROR_INVALID, "no whole number"},
    {"steps.csv", "preparation,step,usual_days,words,source\ntincture,shake,1,Turn.,\n",
     SPL_ERROR_INVALID, "column 'usual_days': has no source"},
    {"keeping.csv", "preparation,part,source\ntincture,root,\n", SPL_ERROR_INVALID,
     "column 'pressed_days': is empty"},
    {"keeping.csv", "preparation,state,pressed_days,source\ntincture,wet,9,pressed=m\n",
     SPL_ERROR_INVALID, "'wet' is none of: any, fresh, dried"},
    {"jars.csv", "nominal_ml,brimful_ml,source\n500,480,brimful=memory\n", SPL_ERROR_INVALID,
     "less than the 500 mL"},
    {"jars.csv", "nominal_ml,brimful_ml,source\n0,480,brimful=memory\n", SPL_ERROR_INVALID,
     "column 'nominal_ml'"},
    {"presses.csv", "press,name,source\nfoot,by foot,\n", SPL_ERROR_INVALID,
     "column 'retained_fresh_ml_per_g': is empty"},
    {"hazards.csv", "method,closed_m,ask_m,source\nroad,20,10,\"closed, ask=memory\"\n",
     SPL_ERROR_INVALID, "10 m is less than closed_m"},
    {"hazards.csv", "method,closed_m,ask_m,source\ndrone,20,40,\"closed, ask=memory\"\n",
     SPL_ERROR_INVALID, "needs hold_on_days"},
    {"hazards.csv", "method,closed_m,source\nroad,-1,closed=memory\n", SPL_ERROR_INVALID,
     "column 'closed_m'"},
    {"hazards.csv", "method,ask_m,source\ndrone,20,ask=memory\n", SPL_ERROR_INVALID,
     "column 'closed_m': is empty"},
    {"protected.csv", "country,latin,rule,words,source\nUK,Arnica,refuse,No.,\n", SPL_ERROR_INVALID,
     "column 'rule': has no source"},
    {"protected.csv", "country,latin,rule,words,source\nEngland,Arnica,refuse,No.,rule=memory\n",
     SPL_ERROR_INVALID, "'England' is no ISO 3166 code"},
    {"protected.csv", "country,latin,rule,words,source\nGB,Arnica,forbid,No.,rule=memory\n",
     SPL_ERROR_INVALID, "'forbid' is none of: caution, leave, refuse"},
    /* the file itself */
    {"jars.csv", "nominal_ml,brimful_ml,source\n500,540,brimful=a\n500,560,brimful=b\n",
     SPL_ERROR_EXISTS, "jars.csv:3: '500' is on line 2 already"},
    {"jars.csv", "nominal_ml,brimful,source\n500,540,brimful=a\n", SPL_ERROR_INVALID,
     "no column 'brimful'; did you mean 'brimful_ml'"},
    {"jars.csv", "nominal_ml,brimful_ml\n500,540\n", SPL_ERROR_INVALID, "no column 'source'"},
    {"jars.csv", "nominal_ml,brimful_ml,source\n500,540\n", SPL_ERROR_INVALID,
     "jars.csv:2: has 2 cells"},
    {"jars.csv", "", SPL_ERROR_INVALID, "jars.csv is empty"},
};

static void a_broken_row_of_each_kind_is_refused_by_name(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(broken_rows); i++) {
        const struct broken *row = &broken_rows[i];
        char *folder = folder_new();
        g_autoptr(GError) error = NULL;

        write_file(folder, row->file, row->text);
        g_autoptr(spl_tables) tables = spl_tables_load(DATA, folder, &error);
        folder_remove(folder);
        if (tables != NULL)
            fail_msg("%s loads: %s", row->file, row->text);
        if (strstr(error->message, "in your own tables: ") == NULL &&
            strstr(row->part, "cannot be told") == NULL)
            fail_msg("'%s' does not say whose table it is", error->message);
        expect_error(error, row->code, row->part);
    }
}

/* Every tag of every row of ours, taken out one at a time, makes that row unusable. */
static void no_figure_of_ours_can_lose_its_source(void **state)
{
    int taken = 0;

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(table_names); i++) {
        g_autofree char *text = read_file(table_names[i]);
        g_autoptr(GRegex) tag = g_regex_new("[a-z_]+=", 0, 0, NULL);
        g_auto(GStrv) lines = g_strsplit(text, "\n", -1);

        /* A few rows of each table are enough; the readers are the same for all. */
        for (guint line = 1; lines[line] != NULL && line <= 3; line++) {
            if (!g_regex_match(tag, lines[line], 0, NULL))
                continue;
            char *folder = folder_new();
            g_autoptr(GError) error = NULL;
            g_autofree char *bare =
                g_regex_replace_literal(tag, lines[line], -1, 0, "zz=", 0, NULL);
            g_autofree char *own = g_strdup_printf("%s\n%s\n", lines[0], bare);

            write_file(folder, table_names[i], own);
            g_autoptr(spl_tables) tables = spl_tables_load(DATA, folder, &error);
            folder_remove(folder);
            assert_null(tables);
            if (strstr(error->message, table_names[i]) == NULL)
                fail_msg("'%s' does not name %s", error->message, table_names[i]);
            taken++;
        }
    }
    assert_true(taken >= 25);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(own_rows_add_and_override_by_key),
    cmocka_unit_test(a_folder_that_is_not_there_is_no_own_table),
    cmocka_unit_test(a_missing_table_of_ours_is_named),
    cmocka_unit_test(a_broken_row_of_each_kind_is_refused_by_name),
    cmocka_unit_test(no_figure_of_ours_can_lose_its_source),
};
expect_main(tests)

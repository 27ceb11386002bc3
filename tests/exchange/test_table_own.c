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
    const char *part; /* of the message */
};

static const struct broken broken_rows[] = {
    /* the source of a figure */
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,moisture=\n",
     "gives no source"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,mositure=memory\n",
     "'mositure' is no figure that this row gives"},
    {"materials.csv", "plant,part,must_cook\nelder,fruit,no\n",
     "column 'must_cook': has no source"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,\"moisture, trim=memory\"\n",
     "'trim' is no figure that this row gives"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,USDA 11207\n",
     "names no figure"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,84,moisture=a; moisture=b\n",
     "names 'moisture' twice"},
    /* ranges */
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,leaf,120,moisture=memory\n",
     "120 is not between 1 and 99.9"},
    {"materials.csv",
     "plant,part,moisture_pct,moisture_low_pct,source\nnettle,leaf,84,90,moisture=memory\n",
     "column 'moisture_low_pct': 90 is above"},
    {"materials.csv",
     "plant,part,moisture_pct,moisture_high_pct,source\nnettle,leaf,84,80,moisture=memory\n",
     "column 'moisture_high_pct': 80 is below"},
    {"materials.csv", "plant,part,moisture_low_pct,source\nnettle,leaf,80,moisture=memory\n",
     "is empty but has a range"},
    {"materials.csv", "plant,part,stage_from,stage_to,source\nnettle,leaf,42,49,stages=memory\n",
     "column 'stage_from'"},
    {"materials.csv", "plant,part,stage_from,source\nnettle,leaf,in bud,stages=memory\n",
     "column 'stage_to': is empty"},
    /* references */
    {"materials.csv",
     "plant,part,moisture_pct,share_pct,source\nnetle,leaf,84,10,\"moisture, "
     "share=memory\"\n",
     "column 'plant': 'netle' is in no row of plants.csv"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,twig,84,moisture=memory\n",
     "column 'part'"},
    {"materials.csv", "plant,part,moisture_pct,source\nnettle,any,84,moisture=memory\n",
     "one part of a plant"},
    {"makings.csv",
     "material,preparation,strength_pct,source\nnettle/leaf,cordial,40,strength=memory\n",
     "column 'preparation': 'cordial' is in no row of preparations.csv"},
    {"makings.csv",
     "material,preparation,strength_pct,source\nnettle/twig,tincture,40,strength=memory\n",
     "column 'material': 'nettle/twig' is in no row of materials.csv"},
    {"makings.csv", "material,preparation,drug_state,strength_pct\nnettle/leaf,tincture,wet,40\n",
     "'wet' is none of: any, fresh, dried"},
    {"makings.csv",
     "material,preparation,strength_means,strength_pct\nnettle/leaf,tincture,drunk,40\n",
     "'drunk' is none of: poured, final"},
    {"steps.csv", "preparation,step,usual_days,words,source\ncordial,shake,1,Shake.,days=memory\n",
     "'cordial' is in no row"},
    {"keeping.csv", "preparation,pressed_days,source\ncordial,100,pressed=memory\n",
     "'cordial' is in no row"},
    /* what must be there, and words */
    {"plants.csv", "plant,common,latin,habit,source\nnew-plant,new plant,,perennial,\n",
     "column 'latin': is empty"},
    {"plants.csv", "plant,common,latin,habit,source\nnew-plant,new plant,Nova planta,bush,\n",
     "'bush' is none of: annual, biennial"},
    {"plants.csv", "plant,common,latin,habit,source\nNew Plant,new plant,Nova planta,shrub,\n",
     "small letters"},
    {"plants.csv",
     "plant,common,latin,habit,deadly_lookalike,source\nnew-plant,new plant,Nova "
     "planta,shrub,yes,\n",
     "column 'lookalikes': is empty though"},
    {"plants.csv", "plant,deadly_lookalike,source\nnettle,perhaps,\n", "neither yes nor no"},
    {"plants.csv", "plant,other,source\nramps,nettle,\n", "cannot be told"},
    {"materials.csv", "plant,part,source\nnettle,flower,\n", "column 'moisture_pct': is empty"},
    {"preparations.csv", "preparation,name,liquid,fresh,source\ncordial,cordial,wine,yes,\n",
     "'wine' is none of"},
    {"preparations.csv", "preparation,name,liquid,fresh,source\ncordial,cordial,spirit,yes,\n",
     "column 'ratio_fresh'"},
    {"steps.csv", "preparation,step,usual_days,words,source\ntincture,stir,1,Stir.,days=memory\n",
     "'stir' is none of: top-up"},
    {"steps.csv", "preparation,part,step,usual_days,words\ntincture,bud,shake,1,\n",
     "column 'words': is empty"},
    {"steps.csv",
     "preparation,step,earliest_days,usual_days,words,source\ntincture,shake,3,1,Turn.,days=m\n",
     "do not follow each other"},
    {"steps.csv", "preparation,step,usual_days,words,source\ntincture,shake,1.5,Turn.,days=m\n",
     "no whole number"},
    {"keeping.csv", "preparation,part,source\ntincture,root,\n", "column 'pressed_days': is empty"},
    {"keeping.csv", "preparation,state,pressed_days,source\ntincture,wet,9,pressed=m\n",
     "'wet' is none of: any, fresh, dried"},
    {"jars.csv", "nominal_ml,brimful_ml,source\n500,480,brimful=memory\n", "less than the 500 mL"},
    {"jars.csv", "nominal_ml,brimful_ml,source\n0,480,brimful=memory\n", "column 'nominal_ml'"},
    {"presses.csv", "press,name,source\nfoot,by foot,\n",
     "column 'retained_fresh_ml_per_g': is empty"},
    {"hazards.csv", "method,closed_m,ask_m,source\nroad,20,10,\"closed, ask=memory\"\n",
     "10 m is less than closed_m"},
    {"hazards.csv", "method,closed_m,ask_m,source\ndrone,20,40,\"closed, ask=memory\"\n",
     "needs hold_on_days"},
    {"hazards.csv", "method,closed_m,source\nroad,-1,closed=memory\n", "column 'closed_m'"},
    {"hazards.csv", "method,ask_m,source\ndrone,20,ask=memory\n", "column 'closed_m': is empty"},
    {"protected.csv", "country,latin,rule,words,source\nEngland,Arnica,refuse,No.,rule=memory\n",
     "'England' is no ISO 3166 code"},
    {"protected.csv", "country,latin,rule,words,source\nGB,Arnica,forbid,No.,rule=memory\n",
     "'forbid' is none of: caution, leave, refuse"},
    /* the file itself */
    {"jars.csv", "nominal_ml,brimful_ml,source\n500,540,brimful=a\n500,560,brimful=b\n",
     "jars.csv:3: '500' is on line 2 already"},
    {"jars.csv", "nominal_ml,brimful,source\n500,540,brimful=a\n",
     "no column 'brimful'; did you mean 'brimful_ml'"},
    {"jars.csv", "nominal_ml,brimful_ml,source\n500,540\n", "jars.csv:2: has 2 cells"},
    {"jars.csv", "", "jars.csv is empty"},
};

/* The line about what was left out that holds `part`; fails when there is none. */
static void expect_left_out(const spl_tables *tables, const char *part)
{
    GPtrArray *lines = spl_tables_left_out(tables);

    for (guint i = 0; i < lines->len; i++) {
        if (strstr(g_ptr_array_index(lines, i), part) != NULL)
            return;
    }
    fail_msg("%u lines, none says '%s'; the first: %s", lines->len, part,
             lines->len > 0 ? (const char *)g_ptr_array_index(lines, 0) : "");
}

static void a_broken_row_of_each_kind_is_left_out_by_name(void **state)
{
    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(broken_rows); i++) {
        const struct broken *row = &broken_rows[i];
        char *folder = folder_new();
        g_autoptr(GError) error = NULL;

        write_file(folder, row->file, row->text);
        g_autoptr(spl_tables) tables = spl_tables_load(DATA, folder, &error);
        folder_remove(folder);
        expect_ok(error);
        expect_left_out(tables, row->part);
        /* What we have stands. */
        expect_near(material_of(tables, "peppermint/leaf")->moisture_frac.value, 0.7865, 1e-12, "");
    }
}

static void the_good_rows_beside_a_bad_one_count(void **state)
{
    char *folder = folder_new();
    g_autoptr(GError) error = NULL;

    (void)state;
    write_file(folder, "materials.csv",
               "plant,part,moisture_pct\nnettle,leaf,120\nnettle,tops,81\nelder,flower\n"
               "elder,fruit,79\n");
    write_file(folder, "jars.csv", "nominal_ml,brimful\n500,540\n");
    write_file(folder, "presses.csv", "press,retained_fresh_ml_per_g\nhand,0.8\n");
    g_autoptr(spl_tables) tables = spl_tables_load(DATA, folder, &error);
    folder_remove(folder);
    expect_ok(error);
    assert_int_equal(spl_tables_left_out(tables)->len, 3);
    expect_left_out(tables, "materials.csv:2: column 'moisture_pct': 120 is not between");
    expect_left_out(tables, "materials.csv:4: has 2 cells");
    expect_left_out(tables, "no column 'brimful'");
    expect_near(material_of(tables, "nettle/tops")->moisture_frac.value, 0.81, 1e-12, "");
    expect_near(material_of(tables, "elder/fruit")->moisture_frac.value, 0.79, 1e-12, "");
    /* One's own figure needs no source; the answer says whose it is. */
    assert_string_equal(material_of(tables, "nettle/tops")->moisture_frac.source, "your own table");
    assert_int_equal(material_of(tables, "elder/fruit")->must_cook, TRUE);
}

static void own_rows_need_only_what_they_change(void **state)
{
    static const struct {
        const char *file, *text;
    } rows[] = {
        {"plants.csv", "plant,cautions\nnettle,It stings.\n"},
        {"preparations.csv", "preparation,headspace_pct\nvinegar,5\n"},
        {"makings.csv", "material,preparation,strength_pct\nnettle/leaf,tincture,55\n"},
        {"steps.csv", "preparation,step,alarm\ntincture,shake,yes\n"},
        {"steps.csv", "preparation,step,usual_days\ntincture,shake,2\n"},
        {"keeping.csv", "preparation,unpressed_days\ntincture,800\n"},
        {"jars.csv", "nominal_ml,brimful_ml\n500,530\n"},
        {"presses.csv", "press,retained_dry_ml_per_g\nhand,1.2\n"},
        {"hazards.csv", "method,ask_m\nroad,90\n"},
        {"protected.csv", "country,latin,rule,words\nGB,Urtica dioica,caution,Ask Ann.\n"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        char *folder = folder_new();
        g_autoptr(GError) error = NULL;

        write_file(folder, rows[i].file, rows[i].text);
        g_autoptr(spl_tables) tables = spl_tables_load(DATA, folder, &error);
        folder_remove(folder);
        expect_ok(error);
        if (spl_tables_left_out(tables)->len > 0)
            fail_msg("%s", (const char *)g_ptr_array_index(spl_tables_left_out(tables), 0));
    }
}

/* A strength that is said of the herb, fresh or dried, comes before both of ours. */
static void an_own_strength_counts_for_fresh_and_dried(void **state)
{
    char *folder = folder_new();
    g_autoptr(GError) error = NULL;
    const struct spl_preparation *tincture = NULL;

    (void)state;
    write_file(folder, "makings.csv",
               "material,preparation,strength_pct\nnettle/leaf,tincture,55\n");
    g_autoptr(spl_tables) tables = spl_tables_load(DATA, folder, &error);
    folder_remove(folder);
    expect_ok(error);
    assert_true(spl_tables_preparation(tables, "tincture", &tincture, &error));
    for (int dried = 0; dried < 2; dried++) {
        struct spl_making making =
            spl_tables_making(tables, material_of(tables, "nettle/leaf"), tincture, dried);

        expect_near(making.strength_frac.value, 0.55, 1e-12, "");
        assert_int_equal(making.strength_means, SPL_STRENGTH_POURED);
    }
}

/* Every tag of every row of ours, renamed one row at a time, makes our tables unusable. */
static void no_figure_of_ours_can_lose_its_source(void **state)
{
    int taken = 0;
    g_autofree char *words = read_file("menstrua.csv");

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
            char *whole = lines[line];

            for (gsize k = 0; k < G_N_ELEMENTS(table_names); k++) {
                g_autofree char *other = read_file(table_names[k]);

                write_file(folder, table_names[k], other);
            }
            write_file(folder, "menstrua.csv", words);
            lines[line] = g_regex_replace_literal(tag, whole, -1, 0, "zz=", 0, NULL);
            g_autofree char *bare = g_strjoinv("\n", lines);
            g_free(lines[line]);
            lines[line] = whole;
            write_file(folder, table_names[i], bare);
            g_autoptr(spl_tables) tables = spl_tables_load(folder, NULL, &error);
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
    cmocka_unit_test(a_broken_row_of_each_kind_is_left_out_by_name),
    cmocka_unit_test(the_good_rows_beside_a_bad_one_count),
    cmocka_unit_test(own_rows_need_only_what_they_change),
    cmocka_unit_test(an_own_strength_counts_for_fresh_and_dried),
    cmocka_unit_test(no_figure_of_ours_can_lose_its_source),
};
expect_main(tests)

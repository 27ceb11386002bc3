/* SPDX-License-Identifier: MIT
 *
 * The insides of struct spl_tables, for tables.c, tables_build.c and part.c alone.
 */
#ifndef SPL_CORE_TABLES_PRIVATE_H
#define SPL_CORE_TABLES_PRIVATE_H

#include "core/tables.h"

struct spl_tables {
    GStringChunk *texts; /* every text of every row */
    GPtrArray *lists;    /* the name lists of rows */
    GPtrArray *left_out; /* of char *: see spl_tables_left_out */
    GPtrArray *plants, *materials, *preparations, *makings, *step_rules, *keepings, *jars, *presses,
        *methods, *protections, *menstruum_words;
    /* name key -> GPtrArray of rows that go by it */
    GHashTable *plant_names, *material_names, *preparation_names, *method_names, *press_names;
    /* slug -> row */
    GHashTable *plant_slugs, *material_slugs, *preparation_slugs, *method_slugs;
};

/* The key under which names of the tables are found: spl_name_key with '/' as a space and without
 * apostrophes and full stops ("St. John's-wort/tops" = "st johns wort tops"). Free with g_free. */
char *spl_tables_key(const char *name);

/* The words by which people call a part ("leaf", "leaves", "folium"), NULL at the end. */
const char *const *spl_part_words(enum spl_part part);

/* As much of a name as a message shows. Free with g_free. */
char *spl_tables_shown_name(const char *name);

/* TRUE if a rule's country, "", "GB", "US-CA" or several of these, is that of the book. */
gboolean spl_tables_country_fits(const char *rule, const char *country);

#endif

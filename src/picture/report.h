/* SPDX-License-Identifier: MIT
 *
 * A report on as many pages as it needs: sections of words and ruled tables, some of them left open
 * for handwriting. The recall's sheet and a lot's dossier are made of it.
 */
#ifndef SPL_PICTURE_REPORT_H
#define SPL_PICTURE_REPORT_H

#include "picture/page.h"

#define SPL_REPORT_COLUMNS 12

struct spl_report_column {
    const char *heading;
    double share; /* of the width, relative to the others */
    gboolean right, bold;
};

struct spl_report_row {
    const char *cells[SPL_REPORT_COLUMNS]; /* NULL: empty */
    gboolean barred;                       /* it may not go out: said in the house's red too */
};

/* A picture with its words below; without pixels the words alone. */
struct spl_report_picture {
    struct spl_page_pixels pixels;
    const char *words;
};

struct spl_report_section {
    const char *name;
    const char *text; /* above the table; may be NULL */
    const char *none; /* in place of a table without rows; NULL: then the section is left out */
    const struct spl_report_column *columns;
    gsize n_columns; /* 0: words alone */
    const struct spl_report_row *rows;
    gsize n_rows;
    const struct spl_report_picture *pictures; /* beneath the table */
    gsize n_pictures;
    double least;     /* lowest row, pt: room for handwriting; 0: as the words need */
    gboolean upright; /* rules between the columns too */
};

struct spl_report {
    const char *title, *subtitle, *about;
    const struct spl_report_section *sections;
    gsize n_sections;
};

/* On paper that lies across. */
GBytes *spl_report_draw(const struct spl_report *report, const struct spl_page_options *options,
                        struct spl_page_report *done, GError **error);

#endif

/* SPDX-License-Identifier: MIT
 *
 * The parts that the recall's sheet and a lot's dossier have in common: a trace, told in tables.
 */
#ifndef SPL_SEASON_DOSSIER_H
#define SPL_SEASON_DOSSIER_H

#include "picture/report.h"
#include "season/album.h"
#include "simpling/trace.h"

struct spl_dossier {
    struct spl_album *album;
    const struct spl_trace *trace;
    GArray *sections; /* struct spl_report_section */
};

/* Begins a section with this table; its rows are added to the array that is returned (struct
 * spl_report_row). Ends with spl_dossier_end. */
GArray *spl_dossier_rows(struct spl_dossier *dossier);
void spl_dossier_end(struct spl_dossier *dossier, const struct spl_report_section *section,
                     GArray *rows);
#define SPL_DOSSIER_COLUMNS(columns_) .columns = (columns_), .n_columns = G_N_ELEMENTS(columns_)

/* Words of the album. */
const char *spl_dossier_day(struct spl_dossier *dossier, struct spl_day day);
const char *spl_dossier_amount(struct spl_dossier *dossier, double amount, const char *unit);

void spl_dossier_said(struct spl_dossier *dossier);
void spl_dossier_ground(struct spl_dossier *dossier);
void spl_dossier_made(struct spl_dossier *dossier);
void spl_dossier_lots(struct spl_dossier *dossier);
void spl_dossier_reactions(struct spl_dossier *dossier);

#endif

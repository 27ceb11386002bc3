/* SPDX-License-Identifier: MIT
 *
 * The other readings of a place's facts, while a colleague's corrections of them wait to be agreed
 * to: the worse one counts, per fact.
 */
#ifndef SPL_SEASON_READINGS_H
#define SPL_SEASON_READINGS_H

#include <glib.h>

#include "season/house_private.h"
#include "simpling/record/site.h"

/* All corrections that wait and that ground is judged by (struct spl_revision_reading); NULL with
 * an error. */
GArray *spl_readings_load(struct spl_house *house, GError **error);

/* Words about spraying (struct spl_spray_record), as they may also be: a danger is there a second
 * time, of another day or method; a good word covers what it covers in every reading. */
void spl_readings_of_notes(const GArray *readings, GArray *records);

/* The place as each mark that corrects it has it: a list of spl_site_shape, mostly empty. */
GArray *spl_readings_of_site(const GArray *readings, const struct spl_site *site);

#endif

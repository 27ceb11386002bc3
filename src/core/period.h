/* SPDX-License-Identifier: MIT
 *
 * Dates of one period of years moved to another, by the warming between.
 *
 * How much warmer each month became from 1961-1990 to 1991-2020 is the mean of three homogeneous
 * series of north-western and Central Europe (Newton Rigg, Klein-Altendorf, Basel); before 1975 the
 * climate is taken as level. An event answers to the 60 days before it: 4 days a kelvin before
 * April and after mid-June, 4.5 between (cherries below 600 m in Switzerland: 4.5); fruit 4;
 * die-back 2.5 days later. At most 12 days.
 */
#ifndef SPL_CORE_PERIOD_H
#define SPL_CORE_PERIOD_H

#include <glib.h>

#include "core/shift.h"

/* First and last year; 0: not said. */
struct spl_period {
    int from, to;
};

/* The period that windows speak of when nothing else is said. */
#define SPL_PERIOD_NOW ((struct spl_period){1991, 2020})

/* "1961-1990": FALSE for anything else, years outside 1700 to 2200, or the wrong way round. */
gboolean spl_period_parse(const char *text, struct spl_period *period);

/*
 * Days by which an event comes later (-: earlier) in `to` than in `from`. `day` is its day of the
 * year as the northern hemisphere counts it, 1-366. 0 when either period is not said.
 */
double spl_period_days(enum spl_event event, double day, struct spl_period from,
                       struct spl_period to);

#endif

/* SPDX-License-Identifier: MIT
 *
 * May I pick here? The verdict for a site on a day, and for a material everything else to know
 * before picking.
 */
#ifndef SIMPLING_CHECK_H
#define SIMPLING_CHECK_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/record/reason.h"
#include "simpling/row.h"

struct spl_check {
    char *site;
    char *material; /* slug; NULL: the site alone was asked about */
    struct spl_day date;
    enum spl_verdict verdict;
    char *words;          /* the verdict in words */
    struct spl_day until; /* the day on which it may next change with nothing new noted */
    char *reckoned_from;  /* what the book has of the ground near it: "2 layers; no roads known
                             here" */
    GArray *reasons;      /* of spl_reason_shape, worst first */
    GArray *window;       /* of spl_window_shape: the material's windows of this year here */
    char *picking;        /* the hours of that day for picking it, in local time; NULL */
    char *stage;          /* the last stage seen of it here, in words with its day; NULL */
    double allowance_g;   /* what the stand can still spare; NAN: no material, or stand not sized */
    GArray *near;         /* of spl_hazard_line_shape: only when asked for */
    GPtrArray *cautions;  /* look-alikes, protection, stand, keeping; in words */
    guint for_taker;      /* how many of them, the last, say who must not take it */
};
extern const struct spl_shape spl_check_shape;

/* The verdict as an exit status: 0 clear, 3 ask, 4 closed. */
int spl_check_exit_status(const struct spl_check *check);

/* One place, or all of them. */
struct spl_check_question {
    const char *site;
    const char *material; /* NULL: the place alone */
    struct spl_day on;    /* none: today */
    gboolean all;
    double near_m; /* 1 m to 100 km: every hazard within it, too; NAN: none */
};
extern const struct spl_inputs spl_check_inputs;

/* SPL_ERROR_USAGE for all of them. */
gboolean spl_check_site(struct spl_house *house, const struct spl_check_question *question,
                        struct spl_check *check, GError **error);

/* Every site in turn, with progress; counts of each verdict into `counts` (3, may be NULL).
 * SPL_ERROR_USAGE for one of them. */
gboolean spl_check_all(struct spl_house *house, const struct spl_check_question *question,
                       gboolean (*each)(const struct spl_check *check, gpointer data,
                                        GError **error),
                       gpointer data, int counts[3], GError **error);

#endif

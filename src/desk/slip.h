/* SPDX-License-Identifier: MIT
 *
 * A slip as a file to carry: one page of HTML that needs nothing beside itself, or the same as
 * plain text, which passes where pages do not.
 *
 * Nothing on either is said to be clear without the days that it is said of. The page can be read
 * without its script; the script narrows the days to today, or covers them (slip.js).
 */
#ifndef SPL_DESK_SLIP_H
#define SPL_DESK_SLIP_H

#include <glib.h>

#include "simpling/row.h"
#include "simpling/slip.h"

/* Both with amounts in the units of the customs (simpling/customs.h). Free with g_free. */
char *spl_slip_page(const struct spl_slip *slip);
char *spl_slip_text(const struct spl_slip *slip);

/* "Sun 4 July", "Sun 4 July 2027". Free with g_free. */
char *spl_slip_day_words(struct spl_day day, gboolean year);
/* "Good for Sun 4 to Tue 13 July 2027", without a full stop. Free with g_free. */
char *spl_slip_days_words(const struct spl_slip *slip);
/* "Sun 4 to Tue 13 July", "Wed 30 June to Fri 2 July". Free with g_free. */
char *spl_slip_run_words(struct spl_day first, struct spl_day last);
/* "clear", "ask first", "CLOSED". */
const char *spl_slip_verdict_words(enum spl_verdict verdict);
/* "nettle leaf, hawthorn flower": what is judged by the class; NULL: nothing. Free with g_free. */
char *spl_slip_class_words(const struct spl_slip_place *place, int class);
/* "may take 400 g", "nothing to spare"; NULL: not known. Free with g_free. */
char *spl_slip_left_words(const struct spl_slip_material *material);
/* "in season 4 May to 20 July, best 10 May to 2 June"; NULL: no window. Free with g_free. */
char *spl_slip_season_words(const struct spl_slip_material *material);

/*
 * Makes the slip and writes it whole or not at all to `said->out`, whose ending says which form.
 * SPL_ERROR_USAGE: another ending. SPL_ERROR_CONFLICT: the file is no slip and `force` is not said.
 * `written` is yours on TRUE.
 */
gboolean spl_slip_write(struct spl_house *house, const struct spl_slip_words *said,
                        struct spl_slip_written *written, GError **error);

#endif

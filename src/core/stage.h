/* SPDX-License-Identifier: MIT
 *
 * Growth stages: words for people, codes of the extended BBCH scale inside.
 *
 * The scale: Hack et al. 1992; Meier (ed.), BBCH monograph, 2nd ed. 2001, doi 10.5073/bbch0515.
 * Codes run from 0 to 99; a code that neither the general scale nor a crop scale defines is
 * refused.
 */
#ifndef SPL_CORE_STAGE_H
#define SPL_CORE_STAGE_H

#include <glib.h>

#define SPL_STAGE_NONE (-1)

/* TRUE if the scale has this code. */
gboolean spl_stage_is_valid(int code);

/*
 * Reads a stage: "65", "05", or words ("in bud", "first flowers", "full flower", "died back" …;
 * case and hyphens are forgiven). SPL_ERROR_INVALID names the words that there are, or the nearest
 * codes.
 */
gboolean spl_stage_parse(const char *text, const char *what, int *code, GError **error);

/*
 * Reads a range: "60-63", "93-11" (over the winter) or one stage, in codes or words ("in bud-full
 * flower" is written "in bud to full flower").
 */
gboolean spl_stage_range_parse(const char *text, const char *what, int *from, int *to,
                               GError **error);

/* The word for a code ("full flower"), the nearest one below where the code has none of its own;
 * "" for SPL_STAGE_NONE. Static text. */
const char *spl_stage_word(int code);

/* What the code means, in a few words ("50 % of the flowers open"). Static text, "" if invalid. */
const char *spl_stage_about(int code);

/* "full flower (65)"; free with g_free. */
char *spl_stage_format(int code);

/* TRUE if `code` lies in from..to; from > to is a range over the winter (93..11). */
gboolean spl_stage_in(int code, int from, int to);

/* The words in the order of the scale: borrowed static texts; g_ptr_array_unref the list. */
GPtrArray *spl_stage_words(void);

/* And all that are understood beside them ("in bloom"): owned texts; g_ptr_array_unref the list. */
GPtrArray *spl_stage_all_words(void);

#endif

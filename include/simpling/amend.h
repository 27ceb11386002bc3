/* SPDX-License-Identifier: MIT
 *
 * Correcting and taking back any coded record; the old values stay in the book.
 */
#ifndef SIMPLING_AMEND_H
#define SIMPLING_AMEND_H

#include <glib.h>

#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/row.h"

/* What was corrected. */
struct spl_correction {
    char *code;
    char *field; /* the input's key, with hyphens */
    char *was, *became;
    char *why, *by;
};
extern const struct spl_shape spl_correction_shape;

/* One value: the key of an input of the record's own entry ("weight", "named_by"), and how it is
 * right, as one would say it there. */
struct spl_change_words {
    const char *key, *text;
};
extern const struct spl_inputs spl_change_inputs; /* of an element */

struct spl_amend_words {
    const char *code;
    GArray *changes; /* struct spl_change_words */
    const char *why;
    const char *by; /* who corrects; NULL: the setting `who` */
    gboolean sure;  /* a harvest's weight is so, although nobody carries that much home */
};
extern const struct spl_inputs spl_amend_inputs;

/* The tables whose rows that amend may be changed so; NULL at the end. */
extern const struct spl_inputs *const spl_amended_inputs[];

/*
 * Corrects the record with this code. Returns the list of spl_correction_shape. SPL_ERROR_INVALID
 * for a value, SPL_ERROR_USAGE for a key that the record does not have, SPL_ERROR_REFUSED when less
 * would be left than was drawn, SPL_ERROR_CLOSED when the ground was closed on the day to which a
 * harvest is moved.
 */
GArray *spl_record_amend(struct spl_house *house, const struct spl_amend_words *words,
                         GError **error);

struct spl_strike_words {
    const char *code;
    gboolean last;     /* instead of a code: the last entry of this book */
    const char *why;   /* NULL, of the last entry alone: "taken back at once" */
    const char *by;    /* NULL: the setting `who` */
    const char *entry; /* with `last`: only if this is still it (simpling/stamp.h) */
};
extern const struct spl_inputs spl_strike_inputs;
/* Takes a record back; it stays in the book, and nothing may draw on it. What went out is taken
 * back as the last entry alone. SPL_ERROR_REFUSED: something draws on it, or went out of it;
 * SPL_ERROR_NOT_FOUND: there is no last entry; SPL_ERROR_CONFLICT: `entry` is the last no more. */
gboolean spl_record_strike(struct spl_house *house, const struct spl_strike_words *words,
                           struct spl_correction *correction, GError **error);

#endif

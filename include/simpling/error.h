/* SPDX-License-Identifier: MIT
 *
 * What can go wrong, as GError codes of the one domain SPL_ERROR.
 *
 * A message is one sentence that names the thing, what is wrong with it and what to do, without a
 * trailing full stop. A lower room's message is never overwritten, at most prefixed.
 *
 * What is wrong with an input is set by spl_error_set_input: the error then carries the input's key
 * ("garbled"), and its message is "KEY: sentence". A face asks for the two apart and says them in
 * its own way ("--garbled: sentence", a line beside the field), so it never reads a message.
 *
 * What a face may want beside the sentence is carried along, through copies and prefixes: a kind
 * with a stable name, what would settle it, and the reasons, all of them (spl_error_explain).
 */
#ifndef SIMPLING_ERROR_H
#define SIMPLING_ERROR_H

#include <glib.h>

#include "simpling/record/reason.h"

enum spl_error_code {
    SPL_ERROR_USAGE,     /* the words of the call are wrong (exit status 2) */
    SPL_ERROR_INVALID,   /* a value cannot be what it says (exit status 2) */
    SPL_ERROR_NOT_FOUND, /* no such site, plant, code, file */
    SPL_ERROR_EXISTS,    /* the name or file is taken */
    SPL_ERROR_AMBIGUOUS, /* several things match; the message names them */
    SPL_ERROR_REFUSED,   /* a rule of the trade forbids it */
    SPL_ERROR_CLOSED,    /* the ground is closed (exit status 4) */
    SPL_ERROR_CONFLICT,  /* changed by somebody else since it was read */
    SPL_ERROR_BUSY,      /* another process holds the book */
    SPL_ERROR_READ_ONLY, /* the file or folder may not be written */
    SPL_ERROR_IO,        /* the disk or system failed */
    SPL_ERROR_CORRUPT,   /* a file is damaged or not what it should be */
    SPL_ERROR_TOO_NEW,   /* written by a newer simpling */
    SPL_ERROR_LIMIT,     /* larger than we are willing to read */
    SPL_ERROR_INTERNAL   /* a defect of ours */
};

#define SPL_ERROR (spl_error_quark())
GQuark spl_error_quark(void);

/* An error about one input: `key` as in its table of inputs, then the sentence without the key. */
void spl_error_set_input(GError **error, enum spl_error_code code, const char *key,
                         const char *format, ...) G_GNUC_PRINTF(4, 5);

/* Says whose input an error is about that was set below without one; the message stays. Nothing
 * when there is no error, or it has its input already. */
void spl_error_about(GError **error, const char *key);

/* Whose input it is: the key, or NULL. Borrowed from the error; any error may be asked. */
const char *spl_error_input(const GError *error);

/* The message without the key in front. Borrowed from the error. */
const char *spl_error_sentence(const GError *error);

/*
 * Adds to an error just set what else is known of it; `error` as g_set_error takes it, NULL is
 * fine. `kind` is a name that stays ("protected"; NULL: that of the code), kept, not copied. `next`
 * and `reasons` (struct spl_reason) are taken over, NULL: none.
 */
void spl_error_explain(GError **error, const char *kind, struct spl_next *next, GArray *reasons);

/* A name for programs: what spl_error_explain was told, else the code's ("not-found"); "failed" of
 * errors that are not ours. Never NULL. */
const char *spl_error_kind(const GError *error);

/* What would settle it, and why it was refused; NULL: not known. Borrowed from the error. */
const struct spl_next *spl_error_next(const GError *error);
const GArray *spl_error_reasons(const GError *error);

/* An error as a record, for JSON. */
struct spl_failure {
    char *error; /* the sentence, without the key in front */
    char *input;
    char *kind;
    struct spl_next *next;
    GArray *reasons; /* struct spl_reason */
};
extern const struct spl_shape spl_failure_shape;

/* Fills `failure`, to be freed with spl_record_clear. */
void spl_error_failure(const GError *error, struct spl_failure *failure);

/* The exit status that a failure with this error deserves: 1, 2 or 4. */
int spl_error_exit_status(const GError *error);

#endif

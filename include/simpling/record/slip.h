/* SPDX-License-Identifier: MIT
 *
 * Parts of a slip that more than one room knows: days judged alike, and a line as a slip hands it
 * out.
 */
#ifndef SIMPLING_RECORD_SLIP_H
#define SIMPLING_RECORD_SLIP_H

#include <glib.h>

#include "simpling/day.h"
#include "simpling/record/reason.h"
#include "simpling/row.h"

/* A reason, by its place among those of the slip's place, from 0. */
struct spl_slip_why {
    int reason;
};
extern const struct spl_shape spl_slip_why_shape;

/* Days in a row, the last included, with one verdict for the same reasons. */
struct spl_slip_run {
    struct spl_day first, last;
    enum spl_verdict verdict;
    GArray *why; /* struct spl_slip_why, worst first */
};
extern const struct spl_shape spl_slip_run_shape;

/*
 * Which entry of which slip a line is: "[a7k3-q2-05]", changed "[a7k3-q2-05.2]", taken back
 * "[a7k3-q2-05 struck]". The identity stands whatever becomes of the line's words.
 */
struct spl_slip_tag {
    const char *slip;  /* four or more of SPL_SLIP_LETTERS */
    const char *phone; /* two of them, which the phone chose; NULL: written by hand on the slip */
    int number;        /* from 1 */
    int revision;      /* from 1, which is not written */
    gboolean struck;
};
/* Read aloud and copied by hand without taking one for another. */
#define SPL_SLIP_LETTERS "abcdefghjkmnpqrstuvwxyz23456789"

/* One entry as it stands in notes. */
struct spl_slip_line {
    struct spl_day day;
    const char *place; /* NULL: none (a jar) */
    const char *what;  /* "fellwort flower 600 g, full flower" */
    const char *remark;
    struct spl_slip_tag tag;
};

/* A place's name as a line of notes bears it: without the signs that part a line's pieces ("Kell
 * (north)" is "Kell north"). g_free it. */
char *spl_slip_place(const char *name);
/* "2027-07-14 Scarth Wood: fellwort flower 600 g, full flower; hot day [a7k3-q2-05]": one line.
 * What would end the line or be read as its identity becomes a blank or a round bracket. Free with
 * g_free. */
char *spl_slip_line_write(const struct spl_slip_line *line);

/*
 * What a slip writes behind the semicolon, in pieces with semicolons between them: "despite: picked
 * before he came; by Corin; signs: hollow stalk, milk; 19:42; hot day". Each of the first three
 * once at the most, in any order; NULL: not said. `rest`: all else, with semicolons; NULL: nothing.
 */
struct spl_slip_tail {
    char *despite, *by, *signs, *rest;
};
/* Fills `tail`, to be cleared, from any remark (NULL: none). */
void spl_slip_tail_read(const char *remark, struct spl_slip_tail *tail);
void spl_slip_tail_clear(struct spl_slip_tail *tail);

/* `length` characters of SPL_SLIP_LETTERS from random ones. Free with g_free. */
char *spl_slip_letters(int length);

#endif

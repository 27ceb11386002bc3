/* SPDX-License-Identifier: MIT
 *
 * Forms from the tables of inputs: a field for each row, with its label, its line of help and, when
 * it could not be taken, why, beside it; what was typed stands in it as it was typed.
 */
#ifndef SPL_DESK_FORM_H
#define SPL_DESK_FORM_H

#include <glib.h>

#include "desk/html.h"
#include "desk/target.h"
#include "simpling/input.h"

/* What could not be taken. */
struct spl_wrong {
    char *key; /* of the input, "jars.0.yield"; NULL: of none */
    char *sentence;
};

/* What was typed, and what came of reading it. */
struct spl_reading {
    const struct spl_inputs *inputs;
    void *said;          /* the struct of the inputs */
    const GArray *pairs; /* struct spl_pair, as typed; borrowed; NULL: nothing was */
    GArray *errors;      /* struct spl_wrong */
};

/* Reads all pairs that are inputs; `pairs` and `without` (keys of no inputs of this form, with
 * blanks, NULL: none) must outlive it. */
void spl_reading_begin(struct spl_reading *reading, const struct spl_inputs *inputs,
                       const GArray *pairs, const char *without);
/* One more thing that is wrong; takes the error over. */
void spl_reading_wrong(struct spl_reading *reading, GError *error);
void spl_reading_end(struct spl_reading *reading);

/* What is wrong, above the heading: each a link to its field. Nothing when nothing is. */
void spl_form_summary(struct spl_html *html, const char *prefix, const struct spl_reading *reading);
/* The fields; `prefix` tells those of two forms of one page apart. */
void spl_form_fields(struct spl_html *html, const char *prefix, const struct spl_reading *reading,
                     const char *without);

/* A form whose answer is the page itself again: /PATH?what=WHAT&…. */
void spl_form_ask(struct spl_html *html, const char *path, const char *what,
                  const struct spl_reading *reading, const char *button);

/* A form of an act with an identity of its own: begin, what is in it, end with the button. */
void spl_form_begin(struct spl_html *html, const char *act);
/* The same without the button at its end, which stands elsewhere in it. */
void spl_form_close(struct spl_html *html);
/* A value that goes along unseen; nothing when it is NULL. */
void spl_form_hidden(struct spl_html *html, const char *key, const char *value);
/* A line that is ticked: "CODE WORD" as one element of the list `key`. Behind it a button that
 * sends all the others, under the key `but` (NULL: none). */
void spl_form_tick(struct spl_html *html, const char *key, const char *code, const char *word,
                   const char *what, const char *but);
/* The button of a form that has others behind it: Enter in a field presses the first. */
void spl_form_send(struct spl_html *html, const char *button);
/* A line that is filled in; `id` is its own on this page. */
void spl_form_line(struct spl_html *html, const char *id, const char *key, const char *label,
                   const char *value);
/* A second way to send the form: with this pair beside what is in it. */
void spl_form_button(struct spl_html *html, const char *key, const char *value, const char *button);
void spl_form_end(struct spl_html *html, const char *button);

/* Gives every form of a page a new identity, in place: the page goes to one more window. */
void spl_form_renew(char *page);

#endif

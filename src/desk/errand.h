/* SPDX-License-Identifier: MIT
 *
 * An errand: a visit that another process answers (simpling-page), because it takes long or reads
 * what strangers wrote. What is asked goes to its standard input, the answer comes from its output.
 */
#ifndef SPL_DESK_ERRAND_H
#define SPL_DESK_ERRAND_H

#include <glib.h>

#include "desk/visit.h"

/* What is asked; `form`: as it was sent, NULL: nothing was. */
GBytes *spl_errand_pack(const struct spl_visit *visit, const char *form);

/* An answer, all NULL when it is none of ours. */
struct spl_errand_answer {
    unsigned status;
    GBytes *body;
    char *type, *location, *file; /* location, file: NULL */
    gboolean keep_files;
};
void spl_errand_answer_clear(struct spl_errand_answer *answer);
gboolean spl_errand_unpack(GBytes *bytes, struct spl_errand_answer *answer);

/* The other process: reads what is asked from `in`, answers it, writes the answer to `out`; its
 * exit status. */
int spl_errand_run(int in, int out);

#endif

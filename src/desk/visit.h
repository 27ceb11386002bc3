/* SPDX-License-Identifier: MIT
 *
 * A visit: one request that was let in, and its answer. A page fills the answer; the server sends
 * it.
 */
#ifndef SPL_DESK_VISIT_H
#define SPL_DESK_VISIT_H

#include <glib.h>

#include "desk/target.h"
#include "simpling/house.h"

struct spl_told; /* desk/told.h */

struct spl_visit {
    /* What was asked. */
    const char *target;             /* path and query as they came; borrowed */
    char **steps;                   /* of the path */
    GArray *query;                  /* struct spl_pair */
    GArray *form;                   /* struct spl_pair; NULL: nothing was sent */
    struct spl_house_options where; /* with this moment's today; texts are borrowed */
    const char *files;              /* folder of what came with the form; NULL: nothing; borrowed */
    struct spl_told *told;          /* what was written here lately; borrowed */

    /* What is answered. */
    unsigned status;
    char *body; /* owned */
    gsize length;
    const char *type;     /* static */
    const char *language; /* NULL */
    char *location;       /* owned; NULL */
    char *file;           /* it is kept under this name, of harmless signs; owned; NULL: shown */
    gboolean keep_files;  /* they are to be read once more */
    gboolean forever;     /* never changes under this address */
    guint again_s;        /* the browser looks again by itself after so long; 0: never */
    gboolean ends;        /* the desk ends when this is answered */
};

void spl_visit_clear(struct spl_visit *visit);

/* The step of the path behind the first: of "/batch/B27-003" the code; NULL: there is none. */
const char *spl_visit_of(const struct spl_visit *visit);

/* A value of the query; NULL: not said, or empty. */
const char *spl_visit_asked(const struct spl_visit *visit, const char *key);

/* Answers with this page; takes it over. */
void spl_visit_page(struct spl_visit *visit, unsigned status, char *page);

/* Sends the browser on with a GET; takes `location` over, a path of ours. */
void spl_visit_send_on(struct spl_visit *visit, char *location);

/* Whether answering takes so long that another process does it; `picture`: it has no page to say
 * so.
 */
gboolean spl_visit_is_long(const struct spl_visit *visit, gboolean *picture);

/* The page for what is asked (desk/routes.c). */
void spl_visit_answer(struct spl_visit *visit);

/* Pages for who is not let in, and for who just was (desk/page_door.c). */
char *spl_desk_refused(unsigned status, const char *words);
char *spl_desk_let_in(void);

/* The style sheet, and the name under which it does not change (desk/style.c). */
const char *spl_style(gsize *length);
const char *spl_style_name(void);
/* The same of the script. */
const char *spl_script(gsize *length);
const char *spl_script_name(void);

#endif

/* SPDX-License-Identifier: MIT
 *
 * The door: who is let in. Pure functions over what a request says of itself, so that each line can
 * be tested without a socket.
 *
 * A key of 128 random bits in the first address becomes a cookie. Beside it every request is looked
 * at: names under which a foreign page could reach loopback (DNS rebinding), requests that other
 * pages send in the person's name (forgery), frames, and what the library's parser lets through.
 */
#ifndef SPL_DESK_DOOR_H
#define SPL_DESK_DOOR_H

#include <glib.h>

#define SPL_DOOR_BODY_MAX 65536 /* bytes of a form */
/* Bytes of a form with files: what is larger than the desk keeps is read to its end and refused, as
 * a browser shows no answer before; this is not even begun. */
#define SPL_DOOR_FILES_MAX ((guint64)16 << 30)
#define SPL_DOOR_WRONG_KEYS 20 /* then a minute's pause */

/* What opens. Texts of lower-case hex. */
struct spl_door {
    char *name;         /* of the host: NAME.localhost */
    char *cookie;       /* its value; the name is "simpling-" and NAME */
    char *secret;       /* keys are made of it, anew at each start */
    GHashTable *used;   /* keys that were used, as a set */
    int wrong;          /* keys in a row */
    gint64 wrong_at_us; /* monotonic, of the last of them */
};

/* What a request says of itself; NULL: not said. */
struct spl_knock {
    const char *method;
    const char *target; /* as it came: "/jars?x=1" */
    const char *host, *origin, *cookie;
    const char *fetch_site, *fetch_dest, *fetch_mode;
    const char *length; /* Content-Length */
    const char *type;   /* Content-Type */
    gboolean coded;     /* has Transfer-Encoding */
    gboolean twice;     /* a header of these came more than once, or holds a NUL */
};

enum spl_let_in {
    SPL_DOOR_IN,    /* with the cookie */
    SPL_DOOR_KEY,   /* with a fresh key: gets the cookie */
    SPL_DOOR_STYLE, /* without: style sheet alone */
    SPL_DOOR_REFUSED
};

/* A name and secrets of its own; FALSE: the system gives no random numbers. */
gboolean spl_door_init(struct spl_door *door);
void spl_door_clear(struct spl_door *door);

/* "simpling-NAME". Free with g_free. */
char *spl_door_cookie_name(const struct spl_door *door);

/* Random bytes of the system in hex; NULL: it gives none. Free with g_free. */
char *spl_door_random(gsize n_bytes);

/* A fresh key, good once: any program that knows the secret can make one. NULL as above. Free with
 * g_free. */
char *spl_door_key(const char *secret);

/*
 * Whether this may come in. `status` and `words` (static, what the person is told) are set when
 * refused. A key is used up by being let in with it.
 */
enum spl_let_in spl_door_look(struct spl_door *door, const struct spl_knock *knock, gint64 now_us,
                              unsigned *status, const char **words);

/* Whether this is a form that may bring files. */
gboolean spl_door_takes_files(const struct spl_knock *knock);

/* Equal, in a time that does not tell where they differ; NULL is equal to nothing. */
gboolean spl_door_same(const char *a, const char *b);

#endif

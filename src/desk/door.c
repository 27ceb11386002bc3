/* SPDX-License-Identifier: MIT
 *
 * Who is let in. See desk/door.h.
 */
#include "desk/door.h"

#include <string.h>
#include <sys/random.h>

#include "desk/target.h"

#define SECRET_BYTES 16
#define NAME_BYTES 5 /* tells two desks apart; no secret */
#define PAUSE_US (60 * G_USEC_PER_SEC)
#define TARGET_MAX 8000

char *spl_door_random(gsize n_bytes)
{
    GString *hex = g_string_new(NULL);
    guint8 byte;

    while (n_bytes-- > 0) {
        if (getrandom(&byte, 1, 0) != 1) {
            g_string_free(hex, TRUE);
            return NULL;
        }
        g_string_append_printf(hex, "%02x", byte);
    }
    return g_string_free(hex, FALSE);
}

gboolean spl_door_init(struct spl_door *door)
{
    *door = (struct spl_door){
        .name = spl_door_random(NAME_BYTES),
        .cookie = spl_door_random(SECRET_BYTES),
        .secret = spl_door_random(SECRET_BYTES),
        .used = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL),
    };
    return door->name != NULL && door->cookie != NULL && door->secret != NULL;
}

void spl_door_clear(struct spl_door *door)
{
    g_free(door->name);
    g_free(door->cookie);
    g_free(door->secret);
    g_clear_pointer(&door->used, g_hash_table_unref);
}

char *spl_door_cookie_name(const struct spl_door *door)
{
    return g_strconcat("simpling-", door->name, NULL);
}

/* A nonce, then what only who knows the secret can make of it. */
static char *key_of(const char *secret, const char *nonce)
{
    g_autofree char *sum = g_compute_hmac_for_string(G_CHECKSUM_SHA256, (const guchar *)secret,
                                                     strlen(secret), nonce, -1);

    return g_strconcat(nonce, sum, NULL);
}

char *spl_door_key(const char *secret)
{
    g_autofree char *nonce = spl_door_random(SECRET_BYTES);

    return nonce != NULL ? key_of(secret, nonce) : NULL;
}

gboolean spl_door_same(const char *a, const char *b)
{
    gsize n = a != NULL ? strlen(a) : 0;
    guint8 differs = 0;

    if (a == NULL || b == NULL || strlen(b) != n)
        return FALSE;
    for (gsize i = 0; i < n; i++)
        differs |= (guint8)(a[i] ^ b[i]);
    return differs == 0;
}

/* Names
 * --------------------------------------------------------------------------------------------
 */

/* Loopback by a name that no stranger's name server can give: any port, as a tunnel has its own. */
static gboolean is_our_host(const struct spl_door *door, const char *host)
{
    g_autofree char *own = g_strconcat(door->name, ".localhost", NULL);
    const char *names[] = {own, "127.0.0.1", "localhost", "[::1]"};

    for (gsize i = 0; host != NULL && i < G_N_ELEMENTS(names); i++) {
        gsize n = strlen(names[i]);
        const char *port = host + n;

        if (g_ascii_strncasecmp(host, names[i], n) != 0)
            continue;
        if (*port == '\0')
            return TRUE;
        if (*port == ':' && port[1] != '\0' && strlen(port) <= 6 &&
            strspn(port + 1, "0123456789") == strlen(port + 1))
            return TRUE;
    }
    return FALSE;
}

/* The value of our cookie among those that were sent. */
static gboolean has_cookie(const struct spl_door *door, const char *cookies)
{
    g_auto(GStrv) all = NULL;
    g_autofree char *name = spl_door_cookie_name(door);
    gsize n = strlen(name);

    if (cookies == NULL)
        return FALSE;
    all = g_strsplit(cookies, ";", 60);
    for (guint i = 0; all[i] != NULL; i++) {
        const char *pair = g_strstrip(all[i]);

        if (strncmp(pair, name, n) == 0 && pair[n] == '=' &&
            spl_door_same(pair + n + 1, door->cookie))
            return TRUE;
    }
    return FALSE;
}

static gboolean is(const char *text, const char *other)
{
    return text != NULL && g_ascii_strcasecmp(text, other) == 0;
}

/* Whence
 * --------------------------------------------------------------------------------------------
 */

#define MULTIPART "multipart/form-data;"

gboolean spl_door_takes_files(const struct spl_knock *knock)
{
    return strcmp(knock->method, "POST") == 0 && g_str_has_prefix(knock->target, "/files/") &&
           knock->type != NULL &&
           g_ascii_strncasecmp(knock->type, MULTIPART, strlen(MULTIPART)) == 0;
}

static const char *fault_of_words(const struct spl_knock *knock, unsigned *status)
{
    gboolean post = strcmp(knock->method, "POST") == 0;

    *status = 400;
    if (strlen(knock->target) > TARGET_MAX) {
        *status = 414;
        return "The address is too long.";
    }
    if (knock->twice)
        return "A header came twice.";
    if (!post && strcmp(knock->method, "GET") != 0 && strcmp(knock->method, "HEAD") != 0) {
        *status = 405;
        return "The desk answers to GET, HEAD and POST.";
    }
    if (knock->coded || (post && knock->length == NULL)) {
        *status = 411;
        return "A form must say its length.";
    }
    if (knock->length != NULL) {
        guint64 length = 0;

        if (!g_ascii_string_to_unsigned(knock->length, 10, 0, G_MAXUINT64, &length, NULL))
            return "The length of the form is no number.";
        if (length > (spl_door_takes_files(knock) ? SPL_DOOR_FILES_MAX : SPL_DOOR_BODY_MAX)) {
            *status = 413;
            return "The form is larger than any that the desk has.";
        }
        if (!post && length > 0)
            return "What only asks for a page brings none along.";
    }
    if (post && !spl_door_takes_files(knock) &&
        (knock->type == NULL ||
         g_ascii_strncasecmp(knock->type, "application/x-www-form-urlencoded", 33) != 0 ||
         strchr("; ", knock->type[33]) == NULL)) {
        *status = 415;
        return "The desk reads its own forms alone.";
    }
    return NULL;
}

/* A page of somebody else's that sends what the person did not mean to send, or shows us inside. */
static const char *fault_of_whence(const struct spl_knock *knock, gboolean with_key)
{
    gboolean same = is(knock->fetch_site, "same-origin"), post = strcmp(knock->method, "POST") == 0;
    g_autofree char *own = g_strconcat("http://", knock->host, NULL);

    if (is(knock->fetch_dest, "iframe") || is(knock->fetch_dest, "frame") ||
        is(knock->fetch_dest, "object") || is(knock->fetch_dest, "embed") ||
        is(knock->fetch_dest, "fencedframe"))
        return "The desk is not shown inside another page.";
    if (post) {
        if (knock->origin == NULL ||
            (!is(knock->origin, own) && !(same && is(knock->origin, "null"))))
            return "The form was sent from another page than the desk's own.";
        return knock->fetch_site == NULL || same
                   ? NULL
                   : "The form was sent from another page than the desk's own.";
    }
    if (knock->origin != NULL && !is(knock->origin, own))
        return "Another page asked for this.";
    /* A link with its key may stand in a letter; nothing else is reached from outside. */
    if (knock->fetch_site == NULL || same || is(knock->fetch_site, "none") ||
        (with_key && is(knock->fetch_mode, "navigate")))
        return NULL;
    return "Another page asked for this.";
}

/* Keys
 * -----------------------------------------------------------------------------------------------
 */

static gboolean is_fresh_key(struct spl_door *door, const char *key)
{
    g_autofree char *nonce = g_strndup(key, (gsize)2 * SECRET_BYTES),
                    *made = key_of(door->secret, nonce);

    return spl_door_same(key, made) && !g_hash_table_contains(door->used, key);
}

static enum spl_let_in look_at_key(struct spl_door *door, const char *key, gint64 now_us,
                                   unsigned *status, const char **words)
{
    if (door->wrong >= SPL_DOOR_WRONG_KEYS && now_us - door->wrong_at_us < PAUSE_US) {
        *status = 429;
        *words = "Too many wrong keys: the desk takes none for a minute.";
        return SPL_DOOR_REFUSED;
    }
    if (!is_fresh_key(door, key)) {
        door->wrong++;
        door->wrong_at_us = now_us;
        *status = 403;
        *words = "This key was used already, or is none of this desk's.";
        return SPL_DOOR_REFUSED;
    }
    door->wrong = 0;
    g_hash_table_add(door->used, g_strdup(key));
    return SPL_DOOR_KEY;
}

enum spl_let_in spl_door_look(struct spl_door *door, const struct spl_knock *knock, gint64 now_us,
                              unsigned *status, const char **words)
{
    g_auto(GStrv) steps = NULL;
    g_autoptr(GArray) pairs = NULL;
    const char *key = NULL;

    *words = fault_of_words(knock, status);
    if (*words != NULL)
        return SPL_DOOR_REFUSED;
    *status = 400;
    steps = spl_target_steps(knock->target);
    pairs = spl_target_pairs(knock->target);
    *words = "The address is none of the desk's.";
    if (steps == NULL || pairs == NULL)
        return SPL_DOOR_REFUSED;
    *status = 421;
    *words = "The desk was asked for by a name that is not its own. A foreign page may be trying "
             "to read the "
             "book; open the address that the program said.";
    if (!is_our_host(door, knock->host))
        return SPL_DOOR_REFUSED;
    *status = 403;
    if (steps[0] == NULL && strcmp(knock->method, "GET") == 0)
        key = spl_pairs_get(pairs, "key");
    *words = fault_of_whence(knock, key != NULL);
    if (*words != NULL)
        return SPL_DOOR_REFUSED;
    if (has_cookie(door, knock->cookie))
        return SPL_DOOR_IN;
    if (key != NULL)
        return look_at_key(door, key, now_us, status, words);
    if (steps[0] != NULL && strcmp(steps[0], "style") == 0)
        return SPL_DOOR_STYLE;
    *words = "This browser has not been let in.";
    return SPL_DOOR_REFUSED;
}

/* SPDX-License-Identifier: MIT
 *
 * Text from people: cleaning at the door, the key under which a name is found, the nearest names to
 * offer when none is, UUIDs.
 */
#ifndef SPL_BASE_TEXT_H
#define SPL_BASE_TEXT_H

#include <glib.h>

#define SPL_NAME_MAX 200    /* bytes in a name of a site, person, almanac */
#define SPL_REMARK_MAX 4000 /* bytes in a remark, reason, list of signs */

/*
 * The text without white space at its ends, as NFC. Refused with SPL_ERROR_INVALID: invalid UTF-8,
 * control characters (a line break is allowed when `lines`), characters that cannot be seen, text
 * of which nothing can be seen, more than `max` bytes. `what` names the value. Free with g_free.
 */
char *spl_text_clean(const char *text, const char *what, gsize max, gboolean lines, GError **error);

/* What keeps a text from being one of ours, for texts that come from elsewhere than the door: "is
 * longer than any that the program takes", "is not valid UTF-8", "holds a control character"; NULL:
 * nothing. Line breaks may be in it. The words are static. */
const char *spl_text_fault(const char *text, gsize max);

/* Valid UTF-8 without control characters, for writing into other formats; line breaks stay when
 * `lines`, each other control character and each invalid byte becomes a space. Never fails. */
char *spl_text_scrub(const char *text, gboolean lines);

/*
 * The key under which a name is looked up: NFKD, marks and what cannot be seen dropped, case
 * folded, runs of space, '-' and
 * '_' as one space, ends trimmed. Equal keys are the same name. `name` must be UTF-8.
 */
char *spl_name_key(const char *name);

/* How far one text is from another: code points put in, left out, changed, or two neighbours
 * swapped (optimal string alignment), of the first 64 of each. */
guint spl_text_distance(const char *a, const char *b);
/*
 * Up to `most` of `names` nearest to `wanted` by edit distance on their keys (a prefix counts as
 * near), nearest first, those too far off left out. Elements are borrowed from `names`.
 */
GPtrArray *spl_names_nearest(const char *wanted, GPtrArray *names, guint most);

/* "; did you mean 'a', 'b' or 'c'?" or "" when nothing is near: for the end of a message. */
char *spl_names_offer(const char *wanted, GPtrArray *names);

/* A new random UUID (version 4), lower-case hex with hyphens. */
char *spl_uuid_new(void);

/* The UUID of version 5 (RFC 4122 4.3, SHA-1) of `name` in `space`; NULL if `space` is no UUID. */
char *spl_uuid_v5(const char *space, const char *name);

gboolean spl_uuid_is_valid(const char *text);

/* Whether `size` bytes are valid UTF-8 without a NUL, as g_utf8_validate has it, but eight bytes at
 * a time where they are ASCII, which most are. */
gboolean spl_text_is_utf8(const char *text, gsize size);

#endif

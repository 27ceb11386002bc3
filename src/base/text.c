/* SPDX-License-Identifier: MIT
 *
 * Text from people. See base/text.h.
 */
#include "base/text.h"

#include <nettle/sha1.h>
#include <string.h>
#include <unistd.h>

#include "simpling/error.h"

/* ASCII and Latin-1 control characters, DEL, and the invisible direction marks and line separators
 * that could make a label read differently from what is stored. */
static gboolean is_control(gunichar c)
{
    return c < 0x20 || (c >= 0x7f && c < 0xa0) || c == 0x2028 || c == 0x2029 ||
           (c >= 0x202a && c <= 0x202e) || (c >= 0x2066 && c <= 0x2069);
}

/* What takes no room on paper: a name with one would look like another that has none. Joiners,
 * direction marks and variation selectors shape the letters and signs beside them, so they may
 * stand in a text; a key leaves out all (Default_Ignorable_Code_Point of Unicode, as far as names
 * meet it). */
static gboolean is_joiner(gunichar c)
{
    return c == 0x200c || c == 0x200d || (c >= 0xfe00 && c <= 0xfe0f) ||
           (c >= 0xe0020 && c <= 0xe01ef) || c == 0x034f || c == 0x061c || c == 0x200e ||
           c == 0x200f;
}

static gboolean is_invisible(gunichar c)
{
    return c == 0x00ad || c == 0x115f || c == 0x1160 || c == 0x17b4 || c == 0x17b5 ||
           (c >= 0x180b && c <= 0x180f) || c == 0x200b || (c >= 0x2060 && c <= 0x206f) ||
           c == 0x3164 || c == 0xfeff || c == 0xffa0 || (c >= 0xfff0 && c <= 0xfff8);
}

/* Whether anything of it can be seen. */
static gboolean shows_something(const char *text)
{
    for (const char *p = text; *p != '\0'; p = g_utf8_next_char(p)) {
        gunichar c = g_utf8_get_char(p);

        if (!g_unichar_isspace(c) && !g_unichar_ismark(c) && !is_joiner(c))
            return TRUE;
    }
    return FALSE;
}

char *spl_text_clean(const char *text, const char *what, gsize max, gboolean lines, GError **error)
{
    gsize length = strnlen(text, max + 1);
    g_autofree char *normal = NULL;

    if (length > max) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: the text is longer than %" G_GSIZE_FORMAT " bytes; shorten it", what, max);
        return NULL;
    }
    if (!g_utf8_validate(text, (gssize)length, NULL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "%s: the text is not valid UTF-8; set the terminal to UTF-8 and type it again",
                    what);
        return NULL;
    }
    for (const char *p = text; *p != '\0'; p = g_utf8_next_char(p)) {
        gunichar c = g_utf8_get_char(p);

        if (is_control(c) && !(lines && c == '\n')) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s: the text holds a control character (U+%04X); take it out", what, c);
            return NULL;
        }
        if (is_invisible(c)) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s: the text holds a character that cannot be seen (U+%04X); take it out",
                        what, c);
            return NULL;
        }
    }
    normal = g_utf8_normalize(text, (gssize)length, G_NORMALIZE_DEFAULT_COMPOSE);
    g_strstrip(normal);
    if (!shows_something(normal)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: the text is empty; write something",
                    what);
        return NULL;
    }
    return g_steal_pointer(&normal);
}

const char *spl_text_fault(const char *text, gsize max)
{
    gsize length = strnlen(text, max + 1);

    if (length > max)
        return "is longer than any that the program takes";
    if (!g_utf8_validate(text, (gssize)length, NULL))
        return "is not valid UTF-8";
    for (const char *p = text; *p != '\0'; p = g_utf8_next_char(p)) {
        gunichar c = g_utf8_get_char(p);

        if (is_control(c) && c != '\n')
            return "holds a control character";
    }
    return NULL;
}

/* Printable ASCII alone, as most texts are. */
static gboolean is_plain(const char *text, gboolean lines)
{
    for (; *text != '\0'; text++)
        if ((*text < ' ' || *text > '~') && !(lines && *text == '\n'))
            return FALSE;
    return TRUE;
}

char *spl_text_scrub(const char *text, gboolean lines)
{
    g_autofree char *valid = NULL;
    GString *clean;

    if (is_plain(text, lines))
        return g_strdup(text);
    valid = g_utf8_make_valid(text, -1);
    clean = g_string_sized_new(strlen(valid));

    for (const char *p = valid; *p != '\0'; p = g_utf8_next_char(p)) {
        gunichar c = g_utf8_get_char(p);

        if ((is_control(c) && !(lines && c == '\n')) || c == 0xfffd)
            g_string_append_c(clean, ' ');
        else
            g_string_append_unichar(clean, c);
    }
    return g_string_free(clean, FALSE);
}

/* The key of a name that is plain ASCII, as most are, without the cost of normalizing; else NULL.
 */
static char *ascii_name_key(const char *name)
{
    char *key = g_malloc(strlen(name) + 1);
    gsize n = 0;

    for (const char *p = name; *p != '\0'; p++) {
        if ((guchar)*p >= 0x80) {
            g_free(key);
            return NULL;
        }
        if (g_ascii_isspace(*p) || *p == '-' || *p == '_') {
            if (n > 0 && key[n - 1] != ' ')
                key[n++] = ' ';
        } else {
            key[n++] = g_ascii_tolower(*p);
        }
    }
    if (n > 0 && key[n - 1] == ' ')
        n--;
    key[n] = '\0';
    return key;
}

char *spl_name_key(const char *name)
{
    char *plain = ascii_name_key(name);
    g_autofree char *split = NULL;
    g_autoptr(GString) bare = NULL;
    g_autofree char *folded = NULL;

    if (plain != NULL)
        return plain;
    split = g_utf8_normalize(name, -1, G_NORMALIZE_ALL);
    bare = g_string_new(NULL);
    for (const char *p = split != NULL ? split : ""; *p != '\0'; p = g_utf8_next_char(p)) {
        gunichar c = g_utf8_get_char(p);

        if (g_unichar_ismark(c) || is_joiner(c) || is_invisible(c))
            continue;
        if (g_unichar_isspace(c) || c == '-' || c == '_') {
            if (bare->len > 0 && bare->str[bare->len - 1] != ' ')
                g_string_append_c(bare, ' ');
        } else {
            g_string_append_unichar(bare, c);
        }
    }
    if (bare->len > 0 && bare->str[bare->len - 1] == ' ')
        g_string_truncate(bare, bare->len - 1);
    folded = g_utf8_casefold(bare->str, -1);
    return g_utf8_normalize(folded, -1, G_NORMALIZE_ALL);
}

guint spl_text_distance(const char *a, const char *b)
{
    enum { MOST = 64 };
    g_autofree gunichar *ua = g_utf8_to_ucs4_fast(a, -1, NULL);
    g_autofree gunichar *ub = g_utf8_to_ucs4_fast(b, -1, NULL);
    guint na = (guint)MIN(g_utf8_strlen(a, -1), MOST), nb = (guint)MIN(g_utf8_strlen(b, -1), MOST);
    guint rows[3][MOST + 1];

    for (guint j = 0; j <= nb; j++)
        rows[0][j] = j;
    for (guint i = 1; i <= na; i++) {
        guint *now = rows[i % 3], *before = rows[(i + 2) % 3], *earlier = rows[(i + 1) % 3];

        now[0] = i;
        for (guint j = 1; j <= nb; j++) {
            now[j] = MIN(MIN(before[j], now[j - 1]) + 1, before[j - 1] + (ua[i - 1] != ub[j - 1]));
            if (i > 1 && j > 1 && ua[i - 1] == ub[j - 2] && ua[i - 2] == ub[j - 1])
                now[j] = MIN(now[j], earlier[j - 2] + 1);
        }
    }
    return rows[na % 3][nb];
}

struct near {
    char *name;
    guint distance;
};

static int compare_near(gconstpointer a, gconstpointer b)
{
    const struct near *x = a, *y = b;

    if (x->distance != y->distance)
        return x->distance < y->distance ? -1 : 1;
    return strcmp(x->name, y->name);
}

GPtrArray *spl_names_nearest(const char *wanted, GPtrArray *names, guint most)
{
    g_autofree char *key = spl_name_key(wanted);
    g_autoptr(GArray) found = g_array_new(FALSE, FALSE, sizeof(struct near));
    GPtrArray *nearest = g_ptr_array_new();
    guint reach = 1 + (guint)(g_utf8_strlen(key, -1) / 3);

    for (guint i = 0; i < names->len; i++) {
        char *name = g_ptr_array_index(names, i);
        g_autofree char *other = spl_name_key(name);
        struct near near = {name, 0};

        if (*key != '\0' && (g_str_has_prefix(other, key) || strstr(other, key) != NULL))
            near.distance = 1;
        else
            near.distance = spl_text_distance(key, other);
        if (near.distance <= reach)
            g_array_append_val(found, near);
    }
    g_array_sort(found, compare_near);
    for (guint i = 0; i < found->len && i < most; i++)
        g_ptr_array_add(nearest, g_array_index(found, struct near, i).name);
    return nearest;
}

char *spl_names_offer(const char *wanted, GPtrArray *names)
{
    g_autoptr(GPtrArray) nearest = spl_names_nearest(wanted, names, 3);
    GString *offer = g_string_new(NULL);

    for (guint i = 0; i < nearest->len; i++) {
        const char *joint = i == 0 ? "; did you mean " : i + 1 == nearest->len ? " or " : ", ";

        g_string_append_printf(offer, "%s'%s'", joint, (char *)g_ptr_array_index(nearest, i));
    }
    if (nearest->len > 0)
        g_string_append_c(offer, '?');
    return g_string_free(offer, FALSE);
}

static char *uuid_text(guint8 bytes[16], int version)
{
    static const char digits[] = "0123456789abcdef";
    char *text = g_malloc(37), *at = text;

    bytes[6] = (guint8)((bytes[6] & 0x0f) | version << 4);
    bytes[8] = (guint8)((bytes[8] & 0x3f) | 0x80); /* the RFC's variant */
    for (int i = 0; i < 16; i++) {
        if (i == 4 || i == 6 || i == 8 || i == 10)
            *at++ = '-';
        *at++ = digits[bytes[i] >> 4];
        *at++ = digits[bytes[i] & 15];
    }
    *at = '\0';
    return text;
}

char *spl_uuid_new(void)
{
    guint8 bytes[16];

    /* From the kernel each time: GLib's generator would give a forked child its parent's numbers.
     */
    if (getentropy(bytes, sizeof bytes) != 0)
        return g_uuid_string_random();
    return uuid_text(bytes, 4);
}

gboolean spl_uuid_is_valid(const char *text)
{
    return text != NULL && g_uuid_string_is_valid(text);
}

char *spl_uuid_v5(const char *space, const char *name)
{
    struct sha1_ctx sha1;
    guint8 digest[SHA1_DIGEST_SIZE], bytes[16];
    const char *p = space;

    if (!spl_uuid_is_valid(space))
        return NULL;
    for (guint i = 0; i < sizeof bytes; i++) {
        if (*p == '-')
            p++;
        bytes[i] = (guint8)(g_ascii_xdigit_value(p[0]) << 4 | g_ascii_xdigit_value(p[1]));
        p += 2;
    }
    sha1_init(&sha1);
    sha1_update(&sha1, sizeof bytes, bytes);
    sha1_update(&sha1, strlen(name), (const guint8 *)name);
    sha1_digest(&sha1, sizeof digest, digest);
    return uuid_text(digest, 5);
}

/* Where the first byte stands that is a NUL or no ASCII; `size`: there is none. */
static gsize ascii_part(const char *text, gsize size)
{
    const guint64 ones = G_GUINT64_CONSTANT(0x0101010101010101);
    const guint64 high = G_GUINT64_CONSTANT(0x8080808080808080);
    gsize at = 0;
    guint64 eight;

    for (; size - at >= sizeof eight; at += sizeof eight) {
        memcpy(&eight, text + at, sizeof eight);
        if (((eight | (eight - ones)) & high) != 0) /* a NUL less one has its highest bit set */
            break;
    }
    while (at < size && text[at] != '\0' && (guchar)text[at] < 0x80)
        at++;
    return at;
}

gboolean spl_text_is_utf8(const char *text, gsize size)
{
    gsize at = 0;

    while ((at += ascii_part(text + at, size - at)) < size) {
        gunichar c = g_utf8_get_char_validated(text + at, (gssize)(size - at));

        if (c == 0 || c >= (gunichar)-2)
            return FALSE;
        at += (gsize)(g_utf8_next_char(text + at) - (text + at));
    }
    return TRUE;
}

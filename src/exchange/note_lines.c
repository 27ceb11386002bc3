/* SPDX-License-Identifier: MIT
 *
 * Notes as bytes. See exchange/note_lines.h.
 */
#include "exchange/note_lines.h"

#include <stdlib.h>
#include <string.h>

#include "base/digest.h"
#include "base/text.h"
#include "exchange/csv.h"
#include "simpling/error.h"

static void line_free(gpointer data)
{
    struct spl_note_line *line = data;

    g_free(line->typed);
    g_string_free(line->text, TRUE);
    g_array_unref(line->at);
    g_free(line->pictures);
    g_free(line->slip);
    g_free(line->phone);
    g_free(line);
}

void spl_note_lines_clear(struct spl_note_lines *lines)
{
    g_clear_pointer(&lines->lines, g_ptr_array_unref);
    g_clear_pointer(&lines->hash, g_free);
}

const GRegex *spl_note_pattern(GRegex **kept, const char *pattern)
{
    if (*kept == NULL)
        *kept = g_regex_new(pattern, G_REGEX_RAW, 0, NULL);
    return *kept;
}

/* Folding ---------------------------------------------------------------------------------------
 */

/* What reads as something else. Fractions stand apart, so that 1½ is no 11/2. */
static const struct spelt {
    gunichar from;
    const char *to;
} spelt[] = {
    {0xab, "\""},     {0xb4, "'"},       {0xb7, "*"},      {0xbb, "\""},     {0xbc, " 1/4"},
    {0xbd, " 1/2"},   {0xbe, " 3/4"},    {0xd7, "x"},      {0xdf, "ss"},     {0xe6, "ae"},
    {0xf8, "o"},      {0x2018, "'"},     {0x2019, "'"},    {0x201a, "'"},    {0x201b, "'"},
    {0x201c, "\""},   {0x201d, "\""},    {0x201e, "\""},   {0x2022, "*"},    {0x2023, "*"},
    {0x2026, "..."},  {0x2032, "'"},     {0x2033, "\""},   {0x2044, "/"},    {0x2150, " 1/7"},
    {0x2151, " 1/9"}, {0x2152, " 1/10"}, {0x2153, " 1/3"}, {0x2154, " 2/3"}, {0x2155, " 1/5"},
    {0x2156, " 2/5"}, {0x2157, " 3/5"},  {0x2158, " 4/5"}, {0x2159, " 1/6"}, {0x215a, " 5/6"},
    {0x215b, " 1/8"}, {0x215c, " 3/8"},  {0x215d, " 5/8"}, {0x215e, " 7/8"}, {0x2212, "-"},
    {0x223c, "~"},    {0x2248, "~"},     {0x25e6, "*"},    {0x2610, "[ ]"},  {0x2611, "[x]"},
    {0x2612, "[x]"},  {0x2713, "[x]"},   {0x2714, "[x]"},  {0x2705, "[x]"},
};

static const char *spelt_as(gunichar c)
{
    for (gsize i = 0; i < G_N_ELEMENTS(spelt); i++) {
        if (spelt[i].from == c)
            return spelt[i].to;
    }
    return NULL;
}

static gboolean is_unseen(gunichar c)
{
    return c == 0xad || (c >= 0x200b && c <= 0x200f) || (c >= 0x202a && c <= 0x202e) ||
           (c >= 0x2060 && c <= 0x206f) || c == 0xfeff || (c >= 0xfe00 && c <= 0xfe0f) ||
           c == 0x20e3;
}

static gboolean is_picture(gunichar c)
{
    const GUnicodeType type = g_unichar_type(c);

    return type == G_UNICODE_OTHER_SYMBOL || type == G_UNICODE_PRIVATE_USE ||
           type == G_UNICODE_UNASSIGNED || (c >= 0x1f000 && c <= 0x1ffff);
}

struct fold {
    GString *text;
    GArray *at;
    GString *pictures;
    gboolean digits; /* other ones than 0-9 */
};

static void put(struct fold *fold, const char *bytes, gsize size, gsize at)
{
    g_string_append_len(fold->text, bytes, (gssize)size);
    for (gsize i = 0; i < size; i++)
        g_array_append_val(fold->at, at);
}

/* A letter without its marks, small. */
static void put_letter(struct fold *fold, gunichar c, gsize at)
{
    gunichar parts[G_UNICHAR_MAX_DECOMPOSITION_LENGTH];
    const gsize n = g_unichar_fully_decompose(c, FALSE, parts, G_N_ELEMENTS(parts));

    for (gsize i = 0; i < n && i < G_N_ELEMENTS(parts); i++) {
        char bytes[6];

        if (!g_unichar_ismark(parts[i]))
            put(fold, bytes, (gsize)g_unichar_to_utf8(g_unichar_tolower(parts[i]), bytes), at);
    }
}

static void fold_char(struct fold *fold, gunichar c, gsize at)
{
    const char *as;

    if (is_unseen(c))
        return;
    if (c >= 0xff01 && c <= 0xff5e)
        c -= 0xfee0;
    as = spelt_as(c);
    if (as != NULL)
        put(fold, as, strlen(as), at);
    else if (g_unichar_isspace(c) || g_unichar_iscntrl(c))
        put(fold, " ", 1, at);
    else if (c >= 0x2010 && c <= 0x2015)
        put(fold, "-", 1, at);
    else if (is_picture(c))
        g_string_append_unichar(fold->pictures, c);
    else {
        fold->digits |= c > 127 && g_unichar_isdigit(c);
        put_letter(fold, c, at);
    }
}

static struct fold fold_text(const char *typed)
{
    struct fold fold = {g_string_new(NULL), g_array_new(FALSE, FALSE, sizeof(gsize)),
                        g_string_new(NULL), FALSE};
    const gsize end = strlen(typed);

    for (const char *p = typed; *p != '\0'; p = g_utf8_next_char(p))
        fold_char(&fold, g_utf8_get_char(p), (gsize)(p - typed));
    g_array_append_val(fold.at, end);
    return fold;
}

char *spl_note_fold(const char *text)
{
    g_autofree char *valid = spl_text_scrub(text, FALSE);
    struct fold fold = fold_text(valid);

    g_array_unref(fold.at);
    g_string_free(fold.pictures, TRUE);
    return g_string_free(fold.text, FALSE);
}

/* Marks round a line ----------------------------------------------------------------------------
 */

static void cut_front(struct spl_note_line *line, gsize n)
{
    g_string_erase(line->text, 0, (gssize)n);
    g_array_remove_range(line->at, 0, (guint)n);
}

static void cut_back(struct spl_note_line *line, gsize length)
{
    /* What is left ends where what is cut began. */
    g_array_remove_range(line->at, (guint)length + 1, (guint)(line->text->len - length));
    g_string_truncate(line->text, length);
}

static void cut_blanks(struct spl_note_line *line)
{
    gsize n = line->text->len;

    while (n > 0 && line->text->str[n - 1] == ' ')
        n--;
    cut_back(line, n);
    cut_front(line, strspn(line->text->str, " "));
}

static gboolean cut_word(struct spl_note_line *line, const char *word)
{
    if (!g_str_has_prefix(line->text->str, word))
        return FALSE;
    cut_front(line, strlen(word));
    cut_blanks(line);
    return TRUE;
}

/* "1. " or "1) " before a line; "14. July" is a day. */
static void cut_number(struct spl_note_line *line)
{
    static GRegex *number;

    const GRegex *pattern =
        spl_note_pattern(&number, "^\\d{1,3}(?:\\)|\\.) +(?!(?:of )?(?:jan|feb|mar|apr|may|jun|jul|"
                                  "aug|sep|oct|nov|dec))");
    g_autoptr(GMatchInfo) match = NULL;
    int end;

    if (!g_regex_match(pattern, line->text->str, 0, &match))
        return;
    g_match_info_fetch_pos(match, 0, NULL, &end);
    cut_front(line, (gsize)end);
}

static void cut_marks(struct spl_note_line *line)
{
    gboolean more = TRUE;

    cut_blanks(line);
    while (cut_word(line, ">"))
        ;
    cut_number(line);
    while (more) {
        more = cut_word(line, "- ") || cut_word(line, "* ") || cut_word(line, "+ ");
        if (cut_word(line, "[ ]") || cut_word(line, "[]")) {
            line->box = SPL_NOTE_BOX_OPEN;
            more = TRUE;
        } else if (cut_word(line, "[x]")) {
            line->box = SPL_NOTE_BOX_TICKED;
            more = TRUE;
        }
    }
}

static void take_identity(struct spl_note_line *line)
{
    static GRegex *identity;

    const GRegex *pattern =
        spl_note_pattern(&identity, "\\[(?<slip>[a-z0-9]{4,12})(?:-(?<phone>[a-z0-9]{1,8}))?-"
                                    "(?<entry>[0-9]{1,4})(?:\\.(?<rev>[0-9]{1,3}))?"
                                    "(?<struck> struck)?\\] *\\.?$");
    g_autoptr(GMatchInfo) match = NULL;
    g_autofree char *entry = NULL, *revision = NULL, *struck = NULL;
    int start;

    if (!g_regex_match(pattern, line->text->str, 0, &match))
        return;
    line->slip = g_match_info_fetch_named(match, "slip");
    line->phone = g_match_info_fetch_named(match, "phone");
    entry = g_match_info_fetch_named(match, "entry");
    revision = g_match_info_fetch_named(match, "rev");
    struck = g_match_info_fetch_named(match, "struck");
    if (line->phone != NULL && *line->phone == '\0')
        g_clear_pointer(&line->phone, g_free);
    line->entry = (int)g_ascii_strtoll(entry, NULL, 10);
    line->revision =
        revision != NULL && *revision != '\0' ? (int)g_ascii_strtoll(revision, NULL, 10) : 1;
    line->struck = struck != NULL && *struck != '\0';
    g_match_info_fetch_pos(match, 0, &start, NULL);
    cut_back(line, (gsize)start);
    cut_blanks(line);
}

static gboolean is_mail(const char *text, const char *typed)
{
    return strcmp(text, "--") == 0 || strcmp(text, "-- ") == 0 ||
           (g_str_has_prefix(text, "on ") && g_str_has_suffix(text, " wrote:")) ||
           g_str_has_prefix(text, "sent from my ") || g_str_has_prefix(typed, "-----");
}

static gboolean is_export(const char *text)
{
    static GRegex *export;

    const GRegex *pattern =
        spl_note_pattern(&export, "^\\[?\\d{1,4}[./-]\\d{1,2}[./-]\\d{1,4},? +\\d{1,2}:\\d{2}"
                                  "(?::\\d{2})?(?: [ap]m)?(?:\\]| - )");
    return g_regex_match(pattern, text, 0, NULL);
}

/* Lines -----------------------------------------------------------------------------------------
 */

static enum spl_note_skip judge(const struct spl_note_line *line, gboolean digits)
{
    if (g_utf8_strlen(line->typed, -1) > SPL_NOTE_LINE_MAX)
        return SPL_NOTE_LONG;
    if (is_mail(line->text->str, line->typed))
        return SPL_NOTE_MAIL;
    if (is_export(line->text->str))
        return SPL_NOTE_EXPORT;
    if (digits)
        return SPL_NOTE_DIGITS;
    return SPL_NOTE_READ;
}

static void add_line(struct spl_note_lines *lines, int number, const char *start, gsize size)
{
    struct spl_note_line *line = g_new0(struct spl_note_line, 1);
    g_autofree char *raw = g_strndup(start, size);
    struct fold fold;

    line->number = number;
    line->typed = spl_text_scrub(raw, FALSE);
    g_strstrip(line->typed);
    fold = fold_text(line->typed);
    line->text = fold.text;
    line->at = fold.at;
    line->pictures = g_string_free(fold.pictures, fold.pictures->len == 0);
    line->revision = 1;
    cut_blanks(line);
    line->skip = judge(line, fold.digits);
    if (line->skip == SPL_NOTE_READ) {
        cut_marks(line);
        take_identity(line);
        if (line->text->len == 0 && line->slip == NULL)
            line->skip = SPL_NOTE_EMPTY;
    }
    if (line->skip == SPL_NOTE_EMPTY)
        line_free(line);
    else
        g_ptr_array_add(lines->lines, line);
}

/* How many bytes the end of a line takes here; 0: it is none. */
static gsize line_end(const char *p, const char *end)
{
    if (*p == '\r')
        return p + 1 < end && p[1] == '\n' ? 2 : 1;
    if (*p == '\n' || *p == '\f' || *p == '\v')
        return 1;
    return end - p >= 3 && p[0] == '\xe2' && p[1] == '\x80' && (p[2] == '\xa8' || p[2] == '\xa9')
               ? 3
               : 0;
}

static gboolean split(const char *text, gsize size, const char *name, struct spl_note_lines *lines,
                      GError **error)
{
    const char *end = text + size, *start = text;
    int number = 1;

    for (const char *p = text; p < end;) {
        const gsize n = line_end(p, end);

        if (n == 0) {
            p++;
            continue;
        }
        add_line(lines, number++, start, (gsize)(p - start));
        p += n;
        start = p;
        if (number > SPL_NOTES_LINES) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                        "%s: has more than %d lines; part it into several", name, SPL_NOTES_LINES);
            return FALSE;
        }
    }
    if (start < end)
        add_line(lines, number, start, (gsize)(end - start));
    return TRUE;
}

static gboolean is_text(const char *bytes, gsize size)
{
    static const char *const magic[] = {"%PDF", "PK\x03\x04", "\x89PNG", "\xff\xd8\xff", "GIF8"};

    for (gsize i = 0; i < G_N_ELEMENTS(magic); i++) {
        if (size >= strlen(magic[i]) && memcmp(bytes, magic[i], strlen(magic[i])) == 0)
            return FALSE;
    }
    return TRUE;
}

gboolean spl_note_lines_take(const char *bytes, gsize size, const char *name,
                             struct spl_note_lines *lines, GError **error)
{
    struct spl_note_lines taken = {.lines = g_ptr_array_new_with_free_func(line_free)};
    g_autoptr(spl_digest) digest = spl_digest_new();
    g_autofree char *decoded = NULL;
    gsize decoded_size = 0;
    gboolean ok = size <= SPL_NOTES_MAX;

    if (!ok)
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: is larger than 1 MB, more than anyone notes; part it into several", name);
    spl_digest_add(digest, bytes, size);
    taken.hash = spl_digest_hex(digest);
    if (ok) {
        ok = is_text(bytes, size);
        decoded = spl_csv_decode(bytes, size, &decoded_size);
        if (decoded != NULL) {
            bytes = decoded;
            size = decoded_size;
        } else if (size >= 3 && memcmp(bytes, "\xef\xbb\xbf", 3) == 0) {
            bytes += 3;
            size -= 3;
        }
        ok = ok && memchr(bytes, '\0', size) == NULL && g_utf8_validate(bytes, (gssize)size, NULL);
        if (!ok)
            g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                        "%s: is no plain text; share or save the notes as text and read that",
                        name);
    }
    ok = ok && split(bytes, size, name, &taken, error);
    if (ok)
        *lines = taken;
    else
        spl_note_lines_clear(&taken);
    return ok;
}

/* SPDX-License-Identifier: MIT
 *
 * Texts and dates of a shapefile's table. shapelib converts nothing, and forgets the table's own
 * mark of its code page when an empty .cpg lies beside it; so both are read here.
 */
#include "exchange/shape_table.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "simpling/error.h"

#define CPG_MAX 200 /* bytes of a .cpg: one name of a code page */

/* Byte 29 of a dBASE file (its "language driver"): xBase code page marks. */
static const struct {
    guint8 mark;
    const char *encoding;
} marks[] = {
    {0x01, "CP437"},        {0x02, "CP850"},        {0x03, "WINDOWS-1252"}, {0x57, "WINDOWS-1252"},
    {0x64, "CP852"},        {0x65, "CP866"},        {0x66, "CP865"},        {0x78, "CP950"},
    {0x79, "CP949"},        {0x7a, "CP936"},        {0x7b, "CP932"},        {0x4d, "CP936"},
    {0x13, "CP932"},        {0xc8, "WINDOWS-1250"}, {0xc9, "WINDOWS-1251"}, {0xca, "WINDOWS-1254"},
    {0xcb, "WINDOWS-1253"},
};

/* Does iconv know it? */
static gboolean is_known(const char *encoding)
{
    GIConv convert = g_iconv_open("UTF-8", encoding);

    if (convert == (GIConv)-1)
        return FALSE;
    g_iconv_close(convert);
    return TRUE;
}

/* "1252", "ANSI 1252", "88591", "OEM 850", "utf8" as iconv calls them; NULL: not known. */
static char *name_for_iconv(const char *written)
{
    g_autofree char *name = g_ascii_strup(written, -1);
    const char *digits;

    g_strstrip(name);
    if (name[0] == '\0' || strlen(name) > 40)
        return NULL;
    if (strcmp(name, "UTF8") == 0 || strcmp(name, "UTF-8") == 0 || strcmp(name, "65001") == 0 ||
        strcmp(name, "CP65001") == 0)
        return g_strdup("UTF-8");
    digits = name + strcspn(name, "0123456789");
    if (strspn(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZ -_0123456789") == strlen(name) &&
        *digits != '\0') {
        g_autofree char *guess = NULL;

        if (g_str_has_prefix(digits, "8859") && strlen(digits) >= 5)
            guess = g_strdup_printf("ISO-8859-%s", digits + 4 + strspn(digits + 4, "-_ "));
        else if (strlen(digits) >= 3 && strlen(digits) <= 5 &&
                 (digits == name || g_str_has_prefix(name, "ANSI") ||
                  g_str_has_prefix(name, "OEM") || g_str_has_prefix(name, "CP") ||
                  g_str_has_prefix(name, "WIN")))
            guess = g_strdup_printf("CP%s", digits);
        if (guess != NULL && is_known(guess))
            return g_steal_pointer(&guess);
    }
    return is_known(name) ? g_steal_pointer(&name) : NULL;
}

gboolean spl_shape_encoding(const char *asked, const char *cpg_path, const char *dbf_path,
                            char **encoding, GError **error)
{
    g_autofree char *cpg = NULL;
    FILE *file;
    int mark = 0;

    *encoding = NULL;
    if (asked != NULL) {
        *encoding = name_for_iconv(asked);
        if (*encoding == NULL) {
            spl_error_set_input(error, SPL_ERROR_INVALID, "encoding",
                                "'%s' is not known; use UTF-8, ISO-8859-1, CP1252 …", asked);
            return FALSE;
        }
        return TRUE;
    }
    if (cpg_path != NULL && (cpg = spl_file_read(cpg_path, CPG_MAX, NULL, NULL)) != NULL) {
        g_strdelimit(cpg, "\r\n", '\0');
        *encoding = name_for_iconv(cpg);
    }
    if (*encoding != NULL || dbf_path == NULL || (file = fopen(dbf_path, "rb")) == NULL)
        return TRUE;
    if (fseek(file, 29, SEEK_SET) == 0)
        mark = fgetc(file);
    fclose(file);
    for (gsize i = 0; i < G_N_ELEMENTS(marks); i++)
        if (mark == marks[i].mark)
            *encoding = g_strdup(marks[i].encoding);
    return TRUE;
}

void spl_shape_text_open(struct spl_shape_text *text, const char *encoding)
{
    /* 0x57 is set by many programs that then write UTF-8: valid UTF-8 is believed before it. */
    gboolean certain = encoding != NULL && strcmp(encoding, "UTF-8") != 0;

    text->encoding = g_strdup(encoding != NULL ? encoding : "not stated (UTF-8 or Windows-1252)");
    text->convert = certain ? g_iconv_open("UTF-8", encoding) : (GIConv)-1;
    text->damaged = FALSE;
}

void spl_shape_text_close(struct spl_shape_text *text)
{
    if (text->convert != (GIConv)-1)
        g_iconv_close(text->convert);
    text->convert = (GIConv)-1;
    g_clear_pointer(&text->encoding, g_free);
}

static gboolean is_ascii(const char *text)
{
    for (; *text != '\0'; text++)
        if ((guchar)*text >= 0x80)
            return FALSE;
    return TRUE;
}

char *spl_shape_text_read(struct spl_shape_text *text, const char *raw)
{
    g_autofree char *utf8 = NULL;
    char *clean;

    if (raw == NULL || raw[strspn(raw, " ")] == '\0')
        return NULL;
    /* A text of another code page is hardly ever valid UTF-8. */
    if (is_ascii(raw) || g_utf8_validate(raw, -1, NULL))
        utf8 = g_strdup(raw);
    else if (text->convert != (GIConv)-1)
        utf8 = g_convert_with_iconv(raw, -1, text->convert, NULL, NULL, NULL);
    else
        utf8 = g_convert(raw, -1, "UTF-8", "WINDOWS-1252", NULL, NULL, NULL);
    if (utf8 == NULL) {
        text->damaged = TRUE;
        utf8 = g_utf8_make_valid(raw, -1);
    }
    clean = spl_text_scrub(utf8, FALSE);
    g_strstrip(clean);
    if (clean[0] == '\0')
        g_clear_pointer(&clean, g_free);
    return clean;
}

int spl_shape_column(DBFHandle table, const char *name, const char *what, GError **error)
{
    g_autoptr(GString) there = g_string_new(NULL);

    for (int i = 0; i < DBFGetFieldCount(table); i++) {
        char field[XBASE_FLDNAME_LEN_READ + 2] = "";

        DBFGetFieldInfo(table, i, field, NULL, NULL);
        if (g_ascii_strcasecmp(field, name) == 0)
            return i;
        if (i < 40) {
            g_autofree char *clean = spl_text_scrub(field, FALSE);

            g_string_append_printf(there, "%s%s", i > 0 ? ", " : "", clean);
        }
    }
    spl_error_set_input(
        error, SPL_ERROR_INVALID, what,
        "the table has no column '%s'; it has %s (a trial without taking anything over shows "
        "them with their first values)",
        name, there->len > 0 ? there->str : "none");
    return -1;
}

/* A number of one to `most` digits, which `*text` is moved past. */
static gboolean short_number(const char **text, int most, int *number)
{
    int n = 0;

    *number = 0;
    for (; n < most && g_ascii_isdigit(**text); n++, (*text)++)
        *number = *number * 10 + (**text - '0');
    return n > 0;
}

/* "4.5.2027", as German tables write it, with a time of day behind it or not. */
static gboolean day_with_points(const char *text, struct spl_day *day)
{
    int dom, month, year;

    if (!short_number(&text, 2, &dom) || *text++ != '.' || !short_number(&text, 2, &month) ||
        *text++ != '.' || !short_number(&text, 4, &year) || (*text != '\0' && *text != ' '))
        return FALSE;
    *day = year < 1000 ? SPL_DAY_NONE : spl_day_from_ymd(year, month, dom);
    return spl_day_is_set(*day);
}

gboolean spl_shape_day(const char *text, struct spl_day *day)
{
    char digits[9];
    int n = 0, separators = 0;
    long value;

    *day = SPL_DAY_NONE;
    if (text == NULL)
        return TRUE;
    text += strspn(text, " ");
    if (day_with_points(text, day))
        return TRUE;
    for (; *text != '\0' && n < 9; text++) {
        if (g_ascii_isdigit(*text)) {
            if (n == 8)
                return FALSE;
            digits[n++] = *text;
        } else if ((*text == '-' || *text == '/') && (n == 4 || n == 6) && separators < 2)
            separators++;
        else if (*text == ' ' || (n == 8 && (*text == 'T' || *text == '.')))
            break; /* a time of day, or decimals of a number */
        else
            return FALSE;
    }
    digits[n] = '\0';
    if (n == 0)
        return text[strspn(text, " ")] == '\0';
    value = strtol(digits, NULL, 10);
    if (value == 0)
        return TRUE; /* 00000000 and 0 */
    if (n != 8)
        return FALSE;
    *day = spl_day_from_ymd((int)(value / 10000), (int)(value / 100 % 100), (int)(value % 100));
    return spl_day_is_set(*day);
}

/* SPDX-License-Identifier: MIT
 *
 * The parent's end of the child that looks into photos. See exchange/photo.h.
 *
 * The answer is lines "KEY VALUE…". The child may have been taken over by the picture that it
 * decoded, so nothing of its answer is believed that the facts could not be.
 */
#include "exchange/photo.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include "base/text.h"
#include "simpling/error.h"

#define SIDE_MOST 65535
#define SMALL_TEXT_MOST 65000 /* what the book takes in one text, and less */

void spl_photo_facts_clear(struct spl_photo_facts *facts)
{
    g_free(facts->small);
    g_free(facts->unseen);
    *facts = (struct spl_photo_facts){
        .day = SPL_DAY_NONE, .minute = -1, .lat = NAN, .lon = NAN, .accuracy_m = NAN};
}

char *spl_photo_facts_write(const struct spl_photo_facts *facts)
{
    GString *text = g_string_new(NULL);
    char day[SPL_DAY_TEXT_SIZE], number[3][G_ASCII_DTOSTR_BUF_SIZE];

    g_string_append_printf(text, "kind %s\nsize %d %d\n", spl_photo_kind_names[facts->kind],
                           facts->width, facts->height);
    if (spl_day_is_set(facts->day))
        g_string_append_printf(text, "taken %s %d\n", spl_day_format(facts->day, day),
                               facts->minute);
    if (!isnan(facts->lat))
        g_string_append_printf(
            text, "at %s %s %s\n", g_ascii_formatd(number[0], sizeof number[0], "%.7f", facts->lat),
            g_ascii_formatd(number[1], sizeof number[1], "%.7f", facts->lon),
            isnan(facts->accuracy_m)
                ? "-"
                : g_ascii_formatd(number[2], sizeof number[2], "%.1f", facts->accuracy_m));
    if (facts->small != NULL)
        g_string_append_printf(text, "small %s\n", facts->small);
    if (facts->unseen != NULL)
        g_string_append_printf(text, "unseen %s\n", facts->unseen);
    return g_string_free(text, FALSE);
}

static gboolean read_number(const char *text, double least, double most, double *number)
{
    char *end;
    double read = g_ascii_strtod(text, &end);

    if (end == text || *end != '\0' || !(read >= least && read <= most))
        return FALSE;
    *number = read;
    return TRUE;
}

static gboolean read_whole(const char *text, int least, int most, int *number)
{
    double read;

    if (!read_number(text, least, most, &read) || read != floor(read))
        return FALSE;
    *number = (int)read;
    return TRUE;
}

static gboolean read_small(const char *text, struct spl_photo_facts *facts)
{
    gsize length = strlen(text);

    if (facts->small != NULL || length < 4 || length % 4 != 0 || length > SMALL_TEXT_MOST ||
        strspn(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/=") != length)
        return FALSE;
    facts->small = g_strdup(text);
    return TRUE;
}

static gboolean read_line(char *line, struct spl_photo_facts *facts)
{
    g_auto(GStrv) words = g_strsplit(line, " ", 5);
    guint n = g_strv_length(words);
    int kind;

    if (n == 2 && strcmp(words[0], "kind") == 0) {
        kind = spl_word_value(spl_photo_kind_names, words[1]);
        facts->kind = kind > 0 ? (enum spl_photo_kind)kind : SPL_PHOTO_NONE;
        return kind > 0;
    }
    if (n == 3 && strcmp(words[0], "size") == 0)
        return read_whole(words[1], 0, SIDE_MOST, &facts->width) &&
               read_whole(words[2], 0, SIDE_MOST, &facts->height);
    if (n == 3 && strcmp(words[0], "taken") == 0)
        return spl_day_parse(words[1], "taken", &facts->day, NULL) &&
               read_whole(words[2], -1, 1439, &facts->minute);
    if (n == 4 && strcmp(words[0], "at") == 0)
        return read_number(words[1], -90, 90, &facts->lat) &&
               read_number(words[2], -180, 180, &facts->lon) &&
               (strcmp(words[3], "-") == 0 || read_number(words[3], 0, 1e7, &facts->accuracy_m));
    if (n == 2 && strcmp(words[0], "small") == 0)
        return read_small(words[1], facts);
    if (n >= 2 && strcmp(words[0], "unseen") == 0 && facts->unseen == NULL) {
        facts->unseen = spl_text_scrub(line + strlen("unseen "), FALSE);
        return strlen(facts->unseen) <= 300;
    }
    return FALSE;
}

gboolean spl_photo_facts_read(const char *text, struct spl_photo_facts *facts, GError **error)
{
    g_auto(GStrv) lines = g_strsplit(text, "\n", 16);
    struct spl_photo_facts read = {0};
    gboolean ok = g_utf8_validate(text, -1, NULL);

    spl_photo_facts_clear(&read);
    for (guint i = 0; ok && lines[i] != NULL; i++)
        ok = *lines[i] == '\0' || read_line(lines[i], &read);
    if (!ok || read.kind == SPL_PHOTO_NONE || (read.small == NULL) == (read.unseen == NULL)) {
        spl_photo_facts_clear(&read);
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "cannot be read as a picture; copy it anew from where it was taken");
        return FALSE;
    }
    *facts = read;
    return TRUE;
}

/* The child ends with 2 and a sentence where the photo is at fault. */
#define STATUS_OF_PHOTO 2

gboolean spl_photo_ask(const char *program, const char *path, struct spl_photo_facts *facts,
                       GError **error)
{
    g_autofree char *said = NULL, *answer = NULL, *name = g_path_get_basename(path);
    g_autofree char *shown = spl_text_scrub(name, FALSE);
    g_autoptr(GError) why = NULL;
    int status;

    if (!g_spawn_sync(NULL, (char *[]){(char *)program, (char *)path, NULL}, NULL, G_SPAWN_DEFAULT,
                      NULL, NULL, &answer, &said, &status, &why)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "%s: no photo can be looked at: the program for it is not there; install "
                    "simpling whole",
                    shown);
        return FALSE;
    }
    if (WIFEXITED(status) && WEXITSTATUS(status) == 0) {
        if (spl_photo_facts_read(answer, facts, error))
            return TRUE;
        g_prefix_error(error, "%s: ", shown);
        return FALSE;
    }
    if (WIFEXITED(status) && WEXITSTATUS(status) == STATUS_OF_PHOTO) {
        g_autofree char *words = spl_text_scrub(g_strstrip(said), FALSE);

        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: %s", shown, words);
    } else {
        /* It ran out of the memory or time that it is given, or was ended. */
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "%s: takes more to decode than any photo does; take a picture of it, or a "
                    "smaller copy",
                    shown);
    }
    return FALSE;
}

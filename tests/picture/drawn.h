/* SPDX-License-Identifier: MIT
 *
 * What the picture tests look at: recorded ink, bytes, other programs.
 */
#ifndef SPL_TESTS_DRAWN_H
#define SPL_TESTS_DRAWN_H

#include "expect.h"

#include <glib/gstdio.h>
#include <stdlib.h>

#include "picture/page.h"

/* What two rectangles may share, pt: ink boxes are wider than ink by antialiasing. */
#define DRAWN_TOUCH 0.25

static inline gboolean drawn_kept_apart(enum spl_ink_kind a, enum spl_ink_kind b)
{
    if (a == SPL_INK_RULE || b == SPL_INK_RULE)
        return FALSE;
    if (a == SPL_INK_TEXT || b == SPL_INK_TEXT)
        return TRUE;
    return a == SPL_INK_MARK && b == SPL_INK_MARK;
}

/* No words on paper are smaller, pt: what is usual for medicines' labels holds for all that we
 * print (common practice, no source). */
#define DRAWN_SMALLEST 7.0

/* Nothing lies outside its page; no words stand on other words, marks or almanac hatching, and none
 * are too small to read. */
static inline void drawn_expect_clean(const struct spl_page_report *report)
{
    const GArray *inks = report->inks;
    assert_non_null(inks);
    for (guint i = 0; i < inks->len; i++) {
        const struct spl_ink *a = &g_array_index(inks, struct spl_ink, i);
        if (a->x < -DRAWN_TOUCH || a->y < -DRAWN_TOUCH ||
            a->x + a->w > report->width + DRAWN_TOUCH || a->y + a->h > report->height + DRAWN_TOUCH)
            fail_msg("'%s' leaves page %d: %.1f %.1f %.1f x %.1f of %.1f x %.1f",
                     a->what != NULL ? a->what : "(rule)", a->page + 1, a->x, a->y, a->w, a->h,
                     report->width, report->height);
        if (a->kind == SPL_INK_TEXT && a->size < DRAWN_SMALLEST - 1e-9)
            fail_msg("'%s' on page %d is written in %.1f pt, under %.0f", a->what, a->page + 1,
                     a->size, DRAWN_SMALLEST);
        for (guint k = i + 1; k < inks->len; k++) {
            const struct spl_ink *b = &g_array_index(inks, struct spl_ink, k);
            if (a->page != b->page || !drawn_kept_apart(a->kind, b->kind))
                continue;
            double across = MIN(a->x + a->w, b->x + b->w) - MAX(a->x, b->x);
            double down = MIN(a->y + a->h, b->y + b->h) - MAX(a->y, b->y);
            if (across > DRAWN_TOUCH && down > DRAWN_TOUCH)
                fail_msg("'%s' and '%s' overlap on page %d by %.2f x %.2f pt at %.1f %.1f",
                         a->what != NULL ? a->what : "(hatching)",
                         b->what != NULL ? b->what : "(hatching)", a->page + 1, across, down,
                         MAX(a->x, b->x), MAX(a->y, b->y));
        }
    }
}

/* The text without any white space (no-break space and soft hyphen too): how it was wrapped does
 * not matter. */
static inline char *drawn_squeeze(const char *text)
{
    GString *out = g_string_new(NULL);
    for (const char *p = text; *p != '\0'; p = g_utf8_next_char(p)) {
        gunichar c = g_utf8_get_char(p);
        if (!g_unichar_isspace(c) && c != 0xa0 && c != 0xad)
            g_string_append_unichar(out, c);
    }
    return g_string_free(out, FALSE);
}

/* All recorded words of one page (-1: of all), squeezed, in drawing order. */
static inline char *drawn_words_of_page(const struct spl_page_report *report, int page)
{
    GString *all = g_string_new(NULL);
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        if (ink->kind == SPL_INK_TEXT && (page < 0 || ink->page == page))
            g_string_append(all, ink->what);
    }
    g_autofree char *raw = g_string_free(all, FALSE);
    return drawn_squeeze(raw);
}

static inline char *drawn_words(const struct spl_page_report *report)
{
    return drawn_words_of_page(report, -1);
}

static inline void drawn_expect_lacks(const char *squeezed, const char *unwanted)
{
    g_autofree char *part = drawn_squeeze(unwanted);
    if (strstr(squeezed, part) != NULL)
        fail_msg("the drawing holds '%s'", unwanted);
}

static inline void drawn_expect_holds(const char *squeezed, const char *wanted)
{
    g_autofree char *part = drawn_squeeze(wanted);
    if (strstr(squeezed, part) == NULL)
        fail_msg("the drawing does not hold '%s'", wanted);
}

static inline guint drawn_count(const struct spl_page_report *report, const char *what, int page)
{
    guint n = 0;
    for (guint i = 0; i < report->inks->len; i++) {
        const struct spl_ink *ink = &g_array_index(report->inks, struct spl_ink, i);
        if (ink->kind == SPL_INK_TEXT && g_strcmp0(ink->what, what) == 0 &&
            (page < 0 || ink->page == page))
            n++;
    }
    return n;
}

/* A test program that needs other programs ends as skipped and names what is missing. */
static inline void drawn_need_tool(const char *tool, const char *package)
{
    g_autofree char *path = g_find_program_in_path(tool);
    if (path == NULL) {
        g_print("skipped: %s is not installed (package %s)\n", tool, package);
        exit(77);
    }
}

/* Runs a program; its standard output. Fails the test when it does not end well. */
static inline char *drawn_run(const char *const *argv)
{
    char *out = NULL;
    g_autofree char *err = NULL;
    int status = 0;
    g_autoptr(GError) error = NULL;
    if (!g_spawn_sync(NULL, (char **)(gpointer)argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &out,
                      &err, &status, &error))
        fail_msg("%s: %s", argv[0], error->message);
    if (!g_spawn_check_wait_status(status, NULL))
        fail_msg("%s failed: %s", argv[0], err);
    return out;
}

/* A file in a fresh folder; the folder is removed with drawn_drop. */
static inline char *drawn_keep(const char *folder, const char *name, GBytes *bytes)
{
    char *path = g_build_filename(folder, name, NULL);
    gsize size;
    const void *data = g_bytes_get_data(bytes, &size);
    assert_true(g_file_set_contents(path, data, (gssize)size, NULL));
    return path;
}

static inline void drawn_drop(const char *folder)
{
    GDir *dir = g_dir_open(folder, 0, NULL);
    const char *name;
    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_unlink(path);
    }
    if (dir != NULL)
        g_dir_close(dir);
    g_rmdir(folder);
}

#endif

/* SPDX-License-Identifier: MIT
 *
 * A shapefile of three squares, and ways to spoil it; shared by the tests of broken ones.
 */
#ifndef SPL_TESTS_SHAPE_SPOIL_H
#define SPL_TESTS_SHAPE_SPOIL_H

#include "core/geodesic.h"
#include "shape_read.h"

/* Three squares with a table of names, to be spoilt. */
static inline void three(struct make *make)
{
    make_begin(make, 5);
    make_field(make, "NAME", 'C', 10, 0);
    for (int i = 0; i < 3; i++) {
        make_square(make, -2.46 + i * 0.01, 54.97, 0.001);
        make_row(make, ' ', "field");
    }
}

#define expect_counts(got, records_, imported_, unread_)                                           \
    do {                                                                                           \
        expect_ok((got)->error);                                                                   \
        if ((got)->summary.records != (records_) || (got)->summary.imported != (imported_) ||      \
            (got)->summary.unread != (unread_))                                                    \
            fail_msg("records %d imported %d unread %d (%s)", (int)(got)->summary.records,         \
                     (int)(got)->summary.imported, (int)(got)->summary.unread, got_reason(got));   \
    } while (0)

/* Writes, spoils a file of it by `spoil`, reads. */
static inline void read_spoilt(struct got *got, const struct make *make,
                               void (*spoil)(const char *folder))
{
    char *folder = make_folder();
    g_autofree char *path = make_write(make, folder, "made");
    struct spl_shapefile_request request = {0};

    spoil(folder);
    got_read_path(got, path, &request);
    make_folder_clear(folder);
}

static inline GByteArray *load(const char *folder, const char *name)
{
    g_autofree char *path = g_build_filename(folder, name, NULL);
    char *text;
    gsize size;

    if (!g_file_get_contents(path, &text, &size, NULL))
        fail_msg("%s", path);
    return g_byte_array_new_take((guint8 *)text, size);
}

static inline void save(const char *folder, const char *name, GByteArray *bytes)
{
    make_put(folder, name, bytes->data, bytes->len);
    g_byte_array_unref(bytes);
}

#endif

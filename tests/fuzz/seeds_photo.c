/* SPDX-License-Identifier: MIT
 *
 * seeds_photo FOLDER: small photos for the fuzzer to begin with, made and not kept.
 */
#include <stdio.h>

#include "photo_make.h"

static gboolean put(const char *folder, const char *name, const guint8 *bytes, gsize size)
{
    g_autofree char *path = g_build_filename(folder, name, NULL);

    return g_file_set_contents(path, (const char *)bytes, (gssize)size, NULL);
}

int main(int argc, char **argv)
{
    static const char *const names[] = {"plain.jpg", "turned.jpg", "lying.jpg"};
    gboolean ok = argc == 2 && put(argv[1], "two.png", photo_png, sizeof photo_png);

    for (int i = 0; ok && i < 3; i++) {
        struct photo_said said = PHOTO_SAID;
        GByteArray *bytes = photo_jpeg(16, 8);

        said.orientation = 1 + i * 3;
        if (i > 0)
            bytes = photo_with(bytes, &said);
        ok = put(argv[1], names[i], bytes->data, bytes->len);
        g_byte_array_unref(bytes);
    }
    if (!ok)
        fputs("seeds_photo FOLDER\n", stderr);
    return ok ? 0 : 1;
}

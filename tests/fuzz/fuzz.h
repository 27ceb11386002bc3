/* SPDX-License-Identifier: MIT
 *
 * What the fuzz targets share. A target is one file that defines LLVMFuzzerTestOneInput; it is
 * built with libFuzzer by tests/fuzz/run.sh, and with replay.c as an ordinary test.
 */
#ifndef SPL_TESTS_FUZZ_H
#define SPL_TESTS_FUZZ_H

#include <glib.h>
#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size);

/* The bytes as a file with this ending, for readers that want a path; the same name each time. */
const char *fuzz_file(const uint8_t *bytes, size_t size, const char *ending);

/* The bytes as text with a NUL behind, cut at the first NUL. Free with g_free. */
char *fuzz_text(const uint8_t *bytes, size_t size);

/*
 * A reader's promise: it failed if and only if it set an error, which is of our domain and one line
 * of valid UTF-8. Aborts otherwise, and frees the error.
 */
void fuzz_promise(gboolean done, GError *error);

/* Aborts unless this holds. */
#define fuzz_check(what)                                                                           \
    do {                                                                                           \
        if (!(what))                                                                               \
            abort();                                                                               \
    } while (0)

#endif

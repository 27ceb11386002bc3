/* SPDX-License-Identifier: MIT
 *
 * Data of others, which are open but not kept here: the environment variable SIMPLING_OPEN_DATA
 * names their folder (DEVELOPERS.md says what belongs there). A test that needs one is skipped, by
 * name, when the variable is not set; when it is set and the file is not there, the test fails.
 */
#ifndef SPL_TESTS_OPEN_DATA_H
#define SPL_TESTS_OPEN_DATA_H

#include "expect.h"

static inline gboolean open_data_is_there(void)
{
    const char *folder = g_getenv("SIMPLING_OPEN_DATA");

    return folder != NULL && *folder != '\0';
}

/* The path of a file there. g_free. */
static inline char *open_data_path(const char *name)
{
    char *path = g_build_filename(g_getenv("SIMPLING_OPEN_DATA"), name, NULL);

    if (!g_file_test(path, G_FILE_TEST_EXISTS))
        fail_msg("%s is not there, though SIMPLING_OPEN_DATA names the folder", path);
    return path;
}

#endif

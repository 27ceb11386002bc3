/* SPDX-License-Identifier: MIT
 *
 * What the fuzz targets share.
 */
#include "fuzz.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "simpling/error.h"

static char *made; /* the file's name, to be removed at the end */

static void remove_made(void)
{
    unlink(made);
    g_free(made);
}

const char *fuzz_file(const uint8_t *bytes, size_t size, const char *ending)
{
    if (made == NULL) {
        made = g_strdup_printf("%s/simpling-fuzz-%d%s",
                               access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp", (int)getpid(),
                               ending);
        atexit(remove_made);
    }
    FILE *file = fopen(made, "w");
    if (file == NULL || fwrite(bytes, 1, size, file) != size || fclose(file) != 0)
        abort();
    return made;
}

char *fuzz_text(const uint8_t *bytes, size_t size)
{
    return g_strndup((const char *)bytes, size);
}

void fuzz_promise(gboolean done, GError *error)
{
    fuzz_check(done == (error == NULL));
    if (error == NULL)
        return;
    if (error->domain != SPL_ERROR || strchr(error->message, '\n') != NULL ||
        error->message[0] == '\0' || !g_utf8_validate(error->message, -1, NULL)) {
        fprintf(stderr, "the error's words: '%s'\n", error->message);
        abort();
    }
    g_error_free(error);
}

/* SPDX-License-Identifier: MIT
 *
 * Well-known text: what is accepted comes back the same from its own text and its own bytes.
 */
#include <string.h>

#include "core/geometry.h"
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    g_autofree char *text = fuzz_text(bytes, size);
    GError *error = NULL;
    struct spl_geometry *geometry = spl_geometry_from_wkt(text, "--area", &error);

    fuzz_promise(geometry != NULL, error);
    if (geometry == NULL)
        return 0;
    g_autofree char *written = spl_geometry_to_wkt(geometry);
    error = NULL;
    struct spl_geometry *again = spl_geometry_from_wkt(written, "--area", &error);
    fuzz_promise(again != NULL, error);
    fuzz_check(again != NULL);
    g_autofree char *twice = spl_geometry_to_wkt(again);
    fuzz_check(strcmp(written, twice) == 0);
    spl_geometry_free(again);
    spl_geometry_free(geometry);
    return 0;
}

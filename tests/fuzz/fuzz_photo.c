/* SPDX-License-Identifier: MIT
 *
 * Photos: any bytes are looked into or refused with a reason; what is said of a day and place can
 * be one, the small picture is small, and the answer is read back as it was written.
 */
#include <math.h>
#include <string.h>

#include "exchange/photo_look.h"
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
    struct spl_photo_facts facts, again;
    g_autofree char *text = NULL, *twice = NULL;
    GError *error = NULL;
    gboolean done = spl_photo_look(bytes, size, &facts, &error);

    fuzz_promise(done, error);
    if (!done)
        return 0;
    fuzz_check(facts.kind != SPL_PHOTO_NONE && (facts.small == NULL) != (facts.unseen == NULL));
    fuzz_check(isnan(facts.lat) == isnan(facts.lon) && (isnan(facts.lat) || fabs(facts.lat) <= 90));
    fuzz_check(facts.small == NULL || strlen(facts.small) <= SPL_PHOTO_SMALL_MOST / 3 * 4 + 4);
    text = spl_photo_facts_write(&facts);
    fuzz_check(spl_photo_facts_read(text, &again, NULL));
    twice = spl_photo_facts_write(&again);
    fuzz_check(strcmp(text, twice) == 0);
    spl_photo_facts_clear(&facts);
    spl_photo_facts_clear(&again);
    return 0;
}

/* SPDX-License-Identifier: MIT
 *
 * The inside of `hazard import`, for the helper program alone.
 */
#include "command/ground.h"
#include "simpling/hazard.h"

static void say(const GPtrArray *lines, const char *head)
{
    if (lines == NULL || lines->len == 0)
        return;
    fprintf(stderr, "simpling: %s\n", head);
    for (guint i = 0; i < lines->len; i++)
        fprintf(stderr, "  %s\n", (char *)g_ptr_array_index(lines, i));
}

int spl_hazard_import_run(struct spl_call *call, GError **error)
{
    struct spl_hazard_import_words words = {
        .path = call->places[0],
        .layer = spl_call_get(call, "layer"),
        .source = spl_call_get(call, "source"),
        .method = spl_call_get(call, "method"),
        .method_field = spl_call_get(call, "method-field"),
        .date_field = spl_call_get(call, "date-field"),
        .product_field = spl_call_get(call, "product-field"),
        .name_field = spl_call_get(call, "name-field"),
        .crs = spl_call_get(call, "crs"),
        .encoding = spl_call_get(call, "encoding"),
        .dry_run = spl_call_has(call, "dry-run"),
    };
    struct spl_hazard_import import;

    if (!spl_call_day(call, "on", SPL_DAY_NONE, &words.on, error) ||
        !spl_hazard_read(call->house, &words, &import, error))
        return -1;
    spl_call_print(call, &import);
    if (import.unread > 0)
        fprintf(stderr,
                "simpling: the layer is incomplete: near it every verdict is at least 'ask'\n");
    say(import.touched, "picked there since; look at each with 'trace':");
    spl_record_clear(&spl_hazard_import_shape, &import);
    return 0;
}

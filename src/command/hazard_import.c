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
    struct spl_hazard_import import;

    if (!spl_hazard_read(call->house, call->said, &import, error))
        return -1;
    spl_call_print(call, &import);
    if (import.unread > 0)
        fprintf(stderr,
                "simpling: the layer is incomplete: near it every verdict is at least 'ask'\n");
    say(import.touched, "picked there since; look at each with 'trace':");
    spl_record_clear(&spl_hazard_import_shape, &import);
    return 0;
}

/* SPDX-License-Identifier: MIT
 *
 * The insides of `site import` and `site export`, for the helper program alone.
 */
#include "command/ground.h"
#include "simpling/site_carry.h"

int spl_site_import_run(struct spl_call *call, GError **error)
{
    struct spl_site_import done;

    if (!spl_site_import(call->house, call->said, &done, error))
        return -1;
    spl_call_print(call, &done);
    spl_record_clear(&spl_site_import_shape, &done);
    return 0;
}

int spl_site_export_run(struct spl_call *call, GError **error)
{
    struct spl_site_export done;

    if (!spl_site_export(call->house, call->said, &done, error))
        return -1;
    spl_call_print(call, &done);
    spl_record_clear(&spl_site_export_shape, &done);
    return 0;
}

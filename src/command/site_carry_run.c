/* SPDX-License-Identifier: MIT
 *
 * The insides of `site import` and `site export`, for the helper program alone.
 */
#include <math.h>

#include "command/ground.h"
#include "simpling/site_carry.h"

int spl_site_import_run(struct spl_call *call, GError **error)
{
    struct spl_site_import_words words = {
        .path = call->places[0],
        .name_field = spl_call_get(call, "name-field"),
        .crs = spl_call_get(call, "crs"),
        .encoding = spl_call_get(call, "encoding"),
        .update = spl_call_has(call, "update"),
    };
    struct spl_site_import done;

    if (!spl_call_number(call, "accuracy", 0, 100000, NAN, &words.accuracy_m, error) ||
        !spl_site_import(call->house, &words, &done, error))
        return -1;
    spl_call_print(call, &done);
    spl_record_clear(&spl_site_import_shape, &done);
    return 0;
}

int spl_site_export_run(struct spl_call *call, GError **error)
{
    struct spl_site_export done;
    struct spl_day on;

    if (!spl_call_day(call, "on", spl_house_today(call->house), &on, error) ||
        !spl_site_export(call->house, call->places[0], spl_call_has(call, "areas"),
                         spl_call_has(call, "force"), on, &done, error))
        return -1;
    spl_call_print(call, &done);
    spl_record_clear(&spl_site_export_shape, &done);
    return 0;
}

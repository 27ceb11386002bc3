/* SPDX-License-Identifier: MIT
 *
 * Loading libical late. See exchange/ical_late.h.
 */
#include "exchange/ical_late.h"

#include "base/late.h"

struct spl_ical_table spl_ical;

#define ENTRY(name) {#name, G_STRUCT_OFFSET(struct spl_ical_table, name##_)},
static const struct spl_late_function functions[] = {SPL_ICAL_FUNCTIONS(ENTRY)};
static struct spl_late ical = {"libical.so.3",          "libical3", functions,
                               G_N_ELEMENTS(functions), &spl_ical,  0};

gboolean spl_ical_load(GError **error)
{
    return spl_late_load(&ical, error);
}

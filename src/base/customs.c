/* SPDX-License-Identifier: MIT
 *
 * The customs that hold now. See simpling/customs.h.
 */
#include "simpling/customs.h"

#include <string.h>

const char *const spl_units_names[] = {"metric", "us", "imp", NULL};

static struct spl_customs now = {.today = {SPL_DAY_NONE_N}};

const struct spl_customs *spl_customs(void)
{
    return &now;
}

void spl_customs_set(const struct spl_customs *customs)
{
    now = *customs;
}

/* The month comes first in the United States and what goes by their post. Canada and the
 * Philippines write both ways. Common practice, no source. */
enum spl_slash spl_customs_slash(const char *country)
{
    static const char *const month_first[] = {"US", "PR", "GU", "VI", "AS", "MP", "UM", NULL};
    static const char *const both[] = {"CA", "PH", NULL};
    g_autofree char *land = g_strndup(country != NULL ? country : "", 2);

    if (*land == '\0' || g_strv_contains(both, land))
        return SPL_SLASH_UNKNOWN;
    return g_strv_contains(month_first, land) ? SPL_SLASH_MONTH_FIRST : SPL_SLASH_DAY_FIRST;
}

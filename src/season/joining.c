/* SPDX-License-Identifier: MIT
 *
 * What goes together into one jar, rack or bottle: all of it held, or nothing. See spl_joining_...
 * in season/state.h.
 */
#include "season/check_private.h"
#include "season/state.h"
#include "simpling/error.h"

void spl_joining_clear(struct spl_joining *joining)
{
    g_clear_pointer(&joining->first, g_free);
}

gboolean spl_joining_take(struct spl_house *house, struct spl_joining *joining, gint64 id,
                          const char *code, gboolean started, GPtrArray *cautions, GError **error)
{
    struct spl_standing standing;
    gboolean ok = TRUE;

    if (!spl_standing_of(house, id, &standing, error))
        return FALSE;
    if (started && standing.bars_start) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is held (%s); nothing is made of it until that is settled", code,
                    standing.why);
        ok = FALSE;
    } else if (joining->any && joining->held != standing.held) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "%s: is %s and %s is %s; the two are not put together until that is settled",
                    code, standing.held ? "held" : "free", joining->first,
                    joining->held ? "held" : "free");
        ok = FALSE;
    } else if (standing.held && started && cautions != NULL) {
        spl_caution_add(cautions, "%s is held: %s; what is made of it is held with it", code,
                        standing.why);
    }
    if (ok && !joining->any)
        *joining = (struct spl_joining){TRUE, standing.held, g_strdup(code)};
    spl_standing_clear(&standing);
    return ok;
}

/* SPDX-License-Identifier: MIT
 *
 * The error domain. See simpling/error.h.
 */
#include "simpling/error.h"

G_DEFINE_QUARK(spl_error, spl_error)

int spl_error_exit_status(const GError *error)
{
    if (error == NULL || error->domain != SPL_ERROR)
        return 1;
    switch ((enum spl_error_code)error->code) {
    case SPL_ERROR_USAGE:
    case SPL_ERROR_INVALID:
        return 2;
    case SPL_ERROR_CLOSED:
        return 4;
    default:
        return 1;
    }
}

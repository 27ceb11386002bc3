/* SPDX-License-Identifier: MIT
 *
 * simpling-slip: the helper that writes slips. It has the same table of commands as simpling, and
 * the inside of the one that needs the face for browsers: command and desk do not know each other.
 */
#include "command/command.h"
#include "desk/slip.h"

static int run_write(struct spl_call *call, GError **error)
{
    struct spl_slip_written written;

    if (!spl_slip_write(call->house, call->said, &written, error))
        return -1;
    spl_call_caution(call, written.cautions);
    spl_call_print(call, &written);
    spl_record_clear(&spl_slip_written_shape, &written);
    return 0;
}

int main(int argc, char **argv)
{
    static const struct spl_helper_run runs[] = {{"slip write", run_write}, {NULL, NULL}};

    return spl_run(argc, argv, runs);
}

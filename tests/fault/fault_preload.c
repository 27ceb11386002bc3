/* SPDX-License-Identifier: MIT
 *
 * The fault VFS for a finished program: loaded with LD_PRELOAD, it takes its plan from the
 * environment variable SIMPLING_FAULT_PLAN. When the power is to go out it goes out at the latest
 * when the program ends; one that ended with 0 then ends with FAULT_DONE_AND_OUT.
 */
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "fault_program.h"
#include "fault_vfs.h"

static void at_exit(int status, void *unused)
{
    (void)unused;
    fflush(NULL);
    fault_lose();
    _exit(status == 0 ? FAULT_DONE_AND_OUT : status);
}

__attribute__((constructor)) static void preload(void)
{
    const char *text = getenv("SIMPLING_FAULT_PLAN");
    if (text == NULL)
        return;
    fault_install();
    if (!fault_plan_parse(text))
        abort();
    if (fault_is_power())
        on_exit(at_exit, NULL);
    /* Not for the programs that this one starts. */
    unsetenv("SIMPLING_FAULT_PLAN");
    unsetenv("LD_PRELOAD");
}

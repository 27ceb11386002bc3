/* SPDX-License-Identifier: MIT
 *
 * simpling, the program for every day. It links no drawing, projection or solver library: what
 * needs those runs in a helper of libexec/simpling.
 */
#include "command/command.h"

int main(int argc, char **argv)
{
    return spl_run(argc, argv, NULL);
}

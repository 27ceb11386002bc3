/* SPDX-License-Identifier: MIT
 *
 * simpling-page: answers one page for the desk, which starts it for what takes long or reads what
 * strangers wrote (desk/errand.h). It has no command line.
 */
#include <locale.h>
#include <unistd.h>

#include "desk/errand.h"

int main(void)
{
    setlocale(LC_CTYPE, "C.UTF-8");
    return spl_errand_run(STDIN_FILENO, STDOUT_FILENO);
}

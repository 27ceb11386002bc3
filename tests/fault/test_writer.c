/* SPDX-License-Identifier: MIT
 *
 * The writer of whole files under faults: each write, sync and rename in turn fails or is cut
 * short; the target then holds all of the new text or all of the old, and no temporary file stays.
 * The calls are diverted by the linker's --wrap.
 */
#include <errno.h>
#include <glib/gstdio.h>
#include <sys/types.h>

#include "base/file.h"
#include "expect.h"
#include "fault_loop.h"

enum call { CALL_WRITE, CALL_CUT, CALL_FSYNC, CALL_RENAME, CALL_KINDS };

static struct {
    enum call call;
    int left; /* so many more until it happens; 0: never */
    gboolean fired;
} plan;

static gboolean strikes(enum call call)
{
    if (plan.call != call || plan.left == 0 || --plan.left > 0)
        return FALSE;
    plan.fired = TRUE;
    return TRUE;
}

ssize_t __real_write(int fd, const void *bytes, size_t n);
ssize_t __wrap_write(int fd, const void *bytes, size_t n);
ssize_t __wrap_write(int fd, const void *bytes, size_t n)
{
    if (strikes(CALL_WRITE)) {
        errno = ENOSPC;
        return -1;
    }
    return __real_write(fd, bytes, n > 1 && strikes(CALL_CUT) ? n / 2 : n);
}

int __real_fsync(int fd);
int __wrap_fsync(int fd);
int __wrap_fsync(int fd)
{
    if (strikes(CALL_FSYNC)) {
        errno = EIO;
        return -1;
    }
    return __real_fsync(fd);
}

int __real_rename(const char *from, const char *to);
int __wrap_rename(const char *from, const char *to);
int __wrap_rename(const char *from, const char *to)
{
    if (strikes(CALL_RENAME)) {
        errno = EACCES;
        return -1;
    }
    return __real_rename(from, to);
}

static char *text_of(char letter, gsize n)
{
    char *text = g_malloc(n + 1);
    memset(text, letter, n);
    text[n] = '\0';
    return text;
}

static int files_in(const char *folder)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    int n = 0;
    while (g_dir_read_name(dir) != NULL)
        n++;
    return n;
}

static void the_target_is_whole_after_any_fault(void **state)
{
    g_autofree char *folder = g_build_filename(fault_scratch(), "writer", NULL);
    g_autofree char *path = g_build_filename(folder, "spring.ics", NULL);
    g_autofree char *old = text_of('o', 300 * 1000);
    g_autofree char *new = text_of('n', 500 * 1000);
    int faults = 0;
    (void)state;
    g_mkdir(folder, 0700);
    for (int call = 0; call < CALL_KINDS; call++)
        for (int nth = 1;; nth++) {
            GError *error = NULL;
            g_autofree char *now = NULL;

            memset(&plan, 0, sizeof plan);
            spl_file_write(path, old, strlen(old), &error);
            expect_ok(error);
            plan.call = (enum call)call;
            plan.left = nth;
            gboolean done = spl_file_write(path, new, strlen(new), &error);
            gboolean fired = plan.fired;
            memset(&plan, 0, sizeof plan);

            g_file_get_contents(path, &now, NULL, NULL);
            assert_non_null(now);
            assert_string_equal(now, done ? new : old);
            assert_int_equal(files_in(folder), 1);
            assert_int_equal(done, error == NULL);
            if (!done &&
                (error->domain != SPL_ERROR || strstr(error->message, "spring.ics") == NULL))
                fail_msg("not named: '%s'", error->message);
            g_clear_error(&error);
            if (!fired)
                break;
            faults++;
            if (call == CALL_CUT && !done)
                fail_msg("a short write was taken for a failure");
        }
    g_remove(path);
    g_rmdir(folder);
    if (faults < 6)
        fail_msg("only %d faults: the calls are not diverted", faults);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_target_is_whole_after_any_fault)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}

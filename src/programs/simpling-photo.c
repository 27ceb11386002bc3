/* SPDX-License-Identifier: MIT
 *
 * simpling-photo FILE: the child that looks into a photo and tells what it found (exchange/photo.h)
 * on stdout; where the photo is at fault one line on stderr and status 2.
 *
 * It decodes a stranger's bytes, so it may hold so much memory and take so much time and no more,
 * opens no other file and begins no program.
 */
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>

#include "base/file.h"
#include "exchange/photo_look.h"

#define MEMORY_MOST (2048UL * 1024 * 1024)
#define SECONDS_MOST 30
#define ANSWER_MOST (1024UL * 1024)

static void bound(__rlimit_resource_t what, rlim_t most)
{
    const struct rlimit limit = {most, most};

    (void)setrlimit(what, &limit);
}

static void bound_all(void)
{
    bound(RLIMIT_CPU, SECONDS_MOST);
    bound(RLIMIT_CORE, 0);
    bound(RLIMIT_FSIZE, ANSWER_MOST); /* where stdout is a file */
#if !defined(__SANITIZE_ADDRESS__)
    bound(RLIMIT_AS, MEMORY_MOST); /* the sanitizer alone reserves terabytes */
#endif
}

int main(int argc, char **argv)
{
    g_autoptr(GError) error = NULL;
    struct spl_photo_facts facts;
    g_autofree char *bytes = NULL, *answer = NULL;
    gsize size;

    if (argc != 2) {
        fputs("simpling-photo FILE; simpling runs it by itself\n", stderr);
        return EXIT_FAILURE;
    }
    bound_all();
    bytes = spl_file_read(argv[1], SPL_PHOTO_BYTES_MOST, &size, &error);
    if (bytes == NULL || !spl_photo_look((const guint8 *)bytes, size, &facts, &error)) {
        fprintf(stderr, "%s\n", error->message);
        return 2;
    }
    answer = spl_photo_facts_write(&facts);
    spl_photo_facts_clear(&facts);
    return fputs(answer, stdout) < 0 || fflush(stdout) != 0 ? EXIT_FAILURE : EXIT_SUCCESS;
}

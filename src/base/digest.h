/* SPDX-License-Identifier: MIT
 *
 * SHA-256 (FIPS 180-4) of what comes in pieces. Calendars of tens of megabytes are summed at every
 * writing: by Nettle, which uses the processor's own instructions for it where there are any.
 */
#ifndef SPL_BASE_DIGEST_H
#define SPL_BASE_DIGEST_H

#include <glib.h>

typedef struct spl_digest spl_digest;

struct spl_digest *spl_digest_new(void);
void spl_digest_add(struct spl_digest *digest, const void *bytes, gsize size);

/* In hex, of all that was added so far; more may be added after it. Free with g_free. */
char *spl_digest_hex(const struct spl_digest *digest);

void spl_digest_free(struct spl_digest *digest); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_digest, spl_digest_free)

#endif

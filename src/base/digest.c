/* SPDX-License-Identifier: MIT
 *
 * SHA-256. See base/digest.h.
 */
#include "base/digest.h"

#include <nettle/base16.h>
#include <nettle/sha2.h>

struct spl_digest {
    struct sha256_ctx sum;
};

struct spl_digest *spl_digest_new(void)
{
    struct spl_digest *digest = g_new(struct spl_digest, 1);

    sha256_init(&digest->sum);
    return digest;
}

void spl_digest_add(struct spl_digest *digest, const void *bytes, gsize size)
{
    sha256_update(&digest->sum, size, bytes);
}

char *spl_digest_hex(const struct spl_digest *digest)
{
    struct sha256_ctx copy = digest->sum; /* taking the digest begins the sum anew */
    guint8 bytes[SHA256_DIGEST_SIZE];
    char *hex = g_malloc(BASE16_ENCODE_LENGTH(sizeof bytes) + 1);

    sha256_digest(&copy, sizeof bytes, bytes);
    base16_encode_update(hex, sizeof bytes, bytes);
    hex[BASE16_ENCODE_LENGTH(sizeof bytes)] = '\0';
    return hex;
}

void spl_digest_free(struct spl_digest *digest)
{
    g_free(digest);
}

/* SPDX-License-Identifier: MIT
 *
 * Public addresses. See core/address.h.
 */
#include "core/address.h"

#include <string.h>

struct block {
    guint8 octet[16];
    int bits;
};

static gboolean lies_in(const guint8 *octet, const struct block *block)
{
    int whole = block->bits / 8, rest = block->bits % 8;

    if (memcmp(octet, block->octet, (gsize)whole) != 0)
        return FALSE;
    return rest == 0 || ((octet[whole] ^ block->octet[whole]) >> (8 - rest)) == 0;
}

gboolean spl_address_is_public4(const guint8 octet[4])
{
    static const struct block special[] = {
        {{0}, 8},             /* this network */
        {{10}, 8},            /* private */
        {{100, 64}, 10},      /* shared by a provider's customers */
        {{127}, 8},           /* loopback */
        {{169, 254}, 16},     /* link-local */
        {{172, 16}, 12},      /* private */
        {{192, 0, 0}, 24},    /* IETF protocols */
        {{192, 0, 2}, 24},    /* documentation */
        {{192, 31, 196}, 24}, /* AS112 */
        {{192, 52, 193}, 24}, /* AMT */
        {{192, 88, 99}, 24},  /* 6to4 relays */
        {{192, 168}, 16},     /* private */
        {{192, 175, 48}, 24}, /* AS112 */
        {{198, 18}, 15},      /* benchmarks */
        {{198, 51, 100}, 24}, /* documentation */
        {{203, 0, 113}, 24},  /* documentation */
        {{224}, 4},           /* multicast */
        {{240}, 4},           /* reserved, broadcast */
    };

    for (gsize i = 0; i < G_N_ELEMENTS(special); i++) {
        if (lies_in(octet, &special[i]))
            return FALSE;
    }
    return TRUE;
}

gboolean spl_address_is_public6(const guint8 octet[16])
{
    static const struct block mapped = {{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0xff, 0xff}, 96};
    static const struct block nat64 = {{0, 0x64, 0xff, 0x9b}, 96};
    static const struct block global = {{0x20}, 3};
    static const struct block special[] = {
        {{0x20, 0x01, 0x00}, 23},             /* IETF protocols, Teredo, benchmarks, ORCHID */
        {{0x20, 0x01, 0x0d, 0xb8}, 32},       /* documentation */
        {{0x20, 0x02}, 16},                   /* 6to4 */
        {{0x26, 0x20, 0x00, 0x4f, 0x80}, 48}, /* AS112 */
        {{0x3f, 0xff}, 20},                   /* documentation */
    };

    if (lies_in(octet, &mapped) || lies_in(octet, &nat64))
        return spl_address_is_public4(octet + 12);
    if (!lies_in(octet, &global))
        return FALSE; /* loopback, link-local, unique local, multicast, and what is not given out */
    for (gsize i = 0; i < G_N_ELEMENTS(special); i++) {
        if (lies_in(octet, &special[i]))
            return FALSE;
    }
    return TRUE;
}

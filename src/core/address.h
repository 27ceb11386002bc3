/* SPDX-License-Identifier: MIT
 *
 * Which addresses of the net are public: the rule that keeps what is fetched on somebody's word
 * from reaching into their own network. IANA special-purpose address registries (RFC 6890 and what
 * was added since).
 */
#ifndef SPL_CORE_ADDRESS_H
#define SPL_CORE_ADDRESS_H

#include <glib.h>

/* Octets as they stand in a packet. */
gboolean spl_address_is_public4(const guint8 octet[4]);

/* An address that carries one of IPv4 (mapped, NAT64) is as public as that. */
gboolean spl_address_is_public6(const guint8 octet[16]);

#endif

/* SPDX-License-Identifier: MIT
 *
 * Which addresses are public: a row of each block of IANA's special-purpose registries (RFC 6890,
 * RFC 8190, RFC 9637 and the registries themselves), the addresses beside their ends, and public
 * ones. */
#include "core/address.h"
#include "expect.h"

#include <arpa/inet.h>

static void the_table_of_blocks_holds(void **state)
{
    static const struct {
        const char *text;
        gboolean is_public;
    } table[] = {
        {"0.0.0.0", FALSE},
        {"0.255.255.255", FALSE},
        {"1.0.0.0", TRUE},
        {"9.255.255.255", TRUE},
        {"10.0.0.1", FALSE},
        {"11.0.0.0", TRUE},
        {"100.63.255.255", TRUE},
        {"100.64.0.0", FALSE},
        {"100.127.255.255", FALSE},
        {"100.128.0.0", TRUE},
        {"127.0.0.1", FALSE},
        {"127.255.255.254", FALSE},
        {"128.0.0.1", TRUE},
        {"169.253.255.255", TRUE},
        {"169.254.169.254", FALSE},
        {"169.255.0.0", TRUE},
        {"172.15.255.255", TRUE},
        {"172.16.0.1", FALSE},
        {"172.31.255.255", FALSE},
        {"172.32.0.0", TRUE},
        {"192.0.0.8", FALSE},
        {"192.0.1.1", TRUE},
        {"192.0.2.1", FALSE},
        {"192.88.99.1", FALSE},
        {"192.167.255.255", TRUE},
        {"192.168.1.1", FALSE},
        {"192.169.0.0", TRUE},
        {"198.17.255.255", TRUE},
        {"198.18.0.1", FALSE},
        {"198.19.255.255", FALSE},
        {"198.20.0.0", TRUE},
        {"198.51.100.7", FALSE},
        {"203.0.113.9", FALSE},
        {"223.255.255.255", TRUE},
        {"224.0.0.1", FALSE},
        {"239.255.255.255", FALSE},
        {"240.0.0.1", FALSE},
        {"255.255.255.255", FALSE},
        {"8.8.8.8", TRUE},
        {"::", FALSE},
        {"::1", FALSE},
        {"::ffff:10.0.0.1", FALSE},
        {"::ffff:127.0.0.1", FALSE},
        {"::ffff:8.8.8.8", TRUE},
        {"64:ff9b::192.168.1.1", FALSE},
        {"64:ff9b::8.8.8.8", TRUE},
        {"64:ff9b:1::1", FALSE},
        {"100::1", FALSE},
        {"2001::1", FALSE},
        {"2001:2::1", FALSE},
        {"2001:10::1", FALSE},
        {"2001:1ff:ffff::1", FALSE},
        {"2001:200::1", TRUE},
        {"2001:db8::1", FALSE},
        {"2001:db9::1", TRUE},
        {"2002:a00:1::1", FALSE},
        {"2003::1", TRUE},
        {"2606:4700::1", TRUE},
        {"3fff::1", FALSE},
        {"3fff:fff::1", FALSE},
        {"3fff:1000::1", TRUE},
        {"4000::1", FALSE},
        {"fc00::1", FALSE},
        {"fd12:3456::1", FALSE},
        {"fe80::1", FALSE},
        {"ff02::1", FALSE},
        {"1fff:ffff::1", FALSE},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(table); i++) {
        gboolean six = strchr(table[i].text, ':') != NULL;
        guint8 octet[16];

        assert_int_equal(inet_pton(six ? AF_INET6 : AF_INET, table[i].text, octet), 1);
        if ((six ? spl_address_is_public6(octet) : spl_address_is_public4(octet)) !=
            table[i].is_public)
            fail_msg("%s is taken to be %s", table[i].text,
                     table[i].is_public ? "private" : "public");
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_table_of_blocks_holds),
};
expect_main(tests)

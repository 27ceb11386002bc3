/* SPDX-License-Identifier: MIT
 *
 * simpling-fetch ADDRESS FILE: the fetching child. Gets one https address into a new file; on
 * failure one line on stderr and status 1. See exchange/fetch.h.
 *
 * It takes nothing on trust: https alone, certificates checked, no address of a private network
 * (looked at when the socket is opened, whatever the name server said before), no proxy, no
 * cookies, no redirect to another host, and bounds on time and on bytes before and after unpacking.
 * An answer that is gzip or a zip folder is unpacked: of several files the one whose name begins
 * with "produkt_", as Germany's weather service packs its tables beside their descriptions.
 *
 * The tests build it with SPL_FETCH_TEST: then loopback is let in, the certificate authority is
 * that of $SPL_FETCH_CA, the times and sizes are short. The program that is installed knows none of
 * this.
 */
#include <archive.h>
#include <archive_entry.h>
#include <curl/curl.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <unistd.h>

#include "core/address.h"

#define MOST_REDIRECTS 3
#define MOST_FILES 1000 /* in a folder */
#define TABLE "produkt_"
#ifdef SPL_FETCH_TEST
#define MOST_MB "64"
#define MOST_BYTES (64L * 1024 * 1024)
#define MOST_SECONDS 6L
#define SLOW_SECONDS 2L
#else
/* Unpacked too. All that one station measured in a century may pass 64. */
#define MOST_MB "256"
#define MOST_BYTES (256L * 1024 * 1024)
#define MOST_SECONDS 120L
#define SLOW_SECONDS 20L
#endif
#define CONNECT_SECONDS 15L
#define SLOW_BYTES 100L /* a second, over SLOW_SECONDS */

struct fetching {
    FILE *file;
    long bytes;
    int too_large, not_public, cannot_write;
};

static size_t take(char *data, size_t size, size_t n, void *user)
{
    struct fetching *fetching = user;
    size_t bytes = size * n;

    fetching->bytes += (long)bytes;
    if (fetching->bytes > MOST_BYTES) {
        fetching->too_large = 1;
        return 0;
    }
    if (fwrite(data, 1, bytes, fetching->file) != bytes) {
        fetching->cannot_write = 1;
        return 0;
    }
    return bytes;
}

static int may_connect(const struct sockaddr *address)
{
    if (address->sa_family == AF_INET) {
        const struct sockaddr_in *four = (const struct sockaddr_in *)(const void *)address;
        const guint8 *octet = (const guint8 *)&four->sin_addr;

#ifdef SPL_FETCH_TEST
        if (octet[0] == 127)
            return 1;
#endif
        return spl_address_is_public4(octet);
    }
    if (address->sa_family == AF_INET6) {
        const struct sockaddr_in6 *six = (const struct sockaddr_in6 *)(const void *)address;

        return spl_address_is_public6((const guint8 *)&six->sin6_addr);
    }
    return 0;
}

static curl_socket_t open_socket(void *user, curlsocktype purpose, struct curl_sockaddr *address)
{
    struct fetching *fetching = user;

    (void)purpose;
    if (!may_connect(&address->addr)) {
        fetching->not_public = 1;
        return CURL_SOCKET_BAD;
    }
    return socket(address->family, address->socktype | SOCK_CLOEXEC, address->protocol);
}

/* The host and port of an https address; NULL: it is none. g_free. */
static char *host_of(const char *address)
{
    CURLU *url = curl_url();
    char *scheme = NULL, *host = NULL, *port = NULL, *both = NULL;

    if (url != NULL && curl_url_set(url, CURLUPART_URL, address, 0) == CURLUE_OK &&
        curl_url_get(url, CURLUPART_SCHEME, &scheme, 0) == CURLUE_OK &&
        strcasecmp(scheme, "https") == 0 &&
        curl_url_get(url, CURLUPART_HOST, &host, 0) == CURLUE_OK &&
        curl_url_get(url, CURLUPART_PORT, &port, CURLU_DEFAULT_PORT) == CURLUE_OK)
        both = g_strdup_printf("%s:%s", host, port);
    curl_free(scheme);
    curl_free(host);
    curl_free(port);
    curl_url_cleanup(url);
    return both;
}

static int fail(const char *what)
{
    fprintf(stderr, "%s\n", what);
    return 1;
}

static void set_up(CURL *curl, struct fetching *fetching)
{
    curl_easy_setopt(curl, CURLOPT_PROTOCOLS_STR, "https");
    curl_easy_setopt(curl, CURLOPT_SSLVERSION, (long)CURL_SSLVERSION_TLSv1_2);
    curl_easy_setopt(curl, CURLOPT_PROXY, "");
    curl_easy_setopt(curl, CURLOPT_FOLLOWLOCATION, 0L);
    curl_easy_setopt(curl, CURLOPT_TIMEOUT, MOST_SECONDS);
    curl_easy_setopt(curl, CURLOPT_CONNECTTIMEOUT, CONNECT_SECONDS);
    curl_easy_setopt(curl, CURLOPT_LOW_SPEED_LIMIT, SLOW_BYTES);
    curl_easy_setopt(curl, CURLOPT_LOW_SPEED_TIME, SLOW_SECONDS);
    curl_easy_setopt(curl, CURLOPT_MAXFILESIZE_LARGE, (curl_off_t)MOST_BYTES);
    curl_easy_setopt(curl, CURLOPT_ACCEPT_ENCODING, "gzip");
    curl_easy_setopt(curl, CURLOPT_USERAGENT, "simpling");
    curl_easy_setopt(curl, CURLOPT_NOSIGNAL, 1L);
    curl_easy_setopt(curl, CURLOPT_WRITEFUNCTION, take);
    curl_easy_setopt(curl, CURLOPT_WRITEDATA, fetching);
    curl_easy_setopt(curl, CURLOPT_OPENSOCKETFUNCTION, open_socket);
    curl_easy_setopt(curl, CURLOPT_OPENSOCKETDATA, fetching);
#ifdef SPL_FETCH_TEST
    if (getenv("SPL_FETCH_CA") != NULL)
        curl_easy_setopt(curl, CURLOPT_CAINFO, getenv("SPL_FETCH_CA"));
#endif
}

static const char *words_of(CURLcode code, const struct fetching *fetching, char *room, size_t size)
{
    if (fetching->not_public)
        return "the address lies in a private network; only public ones are fetched";
    if (fetching->too_large || code == CURLE_FILESIZE_EXCEEDED)
        return "the answer is larger than " MOST_MB " MB, so it is not taken";
    if (fetching->cannot_write)
        return "the answer cannot be written; is the disk full?";
    switch (code) {
    case CURLE_OPERATION_TIMEDOUT:
        return "the answer takes too long; try again later";
    case CURLE_PARTIAL_FILE:
    case CURLE_RECV_ERROR:
    case CURLE_GOT_NOTHING:
        return "the answer was cut short; try again later";
    case CURLE_COULDNT_RESOLVE_HOST:
        return "no such host is known; look at the address and at the connection";
    case CURLE_COULDNT_CONNECT:
        return "the host does not answer; try again later";
    case CURLE_PEER_FAILED_VERIFICATION:
    case CURLE_SSL_CACERT_BADFILE:
        return "the host's certificate is not in order, so it may be somebody else's";
    default:
        snprintf(room, size, "the address cannot be had: %s", curl_easy_strerror(code));
        return room;
    }
}

/* One request; 0: done, 1: failed and said, 2: `*next` is where it is now. */
static int request(CURL *curl, const char *address, const char *host, struct fetching *fetching,
                   char **next)
{
    char room[300], *there = NULL, *target = NULL;
    CURLcode code;
    long status = 0;
    int same;

    curl_easy_setopt(curl, CURLOPT_URL, address);
    code = curl_easy_perform(curl);
    if (code != CURLE_OK)
        return fail(words_of(code, fetching, room, sizeof room));
    curl_easy_getinfo(curl, CURLINFO_RESPONSE_CODE, &status);
    if (status == 200)
        return 0;
    curl_easy_getinfo(curl, CURLINFO_REDIRECT_URL, &target);
    if (status < 300 || status > 399 || target == NULL) {
        snprintf(room, sizeof room, "the host answers %ld%s", status,
                 status == 404   ? " (not there); look at the address"
                 : status == 429 ? " (too many questions); try again later"
                 : status >= 500 ? " (its own fault); try again later"
                                 : "; look at the address");
        return fail(room);
    }
    there = host_of(target);
    same = there != NULL && strcasecmp(there, host) == 0;
    g_free(there);
    if (!same) {
        snprintf(room, sizeof room,
                 "the host sends on to another one (%.200s); if you trust that, give its address",
                 target);
        return fail(room);
    }
    *next = strdup(target);
    return *next == NULL ? fail("out of memory") : 2;
}

/* Unpacking -------------------------------------------------------------------------------------
 */

static const char damaged[] = "the packed answer is damaged or cut short; try again later";

static gboolean is_packed(const char *path)
{
    unsigned char head[4] = {0};
    FILE *file = fopen(path, "rbe");
    size_t got = file == NULL ? 0 : fread(head, 1, sizeof head, file);

    if (file != NULL)
        fclose(file);
    return got == sizeof head &&
           ((head[0] == 0x1f && head[1] == 0x8b) || memcmp(head, "PK\3\4", 4) == 0);
}

static struct archive *open_packed(const char *path)
{
    struct archive *packed = archive_read_new();

    archive_read_support_filter_gzip(packed);
    archive_read_support_format_zip(packed);
    archive_read_support_format_raw(packed);
    if (archive_read_open_filename(packed, path, 65536) == ARCHIVE_OK)
        return packed;
    archive_read_free(packed);
    return NULL;
}

static gboolean is_table(struct archive_entry *entry)
{
    const char *name = archive_entry_pathname(entry);
    const char *base = name == NULL ? NULL : strrchr(name, '/');

    return name != NULL && g_str_has_prefix(base == NULL ? name : base + 1, TABLE);
}

/* Which file of the folder is meant: `*number`, counted from 0. */
static const char *choose(const char *path, int *number)
{
    struct archive *packed = open_packed(path);
    struct archive_entry *entry;
    int files = 0, tables = 0, at = 0, status = ARCHIVE_FATAL;

    *number = 0;
    for (; packed != NULL && at < MOST_FILES; at++) {
        status = archive_read_next_header(packed, &entry);
        if (status != ARCHIVE_OK && status != ARCHIVE_WARN)
            break;
        if (archive_entry_filetype(entry) == AE_IFDIR)
            continue;
        if (files++ == 0 || is_table(entry))
            *number = at;
        tables += is_table(entry);
    }
    archive_read_free(packed);
    if (status != ARCHIVE_EOF || files == 0)
        return at == MOST_FILES ? "the answer is a folder of too many files" : damaged;
    if (files > 1 && tables != 1)
        return "the answer is a folder of several files, none of which is the only table; fetch "
               "and "
               "unpack it yourself, and import the file";
    return NULL;
}

static const char *copy(struct archive *packed, FILE *out, long most_bytes)
{
    char room[65536];
    long bytes = 0;
    la_ssize_t got;

    while ((got = archive_read_data(packed, room, sizeof room)) > 0) {
        bytes += (long)got;
        if (bytes > most_bytes)
            return "the answer is larger than " MOST_MB
                   " MB when it is unpacked, so it is not taken";
        if (fwrite(room, 1, (size_t)got, out) != (size_t)got)
            return "the answer cannot be written; is the disk full?";
    }
    return got < 0 ? damaged : NULL;
}

static const char *unpack(const char *from, const char *to, long most_bytes)
{
    struct archive_entry *entry;
    struct archive *packed;
    const char *why;
    FILE *out;
    int number;

    why = choose(from, &number);
    if (why != NULL)
        return why;
    packed = open_packed(from);
    out = fopen(to, "wbxe");
    for (int at = 0; packed != NULL && out != NULL && at <= number; at++) {
        if (archive_read_next_header(packed, &entry) < ARCHIVE_WARN)
            why = damaged;
    }
    if (packed == NULL || out == NULL)
        why = "the answer cannot be written";
    if (why == NULL)
        why = copy(packed, out, most_bytes);
    if (out != NULL && fclose(out) != 0 && why == NULL)
        why = "the answer cannot be written; is the disk full?";
    archive_read_free(packed);
    return why;
}

static const char *unpack_in_place(const char *path, long most_bytes)
{
    g_autofree char *packed = NULL;
    const char *why;

    if (!is_packed(path))
        return NULL;
    packed = g_strconcat(path, ".packed", NULL);
    if (rename(path, packed) != 0)
        return "the answer cannot be written";
    why = unpack(packed, path, most_bytes);
    unlink(packed);
    return why;
}

/* ---------------------------------------------------------------------------------------------- */

static int fetch(CURL *curl, const char *first, const char *path)
{
    struct fetching fetching = {.file = fopen(path, "wbxe")};
    char *address = strdup(first), *host = host_of(first);
    int status = 2;

    if (fetching.file == NULL || address == NULL)
        status = fail("the answer cannot be written");
    else if (host == NULL)
        status = fail("only https:// addresses are fetched");
    for (int i = 0; status == 2 && i <= MOST_REDIRECTS; i++) {
        char *next = NULL;

        set_up(curl, &fetching);
        rewind(fetching.file);
        if (ftruncate(fileno(fetching.file), 0) != 0) {
            status = fail("the answer cannot be written");
            break;
        }
        fetching.bytes = 0;
        status = request(curl, address, host, &fetching, &next);
        if (status == 2) {
            free(address);
            address = next;
        }
    }
    if (status == 2)
        status = fail("the host sends on and on; look at the address");
    if (fetching.file != NULL && fclose(fetching.file) != 0 && status == 0)
        status = fail("the answer cannot be written; is the disk full?");
    if (status == 0) {
        const char *why = unpack_in_place(path, MOST_BYTES);

        status = why == NULL ? 0 : fail(why);
    }
    free(address);
    g_free(host);
    return status;
}

int main(int argc, char **argv)
{
    CURL *curl;
    int status;

    if (argc != 3)
        return fail("simpling-fetch ADDRESS FILE; simpling runs it by itself");
    curl_global_init(CURL_GLOBAL_DEFAULT);
    curl = curl_easy_init();
    status = curl == NULL ? fail("nothing can be fetched") : fetch(curl, argv[1], argv[2]);
    curl_easy_cleanup(curl);
    curl_global_cleanup();
    return status;
}

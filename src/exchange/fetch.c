/* SPDX-License-Identifier: MIT
 *
 * The parent's end of the fetching child. See exchange/fetch.h.
 */
#include "exchange/fetch.h"

#include <glib/gstdio.h>
#include <string.h>
#include <sys/wait.h>

#include "base/text.h"
#include "simpling/error.h"

#define SCHEME "https://"
#define ADDRESS_MAX 2000

gboolean spl_fetch_is_address(const char *name)
{
    return strstr(name, "://") != NULL;
}

char *spl_fetch_host(const char *address)
{
    const char *host = address + strlen(SCHEME);

    return g_strndup(host, strcspn(host, "/?#:"));
}

gboolean spl_fetch_check(const char *address, GError **error)
{
    const char *host = address + strlen(SCHEME);

    if (g_ascii_strncasecmp(address, SCHEME, strlen(SCHEME)) != 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "'%.60s': only addresses that begin with https:// are fetched", address);
        return FALSE;
    }
    if (strlen(address) > ADDRESS_MAX) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "the address is longer than %d characters; it cannot be one", ADDRESS_MAX);
        return FALSE;
    }
    for (const char *c = address; *c != '\0'; c++) {
        if (*c <= ' ' || *c >= 0x7f) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                        "the address holds a blank or a sign that none has; copy it anew");
            return FALSE;
        }
    }
    if (memchr(host, '@', strcspn(host, "/?#")) != NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "the address holds a name or password; take it out");
        return FALSE;
    }
    if (strcspn(host, "/?#:") == 0) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "the address names no host; copy it anew");
        return FALSE;
    }
    return TRUE;
}

static char *replace(char *text, const char *what, const char *by)
{
    g_auto(GStrv) parts = g_strsplit(text, what, -1);

    g_free(text);
    return g_strjoinv(by, parts);
}

char *spl_fetch_fill(const char *address, struct spl_day from, struct spl_day today)
{
    char first[SPL_DAY_TEXT_SIZE], last[SPL_DAY_TEXT_SIZE];
    char *text = g_strdup(address);

    spl_day_format(from, first);
    spl_day_format(today, last);
    text = replace(text, "{from}", first);
    text = replace(text, "{to}", last);
    return replace(text, "{today}", last);
}

char *spl_fetch(const char *program, const char *address, GError **error)
{
    g_autofree char *folder = g_dir_make_tmp("simpling-fetch-XXXXXX", error);
    g_autofree char *said = NULL;
    g_autoptr(GError) why = NULL;
    char *path;
    int status;

    if (folder == NULL)
        return NULL;
    path = g_build_filename(folder, "answer", NULL);
    if (!g_spawn_sync(NULL, (char *[]){(char *)program, (char *)address, path, NULL}, NULL,
                      G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL, NULL, &said, &status, &why)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_NOT_FOUND,
                    "nothing can be fetched: the program for it is not there; install simpling "
                    "whole");
    } else if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        g_autofree char *host = spl_fetch_host(address);
        g_autofree char *words = spl_text_scrub(g_strstrip(said), FALSE);

        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s: %s", host,
                    *words != '\0' ? words : "the answer cannot be had");
    } else {
        return path;
    }
    spl_fetch_drop(path);
    return NULL;
}

void spl_fetch_drop(char *path)
{
    g_autofree char *folder = path == NULL ? NULL : g_path_get_dirname(path);

    if (path == NULL)
        return;
    g_unlink(path);
    g_rmdir(folder);
    g_free(path);
}

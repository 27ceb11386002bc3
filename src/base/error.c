/* SPDX-License-Identifier: MIT
 *
 * The error domain. See simpling/error.h.
 */
#include "simpling/error.h"

#include <string.h>

/* What an error carries beside its message. */
typedef struct {
    char *input; /* key of the input that it is about; NULL */
} SplErrorPrivate;

static void spl_error_private_init(SplErrorPrivate *own)
{
    (void)own; /* GLib gives it zeroed */
}

static void spl_error_private_copy(const SplErrorPrivate *from, SplErrorPrivate *to)
{
    to->input = g_strdup(from->input);
}

static void spl_error_private_clear(SplErrorPrivate *own)
{
    g_free(own->input);
}

G_DEFINE_EXTENDED_ERROR(SplError, spl_error)

void spl_error_set_input(GError **error, enum spl_error_code code, const char *key,
                         const char *format, ...)
{
    g_autofree char *sentence = NULL;
    va_list arguments;

    if (error == NULL)
        return;
    va_start(arguments, format);
    sentence = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    g_set_error(error, SPL_ERROR, (gint)code, "%s: %s", key, sentence);
    spl_error_get_private(*error)->input = g_strdup(key);
}

const char *spl_error_input(const GError *error)
{
    return error != NULL && error->domain == SPL_ERROR ? spl_error_get_private(error)->input : NULL;
}

const char *spl_error_sentence(const GError *error)
{
    const char *input = spl_error_input(error);
    gsize length = input != NULL ? strlen(input) : 0;

    /* A prefix put in front later keeps the whole message. */
    if (input != NULL && strncmp(error->message, input, length) == 0 &&
        g_str_has_prefix(error->message + length, ": "))
        return error->message + length + 2;
    return error->message;
}

int spl_error_exit_status(const GError *error)
{
    if (error == NULL || error->domain != SPL_ERROR)
        return 1;
    switch ((enum spl_error_code)error->code) {
    case SPL_ERROR_USAGE:
    case SPL_ERROR_INVALID:
        return 2;
    case SPL_ERROR_CLOSED:
        return 4;
    default:
        return 1;
    }
}

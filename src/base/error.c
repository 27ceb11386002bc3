/* SPDX-License-Identifier: MIT
 *
 * The error domain. See simpling/error.h.
 */
#include "simpling/error.h"

#include <string.h>

/* Of the codes, for programs; they stay. */
static const char *const code_names[] = {
    [SPL_ERROR_USAGE] = "usage",
    [SPL_ERROR_INVALID] = "invalid",
    [SPL_ERROR_NOT_FOUND] = "not-found",
    [SPL_ERROR_EXISTS] = "exists",
    [SPL_ERROR_AMBIGUOUS] = "ambiguous",
    [SPL_ERROR_REFUSED] = "refused",
    [SPL_ERROR_CLOSED] = "closed",
    [SPL_ERROR_CONFLICT] = "conflict",
    [SPL_ERROR_BUSY] = "busy",
    [SPL_ERROR_READ_ONLY] = "read-only",
    [SPL_ERROR_IO] = "io",
    [SPL_ERROR_CORRUPT] = "corrupt",
    [SPL_ERROR_TOO_NEW] = "too-new",
    [SPL_ERROR_LIMIT] = "limit",
    [SPL_ERROR_INTERNAL] = "internal",
};
G_STATIC_ASSERT(G_N_ELEMENTS(code_names) == SPL_ERROR_INTERNAL + 1);

static const struct spl_field failure_fields[] = {
    SPL_FIELD(spl_failure, error, SPL_TEXT, "error", "error"),
    SPL_FIELD(spl_failure, input, SPL_TEXT, "input", "input"),
    SPL_FIELD(spl_failure, kind, SPL_TEXT, "kind", "kind"),
    SPL_FIELD_ONE(spl_failure, next, &spl_next_shape, "next"),
    SPL_FIELD_LIST(spl_failure, reasons, &spl_reason_shape, "reasons", "reasons"),
};
const struct spl_shape spl_failure_shape = SPL_SHAPE("failure", spl_failure, failure_fields);

/* What an error carries beside its message. */
typedef struct {
    char *input;           /* key of the input that it is about; NULL */
    const char *kind;      /* NULL: the code's */
    struct spl_next *next; /* NULL: not known */
    GArray *reasons;       /* struct spl_reason; NULL: none */
} SplErrorPrivate;

static void spl_error_private_init(SplErrorPrivate *own)
{
    (void)own; /* GLib gives it zeroed */
}

static void spl_error_private_copy(const SplErrorPrivate *from, SplErrorPrivate *to)
{
    const struct spl_failure carried = {.next = from->next, .reasons = from->reasons};
    struct spl_failure copy;

    spl_record_copy(&spl_failure_shape, &carried, &copy);
    *to = (SplErrorPrivate){g_strdup(from->input), from->kind, copy.next, copy.reasons};
}

static void spl_error_private_clear(SplErrorPrivate *own)
{
    g_free(own->input);
    spl_next_free(own->next);
    spl_list_free(&spl_reason_shape, own->reasons);
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

void spl_error_about(GError **error, const char *key)
{
    SplErrorPrivate *own;

    if (error == NULL || *error == NULL || (*error)->domain != SPL_ERROR)
        return;
    own = spl_error_get_private(*error);
    if (own->input == NULL)
        own->input = g_strdup(key);
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

static SplErrorPrivate *own_of(const GError *error)
{
    return error != NULL && error->domain == SPL_ERROR ? spl_error_get_private(error) : NULL;
}

void spl_error_explain(GError **error, const char *kind, struct spl_next *next, GArray *reasons)
{
    SplErrorPrivate *own = error != NULL ? own_of(*error) : NULL;

    if (own == NULL) {
        spl_next_free(next);
        spl_list_free(&spl_reason_shape, reasons);
        return;
    }
    spl_next_free(own->next);
    spl_list_free(&spl_reason_shape, own->reasons);
    own->kind = kind;
    own->next = next;
    own->reasons = reasons;
}

const char *spl_error_kind(const GError *error)
{
    const SplErrorPrivate *own = own_of(error);

    if (own == NULL)
        return "failed";
    if (own->kind != NULL)
        return own->kind;
    return error->code >= 0 && error->code < (gint)G_N_ELEMENTS(code_names)
               ? code_names[error->code]
               : "failed";
}

const struct spl_next *spl_error_next(const GError *error)
{
    const SplErrorPrivate *own = own_of(error);

    return own != NULL ? own->next : NULL;
}

const GArray *spl_error_reasons(const GError *error)
{
    const SplErrorPrivate *own = own_of(error);

    return own != NULL ? own->reasons : NULL;
}

void spl_error_failure(const GError *error, struct spl_failure *failure)
{
    const struct spl_failure borrowed = {
        .error = (char *)spl_error_sentence(error),
        .input = (char *)spl_error_input(error),
        .kind = (char *)spl_error_kind(error),
        .next = (struct spl_next *)spl_error_next(error),
        .reasons = (GArray *)spl_error_reasons(error),
    };

    spl_record_copy(&spl_failure_shape, &borrowed, failure);
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

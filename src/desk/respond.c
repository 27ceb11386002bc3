/* SPDX-License-Identifier: MIT
 *
 * Answers as the library sends them. See desk/respond.h.
 */
#include "desk/respond.h"

#include <string.h>

static const char *const headers[][2] = {
    {"Content-Security-Policy",
     "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src "
     "'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"X-Frame-Options", "DENY"},
    {"Referrer-Policy", "same-origin"}, /* without one our own forms come with Origin null */
    {"Cross-Origin-Opener-Policy", "same-origin"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
};

static enum MHD_Result put(struct MHD_Response *response, const char *name, const char *value)
{
    return MHD_add_response_header(response, name, value);
}

enum MHD_Result spl_respond(struct MHD_Connection *connection, unsigned status, char *body,
                            gsize length, const char *type, const char *location,
                            const char *cookie, const char *file, gboolean forever, guint again_s)
{
    struct MHD_Response *response =
        MHD_create_response_from_buffer_with_free_callback(length, body, g_free);
    gboolean whole = response != NULL;
    enum MHD_Result result;

    if (response == NULL)
        return MHD_NO;
    for (gsize i = 0; i < G_N_ELEMENTS(headers); i++)
        whole = whole && put(response, headers[i][0], headers[i][1]) == MHD_YES;
    whole = whole && put(response, "Cache-Control",
                         forever ? "private, max-age=31536000, immutable" : "no-store");
    whole = whole && put(response, "Content-Type", type);
    if (status == 405)
        whole = whole && put(response, "Allow", "GET, HEAD, POST");
    if (status >= 400 && status != 404 && status != 422)
        whole = whole && put(response, "Connection", "close");
    if (location != NULL)
        whole = whole && put(response, "Location", location);
    if (file != NULL) {
        g_autofree char *says = g_strdup_printf("attachment; filename=\"%s\"", file);

        whole = whole && put(response, "Content-Disposition", says);
    }
    if (again_s > 0) {
        char seconds[16];

        g_snprintf(seconds, sizeof seconds, "%u", again_s);
        whole = whole && put(response, "Refresh", seconds);
    }
    if (cookie != NULL)
        whole = whole && put(response, "Set-Cookie", cookie);
    result = whole ? MHD_queue_response(connection, status, response) : MHD_NO;
    MHD_destroy_response(response);
    return result;
}

enum MHD_Result spl_respond_page(struct MHD_Connection *connection, unsigned status, char *page,
                                 const char *cookie)
{
    return spl_respond(connection, status, page, strlen(page), "text/html; charset=utf-8", NULL,
                       cookie, NULL, FALSE, 0);
}

/* SPDX-License-Identifier: MIT
 *
 * Answers as the library sends them, with the headers that keep foreign pages and caches out.
 */
#ifndef SPL_DESK_RESPOND_H
#define SPL_DESK_RESPOND_H

#include <glib.h>
#include <microhttpd.h>

/* Sends `body`, which is taken over. `location`, `cookie`: NULL: none. `file`: the
 * browser keeps it under this name; NULL: it shows it. `forever`: it never changes
 * under this address. `again_s`: after so many seconds the browser asks once more; 0: never. */
enum MHD_Result spl_respond(struct MHD_Connection *connection, unsigned status, char *body,
                            gsize length, const char *type, const char *location,
                            const char *cookie, const char *file, gboolean forever, guint again_s);

/* The same for a page of text; `page` is taken over. */
enum MHD_Result spl_respond_page(struct MHD_Connection *connection, unsigned status, char *page,
                                 const char *cookie);

#endif

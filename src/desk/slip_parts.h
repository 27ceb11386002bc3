/* SPDX-License-Identifier: MIT
 *
 * Parts of a slip's page; slip_page.c puts them together.
 */
#ifndef SPL_DESK_SLIP_PARTS_H
#define SPL_DESK_SLIP_PARTS_H

#include "desk/html.h"

/* A button that the script knows by its id. */
void spl_slip_button(spl_html *html, const char *id, const char *class, const char *words,
                     gboolean hidden);

/* A section with its heading begins. */
void spl_slip_section(spl_html *html, const char *id, const char *title, gboolean hidden);

/* The form, hidden until the script runs. */
void spl_slip_log(spl_html *html);

/* The sets of stages that the form offers, each "in bud|first flowers"; hidden. */
void spl_slip_stages(spl_html *html, const GPtrArray *stages);

/* What was noted, and the ways to hand it out. */
void spl_slip_notes(spl_html *html);

#endif

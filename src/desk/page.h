/* SPDX-License-Identifier: MIT
 *
 * The frame of every page, and how it shows what season answers: a record as a ruled list, a list
 * of records as a ruled table, codes, places and plants in them as links. What is shown comes from
 * the row tables (simpling/row.h), so that a field more there is one more here.
 */
#ifndef SPL_DESK_PAGE_H
#define SPL_DESK_PAGE_H

#include <glib.h>

#include "desk/html.h"
#include "desk/visit.h"
#include "simpling/record/reason.h"
#include "simpling/row.h"

/* Begins a page: head, the other pages, its one h1. `here`: the page of the list that it belongs to
 * ("/jars"; NULL: none). */
struct spl_html *spl_desk_begin(const struct spl_visit *visit, const char *title, const char *here);
/* The same with a sentence in front of the title of the window alone, and something above the h1
 * before it: call spl_desk_heading yourself. */
struct spl_html *spl_desk_begin_bare(const struct spl_visit *visit, const char *window_title,
                                     const char *here);
void spl_desk_heading(struct spl_html *html, const char *title);
/* Ends it. Frees the writer; g_free the page. */
char *spl_desk_end(struct spl_html *html);

/* The page is quicker with the script; the others are sent without. */
void spl_desk_script(struct spl_html *html);

/* A part of the page with its h2. */
void spl_desk_part(struct spl_html *html, const char *title);
/* <p>text</p>, with codes as links. */
void spl_desk_say(struct spl_html *html, const char *text);
/* The same smaller, below what it is about. */
void spl_desk_note(struct spl_html *html, const char *text);

/* Text with the codes in it as links. */
void spl_desk_text(struct spl_html *html, const char *text);

/* Links, each with its words. */
void spl_desk_code(struct spl_html *html, const char *code);
void spl_desk_place(struct spl_html *html, const char *name);
void spl_desk_plant(struct spl_html *html, const char *material);
/* To a form, its inputs filled in: pairs of key and value, NULL-ended. */
void spl_desk_act(struct spl_html *html, const char *act, const char *words,
                  const char *const *query);
/* To a sheet that is printed: the pairs of /print (desk/page_print.c). */
void spl_desk_print(struct spl_html *html, const char *words, const char *const *query);
/* What can be written down here: links to forms stand between these two; not on paper. */
void spl_desk_acts_begin(struct spl_html *html);
void spl_desk_acts_end(struct spl_html *html);
/* A line of its own that goes to another page; `path` is a literal, as of spl_html_link. */
#define spl_desk_go(html, path, query, words)                                                      \
    spl_desk_go_literal((html), "" path "", (query), (words))
void spl_desk_go_literal(struct spl_html *html, const char *path, const char *const *query,
                         const char *words);

/* A record: what has a heading and is not absent, then its lists as tables. */
void spl_desk_record(struct spl_html *html, const struct spl_shape *shape, const void *record);
/* The single values alone. */
void spl_desk_values(struct spl_html *html, const struct spl_shape *shape, const void *record);
/* A list as a table under `caption` (NULL: none); nothing when it is empty. `without`: keys that
 * are not shown, with blanks (NULL: none). */
void spl_desk_table(struct spl_html *html, const char *caption, const struct spl_shape *shape,
                    const GArray *list, const char *without);

/* The same with one more column behind: what can be done with each. */
typedef void (*spl_desk_put)(struct spl_html *html, const void *record, gpointer data);
void spl_desk_table_acts(struct spl_html *html, const char *caption, const struct spl_shape *shape,
                         const GArray *list, const char *without, spl_desk_put put, gpointer data);

/* What stands behind a thing (struct spl_cause), and what would settle each. */
void spl_desk_causes(struct spl_html *html, const GArray *causes);
/* What a verdict rests on (struct spl_reason). */
void spl_desk_reasons(struct spl_html *html, const GArray *reasons);
/* What would settle it, as a link to its form; nothing when no form does it. */
void spl_desk_next(struct spl_html *html, const struct spl_next *next);

/* What to know (const char *), NULL: nothing. */
void spl_desk_cautions(struct spl_html *html, const GPtrArray *cautions);

/* A form that only asks for a page again: begin, fields, end with its button. */
void spl_desk_ask_begin(struct spl_html *html, const char *path);
void spl_desk_ask_field(struct spl_html *html, const char *key, const char *label, const char *help,
                        const char *value);
void spl_desk_ask_end(struct spl_html *html, const char *button);

/* Adds a copy of a record to a list of its shape. */
void spl_desk_keep(GArray *list, const struct spl_shape *shape, const void *record);
/* The same of a row of a table: what no table shows of it is left out. */
void spl_desk_keep_row(GArray *list, const struct spl_shape *shape, const void *record);

/* The pages -------------------------------------------------------------------------------------
 */

typedef gboolean (*spl_desk_fn)(struct spl_visit *visit, struct spl_house *house, GError **error);

#define SPL_PAGE(name)                                                                             \
    gboolean spl_show_##name(struct spl_visit *visit, struct spl_house *house, GError **error)
SPL_PAGE(today);
SPL_PAGE(places);
SPL_PAGE(place);
SPL_PAGE(map);
SPL_PAGE(plant);
SPL_PAGE(log);
SPL_PAGE(harvest);
SPL_PAGE(racks);
SPL_PAGE(drying);
SPL_PAGE(jars);
SPL_PAGE(batch);
SPL_PAGE(shelf);
SPL_PAGE(lot);
SPL_PAGE(season);
SPL_PAGE(almanac);
SPL_PAGE(questions);
SPL_PAGE(recall);
SPL_PAGE(reckon);
SPL_PAGE(count);
SPL_PAGE(print);
SPL_PAGE(plan);
SPL_PAGE(year);
SPL_PAGE(look);
SPL_PAGE(given);
SPL_PAGE(ledger);
SPL_PAGE(settings);
SPL_PAGE(labels);
SPL_PAGE(tour);
SPL_PAGE(tables);
SPL_PAGE(table);

/* What is asked of the manual, and the places where it speaks of all these words
 * (desk/page_find.c). */
void spl_desk_ask_find(struct spl_html *html, const char *said);
void spl_desk_find(struct spl_visit *visit, struct spl_html *html, const char *said);

/* /plan with its form sent: the outings are planned anew and kept. */
void spl_desk_plan(struct spl_visit *visit);

/* /table/NAME with its form sent: one row of one's own. */
void spl_desk_own_row(struct spl_visit *visit);

/* Where there is no book yet: the questions that make one. */
void spl_desk_start(struct spl_visit *visit);

/* /files and /files/KIND: what can be taken in, the form, and what came of a file that was sent. */
void spl_desk_files(struct spl_visit *visit);
/* /out/KIND: the form of what can be taken out; with it sent, the file. */
void spl_desk_out(struct spl_visit *visit);
/* Links to all of these. */
void spl_desk_out_links(struct spl_html *html);
/* The form comes back with what is the matter with its file. FALSE: the visit is to no such form;
 * TRUE: `error` is taken over. */
gboolean spl_files_come_back(struct spl_visit *visit, GError *error);

/* A book of an earlier schema: what its upgrade does, and the button. With a form sent to /upgrade
 * it is done, and the browser goes on to where the person wanted. */
void spl_desk_upgrade(struct spl_visit *visit);

/* /help and /help/PAGE: the manual. */
void spl_desk_help(struct spl_visit *visit);

/* /close: asks, and with a form sent ends the desk behind this visit. */
void spl_desk_close(struct spl_visit *visit);

/* What went wrong, as a page: what happened, what is kept, what to do. */
void spl_desk_failure(struct spl_visit *visit, const GError *error);

#endif

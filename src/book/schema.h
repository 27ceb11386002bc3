/* SPDX-License-Identifier: MIT
 *
 * Whether a book's tables, views, indexes and triggers are those that the migrations make.
 *
 * Nothing is listed by hand: a book made in memory by the same migrations is the model. What a
 * stranger planted in the schema (a trigger that strikes what is written, a view that never ends, a
 * table without its CHECKs) would run as ours, so a book that differs is not read.
 */
#ifndef SPL_BOOK_SCHEMA_H
#define SPL_BOOK_SCHEMA_H

#include <glib.h>

#include "book/book.h"

struct spl_schema_fault {
    char *type;  /* "table", "view", "index", "trigger" */
    char *name;  /* "harvest_now" */
    char *model; /* the SQL that makes it; NULL: no part of a book */
    gboolean missing;
};
void spl_schema_fault_free(gpointer fault);

/* What differs from a book of schema number `schema`: struct spl_schema_fault *, none when nothing
 * does. Free with g_ptr_array_unref. NULL with an error. */
GPtrArray *spl_schema_faults(struct spl_book *book, int schema, GError **error);

/* "trigger 'x': is no part of a book". Free with g_free. */
char *spl_schema_fault_words(const struct spl_schema_fault *fault);

/*
 * SHA-256 in hex of the whole schema as it is compared. That of schema `schema` is kept in
 * schema.c, so that a book as ours needs no model to be opened (30 ms); NULL: not kept, the model
 * tells. Free the first with g_free.
 */
char *spl_schema_print(struct spl_book *book, GError **error);
const char *spl_schema_print_kept(int schema);

/* Whether anything differs that is more than an index left out (which costs time alone).
 * SPL_ERROR_CORRUPT names the first. */
gboolean spl_schema_is_ours(struct spl_book *book, int schema, GError **error);

/* A book in memory made by the first `schema` migrations. */
struct spl_book *spl_book_model(int schema, GError **error);

#endif

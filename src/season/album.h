/* SPDX-License-Identifier: MIT
 *
 * What all pictures share: texts that live as long as the drawing, names as people write them, and
 * the file at the end.
 */
#ifndef SPL_SEASON_ALBUM_H
#define SPL_SEASON_ALBUM_H

#include "picture/page.h"
#include "season/house_private.h"
#include "simpling/picture.h"

struct spl_album {
    struct spl_house *house;
    const struct spl_tables *tables; /* borrowed */
    GStringChunk *texts;
    GPtrArray *arrays; /* of GArray *, freed with the album */
    struct spl_page_options options;
    gboolean shows_places; /* coordinates or a map: a new file is its owner's alone */
    const struct spl_picture_file *to;
};

/*
 * Draws one picture: takes what was said by its table (whose struct begins with a struct
 * spl_picture_file), looks at the file before anything is read from the book, and calls `draw`
 * with the taken words. `picture` is the caller's on TRUE.
 */
gboolean spl_album_draw(struct spl_house *house, const struct spl_inputs *inputs, const void *said,
                        gboolean (*draw)(struct spl_album *album, const void *words,
                                         struct spl_picture *picture, GError **error),
                        struct spl_picture *picture, GError **error);

/* Keeps a copy; NULL stays NULL. */
const char *spl_album_text(struct spl_album *album, const char *text);
/* Keeps a copy and frees the text. */
const char *spl_album_take(struct spl_album *album, char *text);
/* A new array of records of `size` bytes that lives as long as the album. */
GArray *spl_album_array(struct spl_album *album, gsize size);

/* "Nettle leaf", "Elderflower" for a slug; the slug itself when the tables do not know it. */
const char *spl_album_material(struct spl_album *album, const char *slug);
/* "Dandelion flower and leaf", "Elderflower, nettle leaf and haws" for slugs joined with ", ". */
const char *spl_album_materials(struct spl_album *album, const char *slugs);
/* "Taraxacum officinale, Urtica dioica": each plant once. NULL: none known. */
const char *spl_album_latin(struct spl_album *album, const char *slugs);
/* "tincture" for a slug. */
const char *spl_album_preparation(struct spl_album *album, const char *slug);
/* "Dandelion flower tincture". */
const char *spl_album_what(struct spl_album *album, const char *materials, const char *preparation);
/* With a capital letter. */
const char *spl_album_capital(struct spl_album *album, const char *text);
/* Who should not take these materials, then their cautions, one sentence each: GArray of const char
 * *. For bottles. */
GArray *spl_album_cautions(struct spl_album *album, const char *slugs);
/* Copies of such sentences. */
GArray *spl_album_sentences(struct spl_album *album, const GPtrArray *sentences);
/* Look-alikes, then what to mind in gathering: for the hedge. `n_lookalikes` is how many of them.
 */
GArray *spl_album_warnings(struct spl_album *album, const char *slugs, gsize *n_lookalikes);

/* Writes what was drawn (takes `bytes`, NULL after an error) and fills `picture`, which is yours
 * on TRUE. Clears `report`. */
gboolean spl_album_write(struct spl_album *album, GBytes *bytes, struct spl_page_report *report,
                         const char *of, struct spl_picture *picture, GError **error);

#endif

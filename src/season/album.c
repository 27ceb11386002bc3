/* SPDX-License-Identifier: MIT
 *
 * What all pictures share. See season/album.h.
 */
#include "season/album.h"

#include <string.h>

#include "base/file.h"
#include "core/care.h"
#include "season/label_words.h"
#include "simpling/entry.h"
#include "simpling/error.h"

#define OURS_MAX (512 * 1024 * 1024)

/* A picture of ours says so in its bytes; anything else is somebody's own file. */
static gboolean may_write(const struct spl_picture_file *to, GError **error)
{
    g_autofree char *there = NULL;
    gsize size = 0;

    if (to->force || !g_file_test(to->out, G_FILE_TEST_EXISTS))
        return TRUE;
    there = spl_file_read(to->out, OURS_MAX, &size, error);
    if (there == NULL)
        return FALSE;
    if (size == 0 || spl_page_is_ours(there, size))
        return TRUE;
    spl_error_set_input(error, SPL_ERROR_CONFLICT, "force",
                        "%s is there already and is no picture of this program; name another file, "
                        "or say that it is to be replaced",
                        to->out);
    return FALSE;
}

/* FALSE: nothing to close. */
static gboolean open_album(struct spl_album *album, struct spl_house *house,
                           const struct spl_picture_file *to, GError **error)
{
    *album = (struct spl_album){.house = house, .to = to};
    if (!spl_page_format_from_path(to->out, &album->options.format, error))
        return FALSE;
    if (to->paper != NULL && !spl_page_paper_from_text(to->paper, &album->options.paper, error))
        return FALSE;
    album->options.dpi = to->dpi == SPL_COUNT_NONE ? 0 : to->dpi;
    if (!spl_file_is_target(to->out, error) || !may_write(to, error))
        return FALSE;
    album->tables = spl_house_tables(house, error);
    if (album->tables == NULL)
        return FALSE;
    album->texts = g_string_chunk_new(4096);
    album->arrays = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    return TRUE;
}

static void close_album(struct spl_album *album)
{
    g_clear_pointer(&album->texts, g_string_chunk_free);
    g_clear_pointer(&album->arrays, g_ptr_array_unref);
}

gboolean spl_album_draw(struct spl_house *house, const struct spl_inputs *inputs, const void *said,
                        gboolean (*draw)(struct spl_album *album, const void *words,
                                         struct spl_picture *picture, GError **error),
                        struct spl_picture *picture, GError **error)
{
    g_autofree void *words = g_malloc0(inputs->size);
    struct spl_album album;
    gboolean ok;

    if (!spl_entry_take(house, inputs, said, words, error))
        return FALSE;
    ok = open_album(&album, house, words, error);
    if (ok) {
        ok = draw(&album, words, picture, error);
        close_album(&album);
    }
    spl_inputs_clear(inputs, words);
    return ok;
}

const char *spl_album_text(struct spl_album *album, const char *text)
{
    return text != NULL ? g_string_chunk_insert(album->texts, text) : NULL;
}

const char *spl_album_take(struct spl_album *album, char *text)
{
    const char *kept = spl_album_text(album, text);

    g_free(text);
    return kept;
}

GArray *spl_album_array(struct spl_album *album, gsize size)
{
    GArray *array = g_array_new(FALSE, TRUE, (guint)size);

    g_ptr_array_add(album->arrays, array);
    return array;
}

/* ---- names ---- */

const char *spl_album_capital(struct spl_album *album, const char *text)
{
    return spl_album_take(album, spl_label_capital(text));
}

static const struct spl_material *row_of(const struct spl_album *album, const char *slug)
{
    return slug != NULL ? spl_tables_material_by_slug(album->tables, slug) : NULL;
}

const char *spl_album_material(struct spl_album *album, const char *slug)
{
    const struct spl_material *material = row_of(album, slug);

    return spl_album_capital(album, material != NULL ? material->spoken : slug);
}

static char **split_slugs(const char *slugs)
{
    return g_strsplit(slugs != NULL ? slugs : "", ", ", -1);
}

const char *spl_album_materials(struct spl_album *album, const char *slugs)
{
    return spl_album_take(album, spl_label_materials(album->tables, slugs));
}

const char *spl_album_latin(struct spl_album *album, const char *slugs)
{
    return spl_album_take(album, spl_label_latin(album->tables, slugs));
}

const char *spl_album_preparation(struct spl_album *album, const char *slug)
{
    const struct spl_preparation *preparation =
        slug != NULL ? spl_tables_preparation_by_slug(album->tables, slug) : NULL;

    return preparation != NULL ? preparation->name : slug;
}

const char *spl_album_what(struct spl_album *album, const char *materials, const char *preparation)
{
    return spl_album_take(album, g_strdup_printf("%s %s", spl_album_materials(album, materials),
                                                 spl_album_preparation(album, preparation)));
}

static void add_caution(struct spl_album *album, GArray *all, const char *plant, const char *how,
                        const char *words)
{
    const char *kept;
    gsize n = words != NULL ? strlen(words) : 0;

    if (n == 0)
        return;
    kept = spl_album_take(album, g_strdup_printf("%s%s%s%s", plant != NULL ? plant : "", how, words,
                                                 strchr(".!?", words[n - 1]) != NULL ? "" : "."));
    for (guint i = 0; i < all->len; i++)
        if (strcmp(g_array_index(all, const char *, i), kept) == 0)
            return;
    g_array_append_val(all, kept);
}

/* Each of the words, behind the plant's name where there are several plants. */
static void add_words(struct spl_album *album, GArray *all, const char *plant, GPtrArray *words)
{
    for (guint i = 0; i < words->len; i++)
        add_caution(album, all, plant, plant != NULL ? ": " : "",
                    plant != NULL ? g_ptr_array_index(words, i)
                                  : spl_album_capital(album, g_ptr_array_index(words, i)));
}

GArray *spl_album_sentences(struct spl_album *album, const GPtrArray *sentences)
{
    GArray *all = spl_album_array(album, sizeof(const char *));

    for (guint i = 0; i < sentences->len; i++) {
        const char *kept = spl_album_text(album, g_ptr_array_index(sentences, i));

        g_array_append_val(all, kept);
    }
    return all;
}

GArray *spl_album_cautions(struct spl_album *album, const char *slugs)
{
    g_autoptr(GPtrArray) sentences = g_ptr_array_new_with_free_func(g_free);

    spl_label_add_care(album->tables, slugs, sentences);
    return spl_album_sentences(album, sentences);
}

GArray *spl_album_warnings(struct spl_album *album, const char *slugs, gsize *n_lookalikes)
{
    g_auto(GStrv) each = split_slugs(slugs);
    GArray *all = spl_album_array(album, sizeof(const char *));

    for (int round = 0; round < 2; round++) {
        for (guint i = 0; each[i] != NULL; i++) {
            const struct spl_material *material = row_of(album, each[i]);
            g_autoptr(GPtrArray) words = NULL;
            const char *plant;

            if (material == NULL)
                continue;
            plant = spl_album_capital(album, material->plant->common);
            if (round == 0) {
                add_caution(album, all, plant, ", look-alikes: ", material->plant->lookalikes);
                continue;
            }
            words = spl_care_of_picker(material);
            add_words(album, all, plant, words);
        }
        if (round == 0)
            *n_lookalikes = all->len;
    }
    return all;
}

/* ---- the file ---- */

gboolean spl_album_write(struct spl_album *album, GBytes *bytes, struct spl_page_report *report,
                         const char *of, struct spl_picture *picture, GError **error)
{
    gboolean ok = FALSE;

    if (bytes != NULL) {
        gsize size;
        const char *data = g_bytes_get_data(bytes, &size);

        ok = album->shows_places ? spl_file_write_private(album->to->out, data, size, error)
                                 : spl_file_write(album->to->out, data, size, error);
        g_bytes_unref(bytes);
    }
    if (ok) {
        picture->file = g_strdup(album->to->out);
        picture->of = g_strdup(of);
        picture->pages = report->pages;
        picture->warnings = g_ptr_array_new_with_free_func(g_free);
        for (guint i = 0; i < report->warnings->len; i++)
            g_ptr_array_add(picture->warnings, g_strdup(g_ptr_array_index(report->warnings, i)));
    }
    spl_page_report_clear(report);
    return ok;
}

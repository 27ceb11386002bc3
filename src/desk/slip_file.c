/* SPDX-License-Identifier: MIT
 *
 * The slip's file. See desk/slip.h.
 */
#include "desk/slip.h"

#include <string.h>

#include "base/file.h"
#include "simpling/error.h"

#define OURS_MAX (16 * 1024 * 1024)

/* How each form begins, near enough to its beginning. */
static const char page_mark[] = "content=\"simpling-slip\"", text_mark[] = "SIMPLING SLIP: ";

static gboolean may_write(const struct spl_slip_words *said, GError **error)
{
    g_autofree char *there = NULL;
    gsize size = 0;

    if (!spl_file_is_target(said->out, error))
        return FALSE;
    if (said->force || !g_file_test(said->out, G_FILE_TEST_EXISTS))
        return TRUE;
    there = spl_file_read(said->out, OURS_MAX, &size, error);
    if (there == NULL)
        return FALSE;
    if (size == 0 || g_str_has_prefix(there, text_mark) ||
        g_strstr_len(there, (gssize)MIN(size, 2000), page_mark) != NULL)
        return TRUE;
    spl_error_set_input(
        error, SPL_ERROR_CONFLICT, "force",
        "%s is there already and is no slip of simpling's; name another file, or say "
        "that it is to be replaced",
        said->out);
    return FALSE;
}

static int count_materials(const struct spl_slip *slip)
{
    guint n = 0;

    for (guint i = 0; i < slip->places->len; i++)
        n += g_array_index(slip->places, struct spl_slip_place, i).materials->len;
    return (int)n;
}

gboolean spl_slip_write(struct spl_house *house, const struct spl_slip_words *said,
                        struct spl_slip_written *written, GError **error)
{
    g_autofree char *content = NULL;
    struct spl_slip slip;
    gsize size;
    gboolean page = said->out != NULL && g_str_has_suffix(said->out, ".html"), ok;

    if (!page && (said->out == NULL || !g_str_has_suffix(said->out, ".txt"))) {
        spl_error_set_input(error, SPL_ERROR_USAGE, "out",
                            "a slip is a file FILE.html or FILE.txt");
        return FALSE;
    }
    if (!may_write(said, error) || !spl_slip_make(house, said, &slip, error))
        return FALSE;
    content = page ? spl_slip_page(&slip) : spl_slip_text(&slip);
    size = strlen(content);
    ok = spl_file_write_private(said->out, content, size, error);
    if (ok) {
        *written = (struct spl_slip_written){
            .file = g_strdup(said->out),
            .of = g_strdup(slip.of),
            .slip = g_strdup(slip.id),
            .first = slip.first,
            .last = slip.last,
            .places = (int)slip.places->len,
            .materials = count_materials(&slip),
            .bytes = (int)size,
            .cautions = g_ptr_array_new_with_free_func(g_free),
        };
        if (page)
            g_ptr_array_add(
                written->cautions,
                g_strdup("send it by messenger, cloud folder or cable; mail may hold a page "
                         "back, then send it as .zip, or the .txt beside it. On Android open "
                         "it with Chrome: Firefox does not offer itself"));
        if (slip.positions)
            g_ptr_array_add(written->cautions, g_strdup("it tells where the places are"));
    }
    spl_record_clear(&spl_slip_shape, &slip);
    return ok;
}

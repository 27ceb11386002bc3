/* SPDX-License-Identifier: MIT
 *
 * The almanac page out of the book. See simpling/picture.h.
 */
#include <math.h>
#include <string.h>

#include "book/site.h"
#include "picture/season_page.h"
#include "season/album.h"
#include "season/album_places.h"
#include "season/ground.h"
#include "simpling/batch.h"
#include "simpling/plan.h"
#include "simpling/record/almanac.h"
#include "simpling/window.h"

struct gathering {
    struct spl_album *album;
    const struct spl_places_known *known;
    gboolean all;
    GHashTable *verdicts; /* site -> enum spl_verdict */
    GArray *lines;        /* of struct spl_season_page_line */
    GPtrArray *windows;   /* of GArray of windows, beside the lines */
    GHashTable *at;       /* "site|material|use" -> line + 1 */
    GArray *slugs;        /* of const char *, beside the lines: the material */
    GArray *sites;        /* of const char *: NULL of the almanac's place */
    GArray *outings;      /* of struct spl_season_page_outing */
    GPtrArray *picks;     /* of GArray of gsize, beside the lines */
    GArray *batches;
    gboolean almanac;  /* some dates are not moved to the place */
    gboolean left_out; /* windows of plants not known at a place */
};

static gboolean take_verdict(const struct spl_site *site, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_verdict_result result;

    if (!spl_ground_judge(gathering->album->house, site, spl_house_today(gathering->album->house),
                          NULL, &result, error))
        return FALSE;
    g_hash_table_insert(gathering->verdicts, g_strdup(site->name), GINT_TO_POINTER(result.verdict));
    spl_verdict_result_clear(&result);
    return TRUE;
}

static guint line_for(struct gathering *gathering, const struct spl_window *window)
{
    struct spl_album *album = gathering->album;
    char *key = g_strdup_printf("%s|%s|%s", window->site != NULL ? window->site : "",
                                window->material, window->use != NULL ? window->use : "");
    guint at = GPOINTER_TO_UINT(g_hash_table_lookup(gathering->at, key));
    const struct spl_material *material =
        spl_tables_material_by_slug(album->tables, window->material);
    struct spl_season_page_line line = {0};

    if (at != 0) {
        g_free(key);
        return at - 1;
    }
    if (material != NULL) {
        line.plant = spl_album_capital(album, material->plant->common);
        line.latin = material->plant->latin;
        line.part = spl_part_name(material->part);
    } else {
        g_auto(GStrv) halves = g_strsplit(window->material, "/", 2);

        line.plant = spl_album_text(album, halves[0]);
        line.part = spl_album_text(album, halves[1] != NULL ? halves[1] : "");
    }
    if (g_strcmp0(window->use, SPL_USE_MEDICINE) != 0)
        line.use = spl_album_text(album, window->use);
    line.place = spl_album_text(album, window->site != NULL ? window->site : "the almanac's place");
    if (window->site != NULL)
        line.verdict = (enum spl_verdict)GPOINTER_TO_INT(
            g_hash_table_lookup(gathering->verdicts, window->site));
    line.basis = spl_basis_names[window->basis];
    {
        const char *slug = spl_album_text(album, window->material);
        const char *site = spl_album_text(album, window->site);

        g_array_append_val(gathering->slugs, slug);
        g_array_append_val(gathering->sites, site);
    }
    g_array_append_val(gathering->lines, line);
    g_ptr_array_add(gathering->windows,
                    spl_album_array(album, sizeof(struct spl_season_page_window)));
    g_hash_table_insert(gathering->at, key, GUINT_TO_POINTER(gathering->lines->len));
    return gathering->lines->len - 1;
}

static gboolean take_window(const struct spl_window_told *told, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    const struct spl_window *window = &told->window;
    struct spl_season_page_window drawn = {window->earliest, window->likely_start,
                                           window->likely_end, window->latest};
    guint line;

    (void)error;
    if (!gathering->all &&
        !spl_places_known_has(gathering->known, window->site, window->material)) {
        gathering->left_out = TRUE;
        return TRUE;
    }
    gathering->almanac = gathering->almanac || window->basis == SPL_BASIS_ALMANAC;
    line = line_for(gathering, window); /* first: it may move the array */
    g_array_append_val((GArray *)g_ptr_array_index(gathering->windows, line), drawn);
    return TRUE;
}

/* ---- outings ---- */

/* The lines of this material at this site, whatever their use. */
static void mark_lines(struct gathering *gathering, const char *site, const char *slug,
                       gsize outing)
{
    const char *place = spl_album_text(gathering->album, site);

    for (guint i = 0; i < gathering->lines->len; i++) {
        const struct spl_season_page_line *line =
            &g_array_index(gathering->lines, struct spl_season_page_line, i);
        g_autofree char *prefix = g_strdup_printf("%s|%s|", place, slug);
        GHashTableIter iter;
        gpointer key, at;

        if (strcmp(line->place, place) != 0)
            continue;
        g_hash_table_iter_init(&iter, gathering->at);
        while (g_hash_table_iter_next(&iter, &key, &at))
            if (GPOINTER_TO_UINT(at) == i + 1 && g_str_has_prefix(key, prefix))
                g_array_append_val((GArray *)g_ptr_array_index(gathering->picks, i), outing);
    }
}

static void take_outing(struct gathering *gathering, const struct spl_plan_outing *outing)
{
    g_autoptr(GPtrArray) places = g_ptr_array_new();
    struct spl_season_page_outing drawn = {.day = outing->date, .reserve = outing->reserve};
    gsize number = gathering->outings->len;

    for (guint i = 0; i < outing->sites->len; i++) {
        const struct spl_plan_stop *stop = &g_array_index(outing->sites, struct spl_plan_stop, i);

        g_ptr_array_add(places, stop->site);
        for (guint k = 0; k < stop->takes->len; k++)
            mark_lines(gathering, stop->site,
                       g_array_index(stop->takes, struct spl_plan_take, k).material, number);
    }
    g_ptr_array_add(places, NULL);
    drawn.places = spl_album_take(gathering->album, g_strjoinv(", ", (char **)places->pdata));
    g_array_append_val(gathering->outings, drawn);
}

static gboolean take_outings(struct gathering *gathering, int year, GError **error)
{
    struct spl_plan_outings plan = {0};

    for (guint i = 0; i < gathering->lines->len; i++)
        g_ptr_array_add(gathering->picks, spl_album_array(gathering->album, sizeof(gsize)));
    if (!spl_plan_kept(gathering->album->house, year, &plan, error))
        return FALSE;
    for (guint i = 0; plan.outings != NULL && i < plan.outings->len; i++)
        take_outing(gathering, &g_array_index(plan.outings, struct spl_plan_outing, i));
    spl_record_clear(&spl_plan_outings_shape, &plan);
    return TRUE;
}

static struct spl_day ready_of(const struct spl_batch *batch)
{
    for (guint i = 0; i < batch->steps->len; i++) {
        const struct spl_batch_step *step = &g_array_index(batch->steps, struct spl_batch_step, i);

        if (strcmp(step->step, "ready") == 0)
            return step->due;
    }
    return SPL_DAY_NONE;
}

static gboolean take_batch(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct gathering *gathering = data;
    struct spl_album *album = gathering->album;
    struct spl_season_page_batch drawn = {
        .code = spl_album_text(album, batch->code),
        .what = spl_album_what(album, batch->materials, batch->preparation),
        .started = batch->started,
        .ready = ready_of(batch),
        .pressed = batch->pressed,
    };

    (void)error;
    if (batch->state == SPL_BATCH_STANDS || batch->state == SPL_BATCH_PRESSED)
        g_array_append_val(gathering->batches, drawn);
    return TRUE;
}

static gboolean gather(struct gathering *gathering, const struct spl_picture_season_words *what,
                       int year, GError **error)
{
    struct spl_house *house = gathering->album->house;
    struct spl_window_words words = {.year = year,
                                     .site = what->site,
                                     .near = {NAN, NAN},
                                     .on = SPL_DAY_NONE,
                                     .material = what->material};

    if (!spl_site_each(house->book, take_verdict, gathering, error) ||
        !spl_window_list(house, &words, take_window, gathering, error) ||
        !spl_batch_each_full(house, TRUE, take_batch, gathering, error) ||
        !take_outings(gathering, year, error))
        return FALSE;
    for (guint i = 0; i < gathering->lines->len; i++) {
        struct spl_season_page_line *line =
            &g_array_index(gathering->lines, struct spl_season_page_line, i);
        const GArray *windows = g_ptr_array_index(gathering->windows, i);

        const GArray *picks = g_ptr_array_index(gathering->picks, i);

        line->windows = (const struct spl_season_page_window *)(void *)windows->data;
        line->n_windows = windows->len;
        line->outings = (const gsize *)(void *)picks->data;
        line->n_outings = picks->len;
    }
    return TRUE;
}

/* What was drawn, and where each line of it lies. */
struct drawn {
    GBytes *bytes;
    struct spl_page_report report;
    GArray *rows;  /* struct spl_season_page_row; NULL: nobody asks */
    GArray *spots; /* struct spl_season_spot: made of them */
};

static char *days_of(const struct spl_season_page_line *line)
{
    GString *days = g_string_new(NULL);

    for (gsize i = 0; i < line->n_windows; i++) {
        const struct spl_season_page_window *window = &line->windows[i];
        g_autofree char *from = spl_day_words(window->earliest),
                        *to = spl_day_words(window->latest);

        g_string_append_printf(days, "%sfrom %s to %s", i > 0 ? ", " : "", from, to);
    }
    return g_string_free(days, FALSE);
}

static void tell_spots(const struct gathering *gathering, struct drawn *drawn)
{
    for (guint i = 0; drawn->rows != NULL && i < drawn->rows->len; i++) {
        const struct spl_season_page_row *row =
            &g_array_index(drawn->rows, struct spl_season_page_row, i);
        const struct spl_season_page_line *line =
            &g_array_index(gathering->lines, struct spl_season_page_line, row->line);
        struct spl_season_spot spot = {
            .site = g_strdup(g_array_index(gathering->sites, const char *, row->line)),
            .material = g_strdup(g_array_index(gathering->slugs, const char *, row->line)),
            .words =
                g_strdup_printf("%s %s%s%s", line->plant, line->part, line->use != NULL ? ", " : "",
                                line->use != NULL ? line->use : ""),
            .days = days_of(line),
            .x = row->x,
            .y = row->y,
            .w = row->w,
            .h = row->h,
        };

        g_array_append_val(drawn->spots, spot);
    }
}

static gboolean make(struct spl_album *album, const struct spl_picture_season_words *what,
                     struct drawn *drawn, GError **error)
{
    g_autoptr(spl_places_known) known = spl_places_known_new(album->house, error);
    g_autoptr(GHashTable) verdicts = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GHashTable) at = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GPtrArray) windows = g_ptr_array_new();
    g_autoptr(GPtrArray) picks = g_ptr_array_new();
    struct spl_day today = spl_house_today(album->house);
    const char *notes[2];
    gsize n_notes = 0;
    double lat = 50.0, lon = 0.0;
    int year;

    if (known == NULL)
        return FALSE;
    spl_house_setting_place(album->house, &lat, &lon);
    year = what->year != SPL_COUNT_NONE ? what->year : spl_day_season(today, lat);
    struct gathering gathering = {
        .album = album,
        .known = known,
        .all = what->all || what->site != NULL || what->material != NULL ||
               !spl_places_known_any(known),
        .verdicts = verdicts,
        .at = at,
        .windows = windows,
        .picks = picks,
        .slugs = spl_album_array(album, sizeof(const char *)),
        .sites = spl_album_array(album, sizeof(const char *)),
        .outings = spl_album_array(album, sizeof(struct spl_season_page_outing)),
        .lines = spl_album_array(album, sizeof(struct spl_season_page_line)),
        .batches = spl_album_array(album, sizeof(struct spl_season_page_batch)),
    };
    if (!gather(&gathering, what, year, error))
        return FALSE;
    if (gathering.almanac)
        notes[n_notes++] = "Dates that rest on an almanac alone are those of its own place; they "
                           "are not yet moved to yours.";
    if (gathering.left_out)
        notes[n_notes++] = "Only plants that were seen or gathered at a place are shown there; "
                           "the picture of all shows every window.";
    struct spl_season_page page = {
        .today = today,
        .lines = (const struct spl_season_page_line *)(void *)gathering.lines->data,
        .n_lines = gathering.lines->len,
        .outings = (const struct spl_season_page_outing *)(void *)gathering.outings->data,
        .n_outings = gathering.outings->len,
        .batches = (const struct spl_season_page_batch *)(void *)gathering.batches->data,
        .n_batches = gathering.batches->len,
        .notes = notes,
        .n_notes = n_notes,
        .rows = drawn->rows,
    };
    spl_day_season_bounds(year, lat, &page.first, &page.last);
    drawn->bytes = spl_season_page_draw(&page, &album->options, &drawn->report, error);
    if (drawn->bytes != NULL)
        tell_spots(&gathering, drawn);
    return drawn->bytes != NULL;
}

static gboolean draw(struct spl_album *album, const void *words, struct spl_picture *picture,
                     GError **error)
{
    struct drawn drawn = {.bytes = NULL};

    return make(album, words, &drawn, error) &&
           spl_album_write(album, drawn.bytes, &drawn.report, "the season", picture, error);
}

static const struct spl_field spot_fields[] = {
    SPL_FIELD(spl_season_spot, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_season_spot, material, SPL_TEXT, "material", "material"),
    SPL_FIELD(spl_season_spot, words, SPL_TEXT, "words", "what"),
    SPL_FIELD(spl_season_spot, days, SPL_TEXT, "days", "days"),
    SPL_FIELD_NUM(spl_season_spot, x, 4, "x", NULL),
    SPL_FIELD_NUM(spl_season_spot, y, 4, "y", NULL),
    SPL_FIELD_NUM(spl_season_spot, w, 4, "w", NULL),
    SPL_FIELD_NUM(spl_season_spot, h, 4, "h", NULL),
};
const struct spl_shape spl_season_spot_shape =
    SPL_SHAPE("season_spot", spl_season_spot, spot_fields);

GArray *spl_picture_season_spots(struct spl_house *house, double *picture, GError **error)
{
    g_autoptr(GPtrArray) arrays = g_ptr_array_new_with_free_func((GDestroyNotify)g_array_unref);
    g_autoptr(GArray) rows = g_array_new(FALSE, FALSE, sizeof(struct spl_season_page_row));
    struct spl_album album = {.house = house,
                              .tables = spl_house_tables(house, error),
                              .texts = g_string_chunk_new(1024),
                              .arrays = arrays,
                              .options = {.format = SPL_PAGE_SVG}};
    struct drawn drawn = {.rows = rows, .spots = spl_list_new(&spl_season_spot_shape)};
    struct spl_picture_season_words what;
    gboolean ok;

    spl_inputs_init(&spl_picture_season_inputs, &what);
    ok = album.tables != NULL && make(&album, &what, &drawn, error);
    if (ok)
        *picture = drawn.report.width / drawn.report.whole;
    g_clear_pointer(&drawn.bytes, g_bytes_unref);
    spl_page_report_clear(&drawn.report);
    g_string_chunk_free(album.texts);
    if (ok)
        return drawn.spots;
    spl_list_free(&spl_season_spot_shape, drawn.spots);
    return NULL;
}

gboolean spl_picture_draw_season(struct spl_house *house,
                                 const struct spl_picture_season_words *said,
                                 struct spl_picture *picture, GError **error)
{
    return spl_album_draw(house, &spl_picture_season_inputs, said, draw, picture, error);
}

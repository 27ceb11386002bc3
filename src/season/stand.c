/* SPDX-License-Identifier: MIT
 *
 * Stands: counted, marked, rested, listed. See simpling/stand.h.
 */
#include "simpling/stand.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "book/stand.h"
#include "season/stand.h"
#include "simpling/error.h"

static const struct spl_field record_fields[] = {
    SPL_FIELD(spl_stand_record, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_stand_record, plant, SPL_TEXT, "plant", "plant"),
    SPL_FIELD(spl_stand_record, kind, SPL_TEXT, "kind", NULL),
    SPL_FIELD(spl_stand_record, part, SPL_TEXT, "part", "part"),
    SPL_FIELD(spl_stand_record, words, SPL_TEXT, "words", "noted"),
    SPL_FIELD_NUM(spl_stand_record, number, 3, "number", NULL),
    SPL_FIELD_NUM(spl_stand_record, cover, 3, "cover", NULL),
    SPL_FIELD(spl_stand_record, seen, SPL_TEXT, "seen", NULL),
    SPL_FIELD(spl_stand_record, on, SPL_DAY, "on", "on"),
    SPL_FIELD(spl_stand_record, by, SPL_TEXT, "by", "by"),
    SPL_FIELD(spl_stand_record, remark, SPL_TEXT, "remark", "remark"),
};
const struct spl_shape spl_stand_record_shape =
    SPL_SHAPE("stand_note", spl_stand_record, record_fields);

static const struct spl_field line_fields[] = {
    SPL_FIELD(spl_stand_line, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_stand_line, material, SPL_TEXT, "material", "material"),
    SPL_FIELD_NUM(spl_stand_line, grams, 0, "grams", "bears g"),
    SPL_FIELD_NUM(spl_stand_line, share, 3, "share", NULL),
    SPL_FIELD_NUM(spl_stand_line, allowance_g, 0, "allowance_g", "may take g"),
    SPL_FIELD_NUM(spl_stand_line, taken_g, 0, "taken_g", "taken g"),
    SPL_FIELD_NUM(spl_stand_line, left_g, 0, "left_g", "left g"),
    SPL_FIELD(spl_stand_line, plants, SPL_INT, "plants", NULL),
    SPL_FIELD(spl_stand_line, basis, SPL_TEXT, "basis", NULL),
    SPL_FIELD_SHOW(spl_stand_line, marked, SPL_DAY, "marked", "marked"),
    SPL_FIELD(spl_stand_line, note, SPL_TEXT, "note", "note"),
};
const struct spl_shape spl_stand_line_shape = SPL_SHAPE("stand", spl_stand_line, line_fields);

/* ---- noting -------------------------------------------------------------------------------- */

static char *words_of(const struct spl_stand_note *note)
{
    if (strcmp(note->kind, "plants") == 0)
        return g_strdup_printf("%d plants", note->plants);
    if (strcmp(note->kind, "area") == 0) {
        g_autofree char *area = spl_number_format(note->area_m2, 1);
        g_autofree char *cover = spl_percent_format(note->cover_frac);

        return g_strdup_printf("%s m2, %s covered", area, cover);
    }
    if (strcmp(note->kind, "grams") == 0) {
        g_autofree char *mass = spl_mass_format(note->grams);

        return g_strdup_printf("%s of %s", mass, note->part);
    }
    if (strcmp(note->kind, "share") == 0) {
        g_autofree char *share = spl_percent_format(note->share_frac);

        return g_strdup_printf("at most %s may be taken", share);
    }
    if (strcmp(note->kind, "rest") == 0)
        return note->until > 0 ? g_strdup_printf("rests until %d", note->until)
                               : g_strdup("no longer rests");
    return g_strdup_printf("found in %s", note->seen);
}

static double number_of(const struct spl_stand_note *note)
{
    if (strcmp(note->kind, "plants") == 0)
        return note->plants;
    if (strcmp(note->kind, "area") == 0)
        return note->area_m2;
    if (strcmp(note->kind, "grams") == 0)
        return note->grams;
    if (strcmp(note->kind, "share") == 0)
        return note->share_frac;
    return strcmp(note->kind, "rest") == 0 && note->until > 0 ? (double)note->until : (double)NAN;
}

/* Begins a note: the site, the plant, the day, who. */
static gboolean begin_note(struct spl_house *house, const struct spl_stand_words *words,
                           struct spl_site *site, struct spl_stand_note *note, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    const struct spl_plant *plant;

    if (tables == NULL || !spl_tables_plant(tables, words->plant, &plant, error) ||
        !spl_house_past(house, words->on, "--on", error))
        return FALSE;
    *note = (struct spl_stand_note){.plant = g_strdup(plant->slug),
                                    .plants = -1,
                                    .area_m2 = NAN,
                                    .cover_frac = NAN,
                                    .grams = NAN,
                                    .share_frac = NAN,
                                    .on = words->on,
                                    .by = spl_house_who(house, words->by)};
    if (words->remark != NULL) {
        note->remark = spl_text_clean(words->remark, "--remark", SPL_REMARK_MAX, TRUE, error);
        if (note->remark == NULL) {
            spl_stand_note_clear(note);
            return FALSE;
        }
    }
    if (!spl_site_find(house->book, words->site, site, error)) {
        spl_stand_note_clear(note);
        return FALSE;
    }
    note->site_id = site->id;
    return TRUE;
}

/* Writes the notes in one go and fills `record` from the first. Clears all. */
static gboolean end_notes(struct spl_house *house, struct spl_site *site,
                          struct spl_stand_note *notes, int n, gboolean ok,
                          struct spl_stand_record *record, GError **error)
{
    if (ok) {
        ok = spl_book_begin(house->book, error);
        if (ok) {
            for (int i = 0; i < n && ok; i++)
                ok = spl_stand_note_add(house->book, &notes[i], error);
            ok = spl_book_finish(house->book, ok, error);
        }
    }
    if (ok)
        *record = (struct spl_stand_record){.site = g_strdup(site->name),
                                            .plant = g_strdup(notes[0].plant),
                                            .kind = g_strdup(notes[0].kind),
                                            .part = g_strdup(notes[0].part),
                                            .words = words_of(&notes[0]),
                                            .number = number_of(&notes[0]),
                                            .cover = notes[0].cover_frac,
                                            .seen = g_strdup(notes[0].seen),
                                            .on = notes[0].on,
                                            .by = g_strdup(notes[0].by),
                                            .remark = g_strdup(notes[0].remark)};
    for (int i = 0; i < n; i++)
        spl_stand_note_clear(&notes[i]);
    spl_record_clear(&spl_site_shape, site);
    return ok;
}

static gboolean read_size(const struct spl_stand_words *words, struct spl_stand_note *note,
                          GError **error)
{
    enum spl_part part;

    if ((words->cover != NULL) != (words->area != NULL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "stand set: --area and --cover go together: 40m2 of which 30%%");
        return FALSE;
    }
    if ((words->part != NULL) != (words->grams != NULL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "stand set: --grams and --part go together: how many grams of which part");
        return FALSE;
    }
    if (words->plants != NULL) {
        note->kind = g_strdup("plants");
        return spl_count_parse(words->plants, "--plants", 0, 100000000, &note->plants, error);
    }
    if (words->area != NULL) {
        note->kind = g_strdup("area");
        return spl_area_parse(words->area, "--area", &note->area_m2, error) &&
               spl_share_parse(words->cover, "--cover", &note->cover_frac, error);
    }
    note->kind = g_strdup("grams");
    if (!spl_number_parse(words->grams, "--grams", 0, 1e9, &note->grams, error) ||
        !spl_part_parse(words->part, "--part", &part, error))
        return FALSE;
    note->part = g_strdup(spl_part_name(part));
    return TRUE;
}

gboolean spl_stand_set(struct spl_house *house, const struct spl_stand_words *words,
                       struct spl_stand_record *record, GError **error)
{
    struct spl_stand_note notes[2] = {{0}};
    struct spl_site site;
    int sizes = (words->plants != NULL) + (words->area != NULL) + (words->grams != NULL), n = 0;
    gboolean ok = TRUE;

    if (sizes > 1 || (sizes == 0 && words->share == NULL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_USAGE,
                    "stand set: say one of --plants N, --area 40m2 --cover 30%%, --grams G --part "
                    "PART; or --share 5%%");
        return FALSE;
    }
    if (!begin_note(house, words, &site, &notes[0], error))
        return FALSE;
    if (sizes == 1) {
        ok = read_size(words, &notes[0], error);
        n = 1;
    }
    if (ok && words->share != NULL) {
        struct spl_stand_note *note = &notes[n];

        if (n == 1)
            *note = (struct spl_stand_note){.site_id = notes[0].site_id,
                                            .plant = g_strdup(notes[0].plant),
                                            .plants = -1,
                                            .area_m2 = NAN,
                                            .cover_frac = NAN,
                                            .grams = NAN,
                                            .on = notes[0].on,
                                            .by = g_strdup(notes[0].by)};
        note->kind = g_strdup("share");
        ok = spl_share_parse(words->share, "--share", &note->share_frac, error);
        n++;
    }
    return end_notes(house, &site, notes, MAX(n, 1), ok, record, error);
}

gboolean spl_stand_mark(struct spl_house *house, const struct spl_stand_words *words,
                        struct spl_stand_record *record, GError **error)
{
    struct spl_stand_note note;
    struct spl_site site;
    gboolean ok;

    if (!begin_note(house, words, &site, &note, error))
        return FALSE;
    note.kind = g_strdup("mark");
    note.seen = spl_text_clean(words->seen, "--seen", SPL_NAME_MAX, FALSE, error);
    ok = note.seen != NULL &&
         (words->growth_year == NULL ||
          spl_count_parse(words->growth_year, "--growth-year", 1, 99, &note.growth_year, error));
    return end_notes(house, &site, &note, 1, ok, record, error);
}

gboolean spl_stand_rest(struct spl_house *house, const struct spl_stand_words *words,
                        struct spl_stand_record *record, GError **error)
{
    struct spl_stand_note note;
    struct spl_site site;
    gboolean ok = TRUE;

    if (!begin_note(house, words, &site, &note, error))
        return FALSE;
    note.kind = g_strdup("rest");
    if (*words->until != '\0')
        ok = spl_count_parse(words->until, "--until", 1900, 9999, &note.until, error);
    if (ok && *words->until != '\0' && note.until <= spl_day_season(words->on, site.lat)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "--until: %d is not after the season of today; name the first season in which "
                    "the stand may be picked again",
                    note.until);
        ok = FALSE;
    }
    return end_notes(house, &site, &note, 1, ok, record, error);
}

/* ---- judging ------------------------------------------------------------------------------- */

gboolean spl_stand_judge(struct spl_house *house, const struct spl_site *site,
                         const struct spl_material *material, struct spl_day on,
                         struct spl_stand_allowance *allowance, gboolean *known, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    g_autoptr(GArray) notes = NULL;
    g_autoptr(GArray) takings = NULL;
    struct spl_stand stand;

    if (tables == NULL)
        return FALSE;
    notes = spl_stand_notes(house->book, site->id, material->plant->slug, error);
    if (notes == NULL)
        return FALSE;
    takings =
        spl_stand_takings(house->book, tables, site->id, material->plant->slug, site->lat, error);
    if (takings == NULL)
        return FALSE;
    if (known != NULL)
        *known = notes->len > 0;
    stand = spl_stand_of_notes(notes, material->plant->slug, on);
    spl_stand_allowance(&stand, material, takings, spl_day_season(on, site->lat), allowance);
    return TRUE;
}

gboolean spl_stand_marked(struct spl_house *house, gint64 site_id, const char *plant,
                          struct spl_day on, struct spl_day *marked, GError **error)
{
    g_autoptr(GArray) notes = spl_stand_notes(house->book, site_id, plant, error);
    const struct spl_stand_note *mark;

    if (notes == NULL)
        return FALSE;
    mark = spl_stand_mark_of(notes, plant, on);
    *marked = mark != NULL ? mark->on : SPL_DAY_NONE;
    return TRUE;
}

/* ---- listing ------------------------------------------------------------------------------- */

struct lines {
    struct spl_house *house;
    const struct spl_tables *tables;
    int season;
    GArray *list;
};

static gboolean add_lines(struct lines *lines, const struct spl_site *site, const GArray *notes,
                          const char *plant, GError **error)
{
    GPtrArray *materials = spl_tables_materials(lines->tables);
    struct spl_day first, last;
    int season =
        lines->season != 0 ? lines->season : spl_day_season(lines->house->today, site->lat);
    struct spl_day on;
    struct spl_stand stand;
    const struct spl_stand_note *mark;

    spl_day_season_bounds(season, site->lat, &first, &last);
    on = spl_day_compare(last, lines->house->today) < 0 ? last : lines->house->today;
    stand = spl_stand_of_notes(notes, plant, on);
    mark = spl_stand_mark_of(notes, plant, on);
    for (guint m = 0; m < materials->len; m++) {
        const struct spl_material *material = g_ptr_array_index(materials, m);
        g_autoptr(GArray) takings = NULL;
        struct spl_stand_allowance allowance;
        struct spl_stand_line line;

        if (strcmp(material->plant->slug, plant) != 0)
            continue;
        /* A stand known only by the grams of one part says nothing of the others. */
        if (stand.plants < 0 && isnan(stand.area_m2) && isnan(stand.grams[material->part]) &&
            stand.rest_until == 0)
            continue;
        takings =
            spl_stand_takings(lines->house->book, lines->tables, site->id, plant, site->lat, error);
        if (takings == NULL)
            return FALSE;
        spl_stand_allowance(&stand, material, takings, season, &allowance);
        line = (struct spl_stand_line){
            .site = g_strdup(site->name),
            .material = g_strdup(material->slug),
            .grams = allowance.bears_g,
            .share = allowance.share_frac,
            .allowance_g = allowance.allowance_g,
            .taken_g = allowance.taken_g,
            .left_g = allowance.left_g,
            .plants = allowance.plants,
            .basis = g_strdup(allowance.basis),
            .marked = mark != NULL ? mark->on : SPL_DAY_NONE,
            .note = g_strdup(allowance.reason),
        };
        spl_stand_allowance_clear(&allowance);
        g_array_append_val(lines->list, line);
    }
    return TRUE;
}

static gboolean add_site(const struct spl_site *site, gpointer data, GError **error)
{
    struct lines *lines = data;
    g_autoptr(GArray) notes = spl_stand_notes(lines->house->book, site->id, NULL, error);

    if (notes == NULL)
        return FALSE;
    for (guint i = 0; i < notes->len; i++) {
        const char *plant = g_array_index(notes, struct spl_stand_note, i).plant;

        /* Notes come sorted by plant. */
        if (i > 0 && strcmp(g_array_index(notes, struct spl_stand_note, i - 1).plant, plant) == 0)
            continue;
        if (!add_lines(lines, site, notes, plant, error))
            return FALSE;
    }
    return TRUE;
}

GArray *spl_stand_lines(struct spl_house *house, const char *site, int season, GError **error)
{
    struct lines lines = {.house = house, .season = season};
    gboolean ok;

    lines.tables = spl_house_tables(house, error);
    if (lines.tables == NULL)
        return NULL;
    lines.list = spl_list_new(&spl_stand_line_shape);
    if (site != NULL) {
        struct spl_site found;

        ok = spl_site_find(house->book, site, &found, error);
        if (ok) {
            ok = add_site(&found, &lines, error);
            spl_record_clear(&spl_site_shape, &found);
        }
    } else {
        ok = spl_site_each(house->book, add_site, &lines, error);
    }
    if (!ok) {
        spl_list_free(&spl_stand_line_shape, lines.list);
        return NULL;
    }
    return lines.list;
}

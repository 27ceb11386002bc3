/* SPDX-License-Identifier: MIT
 *
 * Stands: counted, marked, rested, listed. See simpling/stand.h.
 */
#include "simpling/stand.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "book/stand.h"
#include "season/stand.h"
#include "simpling/entry.h"
#include "simpling/error.h"

static const struct spl_field record_fields[] = {
    SPL_FIELD(spl_stand_record, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_stand_record, plant, SPL_TEXT, "plant", "plant"),
    SPL_FIELD(spl_stand_record, kind, SPL_WORD, "kind", NULL, .names = spl_stand_kind_names),
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

/* ---- what is said --------------------------------------------------------------------------- */

#define NOTE_OF(record)                                                                            \
    SPL_INPUT(record, site, SITE, "site", "where it stands", .needed = 1),                         \
        SPL_INPUT(record, plant, PLANT, "plant", "which plant", .needed = 1)
#define NOTE_BY(record)                                                                            \
    SPL_INPUT(record, on, DAY, "on", "the day it was seen", .past = 1, .today = 1),                \
        SPL_INPUT(record, by, NAME, "by", "who saw it", .value = "WHO", .setting = "who"),         \
        SPL_INPUT(record, remark, TEXT, "remark", "anything to remember")

static const struct spl_input stand_rows[] = {
    NOTE_OF(spl_stand_words),
    SPL_INPUT(spl_stand_words, plants, COUNT, "plants", "counted", .max = 100000000),
    SPL_INPUT(spl_stand_words, area_m2, AREA, "area", "paced area, with its cover",
              .value = "40m2"),
    SPL_INPUT(spl_stand_words, cover_frac, SHARE, "cover", "how much of it the plant covers",
              .value = "30%"),
    SPL_INPUT(spl_stand_words, grams, NUMBER, "grams", "fresh grams that it bears, with the part",
              .value = "G"),
    SPL_INPUT(spl_stand_words, part, NAME, "part", "of which part the grams are", .value = "PART"),
    SPL_INPUT(spl_stand_words, share_frac, SHARE, "share", "your own share that may be taken here",
              .value = "5%"),
    SPL_INPUT(spl_stand_words, grown, FLAG, "grown",
              "a bed that was sown or planted: it may give all"),
    NOTE_BY(spl_stand_words),
};
static const struct spl_rule stand_rules[] = {
    {SPL_RULE_SOME, {"plants", "area", "grams", "share", "grown"}},
    {SPL_RULE_MOST, {"share", "grown"}},
    {SPL_RULE_MOST, {"plants", "area", "grams"}},
    {SPL_RULE_WITH, {"area", "cover"}},
    {SPL_RULE_WITH, {"cover", "area"}},
    {SPL_RULE_WITH, {"grams", "part"}},
    {SPL_RULE_WITH, {"part", "grams"}},
};

static gboolean check_stand(const void *record, GError **error)
{
    const struct spl_stand_words *words = record;
    enum spl_part part;

    if (words->part == NULL || spl_part_parse(words->part, "part", &part, error))
        return TRUE;
    spl_error_about(error, "part");
    return FALSE;
}

const struct spl_inputs spl_stand_inputs =
    SPL_INPUTS("stand", spl_stand_words, stand_rows, SPL_RULES(stand_rules), .check = check_stand);

static const struct spl_input mark_rows[] = {
    NOTE_OF(spl_stand_mark_words),
    SPL_INPUT(spl_stand_mark_words, seen, NAME, "seen", "by what it was known",
              .value = "leaf|flower", .needed = 1),
    SPL_INPUT(spl_stand_mark_words, growth_year, COUNT, "growth_year",
              "of a biennial: rosette (1) or stalk (2)", .value = "1|2", .min = 1, .max = 99),
    NOTE_BY(spl_stand_mark_words),
};
const struct spl_inputs spl_stand_mark_inputs =
    SPL_INPUTS("stand_mark", spl_stand_mark_words, mark_rows);

static const struct spl_input rest_rows[] = {
    NOTE_OF(spl_stand_rest_words),
    SPL_INPUT(spl_stand_rest_words, until, COUNT, "until",
              "the first season in which it may be picked again", .value = "YEAR", .min = 1900,
              .max = 9999),
    SPL_INPUT(spl_stand_rest_words, end, FLAG, "end", "the rest is over"),
    NOTE_BY(spl_stand_rest_words),
};
static const struct spl_rule rest_rules[] = {{SPL_RULE_ONE, {"until", "end"}}};
const struct spl_inputs spl_stand_rest_inputs =
    SPL_INPUTS("stand_rest", spl_stand_rest_words, rest_rows, SPL_RULES(rest_rules));

static const struct spl_input taken_rows[] = {
    NOTE_OF(spl_stand_taken_words),
    SPL_INPUT(spl_stand_taken_words, share_frac, SHARE, "share",
              "how much of what may be taken in this season", .value = "40%"),
    SPL_INPUT(spl_stand_taken_words, grams, MASS, "grams", "or fresh grams, with the part"),
    SPL_INPUT(spl_stand_taken_words, part, NAME, "part", "of which part the grams are",
              .value = "PART"),
    SPL_INPUT(spl_stand_taken_words, on, DAY, "on", "the day it was seen", .past = 1, .today = 1),
    SPL_INPUT(spl_stand_taken_words, by, NAME, "by", "who picked (default: others)",
              .value = "WHO"),
    SPL_INPUT(spl_stand_taken_words, remark, TEXT, "remark", "anything to remember"),
};
static const struct spl_rule taken_rules[] = {{SPL_RULE_ONE, {"share", "grams"}},
                                              {SPL_RULE_WITH, {"grams", "part"}},
                                              {SPL_RULE_WITH, {"part", "grams"}}};

static gboolean check_part(const char *said, GError **error)
{
    enum spl_part part;

    if (said == NULL || spl_part_parse(said, "part", &part, error))
        return TRUE;
    spl_error_about(error, "part");
    return FALSE;
}

static gboolean check_taken(const void *record, GError **error)
{
    return check_part(((const struct spl_stand_taken_words *)record)->part, error);
}

const struct spl_inputs spl_stand_taken_inputs = SPL_INPUTS(
    "stand_taken", spl_stand_taken_words, taken_rows, SPL_RULES(taken_rules), .check = check_taken);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_stand_question, site, SITE, "site", "of one place"),
    SPL_INPUT(spl_stand_question, year, COUNT, "year", "another season", .value = "Y", .min = 1900,
              .max = 9999),
};
const struct spl_inputs spl_stand_question_inputs =
    SPL_INPUTS("stand_question", spl_stand_question, question_rows);

/* ---- noting -------------------------------------------------------------------------------- */

static char *words_of(const struct spl_stand_note *note)
{
    if (note->kind == SPL_STAND_PLANTS)
        return g_strdup_printf("%d plants", note->plants);
    if (note->kind == SPL_STAND_AREA) {
        g_autofree char *area = spl_area_format(note->area_m2);
        g_autofree char *cover = spl_percent_format(note->cover_frac);

        return g_strdup_printf("%s, %s covered", area, cover);
    }
    if (note->kind == SPL_STAND_GRAMS) {
        g_autofree char *mass = spl_mass_format(note->grams);

        return g_strdup_printf("%s of %s", mass, note->part);
    }
    if (note->kind == SPL_STAND_SHARE) {
        g_autofree char *share = spl_percent_format(note->share_frac);

        if (note->share_frac >= 1)
            return g_strdup("grown: all of it may be taken");
        return g_strdup_printf("at most %s may be taken", share);
    }
    if (note->kind == SPL_STAND_TAKEN && isnan(note->grams)) {
        g_autofree char *share = spl_percent_format(note->share_frac);

        return g_strdup_printf("%s of what may be taken was picked by %s", share, note->by);
    }
    if (note->kind == SPL_STAND_TAKEN) {
        g_autofree char *mass = spl_mass_format(note->grams);

        return g_strdup_printf("%s of %s were picked by %s", mass, note->part, note->by);
    }
    if (note->kind == SPL_STAND_REST)
        return note->until > 0 ? g_strdup_printf("rests until %d", note->until)
                               : g_strdup("no longer rests");
    return g_strdup_printf("found in %s", note->seen);
}

/* "12 plants, grown: all of it may be taken": of what was noted in one go. */
static char *words_of_all(const struct spl_stand_note *notes, int n)
{
    g_autofree char *first = words_of(&notes[0]), *second = n > 1 ? words_of(&notes[1]) : NULL;

    return second != NULL ? g_strdup_printf("%s, %s", first, second) : g_steal_pointer(&first);
}

static double number_of(const struct spl_stand_note *note)
{
    if (note->kind == SPL_STAND_PLANTS)
        return note->plants;
    if (note->kind == SPL_STAND_AREA)
        return note->area_m2;
    if (note->kind == SPL_STAND_GRAMS || (note->kind == SPL_STAND_TAKEN && !isnan(note->grams)))
        return note->grams;
    if (note->kind == SPL_STAND_SHARE || note->kind == SPL_STAND_TAKEN)
        return note->share_frac;
    return note->kind == SPL_STAND_REST && note->until > 0 ? (double)note->until : (double)NAN;
}

/* A note of nothing yet. */
static struct spl_stand_note begin_note(const struct spl_site *site, const char *plant,
                                        struct spl_day on, const char *by, const char *remark,
                                        enum spl_stand_kind kind)
{
    return (struct spl_stand_note){.site_id = site->id,
                                   .plant = g_strdup(plant),
                                   .kind = kind,
                                   .plants = -1,
                                   .area_m2 = NAN,
                                   .cover_frac = NAN,
                                   .grams = NAN,
                                   .share_frac = NAN,
                                   .on = on,
                                   .by = g_strdup(by),
                                   .remark = g_strdup(remark)};
}

/* Writes the notes in one go and fills `record` from the first. Clears all. */
static gboolean end_notes(struct spl_house *house, struct spl_site *site,
                          struct spl_stand_note *notes, int n, struct spl_stand_record *record,
                          GError **error)
{
    gboolean ok = spl_book_begin(house->book, error);

    if (ok) {
        for (int i = 0; i < n && ok; i++)
            ok = spl_stand_note_add(house->book, &notes[i], error);
        ok = spl_book_finish(house->book, ok, error);
    }
    if (ok)
        *record = (struct spl_stand_record){.site = g_strdup(site->name),
                                            .plant = g_strdup(notes[0].plant),
                                            .kind = notes[0].kind,
                                            .part = g_strdup(notes[0].part),
                                            .words = words_of_all(notes, n),
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

/* How much there is; FALSE: only a share was said. */
static gboolean note_size(const struct spl_site *site, const struct spl_stand_words *words,
                          struct spl_stand_note *note)
{
    const enum spl_stand_kind kind = words->plants != SPL_COUNT_NONE ? SPL_STAND_PLANTS
                                     : !isnan(words->area_m2)        ? SPL_STAND_AREA
                                                                     : SPL_STAND_GRAMS;
    enum spl_part part;

    if (kind == SPL_STAND_GRAMS && isnan(words->grams))
        return FALSE;
    *note = begin_note(site, words->plant, words->on, words->by, words->remark, kind);
    if (words->plants != SPL_COUNT_NONE)
        note->plants = words->plants;
    note->area_m2 = words->area_m2;
    note->cover_frac = words->cover_frac;
    note->grams = words->grams;
    if (words->part != NULL && spl_part_parse(words->part, "part", &part, NULL))
        note->part = g_strdup(spl_part_name(part));
    return TRUE;
}

gboolean spl_stand_set(struct spl_house *house, const struct spl_stand_words *said,
                       struct spl_stand_record *record, GError **error)
{
    struct spl_stand_note notes[2];
    struct spl_stand_words words;
    struct spl_site site;
    gboolean ok;
    int n;

    if (!spl_entry_take(house, &spl_stand_inputs, said, &words, error))
        return FALSE;
    ok = spl_house_site(house, "site", words.site, &site, error);
    if (ok) {
        n = note_size(&site, &words, &notes[0]) ? 1 : 0;
        if (words.grown)
            words.share_frac = 1;
        if (!isnan(words.share_frac)) {
            /* The remark is of the size, if there is one. */
            notes[n] = begin_note(&site, words.plant, words.on, words.by,
                                  n == 0 ? words.remark : NULL, SPL_STAND_SHARE);
            notes[n++].share_frac = words.share_frac;
        }
        ok = end_notes(house, &site, notes, n, record, error);
    }
    spl_inputs_clear(&spl_stand_inputs, &words);
    return ok;
}

gboolean spl_stand_mark(struct spl_house *house, const struct spl_stand_mark_words *said,
                        struct spl_stand_record *record, GError **error)
{
    struct spl_stand_mark_words words;
    struct spl_stand_note note;
    struct spl_site site;
    gboolean ok;

    if (!spl_entry_take(house, &spl_stand_mark_inputs, said, &words, error))
        return FALSE;
    ok = spl_house_site(house, "site", words.site, &site, error);
    if (ok) {
        note = begin_note(&site, words.plant, words.on, words.by, words.remark, SPL_STAND_MARK);
        note.seen = g_strdup(words.seen);
        if (words.growth_year != SPL_COUNT_NONE)
            note.growth_year = words.growth_year;
        ok = end_notes(house, &site, &note, 1, record, error);
    }
    spl_inputs_clear(&spl_stand_mark_inputs, &words);
    return ok;
}

gboolean spl_stand_rest(struct spl_house *house, const struct spl_stand_rest_words *said,
                        struct spl_stand_record *record, GError **error)
{
    struct spl_stand_rest_words words;
    struct spl_stand_note note;
    struct spl_site site;
    gboolean ok;

    if (!spl_entry_take(house, &spl_stand_rest_inputs, said, &words, error))
        return FALSE;
    ok = spl_house_site(house, "site", words.site, &site, error);
    if (ok && !words.end && words.until <= spl_day_season(words.on, site.lat)) {
        spl_error_set_input(error, SPL_ERROR_INVALID, "until",
                            "%d is not after the season of today; name the first season in which "
                            "the stand may be picked again",
                            words.until);
        spl_record_clear(&spl_site_shape, &site);
        ok = FALSE;
    } else if (ok) {
        note = begin_note(&site, words.plant, words.on, words.by, words.remark, SPL_STAND_REST);
        note.until = words.end ? 0 : words.until;
        ok = end_notes(house, &site, &note, 1, record, error);
    }
    spl_inputs_clear(&spl_stand_rest_inputs, &words);
    return ok;
}

/* A part of that plant that the tables know; its name, borrowed. */
static const char *known_part(struct spl_house *house, const char *plant, const char *said,
                              GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    g_autofree char *slug = NULL;
    enum spl_part part;

    if (tables == NULL || !spl_part_parse(said, "part", &part, error))
        return NULL;
    slug = g_strdup_printf("%s/%s", plant, spl_part_name(part));
    if (spl_tables_material_by_slug(tables, slug) != NULL)
        return spl_part_name(part);
    spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "part",
                        "the tables know no %s of %s; look at the list of materials",
                        spl_part_name(part), plant);
    return NULL;
}

gboolean spl_stand_taken(struct spl_house *house, const struct spl_stand_taken_words *said,
                         struct spl_stand_record *record, GError **error)
{
    struct spl_stand_taken_words words;
    const char *part = NULL;
    struct spl_stand_note note;
    struct spl_site site;
    gboolean ok;

    if (!spl_entry_take(house, &spl_stand_taken_inputs, said, &words, error))
        return FALSE;
    ok = words.part == NULL || (part = known_part(house, words.plant, words.part, error)) != NULL;
    ok = ok && spl_house_site(house, "site", words.site, &site, error);
    if (ok) {
        note = begin_note(&site, words.plant, words.on, words.by != NULL ? words.by : "others",
                          words.remark, SPL_STAND_TAKEN);
        note.share_frac = words.share_frac;
        note.grams = words.grams;
        note.part = g_strdup(part);
        ok = end_notes(house, &site, &note, 1, record, error);
    }
    spl_inputs_clear(&spl_stand_taken_inputs, &words);
    return ok;
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
    takings = spl_stand_takings(house->book, tables, site->id, material->plant->slug,
                                spl_day_season(on, site->lat), site->lat, error);
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
    GHashTable *known; /* not NULL: only which there are is wanted */
};

static gboolean add_lines(struct lines *lines, const struct spl_site *site, const GArray *notes,
                          const char *plant, GError **error)
{
    GPtrArray *materials = spl_tables_materials(lines->tables);
    g_autoptr(GArray) takings = NULL; /* of all parts */
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
        struct spl_stand_allowance allowance;
        struct spl_stand_line line;

        if (strcmp(material->plant->slug, plant) != 0)
            continue;
        /* A stand known only by the grams of one part says nothing of the others. */
        if (stand.plants < 0 && isnan(stand.area_m2) && isnan(stand.grams[material->part]) &&
            stand.rest_until == 0)
            continue;
        if (lines->known != NULL) {
            g_hash_table_add(lines->known, spl_stand_key(site->name, material->slug));
            continue;
        }
        if (takings == NULL)
            takings = spl_stand_takings(lines->house->book, lines->tables, site->id, plant, season,
                                        site->lat, error);
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

static gboolean add_site(const struct spl_site *site, gint64 at, gpointer data, GError **error)
{
    struct lines *lines = data;
    g_autoptr(GArray) notes = spl_stand_notes(lines->house->book, site->id, NULL, error);

    (void)at;
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

/* Those of one site (NULL: of all). */
static gboolean add_sites(struct lines *lines, const char *name, GError **error)
{
    struct spl_site site;
    gboolean ok;

    if (name == NULL)
        return spl_site_each_known(lines->house->book, G_MAXINT64, add_site, lines, error);
    if (!spl_house_site(lines->house, "site", name, &site, error))
        return FALSE;
    ok = add_site(&site, 0, lines, error);
    spl_record_clear(&spl_site_shape, &site);
    return ok;
}

char *spl_stand_key(const char *site, const char *material)
{
    return g_strconcat(site, "\n", material, NULL);
}

GHashTable *spl_stand_known(struct spl_house *house, GError **error)
{
    struct lines lines = {.house = house, .tables = spl_house_tables(house, error)};

    if (lines.tables == NULL)
        return NULL;
    lines.known = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    if (!add_sites(&lines, NULL, error))
        g_clear_pointer(&lines.known, g_hash_table_unref);
    return lines.known;
}

GArray *spl_stand_lines(struct spl_house *house, const struct spl_stand_question *said,
                        GError **error)
{
    struct lines lines = {.house = house, .tables = spl_house_tables(house, error)};
    struct spl_stand_question question;
    gboolean ok;

    if (lines.tables == NULL ||
        !spl_entry_take(house, &spl_stand_question_inputs, said, &question, error))
        return NULL;
    lines.season = question.year != SPL_COUNT_NONE ? question.year : 0;
    lines.list = spl_list_new(&spl_stand_line_shape);
    ok = add_sites(&lines, question.site, error);
    spl_inputs_clear(&spl_stand_question_inputs, &question);
    if (ok)
        return lines.list;
    spl_list_free(&spl_stand_line_shape, lines.list);
    return NULL;
}

/* SPDX-License-Identifier: MIT
 *
 * What an exported folder says of itself: README.txt and columns.csv, so that anyone can read it
 * without this program.
 */
#include <string.h>

#include "base/file.h"
#include "book/table.h"
#include "exchange/csv_write.h"
#include "season/carry_private.h"

/* What a row of each table is. */
static const struct {
    const char *table, *about;
} words[] = {
    {"almanac", "a calendar of windows that was added"},
    {"almanac_row", "one window of it: material, use and days"},
    {"amendment",
     "a correction: the row it corrects (subject), field and new value; the last by at "
     "and uuid holds"},
    {"answer", "what somebody said to a question"},
    {"baseline", "when the rules that judge changed in this book"},
    {"batch", "a making in a jar"},
    {"batch_step", "a step that was done: shaken, topped up, strained"},
    {"calendar_entry", "an entry of the calendars that were written"},
    {"calendar_file", "a calendar file as it was left"},
    {"calendar_sent", "what a calendar was last sent of an entry"},
    {"calendar_target", "a calendar that is written to"},
    {"calendar_theirs", "what the person made of a calendar entry there"},
    {"calendar_value", "every value that an entry ever had"},
    {"charge", "what went into a batch, with the figures that it was reckoned with"},
    {"day_off", "a day on which nobody goes out"},
    {"discard", "what was thrown away of anything"},
    {"draw", "what one thing (taker) took of another (source)"},
    {"drying", "herb on a rack"},
    {"drying_event", "it was turned, weighed or taken down"},
    {"harvest", "the log: what was gathered where"},
    {"hazard", "sprayed or otherwise contaminated ground; its shape is in hazards.geojson too"},
    {"hazard_layer", "where hazards came from: a map file, or by hand"},
    {"hold", "why something is kept back since it was made"},
    {"liquid", "spirit, vinegar and the like that came in, or went otherwise than into a jar"},
    {"lot", "what was bottled; the figures mass_g to sugar_g are of one millilitre"},
    {"lot_event", "a lot was released, withdrawn, held, destroyed or counted"},
    {"lot_use", "what went out of a lot"},
    {"method_figure", "distances of a method that were changed in this book"},
    {"note_file", "a file of notes that was read"},
    {"note_line", "a line of notes that was taken, and what was made of it"},
    {"outing", "a planned day out"},
    {"outing_stop", "a site that it visits"},
    {"outing_take", "what is to be taken there"},
    {"outing_version", "its day and load as they were planned; the last holds"},
    {"permission", "who allowed or refused gathering at a site"},
    {"photo", "a photo that goes with an entry (subject); its file, named by its hash, stands "
              "beside the book"},
    {"planned", "what is to be made in a season"},
    {"planned_part", "the materials of it"},
    {"purchase", "herb that was bought or grown"},
    {"reaction", "what was complained of, or how somebody took a lot"},
    {"recipe", "how a batch was made, kept under a name"},
    {"release", "something held was let out, with its evidence"},
    {"setting", "what the person said of themselves"},
    {"site", "a place to gather, as it was first noted; as it is now: sites.geojson"},
    {"site_key", "which site answers to a name"},
    {"spray_note", "what was said or seen about a site's spraying"},
    {"stage_note", "a growth stage that was seen (BBCH 0 to 99)"},
    {"stand_note", "what a site bears of a plant"},
    {"station", "where temperatures were measured"},
    {"strike", "a record that was taken back: the row stays, with the reason"},
    {"thing", "everything with a code: kind, mark of its book, year and number"},
    {"trust", "whose corrections count in the book that wrote the row"},
    {"use", "one going-out: for whom, with what directions; its lots are in lot_use"},
    {"weather_day", "lowest and highest temperature of a day"},
    {"weather_normal", "usual temperature of a month"},
    {"window_fix", "days that the person set for a window"},
};

static const char head[] =
    "A gathering and medicine book, as plain tables.\n"
    "\n"
    "Each TABLE.csv is one table: UTF-8, commas, a first line of column names (RFC 4180).\n"
    "columns.csv lists every column with its type and the table that it points to, by its id.\n"
    "sites.geojson and hazards.geojson show the places as they are now and the ground to keep\n"
    "off (RFC 7946, WGS 84); they are for looking at, nothing is read back from them.\n"
    "schema.csv holds the number of the tables' layout.\n"
    "\n"
    "Columns: day, until, since, start, end and their like are days since 1970-01-01; at is in\n"
    "microseconds since 1970-01-01 UTC; _g grams, _ml millilitres, _m metres, _c degrees Celsius,\n"
    "_frac shares from 0 to 1. Shapes are bytes in hexadecimal: kind, paths, then longitude and\n"
    "latitude as little-endian doubles. An empty cell is 'nothing'; a text that would read\n"
    "otherwise stands between apostrophes. A value in amendment.csv is an SQL literal.\n"
    "\n"
    "Nothing is ever overwritten: the present value of a record is its last correction in\n"
    "amendment.csv, else its own; what is left of anything is reckoned, never stored.\n"
    "Names and remarks may be strangers' words (a map file's, a colleague's): open the tables as\n"
    "text. A spreadsheet may take a cell that begins with = + - or @ for a formula and run it.\n"
    "Importing this folder makes an equal book of it.\n"
    "\n";

static const char *about(const char *table)
{
    for (gsize i = 0; i < G_N_ELEMENTS(words); i++) {
        if (strcmp(words[i].table, table) == 0)
            return words[i].about;
    }
    return "";
}

static gboolean write_readme(const char *folder, GPtrArray *tables, GError **error)
{
    g_autofree char *path = g_build_filename(folder, SPL_CARRY_README, NULL);
    g_autoptr(GString) text = g_string_new(head);

    for (guint i = 0; i < tables->len; i++) {
        const struct spl_table *table = g_ptr_array_index(tables, i);

        g_string_append_printf(text, "%-16s %s\n", table->name, about(table->name));
    }
    return spl_file_write_private(path, text->str, text->len, error);
}

static gboolean write_columns(const char *folder, GPtrArray *tables, GError **error)
{
    static const char *const header[] = {"table", "column", "type", "needed", "points_to"};
    g_autofree char *path = g_build_filename(folder, SPL_CARRY_COLUMNS, NULL);
    g_autoptr(spl_file_writer) writer = spl_file_writer_open(path, error);

    if (writer == NULL)
        return FALSE;
    spl_file_writer_keep_private(writer);
    if (!spl_csv_write_row(writer, header, G_N_ELEMENTS(header), error))
        return FALSE;
    for (guint i = 0; i < tables->len; i++) {
        const struct spl_table *table = g_ptr_array_index(tables, i);

        for (guint k = 0; k < table->columns->len; k++) {
            const struct spl_table_column *column = g_ptr_array_index(table->columns, k);
            const char *const cells[] = {table->name, column->name, column->type,
                                         column->required ? "yes" : "no",
                                         column->references != NULL ? column->references : ""};

            if (!spl_csv_write_row(writer, cells, G_N_ELEMENTS(cells), error))
                return FALSE;
        }
    }
    return spl_file_writer_commit(writer, error);
}

gboolean spl_carry_words(const char *folder, GPtrArray *tables, GError **error)
{
    return write_readme(folder, tables, error) && write_columns(folder, tables, error);
}

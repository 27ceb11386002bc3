/* SPDX-License-Identifier: MIT
 *
 * simpling book export, import, merge: carrying a book out and in, and bringing another one in.
 */
#include "simpling/carry.h"
#include "command/rows.h"

static int print_carried(struct spl_call *call, struct spl_carried *carried)
{
    spl_call_print(call, carried);
    spl_record_clear(&spl_carried_shape, carried);
    return 0;
}

static int run_export(struct spl_call *call, GError **error)
{
    struct spl_carried carried;

    if (!spl_carry_out(call->house, call->said, &carried, error))
        return -1;
    return print_carried(call, &carried);
}

static int run_import(struct spl_call *call, GError **error)
{
    const struct spl_book_place *place = call->said;
    struct spl_carried carried;

    if (!spl_carry_in(call->where, place->path, &carried, error))
        return -1;
    return print_carried(call, &carried);
}

static int run_merge(struct spl_call *call, GError **error)
{
    struct spl_merged merged;

    if (!spl_merge(call->house, call->said, &merged, error))
        return -1;
    spl_call_print(call, &merged);
    spl_record_clear(&spl_merged_shape, &merged);
    return 0;
}

const struct spl_command spl_command_book_export = {
    .words = "book export",
    .summary = "Write every table of the book as CSV, its places as GeoJSON, into a new folder",
    .inputs = &spl_carry_out_inputs,
    .at = "folder",
    .about = "README.txt in the folder says what each table is, columns.csv what each column. "
             "sites.geojson and\nhazards.geojson show the places as they are now and the ground to "
             "keep off, for any map program\n(RFC 7946): a stand's place is private, think before "
             "you pass them on. Days are days since 1970-01-01, stamps microseconds since 1970 "
             "UTC, amounts grams, "
             "millilitres,\nmetres and degrees. An empty cell is 'nothing'; a text that would read "
             "otherwise stands between\napostrophes. 'book import' makes an equal book of the "
             "folder. Photos stay at home unless\n--photos lets them go along.",
    .examples = (const char *const[]){"simpling book export everything",
                                      "simpling book export with-photos --photos", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_carried_shape,
    .run = run_export,
};

const struct spl_command spl_command_book_import = {
    .words = "book import",
    .summary = "Make a new book of a folder that 'book export' wrote",
    .inputs = &spl_carry_in_inputs,
    .at = "folder",
    .about = "The book named by --book must not exist yet; it is made whole or not at all.",
    .examples = (const char *const[]){"simpling book export everything",
                                      "simpling book import everything --book again.db", NULL},
    .needs = SPL_NEEDS_NOTHING,
    .shape = &spl_carried_shape,
    .run = run_import,
};

const struct spl_command spl_command_book_merge = {
    .words = "book merge",
    .summary = "Bring a colleague's book in: every record that is not here yet",
    .inputs = &spl_merge_inputs,
    .at = "file",
    .about =
        "Their codes show with their mark (BOB:H27-001). The page says what came, what stands "
        "otherwise since\n(milder first), what was struck or corrected of others' records and "
        "waits for an answer, whom to ask, and\nwhat both did with one thing. --accept agrees to "
        "all "
        "that waits, but for the numbers behind --but, which\nstay questions; merging again adds "
        "nothing and accepts what was left. 'answer ID --back WHY' takes an\nagreement back.",
    .examples = (const char *const[]){"simpling book init --mark BOB --book bobs.db",
                                      "simpling book merge bobs.db --dry-run",
                                      "simpling book merge bobs.db --accept", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_merged_shape,
    .run = run_merge,
};

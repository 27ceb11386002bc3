/* SPDX-License-Identifier: MIT
 *
 * simpling slip read: notes from a phone, back into the book.
 */
#include "simpling/note.h"

#include <string.h>

#include "base/layout.h"
#include "command/rows.h"

/* Where place and day of a line were said, and what it says. */
static char *what_of(const struct spl_note_row *row)
{
    char day[SPL_DAY_TEXT_SIZE];
    GString *what = g_string_new(NULL);

    if (row->site != NULL)
        g_string_append(what, row->site);
    if (spl_day_is_set(row->date))
        g_string_append_printf(what, "%s%s", what->len > 0 ? ", " : "",
                               spl_day_format(row->date, day));
    if (row->record != NULL)
        g_string_append_printf(what, "%s%s", what->len > 0 ? ": " : "", row->record);
    return g_string_free(what, FALSE);
}

/* `told`: cautions that were told before, so that each is told once. */
static void print_row(struct spl_call *call, const struct spl_note_row *row, GHashTable *told)
{
    g_autofree char *what = what_of(row), *lead = NULL;
    const gboolean taken = row->state == SPL_NOTE_READABLE || row->state == SPL_NOTE_WRITTEN;

    if (row->state == SPL_NOTE_CONTEXT)
        return;
    lead =
        g_strdup_printf("%s%d  %s%s%s  ", row->warning ? "NOT ENTERED: " : "", row->line,
                        taken ? spl_note_kind_names[row->kind] : spl_note_state_names[row->state],
                        row->code != NULL ? " " : "", row->code != NULL ? row->code : "");
    spl_call_say(lead, taken ? what : row->text, call->width, call->out);
    if (row->reason != NULL)
        spl_call_say("    ", row->reason, call->width, call->out);
    for (guint i = 0; i < row->cautions->len; i++) {
        char *caution = g_ptr_array_index(row->cautions, i);

        if (g_hash_table_add(told, caution))
            spl_call_say("    ! ", caution, call->width, call->out);
    }
}

static void print_sum(struct spl_call *call, const GArray *rows)
{
    const struct spl_note_words *words = call->said;
    int count[SPL_NOTE_LEFT + 1] = {0}, open;

    for (guint i = 0; i < rows->len; i++)
        count[g_array_index(rows, struct spl_note_row, i).state]++;
    open = count[SPL_NOTE_ASKED] + count[SPL_NOTE_REFUSED];
    if (count[SPL_NOTE_READABLE] + count[SPL_NOTE_WRITTEN] + open == 0 && count[SPL_NOTE_AGAIN] > 0)
        fputs("all of it was read before; nothing is new\n", call->out);
    else
        fprintf(call->out, "%d %s, %d not%s\n",
                count[words->apply ? SPL_NOTE_WRITTEN : SPL_NOTE_READABLE],
                words->apply ? "written" : "understood", open,
                words->apply ? "" : "; nothing is written yet: say --apply");
}

static int run_read(struct spl_call *call, GError **error)
{
    GArray *rows = spl_notes_read(call->house, call->said, stdin, error);
    g_autoptr(GHashTable) told = g_hash_table_new(g_str_hash, g_str_equal);
    int status = 0;

    if (rows == NULL)
        return -1;
    if (call->json)
        status = spl_call_print_list(call, rows, "nothing in it");
    for (guint i = 0; !call->json && i < rows->len; i++)
        print_row(call, &g_array_index(rows, struct spl_note_row, i), told);
    if (!call->json)
        print_sum(call, rows);
    spl_list_free(&spl_note_row_shape, rows);
    return status;
}

const struct spl_command spl_command_slip_read = {
    .words = "slip read",
    .summary = "Read notes from a slip or from any notes application",
    .inputs = &spl_note_inputs,
    .at = "files",
    .about =
        "Plain lines, one an entry, in any order: 'Scarth wood 14 July' heads what stands below "
        "it; "
        "'lime flower 600 g, full\nflower', '2 bags elderflower, full flower', 'nettle in bud', "
        "'the farmer says not sprayed since 2020', 'shook all but\nB27-003', 'strained B27-002 380 "
        "ml', 'jar 27-001 cracked, lost half', '1042 had 60 ml dandelion'. Every word of a line\n"
        "must mean something, or the line is refused with that word; what stands behind ; is a "
        "remark. Each line is shown with\nwhat it would write; lines that speak of spraying and "
        "cannot be entered come first. --apply writes what is understood,\neach line through the "
        "same checks as any entry. A line is taken once, however often it is read.",
    .examples = (const char *const[]){"simpling slip read notes.txt",
                                      "simpling slip read notes.txt --apply --json",
                                      "simpling slip read notes.txt", NULL},
    .needs = SPL_NEEDS_BOOK,
    .writes_with = "apply",
    .shape = &spl_note_row_shape,
    .array = TRUE,
    .run = run_read,
};

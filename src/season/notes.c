/* SPDX-License-Identifier: MIT
 *
 * Reading notes: each line through the frame (season/note_frame.h), past what was taken before, and
 * through the doors. See simpling/note.h.
 *
 * What makes a line the same: a slip's by slip, phone and number, with its revision; a typed one by
 * what it says (kind, day, place, material or code and verb, amount), and the how-manieth such line
 * of its file it is. Word order, capitals, units and remarks do not count.
 */
#include "simpling/note.h"

#include <math.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "book/note_line.h"
#include "book/site.h"
#include "core/stage.h"
#include "season/house_private.h"
#include "season/judged.h"
#include "season/note_enter.h"
#include "season/note_same.h"
#include "simpling/amend.h"
#include "simpling/entry.h"
#include "simpling/error.h"

const char *const spl_note_kind_names[] = {
    "",      "heading", "harvest", "stage",  "spray", "leave",  "not-reached", "stand", "step",
    "yield", "discard", "weight",  "drying", "given", "remark", "strike",      NULL};
const char *const spl_note_state_names[] = {"readable", "written", "again", "asked",
                                            "refused",  "context", "left",  NULL};

static const struct spl_field row_fields[] = {
    SPL_FIELD(spl_note_row, file, SPL_TEXT, "file", NULL),
    SPL_FIELD(spl_note_row, line, SPL_INT, "line", "line"),
    SPL_FIELD(spl_note_row, text, SPL_TEXT, "text", NULL),
    SPL_FIELD(spl_note_row, state, SPL_WORD, "state", "state", .names = spl_note_state_names),
    SPL_FIELD(spl_note_row, kind, SPL_WORD, "kind", "kind", .names = spl_note_kind_names),
    SPL_FIELD(spl_note_row, date, SPL_DAY, "date", "date"),
    SPL_FIELD(spl_note_row, site, SPL_TEXT, "site", "site"),
    SPL_FIELD(spl_note_row, date_line, SPL_INT, "date_line", NULL,
              .about = "where the day was said; 0: on the line itself, or nowhere"),
    SPL_FIELD(spl_note_row, site_line, SPL_INT, "site_line", NULL,
              .about = "where the place was said; 0: on the line itself, or nowhere"),
    SPL_FIELD(spl_note_row, record, SPL_TEXT, "record", "what"),
    SPL_FIELD(spl_note_row, code, SPL_TEXT, "code", "code"),
    SPL_FIELD(spl_note_row, word, SPL_TEXT, "word", NULL),
    SPL_FIELD(spl_note_row, reason, SPL_TEXT, "reason", "why not"),
    SPL_FIELD(spl_note_row, warning, SPL_BOOL, "warning", NULL,
              .about = "it speaks of spraying and was not entered"),
    SPL_FIELD(spl_note_row, cautions, SPL_TEXTS, "cautions", NULL),
};
const struct spl_shape spl_note_row_shape = SPL_SHAPE("note", spl_note_row, row_fields);

static const struct spl_input file_rows[] = {
    SPL_INPUT(spl_note_file, path, FILE, "path",
              "plain text, as it came from the phone; - reads "
              "what is piped in",
              .needed = 1),
};
const struct spl_inputs spl_note_file_inputs = SPL_INPUTS("note_file", spl_note_file, file_rows);

static const struct spl_input note_rows[] = {
    SPL_INPUT(spl_note_words, files, LIST, "files",
              "plain text, as it came from the phone; - reads what is piped in", .needed = 1,
              .item = &spl_note_file_inputs, .value = "FILE"),
    SPL_INPUT(spl_note_words, apply, FLAG, "apply", "write what is understood into the book"),
    SPL_INPUT(spl_note_words, written, DAY, "written",
              "the day on which it was typed: 'yesterday' is told from it", .past = 1),
    SPL_INPUT(spl_note_words, by, NAME, "by", "who", .value = "WHO", .setting = "who"),
};
const struct spl_inputs spl_note_inputs = SPL_INPUTS("notes", spl_note_words, note_rows);

/* One file's reading. */
struct reading {
    struct spl_house *house; /* the book itself, or a copy in memory */
    const struct spl_note_words *words;
    struct spl_note_context context;
    const char *name; /* of the file */
    const struct spl_note_lines *lines;
    char *sum;          /* of all that was typed */
    GHashTable *typed;  /* each line of all files as it stands */
    GHashTable *counts; /* key -> how many such lines so far */
    GArray *rows;       /* struct spl_note_row */
};

/* Lines -----------------------------------------------------------------------------------------
 */

static gboolean speaks_of_spraying(const char *text)
{
    static const char *const words[] = {"spray",    "herbicid", "weed killer", "weedkiller",
                                        "pesticid", "fungicid", " tank",       "yellow",
                                        "smell",    "poison"};

    for (gsize i = 0; i < G_N_ELEMENTS(words); i++) {
        if (strstr(text, words[i]) != NULL)
            return TRUE;
    }
    return FALSE;
}

static struct spl_note_row new_row(const struct reading *reading, const struct spl_note_line *line,
                                   const struct spl_note_entry *entry)
{
    struct spl_note_row row = {
        .file = g_strdup(reading->name),
        .line = line->number,
        .text = g_strdup(line->typed),
        .state = entry->state,
        .kind = entry->kind,
        .date = entry->day,
        .site = g_strdup(entry->site),
        .date_line = entry->own_day || !spl_day_is_set(entry->day) ? 0 : reading->context.day_line,
        .site_line = entry->own_site || entry->site == NULL ? 0 : reading->context.site_line,
        .word = g_strdup(entry->word),
        .cautions = g_ptr_array_new_with_free_func(g_free),
    };

    if (spl_note_is_of_home(entry)) {
        g_clear_pointer(&row.site, g_free);
        row.site_line = 0;
    }
    if (entry->kind != SPL_NOTE_KIND_NONE && entry->kind != SPL_NOTE_KIND_HEADING)
        row.record = spl_note_describe(entry);
    if (entry->reason != NULL)
        row.reason = entry->word != NULL ? g_strdup_printf("'%s': %s", entry->word, entry->reason)
                                         : g_strdup(entry->reason);
    return row;
}

static void set_reason(struct spl_note_row *row, enum spl_note_state state, char *reason)
{
    row->state = state;
    g_free(row->reason);
    row->reason = reason;
}

static gboolean strike(struct reading *reading, const char *code, const char *by, GError **error)
{
    struct spl_correction correction;
    struct spl_strike_words words;

    if (code == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                    "what was made of it has no code of its own to strike; correct it at home");
        return FALSE;
    }
    spl_inputs_init(&spl_strike_inputs, &words);
    words.code = code;
    words.why = "struck on the slip";
    words.by = by;
    if (!spl_record_strike(reading->house, &words, &correction, error))
        return FALSE;
    spl_record_clear(&spl_correction_shape, &correction);
    return TRUE;
}

/* What is done with a line that may be written. */
enum deed { ENTER, CHANGE, STRIKE };

static gboolean write_line(struct reading *reading, enum deed deed, struct spl_note_entry *entry,
                           const struct spl_note_taken *before, struct spl_note_taken *taken,
                           struct spl_note_row *row, GError **error)
{
    const char *by = reading->words->by;
    gboolean ok;

    if (deed == STRIKE)
        ok = strike(reading, before->code, by, error);
    else if (deed == CHANGE)
        ok = spl_note_amend(reading->house, entry, before->code, by, row, error);
    else
        ok = spl_note_enter(reading->house, entry, by, row, error);
    if (!ok)
        return FALSE;
    if (deed == STRIKE)
        row->code = g_strdup(before->code);
    taken->code = g_strdup(row->code);
    spl_book_bring(reading->house->book, NULL); /* where no row took it */
    return spl_note_taken_add(reading->house->book, taken, error);
}

/* The line's records are one transaction. */
static void put_line(struct reading *reading, enum deed deed, struct spl_note_entry *entry,
                     const struct spl_note_taken *before, struct spl_note_taken *taken,
                     struct spl_note_row *row)
{
    struct spl_book *book = reading->house->book;
    g_autofree char *uuid = NULL;
    g_autoptr(GError) error = NULL;
    gboolean ok;

    if (deed == ENTER)
        uuid = spl_note_uuid(reading->house, reading->sum, entry, taken);
    ok = spl_book_begin(book, &error);
    if (ok) {
        spl_book_bring(book, uuid);
        taken->made = g_strdup(deed == ENTER ? uuid : before->made);
        ok = spl_book_finish(book, write_line(reading, deed, entry, before, taken, row, &error),
                             &error);
        spl_book_bring(book, NULL);
    }
    if (ok) {
        row->state = reading->words->apply ? SPL_NOTE_WRITTEN : SPL_NOTE_READABLE;
        if (entry->remark != NULL) {
            g_autofree char *folded = spl_note_fold(entry->remark);

            if (entry->kind != SPL_NOTE_KIND_SPRAY && speaks_of_spraying(folded))
                g_ptr_array_add(row->cautions,
                                g_strdup("its remark speaks of spraying, which is not entered by "
                                         "it: write a line for that"));
        }
        return;
    }
    g_clear_pointer(&row->code, g_free);
    set_reason(row,
               error != NULL && error->code == SPL_ERROR_AMBIGUOUS ? SPL_NOTE_ASKED
                                                                   : SPL_NOTE_REFUSED,
               g_strdup(error != NULL ? spl_error_sentence(error) : "could not be written"));
}

static void again(struct spl_note_row *row, const struct spl_note_taken *before, gboolean typed)
{
    g_free(row->code);
    row->code = g_strdup(before->code);
    set_reason(row, SPL_NOTE_AGAIN,
               g_strdup_printf("already in the book%s%s%s", before->code != NULL ? " as " : "",
                               before->code != NULL ? before->code : "",
                               typed ? "; write (second) behind it if it is another" : ""));
}

static void read_slip_line(struct reading *reading, struct spl_note_entry *entry,
                           struct spl_note_taken *taken, struct spl_note_row *row)
{
    const struct spl_note_line *line = entry->line;
    struct spl_note_taken before = {0};
    g_autoptr(GError) error = NULL;
    const gboolean known = spl_note_taken_slip(reading->house->book, line->slip, line->phone,
                                               line->entry, &before, &error);

    taken->slip = g_strdup(line->slip);
    taken->phone = g_strdup(line->phone);
    taken->number = line->entry;
    taken->revision = line->revision;
    taken->struck = line->struck;
    if (error != NULL)
        set_reason(row, SPL_NOTE_REFUSED, g_strdup(error->message));
    else if (!known && line->struck)
        set_reason(row, SPL_NOTE_LEFT, g_strdup("taken back before it was ever read"));
    else if (!known)
        put_line(reading, ENTER, entry, &before, taken, row);
    else if (before.struck)
        set_reason(row, SPL_NOTE_AGAIN, g_strdup("was taken back"));
    else if (line->struck)
        put_line(reading, STRIKE, entry, &before, taken, row);
    else if (line->revision < before.revision)
        set_reason(row, SPL_NOTE_AGAIN,
                   g_strdup("a newer form of this line is in the book already"));
    else if (strcmp(before.key, taken->key) == 0)
        again(row, &before, FALSE);
    else
        put_line(reading, CHANGE, entry, &before, taken, row);
    spl_note_taken_clear(&before);
}

/* A line that was taken once, is gone from this file, and may be this one with another amount. */
static gboolean ask_whether_edited(struct reading *reading, const struct spl_note_taken *taken,
                                   struct spl_note_row *row)
{
    g_autoptr(GArray) others = spl_note_taken_about(reading->house->book, taken->about, NULL);

    for (guint i = 0; others != NULL && i < others->len; i++) {
        const struct spl_note_taken *other = &g_array_index(others, struct spl_note_taken, i);

        if (strcmp(other->key, taken->key) == 0 ||
            g_hash_table_contains(reading->typed, other->line))
            continue;
        set_reason(row, SPL_NOTE_ASKED,
                   g_strdup_printf("was it '%s'%s%s%s, written otherwise? amend that, or write "
                                   "(second) behind this line",
                                   other->line, other->code != NULL ? " (" : "",
                                   other->code != NULL ? other->code : "",
                                   other->code != NULL ? ")" : ""));
        return TRUE;
    }
    return FALSE;
}

static void read_typed_line(struct reading *reading, struct spl_note_entry *entry,
                            struct spl_note_taken *taken, struct spl_note_row *row)
{
    const int said = spl_note_said_again(entry);
    const int so_far = GPOINTER_TO_INT(g_hash_table_lookup(reading->counts, taken->key));
    struct spl_note_taken before = {0};
    g_autoptr(GError) error = NULL;

    taken->occurrence = MAX(so_far + 1, said);
    g_hash_table_insert(reading->counts, g_strdup(taken->key), GINT_TO_POINTER(taken->occurrence));
    if (spl_note_taken_typed(reading->house->book, taken->key, taken->occurrence, &before, &error))
        again(row, &before, TRUE);
    else if (error != NULL)
        set_reason(row, SPL_NOTE_REFUSED, g_strdup(error->message));
    else if (said > 1 || !ask_whether_edited(reading, taken, row))
        put_line(reading, ENTER, entry, &before, taken, row);
    spl_note_taken_clear(&before);
}

static void read_line(struct reading *reading, const struct spl_note_line *line)
{
    struct spl_note_taken taken = {.occurrence = 1};
    struct spl_note_entry entry;
    struct spl_note_row row;

    spl_note_frame(&reading->context, line, &entry);
    row = new_row(reading, line, &entry);
    if (entry.state == SPL_NOTE_READABLE && entry.reason == NULL) {
        taken.about = spl_note_about(&entry);
        taken.key = spl_note_key(&entry, taken.about);
        taken.line = g_strdup(line->typed);
        taken.file = g_strdup(reading->lines->hash);
        if (line->slip != NULL) {
            char *content = spl_note_content(&entry, taken.key);

            g_free(taken.key);
            taken.key = content;
            read_slip_line(reading, &entry, &taken, &row);
        } else {
            read_typed_line(reading, &entry, &taken, &row);
        }
    }
    row.warning = (row.state == SPL_NOTE_REFUSED || row.state == SPL_NOTE_ASKED) &&
                  speaks_of_spraying(line->text->str);
    g_array_append_val(reading->rows, row);
    spl_note_taken_clear(&taken);
    spl_note_entry_clear(&entry);
}

/* Files -----------------------------------------------------------------------------------------
 */

static char *read_stream(FILE *stream, gsize *size, GError **error)
{
    g_autoptr(GString) text = g_string_new(NULL);
    char piece[4096];
    gsize n;

    while (stream != NULL && text->len <= SPL_NOTES_MAX &&
           (n = fread(piece, 1, sizeof piece, stream)) > 0)
        g_string_append_len(text, piece, (gssize)n);
    if (stream == NULL || ferror(stream)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "-: nothing can be read from there");
        return NULL;
    }
    *size = text->len;
    return g_string_free(g_steal_pointer(&text), FALSE);
}

static GPtrArray *site_names(struct spl_house *house, GError **error)
{
    GArray *sites = spl_site_all(house->book, error);
    GPtrArray *names;

    if (sites == NULL)
        return NULL;
    names = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < sites->len; i++)
        g_ptr_array_add(names, g_strdup(g_array_index(sites, struct spl_site, i).name));
    spl_list_free(&spl_site_shape, sites);
    return names;
}

static gboolean keep_file(struct reading *reading, GError **error)
{
    struct spl_book *book = reading->house->book;
    struct spl_day before;

    if (!reading->words->apply || !spl_note_file_read(book, reading->lines->hash, &before, error))
        return !reading->words->apply;
    if (spl_day_is_set(before))
        return TRUE;
    return spl_book_begin(book, error) &&
           spl_book_finish(book,
                           spl_note_file_add(book, reading->lines->hash, reading->name,
                                             reading->house->today, error),
                           error);
}

static gboolean read_file(struct spl_house *house, const struct spl_note_words *words,
                          const struct spl_note_names *names, const char *name,
                          const struct spl_note_lines *lines, GHashTable *typed, GArray *rows,
                          GError **error)
{
    g_autofree char *country = spl_house_setting_text(house, "country");
    struct reading reading = {
        .house = house,
        .words = words,
        .context = {.tables = spl_house_tables(house, error),
                    .names = names,
                    .country = country,
                    .today = house->today,
                    .written = words->written,
                    .day = SPL_DAY_NONE},
        .name = name,
        .lines = lines,
        .sum = spl_note_sum(lines),
        .typed = typed,
        .counts = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL),
        .rows = rows,
    };

    for (guint i = 0; i < lines->lines->len; i++)
        read_line(&reading, g_ptr_array_index(lines->lines, i));
    g_hash_table_unref(reading.counts);
    g_free(reading.context.site);
    g_free(reading.sum);
    return keep_file(&reading, error);
}

static gint by_weight(gconstpointer a, gconstpointer b)
{
    const struct spl_note_row *one = a, *other = b;

    return (other->warning != FALSE) - (one->warning != FALSE);
}

/* All files are read before a line of any is taken. */
static gboolean load(const struct spl_note_words *words, FILE *stream, GArray *all, GError **error)
{
    for (guint i = 0; i < words->files->len; i++) {
        const char *path = g_array_index(words->files, struct spl_note_file, i).path;
        struct spl_note_lines lines;
        g_autofree char *bytes = NULL;
        gsize size = 0;

        bytes = strcmp(path, "-") == 0 ? read_stream(stream, &size, error)
                                       : spl_file_read(path, SPL_NOTES_MAX, &size, error);
        if (bytes == NULL || !spl_note_lines_take(bytes, size, path, &lines, error)) {
            spl_error_about(error, "files");
            return FALSE;
        }
        g_array_append_val(all, lines);
    }
    return TRUE;
}

static gboolean read_all(struct spl_house *house, const struct spl_note_words *words, GArray *all,
                         GArray *rows, GError **error)
{
    const struct spl_tables *tables = spl_house_tables(house, error);
    g_autoptr(GPtrArray) sites = tables != NULL ? site_names(house, error) : NULL;
    g_autoptr(spl_note_names) names = sites != NULL ? spl_note_names_new(tables, sites) : NULL;
    g_autoptr(GHashTable) typed = g_hash_table_new(g_str_hash, g_str_equal);

    for (guint i = 0; i < all->len; i++) {
        const GPtrArray *lines = g_array_index(all, struct spl_note_lines, i).lines;

        for (guint k = 0; k < lines->len; k++) {
            struct spl_note_line *line = g_ptr_array_index(lines, k);

            g_hash_table_add(typed, line->typed);
        }
    }
    for (guint i = 0; names != NULL && i < all->len; i++) {
        const char *path = g_array_index(words->files, struct spl_note_file, i).path;
        g_autofree char *base = g_path_get_basename(path);
        g_autofree char *name = spl_text_scrub(base, FALSE);

        if (!read_file(house, words, names, name, &g_array_index(all, struct spl_note_lines, i),
                       typed, rows, error))
            return FALSE;
    }
    return names != NULL;
}

static gboolean refresh(gpointer house, GError **error)
{
    return spl_judged_refresh(house, error);
}

/* The same house with a copy of its book, for what is only looked at. */
static struct spl_house *trial_of(struct spl_house *house, GError **error)
{
    struct spl_book *copy = spl_book_scratch(house->book, error);
    struct spl_house *trial;

    if (copy == NULL)
        return NULL;
    trial = g_new0(struct spl_house, 1);
    trial->book = copy;
    trial->data = g_strdup(house->data);
    trial->own_data = g_strdup(house->own_data);
    trial->calendars = g_strdup(house->calendars);
    trial->helpers = g_strdup(house->helpers);
    trial->today = house->today;
    trial->tables = house->tables;
    spl_book_on_commit(copy, refresh, trial);
    return trial;
}

GArray *spl_notes_read(struct spl_house *house, const struct spl_note_words *said, FILE *stream,
                       GError **error)
{
    struct spl_note_words words;
    g_autoptr(GArray) all = g_array_new(FALSE, FALSE, sizeof(struct spl_note_lines));
    g_autoptr(spl_house) trial = NULL;
    GArray *rows;
    gboolean ok;

    if (!spl_entry_take(house, &spl_note_inputs, said, &words, error))
        return NULL;
    g_array_set_clear_func(all, (GDestroyNotify)spl_note_lines_clear);
    rows = spl_list_new(&spl_note_row_shape);
    ok = load(&words, stream, all, error) && spl_house_tables(house, error) != NULL;
    if (ok && !words.apply) {
        trial = trial_of(house, error);
        ok = trial != NULL;
    }
    ok = ok && read_all(trial != NULL ? trial : house, &words, all, rows, error);
    if (trial != NULL)
        trial->tables = NULL; /* the house's own */
    if (ok)
        g_array_sort(rows, by_weight);
    spl_inputs_clear(&spl_note_inputs, &words);
    if (ok)
        return rows;
    spl_list_free(&spl_note_row_shape, rows);
    return NULL;
}

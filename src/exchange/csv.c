/* SPDX-License-Identifier: MIT
 *
 * Tables of cells, read with libcsv. See csv.h.
 *
 * libcsv gives cells and row ends by call-back; it is fed one physical line at a time, which gives
 * the line numbers, and stops being fed as soon as a row is complete.
 */
#include "exchange/csv.h"

#include <csv.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "base/amount.h"
#include "base/file.h"
#include "base/text.h"
#include "exchange/csv_asked.h"
#include "simpling/error.h"

#define CHUNK 65536
#define DECODED_MAX (32 * 1024 * 1024) /* a larger file must be in UTF-8 */

struct spl_csv {
    char *name;
    FILE *file;       /* or: */
    const char *text; /* what is left of the caller's bytes, or of the chunk */
    gsize text_left;
    char *chunk;     /* of the file */
    char *decoded;   /* the whole file, when it is small or was in another encoding */
    gboolean comma;  /* a comma parts numbers, as `;` or a tab parts the cells */
    gboolean broken; /* nothing more can be read */
    struct csv_parser parser;
    gboolean parser_made;
    gint64 bytes;      /* read so far */
    int line;          /* physical lines fed so far */
    int begun;         /* line on which the row being gathered begins */
    int row_line;      /* line on which the current row begins */
    gsize row_bytes;   /* of the row being gathered */
    gboolean complete; /* the row being gathered is whole */
    gboolean ended;    /* no more lines */
    GString *bytes_of; /* the cells of the row being gathered, each with a NUL behind it */
    GArray *starts;    /* gsize: where each begins */
    GPtrArray *header; /* of char *, on one line, for they stand in messages */
    GString *line_of;  /* the line being fed */
    struct spl_csv_asked *asked;
    GHashTable *keys; /* name key of a header -> column + 1 */
};

gboolean spl_csv_fail(const struct spl_csv *csv, int column, int code, GError **error,
                      const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    g_autofree char *said = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    /* Cells stand in it, and a cell may go over lines. */
    g_autofree char *message = spl_text_scrub(said, FALSE);

    if (column >= 0)
        g_set_error(error, SPL_ERROR, code, "%s:%d: column '%s': %s", csv->name, csv->row_line,
                    spl_csv_header(csv, column), message);
    else
        g_set_error(error, SPL_ERROR, code, "%s:%d: %s", csv->name, csv->row_line, message);
    return FALSE;
}

/* ---- bytes and lines ----------------------------------------------------------------------- */

/* Makes sure that there are bytes to look at; FALSE at the end. */
static gboolean fill(struct spl_csv *csv)
{
    if (csv->text_left > 0)
        return TRUE;
    if (csv->file == NULL)
        return FALSE;
    csv->text = csv->chunk;
    csv->text_left = fread(csv->chunk, 1, CHUNK, csv->file);
    return csv->text_left > 0;
}

/* How many of the bytes at hand belong to the line, its end included. */
static gsize line_part(const struct spl_csv *csv, gboolean *ended)
{
    const char *feed = memchr(csv->text, '\n', csv->text_left);
    gsize size = feed != NULL ? (gsize)(feed - csv->text) + 1 : csv->text_left;
    const char *carriage = memchr(csv->text, '\r', size);

    *ended = feed != NULL;
    /* A carriage return ends the line, with a line feed behind it or alone; when it is the last
     * byte at hand, what follows it is not known yet. */
    if (carriage != NULL) {
        gsize to = (gsize)(carriage - csv->text) + 1;
        *ended = to < csv->text_left;
        size = to < csv->text_left && csv->text[to] == '\n' ? to + 1 : to;
    }
    return size;
}

static gboolean take_bytes(struct spl_csv *csv, GString *line, gsize size, GError **error)
{
    const char *nul = memchr(csv->text, '\0', size);

    if (nul != NULL) {
        /* What stands before it may tell what kind of file this is. */
        g_string_append_len(line, csv->text, nul - csv->text);
        csv->bytes += nul - csv->text;
        return spl_csv_fail(csv, -1, SPL_ERROR_INVALID, error,
                            "line %d is not text; this is no table, or a damaged one",
                            csv->line + 1);
    }
    g_string_append_len(line, csv->text, (gssize)size);
    csv->text += size;
    csv->text_left -= size;
    csv->bytes += (gint64)size;
    if (line->len > SPL_CSV_MAX_ROW)
        return spl_csv_fail(csv, -1, SPL_ERROR_LIMIT, error,
                            "line %d is longer than %d bytes; this is no table of ours",
                            csv->line + 1, SPL_CSV_MAX_ROW);
    if (csv->bytes > SPL_CSV_MAX_BYTES)
        return spl_csv_fail(csv, -1, SPL_ERROR_LIMIT, error,
                            "the file is larger than %d MB; split it",
                            SPL_CSV_MAX_BYTES / (1024 * 1024));
    return TRUE;
}

/* One physical line with its end; an empty `line` at the end of the file. */
static gboolean read_line(struct spl_csv *csv, GString *line, GError **error)
{
    gboolean ended = FALSE;

    g_string_truncate(line, 0);
    while (!ended && fill(csv)) {
        if (line->len > 0 && line->str[line->len - 1] == '\r') {
            /* The carriage return was the last byte of the bytes before. */
            if (csv->text[0] == '\n' && !take_bytes(csv, line, 1, error))
                return FALSE;
            break;
        }
        gsize size = line_part(csv, &ended);
        if (!take_bytes(csv, line, size, error))
            return FALSE;
    }
    if (csv->file != NULL && ferror(csv->file))
        return spl_csv_fail(csv, -1, SPL_ERROR_IO, error, "the file cannot be read: %s",
                            g_strerror(errno));
    if (line->len > 0)
        csv->line++;
    return TRUE;
}

/* ---- rows ---------------------------------------------------------------------------------- */

static void take_cell(void *bytes, size_t size, void *data)
{
    struct spl_csv *csv = data;
    gsize start = csv->bytes_of->len;

    if (csv->starts->len > SPL_CSV_MAX_COLUMNS)
        return;
    g_array_append_val(csv->starts, start);
    g_string_append_len(csv->bytes_of, bytes != NULL ? bytes : "", (gssize)size);
    g_string_append_c(csv->bytes_of, '\0');
}

/* Points into bytes_of: good until it grows. */
static char *cell_of(const struct spl_csv *csv, guint i)
{
    return csv->bytes_of->str + g_array_index(csv->starts, gsize, i);
}

static void take_row_end(int end, void *data)
{
    struct spl_csv *csv = data;

    (void)end;
    csv->complete = TRUE;
}

static gboolean row_is_empty(const struct spl_csv *csv)
{
    for (guint i = 0; i < csv->starts->len; i++) {
        const char *cell = cell_of(csv, i);
        if (cell[strspn(cell, " \t")] != '\0')
            return FALSE;
    }
    return TRUE;
}

/* What most cells are, and quick to see. */
static gboolean is_printable_ascii(const char *cell)
{
    while (*cell >= ' ' && *cell < 0x7f)
        cell++;
    return *cell == '\0';
}

/* Valid UTF-8, no control characters but line breaks and tabs; ends trimmed. */
static gboolean clean_cells(struct spl_csv *csv, GError **error)
{
    for (guint i = 0; i < csv->starts->len; i++) {
        char *cell = cell_of(csv, i);
        int column = csv->header != NULL && i < csv->header->len ? (int)i : -1;
        g_strstrip(cell);
        if (is_printable_ascii(cell))
            continue;
        if (!g_utf8_validate(cell, -1, NULL))
            return spl_csv_fail(csv, column, SPL_ERROR_INVALID, error,
                                "is not valid UTF-8; save the table with the encoding UTF-8");
        for (const char *at = cell; *at != '\0'; at = g_utf8_next_char(at)) {
            gunichar c = g_utf8_get_char(at);
            if (c != '\n' && c != '\r' && c != '\t' && g_unichar_iscntrl(c))
                return spl_csv_fail(csv, column, SPL_ERROR_INVALID, error,
                                    "holds a control character (U+%04X); take it out", c);
        }
    }
    return TRUE;
}

static gboolean check_width(struct spl_csv *csv, GError **error)
{
    if (csv->starts->len > SPL_CSV_MAX_COLUMNS)
        return spl_csv_fail(csv, -1, SPL_ERROR_LIMIT, error, "has more than %d columns",
                            SPL_CSV_MAX_COLUMNS);
    if (csv->header == NULL || csv->starts->len == csv->header->len)
        return TRUE;
    return spl_csv_fail(csv, -1, SPL_ERROR_INVALID, error,
                        "has %u cells where the header has %u; %s", csv->starts->len,
                        csv->header->len,
                        csv->starts->len > csv->header->len
                            ? "a cell with a comma in it needs quotes, a number a decimal point"
                            : "is the row cut off?");
}

/* Feeds `line`; TRUE with csv->complete set when it ended a row. */
static gboolean feed(struct spl_csv *csv, const GString *line, GError **error)
{
    if (csv_parse(&csv->parser, line->str, line->len, take_cell, take_row_end, csv) == line->len)
        return TRUE;
    csv->row_line = csv->line;
    csv->broken = TRUE;
    return spl_csv_fail(csv, -1, SPL_ERROR_INVALID, error,
                        "the quotes do not match; a quote inside a quoted cell is written twice");
}

/* Gathers the next row with anything in it into csv->cells; FALSE at the end. */
static gboolean gather_row(struct spl_csv *csv, GString *line, gboolean have_line, GError **error)
{
    while (!csv->ended) {
        g_array_set_size(csv->starts, 0);
        g_string_truncate(csv->bytes_of, 0);
        csv->complete = FALSE;
        csv->row_bytes = 0;
        csv->begun = 0;
        while (!csv->complete && !csv->ended) {
            if (!have_line && !read_line(csv, line, error)) {
                csv->broken = TRUE;
                return FALSE;
            }
            have_line = FALSE;
            if (csv->begun == 0)
                csv->begun = csv->line;
            csv->row_line = csv->begun;
            if (line->len == 0) {
                csv->ended = TRUE;
                csv->broken = TRUE;
                if (csv_fini(&csv->parser, take_cell, take_row_end, csv) != 0)
                    return spl_csv_fail(csv, -1, SPL_ERROR_INVALID, error,
                                        "a quote is opened and never closed");
                break;
            }
            csv->row_bytes += line->len;
            csv->broken = csv->broken || csv->row_bytes > SPL_CSV_MAX_ROW;
            if (csv->row_bytes > SPL_CSV_MAX_ROW)
                return spl_csv_fail(csv, -1, SPL_ERROR_LIMIT, error,
                                    "the row is longer than %d bytes; is a quote never closed?",
                                    SPL_CSV_MAX_ROW);
            gboolean blank = line->str[strspn(line->str, " \t\r\n")] == '\0';
            if (!feed(csv, line, error))
                return FALSE;
            /* libcsv says nothing of an empty line; the next one begins a row of its own. */
            if (!csv->complete && blank && csv->row_bytes == line->len) {
                csv->begun = 0;
                csv->row_bytes = 0;
            }
        }
        if (csv->complete && !row_is_empty(csv))
            return check_width(csv, error) && clean_cells(csv, error);
    }
    return FALSE;
}

/* ---- opening ------------------------------------------------------------------------------- */

/* The separator is whichever of , ; and tab the header has most of, outside quotes. */
static char separator_of(const GString *header)
{
    static const char candidates[] = {',', ';', '\t'};
    int counts[sizeof candidates] = {0};
    gboolean quoted = FALSE;
    gsize best = 0;

    for (gsize i = 0; i < header->len; i++) {
        if (header->str[i] == '"')
            quoted = !quoted;
        for (gsize j = 0; j < sizeof candidates && !quoted; j++)
            counts[j] += header->str[i] == candidates[j];
    }
    for (gsize j = 1; j < sizeof candidates; j++)
        if (counts[j] > counts[best])
            best = j;
    return candidates[best];
}

static gboolean check_beginning(const struct spl_csv *csv, const GString *line, GError **error)
{
    const char *problem = NULL;

    if (line->len == 0 && csv->bytes == 0)
        problem = "is empty; the first row must name the columns";
    else if (g_str_has_prefix(line->str, "PK\003\004"))
        problem = "is a spreadsheet file; save it as CSV";
    else if (g_str_has_prefix(line->str, "\xff\xfe") || g_str_has_prefix(line->str, "\xfe\xff"))
        problem = "is UTF-16; save it with the encoding UTF-8";
    if (problem == NULL)
        return TRUE;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s %s", csv->name, problem);
    return FALSE;
}

static gboolean check_header(struct spl_csv *csv, GError **error)
{
    csv->asked = spl_csv_asked_new();
    csv->keys = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (guint i = 0; i < csv->header->len; i++) {
        const char *name = g_ptr_array_index(csv->header, i);
        if (name[0] == '\0')
            return spl_csv_fail(csv, -1, SPL_ERROR_INVALID, error,
                                "column %u has no name; the first row must name the columns",
                                i + 1);
        if (!g_hash_table_insert(csv->keys, spl_name_key(name), GUINT_TO_POINTER(i + 1)))
            return spl_csv_fail(csv, -1, SPL_ERROR_INVALID, error,
                                "two columns are named '%s'; take one out", name);
    }
    return TRUE;
}

static gboolean read_header(struct spl_csv *csv, GError **error)
{
    GString *line = csv->line_of;
    GError *failure = NULL;

    csv->row_line = 1;
    /* What kind of file it is says more than the byte on which reading stopped. */
    gboolean read = read_line(csv, line, &failure);
    if (!check_beginning(csv, line, error)) {
        g_clear_error(&failure);
        return FALSE;
    }
    if (!read) {
        g_propagate_error(error, failure);
        return FALSE;
    }
    if (g_str_has_prefix(line->str, "\xef\xbb\xbf"))
        g_string_erase(line, 0, 3);
    csv->comma = separator_of(line) != ',';
    csv_set_delim(&csv->parser, (unsigned char)separator_of(line));
    if (!gather_row(csv, line, line->len > 0, &failure)) {
        if (failure == NULL)
            g_set_error(&failure, SPL_ERROR, SPL_ERROR_INVALID,
                        "%s is empty; the first row must name the columns", csv->name);
        g_propagate_error(error, failure);
        return FALSE;
    }
    csv->header = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < csv->starts->len; i++)
        g_ptr_array_add(csv->header, spl_text_scrub(cell_of(csv, i), FALSE));
    return check_header(csv, error);
}

static struct spl_csv *csv_new(const char *name)
{
    struct spl_csv *csv = g_new0(struct spl_csv, 1);

    g_autofree char *base = g_path_get_basename(name);
    csv->name = spl_text_scrub(base, FALSE);
    csv->bytes_of = g_string_new(NULL);
    csv->line_of = g_string_new(NULL);
    csv->starts = g_array_new(FALSE, FALSE, sizeof(gsize));
    csv->parser_made = csv_init(&csv->parser, CSV_STRICT | CSV_STRICT_FINI | CSV_APPEND_NULL) == 0;
    return csv;
}

char *spl_csv_decode(const char *text, gsize size, gsize *decoded_size)
{
    const char *from = "WINDOWS-1252";

    if (size >= 2 && (memcmp(text, "\xff\xfe", 2) == 0 || memcmp(text, "\xfe\xff", 2) == 0)) {
        from = text[0] == '\xff' ? "UTF-16LE" : "UTF-16BE";
        text += 2;
        size -= 2;
    } else if (memchr(text, '\0', size) != NULL || spl_text_is_utf8(text, size)) {
        return NULL;
    }
    return g_convert(text, (gssize)size, "UTF-8", from, NULL, decoded_size, NULL);
}

/* A file that is not in UTF-8 is read whole and turned into it; a small one is at hand then. */
static gboolean decode(struct spl_csv *csv, const char *path, GError **error)
{
    gsize size, decoded_size;
    g_autofree char *text = spl_file_read(path, DECODED_MAX, &size, error);

    if (text == NULL)
        return FALSE;
    csv->decoded = spl_csv_decode(text, size, &decoded_size);
    if (csv->decoded == NULL && size > CHUNK)
        return TRUE;
    if (csv->decoded == NULL) {
        csv->decoded = g_steal_pointer(&text);
        decoded_size = size;
    }
    fclose(csv->file);
    csv->file = NULL;
    csv->text = csv->decoded;
    csv->text_left = decoded_size;
    return TRUE;
}

struct spl_csv *spl_csv_open(const char *path, GError **error)
{
    g_autoptr(spl_csv) csv = csv_new(path);
    struct stat status;

    csv->file = fopen(path, "rbe");
    if (csv->file == NULL) {
        g_set_error(error, SPL_ERROR, errno == ENOENT ? SPL_ERROR_NOT_FOUND : SPL_ERROR_IO,
                    "the table '%s' cannot be opened: %s", path, g_strerror(errno));
        return NULL;
    }
    if (fstat(fileno(csv->file), &status) == 0 && !S_ISREG(status.st_mode) &&
        !S_ISFIFO(status.st_mode)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                    "'%s' is no file; name a table saved as CSV", path);
        return NULL;
    }
    if (S_ISREG(status.st_mode) && status.st_size <= DECODED_MAX && !decode(csv, path, error))
        return NULL;
    if (csv->decoded == NULL) {
        setvbuf(csv->file, NULL, _IONBF, 0);
        csv->chunk = g_malloc(CHUNK);
    }
    return read_header(csv, error) ? g_steal_pointer(&csv) : NULL;
}

struct spl_csv *spl_csv_open_text(const char *text, gsize size, const char *name, GError **error)
{
    g_autoptr(spl_csv) csv = csv_new(name);

    csv->text = text;
    csv->text_left = size;
    return read_header(csv, error) ? g_steal_pointer(&csv) : NULL;
}

void spl_csv_free(struct spl_csv *csv)
{
    if (csv == NULL)
        return;
    if (csv->file != NULL)
        fclose(csv->file);
    if (csv->parser_made)
        csv_free(&csv->parser);
    g_string_free(csv->bytes_of, TRUE);
    g_array_unref(csv->starts);
    g_free(csv->chunk);
    g_free(csv->decoded);
    g_string_free(csv->line_of, TRUE);
    g_clear_pointer(&csv->asked, spl_csv_asked_free);
    g_clear_pointer(&csv->keys, g_hash_table_unref);
    g_clear_pointer(&csv->header, g_ptr_array_unref);
    g_free(csv->name);
    g_free(csv);
}

/* ---- cells --------------------------------------------------------------------------------- */

const char *spl_csv_name(const struct spl_csv *csv)
{
    return csv->name;
}

int spl_csv_columns(const struct spl_csv *csv)
{
    return (int)csv->header->len;
}

const char *spl_csv_header(const struct spl_csv *csv, int column)
{
    return g_ptr_array_index(csv->header, (guint)column);
}

int spl_csv_column(const struct spl_csv *csv, const char *name)
{
    int column;

    if (!spl_csv_asked_before(csv->asked, name, &column)) {
        g_autofree char *key = spl_name_key(name);

        column = GPOINTER_TO_INT(g_hash_table_lookup(csv->keys, key)) - 1;
        spl_csv_asked_keep(csv->asked, name, column);
    }
    return column;
}

gboolean spl_csv_column_required(const struct spl_csv *csv, const char *name, int *column,
                                 GError **error)
{
    int found = spl_csv_column(csv, name);

    if (found >= 0) {
        *column = found;
        return TRUE;
    }
    g_autoptr(GString) there = g_string_new(NULL);
    for (guint i = 0; i < csv->header->len && there->len < 300; i++)
        g_string_append_printf(there, "%s%s", i == 0 ? "" : ", ",
                               (const char *)g_ptr_array_index(csv->header, i));
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s has no column '%s'; its columns are: %s",
                csv->name, name, there->str);
    return FALSE;
}

gboolean spl_csv_next(struct spl_csv *csv, GError **error)
{
    return gather_row(csv, csv->line_of, FALSE, error);
}

gboolean spl_csv_broken(const struct spl_csv *csv)
{
    return csv->broken;
}

int spl_csv_line(const struct spl_csv *csv)
{
    return csv->row_line;
}

const char *spl_csv_text(const struct spl_csv *csv, int column)
{
    if (column < 0 || (guint)column >= csv->starts->len)
        return "";
    return cell_of(csv, (guint)column);
}

/* A cell, shortened for a message. */
static char *shown_cell(const char *cell)
{
    g_autofree char *clean = spl_text_scrub(cell, FALSE);

    return g_utf8_substring(clean, 0, MIN(g_utf8_strlen(clean, -1), 40));
}

static gboolean has_decimal_comma(const char *cell)
{
    const char *comma = strchr(cell, ',');

    return comma != NULL && strchr(comma + 1, ',') == NULL && strchr(cell, '.') == NULL &&
           cell[strspn(cell, "+-0123456789, ")] == '\0';
}

/* Says what is wrong with a cell that is no number. */
static gboolean refuse_number(const struct spl_csv *csv, int column, GError **error)
{
    const char *cell = spl_csv_text(csv, column);
    g_autofree char *shown = shown_cell(cell);

    if (has_decimal_comma(cell)) {
        g_autofree char *pointed = g_strdelimit(g_strdup(shown), ",", '.');
        return spl_csv_fail(csv, column, SPL_ERROR_INVALID, error,
                            "'%s' has a decimal comma; write %s", shown, pointed);
    }
    return spl_csv_fail(csv, column, SPL_ERROR_INVALID, error,
                        "'%s' is no number; write it with a decimal point and no unit", shown);
}

/* A number that overflows is infinite and so out of any range. */
gboolean spl_csv_number(const struct spl_csv *csv, int column, double min, double max,
                        double *number, GError **error)
{
    const char *cell = spl_csv_text(csv, column);
    char *end = NULL;

    if (cell[0] == '\0') {
        *number = NAN;
        return TRUE;
    }
    g_autofree char *pointed = NULL;
    if (csv->comma && has_decimal_comma(cell))
        cell = pointed = g_strdelimit(g_strdup(cell), ",", '.');
    double value = g_ascii_strtod(cell, &end);
    if (end == cell || *end != '\0' || cell[strspn(cell, "+-.0123456789eE")] != '\0')
        return refuse_number(csv, column, error);
    if (!(value >= min && value <= max)) {
        g_autofree char *shown = shown_cell(cell);
        g_autofree char *least = spl_number_format(min, 6);
        g_autofree char *most = spl_number_format(max, 6);
        return spl_csv_fail(csv, column, SPL_ERROR_INVALID, error, "%s is not between %s and %s",
                            shown, least, most);
    }
    *number = value;
    return TRUE;
}

gboolean spl_csv_count(const struct spl_csv *csv, int column, int min, int max, int *count,
                       GError **error)
{
    double number = NAN;

    if (!spl_csv_number(csv, column, min, max, &number, error))
        return FALSE;
    if (isnan(number))
        return TRUE;
    if (floor(number) < number)
        return spl_csv_fail(csv, column, SPL_ERROR_INVALID, error, "'%s' is no whole number",
                            spl_csv_text(csv, column));
    *count = (int)number;
    return TRUE;
}

gboolean spl_csv_day(const struct spl_csv *csv, int column, struct spl_day *day, GError **error)
{
    const char *cell = spl_csv_text(csv, column);

    if (cell[0] == '\0') {
        *day = SPL_DAY_NONE;
        return TRUE;
    }
    g_autofree char *what = g_strdup_printf("%s:%d: column '%s'", csv->name, csv->row_line,
                                            spl_csv_header(csv, column));
    return spl_day_parse(cell, what, day, error);
}

/* SPDX-License-Identifier: MIT
 *
 * Files out: the calendar, a slip, places, the whole book. A row of the table is one of them; its
 * form comes from the table of inputs, and another process makes the file in its present folder,
 * which goes when it was sent (desk/errand.h). See desk/page.h.
 */
#include <glib/gstdio.h>
#include <string.h>

#include "desk/file_kinds.h"
#include "desk/form.h"
#include "desk/page.h"
#include "desk/slip.h"
#include "desk/unpack.h"
#include "simpling/calendar.h"
#include "simpling/carry.h"
#include "simpling/error.h"
#include "simpling/site_carry.h"
#include "simpling/trust.h"

#define ENDING "ending" /* the key of the form of file that is wished */
#define FILE_MAX ((guint64)1 << 30)

/* Makes `name`, or of a map layer its parts beside it. */
#define MAKE(name_)                                                                                \
    static gboolean make_##name_(struct spl_house *house, void *said, const char *name,            \
                                 GError **error)

MAKE(calendar)
{
    struct spl_calendar_words *words = said;
    struct spl_calendar_written written;
    gboolean any;

    words->out = g_strdup(name);
    if (words->as == NULL)
        words->as = g_strdup(SPL_DESK_CALENDAR);
    if (!spl_calendar_write(house, words, NULL, &written, error))
        return FALSE;
    any = written.file != NULL;
    spl_record_clear(&spl_calendar_written_shape, &written);
    if (!any)
        spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "new_only",
                            "there is nothing that this calendar has not had; leave it out for the "
                            "whole file");
    return any;
}

MAKE(slip)
{
    struct spl_slip_words *words = said;
    struct spl_slip_written written;

    words->out = g_strdup(name);
    if (!spl_slip_write(house, words, &written, error))
        return FALSE;
    spl_record_clear(&spl_slip_written_shape, &written);
    return TRUE;
}

MAKE(places)
{
    struct spl_site_export_words *words = said;
    struct spl_site_export done;

    words->path = g_strdup(name);
    if (!spl_site_export(house, words, &done, error))
        return FALSE;
    spl_record_clear(&spl_site_export_shape, &done);
    return TRUE;
}

MAKE(tables)
{
    struct spl_carry_words *words = said;
    struct spl_carried carried;

    words->path = g_strdup(name);
    if (!spl_carry_out(house, words, &carried, error))
        return FALSE;
    spl_record_clear(&spl_carried_shape, &carried);
    return TRUE;
}

MAKE(backup)
{
    (void)said;
    return spl_book_copy(house, name, error);
}

MAKE(lent)
{
    struct spl_lend_words *words = said;
    struct spl_lent lent;

    words->path = g_strdup(name);
    if (!spl_book_lend(house, words, &lent, error))
        return FALSE;
    spl_record_clear(&spl_lent_shape, &lent);
    return TRUE;
}

/* clang-format off */
static const struct out {
    const char *name, *title, *about;
    const char *stem;    /* of the file's name */
    const char *endings; /* that may be wished, the usual first; what has none of ".shp" and "" is one file */
    const struct spl_inputs *inputs;
    const char *without; /* keys that the desk does not ask for, with blanks; NULL: none */
    gboolean writes;     /* the book notes what was given out */
    gboolean (*make)(struct spl_house *house, void *said, const char *name, GError **error);
} outs[] = {
    {"calendar", "The calendar", "Every date of the book as a file for any calendar application. What you change there comes back by its form among the files.",
     "season", ".ics", &spl_calendar_inputs, "out split kinds force", TRUE, make_calendar},
    {"slip", "A slip for the hedge", "One file to carry: may I pick here, how much, what looks like it. Past the last of its days nothing on it is clear. It tells where the places are, unless you leave them out.",
     "slip", ".html .txt", &spl_slip_inputs, "out force", FALSE, make_slip},
    {"places", "The places", "The places with their verdicts for a map or a phone. A stand's place is private: think before you pass them on, and look again before you pick.",
     "places", ".geojson .gpx .shp", &spl_site_export_inputs, "file force", FALSE, make_places},
    {"tables", "Every table", "The whole book as CSV with its places and hazards as GeoJSON, in a zip; README.txt in it says what each table is. It holds people's names and where the stands are.",
     "everything", "", &spl_carry_out_inputs, "folder", FALSE, make_tables},
    {"backup", "A backup", "A checked copy of the book, as it stands now. Keep it on another disk; photos lie beside the book and are copied on their own.",
     "backup", ".db", &spl_book_copy_inputs, "file", FALSE, make_backup},
    {"lent", "A book for a second machine", "A copy that writes under a mark of its own, so that both may be written; it is lent once and then only merged. If the file does not arrive, take another mark.",
     "lent", ".db", &spl_lend_inputs, "file", TRUE, make_lent},
};

static const struct {
    const char *ending, *type, *words;
} types[] = {
    {".ics", "text/calendar; charset=utf-8", "calendar (.ics)"},
    {".html", "text/html; charset=utf-8", "page (.html)"},
    {".txt", "text/plain; charset=utf-8", "plain text (.txt)"},
    {".geojson", "application/geo+json", "GeoJSON"},
    {".gpx", "application/gpx+xml", "GPX waypoints, for a phone"},
    {".shp", "application/zip", "shapefile, in a zip"},
    {".db", "application/vnd.sqlite3", "book (.db)"},
    {"", "application/zip", "zip"},
};
/* clang-format on */

static const struct out *find_out(const char *name)
{
    for (gsize i = 0; i < G_N_ELEMENTS(outs); i++)
        if (g_strcmp0(outs[i].name, name) == 0)
            return &outs[i];
    return NULL;
}

static gsize type_of(const char *ending)
{
    gsize i = 0;

    while (i + 1 < G_N_ELEMENTS(types) && strcmp(types[i].ending, ending) != 0)
        i++;
    return i;
}

/* What is wished, the usual one otherwise. Free with g_free. */
static char *ending_of(const struct out *out, const GArray *pairs)
{
    const char *wished = pairs != NULL ? spl_pairs_get(pairs, ENDING) : NULL;
    g_auto(GStrv) each = g_strsplit(out->endings, " ", -1);

    if (each[0] == NULL)
        return g_strdup("");
    return g_strdup(wished != NULL && g_strv_contains((const char *const *)each, wished) ? wished
                                                                                         : each[0]);
}

/* The form --------------------------------------------------------------------------------------
 */

static void put_endings(struct spl_html *html, const struct out *out, const GArray *pairs)
{
    g_auto(GStrv) each = g_strsplit(out->endings, " ", -1);
    g_autofree char *chosen = ending_of(out, pairs);

    if (g_strv_length(each) < 2)
        return;
    spl_html_open(html, "p");
    spl_html_open(html, "label");
    spl_html_attr(html, "for", "f-ending");
    spl_html_text(html, "Form of the file");
    spl_html_close(html, "label");
    spl_html_open(html, "select");
    spl_html_attr(html, "id", "f-ending");
    spl_html_attr(html, "name", ENDING);
    for (guint i = 0; each[i] != NULL; i++) {
        spl_html_open(html, "option");
        spl_html_attr(html, "value", each[i]);
        spl_html_flag(html, "selected", strcmp(each[i], chosen) == 0);
        spl_html_text(html, types[type_of(each[i])].words);
        spl_html_close(html, "option");
    }
    spl_html_close(html, "select");
    spl_html_close(html, "p");
}

static void put_form(struct spl_visit *visit, const struct out *out,
                     const struct spl_reading *reading)
{
    const char *parts[] = {out->name, NULL};
    gboolean wrong = reading->errors->len > 0;
    g_autofree char *title = g_strconcat(wrong ? "Error: " : "", out->title, NULL);
    struct spl_html *html = spl_desk_begin_bare(visit, title, NULL);

    spl_form_summary(html, "f", reading);
    spl_desk_heading(html, out->title);
    spl_desk_say(html, out->about);
    spl_html_open(html, "form");
    spl_html_attr(html, "method", "post");
    spl_html_flag(html, "novalidate", TRUE);
    spl_html_link(html, "action", "/out", parts, NULL);
    put_endings(html, out, reading->pairs);
    spl_form_fields(html, "f", reading, out->without);
    spl_form_end(html, "Make the file");
    spl_visit_page(visit, wrong ? 422 : 200, spl_desk_end(html));
}

/* The file --------------------------------------------------------------------------------------
 */

/* What has parts is packed; `name` is what lies here then. */
static gboolean make_file(struct spl_house *house, const struct out *out, const char *ending,
                          void *said, char **name, GError **error)
{
    gboolean parts = *ending == '\0' || strcmp(ending, ".shp") == 0;
    g_autofree char *made = g_strconcat(out->stem, ending, NULL);

    if (strcmp(ending, ".shp") == 0) {
        g_free(made);
        made = g_build_filename(out->stem, "places.shp", NULL);
        if (g_mkdir(out->stem, 0700) != 0) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                        "the file cannot be made; make room on the disk");
            return FALSE;
        }
    }
    *name = parts ? g_strconcat(out->stem, ".zip", NULL) : g_strdup(made);
    return out->make(house, said, made, error) && (!parts || spl_pack(out->stem, *name, error));
}

static gboolean read_made(struct spl_visit *visit, const char *name, GError **error)
{
    GStatBuf is;

    if (g_stat(name, &is) == 0 && (guint64)is.st_size > FILE_MAX) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_LIMIT,
                    "the file is larger than the desk sends (1 GB); make it at the command line");
        return FALSE;
    }
    return g_file_get_contents(name, &visit->body, &visit->length, error);
}

static void send_out(struct spl_visit *visit, const struct out *out, struct spl_reading *reading)
{
    g_autofree char *ending = ending_of(out, visit->form), *name = NULL;
    g_autoptr(spl_house) house = NULL;
    char day[SPL_DAY_TEXT_SIZE];
    GError *error = NULL;

    if (visit->files == NULL)
        g_set_error(&error, SPL_ERROR, SPL_ERROR_IO,
                    "There is no room for the file; make some on the disk and try again");
    else
        house =
            spl_house_open(&visit->where, out->writes ? SPL_HOUSE_WRITE : SPL_HOUSE_READ, &error);
    if (house == NULL || !make_file(house, out, ending, reading->said, &name, &error) ||
        !read_made(visit, name, &error)) {
        spl_reading_wrong(reading, error);
        put_form(visit, out, reading);
        return;
    }
    visit->status = 200;
    visit->type = types[type_of(ending)].type;
    visit->file = g_strdup_printf("%s-%s%s", out->stem, spl_day_format(visit->where.today, day),
                                  strrchr(name, '.'));
}

void spl_desk_out(struct spl_visit *visit)
{
    const struct out *out = find_out(spl_visit_of(visit));
    g_autoptr(spl_house) house = NULL;
    struct spl_reading reading;

    if (out == NULL || visit->steps[2] != NULL) {
        struct spl_html *html = spl_desk_begin(visit, "There is no such file", NULL);

        spl_desk_say(html, "The desk makes no file under this address.");
        spl_visit_page(visit, 404, spl_desk_end(html));
        return;
    }
    /* The book says in which units words are read. */
    house = spl_house_open(&visit->where, SPL_HOUSE_READ, NULL);
    spl_reading_begin(&reading, out->inputs, visit->form != NULL ? visit->form : visit->query,
                      ENDING);
    g_clear_pointer(&house, spl_house_close);
    if (visit->form == NULL || reading.errors->len > 0)
        put_form(visit, out, &reading);
    else
        send_out(visit, out, &reading);
    spl_reading_end(&reading);
}

void spl_desk_out_links(struct spl_html *html)
{
    spl_desk_part(html, "Out of the book");
    spl_html_open(html, "ul");
    spl_html_attr(html, "class", "ledger");
    for (gsize i = 0; i < G_N_ELEMENTS(outs); i++) {
        const char *parts[] = {outs[i].name, NULL};

        spl_html_open(html, "li");
        spl_html_open(html, "a");
        spl_html_link(html, "href", "/out", parts, NULL);
        spl_html_text(html, outs[i].title);
        spl_html_close(html, "a");
        spl_html_text(html, " ");
        spl_html_line(html, "small", NULL, outs[i].about);
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
}

/* SPDX-License-Identifier: MIT
 *
 * A slip as one page of HTML. See desk/slip.h. What the script needs to know stands in attributes
 * "data-…" of what it is about, so that nothing is said twice.
 */
#include "desk/slip.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "desk/assets.h"
#include "desk/html.h"
#include "desk/slip_parts.h"
#include "simpling/customs.h"

struct page {
    spl_html *html;
    const struct spl_slip *slip;
    GPtrArray *stages; /* each set of stages to choose among, "in bud|first flowers", once */
};

/* ---- head ---- */

static char *hash_of(const char *text)
{
    GChecksum *sum = g_checksum_new(G_CHECKSUM_SHA256);
    guint8 digest[32];
    gsize length = sizeof digest;
    char *base64;

    g_checksum_update(sum, (const guchar *)text, -1);
    g_checksum_get_digest(sum, digest, &length);
    g_checksum_free(sum);
    base64 = g_base64_encode(digest, length);
    return base64;
}

static void write_head(struct page *page, const char *title)
{
    spl_html *html = page->html;
    g_autofree char *script_hash = hash_of(spl_asset("slip.js", NULL)),
                    *style_hash = hash_of(spl_asset("slip.css", NULL));
    g_autofree char *policy = g_strdup_printf("default-src 'none'; script-src 'sha256-%s'; "
                                              "style-src 'sha256-%s'; img-src data:; base-uri "
                                              "'none'; form-action 'none'",
                                              script_hash, style_hash);

    spl_html_open(html, "head");
    spl_html_open(html, "meta");
    spl_html_attr(html, "charset", "utf-8");
    spl_html_policy(html, policy);
    spl_html_open(html, "meta");
    spl_html_attr(html, "name", "viewport");
    spl_html_attr(html, "content", "width=device-width, initial-scale=1");
    spl_html_open(html, "meta");
    spl_html_attr(html, "name", "generator");
    spl_html_attr(html, "content", "simpling-slip");
    spl_html_open(html, "meta");
    spl_html_attr(html, "name", "color-scheme");
    spl_html_attr(html, "content", "light");
    spl_html_open(html, "meta");
    spl_html_attr(html, "name", "format-detection");
    spl_html_attr(html, "content", "telephone=no");
    spl_html_line(html, "title", NULL, title);
    spl_html_open(html, "style");
    spl_html_own(html, spl_asset("slip.css", NULL));
    spl_html_close(html, "style");
    spl_html_close(html, "head");
}

static void day_attr(spl_html *html, const char *name, struct spl_day day)
{
    char text[SPL_DAY_TEXT_SIZE];

    spl_html_attr(html, name, spl_day_format(day, text));
}

static void write_top(struct page *page)
{
    spl_html *html = page->html;
    const struct spl_slip *slip = page->slip;
    g_autofree char *good = spl_slip_days_words(slip),
                    *written = spl_slip_day_words(slip->today, TRUE);

    spl_html_open(html, "header");
    spl_html_open(html, "h1");
    spl_html_text(html, "Slip: ");
    spl_html_name(html, slip->of);
    spl_html_close(html, "h1");
    spl_html_open(html, "p");
    spl_html_attr(html, "class", "good");
    spl_html_printf(html, "%s. On any other day nothing here is clear.", good);
    spl_html_close(html, "p");
    spl_html_open(html, "p");
    spl_html_attr(html, "id", "state");
    spl_html_attr(html, "role", "status");
    spl_html_flag(html, "hidden", TRUE);
    spl_html_close(html, "p");
    if (!slip->group) {
        spl_html_open(html, "p");
        spl_html_attr(html, "id", "unkept");
        spl_html_attr(html, "class", "shut");
        spl_html_flag(html, "hidden", TRUE);
        spl_html_close(html, "p");
    }
    spl_html_open(html, "p");
    spl_html_attr(html, "class", "only");
    spl_html_printf(html, "As the book knew it on %s%s%s.", written,
                    slip->clock != NULL ? ", " : "", slip->clock != NULL ? slip->clock : "");
    spl_html_close(html, "p");
    spl_html_close(html, "header");
}

/* ---- places ---- */

static void write_run(struct page *page, const struct spl_slip_run *run)
{
    spl_html *html = page->html;
    g_autofree char *days = spl_slip_run_words(run->first, run->last);

    spl_html_open(html, "li");
    day_attr(html, "data-f", run->first);
    day_attr(html, "data-l", run->last);
    spl_html_attr(html, "data-v", spl_verdict_names[run->verdict]);
    spl_html_printf(html, "%s: ", days);
    spl_html_open(html, "b");
    spl_html_text(html, spl_slip_verdict_words(run->verdict));
    spl_html_close(html, "b");
    for (guint i = 0; i < run->why->len; i++)
        spl_html_printf(html, "%s%d%s", i == 0 ? " (" : ", ",
                        g_array_index(run->why, struct spl_slip_why, i).reason + 1,
                        i + 1 == run->why->len ? ")" : "");
    spl_html_close(html, "li");
}

/* The dated verdicts of a class, under what they are of where the place has several. */
static void write_class(struct page *page, const struct spl_slip_place *place, int class)
{
    spl_html *html = page->html;
    const GArray *runs = g_array_index(place->classes, struct spl_slip_class, class).runs;
    g_autofree char *of = spl_slip_class_words(place, class);

    if (place->classes->len > 1) {
        spl_html_open(html, "p");
        spl_html_attr(html, "class", "of");
        spl_html_printf(html, "%s%s%s", class == 0 ? "the place itself" : "",
                        class == 0 && of != NULL ? ", " : "", of != NULL ? of : "");
        spl_html_close(html, "p");
    }
    spl_html_open(html, "ul");
    spl_html_attr(html, "class", "plain days");
    spl_html_attr_number(html, "data-class", class);
    for (guint i = 0; i < runs->len; i++)
        write_run(page, &g_array_index(runs, struct spl_slip_run, i));
    spl_html_close(html, "ul");
}

/* The place of a material's stages among those of the slip. */
static guint stages_of(struct page *page, const struct spl_slip_material *material)
{
    GString *stages = g_string_new(NULL);

    for (guint i = 0; i < material->stages->len; i++)
        g_string_append_printf(stages, "%s%s", i > 0 ? "|" : "",
                               (const char *)g_ptr_array_index(material->stages, i));
    for (guint i = 0; i < page->stages->len; i++)
        if (strcmp(g_ptr_array_index(page->stages, i), stages->str) == 0) {
            g_string_free(stages, TRUE);
            return i;
        }
    g_ptr_array_add(page->stages, g_string_free(stages, FALSE));
    return page->stages->len - 1;
}

/* `hours`: those of the place, which need not be said again. */
static void write_material(struct page *page, const struct spl_slip_material *material,
                           const char *hours)
{
    spl_html *html = page->html;
    const struct spl_slip_plant *plant =
        &g_array_index(page->slip->plants, struct spl_slip_plant, material->plant);
    g_autofree char *left = spl_slip_left_words(material);
    g_autofree char *season = spl_slip_season_words(material);
    g_autofree char *kin = g_strdup_printf("k-%d", material->plant);

    spl_html_open(html, "li");
    if (!page->slip->group) {
        spl_html_attr_number(html, "data-c", material->class);
        spl_html_attr_number(html, "data-p", material->plant);
        spl_html_attr_number(html, "data-s", stages_of(page, material));
        if (!isnan(material->left_g))
            spl_html_attr_number(html, "data-left", (gint64)floor(material->left_g));
    }
    spl_html_line(html, "b", NULL, material->spoken);
    if (left != NULL) {
        spl_html_text(html, ": ");
        spl_html_line(html, "i", NULL, left);
    }
    if (!isnan(material->wanted_g)) {
        g_autofree char *wanted = spl_mass_format(material->wanted_g);

        spl_html_printf(html, "; wanted %s%s%s", wanted, material->what_for != NULL ? " for " : "",
                        material->what_for != NULL ? material->what_for : "");
    }
    if (plant->deadly) {
        spl_html_text(html, " ");
        spl_html_open(html, "a");
        spl_html_place(html, kin);
        spl_html_text(html, "DEADLY KIN");
        spl_html_close(html, "a");
    }
    if (season != NULL || material->stage != NULL) {
        spl_html_open(html, "br");
        spl_html_printf(html, "%s%s%s", season != NULL ? season : "",
                        season != NULL && material->stage != NULL ? "; " : "",
                        material->stage != NULL ? material->stage : "");
    }
    if (material->hours != NULL && g_strcmp0(material->hours, hours) != 0) {
        spl_html_open(html, "br");
        spl_html_text(html, material->hours);
    }
    if (material->stand != NULL) {
        spl_html_open(html, "br");
        spl_html_printf(html, "the stand: %s", material->stand);
    }
    spl_html_close(html, "li");
}

/* The hours of what is no flower, where there is such: they are said once. */
static const char *hours_of(const struct spl_slip_place *place)
{
    const char *hours = NULL;

    for (guint i = 0; i < place->materials->len; i++) {
        const char *one = g_array_index(place->materials, struct spl_slip_material, i).hours;

        if (one != NULL && (hours == NULL || strlen(one) < strlen(hours)))
            hours = one; /* what adds "while the flowers are fresh" is longer */
    }
    return hours;
}

static void write_why(struct page *page, const struct spl_slip_place *place)
{
    spl_html *html = page->html;

    spl_html_open(html, "details");
    spl_html_line(html, "summary", NULL,
                  page->slip->group ? "What is known" : "Why, and whom to ask");
    if (place->reasons->len > 0) {
        spl_html_open(html, "ol");
        for (guint i = 0; i < place->reasons->len; i++)
            spl_html_line(html, "li", NULL, g_ptr_array_index(place->reasons, i));
        spl_html_close(html, "ol");
    }
    if (place->ask != NULL) {
        spl_html_open(html, "p");
        spl_html_text(html, "Ask: ");
        spl_html_name(html, place->ask);
        spl_html_close(html, "p");
    }
    if (place->leave != NULL)
        spl_html_line(html, "p", NULL, place->leave);
    if (place->remark != NULL && *place->remark != '\0')
        spl_html_line(html, "p", NULL, place->remark);
    spl_html_open(html, "p");
    spl_html_printf(html, "Reckoned from %s.", place->reckoned_from);
    spl_html_close(html, "p");
    spl_html_close(html, "details");
}

static void write_place(struct page *page, const struct spl_slip_place *place, guint number)
{
    spl_html *html = page->html;
    g_autofree char *id = g_strdup_printf("p%u", number + 1),
                    *good = spl_slip_days_words(page->slip);

    spl_html_open(html, "article");
    spl_html_attr(html, "class", "place");
    spl_html_attr(html, "id", id);
    spl_html_attr(html, "data-place", place->name);
    if (!isnan(place->lat)) {
        g_autofree char *lat = spl_number_format(place->lat, 5),
                        *lon = spl_number_format(place->lon, 5);

        spl_html_attr(html, "data-lat", lat);
        spl_html_attr(html, "data-lon", lon);
    }
    spl_html_open(html, "h3");
    spl_html_name(html, place->name);
    if (!page->slip->group) {
        spl_html_text(html, " ");
        spl_html_open(html, "span");
        spl_html_attr(html, "class", "far");
        if (!isnan(place->km)) {
            g_autofree char *far = spl_distance_format(place->km);

            spl_html_printf(html, "%s from home", far);
        }
        spl_html_close(html, "span");
    }
    spl_html_close(html, "h3");
    for (guint i = 0; i < place->classes->len; i++)
        write_class(page, place, (int)i);
    if (place->materials->len > 0) {
        const char *hours = hours_of(place);

        spl_html_open(html, "ul");
        spl_html_attr(html, "class", "plain herbs");
        for (guint i = 0; i < place->materials->len; i++)
            write_material(page, &g_array_index(place->materials, struct spl_slip_material, i),
                           hours);
        spl_html_close(html, "ul");
        if (hours != NULL) {
            spl_html_open(html, "p");
            spl_html_printf(html, "Pick %s.", hours);
            spl_html_close(html, "p");
        }
    } else {
        spl_html_line(html, "p", "none", "Nothing that is known to grow here is in season.");
    }
    write_why(page, place);
    spl_html_open(html, "p");
    spl_html_attr(html, "class", "only");
    spl_html_printf(html, "%s only.", good);
    spl_html_close(html, "p");
    spl_html_close(html, "article");
}

static void write_places(struct page *page)
{
    spl_html *html = page->html;
    const GArray *places = page->slip->places;

    spl_slip_section(html, "places", places->len == 1 ? "The place" : "Places", FALSE);
    if (page->slip->positions)
        spl_slip_button(html, "near", "small", "Nearest first", TRUE);
    for (guint i = 0; i < places->len; i++)
        write_place(page, &g_array_index(places, struct spl_slip_place, i), i);
    spl_html_close(html, "section");
}

/* ---- look-alikes and care, once a plant ---- */

/* The care of all its parts on the slip, each sentence once. */
static void write_care(struct page *page, int plant)
{
    g_autoptr(GHashTable) told = g_hash_table_new(g_str_hash, g_str_equal);
    const GArray *places = page->slip->places;
    gboolean begun = FALSE;

    for (guint i = 0; i < places->len; i++) {
        const GArray *materials = g_array_index(places, struct spl_slip_place, i).materials;

        for (guint k = 0; k < materials->len; k++) {
            const struct spl_slip_material *one =
                &g_array_index(materials, struct spl_slip_material, k);

            for (guint j = 0; one->plant == plant && j < one->care->len; j++) {
                if (!g_hash_table_add(told, g_ptr_array_index(one->care, j)))
                    continue;
                if (!begun)
                    spl_html_open(page->html, "ul");
                begun = TRUE;
                spl_html_line(page->html, "li", NULL, g_ptr_array_index(one->care, j));
            }
        }
    }
    if (begun)
        spl_html_close(page->html, "ul");
}

static void write_plant(struct page *page, int number)
{
    spl_html *html = page->html;
    const struct spl_slip_plant *plant =
        &g_array_index(page->slip->plants, struct spl_slip_plant, number);
    g_autofree char *id = g_strdup_printf("k-%d", number);

    spl_html_open(html, "div");
    spl_html_attr(html, "id", id);
    if (plant->deadly)
        spl_html_attr(html, "class", "kin");
    spl_html_open(html, "h3");
    spl_html_text(html, plant->common);
    spl_html_text(html, " ");
    spl_html_open(html, "i");
    spl_html_attr(html, "lang", "la");
    spl_html_text(html, plant->latin);
    spl_html_close(html, "i");
    spl_html_close(html, "h3");
    if (*plant->lookalikes != '\0') {
        spl_html_open(html, "p");
        spl_html_printf(html, "%s%s", plant->deadly ? "DEADLY LOOK-ALIKES: " : "Look-alikes: ",
                        plant->lookalikes);
        spl_html_close(html, "p");
    }
    write_care(page, number);
    spl_html_close(html, "div");
}

static void write_plants(struct page *page)
{
    spl_html *html = page->html;
    const GArray *plants = page->slip->plants;
    gboolean others = FALSE;

    if (plants->len == 0)
        return;
    spl_slip_section(html, "kin", "Deadly kin, look-alikes and care", FALSE);
    for (guint i = 0; i < plants->len; i++)
        if (g_array_index(plants, struct spl_slip_plant, i).deadly)
            write_plant(page, (int)i);
        else
            others = TRUE;
    if (others) {
        spl_html_open(html, "details");
        spl_html_line(html, "summary", NULL, "The other plants");
        for (guint i = 0; i < plants->len; i++)
            if (!g_array_index(plants, struct spl_slip_plant, i).deadly)
                write_plant(page, (int)i);
        spl_html_close(html, "details");
    }
    spl_html_close(html, "section");
}

/* ---- jars ---- */

static void write_steps(struct page *page)
{
    spl_html *html = page->html;
    const GArray *steps = page->slip->steps;

    if (steps->len == 0)
        return;
    spl_slip_section(html, "jars", "Jars", FALSE);
    spl_html_open(html, "details");
    spl_html_open(html, "summary");
    spl_html_printf(html, "%u step%s due", steps->len, steps->len == 1 ? "" : "s");
    spl_html_close(html, "summary");
    spl_html_open(html, "ul");
    spl_html_attr(html, "class", "plain");
    for (guint i = 0; i < steps->len; i++) {
        const struct spl_slip_step *step = &g_array_index(steps, struct spl_slip_step, i);
        g_autofree char *due = spl_slip_day_words(step->due, FALSE);
        g_autofree char *tick = g_strdup_printf("%s %s", step->done, step->code);

        spl_html_open(html, "li");
        spl_html_printf(html, "%s, %s: %s by %s. %s", step->code, step->what, step->step, due,
                        step->words != NULL ? step->words : "");
        spl_html_open(html, "button");
        spl_html_attr(html, "type", "button");
        spl_html_attr(html, "class", "small");
        spl_html_attr(html, "data-tick", tick);
        spl_html_flag(html, "hidden", TRUE);
        spl_html_printf(html, "Done: %s", tick);
        spl_html_close(html, "button");
        spl_html_close(html, "li");
    }
    spl_html_close(html, "ul");
    spl_html_close(html, "details");
    spl_html_close(html, "section");
}

static void write_link(spl_html *html, const char *to, const char *id, const char *words)
{
    spl_html_open(html, "a");
    spl_html_place(html, to);
    spl_html_attr(html, "id", id);
    if (id != NULL) {
        spl_html_attr(html, "class", "with-script");
        spl_html_flag(html, "hidden", TRUE);
    }
    spl_html_text(html, words);
    spl_html_close(html, "a");
}

static void write_foot(struct page *page)
{
    spl_html *html = page->html;
    const GPtrArray *cautions = page->slip->cautions;

    spl_html_open(html, "footer");
    spl_html_line(
        html, "p", NULL,
        "Clear means that nothing is known against it: look with your own eyes, and leave "
        "what you are not sure of. Nothing on this slip leaves the phone by itself.");
    for (guint i = 0; i < cautions->len; i++)
        spl_html_line(html, "p", NULL, g_ptr_array_index(cautions, i));
    spl_html_close(html, "footer");
}

static void write_bar(struct page *page)
{
    spl_html *html = page->html;

    spl_html_open(html, "nav");
    spl_html_attr(html, "class", "bar");
    spl_html_attr(html, "aria-label", "On this slip");
    write_link(html, "places", NULL, "Places");
    if (page->slip->plants->len > 0)
        write_link(html, "kin", NULL, "Kin");
    if (!page->slip->group) {
        write_link(html, "log", "bar-log", "Log");
        write_link(html, "notes-section", "bar-notes", "Notes");
    }
    spl_html_close(html, "nav");
}

static void begin_body(struct page *page)
{
    spl_html *html = page->html;
    const struct spl_slip *slip = page->slip;

    spl_html_open(html, "body");
    spl_html_attr(html, "data-book", slip->mark);
    spl_html_attr(html, "data-slip", slip->id);
    day_attr(html, "data-first", slip->first);
    day_attr(html, "data-last", slip->last);
    day_attr(html, "data-today", slip->today);
    spl_html_attr(html, "data-zone", slip->zone);
    spl_html_attr(html, "data-units", spl_customs()->print == SPL_UNITS_METRIC ? "metric" : "us");
    spl_html_attr(html, "data-who", slip->who);
    spl_html_attr(html, "data-positions", slip->positions ? "1" : NULL);
}

char *spl_slip_page(const struct spl_slip *slip)
{
    struct page page = {
        .html = spl_html_new(), .slip = slip, .stages = g_ptr_array_new_with_free_func(g_free)};
    g_autofree char *days = spl_slip_run_words(slip->first, slip->last);
    g_autofree char *title = g_strdup_printf("Slip, %s: %s", days, slip->of);

    spl_html_open(page.html, "html");
    spl_html_attr(page.html, "lang", "en");
    write_head(&page, title);
    begin_body(&page);
    write_top(&page);
    spl_html_open(page.html, "main");
    write_places(&page);
    write_plants(&page);
    if (!slip->group) {
        if (page.stages->len > 0)
            spl_slip_stages(page.html, page.stages);
        spl_slip_log(page.html);
        spl_slip_notes(page.html);
        write_steps(&page);
    }
    spl_html_close(page.html, "main");
    write_foot(&page);
    write_bar(&page);
    spl_html_open(page.html, "script");
    spl_html_own(page.html, spl_asset("slip.js", NULL));
    spl_html_close(page.html, "script");
    spl_html_close(page.html, "body");
    spl_html_close(page.html, "html");
    g_ptr_array_unref(page.stages);
    return spl_html_finish(page.html);
}

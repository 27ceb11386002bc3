/* SPDX-License-Identifier: MIT
 *
 * A slip as plain text: the page's twin, for mail that lets no page through and for whatever opens
 * nothing else. At its end stand lines to fill in and send back, with their identities.
 */
#include "desk/slip.h"

#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "simpling/customs.h"

static void write_top(GString *text, const struct spl_slip *slip)
{
    g_autofree char *good = spl_slip_days_words(slip),
                    *written = spl_slip_day_words(slip->today, TRUE);

    g_string_append_printf(
        text,
        "SIMPLING SLIP: %s\n\n%s. On any other day nothing here is clear.\n"
        "As the book knew it on %s%s%s. Clear means that nothing is known against "
        "it:\nlook with your own eyes.\n",
        slip->of, good, written, slip->clock != NULL ? ", " : "",
        slip->clock != NULL ? slip->clock : "");
    for (guint i = 0; i < slip->cautions->len; i++)
        g_string_append_printf(text, "%s\n", (const char *)g_ptr_array_index(slip->cautions, i));
}

static void write_class(GString *text, const struct spl_slip_place *place, int class)
{
    const GArray *runs = g_array_index(place->classes, struct spl_slip_class, class).runs;
    g_autofree char *of = spl_slip_class_words(place, class);

    if (place->classes->len > 1)
        g_string_append_printf(text, "  %s%s%s\n", class == 0 ? "the place itself" : "",
                               class == 0 && of != NULL ? ", " : "", of != NULL ? of : "");
    for (guint i = 0; i < runs->len; i++) {
        const struct spl_slip_run *run = &g_array_index(runs, struct spl_slip_run, i);
        g_autofree char *days = spl_slip_run_words(run->first, run->last);

        g_string_append_printf(text, "  %s: %s", days, spl_slip_verdict_words(run->verdict));
        for (guint k = 0; k < run->why->len; k++)
            g_string_append_printf(text, "%s%d%s", k == 0 ? " (" : ", ",
                                   g_array_index(run->why, struct spl_slip_why, k).reason + 1,
                                   k + 1 == run->why->len ? ")" : "");
        g_string_append_c(text, '\n');
    }
}

static void write_material(GString *text, const struct spl_slip *slip,
                           const struct spl_slip_material *material)
{
    const struct spl_slip_plant *plant =
        &g_array_index(slip->plants, struct spl_slip_plant, material->plant);
    g_autofree char *left = spl_slip_left_words(material);
    g_autofree char *season = spl_slip_season_words(material);

    g_string_append_printf(text, "  * %s%s%s%s", material->spoken, left != NULL ? ": " : "",
                           left != NULL ? left : "",
                           plant->deadly ? "; DEADLY KIN, see below" : "");
    if (!isnan(material->wanted_g)) {
        g_autofree char *wanted = spl_mass_format(material->wanted_g);

        g_string_append_printf(text, "; wanted %s%s%s", wanted,
                               material->what_for != NULL ? " for " : "",
                               material->what_for != NULL ? material->what_for : "");
    }
    g_string_append_c(text, '\n');
    if (season != NULL || material->stage != NULL)
        g_string_append_printf(text, "    %s%s%s\n", season != NULL ? season : "",
                               season != NULL && material->stage != NULL ? "; " : "",
                               material->stage != NULL ? material->stage : "");
    if (material->hours != NULL)
        g_string_append_printf(text, "    %s\n", material->hours);
    if (material->stand != NULL)
        g_string_append_printf(text, "    the stand: %s\n", material->stand);
}

static void write_place(GString *text, const struct spl_slip *slip,
                        const struct spl_slip_place *place)
{
    g_autofree char *good = spl_slip_days_words(slip);

    g_string_append_printf(text, "\n%s", place->name);
    if (!isnan(place->km)) {
        g_autofree char *far = spl_distance_format(place->km);

        g_string_append_printf(text, " (%s from home)", far);
    }
    g_string_append_printf(text, "\n  %s only.\n", good);
    for (guint i = 0; i < place->classes->len; i++)
        write_class(text, place, (int)i);
    for (guint i = 0; i < place->materials->len; i++)
        write_material(text, slip, &g_array_index(place->materials, struct spl_slip_material, i));
    if (place->materials->len == 0)
        g_string_append(text, "  Nothing that is known to grow here is in season.\n");
    for (guint i = 0; i < place->reasons->len; i++)
        g_string_append_printf(text, "  (%u) %s\n", i + 1,
                               (const char *)g_ptr_array_index(place->reasons, i));
    if (place->ask != NULL)
        g_string_append_printf(text, "  Ask: %s\n", place->ask);
    if (place->leave != NULL)
        g_string_append_printf(text, "  %s\n", place->leave);
    if (place->remark != NULL && *place->remark != '\0')
        g_string_append_printf(text, "  %s\n", place->remark);
    g_string_append_printf(text, "  Reckoned from %s.\n", place->reckoned_from);
}

/* Those with deadly kin first. */
static void write_plants(GString *text, const struct spl_slip *slip, gboolean deadly)
{
    for (guint i = 0; i < slip->plants->len; i++) {
        const struct spl_slip_plant *plant = &g_array_index(slip->plants, struct spl_slip_plant, i);

        if (plant->deadly == deadly && *plant->lookalikes != '\0')
            g_string_append_printf(text, "\n%s (%s), %s: %s\n", plant->common, plant->latin,
                                   deadly ? "DEADLY LOOK-ALIKES" : "look-alikes",
                                   plant->lookalikes);
    }
}

static void write_blank(GString *text, const struct spl_slip *slip, const char *place,
                        const char *what, int number)
{
    const struct spl_slip_line line = {
        .day = slip->first,
        .place = place,
        .what = what,
        .tag = {.slip = slip->id, .number = number, .revision = 1},
    };
    g_autofree char *written = spl_slip_line_write(&line);

    /* The day is to be filled in. */
    g_string_append_printf(text, "____-__-__%s\n", written + strlen("2027-07-14"));
}

static void write_blanks(GString *text, const struct spl_slip *slip)
{
    int number = 0;

    g_string_append(text,
                    "\nNOTES. Fill in the lines that you use, delete the others, and send them "
                    "back. The brackets\nsay which line it is: leave them as they are.\n\n");
    for (guint i = 0; i < slip->places->len; i++) {
        const struct spl_slip_place *place = &g_array_index(slip->places, struct spl_slip_place, i);

        for (guint k = 0; k < place->materials->len; k++) {
            const struct spl_slip_material *one =
                &g_array_index(place->materials, struct spl_slip_material, k);
            g_autofree char *what =
                g_strdup_printf("%s ____ %s, ____", one->spoken,
                                spl_customs()->print == SPL_UNITS_METRIC ? "g" : "oz");

            write_blank(text, slip, place->name, what, ++number);
        }
    }
    for (guint i = 0; i < slip->steps->len; i++) {
        const struct spl_slip_step *step = &g_array_index(slip->steps, struct spl_slip_step, i);
        g_autofree char *what = g_strdup_printf("%s %s", step->done, step->code);

        write_blank(text, slip, NULL, what, ++number);
    }
}

char *spl_slip_text(const struct spl_slip *slip)
{
    g_autoptr(GString) text = g_string_new(NULL);

    write_top(text, slip);
    for (guint i = 0; i < slip->places->len; i++)
        write_place(text, slip, &g_array_index(slip->places, struct spl_slip_place, i));
    if (slip->plants->len > 0)
        g_string_append(text, "\nLOOK-ALIKES\n");
    write_plants(text, slip, TRUE);
    write_plants(text, slip, FALSE);
    if (slip->steps->len > 0)
        g_string_append(text, "\nJARS\n\n");
    for (guint i = 0; i < slip->steps->len; i++) {
        const struct spl_slip_step *step = &g_array_index(slip->steps, struct spl_slip_step, i);
        g_autofree char *due = spl_slip_day_words(step->due, FALSE);

        g_string_append_printf(text, "%s, %s: %s by %s. %s\n", step->code, step->what, step->step,
                               due, step->words != NULL ? step->words : "");
    }
    if (!slip->group)
        write_blanks(text, slip);
    return spl_text_scrub(text->str, TRUE);
}

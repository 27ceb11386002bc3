/* SPDX-License-Identifier: MIT
 *
 * The parts of a slip that live by its script: the form in which one notes what is picked and seen,
 * and the notes to hand out. See desk/slip_parts.h.
 */
#include "desk/slip_parts.h"

void spl_slip_button(spl_html *html, const char *id, const char *class, const char *words,
                     gboolean hidden)
{
    spl_html_open(html, "button");
    spl_html_attr(html, "type", "button");
    spl_html_attr(html, "id", id);
    spl_html_attr(html, "class", class);
    spl_html_flag(html, "hidden", hidden);
    spl_html_text(html, words);
    spl_html_close(html, "button");
}

void spl_slip_section(spl_html *html, const char *id, const char *title, gboolean hidden)
{
    g_autofree char *heading = g_strconcat("h-", id, NULL);

    spl_html_open(html, "section");
    spl_html_attr(html, "id", id);
    spl_html_attr(html, "aria-labelledby", heading);
    spl_html_flag(html, "hidden", hidden);
    spl_html_open(html, "h2");
    spl_html_attr(html, "id", heading);
    spl_html_text(html, title);
    spl_html_close(html, "h2");
}

static void write_field(spl_html *html, const char *id, const char *label, const char *mode,
                        const char *hint)
{
    spl_html_open(html, "label");
    spl_html_attr(html, "for", id);
    spl_html_text(html, label);
    spl_html_close(html, "label");
    spl_html_open(html, "input");
    spl_html_attr(html, "type", "text");
    spl_html_attr(html, "id", id);
    spl_html_attr(html, "inputmode", mode);
    spl_html_attr(html, "autocomplete", "off");
    spl_html_attr(html, "spellcheck", "false");
    spl_html_attr(html, "enterkeyhint", "done");
    spl_html_attr(html, "placeholder", hint);
}

static void begin_box(spl_html *html, const char *id)
{
    spl_html_open(html, "div");
    spl_html_attr(html, "id", id);
    spl_html_flag(html, "hidden", TRUE);
}

static void write_choice(spl_html *html, const char *id, const char *label)
{
    spl_html_open(html, "label");
    spl_html_attr(html, "for", id);
    spl_html_text(html, label);
    spl_html_close(html, "label");
    spl_html_open(html, "select");
    spl_html_attr(html, "id", id);
    spl_html_close(html, "select");
}

static void write_buttons(spl_html *html, const char *id, const char *class, const char *legend)
{
    spl_html_open(html, "fieldset");
    spl_html_attr(html, "id", id);
    spl_html_attr(html, "class", class);
    spl_html_line(html, "legend", NULL, legend);
    spl_html_close(html, "fieldset");
}

void spl_slip_log(spl_html *html)
{
    spl_slip_section(html, "log", "Note what you pick and see", TRUE);
    spl_html_open(html, "p");
    spl_html_attr(html, "id", "keeping");
    spl_html_close(html, "p");
    begin_box(html, "f-day-box");
    write_field(html, "f-day", "The day, as 2027-07-14 (the clock is wrong)", "numeric", NULL);
    spl_html_close(html, "div");
    write_choice(html, "f-place", "Place");
    write_choice(html, "f-what", "What");
    begin_box(html, "f-other-box");
    write_field(html, "f-other", "Plant and part", NULL, NULL);
    spl_html_close(html, "div");
    spl_html_open(html, "p");
    spl_html_attr(html, "id", "f-ground");
    spl_html_attr(html, "role", "status");
    spl_html_close(html, "p");
    begin_box(html, "f-kin");
    spl_html_open(html, "p");
    spl_html_attr(html, "id", "f-kin-words");
    spl_html_attr(html, "class", "kin");
    spl_html_close(html, "p");
    spl_slip_button(html, "f-kin-seen", NULL, "I have looked: it is none of these", FALSE);
    write_field(html, "f-signs", "By which signs you know it", NULL, NULL);
    spl_html_close(html, "div");
    write_buttons(html, "f-stages", "row", "Stage");
    begin_box(html, "f-amounts");
    write_field(html, "f-amount", "How much (empty: only the stage was seen)", "decimal", NULL);
    write_buttons(html, "f-units", "row three", "Unit");
    spl_html_close(html, "div");
    begin_box(html, "f-why-box");
    write_field(html, "f-why", "Closed ground: why all the same", NULL, NULL);
    spl_html_close(html, "div");
    write_field(html, "f-by", "Who", NULL, NULL);
    write_field(html, "f-remark", "Remark", NULL, NULL);
    spl_html_open(html, "p");
    spl_html_attr(html, "id", "f-line");
    spl_html_attr(html, "class", "line");
    spl_html_close(html, "p");
    spl_slip_button(html, "f-keep", "main", "Keep", FALSE);
    spl_html_open(html, "p");
    spl_html_attr(html, "id", "said");
    spl_html_attr(html, "role", "status");
    spl_html_flag(html, "hidden", TRUE);
    spl_html_close(html, "p");
    spl_html_close(html, "section");
}

void spl_slip_stages(spl_html *html, const GPtrArray *stages)
{
    spl_html_open(html, "ul");
    spl_html_attr(html, "id", "stages");
    spl_html_flag(html, "hidden", TRUE);
    for (guint i = 0; i < stages->len; i++)
        spl_html_line(html, "li", NULL, g_ptr_array_index(stages, i));
    spl_html_close(html, "ul");
}

void spl_slip_notes(spl_html *html)
{
    spl_slip_section(html, "notes-section", "Your notes", FALSE);
    spl_html_open(html, "noscript");
    spl_html_line(
        html, "p", NULL,
        "This phone shows the slip without its script: everything can be read, nothing can be "
        "noted here. Write lines in any notes program, as \"Withy Gill 14 July nettle leaf "
        "600 g, in bud\".");
    spl_html_close(html, "noscript");
    spl_html_open(html, "details");
    spl_html_attr(html, "id", "notes");
    spl_html_flag(html, "hidden", TRUE);
    spl_html_line(html, "summary", NULL, "Look through them and hand them out");
    spl_html_open(html, "p");
    spl_html_attr(html, "id", "count");
    spl_html_attr(html, "role", "status");
    spl_html_close(html, "p");
    spl_slip_button(html, "share", "main", "Share", TRUE);
    spl_slip_button(html, "copy", NULL, "Copy", FALSE);
    spl_slip_button(html, "save", NULL, "Save as a file", FALSE);
    spl_html_open(html, "label");
    spl_html_attr(html, "for", "out");
    spl_html_text(html, "The notes as they are handed out");
    spl_html_close(html, "label");
    spl_html_open(html, "textarea");
    spl_html_attr(html, "id", "out");
    spl_html_flag(html, "readonly", TRUE);
    spl_html_close(html, "textarea");
    spl_html_open(html, "div");
    spl_html_open(html, "ul");
    spl_html_attr(html, "id", "entries");
    spl_html_attr(html, "class", "plain");
    spl_html_close(html, "ul");
    spl_html_close(html, "div");
    spl_html_close(html, "details");
    spl_html_close(html, "section");
}

/* SPDX-License-Identifier: MIT
 *
 * The rules of the checker: their names, where they are written, and those that concern one
 * component at a time. ical_check.c finds lines and components, and asks here.
 */
#ifndef SPL_EXCHANGE_ICAL_RULES_H
#define SPL_EXCHANGE_ICAL_RULES_H

#include <glib.h>

/* One row for each rule: its name is what `calendar check` prints, and the stem of its broken file
 * in tests/data/ical/broken. */
struct spl_ical_rule {
    const char *name;
    const char *section;
    gboolean remark; /* a habit of others' files that readers put up with, or no more than advice */
};
extern const struct spl_ical_rule spl_ical_rules[];
extern const gsize spl_ical_n_rules;

/* One unfolded content line. */
struct spl_ical_line {
    const char *name;       /* upper case */
    const char *parameters; /* as they stand, with the first ';', or "" */
    const char *value;
    int line; /* physical line on which it begins */
};

/* Where findings go. */
struct spl_ical_sink {
    void (*find)(gpointer data, int line, const char *rule, const char *message);
    gpointer data;
    GHashTable *uids;       /* UIDs seen so far -> line */
    GHashTable *zones_used; /* TZIDs seen in values -> line */
    GHashTable *zones;      /* TZIDs of VTIMEZONEs */
};

void spl_ical_find(const struct spl_ical_sink *sink, int line, const char *rule, const char *format,
                   ...) G_GNUC_PRINTF(4, 5);

/* TRUE when `text` is one of the words, which end with NULL, in whatever case. */
gboolean spl_ical_is_one_of(const char *text, const char *const *words);

/* A component that has been closed: its lines without BEGIN and END. `parent` is the kind around it
 * and `parent_lines` what has been read of that so far (both NULL at the top). */
struct spl_ical_component {
    const char *kind;
    int line; /* of its BEGIN */
    const struct spl_ical_line *lines;
    guint n_lines;
    int children; /* components directly inside */
    const char *parent;
    const struct spl_ical_line *parent_lines;
    guint n_parent_lines;
};

void spl_ical_rules_component(const struct spl_ical_component *component,
                              const struct spl_ical_sink *sink);

#endif

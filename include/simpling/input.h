/* SPDX-License-Identifier: MIT
 *
 * Inputs: one table for each entry and question gives what may be said, read from texts, checked
 * and cleared; every face makes its own of it (option, form field, schema of what is accepted).
 *
 * What is said is a plain struct whose members are of the kinds below. Its struct spl_inputs lists
 * them, and a member of the wrong type for its kind does not compile:
 *
 *     struct spl_harvest_words { const char *site; double weight_g; struct spl_day on; };
 *
 *     static const struct spl_input harvest_rows[] = {
 *         SPL_INPUT(spl_harvest_words, site, SITE, "site", "where", .needed = 1),
 *         SPL_INPUT(spl_harvest_words, weight_g, MASS, "weight", "as it came home: 420g",
 *                   .needed = 1, .amends = 1),
 *         SPL_INPUT(spl_harvest_words, on, DAY, "on", "the day", .past = 1, .today = 1),
 *     };
 *     const struct spl_inputs spl_harvest_inputs =
 *         SPL_INPUTS("harvest", spl_harvest_words, harvest_rows, .check = check_harvest);
 *
 * Not said is NULL, NAN, SPL_DAY_NONE, SPL_COUNT_NONE; spl_inputs_init sets it. Two ways lead to a
 * filled struct: a face that has texts reads them (spl_inputs_read) and clears afterwards
 * (spl_inputs_clear); a program that has values sets the members, texts of its own among them, and
 * clears nothing. The functions of season take either: each first makes an own copy
 * (simpling/entry.h), cleaned, filled and checked by the same table, so that no face is trusted.
 *
 * Errors carry the key of the input (simpling/error.h); that of an element is a path:
 * "jars.0.yield".
 */
#ifndef SIMPLING_INPUT_H
#define SIMPLING_INPUT_H

#include <glib.h>
#include <stddef.h>

#include "simpling/day.h"

struct spl_house;

/* Weighed or measured: one of the two is NAN; both: not said. */
struct spl_amount {
    double g, ml;
};

/* WGS 84 degrees; NAN: not said. */
struct spl_coordinates {
    double lat, lon;
};

#define SPL_COUNT_NONE G_MININT

/* Each with the type of its member. */
enum spl_input_kind {
    SPL_INPUT_MASS,        /* double, g, more than 0 */
    SPL_INPUT_VOLUME,      /* double, mL, more than 0 */
    SPL_INPUT_AMOUNT,      /* struct spl_amount */
    SPL_INPUT_STRENGTH,    /* double, 0 to 1: "40%", "80 proof us" */
    SPL_INPUT_SHARE,       /* double, 0 to 1: "75%", "0.75" */
    SPL_INPUT_RATIO,       /* double, mL per g: "1:5" */
    SPL_INPUT_LENGTH,      /* double, m; with `bare` a number without a unit too */
    SPL_INPUT_AREA,        /* double, m2 */
    SPL_INPUT_NUMBER,      /* double, a bare number */
    SPL_INPUT_HOURS,       /* double, a bare number */
    SPL_INPUT_COUNT,       /* int, 0 or more; SPL_COUNT_NONE: not said */
    SPL_INPUT_DAY,         /* struct spl_day */
    SPL_INPUT_MONTH,       /* struct spl_day; "2027-05" is its first day */
    SPL_INPUT_FLAG,        /* gboolean */
    SPL_INPUT_YES,         /* int: 1 yes, 0 no, -1 not said */
    SPL_INPUT_NAME,        /* const char *, one line of at most SPL_NAME_MAX bytes */
    SPL_INPUT_TEXT,        /* const char *, lines of at most SPL_REMARK_MAX bytes */
    SPL_INPUT_CHOICE,      /* const char *, one of `words`, whatever its case */
    SPL_INPUT_SITE,        /* const char *, the name of a place in the book */
    SPL_INPUT_PLANT,       /* const char *, of the tables; season puts the slug in its place */
    SPL_INPUT_MATERIAL,    /* the same: "nettle/leaf", or as people say it */
    SPL_INPUT_PREPARATION, /* the same */
    SPL_INPUT_METHOD,      /* the same: a row of the hazards */
    SPL_INPUT_PRESS,       /* const char *, a row of the presses */
    SPL_INPUT_STAGE,       /* const char *, a growth stage in words or as a BBCH code */
    SPL_INPUT_CODE,        /* const char *, a record's code; `words`: letters of its kinds */
    SPL_INPUT_COORDINATES, /* struct spl_coordinates */
    SPL_INPUT_FILE,        /* const char *, a path */
    SPL_INPUT_LIST         /* GArray * of structs of `item`; NULL: none */
};

/* How a terminal types a member of a list's elements. */
enum spl_typed {
    SPL_TYPED_PLACE, /* the k-th word behind the command is of the k-th element */
    SPL_TYPED_ZIP,   /* the k-th time that the option is given */
    SPL_TYPED_SPREAD /* one option, parted by colons: 2:1:1 */
};

struct spl_inputs;

struct spl_input {
    const char *key;   /* "named_by": in errors, schemas, form fields */
    const char *help;  /* one line */
    const char *label; /* of a form's field; NULL: the key in words */
    const char *value; /* what stands for the value in usage, "WHO"; NULL: the kind's */
    enum spl_input_kind kind;
    guint16 offset;
    unsigned needed : 1;
    unsigned past : 1;     /* a day that has come */
    unsigned ahead : 1;    /* a day that is to come: "31 May" is the next one */
    unsigned amends : 1;   /* may be corrected later, by the same row */
    unsigned advanced : 1; /* a form folds it away */
    unsigned bare : 1;     /* LENGTH, MASS: a number without a unit is metres, grams; of a length
                              only where the person's units are metric */
    unsigned joins : 1;    /* NAME, TEXT: several are joined with ", " */
    unsigned zero : 1;     /* AMOUNT: nothing at all counts too: "0", "0mL" */
    unsigned today : 1;    /* filled with today when it was not said */
    const char *setting;   /* filled with this setting of the book when it was not said */
    double min, max;       /* both 0: the kind's own; of a text: bytes */
    const char *words;     /* CHOICE: "put-in mass finished"; CODE: "HPD" */
    const struct spl_inputs *item;
    enum spl_typed typed; /* of an element's member */
    const char *whole;    /* ZIP: the key that takes it when it is said once for several elements */
};

enum spl_rule_kind {
    SPL_RULE_SOME, /* one of them at least */
    SPL_RULE_MOST, /* one of them at most */
    SPL_RULE_ONE,  /* one of them */
    SPL_RULE_WITH  /* the first only with one of the others */
};

/* What goes with what. A key may be that of a list, or of a list's members: "jars.yield". */
struct spl_rule {
    enum spl_rule_kind kind;
    const char *keys[5];
};

struct spl_inputs {
    const char *name;
    const struct spl_input *rows;
    gsize n;
    gsize size; /* sizeof the struct */
    const struct spl_rule *rules;
    gsize n_rules;
    /* Fills what rows cannot say: defaults that hang on other members. NULL: nothing. */
    void (*fill)(void *record, struct spl_day today);
    /* Fills figures of the data tables, for a face to show, and adds a struct spl_filled each to
     * `filled` (simpling/entry.h). NULL: it has none. */
    void (*figures)(struct spl_house *house, void *record, GArray *filled);
    /* What rules cannot say; the members are checked, and texts clean, by then. NULL: nothing. */
    gboolean (*check)(const void *record, GError **error);
    /* Of an element: reads one line into it; `what` names it in errors. NULL: elements of one
     * member are that member, others have no line. */
    gboolean (*line)(const char *text, const char *what, void *element, GError **error);
    const char *line_value; /* "CODE[:AMOUNT]" */
};

#define SPL_MEMBER_MASS double
#define SPL_MEMBER_VOLUME double
#define SPL_MEMBER_AMOUNT struct spl_amount
#define SPL_MEMBER_STRENGTH double
#define SPL_MEMBER_SHARE double
#define SPL_MEMBER_RATIO double
#define SPL_MEMBER_LENGTH double
#define SPL_MEMBER_AREA double
#define SPL_MEMBER_NUMBER double
#define SPL_MEMBER_HOURS double
#define SPL_MEMBER_COUNT int
#define SPL_MEMBER_DAY struct spl_day
#define SPL_MEMBER_MONTH struct spl_day
#define SPL_MEMBER_FLAG gboolean
#define SPL_MEMBER_YES int
#define SPL_MEMBER_NAME const char *
#define SPL_MEMBER_TEXT const char *
#define SPL_MEMBER_CHOICE const char *
#define SPL_MEMBER_SITE const char *
#define SPL_MEMBER_PLANT const char *
#define SPL_MEMBER_MATERIAL const char *
#define SPL_MEMBER_PREPARATION const char *
#define SPL_MEMBER_METHOD const char *
#define SPL_MEMBER_PRESS const char *
#define SPL_MEMBER_STAGE const char *
#define SPL_MEMBER_CODE const char *
#define SPL_MEMBER_COORDINATES struct spl_coordinates
#define SPL_MEMBER_FILE const char *
#define SPL_MEMBER_LIST GArray *

/* The offset of a member; what is no member of that type does not compile. */
#define SPL_INPUT_AT(record, member, type)                                                         \
    ((guint16)(offsetof(struct record, member) +                                                   \
               0 * sizeof(struct {                                                                 \
                   _Static_assert(_Generic(((struct record *)0)->member, type : 1, default : 0),   \
                                  #record "." #member " is no " #type);                            \
                   char some;                                                                      \
               })))

#define SPL_INPUT(record, member, kind_, key_, help_, ...)                                         \
    {                                                                                              \
        .key = key_, .help = help_, .kind = SPL_INPUT_##kind_,                                     \
        .offset = SPL_INPUT_AT(record, member, SPL_MEMBER_##kind_), __VA_ARGS__                    \
    }

#define SPL_INPUTS(name_, record, rows_, ...)                                                      \
    {                                                                                              \
        .name = name_, .rows = rows_, .n = G_N_ELEMENTS(rows_), .size = sizeof(struct record),     \
        __VA_ARGS__                                                                                \
    }
#define SPL_RULES(rules_) .rules = rules_, .n_rules = G_N_ELEMENTS(rules_)

/* Sets every member to "not said". */
void spl_inputs_init(const struct spl_inputs *inputs, void *record);

/*
 * Reads one text into the member at `path`: a key, or a member of a list's element
 * ("jars.1.yield"; elements grow as needed), or the key of a list, to which the text adds an
 * element by its line. SPL_ERROR_INVALID, SPL_ERROR_USAGE (no such input) with the path as its key.
 */
gboolean spl_inputs_read(const struct spl_inputs *inputs, const char *path, const char *text,
                         void *record, GError **error);

/* An own copy, with texts cleaned and empty ones not said. SPL_ERROR_INVALID: no text at all
 * (control characters, too long, not UTF-8); nothing is in `own` then. Clear with spl_inputs_clear.
 */
gboolean spl_inputs_copy(const struct spl_inputs *inputs, const void *said, void *own,
                         GError **error);

/* What is needed, bounds, choices, rules, the table's own check. SPL_ERROR_USAGE for what is
 * missing or does not go together, SPL_ERROR_INVALID for a value. */
gboolean spl_inputs_check(const struct spl_inputs *inputs, const void *record, GError **error);

/* Frees what reading, copying or filling put in, and sets every member to "not said". */
void spl_inputs_clear(const struct spl_inputs *inputs, void *record);

/* The row of this key; NULL: there is none. */
const struct spl_input *spl_inputs_row(const struct spl_inputs *inputs, const char *key);

gboolean spl_input_is_said(const struct spl_input *row, const void *record);

/* TRUE for kinds whose member is a text. */
gboolean spl_input_is_text(const struct spl_input *row);

/* What stands for the value in usage: "DATE"; NULL for flags. */
const char *spl_input_value(const struct spl_input *row);

/* A new empty list for elements of `item`. */
GArray *spl_inputs_list(const struct spl_inputs *item);

/* The JSON schema (draft 2020-12) of what is accepted: an object of texts as they are typed, flags
 * as booleans, lists as arrays. Free with g_free. */
char *spl_inputs_schema(const struct spl_inputs *inputs);

#endif

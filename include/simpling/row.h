/* SPDX-License-Identifier: MIT
 *
 * The row writer: one table of fields for each result gives its JSON, its table for people, its
 * JSON schema, and frees it.
 *
 * A result is a plain struct whose members are of the kinds below. Its struct spl_shape lists them:
 *
 *     struct spl_reason { char *what; double distance_m; struct spl_day date; };
 *
 *     static const struct spl_field reason_fields[] = {
 *         SPL_FIELD(spl_reason, what, SPL_TEXT, "what", "why"),
 *         SPL_FIELD_NUM(spl_reason, distance_m, 1, "distance_m", "distance m"),
 *         SPL_FIELD(spl_reason, date, SPL_DAY, "date", "date"),
 *     };
 *     const struct spl_shape spl_reason_shape = SPL_SHAPE("reason", spl_reason, reason_fields);
 *
 * The order of the rows is the order of JSON keys and columns. A field without a heading (NULL) is
 * left out of what people read, one that nobody in a list has is left out of its table. Numbers
 * that are NaN, unset days and NULL texts are "absent": null in JSON, an empty cell in a table.
 * Lists are never absent: a NULL list is written as []; but one of a field that says `if_known` was
 * not looked up, and its key is left out.
 *
 * Where a record is kept in the book, the same rows say how (book/noun.h): what stands behind the
 * heading is the column, and whether it is written or only read:
 *
 *     SPL_FIELD(spl_harvest, date, SPL_DAY, "date", "date", SPL_STORED("day")),
 *     SPL_FIELD(spl_harvest, site, SPL_TEXT, "site", "site", SPL_READ("s.name")),
 *
 * A field without a JSON key (NULL) is kept and never shown.
 */
#ifndef SIMPLING_ROW_H
#define SIMPLING_ROW_H

#include <glib.h>
#include <stdio.h>

#include "simpling/day.h"

enum spl_kind {
    SPL_TEXT,  /* char *, owned by the record */
    SPL_INT,   /* int */
    SPL_LONG,  /* gint64 */
    SPL_NUM,   /* double, rounded to `decimals` in every output; NAN is absent */
    SPL_BOOL,  /* gboolean */
    SPL_DAY,   /* struct spl_day */
    SPL_WORD,  /* an enum whose values count from 0; written as its name, one of `names`; that of an
                  empty name is absent */
    SPL_TEXTS, /* GPtrArray * of char * (with g_free as its free function), owned; NULL is [] */
    SPL_LIST,  /* GArray * of records of `inner`, owned; NULL is [] */
    SPL_ONE    /* a pointer to one heap record of `inner`, owned; NULL is null */
};

struct spl_shape;

/* What a column is to a record that is kept in the book. */
enum spl_keep {
    SPL_KEEP_NOT,    /* the book does not have it */
    SPL_KEEP_STORED, /* written with the record, read again */
    SPL_KEEP_READ,   /* only read: of a view, of another table, an expression */
    SPL_KEEP_ID,     /* the row's id: given by the book; written where it is that of a thing */
    SPL_KEEP_CODE    /* a code: read from four columns, kind, mark, year and number */
};

struct spl_field {
    const char *key;     /* JSON key; NULL: not shown */
    const char *heading; /* table heading, NULL: not in tables */
    enum spl_kind kind;
    size_t offset;
    int decimals;                  /* SPL_NUM only */
    const struct spl_shape *inner; /* SPL_LIST and SPL_ONE only */
    const char *about;             /* one line with the unit, for the schema; may be NULL */
    const char *const *names;      /* SPL_WORD only: ends with NULL */
    const char *column;            /* in the book; a bare name is a column of the noun itself */
    enum spl_keep keep;
    unsigned show_only : 1; /* headed, but too much for a table: in `show` alone */
    unsigned none_is_0 : 1; /* SPL_INT, SPL_LONG: 0 is NULL in the book */
    unsigned empty : 1;     /* SPL_TEXT: "" is a value; else it reads as NULL, nothing any more */
    unsigned by_unit : 1;   /* SPL_NUM: measured in what the record's "unit" says, "g" or "mL" */
    unsigned if_known : 1;  /* SPL_TEXTS, SPL_LIST: NULL is not looked up; no key then */
};

struct spl_shape {
    const char *name; /* of one record, for the schema */
    const struct spl_field *fields;
    size_t n_fields;
    size_t size; /* sizeof the struct */
};

/* Each takes more of the row's members behind the heading: SPL_STORED …, `.names = …`. */
#define SPL_FIELD(record, member, kind_, key_, heading_, ...)                                      \
    {                                                                                              \
        .key = key_, .heading = heading_, .kind = kind_,                                           \
        .offset = G_STRUCT_OFFSET(struct record, member), __VA_ARGS__                              \
    }
#define SPL_FIELD_NUM(record, member, decimals_, key_, heading_, ...)                              \
    {                                                                                              \
        .key = key_, .heading = heading_, .kind = SPL_NUM, .decimals = decimals_,                  \
        .offset = G_STRUCT_OFFSET(struct record, member), __VA_ARGS__                              \
    }
/* For `show`, not for tables. */
#define SPL_FIELD_SHOW(record, member, kind_, key_, heading_, ...)                                 \
    {                                                                                              \
        .key = key_, .heading = heading_, .kind = kind_, .show_only = TRUE,                        \
        .offset = G_STRUCT_OFFSET(struct record, member), __VA_ARGS__                              \
    }
#define SPL_FIELD_LIST(record, member, inner_, key_, heading_, ...)                                \
    {                                                                                              \
        .key = key_, .heading = heading_, .kind = SPL_LIST, .inner = inner_,                       \
        .offset = G_STRUCT_OFFSET(struct record, member), __VA_ARGS__                              \
    }
#define SPL_FIELD_ONE(record, member, inner_, key_)                                                \
    {                                                                                              \
        .key = key_, .kind = SPL_ONE, .inner = inner_,                                             \
        .offset = G_STRUCT_OFFSET(struct record, member)                                           \
    }
/* Kept in the book and never shown. */
#define SPL_FIELD_KEPT(record, member, kind_, ...)                                                 \
    {                                                                                              \
        .kind = kind_, .offset = G_STRUCT_OFFSET(struct record, member), __VA_ARGS__               \
    }
#define SPL_STORED(column_) .column = column_, .keep = SPL_KEEP_STORED
#define SPL_READ(column_) .column = column_, .keep = SPL_KEEP_READ
#define SPL_ID(column_) .column = column_, .keep = SPL_KEEP_ID
#define SPL_CODE(columns_) .column = columns_, .keep = SPL_KEEP_CODE
#define SPL_SHAPE(name_, record, fields_)                                                          \
    {                                                                                              \
        .name = name_, .fields = fields_, .n_fields = G_N_ELEMENTS(fields_),                       \
        .size = sizeof(struct record)                                                              \
    }

/* A new empty list for records of `shape`, zeroed when grown. */
GArray *spl_list_new(const struct spl_shape *shape);

/* Frees a list and what its records own; NULL is fine. */
void spl_list_free(const struct spl_shape *shape, GArray *list);

/* The value of an SPL_WORD field that has this name, -1: none. */
int spl_word_value(const char *const *names, const char *name);

/* A deep copy; NULL gives an empty list. */
GArray *spl_list_copy(const struct spl_shape *shape, const GArray *list);

/* Frees what the record's fields own and zeroes it. */
void spl_record_clear(const struct spl_shape *shape, void *record);

/* A deep copy into `copy` (not cleared before). */
void spl_record_copy(const struct spl_shape *shape, const void *record, void *copy);

/* Clears and frees a heap record; NULL is fine. */
void spl_record_free(const struct spl_shape *shape, void *record);

/* Writes one JSON document for one record, with a line break after it. FALSE: the stream failed. */
gboolean spl_record_write_json(const struct spl_shape *shape, const void *record, FILE *out);

/*
 * A JSON array written element by element, so that memory does not grow with its length:
 * begin, any number of items, end.
 */
struct spl_json_array {
    const struct spl_shape *shape;
    FILE *out;
    gboolean any;
};
void spl_json_array_begin(struct spl_json_array *array, const struct spl_shape *shape, FILE *out);
gboolean spl_json_array_item(struct spl_json_array *array, const void *record);
gboolean spl_json_array_end(struct spl_json_array *array);

/* A record as lines "heading: value", lists in it as tables below: for `show`. Amounts, whose keys
 * end in _g, _ml, _m, _km, _m2 or _c, are in the units of the customs here and in tables. */
gboolean spl_record_write_lines(const struct spl_shape *shape, const void *record, int width,
                                FILE *out);

/* One value as a table of people shows it, "" when it is absent, and the heading above it: for
 * faces that lay out themselves. Lists give what names their records. Free both with g_free. */
char *spl_field_text(const struct spl_shape *shape, const struct spl_field *field,
                     const void *record);
char *spl_field_heading(const struct spl_field *field);

/* A record or a list as one line of JSON. Free with g_free. */
char *spl_record_json(const struct spl_shape *shape, const void *record);
char *spl_list_json(const struct spl_shape *shape, const GArray *list);
/* The way back: what such a line holds. A key that is not there, or not of its kind, is absent; a
 * text that is no list gives an empty one. Never NULL. */
GArray *spl_list_read_json(const struct spl_shape *shape, const char *text);

/* A list of records as a JSON array. */
gboolean spl_list_write_json(const struct spl_shape *shape, const GArray *list, FILE *out);

/*
 * A table for people: one line a record, headings, columns aligned, folded at words to `width`
 * columns (0: unlimited); entry by entry when the columns are too many for it. Text is scrubbed of
 * control characters.
 */
gboolean spl_list_write_table(const struct spl_shape *shape, const GArray *list, int width,
                              FILE *out);

/* The JSON schema (draft 2020-12) of one record, or of an array of them; `other`, if not NULL: or
 * of an array of those. Free with g_free. */
char *spl_shape_schema(const struct spl_shape *shape, gboolean array,
                       const struct spl_shape *other);

#endif

/* SPDX-License-Identifier: MIT
 *
 * command: the command line. One table of commands (commands.c), one file per command or group of
 * them; each parses its words, calls season, prints the answer. No arithmetic, no SQL.
 *
 * A row says everything about a command: its words, what it needs, its options, its help and
 * examples. Usage, `help`, the man page, completion and the test of every example come from it.
 */
#ifndef SPL_COMMAND_COMMAND_H
#define SPL_COMMAND_COMMAND_H

#include <glib.h>
#include <stdio.h>

#include "simpling/error.h"
#include "simpling/house.h"
#include "simpling/input.h"
#include "simpling/row.h"

enum spl_option_kind {
    SPL_OPTION_FLAG, /* --all */
    SPL_OPTION_ONE,  /* --on DATE, refused when given twice */
    SPL_OPTION_MANY  /* --by WHO --by WHO, in the order given */
};

struct spl_option {
    const char *name; /* without hyphens; NULL ends a list */
    enum spl_option_kind kind;
    const char *value; /* "DATE", as usage shows it; NULL for flags */
    const char *help;  /* one line */
};

enum spl_needs {
    SPL_NEEDS_NOTHING,
    SPL_NEEDS_TABLES,
    SPL_NEEDS_BOOK_IF_ANY, /* for reading; without a book the tables alone */
    SPL_NEEDS_BOOK,        /* for reading */
    SPL_NEEDS_WRITE        /* for writing */
};

struct spl_call;

/* Of an input whose option is not its key with hyphens; the key is understood too. */
struct spl_input_word {
    const char *key, *word; /* NULL ends a list */
};

struct spl_command {
    const char *words;   /* "site add"; "" is simpling alone */
    const char *summary; /* one line */
    /* What it asks for: its options, but for the keys that are typed behind the words, as
     * "site material"; "code?" may be left out, a list takes all that are left. */
    const struct spl_inputs *inputs;
    const char *at;
    gboolean runs_on; /* words past the last place belong to it, with blanks between */
    const struct spl_input_word *said_as;
    /* Of tables (NULL at the end) whose rows that amend are options too: a key and a text into the
     * list "changes". NULL: none. */
    const struct spl_inputs *const *amends;
    /* Without inputs: what follows the words, as usage shows it ("NAME", ""), and how many of those
     * (max -1: any number). */
    const char *places;
    int min_places, max_places;
    const struct spl_option *options; /* those that are no inputs: how the answer is shown */
    const char *about;                /* a paragraph or more; NULL */
    const char *const *examples; /* whole command lines, NULL at the end; NULL: none. They run in
                                    order on a copy of the demo, with its today; other files that
                                    they read stand in tests/command/samples. */
    gboolean asks;               /* alone on a terminal it asks for what it needs */
    /* What it is when this option is said: "batch step shake --all" is "batch steps shake". */
    const char *becomes_with;
    const struct spl_command *becomes;
    enum spl_needs needs;
    gboolean as_it_is;             /* opens a book whose tables are not right, too */
    const char *writes_with;       /* SPL_NEEDS_BOOK: it writes when this option is said; NULL */
    const struct spl_shape *shape; /* of the JSON document; NULL: the command has no result */
    gboolean array;                /* the document is an array of it */
    const struct spl_shape *other; /* an option makes it an array of these; NULL: none does */
    const char *helper;            /* program of libexec/simpling that runs it; NULL: this one */
    /* The exit status 0, 3 or 4; or -1 with an error. NULL when a helper runs it. */
    int (*run)(struct spl_call *call, GError **error);
};

/* All commands, in the order of the help. */
extern const struct spl_command *const spl_commands[];
extern const gsize spl_n_commands;

/* Options that every command takes. */
extern const struct spl_option spl_shared_options[];

/* One call of a command. */
struct spl_call {
    const struct spl_command *command;
    struct spl_house *house;               /* NULL with SPL_NEEDS_NOTHING */
    const struct spl_house_options *where; /* how the house was, or would be, opened */
    void *said; /* the struct of the command's inputs, as read; NULL without inputs */
    char **places;
    guint n_places;
    GHashTable *values; /* option name -> GPtrArray of char * */
    gboolean json;
    FILE *out;
    int width;           /* columns of the terminal; 0: not a terminal */
    GPtrArray *cautions; /* to be told behind the answer; NULL: none */
    char *reported;      /* the code of the last record printed; NULL: it had none */
};

/* All options of a command but those that every command takes. Borrowed. */
const struct spl_option *spl_command_options(const struct spl_command *command);
/* An argument whose option is said by its key instead of its word ("--hold" for "--despite") as the
 * option. Free with g_free. */
char *spl_command_renamed(const struct spl_command *command, const char *arg);
/* What follows its words, as usage shows it, and how many of those (max -1: any number). */
const char *spl_command_places(const struct spl_command *command, int *min, int *max);
/* The options that must be said, as usage shows them: " --weight G --stage STAGE"; free with
 * g_free.
 */
char *spl_command_needed(const struct spl_command *command);
/* How an input is typed: "--named-by", "SITE". Free with g_free. */
char *spl_command_input(const struct spl_command *command, const char *path);
/* An error as the command says it. Free with g_free. */
char *spl_command_error(const struct spl_command *command, const GError *error);
/* Reads what was typed into `call->said`, which is begun. */
gboolean spl_call_read(struct spl_call *call, GError **error);

/* What was typed for an option: the value, or NULL. */
const char *spl_call_get(const struct spl_call *call, const char *option);
gboolean spl_call_has(const struct spl_call *call, const char *option);
/* All values of a SPL_OPTION_MANY, in order; an empty array when there is none. Borrowed. */
const GPtrArray *spl_call_all(const struct spl_call *call, const char *option);

/* Prints the one record of the command's shape: JSON with --json, else lines for people. */
int spl_call_print(struct spl_call *call, const void *record);

/* The same for a record made a moment ago, with what to know about it (NULL: nothing); frees both.
 */
int spl_call_tell(struct spl_call *call, void *record, GPtrArray *cautions);

/* The same for a record that may be held, with what would settle it (struct spl_cause of the
 * record); frees the record. */
int spl_call_tell_held(struct spl_call *call, void *record, const GArray *because);

/* Prints a list of the command's shape: a JSON array, else a table; `empty` in words when there is
 * none. */
int spl_call_print_list(struct spl_call *call, const GArray *list, const char *empty);

/*
 * For lists too long to hold: begin, `spl_call_stream_item` as season's `each`, end. Tables come in
 * chunks of lines.
 */
struct spl_call_stream {
    struct spl_call *call;
    const struct spl_shape *shape;
    struct spl_json_array array;
    GArray *chunk;
    gboolean any; /* an item came; until then nothing is on stdout, so that a list may still fail */
};
void spl_call_stream_begin(struct spl_call_stream *stream, struct spl_call *call);
/* For records of another shape than the command's. */
void spl_call_stream_begin_as(struct spl_call_stream *stream, struct spl_call *call,
                              const struct spl_shape *shape);
/* Takes a copy through `copy`, which fills an element from the record given. */
gboolean spl_call_stream_item(struct spl_call_stream *stream, const void *record, GError **error);
int spl_call_stream_end(struct spl_call_stream *stream, const char *empty);

/* `lead` and the text behind it, folded to `width` (0: not at all), the lines below indented. */
void spl_call_say(const char *lead, const char *text, int width, FILE *out);

/* "27 Apr" and "27 Apr to 18 May", for tables whose year is told above. Free with g_free. */
char *spl_call_short_day(struct spl_day day);
char *spl_call_short_span(const struct spl_call *call, struct spl_day first, struct spl_day last);

/* Cautions for people (JSON has its own in the record): on stderr, behind the answer, each once. A
 * command that fails tells its error alone. */
void spl_call_caution(struct spl_call *call, const GPtrArray *cautions);
void spl_call_tell_cautions(struct spl_call *call);

/* What went wrong, on stderr: one line, and below it what would settle it where that is known; as
 * JSON the one object of spl_failure_shape. `command` may be NULL. */
void spl_tell_failure(const struct spl_command *command, const GError *error, gboolean json);

/* What a danger that came to light late touches, on stderr; "WORDS; look at each with 'trace':". */
void spl_call_touched(const char *words, const GPtrArray *lines);
/* What would settle a reason: a line to paste, quoted for the shell, with capitals where the person
 * must fill something in; NULL when no command does it. What to do first, in words, about `about`
 * (NULL: not said). Free both with g_free. */
char *spl_next_line(const struct spl_next *next);
char *spl_next_lead(const struct spl_next *next, const char *about);
/* What would settle an error, as far as it is known; nothing else. */
void spl_tell_error_next(const GError *error, FILE *out);
/* The same for all reasons (struct spl_reason) on the call's output, each once. */
void spl_call_tell_next(const struct spl_call *call, const GArray *reasons);
/* The same for what holds a thing (struct spl_cause), for people only. */
void spl_call_tell_causes(const struct spl_call *call, const GArray *causes);

/* Texts that help and the man page share. */
extern const char *const spl_help_opening, *const spl_help_status, *const spl_help_closing;

/* The help text of a command, or of all (NULL), for a terminal of so many columns (0: of 80, which
 * a wider one gets too). Free with g_free. */
char *spl_help_text(const struct spl_command *command, int terminal);
/* The commands that begin with this word, a line each; NULL: none does. Free with g_free. */
char *spl_help_group(const char *group, int terminal);

/* One line "usage: simpling site add NAME --at …". Free with g_free. */
char *spl_usage_line(const struct spl_command *command);

/* Columns of the terminal that stdout is; 0: it is none. */
int spl_terminal_width(void);
/* A line on stderr about long work, drawn over again once it has taken a second (`tell` of the
 * house's options); and that line taken away. */
void spl_terminal_tell(const char *what, gint64 done, gint64 total, gpointer data);
void spl_terminal_wipe(void);

/* The next line of the input; NULL: none, or an empty one. The question goes to stderr, so that
 * stdout holds the result alone. Free with g_free. */
char *spl_terminal_ask(const char *question);
/* Whether the call asks for what it needs, as its command does alone on a terminal. */
gboolean spl_terminal_asks(const struct spl_call *call);

/* What a helper program brings: the inside of a command whose row names that program. */
struct spl_helper_run {
    const char *words;
    int (*run)(struct spl_call *call, GError **error);
};

/*
 * Runs `argv` as main does, printing to stdout and stderr; returns the exit status. `runs`, ended
 * by a NULL word, is a helper's own; NULL in the everyday program, which starts the helper.
 */
int spl_run(int argc, char **argv, const struct spl_helper_run *runs);

#endif

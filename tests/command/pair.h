/* SPDX-License-Identifier: MIT
 *
 * Two people, two books, for the tests of what is between them.
 */
#ifndef SPL_TESTS_COMMAND_PAIR_H
#define SPL_TESTS_COMMAND_PAIR_H

#include "cli.h"

#include <string.h>

#define CLEAR 0
#define CLOSED 4

struct pair {
    struct cli *cli;
    char *ann, *bob;
};

static inline void at(struct pair *pair, char *book)
{
    pair->cli->book = book;
}

/* Ann has Withy Gill, leave, and a word that it is unsprayed; Bob has her book. */
static inline void begin(struct pair *pair, struct cli *cli)
{
    *pair = (struct pair){cli, cli->book, g_build_filename(cli->folder, "bob.db", NULL)};
    cli_clear_site(cli, "Withy Gill");
    at(pair, pair->bob);
    cli_ok(cli, "book init --mark BOB");
    at(pair, pair->ann);
}

static inline void end(struct pair *pair)
{
    at(pair, pair->ann);
    g_unlink(pair->bob);
    g_free(pair->bob);
}

static inline void merge(struct pair *pair, char *into, const char *from)
{
    g_autofree char *line = g_strdup_printf("book merge %s", from);

    at(pair, into);
    cli_ok(pair->cli, line);
}

static inline void bob_gets_anns(struct pair *pair)
{
    merge(pair, pair->bob, pair->ann);
}

static inline void ann_gets_bobs(struct pair *pair)
{
    merge(pair, pair->ann, pair->bob);
}

static inline void verdict_is(struct pair *pair, char *book, int expected)
{
    at(pair, book);
    cli_run(pair->cli, "check 'Withy Gill' nettle/leaf");
    if (pair->cli->status != expected)
        fail_msg("%s: %d, %d expected:\n%s%s", book == pair->ann ? "Ann" : "Bob", pair->cli->status,
                 expected, pair->cli->out, pair->cli->err);
}

/* How many corrections a book asks about; the name of the first. */
static inline guint asked(struct pair *pair, char *book, char **id)
{
    json_t *list;
    guint n = 0;

    at(pair, book);
    list = cli_json(pair->cli, "questions --json");
    if (id != NULL)
        *id = NULL;
    for (gsize i = 0; i < json_array_size(list); i++) {
        const json_t *one = json_array_get(list, i);

        if (strcmp(json_text(one, "kind"), "revision") != 0)
            continue;
        if (n++ == 0 && id != NULL)
            *id = g_strdup(json_text(one, "id"));
    }
    json_decref(list);
    return n;
}

static inline void sound(struct pair *pair)
{
    at(pair, pair->ann);
    cli_ok(pair->cli, "book check");
    at(pair, pair->bob);
    cli_ok(pair->cli, "book check");
    at(pair, pair->ann);
}

#endif

/* SPDX-License-Identifier: MIT
 *
 * Between a command line and a table of inputs: options and places come from the table, what was
 * typed is read into the struct, and an error about an input is said with the word that was typed
 * for it.
 */
#include <string.h>

#include "command/command.h"

/* Words -----------------------------------------------------------------------------------------
 */

/* The option's word for a key. Interned. */
static const char *word_of(const struct spl_command *command, const char *key)
{
    g_autofree char *word = NULL;

    for (const struct spl_input_word *as = command->said_as; as != NULL && as->key != NULL; as++) {
        if (strcmp(as->key, key) == 0)
            return as->word;
    }
    word = g_strdelimit(g_strdup(key), "_", '-');
    return g_intern_string(word);
}

char *spl_command_renamed(const struct spl_command *command, const char *arg)
{
    for (const struct spl_input_word *as = command->said_as; as != NULL && as->key != NULL; as++) {
        g_autofree char *old = g_strconcat("--", as->key, NULL);
        gsize length = strlen(old);

        if (strncmp(arg, old, length) == 0 && (arg[length] == '\0' || arg[length] == '='))
            return g_strconcat("--", as->word, arg + length, NULL);
    }
    return g_strdup(arg);
}

/* The keys that are typed behind the command's words; "code?" without its sign. */
static char **keys_at(const struct spl_command *command)
{
    char **keys = g_strsplit(command->at != NULL ? command->at : "", " ", -1);

    for (guint i = 0; keys[i] != NULL; i++)
        g_strdelimit(keys[i], "?", '\0');
    return keys;
}

static gboolean is_at(const struct spl_command *command, const char *key)
{
    g_auto(GStrv) keys = keys_at(command);

    return g_strv_contains((const char *const *)keys, key);
}

/* Whether each element of the list is one text. */
static gboolean has_line(const struct spl_input *row)
{
    return row->item->line != NULL || row->item->n == 1;
}

/* The member of an element that is typed as `typed`; NULL: none is. */
static const struct spl_input *member_typed(const struct spl_input *list, enum spl_typed typed)
{
    for (gsize i = 0; !has_line(list) && i < list->item->n; i++) {
        if (list->item->rows[i].typed == typed)
            return &list->item->rows[i];
    }
    return NULL;
}

/* Whether the key only takes what is said once for all elements of a list. */
static gboolean is_whole(const struct spl_inputs *inputs, const char *key)
{
    for (gsize i = 0; i < inputs->n; i++) {
        const struct spl_input *zip = inputs->rows[i].kind == SPL_INPUT_LIST
                                          ? member_typed(&inputs->rows[i], SPL_TYPED_ZIP)
                                          : NULL;

        if (zip != NULL && g_strcmp0(zip->whole, key) == 0)
            return TRUE;
    }
    return FALSE;
}

/* Options ---------------------------------------------------------------------------------------
 */

static const char *help_of(const struct spl_input *row)
{
    g_autofree char *setting =
        row->setting != NULL ? g_strdup_printf(" (default: the setting '%s')", row->setting) : NULL;
    g_autofree char *help = g_strconcat(row->help,
                                        row->needed       ? " (needed)"
                                        : row->today      ? " (default today)"
                                        : setting != NULL ? setting
                                                          : "",
                                        NULL);

    return g_intern_string(help);
}

static void add_option(GArray *options, const char *word, const struct spl_input *row,
                       enum spl_option_kind kind)
{
    struct spl_option option = {word, kind, spl_input_value(row), help_of(row)};

    if (row->typed == SPL_TYPED_SPREAD)
        option.value = "A:B";
    g_array_append_val(options, option);
}

static void add_row(GArray *options, const struct spl_command *command, const struct spl_input *row)
{
    const char *word = word_of(command, row->key);

    if (row->kind == SPL_INPUT_FLAG || row->kind == SPL_INPUT_YES) {
        struct spl_option flag = {word, SPL_OPTION_FLAG, NULL, help_of(row)}, denied = flag;
        g_autofree char *name = g_strconcat("not-", word, NULL);
        g_autofree char *help = g_strconcat("not, or no longer: ", row->help, NULL);

        g_array_append_val(options, flag);
        if (row->kind != SPL_INPUT_YES || !row->amends)
            return;
        denied.name = g_intern_string(name);
        denied.help = g_intern_string(help);
        g_array_append_val(options, denied);
    } else if (row->kind != SPL_INPUT_LIST) {
        add_option(options, word, row, row->joins ? SPL_OPTION_MANY : SPL_OPTION_ONE);
    } else if (has_line(row)) {
        add_option(options, word, row, SPL_OPTION_MANY);
    }
}

static void add_members(GArray *options, const struct spl_command *command,
                        const struct spl_input *list)
{
    for (gsize i = 0; i < list->item->n; i++) {
        const struct spl_input *row = &list->item->rows[i];

        if (row->typed != SPL_TYPED_PLACE)
            add_option(options, word_of(command, row->key), row,
                       row->typed == SPL_TYPED_ZIP ? SPL_OPTION_MANY : SPL_OPTION_ONE);
    }
}

/* The tables in which a key amends: "harvest, stage: ". */
static char *tables_with(const struct spl_inputs *const *tables, const char *key)
{
    GString *names = g_string_new(NULL);

    for (; *tables != NULL; tables++) {
        const struct spl_input *row = spl_inputs_row(*tables, key);

        if (row != NULL && row->amends)
            g_string_append_printf(names, "%s%s", names->len > 0 ? ", " : "", (*tables)->name);
    }
    g_string_append(names, ": ");
    return g_strdelimit(g_string_free(names, FALSE), "_", ' ');
}

/* Whether an earlier table has the key: then its option is there. */
static gboolean is_there(const struct spl_inputs *const *tables,
                         const struct spl_inputs *const *until, const char *key)
{
    for (; tables < until; tables++) {
        const struct spl_input *row = spl_inputs_row(*tables, key);

        if (row != NULL && row->amends)
            return TRUE;
    }
    return FALSE;
}

/* What may be corrected: each key once. */
static void add_amended(GArray *options, const struct spl_command *command)
{
    for (const struct spl_inputs *const *table = command->amends; *table != NULL; table++) {
        for (gsize i = 0; i < (*table)->n; i++) {
            const struct spl_input *row = &(*table)->rows[i];
            struct spl_option option = {word_of(command, row->key), SPL_OPTION_ONE,
                                        spl_input_value(row), NULL};
            g_autofree char *names = NULL, *help = NULL;

            if (!row->amends || is_there(command->amends, table, row->key))
                continue;
            names = tables_with(command->amends, row->key);
            help = g_strconcat(names, row->help, NULL);
            option.help = g_intern_string(help);
            if (row->kind == SPL_INPUT_FLAG) { /* what it says narrows, and has no other side */
                option.kind = SPL_OPTION_FLAG;
                option.value = NULL;
            }
            g_array_append_val(options, option);
        }
    }
}

static GArray *make_options(const struct spl_command *command)
{
    GArray *options = g_array_new(TRUE, TRUE, sizeof(struct spl_option));
    const struct spl_inputs *inputs = command->inputs;

    for (gsize i = 0; i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];

        if (!is_at(command, row->key) && !is_whole(inputs, row->key))
            add_row(options, command, row);
        if (row->kind == SPL_INPUT_LIST && !has_line(row))
            add_members(options, command, row);
    }
    if (command->amends != NULL)
        add_amended(options, command);
    for (const struct spl_option *own = command->options; own != NULL && own->name != NULL; own++)
        g_array_append_val(options, *own);
    return options;
}

const struct spl_option *spl_command_options(const struct spl_command *command)
{
    static GHashTable *made; /* one for the life of the program */
    GArray *options;

    if (command->inputs == NULL)
        return command->options;
    if (made == NULL)
        made = g_hash_table_new(NULL, NULL);
    options = g_hash_table_lookup(made, command);
    if (options == NULL) {
        options = make_options(command);
        g_hash_table_insert(made, (gpointer)(guintptr)command, options);
    }
    return (const struct spl_option *)(const void *)options->data;
}

char *spl_command_needed(const struct spl_command *command)
{
    const struct spl_inputs *inputs = command->inputs;
    GString *needed = g_string_new(NULL);

    for (gsize i = 0; inputs != NULL && i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];

        if (row->needed && row->kind != SPL_INPUT_LIST && !is_at(command, row->key) &&
            !is_whole(inputs, row->key))
            g_string_append_printf(needed, " --%s %s", word_of(command, row->key),
                                   spl_input_value(row));
    }
    return g_string_free(needed, FALSE);
}

/* Places ----------------------------------------------------------------------------------------
 */

/* How usage names what stands at a key: "SITE", "CODE…". Free with g_free. */
static char *place_of(const struct spl_input *row)
{
    const struct spl_input *member;

    if (row->kind != SPL_INPUT_LIST)
        return g_strdup(spl_input_value(row));
    member = member_typed(row, SPL_TYPED_PLACE);
    return g_strconcat(spl_input_value(member != NULL ? member : row), "…", NULL);
}

const char *spl_command_places(const struct spl_command *command, int *min, int *max)
{
    g_auto(GStrv) keys = g_strsplit(command->at != NULL ? command->at : "", " ", -1);
    g_autoptr(GString) places = g_string_new(NULL);

    *min = command->min_places;
    *max = command->max_places;
    if (command->inputs == NULL)
        return command->places;
    for (guint i = 0; keys[i] != NULL; i++) {
        gboolean open = g_str_has_suffix(keys[i], "?");
        const struct spl_input *row =
            spl_inputs_row(command->inputs, g_strdelimit(keys[i], "?", '\0'));
        g_autofree char *place = place_of(row);

        g_string_append_printf(places, open ? "%s[%s]" : "%s%s", i > 0 ? " " : "", place);
        *min += open ? 0 : 1;
        *max = row->kind == SPL_INPUT_LIST ? -1 : *max + 1;
    }
    if (command->runs_on)
        *max = -1;
    return g_intern_string(places->str);
}

/* Reading ---------------------------------------------------------------------------------------
 */

static char *joined(const struct spl_call *call, guint from)
{
    g_autoptr(GString) text = g_string_new(NULL);

    for (guint i = from; i < call->n_places; i++)
        g_string_append_printf(text, "%s%s", i > from ? " " : "", call->places[i]);
    return g_string_free(g_steal_pointer(&text), FALSE);
}

static gboolean read_places(const struct spl_call *call, GError **error)
{
    const struct spl_inputs *inputs = call->command->inputs;
    g_auto(GStrv) keys = keys_at(call->command);
    guint at = 0;

    for (guint i = 0; keys[i] != NULL; i++) {
        const struct spl_input *row = spl_inputs_row(inputs, keys[i]), *member;

        if (row->kind != SPL_INPUT_LIST) {
            if (at < call->n_places && keys[i + 1] == NULL && call->command->runs_on) {
                g_autofree char *rest = joined(call, at);

                return spl_inputs_read(inputs, keys[i], rest, call->said, error);
            }
            if (at < call->n_places &&
                !spl_inputs_read(inputs, keys[i], call->places[at++], call->said, error))
                return FALSE;
            continue;
        }
        member = member_typed(row, SPL_TYPED_PLACE);
        for (guint k = 0; at < call->n_places; k++) {
            g_autofree char *path = member != NULL
                                        ? g_strdup_printf("%s.%u.%s", row->key, k, member->key)
                                        : g_strdup(row->key);

            if (!spl_inputs_read(inputs, path, call->places[at++], call->said, error))
                return FALSE;
        }
    }
    return TRUE;
}

static gboolean read_flag(const struct spl_call *call, const struct spl_input *row, GError **error)
{
    const char *word = word_of(call->command, row->key);
    g_autofree char *denied = g_strconcat("not-", word, NULL);
    gboolean yes = spl_call_has(call, word), no = spl_call_has(call, denied);

    if (yes && no) {
        spl_error_set_input(error, SPL_ERROR_USAGE, row->key,
                            "is said and denied; say one of both");
        return FALSE;
    }
    return (!yes && !no) ||
           spl_inputs_read(call->command->inputs, row->key, yes ? "yes" : "no", call->said, error);
}

static gboolean read_row(const struct spl_call *call, const struct spl_input *row, GError **error)
{
    const GPtrArray *texts = spl_call_all(call, word_of(call->command, row->key));

    for (guint i = 0; i < texts->len; i++) {
        if (!spl_inputs_read(call->command->inputs, row->key, g_ptr_array_index(texts, i),
                             call->said, error))
            return FALSE;
    }
    return TRUE;
}

/* The k-th text is the member of the k-th element. */
static gboolean read_each(const struct spl_call *call, const struct spl_input *list,
                          const struct spl_input *member, const char *const *texts, guint n,
                          GError **error)
{
    const struct spl_inputs *inputs = call->command->inputs;
    const GArray *there = *(GArray **)(void *)((char *)call->said + list->offset);

    if (there != NULL && there->len > 0 && n != there->len) {
        g_autofree char *path = g_strdup_printf("%s.%s", list->key, member->key);

        spl_error_set_input(error, SPL_ERROR_USAGE, path, "%u %ss for %u; give one for each%s", n,
                            member->key, there->len,
                            member->whole != NULL ? " in their order, or one for all" : "");
        return FALSE;
    }
    for (guint k = 0; k < n; k++) {
        g_autofree char *path = g_strdup_printf("%s.%u.%s", list->key, k, member->key);

        if (!spl_inputs_read(inputs, path, texts[k], call->said, error))
            return FALSE;
    }
    return TRUE;
}

static gboolean read_member(const struct spl_call *call, const struct spl_input *list,
                            const struct spl_input *member, GError **error)
{
    const GPtrArray *texts = spl_call_all(call, word_of(call->command, member->key));
    const GArray *there = *(GArray **)(void *)((char *)call->said + list->offset);

    if (texts->len == 0)
        return TRUE;
    if (member->typed == SPL_TYPED_SPREAD) {
        g_auto(GStrv) parts = g_strsplit(g_ptr_array_index(texts, 0), ":", -1);

        return read_each(call, list, member, (const char *const *)parts, g_strv_length(parts),
                         error);
    }
    if (texts->len == 1 && member->whole != NULL && there != NULL && there->len > 1)
        return spl_inputs_read(call->command->inputs, member->whole, g_ptr_array_index(texts, 0),
                               call->said, error);
    return read_each(call, list, member, (const char *const *)texts->pdata, texts->len, error);
}

/* Each option that corrects is one more change: its key, and the text as it is. */
static gboolean read_amended(const struct spl_call *call, GError **error)
{
    const struct spl_inputs *inputs = call->command->inputs;
    guint n = 0;

    for (const struct spl_inputs *const *table = call->command->amends; *table != NULL; table++) {
        for (gsize i = 0; i < (*table)->n; i++) {
            const struct spl_input *row = &(*table)->rows[i];
            const char *word = word_of(call->command, row->key);
            const char *text = row->kind != SPL_INPUT_FLAG ? spl_call_get(call, word)
                               : spl_call_has(call, word)  ? "yes"
                                                           : NULL;
            g_autofree char *key = g_strdup_printf("changes.%u.key", n);
            g_autofree char *value = g_strdup_printf("changes.%u.text", n);

            if (!row->amends || text == NULL || is_there(call->command->amends, table, row->key))
                continue;
            if (!spl_inputs_read(inputs, key, row->key, call->said, error) ||
                !spl_inputs_read(inputs, value, text, call->said, error))
                return FALSE;
            n++;
        }
    }
    return TRUE;
}

gboolean spl_call_read(struct spl_call *call, GError **error)
{
    const struct spl_inputs *inputs = call->command->inputs;

    if (!read_places(call, error))
        return FALSE;
    for (gsize i = 0; i < inputs->n; i++) {
        const struct spl_input *row = &inputs->rows[i];
        gboolean ok = TRUE;

        if (row->kind == SPL_INPUT_FLAG || row->kind == SPL_INPUT_YES)
            ok = read_flag(call, row, error);
        else if (!is_at(call->command, row->key) && !is_whole(inputs, row->key) &&
                 (row->kind != SPL_INPUT_LIST || has_line(row)))
            ok = read_row(call, row, error);
        for (gsize k = 0; ok && row->kind == SPL_INPUT_LIST && !has_line(row) && k < row->item->n;
             k++) {
            if (row->item->rows[k].typed != SPL_TYPED_PLACE)
                ok = read_member(call, row, &row->item->rows[k], error);
        }
        if (!ok)
            return FALSE;
    }
    return call->command->amends == NULL || read_amended(call, error);
}

/* Errors ----------------------------------------------------------------------------------------
 */

/* The row at a path, and the key by which it is typed; NULL: the table has none. */
static const struct spl_input *row_at(const struct spl_command *command, const char *path,
                                      gboolean *placed)
{
    g_auto(GStrv) keys = g_strsplit(path, ".", -1);
    const struct spl_inputs *inputs = command->inputs;
    const struct spl_input *row = inputs != NULL ? spl_inputs_row(inputs, keys[0]) : NULL;
    guint n = g_strv_length(keys);

    if (row == NULL)
        return NULL;
    *placed = is_at(command, row->key);
    if (row->kind == SPL_INPUT_LIST && !has_line(row)) {
        row = n > 1 ? spl_inputs_row(row->item, keys[n - 1]) : member_typed(row, SPL_TYPED_PLACE);
        *placed = row != NULL && row->typed == SPL_TYPED_PLACE;
    }
    for (gsize i = 0; row != NULL && i < inputs->n; i++) {
        const struct spl_input *zip = inputs->rows[i].kind == SPL_INPUT_LIST
                                          ? member_typed(&inputs->rows[i], SPL_TYPED_ZIP)
                                          : NULL;

        if (zip != NULL && g_strcmp0(zip->whole, row->key) == 0)
            return zip;
    }
    return row;
}

static gboolean has_option(const struct spl_option *options, const char *name)
{
    for (; options != NULL && options->name != NULL; options++) {
        if (strcmp(options->name, name) == 0)
            return TRUE;
    }
    return FALSE;
}

char *spl_command_input(const struct spl_command *command, const char *path)
{
    gboolean placed = FALSE;
    const struct spl_input *row = row_at(command, path, &placed);
    g_autofree char *word = g_strdelimit(g_strdup(path), "_", '-');

    if (row != NULL)
        return placed ? g_strdup(spl_input_value(row))
                      : g_strconcat("--", word_of(command, row->key), NULL);
    if (has_option(spl_command_options(command), word) || has_option(spl_shared_options, word))
        return g_strconcat("--", word, NULL);
    return g_strdup(path);
}

char *spl_command_error(const struct spl_command *command, const GError *error)
{
    const char *input = spl_error_input(error), *sentence = spl_error_sentence(error);
    g_autofree char *word = NULL;

    if (input == NULL || command == NULL || sentence == error->message)
        return g_strdup(error->message);
    word = spl_command_input(command, input);
    return g_strdup_printf("%s: %s", word, sentence);
}

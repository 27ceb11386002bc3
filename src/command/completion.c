/* SPDX-License-Identifier: MIT
 *
 * Completion for bash and zsh: commands word by word, then the options of the command, then files
 * where an option's value is one. Both scripts only carry the table; what they do is the same.
 */
#include <string.h>

#include "command/pages.h"

/* Whether a value is a file or folder: their names all say so. */
static gboolean is_file(const struct spl_option *option)
{
    return option->value != NULL &&
           (strstr(option->value, "FILE") != NULL || strstr(option->value, "DIR") != NULL);
}

static void add_options(GString *text, const struct spl_option *options)
{
    for (; options != NULL && options->name != NULL; options++)
        g_string_append_printf(text, " --%s", options->name);
}

/* The options of command i, or those that all take for i beyond the last. */
static const struct spl_option *options_of(gsize i)
{
    return i < spl_n_commands ? spl_command_options(spl_commands[i]) : spl_shared_options;
}

/* Whether the option of this name takes a file in any command. */
static gboolean may_be_file(const char *name)
{
    for (gsize i = 0; i <= spl_n_commands; i++) {
        const struct spl_option *option = options_of(i);

        for (; option != NULL && option->name != NULL; option++)
            if (strcmp(option->name, name) == 0 && is_file(option))
                return TRUE;
    }
    return FALSE;
}

/* The names of options that take a file, or a value that is none, once each: "--book|--out". */
static char *options_with(gboolean file)
{
    g_autoptr(GHashTable) seen = g_hash_table_new(g_str_hash, g_str_equal);
    GString *text = g_string_new(NULL);

    for (gsize i = 0; i <= spl_n_commands; i++) {
        const struct spl_option *option = options_of(i);

        for (; option != NULL && option->name != NULL; option++)
            if (option->value != NULL && may_be_file(option->name) == file &&
                g_hash_table_add(seen, (gpointer)option->name))
                g_string_append_printf(text, "%s--%s", text->len > 0 ? "|" : "", option->name);
    }
    return g_string_free(text, FALSE);
}

/* Lines `'site add') known=… ;;` of the cases by command. */
static void add_cases(GString *text, const char *variable)
{
    for (gsize i = 0; i < spl_n_commands; i++) {
        g_string_append_printf(text, "    '%s') %s='", spl_commands[i]->words, variable);
        add_options(text, spl_command_options(spl_commands[i]));
        g_string_append(text, "' ;;\n");
    }
}

/* The command lines that there are, one a line. */
static void add_words(GString *text)
{
    for (gsize i = 0; i < spl_n_commands; i++)
        if (*spl_commands[i]->words != '\0')
            g_string_append_printf(text, "%s\n", spl_commands[i]->words);
}

char *spl_completion_bash(void)
{
    g_autofree char *files = options_with(TRUE), *values = options_with(FALSE);
    GString *text = g_string_new(
        "# Completion of simpling for bash; made from its table of commands.\n"
        "_simpling() {\n"
        "    local current=${COMP_WORDS[COMP_CWORD]} before='' word line next='' known=''\n"
        "    local -a typed=()\n"
        "    COMPREPLY=()\n"
        "    ((COMP_CWORD > 0)) && before=${COMP_WORDS[COMP_CWORD - 1]}\n"
        "    case $before in\n");

    if (*files != '\0')
        g_string_append_printf(
            text, "    %s) mapfile -t COMPREPLY < <(compgen -f -- \"$current\"); return ;;\n",
            files);
    if (*values != '\0')
        g_string_append_printf(text, "    %s) return ;;\n", values);
    g_string_append(text, "    esac\n"
                          "    for word in \"${COMP_WORDS[@]:1:COMP_CWORD - 1}\"; do\n"
                          "        [[ $word == -* ]] && break\n"
                          "        typed+=(\"$word\")\n"
                          "    done\n"
                          "    local so_far=\"${typed[*]}\"\n"
                          "    if [[ $current != -* ]]; then\n"
                          "        while read -r line; do\n"
                          "            [[ \"$line \" == \"${so_far:+$so_far }\"* ]] || continue\n"
                          "            word=${line#\"$so_far\"}\n"
                          "            word=${word# }\n"
                          "            next+=\" ${word%% *}\"\n"
                          "        done <<'END'\n");
    add_words(text);
    g_string_append(
        text, "END\n"
              "        mapfile -t COMPREPLY < <(compgen -W \"$next\" -- \"$current\" | sort -u)\n"
              "        ((${#COMPREPLY[@]} > 0)) && return\n"
              "        [[ -n $current ]] && mapfile -t COMPREPLY < <(compgen -f -- \"$current\")\n"
              "        return\n"
              "    fi\n"
              "    case \"${typed[*]:0:2}\" in\n");
    add_cases(text, "known");
    g_string_append(text, "    *) case \"${typed[0]}\" in\n");
    add_cases(text, "known");
    g_string_append(text,
                    "    esac ;;\n    esac\n    mapfile -t COMPREPLY < <(compgen -W \"$known");
    add_options(text, spl_shared_options);
    g_string_append(text, "\" -- \"$current\")\n}\ncomplete -o filenames -F _simpling simpling\n");
    return g_string_free(text, FALSE);
}

char *spl_completion_zsh(void)
{
    g_autofree char *files = options_with(TRUE), *values = options_with(FALSE);
    GString *text = g_string_new(
        "#compdef simpling\n"
        "# Completion of simpling for zsh; made from its table of commands.\n"
        "local before=${words[CURRENT-1]} current=${words[CURRENT]} word line known=''\n"
        "local -a typed next\n"
        "case $before in\n");

    if (*files != '\0')
        g_string_append_printf(text, "    %s) _files; return ;;\n", files);
    if (*values != '\0')
        g_string_append_printf(text, "    %s) return 1 ;;\n", values);
    g_string_append(text, "esac\n"
                          "for word in ${words[2,CURRENT-1]}; do\n"
                          "    [[ $word == -* ]] && break\n"
                          "    typed+=($word)\n"
                          "done\n"
                          "local so_far=\"${typed[*]}\"\n"
                          "if [[ $current != -* ]]; then\n"
                          "    while read -r line; do\n"
                          "        [[ \"$line \" == \"${so_far:+$so_far }\"* ]] || continue\n"
                          "        word=${line#$so_far}\n"
                          "        word=${word# }\n"
                          "        [[ -n $word ]] && next+=(${word%% *})\n"
                          "    done <<'END'\n");
    add_words(text);
    g_string_append(text, "END\n"
                          "    if (( ${#next} )); then\n"
                          "        compadd -- ${(u)next}\n"
                          "    else\n"
                          "        _files\n"
                          "    fi\n"
                          "    return\n"
                          "fi\n"
                          "case \"${typed[1,2]}\" in\n");
    add_cases(text, "known");
    g_string_append(text, "    *) case \"${typed[1]}\" in\n");
    add_cases(text, "known");
    g_string_append(text, "    esac ;;\nesac\ncompadd -- ${=known}");
    add_options(text, spl_shared_options);
    g_string_append_c(text, '\n');
    return g_string_free(text, FALSE);
}

char *spl_schema_name(const struct spl_command *command)
{
    g_autofree char *stem =
        g_strdelimit(g_strdup(*command->words != '\0' ? command->words : "today"), " ", '-');

    return g_strconcat(stem, ".json", NULL);
}

char *spl_command_schema(const struct spl_command *command)
{
    return command->shape != NULL ? spl_shape_schema(command->shape, command->array, command->other)
                                  : NULL;
}

char *spl_command_input_schema(const struct spl_command *command)
{
    return command->inputs != NULL ? spl_inputs_schema(command->inputs) : NULL;
}

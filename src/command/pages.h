/* SPDX-License-Identifier: MIT
 *
 * What is made of the command table besides help: the man page, completion for two shells, the JSON
 * schemas. The program write-pages writes them while building; they are installed.
 */
#ifndef SPL_COMMAND_PAGES_H
#define SPL_COMMAND_PAGES_H

#include "command/command.h"

/* The manual page simpling(1) in man(7) macros; version and date (ISO 8601) of the release stand at
 * its foot. Free with g_free. */
char *spl_man_page(const char *version, const char *date);

/* The manual page simpling-manual(7) of the manual's pages (GArray of struct spl_manual_block
 * each), in their order. Free with g_free. */
char *spl_man_manual(const GPtrArray *pages, const char *version, const char *date);

/* Scripts that complete commands and options. Free with g_free. */
char *spl_completion_bash(void);
char *spl_completion_zsh(void);

/* The file name of a command's schema: "site-add.json". Free with g_free. */
char *spl_schema_name(const struct spl_command *command);

/* The JSON schema of a command's answer; NULL when it has none. Free with g_free. */
char *spl_command_schema(const struct spl_command *command);

/* The JSON schema of what a command accepts; NULL when it has no table of inputs. Free with g_free.
 */
char *spl_command_input_schema(const struct spl_command *command);

#endif

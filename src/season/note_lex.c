/* SPDX-License-Identifier: MIT
 *
 * Words of a note's line. See season/note_lex.h; amounts are in note_amount.c, days in note_day.c.
 */
#include "season/note_lex.h"

#include <string.h>

#include "season/note_scan.h"

static void token_clear(gpointer data)
{
    struct spl_note_token *token = data;

    g_free(token->text);
    g_free(token->fault);
}

void spl_note_lexed_clear(struct spl_note_lexed *lexed)
{
    g_clear_pointer(&lexed->tokens, g_array_unref);
    if (lexed->remark != NULL)
        g_string_free(lexed->remark, TRUE);
    lexed->remark = NULL;
    g_clear_pointer(&lexed->rest, g_free);
}

void spl_note_remark(GString *remark, const char *text)
{
    if (*text == '\0')
        return;
    if (remark->len > 0)
        g_string_append(remark, "; ");
    g_string_append(remark, text);
}

char *spl_note_typed(const struct spl_note_line *line, gsize start, gsize end)
{
    static const char ends[] = " ,;:-.()|";
    g_autofree char *text = NULL;
    gsize from, to;

    while (start < end && strchr(ends, line->text->str[start]) != NULL)
        start++;
    while (end > start && strchr(" ,;:-(|", line->text->str[end - 1]) != NULL)
        end--;
    from = g_array_index(line->at, gsize, start);
    to = g_array_index(line->at, gsize, end);
    text = g_strndup(line->typed + from, to > from ? to - from : 0);
    return g_strdup(g_strstrip(text));
}

gboolean spl_note_scan(GRegex **kept, const char *pattern, const char *text, gsize at,
                       GMatchInfo **match)
{
    return g_regex_match_full(spl_note_pattern(kept, pattern), text, -1, (gint)at,
                              G_REGEX_MATCH_ANCHORED, match, NULL);
}

gsize spl_note_scan_end(const GMatchInfo *match)
{
    int end = 0;

    g_match_info_fetch_pos(match, 0, NULL, &end);
    return (gsize)end;
}

/* Remarks ---------------------------------------------------------------------------------------
 */

static void blank(char *text, gsize start, gsize end)
{
    memset(text + start, ' ', end - start);
}

static void take_remark(const struct spl_note_line *line, struct spl_note_lexed *lexed, gsize start,
                        gsize end)
{
    g_autofree char *typed = spl_note_typed(line, start, end);

    spl_note_remark(lexed->remark, typed);
    blank(lexed->rest, start, end);
}

static void take_brackets(const struct spl_note_line *line, struct spl_note_lexed *lexed,
                          gsize open, gsize shut)
{
    take_remark(line, lexed, open + 1, shut);
    blank(lexed->rest, open, shut + 1);
}

static void take_remarks(const struct spl_note_line *line, struct spl_note_lexed *lexed)
{
    char *text = lexed->rest;
    const char *open, *shut, *end = strchr(text, ';'), *slashes = strstr(text, "//");

    if (slashes != NULL && slashes > text && slashes[-1] != ':' && (end == NULL || slashes < end))
        end = slashes;
    while ((open = strchr(text, '(')) != NULL && (end == NULL || open < end) &&
           (shut = strchr(open, ')')) != NULL)
        take_brackets(line, lexed, (gsize)(open - text), (gsize)(shut - text));
    end = strchr(text, ';');
    if (slashes != NULL && (end == NULL || slashes < end) && *slashes == '/')
        end = slashes;
    if (end != NULL) {
        const gsize at = (gsize)(end - text);

        take_remark(line, lexed, at + (*end == '/' ? 2 : 1), line->text->len);
        blank(text, at, strlen(text));
    }
}

/* Codes -----------------------------------------------------------------------------------------
 */

static gboolean take_code(const char *text, gsize at, struct spl_note_token *token)
{
    static GRegex *whole, *short_number, *by_kind;
    g_autoptr(GMatchInfo) match = NULL, kind_match = NULL, short_match = NULL;
    g_autofree char *mark = NULL, *kind = NULL, *year = NULL, *number = NULL, *upper = NULL;

    if (spl_note_scan(&whole,
                      "(?:([a-z]{2,8}):)?([hpdblu])(\\d\\d)(?:-| |- )?(\\d{3,6})(?![0-9a-z])", text,
                      at, &match)) {
        mark = g_match_info_fetch(match, 1);
        kind = g_match_info_fetch(match, 2);
        year = g_match_info_fetch(match, 3);
        number = g_match_info_fetch(match, 4);
        upper = g_strdup_printf("%s%s%s%s-%s", mark, *mark != '\0' ? ":" : "", kind, year, number);
        token->text = g_ascii_strup(upper, -1);
        token->end = spl_note_scan_end(match);
    } else if (spl_note_scan(&by_kind,
                             "(jar|batch|rack|lot|bottle|harvest) (\\d\\d)-(\\d{3,6})(?![0-9a-z])",
                             text, at, &kind_match)) {
        kind = g_match_info_fetch(kind_match, 1);
        year = g_match_info_fetch(kind_match, 2);
        number = g_match_info_fetch(kind_match, 3);
        token->text = g_strdup_printf("%c%s-%s",
                                      *kind == 'r'                                  ? 'D'
                                      : *kind == 'h'                                ? 'H'
                                      : *kind == 'l' || strcmp(kind, "bottle") == 0 ? 'L'
                                                                                    : 'B',
                                      year, number);
        token->end = spl_note_scan_end(kind_match);
    } else if (spl_note_scan(&short_number, "([hpdblu])(\\d\\d)-(\\d{1,2})(?![0-9a-z])", text, at,
                             &short_match)) {
        kind = g_match_info_fetch(short_match, 1);
        year = g_match_info_fetch(short_match, 2);
        number = g_match_info_fetch(short_match, 3);
        token->end = spl_note_scan_end(short_match);
        token->fault =
            g_strdup_printf("a code has three digits behind the hyphen: %c%s-%03d?",
                            g_ascii_toupper(*kind), year, (int)g_ascii_strtoll(number, NULL, 10));
    } else {
        return FALSE;
    }
    token->word = SPL_NOTE_CODE;
    return TRUE;
}

/* Words -----------------------------------------------------------------------------------------
 */

static gboolean take_name(const struct spl_note_names *names, const char *text, gsize at,
                          struct spl_note_token *token)
{
    gsize end;
    const GPtrArray *found = spl_note_names_at(names, text, at, &end);
    const struct spl_note_name *first;

    if (found == NULL)
        return FALSE;
    first = g_ptr_array_index(found, 0);
    token->names = found;
    token->word = first->word;
    token->value = first->value;
    token->end = end;
    return TRUE;
}

/* A word that means nothing here, or a sign that is none between words. */
static void take_unknown(const char *text, gsize at, struct spl_note_token *token)
{
    const gsize end = spl_note_piece_end(text, at);

    token->word = text[at] == '?'   ? SPL_NOTE_GUARD
                  : text[at] == '~' ? SPL_NOTE_ABOUT
                                    : SPL_NOTE_UNKNOWN;
    token->end = MAX(end, at + 1);
}

static gboolean is_between(char c)
{
    return strchr(" ,.:|-/*'!&\"", c) != NULL;
}

static const struct spl_note_token *last_of(const GArray *tokens)
{
    return tokens->len > 0 ? &g_array_index(tokens, struct spl_note_token, tokens->len - 1) : NULL;
}

/* A minus before a number is less than nothing; a dash between words is not. */
static gboolean is_minus(const char *text, gsize at)
{
    return text[at] == '-' && g_ascii_isdigit(text[at + 1]) && (at == 0 || text[at - 1] == ' ');
}

/* A place may be called as a day or an amount begins: "2 Bags Wood", "Monday Field". */
static gboolean take_longer_place(const struct spl_note_names *names, const char *text, gsize at,
                                  struct spl_note_token *token)
{
    struct spl_note_token name = {.start = at};

    if (!take_name(names, text, at, &name) || name.word != SPL_NOTE_SITE || name.end <= token->end)
        return FALSE;
    token_clear(token);
    *token = name;
    return TRUE;
}

static void take_one(const struct spl_note_names *names, const char *text, gsize at,
                     const GArray *tokens, struct spl_note_token *token)
{
    const struct spl_note_token *last = last_of(tokens);
    const gboolean open =
        last != NULL && (last->word == SPL_NOTE_SINCE || last->word == SPL_NOTE_UNTIL);

    *token = (struct spl_note_token){.start = at, .end = at + 1};
    if (is_minus(text, at)) {
        (void)spl_note_scan_amount(text, at + 1, token);
        g_free(token->fault);
        token->word = SPL_NOTE_MASS;
        token->fault = g_strdup("less than nothing is no amount");
        return;
    }
    if (take_code(text, at, token))
        return;
    if (spl_note_scan_date(text, at, token) || spl_note_scan_amount(text, at, token) ||
        (open && spl_note_scan_month(text, at, token)) || spl_note_scan_day(text, at, token)) {
        (void)take_longer_place(names, text, at, token);
        return;
    }
    if (!take_name(names, text, at, token) && !spl_note_scan_number(text, at, token))
        take_unknown(text, at, token);
}

void spl_note_lex(const struct spl_note_names *names, const struct spl_note_line *line,
                  struct spl_note_lexed *lexed)
{
    const char *text;
    gsize at = 0;

    *lexed = (struct spl_note_lexed){
        .tokens = g_array_new(FALSE, FALSE, sizeof(struct spl_note_token)),
        .remark = g_string_new(line->pictures),
        .rest = g_strdup(line->text->str),
    };
    g_array_set_clear_func(lexed->tokens, token_clear);
    take_remarks(line, lexed);
    text = lexed->rest;
    while (text[at] != '\0') {
        struct spl_note_token token;

        if (is_between(text[at]) && !is_minus(text, at) &&
            !(text[at] == '.' && g_ascii_isdigit(text[at + 1]))) {
            at++;
            continue;
        }
        take_one(names, text, at, lexed->tokens, &token);
        at = token.end;
        if (token.word == SPL_NOTE_TIME || token.word == SPL_NOTE_ABOUT) {
            g_autofree char *typed = spl_note_typed(line, token.start, token.end);

            spl_note_remark(lexed->remark, typed);
        }
        g_array_append_val(lexed->tokens, token);
    }
}

/* SPDX-License-Identifier: MIT
 *
 * A slip's lines and the records that go with them. See simpling/record/slip.h. The script of the
 * slip writes the same form; tests/browser/slip.mjs holds the two together.
 */
#include "simpling/record/slip.h"

#include <string.h>

static const struct spl_field why_fields[] = {
    SPL_FIELD(spl_slip_why, reason, SPL_INT, "reason", NULL),
};
const struct spl_shape spl_slip_why_shape = SPL_SHAPE("slip_why", spl_slip_why, why_fields);

static const struct spl_field run_fields[] = {
    SPL_FIELD(spl_slip_run, first, SPL_DAY, "first", "from"),
    SPL_FIELD(spl_slip_run, last, SPL_DAY, "last", "to"),
    SPL_FIELD(spl_slip_run, verdict, SPL_WORD, "verdict", "verdict", .names = spl_verdict_names),
    SPL_FIELD_LIST(spl_slip_run, why, &spl_slip_why_shape, "why", NULL),
};
const struct spl_shape spl_slip_run_shape = SPL_SHAPE("slip_run", spl_slip_run, run_fields);

/* On one line, without square brackets. */
static void append_words(GString *line, const char *words)
{
    for (const char *at = words; *at != '\0'; at++) {
        if (*at == '[')
            g_string_append_c(line, '(');
        else if (*at == ']')
            g_string_append_c(line, ')');
        else
            g_string_append_c(line, (guchar)*at < 0x20 ? ' ' : *at);
    }
}

char *spl_slip_place(const char *name)
{
    GString *words = g_string_new(NULL);

    for (const char *at = name; *at != '\0'; at++) {
        const char c = strchr(";:()[]", *at) != NULL || (guchar)*at < 0x20 ? ' ' : *at;

        if (c != ' ' || (words->len > 0 && words->str[words->len - 1] != ' '))
            g_string_append_c(words, c);
    }
    if (words->len > 0 && words->str[words->len - 1] == ' ')
        g_string_truncate(words, words->len - 1);
    return g_string_free(words, FALSE);
}

char *spl_slip_line_write(const struct spl_slip_line *line)
{
    GString *text = g_string_new(NULL);
    char day[SPL_DAY_TEXT_SIZE];

    g_string_append(text, spl_day_format(line->day, day));
    g_string_append_c(text, ' ');
    if (line->place != NULL) {
        g_autofree char *place = spl_slip_place(line->place);

        g_string_append_printf(text, "%s: ", place);
    }
    append_words(text, line->what);
    if (line->remark != NULL && *line->remark != '\0') {
        g_string_append(text, "; ");
        append_words(text, line->remark);
    }
    g_string_append_printf(text, " [%s-", line->tag.slip);
    if (line->tag.phone != NULL)
        g_string_append_printf(text, "%s-", line->tag.phone);
    g_string_append_printf(text, "%02d", line->tag.number);
    if (line->tag.revision > 1)
        g_string_append_printf(text, ".%d", line->tag.revision);
    g_string_append(text, line->tag.struck ? " struck]" : "]");
    return g_string_free(text, FALSE);
}

/* What stands behind `head` in the piece; NULL: it begins otherwise, or nothing does. */
static const char *behind(const char *piece, const char *head)
{
    gsize n = strlen(head);

    if (g_ascii_strncasecmp(piece, head, n) != 0)
        return NULL;
    piece += n;
    while (*piece == ' ')
        piece++;
    return *piece != '\0' ? piece : NULL;
}

void spl_slip_tail_read(const char *remark, struct spl_slip_tail *tail)
{
    g_auto(GStrv) pieces = g_strsplit(remark != NULL ? remark : "", ";", -1);
    g_autoptr(GString) rest = g_string_new(NULL);

    *tail = (struct spl_slip_tail){0};
    for (guint i = 0; pieces[i] != NULL; i++) {
        const struct {
            const char *head;
            char **said;
        } rows[] = {{"despite:", &tail->despite}, {"by ", &tail->by}, {"signs:", &tail->signs}};
        const char *piece = g_strstrip(pieces[i]);
        gboolean taken = *piece == '\0';

        for (gsize k = 0; !taken && k < G_N_ELEMENTS(rows); k++) {
            const char *said = *rows[k].said == NULL ? behind(piece, rows[k].head) : NULL;

            if (said == NULL)
                continue;
            *rows[k].said = g_strdup(said);
            taken = TRUE;
        }
        if (!taken)
            g_string_append_printf(rest, "%s%s", rest->len > 0 ? "; " : "", piece);
    }
    if (rest->len > 0)
        tail->rest = g_strdup(rest->str);
}

void spl_slip_tail_clear(struct spl_slip_tail *tail)
{
    g_clear_pointer(&tail->despite, g_free);
    g_clear_pointer(&tail->by, g_free);
    g_clear_pointer(&tail->signs, g_free);
    g_clear_pointer(&tail->rest, g_free);
}

char *spl_slip_letters(int length)
{
    const guint n = (guint)strlen(SPL_SLIP_LETTERS);
    char *letters = g_malloc0((gsize)length + 1);

    for (int i = 0; i < length; i++)
        letters[i] = SPL_SLIP_LETTERS[g_random_int() % n];
    return letters;
}

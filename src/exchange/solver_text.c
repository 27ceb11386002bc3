/* SPDX-License-Identifier: MIT
 *
 * What the program and its solver child say to each other: numbers in lines, and the frames around
 * them.
 */
#include <errno.h>
#include <math.h>
#include <poll.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "exchange/solver.h"
#include "simpling/error.h"

#define MOST_BYTES (512u * 1024 * 1024) /* a frame larger than this is not ours */

static void put(GString *text, double number)
{
    char buffer[G_ASCII_DTOSTR_BUF_SIZE];

    g_string_append(text, g_ascii_dtostr(buffer, sizeof buffer, number));
    g_string_append_c(text, ' ');
}

GString *spl_solver_problem_text(const struct spl_mip *mip, const struct spl_mip_limits *limits)
{
    GString *text = g_string_sized_new(mip->entries->len * 16u + 1024u);

    g_string_append_printf(text, "%u %u %u ", mip->columns->len, mip->rows->len, mip->entries->len);
    put(text, limits->seconds);
    put(text, limits->nodes);
    put(text, limits->gap);
    put(text, limits->cutoff);
    g_string_append_printf(text, "%d %d\n", limits->relax, limits->start != NULL);
    for (guint c = 0; c < mip->columns->len; c++) {
        const struct spl_mip_column *column =
            &g_array_index(mip->columns, struct spl_mip_column, c);

        put(text, column->lower);
        put(text, column->upper);
        put(text, column->cost);
        g_string_append(text, column->whole ? "1\n" : "0\n");
    }
    for (guint r = 0; r < mip->rows->len; r++) {
        const struct spl_mip_row *row = &g_array_index(mip->rows, struct spl_mip_row, r);

        put(text, row->lower);
        put(text, row->upper);
        g_string_append_printf(text, "%d ", row->n);
        for (int e = row->first; e < row->first + row->n; e++) {
            const struct spl_mip_entry *entry =
                &g_array_index(mip->entries, struct spl_mip_entry, e);

            g_string_append_printf(text, "%d ", entry->column);
            put(text, entry->value);
        }
        g_string_append_c(text, '\n');
    }
    for (guint c = 0; limits->start != NULL && c < mip->columns->len; c++)
        put(text, limits->start[c]);
    return text;
}

/* ---- reading ------------------------------------------------------------------------------- */

struct reader {
    const char *at;
    gboolean bad;
};

static double next_number(struct reader *reader)
{
    char *end = NULL;
    double number = g_ascii_strtod(reader->at, &end);

    if (end == reader->at || isnan(number)) {
        reader->bad = TRUE;
        return 0;
    }
    reader->at = end;
    return number;
}

static int next_count(struct reader *reader, int most)
{
    double number = next_number(reader);

    if (!(number >= 0 && number <= most) || number != floor(number)) {
        reader->bad = TRUE;
        return 0;
    }
    return (int)number;
}

static gboolean corrupt(GError **error, const char *what)
{
    g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                "the solver and the program do not understand each other (%s); install both anew",
                what);
    return FALSE;
}

struct spl_mip *spl_solver_problem_read(const char *text, struct spl_mip_limits *limits,
                                        double **start, GError **error)
{
    struct reader reader = {text, FALSE};
    g_autoptr(spl_mip) mip = spl_mip_new();
    int columns = next_count(&reader, 50000000), rows = next_count(&reader, 50000000);
    gboolean has_start;

    (void)next_count(&reader, G_MAXINT);
    *start = NULL;
    *limits = (struct spl_mip_limits){0};
    limits->seconds = next_number(&reader);
    limits->nodes = next_count(&reader, G_MAXINT);
    limits->gap = next_number(&reader);
    limits->cutoff = next_number(&reader);
    limits->relax = next_count(&reader, 1);
    has_start = next_count(&reader, 1);
    for (int c = 0; c < columns && !reader.bad; c++) {
        double lower = next_number(&reader), upper = next_number(&reader);
        double cost = next_number(&reader);

        spl_mip_add_column(mip, g_strdup(""), lower, upper, cost, next_count(&reader, 1));
    }
    for (int r = 0; r < rows && !reader.bad; r++) {
        double lower = next_number(&reader), upper = next_number(&reader);
        int n = next_count(&reader, columns);

        spl_mip_add_row(mip, g_strdup(""), lower, upper);
        for (int e = 0; e < n && !reader.bad; e++) {
            int column = next_count(&reader, columns - 1);

            spl_mip_put(mip, column, next_number(&reader));
        }
    }
    if (has_start && !reader.bad) {
        *start = g_new(double, columns + 1);
        for (int c = 0; c < columns && !reader.bad; c++)
            (*start)[c] = next_number(&reader);
        limits->start = *start;
    }
    if (reader.bad) {
        g_clear_pointer(start, g_free);
        corrupt(error, "a problem");
        return NULL;
    }
    return g_steal_pointer(&mip);
}

GString *spl_solver_answer_text(const struct spl_mip_answer *answer, int columns, int rows)
{
    GString *text = g_string_new(NULL);

    g_string_append_printf(text, "%d %d %d %d ", (int)answer->state, answer->nodes,
                           answer->x != NULL, answer->duals != NULL);
    put(text, isnan(answer->cost) ? 0 : answer->cost);
    put(text, answer->bound);
    g_string_append_c(text, '\n');
    for (int c = 0; answer->x != NULL && c < columns; c++)
        put(text, answer->x[c]);
    for (int r = 0; answer->duals != NULL && r < rows; r++)
        put(text, answer->duals[r]);
    return text;
}

gboolean spl_solver_answer_read(const char *text, int columns, int rows,
                                struct spl_mip_answer *answer, GError **error)
{
    struct reader reader = {text, FALSE};
    gboolean has_x, has_duals;

    *answer = (struct spl_mip_answer){.cost = NAN, .bound = -INFINITY};
    answer->state = (enum spl_mip_state)next_count(&reader, SPL_MIP_UNKNOWN);
    answer->nodes = next_count(&reader, G_MAXINT);
    has_x = next_count(&reader, 1);
    has_duals = next_count(&reader, 1);
    answer->cost = next_number(&reader);
    answer->bound = next_number(&reader);
    if (!has_x)
        answer->cost = NAN;
    if (has_x && !reader.bad) {
        answer->x = g_new(double, columns + 1);
        for (int c = 0; c < columns; c++)
            answer->x[c] = next_number(&reader);
    }
    if (has_duals && !reader.bad) {
        answer->duals = g_new(double, rows + 1);
        for (int r = 0; r < rows; r++)
            answer->duals[r] = next_number(&reader);
    }
    if (reader.bad) {
        spl_mip_answer_clear(answer);
        return corrupt(error, "an answer");
    }
    return TRUE;
}

/* ---- frames -------------------------------------------------------------------------------- */

static gboolean send_all(int fd, const char *data, gsize size, GError **error)
{
    while (size > 0) {
        ssize_t sent = send(fd, data, size, MSG_NOSIGNAL);

        if (sent < 0 && errno == EINTR)
            continue;
        if (sent <= 0) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                        "the solver does not listen any more (%s); run the plan again",
                        g_strerror(errno));
            return FALSE;
        }
        data += sent;
        size -= (gsize)sent;
    }
    return TRUE;
}

gboolean spl_solver_send(int fd, const char *kind, const GString *text, GError **error)
{
    g_autofree char *head = g_strdup_printf("%s %" G_GSIZE_FORMAT "\n", kind, text->len);

    return send_all(fd, head, strlen(head), error) && send_all(fd, text->str, text->len, error);
}

#define LOOK_MS 100 /* how often the patience is looked at */

static gboolean at_its_end(const struct spl_solver_patience *patience)
{
    return patience != NULL &&
           ((patience->deadline != 0 && g_get_monotonic_time() >= patience->deadline) ||
            (patience->stopped != NULL && patience->stopped(patience->data)));
}

/* 1: all there, 0: the stream ended, -1: error. */
static int receive_all(int fd, char *data, gsize size, const struct spl_solver_patience *patience,
                       GError **error)
{
    while (size > 0) {
        struct pollfd wait = {.fd = fd, .events = POLLIN};
        int ready = poll(&wait, 1, patience == NULL ? -1 : LOOK_MS);
        ssize_t got;

        if (ready <= 0 && at_its_end(patience)) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_BUSY,
                        "the solver did not answer in time; give it more seconds");
            return -1;
        }
        if (ready <= 0)
            continue;
        got = recv(fd, data, size, 0);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "the solver cannot be heard: %s",
                        g_strerror(errno));
            return -1;
        }
        if (got == 0)
            return 0;
        data += got;
        size -= (gsize)got;
    }
    return 1;
}

char *spl_solver_receive(int fd, const char *kind, const struct spl_solver_patience *patience,
                         GError **error)
{
    char head[64] = "";
    gsize at = 0, size;
    char *text, *end = NULL;
    int state;

    for (; at < sizeof head - 1; at++) {
        state = receive_all(fd, head + at, 1, patience, error);
        if (state <= 0) {
            if (state == 0 && at > 0)
                corrupt(error, "half a frame");
            return NULL;
        }
        if (head[at] == '\n')
            break;
    }
    head[at] = '\0';
    if (!g_str_has_prefix(head, kind) || head[strlen(kind)] != ' ') {
        corrupt(error, "a frame");
        return NULL;
    }
    size = (gsize)g_ascii_strtoull(head + strlen(kind) + 1, &end, 10);
    if (end == NULL || *end != '\0' || size > MOST_BYTES) {
        corrupt(error, "a frame's length");
        return NULL;
    }
    text = g_malloc(size + 1);
    text[size] = '\0';
    state = size == 0 ? 1 : receive_all(fd, text, size, patience, error);
    if (state <= 0) {
        if (state == 0)
            corrupt(error, "half a frame");
        g_free(text);
        return NULL;
    }
    return text;
}

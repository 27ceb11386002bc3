/* SPDX-License-Identifier: MIT
 *
 * Errands, both ends of their pipe. See desk/errand.h.
 */
#include "desk/errand.h"

#include <errno.h>
#include <signal.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <unistd.h>

#include "desk/told.h"

#define ASKED "(aymaymaymaymaymaymaymayix)"
#define ANSWERED "(uaysmaymayb)"
#define FILE_MAX ((rlim_t)1 << 30)
#define CPU_S 300
#define MEMORY_MAX ((rlim_t)4 << 30)

/* A text of whatever bytes, or none. */
static GVariant *maybe(const char *text)
{
    return g_variant_new_maybe(G_VARIANT_TYPE_BYTESTRING,
                               text != NULL ? g_variant_new_bytestring(text) : NULL);
}

/* A path that holds in whatever folder it is read. */
static GVariant *whole(const char *path)
{
    g_autofree char *absolute = path != NULL ? g_canonicalize_filename(path, NULL) : NULL;

    return maybe(absolute);
}

GBytes *spl_errand_pack(const struct spl_visit *visit, const char *form)
{
    const struct spl_house_options *where = &visit->where;
    g_autoptr(GVariant) asked = g_variant_ref_sink(g_variant_new(
        "(^ay@may@may@may@may@may@may@mayix)", visit->target, maybe(form), maybe(visit->files),
        whole(where->book), whole(where->data), whole(where->own_data), whole(where->calendars),
        whole(where->helpers), where->today.n, where->now_us));

    return g_variant_get_data_as_bytes(asked);
}

void spl_errand_answer_clear(struct spl_errand_answer *answer)
{
    g_clear_pointer(&answer->body, g_bytes_unref);
    g_clear_pointer(&answer->type, g_free);
    g_clear_pointer(&answer->location, g_free);
    g_clear_pointer(&answer->file, g_free);
}

gboolean spl_errand_unpack(GBytes *bytes, struct spl_errand_answer *answer)
{
    g_autoptr(GVariant) answered =
        g_variant_ref_sink(g_variant_new_from_bytes(G_VARIANT_TYPE(ANSWERED), bytes, FALSE));
    g_autoptr(GVariant) body = NULL;
    guint32 status;

    if (g_bytes_get_size(bytes) == 0 || !g_variant_is_normal_form(answered))
        return FALSE;
    *answer = (struct spl_errand_answer){.body = NULL};
    g_variant_get(answered, "(u@aysm^aym^ayb)", &status, &body, &answer->type, &answer->location,
                  &answer->file, &answer->keep_files);
    answer->status = status;
    answer->body = g_variant_get_data_as_bytes(body);
    return TRUE;
}

/* The other process -----------------------------------------------------------------------------
 */

/* What strangers' files may cost; and nobody waits for it any more when the desk is gone. */
static void take_limits(void)
{
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    setrlimit(RLIMIT_CORE, &(struct rlimit){0, 0});
    setrlimit(RLIMIT_FSIZE, &(struct rlimit){FILE_MAX, FILE_MAX});
    setrlimit(RLIMIT_CPU, &(struct rlimit){CPU_S, CPU_S});
#ifndef __SANITIZE_ADDRESS__ /* its shadow takes terabytes of addresses */
    setrlimit(RLIMIT_AS, &(struct rlimit){MEMORY_MAX, MEMORY_MAX});
#endif
}

static GBytes *read_all(int in)
{
    g_autoptr(GByteArray) all = g_byte_array_new();
    guint8 piece[4096];
    ssize_t n;

    while ((n = read(in, piece, sizeof piece)) > 0 || (n < 0 && errno == EINTR))
        if (n > 0)
            g_byte_array_append(all, piece, (guint)n);
    return g_byte_array_free_to_bytes(g_steal_pointer(&all));
}

static gboolean write_all(int out, GBytes *bytes)
{
    gsize length, done = 0;
    const char *data = g_bytes_get_data(bytes, &length);

    while (done < length) {
        ssize_t n = write(out, data + done, length - done);

        if (n < 0 && errno != EINTR)
            return FALSE;
        done += n > 0 ? (gsize)n : 0;
    }
    return TRUE;
}

/* An act sends the browser on to the page that confirms it, which this process alone can make. */
static void follow(struct spl_visit *visit)
{
    g_autofree char *location = NULL;

    if (visit->location == NULL || !g_str_has_prefix(visit->location, "/act/written?"))
        return;
    location = g_steal_pointer(&visit->location);
    g_strfreev(visit->steps);
    g_array_unref(visit->query);
    g_clear_pointer(&visit->form, g_array_unref);
    visit->steps = spl_target_steps(location);
    visit->query = spl_target_pairs(location);
    spl_visit_answer(visit);
}

static GBytes *answer_of(const struct spl_visit *visit)
{
    g_autoptr(GVariant) answered = g_variant_ref_sink(
        g_variant_new("(u@ays@may@mayb)", visit->status,
                      g_variant_new_fixed_array(G_VARIANT_TYPE_BYTE, visit->body, visit->length, 1),
                      visit->type, maybe(visit->location), maybe(visit->file), visit->keep_files));

    return g_variant_get_data_as_bytes(answered);
}

int spl_errand_run(int in, int out)
{
    g_autoptr(GBytes) bytes = NULL, answer = NULL;
    g_autoptr(GVariant) asked = NULL;
    g_autofree char *target = NULL, *form = NULL, *files = NULL, *book = NULL, *data = NULL,
                    *own_data = NULL, *calendars = NULL, *helpers = NULL;
    struct spl_visit visit = {.status = 500};
    gboolean sent = FALSE;

    take_limits();
    bytes = read_all(in);
    asked = g_variant_ref_sink(g_variant_new_from_bytes(G_VARIANT_TYPE(ASKED), bytes, FALSE));
    if (!g_variant_is_normal_form(asked))
        return 2;
    g_variant_get(asked, "(^aym^aym^aym^aym^aym^aym^aym^ayix)", &target, &form, &files, &book,
                  &data, &own_data, &calendars, &helpers, &visit.where.today.n,
                  &visit.where.now_us);
    visit.where.book = book;
    visit.where.data = data;
    visit.where.own_data = own_data;
    visit.where.calendars = calendars;
    visit.where.helpers = helpers;
    visit.files = files;
    visit.target = target;
    visit.steps = spl_target_steps(target);
    visit.query = spl_target_pairs(target);
    visit.form = form != NULL ? spl_pairs_read(form, strlen(form)) : NULL;
    if (files != NULL && chdir(files) != 0) /* errors name a file as the person does */
        visit.files = NULL;
    if (visit.steps != NULL && visit.query != NULL && (form == NULL || visit.form != NULL)) {
        visit.told = spl_told_new();
        spl_visit_answer(&visit);
        follow(&visit);
        answer = answer_of(&visit);
        sent = write_all(out, answer);
        spl_told_free(visit.told);
    }
    spl_visit_clear(&visit);
    return sent ? 0 : 1;
}

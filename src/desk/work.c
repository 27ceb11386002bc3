/* SPDX-License-Identifier: MIT
 *
 * Errands under way. See desk/work.h.
 */
#include "desk/work.h"

#include <gio/gio.h>
#include <string.h>

#include "desk/act.h"
#include "desk/door.h"
#include "desk/errand.h"
#include "desk/form.h"
#include "desk/page.h"
#include "desk/upload.h"
#include "simpling/error.h"

#define WALL_S 600 /* then it is ended */
#define KEPT_S 600 /* so long its answer can be looked at again */
#define ID_BYTES 16

struct spl_work {
    struct spl_works *works;
    char *id, *target, *form, *files; /* files: the upload's name; NULL */
    GSubprocess *child;
    GCancellable *gone; /* the registry is */
    gint64 since_us;
    guint timer; /* ends it, later forgets it */
    gboolean done, stopped, late, whole;
    struct spl_errand_answer answer;
    void (*tell)(gpointer data);
    gpointer data;
};

struct spl_works {
    struct spl_uploads *uploads;
    GHashTable *by_id; /* of struct spl_work */
};

static void work_free(gpointer data)
{
    struct spl_work *work = data;

    if (work->timer != 0)
        g_source_remove(work->timer);
    if (work->child != NULL && !work->done)
        g_subprocess_force_exit(work->child);
    g_cancellable_cancel(work->gone);
    g_object_unref(work->gone);
    g_clear_object(&work->child);
    spl_errand_answer_clear(&work->answer);
    g_free(work->id);
    g_free(work->target);
    g_free(work->form);
    g_free(work->files);
    g_free(work);
}

struct spl_works *spl_works_new(struct spl_uploads *uploads)
{
    struct spl_works *works = g_new(struct spl_works, 1);

    works->uploads = uploads;
    works->by_id = g_hash_table_new_full(g_str_hash, g_str_equal, NULL, work_free);
    return works;
}

void spl_works_free(struct spl_works *works)
{
    if (works == NULL)
        return;
    g_hash_table_unref(works->by_id);
    g_free(works);
}

/* Begin and end ---------------------------------------------------------------------------------
 */

static gboolean forget(gpointer data)
{
    struct spl_work *work = data;

    work->timer = 0;
    g_hash_table_remove(work->works->by_id, work->id);
    return G_SOURCE_REMOVE;
}

static gboolean end_late(gpointer data)
{
    struct spl_work *work = data;

    work->timer = 0;
    work->late = TRUE;
    g_subprocess_force_exit(work->child);
    return G_SOURCE_REMOVE;
}

static void on_end(GObject *source, GAsyncResult *result, gpointer data)
{
    struct spl_work *work = data;
    g_autoptr(GBytes) out = NULL;
    g_autoptr(GError) error = NULL;

    if (!g_subprocess_communicate_finish(G_SUBPROCESS(source), result, &out, NULL, &error) &&
        g_error_matches(error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        return; /* `work` is gone */
    work->done = TRUE;
    work->whole = out != NULL && !work->stopped && spl_errand_unpack(out, &work->answer);
    if (work->files != NULL && !(work->whole && work->answer.keep_files))
        spl_uploads_drop(work->works->uploads, work->files);
    if (work->timer != 0)
        g_source_remove(work->timer);
    work->timer = g_timeout_add_seconds(KEPT_S, forget, work);
    if (work->tell != NULL)
        work->tell(work->data);
}

static guint count_under_way(const struct spl_works *works)
{
    GHashTableIter iter;
    gpointer value;
    guint n = 0;

    g_hash_table_iter_init(&iter, works->by_id);
    while (g_hash_table_iter_next(&iter, NULL, &value))
        n += ((struct spl_work *)value)->done ? 0 : 1;
    return n;
}

struct spl_work *spl_work_begin(struct spl_works *works, const struct spl_visit *visit,
                                const char *form, void (*done)(gpointer data), gpointer data,
                                GError **error)
{
    g_autofree char *program = g_build_filename(
        visit->where.helpers != NULL ? visit->where.helpers : "", "simpling-page", NULL);
    g_autofree char *id = spl_door_random(ID_BYTES);
    struct spl_visit with = *visit; /* and where it makes what it sends out */
    g_autoptr(GBytes) asked = NULL;
    g_autoptr(GError) failed = NULL;
    GSubprocess *child;
    struct spl_work *work;

    if (count_under_way(works) >= SPL_WORKS_AT_ONCE) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_BUSY,
                    "%d other things that take long are under way; wait for one, or stop it",
                    SPL_WORKS_AT_ONCE);
        return NULL;
    }
    if (visit->files == NULL && g_strcmp0(visit->steps[0], "out") == 0)
        with.files = spl_uploads_find(works->uploads, spl_uploads_make(works->uploads));
    asked = spl_errand_pack(&with, form);
    child = id != NULL
                ? g_subprocess_new(G_SUBPROCESS_FLAGS_STDIN_PIPE | G_SUBPROCESS_FLAGS_STDOUT_PIPE,
                                   &failed, program, NULL)
                : NULL;
    if (child == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO, "%s: cannot be started: %s; install it again",
                    program, failed != NULL ? failed->message : "no random numbers");
        if (visit->files == NULL && with.files != NULL) {
            g_autofree char *made = g_path_get_basename(with.files);

            spl_uploads_drop(works->uploads, made);
        }
        return NULL;
    }
    work = g_new(struct spl_work, 1);
    *work = (struct spl_work){
        .works = works,
        .id = g_steal_pointer(&id),
        .target = g_strdup(visit->target),
        .form = g_strdup(form),
        .files = with.files != NULL ? g_path_get_basename(with.files) : NULL,
        .child = child,
        .gone = g_cancellable_new(),
        .since_us = g_get_monotonic_time(),
        .tell = done,
        .data = data,
    };
    work->timer = g_timeout_add_seconds(WALL_S, end_late, work);
    g_hash_table_insert(works->by_id, work->id, work);
    g_subprocess_communicate_async(child, asked, work->gone, on_end, work);
    return work;
}

void spl_work_forget_done(struct spl_work *work)
{
    work->tell = NULL;
}

gboolean spl_work_is_done(const struct spl_work *work)
{
    return work->done;
}

char *spl_work_address(const struct spl_work *work)
{
    return g_strconcat("/work/", work->id, NULL);
}

/* Answers ---------------------------------------------------------------------------------------
 */

/* As it was asked, so that a form can come back filled in. */
static void ask_again(const struct spl_work *work, struct spl_visit *visit)
{
    g_strfreev(visit->steps);
    g_clear_pointer(&visit->query, g_array_unref);
    g_clear_pointer(&visit->form, g_array_unref);
    visit->target = work->target;
    visit->steps = spl_target_steps(work->target);
    visit->query = spl_target_pairs(work->target);
    if (work->form != NULL)
        visit->form = spl_pairs_read(work->form, strlen(work->form));
}

static void answer_failed(const struct spl_work *work, struct spl_visit *visit)
{
    GError *error = NULL;

    if (work->stopped)
        g_set_error(&error, SPL_ERROR, SPL_ERROR_INTERNAL, "It was stopped, as you wished");
    else if (work->late)
        g_set_error(&error, SPL_ERROR, SPL_ERROR_INTERNAL,
                    "It took more than %d minutes and was ended; ask for less at once",
                    WALL_S / 60);
    else
        g_set_error(&error, SPL_ERROR, SPL_ERROR_INTERNAL,
                    "The program that worked on it ended before it was done: the machine may be "
                    "short of memory, or somebody ended it; try again");
    ask_again(work, visit);
    if (visit->form != NULL &&
        (spl_act_come_back(visit, error) || spl_files_come_back(visit, error)))
        return; /* took it over */
    spl_desk_failure(visit, error);
    g_error_free(error);
}

void spl_work_answer(struct spl_work *work, struct spl_visit *visit)
{
    const struct spl_errand_answer *answer = &work->answer;
    gsize length;
    const void *body;

    if (!work->whole) {
        answer_failed(work, visit);
        return;
    }
    body = g_bytes_get_data(answer->body, &length);
    g_free(visit->body);
    g_free(visit->location);
    visit->status = answer->status;
    visit->body = g_malloc(length + 1);
    memcpy(visit->body, body, length);
    visit->body[length] = '\0';
    visit->length = length;
    visit->type = g_intern_string(answer->type);
    g_free(visit->file);
    visit->file = g_strdup(answer->file);
    visit->location = g_strdup(answer->location);
}

static void answer_under_way(const struct spl_work *work, struct spl_visit *visit)
{
    const char *parts[] = {work->id, NULL};
    const int seconds = (int)((g_get_monotonic_time() - work->since_us) / G_USEC_PER_SEC);
    struct spl_html *html = spl_desk_begin(visit, "It is being worked on", NULL);

    spl_html_open(html, "p");
    spl_html_attr(html, "role", "status");
    spl_html_printf(html,
                    "Begun %d seconds ago. This page looks again by itself; the others can "
                    "be used meanwhile.",
                    seconds);
    spl_html_close(html, "p");
    spl_html_open(html, "p");
    spl_html_open(html, "a");
    spl_html_link(html, "href", "/work", parts, NULL);
    spl_html_text(html, "Look now");
    spl_html_close(html, "a");
    spl_html_close(html, "p");
    spl_html_open(html, "form");
    spl_html_attr(html, "method", "post");
    spl_html_link(html, "action", "/work", parts, NULL);
    spl_form_end(html, "Stop it");
    /* In a head of HTTP, so that a page that is kept or saved does not go on asking; seldomer when
     * it takes long, so that who stops it by keyboard is not taken away from the button. */
    visit->again_s = seconds < 5 ? 1 : 5;
    spl_visit_page(visit, 200, spl_desk_end(html));
}

void spl_works_visit(struct spl_works *works, struct spl_visit *visit)
{
    const char *id = spl_visit_of(visit);
    struct spl_work *work =
        id != NULL && visit->steps[2] == NULL ? g_hash_table_lookup(works->by_id, id) : NULL;

    if (work == NULL) {
        struct spl_html *html = spl_desk_begin(visit, "It is over", NULL);

        spl_desk_say(html, "What was worked on here is over, or belonged to a desk that has ended. "
                           "What it had to write is in the book or was never begun; ask again.");
        spl_visit_page(visit, 404, spl_desk_end(html));
    } else if (visit->form != NULL && !work->done) {
        work->stopped = TRUE;
        g_subprocess_force_exit(work->child);
        spl_visit_send_on(visit, spl_work_address(work));
    } else if (!work->done) {
        answer_under_way(work, visit);
    } else {
        spl_work_answer(work, visit);
    }
}

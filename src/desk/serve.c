/* SPDX-License-Identifier: MIT
 *
 * The server: libmicrohttpd without a thread of its own, in the main loop (desk/turn.h).
 * What the library lets through or does not measure (a second header, a slow sender) is looked at
 * here. See desk/desk.h.
 */
#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <glib-unix.h>
#include <microhttpd.h>
#include <signal.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#include "desk/desk.h"
#include "desk/door.h"
#include "desk/page.h"
#include "desk/respond.h"
#include "desk/running.h"
#include "desk/together.h"
#include "desk/told.h"
#include "desk/turn.h"
#include "desk/upload.h"
#include "desk/visit.h"
#include "desk/work.h"
#include "simpling/error.h"

#define CONNECTIONS 64
#define MEMORY 32768     /* bytes of a connection: its headers */
#define SILENCE_S 10u    /* the library cuts who says nothing */
#define WHOLE_MS 8000    /* in which a whole request must have come */
#define BETWEEN_MS 30000 /* the same on a connection that had one */
#define CROWDED_MS 1000  /* the first, when few places are left */
#define BEAT_MS 250
#define PATIENCE_MS 1500 /* then who asked for what takes long sees that it does */
#define PICTURE_MS 60000 /* a picture has no page to say so */
#define ENDING_MS 5000   /* for what is being written or sent when the desk ends */

struct connection {
    int fd;
    gint64 until_ms; /* a whole request must have come by then */
    gboolean new;
    gboolean sends_files;
    gint64 files_ms; /* since then */
};

struct desk {
    const struct spl_desk_options *options;
    struct spl_door door;
    struct spl_running running;
    struct spl_told *told;
    struct spl_uploads *uploads;
    struct spl_works *works;
    struct spl_together *together;
    GHashTable *waiting; /* of struct request: those whose answer another process makes */
    struct MHD_Daemon *daemon;
    GMainLoop *loop;
    GHashTable *connections; /* of struct connection */
    int requests;            /* begun and not completed */
    gint64 end_ms;           /* it ends, at the latest then; 0: it does not */
    int port;
};

/* One request. */
struct request {
    char *target;
    gboolean seen;
    enum spl_let_in in;
    GString *body;             /* of a form; NULL: none is sent */
    struct spl_upload *upload; /* of its files; NULL: it has none */
    struct spl_visit visit;
    struct spl_work *work; /* that answers it; NULL: nobody else does */
    struct desk *desk;     /* while it waits */
    struct MHD_Connection *connection;
    guint patience; /* source */
};

static gint64 now_ms(void)
{
    return g_get_monotonic_time() / 1000;
}

/* Visits ----------------------------------------------------------------------------------------
 */

static void set_today(struct spl_house_options *where)
{
    time_t seconds = time(NULL);
    struct tm now;

    if (where->now_us != 0 || localtime_r(&seconds, &now) == NULL)
        return;
    where->today = spl_day_from_ymd(now.tm_year + 1900, now.tm_mon + 1, now.tm_mday);
}

static gboolean try_to_end(gpointer data)
{
    struct desk *desk = data;

    if (desk->requests > 0 && now_ms() < desk->end_ms)
        return G_SOURCE_CONTINUE;
    g_main_loop_quit(desk->loop);
    return G_SOURCE_REMOVE;
}

/* Lets what was begun be finished. */
static void begin_to_end(struct desk *desk)
{
    MHD_socket listening;

    if (desk->end_ms != 0)
        return;
    desk->end_ms = now_ms() + ENDING_MS;
    listening = MHD_quiesce_daemon(desk->daemon);
    if (listening != MHD_INVALID_SOCKET)
        close(listening);
    g_timeout_add(20, try_to_end, desk);
}

/* Once the library is not in the middle of an answer. */
static gboolean end_behind(gpointer data)
{
    begin_to_end(data);
    return G_SOURCE_REMOVE;
}

/* A second signal ends at once. */
static gboolean on_signal(gpointer data)
{
    struct desk *desk = data;

    if (desk->end_ms != 0)
        g_main_loop_quit(desk->loop);
    begin_to_end(desk);
    return G_SOURCE_CONTINUE;
}

static enum MHD_Result respond_visit(struct desk *desk, struct MHD_Connection *connection,
                                     struct spl_visit *visit)
{
    struct connection *known = g_hash_table_lookup(desk->connections, connection);

    if (known != NULL) /* what took long here is no fault of the other side */
        known->until_ms = now_ms() + BETWEEN_MS;
    if (visit->ends)
        g_idle_add(end_behind, desk);
    return spl_respond(connection, visit->status, g_steal_pointer(&visit->body), visit->length,
                       visit->type, visit->location, NULL, visit->file, visit->forever,
                       visit->again_s);
}

/* Waiting for another process -------------------------------------------------------------------
 */

/* The library asks for the answer once more. */
static void wake(struct request *request)
{
    if (!g_hash_table_remove(request->desk->waiting, request))
        return;
    spl_together_forget(request->desk->together); /* it may have written */
    if (request->patience != 0)
        g_source_remove(request->patience);
    request->patience = 0;
    spl_work_forget_done(request->work);
    MHD_resume_connection(request->connection);
}

static void on_done(gpointer data)
{
    struct request *request = data;
    struct MHD_Daemon *daemon = request->desk->daemon;

    wake(request);
    MHD_run(daemon);
}

static gboolean out_of_patience(gpointer data)
{
    struct request *request = data;

    request->patience = 0;
    on_done(request);
    return G_SOURCE_REMOVE;
}

static void wake_all(struct desk *desk)
{
    g_autoptr(GList) all = g_hash_table_get_keys(desk->waiting);

    for (GList *each = all; each != NULL; each = each->next)
        wake(each->data);
}

static enum MHD_Result hand_out(struct desk *desk, struct MHD_Connection *connection,
                                struct request *request, gboolean picture)
{
    struct connection *known = g_hash_table_lookup(desk->connections, connection);
    g_autoptr(GError) error = NULL;

    request->work =
        spl_work_begin(desk->works, &request->visit,
                       request->body != NULL ? request->body->str : NULL, on_done, request, &error);
    if (request->work == NULL) {
        if (request->upload != NULL)
            spl_uploads_drop(desk->uploads, spl_upload_id(request->upload));
        spl_desk_failure(&request->visit, error);
        return respond_visit(desk, connection, &request->visit);
    }
    if (known != NULL)
        known->until_ms = now_ms() + PICTURE_MS + WHOLE_MS;
    request->desk = desk;
    request->connection = connection;
    request->patience = g_timeout_add(picture ? PICTURE_MS : PATIENCE_MS, out_of_patience, request);
    g_hash_table_add(desk->waiting, request);
    MHD_suspend_connection(connection);
    return MHD_YES;
}

/* It is done, or takes so long that a page says so. */
static enum MHD_Result answer_handed_out(struct desk *desk, struct MHD_Connection *connection,
                                         struct request *request)
{
    if (spl_work_is_done(request->work))
        spl_work_answer(request->work, &request->visit);
    else
        spl_visit_send_on(&request->visit, spl_work_address(request->work));
    return respond_visit(desk, connection, &request->visit);
}

static enum MHD_Result respond_unreadable(struct desk *desk, struct MHD_Connection *connection,
                                          struct request *request, GError *error)
{
    if (request->upload != NULL)
        spl_uploads_drop(desk->uploads, spl_upload_id(request->upload));
    g_clear_error(&error);
    return spl_respond_page(connection, 400, spl_desk_refused(400, "The form cannot be read."),
                            NULL);
}

static enum MHD_Result answer(struct desk *desk, struct MHD_Connection *connection,
                              struct request *request)
{
    struct spl_visit *visit = &request->visit;
    const char *id = NULL; /* of files that came now, or before */
    GError *error = NULL;
    gboolean picture;

    visit->target = request->target;
    visit->steps = spl_target_steps(request->target);
    visit->query = spl_target_pairs(request->target);
    visit->where = *desk->options->where;
    visit->told = desk->told;
    set_today(&visit->where);
    if (request->upload != NULL && spl_upload_end(request->upload, request->body, &error))
        id = spl_upload_id(request->upload);
    if (request->body != NULL) {
        visit->form = spl_pairs_read(request->body->str, request->body->len);
        if (visit->form == NULL)
            return respond_unreadable(desk, connection, request, error);
    }
    if (id == NULL && visit->form != NULL)
        id = spl_pairs_get(visit->form, "upload");
    visit->files = spl_uploads_find(desk->uploads, id);
    if (error != NULL) {
        if (!spl_files_come_back(visit, error)) {
            spl_desk_failure(visit, error);
            g_error_free(error);
        }
    } else if (g_strcmp0(visit->steps[0], "work") == 0) {
        spl_works_visit(desk->works, visit);
    } else if (spl_visit_is_long(visit, &picture)) {
        return hand_out(desk, connection, request, picture);
    } else if (!spl_together_find(desk->together, visit)) {
        if (visit->form != NULL)
            spl_together_forget(desk->together);
        spl_visit_answer(visit);
        spl_together_keep(desk->together, visit);
    }
    return respond_visit(desk, connection, visit);
}

struct counting {
    struct spl_knock *knock;
    guint seen; /* a bit for each of `heads` */
};

/* Headers that decide something: none may come twice. */
static const struct {
    const char *name;
    gsize offset;
} heads[] = {
    {"Host", G_STRUCT_OFFSET(struct spl_knock, host)},
    {"Origin", G_STRUCT_OFFSET(struct spl_knock, origin)},
    {"Cookie", G_STRUCT_OFFSET(struct spl_knock, cookie)},
    {"Sec-Fetch-Site", G_STRUCT_OFFSET(struct spl_knock, fetch_site)},
    {"Sec-Fetch-Dest", G_STRUCT_OFFSET(struct spl_knock, fetch_dest)},
    {"Sec-Fetch-Mode", G_STRUCT_OFFSET(struct spl_knock, fetch_mode)},
    {"Content-Length", G_STRUCT_OFFSET(struct spl_knock, length)},
    {"Content-Type", G_STRUCT_OFFSET(struct spl_knock, type)},
};

static enum MHD_Result count_header(void *data, enum MHD_ValueKind kind, const char *name,
                                    gsize name_size, const char *value, gsize value_size)
{
    struct counting *counting = data;

    (void)kind;
    if (strlen(name) != name_size || (value != NULL && strlen(value) != value_size))
        counting->knock->twice = TRUE;
    if (g_ascii_strcasecmp(name, "Transfer-Encoding") == 0)
        counting->knock->coded = TRUE;
    for (guint i = 0; i < G_N_ELEMENTS(heads); i++) {
        if (g_ascii_strcasecmp(name, heads[i].name) != 0)
            continue;
        if ((counting->seen & (1u << i)) != 0)
            counting->knock->twice = TRUE;
        counting->seen |= 1u << i;
        *(const char **)(void *)((char *)counting->knock + heads[i].offset) =
            value != NULL ? value : "";
    }
    return MHD_YES;
}

static enum MHD_Result first_look(struct desk *desk, struct MHD_Connection *connection,
                                  const char *method, struct request *request)
{
    struct spl_knock knock = {.method = method, .target = request->target};
    struct counting counting = {.knock = &knock, .seen = 0};
    const char *words = NULL;
    unsigned status = 0;
    enum spl_let_in in;

    MHD_get_connection_values_n(connection, MHD_HEADER_KIND, count_header, &counting);
    in = spl_door_look(&desk->door, &knock, g_get_monotonic_time(), &status, &words);
    if (in == SPL_DOOR_REFUSED)
        return spl_respond_page(connection, status, spl_desk_refused(status, words), NULL);
    request->in = in;
    if (strcmp(method, "POST") == 0)
        request->body = g_string_new(NULL);
    if (spl_door_takes_files(&knock))
        request->upload = spl_upload_begin(desk->uploads, connection);
    /* Answered when it is asked for the second time: a connection whose answer comes sooner is not
     * used again. */
    return MHD_YES;
}

/* A page that goes on by itself: behind a redirect from another site the cookie is left out. */
static enum MHD_Result let_in(struct desk *desk, struct MHD_Connection *connection)
{
    g_autofree char *name = spl_door_cookie_name(&desk->door);
    g_autofree char *cookie =
        g_strdup_printf("%s=%s; Path=/; HttpOnly; SameSite=Strict", name, desk->door.cookie);

    return spl_respond_page(connection, 200, spl_desk_let_in(), cookie);
}

/* A whole file may take its time, but no sender less than 100 kB a second. */
static void take_upload(struct desk *desk, struct MHD_Connection *connection,
                        struct request *request, const char *bytes, gsize size)
{
    struct connection *known = g_hash_table_lookup(desk->connections, connection);

    spl_upload_take(request->upload, bytes, size);
    if (known != NULL && !known->sends_files) {
        known->sends_files = TRUE;
        known->files_ms = now_ms();
    }
    if (known != NULL)
        known->until_ms =
            known->files_ms + WHOLE_MS + (gint64)(spl_upload_size(request->upload) / 100);
}

static enum MHD_Result handle(void *data, struct MHD_Connection *connection, const char *url,
                              const char *method, const char *version, const char *upload,
                              size_t *size, void **state)
{
    struct request *request = *state;

    (void)url; /* decoded by the library, which cuts it at %00 */
    (void)version;
    if (!request->seen) {
        request->seen = TRUE;
        return first_look(data, connection, method, request);
    }
    if (*size > 0 && request->upload != NULL) {
        take_upload(data, connection, request, upload, *size);
        *size = 0;
        return MHD_YES;
    }
    if (*size > 0) {
        if (request->body == NULL || request->body->len + *size > SPL_DOOR_BODY_MAX)
            return MHD_NO;
        g_string_append_len(request->body, upload, (gssize)*size);
        *size = 0;
        return MHD_YES;
    }
    if (request->in == SPL_DOOR_KEY)
        return let_in(data, connection);
    return request->work != NULL ? answer_handed_out(data, connection, request)
                                 : answer(data, connection, request);
}

/* Requests and connections ----------------------------------------------------------------------
 */

static int fd_of(struct MHD_Connection *connection)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);

    return info != NULL ? info->connect_fd : -1;
}

static void *begin_request(void *data, const char *target, struct MHD_Connection *connection)
{
    struct desk *desk = data;
    struct request *request = g_new0(struct request, 1);

    (void)connection;
    request->target = g_strdup(target);
    desk->requests++;
    return request;
}

static void end_request(void *data, struct MHD_Connection *connection, void **state,
                        enum MHD_RequestTerminationCode code)
{
    struct desk *desk = data;
    struct request *request = *state;
    struct connection *known = g_hash_table_lookup(desk->connections, connection);

    (void)code;
    if (known != NULL) {
        known->until_ms = now_ms() + BETWEEN_MS;
        known->new = FALSE;
        known->sends_files = FALSE;
    }
    if (request == NULL)
        return;
    if (g_hash_table_remove(desk->waiting, request)) {
        g_clear_handle_id(&request->patience, g_source_remove);
        spl_work_forget_done(request->work);
    }
    desk->requests--;
    spl_upload_free(request->upload);
    spl_visit_clear(&request->visit);
    if (request->body != NULL)
        g_string_free(request->body, TRUE);
    g_free(request->target);
    g_free(request);
    *state = NULL;
}

static void note_connection(void *data, struct MHD_Connection *connection, void **state,
                            enum MHD_ConnectionNotificationCode code)
{
    struct desk *desk = data;
    struct connection *known;

    (void)state;
    if (code != MHD_CONNECTION_NOTIFY_STARTED) {
        g_hash_table_remove(desk->connections, connection);
        return;
    }
    known = g_new(struct connection, 1);
    *known = (struct connection){fd_of(connection), now_ms() + WHOLE_MS, TRUE, FALSE, 0};
    g_hash_table_insert(desk->connections, connection, known);
}

/* The library's own time limit measures silence, so that one byte a second holds a place for ever.
 */
static gboolean cut_the_slow(gpointer data)
{
    struct desk *desk = data;
    gboolean crowded = g_hash_table_size(desk->connections) > CONNECTIONS * 3 / 4;
    gint64 now = now_ms();
    GHashTableIter iter;
    gpointer value;

    g_hash_table_iter_init(&iter, desk->connections);
    while (g_hash_table_iter_next(&iter, NULL, &value)) {
        struct connection *known = value;
        gint64 sooner = crowded && known->new ? WHOLE_MS - CROWDED_MS : 0;

        if (now > known->until_ms - sooner)
            shutdown(known->fd, SHUT_RDWR); /* the library closes it */
    }
    /* Of itself it does not listen again once its places were all taken. */
    if (desk->end_ms == 0)
        MHD_run(desk->daemon);
    return G_SOURCE_CONTINUE;
}

/* What waited before was answered. */
static void begin_turn(void *data)
{
    spl_together_forget(((struct desk *)data)->together);
}

/* Begin and end ---------------------------------------------------------------------------------
 */

static struct MHD_Daemon *start_daemon(struct desk *desk, int port)
{
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};

    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    return MHD_start_daemon(
        MHD_USE_EPOLL | MHD_ALLOW_SUSPEND_RESUME, (uint16_t)port, NULL, NULL, handle, desk,
        MHD_OPTION_SOCK_ADDR, &address, MHD_OPTION_URI_LOG_CALLBACK, begin_request, desk,
        MHD_OPTION_NOTIFY_COMPLETED, end_request, desk, MHD_OPTION_NOTIFY_CONNECTION,
        note_connection, desk, MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS,
        MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)MEMORY, MHD_OPTION_CONNECTION_TIMEOUT,
        SILENCE_S, MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_END);
}

static gboolean open_port(struct desk *desk, GError **error)
{
    const union MHD_DaemonInfo *info;

    /* The last desk's port again, if it is free: forms that stand open go on. */
    if (desk->options->port == 0 && desk->running.port != 0)
        desk->daemon = start_daemon(desk, desk->running.port);
    if (desk->daemon == NULL)
        desk->daemon = start_daemon(desk, desk->options->port);
    if (desk->daemon == NULL) {
        spl_error_set_input(
            error, SPL_ERROR_EXISTS, "port",
            "%d cannot be had: another program may have it; take another, or 0 for a free one",
            desk->options->port);
        return FALSE;
    }
    info = MHD_get_daemon_info(desk->daemon, MHD_DAEMON_INFO_BIND_PORT);
    desk->port = info != NULL ? info->port : desk->options->port;
    return TRUE;
}

static gboolean has_display(void)
{
    return (g_getenv("DISPLAY") != NULL || g_getenv("WAYLAND_DISPLAY") != NULL) &&
           g_getenv("SSH_CONNECTION") == NULL && geteuid() != 0;
}

static void show(const char *address)
{
    char *argv[] = {(char *)"xdg-open", (char *)address, NULL};

    /* Whether a browser really came up, nobody tells; the address was said. */
    g_spawn_async(NULL, argv, NULL,
                  G_SPAWN_SEARCH_PATH | G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL,
                  NULL, NULL, NULL, NULL);
}

static gboolean say_address(const struct desk *desk, int port, GError **error)
{
    const struct spl_desk_options *options = desk->options;
    g_autofree char *key = spl_door_key(desk->door.secret), *address = NULL, *plain = NULL,
                    *own = NULL;

    if (key == NULL) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                    "the system gives no random numbers; no key can be made");
        return FALSE;
    }
    address = g_strdup_printf("http://%s.localhost:%d/?key=%s", desk->door.name, port, key);
    plain = g_strdup_printf(
        "or, where the browser does not know that name, http://127.0.0.1:%d/?key=%s", port, key);
    options->say(address, options->say_data);
    options->say(plain, options->say_data);
    if (options->show && has_display()) {
        own = spl_door_key(desk->door.secret); /* the printed one stays good */
        g_free(address);
        address = g_strdup_printf("http://%s.localhost:%d/?key=%s", desk->door.name, port, own);
        show(address);
    }
    return TRUE;
}

static gboolean run_here(struct desk *desk, GError **error)
{
    guint sources[3];
    GSource *turn;
    gboolean done = FALSE;

    /* A file that may not grow, and a reader that went away, are failures that are told. */
    signal(SIGXFSZ, SIG_IGN);
    signal(SIGPIPE, SIG_IGN);
    if (!open_port(desk, error))
        return FALSE;
    if (spl_running_tell(&desk->running, &desk->door, desk->port, error)) {
        desk->loop = g_main_loop_new(NULL, FALSE);
        turn = spl_turn_new(desk->daemon, begin_turn, desk);
        sources[0] = g_unix_signal_add(SIGINT, on_signal, desk);
        sources[1] = g_unix_signal_add(SIGTERM, on_signal, desk);
        sources[2] = g_timeout_add(BEAT_MS, cut_the_slow, desk);
        done = say_address(desk, desk->port, error);
        if (done)
            g_main_loop_run(desk->loop);
        for (gsize i = 0; i < G_N_ELEMENTS(sources); i++)
            g_source_remove(sources[i]);
        g_source_destroy(turn);
        g_source_unref(turn);
        g_main_loop_unref(desk->loop);
    }
    wake_all(desk); /* the library does not stop beside those that wait */
    MHD_run(desk->daemon);
    MHD_stop_daemon(desk->daemon);
    return done;
}

gboolean spl_desk_run(const struct spl_desk_options *options, GError **error)
{
    struct desk desk = {.options = options};
    g_autofree char *name = NULL;
    gboolean theirs = FALSE, done = FALSE;

    spl_house_keep_tables();
    if (!spl_door_init(&desk.door)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_IO,
                    "the system gives no random numbers; no key can be made");
    } else if (spl_running_take(options->where->book, &desk.running, &desk.door, &theirs, error)) {
        desk.connections = g_hash_table_new_full(NULL, NULL, NULL, g_free);
        desk.told = spl_told_new();
        name = g_path_get_basename(desk.running.path);
        desk.uploads = theirs ? NULL : spl_uploads_new(name);
        desk.works = spl_works_new(desk.uploads);
        desk.waiting = g_hash_table_new(NULL, NULL);
        desk.together = spl_together_new();
        done = theirs ? say_address(&desk, desk.running.port, error) : run_here(&desk, error);
        spl_works_free(desk.works);
        spl_uploads_free(desk.uploads);
        g_hash_table_unref(desk.waiting);
        spl_together_free(desk.together);
        spl_told_free(desk.told);
        g_hash_table_unref(desk.connections);
        spl_running_end(&desk.running);
    }
    spl_door_clear(&desk.door);
    return done;
}

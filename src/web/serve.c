/* The HTTP library at work: connections, deadlines, sending. */
#include "serve.h"
#include "door.h"
#include "exchange.h"
#include "head.h"
#include "base/sentence.h"
#include <errno.h>
#include <malloc.h>
#include <microhttpd.h>
#include <netdb.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <unistd.h>

enum {
    CONNECTIONS_MORE = CROWD_MOST, /* than crowd.h allows: those that are just leaving */
    CONNECTION_BYTES = 256 << 10,
    STACK_BYTES = 1 << 20,
    QUIET_S = 30, /* nothing comes or goes */
};

/* ---- sending ---- */

static void serve_header(struct MHD_Response *response, const char *name, const char *value)
{
    if (value) MHD_add_response_header(response, name, value);
}

/* Files of people and pictures are shown without any script or style; pages take both from here alone. */
static const char *policy(const struct reply *reply)
{
    return reply->sealed ? sentence_plain("default-src-none-sandbox-style-src")
                         : sentence_plain("default-src-self-img-src-self");
}

/* What stands over every answer. */
struct header_line {
    const char *name, *value;
};
enum { HEADERS_ALWAYS = 7 };

static void headers_always(const struct reply *reply, struct header_line lines[HEADERS_ALWAYS])
{
    lines[0] = (struct header_line){"Content-Type", reply->type};
    lines[1] = (struct header_line){"Content-Security-Policy", policy(reply)};
    lines[2] = (struct header_line){"X-Content-Type-Options", "nosniff"};
    lines[3] = (struct header_line){"Referrer-Policy", "same-origin"};
    lines[4] = (struct header_line){"Cross-Origin-Opener-Policy", "same-origin"};
    lines[5] = (struct header_line){"Cross-Origin-Resource-Policy", "same-origin"};
    lines[6] = (struct header_line){"Cache-Control", reply->keep ? "private, no-cache" : "no-store"};
}

static void add_headers(struct MHD_Response *response, const struct reply *reply, struct arena *arena)
{
    struct header_line always[HEADERS_ALWAYS];
    headers_always(reply, always);
    for (size_t i = 0; i < HEADERS_ALWAYS; i++) serve_header(response, always[i].name, always[i].value);
    serve_header(response, "Location", reply->location);
    serve_header(response, "Set-Cookie", reply->cookie);
    if (reply->etag) serve_header(response, "ETag", arena_format(arena, "\"%s\"", reply->etag));
    if (reply->retry_s) serve_header(response, "Retry-After", arena_format(arena, "%u", reply->retry_s));
    if (reply->download)
        serve_header(response, "Content-Disposition",
                     arena_format(arena, "inline; filename=\"%s\"", reply->download));
    if (reply->fd >= 0) serve_header(response, "Accept-Ranges", "bytes");
    if (reply->fd >= 0 && reply->status == 206)
        serve_header(response, "Content-Range",
                     arena_format(arena, "bytes %llu-%llu/%llu", (unsigned long long)reply->fd_from,
                                  (unsigned long long)(reply->fd_from + reply->fd_length - 1),
                                  (unsigned long long)reply->fd_whole));
}

struct listener {
    struct server *server;
    char token[SESSION_TOKEN]; /* of who listens; empty: nobody is set up */
    uint64_t seen;
    char held[HUB_BYTES];
    size_t length, sent;
};

/* Who is taken out hears nothing more. */
static bool may_listen(struct listener *l)
{
    struct visitor visitor;
    struct arena *arena = arena_new(l->server->machine);
    bool may = server_find_visitor(l->server, *l->token ? l->token : NULL, arena, &visitor, NULL) &&
               visitor.signed_in;
    arena_free(arena);
    return may;
}

static ssize_t next_event(void *context, uint64_t at, char *buffer, size_t most)
{
    struct listener *l = context;
    (void)at;
    if (l->sent == l->length) {
        l->length = hub_wait(&l->server->hub, &l->seen, l->held);
        l->sent = 0;
        if (!l->length || !may_listen(l)) return MHD_CONTENT_READER_END_OF_STREAM;
    }
    size_t part = l->length - l->sent < most ? l->length - l->sent : most;
    memcpy(buffer, l->held + l->sent, part);
    l->sent += part;
    return (ssize_t)part;
}

static struct MHD_Response *event_stream(struct server *server, const char *token)
{
    struct listener *l = calloc(1, sizeof *l);
    if (!l) return NULL;
    l->server = server;
    format_into(l->token, sizeof l->token, "%s", token ? token : "");
    l->seen = hub_newest(&server->hub);
    l->length =
        format_into(l->held, sizeof l->held, "retry: 2000\nevent: hello\ndata: {\"revision\": %lld}\n\n",
                    (long long)floor_revision(server->floor));
    return MHD_create_response_from_callback(MHD_SIZE_UNKNOWN, HUB_BYTES, next_event, l, free);
}

/* "bytes=100-" or "bytes=100-199"; anything else is sent whole. */
static void take_range(const struct web_request *request, struct reply *reply)
{
    const char *range = request->headers.range;
    double from, to;
    if (!range || strncmp(range, "bytes=", 6) || reply->status != 200 || !reply->fd_whole) return;
    size_t used = str_number(str_from(range + 6), &from);
    const char *rest = range + 6 + used;
    if (!used || *rest != '-' || !(from >= 0) || from >= (double)reply->fd_whole) return;
    to = (double)reply->fd_whole - 1;
    if (rest[1] && str_number(str_from(rest + 1), &to) != strlen(rest + 1)) return;
    if (!(to >= from)) return;
    if (to > (double)reply->fd_whole - 1) to = (double)reply->fd_whole - 1;
    reply->status = 206;
    reply->fd_from = (uint64_t)from;
    reply->fd_length = (uint64_t)to - (uint64_t)from + 1;
}

static bool unchanged(const struct web_request *request, const struct reply *reply)
{
    const char *have = request->headers.if_none_match;
    size_t length = reply->etag ? strlen(reply->etag) : 0;
    return have && length && reply->status == 200 && strlen(have) == length + 2 &&
           !memcmp(have + 1, reply->etag, length);
}

static struct MHD_Response *make_response(struct exchange *x)
{
    struct reply *reply = &x->reply;
    if (reply->events) return event_stream(x->server, request_token(&x->request));
    if (reply->fd >= 0) {
        take_range(&x->request, reply);
        return MHD_create_response_from_fd_at_offset64(reply->fd_length, reply->fd, reply->fd_from);
    }
    if (unchanged(&x->request, reply)) {
        reply->status = 304;
        reply->body = str_from("");
    }
    /* The bytes live in the exchange's arena, or in the binary, until the library says it has sent them. */
    return MHD_create_response_from_buffer(reply->body.length, (void *)(uintptr_t)reply->body.bytes,
                                           MHD_RESPMEM_PERSISTENT);
}

static enum MHD_Result send_reply(struct exchange *x, struct MHD_Connection *connection)
{
    struct MHD_Response *response = make_response(x);
    if (!response) return MHD_NO;
    add_headers(response, &x->reply, x->request.arena);
    if (x->refused) serve_header(response, "Connection", "close");
    enum MHD_Result ok = MHD_queue_response(connection, x->reply.status, response);
    MHD_destroy_response(response);
    return ok;
}

/* ---- receiving ---- */

struct header_reading {
    struct exchange *exchange;
    bool two;
};

static const char **serve_place_of(struct headers *h, const char *name)
{
    const struct {
        const char *name;
        const char **place;
    } places[] = {{"Host", &h->host},
                  {"Origin", &h->origin},
                  {"Content-Type", &h->content_type},
                  {"Cookie", &h->cookie},
                  {"If-None-Match", &h->if_none_match},
                  {"Range", &h->range},
                  {"X-Lapstrake", &h->from_page},
                  {"Sec-Fetch-Site", &h->fetch_site},
                  {"Transfer-Encoding", &h->transfer_encoding}};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++)
        if (!strcasecmp(name, places[i].name)) return places[i].place;
    return NULL;
}

static bool serve_whole(const char *text, int64_t *value)
{
    size_t digits = strspn(text, "0123456789");
    if (!digits || text[digits] || digits > 15) return false;
    *value = 0;
    for (; *text; text++) *value = *value * 10 + (*text - '0');
    return true;
}

static enum MHD_Result serve_take_header(void *context, enum MHD_ValueKind kind, const char *name,
                                         const char *value)
{
    struct header_reading *r = context;
    struct web_request *request = &r->exchange->request;
    const char **place = serve_place_of(&request->headers, name);
    (void)kind;
    if (!strcasecmp(name, "Content-Length")) {
        if (request->headers.content_length >= 0 || !value ||
            !serve_whole(value, &request->headers.content_length))
            r->two = true;
    } else if (place) {
        if (*place) r->two = true;
        *place = arena_copy_string(request->arena, value ? value : "");
    }
    return MHD_YES;
}

/* ---- connections ---- */

struct net {
    struct server *server;
    struct MHD_Daemon *daemon;
    struct crowd crowd;
    struct door door;
};

static void name_address(struct MHD_Connection *connection, char *words, size_t size)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    format_into(words, size, "?");
    if (info) door_name(info->client_addr, words, size);
}

static void set_phase(struct net *net, struct MHD_Connection *connection, enum phase phase)
{
    struct machine *m = net->server->machine;
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    if (info) crowd_set(&net->crowd, info->socket_context, phase, m->ticks_ms(m));
}

static void on_connection(void *context, struct MHD_Connection *connection, void **socket_context,
                          enum MHD_ConnectionNotificationCode code)
{
    struct net *net = context;
    struct machine *m = net->server->machine;
    const union MHD_ConnectionInfo *info;
    char address[48];
    bool listens = false;
    if (code != MHD_CONNECTION_NOTIFY_STARTED) {
        crowd_leave(&net->crowd, *socket_context);
        *socket_context = NULL;
        return;
    }
    info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    name_address(connection, address, sizeof address);
    if (info) *socket_context = crowd_join(&net->crowd, info->connect_fd, address, m->ticks_ms(m), &listens);
    if (listens) hub_wake(&net->server->hub);
}

/* ---- the library's calls ---- */

static void *on_address(void *context, const char *uri, struct MHD_Connection *connection)
{
    struct net *net = context;
    struct exchange *x = calloc(1, sizeof *x);
    (void)connection;
    if (!x) return NULL;
    struct machine *m = net->server->machine;
    x->server = net->server;
    x->request =
        (struct web_request){.server = net->server, .arena = arena_new(m), .headers = {.content_length = -1}};
    x->reply = (struct reply){.status = 200, .fd = -1};
    x->body = text_new(x->request.arena);
    x->began_ms = m->ticks_ms(m);
    format_into(x->uri, sizeof x->uri, "%s", strlen(uri) < sizeof x->uri ? uri : "");
    return x;
}

static enum MHD_Result on_request(void *context, struct MHD_Connection *connection, const char *url,
                                  const char *method, const char *version, const char *piece, size_t *length,
                                  void **state)
{
    struct net *net = context;
    struct exchange *x = *state;
    char address[48];
    (void)url, (void)version;
    if (!x) return MHD_NO;
    if (!x->seen) {
        struct header_reading reading = {x, false};
        x->seen = true;
        set_phase(net, connection, PHASE_WORKING);
        name_address(connection, address, sizeof address);
        x->request.address = arena_copy_string(x->request.arena, address);
        MHD_get_connection_values(connection, MHD_HEADER_KIND, serve_take_header, &reading);
        bool goes_on = exchange_begin(x, method, reading.two) || exchange_takes_rest(x);
        set_phase(net, connection, goes_on ? PHASE_RECEIVING : PHASE_SENDING);
        return goes_on ? MHD_YES : send_reply(x, connection);
    }
    if (*length) {
        bool goes_on = exchange_take(x, (struct str){piece, *length});
        *length = 0;
        return goes_on ? MHD_YES : MHD_NO;
    }
    set_phase(net, connection, PHASE_WORKING);
    exchange_answer(x);
    set_phase(net, connection, x->reply.events ? PHASE_LISTENING : PHASE_SENDING);
    return send_reply(x, connection);
}

static void on_completed(void *context, struct MHD_Connection *connection, void **state,
                         enum MHD_RequestTerminationCode code)
{
    struct exchange *x = *state;
    (void)code;
    if (!x) return;
    set_phase(context, connection, PHASE_WAITING);
    exchange_end(x);
    free(x);
    *state = NULL;
}

/* Addresses stay as they were sent; form.c decodes what it needs. */
static size_t leave_escaped(void *context, struct MHD_Connection *connection, char *text)
{
    (void)context, (void)connection;
    return strlen(text);
}

static void be_quiet(void *context, const char *format, va_list arguments)
{
    (void)context, (void)format, (void)arguments;
}

/* ---- at the door ---- */

static void on_let_in(void *context, int fd, const struct sockaddr *address, socklen_t length)
{
    struct net *net = context;
    MHD_add_connection(net->daemon, fd, address, length); /* closes it when it cannot */
}

/* The answer is short: what the socket does not take at once, a side that sends such heads does without. */
static void on_refuse(void *context, int fd, struct str head, unsigned status, const char *sentence)
{
    struct net *net = context;
    struct arena *arena = arena_new(net->server->machine);
    struct web_request request = {.server = net->server, .arena = arena, .path = head_path(head, arena)};
    struct reply reply = {.fd = -1};
    struct header_line always[HEADERS_ALWAYS];
    struct text answer = text_new(arena);
    reply_refuse(&request, &reply, status, sentence);
    headers_always(&reply, always);
    text_addf(&answer, "HTTP/1.1 %u %s\r\n", status, MHD_get_reason_phrase_for(status));
    for (size_t i = 0; i < HEADERS_ALWAYS; i++)
        text_addf(&answer, "%s: %s\r\n", always[i].name, always[i].value);
    text_addf(&answer, "Content-Length: %zu\r\nConnection: close\r\n\r\n", reply.body.length);
    text_add_bytes(&answer, reply.body.bytes, reply.body.length);
    send(fd, text_string(&answer), answer.length, MSG_DONTWAIT | MSG_NOSIGNAL);
    arena_free(arena);
}

static void on_woken(void *context)
{
    hub_wake(&((struct net *)context)->server->hub);
}

static int64_t on_clock(void *context)
{
    struct machine *m = ((struct net *)context)->server->machine;
    return m->ticks_ms(m);
}

static bool open_door(struct net *net, const struct sockaddr_storage *address, struct error *error)
{
    net->door = (struct door){.use = {net, on_let_in, on_refuse, on_woken, on_clock},
                              .crowd = &net->crowd,
                              .tls = net->server->guard.tls};
    if (door_open(&net->door, address)) return true;
    return error_set(error, FAILURE_MACHINE, "port-cannot-be-served-another-program",
                     ARGUMENTS(arg_count("port", (int64_t)net->server->options->port)));
}

/* ---- starting ---- */

static bool resolve(const char *listen, unsigned port, struct sockaddr_storage *address, bool *loopback,
                    struct error *error)
{
    struct addrinfo hints = {.ai_flags = AI_NUMERICHOST | AI_PASSIVE, .ai_socktype = SOCK_STREAM},
                    *found = NULL;
    char service[16];
    format_into(service, sizeof service, "%u", port);
    if (getaddrinfo(listen, service, &hints, &found))
        return error_set(error, FAILURE_INPUT, "listen-must-be-address-in-numbers",
                         ARGUMENTS(arg_words("address", listen)));
    memcpy(address, found->ai_addr, found->ai_addrlen);
    if (found->ai_family == AF_INET)
        *loopback = (ntohl(((struct sockaddr_in *)address)->sin_addr.s_addr) >> 24) == 127;
    else
        *loopback = IN6_IS_ADDR_LOOPBACK(&((struct sockaddr_in6 *)address)->sin6_addr);
    freeaddrinfo(found);
    return true;
}

static bool read_pem(struct server *server, const char *path, const char **text, struct error *error)
{
    struct str bytes;
    if (!machine_read(server->machine, path, 1 << 20, server->arena, &bytes, error)) return false;
    *text = arena_copy(server->arena, bytes.bytes, bytes.length);
    return true;
}

static bool start_daemon(struct net *net, struct error *error)
{
    struct server *server = net->server;
    const struct web_options *options = server->options;
    const char *certificate = NULL, *key = NULL;
    bool tls = server->guard.tls;
    if (tls && (!read_pem(server, options->certificate, &certificate, error) ||
                !read_pem(server, options->key, &key, error)))
        return false;
    struct MHD_OptionItem secure[] = {{MHD_OPTION_HTTPS_MEM_CERT, 0, (void *)(uintptr_t)certificate},
                                      {MHD_OPTION_HTTPS_MEM_KEY, 0, (void *)(uintptr_t)key},
                                      {MHD_OPTION_END, 0, NULL}};
    unsigned flags = MHD_USE_THREAD_PER_CONNECTION | MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL |
                     MHD_USE_ERROR_LOG | MHD_USE_NO_LISTEN_SOCKET | MHD_USE_ITC;
    if (tls) flags |= MHD_USE_TLS;
    net->daemon = MHD_start_daemon(
        flags, 0, NULL, NULL, on_request, net, MHD_OPTION_EXTERNAL_LOGGER, be_quiet, NULL,
        MHD_OPTION_CONNECTION_LIMIT, (unsigned)CROWD_MOST + CONNECTIONS_MORE,
        MHD_OPTION_PER_IP_CONNECTION_LIMIT, (unsigned)CROWD_OF_ONE + CONNECTIONS_MORE,
        MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)QUIET_S, MHD_OPTION_CONNECTION_MEMORY_LIMIT,
        (size_t)CONNECTION_BYTES, MHD_OPTION_THREAD_STACK_SIZE, (size_t)STACK_BYTES,
        MHD_OPTION_URI_LOG_CALLBACK, on_address, net, MHD_OPTION_UNESCAPE_CALLBACK, leave_escaped, NULL,
        MHD_OPTION_NOTIFY_COMPLETED, on_completed, net, MHD_OPTION_NOTIFY_CONNECTION, on_connection, net,
        MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_ARRAY, tls ? secure : &secure[2], MHD_OPTION_END);
    if (net->daemon) return true;
    if (tls) return error_set(error, FAILURE_MACHINE, "page-cannot-be-served-certificate-and", NULL);
    return error_set(error, FAILURE_MACHINE, "page-cannot-be-served-no-thread", NULL);
}

/* Facts may come from the command line too: a glance once a second tells the pages. */
static void watch(struct net *net, const struct cancel *cancel)
{
    struct server *server = net->server;
    int64_t revision = floor_revision(server->floor);
    for (unsigned tick = 0; !cancel_asked(cancel); tick++) {
        usleep(100 * 1000);
        if (tick % 10) continue;
        int64_t now = floor_revision(server->floor);
        if (now != revision) server_say_changed(server, NULL);
        revision = now;
        crowd_close_slow(&net->crowd, server->machine->ticks_ms(server->machine));
        server_keep_sessions(server);
        if (!(tick % 600)) lives_tidy(&server->lives);
    }
}

bool serve_run(struct server *server, const char *listen, const struct cancel *cancel, struct error *error)
{
    struct net net = {.server = server};
    struct sockaddr_storage address = {0};
    if (!resolve(listen, server->options->port, &address, &server->loopback, error)) return false;
    if (!server_may_listen(server, listen, error)) return false;
    mallopt(M_ARENA_MAX, 2); /* a heap for each of many threads would hold on to memory */
    crowd_start(&net.crowd);
    bool ok = start_daemon(&net, error);
    if (ok && !open_door(&net, &address, error)) {
        MHD_stop_daemon(net.daemon);
        ok = false;
    }
    if (ok) {
        server_started(server, listen);
        watch(&net, cancel);
        door_close(&net.door);
        hub_close(&server->hub);
        MHD_stop_daemon(net.daemon);
    }
    crowd_end(&net.crowd);
    return ok;
}

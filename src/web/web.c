/* Starts the server's parts, serves until it is asked to end, and ends them. Called by cli. */
#include "web/web.h"
#include "serve.h"
#include <unistd.h>

static const char *machine_name(struct arena *arena)
{
    char name[65] = "";
    return gethostname(name, sizeof name - 1) ? "localhost" : arena_copy_string(arena, name);
}

/* What the plan was made from may have changed outside: the next look opens the job afresh. */
static void on_work_ended(void *self, const char *job)
{
    struct server *server = self;
    lives_close(&server->lives, job);
}

static bool server_run(struct server *server, const struct cancel *cancel, struct error *error)
{
    const char *listen = server->options->listen ? server->options->listen : "127.0.0.1";
    server->guard = (struct guard){
        .tls = server->options->certificate,
        .machine_name = machine_name(server->arena),
        .names = server->options->names,
        .name_count = server->options->name_count,
    };
    hub_start(&server->hub);
    lives_start(&server->lives, server->machine, cancel);
    if (!works_start(&server->works, server->machine, &server->hub, on_work_ended, server, error))
        return false;
    rates_start(&server->rates, RATE_PER_S, RATE_BURST);
    rates_start(&server->photographs, PHOTOGRAPHS_PER_S, PHOTOGRAPHS_AT_ONCE);
    pthread_mutex_init(&server->picture, NULL);
    undos_start(&server->undos);
    pthread_mutex_init(&server->changing, NULL);
    uploads_start(&server->uploads, server->machine);
    bool ok = sessions_start(&server->sessions) ||
              error_set(error, FAILURE_MACHINE, "this-machine-gives-no-randomness", NULL);
    if (ok) {
        server_sweep(server), server_read_sessions(server);
        ok = serve_run(server, listen, cancel, error);
        server_keep_sessions(server);
    }
    works_end(&server->works);
    uploads_end(&server->uploads);
    pthread_mutex_destroy(&server->changing);
    undos_end(&server->undos);
    lives_end(&server->lives);
    rates_end(&server->rates), rates_end(&server->photographs);
    pthread_mutex_destroy(&server->picture);
    sessions_end(&server->sessions);
    hub_end(&server->hub);
    return ok;
}

bool web_serve(struct machine *machine, const struct web_options *options, const struct cancel *cancel,
               struct error *error)
{
    struct web_options usual = *options;
    if (!usual.port) usual.port = WEB_PORT_USUAL;
    if (!options->certificate != !options->key)
        return error_set(error, FAILURE_INPUT, "certificate-and-key-go-together-both", NULL);
    struct server *server = machine->allocate(machine, sizeof *server);
    if (!server) machine->no_memory(machine);
    *server = (struct server){.machine = machine, .options = &usual, .arena = arena_new(machine)};
    bool ok = floor_open(machine, options->folder, true, &server->floor, error);
    if (ok) {
        ok = server_run(server, cancel, error);
        floor_close(server->floor);
    }
    arena_free(server->arena);
    machine->release(machine, server);
    return ok;
}

/* Background planning and making, one child at a time, with its progress told to the hub. Called by the
 * desk, job and fact views. */
#include "work.h"
#include "base/arena.h"
#include "base/json.h"
#include "base/path.h"
#include "plain.h"
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

/* ---- telling ---- */

const char *work_name(enum work_kind kind)
{
    return kind == WORK_PLAN ? "planning" : kind == WORK_QUOTE ? "quoting" : "making";
}

static void work_tell(struct works *works, const struct background_work *work, bool done, const char *trouble)
{
    struct arena *arena = arena_new(works->machine);
    struct text out = text_new(arena);
    struct json json = json_new(&out);
    json_open_object_inline(&json, NULL);
    json_string(&json, "job", work->job);
    json_string(&json, "what", work_name(work->kind));
    json_string(&json, "words", work->words);
    json_number(&json, "fraction", work->fraction, 3);
    json_bool(&json, "done", done);
    json_string(&json, "error", trouble);
    json_close(&json);
    hub_say(works->hub, "work", text_string(&out));
    arena_free(arena);
}

/* ---- the child ---- */

/* A line of the child: "@0.42 words" is progress, anything else what went wrong. */
static void work_take_line(struct works *works, struct str line, char trouble[WORK_WORDS])
{
    double fraction = 0;
    struct arena *arena = arena_new(works->machine);
    const char *shop = path_folder(arena, works->queue[0].folder);
    line = plain_words(plain_words(line, shop, arena), path_full(arena, shop), arena);
    size_t used =
        line.length && line.bytes[0] == '@' ? str_number(str_slice(line, 1, line.length), &fraction) : 0;
    if (!used) {
        if (line.length && !*trouble) format_into(trouble, WORK_WORDS, "%.*s", (int)line.length, line.bytes);
        arena_free(arena);
        return;
    }
    struct str words = str_trim(str_slice(line, 1 + used, line.length));
    pthread_mutex_lock(&works->mutex);
    struct background_work *work = &works->queue[0];
    format_into(work->words, sizeof work->words, "%.*s", (int)words.length, words.bytes);
    work->fraction = fraction;
    struct background_work copy = *work;
    pthread_mutex_unlock(&works->mutex);
    arena_free(arena);
    work_tell(works, &copy, false, NULL);
}

static void listen_to(struct works *works, int fd, char trouble[WORK_WORDS])
{
    char buffer[1024];
    size_t held = 0;
    for (;;) {
        ssize_t got = read(fd, buffer + held, sizeof buffer - held);
        if (got < 0 && errno == EINTR) continue;
        if (got <= 0) break;
        held += (size_t)got;
        size_t from = 0;
        for (size_t i = 0; i < held; i++)
            if (buffer[i] == '\n') {
                work_take_line(works, (struct str){buffer + from, i - from}, trouble);
                from = i + 1;
            }
        held -= from;
        memmove(buffer, buffer + from, held);
        if (held == sizeof buffer) held = 0;
    }
}

enum { WORK_ARGUMENTS = 16 };

/* Options with what they are for. */
struct work_words {
    char reason[WORK_WORDS + 16], who[FACT_NAME_MOST + 16], vehicles[32];
};

/* What is said on the command line, ended by NULL. */
static void work_fill_arguments(const struct machine *m, const struct background_work *work,
                                const struct work_words *words, const char *arguments[WORK_ARGUMENTS])
{
    static const char *const verbs[] = {"record", "make", "make", "reprint", "quote", "proof"};
    size_t n = 0;
    arguments[n++] = m->program, arguments[n++] = verbs[work->kind];
    if (work->kind == WORK_PLAN) arguments[n++] = "plan", arguments[n++] = work->folder;
    if (work->kind != WORK_PLAN) arguments[n++] = "--quiet";
    if (work->kind == WORK_MAKE_ANYWAY || work->again.anyway) arguments[n++] = "--anyway";
    if (work->again.patches) arguments[n++] = "--patches";
    if (work->kind == WORK_REPRINT) arguments[n++] = words->reason;
    if (work->vehicles) arguments[n++] = words->vehicles;
    if (*work->again.who) arguments[n++] = words->who;
    arguments[n++] = "--steps";
    if (m->within) arguments[n++] = "--within", arguments[n++] = m->within;
    if (work->kind != WORK_PLAN) arguments[n++] = "--", arguments[n++] = work->folder;
    if (work->kind == WORK_REPRINT) arguments[n++] = work->again.panel;
    arguments[n] = NULL;
}

static bool start_child(struct works *works, const struct background_work *work, int *fd, struct error *error)
{
    struct machine *m = works->machine;
    int ends[2];
    if (pipe2(ends, O_CLOEXEC))
        return error_set(error, FAILURE_MACHINE, "no-pipe-left-why",
                         ARGUMENTS(arg_words("why", strerror(errno))));
    const char *arguments[WORK_ARGUMENTS];
    struct work_words words;
    format_into(words.reason, sizeof words.reason, "--reason=%s", work->again.reason);
    format_into(words.who, sizeof words.who, "--who=%s", work->again.who);
    format_into(words.vehicles, sizeof words.vehicles, "--vehicles=%u", work->vehicles);
    work_fill_arguments(m, work, &words, arguments);
    const int fds[] = {-1, ends[1], ends[1]};
    struct child_order order = {.arguments = arguments, .fds = fds, .fd_count = 3};
    pthread_mutex_lock(&works->mutex);
    bool ok = works->stopped ? error_set(error, FAILURE_INPUT, "stopped-before-it-began-nothing-was", NULL)
                             : m->start(m, &order, &works->pid, error);
    pthread_mutex_unlock(&works->mutex);
    close(ends[1]);
    if (!ok) close(ends[0]);
    *fd = ends[0];
    return ok;
}

/* The pid is given up under the lock, so that nobody ends a process that is not ours any more. */
static struct child_end work_wait_for(struct works *works, bool *stopped)
{
    struct child_end end = {0};
    pthread_mutex_lock(&works->mutex);
    works->machine->wait(works->machine, works->pid, &end, NULL);
    works->pid = 0;
    *stopped = works->stopped;
    pthread_mutex_unlock(&works->mutex);
    return end;
}

static void forget_trouble(struct works *works, const char *job)
{
    for (size_t i = 0; i < WORK_TROUBLES; i++)
        if (!strcmp(works->troubles[i].job, job)) works->troubles[i] = (struct work_trouble){0};
}

static void keep_trouble(struct works *works, const char *job, const char *words)
{
    pthread_mutex_lock(&works->mutex);
    struct work_trouble *trouble = &works->troubles[works->next_trouble++ % WORK_TROUBLES];
    format_into(trouble->job, sizeof trouble->job, "%s", job);
    format_into(trouble->words, sizeof trouble->words, "%s", words);
    pthread_mutex_unlock(&works->mutex);
}

bool works_failed(struct works *works, const char *job, char words[WORK_WORDS])
{
    *words = 0;
    pthread_mutex_lock(&works->mutex);
    for (size_t i = 0; i < WORK_TROUBLES; i++)
        if (!strcmp(works->troubles[i].job, job)) memcpy(words, works->troubles[i].words, WORK_WORDS);
    pthread_mutex_unlock(&works->mutex);
    return *words;
}

static void carry_out(struct works *works, struct background_work work)
{
    struct error error = {0};
    char trouble[WORK_WORDS] = "";
    int fd;
    bool stopped = false;
    if (!start_child(works, &work, &fd, &error)) {
        format_into(trouble, sizeof trouble, "%s", error.text);
    } else {
        listen_to(works, fd, trouble);
        close(fd);
        struct child_end end = work_wait_for(works, &stopped);
        bool says =
            work.kind == WORK_REPRINT && !work.again.anyway; /* in its own words why nothing was made */
        bool fine = end.exited && (end.status == 0 || (end.status == 1 && work.kind != WORK_MAKE && !says));
        if (fine) *trouble = 0;
        if (stopped)
            sentence_into(trouble, sizeof trouble, "stopped-nothing-half-made-is-left", NULL);
        else if (!fine && end.exited && end.status == 1 && !(says && *trouble))
            sentence_into(trouble, sizeof trouble, "finding-stops-this-job-no-print", NULL);
        else if (!fine && !*trouble)
            sentence_into(trouble, sizeof trouble, "work-ended-without-word-look-at", NULL);
    }
    work.fraction = 1;
    if (*trouble) keep_trouble(works, work.job, trouble);
    works->ended(works->self, work.job);
    work_tell(works, &work, true, *trouble ? trouble : NULL);
}

/* ---- the queue ---- */

static void wait_until(struct works *works, int64_t ms)
{
    struct timespec at = {.tv_sec = (time_t)(ms / 1000), .tv_nsec = (long)(ms % 1000) * 1000000};
    pthread_cond_timedwait(&works->changed, &works->mutex, &at);
}

/* The work that may begin first moves to the front; false while none may. Called under the lock. */
static bool bring_forward(struct works *works, int64_t now_ms, int64_t *next_ms)
{
    *next_ms = now_ms + 3600 * 1000;
    for (size_t i = 0; i < works->count; i++) {
        struct background_work work = works->queue[i];
        if (work.not_before_ms <= now_ms) {
            memmove(&works->queue[1], &works->queue[0], i * sizeof work);
            works->queue[0] = work;
            return true;
        }
        if (work.not_before_ms < *next_ms) *next_ms = work.not_before_ms;
    }
    return false;
}

static void take_off(struct works *works, size_t i)
{
    works->count--;
    memmove(&works->queue[i], &works->queue[i + 1], (works->count - i) * sizeof works->queue[0]);
}

static void *work_on(void *argument)
{
    struct works *works = argument;
    struct machine *m = works->machine;
    pthread_mutex_lock(&works->mutex);
    while (!works->closing) {
        int64_t next;
        if (!bring_forward(works, m->ticks_ms(m), &next)) {
            wait_until(works, next);
            continue;
        }
        struct background_work work = works->queue[0];
        works->at_work = true, works->stopped = false;
        pthread_mutex_unlock(&works->mutex);
        carry_out(works, work);
        pthread_mutex_lock(&works->mutex);
        works->at_work = false;
        take_off(works, 0);
    }
    pthread_mutex_unlock(&works->mutex);
    return NULL;
}

bool works_start(struct works *works, struct machine *machine, struct hub *hub,
                 void (*ended)(void *self, const char *job), void *self, struct error *error)
{
    pthread_condattr_t attributes;
    memset(works, 0, sizeof *works);
    works->machine = machine;
    works->hub = hub;
    works->ended = ended;
    works->self = self;
    pthread_mutex_init(&works->mutex, NULL);
    pthread_condattr_init(&attributes);
    pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC);
    pthread_cond_init(&works->changed, &attributes);
    pthread_condattr_destroy(&attributes);
    if (pthread_create(&works->thread, NULL, work_on, works))
        return error_set(error, FAILURE_MACHINE, "no-thread-could-be-started", NULL);
    return true;
}

/* One that has no process yet does not get one. */
static void end_child(struct works *works)
{
    works->stopped = true;
    if (works->pid > 0) kill(works->pid, SIGKILL);
}

void works_end(struct works *works)
{
    pthread_mutex_lock(&works->mutex);
    works->closing = true;
    end_child(works);
    pthread_cond_broadcast(&works->changed);
    pthread_mutex_unlock(&works->mutex);
    pthread_join(works->thread, NULL);
    pthread_cond_destroy(&works->changed);
    pthread_mutex_destroy(&works->mutex);
}

static int64_t sooner(int64_t one, int64_t other)
{
    return one < other ? one : other;
}

static bool work_is_same(const struct background_work *one, const struct background_work *other)
{
    return one->kind == other->kind && !strcmp(one->job, other->job) && one->vehicles == other->vehicles &&
           !strcmp(one->again.panel, other->again.panel);
}

static bool works_add(struct works *works, const struct background_work *wanted, int64_t wait_ms)
{
    int64_t now = works->machine->ticks_ms(works->machine);
    bool ok = true;
    pthread_mutex_lock(&works->mutex);
    forget_trouble(works, wanted->job);
    struct background_work *there = NULL;
    for (size_t i = works->at_work ? 1 : 0; i < works->count; i++)
        if (work_is_same(&works->queue[i], wanted)) there = &works->queue[i];
    if (!there && works->count == WORK_QUEUE) {
        ok = false;
    } else if (!there) {
        there = &works->queue[works->count++];
        *there = *wanted;
        there->at_latest_ms = now + wait_ms + WORK_PUT_OFF_MS;
        sentence_into(there->words, sizeof there->words, "waiting-for-its-turn", NULL);
    }
    if (there) there->not_before_ms = sooner(now + wait_ms, there->at_latest_ms);
    pthread_cond_broadcast(&works->changed);
    pthread_mutex_unlock(&works->mutex);
    return ok;
}

static struct background_work work_of(enum work_kind kind, const char *job, const char *folder)
{
    struct background_work work = {.kind = kind};
    format_into(work.job, sizeof work.job, "%s", job);
    format_into(work.folder, sizeof work.folder, "%s", folder);
    return work;
}

bool works_put(struct works *works, enum work_kind kind, const char *job, const char *folder, int64_t wait_ms)
{
    struct background_work work = work_of(kind, job, folder);
    return works_add(works, &work, wait_ms);
}

bool works_put_again(struct works *works, const char *job, const char *folder, const struct work_again *again)
{
    struct background_work work = work_of(WORK_REPRINT, job, folder);
    work.again = *again;
    return works_add(works, &work, 0);
}

bool works_put_quote(struct works *works, const char *job, const char *folder, unsigned vehicles)
{
    struct background_work work = work_of(WORK_QUOTE, job, folder);
    work.vehicles = vehicles;
    return works_add(works, &work, 0);
}

void works_stop(struct works *works, const char *job)
{
    pthread_mutex_lock(&works->mutex);
    for (size_t i = works->count; i-- > 0;) {
        if (strcmp(works->queue[i].job, job)) continue;
        if (!i && works->at_work)
            end_child(works);
        else
            take_off(works, i);
    }
    pthread_mutex_unlock(&works->mutex);
}

bool works_look(struct works *works, const char *job, struct background_work *copy)
{
    bool found = false;
    pthread_mutex_lock(&works->mutex);
    for (size_t i = 0; i < works->count && !found; i++)
        if (!strcmp(works->queue[i].job, job)) {
            *copy = works->queue[i];
            found = true;
        }
    pthread_mutex_unlock(&works->mutex);
    return found;
}

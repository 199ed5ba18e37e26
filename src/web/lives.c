/* Keeps a few jobs open for the page and lends each to one request at a time. Called by the desk and job
 * views; the job itself is run/live.h. */
#include "lives.h"
#include "run/desk.h"
#include "base/text.h"
#include <string.h>
#include <time.h>

void lives_start(struct lives *lives, struct machine *machine, const struct cancel *cancel)
{
    memset(lives, 0, sizeof *lives);
    lives->machine = machine;
    lives->cancel = cancel;
    pthread_condattr_t attributes;
    pthread_mutex_init(&lives->mutex, NULL);
    pthread_condattr_init(&attributes);
    pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC);
    pthread_cond_init(&lives->given_back, &attributes);
    pthread_condattr_destroy(&attributes);
}

static void close_slot(struct live_slot *slot)
{
    if (slot->live) live_close(slot->live);
    *slot = (struct live_slot){0};
}

void lives_end(struct lives *lives)
{
    for (size_t i = 0; i < LIVES_MOST; i++) close_slot(&lives->slots[i]);
    pthread_cond_destroy(&lives->given_back);
    pthread_mutex_destroy(&lives->mutex);
}

/* The job's slot, or the one to take for it; NULL while all are busy. */
static struct live_slot *lives_slot_for(struct lives *lives, const char *job)
{
    struct live_slot *oldest = NULL;
    for (size_t i = 0; i < LIVES_MOST; i++) {
        struct live_slot *s = &lives->slots[i];
        if (!strcmp(s->job, job)) return s;
        if (!s->busy && (!oldest || s->used_ms < oldest->used_ms)) oldest = s;
    }
    return oldest;
}

/* Waits until the job's slot is free, and takes it; NULL with `error` when that takes too long. */
static struct live_slot *take_slot(struct lives *lives, const char *job, struct error *error)
{
    struct live_slot *slot;
    struct timespec until;
    bool waits = true;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_sec += LIVES_WAIT_S;
    pthread_mutex_lock(&lives->mutex);
    while ((!(slot = lives_slot_for(lives, job)) || slot->busy) && waits)
        waits = !pthread_cond_timedwait(&lives->given_back, &lives->mutex, &until);
    bool got = slot && !slot->busy;
    if (got) {
        if (strcmp(slot->job, job)) close_slot(slot);
        format_into(slot->job, sizeof slot->job, "%s", job);
        slot->busy = true;
    }
    pthread_mutex_unlock(&lives->mutex);
    if (!got)
        error_set(error, FAILURE_BUSY, "job-is-being-opened-for-others", ARGUMENTS(arg_words("job", job)));
    return got ? slot : NULL;
}

static bool open_slot(struct lives *lives, struct live_slot *slot, const char *folder,
                      const char *fingerprint, int64_t last_fact, struct error *error)
{
    struct run_options options = {.job = folder, .threads = 1, .cancel = lives->cancel};
    live_close(slot->live);
    slot->live = NULL;
    if (!live_open(lives->machine, folder, &options, &slot->live, error)) return false;
    slot->last_fact = last_fact;
    format_into(slot->fingerprint, sizeof slot->fingerprint, "%s", fingerprint);
    return true;
}

static bool refresh(struct lives *lives, struct live_slot *slot, struct floor *floor, const char *job,
                    struct arena *arena, struct error *error)
{
    char fingerprint[17] = "";
    int64_t last_fact;
    const char *folder = floor_job_folder(floor, job, arena);
    if (!folder)
        return error_set(error, FAILURE_INPUT, "there-is-no-job-here", ARGUMENTS(arg_words("job", job)));
    /* Asked before the job is opened: what is recorded meanwhile only opens it once more. */
    if (!floor_last_fact(floor, job, &last_fact, error)) return false;
    /* A job.json has no fingerprint for editing; it is opened afresh each time. */
    bool known = desk_fingerprint(lives->machine, folder, arena, fingerprint, NULL);
    bool current =
        known && slot->live && !strcmp(slot->fingerprint, fingerprint) && slot->last_fact == last_fact;
    return current || open_slot(lives, slot, folder, fingerprint, last_fact, error);
}

struct live_slot *lives_take(struct lives *lives, struct floor *floor, const char *job, bool as_it_is,
                             struct error *error)
{
    struct live_slot *slot = take_slot(lives, job, error);
    if (!slot) return NULL;
    struct arena *arena = arena_new(lives->machine);
    bool ok = as_it_is ? slot->live != NULL : refresh(lives, slot, floor, job, arena, error);
    slot->used_ms = lives->machine->ticks_ms(lives->machine);
    if (!ok) lives_give_back(lives, slot);
    arena_free(arena);
    return ok ? slot : NULL;
}

void lives_give_back(struct lives *lives, struct live_slot *slot)
{
    pthread_mutex_lock(&lives->mutex);
    if (!slot->live || slot->outdated) close_slot(slot);
    slot->busy = false;
    pthread_cond_broadcast(&lives->given_back);
    pthread_mutex_unlock(&lives->mutex);
}

void lives_close(struct lives *lives, const char *job)
{
    pthread_mutex_lock(&lives->mutex);
    for (size_t i = 0; i < LIVES_MOST; i++) {
        struct live_slot *s = &lives->slots[i];
        if (strcmp(s->job, job)) continue;
        if (s->busy)
            s->outdated = true;
        else
            close_slot(s);
    }
    pthread_mutex_unlock(&lives->mutex);
}

void lives_tidy(struct lives *lives)
{
    int64_t now = lives->machine->ticks_ms(lives->machine);
    pthread_mutex_lock(&lives->mutex);
    for (size_t i = 0; i < LIVES_MOST; i++) {
        struct live_slot *s = &lives->slots[i];
        if (s->live && !s->busy && now - s->used_ms > LIVES_IDLE_MS) close_slot(s);
    }
    pthread_mutex_unlock(&lives->mutex);
}

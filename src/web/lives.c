#include "lives.h"
#include "app/desk.h"
#include "base/text.h"
#include <string.h>

void lives_start(struct lives *lives, struct machine *machine)
{
    memset(lives, 0, sizeof *lives);
    lives->machine = machine;
    pthread_mutex_init(&lives->mutex, NULL);
}

static void close_slot(struct live_slot *slot)
{
    if (slot->live) live_close(slot->live);
    *slot = (struct live_slot){0};
}

void lives_end(struct lives *lives)
{
    for (size_t i = 0; i < LIVES_MOST; i++) close_slot(&lives->slots[i]);
    pthread_mutex_destroy(&lives->mutex);
}

/* The job's slot, or the one to take for it. */
static struct live_slot *slot_for(struct lives *lives, const char *job)
{
    struct live_slot *oldest = &lives->slots[0];
    for (size_t i = 0; i < LIVES_MOST; i++) {
        struct live_slot *s = &lives->slots[i];
        if (s->live && !strcmp(s->job, job)) return s;
        if (s->used_ms < oldest->used_ms) oldest = s;
    }
    return oldest;
}

static bool open_slot(struct lives *lives, struct live_slot *slot, const char *job, const char *folder,
                      const char *fingerprint, const struct fact *facts, size_t count, struct error *error)
{
    struct run_options options = {.job = folder, .threads = 1};
    struct live *live = NULL;
    close_slot(slot);
    if (!live_open(lives->machine, folder, facts, count, &options, &live, error)) return false;
    *slot = (struct live_slot){.live = live, .facts = count ? facts[count - 1].number : 0};
    format_into(slot->job, sizeof slot->job, "%s", job);
    format_into(slot->fingerprint, sizeof slot->fingerprint, "%s", fingerprint);
    return true;
}

static bool refresh(struct lives *lives, struct live_slot *slot, struct floor *floor, const char *job,
                    struct arena *arena, struct error *error)
{
    char fingerprint[17] = "";
    struct fact *facts;
    size_t count;
    const char *folder = floor_job_folder(floor, job, arena);
    if (!folder) return error_set(error, FAILURE_INPUT, "there is no job %s here", job);
    if (!floor_facts(floor, job, NULL, arena, &facts, &count, error)) return false;
    /* A job.json has no fingerprint for editing; it is opened afresh each time. */
    bool known = desk_fingerprint(lives->machine, folder, arena, fingerprint, NULL);
    bool current = known && slot->live && !strcmp(slot->job, job) &&
                   !strcmp(slot->fingerprint, fingerprint) &&
                   slot->facts == (count ? facts[count - 1].number : 0);
    return current || open_slot(lives, slot, job, folder, fingerprint, facts, count, error);
}

struct live *lives_take(struct lives *lives, struct floor *floor, const char *job, bool as_it_is,
                        struct error *error)
{
    struct arena *arena = arena_new(lives->machine);
    pthread_mutex_lock(&lives->mutex);
    struct live_slot *slot = slot_for(lives, job);
    bool mine = slot->live && !strcmp(slot->job, job);
    bool ok = as_it_is ? mine : refresh(lives, slot, floor, job, arena, error);
    if (ok) slot->used_ms = lives->machine->ticks_ms(lives->machine);
    struct live *live = ok ? slot->live : NULL;
    if (!live) pthread_mutex_unlock(&lives->mutex);
    arena_free(arena);
    return live;
}

void lives_give_back(struct lives *lives)
{
    pthread_mutex_unlock(&lives->mutex);
}

void lives_close(struct lives *lives, const char *job)
{
    pthread_mutex_lock(&lives->mutex);
    for (size_t i = 0; i < LIVES_MOST; i++)
        if (lives->slots[i].live && !strcmp(lives->slots[i].job, job)) close_slot(&lives->slots[i]);
    pthread_mutex_unlock(&lives->mutex);
}

void lives_tidy(struct lives *lives)
{
    int64_t now = lives->machine->ticks_ms(lives->machine);
    pthread_mutex_lock(&lives->mutex);
    for (size_t i = 0; i < LIVES_MOST; i++)
        if (lives->slots[i].live && now - lives->slots[i].used_ms > LIVES_IDLE_MS)
            close_slot(&lives->slots[i]);
    pthread_mutex_unlock(&lives->mutex);
}

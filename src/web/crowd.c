/* Keeps the open connections, and decides who gives way when there are too many. Called by door.c and
 * serve.c. */
#include "crowd.h"
#include "base/text.h"
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>

void crowd_start(struct crowd *crowd)
{
    crowd->members = NULL;
    pthread_mutex_init(&crowd->mutex, NULL);
}

void crowd_end(struct crowd *crowd)
{
    pthread_mutex_destroy(&crowd->mutex);
}

static void shut(struct member *member)
{
    member->leaving = true;
    shutdown(member->fd, SHUT_RDWR);
}

static size_t crowd_count_of(const struct crowd *crowd, const char *address)
{
    size_t count = 0;
    for (const struct member *m = crowd->members; m; m = m->next)
        count += !m->leaving && (!address || !strcmp(m->address, address));
    return count;
}

/* Whether `m` gives way before `other`: the one of whom there are more, then the one that does less, then the
 * one that does it for longer. */
static bool gives_way_before(const struct member *m, size_t of_its, const struct member *other,
                             size_t of_other)
{
    if (!other) return true;
    if (of_its != of_other) return of_its > of_other;
    if (m->phase != other->phase) return m->phase < other->phase;
    return m->since_ms < other->since_ms;
}

/* `address` NULL: anybody's. Whether it was one who listens. */
static bool make_way(struct crowd *crowd, const char *address)
{
    struct member *first = NULL;
    size_t of_first = 0;
    for (struct member *m = crowd->members; m; m = m->next) {
        if (m->leaving || m->phase == PHASE_WORKING || (address && strcmp(m->address, address) != 0))
            continue;
        size_t of_its =
            first && !strcmp(first->address, m->address) ? of_first : crowd_count_of(crowd, m->address);
        if (gives_way_before(m, of_its, first, of_first)) first = m, of_first = of_its;
    }
    if (first) shut(first);
    return first && first->phase == PHASE_LISTENING;
}

struct member *crowd_join(struct crowd *crowd, int fd, const char *address, int64_t now_ms, bool *listens)
{
    struct member *member = calloc(1, sizeof *member);
    *listens = false;
    if (!member) return NULL;
    member->fd = fd, member->since_ms = now_ms;
    format_into(member->address, sizeof member->address, "%s", address);
    pthread_mutex_lock(&crowd->mutex);
    if (crowd_count_of(crowd, address) >= CROWD_OF_ONE)
        *listens = make_way(crowd, member->address);
    else if (crowd_count_of(crowd, NULL) >= CROWD_MOST)
        *listens = make_way(crowd, NULL);
    member->next = crowd->members, member->place = &crowd->members;
    if (member->next) member->next->place = &member->next;
    crowd->members = member;
    pthread_mutex_unlock(&crowd->mutex);
    return member;
}

void crowd_leave(struct crowd *crowd, struct member *member)
{
    if (!member) return;
    pthread_mutex_lock(&crowd->mutex);
    *member->place = member->next;
    if (member->next) member->next->place = member->place;
    pthread_mutex_unlock(&crowd->mutex);
    free(member);
}

void crowd_set(struct crowd *crowd, struct member *member, enum phase phase, int64_t now_ms)
{
    if (!member) return;
    pthread_mutex_lock(&crowd->mutex);
    member->phase = phase, member->since_ms = now_ms;
    pthread_mutex_unlock(&crowd->mutex);
}

void crowd_close_slow(struct crowd *crowd, int64_t now_ms)
{
    pthread_mutex_lock(&crowd->mutex);
    for (struct member *m = crowd->members; m; m = m->next)
        if (m->phase == PHASE_WAITING && !m->leaving && now_ms - m->since_ms > CROWD_HEADERS_MS) shut(m);
    pthread_mutex_unlock(&crowd->mutex);
}

/* Passes events to every open page that listens. Filled by server and background work; read by serve.c for
 * each listener. */
#include "hub.h"
#include "base/text.h"
#include <string.h>
#include <time.h>

void hub_start(struct hub *hub)
{
    pthread_condattr_t attributes;
    memset(hub, 0, sizeof *hub);
    hub->next = 1;
    pthread_mutex_init(&hub->mutex, NULL);
    pthread_condattr_init(&attributes);
    pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC);
    pthread_cond_init(&hub->changed, &attributes);
    pthread_condattr_destroy(&attributes);
}

void hub_close(struct hub *hub)
{
    pthread_mutex_lock(&hub->mutex);
    hub->closing = true;
    pthread_cond_broadcast(&hub->changed);
    pthread_mutex_unlock(&hub->mutex);
}

void hub_end(struct hub *hub)
{
    pthread_cond_destroy(&hub->changed);
    pthread_mutex_destroy(&hub->mutex);
}

void hub_say(struct hub *hub, const char *event, const char *data)
{
    pthread_mutex_lock(&hub->mutex);
    char *message = hub->messages[hub->next % HUB_MESSAGES];
    size_t length = format_into(message, HUB_BYTES, "id: %llu\nevent: %s\ndata: %.*s\n\n",
                                (unsigned long long)hub->next, event, (int)strcspn(data, "\n"), data);
    if (length >= HUB_BYTES - 1)
        format_into(message, HUB_BYTES, "id: %llu\nevent: again\ndata: {}\n\n",
                    (unsigned long long)hub->next);
    hub->next++;
    pthread_cond_broadcast(&hub->changed);
    pthread_mutex_unlock(&hub->mutex);
}

void hub_wake(struct hub *hub)
{
    pthread_mutex_lock(&hub->mutex);
    hub->wakes++;
    pthread_cond_broadcast(&hub->changed);
    pthread_mutex_unlock(&hub->mutex);
}

uint64_t hub_newest(struct hub *hub)
{
    pthread_mutex_lock(&hub->mutex);
    uint64_t newest = hub->next - 1;
    pthread_mutex_unlock(&hub->mutex);
    return newest;
}

static size_t hub_take(struct hub *hub, uint64_t *seen, char out[HUB_BYTES])
{
    if (hub->next - *seen > HUB_MESSAGES) {
        *seen = hub->next - 1;
        return format_into(out, HUB_BYTES, "event: again\ndata: {}\n\n");
    }
    ++*seen;
    return format_into(out, HUB_BYTES, "%s", hub->messages[*seen % HUB_MESSAGES]);
}

size_t hub_wait(struct hub *hub, uint64_t *seen, char out[HUB_BYTES])
{
    struct timespec until;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_sec += HUB_BEAT_S;
    size_t length = 0;
    pthread_mutex_lock(&hub->mutex);
    bool waits = true;
    uint64_t wakes = hub->wakes;
    while (waits && wakes == hub->wakes && !hub->closing && *seen + 1 >= hub->next)
        waits = !pthread_cond_timedwait(&hub->changed, &hub->mutex, &until);
    if (!hub->closing)
        length = *seen + 1 < hub->next ? hub_take(hub, seen, out)
                                       : format_into(out, HUB_BYTES, ": still here\n\n");
    pthread_mutex_unlock(&hub->mutex);
    return length;
}

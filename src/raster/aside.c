/* A strip sink with a thread of its own, so that reducing a strip and making the next run together. Called
 * by run for the coarse rendering. */
#include "raster/aside.h"
#include <assert.h>
#include <pthread.h>
#include <string.h>

struct aside {
    struct arena *arena;
    struct strip_sink next;
    pthread_t thread;
    bool threaded, failed, over;
    pthread_mutex_t lock;
    pthread_cond_t changed;
    struct strip strip; /* waiting or under way; rows 0: none */
    uint8_t *pixels;
    size_t capacity;
    struct error trouble;
};

static void *work(void *argument)
{
    struct aside *aside = argument;
    pthread_mutex_lock(&aside->lock);
    for (;;) {
        while (!aside->strip.rows && !aside->over) pthread_cond_wait(&aside->changed, &aside->lock);
        if (!aside->strip.rows) break;
        pthread_mutex_unlock(&aside->lock);
        bool ok = aside->failed || aside->next.strip(aside->next.self, &aside->strip, &aside->trouble);
        pthread_mutex_lock(&aside->lock);
        aside->failed = aside->failed || !ok;
        aside->strip.rows = 0;
        pthread_cond_signal(&aside->changed);
    }
    pthread_mutex_unlock(&aside->lock);
    return NULL;
}

/* Until the thread has nothing to do. */
static bool wait_idle(struct aside *aside, struct error *error)
{
    pthread_mutex_lock(&aside->lock);
    while (aside->strip.rows) pthread_cond_wait(&aside->changed, &aside->lock);
    pthread_mutex_unlock(&aside->lock);
    return !aside->failed || error_words(error, aside->trouble.kind, aside->trouble.text);
}

static void keep_strip(struct aside *aside, const struct strip *strip)
{
    size_t row = (size_t)strip->width * pixel_bytes(strip->format), bytes = row * (size_t)strip->rows;
    assert(!aside->strip.rows); /* the thread is not at the pixels that are written over */
    if (bytes > aside->capacity) {
        aside->pixels = arena_take(aside->arena, bytes);
        aside->capacity = bytes;
    }
    for (size_t y = 0; y < (size_t)strip->rows; y++)
        memcpy(aside->pixels + y * row, strip->pixels + y * strip->stride, row);
    struct strip kept = *strip;
    kept.pixels = aside->pixels;
    kept.stride = row;
    pthread_mutex_lock(&aside->lock);
    aside->strip = kept;
    pthread_cond_signal(&aside->changed);
    pthread_mutex_unlock(&aside->lock);
}

static bool aside_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct aside *aside = self;
    return aside->next.begin(aside->next.self, shape, error);
}

static bool aside_take_strip(void *self, const struct strip *strip, struct error *error)
{
    struct aside *aside = self;
    if (!aside->threaded) return aside->next.strip(aside->next.self, strip, error);
    if (!strip->rows) return true;
    if (!wait_idle(aside, error)) return false;
    keep_strip(aside, strip);
    return true;
}

static bool aside_end(void *self, struct error *error)
{
    struct aside *aside = self;
    return wait_idle(aside, error) && aside->next.end(aside->next.self, error);
}

struct aside *aside_new(struct arena *arena, struct strip_sink next)
{
    struct aside *aside = arena_take(arena, sizeof *aside);
    aside->arena = arena;
    aside->next = next;
    pthread_mutex_init(&aside->lock, NULL);
    pthread_cond_init(&aside->changed, NULL);
    aside->threaded = !pthread_create(&aside->thread, NULL, work, aside);
    return aside;
}

struct strip_sink aside_sink(struct aside *aside)
{
    return (struct strip_sink){aside, aside_begin, aside_take_strip, aside_end};
}

void aside_free(struct aside *aside)
{
    pthread_mutex_lock(&aside->lock);
    aside->over = true;
    pthread_cond_signal(&aside->changed);
    pthread_mutex_unlock(&aside->lock);
    if (aside->threaded) pthread_join(aside->thread, NULL);
    pthread_mutex_destroy(&aside->lock);
    pthread_cond_destroy(&aside->changed);
}

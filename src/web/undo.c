/* Keeps earlier texts of job files for the page's undo, in memory. Called by the desk views. */
#include "undo.h"
#include "base/arena.h"
#include "base/text.h"
#include <stdlib.h>
#include <string.h>

void undos_start(struct undos *undos)
{
    memset(undos, 0, sizeof *undos);
    pthread_mutex_init(&undos->mutex, NULL);
}

static void undo_forget(struct undo_step *step)
{
    free(step->text);
    *step = (struct undo_step){0};
}

void undos_end(struct undos *undos)
{
    for (size_t i = 0; i < UNDO_STEPS; i++) undo_forget(&undos->steps[i]);
    pthread_mutex_destroy(&undos->mutex);
}

void undo_keep(struct undos *undos, const char *path, struct str text, const char *after)
{
    char *copy = malloc(text.length + 1);
    if (!copy) return; /* no way back, but the change itself goes on */
    memcpy(copy, text.bytes, text.length);
    pthread_mutex_lock(&undos->mutex);
    struct undo_step *step = &undos->steps[undos->next++ % UNDO_STEPS];
    undo_forget(step);
    format_into(step->path, sizeof step->path, "%s", path);
    format_into(step->after, sizeof step->after, "%s", after);
    step->text = copy;
    step->length = text.length;
    pthread_mutex_unlock(&undos->mutex);
}

static struct undo_step *newest(struct undos *undos, const char *path)
{
    for (size_t back = 1; back <= UNDO_STEPS; back++) {
        struct undo_step *step = &undos->steps[(undos->next + UNDO_STEPS - back) % UNDO_STEPS];
        if (step->text && !strcmp(step->path, path)) return step;
    }
    return NULL;
}

bool undo_take(struct undos *undos, const char *path, const char *now, struct arena *arena, struct str *text)
{
    pthread_mutex_lock(&undos->mutex);
    struct undo_step *step = newest(undos, path);
    bool fits = step && !strcmp(step->after, now);
    if (fits) {
        *text = (struct str){arena_copy(arena, step->text, step->length), step->length};
        undo_forget(step);
    }
    pthread_mutex_unlock(&undos->mutex);
    return fits;
}

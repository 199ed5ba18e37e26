/* make-demo-art DIR [NAME ...]: makes the artwork of the demo's jobs below DIR (the demo folder), each in its
 * job's art/: "library-van", or one of the smaller ones of demo/more. No name: all. The same bytes every
 * time. */
#include "artworks.h"
#include "landscape.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/path.h"
#include <stdio.h>
#include <string.h>

static bool make_library_van(struct machine *machine, struct arena *arena, const char *demo,
                             struct error *error)
{
    const char *art = path_join(arena, demo, "library-van/art");
    if (!machine->make_folder(machine, art, error)) return false;
    struct photo photo = landscape_make(arena, LIBRARY_PHOTO_WIDTH, LIBRARY_PHOTO_HEIGHT);
    struct str jpeg = landscape_jpeg(arena, &photo, error);
    return jpeg.length && library_van_left(arena, path_join(arena, art, "left.pdf"), jpeg, error) &&
           library_van_right(arena, path_join(arena, art, "right.pdf"), jpeg, error) &&
           library_van_rear(arena, path_join(arena, art, "rear.tif"), error);
}

static bool make_small(struct machine *machine, struct arena *arena, const char *demo,
                       const struct small_artwork *small, struct error *error)
{
    const char *art = arena_format(arena, "%s/more/%s/art", demo, small->job);
    return machine->make_folder(machine, art, error) &&
           small->write(arena, path_join(arena, art, small->file), error);
}

static bool wanted(const char *name, int count, char **names)
{
    for (int i = 0; i < count; i++)
        if (!strcmp(names[i], name)) return true;
    return count == 0;
}

static bool known(const char *name)
{
    for (size_t i = 0; i < small_artwork_count; i++)
        if (!strcmp(small_artworks[i].job, name)) return true;
    return !strcmp(name, "library-van");
}

static bool make_all(struct machine *machine, struct arena *arena, const char *demo, int count, char **names,
                     struct error *error)
{
    for (int i = 0; i < count; i++)
        if (!known(names[i]))
            return error_words(error, FAILURE_INPUT,
                               arena_format(arena, "the demo has no job named %s; see the folders in %s/more",
                                            names[i], demo));
    if (wanted("library-van", count, names) && !make_library_van(machine, arena, demo, error)) return false;
    for (size_t i = 0; i < small_artwork_count; i++)
        if (wanted(small_artworks[i].job, count, names) &&
            !make_small(machine, arena, demo, &small_artworks[i], error))
            return false;
    return true;
}

int main(int argument_count, char **arguments)
{
    if (argument_count < 2) {
        fputs("make-demo-art DIR [NAME ...]: makes the artwork of the demo's jobs below DIR\n", stderr);
        return 2;
    }
    struct machine machine = machine_real(arguments[0]);
    struct arena *arena = arena_new(&machine);
    struct error error = {0};
    bool done = make_all(&machine, arena, arguments[1], argument_count - 2, arguments + 2, &error);
    if (!done) {
        fputs(error.text, stderr);
        fputc('\n', stderr);
    }
    arena_free(arena);
    return done ? 0 : error.kind == FAILURE_INPUT ? 2 : 3;
}

/* Fuzz target: any bytes as the drawing of a surface at 1:10. Nothing may crash, hang, or be accepted without
 * a sound outline.
 *
 * Built with -Dfuzz=true, or by hand:
 *     clang -fsanitize=fuzzer,address,undefined -D_GNU_SOURCE -Isrc/base/pub -Isrc/geom/pub -Isrc/model/pub
 *         -Isrc/survey/pub $(xml2-config --cflags) fuzz/drawing.c src/survey/[a-z]*.c src/model/[a-z]*.c
 *         src/geom/[a-z]*.c src/base/[a-z]*.c -lxml2 -lm -lpthread */
#include "base/arena.h"
#include "job/settle.h"
#include "survey/survey.h"
#include <string.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int open_file(struct machine *machine, const char *path, struct error *error)
{
    const struct str *file = machine->self;
    int fd = memfd_create("fuzz", MFD_CLOEXEC);
    if (fd < 0) {
        error_set(error, FAILURE_MACHINE, "path-cannot-be-opened-why",
                  ARGUMENTS(arg_words("path", path), arg_words("why", strerror(errno))));
        return -1;
    }
    if (write(fd, file->bytes, file->length) != (ssize_t)file->length) abort();
    lseek(fd, 0, SEEK_SET);
    return fd;
}

static void check(const struct surface *surface, const struct report *report)
{
    for (size_t i = 0; i < report->count; i++)
        if (report->mistakes[i].place.line < 1) abort();
    if ((surface != NULL) != (report->errors == 0)) abort();
    if (!surface) return;
    if (!(surface->width_mm >= 1 && surface->width_mm <= SURVEY_LENGTH_MOST_MM)) abort();
    if (!(surface->height_mm >= 1 && surface->height_mm <= SURVEY_LENGTH_MOST_MM)) abort();
    if (!(polygon_area(&surface->outline) > 0 && isfinite(surface->area_m2))) abort();
    for (size_t i = 1; i < surface->station_count; i++)
        if (!(surface->stations[i].view_mm > surface->stations[i - 1].view_mm)) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct str file = {(const char *)data, size};
    struct machine machine = machine_real("");
    machine.self = &file;
    machine.open_file = open_file;
    struct arena *arena = arena_new(&machine);
    struct report report = report_new(arena);
    struct findings findings = findings_new(arena);
    struct job job = {.bleed = {-1, -1, -1, -1, -1, -1, -1, 0}};
    struct surface_spec spec = {.name = "left",
                                .place = {"job.yaml", 1, 1},
                                .drawing = "left.svg",
                                .drawing_path = "left.svg",
                                .drawing_scale = 10,
                                .bleed = job.bleed};
    struct surface *surface;
    struct error error;
    settle_job(&job), settle_surface(&spec, &job);
    if (survey_surface(&machine, &job, &spec, &(struct notes){arena, &report, &findings}, &surface, &error))
        check(surface, &report);
    arena_free(arena);
    return 0;
}

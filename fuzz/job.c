/* Fuzz target: any bytes as a job file, and, behind a line "%%", as the shop's file beside it. Nothing may
 * crash, hang, or be accepted without being complete.
 *
 * Built with -Dfuzz=true, or by hand:
 *     clang -fsanitize=fuzzer,address,undefined -D_GNU_SOURCE -Isrc/base/pub -Isrc/geom/pub -Isrc/model/pub
 *         -Isrc/job/pub fuzz/job.c src/job/[a-z]*.c src/model/[a-z]*.c src/geom/[a-z]*.c src/base/[a-z]*.c
 *         -lyaml -ljansson -lm -lpthread */
#include "base/arena.h"
#include "base/path.h"
#include "job/job.h"
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

struct files {
    struct str job, shop;
};

static const char usual_shop[] = "printers: [{name: p, media-width: 1600}]\n"
                                 "films: [{name: f, kind: cast, widths: [1370]}]\n"
                                 "inks: [{name: i, technology: latex}]\n"
                                 "conditions: [{name: c, printer: p, film: f, ink: i}]\n";

static const struct str *file_of(struct machine *machine, const char *path)
{
    struct files *files = machine->self;
    const char *name = path_name(path);
    return !strcmp(name, "job.yaml") ? &files->job : !strcmp(name, "shop.yaml") ? &files->shop : NULL;
}

static struct file_status status(struct machine *machine, const char *path)
{
    const struct str *file = file_of(machine, path);
    return (struct file_status){.exists = file != NULL, .size = file ? file->length : 0};
}

static int open_file(struct machine *machine, const char *path, struct error *error)
{
    const struct str *file = file_of(machine, path);
    int fd = file ? memfd_create("fuzz", MFD_CLOEXEC) : -1;
    if (fd < 0) {
        error_set(error, FAILURE_INPUT, "path-cannot-be-opened-why",
                  ARGUMENTS(arg_words("path", path), arg_words("why", strerror(errno))));
        return -1;
    }
    if (write(fd, file->bytes, file->length) != (ssize_t)file->length) abort();
    lseek(fd, 0, SEEK_SET);
    return fd;
}

static void check(const struct job *job, const struct report *report)
{
    for (size_t i = 0; i < report->count; i++)
        if (report->mistakes[i].place.line < 1) abort();
    if (report->errors) return;
    if (!job || !job->shop || !job->condition || !job->surface_count) abort();
    for (size_t i = 0; i < job->surface_count; i++)
        if (!job->surfaces[i].drawing_path && !(job->surfaces[i].width_mm > 0)) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *mark = memmem(data, size, "\n%%\n", 4);
    size_t job_size = mark ? (size_t)(mark - (const char *)data) : size;
    struct files files = {{(const char *)data, job_size}, str_from(usual_shop)};
    if (mark) files.shop = (struct str){mark + 4, size - job_size - 4};
    struct machine machine = machine_real("");
    machine.self = &files;
    machine.status = status;
    machine.open_file = open_file;
    struct arena *arena = arena_new(&machine);
    struct report report = report_new(arena);
    struct job *job;
    struct error error;
    if (job_load(&machine, "job.yaml", arena, &report, &job, &error)) check(job, &report);
    arena_free(arena);
    return 0;
}

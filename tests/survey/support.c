#include "support.h"
#include "base/path.h"
#include "job/settle.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

static struct machine machine;
static struct str drawing; /* what the machine has on its only file */

static int open_drawing(struct machine *self, const char *path, struct error *error)
{
    (void)self, (void)path, (void)error;
    int fd = memfd_create("drawing", MFD_CLOEXEC);
    assert_true(fd >= 0);
    assert_int_equal(write(fd, drawing.bytes, drawing.length), (ssize_t)drawing.length);
    assert_int_equal(lseek(fd, 0, SEEK_SET), 0);
    return fd;
}

struct made made_new(void)
{
    machine = machine_real("");
    struct made made = {.arena = arena_new(&machine)};
    made.report = report_new(made.arena);
    made.findings = findings_new(made.arena);
    made.job.bleed = made.spec.bleed = (struct bleed_spec){-1, -1, -1, -1, -1, -1, -1, 0};
    made.spec.name = "left";
    made.spec.place = (struct place){"job.yaml", 7, 3};
    return made;
}

void made_free(struct made *made)
{
    arena_free(made->arena);
}

bool made_run(struct made *made)
{
    struct error error = {.kind = FAILURE_NONE};
    settle_job(&made->job);
    settle_surface(&made->spec, &made->job);
    struct notes notes = {made->arena, &made->report, &made->findings};
    bool done = survey_surface(&machine, &made->job, &made->spec, &notes, &made->surface, &error);
    assert_true(!done || (made->surface != NULL) == (made->report.errors == 0));
    return done;
}

bool made_cover(struct made *made, const struct region *silhouette)
{
    struct error error = {.kind = FAILURE_NONE};
    struct notes notes = {made->arena, &made->report, &made->findings};
    bool done = survey_cover(&machine, made->surface, silhouette, &notes, &error);
    assert_true(done || error.kind != FAILURE_NONE);
    return done;
}

void made_file(const char *svg)
{
    drawing = str_from(svg);
    machine.open_file = open_drawing;
}

bool made_draw(struct made *made, const char *bytes, size_t length, double scale)
{
    drawing = (struct str){bytes, length};
    machine.open_file = open_drawing;
    made->spec.drawing = "surfaces/left.svg";
    made->spec.drawing_path = "surfaces/left.svg";
    made->spec.drawing_scale = scale;
    return made_run(made);
}

bool made_svg(struct made *made, const char *svg, double scale)
{
    return made_draw(made, svg, strlen(svg), scale);
}

bool made_says(const struct made *made, int line, const char *words, bool remark)
{
    for (size_t i = 0; i < made->report.count; i++) {
        const struct mistake *m = &made->report.mistakes[i];
        if (m->place.line == line && m->remark == remark && strstr(m->text, words)) return true;
    }
    for (size_t i = 0; i < made->report.count; i++)
        fprintf(stderr, "# %s:%d: %s\n", made->report.mistakes[i].place.file,
                made->report.mistakes[i].place.line, made->report.mistakes[i].text);
    return false;
}

const struct finding *made_finding(const struct made *made, const char *code)
{
    for (size_t i = 0; i < made->findings.count; i++)
        if (string_equal(made->findings.items[i].code, code)) return &made->findings.items[i];
    return NULL;
}

struct str shared_file(struct arena *arena, const char *name)
{
    struct machine real = machine_real("");
    const char *folder = getenv("LAPSTRAKE_SHARED");
    struct str bytes = {"", 0};
    struct error error;
    if (!folder || !machine_read(&real, path_join(arena, folder, name), 64 << 20, arena, &bytes, &error)) {
        print_message("# %s is not here: skipped\n", name);
        skip();
    }
    return bytes;
}

void assert_near(double value, double wanted, double tolerance)
{
    if (fabs(value - wanted) <= tolerance) return;
    fail_msg("%.12g, wanted %.12g within %g", value, wanted, tolerance);
}

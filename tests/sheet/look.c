/* Not a test: writes the sample's sheet and pictures to the folder given, to be looked at. */
#include "../support/sample_plan.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/path.h"
#include "base/text.h"
#include "sheet/pictures.h"
#include "sheet/sheet.h"
#include <stdio.h>
#include <stdlib.h>

static void write_picture(struct machine *machine, struct arena *arena, const struct drawing *drawing,
                          const char *folder, const char *name)
{
    struct error error = {0};
    struct text svg = text_new(arena);
    if (!drawing_png(drawing, 110, machine, path_join(arena, folder, arena_format(arena, "%s.png", name)),
                     &error) ||
        !drawing_svg(drawing, &svg) ||
        !machine_write(machine, path_join(arena, folder, arena_format(arena, "%s.svg", name)),
                       (struct str){svg.bytes, svg.length}, false, &error)) {
        fprintf(stderr, "%s\n", error.text);
        exit(1);
    }
}

int main(int count, char **arguments)
{
    if (count < 2) {
        fprintf(stderr, "usage: look FOLDER [LEFT-PANELS [long]]\n");
        return 2;
    }
    struct machine machine = machine_real(arguments[0]);
    struct arena *arena = arena_new(&machine);
    size_t panels = count > 2 ? (size_t)strtoul(arguments[2], NULL, 10) : 4;
    struct sample sample = sample_plan(arena, panels, count > 3);
    struct error error = {0};
    struct sheet_options options = {.stamp = "NOT TO BE PRINTED: 1 stop",
                                    .date = 1803888000,
                                    .version = "0.1.0",
                                    .findings = sample.plan->findings.items,
                                    .finding_count = sample.plan->findings.count,
                                    .previews = sample.previews};
    if (!sheet_write(sample.plan, &options, &machine, path_join(arena, arguments[1], "sheet.pdf"), arena,
                     &error)) {
        fprintf(stderr, "%s\n", error.text);
        return 1;
    }
    struct picture_options wide = {.width_mm = 240};
    write_picture(&machine, arena,
                  sheet_surface_picture(&sample.plan->surfaces[0], NULL, sample.previews[0], wide, arena),
                  arguments[1], "left");
    write_picture(&machine, arena, sheet_vehicle_picture(sample.plan, sample.previews, wide, arena),
                  arguments[1], "vehicle");
    write_picture(&machine, arena, sheet_timeline(sample.plan, wide, arena), arguments[1], "timeline");
    write_picture(&machine, arena, sheet_roll_picture(&sample.plan->rolls[0], sample.plan, wide, arena),
                  arguments[1], "roll");
    arena_free(arena);
    return 0;
}

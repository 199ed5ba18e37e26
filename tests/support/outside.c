#include "outside.h"
#include "base/arena.h"
#include "base/text.h"
#include <cairo.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

bool outside_has(const char *program)
{
    char command[200];
    format_into(command, sizeof command, "command -v %s >/dev/null 2>&1", program);
    return system(command) == 0;
}

int outside_run(struct arena *arena, const char **output, const char *format, ...)
{
    struct text command = text_new(arena), out = text_new(arena);
    va_list arguments;
    va_start(arguments, format);
    text_add(&command, "( ");
    text_addv(&command, format, arguments);
    text_add(&command, " ) 2>&1");
    va_end(arguments);
    FILE *pipe = popen(text_string(&command), "r");
    if (!pipe) return -1;
    char block[4096];
    for (size_t got; (got = fread(block, 1, sizeof block, pipe)) > 0;) text_add_bytes(&out, block, got);
    int status = pclose(pipe);
    if (output) *output = text_string(&out);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

const char *outside_folder(struct arena *arena)
{
    const char *base = getenv("TMPDIR");
    char *folder = arena_format(arena, "%s/lapstrake-test-XXXXXX", base && *base ? base : "/tmp");
    return mkdtemp(folder);
}

void outside_remove(const char *folder)
{
    char command[500];
    format_into(command, sizeof command, "rm -rf '%s'", folder);
    if (system(command) != 0) fprintf(stderr, "# %s is left behind\n", folder);
}

struct pixels outside_png(struct arena *arena, const char *path)
{
    struct pixels pixels = {0};
    cairo_surface_t *surface = cairo_image_surface_create_from_png(path);
    cairo_format_t format = cairo_image_surface_get_format(surface);
    if (!cairo_surface_status(surface) && (format == CAIRO_FORMAT_RGB24 || format == CAIRO_FORMAT_ARGB32)) {
        int width = cairo_image_surface_get_width(surface), height = cairo_image_surface_get_height(surface);
        pixels = (struct pixels){width, height, arena_take_array(arena, (size_t)width * (size_t)height, 3)};
        const uint8_t *rows = cairo_image_surface_get_data(surface);
        for (int y = 0; y < height; y++)
            for (int x = 0; x < width; x++) {
                uint32_t word;
                memcpy(&word,
                       rows + (ptrdiff_t)y * cairo_image_surface_get_stride(surface) + (ptrdiff_t)x * 4, 4);
                uint8_t *to = pixels.rgb + ((ptrdiff_t)y * width + x) * 3;
                to[0] = (uint8_t)(word >> 16), to[1] = (uint8_t)(word >> 8), to[2] = (uint8_t)word;
            }
    }
    cairo_surface_destroy(surface);
    return pixels;
}

struct difference outside_compare(const struct pixels *one, const struct pixels *other, int limit)
{
    struct difference difference = {0, 0};
    size_t count = (size_t)one->width * (size_t)one->height;
    for (size_t i = 0; i < count; i++) {
        bool off = false;
        for (size_t j = 0; j < 3; j++) {
            int d = abs(one->rgb[i * 3 + j] - other->rgb[i * 3 + j]);
            difference.mean += d;
            off = off || d > limit;
        }
        difference.off_share += off;
    }
    difference.mean /= (double)count * 3;
    difference.off_share /= (double)count;
    return difference;
}

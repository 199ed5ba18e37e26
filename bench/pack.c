/* Strips of panels packed by us and by the general TIFF library at its defaults: megabytes a second of one
 * core, and what is left of the bytes. The best of five runs each, of this process's own time, in turns.
 *
 *     ninja -C build tests/raster/bench-pack && build/tests/raster/bench-pack PANEL.tif...
 *
 * The panels are of our own making, packed or not; of each every eighth strip is taken. */
#include "base/arena.h"
#include "base/machine.h"
#include "memory_tiff.h"
#include "pack.h"
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

enum { EVERY = 8, STRIPS_MOST = 4096, RUNS = 5, INKS = 4 };

struct strips {
    struct arena *arena;
    uint8_t *rows[STRIPS_MOST];
    int heights[STRIPS_MOST];
    size_t count, bytes, width;
};

/* ---- reading ---- */

static bool begin(void *self, const struct strip_shape *shape, struct error *error)
{
    (void)error;
    ((struct strips *)self)->width = (size_t)shape->width;
    return true;
}

static bool keep(void *self, const struct strip *strip, struct error *error)
{
    struct strips *strips = self;
    size_t size = (size_t)strip->rows * strip->stride;
    if (strips->count == STRIPS_MOST) return error_words(error, FAILURE_INPUT, "too many strips");
    strips->rows[strips->count] = arena_take(strips->arena, size);
    memcpy(strips->rows[strips->count], strip->pixels, size);
    strips->heights[strips->count++] = strip->rows;
    strips->bytes += size;
    return true;
}

static bool end(void *self, struct error *error)
{
    (void)self, (void)error;
    return true;
}

static bool read_panel(struct machine *machine, const char *path, struct strips *strips)
{
    struct error error = {0};
    struct strip_sink sink = {strips, begin, keep, end};
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    bool ok = fd >= 0 && tiff_read_back(machine, fd, path, EVERY, &sink, &error);
    if (fd >= 0) close(fd);
    if (!ok) fprintf(stderr, "%s: %s\n", path, error.kind ? error.text : "cannot be opened");
    return ok;
}

/* ---- measuring ---- */

struct way {
    double seconds;
    size_t bytes;
};

static double now(void)
{
    struct timespec time;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return (double)time.tv_sec + (double)time.tv_nsec * 1e-9;
}

static void note(struct way *way, double seconds, size_t bytes)
{
    if (!way->bytes || seconds < way->seconds) way->seconds = seconds;
    way->bytes = bytes;
}

static void ours(const struct strips *strips, enum tiff_compression compression, struct tiff_packed *packed,
                 struct way *way)
{
    struct tiff_packers *packers = tiff_packers_new(strips->arena, 1);
    size_t bytes = 0;
    double from = now();
    for (size_t i = 0; i < strips->count; i++) {
        packers_pack(packers, compression, strips->rows[i], strips->width * INKS, strips->heights[i], packed);
        bytes += packed->length;
    }
    note(way, now() - from, bytes);
    tiff_packers_free(packers);
}

static void theirs(const struct strips *strips, uint16_t tag, struct memory_file *file, struct way *way)
{
    size_t bytes = 0;
    double from = now();
    for (size_t i = 0; i < strips->count; i++) {
        struct memory_strip strip = {tag, (uint32_t)strips->width, (uint32_t)strips->heights[i], INKS, true};
        bytes += library_packs(file, &strip, strips->rows[i]);
    }
    note(way, now() - from, bytes);
}

static void compare(const struct strips *strips, enum tiff_compression compression, uint16_t tag)
{
    size_t room = strips->width * INKS * TIFF_ROWS * 2 + 65536;
    struct tiff_packed packed = {.memory = arena_take(strips->arena, room), .capacity = room};
    struct memory_file file = {.bytes = arena_take(strips->arena, room), .capacity = room};
    struct way own = {0}, other = {0};
    for (int run = 0; run < RUNS; run++) {
        ours(strips, compression, &packed, &own);
        theirs(strips, tag, &file, &other);
    }
    double all = (double)strips->bytes;
    printf("| %s | %.0f | %.0f | %.1f | %.2f %% | %.2f %% |\n", tiff_compression_name(compression),
           all / own.seconds / 1e6, all / other.seconds / 1e6, other.seconds / own.seconds,
           100 * (double)own.bytes / all, 100 * (double)other.bytes / all);
}

int main(int count, char **arguments)
{
    if (count < 2) {
        fprintf(stderr, "bench-pack PANEL.tif...\n");
        return 2;
    }
    struct machine machine = machine_real("/proc/self/exe");
    for (int i = 1; i < count; i++) {
        struct arena *arena = arena_new(&machine);
        struct strips *strips = arena_take(arena, sizeof *strips);
        strips->arena = arena;
        if (!read_panel(&machine, arguments[i], strips)) return 2;
        printf("%s%s, %.0f MB\n\n| | MB/s | the library | times faster | left | the library "
               "|\n|---|---|---|---|---|---|\n",
               i > 1 ? "\n" : "", arguments[i], (double)strips->bytes / 1e6);
        compare(strips, TIFF_LZW, COMPRESSION_LZW);
        compare(strips, TIFF_DEFLATE, COMPRESSION_ADOBE_DEFLATE);
        compare(strips, TIFF_ZSTD, COMPRESSION_ZSTD);
        arena_free(arena);
    }
    return 0;
}

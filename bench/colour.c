/* The fast colour path beside the exact one: how often and how far they differ, in levels of 255 and in
 * CIEDE2000 (the samples read back through the printing profile to CIELAB), and the colours that differ most.
 *
 *     ninja -C build tests/colour/bench-colour && build/tests/colour/bench-colour SOURCE.icc|-
 * DESTINATION.icc...
 *
 * SOURCE is a CMYK profile for the rows from CMYK, - for none. A million random pixels each, the same ones on
 * every run. */
#include "base/arena.h"
#include "base/machine.h"
#include "colour/difference.h"
#include "colour/transform.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { COUNT = 1000000, WORST = 3 };

static struct machine machine;
static struct arena *arena;

static struct str read_profile(const char *path)
{
    struct str bytes = {"", 0};
    struct error error = {0};
    if (!strcmp(path, "-")) return bytes;
    if (!machine_read(&machine, path, (size_t)64 << 20, arena, &bytes, &error)) {
        fprintf(stderr, "%s\n", error.text);
        exit(2);
    }
    return bytes;
}

/* A new picture of the pixels, COUNT of them. */
static uint8_t *converted(const struct colour_order *order, const uint8_t *in)
{
    struct error error = {0};
    struct colour_transform *transform = colour_transform_new(&machine, order, &error);
    if (!transform) {
        fprintf(stderr, "%s\n", error.text);
        exit(2);
    }
    uint8_t *out = arena_take_array(arena, COUNT, pixel_bytes(order->out));
    colour_transform_rows(transform, in, out, COUNT);
    colour_transform_free(transform);
    return out;
}

/* CIELAB of CMYK pixels, 16 bits a sample. */
static uint16_t *seen(struct str profile, const uint8_t *cmyk)
{
    struct colour_order order = {.source = profile,
                                 .in = PIXELS_CMYK8,
                                 .out = PIXELS_LAB16,
                                 .intent = INTENT_RELATIVE,
                                 .speed = COLOUR_EXACT};
    return (uint16_t *)(void *)converted(&order, cmyk);
}

static struct lab lab_of(const uint16_t *pixel)
{
    return (struct lab){pixel[0] / 655.35, pixel[1] / 257.0 - 128, pixel[2] / 257.0 - 128};
}

struct worst {
    double difference;
    size_t at;
};

static void keep(struct worst worst[WORST], double difference, size_t at)
{
    int place = WORST;
    while (place > 0 && worst[place - 1].difference < difference) place--;
    if (place == WORST) return;
    for (int i = WORST - 1; i > place; i--) worst[i] = worst[i - 1];
    worst[place] = (struct worst){difference, at};
}

static void print_pixel(const uint8_t *pixel, size_t samples)
{
    for (size_t s = 0; s < samples; s++) printf("%s%d", s ? " " : "", pixel[s]);
}

static void tell(const struct colour_order *order, const uint8_t *in, const uint8_t *fast,
                 const uint8_t *exact, const char *name)
{
    uint16_t *fast_lab = seen(order->destination, fast), *exact_lab = seen(order->destination, exact);
    struct worst worst[WORST] = {{0, 0}};
    double levels = 0, sum = 0;
    size_t off = 0;
    int most = 0;
    for (size_t i = 0; i < COUNT; i++) {
        double difference = difference_2000(lab_of(exact_lab + i * 3), lab_of(fast_lab + i * 3));
        sum += difference;
        keep(worst, difference, i);
        for (size_t s = i * 4; s < i * 4 + 4; s++) {
            int by = abs(fast[s] - exact[s]);
            levels += by, off += by > 1, most = by > most ? by : most;
        }
    }
    printf("| %s | %.3f | %.3f %% | %d | %.4f |", name, levels / COUNT / 4, 100.0 * (double)off / COUNT / 4,
           most, sum / COUNT);
    for (int i = 0; i < WORST; i++) {
        size_t at = worst[i].at, samples = pixel_samples(order->in);
        printf("%s%.2f (", i ? "; " : " ", worst[i].difference);
        print_pixel(in + at * samples, samples);
        printf(": ");
        print_pixel(exact + at * 4, 4);
        printf(", fast ");
        print_pixel(fast + at * 4, 4);
        printf(")");
    }
    printf(" |\n");
}

static void compare(struct str source, enum pixel_format in, struct str destination, const uint8_t *pixels,
                    const char *name)
{
    struct colour_order order = {.source = source,
                                 .in = in,
                                 .destination = destination,
                                 .out = PIXELS_CMYK8,
                                 .intent = INTENT_RELATIVE,
                                 .black_point = true,
                                 .speed = COLOUR_FAST};
    const uint8_t *fast = converted(&order, pixels);
    order.speed = COLOUR_EXACT;
    tell(&order, pixels, fast, converted(&order, pixels), name);
}

static uint8_t *random_pixels(void)
{
    uint8_t *pixels = arena_take_array(arena, COUNT, 4);
    uint32_t state = 1; /* xorshift */
    for (size_t i = 0; i < (size_t)COUNT * 4; i++) {
        state ^= state << 13, state ^= state >> 17, state ^= state << 5;
        pixels[i] = (uint8_t)(state >> 8);
    }
    return pixels;
}

int main(int count, char **arguments)
{
    if (count < 3) {
        fprintf(stderr, "bench-colour SOURCE.icc|- DESTINATION.icc...\n");
        return 2;
    }
    machine = machine_real("/proc/self/exe");
    arena = arena_new(&machine);
    struct str source = read_profile(arguments[1]), none = {"", 0};
    const uint8_t *pixels = random_pixels();
    printf("| to, from | mean, levels | off by more than 1 | most | mean CIEDE2000 | largest (in: exact, "
           "fast) |\n"
           "|---|---|---|---|---|---|\n");
    for (int i = 2; i < count; i++) {
        struct str destination = read_profile(arguments[i]);
        const char *name = strrchr(arguments[i], '/') ? strrchr(arguments[i], '/') + 1 : arguments[i];
        compare(none, PIXELS_RGB8, destination, pixels, arena_format(arena, "%s, sRGB", name));
        compare(none, PIXELS_LAB8, destination, pixels, arena_format(arena, "%s, Lab", name));
        if (source.length)
            compare(source, PIXELS_CMYK8, destination, pixels, arena_format(arena, "%s, CMYK", name));
    }
    arena_free(arena);
    return 0;
}

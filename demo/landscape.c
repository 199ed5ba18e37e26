#include "landscape.h"
#include "base/number.h"
#include "base/pool.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <jpeglib.h>

struct rgb {
    float r, g, b;
};

enum { HILLS = 5, TREES = 44 };
/* Heights as shares of the picture, from the bottom. */
static const float shore = 0.36f, sun_x = 0.63f, sun_y = 0.535f;

struct scene {
    int width, height;
    uint8_t *rgb;
    float *ridge[HILLS]; /* for each column, far hills first */
    float *trees;        /* top of the dark bank in front */
};

/* ---- noise ---- */

static float lattice(uint32_t x, uint32_t y)
{
    uint32_t h = x * 0x9e3779b1u ^ y * 0x85ebca77u;
    h = (h ^ h >> 15) * 0x2c1b3c6du;
    h = (h ^ h >> 12) * 0x297a2d39u;
    return (float)((h ^ h >> 15) >> 8) * (1.0f / 16777216.0f);
}

/* Between 0 and 1, smooth, features one unit in size. */
static float noise(float x, float y)
{
    float fx = floorf(x), fy = floorf(y), u = x - fx, v = y - fy;
    uint32_t ix = (uint32_t)(int32_t)fx, iy = (uint32_t)(int32_t)fy;
    u = u * u * (3 - 2 * u);
    v = v * v * (3 - 2 * v);
    float low = lattice(ix, iy) * (1 - u) + lattice(ix + 1, iy) * u;
    float high = lattice(ix, iy + 1) * (1 - u) + lattice(ix + 1, iy + 1) * u;
    return low * (1 - v) + high * v;
}

static float octaves(float x, float y, int count)
{
    float sum = 0, weight = 0.5f;
    for (int i = 0; i < count; i++, weight *= 0.5f) {
        sum += weight * noise(x, y);
        x = x * 2 + 17;
        y = y * 2 + 5;
    }
    return sum;
}

/* ---- light ---- */

static struct rgb mix(struct rgb a, struct rgb b, float t)
{
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    return (struct rgb){a.r + (b.r - a.r) * t, a.g + (b.g - a.g) * t, a.b + (b.b - a.b) * t};
}

static float smooth(float low, float high, float x)
{
    float t = (x - low) / (high - low);
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    return t * t * (3 - 2 * t);
}

/* Clear evening sky with lit clouds; x in picture heights, y as a share. */
static struct rgb sky(float x, float y, float aspect)
{
    static const struct rgb zenith = {28, 62, 116}, middle = {112, 134, 170}, low = {250, 176, 104},
                            horizon = {255, 222, 158}, lit = {255, 204, 158}, shaded = {148, 112, 138},
                            sun = {255, 246, 214};
    struct rgb c = y > 0.72f   ? mix(middle, zenith, (y - 0.72f) / 0.28f)
                   : y > 0.52f ? mix(low, middle, smooth(0.52f, 0.72f, y))
                               : mix(horizon, low, smooth(0.38f, 0.52f, y));
    float dx = x - sun_x * aspect, dy = y - sun_y, far = dx * dx + dy * dy * 1.4f;
    float cloud = smooth(0.50f, 0.68f, octaves(x * 2.6f + 8, y * 10.5f, 5));
    cloud *= smooth(0.56f, 0.70f, y);
    c = mix(c, mix(lit, shaded, smooth(0.0f, 1.1f, far)), cloud * 0.8f);
    c = mix(c, sun, expf(-far * 9) * 0.75f);
    return mix(c, sun, smooth(0.0042f, 0.0034f, far));
}

static struct rgb hill(const struct scene *scene, int i, float x, float y, float top)
{
    static const struct rgb tint[HILLS] = {
        {168, 138, 156}, {112, 104, 136}, {70, 88, 106}, {58, 84, 80}, {36, 62, 50}};
    static const struct rgb glow = {255, 196, 128};
    float aspect = (float)scene->width / (float)scene->height, depth = (float)i / (HILLS - 1);
    float rough = octaves(x * (18 + 30 * depth), y * (26 + 40 * depth), 3) - 0.44f;
    float light = 1 + rough * (0.06f + 0.95f * depth);
    struct rgb c = tint[i];
    float dx = x - sun_x * aspect;
    c = mix(c, glow, (0.42f - 0.3f * depth) * expf(-dx * dx * 2.2f));
    c = mix(c, glow, 0.45f * smooth(0.012f, 0, top - y) * expf(-dx * dx));
    /* mist gathers at the foot of each range */
    c = mix(c, (struct rgb){214, 180, 170}, (0.5f - 0.38f * depth) * smooth(0.13f, 0, y - shore));
    return (struct rgb){c.r * light, c.g * light, c.b * light};
}

static struct rgb land_or_sky(const struct scene *scene, int column, float x, float y)
{
    float aspect = (float)scene->width / (float)scene->height;
    for (int i = HILLS - 1; i >= 0; i--)
        if (y < scene->ridge[i][column]) return hill(scene, i, x, y, scene->ridge[i][column]);
    return sky(x, y, aspect);
}

/* The lake mirrors what stands above it, drawn out by small waves. */
static struct rgb lake(const struct scene *scene, int column, float x, float y)
{
    float depth = (shore - y) / shore; /* 0 at the far bank */
    float wave = octaves(x * (5 + 4 / (0.1f + depth)), y * 160 / (0.25f + depth), 3) - 0.44f;
    int shifted = column + (int)(wave * 0.05f * (float)scene->height);
    shifted = shifted < 0 ? 0 : shifted >= scene->width ? scene->width - 1 : shifted;
    float mirrored = shore + (shore - y) * 1.1f + wave * 0.07f * (0.2f + depth);
    struct rgb c = land_or_sky(scene, shifted, x + wave * 0.05f, mirrored < shore ? shore : mirrored);
    c = mix(c, (struct rgb){30, 66, 92}, 0.22f + 0.34f * depth);
    float aspect = (float)scene->width / (float)scene->height;
    float dx = (x - sun_x * aspect) / (0.05f + 0.16f * depth);
    float glitter = smooth(0.02f, 0.2f, wave) * expf(-dx * dx);
    return mix(c, (struct rgb){255, 226, 168}, glitter * 0.85f);
}

/* ---- the scene ---- */

static void raise_ridges(struct scene *scene)
{
    static const float base[HILLS] = {0.53f, 0.485f, 0.435f, 0.40f, 0.368f};
    static const float rise[HILLS] = {0.36f, 0.30f, 0.20f, 0.12f, 0.06f};
    static const float wide[HILLS] = {1.5f, 1.9f, 2.6f, 3.2f, 4.2f};
    for (int i = 0; i < HILLS; i++)
        for (int column = 0; column < scene->width; column++) {
            float x = (float)column / (float)scene->height;
            float shape = octaves(x * wide[i] + (float)i * 31, (float)i * 7.3f, 3);
            float edge = octaves(x * wide[i] * 16, (float)i * 3.1f + 40, 4) - 0.47f;
            float forest = i >= 3 ? (octaves(x * 190, (float)i, 2) - 0.3f) * 0.016f : 0;
            scene->ridge[i][column] = base[i] + rise[i] * (shape - 0.42f) + 0.016f * edge + forest;
        }
}

/* A bank with reeds and young firs in front, darkest of all. */
static void plant_bank(struct scene *scene)
{
    float height = (float)scene->height;
    for (int column = 0; column < scene->width; column++) {
        float x = (float)column / height;
        scene->trees[column] =
            0.05f + 0.05f * octaves(x * 1.7f, 9, 3) + 0.022f * noise(x * 260, 3) * noise(x * 31, 7);
    }
    for (int tree = 0; tree < TREES; tree++) {
        float share = lattice((uint32_t)tree, 77);
        /* firs stand at both sides and leave the view open */
        float x = (share < 0.5f ? share * share * 1.5f : 1 - (1 - share) * (1 - share) * 0.9f) *
                  (float)scene->width;
        float tall = (0.10f + 0.22f * lattice((uint32_t)tree, 5)) * (share < 0.5f ? 1.15f : 0.75f);
        float half = tall * 0.15f * height;
        for (int column = (int)(x - half); column <= (int)(x + half); column++) {
            if (column < 0 || column >= scene->width) continue;
            float off = fabsf((float)column - x) / half;
            float tier = off * 9 - floorf(off * 9); /* each whorl of branches hangs a little */
            float top = 0.06f + tall * (1 - off * 0.94f - 0.07f * (1 - tier) + 0.035f);
            if (top > scene->trees[column]) scene->trees[column] = top;
        }
    }
}

static struct rgb scene_at(const struct scene *scene, int column, float x, float y)
{
    float tree = scene->trees[column];
    if (y < tree) {
        float leaf = octaves(x * 90, y * 90, 2);
        return mix((struct rgb){8, 20, 22}, (struct rgb){26, 48, 40}, leaf * smooth(0.0f, 0.03f, tree - y));
    }
    return y < shore ? lake(scene, column, x, y) : land_or_sky(scene, column, x, y);
}

static void draw_row(void *context, size_t row)
{
    const struct scene *scene = context;
    uint8_t *out = scene->rgb + row * (size_t)scene->width * 3;
    float y = 1 - ((float)row + 0.5f) / (float)scene->height;
    for (int column = 0; column < scene->width; column++, out += 3) {
        struct rgb c = scene_at(scene, column, (float)column / (float)scene->height, y);
        float grain = (lattice((uint32_t)column, (uint32_t)row) - 0.5f) * 5;
        out[0] = (uint8_t)clamp_double((double)(c.r + grain), 0, 255);
        out[1] = (uint8_t)clamp_double((double)(c.g + grain), 0, 255);
        out[2] = (uint8_t)clamp_double((double)(c.b + grain), 0, 255);
    }
}

struct photo landscape_make(struct arena *arena, int width, int height)
{
    struct scene scene = {.width = width, .height = height};
    scene.rgb = arena_take_array(arena, (size_t)width * (size_t)height, 3);
    for (int i = 0; i < HILLS; i++) scene.ridge[i] = arena_take_array(arena, (size_t)width, sizeof(float));
    scene.trees = arena_take_array(arena, (size_t)width, sizeof(float));
    raise_ridges(&scene);
    plant_bank(&scene);
    struct pool *pool = pool_new(arena_machine(arena), pool_processors());
    pool_run(pool, (size_t)height, draw_row, &scene);
    pool_free(pool);
    return (struct photo){width, height, scene.rgb};
}

/* libjpeg cannot fail here but for want of memory, and then ends the program by its own message. */
struct str landscape_jpeg(struct arena *arena, const struct photo *photo, struct error *error)
{
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr manager;
    unsigned char *bytes = NULL;
    unsigned long length = 0;
    jpeg.err = jpeg_std_error(&manager);
    jpeg_create_compress(&jpeg);
    jpeg_mem_dest(&jpeg, &bytes, &length);
    jpeg.image_width = (JDIMENSION)photo->width;
    jpeg.image_height = (JDIMENSION)photo->height;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, 82, TRUE);
    jpeg_start_compress(&jpeg, TRUE);
    while (jpeg.next_scanline < jpeg.image_height) {
        JSAMPROW row = photo->rgb + (size_t)jpeg.next_scanline * (size_t)photo->width * 3;
        jpeg_write_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    struct str copy = {arena_copy(arena, (const char *)bytes, length), length};
    free(bytes);
    if (!copy.length) error_words(error, FAILURE_MACHINE, "the photograph could not be packed as JPEG");
    return copy;
}

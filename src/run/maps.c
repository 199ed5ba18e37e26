/* Finds or makes a surface's ink and detail maps: fingerprint of the inputs, cache file, coarse rendering.
 * Called before planning; rendering is left to art, reduction of the pixels to scan. */
#include "base/arena.h"
#include "base/hash.h"
#include "base/machine.h"
#include "base/path.h"
#include "base/pool.h"
#include "base/text.h"
#include "base/units.h"
#include "colour/profile.h"
#include "colour/transform.h"
#include "raster/aside.h"
#include "scan/scan.h"
#include "steps.h"
#include <string.h>
#include <unistd.h>

/* Coverage of any panel is judged from this; on large surfaces a pixel is a millimetre. */
static const double COARSE_PPI = 36, LARGE_PPI = MM_PER_INCH, LARGE_M2 = 20;
enum { PREVIEW_MOST = 1600, CACHE_VERSION = 7, BLOCK = 1 << 15 };
#define CACHE_BYTES_MOST ((size_t)1 << 30)

/* ---- the fingerprint of everything that the maps come from ---- */

/* By its bytes: another profile may come under the same name. One that cannot be read is told where the
 * artwork is rendered. */
static uint64_t hash_profile(uint64_t hash, struct machine *machine, const char *path)
{
    if (!path) return hash;
    struct arena *scratch = arena_new(machine);
    struct str bytes = {"", 0};
    machine_read(machine, path, PROFILE_BYTES_MOST, scratch, &bytes, NULL);
    hash = hash_bytes(hash, bytes.bytes, bytes.length);
    arena_free(scratch);
    return hash;
}

static uint64_t hash_artwork(uint64_t hash, struct machine *machine, const struct placed_art *placed)
{
    hash = hash_bytes(hash, &placed->file_hash, sizeof placed->file_hash);
    hash = hash_bytes(hash, &placed->to_surface, sizeof placed->to_surface);
    hash = hash_bytes(hash, &placed->clip, sizeof placed->clip);
    hash = hash_bytes(hash, &placed->spec->page, sizeof placed->spec->page);
    return hash_profile(hash, machine, placed->spec->profile_path);
}

static uint64_t maps_fingerprint(const struct run *run, const struct run_surface *s,
                                 const struct pixel_grid *grid)
{
    const struct condition *condition = s->surface->condition;
    struct str profile = step_profile(run, s->surface);
    int version = CACHE_VERSION;
    uint64_t hash = hash_bytes(HASH_START, &version, sizeof version);
    hash = hash_bytes(hash, &grid->box, sizeof grid->box);
    hash = hash_bytes(hash, &grid->ppi, sizeof grid->ppi);
    hash = hash_bytes(hash, &run->options.exact, sizeof run->options.exact);
    hash = hash_bytes(hash, profile.bytes, profile.length);
    if (condition) {
        hash = hash_bytes(hash, &condition->intent, sizeof condition->intent);
        hash = hash_bytes(hash, &condition->black_point, sizeof condition->black_point);
    }
    for (size_t i = 0; i < s->art.count; i++) hash = hash_artwork(hash, run->machine, &s->art.placed[i]);
    return hash;
}

/* ---- rendering ---- */

struct colours {
    struct colour_transform *to_lab, *to_rgb;
};

static void to_lab(void *self, const uint8_t *cmyk, uint8_t *lab, size_t count)
{
    colour_transform_rows(((struct colours *)self)->to_lab, cmyk, lab, count);
}

static void to_rgb(void *self, const uint8_t *cmyk, uint8_t *rgb, size_t count)
{
    colour_transform_rows(((struct colours *)self)->to_rgb, cmyk, rgb, count);
}

static bool colours_open(struct run *run, struct str profile, struct colours *colours, struct error *error)
{
    struct colour_order order = {.source = profile,
                                 .in = PIXELS_CMYK8,
                                 .out = PIXELS_LAB8,
                                 .intent = INTENT_RELATIVE,
                                 .speed = COLOUR_COARSE,
                                 .pool = run->pool};
    colours->to_lab = colour_transform_new(run->machine, &order, error);
    order.out = PIXELS_RGB8;
    order.black_point = true;
    colours->to_rgb = colours->to_lab ? colour_transform_new(run->machine, &order, error) : NULL;
    return colours->to_rgb;
}

/* Rows are scanned while others are made, where there is a processor for it. */
static bool scan_beside(struct run *run, const struct art_work *work, const struct pixel_grid *grid,
                        struct arena *scratch, struct strip_sink sink, struct error *error)
{
    if (pool_threads(run->pool) < 2) return art_render(run->machine, work, grid, scratch, sink, error);
    struct aside *aside = aside_new(scratch, sink);
    bool ok = art_render(run->machine, work, grid, scratch, aside_sink(aside), error);
    aside_free(aside);
    return ok;
}

static bool maps_render(struct run *run, struct run_surface *s, const struct pixel_grid *grid,
                        struct arena *arena, struct surface_scan **maps, struct error *error)
{
    struct art_work work = step_work(run, s);
    struct colours colours = {0};
    bool ok = colours_open(run, work.profile, &colours, error);
    if (ok) {
        struct scan_colours scanned = {&colours, to_lab, to_rgb};
        struct scan *scan = scan_new(arena, grid->box, grid->ppi, &scanned, PREVIEW_MOST);
        struct arena *scratch = arena_new(run->machine); /* rows on their way */
        ok = scan_beside(run, &work, grid, scratch, scan_sink(scan), error);
        arena_free(scratch);
        if (ok) *maps = scan_result(scan);
    }
    colour_transform_free(colours.to_lab);
    colour_transform_free(colours.to_rgb);
    return ok;
}

/* ---- the cache: a header, then the arrays one behind the other ---- */

struct map_part {
    void *pointer; /* the address of the array's pointer in the maps */
    size_t size;
};
enum { PARTS = INK_CHANNELS + 5 };

struct cache_header {
    char magic[8];
    uint64_t fingerprint;
    struct surface_scan maps; /* its pointers are not read again */
    uint64_t check;           /* of the maps' own numbers, and of all that follows, block by block */
};
_Static_assert(sizeof(struct cache_header) % sizeof(uint16_t) == 0,
               "the parts behind it are used where they lie");

static void parts_of(struct surface_scan *maps, struct map_part parts[PARTS])
{
    struct ink_map *ink = &maps->ink;
    struct detail_map *details[] = {&maps->detail.upright, &maps->detail.lying};
    size_t n = 0;
    for (int i = 0; i < INK_CHANNELS; i++)
        parts[n++] = (struct map_part){&ink->channel[i], ink->columns * ink->rows * 2};
    for (int i = 0; i < 2; i++) {
        size_t size = details[i]->columns * details[i]->rows * 2;
        parts[n++] = (struct map_part){&details[i]->across, size};
        parts[n++] = (struct map_part){&details[i]->along, size};
    }
    struct picture *preview = &maps->preview;
    parts[n] = (struct map_part){&preview->rgb, (size_t)preview->width * (size_t)preview->height * 3};
}

/* What a damaged or foreign file says may be too large to multiply. */
static bool has_sizes(const struct surface_scan *maps)
{
    const struct detail_map *upright = &maps->detail.upright, *lying = &maps->detail.lying;
    size_t sides[] = {maps->ink.columns, maps->ink.rows, upright->columns,
                      upright->rows,     lying->columns, lying->rows};
    for (size_t i = 0; i < sizeof sides / sizeof *sides; i++)
        if (sides[i] > CACHE_BYTES_MOST) return false;
    return maps->preview.width > 0 && maps->preview.height > 0;
}

static uint64_t check_start(const struct cache_header *header)
{
    return hash_bytes(HASH_START, &header->maps, sizeof header->maps);
}

static size_t block_at(const struct map_part *part, size_t at)
{
    return part->size - at < BLOCK ? part->size - at : BLOCK;
}

static void cache_store(struct run *run, const char *path, uint64_t mark, struct surface_scan *maps)
{
    struct cache_header header;
    memset(&header, 0, sizeof header);
    memcpy(header.magic, "lapmaps", 8);
    header.fingerprint = mark;
    header.maps = *maps;
    header.check = check_start(&header);
    struct map_part parts[PARTS];
    parts_of(maps, parts);
    for (int i = 0; i < PARTS; i++)
        for (size_t at = 0; at < parts[i].size; at += BLOCK)
            header.check = hash_bytes(header.check, (char *)pointer_load(parts[i].pointer) + at,
                                      block_at(&parts[i], at));
    struct machine *m = run->machine;
    struct out_file file;
    if (!m->create(m, path, &file, NULL)) return; /* a cache that cannot be kept is no failure */
    bool ok = machine_write_fd(file.fd, &header, sizeof header, path, NULL);
    for (int i = 0; ok && i < PARTS; i++)
        ok = machine_write_fd(file.fd, pointer_load(parts[i].pointer), parts[i].size, path, NULL);
    if (ok)
        m->commit(m, &file, false, NULL);
    else
        m->abandon(m, &file);
}

/* Whether the file has what was stored: read block by block, so that little of it is in memory at a time. */
static bool parts_whole(int fd, const struct cache_header *header, const struct map_part parts[PARTS])
{
    unsigned char block[BLOCK];
    uint64_t check = check_start(header);
    off_t from = sizeof *header;
    for (int i = 0; i < PARTS; i++)
        for (size_t at = 0; at < parts[i].size; at += BLOCK) {
            size_t size = block_at(&parts[i], at);
            if (pread(fd, block, size, from) != (ssize_t)size) return false;
            check = hash_bytes(check, block, size);
            from += (off_t)size;
        }
    return pread(fd, block, 1, from) == 0 && check == header->check;
}

/* The file's memory as the maps' arrays: what the planner never looks at never comes in. */
static struct surface_scan *parts_map(struct run *run, struct run_surface *s, const char *path, int fd)
{
    struct cache_header header;
    if (pread(fd, &header, sizeof header, 0) != sizeof header || memcmp(header.magic, "lapmaps", 8) ||
        header.fingerprint != s->fingerprint || !has_sizes(&header.maps))
        return NULL;
    struct surface_scan *maps = arena_take(run->arena, sizeof *maps);
    *maps = header.maps;
    struct map_part parts[PARTS];
    parts_of(maps, parts);
    if (!parts_whole(fd, &header, parts) || !machine_map(fd, CACHE_BYTES_MOST, path, &s->mapped, NULL))
        return NULL;
    char *at = (char *)s->mapped.bytes + sizeof header;
    for (int i = 0; i < PARTS; at += parts[i++].size) pointer_store(parts[i].pointer, at);
    return maps;
}

static struct surface_scan *cache_load(struct run *run, struct run_surface *s, const char *path)
{
    if (!run->machine->status(run->machine, path).exists) return NULL;
    int fd = run->machine->open_file(run->machine, path, NULL);
    if (fd < 0) return NULL;
    struct surface_scan *maps = parts_map(run, s, path, fd);
    close(fd);
    return maps;
}

void maps_rest(const struct run *run)
{
    for (size_t i = 0; i < run->surface_count; i++) machine_rest(run->surfaces[i].mapped);
}

void maps_drop(struct run *run)
{
    for (size_t i = 0; i < run->surface_count; i++) {
        machine_unmap(&run->surfaces[i].mapped);
        if (run->surfaces[i].unkept) arena_free(run->surfaces[i].unkept);
        run->surfaces[i].unkept = NULL;
    }
}

/* Where the maps are kept and what of; the surface's fingerprint is noted on the way. */
static const char *maps_path(struct run *run, struct run_surface *s, struct pixel_grid *grid)
{
    bool large = rect_area(surface_bleed_box(s->surface)) > LARGE_M2 * 1e6;
    *grid = art_coarse_grid(s->surface, &s->art, large ? LARGE_PPI : COARSE_PPI);
    s->coarse_ppi = grid->ppi;
    s->fingerprint = maps_fingerprint(run, s, grid);
    return path_join(run->arena, run->out, arena_format(run->arena, "cache/%s.maps", s->surface->id));
}

static bool has_maps(const struct run *run, const struct run_surface *s)
{
    return s->art.count && step_profile(run, s->surface).length;
}

static void use_maps(struct run_surface *s, struct surface_scan *maps)
{
    s->ink = &maps->ink;
    s->detail = &maps->detail;
    s->preview = &maps->preview;
}

bool maps_find(struct run *run, struct run_surface *s)
{
    if (s->preview || !has_maps(run, s)) return true;
    struct pixel_grid grid;
    const char *path = maps_path(run, s, &grid);
    struct surface_scan *maps = cache_load(run, s, path);
    if (maps) use_maps(s, maps);
    return maps;
}

/* New maps, from the cache if it could keep them: what lies there need not stay in memory. */
static bool make_maps(struct run *run, struct run_surface *s, struct arena *arena, struct error *error)
{
    struct pixel_grid grid;
    const char *path = maps_path(run, s, &grid);
    struct surface_scan *maps;
    if (!maps_render(run, s, &grid, arena, &maps, error)) return false;
    cache_store(run, path, s->fingerprint, maps);
    struct surface_scan *kept = cache_load(run, s, path);
    use_maps(s, kept ? kept : maps);
    return true;
}

/* Artwork that cannot be rendered is its file's damage, of which the facts said nothing: the surface goes on
 * without it, so that the next damaged one is told of too. */
static bool take_damage(struct run *run, struct run_surface *s, struct error *error)
{
    if (cancel_asked(run->options.cancel)) return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
    if (error->kind != FAILURE_INPUT) return false;
    struct text files = text_new(run->arena);
    for (size_t i = 0; i < s->art.count; i++)
        text_addf(&files, "%s%s", i ? ", " : "", s->art.placed[i].spec->file);
    bool named = str_starts(str_from(error->text), s->art.placed[0].spec->file);
    finding_add(&run->findings, "artwork-damaged", s->surface->name, "artwork-damaged",
                ARGUMENTS(arg_words("files", named ? "" : text_string(&files)), arg_words("why", error->text),
                          arg_flag("named", named)));
    s->art.count = 0;
    return true;
}

bool maps_get(struct run *run, struct run_surface *s, struct error *error)
{
    if (maps_find(run, s)) return true;
    progress_say(run->options.progress,
                 sentence_words(run->arena, "looking-artwork-through",
                                ARGUMENTS(arg_words("surface", s->surface->name))),
                 0, 1);
    struct arena *arena = arena_new(run->machine);
    bool ok = make_maps(run, s, arena, error) || take_damage(run, s, error);
    if (ok && !s->mapped.length)
        s->unkept = arena;
    else
        arena_free(arena);
    return ok;
}

/* States of a surface's artwork: telling them by digests, keeping them in OUT/printed. */
#include "printed_inner.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/path.h"
#include "base/text.h"
#include "base/units.h"
#include "digests.h"
#include "raster/tiff_out.h"
#include <math.h>
#include <string.h>
#include <unistd.h>

static const double PICTURE_M2 = 16; /* a pixel for each millimetre up to this: 64 MB in memory */
enum { DIGEST_DIGITS = 64, LIST_MOST = 16 << 20, NAMES_MOST = 1 << 20 };

static const char *printed_path(const struct run *run, const char *state, const char *ending)
{
    return path_join(run->arena, run->out, arena_format(run->arena, "printed/%s%s", state, ending));
}

/* ---- digests of files ---- */

/* The cache is lines of a fingerprint of the file (placed_art.file_hash) and the digest. */
static const char *digests_path(const struct run *run)
{
    return path_join(run->arena, run->out, "cache/digests.txt");
}

static struct text digests_read(const struct run *run)
{
    struct text known = text_new(run->arena);
    struct str bytes;
    if (run->machine->status(run->machine, digests_path(run)).exists &&
        machine_read(run->machine, digests_path(run), LIST_MOST, run->arena, &bytes, NULL))
        text_add_bytes(&known, bytes.bytes, bytes.length);
    return known;
}

static bool known_digest(const struct text *known, const char *name, char hex[65])
{
    const char *at = strstr(text_string(known), name);
    if (!at || strlen(at) < strlen(name) + DIGEST_DIGITS) return false;
    memcpy(hex, at + strlen(name), DIGEST_DIGITS);
    hex[DIGEST_DIGITS] = 0;
    return strspn(hex, "0123456789abcdef") == DIGEST_DIGITS;
}

static bool digest_of_art(const struct run *run, const struct placed_art *placed, struct text *known,
                          char hex[65], struct error *error)
{
    const char *name = arena_format(run->arena, "%08x%08x ", (unsigned)(placed->file_hash >> 32),
                                    (unsigned)placed->file_hash);
    if (known_digest(known, name, hex)) return true;
    if (!digest_of_file(run->machine, placed->spec->path, run->options.cancel, hex, error)) return false;
    text_addf(known, "%s%s\n", name, hex);
    return true;
}

/* ---- states ---- */

/* One artwork but for its name. */
static bool printed_add_line(const struct run *run, const struct placed_art *placed, struct text *known,
                             struct text *line, struct error *error)
{
    char hex[65], profile[65] = "-";
    const struct affine *m = &placed->to_surface;
    const struct rect *c = &placed->clip;
    if (!digest_of_art(run, placed, known, hex, error)) return false;
    if (placed->spec->profile_path &&
        !digest_of_file(run->machine, placed->spec->profile_path, run->options.cancel, profile, error))
        return false;
    text_addf(line, "page %d sha256 %s at %.6f %.6f %.6f %.6f %.3f %.3f", placed->spec->page, hex, m->a, m->b,
              m->c, m->d, m->e, m->f);
    text_addf(line, " clip %.3f %.3f %.3f %.3f profile %s", c->x0, c->y0, c->x1, c->y1, profile);
    return true;
}

static void place_picture(const struct surface *surface, struct printed_art *art)
{
    art->box = surface_bleed_box(surface);
    art->pixel_mm = fmax(1, sqrt(rect_area(art->box) / (PICTURE_M2 * 1e6)));
}

static const char *box_line(struct arena *arena, const struct printed_art *art)
{
    const struct rect *b = &art->box;
    return arena_format(arena, "box %.3f %.3f %.3f %.3f pixel %.6f\n", b->x0, b->y0, b->x1, b->y1,
                        art->pixel_mm);
}

static const char *sha_of_text(struct arena *arena, const struct text *text)
{
    char hex[65];
    struct sha256 sha;
    sha256_start(&sha);
    sha256_add(&sha, text_string(text), text->length);
    sha256_finish(&sha, hex);
    return arena_copy_string(arena, hex);
}

static void digests_write(const struct run *run, const struct text *known, size_t before)
{
    struct str bytes = {text_string(known), known->length};
    if (known->length > before && run->lock >= 0)
        machine_write(run->machine, digests_path(run), bytes, false, NULL);
}

bool printed_digest(const struct run *run, const struct placed_art *placed, char hex[65], struct error *error)
{
    struct text known = digests_read(run);
    size_t before = known.length;
    if (!digest_of_art(run, placed, &known, hex, error)) return false;
    digests_write(run, &known, before);
    return true;
}

bool printed_read_now(const struct run *run, const struct run_surface *s, struct printed_art *art,
                      struct error *error)
{
    struct text known = digests_read(run), bare = text_new(run->arena), lines = text_new(run->arena);
    size_t before = known.length;
    for (size_t i = 0; i < s->art.count; i++) {
        struct text line = text_new(run->arena);
        if (!printed_add_line(run, &s->art.placed[i], &known, &line, error)) return false;
        text_addf(&bare, "%s\n", text_string(&line));
        text_addf(&lines, "%s file %s\n", text_string(&line), s->art.placed[i].spec->file);
    }
    digests_write(run, &known, before);
    place_picture(s->surface, art);
    text_add(&bare, box_line(run->arena, art));
    art->state = sha_of_text(run->arena, &bare), art->lines = text_string(&lines);
    return true;
}

/* "box X0 Y0 X1 Y1 pixel P" */
static bool printed_read_box(const char *line, struct printed_art *art)
{
    double *into[] = {&art->box.x0, &art->box.y0, &art->box.x1, &art->box.y1, &art->pixel_mm};
    if (strncmp(line, "box", 3)) return false;
    const char *at = line + 3;
    for (size_t i = 0; i < sizeof into / sizeof *into; i++) {
        at += strspn(at, i < 4 ? " " : " pixel");
        size_t used = str_number(str_from(at), into[i]);
        if (!used) return false;
        at += used;
    }
    return art->pixel_mm >= 0.5 && rect_width(art->box) > 0 && rect_height(art->box) > 0;
}

bool printed_read_kept(const struct run *run, const char *state, struct printed_art *art)
{
    struct str bytes;
    const char *path = printed_path(run, state, ".txt");
    if (!run->machine->status(run->machine, path).exists ||
        !machine_read(run->machine, path, LIST_MOST, run->arena, &bytes, NULL))
        return false;
    const char *text = arena_copy(run->arena, bytes.bytes, bytes.length), *end = strchr(text, '\n');
    art->state = state;
    art->lines = end ? end + 1 : "";
    return printed_read_box(text, art);
}

/* ---- pictures ---- */

bool printed_has_picture(const struct run *run, const char *state)
{
    return run->machine->status(run->machine, printed_path(run, state, ".tif")).exists;
}

static struct pixel_grid grid_of_picture(const struct printed_art *art)
{
    struct pixel_grid grid = {.ppi = MM_PER_INCH / art->pixel_mm,
                              .width = (int)ceil(rect_width(art->box) / art->pixel_mm - 1e-6),
                              .height = (int)ceil(rect_height(art->box) / art->pixel_mm - 1e-6)};
    grid.box = (struct rect){art->box.x0, art->box.y1 - grid.height * art->pixel_mm,
                             art->box.x0 + grid.width * art->pixel_mm, art->box.y1};
    return grid;
}

static bool render_to(struct run *run, struct run_surface *s, const struct pixel_grid *grid,
                      struct out_file *file, struct error *error)
{
    struct art_work work = step_work(run, s);
    struct arena *arena = arena_new(run->machine);
    struct tiff_order order = {.width = grid->width,
                               .height = grid->height,
                               .ppi = grid->ppi,
                               .compression = TIFF_DEFLATE,
                               .profile = work.profile,
                               .software = RUN_SOFTWARE};
    struct tiff_out *out = tiff_out_new(arena, file->fd, file->path, &order, error);
    bool ok = out && art_render(run->machine, &work, grid, arena, tiff_out_sink(out), error);
    tiff_out_drop(out);
    arena_free(arena);
    return ok;
}

static bool write_picture(struct run *run, struct run_surface *s, const struct printed_art *art,
                          struct error *error)
{
    if (!s->art.count || !step_profile(run, s->surface).length || printed_has_picture(run, art->state))
        return true;
    struct machine *m = run->machine;
    struct out_file file;
    struct pixel_grid grid = grid_of_picture(art);
    progress_say(run->options.progress,
                 sentence_words(run->arena, "keeping-what-is-printed",
                                ARGUMENTS(arg_words("surface", s->surface->name))),
                 0, 1);
    if (!m->create(m, printed_path(run, art->state, ".tif"), &file, error)) return false;
    if (render_to(run, s, &grid, &file, error)) return m->commit(m, &file, false, error);
    m->abandon(m, &file);
    return false;
}

bool printed_write(struct run *run, struct run_surface *s, const struct printed_art *art, struct error *error)
{
    const char *path = printed_path(run, art->state, ".txt");
    struct text text = text_new(run->arena);
    if (!write_picture(run, s, art, error)) return false;
    if (run->machine->status(run->machine, path).exists) return true;
    text_add(&text, box_line(run->arena, art)), text_add(&text, art->lines);
    return machine_write(run->machine, path, (struct str){text_string(&text), text.length}, false, error);
}

static bool printed_take_shape(void *self, const struct strip_shape *shape, struct error *error)
{
    const struct printed_picture *picture = self;
    bool same =
        shape->width == picture->width && shape->height == picture->height && shape->format == PIXELS_CMYK8;
    return same || error_set(error, FAILURE_INPUT, "it-is-not-picture-that-was", NULL);
}

static bool printed_take_strip(void *self, const struct strip *strip, struct error *error)
{
    (void)error;
    struct printed_picture *picture = self;
    size_t bytes = (size_t)picture->width * 4;
    for (int y = 0; y < strip->rows; y++)
        memcpy(picture->pixels + (size_t)(strip->y + y) * bytes, strip->pixels + (size_t)y * strip->stride,
               bytes);
    return true;
}

static bool take_end(void *self, struct error *error)
{
    return (void)self, (void)error, true;
}

bool printed_load(const struct run *run, const struct printed_art *art, struct arena *arena,
                  struct printed_picture *picture)
{
    struct pixel_grid grid = grid_of_picture(art);
    const char *path = printed_path(run, art->state, ".tif");
    *picture = (struct printed_picture){grid.box, art->pixel_mm, grid.width, grid.height, NULL};
    double bytes = 4.0 * grid.width * grid.height;
    int fd = printed_has_picture(run, art->state) && bytes < 1 << 28
                 ? run->machine->open_file(run->machine, path, NULL)
                 : -1;
    if (fd < 0) return false;
    struct strip_sink sink = {picture, printed_take_shape, printed_take_strip, take_end};
    picture->pixels = arena_take_array(arena, (size_t)grid.width * (size_t)grid.height, 4);
    bool ok = tiff_read_back(run->machine, fd, path, 1, &sink, NULL);
    close(fd);
    return ok;
}

/* ---- keeping ---- */

static const char *list_path(struct arena *arena, const char *out)
{
    return path_join(arena, out, "printed/artwork.txt");
}

bool printed_keep(struct run *run, struct error *error)
{
    if (!run->options.recorded) return true;
    struct text list = text_new(run->arena);
    for (size_t i = 0; i < run->surface_count; i++) {
        struct run_surface *s = &run->surfaces[i];
        struct printed_art art;
        if (cancel_asked(run->options.cancel)) return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
        if (!printed_read_now(run, s, &art, error) || !printed_write(run, s, &art, error)) return false;
        text_addf(&list, "%s %s\n", art.state, s->surface->name);
    }
    if (!run_may_print(run) && !run->options.anyway) return true;
    return machine_write(run->machine, list_path(run->arena, run->out),
                         (struct str){text_string(&list), list.length}, false, error);
}

const char *printed_state(struct machine *machine, const char *out, const char *surface, struct arena *arena)
{
    struct str text;
    const char *path = list_path(arena, out);
    if (!machine->status(machine, path).exists ||
        !machine_read(machine, path, NAMES_MOST, arena, &text, NULL))
        return NULL;
    while (text.length > DIGEST_DIGITS) {
        const char *end = memchr(text.bytes, '\n', text.length);
        size_t length = end ? (size_t)(end - text.bytes) : text.length;
        if (length > DIGEST_DIGITS && str_equal(str_slice(text, DIGEST_DIGITS + 1, length), surface))
            return arena_copy(arena, text.bytes, DIGEST_DIGITS);
        text = str_slice(text, end ? length + 1 : length, text.length);
    }
    return NULL;
}

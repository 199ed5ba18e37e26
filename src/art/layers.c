/* Makes a surface's artworks into layers for panel pages, pictures packed into temporary files first.
 * Called by rendering and by the makers of panel files, which drop the layers again. */
#include "art/render.h"
#include "base/arena.h"
#include "base/path.h"
#include "colour/profile.h"
#include "raster/strips.h"
#include "technical.h"
#include <strings.h>
#include <unistd.h>

/* The rows of a picture as a Flate stream in a temporary file. */
static bool layers_pack(struct machine *machine, const struct art_work *work, const struct placed_art *placed,
                        struct arena *arena, struct art_layers *layers, const char **path,
                        struct error *error)
{
    struct out_file file;
    const char *name = arena_format(arena, "packed-%s-%zu", work->surface->id, layers->temporary_count);
    *path = path_join(arena, work->folder, name);
    if (!machine->create(machine, *path, &file, error)) return false;
    struct strip_sink sink = pdf_packer_sink(pdf_packer_new(arena, file.fd, *path));
    struct raster_view whole = {
        .shrink = 1, .cpu_seconds = work->cpu_seconds, .cancel = work->cancel, .progress = work->progress};
    if (!raster_strips(machine, placed->spec->path, placed->spec->file, &whole, &sink, error)) {
        machine->abandon(machine, &file);
        return false;
    }
    layers->temporaries[layers->temporary_count++] = *path;
    return machine->commit(machine, &file, false, error);
}

static struct pdf_picture *layers_picture_of(const struct placed_art *placed, struct arena *arena)
{
    const struct artwork_facts *facts = placed->facts;
    struct affine back;
    struct pdf_picture *picture = arena_take(arena, sizeof *picture);
    *picture = (struct pdf_picture){
        .path = placed->spec->path,
        .jpeg = facts->kind == ARTWORK_JPEG && facts->colour != COLOUR_CMYK,
        .width_px = facts->width_px,
        .height_px = facts->height_px,
        .bits = facts->bits > 8 ? 16 : 8,
        .colour = facts->colour,
        .profile = facts->profile,
        .profile_size = facts->profile_size,
    };
    if (affine_invert(placed->to_surface, &back)) picture->box = affine_apply_rect(back, placed->media);
    if (!picture->jpeg) return picture;
    picture->orientation = facts->orientation;
    if (facts->orientation >= 5) picture->width_px = facts->height_px, picture->height_px = facts->width_px;
    return picture;
}

bool art_stated_profile(struct machine *machine, const struct artwork_spec *spec, struct arena *arena,
                        struct str *profile, struct error *error)
{
    if (!machine_read(machine, spec->profile_path, PROFILE_BYTES_MOST, arena, profile, error)) return false;
    struct profile_facts facts;
    profile_facts_from_bytes(*profile, arena, &facts);
    return facts.state == PROFILE_FINE ||
           error_set(error, FAILURE_INPUT, "profile-of-name-whole-icc-profile",
                     ARGUMENTS(arg_words("profile", spec->profile_path), arg_words("file", spec->file),
                               arg_words("trouble", facts.trouble)));
}

/* The profile that the job states for an untagged picture. */
static bool take_stated_profile(struct machine *machine, const struct placed_art *placed, struct arena *arena,
                                struct pdf_picture *picture, struct error *error)
{
    struct str bytes;
    if (picture->profile_size || !placed->spec->profile_path) return true;
    if (!art_stated_profile(machine, placed->spec, arena, &bytes, error)) return false;
    picture->profile = (const unsigned char *)bytes.bytes;
    picture->profile_size = bytes.length;
    return true;
}

static bool layers_layer_of(struct machine *machine, const struct art_work *work,
                            const struct placed_art *placed, struct arena *arena, struct art_layers *layers,
                            struct error *error)
{
    struct pdf_layer *layer = &layers->layers[layers->count++];
    *layer = (struct pdf_layer){.path = placed->spec->path,
                                .subject = placed->spec->file,
                                .page = placed->spec->page,
                                .to_surface = placed->to_surface,
                                .clip = placed->clip};
    if (placed->facts->kind == ARTWORK_PDF) return true;
    struct pdf_picture *picture = layers_picture_of(placed, arena);
    layer->picture = picture;
    if (!take_stated_profile(machine, placed, arena, picture, error)) return false;
    return picture->jpeg || layers_pack(machine, work, placed, arena, layers, &picture->path, error);
}

static struct pdf_left_out layers_left_out(const struct surface *surface)
{
    struct pdf_left_out out = {NULL, NULL, NULL};
    const struct cut_spec *cut = surface->piece ? &surface->piece->cut : NULL;
    if (cut && cut->path == CUT_SPOT) out.spot = cut->name;
    if (cut && cut->path == CUT_LAYER) out.layer = cut->name;
    if (cut && cut->path == CUT_STEP) out.step = cut->name;
    return out;
}

/* Spot colours that are no ink: by their names, and the one that a piece is cut along (beside others too). */
static bool spot_is_off(const struct art_layers *layers, const char *spot, struct arena *arena)
{
    return spot_is_technical(spot, arena) ||
           (layers->left_out.spot && !strcasecmp(layers->left_out.spot, spot));
}

static void take_spots_off(const struct art_work *work, struct arena *arena, struct art_layers *layers)
{
    const struct surface_art *art = work->art;
    size_t most = 0;
    for (size_t i = 0; i < art->count; i++) most += art->placed[i].facts->spot_count;
    layers->spots_off = arena_take_array(arena, most, sizeof *layers->spots_off);
    for (size_t i = 0; i < art->count; i++)
        for (size_t k = 0; k < art->placed[i].facts->spot_count; k++)
            if (spot_is_off(layers, art->placed[i].facts->spots[k], arena))
                layers->spots_off[layers->spot_off_count++] = art->placed[i].facts->spots[k];
}

bool art_layers_make(struct machine *machine, const struct art_work *work, struct arena *arena,
                     struct art_layers *layers, struct error *error)
{
    size_t count = work->art->count;
    *layers = (struct art_layers){.layers = arena_take_array(arena, count, sizeof *layers->layers),
                                  .temporaries = arena_take_array(arena, count, sizeof *layers->temporaries)};
    layers->left_out = layers_left_out(work->surface);
    take_spots_off(work, arena, layers);
    for (size_t i = 0; i < count; i++)
        if (!layers_layer_of(machine, work, &work->art->placed[i], arena, layers, error)) {
            art_layers_drop(machine, layers);
            return false;
        }
    return true;
}

void art_layers_drop(struct machine *machine, const struct art_layers *layers)
{
    for (size_t i = 0; i < layers->temporary_count; i++)
        machine->remove_file(machine, layers->temporaries[i], NULL);
}

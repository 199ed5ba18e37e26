/* Asks the reader child for a picture's header and turns it into artwork facts. Called by art. */
#include "raster/facts.h"
#include "base/arena.h"
#include "base/units.h"
#include "base/wire.h"
#include "child.h"
#include <unistd.h>

enum { REMARKS_MOST = 100 };

static void take_remarks(struct wire_in *answer, struct arena *arena, struct artwork_facts *facts)
{
    facts->remark_count = wire_get_count(answer, 4);
    if (facts->remark_count > REMARKS_MOST) answer->bad = true, facts->remark_count = 0;
    facts->remarks = arena_take_array(arena, facts->remark_count, sizeof *facts->remarks);
    for (size_t i = 0; i < facts->remark_count; i++) {
        const char *remark = wire_get_string(answer, arena);
        facts->remarks[i] = remark ? remark : "";
    }
}

/* In the order in which child.c puts it. */
static bool facts_take_header(struct wire_in *answer, struct arena *arena, struct artwork_facts *facts)
{
    facts->kind = (enum artwork_kind)wire_get_u32(answer);
    facts->width_px = (int)wire_get_u32(answer);
    facts->height_px = (int)wire_get_u32(answer);
    facts->x_ppi = wire_get_f64(answer);
    facts->y_ppi = wire_get_f64(answer);
    facts->bits = (int)wire_get_u32(answer);
    facts->samples = (int)wire_get_u32(answer);
    facts->orientation = (int)wire_get_u32(answer);
    facts->page_count = (int)wire_get_u32(answer);
    facts->colour = (enum colour_kind)wire_get_u32(answer);
    facts->alpha = wire_get_u32(answer);
    facts->premultiplied = wire_get_u32(answer);
    facts->tagged = wire_get_u32(answer);
    struct str profile = wire_get_bytes(answer);
    take_remarks(answer, arena, facts);
    if (profile.length) {
        facts->profile = (unsigned char *)arena_copy(arena, profile.bytes, profile.length);
        facts->profile_size = profile.length;
    }
    bool sized = facts->width_px >= 1 && facts->height_px >= 1 && facts->width_px <= RASTER_SIDE_MOST &&
                 facts->height_px <= RASTER_SIDE_MOST &&
                 (int64_t)facts->width_px * facts->height_px <= RASTER_PIXELS_MOST;
    bool kind = facts->kind == ARTWORK_TIFF || facts->kind == ARTWORK_JPEG || facts->kind == ARTWORK_PNG;
    return !answer->bad && sized && kind && facts->colour <= COLOUR_LAB && facts->orientation >= 1 &&
           facts->orientation <= 8 && facts->x_ppi >= 0 && facts->y_ppi >= 0;
}

/* What follows from the header. */
static void conclude(struct arena *arena, struct artwork_facts *facts)
{
    bool sized = facts->x_ppi > 0 && facts->y_ppi > 0;
    if (sized)
        facts->media_mm = rect_of(0, 0, facts->width_px / facts->x_ppi * MM_PER_INCH,
                                  facts->height_px / facts->y_ppi * MM_PER_INCH);
    facts->trim_mm = facts->media_mm;
    facts->uses_rgb = facts->colour == COLOUR_RGB;
    facts->uses_rgb_untagged = facts->uses_rgb && !facts->tagged;
    facts->uses_cmyk = facts->colour == COLOUR_CMYK;
    facts->uses_lab = facts->colour == COLOUR_LAB;
    facts->uses_transparency = facts->alpha;
    facts->images = arena_take(arena, sizeof *facts->images);
    facts->image_count = 1;
    facts->images[0] = (struct image_facts){
        .box = facts->media_mm,
        .width_px = facts->width_px,
        .height_px = facts->height_px,
        .bits = facts->bits,
        .colour = facts->colour,
        .tagged = facts->tagged || facts->colour == COLOUR_LAB,
        .ppi_on_page = facts->x_ppi < facts->y_ppi ? facts->x_ppi : facts->y_ppi,
    };
}

bool raster_facts_load(struct machine *machine, const char *path, const char *subject, struct arena *arena,
                       struct artwork_facts *facts, struct error *error)
{
    *facts = (struct artwork_facts){.orientation = 1};
    int fd = machine->open_file(machine, path, error);
    if (fd < 0) return false;
    struct reader_order order = {
        .subject = subject,
        .arguments = (const char *const[]){VERB_FACTS, subject, NULL},
        .fds = &fd,
        .fd_count = 1,
    };
    struct wire_in answer;
    struct error trouble = {0};
    bool told = reader_ask(machine, &order, arena, &answer, &trouble);
    close(fd);
    if (told && !facts_take_header(&answer, arena, facts))
        told = error_set(&trouble, FAILURE_INPUT, "could-not-be-read-its-reader-answered",
                         ARGUMENTS(arg_words("subject", subject)));
    if (told) {
        conclude(arena, facts);
        return true;
    }
    if (trouble.kind != FAILURE_INPUT) return error_words(error, trouble.kind, trouble.text);
    *facts = (struct artwork_facts){.state = ARTWORK_DAMAGED, .orientation = 1};
    facts->trouble = arena_copy_string(arena, trouble.text);
    return true;
}

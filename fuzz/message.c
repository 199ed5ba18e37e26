/* Fuzz target: what the reader of a PDF tells its parent. The reader opens hostile files, and one that a file took
 * over may say anything: nothing may crash, and what is accepted must be within the bounds that later rooms rely
 * on. The bytes stand for a whole message, and for places and bytes changed in a sound one.
 *
 * Built with -Dfuzz=true. */
#include "base/arena.h"
#include "base/machine.h"
#include "base/text.h"
#include "base/wire.h"
#include "facts_wire.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_names(const char *const *names, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!names[i] || strlen(names[i]) > 1 << 20) abort();
}

static void check_rect(struct rect box)
{
    if (!isfinite(box.x0 + box.y0 + box.x1 + box.y1)) abort();
}

static void check(const struct artwork_facts *f)
{
    if (f->kind != ARTWORK_PDF || f->state > ARTWORK_NO_SUCH_PAGE || f->page_count < 0) abort();
    if (f->state != ARTWORK_FINE && !f->trouble) abort();
    check_rect(f->media_mm), check_rect(f->trim_mm), check_rect(f->bleed_mm);
    for (size_t i = 0; i < f->image_count; i++) {
        check_rect(f->images[i].box);
        if (f->images[i].colour > COLOUR_OTHER || f->images[i].width_px < 0 || f->images[i].height_px < 0)
            abort();
    }
    for (size_t i = 0; i < f->line_count; i++) check_names(&f->lines[i].words, 1);
    for (size_t i = 0; i < f->annotation_count; i++) check_names(&f->annotations[i].words, 1);
    check_names(f->spots, f->spot_count), check_names(f->fonts_missing, f->fonts_missing_count);
    check_names(f->layers_hidden, f->layers_hidden_count), check_names(f->steps, f->step_count);
    check_names(f->remarks, f->remark_count);
}

static void read_error(struct str bytes, struct arena *arena)
{
    struct wire_in in = {.bytes = bytes};
    struct error error;
    struct argument arguments[ERROR_ARGUMENTS_MOST + 1];
    if (!wire_get_error(&in, arena, &error)) return;
    const struct argument *a = error_arguments(&error, arguments);
    if (!error.id && a) abort();
    for (; a && a->kind != ARGUMENT_END; a++)
        if (!*a->name || strlen(a->name) > 40 || (a->words && strlen(a->words) > ERROR_HELD_BYTES)) abort();
}

static void read_message(struct str bytes, struct arena *arena)
{
    read_error(bytes, arena);
    struct wire_in in = {.bytes = bytes};
    struct artwork_facts facts;
    if (facts_get(&in, arena, &facts)) check(&facts);
}

static struct text sound_message(struct arena *arena)
{
    static const char *names[] = {"Gold", "Varnish", ""};
    struct rect page = {0, 0, 430, 150};
    struct image_facts image = {page, 4000, 1400, 8, COLOUR_CMYK, true, 236};
    struct text_line line = {page, 12, "Open from nine", false, false};
    struct annotation_facts annotation = {page, "FreeText", "Call us"};
    struct artwork_facts facts = {.kind = ARTWORK_PDF,
                                  .media_mm = page,
                                  .trim_mm = page,
                                  .bleed_mm = page,
                                  .page_count = 2,
                                  .images = &image,
                                  .image_count = 1,
                                  .lines = &line,
                                  .line_count = 1,
                                  .annotations = &annotation,
                                  .annotation_count = 1,
                                  .spots = names,
                                  .spot_count = 3,
                                  .remarks = names,
                                  .remark_count = 2};
    struct text text = text_new(arena);
    facts_put(&text, &facts);
    return text;
}

static struct text sound_error(struct arena *arena)
{
    struct error error;
    error_set(&error, FAILURE_MACHINE, "path-cannot-be-read-trouble",
              ARGUMENTS(arg_words("path", "left.pdf"), arg_words("trouble", "no permission")));
    struct text text = text_new(arena);
    wire_put_error(&text, &error);
    return text;
}

static void change(struct text *sound, const uint8_t *data, size_t size)
{
    for (size_t i = 0; i + 2 < size; i += 3)
        sound->bytes[(size_t)(data[i] << 8 | data[i + 1]) % sound->length] = (char)data[i + 2];
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    read_message((struct str){(const char *)data, size}, arena);
    struct text sound = sound_message(arena);
    struct wire_in in = {.bytes = {text_string(&sound), sound.length}};
    struct artwork_facts facts;
    if (!facts_get(&in, arena, &facts)) abort(); /* what is sound is accepted */
    change(&sound, data, size);
    read_message((struct str){text_string(&sound), sound.length}, arena);
    struct text error = sound_error(arena);
    change(&error, data, size);
    read_error((struct str){text_string(&error), error.length}, arena);
    arena_free(arena);
    return 0;
}

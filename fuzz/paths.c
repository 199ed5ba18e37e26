/* Fuzz target: the paths of a PDF page, on both sides. The bytes stand for a page's content: raw, and as operators of
 * paths, clips, strokes, dashes and layers with numbers near and far, which a reader gets to draw; and for what a
 * reader that a file took over may tell its parent: a whole message, and bytes changed in a sound one. Nothing may
 * crash, and what comes out is within the bounds of pdf/paths.h.
 *
 * Built with -Dfuzz=true. */
#include "base/arena.h"
#include "base/machine.h"
#include "base/text.h"
#include "base/wire.h"
#include "paths_build.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* ---- what must hold ---- */

static void check_line(const struct pdf_line *line)
{
    if (line->points.count < 2) abort();
    for (size_t i = 0; i < line->points.count; i++)
        if (!isfinite(line->points.points[i].x) || !isfinite(line->points.points[i].y)) abort();
}

static void check_mask(const struct pdf_mask *mask)
{
    if (!mask->width || !mask->height || mask->width > PDF_PATH_MASK_SIDE_MOST ||
        mask->height > PDF_PATH_MASK_SIDE_MOST)
        abort();
    unsigned sum = 0; /* all of it is there to be read */
    for (size_t i = 0; i < mask->width * mask->height; i++) sum += mask->values[i];
    if (sum > 255u * mask->width * mask->height) abort();
}

static size_t check_shape(const struct pdf_shape *shape, size_t clips)
{
    size_t points = 0;
    if (shape->under > clips || shape->into > clips || (shape->into && shape->under >= shape->into)) abort();
    for (size_t i = 0; i < shape->count; i++)
        check_line(&shape->lines[i]), points += shape->lines[i].points.count;
    if (shape->mask) check_mask(shape->mask);
    return points;
}

static void check(const struct pdf_shape *shapes, size_t count, const size_t *clips, size_t clip_count)
{
    size_t points = 0;
    if (count > PDF_PATH_SHAPES_MOST || clip_count > PDF_PATH_CLIPS_MOST) abort();
    for (size_t i = 0; i < count; i++) points += check_shape(&shapes[i], clip_count);
    for (size_t i = 0; i < clip_count; i++)
        if (clips[i] > i) abort();
    if (points > PDF_PATH_POINTS_MOST) abort();
}

/* ---- the parent's side ---- */

static bool read_message(struct str bytes, struct arena *arena)
{
    struct wire_in in = {.bytes = bytes};
    struct pdf_paths paths;
    if (!paths_get(&in, arena, &paths)) return false;
    if (paths.state != ARTWORK_FINE) return true;
    check(paths.shapes, paths.count, paths.clips, paths.clip_count);
    return true;
}

static struct text sound_message(struct arena *arena)
{
    static struct point corners[] = {{0, 0}, {40, 0}, {40, 30}};
    static const uint8_t values[] = {0, 255, 80, 20, 10, 0};
    static const char *names[] = {"Die", ""};
    static size_t clips[] = {0, 1};
    struct pdf_mask mask = {values, 3, 2, affine_identity};
    struct pdf_line line = {{corners, 3}, true};
    struct pdf_shape shapes[] = {{&line, 1, true, NULL, 1, 2}, {NULL, 0, false, &mask, 2, 0}};
    struct pdf_paths paths = {.state = ARTWORK_FINE,
                              .shapes = shapes,
                              .count = 2,
                              .clips = clips,
                              .clip_count = 2,
                              .spots = names,
                              .spot_count = 2,
                              .layers = names,
                              .layer_count = 1};
    struct text text = text_new(arena);
    paths_put(&text, &paths);
    return text;
}

static void change(struct text *sound, const uint8_t *data, size_t size)
{
    for (size_t i = 0; i + 2 < size; i += 3)
        sound->bytes[(size_t)(data[i] << 8 | data[i + 1]) % sound->length] = (char)data[i + 2];
}

static void messages(const uint8_t *data, size_t size, struct arena *arena)
{
    read_message((struct str){(const char *)data, size}, arena);
    struct text sound = sound_message(arena);
    if (!read_message((struct str){text_string(&sound), sound.length}, arena)) abort();
    change(&sound, data, size);
    read_message((struct str){text_string(&sound), sound.length}, arena);
}

/* ---- the reader's side ---- */

static void add_operator(struct text *content, const uint8_t *data)
{
    static const struct {
        const char *word;
        int numbers;
    } operators[] = {{"m", 2},
                     {"l", 2},
                     {"l", 2},
                     {"c", 6},
                     {"v", 4},
                     {"y", 4},
                     {"re", 4},
                     {"h", 0},
                     {"S", 0},
                     {"s", 0},
                     {"f", 0},
                     {"f*", 0},
                     {"B", 0},
                     {"b*", 0},
                     {"n", 0},
                     {"W n", 0},
                     {"q", 0},
                     {"Q", 0},
                     {"w", 1},
                     {"J", 1},
                     {"j", 1},
                     {"M", 1},
                     {"cm", 6},
                     {"W* n", 0},
                     {"/Die CS 1 SCN", 0},
                     {"/Die cs 1 scn", 0},
                     {"/OC /L BDC", 0},
                     {"EMC", 0},
                     {"[3 0.5] 1 d", 0},
                     {"[] 0 d", 0},
                     {"0 0 0 1 K", 0},
                     {"/X Do", 0}};
    static const double sizes[] = {0.001, 0.1, 1, 1, 3, 10, 1000, 1e9};
    size_t which = data[0] % (sizeof operators / sizeof *operators);
    for (int i = 0; i < operators[which].numbers; i++) {
        text_add_number(content, ((int8_t)data[1 + i]) * sizes[(data[0] >> 5) & 7], 4);
        text_add(content, " ");
    }
    text_add(content, operators[which].word);
    text_add(content, "\n");
}

/* MuPDF mends a file without a table of objects. */
static struct text page_of(const uint8_t *data, size_t size, struct arena *arena)
{
    struct text content = text_new(arena), pdf = text_new(arena);
    if (size && data[0] & 1)
        text_add_bytes(&content, (const char *)data + 1, size - 1);
    else
        for (size_t i = 1; i + 7 < size; i += 7) add_operator(&content, data + i);
    text_add(
        &pdf,
        "%PDF-1.5\n1 0 obj<</Type/Catalog/Pages 2 0 R/OCProperties<</OCGs[5 0 R]/D<<>>>>>>endobj\n"
        "2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"
        "3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 200 100]/Contents 4 0 R/Resources<<"
        "/Properties<</L 5 0 R>>/XObject<</X 6 0 R>>/ColorSpace<</Die[/Separation/Die/DeviceCMYK"
        "<</FunctionType 2/Domain[0 1]/C0[0 0 0 0]/C1[0 1 0 0]/N 1>>]>>>>>>endobj\n"
        "5 0 obj<</Type/OCG/Name(Die)>>endobj\n"
        "6 0 obj<</Type/XObject/Subtype/Image/Width 8/Height 2/ImageMask true/BitsPerComponent 1/Length 2>>"
        "stream\nab\nendstream endobj\n");
    text_addf(&pdf, "4 0 obj<</Length %zu>>stream\n", content.length);
    text_add_bytes(&pdf, text_string(&content), content.length);
    text_add(&pdf, "\nendstream endobj\ntrailer<</Size 7/Root 1 0 R>>\n%%EOF\n");
    return pdf;
}

static void draw(fz_context *ctx, const struct text *pdf, enum pdf_paths_of of, struct arena *arena)
{
    static const char *wanted[] = {"Die"};
    struct paths_gather gather = {.arena = arena,
                                  .of = of,
                                  .name = "Die",
                                  .wanted_layers = wanted,
                                  .wanted_layer_count = 1,
                                  .tolerance = 0.05,
                                  .media = {0, 0, 70.5, 35.3}};
    fz_stream *stream = NULL;
    pdf_document *doc = NULL;
    pdf_page *page = NULL;
    fz_var(stream), fz_var(doc), fz_var(page);
    fz_try(ctx)
    {
        stream = fz_open_memory(ctx, (const unsigned char *)pdf->bytes, pdf->length);
        doc = pdf_open_document_with_stream(ctx, stream);
        page = pdf_load_page(ctx, doc, 0);
        paths_draw(ctx, page, fz_scale(0.3528f, 0.3528f), &gather);
        check(gather.shapes, gather.count, gather.clips, gather.clip_count);
    }
    fz_always(ctx)
    {
        fz_drop_page(ctx, (fz_page *)page);
        pdf_drop_document(ctx, doc);
        fz_drop_stream(ctx, stream);
    }
    fz_catch(ctx) return; /* too much of it, or a place that no page reaches: said to the person */
}

static void silent(void *user, const char *words)
{
    (void)user, (void)words;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    messages(data, size, arena);
    fz_context *ctx = fz_new_context(NULL, NULL, 64 << 20);
    if (!ctx) abort();
    fz_set_warning_callback(ctx, silent, NULL), fz_set_error_callback(ctx, silent, NULL);
    struct text pdf = page_of(data, size, arena);
    for (int of = PDF_PATHS_SPOT; of <= PDF_PATHS_VISIBLE; of++)
        draw(ctx, &pdf, (enum pdf_paths_of)of, arena);
    fz_drop_context(ctx);
    arena_free(arena);
    return 0;
}

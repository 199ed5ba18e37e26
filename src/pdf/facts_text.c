/* Lines of lettering, from MuPDF's structured text. */
#include "facts_build.h"
#include "base/sentence.h"
#include "pdf/facts.h"
#include "base/arena.h"
#include "base/text.h"
#include <math.h>

enum { WORDS_BYTES = 300 };

/* Where a letter's outline is not to be had: the usual height of capitals, as a share of the type size
 * (common practice, no source). */
static const double capital_share = 0.7;

static double letter_height(fz_context *ctx, const fz_stext_char *letter)
{
    double usual = letter->size * capital_share;
    if (!letter->font || fz_font_t3_procs(ctx, letter->font)) return usual;
    int glyph = fz_encode_character(ctx, letter->font, letter->c);
    if (glyph <= 0) return usual;
    fz_rect bounds = fz_bound_glyph(ctx, letter->font, glyph, fz_scale(letter->size, letter->size));
    double height = bounds.y1 - bounds.y0;
    return height > 0.1 * letter->size && height < 2 * letter->size ? height : usual;
}

static const char *line_words(struct arena *arena, const fz_stext_line *line)
{
    struct text words = text_new(arena);
    for (const fz_stext_char *letter = line->first_char; letter; letter = letter->next) {
        char bytes[8];
        int length = fz_runetochar(bytes, letter->c < 32 ? ' ' : letter->c);
        if (words.length + (size_t)length > WORDS_BYTES) break;
        text_add_bytes(&words, bytes, (size_t)length);
    }
    return text_string(&words);
}

static bool has_letters(const fz_stext_line *line)
{
    for (const fz_stext_char *letter = line->first_char; letter; letter = letter->next)
        if (letter->c > 32 && letter->c != 0xa0) return true;
    return false;
}

/* Seen with y down, a letter's line turns clockwise into its upright. */
static bool reads_backwards(const fz_stext_line *line)
{
    int backwards = 0;
    for (const fz_stext_char *letter = line->first_char; letter; letter = letter->next) {
        fz_quad q = letter->quad;
        float turn = (q.ur.x - q.ul.x) * (q.ll.y - q.ul.y) - (q.ur.y - q.ul.y) * (q.ll.x - q.ul.x);
        backwards += turn < 0 ? 1 : -1;
    }
    return backwards > 0;
}

/* The stext device works with y down; `line` is turned back. */
static void note_line(fz_context *ctx, struct builder *builder, const fz_stext_line *line)
{
    if (builder->line_count == PDF_LINES_MOST) {
        builder->lines_cut = true;
        return;
    }
    double height = 0;
    for (const fz_stext_char *letter = line->first_char; letter; letter = letter->next)
        height = fmax(height, letter_height(ctx, letter));
    struct text_line *out = arena_append(builder->arena, &builder->lines, &builder->line_count,
                                         &builder->line_capacity, sizeof *out);
    out->box = (struct rect){line->bbox.x0, -line->bbox.y1, line->bbox.x1, -line->bbox.y0};
    out->height_mm = height;
    out->mirrored = reads_backwards(line);
    out->words = line_words(builder->arena, line);
}

static void note_lines(fz_context *ctx, struct builder *builder, fz_stext_page *text)
{
    for (fz_stext_block *block = text->first_block; block; block = block->next) {
        if (block->type != FZ_STEXT_BLOCK_TEXT) continue;
        for (fz_stext_line *line = block->u.t.first_line; line; line = line->next)
            if (has_letters(line) && isfinite(line->bbox.x0 + line->bbox.y0 + line->bbox.x1 + line->bbox.y1))
                note_line(ctx, builder, line);
    }
}

/* From MuPDF's own page space (crop box, y down) to displayed millimetres turned over. */
fz_matrix text_to_turned_mm(fz_context *ctx, pdf_page *loaded, const struct mu_page *page)
{
    fz_rect box;
    fz_matrix own;
    pdf_page_transform(ctx, loaded, &box, &own);
    struct affine wanted = affine_then(page->to_mm, affine_scale(1, -1)), back;
    if (!affine_invert(mu_affine(own), &back))
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("page-size-missing"));
    return mu_matrix(affine_then(back, wanted));
}

void text_read(struct mu *mu, pdf_document *doc, int number, const struct mu_page *page,
               struct builder *builder)
{
    fz_context *ctx = mu->ctx;
    pdf_page *loaded = NULL;
    fz_stext_page *text = NULL;
    fz_device *device = NULL;
    fz_var(loaded);
    fz_var(text);
    fz_var(device);
    fz_try(ctx)
    {
        loaded = pdf_load_page(ctx, doc, number - 1);
        text = fz_new_stext_page(ctx, fz_infinite_rect);
        device = fz_new_stext_device(ctx, text, NULL);
        device->ignore_text = NULL; /* lettering that is not shown is not lettering */
        pdf_run_page_contents_with_usage(ctx, loaded, device, text_to_turned_mm(ctx, loaded, page), "Print",
                                         NULL);
        fz_close_device(ctx, device);
        note_lines(ctx, builder, text);
    }
    fz_always(ctx)
    {
        fz_drop_device(ctx, device);
        fz_drop_stext_page(ctx, text);
        fz_drop_page(ctx, (fz_page *)loaded);
    }
    fz_catch(ctx) fz_rethrow(ctx);
}

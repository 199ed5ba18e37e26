/* Opens a document and finds a page with MuPDF, catching its errors and messages. Every verb of the reader
 * child runs through it. */
#include "mu.h"
#include "base/sentence.h"
#include "base/text.h"
#include "base/units.h"
#include <math.h>
#include <string.h>

enum { STORE_BYTES = 64 << 20, TREE_DEPTH = 64 };

static void keep_warning(void *user, const char *message)
{
    struct mu *mu = user;
    if (!mu->warning_count++) format_into(mu->first_warning, sizeof mu->first_warning, "%s", message);
}

bool mu_run(const struct mu_work *work, struct error *error)
{
    struct mu mu = {.ctx = fz_new_context(NULL, NULL, STORE_BYTES)};
    if (!mu.ctx)
        return error_set(error, FAILURE_MACHINE, "no-memory-to-read",
                         ARGUMENTS(arg_words("subject", work->subject)));
    fz_set_warning_callback(mu.ctx, keep_warning, &mu);
    fz_set_error_callback(mu.ctx, keep_warning, &mu);
    fz_context *ctx = mu.ctx;
    bool ok = false;
    fz_var(ok);
    fz_try(ctx) ok = work->perform(&mu, work->self, error);
    fz_always(ctx) if (work->always) work->always(&mu, work->self);
    fz_catch(ctx) ok =
        error_set(error, FAILURE_INPUT, "could-not-be-read",
                  ARGUMENTS(arg_words("subject", work->subject), arg_words("why", fz_caught_message(ctx))));
    fz_drop_context(ctx);
    return ok;
}

static void open_document(fz_context *ctx, int fd, pdf_document **doc)
{
    char name[40];
    format_into(name, sizeof name, "/proc/self/fd/%d", fd);
    fz_stream *stream = fz_open_file(ctx, name);
    fz_try(ctx) *doc = pdf_open_document_with_stream(ctx, stream);
    fz_always(ctx) fz_drop_stream(ctx, stream);
    fz_catch(ctx) fz_rethrow(ctx);
}

bool mu_repaired(struct mu *mu, pdf_document *doc, char *trouble, size_t trouble_size)
{
    if (!pdf_was_repaired(mu->ctx, doc)) return false;
    sentence_into(trouble, trouble_size, "file-is-damaged-its-table-of", NULL);
    return true;
}

/* MuPDF takes the first alternative configuration of layers for the default one; the default is /D
 * (8.11.4.3). */
static void forget_alternatives(fz_context *ctx, pdf_document *doc)
{
    pdf_obj *layers = pdf_dict_getp(ctx, pdf_trailer(ctx, doc), "Root/OCProperties");
    if (pdf_dict_gets(ctx, layers, "Configs")) pdf_dict_dels(ctx, layers, "Configs");
}

enum artwork_state mu_open(struct mu *mu, int fd, pdf_document **doc, char *trouble, size_t trouble_size)
{
    fz_context *ctx = mu->ctx;
    bool opened = true;
    fz_var(opened);
    fz_try(ctx) open_document(ctx, fd, doc);
    fz_catch(ctx)
    {
        sentence_into(trouble, trouble_size, "file-is-damaged",
                      ARGUMENTS(arg_words("why", fz_caught_message(ctx))));
        opened = false;
    }
    if (!opened) return ARTWORK_DAMAGED;
    if (pdf_needs_password(ctx, *doc)) {
        sentence_into(trouble, trouble_size, "file-is-locked-with-password-ask", NULL);
        return ARTWORK_LOCKED;
    }
    if (mu_repaired(mu, *doc, trouble, trouble_size)) return ARTWORK_DAMAGED;
    forget_alternatives(ctx, *doc);
    return ARTWORK_FINE;
}

/* Other programs find a page by the counts that its tree states (table 29); one that lies is damaged. */
static void check_count(fz_context *ctx, pdf_obj *node, int leaves)
{
    pdf_obj *said = pdf_dict_get(ctx, node, PDF_NAME(Count));
    if (!pdf_is_int(ctx, said)) fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("page-list-uncounted"));
    if (pdf_to_int(ctx, said) != leaves) {
        char words[120];
        sentence_into(words, sizeof words, "page-list-wrong",
                      ARGUMENTS(arg_count("said", pdf_to_int(ctx, said)), arg_count("count", leaves)));
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", words);
    }
}

/* Counts the leaves below `node`, at most MU_PAGES_MOST, and remembers leaf `number`. */
static void walk_tree(fz_context *ctx, pdf_obj *node, int number, int depth, int *count, pdf_obj **found)
{
    pdf_obj *kids = pdf_dict_get(ctx, node, PDF_NAME(Kids));
    if (!pdf_is_array(ctx, kids)) {
        if (pdf_is_dict(ctx, node) && ++*count == number) *found = node;
        return;
    }
    if (depth >= TREE_DEPTH) fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("pages-too-deep"));
    if (pdf_mark_obj(ctx, node)) fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("page-list-in-itself"));
    fz_try(ctx)
    {
        int kid_count = pdf_array_len(ctx, kids), before = *count;
        for (int i = 0; i < kid_count && *count < MU_PAGES_MOST; i++)
            walk_tree(ctx, pdf_array_get(ctx, kids, i), number, depth + 1, count, found);
        if (*count < MU_PAGES_MOST) check_count(ctx, node, *count - before);
    }
    fz_always(ctx) pdf_unmark_obj(ctx, node);
    fz_catch(ctx) fz_rethrow(ctx);
}

static bool mu_read_box(fz_context *ctx, pdf_obj *page, pdf_obj *name, struct rect *box)
{
    pdf_obj *array = pdf_dict_get_inheritable(ctx, page, name);
    if (!pdf_is_array(ctx, array)) return false;
    double v[4];
    for (int i = 0; i < 4; i++) v[i] = pdf_array_get_real(ctx, array, i);
    *box = rect_normal((struct point){v[0], v[1]}, (struct point){v[2], v[3]});
    return true;
}

/* A box inside the media box; what is left of the usual one when the file's own is of no use. */
static struct rect inner_box(fz_context *ctx, const struct mu_page *page, pdf_obj *name, struct rect usual,
                             bool *odd)
{
    struct rect box;
    *odd = false;
    if (!mu_read_box(ctx, page->object, name, &box)) return usual;
    *odd = !rect_contains(page->media, box, 0.01) || rect_is_empty(box);
    struct rect inside = rect_intersect(page->media, box);
    return rect_is_empty(inside) ? usual : inside;
}

static struct affine to_displayed(const struct mu_page *page)
{
    double x0 = page->media.x0, y0 = page->media.y0, w = rect_width(page->media),
           h = rect_height(page->media);
    struct affine turn = affine_identity;
    if (page->rotate == 90) turn = (struct affine){0, -1, 1, 0, 0, w};
    if (page->rotate == 180) turn = (struct affine){-1, 0, 0, -1, w, h};
    if (page->rotate == 270) turn = (struct affine){0, 1, -1, 0, h, 0};
    struct affine m = affine_then(affine_shift(-x0, -y0), affine_then(turn, affine_shift(x0, y0)));
    double scale = page->unit * MM_PER_POINT;
    return affine_then(m, affine_scale(scale, scale));
}

static void mu_read_page(fz_context *ctx, struct mu_page *page)
{
    if (!mu_read_box(ctx, page->object, PDF_NAME(MediaBox), &page->media) || rect_is_empty(page->media) ||
        !isfinite(rect_area(page->media)))
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("media-box-unusable"));
    page->crop = inner_box(ctx, page, PDF_NAME(CropBox), page->media, &page->odd_crop);
    page->trim = inner_box(ctx, page, PDF_NAME(TrimBox), page->crop, &page->odd_trim);
    bool odd_bleed;
    page->bleed = rect_union(page->trim, inner_box(ctx, page, PDF_NAME(BleedBox), page->crop, &odd_bleed));
    page->has_bleed = pdf_dict_get_inheritable(ctx, page->object, PDF_NAME(BleedBox));
    pdf_obj *unit = pdf_dict_get(ctx, page->object, PDF_NAME(UserUnit));
    page->unit = unit ? pdf_to_real(ctx, unit) : 1;
    if (!(page->unit > 0 && page->unit <= 75000))
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("user-unit-unusable"));
    int turn = pdf_dict_get_inheritable(ctx, page->object, PDF_NAME(Rotate))
                   ? pdf_to_int(ctx, pdf_dict_get_inheritable(ctx, page->object, PDF_NAME(Rotate)))
                   : 0;
    page->rotate = turn % 90 ? 0 : ((turn % 360) + 360) % 360;
    page->to_mm = to_displayed(page);
}

bool mu_page_find(struct mu *mu, pdf_document *doc, int number, struct mu_page *page, int *count)
{
    fz_context *ctx = mu->ctx;
    *page = (struct mu_page){0};
    *count = 0;
    pdf_obj *root = pdf_dict_getp(ctx, pdf_trailer(ctx, doc), "Root/Pages");
    walk_tree(ctx, root, number, 0, count, &page->object);
    if (!page->object) return false;
    mu_read_page(ctx, page);
    return true;
}

fz_matrix mu_matrix(struct affine m)
{
    return fz_make_matrix((float)m.a, (float)m.b, (float)m.c, (float)m.d, (float)m.e, (float)m.f);
}

struct affine mu_affine(fz_matrix m)
{
    return (struct affine){m.a, m.b, m.c, m.d, m.e, m.f};
}

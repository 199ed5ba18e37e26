/* Both ends of reading a page's paths: the child draws it into shapes, the parent asks and unpacks. Called by art. */
#include "pdf/paths.h"
#include "facts_build.h"
#include "paths_build.h"
#include "steps.h"
#include "verbs.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/number.h"
#include "base/sentence.h"
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

/* ---- the reader's side ---- */

struct paths_work {
    struct paths_gather gather;
    struct pdf_paths paths;
    int page;
    pdf_document *doc;
    pdf_page *loaded;
    char trouble[400];
};

static void layer_want(struct paths_gather *gather, size_t room, const char *name)
{
    if (gather->wanted_layer_count < room)
        gather->wanted_layers[gather->wanted_layer_count++] = arena_copy_string(gather->arena, name);
}

static bool layer_is_named(const struct paths_gather *gather, const char *name)
{
    return gather->loosely ? !strcasecmp(name, gather->name) : !strcmp(name, gather->name);
}

/* Which layers there are, which of them are wanted, and which are to be seen: of cut paths all, whatever they are set
 * to; of a silhouette those that print and are no processing steps. */
static void layers_choose(fz_context *ctx, struct paths_work *work)
{
    struct paths_gather *gather = &work->gather;
    pdf_obj *layers = pdf_dict_getp(ctx, pdf_trailer(ctx, work->doc), "Root/OCProperties/OCGs");
    int count = pdf_array_len(ctx, layers), known = pdf_count_layers(ctx, work->doc);
    gather->wanted_layer_count = 0;
    gather->wanted_layers = arena_take_array(gather->arena, (size_t)count, sizeof *gather->wanted_layers);
    for (int i = 0; i < count; i++) {
        pdf_obj *layer = pdf_array_get(ctx, layers, i);
        const char *name = pdf_dict_get_text_string(ctx, layer, PDF_NAME(Name)), *group, *type;
        bool step = step_of_layer(ctx, layer, &group, &type), visible = gather->of == PDF_PATHS_VISIBLE;
        names_add(gather->arena, &gather->layers, name);
        if (step)
            names_add(gather->arena, &gather->steps,
                      arena_format(gather->arena, "%s%s%s", group, *type ? " " : "", type));
        if (gather->of == PDF_PATHS_LAYER  ? layer_is_named(gather, name)
            : gather->of == PDF_PATHS_STEP ? step && step_is_named(group, type, gather->name)
                                           : false)
            layer_want(gather, (size_t)count, name);
        if (!visible) pdf_dict_dels(ctx, layer, "Usage");
        if (i < known && (!visible || step)) pdf_enable_layer(ctx, work->doc, i, !visible);
    }
}

static fz_matrix paths_to_mm(fz_context *ctx, pdf_page *loaded, const struct mu_page *page)
{
    return fz_concat(text_to_turned_mm(ctx, loaded, page), fz_scale(1, -1));
}

/* Once more without regard to capitals where nothing has the very name. */
static void paths_look(fz_context *ctx, struct paths_work *work, const struct mu_page *page)
{
    struct paths_gather *gather = &work->gather;
    work->loaded = pdf_load_page(ctx, work->doc, work->page - 1);
    fz_matrix to_mm = paths_to_mm(ctx, work->loaded, page);
    gather->media = affine_apply_rect(page->to_mm, page->media);
    for (int loosely = 0; loosely < 2; loosely++) {
        gather->loosely = loosely;
        layers_choose(ctx, work);
        paths_draw(ctx, work->loaded, to_mm, gather);
        if (gather->count || gather->of == PDF_PATHS_VISIBLE || gather->of == PDF_PATHS_STEP) return;
    }
}

static enum artwork_state paths_read(struct mu *mu, struct paths_work *work)
{
    enum artwork_state state = mu_open(mu, 3, &work->doc, work->trouble, sizeof work->trouble);
    if (state != ARTWORK_FINE) return state;
    struct mu_page page;
    int count;
    if (!mu_page_find(mu, work->doc, work->page, &page, &count)) {
        sentence_into(work->trouble, sizeof work->trouble, "page-not-there",
                      ARGUMENTS(arg_count("page", work->page), arg_count("count", count)));
        return ARTWORK_NO_SUCH_PAGE;
    }
    paths_look(mu->ctx, work, &page);
    return mu_repaired(mu, work->doc, work->trouble, sizeof work->trouble) ? ARTWORK_DAMAGED : ARTWORK_FINE;
}

/* What MuPDF throws on the way is the file's damage, or that it is too much. */
static bool run_paths(struct mu *mu, void *self, struct error *error)
{
    (void)error;
    struct paths_work *work = self;
    fz_try(mu->ctx) work->paths.state = paths_read(mu, work);
    fz_catch(mu->ctx)
    {
        work->paths.state = ARTWORK_DAMAGED;
        sentence_into(work->trouble, sizeof work->trouble, "paths-not-taken",
                      ARGUMENTS(arg_words("why", fz_caught_message(mu->ctx))));
    }
    return true;
}

static void drop_paths(struct mu *mu, void *self)
{
    struct paths_work *work = self;
    fz_drop_page(mu->ctx, (fz_page *)work->loaded);
    pdf_drop_document(mu->ctx, work->doc);
}

static void paths_finish(struct paths_work *work)
{
    struct paths_gather *gather = &work->gather;
    struct pdf_paths *paths = &work->paths;
    paths->shapes = gather->shapes, paths->count = gather->count;
    paths->clips = gather->clips, paths->clip_count = gather->clip_count;
    paths->spots = gather->spots.items, paths->spot_count = gather->spots.count;
    paths->layers = gather->layers.items, paths->layer_count = gather->layers.count;
    paths->steps = gather->steps.items, paths->step_count = gather->steps.count;
}

static const double MILLIONTHS = 1e6; /* the tolerance is passed in these, of a mm */

/* PAGE OF TOLERANCE NAME SPOT-OFF... */
bool verb_pdf_paths(int count, char **arguments, struct machine *machine, struct text *answer,
                    struct error *error)
{
    (void)machine;
    struct paths_work *work = arena_take(answer->arena, sizeof *work);
    struct paths_gather *gather = &work->gather;
    double tolerance = count > 2 ? atoi(arguments[2]) / MILLIONTHS : 0;
    if (count < 4 || !(tolerance > 0)) return error_set(error, FAILURE_INPUT, "reader-wants-paths", NULL);
    work->page = atoi(arguments[0]);
    *gather = (struct paths_gather){.arena = answer->arena,
                                    .of = (enum pdf_paths_of)atoi(arguments[1]),
                                    .name = arguments[3],
                                    .spots_off = (const char **)(arguments + 4),
                                    .spot_off_count = (size_t)(count - 4),
                                    .tolerance = tolerance};
    if (!mu_run(&(struct mu_work){"the file", work, run_paths, drop_paths}, error)) return false;
    if (work->paths.state == ARTWORK_FINE) paths_finish(work);
    if (work->trouble[0]) work->paths.trouble = work->trouble;
    paths_put(answer, &work->paths);
    return true;
}

/* ---- the parent's side ---- */

static const char *const *paths_arguments(const struct pdf_paths_order *order, struct arena *arena)
{
    const char **out = arena_take_array(arena, order->spot_off_count + 6, sizeof *out);
    out[0] = "pdf-paths";
    out[1] = arena_format(arena, "%d", order->page);
    out[2] = arena_format(arena, "%d", (int)order->of);
    out[3] = arena_format(arena, "%d", (int)clamp_double(order->tolerance_mm * MILLIONTHS, 1, 1e9));
    out[4] = order->name ? order->name : "";
    for (size_t i = 0; i < order->spot_off_count; i++) out[5 + i] = order->spots_off[i];
    return out;
}

bool pdf_paths_load(struct machine *machine, const struct pdf_paths_order *order, struct arena *arena,
                    struct pdf_paths *paths, struct error *error)
{
    int fd = machine->open_file(machine, order->path, error);
    if (fd < 0) return false;
    struct reader_order asked = {
        .subject = order->subject, .arguments = paths_arguments(order, arena), .fds = &fd, .fd_count = 1};
    struct wire_in answer;
    bool ok = reader_ask(machine, &asked, arena, &answer, error);
    close(fd);
    if (!ok) return false;
    if (paths_get(&answer, arena, paths)) return true;
    *paths = (struct pdf_paths){.state = ARTWORK_DAMAGED,
                                .trouble = sentence_plain("its-reader-gave-answer-that-makes")};
    return true;
}

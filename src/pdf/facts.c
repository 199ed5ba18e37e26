/* Both ends of reading a PDF's facts: the child gathers and judges them, the parent asks and unpacks.
 * Called by art; pages are walked by facts_walk.c. */
#include "pdf/facts.h"
#include "blend.h"
#include "facts_build.h"
#include "verbs.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/reader.h"
#include "base/str.h"
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* ---- the reader's side ---- */

static void builder_finish(struct builder *builder)
{
    struct artwork_facts *facts = &builder->facts;
    facts->images = builder->images, facts->image_count = builder->image_count;
    facts->annotations = builder->annotations, facts->annotation_count = builder->annotation_count;
    facts->lines = builder->lines, facts->line_count = builder->line_count;
    facts->spots = builder->spots.items, facts->spot_count = builder->spots.count;
    facts->fonts_missing = builder->fonts.items, facts->fonts_missing_count = builder->fonts.count;
    facts->layers_hidden = builder->layers.items, facts->layers_hidden_count = builder->layers.count;
    facts->steps = builder->steps.items, facts->step_count = builder->steps.count;
    facts->remarks = builder->remarks.items, facts->remark_count = builder->remarks.count;
}

struct facts_work {
    struct builder builder;
    int page;
    pdf_document *doc;
    char trouble[400];
};

static void remark(struct builder *builder, const char *sentence)
{
    names_add(builder->arena, &builder->remarks, sentence);
}

static void remark_boxes(struct builder *builder, const struct mu_page *page)
{
    if (page->odd_trim) remark(builder, sentence_plain("pages-trimbox-lies-outside-its-mediabox"));
    if (page->odd_crop) remark(builder, sentence_plain("pages-cropbox-lies-outside-its-mediabox"));
    struct rect trim = builder->facts.trim_mm;
    if (rect_width(trim) < 5 || rect_height(trim) < 5)
        remark(builder, sentence_words(builder->arena, "page-is-tiny",
                                       ARGUMENTS(arg_fixed("width_mm", rect_width(trim), 1),
                                                 arg_fixed("height_mm", rect_height(trim), 1))));
}

static void remark_limits(struct mu *mu, struct builder *builder)
{
    if (builder->images_cut) remark(builder, sentence_plain("page-has-more-pictures-than-are"));
    if (builder->lines_cut) remark(builder, sentence_plain("page-has-more-lines-of-lettering"));
    if (mu->warning_count)
        remark(builder, sentence_words(builder->arena, "page-has-faults-that-were-read",
                                       ARGUMENTS(arg_words("first_warning", mu->first_warning))));
}

/* Lettering that cannot be looked for is a pity, not damage. */
static void read_lettering(struct mu *mu, struct facts_work *work, const struct mu_page *page)
{
    fz_try(mu->ctx)
    {
        text_read(mu, work->doc, work->page, page, &work->builder);
        outlines_read(mu, work->doc, work->page, page, &work->builder);
    }
    fz_catch(mu->ctx) remark(&work->builder, sentence_plain("pages-lettering-could-not-be-looked"));
}

static enum artwork_state facts_read(struct mu *mu, struct facts_work *work)
{
    struct builder *builder = &work->builder;
    struct artwork_facts *facts = &builder->facts;
    enum artwork_state state = mu_open(mu, 3, &work->doc, work->trouble, sizeof work->trouble);
    if (state != ARTWORK_FINE) return state;
    struct mu_page page;
    bool found = mu_page_find(mu, work->doc, work->page, &page, &facts->page_count);
    if (!found) {
        if (!facts->page_count) {
            sentence_into(work->trouble, sizeof work->trouble, "pages-none", NULL);
            return ARTWORK_DAMAGED;
        }
        sentence_into(work->trouble, sizeof work->trouble, "page-not-there",
                      ARGUMENTS(arg_count("page", work->page), arg_count("count", facts->page_count)));
        return ARTWORK_NO_SUCH_PAGE;
    }
    facts->media_mm = affine_apply_rect(page.to_mm, page.media);
    facts->trim_mm = affine_apply_rect(page.to_mm, page.trim);
    facts->bleed_mm = affine_apply_rect(page.to_mm, page.bleed);
    facts->blend_space = blend_space(mu->ctx, &page);
    remark_boxes(builder, &page);
    document_read(mu, work->doc, builder);
    annotations_read(mu, &page, builder);
    walk_page(mu, work->doc, &page, builder);
    read_lettering(mu, work, &page);
    marks_read(mu, work->doc, work->page, &page, builder);
    remark_limits(mu, builder);
    return mu_repaired(mu, work->doc, work->trouble, sizeof work->trouble) ? ARTWORK_DAMAGED : ARTWORK_FINE;
}

/* What MuPDF throws on the way is the file's damage, not an error of ours. */
static bool run_facts(struct mu *mu, void *self, struct error *error)
{
    (void)error;
    struct facts_work *work = self;
    struct artwork_facts *facts = &work->builder.facts;
    fz_try(mu->ctx) facts->state = facts_read(mu, work);
    fz_catch(mu->ctx)
    {
        facts->state = ARTWORK_DAMAGED;
        sentence_into(work->trouble, sizeof work->trouble, "file-is-damaged",
                      ARGUMENTS(arg_words("why", fz_caught_message(mu->ctx))));
    }
    return true;
}

static void drop_facts(struct mu *mu, void *self)
{
    struct facts_work *work = self;
    pdf_drop_document(mu->ctx, work->doc);
}

bool verb_pdf_facts(int count, char **arguments, struct machine *machine, struct text *answer,
                    struct error *error)
{
    (void)machine;
    struct facts_work *work = arena_take(answer->arena, sizeof *work);
    work->builder.arena = answer->arena;
    work->page = count > 0 ? atoi(arguments[0]) : 1;
    if (!mu_run(&(struct mu_work){"the file", work, run_facts, drop_facts}, error)) return false;
    if (work->builder.facts.state == ARTWORK_FINE) builder_finish(&work->builder);
    if (work->trouble[0]) work->builder.facts.trouble = work->trouble;
    facts_put(answer, &work->builder.facts);
    return true;
}

/* ---- the parent's side ---- */

static bool facts_damaged(struct arena *arena, struct artwork_facts *facts, const char *trouble)
{
    *facts = (struct artwork_facts){
        .kind = ARTWORK_PDF, .state = ARTWORK_DAMAGED, .trouble = arena_copy_string(arena, trouble)};
    return true;
}

bool pdf_facts_load(struct machine *machine, const char *path, const char *subject, int page,
                    struct arena *arena, struct artwork_facts *facts, struct error *error)
{
    int fd = machine->open_file(machine, path, error);
    if (fd < 0) return false;
    char number[16];
    format_into(number, sizeof number, "%d", page);
    struct reader_order order = {.subject = subject,
                                 .arguments = (const char *const[]){"pdf-facts", number, NULL},
                                 .fds = &fd,
                                 .fd_count = 1};
    struct wire_in answer;
    struct error trouble = {0};
    bool ok = reader_ask(machine, &order, arena, &answer, &trouble);
    close(fd);
    if (!ok && trouble.kind == FAILURE_INPUT) return facts_damaged(arena, facts, trouble.text);
    if (!ok) return error_words(error, trouble.kind, trouble.text);
    if (facts_get(&answer, arena, facts)) return true;
    return facts_damaged(arena, facts, sentence_plain("its-reader-gave-answer-that-makes"));
}

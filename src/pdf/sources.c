/* Opens the artworks of an order in the reader child, each file and page once. Called before panels are
 * written or checked. */
#include "sources.h"
#include "blend.h"
#include "left_out.h"

static struct source *open_file(struct mu *mu, struct sources *sources, const struct pdf_layer *layer, int fd,
                                const struct pdf_left_out *left_out, struct error *error)
{
    for (size_t i = 0; i < sources->file_count; i++)
        if (sources->files[i].fd == fd) return &sources->files[i];
    struct source *source = &sources->files[sources->file_count++];
    source->fd = fd;
    char trouble[300];
    if (mu_open(mu, fd, &source->doc, trouble, sizeof trouble) == ARTWORK_FINE) {
        left_out_mute(mu->ctx, source->doc, left_out);
        return source;
    }
    error_set(error, FAILURE_INPUT, "path-trouble",
              ARGUMENTS(arg_words("path", layer->subject), arg_words("trouble", trouble)));
    return NULL;
}

static bool find_page(struct mu *mu, struct sources *sources, size_t index, const struct pdf_layer *layer,
                      const struct source *source, struct error *error)
{
    for (size_t i = 0; i < sources->page_count; i++) {
        struct source_page *known = &sources->pages[i];
        if (known->source != source || known->number != layer->page) continue;
        sources->of_layer[index] = known;
        return true;
    }
    struct source_page *page = &sources->pages[sources->page_count++];
    *page = (struct source_page){.source = source, .number = layer->page};
    int count;
    if (!mu_page_find(mu, source->doc, layer->page, &page->page, &count))
        return error_set(error, FAILURE_INPUT, "there-is-no-page-file-has-of-subject",
                         ARGUMENTS(arg_words("subject", layer->subject), arg_count("page", layer->page),
                                   arg_count("count", count)));
    page->blends = blend_used(mu->ctx, &page->page);
    sources->of_layer[index] = page;
    return true;
}

bool sources_open(struct mu *mu, const struct order_read *read, struct sources *sources, struct error *error)
{
    for (size_t i = 0; i < read->order.layer_count; i++) {
        const struct pdf_layer *layer = &read->order.layers[i];
        if (layer->picture) continue;
        const struct source *source =
            open_file(mu, sources, layer, read->layer_fds[i], &read->order.left_out, error);
        if (!source || !find_page(mu, sources, i, layer, source, error)) return false;
    }
    return true;
}

void sources_drop(struct mu *mu, struct sources *sources)
{
    for (size_t i = 0; i < sources->file_count; i++) pdf_drop_document(mu->ctx, sources->files[i].doc);
}

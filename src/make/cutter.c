/* Feeds all TIFF panels of a surface from one pass over its pixels, in threads, and closes and checks them.
 * Called by tiff.c. */
#include "cutter.h"
#include "base/pool.h"

/* ---- the steps of one strip, shared out among threads ---- */

struct cutter_round {
    struct panels_cutter *cutter;
    const struct strip *strip; /* NULL: the rest of the files */
    bool again;                /* some of the strip is laid already */
    struct machine *machine;
};

/* What is not packed goes on to the file while it is at hand. */
static void write_plain(struct panel_cut *cut)
{
    for (size_t i = 0; i < cut_ready(cut); i++) cut_pack(cut, i);
    cut_write(cut);
}

static void lay(void *context, size_t i)
{
    const struct cutter_round *round = context;
    struct making *panel = &round->cutter->panels[i];
    if (round->strip && !round->again) lay_back_take(&panel->laid, round->strip);
    cut_lay(&panel->cut, round->strip);
    cut_mark(&panel->cut);
    if (!cut_packs(&panel->cut)) write_plain(&panel->cut);
}

/* Number `i` of all strips that are ready, panel by panel. */
static void cutter_pack(void *context, size_t i)
{
    const struct cutter_round *round = context;
    struct making *panel = round->cutter->panels;
    for (; i >= cut_ready(&panel->cut); panel++) i -= cut_ready(&panel->cut);
    cut_pack(&panel->cut, i);
}

static void write(void *context, size_t i)
{
    const struct cutter_round *round = context;
    cut_write(&round->cutter->panels[i].cut);
}

static size_t ready_in_all(const struct panels_cutter *cutter)
{
    size_t ready = 0;
    for (size_t i = 0; i < cutter->count; i++) ready += cut_ready(&cutter->panels[i].cut);
    return ready;
}

static bool more_in_any(const struct panels_cutter *cutter, const struct strip *strip)
{
    for (size_t i = 0; i < cutter->count; i++)
        if (cut_has_more(&cutter->panels[i].cut, strip)) return true;
    return false;
}

static bool no_trouble(const struct panels_cutter *cutter, struct error *error)
{
    for (size_t i = 0; i < cutter->count; i++) {
        const struct error *trouble = &cutter->panels[i].cut.trouble;
        if (trouble->kind) return error_words(error, trouble->kind, trouble->text);
    }
    return true;
}

/* Round after round, since a panel's ring may hold less than is to come: the strip of marks at its head. */
static bool cut_all(struct panels_cutter *cutter, const struct strip *strip, struct error *error)
{
    struct cutter_round round = {.cutter = cutter, .strip = strip};
    while (more_in_any(cutter, strip)) {
        pool_run(cutter->pool, cutter->count, lay, &round);
        pool_run(cutter->pool, ready_in_all(cutter), cutter_pack, &round);
        if (ready_in_all(cutter)) pool_run(cutter->pool, cutter->count, write, &round);
        if (!no_trouble(cutter, error)) return false;
        round.again = true;
    }
    return true;
}

/* ---- the sink ---- */

static bool cutter_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    (void)self;
    if (shape->format == PIXELS_CMYK8) return true;
    return error_set(error, FAILURE_MACHINE, "panels-are-cut-from-cmyk-pixels", NULL);
}

static bool cutter_take_strip(void *self, const struct strip *strip, struct error *error)
{
    return cut_all(self, strip, error);
}

static bool cutter_end(void *self, struct error *error)
{
    return cut_all(self, NULL, error);
}

struct strip_sink cutter_sink(struct panels_cutter *cutter)
{
    return (struct strip_sink){cutter, cutter_begin, cutter_take_strip, cutter_end};
}

/* ---- the end ---- */

static void cutter_check(void *context, size_t i)
{
    const struct cutter_round *round = context;
    struct making *panel = &round->cutter->panels[i];
    lay_back_check(round->machine, &panel->laid, panel->cut.file.fd, panel->cut.path, &panel->cut.trouble);
}

bool cutter_close(struct machine *machine, struct panels_cutter *cutter, struct error *error)
{
    struct cutter_round round = {.cutter = cutter, .machine = machine};
    for (size_t i = 0; i < cutter->count; i++)
        if (!cut_end(&cutter->panels[i].cut, error)) return false;
    pool_run(cutter->pool, cutter->count, cutter_check, &round);
    if (!no_trouble(cutter, error)) return false;
    for (size_t i = 0; i < cutter->count; i++)
        if (!cut_keep(machine, &cutter->panels[i].cut, error)) return false;
    return true;
}

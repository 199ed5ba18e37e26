/* Stickers for the liner: two for each panel and inlay, one for each end, on plain A4 to be cut apart. */
#include "base/arena.h"
#include "base/text.h"
#include "copies.h"
#include "draw/qr.h"
#include "sheet/sheet.h"
#include "style.h"
#include <math.h>

enum {
    COLUMNS = 2,
    ROWS = 7,
    EACH = 2,
    COPIES_MOST = 100
}; /* COPIES_MOST: of more, one pair says how many */
static const double LABEL_WIDTH_MM = 96, LABEL_HEIGHT_MM = 40, LEFT_MM = 9, TOP_MM = 8.5;

struct labels {
    const struct plan *plan;
    const struct sheet_options *options;
    struct arena *arena;
    const struct fleet_row *vehicle; /* whose print it is; NULL: alike on all */
    int copy;                        /* of the panel's copies, from 1; 0: said of all of them */
    struct drawing **pages;
    size_t page_count, page_capacity, count;
};

static struct drawing *page_for(struct labels *l)
{
    if (l->count % (COLUMNS * ROWS) == 0)
        *(struct drawing **)arena_append(l->arena, &l->pages, &l->page_count, &l->page_capacity,
                                         sizeof *l->pages) = drawing_new(l->arena, 210, 297, "labels");
    return l->pages[l->page_count - 1];
}

static const char *labels_size_of(const struct labels *l, const struct panel *p)
{
    return arena_format(l->arena, "print %s x %s",
                        length_words(l->arena, rect_width(p->print), l->options->inches, false),
                        length_words(l->arena, rect_height(p->print), l->options->inches, true));
}

static const char *set_of(const struct labels *l, const struct surface_plan *sp)
{
    const struct condition *c = sp->surface->condition;
    return arena_format(l->arena, "%s, %s", c ? c->film->name : "film not said",
                        c && c->laminate ? c->laminate->name : "no laminate");
}

static const char *turn_of(const struct labels *l, const struct surface_plan *sp, const struct panel *p)
{
    if (!p->inlay)
        return sentence_words(l->arena, "surface-install-no-sequence-of-panels",
                              ARGUMENTS(arg_words("surface", sp->surface->name),
                                        arg_count("order", p->install_sequence),
                                        arg_count("panels", (int64_t)sp->panel_count)));
    return sentence_words(l->arena, "lay-it-first-in-recess",
                          ARGUMENTS(arg_words("surface", sp->surface->name)));
}

/* Which way is up and where the front is, as the panel is seen. */
static void put_way(struct drawing *d, struct point at, enum front front)
{
    struct point ends[] = {
        [FRONT_LEFT] = {-7, 0}, [FRONT_RIGHT] = {7, 0}, [FRONT_UP] = {0, -7}, [FRONT_DOWN] = {0, 7}};
    bool lies = front == FRONT_UP || front == FRONT_DOWN;
    if (!lies) {
        draw_arrow(d, (struct point){at.x, at.y + 5}, (struct point){at.x, at.y - 6}, 3, ink_black());
        draw_text(d, (struct point){at.x, at.y + 8.5}, words_bold(TYPE_MM, ALIGN_CENTRE), "TOP");
    }
    if (front > FRONT_DOWN) return;
    struct point middle = {at.x, lies ? at.y : at.y + 14}, way = ends[front];
    draw_arrow(d, (struct point){middle.x - way.x, middle.y - way.y},
               (struct point){middle.x + way.x, middle.y + way.y}, 3, ink_black());
    draw_text(d, (struct point){at.x, middle.y + (lies ? 11 : 4.5)}, words_bold(TYPE_MM, ALIGN_CENTRE),
              "FRONT");
}

static const char *label_name(const struct labels *l, const struct panel *p)
{
    return l->vehicle ? arena_format(l->arena, "%s   %s", p->id, l->vehicle->name) : p->id;
}

/* "FV-0212   copy 2 of 6   Six vans": the copy of a panel that is printed several times. */
static const char *label_job_line(const struct labels *l, const struct panel *p)
{
    const struct job *job = l->plan->input->job;
    const char *title = job->title ? job->title : "";
    if (p->copies <= 1) return arena_format(l->arena, "%s   %s", job->number, title);
    const char *copy = sentence_words(l->arena, l->copy ? "label-copy-of" : "label-copies",
                                      ARGUMENTS(arg_count("copy", l->copy), arg_count("copies", p->copies)));
    return arena_format(l->arena, "%s   %s   %s", job->number, copy, title);
}

static bool put_label(struct labels *l, const struct surface_plan *sp, const struct panel *p,
                      struct error *error)
{
    struct drawing *d = page_for(l);
    size_t cell = l->count++ % (COLUMNS * ROWS);
    size_t row = cell / COLUMNS, column = cell % COLUMNS;
    double x = LEFT_MM + LABEL_WIDTH_MM * (double)column, y = TOP_MM + LABEL_HEIGHT_MM * (double)row;
    const struct job *job = l->plan->input->job;
    const char *queue[2];
    panel_queue_lines(p, l->options->inches, l->arena, queue);
    const char *lines[] = {
        label_job_line(l, p),
        turn_of(l, sp, p),
        labels_size_of(l, p),
        queue[0],
        queue[1],
        set_of(l, sp),
        "batch __________  printed ________",
    };
    draw_rect(d, rect_of(x, y, LABEL_WIDTH_MM, LABEL_HEIGHT_MM),
              (struct look){.line = ink_pale(), .line_mm = 0.15, .dash_mm = 1, .gap_mm = 1});
    struct letters name = words_bold(6.4, ALIGN_LEFT), small = words_of(TYPE_MM, ALIGN_LEFT);
    name.most_mm = LABEL_WIDTH_MM - 44, small.most_mm = LABEL_WIDTH_MM - 44;
    draw_text(d, (struct point){x + 25, y + 9.5}, name, label_name(l, p));
    double down = y + 15.5, step = queue[1] ? 3.7 : queue[0] ? 4.3 : 5;
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        if (lines[i]) draw_text(d, (struct point){x + 25, down}, small, lines[i]), down += step;
    put_way(d, (struct point){x + LABEL_WIDTH_MM - 10, y + 12}, sp->surface->front);
    return draw_qr(d, (struct point){x + 3.5, y + 10}, 19, panel_code(job, p, l->arena), error);
}

/* Two for each copy; of very many copies two that say how many there are. */
static bool put_copies(struct labels *l, const struct surface_plan *sp, const struct panel *p,
                       struct error *error)
{
    int copies = p->copies > 1 && p->copies <= COPIES_MOST ? p->copies : 1;
    for (int i = 0; i < EACH * copies; i++) {
        l->copy = p->copies > COPIES_MOST ? 0 : i / EACH + 1;
        if (!put_label(l, sp, p, error)) return false;
    }
    return true;
}

/* Of a print that differs, for each vehicle. */
static bool put_labels(struct labels *l, const struct surface_plan *sp, const struct panel *p,
                       struct error *error)
{
    size_t vehicles = p->varies ? l->plan->vehicle_count : 1;
    for (size_t i = 0; i < vehicles; i++) {
        l->vehicle = p->varies ? l->plan->vehicles[i].row : NULL;
        if (!put_copies(l, sp, p, error)) return false;
    }
    return true;
}

/* Inlays first, then the panels as they are put on. */
static bool labels_put_surface(struct labels *l, const struct surface_plan *sp, struct error *error)
{
    for (size_t i = sp->panel_count; i < surface_print_count(sp); i++)
        if (!put_labels(l, sp, &sp->panels[i], error)) return false;
    for (size_t turn = 1; turn <= sp->panel_count; turn++)
        for (size_t i = 0; i < sp->panel_count; i++)
            if (sp->panels[i].install_sequence == (int)turn && !put_labels(l, sp, &sp->panels[i], error))
                return false;
    return true;
}

bool labels_write(const struct plan *plan, const struct sheet_options *options, struct machine *machine,
                  const char *path, struct arena *arena, struct error *error)
{
    struct labels l = {.plan = plan, .options = options, .arena = arena};
    for (size_t i = 0; i < plan->surface_count; i++)
        if (!labels_put_surface(&l, &plan->surfaces[i], error)) return false;
    if (!l.count) page_for(&l);
    return drawings_pdf((const struct drawing *const *)l.pages, l.page_count,
                        arena_format(arena, "%s liner labels", plan->input->job->number), options->date,
                        machine, path, error);
}

/* What is observed of the unknowns: residuals, each over its standard error. */
#include "inner.h"
#include <math.h>

/* Standard errors; of lines and right angles by eye and level, of places that somebody knows, and of what only fixes where
 * the origin lies: our own values. */
static const double line_sd = 0.002, corner_sd = 0.003, known_sd_mm = 1, fixed_sd = 1e-6, lens_sd = 0.02;

double sight_length_sd(const struct sight_length *length)
{
    return isnan(length->sd_mm) ? 2 + 0.0005 * length->taped_mm : length->sd_mm;
}

bool sight_is_taped(const struct sight_length *length)
{
    return !isnan(length->taped_mm);
}

/* Whether +x has to be taken from the picture. */
static bool model_takes_horizontal(const struct sight_order *order)
{
    return !order->line_count && order->known_count < 2;
}

static double longest_mm(const struct sight_order *order)
{
    double longest = 0;
    for (size_t i = 0; i < order->length_count; i++)
        if (sight_is_taped(&order->lengths[i])) longest = fmax(longest, order->lengths[i].taped_mm);
    for (size_t i = 1; i < order->known_count; i++)
        longest = fmax(longest, hypot(order->knowns[i].place_mm.x - order->knowns[0].place_mm.x,
                                      order->knowns[i].place_mm.y - order->knowns[0].place_mm.y));
    return longest > 0 ? longest : 1;
}

struct sight_model sight_model_of(const struct sight_order *order, const bool *left_out)
{
    struct sight_model m = {.order = order, .left_out = left_out, .unit_mm = longest_mm(order)};
    m.half_px = hypot(order->width_px, order->height_px) / 2;
    m.mark_sd = (order->mark_px > 0 ? order->mark_px : 1.5) / m.half_px;
    if (order->known_count) m.shift_mm = order->knowns[0].place_mm;
    m.map = 2 * order->mark_count, m.lens = m.map + 8, m.lens_count = order->edge_count ? 2 : 1;
    m.edges = m.lens + m.lens_count, m.count = m.edges + 2 * order->edge_count;
    m.observed = 2 * order->mark_count + order->length_count + order->line_count + order->corner_count +
                 2 * order->known_count + (order->known_count ? 0 : 2) + model_takes_horizontal(order) +
                 m.lens_count;
    for (size_t i = 0; i < order->edge_count; i++) m.observed += order->edges[i].count;
    return m;
}

struct point sight_normal(const struct sight_model *model, struct point picture)
{
    return (struct point){(picture.x - model->order->width_px / 2) / model->half_px,
                          (model->order->height_px / 2 - picture.y) / model->half_px};
}

static struct point model_straight(const struct sight_model *model, const double *unknown,
                                   struct point normal)
{
    double r2 = normal.x * normal.x + normal.y * normal.y;
    double k2 = model->lens_count > 1 ? unknown[model->lens + 1] : 0;
    double times = 1 + r2 * (unknown[model->lens] + r2 * k2);
    return (struct point){normal.x * times, normal.y * times};
}

static struct point model_place(const double *unknown, size_t mark)
{
    return (struct point){unknown[2 * mark], unknown[2 * mark + 1]};
}

static struct point model_seen(const double *h, struct point p)
{
    double w = h[6] * p.x + h[7] * p.y + 1;
    return (struct point){(h[0] * p.x + h[1] * p.y + h[2]) / w, (h[3] * p.x + h[4] * p.y + h[5]) / w};
}

static double *add_marks(const struct sight_model *m, const double *unknown, double *out)
{
    for (size_t i = 0; i < m->order->mark_count; i++) {
        struct point there = model_straight(m, unknown, sight_normal(m, m->order->marks[i]));
        struct point seen = model_seen(unknown + m->map, model_place(unknown, i));
        *out++ = (seen.x - there.x) / m->mark_sd, *out++ = (seen.y - there.y) / m->mark_sd;
    }
    return out;
}

static double *add_lengths(const struct sight_model *m, const double *unknown, double *out)
{
    for (size_t i = 0; i < m->order->length_count; i++) {
        const struct sight_length *length = &m->order->lengths[i];
        struct point a = model_place(unknown, length->from), b = model_place(unknown, length->to);
        double long_mm = hypot(b.x - a.x, b.y - a.y) * m->unit_mm;
        bool counts = sight_is_taped(length) && !m->left_out[i];
        *out++ = counts ? (long_mm - length->taped_mm) / sight_length_sd(length) : 0;
    }
    return out;
}

static double *add_directions(const struct sight_model *m, const double *unknown, double *out)
{
    for (size_t i = 0; i < m->order->line_count; i++) {
        const struct sight_line *line = &m->order->lines[i];
        struct point a = model_place(unknown, line->from), b = model_place(unknown, line->to);
        double across = line->kind == SIGHT_LEVEL ? b.y - a.y : b.x - a.x;
        *out++ = across / fmax(hypot(b.x - a.x, b.y - a.y), 1e-9) / line_sd;
    }
    for (size_t i = 0; i < m->order->corner_count; i++) {
        const struct sight_corner *corner = &m->order->corners[i];
        struct point at = model_place(unknown, corner->at), a = model_place(unknown, corner->from),
                     b = model_place(unknown, corner->to);
        double ax = a.x - at.x, ay = a.y - at.y, bx = b.x - at.x, by = b.y - at.y;
        *out++ = (ax * bx + ay * by) / fmax(hypot(ax, ay) * hypot(bx, by), 1e-12) / corner_sd;
    }
    return out;
}

/* Known places; without them the origin, and what +x is where nothing says it: its picture is level there. */
static double *add_places(const struct sight_model *m, const double *unknown, double *out)
{
    const struct sight_order *order = m->order;
    const double *h = unknown + m->map;
    for (size_t i = 0; i < order->known_count; i++) {
        struct point p = model_place(unknown, order->knowns[i].mark);
        struct point known = order->knowns[i].place_mm;
        *out++ = (p.x * m->unit_mm + m->shift_mm.x - known.x) / known_sd_mm;
        *out++ = (p.y * m->unit_mm + m->shift_mm.y - known.y) / known_sd_mm;
    }
    struct point origin = model_place(unknown, order->known_count ? order->knowns[0].mark : order->origin);
    if (!order->known_count) *out++ = origin.x / fixed_sd, *out++ = origin.y / fixed_sd;
    if (model_takes_horizontal(order)) *out++ = (h[3] - model_seen(h, origin).y * h[6]) / fixed_sd;
    return out;
}

static double *add_edges(const struct sight_model *m, const double *unknown, double *out)
{
    for (size_t i = 0; i < m->order->edge_count; i++) {
        double angle = unknown[m->edges + 2 * i], far = unknown[m->edges + 2 * i + 1];
        for (size_t k = 0; k < m->order->edges[i].count; k++) {
            struct point p = model_straight(m, unknown, sight_normal(m, m->order->edges[i].points[k]));
            *out++ = (p.x * cos(angle) + p.y * sin(angle) - far) / m->mark_sd;
        }
    }
    return out;
}

void sight_residuals(const struct sight_model *m, const double *unknown, double *residuals)
{
    double *out = add_marks(m, unknown, residuals);
    out = add_lengths(m, unknown, out);
    out = add_directions(m, unknown, out);
    out = add_places(m, unknown, out);
    for (size_t i = 0; i < m->lens_count; i++) *out++ = unknown[m->lens + i] / lens_sd;
    add_edges(m, unknown, out);
}

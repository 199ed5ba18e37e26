/* Corners of the vehicle: which of two surfaces wraps round, and how far. */
#include "read.h"
#include "surfaces.h"
#include "base/str.h"
#include "model/surface.h"

#define AT(field) offsetof(struct corner, field)

static key_reader read_corner_pair;
static const struct key corner_keys[] = {
    {"surfaces", FORM_SPECIAL, 0, 0, 0, .help = "The two that meet.", .required = true,
     .read = read_corner_pair, .words = "two surfaces such as left-rear"},
    {"over", FORM_TEXT, AT(over), 0, 0, .help = "Which of both wraps round the corner and lies over.",
     .otherwise = "roof over front, front over side, side over rear"},
    {"wrap", FORM_LENGTH, AT(wrap_mm), 5, 100,
     .help = "How far it wraps onto the other; 15 to 25 mm in the trade.", .measured = true,
     .otherwise = "common practice corner-wrap"},
    {0},
};
const struct group corner_group = {"corners", corner_keys};

static void read_corner_pair(struct reading *reading, const struct key *key, const struct node *node,
                             void *target)
{
    struct corner *corner = target;
    read_surface_pair(reading, key, node, &corner->one, &corner->other);
}

static void add_corner(struct reading *reading, const struct node *node)
{
    struct job *job = reading->job;
    struct corner corner = {.place = place_of(reading, node)};
    if (node->kind == NODE_GROUP)
        read_group(reading, &corner_group, node, &corner);
    else
        read_corner_pair(reading, &corner_keys[0], node, &corner);
    if (corner.one)
        *(struct corner *)append(reading, &job->corners, &job->corner_count, sizeof corner) = corner;
}

void read_corners(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    (void)key, (void)target;
    if (node->kind != NODE_LIST) {
        add_corner(reading, node);
        return;
    }
    for (const struct node *entry = node->first; entry; entry = entry->next) add_corner(reading, entry);
}

/* ---- when all is read ---- */

static bool corners_check_over(struct reading *reading, struct corner *corner)
{
    const struct surface_spec *one = surface_find(reading->job, corner->one);
    const struct surface_spec *other = surface_find(reading->job, corner->other);
    enum edge edge;
    if (!corner_edge(one->front, other->front, &edge)) {
        report_add(reading->report, corner->place, "and-do-not-meet-at-corner",
                   ARGUMENTS(arg_words("one", one->name), arg_words("other", other->name),
                             arg_words("front", front_name(one->front)),
                             arg_words("front_2", front_name(other->front))));
        return false;
    }
    const struct surface_spec *over = corner->over ? surface_find(reading->job, corner->over) : NULL;
    if (!corner->over) over = corner_lies_over(one->front, other->front) ? one : other;
    if (over != one && over != other) {
        report_add(reading->report, corner->place, "over-must-be-one-of",
                   ARGUMENTS(arg_words("over", corner->over), arg_words("one", one->name),
                             arg_words("other", other->name)));
        return false;
    }
    corner->over = over->name;
    return true;
}

static bool corners_same_pair(const struct corner *a, const struct corner *b)
{
    return (string_equal(a->one, b->one) && string_equal(a->other, b->other)) ||
           (string_equal(a->one, b->other) && string_equal(a->other, b->one));
}

/* Each corner once, and one corner an edge. */
static void check_once(struct reading *reading, size_t i)
{
    const struct corner *corner = &reading->job->corners[i];
    for (size_t k = 0; k < i; k++)
        if (corners_same_pair(corner, &reading->job->corners[k]))
            report_add(reading->report, corner->place, "corner-of-and-is-already-on",
                       ARGUMENTS(arg_words("one", corner->one), arg_words("other", corner->other),
                                 arg_count("line", reading->job->corners[k].place.line)));
}

/* What lies under goes on first: takes away, again and again, a surface that lies over none that is left. */
static bool leads_in_a_circle(const struct job *job, struct arena *arena)
{
    bool *gone = arena_take_array(arena, job->corner_count, sizeof *gone);
    for (size_t left = job->corner_count; left;) {
        size_t before = left;
        for (size_t i = 0; i < job->corner_count; i++) {
            const struct corner *c = &job->corners[i];
            const char *under = string_equal(c->over, c->one) ? c->other : c->one;
            bool free = !gone[i];
            for (size_t k = 0; free && k < job->corner_count; k++)
                free = gone[k] || !string_equal(job->corners[k].over, under);
            if (free) gone[i] = true, left--;
        }
        if (left == before) return true;
    }
    return false;
}

void finish_corners(struct reading *reading)
{
    struct job *job = reading->job;
    bool good = true;
    for (size_t i = 0; i < job->corner_count; i++) {
        good &= corners_check_over(reading, &job->corners[i]);
        check_once(reading, i);
    }
    if (good && job->corner_count && leads_in_a_circle(job, reading->arena))
        report_add(reading->report, job->corners[0].place, "corners-leads-in-circle-each-of", NULL);
}

/* Geometry of drawings against closed forms and the rules of SVG 1.1; kinds and attributes against the
 * contract (a shape's own class, its id, then the groups around it). */
#include "support.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

#define SVG "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" "

static struct made made;

static int set_up(void **state)
{
    (void)state;
    made = made_new();
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    made_free(&made);
    return 0;
}

static void print_mistakes(void)
{
    for (size_t i = 0; i < made.report.count; i++)
        print_message("# %d: %s\n", made.report.mistakes[i].place.line, made.report.mistakes[i].text);
}

/* A drawing of one unit to the millimetre on paper, 1000 by 1000. */
static const struct surface *draw(const char *body, double scale)
{
    static char svg[20000];
    snprintf(svg, sizeof svg, SVG "width=\"1000mm\" height=\"1000mm\" viewBox=\"0 0 1000 1000\">%s</svg>",
             body);
    assert_true(made_svg(&made, svg, scale));
    if (!made.surface) print_mistakes();
    assert_non_null(made.surface);
    return made.surface;
}

static void assert_size(const struct surface *s, double width, double height, double area)
{
    assert_near(s->width_mm, width, 1e-5);
    assert_near(s->height_mm, height, 1e-5);
    assert_near(polygon_area(&s->outline), area, 1e-6 * area + 1e-4);
}

static void rectangle_at_a_scale(void **state)
{
    (void)state;
    assert_size(draw("<rect class=\"outline\" x=\"10\" y=\"20\" width=\"540\" height=\"190\"/>", 10), 5400,
                1900, 5400.0 * 1900);
}

/* CSS 2.1, 4.3.2: 1 in = 2.54 cm = 25.4 mm = 72 pt = 6 pc = 96 px. */
static void every_unit_is_one_inch(void **state)
{
    (void)state;
    static const char *const inch[] = {"1in", "2.54cm", "25.4mm", "72pt", "6pc", "96px", "96"};
    for (size_t i = 0; i < sizeof inch / sizeof *inch; i++) {
        char svg[400];
        made_free(&made);
        made = made_new();
        snprintf(svg, sizeof svg,
                 SVG "width=\"%s\" height=\"%s\" viewBox=\"0 0 2 2\"><rect id=\"outline\" width=\"2\" "
                     "height=\"1\"/></svg>",
                 inch[i], inch[i]);
        assert_true(made_svg(&made, svg, 4));
        assert_size(made.surface, 4 * 25.4, 2 * 25.4, 8 * 25.4 * 25.4);
        made_free(&made);
        made = made_new();
        snprintf(svg, sizeof svg,
                 SVG "width=\"10in\" height=\"10in\"><rect id=\"outline\" width=\"%s\" height=\"%s\"/></svg>",
                 inch[i], inch[i]);
        assert_true(made_svg(&made, svg, 1));
        assert_size(made.surface, 25.4, 25.4, 25.4 * 25.4);
    }
}

/* SVG 1.1, 7.8: the default xMidYMid meet scales evenly by the smaller ratio; none does not, and is said. */
static void aspect_ratio(void **state)
{
    (void)state;
    const char *meet = SVG "width=\"200mm\" height=\"100mm\" viewBox=\"0 0 200 200\">"
                           "<rect class=\"outline\" width=\"60\" height=\"60\"/></svg>";
    const char *none =
        SVG "width=\"200mm\" height=\"100mm\" viewBox=\"0 0 200 200\" preserveAspectRatio=\"none\">"
            "<rect class=\"outline\" width=\"60\" height=\"60\"/></svg>";
    assert_true(made_svg(&made, meet, 1));
    assert_size(made.surface, 30, 30, 900);
    assert_true(made_svg(&made, none, 1));
    assert_size(made.surface, 60, 30, 1800);
    assert_true(made_says(&made, 1, "preserveAspectRatio", true));
}

/* The same square by every form of a transform; SVG 1.1, 7.6. */
static void transforms(void **state)
{
    (void)state;
    assert_size(draw("<rect class=\"outline\" width=\"100\" height=\"100\" transform=\"rotate(45)\"/>", 1),
                100 * sqrt(2), 100 * sqrt(2), 1e4);
    assert_size(draw("<rect class=\"outline\" width=\"100\" height=\"100\" transform=\"rotate(90,50 "
                     "50)scale(2 .5)\"/>",
                     1),
                50, 200, 1e4);
    assert_size(draw("<rect class=\"outline\" width=\"100\" height=\"100\" transform=\" skewX( 45 ) \"/>", 1),
                200, 100, 1e4);
    assert_size(
        draw("<rect class=\"outline\" width=\"100\" height=\"100\" transform=\"skewY(45),translate(-3-4)\"/>",
             1),
        100, 200, 1e4);
    assert_size(
        draw("<g transform=\"matrix(2 0 0 3 5 5)\"><rect class=\"outline\" width=\"100\" height=\"100\" "
             "transform=\"translate(7)\"/></g>",
             1),
        200, 300, 6e4);
}

/* Where a feature lands tells the order of transforms: first the shape's own, then the group's. */
static void order_of_transforms(void **state)
{
    (void)state;
    const struct surface *s = draw(
        "<rect class=\"outline\" width=\"500\" height=\"500\"/><g transform=\"translate(100 0) scale(2)\">"
        "<rect class=\"handle\" x=\"10\" y=\"20\" width=\"30\" height=\"40\" transform=\"translate(5 "
        "6)\"/></g>",
        1);
    assert_int_equal(s->feature_count, 1);
    struct rect box = s->features[0].box;
    assert_near(box.x0, 130, 1e-5);
    assert_near(box.x1, 190, 1e-5);
    assert_near(box.y1, 500 - 52, 1e-5);
    assert_near(box.y0, 500 - 132, 1e-5);
}

/* The same square from each command, absolute and relative, numbers run together (SVG 1.1, 8.3.9). */
static void straight_commands(void **state)
{
    (void)state;
    static const char *const paths[] = {
        "M10 10L110 10L110,110 10,110Z",  "M10,10 110,10 110,110 10,110z",
        "m10 10h100v100h-100z",           "M10 10H110V110H10V10",
        "m10,10l100,0,0,100-100,0z",      "M1e1.1e2H1.1e2V11e1H10z",
        "M10 10h50.0.5 49.5v100H10z",     "M0 0m10 10l100 0 0 100-100 0z",
        " M 10 10 h 100 v 100 h -100 z ", "M10 10L110 10 110 110L10 110 10 10Z",
    };
    for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) {
        char body[300];
        snprintf(body, sizeof body, "<path class=\"outline\" d=\"%s\"/>", paths[i]);
        assert_size(draw(body, 1), 100, 100, 1e4);
    }
}

static double outline_area(const char *d, double scale)
{
    char body[1000];
    snprintf(body, sizeof body, "<path class=\"outline\" d=\"%s\"/>", d);
    return polygon_area(&draw(body, scale)->outline);
}

/* Archimedes: a parabola's segment is 2/3 of the triangle of chord and control point. A quadratic Bezier
 * curve is a parabola, and so is the cubic of raised degree. */
static void curves(void **state)
{
    (void)state;
    /* Chord 100, control point at 60: 2/3 * 1/2 * 100 * 60. */
    assert_near(outline_area("M0 0Q50 60 100 0Z", 1), 2000, 100 * 0.05);
    assert_near(outline_area("m0 0q50 60 100 0z", 1), 2000, 100 * 0.05);
    assert_near(outline_area("M0 0C33.3333333 40 66.6666667 40 100 0Z", 1), 2000, 100 * 0.05);
    /* T mirrors the control point: the second hump hangs below, the same area again. */
    double both = outline_area("M0 0Q50 60 100 0T200 0L200 -100L0 -100Z", 1);
    assert_near(both, 200 * 100, 200 * 0.05);
    assert_near(
        outline_area("M0 0C33.3333333 40 66.6666667 40 100 0S166.6666667 -40 200 0L200 -100L0 -100Z", 1), 2e4,
        200 * 0.05);
    /* S after no curve takes the current point as first control: the cubic summed in small steps. */
    double n = 20000, sum = 0, px = 0, py = 0;
    for (double i = 1; i <= n; i++) {
        double t = i / n, u = 1 - t, x = 3 * u * t * t * 100 + t * t * t * 100, y = 3 * u * t * t * 60;
        sum += (px * y - x * py) / 2;
        px = x, py = y;
    }
    assert_near(outline_area("M0 0S100 60 100 0Z", 1), fabs(sum), 100 * 0.05);
}

/* Circles by arcs, in each way of writing; flags may stand without blanks (SVG 1.1, 8.3.8 and F.6). */
static void arcs(void **state)
{
    (void)state;
    double area = M_PI * 1e4, slack = 2 * M_PI * 100 * 0.05;
    assert_near(outline_area("M100 0A100 100 0 0 1 -100 0A100 100 0 0 1 100 0Z", 1), area, slack);
    assert_near(outline_area("M100 0a100,100 0 01-200,0a100 100 0 01200 0z", 1), area, slack);
    assert_near(outline_area("M100 0a100 100 0 1 1 0 .0001z", 1), area, slack + 1);
    /* Radii too small grow until they reach: the chord is the diameter, half a circle of radius 100. */
    assert_near(outline_area("M-100 0A1 1 0 0 1 100 0Z", 1), area / 2, slack);
    /* An ellipse of 200 by 50 turned by 30 degrees; its box by the closed form. */
    double t = M_PI / 6, wide = 2 * hypot(200 * cos(t), 50 * sin(t));
    const struct surface *s =
        draw("<path class=\"outline\" d=\"M173.2050808 100A200 50 30 0 1 -173.2050808 -100"
             "A200 50 30 0 1 173.2050808 100Z\"/>",
             1);
    assert_near(s->width_mm, wide, 0.1);
    assert_near(polygon_area(&s->outline), M_PI * 200 * 50, 1000 * 0.05);
}

/* Flattening stays within 0.05 mm on the vehicle: every chord of a circle drawn at 1:20. */
static void curves_keep_their_tolerance(void **state)
{
    (void)state;
    const struct surface *s = draw("<circle class=\"outline\" cx=\"100\" cy=\"100\" r=\"75\"/>", 20);
    assert_near(s->width_mm, 3000, 1e-5);
    for (size_t i = 0; i < s->outline.count; i++) {
        struct point p = s->outline.points[i], q = s->outline.points[(i + 1) % s->outline.count];
        assert_near(hypot(p.x - 1500, p.y - 1500), 1500, 1e-5);
        assert_true(hypot((p.x + q.x) / 2 - 1500, (p.y + q.y) / 2 - 1500) >= 1500 - 0.05);
    }
}

static void basic_shapes(void **state)
{
    (void)state;
    /* Rounded rectangle: four quarter ellipses off the corners (SVG 1.1, 9.2); one radius stands for both. */
    double corner = (4 - M_PI) * 10 * 10;
    const struct surface *s = draw("<rect class=\"outline\" width=\"200\" height=\"100\" ry=\"10\"/>", 1);
    assert_near(polygon_area(&s->outline), 2e4 - corner, 4);
    s = draw("<rect class=\"outline\" width=\"200\" height=\"100\" rx=\"500\" ry=\"20\"/>", 1);
    assert_near(polygon_area(&s->outline), 2e4 - (4 - M_PI) * 100 * 20, 30);
    s = draw("<ellipse class=\"outline\" cx=\"300\" cy=\"300\" rx=\"200\" ry=\"100\"/>", 1);
    assert_near(polygon_area(&s->outline), M_PI * 2e4, 1000 * 0.05);
    assert_size(draw("<polygon class=\"outline\" points=\"0,0 100,0 100-100 0-100\"/>", 1), 100, 100, 1e4);
    assert_size(draw("<polyline class=\"outline\" points=\"0 0 30 0 0 40\"/>", 1), 30, 40, 600);
}

/* y is turned up and the origin put at the lower left corner: what is drawn above lies at larger y. */
static void y_is_turned_up(void **state)
{
    (void)state;
    const struct surface *s = draw("<path class=\"outline\" d=\"M50 50H250V150H50Z\"/>"
                                   "<rect class=\"handle\" x=\"60\" y=\"55\" width=\"10\" height=\"5\"/>"
                                   "<line class=\"gap\" x1=\"150\" y1=\"150\" x2=\"150\" y2=\"50\"/>",
                                   1);
    assert_near(s->features[0].box.x0, 10, 1e-6);
    assert_near(s->features[0].box.y0, 90, 1e-6);
    assert_near(s->features[0].box.y1, 95, 1e-6);
    assert_int_equal(s->features[1].kind, FEATURE_GAP);
    assert_near(s->features[1].from.x, 100, 1e-6);
    assert_near(s->features[1].from.y, 0, 1e-6);
    assert_near(s->features[1].to.y, 100, 1e-6);
    assert_true(polygon_area(&s->outline) > 0);
}

static void nested_drawings_and_use(void **state)
{
    (void)state;
    /* Inner svg of 200 x 100 at 50, 50 whose view box is 20 x 10: 10 to 1. */
    assert_size(draw("<svg x=\"50\" y=\"50\" width=\"200\" height=\"100\" viewBox=\"0 0 20 10\">"
                     "<rect class=\"outline\" width=\"15\" height=\"8\"/></svg>",
                     1),
                150, 80, 12000);
    const struct surface *s =
        draw("<rect class=\"outline\" width=\"500\" height=\"500\"/>"
             "<defs><rect id=\"grip\" width=\"40\" height=\"20\"/>"
             "<symbol id=\"lamp\" viewBox=\"0 0 2 1\"><rect class=\"light\" width=\"2\" "
             "height=\"1\"/></symbol></defs>"
             "<use class=\"handle\" xlink:href=\"#grip\" x=\"100\" y=\"100\"/>"
             "<g class=\"badge\"><use href=\"#grip\" transform=\"translate(10 10) scale(2)\"/></g>"
             "<use href=\"#lamp\" x=\"300\" y=\"400\" width=\"100\" height=\"50\"/>",
             1);
    assert_int_equal(s->feature_count, 3);
    assert_int_equal(s->features[0].kind, FEATURE_HANDLE);
    assert_near(s->features[0].box.x0, 100, 1e-6);
    assert_near(s->features[0].box.y1, 400, 1e-6);
    assert_int_equal(s->features[1].kind, FEATURE_BADGE);
    assert_near(rect_width(s->features[1].box), 80, 1e-6);
    assert_int_equal(s->features[2].kind, FEATURE_LIGHT);
    assert_near(rect_width(s->features[2].box), 100, 1e-6);
    assert_near(s->features[2].box.y0, 50, 1e-6);
}

static int kind_of_feature(const char *shape)
{
    char body[600];
    snprintf(body, sizeof body, "<rect class=\"outline\" width=\"500\" height=\"500\"/>%s", shape);
    const struct surface *s = draw(body, 1);
    return s->feature_count ? (int)s->features[0].kind : -1;
}

#define BOX                                                                                                  \
    "x=\"10\" y=\"10\" width=\"20\" height=\"20\" data-depth=\"3\" data-pitch=\"40\" data-rise=\"2\"/>"

/* The contract's order: own class, own id, then class, id, layer label of each group from the inside out. */
static void kinds(void **state)
{
    (void)state;
    assert_int_equal(kind_of_feature("<rect class=\"handle\" " BOX), FEATURE_HANDLE);
    assert_int_equal(kind_of_feature("<rect class=\"big  hinge x\" " BOX), FEATURE_HINGE);
    assert_int_equal(kind_of_feature("<rect id=\"handle2\" " BOX), FEATURE_HANDLE);
    assert_int_equal(kind_of_feature("<rect id=\"keep-clear-12\" " BOX), FEATURE_KEEP_CLEAR);
    assert_int_equal(kind_of_feature("<rect id=\"keep-clear\" " BOX), FEATURE_KEEP_CLEAR);
    assert_int_equal(kind_of_feature("<rect id=\"keep-whole-1b\" " BOX), FEATURE_KEEP_WHOLE);
    assert_int_equal(kind_of_feature("<rect id=\"handled\" " BOX), -1);
    assert_int_equal(kind_of_feature("<rect " BOX), -1);
    assert_int_equal(kind_of_feature("<rect class=\"light\" id=\"handle\" " BOX), FEATURE_LIGHT);
    assert_int_equal(kind_of_feature("<g class=\"dome\"><rect id=\"recess1\" " BOX "</g>"), FEATURE_RECESS);
    assert_int_equal(kind_of_feature("<g id=\"opening-1\"><g><rect id=\"x1\" " BOX "</g></g>"),
                     FEATURE_OPENING);
    assert_int_equal(kind_of_feature("<g class=\"glass\"><g id=\"curve\"><rect " BOX "</g></g>"),
                     FEATURE_CURVE);
    assert_int_equal(kind_of_feature("<g xmlns:q=\"urn:any\" q:label=\"corrugation\"><rect " BOX "</g>"),
                     FEATURE_CORRUGATION);
    assert_int_equal(
        kind_of_feature("<g id=\"badge\" xmlns:q=\"urn:any\" q:label=\"handle\"><rect " BOX "</g>"),
        FEATURE_BADGE);
}

static void hidden_is_not_read(void **state)
{
    (void)state;
    assert_int_equal(kind_of_feature("<rect class=\"handle\" display=\"none\" " BOX), -1);
    assert_int_equal(
        kind_of_feature("<g style=\"fill:red; display : none\"><rect class=\"handle\" " BOX "</g>"), -1);
    assert_int_equal(kind_of_feature("<rect class=\"handle\" style=\"display:inline\" display=\"none\" " BOX),
                     FEATURE_HANDLE);
    assert_int_equal(kind_of_feature("<defs><rect class=\"handle\" " BOX "</defs>"), -1);
}

static void data_attributes(void **state)
{
    (void)state;
    const struct surface *s =
        draw("<rect class=\"outline\" width=\"500\" height=\"500\"/>"
             "<g data-margin=\"4 cm\"><rect class=\"recess\" x=\"1\" y=\"1\" width=\"200\" height=\"200\" "
             "data-depth=\"0.5 in\" data-wall=\"60 deg\" data-radius=\"5\" data-name=\"step\"/></g>"
             "<rect class=\"corrugation\" y=\"300\" width=\"100\" height=\"100\" data-depth=\"18\" "
             "data-pitch=\"76 mm\" "
             "data-profile=\"arcs\" data-runs=\"lying\" data-laid=\"bridged\"/>",
             10);
    const struct feature *recess = &s->features[0], *ribs = &s->features[1];
    assert_near(recess->depth_mm, 12.7, 1e-9);
    assert_near(recess->wall_deg, 60, 0);
    assert_near(recess->radius_mm, 5, 0);
    assert_near(recess->margin_mm, 40, 1e-9);
    assert_string_equal(recess->name, "step");
    assert_near(ribs->pitch_mm, 76, 0);
    assert_int_equal(ribs->profile, PROFILE_ARCS);
    assert_false(ribs->ribs_upright);
    assert_int_equal(ribs->laid, LAID_BRIDGED);
    assert_near(ribs->margin_mm, -1, 0);
}

/* Further parts of the outline are cut out of it; the area says so. */
static void outline_with_a_window(void **state)
{
    (void)state;
    const struct surface *s = draw("<path class=\"outline\" d=\"M20 20h50v50h-50zM0 0H500V300H0Z\"/>", 1);
    assert_size(s, 500, 300, 15e4);
    assert_int_equal(s->feature_count, 1);
    assert_int_equal(s->features[0].kind, FEATURE_OPENING);
    assert_near(s->area_m2, 0.15 - 0.0025, 1e-9);
    assert_true(made_says(&made, 1, "taken as opening", true));
}

static void what_was_not_read_is_said(void **state)
{
    (void)state;
    draw("<rect class=\"outline\" width=\"500\" height=\"500\"/>\n<text>a</text>\n<text>b</text>\n<circle "
         "r=\"3\"/>",
         1);
    assert_true(made_says(&made, 2, "2 text elements", true));
    assert_true(made_says(&made, 4, "this circle was not read", true));
    assert_int_equal(made.report.errors, 0);
}

/* ---- refused, with a line and what would be right ---- */

struct refusal {
    const char *svg;
    int line;
    const char *words;
};

#define HEAD    SVG "width=\"100mm\" height=\"100mm\">\n"
#define OUTLINE "<rect class=\"outline\" width=\"90\" height=\"90\"/>\n"
static const struct refusal refusals[] = {
    {"", 1, "not well-formed"},
    {"no drawing at all", 1, "not well-formed"},
    {"<html><body/></html>", 1, "not svg"},
    {SVG "viewBox=\"0 0 9 9\">" OUTLINE "</svg>", 1, "no width"},
    {SVG "width=\"100%\" height=\"100%\" viewBox=\"0 0 9 9\">" OUTLINE "</svg>", 1, "not a real size"},
    {SVG "width=\"10em\" height=\"3em\">" OUTLINE "</svg>", 1, "not a real size"},
    {SVG "width=\"0\" height=\"100mm\">" OUTLINE "</svg>", 1, "not a real size"},
    {SVG "width=\"-5mm\" height=\"100mm\">" OUTLINE "</svg>", 1, "not a real size"},
    {SVG "width=\"9mm\" height=\"9mm\" viewBox=\"0 0 0 9\">" OUTLINE "</svg>", 1, "viewBox"},
    {SVG "width=\"9mm\" height=\"9mm\" viewBox=\"0 0 9\">" OUTLINE "</svg>", 1, "viewBox"},
    {HEAD "<rect class=\"handle\" width=\"9\" height=\"9\"/></svg>", 1, "no outline"},
    {HEAD OUTLINE OUTLINE "</svg>", 3, "second outline"},
    {HEAD "<path class=\"outline\" d=\"M0 0L9 9 9\"/></svg>", 2, "cannot be read from character"},
    {HEAD "<path class=\"outline\" d=\"L0 0 9 9\"/></svg>", 2, "cannot be read from character 2"},
    {HEAD "<path class=\"outline\" d=\"M0 0a5 5 0 2 0 9 9\"/></svg>", 2, "cannot be read from character"},
    {HEAD "<path class=\"outline\" d=\"\"/></svg>", 2, "no extent"},
    {HEAD "<rect class=\"outline\" width=\"0\" height=\"9\"/></svg>", 2, "no extent"},
    {HEAD "<rect class=\"outline\" width=\"wide\" height=\"9\"/></svg>", 2, "width \"wide\" cannot be read"},
    {HEAD "<path class=\"outline\" d=\"M0 0H1e30V9H0Z\"/></svg>", 2, "farther than 1 km"},
    {HEAD
     "<rect class=\"outline\" width=\"9e9\" height=\"9e9\" transform=\"scale(1e300)scale(1e300)\"/></svg>",
     2, "transform"},
    {HEAD "<rect class=\"outline\" width=\"9\" height=\"9\" transform=\"turn(3)\"/></svg>", 2,
     "transform \"turn(3)\""},
    {HEAD "<rect class=\"outline\" width=\"9\" height=\"9\" transform=\"scale(0)\"/></svg>", 2, ""},
    {HEAD "<path class=\"outline\" d=\"M0 0L90 90V0L0 90Z\"/></svg>", 2, "crosses itself"},
    {HEAD "<path class=\"outline\" d=\"M0 0h9v9h-9zM50 50h20v20h-20z\"/></svg>", 2, "side by side"},
    {HEAD OUTLINE "<g id=\"a\"><use href=\"#a\"/></g></svg>", 3, "leads back to itself"},
    {HEAD OUTLINE "<use id=\"a\" href=\"#b\"/>\n<use id=\"b\" href=\"#a\"/></svg>", 4,
     "leads back to itself"},
    {HEAD OUTLINE "<rect class=\"recess\" width=\"9\" height=\"9\"/></svg>", 3, "data-depth"},
    {HEAD OUTLINE "<rect class=\"recess\" width=\"9\" height=\"9\" data-depth=\"deep\"/></svg>", 3,
     "data-depth \"deep\""},
    {HEAD OUTLINE "<rect class=\"corrugation\" width=\"9\" height=\"9\" data-depth=\"4\"/></svg>", 3,
     "data-pitch"},
    {HEAD OUTLINE "<rect class=\"dome\" width=\"9\" height=\"9\"/></svg>", 3, "data-rise"},
    {HEAD OUTLINE "<rect class=\"recess\" width=\"9\" height=\"9\" data-depth=\"2\" data-wall=\"95\"/></svg>",
     3, "data-wall"},
    {HEAD OUTLINE "<line class=\"handle\" x2=\"9\"/></svg>", 3, "no area"},
    {HEAD OUTLINE "<g></svg>", 3, "not well-formed"},
};

static void refused_with_place(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof *refusals; i++) {
        made_free(&made);
        made = made_new();
        assert_true(made_svg(&made, refusals[i].svg, 1));
        assert_null(made.surface);
        assert_true(made.report.errors > 0);
        if (!made_says(&made, refusals[i].line, refusals[i].words, false)) fail_msg("case %zu", i);
        for (size_t k = 0; k < made.report.count; k++)
            assert_string_equal(made.report.mistakes[k].place.file, "surfaces/left.svg");
    }
}

/* Too large on the vehicle, too small, and a missing file named at the job's own line. */
static void refused_sizes(void **state)
{
    (void)state;
    assert_true(made_svg(&made, HEAD OUTLINE "</svg>", 10000));
    assert_null(made.surface);
    assert_true(made_says(&made, 2, "100 m", false));
    made.spec.drawing = NULL;
    made.spec.width_mm = 0.5, made.spec.height_mm = 900;
    assert_true(made_run(&made));
    assert_null(made.surface);
    assert_true(made_says(&made, 7, "1 mm to 100 m", false));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(rectangle_at_a_scale, set_up, tear_down),
        cmocka_unit_test_setup_teardown(every_unit_is_one_inch, set_up, tear_down),
        cmocka_unit_test_setup_teardown(aspect_ratio, set_up, tear_down),
        cmocka_unit_test_setup_teardown(transforms, set_up, tear_down),
        cmocka_unit_test_setup_teardown(order_of_transforms, set_up, tear_down),
        cmocka_unit_test_setup_teardown(straight_commands, set_up, tear_down),
        cmocka_unit_test_setup_teardown(curves, set_up, tear_down),
        cmocka_unit_test_setup_teardown(arcs, set_up, tear_down),
        cmocka_unit_test_setup_teardown(curves_keep_their_tolerance, set_up, tear_down),
        cmocka_unit_test_setup_teardown(basic_shapes, set_up, tear_down),
        cmocka_unit_test_setup_teardown(y_is_turned_up, set_up, tear_down),
        cmocka_unit_test_setup_teardown(nested_drawings_and_use, set_up, tear_down),
        cmocka_unit_test_setup_teardown(kinds, set_up, tear_down),
        cmocka_unit_test_setup_teardown(hidden_is_not_read, set_up, tear_down),
        cmocka_unit_test_setup_teardown(data_attributes, set_up, tear_down),
        cmocka_unit_test_setup_teardown(outline_with_a_window, set_up, tear_down),
        cmocka_unit_test_setup_teardown(what_was_not_read_is_said, set_up, tear_down),
        cmocka_unit_test_setup_teardown(refused_with_place, set_up, tear_down),
        cmocka_unit_test_setup_teardown(refused_sizes, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

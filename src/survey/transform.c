/* Reads SVG's numbers, lengths, transform lists and view boxes. Called by drawing.c, shapes.c and path.c.
 */
#include "svg.h"
#include "base/units.h"
#include <assert.h>
#include <math.h>

static bool transform_is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f';
}

void scan_blanks(struct svg_scan *scan)
{
    while (scan->at < scan->text.length && transform_is_blank(scan->text.bytes[scan->at])) scan->at++;
}

static bool scan_char(struct svg_scan *scan, char c)
{
    if (scan->at >= scan->text.length || scan->text.bytes[scan->at] != c) return false;
    scan->at++;
    return true;
}

void scan_separator(struct svg_scan *scan)
{
    scan_blanks(scan);
    if (scan_char(scan, ',')) scan_blanks(scan);
}

bool scan_number(struct svg_scan *scan, double *value)
{
    size_t used = str_number(str_slice(scan->text, scan->at, scan->text.length), value);
    scan->at += used;
    assert(scan->at <= scan->text.length);
    return used > 0;
}

bool scan_flag(struct svg_scan *scan, bool *value)
{
    *value = scan_char(scan, '1');
    return *value || scan_char(scan, '0');
}

bool scan_end(struct svg_scan *scan)
{
    scan_blanks(scan);
    return scan->at == scan->text.length;
}

static bool scan_word(struct svg_scan *scan, const char *word)
{
    if (!str_starts(str_slice(scan->text, scan->at, scan->text.length), word)) return false;
    scan->at += str_from(word).length;
    return true;
}

/* ---- transform lists ---- */

enum { NUMBERS_MOST = 6 };

/* "( number, number ... )"; 0 when it cannot be read. */
static size_t scan_arguments(struct svg_scan *scan, double numbers[NUMBERS_MOST])
{
    size_t count = 0;
    scan_blanks(scan);
    if (!scan_char(scan, '(')) return 0;
    scan_blanks(scan);
    while (count < NUMBERS_MOST && scan_number(scan, &numbers[count])) {
        count++;
        scan_blanks(scan);
        if (scan_char(scan, ')')) return count;
        scan_separator(scan);
    }
    return 0;
}

static struct affine rotation(double degrees, double x, double y)
{
    double c = cos(degrees * (M_PI / 180)), s = sin(degrees * (M_PI / 180));
    struct affine turn = {c, s, -s, c, 0, 0};
    return affine_then(affine_then(affine_shift(-x, -y), turn), affine_shift(x, y));
}

enum form { FORM_MATRIX, FORM_TRANSLATE, FORM_SCALE, FORM_ROTATE, FORM_SKEW_X, FORM_SKEW_Y, FORM_COUNT };

static bool survey_transform_of(enum form form, const double n[NUMBERS_MOST], size_t count, struct affine *m)
{
    switch (form) {
    case FORM_MATRIX:
        *m = (struct affine){n[0], n[1], n[2], n[3], n[4], n[5]};
        return count == 6;
    case FORM_TRANSLATE:
        *m = affine_shift(n[0], count == 2 ? n[1] : 0);
        return count <= 2;
    case FORM_SCALE:
        *m = affine_scale(n[0], count == 2 ? n[1] : n[0]);
        return count <= 2;
    case FORM_ROTATE:
        *m = count == 3 ? rotation(n[0], n[1], n[2]) : rotation(n[0], 0, 0);
        return count == 1 || count == 3;
    case FORM_SKEW_X:
        *m = (struct affine){1, 0, tan(n[0] * (M_PI / 180)), 1, 0, 0};
        return count == 1;
    default:
        *m = (struct affine){1, tan(n[0] * (M_PI / 180)), 0, 1, 0, 0};
        return count == 1;
    }
}

bool svg_transform(struct str text, struct affine *transform)
{
    static const char *const names[FORM_COUNT] = {"matrix", "translate", "scale", "rotate", "skewX", "skewY"};
    struct svg_scan scan = {text, 0};
    *transform = affine_identity;
    scan_blanks(&scan);
    while (!scan_end(&scan)) {
        int form = 0;
        while (form < FORM_COUNT && !scan_word(&scan, names[form])) form++;
        double numbers[NUMBERS_MOST] = {0};
        size_t count = scan_arguments(&scan, numbers);
        struct affine one;
        if (form == FORM_COUNT || !count || !survey_transform_of((enum form)form, numbers, count, &one))
            return false;
        *transform = affine_then(one, *transform);
        scan_separator(&scan);
    }
    return affine_is_finite(*transform);
}

/* ---- lengths and viewports ---- */

bool svg_length(struct str text, double whole, double *value)
{
    static const struct {
        const char *name;
        double units;
    } units[] = {
        {"", 1},
        {"px", 1},
        {"pt", SVG_UNITS_PER_INCH / 72},
        {"pc", SVG_UNITS_PER_INCH / 6},
        {"mm", SVG_UNITS_PER_INCH / MM_PER_INCH},
        {"cm", SVG_UNITS_PER_INCH / MM_PER_INCH * 10},
        {"in", SVG_UNITS_PER_INCH},
    };
    struct svg_scan scan = {text, 0};
    double number;
    scan_blanks(&scan);
    if (!scan_number(&scan, &number)) return false;
    if (scan_char(&scan, '%')) {
        *value = number / 100 * whole;
        return whole >= 0 && scan_end(&scan);
    }
    for (size_t i = sizeof units / sizeof *units; i-- > 0;) {
        if (!scan_word(&scan, units[i].name)) continue;
        *value = number * units[i].units;
        return isfinite(*value) && scan_end(&scan);
    }
    return false;
}

bool svg_view_box(struct str text, struct view_box *box)
{
    struct svg_scan scan = {text, 0};
    double *const numbers[] = {&box->x, &box->y, &box->width, &box->height};
    scan_blanks(&scan);
    for (size_t i = 0; i < 4; i++) {
        if (!scan_number(&scan, numbers[i])) return false;
        scan_separator(&scan);
    }
    return scan_end(&scan) && box->width > 0 && box->height > 0;
}

/* "xMin", "xMid", "xMax" (or with Y): the share of the spare room that lies before the picture. */
static bool scan_align(struct svg_scan *scan, const char *const words[3], double *share)
{
    for (int i = 0; i < 3; i++) {
        if (!scan_word(scan, words[i])) continue;
        *share = i / 2.0;
        return true;
    }
    return false;
}

bool svg_fit(const struct view_box *box, const struct view_box *viewport, struct str aspect,
             struct affine *transform, bool *uneven)
{
    static const char *const across[] = {"xMin", "xMid", "xMax"}, *const down[] = {"YMin", "YMid", "YMax"};
    double sx = viewport->width / box->width, sy = viewport->height / box->height;
    double share_x = 0.5, share_y = 0.5;
    bool none = false, slice = false;
    struct svg_scan scan = {aspect, 0};
    if (!scan_end(&scan)) {
        if (scan_word(&scan, "defer")) scan_blanks(&scan);
        none = scan_word(&scan, "none");
        if (!none && !(scan_align(&scan, across, &share_x) && scan_align(&scan, down, &share_y)))
            return false;
        scan_blanks(&scan);
        slice = scan_word(&scan, "slice");
        if (!slice) scan_word(&scan, "meet");
        if (!scan_end(&scan)) return false;
    }
    *uneven = none && fabs(sx - sy) > 1e-6 * fmax(sx, sy);
    if (!none) sx = sy = slice ? fmax(sx, sy) : fmin(sx, sy);
    double spare_x = viewport->width - box->width * sx, spare_y = viewport->height - box->height * sy;
    *transform = (struct affine){sx,
                                 0,
                                 0,
                                 sy,
                                 viewport->x - box->x * sx + (none ? 0 : share_x * spare_x),
                                 viewport->y - box->y * sy + (none ? 0 : share_y * spare_y)};
    return affine_is_finite(*transform);
}

/* Paths, the font and the profile that both makers of artwork share. */
#include "canvas.h"
#include "canvas_private.h"
#include <fontconfig/fontconfig.h>
#include <lcms2.h>
#include <string.h>

struct path path_new(struct arena *arena)
{
    return (struct path){.arena = arena};
}

static void step(struct path *path, char kind, struct point a, struct point b, struct point c)
{
    struct path_step *s =
        arena_append(path->arena, &path->steps, &path->count, &path->capacity, sizeof *path->steps);
    *s = (struct path_step){kind, {a, b, c}};
}

void path_move(struct path *path, double x, double y)
{
    step(path, 'm', (struct point){x, y}, (struct point){0}, (struct point){0});
}

void path_line(struct path *path, double x, double y)
{
    step(path, 'l', (struct point){x, y}, (struct point){0}, (struct point){0});
}

void path_curve(struct path *path, double x1, double y1, double x2, double y2, double x, double y)
{
    step(path, 'c', (struct point){x1, y1}, (struct point){x2, y2}, (struct point){x, y});
}

void path_close(struct path *path)
{
    step(path, 'h', (struct point){0}, (struct point){0}, (struct point){0});
}

void path_rect(struct path *path, double x, double y, double width, double height)
{
    path_move(path, x, y);
    path_line(path, x + width, y);
    path_line(path, x + width, y + height);
    path_line(path, x, y + height);
    path_close(path);
}

void path_ellipse(struct path *path, double x, double y, double rx, double ry)
{
    const double k = 0.5522847498; /* a quarter circle as one cubic: 4 (sqrt 2 - 1) / 3 */
    path_move(path, x + rx, y);
    path_curve(path, x + rx, y + k * ry, x + k * rx, y + ry, x, y + ry);
    path_curve(path, x - k * rx, y + ry, x - rx, y + k * ry, x - rx, y);
    path_curve(path, x - rx, y - k * ry, x - k * rx, y - ry, x, y - ry);
    path_curve(path, x + k * rx, y - ry, x + rx, y - k * ry, x + rx, y);
    path_close(path);
}

const char *canvas_font_file(struct arena *arena)
{
    FcPattern *wanted = FcNameParse((const FcChar8 *)"DejaVu Sans:bold");
    FcConfigSubstitute(NULL, wanted, FcMatchPattern);
    FcDefaultSubstitute(wanted);
    FcResult result;
    FcPattern *found = FcFontMatch(NULL, wanted, &result);
    FcChar8 *file = NULL;
    char *copy = NULL;
    if (found && FcPatternGetString(found, FC_FILE, 0, &file) == FcResultMatch)
        copy = arena_copy_string(arena, (const char *)file);
    if (found) FcPatternDestroy(found);
    FcPatternDestroy(wanted);
    FcFini();
    return copy;
}

/* Little CMS writes the hour of making into the header (ICC.1, 7.2.8); the demo's files are the same every
 * time, so a fixed date goes there instead. */
struct str srgb_profile(struct arena *arena)
{
    static const unsigned char made[12] = {0x07, 0xea, 0, 11, 0, 25}; /* 2026-11-25 */
    enum { HEADER_DATE = 24 };
    cmsHPROFILE profile = cmsCreate_sRGBProfile();
    cmsUInt32Number length = 0;
    if (!cmsSaveProfileToMem(profile, NULL, &length)) length = 0;
    char *bytes = arena_take(arena, length + 1);
    if (length && cmsSaveProfileToMem(profile, bytes, &length))
        memcpy(bytes + HEADER_DATE, made, sizeof made);
    cmsCloseProfile(profile);
    return (struct str){bytes, length};
}

/* Draws a QR code as black rectangles. Called for panel labels and job labels; encoding is libqrencode's.
 */
#include "draw/qr.h"
#include "base/arena.h"
#include "draw/draw.h"
#include <qrencode.h>
#include <string.h>

/* The code, yours to QRcode_free; NULL when the content does not suit. */
static QRcode *encode(const char *content)
{
    size_t length = content ? strlen(content) : 0;
    if (!length || length > QR_CONTENT_MOST) return NULL;
    return QRcode_encodeString(content, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
}

int qr_modules(const char *content)
{
    QRcode *code = encode(content);
    int modules = code ? code->width : 0;
    QRcode_free(code);
    return modules;
}

/* Neighbouring black modules of a row as one rectangle: no hairlines between them. */
static void qr_add_row(struct path *path, const unsigned char *row, int modules, struct point at, double side)
{
    for (int x = 0; x < modules; x++) {
        int from = x;
        while (x < modules && (row[x] & 1)) x++;
        if (x > from) path_rect(path, (struct rect){at.x + from * side, at.y, at.x + x * side, at.y + side});
    }
}

bool draw_qr(struct drawing *drawing, struct point at, double side_mm, const char *content,
             struct error *error)
{
    QRcode *code = encode(content);
    if (!code)
        return error_set(error, FAILURE_INPUT, "qr-code-holds-1-to-bytes",
                         ARGUMENTS(arg_count("most", QR_CONTENT_MOST),
                                   arg_count("content", (int64_t)(content ? strlen(content) : (size_t)0))));
    double module = side_mm / (code->width + 2 * QR_QUIET_MODULES);
    draw_rect(drawing, rect_of(at.x, at.y, side_mm, side_mm), (struct look){.fill = paint_grey(1)});
    struct path path = path_new(drawing_arena(drawing));
    for (int y = 0; y < code->width; y++)
        qr_add_row(&path, code->data + (ptrdiff_t)y * code->width, code->width,
                   (struct point){at.x + QR_QUIET_MODULES * module, at.y + (y + QR_QUIET_MODULES) * module},
                   module);
    draw_path(drawing, path, (struct look){.fill = paint_grey(0)});
    QRcode_free(code);
    return true;
}

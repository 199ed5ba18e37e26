/* Writes cut files as DXF: AC1009 (release 12) and AC1015 (2000), by the group codes of their references, from memory;
 * tests/outside/cut_files.py has both read by ezdxf. Called through cut_out.c. */
#include "cut_file_parts.h"

struct dxf {
    struct text *out;
    bool newer;  /* AC1015: entities have handles, owners and classes */
    int handles; /* given up to now */
};

/* Owners that are named before they are written; handles of all else come after them. */
enum {
    HANDLE_DICTIONARY = 1,
    HANDLE_GROUPS,
    HANDLE_MODEL,
    HANDLE_PAPER,
    HANDLE_BLOCKS,
    HANDLES_FIXED = HANDLE_BLOCKS
};

static void dxf_pair(struct dxf *dxf, int code, const char *value)
{
    text_addf(dxf->out, "%3d\n%s\n", code, value);
}

static void dxf_whole(struct dxf *dxf, int code, int value)
{
    text_addf(dxf->out, "%3d\n%6d\n", code, value);
}

static void dxf_real(struct dxf *dxf, int code, double value)
{
    text_addf(dxf->out, "%3d\n", code);
    text_add_number(dxf->out, value, CUT_DECIMALS);
    text_add(dxf->out, "\n");
}

static void dxf_point(struct dxf *dxf, int code, struct point p)
{
    dxf_real(dxf, code, p.x);
    dxf_real(dxf, code + 10, p.y);
    dxf_real(dxf, code + 20, 0);
}

/* ---- what the newer form has besides ---- */

static void dxf_handle(struct dxf *dxf, int code, int handle)
{
    char digits[9] = {0}, *first = digits + 8;
    for (unsigned left = (unsigned)handle; left || first == digits + 8; left /= 16)
        *--first = "0123456789ABCDEF"[left % 16];
    dxf_pair(dxf, code, first);
}

static void dxf_class(struct dxf *dxf, const char *name)
{
    if (dxf->newer) dxf_pair(dxf, 100, name);
}

/* A handle, that of the owner, and the class that both belong to. */
static void dxf_own(struct dxf *dxf, int handle, int owner, const char *class_name)
{
    if (!dxf->newer) return;
    dxf_handle(dxf, 5, handle ? handle : ++dxf->handles);
    dxf_handle(dxf, 330, owner);
    dxf_pair(dxf, 100, class_name);
}

static void dxf_entity(struct dxf *dxf, const char *type, const char *layer, const char *class_name)
{
    dxf_pair(dxf, 0, type);
    dxf_own(dxf, 0, HANDLE_MODEL, "AcDbEntity");
    dxf_pair(dxf, 8, layer);
    dxf_class(dxf, class_name);
}

/* ---- entities ---- */

static void dxf_old_polyline(struct dxf *dxf, const struct cut_file *file, const struct pdf_cut_line *line,
                             bool closed)
{
    const char *layer = cut_file_layers[line->layer].name;
    dxf_pair(dxf, 0, "POLYLINE"), dxf_pair(dxf, 8, layer), dxf_whole(dxf, 66, 1);
    dxf_point(dxf, 10, (struct point){0, 0});
    dxf_whole(dxf, 70, closed);
    for (size_t i = 0; i < line->count - closed; i++) {
        dxf_pair(dxf, 0, "VERTEX"), dxf_pair(dxf, 8, layer);
        dxf_point(dxf, 10, cut_file_place(file, line->points[i]));
    }
    dxf_pair(dxf, 0, "SEQEND"), dxf_pair(dxf, 8, layer);
}

static void dxf_polyline(struct dxf *dxf, const struct cut_file *file, const struct pdf_cut_line *line)
{
    bool closed = cut_file_closed(line->points, line->count);
    if (!dxf->newer) {
        dxf_old_polyline(dxf, file, line, closed);
        return;
    }
    dxf_entity(dxf, "LWPOLYLINE", cut_file_layers[line->layer].name, "AcDbPolyline");
    dxf_whole(dxf, 90, (int)(line->count - closed));
    dxf_whole(dxf, 70, closed);
    for (size_t i = 0; i < line->count - closed; i++) {
        struct point p = cut_file_place(file, line->points[i]);
        dxf_real(dxf, 10, p.x), dxf_real(dxf, 20, p.y);
    }
}

static void dxf_line(struct dxf *dxf, const char *layer, struct point from, struct point to)
{
    dxf_entity(dxf, "LINE", layer, "AcDbLine");
    dxf_point(dxf, 10, from);
    dxf_point(dxf, 11, to);
}

static void dxf_mark(struct dxf *dxf, const struct cut_file *file, const struct register_shape_lines *shape)
{
    const char *layer = cut_file_layers[LAYER_MARKS].name;
    const struct point *lines[2];
    size_t counts[2], count = cut_file_mark_lines(shape, lines, counts);
    if (shape->radius_mm > 0) {
        dxf_entity(dxf, "CIRCLE", layer, "AcDbCircle");
        dxf_point(dxf, 10, cut_file_place(file, shape->points[0]));
        dxf_real(dxf, 40, shape->radius_mm);
        return;
    }
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k + 1 < counts[i]; k++)
            dxf_line(dxf, layer, cut_file_place(file, lines[i][k]), cut_file_place(file, lines[i][k + 1]));
}

/* ---- sections ---- */

static void dxf_begin_section(struct dxf *dxf, const char *name)
{
    dxf_pair(dxf, 0, "SECTION"), dxf_pair(dxf, 2, name);
}

static void dxf_header(struct dxf *dxf, const struct cut_file *file)
{
    dxf_pair(dxf, 999, "1 unit = 1 mm");
    dxf_begin_section(dxf, "HEADER");
    dxf_pair(dxf, 9, "$ACADVER"), dxf_pair(dxf, 1, dxf->newer ? "AC1015" : "AC1009");
    if (dxf->newer) {
        dxf_pair(dxf, 9, "$INSUNITS"), dxf_whole(dxf, 70, 4); /* millimetres */
        dxf_pair(dxf, 9, "$MEASUREMENT"), dxf_whole(dxf, 70, 1);
        dxf_pair(dxf, 9, "$HANDSEED"), dxf_pair(dxf, 5, "FFFFFF");
    }
    dxf_pair(dxf, 9, "$EXTMIN"), dxf_point(dxf, 10, (struct point){0, 0});
    dxf_pair(dxf, 9, "$EXTMAX");
    dxf_point(dxf, 10, (struct point){rect_width(file->sheet->file), rect_height(file->sheet->file)});
    dxf_pair(dxf, 0, "ENDSEC");
}

/* Returns its handle, which its entries belong to. */
static int dxf_begin_table(struct dxf *dxf, const char *name, int handle, int entries)
{
    int own = handle ? handle : dxf->handles + 1;
    dxf_pair(dxf, 0, "TABLE"), dxf_pair(dxf, 2, name);
    dxf_own(dxf, handle, 0, "AcDbSymbolTable");
    dxf_whole(dxf, 70, entries);
    return own;
}

static void dxf_end_table(struct dxf *dxf)
{
    dxf_pair(dxf, 0, "ENDTAB");
}

/* An entry; its class and name, and its flags but for blocks. */
static void dxf_entry(struct dxf *dxf, const char *type, int table, const char *class_name, const char *name)
{
    dxf_pair(dxf, 0, type);
    dxf_own(dxf, 0, table, "AcDbSymbolTableRecord");
    dxf_class(dxf, class_name);
    dxf_pair(dxf, 2, name);
    dxf_whole(dxf, 70, 0);
}

static void dxf_layer(struct dxf *dxf, int table, const char *name, int colour)
{
    dxf_entry(dxf, "LAYER", table, "AcDbLayerTableRecord", name);
    dxf_whole(dxf, 62, colour), dxf_pair(dxf, 6, "CONTINUOUS");
}

static void dxf_layers(struct dxf *dxf)
{
    int table = dxf_begin_table(dxf, "LAYER", 0, LAYERS + dxf->newer);
    if (dxf->newer) dxf_layer(dxf, table, "0", 7);
    for (size_t i = 0; i < LAYERS; i++)
        dxf_layer(dxf, table, cut_file_layers[i].name, cut_file_layers[i].number);
    dxf_end_table(dxf);
}

static void dxf_line_types(struct dxf *dxf)
{
    static const char *const names[] = {"ByBlock", "ByLayer", "CONTINUOUS"};
    int table = dxf_begin_table(dxf, "LTYPE", 0, 3);
    for (size_t i = 0; i < 3; i++) {
        dxf_entry(dxf, "LTYPE", table, "AcDbLinetypeTableRecord", names[i]);
        dxf_pair(dxf, 3, ""), dxf_whole(dxf, 72, 65), dxf_whole(dxf, 73, 0), dxf_real(dxf, 40, 0);
    }
    dxf_end_table(dxf);
}

static void dxf_text_styles(struct dxf *dxf)
{
    int table = dxf_begin_table(dxf, "STYLE", 0, 1);
    dxf_entry(dxf, "STYLE", table, "AcDbTextStyleTableRecord", "Standard");
    dxf_real(dxf, 40, 0), dxf_real(dxf, 41, 1), dxf_real(dxf, 50, 0), dxf_whole(dxf, 71, 0);
    dxf_real(dxf, 42, 2.5), dxf_pair(dxf, 3, "txt"), dxf_pair(dxf, 4, "");
    dxf_end_table(dxf);
}

static void dxf_block_record(struct dxf *dxf, int handle, const char *name)
{
    dxf_pair(dxf, 0, "BLOCK_RECORD");
    dxf_own(dxf, handle, HANDLE_BLOCKS, "AcDbSymbolTableRecord");
    dxf_pair(dxf, 100, "AcDbBlockTableRecord"), dxf_pair(dxf, 2, name);
}

static void dxf_empty_table(struct dxf *dxf, const char *name)
{
    dxf_begin_table(dxf, name, 0, 0);
    dxf_end_table(dxf);
}

static void dxf_tables(struct dxf *dxf)
{
    dxf_begin_section(dxf, "TABLES");
    if (dxf->newer) dxf_empty_table(dxf, "VPORT"), dxf_line_types(dxf);
    dxf_layers(dxf);
    if (dxf->newer) {
        dxf_text_styles(dxf);
        dxf_empty_table(dxf, "VIEW"), dxf_empty_table(dxf, "UCS");
        int table = dxf_begin_table(dxf, "APPID", 0, 1);
        dxf_entry(dxf, "APPID", table, "AcDbRegAppTableRecord", "ACAD");
        dxf_end_table(dxf);
        dxf_begin_table(dxf, "DIMSTYLE", 0, 0), dxf_pair(dxf, 100, "AcDbDimStyleTable"), dxf_end_table(dxf);
        dxf_begin_table(dxf, "BLOCK_RECORD", HANDLE_BLOCKS, 2);
        dxf_block_record(dxf, HANDLE_MODEL, "*Model_Space");
        dxf_block_record(dxf, HANDLE_PAPER, "*Paper_Space");
        dxf_end_table(dxf);
    }
    dxf_pair(dxf, 0, "ENDSEC");
}

static void dxf_block(struct dxf *dxf, int owner, const char *name)
{
    dxf_pair(dxf, 0, "BLOCK");
    dxf_own(dxf, 0, owner, "AcDbEntity");
    dxf_pair(dxf, 8, "0"), dxf_pair(dxf, 100, "AcDbBlockBegin"), dxf_pair(dxf, 2, name);
    dxf_whole(dxf, 70, 0), dxf_point(dxf, 10, (struct point){0, 0});
    dxf_pair(dxf, 3, name), dxf_pair(dxf, 1, "");
    dxf_pair(dxf, 0, "ENDBLK");
    dxf_own(dxf, 0, owner, "AcDbEntity");
    dxf_pair(dxf, 8, "0"), dxf_pair(dxf, 100, "AcDbBlockEnd");
}

static void dxf_blocks(struct dxf *dxf)
{
    dxf_begin_section(dxf, "BLOCKS");
    dxf_block(dxf, HANDLE_MODEL, "*Model_Space");
    dxf_block(dxf, HANDLE_PAPER, "*Paper_Space");
    dxf_pair(dxf, 0, "ENDSEC");
}

static void dxf_dictionary(struct dxf *dxf, int handle, int owner)
{
    dxf_pair(dxf, 0, "DICTIONARY");
    dxf_own(dxf, handle, owner, "AcDbDictionary");
    dxf_whole(dxf, 281, 1);
}

static void dxf_objects(struct dxf *dxf)
{
    dxf_begin_section(dxf, "OBJECTS");
    dxf_dictionary(dxf, HANDLE_DICTIONARY, 0);
    dxf_pair(dxf, 3, "ACAD_GROUP"), dxf_handle(dxf, 350, HANDLE_GROUPS);
    dxf_dictionary(dxf, HANDLE_GROUPS, HANDLE_DICTIONARY);
    dxf_pair(dxf, 0, "ENDSEC");
}

static void dxf_entities(struct dxf *dxf, const struct cut_file *file)
{
    const struct cut_sheet *sheet = file->sheet;
    struct point ends[2];
    dxf_begin_section(dxf, "ENTITIES");
    for (size_t i = 0; i < sheet->line_count; i++) dxf_polyline(dxf, file, &sheet->lines[i]);
    for (size_t i = 0; i < sheet->marks.count; i++) {
        struct register_shape_lines shape = register_shape_of(file->marks, &sheet->marks.places[i]);
        dxf_mark(dxf, file, &shape);
    }
    cut_file_check_line(ends);
    dxf_line(dxf, cut_file_layers[LAYER_CHECK].name, ends[0], ends[1]);
    dxf_pair(dxf, 0, "ENDSEC");
}

void cut_file_dxf(const struct cut_file *file, enum cutter_dxf form, struct text *out)
{
    struct dxf dxf = {out, form == CUTTER_AC1015, HANDLES_FIXED};
    dxf_header(&dxf, file);
    dxf_tables(&dxf);
    if (dxf.newer) dxf_blocks(&dxf);
    dxf_entities(&dxf, file);
    if (dxf.newer) dxf_objects(&dxf);
    dxf_pair(&dxf, 0, "EOF");
}

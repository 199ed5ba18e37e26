/* Parses an SVG file with libxml2 and finds its elements and attributes, with the place of each mistake.
 * Called by drawing.c and the readers of its elements. */
#include "xml.h"
#include "base/arena.h"
#include <libxml/parser.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>

struct first_error {
    int line, column;
    char text[200];
    bool seen;
};

/* The first error is the one to mend; those behind it follow from it. */
static void keep_first(void *context, xmlError *met)
{
    struct first_error *first = ((xmlParserCtxt *)context)->_private;
    if (first->seen || met->level < XML_ERR_ERROR) return;
    first->seen = true;
    first->line = met->line, first->column = met->int2;
    size_t length = met->message ? strcspn(met->message, "\n") : 0;
    if (length >= sizeof first->text) length = sizeof first->text - 1;
    if (length) memcpy(first->text, met->message, length);
    if (!str_is_utf8(str_from(first->text))) first->text[0] = 0;
}

/* Entities stay as they are, so what they stand for is missing from the drawing. */
static void remark_entities(const xmlDoc *document, const char *file, struct report *report)
{
    if (document->intSubset && document->intSubset->entities)
        report_remark(report, (struct place){file, 1, 0}, "drawing-declares-entities-values-written-with",
                      NULL);
}

xmlDoc *xml_parse(struct str bytes, const char *file, struct report *report)
{
    struct first_error first = {.text = ""};
    xmlParserCtxt *context = xmlNewParserCtxt();
    xmlDoc *document = NULL;
    if (context && bytes.length <= INT_MAX) {
        context->_private = &first;
        context->sax->serror = keep_first;
        document = xmlCtxtReadMemory(context, bytes.bytes, (int)bytes.length, NULL, NULL,
                                     XML_PARSE_NONET | XML_PARSE_BIG_LINES | XML_PARSE_NOWARNING);
    }
    xmlFreeParserCtxt(context);
    if (document && xmlDocGetRootElement(document)) {
        remark_entities(document, file, report);
        return document;
    }
    xmlFreeDoc(document);
    report_add(report, (struct place){file, first.line, first.column}, "drawing-is-not-well-formed-xml",
               ARGUMENTS(arg_words("mistake", first.text), arg_flag("mistake_2", first.text[0])));
    return NULL;
}

struct place xml_place(const xmlNode *node, const char *file)
{
    long line = xmlGetLineNo(node);
    return (struct place){file, line > 0 && line < INT_MAX ? (int)line : 0, 0};
}

/* Text as it stands in the file: a value with an entity in it has more than one child. */
static struct str plain_value(const xmlAttr *attribute)
{
    const xmlNode *text = attribute->children;
    if (!text || text->next || text->type != XML_TEXT_NODE) return (struct str){"", 0};
    return str_from((const char *)text->content);
}

struct str element_attribute(const xmlNode *node, const char *name)
{
    for (const xmlAttr *a = node->properties; a; a = a->next)
        if (!a->ns && string_equal((const char *)a->name, name)) return plain_value(a);
    return (struct str){"", 0};
}

bool element_is_svg(const xmlNode *node)
{
    return node->type == XML_ELEMENT_NODE &&
           (!node->ns || string_equal((const char *)node->ns->href, "http://www.w3.org/2000/svg"));
}

bool element_is(const xmlNode *node, const char *name)
{
    return element_is_svg(node) && string_equal((const char *)node->name, name);
}

struct str element_reference(const xmlNode *node)
{
    for (const xmlAttr *a = node->properties; a; a = a->next) {
        if (!string_equal((const char *)a->name, "href")) continue;
        struct str value = str_trim(plain_value(a));
        if (value.length > 1 && value.bytes[0] == '#') return str_slice(value, 1, value.length);
    }
    return (struct str){"", 0};
}

const char *quoted(struct arena *arena, struct str written)
{
    enum { SHOWN_MOST = 40 };
    size_t length = written.length < SHOWN_MOST ? written.length : SHOWN_MOST;
    while (length < written.length && length > 0 && ((unsigned char)written.bytes[length] & 0xC0) == 0x80)
        length--;
    char *copy = arena_copy(arena, written.bytes, length);
    for (char *c = copy; *c; c++)
        if ((unsigned char)*c < ' ') *c = ' ';
    return copy;
}

static int by_id(const void *one, const void *other)
{
    const struct id_entry *a = one, *b = other;
    int order = strcmp(a->id, b->id);
    return order ? order : (a->order > b->order) - (a->order < b->order);
}

/* The element after `node` in the order of the file. */
static xmlNode *next_node(xmlNode *node, const xmlNode *root)
{
    if (node->type == XML_ELEMENT_NODE && node->children) return node->children;
    while (node != root && !node->next) node = node->parent;
    return node == root ? NULL : node->next;
}

struct id_index id_index_of(xmlNode *root, struct arena *arena)
{
    struct id_index index = {NULL, 0, 0};
    for (xmlNode *node = root; node; node = next_node(node, root)) {
        if (node->type != XML_ELEMENT_NODE) continue;
        struct str id = element_attribute(node, "id");
        if (!id.length) continue;
        struct id_entry *entry =
            arena_append(arena, &index.entries, &index.count, &index.capacity, sizeof *entry);
        *entry = (struct id_entry){id.bytes, node, index.count};
    }
    if (index.count) qsort(index.entries, index.count, sizeof *index.entries, by_id);
    return index;
}

xmlNode *id_index_find(const struct id_index *index, struct str id)
{
    size_t low = 0, high = index->count;
    while (low < high) { /* the first entry not before `id` */
        size_t middle = low + (high - low) / 2;
        const char *there = index->entries[middle].id;
        int order = strncmp(there, id.bytes, id.length);
        if (order < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low < index->count && str_equal(id, index->entries[low].id) ? index->entries[low].node : NULL;
}

/* XML for drawings: parsed in memory, without network, without expanding entities, within libxml2's own
 * limits on depth and size. Private. */
#ifndef SURVEY_XML_H
#define SURVEY_XML_H

#include "base/report.h"
#include "base/str.h"
#include <libxml/tree.h>

/* The parsed document, yours to free with xmlFreeDoc; NULL when it is not well-formed, with a mistake in the
 * report that has the line. */
xmlDoc *xml_parse(struct str bytes, const char *file, struct report *report);

struct place xml_place(const xmlNode *node, const char *file);

/* An attribute without namespace; empty when absent or when it holds an entity (which is never expanded). */
struct str element_attribute(const xmlNode *node, const char *name);
bool element_is(const xmlNode *node, const char *name); /* in SVG's namespace, or in none */
bool element_is_svg(const xmlNode *node);
/* Where a `use` points: the id behind '#' of its href in any namespace; empty when it points elsewhere. */
struct str element_reference(const xmlNode *node);

/* The first bytes of what somebody wrote, fit to be quoted in a message. */
const char *quoted(struct arena *arena, struct str written);

/* All ids of a document, to find elements by. */
struct id_index {
    struct id_entry {
        const char *id;
        xmlNode *node;
        size_t order;
    } * entries;
    size_t count, capacity;
};
struct id_index id_index_of(xmlNode *root, struct arena *arena);
xmlNode *id_index_find(const struct id_index *index, struct str id); /* NULL when there is none */

#endif

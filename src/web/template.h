/* Pages that read without script: HTML with holes.
 *
 *     {{name}}                the value as text
 *     {{{name}}}              the value as it is: markup that the server made itself
 *     {{#name}}...{{/name}}   when the value is set; for a list, once for each entry, whose names come first
 *     {{^name}}...{{/name}}   when it is not
 *     {{! words }}            nothing
 */
#ifndef WEB_TEMPLATE_H
#define WEB_TEMPLATE_H

#include "base/str.h"
#include "base/text.h"

struct template_value {
    const char *name;
    const char *text;                   /* NULL: not set, unless it is a list */
    const struct template_values *list; /* entries */
    size_t count;
};
struct template_values {
    struct template_value *items;
    size_t count, capacity;
};

/* Adds a value; NULL text leaves it unset. */
void template_set(struct arena *arena, struct template_values *values, const char *name, const char *text);
void template_set_list(struct arena *arena, struct template_values *values, const char *name,
                       const struct template_values *entries, size_t count);
/* A hole without a value is empty; a section that is not closed is a bug of the page and aborts. */
void template_fill(struct str page, const struct template_values *values, struct text *out);
#endif

/* What is wrong with a job, in words a press operator acts on. One table gives each code its severity,
 * sentence and remedy; it makes doc/findings.md. */
#ifndef MODEL_FINDING_H
#define MODEL_FINDING_H

#include "base/arena.h"
#include "geom/geom.h"
#include <stdbool.h>
#include <stddef.h>

enum severity { SEVERITY_NOTE, SEVERITY_WARN, SEVERITY_STOP };

struct finding_kind {
    const char *code;
    enum severity severity;
    const char *means;  /* one sentence: when it is raised */
    const char *remedy; /* what to do, unless the finding says better */
};

extern const struct finding_kind finding_table[];
extern const size_t finding_table_count;
const struct finding_kind *finding_kind_find(const char *code); /* NULL when unknown */

struct finding {
    const char *code;
    enum severity severity;
    const char *where;  /* "left", "left/left-2", "job", "shop"; never NULL */
    const char *text;   /* what is the matter, with value and limit */
    const char *remedy; /* what to do */
    const char *source; /* where the limit comes from, or NULL */
    bool has_box;
    struct rect box; /* on the surface */
};

struct findings {
    struct arena *arena;
    struct finding *items;
    size_t count, capacity;
};

struct findings findings_new(struct arena *arena);
/* Adds one with the table's severity and remedy; returns it so that the caller can change either. The code
 * must be in the table. Severity may be lowered to note only where the table's kind is not a stop. */
struct finding *finding_add(struct findings *findings, const char *code, const char *where,
                            const char *format, ...) __attribute__((format(printf, 4, 5)));
/* What a shop takes more seriously than the table: `to` of each code is "warn" or "stop". Never less. */
void findings_raise(struct findings *findings, const char *const *codes, const char *const *to, size_t count);
size_t findings_of_severity(const struct findings *findings, enum severity severity);
const char *severity_name(enum severity severity);

#endif

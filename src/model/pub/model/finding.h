/* What is wrong with a job, in words a press operator acts on. One table gives each code its severity,
 * sentence and remedy; it makes doc/findings.md. */
#ifndef MODEL_FINDING_H
#define MODEL_FINDING_H

#include "base/arena.h"
#include "base/report.h"
#include "base/sentence.h"
#include "geom/geom.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

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

/* A person has looked at a finding and accepts it: from the record. */
struct acceptance {
    const char *code, *place; /* of the finding, see finding_place */
    double figure;            /* how bad it was; NAN: not measured */
    const char *who, *words;  /* who NULL: not said; the reason */
    int64_t at;               /* UTC seconds */
};

struct finding {
    const char *code;
    enum severity severity;
    const char *where; /* "left", "left/left-2", "job", "shop"; never NULL */
    const char *text;  /* what is the matter, with value and limit: the sentence `id` */
    const char *id;    /* base/sentence.h */
    const struct argument *arguments;
    const char *remedy; /* what to do */
    const char *source; /* where the limit comes from, or NULL */
    bool has_box;
    struct rect box; /* on the surface */
    /* What an acceptance is bound to. Without `about` and `figure` it is bound to the text. */
    const char *about; /* which seam, feature, file ... of the place; NULL: nothing more than `where` */
    double figure;     /* how bad it is, in the unit that the text has; NAN: not measured */
    bool low_is_worse; /* of the figure */
    bool yields;       /* an acceptance, which takes a reason, makes the stop a warning */
    bool on_artwork;   /* it speaks of the surface's artwork: other files, another finding */
    uint64_t files;    /* then a hash of those files, filled by run; 0: of none */
    const struct acceptance *accepted; /* holds; NULL: none does */
    const struct acceptance *lapsed;   /* the last one there that holds no more; NULL: none */
};

struct findings {
    struct arena *arena;
    struct finding *items;
    size_t count, capacity;
};

/* What comes to light while something is looked at: mistakes in what people wrote, and findings. */
struct notes {
    struct arena *arena; /* of both, and of what is made meanwhile */
    struct report *report;
    struct findings *findings;
};

struct findings findings_new(struct arena *arena);
/* Adds one with the table's severity and remedy, saying the sentence `id`; returns it so that the caller can
 * change either. The code must be in the table. Severity may be lowered to note only where the table's kind is
 * not a stop. */
struct finding *finding_add(struct findings *findings, const char *code, const char *where, const char *id,
                            const struct argument *arguments);
/* What a shop takes more seriously than the table: `to` of each code is "warn" or "stop". Never less. */
void findings_raise(struct findings *findings, const char *const *codes, const char *const *to, size_t count);
/* What an acceptance is bound to besides code and figure: "left/left-2: seam x 1310 mm, files 90ab...". */
const char *finding_place(const struct finding *finding, struct arena *arena);
/* Marks findings with the acceptances (oldest first, borrowed) that hold: same code, same place, and not
 * worse by more than 5 % (our own judgement). One that was for that code and `where` and holds nowhere is
 * `lapsed`. One that yields becomes a warning where it is accepted. */
void findings_accept(struct findings *findings, const struct acceptance *acceptances, size_t count);
size_t findings_of_severity(const struct findings *findings, enum severity severity);
const char *severity_name(enum severity severity);

#endif

/* The kinds of features, each described once: job files, drawings, the planner, marks, pictures, the page and
 * the reference read these tables. A new kind is a constant here, and a name and a row in feature.c. */
#ifndef MODEL_FEATURE_H
#define MODEL_FEATURE_H

#include <stdbool.h>

enum feature_kind {
    FEATURE_HANDLE,
    FEATURE_HINGE,
    FEATURE_BADGE,
    FEATURE_LIGHT,
    FEATURE_UNCOVERED,
    FEATURE_KEEP_CLEAR,
    FEATURE_OPENING,
    FEATURE_GAP,
    FEATURE_RECESS,
    FEATURE_CORRUGATION,
    FEATURE_CURVE,
    FEATURE_DOME,
    FEATURE_GLASS,
    FEATURE_KEEP_WHOLE,
    FEATURE_COUNT
};

/* What seams do at a feature. */
enum feature_seams {
    SEAMS_FREE,   /* they may cross it or end at it, and cost nothing in it where there is no film */
    SEAMS_AWAY,   /* they keep off it by its margin */
    SEAMS_IN_GAP, /* a seam in it does not show */
    SEAMS_DEAR,   /* a seam in it, or near its edge, lifts first */
    SEAMS_ON_RIBS /* along ribs on a crest only; across them dear */
};

/* What the film does there. */
enum feature_film {
    FILM_COVERS,
    FILM_ABSENT,   /* there is nothing to cover */
    FILM_CUT_OUT,  /* the body stays bare: the film is cut out round it, at the cut-out distance */
    FILM_CUT_SHORT /* a pane: cut at its edge, and short of it on the glass; the seal between stays bare */
};

/* What stretches the film. */
enum feature_relief { RELIEF_FLAT, RELIEF_RECESS, RELIEF_RIBS, RELIEF_DOME };

/* How a picture shows it. */
enum feature_border { BORDER_WHOLE, BORDER_LONG_DASHES, BORDER_SHORT_DASHES, BORDER_DOTS };
enum feature_filling { FILLING_NONE, FILLING_RIBS, FILLING_PANE };

/* A key that not every kind takes. */
struct feature_key {
    const char *name;    /* as in the job file, and after `data-` in a drawing: "depth" */
    const char *words;   /* for a form: "Depth, crest to trough" */
    const char *example; /* "12 mm" */
    bool needed;
};

struct feature_type {
    const char *help; /* a noun phrase: "Door handle" */
    enum feature_seams seams;
    const char *margin; /* name in model/practice.h of its usual margin; NULL: none */
    enum feature_film film;
    enum feature_relief relief;
    bool is_line;    /* placed by `line`, not by `box` */
    bool past_edge;  /* may run over the surface's edge */
    bool of_artwork; /* stands in `keep-whole`, not in `features` */
    bool is_curved;  /* one way or both: it takes longer to cover */
    bool is_pane;    /* of glass: one piece, no stretch */
    bool
        is_hardware; /* stands on the body: where a gap parts the film anyway, an edge beside it does no harm */
    const char *tick; /* word at its tick in a panel's end strips; NULL: no tick */
    bool comes_off;   /* usually taken off before the film goes on, and refitted */
    enum feature_border border;
    enum feature_filling filling;
    const struct feature_key *keys; /* ended by a NULL name */
};

extern const struct feature_type feature_types[FEATURE_COUNT];
/* As in job files and drawings: "keep-clear". Ended by NULL. */
extern const char *const feature_kind_names[FEATURE_COUNT + 1];

const char *feature_kind_name(enum feature_kind kind);
/* Whether seams keep off this kind (a handle). */
bool feature_forbids_seam(enum feature_kind kind);
/* Whether no film is seen anywhere in it. */
bool feature_is_bare(enum feature_kind kind);
/* Its key of that name, or NULL when it takes none. */
const struct feature_key *feature_key_find(enum feature_kind kind, const char *name);
/* Whether only some kinds take the key. */
bool feature_key_is_special(const char *name);
/* For people: "film covers it", "seams keep away". */
const char *feature_film_words(enum feature_kind kind);
const char *feature_seams_words(enum feature_kind kind);

#endif

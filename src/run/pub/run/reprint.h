/* One panel printed again as it was. What it was printed from comes from the record: the panel's last `printed`
 * with the plan version of then; when nothing of it is on record, from what `make` keeps (run/made.h). It is
 * made with the feed that it was printed with, whatever job, shop and record say by now.
 *
 *     run_open (options.only is SURFACE/PANEL) -> reprint_plan -> reprint_make
 *
 * The file is the one that `make --only SURFACE/PANEL` writes, below OUT/reprint; where OUT/made.txt knows what
 * was made then, with the date, the plan's name and the words about stops of then on its label, so that
 * the same input gives the same bytes. A page of a PDF that has all panels of a surface becomes a file of its own
 * and looks as it did. Nothing else of OUT is touched.
 *
 * Findings, besides those that planning has; all stops but the last:
 *
 *     never-made         nothing on record and nothing kept
 *     reprint-unknown    printed on record, but not of what artwork, and nothing kept
 *     artwork-changed    as run/printed.h compares it; without a record, other bytes, page or place
 *     reprint-profile    another profile
 *     reprint-condition  another printer, film or mode
 *     reprint-plan       the panel is not there any more, or lies elsewhere
 *     feed-kept          note: the feed would be another one now */
#ifndef RUN_REPRINT_H
#define RUN_REPRINT_H

#include "model/record.h"
#include "run/made.h"
#include "run/run.h"

enum print_source { PRINT_UNKNOWN, PRINT_MADE, PRINT_RECORDED };

/* What the panel was printed from. Words are NULL where that is not known. */
struct panel_print {
    enum print_source source;
    const char *panel, *surface;          /* id; the surface's name */
    const char *artwork, *profile, *with; /* as in struct made_panel */
    double feed_percent;
    struct rect visible;
    const char *batch; /* of the film, on record with the print */
    bool since;        /* on record as to be printed again since that print */
    bool has_made;
    struct made_panel made; /* the file, as far as OUT knows it */
};

struct reprint {
    struct panel_print was;
    size_t surface;            /* in run->surfaces and plan->surfaces */
    const struct panel *panel; /* as planned now; NULL: the plan has none */
    double feed_now;           /* what it would be made with otherwise, percent */
    const char *path;          /* the file that was made; NULL: none */
    const char *sha256;        /* of it */
    const char *patches;       /* the sheet of repair pieces; NULL: none */
    size_t patch_count;
    bool compared,
        same_bytes; /* with the file that OUT/made.txt knows; compared false: there is none like it */
    bool same;      /* it is, or would be, as it was printed; with the next five, by who knows the stock */
    bool has_stock; /* a roll of its film is or was in stock: then `roll` means something */
    const struct stock_roll *roll; /* to print on; NULL: none in stock is wide and long enough */
    double film_mm, across_mm;     /* of the file, along and across the film; NAN: not planned */
    int64_t entry;                 /* number of the entry on record; 0: none */
};

/* Reads what the panel was printed from, plans with the feed of then, and adds findings. FAILURE_INPUT when
 * options.only names no panel, or one that was never there. */
bool reprint_plan(struct run *run, struct reprint *reprint, struct error *error);
/* Whether it would be the same as it was: no stop but those it was made in spite of. */
bool reprint_is_same(const struct run *run, const struct reprint *reprint);
/* Makes the file when it is the same or options.anyway is set (and there is something to make); else nothing is
 * made, and no file that was made before stays. */
bool reprint_make(struct run *run, struct reprint *reprint, struct error *error);
/* Repair pieces of the panel on one sheet beside its file: patch-count of patch-width x patch-height
 * (model/practice.h) of what is seen of it: both sides of upright door gaps at their lower end, up to half of them;
 * then as many spread over the lower edge; then row by row from below. None over what stays bare or a gap. Words
 * beneath each say where it comes from. Nothing when the panel's file was not made. */
bool reprint_make_patches(struct run *run, struct reprint *reprint, struct error *error);
/* The folder below OUT that has the files. */
#define REPRINT_FOLDER "reprint"
#define REPRINT_PANELS "reprint/panels"

#endif

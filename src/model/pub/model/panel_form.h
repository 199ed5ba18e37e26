/* The forms of panel files, each described once: the job file, naming, planning, making, labels and plan.json ask a
 * property of the form. A new form is a constant here, a row in panel_form.c, and who writes it: a row in
 * make/make.c, with a file of its own where none of the writers there can. */
#ifndef MODEL_PANEL_FORM_H
#define MODEL_PANEL_FORM_H

#include <stdbool.h>

struct arena;
struct job;

enum panel_form {
    PANEL_PDF,
    PANEL_TIFF,
    PANEL_PDF_TENTH, /* a page at 1:10, to be printed at 1000 % */
    PANEL_FORMS
};

struct panel_form_type {
    const char *ending;    /* of the file's name: "pdf" */
    const char *name_tail; /* before it: what the file must not be printed without; "" for most */
    double largest_mm;     /* longest side; a longer panel takes the form that the job says (`large`) */
    int drawn_at;          /* 1 : so much; printed at as many hundred per cent */
    bool own_file;         /* a file for each panel; else a page in its surface's */
    bool pixels; /* of the condition's inks, which only its profile can make, on whole pixels of the surface's
                            * grid; else the artwork as it is, vectors and fonts too */
    bool keeps_spots; /* spot colours of the artwork stay ones */
};

/* Longest side of a page of 14,400 units of 1/72 inch, the most that a page has (ISO 32000-1, annex C). */
extern const double panel_page_most_mm;

extern const struct panel_form_type panel_forms[PANEL_FORMS];
/* As the job file has them, under `format` and `large`; "": not to be written there. Ended by NULL. */
extern const char *const panel_format_names[PANEL_FORMS + 1];
extern const char *const panel_large_names[PANEL_FORMS + 1];

/* What all panels of a job have that are not large. */
const struct panel_form_type *panel_form_of_job(const struct job *job);
/* Whether any panel of the job is or may become pixels. */
bool job_makes_pixels(const struct job *job);
/* Below OUT: "panels/LV-2031_left.pdf", with a panel's part of the name "panels/LV-2031_left_1.pdf". `part`: NULL
 * for the file of all panels of the surface, which a form with files of its own has not. */
const char *panel_file_name(enum panel_form form, const char *job, const char *surface, const char *part,
                            struct arena *arena);

#endif

/* The English sentences, a table for each room that speaks; `common` has those of more than one.
 * Each is sorted by id. */
#ifndef BASE_ENGLISH_H
#define BASE_ENGLISH_H

#include <stddef.h>

struct sentence {
    const char *id, *words;
};

struct english {
    const struct sentence *rows;
    const size_t *count;
};

extern const struct english english[];
extern const size_t english_count;

extern const struct sentence english_art[];
extern const size_t english_art_count;
extern const struct sentence english_base[];
extern const size_t english_base_count;
extern const struct sentence english_cli[];
extern const size_t english_cli_count;
extern const struct sentence english_colour[];
extern const size_t english_colour_count;
extern const struct sentence english_common[];
extern const size_t english_common_count;
extern const struct sentence english_contour[];
extern const size_t english_contour_count;
extern const struct sentence english_draw[];
extern const size_t english_draw_count;
extern const struct sentence english_floor[];
extern const size_t english_floor_count;
extern const struct sentence english_job[];
extern const size_t english_job_count;
extern const struct sentence english_rolls[];
extern const size_t english_rolls_count;
extern const struct sentence english_layout[];
extern const size_t english_layout_count;
extern const struct sentence english_make[];
extern const size_t english_make_count;
extern const struct sentence english_model[];
extern const size_t english_model_count;
extern const struct sentence english_pdf[];
extern const size_t english_pdf_count;
extern const struct sentence english_plan[];
extern const size_t english_plan_count;
extern const struct sentence english_quote[];
extern const size_t english_quote_count;
extern const struct sentence english_raster[];
extern const size_t english_raster_count;
extern const struct sentence english_record[];
extern const size_t english_record_count;
extern const struct sentence english_run[];
extern const size_t english_run_count;
extern const struct sentence english_scan[];
extern const size_t english_scan_count;
extern const struct sentence english_sheet[];
extern const size_t english_sheet_count;
extern const struct sentence english_sight[];
extern const size_t english_sight_count;
extern const struct sentence english_survey[];
extern const size_t english_survey_count;
extern const struct sentence english_web[];
extern const size_t english_web_count;

#endif

/* The English tables, all of them. */
#include "english.h"

const struct english english[] = {
    {english_art, &english_art_count},       {english_base, &english_base_count},
    {english_cli, &english_cli_count},       {english_colour, &english_colour_count},
    {english_common, &english_common_count}, {english_contour, &english_contour_count},
    {english_draw, &english_draw_count},     {english_floor, &english_floor_count},
    {english_job, &english_job_count},       {english_layout, &english_layout_count},
    {english_make, &english_make_count},     {english_model, &english_model_count},
    {english_pdf, &english_pdf_count},       {english_plan, &english_plan_count},
    {english_quote, &english_quote_count},   {english_raster, &english_raster_count},
    {english_record, &english_record_count}, {english_rolls, &english_rolls_count},
    {english_run, &english_run_count},       {english_scan, &english_scan_count},
    {english_sheet, &english_sheet_count},   {english_sight, &english_sight_count},
    {english_survey, &english_survey_count}, {english_web, &english_web_count},
};
const size_t english_count = sizeof english / sizeof *english;

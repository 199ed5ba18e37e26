/* Everything the server answers, one function for each route. A handler fills the reply; what it leaves is
 * 200 with an empty body. */
#ifndef WEB_VIEWS_H
#define WEB_VIEWS_H

#include "floor/floor.h"
#include "request.h"

typedef void handler(struct web_request *request, struct reply *reply);

/* pages.c: HTML and what the page is made of */
handler view_shell, view_asset;
/* signing.c */
handler view_sign_in, do_sign_in, do_sign_out, view_people, do_people;
/* panel_page.c: the panel's own page, which needs no script */
handler view_panel, do_panel;
/* floor_views.c */
handler view_floor, view_stock, do_stock, view_live;
/* job_views.c */
handler view_job, view_preview, view_written, view_keys, view_conditions, view_used;
/* job_files.c */
handler view_files, view_report;
/* fact_views.c */
handler view_facts, do_facts, do_photo, view_photo, view_small_photo;
/* desk_views.c */
handler do_try, do_edit, do_fleet, do_undo, do_plan, do_make, do_reprint, do_quote, do_proof, do_stop, do_new;
/* upload_views.c */
handler do_upload, view_upload, do_bytes;

/* What became of a form that puts a fact on record. */
struct put_result {
    struct error error; /* kind FAILURE_NONE: see answer */
    struct floor_answer answer;
};
/* What the form says of an entry of that kind; what it leaves out (who, when) is settled when it is recorded.
 */
bool fact_from_form(const struct web_request *request, enum fact_kind kind, struct fact *fact,
                    struct error *error);
void put_fact(struct web_request *request, const char *job, const char *const *panels, size_t panel_count,
              struct put_result *result);

#endif

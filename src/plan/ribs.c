/* Seams along the ribs of a corrugation: all of the overlap, from the visible line to the hidden edge, lies
 * on one crest. */
#include "ribs.h"
#include "model/practice.h"
#include "base/sentence.h"
#include <math.h>

double ribs_crest_mm(const struct feature *f)
{
    double half = f->pitch_mm * practice_share("crest-share");
    if (f->profile == PROFILE_TRAPEZOID) {
        bool slanted = f->wall_deg > 0 && f->wall_deg < 90;
        half = f->pitch_mm / 4 - (slanted ? f->depth_mm / tan(f->wall_deg * M_PI / 180) / 2 : 0);
    }
    return 2 * fmax(practice_value("crest-least").value, half);
}

/* Crests stand at the box's low edge and every pitch from there, by convention. Outside of the box the sheet is
 * flat. */
bool ribs_hold(const struct framed_feature *ribs, double from, double to)
{
    const struct feature *f = ribs->feature;
    struct rect box = ribs->box;
    double low = fmax(from, box.x0), high = fmin(to, box.x1), half = ribs->crest_mm / 2 + 1e-9;
    if (f->pitch_mm <= 0 || low > high || to <= box.x0 || from >= box.x1) return true;
    double crest = box.x0 + f->pitch_mm * round(((low + high) / 2 - box.x0) / f->pitch_mm);
    return low >= crest - half && high <= crest + half;
}

/* Seams stand on whole millimetres, crests need not. */
double ribs_overlap_most_mm(const struct framed_feature *ribs)
{
    return fmax(0, floor(ribs->crest_mm - 1 + 1e-9));
}

static bool runs_along(const struct field *field, const struct seam_cut *cut,
                       const struct framed_feature *framed)
{
    const struct feature *f = framed->feature;
    return feature_types[f->kind].seams == SEAMS_ON_RIBS && f->ribs_upright == field->frame.upright &&
           framed->box.y1 > cut->context.low && framed->box.y0 < cut->context.high;
}

/* One finding for a corrugation names the first seam whose band does not fit. */
static bool ribs_judge_feature(const struct field *field, const struct seam_cut *cut,
                               const struct framed_feature *framed, struct findings *findings)
{
    const struct surface *s = field->frame.surface;
    const struct feature *f = framed->feature;
    double hidden = cut->context.low_over ? cut->at - s->overlap_mm : cut->at + s->overlap_mm;
    if (context_is_whole_gap(&cut->context) || !runs_along(field, cut, framed)) return false;
    if (!ribs_hold(framed, cut->at, cut->at)) return false; /* said of the seam itself */
    if (ribs_hold(framed, fmin(cut->at, hidden), fmax(cut->at, hidden))) return false;
    double most = ribs_overlap_most_mm(framed);
    const char *fits = most < 1               ? "no overlap fits"
                       : s->overlap_mm > most ? sentence_words(findings->arena, "overlap-of-up-to-fits",
                                                               ARGUMENTS(arg_fixed("most", most, 0)))
                                              : sentence_plain("there-is-room-on-crest");
    struct finding *finding =
        finding_add(findings, "overlap-off-crest", s->name, "overlap-off-crest",
                    ARGUMENTS(arg_number("at", cut->at), arg_number("hidden", hidden),
                              arg_number("overlap_mm", s->overlap_mm),
                              arg_fixed("crest_mm", framed->crest_mm, 1), arg_number("pitch_mm", f->pitch_mm),
                              arg_words("fits", fits), arg_flag("upright", field->frame.upright)));
    finding->has_box = true, finding->box = f->box;
    return true;
}

void ribs_judge(const struct field *field, const struct cuts *cuts, struct findings *findings)
{
    for (size_t k = 0; k < field->features.count; k++)
        for (size_t i = 0; i < cuts->count; i++)
            if (ribs_judge_feature(field, &cuts->items[i], &field->features.items[k], findings)) break;
}

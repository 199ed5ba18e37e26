/* The one table of findings, and the list that rooms add to. Sentences of the table say when a finding is raised
 * and what helps; the finding itself says the value, the limit and the place. doc/findings.md is made from it. */
#include "model/finding.h"
#include "model/practice.h"
#include "base/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

const struct finding_kind finding_table[] = {
    /* artwork */
    {"artwork-damaged", SEVERITY_STOP, "The artwork cannot be read whole.",
     "Ask for the file again, exported again from the program it was drawn in."},
    {"artwork-locked", SEVERITY_STOP, "The artwork is locked with a password or forbids printing.",
     "Ask the customer for the file without a password."},
    {"artwork-short", SEVERITY_WARN, "The artwork does not reach the bleed on every side.",
     "Ask for artwork with enough bleed, or make the bleed of that edge smaller in the job file."},
    {"resolution-low", SEVERITY_WARN,
     "A picture in the artwork has too few pixels for its size on the vehicle.",
     "Ask for a larger picture, or accept that it looks soft from near."},
    {"no-profile", SEVERITY_WARN, "A picture or colour has no profile, so its colours are a guess.",
     "Ask for a file with its colour profile embedded, or state the profile in the job file."},
    {"mixed-colour", SEVERITY_NOTE, "The artwork mixes RGB and CMYK.",
     "Check on a proof that colours meant to be alike are alike."},
    {"spot-colour", SEVERITY_WARN, "The artwork uses spot colours.",
     "Make sure the printer's software has a table for these names, or ask for process colours."},
    {"spot-cut", SEVERITY_WARN,
     "The artwork has spot colours or layers for cutting, creasing, perforating, varnish, white or notes.",
     "Tell the printer's software what each is for; what it does not know it may print as ink."},
    {"fonts-missing", SEVERITY_WARN, "A font that the artwork uses is not embedded.",
     "Ask for the file with fonts embedded or lettering as outlines."},
    {"layers-hidden", SEVERITY_WARN, "The artwork has layers that are switched off and will not print.",
     "Ask the customer whether these layers should be seen."},
    {"white-overprint", SEVERITY_WARN, "White is set to overprint and will vanish in print.",
     "Ask for the file with white set to knock out."},
    {"transfer-curves", SEVERITY_WARN, "The artwork carries transfer or halftone settings of another device.",
     "Ask for the file without them; print a small proof first."},
    {"artwork-boxes", SEVERITY_WARN, "The artwork's page boxes are odd.",
     "Check on the picture that the artwork lies where it should."},
    {"annotation-left-out", SEVERITY_WARN,
     "A note or form field that prints from a viewer is not part of the page and is not printed.",
     "Ask for the file flattened, so that notes and fields become part of the page; or accept that they are "
     "left out."},
    {"artwork-groups", SEVERITY_WARN,
     "Artworks that share panels mix their transparent parts in different colour spaces.",
     "Look at half transparent parts on a proof, or ask for one file with all of it, or for files that are "
     "flattened or mix in CMYK."},
    {"artwork-other-surface", SEVERITY_WARN, "By its name, artwork is meant for another surface.",
     "Look at the picture of each side; correct `file` in the job file, or rename the file."},
    {"artwork-newer", SEVERITY_WARN, "A later version of the artwork lies beside the one that is used.",
     "Name the version that the customer agreed to in the job file, and put the others elsewhere."},
    {"artwork-twice", SEVERITY_WARN, "The same artwork lies twice at one place of a surface.",
     "Take one of them out of the job file: what is half transparent would print twice as heavy."},
    {"artwork-mirrored", SEVERITY_WARN, "Lettering of the artwork reads backwards.",
     "Ask for the artwork of this side; mirrored print is for the inside of a pane only."},
    {"font-missing", SEVERITY_STOP, "A text asks for a font that is not there.",
     "Install the font, or name its file or another font in the job file; no other one is put in its place."},
    {"glyph-missing", SEVERITY_STOP, "The font of a text does not have one of its letters.",
     "Name a font that has it, or write the words differently; no letter of another font is put in its "
     "place."},
    {"text-long", SEVERITY_STOP, "A text is longer than its `width`, made as narrow as it may be.",
     "Give it more room, make it lower, shorten the words, or let `narrowest` go further down."},
    {"text-narrowed", SEVERITY_NOTE, "A text was made narrower to fit its `width`.",
     "Look at it beside the others; give it more room if they should look alike."},
    {"text-small", SEVERITY_WARN, "The letters of a text are low.",
     "Make them higher, or check on a test print that they can be read."},
    {"text-alone", SEVERITY_WARN,
     "A surface has text and no artwork, so that it is covered whole for a few words.",
     "Write `cover` for the part with the text, or put the text on a piece."},
    {"cut-missing", SEVERITY_STOP, "A piece has no outline that it could be cut to.",
     "Correct `cut` in the job file, or ask for a file with the path that it names."},
    {"cut-open", SEVERITY_WARN, "A path to cut along is not closed, and was left out.",
     "Ask for a file with closed paths, or cut by the silhouette."},
    {"cut-thin", SEVERITY_WARN, "Parts of a piece are narrower than cutter and film hold.",
     "Make them wider, cut further outside (`silhouette`), or choose another font."},
    {"cut-island", SEVERITY_WARN, "Parts of a piece are so small that they do not stay on their liner.",
     "Leave them out, or cut further outside so that they join."},
    {"cut-gap", SEVERITY_WARN, "Gaps in a piece are too narrow to be weeded.",
     "Fill them (`fill-holes`), or cut further outside so that they close."},
    {"cut-corner", SEVERITY_WARN, "Hollow corners of a piece are tighter than film holds.",
     "Give the cut a `radius`."},
    {"cut-line-left-out", SEVERITY_NOTE,
     "The line that a piece is cut along is left out of its print; the cut layer has it.",
     "Look that nothing else of the artwork has that colour or lies on that layer."},
    {"artwork-missing", SEVERITY_WARN, "A surface has no artwork.",
     "Add artwork to the surface, take the surface out, or write `artwork-follows: true` to have it priced."},
    {"artwork-page", SEVERITY_STOP, "The page asked for is not in the file.",
     "Correct `page` in the job file."},
    {"artwork-size", SEVERITY_WARN, "The artwork's size does not suit the surface.",
     "Check `scale`, `width` or `resolution` of the artwork in the job file."},
    {"artwork-cropped", SEVERITY_WARN, "Filling the surface cuts off part of the artwork.",
     "Look at the picture for what is lost, or ask for artwork in the surface's proportions."},
    {"artwork-pages", SEVERITY_NOTE, "The file has more pages than the one used.",
     "Check that it is the right page."},
    {"artwork-remark", SEVERITY_NOTE, "Something in the artwork that a person should know.",
     "Look at it on the picture."},
    /* colour */
    {"profile-missing", SEVERITY_STOP, "The printing condition names no profile, or the file is not there.",
     "Give the condition the profile made for this printer, film, ink and mode."},
    {"profile-in-printer", SEVERITY_WARN,
     "The profile is kept in the printer's own software (`profile: in-printer`): it is not read here.",
     "Check profile, film, ink and mode in the printer's software before printing, and write its name on the "
     "work "
     "card."},
    {"lead-time-assumed", SEVERITY_WARN, "Printing is bought in, and nobody wrote how long it takes to come.",
     "Ask the printer, and write `lead-time` under `bought-in`."},
    {"lead-time-short", SEVERITY_WARN,
     "Bought-in prints are to come sooner than they can have dried and their laminate rested.",
     "Ask the printer when the prints are hung and laminated; take a later date, or ink that dries sooner."},
    {"profile-damaged", SEVERITY_STOP, "The profile is not a whole ICC profile.",
     "Make or fetch the profile again."},
    {"profile-class", SEVERITY_STOP, "The profile is not an output profile.",
     "Use the profile made for this printer with this film; a monitor, scanner or link profile cannot drive "
     "a print."},
    {"profile-space", SEVERITY_STOP, "The profile is not for CMYK.", "Use a CMYK output profile."},
    {"profile-generic", SEVERITY_WARN, "The profile is a general one, not made for this film, ink and mode.",
     "Make or fetch the profile for this very film; a general one lays down too much or too little ink."},
    {"profile-changed", SEVERITY_WARN, "The profile is not the one the condition remembers.",
     "Find out who changed it; when the new one is correct, write its fingerprint into the shop file."},
    {"profile-id-wrong", SEVERITY_WARN, "The profile's own ID does not agree with its bytes.",
     "The profile was edited after it was made; fetch it again if colours look wrong."},
    {"output-intent-differs", SEVERITY_WARN, "The artwork was made for another printing condition.",
     "Ask for artwork in the condition's colours, or accept a colour shift; print a proof."},
    {"ink-over-limit", SEVERITY_WARN, "More ink than the film takes.",
     "Lower the ink limit in the printer's software, use a profile with a lower limit, or lighten these "
     "places."},
    {"panels-old", SEVERITY_WARN, "The panel files that lie there are of another plan.",
     "Make the panels again; `make`, `plan` and `panels` move the old ones to OUT/old."},
    {"panels-proved", SEVERITY_NOTE,
     "`--prove`: Ghostscript drew every panel page and the artworks' own pages, and they were compared.",
     "See what was compared, how large the largest difference is, and which share of the pixels differs."},
    {"panels-not-made", SEVERITY_STOP,
     "TIFF panels were asked for and there is no profile to make them with.",
     "Give the condition the CMYK output profile made for this printer, film, ink and mode, or write "
     "`format: "
     "pdf`: PDF panels carry the artwork's own colours."},
    {"panels-own-colours", SEVERITY_WARN, "PDF panels were made without a printing condition's profile.",
     "See in the printer's software which profile it takes for them, and print a proof first."},
    /* material */
    {"ink-not-conformable", SEVERITY_STOP,
     "The ink is not known to stretch, and the surface asks for stretch.",
     "Print this surface with a solvent, eco-solvent or latex ink, or write the ink maker's elongation with "
     "its source into the shop file."},
    {"film-not-conformable", SEVERITY_WARN, "The film is not made for the shape of this surface.",
     "Use cast film and cast laminate here."},
    {"laminate-missing", SEVERITY_STOP, "The printing condition has no laminate.",
     "Name a laminate, or write why there is none and until when (`no-laminate: {reason, until}`)."},
    {"laminate-waived", SEVERITY_WARN, "The print goes out without laminate, for a written reason.",
     "Tell the customer that it will not last as long."},
    {"laminate-mismatch", SEVERITY_WARN, "The laminate does not suit the film or the surface.",
     "Use the laminate of the film's own kind: cast on cast."},
    {"stretch-over-limit", SEVERITY_STOP, "The film must stretch more than it can.",
     "Set an inlay or a relief cut at the recess, put a seam there, or use a film that stretches further."},
    {"stretch-near-limit", SEVERITY_WARN, "The film must stretch by more than half its limit.",
     "Post-heat these places to the film maker's figure and check them after a day; or set an inlay or a "
     "relief cut."},
    {"laid-unsaid", SEVERITY_WARN, "A corrugation does not say whether the film is bridged or followed.",
     "Write `laid: bridged` (across the crests, then pushed in) or `laid: followed` (into every valley)."},
    {"stretch-limit-unwritten", SEVERITY_WARN,
     "The film must stretch further than some films take, and nobody wrote this one's limit.",
     "Ask the maker of that part, and write `stretch-limit` with the source into the shop file."},
    {"stretch-if-stuck", SEVERITY_WARN,
     "A recess asks for more stretch than the film takes when its floor is pressed first, or in its corners.",
     "Bridge first, floor last: lay the film across, press it in from the rim, and warm the corners."},
    {"inlay-proposed", SEVERITY_NOTE, "A deep recess is better covered with a piece of its own.",
     "Write `inlay: true` (a piece of its own) or `relief: true` (its corners are cut) at the recess."},
    {"inlay", SEVERITY_NOTE,
     "A recess is covered by a piece of its own, or cut in its corners, as the job says.",
     "Follow the job sheet: it gives the pieces and the cuts."},
    {"inlay-wide", SEVERITY_STOP, "An inlay is wider than the film holds.",
     "Cover the recess with relief cuts, take a wider roll, or run the panels the other way."},
    {"durability-unknown", SEVERITY_NOTE, "Years were promised, and a part's durability is not known.",
     "Write the maker's figure, `durability`, for that part into the shop file."},
    {"durability-short", SEVERITY_WARN, "The set lasts less long than was promised.",
     "Use a film, laminate or ink that lasts longer, or promise less."},
    {"width-short", SEVERITY_STOP, "The laminate is narrower than the print.",
     "Use a laminate at least as wide as the film, or a narrower film."},
    {"window-rules", SEVERITY_WARN, "Film on glass has rules of its own.",
     "Use perforated film with a clear laminate, cut short of seals; ask what the local law allows on this "
     "pane."},
    {"value-assumed", SEVERITY_NOTE, "A value that the shop did not write decides something.",
     "Write the maker's figure into the shop file."},
    /* plan */
    {"seam-crosses", SEVERITY_WARN, "A seam crosses something it should not.",
     "Move the seam, or accept it knowingly."},
    {"sliver", SEVERITY_WARN, "A lap leaves a narrow strip of film beside a door gap or a finished edge.",
     "Move the seam into the gap or further away; else seal the strip's edge and look at it at the next-day "
     "check."},
    {"lettering-over", SEVERITY_WARN, "Lettering runs over a handle, a recess, a gap or off the edge.",
     "Move the lettering in the artwork, or show the customer how it will look."},
    {"keep-whole-cut", SEVERITY_STOP, "A seam cuts artwork that must stay whole.",
     "Move the seam, or take the keep-whole off that part."},
    {"no-seam-possible", SEVERITY_STOP, "No place for the seams is left on this surface.",
     "Use a wider roll, a narrower bleed, the other direction, or drop one of the features named."},
    {"panel-too-long", SEVERITY_STOP, "A panel is longer than the printer prints or a roll holds.",
     "Run the panels the other way, split the surface, or take longer rolls."},
    {"panel-blank", SEVERITY_WARN, "A panel prints nothing, or a large part of it has no artwork.",
     "Check that the right page of the artwork lies in the right place; or cover less of the surface."},
    {"panel-narrow", SEVERITY_NOTE, "A panel is so narrow that it is hard to apply.",
     "Move the seams by hand if there is a choice."},
    {"seams-apart", SEVERITY_WARN, "Seams that `align` wants in line are not.",
     "Move one of them by hand, let both surfaces run their panels the same way, or raise the shop's "
     "`out-of-line`."},
    {"widths-mixed", SEVERITY_NOTE, "Panels of a surface come from rolls of several widths.",
     "Take rolls of one batch, film and laminate alike: a change of batch within a side shows as a colour "
     "step."},
    {"cut-line", SEVERITY_NOTE, "A panel runs across a door gap and is cut there when it is on.",
     "Cut along the gap and turn the edges in; the cut line is marked where the gap meets the panel's "
     "edges."},
    {"overlap-off-crest", SEVERITY_WARN,
     "Along ribs the hidden edge of an overlap lies in a valley or on a wall.",
     "Take the overlap that fits on a crest, or run the seam across the ribs or beside them."},
    {"overlap-none", SEVERITY_WARN, "Panels only touch at a lap seam: the overlap is 0.",
     "Write an overlap of 10 to 25 mm: film shrinks, and a gap opens where nothing lies beneath."},
    {"cut-out", SEVERITY_NOTE, "The body stays bare round a plate, lamp, sensor or camera.",
     "Cut the film round it when the panel is on, just outside the marks in the film that comes away."},
    {"feed-recorded", SEVERITY_NOTE, "A length correction comes from the production record.",
     "Write `feed:` for this condition into the shop file, or for this job into the job file, to use "
     "another."},
    {"seal-bare", SEVERITY_NOTE, "Film is laid over a pane in the body: its seal stays bare.",
     "Cut the body's film at the pane's edge and the film on the glass short of it, its corners round, along "
     "the marks between; take the strip off the seal. Never cut on the glass or the seal: lift the film "
     "first."},
    {"front-guessed", SEVERITY_WARN,
     "Where the vehicle's front is was guessed, or is written against the surface's name.",
     "Write `front: left`, right, up, down, away or towards for this surface."},
    {"size-doubtful", SEVERITY_WARN, "A surface is larger than vehicles are.",
     "Check the size: a digit too many, centimetres for millimetres, or a drawing's scale."},
    {"overlap-unusual", SEVERITY_WARN, "An overlap is far narrower or wider than the trade's.",
     "Check it: a digit too many or too few, or centimetres for millimetres."},
    {"panel-large", SEVERITY_NOTE,
     "A panel's PDF page would be longer than 5.08 m: it counts in larger units (UserUnit), or comes at 1:10 "
     "or "
     "as TIFF where the job says so (`large`).",
     "Compare the size in the printer's queue with this one before printing."},
    {"piece-past-edge", SEVERITY_WARN, "A piece reaches past the edge of the surface that it lies on.",
     "Move it (`at`), or leave it: the piece is cut off at the edge, as the picture shows."},
    {"surface-difference", SEVERITY_NOTE, "Something in the measured surface a person should know.",
     "Measure again on the vehicle."},
    /* time */
    {"drying-not-possible", SEVERITY_STOP, "The prints will not dry this way.",
     "Hang the prints in a clean, ventilated room, use a drying cabinet, or wind them loosely and stand them "
     "upright off the floor."},
    {"drying-slow", SEVERITY_WARN, "The room is too cold or too humid for the usual drying times.",
     "Warm or dry the room, or wait for the time given."},
    {"room-assumed", SEVERITY_NOTE, "The job does not say how warm and humid the room is.",
     "Write `indoors: {temperature: 21, humidity: 50 %}` as it is measured."},
    {"hanging-height", SEVERITY_NOTE, "A print is too long to hang in a usual room.",
     "Write the room's height (`hanging-height` in the shop file), hang it over a bar or dry it loosely "
     "wound."},
    {"drying-unsaid", SEVERITY_NOTE, "The job does not say how the prints dry.",
     "Write `drying: hung` or how you do it."},
    {"laminate-too-cold", SEVERITY_WARN, "The room is too cold for this laminate.",
     "Warm the room, and the laminate with it, before laminating."},
    {"laminate-too-warm", SEVERITY_WARN, "The room is too warm for this laminate.",
     "Cool the room before laminating."},
    {"apply-too-cold", SEVERITY_WARN, "The room is too cold to apply film in.",
     "Warm the room, the vehicle and the film in it before applying; the film maker's bulletin gives the "
     "least."},
    {"date-past", SEVERITY_WARN, "A date that the job gives is past.",
     "Correct `due` or `start` in the job file, year and month too; or record what was done."},
    {"due-missed", SEVERITY_WARN, "The vehicle cannot be finished by the date promised.",
     "Start earlier, add opening hours, or promise the date given here."},
    {"vehicle-leaves", SEVERITY_WARN, "The vehicle leaves too early.",
     "Agree on a later time, start earlier, or add opening hours or installers."},
    {"crew-short", SEVERITY_NOTE, "A panel takes two people and the crew is one person.",
     "Ask for a second hand at these panels, or write how many install (`crew` in the shop or job file)."},
    {"price-missing", SEVERITY_WARN, "A price or rate is not written, and sums leave it out.",
     "Write it into the shop file; 0 says that it costs nothing."},
    {"margin-meaning", SEVERITY_WARN, "The shop file's `margin` is added to the cost, which is a mark-up.",
     "Write `mark-up` to keep the sum, or `money: 2` for a margin: price = cost / (1 - margin)."},
    {"design-unsaid", SEVERITY_NOTE, "The shop charges design and the job gives no hours of it.",
     "Write `design: 2 h` into the job file, or `design: 0 h`."},
    {"artwork-changed", SEVERITY_STOP, "The artwork of printed panels was changed after they were printed.",
     "Put the file that was printed back, record the panels as to be printed again (`reprint`), or accept it "
     "on "
     "record with a reason."},
    {"artwork-saved-again", SEVERITY_NOTE,
     "An artwork file was saved again after printing; the pixels are the same.",
     "Nothing, when the customer says so too."},
    {"proof-changed", SEVERITY_STOP, "The job is not what the customer approved.",
     "Make the proof again (`lapstrake proof`), have it approved and record that, put back what was "
     "approved, or "
     "accept the finding on record with a reason."},
    {"proof-awaited", SEVERITY_STOP, "The job must be approved first, and no approval is on record.",
     "Send the proof (`lapstrake proof`), and record the approval with its letters; or accept the finding on "
     "record with a reason."},
    {"printed-otherwise", SEVERITY_WARN, "A piece was printed for other seams than the plan has now.",
     "Fix the seams where they were (`seams: [...]`), or record that the piece is printed again."},
    {"never-made", SEVERITY_STOP, "A panel that is to be printed again was never made.",
     "Make it: `lapstrake make`."},
    {"reprint-vehicle", SEVERITY_STOP, "A panel of a fleet that is to be printed again differs by vehicle.",
     "Print its page again from the vehicle's own file in OUT/panels; the job sheet says which."},
    {"reprint-unknown", SEVERITY_STOP,
     "A panel was printed on record, and nothing says what artwork it was printed from.",
     "Hold the print beside the picture; if they agree, print it again with `--anyway`."},
    {"reprint-profile", SEVERITY_STOP,
     "A panel that is to be printed again was printed with another profile.",
     "Put the profile of then back, or print it anyway: its colours may differ from its neighbours'."},
    {"reprint-condition", SEVERITY_STOP,
     "A panel that is to be printed again was printed with another printer, film or mode.",
     "Name the condition of then in the job file, or print it anyway."},
    {"reprint-plan", SEVERITY_STOP,
     "A panel that is to be printed again lies elsewhere in the plan, or nowhere.",
     "Fix the seams where they were (`seams: [...]`), or print it anyway: it will not meet its neighbours."},
    {"reprint-batch", SEVERITY_STOP,
     "No roll of the batch that a panel was printed on is left that is wide and long enough.",
     "Look for the batch, or print it anyway: another batch may show beside its neighbours."},
    {"feed-kept", SEVERITY_NOTE,
     "A panel is printed again with the feed that it was printed with, which is not the one of now.",
     "Nothing: its neighbours were printed with that feed too."},
    {"heavy-ink", SEVERITY_NOTE, "Much ink on one place makes the drying longer.",
     "Wait for the time given."},
    /* rolls: raised by `lapstrake rolls` */
    {"roll-short", SEVERITY_STOP, "A print fits on no roll of its film.",
     "Get a longer or wider roll, or split the surface into smaller panels."},
    {"batch-short", SEVERITY_WARN,
     "Stock has film enough for a surface, but not of one batch, so that a new roll is taken.",
     "Take the new roll, or print a strip of each batch and compare them before mixing."},
    {"batch-to-ask", SEVERITY_WARN, "A surface lies on more than one new roll.",
     "Order these rolls from one batch, and compare them before printing."},
};
const size_t finding_table_count = sizeof finding_table / sizeof *finding_table;

const struct finding_kind *finding_kind_find(const char *code)
{
    for (size_t i = 0; i < finding_table_count; i++)
        if (!strcmp(finding_table[i].code, code)) return &finding_table[i];
    return NULL;
}

struct findings findings_new(struct arena *arena)
{
    return (struct findings){.arena = arena};
}

struct finding *finding_add(struct findings *findings, const char *code, const char *where, const char *id,
                            const struct argument *arguments)
{
    const struct finding_kind *kind = finding_kind_find(code);
    if (!kind) abort();
    struct finding *finding = arena_append(findings->arena, &findings->items, &findings->count,
                                           &findings->capacity, sizeof *finding);
    *finding = (struct finding){
        .code = kind->code,
        .severity = kind->severity,
        .where = arena_copy_string(findings->arena, where),
        .text = sentence_words(findings->arena, id, arguments),
        .id = sentence_id(id),
        .arguments = arguments_copy(findings->arena, arguments),
        .remedy = kind->remedy,
        .figure = NAN,
    };
    return finding;
}

void findings_raise(struct findings *findings, const char *const *codes, const char *const *to, size_t count)
{
    for (size_t i = 0; i < findings->count; i++)
        for (size_t k = 0; k < count; k++) {
            struct finding *finding = &findings->items[i];
            enum severity raised = strcmp(to[k], "stop") ? SEVERITY_WARN : SEVERITY_STOP;
            if (!strcmp(finding->code, codes[k]) && raised > finding->severity) finding->severity = raised;
        }
}

/* ---- acceptances ---- */

const char *finding_place(const struct finding *finding, struct arena *arena)
{
    bool bound = finding->about || !isnan(finding->figure);
    const char *about = bound ? finding->about : finding->text;
    struct text place = text_new(arena);
    text_add(&place, finding->where);
    if (about) text_addf(&place, ": %s", about);
    if (finding->files)
        text_addf(&place, ", files %08x%08x", (unsigned)(finding->files >> 32), (unsigned)finding->files);
    return text_string(&place);
}

static bool is_no_worse(const struct finding *finding, double accepted)
{
    if (isnan(finding->figure) || isnan(accepted)) return isnan(finding->figure) == isnan(accepted);
    double more = finding->low_is_worse ? accepted - finding->figure : finding->figure - accepted;
    return more <= practice_share("accepted-worse") * fabs(accepted) + 1e-9;
}

static bool finding_is_there(const struct finding *finding, const char *place)
{
    size_t length = strlen(finding->where);
    return !strncmp(place, finding->where, length) && (!place[length] || strchr(":,", place[length]));
}

static bool accept_those(struct findings *findings, const struct acceptance *acceptance)
{
    bool any = false;
    for (size_t i = 0; i < findings->count; i++) {
        struct finding *finding = &findings->items[i];
        if (strcmp(finding->code, acceptance->code) ||
            strcmp(finding_place(finding, findings->arena), acceptance->place) ||
            !is_no_worse(finding, acceptance->figure))
            continue;
        finding->accepted = acceptance;
        if (finding->yields) finding->severity = SEVERITY_WARN;
        any = true;
    }
    return any;
}

void findings_accept(struct findings *findings, const struct acceptance *acceptances, size_t count)
{
    for (size_t i = 0; i < findings->count; i++)
        findings->items[i].accepted = findings->items[i].lapsed = NULL;
    for (size_t k = 0; k < count; k++) {
        if (accept_those(findings, &acceptances[k])) continue;
        for (size_t i = 0; i < findings->count; i++) {
            struct finding *finding = &findings->items[i];
            if (!strcmp(finding->code, acceptances[k].code) &&
                finding_is_there(finding, acceptances[k].place))
                finding->lapsed = &acceptances[k];
        }
    }
    for (size_t i = 0; i < findings->count; i++)
        if (findings->items[i].accepted) findings->items[i].lapsed = NULL;
}

size_t findings_of_severity(const struct findings *findings, enum severity severity)
{
    size_t count = 0;
    for (size_t i = 0; i < findings->count; i++) count += findings->items[i].severity == severity;
    return count;
}

const char *severity_name(enum severity severity)
{
    static const char *const names[] = {"note", "warn", "stop"};
    return names[severity];
}

/* A new job folder to begin with: both files read without a mistake as they stand, and say in comments what
 * else can be written. */
#include "job/job.h"
#include "base/arena.h"
#include "base/path.h"
#include "base/text.h"

static const char job_text[] =
    "# A job: what is lettered, with which artwork, by when.\n"
    "# Lengths are millimetres on the real vehicle unless a unit is written: 12 mm, 0.5 in, 5.4 m, 2 ft 3 "
    "in.\n"
    "# On every surface: you stand in front of it, x runs to the right, y up, from the lower left corner.\n"
    "\n"
    "# job: LV-2031                 # number for file names; left out, it is this folder's name\n"
    "title: A van with two sides\n"
    "# start: 2027-03-01T08:00      # when printing may start; left out, the next opening hour\n"
    "# due: 2027-03-12T17:00        # when the vehicle must be finished\n"
    "indoors: {temperature: 21, humidity: 50 %}   # where the prints dry and are laminated\n"
    "drying: hung                   # cabinet, hung, loose-upright, flat, tight-roll, outdoors\n"
    "# durability: 5 y              # what the customer was promised\n"
    "\n"
    "print:\n"
    "  condition: van-cast          # a printing condition of shop.yaml\n"
    "  overlap: 12 mm               # printed on both panels at a seam\n"
    "  bleed: 50 mm                 # printed beyond the outline; or by edge: {top: 50, sill: 0, rear: 20}\n"
    "  resolution: 100              # pixels per inch at full size, for pictures\n"
    "  format: pdf                  # pdf or tiff\n"
    "\n"
    "# vehicle: ../vehicles/long-van.yaml   # a measured vehicle that jobs share; its surfaces are then the "
    "job's\n"
    "vehicle-type: van              # van, box, bus, trailer or car\n"
    "\n"
    "surfaces:\n"
    "  - name: left\n"
    "    size: [5400, 1900]         # or drawn: drawing: {file: surfaces/left.svg, scale: 10}\n"
    "    front: left                # where the vehicle's front is in this view\n"
    "    panels: upright            # upright, lying or auto\n"
    "    features:\n"
    "      - {kind: handle, box: [1520, 880, 160, 90]}\n"
    "      - {kind: gap, line: [1350, 0, 1350, 1500]}\n"
    "      # - {kind: uncovered, box: [4900, 120, 90, 60], name: reflector, margin: 5}\n"
    "      # - {kind: recess, box: [2800, 300, 240, 900], depth: 18, wall: 60 deg}\n"
    "      # A feature is one of these kinds:\n";

static const char job_end[] =
    "    # artwork:\n"
    "    #   - {file: art/left.pdf, scale: 10}    # drawn at 1:10, centred; or fit: bleed\n"
    "    # keep-whole:\n"
    "    #   - {box: [3200, 1200, 900, 180], name: telephone number}\n"
    "    # seams: [1350, 2690]      # fixed by hand; left out, they are found\n"
    "    # mixed-widths: true       # each panel may come from the roll width that suits it\n"
    "  - name: right\n"
    "    size: [5400, 1900]\n"
    "    front: right\n"
    "    panels: upright\n"
    "\n"
    "# align: left-rear             # seams go on in line where two surfaces meet\n"
    "# corners: [left-rear]         # the side wraps 20 mm round the corner over the rear\n"
    "# Artwork can also be given here, by surface: a file alone fills the surface and its bleed.\n"
    "# artwork: {left: art/left.pdf, right: art/right.pdf}\n";

static const char shop_text[] =
    "# The shop: printers, films, laminates, inks, and what goes with what.\n"
    "# Take limits from the makers' data sheets: {value: 12 %, source: the sheet's name and date}.\n"
    "# What is left out comes from common practice; the tool says so wherever that decides something.\n"
    "\n"
    "currency: EUR\n"
    "# zone: Europe/Lisbon          # left out: this machine's own\n"
    "hours: {mon-fri: 08:00-17:00, sat: closed, sun: closed}   # and closed: [2027-03-08]\n"
    "\n"
    "printers:\n"
    "  - {name: wide, media-width: 1625, edge: 8, max-length: 30 m, speed: 12 m2/h, setup: 20 min}\n"
    "\n"
    "films:\n"
    "  - {name: cast-white, kind: cast, widths: [1370, 1520], length: 50 m, thickness: 0.05, price: 9.80 per "
    "m2,\n"
    "     stretch-limit: 15 %, durability: 7 y}\n"
    "\n"
    "laminates:\n"
    "  - {name: cast-gloss, kind: cast, finish: gloss, widths: [1370, 1520], length: 50 m, price: 7.10 per "
    "m2,\n"
    "     stretch-limit: 15 %, durability: 7 y, temperature: [20, 23], bond: 24 h}\n"
    "\n"
    "inks:\n"
    "  - {name: eco, technology: eco-solvent, channels: [C, M, Y, K], ml-per-m2: [8, 8, 8, 8], price: 0.16 "
    "per ml,\n"
    "     dry: {least: 48 h, most: 72 h, most-at: 280 %}}\n"
    "\n"
    "conditions:\n"
    "  - name: van-cast\n"
    "    printer: wide\n"
    "    film: cast-white\n"
    "    laminate: cast-gloss\n"
    "    ink: eco\n"
    "    mode: 8 pass\n"
    "    # profile: profiles/van-cast.icc   # the ICC profile of this printer, film, ink and mode\n"
    "    intent: relative\n"
    "    black-point: true\n"
    "    ink-limit: 280 %\n"
    "\n"
    "rates: {design: 48, print: 35, laminate: 30, install: 42, install-speed: 1.6 m2/h, mark-up: 30 %, "
    "waste: "
    "5 %}\n"
    "\n"
    "# seams: {detail: 10, lap: 2, lettering: 60}   # what seams cost where they show: see doc/seams.md\n"
    "# severities: {seam-crosses: stop}   # findings that this shop takes more seriously\n";

/* The whole job file: the kinds of features stand where they are written. */
static const char *job_words(struct arena *arena)
{
    struct text text = text_new(arena);
    text_add(&text, job_text);
    for (int kind = 0; kind < FEATURE_COUNT; kind++)
        if (!feature_types[kind].of_artwork)
            text_addf(&text, "      #   %s: %s\n", feature_kind_names[kind], feature_types[kind].help);
    text_add(&text, job_end);
    return text_string(&text);
}

static bool refuse_existing(struct machine *machine, const char *folder, struct arena *arena,
                            struct error *error)
{
    static const char *const names[] = {"job.yaml", "job.json", "shop.yaml"};
    struct file_status status = machine->status(machine, folder);
    if (status.exists && !status.is_folder)
        return error_set(error, FAILURE_INPUT, "is-file-name-folder-that-is",
                         ARGUMENTS(arg_words("folder", folder)));
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (machine->status(machine, path_join(arena, folder, names[i])).exists)
            return error_set(error, FAILURE_INPUT, "already-has-name-folder-that-is",
                             ARGUMENTS(arg_words("folder", folder), arg_words("names", names[i])));
    return true;
}

bool job_init(struct machine *machine, const char *folder, struct arena *arena, struct error *error)
{
    return refuse_existing(machine, folder, arena, error) &&
           machine->make_folder(machine, path_join(arena, folder, "art"), error) &&
           machine->make_folder(machine, path_join(arena, folder, "surfaces"), error) &&
           machine_write(machine, path_join(arena, folder, "shop.yaml"), str_from(shop_text), true, error) &&
           machine_write(machine, path_join(arena, folder, "job.yaml"), str_from(job_words(arena)), true,
                         error);
}

bool job_init_shop(struct machine *machine, const char *folder, struct arena *arena, struct error *error)
{
    const char *path = path_join(arena, folder, "shop.yaml");
    if (machine->status(machine, path).exists) return true;
    return machine_write(machine, path, str_from(shop_text), true, error);
}

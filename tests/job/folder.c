#include "folder.h"
#include "base/path.h"
#include "base/text.h"
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void folder_new(struct folder *folder)
{
    *folder = (struct folder){.machine = machine_real("")};
    folder->arena = arena_new(&folder->machine);
    const char *top = getenv("TMPDIR");
    char *pattern = arena_format(folder->arena, "%s/lapstrake-job-XXXXXX", top ? top : "/tmp");
    if (!mkdtemp(pattern)) abort();
    folder->path = pattern;
}

static void empty(struct folder *folder, const char *path)
{
    const char **names;
    if (!folder->machine.list_folder(&folder->machine, path, folder->arena, &names, NULL)) return;
    for (; *names; names++) {
        const char *inner = path_join(folder->arena, path, *names);
        if (folder->machine.status(&folder->machine, inner).is_folder)
            empty(folder, inner);
        else
            unlink(inner);
    }
    rmdir(path);
}

void folder_free(struct folder *folder)
{
    empty(folder, folder->path);
    arena_free(folder->arena);
}

void folder_write_bytes(struct folder *folder, const char *name, const void *bytes, size_t length)
{
    struct error error = {0};
    const char *path = path_join(folder->arena, folder->path, name);
    if (!machine_write(&folder->machine, path, (struct str){bytes, length}, false, &error)) abort();
}

void folder_write(struct folder *folder, const char *name, const char *text)
{
    folder_write_bytes(folder, name, text, strlen(text));
}

bool folder_load(struct folder *folder)
{
    folder->report = report_new(folder->arena);
    folder->error = (struct error){0};
    return job_load(&folder->machine, folder->path, folder->arena, &folder->report, &folder->job,
                    &folder->error);
}

const struct mistake *folder_mistake(const struct folder *folder, const char *file, int line,
                                     const char *words)
{
    for (size_t i = 0; i < folder->report.count; i++) {
        const struct mistake *mistake = &folder->report.mistakes[i];
        if (strcmp(mistake->place.file, file) || (line && mistake->place.line != line)) continue;
        if (strstr(mistake->text, words)) return mistake;
    }
    return NULL;
}

const char *folder_report(struct folder *folder)
{
    struct text text = text_new(folder->arena);
    report_write(&folder->report, &text);
    return text_string(&text);
}

const char sample_shop[] =
    "currency: EUR\n"
    "zone: Europe/Lisbon\n"
    "hours: {mon-fri: 07:30-16:30, fri: 07:30-13:00, sat: closed, closed: [2027-03-08, 2028-02-29]}\n"
    "threading: 1.5 m\n"
    "printers:\n"
    "  - {name: wide, media-width: 64 in, edge: 0.25 in, max-length: 30 m, speed: 12 m2/h, setup: 20 min}\n"
    "films:\n"
    "  - name: cast-white\n"
    "    kind: cast\n"
    "    widths: [1520, 1370, 30 in]\n"
    "    thickness: 0.05\n"
    "    price: 9.80 per m2\n"
    "    stretch-limit: {value: 12 %, source: \"maker's bulletin 12\"}\n"
    "    durability: 7 y\n"
    "    durability-flat: 42 months\n"
    "    post-heat: 194 F\n"
    "  - {name: economy, kind: calendered, widths: [1370]}\n"
    "laminates:\n"
    "  - {name: cast-gloss, kind: cast, finish: gloss, widths: [1370, 1520], price: 7.10, temperature: [68 "
    "F, 23],\n"
    "     bond: 1 d, trim-while-bonding: true}\n"
    "  - {name: plain, kind: calendered, widths: [1370]}\n"
    "inks:\n"
    "  - {name: eco, technology: eco-solvent, channels: [C, M, Y, K], ml-per-m2: [8, 8.5, 7, 9], price: 160 "
    "per l,\n"
    "     dry: {least: 50 h, most: 4 d, most-at: 300 %}}\n"
    "  - {name: cured, technology: uv}\n"
    "conditions:\n"
    "  - {name: van-cast, printer: wide, film: cast-white, laminate: cast-gloss, ink: eco, mode: 8 pass,\n"
    "     profile: profiles/van-cast.icc, intent: absolute, black-point: no, ink-limit: 260 %,\n"
    "     fingerprint: 0123456789abcdef0123456789abcdef}\n"
    "  - name: short-lived\n"
    "    printer: wide\n"
    "    film: economy\n"
    "    ink: cured\n"
    "    no-laminate: {reason: a fair of three days, until: 2027-03-20}\n"
    "rates: {design: 48, print: 35.5, laminate: 30, install: 42, install-speed: 1.6 m2/h, laminate-speed: 3 "
    "m/min,\n"
    "        margin: 30 %, waste: 5 %}\n"
    "seams: {lap-minutes: 4, detail: 12.5, shaped-reach: 1 in, out-of-line: 0}\n"
    "severities: {seam-crosses: stop, heavy-ink: warn}\n"
    "page: https://10.0.0.7:8017\n";

const char sample_job[] = "job: AB-12_c\n"
                          "title: Two sides and a roof\n"
                          "customer: the county\n"
                          "start: 2027-03-01T08:00\n"
                          "due: 2027-03-12T17:00:30\n"
                          "indoors: {temperature: 70 F, humidity: 45 %, roller: 25}\n"
                          "drying: loose-upright\n"
                          "durability: 5 y\n"
                          "feed: 100.2 %\n"
                          "vehicle-type: box\n"
                          "print:\n"
                          "  condition: van-cast\n"
                          "  overlap: 0.5 in\n"
                          "  bleed: {top: 60, sill: cut short, front: 20, rear: 1 in}\n"
                          "  seam-trim: 2\n"
                          "  turn-in: 30 mm\n"
                          "  resolution: 120\n"
                          "  format: tiff\n"
                          "  output: cut\n"
                          "surfaces:\n"
                          "  - name: near side\n"
                          "    size: [5.4 m, 6 ft 3 in]\n"
                          "    front: left\n"
                          "    panels: upright\n"
                          "    start-from: front\n"
                          "    least-panel: 200\n"
                          "    features:\n"
                          "      - {kind: handle, box: [100, 900, 120, 80], name: sliding door}\n"
                          "      - {kind: gap, line: [1350, 0, 1350, 1500]}\n"
                          "      - {kind: recess, box: [2000, 300, 240, 900], depth: 18, wall: 60 deg}\n"
                          "      - {kind: corrugation, box: [3000, 0, 900, 1900], profile: trapezoid, pitch: "
                          "76, depth: 18, runs: upright,\n"
                          "         follow: true}\n"
                          "      - {kind: corrugation, box: [4000, 0, 900, 1900], profile: [[0, 0], [38, "
                          "18], [76, 0]], runs: lying}\n"
                          "    artwork:\n"
                          "      - {file: art/left.pdf, page: 2, scale: 10, at: [-50, -5 cm]}\n"
                          "      - art/more.tif\n"
                          "    keep-whole:\n"
                          "      - {box: [200, 1200, 600, 150], name: telephone number}\n"
                          "    seams: [2690, {at: 1350, over: right}]\n"
                          "  - name: roof\n"
                          "    drawing: {file: surfaces/roof.svg, scale: 20}\n"
                          "    front: up\n"
                          "    condition: short-lived\n"
                          "    overlap: 20\n"
                          "    bleed: 10\n"
                          "    mixed-widths: true\n"
                          "align: [{surfaces: near-side-roof, shift: 40 mm}]\n";

const char sample_vehicle[] =
    "name: Long van\n"
    "type: van\n"
    "surfaces:\n"
    "  - {name: left, size: [5400, 1900], features: [{kind: handle, box: [100, 900, 120, 80]}]}\n"
    "  - {name: rear, drawing: drawings/rear.svg}\n";

/* Reads a surface's artworks: fingerprint, kind, facts, place, findings. Called when a run opens; the facts
 * come from pdf and raster, which read foreign files in a child. */
#include "art/art.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/path.h"
#include "base/pool.h"
#include "pdf/facts.h"
#include "raster/facts.h"
#include <string.h>
#include <unistd.h>

enum { HEAD = 1024, BLOCK = 1 << 16, PIECE = 1 << 22 };

/* A PDF says so within its first 1024 bytes (ISO 32000-1, annex H, implementation note 13). */
static bool is_pdf(const char *head, size_t length)
{
    for (size_t i = 0; i + 5 <= length; i++)
        if (!memcmp(head + i, "%PDF-", 5)) return true;
    return false;
}

/* A file that has not been touched for longer than any clock's step is known by what its disk says of it. One
 * that changed just now may change once more and bear the same times: its bytes are read. */
enum { SETTLED_S = 5 };

static bool read_is_settled(struct machine *machine, const struct file_status *status)
{
    int64_t now = machine->now(machine) * 1000000000, since = now - INT64_C(1000000000) * SETTLED_S;
    return status->changed_ns > 0 && status->changed_ns < since && status->modified_ns < since;
}

static uint64_t print_of_status(const struct file_status *status)
{
    int64_t facts[] = {(int64_t)status->device, (int64_t)status->number, (int64_t)status->size,
                       status->modified_ns, status->changed_ns};
    return hash_bytes(HASH_START, facts, sizeof facts);
}

/* A file's fingerprint from its bytes: from those of its pieces, which threads read side by side. */
struct pieces {
    int fd;
    uint64_t *prints; /* 0 where a piece could not be read, which no print is */
};

static void read_take_piece(void *context, size_t piece)
{
    const struct pieces *pieces = context;
    unsigned char block[BLOCK];
    uint64_t print = HASH_START;
    for (off_t at = 0; at < PIECE; at += BLOCK) {
        ssize_t got = pread(pieces->fd, block, BLOCK, (off_t)piece * PIECE + at);
        if (got < 0) return;
        if (got > 0) print = hash_bytes(print, block, (size_t)got);
        if (got < BLOCK) break;
    }
    pieces->prints[piece] = print | 1;
}

static bool print_of_bytes(int fd, uint64_t size, struct arena *arena, uint64_t *print)
{
    size_t count = (size_t)(size / PIECE) + 1;
    struct pieces pieces = {fd, arena_take_array(arena, count, sizeof *pieces.prints)};
    struct pool *pool = pool_new(arena_machine(arena), pool_processors());
    pool_run(pool, count, read_take_piece, &pieces);
    pool_free(pool);
    *print = hash_bytes(HASH_START, pieces.prints, count * sizeof *pieces.prints);
    for (size_t i = 0; i < count; i++)
        if (!pieces.prints[i]) return false;
    return true;
}

static bool read_look(int fd, const char *path, bool *pdf, struct arena *arena, struct error *error)
{
    char head[HEAD];
    ssize_t got = pread(fd, head, sizeof head, 0);
    bool ends_so =
        string_equal(path_ending(arena, path), "pdf"); /* a damaged one is still to be called a PDF */
    *pdf = ends_so || (got > 0 && is_pdf(head, (size_t)got));
    return got >= 0 ||
           error_set(error, FAILURE_MACHINE, "path-cannot-be-read", ARGUMENTS(arg_words("path", path)));
}

static bool art_read_fingerprint(struct machine *machine, int fd, const char *path, struct arena *arena,
                                 uint64_t *print)
{
    struct file_status status = machine->status(machine, path);
    if (!read_is_settled(machine, &status)) return print_of_bytes(fd, status.size, arena, print);
    *print = print_of_status(&status);
    return true;
}

/* Fingerprint of the file and whether it is a PDF. */
static bool look_through(struct machine *machine, int fd, const char *path, uint64_t *hash, bool *pdf,
                         struct arena *arena, struct error *error)
{
    return read_look(fd, path, pdf, arena, error) &&
           (art_read_fingerprint(machine, fd, path, arena, hash) ||
            error_set(error, FAILURE_MACHINE, "path-cannot-be-read", ARGUMENTS(arg_words("path", path))));
}

static bool read_load(struct machine *machine, const struct artwork_spec *spec, bool pdf, struct arena *arena,
                      struct artwork_facts *facts, struct error *error)
{
    return pdf ? pdf_facts_load(machine, spec->path, spec->file, spec->page, arena, facts, error)
               : raster_facts_load(machine, spec->path, spec->file, arena, facts, error);
}

static bool unusable(const char *where, const struct artwork_spec *spec, const struct artwork_facts *facts,
                     struct findings *findings)
{
    static const char *const codes[] = {NULL, "artwork-damaged", "artwork-locked", "artwork-page"};
    if (facts->state == ARTWORK_FINE) return false;
    bool named = str_starts(str_from(facts->trouble), spec->file);
    finding_add(findings, codes[facts->state], where, "subject-and-sentence-2",
                ARGUMENTS(arg_words("file", named ? "" : spec->file), arg_words("trouble", facts->trouble),
                          arg_flag("named", named)));
    return true;
}

/* A file that is not there is a mistake in the job file, and the next one is looked for. */
static bool no_file(const struct artwork_spec *spec, const struct error *trouble, struct report *report,
                    struct error *error)
{
    if (trouble->kind != FAILURE_INPUT) return error_words(error, trouble->kind, trouble->text);
    report_add(report, spec->place, "artwork-trouble", ARGUMENTS(arg_words("trouble", trouble->text)));
    return true;
}

static bool art_read_one(struct machine *machine, const struct surface *surface,
                         const struct artwork_spec *spec, const struct notes *notes, struct surface_art *art,
                         struct error *error)
{
    struct arena *arena = notes->arena;
    uint64_t hash = HASH_START;
    bool pdf = false;
    struct error trouble;
    struct artwork_facts *facts = arena_take(arena, sizeof *facts);
    struct file_status seen = machine->status(machine, spec->path);
    int fd = machine->open_file(machine, spec->path, &trouble);
    if (fd < 0) return no_file(spec, &trouble, notes->report, error);
    bool ok = look_through(machine, fd, spec->path, &hash, &pdf, arena, error);
    close(fd);
    if (!ok) return false;
    if (!read_load(machine, spec, pdf, arena, facts, error)) return false;
    if (unusable(surface->name, spec, facts, notes->findings)) return true;
    struct placed_art placed = art_place(surface, spec, facts);
    placed.file_hash = hash;
    placed.seen = seen;
    art->placed[art->count++] = placed;
    return true;
}

bool art_read(struct machine *machine, const struct surface *surface, const struct notes *notes,
              struct surface_art *art, struct error *error)
{
    const struct surface_spec *spec = surface->spec;
    *art = (struct surface_art){.placed =
                                    arena_take_array(notes->arena, spec->artwork_count, sizeof *art->placed)};
    for (size_t i = 0; i < spec->artwork_count; i++)
        if (!art_read_one(machine, surface, &spec->artworks[i], notes, art, error)) return false;
    if (!spec->artwork_count && !spec->text_count && !spec->bears_pieces)
        finding_add(notes->findings, "artwork-missing", surface->name, "artwork-missing", NULL);
    return true;
}

bool art_read_file(struct machine *machine, const char *path, const char *subject, struct arena *arena,
                   struct artwork_facts *facts, struct findings *findings, struct error *error)
{
    const struct artwork_spec spec = {.file = subject, .path = path, .page = 1};
    bool pdf = false;
    int fd = machine->open_file(machine, path, error);
    if (fd < 0) return false;
    bool ok = read_look(fd, path, &pdf, arena, error);
    close(fd);
    if (!ok || !read_load(machine, &spec, pdf, arena, facts, error)) return false;
    if (!unusable(subject, &spec, facts, findings)) art_judge_file(facts, subject, findings);
    return true;
}

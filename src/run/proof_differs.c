/* Keeps the lines of each proof, and says what of a job differs from a proof that was approved. Called by proof.c when a
 * proof is written and by proof_judge.c. */
#include "proof_inner.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/path.h"
#include "base/sentence.h"
#include "base/text.h"
#include <string.h>

enum { BASIS_MOST = 1 << 24 };

static const char *basis_path(const struct run *run, const char *letters)
{
    return path_join(run->arena, run->out, arena_format(run->arena, PROOF_FOLDER "/%s.txt", letters));
}

bool proof_keep_basis(struct run *run, const struct proof *proof, struct error *error)
{
    const char *folder = path_join(run->arena, run->out, PROOF_FOLDER);
    return run->machine->make_folder(run->machine, folder, error) &&
           machine_write(run->machine, basis_path(run, proof->letters), str_from(proof->basis), false, error);
}

/* What was kept under these letters; NULL: nothing, or other lines than they stand for. */
static const char *basis_kept(const struct run *run, const char *letters)
{
    struct str text;
    struct sha256 sha;
    char hex[65], found[PROOF_LETTERS + 1];
    const char *path = basis_path(run, letters);
    if (!run->machine->status(run->machine, path).exists ||
        !machine_read(run->machine, path, BASIS_MOST, run->arena, &text, NULL))
        return NULL;
    sha256_start(&sha);
    sha256_add(&sha, text.bytes, text.length);
    sha256_finish(&sha, hex);
    proof_letters_of(hex, found);
    return string_equal(found, letters) ? arena_copy(run->arena, text.bytes, text.length) : NULL;
}

/* ---- lines ---- */

static struct str basis_line(struct str *rest)
{
    const char *end = memchr(rest->bytes, '\n', rest->length);
    size_t length = end ? (size_t)(end - rest->bytes) : rest->length;
    struct str line = str_slice(*rest, 0, length);
    *rest = str_slice(*rest, end ? length + 1 : length, rest->length);
    return line;
}

/* The lines of one surface; length 0: it is not there. */
static struct str basis_of_surface(const char *basis, struct str head)
{
    struct str rest = str_from(basis);
    while (rest.length) {
        struct str line = basis_line(&rest);
        if (line.length != head.length || memcmp(line.bytes, head.bytes, head.length) != 0) continue;
        struct str left = rest;
        size_t length = 0;
        while (left.length && !str_starts(left, "surface ")) {
            basis_line(&left);
            length = rest.length - left.length;
        }
        return str_slice(rest, 0, length);
    }
    return (struct str){"", 0};
}

/* Something of a surface: the lines that begin with a word, of artworks what stands before or behind " at ". */
struct basis_part {
    const char *id, *word, *other;
    int half; /* 0: whole lines; 1, 2: of the line */
};

static void part_add(struct text *text, const struct basis_part *part, struct str line)
{
    size_t at = 0;
    while (part->half && at < line.length && !str_starts(str_slice(line, at, line.length), " at ")) at++;
    struct str half = part->half == 0   ? line
                      : part->half == 1 ? str_slice(line, 0, at)
                                        : str_slice(line, at, line.length);
    text_add_bytes(text, half.bytes, half.length);
    text_add_char(text, '\n');
}

static const char *part_of(const struct basis_part *part, struct str lines, struct arena *arena)
{
    struct text text = text_new(arena);
    while (lines.length) {
        struct str line = basis_line(&lines);
        if (str_starts(line, part->word) || (part->other && str_starts(line, part->other)))
            part_add(&text, part, line);
    }
    return text_string(&text);
}

static const char *surface_differs(struct str before, struct str now, struct arena *arena)
{
    static const struct basis_part parts[] = {
        {"proof-part-artwork", "artwork ", NULL, 1},   {"proof-part-place", "artwork ", NULL, 2},
        {"proof-part-size", "outline ", NULL, 0},      {"proof-part-film", "film ", NULL, 0},
        {"proof-part-laminate", "laminate ", NULL, 0}, {"proof-part-profile", "profile ", NULL, 0},
        {"proof-part-bare", "bare ", "shape ", 0},     {"proof-part-copies", "copies ", NULL, 0},
        {"proof-part-words", "vehicle ", NULL, 0}};
    struct text words = text_new(arena);
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        if (!string_equal(part_of(&parts[i], before, arena), part_of(&parts[i], now, arena)))
            text_addf(&words, "%s%s", words.length ? ", " : "", sentence_plain(parts[i].id));
    return text_string(&words);
}

/* ---- what differs ---- */

static void differs_add(struct text *words, struct str head, const char *what)
{
    struct str name = str_slice(head, strlen("surface "), head.length);
    text_addf(words, "%s%.*s: %s", words->length ? "; " : "", (int)name.length, name.bytes, what);
}

/* Surfaces of `basis` beside those of `other`; where both have one, what of it differs is told if `both`. */
static void differs_take(const char *basis, const char *other, bool both, struct text *words)
{
    struct str rest = str_from(basis);
    while (rest.length) {
        struct str head = basis_line(&rest);
        if (!str_starts(head, "surface ")) continue;
        struct str here = basis_of_surface(basis, head), there = basis_of_surface(other, head);
        if (!there.length)
            differs_add(words, head, sentence_plain(both ? "proof-part-new" : "proof-part-gone"));
        else if (both && *surface_differs(there, here, words->arena))
            differs_add(words, head, surface_differs(there, here, words->arena));
    }
}

const char *proof_differs(const struct run *run, const char *approved, const char *basis)
{
    struct text words = text_new(run->arena);
    const char *before = basis_kept(run, approved);
    if (!before) return "";
    differs_take(basis, before, true, &words);
    differs_take(before, basis, false, &words);
    return words.length ? text_string(&words) : sentence_plain("proof-part-other");
}

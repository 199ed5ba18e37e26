/* Artwork that may be another one than was meant: its name says another surface, or a newer version of it lies
 * beside it. By names only: what they say is our own judgement. */
#include "base/arena.h"
#include "base/path.h"
#include "base/str.h"
#include "base/text.h"
#include "model/finding.h"
#include "digests.h"
#include "steps.h"
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { WORDS_MOST = 16, WORD_BYTES = 40 };

/* A name's words and numbers in small letters: "Left_side-V2.pdf" is left, side, v, 2. */
struct name_words {
    char items[WORDS_MOST][WORD_BYTES];
    size_t count;
};

static int doubtful_class_of(char c)
{
    return isdigit((unsigned char)c) ? 2 : isalpha((unsigned char)c) || (unsigned char)c >= 0x80 ? 1 : 0;
}

static struct name_words doubtful_words_of(const char *name)
{
    struct name_words words = {.count = 0};
    const char *dot = strrchr(name, '.'), *end = dot ? dot : name + strlen(name);
    while (name < end && words.count < WORDS_MOST) {
        int class = doubtful_class_of(*name);
        size_t length = 0;
        char *word = words.items[words.count];
        for (; name < end && doubtful_class_of(*name) == class; name++)
            if (length + 1 < WORD_BYTES) word[length++] = (char)tolower((unsigned char)*name);
        word[class ? length : 0] = 0;
        words.count += class != 0;
    }
    return words;
}

static bool has_word(const struct name_words *words, const char *word)
{
    for (size_t i = 0; i < words->count; i++)
        if (!strcmp(words->items[i], word)) return true;
    return false;
}

static bool names_surface(const struct name_words *file, const char *surface)
{
    struct name_words wanted = doubtful_words_of(surface);
    for (size_t i = 0; i < wanted.count; i++)
        if (!has_word(file, wanted.items[i])) return false;
    return wanted.count > 0;
}

/* ---- another surface's ---- */

/* Words for the sides of a vehicle in some languages, and how they are cut short. Our own judgement. */
static const char *const side_words[][2] = {
    {"left", "right"},        {"links", "rechts"},    {"gauche", "droite"},
    {"izquierda", "derecha"}, {"sinistra", "destra"}, {"esquerda", "direita"},
    {"lhs", "rhs"},           {"lh", "rh"},           {"l", "r"},
};

/* Where a name says one side: the word's place, and which side; false when it says none or both. */
struct doubtful_files_side {
    size_t word, pair;
    int which; /* 0 left, 1 right */
};

static bool says_side(const struct name_words *words, struct doubtful_files_side *side)
{
    size_t said = 0;
    *side = (struct doubtful_files_side){0};
    for (size_t i = 0; i < words->count; i++)
        for (size_t k = 0; k < sizeof side_words / sizeof *side_words; k++)
            for (int which = 0; which < 2; which++)
                if (!strcmp(words->items[i], side_words[k][which]))
                    *side = (struct doubtful_files_side){i, k, which}, said++;
    return said == 1;
}

/* The other side's name: the same words but for the side's. */
static bool is_counterpart(const struct name_words *one, const struct name_words *other)
{
    struct doubtful_files_side a, b;
    if (!says_side(one, &a) || !says_side(other, &b) || a.which == b.which || a.pair != b.pair ||
        a.word != b.word || one->count != other->count)
        return false;
    for (size_t i = 0; i < one->count; i++)
        if (i != a.word && strcmp(one->items[i], other->items[i])) return false;
    return true;
}

static bool is_on_side(const struct surface *surface, int which)
{
    struct name_words words = doubtful_words_of(surface->name);
    struct doubtful_files_side side;
    return says_side(&words, &side) && side.which == which;
}

/* The surface with the file that this one was exchanged with: each says the side that the other lies on, and
 * they are one name but for that. NULL: none. */
static const struct surface *crossed_with(const struct run *run, const struct surface *surface,
                                          const char *file)
{
    struct name_words words = doubtful_words_of(path_name(file));
    struct doubtful_files_side side;
    if (!says_side(&words, &side) || !is_on_side(surface, !side.which)) return NULL;
    for (size_t i = 0; i < run->surface_count; i++) {
        const struct surface *other = run->surfaces[i].surface;
        for (size_t k = 0; is_on_side(other, side.which) && k < other->spec->artwork_count; k++) {
            struct name_words theirs = doubtful_words_of(path_name(other->spec->artworks[k].file));
            if (is_counterpart(&words, &theirs)) return other;
        }
    }
    return NULL;
}

/* The surface of the job that the file's name says and that is not this one; NULL: none. */
static const struct surface *other_named(const struct run *run, const struct surface *surface,
                                         const char *file)
{
    struct name_words words = doubtful_words_of(path_name(file));
    if (names_surface(&words, surface->name)) return NULL;
    for (size_t i = 0; i < run->surface_count; i++)
        if (names_surface(&words, run->surfaces[i].surface->name)) return run->surfaces[i].surface;
    return NULL;
}

/* `other` has artwork that by its name is this one's: both were exchanged. */
static bool is_exchanged(const struct run *run, const struct surface *surface, const struct surface *other)
{
    for (size_t i = 0; i < other->spec->artwork_count; i++)
        if (other_named(run, other, other->spec->artworks[i].file) == surface) return true;
    return false;
}

static void judge_surface_of(struct run *run, const struct surface *surface, const char *file)
{
    const struct surface *other = other_named(run, surface, file), *crossed = NULL;
    if (!other) other = crossed = crossed_with(run, surface, file);
    if (!other) return;
    bool exchanged = crossed || is_exchanged(run, surface, other);
    struct finding *f =
        exchanged ? finding_add(&run->findings, "artwork-other-surface", surface->name,
                                "artwork-other-surface-lies-on-and-artwork",
                                ARGUMENTS(arg_words("file", file), arg_words("surface", surface->name),
                                          arg_words("other", other->name)))
                  : finding_add(&run->findings, "artwork-other-surface", surface->name,
                                "artwork-other-surface-lies-on-by-its",
                                ARGUMENTS(arg_words("file", file), arg_words("surface", surface->name),
                                          arg_words("other", other->name)));
    if (exchanged) f->severity = SEVERITY_STOP;
    f->on_artwork = true;
}

/* ---- an older version ---- */

static bool is_version_word(const char *word)
{
    static const char *const words[] = {"v",   "r",    "rev",       "ver", "version", "final",
                                        "new", "copy", "corrected", "old", "draft"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (!strcmp(word, words[i])) return true;
    return isdigit((unsigned char)*word);
}

/* How many of the words, from the first, are the name without its version. */
static size_t stem_count(const struct name_words *words)
{
    size_t count = words->count;
    while (count > 1 && is_version_word(words->items[count - 1])) count--;
    return count;
}

/* -1 for an old one or a draft, 1 for a final or corrected one. */
static int rank_of(const struct name_words *words)
{
    if (has_word(words, "old") || has_word(words, "draft")) return -1;
    return has_word(words, "final") || has_word(words, "corrected") || has_word(words, "new");
}

static long number_from(const struct name_words *words, size_t *at)
{
    while (*at < words->count && !isdigit((unsigned char)*words->items[*at])) ++*at;
    return *at < words->count ? strtol(words->items[(*at)++], NULL, 10) : -1;
}

/* The same name, and a later version by its numbers or its words. */
static bool is_newer(const struct name_words *one, const struct name_words *than)
{
    size_t stem = stem_count(than), a = stem, b = stem;
    if (stem != stem_count(one)) return false;
    for (size_t i = 0; i < stem; i++)
        if (strcmp(one->items[i], than->items[i])) return false;
    while (a < one->count || b < than->count) {
        long left = number_from(one, &a), right = number_from(than, &b);
        if (left != right) return left > right;
        if (left < 0) break;
    }
    return rank_of(one) > rank_of(than);
}

static bool is_artwork_name(const char *name)
{
    static const char *const ends[] = {".pdf", ".tif", ".tiff", ".jpg", ".jpeg", ".png"};
    const char *dot = strrchr(name, '.');
    for (size_t i = 0; dot && i < sizeof ends / sizeof *ends; i++)
        if (!strcasecmp(dot, ends[i])) return true;
    return false;
}

static bool is_used(const struct run *run, const char *path)
{
    for (size_t i = 0; i < run->job->surface_count; i++)
        for (size_t k = 0; k < run->job->surfaces[i].artwork_count; k++)
            if (!strcmp(run->job->surfaces[i].artworks[k].path, path)) return true;
    return false;
}

/* Byte for byte; a file that cannot be read is like no other. */
static bool same_bytes(struct run *run, const char *one, const char *other)
{
    char a[65], b[65];
    struct machine *m = run->machine;
    if (!strcmp(one, other)) return true;
    if (m->status(m, one).size != m->status(m, other).size) return false;
    return digest_of_file(m, one, run->options.cancel, a, NULL) &&
           digest_of_file(m, other, run->options.cancel, b, NULL) && !strcmp(a, b);
}

static void judge_version(struct run *run, const struct surface *surface, const struct artwork_spec *art)
{
    struct machine *m = run->machine;
    const char *folder = path_folder(run->arena, art->path), **names, *newest = NULL;
    struct name_words best = doubtful_words_of(path_name(art->path));
    if (!m->list_folder(m, folder, run->arena, &names, NULL)) return;
    for (; *names; names++) {
        struct name_words words = doubtful_words_of(*names);
        if (!is_artwork_name(*names) || !is_newer(&words, &best) ||
            is_used(run, path_join(run->arena, folder, *names)))
            continue;
        best = words, newest = *names;
    }
    if (!newest || same_bytes(run, art->path, path_join(run->arena, folder, newest))) return;
    finding_add(&run->findings, "artwork-newer", surface->name, "artwork-newer",
                ARGUMENTS(arg_words("file", art->file), arg_words("newest", newest)))
        ->on_artwork = true;
}

/* ---- twice ---- */

static bool lies_there_too(const struct artwork_spec *one, const struct artwork_spec *other)
{
    return one->page == other->page && one->fit == other->fit && one->has_at == other->has_at &&
           fabs(one->at_mm.x - other->at_mm.x) < 0.01 && fabs(one->at_mm.y - other->at_mm.y) < 0.01 &&
           one->scale == other->scale && one->width_mm == other->width_mm &&
           one->resolution_ppi == other->resolution_ppi;
}

static void judge_twice(struct run *run, const struct surface *surface, size_t index)
{
    const struct artwork_spec *arts = surface->spec->artworks, *art = &arts[index];
    for (size_t i = 0; i < index; i++)
        if (lies_there_too(art, &arts[i]) && same_bytes(run, art->path, arts[i].path)) {
            bool one_name = !strcmp(arts[i].file, art->file);
            struct finding *twice =
                one_name ? finding_add(&run->findings, "artwork-twice", surface->name, "artwork-twice",
                                       ARGUMENTS(arg_words("file", arts[i].file),
                                                 arg_words("surface", surface->name)))
                         : finding_add(
                               &run->findings, "artwork-twice", surface->name, "artwork-twice-by-two-names",
                               ARGUMENTS(arg_words("file", arts[i].file), arg_words("surface", surface->name),
                                         arg_words("other", art->file)));
            twice->on_artwork = true;
            return;
        }
}

void step_doubt_files(struct run *run)
{
    for (size_t i = 0; i < run->surface_count; i++) {
        const struct surface *surface = run->surfaces[i].surface;
        for (size_t k = 0; k < surface->spec->artwork_count; k++) {
            judge_surface_of(run, surface, surface->spec->artworks[k].file);
            judge_version(run, surface, &surface->spec->artworks[k]);
            judge_twice(run, surface, k);
        }
    }
}

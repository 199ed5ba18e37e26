/* What the customer approves: every surface as it will look, and what of it is theirs to check. Made by run
 * (run/proof.h), drawn by sheet, written as JSON by answer. All of it lives in the run's arena.
 *
 * A proof is known by eight letters. They are worked out from `basis`, lines of text that say all that the
 * customer approves and nothing else (doc/proof.md lists them), and are the same on any machine:
 *
 *     N = the first 8 bytes of the SHA-256 of `basis`, the first byte the highest
 *     letters = N modulo 24^8 in base 24, 8 digits, the highest first, written in PROOF_ALPHABET */
#ifndef MODEL_PROOF_H
#define MODEL_PROOF_H

#include "model/plan.h"

#define PROOF_ALPHABET "ABCDEFGHJKLMNPQRSTUVWXYZ" /* without I and O, which are read as 1 and 0 */
enum { PROOF_LETTERS = 8, PROOF_COLOURS_MOST = 8 };

/* A flat colour of the artwork as it will be printed. */
struct proof_colour {
    double percent[PROCESS_INKS]; /* C, M, Y, K by the condition's profile, 0..100 */
    double share_percent;         /* of the surface's bounding box with its bleed that it covers */
    struct point at;              /* a place inside it, mm on the surface */
    uint8_t rgb[3];               /* of the preview there, sRGB */
};

/* What of a surface is not covered as the artwork shows it. */
struct proof_bare {
    const char *name; /* the feature's, else its kind */
    struct rect box;  /* mm on the surface */
    const char *why;  /* one sentence */
};

/* What a text of a fleet says on one vehicle. */
struct proof_words {
    const char *vehicle, *words;
};

struct proof_surface {
    const struct surface_plan *plan; /* its letterings too */
    const struct surface_art *art;
    const struct picture *preview;      /* NULL: no artwork */
    const char *film, *laminate;        /* names in the shop; NULL: none */
    const struct proof_colour *colours; /* the largest first */
    size_t colour_count;
    bool colours_known; /* false: the condition has no profile that can be used */
    const char **spots; /* named spot colours of its files */
    size_t spot_count;
    const struct proof_words *words; /* that differ by vehicle: text by text, in the fleet's order */
    size_t word_count;
    const struct proof_bare *bare;
    size_t bare_count;
};

struct proof_file {
    const char *file, *revision; /* as the job names it; revision NULL: not said */
    const char *sha256;          /* 64 hex digits */
};

/* The last approval on record. */
struct proof_approval {
    const char *letters, *how, *who;
    int64_t at; /* UTC seconds */
};

struct proof {
    const struct job *job;
    const struct zone *zone;
    int64_t version; /* from 1; goes up when the letters change */
    char letters[PROOF_LETTERS + 1];
    char fingerprint[65]; /* SHA-256 of the basis */
    const char *basis;    /* lines, each ended */
    struct proof_surface *surfaces;
    size_t surface_count;
    struct proof_file *files; /* each once, in the job's order */
    size_t file_count;
    const struct proof_approval *approval; /* NULL: none on record */
};

/* The letters of a SHA-256 in hex digits. */
void proof_letters_of(const char hex[65], char letters[PROOF_LETTERS + 1]);
/* What a person wrote or read out ("abcd efgh", "ABCD-EFGH") as letters; false: these are none. */
bool proof_letters_read(const char *written, char letters[PROOF_LETTERS + 1]);

#endif

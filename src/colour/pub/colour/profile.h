/* ICC profiles as a shop meets them: what one is, and whether it fits a printing condition. Layout from ICC.1
 * (header of 128 bytes, then the tag table). Our own checked code looks a profile over before the colour
 * library sees it. */
#ifndef COLOUR_PROFILE_H
#define COLOUR_PROFILE_H

#include "base/machine.h"
#include "base/str.h"
#include "model/artwork.h"
#include "model/finding.h"
#include "model/job.h"
#include <stdbool.h>
#include <stdint.h>

enum { PROFILE_BYTES_MOST = 64 << 20 };

enum profile_state { PROFILE_FINE, PROFILE_MISSING, PROFILE_DAMAGED };
enum profile_class {
    PROFILE_INPUT,   /* scanner, camera */
    PROFILE_DISPLAY, /* monitor */
    PROFILE_OUTPUT,  /* printer */
    PROFILE_LINK,    /* from one device straight to another */
    PROFILE_COLOUR_SPACE,
    PROFILE_ABSTRACT,
    PROFILE_NAMED,
    PROFILE_OTHER_CLASS,
};
enum profile_id { PROFILE_ID_ABSENT, PROFILE_ID_RIGHT, PROFILE_ID_WRONG };

struct profile_facts {
    enum profile_state state;
    const char *trouble; /* missing or damaged: one sentence; nothing below is to be used then */
    size_t size;
    enum profile_class class_;
    char space[5], pcs[5]; /* signatures without trailing blanks: "CMYK", "RGB", "GRAY", "Lab", "XYZ" */
    int version_major, version_minor; /* 4, 3 */
    const char *description;          /* UTF-8, cut at 200 bytes, "" when there is none */
    const char *copyright;            /* the same */
    struct civil_time created;        /* UTC as stated; given is false when it is no date */
    bool has_b2a; /* B2A0, which stands in for every intent that has no table of its own */
    bool b2a_for[4],
        a2b_for[4]; /* by enum intent: a table of its own, or B2A0 (A2B0); absolute is relative's */
    char embedded_id[33], computed_id[33]; /* 32 hex digits; embedded is "" when it was never computed */
    enum profile_id id;
    bool generic; /* made for standard conditions or a colour space, not for one printer with one film */
    const char *generic_why;
};

/* Reads and looks over the profile at `path`; `bytes` (may be NULL) are its bytes, in the arena. A file that
 * is not there, is no profile or is not whole is no failure: state and trouble say so. Fails only when the
 * machine does. */
bool profile_read(struct machine *machine, const char *path, struct arena *arena, struct profile_facts *facts,
                  struct str *bytes, struct error *error);
void profile_facts_from_bytes(struct str bytes, struct arena *arena, struct profile_facts *facts);

/* Findings on a condition's profile: profile-missing, profile-damaged, profile-class (also a device link,
 * named colours, and a profile without tables towards the printer or back), profile-space, profile-generic,
 * profile-changed (the fingerprint in the shop file is not the computed ID), profile-id-wrong. `facts` NULL:
 * the condition names none. */
void profile_check(const struct condition *condition, const struct profile_facts *facts,
                   struct findings *findings);

/* Whether the profile can say what pixels of this colour look like: NULL, or a sentence why not. */
const char *profile_source_trouble(const struct profile_facts *facts, enum colour_kind pixels,
                                   struct arena *arena);

/* "CMYK output profile "Demo shop, cast film", ICC version 2.4, of 2026-11-25": for people. In the arena. */
const char *profile_words(const struct profile_facts *facts, struct arena *arena);
const char *profile_class_words(enum profile_class class_); /* "a monitor profile" */

#endif

/* Sentences for people.
 *
 * Code says which sentence, by its id, and what goes into it, by name. How a sentence is worded stands in
 * one table for each language: src/base/english/, a file for each room, in the order of the ids. So a
 * sentence is worded once, can be said in another language, and plan and page can pass on what it speaks of.
 *
 * In the table:
 *   {name}              the argument
 *   {name|panel|panels} by its number: the first for 1, else the second
 *   {name?with|without} by its flag: the first when it is set, else the second
 *   {{                  a brace
 *
 * tests/lint/sentences.py holds that every id in use has a row and every row a use, and that the arguments
 * given are those that the row names. An unknown id and a missing argument abort: they are bugs here. */
#ifndef BASE_SENTENCE_H
#define BASE_SENTENCE_H

#include "base/text.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;
struct json;

enum argument_kind {
    ARGUMENT_END,    /* after the last */
    ARGUMENT_WORDS,  /* words, most */
    ARGUMENT_NUMBER, /* number, at most so many decimals */
    ARGUMENT_FIXED,  /* number, exactly so many decimals */
    ARGUMENT_COUNT,  /* count */
    ARGUMENT_FLAG    /* count: 0 or 1 */
};

struct argument {
    const char *name; /* lower case, with its unit where it has one: "width_mm" */
    enum argument_kind kind;
    const char *words; /* borrowed; NULL reads "(none)" */
    size_t most;       /* bytes of the words that are said at most */
    double number;
    int decimals;  /* 0..9 */
    int64_t count; /* also a flag */
};

/* The arguments of one sentence, ended. Live as long as the block they stand in. Without any: NULL. */
#define ARGUMENTS(...) ((const struct argument[]){__VA_ARGS__, {.kind = ARGUMENT_END}})

static inline struct argument arg_words(const char *name, const char *words)
{
    return (struct argument){.name = name, .kind = ARGUMENT_WORDS, .words = words, .most = SIZE_MAX};
}
/* Of words that may be long, or do not end: `most` bytes at most. */
static inline struct argument arg_part(const char *name, const char *words, size_t most)
{
    return (struct argument){.name = name, .kind = ARGUMENT_WORDS, .words = words, .most = most};
}
/* A number without zeros at its end, up to `decimals` behind the point: 12, 12.5, 0.031. */
static inline struct argument arg_rounded(const char *name, double number, int decimals)
{
    return (struct argument){.name = name, .kind = ARGUMENT_NUMBER, .number = number, .decimals = decimals};
}
static inline struct argument arg_number(const char *name, double number)
{
    return arg_rounded(name, number, 6);
}
/* A number with exactly `decimals` behind the point. */
static inline struct argument arg_fixed(const char *name, double number, int decimals)
{
    return (struct argument){.name = name, .kind = ARGUMENT_FIXED, .number = number, .decimals = decimals};
}
static inline struct argument arg_count(const char *name, int64_t count)
{
    return (struct argument){.name = name, .kind = ARGUMENT_COUNT, .count = count};
}
static inline struct argument arg_flag(const char *name, bool set)
{
    return (struct argument){.name = name, .kind = ARGUMENT_FLAG, .count = set};
}

void text_say(struct text *text, const char *id, const struct argument *arguments);
const char *sentence_words(struct arena *arena, const char *id, const struct argument *arguments);
/* One without arguments, as it stands in the table (static). */
const char *sentence_plain(const char *id);
/* Into a fixed buffer, cut at its end; returns the length written. */
size_t sentence_into(char *buffer, size_t size, const char *id, const struct argument *arguments);

/* The id as the table has it (static); NULL when it is not there. */
const char *sentence_id(const char *id);
/* Of words that sentence_plain gave; NULL for others, also for such that read the same. */
const char *sentence_id_of_plain(const char *words);
/* A sentence that is passed on: which, of what, and in words. In the arena or static. All zero: none. */
struct reason {
    const char *id;
    const struct argument *arguments; /* NULL: it has none */
    const char *words;
};
struct reason reason_say(struct arena *arena, const char *id, const struct argument *arguments);
/* A copy, with its words, that lives as long as the arena. */
const struct argument *arguments_copy(struct arena *arena, const struct argument *arguments);
/* {"width_mm": 12.5, "film": "cast white", "written": true} on one line. */
void arguments_json(struct json *json, const char *key, const struct argument *arguments);

#endif

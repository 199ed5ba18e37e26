/* One failure of one operation: its words, and what they speak of. */
#include "base/error.h"
#include "base/str.h"
#include "base/text.h"
#include <assert.h>
#include <string.h>

/* Where a copy of them begins in the error; as much as there is room for, whole characters. */
static unsigned short error_hold(struct error *error, const char *words, size_t length)
{
    size_t at = error->held_bytes, room = sizeof error->held - 1 - at;
    if (length > room) {
        length = room;
        while (length && ((unsigned char)words[length] & 0xC0) == 0x80) length--;
    }
    memcpy(error->held + at, words, length);
    error->held[at + length] = 0;
    error->held_bytes = at + length < sizeof error->held - 1 ? at + length + 1 : at + length;
    return (unsigned short)at;
}

/* Names first: words take what room they leave. */
void error_keep_arguments(struct error *error, const struct argument *arguments)
{
    error->argument_count = 0;
    error->held[0] = 0;
    error->held_bytes = 1;
    for (const struct argument *a = arguments; a && a->kind != ARGUMENT_END; a++) {
        assert(error->argument_count < ERROR_ARGUMENTS_MOST);
        error->arguments[error->argument_count++] = (struct error_argument){
            a->kind, error_hold(error, a->name, strlen(a->name)), 0, a->decimals, a->number, a->count};
    }
    for (size_t i = 0; i < error->argument_count; i++)
        if (arguments[i].kind == ARGUMENT_WORDS && arguments[i].words)
            error->arguments[i].words =
                error_hold(error, arguments[i].words, strnlen(arguments[i].words, arguments[i].most));
}

const struct argument *error_arguments(const struct error *error, struct argument *arguments)
{
    for (size_t i = 0; i < error->argument_count; i++) {
        const struct error_argument *kept = &error->arguments[i];
        arguments[i] = (struct argument){.name = error->held + kept->name,
                                         .kind = kept->kind,
                                         .words = kept->words ? error->held + kept->words : NULL,
                                         .most = SIZE_MAX,
                                         .number = kept->number,
                                         .decimals = kept->decimals,
                                         .count = kept->count};
    }
    arguments[error->argument_count] = (struct argument){.kind = ARGUMENT_END};
    return error->argument_count ? arguments : NULL;
}

void error_fill(struct error *error, enum failure kind, const char *id, const struct argument *arguments)
{
    struct error filled = {.kind = kind, .id = sentence_id(id)};
    sentence_into(filled.text, sizeof filled.text, id, arguments); /* of words that may be its own */
    error_keep_arguments(&filled, arguments);
    *error = filled;
}

void error_fill_words(struct error *error, enum failure kind, const char *words)
{
    format_into(error->text, sizeof error->text, "%s", words); /* which may be its own */
    error->kind = kind;
    error->id = NULL;
    error_keep_arguments(error, NULL);
}

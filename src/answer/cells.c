/* Writes cells of CSV (RFC 4180). Called by whatever makes a table for a spreadsheet. */
#include "cells.h"
#include <stdbool.h>
#include <string.h>

/* A spreadsheet takes words that begin with these for a formula; a leading apostrophe keeps them words.
 * Common practice, no source. */
static bool is_formula(const char *words)
{
    return words[0] && strchr("=+-@\t", words[0]);
}

void answer_add_cell(struct text *out, bool first, const char *words)
{
    if (!first) text_add_char(out, ',');
    if (!words) return;
    bool guard = is_formula(words);
    if (!guard && !words[strcspn(words, ",\"\r\n")]) {
        text_add(out, words);
        return;
    }
    text_add(out, guard ? "\"'" : "\"");
    for (; *words; words++) {
        if (*words == '"') text_add_char(out, '"');
        text_add_char(out, *words);
    }
    text_add_char(out, '"');
}

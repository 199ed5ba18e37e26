/* Writes the reference pages of findings, practice values and job keys from their tables. Called by cli, for
 * doc/findings.md, doc/practice.md and the end of doc/job-file.md. */
#include "run/run.h"
#include "base/text.h"
#include "job/job.h"
#include "model/finding.h"
#include "model/practice.h"

void run_findings_page(struct text *out)
{
    text_add(out, "# Findings\n\nEvery code that `lapstrake` can raise, with its severity and what to do. "
                  "`stop`: must not be printed as it "
                  "stands. `warn`: a person must look. `note`: said for the record. A shop may raise a "
                  "severity, never lower a stop.\n\n"
                  "This page is made from the table in the code (`lapstrake doc findings`).\n\n"
                  "| code | severity | raised when | do |\n|---|---|---|---|\n");
    for (size_t i = 0; i < finding_table_count; i++) {
        const struct finding_kind *kind = &finding_table[i];
        text_addf(out, "| %s | %s | %s | %s |\n", kind->code, severity_name(kind->severity), kind->means,
                  kind->remedy);
    }
}

void run_practice_page(struct text *out)
{
    text_add(out, "# Common practice\n\nValues that decide something when the shop did not write its own. "
                  "Makers' figures and the shop's file "
                  "come before them; local codes come before everything.\n\n"
                  "This page is made from the table in the code (`lapstrake doc practice`).\n\n"
                  "| name | value | unit | means | used for | mark |\n|---|---|---|---|---|---|\n");
    for (size_t i = 0; i < practice_count; i++) {
        const struct practice *p = &practice_table[i];
        text_addf(out, "| %s | %g | %s | %s | %s | %s |\n", p->name, p->value, p->unit, p->means, p->used,
                  p->source);
    }
}

/* A table for each group of keys; the forms may hold a bar, which would end a cell. */
static void pages_add_cell(struct text *out, const char *words)
{
    text_add(out, "| ");
    for (; words && *words; words++) {
        if (*words == '|') text_add_char(out, '\\');
        text_add_char(out, *words);
    }
    text_add_char(out, ' ');
}

static void add_key(struct text *out, const struct job_key *key)
{
    text_addf(out, "| `%s`%s ", key->name, key->required ? " (required)" : "");
    pages_add_cell(out, key->form);
    pages_add_cell(out, key->range);
    pages_add_cell(out, key->usual);
    pages_add_cell(out, key->help);
    text_add(out, "|\n");
}

static void add_kind(struct text *out, enum feature_kind kind)
{
    const struct feature_type *type = &feature_types[kind];
    text_addf(out, "| `%s` | %s | %s | %s |", feature_kind_name(kind), type->help, feature_film_words(kind),
              feature_seams_words(kind));
    if (type->margin) text_addf(out, " %g mm (%s) |", practice_value(type->margin).value, type->margin);
    text_add(out, type->margin ? "" : "  |");
    for (const struct feature_key *key = type->keys; key->name; key++)
        text_addf(out, "%s `%s`%s", key == type->keys ? "" : ",", key->name,
                  key->needed ? " (required)" : "");
    text_add(out, type->keys->name ? " |\n" : "  |\n");
}

static void add_kinds(struct text *out)
{
    text_add(out, "\n### kinds of features\n\n| kind | it is | film | seams | usual margin | keys "
                  "|\n|---|---|---|---|---|---|\n");
    for (int kind = 0; kind < FEATURE_COUNT; kind++) add_kind(out, (enum feature_kind)kind);
}

void run_keys_page(struct text *out)
{
    struct job_key key;
    const char *group = "";
    for (size_t i = 0; job_key_at(i, out->arena, &key); i++) {
        if (!string_equal(group, key.group) && string_equal(group, "features")) add_kinds(out);
        if (!string_equal(group, key.group))
            text_addf(out,
                      "\n### %s\n\n| key | what may be written | range | when left out | meaning "
                      "|\n|---|---|---|---|---|\n",
                      key.group);
        group = key.group;
        add_key(out, &key);
    }
}

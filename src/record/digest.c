/* The digests that chain the facts, and those of plans and photographs. Called when something is added and
 * when the record is checked. */
#include "digest.h"
#include "base/hash.h"
#include "model/entry.h"
#include <math.h>
#include <string.h>

static void add_whole(struct sha256 *sha, int64_t value)
{
    unsigned char bytes[8];
    for (unsigned i = 0; i < 8; i++) bytes[i] = (unsigned char)((uint64_t)value >> (8 * i));
    sha256_add(sha, bytes, 8);
}

static void add_bytes(struct sha256 *sha, const char *bytes, size_t length)
{
    add_whole(sha, (int64_t)length);
    sha256_add(sha, bytes, length);
}

/* Absent is not the same as empty. */
static void add_text(struct sha256 *sha, const char *text)
{
    if (text)
        add_bytes(sha, text, strlen(text));
    else
        add_whole(sha, -1);
}

/* The bits of the number; every NAN is the same "not given", and zero has one sign. */
static void add_number(struct sha256 *sha, double value)
{
    int64_t bits = -1;
    value += 0.0;
    if (!isnan(value)) memcpy(&bits, &value, sizeof bits);
    add_whole(sha, bits);
}

static void digest_add_field(struct sha256 *sha, const struct fact *fact, const struct fact_field *field)
{
    if (field->form == FACT_FORM_KIND)
        add_text(sha, fact_kind_name(fact->kind));
    else if (fact_form_is_text(field->form))
        add_text(sha, fact_text(fact, field));
    else if (fact_form_is_figure(field->form))
        add_number(sha, fact_figure(fact, field));
    else
        add_whole(sha, fact_whole(fact, field));
}

/* Fields of the first form always; later ones, each with its name, only when they are given: what was
 * recorded before there was such a field keeps its digest. */
void digest_fact(const char *before, const struct fact *f, char hex[65])
{
    struct sha256 sha;
    sha256_start(&sha);
    add_text(&sha, before);
    for (size_t i = 0; i < fact_field_count; i++) {
        const struct fact_field *field = &fact_fields[i];
        if (field->since > 1 && !fact_field_given(f, field)) continue;
        if (field->since > 1) add_text(&sha, field->name);
        digest_add_field(&sha, f, field);
    }
    sha256_finish(&sha, hex);
}

static void add_panel(struct sha256 *sha, const struct panel_terms *p)
{
    add_text(sha, p->panel), add_text(sha, p->surface);
    add_whole(sha, (int64_t)p->surface_index), add_whole(sha, p->install_sequence);
    add_number(sha, p->visible.x0), add_number(sha, p->visible.y0);
    add_number(sha, p->visible.x1), add_number(sha, p->visible.y1);
    add_whole(sha, p->front), add_text(sha, p->neighbours_text);
    add_number(sha, p->dry_s), add_whole(sha, p->has_laminate), add_number(sha, p->bond_s);
    add_number(sha, p->laminate_low_c), add_number(sha, p->laminate_high_c);
    add_text(sha, p->laminate_source), add_whole(sha, p->cast_laminate), add_whole(sha, p->trim_waits);
    add_number(sha, p->print_mm), add_whole(sha, p->print_start), add_whole(sha, p->print_end);
    add_whole(sha, p->dry_end), add_whole(sha, p->laminate_start), add_whole(sha, p->laminate_end);
    add_whole(sha, p->bond_end), add_whole(sha, p->trim_start), add_whole(sha, p->trim_end);
    add_whole(sha, p->install_start), add_whole(sha, p->install_end);
}

void digest_plan(const struct job_terms *t, struct str plan_json, char hex[65])
{
    struct sha256 sha;
    sha256_start(&sha);
    add_text(&sha, t->job), add_text(&sha, t->title), add_text(&sha, t->vehicle);
    add_text(&sha, t->fingerprint), add_whole(&sha, t->version), add_whole(&sha, t->made);
    add_whole(&sha, t->has_install), add_whole(&sha, t->has_due);
    add_whole(&sha, t->earliest_install), add_whole(&sha, t->finished), add_whole(&sha, t->due);
    add_text(&sha, t->decides), add_whole(&sha, (int64_t)t->stops);
    add_whole(&sha, (int64_t)t->warnings), add_whole(&sha, (int64_t)t->notes);
    add_text(&sha, t->currency), add_whole(&sha, t->price), add_number(&sha, t->feed_percent);
    add_text(&sha, t->film), add_text(&sha, t->laminate), add_text(&sha, t->ink);
    add_text(&sha, t->condition), add_text(&sha, t->profile_description);
    add_text(&sha, t->profile_fingerprint), add_whole(&sha, (int64_t)t->panel_count);
    for (size_t i = 0; i < t->panel_count; i++) add_panel(&sha, &t->panels[i]);
    add_bytes(&sha, plan_json.bytes, plan_json.length);
    sha256_finish(&sha, hex);
}

void digest_bytes(struct str bytes, char hex[65])
{
    struct sha256 sha;
    sha256_start(&sha);
    sha256_add(&sha, bytes.bytes, bytes.length);
    sha256_finish(&sha, hex);
}

/* What the shop has in stock and what goes together: lists of named things, what is usual for each, and
 * references by name. */
#include "stock.h"
#include "base/path.h"
#include "job/settle.h"
#include "model/practice.h"
#include <string.h>

static void finish_name(struct reading *reading, const struct node *node, const struct collection *kind,
                        void *items, size_t count)
{
    void *item = (char *)items + (count - 1) * kind->size;
    struct named head = stock_head(items, kind->size, count - 1);
    head.place = place_of(reading, node);
    if (!head.name) head.name = "";
    size_t twin = *head.name ? stock_find(items, kind->size, count - 1, head.name) : count - 1;
    if (twin < count - 1)
        report_add(reading->report, head.place, "is-name-of-another-entry-of",
                   ARGUMENTS(arg_words("head", head.name), arg_words("group", kind->group->name),
                             arg_count("line", stock_head(items, kind->size, twin).place.line)));
    memcpy(item, &head, sizeof head);
}

void stock_read(struct reading *reading, const struct node *node, const struct collection *kind, void *items,
                size_t *count)
{
    if (!is_list(reading, node, kind->words)) return;
    if (!node->count)
        report_add(reading->report, place_of(reading, node), "key-is-empty-write-kind",
                   ARGUMENTS(arg_words("key", node->key), arg_words("kind", kind->words)));
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        void *item = append(reading, items, count, kind->size);
        if (kind->prepare) kind->prepare(item);
        read_usual(reading, kind->group, item);
        read_group(reading, kind->group, entry, item);
        finish_name(reading, entry, kind, pointer_load(items), *count);
        if (kind->finish) kind->finish(reading, entry, item);
    }
}

static void finish_printer(struct reading *reading, const struct node *node, void *item)
{
    (void)reading, (void)node;
    settle_printer(item);
}

static void finish_film(struct reading *reading, const struct node *node, void *item)
{
    (void)reading, (void)node;
    settle_film(item);
}

static void finish_laminate(struct reading *reading, const struct node *node, void *item)
{
    (void)reading, (void)node;
    settle_laminate(item);
}

static void prepare_ink(void *item)
{
    static const char *const process[] = {"C", "M", "Y", "K"};
    struct ink *ink = item;
    ink->channel_count = 4;
    for (size_t i = 0; i < CHANNELS_MOST; i++) ink->ml_per_m2[i] = practice_value("ink-ml").value;
    for (size_t i = 0; i < 4; i++) ink->channels[i] = process[i];
}

/* Latex and UV prints dry as long as any other, unless the shop states a shorter time with its source. */
static void ask_source(struct reading *reading, const struct node *node, struct ink *ink)
{
    struct measure usual = practice_seconds("dry-least");
    bool cured = ink->technology == INK_LATEX || ink->technology == INK_UV;
    if (!cured || ink->dry_least_s.origin != ORIGIN_WRITTEN || ink->dry_least_s.value >= usual.value) return;
    report_remark(
        reading->report, place_of(reading, node), "ink-dry-least-of-h-names",
        ARGUMENTS(arg_words("ink", ink->name), arg_number("dry_least_h", ink->dry_least_s.value / 3600),
                  arg_number("usual_h", usual.value / 3600), arg_words("usual_source", usual.source)));
    ink->dry_least_s = usual;
    if (measure_known(ink->dry_most_s) && ink->dry_most_s.value < usual.value) ink->dry_most_s = usual;
}

static void finish_ink(struct reading *reading, const struct node *node, void *item)
{
    struct ink *ink = item;
    ask_source(reading, node, ink);
    settle_ink(ink);
    if (ink->dry_most_s.value < ink->dry_least_s.value)
        report_add(reading->report, place_of(reading, node), "ink-dry-most-is-shorter-than",
                   ARGUMENTS(arg_words("ink", ink->name)));
}

static void prepare_condition(void *item)
{
    struct condition *condition = item;
    for (size_t i = 0; i < CHANNELS_MOST; i++) condition->coverage_percent[i] = -1;
}

/* Of an ink that nobody named: the longest drying time, and the stretch that the order asks for. */
static const struct ink *unknown_ink(struct reading *reading)
{
    static const char *const process[] = {"C", "M", "Y", "K"};
    struct ink *ink = arena_take(reading->arena, sizeof *ink);
    *ink = (struct ink){.name = "unknown",
                        .technology = INK_SOLVENT,
                        .unknown = true,
                        .channel_count = sizeof process / sizeof *process};
    settle_ink(ink);
    for (size_t i = 0; i < ink->channel_count; i++)
        ink->channels[i] = process[i], ink->ml_per_m2[i] = practice_value("ink-ml").value;
    return ink;
}

/* Of a printer that nobody named: it takes every roll; edge and length are the usual ones. */
static const struct printer *unknown_printer(struct reading *reading)
{
    const double widest_mm = 6000; /* as `media-width` may be */
    struct printer *printer = arena_take(reading->arena, sizeof *printer);
    *printer = (struct printer){.name = "unknown",
                                .unknown = true,
                                .media_width_mm = widest_mm,
                                .edge_mm = practice_value("edge").value,
                                .max_length_mm = practice_value("max-length").value};
    settle_printer(printer);
    return printer;
}

static void finish_condition(struct reading *reading, const struct node *node, void *item)
{
    struct condition *condition = item;
    bool refused = node_find(node, "ink") && !condition->ink;
    if (!condition->printer && !node_find(node, "printer")) condition->printer = unknown_printer(reading);
    if (!condition->ink &&
        (!refused || !strcmp(node_find(node, "ink")->text ? node_find(node, "ink")->text : "", "unknown")))
        condition->ink = unknown_ink(reading);
    settle_condition(condition);
    condition->in_printer = condition->profile && !strcmp(condition->profile, "in-printer");
    if (condition->in_printer) condition->profile = NULL;
    if (condition->profile)
        condition->profile_path = path_join(reading->arena, reading->folder, condition->profile);
    if (condition->laminate && condition->laminate_waiver)
        report_add(reading->report, place_of(reading, node), "condition-names-laminate-and-says-why",
                   ARGUMENTS(arg_words("condition", condition->name)));
    if (condition->profile_fingerprint && !condition->profile)
        report_add(reading->report, place_of(reading, node), "condition-has-fingerprint-but-no-profile",
                   ARGUMENTS(arg_words("condition", condition->name)));
}

void read_printers(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct shop *shop = target;
    stock_read(reading, node,
               &(struct collection){&printer_group, key->words, sizeof(struct printer), NULL, finish_printer},
               &shop->printers, &shop->printer_count);
}

void read_films(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct shop *shop = target;
    stock_read(reading, node,
               &(struct collection){&film_group, key->words, sizeof(struct film), NULL, finish_film},
               &shop->films, &shop->film_count);
}

void read_tapes(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct shop *shop = target;
    stock_read(reading, node, &(struct collection){&tape_group, key->words, sizeof(struct film), NULL, NULL},
               &shop->tapes, &shop->tape_count);
}

void read_fluid(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    read_group(reading, &fluid_group, node, (char *)target + key->at);
}

void read_laminates(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct shop *shop = target;
    stock_read(reading, node,
               &(struct collection){&laminate_group, key->words, sizeof(struct film), NULL, finish_laminate},
               &shop->laminates, &shop->laminate_count);
}

void read_inks(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct shop *shop = target;
    stock_read(reading, node,
               &(struct collection){&ink_group, key->words, sizeof(struct ink), prepare_ink, finish_ink},
               &shop->inks, &shop->ink_count);
}

void read_conditions(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct shop *shop = target;
    stock_read(reading, node,
               &(struct collection){&condition_group, key->words, sizeof(struct condition), prepare_condition,
                                    finish_condition},
               &shop->conditions, &shop->condition_count);
}

/* What the shop has in stock, by name: finding it, and where a condition or a job refers to it. */
#include "stock.h"
#include "base/str.h"
#include <string.h>

_Static_assert(offsetof(struct printer, place) == offsetof(struct named, place) &&
                   offsetof(struct film, place) == offsetof(struct named, place) &&
                   offsetof(struct ink, place) == offsetof(struct named, place) &&
                   offsetof(struct condition, place) == offsetof(struct named, place) &&
                   offsetof(struct cutter, place) == offsetof(struct named, place),
               "named things begin alike");

struct named stock_head(const void *items, size_t size, size_t i)
{
    struct named head;
    memcpy(&head, (const char *)items + i * size, sizeof head);
    return head;
}

size_t stock_find(const void *items, size_t size, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (string_equal(stock_head(items, size, i).name, name)) return i;
    return count;
}

/* The named item, or NULL and a mistake. `kind`: "a printer". */
static const void *refer(struct reading *reading, const struct node *node, const char *words,
                         const void *items, size_t size, size_t count)
{
    const char *name;
    if (!read_text(reading, node, words, &name)) return NULL;
    size_t at = stock_find(items, size, count, name);
    if (at < count) return (const char *)items + at * size;
    const char **names = arena_take_array(reading->arena, count + 1, sizeof *names);
    for (size_t i = 0; i < count; i++) names[i] = stock_head(items, size, i).name;
    report_add(reading->report, place_of(reading, node), "key-name-is-not-words-suggestion",
               ARGUMENTS(arg_words("key", node->key), arg_words("name", name), arg_words("words", words),
                         arg_words("suggestion", suggestion(reading, name, names))));
    return NULL;
}

void read_reference(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    const struct shop *shop = reading->shop;
    struct condition *condition = target;
    if (!strcmp(key->name, "printer"))
        condition->printer =
            refer(reading, node, key->words, shop->printers, sizeof *shop->printers, shop->printer_count);
    else if (!strcmp(key->name, "film"))
        condition->film =
            refer(reading, node, key->words, shop->films, sizeof *shop->films, shop->film_count);
    else if (!strcmp(key->name, "ink") && node->kind == NODE_TEXT && !strcmp(node->text, "unknown"))
        condition->ink = NULL;
    else if (!strcmp(key->name, "ink"))
        condition->ink = refer(reading, node, key->words, shop->inks, sizeof *shop->inks, shop->ink_count);
    else if (node->kind != NODE_TEXT || strcmp(node->text, "none"))
        condition->laminate =
            refer(reading, node, key->words, shop->laminates, sizeof *shop->laminates, shop->laminate_count);
}

void read_cutter_name(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    const struct shop *shop = reading->shop;
    struct job *job = target;
    if (shop)
        job->cutter =
            refer(reading, node, key->words, shop->cutters, sizeof *shop->cutters, shop->cutter_count);
}

void read_condition_name(struct reading *reading, const struct key *key, const struct node *node,
                         void *target)
{
    const struct shop *shop = reading->shop;
    const char *name;
    const struct condition **field = (const struct condition **)(void *)((char *)target + key->at);
    if (shop)
        *field = refer(reading, node, key->words, shop->conditions, sizeof *shop->conditions,
                       shop->condition_count);
    else
        read_text(reading, node, key->words, &name); /* why there is no shop has been said */
}

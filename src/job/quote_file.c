/* Reads quote.json. Called by run before it makes another. */
#include "job/quote_file.h"
#include "tree.h"
#include "base/units.h"
#include "job/job.h"
#include <string.h>

static const char *text_at(const struct node *group, const char *key)
{
    const struct node *node = node_find(group, key);
    return node && node->kind == NODE_TEXT ? node->text : NULL;
}

static bool flag_at(const struct node *group, const char *key)
{
    const char *text = text_at(group, key);
    return text && !strcmp(text, "true");
}

/* A decimal with at most `digits` behind the point, in units of the last of them. */
static bool decimal_at(const struct node *group, const char *key, int digits, int64_t *value)
{
    const int micro_digits = 6;
    const char *text = text_at(group, key);
    if (!text || !units_money_micro(str_from(text), value)) return false;
    for (int i = digits; i < micro_digits; i++) {
        if (*value % 10) return false;
        *value /= 10;
    }
    return true;
}

static bool read_line(const struct node *node, int digits, struct quote_line *line)
{
    line->id = text_at(node, "id"), line->what = text_at(node, "what");
    line->unit = text_at(node, "unit"), line->basis = text_at(node, "basis");
    line->rate_basis = text_at(node, "rate_basis");
    line->included = flag_at(node, "included"), line->estimated = flag_at(node, "estimated");
    return line->id && line->what && line->unit && decimal_at(node, "quantity", 2, &line->quantity) &&
           decimal_at(node, "rate", 6, &line->rate) && decimal_at(node, "amount", digits, &line->amount);
}

static bool read_lines(const struct node *list, struct arena *arena, struct quote *quote)
{
    if (!list || list->kind != NODE_LIST) return false;
    quote->lines = arena_take_array(arena, list->count, sizeof *quote->lines);
    for (const struct node *entry = list->first; entry; entry = entry->next)
        if (!read_line(entry, quote->digits, &quote->lines[quote->line_count++])) return false;
    return true;
}

static bool read_tax_sums(const struct node *list, struct quote *quote)
{
    if (!list || list->kind != NODE_LIST || list->count > TAXES_MOST) return false;
    for (const struct node *entry = list->first; entry; entry = entry->next) {
        struct quote_tax *tax = &quote->taxes[quote->tax_count++];
        const char *percent = text_at(entry, "percent");
        tax->name = text_at(entry, "name");
        if (!percent || !units_number(str_from(percent), &tax->percent) ||
            !decimal_at(entry, "amount", quote->digits, &tax->amount))
            return false;
    }
    return true;
}

static bool read_whole_quote(const struct node *root, struct arena *arena, struct quote *quote)
{
    int64_t vehicles;
    const char *percent = text_at(root, "discount_percent");
    quote->currency = text_at(root, "currency");
    if (!quote->currency || strlen(quote->currency) != 3) return false;
    quote->digits = currency_digits(quote->currency);
    if (!decimal_at(root, "vehicles", 0, &vehicles) || vehicles < 1 || vehicles > VEHICLES_MOST) return false;
    quote->vehicles = (int)vehicles;
    return percent && units_number(str_from(percent), &quote->discount_percent) &&
           decimal_at(root, "discount", quote->digits, &quote->discount) &&
           decimal_at(root, "net", quote->digits, &quote->net) &&
           decimal_at(root, "gross", quote->digits, &quote->gross) &&
           read_lines(node_find(root, "lines"), arena, quote) && read_tax_sums(node_find(root, "tax"), quote);
}

bool job_read_quote(struct machine *machine, const char *path, struct arena *arena, struct quote *quote)
{
    struct str bytes;
    struct report report = report_new(arena);
    struct tree tree = {arena, &report, path, 0};
    *quote = (struct quote){0};
    if (!machine_read(machine, path, JOB_BYTES_MOST, arena, &bytes, NULL)) return false;
    const struct node *root = tree_from_json(&tree, bytes);
    if (root && !report.errors && read_whole_quote(root, arena, quote)) return true;
    *quote = (struct quote){0};
    return false;
}

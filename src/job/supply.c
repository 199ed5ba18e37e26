/* Printing that is bought in: the same keys in shop and job. */
#include "read.h"
#include "supply.h"

static key_reader read_carriage;

#define AT(field) offsetof(struct supply, field)

static const char *const printings[] = {"", "own", "bought-in", NULL};

static const struct key supply_keys[] = {
    {"supplier", FORM_TEXT, AT(supplier), 0, 0, .help = "Who prints; on the order."},
    {"address", FORM_TEXT, AT(address), 0, 0, .help = "Where the prints are delivered.",
     .otherwise = "a line to fill in"},
    {"lead-time", FORM_DURATION, AT(lead_s), 3600, 31536000,
     .help = "From purchase order to delivery, nights and weekends counted: a step of the plan.",
     .measured = true, .otherwise = "common practice lead-time; with a finding"},
    {"price", FORM_PRICE_M2, AT(price_per_m2), 0, 0,
     .help = "Price of a square metre of prints as they come.",
     .otherwise = "left out of sums; with a finding"},
    {"carriage", FORM_SPECIAL, AT(carriage), 0, 1000000, .of = FORM_NUMBER, .help = "Price of the delivery.",
     .read = read_carriage, .words = "an amount of money such as 45.00", .otherwise = "none"},
    {"prints-only", FORM_YES_NO, AT(prints_only), 0, 0, .usual = "false",
     .help = "They come without laminate: they dry, are laminated and rest here."},
    {0},
};
const struct group supply_group = {"bought-in", supply_keys};

void supply_start(struct supply *supply)
{
    supply->price_per_m2 = supply->carriage = PRICE_UNSAID;
}

static void read_carriage(struct reading *reading, const struct key *key, const struct node *node,
                          void *target)
{
    const int64_t million = 1000000;
    double amount;
    if (read_number(reading, node, FORM_NUMBER, key->least, key->most, &amount))
        ((struct supply *)target)->carriage = (money_micro)(amount * (double)million + 0.5);
}

void read_supply(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct supply *supply = (struct supply *)(void *)((char *)target + key->at);
    read_group(reading, &supply_group, node, supply);
}

void read_printing(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    int choice;
    if (read_choice(reading, node, printings, &choice))
        *(enum printing *)(void *)((char *)target + key->at) = (enum printing)choice;
}

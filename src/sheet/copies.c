/* How many of each print are made and for which vehicles: table of the job sheet, lots of the purchase order. */
#include "copies.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "pages.h"

size_t panel_copies(const struct plan *plan, const struct panel *panel)
{
    size_t each = panel->copies > 1 ? (size_t)panel->copies : 1;
    return panel->varies && plan->vehicle_count ? each * plan->vehicle_count : each;
}

bool plan_has_copies(const struct plan *plan)
{
    for (size_t i = 0; i < plan->surface_count; i++)
        for (size_t k = 0; k < surface_print_count(&plan->surfaces[i]); k++)
            if (panel_copies(plan, &plan->surfaces[i].panels[k]) > 1) return true;
    return false;
}

const char *copies_words(const struct plan *plan, const struct panel *panel, struct arena *arena)
{
    return sentence_words(
        arena, "copies-of-panel",
        ARGUMENTS(arg_count("copies", (int64_t)panel_copies(plan, panel)), arg_flag("own", panel->varies)));
}

/* ---- lots ---- */

struct lots {
    struct print_lot *items;
    size_t count, capacity;
};

static struct print_lot *lots_new(struct lots *lots, size_t surface, const struct panel *panel,
                                  struct arena *arena)
{
    struct print_lot *lot = arena_append(arena, &lots->items, &lots->count, &lots->capacity, sizeof *lot);
    *lot = (struct print_lot){
        .surface = surface, .panel = panel, .file_name = panel->file_name, .page = panel->page};
    return lot;
}

/* A vehicle's own print: one more of the page that has its words, or the first of one. */
static void lots_add_own(struct lots *lots, size_t from, const struct plan *plan, size_t vehicle,
                         const struct vehicle_print *own, struct arena *arena)
{
    const struct panel *panel = &plan->surfaces[own->surface].panels[own->panel];
    struct print_lot *lot = NULL;
    for (size_t i = from; i < lots->count && !lot; i++)
        if (lots->items[i].page == own->page && string_equal(lots->items[i].file_name, own->file_name))
            lot = &lots->items[i];
    if (!lot) {
        lot = lots_new(lots, own->surface, panel, arena);
        lot->file_name = own->file_name, lot->page = own->page;
        lot->vehicles = arena_take_array(arena, plan->vehicle_count, sizeof *lot->vehicles);
    }
    lot->vehicles[lot->vehicle_count++] = plan->vehicles[vehicle].row->name;
    lot->copies += panel->copies > 1 ? (size_t)panel->copies : 1;
}

static void lots_add_panel(struct lots *lots, const struct plan *plan, size_t surface, size_t panel,
                           struct arena *arena)
{
    const struct panel *p = &plan->surfaces[surface].panels[panel];
    size_t from = lots->count;
    if (!p->varies) lots_new(lots, surface, p, arena)->copies = panel_copies(plan, p);
    for (size_t v = 0; p->varies && v < plan->vehicle_count; v++)
        for (size_t i = 0; i < plan->vehicles[v].print_count; i++)
            if (plan->vehicles[v].prints[i].surface == surface && plan->vehicles[v].prints[i].panel == panel)
                lots_add_own(lots, from, plan, v, &plan->vehicles[v].prints[i], arena);
}

struct print_lot *plan_lots(const struct plan *plan, struct arena *arena, size_t *count)
{
    struct lots lots = {0};
    for (size_t i = 0; i < plan->surface_count; i++)
        for (size_t k = 0; k < surface_print_count(&plan->surfaces[i]); k++)
            lots_add_panel(&lots, plan, i, k, arena);
    *count = lots.count;
    return lots.items;
}

/* ---- on the job sheet ---- */

static const char *lot_vehicles_words(const struct sheet *sheet, const struct print_lot *lot)
{
    int64_t vehicles = lot->vehicle_count ? (int64_t)lot->vehicle_count : sheet->job->vehicles;
    int64_t each = (int64_t)lot->copies / (vehicles > 1 ? vehicles : 1);
    const char *names = sentence_plain("copies-the-vehicle");
    if (lot->vehicle_count)
        names = list_words(sheet->arena, lot->vehicles, lot->vehicle_count);
    else if (vehicles > 1)
        names =
            sentence_words(sheet->arena, "copies-all-vehicles", ARGUMENTS(arg_count("vehicles", vehicles)));
    return each == 1 ? names
                     : sentence_words(sheet->arena, "copies-each",
                                      ARGUMENTS(arg_words("vehicles", names), arg_count("each", each)));
}

void part_copies(struct sheet *sheet)
{
    static const struct column columns[] = {{"Print", 34, ALIGN_LEFT},
                                            {"File", 84, ALIGN_LEFT},
                                            {"Copies", 16, ALIGN_RIGHT},
                                            {"For", 60, ALIGN_LEFT},
                                            {"Printed", 16, ALIGN_CENTRE}};
    if (!plan_has_copies(sheet->plan)) return;
    size_t count;
    const struct print_lot *lots = plan_lots(sheet->plan, sheet->arena, &count);
    book_part(&sheet->book, sentence_plain("copies-how-many"), 30);
    struct sheet_table table = table_begin(&sheet->book, columns, sizeof columns / sizeof *columns, TYPE_MM);
    for (size_t i = 0; i < count; i++)
        table_row(&table, (const char *[]){arena_format(sheet->arena, "*%s", lots[i].panel->id),
                                           lots[i].file_name ? arena_format(sheet->arena, "%s, page %d",
                                                                            lots[i].file_name, lots[i].page)
                                                             : "",
                                           arena_format(sheet->arena, "*%zu", lots[i].copies),
                                           lot_vehicles_words(sheet, &lots[i]), "[ ]"});
    table_end(&table);
}

/* How long each step of a surface takes. */
#include "schedule.h"
#include "model/practice.h"
#include "plan/clock.h"
#include "rolls.h"
#include <math.h>

static int64_t seconds_of(double seconds)
{
    return (int64_t)ceil(fmin(seconds, 1e9) - 1e-6);
}

static double positive_or(double value, const char *practice)
{
    return value > 0 ? value : practice_value(practice).value;
}

double effort_laminator_setup_s(void)
{
    return practice_value("setup").value * 60;
}

double effort_printer_setup_s(const struct printer *printer)
{
    return printer->setup_s > 0 ? printer->setup_s : practice_value("setup").value * 60;
}

static void set_drying(struct effort *effort)
{
    for (size_t i = 0; i < effort->surface->panel_count; i++) {
        double dry = effort->surface->panels[i].dry_s;
        if (dry < 0) {
            effort->dry_s = -1;
            return;
        }
        if (seconds_of(dry) > effort->dry_s) effort->dry_s = seconds_of(dry), effort->slowest = i;
    }
}

static void set_laminating(struct effort *effort, const struct shop *shop)
{
    const struct condition *condition = effort->surface->surface->condition;
    if (!condition->laminate) return;
    double threading = measure_or(shop->threading_mm, practice_value("threading")).value;
    double speed = measure_or(shop->laminate_m_per_min, practice_value("laminator-speed")).value;
    double runs = (double)surface_width_count(effort->surface); /* a run for each width */
    double length_m = (surface_film_mm(effort->surface) + runs * threading) / 1000;
    effort->laminate_s = seconds_of(runs * effort_laminator_setup_s() + length_m / fmax(speed, 1e-3) * 60);
    effort->bond_s = seconds_of(clock_bond(condition->laminate).value);
}

static struct effort effort_of(const struct surface_plan *surface, const struct shop *shop,
                               struct arena *arena)
{
    const struct printer *printer = surface->surface->condition->printer;
    struct effort effort = {.surface = surface};
    double printed = 0, speed = positive_or(printer->speed_m2_per_h, "print-speed");
    effort.setup_s = seconds_of((double)surface_width_count(surface) * effort_printer_setup_s(printer));
    effort.print_s = arena_take_array(arena, surface->panel_count, sizeof *effort.print_s);
    for (size_t i = 0; i < surface->panel_count; i++) {
        effort.print_s[i] = seconds_of(surface->panels[i].area_m2 / speed * 3600);
        printed += surface->panels[i].area_m2;
    }
    double install = measure_or(shop->install_m2_per_h, practice_value("install-speed")).value;
    effort.trim_s = seconds_of(printed / practice_value("trim-speed").value * 3600);
    effort.install_s = seconds_of(surface->surface->area_m2 / fmax(install, 1e-3) * 3600);
    set_drying(&effort);
    set_laminating(&effort, shop);
    return effort;
}

int64_t effort_print_s(const struct effort *effort)
{
    int64_t sum = effort->setup_s;
    for (size_t i = 0; i < effort->surface->panel_count; i++) sum += effort->print_s[i];
    return sum;
}

struct efforts efforts_of(const struct plan *plan, struct arena *arena)
{
    struct efforts efforts = {arena_take_array(arena, plan->surface_count, sizeof *efforts.items), 0};
    for (size_t i = 0; i < plan->surface_count; i++) {
        if (!plan->surfaces[i].panel_count) continue;
        struct effort *effort = &efforts.items[efforts.count++];
        *effort = effort_of(&plan->surfaces[i], plan->input->job->shop, arena);
        effort->index = i;
    }
    return efforts;
}

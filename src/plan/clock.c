#include "plan/clock.h"
#include "model/practice.h"
#include <math.h>

#define HOUR_S 3600.0

static bool solvent_based(enum ink_technology technology)
{
    return technology == INK_SOLVENT || technology == INK_ECO_SOLVENT;
}

static struct measure hours(const char *name)
{
    struct measure m = practice_value(name);
    m.value *= HOUR_S;
    return m;
}

/* The floor: what the shop wrote, else the established time of the technology. A shop's figure below 24 h is
 * taken for latex and UV only, where it has a source of its own. */
static struct measure least_of(const struct ink *ink)
{
    struct measure day = hours("dry-least");
    struct measure usual = ink->technology == INK_ECO_SOLVENT ? hours("dry-eco-solvent") : day;
    struct measure least = measure_or(ink->dry_least_s, usual);
    return solvent_based(ink->technology) && least.value < day.value ? day : least;
}

static struct measure most_of(const struct ink *ink, struct measure least)
{
    struct measure usual = solvent_based(ink->technology) ? hours("dry-most") : least;
    struct measure most = measure_or(ink->dry_most_s, usual);
    return most.value < least.value ? least : most;
}

/* 0 while ink is little, 1 from `most_at` on, linear between. */
static double heaviness(double percent, double most_at)
{
    double little = practice_value("heavy-ink-from").value;
    if (percent <= little) return 0;
    if (percent >= most_at) return 1;
    return (percent - little) / (most_at - little);
}

struct dry_room clock_room(struct measure celsius, struct measure humidity_percent)
{
    double c = measure_or(celsius, practice_value("room")).value;
    double humidity = measure_or(humidity_percent, practice_value("room-humidity")).value;
    double low = practice_value("dry-low").value, coldest = practice_value("dry-coldest").value;
    double humid = practice_value("dry-humid").value, most = practice_value("humidity-saturated").value;
    struct dry_room room = {c, humidity, c >= coldest && humidity <= most, 1};
    if (c < low) room.factor *= exp2((low - c) / practice_value("dry-doubling").value);
    if (humidity > humid)
        room.factor *= 1 + (humidity - humid) / (most - humid) * (practice_value("dry-humid-most").value - 1);
    return room;
}

static const char *obstacle(const struct dry_case *dry, const struct dry_room *room, struct measure *decided,
                            struct arena *arena)
{
    struct measure coldest = practice_value("dry-coldest");
    *decided = practice_value("humidity-saturated");
    if (dry->way == DRYING_TIGHT)
        return "Wound tight, nothing dries: the vapour has no way out of the roll, for weeks or for ever.";
    if (dry->way == DRYING_OUTDOORS)
        return "Outdoors nothing dries reliably: dust, damp and cold settle on the print.";
    if (room->dries) return NULL;
    if (room->humidity_percent > decided->value)
        return arena_format(arena, "The air is as good as saturated: %g %% of humidity, at most %g %% (%s).",
                            room->humidity_percent, decided->value, decided->source);
    *decided = coldest;
    return arena_format(arena, "The room is too cold: %g degrees C, at least %g (%s).", room->celsius,
                        coldest.value, coldest.source);
}

static const char *room_words(const struct dry_room *room, struct arena *arena)
{
    if (room->factor <= 1) return "";
    return arena_format(arena, ", %.2f times as long at %g degrees C and %g %% of humidity (%s)",
                        room->factor, room->celsius, room->humidity_percent,
                        practice_value("dry-low").source);
}

static const char *explain(const struct dry_case *dry, const struct dry_time *time, double most_at,
                           struct measure least, const struct dry_room *room, struct arena *arena)
{
    const char *technology = dry->ink->unknown ? "ink unknown, the longest time"
                                               : ink_technology_name(dry->ink->technology),
               *longer = room_words(room, arena);
    if (!time->heavy)
        return arena_format(arena, "%g h: %s, %s%s.", time->seconds / HOUR_S, technology, least.source,
                            longer);
    return arena_format(arena,
                        "%.1f h: %s from %g h, longer for %.0f %% of ink over a hand-sized area "
                        "(longest from %g %% on), %s%s.",
                        time->seconds / HOUR_S, technology, least.value / HOUR_S, dry->hand_percent, most_at,
                        time->decided.source, longer);
}

struct dry_time clock_dry(const struct dry_case *dry, struct arena *arena)
{
    struct dry_time time = {.seconds = -1};
    struct measure least = least_of(dry->ink), most = most_of(dry->ink, least);
    struct dry_room room = clock_room(dry->celsius, dry->humidity_percent);
    time.floor_s = least.value * room.factor;
    time.why = obstacle(dry, &room, &time.decided, arena);
    if (time.why) return time;
    struct measure limit = measure_or(dry->limit_percent, practice_value("ink-limit"));
    double most_at = measure_or(dry->ink->dry_most_at_percent, limit).value;
    double more = (most.value - least.value) * heaviness(dry->hand_percent, most_at);
    time.seconds = ceil((least.value + more) * room.factor);
    time.heavy = more > 0;
    time.decided = time.heavy ? most : least;
    time.why = explain(dry, &time, most_at, least, &room, arena);
    return time;
}

struct measure clock_bond(const struct film *laminate)
{
    return measure_or(laminate->bond_s, hours("bond"));
}

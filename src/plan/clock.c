/* How long a print dries and a laminate bonds, with the sums that explain it. Called by the schedule and
 * the panels' facts. */
#include "plan/clock.h"
#include "model/practice.h"
#include "base/sentence.h"
#include <assert.h>
#include <math.h>

#define HOUR_S 3600.0

static bool solvent_based(enum ink_technology technology)
{
    return technology == INK_SOLVENT || technology == INK_ECO_SOLVENT;
}

/* Solvent prints dry no shorter than a day, whatever is written. */
static struct measure least_of(const struct ink *ink)
{
    struct measure day = practice_seconds("dry-least");
    return solvent_based(ink->technology) && ink->dry_least_s.value < day.value ? day : ink->dry_least_s;
}

static struct measure most_of(const struct ink *ink, struct measure least)
{
    return ink->dry_most_s.value < least.value ? least : ink->dry_most_s;
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
    double c = celsius.value, humidity = humidity_percent.value;
    double low = practice_value("dry-low").value, coldest = practice_value("dry-coldest").value;
    double humid = practice_value("dry-humid").value, most = practice_value("humidity-saturated").value;
    struct dry_room room = {c, humidity, c >= coldest && humidity <= most, 1};
    if (c < low) room.factor *= exp2((low - c) / practice_value("dry-doubling").value);
    if (humidity > humid)
        room.factor *= 1 + (humidity - humid) / (most - humid) * (practice_value("dry-humid-most").value - 1);
    assert(room.factor >= 1); /* nor does the room */
    return room;
}

static struct reason obstacle(const struct dry_case *dry, const struct dry_room *room,
                              struct measure *decided, struct arena *arena)
{
    struct measure coldest = practice_value("dry-coldest");
    *decided = practice_value("humidity-saturated");
    if (dry->method == DRYING_TIGHT) return reason_say(arena, "wound-tight-nothing-dries-vapour-has", NULL);
    if (dry->method == DRYING_OUTDOORS)
        return reason_say(arena, "outdoors-nothing-dries-reliably-dust-damp", NULL);
    if (room->dries) return (struct reason){0};
    if (room->humidity_percent > decided->value)
        return reason_say(arena, "air-is-as-good-as-saturated",
                          ARGUMENTS(arg_number("humidity_percent", room->humidity_percent),
                                    arg_number("value", decided->value),
                                    arg_words("source", decided->source)));
    *decided = coldest;
    return reason_say(arena, "room-is-too-cold-degrees-c",
                      ARGUMENTS(arg_number("celsius", room->celsius), arg_number("coldest", coldest.value),
                                arg_words("coldest_source", coldest.source)));
}

static const char *room_words(const struct dry_room *room, struct arena *arena)
{
    if (room->factor <= 1) return "";
    return sentence_words(arena, "times-as-long-at-degrees-c",
                          ARGUMENTS(arg_fixed("factor", room->factor, 2),
                                    arg_number("celsius", room->celsius),
                                    arg_number("humidity_percent", room->humidity_percent),
                                    arg_words("limit_source", practice_value("dry-low").source)));
}

static struct reason explain(const struct dry_case *dry, const struct dry_time *time, double most_at,
                             struct measure least, const struct dry_room *room, struct arena *arena)
{
    const char *technology = dry->ink->unknown ? sentence_plain("ink-unknown-longest-time")
                                               : ink_technology_name(dry->ink->technology),
               *longer = room_words(room, arena);
    if (!time->heavy)
        return reason_say(arena, "dry-h-of-ink",
                          ARGUMENTS(arg_number("dry_h", time->seconds / HOUR_S),
                                    arg_words("technology", technology), arg_words("source", least.source),
                                    arg_words("longer", longer)));
    return reason_say(
        arena, "h-from-h-longer-for-of",
        ARGUMENTS(arg_fixed("dry_h", time->seconds / HOUR_S, 1), arg_words("technology", technology),
                  arg_number("least_h", least.value / HOUR_S),
                  arg_fixed("hand_percent", dry->hand_percent, 0), arg_number("most_at", most_at),
                  arg_words("source", time->decided.source), arg_words("longer", longer)));
}

struct dry_time clock_dry(const struct dry_case *dry, struct arena *arena)
{
    struct dry_time time = {.seconds = -1};
    struct measure least = least_of(dry->ink), most = most_of(dry->ink, least);
    struct dry_room room = clock_room(dry->celsius, dry->humidity_percent);
    time.floor_s = least.value * room.factor;
    time.why = obstacle(dry, &room, &time.decided, arena);
    if (time.why.id) return time;
    double most_at = dry->most_at_percent.value;
    double more = (most.value - least.value) * heaviness(dry->hand_percent, most_at);
    time.seconds = ceil((least.value + more) * room.factor);
    assert(time.seconds >= time.floor_s); /* ink never shortens it */
    time.heavy = more > 0;
    time.decided = time.heavy ? most : least;
    time.why = explain(dry, &time, most_at, least, &room, arena);
    return time;
}

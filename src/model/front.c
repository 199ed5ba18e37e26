/* Guesses from a surface's name where the vehicle's front is. Called when surfaces are read and measured.
 */
#include "model/front.h"
#include <string.h>

static const struct {
    const char *word;
    enum front front;
    bool by_road; /* `front` where one drives on the right */
} front_words[] = {
    {"left", FRONT_LEFT, false},     {"right", FRONT_RIGHT, false},    {"driver", FRONT_LEFT, true},
    {"offside", FRONT_LEFT, true},   {"off side", FRONT_LEFT, true},   {"passenger", FRONT_RIGHT, true},
    {"nearside", FRONT_RIGHT, true}, {"near side", FRONT_RIGHT, true}, {"rear", FRONT_AWAY, false},
    {"back", FRONT_AWAY, false},     {"tail", FRONT_AWAY, false},      {"roof", FRONT_UP, false},
    {"bonnet", FRONT_UP, false},     {"hood", FRONT_UP, false},        {"front", FRONT_TOWARDS, false},
};

struct named_front front_of_name(const char *name, enum road_side road)
{
    size_t count = sizeof front_words / sizeof *front_words, i = 0;
    while (i < count && !strcasestr(name, front_words[i].word)) i++;
    if (i == count) return (struct named_front){FRONT_LEFT, false, false};
    struct named_front named = {front_words[i].front, true, front_words[i].by_road};
    if (named.by_road && road == ROAD_LEFT)
        named.front = named.front == FRONT_LEFT ? FRONT_RIGHT : FRONT_LEFT;
    return named;
}

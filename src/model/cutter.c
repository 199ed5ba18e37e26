/* A shop's cutter where it says nothing, and the room that register marks need. Called by job, plan and make. */
#include "model/cutter.h"
#include "model/practice.h"

const struct cutter cutter_plain = {.name = "cutter", .kiss_spot = "Kiss cut", .through_spot = "Through cut"};

struct measure cutter_speed(const struct cutter *cutter)
{
    if (cutter && measure_known(cutter->speed_mm_s)) return cutter->speed_mm_s;
    return practice_value("contour-cut-speed");
}

/* A mark's corner may come nearest, and a mark stands wholly on the film: half a diagonal besides half a side. */
double register_room_mm(const struct register_marks *marks)
{
    const double half_diagonal = 0.70711;
    return marks->size_mm > 0 ? marks->distance_mm + marks->size_mm * (half_diagonal + 0.5) : 0;
}

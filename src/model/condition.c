/* What follows from a printing condition. */
#include "model/job.h"
#include "base/arena.h"
#include <string.h>
#include <strings.h>

double feed_percent_of(const struct job *job, const struct condition *condition)
{
    if (job->feed_percent > 0) return job->feed_percent;
    if (condition && condition->feed_percent > 0) return condition->feed_percent;
    return condition && condition->recorded_feed.percent > 0 ? condition->recorded_feed.percent : 100;
}

const char *feed_condition(const struct condition *condition, struct arena *arena)
{
    return arena_format(arena, "%s / %s%s%s", condition->printer->name, condition->film->name,
                        condition->mode ? " / " : "", condition->mode ? condition->mode : "");
}

static int process_letter(const char *name)
{
    static const char *const names[PROCESS_INKS][2] = {
        {"C", "cyan"}, {"M", "magenta"}, {"Y", "yellow"}, {"K", "black"}};
    for (int i = 0; i < PROCESS_INKS; i++)
        if (!strcasecmp(name, names[i][0]) || !strcasecmp(name, names[i][1])) return i;
    return -1;
}

/* "LC", "LLK", "light cyan", "light-c": what follows the word for light; NULL when it does not begin so. */
static const char *after_light(const char *name)
{
    size_t skip = !strncasecmp(name, "light", 5) ? 5
                  : !strncasecmp(name, "ll", 2)  ? 2
                                                 : !strncasecmp(name, "l", 1);
    return skip ? name + skip + strspn(name + skip, " -_") : NULL;
}

enum channel_kind ink_channel_kind(const char *name, int *process)
{
    *process = process_letter(name);
    bool small = strlen(name) == 1 && strchr("cmyk", name[0]);
    if (*process >= 0) return small ? CHANNEL_LIGHT : CHANNEL_PROCESS;
    const char *rest = after_light(name);
    *process = rest ? process_letter(rest) : -1;
    return *process >= 0 ? CHANNEL_LIGHT : CHANNEL_OTHER;
}

double ink_channel_percent(const struct condition *condition, size_t channel,
                           const double process[PROCESS_INKS])
{
    int colour;
    enum channel_kind kind = ink_channel_kind(condition->ink->channels[channel], &colour);
    if (kind == CHANNEL_PROCESS) return process[colour];
    if (!ink_channel_assumed(condition, channel)) return condition->coverage_percent[channel];
    return kind == CHANNEL_LIGHT ? process[colour] : 100;
}

bool ink_channel_assumed(const struct condition *condition, size_t channel)
{
    int colour;
    bool process = ink_channel_kind(condition->ink->channels[channel], &colour) == CHANNEL_PROCESS;
    return !process && condition->coverage_percent[channel] < 0;
}

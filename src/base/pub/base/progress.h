/* Long work says where it is; whoever shows it decides how. */
#ifndef BASE_PROGRESS_H
#define BASE_PROGRESS_H

struct progress {
    void *self;
    /* `what` is a phrase in plain English ("left: writing panels"); done of total, in any unit. */
    void (*say)(void *self, const char *what, double done, double total);
};

static inline void progress_say(const struct progress *progress, const char *what, double done, double total)
{
    if (progress && progress->say) progress->say(progress->self, what, done, total);
}

#endif

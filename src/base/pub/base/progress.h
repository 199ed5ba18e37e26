/* Long work says where it is; whoever shows it decides how. Called from the thread that does the
 * work, which waits until `say` returns. */
#ifndef BASE_PROGRESS_H
#define BASE_PROGRESS_H

struct progress {
    void *self; /* handed back to `say` */
    /* `what` is a phrase in plain English ("left: writing panels"); done of total, in any
     * unit; total 0: nobody knows how much there is. `what` is good until `say` returns. */
    void (*say)(void *self, const char *what, double done, double total);
};

/* NULL, or no `say`: nobody looks. */
static inline void progress_say(const struct progress *progress, const char *what, double done, double total)
{
    if (progress && progress->say) progress->say(progress->self, what, done, total);
}

#endif

/* For judges outside: a job held open, one trial, the plan as JSON.
 *     live-tool LAPSTRAKE JOB SURFACE SEAMS CHOOSE [TIMES]
 * SEAMS: 1310,2690, or - for as written. With TIMES the trial is made so often, and the median of its
 * milliseconds is written to standard error. live-tool LAPSTRAKE JOB SURFACE preview: the PNG. */
#include "run/live.h"
#include "answer/answer.h"
#include "base/arena.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { SEAMS_MOST = 200, TIMES_MOST = 1000 };

static double now_ms(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec * 1e3 + (double)time.tv_nsec / 1e6;
}

static struct live_trial trial_of(char **arguments, double *seams)
{
    struct live_trial trial = {.surface = arguments[3], .seams_mm = seams, .choose = atoi(arguments[5])};
    trial.seams_given = strcmp(arguments[4], "-") != 0;
    for (char *at = arguments[4]; trial.seams_given && *at && trial.seam_count < SEAMS_MOST;) {
        seams[trial.seam_count++] = strtod(at, &at);
        if (*at == ',') at++;
    }
    return trial;
}

static int by_size(const void *one, const void *other)
{
    double a = *(const double *)one, b = *(const double *)other;
    return (a > b) - (a < b);
}

static int try_it(struct machine *machine, struct live *live, const struct live_trial *trial, int times)
{
    static double ms[TIMES_MOST];
    int status = 1;
    for (int i = 0; i < times; i++) {
        struct arena *arena = arena_new(machine);
        struct text json = text_new(arena);
        const struct findings *findings;
        double start = now_ms();
        const struct plan *plan = live_try(live, trial, arena, &findings);
        ms[i] = now_ms() - start;
        if (plan && i + 1 == times) {
            answer_plan(plan, findings, &json);
            fwrite(json.bytes, 1, json.length, stdout);
            status = 0;
        }
        arena_free(arena);
    }
    qsort(ms, (size_t)times, sizeof *ms, by_size);
    if (times > 1) fprintf(stderr, "%.1f ms, longest %.1f ms\n", ms[times / 2], ms[times - 1]);
    return status;
}

static int preview(struct machine *machine, struct live *live, const char *surface)
{
    struct arena *arena = arena_new(machine);
    struct error error = {0};
    struct str png;
    bool ok = live_preview(live, surface, arena, &png, &error);
    if (ok)
        fwrite(png.bytes, 1, png.length, stdout);
    else
        fputs(error.text, stderr);
    arena_free(arena);
    return !ok;
}

int main(int count, char **arguments)
{
    if (count < 5) return 2;
    struct machine machine = machine_real(arguments[1]);
    struct run_options options = {.job = arguments[2], .threads = 1};
    struct error error = {0};
    struct live *live;
    if (!live_open(&machine, arguments[2], &options, &live, &error)) {
        fputs(error.text, stderr);
        return 1;
    }
    double seams[SEAMS_MOST];
    int times = count > 6 ? atoi(arguments[6]) : 1, status;
    if (!strcmp(arguments[4], "preview")) {
        status = preview(&machine, live, arguments[3]);
    } else if (count > 5) {
        struct live_trial trial = trial_of(arguments, seams);
        status = try_it(&machine, live, &trial, times < 1 ? 1 : times < TIMES_MOST ? times : TIMES_MOST);
    } else {
        status = 2;
    }
    live_close(live);
    return status;
}

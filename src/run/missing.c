/* Files that the job names and that are not there: all of them in one run, whatever else is wrong. */
#include "base/arena.h"
#include "base/path.h"
#include "steps.h"
#include <string.h>
#include <strings.h>

enum { FOLDERS_MOST = 8 };

/* The next character as people tell names apart: blanks of any kind and number, - and _ are one. */
static int next_told(const char **at)
{
    const char *c = *at;
    bool blank = false;
    for (;; blank = true)
        if (*c == ' ' || *c == '-' || *c == '_')
            c++;
        else if (!strncmp(c, "\xC2\xA0", 2))
            c += 2;
        else
            break;
    if (!blank) *at = *c ? c + 1 : c;
    if (blank) *at = c;
    return blank ? ' ' : (*c >= 'A' && *c <= 'Z') ? *c + 'a' - 'A' : (unsigned char)*c;
}

static bool looks_alike(const char *one, const char *other)
{
    for (;;) {
        int a = next_told(&one), b = next_told(&other);
        if (a != b) return false;
        if (!a) return true;
    }
}

/* The same but for the ending: left.tif for left.pdf, or left. */
static bool alike_without_ending(struct arena *arena, const char *one, const char *other)
{
    const char *a = strrchr(one, '.'), *b = strrchr(other, '.');
    return looks_alike(a ? arena_copy(arena, one, (size_t)(a - one)) : one,
                       b ? arena_copy(arena, other, (size_t)(b - other)) : other);
}

/* The only entry of `folder` that the name may mean; NULL: none, or several. */
static const char *only_alike(struct run *run, const char *folder, const char *name, bool ending)
{
    const char **names, *found = NULL;
    if (!run->machine->list_folder(run->machine, folder, run->arena, &names, NULL)) return NULL;
    for (; *names; names++) {
        if (!(ending ? looks_alike(*names, name) : alike_without_ending(run->arena, *names, name))) continue;
        if (found) return NULL;
        found = *names;
    }
    return found;
}

/* What is there under nearly that path; NULL: nothing, or no one thing. */
static const char *path_alike(struct run *run, const char *path, int depth)
{
    const char *folder = path_folder(run->arena, path), *name = path_name(path);
    if (depth > FOLDERS_MOST || !*name) return NULL;
    if (!run->machine->status(run->machine, folder).exists) folder = path_alike(run, folder, depth + 1);
    if (!folder) return NULL;
    const char *found = only_alike(run, folder, name, true);
    if (!found) found = only_alike(run, folder, name, false);
    return found ? path_join(run->arena, folder, found) : NULL;
}

/* A path as other systems write it, with \ between folders. */
static const char *with_slashes(struct arena *arena, const char *path)
{
    char *own = arena_copy_string(arena, path);
    for (char *c = own; *c; c++)
        if (*c == '\\') *c = '/';
    return own;
}

/* Its path as the job would write it: what it has in common with the missing one's stays. */
static const char *as_written(const char *found, const char *path, const char *file)
{
    size_t before = strlen(path) - strlen(file);
    bool ends = strlen(path) >= strlen(file) && !strcmp(path + before, file);
    return ends && strlen(found) > before && !strncmp(found, path, before) ? found + before : found;
}

static void report_gone(struct run *run, struct place place, const char *what, const char *file,
                        const char *path)
{
    if (!path || run->machine->status(run->machine, path).exists) return;
    const char *within = run->machine->within;
    bool ours = !within || path_is_below(run->arena, within, path); /* what lies elsewhere is not told */
    const char *found = ours ? path_alike(run, with_slashes(run->arena, path), 0) : NULL;
    if (found)
        report_add(&run->report, place, "is-not-there-did-you-mean",
                   ARGUMENTS(arg_words("what", what), arg_words("file", file),
                             arg_words("as_written", as_written(found, path, file))));
    else
        report_add(&run->report, place, "what-file-is-not-there-path",
                   ARGUMENTS(arg_words("what", what), arg_words("file", file), arg_words("path", path)));
}

/* A profile that is not there is a finding of its own; among other mistakes it is told with them. */
static void report_profile(struct run *run, const struct condition *condition)
{
    if (condition && run->report.errors)
        report_gone(run, condition->place, "the profile", condition->profile, condition->profile_path);
}

void step_report_missing(struct run *run)
{
    const struct job *job = run->job;
    for (size_t i = 0; i < job->surface_count; i++) {
        const struct surface_spec *s = &job->surfaces[i];
        report_gone(run, s->place, "the drawing", s->drawing, s->drawing_path);
        for (size_t k = 0; k < s->artwork_count; k++)
            report_gone(run, s->artworks[k].place, "the artwork", s->artworks[k].file, s->artworks[k].path);
        for (size_t k = 0; k < s->text_count; k++)
            report_gone(run, s->texts[k].place, "the font", s->texts[k].font, s->texts[k].font_path);
    }
    for (size_t i = 0; job->shop && i < job->shop->condition_count; i++)
        report_profile(run, &job->shop->conditions[i]);
}

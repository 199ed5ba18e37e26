/* Writes the job.yaml of a new job. Called by run for the page's form. */
#include "base/arena.h"
#include "base/path.h"
#include "job/edit.h"
#include "read.h"
#include <string.h>

enum { TITLE_MOST = 200 };

static bool new_check_words(const char *number, const char *title, struct error *error)
{
    size_t length = strlen(number);
    if (!length || number[0] == '-' || length > JOB_NUMBER_MOST ||
        strspn(number, job_number_letters) != length)
        return error_set(error, FAILURE_INPUT, "is-not-valid-job-number-write",
                         ARGUMENTS(arg_words("number", number), arg_count("most", JOB_NUMBER_MOST)));
    if (title && (strlen(title) > TITLE_MOST || strpbrk(title, "\r\n") || !str_is_utf8(str_from(title))))
        return error_set(error, FAILURE_INPUT, "title-is-not-one-line-of",
                         ARGUMENTS(arg_count("most", TITLE_MOST)));
    return true;
}

bool job_new(struct machine *machine, const char *folder, const char *number, const char *title,
             const char *shop, struct arena *arena, struct error *error)
{
    if (!new_check_words(number, title, error)) return false;
    if (machine->status(machine, folder).exists)
        return error_set(error, FAILURE_INPUT, "is-there-already-choose-another-number",
                         ARGUMENTS(arg_words("folder", folder)));
    struct text text = text_new(arena);
    text_addf(&text, "job: %s\n", job_quote(number, arena));
    if (title && *title) text_addf(&text, "title: %s\n", job_quote(title, arena));
    if (shop) text_addf(&text, "shop: %s\n", job_quote(shop, arena));
    struct str bytes = {text_string(&text), text.length};
    return machine->make_folder(machine, folder, error) &&
           machine_write(machine, path_join(arena, folder, "job.yaml"), bytes, true, error);
}

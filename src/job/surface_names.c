/* The names of surfaces and pieces: read, and found again. */
#include "surfaces.h"
#include <string.h>

/* As in file names, where spaces become '-'. */
static bool surfaces_same_name(const char *one, const char *other)
{
    for (; *one && *other; one++, other++)
        if ((*one == ' ' ? '-' : *one) != (*other == ' ' ? '-' : *other)) return false;
    return *one == *other;
}

struct surface_spec *surface_find(const struct job *job, const char *name)
{
    for (size_t i = 0; i < job->surface_count; i++)
        if (job->surfaces[i].name && surfaces_same_name(job->surfaces[i].name, name))
            return &job->surfaces[i];
    return NULL;
}

bool read_file_name(struct reading *reading, const struct key *key, const struct node *node,
                    const char **name)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_ ";
    const char *written;
    if (!read_text(reading, node, key->words, &written)) return false;
    size_t length = strlen(written);
    bool fits = length <= NAME_MOST && strspn(written, letters) == length && written[0] != ' ' &&
                written[length - 1] != ' ';
    if (fits)
        *name = written;
    else
        report_add(reading->report, place_of(reading, node), "key-written-is-not-day-words",
                   ARGUMENTS(arg_words("key", node->key), arg_words("written", written),
                             arg_words("day_words", key->words)));
    return fits;
}

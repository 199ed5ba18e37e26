/* Private to cli: the arguments of `lapstrake record`, read by one table that also makes the help. */
#ifndef CLI_RECORD_OPTIONS_H
#define CLI_RECORD_OPTIONS_H

#include "base/error.h"
#include "base/text.h"

enum record_verb {
    RECORD_SHOW,
    RECORD_ADD,
    RECORD_PLAN,
    RECORD_REPORT,
    RECORD_EXPORT,
    RECORD_BACKUP,
    RECORD_VERIFY,
    RECORD_REBUILD,
    RECORD_VERB_COUNT,
};

/* Values as written; NULL: not given. */
enum record_option {
    RO_JOB,
    RO_CSV,
    RO_JSON,
    RO_PANELS,
    RO_AT,
    RO_WHO,
    RO_DEVICE,
    RO_AIR,
    RO_SURFACE,
    RO_HUMIDITY,
    RO_MEASURED,
    RO_PLANNED,
    RO_ROLL,
    RO_BATCH,
    RO_WORDS,
    RO_REASON,
    RO_PHOTO,
    RO_WITHDRAWS,
    RO_WHAT,
    RO_OF,
    RO_WIDTH,
    RO_LENGTH,
    RO_KEY,
    RO_THREADS,
    RO_STEPS,
    RO_HELP,
    RO_COUNT,
};

struct record_request {
    enum record_verb verb;
    const char *path;   /* JOB, DIR or a copy */
    const char *second; /* the kind of fact, the file of a copy */
    const char *values[RO_COUNT];
};

bool record_options_read(int count, char **arguments, struct record_request *request, struct error *error);
/* Of one verb; RECORD_VERB_COUNT: of all. */
void record_options_help(enum record_verb verb, struct text *out);

#endif

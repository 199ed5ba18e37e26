/* Private to cli: the arguments of `lapstrake record`, read by one table that also makes the help. */
#ifndef CLI_RECORD_OPTIONS_H
#define CLI_RECORD_OPTIONS_H

#include "base/error.h"
#include "base/text.h"
#include "model/entry.h"

enum record_verb {
    RECORD_SHOW,
    RECORD_ADD,
    RECORD_PLAN,
    RECORD_STOCK,
    RECORD_REPORT,
    RECORD_EXPORT,
    RECORD_BACKUP,
    RECORD_VERIFY,
    RECORD_REBUILD,
    RECORD_VERB_COUNT,
};

/* Options besides those of an entry's fields, which model/entry.h lists. */
enum record_option {
    RO_JOB,
    RO_CSV,
    RO_JSON,
    RO_PANELS,
    RO_THREADS,
    RO_STEPS,
    RO_PATIENT,
    RO_WITHIN,
    RO_HELP,
    RO_COUNT,
};

struct record_request {
    enum record_verb verb;
    const char *path;   /* JOB, DIR or a copy */
    const char *second; /* the kind of fact, the file of a copy */
    /* Values as written; NULL: not given. */
    const char *values[RO_COUNT];
    const char *fields[FACT_FIELDS_MOST]; /* by place in fact_fields */
};

bool record_options_read(int count, char **arguments, struct record_request *request, struct error *error);
/* Of one verb; RECORD_VERB_COUNT: of all. */
void record_options_help(enum record_verb verb, struct text *out);

#endif

/* Private to cli: the commands of `lapstrake record` and their options, by the tables of record_commands.c
 * (options.h says how they are read). The options of an entry's fields are those of model/entry.h. */
#ifndef CLI_RECORD_COMMANDS_H
#define CLI_RECORD_COMMANDS_H

#include "model/entry.h"
#include "options.h"

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

/* All of it borrowed from the arguments. NULL: not given. */
struct record_request {
    struct command_asked
        asked;       /* its subject: JOB, DIR or a copy; its second: the kind of entry, the file of a copy */
    const char *job; /* number of the only one to export */
    const char *panels;                   /* parted by commas */
    unsigned threads;                     /* 0: all processors */
    const char *within;                   /* files that jobs name lie below this folder */
    bool csv, json;                       /* both: JSON */
    bool steps;                           /* progress as lines for a program */
    bool patient;                         /* with readers of files */
    const char *fields[FACT_FIELDS_MOST]; /* as written, by place in fact_fields */
};

/* Reads the arguments behind "record". False with a sentence for people in `error` (FAILURE_INPUT).
 * asked.command is RECORD_VERB_COUNT only with asked.help. */
bool record_commands_read(int count, char **arguments, struct record_request *request, struct error *error);
/* Of one verb; RECORD_VERB_COUNT: of all. */
void record_commands_help(enum record_verb verb, struct text *out);

#endif

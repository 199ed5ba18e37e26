/* Foreign files are read in a child: this binary started again as
 *     lapstrake reader VERB [ARGUMENT...]
 * with the file open at descriptor 3 (and what else the verb takes from 4 on), limits on memory and
 * time, and no new privileges. It answers with one message on standard output: a wire message
 * (base/wire.h) whose first word is 1, or 0 followed by the kind and the sentence of an error. What
 * the child does to itself, the parent survives. */
#ifndef BASE_READER_H
#define BASE_READER_H

#include "base/error.h"
#include "base/str.h"
#include "base/text.h"
#include "base/wire.h"
#include <stdbool.h>
#include <stddef.h>

struct arena;
struct machine;

struct reader_order {
    const char *subject;          /* the file as a person names it, for errors */
    const char *const *arguments; /* VERB and what follows, ended by NULL */
    const int *fds;               /* become 3, 4, ... of the child */
    size_t fd_count;              /* at most 32 */
    uint64_t memory_limit;        /* 0: READER_MEMORY */
    unsigned cpu_seconds;         /* see reader_seconds; 0: the usual */
};

#define READER_MEMORY      ((uint64_t)1 << 30)
#define READER_SECONDS     60u  /* of processor time, to read a customer's file or render one page of it */
#define READER_PATIENT     600u /* the same, where a person asks for patience */
#define READER_UNLIMITED   (~0u)
#define READER_ANSWER_MOST ((size_t)64 << 20)

/* Limit of a child's processor time, 0 for none: `asked`, or when that is 0 the machine's, else
 * READER_SECONDS. Making panels from files that were read before is READER_UNLIMITED. */
unsigned reader_seconds(const struct machine *machine, unsigned asked);
/* The refusal of a file whose reader used that up: FAILURE_INPUT with what to do. Gives false. */
bool reader_too_slow(const char *subject, unsigned seconds, struct error *error);

/* Parent: runs a reader and gives its answer, to be read with wire_get_*. A reader that crashed, ran
 * out of its limits or answered nonsense is FAILURE_INPUT: "left.pdf could not be read: ...". */
bool reader_ask(struct machine *machine, const struct reader_order *order, struct arena *arena,
                struct wire_in *answer, struct error *error);

/* A reader at work, for pixels that stream while it runs (base/slots.h). */
struct reader_run {
    int pid, answer_fd;
    const char *subject;
    unsigned seconds; /* its limit */
};
bool reader_start(struct machine *machine, const struct reader_order *order, struct reader_run *reader,
                  struct error *error);
bool reader_finish(struct machine *machine, struct reader_run *reader, struct arena *arena,
                   struct wire_in *answer, struct error *error);
void reader_stop(struct machine *machine, struct reader_run *reader); /* kill; safe when finished */

/* Child: a verb's function reads descriptor 3 ... and puts its answer; false with error otherwise. */
typedef bool reader_verb(int argument_count, char **arguments, struct machine *machine, struct text *answer,
                         struct error *error);
struct reader_entry {
    const char *verb;
    reader_verb *perform;
};
/* Child: runs the verb named by arguments[0] from the tables and writes its answer. Returns the exit
 * status. `tables` is ended by NULL; each table is ended by a NULL verb. */
int reader_main(int argument_count, char **arguments, const struct reader_entry *const *tables,
                struct machine *machine);
/* Child: answers with an error at once and ends the process; for libraries whose error handler may not return. */
void reader_refuse(struct machine *machine, enum failure kind, const char *sentence)
    __attribute__((noreturn));

#endif

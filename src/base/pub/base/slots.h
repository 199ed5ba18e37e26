/* Pixels from a reader process to its parent through shared memory: a few slots of equal size, used in
 * turn. A word on a pipe says which slot is full; a word back says it is free again. */
#ifndef BASE_SLOTS_H
#define BASE_SLOTS_H

#include "base/error.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { SLOTS_COUNT = 3 };

struct slots {
    uint8_t *memory; /* SLOTS_COUNT x slot_size */
    size_t slot_size;
    int memory_fd;
    int full[2], free_[2]; /* pipes: reader -> parent, parent -> reader; -1 where closed */
    unsigned next;
    unsigned outstanding; /* writer side: slots handed out and not yet returned */
};

struct slot_message {
    uint32_t slot; /* which slot holds the rows */
    uint32_t rows; /* 0: the end */
    int64_t y;
};

/* Parent: makes the memory and the pipes. slots_child_fds gives the three descriptors that the reader
 * gets as first, first+1, first+2 (memory, full, free). */
bool slots_create(struct slots *slots, size_t slot_size, struct error *error);
void slots_child_fds(const struct slots *slots, int fds[3]);
void slots_close_child_ends(struct slots *slots); /* parent, after the reader was started */
/* Parent: waits for the next full slot; false at the reader's death or the end (rows 0). */
bool slots_take(struct slots *slots, struct slot_message *message, const uint8_t **pixels);
void slots_give_back(struct slots *slots, const struct slot_message *message);
void slots_destroy(struct slots *slots);

/* Reader: attaches to what the parent made, at descriptors first, first+1, first+2. */
bool slots_attach(struct slots *slots, int first, size_t slot_size, struct error *error);
/* Reader: a free slot to fill (waits), NULL when the parent is gone. */
uint8_t *slots_begin(struct slots *slots);
bool slots_end(struct slots *slots, int64_t y, uint32_t rows); /* hands over the slot begun last */
bool slots_finish(struct slots *slots);                        /* says that no more will come */

#endif

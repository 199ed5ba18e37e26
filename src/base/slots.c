/* The shared-memory slots and the pipes that say which of them is full or free. Used by raster on both
 * sides of the reader child. */
#include "base/slots.h"
#include "base/number.h"
#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

static const struct slots nothing = {.memory_fd = -1, .full = {-1, -1}, .free_ = {-1, -1}};

static void close_if(int *fd)
{
    if (*fd >= 0) close(*fd);
    *fd = -1;
}

static bool map(struct slots *slots, size_t slot_size)
{
    size_t all;
    if (!size_times(slot_size, SLOTS_COUNT, &all)) return false;
    slots->slot_size = slot_size;
    slots->memory = mmap(NULL, all, PROT_READ | PROT_WRITE, MAP_SHARED, slots->memory_fd, 0);
    if (slots->memory == MAP_FAILED) slots->memory = NULL;
    return slots->memory;
}

bool slots_create(struct slots *slots, size_t slot_size, struct error *error)
{
    *slots = nothing;
    slots->memory_fd = memfd_create("strips", MFD_CLOEXEC);
    bool ok = slots->memory_fd >= 0 && !ftruncate(slots->memory_fd, (off_t)(slot_size * SLOTS_COUNT)) &&
              map(slots, slot_size) && !pipe2(slots->full, O_CLOEXEC) && !pipe2(slots->free_, O_CLOEXEC);
    if (ok) return true;
    error_set(error, FAILURE_MACHINE, "no-memory-to-share-with-reader",
              ARGUMENTS(arg_words("why", strerror(errno))));
    slots_destroy(slots);
    return false;
}

void slots_child_fds(const struct slots *slots, int fds[3])
{
    fds[0] = slots->memory_fd;
    fds[1] = slots->full[1];
    fds[2] = slots->free_[0];
}

void slots_close_child_ends(struct slots *slots)
{
    close_if(
        &slots->full[1]); /* free_[0] stays: giving back to a reader that has ended must not raise SIGPIPE */
}

static bool read_message(int fd, struct slot_message *message)
{
    size_t got = 0;
    while (got < sizeof *message) {
        ssize_t step = read(fd, (char *)message + got, sizeof *message - got);
        if (step < 0 && errno == EINTR) continue;
        if (step <= 0) return false;
        got += (size_t)step;
    }
    return true;
}

static bool write_message(int fd, const struct slot_message *message)
{
    ssize_t step; /* less than PIPE_BUF: whole or not at all */
    do step = write(fd, message, sizeof *message);
    while (step < 0 && errno == EINTR);
    return step == (ssize_t)sizeof *message;
}

bool slots_take(struct slots *slots, struct slot_message *message, const uint8_t **pixels)
{
    if (!read_message(slots->full[0], message) || message->slot >= SLOTS_COUNT || !message->rows)
        return false;
    *pixels = slots->memory + (size_t)message->slot * slots->slot_size;
    return true;
}

void slots_give_back(struct slots *slots, const struct slot_message *message)
{
    write_message(slots->free_[1], message);
}

void slots_destroy(struct slots *slots)
{
    if (slots->memory) munmap(slots->memory, slots->slot_size * SLOTS_COUNT);
    close_if(&slots->memory_fd);
    for (int i = 0; i < 2; i++) close_if(&slots->full[i]), close_if(&slots->free_[i]);
    *slots = nothing;
}

bool slots_attach(struct slots *slots, int first, size_t slot_size, struct error *error)
{
    *slots = nothing;
    slots->memory_fd = first;
    slots->full[1] = first + 1;
    slots->free_[0] = first + 2;
    if (map(slots, slot_size)) return true;
    return error_set(error, FAILURE_MACHINE, "shared-memory-cannot-be-mapped",
                     ARGUMENTS(arg_words("why", strerror(errno))));
}

uint8_t *slots_begin(struct slots *slots)
{
    struct slot_message message;
    if (slots->outstanding == SLOTS_COUNT) {
        if (!read_message(slots->free_[0], &message)) return NULL;
        slots->outstanding--;
    }
    return slots->memory + (size_t)slots->next * slots->slot_size;
}

bool slots_end(struct slots *slots, int64_t y, uint32_t rows)
{
    struct slot_message message = {slots->next, rows, y};
    slots->next = (slots->next + 1) % SLOTS_COUNT;
    slots->outstanding++;
    return write_message(slots->full[1], &message);
}

bool slots_finish(struct slots *slots)
{
    struct slot_message message = {0, 0, 0};
    return write_message(slots->full[1], &message);
}

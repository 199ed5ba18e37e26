/* The machine's port: memory, files, clock and helper programs, as one struct, so that tests run in
 * memory and every failure of the machine can be played. Nothing else in the program calls the
 * operating system for these (libraries that read a file get a descriptor from here). */
#ifndef BASE_MACHINE_H
#define BASE_MACHINE_H

#include "base/error.h"
#include "base/str.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;

struct file_status {
    bool exists, is_folder;
    uint64_t size;
    int64_t modified_ns;     /* when its bytes were last written, since 1970 */
    int64_t changed_ns;      /* when anything of it was, by the machine's own clock: nobody can set it back */
    uint64_t device, number; /* which file it is, whatever its name */
};

/* A file being written: its bytes go to a temporary beside it and appear under its name at commit. */
struct out_file {
    int fd; /* open for writing and reading; belongs to the machine until commit or abandon */
    char *path, *temporary;
};

/* A program to run as a child. */
struct child_order {
    const char *const *arguments; /* [0] is the program, looked up in PATH; ended by NULL */
    const int *fds;               /* become descriptors 0, 1, 2, 3 ... of the child; -1 is /dev/null */
    size_t fd_count;              /* at least 3 */
    uint64_t memory_limit;        /* bytes of address space, 0 for none */
    unsigned cpu_seconds;         /* of processor time, 0 for none */
    uint64_t file_limit;          /* bytes of the largest file it may write, 0 for none */
    const char *folder;           /* its TMPDIR and working folder, or NULL */
};

struct child_end {
    bool exited; /* false: ended by a signal */
    int status;  /* exit status, or the signal's number */
};

struct machine {
    void *self;
    const char *program;     /* path of this binary, to start it again as a reader */
    const char *within;      /* files that a job names lie below this folder (path_full); NULL: anywhere */
    unsigned reader_seconds; /* what a reader of foreign files may use, see base/reader.h; 0: the usual */

    void *(*allocate)(struct machine *, size_t size); /* zeroed; NULL when there is none left */
    void (*release)(struct machine *, void *memory);
    void (*no_memory)(struct machine *) __attribute__((noreturn));

    /* Opens a regular file for reading; -1 with `error` when it cannot. The caller closes. */
    int (*open_file)(struct machine *, const char *path, struct error *);
    struct file_status (*status)(struct machine *, const char *path);
    bool (*make_folder)(struct machine *, const char *path, struct error *); /* with its parents */
    /* Names in a folder, sorted, without . and ..; ended by NULL, in the arena. */
    bool (*list_folder)(struct machine *, const char *path, struct arena *, const char ***names,
                        struct error *);
    bool (*remove_file)(struct machine *, const char *path, struct error *);
    /* Gives a file another name on the same disk, in place of what has it. Makes the folder it goes to. */
    bool (*move_file)(struct machine *, const char *from, const char *to, struct error *);

    bool (*create)(struct machine *, const char *path, struct out_file *, struct error *);
    /* Gives the file its name. `durable` also waits until it is on the disk. */
    bool (*commit)(struct machine *, struct out_file *, bool durable, struct error *);
    void (*abandon)(struct machine *, struct out_file *); /* safe after commit and when never created */

    int64_t (*now)(struct machine *);      /* seconds since 1970-01-01T00:00Z */
    int64_t (*ticks_ms)(struct machine *); /* monotonic, for progress */

    /* Starts a child, or fails with FAILURE_MACHINE naming the program. */
    bool (*start)(struct machine *, const struct child_order *, int *pid, struct error *);
    bool (*wait)(struct machine *, int pid, struct child_end *, struct error *);
    void (*stop)(struct machine *, int pid); /* kills and waits */
};

/* The real machine. `program` is the path of this binary. */
struct machine machine_real(const char *program);

/* Whole file into the arena; refuses more than `most` bytes, and anything but a regular file. */
bool machine_read(struct machine *machine, const char *path, size_t most, struct arena *arena,
                  struct str *bytes, struct error *error);
/* A whole open file as memory that comes in as it is looked at; the descriptor may be closed. Refuses an
 * empty file and one of more than `most` bytes. Give it back with machine_unmap, which leaves a view of
 * nothing. The file must not become shorter meanwhile: ours are replaced, never written over. */
bool machine_map(int fd, size_t most, const char *path, struct str *bytes, struct error *error);
void machine_rest(struct str bytes);   /* not looked at for a while: out of memory until it is */
void machine_unmap(struct str *bytes); /* of nothing: nothing */
/* Whole file from bytes: appears whole or not at all. */
bool machine_write(struct machine *machine, const char *path, struct str bytes, bool durable,
                   struct error *error);
/* Writes all bytes to a descriptor, whatever write(2) does in between. */
bool machine_write_fd(int fd, const void *bytes, size_t length, const char *path, struct error *error);
/* Removes temporaries that an earlier, interrupted run left in `folder`: what carries the mark and is not
 * locked (flock) by who writes it. */
void machine_clear_stale(struct machine *machine, const char *folder, struct arena *arena);

/* Bytes that are left for new files where `folder` lies, less what is kept free so that entries still go on
 * record (a twentieth of the disk, at most 256 MB); 0 when nothing is. *left (may be NULL): all that is free.
 * INT64_MAX when it cannot be told. */
int64_t machine_room(const char *folder, int64_t *left);

bool machine_is_link(const char *path);

/* The lock of a job: one run at a time in a folder. Returns a descriptor to close, -1 when another
 * run holds it or the folder is not writable. */
int machine_lock(const char *folder, struct error *error);

/* Cancelling: set from a signal handler or another thread, asked by every long loop. */
struct cancel {
    volatile int asked;
};
static inline bool cancel_asked(const struct cancel *cancel)
{
    return cancel && cancel->asked;
}

#endif

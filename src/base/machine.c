/* The real machine behind the port: memory, files, clock, children, and whole-or-nothing output files. Made
 * once by cli; tests use their own port. */
#include "base/machine.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/path.h"
#include "base/text.h"
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <malloc.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* The mark of a file that is being written. */
static const char stale_mark[] = ".unfinished-";

static void *real_allocate(struct machine *machine, size_t size)
{
    (void)machine;
    return calloc(1, size ? size : 1);
}

static void real_release(struct machine *machine, void *memory)
{
    (void)machine;
    free(memory);
}

__attribute__((noreturn)) static void real_no_memory(struct machine *machine)
{
    (void)machine;
    const char *words = sentence_plain("no-memory");
    ssize_t written = write(STDERR_FILENO, words, strlen(words));
    (void)written;
    _exit(3);
}

/* Of what cannot be written. */
static enum failure kind_of_write(int number)
{
    return number == ENOSPC || number == EDQUOT || number == EFBIG ? FAILURE_FULL : FAILURE_MACHINE;
}

/* Missing files are the person's mistake, everything else the machine's. */
static enum failure machine_kind_of(int number)
{
    return number == ENOENT || number == ENOTDIR || number == ENAMETOOLONG || number == EISDIR
               ? FAILURE_INPUT
               : FAILURE_MACHINE;
}

static int real_open(struct machine *machine, const char *path, struct error *error)
{
    (void)machine;
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
    if (fd < 0) {
        error_set(error, machine_kind_of(errno), "path-cannot-be-opened-why",
                  ARGUMENTS(arg_words("path", path), arg_words("why", strerror(errno))));
        return -1;
    }
    struct stat status;
    if (fstat(fd, &status) || !S_ISREG(status.st_mode)) {
        close(fd);
        error_set(error, FAILURE_INPUT, "path-is-not-file", ARGUMENTS(arg_words("path", path)));
        return -1;
    }
    return fd;
}

static int64_t nanoseconds(struct timespec time)
{
    return (int64_t)time.tv_sec * 1000000000 + time.tv_nsec;
}

static struct file_status real_status(struct machine *machine, const char *path)
{
    (void)machine;
    struct stat status;
    if (stat(path, &status)) return (struct file_status){0};
    return (struct file_status){
        .exists = true,
        .is_folder = S_ISDIR(status.st_mode),
        .size = (uint64_t)status.st_size,
        .modified_ns = nanoseconds(status.st_mtim),
        .changed_ns = nanoseconds(status.st_ctim),
        .device = status.st_dev,
        .number = status.st_ino,
    };
}

static bool real_make_folder(struct machine *machine, const char *path, struct error *error)
{
    (void)machine;
    char *copy = strdup(path);
    if (!copy) machine->no_memory(machine);
    bool ok = true;
    for (char *at = copy + 1; ok && *at; at++) {
        if (*at != '/') continue;
        *at = 0;
        ok = !mkdir(copy, 0777) || errno == EEXIST;
        *at = '/';
    }
    ok = ok && (!mkdir(copy, 0777) || errno == EEXIST);
    if (!ok)
        error_set(error, kind_of_write(errno), "folder-cannot-be-made",
                  ARGUMENTS(arg_words("path", path), arg_words("why", strerror(errno))));
    free(copy);
    return ok;
}

static int machine_by_name(const void *one, const void *other)
{
    return strcmp(*(const char *const *)one, *(const char *const *)other);
}

static bool real_list(struct machine *machine, const char *path, struct arena *arena, const char ***names,
                      struct error *error)
{
    (void)machine;
    DIR *folder = opendir(path);
    if (!folder)
        return error_set(error, machine_kind_of(errno), "path-cannot-be-listed-why",
                         ARGUMENTS(arg_words("path", path), arg_words("why", strerror(errno))));
    size_t count = 0, capacity = 0;
    *names = NULL;
    for (struct dirent *entry; (entry = readdir(folder));) {
        if (!strcmp(entry->d_name, ".") || !strcmp(entry->d_name, "..")) continue;
        *(const char **)arena_append(arena, names, &count, &capacity, sizeof **names) =
            arena_copy_string(arena, entry->d_name);
    }
    closedir(folder);
    if (count) qsort(*names, count, sizeof **names, machine_by_name);
    *(const char **)arena_append(arena, names, &count, &capacity, sizeof **names) = NULL;
    return true;
}

static bool real_remove(struct machine *machine, const char *path, struct error *error)
{
    (void)machine;
    if (!unlink(path) || errno == ENOENT) return true;
    return error_set(error, FAILURE_MACHINE, "path-cannot-be-removed-why",
                     ARGUMENTS(arg_words("path", path), arg_words("why", strerror(errno))));
}

static bool real_move(struct machine *machine, const char *from, const char *to, struct error *error)
{
    struct arena *arena = arena_new(machine);
    bool ok = machine->make_folder(machine, path_folder(arena, to), error);
    if (ok && rename(from, to))
        ok = error_set(error, kind_of_write(errno), "path-cannot-be-written-why",
                       ARGUMENTS(arg_words("path", to), arg_words("why", strerror(errno))));
    arena_free(arena);
    return ok;
}

static char *heap_format(struct machine *machine, const char *folder, const char *middle, const char *name)
{
    size_t length = strlen(folder) + strlen(middle) + strlen(name) + 16;
    char *path = malloc(length);
    if (!path) machine->no_memory(machine);
    format_into(path, length, "%s/%s%s.XXXXXX", folder, middle, name);
    return path;
}

static bool real_create(struct machine *machine, const char *path, struct out_file *file, struct error *error)
{
    *file = (struct out_file){.fd = -1};
    struct arena *arena = arena_new(machine);
    char *folder = path_folder(arena, path);
    bool ok = machine->make_folder(machine, folder, error);
    if (ok) {
        file->path = strdup(path);
        file->temporary = heap_format(machine, folder, stale_mark, path_name(path));
        file->fd = mkstemp(file->temporary);
        if (file->fd >= 0) {
            fcntl(file->fd, F_SETFD, FD_CLOEXEC);
            fchmod(file->fd, 0644);
        } else {
            ok = error_set(error, kind_of_write(errno), "path-cannot-be-written-why",
                           ARGUMENTS(arg_words("path", path), arg_words("why", strerror(errno))));
            free(file->path), free(file->temporary);
            *file = (struct out_file){.fd = -1};
        }
    }
    arena_free(arena);
    return ok;
}

static void machine_forget(struct out_file *file)
{
    if (file->fd >= 0) close(file->fd);
    free(file->path), free(file->temporary);
    *file = (struct out_file){.fd = -1};
}

static void real_abandon(struct machine *machine, struct out_file *file)
{
    (void)machine;
    if (!file->temporary) return;
    unlink(file->temporary);
    machine_forget(file);
}

static bool sync_folder(const char *path)
{
    char *copy = strdup(path), *slash = copy ? strrchr(copy, '/') : NULL;
    if (slash) *slash = 0;
    int fd = open(slash ? copy : ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    bool ok = fd >= 0 && !fsync(fd);
    if (fd >= 0) close(fd);
    free(copy);
    return ok;
}

static bool real_commit(struct machine *machine, struct out_file *file, bool durable, struct error *error)
{
    bool ok = (!durable || !fsync(file->fd)) && !rename(file->temporary, file->path) &&
              (!durable || sync_folder(file->path));
    if (!ok) {
        error_set(error, kind_of_write(errno), "path-cannot-be-written-why",
                  ARGUMENTS(arg_words("path", file->path), arg_words("why", strerror(errno))));
        real_abandon(machine, file);
        return false;
    }
    machine_forget(file);
    return true;
}

static int64_t real_now(struct machine *machine)
{
    (void)machine;
    return (int64_t)time(NULL);
}

static int64_t real_ticks(struct machine *machine)
{
    (void)machine;
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* In the child, between fork and exec: only calls that are safe there. */
static void limit(__rlimit_resource_t which, uint64_t most)
{
    if (!most) return;
    struct rlimit bound = {(rlim_t)most, (rlim_t)most};
    setrlimit(which, &bound);
}

/* First the signal that says what the matter is, then the end. */
static void limit_processor(unsigned seconds)
{
    struct rlimit bound = {seconds, (rlim_t)seconds + 2};
    if (seconds) setrlimit(RLIMIT_CPU, &bound);
}

static void become(const struct child_order *order, int report_fd)
{
    enum { HIGH = 100 };
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0);
    int high_report = fcntl(report_fd, F_DUPFD_CLOEXEC, HIGH + 50);
    /* Out of each other's way first, then to their places. */
    int moved[40];
    for (size_t i = 0; i < order->fd_count; i++) {
        int from = order->fds[i] >= 0 ? order->fds[i] : open("/dev/null", O_RDWR);
        moved[i] = fcntl(from, F_DUPFD, HIGH);
    }
    for (size_t i = 0; i < order->fd_count; i++) dup2(moved[i], (int)i);
    for (size_t i = 0; i < order->fd_count; i++) close(moved[i]);
#ifndef __SANITIZE_ADDRESS__ /* whose shadow takes terabytes of address space */
    limit(RLIMIT_AS, order->memory_limit);
#endif
    limit_processor(order->cpu_seconds);
    limit(RLIMIT_FSIZE, order->file_limit);
    limit(RLIMIT_CORE, 1);
    char here[4096]; /* absolute, whatever the folder was given as */
    if (order->folder && !chdir(order->folder) && getcwd(here, sizeof here)) setenv("TMPDIR", here, 1);
    signal(SIGINT, SIG_IGN); /* the parent decides */
    execvp(order->arguments[0], (char *const *)order->arguments);
    int number = errno;
    ssize_t told = write(high_report, &number, sizeof number);
    (void)told;
    _exit(127);
}

static bool real_start(struct machine *machine, const struct child_order *order, int *pid,
                       struct error *error)
{
    (void)machine;
    int report[2];
    if (pipe2(report, O_CLOEXEC))
        return error_set(error, FAILURE_MACHINE, "no-pipe-left-why",
                         ARGUMENTS(arg_words("why", strerror(errno))));
    pid_t child = fork();
    if (child == 0) become(order, report[1]);
    close(report[1]);
    int number = 0;
    ssize_t got = 0;
    if (child > 0) do
            got = read(report[0], &number, sizeof number);
        while (got < 0 && errno == EINTR);
    close(report[0]);
    if (child < 0)
        return error_set(error, FAILURE_MACHINE, "no-process-could-be-started",
                         ARGUMENTS(arg_words("why", strerror(errno))));
    if (got > 0) {
        waitpid(child, NULL, 0);
        return error_set(
            error, FAILURE_MACHINE, "helper-program-could-not-be-started",
            ARGUMENTS(arg_words("arguments", order->arguments[0]), arg_words("number", strerror(number))));
    }
    *pid = child;
    return true;
}

static bool real_wait(struct machine *machine, int pid, struct child_end *end, struct error *error)
{
    (void)machine;
    int status;
    pid_t done;
    do done = waitpid(pid, &status, 0);
    while (done < 0 && errno == EINTR);
    if (done < 0)
        return error_set(error, FAILURE_MACHINE, "waiting-for-helper-failed",
                         ARGUMENTS(arg_words("why", strerror(errno))));
    end->exited = WIFEXITED(status);
    end->status = end->exited ? WEXITSTATUS(status) : WTERMSIG(status);
    return true;
}

static void real_stop(struct machine *machine, int pid)
{
    (void)machine;
    if (pid <= 0) return;
    kill(pid, SIGKILL);
    while (waitpid(pid, NULL, 0) < 0 && errno == EINTR) {
    }
}

struct machine machine_real(const char *program)
{
    /* Large pieces come from the system and go back to it, whatever was freed before: the rows of one
     * rendering do not stay for the next, and what is never touched takes no memory. Below a megabyte memory
     * stays: a search that takes and frees its tables many times spends half its time on mapping them. */
    mallopt(M_MMAP_THRESHOLD, 1 << 20);
    mallopt(M_TRIM_THRESHOLD, 4 << 20);
    return (struct machine){
        .program = program,
        .allocate = real_allocate,
        .release = real_release,
        .no_memory = real_no_memory,
        .open_file = real_open,
        .status = real_status,
        .make_folder = real_make_folder,
        .list_folder = real_list,
        .remove_file = real_remove,
        .move_file = real_move,
        .create = real_create,
        .commit = real_commit,
        .abandon = real_abandon,
        .now = real_now,
        .ticks_ms = real_ticks,
        .start = real_start,
        .wait = real_wait,
        .stop = real_stop,
    };
}

static bool machine_read_all(int fd, char *bytes, size_t length, size_t *got)
{
    for (*got = 0; *got < length;) {
        ssize_t step = read(fd, bytes + *got, length - *got);
        if (step < 0 && errno == EINTR) continue;
        if (step < 0) return false;
        if (step == 0) break;
        *got += (size_t)step;
    }
    return true;
}

bool machine_read(struct machine *machine, const char *path, size_t most, struct arena *arena,
                  struct str *bytes, struct error *error)
{
    int fd = machine->open_file(machine, path, error);
    if (fd < 0) return false;
    struct stat status;
    bool ok = !fstat(fd, &status);
    if (ok && (uint64_t)status.st_size > most) {
        close(fd);
        return error_set(error, FAILURE_INPUT, "has-bytes-at-most-are-read",
                         ARGUMENTS(arg_words("path", path), arg_count("bytes", (int64_t)status.st_size),
                                   arg_count("most", (int64_t)most)));
    }
    size_t got = 0;
    char *memory = ok ? arena_take_array(arena, (size_t)status.st_size + 1, 1) : NULL;
    ok = ok && machine_read_all(fd, memory, (size_t)status.st_size, &got);
    close(fd);
    if (!ok)
        return error_set(error, FAILURE_MACHINE, "path-cannot-be-read-trouble",
                         ARGUMENTS(arg_words("path", path), arg_words("trouble", strerror(errno))));
    *bytes = (struct str){memory, got};
    return true;
}

bool machine_map(int fd, size_t most, const char *path, struct str *bytes, struct error *error)
{
    struct stat status;
    if (fstat(fd, &status) || status.st_size <= 0 || (uint64_t)status.st_size > most)
        return error_set(error, FAILURE_INPUT, "is-empty-or-has-more-than",
                         ARGUMENTS(arg_words("path", path), arg_count("most", (int64_t)most)));
    size_t size = (size_t)status.st_size;
    void *memory = mmap(NULL, size, PROT_READ, MAP_PRIVATE, fd, 0);
    if (memory == MAP_FAILED)
        return error_set(error, FAILURE_MACHINE, "path-cannot-be-read-trouble",
                         ARGUMENTS(arg_words("path", path), arg_words("trouble", strerror(errno))));
    *bytes = (struct str){memory, size};
    return true;
}

void machine_rest(struct str bytes)
{
    if (bytes.length) madvise((void *)bytes.bytes, bytes.length, MADV_DONTNEED);
}

void machine_unmap(struct str *bytes)
{
    if (bytes->length) munmap((void *)bytes->bytes, bytes->length);
    *bytes = (struct str){0};
}

bool machine_write_fd(int fd, const void *bytes, size_t length, const char *path, struct error *error)
{
    for (const char *at = bytes; length;) {
        ssize_t step = write(fd, at, length);
        if (step < 0 && errno == EINTR) continue;
        if (step < 0)
            return error_set(error, kind_of_write(errno), "path-cannot-be-written-why",
                             ARGUMENTS(arg_words("path", path), arg_words("why", strerror(errno))));
        at += step;
        length -= (size_t)step;
    }
    return true;
}

bool machine_write(struct machine *machine, const char *path, struct str bytes, bool durable,
                   struct error *error)
{
    struct out_file file;
    if (!machine->create(machine, path, &file, error)) return false;
    if (!machine_write_fd(file.fd, bytes.bytes, bytes.length, path, error)) {
        machine->abandon(machine, &file);
        return false;
    }
    return machine->commit(machine, &file, durable, error);
}

/* Somebody has a lock on it. */
static bool is_written(const char *path)
{
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOFOLLOW);
    if (fd < 0) return false;
    bool locked = flock(fd, LOCK_EX | LOCK_NB) && errno == EWOULDBLOCK;
    close(fd);
    return locked;
}

void machine_clear_stale(struct machine *machine, const char *folder, struct arena *arena)
{
    const char **names;
    if (!machine->list_folder(machine, folder, arena, &names, NULL)) return;
    for (; *names; names++)
        if (str_starts(str_from(*names), stale_mark) && !is_written(path_join(arena, folder, *names)))
            machine->remove_file(machine, path_join(arena, folder, *names), NULL);
}

bool machine_is_link(const char *path)
{
    struct stat status;
    return !lstat(path, &status) && S_ISLNK(status.st_mode);
}

int64_t machine_room(const char *folder, int64_t *left)
{
    const int64_t keep_most = INT64_C(256) << 20;
    struct statvfs disk;
    if (left) *left = INT64_MAX;
    if (statvfs(folder, &disk)) return INT64_MAX;
    int64_t free_bytes = (int64_t)disk.f_bavail * (int64_t)disk.f_frsize;
    int64_t keep = (int64_t)disk.f_blocks * (int64_t)disk.f_frsize / 20;
    if (keep > keep_most) keep = keep_most;
    if (left) *left = free_bytes;
    return free_bytes > keep ? free_bytes - keep : 0;
}

int machine_lock(const char *folder, struct error *error)
{
    char path[4096];
    if (format_into(path, sizeof path, "%s/.lock", folder) + 1 >= sizeof path) {
        error_set(error, FAILURE_INPUT, "folders-name-is-too-long", ARGUMENTS(arg_words("folder", folder)));
        return -1;
    }
    int fd = open(path, O_CREAT | O_RDWR | O_CLOEXEC, 0644);
    if (fd < 0) {
        error_set(error, FAILURE_MACHINE, "path-cannot-be-written-why",
                  ARGUMENTS(arg_words("path", path), arg_words("why", strerror(errno))));
        return -1;
    }
    if (!flock(fd, LOCK_EX | LOCK_NB)) return fd;
    close(fd);
    error_set(error, FAILURE_BUSY, "another-run-is-at-work-in", ARGUMENTS(arg_words("folder", folder)));
    return -1;
}

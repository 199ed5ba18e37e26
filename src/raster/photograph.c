/* The parent's end of cleaning a photograph: gives its bytes to the reader child and takes the new JPEG.
 * Called by floor before a photograph goes on record. */
#include "raster/photograph.h"
#include "base/reader.h"
#include "base/text.h"
#include "child.h"
#include "photograph_child.h"
#include <errno.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

/* The bytes as a file that is nowhere but in memory. */
static int photograph_file_of(struct str bytes, struct error *error)
{
    int fd = memfd_create("photograph", MFD_CLOEXEC);
    if (fd < 0) {
        error_set(error, FAILURE_MACHINE, "no-memory-for-photograph",
                  ARGUMENTS(arg_words("why", strerror(errno))));
        return -1;
    }
    if (machine_write_fd(fd, bytes.bytes, bytes.length, "the photograph", error) && !lseek(fd, 0, SEEK_SET))
        return fd;
    close(fd);
    return -1;
}

bool raster_photograph(struct machine *machine, struct str bytes, const char *subject, int side,
                       struct arena *arena, struct str *jpeg, struct error *error)
{
    char pixels[16];
    int fd = photograph_file_of(bytes, error);
    if (fd < 0) return false;
    format_into(pixels, sizeof pixels, "%d", side);
    const char *const arguments[] = {VERB_PHOTOGRAPH, subject, pixels, NULL};
    struct reader_order order = {.subject = subject, .arguments = arguments, .fds = &fd, .fd_count = 1};
    struct wire_in answer;
    bool ok = reader_ask(machine, &order, arena, &answer, error);
    close(fd);
    if (!ok) return false;
    *jpeg = wire_get_bytes(&answer);
    if (answer.bad || !jpeg->length)
        return error_set(error, FAILURE_INPUT, "could-not-be-read-its-reader-gave",
                         ARGUMENTS(arg_words("subject", subject)));
    return true;
}

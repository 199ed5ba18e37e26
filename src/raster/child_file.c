/* The reader's side: the file it was given, and how a picture is opened that is to be shrunk. */
#include "child_file.h"
#include <sys/stat.h>

enum { FILE_FD = 3 };

bool foreign_of(struct foreign *file, struct machine *machine, struct arena *arena, const char *subject,
                struct error *error)
{
    struct stat status;
    if (fstat(FILE_FD, &status))
        return error_set(error, FAILURE_MACHINE, "path-cannot-be-read",
                         ARGUMENTS(arg_words("path", subject)));
    *file = (struct foreign){
        .machine = machine,
        .arena = arena,
        .subject = subject,
        .fd = FILE_FD,
        .size = (uint64_t)status.st_size,
        .scale_most = 1,
    };
    return true;
}

/* A scaled decoder reduces from the stored corner, so only upright pictures may use it. */
bool open_for(struct decoder *decoder, struct foreign *file, int shrink, struct error *error)
{
    if (!decoder_open(decoder, file, error)) return false;
    int scale = 1;
    while (scale < 8 && shrink % (scale * 2) == 0) scale *= 2;
    if (scale == 1 || decoder->header.kind != ARTWORK_JPEG || decoder->header.orientation != 1) return true;
    file->scale_most = scale;
    decoder_close(decoder);
    return decoder_open(decoder, file, error);
}

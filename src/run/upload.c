/* Reads an uploaded artwork file before it is placed on a surface. Called by web; reading the file is left to
 * art. */
#include "run/upload.h"
#include "art/art.h"
#include "base/path.h"

bool upload_read(struct machine *machine, const char *path, struct arena *arena, struct upload_facts *upload,
                 struct error *error)
{
    struct artwork_facts *f = &upload->artwork;
    *upload = (struct upload_facts){.file = path_name(path), .findings = findings_new(arena)};
    if (!art_read_file(machine, path, upload->file, arena, f, &upload->findings, error)) return false;
    if (f->state != ARTWORK_FINE)
        *f = (struct artwork_facts){.kind = f->kind, .state = f->state, .trouble = f->trouble};
    return true;
}

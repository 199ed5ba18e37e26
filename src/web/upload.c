#include "upload.h"
#include "base/path.h"
#include "base/text.h"
#include <sodium.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

void uploads_start(struct uploads *uploads, struct machine *machine)
{
    memset(uploads, 0, sizeof *uploads);
    uploads->machine = machine;
    pthread_mutex_init(&uploads->mutex, NULL);
}

static void drop(struct uploads *uploads, struct upload *upload)
{
    uploads->machine->abandon(uploads->machine, &upload->file);
    *upload = (struct upload){0};
}

void uploads_end(struct uploads *uploads)
{
    for (size_t i = 0; i < UPLOADS_MOST; i++)
        if (uploads->slots[i].used) drop(uploads, &uploads->slots[i]);
    pthread_mutex_destroy(&uploads->mutex);
}

/* ---- names ---- */

static const char *folder_of_kind(const char *ending)
{
    static const char *const kinds[][2] = {{"pdf", "art"},      {"tif", "art"},      {"tiff", "art"},
                                           {"jpg", "art"},      {"jpeg", "art"},     {"png", "art"},
                                           {"svg", "surfaces"}, {"icc", "profiles"}, {"icm", "profiles"}};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (!strcmp(ending, kinds[i][0])) return kinds[i][1];
    return NULL;
}

/* The last part of whatever path a browser sends, its ending left off, with plain letters only. */
static const char *plain_stem(const char *name, struct arena *arena)
{
    const char *base = path_name(name), *back = strrchr(base, '\\'), *dot;
    if (back) base = back + 1;
    dot = strrchr(base, '.');
    struct text out = text_new(arena);
    for (const char *at = base; at < dot && out.length < UPLOAD_NAME_MOST - 20; at++) {
        bool plain = (*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z') || (*at >= '0' && *at <= '9') ||
                     *at == '_';
        if (plain)
            text_add_char(&out, *at);
        else if (out.length && out.bytes[out.length - 1] != '-')
            text_add_char(&out, '-');
    }
    while (out.length && out.bytes[out.length - 1] == '-') out.bytes[--out.length] = 0;
    return out.length ? text_string(&out) : "file";
}

/* There already, or coming in. */
static bool name_is_taken(const struct uploads *uploads, const char *job, const char *job_folder,
                          const char *name, struct arena *arena)
{
    for (size_t i = 0; i < UPLOADS_MOST; i++) {
        const struct upload *u = &uploads->slots[i];
        if (u->used && !strcmp(u->job, job) && !strcasecmp(u->name, name)) return true;
    }
    return uploads->machine->status(uploads->machine, path_join(arena, job_folder, name)).exists;
}

const char *upload_name(const struct uploads *uploads, const char *job, const char *job_folder,
                        const char *name, struct arena *arena)
{
    const char *ending = path_ending(arena, name), *folder = folder_of_kind(ending);
    if (!folder) return NULL;
    const char *stem = plain_stem(name, arena);
    const char *found = arena_format(arena, "%s/%s.%s", folder, stem, ending);
    for (int n = 2; name_is_taken(uploads, job, job_folder, found, arena); n++)
        found = arena_format(arena, "%s/%s-%d.%s", folder, stem, n, ending);
    return found;
}

/* ---- beginning ---- */

static struct upload *find_key(struct uploads *uploads, const char *job, const char *key)
{
    for (size_t i = 0; i < UPLOADS_MOST; i++) {
        struct upload *u = &uploads->slots[i];
        if (u->used && !strcmp(u->key, key) && !strcmp(u->job, job)) return u;
    }
    return NULL;
}

/* When all are taken, the one that nothing came for the longest gives way, if that is long. */
static struct upload *free_slot(struct uploads *uploads, int64_t now_ms)
{
    struct upload *oldest = NULL;
    for (size_t i = 0; i < UPLOADS_MOST; i++) {
        struct upload *u = &uploads->slots[i];
        if (!u->used) return u;
        if (!u->busy && (!oldest || u->touched_ms < oldest->touched_ms)) oldest = u;
    }
    if (!oldest || now_ms - oldest->touched_ms < UPLOAD_RESTS_MS) return NULL;
    drop(uploads, oldest);
    return oldest;
}

static void make_id(char id[20])
{
    unsigned char random[9];
    randombytes_buf(random, sizeof random);
    id[0] = 'U';
    sodium_bin2hex(id + 1, 19, random, sizeof random);
}

static bool fill(struct uploads *uploads, struct upload *slot, const char *folder, struct arena *arena,
                 struct error *error)
{
    struct machine *m = uploads->machine;
    if (!m->create(m, path_join(arena, folder, slot->name), &slot->file, error)) return false;
    make_id(slot->id);
    slot->touched_ms = m->ticks_ms(m);
    return slot->used = true;
}

struct upload *upload_begin(struct uploads *uploads, const char *job, const char *job_folder,
                            const char *name, int64_t bytes, const char *key, struct arena *arena,
                            struct error *error)
{
    struct machine *m = uploads->machine;
    pthread_mutex_lock(&uploads->mutex);
    struct upload *u = find_key(uploads, job, key);
    if (!u) {
        const char *plain = upload_name(uploads, job, job_folder, name, arena);
        struct upload *slot = free_slot(uploads, m->ticks_ms(m));
        if (!plain)
            error_set(error, FAILURE_INPUT,
                      "%s is no kind of file a job uses: PDF, TIFF, JPEG, PNG, SVG, ICC are right", name);
        else if (!slot)
            error_set(error, FAILURE_MACHINE, "%d files are coming in already; wait for one of them",
                      UPLOADS_MOST);
        else {
            *slot = (struct upload){.bytes = bytes, .file = {.fd = -1}};
            format_into(slot->key, sizeof slot->key, "%s", key);
            format_into(slot->job, sizeof slot->job, "%s", job);
            format_into(slot->name, sizeof slot->name, "%s", plain);
            if (fill(uploads, slot, job_folder, arena, error)) u = slot;
        }
    }
    pthread_mutex_unlock(&uploads->mutex);
    return u;
}

/* ---- sending ---- */

static struct upload *find(struct uploads *uploads, const char *id)
{
    for (size_t i = 0; i < UPLOADS_MOST; i++)
        if (uploads->slots[i].used && !strcmp(uploads->slots[i].id, id)) return &uploads->slots[i];
    return NULL;
}

bool upload_look(struct uploads *uploads, const char *id, struct upload *copy)
{
    pthread_mutex_lock(&uploads->mutex);
    struct upload *u = find(uploads, id);
    if (u) *copy = *u;
    pthread_mutex_unlock(&uploads->mutex);
    return u;
}

static const char *trouble_with(const struct upload *u, int64_t offset, int64_t length, unsigned *status)
{
    *status = 404;
    if (!u) return "This upload is not known here any more; begin again.";
    *status = 409;
    if (u->busy) return "This file is being sent already, from another page or an older connection.";
    if (offset != u->received)
        return "The offset is not where this upload stands; ask how much was received.";
    *status = 413;
    if (length > u->bytes - u->received) return "These are more bytes than the file was said to have.";
    *status = 0;
    return NULL;
}

struct upload *upload_take(struct uploads *uploads, const char *id, int64_t offset, int64_t length,
                           unsigned *status, const char **sentence)
{
    pthread_mutex_lock(&uploads->mutex);
    struct upload *u = find(uploads, id);
    *sentence = trouble_with(u, offset, length, status);
    if (*status) u = NULL;
    /* A write that failed may have gone part of the way. */
    if (u) u->busy = lseek(u->file.fd, (off_t)u->received, SEEK_SET) >= 0;
    pthread_mutex_unlock(&uploads->mutex);
    return u;
}

bool upload_write(struct uploads *uploads, struct upload *upload, struct str bytes, struct error *error)
{
    if (!machine_write_fd(upload->file.fd, bytes.bytes, bytes.length, upload->name, error)) return false;
    pthread_mutex_lock(&uploads->mutex);
    upload->received += (int64_t)bytes.length;
    pthread_mutex_unlock(&uploads->mutex);
    return true;
}

bool upload_give_back(struct uploads *uploads, struct upload *upload, bool *complete, struct error *error)
{
    struct machine *m = uploads->machine;
    bool ok = true;
    *complete = upload->received == upload->bytes;
    if (*complete) ok = m->commit(m, &upload->file, true, error);
    pthread_mutex_lock(&uploads->mutex);
    upload->busy = false;
    upload->touched_ms = m->ticks_ms(m);
    if (*complete) *upload = (struct upload){0};
    pthread_mutex_unlock(&uploads->mutex);
    return ok;
}

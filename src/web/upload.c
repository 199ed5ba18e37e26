/* Uploads as they come in: names, places, pieces, the finished file. Called by exchange.c and
 * upload_views.c; what the file is, answer/answer.h says. */
#include "upload.h"
#include "base/sentence.h"
#include "base/path.h"
#include "base/text.h"
#include <sodium.h>
#include <string.h>
#include <strings.h>
#include <sys/file.h>
#include <unistd.h>

void uploads_start(struct uploads *uploads, struct machine *machine)
{
    memset(uploads, 0, sizeof *uploads);
    uploads->machine = machine;
    pthread_mutex_init(&uploads->mutex, NULL);
}

static void upload_drop(struct uploads *uploads, struct upload *upload)
{
    uploads->machine->abandon(uploads->machine, &upload->file);
    *upload = (struct upload){0};
}

void uploads_end(struct uploads *uploads)
{
    for (size_t i = 0; i < UPLOADS_MOST; i++)
        if (uploads->slots[i].used) upload_drop(uploads, &uploads->slots[i]);
    pthread_mutex_destroy(&uploads->mutex);
}

void uploads_sweep(struct machine *machine, const char *job_folder, struct arena *arena)
{
    static const char *const folders[] = {"", "art", "surfaces", "profiles"};
    for (size_t i = 0; i < sizeof folders / sizeof *folders; i++) {
        const char *folder = *folders[i] ? path_join(arena, job_folder, folders[i]) : job_folder;
        if (!machine_is_link(folder) && machine->status(machine, folder).is_folder)
            machine_clear_stale(machine, folder, arena);
    }
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

static bool upload_is_of(const struct upload *upload, const char *sender)
{
    return upload->used && !strcmp(upload->sender, sender);
}

static size_t held_by(const struct uploads *uploads, const char *sender)
{
    size_t count = 0;
    for (size_t i = 0; i < UPLOADS_MOST; i++) count += upload_is_of(&uploads->slots[i], sender);
    return count;
}

/* The one of a sender for which nothing came for the longest; NULL when all are being sent. */
static struct upload *longest_resting(struct uploads *uploads, const char *sender)
{
    struct upload *oldest = NULL;
    for (size_t i = 0; i < UPLOADS_MOST; i++) {
        struct upload *u = &uploads->slots[i];
        if (upload_is_of(u, sender) && !u->busy && (!oldest || u->touched_ms < oldest->touched_ms))
            oldest = u;
    }
    return oldest;
}

/* Of whoever holds the most places, and more than this one would. */
static struct upload *of_the_greediest(struct uploads *uploads, size_t would_hold)
{
    struct upload *found = NULL;
    size_t most = would_hold;
    for (size_t i = 0; i < UPLOADS_MOST; i++) {
        const char *sender = uploads->slots[i].sender;
        struct upload *resting = longest_resting(uploads, sender);
        size_t count = held_by(uploads, sender);
        if (resting && count > most) found = resting, most = count;
    }
    return found;
}

/* A place: a free one; where the sender has many, one of their own that rests; where all are taken, one of
 * who has more. NULL with `error`. */
static struct upload *find_place(struct uploads *uploads, const char *sender, int64_t now_ms,
                                 struct error *error)
{
    size_t own = held_by(uploads, sender);
    struct upload *place = NULL;
    if (own >= UPLOADS_OF_ONE) {
        place = longest_resting(uploads, sender);
        if (!place || now_ms - place->touched_ms < UPLOAD_PAUSE_MS) {
            error_set(error, FAILURE_BUSY, "of-your-files-are-coming-in",
                      ARGUMENTS(arg_count("most", UPLOADS_OF_ONE)));
            return NULL;
        }
    }
    for (size_t i = 0; !place && i < UPLOADS_MOST; i++)
        if (!uploads->slots[i].used) return &uploads->slots[i];
    if (!place) place = of_the_greediest(uploads, own + 1);
    if (place)
        upload_drop(uploads, place);
    else
        error_set(error, FAILURE_BUSY, "files-are-coming-in-already-this",
                  ARGUMENTS(arg_count("most", UPLOADS_MOST)));
    return place;
}

static bool has_room(const struct upload_order *order, struct error *error)
{
    int64_t left, room = machine_room(order->job_folder, &left);
    if (order->bytes <= room) return true;
    return error_set(error, FAILURE_FULL, "disk-has-mb-left-of-which",
                     ARGUMENTS(arg_fixed("left", (double)left / (1 << 20), 0),
                               arg_fixed("bytes", (double)order->bytes / (1 << 20), 1)));
}

static void make_id(char id[20])
{
    unsigned char random[9];
    randombytes_buf(random, sizeof random);
    id[0] = 'U';
    sodium_bin2hex(id + 1, 19, random, sizeof random);
}

/* Links that lead out of the served folder are not followed. */
static bool stays_inside(const struct machine *machine, const char *folder, const char *name,
                         struct arena *arena, struct error *error)
{
    if (!machine->within || path_is_below(arena, machine->within, path_join(arena, folder, name)))
        return true;
    return error_set(error, FAILURE_INPUT, "of-this-job-leads-out-of",
                     ARGUMENTS(arg_words("folder", path_folder(arena, name))));
}

/* The lock on the temporary says to another server that somebody writes it. */
static bool upload_fill(struct uploads *uploads, struct upload *slot, const char *folder, struct arena *arena,
                        struct error *error)
{
    struct machine *m = uploads->machine;
    if (!stays_inside(m, folder, slot->name, arena, error) ||
        !m->create(m, path_join(arena, folder, slot->name), &slot->file, error))
        return false;
    flock(slot->file.fd, LOCK_EX | LOCK_NB);
    make_id(slot->id);
    slot->touched_ms = m->ticks_ms(m);
    return slot->used = true;
}

static bool begin_new(struct uploads *uploads, const struct upload_order *order, struct arena *arena,
                      struct upload *copy, struct error *error)
{
    struct machine *m = uploads->machine;
    const char *plain = upload_name(uploads, order->job, order->job_folder, order->name, arena);
    if (!plain)
        return error_set(error, FAILURE_INPUT, "is-not-kind-of-file-that",
                         ARGUMENTS(arg_words("order", order->name)));
    if (!has_room(order, error)) return false;
    struct upload *slot = find_place(uploads, order->sender, m->ticks_ms(m), error);
    if (!slot) return false;
    *slot = (struct upload){.bytes = order->bytes, .file = {.fd = -1}};
    format_into(slot->key, sizeof slot->key, "%s", order->key);
    format_into(slot->job, sizeof slot->job, "%s", order->job);
    format_into(slot->sender, sizeof slot->sender, "%s", order->sender);
    format_into(slot->name, sizeof slot->name, "%s", plain);
    bool ok = upload_fill(uploads, slot, order->job_folder, arena, error);
    *copy = *slot;
    return ok;
}

bool upload_begin(struct uploads *uploads, const struct upload_order *order, struct arena *arena,
                  struct upload *copy, struct error *error)
{
    pthread_mutex_lock(&uploads->mutex);
    const struct upload *known = find_key(uploads, order->job, order->key);
    bool ok = true;
    if (known && upload_is_of(known, order->sender))
        *copy = *known;
    else
        ok = begin_new(uploads, order, arena, copy, error);
    pthread_mutex_unlock(&uploads->mutex);
    return ok;
}

/* ---- sending ---- */

static struct upload *upload_find(struct uploads *uploads, const char *id)
{
    for (size_t i = 0; i < UPLOADS_MOST; i++)
        if (uploads->slots[i].used && !strcmp(uploads->slots[i].id, id)) return &uploads->slots[i];
    return NULL;
}

bool upload_look(struct uploads *uploads, const char *id, struct upload *copy)
{
    pthread_mutex_lock(&uploads->mutex);
    struct upload *u = upload_find(uploads, id);
    if (u) *copy = *u;
    pthread_mutex_unlock(&uploads->mutex);
    return u;
}

static const char *trouble_with(const struct upload *u, const char *sender, int64_t offset, int64_t length,
                                unsigned *status)
{
    *status = 404;
    if (!u || !upload_is_of(u, sender)) return sentence_plain("this-upload-is-not-known-here");
    *status = 409;
    if (u->busy) return sentence_plain("this-file-is-being-sent-already");
    if (offset != u->received) return sentence_plain("offset-is-not-where-this-upload");
    *status = 413;
    if (length > u->bytes - u->received) return sentence_plain("these-are-more-bytes-than-file");
    *status = 0;
    return NULL;
}

struct upload *upload_take(struct uploads *uploads, const char *id, const char *sender, int64_t offset,
                           int64_t length, unsigned *status, const char **sentence)
{
    pthread_mutex_lock(&uploads->mutex);
    struct upload *u = upload_find(uploads, id);
    *sentence = trouble_with(u, sender, offset, length, status);
    if (*status) u = NULL;
    /* A write that failed may have gone part of the way. */
    if (u) u->busy = lseek(u->file.fd, (off_t)u->received, SEEK_SET) >= 0;
    pthread_mutex_unlock(&uploads->mutex);
    return u;
}

bool upload_write(struct uploads *uploads, struct upload *upload, struct str bytes, struct error *error)
{
    if (!machine_room(upload->file.temporary, NULL))
        return error_set(error, FAILURE_FULL, "disk-is-full-stops-here-and",
                         ARGUMENTS(arg_words("upload", upload->name)));
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

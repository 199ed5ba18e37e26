/* A PDF file being written: objects one after the other, then the table of where they are (ISO 32000-1, 7.5).
 * Streams go through in pieces; their length is an object of its own behind them. After a failed
 * write everything is quietly dropped; out_finish says so. */
#ifndef PDF_OUT_H
#define PDF_OUT_H

#include "base/error.h"
#include "base/str.h"
#include "base/text.h"
#include "geom/geom.h"
#include <stdint.h>

struct arena;

struct out {
    struct arena *arena;
    int fd;
    const char *path;
    struct error *error;
    bool failed;
    struct text waiting; /* written when it is long enough */
    uint64_t written;    /* bytes before `waiting` */
    uint64_t hash;       /* of these */
    uint64_t *places;    /* of object i + 1; 0: not written yet */
    size_t count, capacity;
    uint64_t stream_from;
    int stream_length;     /* object that takes the length of the stream being written */
    unsigned char *packed; /* of out_deflated, used again and again */
    size_t packed_room;
};

struct out out_new(struct arena *arena, int fd, const char *path, struct error *error);
int out_reserve(struct out *out); /* a new object's number */
void out_begin(struct out *out, int number);
void out_end(struct out *out);
void out_bytes(struct out *out, const void *bytes, size_t length);
void out_add(struct out *out, const char *string);
void out_addf(struct out *out, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* Between out_begin and out_bytes of the stream: closes its dictionary (opened with <<) with /Length. */
void out_stream(struct out *out);
void out_end_stream(struct out *out); /* and the object */
/* The same, deflated: the dictionary gets its /Filter too. */
void out_deflated(struct out *out, const void *bytes, size_t length);

void out_numbers(struct out *out, const double *values, size_t count, int decimals); /* with blanks between */
void out_string(struct out *out, const char *bytes, size_t length);                  /* as hex */
void out_name(struct out *out, const char *name);                                    /* 7.3.5: "/" and it */
void out_text_string(struct out *out, const char *utf8); /* 7.9.2.2: UTF-16 unless it is plain ASCII */

/* Table, trailer, end. The identifier comes from `seed` and all bytes. */
bool out_finish(struct out *out, int root, int info, const char *seed);

#endif

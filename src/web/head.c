/* What is wrong with a request's first lines. */
#include "head.h"
#include "base/sentence.h"
#include <string.h>
#include <strings.h>

size_t head_length(struct str bytes)
{
    for (size_t i = 1; i < bytes.length; i++) {
        if (bytes.bytes[i] != '\n') continue;
        if (bytes.bytes[i - 1] == '\n') return i + 1;
        if (i > 1 && bytes.bytes[i - 1] == '\r' && bytes.bytes[i - 2] == '\n') return i + 1;
    }
    return 0;
}

/* Takes the next line off, without its end. */
static struct str head_take_line(struct str *rest)
{
    const char *end = memchr(rest->bytes, '\n', rest->length);
    size_t length = end ? (size_t)(end - rest->bytes) : rest->length;
    struct str line = str_slice(*rest, 0, length);
    *rest = str_slice(*rest, length + (end ? 1 : 0), rest->length);
    if (line.length && line.bytes[line.length - 1] == '\r') line.length--;
    return line;
}

static bool all_digits(struct str words)
{
    for (size_t i = 0; i < words.length; i++)
        if (words.bytes[i] < '0' || words.bytes[i] > '9') return false;
    return words.length > 0;
}

/* METHOD, one space, address, one space, HTTP/1.x */
static bool is_request_line(struct str line)
{
    const char *first = memchr(line.bytes, ' ', line.length);
    if (!first || first == line.bytes) return false;
    struct str rest = str_slice(line, (size_t)(first + 1 - line.bytes), line.length);
    const char *second = memchr(rest.bytes, ' ', rest.length);
    if (!second || second == rest.bytes) return false;
    struct str version = str_slice(rest, (size_t)(second + 1 - rest.bytes), rest.length);
    return version.length == 8 && !memcmp(version.bytes, "HTTP/1.", 7) && version.bytes[7] >= '0' &&
           version.bytes[7] <= '9';
}

static unsigned length_fault(struct str value, bool *seen, const char **sentence)
{
    bool again = *seen;
    *seen = true;
    if (again) {
        *sentence = sentence_plain("header-that-may-stand-once-came");
        return 400;
    }
    if (!all_digits(value)) {
        *sentence = sentence_plain("length-of-what-is-sent-content");
        return 400;
    }
    if (value.length <= HEAD_LENGTH_DIGITS) return 0;
    *sentence = sentence_plain("this-is-larger-than-what-is");
    return 413;
}

unsigned head_fault(struct str head, const char **sentence)
{
    bool seen = false;
    unsigned fault;
    if (!is_request_line(head_take_line(&head))) {
        *sentence = sentence_plain("this-is-not-request-that-can");
        return 400;
    }
    while (head.length) {
        struct str line = head_take_line(&head);
        const char *colon = memchr(line.bytes, ':', line.length);
        if (!colon || (size_t)(colon - line.bytes) != strlen("Content-Length") ||
            strncasecmp(line.bytes, "Content-Length", strlen("Content-Length")) != 0)
            continue; /* the library's and guard.h's matter */
        struct str value = str_slice(line, (size_t)(colon + 1 - line.bytes), line.length);
        if ((fault = length_fault(str_trim(value), &seen, sentence))) return fault;
    }
    return 0;
}

const char *head_path(struct str head, struct arena *arena)
{
    struct str line = head_take_line(&head);
    const char *from = memchr(line.bytes, ' ', line.length);
    if (!from || ++from == line.bytes + line.length || *from != '/') return "/";
    size_t length = 0, most = line.length - (size_t)(from - line.bytes);
    while (length < most && from[length] != ' ' && from[length] != '?') length++;
    return arena_copy(arena, from, length);
}

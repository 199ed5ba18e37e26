/* Takes the served folder's path out of sentences before they leave this machine. Called for answers and
 * for messages of background work. */
#include "plain.h"
#include "base/sentence.h"
#include "base/text.h"
#include <string.h>

static const char *find_words(struct str in, const char *words, size_t length)
{
    return in.length >= length ? memmem(in.bytes, in.length, words, length) : NULL;
}

static bool plain_goes_on(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '_' || c == '.';
}

struct str plain_words(struct str words, const char *folder, struct arena *arena)
{
    size_t length = strlen(folder);
    while (length && folder[length - 1] == '/') length--;
    if (length < 2 || folder[0] != '/' || !find_words(words, folder, length)) return words;
    struct text out = text_new(arena);
    struct str left = words;
    for (const char *at; (at = find_words(left, folder, length));) {
        size_t before = (size_t)(at - left.bytes), after = before + length;
        char next = after < left.length ? left.bytes[after] : 0;
        text_add_bytes(&out, left.bytes, before);
        if (plain_goes_on(next) && after + 1 < left.length &&
            (next != '.' || plain_goes_on(left.bytes[after + 1])))
            text_add_bytes(&out, at, length); /* another folder whose name begins like ours */
        else if (next != '/')
            text_say(&out, "shops-folder", NULL);
        left = str_slice(left, after + (next == '/'), left.length);
    }
    text_add_bytes(&out, left.bytes, left.length);
    return (struct str){text_string(&out), out.length};
}

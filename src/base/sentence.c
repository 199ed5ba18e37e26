/* Sentences for people: the row of an id, with what is named in it put in. */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/json.h"
#include "english.h"
#include "target.h"
#include <assert.h>
#include <stdlib.h>
#include <string.h>

static const struct sentence *sentence_find(const char *id)
{
    for (size_t t = 0; t < english_count; t++)
        for (size_t low = 0, high = *english[t].count; low < high;) {
            size_t middle = (low + high) / 2;
            int way = strcmp(id, english[t].rows[middle].id);
            if (!way) return &english[t].rows[middle];
            if (way < 0)
                high = middle;
            else
                low = middle + 1;
        }
    return NULL;
}

const char *sentence_id(const char *id)
{
    const struct sentence *found = sentence_find(id);
    return found ? found->id : NULL;
}

const char *sentence_id_of_plain(const char *words)
{
    for (size_t t = 0; t < english_count; t++)
        for (size_t i = 0; i < *english[t].count; i++)
            if (english[t].rows[i].words == words) return english[t].rows[i].id;
    return NULL;
}

const char *sentence_plain(const char *id)
{
    const struct sentence *found = sentence_find(id);
    if (!found || strchr(found->words, '{')) abort();
    return found->words;
}

static const struct argument *argument_named(const struct argument *arguments, const char *name,
                                             size_t length)
{
    for (; arguments && arguments->kind != ARGUMENT_END; arguments++)
        if (strlen(arguments->name) == length && !memcmp(arguments->name, name, length)) return arguments;
    abort();
}

static void say_argument(struct target *target, const struct argument *a)
{
    const char *words = a->words ? a->words : "(none)";
    switch (a->kind) {
    case ARGUMENT_WORDS:
        target_put(target, words, strnlen(words, a->most));
        break;
    case ARGUMENT_NUMBER:
        target_put_fixed(target, a->number, a->decimals, true);
        break;
    case ARGUMENT_FIXED:
        target_put_fixed(target, a->number, a->decimals, false);
        break;
    case ARGUMENT_COUNT:
    case ARGUMENT_FLAG:
        target_put_whole(target, a->count);
        break;
    case ARGUMENT_END:
        abort();
    }
}

static bool is_one(const struct argument *a)
{
    return a->kind == ARGUMENT_COUNT ? a->count == 1 : a->number == 1;
}

/* What stands between braces: from `at` to `end`. */
static void sentence_say_place(struct target *target, const char *at, const char *end,
                               const struct argument *arguments)
{
    size_t length = (size_t)(end - at), name = 0;
    while (name < length && at[name] != '|' && at[name] != '?') name++;
    const struct argument *a = argument_named(arguments, at, name);
    if (name == length) {
        say_argument(target, a);
        return;
    }
    const char *first = at + name + 1, *bar = memchr(first, '|', (size_t)(end - first));
    if (!bar) abort();
    bool takes_first = at[name] == '?' ? a->count != 0 : is_one(a);
    const char *chosen = takes_first ? first : bar + 1;
    target_put(target, chosen, (size_t)((takes_first ? bar : end) - chosen));
}

static void sentence_say(struct target *target, const char *id, const struct argument *arguments)
{
    const struct sentence *sentence = sentence_find(id);
    if (!sentence) abort();
    for (const char *at = sentence->words; *at;) {
        size_t plain = strcspn(at, "{");
        target_put(target, at, plain);
        at += plain;
        if (!*at) break;
        const char *end = at[1] == '{' ? at + 1 : strchr(at, '}');
        if (!end) abort();
        if (*end == '{')
            target_put(target, "{", 1);
        else
            sentence_say_place(target, at + 1, end, arguments);
        at = end + 1;
    }
}

void text_say(struct text *text, const char *id, const struct argument *arguments)
{
    sentence_say(&(struct target){.text = text}, id, arguments);
}

const char *sentence_words(struct arena *arena, const char *id, const struct argument *arguments)
{
    struct text text = text_new(arena);
    text_say(&text, id, arguments);
    return text_string(&text);
}

size_t sentence_into(char *buffer, size_t size, const char *id, const struct argument *arguments)
{
    assert(size);
    struct target target = {.buffer = buffer, .size = size};
    sentence_say(&target, id, arguments);
    buffer[target.length] = 0;
    return target.length;
}

const struct argument *arguments_copy(struct arena *arena, const struct argument *arguments)
{
    size_t count = 0;
    while (arguments && arguments[count].kind != ARGUMENT_END) count++;
    if (!count) return NULL;
    struct argument *copy = arena_take_array(arena, count + 1, sizeof *copy);
    for (size_t i = 0; i <= count; i++) {
        copy[i] = arguments[i];
        if (copy[i].kind == ARGUMENT_WORDS && copy[i].words)
            copy[i].words = arena_copy(arena, copy[i].words, strnlen(copy[i].words, copy[i].most));
    }
    return copy;
}

void arguments_json(struct json *json, const char *key, const struct argument *arguments)
{
    json_open_object_inline(json, key);
    for (const struct argument *a = arguments; a && a->kind != ARGUMENT_END; a++) switch (a->kind) {
        case ARGUMENT_WORDS:
            json_string(json, a->name, a->words);
            break;
        case ARGUMENT_NUMBER:
        case ARGUMENT_FIXED:
            json_number(json, a->name, a->number, a->decimals);
            break;
        case ARGUMENT_COUNT:
            json_whole(json, a->name, a->count);
            break;
        case ARGUMENT_FLAG:
            json_bool(json, a->name, a->count != 0);
            break;
        case ARGUMENT_END:
            break;
        }
    json_close(json);
}

struct reason reason_say(struct arena *arena, const char *id, const struct argument *arguments)
{
    return (struct reason){sentence_id(id), arguments ? arguments_copy(arena, arguments) : NULL,
                           sentence_words(arena, id, arguments)};
}

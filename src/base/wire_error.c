/* An error on the way from a reader process to its parent. What the child says of it is as foreign as its facts. */
#include "base/wire.h"
#include <string.h>

void wire_put_error(struct text *out, const struct error *error)
{
    struct argument arguments[ERROR_ARGUMENTS_MOST + 1];
    error_arguments(error, arguments);
    wire_put_u32(out, (uint32_t)error->kind);
    wire_put_string(out, error->text);
    wire_put_string(out, error->id);
    wire_put_u32(out, (uint32_t)error->argument_count);
    for (const struct argument *a = arguments; a->kind != ARGUMENT_END; a++) {
        wire_put_string(out, a->name);
        wire_put_u32(out, (uint32_t)a->kind);
        wire_put_string(out, a->words);
        wire_put_f64(out, a->number);
        wire_put_u32(out, (uint32_t)a->decimals);
        wire_put_i64(out, a->count);
    }
}

static bool wire_name_is_plain(const char *name)
{
    return name && *name && strlen(name) <= 40 &&
           !name[strspn(name, "abcdefghijklmnopqrstuvwxyz_0123456789")];
}

static bool wire_get_argument(struct wire_in *in, struct arena *arena, struct argument *a)
{
    *a = (struct argument){.name = wire_get_string(in, arena), .kind = (enum argument_kind)wire_get_u32(in)};
    a->words = wire_get_string(in, arena);
    a->most = SIZE_MAX;
    a->number = wire_get_f64(in);
    uint32_t decimals = wire_get_u32(in);
    a->decimals = (int)decimals;
    a->count = wire_get_i64(in);
    return !in->bad && wire_name_is_plain(a->name) && a->kind > ARGUMENT_END && a->kind <= ARGUMENT_FLAG &&
           decimals <= 9;
}

bool wire_get_error(struct wire_in *in, struct arena *arena, struct error *error)
{
    struct argument arguments[ERROR_ARGUMENTS_MOST + 1] = {{.kind = ARGUMENT_END}};
    enum failure kind = (enum failure)wire_get_u32(in);
    const char *words = wire_get_string(in, arena), *id = wire_get_string(in, arena);
    uint32_t count = wire_get_u32(in);
    if (in->bad || !words || count > ERROR_ARGUMENTS_MOST) return false;
    for (uint32_t i = 0; i < count; i++)
        if (!wire_get_argument(in, arena, &arguments[i])) return false;
    arguments[count] = (struct argument){.kind = ARGUMENT_END};
    error_fill_words(error, kind, words);
    error->id = id ? sentence_id(id) : NULL;
    if (error->id) error_keep_arguments(error, arguments);
    return true;
}

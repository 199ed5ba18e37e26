#include "mutate.h"
#include "base/arena.h"
#include "base/text.h"
#include <string.h>

struct damage {
    struct arena *arena;
    struct str text;
    uint64_t state;
    struct text out;
};

/* splitmix64, public domain, S. Vigna. */
static uint64_t next(struct damage *d)
{
    uint64_t z = (d->state += UINT64_C(0x9e3779b97f4a7c15));
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

static size_t below(struct damage *d, size_t most)
{
    return most ? (size_t)(next(d) % most) : 0;
}

/* A line of the text, without its line break. */
static struct str any_line(struct damage *d)
{
    size_t at = below(d, d->text.length), from = at, to = at;
    while (from && d->text.bytes[from - 1] != '\n') from--;
    while (to < d->text.length && d->text.bytes[to] != '\n') to++;
    return str_slice(d->text, from, to);
}

/* The place behind the `nth` of all `: ` from a random one on; 0 when there is none. */
static size_t any_value(struct damage *d)
{
    size_t start = below(d, d->text.length);
    for (size_t i = 0; i + 1 < d->text.length; i++) {
        size_t at = (start + i) % (d->text.length - 1);
        if (d->text.bytes[at] == ':' && d->text.bytes[at + 1] == ' ') return at + 2;
    }
    return 0;
}

static void add(struct damage *d, size_t from, size_t to)
{
    struct str part = str_slice(d->text, from, to);
    text_add_bytes(&d->out, part.bytes, part.length);
}

static void replace(struct damage *d, size_t from, size_t to, const char *with)
{
    add(d, 0, from);
    text_add(&d->out, with);
    add(d, to, d->text.length);
}

static size_t offset_of(const struct damage *d, struct str line)
{
    return (size_t)(line.bytes - d->text.bytes);
}

static void delete_line(struct damage *d)
{
    struct str line = any_line(d);
    replace(d, offset_of(d, line), offset_of(d, line) + line.length, "");
}

static void double_line(struct damage *d)
{
    struct str line = any_line(d);
    size_t from = offset_of(d, line);
    add(d, 0, from);
    text_addf(&d->out, "%.*s\n", (int)line.length, line.bytes);
    add(d, from, d->text.length);
}

static void mistype_key(struct damage *d)
{
    size_t at = any_value(d);
    replace(d, at > 3 ? at - 3 : 0, at > 3 ? at - 2 : 0, "x");
}

static void put_value(struct damage *d, const char *value)
{
    size_t from = any_value(d), to = from;
    while (to < d->text.length && !strchr(",}]\n", d->text.bytes[to])) to++;
    replace(d, from, to, value);
}

static void put_any(struct damage *d)
{
    static const char *const values[] = {"12 furlongs", "-1",   "1e400",      "nan",        "[1, 2",
                                         "{a: b}",      "[[]]", "2027-02-30", "\"\"",       "999999999999",
                                         "0x10",        "true", "12 mm mm",   "{value: 3}", "25:99-26:00"};
    put_value(d, values[below(d, sizeof values / sizeof *values)]);
}

static void empty_value(struct damage *d)
{
    put_value(d, "");
}

static void alias(struct damage *d)
{
    put_value(d, "*elsewhere");
}

static void anchor(struct damage *d)
{
    size_t at = any_value(d);
    replace(d, at, at, "&here ");
}

static void tag(struct damage *d)
{
    size_t at = any_value(d);
    replace(d, at, at, "!!python/object ");
}

static void truncate_text(struct damage *d)
{
    add(d, 0, below(d, d->text.length));
}

static void tab(struct damage *d)
{
    struct str line = any_line(d);
    replace(d, offset_of(d, line), offset_of(d, line), "\t");
}

static void indent(struct damage *d)
{
    struct str line = any_line(d);
    replace(d, offset_of(d, line), offset_of(d, line), below(d, 2) ? " " : "     ");
}

static void random_byte(struct damage *d)
{
    size_t at = below(d, d->text.length);
    char byte[2] = {(char)(1 + below(d, 255)), 0};
    replace(d, at, at + 1, byte);
}

static void nul(struct damage *d)
{
    size_t at = below(d, d->text.length);
    add(d, 0, at);
    text_add_bytes(&d->out, "", 1);
    add(d, at, d->text.length);
}

static void drop_bracket(struct damage *d)
{
    size_t start = below(d, d->text.length);
    for (size_t i = 0; i < d->text.length; i++) {
        size_t at = (start + i) % d->text.length;
        if (!strchr("[]{}:,", d->text.bytes[at])) continue;
        replace(d, at, at + 1, "");
        return;
    }
    add(d, 0, d->text.length);
}

static void deep(struct damage *d)
{
    size_t at = any_value(d), levels = 20 + below(d, 3000);
    add(d, 0, at);
    for (size_t i = 0; i < levels; i++) text_add(&d->out, i % 2 ? "{a: " : "[");
    add(d, at, d->text.length);
}

static void wide(struct damage *d)
{
    size_t at = any_value(d), entries = 100 + below(d, 6000);
    add(d, 0, at);
    text_add(&d->out, "{");
    for (size_t i = 0; i < entries; i++) text_addf(&d->out, "k%zu: 1, ", i);
    text_add(&d->out, "} ");
    add(d, at, d->text.length);
}

static void huge(struct damage *d)
{
    size_t at = any_value(d), letters = (size_t)1 << (8 + below(d, 15));
    add(d, 0, at);
    for (size_t i = 0; i < letters; i++) text_add_char(&d->out, 'a');
    add(d, at, d->text.length);
}

static void second_document(struct damage *d)
{
    struct str line = any_line(d);
    replace(d, offset_of(d, line), offset_of(d, line), "---\n");
}

static void swap_lines(struct damage *d)
{
    struct str one = any_line(d), other = any_line(d);
    size_t a = offset_of(d, one), b = offset_of(d, other);
    if (a >= b) {
        struct str keep = one;
        one = other, other = keep;
        a = offset_of(d, one), b = offset_of(d, other);
    }
    if (a == b) {
        add(d, 0, d->text.length);
        return;
    }
    add(d, 0, a);
    text_add_bytes(&d->out, other.bytes, other.length);
    add(d, a + one.length, b);
    text_add_bytes(&d->out, one.bytes, one.length);
    add(d, b + other.length, d->text.length);
}

struct str mutate(struct arena *arena, struct str text, uint64_t seed, const char **what)
{
    static const struct {
        const char *what;
        void (*damage)(struct damage *);
    } ways[MUTATIONS] = {
        {"a line left out", delete_line},
        {"a line twice", double_line},
        {"a key mistyped", mistype_key},
        {"an unfit value", put_any},
        {"no value", empty_value},
        {"an alias", alias},
        {"an anchor", anchor},
        {"a tag", tag},
        {"cut off", truncate_text},
        {"a tab", tab},
        {"wrong indentation", indent},
        {"a stray byte", random_byte},
        {"a NUL", nul},
        {"punctuation left out", drop_bracket},
        {"deep nesting", deep},
        {"many keys", wide},
        {"a huge text", huge},
        {"a second document", second_document},
        {"lines exchanged", swap_lines},
        {"an unfit value, again", put_any},
    };
    struct damage d = {.arena = arena, .text = text, .state = seed * UINT64_C(0x632be59bd9b4e019)};
    d.out = text_new(arena);
    ways[seed % MUTATIONS].damage(&d);
    *what = ways[seed % MUTATIONS].what;
    return (struct str){text_string(&d.out), d.out.length};
}

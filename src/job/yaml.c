/* YAML through libyaml's events into the room's own tree. What a job file never needs is refused: anchors,
 * aliases, tags, keys that are not plain words, a second document. */
#include "tree.h"
#include "base/sentence.h"
#include "base/machine.h"
#include "job/job.h"
#include <assert.h>
#include <string.h>
#include <yaml.h>

struct level {
    struct node *node;
    struct node *key; /* of a group: the key whose value comes next, or NULL */
    bool left_out;    /* the next value: its key was no key */
};

struct build {
    struct tree *tree;
    struct str bytes;
    size_t index, at; /* a character's number, and the byte where it begins */
    struct node *root;
    struct level levels[JOB_DEPTH_MOST];
    int depth;
    int documents;
    bool stopped;
};

static int yaml_line_of(yaml_mark_t mark)
{
    return (int)mark.line + 1;
}

static int column_of(yaml_mark_t mark)
{
    return (int)mark.column + 1;
}

/* libyaml counts characters. Marks come nearly in order, so the way from the last one is short. */
static size_t byte_of(struct build *build, yaml_mark_t mark)
{
    const char *bytes = build->bytes.bytes;
    while (build->index < mark.index && build->at < build->bytes.length) {
        do build->at++;
        while (build->at < build->bytes.length && (bytes[build->at] & 0xC0) == 0x80);
        build->index++;
    }
    while (build->index > mark.index && build->at) {
        do build->at--;
        while (build->at && (bytes[build->at] & 0xC0) == 0x80);
        build->index--;
    }
    return build->at;
}

static struct place yaml_place_of(const struct build *build, yaml_mark_t mark)
{
    return tree_place(build->tree, yaml_line_of(mark), column_of(mark));
}

static bool yaml_stop(struct build *build)
{
    build->stopped = true;
    build->root = NULL;
    return false;
}

static bool wants_key(const struct build *build)
{
    return build->depth && build->levels[build->depth - 1].node->kind == NODE_GROUP &&
           !build->levels[build->depth - 1].key;
}

static bool is_digits(const char *text)
{
    return *text && !text[strspn(text, "0123456789")];
}

/* Inside braces a comma parts entries: `{price: 9,80}` reads as price 9 and a key 80. Blames the value, so
 * that nothing else is said of it, and leaves the key out. */
static void refuse_comma(struct build *build, struct level *level, const struct node *key)
{
    struct node *before = level->node->last;
    if (!level->node->flow || !before || before->kind != NODE_TEXT || before->to + 1 != key->from ||
        !is_digits(before->text) || key->text[0] < '0' || key->text[0] > '9')
        return;
    report_add(build->tree->report, tree_place(build->tree, before->line, before->column),
               "inside-braces-comma-parts-entries-write",
               ARGUMENTS(arg_words("other_key", before->key), arg_words("before", before->text),
                         arg_words("right", key->text)));
    before->kind = NODE_REFUSED;
    level->left_out = true;
}

/* A finished or opened value goes where it belongs. */
static bool place_value(struct build *build, struct node *node)
{
    if (!build->depth) {
        build->root = node;
        return true;
    }
    struct level *level = &build->levels[build->depth - 1];
    if (level->left_out) {
        level->left_out = false, level->key = NULL;
        return true;
    }
    node->key = level->node->key;
    node->key_line = node->line, node->key_column = node->column;
    if (level->key) {
        node->key = level->key->text;
        node->key_line = level->key->line, node->key_column = level->key->column;
        node->key_from = level->key->from, node->key_to = level->key->to;
        level->key = NULL;
    }
    return tree_add(build->tree, level->node, node) || yaml_stop(build);
}

static void refuse_extras(struct build *build, const yaml_event_t *event, const yaml_char_t *anchor,
                          const yaml_char_t *tag)
{
    if (anchor)
        report_add(build->tree->report, yaml_place_of(build, event->start_mark),
                   "anchors-are-not-read-write-value", ARGUMENTS(arg_words("anchor", (const char *)anchor)));
    if (tag)
        report_add(build->tree->report, yaml_place_of(build, event->start_mark), "tags-are-not-read-take-it",
                   ARGUMENTS(arg_words("tag", (const char *)tag)));
}

static bool is_null(const yaml_event_t *event, struct str text)
{
    return event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE &&
           (!text.length || str_equal(text, "~") || str_equal(text, "null"));
}

static struct node *scalar_node(struct build *build, const yaml_event_t *event, struct str text)
{
    struct node *node =
        tree_text(build->tree, text, yaml_line_of(event->start_mark), column_of(event->start_mark));
    if (!node) return NULL;
    node->from = byte_of(build, event->start_mark);
    node->to = byte_of(build, event->end_mark);
    return node;
}

static bool yaml_take_key(struct build *build, const yaml_event_t *event, struct str text)
{
    if (!text.length || text.length > 200) {
        report_add(build->tree->report, yaml_place_of(build, event->start_mark), "key-has-to-be-word-of",
                   NULL);
        return yaml_stop(build);
    }
    struct node *key = scalar_node(build, event, text);
    if (!key) return yaml_stop(build);
    build->levels[build->depth - 1].key = key;
    refuse_comma(build, &build->levels[build->depth - 1], key);
    return true;
}

static bool take_scalar(struct build *build, const yaml_event_t *event)
{
    struct str text = {(const char *)event->data.scalar.value, event->data.scalar.length};
    refuse_extras(build, event, event->data.scalar.anchor, event->data.scalar.tag);
    if (memchr(text.bytes, 0, text.length)) {
        report_add(build->tree->report, yaml_place_of(build, event->start_mark), "text-holds-nul-take-it-out",
                   NULL);
        return yaml_stop(build);
    }
    if (wants_key(build)) return yaml_take_key(build, event, text);
    if (is_null(event, text)) text.length = 0;
    struct node *node = scalar_node(build, event, text);
    return node ? place_value(build, node) : yaml_stop(build);
}

static bool open_level(struct build *build, const yaml_event_t *event, enum node_kind kind, bool flow)
{
    if (build->depth == JOB_DEPTH_MOST) {
        report_add(build->tree->report, yaml_place_of(build, event->start_mark),
                   "more-than-groups-or-lists-within", ARGUMENTS(arg_count("most", JOB_DEPTH_MOST)));
        return yaml_stop(build);
    }
    if (wants_key(build)) {
        report_add(build->tree->report, yaml_place_of(build, event->start_mark),
                   "list-or-group-stands-where-key", NULL);
        return yaml_stop(build);
    }
    struct node *node =
        tree_node(build->tree, kind, yaml_line_of(event->start_mark), column_of(event->start_mark));
    if (!node || !place_value(build, node)) return yaml_stop(build);
    node->from = node->to = byte_of(build, event->start_mark);
    node->flow = flow;
    build->levels[build->depth++] = (struct level){.node = node};
    return true;
}

static bool close_level(struct build *build, const yaml_event_t *event)
{
    struct node *node = build->levels[--build->depth].node;
    assert(node);
    if (node->flow)
        node->to = byte_of(build, event->end_mark);
    else if (node->last)
        node->to = node->last->to; /* the event stands before whatever comes next, comments between */
    return true;
}

static bool take_alias(struct build *build, const yaml_event_t *event)
{
    report_add(build->tree->report, yaml_place_of(build, event->start_mark),
               "aliases-are-not-read-write-value",
               ARGUMENTS(arg_words("anchor", (const char *)event->data.alias.anchor)));
    if (wants_key(build)) return yaml_stop(build);
    struct node *node =
        tree_node(build->tree, NODE_REFUSED, yaml_line_of(event->start_mark), column_of(event->start_mark));
    return node ? place_value(build, node) : yaml_stop(build);
}

static bool take_document(struct build *build, const yaml_event_t *event)
{
    if (!build->documents++) return true;
    report_add(build->tree->report, yaml_place_of(build, event->start_mark),
               "second-document-begins-here-one-file", NULL);
    build->stopped = true;
    return false;
}

/* False at the end, or when reading on makes no sense. */
static bool yaml_take_event(struct build *build, const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        return take_document(build, event);
    case YAML_SCALAR_EVENT:
        return take_scalar(build, event);
    case YAML_ALIAS_EVENT:
        return take_alias(build, event);
    case YAML_SEQUENCE_START_EVENT:
        refuse_extras(build, event, event->data.sequence_start.anchor, event->data.sequence_start.tag);
        return open_level(build, event, NODE_LIST,
                          event->data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE);
    case YAML_MAPPING_START_EVENT:
        refuse_extras(build, event, event->data.mapping_start.anchor, event->data.mapping_start.tag);
        return open_level(build, event, NODE_GROUP,
                          event->data.mapping_start.style == YAML_FLOW_MAPPING_STYLE);
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        return close_level(build, event);
    case YAML_STREAM_END_EVENT:
        return false;
    default:
        return true;
    }
}

/* The library's words, and what they mean to whoever wrote the file. */
static const char *yaml_plain_words(const char *problem, struct arena *arena)
{
    static const char *const words[][2] = {
        /* the library's, and the id of ours */
        {"cannot start any token", "yaml-cannot-begin"},
        {"mapping values are not allowed", "yaml-colon"},
        {"did not find expected key", "yaml-does-not-fit"},
        {"did not find expected '-'", "yaml-list-entry"},
        {"did not find expected ',' or ']'", "yaml-list-open"},
        {"did not find expected ',' or '}'", "yaml-group-open"},
        {"could not find expected ':'", "yaml-key-alone"},
        {"unexpected end of stream", "yaml-quotes-open"},
        {"undefined alias", "yaml-alias"},
        {"control characters are not allowed", "yaml-control"},
        {"did not find expected node content", "yaml-no-value"},
    };
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strstr(problem, words[i][0])) return sentence_words(arena, words[i][1], NULL);
    return problem;
}

/* `scale: 1 : 10`: to YAML, a key within a value. */
static bool is_spaced_scale(struct build *build, yaml_mark_t mark)
{
    static const char key[] = "scale:";
    size_t at = byte_of(build, mark), start = at, end = at;
    while (start > 0 && build->bytes.bytes[start - 1] != '\n') start--;
    while (end < build->bytes.length && build->bytes.bytes[end] != '\n') end++;
    for (; start + sizeof key - 1 < end; start++) {
        struct str rest = str_slice(build->bytes, start + sizeof key - 1, end);
        double drawn;
        if (memcmp(build->bytes.bytes + start, key, sizeof key - 1)) continue;
        rest = str_trim(rest);
        size_t used = str_number(rest, &drawn);
        rest = str_trim(str_slice(rest, used, rest.length));
        return used && rest.length && rest.bytes[0] == ':';
    }
    return false;
}

static void say_problem(struct build *build, const yaml_parser_t *parser)
{
    struct machine *machine = arena_machine(build->tree->arena);
    if (parser->error == YAML_MEMORY_ERROR) machine->no_memory(machine);
    struct place place = yaml_place_of(build, parser->problem_mark);
    const char *problem = parser->problem ? parser->problem : sentence_plain("yaml-unread");
    if (is_spaced_scale(build, parser->problem_mark))
        report_add(build->tree->report, place, "not-readable-as-yaml-before-or", NULL);
    else
        report_add(build->tree->report, place, "not-readable-as-yaml",
                   ARGUMENTS(arg_words("plain", yaml_plain_words(problem, build->tree->arena))));
}

static void yaml_run(struct build *build, yaml_parser_t *parser)
{
    for (bool more = true; more;) {
        yaml_event_t event;
        if (!yaml_parser_parse(parser, &event)) {
            say_problem(build, parser);
            yaml_stop(build);
            return;
        }
        more = yaml_take_event(build, &event);
        yaml_event_delete(&event);
    }
}

struct node *tree_from_yaml(struct tree *tree, struct str bytes)
{
    struct build build = {.tree = tree, .bytes = bytes};
    struct machine *machine = arena_machine(tree->arena);
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser)) machine->no_memory(machine);
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)bytes.bytes, bytes.length);
    yaml_run(&build, &parser);
    yaml_parser_delete(&parser);
    if (!build.root && !build.stopped)
        report_add(tree->report, tree_place(tree, 1, 1), "file-is-empty", NULL);
    return build.root;
}

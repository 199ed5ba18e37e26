/* Each change is made twice: in the tree, and in the text by cutting. The text is kept only when it reads as
 * the tree says; so a file written in a way that the cutting does not foresee is refused, never damaged. */
#include "job/edit.h"
#include "base/arena.h"
#include "job/job.h"
#include "splice.h"
#include <stdlib.h>
#include <string.h>

enum { PARTS_MOST = 12, PATH_BYTES_MOST = 1000, VALUE_BYTES_MOST = 20000 };

struct edit {
    struct arena *arena; /* for this one change */
    struct error *error;
    const struct job_change *change;
    const char *value; /* as it can stand in brackets too */
    struct node *root;
    struct spot spot;
    struct splice_part parts[PARTS_MOST];
    size_t part_count;
    size_t found; /* parts that lead to spot.node */
};

static struct node *read_tree(struct arena *arena, struct str text, struct error *error)
{
    struct report report = report_new(arena);
    struct tree tree = {arena, &report, "job.yaml", 0};
    struct node *root = tree_from_yaml(&tree, text);
    if (root && !report.errors) return root;
    const struct mistake *first = &report.mistakes[0];
    error_set(error, FAILURE_INPUT, "file-line-column-mistake",
              ARGUMENTS(arg_words("file", first->place.file), arg_count("line", first->place.line),
                        arg_count("column", first->place.column), arg_words("mistake", first->text)));
    return NULL;
}

/* ---- the path ---- */

static bool is_number(const char *word)
{
    return *word && strlen(word) < 8 && !word[strspn(word, "0123456789")];
}

static enum part_kind edit_kind_of(const struct edit *edit, size_t i, const char *word)
{
    if (!strcmp(word, "+")) return PART_NEW;
    if (i == 1 && !strcmp(edit->parts[0].word, "surfaces")) return PART_NAME;
    return is_number(word) ? PART_INDEX : PART_KEY;
}

static bool read_path_parts(struct edit *edit)
{
    const char *path = edit->change->path;
    bool fits = path && *path && strlen(path) <= PATH_BYTES_MOST && str_is_utf8(str_from(path));
    while (fits && edit->part_count < PARTS_MOST) {
        size_t length = strcspn(path, "."), i = edit->part_count;
        const char *word = arena_copy(edit->arena, path, length);
        if (!length) break;
        edit->parts[i] = (struct splice_part){edit_kind_of(edit, i, word), word};
        edit->part_count++;
        if (!path[length]) return true;
        path += length + 1;
    }
    return error_set(
        edit->error, FAILURE_INPUT, "is-not-path-write-keys-and",
        ARGUMENTS(arg_words("path", fits ? edit->change->path : ""), arg_count("most", PARTS_MOST)));
}

static bool edit_is_named(const struct node *entry, const char *word)
{
    const struct node *name = node_find(entry, "name");
    return name && name->kind == NODE_TEXT && !strcmp(name->text, word);
}

/* The entry that a part names, and the one before it. NULL: there is none. */
static struct node *find_entry(struct node *outer, const struct splice_part *part, struct node **before)
{
    bool list = outer->kind == NODE_LIST;
    *before = NULL;
    for (struct node *node = outer->first; node && (!list || part->kind == PART_NAME); node = node->next) {
        if (list ? edit_is_named(node, part->word) : !strcmp(node->key, part->word)) return node;
        *before = node;
    }
    *before = NULL;
    if (!list || !is_number(part->word)) return NULL;
    unsigned long number = strtoul(part->word, NULL, 10);
    for (struct node *node = outer->first; node; node = node->next) {
        if (!number--) return node;
        *before = node;
    }
    return NULL;
}

static void follow_path(struct edit *edit)
{
    struct spot *spot = &edit->spot;
    spot->node = edit->root;
    while (edit->found < edit->part_count) {
        struct node *before, *node = find_entry(spot->node, &edit->parts[edit->found], &before);
        if (!node) return;
        *spot = (struct spot){spot->node, before, node};
        edit->found++;
    }
}

/* ---- the value ---- */

static bool is_one_line(const char *value)
{
    for (; *value; value++)
        if ((unsigned char)*value < ' ' || *value == 0x7f) return false;
    return true;
}

static bool read_value(struct edit *edit)
{
    struct str value = str_trim(str_from(edit->change->value));
    edit->value = arena_copy(edit->arena, value.bytes, value.length);
    bool fits = value.length && value.length <= VALUE_BYTES_MOST && str_is_utf8(value) &&
                is_one_line(edit->value) && !strchr("|>", *edit->value);
    struct node *node = fits ? read_tree(edit->arena, value, NULL) : NULL;
    bool block = node && (node->kind == NODE_LIST || node->kind == NODE_GROUP) && !node->flow;
    if (!node || block || node->from || node->to != value.length)
        return error_set(edit->error, FAILURE_INPUT, "cannot-be-value-of-write-one",
                         ARGUMENTS(arg_words("edit", edit->value), arg_words("path", edit->change->path),
                                   arg_count("most", VALUE_BYTES_MOST)));
    bool plain = node->kind == NODE_TEXT && !strchr("'\"", *edit->value);
    if (plain && strpbrk(edit->value, ",[]{}")) edit->value = job_quote(node->text, edit->arena);
    return true;
}

/* ---- the change in the tree ---- */

static void edit_put_content(struct node *node, const struct node *from)
{
    node->kind = from->kind;
    node->text = from->text;
    node->first = from->first, node->last = from->last, node->count = from->count;
}

static void take_out_node(const struct spot *spot)
{
    struct node *outer = spot->outer;
    if (spot->before)
        spot->before->next = spot->node->next;
    else
        outer->first = spot->node->next;
    if (outer->last == spot->node) outer->last = spot->before;
    outer->count--;
}

static void append_node(struct node *outer, struct node *entry)
{
    if (outer->last)
        outer->last->next = entry;
    else
        outer->first = entry;
    outer->last = entry;
    outer->count++;
}

static bool is_same(const struct node *one, const struct node *other)
{
    if (one->kind != other->kind || one->count != other->count) return false;
    if (one->kind == NODE_TEXT && strcmp(one->text, other->text) != 0) return false;
    const struct node *a = one->first, *b = other->first;
    for (; a && b; a = a->next, b = b->next)
        if ((one->kind == NODE_GROUP && strcmp(a->key, b->key) != 0) || !is_same(a, b)) return false;
    return !a && !b;
}

/* ---- the three changes ---- */

static bool edit_set(struct edit *edit, struct splice *splice)
{
    struct node *value = read_tree(edit->arena, str_from(edit->value), edit->error);
    if (!value) return false;
    splice_set(splice, &edit->spot, edit->value);
    edit_put_content(edit->spot.node, value);
    return true;
}

/* A list or group over lines cannot be empty: with its last entry gone it is written as [] or {}. */
static bool take_out(struct edit *edit, struct splice *splice)
{
    struct node *outer = edit->spot.outer;
    if (outer->count == 1 && !outer->flow) {
        struct edit of_outer = *edit;
        of_outer.part_count = --of_outer.found;
        of_outer.found = 0, of_outer.spot = (struct spot){0};
        follow_path(&of_outer);
        splice_set(splice, &of_outer.spot, outer->kind == NODE_LIST ? "[]" : "{}");
    } else {
        splice_take_out(splice, &edit->spot);
    }
    take_out_node(&edit->spot);
    return true;
}

static bool refuse_path(struct edit *edit)
{
    const struct splice_part *part = &edit->parts[edit->found];
    const struct node *node = edit->spot.node;
    const char *path = edit->change->path,
               *outer = edit->found ? edit->parts[edit->found - 1].word : "the file";
    if (node->kind == NODE_TEXT)
        return error_set(
            edit->error, FAILURE_INPUT, "is-plain-value-here-and-has",
            ARGUMENTS(arg_words("path", path), arg_words("outer", outer), arg_words("word", part->word)));
    if (node->kind == NODE_LIST)
        return error_set(edit->error, FAILURE_INPUT, "is-list-of-here-name-entry",
                         ARGUMENTS(arg_words("path", path), arg_words("outer", outer),
                                   arg_count("node_count", (int64_t)node->count)));
    return error_set(
        edit->error, FAILURE_INPUT, "there-is-no-in",
        ARGUMENTS(arg_words("path", path), arg_words("word", part->word), arg_words("outer", outer)));
}

/* Whether the rest of the path can be made, and `node` holds what its first part names. */
static bool can_append(const struct edit *edit)
{
    const struct splice_part *rest = &edit->parts[edit->found];
    size_t count = edit->part_count - edit->found;
    enum node_kind kind = edit->spot.node->kind;
    bool key = rest->kind == PART_KEY;
    if (kind != NODE_NOTHING && !(kind == NODE_GROUP && key) && !(kind == NODE_LIST && !key)) return false;
    for (size_t i = 0; i < count; i++) {
        bool key_next = i + 1 < count && rest[i + 1].kind == PART_KEY;
        if (rest[i].kind == PART_INDEX) return false;
        if (rest[i].kind == PART_NAME && (is_number(rest[i].word) || !key_next)) return false;
    }
    return true;
}

static bool append_rest(struct edit *edit, struct splice *splice)
{
    const struct splice_part *rest = &edit->parts[edit->found];
    size_t count = edit->part_count - edit->found;
    if (!edit->change->value || !can_append(edit)) return refuse_path(edit);
    const char *in_brackets = splice_in_brackets(rest, count, edit->value, edit->arena);
    struct node *made = read_tree(edit->arena, str_from(in_brackets), edit->error);
    if (!made) return false;
    splice_append(splice, &edit->spot, rest, count, edit->value);
    if (edit->spot.node->kind == NODE_NOTHING)
        edit_put_content(edit->spot.node, made);
    else
        append_node(edit->spot.node, made->first);
    return true;
}

/* ---- */

static bool make_cuts(struct edit *edit, struct splice *splice)
{
    if (!read_path_parts(edit) || (edit->change->value && !read_value(edit))) return false;
    follow_path(edit);
    if (edit->found < edit->part_count) return append_rest(edit, splice);
    return edit->change->value ? edit_set(edit, splice) : take_out(edit, splice);
}

static bool change_text(struct arena *arena, struct str *text, const struct job_change *change,
                        struct error *error)
{
    struct edit edit = {.arena = arena, .error = error, .change = change};
    struct splice splice = {.arena = arena, .text = *text};
    edit.root = read_tree(arena, *text, error);
    if (!edit.root || !make_cuts(&edit, &splice)) return false;
    struct str result = splice_result(&splice);
    struct node *read = read_tree(arena, result, NULL);
    if (!read || !is_same(read, edit.root))
        return error_set(error, FAILURE_INPUT, "is-written-in-way-that-cannot",
                         ARGUMENTS(arg_words("path", change->path)));
    *text = result;
    return true;
}

bool job_edit(struct str text, const struct job_change *changes, size_t count, struct arena *arena,
              struct text *out, struct error *error)
{
    bool mark = str_starts(text, "\xEF\xBB\xBF"), ok = true;
    struct str body = str_slice(text, mark ? 3 : 0, text.length);
    struct arena *work = arena_new(arena_machine(arena)); /* each change reads the text afresh */
    *out = text_new(arena);
    if (count > JOB_CHANGES_MOST)
        ok = error_set(error, FAILURE_INPUT, "changes-at-once-at-most-are",
                       ARGUMENTS(arg_count("count", (int64_t)count), arg_count("most", JOB_CHANGES_MOST)));
    if (!str_is_utf8(body)) ok = error_set(error, FAILURE_INPUT, "job-yaml-is-not-utf-8", NULL);
    for (size_t i = 0; ok && i < count; i++) {
        struct arena *next = arena_new(arena_machine(arena));
        ok = change_text(next, &body, &changes[i], error);
        arena_free(work); /* the result lives in `next` */
        work = next;
    }
    if (ok && body.length > JOB_BYTES_MOST)
        ok = error_set(error, FAILURE_INPUT, "job-yaml-would-be-larger-than",
                       ARGUMENTS(arg_count("most", JOB_BYTES_MOST)));
    if (ok) {
        text_add_bytes(out, text.bytes, mark ? 3 : 0);
        text_add_bytes(out, body.bytes, body.length);
    }
    arena_free(work);
    return ok;
}

/* Keeps what panel files were made from in OUT/made.txt, and reads it. Called by the verbs after a surface's panels
 * were written, and by whatever makes a panel again. */
#include "made.h"
#include "base/arena.h"
#include "base/path.h"
#include "base/text.h"
#include "digests.h"
#include "printed_inner.h"
#include <string.h>

/* A larger file takes seconds to hash: making panels would wait for it. What they are made from is kept anyway. */
enum { MADE_MOST = 4 << 20, MADE_HASHED_MOST = 64 << 20 };

enum made_column {
    MADE_PANEL,
    MADE_ARTWORK,
    MADE_PROFILE,
    MADE_PLAN,
    MADE_FEED,
    MADE_DATE,
    MADE_ANYWAY,
    MADE_VISIBLE,
    MADE_PRINT,
    MADE_FILE,
    MADE_SHA256,
    MADE_NAME,
    MADE_WITH,
    MADE_COLUMNS
};
static const char *const column_names[MADE_COLUMNS] = {"panel",  "artwork", "profile", "plan",  "feed",
                                                       "date",   "anyway",  "visible", "print", "file",
                                                       "sha256", "name",    "with"};

static const char *made_path(struct arena *arena, const char *out)
{
    return path_join(arena, out, "made.txt");
}

/* ---- reading ---- */

static struct str made_text(struct machine *machine, const char *out, struct arena *arena)
{
    struct str text = {"", 0};
    const char *path = made_path(arena, out);
    if (!machine->status(machine, path).exists || !machine_read(machine, path, MADE_MOST, arena, &text, NULL))
        return (struct str){"", 0};
    return text;
}

/* Takes the next line off the text; false at its end. */
static bool made_next(struct str *text, struct str *line)
{
    if (!text->length) return false;
    const char *end = memchr(text->bytes, '\n', text->length);
    size_t length = end ? (size_t)(end - text->bytes) : text->length;
    *line = str_slice(*text, 0, length);
    *text = str_slice(*text, end ? length + 1 : length, text->length);
    return true;
}

static size_t made_split(struct str line, struct arena *arena, const char *columns[MADE_COLUMNS])
{
    size_t count = 0;
    while (count < MADE_COLUMNS) {
        const char *tab = memchr(line.bytes, '\t', line.length);
        size_t length = tab ? (size_t)(tab - line.bytes) : line.length;
        columns[count++] = arena_copy(arena, line.bytes, length);
        if (!tab) break;
        line = str_slice(line, length + 1, line.length);
    }
    return count;
}

static bool made_numbers(const char *words, double *values, size_t count)
{
    struct str rest = str_from(words);
    for (size_t i = 0; i < count; i++) {
        rest = str_trim(rest);
        size_t used = str_number(rest, &values[i]);
        if (!used) return false;
        rest = str_slice(rest, used, rest.length);
    }
    return !str_trim(rest).length;
}

static bool made_rect(const char *words, struct rect *rect)
{
    double at[4] = {0};
    if (!made_numbers(words, at, 4)) return false;
    *rect = (struct rect){at[0], at[1], at[2], at[3]};
    return true;
}

static bool made_take(const char *const columns[MADE_COLUMNS], struct made_panel *made)
{
    double date = 0, anyway = 0;
    *made = (struct made_panel){.panel = columns[MADE_PANEL],
                                .artwork = columns[MADE_ARTWORK],
                                .profile =
                                    string_equal(columns[MADE_PROFILE], "-") ? NULL : columns[MADE_PROFILE],
                                .plan = columns[MADE_PLAN],
                                .sha256 = columns[MADE_SHA256],
                                .name = columns[MADE_NAME],
                                .with = columns[MADE_WITH]};
    bool ok = made_numbers(columns[MADE_FEED], &made->feed_percent, 1) &&
              made_numbers(columns[MADE_DATE], &date, 1) && made_numbers(columns[MADE_ANYWAY], &anyway, 1) &&
              made_rect(columns[MADE_VISIBLE], &made->visible) &&
              made_rect(columns[MADE_PRINT], &made->print) && made_rect(columns[MADE_FILE], &made->file);
    made->date = (int64_t)date, made->anyway = anyway != 0;
    return ok && made->feed_percent >= FEED_LEAST && made->feed_percent <= FEED_MOST && date > 0 &&
           date < 1e11;
}

static bool made_line_is_of(struct str line, const char *panel)
{
    size_t length = strlen(panel);
    return line.length > length && !memcmp(line.bytes, panel, length) && line.bytes[length] == '\t';
}

bool made_find(struct machine *machine, const char *out, const char *panel, struct arena *arena,
               struct made_panel *made)
{
    struct str text = made_text(machine, out, arena), line;
    while (made_next(&text, &line)) {
        const char *columns[MADE_COLUMNS];
        if (made_line_is_of(line, panel))
            return made_split(line, arena, columns) == MADE_COLUMNS && made_take(columns, made);
    }
    return false;
}

/* ---- keeping ---- */

static bool made_is_of(const struct made_surface *what, const struct panel *panel)
{
    return !what->panel || string_equal(what->panel, panel->id);
}

static void made_add_rect(struct text *out, const struct rect *r)
{
    text_addf(out, "%.3f %.3f %.3f %.3f\t", r->x0, r->y0, r->x1, r->y1);
}

/* Names come from people's files: nothing of them may end a column. */
static void made_add_words(struct text *out, const char *words)
{
    for (; *words; words++) text_add_char(out, *words == '\t' || *words == '\n' ? ' ' : *words);
}

/* Lines as they are written. The digest of a file stands in all lines of the panels that are in it. */
struct made_writer {
    struct run *run;
    const struct made_surface *what;
    struct printed_art art;
    struct text out;
    const char *path; /* the file that `hex` is of */
    char hex[65];
};

static bool made_take_digest(struct made_writer *w, const char *path, struct error *error)
{
    if (w->path && string_equal(w->path, path)) return true;
    w->path = path;
    format_into(w->hex, sizeof w->hex, "-");
    if (w->run->machine->status(w->run->machine, path).size > MADE_HASHED_MOST) return true;
    return digest_of_file(w->run->machine, path, w->run->options.cancel, w->hex, error);
}

static bool made_add(struct made_writer *w, const struct panel *panel, struct error *error)
{
    const struct run *run = w->run;
    const struct surface *surface = w->what->surface->surface;
    size_t condition = step_condition(run, surface);
    const char *profile = condition == SIZE_MAX ? NULL : run->conditions[condition].profile_fingerprint;
    const char *path = w->what->panel ? w->what->paths[0] : path_join(run->arena, run->out, panel->file_name);
    if (!made_take_digest(w, path, error)) return false;
    text_addf(&w->out, "%s\t%s\t%s\t%s\t%.4f\t%lld\t%d\t", panel->id, w->art.state, profile ? profile : "-",
              run->plan->fingerprint, feed_percent_of(run->job, surface->condition),
              (long long)run->options.date, w->what->anyway);
    made_add_rect(&w->out, &panel->visible), made_add_rect(&w->out, &panel->print);
    made_add_rect(&w->out, &panel->file);
    text_addf(&w->out, "%s\t", w->hex);
    made_add_words(&w->out, path + strlen(run->out) + 1);
    text_add_char(&w->out, '\t');
    made_add_words(&w->out, surface->condition ? feed_condition(surface->condition, run->arena) : "-");
    text_add_char(&w->out, '\n');
    return true;
}

/* The names of the columns, and the lines of panels that were not made now. */
static void made_add_others(const struct run *run, const struct made_surface *what, struct text *out)
{
    struct str text = made_text(run->machine, run->out, run->arena), line;
    for (int i = 0; i < MADE_COLUMNS; i++)
        text_addf(out, "%s%c", column_names[i], i + 1 < MADE_COLUMNS ? '\t' : '\n');
    made_next(&text, &line);
    while (made_next(&text, &line)) {
        bool again = false;
        for (size_t i = 0; i < surface_print_count(what->plan); i++)
            again = again || (made_is_of(what, &what->plan->panels[i]) &&
                              made_line_is_of(line, what->plan->panels[i].id));
        if (!again) text_add_bytes(out, line.bytes, line.length), text_add_char(out, '\n');
    }
}

bool made_keep(struct run *run, const struct made_surface *what, struct error *error)
{
    struct made_writer w = {.run = run, .what = what, .out = text_new(run->arena)};
    if (!printed_read_now(run, what->surface, &w.art, error)) return false;
    made_add_others(run, what, &w.out);
    for (size_t i = 0; i < surface_print_count(what->plan); i++)
        if (made_is_of(what, &what->plan->panels[i]) && !made_add(&w, &what->plan->panels[i], error))
            return false;
    return machine_write(run->machine, made_path(run->arena, run->out),
                         (struct str){text_string(&w.out), w.out.length}, false, error);
}

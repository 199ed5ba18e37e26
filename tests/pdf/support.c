#include "support.h"
#include "base/path.h"
#include "base/text.h"
#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

int bench_open(void **state)
{
    struct bench *bench = calloc(1, sizeof *bench);
    bench->machine = machine_real("/proc/self/exe");
    bench->arena = arena_new(&bench->machine);
    strcpy(bench->folder, "/tmp/pdf-test-XXXXXX");
    *state = bench;
    return mkdtemp(bench->folder) ? 0 : -1;
}

static int remove_one(const char *path, const struct stat *status, int kind, struct FTW *place)
{
    (void)status, (void)kind, (void)place;
    return remove(path);
}

int bench_close(void **state)
{
    struct bench *bench = *state;
    nftw(bench->folder, remove_one, 16, FTW_DEPTH | FTW_PHYS);
    arena_free(bench->arena);
    free(bench);
    return 0;
}

int serve_reader(int argument_count, char **arguments)
{
    struct machine machine = machine_real("/proc/self/exe");
    const struct reader_entry *const tables[] = {pdf_reader_verbs, NULL};
    return reader_main(argument_count, arguments, tables, &machine);
}

char *bench_path(struct bench *bench, const char *name)
{
    return path_join(bench->arena, bench->folder, name);
}

char *shared_pdf(struct bench *bench, const char *name)
{
    const char *shared = getenv("LAPSTRAKE_SHARED");
    if (!shared) return NULL;
    char *path = arena_format(bench->arena, "%s/inputs/pdf/%s", shared, name);
    return access(path, R_OK) ? NULL : path;
}

static void add_object(struct text *pdf, size_t *places, int number, const char *body)
{
    places[number] = pdf->length;
    text_addf(pdf, "%d 0 obj\n%s\nendobj\n", number, body);
}

const char *profile_object(struct bench *bench, const char *name, int samples)
{
    const char *shared = getenv("LAPSTRAKE_SHARED");
    if (!shared) return NULL;
    struct str bytes;
    struct error error;
    if (!machine_read(&bench->machine, arena_format(bench->arena, "%s/inputs/icc/%s", shared, name), 4 << 20,
                      bench->arena, &bytes, &error))
        return NULL;
    struct text object = text_new(bench->arena);
    text_addf(&object, "<< /N %d /Filter /ASCIIHexDecode /Length %zu >>\nstream\n", samples,
              2 * bytes.length + 1);
    for (size_t i = 0; i < bytes.length; i++) text_addf(&object, "%02x", (unsigned char)bytes.bytes[i]);
    text_add(&object, ">\nendstream");
    return text_string(&object);
}

char *make_pdf(struct bench *bench, const char *name, const char *page, const char *content,
               const char *const *objects)
{
    enum { OBJECTS_MOST = 40 };
    size_t places[OBJECTS_MOST];
    int count = 4;
    struct text pdf = text_new(bench->arena);
    text_add(&pdf, "%PDF-1.7\n");
    /* a catalogue may come as object 5 with /Type /Catalog; else the usual one */
    bool own_root = objects && *objects && strstr(*objects, "/Catalog");
    add_object(&pdf, places, 1, own_root ? "null" : "<< /Type /Catalog /Pages 2 0 R >>");
    add_object(&pdf, places, 2, "<< /Type /Pages /Kids [3 0 R] /Count 1 >>");
    add_object(&pdf, places, 3,
               arena_format(bench->arena, "<< /Type /Page /Parent 2 0 R /Contents 4 0 R %s >>", page));
    add_object(
        &pdf, places, 4,
        arena_format(bench->arena, "<< /Length %zu >>\nstream\n%s\nendstream", strlen(content), content));
    for (; objects && *objects; objects++) add_object(&pdf, places, ++count, *objects);
    size_t table = pdf.length;
    text_addf(&pdf, "xref\n0 %d\n0000000000 65535 f \n", count + 1);
    for (int i = 1; i <= count; i++) text_addf(&pdf, "%010zu 00000 n \n", places[i]);
    text_addf(&pdf, "trailer << /Size %d /Root %d 0 R >>\nstartxref\n%zu\n%%%%EOF\n", count + 1,
              own_root ? 5 : 1, table);
    char *path = bench_path(bench, name);
    struct error error;
    assert_true(machine_write(&bench->machine, path, (struct str){pdf.bytes, pdf.length}, false, &error));
    return path;
}

char *run(struct bench *bench, const char *command, int *status)
{
    FILE *pipe = popen(arena_format(bench->arena, "%s 2>&1", command), "r");
    assert_non_null(pipe);
    struct text out = text_new(bench->arena);
    char block[4096];
    for (size_t got; (got = fread(block, 1, sizeof block, pipe));) text_add_bytes(&out, block, got);
    int end = pclose(pipe);
    if (status) *status = WIFEXITED(end) ? WEXITSTATUS(end) : -1;
    return arena_copy_string(bench->arena, text_string(&out));
}

bool has_program(const char *name)
{
    char command[100];
    snprintf(command, sizeof command, "command -v %s >/dev/null", name);
    bool there = !system(command);
    if (!there) print_message("# %s is not installed\n", name);
    return there;
}

static bool read_pam(FILE *file, struct image *image)
{
    char line[200];
    image->width = image->height = 0;
    while (fgets(line, sizeof line, file) && strcmp(line, "ENDHDR\n")) {
        sscanf(line, "WIDTH %d", &image->width);
        sscanf(line, "HEIGHT %d", &image->height);
    }
    return image->width > 0 && image->height > 0;
}

bool ghostscript(struct bench *bench, const char *path, int page, double ppi, struct image *image)
{
    char *command =
        arena_format(bench->arena,
                     "gs -q -dSAFER -dBATCH -dNOPAUSE -dOverprint=/simulate -sDEVICE=pamcmyk32 -r%f "
                     "-dFirstPage=%d -dLastPage=%d -sstdout=%%stderr -sOutputFile=- '%s' 2>/dev/null",
                     ppi, page, page, path);
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    bool ok = read_pam(pipe, image);
    size_t size = ok ? (size_t)image->width * (size_t)image->height * 4 : 0;
    image->cmyk = arena_take(bench->arena, size);
    ok = ok && fread(image->cmyk, 1, size, pipe) == size;
    return pclose(pipe) == 0 && ok;
}

char *edited(struct bench *bench, const char *path, const char *edit)
{
    char *plain = bench_path(bench, "plain-words.pdf"), *changed = bench_path(bench, "changed.pdf");
    int status;
    run(bench,
        arena_format(
            bench->arena,
            "qpdf --qdf --object-streams=disable --normalize-content=n --no-original-object-ids %s %s", path,
            plain),
        &status);
    assert_int_equal(status, 0);
    run(bench, arena_format(bench->arena, "sed '%s' %s | fix-qdf > %s", edit, plain, changed), &status);
    assert_int_equal(status, 0);
    char *difference = run(bench, arena_format(bench->arena, "cmp %s %s", plain, changed), NULL);
    if (*edit && !*difference) fail_msg("%s changes nothing", edit);
    return changed;
}

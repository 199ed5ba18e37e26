/* Finds a file of the page among those built into the program. Called by the views that send pages. */
#include "assets.h"
#include <string.h>

/* page_files.h is made at build time: one line PAGE_FILE(number, name, type, path) for each file of the page.
 */
#define PAGE_FILE(number, name, type, path)                                                                  \
    __asm__(".pushsection .rodata\n.balign 16\npage_" #number "_start:\n.incbin \"" path "\"\npage_" #number \
            "_end:\n.byte 0\n.popsection\n");                                                                \
    extern const char page_##number##_start[], page_##number##_end[];
#include "page_files.h"
#undef PAGE_FILE

/* Sizes are differences of addresses, which are no constants: the table keeps both ends. */
static const struct {
    const char *name, *type, *start, *end;
} files[] = {
#define PAGE_FILE(number, name, type, path) {name, type, page_##number##_start, page_##number##_end},
#include "page_files.h"
#undef PAGE_FILE
};

bool asset_find(const char *name, struct asset *asset)
{
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        if (strcmp(files[i].name, name)) continue;
        *asset = (struct asset){
            files[i].name, files[i].type, {files[i].start, (size_t)(files[i].end - files[i].start)}};
        return true;
    }
    return false;
}

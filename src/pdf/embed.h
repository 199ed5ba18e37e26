/* Artworks inside the file being written: forms, pictures, layers. */
#ifndef PDF_EMBED_H
#define PDF_EMBED_H

#include "copy.h"
#include "cut_layers.h"
#include "sources.h"

/* A page as a form XObject, with a transparency group of its own or none (blend.h); gives its number. */
int embed_page(struct copier *copier, const struct mu_page *page, bool is_group);
/* The entry of a panel page whose group is an artwork's; `knocks_out`: it says so as well, if that one does.
 */
void embed_page_group(struct copier *copier, const struct mu_page *page, bool knocks_out);
/* A picture as an image XObject, its bytes from `fd`; 0 after a failed read, said in out's error. */
int embed_picture(struct out *out, const struct pdf_picture *picture, int fd);
/* A profile as an ICCBased stream; gives its number. */
int embed_profile(struct out *out, const unsigned char *profile, size_t size);
/* The files' layers (optional content) with their state by default, and the order's cut layers, as an OCProperties
 * dictionary; gives its number, 0 when there are none. `copiers` go with sources->files. */
int embed_layers(struct out *out, struct copier *copiers, size_t count, const struct pdf_panels_order *order,
                 const struct cut_objects *cuts);

#endif

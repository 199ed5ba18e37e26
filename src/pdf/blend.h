/* In which space a page's transparent parts are mixed: its transparency group (ISO 32000-1, 11.4.7, 11.6.6),
 * and what becomes of it on a panel page.
 *
 * A panel page that draws one artwork alone takes the artwork's group for its own, and the artwork's form has
 * none: then a panel is painted by the same rules as the artwork's own page, whatever the space, knocked out
 * or not. Proved by Ghostscript (tests/pdf/test_laid.c): not a pixel differs. A group of the form's own
 * inside a page without one does not give the same: with DeviceGray nothing is right, with RGB and other CMYK
 * what is half transparent; the group on both is wrong where a page's group is written and nothing blends.
 *
 * Where a file has several artworks, each that blends is a group for itself, so that it blends with nothing
 * below it; the page has a group where all that it draws blend in one space, else none. What blends in
 * another space than the paper's inks may differ there from its own page where it is half transparent, in DeviceGray
 * everywhere (tests/pdf/test_together.c): a finding says so (artwork-groups). */
#ifndef PDF_BLEND_H
#define PDF_BLEND_H

#include "sources.h"

/* The page's transparency group, borrowed; NULL without one. */
pdf_obj *blend_group(fz_context *ctx, const struct mu_page *page);
/* The space it mixes in, where the page's resources name a default for a device space (8.6.5.6) that default;
 * NULL: none is said. */
pdf_obj *blend_group_space(fz_context *ctx, const struct mu_page *page);
/* Whether something among the page's resources blends: transparent states, soft masks, groups. */
bool blend_used(fz_context *ctx, const struct mu_page *page);
/* Where it blends in a space other than the paper's inks: that space's name for people; else NULL. */
const char *blend_space(fz_context *ctx, const struct mu_page *page);

/* Whether the artwork of this layer is embedded as a group. */
bool blend_form_is_group(const struct order_read *read, const struct sources *sources, size_t layer);
/* The artwork page whose group a panel page takes that draws these layers; NULL: none. */
const struct source_page *blend_of_page(fz_context *ctx, const struct order_read *read,
                                        const struct sources *sources, const bool *used);

#endif

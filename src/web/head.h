/* The first lines of a request as they came, before the HTTP library reads them: it answers what is wrong in
 * them with a page of its own. Pure. Source of the shapes: RFC 9112, sections 3, 5 and 6.3. */
#ifndef WEB_HEAD_H
#define WEB_HEAD_H

#include "base/arena.h"
#include "base/str.h"

enum { HEAD_LENGTH_DIGITS = 15 }; /* a Content-Length of more is nobody's file */

/* The bytes up to and with the empty line that ends a head; 0 while it has not come. */
size_t head_length(struct str bytes);

/* 0 when the head is a request's; else the HTTP status, and the sentence for it. */
unsigned head_fault(struct str head, const char **sentence);

/* The address asked for, as far as one can be read: "/" else. In the arena. */
const char *head_path(struct str head, struct arena *arena);

#endif

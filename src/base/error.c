/* One failure of one operation. */
#include "base/error.h"
#include "base/text.h"

void error_fill(struct error *error, enum failure kind, const char *id, const struct argument *arguments)
{
    error->kind = kind;
    error->id = sentence_id(id);
    sentence_into(error->text, sizeof error->text, id, arguments);
}

void error_fill_words(struct error *error, enum failure kind, const char *words)
{
    format_into(error->text, sizeof error->text, "%s", words); /* which may be its own */
    error->kind = kind;
    error->id = NULL;
}

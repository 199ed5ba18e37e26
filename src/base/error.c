#include "base/error.h"
#include "base/text.h"

bool error_set(struct error *error, enum failure kind, const char *format, ...)
{
    if (!error) return false;
    va_list arguments;
    va_start(arguments, format);
    error->kind = kind;
    format_into_v(error->text, sizeof error->text, format, arguments);
    va_end(arguments);
    return false;
}

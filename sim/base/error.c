#include "base/error.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"

static rn_status fail(rn_error *err, rn_status status, rn_mark mark, const char *format, va_list arguments)
{
    if (err && err->status == RN_OK) {
        err->status = status;
        err->line = mark.line;
        err->column = mark.column;
        vsnprintf(err->message, sizeof err->message, format, arguments);
    }
    return status;
}

rn_status rn_fail(rn_error *err, rn_status status, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    fail(err, status, (rn_mark){0, 0}, format, arguments);
    va_end(arguments);
    return status;
}

rn_status rn_fail_right(rn_error *err, rn_status status, const char *wrong, const char *right, const char *format, ...)
{
    va_list arguments;
    if (err && err->status == RN_OK && strlen(wrong) < RN_RIGHT_SIZE && strlen(right) < RN_RIGHT_SIZE) {
        snprintf(err->wrong, sizeof err->wrong, "%s", wrong);
        snprintf(err->right, sizeof err->right, "%s", right);
    }
    va_start(arguments, format);
    fail(err, status, (rn_mark){0, 0}, format, arguments);
    va_end(arguments);
    return status;
}

rn_status rn_fail_at(rn_error *err, rn_status status, rn_mark mark, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    fail(err, status, mark, format, arguments);
    va_end(arguments);
    return status;
}

void rn_error_text(const rn_error *err, char *text, int size)
{
    char plain[sizeof err->file + sizeof err->message + 32];
    if (!err->file[0])
        snprintf(plain, sizeof plain, "%s", err->message);
    else if (err->line <= 0)
        snprintf(plain, sizeof plain, "%s: %s", err->file, err->message);
    else if (err->column <= 0)
        snprintf(plain, sizeof plain, "%s:%d: %s", err->file, err->line, err->message);
    else
        snprintf(plain, sizeof plain, "%s:%d:%d: %s", err->file, err->line, err->column, err->message);
    rn_text_show(text, (size_t)size, plain);
}

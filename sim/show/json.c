#include "show/json.h"

#include <math.h>
#include <stdint.h>

#include "base/text.h"

/* What is not seen is written as its code: JSON is data, but may come to a terminal [rfc8259]. */
static void put_code(FILE *out, uint32_t code)
{
    if (code > 0xFFFF)
        fprintf(out, "\\u%04x\\u%04x", (unsigned)(0xD800 + ((code - 0x10000) >> 10)),
                (unsigned)(0xDC00 + ((code - 0x10000) & 0x3FF)));
    else
        fprintf(out, "\\u%04x", (unsigned)code);
}

void rn_json_string(FILE *out, const char *string)
{
    putc('"', out);
    for (const char *at = string; *at;) {
        const int length = rn_text_character(at);
        if (length == 0)
            fputs("\\ufffd", out);
        else if (*at == '"' || *at == '\\')
            fprintf(out, "\\%c", *at);
        else if (rn_text_seen(at) == 0)
            put_code(out, rn_text_code(at));
        else
            fwrite(at, 1, (size_t)length, out);
        at += length > 0 ? length : 1;
    }
    putc('"', out);
}

void rn_json_number(FILE *out, double value)
{
    if (isfinite(value))
        fprintf(out, "%.9g", value);
    else
        fputs("null", out);
}

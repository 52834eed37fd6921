#include "show/json.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>

/* Length of the UTF-8 sequence at text, 0 if it is not one [rfc3629]. */
static int sequence_length(const unsigned char *text)
{
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    int length = text[0] < 0x80   ? 1
                 : text[0] < 0xC2 ? 0
                 : text[0] < 0xE0 ? 2
                 : text[0] < 0xF0 ? 3
                 : text[0] < 0xF5 ? 4
                                  : 0;
    if (length < 2)
        return length;
    uint32_t code = text[0] & (0xFFu >> (length + 1));
    for (int i = 1; i < length; i++) {
        if ((text[i] & 0xC0) != 0x80)
            return 0;
        code = code << 6 | (text[i] & 0x3Fu);
    }
    bool surrogate = code >= 0xD800 && code <= 0xDFFF;
    return code < least[length] || surrogate || code > 0x10FFFF ? 0 : length;
}

void rn_json_string(FILE *out, const char *string)
{
    putc('"', out);
    for (const unsigned char *at = (const unsigned char *)string; *at;) {
        int length = sequence_length(at);
        if (length == 0)
            fputs("\\ufffd", out);
        else if (*at == '"' || *at == '\\')
            fprintf(out, "\\%c", *at);
        else if (*at < 0x20 || *at == 0x7F)
            fprintf(out, "\\u%04x", *at);
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

#include "wording.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/infile.h"
#include "document.h"

#define TEXT_MOST (1L << 26) /* of a file that is kept [bytes] */

/* A # at the beginning of a line or after a blank, outside of quotes. */
static bool commented(const char *text)
{
    char quote = '\0', before = '\n';
    for (const char *c = text; *c; before = *c++) {
        if (*c == '\n')
            quote = '\0';
        else if (quote)
            quote = *c == quote && before != '\\' ? '\0' : quote;
        else if ((*c == '"' || *c == '\'') && strchr(" \t\n[{,:", before)) /* not one within a word */
            quote = *c;
        else if (*c == '#' && strchr(" \t\n", before))
            return true;
    }
    return false;
}

rv_wording wording_of(const char *text)
{
    rn_plan *plan = NULL;
    char *own = NULL;
    rn_error err = {0};
    const bool same = document_read_text(&plan, text, "plan", &err) == RN_OK &&
                      rn_plan_write(&own, plan, &err) == RN_OK && strcmp(own, text) == 0;
    free(own);
    rn_plan_free(plan);
    return same ? WORDING_OWN : commented(text) ? WORDING_COMMENTED : WORDING_OTHER;
}

char *wording_read(size_t *length, const char *path)
{
    struct stat status;
    const char *why;
    FILE *file = rn_infile_open(&why, path);
    char *text = NULL;
    if (file && fstat(fileno(file), &status) == 0 && S_ISREG(status.st_mode) && status.st_size <= TEXT_MOST)
        text = malloc((size_t)status.st_size + 1);
    if (text) {
        *length = fread(text, 1, (size_t)status.st_size, file);
        text[*length] = '\0';
        if (*length != (size_t)status.st_size) {
            free(text);
            text = NULL;
        }
    }
    if (file)
        fclose(file);
    return text;
}

#include "filing.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "show/figure.h"

#define PLAN_ENDING ".yaml"
#define PICTURE_ENDING ".png"
#define TRIES 999
#define STEM_MOST 80

static const char *name_in(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

void filing_folder(char folder[DOCUMENT_PATH_SIZE], const rv_document *doc)
{
    const char *path = document_path(doc), *slash = strrchr(path, '/');
    char here[DOCUMENT_PATH_SIZE] = "";
    if (path[0] != '/' && !getcwd(here, sizeof here))
        here[0] = '\0';
    const int length = slash ? (int)(slash - path) : 0;
    const int written =
        snprintf(folder, DOCUMENT_PATH_SIZE, "%s%s%.*s", here, here[0] && length ? "/" : "", length, path);
    if (written <= 0 || written >= DOCUMENT_PATH_SIZE)
        snprintf(folder, DOCUMENT_PATH_SIZE, "%s", path[0] == '/' ? "/" : ".");
}

/* What files of this plan are called: as its own is, or after its title, in letters that every disk takes. */
static void stem_of(char stem[STEM_MOST + 1], const rv_document *doc)
{
    const char *name = name_in(document_path(doc)), *dot = strrchr(name, '.');
    if (name[0]) {
        snprintf(stem, STEM_MOST + 1, "%.*s", (int)(dot && dot != name ? dot - name : STEM_MOST), name);
        return;
    }
    int length = 0;
    for (const char *c = document_plan(doc)->title; *c && length < STEM_MOST; c++) {
        if (isalnum((unsigned char)*c) || (unsigned char)*c >= 0x80)
            stem[length++] = (char)tolower((unsigned char)*c);
        else if (length > 0 && stem[length - 1] != '-')
            stem[length++] = '-';
    }
    while (length > 0 && stem[length - 1] == '-')
        length--;
    while (length == STEM_MOST && ((unsigned char)stem[length - 1] & 0xC0) == 0x80) /* no letter is cut in two */
        length--;
    stem[length] = '\0';
    if (!length)
        snprintf(stem, STEM_MOST + 1, "new-plan");
}

void filing_propose(char *name, size_t size, const rv_document *doc, rv_errand what, const char *folder)
{
    char stem[STEM_MOST + 1], path[DOCUMENT_PATH_SIZE + STEM_MOST + 32];
    struct stat there;
    name[0] = '\0';
    if (what == ERRAND_OPEN)
        return;
    if (what != ERRAND_PICTURE && document_path(doc)[0]) {
        snprintf(name, size, "%s", name_in(document_path(doc)));
        return;
    }
    const char *ending = what == ERRAND_PICTURE ? PICTURE_ENDING : PLAN_ENDING;
    stem_of(stem, doc);
    snprintf(name, size, "%s%s", stem, ending);
    for (int k = 2; k <= TRIES; k++) {
        snprintf(path, sizeof path, "%s/%s", folder, name);
        if (lstat(path, &there) != 0)
            return;
        snprintf(name, size, "%s-%d%s", stem, k, ending);
    }
}

static bool refuse(char why[FILING_WHY], const char *words)
{
    snprintf(why, FILING_WHY, "%s", words);
    return false;
}

bool filing_leads(char path[DOCUMENT_PATH_SIZE], char why[FILING_WHY], const rv_document *doc, rv_errand what,
                  const char *folder, const char *typed)
{
    struct stat there;
    rn_error err = {0};
    const bool writes = what != ERRAND_OPEN, beside = writes && typed[0] != '/', picture = what == ERRAND_PICTURE;
    const char *name = name_in(typed);
    const char *ending = writes && !picture && name[0] && !strchr(name, '.') ? PLAN_ENDING : "";
    const int length =
        snprintf(path, DOCUMENT_PATH_SIZE, "%s%s%s%s", beside ? folder : "", beside ? "/" : "", typed, ending);
    if (length >= DOCUMENT_PATH_SIZE)
        return refuse(why, "The name is too long.");
    if (!typed[0])
        return refuse(why, writes ? "Type a name." : "Type where the file is.");
    if (writes && (!name[0] || (stat(path, &there) == 0 && S_ISDIR(there.st_mode))))
        return refuse(why, "That is a folder: add a name.");
    if (picture && document_is_at(doc, path))
        return refuse(why, "That is the plan itself: a picture needs a file of its own.");
    if (picture && rn_figure_check_path(name, &err) != RN_OK)
        return refuse(why, "A picture's name ends in .png, .pdf or .svg.");
    return true;
}

bool filing_replaces(const rv_document *doc, rv_errand what, const char *path)
{
    struct stat there;
    return what != ERRAND_OPEN && stat(path, &there) == 0 && S_ISREG(there.st_mode) && !document_is_at(doc, path);
}

#include "cli/outputs.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "cli/claims.h"
#include "show/animation.h"
#include "show/figure.h"

static rn_status add_output(rn_outputs *all, rn_output_kind kind, const char *by, const char *folder, const char *name,
                            rn_error *err)
{
    rn_output *added = &all->list[all->count];
    const int length =
        snprintf(added->path, sizeof added->path, "%s%s%s", folder ? folder : "", folder ? "/" : "", name);
    if (length < 0 || (size_t)length >= sizeof added->path)
        return rn_fail(err, RN_E_FILE, "the path '%.60s...' is too long", folder ? folder : name);
    added->kind = kind;
    added->by = by;
    all->count++;
    return RN_OK;
}

/* A cut that is asked for but has no name of its own. */
static const char *cut_path(const rn_arguments *arguments)
{
    if (arguments->cut || !arguments->section[0] || (arguments->folder && arguments->layers))
        return arguments->cut;
    return "section.png";
}

rn_status rn_outputs_list(rn_outputs *all, const rn_arguments *arguments, rn_error *err)
{
    static const char *const names[RN_OUTPUT_KINDS] = {
        "forecast.txt", "forecast.json", "series.csv",  "field.npy", "picture.png", "face.png",
        "section.png",  "design.png",    "moments.png", NULL,        NULL};
    const char *const files[RN_OUTPUT_KINDS] = {NULL,
                                                NULL,
                                                arguments->series,
                                                arguments->field,
                                                arguments->picture,
                                                arguments->face,
                                                cut_path(arguments),
                                                arguments->design,
                                                arguments->moments,
                                                arguments->animation,
                                                arguments->frames};
    const rn_output_kind last = arguments->layers ? RN_OUTPUT_MOMENTS : RN_OUTPUT_PICTURE; /* that a folder gets */
    int standard = arguments->json ? 1 : 0;
    rn_status status = RN_OK;

    if (arguments->folder && strcmp(arguments->folder, "-") == 0)
        return rn_fail(err, RN_E_USAGE, "'--out' wants a folder; to standard output goes one file, as in --series -");
    for (rn_output_kind kind = RN_OUTPUT_REPORT; kind < RN_OUTPUT_KINDS && status == RN_OK; kind++) {
        if (files[kind] && strcmp(files[kind], "-") == 0)
            standard++;
        if (files[kind])
            status = add_output(all, kind, kind == RN_OUTPUT_CUT && !arguments->cut ? "section" : NULL, NULL,
                                files[kind], err);
        if (arguments->folder && kind <= last && status == RN_OK)
            status = add_output(all, kind, "out", arguments->folder, names[kind], err);
    }
    if (status == RN_OK && standard > 1)
        return rn_fail(err, RN_E_USAGE, "only one of --json and the files named - can have standard output");
    if (status == RN_OK && arguments->json)
        status = add_output(all, RN_OUTPUT_OBJECT, NULL, NULL, "-", err);
    else if (status == RN_OK && standard == 0 && !arguments->quiet)
        status = add_output(all, RN_OUTPUT_REPORT, NULL, NULL, "-", err);
    return status;
}

rn_status rn_outputs_claim(rn_claims *claims, const rn_command *command, const rn_arguments *arguments, rn_error *err)
{
    (void)command;
    rn_outputs *all = calloc(1, sizeof *all);
    rn_status status = all ? rn_outputs_list(all, arguments, err) : rn_fail(err, RN_E_MEMORY, "no memory left");
    for (int i = 0; all && i < all->count && status == RN_OK; i++)
        if (all->list[i].by)
            status = rn_claims_add(claims, all->list[i].by, all->list[i].path, err);
    free(all);
    return status;
}

/* Makes a folder and those it lies in. */
static rn_status make_folder(const char *path, rn_error *err)
{
    char part[RN_PATH_SIZE];
    struct stat what;
    const size_t length = strlen(path);
    if (length >= sizeof part)
        return rn_fail(err, RN_E_FILE, "the path '%.60s...' is too long", path);
    for (size_t i = 1; i <= length; i++) {
        if (path[i] != '/' && path[i] != '\0')
            continue;
        memcpy(part, path, i);
        part[i] = '\0';
        if (mkdir(part, 0777) != 0 && errno != EEXIST)
            return rn_fail(err, RN_E_FILE, "the folder '%.200s' cannot be made: %s", part, strerror(errno));
    }
    if (stat(path, &what) != 0 || !S_ISDIR(what.st_mode))
        return rn_fail(err, RN_E_FILE, "'%.200s' is there already and is no folder", path);
    return RN_OK;
}

static rn_status try_frames(const char *folder, rn_error *err)
{
    rn_animation *animation = NULL;
    const rn_status status = rn_animation_open_folder(&animation, folder, err);
    rn_animation_abandon(animation);
    return status;
}

rn_status rn_outputs_try(const rn_outputs *all, const char *folder, rn_error *err)
{
    const rn_status made = folder ? make_folder(folder, err) : RN_OK;
    if (made)
        return made;
    for (int i = 0; i < all->count; i++) {
        rn_status status = RN_OK;
        if (all->list[i].kind == RN_OUTPUT_FRAMES) {
            status = try_frames(all->list[i].path, err);
            if (status)
                return status;
            continue;
        }
        if (all->list[i].kind == RN_OUTPUT_PICTURE || all->list[i].kind == RN_OUTPUT_CUT ||
            all->list[i].kind == RN_OUTPUT_DESIGN)
            status = rn_figure_check_path(all->list[i].path, err);
        if (status == RN_OK)
            status = rn_file_try(all->list[i].path, err);
        if (status)
            return status;
    }
    return RN_OK;
}

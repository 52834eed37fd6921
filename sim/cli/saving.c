#define _XOPEN_SOURCE 700 /* fileno */

#include "cli/saving.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/file_place.h"
#include "base/text.h"

static bool is_plan_read(const rn_arguments *arguments)
{
    rn_file_place save, plan;
    const char *read = arguments->operands[0];
    const bool there = strcmp(read, "-") == 0 ? rn_file_place_of(&plan, STDIN_FILENO) : rn_file_place_find(&plan, read);
    return arguments->replace && there && rn_file_place_find(&save, arguments->save) &&
           rn_file_place_same(&save, &plan);
}

static rn_status copy(const char *to, FILE *from, rn_error *err)
{
    char bytes[16384];
    rn_file file;
    struct stat what;
    rn_status status = rn_file_open(&file, to, NULL, err);
    if (status)
        return status;
    if (fstat(fileno(from), &what) == 0)
        rn_file_rights(&file, what.st_mode);
    for (size_t size; (size = fread(bytes, 1, sizeof bytes, from)) > 0;)
        fwrite(bytes, 1, size, file.stream);
    if (!ferror(from))
        return rn_file_close(&file, err);
    rn_file_abandon(&file);
    return rn_fail(err, RN_E_FILE, "the plan that was to be kept as %s cannot be read", to);
}

/* As it is now: a search takes its time, and the plan may have been changed since it was read. */
static rn_status keep(const char *path, const char *command, FILE *words, rn_error *err)
{
    char beside[RN_PATH_SIZE + 1], shown[RN_PATH_SIZE];
    FILE *now = fopen(path, "rb");
    if (!now)
        return errno == ENOENT ? RN_OK : rn_fail(err, RN_E_FILE, "%s cannot be read: %s", path, strerror(errno));
    snprintf(beside, sizeof beside, "%s~", path);
    const rn_status status = copy(beside, now, err);
    fclose(now);
    if (status == RN_OK)
        fprintf(words, "runnel %s: what the plan held is kept as %s\n", command,
                rn_text_show(shown, sizeof shown, beside));
    return status;
}

rn_status rn_saving_write(const rn_plan *plan, const char *command, const rn_arguments *arguments, rn_streams streams,
                          rn_error *err)
{
    const rn_status status = is_plan_read(arguments) ? keep(arguments->save, command, streams.err, err) : RN_OK;
    return status ? status : rn_plan_write_file(arguments->save, streams.out, plan, err);
}

/* Files are there whole or not at all. */
#define _XOPEN_SOURCE 700 /* mkdtemp, symlink, P_tmpdir */

#include "check.h"

#include <dirent.h>
#include <errno.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"

static char folder[512];

static const char *path_of(const char *name)
{
    static char paths[4][1024];
    static int next;
    char *path = paths[next++ % 4];
    snprintf(path, sizeof paths[0], "%s/%s", folder, name);
    return path;
}

static int make_folder(void **state)
{
    (void)state;
    const char *where = getenv("TMPDIR");
    snprintf(folder, sizeof folder, "%s/runnel-test-XXXXXX", where ? where : P_tmpdir);
    return mkdtemp(folder) ? 0 : -1;
}

static int entries(bool remove)
{
    DIR *list = opendir(folder);
    int count = 0;
    for (struct dirent *entry; list && (entry = readdir(list)) != NULL;)
        if (entry->d_name[0] != '.') {
            count++;
            if (remove)
                unlink(path_of(entry->d_name));
        }
    closedir(list);
    return count;
}

static int remove_folder(void **state)
{
    (void)state;
    entries(true);
    return rmdir(folder);
}

static void write_text(const char *path, const char *text)
{
    rn_file file;
    rn_error err = {0};
    check_ok(rn_file_open(&file, path, stdout, &err), &err);
    fputs(text, file.stream);
    check_ok(rn_file_close(&file, &err), &err);
}

static void assert_holds(const char *path, const char *text)
{
    char found[200] = "";
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    found[fread(found, 1, sizeof found - 1, file)] = 0;
    fclose(file);
    assert_string_equal(found, text);
}

static void the_old_text_stays_until_the_new_is_whole(void **state)
{
    (void)state;
    const char *path = path_of("tide.txt");
    rn_file file;
    rn_error err = {0};
    write_text(path, "ebb\n");
    assert_holds(path, "ebb\n");
    check_ok(rn_file_open(&file, path, stdout, &err), &err);
    fputs("flo", file.stream);
    fflush(file.stream);
    assert_holds(path, "ebb\n");
    fputs("od\n", file.stream);
    check_ok(rn_file_close(&file, &err), &err);
    assert_holds(path, "flood\n");
    assert_int_equal(entries(true), 1);
}

static void what_is_abandoned_leaves_nothing(void **state)
{
    (void)state;
    rn_file file;
    rn_error err = {0};
    write_text(path_of("kept"), "ebb\n");
    static const char *const names[] = {"kept", "new"};
    for (int i = 0; i < 2; i++) {
        check_ok(rn_file_open(&file, path_of(names[i]), stdout, &err), &err);
        fputs("half", file.stream);
        rn_file_abandon(&file);
    }
    assert_holds(path_of("kept"), "ebb\n");
    assert_int_equal(entries(true), 1);
}

static void links_and_rights_are_kept(void **state)
{
    (void)state;
    struct stat info;
    write_text(path_of("real"), "one");
    assert_int_equal(chmod(path_of("real"), 0640), 0);
    assert_int_equal(symlink("real", path_of("link")), 0);
    write_text(path_of("link"), "two");
    assert_int_equal(lstat(path_of("link"), &info), 0);
    assert_true(S_ISLNK(info.st_mode));
    assert_holds(path_of("real"), "two");
    assert_int_equal(stat(path_of("real"), &info), 0);
    assert_int_equal(info.st_mode & 07777, 0640);
    assert_int_equal(entries(true), 2);
}

static void a_new_file_has_the_rights_of_any_new_file(void **state)
{
    (void)state;
    struct stat info;
    const mode_t mask = umask(027);
    write_text(path_of("new"), "x");
    umask(mask);
    assert_int_equal(stat(path_of("new"), &info), 0);
    assert_int_equal(info.st_mode & 07777, 0640);
    entries(true);
}

static void check_refused(const char *path, int reason)
{
    rn_file file;
    rn_error err = {0};
    check_status(rn_file_open(&file, path, stdout, &err), RN_E_FILE, &err);
    assert_string_equal(err.file, path);
    assert_non_null(strstr(err.message, strerror(reason)));
    assert_int_equal(entries(false), 0);
}

static void errors_name_the_file_and_the_reason(void **state)
{
    (void)state;
    check_refused(path_of("nowhere/tide.txt"), ENOENT);
    check_refused(folder, EISDIR);
    char name[400];
    memset(name, 'a', sizeof name - 1);
    name[sizeof name - 1] = 0;
    check_refused(path_of(name), ENAMETOOLONG);
    rn_file file;
    rn_error err = {0};
    check_status(rn_file_open(&file, "", stdout, &err), RN_E_FILE, &err);
}

static void a_full_disk_is_told(void **state)
{
    (void)state;
    const char *full = "/dev/full"; /* Linux: every write fails */
    struct stat info;
    if (stat(full, &info) != 0)
        skip();
    static const int lengths[] = {1, 100000}; /* the second is more than a stream holds back until it is closed */
    for (int i = 0; i < 2; i++) {
        rn_file file;
        rn_error err = {0};
        check_ok(rn_file_open(&file, full, stdout, &err), &err);
        for (int k = 0; k < lengths[i]; k++)
            fputs("tide", file.stream);
        errno = EPERM; /* of something else since */
        check_status(rn_file_close(&file, &err), RN_E_FILE, &err);
        assert_string_equal(err.file, full);
        assert_non_null(strstr(err.message, strerror(ENOSPC)));
    }
}

/* The same of a file with a name: nothing is left of it. */
static void what_does_not_fit_leaves_nothing(void **state)
{
    (void)state;
    struct rlimit before, little;
    rn_file file;
    rn_error err = {0};
    write_text(path_of("kept"), "ebb\n");
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    little = (struct rlimit){.rlim_cur = 20000, .rlim_max = before.rlim_max};
    void (*action)(int) = signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &little), 0);
    check_ok(rn_file_open(&file, path_of("kept"), stdout, &err), &err);
    for (int k = 0; k < 100000; k++)
        fputs("tide", file.stream);
    const rn_status status = rn_file_close(&file, &err);
    setrlimit(RLIMIT_FSIZE, &before);
    signal(SIGXFSZ, action);
    check_status(status, RN_E_FILE, &err);
    assert_non_null(strstr(err.message, strerror(EFBIG)));
    assert_holds(path_of("kept"), "ebb\n");
    assert_int_equal(entries(true), 1);
}

static void a_try_leaves_nothing(void **state)
{
    (void)state;
    rn_error err = {0};
    write_text(path_of("kept"), "ebb\n");
    check_ok(rn_file_try(path_of("kept"), &err), &err);
    check_ok(rn_file_try(path_of("new"), &err), &err);
    check_ok(rn_file_try("-", &err), &err);
    check_ok(rn_file_try("/dev/null", &err), &err);
    assert_holds(path_of("kept"), "ebb\n");
    assert_int_equal(mkfifo(path_of("pipe"), 0600), 0);
    check_ok(rn_file_try(path_of("pipe"), &err), &err); /* and waits for no reader */
    assert_int_equal(entries(true), 2);
    check_status(rn_file_try(path_of("nowhere/tide.txt"), &err), RN_E_FILE, &err);
    assert_non_null(strstr(err.message, strerror(ENOENT)));
    assert_non_null(strstr(err.file, "nowhere/tide.txt"));
    err = (rn_error){0};
    check_status(rn_file_try(folder, &err), RN_E_FILE, &err);
    assert_non_null(strstr(err.message, strerror(EISDIR)));
}

static void a_dash_is_the_standard_output(void **state)
{
    (void)state;
    char *text = NULL;
    size_t size = 0;
    FILE *standard = open_memstream(&text, &size);
    rn_file file;
    rn_error err = {0};
    assert_non_null(standard);
    check_ok(rn_file_open(&file, "-", standard, &err), &err);
    fputs("half of it", file.stream);
    rn_file_abandon(&file);
    fflush(standard);
    assert_int_equal(size, 0);
    check_ok(rn_file_open(&file, "-", standard, &err), &err);
    fputs("all of it", file.stream);
    check_ok(rn_file_close(&file, &err), &err);
    fclose(standard);
    assert_string_equal(text, "all of it");
    free(text);
    assert_int_equal(entries(false), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_old_text_stays_until_the_new_is_whole),
        cmocka_unit_test(what_is_abandoned_leaves_nothing),
        cmocka_unit_test(links_and_rights_are_kept),
        cmocka_unit_test(a_new_file_has_the_rights_of_any_new_file),
        cmocka_unit_test(errors_name_the_file_and_the_reason),
        cmocka_unit_test(a_full_disk_is_told),
        cmocka_unit_test(what_does_not_fit_leaves_nothing),
        cmocka_unit_test(a_try_leaves_nothing),
        cmocka_unit_test(a_dash_is_the_standard_output),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}

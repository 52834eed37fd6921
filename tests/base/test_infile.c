/* Files that are read: none keeps the program waiting, and what others could put in a file's place is told apart. */
#define _XOPEN_SOURCE 700 /* mkdtemp, symlink, P_tmpdir */

#include "check.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/infile.h"

static char folder[512], file[600], link_to[600], fifo[600];

static int make(void **state)
{
    (void)state;
    const char *where = getenv("TMPDIR");
    snprintf(folder, sizeof folder, "%s/runnel-test-XXXXXX", where ? where : P_tmpdir);
    if (!mkdtemp(folder))
        return -1;
    snprintf(file, sizeof file, "%s/file", folder);
    snprintf(link_to, sizeof link_to, "%s/link", folder);
    snprintf(fifo, sizeof fifo, "%s/fifo", folder);
    FILE *out = fopen(file, "w");
    fputs("sand", out);
    fclose(out);
    return symlink(file, link_to) || mkfifo(fifo, 0600);
}

static int clear(void **state)
{
    (void)state;
    unlink(file);
    unlink(link_to);
    unlink(fifo);
    return rmdir(folder);
}

static void check_reads(FILE *in, const char *words)
{
    char text[20] = "";
    assert_non_null(in);
    text[fread(text, 1, sizeof text - 1, in)] = '\0';
    assert_string_equal(text, words);
    fclose(in);
}

static void what_a_person_names(void **state)
{
    (void)state;
    const char *why = NULL;
    check_reads(rn_infile_open(&why, file), "sand");
    check_reads(rn_infile_open(&why, link_to), "sand");
    check_reads(rn_infile_open(&why, "/dev/null"), "");
    assert_null(rn_infile_open(&why, fifo)); /* nobody writes to it: opened as a file it would wait for ever */
    assert_string_equal(why, "this is a pipe, not a file; '-' reads what is piped in");
    assert_null(rn_infile_open(&why, "/nowhere/at/all"));
    assert_string_equal(why, "No such file or directory");
}

/* As a shell hands one over in place of a file; what is not there yet is waited for. */
static void a_pipe_that_is_handed_over(void **state)
{
    (void)state;
    int ends[2];
    char path[40];
    const char *why = NULL;
    assert_int_equal(pipe(ends), 0);
    snprintf(path, sizeof path, "/dev/fd/%d", ends[0]);
    FILE *in = rn_infile_open(&why, path);
    assert_non_null(in);
    if (fork() == 0) {
        nanosleep(&(struct timespec){.tv_nsec = 20000000}, NULL);
        _exit(write(ends[1], "shell", 5) == 5 ? 0 : 1);
    }
    close(ends[1]);
    check_reads(in, "shell");
    close(ends[0]);
}

static void what_the_program_keeps(void **state)
{
    (void)state;
    check_reads(rn_infile_open_kept(file), "sand");
    assert_null(rn_infile_open_kept(link_to));
    assert_null(rn_infile_open_kept(fifo));
    assert_null(rn_infile_open_kept("/dev/null"));
    assert_null(rn_infile_open_kept(folder));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_a_person_names),
        cmocka_unit_test(a_pipe_that_is_handed_over),
        cmocka_unit_test(what_the_program_keeps),
    };
    return cmocka_run_group_tests(tests, make, clear);
}

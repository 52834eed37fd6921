/* The plan on the bench: undo, joined changes, files that are written whole or not at all. */
#define _XOPEN_SOURCE 700

#include "check.h"

#include <dirent.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "document.h"
#include "edit.h"

#define PRESET "presets/small-study.yaml"

static char *text_of(const rn_plan *plan)
{
    char *text = NULL;
    rn_error err = {0};
    check_ok(rn_plan_write(&text, plan, &err), &err);
    return text;
}

static bool says(const rv_document *doc, const char *text)
{
    char *now = text_of(document_plan(doc));
    const bool same = strcmp(now, text) == 0;
    free(now);
    return same;
}

static rv_document *opened(const char *path)
{
    rv_document *doc = document_new();
    rn_error err = {0};
    assert_non_null(doc);
    check_ok(document_open(doc, path, &err), &err);
    return doc;
}

static void set_end(rv_document *doc, double end, const char *what, bool join)
{
    rn_error err = {0};
    rn_plan *draft = document_draft(doc);
    draft->end_given = true;
    draft->end = end;
    check_ok(document_commit(doc, draft, what, join, &err), &err);
}

static void every_change_can_be_undone_and_done_again(void **state)
{
    (void)state;
    rv_document *doc = opened(PRESET);
    char *texts[DOCUMENT_UNDO + 1];
    long version = document_version(doc);
    texts[0] = text_of(document_plan(doc));
    for (int k = 0; k < DOCUMENT_UNDO; k++) {
        char what[32];
        snprintf(what, sizeof what, "end %d", k);
        set_end(doc, 1000 + k, what, false);
        assert_true(document_version(doc) > version);
        version = document_version(doc);
        texts[k + 1] = text_of(document_plan(doc));
        assert_string_equal(document_undo_what(doc), what);
    }
    assert_true(DOCUMENT_UNDO >= 200);
    assert_int_equal(document_undo_depth(doc), DOCUMENT_UNDO);
    for (int k = DOCUMENT_UNDO - 1; k >= 0; k--) {
        char what[32];
        snprintf(what, sizeof what, "end %d", k);
        assert_true(document_undo(doc));
        assert_true(document_version(doc) > version);
        version = document_version(doc);
        assert_true(says(doc, texts[k]));
        assert_string_equal(document_redo_what(doc), what);
    }
    assert_false(document_undo(doc));
    assert_null(document_undo_what(doc));
    assert_false(document_changed(doc)); /* back at what is in the file */
    for (int k = 1; k <= DOCUMENT_UNDO; k++) {
        assert_true(document_redo(doc));
        assert_true(says(doc, texts[k]));
    }
    assert_false(document_redo(doc));
    assert_true(document_changed(doc));

    set_end(doc, 5000, "one more", false); /* the oldest is let go */
    assert_int_equal(document_undo_depth(doc), DOCUMENT_UNDO);
    while (document_undo(doc)) {
    }
    assert_true(says(doc, texts[1]));
    for (int k = 0; k <= DOCUMENT_UNDO; k++)
        free(texts[k]);
    document_free(doc);
}

static void a_new_change_forgets_what_was_undone(void **state)
{
    (void)state;
    rv_document *doc = opened(PRESET);
    set_end(doc, 1001, "end", false);
    set_end(doc, 1002, "end", false);
    document_undo(doc);
    set_end(doc, 1003, "end", false);
    assert_false(document_redo(doc));
    document_undo(doc);
    check_within(document_plan(doc)->end, 1001, 0);
    document_free(doc);
}

static void a_drag_is_undone_in_one(void **state)
{
    (void)state;
    rv_document *doc = opened(PRESET);
    char *before = text_of(document_plan(doc));
    for (int k = 0; k < 20; k++)
        set_end(doc, 1000 + k, "drag", k > 0);
    assert_int_equal(document_undo_depth(doc), 1);
    for (int k = 0; k < 20; k++)
        set_end(doc, 1100 + k, "other", true); /* another change, although it asks to be joined */
    assert_int_equal(document_undo_depth(doc), 2);
    document_undo(doc);
    check_within(document_plan(doc)->end, 1019, 0);
    document_redo(doc);
    set_end(doc, 1200, "other", true); /* what was redone is done with */
    assert_int_equal(document_undo_depth(doc), 3);
    document_undo(doc);
    document_undo(doc);
    document_undo(doc);
    assert_true(says(doc, before));
    free(before);
    document_free(doc);
}

static void a_drag_that_ends_where_it_began_is_no_change(void **state)
{
    (void)state;
    rv_document *doc = opened(PRESET);
    set_end(doc, 1000, "drag", false);
    const long version = document_version(doc);
    set_end(doc, 1001, "drag", false);
    set_end(doc, 1002, "drag", true);
    set_end(doc, 1000, "drag", true);
    assert_true(document_version(doc) > version); /* what was shown of 1002 s is old */
    assert_int_equal(document_undo_depth(doc), 1);
    set_end(doc, 1003, "drag", true); /* and on: not part of the drag before */
    set_end(doc, 1004, "drag", true);
    assert_int_equal(document_undo_depth(doc), 2);
    document_undo(doc);
    check_within(document_plan(doc)->end, 1000, 0);
    document_free(doc);
}

static void a_draft_that_says_the_same_is_no_change(void **state)
{
    (void)state;
    rv_document *doc = opened(PRESET);
    rn_error err = {0};
    const long version = document_version(doc);
    check_ok(document_commit(doc, document_draft(doc), "nothing", false, &err), &err);
    assert_true(document_version(doc) == version);
    assert_int_equal(document_undo_depth(doc), 0);
    assert_false(document_changed(doc));
    document_free(doc);
}

static void what_cannot_be_poured_is_refused(void **state)
{
    (void)state;
    rv_document *doc = opened(PRESET);
    rn_error err = {0};
    char *before = text_of(document_plan(doc));
    const long version = document_version(doc);
    rn_plan *draft = document_draft(doc);
    assert_true(draft->pour_count > 0);
    draft->pours[0].across = 2 * draft->panel.width;
    check_status(document_commit(doc, draft, "ring", false, &err), RN_E_PLAN, &err);
    assert_true(err.message[0] != '\0');
    assert_true(says(doc, before));
    assert_true(document_version(doc) == version);
    assert_int_equal(document_undo_depth(doc), 0);
    free(before);
    document_free(doc);
}

/* The end that follows from the last event is brought up to date. */
static void drafts_are_settled(void **state)
{
    (void)state;
    rv_document *doc = document_new();
    rn_error err = {0};
    rn_plan *draft = document_draft(doc);
    draft->moves[draft->move_count++] =
        (rn_move){.kind = RN_MOVE_TURN, .start = 100, .duration = 23, .amount = 0.5, .ramp = 1};
    check_ok(document_commit(doc, draft, "turn", false, &err), &err);
    check_within(document_plan(doc)->end, 183, 0); /* 60 s after the last event */
    document_free(doc);
}

/* ---- files ---- */

static void make_folder(char folder[64])
{
    strcpy(folder, "/tmp/runnel-desk-XXXXXX");
    assert_non_null(mkdtemp(folder));
}

static int entries_in(const char *folder)
{
    int count = 0;
    DIR *entries = opendir(folder);
    assert_non_null(entries);
    while (readdir(entries))
        count++;
    closedir(entries);
    return count - 2;
}

static void what_is_saved_is_opened_again(void **state)
{
    (void)state;
    char folder[64], path[128];
    rn_error err = {0};
    make_folder(folder);
    snprintf(path, sizeof path, "%s/a plan.yaml", folder);
    rv_document *doc = opened(PRESET), *other = document_new();
    set_end(doc, 1234.5, "end", false);
    assert_true(document_changed(doc));
    check_ok(document_save(doc, path, &err), &err);
    assert_false(document_changed(doc));
    assert_string_equal(document_path(doc), path);
    assert_int_equal(document_undo_depth(doc), 1);
    document_undo(doc);
    assert_true(document_changed(doc));
    document_redo(doc);
    assert_false(document_changed(doc));
    check_ok(document_save(doc, NULL, &err), &err);
    assert_int_equal(entries_in(folder), 1);

    check_ok(document_open(other, path, &err), &err);
    char *text = text_of(document_plan(doc));
    assert_true(says(other, text));
    assert_false(document_changed(other));
    free(text);
    document_free(doc);
    document_free(other);
    unlink(path);
    rmdir(folder);
}

/* Jars without a release, moves without a jar: a bench can be left at any time. */
static void a_plan_that_is_being_made_is_saved_and_opened(void **state)
{
    (void)state;
    char folder[64], path[128];
    rn_error err = {0};
    make_folder(folder);
    snprintf(path, sizeof path, "%s/begun.yaml", folder);
    rv_document *doc = document_new(), *other = document_new();
    for (int step = 0; step < 3; step++) {
        rn_plan *draft = document_draft(doc);
        if (step == 1)
            assert_true(edit_add_move(draft, RN_MOVE_TILT, 3, 8) >= 0);
        if (step == 2) {
            assert_true(edit_add_jar(draft) >= 0);
            assert_true(edit_add_jar(draft) >= 0);
        }
        check_ok(document_commit(doc, draft, "step", false, &err), &err);
        check_ok(document_save(doc, path, &err), &err);
        check_ok(document_open(other, path, &err), &err);
        char *text = text_of(document_plan(doc));
        assert_true(says(other, text));
        free(text);
        assert_false(edit_pourable(document_plan(other)));
    }
    assert_int_equal(document_plan(other)->paint_count, 2);
    document_free(doc);
    document_free(other);
    unlink(path);
    rmdir(folder);
}

static void a_broken_file_leaves_the_bench_as_it_is(void **state)
{
    (void)state;
    rv_document *doc = opened(PRESET);
    rn_error err = {0};
    char folder[64], path[128], *before = text_of(document_plan(doc));
    make_folder(folder);
    snprintf(path, sizeof path, "%s/broken.yaml", folder);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs("plan: 1\npanel: {size: 30 cm x 30 cm}\npaints: {slate: {viscosity: -1 Pa s}}\n", file);
    fclose(file);
    check_status(document_open(doc, path, &err), RN_E_PLAN, &err);
    assert_int_equal(err.line, 3);
    err = (rn_error){0};
    check_status(document_open(doc, "/nowhere/at/all.yaml", &err), RN_E_FILE, &err);
    err = (rn_error){0};
    check_status(document_open(doc, "-", &err), RN_E_FILE, &err); /* a window does not wait for a terminal */
    assert_true(says(doc, before));
    assert_string_equal(document_path(doc), PRESET);
    free(before);
    document_free(doc);
    unlink(path);
    rmdir(folder);
}

static void not_saved(rv_document *doc, const char *path, const char *why)
{
    rn_error err = {0};
    char kept[DOCUMENT_PATH_SIZE];
    snprintf(kept, sizeof kept, "%s", document_path(doc));
    check_status(document_save(doc, path, &err), RN_E_FILE, &err);
    if (why)
        assert_string_equal(err.message, why);
    assert_true(document_changed(doc));
    assert_string_equal(document_path(doc), kept);
}

static void what_was_not_saved_says_why(void **state)
{
    (void)state;
    rv_document *doc = opened(PRESET);
    char folder[64], path[128];
    set_end(doc, 1234, "end", false);
    make_folder(folder);
    not_saved(doc, "/dev/full", "the disk is full");
    not_saved(doc, folder, "that is a folder");
    not_saved(doc, "-", NULL);
    not_saved(doc, "", NULL);
    snprintf(path, sizeof path, "%s/missing/plan.yaml", folder);
    not_saved(doc, path, "there is no such folder");
    snprintf(path, sizeof path, "%s/file", folder);
    fclose(fopen(path, "w"));
    snprintf(path, sizeof path, "%s/file/plan.yaml", folder);
    not_saved(doc, path, "a part of the path is no folder");
    snprintf(path, sizeof path, "%s/file", folder);
    unlink(path);
    if (geteuid() != 0) { /* root may write anywhere */
        chmod(folder, 0500);
        not_saved(doc, path, "you may not write there");
        chmod(folder, 0700);
    }
    assert_int_equal(entries_in(folder), 0);
    document_free(doc);
    rmdir(folder);
}

/* A disk that takes no more bytes in the middle of a file. */
static void an_older_file_stays_whole_if_the_new_one_cannot_be_written(void **state)
{
    (void)state;
    rv_document *doc = opened(PRESET);
    char folder[64], path[128];
    rn_error err = {0};
    make_folder(folder);
    snprintf(path, sizeof path, "%s/plan.yaml", folder);
    check_ok(document_save(doc, path, &err), &err);
    char *before = text_of(document_plan(doc));
    set_end(doc, 1234, "end", false);

    struct rlimit limit, small;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
    small = limit;
    small.rlim_cur = 100;
    void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    const rn_status status = document_save(doc, NULL, &err);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
    signal(SIGXFSZ, handler);

    check_status(status, RN_E_FILE, &err);
    assert_string_equal(err.message, "the file would be larger than it may be");
    assert_true(document_changed(doc));
    assert_int_equal(entries_in(folder), 1);
    rv_document *other = opened(path);
    assert_true(says(other, before));
    check_ok(document_save(doc, NULL, &(rn_error){0}), NULL); /* and once there is room */
    free(before);
    document_free(doc);
    document_free(other);
    unlink(path);
    rmdir(folder);
}

static void names(void **state)
{
    (void)state;
    rv_document *doc = document_new();
    rn_error err = {0};
    assert_string_equal(document_name(doc), "New plan");
    assert_false(document_changed(doc));
    assert_false(edit_pourable(document_plan(doc)));
    rn_plan *plan = NULL;
    check_ok(rn_plan_read_file(&plan, PRESET, &err), &err);
    plan->title[0] = '\0';
    document_put(doc, plan, "/somewhere/ebb.yaml", true);
    assert_string_equal(document_name(doc), "ebb.yaml");
    assert_true(document_changed(doc));
    assert_true(edit_pourable(document_plan(doc)));
    rn_plan *draft = document_draft(doc);
    strcpy(draft->title, "Ebb");
    check_ok(document_commit(doc, draft, "title", false, &err), &err);
    assert_string_equal(document_name(doc), "Ebb");
    document_free(doc);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_change_can_be_undone_and_done_again),
        cmocka_unit_test(a_new_change_forgets_what_was_undone),
        cmocka_unit_test(a_drag_is_undone_in_one),
        cmocka_unit_test(a_drag_that_ends_where_it_began_is_no_change),
        cmocka_unit_test(a_draft_that_says_the_same_is_no_change),
        cmocka_unit_test(what_cannot_be_poured_is_refused),
        cmocka_unit_test(drafts_are_settled),
        cmocka_unit_test(what_is_saved_is_opened_again),
        cmocka_unit_test(a_plan_that_is_being_made_is_saved_and_opened),
        cmocka_unit_test(a_broken_file_leaves_the_bench_as_it_is),
        cmocka_unit_test(what_was_not_saved_says_why),
        cmocka_unit_test(an_older_file_stays_whole_if_the_new_one_cannot_be_written),
        cmocka_unit_test(names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

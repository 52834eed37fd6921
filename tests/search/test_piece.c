/* Pieces of a study: written and read to the last bit, put together only where they fit, refused where they are damaged. */
#include "check.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "search/piece.h"

#define RUNS 11

static char folder[] = "/tmp/runnel-piece-XXXXXX";
static char paths[RUNS][80];

static int make_folder(void **state)
{
    (void)state;
    if (!mkdtemp(folder))
        return -1;
    for (int k = 0; k < RUNS; k++)
        snprintf(paths[k], sizeof paths[k], "%s/%d.piece", folder, k + 1);
    return 0;
}

static int remove_folder(void **state)
{
    (void)state;
    for (int k = 0; k < RUNS; k++)
        unlink(paths[k]);
    return rmdir(folder);
}

/* Runs with outcomes of odd bits, the fourth without a plan. */
static rn_batch make_batch(double first)
{
    rn_error err = {0};
    rn_batch batch = {0};
    for (int i = 0; i < RUNS; i++) {
        rn_plan *plan = NULL;
        if (i == 3) {
            check_ok(rn_batch_add_none(&batch, "a tilt of 91 deg is too steep", &err), &err);
            continue;
        }
        check_ok(rn_plan_read_file(&plan, "tests/plans/smallest.yaml", &err), &err);
        plan->cover = 1e-4 * (1 + i);
        check_ok(rn_batch_add(&batch, plan, 64, false, &err), &err);
        rn_grid grid;
        check_ok(rn_grid_make(&grid, plan->panel.width, plan->panel.height, 64, &err), &err);
        const double poured = rn_plan_poured_all(plan), mean = poured / rn_panel_area(&plan->panel);
        batch.runs[i].outcome = (rn_outcome){.state = RN_OUTCOME_WHOLE,
                                             .nx = grid.nx,
                                             .ny = grid.ny,
                                             .duration = plan->end,
                                             .cover = plan->cover,
                                             .coverage = first / (i + 3),
                                             .best_coverage = 1,
                                             .covered_at = i % 2 ? NAN : 1.0 / 3 + i,
                                             .poured = poured,
                                             .on_panel = poured,
                                             .mean = mean,
                                             .deepest = mean,
                                             .run_off = 1e-310 * i, /* not normal */
                                             .side_coverage = NAN,
                                             .stretch = NAN,
                                             .twist = -0.0};
    }
    return batch;
}

static const rn_studied *what(void)
{
    static char *words[] = {"--goal", "run-off=at most 3 ml \"or so\"\n", "--draws", "11"};
    static rn_studied studied = {.command = "odds",
                                 .word_count = 4,
                                 .words = words,
                                 .plan_name = "plans/sl\xc3\xa4tt.yaml",
                                 .plan = "plan: 1\nshare 1 of 2\nruns 3\n",
                                 .plan_size = 28};
    return &studied;
}

static void write_all(const rn_batch *batch, int shares)
{
    rn_error err = {0};
    for (int k = 0; k < shares; k++)
        check_ok(rn_piece_write(paths[k], NULL, what(), batch, k, shares, &err), &err);
}

static int read_all(rn_piece *pieces, int count, rn_error *err)
{
    for (int k = 0; k < count; k++) {
        const rn_status status = rn_piece_read(&pieces[k], paths[k], err);
        if (status)
            return status;
    }
    return RN_OK;
}

static void clear_all(rn_piece *pieces, int count)
{
    for (int k = 0; k < count; k++)
        rn_piece_clear(&pieces[k]);
}

/* A number that is none, or none of this plan, is named with its line. */
static void an_outcome_that_is_none_is_named(void **state)
{
    (void)state;
    static const double wrong[] = {NAN, INFINITY, -1e308, 1e308, 900};
    static const char *const says[] = {"this is not what a run comes to", "this is not what a run comes to",
                                       "this is not what a run comes to", "this is not what a run comes to",
                                       "this is not what a run of this plan comes to"};
    for (int i = 0; i < 5; i++) {
        char text[1200];
        rn_error err = {0};
        rn_piece piece = {0};
        rn_batch batch = make_batch(1), empty = make_batch(1);
        batch.runs[2].outcome.deepest = wrong[i];
        check_ok(rn_piece_write(paths[0], NULL, what(), &batch, 0, 2, &err), &err);
        rn_status status = rn_piece_read(&piece, paths[0], &err);
        assert_int_equal(status, i < 4 ? RN_E_FILE : RN_OK);
        if (status == RN_OK)
            status = rn_pieces_put(&empty, &piece, 1, &err);
        assert_int_equal(status, RN_E_FILE);
        rn_error_text(&err, text, sizeof text);
        assert_true(strncmp(text, paths[0], strlen(paths[0])) == 0);
        if (strncmp(text + strlen(paths[0]), ":18: ", 5) != 0) /* after a head of 16 lines and the first run */
            fail_msg("%s", text);
        assert_non_null(strstr(text, says[i]));
        rn_piece_clear(&piece);
        rn_batch_clear(&batch);
        rn_batch_clear(&empty);
    }
}

/* Any number of shares, more than there are runs as well. */
static void all_bits_come_back(void **state)
{
    (void)state;
    static const int shares[] = {1, 2, 3, RUNS};
    for (int s = 0; s < 4; s++) {
        rn_error err = {0};
        rn_piece pieces[RUNS] = {0};
        const char *names[RUNS];
        rn_batch batch = make_batch(1), empty = make_batch(1);
        for (int i = 0; i < RUNS; i++) {
            names[i] = paths[i];
            if (empty.plans[i])
                empty.runs[i].outcome = (rn_outcome){.state = RN_OUTCOME_NONE};
        }
        write_all(&batch, shares[s]);
        assert_int_equal(read_all(pieces, shares[s], &err), RN_OK);
        assert_string_equal(pieces[0].studied.plan, what()->plan);
        assert_string_equal(pieces[0].studied.plan_name, what()->plan_name);
        assert_int_equal(pieces[0].studied.word_count, 4);
        for (int i = 0; i < 4; i++)
            assert_string_equal(pieces[0].studied.words[i], what()->words[i]);
        check_ok(rn_pieces_fit(pieces, names, shares[s], &err), &err);
        check_ok(rn_pieces_put(&empty, pieces, shares[s], &err), &err);
        for (int i = 0; i < RUNS; i++) {
            char before[RN_OUTCOME_LINE], after[RN_OUTCOME_LINE];
            rn_outcome_write(before, &batch.runs[i].outcome);
            rn_outcome_write(after, &empty.runs[i].outcome);
            assert_string_equal(before, after);
        }
        clear_all(pieces, RUNS);
        rn_batch_clear(&batch);
        rn_batch_clear(&empty);
    }
}

static void check_refused(const rn_piece *pieces, const char *const *names, int count, const char *said)
{
    rn_error err = {0};
    assert_int_equal(rn_pieces_fit(pieces, names, count, &err), RN_E_FILE);
    if (!strstr(err.message, said))
        fail_msg("'%s' does not say '%s'", err.message, said);
}

static void missing_and_doubled_ones_are_named(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_piece pieces[8] = {0};
    static const char *const names[] = {"1", "2", "3", "4", "5", "6", "7", "8"};
    rn_batch batch = make_batch(1);
    write_all(&batch, 8);
    assert_int_equal(read_all(pieces, 8, &err), RN_OK);
    check_refused(pieces, names, 7, "share 8 of 8 is missing");
    check_refused(pieces + 1, names + 1, 5, "shares 1, 7 and 8 of 8 are missing");
    const rn_piece twice[] = {pieces[0], pieces[4], pieces[4]};
    static const char *const thrice[] = {"a", "b", "c"};
    check_refused(twice, thrice, 3, "share 5 of 8 is there twice: 'b' and 'c'");
    clear_all(pieces, 8);
    rn_batch_clear(&batch);
}

static void pieces_of_another_study_are_refused(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_piece pieces[2] = {0};
    static const char *const names[] = {"a", "b"};
    rn_batch batch = make_batch(1), other = make_batch(1);
    other.plans[7]->cover = 0.2e-3;
    check_ok(rn_piece_write(paths[0], NULL, what(), &batch, 0, 2, &err), &err);
    check_ok(rn_piece_write(paths[1], NULL, what(), &other, 1, 2, &err), &err);
    assert_int_equal(read_all(pieces, 2, &err), RN_OK);
    check_refused(pieces, names, 2, "'a' and 'b' are pieces of different studies");
    rn_piece_clear(&pieces[1]);
    check_ok(rn_piece_write(paths[1], NULL, what(), &batch, 1, 3, &err), &err);
    check_ok(rn_piece_read(&pieces[1], paths[1], &err), &err);
    check_refused(pieces, names, 2, "'a' is one of 2 shares and 'b' one of 3");
    strcpy(pieces[1].stamp, "0.0.9 another build");
    check_refused(pieces, names, 2, "were worked by different programs");
    strcpy(pieces[0].stamp, "0.0.9 another build");
    assert_int_equal(rn_pieces_put(&batch, pieces, 2, &err), RN_E_FILE);
    assert_non_null(strstr(err.message, "another program"));
    clear_all(pieces, 2);
    rn_piece whole = {0};
    err = (rn_error){0};
    check_ok(rn_piece_write(paths[0], NULL, what(), &batch, 0, 1, &err), &err);
    check_ok(rn_piece_read(&whole, paths[0], &err), &err);
    assert_int_equal(rn_pieces_put(&other, &whole, 1, &err), RN_E_FILE); /* the plans are not those of the pieces */
    rn_piece_clear(&whole);
    rn_batch_clear(&batch);
    rn_batch_clear(&other);
}

/* Every byte that is changed, and every end that is cut off, is noticed. */
static void damage_is_noticed(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_batch batch = make_batch(1);
    check_ok(rn_piece_write(paths[0], NULL, what(), &batch, 1, 4, &err), &err);
    FILE *in = fopen(paths[0], "rb");
    static char text[1 << 16];
    const size_t size = fread(text, 1, sizeof text, in);
    fclose(in);
    assert_true(size > 1000 && size < sizeof text);
    for (size_t at = 0; at < size; at += 7) {
        for (int cut = 0; cut <= 1; cut++) {
            rn_piece piece = {0};
            FILE *out = fopen(paths[1], "wb");
            const char kept = text[at];
            text[at] = (char)(kept ^ 1);
            fwrite(text, 1, cut ? at : size, out);
            text[at] = kept;
            fclose(out);
            err = (rn_error){0};
            assert_int_equal(rn_piece_read(&piece, paths[1], &err), RN_E_FILE);
            assert_non_null(strstr(err.message, "2.piece"));
            rn_piece_clear(&piece);
        }
    }
    rn_batch_clear(&batch);
}

/* Whose sum is right, but not what it says: made by hand. */
static void nonsense_is_refused(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "runnel piece 1\n",
        "runnel piece 1\nstamp x\nstudy y\n",
        "runnel piece 1\nstamp x\nstudy 0123456789012345678901234567890123456789012345678901234567890123\n"
        "command odds\nnamed \"a\"\nplan 400\n\nshare 1 of 2\nruns 0\n",
        "runnel piece 1\nstamp x\nstudy 0123456789012345678901234567890123456789012345678901234567890123\n"
        "command odds\nnamed \"a\"\nplan 1\nx\nshare 3 of 2\nruns 0\n",
        "runnel piece 1\nstamp x\nstudy 0123456789012345678901234567890123456789012345678901234567890123\n"
        "command odds\nnamed \"a\"\nplan 1\nx\nshare 1 of 2\nruns 3\n1 whole\n",
        "runnel piece 1\nstamp x\nstudy 0123456789012345678901234567890123456789012345678901234567890123\n"
        "command odds\nword \"--draws\nnamed \"a\"\nplan 1\nx\nshare 1 of 2\nruns 0\n",
        "runnel piece 1\nstamp \033[31mx\nstudy 0123456789012345678901234567890123456789012345678901234567890123\n"
        "command odds\nnamed \"a\"\nplan 1\nx\nshare 1 of 2\nruns 0\n",
        "runnel piece 1\nstamp x\nstudy 0123456789012345678901234567890123456789012345678901234567890123\n"
        "command o\adds\nnamed \"a\"\nplan 1\nx\nshare 1 of 2\nruns 0\n",
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        char sum[RN_SEAL_SIZE];
        rn_error err = {0};
        rn_piece piece = {0};
        assert_true(rn_seal_sum(sum, texts[i], strlen(texts[i])));
        FILE *out = fopen(paths[0], "wb");
        fprintf(out, "%s%s\n", texts[i], sum);
        fclose(out);
        assert_int_equal(rn_piece_read(&piece, paths[0], &err), RN_E_FILE);
        rn_piece_clear(&piece);
    }
    rn_error err = {0};
    rn_piece piece = {0};
    assert_int_equal(rn_piece_read(&piece, "tests/plans/smallest.yaml", &err), RN_E_FILE);
    assert_non_null(strstr(err.message, "is no piece of a study"));
    err = (rn_error){0};
    assert_int_equal(rn_piece_read(&piece, "nowhere.piece", &err), RN_E_FILE);
    assert_non_null(strstr(err.message, "cannot be read: No such file"));
    err = (rn_error){0};
    assert_int_equal(rn_piece_read(&piece, "tests", &err), RN_E_FILE);
    assert_non_null(strstr(err.message, "cannot be read: Is a directory"));
    err = (rn_error){0};
    assert_int_equal(rn_piece_read(&piece, "/dev/zero", &err), RN_E_FILE); /* without an end */
    assert_non_null(strstr(err.message, "is no piece of a study"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_bits_come_back),
        cmocka_unit_test(an_outcome_that_is_none_is_named),
        cmocka_unit_test(missing_and_doubled_ones_are_named),
        cmocka_unit_test(pieces_of_another_study_are_refused),
        cmocka_unit_test(damage_is_noticed),
        cmocka_unit_test(nonsense_is_refused),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}

/* The scheduler of many runs, with a model in place of sessions, and with sessions. */
#define _DEFAULT_SOURCE /* MAP_ANONYMOUS */

#include "check.h"

#include <pthread.h>
#include <signal.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include "search/nook.h"
#include "search/stand_in.h"
#include "search/trial.h"

#define RUNS 40

/* Plans that differ by what is poured, and runs of them. */
typedef struct list {
    rn_plan *plans[RUNS];
    rn_run runs[RUNS];
} list;

static void list_make(list *l, int cells)
{
    for (int i = 0; i < RUNS; i++) {
        rn_error err = {0};
        char text[40];
        l->plans[i] = stand_in_plan(NULL);
        snprintf(text, sizeof text, "%d ml", 20 + i);
        check_ok(rn_plan_set(l->plans[i], "poured", text, &err), &err);
        l->runs[i] = (rn_run){.plan = l->plans[i], .cells = cells};
    }
}

static void list_free(list *l)
{
    for (int i = 0; i < RUNS; i++)
        rn_plan_free(l->plans[i]);
}

/* The coverage says which run it was; every seventh fails. */
static rn_outcome by_volume(const rn_run *run, const void *context)
{
    (void)context;
    const double poured = rn_plan_poured_all(run->plan);
    if ((int)lround(poured * 1e6) % 7 == 0) {
        rn_outcome outcome = {.state = RN_OUTCOME_FAILED};
        snprintf(outcome.why, sizeof outcome.why, "%.0f ml are too odd", poured * 1e6);
        return outcome;
    }
    return stand_in_outcome(run->plan, poured * 1e3);
}

static rn_outcome always(const rn_run *run, const void *context)
{
    (void)context;
    return stand_in_outcome(run->plan, 0.5);
}

static void check_outcomes(const list *l)
{
    for (int i = 0; i < RUNS; i++) {
        char one[RN_OUTCOME_LINE], other[RN_OUTCOME_LINE];
        const rn_outcome wanted = by_volume(&l->runs[i], NULL);
        rn_outcome_write(one, &wanted);
        rn_outcome_write(other, &l->runs[i].outcome);
        assert_string_equal(one, other);
        assert_false(l->runs[i].known);
    }
}

static void every_run_has_its_outcome_at_its_place(void **state)
{
    (void)state;
    static const int threads[] = {1, 2, 3, 16, 100, 0};
    for (size_t k = 0; k < sizeof threads / sizeof threads[0]; k++) {
        stand_in model = {.of = by_volume, .lasting = 1e-3};
        rn_study_options options = rn_study_defaults();
        options.threads = threads[k];
        rn_study *study = stand_in_study(&model, options);
        list l;
        rn_error err = {0};
        int worked, known;
        list_make(&l, 96);
        check_ok(rn_study_work(study, l.runs, RUNS, &err), &err);
        check_outcomes(&l);
        assert_int_equal(atomic_load(&model.calls), RUNS);
        if (threads[k])
            assert_true(atomic_load(&model.most) <= threads[k]);
        rn_study_counts(&worked, &known, study);
        assert_true(worked == RUNS && known == 0);
        check_ok(rn_study_work(study, l.runs, 0, &err), &err); /* nothing is nothing */
        rn_study_free(study);
        list_free(&l);
    }
    rn_study_free(NULL);
}

static void runs_go_at_the_same_time(void **state)
{
    (void)state;
    stand_in model = {.of = always, .lasting = 5e-3, .waits_for = 8};
    rn_study_options options = rn_study_defaults();
    options.threads = 8;
    rn_study *study = stand_in_study(&model, options);
    list l;
    rn_error err = {0};
    list_make(&l, 96);
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err);
    assert_int_equal(atomic_load(&model.most), 8);
    rn_study_free(study);
    list_free(&l);
}

/* To the last bit, of sessions, whatever the number of threads; some stop as soon as their goal is decided. */
static void sessions_do_not_depend_on_threads(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("run-off", "at most 10 ml", NULL);
    char lines[2][6][RN_OUTCOME_LINE];
    int decided = 0;
    list l;
    list_make(&l, 64);
    for (int i = 0; i < RUNS; i++) {
        rn_error err = {0};
        check_ok(rn_plan_set(l.plans[i], "end", "8 s", &err), &err);
    }
    for (int k = 0; k < 2; k++) {
        rn_study *study = NULL;
        rn_error err = {0};
        rn_study_options options = rn_study_defaults();
        options.threads = k == 0 ? 1 : 3;
        check_ok(rn_study_new(&study, options, &err), &err);
        rn_run runs[6];
        for (int i = 0; i < 6; i++) {
            runs[i] = l.runs[6 * i];
            runs[i].settles = i % 2 ? &goal : NULL;
            runs[i].pattern = i == 4;
        }
        check_ok(rn_study_work(study, runs, 6, &err), &err);
        for (int i = 0; i < 6; i++) {
            assert_int_equal(runs[i].outcome.has_pattern, i == 4);
            decided += runs[i].outcome.state == RN_OUTCOME_DECIDED;
            rn_outcome_write(lines[k][i], &runs[i].outcome);
        }
        rn_study_free(study);
    }
    for (int i = 0; i < 6; i++)
        assert_string_equal(lines[0][i], lines[1][i]);
    assert_true(decided > 0);
    list_free(&l);
}

/* ---- memory ---- */

static int most_at_once(double memory, long bytes, int threads, int wanted)
{
    stand_in model = {.of = always, .lasting = 2e-3, .waits_for = wanted, .bytes = bytes};
    rn_study_options options = rn_study_defaults();
    options.threads = threads;
    options.memory_most = (long)memory;
    rn_study *study = stand_in_study(&model, options);
    list l;
    rn_error err = {0};
    list_make(&l, 96);
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err);
    rn_study_free(study);
    list_free(&l);
    assert_int_equal(atomic_load(&model.calls), RUNS);
    return atomic_load(&model.most);
}

static void memory_is_bounded(void **state)
{
    (void)state;
    assert_int_equal(most_at_once(350e6, 100000000, 16, 3), 3);
    assert_int_equal(most_at_once(100e6, 100000000, 16, 1), 1);
    assert_int_equal(most_at_once(10, 100000000, 16, 1), 1); /* one always goes */
    assert_int_equal(most_at_once(800e6 + 1, 100000000, 8, 8), 8);
    assert_int_equal(most_at_once(10, 0, 5, 5), 5);
}

/* Twice the cells take four times the memory, seen before any such run. */
static void memory_grows_with_the_grid(void **state)
{
    (void)state;
    stand_in model = {.of = always, .lasting = 2e-3, .waits_for = 10, .bytes = 100};
    rn_study_options options = rn_study_defaults();
    options.threads = 16;
    options.memory_most = 1000;
    rn_study *study = stand_in_study(&model, options);
    list l;
    rn_error err = {0};
    list_make(&l, 96);
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err);
    assert_int_equal(atomic_load(&model.most), 10);
    list_free(&l);
    list_make(&l, 192);
    atomic_store(&model.most, 0);
    model.waits_for = 2;
    model.bytes = 400;
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err);
    assert_int_equal(atomic_load(&model.most), 2);
    rn_study_free(study);
    list_free(&l);
}

/* Sessions of which none was seen yet: a guess that is of the right size, by what real ones say. */
static void sessions_take_about_what_is_set_aside(void **state)
{
    (void)state;
    stand_in model = {.of = always};
    rn_study *study = stand_in_study(&model, rn_study_defaults());
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read_file(&plan, "presets/small-study.yaml", &err), &err);
    plan->end = 40;
    for (int pattern = 0; pattern < 2; pattern++) {
        const rn_run run = {.plan = plan, .cells = 64, .pattern = pattern};
        rn_outcome outcome;
        long bytes = 0;
        rn_trial_run(NULL, &outcome, &bytes, &run, stand_in_goes_on, study);
        assert_int_equal(outcome.state, RN_OUTCOME_WHOLE);
        const double each = (double)bytes / 64 / 64;
        check_at_least(each, pattern ? 2000 : 40); /* 10000 and 200 are set aside */
        check_at_most(each, pattern ? 10000 : 200);
    }
    rn_plan_free(plan);
    rn_study_free(study);
}

/* ---- progress and stopping ---- */

typedef struct told {
    int times, stop_at;
    rn_progress last, first_with_left;
    bool wrong;
} told;

static bool tell(void *context, const rn_progress *p)
{
    told *t = context;
    t->wrong = t->wrong || p->done < t->last.done || p->done > p->of || p->known > p->done ||
               p->elapsed < t->last.elapsed || p->left < 0;
    if (!isnan(p->left) && isnan(t->first_with_left.left))
        t->first_with_left = *p;
    t->last = *p;
    t->times++;
    return t->stop_at == 0 || p->done < t->stop_at;
}

static void progress_goes_forward(void **state)
{
    (void)state;
    stand_in model = {.of = by_volume, .lasting = 0.04};
    told t = {.first_with_left = {.left = NAN}};
    rn_study_options options = rn_study_defaults();
    options.threads = 2;
    options.tell = tell;
    options.tell_context = &t;
    rn_study *study = stand_in_study(&model, options);
    list l;
    rn_error err = {0};
    list_make(&l, 96);
    rn_study_announce(study, RUNS, 96);
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err);
    assert_false(t.wrong);
    assert_true(t.times >= 3);
    assert_int_equal(t.last.of, 2 * RUNS);
    assert_int_equal(t.last.done, RUNS);
    /* 40 runs and 40 to come of the same, two at a time: no less than they last, and no more than the first ones took */
    const rn_progress p = t.first_with_left;
    check_at_least(p.elapsed, 0.5);
    check_at_least(p.left, 0.95 * (p.of - p.done) * model.lasting / 2);
    check_at_most(p.left, 1.05 * p.elapsed * (p.of - p.done) / p.done);
    rn_study_announce(study, 0, 96);
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err);
    assert_false(t.wrong);
    assert_true(t.last.done == 2 * RUNS && t.last.of == 2 * RUNS);
    check_at_most(t.last.left, 0.5 * t.last.elapsed);
    rn_study_free(study);
    list_free(&l);
}

static int count_done(const list *l)
{
    int done = 0;
    for (int i = 0; i < RUNS; i++)
        done += l->runs[i].outcome.state != RN_OUTCOME_NONE;
    return done;
}

static void who_watches_can_stop_it(void **state)
{
    (void)state;
    stand_in model = {.of = always, .lasting = 5e-3};
    told t = {.stop_at = 7, .first_with_left = {.left = NAN}};
    rn_study_options options = rn_study_defaults();
    options.threads = 3;
    options.tell = tell;
    options.tell_context = &t;
    rn_study *study = stand_in_study(&model, options);
    list l;
    rn_error err = {0};
    int worked, known;
    list_make(&l, 96);
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err); /* no error */
    assert_true(rn_study_stopped(study));
    const int done = count_done(&l);
    assert_true(done >= 7 && done < 7 + 2 * 3 + 1);
    rn_study_counts(&worked, &known, study);
    assert_int_equal(worked, done);
    const int calls = atomic_load(&model.calls);
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err); /* once stopped, always */
    assert_int_equal(atomic_load(&model.calls), calls);
    assert_int_equal(count_done(&l), 0);
    rn_study_free(study);
    list_free(&l);
}

static void *stop_soon(void *study)
{
    stand_in_doze(0.02);
    rn_study_stop(study);
    return NULL;
}

/* A run of an hour ends at once: the model asks whether to go on. */
static void another_thread_can_stop_it(void **state)
{
    (void)state;
    stand_in model = {.of = always, .lasting = 3600};
    rn_study_options options = rn_study_defaults();
    options.threads = 2;
    rn_study *study = stand_in_study(&model, options);
    pthread_t thread;
    list l;
    rn_error err = {0};
    list_make(&l, 96);
    pthread_create(&thread, NULL, stop_soon, study);
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err); /* or the test hangs */
    pthread_join(thread, NULL);
    assert_int_equal(count_done(&l), 0);
    assert_int_equal(atomic_load(&model.flight), 0);
    assert_true(atomic_load(&model.calls) <= 2); /* none is begun after the stop */
    rn_study_free(study);
    list_free(&l);
}

/* ---- what is known ---- */

static rn_study *study_with(stand_in *model, rn_cache *cache, const char *name)
{
    rn_study_options options = rn_study_defaults();
    options.threads = 2;
    options.cache = cache;
    options.model_name = name;
    return stand_in_study(model, options);
}

static rn_cache *open_cache(const char *folder)
{
    rn_cache *cache = NULL;
    rn_error err = {0};
    check_ok(rn_cache_open(&cache, folder, &err), &err);
    return cache;
}

static int failing(void)
{
    int count = 0;
    for (int i = 0; i < RUNS; i++)
        count += (20 + i) % 7 == 0;
    return count;
}

static void nothing_is_worked_out_twice(void **state)
{
    stand_in model = {.of = by_volume};
    rn_cache *cache = open_cache(nook_path(state, "runs"));
    list l, again;
    rn_error err = {0};
    int worked, known;
    list_make(&l, 96);
    list_make(&again, 96);
    rn_study *first = study_with(&model, cache, NULL), *second = study_with(&model, cache, NULL);
    rn_study *other = study_with(&model, cache, "another");
    check_ok(rn_study_work(first, l.runs, RUNS, &err), &err);
    check_ok(rn_study_work(second, again.runs, RUNS, &err), &err);
    rn_study_counts(&worked, &known, second);
    assert_int_equal(worked, failing()); /* what failed is tried again */
    assert_int_equal(known, RUNS - failing());
    for (int i = 0; i < RUNS; i++) {
        char one[RN_OUTCOME_LINE], two[RN_OUTCOME_LINE];
        rn_outcome_write(one, &l.runs[i].outcome);
        rn_outcome_write(two, &again.runs[i].outcome);
        assert_string_equal(one, two);
        assert_int_equal(again.runs[i].known, again.runs[i].outcome.state != RN_OUTCOME_FAILED);
    }
    check_ok(rn_study_work(other, again.runs, RUNS, &err), &err); /* another model's runs are not this one's */
    rn_study_counts(&worked, &known, other);
    assert_true(worked == RUNS && known == 0);
    rn_study_free(first);
    rn_study_free(second);
    rn_study_free(other);
    rn_cache_close(cache);
    list_free(&l);
    list_free(&again);
}

/* A run that would stop once its goal is decided is known where it is known to its end. */
static void a_whole_run_serves_any_goal(void **state)
{
    stand_in model = {.of = always};
    const rn_goal goal = stand_in_goal("coverage", "at least 40 %", NULL);
    rn_cache *cache = open_cache(nook_path(state, "runs"));
    rn_study *study = study_with(&model, cache, NULL);
    list l;
    rn_error err = {0};
    list_make(&l, 96);
    check_ok(rn_study_work(study, l.runs, 1, &err), &err);
    rn_run settled = {.plan = l.plans[0], .cells = 96, .settles = &goal}, other = settled;
    check_ok(rn_study_work(study, &settled, 1, &err), &err);
    assert_true(settled.known);
    assert_int_equal(settled.outcome.state, RN_OUTCOME_WHOLE);
    other.cells = 97;
    check_ok(rn_study_work(study, &other, 1, &err), &err);
    assert_false(other.known);
    rn_study_free(study);
    rn_cache_close(cache);
    list_free(&l);
}

static void what_cannot_be_kept_is_told(void **state)
{
    stand_in model = {.of = by_volume};
    nook_write(nook_path(state, "file"), "x", 1);
    rn_cache *cache = open_cache(nook_path(state, "file/runs"));
    rn_study *study = study_with(&model, cache, NULL);
    list l;
    rn_error err = {0}, why = {0};
    list_make(&l, 96);
    assert_int_equal(rn_study_unkept(&why, study), 0);
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err);
    check_outcomes(&l); /* and is there all the same */
    assert_int_equal(rn_study_unkept(&why, study), RUNS - failing());
    assert_int_equal(why.status, RN_E_FILE);
    assert_non_null(strstr(why.message, "Not a directory"));
    rn_study_free(study);
    rn_cache_close(cache);
    list_free(&l);
}

/* From the second half on runs last until they are killed. */
static rn_outcome half_for_ever(const rn_run *run, const void *context)
{
    const stand_in *model = context;
    while (atomic_load(&model->calls) > RUNS / 2)
        stand_in_doze(1e-3);
    return always(run, NULL);
}

/* Killed in the middle, a study loses the runs in flight and no more. */
static void killed_it_goes_on_where_it_was(void **state)
{
    enum { THREADS = 3 };
    char path[1024];
    const char *folder = nook_path(state, "runs");
    stand_in *model = mmap(NULL, sizeof *model, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    assert_true(model != MAP_FAILED);
    *model = (stand_in){.of = half_for_ever, .context = model, .lasting = 8e-3};
    rn_study_options options = rn_study_defaults();
    options.threads = THREADS;
    options.cache = open_cache(folder);
    list l;
    rn_error err = {0};
    list_make(&l, 96);
    const pid_t child = fork();
    if (child == 0) {
        rn_study *study = stand_in_study(model, options);
        rn_study_work(study, l.runs, RUNS, &err);
        _exit(0);
    }
    while (atomic_load(&model->calls) <= RUNS / 2)
        stand_in_doze(1e-3);
    kill(child, SIGKILL);
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFSIGNALED(status));
    const int begun = atomic_load(&model->calls), files = nook_file(path, sizeof path, folder);
    assert_true(begun >= RUNS / 2 && begun < RUNS);
    atomic_store(&model->calls, 0);
    model->of = always;
    rn_study *study = stand_in_study(model, options);
    int worked, known;
    check_ok(rn_study_work(study, l.runs, RUNS, &err), &err);
    rn_study_counts(&worked, &known, study);
    assert_true(known >= begun - THREADS && known <= begun);
    assert_true(known <= files); /* one of the files may be half a run */
    assert_int_equal(worked, RUNS - known);
    assert_int_equal(atomic_load(&model->calls), worked);
    assert_int_equal(count_done(&l), RUNS);
    rn_study_free(study);
    rn_cache_close(options.cache);
    munmap(model, sizeof *model);
    list_free(&l);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_run_has_its_outcome_at_its_place),
        cmocka_unit_test(runs_go_at_the_same_time),
        cmocka_unit_test(sessions_do_not_depend_on_threads),
        cmocka_unit_test(memory_is_bounded),
        cmocka_unit_test(memory_grows_with_the_grid),
        cmocka_unit_test(sessions_take_about_what_is_set_aside),
        cmocka_unit_test(progress_goes_forward),
        cmocka_unit_test(who_watches_can_stop_it),
        cmocka_unit_test(another_thread_can_stop_it),
        cmocka_unit_test_setup_teardown(nothing_is_worked_out_twice, nook_make, nook_remove),
        cmocka_unit_test_setup_teardown(a_whole_run_serves_any_goal, nook_make, nook_remove),
        cmocka_unit_test_setup_teardown(what_cannot_be_kept_is_told, nook_make, nook_remove),
        cmocka_unit_test_setup_teardown(killed_it_goes_on_where_it_was, nook_make, nook_remove),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

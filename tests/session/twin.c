#include "twin.h"

#include "check.h"

#include <string.h>

rn_session *twin_new(const rn_plan *plan, int cells, int threads, bool history)
{
    rn_session *session = NULL;
    rn_session_options options = rn_session_defaults();
    rn_error err = {0};
    options.cells = cells;
    options.threads = threads;
    options.history = history;
    options.ripple_tolerance = INFINITY; /* as without history: fewer steps */
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    return session;
}

static void check_films(const rn_still *a, const rn_still *b)
{
    const size_t cells = (size_t)a->grid.nx * (size_t)a->grid.ny;
    assert_int_equal(a->grid.nx, b->grid.nx);
    assert_int_equal(a->grid.ny, b->grid.ny);
    assert_memory_equal(a->depth, b->depth, cells * sizeof *a->depth);
    assert_memory_equal(a->spill, b->spill, (size_t)a->spill_count * sizeof *a->spill);
    assert_memory_equal(&a->moment, &b->moment, sizeof a->moment);
    assert_memory_equal(&a->on_face, &b->on_face, sizeof a->on_face);
    assert_memory_equal(&a->base, &b->base, sizeof a->base);
}

static void check_histories(const rn_history *a, const rn_history *b)
{
    const rn_grid *grid = rn_history_grid(a);
    const size_t cells = (size_t)grid->nx * (size_t)grid->ny;
    rn_motion_cell *motion[2] = {calloc(cells, sizeof **motion), calloc(cells, sizeof **motion)};
    float *yielded[2] = {calloc(cells, sizeof **yielded), calloc(cells, sizeof **yielded)};
    const rn_spill_place *places;
    rn_team *team = NULL;
    rn_error err = {0};
    check_ok(rn_team_new(&team, 1, &err), &err);
    assert_true(motion[0] && motion[1] && yielded[0] && yielded[1]);
    assert_int_equal(rn_history_count(a), rn_history_count(b));
    assert_int_equal(rn_history_bytes(a), rn_history_bytes(b));
    assert_int_equal(rn_history_has_yield(a), rn_history_has_yield(b));
    const int place_count = rn_history_places(&places, a);
    for (int k = 0; k < rn_history_count(a); k++) {
        const double ends[2] = {rn_history_time(a, k + 1), rn_history_time(b, k + 1)};
        assert_memory_equal(&ends[0], &ends[1], sizeof ends[0]);
        rn_history_read(motion[0], a, k, team);
        rn_history_read(motion[1], b, k, team);
        assert_memory_equal(motion[0], motion[1], cells * sizeof *motion[0]);
        rn_history_read_yielded(yielded[0], a, k);
        rn_history_read_yielded(yielded[1], b, k);
        assert_memory_equal(yielded[0], yielded[1], cells * sizeof *yielded[0]);
        const float *spill = rn_history_spill(a, k);
        assert_int_equal(!spill, !rn_history_spill(b, k));
        if (spill)
            assert_memory_equal(spill, rn_history_spill(b, k), (size_t)place_count * sizeof *spill);
        const rn_history_columns *p = rn_history_columns_at(a, k), *q = rn_history_columns_at(b, k);
        assert_int_equal(!p, !q);
        if (p) {
            assert_memory_equal(&p->begins, &q->begins, sizeof p->begins);
            assert_memory_equal(p->law, q->law, (size_t)p->levels * (size_t)p->nx * (size_t)p->ny);
        }
    }
    for (int k = 0; k < 2; k++) {
        free(motion[k]);
        free(yielded[k]);
    }
    rn_team_free(team);
}

static void check_records(const rn_record *a, const rn_record *b, bool moments)
{
    const size_t cells = (size_t)a->grid.nx * (size_t)a->grid.ny;
    assert_memory_equal(a->arrival, b->arrival, cells * sizeof *a->arrival);
    assert_memory_equal(&a->end, &b->end, sizeof a->end);
    assert_int_equal(a->complete, b->complete);
    if (!moments)
        return;
    assert_int_equal(a->moment_count, b->moment_count);
    assert_memory_equal(a->moments, b->moments, (size_t)a->moment_count * sizeof *a->moments);
}

static void check_reels(const rn_reel *a, const rn_reel *b)
{
    rn_error err = {0};
    assert_int_equal(rn_reel_count(a), rn_reel_count(b));
    assert_int_equal(rn_reel_bytes(a), rn_reel_bytes(b));
    for (int k = 0; k < rn_reel_count(a); k += 7) {
        rn_still *p = NULL, *q = NULL;
        check_ok(rn_reel_still(&p, a, rn_reel_moment(a, k)->time, &err), &err);
        check_ok(rn_reel_still(&q, b, rn_reel_moment(b, k)->time, &err), &err);
        check_films(p, q);
        rn_still_free(p);
        rn_still_free(q);
    }
}

/* Numbers that a forecast has one by one: its gaps hold nothing. NaNs agree with NaNs. */
static void check_forecasts(const rn_forecast *a, const rn_forecast *b)
{
    const double numbers[][2] = {
        {a->coverage, b->coverage},
        {a->covered_at, b->covered_at},
        {a->best_coverage, b->best_coverage},
        {a->best_at, b->best_at},
        {a->poured, b->poured},
        {a->on_panel, b->on_panel},
        {a->on_sides, b->on_sides},
        {a->run_off, b->run_off},
        {a->balance_error, b->balance_error},
        {a->still_moving, b->still_moving},
        {a->mean, b->mean},
        {a->side_coverage, b->side_coverage},
        {a->least.depth, b->least.depth},
        {a->most.depth, b->most.depth},
        {a->duration, b->duration},
    };
    for (size_t k = 0; k < sizeof numbers / sizeof *numbers; k++)
        if (numbers[k][0] != numbers[k][1] && !(isnan(numbers[k][0]) && isnan(numbers[k][1])))
            fail_msg("forecasts differ in number %d: %.17g, %.17g", (int)k, numbers[k][0], numbers[k][1]);
    for (int c = 0; c < RN_CORNERS; c++)
        assert_memory_equal(&a->corners[c], &b->corners[c], sizeof a->corners[c]);
    assert_int_equal(a->covered, b->covered);
    assert_int_equal(a->complete, b->complete);
    assert_int_equal(a->steps, b->steps);
    assert_int_equal(a->rejected, b->rejected);
    assert_string_equal(a->title, b->title);
}

void check_twins(const rn_session *a, const rn_session *b, bool moments)
{
    rn_still *stills[2] = {0};
    rn_record *records[2] = {0};
    rn_forecast forecasts[2];
    const rn_session *sessions[2] = {a, b};
    rn_error err = {0};
    const double times[2] = {rn_session_time(a), rn_session_time(b)};
    assert_memory_equal(&times[0], &times[1], sizeof times[0]);
    for (int k = 0; k < 2; k++) {
        check_ok(rn_session_still(&stills[k], sessions[k], &err), &err);
        check_ok(rn_session_record(&records[k], sessions[k], &err), &err);
        check_ok(rn_session_forecast(&forecasts[k], sessions[k], &err), &err);
    }
    check_films(stills[0], stills[1]);
    check_records(records[0], records[1], moments);
    check_forecasts(&forecasts[0], &forecasts[1]);
    if (rn_session_history(a)) {
        check_histories(rn_session_history(a), rn_session_history(b));
        if (moments)
            check_reels(rn_session_reel(a), rn_session_reel(b));
    }
    for (int k = 0; k < 2; k++) {
        rn_still_free(stills[k]);
        rn_record_free(records[k]);
    }
}

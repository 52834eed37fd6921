#include "run/session.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/monotonic.h"
#include "matter/drying.h"
#include "run/base_coat.h"
#include "run/session_state.h"
#include "run/warn.h"

/* Ripples as short as the cells and a micrometre high, which depths do not show, take long steps to level and meanwhile
   move the face at a tenth of its speed and more, hither and thither: where paint is traced, steps are finer. */
#define TRACED_RIPPLES 5e-4

#define MOMENTS 500      /* about as many as a record keeps */
#define WATCH_EVERY 8    /* steps between two calls of a watch */
#define SPEED_DEPTH 5e-5 /* the face's speed is asked of film deeper than this [m] */

rn_session_options rn_session_defaults(void)
{
    return (rn_session_options){.cells = 256, .threads = 0, .until = NAN, .tolerance = NAN, .ripple_tolerance = NAN};
}

static double released(const rn_session *session, double t)
{
    double volume = 0;
    for (int k = 0; k < session->source_count; k++)
        volume += rn_source_released(&session->sources[k], t);
    return volume;
}

static double run_off(const rn_session *session)
{
    double sides[RN_SIDES], sum = 0;
    rn_film_run_off(sides, session->film);
    for (int s = 0; s < RN_SIDES; s++)
        sum += sides[s];
    return sum;
}

static void check_balance(rn_session *session)
{
    double came = session->base + released(session, session->so_far.time);
    double is = rn_film_volume(session->film) + rn_film_on_sides(session->film) + run_off(session);
    if (came > 0)
        session->so_far.balance_error = fmax(session->so_far.balance_error, fabs(came - is) / came);
}

/* Time between the last look and now at which a value that was `before` and is `after` passed `level`. */
static double passed_at(double before, double after, double level, double from, double to)
{
    return after > before ? from + (to - from) * fmin(fmax((level - before) / (after - before), 0), 1) : to;
}

static void watch_since(rn_since *watched, double value, double level, double from, double to)
{
    if (value < level)
        watched->at = NAN;
    else if (isnan(watched->at))
        watched->at = passed_at(watched->value, value, level, from, to);
    watched->value = value;
}

static rn_moment moment_of(const rn_session *session, const rn_look *look)
{
    const rn_plan *plan = session->plan;
    rn_pose pose = rn_motion_pose(plan->moves, plan->move_count, &plan->panel, session->so_far.time);
    rn_moment moment = {
        .time = session->so_far.time,
        .released = released(session, session->so_far.time),
        .coverage = look->coverage,
        .on_sides = rn_film_on_sides(session->film),
        .tilt = pose.tilt,
        .downhill = pose.downhill,
        .turned = pose.turned,
        .rate = pose.rate,
    };
    long stride;
    const double *depth = rn_film_depth(session->film, &stride);
    rn_measure_extent(&moment.deepest, &moment.wet_area, session->measure, depth, stride);
    rn_film_run_off(moment.run_off, session->film);
    memcpy(moment.corner, look->corner, sizeof moment.corner);
    return moment;
}

static rn_status keep_moment(rn_session *session, const rn_look *look, rn_error *err)
{
    if (session->so_far.moment_count == session->moment_size) {
        int size = session->moment_size ? 2 * session->moment_size : MOMENTS + 16;
        rn_moment *more = realloc(session->moments, (size_t)size * sizeof *more);
        if (!more)
            return rn_fail(err, RN_E_MEMORY, "no memory for the session's history");
        session->moments = more;
        session->moment_size = size;
    }
    session->moments[session->so_far.moment_count++] = moment_of(session, look);
    if (session->reel)
        return rn_reel_add(session->reel, session->film, &session->moments[session->so_far.moment_count - 1], err);
    return RN_OK;
}

static bool due(const rn_session *session)
{
    return session->so_far.time >= session->so_far.next_moment - 1e-9 || rn_session_done(session);
}

/* Measures the film after a step that began at `from`. */
static rn_status look_at_film(rn_session *session, double from, rn_error *err)
{
    const double cover = session->plan->cover, now = session->so_far.time;
    long stride;
    const double *depth = rn_film_depth(session->film, &stride);
    rn_look look = rn_measure_look(session->measure, depth, stride, now);
    double least_corner = INFINITY;
    for (int c = 0; c < RN_CORNERS; c++) {
        watch_since(&session->so_far.corners[c], look.corner[c], cover, from, now);
        least_corner = fmin(least_corner, look.corner[c]);
    }
    watch_since(&session->so_far.covered, least_corner < cover ? 0 : look.coverage, RN_COVERED_SHARE, from, now);
    if (look.coverage > session->so_far.best_coverage) {
        session->so_far.best_coverage = look.coverage;
        session->so_far.best_at = now;
    }
    check_balance(session);
    if (!due(session))
        return RN_OK;
    session->so_far.next_moment = now + session->end / MOMENTS;
    return keep_moment(session, &look, err);
}

rn_status rn_session_still(rn_still **still, const rn_session *session, rn_error *err)
{
    const rn_grid *grid = rn_session_grid(session);
    rn_still *made = rn_still_new(grid);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory to keep the film");
    memcpy(made->inside, rn_film_inside(session->film), (size_t)grid->nx * (size_t)grid->ny * sizeof *made->inside);
    rn_film_get(made->depth, session->film);
    rn_film_passed(made->spill, RN_STILL_STRETCHES, session->film);
    made->on_face = rn_film_volume(session->film);
    made->base = session->base;
    long stride;
    const double *depth = rn_film_depth(session->film, &stride);
    const rn_look look = rn_measure_look(session->measure, depth, stride, session->so_far.time);
    made->moment = moment_of(session, &look);
    *still = made;
    return RN_OK;
}

static double shape_of_source(const void *context, double x, double y)
{
    return rn_source_shape(context, x, y);
}

static bool same_sources(const rn_session *session, const rn_source *sources, int count)
{
    if (count != session->source_count)
        return false;
    for (int k = 0; k < count; k++) {
        const rn_source *a = &session->sources[k], *b = &sources[k];
        if (a->on_top != b->on_top || a->x != b->x || a->y != b->y || a->across != b->across || a->width != b->width ||
            a->uneven != b->uneven || a->uneven_toward != b->uneven_toward)
            return false;
    }
    return true;
}

rn_status rn_session_set_sources(rn_session *session, const rn_plan *plan, rn_error *err)
{
    const rn_grid *grid = rn_session_grid(session);
    rn_source sources[RN_POURS_MOST];
    rn_film_spout spouts[RN_POURS_MOST];
    for (int p = 0; p < plan->pour_count; p++) {
        rn_source *source = &sources[p];
        *source = rn_pour_source(plan, &plan->pours[p]);
        rn_source_coarsen(source, fmax(grid->dx, grid->dy));
        const double reach = 0.5 * (source->across + (source->on_top ? 0 : source->width));
        spouts[p] = (rn_film_spout){shape_of_source, source, source->x, source->y, reach};
    }
    if (!same_sources(session, sources, plan->pour_count)) { /* shapes take a while */
        const rn_status status = rn_film_set_sources(session->film, spouts, plan->pour_count, err);
        if (status != RN_OK)
            return status;
    }
    memcpy(session->sources, sources, (size_t)plan->pour_count * sizeof *sources);
    session->source_count = plan->pour_count;
    return RN_OK;
}

/* Instant bursts that have fallen due. */
static rn_status pour_at_once(rn_session *session, rn_error *err)
{
    rn_status status = RN_OK;
    for (int k = 0; k < session->source_count && status == RN_OK; k++) {
        const rn_source *source = &session->sources[k];
        if (source->open > 0)
            continue;
        double due = rn_source_released(source, session->so_far.time), volume = due - session->so_far.laid[k];
        if (!(volume > 0))
            continue;
        session->so_far.laid[k] = due;
        if (session->history)
            status = rn_history_close(session->history, session->film, err);
        rn_film_deposit(session->film, k, volume);
        if (session->history && status == RN_OK)
            status = rn_history_jump(session->history, session->film, err);
    }
    return status;
}

static rn_status lay_base(rn_session *session, rn_error *err)
{
    const rn_grid *grid = rn_session_grid(session);
    double *depth = calloc((size_t)grid->nx * (size_t)grid->ny, sizeof *depth);
    if (!depth)
        return rn_fail(err, RN_E_MEMORY, "no memory for the base coat");
    rn_base_coat_lay(depth, session->plan, grid, rn_film_inside(session->film));
    rn_film_set(session->film, depth);
    session->base = rn_film_volume(session->film);
    free(depth);
    return RN_OK;
}

static rn_status set_up(rn_session *session, rn_error *err)
{
    const rn_plan *plan = session->plan;
    const rn_session_options *options = &session->options;
    rn_film_options film = rn_film_defaults();
    rn_status status = rn_grid_make(&film.grid, plan->panel.width, plan->panel.height, options->cells, err);
    if (status != RN_OK)
        return status;
    film.round = plan->panel.round;
    film.advance = plan->panel.advance;
    film.edges = plan->panel.edges;
    film.side = plan->panel.side;
    if (!isnan(options->tolerance))
        film.tolerance = options->tolerance;
    if (!isnan(options->ripple_tolerance))
        film.ripple_tolerance = options->ripple_tolerance;
    else if (options->history)
        film.ripple_tolerance = TRACED_RIPPLES;
    film.threads = options->threads;
    film.kernel = options->kernel;
    const bool layered = rn_layering_needed(plan);
    if (options->history || layered)
        film.step_most = RN_HISTORY_INTERVAL;
    double volume;
    const rn_paint mixture = rn_plan_mixture(&volume, plan); /* one liquid for the whole film */
    film.law = mixture.law;
    film.density = mixture.density;
    film.tension = mixture.tension;
    if (film.tension == 0)
        film.slip = 0;
    status = rn_film_new(&session->film, &film, err);
    if (status == RN_OK)
        status = rn_session_set_sources(session, plan, err);
    if (status == RN_OK)
        status = lay_base(session, err);
    if (status == RN_OK)
        status = rn_measure_new(&session->measure, &plan->panel, &film.grid, rn_film_inside(session->film), plan->cover,
                                err);
    if (status != RN_OK)
        return status;
    if (options->history || layered)
        status = rn_history_new(&session->history, session->film, err);
    if (status == RN_OK && options->history)
        status = rn_reel_new(&session->reel, session->film, session->base, err);
    if (status == RN_OK && layered)
        status =
            rn_layering_new(&session->layering, plan, session->film, session->history,
                            options->layer_points ? options->layer_points : RN_LAYERING_POINTS, options->threads, err);
    if (status == RN_OK)
        status = pour_at_once(session, err);
    return status == RN_OK ? look_at_film(session, 0, err) : status;
}

double rn_session_end_of(const rn_session_options *options, const rn_plan *plan)
{
    return isnan(options->until) ? plan->end : options->until;
}

rn_status rn_session_new(rn_session **session, const rn_plan *plan, const rn_session_options *options, rn_error *err)
{
    double begun = rn_monotonic_now();
    rn_session *made = calloc(1, sizeof *made);
    if (!made || !(made->plan = rn_plan_copy(plan))) {
        free(made);
        return rn_fail(err, RN_E_MEMORY, "no memory for a session");
    }
    made->options = *options;
    made->end = rn_session_end_of(options, plan);
    made->so_far.bound = RN_SAME_MOMENT; /* to what is there at 0 */
    made->so_far.covered.at = NAN;
    for (int c = 0; c < RN_CORNERS; c++)
        made->so_far.corners[c].at = NAN;
    rn_status status = set_up(made, err);
    if (status != RN_OK) {
        rn_session_free(made);
        return status;
    }
    made->wall = rn_monotonic_now() - begun;
    *session = made;
    return RN_OK;
}

void rn_session_free(rn_session *session)
{
    if (!session)
        return;
    rn_layering_free(session->layering);
    rn_history_free(session->history);
    rn_reel_free(session->reel);
    rn_measure_free(session->measure);
    rn_film_free(session->film);
    rn_plan_free(session->plan);
    free(session->moments);
    free(session->return_list);
    free(session);
}

/* The film's step asks for the forces and arrivals here. */
static void drive_film(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    const rn_session *session = context;
    const rn_plan *plan = session->plan;
    rn_pose pose = rn_motion_pose(plan->moves, plan->move_count, &plan->panel, 0.5 * (t0 + t1));
    *input = (rn_film_input){pose.gravity_x, pose.gravity_y, pose.gravity_normal, pose.rate, pose.acceleration};
    for (int k = 0; k < session->source_count; k++) {
        const rn_source *source = &session->sources[k];
        volumes[k] = source->open > 0 ? rn_source_released(source, t1) - rn_source_released(source, t0) : 0;
    }
}

/* Steps end where a move, a ramp or a burst begins or ends; where rounding has set several of them apart, at the last,
   so that none is passed over. */
static double next_break(const rn_session *session)
{
    const rn_plan *plan = session->plan;
    double bursts[RN_POURS_MOST];
    double next = fmin(session->end, rn_motion_next_break(plan->moves, plan->move_count, session->so_far.time));
    for (int k = 0; k < session->source_count; k++) {
        bursts[k] = rn_source_next_break(&session->sources[k], session->so_far.time);
        next = fmin(next, bursts[k]);
    }
    double last = next;
    for (int k = 0; k < session->source_count; k++)
        if (bursts[k] <= next + RN_SAME_MOMENT)
            last = fmax(last, bursts[k]);
    return last;
}

/* A step is fitted to a break within two of its lengths, and the same for all that lie beyond. */
double rn_session_reach(const rn_session *session)
{
    const double time = session->so_far.time;
    return fmin(next_break(session), time + 2 * rn_film_wish(session->film)) + RN_SAME_MOMENT;
}

double rn_session_bound(const rn_session *session)
{
    return session->so_far.bound;
}

/* The layers flow by their own laws; without a history asked for, what they have used of it is let go. */
static rn_status renew_layering(rn_session *session, rn_error *err)
{
    if (!session->layering || session->so_far.time < rn_layering_due(session->layering) - 1e-9)
        return RN_OK;
    rn_status status = rn_history_close(session->history, session->film, err);
    if (status == RN_OK)
        status = rn_layering_renew(session->layering, session->film, session->history, session->so_far.time, err);
    if (!session->options.history)
        rn_history_forget(session->history, session->so_far.time);
    return status;
}

rn_status rn_session_step(rn_session *session, rn_error *err)
{
    const double begun = rn_monotonic_now(), from = session->so_far.time, limit = next_break(session);
    const double reach = rn_session_reach(session);
    double taken;
    rn_status status = rn_film_step(&taken, session->film, from, limit, drive_film, session, err);
    if (status != RN_OK)
        return status;
    session->so_far.bound = fmax(session->so_far.bound, reach);
    session->so_far.time = from + taken >= limit * (1 - 1e-13) ? limit : from + taken;
    if (session->history)
        status = rn_history_note(session->history, session->film, taken, err);
    if (status == RN_OK && session->history &&
        session->so_far.time == limit) /* an interval lies on one side of a break */
        status = rn_history_close(session->history, session->film, err);
    if (status == RN_OK)
        status = pour_at_once(session, err);
    if (status == RN_OK)
        status = renew_layering(session, err);
    if (status == RN_OK)
        status = look_at_film(session, from, err);
    session->wall += rn_monotonic_now() - begun;
    return status;
}

rn_status rn_session_run(rn_session *session, rn_session_watch *watch, void *context, rn_error *err)
{
    for (long step = 0; !rn_session_done(session); step++) {
        if (watch && step % WATCH_EVERY == 0 && !watch(context, session))
            break;
        rn_status status = rn_session_step(session, err);
        if (status != RN_OK)
            return status;
    }
    return RN_OK;
}

double rn_session_time(const rn_session *session)
{
    return session->so_far.time;
}

double rn_session_end(const rn_session *session)
{
    return session->end;
}

bool rn_session_done(const rn_session *session)
{
    return session->so_far.time >= session->end;
}

const rn_history *rn_session_history(const rn_session *session)
{
    return session->options.history ? session->history : NULL;
}

const rn_reel *rn_session_reel(const rn_session *session)
{
    return session->reel;
}

const rn_grid *rn_session_grid(const rn_session *session)
{
    return rn_film_grid(session->film);
}

void rn_session_depth(double *depth, const rn_session *session)
{
    rn_film_get(depth, session->film);
}

rn_status rn_session_record(rn_record **record, const rn_session *session, rn_error *err)
{
    const rn_grid *grid = rn_session_grid(session);
    size_t cells = (size_t)grid->nx * (size_t)grid->ny, count = (size_t)session->so_far.moment_count;
    rn_record *made = calloc(1, sizeof *made);
    if (made) {
        made->inside = malloc(cells * sizeof *made->inside);
        made->depth = malloc(cells * sizeof *made->depth);
        made->arrival = malloc(cells * sizeof *made->arrival);
        made->moments = malloc(count * sizeof *made->moments);
    }
    if (!made || !made->inside || !made->depth || !made->arrival || !made->moments) {
        rn_record_free(made);
        return rn_fail(err, RN_E_MEMORY, "no memory for the session's record");
    }
    made->grid = *grid;
    memcpy(made->inside, rn_film_inside(session->film), cells * sizeof *made->inside);
    rn_film_get(made->depth, session->film);
    const float *arrival = rn_measure_arrival(session->measure);
    for (size_t at = 0; at < cells; at++)
        made->arrival[at] = isinf(arrival[at]) ? NAN : arrival[at];
    memcpy(made->moments, session->moments, count * sizeof *made->moments);
    made->moment_count = session->so_far.moment_count;
    made->end = session->so_far.time;
    made->complete = rn_session_done(session);
    *record = made;
    return RN_OK;
}

/* Mean, thinnest and deepest place of the face. */
static void survey(rn_forecast *forecast, const rn_session *session)
{
    const rn_grid *grid = rn_session_grid(session);
    const bool *inside = rn_film_inside(session->film);
    long stride, count = 0;
    const double *depth = rn_film_depth(session->film, &stride);
    double sum = 0;
    forecast->least = (rn_spot){INFINITY, 0, 0};
    forecast->most = (rn_spot){-INFINITY, 0, 0};
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            if (!inside[(long)j * grid->nx + i])
                continue;
            rn_spot spot = {depth[j * stride + i], rn_grid_x(grid, i), rn_grid_y(grid, j)};
            sum += spot.depth;
            count++;
            if (spot.depth < forecast->least.depth)
                forecast->least = spot;
            if (spot.depth > forecast->most.depth)
                forecast->most = spot;
        }
    forecast->mean = sum / (double)count;
}

rn_status rn_session_forecast(rn_forecast *forecast, const rn_session *session, rn_error *err)
{
    const rn_plan *plan = session->plan;
    const rn_film *film = session->film;
    double volume;
    const rn_paint mixture = rn_plan_mixture(&volume, plan);
    rn_forecast f = {
        .cover = plan->cover,
        .covered = !isnan(session->so_far.covered.at),
        .stretch = NAN,
        .twist = NAN,
        .covered_at = session->so_far.covered.at,
        .best_coverage = session->so_far.best_coverage,
        .best_at = session->so_far.best_at,
        .base = session->base,
        .poured = released(session, session->so_far.time),
        .on_sides = rn_film_on_sides(film),
        .run_off = run_off(session),
        .balance_error = session->so_far.balance_error,
        .round = plan->panel.round,
        .wrapped = plan->panel.edges == RN_EDGE_WRAPPED,
        .side_coverage = plan->panel.edges == RN_EDGE_WRAPPED ? rn_film_side_wetted(film) : NAN,
        .duration = session->so_far.time,
        .complete = rn_session_done(session),
        .steps = rn_film_steps(film),
        .rejected = rn_film_rejected(film),
        .grid = *rn_session_grid(session),
        .wall = session->wall,
    };
    rn_status status = rn_film_speed(&f.still_moving, film, SPEED_DEPTH, err);
    if (status != RN_OK)
        return status;
    memcpy(f.title, plan->title, sizeof f.title);
    f.on_panel = rn_film_volume(film) + f.on_sides;
    f.run_off_cost = mixture.price * f.run_off;
    f.poured_cost = mixture.price * (f.base + f.poured);
    rn_film_run_off(f.run_off_by_side, film);
    long stride;
    const double *depth = rn_film_depth(film, &stride);
    rn_look look = rn_measure_look(session->measure, depth, stride, session->so_far.time);
    f.coverage = look.coverage;
    for (int c = 0; c < RN_CORNERS; c++)
        f.corners[c] = (rn_corner_outcome){session->so_far.corners[c].at, look.corner[c]};
    survey(&f, session);
    rn_drying_wet_band(&f.wet_least, &f.wet_most, f.mean, mixture.solids);
    rn_warn_all(&f, plan, session->moments, session->so_far.moment_count);
    *forecast = f;
    return RN_OK;
}

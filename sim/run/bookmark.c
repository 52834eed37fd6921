/* Sessions that go back and on with another plan. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "film/history_saved.h"
#include "film/saved.h"
#include "run/session_state.h"

struct rn_bookmark {
    const rn_session *session;
    long returns; /* of the session when it was made */
    rn_so_far so_far;
    rn_film_saved *film;
    float *arrival;              /* of each cell */
    rn_history_saved *history;   /* NULL without history, */
    rn_layering_saved *layering; /* or where the paints flow alike */
    long bytes;
};

static size_t arrival_size(const rn_session *session)
{
    const rn_grid *grid = rn_session_grid(session);
    return (size_t)grid->nx * (size_t)grid->ny * sizeof(float);
}

static rn_status keep_layers(rn_bookmark *made, const rn_session *session, rn_error *err)
{
    rn_status status = RN_OK;
    if (session->history) {
        status = rn_history_save(&made->history, session->history, session->film, !session->options.history, err);
        if (status == RN_OK)
            made->bytes += rn_history_saved_bytes(made->history);
    }
    if (status == RN_OK && session->layering) {
        status = rn_layering_save(&made->layering, session->layering, err);
        if (status == RN_OK)
            made->bytes += rn_layering_saved_bytes(made->layering);
    }
    return status;
}

rn_status rn_session_mark(rn_bookmark **mark, const rn_session *session, rn_error *err)
{
    rn_bookmark *made = calloc(1, sizeof *made);
    if (!made || !(made->arrival = malloc(arrival_size(session)))) {
        free(made);
        return rn_fail(err, RN_E_MEMORY, "no memory for a mark");
    }
    made->session = session;
    made->returns = session->returns;
    made->so_far = session->so_far;
    memcpy(made->arrival, rn_measure_arrival(session->measure), arrival_size(session));
    made->bytes = (long)(sizeof *made + arrival_size(session));
    rn_status status = rn_film_save(&made->film, session->film, err);
    if (status == RN_OK) {
        made->bytes += rn_film_saved_bytes(made->film);
        status = keep_layers(made, session, err);
    }
    if (status == RN_OK)
        *mark = made;
    else
        rn_bookmark_free(made);
    return status;
}

void rn_bookmark_free(rn_bookmark *mark)
{
    if (!mark)
        return;
    rn_film_saved_free(mark->film);
    rn_history_saved_free(mark->history);
    rn_layering_saved_free(mark->layering);
    free(mark->arrival);
    free(mark);
}

double rn_bookmark_time(const rn_bookmark *mark)
{
    return mark->so_far.time;
}

double rn_bookmark_bound(const rn_bookmark *mark)
{
    return mark->so_far.bound;
}

long rn_bookmark_bytes(const rn_bookmark *mark)
{
    return mark->bytes;
}

bool rn_session_between_intervals(const rn_session *session)
{
    return !session->history || rn_history_is_between(session->history);
}

/* Whether the session's way still leads past the mark: it has not gone back behind it since. */
static bool lies_on_the_way(const rn_session *session, const rn_bookmark *mark)
{
    if (mark->session != session)
        return false;
    for (int k = 0; k < session->return_count; k++)
        if (session->return_list[k].number > mark->returns)
            return session->return_list[k].to >= mark->so_far.time; /* the earliest of those since */
    return mark->so_far.time <= session->so_far.time;
}

static rn_status make_room_for_return(rn_session *session, rn_error *err)
{
    if (session->return_count < session->return_size)
        return RN_OK;
    const int size = session->return_size ? 2 * session->return_size : 16;
    rn_return *more = realloc(session->return_list, (size_t)size * sizeof *more);
    if (!more)
        return rn_fail(err, RN_E_MEMORY, "no memory to go back");
    session->return_list = more;
    session->return_size = size;
    return RN_OK;
}

static void note_return(rn_session *session, double to)
{
    while (session->return_count > 0 && session->return_list[session->return_count - 1].to >= to)
        session->return_count--;
    session->return_list[session->return_count++] = (rn_return){++session->returns, to};
}

rn_status rn_session_rewind(rn_session *session, const rn_bookmark *mark, rn_error *err)
{
    if (!lies_on_the_way(session, mark))
        return rn_fail(err, RN_E_USAGE, "the session has left the way on which that mark lies");
    rn_status status = make_room_for_return(session, err);
    if (status == RN_OK && session->history)
        status = rn_history_recall(session->history, mark->history, err);
    if (status != RN_OK)
        return status;
    rn_film_restore(session->film, mark->film);
    if (session->history)
        rn_history_restore(session->history, mark->history, session->film);
    if (session->layering)
        rn_layering_restore(session->layering, mark->layering);
    if (session->reel)
        rn_reel_cut(session->reel, mark->so_far.moment_count);
    rn_measure_set_arrival(session->measure, mark->arrival);
    session->so_far = mark->so_far;
    note_return(session, session->so_far.time);
    return RN_OK;
}

rn_status rn_session_replan(rn_session *session, const rn_plan *plan, rn_error *err)
{
    const double until = rn_plan_agree_until(session->plan, plan);
    if (!(until >= session->so_far.bound))
        return rn_fail(err, RN_E_USAGE, "the plans agree until %.9g s only, and the session is bound until %.9g s",
                       until, session->so_far.bound);
    rn_plan *copy = rn_plan_copy(plan);
    if (!copy)
        return rn_fail(err, RN_E_MEMORY, "no memory for a plan");
    const rn_status status = rn_session_set_sources(session, copy, err);
    if (status != RN_OK) {
        rn_plan_free(copy);
        return status;
    }
    rn_plan_free(session->plan);
    session->plan = copy;
    session->end = rn_session_end_of(&session->options, copy);
    if (session->layering)
        rn_layering_replan(session->layering, copy);
    return RN_OK;
}

long rn_session_bytes(const rn_session *session)
{
    long bytes = (long)sizeof *session + rn_film_bytes(session->film) + (long)arrival_size(session) +
                 session->moment_size * (long)sizeof *session->moments;
    if (session->history)
        bytes += rn_history_bytes(session->history);
    if (session->reel)
        bytes += rn_reel_bytes(session->reel);
    if (session->layering)
        bytes += rn_layering_bytes(session->layering);
    return bytes;
}

/* runnel compare: what comes of several plans, side by side; or of one, thin, usual and thick. */
#include <limits.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "cli/cmd.h"
#include "cli/input.h"
#include "cli/searching.h"
#include "run/past.h"
#include "run/session.h"
#include "run/strata.h"
#include "search/trial.h"
#include "show/compare.h"
#include "show/face.h"
#include "show/report_compare.h"

#define FACE_PIXELS 760
#define FACE_POINTS 512

/* What is shown of one plan, made while its session is there. */
typedef struct portrait {
    rn_record *record;
    cairo_surface_t *face;
} portrait;

typedef struct comparison {
    rn_input inputs[RN_COMPARE_MOST]; /* owned, as is all below; one of them with --thin-thick */
    char *names[RN_COMPARE_MOST];
    rn_plan *plans[RN_COMPARE_MOST];
    portrait portraits[RN_COMPARE_MOST];
    rn_compare compare;
} comparison;

/* ---- the plans ---- */

/* What may tell a plan from the others, each only where those before do not: its file's name without its suffix, with it,
   and after one more folder at a time. Returns where it begins in the path; NULL: there is nothing more. */
static const char *candidate(int *length, const char *path, int which)
{
    const char *begin = rn_input_name(length, path, "standard input");
    if (which == 0 || strcmp(path, "-") == 0)
        return which == 0 ? begin : NULL;
    if (which == 1) {
        *length = (int)strlen(begin);
        return begin;
    }
    for (int folder = 1; folder < which; folder++) {
        if (begin == path)
            return NULL;
        for (begin--, ++*length; begin > path && begin[-1] != '/'; begin--)
            ++*length;
    }
    return begin;
}

/* Whether another file would be called the same. */
static bool shared(const rn_arguments *arguments, int plan, int which)
{
    int length, other_length;
    const char *path = arguments->operands[plan], *name = candidate(&length, path, which);
    for (int i = 0; i < arguments->operand_count; i++) {
        const char *other = candidate(&other_length, arguments->operands[i], which);
        if (strcmp(arguments->operands[i], path) != 0 && other && other_length == length &&
            memcmp(other, name, (size_t)length) == 0)
            return true;
    }
    return false;
}

/* What a plan is called on the page; *name is owned by the caller. */
static rn_status name_plan(char **name, const rn_arguments *arguments, int plan, rn_error *err)
{
    int length, which = 0;
    const char *path = arguments->operands[plan];
    while (candidate(&length, path, which + 1) && shared(arguments, plan, which))
        which++;
    const char *begin = candidate(&length, path, which);
    char *raw = strndup(begin, (size_t)length);
    const size_t room = 4 * (size_t)length + 1; /* "\\x1b" for a byte */
    *name = raw ? malloc(room) : NULL;
    if (*name)
        rn_text_show(*name, room, raw);
    free(raw);
    return *name ? RN_OK : rn_fail(err, RN_E_MEMORY, "no memory left");
}

static rn_status add_plan(comparison *c, const rn_plan *plan, const char *name, rn_error *err)
{
    const int k = c->compare.count;
    c->plans[k] = rn_plan_copy(plan);
    if (!c->plans[k])
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    c->compare.plans[k] = (rn_compare_plan){.plan = c->plans[k], .name = name, .goal = rn_goal_of_plan(plan)};
    c->compare.count++;
    return RN_OK;
}

/* All paints as many times as thick. */
static void thicken(rn_plan *plan, double factor)
{
    for (int i = 0; i < plan->paint_count; i++) {
        plan->paints[i].law.consistency *= factor;
        plan->paints[i].law.yield *= factor;
    }
}

static rn_status make_trio(comparison *c, rn_error *err)
{
    static const char *const names[] = {"thin", "usual", "thick"};
    static const double factors[] = {RN_THIN, 1, RN_THICK};
    rn_status status = RN_OK;
    for (int k = 0; k < 3 && status == RN_OK; k++) {
        status = add_plan(c, c->inputs[0].plan, names[k], err);
        if (status == RN_OK)
            thicken(c->plans[k], factors[k]);
    }
    return status;
}

static rn_status read_plans(comparison *c, const rn_arguments *arguments, FILE *err, rn_error *error)
{
    const int count = arguments->operand_count;
    rn_status status = RN_OK;
    if (arguments->thin_thick && count != 1)
        return rn_fail(error, RN_E_USAGE, "'--thin-thick' is made of one plan; %d are given", count);
    if (!arguments->thin_thick && count == 1)
        return rn_fail(error, RN_E_USAGE, "one plan is nothing to compare; name another, or add --thin-thick");
    if (count > RN_COMPARE_MOST)
        return rn_fail(error, RN_E_USAGE, "%d plans are too many for one page; name %d at most", count,
                       RN_COMPARE_MOST);
    status = rn_input_check_once(arguments->operands, count, error);
    for (int i = 0; i < count && status == RN_OK; i++) {
        status = rn_input_open(&c->inputs[i], arguments->operands[i], &arguments->sets, err, error);
        if (status && error->status && count > 1) /* --set may be wrong for one plan and right for the others */
            snprintf(error->file, sizeof error->file, "%s",
                     strcmp(arguments->operands[i], "-") == 0 ? "standard input" : arguments->operands[i]);
        if (status == RN_OK && !arguments->thin_thick)
            status = name_plan(&c->names[i], arguments, i, error);
        if (status == RN_OK && !arguments->thin_thick)
            status = add_plan(c, c->inputs[i].plan, c->names[i], error);
    }
    if (status == RN_OK && arguments->thin_thick)
        status = make_trio(c, error);
    return status;
}

/* ---- the runs ---- */

static rn_status paint_face(cairo_surface_t **image, const rn_plan *plan, const rn_session *session,
                            rn_study_go_on *go_on, void *study, rn_error *err)
{
    rn_past past;
    rn_still *still = NULL;
    rn_strata *strata = NULL;
    rn_team *team = NULL;
    rn_strata_options options = rn_strata_defaults();
    options.levels = 1;
    options.points = FACE_POINTS;
    rn_past_init(&past, plan, rn_session_history(session));
    rn_status status = rn_session_still(&still, session, err);
    if (status == RN_OK)
        status = rn_team_new(&team, 1, err);
    if (status == RN_OK) {
        rn_team_heed(team, go_on, study);
        status = rn_strata_trace(&strata, &past, still, options, team, err);
    }
    if (status == RN_OK) {
        const rn_face face = {
            .plan = plan, .still = still, .strata = strata, .plane = strata->planes - 1, .margin = 0.03};
        status = rn_face_render(image, &face, FACE_PIXELS, team, err);
    }
    rn_strata_free(strata);
    rn_team_free(team);
    rn_still_free(still);
    return status;
}

/* An rn_trial_guest: called by several threads, each for another plan. */
static rn_status take_portrait(void *context, const rn_run *run, const rn_session *session, rn_study_go_on *go_on,
                               void *study, rn_error *err)
{
    comparison *c = context;
    int at = 0;
    while (c->plans[at] != run->plan)
        at++;
    const rn_status status = rn_session_record(&c->portraits[at].record, session, err);
    return status ? status : paint_face(&c->portraits[at].face, run->plan, session, go_on, study, err);
}

static rn_status work(comparison *c, const rn_arguments *arguments, rn_study *study, rn_error *err)
{
    rn_run runs[RN_COMPARE_MOST] = {0};
    for (int k = 0; k < c->compare.count; k++)
        runs[k] = (rn_run){.plan = c->plans[k], .cells = arguments->cells, .pattern = true};
    const rn_status status = rn_study_work(study, runs, c->compare.count, err);
    for (int k = 0; k < c->compare.count; k++) {
        c->compare.plans[k].outcome = runs[k].outcome;
        c->compare.plans[k].record = c->portraits[k].record;
        c->compare.plans[k].face = c->portraits[k].face;
    }
    return status;
}

/* Whether every plan was run, to its end or not. */
static bool all_run(const comparison *c)
{
    for (int k = 0; k < c->compare.count; k++)
        if (c->compare.plans[k].outcome.state == RN_OUTCOME_NONE)
            return false;
    return true;
}

/* A page that lacks plans is not drawn: it would be taken for a whole one. */
static rn_status show(const comparison *c, const rn_search_facts *facts, const rn_arguments *arguments, FILE *out,
                      rn_error *err)
{
    const bool taken = rn_searching_takes_standard(arguments->picture);
    if (arguments->json && !taken)
        rn_report_compare_json(out, &c->compare, facts);
    else if (!taken)
        rn_report_compare_text(out, &c->compare, facts);
    if (!arguments->picture || !all_run(c))
        return RN_OK;
    rn_figure_options options = rn_figure_defaults();
    options.dark = arguments->dark;
    return rn_compare_write(arguments->picture, out, &c->compare, options, err);
}

static rn_status compare(bool *stopped, comparison *c, const rn_arguments *arguments, rn_streams streams, rn_error *err)
{
    const rn_plan *plans[RN_COMPARE_MOST];
    rn_search_facts facts = {.title = NULL};
    rn_trial_visit visit = {.guest = take_portrait, .context = c};
    rn_searching searching = {0};
    if (arguments->picture) {
        searching.model = rn_trial_run;
        searching.model_context = &visit;
    }
    for (int k = 0; k < c->compare.count; k++)
        plans[k] = c->plans[k];
    c->compare.unlike = rn_plan_unlike(plans, c->compare.count);
    rn_status status = rn_searching_open(&searching, "comparing", arguments, streams, err);
    if (status == RN_OK) {
        status = work(c, arguments, searching.study, err);
        rn_study_counts(&facts.worked, &facts.known, searching.study);
    }
    *stopped = rn_searching_close(&searching, &facts.seconds);
    if (status == RN_OK && *stopped)
        fprintf(streams.err, "runnel compare: stopped by hand; what is not worked out is not known%s\n",
                arguments->picture && !all_run(c) ? ", and no picture is drawn" : "");
    if (status == RN_OK)
        status = show(c, &facts, arguments, streams.out, err);
    return status;
}

static void clear(comparison *c)
{
    for (int k = 0; k < RN_COMPARE_MOST; k++) {
        rn_input_clear(&c->inputs[k]);
        free(c->names[k]);
        rn_plan_free(c->plans[k]);
        rn_record_free(c->portraits[k].record);
        cairo_surface_destroy(c->portraits[k].face);
    }
    free(c);
}

static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    rn_error error = {0};
    bool stopped = false;
    comparison *c = calloc(1, sizeof *c);
    rn_status status = c ? RN_OK : rn_fail(&error, RN_E_MEMORY, "no memory left");
    if (status == RN_OK)
        status = rn_searching_check_files(arguments, "--picture", &error);
    if (status == RN_OK)
        status = read_plans(c, arguments, streams.err, &error);
    rn_watch *guard = rn_watch_open(streams.err, true); /* no signal ends it while it writes */
    if (status == RN_OK)
        status = compare(&stopped, c, arguments, streams, &error);
    rn_watch_close(guard);
    if (error.status)
        rn_cmd_report("compare", &error, streams.err);
    if (c)
        clear(c);
    return status ? rn_cmd_exit_of(status) : stopped ? RN_EXIT_STOPPED : RN_EXIT_DONE;
}

static const rn_opt opts[] = {
    {.name = "thin-thick",
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, thin_thick),
     .text = "Compare one plan with itself, its paints half and twice as thick."},
    RN_OPT_PICTURE("side.png", "Draw a page with all faces, the measures on shared rules and one clock"),
    {.name = "dark", .kind = RN_OPT_FLAG, .offset = offsetof(rn_arguments, dark), .text = "Draw it for a dark room."},
    RN_OPT_JSON,
    RN_OPT_STUDY,
    RN_OPT_HELP,
};

const rn_command rn_cmd_compare = {
    .name = "compare",
    .operands = "PLAN...",
    .reads = "plan",
    .operands_least = 1,
    .operands_most = INT_MAX,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "set what comes of several plans side by side",
    .text = "Works several plans out, six at most, and prints one table: in what they differ, and what comes of each. "
            "The best of a line is marked with a star where one is better than the others by more than a run can "
            "tell; lines in which all come to the same say so. --set changes every plan alike.\n\n"
            "With --thin-thick one plan is enough: it is compared with itself, thinner and thicker.",
    .example = "runnel compare plan.yaml other.yaml\n"
               "runnel compare plan.yaml --thin-thick --picture side.png\n"
               "runnel compare a.yaml b.yaml c.yaml --grid 128 --json",
    .run = run,
};

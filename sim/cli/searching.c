#include "cli/searching.h"

#include <math.h>
#include <string.h>

#include "base/file.h"
#include "base/monotonic.h"
#include "base/text.h"
#include "show/figure.h"

rn_status rn_searching_goal(rn_goal *goal, const rn_plan *plan, const rn_arguments *arguments, rn_error *err)
{
    rn_goal made = rn_goal_of_plan(plan);
    if (arguments->goals.count > 0 && plan->expect_count == 0)
        made.count = 0; /* what is asked, and nothing that is only usual */
    for (int i = 0; i < arguments->goals.count; i++) {
        char word[40], quoted[RN_QUOTE_SIZE];
        rn_error own = {0};
        const char *item = arguments->goals.items[i], *value = strchr(item, '=');
        const size_t length = value ? (size_t)(value - item) : 0;
        rn_text_quote(quoted, item);
        if (!value || length == 0 || length >= sizeof word)
            return rn_fail(err, RN_E_USAGE, "'--goal %s' is no goal; write for example --goal 'run-off=at most 30 ml'",
                           quoted);
        memcpy(word, item, length);
        word[length] = '\0';
        if (rn_goal_add(&made, word, value + 1, &own))
            return rn_fail(err, RN_E_USAGE, "'--goal %s': %s", quoted, own.message);
    }
    *goal = made;
    return RN_OK;
}

rn_status rn_searching_fault(const rn_plan *plan, const char *path)
{
    return strcmp(path, "poured") == 0 && !(rn_plan_poured_all(plan) > 0) ? RN_E_PLAN : RN_E_USAGE;
}

void rn_searching_say_cut(const rn_dial *dial, const char *command, FILE *err)
{
    char from[RN_SEARCH_VALUE], to[RN_SEARCH_VALUE];
    if (!dial->cut)
        return;
    rn_search_value(from, dial, dial->from);
    rn_search_value(to, dial, dial->to);
    fprintf(err, "runnel %s: the range of %s is cut to what it can be, %s to %s\n", command, dial->path, from, to);
}

rn_status rn_searching_doubts(rn_doubts *doubts, const rn_plan *plan, const rn_arguments *arguments, rn_error *err)
{
    rn_doubts made = {.count = 0};
    if (!arguments->only)
        made = rn_doubts_usual(plan);
    for (int i = 0; i < arguments->doubts.count; i++) {
        char path[RN_DOUBT_PATH], quoted[RN_QUOTE_SIZE];
        rn_error own = {0};
        const char *item = arguments->doubts.items[i], *how = strchr(item, '=');
        const size_t length = how ? (size_t)(how - item) : 0;
        rn_text_quote(quoted, item);
        if (!how || length == 0 || length >= sizeof path)
            return rn_fail(err, RN_E_USAGE, "'--vary %s' is no doubt; write for example --vary 'consistency=+-10%%'",
                           quoted);
        memcpy(path, item, length);
        path[length] = '\0';
        if (rn_doubts_add(&made, plan, path, how + 1, &own))
            return rn_fail(err, own.status == RN_E_MEMORY ? RN_E_MEMORY : RN_E_USAGE, "'--vary %s': %s", quoted,
                           own.message);
    }
    if (made.count == 0)
        return rn_fail(err, RN_E_USAGE, "nothing is in doubt; write for example --vary 'consistency=+-10%%'");
    *doubts = made;
    return RN_OK;
}

static bool tell(void *context, const rn_progress *progress)
{
    const rn_searching *s = context;
    char line[200], left[64] = "";
    if (!isnan(progress->left))
        rn_watch_left(left, sizeof left, progress->left);
    snprintf(line, sizeof line, "%s, %d of about %d runs%s", s->work, progress->done, progress->of, left);
    return rn_watch_say(s->watch, line);
}

rn_status rn_searching_open(rn_searching *searching, const char *work, const rn_arguments *arguments,
                            rn_streams streams, rn_error *err)
{
    rn_study_options options = rn_study_defaults();
    rn_error why = {0};
    if (arguments->afresh && (arguments->resume || arguments->cache))
        return rn_fail(err, RN_E_USAGE, "'--afresh' keeps nothing, so it goes with neither --resume nor --cache");
    if (!arguments->afresh && !searching->model && rn_cache_open(&searching->cache, arguments->cache, &why)) {
        if (arguments->cache || arguments->resume)
            return rn_fail(err, RN_E_FILE, "%s", why.message);
        char text[sizeof why.file + sizeof why.message + 32];
        rn_error_text(&why, text, sizeof text);
        fprintf(streams.err, "runnel: runs are not kept: %s\n", text);
    }
    searching->work = work;
    searching->err = streams.err;
    searching->began = rn_monotonic_now();
    options.threads = arguments->threads;
    options.cache = searching->cache;
    options.tell = tell;
    options.tell_context = searching;
    options.model = searching->model;
    options.model_context = searching->model_context;
    const rn_status status = rn_study_new(&searching->study, options, err);
    if (status == RN_OK)
        searching->watch = rn_watch_open(streams.err, arguments->quiet);
    return status;
}

bool rn_searching_close(rn_searching *searching, double *seconds)
{
    const bool stopped = rn_watch_close(searching->watch);
    rn_error why = {0};
    const int unkept = searching->study ? rn_study_unkept(&why, searching->study) : 0;
    *seconds = rn_monotonic_now() - searching->began;
    if (unkept > 0) {
        char text[sizeof why.file + sizeof why.message + 32];
        rn_error_text(&why, text, sizeof text);
        fprintf(searching->err, "runnel: %d run%s could not be kept: %s\n", unkept, unkept == 1 ? "" : "s", text);
    }
    rn_study_free(searching->study);
    rn_cache_close(searching->cache);
    *searching = (rn_searching){.unkept = unkept};
    return stopped;
}

void rn_searching_say_kept(const rn_searching *closed, bool stopped, const char *command, const rn_search_facts *facts,
                           const rn_arguments *arguments, FILE *err)
{
    if (stopped)
        fprintf(err, "runnel %s: stopped by hand; %s\n", command,
                arguments->afresh    ? "no run was kept"
                : closed->unkept > 0 ? "not all runs that were done are kept"
                                     : "the runs that were done are kept, and --resume goes on");
    else if (arguments->resume)
        fprintf(err, "runnel %s: %d of %d runs were known\n", command, facts->known, facts->known + facts->worked);
}

void rn_searching_say_unsaved(const char *path, const char *command, FILE *err)
{
    char shown[RN_PATH_SIZE];
    fprintf(err, "runnel %s: %s is not written, as no plan was found that meets the goal\n", command,
            rn_text_show(shown, sizeof shown, path));
}

bool rn_searching_takes_standard(const char *path)
{
    return path && strcmp(path, "-") == 0;
}

rn_status rn_searching_check_files(const rn_arguments *arguments, const char *which, rn_error *err)
{
    const int standard = rn_searching_takes_standard(arguments->picture) + rn_searching_takes_standard(arguments->csv) +
                         rn_searching_takes_standard(arguments->save);
    if (standard > 1)
        return rn_fail(err, RN_E_USAGE, "only one of %s can go to '-'", which);
    if (standard > 0 && arguments->json)
        return rn_fail(err, RN_E_USAGE, "'--json' and a file named '-' cannot both have standard output");
    rn_status status = arguments->picture ? rn_figure_check_path(arguments->picture, err) : RN_OK;
    const char *const files[] = {arguments->picture, arguments->csv, arguments->save};
    for (size_t i = 0; i < sizeof files / sizeof files[0] && status == RN_OK; i++)
        if (files[i])
            status = rn_file_try(files[i], err);
    return status;
}

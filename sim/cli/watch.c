#include "cli/watch.h"

#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <unistd.h>

#include "base/monotonic.h"

#define DRAW_EVERY 0.2  /* [s] */
#define TRUST_AFTER 0.5 /* no time left is told before this [s] */

typedef struct rn_watch {
    FILE *err;
    bool draws;           /* err is a terminal */
    bool drawn;           /* a line is on it now */
    double started, last; /* when the run began, when the line was last drawn: monotonic clock [s] */
    const char *work;     /* rn_watch_busy: what was done last, and when that began [s] */
    double work_started;
} watch;

static const int caught[] = {SIGINT, SIGTERM, SIGHUP};

#define CAUGHT ((int)(sizeof caught / sizeof caught[0]))

/* The one mutable state of the program: a signal handler can reach nothing else. */
static volatile sig_atomic_t stop_asked;
static int open_watches;
static struct sigaction former[CAUGHT]; /* what the signals did before the outermost watch */

/* A second signal, of whichever kind, ends the program at once. */
static void ask_to_stop(int signal_number)
{
    (void)signal_number;
    stop_asked = 1;
    for (int i = 0; i < CAUGHT; i++)
        if (former[i].sa_handler != SIG_IGN)
            signal(caught[i], SIG_DFL);
}

static void catch_signals(void)
{
    struct sigaction action = {.sa_handler = ask_to_stop, .sa_flags = SA_RESTART};
    sigemptyset(&action.sa_mask);
    for (int i = 0; i < CAUGHT; i++)
        sigaddset(&action.sa_mask, caught[i]);
    stop_asked = 0;
    for (int i = 0; i < CAUGHT; i++)
        sigaction(caught[i], NULL, &former[i]);
    for (int i = 0; i < CAUGHT; i++)
        if (former[i].sa_handler != SIG_IGN)
            sigaction(caught[i], &action, NULL);
}

static void begin(watch *w, FILE *err, bool quiet)
{
    const int handle = fileno(err); /* -1 for a stream in memory */
    const double now = rn_monotonic_now();
    *w = (watch){.err = err, .draws = !quiet && handle >= 0 && isatty(handle), .started = now, .last = now};
    if (open_watches++ == 0)
        catch_signals();
}

void rn_watch_left(char *text, int size, double left)
{
    if (left < 90)
        snprintf(text, (size_t)size, ", about %.0f s left", ceil(left));
    else if (left < 90 * 60)
        snprintf(text, (size_t)size, ", about %.0f min left", ceil(left / 60));
    else
        snprintf(text, (size_t)size, ", about %.0f h left", ceil(left / 3600));
}

/* Nothing while it is too early to tell. */
static void time_left(char *text, int size, double elapsed, double share)
{
    text[0] = '\0';
    if (elapsed >= TRUST_AFTER && share > 0)
        rn_watch_left(text, size, elapsed * (1 - share) / share);
}

/* Whether a line is due. */
static bool is_due(watch *w)
{
    const double now = rn_monotonic_now();
    if (!w->draws || now - w->last < DRAW_EVERY)
        return false;
    w->last = now;
    return true;
}

static void draw(watch *w, const char *line)
{
    fprintf(w->err, "\r\033[K%s", line);
    fflush(w->err);
    w->drawn = true;
}

void rn_watch_wipe(rn_watch *w)
{
    if (!w || !w->drawn)
        return;
    fputs("\r\033[K", w->err);
    fflush(w->err);
    w->drawn = false;
}

static bool look(void *context, const rn_session *session)
{
    watch *w = context;
    char left[64], line[200];
    if (stop_asked)
        return false;
    if (!is_due(w))
        return true;
    const double t = rn_session_time(session), whole = rn_session_end(session);
    const double share = whole > 0 ? t / whole : 1;
    time_left(left, sizeof left, w->last - w->started, share);
    snprintf(line, sizeof line, "%.0f s of %.0f s worked out, %.0f %%%s", t, whole, 100 * share, left);
    draw(w, line);
    return true;
}

static bool end(watch *w)
{
    rn_watch_wipe(w);
    if (--open_watches == 0)
        for (int i = 0; i < CAUGHT; i++)
            sigaction(caught[i], &former[i], NULL);
    return stop_asked;
}

rn_status rn_watch_run(bool *stopped, rn_session *session, FILE *err, bool quiet, rn_error *error)
{
    watch w;
    begin(&w, err, quiet);
    const rn_status status = rn_session_run(session, look, &w, error);
    *stopped = end(&w) && !rn_session_done(session);
    return status;
}

rn_watch *rn_watch_open(FILE *err, bool quiet)
{
    watch *w = malloc(sizeof *w);
    if (w)
        begin(w, err, quiet);
    return w;
}

bool rn_watch_say(rn_watch *w, const char *line)
{
    if (!w || stop_asked)
        return !w;
    if (is_due(w))
        draw(w, line);
    return true;
}

bool rn_watch_busy(rn_watch *w, const char *work)
{
    char line[200];
    if (!w || stop_asked)
        return !w;
    if (w->work != work) {
        w->work = work;
        w->work_started = rn_monotonic_now();
    }
    if (is_due(w)) {
        snprintf(line, sizeof line, "%s, %.0f s so far", work, w->last - w->work_started);
        draw(w, line);
    }
    return true;
}

bool rn_watch_tell(rn_watch *w, const char *work, int done, int all)
{
    char left[64] = "", line[200];
    if (w)
        time_left(left, sizeof left, rn_monotonic_now() - w->started, all > 0 ? (double)done / all : 0);
    snprintf(line, sizeof line, "%s, %d of %d%s", work, done, all, left);
    return rn_watch_say(w, line);
}

bool rn_watch_close(rn_watch *w)
{
    if (!w)
        return false;
    const bool stopped = end(w);
    free(w);
    return stopped;
}

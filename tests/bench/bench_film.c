/* How fast a session runs: the timing reference on several grids, with 1 and 2 threads and every kernel that this
   machine has. Prints a table; with -w FOLDER also writes it as FOLDER/<date>-<processor>.md.

     bench_film [-q] [-l] [-n REPEATS] [-w FOLDER] [PLAN]

   -l: layered columns against one liquid, and nothing else.
   Each run of a session is a process of its own, so that its greatest memory is its own. Of several repeats the quickest counts. */
#include <ctype.h>
#include <inttypes.h>
#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/utsname.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "film/height.h"
#include "film/kernels.h"
#include "run/session.h"

typedef struct request {
    int cells, threads;
    const char *kernel;
} request;

/* Plain data: goes through a pipe. */
typedef struct timing {
    bool good;
    double wall, processor; /* [s] */
    double duration;        /* simulated [s] */
    double memory;          /* greatest [bytes] */
    double coverage, run_off, balance;
    long steps, rejected, cells;
    uint64_t film; /* a hash of the final depths: equal bits, equal hash */
} timing;

static double clock_now(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* FNV-1a. */
static uint64_t hash_of(const double *depth, long count)
{
    uint64_t hash = UINT64_C(14695981039346656037);
    for (long n = 0; n < count; n++) {
        uint64_t bits;
        memcpy(&bits, &depth[n], sizeof bits);
        for (int byte = 0; byte < 8; byte++) {
            hash ^= (bits >> (8 * byte)) & 0xff;
            hash *= UINT64_C(1099511628211);
        }
    }
    return hash;
}

static rn_status take_time(timing *result, const rn_plan *plan, const request *asked, rn_error *err)
{
    rn_session_options options = rn_session_defaults();
    options.cells = asked->cells;
    options.threads = asked->threads;
    options.kernel = asked->kernel;
    rn_session *session = NULL;
    double *depth = NULL;
    rn_status status = rn_session_new(&session, plan, &options, err);
    if (status != RN_OK)
        return status;

    double wall = clock_now(CLOCK_MONOTONIC), processor = clock_now(CLOCK_PROCESS_CPUTIME_ID);
    while (status == RN_OK && !rn_session_done(session))
        status = rn_session_step(session, err);
    result->wall = clock_now(CLOCK_MONOTONIC) - wall;
    result->processor = clock_now(CLOCK_PROCESS_CPUTIME_ID) - processor;
    struct rusage use;
    getrusage(RUSAGE_SELF, &use);
    result->memory = 1024.0 * (double)use.ru_maxrss;

    rn_forecast forecast;
    if (status == RN_OK)
        status = rn_session_forecast(&forecast, session, err);
    if (status == RN_OK) {
        const rn_grid *grid = rn_session_grid(session);
        result->cells = (long)grid->nx * grid->ny;
        depth = malloc((size_t)result->cells * sizeof *depth);
        if (!depth)
            status = rn_fail(err, RN_E_MEMORY, "no memory for the final film");
    }
    if (status == RN_OK) {
        rn_session_depth(depth, session);
        result->film = hash_of(depth, result->cells);
        result->steps = forecast.steps;
        result->rejected = forecast.rejected;
        result->duration = forecast.duration;
        result->coverage = forecast.coverage;
        result->run_off = forecast.run_off;
        result->balance = forecast.balance_error;
        result->good = true;
    }
    free(depth);
    rn_session_free(session);
    return status;
}

static timing apart(const rn_plan *plan, const request *asked)
{
    timing result = {0};
    int ends[2];
    fflush(NULL);
    if (pipe(ends) != 0)
        return result;
    pid_t child = fork();
    if (child == 0) {
        rn_error err = {0};
        if (take_time(&result, plan, asked, &err) != RN_OK)
            fprintf(stderr, "%d cells, %d threads, %s: %s\n", asked->cells, asked->threads, asked->kernel, err.message);
        ssize_t written = write(ends[1], &result, sizeof result);
        _exit(written == (ssize_t)sizeof result ? 0 : 1);
    }
    close(ends[1]);
    if (child > 0) {
        if (read(ends[0], &result, sizeof result) != (ssize_t)sizeof result)
            result.good = false;
        waitpid(child, NULL, 0);
    }
    close(ends[0]);
    return result;
}

/* To the terminal and, where asked for, to the file. */
static void say(FILE *file, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void say(FILE *file, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    vprintf(format, list);
    va_end(list);
    fflush(stdout);
    if (!file)
        return;
    va_start(list, format);
    vfprintf(file, format, list);
    va_end(list);
}

/* The processor as /proc/cpuinfo names it, or the machine's architecture. */
static void name_processor(char *name, size_t size)
{
    struct utsname machine;
    snprintf(name, size, "%s", uname(&machine) == 0 ? machine.machine : "unknown");
    FILE *info = fopen("/proc/cpuinfo", "r");
    if (!info)
        return;
    char line[256];
    while (fgets(line, sizeof line, info)) {
        char *colon = strchr(line, ':');
        if (strncmp(line, "model name", 10) != 0 || !colon)
            continue;
        line[strcspn(line, "\n")] = 0;
        snprintf(name, size, "%s", colon + 1 + strspn(colon + 1, " "));
        break;
    }
    fclose(info);
}

static FILE *open_page(const char *folder, const char *processor, const char *date)
{
    char path[512], slug[128];
    size_t length = 0;
    for (const char *c = processor; *c && length + 1 < sizeof slug; c++) {
        if (isalnum((unsigned char)*c))
            slug[length++] = (char)tolower((unsigned char)*c);
        else if (length > 0 && slug[length - 1] != '-')
            slug[length++] = '-';
    }
    while (length > 0 && slug[length - 1] == '-')
        length--;
    slug[length] = 0;
    snprintf(path, sizeof path, "%s/%s-%s.md", folder, date, slug);
    FILE *file = fopen(path, "w");
    if (!file)
        fprintf(stderr, "cannot write %s\n", path);
    else
        printf("writing %s\n", path);
    return file;
}

static bool run_row(FILE *file, const rn_plan *plan, const request *asked, int repeats, uint64_t *film)
{
    timing best = {0};
    for (int k = 0; k < repeats; k++) {
        timing again = apart(plan, asked);
        if (!again.good)
            return false;
        if (k == 0 || again.wall < best.wall)
            best = again;
    }
    bool same = *film == 0 || *film == best.film;
    *film = best.film;
    double work = (double)best.cells * (double)(best.steps + best.rejected);
    say(file, "| %d | %d | %s | %ld + %ld | %.1f | %.2f | %.2f | %.4f | %.0f | %.2f | %.2f | %.1e | %s |\n",
        asked->cells, asked->threads, asked->kernel, best.steps, best.rejected, 1e9 * best.wall / work, best.wall,
        best.processor, best.wall / best.duration, best.memory / 1e6, 100.0 * best.coverage, 1e6 * best.run_off,
        best.balance, same ? "yes" : "NO");
    return same;
}

static bool run_table(FILE *file, const rn_plan *plan, bool quick, int repeats)
{
    static const int grids[] = {128, 256, 512};
    static const char *const kernels[] = {"baseline", "avx2", "avx512"};
    bool good = true;
    say(file, "| cells a side | threads | kernel | steps + rejected | ns per cell and step | wall s | processor s "
              "| s per simulated s | memory MB | coverage %% | run-off mL | balance error | same bits |\n"
              "|---|---|---|---|---|---|---|---|---|---|---|---|---|\n");
    for (int grid = 0; grid < (quick ? 1 : 3); grid++) {
        uint64_t film = 0;
        for (int kernel = 0; kernel < 3; kernel++)
            for (int threads = 1; threads <= 2; threads++) {
                request asked = {grids[grid], threads, kernels[kernel]};
                if (rn_kernels_choose(kernels[kernel]))
                    good = run_row(file, plan, &asked, repeats, &film) && good;
            }
    }
    return good;
}

/* Layered columns against one liquid: a wet square panel that is tilted and turns, for a simulated while. */
typedef struct layered {
    const char *what;
    rn_law laws[3]; /* the first alone is the one liquid's */
    int levels;     /* 0: one liquid */
    int every;      /* levels and blotches change paint with every so many levels */
} layered;

static const layered layers[] = {
    {"one liquid", {{1, 1, 0}}, 0, 1},
    {"layers of plain viscosity", {{1, 1, 0}, {2, 1, 0}, {0.5, 1, 0}}, 8, 3},
    {"one liquid that yields, n = 1", {{1, 1, 0.5}}, 0, 1},
    {"layers, n = 1, 3 in a column", {{1, 1, 0.5}, {2, 1, 0.2}, {0.5, 1, 0}}, 8, 3},
    {"one liquid that yields, n = 0.8", {{1, 0.8, 0.5}}, 0, 1},
    {"layers, n differs, 3 in a column", {{1, 0.8, 0.5}, {2, 0.9, 0.2}, {0.5, 1, 0}}, 8, 3},
    {"layers, n differs, 8 in a column", {{1, 0.8, 0.5}, {2, 0.9, 0.2}, {0.5, 1, 0}}, 8, 1},
};

static void tilt_and_turn(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    (void)volumes;
    (void)context;
    double toward = 0.5 * (t0 + t1);
    *input = (rn_film_input){1.2 * cos(toward), 1.2 * sin(toward), 9.7, 1.5, 0.1};
}

static rn_status lay_columns(rn_film *film, const layered *asked, rn_error *err)
{
    const rn_grid *grid = rn_film_grid(film);
    const long plane = (long)grid->nx * grid->ny;
    if (asked->levels == 0)
        return RN_OK;
    unsigned char *laws_of = malloc((size_t)(plane * asked->levels));
    if (!laws_of)
        return rn_fail(err, RN_E_MEMORY, "no memory for the layers");
    for (long n = 0; n < plane * asked->levels; n++) {
        long cell = n % plane, blotch = cell % grid->nx / 13 + cell / grid->nx / 11;
        laws_of[n] = (unsigned char)((n / plane / asked->every + blotch) % 3);
    }
    rn_status status = rn_film_set_columns(film, laws_of, NULL, asked->levels, asked->laws, 3, err);
    free(laws_of);
    return status;
}

/* Seconds per cell and attempted step. */
static rn_status time_layers(double *result, long *steps, const layered *asked, int cells, const char *kernel,
                             rn_error *err)
{
    const double end = 10;
    rn_film_options options = rn_film_defaults();
    options.grid = (rn_grid){cells, cells, 0.3 / cells, 0.3 / cells};
    options.law = asked->laws[0];
    options.threads = 1;
    options.kernel = kernel;
    rn_film *film = NULL;
    double *depth = malloc((size_t)cells * (size_t)cells * sizeof *depth);
    rn_status status = depth ? rn_film_new(&film, &options, err) : rn_fail(err, RN_E_MEMORY, "no memory for a film");
    for (long n = 0; status == RN_OK && n < (long)cells * cells; n++)
        depth[n] = 1.5e-3 * (1 + 0.2 * sin(0.05 * (double)(n % cells)) * cos(0.07 * (double)(n / cells)));
    if (status == RN_OK) {
        rn_film_set(film, depth);
        status = lay_columns(film, asked, err);
    }
    double start = clock_now(CLOCK_PROCESS_CPUTIME_ID), taken = 0;
    for (double t = 0; status == RN_OK && t < end; t += taken)
        status = rn_film_step(&taken, film, t, end, tilt_and_turn, NULL, err);
    if (status == RN_OK) {
        *steps = rn_film_steps(film) + rn_film_rejected(film);
        *result = (clock_now(CLOCK_PROCESS_CPUTIME_ID) - start) / ((double)*steps * cells * cells);
    }
    rn_film_free(film);
    free(depth);
    return status;
}

static bool layers_table(FILE *file, bool quick, int repeats)
{
    const int cells = quick ? 128 : 256, count = (int)(sizeof layers / sizeof *layers);
    static const char *const kernels[] = {"baseline", "avx2", "avx512"};
    say(file, "\nLayered columns, %d cells a side, a wet panel tilted and turned for 10 s, one thread:\n\n", cells);
    say(file,
        "| paint | kernel | steps, all | ns per cell and step | times one plain liquid's |\n|---|---|---|---|---|\n");
    for (int kernel = 0; kernel < 3; kernel++) {
        double plain = 0;
        for (int n = 0; n < count && rn_kernels_choose(kernels[kernel]); n++) {
            double best = INFINITY, again = 0;
            long steps = 0;
            rn_error err = {0};
            for (int k = 0; k < repeats; k++) {
                if (time_layers(&again, &steps, &layers[n], cells, kernels[kernel], &err) != RN_OK) {
                    fprintf(stderr, "%s: %s\n", layers[n].what, err.message);
                    return false;
                }
                best = fmin(best, again);
            }
            plain = n == 0 ? best : plain;
            say(file, "| %s | %s | %ld | %.1f | %.2f |\n", layers[n].what, kernels[kernel], steps, 1e9 * best,
                best / plain);
        }
    }
    return true;
}

int main(int argc, char **argv)
{
    bool quick = false, layers_only = false;
    int repeats = 3, option;
    const char *folder = NULL;
    while ((option = getopt(argc, argv, "qln:w:")) != -1) {
        if (option == 'q')
            quick = true;
        else if (option == 'l')
            layers_only = true;
        else if (option == 'n' && atoi(optarg) > 0)
            repeats = atoi(optarg);
        else if (option == 'w')
            folder = optarg;
        else {
            fprintf(stderr, "bench_film [-q] [-l] [-n REPEATS] [-w FOLDER] [PLAN]\n");
            return 2;
        }
    }
    const char *path = optind < argc ? argv[optind] : "tests/bench/reference.yaml";
    rn_plan *plan = NULL;
    rn_error err = {0};
    if (rn_plan_read_file(&plan, path, &err) != RN_OK) {
        char text[1200];
        rn_error_text(&err, text, sizeof text);
        fprintf(stderr, "%s\n", text);
        return 3;
    }

    char processor[128], date[32];
    name_processor(processor, sizeof processor);
    time_t today = time(NULL);
    strftime(date, sizeof date, "%Y-%m-%d", gmtime(&today));
    FILE *file = folder ? open_page(folder, processor, date) : NULL;
    say(file, "# Timing, %s\n\n", date);
    say(file, "%s, %ld processors in sight; %s; the quickest of %d runs each.\n\n", processor,
        sysconf(_SC_NPROCESSORS_ONLN), plan->title, repeats);
    bool good = layers_only || run_table(file, plan, quick, repeats);
    good = layers_table(file, quick, repeats) && good;
    if (file && fclose(file) != 0)
        good = false;
    rn_plan_free(plan);
    return good ? 0 : 1;
}

/* The commands: what each accepts, says of itself and does. */
#ifndef RN_CLI_CMD_H
#define RN_CLI_CMD_H

#include <stdbool.h>
#include <stdio.h>

#include "cli/cli.h"
#include "cli/opt.h"
#include "run/session.h"
#include "search/odds.h"

/* Filled from the command line; each command's table says which fields it knows. */
typedef struct rn_arguments {
    const char **operands;
    int operand_count;
    bool help, json, quiet, man, dark, replace;
    const char *folder, *series, *field, *picture, *save;
    rn_opt_list sets; /* "path=value" */
    int cells, threads;
    double until; /* [s]; NaN: the plan's end */
    const char *kernel;

    bool layers, sheen; /* see sim/cli/gallery.h */
    const char *face, *cut, *design, *moments, *animation, *frames;
    const char *section[2];
    int pixels, points, levels;                 /* 0: as usual */
    double at, every, since;                    /* [s]; NaN: as usual */
    double peel;                                /* 0..1; NaN: none */
    double cells_amount, cells_at, cells_width; /* 0..1, [s], [m]; NaN: as usual */
    int cells_seed;                             /* 0: as usual */

    rn_opt_list goals, keys, froms, tos; /* see sim/cli/cmd_least.c */
    bool scale_base, resume, afresh;
    bool thin_thick;                    /* see sim/cli/cmd_compare.c */
    const char *share, *piece;          /* see sim/cli/sharing.h */
    const struct rn_gathered *gathered; /* NULL: the study is worked here */
    const char *cache, *weight;
    int coarse;   /* cells; 0: as usual */
    double close; /* 0..1; NaN: as usual */

    rn_opt_list doubts; /* see sim/cli/cmd_odds.c */
    bool only, spread, stretch;
    int draws, seed; /* 0: as usual */
    const char *csv, *sure;

    const char *x, *y, *tiles; /* see sim/cli/cmd_window.c */
    bool every_tile;
} rn_arguments;

typedef struct rn_streams {
    FILE *out, *err;
} rn_streams;

typedef struct rn_claims rn_claims; /* see sim/cli/claims.h */

typedef struct rn_command {
    const char *name;
    const char *operands; /* as the usage line shows them */
    const char *reads;    /* what its operands are files of, "plan"; NULL: they are no files */
    int operands_least, operands_most;
    const rn_opt *opts;
    int opt_count;
    const char *brief;   /* one line for the list of commands */
    const char *text;    /* paragraphs for its help, an empty line between them */
    const char *example; /* command lines, one a line */
    rn_status (*also_writes)(rn_claims *claims, const struct rn_command *command, const rn_arguments *arguments,
                             rn_error *err); /* claims the files that no option names; may be NULL */
    rn_exit (*run)(const rn_arguments *arguments, rn_streams streams);
} rn_command;

#define RN_COMMAND_COUNT 10
extern const rn_command *const rn_commands[RN_COMMAND_COUNT];
extern const rn_command rn_cmd_forecast, rn_cmd_check, rn_cmd_least, rn_cmd_window, rn_cmd_odds, rn_cmd_compare,
    rn_cmd_gather, rn_cmd_plan, rn_cmd_keys, rn_cmd_help;

/* The command of that name; NULL if there is none. */
const rn_command *rn_cmd_find(const char *name);

/* Says "no command 'forcast'; did you mean 'forecast'?" on err. */
void rn_cmd_report_unknown(const char *name, FILE *err);

/* Says what went wrong in a command's own words: "runnel forecast: ..." on err. */
void rn_cmd_report(const char *command, const rn_error *error, FILE *err);

rn_exit rn_cmd_exit_of(rn_status status);

/* What arguments are before any is given. */
rn_arguments rn_cmd_default_arguments(void);

/* What the arguments ask of a session. */
rn_session_options rn_cmd_session_options(const rn_arguments *arguments);

/* Rows that several tables share. */
#define RN_OPT_HELP                                                                                                    \
    {                                                                                                                  \
        .name = "help", .letter = 'h', .kind = RN_OPT_FLAG, .offset = offsetof(rn_arguments, help),                    \
        .text = "Print this help."                                                                                     \
    }
#define RN_OPT_SET                                                                                                     \
    {                                                                                                                  \
        .name = "set", .study = true, .kind = RN_OPT_LIST, .offset = offsetof(rn_arguments, sets),                     \
        .value = "PATH=VALUE", .example = "moves.4.spin=45rpm",                                                        \
        .text = "Change one value of the plan before it is used; may be repeated. The paths are those of 'runnel "     \
                "keys'; 'poured' scales all stacks to a total, 'consistency' every viscosity."                         \
    }
#define RN_OPT_GRID                                                                                                    \
    {                                                                                                                  \
        .name = "grid", .study = true, .letter = 'g', .kind = RN_OPT_COUNT, .offset = offsetof(rn_arguments, cells),   \
        .least = RN_GRID_LEAST, .most = RN_GRID_MOST, .value = "N", .example = "128",                                  \
        .text = "Cells along the longer side, 64 to 1024; 256 if left out. Twice as many take about ten times as "     \
                "long."                                                                                                \
    }
#define RN_OPT_THREADS                                                                                                 \
    {                                                                                                                  \
        .name = "threads", .letter = 't', .kind = RN_OPT_COUNT, .offset = offsetof(rn_arguments, threads), .least = 0, \
        .most = 256, .value = "N", .example = "2",                                                                     \
        .text = "Threads to work with; 0, or left out, is one per processor. The numbers do not depend on it."         \
    }
#define RN_OPT_GOAL                                                                                                    \
    {                                                                                                                  \
        .name = "goal", .study = true, .kind = RN_OPT_LIST, .offset = offsetof(rn_arguments, goals),                   \
        .value = "KIND=VALUE", .example = "'run-off=at most 30 ml'",                                                   \
        .text = "What must hold, as a plan's 'expect' words it; may be repeated, and takes the place of what the "     \
                "plan expects of the same. Without any, and where the plan expects nothing: that it is covered, each " \
                "corner as well."                                                                                      \
    }
#define RN_OPT_RUNS                                                                                                    \
    {                                                                                                                  \
        .name = "threads", .letter = 't', .kind = RN_OPT_COUNT, .offset = offsetof(rn_arguments, threads), .least = 0, \
        .most = 256, .value = "N", .example = "2",                                                                     \
        .text = "Runs at the same time; 0, or left out, is one per processor. The numbers do not depend on it."        \
    }
#define RN_OPT_QUIET                                                                                                   \
    {                                                                                                                  \
        .name = "quiet", .letter = 'q', .kind = RN_OPT_FLAG, .offset = offsetof(rn_arguments, quiet),                  \
        .text = "Print no progress."                                                                                   \
    }
#define RN_OPT_CACHE                                                                                                   \
    {                                                                                                                  \
        .name = "cache", .kind = RN_OPT_FOLDER, .offset = offsetof(rn_arguments, cache), .value = "DIR",               \
        .example = "runs",                                                                                             \
        .text = "Keep runs in this folder instead of runnel in the user's cache; it may be deleted at any time."       \
    }
#define RN_OPT_RESUME                                                                                                  \
    {                                                                                                                  \
        .name = "resume", .kind = RN_OPT_FLAG, .offset = offsetof(rn_arguments, resume),                               \
        .text = "Go on with a search that was stopped, and say how many of its runs are known. Runs that are known "   \
                "are never worked out again anyway."                                                                   \
    }
#define RN_OPT_AFRESH                                                                                                  \
    {                                                                                                                  \
        .name = "afresh", .kind = RN_OPT_FLAG, .offset = offsetof(rn_arguments, afresh),                               \
        .text = "Work out every run, and keep none."                                                                   \
    }
#define RN_OPT_VARY                                                                                                    \
    {                                                                                                                  \
        .name = "vary", .study = true, .kind = RN_OPT_LIST, .offset = offsetof(rn_arguments, doubts),                  \
        .value = "PATH=+-HOW FAR", .example = "consistency=+-10%",                                                     \
        .text = "What may turn out otherwise, and how far: '+-5%' of its value, '+-3ml', '+-0.2deg'; may be "          \
                "repeated. The paths are those of --set; 'moves.spin' is all spins off alike, "                        \
                "'paints.*.viscosity' each paint for itself, 'panel.slope' the bench's level, with its direction. "    \
                "It takes the place of what is usually in doubt of the same; '+-0' only takes that out. '+-' is two "  \
                "standard deviations of a normal distribution."                                                        \
    }
#define RN_OPT_ONLY                                                                                                    \
    {                                                                                                                  \
        .name = "only", .study = true, .kind = RN_OPT_FLAG, .offset = offsetof(rn_arguments, only),                    \
        .text = "Nothing is in doubt but what --vary names. Left out: the consistency by 10 %, the volume by 3 %, "    \
                "spins by 5 %, the bench's level by 0.2 deg and the advancing angle by 5 deg as well."                 \
    }
#define RN_OPT_DRAWS(usual)                                                                                            \
    {                                                                                                                  \
        .name = "draws", .study = true, .letter = 'n', .kind = RN_OPT_COUNT, .offset = offsetof(rn_arguments, draws),  \
        .least = 2, .most = RN_ODDS_MOST, .value = "N", .example = "200", .text = usual                                \
    }
#define RN_OPT_SEED                                                                                                    \
    {                                                                                                                  \
        .name = "seed", .study = true, .kind = RN_OPT_COUNT, .offset = offsetof(rn_arguments, seed), .least = 1,       \
        .most = 1000000000, .value = "N", .example = "7",                                                              \
        .text = "Which draws; 1 if left out. The same seed gives the same draws, however many there are."              \
    }
#define RN_OPT_JSON                                                                                                    \
    {                                                                                                                  \
        .name = "json", .kind = RN_OPT_FLAG, .offset = offsetof(rn_arguments, json),                                   \
        .text = "Print one JSON object instead of the report."                                                         \
    }
#define RN_OPT_PICTURE(file, what)                                                                                     \
    {                                                                                                                  \
        .name = "picture", .letter = 'p', .kind = RN_OPT_FILE, .offset = offsetof(rn_arguments, picture),              \
        .value = "FILE", .example = file,                                                                              \
        .text = what ": PNG, PDF or SVG by the ending of the name; '-' is a PNG to standard output."                   \
    }
#define RN_OPT_CSV(file, what)                                                                                         \
    {                                                                                                                  \
        .name = "csv", .kind = RN_OPT_FILE, .offset = offsetof(rn_arguments, csv), .value = "FILE", .example = file,   \
        .text = what "; '-' is standard output."                                                                       \
    }
#define RN_OPT_SAVE(file, what)                                                                                        \
    {                                                                                                                  \
        .name = "save", .replaces = true, .kind = RN_OPT_FILE, .offset = offsetof(rn_arguments, save),                 \
        .value = "FILE", .example = file, .text = what " to this file."                                                \
    }
#define RN_OPT_REPLACE                                                                                                 \
    {                                                                                                                  \
        .name = "replace", .kind = RN_OPT_FLAG, .offset = offsetof(rn_arguments, replace),                             \
        .text = "The file of --save may be the plan itself; what it held is kept beside it, a ~ after its name."       \
    }
#define RN_OPT_COARSE(what)                                                                                            \
    {                                                                                                                  \
        .name = "coarse", .study = true, .kind = RN_OPT_COUNT, .offset = offsetof(rn_arguments, coarse),               \
        .least = RN_GRID_LEAST, .most = RN_GRID_MOST, .value = "N", .example = "128", .text = what                     \
    }
/* What all searches take. */
#define RN_OPT_STUDY RN_OPT_SET, RN_OPT_GRID, RN_OPT_RUNS, RN_OPT_CACHE, RN_OPT_RESUME, RN_OPT_AFRESH, RN_OPT_QUIET
#define RN_OPT_LAYERS                                                                                                  \
    {                                                                                                                  \
        .name = "layers", .letter = 'l', .kind = RN_OPT_FLAG, .offset = offsetof(rn_arguments, layers),                \
        .text = "Also work out the layers: which colour ends up where, rings, twist, distortion, stretch and cells."   \
    }
#define RN_OPT_KERNEL                                                                                                  \
    {                                                                                                                  \
        .name = "kernel", .kind = RN_OPT_TEXT, .offset = offsetof(rn_arguments, kernel), .value = "NAME",              \
        .example = "baseline",                                                                                         \
        .text = "Instructions to work with: baseline, avx2 or avx512; the best this machine has if left out. The "     \
                "numbers do not depend on it."                                                                         \
    }

#endif

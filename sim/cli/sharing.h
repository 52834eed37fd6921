/* Studies that are shared between machines: one share of their runs worked and written as a piece, or all taken from pieces
   that are gathered. */
#ifndef RN_CLI_SHARING_H
#define RN_CLI_SHARING_H

#include "cli/cmd.h"
#include "cli/input.h"
#include "cli/searching.h"
#include "search/batch.h"
#include "search/piece.h"

/* Pieces that fit together, and the arguments of their study. */
typedef struct rn_gathered {
    int count;
    rn_piece *pieces; /* owned */
} rn_gathered;

/* Whether the arguments ask for one share. */
bool rn_sharing_asked(const rn_arguments *arguments);

/* The piece that no option names; for rn_command. */
rn_status rn_sharing_claim(rn_claims *claims, const rn_command *command, const rn_arguments *arguments, rn_error *err);

/* As rn_input_open; of a study that is gathered from what its pieces hold. RN_E_USAGE where --share or --piece make no
   sense, RN_E_FILE where the piece cannot be written. */
rn_status rn_sharing_open(rn_input *input, const rn_command *command, const rn_arguments *arguments, FILE *err,
                          rn_error *error);

/* Gives the runs of a study their outcomes: works them, or the share of them that is asked for, or takes all from the pieces
   that are gathered. RN_OK also where it was asked to stop. */
rn_status rn_sharing_work(rn_batch *batch, const rn_arguments *arguments, rn_study *study, rn_error *err);

/* Writes the share that was asked for as a piece and says so on streams.out; nothing where it was stopped before it was
   done. */
rn_status rn_sharing_write(const rn_batch *batch, const rn_command *command, const rn_input *input,
                           const rn_arguments *arguments, rn_streams streams, rn_error *err);

#define RN_OPT_SHARE_OF                                                                                                \
    {                                                                                                                  \
        .name = "share", .kind = RN_OPT_TEXT, .offset = offsetof(rn_arguments, share), .value = "K/N",                 \
        .example = "3/8",                                                                                              \
        .text = "Work only the K-th of N shares of all runs and write a piece instead of a report; 'runnel gather' "   \
                "puts the pieces together. 'array' takes K and N from SLURM_ARRAY_TASK_ID and "                        \
                "SLURM_ARRAY_TASK_COUNT."                                                                              \
    }
#define RN_OPT_PIECE                                                                                                   \
    {                                                                                                                  \
        .name = "piece", .kind = RN_OPT_FILE, .offset = offsetof(rn_arguments, piece), .value = "FILE",                \
        .example = "pieces/3.piece",                                                                                   \
        .text = "Where the piece of --share goes; PLAN.COMMAND.K-of-N.piece in this folder if left out, such as "      \
                "plan.odds.3-of-8.piece"                                                                               \
    }

#endif

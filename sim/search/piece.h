/* A piece of a study that is shared between machines: what is studied, whole, and the outcomes of one share of its runs. A
   text file with a check sum; pieces that fit together are all that is needed to tell what one machine would have told. */
#ifndef RN_SEARCH_PIECE_H
#define RN_SEARCH_PIECE_H

#include "search/batch.h"
#include "search/seal.h"

#define RN_SHARES_MOST 10000

/* What is studied. */
typedef struct rn_studied {
    char *command;  /* the runnel command whose study it is; owned, as is all below */
    int word_count; /* what shapes it: the command's options as words */
    char **words;
    char *plan_name; /* for messages */
    char *plan;      /* its text as it was read */
    size_t plan_size;
} rn_studied;

void rn_studied_clear(rn_studied *studied);

typedef struct rn_piece {
    rn_studied studied;
    char *name;                   /* of its file, as messages begin with it; owned */
    int line;                     /* of its first outcome */
    char stamp[200];              /* of the program, see search/identity.h */
    char batch_sum[RN_SEAL_SIZE]; /* of the identities of all runs of the study */
    int share, shares;            /* 0 <= share < shares */
    int run_count;                /* of the whole study */
    rn_outcome *outcomes;         /* [run_count], owned; state NONE where the run is of another share */
} rn_piece;

/* Of the identities of all runs, in their order; runs without a plan count by their places. */
rn_status rn_batch_sum(char sum[RN_SEAL_SIZE], const rn_batch *batch, rn_error *err);

/* Whether a piece can be written there, to know before long work begins. Its name follows from the plan's, so that somebody could
   have put a link of that name into a shared folder: a file behind one is not replaced. RN_E_FILE. */
rn_status rn_piece_try(const char *path, rn_error *err);

/* Writes the piece of a batch whose share has been worked (see rn_batch_done); whole or not at all. */
rn_status rn_piece_write(const char *path, FILE *standard, const rn_studied *studied, const rn_batch *batch, int share,
                         int shares, rn_error *err);

/* From a file, or "-" from standard input. RN_E_FILE names it and what is wrong with it: unreadable, no piece, damaged, an
   outcome that is none. Its check sum tells of damage, and not who made it: what it says may be a stranger's.
   Cleared by rn_piece_clear after success and failure alike, *piece being zeros to begin with. */
rn_status rn_piece_read(rn_piece *piece, const char *path, rn_error *err);
void rn_piece_clear(rn_piece *piece);

/* Whether the pieces are of one study and every share is there once; RN_E_FILE names those that are missing, doubled or do
   not belong. */
rn_status rn_pieces_fit(const rn_piece *pieces, const char *const *names, int count, rn_error *err);

/* Puts their outcomes in the batch of the same study; RN_E_FILE where it is another, or was worked by another program, or an
   outcome, named by its line, is none that its run can come to. */
rn_status rn_pieces_put(rn_batch *batch, const rn_piece *pieces, int count, rn_error *err);

#endif

/* runnel gather: puts the pieces of a shared study together and tells what one machine would have told. */
#include <limits.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "cli/sharing.h"

static rn_status read_pieces(rn_gathered *all, const rn_arguments *arguments, rn_error *err)
{
    rn_status status = rn_input_check_once(arguments->operands, arguments->operand_count, err);
    if (status)
        return status;
    all->pieces = calloc((size_t)arguments->operand_count, sizeof *all->pieces);
    if (!all->pieces)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    for (int i = 0; i < arguments->operand_count && status == RN_OK; i++) {
        status = rn_piece_read(&all->pieces[i], arguments->operands[i], err);
        all->count++;
    }
    if (status == RN_OK)
        status = rn_pieces_fit(all->pieces, arguments->operands, all->count, err);
    return status;
}

static bool knows(const rn_command *command, const char *option)
{
    for (int i = 0; i < command->opt_count; i++)
        if (strcmp(command->opts[i].name, option) == 0)
            return true;
    return false;
}

/* What is told, and how, is what `gather` was asked; what is studied is what the pieces say. */
static rn_status merge(rn_arguments *study, const rn_command *command, const rn_arguments *arguments, rn_error *err)
{
    const char *const asked[] = {arguments->csv ? "csv" : NULL, arguments->save ? "save" : NULL,
                                 arguments->picture ? "picture" : NULL};
    for (size_t i = 0; i < sizeof asked / sizeof asked[0]; i++)
        if (asked[i] && !knows(command, asked[i]))
            return rn_fail(err, RN_E_USAGE, "these are pieces of 'runnel %s', which knows no --%s", command->name,
                           asked[i]);
    study->json = arguments->json;
    study->csv = arguments->csv;
    study->save = arguments->save;
    study->picture = arguments->picture;
    study->quiet = arguments->quiet;
    study->threads = arguments->threads;
    study->cache = arguments->cache;
    study->afresh = arguments->afresh;
    return RN_OK;
}

/* Reads the options of what is studied. A piece may be a stranger's: of its words only options that are part of a study are
   taken, and nothing that writes, reads or is told elsewhere. */
static rn_status read_words(rn_arguments *study, const rn_command *command, const rn_piece *piece, rn_error *err)
{
    const rn_studied *studied = &piece->studied;
    rn_opt *part = calloc((size_t)command->opt_count, sizeof *part);
    const char **operands = calloc((size_t)studied->word_count + 1, sizeof *operands);
    char quoted[RN_QUOTE_SIZE];
    int part_count = 0, operand_count = 0;
    rn_error why = {0};
    rn_status status = part && operands ? RN_OK : rn_fail(err, RN_E_MEMORY, "no memory left");
    for (int i = 0; status == RN_OK && i < command->opt_count; i++)
        if (command->opts[i].study)
            part[part_count++] = command->opts[i];
    if (status == RN_OK &&
        rn_opt_parse(study, operands, &operand_count, part, part_count, studied->word_count, studied->words, &why))
        status = rn_fail(err, RN_E_FILE, "'%.120s' is refused, as its words are not those of a study: %s", piece->name,
                         why.message);
    else if (status == RN_OK && operand_count > 0)
        status =
            rn_fail(err, RN_E_FILE, "'%.120s' is refused, as its words are not those of a study: '%s' is no option",
                    piece->name, rn_text_quote(quoted, operands[0]));
    free(part);
    free(operands);
    return status;
}

static rn_status tell(rn_exit *exit, const rn_gathered *all, const rn_arguments *arguments, rn_streams streams,
                      rn_error *err)
{
    const rn_studied *studied = &all->pieces[0].studied;
    const rn_command *command = rn_cmd_find(studied->command);
    const char *operands[2];
    rn_arguments study = rn_cmd_default_arguments();
    if (!command || !knows(command, "share"))
        return rn_fail(err, RN_E_FILE, "the pieces are of 'runnel %.40s', which this program does not share",
                       studied->command);
    rn_status status = RN_OK;
    for (int i = all->count - 1; i >= 0 && status == RN_OK; i--) { /* the first piece's count */
        study = rn_cmd_default_arguments();
        status = read_words(&study, command, &all->pieces[i], err);
    }
    if (status == RN_OK)
        status = merge(&study, command, arguments, err);
    if (status == RN_OK) {
        operands[0] = studied->plan_name;
        study.operands = operands;
        study.operand_count = 1;
        study.gathered = all;
        *exit = command->run(&study, streams);
    }
    return status;
}

static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    rn_error error = {0};
    rn_gathered all = {0};
    rn_exit exit = RN_EXIT_DONE;
    rn_status status = read_pieces(&all, arguments, &error);
    if (status == RN_OK)
        status = tell(&exit, &all, arguments, streams, &error);
    if (error.status)
        rn_cmd_report("gather", &error, streams.err);
    for (int i = 0; i < all.count; i++)
        rn_piece_clear(&all.pieces[i]);
    free(all.pieces);
    return status ? rn_cmd_exit_of(status) : exit;
}

static const rn_opt opts[] = {
    RN_OPT_JSON,
    RN_OPT_PICTURE("window.png", "Draw what the study draws"),
    RN_OPT_CSV("runs.csv", "Write a line for each of its runs"),
    {.name = "save",
     .kind = RN_OPT_FILE,
     .offset = offsetof(rn_arguments, save),
     .value = "FILE",
     .example = "best.yaml",
     .text = "Write the plan that it finds, where it finds one."},
    RN_OPT_RUNS,
    RN_OPT_CACHE,
    RN_OPT_AFRESH,
    RN_OPT_QUIET,
    RN_OPT_HELP,
};

const rn_command rn_cmd_gather = {
    .name = "gather",
    .operands = "PIECE...",
    .reads = "piece",
    .operands_least = 1,
    .operands_most = INT_MAX,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "put the pieces of a shared study together",
    .text =
        "Takes the pieces that 'runnel odds' or 'runnel window' wrote with --share, one of each share, and tells what "
        "one machine would have told that worked every run itself, to the last bit. Pieces that are missing, "
        "doubled, damaged, of another study or of another program are named, and nothing is told; so are those that "
        "hold "
        "more than a study, or what no run of it comes to. The check sum of a piece tells that it is whole, not who "
        "made it. '-' is a piece from standard input.\n\n"
        "The exit status is that of the command whose study it is.",
    .example = "runnel gather plan.odds.*.piece\n"
               "runnel gather pieces/*.piece --picture odds.pdf --csv draws.csv",
    .run = run,
};

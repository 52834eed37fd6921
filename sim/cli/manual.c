#include "cli/manual.h"

#include <string.h>

#include "show/cautions.h"

#define TEXT_COLUMNS 79
#define OPTION_COLUMNS 27

static const char purpose[] = "Forecasts how poured acrylic paint spreads on a rigid panel: whether a volume reaches "
                              "the corners, when, how thick the film becomes, and how much runs off.";

typedef struct meaning {
    int status;
    const char *text;
} meaning;

static const meaning exit_meanings[] = {
    {RN_EXIT_DONE, "done"},
    {RN_EXIT_SHORT, "the plan falls short of what it expects (check), or nothing meets the goal (least)"},
    {RN_EXIT_USAGE, "the command line is wrong"},
    {RN_EXIT_PLAN, "the plan is wrong, or a file cannot be read or written"},
    {RN_EXIT_FAILED, "the forecast could not be worked out"},
    {RN_EXIT_UNJUDGED, "a plan expects nothing, so nothing of it was judged (check)"},
    {RN_EXIT_STOPPED, "stopped by hand (Ctrl-C, SIGTERM, SIGHUP); what there was has been printed and written"},
};

#define EXIT_COUNT ((int)(sizeof exit_meanings / sizeof exit_meanings[0]))

void rn_manual_wrapped(FILE *out, int column, int indent, const char *text)
{
    bool line_empty = true;
    while (*text) {
        if (*text == '\n') {
            fprintf(out, "\n\n%*s", indent, "");
            column = indent;
            line_empty = true;
            text += strspn(text, "\n ");
            continue;
        }
        const int length = (int)strcspn(text, " \n");
        if (!line_empty && column + 1 + length > TEXT_COLUMNS) {
            fprintf(out, "\n%*s", indent, "");
            column = indent;
            line_empty = true;
        }
        column += fprintf(out, "%s%.*s", line_empty ? "" : " ", length, text);
        line_empty = false;
        text += length;
        text += strspn(text, " ");
    }
    fputc('\n', out);
}

static void print_option(const rn_opt *opt, FILE *out)
{
    char left[64];
    char letter[8] = "    ";
    if (opt->letter)
        snprintf(letter, sizeof letter, "-%c, ", opt->letter);
    int column = snprintf(left, sizeof left, "  %s--%s%s%s", letter, opt->name, opt->value ? " " : "",
                          opt->value ? opt->value : "");
    fputs(left, out);
    if (column + 2 > OPTION_COLUMNS) {
        fputc('\n', out);
        column = 0;
    }
    fprintf(out, "%*s", OPTION_COLUMNS - column, "");
    rn_manual_wrapped(out, OPTION_COLUMNS, OPTION_COLUMNS, opt->text);
}

/* Calls for each line of a text. */
static const char *next_line(const char **text, int *length)
{
    const char *line = *text;
    *length = (int)strcspn(line, "\n");
    *text += *length + (line[*length] == '\n');
    return line;
}

void rn_manual_overview(FILE *out)
{
    fprintf(out, "usage: runnel COMMAND [options]\n\n");
    rn_manual_wrapped(out, 0, 0, purpose);
    fputc('\n', out);
    for (int i = 0; i < RN_COMMAND_COUNT; i++)
        fprintf(out, "  %-10s %s\n", rn_commands[i]->name, rn_commands[i]->brief);
    fprintf(out, "\n'runnel help COMMAND' says more, 'runnel help cautions' what can hurt, 'runnel --version' which "
                 "version this "
                 "is.\n");
}

void rn_manual_command(const rn_command *command, FILE *out)
{
    int length;
    fprintf(out, "usage: runnel %s %s%s[options]\n\n", command->name, command->operands,
            command->operands[0] ? " " : "");
    rn_manual_wrapped(out, 0, 0, command->text);
    fprintf(out, "\nOptions:\n");
    for (int i = 0; i < command->opt_count; i++)
        print_option(&command->opts[i], out);
    fprintf(out, "\nFor example:\n");
    for (const char *rest = command->example; *rest;) {
        const char *line = next_line(&rest, &length);
        fprintf(out, "  %.*s\n", length, line);
    }
}

void rn_manual_cautions(FILE *out)
{
    rn_manual_wrapped(out, 0, 0, rn_caution_lead());
    for (int i = 0; i < rn_caution_count(); i++) {
        const rn_caution *caution = rn_caution_at(i);
        fprintf(out, "\n%s\n  ", caution->title);
        rn_manual_wrapped(out, 2, 2, caution->text);
    }
}

/* Text for roff: dashes stay dashes, no character is taken for a request. */
static void print_roff(FILE *out, const char *text, int length)
{
    bool line_starts = true;
    for (int i = 0; i < length; i++) {
        const char c = text[i];
        if (line_starts && (c == '.' || c == '\''))
            fputs("\\&", out);
        if (c == '-')
            fputs("\\-", out);
        else if (c == '\'')
            fputs("\\(aq", out);
        else if (c == '\\')
            fputs("\\e", out);
        else
            fputc(c, out);
        line_starts = c == '\n';
    }
}

static void print_roff_text(FILE *out, const char *text)
{
    print_roff(out, text, (int)strlen(text));
}

static void print_page_option(const rn_opt *opt, FILE *out)
{
    fputs(".TP\n.B ", out);
    if (opt->letter) {
        const char letter[] = {'-', opt->letter, ',', ' ', '\0'};
        print_roff_text(out, letter);
    }
    fputs("\\-\\-", out);
    print_roff_text(out, opt->name);
    if (opt->value)
        fprintf(out, " \\fI%s\\fP", opt->value);
    fputc('\n', out);
    print_roff_text(out, opt->text);
    fputc('\n', out);
}

static void print_page_command(const rn_command *command, FILE *out)
{
    int length;
    fprintf(out, ".SS runnel %s %s%s[options]\n", command->name, command->operands, command->operands[0] ? " " : "");
    for (const char *rest = command->text; *rest;) {
        const char *line = next_line(&rest, &length);
        if (line != command->text)
            fputs(".PP\n", out);
        print_roff(out, line, length);
        fputc('\n', out);
    }
    for (int i = 0; i < command->opt_count; i++)
        print_page_option(&command->opts[i], out);
    fputs(".PP\nFor example:\n.PP\n.nf\n.RS\n", out);
    print_roff_text(out, command->example);
    fputs("\n.RE\n.fi\n", out);
}

void rn_manual_page(FILE *out)
{
    fprintf(out, ".\\\" Written by 'runnel help --man'; change the tables, not this file.\n");
    fprintf(out, ".TH RUNNEL 1 \"\" \"runnel %s\" \"User Commands\"\n", RN_VERSION);
    fputs(".SH NAME\nrunnel \\- forecast how poured paint spreads on a panel\n", out);
    fputs(".SH SYNOPSIS\n", out);
    for (int i = 0; i < RN_COMMAND_COUNT; i++)
        fprintf(out, "%s.B runnel %s\n%s%s[options]\n", i ? ".br\n" : "", rn_commands[i]->name,
                rn_commands[i]->operands, rn_commands[i]->operands[0] ? " " : "");
    fputs(".SH DESCRIPTION\n", out);
    print_roff_text(out, purpose);
    fputs("\n.PP\nData goes to standard output, words go to standard error; a file named \\- is standard input or "
          "output.\n",
          out);
    fputs(".SH COMMANDS\n", out);
    for (int i = 0; i < RN_COMMAND_COUNT; i++)
        print_page_command(rn_commands[i], out);
    fputs(".SH EXIT STATUS\n", out);
    for (int i = 0; i < EXIT_COUNT; i++) {
        fprintf(out, ".TP\n.B %d\n", exit_meanings[i].status);
        print_roff_text(out, exit_meanings[i].text);
        fputc('\n', out);
    }
    fputs(".SH CAUTIONS\n", out);
    print_roff_text(out, rn_caution_lead());
    fputc('\n', out);
    for (int i = 0; i < rn_caution_count(); i++) {
        fputs(".TP\n.B ", out);
        print_roff_text(out, rn_caution_at(i)->title);
        fputc('\n', out);
        print_roff_text(out, rn_caution_at(i)->text);
        fputc('\n', out);
    }
    fputs(".SH SEE ALSO\nThe plan file is described in docs/plan.md of the source and by\n.BR \"runnel keys\" .\n",
          out);
}

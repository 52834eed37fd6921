/* The same tables that parse a command, written out as usage, help and man page. */
#ifndef RN_CLI_MANUAL_H
#define RN_CLI_MANUAL_H

#include "cli/cmd.h"

/* What the program is for and a line for each command. */
void rn_manual_overview(FILE *out);

/* Prints text from `column` on, broken between words for a screen of 80 columns, following lines indented by `indent`;
   a new line in the text ends a paragraph, and an empty line follows. */
void rn_manual_wrapped(FILE *out, int column, int indent, const char *text);

/* The usual cautions of the craft, see show/cautions.h. */
void rn_manual_cautions(FILE *out);

/* One command's help. */
void rn_manual_command(const rn_command *command, FILE *out);

/* Everything as a man page (man macros of roff); the same text on every machine and day. */
void rn_manual_page(FILE *out);

#endif

/* The independent reader of JSON that the command line's tests use. */
#include "cli/json.c" // NOLINT(bugprone-suspicious-include)

/* runnel keys: what a plan can say, from the key table. */
#include <string.h>

#include "base/text.h"
#include "cli/cmd.h"
#include "cli/manual.h"
#include "plan/plan_keys.h"

#define PATH_SIZE 100
#define RANGE_SIZE 200
#define PATHS_MOST 200
#define DOC_INDENT 4

/* Keys that are no fields of a plan but follow from its fields. */
static const struct {
    const char *path, *range, *fallback, *doc;
} derived[] = {
    {"poured", "a volume, 155 ml", "the sum of the stacks", "Scales all stacks to this total; --set only."},
    {"consistency", "a viscosity, 2 Pa s, or a word of the ladder", "the mean of the paints",
     "Scales every viscosity so that the mixture has this one; --set only."},
};

#define DERIVED_COUNT ((int)(sizeof derived / sizeof derived[0]))

/* Whether a path of the table begins with what was typed; a name or number typed for a list's element matches its
   placeholder, and the last part may be cut short. */
static bool begins_with(const char *path, const char *typed)
{
    while (*typed) {
        const size_t path_length = strcspn(path, "."), typed_length = strcspn(typed, ".");
        const bool last = typed[typed_length] == '\0';
        const bool placeholder = strncmp(path, "NAME", path_length) == 0 || strncmp(path, "NUMBER", path_length) == 0;
        const bool same = typed_length == path_length || (last && typed_length < path_length);
        if (path_length == 0 || (!placeholder && (!same || strncmp(path, typed, typed_length) != 0)))
            return false;
        path += path_length + (path[path_length] == '.');
        typed += typed_length + (typed[typed_length] == '.');
    }
    return true;
}

static void print_row(FILE *out, const char *path, const char *range, const char *fallback, const char *doc)
{
    char head[PATH_SIZE + 2 * RANGE_SIZE];
    snprintf(head, sizeof head, "%s%s%s; if left out: %s", path, range[0] ? ": " : "", range, fallback);
    rn_manual_wrapped(out, 0, DOC_INDENT, head);
    fprintf(out, "%*s", DOC_INDENT, "");
    rn_manual_wrapped(out, DOC_INDENT, DOC_INDENT, doc);
}

/* The words of consistency: what each stands for and describes, of which liquid, and what is published for it. */
static void print_ladder(FILE *out)
{
    for (int i = 0; i < RN_CONSISTENCY_COUNT; i++) {
        const rn_consistency *word = &rn_consistency_ladder[i];
        char text[2 * RANGE_SIZE], range[60];
        if (i == 0)
            snprintf(range, sizeof range, "up to %g", word[1].range_from);
        else if (i + 1 < RN_CONSISTENCY_COUNT)
            snprintf(range, sizeof range, "from %g to %g", word->range_from, word[1].range_from);
        else
            snprintf(range, sizeof range, "from %g on", word->range_from);
        snprintf(text, sizeof text, "%s: %g Pa s, and the word for paint %s. Published: %g to %g Pa s (%s).",
                 word->word, word->viscosity, range, word->published_least, word->published_most, word->what);
        fprintf(out, "%*s", DOC_INDENT, "");
        rn_manual_wrapped(out, DOC_INDENT, 2 * DOC_INDENT, text);
    }
}

static void key_path(char path[PATH_SIZE], rn_section section, const rn_key *key)
{
    const char *before = rn_section_path(section);
    snprintf(path, PATH_SIZE, "%s%s%s", before, before[0] ? "." : "", key->name);
}

/* Prints the keys whose path begins with `typed`; returns how many. */
static int print_keys(FILE *out, const char *typed)
{
    int printed = 0;
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS; section++) {
        int count;
        const rn_key *keys = rn_plan_keys(&count, section);
        for (int i = 0; i < count; i++) {
            char path[PATH_SIZE], range[RANGE_SIZE];
            key_path(path, section, &keys[i]);
            if (!begins_with(path, typed))
                continue;
            rn_key_range_text(range, sizeof range, &keys[i]);
            print_row(out, path, range, rn_key_default_text(&keys[i]), keys[i].doc);
            if (keys[i].kind == RN_KEY_CONSISTENCY)
                print_ladder(out);
            printed++;
        }
    }
    for (int i = 0; i < DERIVED_COUNT; i++) {
        if (!begins_with(derived[i].path, typed))
            continue;
        print_row(out, derived[i].path, derived[i].range, derived[i].fallback, derived[i].doc);
        printed++;
    }
    return printed;
}

static void report_unknown(const char *typed, FILE *err)
{
    static const char *const sections[] = {"panel", "paints", "base", "pours", "moves", "limits", "poured", "end"};
    char paths[PATHS_MOST][PATH_SIZE], quoted[RN_QUOTE_SIZE];
    const char *words[PATHS_MOST + sizeof sections / sizeof sections[0]];
    int paths_count = 0, words_count = 0;
    for (size_t i = 0; i < sizeof sections / sizeof sections[0]; i++)
        words[words_count++] = sections[i];
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS; section++) {
        int count;
        const rn_key *keys = rn_plan_keys(&count, section);
        for (int i = 0; i < count && paths_count < PATHS_MOST; i++, paths_count++) {
            key_path(paths[paths_count], section, &keys[i]);
            words[words_count++] = paths[paths_count];
        }
    }
    const char *nearest = rn_text_nearest(typed, words, words_count);
    fprintf(err, "runnel keys: no key begins with '%s'", rn_text_quote(quoted, typed));
    if (nearest)
        fprintf(err, "; did you mean '%s'?\n", nearest);
    else
        fputs("; 'runnel keys' lists them\n", err);
}

static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    const char *typed = arguments->operand_count > 0 ? arguments->operands[0] : "";
    if (print_keys(streams.out, typed) > 0)
        return RN_EXIT_DONE;
    report_unknown(typed, streams.err);
    return RN_EXIT_USAGE;
}

static const rn_opt opts[] = {
    RN_OPT_HELP,
};

const rn_command rn_cmd_keys = {
    .name = "keys",
    .operands = "[PATH]",
    .operands_least = 0,
    .operands_most = 1,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "list what a plan can say",
    .text = "Lists the keys of a plan with their paths, ranges, defaults and what they say; those whose path begins "
            "with PATH if that is given. The paths are those of --set: paints by name, base coats, pours and moves by "
            "number from 1, pours also by name.",
    .example = "runnel keys\n"
               "runnel keys moves\n"
               "runnel keys paints.NAME.vis",
    .run = run,
};

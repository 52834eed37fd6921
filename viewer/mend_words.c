/* An error's one line, parted into what is wrong and what is wanted, as the mend page words it. */
#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "mend_find.h"

/* Print's own signs: a minus before a number, curved quotes; and no half of a letter at the end. */
static void print_well(char text[MEND_TEXT])
{
    char made[2 * MEND_TEXT];
    size_t used = 0;
    bool open = false, cut = false;
    const char *c = text;
    for (; *c && !cut; c++) {
        const char before = c > text ? c[-1] : ' ';
        char sign[5] = {*c, '\0'};
        if (*c == '-' && (isdigit((unsigned char)c[1]) || c[1] == '.') && strchr(" '([", before)) {
            strcpy(sign, "\u2212");
        } else if (*c == '+' && c[1] == '-') {
            strcpy(sign, "±");
            c++;
        } else if (*c == '\'' && isalpha((unsigned char)before) && isalpha((unsigned char)c[1])) {
            strcpy(sign, "’");
        } else if (*c == '\'') {
            open = !open;
            strcpy(sign, open ? "‘" : "’");
        }
        cut = used + strlen(sign) + 4 > MEND_TEXT;
        if (!cut)
            used += (size_t)snprintf(made + used, sizeof made - used, "%s", sign);
    }
    if (cut || strlen(text) == MEND_TEXT - 1) { /* back to a whole word */
        while (used > 0 && made[used - 1] != ' ')
            used--;
        used += (size_t)snprintf(made + used, sizeof made - used, "…");
    }
    made[used] = '\0';
    memcpy(text, made, used + 1);
}

/* "'95 deg' is out of range: tilt goes from 0 deg to 90 deg" */
static bool say_range(rv_mend_line *line, const char *message)
{
    char value[120], key[80], least[64], most[64];
    if (!mend_part(key, sizeof key, message, "is out of range: ", " goes from ") ||
        !mend_part(least, sizeof least, message, " goes from ", " to ") ||
        !mend_part(most, sizeof most, strstr(message, " goes from "), " to ", "") ||
        !mend_part(value, sizeof value, message, "'", "'"))
        return false;
    const bool none = least[0] == '0' && least[1] == ' ';
    if (!strcmp(key, "a layer's volume")) {
        snprintf(line->what, MEND_TEXT, "a jar cannot hold %s", value);
        snprintf(line->wanted, MEND_TEXT, "%s, up to %s", none ? "more than 0" : least, most);
        return true;
    }
    snprintf(line->what, MEND_TEXT, !strcmp(key, "a side") ? "a side of the panel cannot be %s" : "%s cannot be %s",
             !strcmp(key, "a side") ? value : key, value);
    snprintf(line->wanted, MEND_TEXT, "from %s to %s", least, most);
    return true;
}

static bool say_overlap(rv_mend_line *line, const char *message)
{
    char kind[40];
    double from, to;
    const char *other = strstr(message, "overlaps move");
    if (!other || !mend_part(kind, sizeof kind, message, " (", ",") ||
        sscanf(strchr(other, '(') ? strchr(other, ',') : "", ", %lf s to %lf", &from, &to) != 2)
        return false;
    snprintf(line->what, MEND_TEXT, "this %s begins before another ends, at %.6g s", kind, to);
    const bool table = strstr(message, "one turn or spin") != NULL;
    snprintf(line->wanted, MEND_TEXT, table ? "turns and spins one after another" : "%ss one after another", kind);
    return true;
}

static bool say_unknown(rv_mend_line *line, const char *message)
{
    char name[120], all[MEND_TEXT - 20];
    if (strstr(message, "decimal comma, write a point")) {
        snprintf(line->what, MEND_TEXT, "the comma ends the number here");
        snprintf(line->wanted, MEND_TEXT, "a decimal point, as 1.5 s");
        return true;
    }
    if (strstr(message, "a comma within a number")) {
        snprintf(line->what, MEND_TEXT, "the comma ends the number here");
        snprintf(line->wanted, MEND_TEXT, "1200 or 1.2 without one");
        return true;
    }
    if (!mend_part(name, sizeof name, message, "unknown key '", "'"))
        return false;
    snprintf(line->what, MEND_TEXT, "there is no key ‘%s’ here", name);
    if (mend_part(all, sizeof all, message, "': ", "") && strstr(all, " has "))
        snprintf(line->wanted, MEND_TEXT, "one of %s", strstr(all, " has ") + 5);
    else if (mend_part(all, sizeof all, message, "did you mean '", "'"))
        snprintf(line->wanted, MEND_TEXT, "perhaps %s", all);
    return true;
}

/* Some that would not read well in two parts. */
static bool say_known(rv_mend_line *line, const char *message)
{
    static const struct {
        const char *part, *what, *wanted;
    } known[] = {
        {"begins a comment here", "the # hides what follows it", "quotes round it, as \"#2b3a55\", or no #, as 2b3a55"},
        {"a ':' stands here where none fits", "a second colon does not fit here",
         "the text in quotes, or the line as far in as its neighbours"},
        {"this does not fit: check", "this line does not fit to those around it",
         "each line as ‘key: value’, as far in as its neighbours"},
        {"a tab stands here", "a tab stands here", "blanks to indent with"},
        {"an alias ('*')", "an alias, *, is not read", "the values written out"},
        {"an anchor ('&')", "an anchor, &, is not read", "the values alone"},
        {"a tag ('!')", "a tag, !, is not read", "the value alone"},
        {"this is not UTF-8 text", "a letter here is not UTF-8", "a plan saved as UTF-8"},
        {"a character that is no text", "a character that is no text stands here", ""},
        {"the quotes that open here", "the quotes that open here are never closed", ""},
        {"write several as a list", "this is expected twice", "both as one list, [.., ..]"},
        {"bursts would overlap", "a burst lasts longer than until the next begins",
         "no more than the time between them"},
        {"is a list: begin each entry", "what stands here is to be a list", "each entry with ‘- ’ before it"},
        {"this is not YAML", "this cannot be read", "each line as ‘key: value’"},
    };
    for (size_t k = 0; k < sizeof known / sizeof known[0]; k++) {
        if (!strstr(message, known[k].part))
            continue;
        snprintf(line->what, MEND_TEXT, "%s", known[k].what);
        snprintf(line->wanted, MEND_TEXT, "%s", known[k].wanted);
        return true;
    }
    return false;
}

/* Where the message itself goes on to say what would be right. */
static void say_parted(rv_mend_line *line, const char *message)
{
    static const struct {
        const char *cut, *lead;
    } cuts[] = {{": write for example ", "for example "},
                {": for example ", "for example "},
                {": write ", ""},
                {"; did you mean ", "perhaps "},
                {": did you mean ", "perhaps "},
                {": give it some, ", ""},
                {": give ", ""},
                {", for example ", "for example "},
                {": use ", ""},
                {": it begins ", "it begins "},
                {": it is ", ""},
                {"; under ", "under "},
                {": ", ""}};
    for (size_t k = 0; k < sizeof cuts / sizeof cuts[0]; k++) {
        const char *at = strstr(message, cuts[k].cut);
        if (!at || at == message)
            continue;
        snprintf(line->what, MEND_TEXT, "%.*s", (int)(at - message), message);
        snprintf(line->wanted, MEND_TEXT, "%s%s", cuts[k].lead, at + strlen(cuts[k].cut));
        size_t length = strlen(line->wanted);
        if (strstr(cuts[k].cut, "did you mean") && length > 0 && line->wanted[length - 1] == '?')
            line->wanted[length - 1] = '\0';
        return;
    }
    snprintf(line->what, MEND_TEXT, "%.*s", MEND_TEXT - 1, message);
}

void mend_say(rv_mend_line *line, const rn_error *err)
{
    line->what[0] = line->wanted[0] = '\0';
    if (!say_known(line, err->message) && !say_range(line, err->message) && !say_overlap(line, err->message) &&
        !say_unknown(line, err->message))
        say_parted(line, err->message);
    print_well(line->what);
    print_well(line->wanted);
}

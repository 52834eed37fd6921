/* A plan as a person would write it: units of the bench, one paint, pour or move per line. */
#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/memory_stream.h"
#include "plan/plan_keys.h"
#include "plan/plan_words.h"

#define VALUE_SIZE 8192 /* the longest: a list of 200 sizes */

/* Text that YAML would take for something else goes into double quotes. */
static void write_text(FILE *out, const char *text)
{
    bool plain = isalpha((unsigned char)text[0]) && text[strlen(text) - 1] != ' ';
    for (const char *c = text; *c; c++)
        plain = plain && (isalnum((unsigned char)*c) || (unsigned char)*c >= 0x80 || strchr(" ,._()-", *c));
    if (plain) {
        fputs(text, out);
        return;
    }
    fputc('"', out);
    for (const char *c = text; *c; c++)
        fprintf(out, *c == '"' || *c == '\\' ? "\\%c" : "%c", *c);
    fputc('"', out);
}

static void write_value(FILE *out, const rn_key *key, const char *value)
{
    if (key->kind == RN_KEY_COLOUR)
        fprintf(out, "\"%s\"", value);
    else if (key->kind == RN_KEY_TITLE)
        write_text(out, value);
    else
        fputs(value, out);
}

/* All keys of an element on one line, "{start: 5 s, for: 40 s, turn: 6 rpm}". */
static void write_flow(FILE *out, const rn_plan *plan, rn_section section, int index)
{
    int count;
    const rn_key *keys = rn_plan_keys(&count, section);
    char value[VALUE_SIZE];
    const char *gap = "";
    fputc('{', out);
    for (int i = 0; i < count; i++)
        if (rn_key_value_text(value, sizeof value, plan, section, index, &keys[i])) {
            fprintf(out, "%s%s: ", gap, keys[i].name);
            write_value(out, &keys[i], value);
            gap = ", ";
        }
    fputs("}\n", out);
}

static void write_list(FILE *out, const rn_plan *plan, rn_section section, int count)
{
    if (count > 0)
        fprintf(out, "%s:\n", rn_section_word(section));
    for (int i = 0; i < count; i++) {
        fputs("  - ", out);
        write_flow(out, plan, section, i);
    }
}

static void write_panel(FILE *out, const rn_plan *plan)
{
    int count;
    const rn_key *keys = rn_plan_keys(&count, RN_SECTION_PANEL);
    char value[VALUE_SIZE];
    fputs("panel:\n", out);
    for (int i = 0; i < count; i++)
        if (rn_key_value_text(value, sizeof value, plan, RN_SECTION_PANEL, 0, &keys[i]))
            fprintf(out, "  %s: %s\n", keys[i].name, value);
}

static void write_paints(FILE *out, const rn_plan *plan)
{
    if (plan->paint_count > 0)
        fputs("paints:\n", out);
    for (int i = 0; i < plan->paint_count; i++) {
        fprintf(out, "  %s: ", plan->paints[i].name);
        write_flow(out, plan, RN_SECTION_PAINT, i);
    }
}

static bool first_of_kind(const rn_plan *plan, int expect)
{
    for (int i = 0; i < expect; i++)
        if (plan->expects[i].kind == plan->expects[expect].kind)
            return false;
    return true;
}

/* Expectations of one kind as one value, or as a list. */
static void write_expectations(FILE *out, const rn_plan *plan, int kind)
{
    int count = 0, written = 0;
    for (int i = 0; i < plan->expect_count; i++)
        count += (int)plan->expects[i].kind == kind;
    if (count > 0)
        fprintf(out, "  %s: %s", rn_expect_word(kind), count > 1 ? "[" : "");
    for (int i = 0; i < plan->expect_count; i++) {
        char value[200];
        if ((int)plan->expects[i].kind != kind)
            continue;
        rn_expect_write(value, sizeof value, &plan->expects[i]);
        fprintf(out, "%s%s", written++ ? ", " : "", value);
    }
    if (count > 0)
        fputs(count > 1 ? "]\n" : "\n", out);
}

/* The scalars of the top level and the sections, in the order of the table. */
static void write_plan(FILE *out, const rn_plan *plan)
{
    int count;
    const rn_key *keys = rn_plan_keys(&count, RN_SECTION_PLAN);
    char value[VALUE_SIZE];
    for (int i = 0; i < count; i++) {
        const char *name = keys[i].name;
        if (rn_key_value_text(value, sizeof value, plan, RN_SECTION_PLAN, 0, &keys[i])) {
            fprintf(out, "%s: ", name);
            write_value(out, &keys[i], value);
            fputc('\n', out);
        } else if (!strcmp(name, "panel")) {
            write_panel(out, plan);
        } else if (!strcmp(name, "paints")) {
            write_paints(out, plan);
        } else if (!strcmp(name, "base")) {
            write_list(out, plan, RN_SECTION_BASE, plan->base_count);
        } else if (!strcmp(name, "pours")) {
            write_list(out, plan, RN_SECTION_POUR, plan->pour_count);
        } else if (!strcmp(name, "moves")) {
            write_list(out, plan, RN_SECTION_MOVE, plan->move_count);
        } else if (!strcmp(name, "limits")) {
            fputs("limits: ", out);
            write_flow(out, plan, RN_SECTION_LIMITS, 0);
        } else if (!strcmp(name, "expect") && plan->expect_count > 0) {
            fputs("expect:\n", out);
            for (int k = 0; k < plan->expect_count; k++)
                if (first_of_kind(plan, k))
                    write_expectations(out, plan, (int)plan->expects[k].kind);
        }
    }
}

rn_status rn_plan_write(char **text, const rn_plan *plan, rn_error *err)
{
    rn_memory_stream out;
    if (!rn_memory_stream_open(&out))
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    write_plan(out.stream, plan);
    char *whole = rn_memory_stream_close(&out, NULL);
    if (!whole)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    *text = whole;
    return RN_OK;
}

rn_status rn_plan_write_file(const char *path, FILE *standard, const rn_plan *plan, rn_error *err)
{
    char *text = NULL;
    rn_file file;
    rn_status status = rn_plan_write(&text, plan, err);
    if (status == RN_OK)
        status = rn_file_open(&file, path, standard, err);
    if (status == RN_OK) {
        fputs(text, file.stream);
        status = rn_file_close(&file, err);
    }
    free(text);
    return status;
}

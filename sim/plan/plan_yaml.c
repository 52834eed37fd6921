#include "plan/plan_yaml.h"

#include <stdbool.h>
#include <string.h>

#include "plan/plan_scan.h"

#define DEPTH_MOST 8
#define EVENTS_MOST 100000

rn_mark rn_yaml_mark(yaml_mark_t mark)
{
    return (rn_mark){(int)mark.line + 1, (int)mark.column + 1};
}

/* What libyaml says, and what a person should hear. */
static const struct {
    const char *problem, *words;
} problems[] = {
    {"did not find expected key", "this does not fit: check the indentation, and that each line is 'key: value'"},
    {"did not find expected '-' indicator",
     "this does not fit: check the indentation, and that each entry begins '- '"},
    {"mapping values are not allowed in this context",
     "a ':' stands here where none fits: check the indentation, or put the text in quotes"},
    {"could not find expected ':'", "a ':' and a blank are missing after the key before this"},
    {"block sequence entries are not allowed in this context",
     "a list entry '- ' does not fit here: begin it on a line of its own"},
    {"found character that cannot start any token", "this character cannot begin a value: put the text in quotes"},
    {"found unknown escape character", "a backslash in double quotes begins an escape: use single quotes"},
};

static rn_status fail_yaml(const yaml_parser_t *parser, const char *text, long size, rn_error *err)
{
    if (parser->error == YAML_MEMORY_ERROR || !parser->problem) /* it names one for all that is wrong with a text */
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    rn_mark mark = rn_scan_inside(text, size, rn_yaml_mark(parser->problem_mark)),
            begin = rn_yaml_mark(parser->context_mark), eaten;
    const char *problem = parser->problem;
    if (!parser->context || begin.line > mark.line)
        begin = mark;
    bool at_end = rn_scan_at(text, size, mark) == '\0'; /* what is missing may have been lost anywhere before */
    if (rn_scan_eaten(&eaten, text, size, begin.line, mark.line) ||
        (at_end && rn_scan_eaten(&eaten, text, size, 1, mark.line)))
        return rn_fail_at(err, RN_E_PLAN, eaten,
                          "the '#' begins a comment here, so the value is lost: write it in quotes, as \"#2b3a55\", or "
                          "bare, as 2b3a55");
    if (rn_scan_at(text, size, mark) == '\t' || strstr(problem, "tab"))
        return rn_fail_at(err, RN_E_PLAN, mark, "a tab stands here: indent with blanks");
    if (!strcmp(problem, "found unexpected end of stream"))
        return rn_fail_at(err, RN_E_PLAN, begin, "the quotes that open here are never closed");
    if (!strncmp(problem, "did not find expected ',' or", 28))
        return rn_fail_at(err, RN_E_PLAN, mark, "a ',' or a %s is missing before this; the bracket opens on line %d",
                          problem + 29, begin.line);
    for (size_t i = 0; i < sizeof problems / sizeof problems[0]; i++)
        if (!strcmp(problem, problems[i].problem))
            return rn_fail_at(err, RN_E_PLAN, mark, "%s", problems[i].words);
    return rn_fail_at(err, RN_E_PLAN, mark, "this is not YAML: %s", problem);
}

/* What YAML allows and a plan does not. */
static rn_status check_event(const yaml_event_t *event, int *depth, int *documents, rn_error *err)
{
    rn_mark mark = rn_yaml_mark(event->start_mark);
    const yaml_char_t *anchor = NULL, *tag = NULL;
    int step = 0;
    if (event->type == YAML_ALIAS_EVENT)
        return rn_fail_at(err, RN_E_PLAN, mark, "an alias ('*') is not read: write the values out");
    if (event->type == YAML_SCALAR_EVENT) {
        anchor = event->data.scalar.anchor;
        tag = event->data.scalar.tag;
    } else if (event->type == YAML_SEQUENCE_START_EVENT) {
        anchor = event->data.sequence_start.anchor;
        tag = event->data.sequence_start.tag;
        step = 1;
    } else if (event->type == YAML_MAPPING_START_EVENT) {
        anchor = event->data.mapping_start.anchor;
        tag = event->data.mapping_start.tag;
        step = 1;
    } else if (event->type == YAML_SEQUENCE_END_EVENT || event->type == YAML_MAPPING_END_EVENT) {
        step = -1;
    } else if (event->type == YAML_DOCUMENT_START_EVENT && ++*documents > 1) {
        return rn_fail_at(err, RN_E_PLAN, mark, "a second document begins here: one file holds one plan");
    }
    *depth += step;
    if (anchor)
        return rn_fail_at(err, RN_E_PLAN, mark, "an anchor ('&') is not read: write the values out");
    if (tag)
        return rn_fail_at(err, RN_E_PLAN, mark, "a tag ('!') is not read: write the value alone");
    if (*depth > DEPTH_MOST)
        return rn_fail_at(err, RN_E_PLAN, mark, "brackets are nested too deep: a plan needs no more than %d levels",
                          DEPTH_MOST);
    return RN_OK;
}

/* Looks through all events before any tree is built, so that nothing in the text can make it grow. */
static rn_status check_events(const char *text, long size, rn_error *err)
{
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser))
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    yaml_parser_set_input_string(&parser, (const unsigned char *)text, (size_t)size);
    int depth = 0, documents = 0, events = 0;
    rn_status status = RN_OK;
    bool more = true;
    while (more && !status) {
        yaml_event_t event;
        if (!yaml_parser_parse(&parser, &event)) {
            status = fail_yaml(&parser, text, size, err);
            break;
        }
        status = check_event(&event, &depth, &documents, err);
        more = event.type != YAML_STREAM_END_EVENT;
        if (!status && ++events > EVENTS_MOST)
            status = rn_fail_at(err, RN_E_PLAN, rn_yaml_mark(event.start_mark), "the plan is too long to be one");
        yaml_event_delete(&event);
    }
    yaml_parser_delete(&parser);
    return status;
}

rn_status rn_yaml_load(yaml_document_t *document, const char *text, long size, rn_error *err)
{
    rn_status status = rn_scan_text(text, size, err);
    if (!status)
        status = check_events(text, size, err);
    if (status)
        return status;
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser))
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    yaml_parser_set_input_string(&parser, (const unsigned char *)text, (size_t)size);
    if (!yaml_parser_load(&parser, document))
        status = fail_yaml(&parser, text, size, err);
    yaml_parser_delete(&parser);
    return status;
}

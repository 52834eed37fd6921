#include "cli/json.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

static yaml_node_t *child(yaml_document_t *document, yaml_node_t *node, const char *name, size_t length)
{
    if (node->type == YAML_SEQUENCE_NODE) {
        const long index = strtol(name, NULL, 10);
        const long count = node->data.sequence.items.top - node->data.sequence.items.start;
        if (index < 0 || index >= count)
            return NULL;
        return yaml_document_get_node(document, node->data.sequence.items.start[index]);
    }
    if (node->type != YAML_MAPPING_NODE)
        return NULL;
    for (yaml_node_pair_t *pair = node->data.mapping.pairs.start; pair < node->data.mapping.pairs.top; pair++) {
        yaml_node_t *key = yaml_document_get_node(document, pair->key);
        if (key->data.scalar.length == length && strncmp((char *)key->data.scalar.value, name, length) == 0)
            return yaml_document_get_node(document, pair->value);
    }
    return NULL;
}

/* Loads the document and walks the path; the caller deletes the document where true is returned. */
static int find(yaml_document_t *document, yaml_node_t **node, const char *json, const char *path)
{
    yaml_parser_t parser;
    yaml_parser_initialize(&parser);
    yaml_parser_set_input_string(&parser, (const unsigned char *)json, strlen(json));
    const int loaded = yaml_parser_load(&parser, document);
    yaml_parser_delete(&parser);
    if (!loaded)
        return 0;
    *node = yaml_document_get_root_node(document);
    while (*node && *path) {
        const size_t length = strcspn(path, ".");
        *node = child(document, *node, path, length);
        path += length + (path[length] == '.');
    }
    if (!*node)
        yaml_document_delete(document);
    return *node != NULL;
}

const char *json_text(const char *json, const char *path)
{
    static char text[1000];
    yaml_document_t document;
    yaml_node_t *node;
    if (!find(&document, &node, json, path))
        return NULL;
    const int scalar = node->type == YAML_SCALAR_NODE;
    if (scalar)
        snprintf(text, sizeof text, "%s", (char *)node->data.scalar.value);
    yaml_document_delete(&document);
    return scalar ? text : NULL;
}

double json_number(const char *json, const char *path)
{
    const char *text = json_text(json, path);
    char *end;
    const double number = text ? strtod(text, &end) : NAN;
    return text && end > text && !*end ? number : NAN;
}

int json_count(const char *json, const char *path)
{
    yaml_document_t document;
    yaml_node_t *node;
    int count = -1;
    if (!find(&document, &node, json, path))
        return -1;
    if (node->type == YAML_SEQUENCE_NODE)
        count = (int)(node->data.sequence.items.top - node->data.sequence.items.start);
    else if (node->type == YAML_MAPPING_NODE)
        count = (int)(node->data.mapping.pairs.top - node->data.mapping.pairs.start);
    yaml_document_delete(&document);
    return count;
}

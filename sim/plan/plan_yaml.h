/* YAML text into a document tree that is safe to walk: no aliases, no tags, one document, little depth. */
#ifndef RN_PLAN_PLAN_YAML_H
#define RN_PLAN_PLAN_YAML_H

#include <yaml.h>

#include "base/error.h"

/* Fills document, to be deleted with yaml_document_delete; err has line and column on failure. */
rn_status rn_yaml_load(yaml_document_t *document, const char *text, long size, rn_error *err);

/* libyaml counts from 0, a person from 1. */
rn_mark rn_yaml_mark(yaml_mark_t mark);

#endif

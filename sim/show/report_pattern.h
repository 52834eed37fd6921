/* The pattern in words, and as members of a JSON object. */
#ifndef RN_SHOW_REPORT_PATTERN_H
#define RN_SHOW_REPORT_PATTERN_H

#include <stdio.h>

#include "plan/plan.h"
#include "run/pattern.h"

/* A second screen below the forecast's, of as many lines at most (show/report.h): colours, rings, spiral, circles, stretch,
   cells; pours that find no room on it are counted. */
void rn_report_pattern(FILE *out, const rn_plan *plan, const rn_pattern *pattern);

/* "colours", "rings", "twist", "distortion", "stretch", "cells": members of the object at hand, each with a comma after
   it. Units are in the key names; what is not known is null. */
void rn_report_pattern_json(FILE *out, const rn_plan *plan, const rn_pattern *pattern);

#endif

/* Reads JSON with an independent reader: libyaml, as JSON is YAML [rfc8259]. Paths are "film_mm.mean",
   "corners.2.name" (from 0). */
#ifndef RN_TESTS_CLI_JSON_H
#define RN_TESTS_CLI_JSON_H

/* The scalar at a path as text ("null", "true", "0.25"), NULL if there is none or the text is no JSON. Kept until the
   next call. */
const char *json_text(const char *json, const char *path);

/* The number at a path; NaN if it is none. */
double json_number(const char *json, const char *path);

/* How many items a list or object has; -1 if there is none. */
int json_count(const char *json, const char *path);

#endif

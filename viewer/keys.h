/* All keys and all handles of the window, in one table: the page of F1 shows it, and docs/viewer.md holds it. */
#ifndef KEYS_H
#define KEYS_H

typedef struct rv_keys_row {
    const char *section;
    const char *what;
    const char *mouse; /* "" : by keys only */
    const char *keys;  /* "" : by hand only */
} rv_keys_row;

/* Rows of a section stand together. */
const rv_keys_row *keys_table(int *count);

/* The table as Markdown, malloc'd, the caller's; NULL if no memory. */
char *keys_markdown(void);

#endif

/* Draws many forecasts and looks at how their texts stand. */
#ifndef RN_TESTS_SHOW_PAGES_H
#define RN_TESTS_SHOW_PAGES_H

/* Every page: no two texts overlap, none leaves the page, none was dropped. A cmocka test. */
void pages_stand_apart(void **state);

#endif

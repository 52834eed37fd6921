/* How different two colours look: CIEDE2000 [sharma2005], for tests. */
#ifndef RN_TESTS_SHOW_DIFFERENCE_H
#define RN_TESTS_SHOW_DIFFERENCE_H

double difference_2000(const double lab1[3], const double lab2[3]);

#endif

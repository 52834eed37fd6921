/* The usual cautions of the craft, in one place: printed by 'runnel help cautions', shown in the window and in the README,
   and as one line on every page that is meant for print. General words: labels, local rules and licensed people come
   first. */
#ifndef RN_SHOW_CAUTIONS_H
#define RN_SHOW_CAUTIONS_H

typedef struct rn_caution {
    const char *title; /* a word or two, without a full stop */
    const char *text;  /* whole sentences */
} rn_caution;

int rn_caution_count(void);

/* For 0 <= i < rn_caution_count(). */
const rn_caution *rn_caution_at(int i);

/* Who comes before all of them: one sentence, to stand above the list. */
const char *rn_caution_lead(void);

/* The shortest form: one line for the foot of a page. */
const char *rn_caution_line(void);

#endif

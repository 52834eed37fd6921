/* Small helps for messages: quoting what a person wrote, and offering the word they may have meant. */
#ifndef RN_BASE_TEXT_H
#define RN_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define RN_QUOTE_SIZE 200

/* Copies text for a one-line message: at most 40 characters, the rest as "...", characters that are not seen and
   bytes that are not UTF-8 as '?'. Returns quoted. */
const char *rn_text_quote(char quoted[RN_QUOTE_SIZE], const char *text);

/* Length in bytes of the UTF-8 character that begins at text (NUL-terminated); 0 if it is not one. */
int rn_text_character(const char *text);

/* The code point of that character; 0 if it is not one. */
uint32_t rn_text_code(const char *text);

/* As rn_text_character; 0 as well for a character that cannot be seen: what a terminal obeys, what ends the line, what
   turns the order of letters. */
int rn_text_seen(const char *text);

/* Copies text whole, on one line and so that nothing in it is obeyed or hidden: what is not seen as "\x1b", "\u202e",
   "\U000e0041". What does not fit the size ends in "...". Returns shown. */
const char *rn_text_show(char *shown, size_t size, const char *text);

/* Whether text is UTF-8 that stays on one line and can be seen: none of what rn_text_seen leaves out. */
bool rn_text_printable(const char *text);

/* ASCII letters compared without regard to case. */
bool rn_text_same(const char *a, const char *b);

/* Edits between two words, ASCII case ignored: insertions, deletions, replacements and swaps of neighbours
   each count one [damerau1964]. Words longer than 63 bytes are taken as 63 apart. */
int rn_text_distance(const char *a, const char *b);

/* The word of words[count] nearest to text, or NULL if none is near enough to be offered. */
const char *rn_text_nearest(const char *text, const char *const *words, int count);

#endif

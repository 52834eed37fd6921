/* Colours as numbers: sRGB [srgb1999], CIE 1976 L*a*b* [cie1976], and the ramp that shows depth. */
#ifndef RN_SHOW_COLOUR_H
#define RN_SHOW_COLOUR_H

#include <stdint.h>

/* The transfer curve of sRGB, both ways; values 0..1. */
double rn_srgb_encode(double linear);
double rn_srgb_decode(double encoded);

/* L*, a*, b* under D65 of an sRGB colour and back (clipped to what sRGB can show). */
void rn_lab_from_srgb(double lab[3], const uint8_t rgb[3]);
void rn_srgb_from_lab(uint8_t rgb[3], const double lab[3]);

/* The depth ramp at u in 0..1: violet-blue through grey to straw, its lightness even from 18 to 93. */
void rn_ramp_depth(uint8_t rgb[3], double u);

#endif

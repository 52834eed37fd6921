/* Tables for other programs: the history as CSV, the film as NPY. Write errors stay with the stream. */
#ifndef RN_SHOW_TABLE_H
#define RN_SHOW_TABLE_H

#include <stdio.h>

#include "run/record.h"

/* The history, a line for each moment; the header names every column and its unit [rfc4180]. */
void rn_series_csv(FILE *out, const rn_record *record);

/* The final film depth [m] as an NPY array, version 1.0 [nep1]: float64, shape (ny, nx), row 0 at the back edge
   (as the panel is looked at), NaN outside a round face. */
void rn_field_npy(FILE *out, const rn_record *record);

#endif

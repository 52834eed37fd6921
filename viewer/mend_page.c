#include "parts.h"

void mend_draw(rv_canvas *canvas)
{
    (void)canvas;
}

#include "parts.h"

void mend_draw(canvas *canvas)
{
    (void)canvas;
}

#include "parts.h"

void bench_draw(rv_canvas *canvas)
{
    (void)canvas;
}

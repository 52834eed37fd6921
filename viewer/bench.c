#include "parts.h"

void bench_draw(canvas *canvas)
{
    (void)canvas;
}

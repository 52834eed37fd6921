/* pictures MADE KEPT...: whether each PNG that is kept shows what the one of its name in the folder MADE does. They need not
   be the same to the last bit, as the mathematics of another machine may round otherwise: of 20 000 pixels one may differ
   by more than an eighth of the scale, which is less than a figure that has changed. Ends with 1 where one differs. */
#include <cairo.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CLEARLY 32 /* of 255 */
#define PIXELS_FOR_ONE 20000

static const char *name_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

static int differs(const unsigned char *a, const unsigned char *b)
{
    for (int c = 0; c < 3; c++)
        if (abs(a[c] - b[c]) > CLEARLY)
            return 1;
    return 0;
}

/* Pixels that differ; -1 where the sizes do. */
static long count(cairo_surface_t *a, cairo_surface_t *b)
{
    const int width = cairo_image_surface_get_width(a), height = cairo_image_surface_get_height(a);
    if (width != cairo_image_surface_get_width(b) || height != cairo_image_surface_get_height(b))
        return -1;
    long found = 0;
    for (int y = 0; y < height; y++) {
        const unsigned char *pa = cairo_image_surface_get_data(a) + (long)y * cairo_image_surface_get_stride(a);
        const unsigned char *pb = cairo_image_surface_get_data(b) + (long)y * cairo_image_surface_get_stride(b);
        for (int x = 0; x < width; x++)
            found += differs(pa + 4L * x, pb + 4L * x);
    }
    return found;
}

static int check(const char *made, const char *kept)
{
    char path[4096];
    snprintf(path, sizeof path, "%s/%s", made, name_of(kept));
    cairo_surface_t *a = cairo_image_surface_create_from_png(path), *b = cairo_image_surface_create_from_png(kept);
    int wrong = 1;
    if (cairo_surface_status(a) != CAIRO_STATUS_SUCCESS) {
        printf("%s: docs/make makes no such picture\n", kept);
    } else if (cairo_surface_status(b) != CAIRO_STATUS_SUCCESS) {
        printf("%s cannot be read\n", kept);
    } else {
        const long found = count(a, b);
        const long most = (long)cairo_image_surface_get_width(a) * cairo_image_surface_get_height(a) / PIXELS_FOR_ONE;
        wrong = found < 0 || found > most;
        if (wrong && found < 0)
            printf("%s is stale: it has another size; run docs/make %.*s\n", kept, (int)strcspn(name_of(kept), "."),
                   name_of(kept));
        else if (wrong)
            printf("%s is stale: %ld pixels differ, %ld may; run docs/make %.*s\n", kept, found, most,
                   (int)strcspn(name_of(kept), "."), name_of(kept));
    }
    cairo_surface_destroy(a);
    cairo_surface_destroy(b);
    return wrong;
}

int main(int argc, char **argv)
{
    int wrong = argc < 3;
    for (int i = 2; i < argc; i++)
        wrong |= check(argv[1], argv[i]);
    return wrong;
}

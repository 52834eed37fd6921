/* A film takes its memory when it is made and none while it steps. The C library's own allocator is counted. */
#include "check.h"

#include <stdatomic.h>
#include <stdlib.h>

#include "scene.h"

#if defined(__SANITIZE_ADDRESS__) || !defined(__GLIBC__)

static void nothing_is_allocated_while_stepping(void **state)
{
    (void)state;
    printf("another allocator is at work here: not counted\n");
    skip();
}

static void columns_are_set_anew_in_the_same_memory(void **state)
{
    nothing_is_allocated_while_stepping(state);
}

#else

extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *block, size_t size);
void *malloc(size_t size);
void *calloc(size_t count, size_t size);
void *realloc(void *block, size_t size);

static atomic_long taken;

void *malloc(size_t size)
{
    atomic_fetch_add(&taken, 1);
    return __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    atomic_fetch_add(&taken, 1);
    return __libc_calloc(count, size);
}

void *realloc(void *block, size_t size)
{
    atomic_fetch_add(&taken, 1);
    return __libc_realloc(block, size);
}

static void drive(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    (void)context;
    *input = (rn_film_input){0.9, 0.5, 9.7, 1.5, 0.2};
    volumes[0] = 10e-6 * (t1 - t0);
}

static void step_and_count(rn_film *film)
{
    rn_error err = {0};
    double t = 0, step;
    long before = atomic_load(&taken);
    assert_true(before > 0); /* the count does count */
    while (t < 10) {
        assert_int_equal(rn_film_step(&step, film, t, 10, drive, NULL, &err), RN_OK);
        t += step;
    }
    assert_int_equal(atomic_load(&taken) - before, 0);
    assert_true(rn_film_steps(film) > 50);
}

static void nothing_is_allocated_while_stepping(void **state)
{
    (void)state;
    film_scene scene = film_scene_usual(64, 64);
    scene.options.threads = 2;
    scene.options.edges = RN_EDGE_WRAPPED;
    scene.options.law = (rn_law){1, 0.8, 0.3};
    rn_film *film = film_scene_set(&scene);
    step_and_count(film);
    rn_film_free(film);
}

static void columns_are_set_anew_in_the_same_memory(void **state)
{
    (void)state;
    static unsigned char laws_of[4 * 64 * 64];
    const rn_law laws[] = {{1, 0.8, 0.3}, {0.5, 1, 0}};
    for (int cell = 0; cell < 4 * 64 * 64; cell++)
        laws_of[cell] = (unsigned char)(cell / 5 % 2);
    film_scene scene = film_scene_usual(64, 64);
    scene.base = 0.5e-3;
    rn_film *film = film_scene_set(&scene);
    rn_error err = {0};
    check_ok(rn_film_set_columns(film, laws_of, NULL, 4, laws, 2, &err), &err);
    long before = atomic_load(&taken);
    check_ok(rn_film_set_columns(film, NULL, NULL, 0, NULL, 0, &err), &err);
    check_ok(rn_film_set_columns(film, laws_of, NULL, 3, laws, 2, &err), &err);
    check_ok(rn_film_set_columns(film, laws_of, NULL, 4, laws, 2, &err), &err);
    assert_int_equal(atomic_load(&taken) - before, 0);
    step_and_count(film);
    rn_film_free(film);
}

#endif

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_allocated_while_stepping),
        cmocka_unit_test(columns_are_set_anew_in_the_same_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

#include <stddef.h>
#include <string.h>

#include "film/kernels.h"

extern const rn_kernels rn_kernels_baseline;
#ifdef RN_HAVE_X86_KERNELS
extern const rn_kernels rn_kernels_avx2, rn_kernels_avx512;
#endif

const rn_kernels *rn_kernels_choose(const char *name)
{
#ifdef RN_HAVE_X86_KERNELS
    __builtin_cpu_init();
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl") &&
        (!name || !strcmp(name, rn_kernels_avx512.name)))
        return &rn_kernels_avx512;
    if (__builtin_cpu_supports("avx2") && (!name || !strcmp(name, rn_kernels_avx2.name)))
        return &rn_kernels_avx2;
#endif
    if (!name || !strcmp(name, rn_kernels_baseline.name))
        return &rn_kernels_baseline;
    return NULL;
}

#include "film/spectral.h"

#include <assert.h>
#include <fftw3.h>
#include <math.h>
#include <pthread.h>
#include <string.h>

/* FFTW's planner keeps books of its own and is not safe to enter twice. */
static pthread_mutex_t planning = PTHREAD_MUTEX_INITIALIZER;

static fftw_plan make_plan(int count, double *in, fftw_complex *out)
{
    pthread_mutex_lock(&planning);
    fftw_plan plan = fftw_plan_dft_r2c_1d(count, in, out, FFTW_ESTIMATE); /* measuring would vary from run to run */
    pthread_mutex_unlock(&planning);
    return plan;
}

static void drop_plan(fftw_plan plan)
{
    pthread_mutex_lock(&planning);
    fftw_destroy_plan(plan);
    pthread_mutex_unlock(&planning);
}

rn_status rn_spectral_modes(double *amplitude, double *phase, int most, const double *values, int count, rn_error *err)
{
    assert(most >= 0 && 2 * most < count);
    double *in = fftw_alloc_real((size_t)count);
    fftw_complex *out = fftw_alloc_complex((size_t)count / 2 + 1);
    fftw_plan plan = in && out ? make_plan(count, in, out) : NULL;
    if (plan) {
        memcpy(in, values, (size_t)count * sizeof *in);
        fftw_execute(plan);
        amplitude[0] = out[0][0] / count;
        phase[0] = 0;
        for (int m = 1; m <= most; m++) {
            amplitude[m] = 2 * hypot(out[m][0], out[m][1]) / count;
            phase[m] = amplitude[m] > 0 ? atan2(-out[m][1], out[m][0]) : 0; /* FFTW's exponent is -i m theta */
        }
        drop_plan(plan);
    }
    fftw_free(in);
    fftw_free(out);
    return plan ? RN_OK : rn_fail(err, RN_E_MEMORY, "no memory left for a Fourier transform of %d values", count);
}

#include "course.h"

#include <math.h>

#define MARKS_BYTES (128L << 20) /* more than this are thinned out as well */

static void drop_marks(rv_course *course, int from)
{
    for (int k = from; k < course->count; k++)
        rn_bookmark_free(course->marks[k]);
    course->count = from < course->count ? from : course->count;
}

void course_clear(rv_course *course)
{
    drop_marks(course, 0);
    rn_session_free(course->session);
    *course = (rv_course){0};
}

static long mark_bytes(const rv_course *course)
{
    long bytes = 0;
    for (int k = 0; k < course->count; k++)
        bytes += rn_bookmark_bytes(course->marks[k]);
    return bytes;
}

long course_bytes(const rv_course *course)
{
    return mark_bytes(course) + (course->session ? rn_session_bytes(course->session) : 0);
}

/* Goes back as far as the plans' parting asks; false if there is no way but from the start. */
static bool go_back(rv_course *course, double agreed)
{
    rn_error err = {0};
    if (rn_session_bound(course->session) <= agreed)
        return true; /* it has not come so far yet */
    int k = course->count - 1;
    while (k >= 0 && rn_bookmark_bound(course->marks[k]) > agreed)
        k--;
    drop_marks(course, k + 1);
    return k >= 0 && rn_session_rewind(course->session, course->marks[k], &err) == RN_OK;
}

rn_status course_take(rv_course *course, const rn_plan *plan, double agreed, const rn_session_options *options,
                      double *kept, rn_error *err)
{
    *kept = 0;
    rn_error own = {0};
    if (course->session && agreed > 0 && go_back(course, agreed) &&
        rn_session_replan(course->session, plan, &own) == RN_OK) {
        *kept = rn_session_time(course->session);
        return RN_OK;
    }
    course_clear(course);
    course->spacing = fmax(plan->end / COURSE_MARKS, 1);
    return rn_session_new(&course->session, plan, options, err);
}

/* Where there are too many every other one goes, and they come half as often. */
static void thin_out(rv_course *course)
{
    int kept = 0;
    for (int k = 0; k < course->count; k++) {
        if (k % 2)
            rn_bookmark_free(course->marks[k]);
        else
            course->marks[kept++] = course->marks[k];
    }
    course->count = kept;
    course->spacing *= 2;
}

static void mark(rv_course *course)
{
    const double last = course->count ? rn_bookmark_time(course->marks[course->count - 1]) : 0;
    if (rn_session_time(course->session) < last + course->spacing || !rn_session_between_intervals(course->session))
        return;
    if (course->count == COURSE_MARKS || (course->count > 1 && mark_bytes(course) > MARKS_BYTES))
        thin_out(course);
    rn_error err = {0};
    if (rn_session_mark(&course->marks[course->count], course->session, &err) == RN_OK)
        course->count++;
}

rn_status course_step(rv_course *course, rn_error *err)
{
    const rn_status status = rn_session_step(course->session, err);
    if (status == RN_OK)
        mark(course);
    return status;
}

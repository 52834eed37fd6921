#include "desk.h"

#include <math.h>

#include "edit.h"
#include "keep.h"

#define PREVIEW_THREADS 1 /* its grid is too small to share */

/* ---- making and ending ---- */

static rn_status new_studio(rv_studio **studio, const rv_desk_options *own, bool fine, bool judges, rn_error *err)
{
    const rv_studio_options options = {.cells = fine ? own->cells : own->preview,
                                       .points = fine ? own->points : own->points * 5 / 8,
                                       .threads = fine ? own->threads : PREVIEW_THREADS,
                                       .judges = judges,
                                       .wake = own->wake,
                                       .context = own->context};
    return studio_new(studio, options, err);
}

rn_status desk_new_bench(rv_desk *d, const rv_desk_options *options, rn_error *err)
{
    rv_desk made = {0};
    rn_status status = new_studio(&made.quick, options, false, false, err);
    if (status == RN_OK)
        status = new_studio(&made.fine, options, true, true, err);
    if (status != RN_OK) {
        desk_clear(&made);
        return status;
    }
    *d = made;
    return RN_OK;
}

void desk_clear(rv_desk *d)
{
    studio_free(d->quick);
    studio_free(d->fine);
    studio_tale_free(d->shown.tale);
    studio_picture_free(d->shown.picture);
    studio_picture_free(d->shown.face);
    studio_core_free(d->shown.core);
    studio_section_free(d->shown.section);
    studio_pull_free(d->shown.pull);
    rn_plan_free(d->told);
    *d = (rv_desk){0};
}

/* ---- what is wanted ---- */

/* What is shown belongs to another plan now: keeps what still holds. */
static void mind_version(rv_desk *d, rv_view *view)
{
    const rn_plan *plan = view_plan(view, d->place);
    const long version = view_version(view, d->place);
    if (d->told && d->shown.version == version)
        return;
    const double agreed = d->told ? rn_plan_agree_until(d->told, plan) : 0;
    const bool other_colours = d->told && keep_recoloured(d->told, plan);
    rn_plan_free(d->told);
    d->told = rn_plan_copy(plan);
    keep_shown(&d->shown, d->told, agreed, other_colours, version);
    d->quick_done = false;
    d->quick_traced = fmin(d->quick_traced, agreed);
    d->fine_traced = fmin(d->fine_traced, agreed);
    if (d->place == PLACE_BENCH)
        view->solved = fmin(view->solved, agreed);
    d->changed = true;
}

static void give_plan(rv_desk *d, const rv_view *view)
{
    rn_error err = {0};
    const long version = d->shown.version;
    if (!edit_pourable(d->told) || !view_settled(view))
        return;
    if (d->quick_given != version && studio_set_plan(d->quick, d->told, version, &err) == RN_OK)
        d->quick_given = version;
    /* The fine one begins when the outcome is known and the hands are still. */
    const bool calm = d->quick_done && view->drag.part == PART_NONE && !view->rehearsal.on;
    if (d->fine && calm && d->fine_given != version && studio_set_plan(d->fine, d->told, version, &err) == RN_OK)
        d->fine_given = version;
}

static void give_wishes(rv_desk *d, const rv_view *view, bool on_page)
{
    rv_studio_wish wish = view_wish(view, d->place);
    const rv_studio_wish nothing = {.time = wish.time, .horizon = 0};
    const long version = d->shown.version;
    const double time = fmin(wish.time, d->told->end);
    d->fine_shows = d->fine && d->fine_given == version && d->fine_traced >= time - 1e-6 && d->fine_traced > 0;
    if (d->fine) {
        rv_studio_wish fine = d->fine_shows && on_page ? wish : nothing;
        fine.horizon = d->fine_given == version && on_page && !view->rehearsal.on ? INFINITY : 0;
        studio_set_wish(d->fine, fine);
    }
    rv_studio_wish quick = d->fine_shows || !on_page ? nothing : wish;
    /* The quick one goes on to the end whatever the fine one shows already: its outcome is what edits are told by. */
    quick.horizon = !on_page ? 0 : wish.horizon;
    studio_set_wish(d->quick, quick);
}

/* ---- what was answered ---- */

/* Puts an answer in place of the one before, if it is of the plan as it is now. */
#define TAKE_UP(d, kind, answer, fits)                                                                                 \
    do {                                                                                                               \
        rv_studio_##kind *got = (answer);                                                                              \
        if (!got)                                                                                                      \
            break;                                                                                                     \
        if (got->version == (d)->shown.version && (fits)) {                                                            \
            studio_##kind##_free((d)->shown.kind);                                                                     \
            (d)->shown.kind = got;                                                                                     \
            (d)->changed = true;                                                                                       \
        } else {                                                                                                       \
            studio_##kind##_free(got);                                                                                 \
        }                                                                                                              \
    } while (0)

/* Whether a tale tells more than the one that is shown. */
static bool tells_more(const rv_shown *shown, const rv_studio_tale *tale)
{
    const rv_studio_tale *now = shown->tale;
    if (!now || now->version != tale->version)
        return true;
    if (now->complete && tale->complete && now->outline != tale->outline && now->cells == tale->cells)
        return now->outline;
    if (now->cells == tale->cells)
        return !now->complete || (tale->complete && tale->forecast.has_pattern >= now->forecast.has_pattern);
    if (tale->complete != now->complete)
        return tale->complete;
    return tale->complete ? tale->cells > now->cells : tale->solved > now->solved;
}

/* What lies beneath is shown beside the face it was peeled from: keeps that while both are of one plan and moment. */
static void keep_face(rv_shown *shown, const rv_studio_picture *next)
{
    rv_studio_picture *last = shown->picture;
    const bool peels = next->wish.peel > 0;
    if (peels && last && last->wish.peel <= 0 && last->version == next->version &&
        fabs(last->time - next->time) < 1e-6) {
        studio_picture_free(shown->face);
        shown->face = last;
        shown->picture = NULL;
    } else if (shown->face &&
               (!peels || shown->face->version != next->version || fabs(shown->face->time - next->time) >= 1e-6)) {
        studio_picture_free(shown->face);
        shown->face = NULL;
    }
}

/* Whether it shows less of the same plan and moment than what is seen already. */
static bool shows_less(const rv_studio_picture *picture, const rv_studio_picture *seen)
{
    return seen && seen->sharp && !picture->sharp && seen->version == picture->version &&
           fabs(seen->time - picture->time) < 1e-6 && seen->wish.peel == picture->wish.peel &&
           seen->wish.dark == picture->wish.dark && seen->wish.sheen == picture->wish.sheen;
}

static void take_picture(rv_desk *d, rv_studio_picture *picture, bool shows)
{
    if (picture && shows && shows_less(picture, d->shown.picture)) {
        d->shown.picture->wish.time = picture->wish.time; /* what is seen answers that too */
        studio_picture_free(picture);
        return;
    }
    if (picture && picture->version == d->shown.version && shows) {
        keep_face(&d->shown, picture);
        d->fine_seen = d->fine_shows;
    }
    TAKE_UP(d, picture, picture, shows);
}

static void take_answers(rv_desk *d, rv_studio *studio, bool fine)
{
    rv_studio_tale *tale = studio_take_tale(studio);
    if (tale && tale->version == d->shown.version) {
        double *traced = fine ? &d->fine_traced : &d->quick_traced;
        *traced = tale->traced;
        if (!fine)
            d->quick_done = d->quick_done || tale->complete || tale->trouble[0];
    }
    TAKE_UP(d, tale, tale, tells_more(&d->shown, got));
    const bool shows = fine == d->fine_shows;
    take_picture(d, studio_take_picture(studio), shows);
    TAKE_UP(d, core, studio_take_core(studio), shows);
    TAKE_UP(d, section, studio_take_section(studio), shows);
    TAKE_UP(d, pull, studio_take_pull(studio), shows);
}

void desk_update(rv_desk *d, const rv_desk_options *options, rv_view *view)
{
    const bool on_page = view_on_page(view, d->place);
    if (!on_page && !d->quick)
        return;
    rn_error err = {0};
    if (!d->quick && new_studio(&d->quick, options, false, true, &err) != RN_OK) {
        view_say(view, true, "No memory to show another plan.");
        return;
    }
    if (on_page)
        mind_version(d, view);
    if (d->told && on_page)
        give_plan(d, view);
    if (d->told)
        give_wishes(d, view, on_page);
    take_answers(d, d->quick, false);
    if (d->fine)
        take_answers(d, d->fine, true);
}

static bool told_all(const rv_desk *d, const rv_studio_tale *tale, const rn_plan *plan, int cells)
{
    /* Where both work on the same grid, what is shown may still be the first look's. */
    const bool refined = !d->fine || (tale->cells == cells && d->fine_shows) || tale->trouble[0];
    const bool judged = !plan->pour_count || !tale->complete || tale->forecast.has_pattern;
    return (tale->complete || tale->trouble[0]) && refined && judged;
}

static bool pictured(const rv_studio_picture *picture, const rv_studio_tale *tale, const rv_studio_wish *wish)
{
    return picture && picture->version == tale->version && picture->sharp && picture->cells == tale->cells &&
           picture->wish.time == wish->time && picture->wish.peel == wish->peel && picture->wish.pixels == wish->pixels;
}

static bool cut_through(const rv_studio_section *section, const rv_studio_tale *tale, const rv_studio_wish *wish)
{
    return section && section->cut.columns > 0 && section->version == tale->version && section->wish.time == wish->time;
}

static bool pulled(const rv_studio_pull *pull, const rv_studio_tale *tale, const rv_studio_wish *wish)
{
    return pull && pull->version == tale->version && pull->wish.time == wish->time;
}

bool desk_still(const rv_desk *d, int cells, const rv_view *view)
{
    const rn_plan *plan = view_plan(view, d->place);
    if (!edit_pourable(plan))
        return true;
    const rv_shown *shown = &d->shown;
    const rv_studio_tale *tale = shown->tale;
    const rv_studio_wish wish = view_wish(view, d->place);
    return tale && tale->version == view_version(view, d->place) && told_all(d, tale, plan, cells) &&
           pictured(shown->picture, tale, &wish) && d->fine_seen == d->fine_shows &&
           (!wish.section || cut_through(shown->section, tale, &wish)) &&
           (!wish.stretch || pulled(shown->pull, tale, &wish));
}

#include "search/identity.h"

#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/memory_stream.h"
#include "plan/plan_keys.h"
#include "plan/plan_value.h"
#include "plan/plan_words.h"
#include "search/stamp.h"

const char *rn_identity_stamp(void)
{
    return RN_VERSION " " RN_SEARCH_STAMP;
}

static void write_place(FILE *out, const rn_place *place)
{
    fprintf(out, " %d %d %d %a %a", place->point, place->side_x, place->side_y, place->x, place->y);
}

static void write_base_place(FILE *out, const rn_base *base)
{
    fprintf(out, " %d", (int)base->kind);
    write_place(out, &base->at);
}

static void write_stack(FILE *out, const rn_pour *pour)
{
    for (int k = 0; k < pour->layer_count; k++)
        fprintf(out, " %d %a", pour->stack[k].paint, pour->stack[k].volume);
}

static void write_sizes(FILE *out, const rn_pour *pour)
{
    for (int k = 0; k < pour->size_count; k++)
        fprintf(out, " %a", pour->sizes[k]);
}

/* Kinds of key that say nothing an outcome could depend on, or nothing that other rows do not say. */
static bool is_silent(const rn_key *key)
{
    static const rn_key_kind silent[] = {RN_KEY_TITLE,   RN_KEY_NAME,        RN_KEY_COLOUR, RN_KEY_VERSION,
                                         RN_KEY_SECTION, RN_KEY_CONSISTENCY, RN_KEY_REST};
    for (size_t i = 0; i < sizeof silent / sizeof silent[0]; i++)
        if (key->kind == silent[i])
            return true;
    return key->dimension == RN_DIM_PRICE;
}

/* The field of one key with all its bits. By the key table, so that a new key is part of the identity by itself. */
static void write_key(FILE *out, const rn_plan *plan, rn_section section, int index, const rn_key *key)
{
    const void *field = rn_value_field(plan, section, index, key);
    if (is_silent(key))
        return;
    fprintf(out, " %s", key->name);
    switch (key->kind) {
    case RN_KEY_QUANTITY:
    case RN_KEY_BEARING: fprintf(out, " %a", *(const double *)field); break;
    case RN_KEY_COUNT:
    case RN_KEY_WORD:
    case RN_KEY_PAINT: fprintf(out, " %d", *(const int *)field); break;
    case RN_KEY_SEED: fprintf(out, " %ld", *(const long *)field); break;
    case RN_KEY_FLAG: fprintf(out, " %d", *(const bool *)field); break;
    case RN_KEY_PLACE: write_place(out, field); break;
    case RN_KEY_SIZE:
    case RN_KEY_ROUND: fprintf(out, " %d %a %a", plan->panel.round, plan->panel.width, plan->panel.height); break;
    case RN_KEY_PUDDLE:
    case RN_KEY_STRIP: write_base_place(out, &plan->bases[index]); break;
    case RN_KEY_SIZES: write_sizes(out, &plan->pours[index]); break;
    case RN_KEY_STACK: write_stack(out, &plan->pours[index]); break;
    case RN_KEY_AMOUNT: fprintf(out, " %d %a", (int)plan->moves[index].kind, plan->moves[index].amount); break;
    case RN_KEY_TITLE:
    case RN_KEY_NAME:
    case RN_KEY_COLOUR:
    case RN_KEY_VERSION:
    case RN_KEY_SECTION:
    case RN_KEY_CONSISTENCY:
    case RN_KEY_REST: break; /* silent */
    }
}

static void write_elements(FILE *out, const rn_plan *plan, rn_section section, int elements)
{
    int count;
    const rn_key *keys = rn_plan_keys(&count, section);
    for (int index = 0; index < elements; index++) {
        fputs(section == RN_SECTION_PLAN ? "plan" : rn_section_word(section), out);
        for (int i = 0; i < count; i++)
            write_key(out, plan, section, index, &keys[i]);
        fputc('\n', out);
    }
}

static void write_goal(FILE *out, const rn_goal *goal)
{
    for (int i = 0; goal && i < goal->count; i++) {
        const rn_expect *demand = &goal->demands[i];
        fprintf(out, "until %s %d %a %a %d %d %d %d\n", rn_expect_word((int)demand->kind), (int)demand->relation,
                demand->value, demand->tolerance, demand->share, demand->one_side, demand->side_x, demand->side_y);
    }
}

rn_status rn_identity_write(char **text, const rn_run *run, const char *model_name, rn_error *err)
{
    const rn_plan *plan = run->plan;
    const int elements[RN_SECTIONS] = {
        [RN_SECTION_PLAN] = 1,
        [RN_SECTION_PANEL] = 1,
        [RN_SECTION_PAINT] = plan->paint_count,
        [RN_SECTION_BASE] = plan->base_count,
        [RN_SECTION_POUR] = plan->pour_count,
        [RN_SECTION_MOVE] = plan->move_count,
        [RN_SECTION_LIMITS] = run->pattern, /* else only warned of */
    };
    rn_memory_stream memory;
    if (!rn_memory_stream_open(&memory))
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    FILE *out = memory.stream;
    fprintf(out, "%s\n%s\ncells %d%s\n", rn_identity_stamp(), model_name ? model_name : "session", run->cells,
            run->pattern ? " pattern" : "");
    write_goal(out, run->settles);
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS; section++)
        write_elements(out, plan, section, elements[section]);
    char *made = rn_memory_stream_close(&memory, NULL);
    if (!made) /* a part of it would be another run's */
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    *text = made;
    return RN_OK;
}

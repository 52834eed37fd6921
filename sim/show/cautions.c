#include "show/cautions.h"

static const char lead[] =
    "General advice only: the label, the safety data sheet, local rules and licensed people come "
    "first.";

static const char line[] =
    "Fasten and guard what spins. No flame near alcohol, solvent or silicone. Goggles, gloves, fresh "
    "air. No paint down a drain. Labels and local rules come first.";

static const rn_caution cautions[] = {
    {"Spinning",
     "Fasten the panel to the turntable and balance it: a loose or lopsided load flies off. Stand a splash guard round "
     "it, "
     "start slowly, keep out of the plane in which paint is thrown, and wear goggles. Tie back hair, sleeves and "
     "cords, and "
     "keep your hands away until it stands still. Write your turntable's greatest rate into the plan as limits.spin."},
    {"Power", "Keep mains leads and plugs off the floor and away from wet paint. Dry your hands before you touch a "
              "switch, and pull "
              "the plug before you clean the turntable or reach under it."},
    {"Torch and heat gun",
     "No flame and no heat gun near solvent, alcohol, aerosol, paper, or wet work that holds solvent or silicone oil. "
     "Clear "
     "the bench, keep an extinguisher at hand and air moving, and never leave it alone. Let it cool on a stand that "
     "cannot "
     "burn, for longer than you think. Scorched acrylic gives off irritant smoke: stop at the first smell or bubble."},
    {"Solvent and alcohol", "The vapour is heavier than air: it sinks and creeps along the floor to a flame, a heater "
                            "or a motor's spark. Keep lids "
                            "on, leave no open dish, never spray towards a torch, and air the room down to the floor."},
    {"Resin",
     "Uncured epoxy, its hardener and the dust of sanding it can make the skin allergic for life. Wear nitrile gloves "
     "and "
     "sleeves, air the room, and never clean skin with solvent. A thick layer of mixed resin grows hot by itself."},
    {"Silicone", "Residue makes fish-eyes and keeps varnish or resin from holding. A floor with silicone oil on it is "
                 "slippery, and no "
                 "flame belongs near it."},
    {"Skin and eyes",
     "Wash paint off the skin with soap and water before it dries. Rinse an eye at once with plenty of clean water for "
     "a "
     "quarter of an hour, take out contact lenses, and get medical help. Do not eat, drink or smoke where you pour."},
    {"Dust and air", "Sand wet, outdoors or with extraction, in a particle respirator that fits. It does not stop "
                     "vapour: that takes the "
                     "cartridges which the safety data sheet names. Pigments and biocides can be harmful, so read "
                     "their labels. A drying "
                     "panel gives off water, ammonia and biocides for hours: keep the room aired."},
    {"Lifting and floor", "A wet panel of half a metre or more takes two people: hold it level, look where you walk, "
                          "and clear the way first. "
                          "Spilt paint is as slippery as ice; wipe it up at once."},
    {"Drying rack", "Dry the panel level on a rack that cannot tip, under a dust cover that does not touch it, away "
                    "from heaters, fans, "
                    "children and animals, and where nobody brushes past."},
    {"Waste", "Wipe tools before you rinse them. Pour neither paint nor rinse water down a drain or on to soil: let it "
              "settle and "
              "dry, and put the solids where local rules say. Rags with solvent or oil can catch fire by themselves: "
              "lay them out "
              "flat or drown them."},
    {"Children and classes", "An adult who knows the tools runs the turntable and any heat; everybody else stays "
                             "behind the guard. No torch, resin, "
                             "silicone or solvent for the young. Use paint that is sold as safe for them, keep the "
                             "floor dry, and have hands washed "
                             "afterwards."},
};

int rn_caution_count(void)
{
    return (int)(sizeof cautions / sizeof cautions[0]);
}

const rn_caution *rn_caution_at(int i)
{
    return &cautions[i];
}

const char *rn_caution_lead(void)
{
    return lead;
}

const char *rn_caution_line(void)
{
    return line;
}

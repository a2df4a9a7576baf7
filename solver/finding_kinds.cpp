// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>
#include <tuple>

#include "graph/breach.h"
#include "solver/findings.h"

// What `explain` reads out. Every rule stands here in full, with its numbers, so that nobody has to
// guess why something was or was not found; the numbers themselves live beside the code that uses
// them (find_*.cpp), and a test holds the two together.

namespace tankyard {

const std::vector<KindOfFinding>& kinds_of_finding() {
  static const std::vector<KindOfFinding> kinds = {
      {FindingKind::vacuum_collapse, "vacuum-collapse",
       "The air under a closed lid was at some moment of the run thinner than the air outside by "
       "more than the tank is allowed to bear. The figure is the deepest it came to, in Pa. What "
       "it may bear is the maker's figure (`allowed_vacuum`); else an estimate from its shape and "
       "`wall`; else 250 Pa, assumed with caution: the finding says which. Walls count as rigid: "
       "a soft wall bows first and takes some of the vacuum away, so the vacuum of the air's own "
       "cooling, above all, is worked out deeper than it will be. It does not matter whether a "
       "pump pulls, or a tap below, or the neighbours that a tank shares water with.",
       "Water that leaves must be made up for by air, and where the lid lets none in, the tank is "
       "sucked in: a round wall folds at one blow, a flat one bows. A wall that has creased does "
       "not bear again what it bore. What the run says after that moment, it says of a tank that "
       "has failed: levels and litres no longer mean anything.",
       "Drill the hole that the finding names. It is found by running the same day again with "
       "that hole alone in the lid and the other lids as they are, for the three tanks that go "
       "first, and is the smallest drill that leaves half of what the tank may bear in hand; "
       "`tankyard vent` does the same for every pull, not for this day's alone. Very large yards "
       "(more than two hundred thousand steps times places in a run) are not tried, and all that "
       "is tried in one run may take four times the steps of the run itself, or two million steps "
       "times places if that is more; what was not tried says so. Stop what "
       "draws before "
       "you touch a lid under vacuum, and let the air in slowly. Do not drill over stored fuel "
       "or over the residue of chemicals: sparks and vapours; know what the tank held before. An "
       "insect screen takes half of a hole, and cobwebs, wasps and ice the rest: look at it twice "
       "a year."},
      {FindingKind::pressure_bulge, "pressure-bulge",
       "The air under a closed lid was at some moment of the run denser than the air outside by "
       "more than the tank is allowed to bear. The figure is the most it came to, in Pa. What it "
       "may bear is the maker's figure (`allowed_pressure`); else 1000 Pa, or less for a box of "
       "wide flat walls; the finding says which. Walls count as rigid, so that pressure by warmth "
       "alone is worked out higher than it will be.",
       "Water that comes in drives air out. Where the lid lets none out the tank is blown up: its "
       "lid lifts or tears at the thread, flat walls bow, and rain backs up the downpipe.",
       "Drill the hole that the finding names, which is found as for vacuum-collapse, and give "
       "the tank an overflow as wide as what fills it: once the tank is full, water and not air "
       "has to leave, and a vent hole is far too small for that. Do not drill over stored fuel or "
       "over the residue of chemicals."},
      {FindingKind::vent_too_small, "vent-too-small",
       "On this day the air under a closed lid came to more than half of what the tank is allowed "
       "to bear, below the air outside or above it, but not past it. The figure is how far, in "
       "Pa, and the limit is that half. `tankyard vent` says it also of a lid that does as the "
       "valves stand, and would not if the tank had to feed every outlet alone, its neighbours "
       "shut off.",
       "The vacuum of a pull goes with the square of what is left of the hole: with a quarter of "
       "it "
       "blocked the vacuum is nearly twice as deep, with half of it blocked four times. Half in "
       "hand covers the quarter; and it is all there is for a tap that gives more than the plan "
       "says, and for a wall that is weaker than was worked out.",
       "Widen the hole to what the finding names, found by running the same day again, for the "
       "three tanks nearest their limit; or ask `tankyard vent`, which does it for every pull."},
      {FindingKind::no_vent, "no-vent",
       "A tank has a sealed lid without any hole, and no open balance line (an air hose from its "
       "top) leads, even by way of others, to a tank whose lid is open or has a hole; and water "
       "can "
       "come in or leave: by a hose (its valve open or shut), a pump, an outlet, a leak, a roof, "
       "a top-up or another tank's overflow. The figure is the bore of its holes: 0 mm. The "
       "tank's own overflow pipe is not counted as a vent: it may be trapped, screened or stand "
       "under water.",
       "Such a tank can neither give nor take: what little it gives pulls a vacuum that few tanks "
       "bear, and a tank far from the pump is pulled just as well, through the hoses.",
       "Drill its lid; `tankyard vent` says how wide, which lids first, and what to mind before "
       "you drill."},
      {FindingKind::spill_with_room, "spill-with-room",
       "A tank lost more than 1 L to the ground, by its overflow or over its rim, at a time when "
       "another tank joined to it by open hoses stood more than 20 mm below the overflow or rim "
       "of both, so that the water could have run there by itself. The figure is all the litres "
       "lost in this way during the run.",
       "That water was caught and then thrown away although there was a place for it. The usual "
       "reason is a hose too thin for a downpour: the roof brings more than it can pass on.",
       "Fit a wider hose where the finding says, or lead the overflow of the tank that spills "
       "into the tank that has room: that works even when a hose is blocked, but not under a lid "
       "that lets no air out, which has to be drilled first. For the three worst "
       "tanks of a run the bore that would do is found by running the same day again with wider "
       "hoses of the usual sizes in place of the one on the way that used up most head, and "
       "taking the smallest with which no tank loses water in this way, or failing that, this "
       "one does not. Very large yards (more than two million steps times places in a run) are "
       "not tried."},
      {FindingKind::stranded_water, "stranded-water",
       "An open outlet ran dry, for a minute or more in all, while more than 1 L of water stood "
       "above its mouth in the yard. Dry means: less than a hundredth of a fixed draw comes, or "
       "of the most that a nozzle or tap has given (less than 6 mL a minute in any case). The "
       "figure is the litres above its mouth at the moment it first ran dry, in all tanks whose "
       "water stood more than its bore and 10 mm above that mouth; the finding says in which "
       "they stood and what kept them there. Tanks that no hose, open or shut, joins to the "
       "outlet are left out where others hold water back; where there are no others, they are "
       "told of in a note. Otherwise it is a warning. An outlet that only a pump can reach is "
       "judged by that pump: it is told of where the pump drew air, with the litres that "
       "pump-draws-air gives.",
       "The water is there and you cannot have it: the tap fails or the crop goes thirsty beside "
       "a full tank.",
       "Do what the finding names: open the valve that is shut, join the tank that is not "
       "joined, set the mouth of the hose lower in the tank's wall or the tank higher on its "
       "stand, let the air out of the hose's hump, let air in under the tank's lid, or fit a "
       "wider hose."},
      {FindingKind::uneven_rims, "uneven-rims",
       "Tanks are joined by hoses that are open at the start, and the levels at which they begin "
       "to lose water (overflow or rim, whichever is lower) are more than 20 mm apart, and so at "
       "least 1 L of the others can never be filled. The figure is the litres that stay empty, "
       "found by filling every tank of the plan to its lip and letting the yard settle for 60 "
       "days.",
       "Joined tanks find one level, so the tank with the lowest lip spills for all of them, and "
       "the tops of the others stay empty for ever: you paid for room that you cannot use.",
       "Raise the stand of the low tank, or its overflow if there is wall above it, until the "
       "lips are level; or shut the low tank's valve once it is full; or give the hose to it a "
       "non-return valve, so that it gives water and takes none."},
      {FindingKind::slow_link, "slow-link",
       "While a hose carried water between two tanks, or between a tank and a header that leads "
       "on to other tanks, the water stood more than 100 mm apart at its two ends for more than "
       "ten minutes at a stretch. The figure is the most it came to after the first ten minutes "
       "of such a stretch; the ten minutes keep short swings out, as when a valve has just been "
       "opened. It is a warning where the same day also shows water spilt with room elsewhere or "
       "an outlet that went short, and a note otherwise.",
       "Tanks behind a slow hose do not act as one: the near tank runs low, or over, while the "
       "far one lags behind. How much a hose passes goes up very steeply with its bore: twice "
       "the bore passes about six times as much.",
       "Fit a wider or a shorter hose, or a second one beside it. For the three worst hoses of a "
       "run the bore is found by trying: the same day is run again with that hose alone at 13, "
       "16, 19, 25, 32, 38, 40, 50, 63, 75, 90 and 110 mm, by halving the list, and the finding "
       "names the smallest that brings the hose within the rule and saves 10 L or more that day: "
       "less spilt, or more at the outlets. Where none does, it says what holds things up instead. "
       "Sizes that do not fit the tank's wall are left out, and very large yards (more than two "
       "million steps times places in a run) are not tried at all. All that is tried in one run "
       "may take four times the steps of the run itself, or two million steps times places if that "
       "is more; what was not tried says so. Once one hose is mended, run it again, since the next "
       "one may now be the slow one."},
      {FindingKind::burst_drains, "burst-drains",
       "A hose has no isolating valve, and if it comes off at one end when the night begins, two "
       "or more tanks run empty by six in the morning: each has lost at least 10 L, and nine "
       "tenths of what it would otherwise hold then above its lowest mouth. The figure is the "
       "litres lost by morning, at the end that loses more. Water runs from the bared mouth as "
       "through a short tube of the hose's bore, and from the loose end as through the hose. "
       "`tankyard faults` looks for it.",
       "Hoses come off where a clip has rusted, where somebody drives over them and where frost "
       "lifts them, and mostly when nobody looks. In joined tanks one hose takes the water of all "
       "of them: that is common practice; we know of no printed source.",
       "Fit a valve right at the tank or header that the hose leaves, and shut it when nobody "
       "waters. Two clips at each end, a hose laid where nothing rolls over it and a look at the "
       "clips twice a year make it rarer, and a valve makes it cheap."},
      {FindingKind::air_lock, "air-lock",
       "Either: a hose that rises over something, and is not filled with water at the start, has "
       "its highest point at or above the lips of the tanks at both its ends, so that water "
       "never gets over it. Or, during the run: an open hose whose hump was full of air passed "
       "nothing for ten minutes or more in all while the levels at its ends were more than 50 mm "
       "apart and the higher end stood above the hose's mouth. The figure is in mm: how far the "
       "highest point stands above the higher lip, or the most the levels were apart meanwhile.",
       "Air gathers at the highest point of a hose and does not leave by itself. A hump of "
       "height h that is full of air can hold back up to h of level difference, so the tanks "
       "look joined and are not. That is common practice among those who lay hoses; we know of "
       "no printed source.",
       "Lay the hose so that it rises or falls all the way, or bring its highest point below the "
       "lowest water you count on. Where that cannot be done, fit a tap or an air release at the "
       "highest point and fill the hose through it, and again each time an end has come out of "
       "the water."},
      {FindingKind::no_overflow, "no-overflow",
       "A roof, a top-up or another tank's overflow brings water into a tank that has no "
       "overflow of its own. The figure is the height of its rim in mm above its bottom, where "
       "it will run over. It is a note where an open hose leads to a tank whose lip is at least "
       "20 mm lower, since that tank then spills first as long as the hose keeps up; otherwise a "
       "warning.",
       "A tank without an overflow runs over its rim, down its own wall and onto its own stand. "
       "Wet ground under one side of a full tank is how tanks come to lean. A float valve that "
       "sticks does the same on a dry day.",
       "Fit an overflow below the rim, at least as wide as the pipe that feeds the tank, and "
       "lead it to the next tank or to where water does no harm."},
      {FindingKind::dead_water, "dead-water",
       "A tank holds water below the lowest mouth by which it could leave (hoses whether open or "
       "shut, outlets, pumps and leaks; a hose whose non-return valve only lets water in does "
       "not count), and that water is more than 5 L and more than a hundredth of what the tank "
       "holds. The figure is the litres below that mouth when the tank has been filled. A tank "
       "with no way out at all is not judged by this rule: `check` lists it as not joined.",
       "You paid for that room and never get the water. It is also where silt settles, which is "
       "why a few centimetres of it are worth having: a mouth on the very bottom draws mud.",
       "If it is more than you want for silt, set the mouth lower, or add a drain at the bottom. "
       "Take it off what you count on in a dry spell."},
      {FindingKind::back_flow, "back-flow",
       "A top-up from the mains or a well has an air gap of less than 20 mm (a warning), or its "
       "plan does not say what its air gap is (a note). The air gap is the clear drop from the "
       "mouth of the supply to the highest level the water can reach. Water rules commonly ask "
       "for 20 mm or twice the bore of the inlet, whichever is more; the plan does not know the "
       "bore, so 20 mm is the least.",
       "If the pressure in the main fails, a mouth that is under water sucks tank water back "
       "into the drinking supply, yours and your neighbours'.",
       "Raise the mouth of the supply until the gap is large enough, and keep the tank's "
       "overflow below it. Your local water rules decide what is enough and who may fit it: ask "
       "your supplier or a licensed plumber. The tool does not certify."},
      {FindingKind::cannot_isolate, "cannot-isolate",
       "No set of isolating valves cuts a tank off from every other water and from the pumps: some "
       "hose on the way has no valve. A non-return valve does not count, since water can leak past "
       "it and it holds one way only. The figure is how many valves are missing. `tankyard "
       "isolate` "
       "looks for this; `run` and `check` do not.",
       "A tank that cannot be cut off cannot be scrubbed, painted or mended without draining every "
       "tank that hangs on the same hose, and a crack in it empties them all.",
       "Fit a valve on the hose that the finding names, close to the tank. Where several sets "
       "would "
       "do, the one of fewest valves comes first, then that of the narrowest hoses, for a small "
       "valve is the cheap one."},
      {FindingKind::pump_draws_air, "pump-draws-air",
       "A pump that ran took in air: the tank it draws straight from had fallen to half the mouth "
       "of its outlet, or its header lost its water down a hose whose mouth in a tank had come "
       "half bare while the header's head was below that mouth and below the header's own height. "
       "The figure is the litres that stood stranded then: above the highest sill (mouth, crest or "
       "header that holds air) on the way from their tank to the pump, in tanks that any hose, "
       "open or shut, joins to it, less than 1 L in a tank left out. A hose counts as too thin "
       "where its way is open; of several the one whose ends stand furthest apart is named. A "
       "vacuum under the tank's own lid is named instead where it takes more than half of the "
       "height that its water stands above that sill. The "
       "pump passes nothing from then on until it is stopped, and started with water at its inlet "
       "again: pumps that prime themselves are not reckoned with.",
       "A pump without prime delivers nothing, beside full tanks, and its seal runs dry.",
       "Do one of what the finding names; each was found by running the same day again. The bore: "
       "the smallest usual size that keeps the prime, first of one hose alone, then of all that "
       "are "
       "too thin together. The low-level cut-out: the lowest depth, to 5 mm, that stops the pump "
       "in "
       "time, starting again 50 mm higher. The throttle: the most of the pump's peak flow, in "
       "tenths, with which the water keeps up. For the first three pumps of a run; very large "
       "yards "
       "(more than two million steps times places in a run) are not tried. A foot or non-return "
       "valve holds the suction full while the pump stands; it does not keep a bare mouth from "
       "drawing air. Leave a few centimetres in hand: water whirls air into a mouth before it is "
       "bare (common practice, no source)."},
      {FindingKind::pump_runs_dry, "pump-runs-dry",
       "A pump ran for ten seconds or more in all with no water at its inlet: started so, or after "
       "it had drawn air, or with every way to its inlet shut. The figure is the minutes.",
       "Water cools and greases the shaft seal and the wheel. Without it they burn out within "
       "minutes (common practice, no source).",
       "Give it a switch that stops it: a low-level cut-out, or a limit on how long it may run. "
       "Have water at its inlet before it is started."},
      {FindingKind::pump_starts_often, "pump-starts-often",
       "A pump started more than 30 times within one hour of the run. The figure is the most it "
       "started within any hour. NEMA MG 10 (2001), table 2-3, as reprinted elsewhere, lets a "
       "four-pole motor of 1 hp start 30 times an hour under a light load, a two-pole one 15 times "
       "and larger ones less often; smaller ones may do more. In a run of so many events that not "
       "all are kept, the first hundred thousand are looked at.",
       "A motor draws several times its current as it starts. Started again before that heat is "
       "gone, its winding burns; the switch, the capacitor and the coupling wear with every start "
       "(common practice, no source).",
       "Behind a pressure switch: a pressure vessel, or pressures further apart. At a low-level "
       "cut-out: let it start again higher. The program knows no pressure vessel: a pump that "
       "has one starts less often than the run says, and its count is to be taken as what it would "
       "be without. Heed what the maker of the motor says."},
      {FindingKind::low_suction, "low-suction",
       "Either, a warning: at some moment the pump's inlet had less than nine tenths of the net "
       "positive suction head (NPSH: metres of water above the point where it boils, at the site's "
       "altitude and the water's warmth) that it needs at that flow; 2.5 m where its plan does not "
       "say. Or, a note: the water at the inlet stood more than 5 kPa (half a metre of water) "
       "below the air outside, through the real hoses and lids. The figure is the least there was.",
       "Water that boils in the wheel hammers it to pieces and the flow falls off. In suction "
       "under "
       "the air outside every poor coupling draws air, and soft hose folds flat (common practice, "
       "no source).",
       "Wider and shorter suction hose, the pump lower, the tanks higher, lids that let air in "
       "(`tankyard vent`), or less flow."},
      {FindingKind::outlet_out_of_reach, "outlet-out-of-reach",
       "An outlet stood open for a minute or more and got nothing at all, because its mouth stands "
       "at or above the lips of all tanks that hoses join to it; or, behind a pump that ran with "
       "its "
       "prime, because the pump cannot push so high. The figure is the height of its mouth in "
       "metres above the datum.",
       "Gravity lifts nothing: raising the nozzle to the water's level stops it, and well below "
       "that it is only a trickle. A small pump hardly notices a metre (common practice, no "
       "source).",
       "Lower the nozzle, raise the tanks, or let a pump feed it. `tankyard run` shows what each "
       "outlet gets by gravity alone and with each pump."},
  };
  return kinds;
}

const KindOfFinding& about(FindingKind kind) {
  for (const KindOfFinding& each : kinds_of_finding()) {
    if (each.kind == kind) return each;
  }
  breach("about", "a kind of finding without a text");
}

void sort_worst_first(std::vector<Finding>& findings) {
  const auto rank = [](const Finding& finding) {
    // What is always so comes before what began at some moment.
    return std::make_tuple(-static_cast<int>(finding.severity), finding.at_s.value_or(-1.0),
                           static_cast<int>(finding.kind));
  };
  std::stable_sort(findings.begin(), findings.end(), [&](const Finding& a, const Finding& b) {
    if (rank(a) != rank(b)) return rank(a) < rank(b);
    return a.where < b.where;
  });
}

}  // namespace tankyard

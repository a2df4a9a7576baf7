// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/isolate_words.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/tables.h"
#include "io/units.h"
#include "solver/lid_words.h"

namespace tankyard {
namespace {

using Holds = Table::Holds;

constexpr std::size_t most_sets_told = 6;

std::string who(const Plan& plan) {
  const std::string& site = plan.array.parts().site.name;
  return site.empty() ? std::string() : site + ": ";
}

std::vector<std::string> valves_of(const Plan& plan, const std::vector<HoseId>& hoses) {
  std::vector<std::string> names;
  names.reserve(hoses.size());
  for (const HoseId id : hoses) names.push_back(handle_of(part(plan.array.hoses(), id)));
  return names;
}

std::vector<std::string> hoses_of(const Plan& plan, const std::vector<HoseId>& hoses) {
  std::vector<std::string> names;
  names.reserve(hoses.size());
  for (const HoseId id : hoses) names.push_back(part(plan.array.hoses(), id).name);
  return names;
}

double given_up_m3(const IsolateCost& cost) {
  return cost.drained_m3 + cost.bailed_m3 + cost.turned_away_m3 + std::max(0.0, cost.spilt_m3);
}

std::string refusal(const Plan& plan, const IsolateStudy& study) {
  const Isolation& found = study.cut.found;
  std::string text = who(plan) + list_of(tank_names(plan, study.tanks), 12) +
                     " cannot be taken out: no valves cut " + them(study) + " off.";
  if (!found.to_fit.empty()) {
    text += fmt::format(" Fit {} on {}.", found.to_fit[0].hoses.size() == 1 ? "a valve" : "valves",
                        list_of(hoses_of(plan, found.to_fit[0].hoses), 12));
  }
  if (!found.emptied_with.empty()) {
    text += fmt::format(" Until then, drain {} and {} with {}.", them(study),
                        found.emptied_with.size() == 1
                            ? list_of(tank_names(plan, found.emptied_with)) + " empties"
                            : list_of(tank_names(plan, found.emptied_with), 12) + " empty",
                        them(study));
  }
  return text;
}

/// For cautions that hold for any of the tanks.
IsolateStudy everything_of(const Plan& plan) {
  IsolateStudy all;
  for (std::size_t i = 0; i < plan.array.tanks().size(); ++i) all.tanks.push_back(id_at<TankId>(i));
  return all;
}

std::string said(const Plan& plan, const IsolateStudy& study) {
  if (!study.cut.possible()) return refusal(plan, study);
  const ValveSet& set = study.cut.best();
  std::string text = who(plan) + list_of(tank_names(plan, study.tanks), 12) + " can be taken out: ";
  text += set.shut.empty() ? std::string("no hose joins ") + them(study) + " to other water"
                           : "shut " + list_of(valves_of(plan, set.shut), 12);
  text +=
      fmt::format(". Begin at {}: {} empty from {} to {}, and all is back as it was at {}.",
                  clock_of(plan, study.starts_at_s), study.tanks.size() == 1 ? "it is" : "they are",
                  clock_of(plan, study.empty_from_s), clock_of(plan, study.empty_until_s),
                  clock_of(plan, study.back_at_s));
  const IsolateCost& cost = study.cost;
  text += fmt::format(" It gives up {}", litres_text(given_up_m3(cost)));
  text += cost.short_m3 > 5e-4
              ? fmt::format(", and outlets get {} less that day.", litres_text(cost.short_m3))
              : ", and no outlet gets less that day.";
  for (const TankDrains& drains : study.drains) {
    if (!drains.as_it_is_folds_s) continue;
    text += fmt::format(" Take the lid off `{}` first: drained with it on, it is sucked in.",
                        part(plan.array.tanks(), drains.point.tank).name);
  }
  if (study.left_kg() >= 50.0) {
    text += fmt::format(" {:.0f} kg stay below the drain.", study.left_kg());
  }
  return text;
}

std::string steps_text(const Plan& plan, const IsolateStudy& study, int columns) {
  const int prose = prose_columns(columns);
  std::string text = heading("Steps", columns);
  std::size_t n = 0;
  std::string day;
  for (const IsolateStep& step : study.steps) {
    const ClockAndDay when = clock_and_day(plan, step.at_s);
    if (when.day != day) text += fmt::format("  on {}\n", when.day);
    day = when.day;
    const std::string lead = fmt::format("  {:>2}  {:<6}", ++n, when.clock);
    const std::string rest(lead.size(), ' ');
    text += wrapped(capital(step.say), prose, lead, rest);
    if (!step.because.empty()) text += wrapped("why: " + step.because, prose, rest, rest + "     ");
    for (const IsolateEffect& effect : step.meanwhile) {
      text += wrapped(fmt::format("from {}: {}", clock_of(plan, effect.at_s), effect.says), prose,
                      rest + "! ", rest + "  ");
    }
  }
  return text;
}

Chapter cost_of(const IsolateStudy& study) {
  Table table({{"against the same day without the work", Holds::words}, {"L"}});
  const IsolateCost& cost = study.cost;
  table.add({"runs out of the drain", litres_cell(cost.drained_m3)});
  table.add({"got out from below the drain", litres_cell(cost.bailed_m3)});
  table.add({"rain turned away", litres_cell(cost.turned_away_m3)});
  table.add({"spilt more (minus: less)", litres_cell(cost.spilt_m3)});
  table.add({"missed at outlets", litres_cell(cost.short_m3)});
  table.add({"less in the tanks at the end (minus: more)", litres_cell(cost.stands_less_m3)});
  return {"What it costs", std::move(table)};
}

Chapter drains_of(const Plan& plan, const IsolateStudy& study) {
  Table table({{"tank", Holds::words},
               {"by", Holds::words},
               {"at m"},
               {"from L"},
               {"lid off", Holds::words},
               {"lid as it is", Holds::words},
               {"lowest Pa"},
               {"may bear Pa"},
               {"left L"},
               {"left kg"}});
  for (const TankDrains& drains : study.drains) {
    const DrainPoint& point = drains.point;
    const std::string by = point.outlet
                               ? part(plan.array.outlets(), *point.outlet).name
                               : fmt::format("{} valve, assumed", millimetres_text(point.bore_m));
    std::string lid_on = drains.as_it_is_s ? in_moments(*drains.as_it_is_s) : "never";
    if (drains.as_it_is_folds_s) {
      lid_on = "sucked in after " + in_moments(*drains.as_it_is_folds_s);
    } else if (!drains.lid_is_closed) {
      lid_on = "open";
    }
    table.add({part(plan.array.tanks(), point.tank).name, by, metres_cell(point.height_m),
               litres_cell(drains.from_m3),
               drains.takes_s ? in_moments(*drains.takes_s) : "over a day", lid_on,
               drains.lid_is_closed ? pascals_cell(drains.as_it_is_lowest_pa) : "",
               drains.lid_is_closed ? pascals_cell(drains.vacuum.pa) : "",
               litres_cell(point.left_m3), fmt::format("{:.0f}", point.left_kg)});
  }
  return {"How it drains, opened at once and left open", std::move(table)};
}

std::string supplied_text(const Plan& plan, const IsolateStudy& study) {
  std::vector<std::string> names;
  for (const OutletId id : study.still_supplied) {
    names.push_back(part(plan.array.outlets(), id).name);
  }
  const ValveSet& set = study.cut.best();
  std::vector<std::string> lost;
  for (const OutletId id : set.outlets_lost) lost.push_back(part(plan.array.outlets(), id).name);
  std::string text = names.empty()
                         ? "no outlet is reached by a tank that stays"
                         : list_of(names, 12) + " can still be reached by tanks that stay";
  if (!lost.empty()) text += "; cut off: " + list_of(lost, 12);
  return text;
}

Chapter valves_chapter(const Plan& plan, const IsolateStudy& study) {
  const Isolation& found = study.cut.found;
  std::vector<std::string> says = {supplied_text(plan, study)};
  if (found.smallest.size() > 1) {
    std::string others;
    const std::size_t told = std::min(found.smallest.size(), most_sets_told + 1);
    for (std::size_t i = 1; i < told; ++i) {
      others +=
          (others.empty() ? "" : "; or ") + list_of(valves_of(plan, found.smallest[i].shut), 12);
    }
    if (found.smallest.size() > told) {
      others += fmt::format("; and {} more", found.smallest.size() - told);
    }
    says.push_back("as few valves, but more would be lost or emptied: " + others);
  }
  const std::size_t n = found.smallest[0].shut.size();
  if (n > 0) {
    says.push_back(
        n == 1 ? fmt::format("no fewer will do: with it open, water is joined to {} again",
                             them(study))
               : fmt::format("no fewer than {} will do: with any of them open, water is joined "
                             "to {} again",
                             n, them(study)));
  }
  return {"Why these valves", std::nullopt, {}, std::move(says)};
}

Chapter to_fit_of(const Plan& plan, const IsolateStudy& study) {
  Table table({{"put a valve on", Holds::words},
               {"bore mm", Holds::words},
               {"then shut", Holds::words},
               {"outlets then cut off", Holds::words}});
  std::size_t told = 0;
  for (const ValvesToFit& fit : study.cut.found.to_fit) {
    if (++told > most_sets_told) break;
    std::string bores;
    for (const HoseId id : fit.hoses) {
      bores +=
          (bores.empty() ? "" : ", ") + number_text(part(plan.array.hoses(), id).bore_m * 1000.0);
    }
    std::vector<std::string> lost;
    for (const OutletId id : fit.then.outlets_lost) {
      lost.push_back(part(plan.array.outlets(), id).name);
    }
    table.add({list_of(hoses_of(plan, fit.hoses), 12), bores,
               list_of(valves_of(plan, fit.then.shut), 12), lost.empty() ? "none" : list_of(lost)});
  }
  return {"Hoses to put a valve on, the cheapest set first (the narrower bore counts as cheaper)",
          std::move(table)};
}

Chapter method_of(const Plan& plan, const IsolateStudy& study) {
  std::vector<std::string> says;
  says.push_back(
      study.time_was_given
          ? "the time is the one that was asked for"
          : fmt::format("the time is the best of {} that were run, the full hours from 07:00 to "
                        "16:00 of the first day: no danger, then least missed at outlets, then "
                        "least given up",
                        study.times_tried));
  says.push_back(fmt::format(
      "the plan's day was run to {} with these steps in it, and without them, and the two compared",
      clock_of(plan, study.ends_at_s)));
  says.push_back(fmt::format(
      "assumed: {} for each thing a hand does, 10 L/min got out with a "
      "bucket, and {} of cleaning (`--work` says otherwise)",
      duration_text(hand_s), duration_text(study.empty_until_s - study.empty_from_s - hand_s)));
  const bool valve = std::any_of(study.drains.begin(), study.drains.end(),
                                 [](const TankDrains& each) { return !each.point.outlet; });
  if (valve) {
    says.push_back(
        "assumed: a drain valve of 25 mm (half the tank's height if that is less) as a short pipe, "
        "coefficient 0.82, where the plan has no outlet at the lowest mouth");
  }
  for (const HoseId id : study.cut.stay_off) {
    says.push_back(fmt::format("hose `{}` has no valve and is trusted to stay off",
                               part(plan.array.hoses(), id).name));
  }
  says.push_back(
      "the day is run in pieces; steps of the plan that would join the tank again or waste water "
      "on "
      "it are left out while it is empty");
  return {"How it was found", std::nullopt, {}, std::move(says)};
}

Chapter steps_of(const Plan& plan, const IsolateStudy& study) {
  Table table({{"at", Holds::words},
               {"do", Holds::words},
               {"why", Holds::words},
               {"meanwhile", Holds::words}});
  for (const IsolateStep& step : study.steps) {
    std::string meanwhile;
    for (const IsolateEffect& effect : step.meanwhile) {
      meanwhile += (meanwhile.empty() ? "" : "; ") + effect.says;
    }
    table.add({clock_of(plan, step.at_s), step.say, step.because, meanwhile});
  }
  return {"Steps", std::move(table)};
}

}  // namespace

std::string isolate_answer(const Plan& plan, const IsolateStudy& study) {
  return said(plan, study);
}

std::vector<Chapter> isolate_chapters(const Plan& plan, const IsolateStudy& study) {
  if (!study.cut.possible()) return {to_fit_of(plan, study)};
  return {valves_chapter(plan, study),
          steps_of(plan, study),
          cost_of(study),
          drains_of(plan, study),
          method_of(plan, study),
          {"Mind", std::nullopt, {}, isolate_cautions(plan, study)}};
}

std::string isolate_text(const Plan& plan, const IsolateStudy& study,
                         const std::vector<Finding>& findings, int columns) {
  std::string text = wrapped(said(plan, study), prose_columns(columns));
  if (!study.cut.possible()) {
    text += chapter_text(to_fit_of(plan, study), columns);
    return text + findings_text(plan, findings, columns) + assumed_text(plan, columns);
  }
  text += chapter_text(valves_chapter(plan, study), columns);
  text += steps_text(plan, study, columns);
  text += chapters_text({cost_of(study), drains_of(plan, study)}, columns);
  text += findings_text(plan, findings, columns);
  text += chapter_text(method_of(plan, study), columns);
  text += assumed_text(plan, columns);
  return text + chapter_text({"Mind", std::nullopt, {}, isolate_cautions(plan, study)}, columns);
}

std::string isolate_all_text(const Plan& plan, const std::vector<IsolateStudy>& studies,
                             const std::vector<Finding>& findings, int columns) {
  Table table({{"tank", Holds::words},
               {"shut", Holds::words},
               {"begin", Holds::words},
               {"empty by", Holds::words},
               {"back by", Holds::words},
               {"runs out L"},
               {"left kg"},
               {"given up L"},
               {"missed L"},
               {"at", Holds::words}});
  std::size_t can = 0;
  for (const IsolateStudy& study : studies) {
    const std::string& name = part(plan.array.tanks(), study.tanks.front()).name;
    if (!study.cut.possible()) {
      const auto& fit = study.cut.found.to_fit;
      table.add({name,
                 fit.empty() ? "cannot" : "fit one on " + list_of(hoses_of(plan, fit[0].hoses)),
                 "-", "-", "-", "-", "-", "-", "-", ""});
      continue;
    }
    ++can;
    std::vector<std::string> missed;
    for (const IsolateEffect& effect : study.effects()) {
      if (effect.kind == IsolateEffect::Kind::loses_supply) missed.push_back(effect.where);
    }
    const auto& shut = study.cut.best().shut;
    table.add({name, shut.empty() ? "nothing" : plain_list(valves_of(plan, shut)),
               clock_of(plan, study.starts_at_s), clock_of(plan, study.empty_from_s),
               clock_of(plan, study.back_at_s), litres_cell(study.cost.drained_m3),
               fmt::format("{:.0f}", study.left_kg()), litres_cell(given_up_m3(study.cost)),
               litres_cell(study.cost.short_m3), plain_list(missed)});
  }
  std::string says = who(plan);
  const std::string all = counted(plan.array.tanks().size(), "tank");
  if (studies.size() < plan.array.tanks().size()) {
    says += fmt::format("{} of {} were tried before it was stopped; {} of them can be taken out.",
                        studies.size(), all, can);
  } else if (can == studies.size()) {
    says += can == 1 ? std::string("its one tank can be taken out.")
                     : fmt::format("each of {} can be taken out by itself.", all);
  } else if (can == 0) {
    says += fmt::format("none of {} can be taken out: valves are missing.", all);
  } else {
    says += fmt::format("{} of {} can be taken out by {}.", can, all,
                        can == 1 ? "itself" : "themselves");
  }
  std::string text = wrapped(says, prose_columns(columns));
  text += heading("Each tank by itself, with its cleaning", columns) + table.in_text(columns);
  text += wrapped("`tankyard isolate PLAN TANK` gives the steps of one", prose_columns(columns),
                  "  ", "  ");
  text += findings_text(plan, findings, columns);
  text += assumed_text(plan, columns);
  return text +
         chapter_text({"Mind", std::nullopt, {}, isolate_cautions(plan, everything_of(plan))},
                      columns);
}

std::vector<std::string> isolate_cautions(const Plan& plan, const IsolateStudy& study) {
  double heaviest_m3 = 0.0;
  std::string heaviest;
  for (const TankId id : study.tanks) {
    const Tank& tank = part(plan.array.tanks(), id);
    if (capacity_m3(tank.shape) <= heaviest_m3) continue;
    heaviest_m3 = capacity_m3(tank.shape);
    heaviest = tank.name;
  }
  return {
      "a tank is a confined space: clean from outside, no head and no arm's reach in it; bad air "
      "gives no warning. If it cannot be done from outside, leave it to people trained for it",
      fmt::format("weight: one tenth full, a 1000-litre tank still holds 100 kg, and `{}` {:.0f} "
                  "kg; never lift, tip or roll a tank that holds water",
                  heaviest, heaviest_m3 * 100.0),
      "find out what it held before: stored fuel, sprays and dairy washes leave vapours; no "
      "flame, no sparks, and if nobody knows, do not open it",
      "electricity: pull the plugs of pumps before you kneel in the wet, and keep leads off the "
      "ground",
      "wet ground is slippery and softens under stands: drain away from them, and look at the "
      "stand before it carries the full weight again",
      "an open lid is a trap for children and animals: never leave it, and fasten it at the end",
      "what water may be let on to the ground, and who may work on tanks, your local rules say"};
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "graph/shape.h"
#include "io/level_bar.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/tables.h"
#include "io/units.h"

namespace tankyard {
namespace {

using Holds = Table::Holds;

constexpr double worth_a_word_m3 = 0.0005;  // half a litre
constexpr std::size_t most_outlets_in_answer = 3;
constexpr double near_m = 0.010;  // a drained tank stops a few millimetres from its mouth

std::vector<std::string> tank_names(const Array& array, const std::vector<TankId>& tanks) {
  std::vector<std::string> names;
  names.reserve(tanks.size());
  for (const TankId id : tanks) names.push_back(part(array.tanks(), id).name);
  return names;
}

std::string percent(double part_m3, double whole_m3) {
  return whole_m3 > 0.0 ? fmt::format("{:.0f} %", 100.0 * part_m3 / whole_m3) : "0 %";
}

std::string answer(const Plan& plan, const AtRest& at_rest, const std::vector<Finding>& findings) {
  const Array& array = plan.array;
  double holds = 0.0;
  double nominal = 0.0;
  std::size_t sharing = 0;
  std::size_t groups = 0;
  bool by_pump = false;
  for (const RestingGroup& group : at_rest.groups) {
    by_pump = by_pump || !group.runs_off_through.empty();
    holds += group.holds_m3;
    nominal += group.nominal_m3;
    if (group.tanks.size() > 1) sharing += group.tanks.size(), ++groups;
  }
  const std::size_t tanks = array.tanks().size();
  const std::string in_groups = groups > 1 ? fmt::format(" in {} groups", groups) : "";
  std::string text = array.parts().site.name.empty() ? "" : array.parts().site.name + ": ";
  if (tanks == 1) {
    text += "the one tank holds";
  } else if (sharing == 0) {
    text += fmt::format("none of the {} tanks shares water with another{}; they hold", tanks,
                        by_pump ? " by hose" : "");
  } else if (sharing == tanks) {
    text += fmt::format("all {} tanks share water{} and hold", tanks, in_groups);
  } else {
    text +=
        fmt::format("{} of {} tanks share water{}; all {} hold", sharing, tanks, in_groups, tanks);
  }
  text += fmt::format(" {} of a nominal {} before the first drop is spilt", litres_text(holds),
                      litres_text(nominal));
  if (at_rest.usable.size() <= most_outlets_in_answer) {
    for (const Usable& usable : at_rest.usable) {
      text += fmt::format("; `{}` can draw {}", part(array.outlets(), usable.outlet).name,
                          usable.gravity ? litres_text(usable.usable_m3) : "nothing");
    }
  }
  return text + fmt::format("; {}.", count_of(findings));
}

/// How the water of one group comes to rest, in sentences.
std::string at_rest_sentence(const Array& array, const RestingGroup& group) {
  const Tank& capped_by = part(array.tanks(), group.first_lip_of);
  std::string text = list_of(tank_names(array, group.tanks));
  if (group.tanks.size() == 1) {
    text += " stands alone.";
  } else if (group.level_m) {
    text += fmt::format(" come to one level, {} m above the datum.", metres_cell(*group.level_m));
  } else {
    text += " are joined, but do not come to one level.";
  }
  const bool alone = group.tanks.size() == 1;
  if (!group.runs_off_through.empty()) {
    std::vector<std::string> pumps;
    for (const PumpId id : group.runs_off_through) pumps.push_back(part(array.pumps(), id).name);
    const bool one = pumps.size() == 1;
    return text +
           fmt::format(
               " Filled, {} {} of {} ({}): the rest runs off through {} {}, which {} no non-return "
               "{} and {} water through while {}.",
               alone ? "it keeps" : "they keep", litres_text(group.holds_m3),
               litres_text(group.nominal_m3), percent(group.holds_m3, group.nominal_m3),
               one ? "pump" : "pumps", list_of(pumps), one ? "has" : "have",
               one ? "valve" : "valves", one ? "lets" : "let", one ? "it stands" : "they stand");
  }
  const char* caps = alone ? "caps it" : group.level_m ? "caps them all" : "is the first to spill";
  text += fmt::format(" Filled slowly, {} {} of {} ({}): the {} of `{}`, {} m above the datum, {}.",
                      alone ? "it holds" : "they hold", litres_text(group.holds_m3),
                      litres_text(group.nominal_m3), percent(group.holds_m3, group.nominal_m3),
                      capped_by.overflow ? "overflow" : "rim", capped_by.name,
                      metres_cell(group.first_lip_m), caps);
  return text;
}

std::string resting_text(const Plan& plan, const AtRest& at_rest, int columns) {
  const Array& array = plan.array;
  std::string text =
      heading("Where the water comes to rest, left alone as the valves stand now", columns);
  Table table({{"tank", Holds::words},
               {"depth now m"},
               {"at rest m"},
               {"at rest L"},
               {"full %"},
               {"", Holds::bars},
               {"level m"},
               {"spills at m"},
               {"over", Holds::words}});
  for (const RestingGroup& group : at_rest.groups) {
    if (group.tanks.size() > 1) {
      text += wrapped(at_rest_sentence(array, group), prose_columns(columns), "  ", "  ");
    }
    for (std::size_t k = 0; k < group.tanks.size(); ++k) {
      const Tank& tank = part(array.tanks(), group.tanks[k]);
      const double water_m3 = volume_m3(tank.shape, group.depth_m[k]);
      const double part = part_full(water_m3, capacity_m3(tank.shape));
      table.add({tank.name, metres_cell(depth_m(tank.shape, tank.water_m3)),
                 metres_cell(group.depth_m[k]), litres_cell(water_m3), full_cell(part),
                 level_bar(part), metres_cell(tank.base_m + group.depth_m[k]),
                 metres_cell(lip_m(tank)), tank.overflow ? "overflow" : "rim"});
    }
  }
  for (const TankId id : at_rest.not_joined) {
    const bool shut = std::find(at_rest.joined_if_opened.begin(), at_rest.joined_if_opened.end(),
                                id) != at_rest.joined_if_opened.end();
    for (const RestingGroup& group : at_rest.groups) {
      if (group.tanks.size() != 1 || group.tanks[0] != id) continue;
      text += wrapped(at_rest_sentence(array, group) +
                          (shut ? " A hose is there, but shut." : " No hose joins it to a tank."),
                      prose_columns(columns), "  ", "  ");
    }
  }
  return text + "\n" + table.in_text(columns);
}

/// Lowest mouth through which a tank can give water away, above the datum.
double lowest_mouth_m(const Array& array, TankId id) {
  double lowest = std::numeric_limits<double>::infinity();
  const Parts& parts = array.parts();
  for (const Hose& hose : parts.hoses) {
    if (!starts_open(hose)) continue;
    if (hose.from.place == Place(id)) lowest = std::min(lowest, mouth_m(parts, hose.from));
    if (hose.to.place == Place(id) && !hose.one_way) {
      lowest = std::min(lowest, mouth_m(parts, hose.to));
    }
  }
  for (const Outlet& outlet : parts.outlets) {
    if (outlet.at && outlet.at->place == Place(id)) {
      lowest = std::min(lowest, mouth_m(parts, *outlet.at));
    }
  }
  return lowest;
}

std::string why_left(const Array& array, const Usable& usable, TankId id) {
  const Tank& tank = part(array.tanks(), id);
  const double left = usable.left_per_tank_m3[id.index];
  const double level = tank.base_m + depth_m(tank.shape, left);
  const double mouth = lowest_mouth_m(array, id);
  if (level <= mouth + near_m) {
    return fmt::format("below its lowest mouth, {} above its bottom",
                       millimetres_text(mouth - tank.base_m));
  }
  if (level <= usable.dry_below_m + near_m) {
    return fmt::format("below {} m, where `{}` runs dry", metres_cell(usable.dry_below_m),
                       part(array.outlets(), usable.outlet).name);
  }
  return "held back on the way, by a crest, a mouth or a valve that passes one way";
}

std::string usable_text(const Plan& plan, const AtRest& at_rest, int columns) {
  if (at_rest.usable.empty()) return {};
  const Array& array = plan.array;
  std::string text =
      heading("What can be drawn by gravity, beginning as full as the yard can be", columns);
  Table table({{"outlet", Holds::words},
               {"usable L"},
               {"of nominal L"},
               {"stays behind L"},
               {"dry below m"},
               {"first flow L/min"}});
  for (const Usable& usable : at_rest.usable) {
    const std::string& name = part(array.outlets(), usable.outlet).name;
    table.add({name, litres_cell(usable.gravity ? usable.usable_m3 : 0.0),
               litres_cell(usable.nominal_m3), litres_cell(usable.left_m3),
               usable.gravity ? metres_cell(usable.dry_below_m) : "",
               flow_cell(usable.gravity ? usable.first_m3_per_s : 0.0)});
  }
  text += table.in_text(columns);
  for (const Usable& usable : at_rest.usable) {
    const std::string& name = part(array.outlets(), usable.outlet).name;
    if (!usable.gravity) {
      text += wrapped(
          fmt::format("`{}` stands so high that nothing comes even when all is full.", name),
          prose_columns(columns), "  ", "  ");
      continue;
    }
    Table left({{"left when `" + name + "` runs dry", Holds::words}, {"L"}, {"why", Holds::words}});
    for (std::size_t t = 0; t < usable.left_per_tank_m3.size(); ++t) {
      if (usable.left_per_tank_m3[t] < worth_a_word_m3) continue;
      const auto id = id_at<TankId>(t);
      left.add({array.tanks()[t].name, litres_cell(usable.left_per_tank_m3[t]),
                why_left(array, usable, id)});
    }
    if (!left.empty()) text += "\n" + left.in_text(columns);
  }
  return text;
}

std::string roofs_text(const Plan& plan, int columns) {
  const Parts& parts = plan.array.parts();
  if (parts.roofs.empty()) return {};
  Table table({{"roof", Holds::words},
               {"into", Holds::words},
               {"area m2"},
               {"first flush mm"},
               {"10 mm of rain brings L"}});
  for (const Roof& roof : parts.roofs) {
    table.add({roof.name, part(parts.tanks, roof.into).name, number_text(roof.area_m2),
               number_text(roof.first_flush_m * 1000.0), litres_cell(yield_of_10_mm_m3(roof))});
  }
  return heading("Roofs", columns) + table.in_text(columns);
}

/// How far the store goes when no rain falls.
std::string dry_spell_text(const Plan& plan, const DrySpell& spell, int columns) {
  const Parts& parts = plan.array.parts();
  Table table({{"use", Holds::words}, {"from", Holds::words}, {"L a day"}});
  for (const Use& use : plan.uses) {
    table.add(
        {part(parts.outlets, use.outlet).name, clock_text(use.at_s), litres_cell(use.daily_m3)});
  }
  const std::string days = counted(static_cast<std::size_t>(spell.tried_days), "day");
  std::string says = fmt::format("Filled to the lips and left to settle, the yard holds {}. ",
                                 litres_text(spell.at_first_m3));
  if (!spell.lasts_days) {
    says += fmt::format("At {} a day it lasts {} without rain.", litres_text(spell.daily_m3),
                        spell.tried_days == 1 ? "the day" : "all of " + days);
  } else {
    says += fmt::format(
        "At {} a day it lasts {} without rain; in {} it is {} short of {}.",
        litres_text(spell.daily_m3), counted(static_cast<std::size_t>(*spell.lasts_days), "day"),
        days, litres_text(spell.short_m3), litres_text(spell.daily_m3 * spell.tried_days));
  }
  return heading("Without rain", columns) + wrapped(says, prose_columns(columns), "  ", "  ") +
         "\n" + table.in_text(columns);
}

}  // namespace

std::string check_text(const Plan& plan, const AtRest& at_rest,
                       const std::vector<Finding>& findings, int columns,
                       const std::optional<DrySpell>& dry_spell, const PumpStudies& pumps) {
  return wrapped(answer(plan, at_rest, findings), prose_columns(columns)) +
         findings_text(plan, findings, columns) + resting_text(plan, at_rest, columns) +
         usable_text(plan, at_rest, columns) +
         chapter_text(reach_chapter(plan, pumps.reaches), columns) +
         chapter_text(set_points_chapter(plan, pumps.set_points), columns) +
         roofs_text(plan, columns) + (dry_spell ? dry_spell_text(plan, *dry_spell, columns) : "") +
         assumed_text(plan, columns);
}

}  // namespace tankyard

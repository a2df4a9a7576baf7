// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/report.h"
#include "io/report_words.h"
#include "io/tables.h"
#include "io/units.h"
#include "solver/drills.h"
#include "solver/lid_again.h"
#include "solver/lid_words.h"

namespace tankyard {
namespace {

using Holds = Table::Holds;

const Tank& tank_of(const Plan& plan, const LidNeeds& lid) {
  return part(plan.array.tanks(), lid.tank);
}

std::string mm_cell(double m) { return number_text(m * 1000.0); }

std::string moments_cell(const std::optional<double>& after_s) {
  return after_s ? in_moments(*after_s) : "never";
}

/// "`a` 12 mm, `b` and `c` 9 mm": tanks of one hole together, in plan order.
std::string drilling_list(const Plan& plan, const std::vector<const LidNeeds*>& lids) {
  std::vector<std::pair<std::string, std::vector<std::string>>> by_hole;
  for (const LidNeeds* lid : lids) {
    const std::string hole = lid->hole_m ? in_drill(*lid->hole_m) : "a hole not found here";
    auto it = std::find_if(by_hole.begin(), by_hole.end(),
                           [&](const auto& each) { return each.first == hole; });
    if (it == by_hole.end()) it = by_hole.insert(by_hole.end(), {hole, {}});
    it->second.push_back(tank_of(plan, *lid).name);
  }
  std::string text;
  for (const auto& [hole, names] : by_hole) {
    if (!text.empty()) text += "; ";
    text += hole + " in " + list_of(names, 12);
  }
  return text;
}

}  // namespace

std::string vent_answer(const Plan& plan, const VentStudy& study) {
  const std::string& site = plan.array.parts().site.name;
  const std::string who = site.empty() ? std::string() : site + ": ";
  if (study.lids.empty()) {
    return who + "no lid is closed, so no tank can be sucked in or blown up.";
  }
  std::vector<const LidNeeds*> drill;
  std::vector<std::string> folds;
  std::vector<std::string> bulges;
  for (const LidNeeds& lid : study.lids) {
    if (lid.drill_now) drill.push_back(&lid);
    if (lid.can_fold()) {
      folds.push_back(tank_of(plan, lid).name);
    } else if (lid.can_bulge()) {
      bulges.push_back(tank_of(plan, lid).name);
    }
  }
  std::string text = who;
  if (folds.empty() && bulges.empty()) {
    text += "no tank can be sucked in or blown up by what was tried";
  }
  if (!folds.empty()) text += list_of(folds, 12) + " can be sucked in";
  if (!bulges.empty()) {
    text += (folds.empty() ? "" : ", ") + list_of(bulges, 12) + " can be blown up";
  }
  if (drill.empty()) {
    return text + ". No lid needs the drill" +
           (bulges.empty() && folds.empty() ? ": each keeps half of what its tank may bear in hand."
                                            : ".");
  }
  text += ". Drill today: " + drilling_list(plan, drill) + ".";
  const bool wider = std::any_of(drill.begin(), drill.end(), [](const LidNeeds* lid) {
    return lid->hole_feeding_alone_m && *lid->hole_feeding_alone_m > *lid->hole_m;
  });
  if (wider) {
    text +=
        " Drill wider, as the table says, where a tank may have to feed alone while its "
        "neighbours are shut off.";
  }
  return text;
}

namespace {

Chapter as_they_are_chapter(const Plan& plan, const VentStudy& study) {
  Table table({{"tank", Holds::words},
               {"lid", Holds::words},
               {"may bear Pa"},
               {"by", Holds::words},
               {"lowest Pa"},
               {"past it after", Holds::words},
               {"worst pull", Holds::words}});
  for (const LidNeeds& lid : study.lids) {
    const LidTrial& worst = lid.as_it_is[lid.worst_vacuum];
    const bool pulled = worst.lowest_pa < -0.5;
    table.add({tank_of(plan, lid).name, in_words(tank_of(plan, lid).lid),
               pascals_cell(-lid.vacuum.pa), word_for(lid.vacuum.from),
               pascals_cell(worst.lowest_pa),
               moments_cell(lid.first_to_fold ? lid.as_it_is[*lid.first_to_fold].folds_after_s
                                              : std::nullopt),
               pulled ? study.trials[worst.trial].says : "none"});
  }
  return {"Lids as they are: the air under them, less the air outside", table};
}

std::string hole_cell(const LidNeeds& lid) {
  if (lid.hole_m) return mm_cell(*lid.hole_m);
  return lid.for_vacuum.beyond_drills ? "over 76" : "not tried";
}

/// The drill for the same hole under an insect screen.
std::string screened_cell(const Lid& lid, const std::optional<double>& hole_m) {
  if (!hole_m || *hole_m <= 0.0) return "";
  if (lid.kind == Lid::Kind::holed && lid.screen < 1.0) return "counted in";
  const auto drill = next_drill_m(*hole_m * std::sqrt(2.0));
  return drill ? mm_cell(*drill) : "two such";
}

Chapter holes_chapter(const Plan& plan, const VentStudy& study) {
  Table table({{"tank", Holds::words},
               {"hole now mm"},
               {"hole needed mm"},
               {"under a screen mm"},
               {"lowest with it Pa"},
               {"if it feeds alone mm"},
               {"blocked, folds after", Holds::words}});
  for (const LidNeeds& lid : study.lids) {
    const Lid& now = tank_of(plan, lid).lid;
    std::string blocked = "never";
    if (lid.blocked) {
      blocked = moments_cell(lid.blocked->folds_after_s);
    } else if (!lid.blocked_tried) {
      blocked = "not tried";
    }
    table.add({tank_of(plan, lid).name, mm_cell(as_one_hole_m(now)), hole_cell(lid),
               screened_cell(now, lid.hole_m),
               lid.lowest_alone_pa ? pascals_cell(*lid.lowest_alone_pa) : "",
               lid.hole_feeding_alone_m ? mm_cell(*lid.hole_feeding_alone_m) : "", blocked});
  }
  return {"Holes that keep half of it in hand", table, {}, {}, false, true};
}

Chapter rules_chapter(const Plan& plan, const VentStudy& study) {
  Table table({{"tank", Holds::words},
               {"most drawn from it L/min"},
               {"air at 0.94 L/min"},
               {"its hole mm"},
               {"air at 1 L/min"},
               {"its hole mm"},
               {"hole needed mm"}});
  for (const LidNeeds& lid : study.lids) {
    if (!(lid.pull_alone_m3_per_s > 0.0)) continue;
    table.add({tank_of(plan, lid).name, flow_cell(lid.pull_alone_m3_per_s),
               flow_cell(lid.api_2000_5th.air_m3_per_s),
               fmt::format("{:.1f}", lid.api_2000_5th.hole_m * 1000.0),
               flow_cell(lid.iso_28300.air_m3_per_s),
               fmt::format("{:.1f}", lid.iso_28300.hole_m * 1000.0), hole_cell(lid)});
  }
  return {
      "What the published rules ask for the same pull: API Std 2000, 5th ed. (0.94 of air to 1 of "
      "water) and ISO 28300 (1 to 1)",
      table};
}

Chapter pulls_chapter(const Plan& plan, const VentStudy& study) {
  Table table({{"pull", Holds::words},
               {"lowest Pa"},
               {"under the lid of", Holds::words},
               {"highest Pa"},
               {"under the lid of", Holds::words}});
  const std::size_t count = study.lids.front().as_it_is.size();
  for (std::size_t k = 0; k < count; ++k) {
    const LidNeeds* low = nullptr;
    const LidNeeds* high = nullptr;
    for (const LidNeeds& lid : study.lids) {
      if (!low || lid.as_it_is[k].lowest_pa < low->as_it_is[k].lowest_pa) low = &lid;
      if (!high || lid.as_it_is[k].highest_pa > high->as_it_is[k].highest_pa) high = &lid;
    }
    const double lowest_pa = low->as_it_is[k].lowest_pa;
    const double highest_pa = high->as_it_is[k].highest_pa;
    table.add({study.trials[low->as_it_is[k].trial].says, pascals_cell(lowest_pa),
               lowest_pa < -0.5 ? tank_of(plan, *low).name : "-", pascals_cell(highest_pa),
               highest_pa > 0.5 ? tank_of(plan, *high).name : "-"});
  }
  return {"What was tried, with the lids as they are", table};
}

Chapter method_chapter(const Plan& plan, const VentStudy& study) {
  std::vector<std::string> says = {
      "each hole is the smallest drill that leaves half in hand while the other lids stay as they "
      "are; " +
          std::string(study.holds_together
                          ? "then every pull was run again with all the holes in place, and no lid "
                            "passed half"
                          : "it could not be shown that all of them together do") +
          (study.all_tried ? "" : "; the yard is too large to try everything"),
      "a hole of a lid with a screen has that screen counted in; elsewhere a screen takes half, "
      "and "
      "the wider drill stands beside",
      "blocked: every lid with the hole it needs, and this one sealed; the time is that of the "
      "pull "
      "that does it first, from when it begins",
      "the published rules are made for far larger tanks of oil; their hole is the one that passes "
      "the air they ask for at half of what the tank may bear, by hand, with the lid's own "
      "coefficient and screen",
      "walls count as rigid, so that what warmth and cold do alone is worked out greater than it "
      "is under a soft wall",
      "if it feeds alone: the hole for a tank whose neighbours are shut off, as for cleaning, so "
      "that it gives all that is drawn; no more than advice, but a hole is drilled once"};
  const bool assumed = std::any_of(study.trials.begin(), study.trials.end(),
                                   [](const Trial& trial) { return trial.as_assumed; });
  if (assumed) {
    says.push_back(
        fmt::format("the plan gives no `air_swing`, so {:.0f} K between the warmest and "
                    "the coldest hour are assumed",
                    assumed_swing_k));
  }
  if (!plan.array.parts().roofs.empty()) {
    says.push_back(
        fmt::format("heavy rain is {:.0f} mm/h (0.042 L/s on a square metre, a design rate printed "
                    "beside BS EN 12056-3) for {:.0f} min, or the plan's own if that is more",
                    heavy_rain_mm_per_h, heavy_rain_s / 60.0));
  }
  for (const NotReckoned& each : study.not_reckoned) {
    says.push_back("could not be reckoned: " + study.trials[each.trial].says + " (" + each.why +
                   ")");
  }
  return {"How it was found", std::nullopt, {}, says};
}

Chapter before_drilling_chapter() {
  return {"Before you drill",
          std::nullopt,
          {},
          {"never over stored fuel or the residue of chemicals: sparks and vapours; find out "
           "what the tank held before, and if nobody knows, do not drill",
           "stop the pump, shut the tap and let the air in slowly before you open a lid that is "
           "under vacuum: it is held down, and lets go at once",
           "drill from outside; keep head and arms out of the tank, and catch the swarf",
           "cover the hole against insects, count the screen as taking half of it, and look "
           "after it twice a year: a wasp nest or ice makes the lid a sealed one",
           "whether a tank may be altered at all, its maker and your local rules say"},
          false,
          true};
}

}  // namespace

std::vector<Chapter> vent_chapters(const Plan& plan, const VentStudy& study) {
  if (study.lids.empty()) return {assumed_chapter(plan)};
  return {as_they_are_chapter(plan, study), holes_chapter(plan, study),  rules_chapter(plan, study),
          pulls_chapter(plan, study),       method_chapter(plan, study), assumed_chapter(plan),
          before_drilling_chapter()};
}

std::string vent_text(const Plan& plan, const VentStudy& study,
                      const std::vector<Finding>& findings, int columns) {
  std::string text = wrapped(vent_answer(plan, study), prose_columns(columns));
  const std::vector<Chapter> chapters = vent_chapters(plan, study);
  // What was found stands after the lids and their holes.
  for (std::size_t k = 0; k < chapters.size(); ++k) {
    if (k == 2) text += findings_text(plan, findings, columns);
    text += chapter_text(chapters[k], columns);
  }
  return text;
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/link_words.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/tables.h"
#include "io/units.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

using Holds = Table::Holds;

constexpr std::size_t most_rows = 8;
constexpr double worth_a_row_m3 = 5e-3;

double holds_m3(const LinkStudy& study) {
  const Tank& tank = new_tank(study);
  return lip_volume_m3(tank);
}

double lag_m(const LinkOption& option) {
  return std::max(option.figures.lag_drawing_m, option.figures.lag_filling_m);
}

std::string soon(const LinkOption& option) {
  return option.figures.levels_in_s ? in_minutes(*option.figures.levels_in_s) : "never";
}

std::string more_or_less(double change_m3, const char* more, const char* less) {
  return fmt::format("{} {}", litres_text(std::fabs(change_m3)), change_m3 < 0.0 ? less : more);
}

/// What is wrong with the way, each a clause; empty: nothing.
std::vector<std::string> faults_of(const LinkStudy& study, const LinkOption& option) {
  const LinkFigures& did = option.figures;
  const double small_m3 = 0.05 * holds_m3(study);
  std::vector<std::string> faults;
  const double top_m3 = holds_m3(study) - did.full_new_m3;
  if (top_m3 > small_m3) {
    faults.push_back(fmt::format("its top {} are never filled, since another tank spills first",
                                 litres_text(top_m3)));
  }
  const double taken_m3 = study.without.full_others_m3 - did.full_others_m3;
  if (taken_m3 > small_m3) {
    faults.push_back(
        fmt::format("it spills first, and takes the top {} off the others", litres_text(taken_m3)));
  }
  if (did.stranded_m3 > small_m3) {
    faults.push_back(fmt::format("{} in it can never be drawn", litres_text(did.stranded_m3)));
  }
  if (did.storm_missed_m3 > small_m3) {
    faults.push_back(fmt::format("in the storm {} run to the ground that it has room for",
                                 litres_text(did.storm_missed_m3)));
  }
  if (!option.merits.keeps_level) {
    faults.push_back(fmt::format("it falls {} behind the others", in_mm(lag_m(option))));
  }
  if (!did.levels_in_s) {
    faults.push_back("no other tank ever comes to its level");
  } else if (!option.merits.levels_soon) {
    faults.push_back(fmt::format("levels take {} to even out", soon(option)));
  }
  if (!option.keeping.valves_for_new) {
    faults.push_back("no valves take it out of the line");
  } else if (!option.merits.can_be_shut_off) {
    faults.push_back("a tank that could be shut off no longer can");
  }
  return faults;
}

const LinkOption* best_as_it_stands(const LinkStudy& study) {
  for (const LinkOption& option : study.options) {
    if (option.way.stand == Stand::as_planned) return &option;
  }
  return nullptr;
}

/// The least money, and of that the fewest pieces: what one would do without much thought.
const LinkOption& cheapest_of_all(const LinkStudy& study) {
  return *std::min_element(study.options.begin(), study.options.end(),
                           [](const LinkOption& a, const LinkOption& b) {
                             return std::make_tuple(a.price, a.pieces, a.rank) <
                                    std::make_tuple(b.price, b.pieces, b.rank);
                           });
}

std::string money(const LinkStudy& study, const LinkOption& option) {
  return study.priced ? fmt::format("{:.2f}", option.price)
                      : fmt::format("{:.1f} m", option.metres);
}

std::string water_sentence(const LinkStudy& study, const LinkOption& top) {
  std::string text;
  if (study.trials.has_outlets) {
    text =
        fmt::format(" Begun full, the yard then gives {} at its outlets for the {} that it holds",
                    more_or_less(top.gained_m3, "more", "less"), litres_text(holds_m3(study)));
  }
  if (std::fabs(top.kept_m3) > worth_a_row_m3) {
    text += text.empty() ? " In" : ", and in";
    text += fmt::format(" a storm that fills it {} to the ground",
                        more_or_less(top.kept_m3, "less run", "more run"));
  }
  if (!text.empty()) text += ".";
  const double spilt_m3 = study.without.day_spilt_m3;
  const double given_m3 = study.without.day_delivered_m3;
  return text + fmt::format(
                    " On the plan's own day {} run to the ground in place of {}, and the outlets "
                    "get {} in place of {}.",
                    litres_text(top.figures.day_spilt_m3), litres_text(spilt_m3),
                    litres_text(top.figures.day_delivered_m3), litres_text(given_m3));
}

std::string reason(const LinkStudy& study, const LinkOption& top) {
  const std::vector<std::string> faults = faults_of(study, top);
  std::string text;
  if (faults.empty()) {
    text = fmt::format(
        " It is never more than {} behind the others, levels even out in {}, and every tank that "
        "could be shut off still can.",
        in_mm(lag_m(top)), soon(top));
  } else {
    text = " But it is not good: " + joined_up(faults) + ".";
  }
  if (study.cheapest == 1 && study.options.size() > 1) {
    const LinkOption& cheaper = study.options[1];
    text += fmt::format(" The cheapest that does the same is {} ({}); for {} this one",
                        in_words(study, cheaper.way), money(study, cheaper), money(study, top));
    const double more_m3 = top.saved_m3 - cheaper.saved_m3;
    if (more_m3 > worth_a_row_m3) {
      text += fmt::format(" saves {} more in the days tried", litres_text(more_m3));
    }
    if (top.keeping.sole_hoses < cheaper.keeping.sole_hoses) {
      text +=
          fmt::format("{} leaves {} fewer {} on which something hangs alone",
                      more_m3 > worth_a_row_m3 ? " and" : "",
                      cheaper.keeping.sole_hoses - top.keeping.sole_hoses,
                      cheaper.keeping.sole_hoses - top.keeping.sole_hoses == 1 ? "hose" : "hoses");
    }
    text += ".";
  } else if (faults.empty()) {
    text += " No cheaper way does all that.";
  }
  return text;
}

std::string stand_sentence(const LinkStudy& study, const LinkOption& top) {
  if (top.way.stand == Stand::as_planned) return {};
  const LinkOption* const as_it_stands = best_as_it_stands(study);
  if (!as_it_stands) return {};
  const std::vector<std::string> faults = faults_of(study, *as_it_stands);
  std::string text = fmt::format(" As it stands, {:.2f} m above the datum, no way is good",
                                 new_tank(study).base_m);
  if (!faults.empty()) {
    text += fmt::format(": {}, {}", in_words(study, as_it_stands->way), joined_up(faults));
  }
  return text + ".";
}

std::string thoughtless_sentence(const LinkStudy& study, const LinkOption& top) {
  const LinkOption& cheap = cheapest_of_all(study);
  if (cheap.rank == top.rank) return {};
  const std::vector<std::string> faults = faults_of(study, cheap);
  if (faults.empty()) return {};
  return fmt::format(" The cheapest of all, {} ({}), is not worth it: {}.",
                     in_words(study, cheap.way), money(study, cheap), joined_up(faults));
}

std::string old_hose_sentence(const LinkStudy& study) {
  if (!study.old_hose || !study.old_hose->helps_more) return {};
  const Hose& hose = part(study.parts.hoses, study.old_hose->hose);
  return fmt::format(
      " But first widen {}, from {} to {}: on the plan's own day that alone saves {}, and the best "
      "way of joining {} {}.",
      named(hose.name), millimetres_text(hose.bore_m), millimetres_text(study.old_hose->bore_m),
      litres_text(study.old_hose->saves_m3), named(new_tank(study).name),
      litres_text(study.old_hose->best_way_m3));
}

}  // namespace

std::string link_answer(const Plan& plan, const LinkStudy& study) {
  const std::string& site = plan.array.parts().site.name;
  std::string text = site.empty() ? std::string() : site + ": ";
  if (study.options.empty()) {
    return text +
           (study.stopped ? "stopped before any way to join "
                          : "nothing was found out about any way to join ") +
           named(new_tank(study).name) + (study.stopped ? " was tried." : ".");
  }
  const LinkOption& top = study.options.front();
  if (study.stopped) {
    text += fmt::format("stopped with {} ways known. Of those, ", study.options.size());
  }
  text += fmt::format("join {} {}: {:.1f} m of hose in all{}.", named(new_tank(study).name),
                      in_words(study, top.way), top.metres,
                      study.priced ? fmt::format(", {:.2f}", top.price) : "");
  return text + water_sentence(study, top) + reason(study, top) + stand_sentence(study, top) +
         thoughtless_sentence(study, top) + old_hose_sentence(study);
}

namespace {

/// Without the ticks, which would take room.
std::string places_cell(const LinkStudy& study, const WayToJoin& way) {
  std::string text;
  for (const Spur& spur : way.spurs) {
    text += (text.empty() ? "" : " + ") + name_of(study.parts, spur.place);
  }
  return text;
}

std::vector<const LinkOption*> shown(const LinkStudy& study, bool all) {
  std::vector<const LinkOption*> rows;
  for (const LinkOption& option : study.options) {
    if (!all && (option.beaten || rows.size() == most_rows)) continue;
    rows.push_back(&option);
  }
  if (!all && !study.options.empty()) {
    const LinkOption& cheap = cheapest_of_all(study);
    const bool there = std::any_of(rows.begin(), rows.end(),
                                   [&](const LinkOption* row) { return row->rank == cheap.rank; });
    if (!there) rows.push_back(&cheap);
  }
  return rows;
}

bool another_stand(const std::vector<const LinkOption*>& rows) {
  return std::any_of(rows.begin(), rows.end(),
                     [](const LinkOption* row) { return row->way.stand != Stand::as_planned; });
}

Chapter does_chapter(const LinkStudy& study, const std::vector<const LinkOption*>& rows, bool all) {
  Table table({{"rank"},
               {"joined to", Holds::words},
               {"hose", Holds::words},
               {"base m"},
               {"level in", Holds::words},
               {"behind, filling mm"},
               {"behind, drawn mm"},
               {"stays in it L"},
               {"storm spills L"},
               {"more drawn L"}});
  const bool stands = another_stand(rows);
  for (const LinkOption* row : rows) {
    const LinkFigures& did = row->figures;
    table.add({std::to_string(row->rank), places_cell(study, row->way), hose_of(study, row->way),
               stands ? metres_cell(row->way.base_m) : "", soon(*row),
               number_text(std::round(did.lag_filling_m * 1000.0)),
               number_text(std::round(did.lag_drawing_m * 1000.0)), litres_cell(did.stranded_m3),
               litres_cell(did.storm_spilt_m3),
               study.trials.has_outlets ? litres_cell(row->gained_m3) : ""});
  }
  Chapter chapter{all ? "All ways, the recommended one first"
                      : "Ways that no other beats on every count, the recommended one first",
                  table};
  const std::size_t listed = rows.size();
  if (!all && study.options.size() > listed) {
    chapter.notes.push_back(fmt::format(
        "{} of {} ways are beaten by none; {} stand here, the last of them the cheapest. `--all` "
        "lists the rest.",
        study.unbeaten, study.options.size(), listed));
  }
  if (!study.failed.empty()) {
    chapter.notes.push_back(
        fmt::format("{} could not be worked out and {} missing here; see below.",
                    counted(study.failed.size(), "way"), study.failed.size() == 1 ? "is" : "are"));
  }
  chapter.notes.push_back(
      fmt::format("Without {}, {} are spilt in the storm, and the outlets give {}.",
                  named(new_tank(study).name), litres_text(study.without.storm_spilt_m3),
                  litres_text(study.without.drawn_m3)));
  return chapter;
}

Chapter costs_chapter(const LinkStudy& study, const std::vector<const LinkOption*>& rows) {
  Table table({{"rank"},
               {"hose m"},
               {"price"},
               {"pieces to fit"},
               {"more drawn for 1 L bought"},
               {"tanks to be shut off"},
               {"valves for it", Holds::words},
               {"sole hoses"}});
  for (const LinkOption* row : rows) {
    table.add(
        {std::to_string(row->rank), fmt::format("{:.1f}", row->metres),
         study.priced ? price_cell(study, *row) : "", std::to_string(row->pieces),
         study.trials.has_outlets
             ? fmt::format("{:.2f}", row->gained_m3 / capacity_m3(new_tank(study).shape))
             : "",
         fmt::format("{} of {}", row->keeping.isolable, study.parts.tanks.size()),
         row->keeping.valves_for_new ? std::to_string(*row->keeping.valves_for_new) : "cannot be",
         std::to_string(row->keeping.sole_hoses)});
  }
  Chapter chapter{"What they take", table};
  chapter.notes.push_back(
      fmt::format("Sole hoses: those without which something is cut off. Without {} there are {}, "
                  "and {} tanks can be shut off.",
                  named(new_tank(study).name), study.keeping_without.sole_hoses,
                  study.keeping_without.isolable));
  return chapter;
}

Chapter shopping_chapter(const LinkStudy& study, const LinkOption& top) {
  std::size_t elbows = 0;
  std::size_t tees = 0;
  std::size_t hoses = 0;
  for (const SpurFittings& spur : fittings_of(study.parts, study.tank, top.way)) {
    for (const std::vector<std::string>& of_hose : spur.per_hose) {
      ++hoses;
      for (const std::string& fitting : of_hose) ++(fitting == "elbow" ? elbows : tees);
    }
  }
  const std::string bore = millimetres_text(study.offered[top.way.hose].bore_m);
  std::vector<std::string> points;
  std::vector<std::string> pieces;
  for (const Spur& spur : top.way.spurs) {
    for (int k = 0; k < top.way.side_by_side; ++k) {
      pieces.push_back(
          fmt::format("{:.1f} m to {}", spur.length_m, named(name_of(study.parts, spur.place))));
    }
  }
  points.push_back(fmt::format("{:.1f} m of {} hose{}: {}", top.metres, bore,
                               study.priced ? fmt::format(", {:.2f}", top.price) : "",
                               joined_up(pieces)));
  if (top.way.valved) {
    points.push_back(fmt::format("{} of {}, one in each hose, by {}",
                                 counted(hoses, "isolating valve"), bore,
                                 named(new_tank(study).name)));
  }
  if (tees > 0) points.push_back(fmt::format("{} of {}", counted(tees, "tee"), bore));
  if (elbows > 0) {
    points.push_back(fmt::format("{} or {} of {}", counted(elbows, "elbow"),
                                 elbows == 1 ? "tank fitting" : "tank fittings", bore));
  }
  points.push_back(fmt::format("{} and {} clips", counted(2 * hoses, "hose tail"), 2 * hoses));
  const double base_m = new_tank(study).base_m;
  if (top.way.base_m != base_m) {
    points.push_back(
        fmt::format("a stand that lifts its inside bottom to {:.2f} m above the datum, "
                    "{:.0f} mm {} than planned",
                    top.way.base_m, std::fabs(top.way.base_m - base_m) * 1000.0,
                    top.way.base_m > base_m ? "higher" : "lower"));
  } else {
    points.push_back(
        fmt::format("the stand as planned: its inside bottom {:.2f} m above the datum", base_m));
  }
  if (top.lid_hole_m) {
    points.push_back(fmt::format(
        "a drill: its closed lid needs a hole of {} for {} in or out; "
        "`tankyard vent` on the new plan looks closer",
        millimetres_text(*top.lid_hole_m), litres_per_minute_text(top.figures.peak_m3_per_s)));
  } else if (study.lid_assumed) {
    points.push_back(
        fmt::format("its closed lid has a hole that is wide enough for {}, or no drill "
                    "is; `tankyard vent` on the new plan looks closer",
                    litres_per_minute_text(top.figures.peak_m3_per_s)));
  } else {
    points.push_back("nothing for its lid, which is open: it lets the air in and out by itself");
  }
  return {"What to buy", std::nullopt, {}, points};
}

std::string lengths_sentence(const LinkStudy& study) {
  std::vector<std::string> assumed;
  std::vector<std::string> by_way;
  for (const Spur& spur : study.spurs) {
    const std::string name = name_of(study.parts, spur.place);
    if (spur.length_from == LengthFrom::assumed) assumed.push_back(name);
    if (spur.length_from == LengthFrom::by_way_of) by_way.push_back(name);
  }
  std::string text = "hose lengths are straight distances between positions, times `run_per_metre`";
  if (!by_way.empty()) {
    text += fmt::format(
        "; {} {} no position, so its distance is that to a tank on it and along "
        "that tank's hose",
        list_of(by_way), by_way.size() == 1 ? "has" : "have");
  }
  if (assumed.size() == study.spurs.size()) {
    text = fmt::format("positions are not known, so {:.0f} m of hose to every place are assumed",
                       assumed_length_m);
  } else if (!assumed.empty()) {
    text += fmt::format("; to {}, without a position, {:.0f} m are assumed", list_of(assumed),
                        assumed_length_m);
  }
  return text;
}

/// Grouped by the places, for those are mostly what they have in common.
std::string failed_sentence(const LinkStudy& study) {
  std::vector<std::string> places;
  std::vector<std::size_t> counts;
  for (const LinkStudy::Failed& failed : study.failed) {
    const std::string place = "to " + places_of(study, failed.way);
    const auto there = std::find(places.begin(), places.end(), place);
    if (there == places.end()) {
      places.push_back(place);
      counts.push_back(1);
    } else {
      ++counts[static_cast<std::size_t>(there - places.begin())];
    }
  }
  for (std::size_t i = 0; i < places.size(); ++i) {
    places[i] += fmt::format(" ({})", counts[i]);
  }
  return fmt::format(
      "{} could not be worked out, a weakness of the solver, and {} missing here: {}; the first "
      "because {}",
      counted(study.failed.size(), "way"), study.failed.size() == 1 ? "is" : "are",
      joined_up(places), study.failed.front().why);
}

Chapter method_chapter(const LinkStudy& study) {
  const LinkTrials& trials = study.trials;
  std::vector<std::string> says;
  says.push_back(
      "each way went through the same days: levels evening out from a full yard with the new tank "
      "empty; " +
      (trials.filled_into
           ? fmt::format(
                 "for want of a roof, {} being filled at {} from an empty yard on, until all "
                 "could be full",
                 named(part(study.parts.tanks, *trials.filled_into).name),
                 litres_per_minute_text(assumed_filling_m3_per_s))
           : fmt::format(
                 "a storm of {:.0f} mm/h{} on the empty yard, for as long as its roofs need "
                 "to fill all tanks",
                 trials.rain_m_per_s * 3.6e6, trials.rain_assumed ? ", which is assumed" : "")) +
      (trials.has_outlets ? fmt::format("; from a full yard {} with every outlet open",
                                        in_minutes(trials.drawing_s))
                          : std::string("; no draw-down, since the yard has no outlet")) +
      "; and the plan's own day");
  says.push_back(
      "level in: until the new tank and all tanks that end at its level lie within 10 mm; behind: "
      "the highest of them less the new tank in the storm, the new tank less the lowest while "
      "drawn, above its own mouth");
  says.push_back(lengths_sentence(study));
  if (study.offered_assumed) {
    says.push_back(
        "the plan has no hoses in `[stock]`, so bores of 13, 19, 25, 32 and 50 mm are "
        "assumed");
  }
  if (!study.priced) {
    says.push_back("no hose has a price, so metres times bore stand for it in the ranking");
  } else {
    says.push_back("prices are those of the hose alone");
  }
  says.push_back(
      "each new hose has an elbow or a tee at either end; a valve is counted in both with "
      "it and without");
  if (study.lid_assumed) says.push_back("its closed lid was left open for the study");
  std::vector<std::string> left_out = {"two hoses side by side to two places"};
  if (study.stands_left_out > 0) {
    left_out.push_back(counted(study.stands_left_out, "pair") +
                       " of places on other stands, beaten as it stands");
  }
  if (study.places_left_out > 0) {
    left_out.push_back(counted(study.places_left_out, "place") + " farther away than the others");
  }
  if (study.unfit > 0) {
    left_out.push_back(counted(study.unfit, "way") +
                       " whose bore does not go into the wall of a tank");
  }
  says.push_back("not tried: " + joined_up(left_out));
  if (!study.failed.empty()) says.push_back(failed_sentence(study));
  if (study.old_hose && !study.old_hose->helps_more) {
    const Hose& hose = part(study.parts.hoses, study.old_hose->hose);
    says.push_back(
        fmt::format("of the old hoses {} holds the yard back most: {} in place of {} would by "
                    "itself save {} on "
                    "the plan's own day, where the best way of joining {} saves {}",
                    named(hose.name), millimetres_text(study.old_hose->bore_m),
                    millimetres_text(hose.bore_m), litres_text(study.old_hose->saves_m3),
                    named(new_tank(study).name), litres_text(study.old_hose->best_way_m3)));
  }
  return {"How it was found", std::nullopt, {}, says};
}

Chapter cautions_chapter(const LinkStudy& study) {
  return {
      "Before you begin",
      std::nullopt,
      {},
      {fmt::format("full, {} weighs {:.0f} kg and more: a stand for it has to be level, firm and "
                   "made for that load; if in doubt, ask someone licensed to build it",
                   named(new_tank(study).name), capacity_m3(new_tank(study).shape) * 1000.0),
       "drain and shut off before you cut into a hose or a wall; never get into a tank",
       "find out what a used tank held before; this water is not for drinking",
       "mains water, overflows on to a neighbour's ground: your local rules come first"}};
}

}  // namespace

std::vector<Chapter> link_chapters(const Plan& plan, const LinkStudy& study, bool all) {
  if (study.options.empty()) return {method_chapter(study), assumed_chapter(plan)};
  const std::vector<const LinkOption*> rows = shown(study, all);
  return {does_chapter(study, rows, all),
          costs_chapter(study, rows),
          shopping_chapter(study, study.options.front()),
          method_chapter(study),
          assumed_chapter(plan),
          cautions_chapter(study)};
}

std::string link_text(const Plan& plan, const LinkStudy& study, bool all, int columns) {
  std::string text = wrapped(link_answer(plan, study), prose_columns(columns));
  const std::vector<Chapter> chapters = link_chapters(plan, study, all);
  for (std::size_t k = 0; k < chapters.size(); ++k) {
    text += chapter_text(chapters[k], columns);
    // What goes into the plan stands after what to buy, not indented, to be copied.
    if (k == 2 && !study.options.empty()) {
      text += heading("To put into the plan", columns) + toml_of(study, study.options.front());
    }
  }
  return text;
}

}  // namespace tankyard

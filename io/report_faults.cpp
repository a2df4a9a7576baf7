// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/faults_words.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/tables.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

using Holds = Table::Holds;

constexpr double worth_telling_m3 = 0.001;
constexpr std::size_t most_pairs = 12;
constexpr std::size_t most_habits = 2;

std::string cost_cell(double m3) { return litres_cell(std::max(m3, 0.0)); }

bool costs_something(const FaultOutcome& outcome) {
  return !outcome.dangers.empty() || outcome.lost_m3 >= worth_telling_m3 ||
         outcome.short_m3 >= worth_telling_m3 || !outcome.reckoned;
}

std::string danger_cell(const Plan& plan, const FaultOutcome& outcome) {
  if (!outcome.reckoned) return "not reckoned";
  std::vector<std::string> sucked;
  std::vector<std::string> blown;
  for (const FaultDanger& danger : outcome.dangers) {
    (danger.kind == FindingKind::vacuum_collapse ? sucked : blown)
        .push_back(part(plan.array.tanks(), danger.tank).name);
  }
  std::string text;
  if (!sucked.empty()) text = list_of(sucked, 3) + " sucked in";
  if (!blown.empty()) text += (text.empty() ? "" : "; ") + list_of(blown, 3) + " blown up";
  return text;
}

std::string emptied_cell(const Plan& plan, const FaultOutcome& outcome) {
  std::string text;
  for (const TankId tank : outcome.emptied) {
    text += (text.empty() ? "" : ", ") + part(plan.array.tanks(), tank).name;
  }
  return text;
}

std::string share_cell(const FaultToll& with, const FaultToll& without) {
  if (without.cost_m3 <= 0.0) return "";
  return fmt::format("{:.0f} %", 100.0 * (1.0 - with.cost_m3 / without.cost_m3));
}

/// "; the worst then costs 300 L": what is left after the best of them.
std::string advice(const Plan& plan, const FaultStudy& study) {
  const Parts& parts = plan.array.parts();
  const TriedChange* first = nullptr;
  if (!study.best.empty()) {
    first = &study.best.front();
  } else if (!study.tried.empty()) {
    first = &study.tried.front();
  }
  if (first == nullptr) return {};
  std::string phrase = in_words(parts, first->change);
  phrase.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(phrase.front())));
  std::string text = " " + phrase + ": ";
  if (first->toll.dangers < study.toll.dangers) {
    text += first->toll.dangers == 0 ? "then none harms a tank, and "
                                     : fmt::format("then {} in place of {} can harm a tank, and ",
                                                   first->toll.dangers, study.toll.dangers);
  }
  return text + fmt::format("what all single failures cost goes from {} to {}.",
                            in_litres(study.toll.cost_m3), in_litres(first->toll.cost_m3));
}

Chapter changes_chapter(const Plan& plan, const FaultStudy& study) {
  const Parts& parts = plan.array.parts();
  Table table({{"change", Holds::words},
               {"failures that harm a tank"},
               {"all cost together L"},
               {"less"},
               {"the worst costs L"}});
  const bool any_danger = study.toll.dangers > 0;
  const auto add = [&](const std::string& name, const FaultToll& toll, bool is_change) {
    table.add({name, any_danger ? std::to_string(toll.dangers) : "", cost_cell(toll.cost_m3),
               is_change ? share_cell(toll, study.toll) : "", cost_cell(toll.worst_m3)});
  };
  if (study.best.empty() && study.tried.empty()) return {"What helps most, found by trying", {}};
  add("the yard as it is", study.toll, false);
  for (std::size_t k = 0; k < study.best.size(); ++k) {
    add((k == 0 ? "" : "and ") + in_words(parts, study.best[k].change), study.best[k].toll, true);
  }
  std::size_t habits = 0;
  for (const TriedChange& tried : study.tried) {
    if (!tried.change.is_habit() || ++habits > most_habits) continue;
    add("or, for nothing: " + in_words(parts, tried.change), tried.toll, true);
  }
  return {"What helps most, found by trying", std::move(table)};
}

Chapter singles_chapter(const Plan& plan, const FaultStudy& study) {
  Table table({{"failure", Holds::words},
               {"danger", Holds::words},
               {"lost L"},
               {"short L"},
               {"first sign", Holds::words},
               {"runs empty", Holds::words}});
  std::vector<std::string> harmless;
  for (const FaultOutcome& each : study.singles) {
    if (!costs_something(each)) {
      harmless.push_back(in_words(plan.array.parts(), each));
      continue;
    }
    table.add({in_words(plan.array.parts(), each), danger_cell(plan, each), cost_cell(each.lost_m3),
               cost_cell(each.short_m3), sign_in_words(plan, study, each.sign),
               emptied_cell(plan, each)});
  }
  Chapter chapter{"Single failures, worst first", std::move(table)};
  if (!harmless.empty()) {
    std::string text =
        fmt::format("{} that cost less than 1 L: ", counted(harmless.size(), "failure"));
    for (std::size_t k = 0; k < harmless.size(); ++k) text += (k == 0 ? "" : "; ") + harmless[k];
    chapter.notes.push_back(text);
  }
  return chapter;
}

const FaultOutcome* single_of(const FaultStudy& study, const Fault& fault) {
  for (const FaultOutcome& single : study.singles) {
    if (single.faults.front() == fault) return &single;
  }
  return nullptr;
}

/// Lost and short of the parts of a pair, each by itself: "120 + 45".
std::string alone_cell(const FaultStudy& study, const FaultOutcome& pair, bool lost) {
  std::string text;
  for (const Fault& fault : pair.faults) {
    const FaultOutcome* alone = single_of(study, fault);
    if (alone == nullptr) return "";
    text += (text.empty() ? "" : " + ") + cost_cell(lost ? alone->lost_m3 : alone->short_m3);
  }
  return text;
}

Chapter pairs_chapter(const Plan& plan, const FaultStudy& study) {
  Table table({{"two at once", Holds::words},
               {"danger", Holds::words},
               {"lost L"},
               {"alone L"},
               {"short L"},
               {"alone L"},
               {"first sign", Holds::words}});
  for (std::size_t k = 0; k < std::min(study.pairs.size(), most_pairs); ++k) {
    const FaultOutcome& each = study.pairs[k];
    table.add({in_words(plan.array.parts(), each), danger_cell(plan, each), cost_cell(each.lost_m3),
               alone_cell(study, each, true), cost_cell(each.short_m3),
               alone_cell(study, each, false), sign_in_words(plan, study, each.sign)});
  }
  Chapter chapter{"Pairs that are worse than their parts", std::move(table)};
  if (study.pairs.size() > most_pairs) {
    chapter.notes.push_back(
        fmt::format("and {} more, which `--json` lists", study.pairs.size() - most_pairs));
  }
  return chapter;
}

Chapter method_chapter(const Plan& plan, const FaultStudy& study) {
  const std::string night = clock_of(plan, study, study.day.night_s);
  const std::string morning = clock_of(plan, study, study.day.morning_s);
  std::vector<std::string> says;
  if (study.day.quiet) {
    says.push_back(
        fmt::format("the plan has no day sheet, so a quiet night was taken, {} to {}, without rain "
                    "and with the "
                    "outlets as they stand in the plan",
                    night, morning));
  } else {
    says.push_back(
        fmt::format("the plan's own day was run with each failure, on to {} where it "
                    "ends sooner, and set against the day on which nothing fails",
                    morning));
  }
  says.push_back(
      fmt::format("a hose comes off at {}, after the last watering, and nobody sees it "
                  "until {}; everything else is so from the start of the day",
                  night, morning));
  says.push_back(
      "lost: more water to the ground, and less rain caught, than without the failure; short: less "
      "water from the outlets");
  says.push_back(
      "water runs from the bared mouth by the hose's bore, and from the loose end, which lies as "
      "low as the lowest place of the plan, through the hose; a shut valve saves the loose end "
      "only, for the plan does not say at which end it sits, and a valve said to sit right at a "
      "mouth saves that mouth too");
  says.push_back("throttled: a tenth of the bore's area is left");
  if (study.pairs_in_all > 0) {
    says.push_back(
        fmt::format("{} of {} pairs were tried; {} are worse than their parts: a danger that "
                    "neither brings, or "
                    "more than 5 L and a twentieth beyond what both cost by themselves",
                    study.pairs_tried, study.pairs_in_all, study.pairs.size()));
  }
  if (study.changes_left_out) {
    says.push_back("the yard is too large to try changes");
  } else {
    says.push_back(
        "changes were found by running every single failure again with each; parts to fit are each "
        "the one that helps most beside those above it; what a new part may do when it fails in "
        "its turn is not in it");
  }
  says.push_back(
      "how often a thing fails is not known to the tool: it says what a failure costs, not whether "
      "it comes");
  return {"How it was found", {}, {}, says};
}

Chapter cautions_chapter() {
  return {
      "Before you go and see",
      {},
      {},
      {"a tank under vacuum: stop what draws, and let the air in slowly before you open its lid",
       "wet ground under a stand, and electricity near running water: keep off until both are "
       "safe",
       "a top-up that does not stop is mains water: what may be changed there, and by whom, "
       "your local rules and a licensed plumber say"}};
}

}  // namespace

std::string faults_answer(const Plan& plan, const FaultStudy& study) {
  const Parts& parts = plan.array.parts();
  std::string text = parts.site.name.empty() ? "" : parts.site.name + ": ";
  if (study.singles_in_all == 0) return text + "there is nothing in this plan that could fail.";
  if (study.singles.empty()) return text + "stopped before the first failure was tried.";
  if (study.stopped) {
    text += fmt::format("stopped after {} of {}; ", study.singles.size(),
                        counted(study.singles_in_all, "failure"));
  }
  if (study.toll.dangers > 0) {
    text += fmt::format("{} of {} can harm a tank. ", study.toll.dangers,
                        counted(study.singles.size(), "single failure"));
  } else {
    text +=
        fmt::format("none of {} harms a tank. ", counted(study.singles.size(), "single failure"));
  }
  const auto dearest = std::max_element(
      study.singles.begin(), study.singles.end(),
      [](const FaultOutcome& a, const FaultOutcome& b) { return a.lost_m3 < b.lost_m3; });
  if (dearest->lost_m3 < worth_telling_m3) {
    text += "None loses a litre.";
  } else {
    text += fmt::format("The dearest is {}: {} are gone by {}", in_words(parts, *dearest),
                        in_litres(dearest->lost_m3), clock_of(plan, study, study.healthy.lasted_s));
    if (!dearest->emptied.empty()) {
      std::vector<std::string> names;
      for (const TankId tank : dearest->emptied) names.push_back(part(parts.tanks, tank).name);
      text += fmt::format(", and {} {} empty", list_of(names), names.size() == 1 ? "is" : "are");
    }
    text += ".";
  }
  return text + advice(plan, study);
}

std::vector<Chapter> faults_chapters(const Plan& plan, const FaultStudy& study) {
  return {changes_chapter(plan, study), singles_chapter(plan, study), pairs_chapter(plan, study),
          method_chapter(plan, study),  assumed_chapter(plan),        cautions_chapter()};
}

std::string faults_text(const Plan& plan, const FaultStudy& study,
                        const std::vector<Finding>& findings, int columns) {
  std::string text = wrapped(faults_answer(plan, study), prose_columns(columns));
  if (study.singles.empty()) return text + chapter_text(assumed_chapter(plan), columns);
  const std::vector<Chapter> chapters = faults_chapters(plan, study);
  // What was found stands after what helps.
  for (std::size_t k = 0; k < chapters.size(); ++k) {
    if (k == 1) text += findings_text(plan, findings, columns);
    text += chapter_text(chapters[k], columns);
  }
  return text;
}

}  // namespace tankyard

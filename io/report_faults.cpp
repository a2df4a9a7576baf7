// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <functional>

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
  std::vector<std::string> dry;
  const Parts& parts = plan.array.parts();
  for (const FaultDanger& danger : outcome.dangers) {
    if (danger.kind == FindingKind::pump_runs_dry) {
      dry.push_back(parts.pumps[danger.part].name);
    } else {
      (danger.kind == FindingKind::vacuum_collapse ? sucked : blown)
          .push_back(parts.tanks[danger.part].name);
    }
  }
  std::string text;
  const auto add = [&](const std::vector<std::string>& names, const char* what) {
    if (!names.empty()) text += (text.empty() ? "" : "; ") + list_of(names, 3) + what;
  };
  add(sucked, " sucked in");
  add(blown, " blown up");
  add(dry, " runs dry");
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
  const double less = 100.0 * (1.0 - with.cost_m3 / without.cost_m3);
  // A lid that lets air in lets water out as well, and then there is more to lose.
  return less < -0.5 ? fmt::format("{:.0f} % more", -less)
                     : fmt::format("{:.0f} %", std::max(less, 0.0));
}

/// What a change does, over all single failures: to harm, and to water where that gets less.
std::string gain(const FaultToll& with, const FaultToll& without) {
  std::string text;
  if (with.harmed < without.harmed) {
    text = with.harmed == 0
               ? "then no failure harms a tank or a pump"
               : fmt::format("what comes to harm, added up over all failures, goes from {} to {}",
                             without.harmed, with.harmed);
  }
  if (with.cost_m3 < without.cost_m3) {
    text +=
        fmt::format("{}what all failures cost, added up, goes from {} to {}",
                    text.empty() ? "" : "; ", in_litres(without.cost_m3), in_litres(with.cost_m3));
  }
  return text;
}

/// The part to fit that helps most, and the habit that does, which costs nothing: the better one
/// first.
std::string advice(const Plan& plan, const FaultStudy& study) {
  const Parts& parts = plan.array.parts();
  const auto habit = std::find_if(study.tried.begin(), study.tried.end(),
                                  [](const TriedChange& tried) { return tried.change.is_habit(); });
  std::vector<const TriedChange*> told;
  if (!study.best.empty()) told.push_back(&study.best.front());
  if (habit != study.tried.end()) told.push_back(&*habit);
  if (told.empty()) return {};
  const auto better = [](const TriedChange* a, const TriedChange* b) {
    if (a->toll.harmed != b->toll.harmed) {
      return a->toll.harmed < b->toll.harmed;
    }
    return a->toll.cost_m3 < b->toll.cost_m3;
  };
  std::sort(told.begin(), told.end(), better);
  const auto says = [&](const TriedChange& tried) {
    return in_words(parts, tried.change) + (tried.change.is_habit() ? ", which costs nothing" : "");
  };
  std::string text =
      fmt::format(" {}: {}.", capital(says(*told[0])), gain(told[0]->toll, study.toll));
  if (told.size() > 1) {
    text += fmt::format(" Or {}: {}.", says(*told[1]), gain(told[1]->toll, study.toll));
  }
  return text;
}

std::string with_article(const std::string& phrase) {
  return phrase.front() == '`' || phrase.rfind("a ", 0) == 0 ? phrase : "the " + phrase;
}

Chapter changes_chapter(const Plan& plan, const FaultStudy& study) {
  const Parts& parts = plan.array.parts();
  Table table({{"change", Holds::words},
               {"harmed, added up"},
               {"all, added up L"},
               {"less"},
               {"the worst L"}});
  const bool any_danger = study.toll.harmed > 0;
  const auto add = [&](const std::string& name, const FaultToll& toll, bool is_change) {
    table.add({name, any_danger ? std::to_string(toll.harmed) : "", cost_cell(toll.cost_m3),
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

/// One row for failures that read alike but for the hose that comes off: in a yard whose tanks
/// share, many do. Of a pair, the first failure must be the same.
struct Alike {
  const FaultOutcome* first = nullptr;
  std::vector<Fault> bursts;  ///< of those that are told together; one at least if any
  std::vector<std::string> cells;
};

std::vector<Alike> told_together(
    const std::vector<const FaultOutcome*>& outcomes,
    const std::function<std::vector<std::string>(const FaultOutcome&)>& cells_of) {
  std::vector<Alike> rows;
  for (const FaultOutcome* each : outcomes) {
    const std::vector<std::string> cells = cells_of(*each);
    const bool burst = is_burst(each->faults.back());
    const auto same = std::find_if(rows.begin(), rows.end(), [&](const Alike& row) {
      return burst && !row.bursts.empty() && row.first->faults.size() == each->faults.size() &&
             (each->faults.size() == 1 || row.first->faults.front() == each->faults.front()) &&
             row.cells == cells;
    });
    if (same == rows.end()) {
      rows.push_back({each, {}, cells});
      if (burst) rows.back().bursts.push_back(each->faults.back());
    } else {
      same->bursts.push_back(each->faults.back());
    }
  }
  return rows;
}

/// "`a` or `b` off at either end, or `c` off at `rail`".
std::string off_in_words(const Parts& parts, const std::vector<Fault>& bursts) {
  std::vector<std::string> either;
  std::vector<std::string> one_end;
  for (const Fault& fault : bursts) {
    const auto is_other_end = [&](const Fault& other) {
      return other.part == fault.part && other.kind != fault.kind;
    };
    if (std::none_of(bursts.begin(), bursts.end(), is_other_end)) {
      one_end.push_back(in_words(parts, fault));
    } else if (fault.kind == Fault::Kind::hose_off_at_from) {
      either.push_back(named(part_name(parts, fault)));
    }
  }
  std::sort(either.begin(), either.end());
  std::string text;
  for (std::size_t k = 0; k < either.size(); ++k) {
    text += (k == 0 ? "" : k + 1 == either.size() ? " or " : ", ") + either[k];
  }
  if (!either.empty()) text += " off at either end";
  for (const std::string& each : one_end) text += (text.empty() ? "" : ", or ") + each;
  return text;
}

std::string name_of_row(const Parts& parts, const Alike& row) {
  if (row.bursts.empty()) return in_words(parts, *row.first);
  std::string off = off_in_words(parts, row.bursts);
  if (row.first->faults.size() == 1) return off;
  return in_words(parts, row.first->faults.front()) + ", and " + off;
}

std::string sign_cell(const Plan& plan, const FaultStudy& study, const FaultOutcome& outcome) {
  if (outcome.sign.kind != FirstSign::Kind::water_runs) {
    return sign_in_words(plan, study, outcome.sign);
  }
  return clock_of(plan, study, outcome.sign.at_s) + " water runs from it";
}

Chapter singles_chapter(const Plan& plan, const FaultStudy& study) {
  const Parts& parts = plan.array.parts();
  Table table({{"failure", Holds::words},
               {"danger", Holds::words},
               {"lost L"},
               {"short L"},
               {"first sign", Holds::words},
               {"runs empty", Holds::words}});
  std::vector<const FaultOutcome*> costly;
  std::vector<std::string> harmless;
  for (const FaultOutcome& each : study.singles) {
    if (costs_something(each)) {
      costly.push_back(&each);
    } else {
      harmless.push_back(in_words(parts, each));
    }
  }
  const auto rows = told_together(costly, [&](const FaultOutcome& each) {
    return std::vector<std::string>{danger_cell(plan, each), cost_cell(each.lost_m3),
                                    cost_cell(each.short_m3), sign_cell(plan, study, each),
                                    emptied_cell(plan, each)};
  });
  for (const Alike& row : rows) {
    std::vector<std::string> cells = row.cells;
    cells.insert(cells.begin(), name_of_row(parts, row));
    table.add(std::move(cells));
  }
  Chapter chapter{"Single failures, worst first", std::move(table)};
  if (!harmless.empty()) {
    std::string text = harmless.size() == 1 ? "costs less than 1 L: " : "cost less than 1 L: ";
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
  const Parts& parts = plan.array.parts();
  Table table({{"two at once", Holds::words},
               {"danger", Holds::words},
               {"lost L"},
               {"alone L"},
               {"short L"},
               {"alone L"},
               {"first sign", Holds::words}});
  std::vector<const FaultOutcome*> pairs;
  for (const FaultOutcome& each : study.pairs) pairs.push_back(&each);
  const auto rows = told_together(pairs, [&](const FaultOutcome& each) {
    return std::vector<std::string>{danger_cell(plan, each),        cost_cell(each.lost_m3),
                                    alone_cell(study, each, true),  cost_cell(each.short_m3),
                                    alone_cell(study, each, false), sign_cell(plan, study, each)};
  });
  for (std::size_t k = 0; k < std::min(rows.size(), most_pairs); ++k) {
    std::vector<std::string> cells = rows[k].cells;
    cells.insert(cells.begin(), name_of_row(parts, rows[k]));
    table.add(std::move(cells));
  }
  Chapter chapter{"Pairs that are worse than their parts", std::move(table)};
  if (rows.size() > most_pairs) {
    chapter.notes.push_back(
        fmt::format("and {} more, which `--json` lists", rows.size() - most_pairs));
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
    says.push_back(fmt::format(
        "{} of {} pairs were tried, and {} are worse than their parts: they bring a danger that "
        "neither brings, or cost 5 L and a twentieth more than both by themselves, water that one "
        "leaves unused and the other loses aside",
        study.pairs_tried, study.pairs_in_all, study.pairs.size()));
  }
  if (study.changes_left_out) {
    says.push_back("the yard is too large to try changes");
  } else if (study.stopped && study.pairs_in_all == 0) {
    says.push_back("it was stopped before every change was tried, so a better one may be missing");
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
  if (study.singles.size() < study.singles_in_all) {
    text += fmt::format("stopped after {} of {}; ", study.singles.size(),
                        counted(study.singles_in_all, "failure"));
  } else if (study.stopped) {
    text += study.pairs_in_all == 0 ? "stopped before all changes were tried; "
                                    : fmt::format("stopped after {} of {} pairs; ",
                                                  study.pairs_tried, study.pairs_in_all);
  }
  std::vector<std::string> harmed;
  for (const TankId tank : harmed_on(study.healthy)) {
    harmed.push_back(part(parts.tanks, tank).name);
  }
  if (!harmed.empty()) {
    text += fmt::format("even with nothing failing, {} {} to harm: see to that first. ",
                        list_of(harmed), harmed.size() == 1 ? "comes" : "come");
  }
  const auto dangerous = static_cast<std::size_t>(
      std::count_if(study.singles.begin(), study.singles.end(),
                    [](const FaultOutcome& single) { return !single.dangers.empty(); }));
  const std::string of = counted(study.singles.size(), "single failure");
  const char* whom = !harmed.empty()       ? "another tank"
                     : parts.pumps.empty() ? "a tank"
                                           : "a tank or a pump";
  std::string count = dangerous > 0 ? fmt::format("{} of {} can harm {}. ", dangerous, of, whom)
                                    : fmt::format("none of {} harms {}. ", of, whom);
  text += harmed.empty() ? count : capital(count);
  const auto dearest = std::max_element(
      study.singles.begin(), study.singles.end(),
      [](const FaultOutcome& a, const FaultOutcome& b) { return a.lost_m3 < b.lost_m3; });
  if (dearest->lost_m3 < worth_telling_m3) {
    text += "None loses a litre.";
  } else {
    text +=
        fmt::format("The dearest is {}: {} are gone by {}", with_article(in_words(parts, *dearest)),
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

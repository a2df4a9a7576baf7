// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>

#include "solver/apart.h"
#include "solver/find_each.h"
#include "solver/find_limits.h"
#include "solver/sentences.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

constexpr double worth_buying_m3 = 0.010;  // what a wider hose saves on the day; our choice

/// Whether tanks share water through this hose: it has a tank on either side, and not the same one.
/// A hose that only leads on to outlets keeps no tanks apart.
bool links_tanks(const Parts& parts, std::size_t hose) {
  for (const HoseEnd* end : {&parts.hoses[hose].from, &parts.hoses[hose].to}) {
    if (std::holds_alternative<OutletId>(end->place)) return false;
  }
  OpenHoses others(parts.hoses.size(), true);
  others[hose] = false;
  const std::vector<std::size_t> group = groups_in_row(parts, others);
  const Row row(parts);
  const std::size_t from = group[row.of(parts.hoses[hose].from.place)];
  const std::size_t to = group[row.of(parts.hoses[hose].to.place)];
  std::size_t at_from = 0;
  std::size_t at_to = 0;
  for (std::size_t i = 0; i < row.tanks(); ++i) {
    if (group[i] == from) ++at_from;
    if (group[i] == to) ++at_to;
  }
  return from == to ? at_from >= 2 : at_from >= 1 && at_to >= 1;
}

bool does_harm(const RunRecord& record) {
  for (const TankRecord& tank : record.tanks) {
    if (tank.spilt_with_room_m3 > least_m3) return true;
  }
  for (const OutletRecord& outlet : record.outlets) {
    if (outlet.short_m3 > least_m3 || outlet.dry_s >= least_dry_s) return true;
  }
  return false;
}

/// What holds things up on a day on which this hose no longer does.
std::string what_limits(const Parts& parts, HoseId id, const RunRecord& wider) {
  if (!does_harm(wider)) return "nothing was lost by it that day";
  std::optional<std::size_t> slowest;
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    if (i == id.index || wider.lags[i].kept_up_m <= apart_m || !links_tanks(parts, i)) continue;
    const bool slower = !slowest || wider.lags[i].kept_up_m > wider.lags[*slowest].kept_up_m ||
                        (wider.lags[i].kept_up_m == wider.lags[*slowest].kept_up_m &&
                         parts.hoses[i].name < parts.hoses[*slowest].name);
    if (slower) slowest = i;
  }
  if (slowest) {
    return named(parts.hoses[*slowest].name) + " then holds the water up, with " +
           in_mm(wider.lags[*slowest].kept_up_m) + " between its ends";
  }
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const OutletRecord& outlet = wider.outlets[i];
    if (outlet.short_m3 > least_m3 || outlet.dry_s >= least_dry_s) {
      return named(parts.outlets[i].name) + " goes short all the same";
    }
  }
  return "water is spilt all the same";
}

std::string remedy(const Parts& parts, HoseId id, const RunRecord& record, DayAgain& again) {
  const Hose& hose = part(parts.hoses, id);
  if (!again.worth_trying()) {
    return "fit a wider hose, or a second one beside it; the yard is too large to try bores on it";
  }
  const auto keeps_up = [&](const RunRecord& wider) {
    return wider.lags[id.index].kept_up_m <= apart_m;
  };
  const auto pays = [&](const RunRecord& wider) {
    return change_between(record, wider).gain_m3() >= worth_buying_m3;
  };
  const std::optional<DayAgain::Tried> widest = again.widest(id);
  if (!widest && again.tries().over()) {
    return "a wider hose or a second one beside it may help; which bore would do was " +
           again.tries().not_tried();
  }
  if (!widest || !(keeps_up(*widest->record) || pays(*widest->record))) {
    return "no wider hose up to " + in_mm(trade_bores_m().back()) +
           " that fits its ends would do alone: fit a second one beside it, bring its ends nearer "
           "to each other, or share what it carries out over the day";
  }
  if (!pays(*widest->record)) {
    return "a wider hose is not worth buying for this day: even with " + in_mm(widest->bore_m) +
           ", " + in_words(change_between(record, *widest->record)) + "; " +
           what_limits(parts, id, *widest->record);
  }
  const bool levels_too = keeps_up(*widest->record);
  const auto tried = again.smallest_that_will_do(
      id, [&](const RunRecord& wider) { return pays(wider) && (!levels_too || keeps_up(wider)); });
  if (!tried) return "which bore would do was " + again.tries().not_tried();
  return "a bore of " + in_mm(tried->bore_m) + " in place of " + in_mm(hose.bore_m) +
         (levels_too ? " would do" : " would help, though the levels still stand apart") +
         smaller_not_tried(*tried, again.tries()) + ": " +
         in_words(change_between(record, *tried->record));
}

}  // namespace

std::vector<Finding> find_slow_links(const Array& array, const RunRecord& record, DayAgain& again) {
  const Parts& parts = array.parts();
  std::vector<HoseId> slow;
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    if (record.lags[i].kept_up_m > apart_m && links_tanks(parts, i)) {
      slow.push_back(id_at<HoseId>(i));
    }
  }
  const auto lag_of = [&](HoseId id) -> const HoseLag& { return record.lags[id.index]; };
  std::sort(slow.begin(), slow.end(), [&](HoseId a, HoseId b) {
    if (lag_of(a).kept_up_m != lag_of(b).kept_up_m) {
      return lag_of(a).kept_up_m > lag_of(b).kept_up_m;
    }
    return part(parts.hoses, a).name < part(parts.hoses, b).name;
  });

  std::vector<Finding> findings;
  const bool harm = does_harm(record);
  for (std::size_t k = 0; k < slow.size(); ++k) {
    const Hose& hose = part(parts.hoses, slow[k]);
    const HoseLag& lag = lag_of(slow[k]);
    Finding finding;
    finding.kind = FindingKind::slow_link;
    finding.severity = harm ? Severity::warning : Severity::note;
    finding.where = hose.name;
    finding.at_s = lag.kept_up_since_s;
    finding.value = lag.kept_up_m * mm_per_m;
    finding.limit = apart_m * mm_per_m;
    finding.unit = "mm";
    finding.says =
        "hose " + named(hose.name) + " of " + in_mm(hose.bore_m) +
        " bore is slow: more than ten minutes after the levels came apart, the water in " +
        named(name_of(parts, hose.from.place)) + " and " + named(name_of(parts, hose.to.place)) +
        " stood up to " + in_mm(lag.kept_up_m) + " apart";
    finding.do_this =
        k < most_tried ? remedy(parts, slow[k], record, again)
                       : "mend the " + std::to_string(most_tried) +
                             " worst hoses first, run the day again, and see whether this one is "
                             "still slow";
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard

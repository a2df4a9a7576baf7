// SPDX-License-Identifier: MIT
#include "io/page_vent.h"

#include <fmt/format.h>

#include <cmath>

#include "graph/shape.h"
#include "io/report.h"
#include "io/report_words.h"

namespace tankyard {
namespace {

/// What stands open in a trial: the outlets that pull.
std::vector<Stretches> open_outlets(const VentStudy& study, const std::vector<LidTrial>& cases,
                                    std::size_t outlets) {
  std::vector<Stretches> all;
  for (std::size_t o = 0; o < outlets; ++o) {
    Stretches open{fmt::format("outlet-{}", o), "open", {}};
    for (std::size_t k = 0; k < cases.size(); ++k) {
      const Trial& trial = study.trials[cases[k].trial];
      const bool pulls = trial.pull == Trial::Pull::outlets ||
                         (trial.pull == Trial::Pull::pump && trial.parts.outlets[o].open) ||
                         (trial.pull == Trial::Pull::outlet && trial.outlet.index == o);
      if (pulls) open.from_to_s.emplace_back(k, k + 1);
    }
    if (!open.from_to_s.empty()) all.push_back(open);
  }
  return all;
}

Film film_of(const Plan& plan, const VentStudy& study) {
  Film film;
  const std::vector<Tank>& tanks = plan.array.tanks();
  film.start = state_at_start(plan.array);
  film.start.moment = "in the case told above";
  film.start.headspace_gauge_pa = std::vector<double>(tanks.size(), 0.0);
  const std::vector<LidTrial>& cases = study.lids.front().as_it_is;
  for (const LidTrial& each : cases) film.frames.labels.push_back(study.trials[each.trial].says);
  for (std::size_t t = 0; t < tanks.size(); ++t) {
    Channel depth{fmt::format("tank-{}.depth_m", t), tanks[t].name, {}, 1e-4};
    for (const LidTrial& each : cases) {
      const Tank& then = study.trials[each.trial].parts.tanks[t];
      depth.values.push_back(depth_m(then.shape, then.water_m3));
    }
    film.frames.channels.push_back(depth);
  }
  for (const LidNeeds& lid : study.lids) {
    Channel air{
        fmt::format("tank-{}.headspace_pa", lid.tank.index), part(tanks, lid.tank).name, {}, 0.1};
    for (const LidTrial& each : lid.as_it_is) {
      air.values.push_back(std::fabs(each.lowest_pa) >= each.highest_pa ? each.lowest_pa
                                                                        : each.highest_pa);
    }
    film.frames.channels.push_back(air);
  }
  film.stretches = open_outlets(study, cases, plan.array.outlets().size());
  std::vector<const Parts*> yards;
  yards.reserve(cases.size());
  for (const LidTrial& each : cases) yards.push_back(&study.trials[each.trial].parts);
  for (Stretches& shut : shut_hoses(yards)) film.stretches.push_back(std::move(shut));
  return film;
}

}  // namespace

Page page_of_vent(const Plan& plan, const VentStudy& study, const std::vector<Finding>& findings) {
  Page page = page_for(plan, "vent");
  page.answer = vent_answer(plan, study);
  page.chapters = vent_chapters(plan, study);
  if (study.lids.empty()) {
    page.findings = findings_on_page(plan, findings, {});
    return page;
  }
  page.about = fmt::format(
      "{} under {}. The picture shows, for each pull, how the yard stands when it begins and the "
      "worst it does to the air under every lid.",
      counted(study.lids.front().as_it_is.size(), "pull") + " tried",
      counted(study.lids.size(), "closed lid"));
  page.film = film_of(plan, study);
  page.findings = findings_on_page(plan, findings, page.film);
  for (PageFinding& shown : page.findings) {
    for (const LidNeeds& lid : study.lids) {
      if (part(plan.array.tanks(), lid.tank).name != shown.finding.where) continue;
      const bool pressed = shown.finding.kind == FindingKind::pressure_bulge;
      const std::size_t frame = pressed             ? lid.worst_pressure
                                : lid.first_to_fold ? *lid.first_to_fold
                                                    : lid.worst_vacuum;
      const bool can = pressed ? lid.can_bulge() : lid.can_fold();
      if (!can) continue;  // what would happen if its neighbours were shut off is no case here
      shown.frame = frame;
      shown.moment = "this pull";
    }
  }
  return page;
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include "io/page_run.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/csv.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/units.h"

namespace tankyard {
namespace {

constexpr double most_recorded_cells = 4e6;         // doubles: 32 MB
constexpr std::size_t most_plotted_cells = 90'000;  // two or three bytes each on the page
constexpr std::size_t most_plotted_rows = 1501;
constexpr std::size_t most_film_frames = 1501;
constexpr std::size_t fewest_film_frames = 240;
constexpr std::size_t most_happenings = 400;

bool closed(const Tank& tank) { return tank.lid.kind != Lid::Kind::open; }

/// What changes from frame to frame.
std::size_t series_of(const Array& array) {
  std::size_t columns =
      array.tanks().size() + array.hoses().size() + array.outlets().size() + array.pumps().size();
  for (const Tank& tank : array.tanks()) columns += closed(tank) ? 1U : 0U;
  return columns;
}

std::size_t rows_within(std::size_t cells, std::size_t columns, std::size_t fewest,
                        std::size_t most) {
  return std::clamp(cells / std::max<std::size_t>(columns, 1), fewest, most);
}

/// Times at which something begins and ends by turns, made stretches.
class Switching {
 public:
  Switching(bool on, double ends_s) : ends_s_(ends_s) {
    if (on) since_ = 0.0;
  }
  void turn(bool on, double at_s) {
    if (on && !since_) since_ = at_s;
    if (!on && since_) {
      if (at_s > *since_) all_.emplace_back(*since_, at_s);
      since_.reset();
    }
  }
  std::vector<std::pair<double, double>> ended() {
    // The last moment belongs to what lasts to the end.
    if (since_) all_.emplace_back(*since_, ends_s_ + 1.0);
    since_.reset();
    return all_;
  }

 private:
  double ends_s_;
  std::optional<double> since_;
  std::vector<std::pair<double, double>> all_;
};

template <class Id>
bool is_of(const Action& action, std::size_t index) {
  const auto* id = std::get_if<Id>(&action.part);
  return id && id->index == index;
}

template <class Id>
std::vector<std::pair<double, double>> by_day_sheet(const Plan& plan, double lasted_s,
                                                    std::size_t index, bool on,
                                                    Action::Does turns_on) {
  Switching switching(on, lasted_s);
  for (const TimedStep& step : plan.sheet.steps) {
    for (const Action& action : step.actions) {
      if (is_of<Id>(action, index)) switching.turn(action.does == turns_on, step.at_s);
    }
  }
  return switching.ended();
}

void add_if_any(std::vector<Stretches>& all, std::string part, const char* state,
                std::vector<std::pair<double, double>> from_to_s) {
  if (!from_to_s.empty()) all.push_back({std::move(part), state, std::move(from_to_s)});
}

std::vector<Stretches> stretches_of(const Plan& plan, const RunRecord& record) {
  const Parts& parts = plan.array.parts();
  const double ends_s = record.lasted_s;
  std::vector<Stretches> all;
  for (std::size_t h = 0; h < parts.hoses.size(); ++h) {
    add_if_any(
        all, fmt::format("hose-{}", h), "shut",
        by_day_sheet<HoseId>(plan, ends_s, h, !starts_open(parts.hoses[h]), Action::Does::close));
  }
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    add_if_any(all, fmt::format("outlet-{}", o), "open",
               by_day_sheet<OutletId>(plan, ends_s, o, parts.outlets[o].open, Action::Does::open));
  }
  for (std::size_t p = 0; p < parts.pumps.size(); ++p) {
    Switching running(parts.pumps[p].running, ends_s);
    for (const Event& event : record.events) {
      if (event.part != p) continue;
      if (event.kind == Event::Kind::pump_starts) running.turn(true, event.at_s);
      const bool stops = event.kind == Event::Kind::pump_stops ||
                         event.kind == Event::Kind::pump_cut_out_low ||
                         event.kind == Event::Kind::pump_cut_out_by_pressure ||
                         event.kind == Event::Kind::pump_cut_out_by_time;
      if (stops) running.turn(false, event.at_s);
    }
    add_if_any(all, fmt::format("pump-{}", p), "running", running.ended());
  }
  Switching raining(false, ends_s);
  for (const TimedStep& step : plan.sheet.steps) {
    if (step.rain_m_per_s) raining.turn(*step.rain_m_per_s > 0.0, step.at_s);
  }
  const auto rain = raining.ended();
  for (std::size_t r = 0; r < parts.roofs.size(); ++r) {
    add_if_any(all, fmt::format("roof-{}", r), "rains", rain);
  }
  for (std::size_t t = 0; t < parts.tanks.size(); ++t) {
    Switching spilling(false, ends_s);
    for (const Event& event : record.events) {
      if (event.part != t) continue;
      if (event.kind == Event::Kind::overflow_starts) spilling.turn(true, event.at_s);
      if (event.kind == Event::Kind::overflow_ends) spilling.turn(false, event.at_s);
    }
    add_if_any(all, fmt::format("tank-{}", t), "spills", spilling.ended());
  }
  return all;
}

/// Of very many, those that weigh most; the rest would bury them.
std::vector<Happening> happenings_of(const Plan& plan, const RunRecord& record) {
  const auto weight = [](Event::Kind kind) {
    switch (kind) {
      case Event::Kind::step:
        return 3;
      case Event::Kind::outlet_dry:
      case Event::Kind::pump_starts_dry:
      case Event::Kind::pump_draws_air:
      case Event::Kind::pump_cut_out_low:
      case Event::Kind::overflow_starts:
      case Event::Kind::rim_reached:
        return 2;
      case Event::Kind::pump_starts:
      case Event::Kind::pump_stops:
      case Event::Kind::outlet_wet:
      case Event::Kind::overflow_ends:
      case Event::Kind::primed:
      case Event::Kind::prime_lost:
        return 1;
      default:
        return 0;
    }
  };
  int least = 0;
  for (; least < 4; ++least) {
    const auto count =
        std::count_if(record.events.begin(), record.events.end(),
                      [&](const Event& event) { return weight(event.kind) >= least; });
    if (count <= static_cast<std::ptrdiff_t>(most_happenings)) break;
  }
  std::vector<Happening> all;
  for (const Event& event : record.events) {
    if (weight(event.kind) < least) continue;
    all.push_back({event.at_s, in_words(plan, event)});
  }
  return all;
}

void add_channel(Frames& frames, std::string key, std::string name, double resolution) {
  Channel& channel = frames.channels.emplace_back();
  channel.key = std::move(key);
  channel.name = std::move(name);
  channel.resolution = resolution;
  channel.values.reserve(frames.time_s.size());
}

/// Puts a value of the record that fell between two rows where the channel's row nearest to it is.
void raise_to(Channel& channel, const std::vector<double>& time_s, double at_s, double value,
              bool is_highest) {
  if (time_s.empty()) return;
  auto row = static_cast<std::size_t>(std::lower_bound(time_s.begin(), time_s.end(), at_s) -
                                      time_s.begin());
  row = std::min(row, time_s.size() - 1);
  double& there = channel.values[row];
  there = is_highest ? std::max(there, value) : std::min(there, value);
}

}  // namespace

double page_row_s(const Array& array, double lasts_s) {
  const double usual_s = usual_row_s(lasts_s);
  if (usual_s <= 60.0) return usual_s;
  const double most_rows = most_recorded_cells / static_cast<double>(series_of(array) + 1);
  return std::clamp(lasts_s / most_rows, 60.0, usual_s);
}

Frames frames_of_run(const Plan& plan, const RunRecord& record) {
  const Parts& parts = plan.array.parts();
  const Trace& trace = record.trace;
  Frames frames;
  frames.time_s = trace.time_s;
  const auto fill = [&](const Rows& rows, std::size_t column, double factor) {
    for (std::size_t row = 0; row < rows.size(); ++row) {
      frames.channels.back().values.push_back(rows[row][column] * factor);
    }
  };
  for (std::size_t t = 0; t < parts.tanks.size(); ++t) {
    add_channel(frames, fmt::format("tank-{}.depth_m", t), parts.tanks[t].name, 1e-4);
    fill(trace.depth_m, t, 1.0);
    if (!closed(parts.tanks[t])) continue;
    add_channel(frames, fmt::format("tank-{}.headspace_pa", t), parts.tanks[t].name, 0.1);
    fill(trace.headspace_pa, t, 1.0);
  }
  for (std::size_t h = 0; h < parts.hoses.size(); ++h) {
    add_channel(frames, fmt::format("hose-{}.flow_l_min", h), parts.hoses[h].name, 0.01);
    fill(trace.hose_flow_m3_per_s, h, l_min_per_m3_s);
  }
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    add_channel(frames, fmt::format("outlet-{}.flow_l_min", o), parts.outlets[o].name, 0.01);
    fill(trace.outlet_flow_m3_per_s, o, l_min_per_m3_s);
  }
  for (std::size_t p = 0; p < parts.pumps.size(); ++p) {
    add_channel(frames, fmt::format("pump-{}.flow_l_min", p), parts.pumps[p].name, 0.01);
    fill(trace.pump_flow_m3_per_s, p, l_min_per_m3_s);
  }
  if (!parts.roofs.empty()) {
    add_channel(frames, "rain_mm_h", "rain", 0.01);
    std::size_t next = 0;
    double rain_m_per_s = 0.0;
    for (const double at_s : frames.time_s) {
      for (; next < plan.sheet.steps.size() && plan.sheet.steps[next].at_s <= at_s; ++next) {
        rain_m_per_s = plan.sheet.steps[next].rain_m_per_s.value_or(rain_m_per_s);
      }
      frames.channels.back().values.push_back(rain_m_per_s * 3.6e6);
    }
  }
  return frames;
}

Film film_of_run(const Plan& plan, const RunRecord& record, const Frames& frames,
                 const std::vector<Finding>& findings) {
  Film film;
  film.start = state_at_start(plan.array);
  film.start.moment = "at the moment told above";
  film.start.flow_m3_per_s = std::vector<double>(plan.array.hoses().size(), 0.0);
  if (std::any_of(plan.array.tanks().begin(), plan.array.tanks().end(), closed)) {
    film.start.headspace_gauge_pa = std::vector<double>(plan.array.tanks().size(), 0.0);
  }
  std::vector<std::size_t> wanted;
  for (const Finding& finding : findings) {
    if (finding.at_s) wanted.push_back(frame_at(frames, *finding.at_s));
  }
  film.frames = chosen_frames(
      frames,
      rows_within(most_plotted_cells, series_of(plan.array), fewest_film_frames, most_film_frames),
      wanted);
  film.stretches = stretches_of(plan, record);
  film.happenings = happenings_of(plan, record);
  return film;
}

Frames plotted_of_run(const Plan& plan, const RunRecord& record, const Frames& frames) {
  const std::size_t most =
      rows_within(most_plotted_cells, series_of(plan.array), fewest_film_frames, most_plotted_rows);
  if (frames.count() <= most) return frames;
  Frames all = frames;
  for (Channel& channel : all.channels) {
    const std::size_t dash = channel.key.find('-');
    if (dash == std::string::npos) continue;
    const auto index = static_cast<std::size_t>(std::stoul(channel.key.substr(dash + 1)));
    if (channel.key == fmt::format("tank-{}.depth_m", index)) {
      const TankRecord& tank = record.tanks[index];
      raise_to(channel, all.time_s, tank.highest_at_s, tank.highest_depth_m, true);
      raise_to(channel, all.time_s, tank.lowest_at_s, tank.lowest_depth_m, false);
    } else if (channel.key == fmt::format("tank-{}.headspace_pa", index)) {
      const HeadspaceRecord& air = record.tanks[index].headspace;
      raise_to(channel, all.time_s, air.highest_at_s, air.highest_pa, true);
      raise_to(channel, all.time_s, air.lowest_at_s, air.lowest_pa, false);
    } else if (channel.key == fmt::format("hose-{}.flow_l_min", index)) {
      const HoseRecord& hose = record.hoses[index];
      raise_to(channel, all.time_s, hose.peak_at_s, hose.peak_m3_per_s * l_min_per_m3_s,
               hose.peak_m3_per_s > 0.0);
    }
  }
  return thinned_to_peaks(all, most);
}

std::vector<Plot> plots_of_run(const Plan& plan, const Frames& plotted) {
  const Parts& parts = plan.array.parts();
  const auto has = [&](const std::string& key) {
    return std::any_of(plotted.channels.begin(), plotted.channels.end(),
                       [&](const Channel& channel) { return channel.key == key; });
  };
  Plot levels{"Water levels above the yard's datum", "m", {}, {}};
  Plot air{"Air under closed lids, against the air outside", "Pa", {}, {}};
  for (std::size_t t = 0; t < parts.tanks.size(); ++t) {
    levels.lines.push_back({fmt::format("tank-{}.depth_m", t), parts.tanks[t].base_m});
    const std::string key = fmt::format("tank-{}.headspace_pa", t);
    if (has(key)) air.lines.push_back({key, 0.0});
  }
  if (air.lines.empty()) {
    air.instead = "Every lid is open, so the air under it is the air outside all the time.";
  }
  Plot flows{
      "Flows in hoses and at outlets (below zero: from \"to\" to \"from\")", "L/min", {}, {}};
  for (std::size_t h = 0; h < parts.hoses.size(); ++h) {
    flows.lines.push_back({fmt::format("hose-{}.flow_l_min", h), 0.0});
  }
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    flows.lines.push_back({fmt::format("outlet-{}.flow_l_min", o), 0.0});
  }
  for (std::size_t p = 0; p < parts.pumps.size(); ++p) {
    flows.lines.push_back({fmt::format("pump-{}.flow_l_min", p), 0.0});
    flows.title = "Flows in hoses, at outlets and in pumps (below zero: from \"to\" to \"from\")";
  }
  if (flows.lines.empty()) flows.instead = "There is no hose and no outlet in this yard.";
  return {levels, flows, air};
}

LitresOnPage litres_of(const Ledger& ledger) {
  const auto l = [](double m3) { return m3 * 1000.0; };
  return {{{"in the tanks at the start", l(ledger.start_m3)},
           {"rain from the roofs", l(ledger.rain_m3)},
           {"topped up", l(ledger.topped_up_m3)}},
          {{"used at outlets", l(ledger.delivered_m3)},
           {"spilt on the ground", l(ledger.overflowed_m3)},
           {"leaked", l(ledger.leaked_m3)},
           {"in the tanks at the end", l(ledger.end_m3)}}};
}

Page page_of_run(const Plan& plan, const RunRecord& record, const std::vector<Finding>& findings) {
  Page page = page_for(plan, "run");
  page.about = "Ran " + run_span(plan, record, findings) + ".";
  page.answer = run_answer(record);
  const Frames frames = frames_of_run(plan, record);
  page.film = film_of_run(plan, record, frames, findings);
  page.findings = findings_on_page(plan, findings, page.film);
  page.plotted = plotted_of_run(plan, record, frames);
  page.plots = plots_of_run(plan, page.plotted);
  page.litres = litres_of(record.ledger);
  page.chapters = run_chapters(plan, record);
  return page;
}

}  // namespace tankyard

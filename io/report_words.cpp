// SPDX-License-Identifier: MIT
#include "io/report_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "graph/time_units.h"
#include "io/units.h"

namespace tankyard {
namespace {

/// The value with so many decimals, and no minus before what rounds to nothing.
std::string rounded(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-') text.erase(0, 1);
  return text;
}

std::string quoted(const std::string& name) { return "`" + name + "`"; }

std::string action_in_words(const Parts& parts, const Action& action) {
  const char* does = "opened";
  if (action.does == Action::Does::close) does = "closed";
  if (action.does == Action::Does::start) does = "started";
  if (action.does == Action::Does::stop) does = "stopped";
  std::string name;
  if (const auto* hose = std::get_if<HoseId>(&action.part)) {
    const Hose& it = part(parts.hoses, *hose);
    name = it.valve ? it.valve->name : it.name;
  } else if (const auto* outlet = std::get_if<OutletId>(&action.part)) {
    name = part(parts.outlets, *outlet).name;
  } else if (const auto* air_line = std::get_if<AirLineId>(&action.part)) {
    name = part(parts.air_lines, *air_line).name;
  } else {
    name = part(parts.pumps, std::get<PumpId>(action.part)).name;
  }
  return fmt::format("`{}` is {}", name, does);
}

std::string step_in_words(const Plan& plan, std::size_t step) {
  const TimedStep& it = plan.sheet.steps[step];
  std::string text;
  for (const Action& action : it.actions) {
    text += (text.empty() ? "" : ", ") + action_in_words(plan.array.parts(), action);
  }
  if (it.rain_m_per_s) {
    text += text.empty() ? "" : ", ";
    text += *it.rain_m_per_s > 0.0
                ? fmt::format("rain of {} mm/h", number_text(*it.rain_m_per_s * 3.6e6))
                : "the rain ends";
  }
  return text.empty() ? "nothing is done" : text;
}

}  // namespace

const char* word_for(Severity severity) {
  switch (severity) {
    case Severity::note:
      return "note";
    case Severity::warning:
      return "warning";
    case Severity::danger:
      return "danger";
  }
  return "";
}

const char* word_for(BearsFrom from) {
  switch (from) {
    case BearsFrom::maker:
      return "maker";
    case BearsFrom::estimate:
      return "estimate";
    case BearsFrom::assumed:
      return "assumed";
  }
  return "";
}

const char* word_for(Event::Kind kind) {
  switch (kind) {
    case Event::Kind::port_uncovers:
      return "port_uncovers";
    case Event::Kind::port_covers:
      return "port_covers";
    case Event::Kind::overflow_starts:
      return "overflow_starts";
    case Event::Kind::overflow_ends:
      return "overflow_ends";
    case Event::Kind::rim_reached:
      return "rim_reached";
    case Event::Kind::top_up_starts:
      return "top_up_starts";
    case Event::Kind::top_up_stops:
      return "top_up_stops";
    case Event::Kind::primed:
      return "primed";
    case Event::Kind::prime_lost:
      return "prime_lost";
    case Event::Kind::outlet_dry:
      return "outlet_dry";
    case Event::Kind::outlet_wet:
      return "outlet_wet";
    case Event::Kind::pump_starts:
      return "pump_starts";
    case Event::Kind::pump_stops:
      return "pump_stops";
    case Event::Kind::pump_starts_dry:
      return "pump_starts_dry";
    case Event::Kind::pump_draws_air:
      return "pump_draws_air";
    case Event::Kind::pump_cut_out_low:
      return "pump_cut_out_low";
    case Event::Kind::pump_cut_out_by_pressure:
      return "pump_cut_out_by_pressure";
    case Event::Kind::pump_cut_out_by_time:
      return "pump_cut_out_by_time";
    case Event::Kind::step:
      return "step";
  }
  return "";
}

std::string in_words(const Plan& plan, const Event& event) {
  const Parts& parts = plan.array.parts();
  const auto tank = [&] { return quoted(parts.tanks[event.part].name); };
  const auto hose = [&] { return event.hose ? quoted(part(parts.hoses, *event.hose).name) : ""; };
  const auto pump = [&] { return quoted(parts.pumps[event.part].name); };
  const auto filled = [&] {
    return event.at_header ? "header " + quoted(parts.headers[event.part].name)
                           : "hose " + quoted(parts.hoses[event.part].name);
  };
  switch (event.kind) {
    case Event::Kind::port_uncovers:
      return fmt::format("the water in {} falls to the mouth of {}", tank(), hose());
    case Event::Kind::port_covers:
      return fmt::format("the water in {} covers the mouth of {}", tank(), hose());
    case Event::Kind::overflow_starts:
      return tank() + " begins to overflow";
    case Event::Kind::overflow_ends:
      return tank() + " no longer overflows";
    case Event::Kind::rim_reached:
      return tank() + " runs over its rim";
    case Event::Kind::top_up_starts:
      return quoted(parts.top_ups[event.part].name) + " lets water in";
    case Event::Kind::top_up_stops:
      return quoted(parts.top_ups[event.part].name) + " shuts off";
    case Event::Kind::primed:
      return filled() + " is full of water";
    case Event::Kind::prime_lost:
      return filled() + " has let air in";
    case Event::Kind::outlet_dry:
      return quoted(parts.outlets[event.part].name) + " is open and runs dry";
    case Event::Kind::outlet_wet:
      return quoted(parts.outlets[event.part].name) + " runs again";
    case Event::Kind::pump_starts:
      return pump() + " starts";
    case Event::Kind::pump_stops:
      return pump() + " stops";
    case Event::Kind::pump_starts_dry:
      return pump() + " finds no water at its inlet and runs dry";
    case Event::Kind::pump_draws_air:
      return pump() + " draws air, loses its prime and delivers nothing more";
    case Event::Kind::pump_cut_out_low:
      return pump() + " is stopped by its low-level cut-out";
    case Event::Kind::pump_cut_out_by_pressure:
      return pump() + " is stopped by its pressure switch";
    case Event::Kind::pump_cut_out_by_time:
      return pump() + " has run as long as it may and stops";
    case Event::Kind::step:
      return step_in_words(plan, event.part);
  }
  return "";
}

namespace {

/// What a pump's box does not say.
void add_assumed_of_pumps(const Plan& plan, std::vector<std::string>& assumed) {
  std::vector<std::string> needs, back;
  for (const Pump& pump : plan.array.pumps()) {
    if (pump.npsh_required.empty()) needs.push_back(pump.name);
    if (lets_back(pump)) back.push_back(pump.name);
  }
  if (!needs.empty()) {
    assumed.push_back(
        fmt::format("{} {} 2.5 m at the inlet above where water boils "
                    "(`npsh_required` is not given)",
                    list_of(needs), needs.size() == 1 ? "needs" : "need"));
  }
  if (!back.empty()) {
    assumed.push_back(
        fmt::format("{} {} no non-return valve: while standing, water can run "
                    "through either way, at all the head of its curve for the most "
                    "flow of its curve",
                    list_of(back), back.size() == 1 ? "has" : "have"));
  }
}

}  // namespace

std::vector<std::string> assumed_in(const Plan& plan) {
  std::vector<std::string> assumed = plan.assumed;
  std::vector<std::string> closed;
  for (const Tank& tank : plan.array.tanks()) {
    if (tank.lid.kind != Lid::Kind::open) closed.push_back(tank.name);
  }
  if (!closed.empty()) {
    assumed.push_back(
        fmt::format("the walls of {} count as rigid, and {} overflow pipes, if any, let no air in",
                    list_of(closed), closed.size() == 1 ? "its" : "their"));
  }
  add_assumed_of_pumps(plan, assumed);
  if (plan.sheet.lasts_s > day_s && !plan.sheet.steps.empty()) {
    assumed.push_back("clock times are of one clock, which is put neither forward nor back");
  }
  if (!plan.uses.empty()) {
    assumed.push_back(
        "the `[[use]]` entries are for `tankyard season`: a run does what its day sheet says");
  }
  return assumed;
}

double yield_of_10_mm_m3(const Roof& roof) {
  return roof.area_m2 * roof.runoff_fraction * std::max(0.0, 0.010 - roof.first_flush_m);
}

std::string list_of(const std::vector<std::string>& names, std::size_t most) {
  std::string text;
  const bool cut = names.size() > most + 1;
  const std::size_t shown = cut ? most : names.size();
  for (std::size_t k = 0; k < shown; ++k) {
    if (k > 0) text += !cut && k + 1 == shown ? " and " : ", ";
    text += quoted(names[k]);
  }
  if (cut) text += fmt::format(" and {} more", names.size() - shown);
  return text;
}

std::string counted(std::size_t count, const std::string& word) {
  return fmt::format("{} {}{}", count, word, count == 1 ? "" : "s");
}

std::string litres_cell(double m3) {
  const double litres = m3 * 1000.0;
  if (std::fabs(litres) < 0.05) return "0";
  return rounded(litres, std::fabs(litres) < 9.95 ? 1 : 0);
}

std::string metres_cell(double m) { return rounded(m, 2); }

std::string pascals_cell(double pa) {
  return std::fabs(pa) < 0.5 ? "0" : fmt::format("{:.0f}", pa);
}

std::string flow_cell(double m3_per_s) {
  const double flow = m3_per_s * l_min_per_m3_s;
  if (std::fabs(flow) < 0.005) return "0";
  return rounded(flow, std::fabs(flow) < 9.95 ? 2 : 1);
}

std::string number_text(double value) {
  const double size = std::fabs(value);
  if (size >= 100.0 || size == std::floor(size)) return rounded(value, 0);
  if (size >= 10.0) return rounded(value, 1);
  return fmt::format("{:.3g}", value);
}

std::string amount(double value, const std::string& unit) {
  return number_text(value) + (unit.empty() ? "" : " " + unit);
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') {
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  }
  return text;
}

std::string clock_of(const Plan& plan, double at_s) {
  return clock_text(std::round((plan.sheet.starts_clock_s + at_s) / 60.0) * 60.0);
}

std::string moment_of(const Plan& plan, const RunRecord& record, double at_s) {
  if (at_s <= 0.0) return "start";
  if (at_s >= record.lasted_s) return "end";
  return clock_of(plan, at_s);
}

}  // namespace tankyard

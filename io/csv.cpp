// SPDX-License-Identifier: MIT
#include "io/csv.h"

#include <fmt/format.h>

#include <cmath>
#include <iterator>

#include "graph/time_units.h"
#include "io/units.h"

namespace tankyard {
namespace {

constexpr double most_usual_rows = 1500.0;

/// A number, with no minus before a zero.
void add_number(std::string& text, double value) {
  fmt::format_to(std::back_inserter(text), ",{:.9g}", value == 0.0 ? 0.0 : value);
}

}  // namespace

std::string csv_cell(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + '"';
}

std::string series_csv(const Array& array, const Trace& trace) {
  std::string text = "time_s";
  for (const Tank& tank : array.tanks()) {
    text += ',' + csv_cell(tank.name + ".depth_m") + ',' + csv_cell(tank.name + ".headspace_pa");
  }
  for (const Hose& hose : array.hoses()) text += ',' + csv_cell(hose.name + ".flow_l_min");
  for (const Outlet& outlet : array.outlets()) text += ',' + csv_cell(outlet.name + ".flow_l_min");
  for (const Pump& pump : array.pumps()) text += ',' + csv_cell(pump.name + ".flow_l_min");
  text += "\r\n";
  for (std::size_t row = 0; row < trace.time_s.size(); ++row) {
    text += fmt::format("{:.9g}", trace.time_s[row]);
    for (std::size_t i = 0; i < trace.depth_m[row].size(); ++i) {
      add_number(text, trace.depth_m[row][i]);
      add_number(text, trace.headspace_pa[row][i]);
    }
    for (const double flow : trace.hose_flow_m3_per_s[row]) add_number(text, flow * l_min_per_m3_s);
    for (const double flow : trace.outlet_flow_m3_per_s[row]) {
      add_number(text, flow * l_min_per_m3_s);
    }
    for (const double flow : trace.pump_flow_m3_per_s[row]) add_number(text, flow * l_min_per_m3_s);
    text += "\r\n";
  }
  return text;
}

double usual_row_s(double lasts_s) {
  for (const double every : {1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0,
                             1800.0, 3600.0, 7200.0, 14400.0, 21600.0, 43200.0}) {
    if (lasts_s <= every * most_usual_rows) return every;
  }
  return day_s * std::ceil(lasts_s / (day_s * most_usual_rows));
}

}  // namespace tankyard

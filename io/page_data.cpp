// SPDX-License-Identifier: MIT
#include "io/page_data.h"

#include <cmath>

#include "graph/shape.h"
#include "io/json_numbers.h"
#include "io/svg_text.h"
#include "solver/shell.h"

namespace tankyard {
namespace {

Json packed(const std::vector<double>& values, double resolution) {
  Json runs = Json::array();
  long long before = 0;
  long long difference = 0;
  long long times = 0;
  const auto write = [&] {
    if (times >= 3) {
      runs.push_back({difference, times});
    } else {
      for (long long k = 0; k < times; ++k) runs.push_back(difference);
    }
    times = 0;
  };
  for (const double value : values) {
    const long long whole = std::llround(value / resolution);
    const long long now = whole - before;
    if (times > 0 && now != difference) write();
    difference = now;
    ++times;
    before = whole;
  }
  write();
  return {{"step", resolution}, {"runs", runs}};
}

Json in_json(const Frames& frames) {
  Json json;
  if (frames.time_s.empty()) {
    json["labels"] = frames.labels;
  } else {
    json["time_s"] = packed(frames.time_s, 0.001);
  }
  Json channels = Json::object();
  for (const Channel& channel : frames.channels) {
    channels[channel.key] = packed(channel.values, channel.resolution);
    channels[channel.key]["name"] = channel.name;
  }
  json["channels"] = channels;
  return json;
}

/// Litres by depth, in equal steps from the bottom to the rim; a prism needs but two.
Json litres_by_depth(const Shape& shape) {
  const int steps =
      std::holds_alternative<Prism>(shape) || std::holds_alternative<Upright>(shape) ? 1 : 256;
  Json litres = Json::array();
  for (int k = 0; k <= steps; ++k) {
    const double m3 = volume_m3(shape, height_m(shape) * k / steps);
    litres.push_back(std::round(m3 * 1e5) / 100.0);
  }
  return litres;
}

Json tanks_of(const Plan& plan) {
  Json tanks = Json::array();
  for (const Tank& tank : plan.array.tanks()) {
    const bool closed = tank.lid.kind != Lid::Kind::open;
    tanks.push_back({{"name", tank.name},
                     {"base_m", tank.base_m},
                     {"height_m", height_m(tank.shape)},
                     {"litres", litres_by_depth(tank.shape)},
                     {"overflows_into_a_tank", tank.overflow && tank.overflow->to},
                     {"vacuum_pa", closed ? Json(allowed_vacuum(tank).pa) : Json(nullptr)},
                     {"pressure_pa", closed ? Json(allowed_pressure(tank).pa) : Json(nullptr)}});
  }
  return tanks;
}

bool same_frames(const Frames& a, const Frames& b) {
  if (a.time_s != b.time_s || a.channels.size() != b.channels.size()) return false;
  for (std::size_t k = 0; k < a.channels.size(); ++k) {
    if (a.channels[k].key != b.channels[k].key || a.channels[k].values != b.channels[k].values) {
      return false;
    }
  }
  return true;
}

}  // namespace

std::string page_data(const Page& page) {
  Json json;
  json["starts_clock_s"] = page.first_date ? 0.0 : page.plan->sheet.starts_clock_s;
  if (page.first_date) json["first_day"] = page.first_date->time_since_epoch().count();
  json["tanks"] = tanks_of(*page.plan);
  if (page.film) {
    json["film"] = in_json(page.film->frames);
    Json stretches = Json::array();
    for (const Stretches& each : page.film->stretches) {
      stretches.push_back(
          {{"part", each.part}, {"state", each.state}, {"from_to_s", each.from_to_s}});
    }
    json["stretches"] = stretches;
    Json happenings = Json::array();
    for (const Happening& each : page.film->happenings) {
      happenings.push_back({{"at_s", each.at_s}, {"says", each.says}});
    }
    json["happenings"] = happenings;
  }
  if (page.plotted.count() > 0 && !(page.film && same_frames(page.film->frames, page.plotted))) {
    json["plotted"] = in_json(page.plotted);
  }
  Json plots = Json::array();
  for (const Plot& plot : page.plots) {
    Json lines = Json::array();
    for (const PlotLine& line : plot.lines)
      lines.push_back({{"key", line.key}, {"shift", line.shift}});
    plots.push_back({{"title", plot.title}, {"unit", plot.unit}, {"lines", lines}});
  }
  json["plots"] = plots;
  const std::string text = json.dump(-1, ' ', false, Json::error_handler_t::replace);
  std::string safe;
  safe.reserve(text.size());
  for (const char c : text) {
    if (c == '<') {
      safe += "\\u003c";
    } else {
      safe += c;
    }
  }
  return safe;
}

}  // namespace tankyard

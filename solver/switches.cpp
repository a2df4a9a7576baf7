// SPDX-License-Identifier: MIT
#include "solver/switches.h"

#include <algorithm>
#include <limits>

namespace tankyard {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
constexpr double header_refills_after_s = 60.0;

bool passes(const Link& link, const Setting& setting) {
  if (link.kind == Link::Kind::hose) {
    return setting.hose_open[link.part] && (!link.nozzle || setting.outlet_open[*link.nozzle]);
  }
  if (link.kind == Link::Kind::pump) {
    return !setting.pump_runs[link.part] || setting.pump_primed[link.part];
  }
  return link.kind == Link::Kind::leak || setting.outlet_open[link.part];
}

}  // namespace

Switches::Switches(const Network& network, const Instant& at_start)
    : network_(network),
      header_lost_at_s_(network.header_height_m.size(), -never),
      links_at_header_(network.header_height_m.size()),
      drawn_from_(network.header_height_m.size(), false) {
  const Parts& parts = network.array.parts();
  for (std::size_t i = 0; i < parts.top_ups.size(); ++i) {
    const TopUp& top_up = parts.top_ups[i];
    const double depth =
        at_start.level(top_up.into.index) - network.tanks[top_up.into.index].base_m;
    top_up_runs_.push_back(top_up.stuck_open || depth < top_up.starts_below_m);
    dues_.push_back({Event::Kind::top_up_starts, i, false});
  }
  for (std::size_t k = 0; k < network.links.size(); ++k) {
    const Link& link = network.links[k];
    if (link.crest_m != no_mouth) {
      crests_.push_back(k);
      dues_.push_back({Event::Kind::primed, link.part, false});
    }
    if (link.from_header) links_at_header_[*link.from_header].push_back(k);
    if (link.kind == Link::Kind::pump && link.from_header) drawn_from_[*link.from_header] = true;
    if (link.to_header) links_at_header_[*link.to_header].push_back(k);
  }
  for (std::size_t h = 0; h < network.header_height_m.size(); ++h) {
    dues_.push_back({Event::Kind::primed, h, true});
  }
}

double Switches::crest_number(const Link& link, bool primed, const Instant& instant) const {
  const auto from_at = static_cast<std::size_t>(link.from);
  const double from = instant.head_m[from_at];
  const double to =
      link.to == outside ? link.to_mouth_m : instant.head_m[static_cast<std::size_t>(link.to)];
  // How far the less covered of its mouths is under water, to this share of its bore.
  const auto covered_by_m = [&](double share) {
    double least = never;
    if (link.from_mouth_m != no_mouth) {
      least = instant.level(from_at) - (link.from_mouth_m + share * link.bore_m);
    }
    if (link.to != outside && link.to_mouth_m != no_mouth) {
      least = std::min(least, instant.level(static_cast<std::size_t>(link.to)) -
                                  (link.to_mouth_m + share * link.bore_m));
    }
    return least;
  };
  if (!primed) return -std::min(std::min(from, to) - link.crest_m, covered_by_m(1.0));
  const double number = covered_by_m(0.5);
  // Head at the crest, taken half way between the ends: what is lost up to there is half.
  const double weight = network_.water.density_kg_per_m3 * gravity_m_per_s2;
  const double lift = (network_.water.atmosphere_pa - network_.water.vapour_pressure_pa) / weight;
  return std::min(number, 0.5 * (from + to) + lift - link.crest_m);
}

bool Switches::pumped_now(std::size_t header, const Setting& setting) const {
  for (std::size_t k : links_at_header_[header]) {
    const Link& link = network_.links[k];
    if (link.kind == Link::Kind::pump && link.from_header == header &&
        setting.pump_runs[link.part] && setting.pump_primed[link.part]) {
      return true;
    }
  }
  return false;
}

std::size_t Switches::joint_at(int place) const {
  return static_cast<std::size_t>(place) - network_.tanks.size() - network_.header_height_m.size();
}

bool Switches::open_to_air(int place, const Setting& setting) const {
  const std::size_t headers_end = network_.tanks.size() + network_.header_height_m.size();
  if (place == outside || static_cast<std::size_t>(place) < headers_end) return false;
  for (const Link& link : network_.links) {
    if (link.from == place && link.to == outside && passes(link, setting)) return true;
  }
  return false;
}

double Switches::header_number(std::size_t header, const Setting& setting, const Instant& instant,
                               double clock_s) const {
  const std::size_t place = network_.tanks.size() + header;
  const double height = network_.header_height_m[header];
  const double head = instant.head_m[place];
  const bool full = setting.header_primed[header];
  const bool holds = drawn_from_[header] && holds_its_water(network_, setting, header);
  if (full && holds && !pumped_now(header, setting)) return never;
  double number = full ? never : -never;
  double widest = 0.0;
  bool reached = false;
  for (std::size_t k : links_at_header_[header]) {
    const Link& link = network_.links[k];
    if (!passes(link, setting)) continue;
    reached = true;
    widest = std::max(widest, link.bore_m);
    const bool header_is_from = link.from_header == header;
    const int other = header_is_from ? link.to : link.from;
    const double mouth = header_is_from ? link.to_mouth_m : link.from_mouth_m;
    if (link.kind == Link::Kind::pump) {
      if (setting.pump_runs[link.part]) continue;  // what air it draws is its own affair
      if (full && header_is_from && !link.one_way && open_to_air(other, setting)) {
        const double outlet_m = network_.joint_height_m[joint_at(other)];
        number = std::min(number, head - std::min(outlet_m, height));
      }
    }
    if (other == outside) {
      // A non-return valve lets no air back either.
      if (full && !link.one_way) number = std::min(number, head - std::min(mouth, height));
      continue;
    }
    if (mouth == no_mouth) continue;  // another header, or a joint
    const double level = instant.level(static_cast<std::size_t>(other));
    if (full) {
      if (link.one_way && header_is_from) continue;
      number = std::min(
          number, std::max(level - (mouth + 0.5 * link.bore_m), head - std::min(mouth, height)));
    } else {
      number = std::max(number, mouth + link.bore_m - level);
    }
  }
  if (full) return number;
  if (!reached || clock_s < header_lost_at_s_[header] + header_refills_after_s) return never;
  return holds ? number : std::max(number, height + widest - head);
}

void Switches::watch(const Setting& setting, const Instant& instant, double clock_s,
                     std::vector<double>& values) const {
  values.clear();
  const Parts& parts = network_.array.parts();
  for (std::size_t i = 0; i < parts.top_ups.size(); ++i) {
    const TopUp& top_up = parts.top_ups[i];
    if (top_up.stuck_open) {
      values.push_back(never);
      continue;
    }
    const double depth =
        instant.level(top_up.into.index) - network_.tanks[top_up.into.index].base_m;
    values.push_back(top_up_runs_[i] ? top_up.stops_above_m - depth
                                     : depth - top_up.starts_below_m);
  }
  for (std::size_t k : crests_) {
    const Link& link = network_.links[k];
    values.push_back(passes(link, setting)
                         ? crest_number(link, setting.crest_primed[link.part], instant)
                         : never);
  }
  for (std::size_t h = 0; h < network_.header_height_m.size(); ++h) {
    values.push_back(header_number(h, setting, instant, clock_s));
  }
}

void Switches::turn(const Due& due, double clock_s, Setting& setting) {
  if (due.kind == Event::Kind::top_up_starts) {
    top_up_runs_[due.part] = !top_up_runs_[due.part];
  } else if (due.at_header) {
    setting.header_primed[due.part] = !setting.header_primed[due.part];
    if (!setting.header_primed[due.part]) header_lost_at_s_[due.part] = clock_s;
  } else {
    setting.crest_primed[due.part] = !setting.crest_primed[due.part];
  }
}

void Switches::set_clock_back(double by_s) {
  for (double& lost_at_s : header_lost_at_s_) lost_at_s -= by_s;
}

void Switches::add_inflow(std::vector<double>& inflow_m3_per_s) const {
  const Parts& parts = network_.array.parts();
  for (std::size_t i = 0; i < parts.top_ups.size(); ++i) {
    if (top_up_runs_[i])
      inflow_m3_per_s[parts.top_ups[i].into.index] += parts.top_ups[i].flow_m3_per_s;
  }
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include "io/elevation_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/report_words.h"
#include "io/svg_text.h"
#include "io/units.h"

namespace tankyard::elevation {
namespace {

constexpr double note_size_px = 11.0;

/// Under this a headspace is as good as open.
constexpr double worth_telling_pa = 1.0;

/// A name with words round it.
Phrase around(const std::string& before, const std::string& name, const std::string& after,
              double most_px = name_inside_px) {
  const std::string cut = shortened(name, most_px, note_size_px, false);
  Phrase phrase;
  phrase.text = before + set_apart(cut) + after;
  if (cut != name) phrase.full = before + set_apart(name) + after;
  return phrase;
}

/// Whether the reader of plans made the name from the ends, as in "shed-1-rail" or "shed-1-rail-2".
bool made_from_ends(const Parts& parts, const Hose& hose) {
  const std::string made = name_of(parts, hose.from.place) + "-" + name_of(parts, hose.to.place);
  if (hose.name == made) return true;
  if (hose.name.rfind(made + "-", 0) != 0) return false;
  const std::string rest = hose.name.substr(made.size() + 1);
  return !rest.empty() && rest.find_first_not_of("0123456789") == std::string::npos;
}

std::string shape_text(const Shape& shape) {
  if (const auto* prism = std::get_if<Prism>(&shape)) {
    return fmt::format("box, {} m2 by {} m", number_text(prism->area_m2),
                       metres_cell(prism->height_m));
  }
  if (const auto* upright = std::get_if<Upright>(&shape)) {
    return fmt::format("upright round tank, {} m across, {} m high",
                       metres_cell(upright->diameter_m), metres_cell(upright->height_m));
  }
  if (const auto* lying = std::get_if<Lying>(&shape)) {
    return fmt::format("lying round tank, {} m across, {} m long", metres_cell(lying->diameter_m),
                       metres_cell(lying->length_m));
  }
  return fmt::format("tank measured by depth, {} m high", metres_cell(height_m(shape)));
}

}  // namespace

double room_px(const Phrase& phrase, double size_px, bool bold) {
  return std::max(text_width_px(phrase.text, size_px, bold),
                  text_width_px(phrase.widest, size_px, bold));
}

Phrase name_phrase(const std::string& name, double size_px, bool bold, double most_px) {
  const std::string cut = shortened(name, most_px, size_px, bold);
  return {set_apart(cut), cut == name ? std::string() : set_apart(name)};
}

bool passes(const Parts& parts, const ElevationState& state, HoseId hose) {
  return state.hose_open ? (*state.hose_open)[hose.index] : starts_open(part(parts.hoses, hose));
}

bool passes(const Parts& parts, const ElevationState& state, OutletId outlet) {
  return state.outlet_open ? (*state.outlet_open)[outlet.index] : part(parts.outlets, outlet).open;
}

bool passes(const Parts& parts, const ElevationState& state, PumpId pump) {
  return state.pump_running ? (*state.pump_running)[pump.index] : part(parts.pumps, pump).running;
}

std::vector<Phrase> hose_bits(const Parts& parts, const ElevationState& state, std::size_t index,
                              bool brief) {
  const Hose& hose = parts.hoses[index];
  const bool open = passes(parts, state, id_at<HoseId>(index));
  const std::string bore = millimetres_text(hose.bore_m);
  std::vector<Phrase> bits;
  const auto add_flow = [&] {
    const double flow = std::fabs((*state.flow_m3_per_s)[index]);
    const std::string text = flow_cell(flow) + " L/min";
    bits.push_back({text, {}, "8888.8 L/min", {{text, "flow"}}});
  };
  if (brief && state.flow_m3_per_s) {
    add_flow();
    return bits;
  }
  if (brief) return {{bore, {}}};
  bits.push_back(made_from_ends(parts, hose) ? Phrase{bore, {}}
                                             : around("", hose.name, " " + bore));
  if (hose.valve) {
    // A valve stands open in the plan while its hose is taken off: then nothing passes either.
    const bool shut = state.hose_open ? !open : !hose.valve->open;
    Phrase valve = around("", hose.valve->name, shut ? " shut" : " open", 60.0);
    valve.widest = around("", hose.valve->name, " open", 60.0).text;
    valve.changes = {{valve.text, "valve"}};
    bits.push_back(valve);
  }
  if (!hose.open && !open) bits.push_back({"taken off", {}});
  if (hose.one_way) bits.push_back({"one way", {}});
  if (hose.crest_m) bits.push_back({fmt::format("over {} m", metres_cell(*hose.crest_m)), {}});
  if (state.flow_m3_per_s) add_flow();
  return bits;
}

Phrase joined(const std::vector<Phrase>& bits, const char* between) {
  Phrase all;
  bool cut = false;
  for (const Phrase& bit : bits) {
    all.text += (all.text.empty() ? "" : between) + bit.text;
    all.full += (all.full.empty() ? "" : between) + (bit.full.empty() ? bit.text : bit.full);
    all.widest +=
        (all.widest.empty() ? "" : between) + (bit.widest.empty() ? bit.text : bit.widest);
    all.changes.insert(all.changes.end(), bit.changes.begin(), bit.changes.end());
    cut = cut || !bit.full.empty();
  }
  if (!cut) all.full.clear();
  return all;
}

std::vector<Phrase> outlet_lines(const Parts& parts, const ElevationState& state,
                                 std::size_t index) {
  const Outlet& outlet = parts.outlets[index];
  std::vector<Phrase> lines;
  lines.push_back(name_phrase(outlet.name, 12.0, true));
  lines.push_back({passes(parts, state, id_at<OutletId>(index)) ? "outlet, open" : "outlet, shut",
                   {},
                   "outlet, open"});
  if (outlet.draw_m3_per_s) {
    lines.push_back({"takes " + litres_per_minute_text(*outlet.draw_m3_per_s), {}});
  } else if (outlet.bore_m) {
    lines.push_back({millimetres_text(*outlet.bore_m), {}});
  }
  return lines;
}

std::vector<Phrase> pump_lines(const Parts& parts, const ElevationState& state, std::size_t index) {
  const Pump& pump = parts.pumps[index];
  return {name_phrase(pump.name, 12.0, true),
          {passes(parts, state, id_at<PumpId>(index)) ? "pump, running" : "pump, off",
           {},
           "pump, running"}};
}

std::string holds_text(const Tank& tank, double depth) {
  return fmt::format("{} of {}", litres_cell(volume_m3(tank.shape, depth)),
                     litres_text(capacity_m3(tank.shape)));
}

std::string depth_text(double depth_m) {
  return depth_m < 0.0005 ? "empty" : metres_cell(depth_m) + " m deep";
}

std::string lid_text(const Tank& tank) {
  if (tank.lid.kind == Lid::Kind::sealed) return "lid sealed";
  if (tank.lid.kind == Lid::Kind::open) return {};
  return tank.lid.count == 1
             ? "lid: hole of " + millimetres_text(tank.lid.hole_m)
             : fmt::format("lid: {} holes, {}", tank.lid.count, millimetres_text(tank.lid.hole_m));
}

std::string headspace_text(double gauge_pa) {
  if (std::fabs(gauge_pa) < worth_telling_pa) return {};
  return fmt::format("{} {} Pa", gauge_pa < 0.0 ? "vacuum" : "pressure",
                     number_text(std::round(std::fabs(gauge_pa))));
}

Phrase overflow_phrase(const Parts& parts, const Tank& tank) {
  const std::string bore = "overflow " + millimetres_text(tank.overflow->bore_m);
  if (!tank.overflow->to) return {bore, {}};
  return around(bore + " to ", part(parts.tanks, *tank.overflow->to).name, "");
}

Phrase roof_phrase(const Roof& roof) {
  return around("roof ", roof.name, fmt::format(", {} m²", number_text(roof.area_m2)));
}

Phrase top_up_phrase(const TopUp& top_up) {
  return around("top-up ", top_up.name,
                fmt::format(", {} below {} m", litres_per_minute_text(top_up.flow_m3_per_s),
                            metres_cell(top_up.starts_below_m)));
}

Phrase air_line_phrase(const AirLine& line) {
  return around("air line ", line.name,
                fmt::format(" {}, {}", millimetres_text(line.bore_m), line.open ? "open" : "shut"));
}

std::string about_tank(const Parts& parts, const ElevationState& state, std::size_t index) {
  const Tank& tank = parts.tanks[index];
  const double depth = state.depth_m[index];
  std::string text = fmt::format(
      "Tank {}: {}. Its bottom is {} m above the datum. It holds {}, {}.", set_apart(tank.name),
      shape_text(tank.shape), metres_cell(tank.base_m), holds_text(tank, depth), depth_text(depth));
  const std::string lid = lid_text(tank);
  text += lid.empty() ? " Its lid is open." : fmt::format(" {}.", "L" + lid.substr(1));
  if (tank.overflow) {
    text += fmt::format(
        " Overflow of {} at {} m above its bottom, to {}.", millimetres_text(tank.overflow->bore_m),
        metres_cell(tank.overflow->height_m),
        tank.overflow->to ? set_apart(part(parts.tanks, *tank.overflow->to).name) : "the ground");
  }
  if (state.headspace_gauge_pa) {
    const std::string air = headspace_text((*state.headspace_gauge_pa)[index]);
    if (!air.empty()) text += " Air under the lid: " + air + ".";
  }
  return text;
}

std::string about_hose(const Parts& parts, const ElevationState& state, std::size_t index) {
  const Hose& hose = parts.hoses[index];
  std::string text = fmt::format(
      "Hose {}: {} bore, {} m long, from {} at {} m to {} at {} m above the datum",
      set_apart(hose.name), millimetres_text(hose.bore_m), number_text(hose.length_m),
      set_apart(name_of(parts, hose.from.place)), metres_cell(mouth_m(parts, hose.from)),
      set_apart(name_of(parts, hose.to.place)), metres_cell(mouth_m(parts, hose.to)));
  if (hose.crest_m) text += fmt::format(", over {} m", metres_cell(*hose.crest_m));
  if (hose.valve) {
    const bool shut =
        state.hose_open ? !passes(parts, state, id_at<HoseId>(index)) : !hose.valve->open;
    text += fmt::format(", valve {} {}", set_apart(hose.valve->name), shut ? "shut" : "open");
  }
  if (hose.one_way) text += ", passes this way only";
  if (!passes(parts, state, id_at<HoseId>(index)) && !hose.open) text += ", taken off";
  return text + ".";
}

}  // namespace tankyard::elevation

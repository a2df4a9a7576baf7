// SPDX-License-Identifier: MIT
#include <cmath>
#include <cstddef>
#include <string>

#include "graph/check_parts.h"

namespace tankyard {
namespace {

bool exists(const Parts& parts, Place place) {
  if (const auto* tank = std::get_if<TankId>(&place)) return tank->index < parts.tanks.size();
  if (const auto* header = std::get_if<HeaderId>(&place)) {
    return header->index < parts.headers.size();
  }
  return std::get_if<OutletId>(&place)->index < parts.outlets.size();
}

PartField at_place(Place place, std::string field) {
  static constexpr const char* kinds[] = {"tank", "header", "outlet"};
  const std::size_t index = std::visit([](auto id) { return std::size_t{id.index}; }, place);
  return {kinds[place.index()], index, std::move(field)};
}

std::string called(const Parts& parts, Place place) {
  const PartField at = at_place(place, "");
  return Checked{at.kind.c_str(), at.index, name_of(parts, place)}.called();
}

// An end that leads nowhere, or starts at an outlet. Returns whether the end can be leant on.
bool check_end(const Checked& checked, const Parts& parts, Place place, bool is_from,
               Complaints& complaints) {
  const char* field = is_from ? "from" : "to";
  if (!exists(parts, place)) {
    complaints.add(
        checked.at(field),
        checked.called() + (is_from ? " begins" : " ends") + " at a place that does not exist",
        "name a tank, a header or an outlet of the plan");
    return false;
  }
  if (is_from && std::holds_alternative<OutletId>(place)) {
    complaints.add(checked.at(field),
                   checked.called() + " begins at " + called(parts, place) +
                       ", where water only leaves the yard",
                   "begin at a tank or a header; an outlet can only stand at `to`");
    return false;
  }
  return true;
}

bool check_two_ends(const Checked& checked, const Parts& parts, Place from, Place to,
                    Complaints& complaints) {
  const bool from_sound = check_end(checked, parts, from, true, complaints);
  const bool to_sound = check_end(checked, parts, to, false, complaints);
  if (!from_sound || !to_sound) return false;
  if (from != to) return true;
  complaints.add(checked.at("to"), checked.called() + " begins and ends at " + called(parts, from),
                 "give it two different ends");
  return false;
}

// Height of the lowest point of one mouth above the datum, if it is sound.
std::optional<double> check_hose_mouth(const Checked& checked, const Parts& parts,
                                       const SoundTanks& sound, const HoseEnd& end,
                                       const std::string& field, double bore_m,
                                       Complaints& complaints) {
  if (const auto* id = std::get_if<TankId>(&end.place)) {
    const Tank& tank = part(parts.tanks, *id);
    const SoundTank& known = sound[id->index];
    if (!end.height_m && !known.outlet_height) return std::nullopt;
    std::optional<PartField> see_also;
    if (!end.height_m) see_also = PartField{"tank", id->index, "outlet_height"};
    if (!check_mouth(checked, end.height_m ? field + ".height" : field,
                     end.height_m.value_or(tank.outlet_height_m), bore_m, tank, id->index,
                     known.shape, complaints, see_also) ||
        !known.base) {
      return std::nullopt;
    }
    return mouth_m(parts, end);
  }
  if (end.height_m) {
    complaints.add(checked.at(field + ".height"),
                   checked.called() + " gives a height at " + called(parts, end.place),
                   "leave it out: only a tank can be met at different heights");
    return std::nullopt;
  }
  double level = 0.0;
  if (const auto* id = std::get_if<HeaderId>(&end.place)) {
    level = part(parts.headers, *id).height_m;
  } else {
    const Outlet& outlet = part(parts.outlets, *std::get_if<OutletId>(&end.place));
    if (!outlet.height_m) return std::nullopt;  // check_outlets says so
    level = *outlet.height_m;
  }
  if (!any_level.holds(level)) return std::nullopt;
  return level;
}

void check_crest(const Checked& checked, const Hose& hose, std::optional<double> from_m,
                 std::optional<double> to_m, Complaints& complaints) {
  if (!hose.crest_m || !complaints.within(checked, "crest", "crest", *hose.crest_m, any_level)) {
    return;
  }
  const bool from_is_higher = from_m.value_or(-1e9) >= to_m.value_or(-1e9);
  const std::optional<double> higher = from_is_higher ? from_m : to_m;
  if (!higher || *hose.crest_m >= *higher - height_slack_m) return;
  complaints.add(checked.at("crest"),
                 "crest of " + checked.called() + " is at " +
                     told(*hose.crest_m, told_in_m, *higher) + ", below its own " +
                     (from_is_higher ? "`from`" : "`to`") + " end at " +
                     told(*higher, told_in_m, *hose.crest_m) + " above the datum",
                 "the crest is the highest point of the hose, above the datum: at least " +
                     told(*higher, told_in_m) + ", or leave it out");
}

void check_hose(const Parts& parts, const SoundTanks& sound, std::size_t index,
                Complaints& complaints) {
  const Hose& hose = parts.hoses[index];
  const Checked checked{"hose", index, hose.name};
  const bool ends = check_two_ends(checked, parts, hose.from.place, hose.to.place, complaints);
  const bool bore = complaints.within(checked, "bore", "bore", hose.bore_m, any_bore);
  complaints.within(checked, "length", "length", hose.length_m, any_hose_length);
  if (bore) {
    complaints.within(checked, "roughness", "roughness", hose.roughness_m,
                      {0.0, hose.bore_m / 2.0, told_in_mm, false, true});
  }
  complaints.within(checked, "loss", "loss", hose.loss_k, any_loss);
  complaints.within(checked, "cracking_head", "cracking head", hose.cracking_head_m, any_head);
  if (hose.cracking_head_m > 0.0 && !hose.one_way) {
    complaints.add(checked.at("cracking_head"),
                   checked.called() + " has a cracking head but no non-return valve",
                   "say one_way = true, or leave the cracking head out");
  }
  if (hose.valve) {
    complaints.within(checked, "valve.loss", "loss of the valve", hose.valve->loss_k, any_loss);
  }
  if (!ends) return;
  const double bore_m = bore ? hose.bore_m : 0.0;
  const auto from_m =
      check_hose_mouth(checked, parts, sound, hose.from, "from", bore_m, complaints);
  const auto to_m = check_hose_mouth(checked, parts, sound, hose.to, "to", bore_m, complaints);
  check_crest(checked, hose, from_m, to_m, complaints);
}

// Flows that rise and, for a pump's head, heads that fall: only then does a head belong to one
// flow.
void check_curve(const Checked& checked, const char* field, const char* what,
                 const std::vector<CurvePoint>& curve, bool heads_fall, Complaints& complaints) {
  for (std::size_t i = 0; i < curve.size(); ++i) {
    const std::string point = "of point " + std::to_string(i + 1) + " of the " + what;
    if (!complaints.within(checked, field, ("flow " + point).c_str(), curve[i].flow_m3_per_s,
                           any_flow_or_none) ||
        !complaints.within(checked, field, ("head " + point).c_str(), curve[i].head_m, any_head)) {
      return;
    }
    if (i == 0) continue;
    const CurvePoint& before = curve[i - 1];
    if (!(curve[i].flow_m3_per_s > before.flow_m3_per_s)) {
      complaints.add(
          checked.at(field),
          std::string(what) + " of " + checked.called() + " goes from " +
              told(before.flow_m3_per_s, told_in_litres_a_minute, curve[i].flow_m3_per_s) + " to " +
              told(curve[i].flow_m3_per_s, told_in_litres_a_minute, before.flow_m3_per_s),
          "give the points in order of rising flow, each flow once");
      return;
    }
    if (heads_fall && !(curve[i].head_m < before.head_m)) {
      complaints.add(
          checked.at(field),
          std::string(what) + " of " + checked.called() +
              " does not fall: " + told(before.head_m, told_in_m, curve[i].head_m) + " at " +
              told(before.flow_m3_per_s, told_in_litres_a_minute, curve[i].flow_m3_per_s) +
              ", then " + told(curve[i].head_m, told_in_m, before.head_m) + " at " +
              told(curve[i].flow_m3_per_s, told_in_litres_a_minute, before.flow_m3_per_s),
          "the head must fall from point to point; leave out a rising first part");
      return;
    }
  }
}

void check_pump(const Parts& parts, const SoundTanks& sound, std::size_t index,
                Complaints& complaints) {
  const Pump& pump = parts.pumps[index];
  const Checked checked{"pump", index, pump.name};
  check_two_ends(checked, parts, pump.from, pump.to, complaints);
  if (pump.curve.size() < 2) {
    complaints.add(
        checked.at("curve"),
        "curve of " + checked.called() + " has " + (pump.curve.empty() ? "no point" : "one point"),
        "give at least two of the maker's points, the first at no flow");
  } else if (pump.curve[0].flow_m3_per_s > 0.0) {
    complaints.add(checked.at("curve"),
                   "curve of " + checked.called() + " begins at " +
                       told(pump.curve[0].flow_m3_per_s, told_in_litres_a_minute),
                   "the first point must be the shut-off head: the head at 0 L/min");
  } else {
    check_curve(checked, "curve", "curve", pump.curve, true, complaints);
  }
  check_curve(checked, "npsh_required", "required suction head", pump.npsh_required, false,
              complaints);
  complaints.within(checked, "efficiency", "efficiency", pump.efficiency, any_part);
  check_position(checked, pump.position, complaints);
  if (!pump.stops_below) return;
  const LowLevelStop& stop = *pump.stops_below;
  if (!check_id(checked, "stops_below.tank", stop.tank, parts.tanks, complaints)) return;
  if (!sound[stop.tank.index].shape) return;
  const double height = height_m(part(parts.tanks, stop.tank).shape);
  if (complaints.within(checked, "stops_below.depth", "low-level stop", stop.depth_m,
                        {0.0, height, told_in_mm, false, true})) {
    complaints.within(checked, "stops_below.resumes", "depth to resume", stop.resumes_depth_m,
                      {stop.depth_m, height, told_in_mm, true});
  }
}

// Who leads to an outlet, in the order of the plan: its own `at`, hoses, pumps.
using WaysTo = std::vector<std::vector<PartField>>;

WaysTo ways_to_outlets(const Parts& parts) {
  WaysTo ways(parts.outlets.size());
  const auto note = [&](Place place, const char* kind, std::size_t index) {
    const auto* id = std::get_if<OutletId>(&place);
    if (id && id->index < ways.size()) ways[id->index].push_back({kind, index, "to"});
  };
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) note(parts.hoses[i].to.place, "hose", i);
  for (std::size_t i = 0; i < parts.pumps.size(); ++i) note(parts.pumps[i].to, "pump", i);
  return ways;
}

// An outlet is met in one way only: with two hoses at one mouth, nobody could say what each
// carries.
void check_way(const Checked& checked, const Parts& parts, const Outlet& outlet,
               const std::vector<PartField>& ways, Complaints& complaints) {
  const auto called_way = [&](const PartField& way) {
    const std::string& name =
        way.kind == "hose" ? parts.hoses[way.index].name : parts.pumps[way.index].name;
    return Checked{way.kind.c_str(), way.index, name}.called();
  };
  if (!outlet.at && ways.empty()) {
    complaints.add(checked.at(""), "nothing leads to " + checked.called(),
                   "give it `at`, or name it as the `to` of a hose or pump");
  } else if (outlet.at && !ways.empty()) {
    complaints.add(checked.at("at"),
                   checked.called() + " sits straight on a place and is also the end of " +
                       called_way(ways[0]),
                   "leave out `at`, or let the hose end elsewhere", ways[0]);
  } else if (ways.size() > 1) {
    complaints.add(
        ways[1],
        called_way(ways[0]) + " and " + called_way(ways[1]) + " both end at " + checked.called(),
        "join them at a header, and lead one hose from there to the outlet", ways[0]);
  }
}

void check_outlet(const Parts& parts, const SoundTanks& sound, std::size_t index,
                  const std::vector<PartField>& ways, Complaints& complaints) {
  const Outlet& outlet = parts.outlets[index];
  const Checked checked{"outlet", index, outlet.name};
  check_way(checked, parts, outlet, ways, complaints);
  bool bore = true;
  if (outlet.bore_m && outlet.draw_m3_per_s) {
    complaints.add(checked.at("draw"), checked.called() + " has both a bore and a draw",
                   "keep the bore of a nozzle or tap, or the fixed draw");
  } else if (outlet.bore_m) {
    bore = complaints.within(checked, "bore", "bore", *outlet.bore_m, any_bore);
  } else if (outlet.draw_m3_per_s) {
    complaints.within(checked, "draw", "draw", *outlet.draw_m3_per_s, any_flow);
  } else {
    complaints.add(checked.at(""), checked.called() + " has neither a bore nor a draw",
                   "give the bore of its nozzle or tap, or a fixed draw such as \"900 L/h\"");
  }
  complaints.within(checked, "coefficient", "coefficient", outlet.coefficient, any_part);
  check_position(checked, outlet.position, complaints);
  if (outlet.height_m) {
    complaints.within(checked, "height", "height", *outlet.height_m, any_level);
  }
  if (!outlet.at) {
    if (!outlet.height_m && !ways.empty()) {
      complaints.add(checked.at("height"), checked.called() + " has no height",
                     "an outlet at the end of a hose or pump needs the height of its mouth above "
                     "the datum");
    }
    return;
  }
  const Place place = outlet.at->place;
  if (!exists(parts, place) || std::holds_alternative<OutletId>(place)) {
    complaints.add(checked.at("at"), checked.called() + " sits on no tank or header of the plan",
                   "name a tank or a header");
    return;
  }
  const double bore_m = bore ? outlet.bore_m.value_or(0.0) : 0.0;
  check_hose_mouth(checked, parts, sound, *outlet.at, "at", bore_m, complaints);
}

}  // namespace

void check_headers(const Parts& parts, Complaints& complaints) {
  for (std::size_t i = 0; i < parts.headers.size(); ++i) {
    const Checked checked{"header", i, parts.headers[i].name};
    complaints.within(checked, "height", "height", parts.headers[i].height_m, any_level);
    check_position(checked, parts.headers[i].position, complaints);
  }
}

void check_hoses(const Parts& parts, const SoundTanks& sound, Complaints& complaints) {
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) check_hose(parts, sound, i, complaints);
}

void check_pumps(const Parts& parts, const SoundTanks& sound, Complaints& complaints) {
  for (std::size_t i = 0; i < parts.pumps.size(); ++i) check_pump(parts, sound, i, complaints);
}

void check_outlets(const Parts& parts, const SoundTanks& sound, Complaints& complaints) {
  const WaysTo ways = ways_to_outlets(parts);
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    check_outlet(parts, sound, i, ways[i], complaints);
  }
}

}  // namespace tankyard

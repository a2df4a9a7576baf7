// SPDX-License-Identifier: MIT
#include <cmath>
#include <cstddef>
#include <string>

#include "graph/check_parts.h"

namespace tankyard {
namespace {

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
  if (any_head.holds(hose.cracking_head_m) && hose.cracking_head_m > 0.0 && !hose.one_way) {
    complaints.add(checked.at("cracking_head"),
                   checked.called() + " has a cracking head but no non-return valve",
                   "say one_way = true, or leave the cracking head out");
  }
  if (hose.valve) {
    complaints.within(checked, "valve.loss", "loss of the valve", hose.valve->loss_k, any_loss);
  }
  if (!ends) return;
  // A bore that goes into neither tank is one mistake: it is held against the lower tank only.
  std::optional<TankId> lowest;
  for (const HoseEnd* end : {&hose.from, &hose.to}) {
    const auto* id = std::get_if<TankId>(&end->place);
    if (!id || !sound[id->index].shape) continue;
    if (!lowest ||
        height_m(part(parts.tanks, *id).shape) < height_m(part(parts.tanks, *lowest).shape)) {
      lowest = *id;
    }
  }
  const bool fits =
      bore && (!lowest || check_bore_fits(checked, "bore", hose.bore_m, part(parts.tanks, *lowest),
                                          lowest->index, complaints));
  const double bore_m = fits ? hose.bore_m : 0.0;
  const auto from_m =
      check_hose_mouth(checked, parts, sound, hose.from, "from", bore_m, complaints);
  const auto to_m = check_hose_mouth(checked, parts, sound, hose.to, "to", bore_m, complaints);
  check_crest(checked, hose, from_m, to_m, complaints);
}

}  // namespace

bool exists(const Parts& parts, Place place) {
  if (const auto* tank = std::get_if<TankId>(&place)) return tank->index < parts.tanks.size();
  if (const auto* header = std::get_if<HeaderId>(&place)) {
    return header->index < parts.headers.size();
  }
  return std::get_if<OutletId>(&place)->index < parts.outlets.size();
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

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include <cmath>
#include <cstddef>
#include <string>

#include "graph/check_parts.h"

namespace tankyard {
namespace {

bool check_shape(const Checked& checked, const Prism& prism, Complaints& complaints) {
  const bool area =
      complaints.within(checked, "shape.prism.area", "floor area", prism.area_m2, any_area);
  const bool height =
      complaints.within(checked, "shape.prism.height", "height", prism.height_m, any_size);
  return area && height;
}

bool check_shape(const Checked& checked, const Upright& upright, Complaints& complaints) {
  const bool diameter = complaints.within(checked, "shape.upright.diameter", "diameter",
                                          upright.diameter_m, any_size);
  const bool height =
      complaints.within(checked, "shape.upright.height", "height", upright.height_m, any_size);
  return diameter && height;
}

bool check_shape(const Checked& checked, const Lying& lying, Complaints& complaints) {
  const bool diameter =
      complaints.within(checked, "shape.lying.diameter", "diameter", lying.diameter_m, any_size);
  const bool length =
      complaints.within(checked, "shape.lying.length", "length", lying.length_m, any_lying_length);
  return diameter && length;
}

// The first row that is wrong is the one worth telling: the rows after it are read against it.
bool check_shape(const Checked& checked, const DepthTable& table, Complaints& complaints) {
  const char* field = "shape.table";
  const auto& depths = table.depth_m;
  const auto& volumes = table.volume_m3;
  const std::string called = "depth table of " + checked.called();
  if (depths.size() != volumes.size()) {
    complaints.add(checked.at(field),
                   called + " has " + std::to_string(depths.size()) + " depths and " +
                       std::to_string(volumes.size()) + " volumes",
                   "give each depth its volume");
    return false;
  }
  if (depths.size() < 2) {
    complaints.add(checked.at(field), called + " has fewer than two rows",
                   "begin with [\"0 m\", \"0 L\"] and end with the rim");
    return false;
  }
  if (depths[0] != 0.0 || volumes[0] != 0.0) {
    complaints.add(checked.at(field),
                   called + " begins at " + told(depths[0], told_in_m, 0.0) + " and " +
                       told(volumes[0], told_in_litres, 0.0),
                   "the first row must be [\"0 m\", \"0 L\"], the inside bottom");
    return false;
  }
  for (std::size_t row = 1; row < depths.size(); ++row) {
    const std::string at_row = "row " + std::to_string(row + 1) + " of the " + called;
    if (!(depths[row] > depths[row - 1]) || !(depths[row] <= any_size.high)) {
      complaints.add(checked.at(field),
                     "depth in " + at_row + " is " + told(depths[row], told_in_m, depths[row - 1]),
                     "it must be over the " + told(depths[row - 1], told_in_m, depths[row]) +
                         " of the row before and at most " + told(any_size.high, told_in_m));
      return false;
    }
    const double area = (volumes[row] - volumes[row - 1]) / (depths[row] - depths[row - 1]);
    if (!any_area.holds(area)) {
      complaints.add(
          checked.at(field),
          "volume in " + at_row + " is " + told(volumes[row], told_in_litres, volumes[row - 1]),
          "it must be over the " + told(volumes[row - 1], told_in_litres, volumes[row]) +
              " of the row before, with a water surface of " + any_area.in_words());
      return false;
    }
  }
  const Range height{any_size.low, any_size.high, told_in_m};
  return complaints.within(checked, field, "height", depths.back(), height);
}

void check_lid(const Checked& checked, const Lid& lid, Complaints& complaints) {
  if (lid.kind != Lid::Kind::holed) return;
  complaints.within(checked, "lid.hole", "hole in the lid", lid.hole_m, any_bore);
  complaints.within(checked, "lid.coefficient", "coefficient of the hole in the lid",
                    lid.coefficient, any_part);
  complaints.within(checked, "lid.count", "count of holes in the lid", lid.count,
                    {1.0, 1000.0, told_plainly});
  complaints.within(checked, "lid.screen", "open part of the screen in the lid", lid.screen,
                    any_part);
}

std::string highest_mouth_in_words(double bore_m, double rim_m) {
  return "with a bore of " + told(bore_m, told_in_mm) + " its height can be at most " +
         told(rim_m - bore_m, told_in_mm);
}

void check_overflow(const Checked& checked, const Parts& parts, const Tank& tank, bool sound_shape,
                    Complaints& complaints) {
  const Overflow& overflow = *tank.overflow;
  const bool bore =
      complaints.within(checked, "overflow.bore", "bore of the overflow", overflow.bore_m,
                        any_bore) &&
      sound_shape &&
      check_bore_fits(checked, "overflow.bore", overflow.bore_m, tank, checked.index, complaints);
  complaints.within(checked, "overflow.coefficient", "coefficient of the overflow",
                    overflow.coefficient, any_part);
  if (sound_shape) {
    const double rim = height_m(tank.shape);
    const double top_m = overflow.height_m + overflow.bore_m;
    if (!std::isfinite(overflow.height_m) || overflow.height_m < 0.0) {
      complaints.within(checked, "overflow.height", "height of the overflow", overflow.height_m,
                        {0.0, rim, told_in_mm});
    } else if (bore && top_m > rim + height_slack_m) {
      complaints.add(
          checked.at("overflow.height"),
          "overflow of " + checked.called() + " stands out above the rim: its top is at " +
              told(top_m, told_in_mm, rim) + ", the rim at " + told(rim, told_in_mm, top_m),
          highest_mouth_in_words(overflow.bore_m, rim));
    }
  }
  if (!overflow.to || !check_id(checked, "overflow.to", *overflow.to, parts.tanks, complaints)) {
    return;
  }
  if (overflow.to->index == checked.index) {
    complaints.add(checked.at("overflow.to"),
                   "overflow of " + checked.called() + " runs into itself",
                   "name another tank, or leave `to` out: then it runs on the ground");
  }
}

SoundTank check_tank(const Parts& parts, std::size_t index, Complaints& complaints) {
  const Tank& tank = parts.tanks[index];
  const Checked checked{"tank", index, tank.name};
  SoundTank sound;
  sound.shape = std::visit(
      [&](const auto& shape) { return check_shape(checked, shape, complaints); }, tank.shape);
  sound.base = complaints.within(checked, "base", "base", tank.base_m, any_level);
  if (sound.shape) {
    const double capacity = capacity_m3(tank.shape);
    const Range water{0.0, capacity, told_in_litres};
    // A billionth of slack: "660 L" and 1.1 m2 x 0.6 m differ in the last bit.
    if (!(tank.water_m3 > capacity && tank.water_m3 <= capacity * (1.0 + 1e-9))) {
      complaints.within(checked, "water", "water", tank.water_m3, water);
    }
    sound.outlet_height =
        complaints.within(checked, "outlet_height", "outlet height", tank.outlet_height_m,
                          {0.0, height_m(tank.shape), told_in_mm, false, true});
  }
  check_lid(checked, tank.lid, complaints);
  if (tank.overflow) check_overflow(checked, parts, tank, sound.shape, complaints);
  if (tank.allowed_vacuum_pa) {
    complaints.within(checked, "allowed_vacuum", "allowed vacuum", *tank.allowed_vacuum_pa,
                      {0.0, 1e6, told_in_kpa, true});
  }
  if (tank.allowed_pressure_pa) {
    complaints.within(checked, "allowed_pressure", "allowed pressure", *tank.allowed_pressure_pa,
                      {0.0, 1e7, told_in_kpa, true});
  }
  if (tank.wall) {
    complaints.within(checked, "wall.thickness", "thickness of the wall", tank.wall->thickness_m,
                      {1e-4, 1.0, told_in_mm});
  }
  if (tank.air_swing_k) {
    complaints.within(checked, "air_swing", "air swing", *tank.air_swing_k, any_swing);
  }
  check_position(checked, tank.position, complaints);
  return sound;
}

// Every tank has at most one overflow to follow, so a walk along them either ends, or meets an
// earlier walk, or bites its own tail: only then is there a new circle. Each tank is walked once.
void check_overflow_circles(const Parts& parts, Complaints& complaints) {
  const std::size_t count = parts.tanks.size();
  std::vector<std::size_t> walk_of(count, 0);  // 0: not walked yet
  const auto next = [&](std::size_t tank) {
    const auto& overflow = parts.tanks[tank].overflow;
    const bool on = overflow && overflow->to && overflow->to->index < count;
    return on ? std::size_t{overflow->to->index} : count;
  };
  for (std::size_t start = 0; start < count; ++start) {
    std::size_t tank = start;
    while (tank < count && walk_of[tank] == 0) {
      walk_of[tank] = start + 1;
      tank = next(tank);
    }
    if (tank == count || walk_of[tank] != start + 1 || next(tank) == tank) continue;
    std::size_t first = tank;  // told from the tank that comes first in the plan
    for (std::size_t t = next(tank); t != tank; t = next(t)) first = t < first ? t : first;
    std::string circle = "`" + parts.tanks[first].name + "`";
    for (std::size_t t = next(first); t != first; t = next(t)) {
      circle += " into `" + parts.tanks[t].name + "`";
    }
    complaints.add(
        {"tank", first, "overflow.to"},
        "overflows run in a circle: " + circle + " and back into `" + parts.tanks[first].name + "`",
        "let one of them run on the ground, or into a tank outside the circle");
  }
}

}  // namespace

void check_position(const Checked& checked, const std::optional<Position>& position,
                    Complaints& complaints) {
  if (!position) return;
  complaints.within(checked, "position", "position to the right", position->x_m, any_place);
  complaints.within(checked, "position", "position to the back", position->y_m, any_place);
}

bool check_bore_fits(const Checked& checked, const std::string& field, double bore_m,
                     const Tank& tank, std::size_t tank_index, Complaints& complaints) {
  const double height = height_m(tank.shape);
  if (bore_m <= height + height_slack_m) return true;
  const Checked at{"tank", tank_index, tank.name};
  complaints.add(checked.at(field),
                 (field == "bore" ? "bore of " : "overflow bore of ") + checked.called() + " is " +
                     told(bore_m, told_in_mm, height) + ", and " + at.called() + " only " +
                     told(height, told_in_mm, bore_m) + " high",
                 "the bore can be at most the height of the tank");
  return false;
}

bool check_mouth(const Checked& checked, const std::string& field, double height, double bore_m,
                 const Tank& tank, std::size_t tank_index, bool sound_shape, Complaints& complaints,
                 std::optional<PartField> see_also) {
  if (!sound_shape) return false;
  const Checked at{"tank", tank_index, tank.name};
  const double rim = height_m(tank.shape);
  const double top = height + bore_m;
  if (!std::isfinite(height)) {
    complaints.add(
        checked.at(field),
        "height of " + checked.called() + " at " + at.called() + " is " + told(height, told_in_mm),
        "give the height above the inside bottom of the tank");
    return false;
  }
  if (height < 0.0) {
    complaints.add(checked.at(field),
                   checked.called() + " meets " + at.called() + " " + told(-height, told_in_mm) +
                       " below its inside bottom",
                   "the height counts from the inside bottom of the tank and must be at least 0 mm",
                   std::move(see_also));
    return false;
  }
  if (top > rim + height_slack_m) {
    complaints.add(checked.at(field),
                   checked.called() + " meets " + at.called() +
                       " above its rim: the top of the mouth is at " + told(top, told_in_mm, rim) +
                       ", the rim at " + told(rim, told_in_mm, top),
                   highest_mouth_in_words(bore_m, rim), std::move(see_also));
    return false;
  }
  return true;
}

SoundTanks check_tanks(const Parts& parts, Complaints& complaints) {
  if (parts.tanks.empty()) {
    complaints.add({"tank", 0, ""}, "there is no tank", "a yard needs at least one tank");
  }
  SoundTanks sound;
  sound.reserve(parts.tanks.size());
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    sound.push_back(check_tank(parts, i, complaints));
  }
  check_overflow_circles(parts, complaints);
  return sound;
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
// The chapter [[tank]] of a plan.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "graph/check_array.h"
#include "io/plan_draft.h"
#include "solver/shell.h"

namespace tankyard {
namespace {

constexpr const char* shape_example = R"({ prism = { area = "1.1 m2", height = "1.0 m" } })";
constexpr const char* table_example = R"([["0 m", "0 L"], ["0.5 m", "480 L"]])";

/// A shape that no check leans on, in place of one that cannot be used.
Shape unknown_shape() { return Prism{no_number, no_number}; }

Shape unknown_shape_of(Entry& tank) {
  tank.reading().set_aside(tank.field("shape"));
  return unknown_shape();
}

Shape read_depth_table(Entry& tank, Entry& shape) {
  const auto rows = shape.pairs("table", Dimension::length, Dimension::volume, table_example);
  if (!rows) return unknown_shape_of(tank);
  DepthTable table;
  for (const auto& [depth, volume] : *rows) {
    table.depth_m.push_back(depth);
    table.volume_m3.push_back(volume);
  }
  return table;
}

Shape read_shape(Entry& tank) {
  auto shape = tank.table("shape", "the shape of " + tank.owner(), shape_example);
  if (!shape) {
    if (!tank.toml().contains("shape")) tank.missing("shape", shape_example);
    return unknown_shape_of(tank);
  }
  static const std::vector<std::string> forms = {"prism", "upright", "lying", "table"};
  std::vector<std::string> given;
  for (const std::string& form : forms) {
    if (shape->get(form) != nullptr) given.push_back(form);
  }
  shape->finish();
  if (given.size() != 1) {
    // A misspelt form is complained of already, as an unknown key.
    const bool misspelt = given.empty() && !shape->toml().empty();
    if (!misspelt) {
      shape->reading().complain(
          shape->reading().spot_of(shape->toml().source()),
          given.empty()
              ? fmt::format("{} is empty", shape->owner())
              : fmt::format("{} is both `{}` and `{}`", shape->owner(), given[0], given[1]),
          "a tank has one of the shapes `prism`, `upright`, `lying` and `table`", shape->about());
    }
    return unknown_shape_of(tank);
  }
  if (given[0] == "table") return read_depth_table(tank, *shape);

  const std::string owner = fmt::format("the {} of {}", given[0], tank.owner());
  const std::string example = given[0] == "prism" ? R"({ area = "1.1 m2", height = "1.0 m" })"
                              : given[0] == "upright"
                                  ? R"({ diameter = "0.6 m", height = "0.9 m" })"
                                  : R"({ diameter = "1.2 m", length = "2 m" })";
  auto form = shape->table(given[0], owner, example);
  if (!form) return unknown_shape_of(tank);
  Shape made;
  if (given[0] == "prism") {
    made = Prism{form->needed_quantity("area", Dimension::area, "1.1 m2"),
                 form->needed_quantity("height", Dimension::length, "1.0 m")};
  } else if (given[0] == "upright") {
    made = Upright{form->needed_quantity("diameter", Dimension::length, "0.6 m"),
                   form->needed_quantity("height", Dimension::length, "0.9 m")};
  } else {
    made = Lying{form->needed_quantity("diameter", Dimension::length, "1.2 m"),
                 form->needed_quantity("length", Dimension::length, "2 m")};
  }
  form->finish();
  return made;
}

/// Whether graph/ would take the shape; only then does a depth have a volume.
bool is_sound(const Shape& shape) {
  Parts parts;
  parts.tanks.emplace_back();
  parts.tanks[0].name = "tank";
  parts.tanks[0].shape = shape;
  const Troubles troubles = check_array(parts);
  return std::none_of(troubles.begin(), troubles.end(), [](const Trouble& trouble) {
    return trouble.about.field.starts_with("shape");
  });
}

/// Water is a depth or a volume. A bare number could be either, so only 0 may stand bare.
double read_water(Entry& tank, const Shape& shape) {
  const toml::node* const node = tank.get("water");
  if (node == nullptr) return 0.0;
  if (const auto bare = node->is_number() ? node->value<double>() : std::nullopt) {
    if (*bare == 0.0) return 0.0;
    tank.complain_at(
        *node, "water",
        fmt::format("`water` of {} has no unit, so it could be a depth or a volume", tank.owner()),
        "write a depth, `\"0.6 m\"`, or a volume, `\"660 L\"`");
    return no_number;
  }
  const auto* const string = node->as_string();
  if (string == nullptr) {
    tank.wrong_kind(*node, "water", "a depth or a volume", "\"0.6 m\"");
    return no_number;
  }
  const auto read = parse_quantity(string->get(), {Dimension::length, Dimension::volume});
  if (!read) {
    tank.complain_of(*node, "water", read.error());
    return no_number;
  }
  if (read->dimension == Dimension::volume) return read->si;
  if (!is_sound(shape)) {
    tank.reading().set_aside(tank.field("water"));  // the shape is complained of already
    return no_number;
  }
  constexpr double slack_m = 1e-9;
  const double rim = height_m(shape);
  if (read->si >= 0.0 && read->si <= rim + slack_m) {
    return volume_m3(shape, std::min(read->si, rim));
  }
  tank.complain_at(
      *node, "water",
      fmt::format("{} stands {} deep in water at the start, and its rim is at {}", tank.owner(),
                  quantity_text(read->si, "m"), quantity_text(rim, "m")),
      fmt::format("the depth must be at least 0 m and at most {}", quantity_text(rim, "m")));
  return no_number;
}

constexpr const char* lid_example = R"({ hole = "12 mm" })";

std::string kinds_of_lid() {
  return fmt::format("a lid is \"open\", \"sealed\", or has a hole: `lid = {}`", lid_example);
}

Lid read_lid(Entry& tank) {
  Lid lid;
  const toml::node* const node = tank.get("lid");
  if (node == nullptr) return lid;
  if (const auto* const string = node->as_string()) {
    if (string->get() == "open") return lid;
    if (string->get() == "sealed") {
      lid.kind = Lid::Kind::sealed;
      return lid;
    }
    const auto near = tank.reading().likely(string->get(), {"open", "sealed"});
    tank.complain_at(
        *node, "lid",
        fmt::format("lid of {} is `{}`, which is no kind of lid", tank.owner(), string->get()),
        near ? fmt::format("there is a kind with a similar name: `{}`", *near) : kinds_of_lid());
    return lid;
  }
  if (!node->is_table()) {
    tank.complain_at(*node, "lid",
                     fmt::format("`lid` of {} is {} where a kind of lid is needed", tank.owner(),
                                 what_it_is(*node)),
                     kinds_of_lid());
    return lid;
  }
  auto hole = tank.table("lid", "the lid of " + tank.owner(), lid_example);
  lid.kind = Lid::Kind::holed;
  lid.hole_m = hole->needed_quantity("hole", Dimension::length, "12 mm");
  lid.coefficient = hole->number_or("coefficient", lid.coefficient);
  lid.count = hole->whole_number("count").value_or(lid.count);
  lid.screen = hole->number_or("screen", lid.screen);
  hole->finish();
  return lid;
}

std::optional<Overflow> read_overflow(Draft& draft, Entry& tank) {
  auto pipe = tank.table("overflow", "the overflow of " + tank.owner(),
                         R"({ height = "0.95 m", bore = "50 mm" })");
  if (!pipe) return std::nullopt;
  Overflow overflow;
  overflow.height_m = pipe->needed_quantity("height", Dimension::length, "0.95 m");
  overflow.bore_m = pipe->needed_quantity("bore", Dimension::length, "50 mm");
  overflow.coefficient = pipe->number_or("coefficient", overflow.coefficient);
  overflow.to = read_tank_name(draft, *pipe, "to", pipe->owner() + " runs into");
  pipe->finish();
  return overflow;
}

/// What the wall is made of, if the solver knows how strong that is.
std::string read_material(Entry& wall) {
  const toml::node* const node = wall.get("material");
  if (node == nullptr) {
    wall.missing("material", "\"hdpe\"");
    return {};
  }
  std::string material = wall.text("material", "hdpe").value_or("");
  if (!node->is_string()) return {};  // told already
  const std::vector<std::string>& known = known_materials();
  if (std::find(known.begin(), known.end(), material) != known.end()) return material;
  std::string help;
  if (const auto near = wall.reading().likely(material, known)) {
    help = fmt::format("there is a material with a similar name: `{}`", *near);
  } else {
    std::vector<std::string> quoted;
    quoted.reserve(known.size());
    for (const std::string& each : known) quoted.push_back("`" + each + "`");
    help = fmt::format(
        "known materials: {}; of any other leave `wall` out and give the maker's "
        "`allowed_vacuum`",
        listed(quoted));
  }
  wall.complain_at(
      *node, "material",
      fmt::format("{} is of `{}`, a material that is not in the table", wall.owner(), material),
      std::move(help));
  return {};
}

std::optional<Wall> read_wall(Entry& tank) {
  auto entry = tank.table("wall", "the wall of " + tank.owner(),
                          R"({ material = "hdpe", thickness = "4 mm" })");
  if (!entry) return std::nullopt;
  Wall wall;
  wall.material = read_material(*entry);
  wall.thickness_m = entry->needed_quantity("thickness", Dimension::length, "4 mm");
  entry->finish();
  return wall;
}

Tank read_tank(Draft& draft, std::size_t index) {
  const PartField about = {"tank", index, ""};
  Entry entry(draft.reading, *draft.source.entries("tank")[index], about,
              draft.source.called("tank", index));
  Tank tank;
  tank.name = read_name(draft, entry);
  tank.shape = read_shape(entry);
  tank.base_m = entry.quantity_or("base", Dimension::length, 0.0);
  tank.water_m3 = read_water(entry, tank.shape);
  tank.outlet_height_m = entry.quantity_or("outlet_height", Dimension::length, 0.0);
  tank.lid = read_lid(entry);
  tank.overflow = read_overflow(draft, entry);
  tank.allowed_vacuum_pa = entry.quantity("allowed_vacuum", Dimension::pressure);
  tank.allowed_pressure_pa = entry.quantity("allowed_pressure", Dimension::pressure);
  tank.wall = read_wall(entry);
  tank.air_swing_k = entry.quantity("air_swing", Dimension::temperature_difference);
  tank.position = read_position(entry);
  entry.finish();
  return tank;
}

}  // namespace

void read_tanks(Draft& draft) {
  draft.tanks_in_plan = draft.source.entries("tank").size();
  for (std::size_t i = 0; i < draft.tanks_in_plan; ++i) {
    draft.parts.tanks.push_back(read_tank(draft, i));
  }
  for (int count = 0; count < 2; ++count) {
    draft.parts.tanks.emplace_back();
    draft.parts.tanks.back().shape = unknown_shape();
  }
}

}  // namespace tankyard

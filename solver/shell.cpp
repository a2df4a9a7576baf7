// SPDX-License-Identifier: MIT
#include "solver/shell.h"

#include <cmath>
#include <cstddef>
#include <cstdio>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "graph/breach.h"
#include "solver/cylinder.h"
#include "solver/plate.h"
#include "solver/sentences.h"

namespace tankyard {

namespace {

struct Material {
  const char* name;
  double modulus_pa;  // long-term, where the material creeps
  double poisson_ratio;
  double stress_pa;  // allowed for good
};

// Polyethylene: modulus after 50 years at 23 degC, PPI Handbook of PE Pipe, ch. 3, table B.1.1:
// 152, 193 and 200 MPa for PE2xxx, PE3xxx and PE4xxx. What a tank is moulded of is not known better
// than by density, so the lower figure of each: high density 193, everything else 152. Poisson's
// ratio 0.40 to 0.45 and the stress, 600 psi as ASTM D1998 allows in an upright tank's wall, from
// memory.
//
// All others from memory: polypropylene and PVC after 50 years at 20 degC; chopped-strand laminate
// with half its modulus left; steel and stainless steel at their yield points of 235 and 205 MPa
// over 1.5; soft aluminium sheet; plain concrete creeping, with the tension it bears uncracked.
constexpr Material materials[] = {
    {"aluminium", 70e9, 0.33, 60e6},  {"concrete", 10e9, 0.2, 1e6},  {"grp", 3.5e9, 0.3, 15e6},
    {"hdpe", 193e6, 0.42, 4.1e6},     {"lldpe", 152e6, 0.42, 4.1e6}, {"mdpe", 152e6, 0.42, 4.1e6},
    {"pe", 152e6, 0.42, 4.1e6},       {"pp", 250e6, 0.42, 4e6},      {"pvc", 1e9, 0.38, 8e6},
    {"stainless", 193e9, 0.3, 137e6}, {"steel", 205e9, 0.3, 157e6},
};

constexpr double assumed_vacuum_pa = 250.0;
constexpr double assumed_pressure_pa = 1000.0;
constexpr double knock_down = 3.0;
constexpr double bow_of_short_side = 0.05;

const Material* find_material(const std::string& name) {
  for (const Material& material : materials) {
    if (name == material.name) return &material;
  }
  return nullptr;
}

std::string with_unit(double value, const char* format) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

std::string in_kpa(double pressure_pa) {
  return with_unit(pressure_pa / 1e3, pressure_pa < 9950.0 ? "%.2f kPa" : "%.0f kPa");
}

std::string in_mpa(double pressure_pa) {
  return with_unit(pressure_pa / 1e6, pressure_pa < 9.95e6 ? "%.1f MPa" : "%.0f MPa");
}

std::string in_words(const Material& material, double thickness_m) {
  const std::string modulus = material.modulus_pa < 9.95e9
                                  ? "long-term modulus " + in_mpa(material.modulus_pa)
                                  : "modulus " + with_unit(material.modulus_pa / 1e9, "%.0f GPa");
  return std::string(material.name) + " " + in_mm(thickness_m) + " thick (" + modulus + ")";
}

struct Borne {
  double pa = 0.0;
  std::string how;
};

Borne by_round_wall(double diameter_m, double length_m, const Material& material,
                    double thickness_m) {
  Cylinder cylinder;
  cylinder.diameter_m = diameter_m;
  cylinder.length_m = length_m;
  // A thicker wall than a thin shell's theory is good for is counted no further.
  cylinder.thickness_m = std::fmin(thickness_m, 0.0999 * diameter_m);
  cylinder.youngs_modulus_pa = material.modulus_pa;
  cylinder.poisson_ratio = material.poisson_ratio;
  const double folds_pa = von_mises_collapse(cylinder).pressure_pa;
  const double crushes_pa = material.stress_pa * cylinder.thickness_m / (0.5 * diameter_m);

  Borne borne;
  borne.how = "an estimate: a round wall of " + in_words(material, thickness_m) + ", " +
              in_metres(diameter_m) + " across and " + in_metres(length_m) + " long, ";
  if (folds_pa / knock_down <= crushes_pa) {
    borne.pa = folds_pa / knock_down;
    borne.how += "would fold at " + in_kpa(folds_pa) +
                 " if it were perfectly round, and a third of that is allowed";
  } else {
    borne.pa = crushes_pa;
    borne.how += "is at its allowed stress of " + in_mpa(material.stress_pa);
  }
  return borne;
}

// What a panel bears, and how it lies then.
struct PanelLimit {
  Panel panel;
  double deflection = 0.0;  // that it may bow by, no unit, as plate.h has it
  double stress = 0.0;      // likewise
  double load = 0.0;
  Bent bent;
};

// It takes a millisecond to find, and a study asks for the same few panels in each of its runs, so
// that those that this thread asked for are kept.
const PanelLimit& panel_limit(const Panel& panel, double deflection, double stress) {
  thread_local std::vector<PanelLimit> kept;
  for (const PanelLimit& each : kept) {
    if (each.panel == panel && each.deflection == deflection && each.stress == stress) return each;
  }
  constexpr std::size_t most = 64;
  if (kept.size() == most) kept.clear();
  const double load = load_at(panel, deflection, stress);
  kept.push_back({panel, deflection, stress, load, bend(panel, load)});
  return kept.back();
}

// The panel's law is worked out to bows of 40 thicknesses and sides of 1 to 4. A bow that is wider
// still grows with about the cube root of the load, so that the load is carried on by the 2.5th
// power of the bow, and stress by its square; a longer panel is taken to bear less in proportion to
// its length, where 8 to 4 measures 0.55 to 0.8.
Borne by_flat_panel(double short_side_m, double long_side_m, const Material& material,
                    double thickness_m) {
  constexpr double widest_bow = 40.0;
  constexpr double longest = 4.0;
  const double ratio = long_side_m / short_side_m;
  Panel panel;
  panel.side_ratio = std::fmin(ratio, longest);
  panel.poisson_ratio = material.poisson_ratio;
  panel.edges = Panel::Edges::free_to_pull_in;

  const double per_side = thickness_m / short_side_m;
  const double bow = bow_of_short_side / per_side;
  const double stress = material.stress_pa / (material.modulus_pa * per_side * per_side);
  const PanelLimit& limit = panel_limit(panel, std::fmin(bow, widest_bow), stress);
  double load = limit.load;
  const double stress_left = stress / limit.bent.greatest_stress;
  const double bow_left = bow / limit.bent.deflection;
  const bool stress_first = std::sqrt(stress_left) < bow_left;
  if (bow > widest_bow) {
    const double further = stress_first ? std::sqrt(stress_left) : bow_left;
    load *= std::pow(std::fmax(further, 1.0), 2.5);
  }

  Borne borne;
  borne.pa = load * material.modulus_pa * std::pow(per_side, 4.0) * std::fmin(1.0, longest / ratio);
  borne.how = "an estimate: the weakest flat panel, " + in_metres(short_side_m) + " by " +
              in_metres(long_side_m) + " of " + in_words(material, thickness_m);
  borne.how += stress_first ? ", is at its allowed stress of " + in_mpa(material.stress_pa)
                            : ", bows by " + in_mm(bow_of_short_side * short_side_m) +
                                  ", a twentieth of its shorter side";
  return borne;
}

// A box of square floor: its top, or a wall that is taller than wide. Where stress comes first
// either may be the weaker one.
Borne by_box(const Prism& prism, const Material& material, double thickness_m) {
  const double side_m = std::sqrt(prism.area_m2);
  Borne top = by_flat_panel(side_m, side_m, material, thickness_m);
  if (prism.height_m <= side_m) return top;
  Borne wall = by_flat_panel(side_m, prism.height_m, material, thickness_m);
  return wall.pa <= top.pa ? wall : top;
}

void check(const Wall& wall) {
  if (!(wall.thickness_m > 0.0) || !std::isfinite(wall.thickness_m)) {
    breach("shell", "a wall " + std::to_string(wall.thickness_m) + " m thick");
  }
}

// Why there is nothing to estimate from; none if there is.
std::optional<std::string> why_assumed(const Tank& tank) {
  if (!tank.wall) return "neither the maker's figure nor the wall is given";
  check(*tank.wall);
  if (!find_material(tank.wall->material)) {
    return "nothing is known here of a wall of " + named(tank.wall->material);
  }
  if (std::holds_alternative<DepthTable>(tank.shape)) {
    return "a tank given by its depths and volumes has no shape to estimate from";
  }
  return std::nullopt;
}

std::string assumed_because(const std::string& why) { return "assumed with caution, as " + why; }

}  // namespace

AllowedVacuum allowed_vacuum(const Tank& tank) {
  if (tank.allowed_vacuum_pa) {
    return {*tank.allowed_vacuum_pa, BearsFrom::maker, "the maker's figure"};
  }
  if (const auto why = why_assumed(tank)) {
    return {assumed_vacuum_pa, BearsFrom::assumed, assumed_because(*why)};
  }
  const Material& material = *find_material(tank.wall->material);
  const double thickness_m = tank.wall->thickness_m;
  Borne borne;
  if (const auto* upright = std::get_if<Upright>(&tank.shape)) {
    borne = by_round_wall(upright->diameter_m, upright->height_m, material, thickness_m);
  } else if (const auto* lying = std::get_if<Lying>(&tank.shape)) {
    borne = by_round_wall(lying->diameter_m, lying->length_m, material, thickness_m);
  } else {
    borne = by_box(std::get<Prism>(tank.shape), material, thickness_m);
  }
  return {borne.pa, BearsFrom::estimate, borne.how};
}

AllowedPressure allowed_pressure(const Tank& tank) {
  if (tank.allowed_pressure_pa) {
    return {*tank.allowed_pressure_pa, BearsFrom::maker, "the maker's figure"};
  }
  const auto* box = std::get_if<Prism>(&tank.shape);
  if (box && !why_assumed(tank)) {
    const Borne borne = by_box(*box, *find_material(tank.wall->material), tank.wall->thickness_m);
    if (borne.pa < assumed_pressure_pa) return {borne.pa, BearsFrom::estimate, borne.how};
  }
  return {assumed_pressure_pa, BearsFrom::assumed,
          assumed_because("the maker's figure is not given and the lid gives way before the wall")};
}

const std::vector<std::string>& known_materials() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> all;
    for (const Material& material : materials) all.emplace_back(material.name);
    return all;
  }();
  return names;
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include "io/unit_table.h"

#include <array>

namespace tankyard {
namespace {

struct Row {
  std::string_view name;
  Dimension dimension;
  UnitScale scale;
};

using enum Dimension;

constexpr std::array rows = {
    Row{"m", length, {0, 1, 1}},
    Row{"mm", length, {-3, 1, 1}},
    Row{"cm", length, {-2, 1, 1}},
    Row{"km", length, {3, 1, 1}},
    Row{"um", length, {-6, 1, 1}},
    Row{"µm", length, {-6, 1, 1}},    // micro sign
    Row{"μm", length, {-6, 1, 1}},    // Greek mu
    Row{"in", length, {-4, 254, 1}},  // exact since 1959
    Row{"ft", length, {-4, 3048, 1}},
    Row{"m2", area, {0, 1, 1}},
    Row{"m²", area, {0, 1, 1}},
    Row{"m^2", area, {0, 1, 1}},
    Row{"cm2", area, {-4, 1, 1}},
    Row{"cm²", area, {-4, 1, 1}},
    Row{"mm2", area, {-6, 1, 1}},
    Row{"mm²", area, {-6, 1, 1}},
    Row{"ft2", area, {-8, 9290304, 1}},  // 0.3048 m squared
    Row{"ft²", area, {-8, 9290304, 1}},
    Row{"m3", volume, {0, 1, 1}},
    Row{"m³", volume, {0, 1, 1}},
    Row{"m^3", volume, {0, 1, 1}},
    Row{"L", volume, {-3, 1, 1}},
    Row{"l", volume, {-3, 1, 1}},
    Row{"mL", volume, {-6, 1, 1}},
    Row{"ml", volume, {-6, 1, 1}},
    Row{"Pa", pressure, {0, 1, 1}},
    Row{"hPa", pressure, {2, 1, 1}},
    Row{"kPa", pressure, {3, 1, 1}},
    Row{"MPa", pressure, {6, 1, 1}},
    Row{"mbar", pressure, {2, 1, 1}},
    Row{"bar", pressure, {5, 1, 1}},
    Row{"psi", pressure, {-9, 6894757293168, 1}},  // 0.45359237 kg x 9.80665 m/s2 on a square inch
    Row{"s", duration, {0, 1, 1}},
    Row{"min", duration, {0, 60, 1}},
    Row{"h", duration, {0, 3600, 1}},
    Row{"d", duration, {0, 86400, 1}},
    Row{"day", duration, {0, 86400, 1}},
    Row{"days", duration, {0, 86400, 1}},
    Row{"degC", temperature, {0, 1, 1}},
    Row{"°C", temperature, {0, 1, 1}},
    Row{"degF", temperature, {0, 5, 9, 32.0}},
    Row{"°F", temperature, {0, 5, 9, 32.0}},
    Row{"K", temperature, {0, 1, 1, 0.0, 273.15}},
    Row{"K", temperature_difference, {0, 1, 1}},
    Row{"degC", temperature_difference, {0, 1, 1}},
    Row{"°C", temperature_difference, {0, 1, 1}},
    Row{"degF", temperature_difference, {0, 5, 9}},
    Row{"°F", temperature_difference, {0, 5, 9}},
};

struct Advice {
  std::string_view word;
  std::string_view help;
};

constexpr std::array advice = {
    Advice{"litre", "the unit is written `L`"},
    Advice{"litres", "the unit is written `L`"},
    Advice{"liter", "the unit is written `L`"},
    Advice{"liters", "the unit is written `L`"},
    Advice{"metre", "the unit is written `m`"},
    Advice{"metres", "the unit is written `m`"},
    Advice{"meter", "the unit is written `m`"},
    Advice{"meters", "the unit is written `m`"},
    Advice{"inch", "the unit is written `in`"},
    Advice{"inches", "the unit is written `in`"},
    Advice{"\"", "the unit is written `in`"},
    Advice{"foot", "the unit is written `ft`"},
    Advice{"feet", "the unit is written `ft`"},
    Advice{"hour", "the unit is written `h`"},
    Advice{"hours", "the unit is written `h`"},
    Advice{"hr", "the unit is written `h`"},
    Advice{"hrs", "the unit is written `h`"},
    Advice{"minute", "the unit is written `min`"},
    Advice{"minutes", "the unit is written `min`"},
    Advice{"mins", "the unit is written `min`"},
    Advice{"sec", "the unit is written `s`"},
    Advice{"secs", "the unit is written `s`"},
    Advice{"second", "the unit is written `s`"},
    Advice{"seconds", "the unit is written `s`"},
    Advice{"lpm", "the unit is written `L/min`"},
    Advice{"lph", "the unit is written `L/h`"},
    Advice{"lps", "the unit is written `L/s`"},
    Advice{"C", "the unit is written `degC`"},
    Advice{"F", "the unit is written `degF`"},
    Advice{"sqm", "the unit is written `m2`"},
    Advice{"gal",
           "gallons differ from land to land, so write litres: a US gallon is 3.785 L, an "
           "imperial one 4.546 L"},
    Advice{"gallon",
           "gallons differ from land to land, so write litres: a US gallon is 3.785 L, an "
           "imperial one 4.546 L"},
    Advice{"gallons",
           "gallons differ from land to land, so write litres: a US gallon is 3.785 L, "
           "an imperial one 4.546 L"},
    Advice{"gpm",
           "gallons differ from land to land, so write litres a minute: a US gallon is "
           "3.785 L, an imperial one 4.546 L"},
    Advice{"mH2O", "write it as a pressure: 1 m of water is 9.81 kPa"},
    Advice{"mmH2O", "write it as a pressure: 100 mm of water are 0.981 kPa"},
};

/// Volume over time is a flow, length over time a rain.
std::optional<Dimension> quotient(Dimension above, Dimension below) {
  if (below != duration) return std::nullopt;
  if (above == volume) return flow;
  if (above == length) return rain;
  return std::nullopt;
}

std::vector<Unit> simple_units(std::string_view name) {
  std::vector<Unit> found;
  for (const Row& row : rows) {
    if (row.name == name) found.push_back({row.dimension, row.scale});
  }
  return found;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

}  // namespace

std::vector<Unit> units_named(std::string_view name) {
  const std::size_t slash = name.find('/');
  if (slash == std::string_view::npos) return simple_units(name);
  std::vector<Unit> found;
  for (const Unit& above : simple_units(trimmed(name.substr(0, slash)))) {
    for (const Unit& below : simple_units(trimmed(name.substr(slash + 1)))) {
      const std::optional<Dimension> dimension = quotient(above.dimension, below.dimension);
      if (!dimension) continue;
      const UnitScale scale = {above.scale.tens - below.scale.tens,
                               above.scale.times * below.scale.over,
                               above.scale.over * below.scale.times};
      found.push_back({*dimension, scale});
    }
  }
  return found;
}

std::vector<std::string> common_units(Dimension dimension) {
  switch (dimension) {
    case length:
      return {"m", "mm", "cm", "in", "ft", "km", "um"};
    case area:
      return {"m2", "cm2", "ft2", "mm2"};
    case volume:
      return {"L", "m3", "mL"};
    case flow:
      return {"L/min", "L/h", "L/s", "m3/h", "L/d", "m3/s"};
    case pressure:
      return {"kPa", "bar", "mbar", "Pa", "hPa", "psi", "MPa"};
    case rain:
      return {"mm/h", "mm/min", "mm/d", "in/h", "m/s"};
    case temperature:
      return {"degC", "degF", "K"};
    case temperature_difference:
      return {"K", "degC", "degF"};
    case duration:
      return {"h", "min", "s", "d"};
  }
  return {};
}

std::optional<std::string> advice_on(std::string_view word) {
  for (const Advice& entry : advice) {
    if (entry.word == word) return std::string(entry.help);
  }
  return std::nullopt;
}

}  // namespace tankyard

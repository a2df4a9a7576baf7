// SPDX-License-Identifier: MIT
#include "solver/water.h"

#include <gtest/gtest.h>

#include <string>

#include "published/table.h"

namespace published {
namespace water_test {

std::string at_degc(const char* what, double temperature) {
  return std::string(what) + " at " + std::to_string(static_cast<int>(temperature)) + " degC";
}

// Crittenden et al. (MWH), Water Treatment, 3rd ed., table C-1, after Vennard and Street 1975. Its
// figures come from other measurements than the formulas do.
TEST(Water, MeetsAHandbooksColumn) {
  struct Printed {
    double degc, density, viscosity_mpa_s, kinematic_mm2_s, vapour_kpa;
  };
  // At 0 degC the vapour pressure formula is asked at 0.01 degC, where it begins.
  const Printed printed[] = {
      {0, 999.8, 1.781, 1.785, 0.61},  {5, 1000.0, 1.518, 1.519, 0.87},
      {10, 999.7, 1.307, 1.306, 1.23}, {15, 999.1, 1.139, 1.139, 1.70},
      {20, 998.2, 1.002, 1.003, 2.34}, {25, 997.0, 0.890, 0.893, 3.17},
      {30, 995.7, 0.798, 0.800, 4.24}, {40, 992.2, 0.653, 0.658, 7.38},
  };
  const char* source = "MWH 3rd ed., table C-1";
  for (const Printed& p : printed) {
    const double asked = p.degc == 0 ? 0.01 : p.degc;
    const auto water = tankyard::water_at(asked, 0.0);
    row({.what = at_degc("density", p.degc),
         .source = source,
         .sure = Sure::seen,
         .published = p.density,
         .ours = water.density_kg_per_m3,
         .unit = "kg/m3",
         .band = give_or_take(p.density, 0.06)});
    // The older measurements behind the column run 0.6 % low at freezing.
    row({.what = at_degc("viscosity", p.degc),
         .source = source,
         .sure = Sure::seen,
         .published = p.viscosity_mpa_s,
         .ours = 1e3 * tankyard::water_viscosity_pa_s(asked),
         .unit = "mPa s",
         .band = percent(p.viscosity_mpa_s, p.degc == 0 ? 0.7 : 0.2)});
    row({.what = at_degc("kinematic viscosity", p.degc),
         .source = source,
         .sure = Sure::seen,
         .published = p.kinematic_mm2_s,
         .ours = 1e6 * water.kinematic_viscosity_m2_per_s,
         .unit = "mm2/s",
         .band = percent(p.kinematic_mm2_s, p.degc == 0 ? 0.7 : 0.2)});
    row({.what = at_degc("vapour pressure", p.degc),
         .source = source,
         .sure = Sure::seen,
         .published = p.vapour_kpa,
         .ours = 1e-3 * water.vapour_pressure_pa,
         .unit = "kPa",
         .band = give_or_take(p.vapour_kpa, 0.008)});
  }
}

TEST(Water, MeetsASecondTable) {
  struct Printed {
    double degc, viscosity_mpa_s, vapour_kpa;
  };
  const char* source = "second table, title not shown";
  for (const Printed& p : {Printed{10, 1.307, 1.228}, Printed{20, 1.002, 2.339},
                           Printed{30, 0.797, 4.247}, Printed{40, 0.653, 7.385}}) {
    row({.what = at_degc("viscosity", p.degc),
         .source = source,
         .sure = Sure::seen,
         .published = p.viscosity_mpa_s,
         .ours = 1e3 * tankyard::water_viscosity_pa_s(p.degc),
         .unit = "mPa s",
         .band = percent(p.viscosity_mpa_s, 0.1)});
    row({.what = at_degc("vapour pressure", p.degc),
         .source = source,
         .sure = Sure::seen,
         .published = p.vapour_kpa,
         .ours = 1e-3 * tankyard::water_vapour_pressure_pa(p.degc),
         .unit = "kPa",
         .band = give_or_take(p.vapour_kpa, 0.0006)});
  }
}

TEST(Air, MeetsTheStandardAtmosphere) {
  struct Printed {
    int height_m;
    double pa;
  };
  // The model of ISO 2533:1975 by double arithmetic with its rounded exponent 5.25588.
  for (const Printed& p :
       {Printed{-100, 102532.1}, Printed{0, 101325.0}, Printed{100, 100129.4},
        Printed{300, 97772.6}, Printed{500, 95460.8}, Printed{1000, 89874.6},
        Printed{1500, 84556.0}, Printed{2000, 79495.2}, Printed{3000, 70108.5}}) {
    row({.what = "air pressure at " + std::to_string(p.height_m) + " m",
         .source = "ISO 2533:1975, model",
         .sure = Sure::computed,
         .published = p.pa,
         .ours = tankyard::atmosphere_pa(p.height_m),
         .unit = "Pa",
         .band = give_or_take(p.pa, 0.1)});
  }
  // 1000 m on the map are 999.84 m of the model's height.
  row({.what = "air pressure at 1000 m",
       .source = "ISO 2533:1975, table",
       .sure = Sure::memory,
       .published = 89876.0,
       .ours = tankyard::atmosphere_pa(999.84),
       .unit = "Pa",
       .band = give_or_take(89876.0, 1.0)});
}

TEST(Air, LiftsWaterAsHighAsPumpBooksSay) {
  struct Printed {
    int height_m;
    double lift_m;
  };
  // Air pressure over the weight of 10 degC water, the vapour pressure left out as the books do.
  const double weight = tankyard::water_density_kg_per_m3(10.0) * tankyard::gravity_m_per_s2;
  for (const Printed& p : {Printed{0, 10.33}, Printed{1000, 9.17}, Printed{2000, 8.11}}) {
    row({.what = "theoretical lift at " + std::to_string(p.height_m) + " m",
         .source = "suppliers' tables of suction lift",
         .sure = Sure::seen,
         .published = p.lift_m,
         .ours = tankyard::atmosphere_pa(p.height_m) / weight,
         .unit = "m",
         .band = give_or_take(p.lift_m, 0.007)});
  }
}

}  // namespace water_test
}  // namespace published

// SPDX-License-Identifier: MIT
#include "solver/friction.h"

#include <gtest/gtest.h>

#include <cstdio>
#include <string>

#include "published/table.h"
#include "solver/water.h"

namespace published {
namespace friction_test {

std::string at_point(double reynolds, double roughness) {
  char text[60];
  std::snprintf(text, sizeof text, "f at Re %.3g, roughness %.3g", reynolds, roughness);
  return text;
}

// Colebrook 1939, 1/sqrt f = -2 log10(e/3.7 + 2.51/(Re sqrt f)), solved by Newton in 30 digits. The
// bands are those within which an explicit formula is expected to follow it.
TEST(Friction, FollowsColebrook) {
  struct Point {
    double reynolds, roughness, f;
  };
  const Point points[] = {
      {4e3, 0, 0.03990701405563},     {4e3, 1e-4, 0.04000843123356},  {4e3, 1e-3, 0.04091038986285},
      {5e3, 5e-4, 0.0379482313156},   {1e4, 0, 0.03088295035349},     {1e4, 1e-4, 0.031037212201},
      {1e4, 1e-3, 0.03238180636309},  {1e4, 0.01, 0.04312658470681},  {1e4, 0.05, 0.07380127563854},
      {2e4, 1e-4, 0.0261014657295},   {5e4, 2e-4, 0.02159255934013},  {1e5, 0, 0.01798977308427},
      {1e5, 1e-5, 0.01804380289506},  {1e5, 1e-4, 0.01851386607747},  {1e5, 1e-3, 0.02217453594452},
      {1e5, 0.01, 0.03850354352734},  {1e6, 0, 0.01164504099799},     {1e6, 1e-5, 0.01186954482794},
      {1e6, 1e-4, 0.01344143769251},  {1e6, 1e-3, 0.01994346584048},  {1e6, 0.01, 0.03796474187616},
      {1e7, 0, 0.008102669430875},    {1e7, 1e-5, 0.008995711744834}, {1e7, 1e-3, 0.0196670524321},
      {1e8, 1e-6, 0.006432556519692}, {1e8, 1e-4, 0.01199905055537},
  };
  for (const Point& p : points) {
    const bool close = p.reynolds >= 1e4 && p.reynolds <= 1e7 && p.roughness <= 1e-3;
    row({.what = at_point(p.reynolds, p.roughness),
         .source = "Colebrook 1939",
         .sure = Sure::computed,
         .published = p.f,
         .ours = tankyard::friction_factor(p.reynolds, p.roughness),
         .unit = "",
         .band = percent(p.f, close ? 1.0 : 2.5)});
  }
}

TEST(Friction, IsPoiseuillesWhereFlowIsLaminar) {
  for (const double reynolds : {1.0, 100.0, 500.0, 1000.0, 1500.0}) {
    row({.what = at_point(reynolds, 1e-4),
         .source = "Hagen-Poiseuille, 64/Re",
         .sure = Sure::seen,
         .published = 64.0 / reynolds,
         .ours = tankyard::friction_factor(reynolds, 1e-4),
         .unit = "",
         .band = percent(64.0 / reynolds, 0.0001)});
  }
}

// The formula as printed (Chem. Eng. 84, 7 Nov 1977, 91) in double arithmetic by pow, kept to the
// digits given. It bridges from 64/Re without a step: at Re 2300 it is 10.8 % above.
TEST(Friction, BridgesAsChurchillPrintedIt) {
  struct Point {
    double reynolds, f;
  };
  for (const Point& p : {Point{2000, 0.0320433}, Point{2300, 0.0308409}, Point{2500, 0.0351513},
                         Point{3000, 0.0430490}, Point{3500, 0.0423697}}) {
    row({.what = at_point(p.reynolds, 1e-4),
         .source = "Churchill 1977",
         .sure = Sure::computed,
         .published = p.f,
         .ours = tankyard::friction_factor(p.reynolds, 1e-4),
         .unit = "",
         .band = give_or_take(p.f, 1e-7)});
  }
}

TEST(Friction, MeetsReadingsOfMoodysChart) {
  struct Reading {
    double reynolds, roughness, f;
    const char* source;
    Sure sure;
  };
  const Reading readings[] = {
      {2.7e5, 0.0008, 0.0198, "White 4th ed., ex. 6.6", Sure::seen},
      {1.28e5, 0.0013, 0.0225, "White 4th ed., ex. 6.7", Sure::seen},
      {1.34e5, 0.00004, 0.0172, "Cengel and Cimbala, ex. 8-3", Sure::memory},
  };
  for (const Reading& r : readings) {
    row({.what = at_point(r.reynolds, r.roughness),
         .source = r.source,
         .sure = r.sure,
         .published = r.f,
         .ours = tankyard::friction_factor(r.reynolds, r.roughness),
         .unit = "",
         .band = percent(r.f, 2.0)});
  }
}

// Colebrook for 10 degC water in a smooth rubber hose, roughness 0.01 mm; only where Re is 4000 or
// more, since Colebrook says nothing below.
TEST(Hose, LosesWhatColebrookSays) {
  struct Figure {
    double litres_per_min, bore_mm, metres_per_metre;
  };
  const Figure figures[] = {
      {5, 12.5, 0.0671},  {5, 19, 0.0092},    {10, 12.5, 0.2272}, {10, 19, 0.0305},
      {10, 25, 0.0083},   {15, 12.5, 0.4687}, {15, 19, 0.0622},   {15, 25, 0.0168},
      {20, 12.5, 0.7877}, {20, 19, 0.1036},   {20, 25, 0.0278},   {30, 12.5, 1.6508},
      {30, 19, 0.2138},   {30, 25, 0.0569},
  };
  const double viscosity = tankyard::water_at(10.0, 0.0).kinematic_viscosity_m2_per_s;
  for (const Figure& f : figures) {
    const auto hose = tankyard::hose_loss(1e-3 * f.bore_mm, 1.0, 1e-5, 0.0, viscosity);
    char what[60];
    std::snprintf(what, sizeof what, "%g L/min in %g mm, 1 m", f.litres_per_min, f.bore_mm);
    row({.what = what,
         .source = "Colebrook 1939",
         .sure = Sure::computed,
         .published = f.metres_per_metre,
         .ours = tankyard::head_lost(hose, f.litres_per_min / 60000.0).head_m,
         .unit = "m",
         // the formula's 2.5 %, and half of the last digit given
         .band = give_or_take(f.metres_per_metre, 0.025 * f.metres_per_metre + 0.00005)});
  }
}

}  // namespace friction_test
}  // namespace published

// SPDX-License-Identifier: MIT
// Worked examples with one pipe, with pipes one behind the other, and with pipes side by side.
// Where a book gives a constant f, the pipe is entered as a loss K = f L / D without length.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "published/table.h"
#include "solver/friction.h"

namespace published {
namespace pipes_test {

using tankyard::hose_loss;
using tankyard::HoseLoss;

constexpr double foot_m = 0.3048;
constexpr double pi = 3.14159265358979323846;

double area_m2(double bore_m) { return pi / 4.0 * bore_m * bore_m; }

HoseLoss with_constant_f(double f, double length_m, double bore_m, double more_k = 0.0) {
  return hose_loss(bore_m, 0.0, 0.0, f * length_m / bore_m + more_k, 1e-6);
}

double head_in_a_row(const std::vector<HoseLoss>& pipes, double flow) {
  double head = 0.0;
  for (const HoseLoss& pipe : pipes) head += tankyard::head_lost(pipe, flow).head_m;
  return head;
}

double flow_side_by_side(const std::vector<HoseLoss>& pipes, double head) {
  double flow = 0.0;
  for (const HoseLoss& pipe : pipes) flow += tankyard::flow_at(pipe, head);
  return flow;
}

// Where a rising function meets a value, by halving.
template <class Function>
double where(const Function& rising, double value, double low, double high) {
  for (int i = 0; i < 200; ++i) {
    const double middle = 0.5 * (low + high);
    (rising(middle) < value ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

TEST(OnePipe, AsphaltedCastIron) {
  const double bore = 0.5 * foot_m;
  const double flow = 6.0 * foot_m * area_m2(bore);
  const auto pipe = hose_loss(bore, 200.0 * foot_m, 0.0008 * bore, 0.0, 1.1e-5 * foot_m * foot_m);
  row({.what = "200 ft of 6 in, 6 ft/s: head lost",
       .source = "White 4th ed., ex. 6.6 (Moody 1944)",
       .sure = Sure::seen,
       .published = 4.5,
       .ours = tankyard::head_lost(pipe, flow).head_m / foot_m,
       .unit = "ft",
       .band = percent(4.5, 2.0)});
}

TEST(OnePipe, OilInCastIron) {
  // Churchill stands 0.85 % above Colebrook here, Colebrook 0.3 % above the chart.
  const auto pipe = hose_loss(0.2, 500.0, 0.26e-3, 0.0, 1e-5);
  row({.what = "500 m of 200 mm, 0.2 m3/s oil: head lost",
       .source = "White 4th ed., ex. 6.7",
       .sure = Sure::memory,
       .published = 117.0,
       .ours = tankyard::head_lost(pipe, 0.2).head_m,
       .unit = "m",
       .band = percent(117.0, 1.5)});
}

TEST(OnePipe, StainlessSteel) {
  // Data seen; the answer is Colebrook's, by Newton.
  const auto pipe = hose_loss(0.05, 60.0, 0.002e-3, 0.0, 1.138e-3 / 999.0);
  row({.what = "60 m of 50 mm, 6 L/s: head lost",
       .source = "Cengel and Cimbala, ex. 8-3",
       .sure = Sure::computed,
       .published = 9.8166,
       .ours = tankyard::head_lost(pipe, 0.006).head_m,
       .unit = "m",
       .band = percent(9.8166, 1.0)});
}

TEST(PipesInARow, TwoOfCastIronBetweenReservoirs) {
  const std::vector<HoseLoss> pipes = {hose_loss(0.6, 300.0, 0.26e-3, 0.5, 1.31e-6),
                                       hose_loss(0.4, 300.0, 0.26e-3, 0.24 + 1.0, 1.31e-6)};
  row({.what = "0.5 m3/s with entry, contraction, exit: head",
       .source = "tutorial on pipes in series",
       .sure = Sure::seen,
       .published = 13.337,
       .ours = head_in_a_row(pipes, 0.5),
       .unit = "m",
       .band = percent(13.337, 1.0)});
}

std::vector<HoseLoss> whites_three() {
  return {hose_loss(0.08, 100.0, 0.24e-3, 0.0, 1.02e-6),
          hose_loss(0.06, 150.0, 0.12e-3, 0.0, 1.02e-6),
          hose_loss(0.04, 80.0, 0.20e-3, 0.0, 1.02e-6)};
}

TEST(PipesInARow, ThreeOfWhite) {
  const auto pipes = whites_three();
  const double flow = where([&](double q) { return head_in_a_row(pipes, q); }, 20.29, 0.0, 1.0);
  row({.what = "20.29 m: flow",
       .source = "White 5th ed., ex. 6.17",
       .sure = Sure::memory,
       .published = 10.2,
       .ours = 3600.0 * flow,
       .unit = "m3/h",
       .band = percent(10.2, 1.5)});
}

TEST(PipesInARow, WithConstantF) {
  row({.what = "0.05 m3/s, two pipes: head",
       .source = "examination page",
       .sure = Sure::seen,
       .published = 10.70,
       .ours = head_in_a_row(
           {with_constant_f(0.02, 200.0, 0.2), with_constant_f(0.02, 150.0, 0.15)}, 0.05),
       .unit = "m",
       .band = percent(10.70, 0.6)});
  const std::vector<HoseLoss> pipes = {with_constant_f(0.020, 500.0, 0.3),
                                       with_constant_f(0.022, 400.0, 0.25),
                                       with_constant_f(0.018, 300.0, 0.2)};
  row({.what = "25 m, three pipes: flow",
       .source = "examination page",
       .sure = Sure::seen,
       .published = 0.100,
       .ours = where([&](double q) { return head_in_a_row(pipes, q); }, 25.0, 0.0, 1.0),
       .unit = "m3/s",
       .band = percent(0.100, 0.6)});
}

TEST(PipesSideBySide, ThreeOfWhite) {
  const auto pipes = whites_three();
  const char* source = "White 5th ed., ex. 6.18";
  const double printed[] = {62.5, 25.9, 11.4};
  for (std::size_t i = 0; i < 3; ++i) {
    row({.what = "20.3 m: flow in pipe " + std::to_string(i + 1),
         .source = source,
         .sure = Sure::memory,
         .published = printed[i],
         .ours = 3600.0 * tankyard::flow_at(pipes[i], 20.3),
         .unit = "m3/h",
         .band = percent(printed[i], 1.5)});
  }
  row({.what = "20.3 m: flow in all three",
       .source = source,
       .sure = Sure::memory,
       .published = 99.8,
       .ours = 3600.0 * flow_side_by_side(pipes, 20.3),
       .unit = "m3/h",
       .band = percent(99.8, 1.5)});
}

TEST(PipesSideBySide, ThreeWithConstantF) {
  const double inch_m = foot_m / 12.0;
  const double cubic_foot_m3 = foot_m * foot_m * foot_m;
  const std::vector<HoseLoss> pipes = {with_constant_f(0.020, 90.0 * foot_m, 2.0 * inch_m, 3.0),
                                       with_constant_f(0.025, 120.0 * foot_m, 3.0 * inch_m, 5.0),
                                       with_constant_f(0.022, 180.0 * foot_m, 2.5 * inch_m, 1.0)};
  const double head = where([&](double h) { return flow_side_by_side(pipes, h); },
                            0.35 * cubic_foot_m3, 0.0, 100.0);
  const double printed[] = {0.081, 0.164, 0.105};
  for (std::size_t i = 0; i < 3; ++i) {
    row({.what = "0.35 cfs shared: flow in pipe " + std::to_string(i + 1),
         .source = "CEIE 230, homework 8",
         .sure = Sure::seen,
         .published = printed[i],
         .ours = tankyard::flow_at(pipes[i], head) / cubic_foot_m3,
         .unit = "cfs",
         .band = give_or_take(printed[i], 0.0006)});
  }
}

TEST(PipesSideBySide, TwoOfSteel) {
  const std::vector<HoseLoss> pipes = {hose_loss(0.04, 36.0, 0.045e-3, 0.0, 1.002e-3 / 998.0),
                                       hose_loss(0.08, 36.0, 0.045e-3, 0.0, 1.002e-3 / 998.0)};
  const char* source = "Cengel and Cimbala, ex. 8-7";
  const double head =
      where([&](double h) { return flow_side_by_side(pipes, h); }, 0.0300, 0.0, 100.0);
  row({.what = "0.0300 m3/s shared: head lost",
       .source = source,
       .sure = Sure::memory,
       .published = 11.1,
       .ours = head,
       .unit = "m",
       .band = percent(11.1, 1.0)});
  row({.what = "0.0300 m3/s shared: flow in 4 cm",
       .source = source,
       .sure = Sure::memory,
       .published = 0.00415,
       .ours = tankyard::flow_at(pipes[0], head),
       .unit = "m3/s",
       .band = percent(0.00415, 1.0)});
  row({.what = "0.0300 m3/s shared: flow in 8 cm",
       .source = source,
       .sure = Sure::memory,
       .published = 0.0259,
       .ours = tankyard::flow_at(pipes[1], head),
       .unit = "m3/s",
       .band = percent(0.0259, 1.0)});
}

// A hose between two butts: what a weekend's plumbing passes.
TEST(PipesInARow, LinkBetweenTwoButts) {
  const double viscosity = 1.30629e-6;
  const double plain = tankyard::flow_at(hose_loss(0.0125, 1.5, 1e-5, 1.5, viscosity), 0.2);
  row({.what = "1.5 m of 12.5 mm at 0.2 m: flow",
       .source = "Colebrook 1939, entry 0.5, exit 1",
       .sure = Sure::computed,
       .published = 6.184,
       .ours = 60000.0 * plain,
       .unit = "L/min",
       .band = percent(6.184, 1.0)});
  const double throttled = tankyard::flow_at(hose_loss(0.0125, 1.5, 1e-5, 9.5, viscosity), 0.2);
  row({.what = "the same with two couplings, K 4 each: flow",
       .source = "Colebrook 1939, entry 0.5, exit 1",
       .sure = Sure::computed,
       .published = 3.886,
       .ours = 60000.0 * throttled,
       .unit = "L/min",
       .band = percent(3.886, 1.0)});
}

}  // namespace pipes_test
}  // namespace published

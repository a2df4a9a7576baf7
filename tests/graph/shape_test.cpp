// SPDX-License-Identifier: MIT
#include "graph/shape.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <vector>

#include "random_arrays.h"

namespace tankyard {
namespace shape_test {

constexpr double eps = std::numeric_limits<double>::epsilon();

// Volume per length of a circular segment by adding up thin strips with the midpoint rule: slow,
// and nothing like the formula it is held against.
double segment_by_strips(double diameter, double depth) {
  const int strips = 200000;
  const double r = diameter / 2.0;
  double area = 0.0;
  for (int i = 0; i < strips; ++i) {
    const double z = depth * (i + 0.5) / strips;
    area += 2.0 * std::sqrt(z * (2.0 * r - z)) * depth / strips;
  }
  return area;
}

// Fill fractions of a horizontal cylinder by h/D, as printed in tables of mensuration.
TEST(Shape, FillsALyingTankAsPrintedTablesSay) {
  const double printed[][2] = {{0.05, 0.018693}, {0.10, 0.052044}, {0.20, 0.142378},
                               {0.25, 0.195501}, {0.30, 0.252316}, {0.40, 0.373530},
                               {0.50, 0.500000}, {0.75, 0.804499}, {0.90, 0.947956}};
  const Shape lying = Lying{1.7, 3.1};
  for (const auto& [part, fraction] : printed) {
    EXPECT_NEAR(volume_m3(lying, part * 1.7) / capacity_m3(lying), fraction, 0.51e-6) << part;
  }
}

TEST(Shape, FillsALyingTankOfTwelveHundredMillimetres) {
  const double printed[][2] = {
      {0.1, 90.031}, {0.3, 442.213}, {0.6, 1130.973}, {0.9, 1819.734}, {1.2, 2261.947}};
  for (const auto& [depth, litres] : printed) {
    EXPECT_NEAR(volume_m3(Lying{1.2, 2.0}, depth) * 1000.0, litres, 0.51e-3) << depth;
  }
}

TEST(Shape, FillsALyingTankAsThinStripsDo) {
  for (const double depth : {0.001, 0.02, 0.4, 0.7, 0.99}) {
    EXPECT_NEAR(volume_m3(Lying{1.0, 1.0}, depth) / segment_by_strips(1.0, depth), 1.0, 2e-7)
        << depth;
  }
}

// A film of water: V = (4/3) L sqrt(D) h^(3/2) to first order in h/D. The textbook formula, taken
// literally, has lost every digit here.
TEST(Shape, KeepsItsDigitsInANearlyEmptyLyingTank) {
  const Lying lying{1.2, 2.0};
  for (const double depth : {1e-6, 1e-9, 1e-12, 1e-15}) {
    const double film = 4.0 / 3.0 * lying.length_m * std::sqrt(lying.diameter_m) *
                        std::pow(depth, 1.5) * (1.0 - 0.3 * depth / lying.diameter_m);
    EXPECT_NEAR(volume_m3(lying, depth) / film, 1.0, 1e-12) << depth;
    EXPECT_NEAR(depth_m(lying, film) / depth, 1.0, 1e-12) << depth;
  }
}

TEST(Shape, ReadsTheDepthOfALyingTankToFourteenDigits) {
  // By symmetry of a full, a half and an empty tank, and of what is over half against what is
  // under.
  const Lying lying{1.2, 2.0};
  const double capacity = capacity_m3(lying);
  EXPECT_EQ(depth_m(lying, 0.0), 0.0);
  EXPECT_EQ(depth_m(lying, capacity), 1.2);
  EXPECT_NEAR(depth_m(lying, capacity / 2.0), 0.6, 1.2e-14);
  for (int i = 1; i < 2000; ++i) {
    const double volume = capacity * i / 2000.0;
    EXPECT_NEAR(depth_m(lying, volume) + depth_m(lying, capacity - volume), 1.2, 2.4e-14) << volume;
  }
  // Known angles: 60 degrees either side of the lowest point is h = D/4.
  const double pi = std::acos(-1.0);
  const double quarter = 2.0 * 0.36 * (pi / 3.0 - std::sqrt(3.0) / 4.0);
  EXPECT_NEAR(depth_m(lying, quarter), 0.3, 1.2e-14);
  EXPECT_NEAR(depth_m(lying, capacity - quarter), 0.9, 1.2e-14);
}

TEST(Shape, MeasuresBoxesAndButts) {
  const double pi = std::acos(-1.0);
  const Shape box = Prism{1.1, 1.0};
  EXPECT_DOUBLE_EQ(capacity_m3(box), 1.1);
  EXPECT_DOUBLE_EQ(volume_m3(box, 0.6), 0.66);
  EXPECT_DOUBLE_EQ(depth_m(box, 0.66), 0.6);
  EXPECT_EQ(height_m(box), 1.0);
  EXPECT_DOUBLE_EQ(rim_area_m2(box), 1.1);
  EXPECT_DOUBLE_EQ(rim_length_m(box), 4.0 * std::sqrt(1.1));
  const Shape butt = Upright{0.6, 0.9};
  EXPECT_DOUBLE_EQ(capacity_m3(butt), pi * 0.09 * 0.9);
  EXPECT_DOUBLE_EQ(surface_m2(butt, 0.3), pi * 0.09);
  EXPECT_EQ(height_m(butt), 0.9);
  EXPECT_DOUBLE_EQ(rim_area_m2(butt), pi * 0.09);
  EXPECT_DOUBLE_EQ(rim_length_m(butt), pi * 0.6);
  const Shape drum = Lying{1.2, 2.0};
  EXPECT_EQ(height_m(drum), 1.2);
  EXPECT_DOUBLE_EQ(capacity_m3(drum), pi * 0.36 * 2.0);
  EXPECT_DOUBLE_EQ(surface_m2(drum, 0.6), 1.2 * 2.0);
  EXPECT_DOUBLE_EQ(rim_area_m2(drum), pi * 0.04);
  EXPECT_DOUBLE_EQ(rim_length_m(drum), pi * 0.4);
}

TEST(Shape, ReadsADepthTable) {
  const Shape pond = DepthTable{{0.0, 0.2, 0.8}, {0.0, 0.3, 2.4}};
  EXPECT_EQ(height_m(pond), 0.8);
  EXPECT_EQ(capacity_m3(pond), 2.4);
  EXPECT_EQ(volume_m3(pond, 0.0), 0.0);
  EXPECT_EQ(volume_m3(pond, 0.2), 0.3);
  EXPECT_EQ(volume_m3(pond, 0.8), 2.4);
  EXPECT_DOUBLE_EQ(volume_m3(pond, 0.1), 0.15);
  EXPECT_DOUBLE_EQ(volume_m3(pond, 0.5), 1.35);
  EXPECT_EQ(depth_m(pond, 0.3), 0.2);
  EXPECT_EQ(depth_m(pond, 2.4), 0.8);
  EXPECT_DOUBLE_EQ(depth_m(pond, 1.35), 0.5);
  EXPECT_DOUBLE_EQ(surface_m2(pond, 0.1), 1.5);
  EXPECT_DOUBLE_EQ(surface_m2(pond, 0.2), 3.5);  // on a row: the step above it
  EXPECT_DOUBLE_EQ(rim_area_m2(pond), 3.5);
  EXPECT_DOUBLE_EQ(rim_length_m(pond), 4.0 * std::sqrt(3.5));
}

TEST(Shape, GoesOnAboveTheRimAndBelowTheFloor) {
  const std::vector<Shape> shapes = {Prism{1.1, 1.0}, Upright{0.6, 0.9}, Lying{1.2, 2.0},
                                     DepthTable{{0.0, 0.2, 0.8}, {0.0, 0.3, 2.4}}};
  for (const Shape& shape : shapes) {
    const double rim = height_m(shape);
    const double over = volume_m3(shape, rim + 0.25);
    EXPECT_NEAR(over, capacity_m3(shape) + 0.25 * rim_area_m2(shape), 1e-14);
    EXPECT_NEAR(depth_m(shape, over), rim + 0.25, 1e-14);
    EXPECT_DOUBLE_EQ(surface_m2(shape, rim + 0.25), rim_area_m2(shape));
    EXPECT_DOUBLE_EQ(surface_m2(shape, rim), rim_area_m2(shape));
  }
  EXPECT_DOUBLE_EQ(volume_m3(shapes[0], -0.1), -0.11);
  EXPECT_DOUBLE_EQ(volume_m3(shapes[3], -0.1), -0.15);  // the floor's area
  EXPECT_DOUBLE_EQ(surface_m2(shapes[3], -0.1), 1.5);
  EXPECT_EQ(volume_m3(shapes[2], -0.1), 0.0);  // a lying tank has no floor
  EXPECT_EQ(surface_m2(shapes[2], -0.1), 0.0);
}

RC_GTEST_PROP(AnyShape, HoldsItsCapacityAtItsRim, ()) {
  const Shape shape = random_yard::shape({});
  RC_ASSERT(std::abs(volume_m3(shape, height_m(shape)) - capacity_m3(shape)) <=
            2.0 * eps * capacity_m3(shape));
  RC_ASSERT(volume_m3(shape, 0.0) == 0.0);
}

// There and back. What one rounding of the volume can shift the depth is rounding over the surface;
// on top of that a lying tank is allowed its 1e-14 of the diameter.
RC_GTEST_PROP(AnyShape, FindsTheDepthBackFromTheVolume, ()) {
  const Shape shape = random_yard::shape({});
  const double height = height_m(shape);
  const double depth =
      random_yard::chance(30)   ? height * std::pow(10.0, -random_yard::between(0, 9))
      : random_yard::chance(30) ? height * (1.0 - std::pow(10.0, -random_yard::between(0, 9)))
                                : height * random_yard::between(0.0, 1.3);
  const double back = depth_m(shape, volume_m3(shape, depth));
  const double surface = surface_m2(shape, depth);
  const double rounding =
      surface > 0.0 ? 4.0 * eps * std::max(capacity_m3(shape), volume_m3(shape, depth)) / surface
                    : 0.0;
  const bool small = depth < 0.5 * height;  // there the volume itself is small and sharp
  RC_ASSERT(std::abs(back - depth) <= 1e-14 * height + (small ? 1e-14 * depth : rounding));
}

RC_GTEST_PROP(AnyShape, FindsTheVolumeBackFromTheDepth, ()) {
  const Shape shape = random_yard::shape({});
  const double volume = capacity_m3(shape) * random_yard::between(0.0, 1.2);
  RC_ASSERT(std::abs(volume_m3(shape, depth_m(shape, volume)) - volume) <=
            1e-14 * capacity_m3(shape));
}

RC_GTEST_PROP(AnyShape, HasTheSurfaceThatItsVolumeGrowsBy, ()) {
  const Shape shape = random_yard::shape({.tables = false});
  const double height = height_m(shape);
  const double depth = height * random_yard::between(0.02, 0.98);
  const double step = 1e-5 * height;
  const double slope =
      (volume_m3(shape, depth + step) - volume_m3(shape, depth - step)) / (2.0 * step);
  RC_ASSERT(std::abs(surface_m2(shape, depth) - slope) <= 1e-6 * slope);
}

// A dipstick reading that was typed in comes out again, bit for bit.
RC_GTEST_PROP(AnyTable, KeepsItsRows, ()) {
  DepthTable table{{0.0}, {0.0}};
  const int rows = random_yard::whole(1, 5);
  for (int row = 0; row < rows; ++row) {
    table.depth_m.push_back(table.depth_m.back() + random_yard::between(0.01, 1.0));
    table.volume_m3.push_back(table.volume_m3.back() + random_yard::spread(0.001, 10.0));
  }
  for (std::size_t row = 0; row < table.depth_m.size(); ++row) {
    RC_ASSERT(volume_m3(table, table.depth_m[row]) == table.volume_m3[row]);
    RC_ASSERT(depth_m(table, table.volume_m3[row]) == table.depth_m[row]);
  }
}

TEST(Shape, HasTheSurfaceThatATableGrowsBy) {
  const Shape pond = DepthTable{{0.0, 0.2, 0.8}, {0.0, 0.3, 2.4}};
  for (const double depth : {0.01, 0.1, 0.19, 0.21, 0.5, 0.79}) {
    const double slope = (volume_m3(pond, depth + 1e-6) - volume_m3(pond, depth - 1e-6)) / 2e-6;
    EXPECT_NEAR(surface_m2(pond, depth), slope, 1e-8) << depth;
  }
}

RC_GTEST_PROP(AnyShape, HoldsMoreTheDeeperItStands, ()) {
  const Shape shape = random_yard::shape({});
  const double height = height_m(shape);
  const double lower = height * random_yard::between(0.0, 1.2);
  const double higher = lower + height * random_yard::spread(1e-6, 1.0);
  RC_ASSERT(volume_m3(shape, lower) < volume_m3(shape, higher));
}

// From one representable volume to the next the depth may stand still but never go back, also where
// the two halves of a lying tank meet and where the rim begins.
TEST(Shape, NeverReadsLessDepthForMoreWater) {
  const Shape lying = Lying{1.2, 2.0};
  for (const double at : {1e-9, 0.25, 0.5, 0.75, 1.0}) {
    double volume = capacity_m3(lying) * at;
    for (int i = 0; i < 200; ++i) volume = std::nextafter(volume, 0.0);
    double depth = depth_m(lying, volume);
    for (int i = 0; i < 400; ++i) {
      volume = std::nextafter(volume, 10.0);
      const double next = depth_m(lying, volume);
      EXPECT_GE(next, depth - 2.0 * eps * 1.2) << volume;  // within rounding of the sine
      depth = next;
    }
  }
}

}  // namespace shape_test
}  // namespace tankyard

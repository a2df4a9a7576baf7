// SPDX-License-Identifier: MIT
#include "solver/fittings.h"

#include <gtest/gtest.h>

#include <string>

namespace tankyard {
namespace fittings_test {

TEST(Fittings, AreSortedAndNamedOnce) {
  const auto& fittings = known_fittings();
  ASSERT_FALSE(fittings.empty());
  for (std::size_t i = 1; i < fittings.size(); ++i) {
    EXPECT_LT(std::string(fittings[i - 1].name), std::string(fittings[i].name));
  }
}

TEST(Fittings, EachStandsWithinItsOwnRangeAndNamesASource) {
  for (const Fitting& fitting : known_fittings()) {
    EXPECT_LE(fitting.lowest_k, fitting.loss_k) << fitting.name;
    EXPECT_GE(fitting.highest_k, fitting.loss_k) << fitting.name;
    EXPECT_GE(fitting.lowest_k, 0.0) << fitting.name;
    EXPECT_GT(std::string(fitting.source).size(), 20u) << fitting.name;
  }
}

TEST(Fittings, AreWrittenAsAPlanWritesThem) {
  for (const Fitting& fitting : known_fittings()) {
    EXPECT_EQ(std::string(fitting.name).find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-"),
              std::string::npos)
        << fitting.name;
  }
}

TEST(Fittings, AreFoundByNameAndOnlyByName) {
  for (const Fitting& fitting : known_fittings()) {
    const auto found = fitting_loss_k(fitting.name);
    ASSERT_TRUE(found.has_value()) << fitting.name;
    EXPECT_EQ(*found, fitting.loss_k);
  }
  EXPECT_FALSE(fitting_loss_k("elbw").has_value());
  EXPECT_FALSE(fitting_loss_k("Elbow").has_value());
  EXPECT_FALSE(fitting_loss_k("").has_value());
}

// Source of truth: the derivation, (D^2 / (Cc d^2) - 1)^2 with D 12.5 mm.
TEST(Fittings, PushCouplingIsWhatItsThroatCosts) {
  const auto costs = [](double throat_mm, double contraction) {
    const double root = 12.5 * 12.5 / (contraction * throat_mm * throat_mm) - 1.0;
    return root * root;
  };
  EXPECT_NEAR(*fitting_loss_k("push-coupling"), costs(9.0, 0.65), 0.05);
  for (const Fitting& fitting : known_fittings()) {
    if (fitting.name != std::string("push-coupling")) continue;
    EXPECT_NEAR(fitting.lowest_k, costs(9.0, 0.70), 0.05);
    EXPECT_NEAR(fitting.highest_k, costs(8.0, 0.65), 0.05);
  }
}

}  // namespace fittings_test
}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include "graph/array.h"

#include <gtest/gtest.h>

#include "graph/sound_yard.h"

namespace tankyard {
namespace array_test {

TEST(Array, KeepsItsPartsInPlanOrder) {
  const auto array = Array::make(sound_yard());
  ASSERT_TRUE(array.has_value());
  ASSERT_EQ(array->tanks().size(), 4u);
  EXPECT_EQ(array->tanks()[2].name, "drum");
  EXPECT_EQ(array->headers()[0].name, "rail");
  EXPECT_EQ(array->hoses()[3].name, "rail-nozzle");
  EXPECT_EQ(array->pumps()[0].name, "booster");
  EXPECT_EQ(array->outlets()[1].name, "spray");
  EXPECT_EQ(array->parts().roofs[0].name, "shed");
}

TEST(Array, RefusesPartsThatDoNotHoldTogether) {
  Parts parts = sound_yard();
  parts.hoses[0].bore_m = 0.0;
  parts.tanks[1].base_m = 1e9;
  const auto array = Array::make(parts);
  ASSERT_FALSE(array.has_value());
  ASSERT_EQ(array.error().size(), 2u);
  EXPECT_EQ(array.error()[0].about.kind, "tank");
  EXPECT_EQ(array.error()[1].about.kind, "hose");
}

// Copies share what they hold, and an edit of the parts is a new array.
TEST(Array, NeverChanges) {
  const auto array = Array::make(sound_yard());
  ASSERT_TRUE(array.has_value());
  const Array copy = *array;
  EXPECT_EQ(&copy.parts(), &array->parts());
  Parts edited = array->parts();
  edited.tanks[0].base_m = 2.0;
  const auto other = Array::make(edited);
  ASSERT_TRUE(other.has_value());
  EXPECT_EQ(array->tanks()[0].base_m, 0.45);
  EXPECT_EQ(other->tanks()[0].base_m, 2.0);
}

TEST(Array, OpensAHoseOnlyWithItsValve) {
  Parts parts = sound_yard();
  parts.hoses[0].valve->open = false;
  parts.hoses[2].open = false;
  const auto array = Array::make(parts);
  ASSERT_TRUE(array.has_value());
  EXPECT_EQ(array->open_at_start(), (OpenHoses{false, true, false, true}));
}

TEST(Array, NamesPlaces) {
  const Parts parts = sound_yard();
  EXPECT_EQ(name_of(parts, TankId{1}), "butt");
  EXPECT_EQ(name_of(parts, HeaderId{0}), "rail");
  EXPECT_EQ(name_of(parts, OutletId{2}), "can-tap");
}

//   tank: base + the hose's own height, or the tank's outlet height; header: its own height;
//   outlet: its own, or that of the place it sits on.
TEST(Array, KnowsHowHighEveryMouthIs) {
  Parts parts = sound_yard();
  EXPECT_DOUBLE_EQ(mouth_m(parts, HoseEnd{TankId{0}, std::nullopt}), 0.45 + 0.05);
  EXPECT_DOUBLE_EQ(mouth_m(parts, HoseEnd{TankId{0}, 0.7}), 0.45 + 0.7);
  EXPECT_DOUBLE_EQ(mouth_m(parts, HoseEnd{TankId{0}, 0.0}), 0.45);
  EXPECT_DOUBLE_EQ(mouth_m(parts, HoseEnd{HeaderId{0}, std::nullopt}), 0.40);
  EXPECT_DOUBLE_EQ(mouth_m(parts, HoseEnd{OutletId{1}, std::nullopt}), 2.5);
  EXPECT_DOUBLE_EQ(mouth_m(parts, parts.outlets[0]), 0.2);
  EXPECT_DOUBLE_EQ(mouth_m(parts, parts.outlets[2]), 0.4 + 0.2);
  parts.outlets[2].height_m = 0.1;  // a tap on a dropping pipe
  EXPECT_DOUBLE_EQ(mouth_m(parts, parts.outlets[2]), 0.1);
  parts.outlets[2].height_m.reset();
  parts.outlets[2].at = HoseEnd{HeaderId{0}, std::nullopt};
  EXPECT_DOUBLE_EQ(mouth_m(parts, parts.outlets[2]), 0.40);
}

TEST(ArrayDeathTest, StopsAtAnOutletNobodyChecked) {
  Parts parts = sound_yard();
  parts.outlets[0].height_m.reset();
  EXPECT_DEATH(mouth_m(parts, parts.outlets[0]), "breach: mouth_m: outlet `nozzle` has neither");
}

}  // namespace array_test
}  // namespace tankyard

// SPDX-License-Identifier: MIT
// Every day of every yard has an answer.
#include "properties/days.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace tankyard {
namespace days_test {

RC_GTEST_PROP(Days, AllHaveAnAnswer, ()) { day_has_an_answer({}); }
RC_GTEST_PROP(Days, WithClosedLidsAllHaveAnAnswer, ()) { day_has_an_answer(without_air_lines()); }

}  // namespace days_test
}  // namespace tankyard

// SPDX-License-Identifier: MIT
#pragma once

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cctype>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include "graph/check_array.h"
#include "graph/sound_yard.h"

// Every refusal of check_array, from both sides of its limit. The limits stand in tables, which
// were written down from the headers of graph/ and the plan language, not read off the code.

namespace tankyard {

inline std::string told_in_full(const Troubles& troubles) {
  std::string text;
  for (const Trouble& each : troubles) {
    text += each.about.kind + " " + std::to_string(each.about.index) + " " + each.about.field +
            ": " + each.message + "; " + each.help + "\n";
  }
  return text;
}

// What every trouble owes its reader, whatever it is about.
inline void expect_well_worded(const Trouble& trouble) {
  ASSERT_FALSE(trouble.message.empty());
  ASSERT_FALSE(trouble.help.empty());
  EXPECT_FALSE(std::isupper(static_cast<unsigned char>(trouble.message.front())));
  EXPECT_NE(trouble.message.back(), '.');
  EXPECT_NE(trouble.help.back(), '.');
}

inline void expect_one(const Troubles& troubles, const PartField& about, const std::string& says) {
  ASSERT_EQ(troubles.size(), 1u) << told_in_full(troubles);
  EXPECT_EQ(troubles[0].about.kind, about.kind);
  EXPECT_EQ(troubles[0].about.index, about.index);
  EXPECT_EQ(troubles[0].about.field, about.field);
  EXPECT_THAT(troubles[0].message, testing::HasSubstr(says));
  expect_well_worded(troubles[0]);
}

struct Limit {
  std::function<void(Parts&, double)> put;
  double passes;
  double fails;
  PartField about;
  std::string says;  ///< the message begins like this when the number fails
};

inline void expect_limits(const std::vector<Limit>& limits) {
  for (const Limit& limit : limits) {
    SCOPED_TRACE(limit.about.kind + " " + limit.about.field + ": " + std::to_string(limit.passes) +
                 " against " + std::to_string(limit.fails));
    Parts good = sound_yard();
    limit.put(good, limit.passes);
    EXPECT_EQ(told_in_full(check_array(good)), "");
    Parts bad = sound_yard();
    limit.put(bad, limit.fails);
    expect_one(check_array(bad), limit.about, limit.says);
    const double inf = std::numeric_limits<double>::infinity();
    for (const double none : {std::numeric_limits<double>::quiet_NaN(), inf, -inf}) {
      Parts no_number = sound_yard();
      limit.put(no_number, none);
      expect_one(check_array(no_number), limit.about, "");
    }
  }
}

struct Mistake {
  const char* what;
  std::function<void(Parts&)> make;
  PartField about;
  std::string says;
};

inline void expect_mistakes(const std::vector<Mistake>& mistakes) {
  for (const Mistake& mistake : mistakes) {
    SCOPED_TRACE(mistake.what);
    Parts parts = sound_yard();
    mistake.make(parts);
    expect_one(check_array(parts), mistake.about, mistake.says);
  }
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace tankyard {

/// Where in a text file something stands. Lines and columns count from 1, columns in characters.
struct Spot {
  std::string file;
  int line = 0;
  int column = 0;
  int length = 1;
};

/// Which part a trouble is about, in the words of the plan file: `{"tank", 2, "overflow.height"}`
/// is the overflow height of the third tank. The plan reader finds line and column from it.
struct PartField {
  std::string kind;       ///< "tank", "header", "hose", "pump", "outlet", "roof", "top_up", "leak",
                          ///< "air_line", "step", "use", "site", "run" or "stock"
  std::size_t index = 0;  ///< place in its list, in plan order
  std::string field;      ///< key, with dots for keys inside keys; empty: the part as a whole
};

/// A reason why no answer can be given: a bad plan, or a solve that failed. What the array does
/// wrong while it runs is no trouble but a finding (solver/findings.h).
///
/// Wording: `message` stands alone, starts in lower case, ends without a full stop and has names in
/// backticks; `notes` are facts; `help` alone says what to change.
struct Trouble {
  std::string message;
  std::vector<std::string> notes;
  std::string help;
  PartField about;
  std::optional<PartField>
      see_also;              ///< the second place that matters, such as the first use of a name
  std::optional<Spot> spot;  ///< filled in by whoever read the text
  std::optional<Spot> see_also_spot;  ///< likewise, of `see_also`
};

using Troubles = std::vector<Trouble>;

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>

#include "io/commands.h"
#include "io/completions.h"
#include "io/nearest.h"
#include "io/report_words.h"

namespace tankyard {

Answer answer_completions(const Asked& asked, const Desk& desk) {
  const std::vector<std::string>& known = shells();
  if (std::find(known.begin(), known.end(), asked.first) != known.end()) {
    return {Exit::done, completions(asked.first, command_words())};
  }
  const auto near = nearest_name(asked.first, known);
  complain(desk.err, fmt::format("there are no completions for `{}`", asked.first),
           near ? fmt::format("there is a shell with a similar name: `{}`", *near)
                : fmt::format("there are for {}", list_of(known)));
  return {Exit::unusable, {}};
}

Answer answer_manual(const Asked&, const Desk&) { return {Exit::done, man_page(command_words())}; }

}  // namespace tankyard

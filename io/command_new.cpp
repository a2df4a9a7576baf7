// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include "io/commands.h"
#include "io/files.h"

namespace tankyard {

Answer answer_new(const Asked& asked, const Desk& desk) {
  if (const auto reason = write_whole(asked.first, starter_plan(), IfThere::refuse)) {
    complain(desk.err, reason->message, reason->help);
    return {reason->because == NotWritten::Because::failed ? Exit::failed : Exit::unusable, {}};
  }
  return {Exit::done, fmt::format("Wrote {0}, a small yard to change into your own.\n"
                                  "Next: tankyard check {0}\n",
                                  asked.first)};
}

}  // namespace tankyard

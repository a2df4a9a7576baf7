// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <filesystem>

#include "io/commands.h"
#include "io/elevation.h"
#include "io/files.h"
#include "io/svg_elevation.h"
#include "solver/at_rest.h"

namespace tankyard {

Answer answer_draw(const Asked& asked, const Desk& desk) {
  const bool to_file = asked.output && *asked.output != "-";
  const std::optional<Plan> plan = plan_or_mistakes(asked.first, desk);
  if (!plan) return {Exit::unusable, {}};
  if (to_file) {
    if (const auto reason = why_not_write(*asked.output, IfThere::replace)) {
      complain(desk.err, reason->message, reason->help);
      return {Exit::unusable, {}};
    }
    std::error_code ignored;
    if (std::filesystem::equivalent(*asked.output, asked.first, ignored)) {
      complain(desk.err, "the drawing would take the place of the plan itself",
               "give `-o` another name, such as `yard.svg`");
      return {Exit::unusable, {}};
    }
  }

  const Result<AtRest> resting = at_rest(plan->array);
  if (!resting) {
    complain(desk.err, resting.error());
    return {Exit::failed, {}};
  }
  const elevation::Picture picture =
      lay_out_elevation(plan->array, state_at_start(plan->array), resting->groups);
  std::string svg = svg_of(picture);
  desk.detail(fmt::format("drew {} parts at 1:{}", picture.groups.size(), picture.one_to));
  if (!to_file) return {Exit::done, std::move(svg)};
  if (const auto reason = write_whole(*asked.output, svg, IfThere::replace)) {
    complain(desk.err, reason->message, reason->help);
    return {Exit::failed, {}};
  }
  desk.tell(fmt::format("wrote {}: {:.0f} by {:.0f} px, heights 1:{}", *asked.output,
                        picture.width_px, picture.height_px, picture.one_to));
  return {Exit::done, {}};
}

}  // namespace tankyard

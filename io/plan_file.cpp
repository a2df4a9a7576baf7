// SPDX-License-Identifier: MIT
#include "io/plan_file.h"

#include <algorithm>
#include <tuple>

#include "io/plan_draft.h"
#include "io/plan_text.h"

namespace tankyard {
namespace {

void sort_by_place(Troubles& troubles) {
  const auto place = [](const Trouble& trouble) {
    return trouble.spot ? std::tuple(trouble.spot->line, trouble.spot->column) : std::tuple(0, 0);
  };
  std::stable_sort(troubles.begin(), troubles.end(),
                   [&](const Trouble& a, const Trouble& b) { return place(a) < place(b); });
}

void read_chapters(Draft& draft) {
  read_site(draft);
  read_tanks(draft);
  read_headers(draft);
  read_hoses(draft);
  read_pumps(draft);
  read_outlets(draft);
  read_supplies(draft);
  read_air_lines(draft);
  read_day_sheet(draft);
  read_uses(draft);
  read_stock(draft);
}

Result<Plan> read_root(Reading& reading, const toml::table& root, const std::string& file) {
  Draft draft(reading, root);
  read_chapters(draft);
  check_draft(draft);
  if (reading.troubles.empty()) {
    tell_what_was_assumed(draft);
    draft.parts.tanks.resize(draft.tanks_in_plan);  // the stand-ins have done their work
    auto array = Array::make(std::move(draft.parts));
    if (array) {
      auto& steps = draft.sheet.steps;
      std::stable_sort(steps.begin(), steps.end(),
                       [](const TimedStep& a, const TimedStep& b) { return a.at_s < b.at_s; });
      return Plan{file,
                  std::move(*array),
                  std::move(draft.sheet),
                  std::move(draft.uses),
                  std::move(draft.stock),
                  std::move(draft.assumed)};
    }
    for (Trouble& trouble : array.error()) {
      trouble.spot = draft.source.locate(trouble.about);
      reading.troubles.push_back(std::move(trouble));
    }
  }
  sort_by_place(reading.troubles);
  return tl::unexpected<Troubles>(std::move(reading.troubles));
}

}  // namespace

Result<Plan> read_plan(std::string_view text, const std::string& file) {
  if (auto trouble = why_no_plan(text, file)) return refuse(std::move(*trouble));
  Reading reading(text, file);
  toml::table root;
  try {
    root = toml::parse(text, std::string_view(file));
  } catch (const toml::parse_error& error) {
    return refuse(syntax_trouble(reading, error));
  }
  if (root.empty()) {
    Trouble trouble;
    trouble.message = "the plan is empty";
    trouble.help = "`tankyard new FILE` writes a plan to start from";
    trouble.spot = reading.whole_file();
    return refuse(std::move(trouble));
  }
  return read_root(reading, root, file);
}

Result<Plan> read_plan_file(const std::string& path) {
  auto text = plan_text(path);
  if (!text) return tl::unexpected<Troubles>(std::move(text.error()));
  return read_plan(*text, path);
}

}  // namespace tankyard

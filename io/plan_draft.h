// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "io/plan_file.h"
#include "io/plan_source.h"
#include "io/plan_words.h"

namespace tankyard {

/// A plan while it is being read. Every entry of the file has its part here, at the same index,
/// whatever is wrong with it; what could not be used holds a stand-in (io/plan_words.h). Two
/// further tanks stand at the end of `parts.tanks`, for ends that name no place.
struct Draft {
  Draft(Reading& reading_, const toml::table& root) : reading(reading_), source(reading_, root) {}

  Reading& reading;
  PlanSource source;
  Parts parts;
  DaySheet sheet;  ///< steps in the order of the file
  std::vector<Use> uses;
  Stock stock;
  std::vector<std::string> assumed;

  std::size_t tanks_in_plan = 0;
  TankId stand_in_from() const { return id_at<TankId>(tanks_in_plan); }
  TankId stand_in_to() const { return id_at<TankId>(tanks_in_plan + 1); }
};

/// The chapters of a plan. Each fills its part of the draft and complains of what it cannot use.
/// Tanks come first: their count places the stand-ins.
void read_site(Draft& draft);
void read_tanks(Draft& draft);
void read_headers(Draft& draft);
void read_hoses(Draft& draft);
void read_pumps(Draft& draft);
void read_outlets(Draft& draft);
void read_supplies(Draft& draft);
void read_air_lines(Draft& draft);
void read_day_sheet(Draft& draft);
void read_uses(Draft& draft);
void read_stock(Draft& draft);

/// Everything graph/ has to say against the draft, each trouble with its spot, less what is said
/// about stand-ins.
void check_draft(Draft& draft);

/// Fills `draft.assumed`.
void tell_what_was_assumed(Draft& draft);

/// What a line of a plan that is no TOML probably should have been.
Trouble syntax_trouble(const Reading& reading, const toml::parse_error& error);

/// The name of an entry; complains where it may not be left out.
std::string read_name(Draft& draft, Entry& entry);

/// `position = ["0 m", "2 m"]` of an entry.
std::optional<Position> read_position(Entry& entry);

/// A value that names a tank: "roof `shed` runs into" goes before the name.
std::optional<TankId> read_tank_name(Draft& draft, Entry& entry, std::string_view key,
                                     const std::string& sentence);

/// The same where the key may not be left out. `otherwise`: what stands in; `example`: what the
/// help proposes.
TankId read_needed_tank(Draft& draft, Entry& entry, std::string_view key,
                        const std::string& sentence, TankId otherwise,
                        std::string_view example = "\"shed-1\"");

/// An end of a hose or pump, or the place of an outlet: "shed-1", or { at = "shed-1", height = "0.9
/// m" } where `with_height`. `otherwise`: what stands in.
HoseEnd read_end(Draft& draft, Entry& entry, std::string_view key, const std::string& sentence,
                 const std::vector<std::string>& kinds, bool with_height, TankId otherwise);

}  // namespace tankyard

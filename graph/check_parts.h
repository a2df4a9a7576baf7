// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "graph/check_words.h"

// Private to graph/: the pieces of check_array, one a chapter of the plan, and the ranges they
// share.

namespace tankyard {

// Outer limits. They are far beyond any yard; what lies past them is a slip of the unit or the
// keyboard, and would only come back as a strange answer.
constexpr Range any_bore{1e-5, 2.0, told_in_mm};
constexpr Range any_area{1e-4, 1e6, told_in_m2};
constexpr Range any_size{1e-3, 100.0, told_in_m};
constexpr Range any_lying_length{1e-3, 1000.0, told_in_m};
constexpr Range any_level{-10000.0, 10000.0, told_in_m};
constexpr Range any_place{-1e6, 1e6, told_in_m};
constexpr Range any_hose_length{0.0, 100000.0, told_in_m};
constexpr Range any_loss{0.0, 1e9, told_plainly};
constexpr Range any_head{0.0, 1000.0, told_in_m};
constexpr Range any_flow{0.0, 10.0, told_in_litres_a_minute, true};
constexpr Range any_flow_or_none{0.0, 10.0, told_in_litres_a_minute};
constexpr Range any_part{0.0, 1.0, told_plainly, true};  // of a whole, but not nothing
constexpr Range any_part_or_none{0.0, 1.0, told_plainly};
constexpr Range any_swing{0.0, 100.0, told_in_kelvin};

/// Slack for heights that are sums of decimals (0.7 + 0.1 is not 0.8 in binary), m: a nanometre.
constexpr double height_slack_m = 1e-9;

/// What is known to be sound about each tank, so that one mistake gives one message: a check that
/// leans on an unsound figure is left out.
struct SoundTank {
  bool shape = false;
  bool base = false;
  bool outlet_height = false;
};
using SoundTanks = std::vector<SoundTank>;

void check_site(const Site& site, Complaints& complaints);
SoundTanks check_tanks(const Parts& parts, Complaints& complaints);
void check_headers(const Parts& parts, Complaints& complaints);
void check_hoses(const Parts& parts, const SoundTanks& sound, Complaints& complaints);
void check_pumps(const Parts& parts, const SoundTanks& sound, Complaints& complaints);
void check_outlets(const Parts& parts, const SoundTanks& sound, Complaints& complaints);
void check_supplies(const Parts& parts, const SoundTanks& sound, Complaints& complaints);
void check_air_lines(const Parts& parts, Complaints& complaints);
void check_names(const Parts& parts, Complaints& complaints);

void check_position(const Checked& checked, const std::optional<Position>& position,
                    Complaints& complaints);

/// Whether a hole of this bore goes into the wall of a tank at all.
bool check_bore_fits(const Checked& checked, const std::string& field, double bore_m,
                     const Tank& tank, std::size_t tank_index, Complaints& complaints);

/// A hole of `bore_m` whose lowest point is `height_m` above the bottom must lie in the wall: not
/// below the bottom, its top not above the rim. `see_also`: where the height was said, when that is
/// not `field`. Requires: check_bore_fits.
bool check_mouth(const Checked& checked, const std::string& field, double height_m, double bore_m,
                 const Tank& tank, std::size_t tank_index, bool sound_shape, Complaints& complaints,
                 std::optional<PartField> see_also = std::nullopt);

/// Whether the plan has this place.
bool exists(const Parts& parts, Place place);

/// Two ends that exist, are two, and do not begin at an outlet.
bool check_two_ends(const Checked& checked, const Parts& parts, Place from, Place to,
                    Complaints& complaints);

/// One mouth of a hose or outlet at its place. Comes back with the height of its lowest point above
/// the datum, if everything that height rests on is sound. Requires: the place exists.
std::optional<double> check_hose_mouth(const Checked& checked, const Parts& parts,
                                       const SoundTanks& sound, const HoseEnd& end,
                                       const std::string& field, double bore_m,
                                       Complaints& complaints);

/// Whether a list holds the part with this id; complains otherwise.
template <class Kind, class List>
bool check_id(const Checked& checked, const char* field, Id<Kind> id, const List& list,
              Complaints& complaints) {
  if (id.index < list.size()) return true;
  complaints.add(checked.at(field),
                 std::string("`") + field + "` of " + checked.called() +
                     " points at a part that does not exist",
                 "name a part of the plan there");
  return false;
}

}  // namespace tankyard

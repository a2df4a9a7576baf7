// SPDX-License-Identifier: MIT
#pragma once

#include <toml++/toml.h>

#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include "graph/trouble.h"
#include "io/units.h"

namespace tankyard {

/// What every part of the plan reader shares: the text, the troubles so far, and which fields hold
/// a stand-in because the plan's own value could not be used. The stand-in of a number is "not a
/// number": the checks of graph/ complain of it and leave out whatever leans on it. So they can run
/// on the whole yard, everything that is wrong comes back at once, and only the complaints about
/// the stand-ins themselves are dropped.
class Reading {
 public:
  Reading(std::string_view text, std::string file);

  Spot spot_of(const toml::source_region& region) const;
  /// For what is wrong with the plan as a whole: no line, no column.
  Spot whole_file() const { return {file_, 0, 0, 0}; }
  /// Part of a string value: `first` and `length` in characters of the string. The whole value
  /// where the text in the file differs from the string (escapes, triple quotes).
  Spot spot_inside(const toml::node& value, std::size_t first, std::size_t length) const;

  void complain(Spot spot, std::string message, std::string help, PartField about = {},
                std::vector<std::string> notes = {});
  /// The trouble added last, to add a note or a second place.
  Trouble& latest() { return troubles.back(); }

  void set_aside(const PartField& field);
  /// Whether the field, a field inside it, or one around it holds a stand-in. A part as a whole
  /// (empty field) does only if it was set aside as a whole.
  bool is_stand_in(const PartField& field) const;

  /// The plan gave a bare number here; a trouble about it says what it stands for.
  void note_bare_number(const PartField& field, Dimension dimension);
  const std::string* bare_number(const PartField& field) const;

  /// The name that was probably meant. Gives up after some hundreds of calls, for in a plan of 10
  /// MB with every name wrong it would go on for hours.
  bool can_search() const { return searches_left_ > 0; }
  std::optional<std::string> likely(std::string_view wrong, const std::vector<std::string>& names);

  std::string_view line(int number) const;

  Troubles troubles;
  bool an_end_is_missing = false;  ///< a hose or pump ends at a place that the plan does not have

 private:
  std::string file_;
  std::vector<std::string_view> lines_;
  std::map<std::pair<std::string, std::size_t>, std::vector<std::string>> stand_ins_;
  std::map<std::tuple<std::string, std::size_t, std::string>, std::string> bare_numbers_;
  int searches_left_ = 300;
};

/// The stand-in of a number.
constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

/// "`a`, `b` and `c`": joined as in a sentence.
std::string listed(const std::vector<std::string>& words, std::string_view last = " and ");

/// A value as a person would call it: "a list", "true or false", "a clock time".
std::string what_it_is(const toml::node& node);

/// One table of the plan, read key by key. Whatever is asked for counts as known; `finish`
/// complains of all other keys. Each reader gives nothing back where the key is left out; where the
/// value cannot be used it complains and gives back the stand-in (no list, no table, no text).
/// `owner` is how messages call the table: "tank `shed-1`", "the lid of tank `shed-1`".
class Entry {
 public:
  Entry(Reading& reading, const toml::table& table, PartField about, std::string owner);

  const toml::node* get(std::string_view key);

  std::optional<double> quantity(std::string_view key, Dimension dimension);
  double quantity_or(std::string_view key, Dimension dimension, double otherwise);
  double needed_quantity(std::string_view key, Dimension dimension, std::string_view example = {});
  std::optional<double> number(std::string_view key);
  double number_or(std::string_view key, double otherwise);
  std::optional<int> whole_number(std::string_view key);
  bool flag_or(std::string_view key, bool otherwise);
  std::optional<std::string> text(std::string_view key, std::string_view example);
  std::optional<Entry> table(std::string_view key, const std::string& inner_owner,
                             std::string_view example);
  /// A list of pairs such as a pump's curve.
  std::optional<std::vector<std::pair<double, double>>> pairs(std::string_view key, Dimension first,
                                                              Dimension second,
                                                              std::string_view example);

  /// A single value inside a list; `key` says where it belongs.
  double quantity_at(const toml::node& node, std::string_view key, Dimension dimension);

  /// Told by `finish`, all missing keys in one message, and none that is there but misspelt.
  void missing(std::string_view key, std::string_view example);
  void wrong_kind(const toml::node& node, std::string_view key, std::string_view needed,
                  std::string_view example);
  void complain_at(const toml::node& node, std::string_view key, std::string message,
                   std::string help);
  void complain_of(const toml::node& node, std::string_view key, const QuantityProblem& problem);
  void finish();

  PartField field(std::string_view key) const;
  const PartField& about() const { return about_; }
  const std::string& owner() const { return owner_; }
  const toml::table& toml() const { return *table_; }
  Reading& reading() { return *reading_; }

 private:
  Reading* reading_;
  const toml::table* table_;
  PartField about_;
  std::string owner_;
  void complain_of_missing_keys();

  std::vector<std::string> known_;
  std::vector<std::pair<std::string, std::string>> missing_;  ///< key and example
};

/// Complains of every key of `table` that is not in `known`. Gives back the known keys that were
/// probably meant; they are set aside.
std::vector<std::string> complain_of_unknown_keys(Reading& reading, const toml::table& table,
                                                  const PartField& about, const std::string& owner,
                                                  const std::vector<std::string>& known);

/// The value under a key, or under one that differs from it by a single slip: what is complained of
/// as an unknown key need not be complained of again wherever it is referred to.
const toml::node* get_or_misspelt(const toml::table& table, std::string_view key);

}  // namespace tankyard

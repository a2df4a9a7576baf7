// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "graph/trouble.h"

// Private to graph/: how the checks say what is wrong.

namespace tankyard {

/// How a number is told: SI times `per_si`, then the sign.
struct ToldIn {
  double per_si;
  const char* sign;
};

constexpr ToldIn told_in_m{1.0, "m"};
constexpr ToldIn told_in_mm{1000.0, "mm"};
constexpr ToldIn told_in_m2{1.0, "m2"};
constexpr ToldIn told_in_litres{1000.0, "L"};
constexpr ToldIn told_in_litres_a_minute{60000.0, "L/min"};
constexpr ToldIn told_in_mm_an_hour{3.6e6, "mm/h"};
constexpr ToldIn told_in_kpa{1e-3, "kPa"};
constexpr ToldIn told_in_degc{1.0, "degC"};
constexpr ToldIn told_in_kelvin{1.0, "K"};
constexpr ToldIn told_in_hours{1.0 / 3600.0, "h"};
constexpr ToldIn told_plainly{1.0, ""};

/// "19 mm". Six digits, or as many as it takes to tell `value` from `beside`, so that nothing reads
/// "2000 mm is over 2000 mm".
std::string told(double value, ToldIn unit, std::optional<double> beside = std::nullopt);

/// What a number may be; the low end itself counts unless `over_low`, likewise the high end.
struct Range {
  double low = 0.0;
  double high = 0.0;
  ToldIn unit = told_plainly;
  bool over_low = false;
  bool below_high = false;

  bool holds(double value) const;  ///< false for what is not finite
  std::string in_words() const;    ///< "over 0 mm and at most 2000 mm"
};

/// The part that is being checked.
struct Checked {
  const char* kind;  ///< as in `PartField`
  std::size_t index;
  const std::string& name;

  /// "hose `rail-1`"; the third hose, if its name cannot be shown: "hose 3".
  std::string called() const;
  PartField at(std::string field) const { return {kind, index, std::move(field)}; }
};

/// "top-up" for "top_up", "air line" for "air_line": the word people use.
std::string kind_in_words(const std::string& kind);

/// "a tank", "an outlet".
std::string with_article(const std::string& word);

/// Whether a name can be shown and typed: not blank, no control characters, at most 200 characters.
bool can_be_shown(const std::string& name);

/// Collects what is wrong.
struct Complaints {
  Troubles found;

  void add(PartField about, std::string message, std::string help,
           std::optional<PartField> see_also = std::nullopt);

  /// Complains unless the range holds the value: "`what` of hose `x` is 0 mm". Returns whether it
  /// does.
  bool within(const Checked& checked, const char* field, const char* what, double value,
              const Range& range);
};

}  // namespace tankyard

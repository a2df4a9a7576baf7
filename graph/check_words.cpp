// SPDX-License-Identifier: MIT
#include "graph/check_words.h"

#include <cmath>
#include <cstdio>
#include <utility>

namespace tankyard {
namespace {

std::string digits(double number, int count) {
  char text[40];
  std::snprintf(text, sizeof text, "%.*g", count, number);
  return text;
}

std::string with_sign(const std::string& number, ToldIn unit) {
  return *unit.sign == '\0' ? number : number + " " + unit.sign;
}

}  // namespace

std::string told(double value, ToldIn unit, std::optional<double> beside) {
  if (std::isnan(value)) return "not a number";
  if (std::isinf(value)) return value > 0.0 ? "without end" : "below every number";
  const double number = value * unit.per_si + 0.0;  // + 0.0: no "-0"
  int count = 6;
  if (beside && *beside != value) {
    const double other = *beside * unit.per_si + 0.0;
    while (count < 17 && digits(number, count) == digits(other, count)) ++count;
  }
  return with_sign(digits(number, count), unit);
}

bool Range::holds(double value) const {
  if (!std::isfinite(value)) return false;
  if (over_low ? value <= low : value < low) return false;
  return below_high ? value < high : value <= high;
}

std::string Range::in_words() const {
  const std::string bottom = (over_low ? "over " : "at least ") + told(low, unit);
  return bottom + " and " + (below_high ? "below " : "at most ") + told(high, unit);
}

std::string kind_in_words(const std::string& kind) {
  if (kind == "top_up") return "top-up";
  return kind == "air_line" ? "air line" : kind;
}

std::string with_article(const std::string& word) {
  const bool vowel = !word.empty() && std::string("aeiou").find(word[0]) != std::string::npos;
  return (vowel ? "an " : "a ") + word;
}

bool can_be_shown(const std::string& name) {
  std::size_t characters = 0;
  bool blank = true;
  for (const char c : name) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x20 || byte == 0x7f) return false;
    if ((byte & 0xc0u) != 0x80u) ++characters;  // UTF-8: all but the first byte of a character
    if (c != ' ') blank = false;
  }
  return !blank && characters <= 200;
}

std::string Checked::called() const {
  const std::string word = kind_in_words(kind);
  if (word == "site") return "the site";
  return can_be_shown(name) ? word + " `" + name + "`" : word + " " + std::to_string(index + 1);
}

void Complaints::add(PartField about, std::string message, std::string help,
                     std::optional<PartField> see_also) {
  Trouble trouble;
  trouble.message = std::move(message);
  trouble.help = std::move(help);
  trouble.about = std::move(about);
  trouble.see_also = std::move(see_also);
  found.push_back(std::move(trouble));
}

bool Complaints::within(const Checked& checked, const char* field, const char* what, double value,
                        const Range& range) {
  if (range.holds(value)) return true;
  const double limit = value > range.high ? range.high : range.low;
  const std::string called = checked.called();
  add(checked.at(field),
      std::string(what) + " of " + called + " is " + told(value, range.unit, limit),
      std::string("the ") + what + " must be " + range.in_words());
  return false;
}

}  // namespace tankyard

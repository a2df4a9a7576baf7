// SPDX-License-Identifier: MIT
#include "io/nearest.h"

#include <algorithm>
#include <utility>

#include "io/utf8.h"

namespace tankyard {
namespace {

/// Names longer than this are not compared: no one makes slips in a name of 200 letters, and a plan
/// of 10 MB could otherwise keep us busy for hours.
constexpr std::size_t longest_compared = 100;

std::vector<char32_t> small_letters(std::string_view text) {
  std::vector<char32_t> letters;
  for (std::size_t at = 0; at < text.size();) {
    const char32_t letter = next_character(text, at);
    letters.push_back(letter >= U'A' && letter <= U'Z' ? letter - U'A' + U'a' : letter);
  }
  return letters;
}

}  // namespace

std::size_t slips_between(std::string_view a, std::string_view b) {
  const std::vector<char32_t> x = small_letters(a);
  const std::vector<char32_t> y = small_letters(b);
  std::vector<std::size_t> two_up(y.size() + 1);
  std::vector<std::size_t> up(y.size() + 1);
  std::vector<std::size_t> row(y.size() + 1);
  for (std::size_t j = 0; j <= y.size(); ++j) up[j] = j;
  for (std::size_t i = 1; i <= x.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= y.size(); ++j) {
      const std::size_t wrong = x[i - 1] == y[j - 1] ? 0 : 1;
      row[j] = std::min({up[j] + 1, row[j - 1] + 1, up[j - 1] + wrong});
      const bool swapped = i > 1 && j > 1 && x[i - 1] == y[j - 2] && x[i - 2] == y[j - 1];
      if (swapped) row[j] = std::min(row[j], two_up[j - 2] + 1);
    }
    two_up.swap(up);
    up.swap(row);
  }
  return up[y.size()];
}

std::optional<std::string> nearest_name(std::string_view wrong,
                                        const std::vector<std::string>& names) {
  if (wrong.empty() || wrong.size() > longest_compared) return std::nullopt;
  const std::size_t length = characters_in(wrong);
  std::optional<std::string> nearest;
  std::pair<std::size_t, std::size_t> fewest;
  for (const std::string& name : names) {
    if (name.empty() || name.size() > longest_compared) continue;
    const std::size_t letters = characters_in(name);
    const std::size_t allowed = std::clamp<std::size_t>(std::max(letters, length) / 3, 1, 4);
    const std::size_t apart = letters > length ? letters - length : length - letters;
    if (apart > allowed) continue;
    const std::size_t slips = slips_between(wrong, name);
    if (slips > allowed || slips >= std::max(letters, length)) continue;
    // Of equals, the one of the same length: a wrong letter is likelier than a missing one.
    if (!nearest || std::pair(slips, apart) < fewest) {
      nearest = name;
      fewest = {slips, apart};
    }
  }
  return nearest;
}

}  // namespace tankyard

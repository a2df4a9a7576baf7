// SPDX-License-Identifier: MIT
#include "edits.h"

#include <algorithm>
#include <cctype>
#include <random>
#include <string_view>

namespace tankyard::fuzz {
namespace {

constexpr std::string_view hostile[] = {"0",
                                        "-1",
                                        "nan",
                                        "-inf",
                                        "inf",
                                        "1e308",
                                        "-1e308",
                                        "1e-308",
                                        "1e-30",
                                        "5e-324",
                                        "1e17",
                                        "99999999999999999999",
                                        "0x10",
                                        "1_000",
                                        "\"1e9 d\"",
                                        "\"1e308 L\"",
                                        "\"1e-30 m2\"",
                                        "\"0 mm\"",
                                        "\"-4 L\"",
                                        "\"nan mm\"",
                                        "\"\"",
                                        "true",
                                        "[]",
                                        "{}",
                                        "[[]]",
                                        "05:00:00",
                                        "2026-11-25",
                                        "\"\\u0000\"",
                                        "\"\xC3\xA9\xE2\x82\xAC\""};

class Slips {
 public:
  Slips(std::string text, std::uint64_t seed) : text_(std::move(text)), draw_(seed) {}

  std::size_t below(std::size_t most) { return most == 0 ? 0 : draw_() % most; }

  void cut_short() { text_.resize(below(text_.size() + 1)); }

  void wrong_byte() {
    if (text_.empty()) return;
    text_[below(text_.size())] = static_cast<char>(below(256));
  }

  void lose_byte() {
    if (!text_.empty()) text_.erase(below(text_.size()), 1 + below(3));
  }

  /// A run of digits, dots and signs becomes something else.
  void wrong_number() {
    const auto part_of_number = [](char c) {
      return std::isdigit(static_cast<unsigned char>(c)) != 0 || c == '.' || c == '-' || c == '+';
    };
    if (text_.empty()) return;
    std::size_t at = below(text_.size());
    while (at < text_.size() && !part_of_number(text_[at])) ++at;
    std::size_t end = at;
    while (end < text_.size() && part_of_number(text_[end])) ++end;
    text_.replace(at, end - at, hostile[below(std::size(hostile))]);
  }

  /// All that stands after an equals sign becomes something else.
  void wrong_value() {
    if (text_.empty()) return;
    const std::size_t at = text_.find('=', below(text_.size()));
    if (at == std::string::npos) return;
    const std::size_t end = std::min(text_.find('\n', at), text_.size());
    text_.replace(at + 1, end - at - 1, hostile[below(std::size(hostile))]);
  }

  void lose_line() {
    const auto [from, to] = line();
    text_.erase(from, to - from);
  }

  void double_line() {
    const auto [from, to] = line();
    text_.insert(from, text_.substr(from, to - from));
  }

  void borrow_line(const std::vector<std::string>& others) {
    std::string lent = text_;
    if (!others.empty()) lent = others[below(others.size())];
    Slips other(lent, draw_());
    const auto [from, to] = other.line();
    text_.insert(line().first, lent.substr(from, to - from));
  }

  std::string take() { return std::move(text_); }

 private:
  std::pair<std::size_t, std::size_t> line() {
    const std::size_t at = below(text_.size());
    const std::size_t before = at == 0 ? std::string::npos : text_.rfind('\n', at - 1);
    const std::size_t from = before == std::string::npos ? 0 : before + 1;
    const std::size_t after = text_.find('\n', from);
    return {from, after == std::string::npos ? text_.size() : after + 1};
  }

  std::string text_;
  std::mt19937_64 draw_;
};

}  // namespace

std::string with_slips(const std::string& text, std::uint64_t seed,
                       const std::vector<std::string>& others) {
  Slips slips(text, seed);
  const std::size_t many = 1 + slips.below(3);
  for (std::size_t k = 0; k < many; ++k) {
    switch (slips.below(10)) {
      case 0:
        slips.cut_short();
        break;
      case 1:
        slips.wrong_byte();
        break;
      case 2:
        slips.lose_byte();
        break;
      case 3:
        slips.lose_line();
        break;
      case 4:
        slips.double_line();
        break;
      case 5:
        slips.borrow_line(others);
        break;
      case 6:
        slips.wrong_value();
        break;
      default:
        slips.wrong_number();
        break;
    }
  }
  return slips.take();
}

}  // namespace tankyard::fuzz

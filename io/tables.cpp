// SPDX-License-Identifier: MIT
#include "io/tables.h"

#include <algorithm>
#include <iterator>
#include <numeric>

#include "graph/breach.h"
#include "io/utf8.h"

namespace tankyard {
namespace {

constexpr int gap = 2;              // blanks between two columns
constexpr int indent = 2;           // blanks before the first
constexpr int narrowest_words = 8;  // a column of words is not squeezed below this

/// Whether a word is a unit, which is not parted from its number at the end of a line.
bool is_unit(std::string_view word) {
  while (!word.empty() && std::string_view(".,;:)").find(word.back()) != std::string_view::npos) {
    word.remove_suffix(1);
  }
  static constexpr std::string_view units[] = {"L", "m", "mm",  "m2", "L/min", "L/h", "mm/h",
                                               "%", "s", "min", "h",  "days",  "kPa", "degC"};
  return std::find(std::begin(units), std::end(units), word) != std::end(units);
}

std::vector<std::string_view> words_of(std::string_view text) {
  std::vector<std::string_view> words;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t from = text.find_first_not_of(' ', at);
    if (from == std::string_view::npos) break;
    const std::size_t past = std::min(text.find(' ', from), text.size());
    const std::string_view word = text.substr(from, past - from);
    const bool after_number = !words.empty() && from == at + 1 && words.back().back() >= '0' &&
                              words.back().back() <= '9';
    if (after_number && is_unit(word)) {
      const std::size_t begin = at - words.back().size();
      words.back() = text.substr(begin, past - begin);
    } else {
      words.push_back(word);
    }
    at = past;
  }
  return words;
}

/// The text in lines of at most `columns`; words longer than that are left whole.
std::vector<std::string> lines_within(std::string_view text, int columns) {
  std::vector<std::string> lines;
  int width = 0;
  for (const std::string_view word : words_of(text)) {
    const int wide = width_of(word);
    if (lines.empty() || width + 1 + wide > columns) {
      lines.emplace_back(word);
      width = wide;
    } else {
      lines.back().append(" ").append(word);
      width += 1 + wide;
    }
  }
  if (lines.empty()) lines.emplace_back();
  return lines;
}

int widest_word(std::string_view text) {
  int widest = 0;
  for (const std::string_view word : words_of(text)) widest = std::max(widest, width_of(word));
  return widest;
}

void pad(std::string& line, int columns) {
  if (columns > 0) line.append(static_cast<std::size_t>(columns), ' ');
}

void end_line(std::string& text) {
  const std::size_t last = text.find_last_not_of(' ');
  text.erase(last == std::string::npos ? 0 : last + 1);
  text += '\n';
}

/// How columns of a table share a terminal.
struct Fit {
  Fit(const Table& table, std::vector<std::size_t> columns, int terminal_columns);

  std::vector<std::size_t> shown;
  std::vector<int> wide;  ///< of each shown column
  bool fits = true;
  bool squeezed = false;  ///< words in cells have to be broken over lines
  std::size_t heading_lines = 1;
};

Fit::Fit(const Table& table, std::vector<std::size_t> columns, int terminal_columns)
    : shown(std::move(columns)), wide(shown.size(), 0) {
  // Each column at its narrowest with cells whole, headings broken; then words are squeezed, the
  // widest column first, until the table fits.
  std::vector<int> least(shown.size(), 0);
  for (std::size_t k = 0; k < shown.size(); ++k) {
    const Table::Column& column = table.columns()[shown[k]];
    wide[k] = least[k] = widest_word(column.heading);
    for (const auto& row : table.rows()) {
      wide[k] = std::max(wide[k], width_of(row[shown[k]]));
      least[k] = std::max(least[k], column.holds == Table::Holds::words ? widest_word(row[shown[k]])
                                                                        : width_of(row[shown[k]]));
    }
    least[k] = std::min(std::max(least[k], narrowest_words), wide[k]);
  }
  const int gaps = indent + gap * (static_cast<int>(shown.size()) - 1);
  const auto total = [&] { return std::accumulate(wide.begin(), wide.end(), gaps); };
  while (total() > terminal_columns) {
    std::size_t narrowed = shown.size();
    for (std::size_t k = 0; k < shown.size(); ++k) {
      if (wide[k] > least[k] && (narrowed == shown.size() || wide[k] > wide[narrowed]))
        narrowed = k;
    }
    if (narrowed == shown.size()) break;
    --wide[narrowed];
    squeezed = true;
  }
  fits = total() <= terminal_columns;

  // Room that is left lets headings stand on fewer lines.
  const auto lines_of = [&](std::size_t k) {
    return lines_within(table.columns()[shown[k]].heading, wide[k]).size();
  };
  for (bool widened = true; widened && total() < terminal_columns;) {
    widened = false;
    std::size_t tallest = 0;
    std::size_t tall = 1;
    for (std::size_t k = 0; k < shown.size(); ++k) {
      if (lines_of(k) > tall) tallest = k, tall = lines_of(k);
    }
    if (tall > 1) ++wide[tallest], widened = true;
  }
  for (std::size_t k = 0; k < shown.size(); ++k) {
    heading_lines = std::max(heading_lines, lines_of(k));
  }
}

/// Each row as a small list: its first cell, and below it the others with their headings.
std::string in_lists(const Table& table, const std::vector<std::size_t>& shown,
                     int terminal_columns) {
  std::string text;
  for (const auto& row : table.rows()) {
    text += wrapped(row[shown[0]], terminal_columns, "  ", "  ");
    for (std::size_t k = 1; k < shown.size(); ++k) {
      if (row[shown[k]].empty()) continue;
      text += wrapped(table.columns()[shown[k]].heading + ": " + row[shown[k]], terminal_columns,
                      "    ", "      ");
    }
  }
  return text;
}

std::string in_columns(const Table& table, const Fit& fit) {
  const std::vector<std::size_t>& shown = fit.shown;
  const std::vector<int>& wide = fit.wide;
  std::string text;
  const auto add_lines = [&](const std::vector<std::vector<std::string>>& cells, bool at_foot) {
    std::size_t height = 0;
    for (const auto& cell : cells) height = std::max(height, cell.size());
    for (std::size_t line = 0; line < height; ++line) {
      std::string drawn(indent, ' ');
      for (std::size_t k = 0; k < shown.size(); ++k) {
        const std::size_t above = at_foot ? height - cells[k].size() : 0;
        const bool there = line >= above && line - above < cells[k].size();
        const std::string& piece = there ? cells[k][line - above] : std::string();
        const int spare = wide[k] - width_of(piece);
        const bool right = table.columns()[shown[k]].holds == Table::Holds::numbers;
        if (right) pad(drawn, spare);
        drawn += piece;
        if (k + 1 < shown.size()) pad(drawn, (right ? 0 : spare) + gap);
      }
      end_line(drawn);
      text += drawn;
    }
  };

  std::vector<std::vector<std::string>> cells;
  for (std::size_t k = 0; k < shown.size(); ++k) {
    cells.push_back(lines_within(table.columns()[shown[k]].heading, wide[k]));
  }
  add_lines(cells, true);
  std::string rule(indent, ' ');
  for (std::size_t k = 0; k < shown.size(); ++k) {
    for (int dash = 0; dash < wide[k]; ++dash) rule += "─";
    if (k + 1 < shown.size()) pad(rule, gap);
  }
  text += rule + "\n";
  for (const auto& row : table.rows()) {
    cells.clear();
    for (std::size_t k = 0; k < shown.size(); ++k) {
      cells.push_back(lines_within(row[shown[k]], wide[k]));
    }
    add_lines(cells, false);
  }
  return text;
}

}  // namespace

int width_of(std::string_view line) {
  int columns = 0;
  for (std::size_t at = 0; at < line.size();) columns += columns_of(next_character(line, at));
  return columns;
}

std::string wrapped(std::string_view text, int columns, std::string_view first,
                    std::string_view rest) {
  const int room = std::max(columns - std::max(width_of(first), width_of(rest)), 1);
  std::string paragraph;
  bool begun = false;
  for (const std::string& line : lines_within(text, room)) {
    paragraph += begun ? rest : first;
    paragraph += line;
    end_line(paragraph);
    begun = true;
  }
  return paragraph;
}

void Table::add(std::vector<std::string> cells) {
  if (cells.size() != columns_.size()) {
    breach("Table::add", std::to_string(cells.size()) + " cells for " +
                             std::to_string(columns_.size()) + " columns");
  }
  rows_.push_back(std::move(cells));
}

std::string Table::in_text(int terminal_columns) const {
  std::vector<std::size_t> shown;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    for (const auto& row : rows_) {
      if (row[c].empty()) continue;
      shown.push_back(c);
      break;
    }
  }
  Fit fit(*this, shown, terminal_columns);
  const auto is_bar = [&](std::size_t c) { return columns_[c].holds == Holds::bars; };
  if (std::any_of(shown.begin(), shown.end(), is_bar)) {
    shown.erase(std::remove_if(shown.begin(), shown.end(), is_bar), shown.end());
    const Fit without(*this, shown, terminal_columns);
    if (!fit.fits || fit.squeezed || fit.heading_lines > without.heading_lines) fit = without;
  }
  if (fit.shown.empty()) return {};
  return fit.fits ? in_columns(*this, fit) : in_lists(*this, fit.shown, terminal_columns);
}

}  // namespace tankyard

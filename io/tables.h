// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace tankyard {

/// Text for a terminal of so many columns: wrapped paragraphs and aligned tables. Widths are
/// counted in columns of the terminal, so that names in any script line up. No colour anywhere:
/// what is said in words also reaches a file, a printer and a screen reader.

/// Columns a line takes on the terminal.
int width_of(std::string_view line);

/// A paragraph broken between words into lines of at most `columns`, the first one after `first`,
/// the others after `rest`. A word longer than a line is left whole, and so is a number with its
/// unit. Ends with a line break.
std::string wrapped(std::string_view text, int columns, std::string_view first = "",
                    std::string_view rest = "");

/// A table that grows row by row. Where it is wider than the terminal, its bars are left out, then
/// headings break over lines, then columns of words do; where that does not do either, each row
/// becomes a small list.
class Table {
 public:
  /// Words stand to the left of their column, numbers to the right. Bars only draw what a number
  /// beside them says: they are shown where no other column has to give way for them, and never on
  /// a page or in a list.
  enum class Holds { words, numbers, bars };
  struct Column {
    std::string heading;
    Holds holds = Holds::numbers;
  };

  explicit Table(std::vector<Column> columns) : columns_(std::move(columns)) {}

  /// Requires: one cell a column.
  void add(std::vector<std::string> cells);
  bool empty() const { return rows_.empty(); }
  const std::vector<Column>& columns() const { return columns_; }
  const std::vector<std::vector<std::string>>& rows() const { return rows_; }

  /// Columns in which every cell is empty are left out.
  std::string in_text(int terminal_columns) const;

 private:
  std::vector<Column> columns_;
  std::vector<std::vector<std::string>> rows_;
};

}  // namespace tankyard

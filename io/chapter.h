// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "io/tables.h"

namespace tankyard {

/// One titled piece of an answer, apart from how it is shown: io/report*.cpp makes them, the
/// terminal and the page show the same ones.
struct Chapter {
  std::string title;
  std::optional<Table> table;
  std::vector<std::string> notes = {};   ///< below the table, each on lines of its own
  std::vector<std::string> points = {};  ///< a list, each a sentence without full stop
  bool apart = false;                    ///< on a terminal an empty line stands before the notes
  bool up_front = false;  ///< on a page it stands open and is printed: cautions, what to do first

  bool empty() const { return (!table || table->empty()) && notes.empty() && points.empty(); }
};

/// For a terminal: an empty line, the title, the rest indented. Nothing of an empty chapter.
std::string chapter_text(const Chapter& chapter, int columns);

/// All of them in order.
std::string chapters_text(const std::vector<Chapter>& chapters, int columns);

}  // namespace tankyard

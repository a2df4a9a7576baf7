// SPDX-License-Identifier: MIT
#include "io/chapter.h"

#include "io/report.h"

namespace tankyard {

std::string chapter_text(const Chapter& chapter, int columns) {
  if (chapter.empty()) return {};
  std::string text = heading(chapter.title, columns);
  if (chapter.table) text += chapter.table->in_text(columns);
  if (chapter.apart && !chapter.notes.empty()) text += "\n";
  for (const std::string& note : chapter.notes) {
    text += wrapped(note, chapter.apart ? prose_columns(columns) : columns, "  ", "  ");
  }
  for (const std::string& point : chapter.points) {
    text += wrapped(point, prose_columns(columns), "  - ", "    ");
  }
  return text;
}

std::string chapters_text(const std::vector<Chapter>& chapters, int columns) {
  std::string text;
  for (const Chapter& chapter : chapters) text += chapter_text(chapter, columns);
  return text;
}

}  // namespace tankyard

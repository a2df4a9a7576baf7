// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <string>

#include "graph/result.h"

namespace tankyard {

/// How a reader of files tells what is wrong with one, and how much it takes.
struct TextFileRules {
  const char* folder_message;  ///< there is a folder of that name
  const char* folder_help;
  const char* missing_help;  ///< there is nothing of that name
  const char* closed_help;   ///< there is, and it cannot be opened
  std::size_t most_bytes;
  const char* long_message;  ///< over that
  const char* long_help;
};

/// A trouble with a file and not with anything in it.
Trouble file_trouble(const std::string& path, std::string message, std::string help);

/// All bytes of a file, or what is wrong with it.
Result<std::string> text_of_file(const std::string& path, const TextFileRules& rules);

}  // namespace tankyard

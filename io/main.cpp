// SPDX-License-Identifier: MIT
#include <csignal>
#include <exception>
#include <iostream>
#include <string>
#include <vector>

#include "io/command_line.h"

int main(int count, char** words) {
  // A reader that goes away, such as `head`, is then met as a write that fails.
  std::signal(SIGPIPE, SIG_IGN);
  // And so is a limit on the size of files.
  std::signal(SIGXFSZ, SIG_IGN);
  try {
    return tankyard::command_line({words + 1, words + count}, std::cout, std::cerr,
                                  tankyard::terminal_columns(), tankyard::terminal_is_ascii());
  } catch (const std::exception& error) {
    std::cerr << "tankyard: error: stopped unexpectedly: " << error.what()
              << "\nhelp: please report the command and the plan\n";
    return 3;
  }
}

// SPDX-License-Identifier: MIT
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

namespace tankyard {

/// Does what the words ask for: answers on `out`, everything else on `err`, in lines of at most
/// `columns`. Comes back with the exit status: 0 done; 1 done, and there is a danger in the yard; 2
/// what was given cannot be used; 3 anything else, such as an answer that could not be written.
/// `ascii`: lines and signs of ours are drawn in ASCII; names stay as they are.
int command_line(const std::vector<std::string>& words, std::ostream& out, std::ostream& err,
                 int columns, bool ascii = false);

/// Whether standard output is a terminal whose locale (LC_ALL, else LC_CTYPE, else LANG) is not one
/// of UTF-8. A file or a pipe gets UTF-8.
bool terminal_is_ascii();

/// Columns of the terminal that standard output goes to. Where it goes to no terminal: what the
/// environment says in COLUMNS, else 80.
int terminal_columns();

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace tankyard {

/// Files are written whole or not at all: the bytes go to a new file beside the target, and only
/// when all of them are on the disk does it take the target's name. Whoever looks at the target
/// sees the old file or the new one, never half of either, even when the disk fills up or the power
/// goes. A signal to end (SIGHUP, SIGINT, SIGTERM) waits until nothing is left beside the target.

/// What a write may do to a file that is there already.
enum class IfThere { replace, refuse };

/// Why a file was not written.
struct NotWritten {
  enum class Because { there_already, no_such_folder, not_a_file, not_allowed, failed };
  Because because = Because::failed;
  std::string message;  ///< stands alone, as in `Trouble`
  std::string help;
};

/// What stands in the way of writing `path`, as far as it can be told without writing: its folder
/// is missing or lets nothing be written, it names a folder, or it is there and is not to be
/// replaced. None: nothing seen.
std::optional<NotWritten> why_not_write(const std::string& path, IfThere if_there);

/// Writes the bytes. A link is followed, the access rights of a file that is replaced are kept, and
/// what is no plain file (a terminal, a pipe) is written to directly. None: written.
std::optional<NotWritten> write_whole(const std::string& path, std::string_view bytes,
                                      IfThere if_there);

}  // namespace tankyard

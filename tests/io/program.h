// SPDX-License-Identifier: MIT
#pragma once

#include <cstdlib>
#include <filesystem>
#include <string>

namespace tankyard {

std::string text_of_file(const std::filesystem::path& path);

/// A folder that goes away again.
class ScratchFolder {
 public:
  ScratchFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "tankyard-test-XXXXXX").string();
    path_ = ::mkdtemp(name.data());
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  const std::filesystem::path& path() const { return path_; }
  std::string operator/(const std::string& name) const { return (path_ / name).string(); }

 private:
  std::filesystem::path path_;
};

struct Ended {
  int status = -1;
  std::string out;
};

/// What a line of bash prints on standard output, and its exit status. `tankyard` is the program
/// under test.
Ended shell(const std::string& line, const std::filesystem::path& folder);

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#pragma once

#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

namespace tankyard {

inline std::string text_of_file(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

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
inline Ended shell(const std::string& line, const std::filesystem::path& folder) {
  ScratchFolder scripts;
  const std::string script = scripts / "line.sh";
  std::ofstream(script) << "cd '" << folder.string() << "' || exit 99\n"
                        << "unset COLUMNS\n"
                        << "tankyard() { '" << TANKYARD_PROGRAM << "' \"$@\"; }\n"
                        << line << "\n";
  std::FILE* pipe = ::popen(("bash '" + script + "'").c_str(), "r");
  Ended ended;
  if (pipe == nullptr) return ended;
  std::array<char, 4096> block;
  while (const std::size_t got = std::fread(block.data(), 1, block.size(), pipe)) {
    ended.out.append(block.data(), got);
  }
  const int status = ::pclose(pipe);
  ended.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return ended;
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include "io/program.h"

#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <fstream>
#include <sstream>

namespace tankyard {

std::string text_of_file(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

Ended shell(const std::string& line, const std::filesystem::path& folder) {
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

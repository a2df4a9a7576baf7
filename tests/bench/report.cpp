// SPDX-License-Identifier: MIT
#include "report.h"

#include <cctype>
#include <cstdio>
#include <ctime>
#include <fstream>
#include <thread>

#include "cvode_peer.h"

namespace bench {
namespace {

std::string first_line_of(const std::string& command) {
  std::FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return "unknown";
  char line[200] = "";
  if (std::fgets(line, sizeof line, pipe) == nullptr) line[0] = '\0';
  pclose(pipe);
  std::string text = line;
  while (!text.empty() && std::isspace(static_cast<unsigned char>(text.back()))) text.pop_back();
  return text.empty() ? "unknown" : text;
}

/// Asked once, at the start: what is committed while the benchmark runs is not what it measures.
const std::string& commit() {
  static const std::string known = [] {
    const std::string git = "git -C '" TANKYARD_SOURCE_DIR "' ";
    const std::string head = first_line_of(git + "rev-parse --short HEAD 2>/dev/null");
    // A plus says that graph/ or solver/ held changes that are in no commit.
    const std::string edits =
        first_line_of(git + "status --porcelain -uno graph solver 2>/dev/null");
    return edits == "unknown" ? head : head + "+";
  }();
  return known;
}

std::string date() {
  const std::time_t now = std::time(nullptr);
  char text[32];
  std::strftime(text, sizeof text, "%Y-%m-%d", std::gmtime(&now));
  return text;
}

}  // namespace

std::string machine_kind() {
  std::string model = "unknown";
  std::ifstream about("/proc/cpuinfo");
  for (std::string line; std::getline(about, line);) {
    if (line.rfind("model name", 0) != 0) continue;
    model = line.substr(line.find(':') + 1);
    break;
  }
  std::string kind;
  for (const char letter : model) {
    if (std::isalnum(static_cast<unsigned char>(letter))) {
      kind += static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
    } else if (!kind.empty() && kind.back() != '-') {
      kind += '-';
    }
  }
  while (!kind.empty() && kind.back() == '-') kind.pop_back();
  return kind + "-" + std::to_string(std::thread::hardware_concurrency()) + "-cores";
}

bool append_csv(const std::string& path, const std::vector<Figure>& figures) {
  const bool is_new = !std::ifstream(path).good();
  std::ofstream out(path, std::ios::app);
  if (is_new) out << "date,commit,compiler,flags,figure,value,unit\n";
  const std::string before = date() + "," + commit() + "," BENCH_COMPILER "," BENCH_FLAGS ",";
  for (const Figure& figure : figures) {
    char value[32];
    std::snprintf(value, sizeof value, "%.5g", figure.value);
    out << before << figure.name << ',' << value << ',' << figure.unit << '\n';
  }
  out.flush();
  return out.good();
}

void print_circumstances() {
  std::printf(
      "date      %s\ncommit    %s\ncompiler  %s\nflags     %s\nmachine   %s\npeer      SUNDIALS "
      "CVODE %s\n",
      date().c_str(), commit().c_str(), BENCH_COMPILER, BENCH_FLAGS, machine_kind().c_str(),
      peer_version().c_str());
}

}  // namespace bench

// SPDX-License-Identifier: MIT
// Ctrl-C and a wish to end (SIGTERM) while a command is at work or writes. Sources of truth: what
// wait(2) says of how it ended, proc(5) of which signals it waits for, and what lies in the folder.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <fstream>
#include <regex>
#include <thread>
#include <vector>

#include "io/files.h"
#include "io/program.h"

namespace tankyard {
namespace signals_test {

namespace fs = std::filesystem;
using std::chrono::milliseconds;
using ::testing::AnyOf;
using ::testing::EndsWith;
using ::testing::HasSubstr;

constexpr auto patience = std::chrono::seconds(60);

/// Waits until something is so; false where it does not come to be.
template <class Is>
bool comes_to_be(const Is& is) {
  const auto until = std::chrono::steady_clock::now() + patience;
  while (!is()) {
    if (std::chrono::steady_clock::now() > until) return false;
    std::this_thread::sleep_for(milliseconds(1));
  }
  return true;
}

/// The program at work in a folder; what it says goes to `out` and `err` there.
class AtWork {
 public:
  AtWork(std::vector<std::string> words, const fs::path& folder) {
    words.insert(words.begin(), TANKYARD_PROGRAM);
    pid_ = ::fork();
    if (pid_ != 0) return;
    std::vector<char*> raw;
    for (std::string& word : words) raw.push_back(word.data());
    raw.push_back(nullptr);
    for (const int signal : {SIGINT, SIGTERM}) std::signal(signal, SIG_DFL);
    const bool ready = ::chdir(folder.c_str()) == 0 && std::freopen("out", "w", stdout) &&
                       std::freopen("err", "w", stderr);
    if (ready) ::execv(raw[0], raw.data());
    ::_exit(99);
  }
  AtWork(const AtWork&) = delete;
  AtWork& operator=(const AtWork&) = delete;
  ~AtWork() {
    if (ended_) return;
    ::kill(pid_, SIGKILL);
    ::waitpid(pid_, nullptr, 0);
  }

  void send(int signal) const { ::kill(pid_, signal); }

  /// Whether it has said what it wants to do at a signal.
  bool waits_for(int signal) const {
    const std::string status = text_of_file("/proc/" + std::to_string(pid_) + "/status");
    const std::size_t at = status.find("SigCgt:\t");
    if (at == std::string::npos) return false;
    return ((std::stoull(status.substr(at + 8, 16), nullptr, 16) >> (signal - 1)) & 1U) != 0;
  }

  /// Whether it is past its first steps: the program itself, with some time used.
  bool is_busy() const {
    std::istringstream stat(text_of_file("/proc/" + std::to_string(pid_) + "/stat"));
    std::string field;
    for (int k = 0; k < 14; ++k) stat >> field;
    return !field.empty() && std::stol(field) >= 5;  // hundredths of a second, of its own
  }

  /// Exit status; less 1000 where a signal ended it; nothing where it goes on and on.
  std::optional<int> ended() {
    int status = 0;
    if (!comes_to_be([&] { return ::waitpid(pid_, &status, WNOHANG) == pid_; })) {
      return std::nullopt;
    }
    ended_ = true;
    return WIFSIGNALED(status) ? WTERMSIG(status) - 1000 : WEXITSTATUS(status);
  }

 private:
  pid_t pid_ = -1;
  bool ended_ = false;
};

/// A yard in which something happens for a hundred years: every command has enough to do.
constexpr const char* busy_for_long = R"(
[run]
lasts = "36500 d"
[[tank]]
name = "butt"
shape = { upright = { diameter = "0.6 m", height = "0.9 m" } }
water = "0.5 m"
lid = { hole = "5 mm" }
[[tank]]
name = "new"
shape = { upright = { diameter = "0.6 m", height = "0.9 m" } }
[[top_up]]
into = "butt"
flow = "20 L/min"
starts_below = "0.598 m"
stops_above = "0.6 m"
[[leak]]
tank = "butt"
bore = "4 mm"
)";

std::vector<std::string> files_in(const fs::path& folder) {
  std::vector<std::string> names;
  for (const auto& each : fs::directory_iterator(folder)) {
    names.push_back(each.path().filename().string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

TEST(Signals, EndACommandThatHasNothingToTellYetAndLeaveNothing) {
  for (const int signal : {SIGINT, SIGTERM}) {
    for (const std::vector<std::string>& words : std::vector<std::vector<std::string>>{
             {"run", "yard.toml", "--page", "page.html", "--series", "day.csv", "--every", "60 d"},
             {"vent", "yard.toml", "--page", "page.html"},
             {"isolate", "yard.toml", "butt", "--sheet", "sheet.html", "--page", "page.html"}}) {
      const ScratchFolder folder;
      std::ofstream(folder / "yard.toml") << busy_for_long;
      AtWork work(words, folder.path());
      ASSERT_TRUE(comes_to_be([&] { return work.is_busy(); })) << words[0];
      work.send(signal);
      EXPECT_EQ(work.ended(), signal - 1000) << words[0] << text_of_file(folder / "err");
      EXPECT_EQ(text_of_file(folder / "out"), "") << words[0];
      EXPECT_THAT(files_in(folder.path()), ::testing::ElementsAre("err", "out", "yard.toml"));
    }
  }
}

/// A pump whose pressure switch chatters all day, behind lids that are too tight: many remedies to
/// try, each for thousands of steps.
constexpr const char* chatters_all_day = R"(
[[tank]]
name = "near"
shape = { prism = { area = "8 m2", height = "1.2 m" } }
base = "0.5 m"
water = "7500 L"
lid = { hole = "2 mm" }
[[tank]]
name = "far"
shape = { prism = { area = "8 m2", height = "1.2 m" } }
base = "0.5 m"
water = "8800 L"
lid = { hole = "2 mm" }
[[hose]]
from = "far"
to = "near"
bore = "8 mm"
length = "2 m"
[[pump]]
name = "booster"
from = "near"
to = "spray"
curve = [["0 L/min", "20 m"], ["20 L/min", "12 m"], ["30 L/min", "4 m"]]
running = true
pressure_switch = { cut_in = "0.5 bar", cut_out = "0.9 bar" }
[[outlet]]
name = "spray"
height = "1.2 m"
bore = "4.7 mm"
open = true
)";

/// Commands that try many things, on yards that keep them busy for seconds.
std::vector<std::vector<std::string>> many_tries(const ScratchFolder& folder) {
  const std::string plan = text_of_file(TANKYARD_SOURCE_DIR "/examples/larch-hill.toml");
  std::ofstream(folder / "yard.toml")
      << std::regex_replace(plan, std::regex("lasts = \"24 h\""), "lasts = \"120 h\"");
  std::ofstream(folder / "new-tank.toml")
      << text_of_file(TANKYARD_SOURCE_DIR "/examples/larch-hill-new-tank.toml");
  std::ofstream(folder / "chatters.toml") << chatters_all_day;
  std::ofstream rain(folder / "rain.csv");
  rain << "date,rain_mm\n";
  for (int year = 1900; year < 2000; ++year) {
    for (int month = 1; month <= 12; ++month) {
      for (int day = 1; day <= 28; ++day) {
        rain << year << (month < 10 ? "-0" : "-") << month << (day < 10 ? "-0" : "-") << day << ","
             << (day % 5 == 0 ? 12 : 0) << "\n";
      }
    }
  }
  return {{"faults", "yard.toml", "--page", "page.html"},
          {"link", "new-tank.toml", "shed-4", "--page", "page.html"},
          {"isolate", "yard.toml", "--all"},
          {"season", "yard.toml", "--rain", "rain.csv", "--page", "page.html"},
          {"run", "chatters.toml", "--page", "page.html"}};
}

TEST(Signals, CtrlCLetsAStudyTellWhatItKnows) {
  for (std::size_t k = 0; k < 5; ++k) {
    const ScratchFolder folder;
    const std::vector<std::string> words = many_tries(folder)[k];
    AtWork work(words, folder.path());
    ASSERT_TRUE(comes_to_be([&] { return work.waits_for(SIGINT); })) << words[0];
    work.send(SIGINT);
    EXPECT_EQ(work.ended(), 130) << words[0];
    const std::string said = text_of_file(folder / "out") + text_of_file(folder / "err");
    EXPECT_THAT(said, AnyOf(HasSubstr("stopped"), HasSubstr("Stopped"))) << words[0];
    for (const std::string& name : files_in(folder.path())) {
      EXPECT_EQ(name.find(".part-"), std::string::npos) << words[0] << " left " << name;
      if (name == "page.html") {
        EXPECT_THAT(text_of_file(folder / name), EndsWith("</html>\n")) << words[0];
      }
    }
  }
}

TEST(Signals, AWishToEndEndsAStudyAtOnce) {
  for (std::size_t k = 0; k < 5; ++k) {
    const ScratchFolder folder;
    const std::vector<std::string> words = many_tries(folder)[k];
    AtWork work(words, folder.path());
    ASSERT_TRUE(comes_to_be([&] { return work.waits_for(SIGINT); })) << words[0];
    work.send(SIGTERM);
    EXPECT_EQ(work.ended(), SIGTERM - 1000) << words[0];
    EXPECT_EQ(text_of_file(folder / "out"), "") << words[0];
    EXPECT_FALSE(fs::exists(folder / "page.html")) << words[0];
  }
}

TEST(Signals, LeaveNothingHalfWritten) {
  const std::string bytes(std::size_t{32} << 20, 'x');
  for (const int signal : {SIGHUP, SIGINT, SIGTERM}) {
    for (const bool old_file : {false, true}) {
      const ScratchFolder folder;
      if (old_file) std::ofstream(folder / "out") << "as it was";
      const pid_t child = ::fork();
      ASSERT_GE(child, 0);
      if (child == 0) {
        std::signal(signal, SIG_DFL);
        for (;;) {
          if (write_whole(folder / "out", bytes, IfThere::replace)) ::_exit(1);
        }
      }
      // In the middle of a write: there is a file beside the target.
      const bool begun = comes_to_be([&] {
        for (const std::string& name : files_in(folder.path())) {
          if (name.find(".part-") != std::string::npos) return true;
        }
        return false;
      });
      ::kill(child, signal);
      int status = 0;
      ASSERT_EQ(::waitpid(child, &status, 0), child);
      ASSERT_TRUE(begun);
      EXPECT_TRUE(WIFSIGNALED(status) && WTERMSIG(status) == signal) << status;
      EXPECT_THAT(files_in(folder.path()), ::testing::ElementsAre("out")) << signal;
      EXPECT_EQ(fs::file_size(folder / "out"), bytes.size());
    }
  }
}

}  // namespace signals_test
}  // namespace tankyard

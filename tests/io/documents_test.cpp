// SPDX-License-Identifier: MIT
// What the documents show is what happens. Source of truth: the program. In every README.md and
// DEVELOPERS.md, a block marked `console` holds commands after "$ " and what they print; a line of
// three dots stands for lines left out. Commands of other programs than tankyard are not run here,
// but the file they name has to be there.
//
// After a change of wording that is meant: TANKYARD_RENEW=1 build/tests/io_tests
// --gtest_filter='Documents*' writes what is printed now into the documents. Read the difference.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <regex>
#include <string>
#include <utility>
#include <vector>

#include "io/plan_file.h"
#include "io/program.h"
#include "season_yards.h"
#include "solver/run.h"

namespace tankyard {
namespace documents_test {

namespace fs = std::filesystem;
using Lines = std::vector<std::string>;

const fs::path source = TANKYARD_SOURCE_DIR;

Lines lines_of(const std::string& text) {
  Lines lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::string joined(const Lines& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

std::vector<fs::path> documents() {
  std::vector<fs::path> found;
  for (const char* folder : {"", "graph", "solver", "io", "tests", "examples"}) {
    for (const char* name : {"README.md", "DEVELOPERS.md"}) {
      if (fs::exists(source / folder / name)) found.push_back(source / folder / name);
    }
  }
  return found;
}

/// A folder in which the examples are at hand, as in a checkout.
class Checkout {
 public:
  Checkout() { fs::create_directory_symlink(source / "examples", folder_.path() / "examples"); }
  /// A fresh one with the same files in it.
  Checkout(const Checkout& other) : Checkout() {
    for (const auto& entry : fs::directory_iterator(other.path())) {
      if (entry.is_regular_file()) fs::copy_file(entry, folder_.path() / entry.path().filename());
    }
  }
  const fs::path& path() const { return folder_.path(); }

 private:
  ScratchFolder folder_;
};

/// What is shown of what was printed, or nothing where it is not to be found. Each piece between
/// two lines of dots has to stand in the output, in order; the first at its beginning and the last
/// at its end, unless dots come before or after it. With `renew`, a piece is known by its first
/// line.
std::optional<Lines> shown_of(const Lines& printed, const Lines& shown, bool renew) {
  Lines result;
  std::size_t at = 0;
  std::size_t from = 0;
  while (from <= shown.size()) {
    const std::size_t to = static_cast<std::size_t>(
        std::find(shown.begin() + static_cast<std::ptrdiff_t>(from), shown.end(), "...") -
        shown.begin());
    const std::size_t size = to - from;
    const bool first = from == 0;
    const bool last = to == shown.size();
    if (renew && first && last) return printed;
    if (size > 0) {
      const std::size_t alike = renew ? 1 : size;
      const auto begin = shown.begin() + static_cast<std::ptrdiff_t>(from);
      auto found = std::search(printed.begin() + static_cast<std::ptrdiff_t>(at), printed.end(),
                               begin, begin + static_cast<std::ptrdiff_t>(alike));
      if (found == printed.end() || (first && found != printed.begin())) return std::nullopt;
      at = static_cast<std::size_t>(found - printed.begin()) + size;
      if (at > printed.size() || (last && at != printed.size())) return std::nullopt;
      result.insert(result.end(), found, found + static_cast<std::ptrdiff_t>(size));
    }
    if (last) break;
    result.push_back("...");
    from = to + 1;
  }
  return result;
}

std::size_t files_in(const fs::path& folder) {
  return static_cast<std::size_t>(
      std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

/// What a command prints. One that asks about an example and leaves no file behind is run once,
/// however many documents show it.
Ended answer_to(const std::string& command, const Checkout& checkout) {
  static std::map<std::string, Ended> known;
  const auto found = known.find(command);
  if (found != known.end()) return found->second;
  const std::size_t before = files_in(checkout.path());
  const Ended ended = shell(command, checkout.path());
  if (command.find(" examples/") != std::string::npos && files_in(checkout.path()) == before) {
    known.emplace(command, ended);
  }
  return ended;
}

/// Runs the commands of one block in order; gives back the block as it should be.
Lines block_as_run(const Lines& block, const Checkout& checkout, const std::string& where,
                   bool renew) {
  Lines result;
  for (std::size_t at = 0; at < block.size();) {
    const std::string& command = block[at];
    if (command.rfind("$ ", 0) != 0) {
      ADD_FAILURE() << where << ": no command before `" << command << "`";
      return block;
    }
    result.push_back(command);
    Lines shown;
    for (++at; at < block.size() && block[at].rfind("$ ", 0) != 0; ++at) shown.push_back(block[at]);
    if (command.rfind("$ tankyard", 0) != 0) {
      const std::string program = command.substr(2, command.find(' ', 2) - 2);
      if (program.find('/') != std::string::npos) {
        EXPECT_TRUE(fs::exists(source / program)) << where << ": " << program;
      }
      result.insert(result.end(), shown.begin(), shown.end());
      continue;
    }
    // What is only read from an example is the same in every document, and asked once.
    static std::map<std::string, Ended> answered;
    const bool only_reads =
        command.find(" examples/") != std::string::npos && command.find(" -") == std::string::npos;
    const bool known = only_reads && answered.count(command) > 0;
    const Ended ended = known ? answered[command] : answer_to(command.substr(2), checkout);
    if (only_reads) answered[command] = ended;
    EXPECT_LE(ended.status, 1) << where << ": " << command;
    const Lines printed = lines_of(ended.out);
    const auto found = shown_of(printed, shown, renew);
    EXPECT_TRUE(found) << where << ": " << command << "\nprints\n"
                       << ended.out << "shown is\n"
                       << joined(shown);
    const Lines& kept = found ? *found : shown;
    result.insert(result.end(), kept.begin(), kept.end());
  }
  return result;
}

/// Runs every block of one kind in every document; says how many there are.
std::size_t run_blocks(const std::string& fence, const Checkout& prepared) {
  const bool renew = std::getenv("TANKYARD_RENEW") != nullptr;
  std::size_t blocks = 0;
  for (const fs::path& document : documents()) {
    const std::string where = fs::relative(document, source).string();
    const Lines lines = lines_of(text_of_file(document));
    const Checkout checkout(prepared);
    Lines renewed;
    for (std::size_t at = 0; at < lines.size(); ++at) {
      renewed.push_back(lines[at]);
      if (lines[at] != fence) continue;
      Lines block;
      for (++at; at < lines.size() && lines[at] != "```"; ++at) block.push_back(lines[at]);
      if (at == lines.size()) {
        ADD_FAILURE() << where << ": a block is not closed";
        return blocks;
      }
      const Lines run = block_as_run(block, checkout, where, renew);
      renewed.insert(renewed.end(), run.begin(), run.end());
      renewed.push_back("```");
      ++blocks;
    }
    if (renew) std::ofstream(document, std::ios::binary) << joined(renewed);
  }
  return blocks;
}

TEST(Documents, ShowWhatTheirCommandsPrint) {
  EXPECT_GE(run_blocks("```console", Checkout()), 3U)
      << "the documents show too little, or the blocks are marked otherwise";
}

// Blocks marked `console with real rain` need the record that tests/fetch_rain.sh fetches.
TEST(Documents, ShowWhatTheirCommandsPrintOfTheRealRain) {
  NEEDS_REAL_RAIN(real);
  Checkout checkout;
  fs::copy_file(real.path, checkout.path() / "seattle-weather.csv");
  EXPECT_GE(run_blocks("```console with real rain", checkout), 1U);
}

TEST(Documents, PointAtFilesThatAreThere) {
  const std::regex link(R"(\]\(([^)#:]+)(#[^)]*)?\))");
  std::size_t links = 0;
  for (const fs::path& document : documents()) {
    const std::string text = text_of_file(document);
    for (std::sregex_iterator it(text.begin(), text.end(), link), end; it != end; ++it) {
      const fs::path target = document.parent_path() / (*it)[1].str();
      EXPECT_TRUE(fs::exists(target)) << fs::relative(document, source) << " -> " << (*it)[1];
      ++links;
    }
  }
  EXPECT_GE(links, 5U);
}

TEST(Documents, TheReadmeEndsWithTheLicence) {
  const std::string text = text_of_file(source / "README.md");
  const std::size_t licence = text.rfind("\n## ");
  ASSERT_NE(licence, std::string::npos);
  EXPECT_EQ(text.substr(licence + 4, 7), "Licence");
  EXPECT_NE(text.find("MIT", licence), std::string::npos);
}

TEST(Documents, PlansInTheReadmesRun) {
  // Blocks marked `toml` in README.md and examples/README.md are whole plans.
  for (const char* name : {"README.md", "examples/README.md"}) {
    const Lines lines = lines_of(text_of_file(source / name));
    for (std::size_t at = 0; at < lines.size(); ++at) {
      if (lines[at] != "```toml") continue;
      std::string plan;
      for (++at; at < lines.size() && lines[at] != "```"; ++at) plan += lines[at] + "\n";
      const auto read = read_plan(plan, name);
      ASSERT_TRUE(read.has_value()) << name << ": " << read.error().front().message;
      EXPECT_TRUE(run(read->array, read->sheet).has_value()) << name;
    }
  }
}

TEST(Documents, TheReadmeListsTheKeysThatAreThere) {
  const std::string readme = text_of_file(source / "README.md");
  const Checkout checkout;
  std::ofstream(checkout.path() / "rain.csv") << "date,rain_mm\n2021-06-01,3\n2021-06-02,0\n";
  for (const std::string answer : {"run", "check", "vent", "faults", "season", "explain"}) {
    std::string plan = answer == "explain" ? "" : " examples/larch-hill.toml";
    if (answer == "season") plan += " --rain rain.csv";
    if (answer == "faults") plan += " --no-pairs";
    const Ended ended = shell("tankyard " + answer + plan + " --json", checkout.path());
    std::string row = "| `" + answer + " --json` | ";
    std::vector<std::string> keys;
    const auto json = nlohmann::json::parse(ended.out);
    for (const auto& item : json.items()) keys.push_back(item.key());
    const std::size_t at = readme.find(row);
    ASSERT_NE(at, std::string::npos) << row;
    std::istringstream listed(
        readme.substr(at + row.size(), readme.find(" |", at + row.size()) - at - row.size()));
    std::vector<std::string> told;
    for (std::string key; std::getline(listed >> std::ws, key, ',');) told.push_back(key);
    EXPECT_THAT(told, ::testing::UnorderedElementsAreArray(keys)) << answer;
  }
}

TEST(Documents, EveryExampleRuns) {
  std::size_t plans = 0;
  for (const auto& entry : fs::directory_iterator(source / "examples")) {
    if (entry.path().extension() != ".toml") continue;
    ++plans;
    for (const char* command : {"check", "run"}) {
      const Ended ended =
          shell(std::string("tankyard ") + command + " '" + entry.path().string() + "' >out.txt",
                ScratchFolder().path());
      EXPECT_LE(ended.status, 1) << command << " " << entry.path();
    }
  }
  EXPECT_GE(plans, 1U);
}

/// The numbers of a picture, and what stands between them.
std::pair<std::vector<double>, std::string> numbers_and_rest(const std::string& text) {
  const std::regex number(R"(-?[0-9]+(\.[0-9]+)?)");
  std::vector<double> numbers;
  for (std::sregex_iterator it(text.begin(), text.end(), number), end; it != end; ++it) {
    numbers.push_back(std::strtod(it->str().c_str(), nullptr));
  }
  return {numbers, std::regex_replace(text, number, "N")};
}

TEST(Documents, ThePictureIsWhatTheProgramAnswers) {
  const ScratchFolder folder;
  const std::string drawn = folder / "day.svg";
  const Ended ended = shell("'" + (source / "examples/draw_day.sh").string() + "' '" +
                                TANKYARD_PROGRAM + "' '" + drawn + "' >out.txt",
                            folder.path());
  ASSERT_EQ(ended.status, 0);
  const auto now = numbers_and_rest(text_of_file(drawn));
  const auto kept = numbers_and_rest(text_of_file(source / "examples/larch-hill-day.svg"));
  // On another machine a point may fall a tenth of a picture point beside.
  EXPECT_EQ(now.second, kept.second) << "draw it anew: examples/draw_day.sh";
  ASSERT_EQ(now.first.size(), kept.first.size());
  for (std::size_t k = 0; k < now.first.size(); ++k) {
    ASSERT_NEAR(now.first[k], kept.first[k], 0.21) << "draw it anew: examples/draw_day.sh";
  }
}

}  // namespace documents_test
}  // namespace tankyard

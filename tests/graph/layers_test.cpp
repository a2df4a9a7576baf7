// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

// Who may know whom: io -> solver -> graph and never back. Read from the #include lines themselves.

namespace layers_test {

namespace fs = std::filesystem;

struct Source {
  std::string path;  ///< from the top of the checkout: "graph/reach.cpp"
  std::string text;
  std::vector<std::string> includes;
};

bool starts_with(const std::string& text, const std::string& start) {
  return text.compare(0, start.size(), start) == 0;
}

// "solver/run.h" of `#include "solver/run.h"`, likewise between angles; spaces may stand anywhere.
std::vector<std::string> includes_in(const std::string& text) {
  std::vector<std::string> found;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    const std::size_t hash = line.find_first_not_of(" \t");
    if (hash == std::string::npos || line[hash] != '#') continue;
    const std::size_t word = line.find_first_not_of(" \t", hash + 1);
    if (word == std::string::npos || line.compare(word, 7, "include") != 0) continue;
    const std::size_t open = line.find_first_of("\"<", word);
    if (open == std::string::npos) continue;
    const std::size_t close = line.find(line[open] == '<' ? '>' : '"', open + 1);
    if (close != std::string::npos) found.push_back(line.substr(open + 1, close - open - 1));
  }
  return found;
}

std::vector<Source> sources_in(const std::string& folder) {
  std::vector<Source> sources;
  const fs::path top = TANKYARD_SOURCE_DIR;
  if (!fs::exists(top / folder)) return sources;
  for (const auto& entry : fs::recursive_directory_iterator(top / folder)) {
    const std::string kind = entry.path().extension().string();
    if (kind != ".h" && kind != ".cpp") continue;
    std::ifstream file(entry.path());
    std::ostringstream text;
    text << file.rdbuf();
    sources.push_back({fs::relative(entry.path(), top).generic_string(), text.str(), {}});
    sources.back().includes = includes_in(sources.back().text);
  }
  std::sort(sources.begin(), sources.end(),
            [](const Source& a, const Source& b) { return a.path < b.path; });
  return sources;
}

// "graph/reach.cpp includes solver/run.h" for every include of `folder` that starts with one of
// `banned`.
std::vector<std::string> breaks(const std::string& folder, const std::vector<std::string>& banned) {
  std::vector<std::string> found;
  for (const Source& source : sources_in(folder)) {
    for (const std::string& include : source.includes) {
      for (const std::string& start : banned) {
        if (starts_with(include, start)) found.push_back(source.path + " includes " + include);
      }
    }
  }
  return found;
}

using testing::IsEmpty;

// The reader of this test must itself see what it looks for.
TEST(Layers, AreReadFromIncludeLines) {
  EXPECT_THAT(includes_in("#include \"solver/run.h\"\n  #  include <boost/graph/x.hpp> // why\n"
                          "// #include \"io/no.h\"\nint include = 0;\n#include"),
              testing::ElementsAre("solver/run.h", "boost/graph/x.hpp"));
  EXPECT_GE(sources_in("graph").size(), 20u);
  EXPECT_GE(sources_in("solver").size(), 5u);
  EXPECT_GE(sources_in("io").size(), 2u);
  EXPECT_FALSE(breaks("graph", {"graph/"}).empty());
}

TEST(Layers, LetGraphKnowNobody) {
  EXPECT_THAT(breaks("graph", {"solver/", "io/", "tests/"}), IsEmpty());
}

TEST(Layers, LetSolverKnowGraphOnly) {
  EXPECT_THAT(breaks("solver", {"io/", "tests/"}), IsEmpty());
}

TEST(Layers, LetNoCodeKnowItsTests) { EXPECT_THAT(breaks("io", {"tests/"}), IsEmpty()); }

// A path from the top says which layer it is in; "../io/x.h" or "x.h" would slip by.
TEST(Layers, WriteIncludesFromTheTop) {
  for (const char* folder : {"graph", "solver", "io"}) {
    for (const Source& source : sources_in(folder)) {
      std::istringstream lines(source.text);
      for (std::string line; std::getline(lines, line);) {
        if (!starts_with(line, "#include \"")) continue;
        const std::string path = line.substr(10);
        EXPECT_TRUE(starts_with(path, "graph/") || starts_with(path, "solver/") ||
                    starts_with(path, "io/"))
            << source.path << ": " << line;
      }
    }
  }
}

TEST(Layers, KeepStudiesAboveTheSolver) {
  for (const Source& source : sources_in("solver")) {
    if (starts_with(source.path, "solver/studies/")) continue;
    for (const std::string& include : source.includes) {
      EXPECT_FALSE(starts_with(include, "solver/studies/")) << source.path << ": " << include;
    }
  }
}

// A web page has one thread: who wants several asks one file, which does without where there are
// none.
const std::string threads_user = "solver/studies/many.cpp";

TEST(Layers, KeepThreadsInOnePlace) {
  const std::vector<std::string> of_threads = {
      "thread", "mutex", "shared_mutex", "condition_variable", "future", "semaphore", "pthread.h"};
  std::vector<std::string> users;
  for (const char* folder : {"graph", "solver"}) {
    for (const Source& source : sources_in(folder)) {
      for (const std::string& include : source.includes) {
        if (starts_with(include, "boost/asio/") ||
            std::count(of_threads.begin(), of_threads.end(), include) != 0) {
          users.push_back(source.path);
        }
      }
      if (source.path == threads_user) {
        EXPECT_NE(source.text.find("#ifndef __EMSCRIPTEN__\n#include"), std::string::npos);
      }
    }
  }
  users.erase(std::unique(users.begin(), users.end()), users.end());
  EXPECT_THAT(users, testing::ElementsAre(threads_user));
}

// Boost.Graph is slow to compile and speaks no word of this trade: it stays behind these.
TEST(Layers, KeepBoostGraphInFewPlaces) {
  std::vector<std::string> users;
  for (const char* folder : {"graph", "solver", "io"}) {
    for (const Source& source : sources_in(folder)) {
      for (const std::string& include : source.includes) {
        if (starts_with(include, "boost/") && !starts_with(include, "boost/math/") &&
            source.path != threads_user) {
          users.push_back(source.path);
        }
      }
    }
  }
  users.erase(std::unique(users.begin(), users.end()), users.end());
  EXPECT_THAT(users, testing::ElementsAre("graph/critical_hoses.cpp", "graph/reach.cpp",
                                          "graph/smallest_cuts.cpp"));
}

TEST(Layers, KeepPrivateHeadersInTheirFolder) {
  const std::vector<std::string> hidden = {"graph/joins.h", "graph/check_words.h",
                                           "graph/check_parts.h", "graph/points.h",
                                           "graph/smallest_cuts.h"};
  EXPECT_THAT(breaks("solver", hidden), IsEmpty());
  EXPECT_THAT(breaks("io", hidden), IsEmpty());
}

// graph/ and solver/ also run inside a web page, built with a C++ library that lacks these.
TEST(Layers, KeepTheEngineToWhatEveryCompilerHas) {
  const std::vector<std::string> lacking = {"format",        "ranges",       "source_location",
                                            "coroutine",     "execution",    "expected",
                                            "unordered_map", "unordered_set"};
  for (const char* folder : {"graph", "solver"}) {
    for (const Source& source : sources_in(folder)) {
      for (const std::string& include : source.includes) {
        EXPECT_EQ(std::count(lacking.begin(), lacking.end(), include), 0)
            << source.path << " includes <" << include << ">";
      }
    }
  }
}

TEST(Layers, CarryTheLicenceOnTheFirstLine) {
  for (const char* folder : {"graph", "solver", "io", "tests"}) {
    for (const Source& source : sources_in(folder)) {
      EXPECT_TRUE(starts_with(source.text, "// SPDX-License-Identifier: MIT\n")) << source.path;
    }
  }
}

}  // namespace layers_test

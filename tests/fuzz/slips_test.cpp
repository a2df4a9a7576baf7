// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "edits.h"
#include "targets.h"

// Texts that are nearly plans, rain records or quantities. What is held is in targets.h: an answer,
// or troubles with their places, within bounded time. Where a text ends the program, the seed in
// the test's name tells which.

namespace tankyard::fuzz {
namespace slips_test {

namespace fs = std::filesystem;

std::string text_of(const fs::path& path) {
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  return text.str();
}

std::vector<std::string> texts_in(const std::string& folder, const std::string& ending = ".toml") {
  std::vector<fs::path> paths;
  for (const auto& entry : fs::directory_iterator(fs::path(TANKYARD_SOURCE_DIR) / folder)) {
    if (entry.path().extension() == ending) paths.push_back(entry.path());
  }
  std::sort(paths.begin(), paths.end());
  std::vector<std::string> texts;
  for (const fs::path& path : paths) texts.push_back(text_of(path));
  return texts;
}

/// `SLIPS=20000` asks for more of them.
std::uint64_t slips_to_try() {
  const char* asked = std::getenv("SLIPS");
  return asked ? std::strtoull(asked, nullptr, 10) : 400;
}

TEST(Slips, ExamplesCutShortAnywhereAreReadOrRefused) {
  for (const std::string& plan : texts_in("examples")) {
    for (std::size_t end = 0; end < plan.size(); end += 61) try_plan(plan.substr(0, end));
  }
}

TEST(Slips, ExamplesWithSlipsAreReadOrRefused) {
  const std::vector<std::string> plans = texts_in("examples");
  const std::vector<std::string> bad = texts_in("tests/io/bad_plans");
  for (std::uint64_t seed = 0; seed < slips_to_try(); ++seed) {
    const std::string text = with_slips(plans[seed % plans.size()], seed, bad);
    try_plan(text);
  }
}

TEST(Slips, BadPlansWithMoreSlipsAreReadOrRefused) {
  const std::vector<std::string> bad = texts_in("tests/io/bad_plans");
  ASSERT_GT(bad.size(), 100u);
  for (std::uint64_t seed = 0; seed < 2 * slips_to_try(); ++seed) {
    try_plan(with_slips(bad[seed % bad.size()], seed, bad));
  }
}

TEST(Slips, RainRecordsCutShortAnywhereAreReadOrRefused) {
  const std::vector<std::string> records = texts_in("tests/fuzz/corpus/rain", ".csv");
  ASSERT_GE(records.size(), 6u);
  for (const std::string& record : records) {
    for (std::size_t end = 0; end <= record.size(); ++end) try_rain(record.substr(0, end));
  }
}

TEST(Slips, RainRecordsWithSlipsAreReadOrRefused) {
  const std::vector<std::string> records = texts_in("tests/fuzz/corpus/rain", ".csv");
  for (std::uint64_t seed = 0; seed < 10 * slips_to_try(); ++seed) {
    try_rain(with_slips(records[seed % records.size()], seed, records));
  }
}

// What the fuzzer begins with: sizes of nearly nothing, numbers that are none, steps without end.
TEST(Slips, WhatTheFuzzerBeginsWithIsReadOrRefused) {
  const std::vector<std::string> plans = texts_in("tests/fuzz/corpus/plan");
  const std::vector<std::string> quantities = texts_in("tests/fuzz/corpus/quantity", "");
  ASSERT_GE(plans.size(), 4u);
  ASSERT_GE(quantities.size(), 10u);
  for (const std::string& plan : plans) try_plan(plan);
  for (const std::string& quantity : quantities) try_quantity(quantity);
}

TEST(Slips, QuantitiesWithSlipsAreReadOrRefused) {
  const std::vector<std::string> good = {"19 mm",    "1000 L/h", "1.5 kPa", "12 mm/h", "0.75 in",
                                         "14 degC",  "90 min",   "660 L",   "1.1 m2",  "3 gal/min",
                                         "0.0015 m", "2 bar",    "24 h",    "14 K",    "1e-3 m3/s"};
  for (std::uint64_t seed = 0; seed < 50 * slips_to_try(); ++seed) {
    try_quantity(with_slips(good[seed % good.size()], seed, good));
  }
}

}  // namespace slips_test
}  // namespace tankyard::fuzz

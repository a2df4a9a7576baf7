// SPDX-License-Identifier: MIT
#include "published/table.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <string>
#include <vector>

namespace published {

namespace {

struct Kept {
  std::string suite;
  Row row;
  bool holds = false;
};

std::vector<Kept>& kept() {
  static std::vector<Kept> rows;
  return rows;
}

std::string number(double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.6g", value);
  return text;
}

std::string difference(const Row& row) {
  char text[40];
  if (row.published == 0.0) {
    std::snprintf(text, sizeof text, "%+.2g", row.ours);
  } else {
    std::snprintf(text, sizeof text, "%+.2f %%", 100.0 * (row.ours / row.published - 1.0));
  }
  return text;
}

const char* words(Sure sure) {
  switch (sure) {
    case Sure::seen:
      return "seen";
    case Sure::memory:
      return "from memory";
    case Sure::computed:
      return "computed";
    case Sure::practice:
      return "common practice, no source";
  }
  return "";
}

constexpr std::size_t columns = 8;
using Line = std::vector<std::string>;

Line line_of(const Kept& one) {
  return {one.row.what,         one.row.source,
          words(one.row.sure),  number(one.row.published),
          number(one.row.ours), one.row.unit,
          difference(one.row),  one.row.band.text + (one.holds ? "" : "  <- OUTSIDE")};
}

void print(const Line& line, const std::vector<std::size_t>& width) {
  std::string text;
  for (std::size_t i = 0; i < columns; ++i) {
    const std::string pad(width[i] - line[i].size(), ' ');
    const bool figure = i == 3 || i == 4 || i == 6;
    text += figure ? pad + line[i] : line[i] + pad;
    text += "  ";
  }
  text.erase(text.find_last_not_of(' ') + 1);
  std::printf("%s\n", text.c_str());
}

class PrintsTheTable : public ::testing::Environment {
  void TearDown() override {
    if (kept().empty()) return;
    const Line head = {"case", "source", "how sure", "published", "ours", "", "difference", "band"};
    std::vector<std::size_t> width(columns);
    for (std::size_t i = 0; i < columns; ++i) width[i] = head[i].size();
    for (const Kept& one : kept()) {
      const Line line = line_of(one);
      for (std::size_t i = 0; i < columns; ++i) width[i] = std::max(width[i], line[i].size());
    }
    std::printf("Outside figures against ours\n\n");
    print(head, width);
    std::string suite;
    std::size_t outside = 0;
    std::map<std::string, std::size_t> by_sureness;
    for (const Kept& one : kept()) {
      if (one.suite != suite) {
        suite = one.suite;
        std::printf("%s\n", suite.c_str());
      }
      print(line_of(one), width);
      if (!one.holds) ++outside;
      ++by_sureness[words(one.row.sure)];
    }
    std::printf("\n%zu rows, %zu outside their band;", kept().size(), outside);
    const char* comma = " ";
    for (const auto& [sure, rows] : by_sureness) {
      std::printf("%s%zu %s", comma, rows, sure.c_str());
      comma = ", ";
    }
    std::printf("\n");
  }
};

// Handed to the test program before it starts; it belongs to it from then on.
[[maybe_unused]] const ::testing::Environment* const printer =
    ::testing::AddGlobalTestEnvironment(new PrintsTheTable);

}  // namespace

Band percent(double published, double percents) {
  const double give = std::fabs(published) * percents / 100.0;
  return {published - give, published + give, "+-" + number(percents) + " %"};
}

Band give_or_take(double published, double amount) {
  return {published - amount, published + amount, "+-" + number(amount)};
}

Band between(double low, double high) { return {low, high, number(low) + " to " + number(high)}; }

void row(const Row& row) {
  const bool holds = row.ours >= row.band.low && row.ours <= row.band.high;
  kept().push_back(
      {::testing::UnitTest::GetInstance()->current_test_info()->test_suite_name(), row, holds});
  EXPECT_TRUE(holds) << row.what << ": published " << number(row.published) << " " << row.unit
                     << " (" << row.source << "), ours " << number(row.ours) << ", difference "
                     << difference(row) << ", band " << row.band.text;
}

}  // namespace published

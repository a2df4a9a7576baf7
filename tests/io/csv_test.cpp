// SPDX-License-Identifier: MIT
// The series. Source of truth: RFC 4180, read back by a reader written here from its grammar.
#include "io/csv.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <cstdlib>
#include <string>
#include <vector>

#include "io/plan_file.h"

namespace tankyard {
namespace csv_test {

using Rows = std::vector<std::vector<std::string>>;

/// file = *(record CRLF); a cell is bare, or in quotes with quotes inside doubled.
Rows rows_of(const std::string& text) {
  Rows rows;
  std::vector<std::string> row;
  std::string cell;
  bool quoted = false;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const char c = text[at];
    if (quoted) {
      if (c != '"') {
        cell += c;
      } else if (at + 1 < text.size() && text[at + 1] == '"') {
        cell += '"';
        ++at;
      } else {
        quoted = false;
      }
    } else if (c == '"') {
      quoted = true;
    } else if (c == ',' || c == '\r') {
      row.push_back(cell);
      cell.clear();
      if (c == '\r') {
        EXPECT_EQ(text.substr(at, 2), "\r\n");
        ++at;
        rows.push_back(row);
        row.clear();
      }
    } else {
      EXPECT_NE(c, '\n') << "a bare line feed";
      cell += c;
    }
  }
  EXPECT_TRUE(cell.empty() && row.empty()) << "the last line is not ended";
  return rows;
}

RC_GTEST_PROP(CsvCell, ReadsBackAsItWas, (const std::string& text)) {
  const Rows rows = rows_of(csv_cell(text) + "," + csv_cell("next") + "\r\n");
  RC_ASSERT(rows == (Rows{{text, "next"}}));
}

Plan plan_with_odd_names() {
  auto plan = read_plan(R"([run]
lasts = "10 min"
[[tank]]
name = "left, back"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "0.8 m"
[[tank]]
name = 'the "old" one'
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "0.2 m"
[[hose]]
name = "Schlauch ü"
from = "left, back"
to = 'the "old" one'
bore = "25 mm"
length = "2 m"
[[outlet]]
name = "tap"
at = "left, back"
draw = "6 L/min"
open = true
)",
                        "odd.toml");
  EXPECT_TRUE(plan.has_value());
  return std::move(*plan);
}

TEST(SeriesCsv, NamesItsColumnsAndKeepsItsNumbers) {
  const Plan plan = plan_with_odd_names();
  const auto record = run(plan.array, plan.sheet, {.record_every_s = 60.0});
  ASSERT_TRUE(record.has_value());
  const Rows rows = rows_of(series_csv(plan.array, record->trace));
  ASSERT_EQ(rows.size(), 12U);  // a heading, then 0, 60, ... 600 s
  EXPECT_EQ(rows[0],
            (std::vector<std::string>{"time_s", "left, back.depth_m", "left, back.headspace_pa",
                                      "the \"old\" one.depth_m", "the \"old\" one.headspace_pa",
                                      "Schlauch ü.flow_l_min", "tap.flow_l_min"}));
  for (std::size_t r = 1; r < rows.size(); ++r) {
    ASSERT_EQ(rows[r].size(), rows[0].size());
    EXPECT_DOUBLE_EQ(std::strtod(rows[r][0].c_str(), nullptr), 60.0 * static_cast<double>(r - 1));
    const double depth = std::strtod(rows[r][1].c_str(), nullptr);
    EXPECT_NEAR(depth, record->trace.depth_m[r - 1][0], 1e-8 * depth);
    EXPECT_EQ(rows[r][2], "0");
    const double flow = record->trace.hose_flow_m3_per_s[r - 1][0] * 60000.0;
    EXPECT_NEAR(std::strtod(rows[r][5].c_str(), nullptr), flow, 1e-8 * std::fabs(flow));
    EXPECT_NEAR(std::strtod(rows[r][6].c_str(), nullptr), 6.0, 1e-6);
  }
}

TEST(SeriesCsv, HasAUsualTimeBetweenRows) {
  EXPECT_EQ(usual_row_s(86400.0), 60.0);  // a day: a row a minute
  EXPECT_EQ(usual_row_s(60.0), 1.0);
  EXPECT_EQ(usual_row_s(7.0 * 86400.0), 600.0);
  for (const double lasts : {1.0, 1500.0, 1501.0, 1e5, 3.2e7, 4e9}) {
    EXPECT_LE(lasts / usual_row_s(lasts), 1500.0) << lasts;
  }
}

}  // namespace csv_test
}  // namespace tankyard

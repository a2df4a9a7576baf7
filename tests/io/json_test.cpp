// SPDX-License-Identifier: MIT
// Answers for programs. Source of truth: the record itself, read back by a JSON parser, and the
// keys that were promised.
#include "io/json.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <limits>
#include <nlohmann/json.hpp>
#include <sstream>

#include "solver/find.h"

namespace tankyard {
namespace json_test {

using Json = nlohmann::json;

Plan larch_hill() {
  auto plan = read_plan_file(TANKYARD_SOURCE_DIR "/examples/larch-hill.toml");
  EXPECT_TRUE(plan.has_value());
  return std::move(*plan);
}

RunRecord record_of(const Plan& plan) {
  auto record = run(plan.array, plan.sheet);
  EXPECT_TRUE(record.has_value());
  return std::move(*record);
}

void expect_keys(const Json& json, std::initializer_list<const char*> keys, const char* where) {
  for (const char* key : keys) EXPECT_TRUE(json.contains(key)) << where << " lacks " << key;
}

bool has_value_that_is_no_number(const std::string& text) {
  return text.find("nan") != std::string::npos || text.find("inf\n") != std::string::npos;
}

TEST(RunJson, HoldsEveryKeyThatWasPromised) {
  const Plan plan = larch_hill();
  const RunRecord record = record_of(plan);
  const Json json =
      Json::parse(run_json(plan, record, find_in_run(plan.array, plan.sheet, {}, record)));
  expect_keys(json,
              {"plan", "lasted_s", "tanks", "hoses", "pumps", "ledger", "findings", "outlets",
               "roofs", "top_ups", "leaks", "events", "effort", "assumed"},
              "the object");
  ASSERT_EQ(json["tanks"].size(), 7U);
  for (const Json& tank : json["tanks"]) {
    expect_keys(tank,
                {"name", "depth_m", "volume_l", "headspace_pa", "lowest_headspace_pa",
                 "highest_headspace_pa", "lowest_depth_m", "highest_depth_m"},
                "a tank");
    EXPECT_EQ(tank["headspace_pa"], 0.0);
  }
  for (const Json& hose : json["hoses"]) {
    expect_keys(hose, {"name", "carried_l", "peak_l_min"}, "a hose");
  }
  expect_keys(json["ledger"],
              {"start_l", "rain_l", "topped_up_l", "delivered_l", "overflowed_l", "leaked_l",
               "drained_l", "end_l", "closing_error_l"},
              "the ledger");
  ASSERT_FALSE(json["findings"].empty());
  for (const Json& finding : json["findings"]) {
    expect_keys(finding, {"kind", "severity", "where", "at_s", "value", "limit", "unit", "says"},
                "a finding");
  }
}

TEST(RunJson, HoldsTheRecordInLitres) {
  const Plan plan = larch_hill();
  const RunRecord record = record_of(plan);
  const Json json = Json::parse(run_json(plan, record, {}));
  EXPECT_DOUBLE_EQ(json["lasted_s"], record.lasted_s);
  for (std::size_t t = 0; t < record.tanks.size(); ++t) {
    EXPECT_EQ(json["tanks"][t]["name"], plan.array.tanks()[t].name);
    EXPECT_DOUBLE_EQ(json["tanks"][t]["volume_l"], record.tanks[t].end_m3 * 1000.0);
    EXPECT_DOUBLE_EQ(json["tanks"][t]["depth_m"], record.tanks[t].end_depth_m);
  }
  for (std::size_t h = 0; h < record.hoses.size(); ++h) {
    EXPECT_DOUBLE_EQ(json["hoses"][h]["carried_l"], record.hoses[h].carried_m3 * 1000.0);
    EXPECT_DOUBLE_EQ(json["hoses"][h]["peak_l_min"], record.hoses[h].peak_m3_per_s * 60000.0);
  }
  EXPECT_EQ(json["events"].size(), record.events.size());
  // The ledger closes as read, too.
  const Json& ledger = json["ledger"];
  const double in = ledger["start_l"].get<double>() + ledger["rain_l"].get<double>() +
                    ledger["topped_up_l"].get<double>();
  const double out = ledger["delivered_l"].get<double>() + ledger["overflowed_l"].get<double>() +
                     ledger["leaked_l"].get<double>() + ledger["drained_l"].get<double>() +
                     ledger["end_l"].get<double>();
  EXPECT_NEAR(in, out, 1e-9 * in);
  EXPECT_GT(ledger["delivered_l"].get<double>(), 100.0);
}

TEST(RunJson, SaysNullForWhatIsNoNumber) {
  const Plan plan = larch_hill();
  RunRecord record = record_of(plan);
  record.tanks[0].end_m3 = std::numeric_limits<double>::quiet_NaN();
  record.hoses[0].peak_m3_per_s = std::numeric_limits<double>::infinity();
  const std::string text = run_json(plan, record, {});
  EXPECT_FALSE(has_value_that_is_no_number(text));
  const Json json = Json::parse(text);
  EXPECT_TRUE(json["tanks"][0]["volume_l"].is_null());
  EXPECT_TRUE(json["hoses"][0]["peak_l_min"].is_null());
  EXPECT_TRUE(json["tanks"][1]["volume_l"].is_number());
}

TEST(RunJson, KeepsWhatAFindingSays) {
  const Plan plan = larch_hill();
  Finding finding;
  finding.kind = FindingKind::spill_with_room;
  finding.severity = Severity::danger;
  finding.where = "a \"quoted\" tank\n";
  finding.value = 12.5;
  finding.unit = "L";
  finding.says = "it says so";
  const Json json = Json::parse(run_json(plan, record_of(plan), {finding}));
  const Json& read = json["findings"][0];
  EXPECT_EQ(read["kind"], "spill-with-room");
  EXPECT_EQ(read["severity"], "danger");
  EXPECT_EQ(read["where"], finding.where);
  EXPECT_TRUE(read["at_s"].is_null());
  EXPECT_TRUE(read["limit"].is_null());
  EXPECT_EQ(read["value"], 12.5);
}

TEST(CheckJson, HoldsGroupsAndWhatCanBeDrawn) {
  const Plan plan = larch_hill();
  const auto resting = at_rest(plan.array);
  ASSERT_TRUE(resting.has_value());
  const Json json = Json::parse(check_json(plan, *resting, find_at_rest(plan.array)));
  expect_keys(json,
              {"plan", "tanks", "groups", "usable", "not_joined", "roofs", "findings", "assumed"},
              "the object");
  std::size_t tanks = 0;
  for (const Json& group : json["groups"]) {
    tanks += group["tanks"].size();
    EXPECT_EQ(group["tanks"].size(), group["depth_m"].size());
    EXPECT_LE(group["holds_l"].get<double>(), group["nominal_l"].get<double>());
  }
  EXPECT_EQ(tanks, plan.array.tanks().size());
  ASSERT_EQ(json["usable"].size(), 2U);
  for (std::size_t u = 0; u < 2; ++u) {
    double left = 0.0;
    for (const Json& each : json["usable"][u]["left_per_tank_l"]) left += each.get<double>();
    EXPECT_NEAR(left, json["usable"][u]["left_l"].get<double>(), 1e-6);
  }
}

TEST(CheckJson, ReckonsTenMillimetresOfRain) {
  // 96 m2 x 0.85 x (10 - 0.5) mm = 775.2 L; 38 m2 x 0.95 x (10 - 0.3) mm = 350.17 L
  const Plan plan = larch_hill();
  const auto resting = at_rest(plan.array);
  ASSERT_TRUE(resting.has_value());
  const Json json = Json::parse(check_json(plan, *resting, {}));
  EXPECT_NEAR(json["roofs"][0]["per_10_mm_l"].get<double>(), 775.2, 1e-9);
  EXPECT_NEAR(json["roofs"][1]["per_10_mm_l"].get<double>(), 350.17, 1e-9);
}

TEST(KindsJson, ListsEveryKind) {
  const Json json = Json::parse(kinds_json(kinds_of_finding()));
  EXPECT_EQ(json["kinds"].size(), kinds_of_finding().size());
  for (const Json& kind : json["kinds"])
    expect_keys(kind, {"name", "means", "matters", "remedy"}, "kind");
}

}  // namespace json_test
}  // namespace tankyard

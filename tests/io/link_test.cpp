// SPDX-License-Identifier: MIT
// `tankyard link`: the plan it writes, what it says no to, and that its figures hold when the
// written plan is run.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "io/link_words.h"
#include "io/program.h"
#include "solver/at_rest.h"
#include "solver/run.h"

namespace tankyard {
namespace link_test {

using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

const std::filesystem::path source = TANKYARD_SOURCE_DIR;

struct Studied {
  std::string text;
  Plan plan;
  LinkStudy study;
};

Studied studied(const std::string& text, const std::string& tank) {
  Result<Plan> plan = read_plan(text, "test");
  EXPECT_TRUE(plan.has_value()) << (plan ? "" : plan.error().front().message);
  LinkOptions options;
  for (const StockHose& hose : plan->stock.hoses) {
    options.hoses.push_back({hose.bore_m, hose.price_per_m});
  }
  options.run_per_metre = plan->stock.run_per_metre;
  TankId id{};
  for (std::size_t i = 0; i < plan->array.tanks().size(); ++i) {
    if (plan->array.tanks()[i].name == tank) id = id_at<TankId>(i);
  }
  Result<LinkStudy> study = study_link(plan->array, plan->sheet, id, options);
  EXPECT_TRUE(study.has_value()) << (study ? "" : study.error().front().message);
  return {text, std::move(*plan), std::move(*study)};
}

const Studied& nursery() {
  static const Studied once =
      studied(text_of_file(source / "examples" / "larch-hill-new-tank.toml"), "shed-4");
  return once;
}

constexpr const char* small_plan = R"([[tank]]
name = "old \"one\""   # with ticks in its name
shape = { prism = { area = "1.1 m2", height = "0.95 m" } }
base = "0.40 m"  # three pallets
water = "0.5 m"
[[outlet]]
name = "tap"
at = "old \"one\""
draw = "5 L/min"
# the new tank
[[tank]]
name = "fresh"
shape = { prism = { area = "1.1 m2", height = "0.95 m" } }  # as bought
lid = "sealed"  # screwed down
)";

TEST(LinkPlan, IsTheOldPlanWithItsCommentsAndTheNewHosesAtItsEnd) {
  const Studied& yard = nursery();
  const Result<std::string> changed = plan_with(yard.text, yard.study, yard.study.options.front());
  ASSERT_TRUE(changed);
  EXPECT_THAT(*changed, StartsWith(yard.text));
  EXPECT_THAT(changed->substr(yard.text.size()), HasSubstr("from = \"shed-4\""));
}

// Of any rank, every fortieth, the last one among them.
TEST(LinkPlan, PassesTheReaderWhicheverWayIsTaken) {
  const Studied& yard = nursery();
  const std::size_t count = yard.study.options.size();
  for (std::size_t i = 0; i < count; i += 40) {
    const LinkOption& option = yard.study.options[i + 40 < count ? i : count - 1];
    const Result<std::string> changed = plan_with(yard.text, yard.study, option);
    ASSERT_TRUE(changed) << option.rank;
    const Result<Plan> again = read_plan(*changed, "again");
    ASSERT_TRUE(again) << option.rank;
    const Parts joined =
        with_way(yard.study.parts, yard.study.tank, option.way, yard.study.offered);
    ASSERT_EQ(again->array.hoses().size(), joined.hoses.size());
    for (std::size_t k = 0; k < joined.hoses.size(); ++k) {
      EXPECT_EQ(again->array.hoses()[k].name, joined.hoses[k].name);
      EXPECT_NEAR(again->array.hoses()[k].length_m, joined.hoses[k].length_m, 1e-12);
      EXPECT_NEAR(again->array.hoses()[k].loss_k, joined.hoses[k].loss_k, 1e-12);
    }
    EXPECT_EQ(part(again->array.tanks(), yard.study.tank).base_m, option.way.base_m);
  }
}

// The figures that the answer gives are those of the written plan, run and looked over.
TEST(LinkPlan, ConfirmsTheFiguresWhenItIsRun) {
  const Studied& yard = nursery();
  const LinkOption& top = yard.study.options.front();
  const Result<std::string> changed = plan_with(yard.text, yard.study, top);
  ASSERT_TRUE(changed);
  const Result<Plan> again = read_plan(*changed, "again");
  ASSERT_TRUE(again);
  const Result<RunRecord> day = run(again->array, again->sheet);
  ASSERT_TRUE(day);
  EXPECT_NEAR(day->ledger.overflowed_m3, top.figures.day_spilt_m3, 1e-6);
  EXPECT_NEAR(day->ledger.delivered_m3, top.figures.day_delivered_m3, 1e-6);
  const Result<AtRest> before = at_rest(yard.plan.array);
  const Result<AtRest> after = at_rest(again->array);
  ASSERT_TRUE(before && after);
  double gained_m3 = 0.0;
  for (const Usable& usable : after->usable) gained_m3 += usable.usable_m3;
  for (const Usable& usable : before->usable) gained_m3 -= usable.usable_m3;
  // One outlet at a time there, all at once here.
  EXPECT_NEAR(gained_m3, top.gained_m3, 0.010);
}

TEST(LinkPlan, SetsTheStandAndTheLidAndKeepsWhatIsSaidBesideThem) {
  const Studied yard = studied(small_plan, "fresh");
  const auto raised = std::find_if(
      yard.study.options.begin(), yard.study.options.end(), [](const LinkOption& option) {
        return option.way.stand != Stand::as_planned && option.lid_hole_m;
      });
  ASSERT_NE(raised, yard.study.options.end());
  const Result<std::string> changed = plan_with(yard.text, yard.study, *raised);
  ASSERT_TRUE(changed);
  EXPECT_THAT(*changed, HasSubstr("name = \"fresh\"\nbase = \"0.4 m\"\n"));
  EXPECT_THAT(*changed, HasSubstr(" mm\" }  # screwed down"));
  EXPECT_THAT(*changed, Not(HasSubstr("sealed")));
  EXPECT_THAT(*changed, HasSubstr("# with ticks in its name"));
  EXPECT_THAT(*changed, HasSubstr("to = \"old \\\"one\\\"\""));
}

TEST(LinkPlan, KeepsLineEndsOfTwoCharacters) {
  std::string text;
  for (const char c : std::string(small_plan))
    text += c == '\n' ? std::string("\r\n") : std::string(1, c);
  const Studied yard = studied(text, "fresh");
  const Result<std::string> changed = plan_with(text, yard.study, yard.study.options.front());
  ASSERT_TRUE(changed);
  for (std::size_t i = 1; i < changed->size(); ++i) {
    const bool ends_a_line = (*changed)[i] == '\n';
    ASSERT_TRUE(!ends_a_line || (*changed)[i - 1] == '\r') << i;
  }
}

TEST(LinkPlan, IsRefusedWhereHosesStandInOneLine) {
  const std::string text = std::string("hose = []\n") + small_plan;
  const Studied yard = studied(text, "fresh");
  const Result<std::string> changed = plan_with(text, yard.study, yard.study.options.front());
  ASSERT_FALSE(changed);
  EXPECT_THAT(changed.error().front().help, HasSubstr("[[hose]]"));
}

TEST(LinkCommand, GivesAProgramTheSameRanksAsAReader) {
  ScratchFolder folder;
  const std::string plan = (source / "examples" / "larch-hill-new-tank.toml").string();
  const Ended ended = shell("tankyard link '" + plan + "' shed-4 --json", folder.path());
  ASSERT_EQ(ended.status, 0);
  const auto json = nlohmann::json::parse(ended.out);
  ASSERT_EQ(json["options"].size(), nursery().study.options.size());
  EXPECT_EQ(json["options"][0]["joins"], nlohmann::json({"shed-3", "shed-1"}));
  EXPECT_EQ(json["options"][0]["bore_mm"], 32.0);
  EXPECT_EQ(json["tank"], "shed-4");
  EXPECT_FALSE(json["stopped"]);
}

TEST(LinkCommand, WritesTheWayThatIsAskedFor) {
  ScratchFolder folder;
  const std::string plan = (source / "examples" / "larch-hill-new-tank.toml").string();
  const Ended ended = shell("tankyard link '" + plan +
                                "' shed-4 --write joined.toml --take 2 -q > /dev/null && "
                                "tankyard check joined.toml -q > /dev/null; echo $?; grep -c "
                                "'^name = \"shed-4-' joined.toml",
                            folder.path());
  EXPECT_EQ(ended.out, "0\n1\n");
}

struct No {
  const char* words;
  const char* says;
};

TEST(LinkCommand, SaysWhatItCannotUse) {
  ScratchFolder folder;
  std::ofstream(folder / "plan.toml") << small_plan;
  for (const No& no : {No{"plan.toml", "needs a TANK after the PLAN"},
                       No{"plan.toml fersh", "similar name: `fresh`"},
                       No{"plan.toml fresh other", "`other` is one too many"},
                       No{"plan.toml fresh --write plan.toml", "the plan itself"},
                       No{"plan.toml fresh --write no/such.toml", "no"},
                       No{"plan.toml fresh --write out.toml --take 9999", "is no rank"},
                       No{"plan.toml fresh --tolerance 5", "`--tolerance`"}}) {
    const Ended ended = shell(std::string("tankyard link ") + no.words + " 2>&1", folder.path());
    EXPECT_EQ(ended.status, 2) << no.words << ended.out;
    EXPECT_THAT(ended.out, HasSubstr(no.says)) << no.words;
  }
  EXPECT_FALSE(std::filesystem::exists(folder / "out.toml"));
}

TEST(LinkCommand, RefusesATankThatIsJoinedAlready) {
  ScratchFolder folder;
  const std::string plan = (source / "examples" / "larch-hill.toml").string();
  const Ended ended = shell("tankyard link '" + plan + "' shed-3 2>&1", folder.path());
  EXPECT_EQ(ended.status, 2);
  EXPECT_THAT(ended.out, HasSubstr("tank `shed-3` is joined already, by `shed-3-rail`"));
}

}  // namespace link_test
}  // namespace tankyard

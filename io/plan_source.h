// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "io/plan_words.h"

namespace tankyard {

/// "tank", "header", ...: the kinds that a plan lists with double brackets, in the order in which
/// they are read.
const std::vector<std::string>& listed_kinds();

/// Kinds whose parts are named after what they join where the plan gives them no name.
bool may_be_nameless(std::string_view kind);

/// What a name stands for.
struct Named {
  std::string kind;                   ///< as in `PartField`, or "valve" for the valve of a hose
  std::size_t index = 0;              ///< in the list of its kind; for a valve, of its hose
  const toml::node* where = nullptr;  ///< what to point at
};

/// "a tank", "the valve of hose `x`": what a name turned out to be.
std::string with_article(const Named& named, const std::vector<std::string>& hose_names);

/// A plan's tables by kind, and its names: all that can be known before any part is read.
class PlanSource {
 public:
  PlanSource(Reading& reading, const toml::table& root);

  /// The entries of a kind, in plan order; "site", "run" and "stock" have one or none.
  const std::vector<const toml::table*>& entries(const std::string& kind) const;

  /// The name of an entry: its own, or the one made for it; empty where it has none it could use.
  const std::string& name(const std::string& kind, std::size_t index) const;
  /// "tank `shed-1`", or "tank 3" where it has no name.
  std::string called(const std::string& kind, std::size_t index) const;

  const Named* find(const std::string& name) const;

  /// What the value names, if that is of one of the `kinds`; else complains, with the nearest name
  /// or with what the name is. `sentence` goes before the name: "hose `x` ends at".
  const Named* refer(const toml::node& value, const std::vector<std::string>& kinds,
                     const std::string& sentence, const PartField& about);

  /// Where a field of a part stands in the text: its value; where it was left out, the table it
  /// would stand in.
  Spot locate(const PartField& field) const;

 private:
  void sort_tables(const toml::table& root);
  void adopt_misspelt(const toml::table& root, const std::vector<std::string>& known);
  void take_names();
  void name_the_nameless();
  void make_name(const std::string& kind, std::size_t index, const std::string& wish);

  Reading* reading_;
  const toml::table* root_;
  std::map<std::string, std::vector<const toml::table*>> entries_;
  std::map<std::string, std::vector<std::string>> names_;
  std::map<std::string, Named> taken_;
  std::map<std::string, int> made_;  ///< how often a name was wished for
};

}  // namespace tankyard

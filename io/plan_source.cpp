// SPDX-License-Identifier: MIT
#include "io/plan_source.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace tankyard {
namespace {

const std::vector<std::string>& single_kinds() {
  static const std::vector<std::string> kinds = {"site", "run", "stock"};
  return kinds;
}

std::string in_words(std::string_view kind) {
  if (kind == "top_up") return "top-up";
  return kind == "air_line" ? "air line" : std::string(kind);
}

/// "an air line".
std::string kind_with_article(std::string_view kind) {
  return (kind == "outlet" || kind == "air_line" ? "an " : "a ") + in_words(kind);
}

/// The kind as it stands in made names: "top-up", "air-line".
std::string in_a_name(std::string_view kind) {
  std::string name(kind);
  std::replace(name.begin(), name.end(), '_', '-');
  return name;
}

/// The string under a key, or under `at` of a table under that key: how hoses name their ends.
std::string end_name(const toml::table& table, std::string_view key) {
  const toml::node* node = table.get(key);
  if (node != nullptr && node->is_table()) node = node->as_table()->get("at");
  return node != nullptr && node->is_string() ? node->as_string()->get() : std::string();
}

const toml::node* valve_name(const toml::table& hose) {
  const toml::node* node = get_or_misspelt(hose, "valve");
  if (node != nullptr && node->is_table()) node = node->as_table()->get("name");
  return node != nullptr && node->is_string() ? node : nullptr;
}

}  // namespace

const std::vector<std::string>& listed_kinds() {
  static const std::vector<std::string> kinds = {"tank",     "header", "hose",   "pump",
                                                 "outlet",   "roof",   "top_up", "leak",
                                                 "air_line", "step",   "use"};
  return kinds;
}

bool may_be_nameless(std::string_view kind) {
  return kind == "hose" || kind == "roof" || kind == "top_up" || kind == "leak" ||
         kind == "air_line";
}

std::string with_article(const Named& named, const std::vector<std::string>& hose_names) {
  if (named.kind == "valve") return fmt::format("the valve of hose `{}`", hose_names[named.index]);
  return kind_with_article(named.kind);
}

PlanSource::PlanSource(Reading& reading, const toml::table& root)
    : reading_(&reading), root_(&root) {
  for (const std::string& kind : single_kinds()) entries_[kind] = {};
  for (const std::string& kind : listed_kinds()) entries_[kind] = {};
  sort_tables(root);
  take_names();
  name_the_nameless();
}

void PlanSource::sort_tables(const toml::table& root) {
  std::vector<std::string> known = single_kinds();
  known.insert(known.end(), listed_kinds().begin(), listed_kinds().end());
  complain_of_unknown_keys(*reading_, root, {}, "a plan", known);
  adopt_misspelt(root, known);
  for (const std::string& kind : single_kinds()) {
    const toml::node* const node = root.get(kind);
    if (node == nullptr) continue;
    if (const auto* const table = node->as_table()) {
      entries_[kind].push_back(table);
      continue;
    }
    reading_->complain(reading_->spot_of(node->source()),
                       fmt::format("`{}` is {} where a table is needed", kind, what_it_is(*node)),
                       fmt::format("a plan has one of it, with single brackets: `[{}]`", kind));
  }
  for (const std::string& kind : listed_kinds()) {
    const toml::node* const node = root.get(kind);
    if (node == nullptr) continue;
    const auto* const list = node->as_array();
    if (list == nullptr) {
      reading_->complain(
          reading_->spot_of(node->source()),
          fmt::format("`{}` is {} where a list of parts is needed", kind, what_it_is(*node)),
          fmt::format("a plan can have many of it, so the brackets are double: `[[{}]]`", kind));
      // Read on as if the brackets were double, so that names and mistakes inside are known too.
      if (const auto* const table = node->as_table()) entries_[kind].push_back(table);
      continue;
    }
    for (const toml::node& entry : *list) {
      if (const auto* const table = entry.as_table()) {
        entries_[kind].push_back(table);
        continue;
      }
      reading_->complain(
          reading_->spot_of(entry.source()),
          fmt::format("`{}` holds {} where a table is needed", kind, what_it_is(entry)),
          fmt::format("begin each part with a line `[[{}]]`", kind));
    }
  }
}

/// What stands under a misspelt header is read under the one that was meant, so that names in it
/// are known and mistakes in it are told.
void PlanSource::adopt_misspelt(const toml::table& root, const std::vector<std::string>& known) {
  for (auto&& [key, value] : root) {
    if (std::find(known.begin(), known.end(), key.str()) != known.end()) continue;
    const std::optional<std::string> meant = reading_->likely(key.str(), known);
    if (!meant) continue;
    const bool listed_kind =
        std::find(listed_kinds().begin(), listed_kinds().end(), *meant) != listed_kinds().end();
    if (const auto* const table = value.as_table(); table != nullptr && !listed_kind) {
      if (!root.contains(*meant)) entries_[*meant].push_back(table);
    } else if (const auto* const list = value.as_array(); list != nullptr && listed_kind) {
      for (const toml::node& entry : *list) {
        if (entry.is_table()) entries_[*meant].push_back(entry.as_table());
      }
    }
  }
}

void PlanSource::take_names() {
  for (const std::string& kind : listed_kinds()) {
    if (kind == "step" || kind == "use") continue;
    const auto& list = entries_[kind];
    names_[kind].resize(list.size());
    for (std::size_t i = 0; i < list.size(); ++i) {
      const PartField about = {kind, i, "name"};
      const toml::node* const node = get_or_misspelt(*list[i], "name");
      if (node == nullptr) continue;  // told when the part is read
      const auto* const string = node->as_string();
      if (string == nullptr) {
        reading_->complain(
            reading_->spot_of(node->source()),
            fmt::format("`name` of {} {} is {} where a text is needed", in_words(kind), i + 1,
                        what_it_is(*node)),
            fmt::format("put the name in quotes: `name = \"{}-1\"`", in_a_name(kind)), about);
        reading_->set_aside(about);
        continue;
      }
      names_[kind][i] = string->get();
      taken_.emplace(string->get(), Named{kind, i, node});
    }
  }
  const auto& hoses = entries_["hose"];
  for (std::size_t i = 0; i < hoses.size(); ++i) {
    const toml::node* const node = valve_name(*hoses[i]);
    if (node != nullptr) taken_.emplace(node->as_string()->get(), Named{"valve", i, node});
  }
}

void PlanSource::name_the_nameless() {
  for (const std::string& kind : listed_kinds()) {
    if (!may_be_nameless(kind)) continue;
    const auto& list = entries_[kind];
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (get_or_misspelt(*list[i], "name") != nullptr) continue;
      std::string wish;
      if (kind == "hose" || kind == "air_line") {
        const std::string from = end_name(*list[i], "from");
        const std::string to = end_name(*list[i], "to");
        if (!from.empty() && !to.empty()) wish = fmt::format("{}-{}", from, to);
        // Mostly a hose joins the same two tanks, and a step must not shut the one for the other.
        if (!wish.empty() && kind == "air_line") wish += "-air";
      } else {
        const std::string tank = end_name(*list[i], kind == "leak" ? "tank" : "into");
        if (!tank.empty()) wish = tank + "-" + in_a_name(kind);
      }
      make_name(kind, i, wish.empty() ? fmt::format("{}-{}", in_a_name(kind), i + 1) : wish);
    }
  }
}

void PlanSource::make_name(const std::string& kind, std::size_t index, const std::string& wish) {
  std::string name = wish;
  const Named named = {kind, index, entries_[kind][index]};
  int& count = made_[wish];  // so that the last of many hoses between two tanks is named at once
  if (count == 0) count = 1;
  while (!taken_.emplace(name, named).second) name = fmt::format("{}-{}", wish, ++count);
  names_[kind][index] = name;
}

const std::vector<const toml::table*>& PlanSource::entries(const std::string& kind) const {
  return entries_.at(kind);
}

const std::string& PlanSource::name(const std::string& kind, std::size_t index) const {
  return names_.at(kind)[index];
}

std::string PlanSource::called(const std::string& kind, std::size_t index) const {
  const std::string& own = name(kind, index);
  return own.empty() ? fmt::format("{} {}", in_words(kind), index + 1)
                     : fmt::format("{} `{}`", in_words(kind), own);
}

const Named* PlanSource::find(const std::string& name) const {
  const auto entry = taken_.find(name);
  return entry == taken_.end() ? nullptr : &entry->second;
}

const Named* PlanSource::refer(const toml::node& value, const std::vector<std::string>& kinds,
                               const std::string& sentence, const PartField& about) {
  const auto wanted = [&](const Named& named) {
    return std::find(kinds.begin(), kinds.end(), named.kind) != kinds.end();
  };
  const auto list_of_kinds = [&] {
    std::vector<std::string> words;
    words.reserve(kinds.size());
    for (const std::string& kind : kinds) words.push_back(kind_with_article(kind));
    return listed(words, " or ");
  };
  const auto refuse = [&](std::string message, std::string help) {
    reading_->complain(reading_->spot_of(value.source()), std::move(message), std::move(help),
                       about);
    reading_->set_aside(about);
    return nullptr;
  };

  const auto* const string = value.as_string();
  if (string == nullptr) {
    return refuse(fmt::format("{} {} where a name is needed", sentence, what_it_is(value)),
                  fmt::format("write the name of {} in quotes", list_of_kinds()));
  }
  const std::string& name = string->get();
  if (const Named* const named = find(name)) {
    if (wanted(*named)) return named;
    return refuse(fmt::format("{} `{}`, which is {}", sentence, name,
                              with_article(*named, names_.at("hose"))),
                  fmt::format("name {} here", list_of_kinds()));
  }

  const std::string message = fmt::format("{} `{}`, which this plan does not have", sentence, name);
  if (!reading_->can_search()) return refuse(message, "names are written as the part gives them");
  std::vector<std::string> right;
  std::vector<std::string> others;
  for (const auto& [other, named] : taken_) (wanted(named) ? right : others).push_back(other);
  std::optional<std::string> near = reading_->likely(name, right);
  if (!near) near = reading_->likely(name, others);
  std::string help =
      fmt::format("this plan has no part that could stand here: add {}", list_of_kinds());
  if (near) {
    const Named& named = *find(*near);
    help = fmt::format("there is {} with a similar name: `{}`, on line {}",
                       named.kind == "valve" ? "a valve" : with_article(named, {}), *near,
                       named.where->source().begin.line);
  } else if (!right.empty()) {
    constexpr std::size_t most_listed = 12;
    help = "names that could stand here:";
    for (std::size_t i = 0; i < std::min(right.size(), most_listed); ++i) {
      help += fmt::format("{} `{}`", i == 0 ? "" : ",", right[i]);
    }
    if (right.size() > most_listed) help += fmt::format(" and {} more", right.size() - most_listed);
  }
  return refuse(message, help);
}

Spot PlanSource::locate(const PartField& field) const {
  const auto list = entries_.find(field.kind);
  if (list == entries_.end() || field.index >= list->second.size()) {
    return reading_->spot_of(root_->source());
  }
  const toml::node* node = list->second[field.index];
  std::string_view rest = field.field;
  while (!rest.empty()) {
    const std::size_t dot = std::min(rest.find('.'), rest.size());
    const std::string_view key = rest.substr(0, dot);
    rest.remove_prefix(std::min(dot + 1, rest.size()));
    const toml::node* inner = nullptr;
    if (const auto* const table = node->as_table()) {
      inner = get_or_misspelt(*table, key);
    } else if (const auto* const array = node->as_array()) {
      std::size_t at = 0;
      const auto read = std::from_chars(key.data(), key.data() + key.size(), at);
      if (read.ec == std::errc() && at < array->size()) inner = array->get(at);
    }
    if (inner == nullptr) break;
    node = inner;
  }
  return reading_->spot_of(node->source());
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
// One table of a plan, key by key (io/plan_words.h).
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/nearest.h"
#include "io/plan_words.h"

namespace tankyard {

Entry::Entry(Reading& reading, const toml::table& table, PartField about, std::string owner)
    : reading_(&reading), table_(&table), about_(std::move(about)), owner_(std::move(owner)) {}

const toml::node* Entry::get(std::string_view key) {
  known_.emplace_back(key);
  return table_->get(key);
}

PartField Entry::field(std::string_view key) const {
  PartField field = about_;
  if (!field.field.empty() && !key.empty()) field.field += '.';
  field.field += key;
  return field;
}

void Entry::complain_at(const toml::node& node, std::string_view key, std::string message,
                        std::string help) {
  reading_->complain(reading_->spot_of(node.source()), std::move(message), std::move(help),
                     field(key));
  reading_->set_aside(field(key));
}

void Entry::complain_of(const toml::node& node, std::string_view key,
                        const QuantityProblem& problem) {
  reading_->complain(reading_->spot_inside(node, problem.first, problem.length),
                     fmt::format("`{}` of {} {}", key, owner_, problem.message), problem.help,
                     field(key));
  reading_->set_aside(field(key));
}

void Entry::missing(std::string_view key, std::string_view example) {
  missing_.emplace_back(key, example);
  reading_->set_aside(field(key));
}

void Entry::wrong_kind(const toml::node& node, std::string_view key, std::string_view needed,
                       std::string_view example) {
  complain_at(
      node, key,
      fmt::format("`{}` of {} is {} where {} is needed", key, owner_, what_it_is(node), needed),
      fmt::format("write for example `{} = {}`", key, example));
}

double Entry::quantity_at(const toml::node& node, std::string_view key, Dimension dimension) {
  if (const auto* const string = node.as_string()) {
    const auto read = parse_quantity(string->get(), dimension);
    if (read) return *read;
    complain_of(node, key, read.error());
    return no_number;
  }
  if (const std::optional<double> bare = node.is_number() ? node.value<double>() : std::nullopt) {
    if (!std::isfinite(*bare)) {
      complain_at(node, key, fmt::format("`{}` of {} is not a finite number", key, owner_),
                  fmt::format("{} is written like `\"{}\"`", with_article(dimension),
                              example_of(dimension)));
      return no_number;
    }
    reading_->note_bare_number(field(key), dimension);
    if (dimension != Dimension::temperature) return *bare;
    // A bare number is SI, so 14 is 14 K, and nobody has water that cold.
    constexpr double coldest_meant_k = 200.0;
    if (*bare >= coldest_meant_k) return *bare - 273.15;
    complain_at(node, key,
                fmt::format("`{}` of {} is the bare number {:g}, which stands for {:g} kelvins",
                            key, owner_, *bare, *bare),
                fmt::format("with its unit: `{} = \"{:g} degC\"`", key, *bare));
    return no_number;
  }
  complain_at(node, key,
              fmt::format("`{}` of {} is {} where {} is needed", key, owner_, what_it_is(node),
                          with_article(dimension)),
              fmt::format("{} is written like `\"{}\"`, or as a bare number of {}",
                          with_article(dimension), example_of(dimension), si_unit_name(dimension)));
  return no_number;
}

std::optional<double> Entry::quantity(std::string_view key, Dimension dimension) {
  const toml::node* const node = get(key);
  if (node == nullptr) return std::nullopt;
  return quantity_at(*node, key, dimension);
}

double Entry::quantity_or(std::string_view key, Dimension dimension, double otherwise) {
  return quantity(key, dimension).value_or(otherwise);
}

double Entry::needed_quantity(std::string_view key, Dimension dimension, std::string_view example) {
  if (const std::optional<double> value = quantity(key, dimension)) return *value;
  missing(key, fmt::format("\"{}\"", example.empty() ? example_of(dimension) : example));
  return no_number;
}

std::optional<double> Entry::number(std::string_view key) {
  const toml::node* const node = get(key);
  if (node == nullptr) return std::nullopt;
  if (!node->is_number()) {
    wrong_kind(*node, key, "a bare number", "0.6");
    return no_number;
  }
  const std::optional<double> value = node->value<double>();
  if (value && std::isfinite(*value)) return value;
  complain_at(*node, key, fmt::format("`{}` of {} is not a finite number", key, owner_),
              fmt::format("write for example `{} = 0.6`", key));
  return no_number;
}

double Entry::number_or(std::string_view key, double otherwise) {
  return number(key).value_or(otherwise);
}

std::optional<int> Entry::whole_number(std::string_view key) {
  const toml::node* const node = get(key);
  if (node == nullptr) return std::nullopt;
  constexpr std::int64_t most = 1'000'000;
  const auto* const value = node->as_integer();
  if (value == nullptr) {
    wrong_kind(*node, key, "a whole number", "2");
    return std::nullopt;
  }
  if (value->get() >= -most && value->get() <= most) return static_cast<int>(value->get());
  complain_at(*node, key,
              fmt::format("`{}` of {} is {}, more than a million", key, owner_, value->get()),
              fmt::format("write for example `{} = 2`", key));
  return std::nullopt;
}

bool Entry::flag_or(std::string_view key, bool otherwise) {
  const toml::node* const node = get(key);
  if (node == nullptr) return otherwise;
  if (const auto* const flag = node->as_boolean()) return flag->get();
  complain_at(
      *node, key,
      fmt::format("`{}` of {} is {} where true or false is needed", key, owner_, what_it_is(*node)),
      fmt::format("write `{0} = true` or `{0} = false`, without quotes", key));
  return otherwise;
}

std::optional<std::string> Entry::text(std::string_view key, std::string_view example) {
  const toml::node* const node = get(key);
  if (node == nullptr) return std::nullopt;
  if (const auto* const string = node->as_string()) return string->get();
  wrong_kind(*node, key, "a text in quotes", fmt::format("\"{}\"", example));
  return std::nullopt;
}

std::optional<Entry> Entry::table(std::string_view key, const std::string& inner_owner,
                                  std::string_view example) {
  const toml::node* const node = get(key);
  if (node == nullptr) return std::nullopt;
  if (const auto* const inner = node->as_table()) {
    return Entry(*reading_, *inner, field(key), inner_owner);
  }
  wrong_kind(*node, key, "a table", example);
  return std::nullopt;
}

std::optional<std::vector<std::pair<double, double>>> Entry::pairs(std::string_view key,
                                                                   Dimension first,
                                                                   Dimension second,
                                                                   std::string_view example) {
  const toml::node* const node = get(key);
  if (node == nullptr) return std::nullopt;
  const auto* const list = node->as_array();
  if (list == nullptr) {
    wrong_kind(*node, key, "a list of pairs", example);
    return std::nullopt;
  }
  const auto reads_as = [](const toml::node& value, Dimension dimension) {
    return value.is_string() && parse_quantity(value.as_string()->get(), dimension).has_value();
  };
  std::vector<std::pair<double, double>> pairs;
  bool usable = true;
  for (const toml::node& row : *list) {
    const auto* const pair = row.as_array();
    if (pair == nullptr || pair->size() != 2) {
      const std::string is = pair == nullptr ? what_it_is(row)
                                             : fmt::format("a list of {} value{}", pair->size(),
                                                           pair->size() == 1 ? "" : "s");
      complain_at(row, key,
                  fmt::format("a row of `{}` of {} is {} where a pair is needed", key, owner_, is),
                  fmt::format("write for example `{} = {}`", key, example));
      usable = false;
      continue;
    }
    if (reads_as(*pair->get(0), second) && reads_as(*pair->get(1), first)) {
      complain_at(row, key, fmt::format("the pairs of `{}` of {} are turned round", key, owner_),
                  fmt::format("first {}, then {}: `{} = {}`", with_article(first),
                              with_article(second), key, example));
      return std::nullopt;
    }
    pairs.emplace_back(quantity_at(*pair->get(0), key, first),
                       quantity_at(*pair->get(1), key, second));
  }
  if (!usable) return std::nullopt;
  return pairs;
}

void Entry::finish() {
  const std::vector<std::string> meant =
      complain_of_unknown_keys(*reading_, *table_, about_, owner_, known_);
  std::erase_if(missing_, [&](const auto& missing) {
    return std::find(meant.begin(), meant.end(), missing.first) != meant.end();
  });
  complain_of_missing_keys();
}

void Entry::complain_of_missing_keys() {
  if (missing_.empty()) return;
  std::vector<std::string> keys;
  std::vector<std::string> examples;
  for (const auto& [key, example] : missing_) {
    keys.push_back(fmt::format("`{}`", key));
    examples.push_back(fmt::format("`{} = {}`", key, example));
  }
  reading_->complain(reading_->spot_of(table_->source()),
                     fmt::format("{} has no {}", owner_, listed(keys, " or ")),
                     fmt::format("write for example {}", listed(examples)),
                     field(missing_.front().first));
}

std::vector<std::string> complain_of_unknown_keys(Reading& reading, const toml::table& table,
                                                  const PartField& about, const std::string& owner,
                                                  const std::vector<std::string>& known) {
  std::vector<std::string> meant;
  for (auto&& [key, value] : table) {
    if (std::find(known.begin(), known.end(), key.str()) != known.end()) continue;
    std::string help = "known keys:";
    if (const auto near = nearest_name(key.str(), known)) {
      help = fmt::format("there is a key with a similar name: `{}`", *near);
      meant.push_back(*near);
      PartField near_field = about;
      if (!near_field.field.empty()) near_field.field += '.';
      near_field.field += *near;
      if (!table.contains(*near)) reading.set_aside(near_field);
    } else {
      for (std::size_t i = 0; i < known.size(); ++i) {
        help += fmt::format("{} `{}`", i == 0 ? "" : ",", known[i]);
      }
    }
    PartField field = about;
    if (!field.field.empty()) field.field += '.';
    field.field += key.str();
    reading.complain(reading.spot_of(key.source()),
                     fmt::format("{} cannot have a key `{}`", owner, key.str()), std::move(help),
                     std::move(field));
  }
  return meant;
}

const toml::node* get_or_misspelt(const toml::table& table, std::string_view key) {
  if (const toml::node* const node = table.get(key)) return node;
  for (auto&& [other, value] : table) {
    if (slips_between(other.str(), key) <= 1) return &value;
  }
  return nullptr;
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include "io/plan_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/nearest.h"
#include "io/utf8.h"

namespace tankyard {
namespace {

/// Whether one key is the other or lies inside it: "overflow" and "overflow.height".
bool touches(const std::string& a, const std::string& b) {
  const std::string& outer = a.size() < b.size() ? a : b;
  const std::string& inner = a.size() < b.size() ? b : a;
  if (!inner.starts_with(outer)) return false;
  return inner.size() == outer.size() || outer.empty() || inner[outer.size()] == '.';
}

}  // namespace

Reading::Reading(std::string_view text, std::string file) : file_(std::move(file)) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    lines_.push_back(text.substr(at, end - at));
    if (!lines_.back().empty() && lines_.back().back() == '\r') lines_.back().remove_suffix(1);
    at = end + 1;
  }
}

std::string_view Reading::line(int number) const {
  const auto index = static_cast<std::size_t>(number - 1);
  return number >= 1 && index < lines_.size() ? lines_[index] : std::string_view{};
}

Spot Reading::spot_of(const toml::source_region& region) const {
  Spot spot = {file_, static_cast<int>(region.begin.line), static_cast<int>(region.begin.column),
               1};
  if (region.end.line == region.begin.line && region.end.column > region.begin.column) {
    spot.length = static_cast<int>(region.end.column - region.begin.column);
  } else if (region.end.line > region.begin.line) {
    const auto in_line = static_cast<int>(characters_in(line(spot.line)));
    spot.length = std::max(1, in_line - spot.column + 1);
  }
  return spot;
}

Spot Reading::spot_inside(const toml::node& value, std::size_t first, std::size_t length) const {
  Spot spot = spot_of(value.source());
  const auto* const string = value.as_string();
  if (string == nullptr || length == 0) return spot;
  const auto inside = static_cast<std::size_t>(spot.length) - 2;
  if (spot.length < 2 || characters_in(string->get()) != inside) return spot;
  spot.column += 1 + static_cast<int>(first);
  spot.length = static_cast<int>(length);
  return spot;
}

void Reading::complain(Spot spot, std::string message, std::string help, PartField about,
                       std::vector<std::string> notes) {
  Trouble trouble;
  trouble.message = std::move(message);
  trouble.notes = std::move(notes);
  trouble.help = std::move(help);
  trouble.about = std::move(about);
  trouble.spot = std::move(spot);
  troubles.push_back(std::move(trouble));
}

bool Reading::is_stand_in(const PartField& field) const {
  const auto part = stand_ins_.find({field.kind, field.index});
  if (part == stand_ins_.end()) return false;
  return std::any_of(part->second.begin(), part->second.end(), [&](const std::string& aside) {
    return field.field.empty() ? aside.empty() : touches(aside, field.field);
  });
}

void Reading::set_aside(const PartField& field) {
  stand_ins_[{field.kind, field.index}].push_back(field.field);
}

std::optional<std::string> Reading::likely(std::string_view wrong,
                                           const std::vector<std::string>& names) {
  if (searches_left_ == 0) return std::nullopt;
  --searches_left_;
  return nearest_name(wrong, names);
}

std::string what_it_is(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::string:
      return "a text";
    case toml::node_type::integer:
    case toml::node_type::floating_point:
      return "a number";
    case toml::node_type::boolean:
      return "true or false";
    case toml::node_type::date:
    case toml::node_type::date_time:
      return "a date";
    case toml::node_type::time:
      return "a clock time";
    case toml::node_type::array:
      return "a list";
    case toml::node_type::table:
      return "a table";
    case toml::node_type::none:
      break;
  }
  return "nothing";
}

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
  reading_->complain(reading_->spot_of(table_->source()),
                     fmt::format("{} has no `{}`", owner_, key),
                     fmt::format("write for example `{} = {}`", key, example), field(key));
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
  std::vector<std::pair<double, double>> pairs;
  bool usable = true;
  for (const toml::node& row : *list) {
    const auto* const pair = row.as_array();
    if (pair == nullptr || pair->size() != 2) {
      const std::string is =
          pair == nullptr ? what_it_is(row) : fmt::format("a list of {} values", pair->size());
      complain_at(row, key,
                  fmt::format("a row of `{}` of {} is {} where a pair is needed", key, owner_, is),
                  fmt::format("write for example `{} = {}`", key, example));
      usable = false;
      continue;
    }
    pairs.emplace_back(quantity_at(*pair->get(0), key, first),
                       quantity_at(*pair->get(1), key, second));
  }
  if (!usable) return std::nullopt;
  return pairs;
}

void Entry::finish() { complain_of_unknown_keys(*reading_, *table_, about_, owner_, known_); }

void complain_of_unknown_keys(Reading& reading, const toml::table& table, const PartField& about,
                              const std::string& owner, const std::vector<std::string>& known) {
  for (auto&& [key, value] : table) {
    if (std::find(known.begin(), known.end(), key.str()) != known.end()) continue;
    std::string help = "known keys:";
    if (const auto near = nearest_name(key.str(), known)) {
      help = fmt::format("there is a key with a similar name: `{}`", *near);
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
}

}  // namespace tankyard

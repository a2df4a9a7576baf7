// SPDX-License-Identifier: MIT
// The chapters [[header]] and [[hose]] of a plan, and the ends that hoses, pumps and outlets share.
#include <fmt/format.h>

#include <variant>

#include "io/plan_draft.h"
#include "solver/fittings.h"

namespace tankyard {
namespace {

Place place_of(const Named& named) {
  if (named.kind == "tank") return id_at<TankId>(named.index);
  if (named.kind == "header") return id_at<HeaderId>(named.index);
  return id_at<OutletId>(named.index);
}

/// K of all fittings named, added up.
double read_fittings(Entry& hose) {
  const toml::node* const node = hose.get("fittings");
  if (node == nullptr) return 0.0;
  const auto* const list = node->as_array();
  constexpr const char* example = R"(["elbow", "push-coupling"])";
  if (list == nullptr) {
    hose.wrong_kind(*node, "fittings", "a list of names", example);
    return 0.0;
  }
  double loss_k = 0.0;
  for (const toml::node& entry : *list) {
    const auto* const string = entry.as_string();
    if (string == nullptr) {
      hose.complain_at(
          entry, "fittings",
          fmt::format("`fittings` of {} holds {} where a name is needed", hose.owner(),
                      what_it_is(entry)),
          fmt::format("write for example `fittings = {}`; a loss given as a number goes "
                      "into `loss`",
                      example));
      continue;
    }
    if (const std::optional<double> known = fitting_loss_k(string->get())) {
      loss_k += *known;
      continue;
    }
    std::vector<std::string> names;
    std::string help = "known fittings:";
    for (const Fitting& fitting : known_fittings()) {
      names.emplace_back(fitting.name);
      help += fmt::format("{} `{}`", names.size() == 1 ? "" : ",", fitting.name);
    }
    if (const auto near = hose.reading().likely(string->get(), names)) {
      help = fmt::format("there is a fitting with a similar name: `{}`", *near);
    }
    hose.complain_at(entry, "fittings",
                     fmt::format("{} has a fitting `{}`, which is not in the table", hose.owner(),
                                 string->get()),
                     std::move(help));
  }
  return loss_k;
}

std::optional<Valve> read_valve(Entry& hose) {
  const toml::node* const node = hose.get("valve");
  if (node == nullptr) return std::nullopt;
  Valve valve;
  if (const auto* const string = node->as_string()) {
    valve.name = string->get();
    return valve;
  }
  constexpr const char* example = R"({ name = "V1", open = false })";
  auto entry = hose.table("valve", "the valve of " + hose.owner(), example);
  if (!entry) return std::nullopt;
  const bool has_name = entry->toml().contains("name");
  valve.name = entry->text("name", "V1").value_or("");
  if (!has_name) entry->missing("name", "\"V1\"");
  valve.open = entry->flag_or("open", valve.open);
  valve.loss_k = entry->number_or("loss", valve.loss_k);
  entry->finish();
  return valve;
}

Hose read_hose(Draft& draft, std::size_t index) {
  Entry entry(draft.reading, *draft.source.entries("hose")[index], {"hose", index, ""},
              draft.source.called("hose", index));
  static const std::vector<std::string> places = {"tank", "header", "outlet"};
  Hose hose;
  hose.name = read_name(draft, entry);
  hose.from = read_end(draft, entry, "from", entry.owner() + " begins at", places, true,
                       draft.stand_in_from());
  hose.to =
      read_end(draft, entry, "to", entry.owner() + " ends at", places, true, draft.stand_in_to());
  hose.bore_m = entry.needed_quantity("bore", Dimension::length, "19 mm");
  hose.length_m = entry.needed_quantity("length", Dimension::length, "1.5 m");
  hose.roughness_m = entry.quantity_or("roughness", Dimension::length, hose.roughness_m);
  hose.loss_k = entry.number_or("loss", 0.0) + read_fittings(entry);
  hose.crest_m = entry.quantity("crest", Dimension::length);
  hose.primed = entry.flag_or("primed", hose.primed);
  hose.valve = read_valve(entry);
  hose.one_way = entry.flag_or("one_way", hose.one_way);
  hose.cracking_head_m = entry.quantity_or("cracking_head", Dimension::length, 0.0);
  hose.open = entry.flag_or("open", hose.open);
  entry.finish();
  if (draft.reading.is_stand_in(entry.field("one_way"))) hose.one_way = true;
  return hose;
}

}  // namespace

HoseEnd read_end(Draft& draft, Entry& entry, std::string_view key, const std::string& sentence,
                 const std::vector<std::string>& kinds, bool with_height, TankId otherwise) {
  HoseEnd end = {otherwise, std::nullopt};
  const toml::node* const node = entry.get(key);
  const PartField about = entry.field(key);
  if (node == nullptr) {
    entry.missing(key, "\"shed-1\"");
    draft.reading.an_end_is_missing = true;
    return end;
  }
  const toml::node* place = node;
  if (const auto* const table = node->as_table()) {
    if (!with_height) {
      entry.wrong_kind(*node, key, "a name", "\"rail\"");
      draft.reading.an_end_is_missing = true;
      return end;
    }
    Entry inner(draft.reading, *table, about, fmt::format("`{}` of {}", key, entry.owner()));
    place = inner.get("at");
    if (place == nullptr) inner.missing("at", "\"shed-1\"");
    end.height_m = inner.quantity("height", Dimension::length);
    inner.finish();
  }
  const Named* const named =
      place == nullptr
          ? nullptr
          : draft.source.refer(*place, kinds, sentence,
                               place == node ? about : entry.field(fmt::format("{}.at", key)));
  if (named == nullptr) {
    draft.reading.an_end_is_missing = true;
  } else {
    end.place = place_of(*named);
  }
  return end;
}

std::optional<TankId> read_tank_name(Draft& draft, Entry& entry, std::string_view key,
                                     const std::string& sentence) {
  const toml::node* const node = entry.get(key);
  if (node == nullptr) return std::nullopt;
  const Named* const named = draft.source.refer(*node, {"tank"}, sentence, entry.field(key));
  if (named == nullptr) return std::nullopt;
  return id_at<TankId>(named->index);
}

TankId read_needed_tank(Draft& draft, Entry& entry, std::string_view key,
                        const std::string& sentence, TankId otherwise, std::string_view example) {
  if (!entry.toml().contains(key)) entry.missing(key, example);
  return read_tank_name(draft, entry, key, sentence).value_or(otherwise);
}

void read_headers(Draft& draft) {
  const auto& entries = draft.source.entries("header");
  for (std::size_t i = 0; i < entries.size(); ++i) {
    Entry entry(draft.reading, *entries[i], {"header", i, ""}, draft.source.called("header", i));
    Header header;
    header.name = read_name(draft, entry);
    header.height_m = entry.needed_quantity("height", Dimension::length, "0.40 m");
    header.position = read_position(entry);
    entry.finish();
    draft.parts.headers.push_back(std::move(header));
  }
}

void read_hoses(Draft& draft) {
  for (std::size_t i = 0; i < draft.source.entries("hose").size(); ++i) {
    draft.parts.hoses.push_back(read_hose(draft, i));
  }
}

}  // namespace tankyard

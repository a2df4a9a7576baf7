// SPDX-License-Identifier: MIT
// The chapters [[use]] and [stock] of a plan: what the season study and the link study need.
#include <fmt/format.h>

#include <cmath>

#include "io/plan_draft.h"

namespace tankyard {
namespace {

/// "04-15" as 415; 29 February counts as a day.
std::optional<int> month_day(std::string_view text) {
  const auto digit = [&](std::size_t i) { return text[i] - '0'; };
  if (text.size() != 5 || text[2] != '-') return std::nullopt;
  for (const std::size_t i : {0u, 1u, 3u, 4u}) {
    if (digit(i) < 0 || digit(i) > 9) return std::nullopt;
  }
  static constexpr int days[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const int month = digit(0) * 10 + digit(1);
  const int day = digit(3) * 10 + digit(4);
  if (month < 1 || month > 12 || day < 1 || day > days[month - 1]) return std::nullopt;
  return month * 100 + day;
}

std::optional<int> read_month_day(Entry& entry, std::string_view key) {
  const toml::node* const node = entry.get(key);
  if (node == nullptr) return std::nullopt;
  if (const auto* const string = node->as_string()) {
    if (const auto read = month_day(string->get())) return read;
  }
  entry.complain_at(*node, key, fmt::format("`{}` of {} is no day of the year", key, entry.owner()),
                    fmt::format("write month and day: `{} = \"04-15\"` is 15 April", key));
  return std::nullopt;
}

/// The clock time at which a use begins: "06:30" or 06:30:00.
double read_clock(Entry& entry, std::string_view key, double otherwise_s) {
  const toml::node* const node = entry.get(key);
  if (node == nullptr) return otherwise_s;
  if (const auto* const time = node->as_time()) {
    return time->get().hour * 3600.0 + time->get().minute * 60.0 + time->get().second;
  }
  if (const auto* const string = node->as_string()) {
    if (const auto clock = parse_clock(string->get())) return *clock;
  }
  entry.complain_at(*node, key, fmt::format("`{}` of {} is no clock time", key, entry.owner()),
                    fmt::format("write for example `{} = \"06:30\"`", key));
  return otherwise_s;
}

/// Complains of a number outside its range; what is not a number is complained of already.
void within(Entry& entry, std::string_view key, double value, bool right, std::string_view is,
            std::string_view rule) {
  if (std::isnan(value) || right) return;
  entry.complain_at(*entry.toml().get(key), key,
                    fmt::format("`{}` of {} is {}", key, entry.owner(), is),
                    fmt::format("it must be {}", rule));
}

Use read_use(Draft& draft, std::size_t index) {
  Entry entry(draft.reading, *draft.source.entries("use")[index], {"use", index, ""},
              fmt::format("use {}", index + 1));
  Use use;
  if (const toml::node* const node = entry.get("outlet")) {
    const Named* const named =
        draft.source.refer(*node, {"outlet"}, entry.owner() + " draws from", entry.field("outlet"));
    if (named != nullptr) use.outlet = id_at<OutletId>(named->index);
  } else {
    entry.missing("outlet", "\"spray-bar\"");
  }
  if (const toml::node* const node = entry.get("pump")) {
    const Named* const named =
        draft.source.refer(*node, {"pump"}, entry.owner() + " needs", entry.field("pump"));
    if (named != nullptr) use.pump = id_at<PumpId>(named->index);
  }
  use.daily_m3 = entry.needed_quantity("daily", Dimension::volume);
  constexpr double most_daily_m3 = 1e5;
  within(entry, "daily", use.daily_m3, use.daily_m3 > 0.0 && use.daily_m3 <= most_daily_m3,
         litres_text(use.daily_m3), "over 0 L and at most 100000 m3");
  use.at_s = read_clock(entry, "at", use.at_s);
  use.from_month_day = read_month_day(entry, "from");
  use.until_month_day = read_month_day(entry, "until");
  use.skip_after_rain_m = entry.quantity("skip_after_rain", Dimension::length);
  if (use.skip_after_rain_m) {
    const double rain = *use.skip_after_rain_m;
    within(entry, "skip_after_rain", rain, rain >= 0.0 && rain <= 1.0, millimetres_text(rain),
           "at least 0 mm and at most 1000 mm");
  }
  entry.finish();
  return use;
}

StockHose read_stock_hose(Reading& reading, const toml::table& table, std::size_t index) {
  Entry entry(reading, table, {"stock", 0, fmt::format("hoses.{}", index)},
              fmt::format("hose {} of the stock", index + 1));
  StockHose hose;
  hose.bore_m = entry.needed_quantity("bore", Dimension::length);
  hose.price_per_m = entry.number_or("price", hose.price_per_m);
  within(entry, "bore", hose.bore_m, hose.bore_m >= 1e-5 && hose.bore_m <= 2.0,
         millimetres_text(hose.bore_m), "at least 0.01 mm and at most 2000 mm");
  within(entry, "price", hose.price_per_m, hose.price_per_m >= 0.0 && hose.price_per_m <= 1e9,
         fmt::format("{:g}", hose.price_per_m), "0 or more, for a metre of hose");
  entry.finish();
  return hose;
}

}  // namespace

void read_uses(Draft& draft) {
  for (std::size_t i = 0; i < draft.source.entries("use").size(); ++i) {
    draft.uses.push_back(read_use(draft, i));
  }
}

void read_stock(Draft& draft) {
  if (draft.source.entries("stock").empty()) return;
  Entry entry(draft.reading, *draft.source.entries("stock")[0], {"stock", 0, ""}, "the stock");
  if (const toml::node* const node = entry.get("hoses")) {
    constexpr const char* example = R"([{ bore = "19 mm", price = 1.9 }])";
    const auto* const list = node->as_array();
    if (list == nullptr) entry.wrong_kind(*node, "hoses", "a list of hoses", example);
    for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
      if (const auto* const table = list->get(i)->as_table()) {
        draft.stock.hoses.push_back(read_stock_hose(draft.reading, *table, i));
      } else {
        entry.complain_at(*list->get(i), "hoses",
                          fmt::format("`hoses` of the stock holds {} where a table is needed",
                                      what_it_is(*list->get(i))),
                          fmt::format("write for example `hoses = {}`", example));
      }
    }
  }
  Stock& stock = draft.stock;
  stock.run_per_metre = entry.number_or("run_per_metre", stock.run_per_metre);
  within(entry, "run_per_metre", stock.run_per_metre,
         stock.run_per_metre >= 1.0 && stock.run_per_metre <= 100.0,
         fmt::format("{:g}", stock.run_per_metre),
         "at least 1 and at most 100: metres of hose for a metre of straight distance");
  entry.finish();
}

}  // namespace tankyard

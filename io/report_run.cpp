// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "graph/shape.h"
#include "graph/time_units.h"
#include "io/level_bar.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/tables.h"
#include "io/units.h"
#include "solver/shell.h"

namespace tankyard {
namespace {

using Holds = Table::Holds;

std::string when(const Plan& plan, const RunRecord& record, double at_s) {
  return moment_of(plan, record, at_s);
}

/// "24 h", "30 days".
std::string length_of(double lasted_s) {
  if (lasted_s < 2.0 * day_s || std::fmod(lasted_s, day_s) != 0.0) return duration_text(lasted_s);
  return fmt::format("{:.0f} days", lasted_s / day_s);
}

}  // namespace

std::string run_span(const Plan& plan, const RunRecord& record,
                     const std::vector<Finding>& findings) {
  return fmt::format("from {} for {}, with {}", clock_text(plan.sheet.starts_clock_s),
                     length_of(record.lasted_s), count_of(findings));
}

std::string run_answer(const RunRecord& record) {
  const Ledger& ledger = record.ledger;
  double short_m3 = 0.0;
  for (const OutletRecord& outlet : record.outlets) short_m3 += outlet.short_m3;
  std::string text = ledger.delivered_m3 > noticed_m3
                         ? litres_text(ledger.delivered_m3) + " were used"
                         : std::string("Nothing was used");
  if (short_m3 > noticed_m3)
    text += fmt::format(" ({} short of what was asked)", litres_text(short_m3));
  if (ledger.rain_m3 > noticed_m3) {
    text += fmt::format(", {} of rain came in", litres_text(ledger.rain_m3));
  }
  if (ledger.topped_up_m3 > noticed_m3) {
    text +=
        fmt::format(", {} of mains or well water were let in", litres_text(ledger.topped_up_m3));
  }
  if (ledger.leaked_m3 > noticed_m3) {
    text += fmt::format(", {} leaked away", litres_text(ledger.leaked_m3));
  }
  double with_room_m3 = 0.0;
  for (const TankRecord& tank : record.tanks) with_room_m3 += tank.spilt_with_room_m3;
  if (ledger.overflowed_m3 > noticed_m3) {
    text += fmt::format(", {} ran to the ground", litres_text(ledger.overflowed_m3));
    if (with_room_m3 > noticed_m3) {
      const bool all = with_room_m3 > ledger.overflowed_m3 - noticed_m3;
      text += fmt::format(", {} of it while a tank joined to the one that spilt had room",
                          all ? "all" : litres_text(with_room_m3));
    }
  }
  return text + fmt::format(". {} stand in the tanks at the end.", litres_text(ledger.end_m3));
}

namespace {

Chapter tanks_chapter(const Plan& plan, const RunRecord& record) {
  Table table(
      {{"tank", Holds::words}, {"start L"}, {"end L"}, {"full %"}, {"", Holds::bars}, {"spilt L"}});
  for (std::size_t t = 0; t < record.tanks.size(); ++t) {
    const TankRecord& tank = record.tanks[t];
    const Tank& it = plan.array.tanks()[t];
    const double part = part_full(tank.end_m3, capacity_m3(it.shape));
    table.add({it.name, litres_cell(tank.start_m3), litres_cell(tank.end_m3), full_cell(part),
               level_bar(part), litres_cell(tank.spilt_m3)});
  }
  return {"Tanks at the end (full: up to the rim)", table};
}

Chapter levels_chapter(const Plan& plan, const RunRecord& record) {
  Table table({{"tank", Holds::words},
               {"start m"},
               {"lowest m"},
               {"at", Holds::words},
               {"highest m"},
               {"at", Holds::words},
               {"end m"}});
  for (std::size_t t = 0; t < record.tanks.size(); ++t) {
    const TankRecord& tank = record.tanks[t];
    const Tank& it = plan.array.tanks()[t];
    table.add({it.name, metres_cell(depth_m(it.shape, tank.start_m3)),
               metres_cell(tank.lowest_depth_m), when(plan, record, tank.lowest_at_s),
               metres_cell(tank.highest_depth_m), when(plan, record, tank.highest_at_s),
               metres_cell(tank.end_depth_m)});
  }
  return {"How deep the water stood (above each tank's own bottom)", table};
}

Chapter air_chapter(const Plan& plan, const RunRecord& record) {
  Table table({{"tank", Holds::words},
               {"lowest Pa"},
               {"at", Holds::words},
               {"may bear Pa"},
               {"by", Holds::words},
               {"highest Pa"},
               {"at", Holds::words},
               {"may bear Pa"},
               {"by", Holds::words}});
  std::vector<std::string> notes;
  for (std::size_t t = 0; t < record.tanks.size(); ++t) {
    const Tank& it = plan.array.tanks()[t];
    if (it.lid.kind == Lid::Kind::open) continue;
    const HeadspaceRecord& air = record.tanks[t].headspace;
    const AllowedVacuum vacuum = allowed_vacuum(it);
    const AllowedPressure pressure = allowed_pressure(it);
    const bool pulled = air.lowest_pa < -0.5;
    const bool pressed = air.highest_pa >= 0.5;
    table.add({it.name, pascals_cell(air.lowest_pa),
               pulled ? when(plan, record, air.lowest_at_s) : "-", pascals_cell(-vacuum.pa),
               word_for(vacuum.from), pascals_cell(air.highest_pa),
               pressed ? when(plan, record, air.highest_at_s) : "-", pascals_cell(pressure.pa),
               word_for(pressure.from)});
    if (air.turned_away_m3 > noticed_m3) {
      notes.push_back(fmt::format("the pressure in {} turned {} of rain or top-up away",
                                  list_of({it.name}), litres_text(air.turned_away_m3)));
    }
    if (air.out_of_lid_m3 > noticed_m3) {
      notes.push_back(fmt::format("{} ran out of the lid of {}", litres_text(air.out_of_lid_m3),
                                  list_of({it.name})));
    }
  }
  return {"Air under closed lids (against the air outside)", table, notes};
}

Chapter overflows_chapter(const Plan& plan, const RunRecord& record) {
  Table table({{"overflow from", Holds::words}, {"to", Holds::words}, {"L"}});
  const Parts& parts = plan.array.parts();
  for (std::size_t t = 0; t < record.tanks.size(); ++t) {
    const Tank& tank = parts.tanks[t];
    if (!tank.overflow || !tank.overflow->to) continue;
    if (record.tanks[t].overflowed_out_m3 <= noticed_m3) continue;
    table.add({tank.name, part(parts.tanks, *tank.overflow->to).name,
               litres_cell(record.tanks[t].overflowed_out_m3)});
  }
  return {"Overflows into other tanks", table};
}

Chapter hoses_chapter(const Plan& plan, const RunRecord& record) {
  const Parts& parts = plan.array.parts();
  Table table({{"hose", Holds::words},
               {"from", Holds::words},
               {"to", Holds::words},
               {"carried L"},
               {"peak L/min"},
               {"at", Holds::words},
               {"most head lost mm"},
               {"at", Holds::words}});
  bool backwards = false;
  for (std::size_t h = 0; h < record.hoses.size(); ++h) {
    const HoseRecord& hose = record.hoses[h];
    const Hose& it = parts.hoses[h];
    const HoseLag& lag = record.lags[h];
    backwards = backwards || hose.carried_m3 < -noticed_m3 || hose.peak_m3_per_s < 0.0;
    table.add({it.name, name_of(parts, it.from.place), name_of(parts, it.to.place),
               litres_cell(hose.carried_m3), flow_cell(hose.peak_m3_per_s),
               hose.moved_m3 > 0.0 ? when(plan, record, hose.peak_at_s) : "-",
               lag.head_lost_m > 0.0 ? number_text(lag.head_lost_m * 1000.0) : "-",
               lag.head_lost_m > 0.0 ? when(plan, record, lag.at_s) : "-"});
  }
  const char* title = backwards ? "Hoses (minus: the other way, from `to` to `from`)" : "Hoses";
  return {title, table};
}

Chapter outlets_chapter(const Plan& plan, const RunRecord& record) {
  Table table({{"outlet", Holds::words},
               {"open for", Holds::words},
               {"asked L"},
               {"delivered L"},
               {"short L"},
               {"peak L/min"},
               {"dry for", Holds::words},
               {"dry from", Holds::words}});
  for (std::size_t o = 0; o < record.outlets.size(); ++o) {
    const OutletRecord& outlet = record.outlets[o];
    const Outlet& it = plan.array.outlets()[o];
    const bool draws = it.draw_m3_per_s.has_value();
    table.add({it.name, outlet.open_s > 0.0 ? duration_text(std::round(outlet.open_s)) : "never",
               draws ? litres_cell(outlet.asked_m3) : "", litres_cell(outlet.delivered_m3),
               draws ? litres_cell(outlet.short_m3) : "", flow_cell(outlet.peak_m3_per_s),
               outlet.first_dry_at_s ? duration_text(std::round(outlet.dry_s)) : "",
               outlet.first_dry_at_s ? when(plan, record, *outlet.first_dry_at_s) : ""});
  }
  return {"Outlets", table};
}

void add_supplies(std::vector<Chapter>& chapters, const Plan& plan, const RunRecord& record) {
  const Parts& parts = plan.array.parts();
  if (!parts.roofs.empty()) {
    Table table({{"roof", Holds::words},
                 {"into", Holds::words},
                 {"ran off L"},
                 {"first flush L"},
                 {"over the gutter L"},
                 {"caught L"}});
    for (std::size_t r = 0; r < record.roofs.size(); ++r) {
      const RoofRecord& roof = record.roofs[r];
      table.add({parts.roofs[r].name, part(parts.tanks, parts.roofs[r].into).name,
                 litres_cell(roof.fell_m3), litres_cell(roof.first_flush_m3),
                 litres_cell(roof.over_gutter_m3), litres_cell(roof.caught_m3)});
    }
    chapters.push_back({"Roofs", table});
  }
  if (!parts.top_ups.empty()) {
    Table table({{"top-up", Holds::words}, {"into", Holds::words}, {"let in L"}, {"times"}});
    for (std::size_t t = 0; t < record.top_ups.size(); ++t) {
      table.add({parts.top_ups[t].name, part(parts.tanks, parts.top_ups[t].into).name,
                 litres_cell(record.top_ups[t].let_in_m3),
                 fmt::to_string(record.top_ups[t].starts)});
    }
    chapters.push_back({"Top-ups", table});
  }
  if (!parts.leaks.empty()) {
    Table table({{"leak", Holds::words}, {"of", Holds::words}, {"lost L"}});
    for (std::size_t l = 0; l < record.leaks.size(); ++l) {
      table.add({parts.leaks[l].name, part(parts.tanks, parts.leaks[l].tank).name,
                 litres_cell(record.leaks[l].lost_m3)});
    }
    chapters.push_back({"Leaks", table});
  }
}

Chapter ledger_chapter(const Ledger& ledger) {
  const auto litres = [](double m3) {
    return fmt::format("{:.1f}", m3 == 0.0 ? 0.0 : m3 * 1000.0);
  };
  Table table({{"every litre has a place", Holds::words}, {"in L"}, {"out L"}});
  table.add({"in the tanks at the start", litres(ledger.start_m3), ""});
  table.add({"rain from the roofs", litres(ledger.rain_m3), ""});
  table.add({"topped up", litres(ledger.topped_up_m3), ""});
  table.add({"used at outlets", "", litres(ledger.delivered_m3)});
  table.add({"spilt on the ground", "", litres(ledger.overflowed_m3)});
  table.add({"leaked", "", litres(ledger.leaked_m3)});
  table.add({"in the tanks at the end", "", litres(ledger.end_m3)});
  const double out_m3 =
      ledger.delivered_m3 + ledger.overflowed_m3 + ledger.leaked_m3 + ledger.end_m3;
  table.add({"sum", litres(ledger.passed_m3), litres(out_m3)});
  const double error_m3 = ledger.closing_error_m3();
  const std::string closing =
      error_m3 == 0.0 ? std::string("0") : fmt::format("{:.1e}", error_m3 * 1000.0);
  return {"Ledger", table, {fmt::format("closing error: {} L", closing)}};
}

std::string events_text(const Plan& plan, const RunRecord& record, int columns) {
  std::string text = heading("Events", columns);
  for (const Event& event : record.events) {
    const std::string when =
        fmt::format("  {:<8}  ", clock_text(std::round(plan.sheet.starts_clock_s + event.at_s)));
    const std::string rest(static_cast<std::size_t>(width_of(when)), ' ');
    text += wrapped(in_words(plan, event), std::max(columns, width_of(when) + 20), when, rest);
  }
  if (record.events.empty()) text += "  none\n";
  return text;
}

}  // namespace

std::vector<Chapter> run_chapters(const Plan& plan, const RunRecord& record,
                                  const std::vector<Reach>& reaches) {
  std::vector<Chapter> chapters = {tanks_chapter(plan, record),   levels_chapter(plan, record),
                                   air_chapter(plan, record),     overflows_chapter(plan, record),
                                   hoses_chapter(plan, record),   pumps_chapter(plan, record),
                                   outlets_chapter(plan, record), reach_chapter(plan, reaches)};
  add_supplies(chapters, plan, record);
  chapters.push_back(ledger_chapter(record.ledger));
  chapters.push_back(assumed_chapter(plan));
  return chapters;
}

std::string run_text(const Plan& plan, const RunRecord& record,
                     const std::vector<Finding>& findings, bool with_events, int columns,
                     const std::vector<Reach>& reaches) {
  const std::string& site = plan.array.parts().site.name;
  std::string text = wrapped(fmt::format("{} {}. {}", site.empty() ? "The run went" : site + " ran",
                                         run_span(plan, record, findings), run_answer(record)),
                             prose_columns(columns));
  text += findings_text(plan, findings, columns);
  text += chapters_text(run_chapters(plan, record, reaches), columns);
  if (with_events) text += events_text(plan, record, columns);
  return text;
}

}  // namespace tankyard

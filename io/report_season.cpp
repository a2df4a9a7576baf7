// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "io/report.h"
#include "io/report_words.h"
#include "io/tables.h"
#include "io/units.h"
#include "solver/studies/season_books.h"
#include "solver/studies/season_changes.h"

namespace tankyard {
namespace {

using Holds = Table::Holds;

constexpr const char* month_names[] = {"January",   "February", "March",    "April",
                                       "May",       "June",     "July",     "August",
                                       "September", "October",  "November", "December"};

/// "51 %", and with a decimal where less than ten points matter.
std::string percent_text(double share) {
  const double percent = share * 100.0;
  // What is not all may not read as all.
  if (share < 1.0 && percent >= 99.5) return fmt::format("{:.1f} %", std::min(percent, 99.9));
  return fmt::format("{:.0f} %", percent);
}

/// "3.9 points", with its sign where it falls.
std::string points_text(double share) {
  const double points = share * 100.0;
  return fmt::format("{:.{}f}", points, std::fabs(points) < 9.95 ? 1 : 0);
}

std::string percent_cell(double share) {
  const double percent = share * 100.0;
  return share < 1.0 && percent > 99.94 ? "99.9" : fmt::format("{:.1f}", percent);
}

/// Litres, or cubic metres from ten of them on.
std::string water_text(double m3) {
  return std::fabs(m3) < 9.995 ? litres_text(m3)
                               : fmt::format("{:.{}f} m3", m3, m3 < 99.95 ? 1 : 0);
}

std::string money_text(double money) { return fmt::format("{:.2f}", money); }

double years_of(const SeasonTally& tally) { return tally.days / 365.25; }

std::string days_text(double days) {
  const std::string number = fmt::format("{:.0f}", days);
  return number + (number == "1" ? " day" : " days");
}

/// Short days of a year of this season.
double short_a_year(const SeasonTally& tally) {
  return tally.short_days / std::max(years_of(tally), 1e-9);
}

bool is_long(const SeasonTally& tally) { return tally.days >= 365; }

template <class OneMore>
const OneMore* best_of(const std::vector<OneMore>& tried) {
  const OneMore* best = nullptr;
  for (const OneMore& each : tried) {
    if (!best || each.season.total.cover() > best->season.total.cover()) best = &each;
  }
  return best;
}

const OneMoreTank* best_tank(const SeasonStudy& study) { return best_of(study.tanks); }
const OneMoreRoof* best_roof(const SeasonStudy& study) { return best_of(study.roofs); }

std::string span_text(const RainFile& rain) {
  const auto days = static_cast<double>(rain.rain.days.size());
  const std::chrono::sys_days last = rain.rain.first + std::chrono::days(rain.rain.days.size() - 1);
  const std::string from_to = fmt::format("{} to {}", date_text(rain.rain.first), date_text(last));
  if (days < 730.0) return fmt::format("{} of rain, {}", days_text(days), from_to);
  return fmt::format("{:.3g} years of rain, {}", days / 365.25, from_to);
}

/// Cover between the ways to pour, from the lowest to the highest.
double pours_apart(const SeasonStudy& study) {
  double least = study.as_it_is.total.cover();
  double most = least;
  for (const PourEffect& effect : study.pours) {
    least = std::min(least, effect.total.cover());
    most = std::max(most, effect.total.cover());
  }
  return most - least;
}

std::string gain_sentence(const Plan& plan, const SeasonStudy& study, const OneMoreTank& more) {
  const SeasonTally& now = study.as_it_is.total;
  const SeasonTally& then = more.season.total;
  const Tank& like = part(plan.array.tanks(), more.like);
  std::string text = fmt::format("One more tank like `{}` ({}) makes that {}", like.name,
                                 litres_text(capacity_m3(like.shape)), percent_text(then.cover()));
  if (is_long(now)) {
    text += fmt::format(", and {} short a year instead of {}", days_text(short_a_year(then)),
                        fmt::format("{:.0f}", short_a_year(now)));
  } else {
    text += fmt::format(", and {} short instead of {}", days_text(then.short_days), now.short_days);
  }
  const YearlyGain gain = gain_by_year(study.as_it_is, more.season);
  if (gain.years >= 2 && gain.standard_error) {
    text += fmt::format(": {} points more, give or take {}", points_text(gain.mean),
                        points_text(*gain.standard_error));
  }
  return text + ".";
}

}  // namespace

std::string season_answer(const Plan& plan, const SeasonAnswer& answer) {
  const SeasonStudy& study = answer.study;
  const SeasonTally& now = study.as_it_is.total;
  const std::string& site = plan.array.parts().site.name;
  std::string text = study.stopped ? "Stopped before all was tried. " : "";
  text += site.empty() ? "The yard" : site;
  text += " over " + span_text(answer.rain) + ": ";
  if (now.asked_days == 0) return text + "nothing was asked for on any day of it.";
  text += fmt::format("its own water covered {} of what was asked", percent_text(now.cover()));
  if (now.short_days == 0) {
    text += fmt::format(", and no day of {} was short", now.asked_days);
  } else {
    text += fmt::format("; {} of {} days of use were short, the first on {}", now.short_days,
                        now.asked_days, date_text(*study.as_it_is.first_short));
  }
  text += ".";
  const OneMoreTank* more = best_tank(study);
  if (now.short_days == 0 && now.mains_m3 <= 0.0) {
    text += " Another tank would have brought nothing.";
  } else if (more != nullptr) {
    text += " " + gain_sentence(plan, study, *more);
    const OneMoreRoof* roof = best_roof(study);
    if (roof != nullptr && roof->season.total.cover() > more->season.total.cover()) {
      text += fmt::format(" One more roof like `{}` would bring more: {}.",
                          part(plan.array.parts().roofs, roof->like).name,
                          percent_text(roof->season.total.cover()));
    }
  }
  if (study.more_tanks) {
    const MoreTanks& wanted = *study.more_tanks;
    const std::string& like = part(plan.array.tanks(), wanted.like).name;
    const std::size_t tried = wanted.cover_with.size() - 1;
    if (!wanted.enough) {
      text += fmt::format(
          " Even {} more like `{}` cover no more than {}, not {}: look to roof and "
          "use.",
          tried, like, percent_text(wanted.cover_with.back()), percent_text(wanted.cover_asked));
    } else if (*wanted.enough == 0) {
      text += fmt::format(" {} is covered as it is.", percent_text(wanted.cover_asked));
    } else {
      text += fmt::format(" {} takes {} more like `{}`.", percent_text(wanted.cover_asked),
                          *wanted.enough, like);
    }
  }
  return text;
}

namespace {

Chapter reason_chapter(const Plan& plan, const SeasonAnswer& answer) {
  const SeasonStudy& study = answer.study;
  const SeasonTally& now = study.as_it_is.total;
  std::vector<std::string> says;
  const double links_m3 = study.ideal.total.used_m3 - (now.used_m3 - now.mains_m3);
  says.push_back(fmt::format(
      "what the plumbing costs: one ideal tank of the same {} would have covered {}, {} {} than "
      "this yard",
      water_text(holds_m3(plan.array)), percent_text(study.ideal.total.cover()),
      water_text(std::fabs(links_m3)), links_m3 < 0.0 ? "less" : "more"));
  says.push_back(fmt::format(
      "{} ran to the ground, {} of it while a tank joined to the one that spilt had room",
      water_text(now.spilt_m3), water_text(now.spilt_with_room_m3)));
  if (now.mains_m3 > 0.0) {
    const double price = plan.array.parts().site.water_price_per_m3;
    says.push_back(fmt::format(
        "{} came from the mains{}", water_text(now.mains_m3),
        price > 0.0 ? fmt::format(", which cost {}", money_text(now.mains_m3 * price)) : ""));
  }
  const Season& season = study.as_it_is;
  if (season.longest_dry_run.until) {
    std::string dry = fmt::format("the longest dry run (days under 1 mm) was {} and ended on {}",
                                  days_text(season.longest_dry_run.days),
                                  date_text(*season.longest_dry_run.until));
    if (season.longest_survived.until) {
      dry += fmt::format(
          "; the longest that the yard lived through with water used each day and "
          "none short was {}, to {}",
          days_text(season.longest_survived.days), date_text(*season.longest_survived.until));
    }
    says.push_back(dry);
  }
  return {"Why", std::nullopt, {}, says};
}

void add_more(std::vector<Chapter>& chapters, const Plan& plan, const SeasonAnswer& answer) {
  const SeasonStudy& study = answer.study;
  const Season& now = study.as_it_is;
  const double years = std::max(years_of(now.total), 1e-9);
  Table table({{"with", Holds::words},
               {"cover %"},
               {"more, points"},
               {"least in a year"},
               {"most in a year"},
               {"short days a year"},
               {"used more L a year"}});
  const auto add = [&](const std::string& with, const Season& season, bool changed) {
    const YearlyGain gain = gain_by_year(now, season);
    const bool told = changed && gain.years >= 2;
    table.add({with, percent_cell(season.total.cover()),
               changed ? points_text(season.total.cover() - now.total.cover()) : "",
               told ? points_text(gain.least) : "", told ? points_text(gain.most) : "",
               fmt::format("{:.0f}", short_a_year(season.total)),
               changed ? litres_cell((season.total.used_m3 - now.total.used_m3) / years) : ""});
  };
  add("the yard as it is", now, false);
  for (const OneMoreTank& more : study.tanks) {
    add(fmt::format("one more tank like {}", part(plan.array.tanks(), more.like).name), more.season,
        true);
  }
  for (const OneMoreRoof& more : study.roofs) {
    add(fmt::format("one more roof like {}", part(plan.array.parts().roofs, more.like).name),
        more.season, true);
  }
  add("one ideal tank", study.ideal, true);
  Chapter keep{"How much to keep", table};
  if (study.more_tanks) {
    const MoreTanks& wanted = *study.more_tanks;
    std::string line = fmt::format("Cover with 0, 1, 2, ... more like `{}`: ",
                                   part(plan.array.tanks(), wanted.like).name);
    for (std::size_t k = 0; k < wanted.cover_with.size(); ++k) {
      line += (k == 0 ? "" : ", ") + percent_text(wanted.cover_with[k]);
    }
    keep.notes = {line + "."};
    keep.apart = true;
  }
  chapters.push_back(keep);
  if (study.sizes) {
    const SizeTable& sizes = *study.sizes;
    std::vector<Table::Column> heads = {{"cover %, with storage", Holds::words}};
    for (const double roof : sizes.roof) heads.push_back({fmt::format("roof x {:g}", roof)});
    Table covers(heads);
    for (std::size_t row = 0; row < sizes.storage.size(); ++row) {
      std::vector<std::string> cells = {
          fmt::format("x {:g} ({})", sizes.storage[row],
                      water_text(holds_m3(plan.array) * sizes.storage[row]))};
      for (const auto& cover : sizes.cover[row])
        cells.push_back(cover ? percent_cell(*cover) : "?");
      covers.add(std::move(cells));
    }
    chapters.push_back({"Cover with other sizes",
                        covers,
                        {"Every tank so many times as wide, at the same heights and on the same "
                         "hoses; every roof and gutter so many times as large. A wider tank also "
                         "keeps more below its mouth."}});
    chapters.back().apart = true;
  }
}

Chapter sure_chapter(const SeasonAnswer& answer) {
  const SeasonStudy& study = answer.study;
  const SeasonTally& now = study.as_it_is.total;
  std::vector<std::string> says;
  std::vector<const SeasonYear*> whole;
  for (const SeasonYear& year : study.as_it_is.years) {
    if (year.tally.days >= 365 && year.tally.asked_m3 > 0.0) whole.push_back(&year);
  }
  if (whole.size() >= 2) {
    const auto by_cover = [](const SeasonYear* a, const SeasonYear* b) {
      return a->tally.cover() < b->tally.cover();
    };
    const SeasonYear* worst = *std::min_element(whole.begin(), whole.end(), by_cover);
    const SeasonYear* best = *std::max_element(whole.begin(), whole.end(), by_cover);
    says.push_back(fmt::format("over {} whole years, cover lay between {} ({}) and {} ({})",
                               whole.size(), percent_text(worst->tally.cover()), worst->year,
                               percent_text(best->tally.cover()), best->year));
    if (const OneMoreTank* more = best_tank(study); more != nullptr && now.short_days > 0) {
      const YearlyGain gain = gain_by_year(study.as_it_is, more->season);
      std::string text = fmt::format(
          "what one more tank brings lay between {} and {} points; the mean of {} is good to {} "
          "(its standard error) if other years are like these",
          points_text(gain.least), points_text(gain.most), points_text(gain.mean),
          points_text(*gain.standard_error));
      if (std::fabs(gain.mean) < 2.0 * *gain.standard_error) {
        text += ", so it cannot be told from nothing";
      }
      says.push_back(text);
    }
  } else {
    says.push_back(
        "the record has fewer than two whole years: it says how these days went, not how others "
        "will");
  }
  if (!study.pours.empty()) {
    says.push_back(
        fmt::format("how a day's rain falls within the day is assumed; the ways tried "
                    "lie {} points of cover apart",
                    points_text(pours_apart(study))));
  }
  if (study.tenth_less_roof) {
    says.push_back(
        fmt::format("if the roofs brought a tenth less than the plan says, cover would "
                    "be {}",
                    percent_text(study.tenth_less_roof->cover())));
  }
  if (now.days_not_measured > 0) {
    says.push_back(
        fmt::format("{} of the record were not measured", days_text(now.days_not_measured)));
  }
  if (study.stopped) says.push_back("stopped by Ctrl-C: what is not listed was not tried");
  for (const std::string& each : study.not_reckoned) says.push_back("not reckoned: " + each);
  return {"How sure", std::nullopt, {}, says};
}

Table tally_table(const std::string& first, bool mains) {
  std::vector<Table::Column> heads = {
      {first, Holds::words}, {"rain mm"},    {"caught L"}, {"asked L"}, {"used L"},
      {"cover %"},           {"short days"}, {"short L"},  {"spilt L"}, {"with room L"}};
  if (mains) heads.push_back({"mains L"});
  return Table(heads);
}

void add_row(Table& table, const std::string& first, const SeasonTally& tally, double over,
             bool mains) {
  std::vector<std::string> cells = {first,
                                    fmt::format("{:.1f}", tally.rain_m * 1000.0 / over),
                                    litres_cell(tally.caught_m3 / over),
                                    litres_cell(tally.asked_m3 / over),
                                    litres_cell(tally.used_m3 / over),
                                    tally.asked_m3 > 0.0 ? percent_cell(tally.cover()) : "-",
                                    number_text(std::round(tally.short_days / over * 10.0) / 10.0),
                                    litres_cell(std::max(0.0, tally.short_m3()) / over),
                                    litres_cell(tally.spilt_m3 / over),
                                    litres_cell(tally.spilt_with_room_m3 / over)};
  if (mains) cells.push_back(litres_cell(tally.mains_m3 / over));
  table.add(std::move(cells));
}

Chapter years_chapter(const SeasonStudy& study) {
  const bool mains = study.as_it_is.total.mains_m3 > 0.0;
  Table table = tally_table("year", mains);
  for (const SeasonYear& year : study.as_it_is.years) {
    std::string name = std::to_string(year.year);
    if (year.tally.days < 365) name += fmt::format(" ({})", days_text(year.tally.days));
    add_row(table, name, year.tally, 1.0, mains);
  }
  if (study.as_it_is.years.size() > 1) add_row(table, "all", study.as_it_is.total, 1.0, mains);
  return {"Year by year", table};
}

Chapter months_chapter(const SeasonStudy& study, bool every_month) {
  const std::vector<SeasonMonth>& months = study.as_it_is.months;
  const bool mains = study.as_it_is.total.mains_m3 > 0.0;
  Table table = tally_table("month", mains);
  if (every_month || months.size() <= 14) {
    for (const SeasonMonth& month : months) {
      add_row(table, fmt::format("{}-{:02}", month.year, month.month), month.tally, 1.0, mains);
    }
    return {"Month by month", table};
  }
  for (int m = 1; m <= 12; ++m) {
    SeasonTally sum;
    int count = 0;
    for (const SeasonMonth& month : months) {
      if (month.month != m) continue;
      add_to(sum, month.tally);
      ++count;
    }
    if (count > 0) add_row(table, month_names[m - 1], sum, count, mains);
  }
  return {"The months, on average (`--months` lists every one)", table};
}

Chapter uses_chapter(const Plan& plan, const SeasonStudy& study) {
  const Parts& parts = plan.array.parts();
  Table table({{"use", Holds::words},
               {"from", Holds::words},
               {"L a day"},
               {"asked L"},
               {"came L"},
               {"came %"},
               {"days"},
               {"short"},
               {"first short", Holds::words}});
  for (std::size_t u = 0; u < plan.uses.size(); ++u) {
    const Use& use = plan.uses[u];
    const SeasonUse& came = study.as_it_is.uses[u];
    std::string name = part(parts.outlets, use.outlet).name;
    if (use.pump) name += " by " + part(parts.pumps, *use.pump).name;
    table.add({name, clock_text(use.at_s), litres_cell(use.daily_m3), litres_cell(came.asked_m3),
               litres_cell(came.used_m3),
               came.asked_m3 > 0.0 ? percent_cell(came.used_m3 / came.asked_m3) : "-",
               std::to_string(came.asked_days), std::to_string(came.short_days),
               came.first_short ? date_text(*came.first_short) : "never"});
  }
  return {"What was used", table};
}

Chapter tanks_chapter(const Plan& plan, const SeasonStudy& study) {
  Table table({{"tank", Holds::words},
               {"holds L"},
               {"a tenth of nights under %"},
               {"half under %"},
               {"a tenth over %"},
               {"first dry", Holds::words},
               {"dry days"},
               {"spilt L"},
               {"with room L"}});
  for (std::size_t t = 0; t < study.as_it_is.tanks.size(); ++t) {
    const SeasonTank& tank = study.as_it_is.tanks[t];
    table.add({plan.array.tanks()[t].name, litres_cell(tank.capacity_m3),
               fmt::format("{:.0f}", tank.tenth_share * 100.0),
               fmt::format("{:.0f}", tank.median_share * 100.0),
               fmt::format("{:.0f}", tank.ninetieth_share * 100.0),
               tank.first_dry ? date_text(*tank.first_dry) : "never", std::to_string(tank.dry_days),
               litres_cell(tank.spilt_m3), litres_cell(tank.spilt_with_room_m3)});
  }
  return {"How full the tanks stood at midnight, of what each holds", table};
}

std::string pour_name(const PourRule& rule) {
  const std::string when = fmt::format("{} to {}", clock_text(rule.starts_s),
                                       rule.starts_s + rule.lasts_s >= 86400.0 - 0.5
                                           ? std::string("24:00")
                                           : clock_text(rule.starts_s + rule.lasts_s));
  return when + (rule.shape == PourShape::even ? ", evenly" : ", to a peak and down");
}

Chapter pours_chapter(const SeasonAnswer& answer) {
  const SeasonStudy& study = answer.study;
  if (study.pours.empty()) return {};
  Table table({{"rain falls", Holds::words},
               {"cover %"},
               {"short days"},
               {"spilt L"},
               {"with room L"},
               {"over gutters L"}});
  const auto add = [&](const PourRule& rule, const SeasonTally& total, bool chosen) {
    table.add({pour_name(rule) + (chosen ? " (as reckoned)" : ""), percent_cell(total.cover()),
               std::to_string(total.short_days), litres_cell(total.spilt_m3),
               litres_cell(total.spilt_with_room_m3), litres_cell(total.over_gutter_m3)});
  };
  add(answer.options.season.pour, study.as_it_is.total, true);
  for (const PourEffect& effect : study.pours) add(effect.rule, effect.total, false);
  return {"The record has daily totals: what if they fell otherwise within the day", table};
}

Chapter ledger_chapter(const SeasonStudy& study) {
  const SeasonTally& total = study.as_it_is.total;
  Table table({{"every litre has a place", Holds::words}, {"in L"}, {"out L"}});
  table.add({"in the tanks at the start", litres_cell(total.start_m3), ""});
  table.add({"rain from the roofs", litres_cell(total.caught_m3), ""});
  table.add({"from the mains", litres_cell(total.mains_m3), ""});
  table.add({"used", "", litres_cell(total.used_m3)});
  table.add({"spilt on the ground", "", litres_cell(total.spilt_m3)});
  table.add({"leaked", "", litres_cell(total.leaked_m3)});
  table.add({"in the tanks at the end", "", litres_cell(total.end_m3)});
  const double in_m3 = total.start_m3 + total.caught_m3 + total.mains_m3;
  const double out_m3 = total.used_m3 + total.spilt_m3 + total.leaked_m3 + total.end_m3;
  table.add({"sum", litres_cell(in_m3), litres_cell(out_m3)});
  const std::string roofs = fmt::format(
      "Of {} that ran off the roofs, {} were turned away as first flush and {} ran over gutters.",
      water_text(total.fell_m3), water_text(total.first_flush_m3),
      water_text(total.over_gutter_m3));
  Chapter ledger{"Ledger", table, {roofs}};
  ledger.apart = true;
  return ledger;
}

std::string rain_text(const SeasonAnswer& answer) {
  const RainFile& rain = answer.rain;
  std::string rows;
  switch (rain.rows_are) {
    case RainRows::days:
      rows = "a row is the total of a date";
      break;
    case RainRows::intervals:
      rows = fmt::format("a row is what fell in the {} from its time on",
                         duration_text(rain.interval_s));
      break;
    case RainRows::events:
      rows = "a row is what fell since the row before, within a day at most, kept by the hour";
      break;
  }
  std::string text = fmt::format("the rain record: column `{}` in {}, {}; {}", rain.column,
                                 rain.unit, counted(rain.rows, "row"), rows);
  if (rain.missing_days > 0) {
    text += fmt::format("; {} not measured (", days_text(static_cast<double>(rain.missing_days)));
    constexpr std::size_t most = 3;
    for (std::size_t k = 0; k < std::min(most, rain.missing.size()); ++k) {
      const MissingRange& range = rain.missing[k];
      text += (k == 0 ? "" : ", ") + date_text(range.from);
      if (range.until != range.from) text += " to " + date_text(range.until);
    }
    if (rain.missing.size() > most) {
      text += fmt::format(" and {} more times", rain.missing.size() - most);
    }
    text += answer.missing == MissingDays::average ? "), counted as average days of their month"
                                                   : "), counted as dry";
  }
  if (rain.missing_intervals > 0) {
    text += fmt::format("; {} rows missing on other days, counted as dry", rain.missing_intervals);
  }
  if (rain.traces > 0) text += fmt::format("; {} traces (`T`) counted as none", rain.traces);
  return text;
}

Chapter granted_chapter(const Plan& plan, const SeasonAnswer& answer) {
  std::vector<std::string> says = {rain_text(answer)};
  if (has_daily_totals(answer.rain.rain)) {
    says.push_back("a day's total falls from " + pour_name(answer.options.season.pour) +
                   " (`--pour` and `--pour-at` say otherwise)");
  }
  says.push_back(
      "the day sheet is left aside: every outlet is shut, and every pump without a pressure "
      "switch stands, but for the "
      "`[[use]]` entries, which are served one after another at their time of day; what has not "
      "come then is short, and nobody tries again that day");
  says.push_back(
      "clock times are of the clock of the rain record, which is put neither forward nor back");
  const bool flush = std::any_of(plan.array.parts().roofs.begin(), plan.array.parts().roofs.end(),
                                 [](const Roof& roof) { return roof.first_flush_m > 0.0; });
  if (flush) says.push_back("first flush is turned away again after each day without rain");
  says.push_back(
      "a day is short when more than 1 % of what a use asked for did not come; mains "
      "water is not counted in cover");
  says.push_back("the ideal tank has no hoses, heights or dead water, and no mains");
  says.push_back("no frost, no evaporation, nobody who saves water when it is scarce");
  for (const std::string& assumed : plan.assumed) says.push_back(assumed);
  if (answer.study.as_it_is.total.mains_m3 > 0.0) {
    says.push_back(
        "mains water needs its air gap above the tank; your water supplier's rules say "
        "which, and who may fit it");
  }
  says.push_back("rainwater is not drinking water; what it may be used for, local rules say");
  return {"Taken for granted", std::nullopt, {}, says};
}

}  // namespace

std::vector<Chapter> season_chapters(const Plan& plan, const SeasonAnswer& answer,
                                     bool every_month) {
  const SeasonStudy& study = answer.study;
  if (study.as_it_is.total.asked_days == 0) return {granted_chapter(plan, answer)};
  std::vector<Chapter> chapters = {reason_chapter(plan, answer)};
  add_more(chapters, plan, answer);
  for (const Chapter& chapter :
       {sure_chapter(answer), years_chapter(study), months_chapter(study, every_month),
        uses_chapter(plan, study), tanks_chapter(plan, study), pours_chapter(answer),
        ledger_chapter(study), granted_chapter(plan, answer)}) {
    chapters.push_back(chapter);
  }
  return chapters;
}

std::string season_text(const Plan& plan, const SeasonAnswer& answer, bool every_month,
                        int columns) {
  return wrapped(season_answer(plan, answer), prose_columns(columns)) +
         chapters_text(season_chapters(plan, answer, every_month), columns);
}

}  // namespace tankyard

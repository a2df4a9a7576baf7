// SPDX-License-Identifier: MIT
#include "io/rain_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "graph/time_units.h"
#include "io/nearest.h"
#include "io/rain_cells.h"
#include "io/text_file.h"
#include "io/units.h"

namespace tankyard {
namespace {

constexpr char takes_a_csv[] = "`--rain` takes a CSV file with a column of dates and one of depths";
constexpr TextFileRules rain_rules = {"this is a folder and no rain file",
                                      "name a CSV file in it",
                                      takes_a_csv,
                                      takes_a_csv,
                                      100'000'000,
                                      "the file is over 100 MB",
                                      "cut the record into parts"};
constexpr std::size_t most_told = 40;
constexpr long most_years = 150;
constexpr double most_a_day_m = 2.0;    // the most on record is 1.825 m in 24 h (from memory)
constexpr double most_an_hour_m = 1.0;  // what a run takes
constexpr double shortest_shower_s = 300.0;
constexpr int least_columns = 2;

/// Where a cell stood, without its text: a long record has millions of them.
struct CellPlace {
  int column = 1;
  int length = 1;
};

struct RainRow {
  int line = 0;
  CellPlace date;
  CellPlace depth;
  std::chrono::sys_days day;
  std::optional<double> second;   ///< after midnight
  std::optional<double> depth_m;  ///< none: not measured

  /// Since the first day of 1970.
  double at_s() const {
    return static_cast<double>(day.time_since_epoch().count()) * day_s + second.value_or(0.0);
  }
};

/// "2014-04-15", "2014-04-15 13:00"
std::string moment_text(const RainRow& row) {
  return row.second ? date_text(row.day) + " " + clock_text(*row.second) : date_text(row.day);
}

/// One reading of a file, stage by stage.
class Reader {
 public:
  Reader(std::string_view text, const std::string& file, const RainFileOptions& options)
      : text_(text), file_(file), options_(options) {}

  Result<RainFile> read() {
    read_lines();
    if (troubles_.empty() && rows_.empty()) {
      complain({file_, 0, 0, 0}, "there is no row of rain in this file",
               "under the headings, a row a day: a date and a depth");
    }
    if (troubles_.empty()) sort_out_rows();
    if (troubles_.empty()) lay_out();
    if (troubles_.empty()) fill_missing();
    if (!troubles_.empty()) return tl::unexpected<Troubles>(told());
    return std::move(out_);
  }

 private:
  void complain(Spot spot, std::string message, std::string help) {
    ++mistakes_;
    if (troubles_.size() >= most_told) return;
    Trouble trouble;
    trouble.message = std::move(message);
    trouble.help = std::move(help);
    trouble.spot = std::move(spot);
    troubles_.push_back(std::move(trouble));
  }
  void complain(int line, const RainCell& cell, std::string message, std::string help) {
    complain(Spot{file_, line, cell.column, cell.length}, std::move(message), std::move(help));
  }
  void complain(int line, CellPlace place, std::string message, std::string help) {
    complain(Spot{file_, line, place.column, place.length}, std::move(message), std::move(help));
  }
  void also(const RainRow& row) {
    if (mistakes_ > most_told) return;
    troubles_.back().see_also = PartField{"rain", 0, ""};
    troubles_.back().see_also_spot = Spot{file_, row.line, row.date.column, row.date.length};
  }

  Troubles told() {
    if (mistakes_ > troubles_.size()) {
      Trouble rest;
      rest.message =
          fmt::format("{} more mistakes in this file are not shown", mistakes_ - troubles_.size());
      rest.spot = Spot{file_, 0, 0, 0};
      troubles_.push_back(std::move(rest));
    }
    return std::move(troubles_);
  }

  void read_lines() {
    std::string_view rest = text_;
    if (rest.starts_with("\xEF\xBB\xBF")) rest.remove_prefix(3);
    int number = 0;
    bool headed = false;
    while (!rest.empty()) {
      const std::size_t end = std::min(rest.find('\n'), rest.size());
      std::string_view line = rest.substr(0, end);
      rest.remove_prefix(std::min(end + 1, rest.size()));
      ++number;
      if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
      if (line.find_first_not_of(" \t") == std::string_view::npos || line.front() == '#') continue;
      if (line.find('\0') != std::string_view::npos) {
        complain({file_, number, 1, 1}, "this is no text file", "save the table as CSV");
        return;
      }
      if (!headed) {
        headed = true;
        if (!read_headings(line, number)) return;
        continue;
      }
      read_row(line, number);
    }
    if (!headed) {
      complain({file_, 0, 0, 0}, "the file is empty", "a rain file has a line of headings first");
    }
  }

  /// Finds the columns. False: without them no row can be read.
  bool read_headings(std::string_view line, int number) {
    separator_ = separator_of(line);
    const std::vector<RainCell> cells = cells_of(line, separator_);
    if (cells.size() < least_columns) {
      complain({file_, number, 1, static_cast<int>(line.size())},
               "the first line has one heading alone, and a date and a depth are needed",
               "separate columns by commas, semicolons or tabs: `date,rain_mm`");
      return false;
    }
    columns_ = cells.size();
    find_dates(cells, number);
    find_depths(cells, number);
    return troubles_.empty();
  }

  void find_dates(const std::vector<RainCell>& cells, int number) {
    std::optional<std::size_t> date;
    std::optional<std::size_t> time;
    for (std::size_t k = 0; k < cells.size(); ++k) {
      const std::string name = heading_of_column(cells[k].text).name;
      if (name == "time" || name == "hour") {
        if (!time) time = k;
      } else if (name == "date" || name == "day" || name == "datetime" || name == "timestamp" ||
                 name == "date time") {
        if (!date) date = k;
      }
    }
    if (date) {
      date_at_ = *date;
      time_at_ = time;
    } else if (time) {
      date_at_ = *time;
    } else {
      complain(number, whole(cells), "no column of this file is called `date` or `time`",
               "call the column of dates `date`");
    }
  }

  static RainCell whole(const std::vector<RainCell>& cells) {
    RainCell all = cells.front();
    all.length = cells.back().column + cells.back().length - all.column;
    return all;
  }

  void find_depths(const std::vector<RainCell>& cells, int number) {
    std::vector<std::size_t> fit;
    std::vector<std::string> names;
    for (std::size_t k = 0; k < cells.size(); ++k) {
      names.push_back(cells[k].text);
      const std::string name = heading_of_column(cells[k].text).name;
      const bool fits = options_.column ? cells[k].text == *options_.column
                                        : name.starts_with("rain") || name.starts_with("precip") ||
                                              name == "prcp" || name == "depth";
      if (fits) fit.push_back(k);
    }
    if (fit.empty() && options_.column) {
      const auto near = nearest_name(*options_.column, names);
      complain(
          number, whole(cells),
          fmt::format("`--column` names `{}`, which this file does not have", *options_.column),
          near ? fmt::format("there is a column with a similar name: `{}`", *near)
               : "write its heading as it stands here");
      return;
    }
    if (fit.empty()) {
      complain(number, whole(cells), "no column of this file is called `rain` or `precipitation`",
               "say which one has the depths: `--column NAME`");
      return;
    }
    if (fit.size() > 1) {
      complain(number, cells[fit[1]],
               fmt::format("`{}` and `{}` may both be the depths", cells[fit[0]].text,
                           cells[fit[1]].text),
               fmt::format("say which one: `--column \"{}\"`", cells[fit[0]].text));
      return;
    }
    depth_at_ = fit.front();
    out_.column = cells[depth_at_].text;
    const std::string named = heading_of_column(out_.column).unit;
    std::string asked;
    if (options_.unit) asked = rain_unit_of(*options_.unit);
    if (named.empty() && asked.empty()) {
      complain(
          number, cells[depth_at_],
          fmt::format("the heading `{}` does not say in which unit its depths are", out_.column),
          fmt::format("say it: `--unit mm`, or call the column `{}_mm`", out_.column));
      return;
    }
    if (!named.empty() && !asked.empty() && named != asked) {
      complain(number, cells[depth_at_],
               fmt::format("the heading says {}, and `--unit` says {}", named, asked),
               "leave `--unit` away, or correct one of them");
      return;
    }
    out_.unit = named.empty() ? asked : named;
    metres_ = out_.unit == "mm"   ? 1e-3
              : out_.unit == "cm" ? 1e-2
              : out_.unit == "in" ? 0.0254
                                  : 1.0;
  }

  void read_row(std::string_view line, int number) {
    const std::vector<RainCell> cells = cells_of(line, separator_);
    const std::size_t needed =
        std::max({date_at_, depth_at_, time_at_.value_or(std::size_t{0})}) + 1;
    if (cells.size() < needed) {
      complain({file_, number, 1, static_cast<int>(line.size())},
               fmt::format("this row has {} values, and the headings ask for {}", cells.size(),
                           columns_),
               "a value that is not known is left empty between its separators");
      return;
    }
    if (separator_ == ',' && cells.size() > columns_) {
      complain({file_, number, 1, static_cast<int>(line.size())},
               fmt::format("this row has {} values, and the headings ask for {}", cells.size(),
                           columns_),
               "decimals have a point where commas separate the columns");
      return;
    }
    RainRow row;
    row.line = number;
    const RainCell& date = cells[date_at_];
    const RainCell& depth = cells[depth_at_];
    row.date = {date.column, date.length};
    row.depth = {depth.column, depth.length};
    bool good = read_date(cells, row);
    good = read_value(depth, row) && good;
    if (good) rows_.push_back(row);
  }

  bool read_date(const std::vector<RainCell>& cells, RainRow& row) {
    const RainCell& date = cells[date_at_];
    NoDate why;
    const auto stamp = read_stamp(date.text, why);
    if (!stamp) {
      if (date.text.empty()) {
        complain(row.line, date, "this row has no date", "give it one, or leave the row out");
      } else {
        complain(row.line, date, fmt::format("`{}` {}", date.text, why.message), why.help);
      }
      return false;
    }
    row.day = stamp->day;
    row.second = stamp->second;
    if (time_at_ && !row.second && !cells[*time_at_].text.empty()) {
      const RainCell& cell = cells[*time_at_];
      row.second = read_time_of_day(cell.text);
      if (!row.second) {
        complain(row.line, cell, fmt::format("`{}` is no clock time", cell.text),
                 "write the time as 13:00 or 13:00:30");
        return false;
      }
    }
    return true;
  }

  bool read_value(const RainCell& cell, RainRow& row) {
    const std::string& text = cell.text;
    if (says_missing(text)) return true;
    if (text == "T" || text == "t") {
      ++out_.traces;
      row.depth_m = 0.0;
      return true;
    }
    const auto value = read_depth(text, separator_ != ',');
    if (!value) {
      complain(row.line, cell, fmt::format("`{}` is no depth of rain", text),
               "write a number, or nothing where nothing was measured");
      return false;
    }
    const double depth_m = *value * metres_;
    if (depth_m < 0.0) {
      complain(row.line, cell, fmt::format("a depth of rain is {} {}", text, out_.unit),
               "it cannot be below 0; leave the value out where nothing was measured");
      return false;
    }
    if (depth_m > most_a_day_m) {
      complain(row.line, cell,
               fmt::format("{} of rain is more than ever fell in a day", millimetres_text(depth_m)),
               fmt::format("is the unit right? it is read as {}", out_.unit));
      return false;
    }
    row.depth_m = depth_m;
    return true;
  }

  /// Whether rows are in order, and what a row stands for.
  void sort_out_rows() {
    const bool timed = std::any_of(rows_.begin(), rows_.end(),
                                   [](const RainRow& row) { return row.second.has_value(); });
    std::map<double, std::size_t> spacings;
    for (std::size_t k = 1; k < rows_.size(); ++k) {
      const double apart_s = rows_[k].at_s() - rows_[k - 1].at_s();
      if (apart_s <= 0.0) {
        complain(rows_[k].line, rows_[k].date,
                 apart_s == 0.0
                     ? fmt::format("`{}` is there twice", moment_text(rows_[k]))
                     : fmt::format("`{}` comes before the row above it", moment_text(rows_[k])),
                 apart_s == 0.0 ? "leave one of the two rows out" : "sort the rows by time");
        also(rows_[k - 1]);
      }
      ++spacings[apart_s];
    }
    if (!troubles_.empty()) return;
    out_.rows = rows_.size();
    const std::chrono::days span = rows_.back().day - rows_.front().day;
    if (span.count() > most_years * 366) {
      complain(rows_.back().line, rows_.back().date,
               fmt::format("the record runs over {} years", span.count() / 365),
               fmt::format("it may have {}", most_years));
      return;
    }
    const bool same_time = std::all_of(rows_.begin(), rows_.end(), [&](const RainRow& row) {
      return row.second.value_or(0.0) == rows_.front().second.value_or(0.0);
    });
    if (!timed || (same_time && rows_.size() > 1)) return;  // days
    out_.rows_are = RainRows::events;
    const auto usual =
        std::max_element(spacings.begin(), spacings.end(),
                         [](const auto& a, const auto& b) { return a.second < b.second; });
    if (usual == spacings.end()) return;
    const double step_s = usual->first;
    const bool multiples = std::all_of(spacings.begin(), spacings.end(), [&](const auto& each) {
      return std::fabs(each.first - step_s * std::round(each.first / step_s)) < 0.5;
    });
    const double steps = (rows_.back().at_s() - rows_.front().at_s()) / step_s + 1.0;
    constexpr double enough = 0.5;
    if (multiples && step_s <= 0.5 * day_s && step_s >= 60.0 &&
        static_cast<double>(rows_.size()) >= enough * steps) {
      out_.rows_are = RainRows::intervals;
      out_.interval_s = step_s;
    }
  }

  /// Rows become days.
  void lay_out() {
    out_.rain.first = rows_.front().day;
    std::chrono::sys_days last = rows_.back().day;
    if (rows_.back().second == day_s && rows_.size() > 1 && out_.rows_are == RainRows::intervals) {
      last += std::chrono::days(1);
    }
    out_.rain.days.resize(static_cast<std::size_t>((last - out_.rain.first).count()) + 1);
    first_s_ = static_cast<double>(out_.rain.first.time_since_epoch().count()) * day_s;
    if (out_.rows_are == RainRows::days) {
      for (RainDay& day : out_.rain.days) day.measured = false;
      for (const RainRow& row : rows_) {
        RainDay& day =
            out_.rain.days[static_cast<std::size_t>((row.day - out_.rain.first).count())];
        day.measured = row.depth_m.has_value();
        day.depth_m = row.depth_m.value_or(0.0);
      }
      return;
    }
    bin_s_ =
        out_.rows_are == RainRows::events ? hour_s : std::max(out_.interval_s, shortest_shower_s);
    const bool intervals = out_.rows_are == RainRows::intervals;
    std::vector<std::size_t> known(out_.rain.days.size(), 0);
    for (std::size_t k = 0; k < rows_.size(); ++k) {
      const RainRow& row = rows_[k];
      const double from_s =
          intervals ? row.at_s()
                    : std::max({row.at_s() - day_s,
                                k > 0 ? rows_[k - 1].at_s() : row.at_s() - hour_s, first_s_});
      const double until_s = intervals ? row.at_s() + out_.interval_s : row.at_s();
      if (row.depth_m) {
        const auto day = static_cast<std::size_t>((row.at_s() - first_s_) / day_s);
        if (day < known.size()) ++known[day];
        if (*row.depth_m > 0.0) rain(row, from_s, std::max(until_s, from_s + 60.0));
      }
    }
    join_bins();
    if (!intervals) return;
    const auto full = static_cast<std::size_t>(std::round(day_s / out_.interval_s));
    for (std::size_t d = 0; d < known.size(); ++d) {
      out_.rain.days[d].measured = known[d] > 0;
      const bool edge = d == 0 || d + 1 == known.size();
      if (known[d] > 0 && known[d] < full && !edge) out_.missing_intervals += full - known[d];
    }
  }

  /// Rain that fell evenly between two moments, into the bins of its days.
  void rain(const RainRow& row, double from_s, double until_s) {
    if (*row.depth_m > most_an_hour_m * std::max(1.0, (until_s - from_s) / hour_s)) {
      complain(row.line, row.depth,
               fmt::format("{} in {} is heavier than the 1000 mm/h that a season takes",
                           millimetres_text(*row.depth_m), duration_text(until_s - from_s)),
               fmt::format("is the unit right? it is read as {}", out_.unit));
      return;
    }
    const double m_per_s = *row.depth_m / (until_s - from_s);
    for (double at_s = from_s; at_s < until_s - 1e-6;) {
      const double since_s = at_s - first_s_;
      const auto day = static_cast<std::size_t>(since_s / day_s + 1e-12);
      const double clock_s = since_s - static_cast<double>(day) * day_s;
      const double bin = std::floor(clock_s / bin_s_ + 1e-9);
      const double bin_ends_s = std::min((bin + 1.0) * bin_s_, day_s);
      const double for_s = std::min(bin_ends_s - clock_s, until_s - at_s);
      if (day < out_.rain.days.size()) {
        std::vector<Shower>& showers = out_.rain.days[day].showers;
        if (showers.empty() || showers.back().starts_s != bin * bin_s_) {
          showers.push_back({bin * bin_s_, bin_ends_s - bin * bin_s_, 0.0});
        }
        showers.back().depth_m += m_per_s * for_s;
        out_.rain.days[day].depth_m += m_per_s * for_s;
      }
      at_s += for_s;
    }
  }

  /// What fell in one bin is spread over all of it: no heavier than a run takes.
  void join_bins() {
    for (std::size_t d = 0; d < out_.rain.days.size(); ++d) {
      for (const Shower& shower : out_.rain.days[d].showers) {
        if (shower.depth_m <= 0.999 * most_an_hour_m * shower.lasts_s / hour_s) continue;
        complain({file_, 0, 0, 0},
                 fmt::format("on {}, {} fell within {}: heavier than the 1000 mm/h that a season "
                             "takes",
                             date_text(out_.rain.first + std::chrono::days(d)),
                             millimetres_text(shower.depth_m), duration_text(shower.lasts_s)),
                 fmt::format("is the unit right? it is read as {}", out_.unit));
      }
    }
  }

  void fill_missing() {
    double sum_m[13] = {};
    int count[13] = {};
    for (std::size_t d = 0; d < out_.rain.days.size(); ++d) {
      const RainDay& day = out_.rain.days[d];
      const std::chrono::sys_days date = out_.rain.first + std::chrono::days(d);
      if (day.measured) {
        const int month = month_day_of(date) / 100;
        sum_m[month] += day.depth_m;
        ++count[month];
        continue;
      }
      ++out_.missing_days;
      if (!out_.missing.empty() && out_.missing.back().until + std::chrono::days(1) == date) {
        out_.missing.back().until = date;
      } else {
        out_.missing.push_back({date, date});
      }
    }
    if (out_.missing_days == 0) return;
    if (out_.missing_days == out_.rain.days.size()) {
      complain({file_, 0, 0, 0}, "no day of this record was measured",
               fmt::format("is `{}` the right column? `--column NAME` takes another", out_.column));
      return;
    }
    if (options_.missing == MissingDays::refuse) {
      for (const MissingRange& range : out_.missing) {
        const auto days = (range.until - range.from).count() + 1;
        complain({file_, 0, 0, 0},
                 days == 1 ? fmt::format("{} was not measured", date_text(range.from))
                           : fmt::format("{} to {} were not measured", date_text(range.from),
                                         date_text(range.until)),
                 "`--missing dry` counts such days as dry, `--missing average` as average");
      }
      return;
    }
    if (options_.missing == MissingDays::dry) return;
    for (std::size_t d = 0; d < out_.rain.days.size(); ++d) {
      RainDay& day = out_.rain.days[d];
      if (day.measured) continue;
      const int month = month_day_of(out_.rain.first + std::chrono::days(d)) / 100;
      if (count[month] == 0) {
        complain({file_, 0, 0, 0},
                 fmt::format("no day of any month {} was measured, so there is no average for it",
                             month),
                 "`--missing dry` counts such days as dry");
        return;
      }
      day.depth_m = sum_m[month] / count[month];
    }
  }

  std::string_view text_;
  const std::string& file_;
  const RainFileOptions& options_;
  Troubles troubles_;
  std::size_t mistakes_ = 0;
  char separator_ = ',';
  std::size_t columns_ = 0;
  std::size_t date_at_ = 0;
  std::optional<std::size_t> time_at_;
  std::size_t depth_at_ = 0;
  double metres_ = 1e-3;
  double first_s_ = 0.0;
  double bin_s_ = hour_s;
  std::vector<RainRow> rows_;
  RainFile out_;
};

}  // namespace

Result<RainFile> read_rain(std::string_view text, const std::string& file,
                           const RainFileOptions& options) {
  return Reader(text, file, options).read();
}

Result<std::string> rain_text(const std::string& path) { return text_of_file(path, rain_rules); }

}  // namespace tankyard

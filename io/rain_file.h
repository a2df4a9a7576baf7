// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "graph/result.h"
#include "solver/studies/season_rain.h"

namespace tankyard {

/// What is done about days of which the record has nothing.
enum class MissingDays {
  dry,      ///< no rain fell
  average,  ///< as much fell as on an average day of that month in the rest of the record
  refuse    ///< the record is not used
};

struct RainFileOptions {
  std::optional<std::string> unit;    ///< "mm", "cm", "in", ...; none: the heading names it
  std::optional<std::string> column;  ///< heading of the depths; none: found by its name
  MissingDays missing = MissingDays::dry;
};

/// What a row of the record stands for.
enum class RainRows {
  days,       ///< the total of a date
  intervals,  ///< what fell from its time on, for as long as the rows are apart
  events      ///< what fell since the row before, within a day at most
};

/// Days without a row, or without a depth in it.
struct MissingRange {
  std::chrono::sys_days from;
  std::chrono::sys_days until;
};

struct RainFile {
  RainRecord rain;
  RainRows rows_are = RainRows::days;
  double interval_s = 86400.0;  ///< where rows are intervals
  std::size_t rows = 0;
  std::string column;
  std::string unit;
  std::vector<MissingRange> missing;  ///< whole days
  std::size_t missing_days = 0;
  std::size_t missing_intervals = 0;  ///< on days of which something is known; they count as dry
  std::size_t traces = 0;             ///< depths written `T`, which count as none
};

/// Reads a rain record: values separated by commas, semicolons or tabs (RFC 4180 otherwise), under
/// a line of headings. Lines that begin with `#` and empty lines are passed over.
///
/// The column of dates is called `date`, `day`, `datetime`, `timestamp` or `time` (a `time` beside
/// a `date` adds the time of day); that of depths begins with `rain` or `precip`, or is called
/// `prcp` or `depth`, with its unit behind it: `rain_mm`, `rain (mm)`, `Precipitation [in]`. Dates
/// are 2014-04-15, 2014/04/15, 20140415 or 15.04.2014, times 13:00 or 13:00:30 behind a T or a
/// space; a zone is passed over, clock times are those of the yard. An empty cell, `NA`, `NaN`, `M`
/// or `-` was not measured. Decimals may have a comma where the separator is none.
///
/// All mistakes come back at once, each with its spot; of more than forty the rest are counted.
Result<RainFile> read_rain(std::string_view text, const std::string& file,
                           const RainFileOptions& options = {});

/// The bytes of a rain file. Refuses what cannot be read or is over 100 MB.
Result<std::string> rain_text(const std::string& path);

}  // namespace tankyard

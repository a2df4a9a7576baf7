// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "graph/trouble.h"
#include "io/plan_file.h"
#include "solver/findings.h"

namespace tankyard {

// The commands, one .cpp each (command_new.cpp, ...). command_line.cpp lists them and alone knows
// how words on the command line become an `Asked`.

enum class Exit {
  done = 0,
  danger = 1,        ///< done, and there is a finding of severity danger
  unusable = 2,      ///< what was given cannot be used
  failed = 3,        ///< anything else
  interrupted = 130  ///< Ctrl-C, while many things were tried: what was known by then is printed
};

/// What was asked for: every option of every command. A command sees only its own filled in.
struct Asked {
  std::string first;  ///< FILE, PLAN or KIND; empty: not given
  bool json = false;
  bool events = false;
  bool quiet = false;
  bool verbose = false;
  std::optional<std::string> series;
  std::optional<std::string> every;
  std::optional<std::string> tolerance;
  std::optional<std::string> output;
  std::optional<std::string> page;
  std::vector<std::string> more;  ///< the words after the first, of commands that take some
  bool all = false;
  std::optional<std::string> sheet;
  std::optional<std::string> at;
  std::optional<std::string> work;
  bool sizes = false;   ///< season
  bool months = false;  ///< season
  std::optional<std::string> rain;
  std::optional<std::string> unit;
  std::optional<std::string> column;
  std::optional<std::string> missing;
  std::optional<std::string> pour;
  std::optional<std::string> pour_at;
  std::optional<std::string> cover;
  std::optional<std::string> dry;
  std::optional<std::string> threads;
  bool no_pairs = false;
  std::optional<std::string> write;
  std::optional<std::string> take;
};

/// Where a command is at work.
struct Desk {
  std::ostream& err;                               ///< for what went wrong
  int columns = 80;                                ///< of the terminal
  std::function<void(const std::string&)> tell;    ///< what was done; silent with --quiet
  std::function<void(const std::string&)> detail;  ///< for the curious; only with --verbose
};

/// What a command has to say on standard output, and how it ended. Text that is not written to the
/// end turns any ending into `failed`.
struct Answer {
  Exit exit = Exit::done;
  std::string text;
};

Answer answer_new(const Asked& asked, const Desk& desk);
Answer answer_check(const Asked& asked, const Desk& desk);
Answer answer_run(const Asked& asked, const Desk& desk);
Answer answer_vent(const Asked& asked, const Desk& desk);
Answer answer_isolate(const Asked& asked, const Desk& desk);
Answer answer_season(const Asked& asked, const Desk& desk);
Answer answer_faults(const Asked& asked, const Desk& desk);
Answer answer_link(const Asked& asked, const Desk& desk);
Answer answer_draw(const Asked& asked, const Desk& desk);
Answer answer_explain(const Asked& asked, const Desk& desk);
Answer answer_completions(const Asked& asked, const Desk& desk);
Answer answer_manual(const Asked& asked, const Desk& desk);

/// "tankyard: error: ..." and the lines below it.
void complain(std::ostream& err, const std::string& message, const std::string& help = {},
              const std::vector<std::string>& notes = {});
void complain(std::ostream& err, const Troubles& troubles);

/// Reads a plan, "-" from standard input, or tells all its mistakes.
std::optional<Plan> plan_or_mistakes(const std::string& path, const Desk& desk);

/// Whether a file can go where an option wants it: what stands in the way is complained of. The
/// plan is never replaced.
bool can_be_written(const char* option, const std::string& file, const Asked& asked,
                    const Desk& desk);

/// Writes a page, whole or not at all, and says so. False: it could not be, and was complained of.
bool write_page(const std::string& file, const std::string& html, const Desk& desk);

/// `done`, or `danger` if there is one.
Exit exit_for(const std::vector<Finding>& findings);

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#include "io/command_line.h"

#include <fmt/format.h>
#include <spdlog/logger.h>
#include <spdlog/sinks/ostream_sink.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cctype>
#include <cerrno>
#include <charconv>
#include <cstdlib>
#include <cstring>
#include <memory>
#include <ostream>
#include <utility>

#include "io/command_table.h"
#include "io/commands.h"
#include "io/nearest.h"
#include "io/tables.h"

namespace tankyard {
namespace {

using Words = std::vector<std::string>;

/// An option as people type it.
struct Option {
  const char* flags;  ///< as CLI11 wants them: "-q,--quiet"
  const char* value;  ///< what follows it; none: nothing does
  const char* does;
  bool Asked::*flag = nullptr;
  std::optional<std::string> Asked::*text = nullptr;
};

constexpr Option json{"--json", nullptr, "print one JSON object and nothing else", &Asked::json};
constexpr Option quiet{"-q,--quiet", nullptr, "on standard error, say nothing but errors",
                       &Asked::quiet};
constexpr Option verbose{"-v,--verbose", nullptr, "on standard error, say what is being done",
                         &Asked::verbose};
constexpr Option events{"--events", nullptr, "list every event with its time", &Asked::events};
constexpr Option series{"--series", "FILE.csv", "write levels and flows over time", nullptr,
                        &Asked::series};
constexpr Option every{"--every", "TIME", "time between rows of the series, such as 60s", nullptr,
                       &Asked::every};
constexpr Option tolerance{"--tolerance", "LENGTH",
                           "error allowed in a depth at each step; default 0.1mm", nullptr,
                           &Asked::tolerance};

constexpr Option page{
    "--page", "FILE.html",
    "write the answer as a page for a browser or a phone: a moving picture, plots", nullptr,
    &Asked::page};

constexpr Option all_ways{"--all", nullptr, "list every way, not only those that none beats",
                          &Asked::all};
constexpr Option write{"--write", "FILE.toml",
                       "write the plan with the recommended way in it, comments kept", nullptr,
                       &Asked::write};
constexpr Option take{"--take", "RANK", "with --write: this way of the list instead", nullptr,
                      &Asked::take};

constexpr Option output{"-o,--output", "FILE.svg",
                        "write the drawing to a file instead of to standard output", nullptr,
                        &Asked::output};

constexpr Option all_tanks{"--all", nullptr, "every tank by itself: a table for the wall",
                           &Asked::all};
constexpr Option sheet{"--sheet", "FILE.html", "write the steps on one A4 page, to carry outside",
                       nullptr, &Asked::sheet};
constexpr Option begin_at{"--at", "TIME",
                          "when work begins: a clock time, or a time after the start", nullptr,
                          &Asked::at};
constexpr Option work{"--work", "TIME", "how long a tank stays empty to be cleaned; default 1h",
                      nullptr, &Asked::work};
constexpr Option rain{"--rain", "FILE.csv", "the rain record: a column of dates and one of depths",
                      nullptr, &Asked::rain};
constexpr Option unit{"--unit", "UNIT", "unit of the depths, mm or in, where the heading has none",
                      nullptr, &Asked::unit};
constexpr Option column{"--column", "NAME",
                        "heading of the depths, if it is not `rain` or the like", nullptr,
                        &Asked::column};
constexpr Option missing{"--missing", "HOW",
                         "days without a record: dry (default), average or refuse", nullptr,
                         &Asked::missing};
constexpr Option pour{"--pour", "TIME", "a day's total falls within this time; default 6h", nullptr,
                      &Asked::pour};
constexpr Option pour_at{"--pour-at", "CLOCK", "and begins at this time of day; default 12:00",
                         nullptr, &Asked::pour_at};
constexpr Option sizes{"--sizes", nullptr, "half to four times the storage, half to twice the roof",
                       &Asked::sizes};
constexpr Option cover{"--cover", "SHARE", "how many more tanks cover so much of the use: 95%",
                       nullptr, &Asked::cover};
constexpr Option months{"--months", nullptr, "list every month", &Asked::months};
constexpr Option dry{"--dry", "TIME", "does the water last so long without rain? such as 40d",
                     nullptr, &Asked::dry};

constexpr Option threads{"--threads", "N", "days run at once; default: one a core", nullptr,
                         &Asked::threads};
constexpr Option no_pairs{"--no-pairs", nullptr, "single failures only", &Asked::no_pairs};

struct Example {
  const char* line;
  const char* does;
};

struct Command {
  const char* name;
  const char* first;  ///< FILE, PLAN or KIND
  bool needs_first;
  const char* does;
  std::vector<Example> examples;
  std::vector<Option> options;
  Answer (*answer)(const Asked&, const Desk&);
  const char* more = nullptr;  ///< what may follow the first: "TANK..."; none: nothing may
};

const std::vector<Command>& commands() {
  static const std::vector<Command> all = {
      {"new",
       "FILE",
       true,
       "writes a commented plan that runs as it stands",
       {{"tankyard new yard.toml",
         "begin a plan of your own; a file that is there is never replaced"}},
       {quiet, verbose},
       answer_new},
      {"check",
       "PLAN",
       true,
       "says what is wrong or risky, how the tanks share, and what can be drawn",
       {{"tankyard check yard.toml", "look the yard over without running its day"},
        {"tankyard check yard.toml --json", "the same for a program"}},
       {dry, json, quiet, verbose},
       answer_check},
      {"run",
       "PLAN",
       true,
       "steps the day: levels, flows, findings, and where every litre went",
       {{"tankyard run yard.toml", "the day as planned"},
        {"tankyard run yard.toml --series day.csv", "levels and flows over time as well"},
        {"tankyard run yard.toml --page day.html", "and a page to look at, with a moving picture"},
        {"tankyard run yard.toml --events", "and a list of what happened when"}},
       {json, page, series, every, events, tolerance, quiet, verbose},
       answer_run},
      {"vent",
       "PLAN",
       true,
       "says which lids to drill and how wide, so that no tank is sucked in or blown up",
       {{"tankyard vent yard.toml", "every lid against every tap, leak, roof and a cold night"},
        {"tankyard vent yard.toml --page lids.html", "and a page to look at"},
        {"tankyard vent yard.toml --json", "the same for a program"}},
       {json, page, tolerance, quiet, verbose},
       answer_vent},
      {"isolate",
       "PLAN",
       true,
       "says which valves take a tank out, in which steps, and what that costs the rest",
       {{"tankyard isolate yard.toml shed-1", "take shed-1 out for scrubbing, step by step"},
        {"tankyard isolate yard.toml shed-1 --sheet out.html", "and a page to carry outside"},
        {"tankyard isolate yard.toml --all", "every tank: can it be taken out, and at what cost"}},
       {all_tanks, sheet, begin_at, work, json, page, tolerance, quiet, verbose},
       answer_isolate,
       "TANK..."},
      {"season",
       "PLAN",
       true,
       "steps months or years of recorded rain: does the water last, and would a tank more help",
       {{"tankyard season yard.toml --rain rain.csv", "every day of the record, hoses and all"},
        {"tankyard season yard.toml --rain rain.csv --cover 95%", "how many tanks that takes"}},
       {rain, unit, column, missing, pour, pour_at, sizes, cover, months, json, page, tolerance,
        quiet, verbose},
       answer_season},
      {"faults",
       "PLAN",
       true,
       "says what every failure costs, one by one and two at once, and what to change",
       {{"tankyard faults yard.toml", "every hose off, valve forgotten, overflow blocked"},
        {"tankyard faults yard.toml --no-pairs", "one failure at a time only"}},
       {no_pairs, threads, json, page, tolerance, quiet, verbose},
       answer_faults},
      {"link",
       "PLAN",
       true,
       "tries every way to join one more tank to the others, and says which to build",
       {{"tankyard link yard.toml shed-4", "shed-4 stands in the plan with no hose"},
        {"tankyard link yard.toml shed-4 --write joined.toml", "and the plan with its hoses in it"},
        {"tankyard link yard.toml shed-4 --all", "and every way that was tried"}},
       {write, take, all_ways, json, page, tolerance, quiet, verbose},
       answer_link,
       "TANK"},
      {"draw",
       "PLAN",
       true,
       "draws the yard from the side, to scale, as an SVG picture",
       {{"tankyard draw yard.toml -o yard.svg", "then open yard.svg in any browser"}},
       {output, quiet, verbose},
       answer_draw},
      {"explain",
       "KIND",
       false,
       "says what a kind of finding means and what to do; without KIND, lists them",
       {{"tankyard explain slow-link", "one kind of finding"}, {"tankyard explain", "all kinds"}},
       {json, quiet, verbose},
       answer_explain},
      {"completions",
       "SHELL",
       true,
       "prints a script with which bash, fish or zsh completes what you type",
       {{"source <(tankyard completions bash)", "for this session of bash"},
        {"tankyard completions fish > ~/.config/fish/completions/tankyard.fish", "for good"}},
       {quiet, verbose},
       answer_completions},
      {"manual",
       "",
       false,
       "prints all of this help as a page for man",
       {{"tankyard manual | man -l -", "read it"}},
       {quiet, verbose},
       answer_manual}};
  return all;
}

/// Commands of later versions, which somebody may have read about.
constexpr const char* not_in_this_version[] = {"readings"};

const Command* find_command(const std::string& name) {
  for (const Command& command : commands()) {
    if (command.name == name) return &command;
  }
  return nullptr;
}

std::string usage_of(const Command& command) {
  if (command.more) return fmt::format("{} {} {}", command.name, command.first, command.more);
  if (command.needs_first) return fmt::format("{} {}", command.name, command.first);
  if (std::string(command.first).empty()) return command.name;
  return fmt::format("{} [{}]", command.name, command.first);
}

/// Two columns, the second wrapped.
std::string pairs_text(const std::vector<std::pair<std::string, std::string>>& pairs, int columns) {
  int wide = 0;
  for (const auto& pair : pairs) wide = std::max(wide, width_of(pair.first));
  std::string text;
  for (const auto& [left, right] : pairs) {
    const std::string first = fmt::format("  {:<{}}  ", left, wide);
    text += wrapped(right, std::max(columns, wide + 30), first,
                    std::string(static_cast<std::size_t>(wide) + 4, ' '));
  }
  return text;
}

/// "--output" of "-o,--output".
std::string long_name(const Option& option) {
  const std::string flags = option.flags;
  const std::size_t comma = flags.find(',');
  return comma == std::string::npos ? flags : flags.substr(comma + 1);
}

std::string option_text(const Option& option) {
  std::string text = option.flags;
  if (const std::size_t comma = text.find(','); comma != std::string::npos) {
    text.insert(comma + 1, " ");
  }
  return option.value ? fmt::format("{} {}", text, option.value) : text;
}

std::string help_text(int columns) {
  std::string text = wrapped("tankyard " TANKYARD_VERSION ": " + tool_in_a_line() + ".", columns);
  text += "\nExamples\n";
  text += pairs_text({{"tankyard new yard.toml", "write a plan to begin with"},
                      {"tankyard check yard.toml", "look it over"},
                      {"tankyard run yard.toml", "run its day"},
                      {"tankyard run yard.toml --page day.html", "and look at it in a browser"},
                      {"tankyard vent yard.toml", "see which lids want a hole"},
                      {"tankyard isolate yard.toml shed-1", "take a tank out for cleaning"},
                      {"tankyard season yard.toml --rain rain.csv", "see whether the water lasts"},
                      {"tankyard faults yard.toml", "see what a failure costs"},
                      {"tankyard draw yard.toml -o yard.svg", "draw it from the side"},
                      {"tankyard explain slow-link", "ask what a finding means"}},
                     columns);
  text += "\nCommands\n";
  std::vector<std::pair<std::string, std::string>> rows;
  for (const Command& command : commands()) rows.emplace_back(usage_of(command), command.does);
  rows.emplace_back("help [COMMAND]", "shows this, or a command's own help");
  text += pairs_text(rows, columns);
  text += "\nOptions\n";
  text += pairs_text({{"-h, --help", "show help"}, {"--version", "show the version"}}, columns);
  text += "\nExit status\n";
  text += pairs_text(exit_words(), columns);
  return text;
}

std::string help_text(const Command& command, int columns) {
  std::string text = wrapped(fmt::format("tankyard {}: {}.", command.name, command.does), columns) +
                     "\nExamples\n";
  std::vector<std::pair<std::string, std::string>> rows;
  for (const Example& example : command.examples) rows.emplace_back(example.line, example.does);
  text += pairs_text(rows, columns);
  text += fmt::format("\nUsage\n  tankyard {} [OPTIONS]\n", usage_of(command));
  if (std::string(command.first) == "PLAN") text += "  PLAN may be -, for standard input\n";
  text += "\nOptions\n";
  rows.clear();
  for (const Option& option : command.options) rows.emplace_back(option_text(option), option.does);
  rows.emplace_back("-h, --help", "show this help");
  return text + pairs_text(rows, columns);
}

Words flags_of(const Command& command) {
  Words flags = {"--help", "-h"};
  for (const Option& option : command.options) {
    const std::string both = option.flags;
    const std::size_t comma = both.find(',');
    if (comma != std::string::npos) flags.push_back(both.substr(0, comma));
    flags.push_back(comma == std::string::npos ? both : both.substr(comma + 1));
  }
  return flags;
}

std::string see_help(const Command& command) {
  return fmt::format("`tankyard {} --help` shows what it takes", command.name);
}

/// Everything the words ask of a command, or nothing and a complaint.
std::optional<Asked> asked_of(const Command& command, Words words, std::ostream& err) {
  Asked asked;
  CLI::App app("", command.name);
  app.set_help_flag();
  app.allow_extras();
  app.add_option("first", asked.first);
  for (const Option& option : command.options) {
    if (option.flag != nullptr) {
      app.add_flag(option.flags, asked.*option.flag)
          ->multi_option_policy(CLI::MultiOptionPolicy::TakeLast);
    } else {
      app.add_option(option.flags, asked.*option.text);
    }
  }
  // What stands after "--" is no option, whatever it looks like.
  const auto dashes = std::find(words.begin(), words.end(), "--");
  Words plain(dashes == words.end() ? dashes : dashes + 1, words.end());
  words.erase(dashes, words.end());
  std::reverse(words.begin(), words.end());  // CLI11 takes them from the back
  try {
    app.parse(words);
  } catch (const CLI::ParseError& error) {
    for (const Option& option : command.options) {
      if (option.text == nullptr) continue;
      const std::string what = error.what();
      const std::string name = long_name(option);
      if (what.rfind(name + ":", 0) != 0) continue;
      const CLI::Option* read = app.get_option(name);
      if (read->count() > 1) {
        complain(err, fmt::format("`{}` is given more than once", name), "leave all but one away");
      } else {
        complain(err, fmt::format("`{}` needs a value after it", name),
                 fmt::format("write `{} {}`", name, option.value));
      }
      return std::nullopt;
    }
    complain(err, error.what(), see_help(command));
    return std::nullopt;
  }
  Words extras = app.remaining();
  for (const std::string& word : extras) {
    if (word.size() < 2 || word[0] != '-') continue;
    const std::string flag = word.substr(0, word.find('='));
    const auto near = nearest_name(flag, flags_of(command));
    complain(err, fmt::format("`tankyard {}` has no option `{}`", command.name, flag),
             near ? fmt::format("there is an option with a similar name: `{}`", *near)
                  : see_help(command));
    return std::nullopt;
  }
  extras.insert(extras.end(), plain.begin(), plain.end());
  if (std::string(command.first).empty() && !(asked.first.empty() && extras.empty())) {
    complain(err,
             fmt::format("`tankyard {}` takes options alone, and not `{}`", command.name,
                         asked.first.empty() ? extras.front() : asked.first),
             see_help(command));
    return std::nullopt;
  }
  if (asked.first.empty() && !extras.empty()) {
    asked.first = extras.front();
    extras.erase(extras.begin());
  }
  if (command.more) asked.more = std::exchange(extras, {});
  if (!extras.empty()) {
    complain(err,
             fmt::format("`tankyard {}` takes one {}, and `{}` is one too many", command.name,
                         command.first, extras.front()),
             see_help(command));
    return std::nullopt;
  }
  if (command.needs_first && asked.first.empty()) {
    complain(err, fmt::format("`tankyard {}` needs a {}", command.name, command.first),
             fmt::format("for example: `{}`", command.examples.front().line));
    return std::nullopt;
  }
  return asked;
}

Exit complain_of_command(const std::string& name, std::ostream& err) {
  for (const char* later : not_in_this_version) {
    if (name != later) continue;
    complain(err, fmt::format("this version of tankyard has no command `{}`", name),
             "it has `new`, `check`, `run`, `vent`, `link`, `isolate`, `faults`, `season`, `draw` "
             "and `explain`");
    return Exit::unusable;
  }
  Words names = {"help"};
  for (const Command& command : commands()) names.emplace_back(command.name);
  const auto near = nearest_name(name, names);
  complain(err, fmt::format("there is no command `{}`", name),
           near ? fmt::format("there is a command with a similar name: `{}`", *near)
                : "`tankyard help` lists the commands");
  return Exit::unusable;
}

bool asks_for_help(const Words& words) {
  for (const std::string& word : words) {
    if (word == "--") return false;
    if (word == "-h" || word == "--help") return true;
  }
  return false;
}

/// Logs go to standard error through one logger: what was done, and with --verbose details.
std::shared_ptr<spdlog::logger> logger_on(std::ostream& err, const Asked& asked) {
  auto sink = std::make_shared<spdlog::sinks::ostream_sink_st>(err, true);
  auto logger = std::make_shared<spdlog::logger>("tankyard", std::move(sink));
  logger->set_pattern("%v");
  logger->set_level(asked.quiet     ? spdlog::level::err
                    : asked.verbose ? spdlog::level::debug
                                    : spdlog::level::info);
  return logger;
}

/// The few signs of ours that are not ASCII, each as wide as before, so that tables stay aligned.
std::string in_ascii(std::string text) {
  constexpr std::pair<const char*, const char*> signs[] = {
      {"\u2500", "-"},
      {"\u2026", "~"},
      {"\u00b2", "2"},
      {"\u2019", "'"},
      {"\u2013", "-"},
      // Of a level bar: full cells, half full or more, less than half, empty.
      {"\u2588", "#"},
      {"\u2589", "="},
      {"\u258a", "="},
      {"\u258b", "="},
      {"\u258c", "="},
      {"\u258d", "-"},
      {"\u258e", "-"},
      {"\u258f", "-"},
      {"\u2591", "."}};
  for (const auto& [sign, plain] : signs) {
    const std::size_t wide = std::strlen(sign);
    for (std::size_t at = text.find(sign); at != std::string::npos; at = text.find(sign, at)) {
      text.replace(at, wide, plain);
    }
  }
  return text;
}

Answer answer(Words words, std::ostream& err, int columns) {
  if (words.empty()) {
    err << help_text(columns);
    return {Exit::unusable, {}};
  }
  const auto word = std::find_if(words.begin(), words.end(), [](const std::string& each) {
    return each.empty() || each[0] != '-';
  });
  const std::string name = word == words.end() ? "" : *word;
  const Command* command = find_command(name);
  if (asks_for_help(words)) {
    return {Exit::done, command ? help_text(*command, columns) : help_text(columns)};
  }
  if (std::find(words.begin(), words.end(), "--version") != words.end()) {
    return {Exit::done, "tankyard " TANKYARD_VERSION "\n"};
  }
  if (word == words.end()) {
    const auto near = nearest_name(words.front(), {"--help", "-h", "--version"});
    complain(err, fmt::format("there is no option `{}` without a command", words.front()),
             near ? fmt::format("there is an option with a similar name: `{}`", *near)
                  : "`tankyard help` lists the commands");
    return {Exit::unusable, {}};
  }
  words.erase(word);
  if (name == "help") {
    if (words.empty()) return {Exit::done, help_text(columns)};
    command = find_command(words.front());
    if (!command) return {complain_of_command(words.front(), err), {}};
    return {Exit::done, help_text(*command, columns)};
  }
  if (!command) return {complain_of_command(name, err), {}};
  const auto asked = asked_of(*command, std::move(words), err);
  if (!asked) return {Exit::unusable, {}};
  const auto logger = logger_on(err, *asked);
  return command->answer(*asked,
                         {err, columns, [&](const std::string& text) { logger->info("{}", text); },
                          [&](const std::string& text) { logger->debug("{}", text); }});
}

}  // namespace

std::string tool_in_a_line() {
  return "steps linked rainwater tanks through a day and says what goes wrong, and why";
}

std::vector<std::pair<std::string, std::string>> exit_words() {
  return {{"0", "done, no danger found"},
          {"1", "done, and there is a finding of severity danger"},
          {"2", "what was given cannot be used"},
          {"3", "anything else, such as a full disk"},
          {"130", "stopped by Ctrl-C; a command that tries many things prints what it knew"}};
}

std::vector<CommandWords> command_words() {
  std::vector<CommandWords> all;
  for (const Command& command : commands()) {
    CommandWords words{command.name,
                       command.first,
                       command.needs_first,
                       command.more ? command.more : "",
                       command.does,
                       {},
                       {}};
    for (const Example& example : command.examples) {
      words.examples.emplace_back(example.line, example.does);
    }
    for (const Option& option : command.options) {
      const std::string flags = option.flags;
      const std::size_t comma = flags.find(',');
      words.options.push_back({comma == std::string::npos ? "" : flags.substr(0, comma),
                               long_name(option), option.value ? option.value : "", option.does});
    }
    all.push_back(words);
  }
  return all;
}

int command_line(const std::vector<std::string>& words, std::ostream& out, std::ostream& err,
                 int columns, bool ascii) {
  const Answer answered = answer(words, err, columns);
  errno = 0;
  out << (ascii ? in_ascii(answered.text) : answered.text) << std::flush;
  const int reason = errno;
  if (!out) {
    complain(err,
             "the answer could not be written to the end" +
                 (reason != 0 ? std::string(": ") + std::strerror(reason) : std::string()),
             reason == ENOSPC ? "make room on the disk and try again"
                              : "look at where standard output goes to");
    return static_cast<int>(Exit::failed);
  }
  return static_cast<int>(answered.exit);
}

bool terminal_is_ascii() {
  if (::isatty(STDOUT_FILENO) == 0) return false;
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    const char* told = std::getenv(name);
    if (told == nullptr || *told == '\0') continue;
    std::string locale = told;
    std::transform(locale.begin(), locale.end(), locale.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return locale.find("utf-8") == std::string::npos && locale.find("utf8") == std::string::npos;
  }
  return true;
}

int terminal_columns() {
  constexpr int fewest = 20;
  constexpr int most = 1000;
  winsize size{};
  if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) {
    return std::clamp(static_cast<int>(size.ws_col), fewest, most);
  }
  if (const char* told = std::getenv("COLUMNS")) {
    int columns = 0;
    const char* end = told + std::strlen(told);
    const auto read = std::from_chars(told, end, columns);
    if (read.ec == std::errc() && read.ptr == end && columns > 0) {
      return std::clamp(columns, fewest, most);
    }
  }
  return 80;
}

}  // namespace tankyard

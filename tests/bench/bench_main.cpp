// SPDX-License-Identifier: MIT
// What a run costs, beside a general integrator doing the same work to the same error in the same
// sitting. Ratios are what counts; seconds belong to this machine and this hour. README.md says how
// to read the table. Nothing here fails for being slow.

#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <string>
#include <system_error>
#include <vector>

#include "chain.h"
#include "clock.h"
#include "closed_lids.h"
#include "cvode_peer.h"
#include "fault_days.h"
#include "full_day.h"
#include "general_arrays.h"
#include "ours.h"
#include "report.h"
#include "seasons.h"
#include "solver/run.h"
#include "solver/studies/season.h"
#include "whole_process.h"

namespace bench {
namespace {

constexpr double target_m = 1e-4;  // largest depth error at any check time, either side
constexpr int repeats = 5;

struct Case {
  const char* name;
  const char* words;
  int tanks;
  double lasts_s;
  double uneven_m;
  double ours_tight_m;
  double goal_now;  // 0: none
  double goal_later;
};

constexpr double day_s = 86400.0;
constexpr Case cases[] = {
    {"a", "5 tanks, a year", 5, 365.0 * day_s, 0.0, 1e-9, 3.0, 5.0},
    {"b", "100 tanks, 30 days", 100, 30.0 * day_s, 0.4, 1e-9, 0.0, 3.0},
    {"c", "10 000 tanks, a day", 10'000, day_s, 0.4, 1e-7, 1.0, 2.0},
};

struct Matched {
  double tolerance_m = 0.0;
  double error_m = 0.0;
};

/// The loosest tolerance, on a grid of twenty a decade, whose error is within the target: down by
/// half decades until it is, then back up by twentieths while it stays.
Matched match(const std::function<double(double)>& error_at, double loosest_exponent) {
  double exponent = loosest_exponent;
  double error = error_at(std::pow(10.0, exponent));
  while (error > target_m && exponent > -11.0) {
    exponent -= 0.5;
    error = error_at(std::pow(10.0, exponent));
  }
  Matched matched{std::pow(10.0, exponent), error};
  for (int k = 1; k < 10; ++k) {
    const double looser = std::pow(10.0, exponent + 0.05 * k);
    if (exponent + 0.05 * k > loosest_exponent + 1e-9) break;
    const double looser_error = error_at(looser);
    if (looser_error > target_m) break;
    matched = {looser, looser_error};
  }
  return matched;
}

PeerSettings::Solver fastest_klu(const Chain& chain, double tolerance_m) {
  PeerSettings::Solver best = PeerSettings::Solver::klu_amd;
  Times best_takes;
  for (const auto solver : {PeerSettings::Solver::klu_amd, PeerSettings::Solver::klu_colamd,
                            PeerSettings::Solver::klu_natural}) {
    Times takes;
    for (int k = 0; k < 3; ++k) {
      const double start = processor_s();
      run_peer(chain, {solver, tolerance_m}, nullptr, nullptr);
      takes.add(processor_s() - start);
    }
    std::printf("    peer with %-20s %9.2f ms\n", name_of(solver), 1e3 * takes.best_s);
    if (takes.best_s < best_takes.best_s) best = solver, best_takes = takes;
  }
  return best;
}

void print_effort(const tankyard::Effort& effort) {
  std::printf(
      "    ours: %lld steps, %lld taken back, %lld shortened, %lld Newton turns (%.2f a stage)\n",
      effort.steps, effort.rejected, effort.quartered, effort.turns,
      static_cast<double>(effort.turns) /
          static_cast<double>(2 * (effort.steps + effort.rejected)));
}

void print_statistics(const PeerStatistics& s) {
  std::printf(
      "    peer: %ld steps, %ld right-hand sides, %ld Newton turns, %ld factorisations, %ld "
      "Jacobians,\n          %ld error failures, %ld Newton failures, order up to %d; "
      "%.2f turns of the loss law a flow\n",
      s.steps, s.right_hand_sides, s.newton_turns, s.factorisations, s.jacobians, s.error_failures,
      s.newton_failures, s.highest_order,
      static_cast<double>(s.friction_turns) / static_cast<double>(s.flows));
}

void print_goal(double ratio, double now, double later) {
  const auto say = [ratio](const char* when, double goal) {
    if (goal == 0.0) return;
    if (ratio >= goal)
      std::printf("    goal %s, %.0fx: met\n", when, goal);
    else
      std::printf("    goal %s, %.0fx: MISSED, %.2fx is still wanted\n", when, goal, goal / ratio);
  };
  say("now", now);
  say("later", later);
}

void compare(const Case& it, std::vector<Figure>& figures) {
  const Chain chain = make_chain(it.tanks, it.lasts_s, it.uneven_m);
  const Ours ours(chain);
  std::printf("\n(%s) %s, %zu changes\n", it.name, it.words, chain.stretches.size() - 1);

  Depths truth;
  Depths depths;
  run_peer(chain, {PeerSettings::Solver::klu_amd, 1e-10}, &truth, nullptr);
  ours.run(it.ours_tight_m, &depths);
  std::printf(
      "    peer at 1e-10 m and ours at %.0e m agree within %.1e m everywhere, at %zu times\n",
      it.ours_tight_m, largest_difference(depths, truth), truth.size() / chain.start_m.size());

  const Matched we = match(
      [&](double tolerance_m) {
        ours.run(tolerance_m, &depths);
        return largest_difference(depths, truth);
      },
      -1.0);
  const Matched they = match(
      [&](double tolerance_m) {
        run_peer(chain, {PeerSettings::Solver::klu_amd, tolerance_m}, &depths, nullptr);
        return largest_difference(depths, truth);
      },
      -1.0);
  std::printf("    ours: tolerance %.1e m gives a largest error of %.2e m\n", we.tolerance_m,
              we.error_m);
  std::printf("    peer: tolerance %.1e m gives a largest error of %.2e m\n", they.tolerance_m,
              they.error_m);

  const PeerSettings settings{fastest_klu(chain, they.tolerance_m), they.tolerance_m};
  const PeerSettings band{PeerSettings::Solver::band, they.tolerance_m};
  tankyard::Effort effort;
  PeerStatistics statistics;
  Times we_take;
  Times they_take;
  Times band_takes;
  Times unused;
  const auto run_ours = [&] { effort = ours.run(we.tolerance_m, nullptr); };
  side_by_side(
      repeats, run_ours, we_take, [&] { statistics = run_peer(chain, settings, nullptr, nullptr); },
      they_take);
  side_by_side(
      repeats, [] {}, unused, [&] { run_peer(chain, band, nullptr, nullptr); }, band_takes);
  print_effort(effort);
  print_statistics(statistics);
  const double ratio = they_take.best_s / we_take.best_s;
  std::printf("    ours                     %9.2f ms  (worst of %d: +%.0f %%)\n",
              1e3 * we_take.best_s, repeats, 100.0 * we_take.spread());
  std::printf("    peer, %-18s %9.2f ms  (+%.0f %%)   ratio %.2f\n", name_of(settings.solver),
              1e3 * they_take.best_s, 100.0 * they_take.spread(), ratio);
  std::printf("    peer, %-18s %9.2f ms  (+%.0f %%)   ratio %.2f   (fits chains only)\n",
              name_of(band.solver), 1e3 * band_takes.best_s, 100.0 * band_takes.spread(),
              band_takes.best_s / we_take.best_s);
  print_goal(ratio, it.goal_now, it.goal_later);

  const std::string name = it.name;
  figures.push_back({name + ".ratio", ratio, "peer/ours"});
  figures.push_back({name + ".ratio_band", band_takes.best_s / we_take.best_s, "peer/ours"});
  figures.push_back({name + ".ours", 1e3 * we_take.best_s, "ms"});
  figures.push_back({name + ".peer", 1e3 * they_take.best_s, "ms"});
  figures.push_back({name + ".ours_error", 1e3 * we.error_m, "mm"});
  figures.push_back({name + ".peer_error", 1e3 * they.error_m, "mm"});
  figures.push_back({name + ".ours_steps", static_cast<double>(effort.steps), "steps"});
  figures.push_back({name + ".ours_turns", static_cast<double>(effort.turns), "turns"});
  figures.push_back({name + ".peer_steps", static_cast<double>(statistics.steps), "steps"});
}

Times time_ours(const Ours& ours, const tankyard::RunOptions& options, int times,
                tankyard::Effort& effort) {
  Times takes;
  for (int k = 0; k < repeats; ++k) {
    const double start = processor_s();
    for (int n = 0; n < times; ++n) effort = ours.record(options).effort;
    takes.add((processor_s() - start) / times);
  }
  return takes;
}

/// Does the time a tank takes grow with the number of tanks?
void growth(int most, std::vector<Figure>& figures) {
  std::printf(
      "\n(d) time per tank, a day at the default tolerance; the same hundred tanks again and "
      "again in one row\n");
  std::printf("    %8s %10s %8s %8s %12s %8s %17s %8s %10s\n", "tanks", "ms", "steps", "turns",
              "us per tank", "growth", "ns per tank,turn", "growth", "set-up us");
  double first = 0.0;
  double first_per_turn = 0.0;
  double worst = 0.0;
  double worst_per_turn = 0.0;
  for (int tanks = 100; tanks <= most; tanks *= 10) {
    const Ours ours(make_chain(tanks, day_s, 0.4, 100));
    const Ours start(make_chain(tanks, 1e-3, 0.4, 100));
    tankyard::Effort effort;
    // Small arrays many times over, so that the clock has something to count.
    const int times = std::max(1, 10'000 / tanks);
    const Times set_up = time_ours(start, {}, times, effort);
    const Times takes = time_ours(ours, {}, times, effort);
    const double per_tank = takes.best_s / tanks;
    const double per_turn = per_tank / static_cast<double>(effort.turns);
    if (tanks == 100) first = per_tank, first_per_turn = per_turn;
    worst = std::max(worst, per_tank / first);
    worst_per_turn = std::max(worst_per_turn, per_turn / first_per_turn);
    std::printf("    %8d %10.2f %8lld %8lld %12.3f %8.2f %17.2f %8.2f %10.2f\n", tanks,
                1e3 * takes.best_s, effort.steps, effort.turns, 1e6 * per_tank, per_tank / first,
                1e9 * per_turn, per_turn / first_per_turn, 1e6 * set_up.best_s / tanks);
    const std::string name = "d." + std::to_string(tanks);
    figures.push_back({name + ".per_tank", 1e6 * per_tank, "us"});
    figures.push_back({name + ".set_up_per_tank", 1e6 * set_up.best_s / tanks, "us"});
    figures.push_back({name + ".turns", static_cast<double>(effort.turns), "turns"});
  }
  std::printf("    (set-up, per tank: compiling the array and one step of a millisecond)\n");
  std::printf("    goal, growth under 1.15: %s, worst %.2f; of the time a turn takes: %.2f\n",
              worst < 1.15 ? "met" : "MISSED", worst, worst_per_turn);
  figures.push_back({"d.growth", worst, "1"});
  figures.push_back({"d.growth_per_turn", worst_per_turn, "1"});
}

void check_demo(std::vector<Figure>& figures) {
  const std::string program = TANKYARD_PROGRAM;
  const std::string plan = TANKYARD_SOURCE_DIR "/examples/larch-hill.toml";
  std::printf("\n(e) `tankyard check examples/larch-hill.toml`, whole process\n");
  if (access(program.c_str(), X_OK) != 0 || access(plan.c_str(), R_OK) != 0) {
    std::printf("    not measured: the tool or the plan is not there\n");
    return;
  }
  Times wall;
  Times processor;
  double peak_mb = 0.0;
  int exit_code = 0;
  for (int k = 0; k < 100; ++k) {
    const auto time = time_process({program, "check", plan});
    if (!time) {
      std::printf("    not measured: the tool could not be started\n");
      return;
    }
    wall.add(time->wall_s);
    processor.add(time->processor_s);
    peak_mb = std::max(peak_mb, time->peak_mb);
    exit_code = time->exit_code;
  }
  std::printf(
      "    %.1f ms on the wall, %.1f ms of processor, best of 100; peak %.1f MB; exit code %d\n",
      1e3 * wall.best_s, 1e3 * processor.best_s, peak_mb, exit_code);
  std::printf("    goal now, 30 ms: %s; later, 20 ms: %s\n", wall.best_s < 0.030 ? "met" : "MISSED",
              wall.best_s < 0.020 ? "met" : "MISSED");
  figures.push_back({"e.wall", 1e3 * wall.best_s, "ms"});
  figures.push_back({"e.processor", 1e3 * processor.best_s, "ms"});
}

/// The demo for a year: its watering each day, and a thunderstorm every third.
std::string year_of(std::string plan) {
  const std::string day = "lasts = \"24 h\"";
  const std::size_t at = plan.find(day);
  if (at == std::string::npos) return "";
  plan.replace(at, day.size(), "lasts = \"365 d\"");
  for (int day_of_year = 1; day_of_year < 365; ++day_of_year) {
    const auto step = [&](int after_start_min, const char* what) {
      plan += "\n[[step]]\nat = \"" + std::to_string(1440 * day_of_year + after_start_min) +
              " min\"\n" + what + "\n";
    };
    step(90, "open = [\"seedbeds\"]");
    step(225, "close = [\"seedbeds\"]\nopen = [\"can-tap\"]");
    step(245, "close = [\"can-tap\"]");
    if (day_of_year % 3 == 0) {
      step(540, "rain = \"30 mm/h\"");
      step(590, "rain = \"0 mm/h\"");
    }
  }
  return plan;
}

/// Memory of a year of the demo as a process; nothing is kept of the days but the books.
void year_of_demo(std::vector<Figure>& figures) {
  const std::string program = TANKYARD_PROGRAM;
  const std::string demo = TANKYARD_SOURCE_DIR "/examples/larch-hill.toml";
  std::printf("\n(j) a year of examples/larch-hill.toml, whole process, no series\n");
  std::ifstream from(demo);
  const std::string plan =
      year_of({std::istreambuf_iterator<char>(from), std::istreambuf_iterator<char>()});
  std::error_code nowhere;  // where TMPDIR leads nowhere, nothing can be written either
  std::string path =
      (std::filesystem::temp_directory_path(nowhere) / "tankyard-bench-XXXXXX.toml").string();
  const int file = plan.empty() ? -1 : mkstemps(path.data(), 5);
  if (file < 0) {
    std::printf("    not measured: no plan could be written\n");
    return;
  }
  const bool whole = write(file, plan.data(), plan.size()) == static_cast<ssize_t>(plan.size());
  close(file);
  const auto time = whole ? time_process({program, "run", path, "--quiet"}) : std::nullopt;
  unlink(path.c_str());
  if (!time || time->exit_code > 1) {
    std::printf("    not measured: the tool could not be started, or gave no answer\n");
    return;
  }
  std::printf("    %.0f ms on the wall; peak %.1f MB; goal, 40 MB: %s\n", 1e3 * time->wall_s,
              time->peak_mb, time->peak_mb < 40.0 ? "met" : "MISSED");
  figures.push_back({"j.peak", time->peak_mb, "MB"});
  figures.push_back({"j.wall", 1e3 * time->wall_s, "ms"});
}

void closed_lids(std::vector<Figure>& figures) {
  std::printf(
      "\n(f) the same yard with open lids and with closed ones, at the default tolerance, per "
      "simulated day\n"
      "    %-40s %10s %10s %7s %15s %15s\n",
      "", "open us", "closed us", "ratio", "steps", "turns");
  for (const LidPair& pair : lid_pairs()) {
    const auto effort_of = [&](const tankyard::Parts& parts) {
      const auto array = tankyard::Array::make(parts);
      const auto record =
          array ? tankyard::run(*array, pair.sheet)
                : tankyard::Result<tankyard::RunRecord>(tl::make_unexpected(array.error()));
      if (!record) {
        std::fprintf(stderr, "tankyard_bench: %s\n", record.error().front().message.c_str());
        std::abort();
      }
      return record->effort;
    };
    const tankyard::Effort open_effort = effort_of(pair.open);  // the first of each untimed
    const tankyard::Effort closed_effort = effort_of(pair.closed);
    Times open;
    Times closed;
    side_by_side(
        2 * repeats, [&] { effort_of(pair.open); }, open, [&] { effort_of(pair.closed); }, closed);
    const double ratio = closed.best_s / open.best_s;
    const auto both = [](long long one, long long other) {
      return std::to_string(one) + " : " + std::to_string(other);
    };
    std::printf("    %-40s %10.1f %10.1f %7.2f %15s %15s\n", pair.words.c_str(),
                1e6 * open.best_s / pair.days, 1e6 * closed.best_s / pair.days, ratio,
                both(open_effort.steps, closed_effort.steps).c_str(),
                both(open_effort.turns, closed_effort.turns).c_str());
    if (pair.goal > 0.0) {
      std::printf("    goal, at most %.0fx: %s\n", pair.goal,
                  ratio <= pair.goal ? "met" : "MISSED");
    }
    figures.push_back({pair.name + ".ratio", ratio, "closed/open"});
    figures.push_back({pair.name + ".open", 1e6 * open.best_s / pair.days, "us a day"});
    figures.push_back({pair.name + ".closed", 1e6 * closed.best_s / pair.days, "us a day"});
    figures.push_back(
        {pair.name + ".closed_steps", static_cast<double>(closed_effort.steps), "steps"});
  }
}

void seasons(std::vector<Figure>& figures) {
  std::printf(
      "\n(g) six tanks on a rail through years of daily rain, a use every morning: one season, one "
      "thread\n");
  for (const int years : {4, 30}) {
    const SeasonCase it = six_on_a_rail(years);
    const auto array = tankyard::Array::make(it.parts);
    Times takes;
    long long steps = 0;
    for (int k = 0; k < (years > 4 ? 2 : repeats); ++k) {
      const double start = processor_s();
      const auto season =
          array ? tankyard::step_season(*array, it.uses, it.rain)
                : tankyard::Result<tankyard::Season>(tl::make_unexpected(array.error()));
      if (!season) {
        std::fprintf(stderr, "tankyard_bench: %s\n", season.error().front().message.c_str());
        std::abort();
      }
      takes.add(processor_s() - start);
      steps = season->steps;
    }
    std::printf(
        "    %2d years: %.0f ms, %.0f simulated years a second, %.1f steps a day; goal %s\n", years,
        1e3 * takes.best_s, years / takes.best_s,
        static_cast<double>(steps) / static_cast<double>(it.rain.days.size()),
        takes.best_s < (years > 4 ? 6.0 : 1.0) ? "met" : "MISSED");
    figures.push_back(
        {"g.season_" + std::to_string(years), years / takes.best_s, "years a second"});
  }
}

/// For a profiler: our side alone, at the tolerance of the table, again and again.
int ours_alone(const std::string& name, int times, double tolerance_m) {
  for (const Case& it : cases) {
    if (name != it.name) continue;
    const Ours ours(make_chain(it.tanks, it.lasts_s, it.uneven_m));
    for (int k = 0; k < times; ++k) {
      const double start = processor_s();
      const tankyard::Effort effort = ours.run(tolerance_m, nullptr);
      std::printf("%.2f ms\n", 1e3 * (processor_s() - start));
      if (k == 0) print_effort(effort);
    }
    return 0;
  }
  std::fprintf(stderr, "tankyard_bench: no case is called '%s'\n", name.c_str());
  return 2;
}

void usage(std::FILE* to) {
  std::fputs(
      "tankyard_bench [CASES] [--csv FILE]\n"
      "tankyard_bench --ours CASE [--times N] [--tolerance M]\n"
      "\n"
      "CASES are letters of a b c d e f g h i j k; all of them if none is given.\n"
      "  --csv FILE      append the figures to FILE; `auto`: tests/bench/results/<machine>.csv\n"
      "  --most N        (d) up to N tanks (default 100000)\n"
      "  --ours CASE     run our side of case a, b or c alone, for a profiler\n"
      "  --times N       that often (default 1)\n"
      "  --tolerance M   at this depth tolerance (default 1e-4)\n",
      to);
}

int main_of(int count, char** words) {
  std::string wanted = "abcdefghijk";
  std::string csv;
  std::string ours;
  int times = 1;
  int most = 100'000;
  double tolerance_m = 1e-4;
  for (int k = 1; k < count; ++k) {
    const std::string word = words[k];
    const auto value = [&]() -> std::string {
      if (k + 1 < count) return words[++k];
      std::fprintf(stderr, "tankyard_bench: %s wants a value\n", word.c_str());
      std::exit(2);
    };
    if (word == "-h" || word == "--help") {
      usage(stdout);
      return 0;
    } else if (word == "--csv") {
      csv = value();
    } else if (word == "--most") {
      most = std::atoi(value().c_str());
    } else if (word == "--ours") {
      ours = value();
    } else if (word == "--times") {
      times = std::atoi(value().c_str());
    } else if (word == "--tolerance") {
      tolerance_m = std::atof(value().c_str());
    } else if (!word.empty() && word.find_first_not_of("abcdefghijk") == std::string::npos) {
      wanted = word;
    } else {
      std::fprintf(stderr, "tankyard_bench: does not know '%s'\n", word.c_str());
      usage(stderr);
      return 2;
    }
  }
  if (!ours.empty()) return ours_alone(ours, times, tolerance_m);

  std::setvbuf(stdout, nullptr, _IOLBF, 0);
  print_circumstances();
  std::printf(
      "times     processor time of one thread, best of %d, both sides by turns; ours with the "
      "array\n"
      "          compiled, the day sheet checked and the books kept, theirs with set-up\n"
      "error     largest error of any depth at any ten minutes, against the peer at 1e-10 m; both\n"
      "          sides at the loosest tolerance that keeps it under %.1f mm\n",
      repeats, 1e3 * target_m);
  std::vector<Figure> figures;
  // First of all, while this program is small: a child starts from its parent's pages.
  if (wanted.find('e') != std::string::npos) check_demo(figures);
  if (wanted.find('j') != std::string::npos) year_of_demo(figures);
  for (const Case& it : cases) {
    if (wanted.find(it.name) != std::string::npos) compare(it, figures);
  }
  if (wanted.find('d') != std::string::npos) growth(most, figures);
  if (wanted.find('f') != std::string::npos) closed_lids(figures);
  if (wanted.find('g') != std::string::npos) seasons(figures);
  if (wanted.find('h') != std::string::npos) fault_days(figures);
  if (wanted.find('i') != std::string::npos) full_day(figures);
  if (wanted.find('k') != std::string::npos) general_arrays(figures);
  if (csv == "auto") csv = TANKYARD_SOURCE_DIR "/tests/bench/results/" + machine_kind() + ".csv";
  if (!csv.empty()) {
    if (!append_csv(csv, figures)) {
      std::fprintf(stderr, "tankyard_bench: could not write %s\n", csv.c_str());
      return 1;
    }
    std::printf("\nfigures appended to %s\n", csv.c_str());
  }
  return 0;
}

}  // namespace
}  // namespace bench

int main(int count, char** words) { return bench::main_of(count, words); }

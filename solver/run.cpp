// SPDX-License-Identifier: MIT
#include "solver/run.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "graph/check_array.h"
#include "solver/accounts.h"
#include "solver/air_temperature.h"
#include "solver/network.h"
#include "solver/pump_switches.h"
#include "solver/stepper.h"
#include "solver/switches.h"
#include "solver/weather.h"

namespace tankyard {
namespace {

constexpr double shortest_step_s = 1e-7;
constexpr double seconds_a_day = 86400.0;
constexpr double ledger_share = 1e-9;  // of what passed: the ledger must close to this
constexpr double ledger_least_m3 =
    1e-11;  // a hundred-thousandth of a millilitre, where nothing passed
constexpr int most_turns_at_once = 20;  // of switches at one moment, before it counts as chatter

std::string in_words(double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.9g", value);
  return text;
}

/// One run, stage by stage. The loop in `through` is its table of contents.
class Run {
 public:
  Run(const Network& network, const DaySheet& sheet, const RunOptions& options)
      : network_(network),
        sheet_(sheet),
        options_(options),
        stepper_(network, options, sheet.starts_clock_s),
        weather_(network.array.parts()),
        setting_(setting_at_start(network)),
        switches_(network, stepper_.now()),
        pumps_(network, stepper_.now()),
        accounts_(network, record_) {
    // Those that the plan has running start with everything else, at second 0.
    setting_.pump_runs.assign(network.pumps.size(), false);
    const Parts& parts = network.array.parts();
    for (const Tank& tank : parts.tanks) {
      const double swing_k = tank.air_swing_k.value_or(parts.site.air_swing_k);
      if (tank.lid.kind != Lid::Kind::open && swing_k > 0.0) breathes_ = true;
    }
  }

  Result<RunRecord> through() {
    accounts_.start(stepper_);
    take_due_steps();
    if (!take_setting()) return gave_up("found no balance of flows at the start");
    return to_the_end();
  }

  /// After `through`, when the sheet is another one: goes on from there. Where nothing is due at
  /// once, no restart costs anything.
  Result<RunRecord> go_on() {
    before_s_ = std::fmod(before_s_ + time_s_, seconds_a_day);
    switches_.set_clock_back(time_s_);
    pumps_.set_clock_back(time_s_);
    time_s_ = 0.0;
    next_step_ = 0;
    next_row_ = 0.0;
    watched_ = false;
    record_ = RunRecord{};
    accounts_.begin_anew();
    accounts_.start(stepper_);
    if (take_due_steps() && !take_setting()) {
      return gave_up("found no balance of flows at the start of a stretch");
    }
    return to_the_end();
  }

  void dry_roofs() { weather_.dry_roofs(); }

 private:
  Result<RunRecord> to_the_end() {
    while (time_s_ < sheet_.lasts_s) {
      if (!balanced_) return gave_up("found no balance of flows when a first flush was through");
      if (!turn_due_switches()) return gave_up("found no balance of flows after a switch turned");
      if (!step_once()) return gave_up(why_);
      if (take_due_steps() && !take_setting()) {
        return gave_up("found no balance of flows after a step of the day sheet");
      }
    }
    record_row(time_s_, 1.0, true);
    accounts_.finish(stepper_, time_s_);
    record_.effort.rejected = rejected_;
    record_.effort.quartered = quartered_;
    const double unaccounted_m3 = std::fabs(record_.ledger.closing_error_m3());
    if (unaccounted_m3 > ledger_share * record_.ledger.passed_m3 + ledger_least_m3) {
      return gave_up("the ledger does not close: " + in_words(unaccounted_m3) + " m3 of " +
                     in_words(record_.ledger.passed_m3) + " m3 have no place");
    }
    return std::move(record_);
  }

  /// Does everything the day sheet has for this moment; true if there was anything.
  bool take_due_steps() {
    bool any = false;
    while (next_step_ < sheet_.steps.size() && sheet_.steps[next_step_].at_s <= time_s_) {
      const TimedStep& step = sheet_.steps[next_step_];
      for (const Action& action : step.actions) {
        const bool on = action.does == Action::Does::open || action.does == Action::Does::start;
        if (const auto* hose = std::get_if<HoseId>(&action.part)) {
          setting_.hose_open[hose->index] = on;
        } else if (const auto* outlet = std::get_if<OutletId>(&action.part)) {
          setting_.outlet_open[outlet->index] = on;
        } else if (const auto* line = std::get_if<AirLineId>(&action.part)) {
          setting_.air_line_open[line->index] = on;
        } else if (const auto* pump = std::get_if<PumpId>(&action.part)) {
          pumps_.order(pump->index, on, time_s_);
        }
      }
      if (step.rain_m_per_s) weather_.set_rain(*step.rain_m_per_s);
      accounts_.note({time_s_, Event::Kind::step, next_step_, std::nullopt, false});
      ++next_step_;
      any = true;
    }
    return any;
  }

  bool take_setting() {
    std::fill(setting_.inflow_m3_per_s.begin(), setting_.inflow_m3_per_s.end(), 0.0);
    weather_.add_inflow(setting_.inflow_m3_per_s);
    switches_.add_inflow(setting_.inflow_m3_per_s);
    for (const Event& event : pumps_.follow(stepper_.now(), time_s_, setting_)) {
      accounts_.note_pump(stepper_, setting_, header_was_full_, event);
    }
    header_was_full_ = setting_.header_primed;
    accounts_.setting_changes();
    fresh_ = true;
    watched_ = false;
    return stepper_.begin(setting_, before_s_ + time_s_);
  }

  /// Turns over every switch that is due now, together, until none is; true if flows balance after.
  bool turn_due_switches() {
    for (int round = 0; round < most_turns_at_once; ++round) {
      watch_now();
      bool any = false;
      for (std::size_t k = 0; k < numbers_.size(); ++k) {
        if (!(numbers_[k] < 0.0)) continue;
        any = true;
        if (k < switches_.count())
          turn(switches_.due(k));
        else
          pumps_.turn(k - switches_.count(), time_s_);
      }
      if (!any) return true;
      if (!take_setting()) return false;
    }
    return true;
  }

  /// `numbers_` become those of now, unless they are: a step's end is the next one's start.
  void watch_now() {
    if (!watched_) watch(stepper_.now(), time_s_, numbers_);
    watched_ = true;
  }

  /// Numbers of all switches, those of pumps last.
  void watch(const Instant& instant, double clock_s, std::vector<double>& numbers) const {
    switches_.watch(setting_, instant, clock_s, numbers);
    pumps_.watch(setting_, instant, clock_s, numbers);
  }

  void turn(const Switches::Due& due) {
    switches_.turn(due, time_s_, setting_);
    Event event{time_s_, due.kind, due.part, std::nullopt, due.at_header};
    if (due.kind == Event::Kind::top_up_starts) {
      const bool runs = switches_.running()[due.part];
      event.kind = runs ? Event::Kind::top_up_starts : Event::Kind::top_up_stops;
      if (runs) ++record_.top_ups[due.part].starts;
    } else {
      const bool full =
          due.at_header ? setting_.header_primed[due.part] : setting_.crest_primed[due.part];
      event.kind = full ? Event::Kind::primed : Event::Kind::prime_lost;
      if (!due.at_header) event.hose = HoseId{static_cast<std::uint32_t>(due.part)};
    }
    accounts_.note(event);
  }

  /// The next moment at which something changes that is not a level.
  double next_stop_s() const {
    double stop = sheet_.lasts_s;
    if (next_step_ < sheet_.steps.size()) stop = std::min(stop, sheet_.steps[next_step_].at_s);
    return std::min(stop, time_s_ + weather_.changes_in_s());
  }

  /// The warmth of the day moves the air under closed lids while no water moves at all, and the
  /// error estimate, which looks at flows, would not see it. Steps then are short against the day,
  /// and land on its warmest and coldest moment.
  double longest_breath_s() const {
    if (!breathes_) return std::numeric_limits<double>::infinity();
    constexpr double short_against_a_day_s = 900.0;
    const double clock_s = sheet_.starts_clock_s + time_s_;
    return std::min(short_against_a_day_s, until_air_turns_s(network_.array.parts().site, clock_s));
  }

  bool too_many_steps() {
    const long long steps = stepper_.effort().steps + rejected_;
    if (options_.give_up && options_.give_up(steps)) {
      why_ = "was told to give up after " + std::to_string(steps) + " steps";
      return true;
    }
    if (steps < options_.most_steps) return false;
    why_ = "took more steps than `most_steps` allows, " + std::to_string(options_.most_steps);
    help_ =
        "if a pump or a top-up starts and stops all the time, set the marks of its switch further "
        "apart; else let the run last less long";
    return true;
  }

  /// One good step, shortened until its error is small enough and no switch is passed unseen.
  bool step_once() {
    if (too_many_steps()) return false;
    const double stop_s = next_stop_s();
    if (fresh_) {
      const double began_s = time_s_;
      if (!settle_pressures(stop_s)) return false;
      if (time_s_ >= stop_s || (time_s_ > began_s && any_switch_due())) return true;
    }
    if (fresh_) length_s_ = stepper_.first_length_s(stop_s - time_s_);
    fresh_ = false;
    const double left_s = stop_s - time_s_;
    double length_s = std::min({length_s_, options_.longest_step_s, longest_breath_s()});
    // Two even steps rather than a long one and a crumb.
    if (length_s >= left_s)
      length_s = left_s;
    else if (2.0 * length_s > left_s && length_s > 0.55 * left_s)
      length_s = 0.5 * left_s;

    watch_now();
    for (int landings = 0;;) {
      if (too_many_steps()) return false;
      const Stepper::Outcome outcome = stepper_.attempt(length_s);
      if (outcome == Stepper::Outcome::unsettled) {
        ++quartered_;
        if (length_s < shortest_step_s) {
          why_ = "found no balance of flows in a step of " + in_words(length_s) +
                 " s, the limit is " + in_words(shortest_step_s) + " s";
          return false;
        }
        length_s *= 0.25;
        continue;
      }
      if (outcome == Stepper::Outcome::too_coarse) {
        ++rejected_;
        if (length_s < shortest_step_s) {
          why_ = "could not meet the depth tolerance in a step of " + in_words(length_s) +
                 " s, the limit is " + in_words(shortest_step_s) + " s";
          return false;
        }
        length_s = std::min(stepper_.proposed_s(), 0.7 * length_s);
        continue;
      }
      const double due_s = first_switch_due_s();
      // A switch is met when it turns within the event tolerance before the step's end.
      if (due_s > length_s - options_.event_tolerance_s || landings == 8) break;
      ++landings;
      length_s = std::min(due_s + 0.5 * options_.event_tolerance_s, 0.999 * length_s);
    }
    length_s_ = stepper_.proposed_s();
    numbers_.swap(end_numbers_);
    enter(stop_s);
    return true;
  }

  /// Short steps after each change of setting, in which closed headspaces come to their pressure:
  /// until they have, or a switch is due.
  bool settle_pressures(double stop_s) {
    for (;;) {
      double length_s = stepper_.settling_s(stop_s - time_s_);
      if (length_s <= 0.0) return true;
      watch_now();
      for (int landings = 0;;) {
        if (stepper_.attempt_settling(length_s) != Stepper::Outcome::good) {
          ++quartered_;
          length_s = stepper_.proposed_s();
          if (length_s < 1e-3 * shortest_step_s) {
            why_ = "the pressures of closed headspaces did not settle";
            return false;
          }
          continue;
        }
        const double due_s = first_switch_due_s();
        if (due_s > length_s - options_.event_tolerance_s || landings == 8) break;
        ++landings;
        length_s = std::min(due_s + 0.5 * options_.event_tolerance_s, 0.999 * length_s);
      }
      numbers_.swap(end_numbers_);
      enter(stop_s);
      if (any_switch_due()) return true;
    }
  }

  bool any_switch_due() {
    watch_now();
    return std::any_of(numbers_.begin(), numbers_.end(),
                       [](double number) { return number < 0.0; });
  }

  /// Seconds from the step's start to the first switch that comes due in it; infinite if none.
  double first_switch_due_s() {
    watch(stepper_.end(), time_s_ + stepper_.length_s(), end_numbers_);
    double first = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < end_numbers_.size(); ++k) {
      if (!(end_numbers_[k] < 0.0) || numbers_[k] < 0.0) continue;
      double low = 0.0;
      double high = 1.0;
      while ((high - low) * stepper_.length_s() > 0.25 * options_.event_tolerance_s) {
        const double share = 0.5 * (low + high);
        heads_between(share);
        watch(between_, time_s_ + share * stepper_.length_s(), some_numbers_);
        (some_numbers_[k] < 0.0 ? high : low) = share;
      }
      first = std::min(first, high * stepper_.length_s());
    }
    return first;
  }

  void heads_between(double share) {
    const auto between = [&](std::vector<double> Instant::*of) {
      std::vector<double>& values = between_.*of;
      values.resize((stepper_.end().*of).size());
      for (std::size_t i = 0; i < values.size(); ++i) {
        values[i] = Stepper::between((stepper_.now().*of)[i], (stepper_.middle().*of)[i],
                                     (stepper_.end().*of)[i], share);
      }
    };
    between(&Instant::head_m);
    between(&Instant::level_m);
  }

  void enter(double stop_s) {
    const double length_s = stepper_.length_s();
    record_rows();
    accounts_.enter(stepper_, setting_, time_s_);
    find_taken_shares(length_s);
    weather_.fall(length_s, taken_share_, record_.roofs, record_.tanks);
    const Parts& parts = network_.array.parts();
    for (std::size_t i = 0; i < parts.top_ups.size(); ++i) {
      if (!switches_.running()[i]) continue;
      double let_in = parts.top_ups[i].flow_m3_per_s * length_s;
      if (!taken_share_.empty()) let_in *= taken_share_[parts.top_ups[i].into.index];
      record_.top_ups[i].let_in_m3 += let_in;
      record_.tanks[parts.top_ups[i].into.index].topped_up_m3 += let_in;
    }
    const bool arrived = length_s >= stop_s - time_s_;
    time_s_ = arrived ? stop_s : time_s_ + length_s;
    stepper_.accept();
    // A first flush that has just run through changes what the roofs bring.
    if (arrived && stop_s < sheet_.lasts_s &&
        (next_step_ >= sheet_.steps.size() || sheet_.steps[next_step_].at_s > time_s_)) {
      balanced_ = take_setting();
    }
  }

  /// How much of what came to each tank its headspace let in during the step; nothing to find while
  /// every lid is open.
  void find_taken_shares(double length_s) {
    const std::vector<double>& turned_away = stepper_.moved().turned_away_m3;
    taken_share_.assign(turned_away.size(), 1.0);
    for (std::size_t i = 0; i < turned_away.size(); ++i) {
      if (turned_away[i] == 0.0) continue;
      taken_share_[i] = 1.0 - turned_away[i] / (setting_.inflow_m3_per_s[i] * length_s);
    }
  }

  void record_rows() {
    if (options_.record_every_s <= 0.0) return;
    while (next_row_ * options_.record_every_s < time_s_ + stepper_.length_s()) {
      const double at_s = next_row_ * options_.record_every_s;
      record_row(at_s, (at_s - time_s_) / stepper_.length_s(), false);
      ++next_row_;
    }
  }

  void record_row(double at_s, double share, bool present) {
    if (options_.record_every_s <= 0.0) return;
    const auto value = [&](const std::vector<double> Instant::*of, std::size_t k) {
      if (present) return (stepper_.now().*of)[k];
      return Stepper::between((stepper_.now().*of)[k], (stepper_.middle().*of)[k],
                              (stepper_.end().*of)[k], share);
    };
    Trace& trace = record_.trace;
    const std::size_t tanks = network_.tanks.size();
    trace.time_s.push_back(at_s);
    const auto depths = trace.depth_m.add(tanks);
    for (std::size_t i = 0; i < tanks; ++i) {
      const bool all_open = stepper_.now().level_m.empty();
      const double level = value(all_open ? &Instant::head_m : &Instant::level_m, i);
      // The parabola may dip below empty between instants that do not; shown, never reckoned with.
      depths[i] = std::max(0.0, level - network_.tanks[i].base_m);
    }
    const auto gas = trace.headspace_pa.add(tanks);
    for (std::size_t i = 0; i < stepper_.now().gas_m.size(); ++i) {
      gas[i] = value(&Instant::gas_m, i) * network_.water.density_kg_per_m3 * gravity_m_per_s2;
    }
    const auto heads = trace.header_head_m.add(network_.header_height_m.size());
    for (std::size_t h = 0; h < heads.size(); ++h) heads[h] = value(&Instant::head_m, tanks + h);
    const auto hoses = trace.hose_flow_m3_per_s.add(record_.hoses.size());
    const auto outlets = trace.outlet_flow_m3_per_s.add(record_.outlets.size());
    const auto pumps = trace.pump_flow_m3_per_s.add(record_.pumps.size());
    const auto& ways = stepper_.ways().open;
    for (std::size_t k = 0; k < ways.size(); ++k) {
      const Link& link = network_.links[ways[k].link];
      const double flow = value(&Instant::way_m3_per_s, k);
      if (link.kind == Link::Kind::hose) hoses[link.part] = flow;
      if (link.kind == Link::Kind::outlet) outlets[link.part] += flow;
      if (link.kind == Link::Kind::pump) pumps[link.part] = flow;
      if (link.nozzle) outlets[*link.nozzle] += flow;
    }
    for (std::size_t d = 0; d < network_.draws.size(); ++d) {
      outlets[network_.draws[d].outlet] += value(&Instant::draw_m3_per_s, d);
    }
  }

  tl::unexpected<Troubles> gave_up(const std::string& why) const {
    Trouble trouble;
    trouble.message = "the run stopped at " + in_words(time_s_) + " s: " + why;
    std::size_t worst = 0;
    for (std::size_t i = 1; i < network_.tanks.size(); ++i) {
      const auto& now = stepper_.now().head_m;
      if (std::fabs(now[i] - network_.tanks[i].lip_m) <
          std::fabs(now[worst] - network_.tanks[worst].lip_m)) {
        worst = i;
      }
    }
    trouble.notes.push_back("steps taken: " + std::to_string(stepper_.effort().steps) +
                            ", taken back: " + std::to_string(rejected_) +
                            ", shortened: " + std::to_string(quartered_));
    trouble.notes.push_back("the tank nearest its lip then was `" +
                            network_.array.tanks()[worst].name + "`, at " +
                            in_words(stepper_.now().head_m[worst]) + " m above the datum");
    trouble.help = help_;
    return refuse(trouble);
  }

  const Network& network_;
  const DaySheet& sheet_;
  const RunOptions& options_;
  Stepper stepper_;
  Weather weather_;
  Setting setting_;
  Switches switches_;
  PumpSwitches pumps_;
  std::vector<bool> header_was_full_;
  RunRecord record_;
  Accounts accounts_;
  double time_s_ = 0.0;
  double before_s_ = 0.0;  // what earlier stretches lasted, whole days aside
  double length_s_ = 0.0;
  bool fresh_ = true;
  bool breathes_ = false;  // a closed headspace follows the warmth of the day
  bool balanced_ = true;
  std::size_t next_step_ = 0;
  double next_row_ = 0.0;
  long long rejected_ = 0;
  long long quartered_ = 0;
  std::string why_;
  std::string help_ =
      "this is a weakness of the solver and not of the plan: please report the plan";
  std::vector<double> taken_share_;
  std::vector<double> numbers_;
  bool watched_ = false;  // `numbers_` are those of now
  std::vector<double> end_numbers_;
  std::vector<double> some_numbers_;
  Instant between_;
};

/// What is wrong with what a run was asked.
Troubles check_asked(const Array& array, const DaySheet& sheet, const RunOptions& options) {
  Troubles troubles = check(options);
  for (Trouble& trouble : check_day_sheet(array.parts(), sheet)) {
    troubles.push_back(std::move(trouble));
  }
  return troubles;
}

}  // namespace

struct RunInStretches::Inside {
  Inside(const Array& array, const RunOptions& options_) : network(array), options(options_) {}

  Network network;
  RunOptions options;
  DaySheet sheet;  // of the stretch under way; the run reads it here
  std::optional<Run> run;
};

RunInStretches::RunInStretches(const Array& array, const RunOptions& options)
    : inside_(std::make_unique<Inside>(array, options)) {}
RunInStretches::RunInStretches(RunInStretches&&) noexcept = default;
RunInStretches& RunInStretches::operator=(RunInStretches&&) noexcept = default;
RunInStretches::~RunInStretches() = default;

Result<RunRecord> RunInStretches::go_on(const DaySheet& sheet) {
  Inside& inside = *inside_;
  Troubles troubles = check_asked(inside.network.array, sheet, inside.options);
  if (!troubles.empty()) return tl::unexpected<Troubles>(std::move(troubles));
  inside.sheet = sheet;
  if (inside.run) return inside.run->go_on();
  inside.run.emplace(inside.network, inside.sheet, inside.options);
  return inside.run->through();
}

void RunInStretches::dry_roofs() {
  if (inside_->run) inside_->run->dry_roofs();
}

Result<RunRecord> run(const Array& array, const DaySheet& sheet, const RunOptions& options) {
  Troubles troubles = check_asked(array, sheet, options);
  if (!troubles.empty()) return tl::unexpected<Troubles>(std::move(troubles));
  const Network network(array);
  return Run(network, sheet, options).through();
}

}  // namespace tankyard

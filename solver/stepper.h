// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "solver/balance.h"
#include "solver/options.h"
#include "solver/run.h"

namespace tankyard {

/// What one step moved, by way, draw and tank, m3. The same quadrature that moved the volumes, so
/// that the ledger closes to rounding.
struct Moved {
  std::vector<double> way_m3;
  std::vector<double> draw_m3;
  std::vector<double> overflow_m3;
  std::vector<double> over_rim_m3;
  std::vector<double> turned_away_m3;
  bool spilt = false;  ///< whether any of the last three is not nought
};

/// Steps volumes through time while nothing but levels changes.
///
/// TR-BDF2 (Bank et al., IEEE Trans. CAD 4 (1985) 436) as an embedded pair of orders 2(3) (Hosea
/// and Shampine, Appl. Numer. Math. 20 (1996) 21): second order, L-stable, so that a wide hose
/// between two level tanks cannot ring. With F the flows into the tanks, theta = 1 - sqrt(2)/2, w =
/// sqrt(2)/4:
///     middle, at 2 theta d:  V1 = V0 + theta d (F0 + F1)
///     end, at d:             V2 = V0 + w d (F0 + F1) + theta d F2
/// and the error estimate is d times ((4w-1)/3 F0 - F1/3 + 2 theta/3 F2), spread through the array
/// by the last linear system, which turns it into depths and takes out what stiffness adds.
class Stepper {
 public:
  /// `starts_clock_s`: clock time of second 0, for the day's air temperature.
  Stepper(const Network& network, const RunOptions& options, double starts_clock_s = 0.0);

  /// Starts, or restarts after the setting changed: finds flows at the present volumes.
  /// False if no balance was found.
  bool begin(const Setting& setting, double time_s = 0.0);

  enum class Outcome { good, too_coarse, unsettled };
  /// Tries a step of this length from where things stand. On `good` the result waits in `end()`,
  /// `moved()` until it is taken or tried again.
  Outcome attempt(double length_s);

  /// A step for the pressures of closed headspaces to settle after the setting changed: a nearly
  /// full one follows its water within microseconds, a roomy one with a hole within seconds, and
  /// those first leaps are not worth following. Backward Euler, first order, keeping every litre.
  Outcome attempt_settling(double length_s);
  /// Length of the next such step; 0 when pressures move no faster than an ordinary step can
  /// follow, or no lid is closed. The first is so short that no level moves by a tenth of the
  /// tolerance; the next ones grow as long as levels keep their pace and pressures lose theirs.
  double settling_s(double at_most_s);

  /// Makes the last good attempt the present.
  void accept();

  /// Length the next attempt should have by the last error, s.
  double proposed_s() const { return proposed_s_; }
  /// A first length after a restart, from how fast levels move, s.
  double first_length_s(double at_most_s) const;

  const std::vector<double>& air_kg() const { return air_kg_; }
  const std::vector<double>& volume_m3() const { return volume_m3_; }
  const Instant& now() const { return now_; }
  const Instant& middle() const { return middle_; }
  const Instant& end() const { return end_; }
  const std::vector<double>& end_volume_m3() const { return end_volume_m3_; }
  const Moved& moved() const { return moved_; }
  const Ways& ways() const { return balance_.ways(); }
  const Effort& effort() const { return effort_; }
  double length_s() const { return length_s_; }

  /// A value `share` of the way through the last attempt, from its three instants; 0 <= share <= 1.
  static double between(double start, double middle, double end, double share);

  /// Largest rate at which any tank's depth changes now, m/s.
  double fastest_m_per_s() const;

 private:
  double first_length_s(double at_most_s, double gas_m_per_s) const;
  void flows_into_tanks(const Instant& instant, std::vector<double>& into) const;
  bool solve_stage(double weight_s, double worth_s, double time_s, Instant& guess,
                   bool closely = true);
  void air_temperatures(double time_s);
  void predict_middle(double reach_s);
  void predict_end();
  /// False if the air of a headspace is far from fitting the water that moved.
  bool move(double length_s, double share_now, double share_middle, double share_end);
  /// When a tank's level comes a little below the top of a mouth that was all under water, if it
  /// ends further below; else infinite.
  double bares_a_mouth_s(double length_s) const;
  bool sees_what_begins(double length_s);
  bool good_end();
  double at_least_a_bubble(std::size_t tank, double air_kg) const;
  bool mend_negative();
  /// What left a place most in the last attempt.
  struct Stream {
    double m3 = 0.0;
    std::size_t which = 0;
    bool is_draw = false;  ///< `which` is a draw, else an open way
  };
  Stream fattest_out_of(int place) const;
  /// How much of it could be put back.
  double put_back(int place, Stream stream, double m3);
  void find_lowest_mouths();
  bool drained_below_a_mouth() const;

  const Network& network_;
  RunOptions options_;
  Setting setting_;
  Balance balance_;
  std::vector<double> volume_m3_;
  std::vector<double> end_volume_m3_;
  std::vector<double> into_now_;
  std::vector<double> into_middle_;
  std::vector<double> into_end_;
  std::vector<double> wanted_;
  bool all_open_ = true;        // no closed lid: nothing below is used
  std::vector<double> air_kg_;  // per tank
  std::vector<double> end_air_kg_;
  std::vector<double> air_wanted_;
  std::vector<double> air_error_;
  std::vector<double> tank_air_k_;
  bool settling_ = false;            // the last attempt was a settling one
  int settled_ = 0;                  // settling steps since the setting changed
  double gas_m_per_s_ = 0.0;         // fastest pressure in the last of them
  double gas_before_m_per_s_ = 0.0;  // and in the one before
  double next_settling_s_ = 0.0;     // no longer than this, by how the levels' rates changed
  double outside_air_k_ = 0.0;
  double time_s_ = 0.0;
  double starts_clock_s_ = 0.0;
  std::vector<double> error_;
  Instant now_;
  Instant middle_;
  Instant end_;
  Instant start_;  // of a stage, to go back to
  /// How values moved over the last step, from which the next one is guessed.
  struct Course {
    std::vector<double> rate;  // per second, at its end
    std::vector<double> bend;  // per second squared, half the second derivative
    void follow(const std::vector<double>& start, const std::vector<double>& middle,
                const std::vector<double>& end, double length_s);
  };
  Course head_course_;
  Course way_course_;
  Course gas_course_;
  double course_length_s_ = 0.0;
  bool course_known_ = false;
  std::vector<double>
      lowest_mouth_m_;  // per tank: the lowest it can give water by, its lip included
  Moved moved_;
  double length_s_ = 0.0;
  double proposed_s_ = 0.0;
  Effort effort_;
};

}  // namespace tankyard

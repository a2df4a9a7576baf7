// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <deque>
#include <functional>
#include <optional>
#include <vector>

#include "plain_moment.h"

namespace plain {

/// What happens to a yard at a moment.
enum class What {
  port_uncovers,
  port_covers,
  overflow_starts,
  overflow_ends,
  rim_reached,
  top_up_starts,
  top_up_stops,
  primed,      ///< a hose with a crest, or a header
  prime_lost,  ///< likewise
  outlet_dry,  ///< a fixed draw, of which less than a hundredth comes
  outlet_wet,
  pump_starts,
  pump_stops,
  pump_starts_dry,
  pump_draws_air,
  pump_cut_out_low,
  pump_cut_out_by_pressure,
  pump_cut_out_by_time,
  folds,   ///< a headspace passes the allowed vacuum
  bulges,  ///< or the allowed pressure
  nothing
};

struct Happening {
  What what = What::nothing;
  std::size_t part = 0;
  std::optional<std::size_t> hose;  ///< whose mouth it is
  bool at_header = false;           ///< `part` of a prime is a header
  double at_s = 0.0;
  double number_per_s = 0.0;  ///< how fast the number that tells of it passed nought; 0: by order
  double fastest_m_per_s = 0.0;  ///< of any level at that moment
  bool told_only = false;        ///< nothing turned by it
  /// How far that number stood from nought before and after: a surface that only touches a mark
  /// may be told of or not.
  double beyond = 1e30;
  std::size_t watch = 0;
};

/// Pressures at which shells give, per tank; none: never.
struct Bears {
  std::vector<std::optional<double>> vacuum_pa;
  std::vector<std::optional<double>> pressure_pa;
};

/// Numbers, in metres, seconds or pascals, that pass nought when something happens, and what then
/// turns: float valves, crests and headers that fill and empty, pumps' own switches, their prime.
class Switchboard {
 public:
  Switchboard(const tankyard::Parts& parts, Moments& moments, const Bears& bears);

  std::size_t size() const { return watches_.size(); }
  double number(std::size_t k, const Instant& now) const { return watches_[k].number(now); }

  /// Turns over what stands below nought and turns at that, follows with pumps, and adds what
  /// happened. False if nothing turned.
  bool turn_all_due(const Instant& now, std::vector<Happening>& happened);
  /// The k-th number has just passed nought, downwards or upwards. Whether something turned.
  bool passed(std::size_t k, bool downwards, const Instant& now, std::vector<Happening>& happened);

  void order(std::size_t pump, bool runs, const Instant& now, std::vector<Happening>& happened);
  /// Which headers and crests stand full, and which pumps a low level holds: found once at the
  /// start.
  void begin(const Instant& now, std::vector<Happening>& happened);

 private:
  struct Watch {
    What falls = What::nothing;
    What rises = What::nothing;
    std::size_t part = 0;
    std::optional<std::size_t> hose;
    std::function<double(const Instant&)> number;
    std::function<What(const Instant&)> turn;  ///< none: only told of
    bool at_header = false;
    bool told_only = false;  ///< its turn changes nothing but what is told next
  };
  /// What has a mark to come and a lower one to go, and is only told of: a mouth under water, an
  /// overflow that runs.
  void watch_mark(What falls, What rises, std::size_t tank, std::optional<std::size_t> hose,
                  double falls_below_m, double rises_above_m, bool starts_above,
                  std::function<bool()> seen);
  struct PumpState {
    bool ordered = false;
    bool low = false;
    bool pressed = false;
    bool draws_air = false;  ///< its mouth in a tank has come bare
    bool timed_out = false;
    double started_s = 0.0;
    double pressed_s = -1e30;
  };

  void watch_tanks(const Bears& bears);
  void watch_outlets();
  void watch_top_ups();
  void watch_crests();
  void watch_headers();
  void watch_pumps();
  bool follow(const Instant& now, std::vector<Happening>& happened);
  bool water_at_inlet(std::size_t pump, const Instant& now) const;
  double mouth_over_m(std::size_t hose, std::size_t tank, const Instant& now) const;
  bool holds_its_water(std::size_t header) const;
  double loses_m(std::size_t header, const Instant& now) const;
  double fills_m(std::size_t header, const Instant& now) const;
  double bare_by_m(const tankyard::HoseEnd& end, double bore_m, const Instant& now) const;

  const tankyard::Parts& parts_;
  Moments& moments_;
  std::vector<Watch> watches_;
  std::vector<PumpState> pumps_;
  std::vector<double> header_lost_s_;
  std::deque<bool> above_;  ///< per mark of `watch_mark`
};

}  // namespace plain

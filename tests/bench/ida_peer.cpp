// SPDX-License-Identifier: MIT
#include "ida_peer.h"

#include <ida/ida.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunlinsol/sunlinsol_klu.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunmatrix/sunmatrix_sparse.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <optional>

#include "solver/link_law.h"
#include "solver/mouth.h"
#include "solver/pump_law.h"
#include "solver/spill.h"
#include "solver/suction.h"
#include "solver/vent_flow.h"
#include "solver/water.h"

namespace bench {
namespace {

using namespace tankyard;

constexpr std::size_t tanks = 12;
constexpr long most_steps = 5'000;  // of a stretch; over ten times what any good run takes
constexpr std::size_t volume = 0;
constexpr std::size_t air = tanks;
constexpr std::size_t flow = 2 * tanks;
constexpr std::size_t header = 3 * tanks;
constexpr std::size_t pump = 3 * tanks + 1;
constexpr std::size_t unknowns = 3 * tanks + 2;

void must(int flag, const char* what) {
  if (flag >= 0) return;
  std::fprintf(stderr, "SUNDIALS: %s failed with %d\n", what, flag);
  std::abort();
}

/// Slopes of the last residual, by tank.
struct Slopes {
  double loses_by_volume, loses_by_air;
  double breathes_by_volume, breathes_by_air;
  double hose_by_volume, hose_by_air, hose_by_flow, hose_by_head;
};

struct Work {
  Water water;
  double weight = 0.0;  // rho g
  double kelvin = 0.0;
  struct One {
    double area_m2, base_m, height_m, capacity_m3, mouth_m, bore_m, vent_m2, overflow_m;
    Overflow overflow;
    LossLaw hose;
  };
  std::array<One, tanks> tank;
  std::array<Slopes, tanks> slopes;
  std::optional<PumpLaw> law;
  LossLaw nozzle;
  double nozzle_m = 0.0;
  PumpTerms terms;
  double nozzle_slope = 0.0;
  double rain_m3_per_s = 0.0;
  bool ordered = false;
  bool low = false;
  double stops_m = 0.0;
  double resumes_m = 0.0;
  bool runs() const { return ordered && !low; }
};

struct Above {
  double level_m, pa, by_volume_pa, by_air_pa;
};

Above above(const Work& work, std::size_t i, double volume_m3, double air_kg) {
  const Work::One& one = work.tank[i];
  const double room = one.capacity_m3 - volume_m3;
  const double per_kg = air_gas_constant * work.kelvin / room;
  const double pa = air_kg * per_kg;
  return {one.base_m + volume_m3 / one.area_m2, pa, pa / room, per_kg};
}

int residual(realtype, N_Vector y_, N_Vector rate_, N_Vector out_, void* data) {
  Work& work = *static_cast<Work*>(data);
  const double* y = N_VGetArrayPointer(y_);
  const double* rate = N_VGetArrayPointer(rate_);
  double* out = N_VGetArrayPointer(out_);
  double into_header = 0.0;
  for (std::size_t i = 0; i < tanks; ++i) {
    const Work::One& one = work.tank[i];
    Slopes& slopes = work.slopes[i];
    const Above now = above(work, i, y[volume + i], y[air + i]);
    const double gas_m = (now.pa - work.water.atmosphere_pa) / work.weight;
    const double gas_by_volume = now.by_volume_pa / work.weight;
    const double gas_by_air = now.by_air_pa / work.weight;
    const double depth = now.level_m - one.base_m;

    double loses = 0.0;
    slopes.loses_by_volume = slopes.loses_by_air = 0.0;
    if (depth > one.overflow.height_m) {
      const GasDriven over = through_overflow_under_gas(
          depth - one.overflow.height_m, gas_m, one.overflow.bore_m, one.overflow.coefficient);
      loses = over.m3_per_s;
      slopes.loses_by_volume = over.slope_with_level_m2_per_s / one.area_m2 +
                               over.slope_with_gas_m2_per_s * gas_by_volume;
      slopes.loses_by_air = over.slope_with_gas_m2_per_s * gas_by_air;
    }
    const double roof = i == 0 ? work.rain_m3_per_s : 0.0;
    out[volume + i] = rate[volume + i] - roof + loses + y[flow + i];

    const AirFlow in =
        air_into(one.vent_m2, work.water.atmosphere_pa, work.kelvin, now.pa, work.kelvin);
    out[air + i] = rate[air + i] - in.kg_per_s;
    slopes.breathes_by_volume = in.slope_kg_per_s_pa * now.by_volume_pa;
    slopes.breathes_by_air = in.slope_kg_per_s_pa * now.by_air_pa;

    const HeadLoss lost = head_lost(one.hose, y[flow + i]);
    const bool wet = now.level_m > one.mouth_m;
    const double push = (wet ? now.level_m : one.mouth_m) + gas_m - y[header];
    double share = 1.0;
    double share_slope = 0.0;
    if (push > 0.0) {
      const Covered mouth = covered(now.level_m, one.mouth_m, one.bore_m);
      share = mouth.share * mouth.share;
      share_slope = 2.0 * mouth.share * mouth.slope_per_m;
    }
    out[flow + i] = lost.head_m - share * push;
    const double level_slope = share_slope * push + (wet ? share : 0.0);
    slopes.hose_by_volume = -(level_slope / one.area_m2 + share * gas_by_volume);
    slopes.hose_by_air = -share * gas_by_air;
    slopes.hose_by_flow = lost.slope_m_per_m3_per_s;
    slopes.hose_by_head = share;
    into_header += y[flow + i];
  }
  out[header] = into_header - y[pump];
  if (work.runs()) {
    const HeadLoss jet = head_lost(work.nozzle, y[pump]);
    work.terms = pump_terms(*work.law, y[pump], y[header], work.nozzle_m + jet.head_m);
    work.nozzle_slope = jet.slope_m_per_m3_per_s;
    out[pump] = work.terms.residual_m;
  } else {
    work.terms = PumpTerms{0.0, 1.0, 0.0, 0.0};
    work.nozzle_slope = 0.0;
    out[pump] = y[pump];
  }
  return 0;
}

/// The entries of the Jacobian by columns; `put(row, column, value)`.
template <class Put>
void jacobian_entries(const Work& work, double c, Put put) {
  for (std::size_t i = 0; i < tanks; ++i) {
    const Slopes& s = work.slopes[i];
    put(volume + i, volume + i, c + s.loses_by_volume);
    put(air + i, volume + i, -s.breathes_by_volume);
    put(flow + i, volume + i, s.hose_by_volume);
  }
  for (std::size_t i = 0; i < tanks; ++i) {
    const Slopes& s = work.slopes[i];
    put(volume + i, air + i, s.loses_by_air);
    put(air + i, air + i, c - s.breathes_by_air);
    put(flow + i, air + i, s.hose_by_air);
  }
  for (std::size_t i = 0; i < tanks; ++i) {
    put(volume + i, flow + i, 1.0);
    put(flow + i, flow + i, work.slopes[i].hose_by_flow);
    put(header, flow + i, 1.0);
  }
  for (std::size_t i = 0; i < tanks; ++i) put(flow + i, header, work.slopes[i].hose_by_head);
  put(pump, header, work.terms.with_inlet);
  put(header, pump, -1.0);
  put(pump, pump, work.terms.with_flow_m_per_m3_per_s + work.terms.with_outlet * work.nozzle_slope);
}
constexpr std::size_t entries = 9 * tanks + tanks + 3;

/// IDA asks for it where it has just asked for the residual.
int jacobian_sparse(realtype, realtype c, N_Vector, N_Vector, N_Vector, SUNMatrix matrix,
                    void* data, N_Vector, N_Vector, N_Vector) {
  sunindextype* starts = SUNSparseMatrix_IndexPointers(matrix);
  sunindextype* rows = SUNSparseMatrix_IndexValues(matrix);
  double* values = SUNSparseMatrix_Data(matrix);
  sunindextype at = 0;
  std::size_t column = 0;
  starts[0] = 0;
  jacobian_entries(*static_cast<const Work*>(data), c,
                   [&](std::size_t row, std::size_t of, double value) {
                     while (column < of) starts[++column] = at;
                     rows[at] = static_cast<sunindextype>(row);
                     values[at++] = value;
                   });
  while (column < unknowns) starts[++column] = at;
  return 0;
}

int jacobian_dense(realtype, realtype c, N_Vector, N_Vector, N_Vector, SUNMatrix matrix, void* data,
                   N_Vector, N_Vector, N_Vector) {
  SUNMatZero(matrix);
  jacobian_entries(*static_cast<const Work*>(data), c,
                   [&](std::size_t row, std::size_t column, double value) {
                     SUNDenseMatrix_Column(matrix, static_cast<sunindextype>(column))[row] = value;
                   });
  return 0;
}

int roots(realtype, N_Vector y, N_Vector, realtype* out, void* data) {
  const Work& work = *static_cast<const Work*>(data);
  const double depth = N_VGetArrayPointer(y)[volume] / work.tank[0].area_m2;
  out[0] = depth - (work.low ? work.resumes_m : work.stops_m);
  return 0;
}

Work make_work(const FullDay& day) {
  Work work;
  const Parts& parts = day.parts;
  work.water = water_at(parts.site.water_temperature_degc, parts.site.altitude_m);
  work.weight = work.water.density_kg_per_m3 * gravity_m_per_s2;
  work.kelvin = 273.15 + parts.site.air_temperature_degc;
  const double viscosity = work.water.kinematic_viscosity_m2_per_s;
  for (std::size_t i = 0; i < tanks; ++i) {
    const Tank& tank = parts.tanks[i];
    const Hose& hose = parts.hoses[i];
    Work::One& one = work.tank[i];
    one.area_m2 = std::get<Prism>(tank.shape).area_m2;
    one.height_m = std::get<Prism>(tank.shape).height_m;
    one.base_m = tank.base_m;
    one.capacity_m3 = capacity_m3(tank.shape);
    one.mouth_m = mouth_m(parts, hose.from);
    one.bore_m = hose.bore_m;
    one.vent_m2 = effective_area_m2(tank.lid);
    one.overflow = *tank.overflow;
    one.hose = hose_law(hose.bore_m, hose.length_m, hose.roughness_m, hose.loss_k + 1.5, viscosity);
  }
  const Pump& pump_part = parts.pumps[0];
  work.law.emplace(PumpLaw{PumpCurve(pump_part.curve),
                           {boils_at_head_m(work.water, parts.headers[0].height_m),
                            NpshRequired(pump_part.npsh_required)}});
  work.nozzle = hole_law(*parts.outlets[0].bore_m, parts.outlets[0].coefficient, viscosity);
  work.nozzle_m = *parts.outlets[0].height_m;
  work.stops_m = pump_part.stops_below->depth_m;
  work.resumes_m = pump_part.stops_below->resumes_depth_m;
  return work;
}

/// The pump's flow against its nozzle from a head at its inlet, by halving and secants.
double pumped(const Work& work, double inlet_m) {
  if (!work.runs()) return 0.0;
  double low = 0.0;
  double high = work.law->curve.free_flow_m3_per_s();
  const auto over = [&](double q) {
    return pump_terms(*work.law, q, inlet_m, work.nozzle_m + head_lost(work.nozzle, q).head_m)
        .residual_m;
  };
  double at_low = over(low);
  double at_high = over(high);
  for (int turn = 0; turn < 60 && high - low > 1e-12; ++turn) {
    double q = low - at_low * (high - low) / (at_high - at_low);
    if (turn % 3 == 2) q = 0.5 * (low + high);
    const double value = over(q);
    (value > 0.0 ? high : low) = q;
    (value > 0.0 ? at_high : at_low) = value;
    if (std::fabs(value) < 1e-10) return q;
  }
  return 0.5 * (low + high);
}

/// Flows, head and rates that meet the equations at the volumes and masses in `y`: without them IDA
/// would begin with steps that fail. Some ten searches of the header's head.
void make_consistent(const Work& work, double* y, double* rate) {
  std::array<double, tanks> head;
  std::array<double, tanks> share;
  for (std::size_t i = 0; i < tanks; ++i) {
    const Work::One& one = work.tank[i];
    const Above now = above(work, i, y[volume + i], y[air + i]);
    head[i] =
        std::max(now.level_m, one.mouth_m) + (now.pa - work.water.atmosphere_pa) / work.weight;
    const double covers = covered(now.level_m, one.mouth_m, one.bore_m).share;
    share[i] = covers * covers;
  }
  const auto comes = [&](double at_m) {
    double sum = -(y[pump] = pumped(work, at_m));
    for (std::size_t i = 0; i < tanks; ++i) {
      const double push = head[i] - at_m;
      sum += y[flow + i] = flow_at(work.tank[i].hose, push > 0.0 ? share[i] * push : push);
    }
    return sum;
  };
  double low = *std::min_element(head.begin(), head.end()) - 12.0;
  double high = *std::max_element(head.begin(), head.end());
  double at_low = comes(low);
  double at_high = comes(high);
  int side = 0;
  for (int turn = 0; turn < 100 && high - low > 1e-11; ++turn) {
    const double at = low + at_low * (high - low) / (at_low - at_high);
    const double value = comes(at);
    y[header] = at;
    if (std::fabs(value) < 1e-12) break;
    if (value > 0.0) {
      low = at, at_low = value;
      if (side == 1) at_high *= 0.5;
      side = 1;
    } else {
      high = at, at_high = value;
      if (side == -1) at_low *= 0.5;
      side = -1;
    }
  }
  std::fill(rate, rate + unknowns, 0.0);
}

struct Handles {
  SUNContext context = nullptr;
  N_Vector y = nullptr;
  N_Vector rate = nullptr;
  N_Vector tolerance = nullptr;
  N_Vector differential = nullptr;
  N_Vector between = nullptr;
  SUNMatrix matrix = nullptr;
  SUNLinearSolver linear = nullptr;
  void* ida = nullptr;

  Handles() { must(SUNContext_Create(nullptr, &context), "SUNContext_Create"); }
  Handles(const Handles&) = delete;
  Handles& operator=(const Handles&) = delete;
  ~Handles() {
    if (ida) IDAFree(&ida);
    if (linear) SUNLinSolFree(linear);
    if (matrix) SUNMatDestroy(matrix);
    for (N_Vector one : {y, rate, tolerance, differential, between}) {
      if (one) N_VDestroy(one);
    }
    SUNContext_Free(&context);
  }
};

void add_statistics(void* ida, IdaStatistics& sum) {
  long steps, residuals, setups, errors, turns, failures, jacobians;
  int last_order, this_order;
  double first, last, next, now;
  must(IDAGetIntegratorStats(ida, &steps, &residuals, &setups, &errors, &last_order, &this_order,
                             &first, &last, &next, &now),
       "IDAGetIntegratorStats");
  must(IDAGetNonlinSolvStats(ida, &turns, &failures), "IDAGetNonlinSolvStats");
  must(IDAGetNumJacEvals(ida, &jacobians), "IDAGetNumJacEvals");
  sum.steps += steps;
  sum.residuals += residuals;
  sum.jacobians += jacobians;
  sum.newton_turns += turns;
  sum.error_failures += errors;
  sum.newton_failures += failures;
  sum.highest_order = std::max(sum.highest_order, last_order);
}

void quiet(int, const char*, const char*, char*, void*) {}

}  // namespace

const char* name_of(IdaSettings::Linear linear) {
  switch (linear) {
    case IdaSettings::Linear::klu:
      return "KLU, our Jacobian";
    case IdaSettings::Linear::dense:
      return "dense, our Jacobian";
    case IdaSettings::Linear::dense_by_differences:
      return "dense, by differences";
  }
  return "";
}

IdaStatistics run_ida(const FullDay& day, const IdaSettings& settings, Depths* depths,
                      std::vector<double>* turned_s) {
  Work work = make_work(day);
  Handles handles;
  constexpr auto size = static_cast<sunindextype>(unknowns);
  handles.y = N_VNew_Serial(size, handles.context);
  for (N_Vector* one :
       {&handles.rate, &handles.tolerance, &handles.differential, &handles.between}) {
    *one = N_VClone(handles.y);
  }
  double* y = N_VGetArrayPointer(handles.y);
  double* rate = N_VGetArrayPointer(handles.rate);
  double* tolerance = N_VGetArrayPointer(handles.tolerance);
  double* differential = N_VGetArrayPointer(handles.differential);
  for (std::size_t i = 0; i < tanks; ++i) {
    const Work::One& one = work.tank[i];
    y[volume + i] = day.parts.tanks[i].water_m3;
    const double room = one.capacity_m3 - y[volume + i];
    y[air + i] = work.water.atmosphere_pa * room / (air_gas_constant * work.kelvin);
    tolerance[volume + i] = settings.tolerance_m * one.area_m2;
    tolerance[air + i] = settings.tolerance_m * settings.air_share * work.weight * room /
                         (air_gas_constant * work.kelvin);
    tolerance[flow + i] = settings.flow_m3_per_s;
    differential[volume + i] = differential[air + i] = 1.0;
    differential[flow + i] = 0.0;
  }
  tolerance[header] = 1e3 * settings.flow_m3_per_s;
  tolerance[pump] = settings.flow_m3_per_s;
  differential[header] = differential[pump] = 0.0;
  const auto begin = [&] {
    make_consistent(work, y, rate);
    residual(0.0, handles.y, handles.rate, handles.between, &work);
    const double* amiss = N_VGetArrayPointer(handles.between);
    for (std::size_t i = 0; i < 2 * tanks; ++i) rate[i] = -amiss[i];
  };

  handles.ida = IDACreate(handles.context);
  must(IDAInit(handles.ida, residual, 0.0, handles.y, handles.rate), "IDAInit");
  must(IDASetErrHandlerFn(handles.ida, quiet, nullptr), "IDASetErrHandlerFn");
  must(IDASVtolerances(handles.ida, 0.0, handles.tolerance), "IDASVtolerances");
  must(IDASetUserData(handles.ida, &work), "IDASetUserData");
  must(IDASetId(handles.ida, handles.differential), "IDASetId");
  must(IDASetSuppressAlg(handles.ida, SUNTRUE), "IDASetSuppressAlg");
  must(IDASetMaxNonlinIters(handles.ida, 8), "IDASetMaxNonlinIters");
  must(IDASetMaxConvFails(handles.ida, 30), "IDASetMaxConvFails");
  must(IDASetMaxNumSteps(handles.ida, most_steps), "IDASetMaxNumSteps");
  if (settings.linear == IdaSettings::Linear::klu) {
    handles.matrix =
        SUNSparseMatrix(size, size, static_cast<sunindextype>(entries), CSC_MAT, handles.context);
    handles.linear = SUNLinSol_KLU(handles.y, handles.matrix, handles.context);
  } else {
    handles.matrix = SUNDenseMatrix(size, size, handles.context);
    handles.linear = SUNLinSol_Dense(handles.y, handles.matrix, handles.context);
  }
  must(IDASetLinearSolver(handles.ida, handles.linear, handles.matrix), "IDASetLinearSolver");
  if (settings.linear == IdaSettings::Linear::klu) {
    must(IDASetJacFn(handles.ida, jacobian_sparse), "IDASetJacFn");
  } else if (settings.linear == IdaSettings::Linear::dense) {
    must(IDASetJacFn(handles.ida, jacobian_dense), "IDASetJacFn");
  }
  must(IDARootInit(handles.ida, 1, roots), "IDARootInit");

  IdaStatistics statistics;
  if (depths) {
    depths->clear();
    for (std::size_t i = 0; i < tanks; ++i) {
      depths->push_back(y[volume + i] / work.tank[i].area_m2);
    }
  }
  double now = 0.0;
  double next_check = check_every_s;
  std::size_t next = 0;
  int tries_left = 5;
  const auto check = [&](double until) {
    if (!depths) return;
    for (; next_check <= until; next_check += check_every_s) {
      must(IDAGetDky(handles.ida, next_check, 0, handles.between), "IDAGetDky");
      const double* at = N_VGetArrayPointer(handles.between);
      for (std::size_t i = 0; i < tanks; ++i) {
        depths->push_back(at[volume + i] / work.tank[i].area_m2);
      }
    }
  };
  while (now < day.sheet.lasts_s) {
    for (; next < day.sheet.steps.size() && day.sheet.steps[next].at_s <= now; ++next) {
      for (const Action& action : day.sheet.steps[next].actions) {
        work.ordered = action.does == Action::Does::start;
      }
      if (const auto& rain = day.sheet.steps[next].rain_m_per_s) {
        const Roof& roof = day.parts.roofs[0];
        work.rain_m3_per_s = *rain * roof.area_m2 * roof.runoff_fraction;
      }
    }
    const double stop =
        next < day.sheet.steps.size() ? day.sheet.steps[next].at_s : day.sheet.lasts_s;
    begin();
    if (now > 0.0) add_statistics(handles.ida, statistics);
    must(IDAReInit(handles.ida, now, handles.y, handles.rate), "IDAReInit");
    must(IDASetInitStep(handles.ida, 0.0), "IDASetInitStep");
    must(IDASetStopTime(handles.ida, stop), "IDASetStopTime");
    long stretch = 0;
    for (;;) {
      const int got = IDASolve(handles.ida, stop, &now, handles.y, handles.rate,
                               depths ? IDA_ONE_STEP : IDA_NORMAL);
      if (got == IDA_TOO_MUCH_WORK || ++stretch > most_steps) tries_left = 0;
      if (got < 0 && tries_left-- > 0) {
        // Its Newton turns went in circles: begin again from where it stands, with a small step.
        ++statistics.restarts;
        begin();
        add_statistics(handles.ida, statistics);
        must(IDAReInit(handles.ida, now, handles.y, handles.rate), "IDAReInit");
        must(IDASetInitStep(handles.ida, 1e-3), "IDASetInitStep");
        continue;
      }
      if (got < 0 || stretch > most_steps) {
        statistics.stuck = true;
        return statistics;
      }
      check(now);
      if (got == IDA_ROOT_RETURN) {
        work.low = !work.low;
        ++statistics.roots;
        if (turned_s) turned_s->push_back(now);
        break;
      }
      if (got == IDA_TSTOP_RETURN || now >= stop) {
        now = stop;
        break;
      }
    }
  }
  add_statistics(handles.ida, statistics);
  return statistics;
}

}  // namespace bench

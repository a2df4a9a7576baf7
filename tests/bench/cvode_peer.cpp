// SPDX-License-Identifier: MIT
#include "cvode_peer.h"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_version.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunlinsol/sunlinsol_klu.h>
#include <sunmatrix/sunmatrix_band.h>
#include <sunmatrix/sunmatrix_sparse.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "solver/friction.h"
#include "solver/water.h"

namespace bench {
namespace {

constexpr double end_losses_k = 1.5;  // entry 0.5, exit 1.0
constexpr int most_turns = 12;
// A Newton turn that would follow one of this share changes the flow by about the square of it.
// Found by trial for the peer's best time: 1e-1 takes more steps, 1e-3 to 1e-5 more turns a flow.
constexpr double close_enough = 1e-2;
constexpr double close_enough_for_truth = 1e-5;
constexpr double truth_below_m = 1e-9;
constexpr double no_flow_m3_per_s = 1e-13;

void must(int flag, const char* what) {
  if (flag >= 0) return;
  std::fprintf(stderr, "SUNDIALS: %s failed with %d\n", what, flag);
  std::abort();
}

struct Work {
  int tanks = 0;
  int group = 0;
  double close_enough = 0.0;
  double tap = 0.0;
  double roof = 0.0;
  std::vector<tankyard::HoseLoss> hoses;
  std::vector<double> flow;         // of the last call, where the next one starts
  std::vector<double> conductance;  // d flow / d head, of the last call
  long long flows = 0;
  long long friction_turns = 0;
};

/// Flow of a hose from the head across it.
inline void find_flow(Work& work, std::size_t k, double head_m) {
  const tankyard::HoseLoss& hose = work.hoses[k];
  double flow = work.flow[k];
  ++work.flows;
  for (int turn = 0; turn < most_turns; ++turn) {
    const tankyard::HeadLoss loss = tankyard::head_lost(hose, flow);
    ++work.friction_turns;
    const double share = head_m / loss.head_m;
    if (turn == 0 && head_m != 0.0 && !(share > 0.25 && share < 4.0)) {
      // Far off, as after a change of tap: a first guess is better than the last flow.
      const double head = std::fabs(head_m);
      const double c = hose.laminar_slope;
      const double laminar = 2.0 * head / (c + std::sqrt(c * c + 4.0 * hose.fittings * head));
      const double turbulent = std::sqrt(head / (0.03 * hose.friction + hose.fittings));
      flow = std::copysign(std::min(laminar, turbulent), head_m);
      continue;
    }
    const double change = (head_m - loss.head_m) / loss.slope_m_per_m3_per_s;
    flow += change;
    if (std::fabs(change) <= work.close_enough * std::fabs(flow) + no_flow_m3_per_s) {
      work.flow[k] = flow;
      work.conductance[k] = 1.0 / loss.slope_m_per_m3_per_s;
      return;
    }
  }
  // Newton went in circles, about Re 2000 as a rule: the sure way.
  flow = tankyard::flow_at(hose, head_m);
  work.flow[k] = flow;
  work.conductance[k] = 1.0 / tankyard::head_lost(hose, flow).slope_m_per_m3_per_s;
}

int right_hand_side(realtype, N_Vector y, N_Vector ydot, void* data) {
  Work& work = *static_cast<Work*>(data);
  const double* depth = N_VGetArrayPointer(y);
  double* rate = N_VGetArrayPointer(ydot);
  const auto tanks = static_cast<std::size_t>(work.tanks);
  double before = 0.0;
  for (std::size_t k = 0; k + 1 < tanks; ++k) {
    find_flow(work, k, depth[k] - depth[k + 1]);
    rate[k] = before - work.flow[k];
    before = work.flow[k];
  }
  rate[tanks - 1] = before;
  if (work.tap > 0.0 || work.roof > 0.0) {
    const auto group = static_cast<std::size_t>(work.group);
    for (std::size_t first = 0; first < tanks; first += group) {
      rate[first] -= work.tap;
      rate[first + group - 1] += work.roof;
    }
  }
  static_assert(tank_area_m2 == 1.0, "flows are rates of depth only then");
  return 0;
}

/// CVODE asks for the Jacobian at the depths it has just asked the right-hand side for.
int jacobian_sparse(realtype, N_Vector, N_Vector, SUNMatrix matrix, void* data, N_Vector, N_Vector,
                    N_Vector) {
  const Work& work = *static_cast<const Work*>(data);
  sunindextype* starts = SUNSparseMatrix_IndexPointers(matrix);
  sunindextype* rows = SUNSparseMatrix_IndexValues(matrix);
  double* values = SUNSparseMatrix_Data(matrix);
  sunindextype at = 0;
  for (int column = 0; column < work.tanks; ++column) {
    starts[column] = at;
    const double left = column > 0 ? work.conductance[static_cast<std::size_t>(column) - 1] : 0.0;
    const double right =
        column + 1 < work.tanks ? work.conductance[static_cast<std::size_t>(column)] : 0.0;
    if (column > 0) rows[at] = column - 1, values[at++] = left;
    rows[at] = column, values[at++] = -left - right;
    if (column + 1 < work.tanks) rows[at] = column + 1, values[at++] = right;
  }
  starts[work.tanks] = at;
  return 0;
}

int jacobian_band(realtype, N_Vector, N_Vector, SUNMatrix matrix, void* data, N_Vector, N_Vector,
                  N_Vector) {
  const Work& work = *static_cast<const Work*>(data);
  for (int column = 0; column < work.tanks; ++column) {
    const double left = column > 0 ? work.conductance[static_cast<std::size_t>(column) - 1] : 0.0;
    const double right =
        column + 1 < work.tanks ? work.conductance[static_cast<std::size_t>(column)] : 0.0;
    double* values = SUNBandMatrix_Column(matrix, column);
    if (column > 0) SM_COLUMN_ELEMENT_B(values, column - 1, column) = left;
    SM_COLUMN_ELEMENT_B(values, column, column) = -left - right;
    if (column + 1 < work.tanks) SM_COLUMN_ELEMENT_B(values, column + 1, column) = right;
  }
  return 0;
}

/// The C library's handles, freed in the right order.
struct Handles {
  SUNContext context = nullptr;
  N_Vector depths = nullptr;
  N_Vector between = nullptr;
  SUNMatrix matrix = nullptr;
  SUNLinearSolver linear = nullptr;
  void* cvode = nullptr;

  Handles() { must(SUNContext_Create(nullptr, &context), "SUNContext_Create"); }
  Handles(const Handles&) = delete;
  Handles& operator=(const Handles&) = delete;
  ~Handles() {
    if (cvode) CVodeFree(&cvode);
    if (linear) SUNLinSolFree(linear);
    if (matrix) SUNMatDestroy(matrix);
    if (between) N_VDestroy(between);
    if (depths) N_VDestroy(depths);
    SUNContext_Free(&context);
  }
};

/// Counters start again with every restart, so they are added up before each.
void add_statistics(void* cvode, PeerStatistics& sum) {
  long steps, rhs, setups, errors, turns, failures, jacobians;
  int last_order, this_order;
  double first, last, next, now;
  must(CVodeGetIntegratorStats(cvode, &steps, &rhs, &setups, &errors, &last_order, &this_order,
                               &first, &last, &next, &now),
       "CVodeGetIntegratorStats");
  must(CVodeGetNonlinSolvStats(cvode, &turns, &failures), "CVodeGetNonlinSolvStats");
  must(CVodeGetNumJacEvals(cvode, &jacobians), "CVodeGetNumJacEvals");
  sum.steps += steps;
  sum.right_hand_sides += rhs;
  sum.factorisations += setups;
  sum.error_failures += errors;
  sum.newton_turns += turns;
  sum.newton_failures += failures;
  sum.jacobians += jacobians;
  sum.highest_order = std::max(sum.highest_order, last_order);
}

}  // namespace

const char* name_of(PeerSettings::Solver solver) {
  switch (solver) {
    case PeerSettings::Solver::klu_colamd:
      return "KLU, COLAMD order";
    case PeerSettings::Solver::klu_amd:
      return "KLU, AMD order";
    case PeerSettings::Solver::klu_natural:
      return "KLU, natural order";
    case PeerSettings::Solver::band:
      return "band";
  }
  return "";
}

PeerStatistics run_peer(const Chain& chain, const PeerSettings& settings, Depths* depths,
                        Depths* end_m) {
  Work work;
  work.tanks = chain.tanks;
  work.group = chain.group();
  work.close_enough = settings.tolerance_m < truth_below_m ? close_enough_for_truth : close_enough;
  const double viscosity = tankyard::water_at(degc, 0.0).kinematic_viscosity_m2_per_s;
  for (std::size_t k = 0; k < chain.bore_m.size(); ++k) {
    work.hoses.push_back(tankyard::hose_loss(chain.bore_m[k], chain.length_m[k], roughness_m,
                                             fittings_k + end_losses_k, viscosity));
    work.flow.push_back(0.0);
  }
  work.conductance = work.flow;

  Handles handles;
  handles.depths = N_VNew_Serial(chain.tanks, handles.context);
  std::copy(chain.start_m.begin(), chain.start_m.end(), N_VGetArrayPointer(handles.depths));
  handles.cvode = CVodeCreate(CV_BDF, handles.context);
  must(CVodeInit(handles.cvode, right_hand_side, 0.0, handles.depths), "CVodeInit");
  must(CVodeSStolerances(handles.cvode, 0.0, settings.tolerance_m), "CVodeSStolerances");
  must(CVodeSetUserData(handles.cvode, &work), "CVodeSetUserData");
  must(CVodeSetMaxNumSteps(handles.cvode, 100'000'000), "CVodeSetMaxNumSteps");
  if (settings.solver == PeerSettings::Solver::band) {
    handles.matrix = SUNBandMatrix(chain.tanks, 1, 1, handles.context);
    handles.linear = SUNLinSol_Band(handles.depths, handles.matrix, handles.context);
    must(CVodeSetLinearSolver(handles.cvode, handles.linear, handles.matrix), "linear solver");
    must(CVodeSetJacFn(handles.cvode, jacobian_band), "CVodeSetJacFn");
  } else {
    handles.matrix =
        SUNSparseMatrix(chain.tanks, chain.tanks, 3 * chain.tanks, CSC_MAT, handles.context);
    handles.linear = SUNLinSol_KLU(handles.depths, handles.matrix, handles.context);
    const int order = settings.solver == PeerSettings::Solver::klu_amd      ? 0
                      : settings.solver == PeerSettings::Solver::klu_colamd ? 1
                                                                            : 2;
    must(SUNLinSol_KLUSetOrdering(handles.linear, order), "SUNLinSol_KLUSetOrdering");
    must(CVodeSetLinearSolver(handles.cvode, handles.linear, handles.matrix), "linear solver");
    must(CVodeSetJacFn(handles.cvode, jacobian_sparse), "CVodeSetJacFn");
  }

  PeerStatistics statistics;
  const auto tanks = static_cast<std::size_t>(chain.tanks);
  if (depths) {
    handles.between = N_VNew_Serial(chain.tanks, handles.context);
    depths->clear();
    depths->insert(depths->end(), chain.start_m.begin(), chain.start_m.end());
  }
  double time_s = 0.0;
  double next_check_s = check_every_s;
  for (const Chain::Stretch& stretch : chain.stretches) {
    work.tap = stretch.tap_m3_per_s;
    work.roof = stretch.roof_m3_per_s;
    if (time_s > 0.0) {
      add_statistics(handles.cvode, statistics);
      must(CVodeReInit(handles.cvode, time_s, handles.depths), "CVodeReInit");
    }
    must(CVodeSetStopTime(handles.cvode, stretch.until_s), "CVodeSetStopTime");
    if (!depths) {
      must(CVode(handles.cvode, stretch.until_s, handles.depths, &time_s, CV_NORMAL), "CVode");
      continue;
    }
    while (time_s < stretch.until_s) {
      must(CVode(handles.cvode, stretch.until_s, handles.depths, &time_s, CV_ONE_STEP), "CVode");
      for (; next_check_s <= time_s; next_check_s += check_every_s) {
        must(CVodeGetDky(handles.cvode, next_check_s, 0, handles.between), "CVodeGetDky");
        const double* depth = N_VGetArrayPointer(handles.between);
        depths->insert(depths->end(), depth, depth + tanks);
      }
    }
  }
  add_statistics(handles.cvode, statistics);
  statistics.flows = work.flows;
  statistics.friction_turns = work.friction_turns;
  if (end_m) {
    const double* depth = N_VGetArrayPointer(handles.depths);
    end_m->assign(depth, depth + tanks);
  }
  return statistics;
}

std::string peer_version() {
  char version[64];
  SUNDIALSGetVersion(version, sizeof version);
  return version;
}

}  // namespace bench

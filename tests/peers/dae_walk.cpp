// SPDX-License-Identifier: MIT
#include "dae_walk.h"

#include <idas/idas.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>

namespace plain {
namespace {

void must(int flag, const char* what) {
  if (flag >= 0) return;
  std::fprintf(stderr, "IDAS: %s failed with %d\n", what, flag);
  std::abort();
}

std::vector<double> copied(N_Vector from) {
  const double* first = N_VGetArrayPointer(from);
  return {first, first + N_VGetLength(from)};
}

void copy(const std::vector<double>& from, N_Vector to) {
  std::copy(from.begin(), from.end(), N_VGetArrayPointer(to));
}

void keep_quiet(int, const char*, const char*, char*, void*) {}

}  // namespace

struct DaeWalk::Inside {
  DaeSystem system;
  sundials::Context context;
  void* ida = nullptr;
  N_Vector y = nullptr;
  N_Vector slope = nullptr;
  N_Vector absolute = nullptr;
  N_Vector is_differential = nullptr;
  N_Vector counted = nullptr;
  N_Vector scratch = nullptr;
  SUNMatrix matrix = nullptr;
  SUNLinearSolver solver = nullptr;
  double now = 0.0;
  std::vector<double> y_out;
  std::vector<double> counted_out;

  static int amiss(double t, N_Vector y, N_Vector slope, N_Vector out, void* self) {
    static_cast<Inside*>(self)->system.amiss(t, N_VGetArrayPointer(y), N_VGetArrayPointer(slope),
                                             N_VGetArrayPointer(out));
    return 0;
  }
  static int rates(double t, N_Vector y, N_Vector, N_Vector out, void* self) {
    static_cast<Inside*>(self)->system.rates(t, N_VGetArrayPointer(y), N_VGetArrayPointer(out));
    return 0;
  }
  static int watch(double t, N_Vector y, N_Vector, double* out, void* self) {
    static_cast<Inside*>(self)->system.watch(t, N_VGetArrayPointer(y), out);
    return 0;
  }
};

DaeWalk::DaeWalk(DaeSystem system, double relative) : inside_(std::make_unique<Inside>()) {
  Inside& in = *inside_;
  in.system = std::move(system);
  const auto size = static_cast<sunindextype>(in.system.differential.size());
  in.y = N_VNew_Serial(size, in.context);
  for (N_Vector* vector : {&in.slope, &in.absolute, &in.is_differential, &in.scratch}) {
    *vector = N_VClone(in.y);
  }
  in.counted = N_VNew_Serial(static_cast<sunindextype>(in.system.counted), in.context);
  N_VConst(0.0, in.y);
  N_VConst(0.0, in.slope);
  N_VConst(0.0, in.counted);
  copy(in.system.absolute, in.absolute);
  for (std::size_t i = 0; i < in.system.differential.size(); ++i) {
    N_VGetArrayPointer(in.is_differential)[i] = in.system.differential[i] ? 1.0 : 0.0;
  }

  in.ida = IDACreate(in.context);
  must(IDAInit(in.ida, Inside::amiss, 0.0, in.y, in.slope), "IDAInit");
  must(IDASetUserData(in.ida, &in), "IDASetUserData");
  must(IDASetErrHandlerFn(in.ida, keep_quiet, nullptr), "IDASetErrHandlerFn");
  must(IDASVtolerances(in.ida, relative, in.absolute), "IDASVtolerances");
  must(IDASetId(in.ida, in.is_differential), "IDASetId");
  // Flows leap when a mouth comes bare. What passes is held to the tolerance where it is counted.
  must(IDASetSuppressAlg(in.ida, SUNTRUE), "IDASetSuppressAlg");
  in.matrix = SUNDenseMatrix(size, size, in.context);
  in.solver = SUNLinSol_Dense(in.y, in.matrix, in.context);
  must(IDASetLinearSolver(in.ida, in.solver, in.matrix), "IDASetLinearSolver");
  must(IDASetMaxNonlinIters(in.ida, 20), "IDASetMaxNonlinIters");
  if (in.system.counted > 0) {
    must(IDAQuadInit(in.ida, Inside::rates, in.counted), "IDAQuadInit");
    must(IDAQuadSStolerances(in.ida, relative, in.system.absolute_counted), "IDAQuadSStolerances");
    must(IDASetQuadErrCon(in.ida, SUNTRUE), "IDASetQuadErrCon");
  }
  if (in.system.watched > 0) {
    must(IDARootInit(in.ida, static_cast<int>(in.system.watched), Inside::watch), "IDARootInit");
  }
}

DaeWalk::~DaeWalk() {
  Inside& in = *inside_;
  IDAFree(&in.ida);
  SUNLinSolFree(in.solver);
  SUNMatDestroy(in.matrix);
  for (N_Vector vector :
       {in.y, in.slope, in.absolute, in.is_differential, in.counted, in.scratch}) {
    N_VDestroy(vector);
  }
}

void DaeWalk::start(double t, const std::vector<double>& y, const std::vector<double>& slope,
                    std::optional<double> first_step_s) {
  Inside& in = *inside_;
  copy(y, in.y);
  copy(slope, in.slope);
  must(IDAReInit(in.ida, t, in.y, in.slope), "IDAReInit");
  must(IDASetInitStep(in.ida, first_step_s.value_or(0.0)), "IDASetInitStep");
  if (in.system.counted > 0) must(IDAQuadReInit(in.ida, in.counted), "IDAQuadReInit");
  in.now = t;
  in.y_out = y;
  in.counted_out = copied(in.counted);
}

DaeWalk::Got DaeWalk::step(double stop_s) {
  Inside& in = *inside_;
  must(IDASetStopTime(in.ida, stop_s), "IDASetStopTime");
  const int flag = IDASolve(in.ida, stop_s, &in.now, in.y, in.slope, IDA_ONE_STEP);
  in.y_out = copied(in.y);
  if (in.system.counted > 0) {
    double at = 0.0;
    must(IDAGetQuad(in.ida, &at, in.counted), "IDAGetQuad");
    in.counted_out = copied(in.counted);
  }
  if (flag < 0) return Got::stuck;
  if (flag == IDA_ROOT_RETURN) return Got::watched;
  return flag == IDA_TSTOP_RETURN ? Got::stop : Got::step;
}

double DaeWalk::now() const { return inside_->now; }
const std::vector<double>& DaeWalk::y() const { return inside_->y_out; }
const std::vector<double>& DaeWalk::counted() const { return inside_->counted_out; }

std::vector<double> DaeWalk::y_at(double t) const {
  must(IDAGetDky(inside_->ida, t, 0, inside_->scratch), "IDAGetDky");
  return copied(inside_->scratch);
}

double DaeWalk::last_step_s() const {
  double length = 0.0;
  must(IDAGetLastStep(inside_->ida, &length), "IDAGetLastStep");
  return length;
}

double DaeWalk::stepped_to_s() const {
  double t = 0.0;
  must(IDAGetCurrentTime(inside_->ida, &t), "IDAGetCurrentTime");
  return t;
}

std::vector<int> DaeWalk::passed() const {
  std::vector<int> which(inside_->system.watched, 0);
  must(IDAGetRootInfo(inside_->ida, which.data()), "IDAGetRootInfo");
  return which;
}

}  // namespace plain

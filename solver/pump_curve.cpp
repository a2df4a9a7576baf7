// SPDX-License-Identifier: MIT
#include "solver/pump_curve.h"

#include <cmath>
#include <utility>

#include "graph/breach.h"

namespace tankyard {
namespace {

constexpr double least_slope_share = 0.05;
constexpr double rests_below_share = 1e-4;  // of the free flow

}  // namespace

PumpCurve::PumpCurve(const std::vector<CurvePoint>& points) {
  require("PumpCurve", points.size() >= 2, "two points or more");
  require("PumpCurve", points[0].flow_m3_per_s >= 0.0, "flows of 0 or more");
  require("PumpCurve", points[0].head_m > 0.0, "a first head over 0");
  std::vector<double> flow, loss;
  for (const CurvePoint& point : points) {
    require("PumpCurve", std::isfinite(point.flow_m3_per_s) && std::isfinite(point.head_m),
            "finite points");
    require("PumpCurve", flow.empty() || point.flow_m3_per_s > flow.back(), "rising flows");
    flow.push_back(point.flow_m3_per_s);
    loss.push_back(points[0].head_m - point.head_m);
    require("PumpCurve", loss.size() < 2 || loss.back() > loss[loss.size() - 2], "falling heads");
  }
  loss_ = monotone_cubic(std::move(flow), std::move(loss), least_slope_share);
  const double before_m = loss_.slope.front() * loss_.x.front();
  for (double& lost_m : loss_.y) lost_m += before_m;
  shut_off_head_m_ = points[0].head_m + before_m;
  free_flow_m3_per_s_ = flow_at_loss(shut_off_head_m_);
}

HeadGiven PumpCurve::head_at(double flow_m3_per_s) const {
  const HeadLoss loss = loss_at(flow_m3_per_s);
  return {shut_off_head_m_ - loss.head_m, -loss.slope_m_per_m3_per_s};
}

HeadLoss PumpCurve::loss_at(double flow_m3_per_s) const {
  const double q = flow_m3_per_s;
  if (q < loss_.x.front()) return {loss_.slope.front() * q, loss_.slope.front()};
  const double last = loss_.x.back();
  if (q > last) {
    const double per_flow = loss_.slope.back() / last;
    return {loss_.y.back() + 0.5 * per_flow * (q - last) * (q + last), per_flow * q};
  }
  const ValueAndSlope on = value_at(loss_, q);
  return {on.value, on.slope};
}

double PumpCurve::flow_at_loss(double loss_m) const {
  if (loss_m <= 0.0) return 0.0;
  if (loss_m < loss_.y.front()) return loss_m / loss_.slope.front();
  if (loss_m > loss_.y.back()) {
    const double last = loss_.x.back();
    return std::sqrt(last * last + 2.0 * last * (loss_m - loss_.y.back()) / loss_.slope.back());
  }
  return where(loss_, loss_m);
}

LossLaw standing_pump_law(const PumpCurve& curve) {
  const double free_flow = curve.free_flow_m3_per_s();
  LossLaw law;
  law.hose.fittings = curve.shut_off_head_m() / (free_flow * free_flow);
  law.hole_rest_flow_m3_per_s = rests_below_share * free_flow;
  return law;
}

std::vector<CurvePoint> at_speed(const std::vector<CurvePoint>& points, double speed_share) {
  if (!(speed_share > 0.0)) breach("at_speed", "needs a speed over 0");
  std::vector<CurvePoint> scaled;
  scaled.reserve(points.size());
  for (const CurvePoint& point : points) {
    scaled.push_back({speed_share * point.flow_m3_per_s, speed_share * speed_share * point.head_m});
  }
  return scaled;
}

}  // namespace tankyard

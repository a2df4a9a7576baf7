// SPDX-License-Identifier: MIT
#include "solver/plate.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <string>
#include <vector>

#include "graph/breach.h"

namespace tankyard {

namespace {

using std::numbers::pi;

// Sine modes along the long and the short side: 1, 3, 5, ... half waves.
constexpr std::size_t modes_along = 6;
constexpr std::size_t modes_across = 4;
constexpr std::size_t modes = modes_along * modes_across;
// Cosines of the stress function: 0, 2, 4, ... half waves.
constexpr std::size_t waves_across = 2 * modes_across;
constexpr std::size_t waves = 2 * modes_along * waves_across;
// Points at which stress is looked for, over the quarter of the panel, corner and middle included.
constexpr std::size_t stress_steps = 8;

using Weights = std::array<double, modes>;
using Matrix = std::array<Weights, modes>;
using Waves = std::array<double, waves>;

double square(double value) { return value * value; }
double count(std::size_t number) { return static_cast<double>(number); }

void check(const Panel& panel) {
  require("plate", panel.side_ratio >= 1.0 && panel.side_ratio <= 4.0, "a side ratio of 1 to 4",
          panel.side_ratio);
  require("plate", panel.poisson_ratio >= 0.0 && panel.poisson_ratio < 0.5,
          "a Poisson ratio from 0 to 0.5", panel.poisson_ratio);
}

// A symmetric system, its lower half given, by Cholesky's factorisation. Where the energy curves
// downwards the diagonal is raised until it does not, and the answer is still a way downhill.
void solve(const Matrix& given, Weights& x) {
  Matrix matrix;
  for (double raised = 0.0;; raised = raised == 0.0 ? 0.01 : 4.0 * raised) {
    matrix = given;
    bool positive = true;
    for (std::size_t i = 0; i < modes && positive; ++i) {
      matrix[i][i] += raised * std::fabs(matrix[i][i]);
      for (std::size_t j = 0; j < i; ++j) {
        for (std::size_t k = 0; k < j; ++k) matrix[i][j] -= matrix[i][k] * matrix[j][k];
        matrix[i][j] /= matrix[j][j];
        matrix[i][i] -= square(matrix[i][j]);
      }
      positive = matrix[i][i] > 0.0;
      matrix[i][i] = std::sqrt(std::fabs(matrix[i][i]));
    }
    if (positive) break;
  }
  for (std::size_t i = 0; i < modes; ++i) {
    for (std::size_t k = 0; k < i; ++k) x[i] -= matrix[i][k] * x[k];
    x[i] /= matrix[i][i];
  }
  for (std::size_t i = modes; i-- > 0;) {
    for (std::size_t k = i + 1; k < modes; ++k) x[i] -= matrix[k][i] * x[k];
    x[i] /= matrix[i][i];
  }
}

// The panel lies over 0 < x < side ratio, 0 < y < 1, with t = E = 1:
//
//     w = sum of W_i sin(m_i pi x / ratio) sin(n_i pi y)
//
// and its energy is a polynomial of fourth degree in the W_i:
//
//     bending     area / (96 (1 - nu^2)) sum of (a_i^2 + b_i^2)^2 W_i^2,  a = m pi / ratio, b = n
//     pi stretching  area / 2 sum of share_k G_k^2 / (p_k^2 + q_k^2)^2, where G_k are the
//     coefficients
//                 of w_xy^2 - w_xx w_yy in cos(p_k x) cos(q_k y), share_k such a product's mean
//                 square
//     held edges  area / (2 (1 - nu^2)) (X^2 + Y^2 + 2 nu X Y), X = mean of w_x^2 / 2, Y of w_y^2 /
//     2 load        - load x sum of W_i 4 area / (m_i n_i pi^2)
//
// A pair of modes (m, n), (r, s) makes four cosines of its own. With A = a_i b_i a_j b_j and
// B = (a_i^2 b_j^2 + a_j^2 b_i^2) / 2:
//
//     ((A - B) (cos(m-r) cos(n-s) + cos(m+r) cos(n+s)) +
//      (A + B) (cos(m-r) cos(n+s) + cos(m+r) cos(n-s))) / 4
class BowedPanel {
 public:
  explicit BowedPanel(const Panel& panel)
      : nu_(panel.poisson_ratio),
        held_(panel.edges == Panel::Edges::held),
        area_(panel.side_ratio) {
    for (std::size_t i = 0; i < modes; ++i) {
      const double m = count(2 * (i / modes_across) + 1);
      const double n = count(2 * (i % modes_across) + 1);
      a_[i] = m * pi / area_;
      b_[i] = n * pi;
      bending_[i] = area_ / (48.0 * (1.0 - nu_ * nu_)) * square(square(a_[i]) + square(b_[i]));
      force_[i] = 4.0 * area_ / (m * n * pi * pi);
    }
    for (std::size_t k = 0; k < waves; ++k) {
      p_[k] = 2.0 * count(k / waves_across) * pi / area_;
      q_[k] = 2.0 * count(k % waves_across) * pi;
      const double share = (p_[k] > 0.0 ? 0.5 : 1.0) * (q_[k] > 0.0 ? 0.5 : 1.0);
      stretch_[k] = k == 0 ? 0.0 : area_ * share / square(square(p_[k]) + square(q_[k]));
    }
    products_.reserve(2 * modes * (modes + 1));
    for (std::size_t i = 0; i < modes; ++i) {
      for (std::size_t j = i; j < modes; ++j) add_products(i, j);
    }
  }

  // The load that bows a panel this far if it keeps to one half wave each way: within a quarter or
  // so of the truth at any deflection.
  double one_mode_load(double deflection) const {
    return (bending_[0] + one_mode_stretch() * square(deflection)) * deflection / force_[0];
  }

  // Comes to rest under the load, always from one half wave each way: wrinkled edges may rest in
  // more than one pattern, and which one it is must not depend on what was asked before.
  void settle(double load) {
    w_.fill(0.0);
    take_stock();
    if (load == 0.0) return;
    w_[0] = one_mode_deflection(load);
    take_stock();
    // 4 to 20 turns do; wrinkled edges have taken up to 60.
    for (int turn = 0; turn < 1000; ++turn) {
      if (turn_once(load)) return;
    }
    breach("plate", "no rest within 1000 turns at a load of " + std::to_string(load));
  }

  Bent bent() const {
    Bent bent;
    for (std::size_t i = 0; i < modes; ++i) {
      bent.deflection += (i / modes_across + i % modes_across) % 2 == 0 ? w_[i] : -w_[i];
    }
    const Waves f = stress_function();
    for (std::size_t x = 0; x <= stress_steps; ++x) {
      for (std::size_t y = 0; y <= stress_steps; ++y) {
        const Stress stress = stress_at(f, x, y);
        bent.greatest_stress = std::fmax(bent.greatest_stress, stress.von_mises());
        bent.bending_stress = stress.bending_y;  // the last point is the middle
        bent.membrane_stress = stress.membrane_y;
      }
    }
    return bent;
  }

 private:
  struct Product {
    std::size_t i, j, k;
    double g;
  };

  struct Stress {
    double bending_x, bending_y, bending_xy, membrane_x, membrane_y, membrane_xy;

    double von_mises() const {
      double most = 0.0;
      for (const double face : {1.0, -1.0}) {
        const double x = membrane_x + face * bending_x;
        const double y = membrane_y + face * bending_y;
        const double xy = membrane_xy + face * bending_xy;
        most = std::fmax(most, x * x - x * y + y * y + 3.0 * xy * xy);
      }
      return std::sqrt(most);
    }
  };

  void add_products(std::size_t i, std::size_t j) {
    const double a = a_[i] * b_[i] * a_[j] * b_[j];
    const double b = 0.5 * (square(a_[i] * b_[j]) + square(a_[j] * b_[i]));
    const std::size_t m = i / modes_across;
    const std::size_t n = i % modes_across;
    const std::size_t r = j / modes_across;
    const std::size_t s = j % modes_across;
    const std::size_t less_x = (m > r ? m - r : r - m) * waves_across;
    const std::size_t more_x = (m + r + 1) * waves_across;
    const std::size_t less_y = n > s ? n - s : s - n;
    const std::size_t more_y = n + s + 1;
    const double share = i == j ? 0.25 : 0.5;  // i, j stands for j, i as well
    products_.push_back({i, j, less_x + less_y, share * (a - b)});
    products_.push_back({i, j, more_x + more_y, share * (a - b)});
    products_.push_back({i, j, less_x + more_y, share * (a + b)});
    products_.push_back({i, j, more_x + less_y, share * (a + b)});
  }

  // With one half wave each way, force = bending_[0] w + this w^3: G has the two coefficients
  // a^2 b^2 / 2, and the fourth derivative of the energy is 3! times this.
  double one_mode_stretch() const {
    const double g = 0.5 * square(a_[0] * b_[0]);
    double stretch = 2.0 * square(g) * (stretch_[1] + stretch_[waves_across]);
    if (held_) {
      const double x = square(a_[0]) / 8.0;
      const double y = square(b_[0]) / 8.0;
      stretch += 2.0 * area_ / (1.0 - nu_ * nu_) * (x * x + y * y + 2.0 * nu_ * x * y);
    }
    return stretch;
  }

  // The root of a rising cubic, by Newton's method from above it.
  double one_mode_deflection(double load) const {
    const double force = load * force_[0];
    const double stretch = one_mode_stretch();
    double w = std::fmin(force / bending_[0], std::cbrt(force / stretch));
    for (int turn = 0; turn < 8; ++turn) {
      w -= (bending_[0] * w + stretch * w * w * w - force) / (bending_[0] + 3.0 * stretch * w * w);
    }
    return w;
  }

  // G and the mean stretches X, Y from the shape.
  void take_stock() {
    g_.fill(0.0);
    for (const Product& product : products_) {
      g_[product.k] += product.g * w_[product.i] * w_[product.j];
    }
    x_ = 0.0;
    y_ = 0.0;
    for (std::size_t i = 0; i < modes; ++i) {
      x_ += square(a_[i] * w_[i]) / 8.0;
      y_ += square(b_[i] * w_[i]) / 8.0;
    }
  }

  double energy(double load) const {
    double sum = 0.0;
    for (std::size_t i = 0; i < modes; ++i) {
      sum += (0.5 * bending_[i] * w_[i] - load * force_[i]) * w_[i];
    }
    for (std::size_t k = 0; k < waves; ++k) sum += 0.5 * stretch_[k] * square(g_[k]);
    if (held_) {
      sum += 0.5 * area_ / (1.0 - nu_ * nu_) * (x_ * x_ + y_ * y_ + 2.0 * nu_ * x_ * y_);
    }
    return sum;
  }

  // One turn of Newton's method, cut short while it would raise the energy. True once at rest.
  bool turn_once(double load) {
    Weights step;
    for (std::size_t i = 0; i < modes; ++i) step[i] = load * force_[i] - bending_[i] * w_[i];
    Matrix matrix{};
    for (std::size_t i = 0; i < modes; ++i) matrix[i][i] = bending_[i];
    add_stretching(matrix, step);
    if (held_) add_held_edges(matrix, step);
    solve(matrix, step);

    double size = 0.0;
    double moved = 0.0;
    for (std::size_t i = 0; i < modes; ++i) {
      size = std::fmax(size, std::fabs(w_[i]));
      moved = std::fmax(moved, std::fabs(step[i]));
    }
    const bool at_rest = moved <= 1e-8 * size;
    const Weights before = w_;
    const double energy_before = energy(load);
    const double rounding = 1e-13 * std::fabs(energy_before);
    for (double part = 1.0; part > 1e-9; part *= 0.5) {
      for (std::size_t i = 0; i < modes; ++i) w_[i] = before[i] + part * step[i];
      take_stock();
      if (at_rest || energy(load) <= energy_before + rounding) break;
    }
    return at_rest;
  }

  // Slope (taken off the forces) and curvature (lower half) of the stretching energy.
  void add_stretching(Matrix& matrix, Weights& forces) const {
    std::array<Weights, waves> slopes{};  // d G_k / d W_i
    for (const Product& product : products_) {
      slopes[product.k][product.i] += product.g * w_[product.j];
      slopes[product.k][product.j] += product.g * w_[product.i];
    }
    for (std::size_t k = 1; k < waves; ++k) {
      const Weights& slope = slopes[k];
      for (std::size_t i = 0; i < modes; ++i) {
        const double share = stretch_[k] * slope[i];
        forces[i] -= share * g_[k];
        for (std::size_t j = 0; j <= i; ++j) matrix[i][j] += share * slope[j];
      }
    }
    for (const Product& product : products_) {
      const double curve = stretch_[product.k] * g_[product.k] * product.g;
      matrix[product.j][product.i] += product.i == product.j ? 2.0 * curve : curve;
    }
  }

  void add_held_edges(Matrix& matrix, Weights& forces) const {
    const double stiff = area_ / (1.0 - nu_ * nu_);
    const double force_x = stiff * (x_ + nu_ * y_);
    const double force_y = stiff * (y_ + nu_ * x_);
    Weights slope_x;
    Weights slope_y;
    for (std::size_t i = 0; i < modes; ++i) {
      slope_x[i] = 0.25 * square(a_[i]) * w_[i];
      slope_y[i] = 0.25 * square(b_[i]) * w_[i];
    }
    for (std::size_t i = 0; i < modes; ++i) {
      forces[i] -= force_x * slope_x[i] + force_y * slope_y[i];
      matrix[i][i] += 0.25 * (force_x * square(a_[i]) + force_y * square(b_[i]));
      for (std::size_t j = 0; j <= i; ++j) {
        matrix[i][j] += stiff * (slope_x[i] * (slope_x[j] + nu_ * slope_y[j]) +
                                 slope_y[i] * (slope_y[j] + nu_ * slope_x[j]));
      }
    }
  }

  Waves stress_function() const {
    Waves f{};
    for (std::size_t k = 1; k < waves; ++k) f[k] = g_[k] / square(square(p_[k]) + square(q_[k]));
    return f;
  }

  // cos(k pi / 16) for whole k: every sine and cosine at the points is one of these.
  static double cosine(std::size_t k) {
    static const std::array<double, 4 * stress_steps> table = [] {
      std::array<double, 4 * stress_steps> cosines{};
      for (std::size_t i = 0; i < cosines.size(); ++i) {
        cosines[i] = std::cos(count(i) * pi / (2.0 * count(stress_steps)));
      }
      return cosines;
    }();
    return table[k % table.size()];
  }
  static double sine(std::size_t k) { return cosine(k + 3 * stress_steps); }

  // At so many sixteenths of the sides from a corner.
  Stress stress_at(const Waves& f, std::size_t x, std::size_t y) const {
    double curved_x = 0.0;
    double curved_y = 0.0;
    double twist = 0.0;
    for (std::size_t i = 0; i < modes; ++i) {
      const std::size_t m = 2 * (i / modes_across) + 1;
      const std::size_t n = 2 * (i % modes_across) + 1;
      const double bow = w_[i] * sine(m * x) * sine(n * y);
      curved_x += square(a_[i]) * bow;
      curved_y += square(b_[i]) * bow;
      twist += w_[i] * a_[i] * b_[i] * cosine(m * x) * cosine(n * y);
    }
    const double stiff = 0.5 / (1.0 - nu_ * nu_);
    Stress stress{};
    stress.bending_x = stiff * (curved_x + nu_ * curved_y);
    stress.bending_y = stiff * (curved_y + nu_ * curved_x);
    stress.bending_xy = -0.5 / (1.0 + nu_) * twist;
    for (std::size_t k = 1; k < waves; ++k) {
      const std::size_t m = 2 * (k / waves_across);
      const std::size_t n = 2 * (k % waves_across);
      const double even = f[k] * cosine(m * x) * cosine(n * y);
      stress.membrane_x -= square(q_[k]) * even;
      stress.membrane_y -= square(p_[k]) * even;
      stress.membrane_xy -= p_[k] * q_[k] * f[k] * sine(m * x) * sine(n * y);
    }
    if (held_) {
      stress.membrane_x += (x_ + nu_ * y_) / (1.0 - nu_ * nu_);
      stress.membrane_y += (y_ + nu_ * x_) / (1.0 - nu_ * nu_);
    }
    return stress;
  }

  double nu_;
  bool held_;
  double area_;
  Weights a_{};
  Weights b_{};
  Weights bending_{};
  Weights force_{};  // of a load of 1
  Waves p_{};
  Waves q_{};
  Waves stretch_{};
  std::vector<Product> products_;

  Weights w_{};
  Waves g_{};
  double x_ = 0.0;
  double y_ = 0.0;
};

}  // namespace

SmallDeflection small_deflection(double side_ratio, double poisson_ratio) {
  require("plate", side_ratio >= 1.0 && std::isfinite(side_ratio), "a side ratio of 1 or more",
          side_ratio);
  require("plate", poisson_ratio >= 0.0 && poisson_ratio < 0.5, "a Poisson ratio from 0 to 0.5",
          poisson_ratio);
  SmallDeflection sum;
  double sign = 1.0;
  for (int m = 1; m < 1000; m += 2) {
    const double c = 0.5 * m * pi * side_ratio;
    const double edge = 0.5 / std::cosh(c);  // 0 where the hyperbolic cosine overflows
    const double turned = c * std::tanh(c) * edge;
    const double bowed = 1.0 - turned - 2.0 * edge;
    sum.alpha += sign / std::pow(m, 5.0) * bowed;
    sum.beta += sign / std::pow(m, 3.0) * (bowed + poisson_ratio * turned);
    sign = -sign;
  }
  const double scale = 4.0 / (pi * pi * pi);
  sum.alpha *= 12.0 * (1.0 - poisson_ratio * poisson_ratio) * scale / (pi * pi);
  sum.beta *= 6.0 * scale;
  return sum;
}

Bent bend(const Panel& panel, double load) {
  check(panel);
  require("plate", load >= 0.0 && load <= 1e7, "a load from 0 to 1e7", load);
  BowedPanel bowed(panel);
  bowed.settle(load);
  return bowed.bent();
}

// Both limits over the load are nearly straight in logarithms, so that a secant there needs few
// turns; it is kept between a load that is borne and one that is not.
double load_at(const Panel& panel, double deflection, double stress) {
  check(panel);
  require("plate", deflection > 0.0 && deflection <= 40.0, "a deflection over 0 and up to 40",
          deflection);
  require("plate", stress > 0.0, "a stress over 0", stress);
  BowedPanel bowed(panel);
  const auto used = [&](double load) {  // the greater share of the two limits, as a logarithm
    bowed.settle(load);
    const Bent bent = bowed.bent();
    return std::log(std::fmax(bent.deflection / deflection, bent.greatest_stress / stress));
  };
  const SmallDeflection small = small_deflection(panel.side_ratio, panel.poisson_ratio);
  double load = std::fmin(bowed.one_mode_load(deflection), stress / small.beta);
  double at = used(load);
  double power = 0.5;  // between 1 for small loads and 1/3 for large
  double borne = 0.0;
  double too_much = 1e9;
  for (int turn = 0; turn < 100; ++turn) {
    if (std::fabs(at) < 1e-5) return load;
    (at < 0.0 ? borne : too_much) = load;
    if (too_much - borne < 1e-4 * too_much) return borne;
    double next = load * std::exp(-at / power);
    if (!(next > borne && next < too_much)) {
      next = borne > 0.0 ? std::sqrt(borne * too_much) : 0.1 * too_much;
    }
    const double at_next = used(next);
    const double slope = (at_next - at) / std::log(next / load);
    if (slope > 0.1 && slope < 3.0) power = slope;
    load = next;
    at = at_next;
  }
  breach("plate", "no load found within 100 turns");
}

}  // namespace tankyard

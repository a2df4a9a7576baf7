// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

#include "graph/array.h"

// Private to graph/.

namespace tankyard {

/// One running number for every place of a yard: tanks first, then headers, then outlets, each in
/// plan order.
class Points {
 public:
  explicit Points(const Parts& parts)
      : tanks_(parts.tanks.size()),
        headers_(parts.headers.size()),
        count_(tanks_ + headers_ + parts.outlets.size()) {}

  std::size_t count() const { return count_; }

  std::size_t of(Place place) const {
    if (const auto* tank = std::get_if<TankId>(&place)) return tank->index;
    if (const auto* header = std::get_if<HeaderId>(&place)) return tanks_ + header->index;
    return tanks_ + headers_ + std::get_if<OutletId>(&place)->index;
  }

  bool is_tank(std::size_t point) const { return point < tanks_; }

  Place place(std::size_t point) const {
    if (point < tanks_) return id_at<TankId>(point);
    if (point < tanks_ + headers_) return id_at<HeaderId>(point - tanks_);
    return id_at<OutletId>(point - tanks_ - headers_);
  }

 private:
  std::size_t tanks_ = 0;
  std::size_t headers_ = 0;
  std::size_t count_ = 0;
};

/// What joins two points and passes water unaided. The hoses stand first, so that line i is hose i
/// of the plan; then each outlet that sits straight on a tank or header. Pumps are no lines.
struct PointLine {
  std::size_t from = 0;
  std::size_t to = 0;
};

inline std::vector<PointLine> lines_of(const Parts& parts, const Points& points) {
  std::vector<PointLine> lines;
  lines.reserve(parts.hoses.size() + parts.outlets.size());
  for (const Hose& hose : parts.hoses) {
    lines.push_back({points.of(hose.from.place), points.of(hose.to.place)});
  }
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const auto& at = parts.outlets[i].at;
    if (at) lines.push_back({points.of(at->place), points.of(id_at<OutletId>(i))});
  }
  return lines;
}

}  // namespace tankyard

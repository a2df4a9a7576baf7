// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "graph/air_line.h"
#include "graph/day_sheet.h"
#include "graph/header.h"
#include "graph/hose.h"
#include "graph/ids.h"
#include "graph/outlet.h"
#include "graph/pump.h"
#include "graph/result.h"
#include "graph/site.h"
#include "graph/supply.h"
#include "graph/tank.h"

namespace tankyard {

/// Every part of a yard, each list in plan order. Plain data: fill it in any way, then make an
/// `Array` of it.
struct Parts {
  Site site;
  std::vector<Tank> tanks;
  std::vector<Header> headers;
  std::vector<Hose> hoses;
  std::vector<Pump> pumps;
  std::vector<Outlet> outlets;
  std::vector<Roof> roofs;
  std::vector<TopUp> top_ups;
  std::vector<Leak> leaks;
  std::vector<AirLine> air_lines;
};

/// Which hoses pass water at some moment; one entry a hose, in plan order.
using OpenHoses = std::vector<bool>;

/// A yard whose parts have been checked and whose joins are known. It never changes: to try another
/// yard, copy `parts()`, edit the copy, and make a new array.
class Array {
 public:
  /// Checks every part (graph/check_array.h) and joins them. All troubles come back at once.
  static Result<Array> make(Parts parts);

  const Parts& parts() const { return *parts_; }
  const std::vector<Tank>& tanks() const { return parts_->tanks; }
  const std::vector<Header>& headers() const { return parts_->headers; }
  const std::vector<Hose>& hoses() const { return parts_->hoses; }
  const std::vector<Pump>& pumps() const { return parts_->pumps; }
  const std::vector<Outlet>& outlets() const { return parts_->outlets; }

  /// The hoses that pass water as the plan has it at the start.
  OpenHoses open_at_start() const;

  /// The trade's drawing of who joins whom; only graph/ looks inside (graph/joins.h).
  struct Joins;
  const Joins& joins() const { return *joins_; }

 private:
  Array(std::shared_ptr<const Parts> parts, std::shared_ptr<const Joins> joins)
      : parts_(std::move(parts)), joins_(std::move(joins)) {}

  std::shared_ptr<const Parts> parts_;
  std::shared_ptr<const Joins> joins_;
};

/// Name of the place a hose or pump ends at.
const std::string& name_of(const Parts& parts, Place place);

/// Height above the yard's datum at which a hose meets a place, m: the lowest point of its mouth at
/// a tank, the header's height, or the outlet's.
double mouth_m(const Parts& parts, const HoseEnd& end);

/// Height of an outlet's mouth above the yard's datum, m: its own, or that of the place it is fixed
/// to.
double mouth_m(const Parts& parts, const Outlet& outlet);

}  // namespace tankyard

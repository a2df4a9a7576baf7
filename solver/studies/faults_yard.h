// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"
#include "solver/studies/faults_day.h"
#include "solver/studies/faults_list.h"

namespace tankyard {

/// A valve that sits right at one end of a hose and is shut at night.
struct MouthValve {
  HoseId hose;
  bool at_from = true;
};

/// A yard to try failures on: the plan's, or the plan's with a change that is being tried.
struct FaultYard {
  Parts parts;
  FaultDay day;
  std::vector<MouthValve> mouth_valves;
};

/// A yard with something wrong, ready to run.
struct FaultyYard {
  Parts parts;
  DaySheet sheet;
  std::vector<OutletId> to_ground;  ///< outlets that stand for bared mouths and loose ends
};

/// What a mouth lets through that a hose has come off: the nipple that is left is a short tube,
/// 0.82 of Torricelli (handbooks of hydraulics; a sharp edge, 0.6, would spare the yard more).
inline constexpr double nipple_coefficient = 0.82;

/// A throttled hose has this part of its bore's area left.
inline constexpr double throttled_to = 0.1;

/// Loss of a place where only `open` of the area is left, on the velocity in the full bore:
///
///     K = (1 / (Cc open) - 1)^2,   Cc = 0.63 + 0.37 open^3
///
/// Borda and Carnot's loss behind a jet that narrows by Cc (Weisbach's figures; from memory). 0 for
/// open = 1. Requires: over 0, up to 1.
double loss_k_of_narrowing(double open);

/// A yard with these faults. All stand from the start but hoses that come off, which do so at
/// `day.night_s`. Then water runs to the ground by its bore from the mouth that is bared, if that
/// is a tank's or a header's; and from the hose's loose end, which falls to the lowest place of the
/// plan, while the hose passes water. A non-return valve holds back what it holds back. A hose
/// whose valve is shut then, wherever that sits, loses nothing by its loose end, and all by the
/// bared mouth; one with a `MouthValve` at that very mouth keeps that as well, but nothing that the
/// hose brings from its other end.
///
/// Lists keep their order; outlets and hoses may be added behind. Requires: faults of this yard,
/// any two of which can go together.
FaultyYard with_faults(const FaultYard& yard, const std::vector<Fault>& faults);

/// Height of the lowest base, header or outlet of a plan: where loose ends come to lie, m.
double ground_m(const Parts& parts);

}  // namespace tankyard

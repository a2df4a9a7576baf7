// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <variant>

namespace tankyard {

/// The place of a part in its list, in the order of the plan. Each kind of part has a type of its
/// own, so that a hose cannot be handed over where a tank is meant. Two hoses may join the same two
/// places; their ids tell them apart.
template <class Kind>
struct Id {
  std::uint32_t index = 0;

  friend bool operator==(Id a, Id b) { return a.index == b.index; }
  friend bool operator!=(Id a, Id b) { return a.index != b.index; }
  friend bool operator<(Id a, Id b) { return a.index < b.index; }
};

using TankId = Id<struct TankKind>;
using HeaderId = Id<struct HeaderKind>;
using HoseId = Id<struct HoseKind>;
using PumpId = Id<struct PumpKind>;
using OutletId = Id<struct OutletKind>;
using RoofId = Id<struct RoofKind>;
using TopUpId = Id<struct TopUpKind>;
using LeakId = Id<struct LeakKind>;
using AirLineId = Id<struct AirLineKind>;

/// Where a hose or a pump can end.
using Place = std::variant<TankId, HeaderId, OutletId>;

/// The part with this id in a list kept in plan order.
template <class List, class Kind>
auto& part(List& list, Id<Kind> id) {
  return list[static_cast<std::size_t>(id.index)];
}

/// The id of the part at a place in its list.
template <class IdType>
IdType id_at(std::size_t index) {
  return IdType{static_cast<std::uint32_t>(index)};
}

}  // namespace tankyard

// SPDX-License-Identifier: MIT
#pragma once

#include <tl/expected.hpp>
#include <utility>

#include "graph/trouble.h"

namespace tankyard {

/// Either what was asked for, or everything that stands in the way. Nothing in graph/ or solver/
/// says no in any other way; nothing throws.
template <class T>
using Result = tl::expected<T, Troubles>;

/// A refusal with a single trouble.
inline tl::unexpected<Troubles> refuse(Trouble trouble) {
  return tl::unexpected<Troubles>(Troubles{std::move(trouble)});
}

}  // namespace tankyard

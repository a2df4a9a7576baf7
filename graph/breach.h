// SPDX-License-Identifier: MIT
#pragma once

#include <cstdio>
#include <cstdlib>
#include <string>

namespace tankyard {

/// A fault in the program itself, not in a plan: says where and what, then stops. For preconditions
/// that are told as "Requires" and stay checked in every build.
[[noreturn]] inline void breach(const char* where, const std::string& what) {
  std::fprintf(stderr, "breach: %s: %s\n", where, what.c_str());
  std::abort();
}

}  // namespace tankyard

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

/// Stops unless a rule is kept, as "breach: where: needs rule".
inline void require(const char* where, bool kept, const char* rule) {
  if (!kept) breach(where, std::string("needs ") + rule);
}

/// The same for a rule about a number, which is told too.
inline void require(const char* where, bool kept, const char* rule, double value) {
  if (kept) return;
  char got[40];
  std::snprintf(got, sizeof got, "%.9g", value);
  breach(where, std::string("needs ") + rule + ", got " + got);
}

}  // namespace tankyard

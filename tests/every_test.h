// SPDX-License-Identifier: MIT
#pragma once

// What most tests read and nobody here writes: parsed once for all of them (tests/CMakeLists.txt).
// A test includes what it needs as if this were not there; clang++ builds without.

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <optional>
#include <set>
#include <sstream>
#include <string>
#include <utility>
#include <variant>
#include <vector>

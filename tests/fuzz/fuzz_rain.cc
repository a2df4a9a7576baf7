// SPDX-License-Identifier: MIT
// The entry that libFuzzer looks for.
#include <cstddef>
#include <cstdint>

#include "targets.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  tankyard::fuzz::try_rain({reinterpret_cast<const char*>(data), size});
  return 0;
}

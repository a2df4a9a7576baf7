// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>

#include "io/page.h"

namespace tankyard {
namespace {

Frames rows_of(const Frames& frames, const std::vector<std::size_t>& rows) {
  Frames kept;
  for (const std::size_t row : rows) {
    if (frames.time_s.empty()) {
      kept.labels.push_back(frames.labels[row]);
    } else {
      kept.time_s.push_back(frames.time_s[row]);
    }
  }
  for (const Channel& channel : frames.channels) {
    Channel& thin = kept.channels.emplace_back();
    thin.key = channel.key;
    thin.name = channel.name;
    thin.resolution = channel.resolution;
    for (const std::size_t row : rows) thin.values.push_back(channel.values[row]);
  }
  return kept;
}

}  // namespace

std::size_t frame_at(const Frames& frames, double at_s) {
  // A moment that was located to a millisecond may lie that much before its row.
  constexpr double located_s = 1e-3;
  const auto it = std::lower_bound(frames.time_s.begin(), frames.time_s.end(), at_s - located_s);
  if (it == frames.time_s.end()) return frames.count() == 0 ? 0 : frames.count() - 1;
  return static_cast<std::size_t>(it - frames.time_s.begin());
}

Frames thinned_to_peaks(const Frames& frames, std::size_t most) {
  const std::size_t count = frames.time_s.size();
  if (count <= most || most < 4) return frames;
  // The first and the last moment stay as they are; each stretch between them gives two.
  const std::size_t stretches = (most - 2) / 2;
  const std::size_t inner = count - 2;
  const auto begin_of = [&](std::size_t stretch) { return 1 + stretch * inner / stretches; };
  Frames kept;
  kept.time_s.push_back(frames.time_s.front());
  for (std::size_t k = 0; k < stretches; ++k) {
    const std::size_t begin = begin_of(k);
    const std::size_t past = begin_of(k + 1);
    kept.time_s.push_back(frames.time_s[begin]);
    if (past - begin > 1) kept.time_s.push_back(frames.time_s[begin + (past - begin) / 2]);
  }
  kept.time_s.push_back(frames.time_s.back());
  for (const Channel& channel : frames.channels) {
    Channel& thin = kept.channels.emplace_back();
    thin.key = channel.key;
    thin.name = channel.name;
    thin.resolution = channel.resolution;
    thin.values.push_back(channel.values.front());
    for (std::size_t k = 0; k < stretches; ++k) {
      const auto begin = channel.values.begin() + static_cast<std::ptrdiff_t>(begin_of(k));
      const auto past = channel.values.begin() + static_cast<std::ptrdiff_t>(begin_of(k + 1));
      const auto [low, high] = std::minmax_element(begin, past);
      thin.values.push_back(*std::min(low, high));
      if (past - begin > 1) thin.values.push_back(*std::max(low, high));
    }
    thin.values.push_back(channel.values.back());
  }
  return kept;
}

Frames chosen_frames(const Frames& frames, std::size_t most, std::vector<std::size_t> wanted) {
  const std::size_t count = frames.count();
  if (count <= most || most < 2) return frames;
  for (std::size_t k = 0; k < most; ++k) wanted.push_back(k * (count - 1) / (most - 1));
  std::sort(wanted.begin(), wanted.end());
  wanted.erase(std::unique(wanted.begin(), wanted.end()), wanted.end());
  return rows_of(frames, wanted);
}

std::vector<Stretches> shut_hoses(const std::vector<const Parts*>& cases) {
  std::vector<Stretches> all;
  if (cases.empty()) return all;
  for (std::size_t h = 0; h < cases.front()->hoses.size(); ++h) {
    Stretches shut{fmt::format("hose-{}", h), "shut", {}};
    for (std::size_t k = 0; k < cases.size(); ++k) {
      if (!starts_open(cases[k]->hoses[h])) shut.from_to_s.emplace_back(k, k + 1);
    }
    if (!shut.from_to_s.empty()) all.push_back(shut);
  }
  return all;
}

Film still_film(const Plan& plan) {
  const Parts& parts = plan.array.parts();
  Film film;
  film.start = state_at_start(plan.array);
  film.frames.labels = {"as the plan starts"};
  film.stretches = shut_hoses({&parts});
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    if (parts.outlets[o].open) {
      film.stretches.push_back({fmt::format("outlet-{}", o), "open", {{0.0, 1.0}}});
    }
  }
  for (std::size_t p = 0; p < parts.pumps.size(); ++p) {
    if (parts.pumps[p].running) {
      film.stretches.push_back({fmt::format("pump-{}", p), "running", {{0.0, 1.0}}});
    }
  }
  return film;
}

}  // namespace tankyard

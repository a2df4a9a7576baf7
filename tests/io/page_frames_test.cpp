// SPDX-License-Identifier: MIT
// Which moments a page keeps. Sources of truth: the definitions in io/page.h, over any frames.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "io/page.h"
#include "random_arrays.h"

namespace tankyard {
namespace page_frames_test {

Frames any_frames(int most) {
  using namespace random_yard;
  Frames frames;
  const int count = whole(1, most);
  double at_s = 0.0;
  for (int k = 0; k < count; ++k) {
    frames.time_s.push_back(at_s);
    at_s += between(0.5, 100.0);
  }
  for (int c = 0; c < whole(1, 4); ++c) {
    Channel channel;
    for (int k = 0; k < count; ++k) channel.values.push_back(between(-50.0, 50.0));
    frames.channels.push_back(channel);
  }
  return frames;
}

RC_GTEST_PROP(PageFrames, ThinnedKeepEveryHighestAndLowest, ()) {
  const Frames frames = any_frames(400);
  const auto most = static_cast<std::size_t>(random_yard::whole(4, 120));
  const Frames thin = thinned_to_peaks(frames, most);
  RC_ASSERT(thin.count() <= std::max(most, std::size_t{4}));
  RC_ASSERT(thin.time_s.front() == frames.time_s.front());
  RC_ASSERT(thin.time_s.back() == frames.time_s.back());
  RC_ASSERT(std::is_sorted(thin.time_s.begin(), thin.time_s.end()));
  RC_ASSERT(std::adjacent_find(thin.time_s.begin(), thin.time_s.end()) == thin.time_s.end());
  for (std::size_t c = 0; c < frames.channels.size(); ++c) {
    const std::vector<double>& all = frames.channels[c].values;
    const std::vector<double>& kept = thin.channels[c].values;
    RC_ASSERT(kept.size() == thin.count());
    RC_ASSERT(*std::max_element(kept.begin(), kept.end()) ==
              *std::max_element(all.begin(), all.end()));
    RC_ASSERT(*std::min_element(kept.begin(), kept.end()) ==
              *std::min_element(all.begin(), all.end()));
  }
}

RC_GTEST_PROP(PageFrames, ThinnedStayWithinAStretchOfTheirTime, ()) {
  const Frames frames = any_frames(400);
  const auto most = static_cast<std::size_t>(random_yard::whole(8, 120));
  const Frames thin = thinned_to_peaks(frames, most);
  RC_PRE(thin.count() < frames.count());
  // A stretch has so many frames at most, and each value comes from its own.
  const std::size_t stretch = frames.count() / ((most - 2) / 2) + 2;
  for (std::size_t k = 0; k < thin.count(); ++k) {
    const std::size_t near = frame_at(frames, thin.time_s[k]);
    const std::size_t from = near > stretch ? near - stretch : 0;
    const std::size_t past = std::min(near + stretch + 1, frames.count());
    const std::vector<double>& all = frames.channels[0].values;
    RC_ASSERT(std::find(all.begin() + static_cast<std::ptrdiff_t>(from),
                        all.begin() + static_cast<std::ptrdiff_t>(past),
                        thin.channels[0].values[k]) !=
              all.begin() + static_cast<std::ptrdiff_t>(past));
  }
}

RC_GTEST_PROP(PageFrames, ChosenAreFramesAsTheyWereWithAllThatIsWanted, ()) {
  const Frames frames = any_frames(300);
  const auto most = static_cast<std::size_t>(random_yard::whole(2, 60));
  std::vector<std::size_t> wanted;
  for (int k = 0; k < random_yard::whole(0, 5); ++k) {
    wanted.push_back(
        static_cast<std::size_t>(random_yard::whole(0, static_cast<int>(frames.count()) - 1)));
  }
  const Frames chosen = chosen_frames(frames, most, wanted);
  RC_ASSERT(chosen.count() <= std::max(most + wanted.size(), std::size_t{2}));
  for (const std::size_t row : wanted) {
    RC_ASSERT(std::find(chosen.time_s.begin(), chosen.time_s.end(), frames.time_s[row]) !=
              chosen.time_s.end());
  }
  for (std::size_t k = 0; k < chosen.count(); ++k) {
    const std::size_t row = frame_at(frames, chosen.time_s[k]);
    RC_ASSERT(frames.time_s[row] == chosen.time_s[k]);
    for (std::size_t c = 0; c < frames.channels.size(); ++c) {
      RC_ASSERT(chosen.channels[c].values[k] == frames.channels[c].values[row]);
    }
  }
}

TEST(PageFrames, AreFoundAtOrAfterAMoment) {
  Frames frames;
  frames.time_s = {0.0, 60.0, 120.0};
  EXPECT_EQ(frame_at(frames, 0.0), 0U);
  EXPECT_EQ(frame_at(frames, 2.8), 1U);
  EXPECT_EQ(frame_at(frames, 60.0), 1U);
  EXPECT_EQ(frame_at(frames, 500.0), 2U);
}

}  // namespace page_frames_test
}  // namespace tankyard

// SPDX-License-Identifier: MIT
// Files are written whole or not at all. Source of truth: what the file system says afterwards; the
// failure in the middle of a write is made with a limit on the size of files.
#include "io/files.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace tankyard {
namespace files_test {

namespace fs = std::filesystem;
using ::testing::HasSubstr;
using Because = NotWritten::Because;

/// A folder of its own for each test.
class Files : public ::testing::Test {
 protected:
  Files() {
    std::string name = (fs::temp_directory_path() / "tankyard-files-XXXXXX").string();
    folder_ = ::mkdtemp(name.data());
  }
  ~Files() override { fs::remove_all(folder_); }

  std::string path(const std::string& name) const { return (folder_ / name).string(); }

  static std::string text_of(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
  }

  static void put(const std::string& path, const std::string& text) {
    std::ofstream(path, std::ios::binary) << text;
  }

  std::size_t files_there() const {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator(folder_), fs::directory_iterator()));
  }

  fs::path folder_;
};

TEST_F(Files, AreWrittenByteForByte) {
  const std::string bytes("a\0b\r\n\xff", 6);
  EXPECT_FALSE(write_whole(path("new"), bytes, IfThere::refuse));
  EXPECT_EQ(text_of(path("new")), bytes);
  EXPECT_EQ(files_there(), 1U);
}

TEST_F(Files, GetTheUsualRights) {
  const mode_t before = ::umask(022);
  EXPECT_FALSE(write_whole(path("new"), "x", IfThere::replace));
  EXPECT_FALSE(write_whole(path("other"), "x", IfThere::refuse));
  ::umask(before);
  struct stat seen {};
  ASSERT_EQ(::stat(path("new").c_str(), &seen), 0);
  EXPECT_EQ(seen.st_mode & 0777, 0644U);
  ASSERT_EQ(::stat(path("other").c_str(), &seen), 0);
  EXPECT_EQ(seen.st_mode & 0777, 0644U);
}

TEST_F(Files, ThatAreThereAreLeftAloneWhenToldSo) {
  put(path("old"), "mine");
  const auto reason = write_whole(path("old"), "yours", IfThere::refuse);
  ASSERT_TRUE(reason);
  EXPECT_EQ(reason->because, Because::there_already);
  EXPECT_THAT(reason->message, HasSubstr("is there already"));
  EXPECT_EQ(text_of(path("old")), "mine");
  EXPECT_EQ(files_there(), 1U);
}

TEST_F(Files, KeepTheirRightsWhenReplaced) {
  put(path("old"), "mine, which is longer");
  ASSERT_EQ(::chmod(path("old").c_str(), 0640), 0);
  EXPECT_FALSE(write_whole(path("old"), "yours", IfThere::replace));
  EXPECT_EQ(text_of(path("old")), "yours");
  struct stat seen {};
  ASSERT_EQ(::stat(path("old").c_str(), &seen), 0);
  EXPECT_EQ(seen.st_mode & 0777, 0640U);
  EXPECT_EQ(files_there(), 1U);
}

TEST_F(Files, BehindALinkAreReplacedAndTheLinkStays) {
  put(path("real"), "mine");
  fs::create_symlink("real", path("link"));
  EXPECT_FALSE(write_whole(path("link"), "yours", IfThere::replace));
  EXPECT_TRUE(fs::is_symlink(path("link")));
  EXPECT_EQ(text_of(path("real")), "yours");
}

TEST_F(Files, NeedAFolder) {
  const auto reason = write_whole(path("no/such/file"), "x", IfThere::replace);
  ASSERT_TRUE(reason);
  EXPECT_EQ(reason->because, Because::no_such_folder);
}

TEST_F(Files, AreNoFolders) {
  const auto reason = write_whole(folder_.string(), "x", IfThere::replace);
  ASSERT_TRUE(reason);
  EXPECT_EQ(reason->because, Because::not_a_file);
  EXPECT_TRUE(why_not_write("", IfThere::replace));
}

TEST_F(Files, OnAFullDeviceSaySo) {
  const auto reason = write_whole("/dev/full", "x", IfThere::replace);
  ASSERT_TRUE(reason);
  EXPECT_EQ(reason->because, Because::failed);
  EXPECT_THAT(reason->message, HasSubstr("No space left"));
}

TEST_F(Files, ThatCannotBeFinishedLeaveTheOldOneAndNothingElse) {
  put(path("old"), "mine");
  // In a process of its own, since the limit on file sizes would outlive the test.
  const pid_t child = ::fork();
  ASSERT_GE(child, 0);
  if (child == 0) {
    std::signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{1000, 1000};
    if (::setrlimit(RLIMIT_FSIZE, &limit) != 0) ::_exit(9);
    const auto reason = write_whole(path("old"), std::string(5000, 'x'), IfThere::replace);
    ::_exit(reason && reason->because == Because::failed ? 0 : 1);
  }
  int status = 0;
  ASSERT_EQ(::waitpid(child, &status, 0), child);
  EXPECT_EQ(WEXITSTATUS(status), 0);
  EXPECT_EQ(text_of(path("old")), "mine");
  EXPECT_EQ(files_there(), 1U);
}

}  // namespace files_test
}  // namespace tankyard

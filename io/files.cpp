// SPDX-License-Identifier: MIT
#include "io/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <system_error>
#include <utility>

namespace tankyard {
namespace {

namespace fs = std::filesystem;
using Because = NotWritten::Because;

/// An open file that is closed and, unless kept, taken away again.
class Scratch {
 public:
  Scratch(int file, std::string path) : file_(file), path_(std::move(path)) {}
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() {
    if (file_ >= 0) ::close(file_);
    if (!path_.empty()) ::unlink(path_.c_str());
  }

  int file() const { return file_; }
  const std::string& path() const { return path_; }
  bool close() { return ::close(std::exchange(file_, -1)) == 0; }
  void keep() { path_.clear(); }

 private:
  int file_;
  std::string path_;  ///< to take away; empty: nothing
};

/// While one of these lives, signals that end the program wait: what was begun beside a target
/// takes its name or is taken away before the program goes. Not for writes that somebody else can
/// hold up.
class SignalsWait {
 public:
  SignalsWait() {
    sigset_t ends;
    ::sigemptyset(&ends);
    for (const int signal : {SIGHUP, SIGINT, SIGTERM}) ::sigaddset(&ends, signal);
    ::pthread_sigmask(SIG_BLOCK, &ends, &before_);
  }
  SignalsWait(const SignalsWait&) = delete;
  SignalsWait& operator=(const SignalsWait&) = delete;
  ~SignalsWait() { ::pthread_sigmask(SIG_SETMASK, &before_, nullptr); }

 private:
  sigset_t before_;
};

NotWritten failed(const std::string& path, const char* what, int reason) {
  return {Because::failed, fmt::format("`{}` {}: {}", path, what, std::strerror(reason)),
          reason == ENOSPC ? "make room on the disk and try again"
                           : "write to another folder, or ask who may write to this one"};
}

NotWritten not_allowed(const std::string& path, const char* what, int reason) {
  NotWritten why = failed(path, what, reason);
  why.because = Because::not_allowed;
  return why;
}

NotWritten there_already(const std::string& path) {
  return {Because::there_already, fmt::format("`{}` is there already, and is left as it is", path),
          "choose another name, or move that file away first"};
}

bool write_all(int file, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t put = ::write(file, bytes.data(), bytes.size());
    if (put < 0 && errno == EINTR) continue;
    if (put < 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(put));
  }
  return true;
}

/// Where the bytes end up: links followed, so that the link stays and its target is replaced.
std::string behind_links(const std::string& path) {
  std::error_code error;
  const fs::path found = fs::canonical(path, error);
  return error ? path : found.string();
}

/// The access rights a plain new file gets here.
mode_t usual_rights() {
  const mode_t masked = ::umask(0);
  ::umask(masked);
  return 0666 & ~masked;
}

std::optional<NotWritten> write_through(const std::string& path, std::string_view bytes) {
  Scratch target(::open(path.c_str(), O_WRONLY | O_CLOEXEC), {});
  if (target.file() < 0) return failed(path, "cannot be opened for writing", errno);
  if (!write_all(target.file(), bytes)) return failed(path, "could not be written", errno);
  if (!target.close()) return failed(path, "could not be written", errno);
  return std::nullopt;
}

}  // namespace

std::optional<NotWritten> why_not_write(const std::string& path, IfThere if_there) {
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (path.empty() || fs::is_directory(status)) {
    return NotWritten{Because::not_a_file,
                      fmt::format("`{}` is {} and cannot be written to", path,
                                  path.empty() ? "no name" : "a folder"),
                      "name a file"};
  }
  if (fs::exists(status) && if_there == IfThere::refuse) return there_already(path);
  const fs::path folder = fs::path(path).parent_path();
  if (!fs::exists(status) && !folder.empty() && !fs::is_directory(folder, error)) {
    return NotWritten{
        Because::no_such_folder,
        fmt::format("`{}` cannot be written: there is no folder `{}`", path, folder.string()),
        "make the folder first, or name another one"};
  }
  const fs::path target = behind_links(path);
  if (fs::exists(status) && ::access(target.c_str(), W_OK) != 0) {
    return not_allowed(path, "cannot be replaced", errno);
  }
  if (fs::exists(status) && !fs::is_regular_file(status)) return std::nullopt;
  // The bytes go to a new file beside it first, so its folder has to let one be made.
  const fs::path beside = target.has_parent_path() ? target.parent_path() : fs::path(".");
  if (::access(beside.c_str(), W_OK | X_OK) != 0) {
    return not_allowed(path, "cannot be written", errno);
  }
  return std::nullopt;
}

std::optional<NotWritten> write_whole(const std::string& path, std::string_view bytes,
                                      IfThere if_there) {
  if (auto reason = why_not_write(path, if_there)) return reason;
  const std::string target = behind_links(path);
  struct stat old {};
  const bool replaces = ::stat(target.c_str(), &old) == 0;
  if (replaces && !S_ISREG(old.st_mode)) return write_through(path, bytes);

  const SignalsWait wait;
  std::string beside = target + ".part-XXXXXX";
  const int file = ::mkstemp(beside.data());
  if (file < 0) return failed(path, "cannot be written", errno);
  Scratch scratch(file, beside);
  const mode_t rights = replaces ? (old.st_mode & 07777) : usual_rights();
  if (!write_all(scratch.file(), bytes) || ::fchmod(scratch.file(), rights) != 0 ||
      ::fsync(scratch.file()) != 0 || !scratch.close()) {
    return failed(path, "could not be written", errno);
  }
  if (if_there == IfThere::refuse) {
    // A link is made only if the name is still free, so that nobody's file is lost to a race.
    if (::link(beside.c_str(), target.c_str()) == 0) return std::nullopt;
    if (errno == EEXIST) return there_already(path);
    if (errno != EPERM && errno != EOPNOTSUPP) return failed(path, "could not be written", errno);
    // A file system without hard links (many memory sticks) has to make do with the look before.
  }
  if (::rename(beside.c_str(), target.c_str()) != 0) {
    return failed(path, "could not be written", errno);
  }
  scratch.keep();
  return std::nullopt;
}

}  // namespace tankyard

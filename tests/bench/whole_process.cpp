// SPDX-License-Identifier: MIT
#include "whole_process.h"

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "clock.h"

namespace bench {

std::optional<ProcessTime> time_process(const std::vector<std::string>& words) {
  std::vector<char*> arguments;
  for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
  arguments.push_back(nullptr);
  const double start_s = wall_s();
  const pid_t child = fork();
  if (child < 0) return std::nullopt;
  if (child == 0) {
    const int nowhere = open("/dev/null", O_WRONLY);
    dup2(nowhere, STDOUT_FILENO);
    dup2(nowhere, STDERR_FILENO);
    execv(arguments[0], arguments.data());
    _exit(127);
  }
  int status = 0;
  rusage used{};
  if (wait4(child, &status, 0, &used) != child) return std::nullopt;
  ProcessTime time;
  time.wall_s = wall_s() - start_s;
  const auto seconds = [](const timeval& t) {
    return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
  };
  time.processor_s = seconds(used.ru_utime) + seconds(used.ru_stime);
  time.peak_mb = static_cast<double>(used.ru_maxrss) / 1024.0;
  time.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  if (time.exit_code == 127) return std::nullopt;
  return time;
}

}  // namespace bench

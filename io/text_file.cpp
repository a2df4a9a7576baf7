// SPDX-License-Identifier: MIT
#include "io/text_file.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>
#include <system_error>
#include <utility>

namespace tankyard {
namespace {

struct CloseFile {
  void operator()(std::FILE* file) const { std::fclose(file); }
};

}  // namespace

Trouble file_trouble(const std::string& path, std::string message, std::string help) {
  Trouble trouble;
  trouble.message = std::move(message);
  trouble.help = std::move(help);
  trouble.spot = Spot{path, 0, 0, 0};
  return trouble;
}

Result<std::string> text_of_file(const std::string& path, const TextFileRules& rules) {
  std::error_code ignored;
  if (std::filesystem::is_directory(path, ignored)) {
    return refuse(file_trouble(path, rules.folder_message, rules.folder_help));
  }
  const std::unique_ptr<std::FILE, CloseFile> file(std::fopen(path.c_str(), "rb"));
  if (!file) {
    const int reason = errno;
    if (reason == ENOENT) {
      return refuse(file_trouble(path, "there is no such file", rules.missing_help));
    }
    return refuse(file_trouble(path,
                               fmt::format("the file cannot be opened: {}", std::strerror(reason)),
                               rules.closed_help));
  }
  std::string text;
  std::string block(1 << 16, '\0');
  while (const std::size_t got = std::fread(block.data(), 1, block.size(), file.get())) {
    text.append(block, 0, got);
    if (text.size() > rules.most_bytes) {
      return refuse(file_trouble(path, rules.long_message, rules.long_help));
    }
  }
  if (std::ferror(file.get()) != 0) {
    return refuse(file_trouble(path,
                               fmt::format("the file cannot be read: {}", std::strerror(errno)),
                               "copy it to this machine and try again"));
  }
  return text;
}

}  // namespace tankyard

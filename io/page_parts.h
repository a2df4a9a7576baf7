// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace tankyard {

/// What every page holds beside its answer, put into the program when it is built
/// (io/page/embed.cmake): the styles and the script of io/page, and the plotting library, which is
/// fetched then. A build that could not fetch it makes pages without plots, which say so.
struct PageParts {
  std::string styles;
  std::string script;
  std::string script_sha256;  ///< in base64, as a content security policy wants it
  std::string plot_styles;    ///< of the library; empty: it is not there
  std::string plot_script;
  std::string plot_script_sha256;
  std::string plot_licence;  ///< its name, version and notice; goes wherever it goes
};
const PageParts& page_parts();

}  // namespace tankyard

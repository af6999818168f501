#pragma once

#include <string_view>

namespace aftercurve {

/// Version of the program, from CMakeLists.txt: "0.1.0".
std::string_view versionText();

/// Revision of the source it was built from (short commit id, "+" where the tree was changed), "unknown"
/// outside a checkout.
std::string_view revisionText();

}  // namespace aftercurve

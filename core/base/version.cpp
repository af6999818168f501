#include "core/base/version.h"

namespace aftercurve {

std::string_view versionText() {
    return AFTERCURVE_VERSION;
}

std::string_view revisionText() {
    return AFTERCURVE_REVISION;
}

}  // namespace aftercurve

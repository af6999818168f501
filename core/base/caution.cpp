#include "core/base/caution.h"

namespace aftercurve {

std::string_view cautionText() {
    return "For research use; not for diagnosis, treatment or dosing. A study in people needs ethics "
           "approval and "
           "medical oversight; hypo- or hyperglycaemic readings need a clinician's look. Claims and labels "
           "follow local "
           "rules and the competent authority.";
}

}  // namespace aftercurve

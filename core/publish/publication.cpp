#include "core/publish/publication.h"

#include "core/base/version.h"
#include "core/files/registration.h"

namespace aftercurve {

Publication publicationOf(const Study& study) {
    Publication publication;
    publication.title = study.title;
    publication.planSha256 = registrationOf(study.plan, "", "", "").sha256;
    return publication;
}

std::string softwareText() {
    return "Aftercurve " + std::string{versionText()} + " (" + std::string{revisionText()} + ")";
}

}  // namespace aftercurve

#pragma once

#include <span>
#include <string>

#include "core/findings/table.h"
#include "core/study/study.h"

namespace aftercurve {

/// What a document of tables says beside the tables.
struct Publication {
    std::string title;                             ///< of the study; may be empty
    std::string created = "2000-01-01T00:00:00Z";  ///< ISO 8601, UTC; the time of writing says nothing about
                                                   ///< a result, so a fixed one stands for it
    std::string planSha256;                        ///< as `aftercurve-run register` prints it; may be empty
};

/// Title of the study and the hash of its plan (see core/files/registration.h).
Publication publicationOf(const Study& study);

/// "Aftercurve 0.1.0 (abc1234)".
std::string softwareText();

}  // namespace aftercurve

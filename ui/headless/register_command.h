#pragma once

#include <filesystem>
#include <iosfwd>
#include <string>

#include "ui/headless/commands.h"

namespace aftercurve {

struct RegisterArguments {
    std::filesystem::path study;
    std::string by;
    std::string on;    ///< ISO 8601 date
    std::string note;  ///< where it is deposited, or why it is amended
};

/// Adds the study's plan, as it stands, to its registered plans with the SHA-256 of its bytes, and an entry
/// to the ledger. The folder must not be open for editing elsewhere. The same plan as the last one registered
/// is not registered again: a note, and done. Prints the hash to `out`.
Exit runRegister(const RegisterArguments& arguments, std::ostream& out, std::ostream& messages);

}  // namespace aftercurve

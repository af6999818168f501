#pragma once

#include <string_view>

namespace aftercurve {

/// True where a column's name reads like something that identifies a person: name, first_name, surname,
/// birth, date of birth, e-mail, telephone, address, patient or personal number and the like, in any case and
/// with any of "_", "-", "." or blanks between the words. The list is common practice, no source.
bool looksPersonal(std::string_view column);

}  // namespace aftercurve

#include "core/files/privacy_columns.h"

#include <algorithm>
#include <array>
#include <string>

namespace aftercurve {

namespace {

using namespace std::string_view_literals;

constexpr std::array wholeNames{
    "name"sv,    "fullname"sv,  "forename"sv,     "givenname"sv,      "familyname"sv, "initials"sv,
    "dob"sv,     "born"sv,      "mail"sv,         "phone"sv,          "mobile"sv,     "address"sv,
    "patient"sv, "patientid"sv, "personalcode"sv, "personalid"sv,     "nationalid"sv, "idnumber"sv,
    "ssn"sv,     "passport"sv,  "postcode"sv,     "insurancenumber"sv};
constexpr std::array partsOfNames{"birth"sv,    "email"sv,     "surname"sv,    "firstname"sv,
                                  "lastname"sv, "telephone"sv, "phonenumber"sv};

}  // namespace

bool looksPersonal(std::string_view column) {
    std::string name;
    for (const char c : column) {
        if (c >= 'A' && c <= 'Z') {
            name += static_cast<char>(c - 'A' + 'a');
        } else if (c != ' ' && c != '_' && c != '-' && c != '.') {
            name += c;
        }
    }
    return std::find(wholeNames.begin(), wholeNames.end(), name) != wholeNames.end() ||
           std::any_of(partsOfNames.begin(), partsOfNames.end(),
                       [&name](std::string_view part) { return name.find(part) != std::string::npos; });
}

}  // namespace aftercurve

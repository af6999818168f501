#pragma once

#include <optional>
#include <string>

#include "core/files/json_text.h"

namespace aftercurve {

/// Writing into an object of study.json. What says the same already keeps the form it has (7.0, a label that
/// is the id), so that an entry that nothing changed keeps its bytes.

/// A text, or no key where it is empty.
void putText(Json& object, const char* key, const std::string& text);

/// A number, or no key where it is absent.
void putNumber(Json& object, const char* key, const std::optional<double>& number);

/// A number that a file need not give where it is `usual`: no key is added then.
void putNumberUnless(Json& object, const char* key, double number, double usual);

/// Likewise yes or no, a whole number and a word.
void putUnless(Json& object, const char* key, const Json& value, const Json& usual);

/// The label of an entry; no key where it is the entry's id.
void putLabel(Json& object, const std::string& id, const std::string& label);

/// The object of a list whose `key` is `value`; an empty one where there is none.
Json entryNamed(const Json& list, const char* key, const std::string& value);

}  // namespace aftercurve

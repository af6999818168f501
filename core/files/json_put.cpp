#include "core/files/json_put.h"

namespace aftercurve {

namespace {

bool saysNumber(const Json& object, const char* key, double number) {
    const auto found = object.find(key);
    return found != object.end() && found->is_number() && found->get<double>() == number;
}

}  // namespace

void putText(Json& object, const char* key, const std::string& text) {
    const auto found = object.find(key);
    const bool saysNothing = found == object.end() || found->is_null() || *found == "";
    if (!text.empty()) {
        object[key] = text;
    } else if (!saysNothing) {
        object.erase(key);
    }
}

void putNumber(Json& object, const char* key, const std::optional<double>& number) {
    const auto found = object.find(key);
    if (!number) {
        if (found != object.end() && !found->is_null()) {
            object.erase(key);
        }
    } else if (!saysNumber(object, key, *number)) {
        object[key] = numberJson(*number);
    }
}

void putNumberUnless(Json& object, const char* key, double number, double usual) {
    if (object.contains(key) || number != usual) {
        putNumber(object, key, number);
    }
}

void putUnless(Json& object, const char* key, const Json& value, const Json& usual) {
    if (object.contains(key) || value != usual) {
        object[key] = value;
    }
}

void putLabel(Json& object, const std::string& id, const std::string& label) {
    const auto found = object.find("label");
    const bool labelled = found != object.end() && found->is_string() && *found != "";
    if ((labelled ? found->get<std::string>() : id) != label) {
        putText(object, "label", label == id ? std::string{} : label);
    }
}

Json entryNamed(const Json& list, const char* key, const std::string& value) {
    if (list.is_array()) {
        for (const Json& entry : list) {
            if (entry.is_object() && entry.contains(key) && entry[key] == value) {
                return entry;
            }
        }
    }
    return Json::object();
}

}  // namespace aftercurve

#include "core/files/json_text.h"

#include <cmath>
#include <cstdint>
#include <string>
#include <unordered_set>
#include <vector>

#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostKeys = 1000;

/// Thrown out of the parser's callback, the one way to stop it; caught below.
struct Refused {
    Problem problem;
};

/// Follows the parser through the text and throws at what is not wanted.
class Guard {
  public:
    Guard(std::string_view file, int maxDepth) : file_(file), maxDepth_(maxDepth) {}

    bool operator()(int depth, Json::parse_event_t event, Json& parsed) {
        using Event = Json::parse_event_t;
        switch (event) {
            case Event::object_start:
            case Event::array_start:
                if (depth >= maxDepth_) {
                    refuse("", "the file is nested deeper than " + std::to_string(maxDepth_) + " levels",
                           "check that it is a study file");
                }
                open_.push_back({event == Event::array_start, 0, {}, {}});
                break;
            case Event::object_end:
            case Event::array_end:
                open_.pop_back();
                countItem();
                break;
            case Event::key:
                openKey(parsed.get_ref<const std::string&>());
                break;
            case Event::value:
                countItem();
                break;
        }
        return true;
    }

  private:
    struct Level {
        bool array;
        std::size_t index;
        std::string key;
        std::unordered_set<std::string> keys;
    };

    void openKey(const std::string& key) {
        Level& level = open_.back();
        level.key = key;
        if (!level.keys.insert(key).second) {
            const std::string where = path();
            refuse(where, "the key " + shortened(where) + " appears twice", "keep one of them");
        }
        if (level.keys.size() > mostKeys) {
            refuse("", "an object has more than " + std::to_string(mostKeys) + " keys",
                   "check that it is a study file");
        }
    }

    void countItem() {
        if (!open_.empty()) {
            ++open_.back().index;
        }
    }

    std::string path() const {
        std::string text;
        for (const Level& level : open_) {
            if (level.array) {
                text += "[" + std::to_string(level.index) + "]";
            } else {
                text += (text.empty() ? "" : ".") + level.key;
            }
        }
        return text;
    }

    [[noreturn]] void refuse(const std::string& where, std::string what, std::string remedy) const {
        throw Refused{problemAt(file_, 0, where, std::move(what), std::move(remedy))};
    }

    std::string_view file_;
    int maxDepth_;
    std::vector<Level> open_;
};

}  // namespace

Result<Json> parseJson(std::string_view text, std::string_view file, int maxDepth) {
    Guard guard{file, maxDepth};
    try {
        return Json::parse(text.begin(), text.end(),
                           [&guard](int depth, Json::parse_event_t event, Json& parsed) {
                               return guard(depth, event, parsed);
                           });
    } catch (const Refused& refused) {
        return refused.problem;
    } catch (const Json::parse_error& error) {
        const std::size_t offset = error.byte > 0 ? error.byte - 1 : 0;
        return problemAt(file, lineAt(text, offset), {},
                         "the file is not JSON: something unexpected stands here",
                         "look for a missing comma, quote or bracket in this line or the one before");
    } catch (const Json::out_of_range&) {
        return problemAt(file, 0, {}, "a number in the file is too large to be read", "check its numbers");
    } catch (const Json::exception&) {
        return problemAt(file, 0, {}, "the file is not JSON", "check that it is a study file");
    }
}

Json numberJson(double value) {
    const bool whole = std::abs(value) < 1e15 && value == std::trunc(value);
    return whole ? Json(static_cast<std::int64_t>(value)) : Json(value);
}

}  // namespace aftercurve

#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "core/study/fibre_data.h"

namespace aftercurve {

/// Said wherever a rule is used.
inline constexpr std::string_view checkWithAuthority =
    "check with your authority: a built-in rule is a summary, and local law holds";

/// The rules that come with the program: "codex", "eu", "us", "ca", "anz". From memory, each with its source.
std::span<const FibreRule> builtInFibreRules();

/// The rules that hold for a study: its own, and the built-in ones whose key none of them has.
std::vector<FibreRule> fibreRulesOf(const FibreData& fibre);

/// Keys joined by ", ", for messages.
std::string fibreRuleKeys(std::span<const FibreRule> rules);

}  // namespace aftercurve

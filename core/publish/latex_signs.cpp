#include "core/publish/latex_signs.h"

#include <algorithm>
#include <array>
#include <string>
#include <utility>

#include "core/files/utf8.h"
#include "core/publish/latex_tables.h"

namespace aftercurve {

namespace {

constexpr std::array signs{
    std::pair{U'\\', std::string_view{"\\textbackslash{}"}},
    std::pair{U'{', std::string_view{"\\{"}},
    std::pair{U'}', std::string_view{"\\}"}},
    std::pair{U'$', std::string_view{"\\$"}},
    std::pair{U'&', std::string_view{"\\&"}},
    std::pair{U'#', std::string_view{"\\#"}},
    std::pair{U'%', std::string_view{"\\%"}},
    std::pair{U'_', std::string_view{"\\_"}},
    std::pair{U'^', std::string_view{"\\textasciicircum{}"}},
    std::pair{U'~', std::string_view{"\\textasciitilde{}"}},
    std::pair{U'<', std::string_view{"\\textless{}"}},
    std::pair{U'>', std::string_view{"\\textgreater{}"}},
    std::pair{U'|', std::string_view{"\\textbar{}"}},
    std::pair{U'"', std::string_view{"\\textquotedbl{}"}},
    std::pair{U'`', std::string_view{"\\textasciigrave{}"}},
    // At the beginning of a row the command before would take a star or a bracket for its own.
    std::pair{U'[', std::string_view{"{[}"}},
    std::pair{U']', std::string_view{"{]}"}},
    std::pair{U'*', std::string_view{"{*}"}},
    std::pair{U'\u00A0', std::string_view{"~"}},
    std::pair{U'\u00B0', std::string_view{"\\textdegree{}"}},
    std::pair{U'\u00B1', std::string_view{"$\\pm$"}},
    std::pair{U'\u00B2', std::string_view{"\\textsuperscript{2}"}},
    std::pair{U'\u00B3', std::string_view{"\\textsuperscript{3}"}},
    std::pair{U'\u00B5', std::string_view{"$\\mu$"}},
    std::pair{U'\u00B7', std::string_view{"$\\cdot$"}},
    std::pair{U'\u00B9', std::string_view{"\\textsuperscript{1}"}},
    std::pair{U'\u00BD', std::string_view{"$\\frac12$"}},
    std::pair{U'\u00D7', std::string_view{"$\\times$"}},
    std::pair{U'\u0393', std::string_view{"$\\Gamma$"}},
    std::pair{U'\u0394', std::string_view{"$\\Delta$"}},
    std::pair{U'\u03A3', std::string_view{"$\\Sigma$"}},
    std::pair{U'\u03A6', std::string_view{"$\\Phi$"}},
    std::pair{U'\u03A9', std::string_view{"$\\Omega$"}},
    std::pair{U'\u03B1', std::string_view{"$\\alpha$"}},
    std::pair{U'\u03B2', std::string_view{"$\\beta$"}},
    std::pair{U'\u03B3', std::string_view{"$\\gamma$"}},
    std::pair{U'\u03B4', std::string_view{"$\\delta$"}},
    std::pair{U'\u03B5', std::string_view{"$\\varepsilon$"}},
    std::pair{U'\u03B7', std::string_view{"$\\eta$"}},
    std::pair{U'\u03B8', std::string_view{"$\\theta$"}},
    std::pair{U'\u03BA', std::string_view{"$\\kappa$"}},
    std::pair{U'\u03BB', std::string_view{"$\\lambda$"}},
    std::pair{U'\u03BC', std::string_view{"$\\mu$"}},
    std::pair{U'\u03BD', std::string_view{"$\\nu$"}},
    std::pair{U'\u03C0', std::string_view{"$\\pi$"}},
    std::pair{U'\u03C1', std::string_view{"$\\rho$"}},
    std::pair{U'\u03C3', std::string_view{"$\\sigma$"}},
    std::pair{U'\u03C4', std::string_view{"$\\tau$"}},
    std::pair{U'\u03C6', std::string_view{"$\\varphi$"}},
    std::pair{U'\u03C7', std::string_view{"$\\chi$"}},
    std::pair{U'\u03C9', std::string_view{"$\\omega$"}},
    std::pair{U'\u2009', std::string_view{"\\,"}},
    std::pair{U'\u2010', std::string_view{"-"}},
    std::pair{U'\u2011', std::string_view{"-"}},
    std::pair{U'\u2013', std::string_view{"\\textendash{}"}},
    std::pair{U'\u2014', std::string_view{"\\textemdash{}"}},
    std::pair{U'\u2018', std::string_view{"\\textquoteleft{}"}},
    std::pair{U'\u2019', std::string_view{"\\textquoteright{}"}},
    std::pair{U'\u201C', std::string_view{"\\textquotedblleft{}"}},
    std::pair{U'\u201D', std::string_view{"\\textquotedblright{}"}},
    std::pair{U'\u2020', std::string_view{"\\dag{}"}},
    std::pair{U'\u2026', std::string_view{"\\ldots{}"}},
    std::pair{U'\u202F', std::string_view{"\\,"}},
    std::pair{U'\u2070', std::string_view{"\\textsuperscript{0}"}},
    std::pair{U'\u2074', std::string_view{"\\textsuperscript{4}"}},
    std::pair{U'\u2075', std::string_view{"\\textsuperscript{5}"}},
    std::pair{U'\u2076', std::string_view{"\\textsuperscript{6}"}},
    std::pair{U'\u2077', std::string_view{"\\textsuperscript{7}"}},
    std::pair{U'\u2078', std::string_view{"\\textsuperscript{8}"}},
    std::pair{U'\u2079', std::string_view{"\\textsuperscript{9}"}},
    std::pair{U'\u207B', std::string_view{"\\textsuperscript{$-$}"}},
    std::pair{U'\u2080', std::string_view{"\\textsubscript{0}"}},
    std::pair{U'\u2081', std::string_view{"\\textsubscript{1}"}},
    std::pair{U'\u2082', std::string_view{"\\textsubscript{2}"}},
    std::pair{U'\u2083', std::string_view{"\\textsubscript{3}"}},
    std::pair{U'\u2190', std::string_view{"$\\leftarrow$"}},
    std::pair{U'\u2192', std::string_view{"$\\rightarrow$"}},
    std::pair{U'\u2211', std::string_view{"$\\Sigma$"}},
    std::pair{U'\u2212', std::string_view{"$-$"}},
    std::pair{U'\u221A', std::string_view{"$\\surd$"}},
    std::pair{U'\u221E', std::string_view{"$\\infty$"}},
    std::pair{U'\u222B', std::string_view{"$\\int$"}},
    std::pair{U'\u2248', std::string_view{"$\\approx$"}},
    std::pair{U'\u2260', std::string_view{"$\\neq$"}},
    std::pair{U'\u2264', std::string_view{"$\\le$"}},
    std::pair{U'\u2265', std::string_view{"$\\ge$"}},
    // The sign that stands for what cannot be shown.
    std::pair{U'\uFFFD', std::string_view{"{\\fbox{?}}"}},
};

constexpr char32_t lastLatinLetter = 0x017F;  ///< what T1 with UTF-8 input sets

}  // namespace

std::string_view latexSign(char32_t code) {
    const auto* found =
        std::find_if(signs.begin(), signs.end(), [code](const auto& s) { return s.first == code; });
    return found == signs.end() ? std::string_view{} : found->second;
}

std::string latexEscaped(std::string_view text, bool* foreign) {
    std::string latex;
    while (!text.empty()) {
        const Utf8Character character = firstCharacter(text);
        const std::size_t length = std::max<std::size_t>(character.length, 1);
        const std::string_view sign = latexSign(character.code);
        if (sign.empty()) {
            latex += text.substr(0, length);
            if (foreign != nullptr && character.code > lastLatinLetter) {
                *foreign = true;
            }
        } else {
            latex += sign;
        }
        text.remove_prefix(length);
        // Two of them would run together to a dash.
        latex += latex.ends_with('-') && text.starts_with('-') ? "{}" : "";
    }
    return latex;
}

}  // namespace aftercurve

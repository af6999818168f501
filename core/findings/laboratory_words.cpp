#include "core/findings/laboratory_words.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/findings/caption_parts.h"
#include "core/findings/rounded_words.h"
#include "core/findings/sentence_rows.h"
#include "core/study/laboratory_counted.h"

namespace aftercurve {

namespace {

/// Things that a sentence lists one by one.
constexpr std::size_t mostLeftOut = 50;

std::vector<SentenceSource> together(std::vector<SentenceSource> a, const std::vector<SentenceSource>& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

std::string timesOf(const DigestionFindings& digestion) {
    return "to " + plainNumber(digestion.cuts.rapidMin) + " min (rapidly digestible), " +
           plainNumber(digestion.cuts.rapidMin) + " to " + plainNumber(digestion.cuts.slowMin) +
           " min (slowly digestible) and left at " + plainNumber(digestion.cuts.slowMin) +
           " min (resistant remainder)";
}

std::string digestionCounts(const DigestionFindings& digestion) {
    std::size_t least = digestion.bySample.empty() ? 0 : digestion.bySample.front().digestions;
    std::size_t most = least;
    for (const DigestionSample& sample : digestion.bySample) {
        least = std::min(least, sample.digestions);
        most = std::max(most, sample.digestions);
    }
    return countRange(least, most) + " digestions a sample";
}

/// "2 digestions, 1 reading and the blanks of 1 run"; of the determinations "3 determinations of fibre".
std::vector<std::string> countsOf(const std::vector<LaboratoryLeftOut>& leftOut, std::size_t& things) {
    const auto count = [&leftOut](LaboratoryPart part) {
        return static_cast<std::size_t>(
            std::count_if(leftOut.begin(), leftOut.end(),
                          [part](const LaboratoryLeftOut& one) { return one.part == part; }));
    };
    std::vector<std::string> words;
    const auto add = [&](LaboratoryPart part, const char* before, const std::string& word,
                         const char* behind) {
        const std::size_t n = count(part);
        if (n > 0) {
            words.push_back(before + countedWords(n, word) + behind);
        }
        things += n;
    };
    add(LaboratoryPart::digestion, "", "digestion", "");
    add(LaboratoryPart::reading, "", "reading", " of digestions");
    add(LaboratoryPart::blanks, "the blanks of ", "run", "");
    add(LaboratoryPart::determination, "", "determination", " of fibre");
    return words;
}

/// What the exclusions took out; empty where they took out nothing.
void addLeftOut(const Study& study, const std::vector<LaboratoryLeftOut>& leftOut, bool ofFibre,
                std::vector<Sentence>& sentences) {
    if (leftOut.empty()) {
        return;
    }
    std::size_t things = 0;
    const std::string counts = listedWords(countsOf(leftOut, things));
    const bool one = things == 1 && leftOut.front().part != LaboratoryPart::blanks;
    Sentence sentence;
    sentence.text =
        counts + (one ? " was" : " were") + " excluded: " + leftOutWords(leftOut, mostLeftOut) + ".";
    for (std::size_t i = 0; i < study.exclusions.size(); ++i) {
        const Exclusion& exclusion = study.exclusions[i];
        if (isOfLaboratory(exclusion) && exclusion.method.empty() != ofFibre) {
            sentence.sources.push_back({"exclusions", i});
        }
    }
    if (sentence.text.starts_with("the")) {
        sentence.text.front() = 'T';
    }
    sentences.push_back(std::move(sentence));
}

}  // namespace

std::vector<Sentence> digestionSentences(const Study& study, const Findings& findings) {
    const DigestionFindings& digestion = findings.digestion;
    std::vector<Sentence> sentences;
    SentenceRows rows{study, findings};
    for (const DigestionSample& sample : digestion.bySample) {
        sentences.push_back({digestionSentence(study, digestion, sample, findings.plan.alpha),
                             together(together(rows.rows("digestion_index", {sample.sample}),
                                               rows.rowsFrom("digestion_fractions", sample.sample + "/")),
                                      together(rows.rowsFrom("digestion_fits", sample.sample + "/"),
                                               rows.rowsFrom("digestion_slopes", sample.sample + "/")))});
    }
    for (const DigestionComparison& comparison : digestion.comparisons) {
        sentences.push_back({digestionSentence(digestion, comparison, findings.plan.alpha),
                             together(rows.rows("digestion_comparisons", {comparison.key}),
                                      rows.rowsFrom("digestion_comparisons", comparison.key + "/"))});
    }
    return sentences;
}

std::vector<Sentence> laboratoryMethods(const Study& study, const Findings& findings) {
    std::vector<Sentence> sentences;
    const DigestionFindings& digestion = findings.digestion;
    if (!digestion.bySample.empty()) {
        const bool glucose = study.assays.quantity == AssayQuantity::glucoseMg;
        std::string text =
            "Starch of " + countedWords(digestion.bySample.size(), "sample") +
            " was digested in vitro; starch was divided by the time of its digestion: " + timesOf(digestion) +
            ".";
        if (glucose) {
            text += " Released glucose, less the blank of its run and free glucose, times " +
                    plainNumber(study.assays.glucoseToStarch) + " was taken as starch.";
        }
        sentences.push_back({std::move(text), {}});
        addLeftOut(study, digestion.excluded, false, sentences);
        sentences.push_back(
            {"Curves of the form C(t) = C∞ (1 − exp(−kt)), with a start above zero or two phases where the "
             "corrected Akaike criterion and the number of times spoke for them, were fitted to the mean of "
             "each sample by least squares (Levenberg and Marquardt).",
             {}});
        if (!digestion.comparisons.empty()) {
            const std::string by = digestion.family == "tukey" ? "every two samples by Tukey's method"
                                   : digestion.family == "dunnett"
                                       ? "each sample with the reference by Dunnett's method"
                                       : "without pairs";
            sentences.push_back(
                {"Samples were compared by a one-way analysis of variance, with runs as blocks where there "
                 "was more "
                 "than one; " +
                     by + ".",
                 {}});
        }
    }
    if (!findings.fibre.results.empty()) {
        sentences.push_back(
            {"Fibre was determined by the methods that the table of results names; " +
                 std::string{"what each of them measures and misses stands in the table of methods."},
             {}});
        addLeftOut(study, findings.fibre.excluded, true, sentences);
    }
    return sentences;
}

std::string digestionCurvesCaption(const Study& /*study*/, const Findings& findings,
                                   const PanelSpec& /*panel*/) {
    if (findings.digestion.bySample.empty()) {
        return noNumbers("digestion in vitro");
    }
    const auto& samples = findings.digestion.bySample;
    const bool inTurn = std::any_of(samples.begin(), samples.end(), [](const DigestionSample& sample) {
        return sample.slopes.phases.size() == 2;
    });
    return std::string{
               "Digested starch over the time of digestion in vitro; marks: mean, bars: SD, lines: the "
               "fitted curve"} +
           (inTurn ? ", thin lines: two phases one after the other, from the lines through the logarithm of "
                     "the slope"
                   : "") +
           " (" + digestionCounts(findings.digestion) + ").";
}

std::string digestionFractionsCaption(const Study& /*study*/, const Findings& findings,
                                      const PanelSpec& /*panel*/) {
    if (findings.digestion.bySample.empty()) {
        return noNumbers("digestion in vitro");
    }
    return "Starch by the time of its digestion in vitro: " + timesOf(findings.digestion) +
           "; numbers: mean ± SD (" + digestionCounts(findings.digestion) + ").";
}

std::string fibreBarsCaption(const Study& /*study*/, const Findings& findings, const PanelSpec& /*panel*/) {
    if (findings.fibre.results.empty() && findings.fibre.recipes.empty()) {
        return noNumbers("result of fibre");
    }
    std::string text;
    if (!findings.fibre.results.empty()) {
        text = "Fibre of each material by method, mean ± SD of the determinations.";
    }
    if (!findings.fibre.recipes.empty()) {
        text += std::string{text.empty() ? "" : " "} +
                "Fibre in 100 g of each recipe as it is made and with the replacement.";
    }
    return text;
}

}  // namespace aftercurve

#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/compare/time_course.h"

namespace aftercurve {

struct RepeatedMeasuresTerm {
    std::string term;  ///< "food", "time", "food x time"
    std::size_t df = 0;
    std::size_t errorDf = 0;
    std::optional<double> sumOfSquares;
    std::optional<double> errorSumOfSquares;  ///< of the term's own interaction with subject
    std::optional<double> f;
    std::optional<double> p;  ///< holds under sphericity
    std::optional<double> epsilonGreenhouseGeisser;
    std::optional<double> epsilonHuynhFeldt;  ///< may lie above 1; then 1 is used
    std::optional<double> pGreenhouseGeisser;
    std::optional<double> pHuynhFeldt;
    std::optional<double> mauchlyW;
    std::optional<double> mauchlyChiSquare;
    std::size_t mauchlyDf = 0;
    std::optional<double> mauchlyP;
    std::string mauchlyAbsentBecause;
    std::string absentBecause;
};

struct IncompleteSubject {
    std::size_t subject = 0;
    std::string reason;
};

/// Classical table of food × time within subjects, each effect against its own interaction with subject.
/// Subjects with a value for every food at every time that is used; the others are left out and listed.
/// Repeated visits of a subject with a food are averaged at each time first, with a note. Period is not in
/// it.
///
/// With C the orthonormal contrasts of an effect (k of them), z a subject's contrasts, n subjects:
/// SS = n·|mean z|², error SS = tr S, S = Σ (z − mean z)(z − mean z)ᵀ, F = SS/(tr S/(n − 1)) on k and
/// k(n − 1) degrees of freedom.
/// Sphericity: the covariance of z is a multiple of the identity; trivially so where k = 1.
/// Greenhouse & Geisser: ε = (tr S)²/(k·tr S²). Huynh & Feldt 1976: (n·k·ε − 2)/(k(n − 1 − k·ε)); Lecoutre
/// 1991 puts n − groups + 1 for n, which for one group, as here, is the same. p by F with both df times
/// min(ε, 1). Where n − 1 − k·ε is not above 0 Huynh & Feldt's is absent.
/// Mauchly: W = det S/(tr S/k)^k; −(n − 1)(1 − (2k² + k + 2)/(6k(n − 1)))·ln W against χ² on k(k + 1)/2 − 1,
/// with the second term of the expansion (Anderson 1958). Absent where k = 1 or n − 1 < k. Whether it rejects
/// must not choose the p: it has little power in small studies.
/// Assumes independent subjects and normal z.
///
/// Absent, with the reason: fewer than two complete subjects; a value that is not finite; for a term: one
/// level; no variation between subjects (error SS 0).
/// Sources: Greenhouse & Geisser 1959, Psychometrika 24:95; Huynh & Feldt 1976, J Educ Stat 1:69; Lecoutre
/// 1991, J Educ Stat 16:371; Mauchly 1940, Ann Math Stat 11:204. From memory, checked against R.
struct RepeatedMeasures {
    std::size_t subjects = 0;  ///< complete
    std::vector<std::size_t> foods;
    std::vector<std::size_t> times;
    std::vector<IncompleteSubject> leftOut;
    std::vector<RepeatedMeasuresTerm> terms;
    std::vector<std::string> notes;
    std::string absentBecause;
};

/// Each index in range; times finite and different.
RepeatedMeasures repeatedMeasures(const TimeCourseData& data);

}  // namespace aftercurve


# ---- Measures of insulin action and secretion ---------------------------------------------------------------------

insulinNo <- c(glucose = counts(planned("glucose_no")), insulin = counts(planned("insulin_no")),
               peptide = counts(planned("c_peptide_no")))
pmolPerUiu <- plannedNumber("insulin_pmol_per_uiu")
mgPerMmol <- 18.016

# Factor to mmol/L, pmol/L and nmol/L; NA where the unit is not known.
insulinFactor <- vapply(names(insulinNo), function(name) {
    if (insulinNo[[name]] == 0) {
        return(NA_real_)
    }
    unit <- analytes$unit[insulinNo[[name]]]
    known <- list(glucose = c("mmol/L" = 1, "mg/dL" = 1 / mgPerMmol),
                  insulin = c("pmol/L" = 1, "uIU/mL" = pmolPerUiu),
                  peptide = c("nmol/L" = 1, "ng/mL" = 1 / 3.0203, "pmol/L" = 1 / 1000))[[name]]
    # The unit with a micro sign is the only one that ends so; its bytes depend on the locale.
    if (name == "insulin" && grepl("IU/mL$", unit, useBytes = TRUE)) unname(known[2]) else unname(known[unit])
}, 0)

# One analyte of one visit, in the units above, with what rounding may have done to its areas.
insulinCurve <- function(name, subject, food, visit) {
    i <- which(curves$analyte_no == insulinNo[[name]] & curves$subject_no == subject & curves$food_no == food &
               curves$visit_no == visit)
    k <- insulinFactor[[name]]
    if (insulinNo[[name]] == 0 || length(i) != 1 || !mainCounts[i] || is.na(k)) {
        return(NULL)
    }
    s <- mainSeries[[i]]
    total <- finite(mainTable$values[[i, "area_total"]] * k)
    rises <- mainTable$values[[i, "area_positive_incremental"]] * k
    if (!is.na(rises) && !is.na(total) && rises <= resolution * total) {
        rises <- 0
    }
    concentration <- if (name == "insulin") 1 / pmolPerUiu else 1
    fasting <- mainTable$baseline[i] * k
    sampleAt <- function(time) {
        here <- which(s$scheduled == time)
        if (length(here) == 1) s$value[here] * k else NA_real_
    }
    later <- vapply(c(30, 60, 90, 120), sampleAt, 0)
    list(fasting = finite(fasting * concentration), at30 = finite(later[1] * concentration),
         mean = finite(sum(c(fasting, later) / 5) * concentration), total = total, increment = finite(rises),
         noise = 1e-13 * mainTable$size[i] * k * windowEnd)
}

insulinVisit <- function(subject, food, visit) {
    x <- lapply(stats::setNames(names(insulinNo), names(insulinNo)), insulinCurve, subject, food, visit)
    of <- function(name, part) if (is.null(x[[name]])) NA_real_ else x[[name]][[part]]
    c(glucose_fasting = of("glucose", "fasting"), insulin_fasting = of("insulin", "fasting"),
      c_peptide_fasting = of("peptide", "fasting"), glucose_30 = of("glucose", "at30"),
      insulin_30 = of("insulin", "at30"), c_peptide_30 = of("peptide", "at30"),
      glucose_mean = of("glucose", "mean"), insulin_mean = of("insulin", "mean"),
      glucose_area = of("glucose", "total"), insulin_area = of("insulin", "total"),
      c_peptide_area = of("peptide", "total"), glucose_increment = of("glucose", "increment"),
      insulin_increment = of("insulin", "increment"), glucose_noise = of("glucose", "noise"),
      insulin_noise = of("insulin", "noise"))
}

# A value and what rounding may have done to it; NA where a denominator is not above 0.
noInsulin <- c(NA_real_, 0)
insulinRatio <- function(above, below) if (below > 0) c(above / below, 0) else noInsulin
homaOf <- function(x) x[["glucose_fasting"]] / 22.5 * x[["insulin_fasting"]]
earlyQuotient <- function(x, fasting, later, factor) {
    rise <- x[["glucose_30"]] - x[["glucose_fasting"]]
    size <- max(x[["glucose_30"]], x[["glucose_fasting"]])
    if (rise <= resolution * size) {
        return(noInsulin)
    }
    value <- (x[[later]] - x[[fasting]]) / rise / factor
    c(value, 1e-13 * (abs(value) * size / rise + max(x[[later]], x[[fasting]]) / rise / factor))
}
insulinogenicOf <- function(x) earlyQuotient(x, "insulin_fasting", "insulin_30", mgPerMmol)
wholeBodyOf <- function(x) {
    below <- sqrt(x[["glucose_fasting"]] * mgPerMmol) * sqrt(x[["insulin_fasting"]]) *
        sqrt(x[["glucose_mean"]] * mgPerMmol) * sqrt(x[["insulin_mean"]])
    if (below > 0 && is.finite(below)) c(10000 / below, 0) else noInsulin
}

fastingBoth <- c("glucose_fasting", "insulin_fasting")
earlyBoth <- c(fastingBoth, "glucose_30", "insulin_30")
wholeBoth <- c("glucose_mean", "insulin_mean")
insulinMeasures <- list(
    homa_ir = list(fastingBoth, function(x) c(homaOf(x), 0)),
    inverse_homa_ir = list(fastingBoth, function(x) insulinRatio(1, homaOf(x))),
    log_homa_ir = list(fastingBoth, function(x) if (homaOf(x) > 0) c(log(homaOf(x)), 1e-13) else noInsulin),
    homa_b = list(fastingBoth, function(x) {
        g <- x[["glucose_fasting"]]
        if (g - 3.5 <= resolution * g) {
            return(noInsulin)
        }
        value <- 20 * (x[["insulin_fasting"]] / (g - 3.5))
        c(value, 1e-13 * value * g / (g - 3.5))
    }),
    quicki = list(fastingBoth, function(x) {
        if (x[["insulin_fasting"]] <= 0 || x[["glucose_fasting"]] <= 0) {
            return(noInsulin)
        }
        logs <- c(log10(x[["insulin_fasting"]]), log10(x[["glucose_fasting"]] * mgPerMmol))
        if (!is.finite(sum(logs)) || sum(logs) <= resolution) {
            return(noInsulin)
        }
        c(1 / sum(logs), 1e-13 * (1 + sum(abs(logs))) / sum(logs)^2)
    }),
    fasting_glucose_insulin_ratio = list(fastingBoth, function(x) {
        insulinRatio(x[["glucose_fasting"]] * mgPerMmol, x[["insulin_fasting"]])
    }),
    insulinogenic_index = list(earlyBoth, insulinogenicOf),
    insulinogenic_times_inverse_homa = list(earlyBoth, function(x) {
        insulinogenicOf(x) * if (homaOf(x) > 0) 1 / homaOf(x) else NA
    }),
    whole_body_sensitivity = list(c(fastingBoth, wholeBoth), wholeBodyOf),
    insulinogenic_times_whole_body = list(c(earlyBoth, wholeBoth), function(x) {
        insulinogenicOf(x) * wholeBodyOf(x)[1]
    }),
    c_peptide_insulin_ratio_fasting = list(c("insulin_fasting", "c_peptide_fasting"), function(x) {
        insulinRatio(1000 * x[["c_peptide_fasting"]], x[["insulin_fasting"]] * pmolPerUiu)
    }),
    c_peptide_insulin_ratio_area = list(c("insulin_area", "c_peptide_area"), function(x) {
        insulinRatio(1000 * x[["c_peptide_area"]], x[["insulin_area"]])
    }),
    c_peptide_increment_index = list(c("glucose_fasting", "c_peptide_fasting", "glucose_30", "c_peptide_30"),
                                     function(x) earlyQuotient(x, "c_peptide_fasting", "c_peptide_30", 1)),
    insulin_glucose_area_ratio = list(c("glucose_area", "insulin_area"), function(x) {
        insulinRatio(x[["insulin_area"]], x[["glucose_area"]])
    }),
    insulin_glucose_increment_ratio = list(c("glucose_increment", "insulin_increment"), function(x) {
        value <- insulinRatio(x[["insulin_increment"]], x[["glucose_increment"]])[1]
        c(value, (x[["insulin_noise"]] + abs(value) * x[["glucose_noise"]]) / x[["glucose_increment"]])
    }))

putInsulinSummary <- function(key, f, x, noise, against, noiseAgainst, adjusted, test) {
    given <- x[!is.na(x)]
    t <- pairedT(given, largestOf(given))
    q <- if (length(given) == 0) rep(NA_real_, 3) else quantile(given, c(0.5, 0.25, 0.75), names = FALSE, type = 7)
    geometric <- c(NA_real_, NA_real_)
    logNoise <- 0
    if (length(given) > 0 && all(given > 0) && key != "log_homa_ir") {
        logs <- log(given)
        geometric <- finite(c(exp(meanOf(logs)), 100 * sqrt(expm1(sdOf(logs)^2))))
        logNoise <- 1e-13 * (1 + largestOf(logs)) + max(noise[!is.na(x)] / given)
    }
    own <- 1e-13 * largestOf(given) + max(0, noise[!is.na(x)])
    put("insulin_summary",
        c(n = length(given), mean = t[["mean_difference"]], sd = t[["sd_difference"]], sem = t[["sem_difference"]],
          mean_ci_low = t[["ci_low"]], mean_ci_high = t[["ci_high"]], median = q[1], lower_quartile = q[2],
          upper_quartile = q[3], geometric_mean = geometric[1], geometric_cv_percent = geometric[2]),
        measure = key, food = f,
        noise = c(mean = own, sd = 10 * own, sem = 10 * own, mean_ci_low = 20 * own, mean_ci_high = 20 * own,
                  median = own, lower_quartile = own, upper_quartile = own,
                  geometric_mean = if (is.na(geometric[1])) 0 else geometric[1] * logNoise,
                  geometric_cv_percent = if (is.na(geometric[2])) 0 else 1000 * logNoise * (1 + (geometric[2] / 100)^2)))
    if (is.null(test)) {
        return(invisible())
    }
    both <- !is.na(x) & !is.na(against)
    d <- x[both] - against[both]
    size <- largestOf(x[both], against[both])
    of <- noiseOfT(test, size + 1e14 * max(0, noise[both], noiseAgainst[both]))
    put("insulin_summary",
        c(n_pairs = length(d), test[c("mean_difference", "ci_low", "ci_high", "t", "df", "p")], p_adjusted = adjusted,
          wilcoxon_p = signedRank(d, size)$p),
        measure = key, food = f, comparator = comparator, noise = of)
}

putInsulin <- function(key, inputs, visits, compute) {
    values <- t(vapply(seq_len(nrow(visits)), function(i) {
        x <- insulinInputs[[i]]
        readable <- !(key %in% c("whole_body_sensitivity", "insulinogenic_times_whole_body")) ||
            foods$role[visits$food[i]] == "reference"
        result <- if (!readable || anyNA(x[inputs])) noInsulin else compute(x)
        told <- x[inputs]
        if (!readable) {
            told[] <- NA
        }
        if (is.na(result[1]) || !is.finite(result[1])) {
            result <- noInsulin
        }
        areaNoise <- c(glucose_increment = x[["glucose_noise"]], insulin_increment = x[["insulin_noise"]])
        put("insulin_measures", c(value = result[1], told), measure = key, food = visits$food[i],
            subject = visits$subject[i], visit = visits$visit[i], noise = c(value = result[[2]], areaNoise))
        unname(result)
    }, c(0, 0)))
    bySubject <- function(f, column) {
        vapply(seq_len(nrow(subjects)), function(s) {
            here <- which(visits$food == f & visits$subject == s & !is.na(values[, 1]))
            x <- values[here, column]
            if (length(x) == 0) NA_real_ else if (column == 1) finite(plainSum(x) / length(x)) else max(x)
        }, 0)
    }
    means <- lapply(seq_len(nrow(foods)), bySubject, 1)
    noise <- lapply(seq_len(nrow(foods)), bySubject, 2)
    tests <- lapply(seq_len(nrow(foods)), function(f) {
        if (comparator == 0 || f == comparator) {
            return(NULL)
        }
        both <- !is.na(means[[f]]) & !is.na(means[[comparator]])
        pairedT(means[[f]][both] - means[[comparator]][both], largestOf(means[[f]][both], means[[comparator]][both]))
    })
    adjusted <- adjustedP(vapply(tests, function(t) if (is.null(t)) NA_real_ else t[["p"]], 0),
                          planned("multiplicity"))
    for (f in seq_len(nrow(foods))) {
        k <- if (comparator > 0) comparator else f
        putInsulinSummary(key, f, means[[f]], noise[[f]], means[[k]], noise[[k]], adjusted[f], tests[[f]])
    }
}

insulinOf <- which(curves$analyte_no %in% insulinNo[insulinNo > 0])
insulinVisits <- unique(data.frame(food = curves$food_no[insulinOf], subject = curves$subject_no[insulinOf],
                                   visit = curves$visit_no[insulinOf]))
insulinVisits <- insulinVisits[order(insulinVisits$food, insulinVisits$subject, insulinVisits$visit), ]
if (sum(insulinNo > 0) > 1 && nrow(insulinVisits) > 0) {
    insulinInputs <- lapply(seq_len(nrow(insulinVisits)), function(i) {
        insulinVisit(insulinVisits$subject[i], insulinVisits$food[i], insulinVisits$visit[i])
    })
    analyteOfInput <- function(input) sub("^c_", "", sub("^(glucose|insulin|c_peptide)_.*$", "\\1", input))
    for (key in names(insulinMeasures)) {
        inputs <- insulinMeasures[[key]][[1]]
        if (all(insulinNo[analyteOfInput(inputs)] > 0)) {
            putInsulin(key, inputs, insulinVisits, insulinMeasures[[key]][[2]])
        }
    }
}

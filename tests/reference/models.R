# Linear mixed models in R, for tests/core/compare/mixed_model_reference_test.cpp.
#   Rscript tests/reference/models.R OUTDIR
# writes models_rows.csv (the data), models_fits.csv, models_terms.csv, models_means.csv and
# models_differences.csv. Needs lme4, lmerTest, pbkrtest, emmeans and numDeriv; the versions stand in README.md.
# Studies are invented, except "clock-time" (see below). Run it from the root of the sources. Results are written to 17 digits; those that come
# through lmerTest's numerical derivatives (Satterthwaite's df) hold to about 7, the last digits of all
# depend on the linear algebra R was built with.

suppressPackageStartupMessages({
    library(lme4)
    library(lmerTest)
    library(pbkrtest)
    library(emmeans)
})

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript models.R OUTDIR")
outDir <- arguments[1]

set.seed(20260306, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")
options(contrasts = c("contr.treatment", "contr.poly"))
emm_options(lmer.df = "satterthwaite")

# ---- studies ----------------------------------------------------------------------------------------------

kinds <- c("balanced", "missing", "replicates", "no-subject-variance", "sparse", "no-period")

makeStudy <- function(i) {
    kind <- kinds[(i - 1) %% length(kinds) + 1]
    k <- 2 + (i %/% 3) %% 3
    n <- if (kind == "balanced") k * sample(2:7, 1) else sample(max(4, k + 1):30, 1)
    n <- min(n, 30)
    # Cyclic Latin square: subject s begins with food s and goes on from there.
    rows <- expand.grid(period = seq_len(k), subject = seq_len(n))
    rows$sequence <- (rows$subject - 1) %% k + 1
    rows$food <- (rows$sequence + rows$period - 2) %% k + 1
    if (kind == "replicates") {
        rows <- rbind(rows, rows[sample(nrow(rows), max(2, nrow(rows) %/% 4)), ])
    }
    if (kind %in% c("missing", "no-subject-variance", "no-period")) {
        rows <- rows[sample(nrow(rows), ceiling(0.85 * nrow(rows))), ]
    } else if (kind == "sparse") {
        rows <- rows[sample(nrow(rows), ceiling(0.65 * nrow(rows))), ]
    }
    rows <- rows[order(rows$subject, rows$period), ]
    sdResidual <- sample(c(0.5, 20, 40, 3000), 1)
    sdSubject <- sdResidual * (if (kind == "no-subject-variance") 0 else sample(c(0.3, 1, 2, 8), 1))
    u <- rnorm(n, 0, sdSubject)
    foods <- rnorm(k, 0, sdResidual)
    periods <- rnorm(k, 0, 0.5 * sdResidual)
    value <- 5 * sdResidual + u[rows$subject] + foods[rows$food] + periods[rows$period] +
        rnorm(nrow(rows), 0, sdResidual)
    data <- data.frame(
        subject = sprintf("s%02d", rows$subject), food = paste0("f", rows$food),
        period = paste0("p", rows$period), sequence = paste0("q", rows$sequence),
        value = as.numeric(sprintf("%.6g", value)), stringsAsFactors = TRUE)
    factors <- c("food", if (kind != "no-period") "period", if (i %% 2 == 0 && n > k + 1) "sequence")
    list(name = sprintf("%02d-%s", i, kind), data = data, factors = factors)
}

studies <- lapply(seq_len(60), makeStudy)

# Incomplete on purpose: f1 is only ever given in odd periods and the others in even ones, so that f1 cannot
# be compared with them when the period counts; f3 against f2 can.
for (n in c(6, 11, 14)) {
    orders <- list(c(1, 2, 1, 3, 1), c(1, 3, 1, 2, 1))
    rows <- do.call(rbind, lapply(seq_len(n), function(s) {
        data.frame(subject = s, period = 1:5, food = orders[[s %% 2 + 1]])
    }))
    value <- 100 + rnorm(n, 0, 20)[rows$subject] + 7 * rows$food + rnorm(nrow(rows), 0, 15)
    data <- data.frame(
        subject = sprintf("s%02d", rows$subject), food = paste0("f", rows$food),
        period = paste0("p", rows$period), sequence = "q1", value = as.numeric(sprintf("%.6g", value)),
        stringsAsFactors = TRUE)
    studies <- c(studies, list(list(name = paste0("disconnected-", n), data = data,
                                    factors = c("food", "period"))))
}

# Real data: the areas of tests/reference/meals_by_clock_time_curves.csv (data set Glucose of the R package
# nlme; the areas are computed by meals_by_clock_time.R).
clock <- read.csv("tests/reference/meals_by_clock_time_curves.csv")
clock <- clock[clock$window_end_min == 120 & clock$baseline_rule == "fasting-mean" &
                   !is.na(clock$area_positive_incremental), ]
stopifnot(nrow(clock) == 36)
studies <- c(studies, list(list(
    name = "clock-time",
    data = data.frame(subject = factor(sprintf("s%02d", as.integer(clock$subject))), food = factor(clock$food),
                      period = factor("p1"), sequence = factor("q1"),
                      value = clock$area_positive_incremental),
    factors = "food")))

# The invented sample studies, from the areas of sample_studies_curves.csv (sample_studies.R): what `analyse` fits.
curves <- read.csv("tests/reference/sample_studies_curves.csv", colClasses = c(subject = "character"))
curves <- curves[!curves$excluded & !is.na(curves$area_positive_incremental), ]
for (name in c("barley-index", "pulse-wafer-crossover")) {
    folder <- file.path("sample_studies", name)
    draws <- read.csv(file.path(folder, "samples.csv"), colClasses = c(subject = "character"))
    draws <- unique(draws[c("subject", "food", "visit", "period")])
    people <- read.csv(file.path(folder, "subjects.csv"), colClasses = c(subject = "character"))
    for (analyte in unique(curves$analyte[curves$study == name])) {
        used <- merge(merge(curves[curves$study == name & curves$analyte == analyte, ], draws), people)
        data <- data.frame(
            subject = factor(used$subject), food = factor(used$food), period = factor(used$period),
            sequence = factor(used$sequence), value = used$area_positive_incremental)
        # In the index study the reference keeps to mornings of its own: no period beside the food.
        factors <- c("food", if (name != "barley-index") "period", "sequence")
        studies <- c(studies, list(list(name = paste(name, analyte, sep = "/"), data = data, factors = factors)))
    }
}

# ---- fits -------------------------------------------------------------------------------------------------

source("tests/reference/tight_fit.R")

text <- function(x) ifelse(is.na(x), "NA", if (is.numeric(x)) sprintf("%.17g", x) else as.character(x))
column <- function(table, name) if (is.null(table[[name]])) rep(NA_real_, nrow(table)) else table[[name]]
rowsOf <- function(...) do.call(paste, c(lapply(list(...), text), sep = ","))

data <- fits <- terms <- means <- differences <- character(0)
for (study in studies) {
    d <- study$data
    full <- c("period", "sequence")
    d[setdiff(full, study$factors)] <- NA
    data <- c(data, rowsOf(study$name, as.character(d$subject), as.character(d$food), as.character(d$period),
                           as.character(d$sequence), d$value))
    fit <- tightFit(study)
    variances <- as.data.frame(VarCorr(fit))$vcov
    dropped <- length(attr(getME(fit, "X"), "col.dropped"))
    fits <- c(fits, rowsOf(study$name, nobs(fit), dropped, variances[1], variances[2], as.numeric(logLik(fit))))
    for (method in c("satterthwaite", "kenward-roger")) {
        ddf <- if (method == "satterthwaite") "Satterthwaite" else "Kenward-Roger"
        # What a type III test of an incomplete design means differs between programs: not compared.
        if (dropped == 0) {
            table <- suppressWarnings(anova(fit, type = 3, ddf = ddf))
            terms <- c(terms, rowsOf(study$name, method, rownames(table), table$NumDF, table$DenDF,
                                     table$`F value`, table$`Pr(>F)`))
        }
        grid <- emmeans(fit, "food", lmer.df = method)
        m <- as.data.frame(summary(grid, infer = c(TRUE, FALSE), level = 0.95))
        means <- c(means, rowsOf(study$name, method, as.character(m$food), m$emmean, m$SE, m$df,
                                 column(m, "lower.CL"), column(m, "upper.CL")))
        pairs <- contrast(grid, "revpairwise", adjust = "none")
        c2 <- as.data.frame(summary(pairs, infer = c(TRUE, TRUE), level = 0.95, adjust = "none"))
        levels <- levels(m$food)
        # revpairwise: second − first, third − first, third − second, ...
        index <- do.call(rbind, lapply(seq_along(levels)[-1], function(a) cbind(a, seq_len(a - 1))))
        differences <- c(differences, rowsOf(study$name, method, levels[index[, 1]], levels[index[, 2]],
                                             c2$estimate, c2$SE, c2$df, c2$t.ratio, c2$p.value, c2$lower.CL,
                                             c2$upper.CL))
    }
}

write <- function(lines, name) {
    file <- file(file.path(outDir, name), open = "wb")
    writeLines(lines, file, sep = "\n")
    close(file)
}
write(c("study,subject,food,period,sequence,value", data), "models_rows.csv")
write(c("study,rows,dropped,variance_subject,variance_residual,log_likelihood", fits), "models_fits.csv")
write(c("study,method,term,num_df,den_df,f,p", terms), "models_terms.csv")
write(c("study,method,food,estimate,se,df,ci_low,ci_high", means), "models_means.csv")
write(c("study,method,food,minus,estimate,se,df,t,p,ci_low,ci_high", differences), "models_differences.csv")

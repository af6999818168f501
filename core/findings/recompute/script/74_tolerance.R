
# ---- Symptom diaries: arms, planned days, scores ------------------------------------------------------------------

diarySettings <- readFile("diary_settings.csv")
diaryItems <- readFile("diary_items.csv")
diaryDays <- readFile("diary_days.csv")
diaryExcluded <- readFile("diary_excluded.csv")
adverseEvents <- readFile("adverse_events.csv")
diarySetting <- function(key) diarySettings$value[diarySettings$key == key]
for (column in c("least", "most", "threshold")) {
    diaryItems[[column]] <- numbers(diaryItems[[column]])
}
compositeItems <- which(diaryItems$composite == "yes")

diaryDays$subject <- counts(diaryDays$subject_no)
diaryDays$food <- counts(diaryDays$food_no)
diaryDays$period <- counts(diaryDays$period)
diaryDays$day <- counts(diaryDays$day)
diaryDays$dose <- numbers(diaryDays$dose_g)
# Column of scores by item; then the composite, stool form and number of stools, where they are.
diaryValues <- lapply(seq_len(nrow(diaryItems)), function(i) numbers(diaryDays[[paste0("item_", i)]]))
diaryKinds <- rep("item", nrow(diaryItems))
diaryLeast <- diaryItems$least
hasEntry <- nzchar(diaryDays$stool_form) | nzchar(diaryDays$stools) | Reduce(`|`, lapply(diaryValues, function(v) !is.na(v)), FALSE)
addQuantity <- function(kind, values, least) {
    diaryValues[[length(diaryValues) + 1]] <<- values
    diaryKinds <<- c(diaryKinds, kind)
    diaryLeast <<- c(diaryLeast, least)
}
if (length(compositeItems) > 1) {
    scores <- matrix(unlist(diaryValues[compositeItems]), nrow(diaryDays), length(compositeItems))
    least <- diaryItems$least[compositeItems]
    width <- diaryItems$most[compositeItems] - least
    present <- !is.na(scores)
    above <- rowSums(sweep(scores, 2, least), na.rm = TRUE)
    values <- ifelse(rowSums(present) == length(least), sum(least) + above, NA)
    if (diarySetting("prorate") == "yes") {
        scaled <- rowSums(present) > 0 & 2 * rowSums(present) >= length(least) & is.na(values)
        values[scaled] <- sum(least) + (above * sum(width) / as.vector(present %*% width))[scaled]
    }
    addQuantity("composite", values, sum(least))
}
if (any(nzchar(diaryDays$stool_form))) addQuantity("stool form", numbers(diaryDays$stool_form), 1)
if (any(nzchar(diaryDays$stools))) addQuantity("stools", numbers(diaryDays$stools), 0)
diaryMeasures <- lapply(diaryKinds, function(kind) {
    switch(kind, "stool form" = c("loose_percent", "hard_percent"), stools = "mean", c("worst", "mean", "area"))
})

# Days that count, each with its dose: the only one of its period, where it gives none.
counted <- diaryDays$excluded == "no" & diaryDays$subject > 0 & diaryDays$food > 0
diaryPeriod <- paste(diaryDays$food, diaryDays$subject, diaryDays$period)
changing <- integer(0)
for (key in unique(diaryPeriod[counted])) {
    here <- which(counted & diaryPeriod == key)
    doses <- unique(diaryDays$dose[here][!is.na(diaryDays$dose[here])])
    if (length(doses) == 1) {
        diaryDays$dose[here] <- doses
    } else if (length(doses) > 1) {
        changing <- c(changing, diaryDays$food[here[1]])
        counted[here[is.na(diaryDays$dose[here])]] <- FALSE
    }
}
diaryArms <- unique(diaryDays[counted, c("food", "dose")])
diaryArms <- diaryArms[order(diaryArms$food, diaryArms$dose, na.last = FALSE), ]
sameDose <- function(a, b) (is.na(a) & is.na(b)) | (!is.na(a) & !is.na(b) & a == b)
armOf <- vapply(seq_len(nrow(diaryDays)), function(i) {
    if (counted[i]) which(diaryArms$food == diaryDays$food[i] & sameDose(diaryArms$dose, diaryDays$dose[i])) else 0L
}, 0L)
plannedDays <- counts(diarySetting("planned_days"))
if (plannedDays == 0) plannedDays <- max(0L, diaryDays$day)
armDays <- lapply(seq_len(nrow(diaryArms)), function(k) {
    if (diaryArms$food[k] %in% changing) range(diaryDays$day[armOf == k]) else c(1L, plannedDays)
})

# One subject in one arm and period; a subject with a diary, but no day of an arm, has a run of missing days.
diaryRuns <- unique(data.frame(arm = armOf, subject = diaryDays$subject, period = diaryDays$period)[counted, ])
for (s in unique(diaryRuns$subject)) {
    for (k in setdiff(seq_len(nrow(diaryArms)), diaryRuns$arm[diaryRuns$subject == s])) {
        if (!any(counts(diaryExcluded$subject_no) == s & counts(diaryExcluded$food_no) == diaryArms$food[k])) {
            diaryRuns <- rbind(diaryRuns, data.frame(arm = k, subject = s, period = 0L))
        }
    }
}
diaryRuns <- diaryRuns[order(diaryRuns$arm, diaryRuns$subject, diaryRuns$period), ]
runDays <- lapply(seq_len(nrow(diaryRuns)), function(r) {
    run <- diaryRuns[r, ]
    here <- which(counted & hasEntry & armOf == run$arm & diaryDays$subject == run$subject & diaryDays$period == run$period &
                  diaryDays$day <= armDays[[run$arm]][2])
    here[order(diaryDays$day[here])]
})
for (r in seq_len(nrow(diaryRuns))) {
    run <- diaryRuns[r, ]
    ends <- armDays[[run$arm]]
    missing <- setdiff(ends[1]:ends[2], diaryDays$day[runDays[[r]]])
    if (length(missing) > 0) {
        put("diary_missing",
            c(dose_g = diaryArms$dose[run$arm], period = if (run$period > 0) run$period else NA, days_planned = diff(ends) + 1,
              days_present = length(runDays[[r]]), days_missing = length(missing)),
            subject = run$subject, item = paste(run$arm, run$period, sep = "/"))
    }
}

# One quantity of one period: what is made of its days.
ofPeriod <- function(q, days, ends) {
    none <- c(worst = NA_real_, mean = NA, area = NA, loose_percent = NA, hard_percent = NA)
    v <- diaryValues[[q]][days]
    day <- diaryDays$day[days][!is.na(v)]
    v <- v[!is.na(v)]
    if (length(v) == 0) {
        return(none)
    }
    if (diaryKinds[q] == "stool form") {
        none[c("loose_percent", "hard_percent")] <- 100 * c(mean(v >= 6), mean(v <= 2))
        return(none)
    }
    none["mean"] <- mean(v)
    if (diaryKinds[q] != "stools") {
        none["worst"] <- max(v)
        if (diff(ends) > 0 && day[1] == ends[1] && day[length(day)] == ends[2]) {
            none["area"] <- trapezoids(day, v)
        }
    }
    none
}
meanOfGiven <- function(x) if (all(is.na(x))) NA_real_ else mean(x, na.rm = TRUE)
yesNoWord <- function(x) if (is.na(x)) "" else if (x) "yes" else "no"

# By quantity, arm and subject: the measures, and whether there was any or a marked score.
diaryScores <- list()
for (q in seq_along(diaryValues)) {
    for (k in seq_len(nrow(diaryArms))) {
        for (s in sort(unique(diaryRuns$subject[diaryRuns$arm == k]))) {
            of <- which(diaryRuns$arm == k & diaryRuns$subject == s)
            each <- vapply(runDays[of], function(days) ofPeriod(q, days, armDays[[k]]), numeric(5))
            values <- apply(each, 1, meanOfGiven)
            daysPlanned <- length(of) * (diff(armDays[[k]]) + 1)
            scored <- sum(!is.na(diaryValues[[q]][unlist(runDays[of])]))
            # In one period or more.
            largest <- if (all(is.na(each["worst", ]))) NA_real_ else max(each["worst", ], na.rm = TRUE)
            some <- largest > diaryLeast[q]
            marked <- if (diaryKinds[q] == "item") largest >= diaryItems$threshold[q] else NA
            put("tolerance_scores", c(dose_g = diaryArms$dose[k], days_planned = daysPlanned, days_scored = scored, values),
                c(any = yesNoWord(some), marked = yesNoWord(marked)), subject = s, item = paste(q, k, sep = "/"))
            diaryScores[[length(diaryScores) + 1]] <- data.frame(q = q, arm = k, subject = s, t(values), any = some,
                                                                 marked = marked, gaps = scored < daysPlanned)
        }
    }
}
diaryScores <- do.call(rbind, diaryScores)
# A measure of every subject; NA where there is none.
scoreOf <- function(q, k, measure) {
    of <- diaryScores[diaryScores$q == q & diaryScores$arm == k, ]
    of[[measure]][match(seq_len(nrow(subjects)), of$subject)]
}

for (q in seq_along(diaryValues)) {
    for (k in seq_len(nrow(diaryArms))) {
        for (measure in diaryMeasures[[q]]) {
            x <- scoreOf(q, k, measure)
            x <- x[!is.na(x)]
            t <- pairedT(x, largestOf(x))
            quartiles <- if (length(x) == 0) rep(NA_real_, 4) else quantile(x, c(0.5, 0.25, 0.75, 1), names = FALSE, type = 7)
            put("tolerance_summary",
                c(dose_g = diaryArms$dose[k], n = length(x), median = quartiles[1], lower_quartile = quartiles[2],
                  upper_quartile = quartiles[3], largest = quartiles[4], mean = t[["mean_difference"]],
                  sd = t[["sd_difference"]], t["ci_low"], t["ci_high"]),
                measure = measure, item = paste(q, k, sep = "/"), noise = 2e-12 * largestOf(x))
        }
        # Subjects by their worst day, and days, by score.
        if (diaryKinds[q] == "item" && diaryItems$most[q] - diaryItems$least[q] < 21) {
            here <- diaryRuns$arm == k
            days <- diaryValues[[q]][unlist(runDays[here])]
            by <- rep(diaryRuns$subject[here], lengths(runDays[here]))
            worst <- tapply(days[!is.na(days)], by[!is.na(days)], max)
            for (score in diaryItems$least[q]:diaryItems$most[q]) {
                at <- c(sum(worst == score), sum(days == score, na.rm = TRUE))
                all <- c(length(worst), sum(!is.na(days)))
                share <- ifelse(all > 0, 100 * at / all, NA)
                put("tolerance_categories",
                    c(dose_g = diaryArms$dose[k], score = score, subjects = at[1], subjects_percent = share[1], days = at[2],
                      days_percent = share[2]), item = paste(q, k, score, sep = "/"))
            }
        }
    }
}

# ---- Symptom diaries: against the comparator, over doses, shares of subjects --------------------------------------

# The comparator's only arm, else the one of the same dose.
againstArm <- vapply(seq_len(nrow(diaryArms)), function(k) {
    of <- which(diaryArms$food == comparator)
    if (comparator == 0 || diaryArms$food[k] == comparator) {
        return(0L)
    }
    if (length(of) > 1) of <- of[sameDose(diaryArms$dose[of], diaryArms$dose[k])]
    if (length(of) == 1) of else 0L
}, 0L)
testedArms <- which(againstArm > 0)

# Higher, equal and lower pairs; their probability and win odds, the interval on the logarithm of the odds.
superiorityOf <- function(d, size) {
    out <- c(higher = 0, equal = 0, lower = 0, superiority = NA, superiority_ci_low = NA, superiority_ci_high = NA, win_odds = NA)
    n <- length(d)
    if (n == 0) {
        return(out)
    }
    limit <- resolution * size
    count <- ifelse(abs(d) <= limit, 0.5, ifelse(d > 0, 1, 0))
    theta <- mean(count)
    out[1:4] <- c(sum(count == 1), sum(count == 0.5), sum(count == 0), theta)
    if (theta < 1) {
        out["win_odds"] <- theta / (1 - theta)
    }
    if (n > 1 && theta > 0 && theta < 1 && out[["equal"]] < n) {
        se <- sd(count) / sqrt(n)
        out[5:6] <- plogis(qlogis(theta) + c(-1, 1) * qnorm(alpha / 2, lower.tail = FALSE) * se / (theta * (1 - theta)))
    }
    out
}

for (q in seq_along(diaryValues)) {
    for (measure in diaryMeasures[[q]]) {
        pairs <- lapply(testedArms, function(k) {
            a <- scoreOf(q, k, measure)
            b <- scoreOf(q, againstArm[k], measure)
            both <- !is.na(a) & !is.na(b)
            list(d = (a - b)[both], size = largestOf(a[both], b[both]))
        })
        ranks <- lapply(pairs, function(x) signedRank(x$d, x$size))
        adjusted <- adjustedP(vapply(ranks, function(r) r$p, 0), planned("multiplicity"))
        for (i in seq_along(testedArms)) {
            k <- testedArms[i]
            d <- pairs[[i]]$d
            size <- pairs[[i]]$size
            t <- pairedT(d, size)
            hl <- hodgesLehmann(d)
            because <- if (is.null(hl)) paste("more than", mostWalsh, "pairs") else ""
            put("tolerance_tests",
                c(dose_g = diaryArms$dose[k], comparator_dose_g = diaryArms$dose[againstArm[k]], n_pairs = length(d),
                  mean_difference = t[["mean_difference"]], wilcoxon_v = ranks[[i]]$v, wilcoxon_p = ranks[[i]]$p,
                  p_adjusted = adjusted[i], sign_p = signTest(d, size)[["p"]], superiorityOf(d, size)),
                measure = measure, item = paste(q, k, sep = "/"), noise = c(mean_difference = 1e-13 * size))
            put("tolerance_tests",
                c(hodges_lehmann = if (is.null(hl)) NA else hl$estimate, hodges_lehmann_ci_low = if (is.null(hl)) NA else hl$low,
                  hodges_lehmann_ci_high = if (is.null(hl)) NA else hl$high),
                measure = measure, item = paste(q, k, sep = "/"), noise = 1e-13 * size, because = because)
        }
    }
}

# Friedman's test over the doses of a food; the comparator's arm first, where it has one.
putDoses <- function(q, measure, food, arms) {
    values <- matrix(vapply(arms, function(k) scoreOf(q, k, measure), numeric(nrow(subjects))), nrow(subjects))
    values <- values[rowSums(is.na(values)) == 0, , drop = FALSE]
    b <- nrow(values)
    k <- length(arms)
    out <- c(n = b, chi_square = NA, df = NA, p = NA, kendall_w = NA)
    method <- ""
    ranks <- if (b == 0) NULL else t(apply(values, 1, doubledRanks))
    spread <- if (b == 0) 0 else sum(ranks^2) - b * k * (k + 1)^2
    if (spread > 0) {
        sums <- colSums(ranks)
        chi <- (k - 1) * sum((sums - b * (k + 1))^2) / spread
        exact <- exactRankP(ranks)
        method <- if (is.na(exact)) "chi-square" else "exact"
        out[-1] <- c(chi, k - 1, if (is.na(exact)) pchisq(chi, k - 1, lower.tail = FALSE) else exact, chi / (b * (k - 1)))
        left <- b * sum(ranks^2) - sum(sums^2)
        df <- (b - 1) * (k - 1)
        d <- sums[-1] - sums[1]
        p <- if (b > 1 && left > 0) twoSided(d / sqrt(2 * left / df), df) else rep(NA_real_, k - 1)
        adjusted <- adjustedP(p, planned("multiplicity"))
        for (i in seq_along(d)) {
            put("tolerance_dose_pairs", c(mean_rank_difference = d[i] / (2 * b), p_adjusted = adjusted[i]), measure = measure,
                food = food, item = paste(q, arms[i + 1], sep = "/"))
        }
    }
    put("tolerance_doses", out, c(method = method), measure = measure, food = food, item = q)
}
ofComparator <- which(comparator > 0 & diaryArms$food == comparator)
for (f in unique(diaryArms$food)) {
    arms <- which(diaryArms$food == f & !is.na(diaryArms$dose))
    if (length(arms) > 1) {
        if (length(ofComparator) == 1 && f != comparator) arms <- c(ofComparator, arms)
        for (q in seq_along(diaryValues)) {
            for (measure in diaryMeasures[[q]]) putDoses(q, measure, f, arms)
        }
    }
}

# Shares of subjects with their exact interval, and McNemar's test of pairs.
incidenceOf <- function(q, k, criterion) {
    yes <- scoreOf(q, k, criterion)
    given <- !is.na(scoreOf(q, k, "any"))
    n <- sum(given)
    x <- sum(yes[given])
    out <- c(dose_g = diaryArms$dose[k], subjects = x, n = n, percent = NA, ci_low = NA, ci_high = NA,
             no_with_missing_days = sum(!yes[given] & scoreOf(q, k, "gaps")[given]), n_pairs = NA, food_only = NA,
             comparator_only = NA, difference_percent = NA, difference_ci_low = NA, difference_ci_high = NA, p = NA,
             mid_p = NA)
    if (n > 0) {
        out[c("percent", "ci_low", "ci_high")] <- 100 * c(x / n, if (x == 0) 0 else qbeta(alpha / 2, x, n - x + 1),
                                                          if (x == n) 1 else qbeta(1 - alpha / 2, x + 1, n - x))
    }
    if (againstArm[k] > 0) {
        other <- scoreOf(q, againstArm[k], criterion)
        both <- given & !is.na(other)
        m <- sum(both)
        b <- sum(yes[both] & !other[both])
        c <- sum(!yes[both] & other[both])
        out[c("n_pairs", "food_only", "comparator_only")] <- c(m, b, c)
        if (m > 0) {
            p12 <- (b + 1) / (m + 2)
            p21 <- (c + 1) / (m + 2)
            half <- qnorm(alpha / 2, lower.tail = FALSE) * sqrt((p12 + p21 - (p12 - p21)^2) / (m + 2))
            out[c("difference_percent", "difference_ci_low", "difference_ci_high")] <-
                100 * c((b - c) / m, max(-1, p12 - p21 - half), min(1, p12 - p21 + half))
        }
        if (b + c > 0) {
            tail <- pbinom(min(b, c), b + c, 0.5)
            out[c("p", "mid_p")] <- pmin(1, 2 * c(tail, tail - dbinom(min(b, c), b + c, 0.5) / 2))
        }
    }
    out
}
for (q in which(diaryKinds %in% c("item", "composite"))) {
    for (criterion in if (diaryKinds[q] == "item") c("any", "marked") else "any") {
        found <- lapply(seq_len(nrow(diaryArms)), function(k) incidenceOf(q, k, criterion))
        adjusted <- adjustedP(vapply(found, function(x) x[["p"]], 0), planned("multiplicity"))
        for (k in seq_along(found)) {
            put("tolerance_incidence", c(found[[k]], p_adjusted = adjusted[k]), item = paste(q, k, criterion, sep = "/"),
                noise = c(difference_ci_low = 1e-12, difference_ci_high = 1e-12))
        }
    }
}

# ---- Adverse events, as written -----------------------------------------------------------------------------------

for (i in seq_len(nrow(adverseEvents))) {
    put("adverse_events", c(day = numbers(adverseEvents$day[i])), item = i)
}
for (column in c("subject_no", "food_no", "severity_no")) {
    adverseEvents[[column]] <- counts(adverseEvents[[column]])
}
eventGroups <- unique(adverseEvents[c("food_no", "severity_no")])
eventGroups <- eventGroups[order(eventGroups$food_no, eventGroups$severity_no), ]
for (i in seq_len(nrow(eventGroups))) {
    of <- adverseEvents[adverseEvents$food_no == eventGroups$food_no[i] & adverseEvents$severity_no == eventGroups$severity_no[i], ]
    put("adverse_event_counts",
        c(events = nrow(of), subjects = length(unique(of$subject_no)), serious = sum(of$serious == "yes")), item = i)
}


# ---- Digestion in vitro -------------------------------------------------------------------------------------------

assaySettings <- readFile("assay_settings.csv")
assaySamples <- readFile("assay_samples.csv")
assayReadings <- readFile("assay_readings.csv")
assayReadings <- assayReadings[assayReadings$excluded == "no", ]
assaySetting <- function(key) assaySettings$value[assaySettings$key == key]
assayNumber <- function(key) numbers(assaySetting(key))
ofSample <- function(key, s) numbers(assaySamples[[key]][s])
orZero <- function(x) if (is.na(x)) 0 else x

percentRead <- assaySetting("quantity") == "starch-percent"
toStarch <- assayNumber("glucose_to_starch")
assayInterpolates <- assaySetting("interpolate") == "yes"
assayFractions <- c("rapidly_digestible", "slowly_digestible", "resistant", "late_digestible", "remainder_at_last")

# Readings by digestion and time, with what is made of them; a number without its data is NA.
for (column in c("run_no", "sample_no", "digestion_no")) {
    assayReadings[[column]] <- counts(assayReadings[[column]])
}
assayReadings$time <- numbers(assayReadings$time_min)
assayReadings$value <- numbers(assayReadings$value)
assayReadings$mass <- numbers(assayReadings$sample_mass_mg)
blanks <- assayReadings[assayReadings$blank == "yes", ]
points <- assayReadings[assayReadings$digestion_no > 0, ]
points <- points[order(points$digestion_no, points$time), ]
blankAt <- function(run, time) {
    if (!run %in% blanks$run_no) {
        return(c(subtract = 0, shown = NA))
    }
    x <- blanks$value[blanks$run_no == run & blanks$time == time]
    x <- x[!is.na(x)]
    rep(if (length(x) == 0) NA_real_ else mean(x), 2)
}
blank <- vapply(seq_len(nrow(points)), function(i) blankAt(points$run_no[i], points$time[i]), c(0, 0))
blank <- matrix(blank, nrow = 2)
points$blankMean <- blank[2, ]
net <- points$value - blank[1, ]
totals <- ofSample("total_starch_percent", points$sample_no)
frees <- ofSample("free_glucose_percent", points$sample_no)
if (percentRead) {
    points$glucose <- rep(NA_real_, nrow(points))
    points$percent <- net
    points$starch <- net * totals / 100
} else {
    points$glucose <- 100 * net / points$mass
    points$starch <- toStarch * (points$glucose - frees)
    points$percent <- ifelse(!is.na(totals) & totals > 0, 100 * points$starch / totals, NA)
}
digestions <- lapply(seq_len(max(0, points$digestion_no)), function(d) points[points$digestion_no == d, ])
ofDigestions <- vapply(digestions, function(d) d$sample_no[1], 0L)
digestNoise <- 1e-12 * largestOf(100, points$percent[!is.na(points$percent)], points$glucose[!is.na(points$glucose)])

for (k in seq_along(digestions)) {
    d <- digestions[[k]]
    for (i in seq_len(nrow(d))) {
        put("digestion_readings",
            c(replicate = as.numeric(d$replicate[i]), time_min = d$time[i], value = d$value[i], blank = d$blankMean[i],
              glucose_per_100_g = d$glucose[i], starch_per_100_g = d$starch[i], starch_percent = d$percent[i]),
            item = paste(k, i, sep = "/"), noise = digestNoise)
    }
}

# The last time that all digestions can be read at.
sharedEnd <- local({
    given <- assayNumber("last_min")
    usable <- points[!is.na(points$percent) | !is.na(points$glucose), ]
    shared <- as.numeric(names(which(table(usable$time) == length(digestions))))
    if (!is.na(given)) given else if (length(digestions) == 0 || length(shared) == 0) NA_real_ else max(shared)
})
rapidCut <- assayNumber("rapid_cut_min")
slowCut <- assayNumber("slow_cut_min")
lastCut <- if (!is.na(sharedEnd) && sharedEnd > slowCut) sharedEnd else NA_real_
if (nrow(assaySamples) > 0) {
    put("digestion_times", c(rapid_cut_min = rapidCut, slow_cut_min = slowCut, last_min = lastCut, area_until_min = sharedEnd))
}

# A column of a digestion at a time: of the reading there, or where it is asked for of the line beside it.
digestAt <- function(d, column, time) {
    if (is.na(time)) {
        return(NA_real_)
    }
    d <- d[!is.na(d[[column]]), ]
    here <- d[[column]][d$time == time]
    if (length(here) == 1) {
        return(here)
    }
    if (!assayInterpolates || !any(d$time < time) || !any(d$time > time)) {
        return(NA_real_)
    }
    approx(d$time, d[[column]], time)$y
}

# Fractions by basis of one digestion.
fractionsOf <- function(d) {
    s <- d$sample_no[1]
    total <- ofSample("total_starch_percent", s)
    parts <- function(column, all) {
        at <- vapply(c(rapidCut, slowCut, lastCut), function(t) digestAt(d, column, t), 0)
        c(at[1], at[2] - at[1], all - at[2], at[3] - at[2], all - at[3])
    }
    percent <- parts("percent", 100)
    weighed <- parts("starch", total)
    # Between two times free glucose cancels.
    between <- toStarch * (digestAt(d, "glucose", slowCut) - digestAt(d, "glucose", rapidCut))
    if (!percentRead && is.na(ofSample("free_glucose_percent", s)) && !is.na(between)) {
        weighed[2] <- between
        if (!is.na(total) && total > 0) {
            percent[2] <- 100 * between / total
        }
    }
    moisture <- ofSample("moisture_percent", s)
    rbind("total-starch" = percent, dry = weighed / (1 - moisture / 100), "as-is" = weighed)
}
fractionTables <- lapply(digestions, fractionsOf)

# What the errors of total starch and free glucose add to the variance of a mean, to first order.
addedVariance <- function(s, fraction, basis, mean) {
    total <- ofSample("total_starch_percent", s)
    uTotal <- orZero(ofSample("total_starch_se_percent", s))
    uFree <- orZero(ofSample("free_glucose_se_percent", s))
    remains <- fraction %in% c(3, 5)
    if (percentRead) {
        return(if (basis == "total-starch" || is.na(total) || total <= 0) 0 else (mean * uTotal / total)^2)
    }
    ofFree <- if (remains || fraction == 1) (toStarch * uFree)^2 else 0
    if (basis == "total-starch") {
        share <- if (remains) 100 - mean else mean
        return(if (is.na(total) || total <= 0) 0 else ofFree * (100 / total)^2 + (share * uTotal / total)^2)
    }
    dryShare <- if (basis == "dry") 1 - orZero(ofSample("moisture_percent", s)) / 100 else 1
    (ofFree + (if (remains) uTotal^2 else 0)) / dryShare^2
}

for (s in seq_len(nrow(assaySamples))) {
    for (f in seq_along(assayFractions)) {
        for (basis in c("total-starch", "dry", "as-is")) {
            x <- vapply(fractionTables[ofDigestions == s], function(t) t[basis, f], 0)
            x <- x[!is.na(x)]
            se <- sdOf(x) / sqrt(length(x))
            put("digestion_fractions",
                c(n = length(x), mean = meanOf(x), sd = sdOf(x), se = se,
                  propagated_se = if (is.na(se)) NA else sqrt(se^2 + addedVariance(s, f, basis, mean(x)))),
                item = paste(s, assayFractions[f], basis, sep = "/"), noise = 10 * digestNoise)
        }
    }
}
